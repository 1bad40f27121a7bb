//! The shapes of a step: outlines in their places, with the edges they name.

use crate::diag::Finding;
use crate::diag::Span;
use crate::geom;
use crate::geom::Arm;
use crate::geom::ArmSide;
use crate::geom::Disc;
use crate::geom::Edge;
use crate::geom::NEAR;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Saddle;
use crate::geom::Vec2;
use crate::geom::heading;
use crate::num::Angle;
use crate::part::face::Cope;
use crate::part::face::NamedEdge;
use crate::part::keyway;
use crate::part::polygon::CHANGE;
use crate::part::polygon::MAX;
use crate::part::polygon::polygon;
use crate::part::rectangle::rectangle;
use crate::part::sweep::sweep;
use crate::part::values::Values;
use crate::recipe::BeltPiece;
use crate::recipe::BeltStep;
use crate::recipe::Expr;
use crate::recipe::Placed;
use crate::recipe::Rounded;
use crate::recipe::Shape;

type Shaped = (Outline, Vec<NamedEdge>);

/// A shape in its place, with the edges it names.
pub(super) fn shape(
    placed: &Placed,
    values: &Values,
    thickness: f64,
    before: Option<&Region>,
    span: Span,
) -> Option<Shaped> {
    let place = place(placed, values)?;
    let size = |key: &str, expr| values.positive("blank", key, expr);
    let alone = |outline: Outline| (outline, Vec::new());
    let plain =
        |made: Result<Outline, geom::OutlineError>| made.map(alone).map_err(|e| e.to_string());
    let o = Point::ZERO;
    let made = match &placed.shape {
        Shape::Disc(radius, edge) => disc(size("radius", radius)?, edge.as_deref(), values),
        Shape::Slot(l, w) => plain(geom::slot(o, size("length", l)?, size("width", w)?)),
        Shape::Hexagon(flats) => plain(geom::hexagon(o, size("flats", flats)?)),
        Shape::Keyway(d, key, depth) => {
            let lengths = [key.as_ref(), depth.as_ref()];
            plain(keyway::outline(size("diameter", d)?, lengths, values, span)?)
        }
        Shape::Arm(radius, width, ends) => {
            arm(size("radius", radius)?, size("width", width)?, ends, values)?
        }
        Shape::Tube(_) | Shape::Obstacle(..) => return only_cut(&placed.shape, values, span),
        Shape::Outline(file) => Ok((file.region.outer().clone(), Vec::new())),
        Shape::DoubleFlat(d, flats) => {
            plain(geom::double_flat(o, size("diameter", d)?, size("flats", flats)?))
        }
        Shape::Rectangle(w, h, corner) => {
            let (w, h) = (size("width", w)?, size("height", h)?);
            rectangle(w, h, corner.as_ref(), values)?
        }
        Shape::SlotBetween(ends, width) => {
            let [from, to] = both_ends(ends, values, span)?;
            plain(slot_between(from, to, size("width", width)?))
        }
        Shape::Keyhole(ends, head, neck) => {
            let ends = both_ends(ends, values, span)?;
            plain(keyhole(ends, size("head", head)?, size("neck", neck)?))
        }
        Shape::RectangleBetween(ends, corner) => {
            rectangle_between(both_ends(ends, values, span)?, corner.as_ref(), values, span)?
        }
        Shape::Flange(height, corner) => flange(size("height", height)?, corner.as_ref(), values)?,
        Shape::Polygon(corners) => Ok(polygon(corners, values, span)?),
        Shape::Belt(pieces) => belt(pieces, values)?,
        Shape::Saddle(tube, lean, aside, _) => {
            let lean = lean.as_ref().map_or(Some(Angle::QUARTER), |l| values.angle(Some(l)))?;
            let (tube, aside) = (size("tube", tube)?, values.length_or_zero(aside.as_ref())?);
            let saddle = Saddle { tube, lean, aside, thickness, reach: reach(before, &place) };
            saddle.outline().map(alone).map_err(|e| e.to_string())
        }
    };
    let reported = |words: String| report(values, span, &words, CHANGE);
    made.map_err(reported).ok().map(|shaped| moved(shaped, &place))
}

/// Reports a shape that takes metal and is added.
fn only_cut(shape: &Shape, values: &Values, span: Span) -> Option<Shaped> {
    let (words, help) = match shape {
        Shape::Obstacle(..) => {
            ("an obstacle can only be cut, not added", "write `cut = \"obstacle\"`")
        }
        _ => ("a tube can only be cut, not added", "write `cut = \"tube\"`"),
    };
    report(values, span, words, help);
    None
}

/// A flange as wide as the edge that carries it.
fn flange(
    height: f64,
    corner: Option<&Rounded>,
    values: &Values,
) -> Option<Result<Shaped, String>> {
    let [low, high] = values.carried?;
    let made = rectangle(high - low, height, corner, values)?;
    let middle = Point::new(f64::midpoint(low, high), height / 2.0);
    Some(made.map(|shaped| moved(shaped, &Place::at(middle))))
}

/// A slot whose round ends are centred at two points.
fn slot_between(from: Point, to: Point, width: f64) -> Result<Outline, geom::OutlineError> {
    let way = to - from;
    let slot = geom::slot(Point::ZERO, way.hypot() + width, width)?;
    Ok(slot.moved(&Place::rotated(Angle::of(way.x, way.y), from.midpoint(to))))
}

/// A keyhole whose slot runs from the centre of its head to a point.
fn keyhole([from, to]: [Point; 2], head: f64, neck: f64) -> Result<Outline, geom::OutlineError> {
    let way = to - from;
    let outline = geom::keyhole(Point::ZERO, head, neck, way.hypot())?;
    Ok(outline.moved(&Place::rotated(Angle::of(way.x, way.y), from)))
}

/// A rectangle by two opposite corners.
fn rectangle_between(
    [from, to]: [Point; 2],
    corner: Option<&Rounded>,
    values: &Values,
    span: Span,
) -> Option<Result<Shaped, String>> {
    let [wide, high] = [(to.x - from.x).abs(), (to.y - from.y).abs()];
    if wide < NEAR || high < NEAR {
        let words = "`from` and `to` are level with each other, or one above the other";
        report(values, span, words, "name two opposite corners of the rectangle");
        return None;
    }
    let made = rectangle(wide, high, corner, values)?;
    Some(made.map(|shaped| moved(shaped, &Place::at(from.midpoint(to)))))
}

/// The two points that a shape is defined by, which are apart.
fn both_ends(ends: &[[Expr; 2]; 2], values: &Values, span: Span) -> Option<[Point; 2]> {
    let (from, to) = (values.point(&ends[0]), values.point(&ends[1]));
    let (from, to) = (from?, to?);
    if (to - from).hypot() < NEAR {
        report(values, span, "`from` and `to` coincide", "name two points that are apart");
        return None;
    }
    Some([from, to])
}

fn moved((outline, edges): Shaped, place: &Place) -> Shaped {
    let moved =
        |e: NamedEdge| NamedEdge { edge: e.edge.moved(place), centre: place.apply(e.centre), ..e };
    (outline.moved(place), edges.into_iter().map(moved).collect())
}

/// The tube of a saddle, in the drawing of its face.
pub(super) fn cope(
    placed: &Placed,
    tube: &Expr,
    angle: Option<&Expr>,
    offset: Option<&Expr>,
    values: &Values,
) -> Option<Cope> {
    let place = place(placed, values)?;
    let angle = angle.map_or(Some(Angle::QUARTER), |angle| values.angle(Some(angle)))?;
    Some(Cope {
        at: place.apply(Point::ZERO),
        above: values.length_or_zero(offset)?,
        along: place.direction(Vec2::new(angle.cos(), 0.0)),
        rise: angle.sin(),
        radius: values.length(tube)? / 2.0,
        outside: values.length(tube)?,
    })
}

/// The holes that come with a shape, in its place.
pub(super) fn holes(placed: &Placed, values: &Values) -> Option<Vec<Outline>> {
    let Shape::Outline(file) = &placed.shape else { return Some(Vec::new()) };
    let place = place(placed, values)?;
    Some(file.region.holes().iter().map(|h| h.moved(&place)).collect())
}

/// The placement of a shape.
pub(super) fn place(placed: &Placed, values: &Values) -> Option<Place> {
    let (at, rotate) = (values.point(&placed.at), values.angle(placed.rotate.as_ref()));
    let own = Place::rotated(rotate?, at?);
    Some(values.turn.map_or(own, |turn| own.then(&turn)))
}

/// Far enough to cut through everything there is.
fn reach(before: Option<&Region>, place: &Place) -> f64 {
    before.map_or(1.0, |region| {
        let b = region.bounds();
        2.0 * (b.width() + b.height()) + (b.centre() - place.shift.to_point()).hypot()
    })
}

fn named(name: &str, from: Point, to: Point) -> NamedEdge {
    NamedEdge { name: name.to_owned(), edge: Edge::line(from, to), centre: from.midpoint(to) }
}

/// A disc; its edge may have a name.
fn disc(radius: f64, name: Option<&str>, values: &Values) -> Result<Shaped, String> {
    let outline = geom::disc(Point::ZERO, radius).map_err(|e| e.to_string())?;
    let halves = name.map(|name| {
        let half = |edge: Edge| NamedEdge {
            name: values.edge_name(name),
            edge,
            centre: edge.point_at(0.5),
        };
        outline.edges().map(half).collect()
    });
    Ok((outline, halves.unwrap_or_default()))
}

fn arm(
    radius: f64,
    width: f64,
    ends: &[Expr; 2],
    values: &Values,
) -> Option<Result<Shaped, String>> {
    let from = values.angle(Some(&ends[0]))?;
    let sweep = Angle::from_degrees(sweep(ends, "blank", values)?);
    let named = |(side, edge): (ArmSide, Edge)| NamedEdge {
        name: side.name().to_owned(),
        edge,
        centre: edge.point_at(0.5),
    };
    let swept = Arm { radius, width, from, sweep }.swept();
    let swept = swept.map(|(outline, sides)| (outline, sides.into_iter().map(named).collect()));
    Some(swept.map_err(|error| error.to_string()))
}

fn belt(steps: &[BeltStep], values: &Values) -> Option<Result<Shaped, String>> {
    let mut discs = Vec::new();
    let mut edges = Vec::new();
    for step in steps {
        values.each(step.each.as_ref(), |values| {
            belt_piece(&step.piece, values, &mut discs, &mut edges)
        })?;
        if discs.len() > MAX {
            return Some(Err(format!("a belt runs round at most {MAX} discs, this has more")));
        }
    }
    Some(geom::belt(&discs).map(|outline| (outline, edges)).map_err(|e| e.to_string()))
}

fn belt_piece(
    piece: &BeltPiece,
    values: &Values,
    discs: &mut Vec<Disc>,
    edges: &mut Vec<NamedEdge>,
) -> Option<()> {
    match piece {
        BeltPiece::Disc(radius, at) => {
            discs.push(Disc { radius: values.length(radius)?, centre: values.point(at)? });
        }
        BeltPiece::Bar(length, at, rotate, name) => {
            let (half, at) = (values.length(length)? / 2.0, values.point(at)?);
            let rotate = values.angle(rotate.as_ref())?;
            let along = heading(rotate) * half;
            for centre in [at - along, at + along] {
                discs.push(Disc { radius: 0.0, centre });
            }
            let name = name.as_ref().map(|name| values.edge_name(name));
            edges.extend(name.map(|name| named(&name, at - along, at + along)));
        }
    }
    Some(())
}

/// Reports an error of a step.
pub(super) fn report(values: &Values, span: Span, words: &str, help: &str) {
    values.findings.add(Finding::stop("blank", words).at(span, "").help(help));
}
