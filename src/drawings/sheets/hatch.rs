//! Hatching: narrow lines at 45° over an area of the page.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::paper::Item;
use crate::paper::Pen;
use crate::paper::straight_pieces;

/// Between two lines, mm. Our choice.
const PITCH: f64 = 1.6;
/// Shorter lines are left out, mm.
const SHORT: f64 = 0.2;

/// Lines over the intersection of some areas, each of closed loops, but not within `bare`, where
/// there is text.
pub(super) fn hatch(areas: &[Vec<Vec<Edge>>], bare: Option<Bounds>) -> Vec<Item> {
    let straight = |loops: &Vec<Vec<Edge>>| -> Vec<[Point; 2]> {
        loops.iter().flatten().flat_map(straight_pieces).map(|line| line.map(level)).collect()
    };
    let areas: Vec<Vec<[Point; 2]>> = areas.iter().map(straight).collect();
    let bare: Vec<[Point; 2]> = bare.map_or_else(Vec::new, |bounds| {
        let Bounds { min, max } = bounds;
        let corners = [min, Point::new(max.x, min.y), max, Point::new(min.x, max.y), min];
        corners.windows(2).map(|pair| [level(pair[0]), level(pair[1])]).collect()
    });
    let ys = || areas.iter().flatten().flatten().map(|p| p.y);
    let (low, high) = (ys().fold(f64::INFINITY, f64::min), ys().fold(f64::NEG_INFINITY, f64::max));
    if low >= high {
        return Vec::new();
    }
    let (first, last) = ((low / PITCH).ceil() as i64, (high / PITCH).floor() as i64);
    // Off the corners of the drawing, which are mostly at round coordinates.
    let lines = (first..=last).map(|i| (i as f64 + 0.137) * PITCH);
    lines
        .flat_map(|y| {
            let mut kept = vec![[f64::NEG_INFINITY, f64::INFINITY]];
            for area in &areas {
                kept = both(&kept, &within(area, y));
            }
            both(&kept, &beyond(&within(&bare, y))).into_iter().map(move |[a, b]| [a, b, y])
        })
        .filter(|[from, to, _]| to - from > SHORT)
        .map(|[from, to, y]| Item::line(Pen::Fine, back(from, y), back(to, y)))
        .collect()
}

/// The page rotated so that the lines are level.
fn level(p: Point) -> Point {
    Point::new((p.x + p.y) / std::f64::consts::SQRT_2, (p.y - p.x) / std::f64::consts::SQRT_2)
}

fn back(x: f64, y: f64) -> Point {
    Point::new((x - y) / std::f64::consts::SQRT_2, (x + y) / std::f64::consts::SQRT_2)
}

/// From where to where a level line is within closed loops.
fn within(loops: &[[Point; 2]], y: f64) -> Vec<[f64; 2]> {
    let crossing = |[a, b]: &[Point; 2]| {
        let parted = (a.y <= y) != (b.y <= y);
        parted.then(|| a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y))
    };
    let mut crossings: Vec<f64> = loops.iter().filter_map(crossing).collect();
    crossings.sort_by(f64::total_cmp);
    crossings.chunks_exact(2).map(|pair| [pair[0], pair[1]]).collect()
}

/// The complement of some stretches.
fn beyond(stretches: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let ends = stretches.iter().flatten().copied();
    let all: Vec<f64> =
        std::iter::once(f64::NEG_INFINITY).chain(ends).chain([f64::INFINITY]).collect();
    all.chunks_exact(2).map(|pair| [pair[0], pair[1]]).collect()
}

/// The intersection of two stretches.
fn both(a: &[[f64; 2]], b: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let pairs = a.iter().flat_map(|a| b.iter().map(move |b| [a[0].max(b[0]), a[1].min(b[1])]));
    pairs.filter(|[from, to]| from < to).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::disc;
    use crate::geom::rectangle;

    #[test]
    fn lines_stay_in_all_areas_and_out_of_the_words() {
        let loops = |outline: crate::geom::Outline| vec![outline.edges().collect::<Vec<_>>()];
        let plate = loops(rectangle(Point::new(10.0, 10.0), 20.0, 20.0, 0.0).unwrap());
        let round = loops(disc(Point::new(20.0, 10.0), 8.0).unwrap());
        let bare = Bounds { min: Point::new(14.0, 9.0), max: Point::new(19.0, 12.0) };
        let items = hatch(&[plate, round], Some(bare));
        assert!(items.len() > 5, "{}", items.len());
        for item in items {
            let Item::Line(_, edges) = item else { panic!("a line") };
            for share in [0.0, 0.3, 0.5, 0.8, 1.0] {
                let p = edges[0].point_at(share);
                let off = (p - Point::new(20.0, 10.0)).hypot();
                assert!(p.x < 20.0 + 1e-9 && off < 8.0 + 1e-9, "{p:?}");
                let deep = p.x > 14.01 && p.x < 18.99 && p.y > 9.01 && p.y < 11.99;
                assert!(!deep, "{p:?} lies under the words");
            }
        }
    }
}
