//! Why an SVG file cannot be read.

use thiserror::Error;

/// Why a file cannot be read.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum SvgError {
    /// Not UTF-8; from which byte on.
    #[error("byte {0} is not UTF-8 text")]
    Letters(usize),
    /// Not XML, or damaged.
    #[error("it cannot be read as SVG: {0}")]
    Xml(String),
    /// Another language of XML.
    #[error("it is not an SVG: its root is `{0}`")]
    NotSvg(String),
    /// A view box without a size: as it is written.
    #[error("its `viewBox`, `{0}`, has no width and height")]
    View(String),
    /// A unit along x is not as long as one along y; both in mm or pixels.
    #[error("one unit is {0} {2} along x and {1} {2} along y")]
    Uneven(f64, f64, &'static str),
    /// A stylesheet that moves, sizes or clips what is drawn: its line, and the property.
    #[error("its stylesheet on line {0} sets `{1}`, which is not read")]
    Stylesheet(u32, String),
    /// A stylesheet that hides what is drawn: its line, the property with its value, the selector.
    #[error(
        "its stylesheet on line {0} sets `{1}` for `{2}`; that may hide lines, and stylesheets are not applied"
    )]
    Unseen(u32, String, String),
    /// A stylesheet in another file: the line that names it.
    #[error("line {0} names a stylesheet in another file, which is not read")]
    Elsewhere(u32),
    /// The root element is transformed: by what.
    #[error("its root element has a `{0}`, which is not read")]
    Root(String),
    /// Reused elements expand to more elements than this.
    #[error("its reused elements come to more than {0}")]
    TooMany(usize),
}
