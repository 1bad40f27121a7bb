//! Where a part's name goes on the drawing of a sheet, and how large.

use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Region;

/// The left end of a name's baseline and the height of its letters, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Spot {
    /// Left end of the baseline.
    pub(crate) at: Point,
    /// Height of a capital letter.
    pub(crate) height: f64,
}

/// Letters are about this wide for their height.
const LETTER: f64 = 0.8;

/// Heights that are tried, largest first, mm.
const HEIGHTS: [f64; 8] = [7.0, 5.0, 3.5, 2.5, 2.0, 1.6, 1.3, 1.0];

/// Degrees of an arc in one straight piece.
const STEP: f64 = 12.0;

/// Places that are tried in each direction.
const GRID: u32 = 16;

/// The place with the most room round a name of so many letters, as large as it can be;
/// the smallest size in the roomiest place where none fits.
pub(crate) fn spot(region: &Region, letters: usize) -> Spot {
    let (bounds, cuts) = (region.bounds(), Cuts::of(region));
    let share = |k: u32| f64::from(k) / f64::from(GRID);
    let places: Vec<(Point, f64)> = (1..GRID)
        .flat_map(|i| (1..GRID).map(move |j| (i, j)))
        .map(|(i, j)| bounds.min + (bounds.width() * share(i), bounds.height() * share(j)))
        .map(|p| (p, cuts.room(p)))
        .filter(|(_, room)| *room > 0.0)
        .collect();
    for height in HEIGHTS {
        let width = LETTER * height * letters as f64;
        // Letters lie within discs of twice their height, side by side.
        let needed = height;
        let steps = letters.max(2);
        let min = |centre: Point| {
            let along = |i: usize| (i as f64 / (steps - 1) as f64 - 0.5) * (width - height);
            let mut least = f64::INFINITY;
            // The ends first: they are the first to leave the metal.
            for i in (0..steps).rev().chain([0]) {
                least = least.min(cuts.room(centre + (along(i), 0.0)));
                if least < needed {
                    break;
                }
            }
            least
        };
        let roomy = places.iter().filter(|(_, room)| *room >= needed);
        let best = roomy
            .map(|(p, _)| (*p, min(*p)))
            .filter(|(_, min)| *min >= needed)
            .max_by(|a, b| a.1.total_cmp(&b.1));
        if let Some((centre, _)) = best {
            return Spot { at: centre - (width / 2.0, height / 2.0), height };
        }
    }
    let height = HEIGHTS[HEIGHTS.len() - 1];
    let roomiest = places.iter().max_by(|a, b| a.1.total_cmp(&b.1));
    let centre = roomiest.map_or(bounds.centre(), |(p, _)| *p);
    Spot { at: centre - (LETTER * height * letters as f64 / 2.0, height / 2.0), height }
}

/// The cuts of a region in straight pieces.
struct Cuts(Vec<[Point; 2]>);

impl Cuts {
    fn of(region: &Region) -> Self {
        let pieces = |edge: Edge| {
            let sweep = edge.arc().map_or(0.0, |arc| arc.sweep.degrees().abs());
            let count = (sweep / STEP).ceil().max(1.0) as usize;
            let at = move |i: usize| edge.point_at(i as f64 / count as f64);
            (0..count).map(move |i| [at(i), at(i + 1)])
        };
        Self(region.outlines().flat_map(|outline| outline.edges()).flat_map(pieces).collect())
    }

    /// From a point in the metal to the nearest cut, mm; negative outside.
    fn room(&self, p: Point) -> f64 {
        let (mut within, mut nearest) = (false, f64::INFINITY);
        for [a, b] in &self.0 {
            if (a.y > p.y) != (b.y > p.y) {
                within ^= a.x + (p.y - a.y) * (b.x - a.x) / (b.y - a.y) > p.x;
            }
            let (along, from) = (*b - *a, p - *a);
            let share = (from.dot(along) / along.hypot2().max(1e-12)).clamp(0.0, 1.0);
            nearest = nearest.min((from - along * share).hypot2());
        }
        if within { nearest.sqrt() } else { -1.0 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::disc;
    use crate::geom::rectangle;

    #[test]
    fn a_name_keeps_clear_of_a_hole_in_the_middle() {
        let plate = Region::solid(rectangle(Point::ZERO, 100.0, 60.0, 3.0).unwrap());
        let pierced = plate.pierced(disc(Point::ZERO, 20.0).unwrap()).unwrap();
        let spot = spot(&pierced, 8);
        let centre = spot.at + (LETTER * spot.height * 4.0, spot.height / 2.0);
        assert!(spot.height >= 3.5, "{spot:?}");
        assert!(centre.to_vec2().hypot() > 20.0 + spot.height / 2.0, "{spot:?}");
    }
}
