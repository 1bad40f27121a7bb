//! Separation: overlaps are driven out of a layout that is a little too short.
//!
//! Guided local search over overlaps after Gardeyn, Vanden Berghe and Wauters, "An open-source
//! heuristic to reboot 2D nesting research", arXiv 2509.13329 (2025): parts that overlap are moved,
//! one at a time, to where their weighted overlap is least; the weights of overlaps that persist
//! grow.

use crate::nest::overlap::placements::Placement;
use crate::nest::overlap::placements::Placements;
use crate::nest::overlap::relocate::relocate;
use crate::nest::random::Rng;

/// How long a separation tries.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Patience {
    /// Sweeps without a gain before it returns to the best layout seen.
    pub(crate) rounds: u32,
    /// Returns in a row after which it gives up, when they gain little.
    pub(crate) strikes: u32,
}

/// The result of a separation.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Separation {
    /// Nothing overlaps.
    Free,
    /// Overlaps are left: that of the best layout, and that layout.
    Stuck(f64, Vec<Placement>),
    /// The budget was used up first, or the work had to end.
    Spent,
}

/// An overlap below this share of the former one is a gain: arXiv 2509.13329.
const GAIN: f64 = 0.98;

/// Moves parts until none overlaps. `items` names the item of each part.
pub(crate) fn separate(
    placements: &mut Placements,
    items: &[usize],
    patience: Patience,
    until: u64,
    rng: &mut Rng,
) -> Separation {
    placements.weigh_anew();
    let total = |overlaps: &[(usize, usize, f64)]| overlaps.iter().map(|o| o.2).sum::<f64>();
    let mut overlaps = placements.overlaps();
    let mut min = (total(&overlaps), placements.parts().to_vec());
    let mut strikes = 0;
    while strikes < patience.strikes {
        let at_start = min.0;
        let mut idle = 0;
        while idle < patience.rounds {
            if overlaps.is_empty() {
                return Separation::Free;
            }
            if placements.asked >= until || placements.must_end() {
                return Separation::Spent;
            }
            sweep(placements, items, &overlaps, rng);
            overlaps = placements.overlaps();
            let loss = total(&overlaps);
            placements.weigh(&overlaps);
            idle += 1;
            if loss < min.0 {
                if loss < GAIN * min.0 {
                    idle = 0;
                }
                min = (loss, placements.parts().to_vec());
            }
        }
        strikes = if min.0 < GAIN * at_start { 0 } else { strikes + 1 };
        placements.put_all(&min.1);
        overlaps = placements.overlaps();
    }
    Separation::Stuck(min.0, min.1)
}

/// Moves each part that overlaps once, in random order, if it still overlaps.
fn sweep(
    placements: &mut Placements,
    items: &[usize],
    overlaps: &[(usize, usize, f64)],
    rng: &mut Rng,
) {
    let mut parts: Vec<usize> = overlaps.iter().flat_map(|o| [o.0, o.1]).collect();
    parts.sort_unstable();
    parts.dedup();
    parts.retain(|p| *p < items.len());
    rng.shuffle(&mut parts);
    for part in parts {
        if placements.must_end() {
            return;
        }
        let placement = placements.parts()[part];
        if !placements.is_free(part, &placement) {
            relocate(placements, items[part], part, rng);
        }
    }
}
