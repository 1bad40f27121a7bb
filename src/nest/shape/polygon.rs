//! Polygons on a grid of whole micrometres, with exact tests of their sides.

use crate::geom::Point;
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay::Overlay;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::i_float::int::point::IntPoint;

/// A point on the grid, in micrometres; y points up.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) struct Spot {
    pub(crate) x: i64,
    pub(crate) y: i64,
}

/// The corners of a simple polygon, anticlockwise.
pub(crate) type Ring = Vec<Spot>;

/// An area: its outer contour and its holes, all of them anticlockwise.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Patch {
    pub(crate) contour: Ring,
    pub(crate) holes: Vec<Ring>,
}

/// Micrometres in a millimetre.
pub(crate) const GRID: f64 = 1000.0;

/// A coordinate nearer to the grid than this, in micrometres, is on it. Our choice: a tenth of the
/// tolerance of the audit.
pub(crate) const ON_GRID: f64 = 1e-4;

impl Spot {
    pub(crate) fn new(x: i64, y: i64) -> Self {
        Self { x, y }
    }

    /// The nearest to a point in micrometres.
    pub(crate) fn near(p: Point) -> Self {
        Self { x: p.x.round() as i64, y: p.y.round() as i64 }
    }

    /// Twice the area of the triangle with `a` and `b`; positive when it is left of the line from
    /// `a` to `b`.
    pub(crate) fn side(self, a: Self, b: Self) -> i128 {
        cross(b - a, self - a)
    }
}

impl std::ops::Add for Spot {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { x: self.x + other.x, y: self.y + other.y }
    }
}

impl std::ops::Sub for Spot {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self { x: self.x - other.x, y: self.y - other.y }
    }
}

impl std::ops::Neg for Spot {
    type Output = Self;
    fn neg(self) -> Self {
        Self { x: -self.x, y: -self.y }
    }
}

/// Positive when `b` turns left from `a`. Exact.
pub(crate) fn cross(a: Spot, b: Spot) -> i128 {
    i128::from(a.x) * i128::from(b.y) - i128::from(a.y) * i128::from(b.x)
}

/// Twice the area within a ring; negative when it runs clockwise.
pub(crate) fn double_area(ring: &[Spot]) -> i128 {
    sides(ring).map(|(a, b)| cross(a, b)).sum()
}

/// The edges of a ring.
pub(crate) fn sides(ring: &[Spot]) -> impl Iterator<Item = (Spot, Spot)> {
    ring.iter().copied().zip(ring.iter().copied().cycle().skip(1))
}

/// Whether a point is in a ring and not on it. Exact.
pub(crate) fn strictly_within(ring: &[Spot], at: Spot) -> bool {
    let mut inside = false;
    for (a, b) in sides(ring) {
        let (low, high) = if a.y < b.y { (a, b) } else { (b, a) };
        let side = at.side(low, high);
        let beside =
            (low.y..=high.y).contains(&at.y) && (a.x.min(b.x)..=a.x.max(b.x)).contains(&at.x);
        if side == 0 && beside {
            return false;
        }
        if low.y <= at.y && at.y < high.y && side > 0 {
            inside = !inside;
        }
    }
    inside
}

/// The lower left and the upper right corner of the box round a ring.
pub(crate) fn extent(ring: &[Spot]) -> (Spot, Spot) {
    let (mut min, mut max) = (Spot::new(i64::MAX, i64::MAX), Spot::new(i64::MIN, i64::MIN));
    for s in ring {
        (min.x, min.y) = (min.x.min(s.x), min.y.min(s.y));
        (max.x, max.y) = (max.x.max(s.x), max.y.max(s.y));
    }
    (min, max)
}

/// The areas that closed lines wind round, by a fill rule.
pub(crate) fn filled(lines: &[Ring], rule: FillRule) -> Vec<Patch> {
    let mut overlay = Overlay::new(lines.iter().map(Vec::len).sum());
    for line in lines {
        overlay.add_contour(&points(line), i_overlay::core::overlay::ShapeType::Subject);
    }
    patches(overlay.overlay(OverlayRule::Subject, rule))
}

/// The rest of `from` without `less`.
pub(crate) fn without(from: &[Ring], less: &[Ring]) -> Vec<Patch> {
    let (from, less): (Vec<_>, Vec<_>) =
        (from.iter().map(|r| points(r)).collect(), less.iter().map(|r| points(r)).collect());
    let mut overlay = Overlay::from_subj_and_clip(&from, &less);
    patches(overlay.overlay(OverlayRule::Difference, FillRule::NonZero))
}

fn points(ring: &[Spot]) -> Vec<IntPoint<i64>> {
    ring.iter().map(|s| IntPoint { x: s.x, y: s.y }).collect()
}

fn patches(shapes: Vec<Vec<Vec<IntPoint<i64>>>>) -> Vec<Patch> {
    let ring = |contour: Vec<IntPoint<i64>>| {
        let mut ring: Ring = contour.iter().map(|p| Spot::new(p.x, p.y)).collect();
        if double_area(&ring) < 0 {
            ring.reverse();
        }
        ring
    };
    let patch = |shape: Vec<Vec<IntPoint<i64>>>| {
        let mut rings = shape.into_iter().map(ring);
        Patch { contour: rings.next().unwrap_or_default(), holes: rings.collect() }
    };
    shapes.into_iter().map(patch).collect()
}
