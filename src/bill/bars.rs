//! How tubes are cut from bars of one length: as few bars as possible.
//!
//! Pieces are placed by size, each on the fullest bar that takes it. Where that may be beaten, branch
//! and bound tries every other way, up to a limit; the bound is that of Martello and Toth, "Lower
//! bounds and reduction procedures for the bin packing problem" (1990), from memory.

/// Steps of branch and bound that are tried: some tenths of a second. Our choice.
const WORK: u64 = 400_000;

/// Lengths that differ by less are one, mm: rounding.
const SAME: f64 = 1e-6;

/// Pieces on bars.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Packing {
    /// By bar, the indices of its pieces, the longest first.
    pub(crate) bars: Vec<Vec<usize>>,
    /// No fewer bars take all pieces.
    pub(crate) least: usize,
}

/// Packs pieces of these lengths, mm, on bars of one length, with a saw of this kerf. A piece longer
/// than a bar is left out.
pub(crate) fn pack(lengths: &[f64], bar: f64, kerf: f64) -> Packing {
    // Of n pieces a bar loses at most n − 1 kerfs and its offcut: as if it were one kerf longer and
    // so were each piece.
    let room = bar + kerf;
    let mut order: Vec<usize> = (0..lengths.len()).filter(|i| lengths[*i] <= bar + SAME).collect();
    order.sort_by(|a, b| lengths[*b].total_cmp(&lengths[*a]));
    let sizes: Vec<f64> = order.iter().map(|i| (lengths[*i] + kerf).min(room)).collect();
    let least = bound(&sizes, room);
    let mut search =
        Search { sizes: &sizes, room, best: best_fit(&sizes, room), left: WORK, least };
    let complete = search.best.len() <= least || {
        let mut open = Vec::new();
        search.branch(0, &mut open)
    };
    let least = if complete { search.best.len() } else { least };
    let bars = search.best.into_iter().map(|bar| bar.into_iter().map(|i| order[i]).collect());
    Packing { bars: bars.collect(), least }
}

/// Each piece on the fullest bar that takes it, the longest first.
fn best_fit(sizes: &[f64], room: f64) -> Vec<Vec<usize>> {
    let mut bars: Vec<(f64, Vec<usize>)> = Vec::new();
    for (i, size) in sizes.iter().enumerate() {
        let fits = bars.iter_mut().filter(|(left, _)| *left + SAME >= *size);
        match fits.min_by(|a, b| a.0.total_cmp(&b.0)) {
            Some((left, pieces)) => {
                *left -= size;
                pieces.push(i);
            }
            None => bars.push((room - size, vec![i])),
        }
    }
    bars.into_iter().map(|(_, pieces)| pieces).collect()
}

/// No fewer bars take pieces of these sizes: pieces of more than half a bar have one each, and what
/// is no smaller than a limit finds room beside no piece that leaves less than that.
fn bound(sizes: &[f64], room: f64) -> usize {
    let limits = sizes.iter().copied().filter(|size| *size <= room / 2.0).chain([0.0]);
    let of = |limit: f64| {
        let whole = sizes.iter().filter(|size| **size > room - limit + SAME).count();
        let half =
            sizes.iter().filter(|size| **size > room / 2.0 + SAME && **size <= room - limit + SAME);
        let (mut halves, mut free) = (0, 0.0);
        for size in half {
            halves += 1;
            free += room - size;
        }
        let small =
            sizes.iter().filter(|size| **size >= limit - SAME && **size <= room / 2.0 + SAME);
        let more = ((small.sum::<f64>() - free) / room - SAME).ceil().max(0.0);
        whole + halves + more as usize
    };
    limits.map(of).max().unwrap_or(0)
}

struct Search<'a> {
    sizes: &'a [f64],
    room: f64,
    best: Vec<Vec<usize>>,
    /// Steps that may still be made.
    left: u64,
    least: usize,
}

impl Search<'_> {
    /// Places the pieces from the `next` one on in every way that may need fewer bars than the best
    /// found; `false` when it was cut short.
    fn branch(&mut self, next: usize, open: &mut Vec<(f64, Vec<usize>)>) -> bool {
        if self.left == 0 {
            return false;
        }
        self.left -= 1;
        let Some(size) = self.sizes.get(next).copied() else {
            if open.len() < self.best.len() {
                self.best = open.iter().map(|(_, pieces)| pieces.clone()).collect();
            }
            return true;
        };
        let rest: f64 = self.sizes[next..].iter().sum();
        let free: f64 = open.iter().map(|(left, _)| left).sum();
        let more = ((rest - free) / self.room - SAME).ceil().max(0.0) as usize;
        if open.len() + more >= self.best.len() {
            return true;
        }
        let mut complete = true;
        let mut tried: Vec<f64> = Vec::new();
        for bar in 0..open.len() {
            let left = open[bar].0;
            // Bars with the same room are alike.
            if left + SAME < size || tried.iter().any(|other| (other - left).abs() < SAME) {
                continue;
            }
            tried.push(left);
            open[bar].0 -= size;
            open[bar].1.push(next);
            complete &= self.branch(next + 1, open);
            open[bar].1.pop();
            open[bar].0 = left;
            if self.best.len() <= self.least {
                return true;
            }
        }
        if open.len() + 1 < self.best.len() {
            open.push((self.room - size, vec![next]));
            complete &= self.branch(next + 1, open);
            open.pop();
        }
        complete
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The fewest bars by trying all ways, for a few pieces.
    fn fewest(lengths: &[f64], bar: f64, kerf: f64) -> usize {
        fn place(rest: &[f64], open: &mut Vec<f64>, (bar, kerf): (f64, f64)) -> usize {
            let Some((first, rest)) = rest.split_first() else { return open.len() };
            let mut best = usize::MAX;
            for i in 0..open.len() {
                let left = open[i];
                if kerf + first <= left + SAME {
                    open[i] = left - kerf - first;
                    best = best.min(place(rest, open, (bar, kerf)));
                    open[i] = left;
                }
            }
            open.push(bar - first);
            best = best.min(place(rest, open, (bar, kerf)));
            open.pop();
            best
        }
        place(lengths, &mut Vec::new(), (bar, kerf))
    }

    fn used(packing: &Packing, lengths: &[f64], kerf: f64) -> Vec<f64> {
        let of = |bar: &Vec<usize>| {
            bar.iter().map(|i| lengths[*i]).sum::<f64>() + kerf * (bar.len() as f64 - 1.0)
        };
        packing.bars.iter().map(of).collect()
    }

    #[test]
    fn few_pieces_take_the_fewest_bars_there_are() {
        let mut seed = 7_u64;
        let mut next = |most: u64| {
            seed = seed
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (seed >> 33) % most
        };
        let mut beaten = 0;
        for _ in 0..400 {
            let lengths: Vec<f64> = (0..2 + next(6)).map(|_| 400.0 + next(3600) as f64).collect();
            let kerf = next(4) as f64;
            let packing = pack(&lengths, 6000.0, kerf);
            let wanted = fewest(&lengths, 6000.0, kerf);
            assert_eq!((packing.bars.len(), packing.least), (wanted, wanted), "{lengths:?}");
            assert!(used(&packing, &lengths, kerf).iter().all(|mm| *mm <= 6000.0 + SAME));
            let mut all: Vec<usize> = packing.bars.concat();
            all.sort_unstable();
            assert!(all.into_iter().eq(0..lengths.len()));
            beaten += usize::from(wanted > 1);
        }
        assert!(beaten > 200, "{beaten}");
    }

    /// By size, 45 and 34 are combined with 20 each and need a third bar; 45 + 34 + 20 fills one.
    #[test]
    fn the_search_beats_pieces_placed_by_size() {
        let lengths = [44.0, 24.0, 24.0, 22.0, 21.0, 17.0, 8.0, 8.0, 6.0, 6.0];
        let sorted: Vec<f64> = lengths.to_vec();
        assert_eq!(best_fit(&sorted, 61.0).len(), 4);
        let packing = pack(&lengths, 61.0, 0.0);
        assert_eq!((packing.bars.len(), packing.least), (3, 3));
    }

    /// The last piece of a bar that is used up takes no kerf.
    #[test]
    fn a_bar_that_is_used_up_loses_a_kerf_between_pieces_only() {
        assert_eq!(pack(&[2000.0, 1998.0, 1998.0], 6000.0, 2.0).bars.len(), 1);
        assert_eq!(pack(&[2000.0, 1998.0, 1998.5], 6000.0, 2.0).bars.len(), 2);
        let long = pack(&[7000.0, 100.0], 6000.0, 2.0);
        assert_eq!(long.bars, [[1]]);
    }

    /// The search with many pieces ends soon, with a bound on its distance from the optimum.
    #[test]
    fn many_pieces_have_a_bound() {
        let lengths: Vec<f64> = (0..300).map(|i| 700.0 + f64::from(i * 37 % 1900)).collect();
        let packing = pack(&lengths, 6000.0, 2.0);
        let total: f64 = lengths.iter().map(|mm| mm + 2.0).sum();
        assert!(packing.least as f64 >= total / 6002.0);
        assert!(packing.bars.len() >= packing.least && packing.bars.len() <= packing.least + 3);
    }
}
