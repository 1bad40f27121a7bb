//! Letters of holes, signs of bends, names of faces: labels on or close to their features.

use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Vec2;
use crate::paper::clear::Clear;
use crate::paper::crossed::Leader;
use crate::paper::flags;
use crate::paper::flags::End;
use crate::paper::flags::Target;
use crate::paper::plan::scale::Scale;
use crate::paper::plan::shown::PlanBend;
use crate::paper::scene::Ink;
use crate::paper::scene::Item;
use crate::paper::scene::Note;
use crate::paper::scene::Words;
use crate::paper::sheet::LARGE;
use crate::paper::sheet::SMALL;
use crate::paper::spot::Spot;
use crate::paper::tag;
use crate::paper::tag::Tag;

/// From a hole to its letter, mm, and where the lines of its centre are in the way.
const OFF: f64 = 0.9;
const BEYOND: f64 = 2.4;
/// The eight places of a letter round its hole, in the order in which they are tried.
const PLACES: [(f64, f64); 8] = [
    (1.0, 1.0),
    (-1.0, 1.0),
    (1.0, -1.0),
    (-1.0, -1.0),
    (1.0, 0.0),
    (-1.0, 0.0),
    (0.0, 1.0),
    (0.0, -1.0),
];
/// From a bend line to its sign, mm.
const BESIDE: f64 = 1.3;
/// From where a leader ends on its bend line to any other, mm: nearer it seems to be of that. Our
/// choice.
const OWN: f64 = 2.5;
/// From a dot in a face to any hole, mm: nearer it seems to be of that. Our choice.
const OFF_HOLES: f64 = 1.5;

/// Puts the letter of a hole at one of eight places round it, the first that is free; else within
/// it, else off it with a leader. `others` are the centres of all holes: the letter is nearest to
/// its own. Returns whether there was room.
pub(super) fn hole(
    clear: &mut Clear,
    spot: &Spot,
    (round, height): (f64, f64),
    scale: &Scale,
    others: &[Point],
) -> bool {
    let at = scale.point(spot.at);
    let is_plain = spot.outline.circle().is_some() || spot.outline.slot().is_some();
    if !is_plain && within(clear, spot, height, scale) {
        return true;
    }
    if spot.outline.arc_slot().is_some() {
        return beside_edges(clear, spot, height, scale, others);
    }
    let bounds = spot.outline.bounds();
    let half = Vec2::new(bounds.width(), bounds.height()) * (scale.by / 2.0);
    let half = Vec2::new(half.x.max(round), half.y.max(round));
    let words = Words::heavy(Point::ZERO, height, &spot.label);
    let size = Vec2::new(words.length() / 2.0, height / 2.0);
    let is_round = spot.outline.circle().is_some();
    let places = PLACES.map(|place| (place, OFF));
    // Beyond the cross of its centre.
    let beyond = PLACES[4..].iter().map(|place| (*place, BEYOND));
    for ((x, y), out) in places.into_iter().chain(beyond) {
        // Diagonal places lie closer to a round hole than to a square one.
        let share = if is_round && x != 0.0 && y != 0.0 { 0.72 } else { 1.0 };
        let off =
            Vec2::new(x * (half.x * share + out + size.x), y * (half.y * share + out + size.y));
        let centre = at + off;
        let words = words.clone().centred(centre);
        let own = off.hypot();
        let nearest = others.iter().all(|other| (*other - centre).hypot() >= own - 1e-6);
        // Next to another letter it would be read with that.
        let ends = [-size.x, size.x].map(|x| centre + (x, 0.0));
        let is_apart = ends.iter().all(|end| clear.is_off_words(*end));
        if nearest && is_apart && clear.is_free_within(words.bounds(), 0.25) {
            clear.draw(note(spot, scale, words));
            return true;
        }
    }
    let words = words.centred(at + (half.x / 2.0, half.y / 2.0));
    if clear.is_free(words.bounds()) && spot.outline.contains(spot.at) {
        clear.draw(note(spot, scale, words));
        return true;
    }
    let words = [Words::heavy(Point::ZERO, height, &spot.label)];
    clear.lead(at, half.x.min(half.y), &words, Leader::OverMiddles)
}

/// Puts the letter of a curved slot beside an edge of it, its ends first: beside the centre of the whole it
/// would be off the slot, and may be off the part; else off it with a leader. Says whether there was room.
fn beside_edges(
    clear: &mut Clear,
    spot: &Spot,
    height: f64,
    scale: &Scale,
    others: &[Point],
) -> bool {
    let words = Words::heavy(Point::ZERO, height, &spot.label);
    let size = Vec2::new(words.length() / 2.0, height / 2.0);
    let mut edges: Vec<Edge> = spot.outline.edges().collect();
    edges.sort_by(|a, b| a.length().total_cmp(&b.length()));
    for (edge, share) in edges.iter().flat_map(|edge| [0.5, 0.3, 0.7].map(|t| (edge, t))) {
        let foot = edge.point_at(share);
        let along = (edge.point_at(share + 0.01) - edge.point_at(share - 0.01)).normalize();
        let square = Vec2::new(-along.y, along.x);
        let is_inside = spot.outline.contains(foot + square * 1e-3);
        let out = if is_inside { -square } else { square };
        let off = out.x.abs() * size.x + out.y.abs() * size.y + OFF;
        let centre = scale.point(foot) + out * off;
        let own = scale.point(spot.at);
        let nearest =
            others.iter().all(|other| *other == own || (*other - centre).hypot() >= off - 1e-6);
        // Next to another letter it would be read with that.
        let ends = [-size.x, size.x].map(|x| centre + (x, 0.0));
        let is_apart = ends.iter().all(|end| clear.is_off_words(*end));
        let words = words.clone().centred(centre);
        if nearest && is_apart && clear.is_free_within(words.bounds(), 0.25) {
            clear.draw(note(spot, scale, words));
            return true;
        }
    }
    let cap = scale.point(edges[0].point_at(0.5));
    clear.lead(cap, 0.0, &[words], Leader::OverMiddles)
}

/// A letter with its data for programs.
fn note(spot: &Spot, scale: &Scale, words: Words) -> Item {
    let feet = vec![scale.point(spot.at)];
    let note = Note { kind: "letter", text: spot.label.clone(), feet, scale: scale.by };
    Item::Noted(note, vec![Item::Words(words)])
}

/// Puts the letter of an opening of any outline into it; says whether there was room.
fn within(clear: &mut Clear, spot: &Spot, height: f64, scale: &Scale) -> bool {
    let region = Region::solid(spot.outline.clone());
    let words = Words::heavy(Point::ZERO, height, &spot.label);
    let found = places(&region).into_iter().find(|place| {
        lies_in(&region, *place, &words, scale)
            && clear.is_free(words.clone().centred(scale.point(*place)).bounds())
    });
    let found = found.map(|centre| words.centred(scale.point(centre)));
    found.map(|words| clear.draw(note(spot, scale, words))).is_some()
}

/// Whether words about a place of the part lie in a region of it.
fn lies_in(region: &Region, place: Point, words: &Words, scale: &Scale) -> bool {
    let half = Vec2::new(words.length() / 2.0, words.height / 2.0) / scale.by;
    let corners = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0), (0.0, 0.0)];
    corners.iter().all(|(x, y)| region.contains(place + (x * half.x, y * half.y)))
}

/// Puts the sign of a bend beside its line, of all that are in the flat, from its midpoint
/// outwards, on either side, where no other is as near; says whether there was room.
pub(super) fn bend(clear: &mut Clear, bend: &PlanBend, (line, all): (&Edge, &[Edge])) -> bool {
    let tag = Tag::bend(&bend.number, bend.up, &bend.words);
    let bounds = tag.bounds();
    let (wide, high) = (bounds.width(), LARGE);
    let along = (line.to - line.from).normalize();
    let out = Vec2::new(-along.y, along.x);
    // How far the centre of the character is off the line for its box to clear it.
    let off = (out.x * wide / 2.0).abs() + (out.y * high / 2.0).abs() + BESIDE;
    let length = line.length();
    let steps = (length / 2.0 / 2.5) as i32;
    for step in 0..=steps {
        for way in [-1.0, 1.0] {
            let share = 0.5 + way * 2.5 * f64::from(step) / length;
            for side in [1.0, -1.0] {
                let middle = line.point_at(share) + out * (off * side);
                let at = middle - (wide / 2.0, high / 2.0);
                if all.iter().any(|other| other != line && off_line(other, middle) < off) {
                    continue;
                }
                if clear.is_free_within(bounds.shifted(at.to_vec2()), 0.4) {
                    let items = tag.at(at);
                    tag::lines(&items).into_iter().for_each(|line| clear.close(line));
                    items.into_iter().for_each(|item| clear.draw(item));
                    return true;
                }
            }
        }
    }
    false
}

/// How far a point is off a line.
fn off_line(line: &Edge, p: Point) -> f64 {
    (line.nearest(p) - p).hypot()
}

/// Where the leader of a sign may end on its bend line, of all that are in the flat, its middle first:
/// never at an end, where lines of several bends meet, and off any that crosses it; where others
/// leave no such place, anywhere between the ends.
pub(super) fn tips(line: &Edge, all: &[Edge]) -> Vec<Point> {
    const SHARES: [f64; 9] = [0.5, 0.3, 0.7, 0.4, 0.6, 0.2, 0.8, 0.1, 0.9];
    let tips: Vec<Point> = SHARES.iter().map(|share| line.point_at(*share)).collect();
    let others = || all.iter().filter(|other| *other != line);
    let is_own = |tip: &Point| others().all(|other| off_line(other, *tip) > OWN);
    let own: Vec<Point> = tips.iter().copied().filter(is_own).collect();
    if own.is_empty() { tips } else { own }
}

/// Places in the rectangle round a face, near its middle first.
fn places(region: &Region) -> Vec<Point> {
    const GRID: u32 = 14;
    let bounds = region.bounds();
    let share = |k: u32| f64::from(k) / f64::from(GRID);
    let at = |(i, j)| bounds.min + (bounds.width() * share(i), bounds.height() * share(j));
    let mut places: Vec<Point> =
        (1..GRID).flat_map(|i| (1..GRID).map(move |j| (i, j))).map(at).collect();
    let centre = bounds.centre();
    places.sort_by(|a, b| (*a - centre).hypot().total_cmp(&(*b - centre).hypot()));
    places
}

/// Puts the name of a face beside the part, with a leader to a dot in the face, where there is room.
pub(super) fn face_off(clear: &mut Clear, name: &str, region: &Region, scale: &Scale) {
    /// Places that are compared. Our choice.
    const FEW: usize = 12;
    let inside = places(region).into_iter().filter(|place| region.contains(*place));
    let spots: Vec<Point> = inside.map(|place| scale.point(place)).collect();
    let off = |within: f64| -> Vec<Target> {
        let is_off =
            |spot: &&Point| clear.is_off_holes(**spot, within) && clear.is_off_words(**spot);
        spots.iter().filter(is_off).take(FEW).map(|spot| Target::point(*spot)).collect()
    };
    let targets = Some(off(OFF_HOLES)).filter(|off| !off.is_empty()).unwrap_or_else(|| off(0.0));
    flags::put(clear, &targets, &Tag::small(name), End::Dot, 0.0);
}

/// Puts the name of a face in it, near its centre; says whether there was room.
pub(super) fn face(clear: &mut Clear, name: &str, region: &Region, scale: &Scale) -> bool {
    let words = Words::plain(Point::ZERO, SMALL, name).in_ink(Ink::Grey);
    let inside = places(region).into_iter().filter(|at| lies_in(region, *at, &words, scale));
    let mut inside = inside.collect::<Vec<_>>().into_iter();
    inside.any(|place| clear.put_centre(scale.point(place), &words))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Bounds;
    use crate::paper::tag::circle;

    fn line(from: (f64, f64), to: (f64, f64)) -> Edge {
        Edge::line(Point::new(from.0, from.1), Point::new(to.0, to.1))
    }

    #[test]
    fn the_leader_of_a_sign_ends_nearest_to_its_own_bend_line() {
        let back = line((0.0, 40.0), (30.0, 40.0));
        let left = line((0.0, 0.0), (0.0, 40.0));
        let across = line((-5.0, 20.0), (5.0, 20.0));
        let all = [back, left, across];
        for own in &all {
            let tips = tips(own, &all);
            assert!(tips.len() >= 4, "{tips:?}");
            for tip in tips {
                assert!(off_line(own, tip) < 1e-9);
                let others = all.iter().filter(|other| *other != own);
                let nearest = others.map(|other| off_line(other, tip)).fold(f64::MAX, f64::min);
                assert!(nearest > OWN, "{tip:?} is {nearest} from another");
            }
        }
        let close = [line((0.0, 0.0), (30.0, 0.0)), line((0.0, 1.0), (30.0, 1.0))];
        assert_eq!(tips(&close[0], &close).len(), 9, "a sign has a leader all the same");
    }

    #[test]
    fn the_dot_of_the_name_of_a_face_keeps_off_its_holes() {
        let mut clear = Clear::new(Bounds { min: Point::ZERO, max: Point::new(100.0, 80.0) });
        clear.add_hole(&circle(Point::new(50.0, 40.0), 3.0));
        let off = |x: f64| clear.is_off_holes(Point::new(x, 40.0), OFF_HOLES);
        assert_eq!([off(50.0), off(53.1), off(54.0), off(55.0)], [false, false, false, true]);
    }
}
