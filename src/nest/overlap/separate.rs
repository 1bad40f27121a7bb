//! Overlaps driven out of a layout that is a little too tight.
//!
//! Guided local search over overlaps after Gardeyn, Vanden Berghe and Wauters
//! (arXiv 2509.13329): parts that overlap are moved, one at a time, to where their
//! overlaps count least; overlaps that last count more and more.

use crate::nest::overlap::placements::Ground;
use crate::nest::overlap::placements::Seat;
use crate::nest::overlap::relocate::relocate;
use crate::nest::random::Dice;

/// How long to try.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Patience {
    /// Rounds without less overlap before going back to the best layout seen.
    pub(crate) rounds: u32,
    /// So often in a row going back may gain little.
    pub(crate) strikes: u32,
}

/// What became of it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Parted {
    /// Nothing overlaps.
    Free,
    /// It did not come free: the overlap of the best layout, and that layout.
    Stuck(f64, Vec<Seat>),
    /// The work allowed was used up first.
    Spent,
}

/// Less overlap by this share is a gain worth another round. After the same.
const GAIN: f64 = 0.98;

/// Moves parts until none overlaps. `items` tells what each part is.
pub(crate) fn separate(
    ground: &mut Ground,
    items: &[usize],
    patience: Patience,
    until: u64,
    dice: &mut Dice,
) -> Parted {
    ground.weigh_anew();
    let total = |overlaps: &[(usize, usize, f64)]| overlaps.iter().map(|o| o.2).sum::<f64>();
    let mut overlaps = ground.overlaps();
    let mut least = (total(&overlaps), ground.parts().to_vec());
    let mut strikes = 0;
    while strikes < patience.strikes {
        let at_start = least.0;
        let mut idle = 0;
        while idle < patience.rounds {
            if overlaps.is_empty() {
                return Parted::Free;
            }
            if ground.asked >= until {
                return Parted::Spent;
            }
            sweep(ground, items, &overlaps, dice);
            overlaps = ground.overlaps();
            let loss = total(&overlaps);
            ground.weigh(&overlaps);
            idle += 1;
            if loss < least.0 {
                if loss < GAIN * least.0 {
                    idle = 0;
                }
                least = (loss, ground.parts().to_vec());
            }
        }
        strikes = if least.0 < GAIN * at_start { 0 } else { strikes + 1 };
        ground.put_all(&least.1);
        overlaps = ground.overlaps();
    }
    Parted::Stuck(least.0, least.1)
}

/// Each part that overlaps is moved once, in any order, if it still does.
fn sweep(ground: &mut Ground, items: &[usize], overlaps: &[(usize, usize, f64)], dice: &mut Dice) {
    let mut parts: Vec<usize> = overlaps.iter().flat_map(|o| [o.0, o.1]).collect();
    parts.sort_unstable();
    parts.dedup();
    parts.retain(|p| *p < items.len());
    dice.shuffle(&mut parts);
    for part in parts {
        let seat = ground.parts()[part];
        if !ground.is_free(part, &seat) {
            relocate(ground, items[part], part, dice);
        }
    }
}
