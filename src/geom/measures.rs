//! Points to be found, the measurements of them, and the result.

use kurbo::Point;

/// A point of a network.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Node {
    /// It stays where it is.
    Fixed(Point),
    /// The index of one that is sought.
    Sought(usize),
}

/// A measurement of the point of this index.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measure {
    /// The point.
    pub of: usize,
    /// The kind of measurement.
    pub what: Measured,
    /// mm, or degrees of a direction.
    pub value: f64,
}

/// A measurement of a point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Measured {
    /// The distance from a point, mm.
    Distance(Node),
    /// The distance to the left of the line from one point to another, mm.
    Left(Node, Node),
    /// The direction from a point, degrees anticlockwise from x.
    Direction(Node),
}

/// Which of two places a point has.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Choice {
    /// To the left of the line between two points, or to the right.
    Side(Node, Node, bool),
    /// The one nearer to a point.
    Near(Node),
}

/// Points to be found.
#[derive(Clone, Debug, Default)]
pub struct Network {
    /// Which of two places each has, where that is given.
    pub choices: Vec<Option<Choice>>,
    /// The measurements.
    pub measures: Vec<Measure>,
    /// Places that differ by less, mm, are one.
    pub same: f64,
}

/// Points that were found.
#[derive(Clone, Debug)]
pub struct Fitted {
    /// Where they are.
    pub points: Vec<Point>,
    /// How each measurement comes out.
    pub measures: Vec<Outcome>,
    /// How many measurements there are beyond those needed.
    pub spare: usize,
}

/// How a measurement comes out.
#[derive(Clone, Copy, Debug)]
pub struct Outcome {
    /// By how much the measurement exceeds the fitted value, mm.
    pub off: f64,
    /// That, for the share of the measurement that the others check: how far off it is in the unit
    /// of a single measurement, mm. 0 where nothing checks it.
    pub normal: f64,
    /// By how much the measurement exceeds what all the others give, mm; 0 where they give nothing.
    pub blunder: f64,
    /// How far a point is moved by 1 mm of this measurement, mm.
    pub moves: f64,
}

impl Outcome {
    /// Of a measurement that exceeds the fitted distance, of which the others check a share, and
    /// which moves a point by this much.
    pub(super) fn of(off: f64, checked: f64, moves: f64) -> Self {
        match checked > 1e-6 {
            true => Self { off, normal: off / checked.sqrt(), blunder: off / checked, moves },
            false => Self { off, normal: 0.0, blunder: 0.0, moves },
        }
    }
}

/// Why points cannot be found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NetworkError {
    /// The number of measurements of this point from points that are placed is too small.
    TooFew(usize, usize),
    /// Two measurements, by index, do not meet: this much is missing, mm.
    Apart(usize, usize, f64),
    /// Two places of this point fit equally well; their distance in mm.
    Ambiguous(usize, f64),
    /// The point comes out on the other side, or behind the point its direction is from.
    OtherSide(usize),
    /// The measurements leave this point loose.
    Loose(usize),
}

/// How far a point is to the left of the line from one point to another.
pub(super) fn side(point: Point, from: Point, to: Point) -> f64 {
    let along = to - from;
    along.cross(point - from) / along.hypot().max(f64::MIN_POSITIVE)
}
