//! The line along which a face is supported, and where there is none.

use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::num::Angle;

/// Pieces of an edge for the centroid of a line.
const PIECES: u32 = 64;

/// A seam is a line with a direction only where its stretches, end to end, lead farther than this
/// share of its length: an arc of less than some 270°. Our choice.
const LEADS: f64 = 0.3;
/// Maximum share of it that may run back: an arc of 240°, whose ends are a third of their
/// length behind its widest place. Our choice.
const BACK: f64 = 0.25;
/// Stretches that end nearer than this to where the next begins are one, mm. Our choice: less than
/// a weld begins and ends with.
const MEET: f64 = 0.1;

/// The line along which a face is supported.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct SupportLine {
    /// Its centre.
    pub(super) centre: Point,
    /// Away from it into the face, of length 1.
    pub(super) pull: Vec2,
    /// How far it stretches, mm.
    pub(super) width: f64,
    /// Between which angles to it, degrees, its stretches run.
    pub(super) turns: [f64; 2],
}

impl SupportLine {
    /// Along it: a quarter turn anticlockwise from its pull.
    pub(super) fn along(&self) -> Vec2 {
        Vec2::new(-self.pull.y, self.pull.x)
    }

    /// The line that follows pieces of an outline, metal to their left.
    pub(super) fn of(stretches: &[Edge]) -> Self {
        let length: f64 = stretches.iter().map(Edge::length).sum();
        // The midpoint of an arc is not its centroid: short pieces of it are near enough.
        let piece = |e: &Edge, i: u32| {
            e.point_at((f64::from(i) + 0.5) / f64::from(PIECES)).to_vec2() * e.length()
        };
        let middles = stretches.iter().flat_map(|e| (0..PIECES).map(move |i| piece(e, i)));
        let sum = middles.fold(Vec2::ZERO, |sum, p| sum + p) / f64::from(PIECES);
        let along = chord(stretches).normalize();
        let centre = (sum / length).to_point();
        let angle = |step: Vec2| Angle::of(along.dot(step), along.cross(step)).degrees();
        let turns = pieces(stretches).map(angle);
        let turns = turns.fold([0.0, 0.0], |[low, high]: [f64; 2], a| [low.min(a), high.max(a)]);
        let ends = stretches.iter().flat_map(|e| [e.from, e.to]);
        let spread = ends.map(|p| (p - centre).dot(along));
        let (low, high) = spread
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), s| (low.min(s), high.max(s)));
        Self { centre, pull: Vec2::new(-along.y, along.x), width: high - low, turns }
    }
}

/// From where each of some stretches begins to where it ends, in all.
fn chord(stretches: &[Edge]) -> Vec2 {
    stretches.iter().fold(Vec2::ZERO, |sum, edge| sum + (edge.to - edge.from))
}

/// Short pieces of some stretches, each from its beginning to its end.
fn pieces(stretches: &[Edge]) -> impl Iterator<Item = Vec2> + '_ {
    let at = |e: &Edge, i: u32| e.point_at(f64::from(i) / f64::from(PIECES));
    let of = move |e| (0..PIECES).map(move |i| at(e, i + 1) - at(e, i));
    stretches.iter().flat_map(of)
}

/// Whether some stretches of an outline have no direction: they come back to about where they
/// began, much of them runs back, or one faces the others. The metal they support is then not on
/// one side of a line, and equilibrium alone does not say what share of a load each of them
/// takes.
pub(super) fn is_ring(stretches: &[Edge]) -> bool {
    if stretches.is_empty() {
        return false;
    }
    let along = chord(stretches);
    let length: f64 = stretches.iter().map(Edge::length).sum();
    let back = pieces(stretches).filter(|step| step.dot(along) < 0.0);
    let back: f64 = back.map(Vec2::hypot).sum();
    let meets = |a: &Edge, b: &Edge| (b.from - a.to).hypot() < MEET;
    let mut runs: Vec<Vec2> = stretches.chunk_by(meets).map(chord).collect();
    // An outline begins somewhere, perhaps within a run of stretches.
    if let ([first, .., last], true) = (stretches, runs.len() > 1)
        && meets(last, first)
        && let Some(begun) = runs.pop()
    {
        runs[0] += begun;
    }
    along.hypot() < LEADS * length
        || back > BACK * length
        || runs.iter().any(|run| run.dot(along) < 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::num;

    /// An arc of a circle of 20 mm, as one edge or as several.
    fn arc(start: f64, sweep: f64, count: u32) -> Vec<Edge> {
        let at = |i: u32| {
            let angle = Angle::from_degrees(start + sweep / f64::from(count) * f64::from(i));
            Point::new(20.0 * angle.cos(), 20.0 * angle.sin())
        };
        let bulge = Angle::from_degrees(sweep / f64::from(count) / 4.0).tan();
        (0..count).map(|i| Edge { from: at(i), to: at(i + 1), bulge }).collect()
    }

    /// Of 200° a ninth runs back, and the chord is 2 · 20 · sin 100°, 0.56 of the length. Of 300°
    /// it is 0.19, of 350° 0.03: the gap of a ring gave a seam its direction.
    #[test]
    fn an_arc_that_comes_back_to_about_where_it_began_has_no_direction() {
        for (sweep, comes_back) in [(90.0, false), (200.0, false), (300.0, true), (350.0, true)] {
            for (start, count) in [(0.0, 1), (10.0, 3), (-117.0, 4)] {
                let (whole, turned) = (arc(start, sweep, count), arc(start, -sweep, count));
                assert_eq!(is_ring(&whole), comes_back, "{sweep} in {count}");
                assert_eq!(is_ring(&turned), comes_back, "{sweep} in {count}, the other way");
                // An outline that begins within it.
                let mut parted = whole.clone();
                parted.rotate_left(count as usize / 2);
                assert_eq!(is_ring(&parted), comes_back, "{sweep} in {count}, begun within");
            }
        }
    }

    /// Two arcs across from one another, alike or not, and one beside another on the same side.
    #[test]
    fn arcs_that_face_one_another_have_no_direction() {
        let two = |other: (f64, f64)| [arc(40.0, 100.0, 1), arc(other.0, other.1, 2)].concat();
        assert!(is_ring(&two((220.0, 100.0))));
        assert!(is_ring(&two((240.0, 60.0))));
        assert!(is_ring(&two((260.0, 20.0))));
        assert!(!is_ring(&two((145.0, 20.0))));
        let line = |x: f64, y: f64, to: f64| Edge::line(Point::new(x, y), Point::new(to, y));
        assert!(is_ring(&[line(0.0, 0.0, 50.0), line(40.0, 20.0, 30.0)]));
        assert!(!is_ring(&[line(0.0, 0.0, 50.0), line(60.0, 0.0, 80.0)]));
    }

    /// Half a circle runs from 90° to −90° of its chord, a line along it.
    #[test]
    fn a_seam_knows_how_far_it_turns() {
        let [low, high] = SupportLine::of(&arc(0.0, 180.0, 1)).turns;
        let off = 180.0 / f64::from(PIECES) / 2.0 + 1e-9;
        assert!((low + 90.0).abs() < off && (high - 90.0).abs() < off, "{low} to {high}");
        let line = [Edge::line(Point::ZERO, Point::new(3.0, 7.0))];
        assert!(SupportLine::of(&line).turns.iter().all(|turn| num::hypot(*turn, 0.0) < 1e-9));
    }

    #[test]
    fn the_root_of_a_straight_edge_pulls_into_the_metal() {
        let foot = Edge::line(Point::new(-20.0, 0.0), Point::new(20.0, 0.0));
        let root = SupportLine::of(&[foot]);
        assert!((root.pull - Vec2::new(0.0, 1.0)).hypot() < 1e-12);
        assert!((root.width - 40.0).abs() < 1e-12 && root.centre.distance(Point::ZERO) < 1e-12);
        // The centroid of a half circle is 2/π of its radius from its centre.
        let saddle = Edge { from: Point::new(-20.0, 0.0), to: Point::new(20.0, 0.0), bulge: -1.0 };
        let root = SupportLine::of(&[saddle]);
        assert!((root.centre.y - 20.0 * 2.0 / num::PI).abs() < 2e-3, "{:?}", root.centre);
    }
}
