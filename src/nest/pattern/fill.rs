//! A sheet filled up with blocks of patterns.

use crate::geom::Point;
use crate::nest::pattern::best::patterns;
use crate::nest::pattern::cut::Goal;
use crate::nest::pattern::cut::Laid;
use crate::nest::pattern::job::MOST_KINDS;
use crate::nest::pattern::job::Shape;
use crate::nest::pattern::job::fill;
use crate::nest::pattern::job::first_leans;
use crate::nest::pattern::job::leans_of_each;
use crate::nest::pattern::job::room;
use crate::nest::pattern::table::Kinds;
use crate::nest::pattern::table::Seated;
use crate::nest::pattern::table::Table;
use crate::nest::problem::item::Item;
use crate::nest::problem::layout::Placed;
use crate::nest::problem::stock::Stock;
use crate::nest::shape::polygon::Ring;
use crate::nest::shape::polygon::extent;
use crate::nest::task::Task;
use std::cmp::Reverse;

/// Two ways to fill a sheet: beside what lies there, and anew, with as many of each item as
/// there were. Of each item there are `more` besides, the largest first, as far as blocks of
/// them go behind the others.
///
/// Empty where the sheet is none for patterns: no plain rectangle, many kinds, parts that are
/// turned over or aslant.
pub(crate) fn top_up(
    task: &Task,
    stock: &Stock,
    lying: &[Placed],
    more: &[u32],
) -> Vec<Vec<Placed>> {
    let Some(filling) = Filling::new(task, stock, lying, more) else { return Vec::new() };
    [filling.beside(), filling.anew()].into_iter().flatten().collect()
}

/// A sheet, and what is to be added to it.
struct Filling<'a> {
    lying: &'a [Placed],
    shapes: Vec<Shape>,
    kinds: Kinds,
    /// Where the corner of the bare table lies on the sheet.
    corner: Point,
    bare: Table,
    /// The kinds there are more of, the first to be added first.
    added: Vec<Added>,
}

/// A kind there is more of.
struct Added {
    kind: usize,
    /// How many lie on the sheet.
    lying: usize,
    /// How many more there are.
    more: usize,
    /// Patterns of it for the whole sheet.
    patterns: Vec<Vec<Laid>>,
}

impl<'a> Filling<'a> {
    fn new(task: &Task, stock: &Stock, lying: &'a [Placed], more: &[u32]) -> Option<Self> {
        let Task { items, turns, rules, .. } = task;
        let count = |i: usize| lying.iter().filter(|placed| placed.item == i).count();
        let named: Vec<usize> =
            (0..items.len()).filter(|i| more[*i] > 0 || count(*i) > 0).collect();
        if !stock.is_plain() || named.len() > MOST_KINDS {
            return None;
        }
        let reach = rules.kept_gap() / 2.0;
        let leans = leans_of_each(named.len().max(1));
        // What may be filled up goes on in one pattern with what is asked for of it.
        let shape = |i: &usize| {
            let first = if more[*i] > 0 { 0 } else { count(*i) as u32 };
            let item = Item { quantity: first, ..items[*i].clone() };
            Shape::new(*i, &item, first_leans(&turns[*i], leans), reach)
        };
        let shapes = named.iter().map(shape).collect::<Option<Vec<Shape>>>()?;
        let (corner, bare) = room(stock, rules, reach)?;
        let kinds = Kinds::new(shapes.iter().map(|s| s.turned.clone()).collect());
        let mut order: Vec<usize> = (0..named.len()).filter(|k| more[named[*k]] > 0).collect();
        // What is asked for comes first, whatever its size.
        order.sort_by_key(|k| (count(named[*k]) == 0, Reverse(shapes[*k].area), *k));
        let goal = Goal::Most(bare.length);
        let added = |kind: usize| Added {
            kind,
            lying: count(named[kind]),
            more: more[named[kind]] as usize,
            patterns: patterns(&kinds.turned[kind], bare.height, goal),
        };
        let added = order.into_iter().map(added).collect();
        Some(Self { lying, shapes, kinds, corner, bare, added })
    }

    /// What lies there stays where it was, to the last bit. `None` where it lies as no
    /// pattern has it.
    fn beside(&self) -> Option<Vec<Placed>> {
        let seated = |placed: &Placed| {
            let kind = self.shapes.iter().position(|s| s.item == placed.item)?;
            self.shapes[kind].seated(kind, placed, self.corner)
        };
        let seated = self.lying.iter().map(seated).collect::<Option<Vec<Seated>>>()?;
        let mut table = Table { seated, ..self.bare.clone() };
        for added in &self.added {
            block(&self.kinds, &mut table, added, added.more);
        }
        let new = table.seated.iter().skip(self.lying.len()).map(|s| self.placed(s));
        Some(self.lying.iter().copied().chain(new).collect())
    }

    /// As many of each item as lie there, and more. `None` where fewer find a place.
    fn anew(&self) -> Option<Vec<Placed>> {
        let mut table = fill(&self.kinds, &self.shapes, vec![self.bare.clone()])?.pop()?;
        for added in &self.added {
            let most = added.lying + added.more;
            if block(&self.kinds, &mut table, added, most) < added.lying {
                return None;
            }
        }
        Some(table.seated.iter().map(|s| self.placed(s)).collect())
    }

    fn placed(&self, seated: &Seated) -> Placed {
        self.shapes[seated.kind].placed(seated, self.corner)
    }
}

/// Puts down a block of a kind behind all that lies there, cut from one of the patterns for
/// the whole sheet: how many parts it has.
fn block(kinds: &Kinds, table: &mut Table, added: &Added, most: usize) -> usize {
    let kind = added.kind;
    let from = table.seated.len();
    let end = table.end(kinds);
    let thin = |ring: &Ring| extent(ring).1.x - extent(ring).0.x;
    let thinnest = kinds.turned[kind].iter().map(|(_, ring)| thin(ring)).min();
    if thinnest.is_none_or(|thin| end + thin > table.length) {
        return 0;
    }
    let mut best: Option<Table> = None;
    for laid in &added.patterns {
        let mut tried = table.clone();
        let seated = |l: &Laid| Seated { kind, turn: l.turn, at: l.at };
        tried.push(kinds, laid.iter().map(seated).collect());
        tried.seated[from..].sort_by_key(|s| (kinds.extent(s).1.x, s.at));
        let within = |s: &Seated| kinds.extent(s).1.x <= table.length;
        let fits = tried.seated[from..].iter().take_while(|s| within(s)).count();
        tried.seated.truncate(from + fits.min(most));
        if best.as_ref().is_none_or(|b| tried.seated.len() > b.seated.len()) {
            best = Some(tried);
        }
    }
    match best {
        Some(best) if best.end(kinds) > end => {
            *table = best;
            table.seated.len() - from
        }
        _ => 0,
    }
}
