//! The remnant of a sheet: the largest useful upright rectangle.
//!
//! One straight cut across or along the sheet takes a strip off, two square to each other a block
//! at a corner. Rectangles between the parts are nothing a shop would keep.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::nest::problem::item::Item;
use crate::nest::problem::layout::Placed;
use crate::nest::problem::rules::Rules;
use crate::nest::problem::stock::Stock;
use crate::num::Angle;

/// Boxes are drawn round pieces of slanting and round edges no longer than this, in mm. Our choice:
/// accurate enough beside a slant.
const PIECE: f64 = 5.0;

/// The largest rectangle left at a side or a corner of a sheet, a gap away from all parts and
/// keep-outs. `None` when it is narrower or shorter than [`Rules::min_remnant`], and where the sheet
/// is no rectangle.
pub(crate) fn remnant(
    items: &[Item],
    stock: &Stock,
    rules: &Rules,
    placed: &[Placed],
) -> Option<Bounds> {
    if !stock.is_rectangle() {
        return None;
    }
    let sheet = stock.region.bounds();
    let gap = rules.kept_gap();
    let parts = placed.iter().map(|p| items[p.item].region.outer().moved(&p.place));
    let outlines: Vec<Outline> = parts.chain(stock.keep_outs.iter().cloned()).collect();
    let mut best: Option<Bounds> = None;
    for corner in [(false, false), (true, false), (false, true), (true, true)] {
        let seen = farthest(&outlines, |b| reached(&b.grown(gap), &sheet, corner));
        let (length, width) = largest(seen, (sheet.width(), sheet.height()), rules.min_remnant);
        let found = at_corner(&sheet, corner, length, width);
        let area = |b: &Bounds| b.width() * b.height();
        // Of nearly equal ones the first: the one at the right and top.
        if length * width > 0.0 && best.is_none_or(|b| area(&found) > area(&b) * (1.0 + 1e-9)) {
            best = Some(found);
        }
    }
    best
}

/// How far outlines reach, of those points that no other is beyond in both directions: the others make
/// no block smaller. Most parts lie behind others as a whole, and their edges are not looked at.
fn farthest(outlines: &[Outline], reached: impl Fn(&Bounds) -> Point) -> Vec<Point> {
    let mut whole: Vec<(Point, &Outline)> =
        outlines.iter().map(|outline| (reached(&outline.bounds()), outline)).collect();
    whole.sort_by(|(a, _), (b, _)| (b.x + b.y).total_cmp(&(a.x + a.y)));
    let mut front: Vec<Point> = Vec::new();
    let is_behind = |front: &[Point], p: Point| front.iter().any(|q| q.x >= p.x && q.y >= p.y);
    for (end, outline) in whole {
        if is_behind(&front, end) {
            continue;
        }
        for point in outline.edges().flat_map(boxes).map(|b| reached(&b)) {
            if !is_behind(&front, point) {
                front.retain(|q| q.x > point.x || q.y > point.y);
                front.push(point);
            }
        }
    }
    front
}

/// Boxes round the pieces of an edge.
fn boxes(edge: Edge) -> Vec<Bounds> {
    let size = edge.bounds();
    if edge.is_line() && size.width().min(size.height()) == 0.0 {
        return vec![size];
    }
    let pieces = (size.width().max(size.height()) / PIECE).ceil().clamp(1.0, 1000.0);
    let bulge = edge
        .arc()
        .map_or(0.0, |arc| Angle::from_degrees(arc.sweep.degrees() / (4.0 * pieces)).tan());
    let at = |i: f64| edge.point_at(i / pieces);
    let piece = |i: u32| Edge { from: at(f64::from(i)), to: at(f64::from(i) + 1.0), bulge };
    (0..pieces as u32).map(|i| piece(i).bounds()).collect()
}

/// How far a box reaches into the sheet, measured towards a corner from the one opposite;
/// right and top are `false`.
fn reached(b: &Bounds, sheet: &Bounds, (left, bottom): (bool, bool)) -> Point {
    let x = if left { sheet.max.x - b.min.x } else { b.max.x - sheet.min.x };
    let y = if bottom { sheet.max.y - b.min.y } else { b.max.y - sheet.min.y };
    Point::new(x, y)
}

/// Length and width of the largest block at a corner of a sheet of some size that none of the
/// points reaches into; zero when none is as wide and long as wanted.
fn largest(mut points: Vec<Point>, size: (f64, f64), min: f64) -> (f64, f64) {
    points.sort_by(|a, b| b.x.total_cmp(&a.x));
    let mut best = (0.0, 0.0);
    let (mut high, mut next) = (0.0f64, points.iter().peekable());
    loop {
        // The block begins where the next point ends, over all those further along.
        let from = next.peek().map_or(0.0, |p| p.x.max(0.0));
        let block = ((size.0 - from).max(0.0), (size.1 - high).max(0.0));
        if block.0.min(block.1) >= min && block.0 * block.1 > best.0 * best.1 {
            best = block;
        }
        let Some(point) = next.next() else { return best };
        high = high.max(point.y);
    }
}

fn at_corner(sheet: &Bounds, (left, bottom): (bool, bool), length: f64, width: f64) -> Bounds {
    let x = if left { sheet.min.x } else { sheet.max.x - length };
    let y = if bottom { sheet.min.y } else { sheet.max.y - width };
    let min = Point::new(x, y);
    Bounds { min, max: Point::new(x + length, y + width) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Place;
    use crate::geom::Region;
    use crate::geom::Vertex;
    use crate::geom::disc;
    use crate::geom::outline_distance;
    use crate::geom::rectangle;
    use proptest::prelude::*;

    fn rules(min_remnant: f64) -> Rules {
        Rules { gap: 4.0, margin: 10.0, min_remnant, ..Rules::default() }
    }

    fn plate(x: f64, y: f64, width: f64, height: f64) -> Item {
        let middle = Point::new(x + width / 2.0, y + height / 2.0);
        Item::new(Region::solid(rectangle(middle, width, height, 0.0).unwrap()), 1)
    }

    /// With every item at the origin.
    fn left(items: &[Item], min: f64) -> Option<(f64, f64, f64, f64)> {
        let stock = Stock::whole(1000.0, 500.0).unwrap();
        let placed: Vec<Placed> =
            (0..items.len()).map(|item| Placed { item, place: Place::default() }).collect();
        let found = remnant(items, &stock, &rules(min), &placed)?;
        Some((found.min.x, found.min.y, found.width(), found.height()))
    }

    #[test]
    fn strips_and_blocks_are_a_gap_away_from_the_parts() {
        let column = plate(10.0, 10.0, 100.0, 480.0);
        let row = plate(10.0, 10.0, 980.0, 90.0);
        assert_eq!(left(std::slice::from_ref(&column), 100.0), Some((114.0, 0.0, 886.0, 500.0)));
        assert_eq!(left(std::slice::from_ref(&row), 100.0), Some((0.0, 104.0, 1000.0, 396.0)));
        // Both: a block at the corner they leave free.
        let ell = [row, plate(10.0, 110.0, 100.0, 380.0)];
        assert_eq!(left(&ell, 100.0), Some((114.0, 104.0, 886.0, 396.0)));
        assert_eq!(left(&[], 100.0), Some((0.0, 0.0, 1000.0, 500.0)));
        // A part at the right leaves the left free.
        let far = plate(880.0, 10.0, 110.0, 480.0);
        assert_eq!(left(&[far], 100.0), Some((0.0, 0.0, 876.0, 500.0)));
    }

    #[test]
    fn a_narrow_remnant_is_scrap() {
        let wide = plate(10.0, 10.0, 880.0, 480.0);
        assert_eq!(left(std::slice::from_ref(&wide), 106.0), Some((894.0, 0.0, 106.0, 500.0)));
        assert_eq!(left(&[wide], 106.1), None);
        // The larger of two is not taken where it is too narrow.
        let flat = [plate(10.0, 10.0, 890.0, 400.0)];
        assert_eq!(left(&flat, 90.0), Some((904.0, 0.0, 96.0, 500.0)));
        assert_eq!(left(&flat, 80.0), Some((0.0, 414.0, 1000.0, 86.0)));
    }

    #[test]
    fn a_remnant_keeps_off_what_is_burnt() {
        let marred = |at: (f64, f64), radius: f64| Stock {
            keep_outs: vec![disc(at.into(), radius).unwrap()],
            ..Stock::whole(1000.0, 500.0).unwrap()
        };
        let column = [plate(10.0, 10.0, 100.0, 480.0)];
        let placed = [Placed { item: 0, place: Place::default() }];
        let size = |stock: &Stock, placed: &[Placed]| {
            let found = remnant(&column, stock, &rules(100.0), placed)?;
            Some([found.min.x, found.min.y, found.max.x, found.max.y].map(f64::round))
        };
        // A corner of 100 is burnt, to which a gap of 4 is kept: what is below it continues to the side.
        let corner = marred((1000.0, 500.0), 100.0);
        assert_eq!(size(&corner, &placed), Some([114.0, 0.0, 1000.0, 396.0]));
        assert_eq!(size(&corner, &[]), Some([0.0, 0.0, 896.0, 500.0]));
        // Most of the sheet is burnt.
        assert_eq!(size(&marred((500.0, 250.0), 480.0), &placed), None);
    }

    proptest! {
        /// What lies behind others makes no block smaller.
        #[test]
        fn the_farthest_points_leave_the_same_block_as_all(
            points in prop::collection::vec((0..12u8, 0..12u8), 0..20),
        ) {
            let at = |(x, y): &(u8, u8)| Point::new(f64::from(*x), f64::from(*y));
            let all: Vec<Point> = points.iter().map(at).collect();
            let square = |p: &Point| rectangle(*p, 0.5, 0.5, 0.0).unwrap();
            let outlines: Vec<Outline> = all.iter().map(square).collect();
            let corner = |b: &Bounds| b.max;
            let every = outlines.iter().flat_map(|o| o.edges().flat_map(boxes)).map(|b| corner(&b));
            let few = farthest(&outlines, corner);
            prop_assert!(few.len() <= all.len());
            let size = (14.0, 13.0);
            prop_assert_eq!(largest(few, size, 1.0), largest(every.collect(), size, 1.0));
        }

        /// For any parts: the rectangle is clear of them by the gap, and on the sheet.
        #[test]
        fn nothing_reaches_into_it(
            parts in prop::collection::vec(
                (0.0..300.0f64, 0.0..200.0f64, 20.0..200.0f64, 20.0..150.0f64, 0..3u8), 1..5),
        ) {
            let item = |(x, y, w, h, shape): &(f64, f64, f64, f64, u8)| {
                let (x, y, w, h) = (*x, *y, *w, *h);
                let outline = match shape {
                    0 => return plate(x, y, w, h),
                    1 => disc(Point::new(x + w, y + w), w / 2.0),
                    _ => Outline::new([(x, y), (x + w, y), (x, y + h)].map(|(x, y)| Vertex::sharp(x, y))),
                };
                Item::new(Region::solid(outline.unwrap()), 1)
            };
            let items: Vec<Item> = parts.iter().map(item).collect();
            if let Some((x, y, length, width)) = left(&items, 40.0) {
                prop_assert!(length >= 40.0 && width >= 40.0);
                prop_assert!(x >= -1e-9 && y >= -1e-9 && x + length <= 1000.0 + 1e-9 && y + width <= 500.0 + 1e-9);
                let middle = Point::new(x + length / 2.0, y + width / 2.0);
                let block = rectangle(middle, length, width, 0.0).unwrap();
                for item in &items {
                    let outline = item.region.outer();
                    prop_assert!(!outline.contains(middle));
                    prop_assert!(outline_distance(outline, &block) >= 4.0 - 1e-6);
                }
            }
        }
    }
}
