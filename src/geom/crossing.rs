//! Where circles and lines cross, or come nearest.

use kurbo::Point;
use kurbo::Vec2;

/// A circle or an endless line.
#[derive(Clone, Copy, Debug)]
pub(super) enum Locus {
    /// Centre and radius.
    Circle(Point, f64),
    /// A point and a direction of length 1.
    Line(Point, Vec2),
}

/// Where two of them meet.
#[derive(Clone, Debug, Default)]
pub(super) struct Meeting {
    /// The places; if they do not meet, the one between them; empty for parallel lines.
    pub(super) places: Vec<Point>,
    /// How much is missing.
    pub(super) gap: f64,
}

impl Locus {
    /// How far a point is off it.
    pub(super) fn off(&self, point: Point) -> f64 {
        match self {
            Self::Circle(centre, radius) => (point - *centre).hypot() - radius,
            Self::Line(on, along) => along.cross(point - *on),
        }
    }
}

/// Lines are parallel when their directions differ by less (radians). Our choice.
const PARALLEL: f64 = 1e-6;

pub(super) fn meet(first: &Locus, second: &Locus) -> Meeting {
    match (first, second) {
        (Locus::Circle(a, r), Locus::Circle(b, s)) => circles(*a, *r, *b, *s),
        (Locus::Circle(centre, radius), Locus::Line(on, along))
        | (Locus::Line(on, along), Locus::Circle(centre, radius)) => {
            let foot = *on + *along * along.dot(*centre - *on);
            let out = (foot - *centre).hypot();
            let half = (radius * radius - out * out).max(0.0).sqrt();
            let places = match half > 0.0 {
                true => vec![foot - *along * half, foot + *along * half],
                false => vec![foot],
            };
            Meeting { places, gap: (out - radius).max(0.0) }
        }
        (Locus::Line(a, along), Locus::Line(b, other)) => {
            let across = along.cross(*other);
            if across.abs() < PARALLEL {
                return Meeting::default();
            }
            let run = other.cross(*a - *b) / across;
            Meeting { places: vec![*a + *along * run], gap: 0.0 }
        }
    }
}

fn circles(a: Point, r: f64, b: Point, s: f64) -> Meeting {
    let between = b - a;
    let apart = between.hypot();
    if apart < f64::MIN_POSITIVE {
        return Meeting { places: Vec::new(), gap: (r - s).abs() };
    }
    let along = between / apart;
    let gap = (apart - r - s).max(r - s - apart).max(s - r - apart).max(0.0);
    // From the first centre to the foot of the crossings on the line of centres.
    let foot = (apart * apart + r * r - s * s) / (2.0 * apart);
    let height = (r * r - foot * foot).max(0.0).sqrt();
    let foot = a + along * foot;
    let across = Vec2::new(-along.y, along.x) * height;
    let places = match height > 0.0 {
        true => vec![foot + across, foot - across],
        false => vec![foot],
    };
    Meeting { places, gap }
}
