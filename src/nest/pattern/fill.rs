//! A sheet filled up with blocks of patterns.

use crate::nest::Item;
use crate::nest::Placed;
use crate::nest::Stock;
use crate::nest::pattern::Goal;
use crate::nest::pattern::Laid;
use crate::nest::pattern::patterns;
use crate::nest::pattern::start::MOST_KINDS;
use crate::nest::pattern::start::Shape;
use crate::nest::pattern::start::fill;
use crate::nest::pattern::start::first_leans;
use crate::nest::pattern::start::leans_of_each;
use crate::nest::pattern::start::room;
use crate::nest::pattern::table::Kinds;
use crate::nest::pattern::table::Seated;
use crate::nest::pattern::table::Table;
use crate::nest::shape::Ring;
use crate::nest::shape::extent;
use crate::nest::task::Task;
use std::cmp::Reverse;

/// Two ways to fill a sheet: beside what lies there, and anew, with as many of each item as
/// there were. Of each item there are `more` besides, the largest first, as far as blocks of
/// them go behind the others.
///
/// Empty where the sheet is none for patterns: no plain rectangle, many kinds, parts that are
/// turned over or aslant.
pub(in crate::nest) fn top_up(
    task: &Task,
    stock: &Stock,
    lying: &[Placed],
    more: &[u32],
) -> Vec<Vec<Placed>> {
    let Task { items, turns, rules, .. } = task;
    let count = |i: usize| lying.iter().filter(|placed| placed.item == i).count();
    let named: Vec<usize> = (0..items.len()).filter(|i| more[*i] > 0 || count(*i) > 0).collect();
    if !stock.is_plain() || named.len() > MOST_KINDS {
        return Vec::new();
    }
    let reach = rules.kept_gap() / 2.0;
    let leans = leans_of_each(named.len().max(1));
    // What may be filled up goes on in one pattern with what is asked for of it.
    let shape = |i: &usize| {
        let first = if more[*i] > 0 { 0 } else { count(*i) as u32 };
        let item = Item { quantity: first, ..items[*i].clone() };
        Shape::new(*i, &item, first_leans(&turns[*i], leans), reach)
    };
    let Some(shapes) = named.iter().map(shape).collect::<Option<Vec<Shape>>>() else {
        return Vec::new();
    };
    let Some((corner, bare)) = room(stock, rules, reach) else { return Vec::new() };
    let kinds = Kinds::new(shapes.iter().map(|s| s.turned.clone()).collect());
    let mut order: Vec<usize> = (0..named.len()).filter(|k| more[named[*k]] > 0).collect();
    // What is asked for comes first, whatever its size.
    order.sort_by_key(|k| (count(named[*k]) == 0, Reverse(shapes[*k].area), *k));
    let patterns: Vec<Vec<Vec<Laid>>> = order
        .iter()
        .map(|k| patterns(&kinds.turned[*k], bare.height, Goal::Most(bare.length)))
        .collect();

    let mut found = Vec::new();
    let beside: Option<Vec<Seated>> = lying
        .iter()
        .map(|placed| {
            let kind = named.iter().position(|i| *i == placed.item)?;
            shapes[kind].seated(kind, placed, corner)
        })
        .collect();
    if let Some(seated) = beside {
        let mut table = Table { seated, ..bare.clone() };
        for (kind, patterns) in order.iter().zip(&patterns) {
            block(&kinds, &mut table, *kind, patterns, more[named[*kind]] as usize);
        }
        let added = table.seated.iter().skip(lying.len());
        // What lies there stays where it was, to the last bit.
        let added = added.map(|s| shapes[s.kind].placed(s, corner));
        found.push(lying.iter().copied().chain(added).collect());
    }
    let anew = fill(&kinds, &shapes, vec![bare]).and_then(|mut tables| {
        let mut table = tables.pop()?;
        for (kind, patterns) in order.iter().zip(&patterns) {
            let asked = count(named[*kind]);
            let most = asked + more[named[*kind]] as usize;
            if block(&kinds, &mut table, *kind, patterns, most) < asked {
                return None;
            }
        }
        Some(table.seated.iter().map(|s| shapes[s.kind].placed(s, corner)).collect())
    });
    found.extend(anew);
    found
}

/// Puts down a block of a kind behind all that lies there, cut from one of the patterns for
/// the whole sheet: how many parts it has.
fn block(
    kinds: &Kinds,
    table: &mut Table,
    kind: usize,
    patterns: &[Vec<Laid>],
    most: usize,
) -> usize {
    let from = table.seated.len();
    let end = table.end(kinds);
    let thin = |ring: &Ring| extent(ring).1.x - extent(ring).0.x;
    let thinnest = kinds.turned[kind].iter().map(|(_, ring)| thin(ring)).min();
    if thinnest.is_none_or(|thin| end + thin > table.length) {
        return 0;
    }
    let mut best: Option<Table> = None;
    for laid in patterns {
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
