//! The openings of a plate that an outline file shows.

use platewright::geom::Point;
use platewright::geom::Region;
use platewright::num;

/// The openings of a plate by size, with the centre of each.
pub(super) fn openings(region: &Region) -> Vec<(String, Vec<Point>)> {
    let mm = |x: f64| num::text(x, 2);
    let mut sizes: Vec<(String, Vec<Point>)> = Vec::new();
    for hole in region.holes() {
        let (size, place) = match (hole.circle(), hole.slot()) {
            (Some((at, radius)), _) => (format!("round, {} mm", mm(2.0 * radius)), at),
            (None, Some((at, length, width))) => {
                (format!("slot, {} x {} mm", mm(width), mm(length)), at)
            }
            _ => ("of other shapes".to_owned(), hole.bounds().centre()),
        };
        match sizes.iter_mut().find(|(other, _)| *other == size) {
            Some((_, places)) => places.push(place),
            None => sizes.push((size, vec![place])),
        }
    }
    sizes
}
