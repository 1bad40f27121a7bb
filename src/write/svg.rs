//! SVG at true size: plain to cut from, or with tinted metal to look at.
//!
//! Coordinates are those of the DXF with y turned over, so a place can be read in both.
//! Line widths after ISO 128: outlines 0.5 mm continuous, the rest 0.25 mm continuous;
//! bend lines on a blank are narrow and continuous there too (from memory).
//! What is cut from has one black for all lines and nothing filled: some cutters take colours for
//! orders and fills for engraving. Kinds are distinguished by their groups and widths.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::write::drawing::Drawing;
use crate::write::drawing::Layer;
use crate::write::drawing::Stroke;
use crate::write::markup;
use svg::Document;
use svg::Node;
use svg::node::element::Group;
use svg::node::element::Path;
use svg::node::element::Rectangle;

/// Blank paper round the drawing in mm, so that no line is cut in half. Our choice.
const MARGIN: f64 = 5.0;
/// Capital height over font size of common sans-serif letters; about. Our choice.
const CAPITAL: f64 = 0.72;
/// Width of outlines in mm.
const WIDE: f64 = 0.5;
/// Width of all other lines in mm.
const NARROW: f64 = 0.25;

/// The text of an SVG file to cut from. The same drawing gives the same text.
pub fn svg(drawing: &Drawing) -> String {
    markup::text(&document(drawing, &plain_style(drawing), false))
}

/// The text of an SVG file to look at, on white paper.
pub(crate) fn tinted(drawing: &Drawing) -> String {
    markup::text(&document(drawing, &tinted_style(drawing), true))
}

/// The document in a style, on white paper or none.
fn document(drawing: &Drawing, style: &str, paper: bool) -> Document {
    let Bounds { min, max } = drawing.bounds().grown(MARGIN);
    let number = |mm| drawing.number(mm);
    let (x, y) = (number(min.x), number(-max.y));
    let (width, height) = (number(max.x - min.x), number(max.y - min.y));
    let unit = drawing.units.word();
    let mut document = markup::document(
        &drawing.title,
        [format!("{width}{unit}"), format!("{height}{unit}")],
        format!("{x} {y} {width} {height}"),
        style,
    );
    if paper {
        document.append(white_paper([x, y], [width, height]));
    }
    for layer in Layer::ALL {
        let drawn = match layer {
            Layer::Cut => plates(drawing).into_iter().map(Into::into).collect(),
            _ => strokes(drawing, layer),
        };
        if !drawn.is_empty() {
            let (id, class) = (layer.name(), layer.name().to_ascii_lowercase());
            let group = Group::new().set("id", id).set("class", class);
            document.append(drawn.into_iter().fold(group, Group::add));
        }
    }
    document
}

/// White paper under the drawing.
fn white_paper([x, y]: [String; 2], [width, height]: [String; 2]) -> Rectangle {
    let place = Rectangle::new().set("class", "paper").set("x", x).set("y", y);
    place.set("width", width).set("height", height)
}

/// One black, and widths.
fn plain_style(drawing: &Drawing) -> String {
    let (wide, narrow) = (drawing.number(WIDE), drawing.number(NARROW));
    let common = match drawing.layers().any(|layer| layer == Layer::CutCommon) {
        true => ", .cut-common path",
        false => "",
    };
    format!(
        "path {{ fill: none; stroke: #000; stroke-width: {narrow}; stroke-linecap: round; stroke-linejoin: round; }}\n\
         .cut path{common} {{ stroke-width: {wide}; }}\n\
         text {{ fill: #000; stroke: none; font-family: sans-serif; }}\n"
    )
}

/// Metal and kinds of lines in colours.
fn tinted_style(drawing: &Drawing) -> String {
    let (wide, narrow) = (drawing.number(WIDE), drawing.number(NARROW));
    // An outline with bridges encloses nothing, so that its holes would be shaded.
    let metal = if drawing.cut_chains().next().is_some() { "none" } else { "#dcdfe3" };
    let common = match drawing.layers().any(|layer| layer == Layer::CutCommon) {
        true => format!(".cut-common {{ fill: none; stroke: #7a1f8a; stroke-width: {wide}; }}\n"),
        false => String::new(),
    };
    format!(
        ".paper {{ fill: #fff; }}\n\
         .cut {{ fill: {metal}; fill-rule: evenodd; stroke: #16191d; stroke-width: {wide}; stroke-linejoin: round; }}\n\
         {common}\
         .mark, .bend, .note {{ fill: none; stroke-width: {narrow}; stroke-linecap: round; }}\n\
         .mark {{ stroke: #a8321f; }}\n\
         .bend {{ stroke: #0b5cad; }}\n\
         .note {{ stroke: #5a6270; }}\n\
         text {{ fill: #16191d; stroke: none; font-family: sans-serif; }}\n"
    )
}

/// What is cut, one path for each plate with all that lies within its outline, so that even-odd
/// fills metal only, whatever is cut first; outlines with bridges as open chains.
fn plates(drawing: &Drawing) -> Vec<Path> {
    let outlines: Vec<(&Outline, Bounds)> =
        drawing.cut_outlines().map(|o| (o, o.bounds())).collect();
    let around = around(&outlines);
    let is_plate = |i: usize| around[i].is_empty();
    let mut data = vec![Vec::new(); outlines.len()];
    for (i, (outline, _)) in outlines.iter().enumerate() {
        let plates = if is_plate(i) { &[i][..] } else { &around[i] };
        for &plate in plates.iter().filter(|plate| is_plate(**plate)) {
            data[plate].push(closed(drawing, outline));
        }
    }
    let plates = data.into_iter().filter(|data| !data.is_empty());
    let plates = plates.map(|data| markup::path(data.join(" ")));
    let chains = drawing.cut_chains().map(|edges| markup::path(chain(drawing, edges)));
    plates.chain(chains).collect()
}

/// For each outline the others that it lies within. Looked at are those that begin left of it by less
/// than the widest is wide.
fn around(outlines: &[(&Outline, Bounds)]) -> Vec<Vec<usize>> {
    let left = |i: usize| outlines[i].1.min.x;
    let mut by_left: Vec<usize> = (0..outlines.len()).collect();
    by_left.sort_by(|a, b| left(*a).total_cmp(&left(*b)));
    let widest = outlines.iter().map(|(_, b)| b.max.x - b.min.x).fold(0.0, f64::max);
    let is_within = |(inner, b): &(&Outline, Bounds), (outer, o): &(&Outline, Bounds)| {
        let boxed = o.min.x < b.min.x && o.min.y < b.min.y;
        boxed && b.max.x < o.max.x && b.max.y < o.max.y && outer.contains(inner.vertices()[0].at)
    };
    let of = |i: usize| {
        let from = by_left.partition_point(|o| left(*o) < left(i) - widest);
        let to = by_left.partition_point(|o| left(*o) < left(i));
        let begun = by_left[from..to].iter().copied();
        begun.filter(|o| is_within(&outlines[i], &outlines[*o])).collect()
    };
    (0..outlines.len()).map(of).collect()
}

fn strokes(drawing: &Drawing, layer: Layer) -> Vec<Box<dyn Node>> {
    let on_layer = drawing.strokes.iter().filter(|(l, _)| *l == layer);
    on_layer.map(|(_, stroke)| element(drawing, stroke)).collect()
}

fn element(drawing: &Drawing, stroke: &Stroke) -> Box<dyn Node> {
    let data = match stroke {
        Stroke::Outline(outline) => closed(drawing, outline),
        Stroke::Line(from, to) => chain(drawing, &[Edge::line(*from, *to)]),
        Stroke::Path(edges) => chain(drawing, edges),
        Stroke::Text { at, height, text } => {
            let mut words = markup::words(text);
            words.assign("x", drawing.number(at.x));
            words.assign("y", drawing.number(-at.y));
            words.assign("font-size", drawing.number(height / CAPITAL));
            return words.into();
        }
    };
    markup::path(data).into()
}

fn closed(drawing: &Drawing, outline: &Outline) -> String {
    let edges: Vec<Edge> = outline.edges().collect();
    chain(drawing, &edges) + " Z"
}

/// Path data through edges that follow each other.
fn chain(drawing: &Drawing, edges: &[Edge]) -> String {
    markup::data(edges, |p| pair(drawing, p), |mm| drawing.number(mm))
}

fn pair(drawing: &Drawing, p: Point) -> String {
    format!("{} {}", drawing.number(p.x), drawing.number(-p.y))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Units;
    use crate::write::sample::bracket;

    #[test]
    fn the_picture_has_its_true_size_and_a_white_ground() {
        let text = tinted(&plain(Units::Millimetre));
        assert!(text.contains("height=\"70mm\" viewBox=\"-5 -65 90 70\" width=\"90mm\""), "{text}");
        assert!(
            text.contains("<rect class=\"paper\" height=\"70\" width=\"90\" x=\"-5\" y=\"-65\"/>")
        );
        let text = tinted(&plain(Units::Inch));
        assert!(
            text.contains("height=\"2.7559055in\"") && text.contains("width=\"3.5433071in\""),
            "{text}"
        );
    }

    /// Without its notes, whose widths are guessed.
    fn plain(units: Units) -> Drawing {
        let mut drawing = bracket(units);
        drawing.strokes.retain(|(layer, _)| *layer != Layer::Note);
        drawing
    }

    #[test]
    fn a_plate_and_its_holes_are_one_path() {
        let mut drawing = plain(Units::Millimetre);
        let paths =
            |drawing: &Drawing| plates(drawing).iter().map(ToString::to_string).collect::<String>();
        let count = |text: &str, what: &str| text.matches(what).count();
        let text = paths(&drawing);
        assert_eq!((count(&text, "<path"), count(&text, " Z")), (1, 3), "{text}");
        let beside = crate::geom::disc(Point::new(200.0, 0.0), 10.0).unwrap();
        drawing.draw(Layer::Cut, Stroke::Outline(beside));
        let text = paths(&drawing);
        assert_eq!((count(&text, "<path"), count(&text, " Z")), (2, 4), "{text}");
    }

    /// (0, 0) to (10, 10) with y up and a bulge of tan(90°/4) turns anticlockwise round
    /// (0, 10). On paper that is sweep 0; the other way round it is sweep 1.
    #[test]
    fn arcs_keep_their_side() {
        let drawing = Drawing::new("", Units::Millimetre);
        let round = crate::num::Angle::from_degrees(22.5).tan();
        let edge = Edge { from: Point::ZERO, to: Point::new(10.0, 10.0), bulge: round };
        assert_eq!(chain(&drawing, &[edge]), "M0 0 A10 10 0 0 0 10 -10");
        assert_eq!(chain(&drawing, &[edge.reversed()]), "M10 -10 A10 10 0 0 1 0 0");
    }

    #[test]
    fn words_cannot_break_the_file() {
        let text = svg(&bracket(Units::Millimetre));
        assert!(text.contains("<title>bracket &lt;1&gt; &amp; \"more\"</title>"), "{text}");
        assert!(text.contains(">90° up, Ø8.5 ±0.1 &amp; t &lt; 4</text>"), "{text}");
    }

    #[test]
    fn common_cuts_have_a_group_and_a_colour_of_their_own() {
        let mut drawing = plain(Units::Millimetre);
        assert!(!tinted(&drawing).contains("common"));
        drawing.draw(Layer::CutCommon, Stroke::Line(Point::ZERO, Point::new(9.0, 0.0)));
        let text = tinted(&drawing);
        let group = "<g class=\"cut-common\" id=\"CUT-COMMON\">\n<path d=\"M0 0 L9 0\"/>\n</g>";
        assert!(text.contains(group) && text.contains(".cut-common {"), "{text}");
    }

    /// Some cutters take colours for orders, and fills for engraving.
    #[test]
    fn what_is_cut_from_has_one_black_and_nothing_filled() {
        let mut drawing = bracket(Units::Millimetre);
        drawing.draw(Layer::CutCommon, Stroke::Line(Point::ZERO, Point::new(9.0, 0.0)));
        let text = svg(&drawing);
        let colours = text.split('#').skip(1).map(|rest| &rest[..3]);
        assert!(colours.clone().count() >= 2 && colours.clone().all(|c| c == "000"), "{text}");
        let fills: Vec<&str> = text.split("fill: ").skip(1).map(|rest| &rest[..4]).collect();
        assert_eq!(fills, ["none", "#000"], "letters alone are filled");
        assert!(!text.contains("<rect"), "paper would be taken for a plate");
        for group in ["CUT", "CUT-COMMON", "BEND", "NOTE"] {
            assert!(text.contains(&format!("id=\"{group}\"")), "{group}");
        }
        assert!(text.contains(".cut path, .cut-common path { stroke-width: 0.5; }"), "{text}");
    }

    #[test]
    fn layers_without_strokes_leave_no_group() {
        let text = svg(&plain(Units::Millimetre));
        let ids =
            ["CUT", "MARK", "BEND", "NOTE"].map(|id| text.contains(&format!(" id=\"{id}\">")));
        assert_eq!(ids, [true, true, true, false]);
    }
}
