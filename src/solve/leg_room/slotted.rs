//! A plate whose tongues are in slots: the slotted plate continues beside it.
//!
//! No recipe gives the slots of its tongues: they are those in which all tongues of an edge fit,
//! wherever a face of the set has such.

use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::geom::Vertex;
use crate::num::Angle;
use crate::part::Hole;
use crate::part::HoleSize;
use crate::part::LegRoom;
use crate::part::Weld;
use crate::solve::leg_room::ground::Ground;
use crate::solve::leg_room::seam::Found;
use crate::solve::leg_room::seam::Spot;
use crate::solve::leg_room::seam::narrowest;
use crate::solve::leg_room::seam::spots;
use crate::solve::leg_room::seam::welds;
use crate::solve::solved::Solved;

/// A tongue fits a slot up to this much larger, mm; places are the same within it. Our choice.
const PLAY: f64 = 0.8;

/// Off the line of an edge within this a point is on it, mm.
const ON: f64 = 0.01;

/// An edge with tongues: where it lies, and how far along it the centre of each is, mm.
struct Foot {
    line: Edge,
    /// Middle and width of each tongue.
    tongues: Vec<[f64; 2]>,
}

/// A foot in its slots: on which face, and its drawing there, x along the foot.
struct Joint {
    on: [usize; 2],
    slots: Vec<usize>,
    place: Place,
    /// The area the plate covers on that face, in its drawing.
    covers: Outline,
    name: String,
}

/// The legs available beside all plates in slots.
pub(super) fn rooms(all: &[Solved]) -> Vec<Found> {
    let feet: Vec<_> = welds(all)
        .filter_map(|(of, solved, weld)| {
            let foot = Foot::of(solved, of[1], weld)?;
            let joints = joints(all, solved, of[1], &foot);
            Some((of, solved, weld, foot, joints))
        })
        .collect();
    let mut found = Vec::new();
    for (of, solved, weld, foot, joints) in &feet {
        // At one place it may be either way round: the better counts. Of several places, the
        // narrowest.
        let mut places: Vec<(&[usize], [usize; 2], Option<LegRoom>)> = Vec::new();
        for joint in joints {
            let others = feet.iter().flat_map(|(.., joints)| joints).filter(|other| {
                other.on == joint.on && !other.slots.iter().any(|s| joint.slots.contains(s))
            });
            let mut ground = Ground::without(&all[joint.on[0]], joint.on[1], &joint.slots);
            let in_flat = &all[joint.on[0]].flat.places[joint.on[1]];
            for other in others {
                ground.add(format!("face `{}`", other.name), other.covers.moved(in_flat));
            }
            let to_flat = joint.place.then(in_flat);
            let room = beside(&ground, &to_flat, foot, weld, (solved, of[1]));
            let known = places.iter_mut().find(|(s, on, _)| s == &joint.slots && *on == joint.on);
            match known {
                Some((.., known)) if is_more(room.as_ref(), known.as_ref()) => *known = room,
                Some(_) => {}
                None => places.push((&joint.slots, joint.on, room)),
            }
        }
        let room = narrowest(places.into_iter().filter_map(|(.., room)| room));
        found.extend(room.map(|room| Found { of: *of, room }));
    }
    found
}

/// Whether one room is more than another; where nothing ends it, it is more than any.
fn is_more(a: Option<&LegRoom>, b: Option<&LegRoom>) -> bool {
    let mm = |room: Option<&LegRoom>| room.map_or(f64::INFINITY, |room| room.mm);
    mm(a) > mm(b)
}

/// Beside a plate on a base; of a single fillet, on the better side.
fn beside(
    ground: &Ground,
    to_flat: &Place,
    foot: &Foot,
    weld: &Weld,
    (solved, face): (&Solved, usize),
) -> Option<LegRoom> {
    let x = foot.line.direction_at_start();
    let along = |spot: &Spot| (spot.at - foot.line.from).dot(x);
    let (spots, half) = (spots(solved, face, weld), solved.part.thickness / 2.0);
    let on = |side: f64| {
        let room = |spot: &Spot| {
            let at = Point::new(along(spot), side * half);
            ground.room(to_flat.apply(at), to_flat.direction(Vec2::new(0.0, side)))
        };
        narrowest(spots.iter().filter_map(room))
    };
    let (left, right) = (on(1.0), on(-1.0));
    if weld.sides < 2 && !weld.all_round {
        return if is_more(left.as_ref(), right.as_ref()) { left } else { right };
    }
    let ends = |way: f64| {
        let reach = if way > 0.0 { foot.line.length() } else { 0.0 };
        ground.room(to_flat.apply(Point::new(reach, 0.0)), to_flat.direction(Vec2::new(way, 0.0)))
    };
    let round = weld.all_round.then(|| [ends(1.0), ends(-1.0)]);
    narrowest([left, right].into_iter().chain(round.into_iter().flatten()).flatten())
}

impl Foot {
    /// The edge of a weld, where it has tongues.
    fn of(solved: &Solved, face: usize, weld: &Weld) -> Option<Self> {
        let first = weld.stretches.first().filter(|edge| edge.is_line())?;
        let x = first.direction_at_start();
        let off = |p: Point| (p - first.from).cross(x).abs();
        let at = |p: Point| (p - first.from).dot(x);
        let ends = weld.stretches.iter().flat_map(|edge| [edge.from, edge.to]);
        let ends: Vec<Point> = ends.collect();
        if ends.iter().any(|p| off(*p) > ON) {
            return None;
        }
        let low = ends.iter().map(|p| at(*p)).fold(f64::INFINITY, f64::min);
        let high = ends.iter().map(|p| at(*p)).fold(f64::NEG_INFINITY, f64::max);
        let tongue = |outline: &Outline| {
            let root = outline.vertices().iter().map(|v| v.at).filter(|p| off(*p) < ON);
            let root: Vec<f64> = root.map(at).collect();
            let [a, b] = root[..] else { return None };
            let (middle, width) = (f64::midpoint(a, b), (b - a).abs());
            (low..=high).contains(&middle).then_some([middle - low, width])
        };
        let tongues: Vec<[f64; 2]> =
            solved.part.faces[face].tongues.iter().filter_map(tongue).collect();
        let line = Edge::line(first.from + x * low, first.from + x * high);
        (!tongues.is_empty()).then_some(Self { line, tongues })
    }
}

/// Every place where all tongues of a foot fit into slots.
fn joints(all: &[Solved], own: &Solved, face: usize, foot: &Foot) -> Vec<Joint> {
    let mut joints = Vec::new();
    for (i, solved) in all.iter().enumerate() {
        for (f, on) in solved.part.faces.iter().enumerate() {
            let slots = on.holes.iter().enumerate();
            let slots = slots.filter_map(|(h, hole)| Some((h, slot(hole, own.part.thickness)?)));
            let slots: Vec<(usize, Slot)> = slots.collect();
            for (_, first) in &slots {
                for way in [first.along, -first.along] {
                    let Some(used) = fitted(foot, first.at, way, &slots) else { continue };
                    let from = first.at - way * foot.tongues[0][0];
                    let place = Place::rotated(Angle::of(way.x, way.y), from);
                    let Some(covers) = covers(foot, own.part.thickness) else { continue };
                    joints.push(Joint {
                        on: [i, f],
                        slots: used,
                        covers: covers.moved(&place),
                        place,
                        name: own.part.faces[face].name.clone(),
                    });
                }
            }
        }
    }
    joints
}

/// A slot for a tongue.
struct Slot {
    at: Point,
    along: Vec2,
    length: f64,
}

/// A hole as a slot for the tongue of a sheet.
fn slot(hole: &Hole, thickness: f64) -> Option<Slot> {
    let HoleSize::TongueSlot { width, length, .. } = hole.size else { return None };
    if !(-ON..PLAY).contains(&(width - thickness)) {
        return None;
    }
    // Its straight sides are shorter than it by its reliefs: those along it are as far apart as its
    // width.
    let sides = hole.outline.edges().filter(Edge::is_line);
    let apart = |edge: &Edge| {
        let way = edge.direction_at_start();
        (2.0 * (hole.at - edge.from).cross(way).abs() - width).abs()
    };
    let side = sides.min_by(|a, b| apart(a).total_cmp(&apart(b)))?;
    Some(Slot { at: hole.at, along: side.direction_at_start(), length })
}

/// The slots, in order, of the tongues of a foot that begins in one of them; `None` if one tongue
/// has no slot.
fn fitted(foot: &Foot, first: Point, way: Vec2, slots: &[(usize, Slot)]) -> Option<Vec<usize>> {
    let start = foot.tongues[0][0];
    let used = foot.tongues.iter().map(|[middle, width]| {
        let there = first + way * (middle - start);
        let fits = |slot: &Slot| {
            (slot.at - there).hypot() < PLAY
                && slot.along.cross(way).abs() < ON
                && (-ON..PLAY).contains(&(slot.length - width))
        };
        slots.iter().find(|(_, slot)| fits(slot)).map(|(hole, _)| *hole)
    });
    let mut used = used.collect::<Option<Vec<usize>>>()?;
    used.sort_unstable();
    Some(used)
}

/// The area a plate covers on a foot, x along the foot from its start.
fn covers(foot: &Foot, thickness: f64) -> Option<Outline> {
    let (long, half) = (foot.line.length(), thickness / 2.0);
    let corners = [(0.0, -half), (long, -half), (long, half), (0.0, half)];
    Outline::new(corners.map(|(x, y)| Vertex::sharp(x, y))).ok()
}
