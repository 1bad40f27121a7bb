//! Corners rounded or filled, as by a disc that rolls along the outline.
//!
//! Only corners are treated: an arc as drawn is not changed. If the disc does not reach both sides
//! of a corner, it would close a gap or remove a lug: refused.

use crate::geom::edge::Edge;
use crate::geom::narrow::PARALLEL;
use crate::geom::offset::OffsetError;
use crate::geom::offset::offset;
use crate::geom::outline::Outline;
use crate::geom::outline::OutlineError;
use crate::geom::outline::Vertex;
use crate::num;
use crate::num::Angle;
use kurbo::Point;
use thiserror::Error;

/// Which corners of an outline are treated.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Corners {
    /// Those that point out: the disc rolls inside.
    Outward,
    /// Those that point in: the disc rolls outside.
    Inward,
}

/// Why corners cannot be treated.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum RolledError {
    /// No disc has such a radius.
    #[error("a radius must be 0 or more, not {0:.3} mm")]
    Radius(f64),
    /// A lug, a neck or a gap is narrower than the disc; where, when that is known.
    #[error("a place is narrower than a disc of that radius")]
    Narrow(Option<Point>),
    /// The result is no outline.
    #[error("the result is pinched: {0}")]
    Pinched(#[from] OutlineError),
}

/// Smaller turns are ignored: the error of joints that are meant to be smooth.
const SMOOTH: Angle = Angle::from_degrees(0.5);

/// How far an edge of the library's answer may be from where it should be, mm.
const OFF: f64 = 1e-5;

/// The outline with its corners treated; `None` if it has no such corner.
///
/// # Errors
/// When the radius is negative, or the disc does not fit.
pub(crate) fn rolled(
    outline: &Outline,
    radius: f64,
    corners: Corners,
) -> Result<Option<Outline>, RolledError> {
    if radius.is_nan() || radius < 0.0 {
        return Err(RolledError::Radius(radius));
    }
    let walk = Walk { edges: outline.edges().collect(), corners };
    let some = (0..walk.edges.len()).any(|i| walk.turn_after(i) > SMOOTH.degrees());
    if radius == 0.0 || !some {
        return Ok(None);
    }
    let by = if corners == Corners::Outward { -radius } else { radius };
    let there = offset(outline, by).and_then(|there| offset(&there, -by));
    let there = match there {
        Ok(there) => there,
        Err(OffsetError::Nothing | OffsetError::Pieces(_) | OffsetError::Unsure) => {
            return Err(RolledError::Narrow(None));
        }
        Err(OffsetError::Pinched(error)) => return Err(error.into()),
    };
    let is_new = |e: &Edge| {
        let round = e.arc().is_some_and(|arc| (arc.radius - radius).abs() < OFF);
        round && e.bulge * walk.sign() > 0.0 && outline.distance(e.point_at(0.5)) > OFF
    };
    let mut cuts = Vec::new();
    for arc in there.edges().filter(is_new) {
        let cut = walk.cut(arc);
        if walk.is_corner(&cut)? {
            cuts.push(cut);
        }
    }
    if cuts.is_empty() { Ok(None) } else { Ok(Some(walk.spliced(&mut cuts)?)) }
}

/// A place on the outline: index of the edge, and share of it.
type Place = (usize, f64);

/// The stretch that a new arc cuts out of the outline.
struct Cut {
    from: Place,
    to: Place,
    arc: Edge,
}

struct Walk {
    edges: Vec<Edge>,
    corners: Corners,
}

impl Walk {
    /// Positive turns are those of the corners that are treated.
    fn sign(&self) -> f64 {
        if self.corners == Corners::Outward { 1.0 } else { -1.0 }
    }

    /// The turn from an edge to the next one, in degrees.
    fn turn_after(&self, i: usize) -> f64 {
        let next = (i + 1) % self.edges.len();
        let before = -self.edges[i].reversed().direction_at_start();
        let after = self.edges[next].direction_at_start();
        self.sign() * Angle::of(before.dot(after), before.cross(after)).degrees()
    }

    /// How much an edge itself turns, in degrees.
    fn turn_of(&self, i: usize) -> f64 {
        self.sign() * 4.0 * num::atan(self.edges[i].bulge).degrees()
    }

    fn place(&self, p: Point) -> Place {
        let off = |e: &Edge| (e.nearest(p) - p).hypot();
        let mut best = 0;
        for (i, edge) in self.edges.iter().enumerate() {
            if off(edge) < off(&self.edges[best]) {
                best = i;
            }
        }
        (best, share(&self.edges[best], p))
    }

    fn cut(&self, arc: Edge) -> Cut {
        Cut { from: self.place(arc.from), to: self.place(arc.to), arc }
    }

    /// How many edges on from where a cut begins it ends.
    fn span(&self, cut: &Cut) -> usize {
        let n = self.edges.len();
        let wraps = cut.from.0 == cut.to.0 && cut.to.1 < cut.from.1;
        if wraps { n } else { (cut.to.0 + n - cut.from.0) % n }
    }

    /// Whether a cut removes a corner; not if the removed stretch was drawn smooth.
    ///
    /// # Errors
    /// When it takes more than a corner.
    fn is_corner(&self, cut: &Cut) -> Result<bool, RolledError> {
        let (n, span) = (self.edges.len(), self.span(cut));
        // Corners and arcs in turn, from the first contact to the second.
        let mut turns = Vec::new();
        let mut has_corner = false;
        for k in 0..=span {
            let i = (cut.from.0 + k) % n;
            let begins = if k == 0 { cut.from.1 } else { 0.0 };
            let ends = if k == span { cut.to.1 } else { 1.0 };
            turns.push((self.turn_of(i) * (ends - begins), false));
            if k < span {
                let rotation = self.turn_after(i);
                has_corner |= rotation > SMOOTH.degrees();
                turns.push((rotation, true));
            }
        }
        let whole = |k: usize| (cut.from.0 + k) % n;
        // The disc rests on a corner that points the other way.
        let rests = |i: usize, p: Point| {
            (self.edges[i].to - p).hypot() < OFF && self.turn_after(i) < -SMOOTH.degrees()
        };
        let rests = [(whole(0), cut.arc.from), (whole(span), cut.arc.to)]
            .into_iter()
            .any(|(i, p)| rests(i, p) || rests((i + n - 1) % n, p));
        let against = |(rotation, corner): &(f64, bool)| *corner && *rotation < -SMOOTH.degrees();
        let treated = |(rotation, _): &(f64, bool)| *rotation > SMOOTH.degrees();
        let first = turns.iter().position(treated).unwrap_or(0);
        let last = turns.iter().rposition(treated).unwrap_or(0);
        let between = turns[first..=last].iter().any(|(rotation, _)| *rotation < -SMOOTH.degrees());
        let sum: f64 = turns[first..=last].iter().map(|(rotation, _)| rotation).sum();
        let faces = sum >= 180.0 - PARALLEL.degrees();
        if rests || turns.iter().any(against) || between || (has_corner && faces) {
            let middle = self.edges[whole(span.div_ceil(2))].from;
            let at = if span == 0 { cut.arc.point_at(0.5) } else { middle };
            return Err(RolledError::Narrow(Some(at)));
        }
        Ok(has_corner)
    }

    /// The outline with arcs in place of the stretches they cut out.
    fn spliced(&self, cuts: &mut [Cut]) -> Result<Outline, RolledError> {
        let n = self.edges.len();
        cuts.sort_by(|a, b| a.from.0.cmp(&b.from.0).then(a.from.1.total_cmp(&b.from.1)));
        let mut chain = Vec::with_capacity(n + 2 * cuts.len());
        for (c, cut) in cuts.iter().enumerate() {
            let next = &cuts[(c + 1) % cuts.len()];
            chain.push(Vertex { at: cut.arc.from, bulge: cut.arc.bulge });
            // On from its end to where the next one begins.
            let (mut i, mut begins, mut at) = (cut.to.0, cut.to.1, cut.arc.to);
            let ends_on = |i: usize, begins: f64| i == next.from.0 && begins <= next.from.1 + 1e-9;
            while !ends_on(i, begins) {
                chain.push(Vertex { at, bulge: part(&self.edges[i], begins, 1.0) });
                (i, begins, at) = ((i + 1) % n, 0.0, self.edges[(i + 1) % n].from);
            }
            let bulge = part(&self.edges[i], begins, next.from.1);
            chain.push(Vertex { at, bulge });
        }
        Ok(Outline::new(chain)?)
    }
}

/// The share of an edge at which a point of it is.
fn share(edge: &Edge, p: Point) -> f64 {
    let share = match edge.arc() {
        None => (p - edge.from).dot(edge.to - edge.from) / (edge.to - edge.from).hypot2(),
        Some(arc) => {
            let out = p - arc.centre;
            let from = edge.from - arc.centre;
            let swept = Angle::of(from.dot(out), from.cross(out)).degrees();
            swept / arc.sweep.degrees()
        }
    };
    share.clamp(0.0, 1.0)
}

/// The bulge of a part of an edge.
fn part(edge: &Edge, from: f64, to: f64) -> f64 {
    let sweep = num::atan(edge.bulge).degrees() * (to - from).max(0.0);
    if edge.is_line() { 0.0 } else { Angle::from_degrees(sweep).tan() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::disc;
    use crate::geom::rectangle;
    use crate::geom::slot;

    fn ell() -> Outline {
        let corners =
            [(0.0, 0.0), (40.0, 0.0), (40.0, 10.0), (10.0, 10.0), (10.0, 40.0), (0.0, 40.0)];
        Outline::new(corners.map(|(x, y)| Vertex::sharp(x, y))).unwrap()
    }

    /// The area a rounding of a radius removes from a square corner.
    fn corner(r: f64) -> f64 {
        r * r * (1.0 - num::PI / 4.0)
    }

    #[test]
    fn corners_are_rounded_and_filled_by_their_exact_areas() {
        let ell = ell();
        let filled = rolled(&ell, 4.0, Corners::Inward).unwrap().unwrap();
        assert!((filled.area() - ell.area() - corner(4.0)).abs() < 1e-6);
        let rounded = rolled(&ell, 2.0, Corners::Outward).unwrap().unwrap();
        assert!((ell.area() - rounded.area() - 5.0 * corner(2.0)).abs() < 1e-6);
        assert_eq!(rolled(&ell, 0.0, Corners::Outward), Ok(None));
        assert_eq!(rolled(&ell, -1.0, Corners::Outward), Err(RolledError::Radius(-1.0)));
    }

    #[test]
    fn what_has_no_such_corner_is_left_alone() {
        let o = Point::ZERO;
        assert_eq!(rolled(&disc(o, 3.0).unwrap(), 6.0, Corners::Outward), Ok(None));
        assert_eq!(rolled(&slot(o, 30.0, 6.0).unwrap(), 9.0, Corners::Outward), Ok(None));
        let plain = rectangle(o, 40.0, 20.0, 0.0).unwrap();
        assert_eq!(rolled(&plain, 6.0, Corners::Inward), Ok(None));
    }

    #[test]
    fn an_arc_that_was_drawn_stays() {
        // The inner corner has a fillet of 3 mm, and there is a square notch far from it.
        let quarter = Angle::from_degrees(22.5).tan();
        let at = |x, y| Vertex::sharp(x, y);
        let mut chain = vec![at(0.0, 0.0), at(60.0, 0.0), at(60.0, 10.0), at(40.0, 10.0)];
        chain.extend([at(40.0, 5.0), at(30.0, 5.0), at(30.0, 10.0)]);
        chain.push(Vertex { at: Point::new(13.0, 10.0), bulge: -quarter });
        chain.extend([at(10.0, 13.0), at(10.0, 40.0), at(0.0, 40.0)]);
        let outline = Outline::new(chain).unwrap();
        let filled = rolled(&outline, 4.0, Corners::Inward).unwrap().unwrap();
        assert!((filled.area() - outline.area() - 2.0 * corner(4.0)).abs() < 1e-6);
    }

    #[test]
    fn a_gap_or_a_lug_narrower_than_the_disc_is_refused() {
        let lug = |half: f64, tall: f64| {
            let corners =
                [(-50.0, 0.0), (50.0, 0.0), (50.0, 20.0), (half, 20.0), (half, 20.0 + tall)];
            let more = [(-half, 20.0 + tall), (-half, 20.0), (-50.0, 20.0)];
            let all = corners.into_iter().chain(more).map(|(x, y)| Vertex::sharp(x, y));
            Outline::new(all).unwrap()
        };
        let narrow = |result| matches!(result, Err(RolledError::Narrow(_)));
        assert!(narrow(rolled(&lug(10.0, 30.0), 12.0, Corners::Outward)));
        assert!(rolled(&lug(10.0, 30.0), 9.0, Corners::Outward).unwrap().is_some());
        // Shallow: the disc passes over it.
        assert!(narrow(rolled(&lug(10.0, 4.0), 12.0, Corners::Outward)));
        assert!(narrow(rolled(&lug(10.0, 4.0), 5.0, Corners::Outward)));
        let slit = |half: f64| {
            let corners = [(-50.0, 0.0), (50.0, 0.0), (50.0, 50.0), (half, 50.0), (half, 20.0)];
            let more = [(-half, 20.0), (-half, 50.0), (-50.0, 50.0)];
            let all = corners.into_iter().chain(more).map(|(x, y)| Vertex::sharp(x, y));
            Outline::new(all).unwrap()
        };
        assert!(narrow(rolled(&slit(10.0), 12.0, Corners::Inward)));
        assert!(rolled(&slit(10.0), 8.0, Corners::Inward).unwrap().is_some());
    }
}
