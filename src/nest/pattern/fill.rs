//! A sheet filled up with blocks of patterns.

use crate::geom::Point;
use crate::nest::pattern::best::Repeats;
use crate::nest::pattern::cut::Goal;
use crate::nest::pattern::cut::PatternPart;
use crate::nest::pattern::job::MAX_KINDS;
use crate::nest::pattern::job::Shape;
use crate::nest::pattern::job::fill;
use crate::nest::pattern::job::first_skews;
use crate::nest::pattern::job::room;
use crate::nest::pattern::job::skews_of_each;
use crate::nest::pattern::kinds::Kinds;
use crate::nest::pattern::kinds::PlacedShape;
use crate::nest::pattern::table::Table;
use crate::nest::problem::item::Item;
use crate::nest::problem::layout::Placed;
use crate::nest::problem::progress::Stop;
use crate::nest::problem::stock::Stock;
use crate::nest::shape::polygon::Ring;
use crate::nest::shape::polygon::extent;
use crate::nest::task::Task;
use std::cmp::Reverse;

/// Two ways to fill a sheet: beside the existing parts, and afresh, with as many of each item as
/// there were. Of each item `more` may be added, the largest first, as far as blocks of them fit
/// behind the others.
///
/// Empty where the sheet does not suit patterns: no plain rectangle, many kinds, parts that are
/// flipped over or skewed.
pub(crate) fn top_up(
    task: &Task,
    stock: &Stock,
    present: &[Placed],
    more: &[u32],
) -> Vec<Vec<Placed>> {
    let Some(filling) = Filling::new(task, stock, present, more) else { return Vec::new() };
    [filling.beside(), filling.anew()].into_iter().flatten().collect()
}

/// A sheet, and the items to add to it.
struct Filling<'a> {
    present: &'a [Placed],
    shapes: Vec<Shape>,
    kinds: Kinds,
    /// The corner of the bare table on the sheet.
    corner: Point,
    bare: Table,
    /// The kinds that may be added, in this order.
    added: Vec<Added>,
    stop: &'a Stop<'a>,
}

/// A kind that may be added.
struct Added {
    kind: usize,
    /// How many are on the sheet.
    present: usize,
    /// How many may be added.
    more: usize,
    /// Patterns of it for the whole sheet.
    patterns: Vec<Vec<PatternPart>>,
}

impl<'a> Filling<'a> {
    fn new(task: &Task<'a>, stock: &Stock, present: &'a [Placed], more: &[u32]) -> Option<Self> {
        let Task { items, orientations, rules, stop, .. } = task;
        let count = |i: usize| present.iter().filter(|placed| placed.item == i).count();
        let named: Vec<usize> =
            (0..items.len()).filter(|i| more[*i] > 0 || count(*i) > 0).collect();
        if !stock.is_plain() || named.len() > MAX_KINDS {
            return None;
        }
        let reach = rules.kept_gap() / 2.0;
        let skews = skews_of_each(named.len().max(1));
        // Fillings are combined in one pattern with required parts of the same item.
        let shape = |i: &usize| {
            let first = if more[*i] > 0 { 0 } else { count(*i) as u32 };
            let item = Item { quantity: first, ..items[*i].clone() };
            Shape::new(*i, &item, first_skews(&orientations[*i], skews), reach, stop)
        };
        let shapes = named.iter().map(shape).collect::<Option<Vec<Shape>>>()?;
        let (corner, bare) = room(stock, rules, reach)?;
        let kinds = Kinds::new(shapes.iter().map(|s| s.oriented.clone()).collect(), stop);
        let mut order: Vec<usize> = (0..named.len()).filter(|k| more[named[*k]] > 0).collect();
        // Required parts come first, whatever their size.
        order.sort_by_key(|k| (count(named[*k]) == 0, Reverse(shapes[*k].area), *k));
        let goal = Goal::Most(bare.length);
        let added = |kind: usize| Added {
            kind,
            present: count(named[kind]),
            more: more[named[kind]] as usize,
            patterns: Repeats::new(&kinds.oriented[kind], bare.height, stop).patterns(goal, stop),
        };
        let added = order.into_iter().map(added).collect();
        Some(Self { present, shapes, kinds, corner, bare, added, stop })
    }

    /// Keeps the parts that are there to the last bit. `None` where one of them is in an
    /// orientation that no pattern has.
    fn beside(&self) -> Option<Vec<Placed>> {
        let to_grid = |placed: &Placed| {
            let kind = self.shapes.iter().position(|s| s.item == placed.item)?;
            self.shapes[kind].to_grid(kind, placed, self.corner)
        };
        let parts = self.present.iter().map(to_grid).collect::<Option<Vec<PlacedShape>>>()?;
        let mut table = Table { parts, ..self.bare.clone() };
        for added in &self.added {
            block(&self.kinds, &mut table, added, added.more);
        }
        let new = table.parts.iter().skip(self.present.len()).map(|s| self.placed(s));
        Some(self.present.iter().copied().chain(new).collect())
    }

    /// As many of each item as there are, and more. `None` where fewer can be placed.
    fn anew(&self) -> Option<Vec<Placed>> {
        let mut table =
            fill(&self.kinds, &self.shapes, vec![self.bare.clone()], self.stop)?.pop()?;
        for added in &self.added {
            let max = added.present + added.more;
            if block(&self.kinds, &mut table, added, max) < added.present {
                return None;
            }
        }
        Some(table.parts.iter().map(|s| self.placed(s)).collect())
    }

    fn placed(&self, part: &PlacedShape) -> Placed {
        self.shapes[part.kind].placed(part, self.corner)
    }
}

/// Adds a block of a kind behind all parts, cut from one of the patterns for the whole sheet;
/// returns how many parts it has.
fn block(kinds: &Kinds, table: &mut Table, added: &Added, max: usize) -> usize {
    let kind = added.kind;
    let from = table.parts.len();
    let end = table.end(kinds);
    let thin = |ring: &Ring| extent(ring).1.x - extent(ring).0.x;
    let thinnest = kinds.oriented[kind].iter().map(|(_, ring)| thin(ring)).min();
    if thinnest.is_none_or(|thin| end + thin > table.length) {
        return 0;
    }
    let mut best: Option<Table> = None;
    for pattern in &added.patterns {
        let mut tried = table.clone();
        let placed_shape =
            |l: &PatternPart| PlacedShape { kind, orientation: l.orientation, at: l.at };
        tried.push(kinds, pattern.iter().map(placed_shape).collect());
        tried.parts[from..].sort_by_key(|s| (kinds.extent(s).1.x, s.at));
        let within = |s: &PlacedShape| kinds.extent(s).1.x <= table.length;
        let fits = tried.parts[from..].iter().take_while(|s| within(s)).count();
        tried.parts.truncate(from + fits.min(max));
        if best.as_ref().is_none_or(|b| tried.parts.len() > b.parts.len()) {
            best = Some(tried);
        }
    }
    match best {
        Some(best) if best.end(kinds) > end => {
            *table = best;
            table.parts.len() - from
        }
        _ => 0,
    }
}
