//! The position and size of a part's name on the drawing of a sheet.

use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Room;

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

/// Places that are tried in each direction.
const GRID: u32 = 16;

/// The place with the most room round a name of so many letters, as large as it can be;
/// the smallest size in the roomiest place where none fits.
pub(crate) fn spot(region: &Region, letters: usize) -> Spot {
    let room = Room::new(region, &[]);
    let places: Vec<(Point, f64)> = room.places(GRID).collect();
    for height in HEIGHTS {
        let width = LETTER * height * letters as f64;
        // Letters lie within discs of twice their height, side by side.
        let needed = height;
        let steps = letters.max(2);
        let around = |centre: Point| {
            let along = |i: usize| (i as f64 / (steps - 1) as f64 - 0.5) * (width - height);
            let mut min = f64::INFINITY;
            // The ends first: they are the first to leave the metal.
            for i in [0, steps - 1].into_iter().chain(1..steps - 1) {
                min = min.min(room.at(centre + (along(i), 0.0)));
                if min < needed {
                    break;
                }
            }
            min
        };
        let roomy = places.iter().filter(|(_, room)| *room >= needed);
        let best = roomy
            .map(|(p, _)| (*p, around(*p)))
            .filter(|(_, room)| *room >= needed)
            .max_by(|a, b| a.1.total_cmp(&b.1));
        if let Some((centre, _)) = best {
            return Spot { at: centre - (width / 2.0, height / 2.0), height };
        }
    }
    let height = HEIGHTS[HEIGHTS.len() - 1];
    let roomiest = places.iter().max_by(|a, b| a.1.total_cmp(&b.1));
    let centre = roomiest.map_or(region.bounds().centre(), |(p, _)| *p);
    Spot { at: centre - (LETTER * height * letters as f64 / 2.0, height / 2.0), height }
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
