//! A rod end between its two ears: how far it tilts, how far it rotates about its pin.

use crate::fit::rotation::Strip;
use crate::fit::rotation::rotation;
use crate::fit::swing::Obstacle;
use crate::fit::swing::Rod;
use crate::fit::swing::Swing;
use crate::fit::swing::tilt;
use crate::fit::touched::Touched;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Side;
use crate::geom::Vec2;
use crate::geom::disc;
use crate::geom::flatten;
use crate::geom::rectangle;
use crate::num::Angle;
use crate::part::Clevis;
use crate::part::Part;
use crate::table::Tables;

/// Maximum deviation of chords from the true outline of an ear, mm, outwards.
const CHORD: f64 = 0.002;

/// Degrees of rotation between two places at which the tilt is tested. Our choice.
const ROTATION_STEP: f64 = 15.0;

/// Length of unlimited bodies, mm: 10 km.
const ENDLESS: f64 = 1e7;

/// How far the rod end tilts in a clevis whose coated gap is `gap` mm: towards the head of
/// the bolt and towards its nut; the minimum over the required rotation about its pin.
pub(crate) fn swing(part: &Part, clevis: &Clevis, gap: f64, tables: &Tables) -> [Swing; 2] {
    let steps = (clevis.rotation.degrees() / ROTATION_STEP).ceil();
    let rotated = |i: i32| match steps {
        0.0 => 0.0,
        steps => clevis.rotation.degrees() * f64::from(i) / steps,
    };
    let max = steps as i32;
    let all = (-max..=max).map(|i| tilted(part, clevis, gap, rotated(i), tables));
    let min = |a: Swing, b: Swing| if b.angle.degrees() < a.angle.degrees() { b } else { a };
    // In the middle first, so that of equal ones that is given.
    let centre = tilted(part, clevis, gap, 0.0, tables);
    all.fold(centre, |[a, b], [c, d]| [min(a, c), min(b, d)])
}

/// How far the rod end tilts either way, rotated by an angle from its neutral position.
fn tilted(part: &Part, clevis: &Clevis, gap: f64, rotated: f64, tables: &Tables) -> [Swing; 2] {
    let pin = part.hole(clevis.eye).at.to_vec2();
    let place = seen(part, clevis, rotated);
    let flat = |outline: &Outline| flatten(&outline.moved(&place), CHORD, Side::Outside);
    let near = beside(part, clevis, gap, &place);
    let rod = Rod::of(&clevis.rod_end);
    let outside = gap / 2.0 + part.thickness;
    let bolt = clevis.rod_end.text("bolt").unwrap_or_default();
    let corner = |table: &str, field: &str, by: f64| {
        tables.row(table, bolt).and_then(|r| r.quantity(field)).map(|q| q.value * by / 2.0)
    };
    // A head is as wide across its corners as the nut where the table does not say.
    let nut = corner("nut", "corners", 1.0);
    let sharp = 1.0 / Angle::from_degrees(30.0).cos();
    let head = corner("bolt", "head_flats", sharp).or(nut);
    [(Touched::BoltHead, head), (Touched::Nut, nut)].map(|(what, radius)| {
        let round = radius.and_then(|r| disc(pin.to_point(), r).ok());
        let beyond = round.map(|r| Obstacle { what, shape: flat(&r), at: outside });
        tilt(&rod, &near, beyond.as_slice())
    })
}

/// How far the rod end rotates about its pin, in the plane of the ears, anticlockwise and clockwise
/// from its neutral position, in a clevis whose coated gap is `gap` mm. `tail` is the tube and nut
/// behind it. The base of the ears is unlimited; if it is a tube, its axis is square to the ears.
pub(crate) fn rotations(part: &Part, clevis: &Clevis, gap: f64, tail: &[Strip]) -> [Swing; 2] {
    let face = &part.faces[clevis.eye.face];
    let (pin, centre) = (part.hole(clevis.eye).at, face.blank.bounds().centre());
    let place = seen(part, clevis, 0.0);
    let flat = |outline: &Outline| flatten(&outline.moved(&place), CHORD, Side::Outside);
    let ground = match clevis.tube > 0.0 {
        true => {
            let centre = Point::new(centre.x, pin.y - clevis.floor - clevis.tube / 2.0);
            disc(centre, clevis.tube / 2.0)
        }
        false => {
            let centre = Point::new(centre.x, pin.y - clevis.floor - ENDLESS / 2.0);
            rectangle(centre, ENDLESS, ENDLESS, 0.0)
        }
    };
    let on = if clevis.tube > 0.0 { Touched::Tube } else { Touched::Plate };
    let through = |what, outline: &Outline| Obstacle { what, shape: flat(outline), at: 0.0 };
    let mut obstacles = beside(part, clevis, gap, &place);
    obstacles.extend(clevis.bridge.iter().map(|bridge| through(Touched::Bridge, bridge)));
    obstacles.extend(ground.ok().map(|ground| through(on, &ground)));
    let rod = Rod::of(&clevis.rod_end);
    [false, true].map(|clockwise| rotation(&rod, tail, &obstacles, clockwise))
}

/// From the drawing of the ear to where the pin is the origin and the rod end, turned by so
/// many degrees from where it points, lies along x.
fn seen(part: &Part, clevis: &Clevis, rotated: f64) -> Place {
    let pin = part.hole(clevis.eye).at.to_vec2();
    let rotation = Angle::from_degrees(-90.0 - clevis.direction.degrees() - rotated);
    Place { shift: -pin, ..Place::default() }.then(&Place { rotation, ..Place::default() })
}

/// The bodies beside the rod end: the ears, and the weld between them along their foot.
fn beside(part: &Part, clevis: &Clevis, gap: f64, place: &Place) -> Vec<Obstacle> {
    let face = &part.faces[clevis.eye.face];
    let flat = |outline: &Outline| flatten(&outline.moved(place), CHORD, Side::Outside);
    let mut near =
        vec![Obstacle { what: Touched::Ear, shape: flat(face.blank.outer()), at: gap / 2.0 }];
    if clevis.weld > 0.0 {
        let (bounds, pin) = (face.blank.bounds(), part.hole(clevis.eye).at);
        let centre = pin + Vec2::new(bounds.centre().x - pin.x, clevis.weld / 2.0 - clevis.floor);
        let strip = rectangle(centre, bounds.width() + 2.0 * clevis.weld, clevis.weld, 0.0);
        let at = (gap / 2.0 - clevis.weld).max(0.0);
        near.extend(strip.ok().map(|s| Obstacle { what: Touched::Weld, shape: flat(&s), at }));
    }
    near
}
