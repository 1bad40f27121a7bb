//! The cells of a sheet: which are occupied, and where something still fits.

use crate::nest::shape::mask::Mask;
use crate::nest::shape::mask::Run;
use std::collections::BTreeSet;

/// A cell, or a step of cells to the right and up.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Cell {
    pub(super) column: usize,
    pub(super) row: usize,
}

/// The cells of one sheet, a bit each. A column is stored in consecutive words, so that 64 cells
/// above each other are tested at once.
pub(super) struct Grid {
    /// Words to a column.
    words: usize,
    taken: Vec<u64>,
    /// The longest free run of each column: most columns of a full sheet need no closer look.
    longest: Vec<u32>,
}

impl Grid {
    pub(super) fn new(columns: usize, rows: usize) -> Self {
        let words = rows.div_ceil(64);
        Self { words, taken: vec![0; columns * words], longest: vec![(words * 64) as u32; columns] }
    }

    /// Moves the cursor on to the leftmost, then lowest place at or after it that is free
    /// and not beyond `max`. False when there is none; the cursor is then past `max`.
    pub(super) fn seek(&self, mask: &Mask, cursor: &mut Cell, max: Cell) -> bool {
        while cursor.column <= max.column {
            let roomy =
                |run: &Run| self.longest[cursor.column + run.column as usize] >= run.to - run.from;
            if mask.runs.iter().all(roomy)
                && let Some(row) = self.free_row(mask, *cursor, max.row)
            {
                cursor.row = row;
                return true;
            }
            *cursor = Cell { column: cursor.column + 1, row: 0 };
        }
        false
    }

    /// Takes the cells of the mask.
    pub(super) fn take(&mut self, mask: &Mask, at: Cell) {
        for run in &mask.runs {
            self.set(run, at);
        }
        for column in at.column..at.column + mask.columns {
            self.longest[column] = longest_free(self.column(column));
        }
    }

    /// Closes cells for good.
    pub(super) fn close(&mut self, runs: &[Run]) {
        for run in runs {
            self.set(run, Cell::default());
        }
        for column in runs.iter().map(|run| run.column as usize).collect::<BTreeSet<_>>() {
            self.longest[column] = longest_free(self.column(column));
        }
    }

    fn set(&mut self, run: &Run, at: Cell) {
        let start = (at.column + run.column as usize) * self.words;
        let (from, to) = (at.row + run.from as usize, at.row + run.to as usize);
        for w in from / 64..=(to - 1) / 64 {
            self.taken[start + w] |= within(w, from, to);
        }
    }

    fn column(&self, column: usize) -> &[u64] {
        &self.taken[column * self.words..(column + 1) * self.words]
    }

    /// The lowest free row of a column at or above the given one. Each obstacle is
    /// jumped over as a whole.
    fn free_row(&self, mask: &Mask, at: Cell, max: usize) -> Option<usize> {
        let mut row = at.row;
        'jump: while row <= max {
            for run in &mask.runs {
                let column = self.column(at.column + run.column as usize);
                let (from, to) = (run.from as usize, run.to as usize);
                if let Some(top) = obstacle(column, row + from, row + to) {
                    row = top - from;
                    continue 'jump;
                }
            }
            return Some(row);
        }
        None
    }
}

/// The bits of word `w` in the rows `from..to`, which reach into it.
fn within(w: usize, from: usize, to: usize) -> u64 {
    let mut bits = u64::MAX;
    if w == from / 64 {
        bits &= u64::MAX << (from % 64);
    }
    if w == (to - 1) / 64 {
        bits &= u64::MAX >> (63 - (to - 1) % 64);
    }
    bits
}

/// The row above the highest obstacle that reaches into the rows `from..to`.
fn obstacle(column: &[u64], from: usize, to: usize) -> Option<usize> {
    for w in (from / 64..=(to - 1) / 64).rev() {
        let hit = column[w] & within(w, from, to);
        if hit != 0 {
            return Some(top(column, w * 64 + 63 - hit.leading_zeros() as usize));
        }
    }
    None
}

/// The first free row above a taken one.
fn top(column: &[u64], row: usize) -> usize {
    let mut w = row / 64;
    let mut free = !column[w] & (u64::MAX << (row % 64));
    while free == 0 {
        w += 1;
        match column.get(w) {
            Some(word) => free = !word,
            None => return w * 64,
        }
    }
    w * 64 + free.trailing_zeros() as usize
}

fn longest_free(column: &[u64]) -> u32 {
    let (mut longest, mut run) = (0, 0);
    for word in column {
        if *word == 0 {
            run += 64;
            continue;
        }
        let (mut rest, mut bits) = (*word, 64);
        while rest != 0 {
            let free = rest.trailing_zeros();
            longest = longest.max(run + free);
            run = 0;
            rest >>= free;
            let full = rest.trailing_ones();
            bits -= free + full;
            rest = if full == 64 { 0 } else { rest >> full };
        }
        run = bits;
    }
    longest.max(run)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn column(bits: &[bool]) -> Vec<u64> {
        let mut words = vec![0u64; bits.len().div_ceil(64)];
        for (i, _) in bits.iter().enumerate().filter(|(_, b)| **b) {
            words[i / 64] |= 1 << (i % 64);
        }
        words
    }

    proptest! {
        /// Against the plain way, bit by bit.
        #[test]
        fn words_agree_with_bits(
            bits in prop::collection::vec(prop::bool::weighted(0.2), 192),
            a in 0usize..192,
            b in 0usize..192,
        ) {
            let (from, to) = (a.min(b), a.max(b) + 1);
            let words = column(&bits);
            let hit = (from..to).rev().find(|i| bits[*i]);
            let above = hit.map(|h| (h..192).find(|i| !bits[*i]).unwrap_or(192));
            prop_assert_eq!(obstacle(&words, from, to), above);
            let longest = bits.split(|b| *b).map(<[bool]>::len).max().unwrap();
            prop_assert_eq!(longest_free(&words) as usize, longest);
        }
    }

    #[test]
    fn full_and_empty_words_have_no_seams() {
        assert_eq!(longest_free(&[0, 0]), 128);
        assert_eq!(longest_free(&[u64::MAX, 0]), 64);
        assert_eq!(longest_free(&[1, 1 << 63]), 126);
        assert_eq!(obstacle(&[u64::MAX, 1], 0, 64), Some(65));
    }
}
