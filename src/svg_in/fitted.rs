//! How a page takes a drawing whose proportions are not its own.

use roxmltree::Node;

/// How a page takes such a drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Fitted {
    /// All of it is on the page: the smaller scale.
    Meet,
    /// It covers the page, and what reaches past it is cut off: the larger scale.
    Slice,
    /// Each side has its own scale.
    Stretched,
}

/// Where a drawing may be placed on its page. None of them changes its scale.
const PLACES: [&str; 9] = [
    "xMinYMin", "xMidYMin", "xMaxYMin", "xMinYMid", "xMidYMid", "xMaxYMid", "xMinYMax", "xMidYMax",
    "xMaxYMax",
];

/// By the attribute of a page. One that is not as the SVG standard has it counts for nothing, as
/// there.
pub(super) fn fitted(page: Node) -> Fitted {
    let words = page.attribute("preserveAspectRatio").unwrap_or_default();
    let words: Vec<&str> = words.split_whitespace().filter(|word| *word != "defer").collect();
    match words.as_slice() {
        ["none"] | ["none", "meet" | "slice"] => Fitted::Stretched,
        [place, "slice"] if PLACES.contains(place) => Fitted::Slice,
        _ => Fitted::Meet,
    }
}
