//! The shapes of a recipe: their dimensions and positions.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::recipe::each::Each;
use crate::recipe::expr::Expr;
use crate::recipe::measures::Measures;
use crate::recipe::measures::both;
use crate::recipe::measures::point;
use crate::recipe::outline;
use crate::recipe::outline::Files;
use crate::recipe::outline::OutlineFile;
use crate::recipe::rounded;
use crate::recipe::rounded::Rounded;
use crate::recipe::space::TubeCut;

/// A shape, its position and its rotation.
#[derive(Clone, Debug)]
pub struct Placed {
    /// The shape.
    pub shape: Shape,
    /// The position of its centre.
    pub at: [Expr; 2],
    /// How it is rotated about its centre.
    pub rotate: Option<Expr>,
}

/// A shape and its dimensions.
#[derive(Clone, Debug)]
pub enum Shape {
    /// Round, with a radius; name of its edge.
    Disc(Expr, Option<String>),
    /// Round-ended: overall length, width.
    Slot(Expr, Expr),
    /// Round-ended: the centres of both ends, width.
    SlotBetween([[Expr; 2]; 2], Expr),
    /// The centre of its round hole and that of the end of its slot; the diameter of the hole, the
    /// width of the slot.
    Keyhole([[Expr; 2]; 2], Expr, Expr),
    /// Width, height, the corners that are rounded.
    Rectangle(Expr, Expr, Option<Rounded>),
    /// Two opposite corners, the corners that are rounded.
    RectangleBetween([[Expr; 2]; 2], Option<Rounded>),
    /// As wide as the edge that carries its face, from there on: height, the corners that are
    /// rounded.
    Flange(Expr, Option<Rounded>),
    /// Corners in order.
    Polygon(Vec<CornerStep>),
    /// The discs and bars of the belt.
    Belt(Vec<BeltStep>),
    /// Tube diameter, lean, distance of its axis from the plate, name of the edge it leaves.
    Saddle(Expr, Option<Expr>, Option<Expr>, Option<String>),
    /// Across flats.
    Hexagon(Expr),
    /// Diameter, width of the key, overall depth; by the table `key` where they are left out.
    Keyway(Expr, Option<Expr>, Option<Expr>),
    /// Diameter, across the flats.
    DoubleFlat(Expr, Expr),
    /// The area an arm sweeps about its pivot: from there to the centre of its round end, its
    /// width, the directions in which it begins and ends, anticlockwise.
    Arm(Expr, Expr, [Expr; 2]),
    /// The area a tube in space cuts out of the face.
    Tube(TubeCut),
    /// The area of an obstacle of the face, with its clearance: its name, and the position of that.
    Obstacle(String, Span),
    /// Drawn in a DXF or SVG file: `{ add = "outline", file = "plate.dxf" }`, with its holes. The
    /// origin of the drawing goes to `at`. `units = "mm"` or `"in"` is for a file that does
    /// not say them or says them wrong, and `layer` names the layer to read; without it that
    /// is `CUT` where the file has it, else all. `layers` says of each what it means.
    Outline(OutlineFile),
}

impl Shape {
    /// The lists over which its corners and pieces are repeated.
    pub(super) fn repeated(&self) -> Vec<&Each> {
        match self {
            Self::Polygon(corners) => corners.iter().filter_map(|c| c.each.as_ref()).collect(),
            Self::Belt(steps) => steps.iter().filter_map(|step| step.each.as_ref()).collect(),
            _ => Vec::new(),
        }
    }
}

/// A corner of a polygon.
#[derive(Clone, Debug)]
pub struct CornerStep {
    /// Where.
    pub at: [Expr; 2],
    /// Its treatment, with its dimension.
    pub treatment: Option<(Treatment, Expr)>,
    /// The radius of the disc about it that the outline runs round, where it does.
    pub disc: Option<Expr>,
    /// How the edge runs that leaves it, where it is an arc.
    pub arc: Option<ArcSide>,
    /// Name of the edge that leaves it.
    pub edge: Option<String>,
    /// Once for each value of lists.
    pub each: Option<Each>,
    /// Its entry.
    pub span: Span,
}

/// An arc from a corner of a polygon to the next.
#[derive(Clone, Debug)]
pub enum ArcSide {
    /// Its height over the chord; more than 0 bows out of the polygon.
    Height(Expr),
    /// Its radius; more than 0 bows out of the polygon.
    Radius(Expr),
    /// A point on it.
    Through([Expr; 2]),
    /// Its centre.
    Centre([Expr; 2]),
    /// Tangent to the end of the edge before it.
    Tangent,
}

/// What is done to a corner.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Treatment {
    /// Rounded with a radius.
    Round,
    /// Cut straight, by this length along both edges.
    Chamfer,
    /// Hollowed round the corner with a radius.
    Clip,
}

/// What a belt runs round, and how often.
#[derive(Clone, Debug)]
pub struct BeltStep {
    /// What.
    pub piece: BeltPiece,
    /// Once for each value of lists.
    pub each: Option<Each>,
}

/// What a belt runs round.
#[derive(Clone, Debug)]
pub enum BeltPiece {
    /// A disc: radius, centre.
    Disc(Expr, [Expr; 2]),
    /// A straight bar: length, centre, rotate, name of the edge.
    Bar(Expr, [Expr; 2], Option<Expr>, Option<String>),
}

/// The shapes that steps know.
pub(crate) const SHAPES: &[&str] = &[
    "disc",
    "slot",
    "rectangle",
    "flange",
    "polygon",
    "belt",
    "saddle",
    "hexagon",
    "keyway",
    "keyhole",
    "double-flat",
    "arm",
    "tube",
    "obstacle",
    "outline",
    "tongue",
];

/// The shape that the key `work` names, in its place.
pub(super) fn placed(measures: &Measures, work: &str, files: Files) -> Option<Placed> {
    let item = measures.0.get(work)?;
    let shape = match item.text() {
        Some("disc") => {
            let edge = measures.name("edge");
            measures.need("radius").map(|radius| Shape::Disc(radius, edge))
        }
        Some("slot" | "rectangle") if measures.0.has("from") || measures.0.has("to") => {
            return between(measures, item.text() == Some("slot"));
        }
        Some("keyhole") => return keyhole(measures),
        Some("slot") => both(measures.need("length"), measures.need("width"))
            .map(|(length, width)| Shape::Slot(length, width)),
        Some("rectangle") => {
            let rounded = rounded::read(measures);
            both(rounded, both(measures.need("width"), measures.need("height")))
                .map(|(rounded, (width, height))| Shape::Rectangle(width, height, rounded))
        }
        Some("flange") => return flange(measures, work),
        Some("polygon") => list(measures, "corners", corner).map(Shape::Polygon),
        Some("belt") => list(measures, "round", belt_piece).map(Shape::Belt),
        Some("saddle") => {
            let (lean, aside) = (measures.may("angle"), measures.may("offset"));
            let edge = measures.name("edge");
            measures.need("tube").map(|tube| Shape::Saddle(tube, lean, aside, edge))
        }
        Some("hexagon") => measures.need("flats").map(Shape::Hexagon),
        Some("keyway") => {
            let (key, depth) = (measures.may("key"), measures.may("depth"));
            measures.need("diameter").map(|diameter| Shape::Keyway(diameter, key, depth))
        }
        Some("double-flat") => both(measures.need("diameter"), measures.need("flats"))
            .map(|(diameter, flats)| Shape::DoubleFlat(diameter, flats)),
        Some("arm") => {
            let measured = both(measures.need("radius"), measures.need("width"));
            let ends = both(measures.need_angle("from"), measures.need_angle("to"));
            both(measured, ends)
                .map(|((radius, width), (from, to))| Shape::Arm(radius, width, [from, to]))
        }
        Some("tube") => {
            // It lies where its tube does.
            return TubeCut::read(measures).map(|cut| by_itself(Shape::Tube(cut), measures));
        }
        Some("obstacle") => {
            let name = measures.0.needed_text("obstacle", "\"lever\"").map(str::to_owned);
            let span = measures.0.get("obstacle").map(|item| item.letters);
            let shape = name.zip(span).map(|(name, span)| Shape::Obstacle(name, span));
            return shape.map(|shape| by_itself(shape, measures));
        }
        Some("outline") => outline::drawn(&measures.0, files).map(Shape::Outline),
        other => {
            measures.0.add(unknown(other, item));
            None
        }
    };
    let (at, rotate) = (measures.point("at"), measures.may("rotate"));
    Some(Placed { shape: shape?, at: at?, rotate })
}

/// The finding for a word that is no shape.
fn unknown(word: Option<&str>, item: &Item) -> Finding {
    let help = match word.and_then(|word| crate::diag::nearest(word, SHAPES.iter().copied())) {
        Some(near) => format!("write `{near}`"),
        None => format!("choose from {}", SHAPES.join(", ")),
    };
    let said = word.map_or(item.kind().to_owned(), |word| format!("`{word}`"));
    Finding::stop("unknown-shape", format!("{said} is not a shape")).at(item.letters, "").help(help)
}

/// The points `from` and `to`.
fn ends(measures: &Measures) -> Option<([Expr; 2], [Expr; 2])> {
    let end = |key: &str| {
        measures.0.need(key, "[\"0\", \"0\"]")?;
        measures.point(key)
    };
    both(end("from"), end("to"))
}

/// A keyhole from the centre of its round hole to where the neck rests.
fn keyhole(measures: &Measures) -> Option<Placed> {
    let sizes = both(measures.need("head"), measures.need("neck"));
    let why = "`from` and `to` already say where this is";
    let is_alone = measures.alone("from", &[("at", why), ("rotate", why)]);
    let shape = both(ends(measures), sizes)
        .map(|((from, to), (head, neck))| Shape::Keyhole([from, to], head, neck));
    shape.filter(|_| is_alone).map(|shape| by_itself(shape, measures))
}

/// A slot by the centres of its ends, or a rectangle by two opposite corners.
fn between(measures: &Measures, is_slot: bool) -> Option<Placed> {
    let ends = ends(measures);
    let why = "`from` and `to` already say where this is, and how long";
    let mut others = vec![("at", why), ("rotate", why), ("height", why), ("length", why)];
    let shape = if is_slot {
        both(ends, measures.need("width")).map(|((a, b), width)| Shape::SlotBetween([a, b], width))
    } else {
        others.push(("width", why));
        both(ends, rounded::read(measures)).map(|((a, b), r)| Shape::RectangleBetween([a, b], r))
    };
    let is_alone = measures.alone("from", &others);
    shape.filter(|_| is_alone).map(|shape| by_itself(shape, measures))
}

/// A flange, which is where the edge is that carries its face.
fn flange(measures: &Measures, work: &str) -> Option<Placed> {
    let shape = both(rounded::read(measures), measures.need("height"));
    let place = "a flange runs the full length of the edge that carries its face";
    let width = "a flange is as wide as the edge that carries its face: it has no width of its own";
    let is_alone = measures.alone("add", &[("at", place), ("rotate", place), ("width", width)]);
    if work != "add" {
        let headline = "a flange can only be added, not cut";
        let finding = Finding::stop("blank", headline).at(measures.0.get(work)?.span, "");
        measures.0.add(finding.help("write `add = \"flange\"`, or cut a rectangle"));
        return None;
    }
    let shape = shape.map(|(rounded, height)| Shape::Flange(height, rounded));
    shape.filter(|_| is_alone).map(|shape| by_itself(shape, measures))
}

/// A shape that says itself where it is.
fn by_itself(shape: Shape, measures: &Measures) -> Placed {
    Placed { shape, at: measures.origin(), rotate: None }
}

/// A list of which every item can be read.
pub(super) fn list<T>(
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
        let (treatment, disc, arc, edge, each) = (None, None, None, None, None);
        return Some(CornerStep { at, treatment, disc, arc, edge, each, span: item.span });
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
    let (disc, edge) = (measures.may("disc"), measures.name("edge"));
    let each = Each::read(&measures);
    measures.0.finish();
    let by_radius = matches!(arc, None | Some(ArcSide::Radius(_)));
    if let Some(disc) = disc.as_ref().filter(|_| treatment.is_some() || !by_radius) {
        let headline = "a disc has straight sides or arcs of a `radius` that touch it: \
                        no other arc, no round, chamfer or clip";
        let finding = Finding::stop("wrong-kind", headline).at(disc.span, "");
        findings.add(finding.help("remove `disc`, or what is beside it"));
        return None;
    }
    Some(CornerStep { at: at?, treatment, disc, arc, edge, each: each?, span: item.span })
}

/// The `arc` of a corner.
fn arc(item: &Item, findings: &Findings) -> Option<ArcSide> {
    let measures = Measures(Fields::of(item, findings)?);
    let keys = ["height", "radius", "through", "centre", "tangent"];
    let present: Vec<&str> = keys.into_iter().filter(|k| measures.0.has(k)).collect();
    let arc = match present.as_slice() {
        ["height"] => measures.need("height").map(ArcSide::Height),
        ["radius"] => measures.need("radius").map(ArcSide::Radius),
        ["through"] => measures.point("through").map(ArcSide::Through),
        ["centre"] => measures.point("centre").map(ArcSide::Centre),
        ["tangent"] if measures.0.flag("tangent") => Some(ArcSide::Tangent),
        _ => {
            findings.add(
                Finding::stop(
                    "wrong-kind",
                    "an arc has one of: height, radius, through, centre, tangent = true",
                )
                .at(item.span, "")
                .help("write `arc = { height = \"12 mm\" }`, its height over the chord"),
            );
            None
        }
    };
    measures.0.finish();
    arc
}

fn belt_piece(item: &Item, findings: &Findings) -> Option<BeltStep> {
    let measures = Measures(Fields::of(item, findings)?);
    let at = measures.point("at");
    let piece = if measures.0.has("bar") {
        let (length, rotate) = (measures.need("bar"), measures.may("rotate"));
        let edge = measures.name("edge");
        both(length, at).map(|(length, at)| BeltPiece::Bar(length, at, rotate, edge))
    } else {
        both(measures.need("disc"), at).map(|(radius, at)| BeltPiece::Disc(radius, at))
    };
    let each = Each::read(&measures);
    measures.0.finish();
    Some(BeltStep { piece: piece?, each: each? })
}
