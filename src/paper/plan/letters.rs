//! Letters of holes, signs of bends, names of faces: what stands on or close to what it names.

use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Vec2;
use crate::paper::clear::Clear;
use crate::paper::clear::Leader;
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

/// Puts the letter of a hole at one of eight places round it, the first that is free; else within
/// it, else off it with a leader. `others` are the centres of all holes: the letter stands nearest
/// to its own. Says whether there was room.
pub(super) fn hole(
    clear: &mut Clear,
    spot: &Spot,
    (round, heights): (f64, &[f64]),
    scale: &Scale,
    others: &[Point],
) -> bool {
    let at = scale.point(spot.at);
    let is_plain = spot.outline.circle().is_some() || spot.outline.slot().is_some();
    if !is_plain && within(clear, spot, heights, scale) {
        return true;
    }
    let bounds = spot.outline.bounds();
    let half = Vec2::new(bounds.width(), bounds.height()) * (scale.by / 2.0);
    let half = Vec2::new(half.x.max(round), half.y.max(round));
    for height in heights.iter().copied() {
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
            if nearest && clear.is_free_within(words.bounds(), 0.25) {
                clear.draw(note(spot, scale, words));
                return true;
            }
        }
        let words = words.centred(at + (half.x / 2.0, half.y / 2.0));
        if clear.is_free(words.bounds()) && spot.outline.contains(spot.at) {
            clear.draw(note(spot, scale, words));
            return true;
        }
    }
    let words = heights.iter().map(|height| Words::heavy(Point::ZERO, *height, &spot.label));
    clear.lead(at, half.x.min(half.y), &words.collect::<Vec<_>>(), Leader::OverMiddles)
}

/// A letter with what programs may read of it.
fn note(spot: &Spot, scale: &Scale, words: Words) -> Item {
    let feet = vec![scale.point(spot.at)];
    let note = Note { kind: "letter", text: spot.label.clone(), feet, scale: scale.by };
    Item::Noted(note, vec![Item::Words(words)])
}

/// Puts the letter of an opening of any outline into it; says whether there was room.
fn within(clear: &mut Clear, spot: &Spot, heights: &[f64], scale: &Scale) -> bool {
    let region = Region::solid(spot.outline.clone());
    let found = heights.iter().find_map(|height| {
        let words = Words::heavy(Point::ZERO, *height, &spot.label);
        let centre = places(&region).into_iter().find(|place| {
            lies_in(&region, *place, &words, scale)
                && clear.is_free(words.clone().centred(scale.point(*place)).bounds())
        })?;
        Some(words.centred(scale.point(centre)))
    });
    found.map(|words| clear.draw(note(spot, scale, words))).is_some()
}

/// Whether words about a place of the part lie in a region of it.
fn lies_in(region: &Region, place: Point, words: &Words, scale: &Scale) -> bool {
    let half = Vec2::new(words.length() / 2.0, words.height / 2.0) / scale.by;
    let corners = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0), (0.0, 0.0)];
    corners.iter().all(|(x, y)| region.contains(place + (x * half.x, y * half.y)))
}

/// Puts the sign of a bend beside its line, from its middle outwards, on either side; says
/// whether there was room.
pub(super) fn bend(clear: &mut Clear, bend: &PlanBend, line: &Edge) -> bool {
    let tag = Tag::bend(&bend.number, bend.up, &bend.words);
    let bounds = tag.bounds();
    let (wide, high) = (bounds.width(), LARGE);
    let along = (line.to - line.from).normalize();
    let out = Vec2::new(-along.y, along.x);
    // How far the middle of the sign stands off the line for its box to clear it.
    let off = (out.x * wide / 2.0).abs() + (out.y * high / 2.0).abs() + BESIDE;
    let length = line.length();
    let steps = (length / 2.0 / 2.5) as i32;
    for step in 0..=steps {
        for way in [-1.0, 1.0] {
            let share = 0.5 + way * 2.5 * f64::from(step) / length;
            for side in [1.0, -1.0] {
                let middle = line.point_at(share) + out * (off * side);
                let at = middle - (wide / 2.0, high / 2.0);
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
    let spots = inside.map(|place| scale.point(place));
    let spots = spots.filter(|spot| clear.is_of_no_hole(*spot) && clear.is_off_words(*spot));
    let targets: Vec<Target> = spots.take(FEW).map(Target::point).collect();
    flags::put(clear, &targets, &Tag::small(name), End::Dot, 0.0);
}

/// Puts the name of a face in it, near its middle; says whether there was room.
pub(super) fn face(clear: &mut Clear, name: &str, region: &Region, scale: &Scale) -> bool {
    let words = Words::plain(Point::ZERO, SMALL, name).in_ink(Ink::Grey);
    let inside = places(region).into_iter().filter(|at| lies_in(region, *at, &words, scale));
    let mut inside = inside.collect::<Vec<_>>().into_iter();
    inside.any(|place| clear.put_centre(scale.point(place), &words))
}
