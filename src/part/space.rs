//! Tubes in space as numbers, and their coordinates in a face that is placed by three points.

use crate::diag::Finding;
use crate::diag::Span;
use crate::diag::instead;
use crate::formula::Value;
use crate::geom::CentreLine;
use crate::geom::Frame;
use crate::geom::NEAR;
use crate::geom::Space;
use crate::geom::cross;
use crate::geom::dot;
use crate::geom::length;
use crate::geom::minus;
use crate::geom::plus;
use crate::geom::times;
use crate::geom::unit;
use crate::part::space_tube::SpaceTube;
use crate::part::space_tube::SpaceTubes;
use crate::part::values::Values;
use crate::recipe;
use crate::recipe::Expr;
use crate::recipe::Face;
use crate::recipe::Params;
use crate::recipe::Plane;
use crate::recipe::PlaneBy;

/// The z of a direction of length 1 that is straight up or down. Our choice.
const UPRIGHT: f64 = 1.0 - 1e-9;

/// All tubes of the recipe, named by a step or not.
pub(super) fn tubes(values: &Values) -> SpaceTubes {
    let one = |(name, asked): (&String, &recipe::SpaceTube)| {
        let tube = match values.holds(asked.when.as_ref())? {
            true => Some(tube(name, asked, values)?),
            false => None,
        };
        Some((name.clone(), tube))
    };
    values.recipe.tubes.iter().filter_map(one).collect()
}

fn tube(name: &str, asked: &recipe::SpaceTube, values: &Values) -> Option<SpaceTube> {
    let radius = values.length(&asked.outside)? / 2.0;
    let refuse = |headline: String, at, help: &str| {
        values.findings.add(Finding::stop("tube", headline).at(at, "").help(help));
        None
    };
    if radius <= 0.0 {
        let headline = "a tube needs an outside diameter of more than 0".into();
        return refuse(headline, asked.outside.span, "write `outside = \"38 mm\"`");
    }
    let bend = values.length_or_zero(asked.radius.as_ref())?;
    if let Some(expr) = asked.radius.as_ref().filter(|_| bend <= radius) {
        let headline = format!("the bends of tube `{name}` are tighter than half its diameter");
        return refuse(headline, expr.span, "give the radius of its centre line in the bends");
    }
    let points: Vec<Space> = asked.path.iter().map(|at| values.space(at)).collect::<Option<_>>()?;
    if CentreLine::new(&points, bend).is_none() {
        let (headline, help) = match points.len() {
            2 => (format!("tube `{name}` has no length"), "name two points that are apart"),
            _ => (
                format!("the points of tube `{name}` are too near each other for its bends"),
                "move them apart, or make its bends tighter",
            ),
        };
        return refuse(headline, asked.span, help);
    }
    Some(SpaceTube { points, bend, radius })
}

/// The same values with the position of this face in space, and points in space in its coordinates.
pub(super) fn in_face<T>(
    face: &Face,
    values: &Values,
    make: impl FnOnce(&Values) -> Option<T>,
) -> Option<T> {
    let Some(plane) = &face.on else { return make(values) };
    let thickness = values.known("thickness")?;
    let frame = frame(plane, values)?;
    let up = if plane.is_centred { thickness / 2.0 } else { 0.0 };
    let frame = Frame { origin: plus(frame.origin, times(frame.z, up)), ..frame };
    let params = seen(values.params, &frame, thickness);
    make(&Values { on: Some(frame), params: &params, ..*values })
}

/// The frame of a face, its top side in the plane it is on.
fn frame(plane: &Plane, values: &Values) -> Option<Frame> {
    let origin = values.space(&plane.origin);
    let (x, side) = match &plane.by {
        PlaneBy::Points(points) => (values.space(&points[0]), values.space(&points[1])),
        PlaneBy::Tube(tube, leg) => return across(origin?, tube, leg.as_ref(), plane.span, values),
    };
    let (origin, x, side) = (origin?, x?, side?);
    let along = minus(x, origin);
    let up = cross(along, minus(side, origin));
    if length(along) < NEAR || length(up) < NEAR * length(along) {
        let finding = Finding::stop("tube", "the three points of this face lie on one line");
        values
            .findings
            .add(finding.at(plane.span, "").help("choose a point off that line for `side`"));
        return None;
    }
    let (x, z) = (unit(along), unit(up));
    Some(Frame { origin, x, y: cross(z, x), z })
}

/// The frame of a face square to a leg of a tube: its top side is where the tube runs to, y points
/// up, of an upright tube along y.
fn across(
    origin: Space,
    (name, at): &(String, Span),
    leg: Option<&Expr>,
    span: Span,
    values: &Values,
) -> Option<Frame> {
    let tube = match values.tubes.get(name) {
        Some(Some(tube)) => tube,
        // A tube with a fault is missing here; the fault was reported.
        None if values.recipe.tubes.contains_key(name) => return None,
        Some(None) => {
            let headline = format!("this face is square to tube `{name}`, which `when` leaves out");
            let finding = Finding::stop("tube", headline).at(span, "");
            values.findings.add(finding.help("give the face the same `when`"));
            return None;
        }
        None => {
            no_tube(name, *at, values);
            return None;
        }
    };
    let leg = leg.map_or(Some(1), |leg| values.count(leg, tube.points.len() as u32 - 1))? as usize;
    let z = unit(minus(tube.points[leg], tube.points[leg - 1]));
    let up = if z[2].abs() > UPRIGHT { [0.0, 1.0, 0.0] } else { [0.0, 0.0, 1.0] };
    let y = unit(minus(up, times(z, dot(up, z))));
    Some(Frame { origin, x: cross(y, z), y, z })
}

/// Reports that there is no tube of a name.
pub(super) fn no_tube(name: &str, at: Span, values: &Values) {
    let names: Vec<&str> = values.recipe.tubes.keys().map(String::as_str).collect();
    let help = match names.is_empty() {
        true => format!("add `[tube.{name}]` with `from`, `to` and `outside`"),
        false => instead(name, &names, "tubes are"),
    };
    let headline = format!("there is no tube `{name}`");
    values.findings.add(Finding::stop("tube", headline).at(at, "").help(help));
}

/// The same values with the points in space as a face sees them.
fn seen(params: &Params, frame: &Frame, thickness: f64) -> Params {
    params.with_points(|name, at| {
        let [x, y, z] = frame.seen(at);
        let (above, below) = (z, -thickness - z);
        let off = above.max(below);
        let words = || {
            let side = if above > below { "above" } else { "below" };
            format!("`{name}` is {} {side} the sheet of this face", params.units().length(off))
        };
        let off = (off > params.tape()).then(words);
        Value::in_face([x, y, z + thickness / 2.0], off)
    })
}
