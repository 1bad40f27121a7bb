//! Room in a plate: how much metal there is round a point of it.

use crate::geom::bounds::Bounds;
use crate::geom::edge::Edge;
use crate::geom::region::Region;
use kurbo::Point;

/// Degrees of an arc in one straight piece, which is off the arc by at most 0.55 % of its radius.
const STEP: f64 = 12.0;

/// The cuts of a plate in straight pieces, so that many points of it are measured quickly.
pub(crate) struct Room {
    bounds: Bounds,
    cuts: Vec<[Point; 2]>,
    /// Lines to keep clear of besides.
    lines: Vec<[Point; 2]>,
}

impl Room {
    /// The room in a plate, beside its cuts and some lines in it.
    pub(crate) fn new(region: &Region, lines: &[Edge]) -> Self {
        Self {
            bounds: region.bounds(),
            cuts: region.outlines().flat_map(|outline| outline.edges()).flat_map(pieces).collect(),
            lines: lines.iter().copied().flat_map(pieces).collect(),
        }
    }

    /// From a point in the metal to the nearest cut or line, mm; negative outside.
    pub(crate) fn at(&self, p: Point) -> f64 {
        let (mut within, mut nearest) = (false, f64::INFINITY);
        for [a, b] in &self.cuts {
            if (a.y > p.y) != (b.y > p.y) {
                within ^= a.x + (p.y - a.y) * (b.x - a.x) / (b.y - a.y) > p.x;
            }
        }
        if !within {
            return -1.0;
        }
        for [a, b] in self.pieces() {
            let (along, from) = (*b - *a, p - *a);
            let share = (from.dot(along) / along.hypot2().max(1e-12)).clamp(0.0, 1.0);
            nearest = nearest.min((from - along * share).hypot2());
        }
        nearest.sqrt()
    }

    /// The points in the metal of a grid with a number of steps in each direction, and the room
    /// round each, mm.
    pub(crate) fn places(&self, steps: u32) -> impl Iterator<Item = (Point, f64)> {
        let (bounds, share) = (self.bounds, move |k: u32| f64::from(k) / f64::from(steps));
        let grid = (1..steps).flat_map(move |i| (1..steps).map(move |j| (i, j)));
        grid.map(move |(i, j)| bounds.min + (bounds.width() * share(i), bounds.height() * share(j)))
            .map(|p| (p, self.at(p)))
            .filter(|(_, room)| *room > 0.0)
    }

    /// All cuts and lines, in straight pieces.
    pub(crate) fn pieces(&self) -> impl Iterator<Item = &[Point; 2]> {
        self.cuts.iter().chain(&self.lines)
    }
}

fn pieces(edge: Edge) -> impl Iterator<Item = [Point; 2]> {
    let sweep = edge.arc().map_or(0.0, |arc| arc.sweep.degrees().abs());
    let count = (sweep / STEP).ceil().max(1.0) as usize;
    let at = move |i: usize| edge.point_at(i as f64 / count as f64);
    (0..count).map(move |i| [at(i), at(i + 1)])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::disc;
    use crate::geom::rectangle;

    #[test]
    fn room_is_what_is_left_to_the_nearest_cut_or_line() {
        let plate = Region::solid(rectangle(Point::ZERO, 100.0, 60.0, 0.0).unwrap());
        let pierced = plate.pierced(disc(Point::ZERO, 20.0).unwrap()).unwrap();
        let room = Room::new(&pierced, &[]);
        assert!((room.at(Point::new(45.0, 0.0)) - 5.0).abs() < 1e-9);
        assert!((room.at(Point::new(30.0, 0.0)) - 10.0).abs() < 0.0055 * 20.0 + 1e-9);
        assert!(room.at(Point::ZERO) < 0.0 && room.at(Point::new(60.0, 0.0)) < 0.0);
        let line = Edge::line(Point::new(43.0, -30.0), Point::new(43.0, 30.0));
        assert!((Room::new(&pierced, &[line]).at(Point::new(45.0, 0.0)) - 2.0).abs() < 1e-9);
        let (at, most) = room.places(12).max_by(|a, b| a.1.total_cmp(&b.1)).unwrap();
        assert!(at.to_vec2().hypot() > 25.0 && most > 8.0, "{at:?} {most}");
    }
}
