//! The faces of a recipe, and the steps that build their blanks.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Entry;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::recipe::bevel;
use crate::recipe::bevel::Bevel;
use crate::recipe::each::Each;
use crate::recipe::expr::Expr;
use crate::recipe::hole;
use crate::recipe::hole::HoleSet;
use crate::recipe::mark;
use crate::recipe::mark::Mark;
use crate::recipe::measures::Measures;
use crate::recipe::measures::both;
use crate::recipe::measures::point;
use crate::recipe::outline;
use crate::recipe::outline::Files;
use crate::recipe::outline::OutlineFile;
use crate::recipe::tongue;
use crate::recipe::tongue::Tongue;

/// One flat piece of the part.
#[derive(Clone, Debug)]
pub struct Face {
    /// How its outline is built, in order.
    pub blank: Vec<Step>,
    /// Its holes.
    pub holes: Vec<HoleSet>,
    /// What is scribed or etched on it.
    pub marks: Vec<Mark>,
    /// Edges that are welded.
    pub welds: Vec<Weld>,
    /// Edges that are bevelled.
    pub bevels: Vec<Bevel>,
    /// For a plate of its own in a weldment: how many a set needs.
    pub pieces: Option<Expr>,
    /// Only when this comes to yes.
    pub when: Option<Expr>,
    /// The face it is like, and where that name stands.
    pub(super) like: Option<(String, Span)>,
    /// Whether it is drawn in the mirror, left and right swapped.
    pub mirrored: bool,
    /// Where its name stands.
    pub span: Span,
}

/// A note that an edge is welded.
#[derive(Clone, Debug)]
pub struct Weld {
    /// Name of the edge.
    pub edge: String,
    /// Leg of the fillet, where it is said.
    pub leg: Option<Expr>,
    /// On how many sides of the plate there is a fillet: 1 or 2.
    pub sides: u32,
    /// Whether the fillet goes right round the plate at this edge.
    pub(crate) all_round: bool,
    /// What else to know.
    pub note: String,
    /// Once for each value of lists.
    pub each: Option<Each>,
    /// The whole entry.
    pub span: Span,
}

/// One step in building a blank.
#[derive(Clone, Debug)]
pub struct Step {
    /// What is done.
    pub work: Work,
    /// Only when this comes to yes.
    pub when: Option<Expr>,
    /// Once for each value of lists.
    pub each: Option<Each>,
    /// The whole step.
    pub span: Span,
}

/// What a step does.
#[derive(Clone, Debug)]
pub enum Work {
    /// Metal is added.
    Add(Placed),
    /// Tongues are stood on an edge.
    Tongue(Tongue),
    /// Metal is taken away.
    Cut(Placed),
    /// Inward corners are filled with this radius.
    Fill(Expr),
    /// Outward corners are rounded with this radius.
    Round(Expr),
}

/// A shape, where it goes and how it is rotated.
#[derive(Clone, Debug)]
pub struct Placed {
    /// The shape.
    pub shape: Shape,
    /// Where its middle goes.
    pub at: [Expr; 2],
    /// How it is rotated about its centre.
    pub rotate: Option<Expr>,
}

/// A shape and its measures.
#[derive(Clone, Debug)]
pub enum Shape {
    /// Round, with a radius.
    Disc(Expr),
    /// Round-ended: length over all, width.
    Slot(Expr, Expr),
    /// Width, height, corner radius.
    Rectangle(Expr, Expr, Option<Expr>),
    /// Corners in order.
    Polygon(Vec<CornerStep>),
    /// What the belt runs round.
    Belt(Vec<BeltPiece>),
    /// Tube diameter, lean, distance of its axis from the plate, name of the edge it leaves.
    Saddle(Expr, Option<Expr>, Option<Expr>, Option<String>),
    /// Across flats.
    Hexagon(Expr),
    /// Diameter, width of the key, depth over all.
    Keyway(Expr, Expr, Expr),
    /// Diameter, across the flats.
    DoubleFlat(Expr, Expr),
    /// Drawn in a DXF file: `{ add = "outline", file = "plate.dxf" }`, with its holes. The
    /// origin of the drawing goes to `at`. `units = "mm"` or `"in"` is for a file that does
    /// not say them or says them wrong, and `layer` names the layer to read; without it that
    /// is `CUT` where the file has it, else all.
    Outline(OutlineFile),
}

/// A corner of a polygon.
#[derive(Clone, Debug)]
pub struct CornerStep {
    /// Where.
    pub at: [Expr; 2],
    /// What is done to it, with its measure.
    pub treatment: Option<(Treatment, Expr)>,
    /// How the edge runs that leaves it, where it is an arc.
    pub arc: Option<ArcSide>,
    /// Name of the edge that leaves it.
    pub edge: Option<String>,
}

/// An arc from a corner of a polygon to the next.
#[derive(Clone, Debug)]
pub enum ArcSide {
    /// Its height over the chord; more than 0 bows out of the polygon.
    Height(Expr),
    /// Its radius; more than 0 bows out of the polygon.
    Radius(Expr),
    /// A point it goes through.
    Through([Expr; 2]),
}

/// What is done to a corner.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Treatment {
    /// Rounded with a radius.
    Round,
    /// Cut straight, so far along both edges.
    Chamfer,
    /// Hollowed round the corner with a radius.
    Clip,
}

/// What a belt runs round.
#[derive(Clone, Debug)]
pub enum BeltPiece {
    /// A disc: radius, middle.
    Disc(Expr, [Expr; 2]),
    /// A straight bar: length, middle, rotate, name of the edge.
    Bar(Expr, [Expr; 2], Option<Expr>, Option<String>),
}

impl Face {
    pub(super) fn read(entry: &Entry, files: Files, findings: &Findings) -> Option<Self> {
        let measures = Measures(Fields::of(&entry.item, findings)?);
        let (pieces, when) = (measures.may("pieces"), measures.may("when"));
        let fields = measures.0;
        let like =
            fields.text("like").map(str::to_owned).zip(fields.get("like").map(|i| i.letters));
        let mirrored = fields.flag("mirror");
        if like.is_none() {
            fields.need("blank", "[ { add = \"disc\", radius = \"10 mm\" } ]");
        }
        let blank = fields.list("blank").iter().filter_map(|i| step(i, files, findings)).collect();
        let holes = fields.list("holes").iter().filter_map(|i| hole::read(i, findings)).collect();
        let marks = fields.list("marks").iter().filter_map(|i| mark::read(i, findings)).collect();
        let welds = fields.list("weld").iter().filter_map(|i| weld(i, findings)).collect();
        let bevels = fields.list("bevel").iter().filter_map(|i| bevel::read(i, findings)).collect();
        fields.finish();
        let span = entry.key;
        Some(Self { blank, holes, marks, welds, bevels, pieces, when, like, mirrored, span })
    }
}

fn weld(item: &Item, findings: &Findings) -> Option<Weld> {
    let measures = Measures(Fields::of(item, findings)?);
    let edge = measures.0.needed_text("edge", "\"foot\"").map(str::to_owned);
    let (leg, note) = (measures.may("leg"), measures.name("note").unwrap_or_default());
    let sides = if measures.0.flag("one_side") { 1 } else { 2 };
    let all_round = measures.0.flag("all_round");
    if all_round && sides == 1 {
        measures.0.add(
            Finding::stop("weld", "a fillet that goes all round is on both sides")
                .at(item.span, "`all_round` and `one_side`")
                .help("leave out one of them"),
        );
    }
    let each = Each::read(&measures);
    measures.0.finish();
    Some(Weld { edge: edge?, leg, sides, all_round, note, each: each?, span: item.span })
}

fn step(item: &Item, files: Files, findings: &Findings) -> Option<Step> {
    let measures = Measures(Fields::of(item, findings)?);
    let words = ["add", "cut", "fill", "round"];
    let present: Vec<&str> =
        words.into_iter().filter(|w| *w != "round" && measures.0.has(w)).collect();
    let (when, each) = (measures.may("when"), Each::read(&measures));
    // `round` is also the list of a belt, so it is a step of its own only where it stands alone.
    let work = match present.as_slice() {
        ["add"] if measures.0.get("add").and_then(Item::text) == Some("tongue") => {
            tongue::tongue(&measures).map(Work::Tongue)
        }
        ["add"] => placed(&measures, "add", files).map(Work::Add),
        ["cut"] => placed(&measures, "cut", files).map(Work::Cut),
        ["fill"] => measures.need("fill").map(Work::Fill),
        [] if measures.0.has("round") => measures.need("round").map(Work::Round),
        _ => {
            findings.add(
                Finding::stop("missing-key", "a step does one of: add, cut, fill, round")
                    .at(item.span, "")
                    .help("write `{ add = \"rectangle\", width = \"…\", height = \"…\" }`"),
            );
            return None;
        }
    };
    let shape = ["add", "cut"].iter().find_map(|w| measures.0.get(w)?.text());
    if work.is_some() || shape.is_some_and(|shape| SHAPES.contains(&shape)) {
        measures.0.finish();
    }
    Some(Step { work: work?, when, each: each?, span: item.span })
}

/// The shapes that steps know.
pub(crate) const SHAPES: &[&str] = &[
    "disc",
    "slot",
    "rectangle",
    "polygon",
    "belt",
    "saddle",
    "hexagon",
    "keyway",
    "double-flat",
    "outline",
    "tongue",
];

fn placed(measures: &Measures, work: &str, files: Files) -> Option<Placed> {
    let item = measures.0.get(work)?;
    let shape = match item.text() {
        Some("disc") => measures.need("radius").map(Shape::Disc),
        Some("slot") => both(measures.need("length"), measures.need("width"))
            .map(|(length, width)| Shape::Slot(length, width)),
        Some("rectangle") => {
            let corner = measures.may("corner");
            both(measures.need("width"), measures.need("height"))
                .map(|(width, height)| Shape::Rectangle(width, height, corner))
        }
        Some("polygon") => list(measures, "corners", corner).map(Shape::Polygon),
        Some("belt") => list(measures, "round", belt_piece).map(Shape::Belt),
        Some("saddle") => {
            let (lean, aside) = (measures.may("angle"), measures.may("offset"));
            let edge = measures.name("edge");
            measures.need("tube").map(|tube| Shape::Saddle(tube, lean, aside, edge))
        }
        Some("hexagon") => measures.need("flats").map(Shape::Hexagon),
        Some("keyway") => {
            let measured = both(measures.need("diameter"), measures.need("key"));
            both(measured, measures.need("depth"))
                .map(|((diameter, key), depth)| Shape::Keyway(diameter, key, depth))
        }
        Some("double-flat") => both(measures.need("diameter"), measures.need("flats"))
            .map(|(diameter, flats)| Shape::DoubleFlat(diameter, flats)),
        Some("outline") => outline::drawn(&measures.0, files).map(Shape::Outline),
        other => {
            let near = other.and_then(|o| crate::diag::nearest(o, SHAPES.iter().copied()));
            let help = match near {
                Some(near) => format!("write `{near}`"),
                None => format!("choose from {}", SHAPES.join(", ")),
            };
            let said = other.map_or(item.kind().to_owned(), |o| format!("`{o}`"));
            measures.0.add(
                Finding::stop("unknown-shape", format!("{said} is not a shape"))
                    .at(item.letters, "")
                    .help(help),
            );
            None
        }
    };
    let (at, rotate) = (measures.point("at"), measures.may("rotate"));
    Some(Placed { shape: shape?, at: at?, rotate })
}

fn list<T>(
    measures: &Measures,
    name: &str,
    read: fn(&Item, &Findings) -> Option<T>,
) -> Option<Vec<T>> {
    measures.0.need(name, "[ … ]")?;
    let items = measures.0.list(name);
    let all: Vec<T> = items.iter().filter_map(|i| read(i, measures.0.findings())).collect();
    (all.len() == items.len()).then_some(all)
}

fn corner(item: &Item, findings: &Findings) -> Option<CornerStep> {
    if matches!(item.value, Value::List(_) | Value::Text(_)) {
        let at = point(item, findings)?;
        return Some(CornerStep { at, treatment: None, arc: None, edge: None });
    }
    let measures = Measures(Fields::of(item, findings)?);
    measures.0.need("at", "[\"0\", \"0\"]")?;
    let at = measures.point("at");
    let kinds =
        [("round", Treatment::Round), ("chamfer", Treatment::Chamfer), ("clip", Treatment::Clip)];
    let present: Vec<_> = kinds.into_iter().filter(|(name, _)| measures.0.has(name)).collect();
    if present.len() > 1 {
        findings.add(
            Finding::stop("wrong-kind", "a corner is either rounded, chamfered or clipped")
                .at(item.span, "")
                .help(format!("remove `{}`", present[1].0)),
        );
        return None;
    }
    let treatment = match present.first() {
        Some((name, kind)) => Some((*kind, measures.need(name)?)),
        None => None,
    };
    let arc = match measures.0.get("arc") {
        Some(item) => Some(arc(item, findings)?),
        None => None,
    };
    let edge = measures.name("edge");
    measures.0.finish();
    Some(CornerStep { at: at?, treatment, arc, edge })
}

/// The `arc` of a corner.
fn arc(item: &Item, findings: &Findings) -> Option<ArcSide> {
    let measures = Measures(Fields::of(item, findings)?);
    let present: Vec<&str> =
        ["height", "radius", "through"].into_iter().filter(|k| measures.0.has(k)).collect();
    let arc = match present.as_slice() {
        ["height"] => measures.need("height").map(ArcSide::Height),
        ["radius"] => measures.need("radius").map(ArcSide::Radius),
        ["through"] => measures.point("through").map(ArcSide::Through),
        _ => {
            findings.add(
                Finding::stop("wrong-kind", "an arc has one of: height, radius, through")
                    .at(item.span, "")
                    .help("write `arc = { height = \"12 mm\" }`, its height over the chord"),
            );
            None
        }
    };
    measures.0.finish();
    arc
}

fn belt_piece(item: &Item, findings: &Findings) -> Option<BeltPiece> {
    let measures = Measures(Fields::of(item, findings)?);
    let at = measures.point("at");
    let piece = if measures.0.has("bar") {
        let (length, rotate) = (measures.need("bar"), measures.may("rotate"));
        let edge = measures.name("edge");
        both(length, at).map(|(length, at)| BeltPiece::Bar(length, at, rotate, edge))
    } else {
        both(measures.need("disc"), at).map(|(radius, at)| BeltPiece::Disc(radius, at))
    };
    measures.0.finish();
    piece
}
