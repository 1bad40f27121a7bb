//! A whole job in patterns: one block for each kind of which there are many; the rest, with the
//! ragged ends, is placed one by one.

use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::nest::pattern::best::Repeats;
use crate::nest::pattern::coarse::coarser;
use crate::nest::pattern::cut::Goal;
use crate::nest::pattern::cut::PatternPart;
use crate::nest::pattern::kinds::Kinds;
use crate::nest::pattern::kinds::Oriented;
use crate::nest::pattern::kinds::PlacedShape;
use crate::nest::pattern::table::Table;
use crate::nest::problem::item::Item;
use crate::nest::problem::layout::Placed;
use crate::nest::problem::progress::Stop;
use crate::nest::problem::rules::Rules;
use crate::nest::problem::stock::Stock;
use crate::nest::shape::grown::grown;
use crate::nest::shape::orientation::Orientation;
use crate::nest::shape::polygon::GRID;
use crate::nest::shape::polygon::ON_GRID;
use crate::nest::shape::polygon::Ring;
use crate::nest::shape::polygon::Spot;
use crate::nest::shape::polygon::double_area;
use crate::nest::shape::polygon::extent;
use crate::nest::task::Task;
use crate::num::Angle;
use rayon::prelude::*;
use std::collections::BTreeMap;

/// Fewer equal parts get no pattern. Our choice.
const FEW: usize = 6;

/// Number of the last parts of a block that are removed and placed again, one by one; the best
/// result is kept. Our choice.
const ANEW: [usize; 10] = [0, 1, 2, 3, 4, 6, 8, 11, 15, 20];

/// Maximum number of kinds in blocks. Our choice.
pub(super) const MAX_KINDS: usize = 8;

/// Maximum number of skews tried of one kind, and of all kinds together. Our choice: patterns of
/// each take a while.
const OF_ONE: usize = 3;
const MAX_SKEWS: usize = 8;

/// Contours with more corners than this are made coarser, down to this number. Our choice: a plate
/// with four rounded corners is not changed, and patterns of one kind take some tenths of a second.
const MANY_CORNERS: usize = 40;
const FEW_CORNERS: usize = 24;

/// Places the items on sheets of the stocks named, in that order: by sheet, its parts.
///
/// `None` when not all of them can be placed, the work must end, or the job does not suit patterns:
/// no kind in numbers, many kinds, sheets that are no plain rectangles, or parts with priorities.
pub(crate) fn place_job(task: &Task, sheets: &[usize]) -> Option<Vec<Vec<Placed>>> {
    let Task { items, orientations, stock, rules, stop, .. } = task;
    let asked: Vec<usize> = (0..items.len()).filter(|i| items[*i].quantity > 0).collect();
    let many = asked.iter().any(|i| items[*i].quantity as usize >= FEW);
    let ordered = asked.iter().any(|i| items[*i].priority != items[asked[0]].priority);
    let plain = sheets.iter().all(|s| stock[*s].is_plain());
    if !many || ordered || !plain || asked.len() > MAX_KINDS {
        return None;
    }
    let reach = rules.kept_gap() / 2.0;
    let skews = skews_of_each(asked.len());
    let shape =
        |i: &usize| Shape::new(*i, &items[*i], first_skews(&orientations[*i], skews), reach, stop);
    let shapes: Vec<Shape> = asked.iter().map(shape).collect::<Option<_>>()?;
    let kinds = Kinds::new(shapes.iter().map(|s| s.oriented.clone()).collect(), stop);
    let rooms: Vec<(Point, Table)> =
        sheets.iter().map(|s| room(&stock[*s], rules, reach)).collect::<Option<_>>()?;
    let bare = rooms.iter().map(|(_, table)| table.clone()).collect();
    let tables = fill(&kinds, &shapes, bare, stop)?;
    let placed = |((corner, _), table): (&(Point, Table), &Table)| {
        let placed = |s: &PlacedShape| shapes[s.kind].placed(s, *corner);
        table.parts.iter().map(placed).collect()
    };
    Some(rooms.iter().zip(&tables).map(placed).collect())
}

/// An item in whole micrometres.
pub(super) struct Shape {
    pub(super) item: usize,
    pub(super) count: usize,
    pub(super) area: i128,
    /// By orientation, the reference point, rotated about the origin of the item.
    origins: Vec<Point>,
    pub(super) oriented: Oriented,
}

impl Shape {
    pub(super) fn new(
        item: usize,
        of: &Item,
        orientations: &[Orientation],
        reach: f64,
        stop: &Stop,
    ) -> Option<Self> {
        let mut shape = Self {
            item,
            count: of.quantity as usize,
            area: 0,
            origins: Vec::new(),
            oriented: Oriented::new(),
        };
        for of_skew in orientations.chunk_by(|a, b| a.skew == b.skew) {
            let skewed = Place { rotation: of_skew[0].skew, ..Place::default() };
            let outer = of.region.outer().moved(&skewed);
            let origin = outer.bounds().min;
            let ring = grown(&outer, reach, origin)?.contour;
            let ring =
                if ring.len() > MANY_CORNERS { coarser(&ring, FEW_CORNERS, stop) } else { ring };
            shape.area = shape.area.max(double_area(&ring));
            for orientation in of_skew {
                let ring = at(&ring, orientation.quarters);
                if !shape.oriented.iter().any(|(_, other)| settled(other) == settled(&ring)) {
                    let quarters = Angle::from_degrees(90.0 * f64::from(orientation.quarters));
                    let back = Place { rotation: quarters, ..Place::default() };
                    shape.origins.push(back.apply(origin));
                    shape.oriented.push((*orientation, ring));
                }
            }
        }
        Some(shape)
    }

    /// The inverse of [`Shape::placed`], to whole micrometres; `None` where the part is flipped
    /// over or has a skew. `kind` is the shape's own number.
    pub(super) fn to_grid(
        &self,
        kind: usize,
        placed: &Placed,
        corner: Point,
    ) -> Option<PlacedShape> {
        let place = &placed.place;
        let quarters = place.rotation.degrees() / 90.0;
        if place.mirrored || quarters.fract() != 0.0 {
            return None;
        }
        let quarters = quarters.rem_euclid(4.0) as u8;
        let level = |t: &Orientation| t.skew == Angle::ZERO;
        let upright = self.oriented.iter().position(|(t, _)| level(t) && t.quarters == 0)?;
        let actual = at(&self.oriented[upright].1, quarters);
        let same = |(t, ring): &(Orientation, Ring)| level(t) && settled(ring) == settled(&actual);
        let orientation = self.oriented.iter().position(same)?;
        let from =
            Place { rotation: place.rotation, ..Place::default() }.apply(self.origins[upright]);
        let by = (place.shift - corner.to_vec2() + from.to_vec2()) * GRID;
        let spot = Spot::new(by.x.round() as i64, by.y.round() as i64);
        Some(PlacedShape {
            kind,
            orientation,
            at: spot + extent(&actual).0 - extent(&self.oriented[orientation].1).0,
        })
    }

    pub(super) fn placed(&self, part: &PlacedShape, corner: Point) -> Placed {
        let rotation = self.oriented[part.orientation].0.angle();
        let by = Vec2::new(part.at.x as f64 / GRID, part.at.y as f64 / GRID);
        let shift = corner - self.origins[part.orientation] + by;
        Placed { item: self.item, place: Place { mirrored: false, rotation, shift } }
    }
}

/// How many skews of each kind are tried.
pub(super) fn skews_of_each(kinds: usize) -> usize {
    (MAX_SKEWS / kinds).clamp(1, OF_ONE)
}

/// The orientations of the first few skews.
pub(super) fn first_skews(orientations: &[Orientation], max: usize) -> &[Orientation] {
    let count =
        orientations.chunk_by(|a, b| a.skew == b.skew).take(max).map(<[Orientation]>::len).sum();
    &orientations[..count]
}

/// Rotated about the origin.
fn at(ring: &Ring, quarter: u8) -> Ring {
    let rotate = |ring: Ring| ring.iter().map(|s| Spot::new(-s.y, s.x)).collect();
    (0..quarter).fold(ring.clone(), |ring, _| rotate(ring))
}

/// The same ring for equal rings, wherever they are.
fn settled(ring: &Ring) -> Ring {
    let (min, _) = extent(ring);
    let mut ring: Ring = ring.iter().map(|s| *s - min).collect();
    ring.sort_unstable();
    ring
}

/// The free area of a stock as a bare table, and its corner on the sheet.
pub(super) fn room(stock: &Stock, rules: &Rules, reach: f64) -> Option<(Point, Table)> {
    let bounds = stock.room(rules.kept_margin()).filter(|_| reach.is_finite())?;
    let low = (-reach * GRID - ON_GRID).ceil();
    let size = |length: f64| ((length + reach) * GRID + ON_GRID).floor() as i64 - low as i64;
    let corner = bounds.min + Vec2::new(low, low) / GRID;
    let (length, height) = (size(bounds.width()), size(bounds.height()));
    Some((corner, Table { parts: Vec::new(), length, height }))
}

/// Fills the tables one after the other; `None` when there is not enough room for everything, or
/// the work must end.
pub(super) fn fill(
    kinds: &Kinds,
    shapes: &[Shape],
    mut tables: Vec<Table>,
    stop: &Stop,
) -> Option<Vec<Table>> {
    let mut left: Vec<usize> = shapes.iter().map(|s| s.count).collect();
    let mut order: Vec<usize> = (0..shapes.len()).collect();
    order.sort_by_key(|k| (std::cmp::Reverse(shapes[*k].area), *k));
    let mut blocks = Blocks { kinds, repeats: BTreeMap::new(), max: BTreeMap::new(), stop };
    for table in &mut tables {
        for kind in order.iter().copied() {
            while left[kind] >= FEW {
                let before = table.parts.len();
                let Some(filled) = blocks.with_block(table, kind, left[kind]) else { break };
                *table = filled;
                left[kind] -= table.parts.len() - before;
            }
        }
        for kind in order.iter().copied() {
            while left[kind] > 0 {
                let from = (table.end(kinds) - tail(kinds)).max(0);
                let part = table.place_one(kinds, kind, from, i64::MAX, stop);
                let Some(part) = part else { break };
                table.parts.push(part);
                left[kind] -= 1;
            }
        }
    }
    left.iter().all(|n| *n == 0).then_some(tables)
}

/// How far before the end of the parts another one is tried.
fn tail(kinds: &Kinds) -> i64 {
    let longest = |ring: &Ring| {
        let (low, high) = extent(ring);
        (high.x - low.x).max(high.y - low.y)
    };
    3 * kinds.oriented.iter().flatten().map(|(_, ring)| longest(ring)).max().unwrap_or(0)
}

/// Blocks of the kinds of a job.
struct Blocks<'a> {
    kinds: &'a Kinds,
    /// By kind and height: sheets are alike.
    repeats: BTreeMap<(usize, i64), Repeats>,
    /// By kind, height and length, the pattern with the most parts.
    max: BTreeMap<(usize, i64, i64), Option<Vec<PatternPart>>>,
    stop: &'a Stop<'a>,
}

impl Blocks<'_> {
    /// The table with all that is left of a kind, or as much as still fits.
    fn with_block(&mut self, table: &Table, kind: usize, count: usize) -> Option<Table> {
        let (kinds, stop) = (self.kinds, self.stop);
        let oriented = &kinds.oriented[kind];
        let block = |pattern: &[PatternPart]| {
            let placed_shape =
                |l: &PatternPart| PlacedShape { kind, orientation: l.orientation, at: l.at };
            pattern.iter().map(placed_shape).collect::<Vec<_>>()
        };
        // No table has room for more than twice its own area.
        let min = oriented.iter().map(|(_, ring)| double_area(ring)).min();
        let taken = min.unwrap_or(0) * count as i128;
        let made = || Repeats::new(oriented, table.height, stop);
        let repeats = self.repeats.entry((kind, table.height)).or_insert_with(made);
        let whole = match taken <= 2 * i128::from(table.length) * i128::from(table.height) {
            true => repeats.patterns(Goal::Shortest(count), stop),
            false => Vec::new(),
        };
        let tries: Vec<(&Vec<PatternPart>, usize)> = whole
            .iter()
            .flat_map(|pattern| ANEW.iter().map(move |anew| (pattern, *anew)))
            .filter(|(pattern, anew)| *anew < pattern.len())
            .collect();
        let filled = |(pattern, anew): &(&Vec<PatternPart>, usize)| {
            let mut filled = table.clone();
            filled.push(kinds, block(pattern));
            // The block is now the last on the table.
            let end = filled.end(kinds).min(table.length + 1);
            filled.parts[table.parts.len()..].sort_by_key(|s| (kinds.extent(s).1.x, s.at));
            filled.parts.truncate(filled.parts.len() - anew);
            for _ in 0..*anew {
                let from = (filled.end(kinds) - tail(kinds)).max(0);
                let part = filled.place_one(kinds, kind, from, end - 1, stop)?;
                filled.parts.push(part);
            }
            let end = filled.end(kinds);
            (end <= table.length).then_some((end, filled))
        };
        let tried: Vec<(i64, Table)> = tries.par_iter().filter_map(filled).collect();
        if let Some((_, filled)) = tried.into_iter().min_by_key(|(end, _)| *end) {
            return Some(filled);
        }
        let room = table.length - table.end(kinds);
        let max = || repeats.patterns(Goal::Most(room), stop).into_iter().next();
        let max = self.max.entry((kind, table.height, room)).or_insert_with(max).as_ref()?;
        let mut filled = table.clone();
        // They are sorted from left to right: the first of them are a pattern as well.
        filled.push(kinds, block(&max[..max.len().min(count)]));
        Some(filled)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Outline;
    use crate::geom::Region;
    use crate::geom::Vertex;
    use crate::geom::rectangle;
    use crate::nest::problem::item::Orientations;
    use crate::nest::shape::orientation::orientations;
    use crate::nest::task::Masks;
    use crate::nest::value::audit::survey;

    const RULES: Rules = Rules {
        gap: 3.0,
        margin: 5.0,
        min_cut_out: 0.0,
        cut_out_gap: 0.0,
        min_remnant: 100.0,
        units: 0,
        stop_at: None,
        extra_metal: None,
        seed: 0,
    };

    fn flat() -> Region {
        let bounds = rectangle(Point::new(60.0, 40.0), 120.0, 80.0, 8.0);
        Region::solid(bounds.unwrap())
    }

    fn gusset() -> Region {
        let corners = [(0, 0), (125, 0), (134, 9), (134, 19), (28, 96), (10, 96), (0, 86)];
        let sharp = |(x, y): (i32, i32)| Vertex::sharp(f64::from(x), f64::from(y));
        Region::solid(Outline::new(corners.map(sharp)).unwrap())
    }

    fn patterned(
        items: &[Item],
        stock: &[Stock],
        rules: &Rules,
        sheets: &[usize],
    ) -> Option<Vec<Vec<Placed>>> {
        let (orientations, masks) = (orientations(items, stock, rules), Masks::default());
        let (orientations, masks, stop) = (&orientations, &masks, &Stop::never());
        place_job(&Task { items, orientations, stock, rules: *rules, masks, stop }, sheets)
    }

    fn end(items: &[Item], placed: &[Placed]) -> f64 {
        let end = |p: &Placed| items[p.item].region.moved(&p.place).bounds().max.x;
        placed.iter().map(end).fold(0.0, f64::max)
    }

    /// Eight columns of seven upright are one too few, nine too long: the last are flat.
    #[test]
    fn the_last_parts_end_as_far_left_as_possible() {
        let items = [Item::new(flat(), 60)];
        let stock = [Stock::whole(2438.0, 600.0).unwrap()];
        let rules = Rules { margin: 0.0, ..RULES };
        let sheets = patterned(&items, &stock, &rules, &[0]).unwrap();
        assert_eq!((sheets.len(), sheets[0].len()), (1, 60));
        survey(&items, &stock[0], &rules, &sheets[0]).unwrap();
        let wanted = 8.0 * 123.0 + 80.0;
        assert!((end(&items, &sheets[0]) - wanted).abs() < 1e-6, "{}", end(&items, &sheets[0]));
    }

    #[test]
    fn blocks_of_several_kinds_fill_sheet_after_sheet() {
        let ear = Region::solid(rectangle(Point::ZERO, 40.0, 25.0, 3.0).unwrap());
        let items = [Item::new(gusset(), 60), Item::new(ear, 4), Item::new(flat(), 30)];
        let stock = [Stock::whole(700.0, 600.0).unwrap(), Stock::whole(900.0, 400.0).unwrap()];
        let used = [1, 0, 0];
        let sheets = patterned(&items, &stock, &RULES, &used).unwrap();
        for (sheet, stock_of) in sheets.iter().zip(used) {
            survey(&items, &stock[stock_of], &RULES, sheet).unwrap();
        }
        let count = |item| sheets.iter().flatten().filter(|p| p.item == item).count();
        assert_eq!([count(0), count(1), count(2)], [60, 4, 30]);
        // Sheets that are not enough are no answer.
        assert_eq!(patterned(&items, &stock, &RULES, &used[..2]), None);
    }

    /// At 15° the contours are a few micrometres larger, so that as many seem not to fit; a pattern
    /// for one more would.
    #[test]
    fn no_more_are_placed_than_are_asked_for() {
        let square = Region::solid(rectangle(Point::ZERO, 10.0, 10.0, 0.0).unwrap());
        let items = [Item { orientations: Orientations::Free, ..Item::new(square, 42 * 42 - 1) }];
        let side = 42.0 * 13.0 - 3.0 + 10.0;
        let stock = [Stock::whole(side, side).unwrap()];
        let sheets = patterned(&items, &stock, &RULES, &[0]).unwrap();
        assert_eq!(sheets[0].len(), 42 * 42 - 1);
    }

    #[test]
    fn jobs_that_are_none_for_patterns_are_left_alone() {
        let stock = [Stock::whole(2438.0, 1219.0).unwrap()];
        let many = Item::new(flat(), 8);
        assert!(patterned(std::slice::from_ref(&many), &stock, &RULES, &[0]).is_some());
        assert_eq!(patterned(&[Item::new(flat(), 5)], &stock, &RULES, &[0]), None);
        let with_priority = Item { priority: 2, ..many.clone() };
        assert_eq!(patterned(&[many.clone(), with_priority], &stock, &RULES, &[0]), None);
        assert_eq!(patterned(&vec![many.clone(); MAX_KINDS + 1], &stock, &RULES, &[0]), None);
        let mut marred = stock.clone();
        let spot = rectangle(Point::new(900.0, 100.0), 50.0, 50.0, 0.0).unwrap();
        marred[0].keep_outs.push(spot);
        assert_eq!(patterned(&[many], &marred, &RULES, &[0]), None);
    }
}
