//! The defining features of an outline: its corners, rounded ones by the intersection of their
//! sides, the radii of its arcs, and the centres of those that are in no corner.

use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::num::Angle;

/// Edges whose directions differ by less run smoothly into each other, as a sine.
const SMOOTH: f64 = 2e-3;
/// Lengths that differ by less are equal, mm.
const SAME: f64 = 1e-4;
/// A rounded corner is dimensioned to where its sides would meet, where that is no farther from
/// the arc than this share of the radius; beyond that by its centre. Our choice.
const OVERSHOOT: f64 = 0.65;
/// As many arcs in a row that run into each other are a curve. Our choice.
const CURVE: usize = 3;
/// As many arcs in a ring, all turning one way and running into each other, are a curve, however
/// their radii differ: a tube cut through a bend. Our choice.
const RING: usize = 8;
/// Arcs of a curve turn the same way, and the ratio of their radii is limited to this.
const ALIKE: f64 = 1.4;

/// A point whose position is given.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Key {
    /// Where it is, mm.
    pub(super) at: Point,
    /// Whether a size across is given to it, and one up.
    pub(super) axes: [bool; 2],
    /// Whether it is the centre of an arc.
    pub(super) centre: bool,
}

impl Key {
    /// A corner.
    pub(super) fn corner(at: Point) -> Self {
        Self { at, axes: [true, true], centre: false }
    }
}

/// An arc whose radius is given.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Round {
    /// The arc.
    pub(super) edge: Edge,
    /// mm.
    pub(super) radius: f64,
    /// Whether it is a whole circle.
    pub(super) full: bool,
}

/// What defines an outline.
#[derive(Clone, Debug, Default)]
pub(super) struct Shape {
    /// In order along the outline.
    pub(super) keys: Vec<Key>,
    /// Its arcs.
    pub(super) rounds: Vec<Round>,
    /// Its edges that are neither horizontal nor vertical.
    pub(super) slants: Vec<Edge>,
    /// Its curves, the arcs of each in order.
    pub(super) curves: Vec<Vec<Edge>>,
    /// The radius of rounded corners at the ends of an edge whose sides would meet out of the part, and
    /// how far apart these corners would be, mm.
    pub(super) beyond: Vec<[f64; 2]>,
}

/// What defines an outline.
pub(super) fn of(outline: &Outline) -> Shape {
    if let Some(circle) = circle(outline) {
        return circle;
    }
    // Where sides would meet far out of the part no one measures.
    let around = outline.bounds().grown(SAME);
    let inside = |p: &Point| around.contains(*p);
    let edges = joined(outline);
    let count = edges.len();
    let smooth: Vec<bool> =
        (0..count).map(|i| is_smooth(&edges[i], &edges[(i + 1) % count])).collect();
    let in_curve = curves(&edges, &smooth);
    let sharp = too_sharp(&edges, &smooth);
    let mut shape = Shape::default();
    let mut bare = vec![false; count];
    for (i, edge) in edges.iter().enumerate() {
        let (before, after) = ((i + count - 1) % count, (i + 1) % count);
        match edge.arc() {
            Some(arc) if !in_curve[i] => {
                shape.rounds.push(Round { edge: *edge, radius: arc.radius, full: false });
                let lines = edges[before].is_line() && edges[after].is_line();
                let tangent = [smooth[before], smooth[i]];
                let as_others =
                    inside(&arc.centre) && sharp.iter().any(|r| (r - arc.radius).abs() < SAME);
                let is_corner =
                    |at: &Point| lines && tangent == [true, true] && inside(at) && !as_others;
                match corner(edge).filter(is_corner) {
                    Some(corner) => shape.keys.push(Key::corner(corner)),
                    // Arcs of more than half a circle have one centre, however many they are.
                    None if shape.keys.iter().any(|key| is_at(&arc.centre, key)) => {}
                    // One whose centre is out of the part follows from its neighbours.
                    None if tangent == [true, true] && inside(&arc.centre) => {
                        let axes = centred(edge, arc.sweep);
                        shape.keys.push(Key { at: arc.centre, axes, centre: true });
                    }
                    None => bare[i] = tangent == [true, true],
                }
            }
            Some(_) => match shape.curves.last_mut().filter(|_| in_curve[before] && i > 0) {
                Some(curve) => curve.push(*edge),
                None => shape.curves.push(vec![*edge]),
            },
            None if is_slanting(edge) => shape.slants.push(*edge),
            None => {}
        }
        let ends_curve = in_curve[i] != in_curve[after];
        if !smooth[i] || ends_curve {
            shape.keys.push(Key::corner(edge.to));
        }
    }
    join_over_first(&mut shape.curves, &in_curve);
    if in_curve.iter().all(|is| *is) {
        shape.keys.extend(extremes(outline));
    }
    shape.keys.extend(waists(&edges, &bare));
    shape.beyond = beyond(&edges, &smooth, &inside);
    shape
}

/// The edges between rounded corners at least one of which would be out of the part if it were sharp:
/// their radius and the length of the edge with sharp corners, mm.
fn beyond(edges: &[Edge], smooth: &[bool], inside: &dyn Fn(&Point) -> bool) -> Vec<[f64; 2]> {
    let count = edges.len();
    let between = |i: usize| {
        let (before, after) = ((i + count - 1) % count, (i + 1) % count);
        let lines = [before + count - 1, after + 1].map(|k| edges[k % count].is_line());
        let tangent = [before + count - 1, before, i, after].map(|k| smooth[k % count]);
        if !edges[i].is_line() || lines != [true; 2] || tangent != [true; 4] {
            return None;
        }
        let [one, other] = [corner(&edges[before])?, corner(&edges[after])?];
        let radius = edges[before].arc()?.radius;
        let is_one = (edges[after].arc()?.radius - radius).abs() < SAME;
        (is_one && !(inside(&one) && inside(&other))).then(|| [radius, (other - one).hypot()])
    };
    (0..count).filter_map(between).collect()
}

fn circle(outline: &Outline) -> Option<Shape> {
    let (centre, radius) = outline.circle()?;
    let keys = vec![Key { at: centre, axes: [true, true], centre: true }];
    let edges = outline.edges().take(1);
    let rounds = edges.map(|edge| Round { edge, radius, full: true }).collect();
    Some(Shape { keys, rounds, ..Shape::default() })
}

/// A curve that continues over the first corner of the outline is one.
fn join_over_first(curves: &mut Vec<Vec<Edge>>, in_curve: &[bool]) {
    let goes_on = in_curve.first() == Some(&true) && in_curve.last() == Some(&true);
    if curves.len() > 1 && goes_on {
        let first = curves.remove(0);
        curves.last_mut().into_iter().for_each(|last| last.extend_from_slice(&first));
    }
}

fn is_at(at: &Point, key: &Key) -> bool {
    (key.at - *at).hypot() < SAME
}

/// How far a curve without ends reaches to all sides: no corner says where it is.
fn extremes(outline: &Outline) -> [Key; 4] {
    let (bounds, middle) = (outline.bounds(), outline.bounds().centre());
    let across = [bounds.min.x, bounds.max.x];
    let across =
        across.map(|x| Key { at: Point::new(x, middle.y), axes: [true, false], centre: false });
    let up = [bounds.min.y, bounds.max.y];
    let up = up.map(|y| Key { at: Point::new(middle.x, y), axes: [false, true], centre: false });
    [across[0], across[1], up[0], up[1]]
}

/// The check dimensions of a curve, mm: its length, the distance of its ends, and its largest
/// distance from the line between them. The ends of a closed one coincide.
pub(super) fn measures(curve: &[Edge]) -> [f64; 3] {
    let long = curve.iter().map(Edge::length).sum();
    let Some((first, last)) = curve.first().zip(curve.last()) else { return [0.0; 3] };
    let chord = last.to - first.from;
    let off = |p: Point| match chord.hypot() > SAME {
        true => (chord.cross(p - first.from) / chord.hypot()).abs(),
        false => (p - first.from).hypot(),
    };
    let along = curve.iter().flat_map(|edge| (0..=LOOKS).map(|i| edge.point_at(share(i))));
    [long, chord.hypot(), along.map(off).fold(0.0, f64::max)]
}

/// Whether a curve ends where it begins.
pub(crate) fn is_ring(curve: &[Edge]) -> bool {
    let ends = curve.first().zip(curve.last());
    ends.is_some_and(|(first, last)| (last.to - first.from).hypot() <= SAME)
}

/// Places along an arc at which it is measured how far it reaches. Our choice.
const LOOKS: u32 = 64;

fn share(i: u32) -> f64 {
    f64::from(i) / f64::from(LOOKS)
}

/// How many arcs are seen along outlines: one may be made of several edges, each of which begins
/// where the one before it ends, about one centre.
pub(super) fn arcs(edges: &[Edge]) -> usize {
    let near = |a: Point, b: Point| (a - b).hypot() < 1e-3;
    let arcs: Vec<(&Edge, Point)> =
        edges.iter().filter_map(|edge| Some((edge, edge.arc()?.centre))).collect();
    let goes_on = |(edge, centre): &&(&Edge, Point)| {
        arcs.iter().any(|(other, about)| near(other.to, edge.from) && near(*about, *centre))
    };
    let on = arcs.iter().filter(goes_on).count();
    // Of a whole circle every piece continues from another.
    (arcs.len() - on).max(usize::from(!arcs.is_empty()))
}

/// The midpoints of level and upright edges between two arcs that no point gives: nothing else says
/// where these edges are.
fn waists(edges: &[Edge], bare: &[bool]) -> Vec<Key> {
    let count = edges.len();
    let is_between = |i: &usize| bare[(i + count - 1) % count] && bare[(i + 1) % count];
    let lines = (0..count).filter(is_between).map(|i| edges[i]).filter(Edge::is_line);
    let key = |edge: Edge| {
        let along = (edge.to - edge.from).normalize();
        let axes = [along.x.abs() < SMOOTH, along.y.abs() < SMOOTH];
        Key { at: edge.point_at(0.5), axes, centre: false }
    };
    lines.map(key).filter(|key| key.axes != [false, false]).collect()
}

/// The edges of an outline, with arcs of one circle and lines in one direction merged into one
/// where an edge can represent them.
fn joined(outline: &Outline) -> Vec<Edge> {
    let mut edges: Vec<Edge> = Vec::new();
    for edge in outline.edges() {
        let joined = edges.last().and_then(|last| join(last, &edge));
        match (joined, edges.last_mut()) {
            (Some(joined), Some(last)) => *last = joined,
            _ => edges.push(edge),
        }
    }
    let around = edges.last().zip(edges.first()).and_then(|(last, first)| join(last, first));
    if let Some(joined) = around.filter(|_| edges.len() > 2) {
        edges.pop();
        edges[0] = joined;
    }
    edges
}

fn join(a: &Edge, b: &Edge) -> Option<Edge> {
    if !is_smooth(a, b) {
        return None;
    }
    match (a.arc(), b.arc()) {
        (None, None) => Some(Edge::line(a.from, b.to)),
        (Some(p), Some(q)) => {
            let one = (p.centre - q.centre).hypot() < SAME && (p.radius - q.radius).abs() < SAME;
            let sweep = p.sweep.degrees() + q.sweep.degrees();
            let bulge = Angle::from_degrees(sweep / 4.0).tan();
            (one && sweep.abs() <= 180.0 + 1e-6).then_some(Edge { from: a.from, to: b.to, bulge })
        }
        _ => None,
    }
}

fn is_smooth(a: &Edge, b: &Edge) -> bool {
    let end = -a.reversed().direction_at_start();
    let start = b.direction_at_start();
    end.cross(start).abs() < SMOOTH && end.dot(start) > 0.0
}

/// Whether each edge is an arc of a curve of many.
fn curves(edges: &[Edge], smooth: &[bool]) -> Vec<bool> {
    let count = edges.len();
    let is_arc = |i: usize| edges[i % count].arc().is_some();
    if count >= RING && smooth.iter().all(|smooth| *smooth) && turns_one_way(edges) {
        return vec![true; count];
    }
    let mut is = vec![false; count];
    let Some(start) = (0..count).find(|i| !smooth[(i + count - 1) % count] || !is_arc(*i)) else {
        return is;
    };
    let mut i = start;
    while i < start + count {
        let mut end = i;
        let goes_on = |end: usize| {
            let [a, b] = [end - 1, end].map(|k| &edges[k % count]);
            smooth[(end - 1) % count] && is_alike(a, b)
        };
        while is_arc(end) && end < start + count && (end == i || goes_on(end)) {
            end += 1;
        }
        let run: Vec<Edge> = (i..end).map(|k| edges[k % count]).collect();
        if run.len() >= CURVE && !is_one_circle(&run) {
            (i..end).for_each(|k| is[k % count] = true);
        }
        i = end.max(i + 1);
    }
    is
}

/// Whether arcs are of one circle: more than half a circle is divided into several.
fn is_one_circle(arcs: &[Edge]) -> bool {
    let circles: Option<Vec<_>> = arcs.iter().map(Edge::arc).collect();
    circles.is_some_and(|all| {
        all.iter().all(|arc| {
            (arc.centre - all[0].centre).hypot() < SAME && (arc.radius - all[0].radius).abs() < SAME
        })
    })
}

/// Whether all edges are arcs that turn one way.
fn turns_one_way(edges: &[Edge]) -> bool {
    let ways: Option<Vec<f64>> = edges.iter().map(|e| Some(e.arc()?.sweep.degrees())).collect();
    ways.is_some_and(|ways| ways.iter().all(|way| way * ways[0] > 0.0))
}

/// Whether two arcs may be of one curve.
fn is_alike(a: &Edge, b: &Edge) -> bool {
    let Some((a, b)) = a.arc().zip(b.arc()) else { return false };
    let ratio = a.radius / b.radius;
    a.sweep.degrees() * b.sweep.degrees() > 0.0 && ratio < ALIKE && ratio > 1.0 / ALIKE
}

/// The radii of corners, rounded between two sides, that are dimensioned to their centres, since
/// their sides would meet too far out: others of that radius are as well.
fn too_sharp(edges: &[Edge], smooth: &[bool]) -> Vec<f64> {
    let count = edges.len();
    let radius = |i: usize| {
        let (before, after) = ((i + count - 1) % count, (i + 1) % count);
        let arc = edges[i].arc()?;
        let is_between = smooth[before] && smooth[i];
        let lines = edges[before].is_line() && edges[after].is_line();
        let is_round = arc.sweep.degrees().abs() > 180.0 - 1e-3;
        (is_between && lines && !is_round && corner(&edges[i]).is_none()).then_some(arc.radius)
    };
    (0..count).filter_map(radius).collect()
}

/// Where the sides beside an arc would meet, where that is near enough.
fn corner(edge: &Edge) -> Option<Point> {
    let arc = edge.arc()?;
    let half = Angle::from_degrees(arc.sweep.degrees().abs() / 2.0);
    if half.cos() < 1e-3 || 1.0 / half.cos() - 1.0 > OVERSHOOT {
        return None;
    }
    Some(edge.from + edge.direction_at_start() * (arc.radius * half.tan()))
}

/// Along which axes the centre of an arc is given: of half a circle between two parallel sides
/// only along them, since these give the other.
fn centred(edge: &Edge, sweep: Angle) -> [bool; 2] {
    let along: Vec2 = edge.direction_at_start();
    if sweep.degrees().abs() < 180.0 - 1e-3 {
        return [true, true];
    }
    [along.x.abs() > SMOOTH, along.y.abs() > SMOOTH]
}

fn is_slanting(edge: &Edge) -> bool {
    let along = edge.to - edge.from;
    along.x.abs() > SAME && along.y.abs() > SAME
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom;
    use crate::geom::Vertex;
    use crate::paper::tag::circle;

    #[test]
    fn a_rounded_rectangle_is_defined_by_its_sharp_corners_and_one_radius() {
        let outline = geom::rectangle(Point::new(20.0, 10.0), 40.0, 20.0, 3.0)
            .unwrap_or_else(|e| panic!("{e}"));
        let shape = of(&outline);
        let mut at: Vec<[i64; 2]> = shape
            .keys
            .iter()
            .map(|key| [key.at.x.round() as i64, key.at.y.round() as i64])
            .collect();
        at.sort_unstable();
        assert_eq!(at, [[0, 0], [0, 20], [40, 0], [40, 20]]);
        assert!(
            shape.rounds.len() == 4 && shape.rounds.iter().all(|r| (r.radius - 3.0).abs() < 1e-9)
        );
        assert!(shape.slants.is_empty() && shape.curves.is_empty());
    }

    /// Sides of 70 to 500 that lean out: their rounded corners would be 560 apart if they were sharp, and
    /// the arcs do not reach as far; the square corners of a rectangle are where its arcs end.
    #[test]
    fn sharp_corners_out_of_the_part_are_known_by_how_far_they_are_apart() {
        let of = |corners: [(f64, f64, f64); 4]| {
            let corner = |(x, y, radius): (f64, f64, f64)| geom::Corner {
                at: Point::new(x, y),
                kind: geom::CornerKind::Round(radius),
                side: geom::CornerSide::Straight,
            };
            let outline = geom::polygon(&corners.map(corner));
            of(&outline.unwrap_or_else(|e| panic!("{e}"))).beyond
        };
        let skid =
            [(-280.0, -500.0, 25.0), (280.0, -500.0, 25.0), (210.0, 0.0, 5.0), (-210.0, 0.0, 5.0)];
        let [[radius, apart]] = of(skid)[..] else { panic!("{:?}", of(skid)) };
        assert!((radius - 25.0).abs() < 1e-6 && (apart - 560.0).abs() < 1e-6, "{radius} {apart}");
        let square = [(0.0, 0.0, 5.0), (60.0, 0.0, 5.0), (60.0, 40.0, 5.0), (0.0, 40.0, 5.0)];
        assert!(of(square).is_empty());
    }

    /// A triangle with corners of 40°, 90° and 50°, rounded alike.
    #[test]
    fn corners_of_one_radius_are_all_dimensioned_in_one_way() {
        let tip = Angle::from_degrees(40.0);
        let far = Point::new(100.0, 100.0 * tip.tan());
        let corners = [Point::ZERO, Point::new(100.0, 0.0), far];
        let of = |radii: [f64; 3]| {
            let round = corners.into_iter().zip(radii);
            let round = round.map(|(at, radius)| geom::Corner {
                at,
                kind: geom::CornerKind::Round(radius),
                side: geom::CornerSide::Straight,
            });
            let outline = geom::polygon(&round.collect::<Vec<_>>());
            of(&outline.unwrap_or_else(|e| panic!("{e}"))).keys
        };
        let alike = of([5.0; 3]);
        assert!(alike.len() == 3 && alike.iter().all(|key| key.centre), "{alike:?}");
        // The other sharp corner has 50°; that of 90° is alone with its radius.
        let other = of([5.0, 4.0, 3.0]);
        assert_eq!(other.iter().filter(|key| key.centre).count(), 2, "{other:?}");
    }

    /// Two ends of a strap about two centres; the first is cut in two by a notch, and one of these
    /// pieces is made of two edges.
    #[test]
    fn a_radius_is_counted_as_often_as_it_is_seen() {
        let of = |at: f64, degrees: [f64; 2]| {
            let point = |d: f64| Point::new(at, 0.0) + geom::ray(d) * 10.0;
            let bulge = Angle::from_degrees((degrees[1] - degrees[0]) / 4.0).tan();
            Edge { from: point(degrees[0]), to: point(degrees[1]), bulge }
        };
        let first = [of(0.0, [100.0, 140.0]), of(0.0, [140.0, 170.0]), of(0.0, [190.0, 260.0])];
        assert_eq!([arcs(&first), arcs(&[of(50.0, [-90.0, 90.0])])], [2, 1]);
        let both: Vec<Edge> = first.into_iter().chain([of(50.0, [-90.0, 90.0])]).collect();
        assert_eq!(arcs(&both), 3);
        assert_eq!(arcs(&circle(Point::ZERO, 10.0)), 1);
    }

    #[test]
    fn a_curve_has_its_length_the_distance_of_its_ends_and_its_depth() {
        // Half a circle of 50 in eight arcs.
        let at = |i: u32| {
            let angle = Angle::from_degrees(22.5 * f64::from(i));
            Point::new(50.0 * angle.cos(), 50.0 * angle.sin())
        };
        let bulge = Angle::from_degrees(22.5 / 4.0).tan();
        let curve: Vec<Edge> = (0..8).map(|i| Edge { from: at(i), to: at(i + 1), bulge }).collect();
        let measured = measures(&curve);
        for (is, wanted) in measured.into_iter().zip([157.079_63, 100.0, 50.0]) {
            assert!((is - wanted).abs() < 1e-4, "{measured:?}");
        }
        assert_eq!(measures(&[]), [0.0; 3]);
    }

    /// An eye on a stem runs round more than half a circle: in three arcs, of one radius.
    #[test]
    fn an_eye_has_a_radius_however_far_it_runs_round() {
        let third = |i: f64| {
            let angle = Angle::from_degrees(100.0 * i - 60.0);
            Point::new(19.5 * angle.cos(), 19.5 * angle.sin())
        };
        let bulge = Angle::from_degrees(25.0).tan();
        let arcs = [0.0, 1.0, 2.0].map(|i| Vertex { at: third(i), bulge });
        let end = third(3.0);
        let foot = [end, Point::new(end.x, -60.0), Point::new(third(0.0).x, -60.0)];
        let foot = foot.map(|at| Vertex { at, bulge: 0.0 });
        let outline = Outline::new(arcs.into_iter().chain(foot)).unwrap_or_else(|e| panic!("{e}"));
        let shape = of(&outline);
        assert!(shape.curves.is_empty(), "{:?}", shape.curves);
        let centres = shape.keys.iter().filter(|key| key.at.to_vec2().hypot() < 1e-6);
        assert_eq!(centres.count(), 1, "{:?}", shape.keys);
        assert!(
            !shape.rounds.is_empty() && shape.rounds.iter().all(|r| (r.radius - 19.5).abs() < 1e-9)
        );
    }

    #[test]
    fn a_ring_of_arcs_that_are_not_alike_is_one_curve_and_its_extremes_are_given() {
        // A quarter of a circle at each corner and a flat arc at each side, all tangent.
        let flat = Angle::from_degrees(10.0);
        let corner = Angle::from_degrees(80.0);
        let (mut at, mut way) = (Point::ZERO, Angle::from_degrees(-5.0));
        let mut ring = Vec::new();
        for i in 0..8 {
            let (turn, radius) = if i % 2 == 0 { (flat, 400.0) } else { (corner, 20.0) };
            let half = Angle::from_degrees(turn.degrees() / 2.0);
            let along = Angle::from_degrees(way.degrees() + half.degrees());
            let chord = 2.0 * radius * half.sin();
            ring.push(Vertex { at, bulge: Angle::from_degrees(turn.degrees() / 4.0).tan() });
            at += Vec2::new(along.cos(), along.sin()) * chord;
            way = Angle::from_degrees(way.degrees() + turn.degrees());
        }
        let outline = Outline::new(ring).unwrap_or_else(|e| panic!("{e}"));
        let shape = of(&outline);
        assert_eq!((shape.curves.len(), shape.rounds.len(), shape.keys.len()), (1, 0, 4));
        let bounds = outline.bounds();
        let reach: Vec<f64> =
            shape.keys.iter().map(|k| if k.axes[0] { k.at.x } else { k.at.y }).collect();
        assert_eq!(reach, [bounds.min.x, bounds.max.x, bounds.min.y, bounds.max.y]);
    }

    #[test]
    fn the_waist_between_two_round_ends_is_given() {
        let line = |y: f64, from: f64, to: f64| Edge::line(Point::new(from, y), Point::new(to, y));
        let arc = |a: (f64, f64), b: (f64, f64)| Edge { from: a.into(), to: b.into(), bulge: -0.1 };
        let edges = [
            line(-7.0, 20.0, 80.0),
            arc((80.0, -7.0), (85.0, -8.0)),
            line(7.0, 80.0, 20.0),
            arc((20.0, 7.0), (15.0, 8.0)),
        ];
        let found = waists(&edges, &[false, true, false, true]);
        let ys: Vec<f64> = found.iter().map(|key| key.at.y).collect();
        assert_eq!(ys, [-7.0, 7.0]);
        assert!(found.iter().all(|key| key.axes == [false, true]));
        assert!(waists(&edges, &[false, true, false, false]).is_empty());
    }
}
