//! The pieces of a view: flat facets that face the reader.

use crate::fold::Space;
use crate::fold::dot;
use crate::fold::minus;
use crate::fold::plus;
use crate::fold::times;
use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;

/// Degrees of an arc or a bend in one flat patch, at the most. Our choice.
pub(super) const STEP: f64 = 9.0;

/// Cosine between two patches that belong to one round: of somewhat more than [`STEP`].
pub(super) const SMOOTH: f64 = 0.96;

/// A side seen under less than this, as a sine, is all edge: the sides beside it draw that.
pub(super) const GRAZING: f64 = 0.03;

/// Two points nearer than this are one on paper, mm.
pub(super) const SAME: f64 = 1e-4;

/// One side of a solid, in space.
pub(super) struct Facet {
    pub(super) loops: Vec<Vec<Space>>,
    pub(super) wide: Vec<[Space; 2]>,
    pub(super) narrow: Vec<[Space; 2]>,
    /// The face whose flat side it is.
    pub(super) face: Option<usize>,
    pub(super) normal: Space,
    /// On paper.
    pub(super) bounds: Bounds,
    pub(super) centre: Space,
}

impl Facet {
    /// A side seen from where its normal points; none when that is away from the viewer.
    pub(super) fn seen(loops: Vec<Vec<Space>>, normal: Space) -> Option<Self> {
        if !faces(normal) {
            return None;
        }
        let outline = loops.first()?;
        let bounds = outline.iter().fold(Bounds::EMPTY, |b, p| b.with(paper(*p)));
        let sum = outline.iter().fold([0.0; 3], |sum, p| plus(sum, *p));
        let centre = times(sum, 1.0 / outline.len() as f64);
        let (wide, narrow) = (Vec::new(), Vec::new());
        Some(Self { loops, wide, narrow, face: None, normal, bounds, centre })
    }

    /// Least and most height of another's outline above this one's plane.
    pub(super) fn heights(&self, other: &Self) -> (f64, f64) {
        let height = |p: &Space| dot(minus(*p, self.centre), self.normal);
        let outline = other.loops[0].iter().map(height);
        outline.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), h| (a.min(h), b.max(h)))
    }

    /// Whether this one must be drawn before another.
    pub(super) fn behind(&self, other: &Self) -> bool {
        let apart = |a: f64, b: f64, c: f64, d: f64| a >= d - SAME || c >= b - SAME;
        let (a, b) = (&self.bounds, &other.bounds);
        if apart(a.min.x, a.max.x, b.min.x, b.max.x) || apart(a.min.y, a.max.y, b.min.y, b.max.y) {
            return false;
        }
        let (above, below) = (self.heights(other), other.heights(self));
        let first = above.0 > -SAME || below.1 < SAME;
        let second = below.0 > -SAME || above.1 < SAME;
        match (first, second) {
            (true, true) => false,
            (false, false) => {
                let [_, _, near] = axes();
                dot(self.centre, near) < dot(other.centre, near)
            }
            (first, _) => first,
        }
    }
}

pub(super) fn faces(normal: Space) -> bool {
    dot(normal, axes()[2]) > GRAZING
}

/// Each edge of an outline as the points along it, both ends included.
pub(super) fn chains(outline: &Outline) -> Vec<Vec<Point>> {
    let points = |edge: Edge| {
        let sweep = edge.arc().map_or(0.0, |arc| arc.sweep.degrees().abs());
        let steps = (sweep / STEP).ceil().max(1.0) as usize;
        let at = |i: usize| edge.point_at(i as f64 / steps as f64);
        (0..=steps).map(at).collect()
    };
    outline.edges().map(points).collect()
}

/// To the right of the paper, up on it, and towards the viewer.
pub(super) fn axes() -> [Space; 3] {
    let [two, three, six] = [2.0, 3.0, 6.0].map(|n: f64| 1.0 / n.sqrt());
    [[two, two, 0.0], [-six, six, 2.0 * six], [three, -three, three]]
}

/// Where a point or direction in space is seen on paper.
pub(crate) fn paper(p: Space) -> Point {
    let [right, up, _] = axes();
    Point::new(dot(p, right), dot(p, up))
}
