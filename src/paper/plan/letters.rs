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
use crate::paper::tag::Tag;

/// From a hole to its letter, mm.
const OFF: f64 = 0.9;
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
    round: f64,
    scale: &Scale,
    others: &[Point],
) -> bool {
    let at = scale.point(spot.at);
    let bounds = spot.outline.bounds();
    let half = Vec2::new(bounds.width(), bounds.height()) * (scale.by / 2.0);
    let half = Vec2::new(half.x.max(round), half.y.max(round));
    let note = |words: Words| {
        let note =
            Note { kind: "letter", text: spot.label.clone(), feet: vec![at], scale: scale.by };
        Item::Noted(note, vec![Item::Words(words)])
    };
    for height in [LARGE, SMALL] {
        let words = Words::heavy(Point::ZERO, height, &spot.label);
        let size = Vec2::new(words.length() / 2.0, height / 2.0);
        let is_round = spot.outline.circle().is_some();
        for (x, y) in PLACES {
            // Diagonal places lie closer to a round hole than to a square one.
            let share = if is_round && x != 0.0 && y != 0.0 { 0.72 } else { 1.0 };
            let off =
                Vec2::new(x * (half.x * share + OFF + size.x), y * (half.y * share + OFF + size.y));
            let centre = at + off;
            let words = words.clone().centred(centre);
            let own = off.hypot();
            let nearest = others.iter().all(|other| (*other - centre).hypot() >= own - 1e-6);
            if nearest && clear.is_free_within(words.bounds(), 0.25) {
                clear.draw(note(words));
                return true;
            }
        }
        let words = words.centred(at + (half.x / 2.0, half.y / 2.0));
        if clear.is_free(words.bounds()) && spot.outline.contains(spot.at) {
            clear.draw(note(words));
            return true;
        }
    }
    let words = [LARGE, SMALL].map(|height| Words::heavy(Point::ZERO, height, &spot.label));
    clear.lead(at, half.x.min(half.y), &words, Leader::OverMiddles)
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
                    tag.at(at).into_iter().for_each(|item| clear.draw(item));
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
    let spots = inside.map(|place| scale.point(place)).filter(|spot| clear.is_of_no_hole(*spot));
    let targets: Vec<Target> = spots.take(FEW).map(Target::point).collect();
    flags::put(clear, &targets, &Tag::small(name), End::Dot, 0.0);
}

/// Puts the name of a face in it, near its middle; says whether there was room.
pub(super) fn face(clear: &mut Clear, name: &str, region: &Region, scale: &Scale) -> bool {
    let words = Words::plain(Point::ZERO, SMALL, name).in_ink(Ink::Grey);
    let within = |place: &Point| {
        let half = Vec2::new(words.length() / 2.0, words.height / 2.0) / scale.by;
        let corners = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0), (0.0, 0.0)];
        corners.iter().all(|(x, y)| region.contains(*place + (x * half.x, y * half.y)))
    };
    let mut inside = places(region).into_iter().filter(within);
    inside.any(|place| clear.put_centre(scale.point(place), &words))
}
