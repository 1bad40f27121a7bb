//! Polygons whose sides are lines or arcs, and whose corners are sharp, rounded, chamfered or
//! clipped.

use crate::geom::edge::Edge;
use crate::geom::near::NEAR;
use crate::geom::outline::Outline;
use crate::geom::outline::OutlineError;
use crate::geom::outline::Vertex;
use crate::geom::treatment::CornerKind;
use crate::geom::treatment::Refused;
use crate::geom::treatment::Replaced;
use crate::geom::treatment::replaced;
use crate::num;
use crate::num::Angle;
use kurbo::Point;
use thiserror::Error;

/// The ends of an arc about a centre may differ by this much in their distance from it, mm: what
/// is typed in thousandths. Our choice.
const OFF_CENTRE: f64 = 1.5e-3;

/// A tangent arc that turns less than this counts as straight, degrees. Our choice.
const ONWARD: f64 = 1e-7;

/// One that must turn further than all but this would be endless, degrees. Our choice.
const BACK: f64 = 1e-3;

/// How a side runs from its corner to the next.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Side {
    /// Straight.
    #[default]
    Straight,
    /// An arc of this height over its chord, mm: a positive one bows out of the polygon, a negative
    /// one into it.
    Height(f64),
    /// The shorter arc of this radius, mm: more than 0 bows out of the polygon, less into it.
    Radius(f64),
    /// An arc through a point.
    Through(Point),
    /// The shorter arc about a centre; a half circle bows out of the polygon.
    About(Point),
    /// An arc tangent to the end of the side before it.
    Tangent,
    /// An arc, by the tangent of a quarter of its sweep: more than 0 turns left.
    Bulge(f64),
}

/// A corner of a polygon.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corner {
    /// Where the edges would meet.
    pub at: Point,
    /// Its treatment.
    pub kind: CornerKind,
    /// How the side runs that leaves it.
    pub side: Side,
}

/// Why corners make no polygon. The numbers are indices of corners.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum CornerError {
    /// Fewer than three corners.
    #[error("a polygon needs at least 3 corners, this has {0}")]
    Few(usize),
    /// Two neighbouring corners share a place.
    #[error("corners {} and {} coincide", .0 + 1, .1 + 1)]
    Repeated(usize, usize),
    /// The treatment of the corner needs more than its edges have.
    #[error("corner {} needs {taken:.3} mm of an edge {there:.3} mm long", .corner + 1)]
    Large {
        /// Which.
        corner: usize,
        /// Needed along the edge, with the neighbour's share.
        taken: f64,
        /// Length of the edge.
        there: f64,
    },
    /// A rounded, chamfered or clipped corner is no corner.
    #[error("corner {} is straight, so there is nothing to round or clip", .0 + 1)]
    Straight(usize),
    /// A rounding, chamfer or clip must not be negative.
    #[error("the size at corner {} is less than 0 mm", .0 + 1)]
    Negative(usize),
    /// The treatment of the corner does not fit between its edges.
    #[error("the rounding, chamfer or clip at corner {} does not fit between its edges", .0 + 1)]
    Unfit(usize),
    /// The arc that leaves the corner is too small for its ends.
    #[error(
        "the arc from corner {} has a radius of {radius:.3} mm, but its ends are {chord:.3} mm \
         apart: it needs at least half of that",
        .corner + 1
    )]
    SmallRadius {
        /// Where it leaves.
        corner: usize,
        /// Asked for, mm.
        radius: f64,
        /// Between its ends, mm.
        chord: f64,
    },
    /// The point of an arc is on the line of its ends, but not between them.
    #[error("no arc from corner {} goes through that point: it is in line with the ends", .0 + 1)]
    InLine(usize),
    /// The ends of the arc that leaves the corner are not as far from its centre.
    #[error(
        "the arc from corner {} begins {from:.3} mm from its centre, but ends {to:.3} mm from it",
        .corner + 1
    )]
    Centre {
        /// Where it leaves.
        corner: usize,
        /// Distance of its beginning, mm.
        from: f64,
        /// Distance of its end, mm.
        to: f64,
    },
    /// A tangent arc would run straight back, or every side is one.
    #[error("no tangent arc from corner {} reaches the next corner", .0 + 1)]
    NoTangentArc(usize),
    /// A corner from which a tangent arc leaves is no corner.
    #[error("a tangent arc leaves corner {}, so it cannot be rounded, chamfered or clipped", .0 + 1)]
    TangentCorner(usize),
    /// A line from disc to disc, or from a corner, cannot touch.
    #[error("no line from corner {} to corner {} is tangent to their discs: one contains the other, or they overlap", .0 + 1, .1 + 1)]
    NoTangent(usize, usize),
    /// The side to or from a disc is an arc of another kind.
    #[error("the side from corner {} is tangent to a disc: it must be straight, or an arc given by its `radius`", .0 + 1)]
    ArcAtDisc(usize),
    /// No arc of that radius touches both a disc and its neighbour.
    #[error(
        "no arc of radius {radius:.3} mm from corner {} to corner {} touches the disc there",
        .corner + 1,
        .next + 1
    )]
    NoArc {
        /// Where it leaves.
        corner: usize,
        /// Where it ends.
        next: usize,
        /// Asked for, mm.
        radius: f64,
        /// The smallest that would, mm, where one would.
        least: Option<f64>,
    },
    /// A disc has no radius.
    #[error("the disc at corner {} has no radius", .0 + 1)]
    NoDisc(usize),
    /// The lines from the corner before a disc and to the one after it cross before they reach it.
    #[error(
        "the outline does not reach the disc at corner {}: it passes {off:.3} mm away from it",
        .corner + 1
    )]
    NotReached {
        /// The disc.
        corner: usize,
        /// How far the line between its neighbours is off it, mm.
        off: f64,
    },
    /// Discs outside lie within the outline, or the other way round.
    #[error(
        "the outline is inside out at its discs: give a negative radius only to a disc outside the outline"
    )]
    InsideOut,
    /// The outline crosses itself.
    #[error(transparent)]
    Outline(#[from] OutlineError),
}

impl CornerError {
    /// The corner it is about, by its index, where it is about one.
    #[must_use]
    pub const fn corner(&self) -> Option<usize> {
        match self {
            Self::Large { corner, .. }
            | Self::Straight(corner)
            | Self::Negative(corner)
            | Self::Unfit(corner)
            | Self::SmallRadius { corner, .. }
            | Self::InLine(corner)
            | Self::Centre { corner, .. }
            | Self::NoTangentArc(corner)
            | Self::TangentCorner(corner)
            | Self::ArcAtDisc(corner)
            | Self::NoDisc(corner)
            | Self::NotReached { corner, .. }
            | Self::NoArc { corner, .. }
            | Self::NoTangent(corner, _)
            | Self::Repeated(_, corner) => Some(*corner),
            Self::Few(_) | Self::InsideOut | Self::Outline(_) => None,
        }
    }

    /// The same with other numbers for the corners.
    pub(super) fn numbered(self, of: &dyn Fn(usize) -> usize) -> Self {
        match self {
            Self::Repeated(a, b) => Self::Repeated(of(a), of(b)),
            Self::Large { corner, taken, there } => {
                Self::Large { corner: of(corner), taken, there }
            }
            Self::Straight(corner) => Self::Straight(of(corner)),
            Self::Negative(corner) => Self::Negative(of(corner)),
            Self::Unfit(corner) => Self::Unfit(of(corner)),
            Self::SmallRadius { corner, radius, chord } => {
                Self::SmallRadius { corner: of(corner), radius, chord }
            }
            Self::InLine(corner) => Self::InLine(of(corner)),
            Self::Centre { corner, from, to } => Self::Centre { corner: of(corner), from, to },
            Self::NoTangentArc(corner) => Self::NoTangentArc(of(corner)),
            Self::TangentCorner(corner) => Self::TangentCorner(of(corner)),
            // These name no corner, or one of those as drawn.
            Self::Few(_)
            | Self::NoTangent(..)
            | Self::ArcAtDisc(_)
            | Self::NoArc { .. }
            | Self::NoDisc(_)
            | Self::NotReached { .. }
            | Self::InsideOut
            | Self::Outline(_) => self,
        }
    }
}

/// The outline of a polygon.
///
/// # Errors
/// When there are too few corners, one takes more than its edges have, an arc does not reach
/// from corner to corner, or edges cross.
pub fn polygon(corners: &[Corner]) -> Result<Outline, CornerError> {
    let sides = sides(corners)?;
    let ends = treated(corners, &sides)?;
    fit(&ends, &sides)?;
    let n = corners.len();
    let mut vertices = Vec::with_capacity(2 * n);
    for (i, side) in sides.iter().enumerate() {
        let start = match ends[i] {
            None => corners[i].at,
            Some(end) => {
                vertices.push(Vertex { at: end.from, bulge: end.bulge });
                end.to
            }
        };
        vertices.push(Vertex { at: start, bulge: left_of(side, ends[i], ends[(i + 1) % n]) });
    }
    Ok(Outline::new(vertices)?)
}

/// The sides of a polygon before anything is done to its corners, in order: lines, and arcs
/// of any sweep.
///
/// # Errors
/// When there are too few corners, or an arc does not reach from corner to corner.
pub(crate) fn sides(corners: &[Corner]) -> Result<Vec<Edge>, CornerError> {
    let n = corners.len();
    if n < 3 {
        return Err(CornerError::Few(n));
    }
    if corners.iter().any(|c| !c.at.is_finite()) {
        return Err(OutlineError::NotFinite.into());
    }
    let round = turns(&corners.iter().map(|corner| corner.at).collect::<Vec<_>>());
    let side = |i: usize| {
        let (next, from) = ((i + 1) % n, corners[i].at);
        let to = corners[next].at;
        if (to - from).hypot() < NEAR {
            return Err(CornerError::Repeated(i, next));
        }
        Ok(Edge { from, to, bulge: bulge(i, corners[i].side, (from, to), round)? })
    };
    let mut sides = (0..n).map(side).collect::<Result<Vec<Edge>, CornerError>>()?;
    run_on(corners, &mut sides)?;
    Ok(sides)
}

/// 1 where the points lie anticlockwise or in a line, else −1.
pub(super) fn turns(points: &[Point]) -> f64 {
    let next = points.iter().cycle().skip(1);
    let area: f64 = points.iter().zip(next).map(|(a, b)| a.to_vec2().cross(b.to_vec2())).sum();
    if area < 0.0 { -1.0 } else { 1.0 }
}

/// Bows each tangent side so that it continues the one before it.
fn run_on(corners: &[Corner], sides: &mut [Edge]) -> Result<(), CornerError> {
    let n = sides.len();
    let is_tangent = |i: usize| corners[i % n].side == Side::Tangent;
    let Some(first) = (0..n).find(|i| !is_tangent(*i)) else {
        return Err(CornerError::NoTangentArc(0));
    };
    for i in (first + 1..first + n).filter(|i| is_tangent(*i)).map(|i| i % n) {
        if corners[i].kind != CornerKind::Sharp {
            return Err(CornerError::TangentCorner(i));
        }
        let on = -sides[(i + n - 1) % n].reversed().direction_at_start();
        let chord = sides[i].to - sides[i].from;
        let half = Angle::of(on.dot(chord), on.cross(chord)).degrees();
        if half.abs() > 180.0 - BACK {
            return Err(CornerError::NoTangentArc(i));
        }
        let straight = half.abs() < ONWARD;
        sides[i].bulge = if straight { 0.0 } else { Angle::from_degrees(half / 2.0).tan() };
    }
    Ok(())
}

/// The bulge of the side that leaves a corner; `round` is 1 where the polygon is drawn
/// anticlockwise, else −1.
fn bulge(
    corner: usize,
    side: Side,
    (from, to): (Point, Point),
    round: f64,
) -> Result<f64, CornerError> {
    let chord = (to - from).hypot();
    match side {
        // Tangent sides are bowed once those before them are.
        Side::Straight | Side::Tangent => Ok(0.0),
        Side::Bulge(bulge) => Ok(bulge),
        Side::About(centre) => {
            let (start, end) = (from - centre, to - centre);
            if (start.hypot() - end.hypot()).abs() > OFF_CENTRE || start.hypot() < NEAR {
                let (from, to) = (start.hypot(), end.hypot());
                return Err(CornerError::Centre { corner, from, to });
            }
            let sweep = Angle::of(start.dot(end), start.cross(end)).degrees();
            let half = sweep.abs() > 180.0 - ONWARD;
            let sweep = if half { round * 180.0 } else { sweep };
            Ok(Angle::from_degrees(sweep / 4.0).tan())
        }
        Side::Height(height) => Ok(round * 2.0 * height / chord),
        Side::Radius(radius) => {
            let half = chord / (2.0 * radius.abs());
            if half > 1.0 + NEAR / chord || radius == 0.0 {
                return Err(CornerError::SmallRadius { corner, radius: radius.abs(), chord });
            }
            let quarter = num::asin(half.min(1.0)).degrees() / 2.0;
            Ok(round * radius.signum() * Angle::from_degrees(quarter).tan())
        }
        Side::Through(point) => {
            let (back, on) = (from - point, to - point);
            let seen = Angle::of(back.dot(on), back.cross(on)).degrees();
            let aside = back.cross(on).abs() / chord;
            match aside < NEAR {
                true if back.dot(on) < 0.0 => Ok(0.0),
                true => Err(CornerError::InLine(corner)),
                // A point on the right of the chord sees it turning left.
                false => Ok(-seen.signum() * Angle::from_degrees((180.0 - seen.abs()) / 2.0).tan()),
            }
        }
    }
}

/// The replacement of each corner; `None` where it is sharp.
fn treated(corners: &[Corner], sides: &[Edge]) -> Result<Vec<Option<Replaced>>, CornerError> {
    let one = |(i, corner): (usize, &Corner)| {
        if let CornerKind::Round(by) | CornerKind::Chamfer(by) | CornerKind::Clip(by) = corner.kind
            && by < 0.0
        {
            return Err(CornerError::Negative(i));
        }
        let before = &sides[(i + sides.len() - 1) % sides.len()];
        replaced(corner.kind, before, &sides[i]).map_err(|refused| match refused {
            Refused::Straight => CornerError::Straight(i),
            Refused::Unfit => CornerError::Unfit(i),
        })
    };
    corners.iter().enumerate().map(one).collect()
}

/// Whether every side is as long as what both its corners take.
fn fit(ends: &[Option<Replaced>], sides: &[Edge]) -> Result<(), CornerError> {
    for (i, side) in sides.iter().enumerate() {
        let (there, next) = (side.length(), (i + 1) % sides.len());
        let own = ends[i].map_or(0.0, |end| end.after);
        let other = ends[next].map_or(0.0, |end| end.before);
        let taken = own + other;
        if taken > there + NEAR || own < 0.0 || !taken.is_finite() {
            let corner = if own >= other { i } else { next };
            return Err(CornerError::Large { corner, taken, there });
        }
    }
    Ok(())
}

/// The bulge of the rest of a side between the corners at both ends.
fn left_of(side: &Edge, start: Option<Replaced>, end: Option<Replaced>) -> f64 {
    let taken = start.map_or(0.0, |s| s.after) + end.map_or(0.0, |e| e.before);
    if side.is_line() || taken == 0.0 {
        return side.bulge;
    }
    let share = 1.0 - taken / side.length();
    Angle::from_degrees(num::atan(side.bulge).degrees() * share).tan()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(kind: CornerKind) -> Vec<Corner> {
        [(0.0, 0.0), (20.0, 0.0), (20.0, 20.0), (0.0, 20.0)]
            .map(|(x, y)| Corner { at: Point::new(x, y), kind, side: Side::Straight })
            .to_vec()
    }

    #[test]
    fn each_kind_of_corner_takes_its_area() {
        let pi = crate::num::PI;
        for (kind, loss) in [
            (CornerKind::Sharp, 0.0),
            (CornerKind::Round(4.0), 16.0 * (1.0 - pi / 4.0)),
            (CornerKind::Chamfer(4.0), 8.0),
            (CornerKind::Clip(4.0), 4.0 * pi),
        ] {
            let area = polygon(&square(kind)).unwrap().area();
            assert!((area - (400.0 - 4.0 * loss)).abs() < 1e-9, "{kind:?}: {area}");
        }
    }

    #[test]
    fn direction_does_not_matter() {
        let mut corners = square(CornerKind::Clip(3.0));
        corners[1].kind = CornerKind::Round(5.0);
        let outline = polygon(&corners).unwrap();
        corners.reverse();
        assert_eq!(polygon(&corners).unwrap(), outline);
    }

    #[test]
    fn refusals_name_the_corner() {
        let large = polygon(&square(CornerKind::Round(11.0)));
        assert!(matches!(large, Err(CornerError::Large { corner: 0, .. })));
        let mut corners = square(CornerKind::Sharp);
        corners[2].at = corners[1].at;
        assert_eq!(polygon(&corners), Err(CornerError::Repeated(1, 2)));
        assert_eq!(polygon(&corners[..2]), Err(CornerError::Few(2)));
        let straight = Corner {
            kind: CornerKind::Round(1.0),
            at: Point::new(10.0, 0.0),
            side: Side::Straight,
        };
        let mut corners = square(CornerKind::Sharp);
        corners.insert(1, straight);
        assert_eq!(polygon(&corners), Err(CornerError::Straight(1)));
    }

    /// A square of 20 mm whose top is an arc.
    fn bowed(side: Side, kind: CornerKind) -> Vec<Corner> {
        let mut corners = square(CornerKind::Sharp);
        corners[2].side = side;
        corners[2].kind = kind;
        corners
    }

    /// Segment of a circle: R²/2 · (2φ − sin 2φ), with half the chord R · sin φ.
    #[test]
    fn an_arc_by_height_radius_or_point_adds_or_takes_its_segment() {
        let (height, radius) = (4.0_f64, (100.0 + 16.0) / 8.0);
        let phi = 2.0 * num::atan(height / 10.0).radians();
        let segment = radius * radius * (phi - Angle::from_radians(2.0 * phi).sin() / 2.0);
        for (side, wanted) in [
            (Side::Height(4.0), segment),
            (Side::Radius(radius), segment),
            (Side::Through(Point::new(10.0, 24.0)), segment),
            (Side::Height(-4.0), -segment),
            (Side::Radius(-radius), -segment),
            (Side::Through(Point::new(10.0, 16.0)), -segment),
            (Side::Through(Point::new(4.0, 20.0)), 0.0),
        ] {
            let mut corners = bowed(side, CornerKind::Sharp);
            for _ in 0..2 {
                let area = polygon(&corners).unwrap().area();
                assert!((area - (400.0 + wanted)).abs() < 1e-9, "{side:?}: {area}");
                // The same drawn clockwise: each arc leaves the other end of its side.
                corners.reverse();
                let sides: Vec<Side> = corners.iter().map(|c| c.side).collect();
                for (i, corner) in corners.iter_mut().enumerate() {
                    corner.side = sides[(i + 1) % 4];
                }
            }
        }
    }

    /// Where a line and an arc, or two arcs, are rounded the outline has no corner.
    #[test]
    fn a_round_touches_lines_and_arcs() {
        for side in [Side::Height(4.0), Side::Height(-4.0), Side::Radius(30.0), Side::Height(15.0)]
        {
            let mut corners = bowed(side, CornerKind::Round(2.0));
            corners[3].kind = CornerKind::Round(1.5);
            corners[3].side = Side::Height(1.0);
            let outline = polygon(&corners).unwrap();
            let edges: Vec<Edge> = outline.edges().collect();
            assert_eq!(edges.len(), if side == Side::Height(15.0) { 7 } else { 6 });
            let smooth = edges.iter().zip(edges.iter().cycle().skip(1)).filter(|(a, b)| {
                let (end, start) = (-a.reversed().direction_at_start(), b.direction_at_start());
                end.cross(start).abs() < 1e-9 && end.dot(start) > 0.0
            });
            let joints = if side == Side::Height(15.0) { 5 } else { 4 };
            assert_eq!(smooth.count(), joints, "{side:?}: {edges:?}");
            let radii = edges.iter().filter_map(|e| e.arc()).map(|a| a.radius);
            assert!(radii.clone().any(|r| (r - 2.0).abs() < 1e-9), "{side:?}");
            assert!(radii.clone().any(|r| (r - 1.5).abs() < 1e-9), "{side:?}");
        }
    }

    #[test]
    fn chamfers_and_clips_of_arcs_are_measured_from_the_corner() {
        let corner = Point::new(20.0, 20.0);
        for kind in [CornerKind::Chamfer(3.0), CornerKind::Clip(3.0)] {
            let outline = polygon(&bowed(Side::Height(5.0), kind)).unwrap();
            let ends = outline.vertices().iter().filter(|v| (v.at - corner).hypot() < 3.0 + 1e-9);
            assert_eq!(ends.count(), 2, "{kind:?}");
            assert!(
                (outline.distance(corner) - if kind == CornerKind::Clip(3.0) { 3.0 } else { 0.0 })
                    > -1e-9
            );
        }
    }

    #[test]
    fn arcs_that_do_not_reach_are_refused() {
        let refused = |side| polygon(&bowed(side, CornerKind::Sharp)).unwrap_err();
        assert_eq!(
            refused(Side::Radius(9.0)),
            CornerError::SmallRadius { corner: 2, radius: 9.0, chord: 20.0 }
        );
        assert_eq!(refused(Side::Through(Point::new(30.0, 20.0))), CornerError::InLine(2));
        assert!(matches!(refused(Side::Height(-21.0)), CornerError::Outline(_)));
        let large = polygon(&bowed(Side::Height(4.0), CornerKind::Round(60.0)));
        assert!(large.is_err(), "{large:?}");
    }
}
