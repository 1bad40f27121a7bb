//! Points in space, and how a face sees them.

use crate::formula::fault::Fault;
use crate::num;

/// A point in space. Lengths are mm.
#[derive(Clone, Debug, PartialEq)]
pub struct SpacePoint {
    /// Its coordinates: in space, or in the drawing of the face that sees it, z above mid-thickness
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
    /// Its place in the drawing of the face.
    pub(super) fn place(&self) -> Result<[f64; 2], Fault> {
        let words = match &self.seen {
            Some(Seen { off: None }) => return Ok([self.at[0], self.at[1]]),
            Some(Seen { off: Some(words) }) => (words.clone(), OFF),
            None => ("this point is in space, and is used here outside a face".into(), UNSEEN),
        };
        Err(Fault::Place { words: words.0, help: words.1 })
    }

    /// A coordinate by its name, mm.
    pub(super) fn coordinate(&self, field: &str) -> Result<f64, Fault> {
        let index = match (field, &self.seen) {
            ("x", _) => 0,
            ("y", _) => 1,
            ("z", None) => 2,
            (_, None) => return Err(Fault::Undefined("a point in space has `x`, `y` and `z`")),
            _ => return Err(Fault::Undefined("in a face a point has `x` and `y`")),
        };
        if self.seen.is_some() { Ok(self.place()?[index]) } else { Ok(self.at[index]) }
    }

    /// Its coordinates in the frame of a face, however far off it is.
    fn seen_at(&self) -> Result<[f64; 3], Fault> {
        match self.seen {
            Some(_) => Ok(self.at),
            None => self.place().map(|_| self.at),
        }
    }

    /// A place in the face.
    fn within(x: f64, y: f64) -> Self {
        Self { at: [x, y, 0.0], seen: Some(Seen { off: None }) }
    }

    /// Its foot on the face, however far away that is.
    pub(super) fn foot(&self) -> Result<Self, Fault> {
        self.seen_at().map(|[x, y, _]| Self::within(x, y))
    }

    /// Where the line through it and another crosses the mid-plane of the sheet.
    pub(super) fn crossing(&self, to: &Self) -> Result<Self, Fault> {
        let (p, q) = (self.seen_at()?, to.seen_at()?);
        let (way, long) = way(p, q);
        if way[2].abs() <= LEVEL * long {
            let words = "the line through these points runs along the face".into();
            return Err(Fault::Place { words, help: "name two points on a line that crosses it" });
        }
        let share = -p[2] / way[2];
        Ok(Self::within(p[0] + share * way[0], p[1] + share * way[1]))
    }

    /// How far another is from it, mm, both in space; nothing where a face sees one of them.
    pub(super) fn distance(&self, to: &Self) -> Option<f64> {
        let both = self.seen.is_none() && to.seen.is_none();
        both.then(|| way(self.at, to.at).1)
    }
}

/// From one place to another, and how far that is, mm.
fn way(from: [f64; 3], to: [f64; 3]) -> ([f64; 3], f64) {
    let way = [0, 1, 2].map(|i| to[i] - from[i]);
    (way, num::hypot(num::hypot(way[0], way[1]), way[2]))
}

const OFF: &str = "`foot(P)` is where a line square to the face meets it, `crossing(P, Q)` where \
                   the line through two points does; or move the face";
const UNSEEN: &str = "use it in a face with `on = { origin, x, side }`";

/// A line that rises less runs along a face: sine of the angle, 3°. Our choice, that of a tube
/// that crosses a plate.
const LEVEL: f64 = 0.052;
