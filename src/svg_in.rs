//! An SVG file drawn elsewhere, as the lines, arcs and curves it shows.
//!
//! Shapes and paths are read, also those of groups and of reused elements, with all their
//! transforms. The layer of an element is its group, by its label or id; outside all groups it is
//! the colour of its stroke. Hidden elements are left out; words and pictures are passed over.

mod error;
mod fitted;
mod path;
mod shape;
mod sheet;
mod style;
mod styled;
mod transform;
mod walk;

use crate::quantity::MM_PER_INCH;
use crate::sketch::Item;
pub use error::SvgError;
use fitted::Fitted;
use fitted::fitted;
use roxmltree::Document;
use roxmltree::Node;
use roxmltree::ParsingOptions;
use style::property;

/// More elements than this are a picture, not a plate. Our choice.
const MAX: u32 = 500_000;

/// Everything a file shows, y up, and its scale.
#[derive(Clone, Debug, PartialEq)]
pub struct Whole {
    /// All that is drawn, in user units of the file; its lower left corner is the origin.
    pub items: Vec<Item>,
    /// One user unit in mm, and how the file says so; none where it has no scale, or its width and
    /// its height do not give one.
    pub scale: Option<(f64, String)>,
    /// Pixels to one user unit; none where its page has a size in units of length.
    pub pixels: Option<f64>,
    /// Its size as it is written, for who has to guess.
    pub size: String,
    /// In words, what of its stylesheets is ignored though it hides or dashes elements.
    pub ignored: Option<String>,
}

/// Whether bytes are those of an SVG file rather than another.
pub fn is_svg(bytes: &[u8]) -> bool {
    let head = &bytes[..bytes.len().min(4096)];
    String::from_utf8_lossy(head).contains("<svg") && !bytes.contains(&0)
}

/// Reads an SVG file.
///
/// # Errors
/// When it is no SVG, is damaged, its view box has no size, or its scales along both axes differ.
pub fn whole(bytes: &[u8]) -> Result<Whole, SvgError> {
    let text =
        std::str::from_utf8(bytes).map_err(|error| SvgError::Letters(error.valid_up_to()))?;
    let options = ParsingOptions { allow_dtd: true, nodes_limit: MAX, ..ParsingOptions::default() };
    let document = Document::parse_with_options(text, options)
        .map_err(|error| SvgError::Xml(error.to_string()))?;
    let root = document.root_element();
    if root.tag_name().name() != "svg" {
        return Err(SvgError::NotSvg(root.tag_name().name().to_owned()));
    }
    styled::refuse(&document)?;
    let page = page(root)?;
    let items = walk::items(&document, [page.left, page.up], styled::paints(&document))?;
    let written = |name| property(root, name).unwrap_or_else(|| "not given".to_owned());
    let size = format!("width {}, height {}", written("width"), written("height"));
    let ignored = styled::ignored(&document);
    Ok(Whole { items, scale: page.scale, pixels: page.pixels, size, ignored })
}

struct Page {
    /// The left side of its view box, and the height at which y is turned over.
    left: f64,
    up: f64,
    scale: Option<(f64, String)>,
    pixels: Option<f64>,
}

fn page(root: Node) -> Result<Page, SvgError> {
    let view: Option<Vec<f64>> = root.attribute("viewBox").map(path::numbers);
    let is_view = |v: &Vec<f64>| v.len() == 4 && v[2] > 0.0 && v[3] > 0.0;
    if view.as_ref().is_some_and(|view| !is_view(view)) {
        return Err(SvgError::View(root.attribute("viewBox").unwrap_or_default().to_owned()));
    }
    // The style of the root takes precedence over its attributes.
    let size = |name: &str| property(root, name).as_deref().and_then(length);
    let (width, height) = (size("width"), size("height"));
    let own = |v: Option<&(f64, Option<f64>)>| v.map(|(number, _)| *number);
    let (left, up) = match &view {
        Some(view) => (view[0], view[1] + view[3]),
        None => (0.0, own(height.as_ref()).unwrap_or(0.0)),
    };
    let mm = |v: &Option<(f64, Option<f64>)>| v.and_then(|(number, unit)| Some(number * unit?));
    let plain = [&width, &height].map(|v| own(v.as_ref()));
    // One side in units of length is no scale beside one that is not: percent is of the window.
    let is_odd = |name: &str, got: &Option<(f64, Option<f64>)>| {
        let given = property(root, name).map(|text| text.trim().to_owned());
        given.is_some_and(|text| !text.ends_with('%') && text != "auto") && mm(got).is_none()
    };
    let some = mm(&width).or(mm(&height)).is_some();
    if view.is_some() && some && (is_odd("width", &width) || is_odd("height", &height)) {
        return Ok(Page { left, up, scale: None, pixels: None });
    }
    let pixels = match (&view, mm(&width).or(mm(&height))) {
        (Some(_), Some(_)) => None,
        (Some(view), None) => Some(unit(root, view, plain, "px")?.unwrap_or(1.0)),
        (None, _) => Some(1.0),
    };
    let scale = match (&view, mm(&width), mm(&height)) {
        (Some(view), wide, high) if wide.is_some() || high.is_some() => {
            let scale = unit(root, view, [wide, high], "mm")?;
            scale.map(|mm| (mm, measured(root, view, wide.is_some_and(|w| w / view[2] == mm))))
        }
        (None, Some(_), _) | (None, _, Some(_)) => {
            Some((MM_PER_INCH / 96.0, "its page has a size, its units are 1/96 in".to_owned()))
        }
        _ => None,
    };
    Ok(Page { left, up, scale, pixels })
}

/// The side of a page that gives its scale, its width or its height, in words.
fn measured(root: Node, view: &[f64], by_width: bool) -> String {
    let (side, word, units) =
        if by_width { ("width", "wide", view[2]) } else { ("height", "high", view[3]) };
    let written = property(root, side).unwrap_or_else(|| "?".to_owned());
    format!("its page is {written} {word}, its `viewBox` {units} units")
}

/// One user unit of a page whose width and height are given, one or both.
fn unit(
    root: Node,
    view: &[f64],
    [wide, high]: [Option<f64>; 2],
    word: &'static str,
) -> Result<Option<f64>, SvgError> {
    let along = [wide.map(|size| size / view[2]), high.map(|size| size / view[3])];
    let (Some(x), Some(y)) = (along[0].or(along[1]), along[1].or(along[0])) else {
        return Ok(None);
    };
    match fitted(root) {
        // Pages are written with a few decimals.
        Fitted::Stretched if (x / y - 1.0).abs() > 1e-3 => Err(SvgError::Uneven(x, y, word)),
        Fitted::Slice => Ok(Some(x.max(y))),
        Fitted::Meet | Fitted::Stretched => Ok(Some(x.min(y))),
    }
}

/// A length, and its unit in mm where it is one of length.
fn length(text: &str) -> Option<(f64, Option<f64>)> {
    let text = text.trim();
    let digits = text.trim_end_matches(|c: char| c.is_ascii_alphabetic() || c == '%');
    let number: f64 = digits.trim().parse().ok().filter(|n: &f64| n.is_finite() && *n > 0.0)?;
    let unit = match text[digits.len()..].to_lowercase().as_str() {
        "mm" => Some(1.0),
        "cm" => Some(10.0),
        "q" => Some(0.25),
        "in" => Some(MM_PER_INCH),
        "pt" => Some(MM_PER_INCH / 72.0),
        "pc" => Some(MM_PER_INCH / 6.0),
        "%" => return None,
        // Pixels, and numbers alone, have no size.
        _ => None,
    };
    Some((number, unit))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::JOIN;
    use crate::geom::plate;
    use crate::num;
    use crate::sketch;
    use crate::sketch::What;

    fn page(body: &str) -> Whole {
        let head = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"100mm\" height=\"80mm\" \
                    viewBox=\"0 0 200 160\">";
        whole(format!("{head}{body}</svg>").as_bytes()).unwrap()
    }

    fn edges(read: &Whole) -> Vec<crate::geom::Edge> {
        let mm = read.scale.as_ref().unwrap().0;
        let drawn = read.items.iter().flat_map(|item| match &item.what {
            What::Drawn(courses) => sketch::edges(courses, mm).0,
            other => panic!("{item:?}: {other:?}"),
        });
        drawn.collect()
    }

    #[test]
    fn shapes_and_paths_enclose_what_they_should() {
        let pi = num::PI;
        let cases = [
            ("<rect x='10' y='10' width='40' height='20'/>", 200.0),
            ("<rect width='40' height='20' rx='4'/>", 200.0 - (4.0 - pi) * 4.0),
            ("<circle cx='50' cy='50' r='20'/>", 100.0 * pi),
            (
                "<circle cx='9' cy='9' r='2' transform='translate(40 3) rotate(30) scale(10)'/>",
                100.0 * pi,
            ),
            ("<ellipse cx='50' cy='50' rx='30' ry='20'/>", 150.0 * pi),
            ("<polygon points='0,0 40,0 40,20 0,20'/>", 200.0),
            ("<path d='M10 10h40v20h-40z'/>", 200.0),
            ("<path d='m0 0 40 0a10 10 0 0 1 0 20l-40 0 0-20'/>", 200.0 + 12.5 * pi),
            ("<g transform='matrix(1 0 0 -1 0 0)'><path d='M0 0H40V20H0Z'/></g>", 200.0),
            ("<defs><rect id='a' width='40' height='20'/></defs><use href='#a' x='5'/>", 200.0),
        ];
        for (body, wanted) in cases {
            let area = plate(&edges(&page(body)), JOIN).unwrap().area();
            assert!((area - wanted).abs() < 0.5, "{body}: {area}, not {wanted}");
        }
    }

    #[test]
    fn true_arcs_stay_arcs_and_y_points_up() {
        let read = page("<path d='M0 160h40a10 10 0 0 0 0-20h-40z'/>");
        let all = edges(&read);
        let arcs: Vec<_> = all.iter().filter_map(crate::geom::Edge::arc).collect();
        assert_eq!(arcs.len(), 1);
        assert!((arcs[0].radius - 5.0).abs() < 1e-9 && (arcs[0].centre.y - 5.0).abs() < 1e-9);
        assert!(all.iter().all(|e| e.from.y > -1e-9));
    }

    #[test]
    fn pages_say_their_scale_and_pixels_do_not() {
        let scale = |attributes: &str| {
            let text = format!("<svg {attributes}><rect width='9' height='9'/></svg>");
            whole(text.as_bytes()).unwrap().scale.map(|s| s.0)
        };
        for odd in ["0 0 -50 40", "0 0 50 0", "0 0 50"] {
            let text = format!("<svg width='100mm' viewBox='{odd}'/>");
            assert_eq!(whole(text.as_bytes()), Err(SvgError::View(odd.to_owned())));
        }
        assert_eq!(scale("width='100mm' viewBox='0 0 50 40'"), Some(2.0));
        assert_eq!(scale("width='4in' height='2in' viewBox='0 0 4 2'"), Some(25.4));
        assert_eq!(scale("width='90mm' height='9mm'"), Some(25.4 / 96.0));
        assert_eq!(scale("style='width: 100mm' viewBox='0 0 50 40'"), Some(2.0));
        assert_eq!(scale("width='480' style='width:100mm' viewBox='0 0 50 40'"), Some(2.0));
        assert_eq!(scale("width='100mm' style='width:480px' viewBox='0 0 50 40'"), None);
        assert_eq!(scale("width='100' height='90' viewBox='0 0 100 90'"), None);
        assert_eq!(scale("width='100px' height='90px'"), None);
        assert_eq!(scale("width='100%' viewBox='0 0 100 90'"), None);
        assert_eq!(scale("width='100%' height='90mm' viewBox='0 0 100 90'"), Some(1.0));
        for odd in ["calc(10mm*2)", "10em", "-5mm", "100px"] {
            let text = format!(
                "<svg width='{odd}' height='60mm' viewBox='0 0 100 60'><path d='M0 0h9'/></svg>"
            );
            let read = whole(text.as_bytes()).unwrap();
            assert_eq!((read.scale, read.pixels), (None, None), "{odd}");
            assert_eq!(read.size, format!("width {odd}, height 60mm"));
        }
    }

    #[test]
    fn a_page_is_named_by_the_side_that_gives_its_scale() {
        let words = |attributes: &str| {
            let text = format!("<svg {attributes}><rect width='9' height='9'/></svg>");
            whole(text.as_bytes()).unwrap().scale.map(|scale| scale.1)
        };
        let wide = Some("its page is 100mm wide, its `viewBox` 50 units".to_owned());
        assert_eq!(words("width='100mm' viewBox='0 0 50 40'"), wide);
        assert_eq!(words("width='100mm' height='80mm' viewBox='0 0 50 40'"), wide);
        assert_eq!(words("width='100mm' height='800mm' viewBox='0 0 50 40'"), wide);
        let high = Some("its page is 40mm high, its `viewBox` 40 units".to_owned());
        assert_eq!(words("width='100mm' height='40mm' viewBox='0 0 50 40'"), high);
        assert_eq!(words("width='100%' height='40mm' viewBox='0 0 50 40'"), high);
        assert_eq!(words("height='40mm' viewBox='0 0 50 40'"), high);
    }

    /// The view box begins left of zero and above it: the lower left corner of the page is the origin.
    #[test]
    fn the_origin_is_the_lower_left_corner_of_the_view_box() {
        let at = |[x, y]: [f64; 2]| {
            let text = format!(
                "<svg width='100mm' height='80mm' viewBox='{x} {y} 50 40'>\
                 <rect x='{}' y='{}' width='20' height='10'/></svg>",
                x + 5.0,
                y + 26.0
            );
            let read = whole(text.as_bytes()).unwrap();
            assert_eq!(read.scale.as_ref().map(|scale| scale.0), Some(2.0));
            edges(&read).iter().fold(crate::geom::Bounds::EMPTY, |all, edge| all.and(edge.bounds()))
        };
        for corner in [[0.0, 0.0], [-20.0, -70.0], [15.0, 8.0]] {
            let bounds = at(corner);
            let sides = [bounds.min.x, bounds.min.y, bounds.max.x, bounds.max.y];
            for (is, wanted) in sides.into_iter().zip([10.0, 8.0, 50.0, 28.0]) {
                assert!((is - wanted).abs() < 1e-9, "{corner:?}: {sides:?}");
            }
        }
    }

    /// By the SVG standard: `slice` takes the larger scale, all else but `none` the smaller.
    #[test]
    fn a_page_of_other_proportions_takes_the_scale_of_the_standard() {
        let scale = |aspect: &str| {
            let page = "width='200mm' height='60mm' viewBox='0 0 100 60'";
            let text =
                format!("<svg {page} preserveAspectRatio='{aspect}'><path d='M0 0h9'/></svg>");
            whole(text.as_bytes()).map(|read| read.scale.map(|scale| scale.0))
        };
        for slice in ["xMidYMid slice", "xMinYMax  slice", "defer xMaxYMin slice"] {
            assert_eq!(scale(slice), Ok(Some(2.0)), "{slice}");
        }
        for meet in
            ["", "xMidYMid", "xMinYMin meet", "slice", "xMidYMid Slice", "nonesuch", "none x"]
        {
            assert_eq!(scale(meet), Ok(Some(1.0)), "{meet}");
        }
        for none in ["none", "none slice", "defer none meet"] {
            assert_eq!(scale(none), Err(SvgError::Uneven(2.0, 1.0, "mm")), "{none}");
        }
    }

    #[test]
    fn pixels_to_a_unit_follow_from_the_page() {
        let pixels = |attributes: &str| {
            let text = format!("<svg {attributes}><rect width='9' height='9'/></svg>");
            whole(text.as_bytes()).map(|read| read.pixels)
        };
        assert_eq!(pixels("width='900px' viewBox='0 0 240 240'"), Ok(Some(3.75)));
        assert_eq!(pixels("width='900' height='480' viewBox='0 0 240 240'"), Ok(Some(2.0)));
        assert_eq!(pixels("viewBox='0 0 240 240'"), Ok(Some(1.0)));
        assert_eq!(pixels("width='900px'"), Ok(Some(1.0)));
        assert_eq!(pixels("width='90mm' viewBox='0 0 90 90'"), Ok(None));
        let none = "width='9px' height='8px' viewBox='0 0 9 9' preserveAspectRatio='none'";
        assert_eq!(pixels(none), Err(SvgError::Uneven(1.0, 8.0 / 9.0, "px")));
    }

    #[test]
    fn what_a_style_moves_or_sizes_is_refused_by_name() {
        let strange = |body: &str| match page(body).items.last().map(|item| item.what.clone()) {
            Some(What::Strange(words)) => words,
            other => panic!("{body}: {other:?}"),
        };
        for (body, words) in [
            ("<rect width='9' height='9' style='transform: scale(2)'/>", "rect with `transform`"),
            ("<g style='fill:none;/**/Rotate:9deg'><path d='M0 0h9'/></g>", "g with `rotate`"),
            ("<circle r='4' style='r:9px'/>", "circle with `r`"),
            ("<path d='M0 0h9' style='d:path(\"M0 0h8\")'/>", "path with `d`"),
        ] {
            assert_eq!(strange(body), format!("{words} in its style"), "{body}");
        }
        let origin = "<rect width='9' height='9' transform='rotate(9)' transform-origin='5 5'/>";
        assert_eq!(strange(origin), "rect with a `transform-origin`");
        for body in [
            "<path d='M0 0h9v9z' style='width:9px;transform:none'/>",
            "<path d='M0 0h9v9z' transform='rotate(9)' transform-origin='0px 0'/>",
            "<style>path { fill: none; stroke: red }</style><path d='M0 0h9v9z'/>",
        ] {
            assert!(matches!(page(body).items[0].what, What::Drawn(_)), "{body}");
        }
        let sheet = |rule: &str| {
            let text = format!(
                "<svg width='9mm' viewBox='0 0 9 9'>\n<defs><style>/* x */ {rule}</style></defs></svg>"
            );
            whole(text.as_bytes()).unwrap_err()
        };
        let of = |name: &str| SvgError::Stylesheet(2, name.to_owned());
        assert_eq!(sheet("rect { fill:none; transform: rotate(9deg) }"), of("transform"));
        assert_eq!(sheet("@media print { .a { R : 4px } }"), of("r"));
        assert_eq!(sheet(".a { clip-path: url(#c) }"), of("clip-path"));
        assert_eq!(sheet("@import 'a.css';"), of("@import"));
    }

    #[test]
    fn groups_and_colours_are_layers_and_what_is_not_seen_is_left_out() {
        let read = page(
            "<g id='CUT'><path d='M0 0h9v9z'/><text>x</text></g>\
             <path d='M0 0h9' style='stroke: red; fill:none'/>\
             <g id='AID' style='display:none'><path d='M0 0h9'/></g>\
             <path d='M0 0h9' stroke='none' fill='none'/>\
             <line x2='9' stroke='#00f' stroke-dasharray='2 1'/>",
        );
        let seen: Vec<(&str, &str)> =
            read.items.iter().map(|i| (i.kind.as_str(), i.layer.as_str())).collect();
        assert_eq!(
            seen,
            [
                ("path", "CUT"),
                ("text", "CUT"),
                ("path", "red"),
                ("path", "AID"),
                ("path", "0"),
                ("line", "#00f")
            ]
        );
        let clear = page(
            "<path d='M0 0h9' stroke='red' opacity='0'/>\
             <g style='opacity:0%'><path d='M0 0h9'/></g>\
             <path d='M0 0h9' fill='none' stroke='red' stroke-width='0px'/>\
             <path d='M0 0h9' style='fill-opacity:0;stroke:red;stroke-opacity:0'/>\
             <path d='M0 0h9' fill='transparent'/><path d='M0 0h9' fill='#ff000000'/>",
        );
        assert_eq!(clear.items.len(), 6);
        assert!(clear.items.iter().all(|i| matches!(i.what, What::Hidden(_))), "{clear:?}");
        let thin = page("<path d='M0 0h9' fill='none' stroke='red' stroke-width='.1'/>");
        assert!(matches!(thin.items[0].what, What::Drawn(_)));
        let styled =
            page("<style>.a { stroke: red }</style><path class='a' d='M0 0h9' fill='none'/>");
        let words = "path with its fill and stroke in a stylesheet".to_owned();
        assert_eq!(styled.items[0].what, What::Strange(words));
        assert!(matches!(read.items[3].what, What::Hidden(_)));
        assert!(matches!(read.items[4].what, What::Hidden(_)));
        assert_eq!(read.items[5].dashes.as_deref(), Some("2 1"));
    }

    #[test]
    fn damage_is_an_error_and_never_a_panic() {
        let text = "<svg width='9mm' viewBox='0 0 9 9'><path d='M0 0h9a3 3 0 0 1 0 6c1 1 2 2 3 0z'/></svg>";
        for end in 0..text.len() {
            assert!(whole(&text.as_bytes()[..end]).is_err(), "cut off at {end}");
        }
        let bad = page("<path d='M0 0 h9 x3'/><path d='0 0'/><path d='M0 0 L1 1 a1'/>");
        assert!(bad.items.iter().all(|item| matches!(item.what, What::Strange(_))), "{bad:?}");
        assert!(matches!(whole(b"<html/>"), Err(SvgError::NotSvg(_))));
        let ring = "<g id='a'><use href='#a'/></g>";
        assert!(page(ring).items.iter().any(|i| matches!(i.what, What::Strange(_))));
    }
}
