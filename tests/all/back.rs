//! A formed part back to its flat, from the solid alone.

use platewright::flat::Flat;
use platewright::fold;
use platewright::fold::Folded;
use platewright::fold::Frame;
use platewright::fold::Space;
use platewright::fold::cross;
use platewright::fold::dot;
use platewright::fold::length;
use platewright::fold::minus;
use platewright::fold::plus;
use platewright::num::Angle;
use platewright::part::Part;

/// Turns every face back about the axis of its bend and pushes it out by the neutral arc.
/// Comes back with how far the faces then lie from where the flat has them, mm.
pub(crate) fn unfolded(part: &Part, solid: &Folded, flat: &Flat) -> f64 {
    let mut places = vec![Frame::default(); part.faces.len()];
    for (bend, made) in part.bends.iter().zip(&solid.bends) {
        let (from, to) = (&solid.faces[bend.from].frame, &solid.faces[bend.to].frame);
        let (axis, along) = made.axis().unwrap();
        let sign = if bend.up { -1.0 } else { 1.0 };
        let back = Angle::from_degrees(sign * bend.bend.angle().degrees());
        let turned = |v: Space| {
            let (sin, cos) = (back.sin(), back.cos());
            let square = cross(along, v);
            let rest = dot(along, v) * (1.0 - cos);
            [0, 1, 2].map(|i| v[i] * cos + square[i] * sin + along[i] * rest)
        };
        // The FAA formula rounds π/180, so its neutral fibre follows from its allowance.
        let neutral = bend.bend.allowance() / bend.bend.angle().radians();
        let strip = neutral * made.angle.radians();
        let origin =
            plus(plus(turned(minus(to.origin, axis)), axis), fold::times(made.start.y, strip));
        // As the standing face sees it, moved to where that face lies in the flat.
        let seen = |v: Space| from.seen(plus(v, from.origin));
        let seen = Frame {
            origin: from.seen(origin),
            x: seen(turned(to.x)),
            y: seen(turned(to.y)),
            z: seen(turned(to.z)),
        };
        places[bend.to] = places[bend.from].within(&seen);
    }
    let off = places.iter().zip(&flat.places).flat_map(|(place, wanted)| {
        let wanted = Frame::of(wanted);
        [
            (place.origin, wanted.origin),
            (place.x, wanted.x),
            (place.y, wanted.y),
            (place.z, wanted.z),
        ]
        .map(|(is, should)| length(minus(is, should)))
    });
    off.fold(0.0, f64::max)
}
