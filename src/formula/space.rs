//! Points in space, and how a face sees them.

use crate::formula::fault::Fault;
use crate::formula::value::Value;
use crate::num;
use std::sync::Arc;

/// A point in space. Lengths are mm.
#[derive(Clone, Debug, PartialEq)]
pub struct SpacePoint {
    /// Its coordinates: in space, or in the drawing of the face that sees it, z above the middle
    /// of the sheet.
    pub at: [f64; 3],
    /// How a face sees it; nothing outside a face.
    pub seen: Option<Seen>,
}

/// How a face sees a point in space.
#[derive(Clone, Debug, PartialEq)]
pub struct Seen {
    /// Why it has no place in the face of itself: how far it lies off the sheet, in words.
    pub off: Option<String>,
}

impl SpacePoint {
    /// A point in space as a value.
    pub fn value(at: [f64; 3]) -> Value {
        Value::Space(Arc::new(Self { at, seen: None }))
    }

    /// A point as a face sees it, as a value.
    pub fn in_face(at: [f64; 3], off: Option<String>) -> Value {
        Value::Space(Arc::new(Self { at, seen: Some(Seen { off }) }))
    }

    /// Its place in the drawing of the face.
    pub(super) fn place(&self) -> Result<[f64; 2], Fault> {
        let words = match &self.seen {
            Some(Seen { off: None }) => return Ok([self.at[0], self.at[1]]),
            Some(Seen { off: Some(words) }) => (words.clone(), OFF),
            None => ("this point lies in space, and no face sees it here".into(), UNSEEN),
        };
        Err(Fault::Place { words: words.0, help: words.1 })
    }

    /// A coordinate by its name.
    pub(super) fn coordinate(&self, field: &str) -> Result<Value, Fault> {
        let index = match (field, &self.seen) {
            ("x", _) => 0,
            ("y", _) => 1,
            ("z", None) => 2,
            (_, None) => return Err(Fault::Undefined("a point in space has `x`, `y` and `z`")),
            _ => return Err(Fault::Undefined("in a face a point has `x` and `y`")),
        };
        let at = if self.seen.is_some() { self.place()?[index] } else { self.at[index] };
        Ok(Value::length(at))
    }
}

const OFF: &str = "`foot(P)` is where a line square to the face meets it, `crossing(P, Q)` where \
                   the line through two points does; or move the face";
const UNSEEN: &str = "use it in a face with `on = { origin, x, side }`";

/// The foot of a point on the face, however far that is.
pub(super) fn foot(point: &Value) -> Result<Value, Fault> {
    let [x, y, _] = seen(point)?.at;
    Ok(SpacePoint::in_face([x, y, 0.0], None))
}

/// Where the line through two points crosses the middle of the sheet.
pub(super) fn crossing(from: &Value, to: &Value) -> Result<Value, Fault> {
    let (p, q) = (seen(from)?.at, seen(to)?.at);
    let way = [0, 1, 2].map(|i| q[i] - p[i]);
    let long = num::hypot(num::hypot(way[0], way[1]), way[2]);
    if way[2].abs() <= LEVEL * long {
        let words = "the line through these points runs along the face".into();
        return Err(Fault::Place { words, help: "name two points on a line that crosses it" });
    }
    let share = -p[2] / way[2];
    Ok(SpacePoint::in_face([p[0] + share * way[0], p[1] + share * way[1], 0.0], None))
}

/// A line that rises less runs along a face: sine of the angle, 3°. Our choice, that of a tube
/// that crosses a plate.
const LEVEL: f64 = 0.052;

/// Between two points that are both in space, or both seen in a face; nothing where they are
/// neither.
pub(super) fn distance(a: &Value, b: &Value) -> Option<f64> {
    let (Value::Space(a), Value::Space(b)) = (a, b) else { return None };
    let both = a.seen.is_none() && b.seen.is_none();
    let [x, y, z] = [0, 1, 2].map(|i| b.at[i] - a.at[i]);
    both.then(|| num::hypot(num::hypot(x, y), z))
}

fn seen(value: &Value) -> Result<&SpacePoint, Fault> {
    let wanted = "a point in space";
    match value {
        Value::Space(point) if point.seen.is_some() => Ok(point),
        Value::Space(point) => point.place().map(|_| point.as_ref()),
        other => Err(Fault::Kind { wanted, got: other.kind() }),
    }
}
