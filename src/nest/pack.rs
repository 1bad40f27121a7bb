//! The first layout: one part after the other, each as far left as possible, on a grid of cells.

mod attempt;
mod grid;
mod in_rows;
mod job;
mod packing;
mod room;
mod shape;

pub(super) use in_rows::in_rows;
pub(super) use packing::Packing;

use crate::nest::pack::attempt::Attempt;
use crate::nest::pack::job::Job;
use crate::nest::pack::job::Look;
use crate::nest::pack::job::WAYS;
use crate::nest::pack::job::Way;
use crate::nest::pack::room::orders_of_stock;
use crate::nest::pack::room::rooms;
use crate::nest::pack::shape::ItemsToPack;
use crate::nest::problem::layout::Unplaced;
use crate::nest::problem::layout::Why;
use crate::nest::task::Task;
use rayon::prelude::*;

/// How many strategies are tried.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Care {
    /// All of them.
    Full,
    /// The first few, in quarter turns where these fit: for packings that are repeated often.
    Quick,
}

/// Strategies tried for a large job. Our choice.
const FEW: usize = 2;

/// Packs the items by the best of several strategies.
pub(super) fn pack(task: Task, care: Care) -> Packing {
    let reach = task.rules.kept_gap() / 2.0;
    let (rooms, cell) = rooms(&task, reach);
    let ItemsToPack { shapes, asked, mut unplaced } = ItemsToPack::new(&task, &rooms, reach, cell);
    let job = Job { cell, reach, rooms: &rooms, shapes: &shapes, stop: task.stop };
    let orders = orders_of_stock(task.stock, &rooms);
    let tries = tries(&job, &orders, &asked, care);
    let attempts: Vec<Attempt> =
        tries.par_iter().map(|(way, order)| job.attempt(*way, order, &asked)).collect();
    let Some(best) = attempts.into_iter().min_by(Attempt::compare) else {
        return Packing { patterns: Vec::new(), unplaced };
    };
    for (shape, left) in shapes.iter().zip(best.left) {
        if left > 0 {
            let why = Why::NoSheetLeft;
            unplaced.push(Unplaced { item: shape.item, quantity: left, why });
        }
    }
    Packing { patterns: best.patterns, unplaced }
}

/// The strategies to try, each with an order of the stock.
fn tries<'a>(
    job: &Job,
    orders: &'a [Vec<usize>],
    asked: &[u32],
    care: Care,
) -> Vec<(Way, &'a Vec<usize>)> {
    let few = care == Care::Quick || job.is_large(asked);
    let ways = if few { &WAYS[..FEW] } else { &WAYS[..] };
    let skewed = care == Care::Full && job.shapes.iter().any(|s| s.quarter_turns < s.masks.len());
    let looks = [Look::QuarterTurns, Look::AllRotations].into_iter().take(1 + usize::from(skewed));
    looks
        .flat_map(|look| orders.iter().map(move |order| (look, order)))
        .flat_map(|(look, order)| ways.iter().map(move |way| (Way(way.0, way.1, look), order)))
        .collect()
}
