//! Arcs and lines that stay as near to a curve as asked, tangent to each other, and to the curve at
//! its ends and corners: a row of few arcs where one is found, else pairs of arcs, each as long as
//! it may be. Corners of the curve stay corners.

mod furthest;
mod row;

use crate::geom::apart::bound;
use crate::geom::apart::distance;
use crate::geom::arcs::furthest::furthest;
use crate::geom::bezier::Bezier;
use crate::geom::biarc::biarc;
use crate::geom::bounds::Bounds;
use crate::geom::circle::centre;
use crate::geom::edge::Arc;
use crate::geom::edge::Edge;
use crate::geom::merged::merged;
use crate::geom::motion::Motion;
use crate::geom::near::NEAR;
use crate::geom::turn::arc;
use crate::num;
use crate::num::Angle;
use kurbo::Point;
use kurbo::Vec2;

/// A curve that turns more than this at once has a corner there, degrees: files round their
/// control points, and programs end one curve a little beside the direction of the next. Our
/// choice.
const CORNER: f64 = 0.5;

/// Within a pair of arcs a curve turns less than this: cosine. Our choice.
const TURNS: f64 = 0.2;

/// Largest bulge of one arc of a pair: about 87°. No more than a right angle, as [`bound`]
/// requires.
const MAX_BULGE: f64 = 0.4;

/// Arcs leave a small curve by no more than this share of its extent, as long as that is more than
/// this in mm. Pairs of arcs are on the outer side of an ellipse where it turns most, so it would
/// become longer: one of 2 mm at 0.02 mm by 0.6 %. Our choice.
const FINE: f64 = 0.001;
const FINEST: f64 = 0.001;

/// The share of the tolerance reserved for rounding and for the intervals between the places at
/// which a stretch is tried. Our choice.
const SPARE: f64 = 0.98;

/// A closed curve that leaves a circle by no more than this share of the tolerance is one. Our
/// choice.
const ROUND: f64 = 0.5;

/// Places at which a stretch of a curve is tried, and in each piece of it. Our choice.
const PLACES: (usize, usize) = (24, 6);

/// How far from a joint, in pieces, the change of the curvature is measured. Our choice: of those
/// tried on 1,000 random curves it makes the fewest arcs.
const BESIDE_STEP: f64 = 0.1;

/// The share of the best angle at a joint of an even curve that is used for uneven ones. Our
/// choice, found in the same way: it saves an eighth of the arcs.
const BESIDE_SHARE: f64 = 0.5;

/// The largest turn of an arc assumed when that angle is calculated, radians. Our choice: about
/// half of what a pair may turn.
const BESIDE_TURN: f64 = 0.68;

/// A stretch that is not close enough after all is shortened to this share of itself a few times,
/// then halved. Our choice.
const SHORTENED: (f64, usize) = (0.97, 3);

/// How often the end of a stretch is halved. Our choice: a thousandth of a piece.
const HALVINGS: usize = 12;

/// Lines and arcs in place of curves in a row, and a length by which neither leaves the other, mm.
pub(super) fn fitted(pieces: &[Bezier], close: f64) -> (Vec<Edge>, f64) {
    if pieces.is_empty() {
        return (Vec::new(), 0.0);
    }
    let run = Run { pieces, close: close.min((extent(pieces) * FINE).max(FINEST)) };
    if let Some(round) = run.circle(run.close * ROUND) {
        return round;
    }
    let (mut edges, mut off) = (Vec::new(), 0.0_f64);
    for ends in run.corners().windows(2) {
        let ends = [ends[0], ends[1]];
        let pairs = run.pairs(ends);
        let count = merged(pairs.0.clone()).0.len();
        // A row has a pair at its end; and straight parts stay straight.
        let may_be_fewer = count > 2 && !pairs.0.iter().any(Edge::is_line);
        let row = may_be_fewer.then(|| run.row(ends)).flatten();
        let (made, away) = row.filter(|row| row.0.len() < count).unwrap_or(pairs);
        off = off.max(away);
        edges.extend(made);
    }
    let (edges, moved) = merged(edges);
    (edges, off + moved)
}

/// Curves in a row; a place on them is the number of the curve and a share of it.
struct Run<'a> {
    pieces: &'a [Bezier],
    /// How near the edges stay, mm.
    close: f64,
}

impl Run<'_> {
    fn length(&self) -> f64 {
        self.pieces.len() as f64
    }

    /// A stretch that has no corner as pairs of arcs, each as long as it may be, and how far these
    /// and the curve are apart at most.
    fn pairs(&self, ends: [f64; 2]) -> (Vec<Edge>, f64) {
        let (mut edges, mut off) = (Vec::new(), 0.0_f64);
        let (mut from, mut guess) = (ends[0], 0.125);
        while from < ends[1] {
            let (to, made, away) = self.kept(from, self.reach(from, guess, ends), ends);
            guess = to - from;
            off = off.max(away);
            edges.extend(made);
            from = to;
        }
        (edges, off)
    }

    /// The stretch from a place towards another that stays close, shortened where it does not:
    /// where it ends, its lines and arcs, and the maximum distance between these and the curve.
    fn kept(&self, from: f64, to: f64, ends: [f64; 2]) -> (f64, Vec<Edge>, f64) {
        let made = |to: f64| {
            let edges = self.span(from, to, ends);
            let mut away = bound(&self.part(from, to), &edges, self.close);
            if self.is_spot(from, to) {
                // Arcs at one spot may be smaller than the bound requires: none is longer than
                // this.
                away = edges.iter().map(Edge::length).fold(away, f64::max);
            }
            (to, edges, away)
        };
        let mut kept = made(to);
        for tries in 0..HALVINGS {
            if kept.2 <= self.close {
                break;
            }
            let share = if tries < SHORTENED.1 { SHORTENED.0 } else { 0.5 };
            kept = made(from + (kept.0 - from) * share);
        }
        kept
    }

    /// The curves between two places.
    fn part(&self, from: f64, to: f64) -> Vec<Bezier> {
        let pieces = self.pieces.iter().enumerate();
        let share = |i: usize| (from - i as f64).max(0.0)..(to - i as f64).min(1.0);
        let cut = |(i, piece): (usize, &Bezier)| {
            let share = share(i);
            (share.start < share.end).then(|| piece.part(share.start, share.end))
        };
        pieces.filter_map(cut).collect()
    }

    /// The curve that a place is on, seen from one side, and the share of it.
    fn piece(&self, u: f64, ahead: bool) -> (&Bezier, f64) {
        let number = if ahead { u.floor() } else { u.ceil() - 1.0 };
        let i = (number.max(0.0) as usize).min(self.pieces.len() - 1);
        (&self.pieces[i], u - i as f64)
    }

    fn point(&self, u: f64) -> Point {
        let (piece, t) = self.piece(u, true);
        match t {
            0.0 => piece.start(),
            1.0 => piece.end(),
            _ => piece.at(t).0,
        }
    }

    /// The direction at a place, on leaving or reaching it.
    fn way(&self, u: f64, ahead: bool) -> Vec2 {
        let (piece, t) = self.piece(u, ahead);
        let (at, speed) = piece.at(t);
        let size = piece.points.iter().map(|(p, _)| (*p - at).hypot()).fold(0.0, f64::max);
        if speed.hypot() > 1e-6 * size {
            return speed.normalize();
        }
        // The speed is zero there: the direction of a point beside it is used.
        let step = if ahead { 1e-4 } else { -1e-4 };
        let next = piece.at((t + step).clamp(0.0, 1.0)).0 - at;
        let way = if ahead { next } else { -next };
        if way.hypot() > 0.0 { way.normalize() } else { Vec2::new(1.0, 0.0) }
    }

    /// The direction of the arcs at a place within a stretch that has no corner: at its ends that
    /// of the curve, between them a little beside it.
    fn tangent(&self, u: f64, [first, last]: [f64; 2]) -> Vec2 {
        if u <= first {
            return self.way(u, true);
        }
        if u >= last {
            return self.way(u, false);
        }
        let both = self.way(u, true) + self.way(u, false);
        let way = if both.hypot() > 0.0 { both.normalize() } else { self.way(u, true) };
        Motion::rotated(self.beside(u, [first, last])).direction(way)
    }

    /// By how much the arcs run beside the direction of the curve where two of them meet.
    ///
    /// Along a curve whose curvature changes evenly, at the rate k, arcs of the length s whose
    /// joints are on it leave it least where they cross it at each joint by the angle k s² / 12:
    /// by k s³ / (72 √3).
    fn beside(&self, u: f64, [first, last]: [f64; 2]) -> Angle {
        let step = BESIDE_STEP.min(u - first).min(last - u);
        let [before, at, after] = [u - step, u, u + step].map(|u| self.point(u));
        let turn = |a: Vec2, b: Vec2| Angle::of(a.dot(b), a.cross(b)).radians();
        let long = [(at - before).hypot(), (after - at).hypot()];
        let bends = [
            turn(self.way(u - step, true), self.way(u, false)) / long[0],
            turn(self.way(u, true), self.way(u + step, false)) / long[1],
        ];
        let rate = 2.0 * (bends[1] - bends[0]) / (long[0] + long[1]);
        let bend = (bends[0] + bends[1]).abs() / 2.0;
        let even = 72.0 * num::pow(3.0, 0.5) * self.close * SPARE / rate.abs();
        let s = num::pow(even, 1.0 / 3.0).min(BESIDE_TURN / bend);
        let beside = BESIDE_SHARE * rate * s * s / 12.0;
        let limit = BESIDE_TURN / 4.0;
        if beside.is_finite() {
            Angle::from_radians(-beside.clamp(-limit, limit))
        } else {
            Angle::ZERO
        }
    }

    /// Its ends, and where it has a corner or turns back on the spot.
    fn corners(&self) -> Vec<f64> {
        let mut all = vec![0.0];
        let turns = |a: Vec2, b: Vec2| Angle::of(a.dot(b), a.cross(b)).degrees().abs();
        for (i, piece) in self.pieces.iter().enumerate() {
            if i > 0 && turns(self.way(i as f64, false), self.way(i as f64, true)) > CORNER {
                all.push(i as f64);
            }
            all.extend(turning_back(piece).into_iter().map(|t| i as f64 + t));
        }
        all.push(self.length());
        all
    }

    /// Edges for a stretch: a line where it is one, or turns back in one spot, else a pair of arcs.
    fn span(&self, from: f64, to: f64, ends: [f64; 2]) -> Vec<Edge> {
        let (p, q) = (self.point(from), self.point(to));
        let ways = [self.tangent(from, ends), self.tangent(to, ends)];
        let line = Edge::line(p, q);
        if self.is_straight(&line, ways, from, to) {
            return vec![line];
        }
        let [first, joint] = biarc((p, ways[0]), (q, ways[1]));
        let arcs = [
            Edge { from: first.at, to: joint.at, bulge: first.bulge },
            Edge { from: joint.at, to: q, bulge: joint.bulge },
        ];
        let is_whole = |e: &Edge| e.bulge.is_finite() && e.to.is_finite();
        let turns = |e: &Edge| e.bulge.abs() > MAX_BULGE;
        match !arcs.iter().all(is_whole) || self.is_spot(from, to) && arcs.iter().any(turns) {
            true => vec![line],
            false => arcs.to_vec(),
        }
    }

    /// Whether a stretch is a line in the directions in which it is left and reached: a short arc
    /// is near to its chord as well, and a kink.
    fn is_straight(&self, line: &Edge, ways: [Vec2; 2], from: f64, to: f64) -> bool {
        let chord = line.to - line.from;
        let along =
            |way: Vec2| chord.dot(way) > 0.0 && chord.cross(way).abs() < NEAR * chord.hypot();
        ways.into_iter().all(along) && self.off(&[*line], from, to) < NEAR
    }

    /// Whether a stretch is all in one spot.
    fn is_spot(&self, from: f64, to: f64) -> bool {
        let p = self.point(from);
        let is_near = |u: f64| (self.point(u) - p).hypot() < self.close / 4.0;
        self.places(from, to, 1).all(is_near) && is_near(to)
    }

    /// How far the curve is from edges at the places where it is tried.
    fn off(&self, edges: &[Edge], from: f64, to: f64) -> f64 {
        self.places(from, to, 1).map(|u| distance(edges, self.point(u))).fold(0.0, f64::max)
    }

    /// Places between two others.
    fn places(&self, from: f64, to: f64, dense: usize) -> impl Iterator<Item = f64> {
        let pieces = (to.ceil() - from.floor()).max(1.0) as usize;
        let count = PLACES.0.max(PLACES.1 * pieces) * dense;
        (1..count).map(move |i| from + (to - from) * i as f64 / count as f64)
    }

    /// Whether a stretch is near enough to the edges for it, at the places tested.
    fn is_near(&self, from: f64, to: f64, ends: [f64; 2]) -> bool {
        // A stretch within a single spot is a short line, whichever way it turns.
        if self.is_spot(from, to) {
            return true;
        }
        let edges = self.span(from, to, ends);
        let fits = |arc: Arc| arc.radius > self.close;
        if !edges.iter().all(|e| e.bulge.abs() <= MAX_BULGE && e.arc().is_none_or(fits)) {
            return false;
        }
        let start = self.tangent(from, ends);
        let on = |u: f64| self.way(u, true).dot(start) > TURNS;
        self.tangent(to, ends).dot(start) > TURNS
            && self.places(from, to, 1).all(on)
            && self.off(&edges, from, to) <= self.close * SPARE
    }

    /// How far one pair of arcs reaches from a place.
    fn reach(&self, from: f64, guess: f64, ends: [f64; 2]) -> f64 {
        furthest(from, guess, ends[1], HALVINGS, |to| self.is_near(from, to, ends))
    }

    /// The circle that a closed curve is.
    fn circle(&self, close: f64) -> Option<(Vec<Edge>, f64)> {
        let end = self.length();
        if (self.point(end) - self.point(0.0)).hypot() > NEAR {
            return None;
        }
        let points: Vec<Point> = self.places(0.0, end, 4).map(|u| self.point(u)).collect();
        let centre = centre(&points)?;
        let off = |p: &Point| (*p - centre).hypot();
        let (least, most) =
            points.iter().map(off).fold((f64::MAX, 0.0_f64), |(a, b), r| (a.min(r), b.max(r)));
        let radius = f64::midpoint(least, most);
        // Once round, and never back.
        let turn = |pair: &[Point]| {
            let (a, b) = (pair[0] - centre, pair[1] - centre);
            Angle::of(a.dot(b), a.cross(b)).degrees()
        };
        let turns: Vec<f64> = points.windows(2).map(turn).collect();
        let once = turns.iter().sum::<f64>().abs() < 360.0;
        let one_way = turns.iter().all(|t| *t > 0.0) || turns.iter().all(|t| *t < 0.0);
        let is_round = (most - least) / 2.0 <= close && radius > 10.0 * close;
        let sweep = if turns.first().is_some_and(|t| *t < 0.0) { -360.0 } else { 360.0 };
        let edges = arc(centre, radius, 0.0, sweep);
        let away = bound(self.pieces, &edges, close);
        (is_round && once && one_way && away <= close).then_some((edges, away))
    }
}

/// How far curves extend: the diagonal of the rectangle round their control points, mm.
fn extent(pieces: &[Bezier]) -> f64 {
    let all = pieces.iter().flat_map(|piece| &piece.points);
    let bounds = all.fold(Bounds::EMPTY, |bounds, (p, _)| bounds.with(*p));
    (bounds.max - bounds.min).hypot()
}

/// Where a curve has a cusp and runs back: its parameters.
fn turning_back(piece: &Bezier) -> Vec<f64> {
    const LOOKS: usize = 32;
    if piece.points.len() < 4 {
        return Vec::new();
    }
    let speed = |t: f64| piece.at(t).1;
    let size = speed(0.0).hypot().max(speed(0.5).hypot()).max(speed(1.0).hypot());
    let share = |i: usize| i as f64 / LOOKS as f64;
    let mut all = Vec::new();
    for i in 0..LOOKS {
        let (mut low, mut high) = (share(i), share(i + 1));
        if speed(low).dot(speed(high)) >= 0.0 {
            continue;
        }
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            if speed(middle).dot(speed(low)) < 0.0 {
                high = middle;
            } else {
                low = middle;
            }
        }
        if low > 0.0 && high < 1.0 && speed(low).hypot() < 1e-6 * size {
            all.push(low);
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::curve::Course;
    use crate::geom::spline::spline;
    use crate::geom::spline::through;

    const CLOSE: f64 = 0.02;

    /// The most that two edges in a row turn at their joint, degrees.
    fn kink(edges: &[Edge]) -> f64 {
        let turn = |pair: &[Edge]| {
            let (a, b) = (-pair[0].reversed().direction_at_start(), pair[1].direction_at_start());
            Angle::of(a.dot(b), a.cross(b)).degrees().abs()
        };
        edges.windows(2).map(turn).fold(0.0, f64::max)
    }

    fn ellipse(a: f64, b: f64) -> Course {
        let axes = [Vec2::new(a, 0.0), Vec2::new(0.0, b)];
        let whole = Angle::from_degrees(360.0);
        Course::ellipse(Point::new(3.0, 4.0), axes, Angle::ZERO, whole).remove(0)
    }

    #[test]
    fn an_ellipse_is_a_few_tangent_arcs_of_its_area() {
        let (edges, off) = ellipse(40.0, 25.0).edges(CLOSE);
        assert!(off <= CLOSE && off > CLOSE / 10.0, "{off}");
        assert!((12..=18).contains(&edges.len()), "{}", edges.len());
        assert!(kink(&edges) < 1e-6, "{}", kink(&edges));
        let area: f64 = edges.iter().map(Edge::area_share).sum();
        assert!((area - crate::num::PI * 1000.0).abs() < 2.0, "{area}");
    }

    #[test]
    fn a_circle_of_four_curves_is_a_circle() {
        let k = 0.552_284_75 * 6.0;
        let corners = [(6.0, 0.0), (0.0, 6.0), (-6.0, 0.0), (0.0, -6.0)].map(Point::from);
        let piece = |i: usize| {
            let (a, b) = (corners[i], corners[(i + 1) % 4]);
            let (c, d) = (a + b.to_vec2() * (k / 6.0), b + a.to_vec2() * (k / 6.0));
            Bezier::plain(&[a, c, d, b])
        };
        let (edges, off) = Course::Curve((0..4).map(piece).collect()).edges(CLOSE);
        assert_eq!(edges.len(), 2);
        assert!(off < 0.001 && (edges[0].arc().unwrap().radius - 6.0).abs() < 0.002, "{off}");
    }

    #[test]
    fn corners_and_straight_pieces_stay_exact() {
        let points = [(0.0, 0.0), (30.0, 0.0), (30.0, 20.0), (0.0, 20.0)].map(Point::from);
        let pieces = spline(1, &[], &points, &[]).unwrap();
        let (edges, off) = Course::Curve(pieces).edges(CLOSE);
        assert!(edges.len() == 3 && edges.iter().all(Edge::is_line) && off < 1e-9, "{edges:?}");
        let leaf = [
            Bezier::plain(&[(0.0, 0.0), (20.0, 20.0), (40.0, 20.0), (60.0, 0.0)].map(Point::from)),
            Bezier::plain(
                &[(60.0, 0.0), (40.0, -20.0), (20.0, -20.0), (0.0, 0.0)].map(Point::from),
            ),
        ];
        let (edges, _) = Course::Curve(leaf.to_vec()).edges(CLOSE);
        assert!(edges.iter().any(|e| e.from == Point::new(60.0, 0.0)), "{edges:?}");
    }

    #[test]
    fn a_pen_that_stands_still_leaves_a_corner() {
        let cusp =
            Bezier::plain(&[(0.0, 0.0), (40.0, 30.0), (0.0, 30.0), (40.0, 0.0)].map(Point::from));
        let (edges, off) = Course::Curve(vec![cusp]).edges(CLOSE);
        assert!(off <= CLOSE && edges.len() < 40, "{off} {}", edges.len());
        assert!(edges.iter().any(|e| (e.to - Point::new(20.0, 22.5)).hypot() < 1e-4));
    }

    /// A place between those measured was further off; an arc so short that it is near to its chord
    /// became a line, with a kink.
    #[test]
    fn no_place_of_a_curve_is_further_off_than_is_said_and_no_arc_is_a_kink() {
        let corners = [0.0, 40.0, 80.0, 120.0, 160.0, 200.0, 240.0, 280.0, 320.0, 0.0, 40.0, 80.0];
        let points = corners.map(|degrees| {
            let angle = Angle::from_degrees(degrees);
            Point::new(30.0 * angle.cos(), (20.0 + degrees / 20.0) * angle.sin())
        });
        let knots: Vec<f64> = (0..16).map(f64::from).collect();
        let closed = Course::Curve(spline(3, &knots, &points, &[]).unwrap());
        for course in [closed, ellipse(30.0, 3.0), ellipse(2.0, 0.3), ellipse(200.0, 20.0)] {
            let Course::Curve(pieces) = &course else { panic!("{course:?}") };
            let (edges, off) = course.edges(CLOSE);
            let places = (0..20_000).map(|i| f64::from(i) / 20_000.0);
            let far = |t: f64| pieces.iter().map(move |piece| piece.at(t).0);
            let most = places.flat_map(far).map(|p| distance(&edges, p)).fold(0.0, f64::max);
            assert!(most <= off && off <= most + CLOSE / 50.0, "{most} {off}");
            assert!(off <= CLOSE && kink(&edges) < 1e-4, "{off} {}", kink(&edges));
        }
    }

    /// A small curve is as long as it was, within a thousandth or so.
    #[test]
    fn arcs_of_a_small_ellipse_are_not_longer_than_it() {
        let course = ellipse(2.0, 0.3);
        let Course::Curve(pieces) = &course else { panic!("{course:?}") };
        let places = (0..40_000_u32).map(|i| (i / 10_000, f64::from(i % 10_000) / 10_000.0));
        let points: Vec<Point> = places.map(|(i, t)| pieces[i as usize].at(t).0).collect();
        let long: f64 = points.windows(2).map(|pair| (pair[1] - pair[0]).hypot()).sum();
        let made: f64 = course.edges(CLOSE).0.iter().map(Edge::length).sum();
        assert!((made / long - 1.0).abs() < 0.0015, "{made} {long}");
    }

    #[test]
    fn a_spline_goes_through_its_points_and_stays_smooth() {
        let points = [(0.0, 0.0), (30.0, 22.0), (55.0, 3.0), (90.0, 40.0)].map(Point::from);
        let (edges, off) = Course::Curve(through(&points, [None, None])).edges(CLOSE);
        assert!(off <= CLOSE && kink(&edges) < 1e-5, "{off} {}", kink(&edges));
        for p in points {
            let near = edges.iter().map(|e| (e.nearest(p) - p).hypot()).fold(f64::MAX, f64::min);
            assert!(near <= CLOSE, "{p}: {near}");
        }
    }
}
