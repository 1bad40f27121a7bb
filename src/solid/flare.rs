//! Flares in the solid: true cones for both sides of the lip and for its edge. The foot is sharp
//! where its radius is not known, else round on both sides.

use crate::geom::Edge;
use crate::geom::Frame;
use crate::geom::Space;
use crate::geom::Vec2;
use crate::geom::cross;
use crate::geom::length;
use crate::geom::minus;
use crate::geom::unit;
use crate::num::Angle;
use crate::part::Flare;
use crate::solid::Builder;
use crate::solid::Curve;
use crate::solid::Surface;
use crate::solid::patch::Lay;
use crate::solid::recess::Ring;
use crate::solid::sunk::Sunk;

impl Builder<'_> {
    /// Adds the lip of a flared hole; gives its circles in the upper and in the lower side.
    pub(super) fn flared(
        &mut self,
        lay: &Lay,
        edges: &[Edge],
        sunk: &Sunk,
        flare: &Flare,
    ) -> [Vec<(usize, bool)>; 2] {
        let up = flare.is_up();
        let thickness = self.thickness;
        let level = |above: f64| if up { above } else { -thickness - above };
        let section = flare.section().map(|[radius, above]| [radius, level(above)]);
        let mut ring =
            |[radius, height]: [f64; 2]| self.ring(lay, edges, sunk.centre, radius, height);
        let (outer, inner) = (ring(section[2]), ring(section[3]));
        let (foot, below) = (ring(section[0]), ring(section[5]));
        let is_round = flare.radius > 0.0;
        let ends = is_round.then(|| [ring(section[1]), ring(section[4])]);
        let [near, far] = ends.as_ref().map_or([&foot, &below], |[near, far]| [near, far]);
        let rise = flare.angle;
        let slope = Angle::from_degrees(90.0 - rise.degrees());
        // Each wall from one circle to the next: where its cone is known, whether that is wider
        // towards the side on which the lip is, its half angle, and whether the metal is within it.
        let walls = [
            ([near, &outer], 1, false, slope, true),
            ([&outer, &inner], 3, true, rise, false),
            ([&inner, far], 4, false, slope, false),
        ];
        for (rings, at, widens, half, within) in walls {
            let [radius, height] = section[at];
            let cone = lay.cone(sunk.centre, radius, height, widens == up, half);
            self.strip(order(rings, up), cone, within);
        }
        if is_round {
            let middle = Hollow { major: flare.outside / 2.0, height: level(flare.radius) };
            let [upper, lower] = [flare.radius, flare.radius + flare.thickness];
            self.round(lay, sunk, order([&foot, near], up), &middle, upper, false);
            self.round(lay, sunk, order([far, &below], up), &middle, lower, true);
        }
        let (upper, lower) = if up { (&foot, &below) } else { (&below, &foot) };
        [upper.passed(true), lower.passed(false)]
    }

    /// The wall between two circles, round in section about the centre of the foot.
    fn round(
        &mut self,
        lay: &Lay,
        sunk: &Sunk,
        [low, high]: [&Ring; 2],
        middle: &Hollow,
        minor: f64,
        outward: bool,
    ) {
        let frame = lay.upright(sunk.centre, middle.height);
        let arcs = low.corners.iter().zip(&high.corners).map(|(a, b)| {
            let [from, to] = [self.solid.points[*a], self.solid.points[*b]];
            (*a, *b, arc(&frame, middle.major, from, to))
        });
        let arcs: Vec<_> = arcs.collect();
        let through = arcs.into_iter().map(|(a, b, curve)| self.edge(a, b, curve)).collect();
        let surface = Surface::Torus { frame, radii: [middle.major, minor] };
        self.between([low, high], through, surface, outward);
    }
}

/// Two circles that follow each other round the lip from its foot on, the one that is nearer to
/// the bottom side along the section first.
fn order([first, second]: [&Ring; 2], up: bool) -> [&Ring; 2] {
    if up { [second, first] } else { [first, second] }
}

/// The circle about which the foot of a lip is round: its radius and its height, mm.
struct Hollow {
    major: f64,
    height: f64,
}

/// The arc between two corners that lie above each other's direction from the axis, about the
/// point of that circle in the same direction.
fn arc(frame: &Frame, major: f64, from: Space, to: Space) -> Curve {
    let [x, y, _] = frame.seen(from);
    let out = Vec2::new(x, y).normalize();
    let origin = frame.point((out * major).to_point(), 0.0);
    let [a, b] = [minus(from, origin), minus(to, origin)];
    let radius = length(a);
    let (x, z) = (unit(a), unit(cross(a, b)));
    Curve::Circle { frame: Frame { origin, x, y: cross(z, x), z }, radius }
}
