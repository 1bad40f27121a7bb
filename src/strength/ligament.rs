//! The ligaments of a section, and the same section with its openings filled.
//!
//! How ligaments share what acts in a section depends on their centroid: an opening may move it
//! nearer to the load, and would then let the section take more.

use crate::strength::line::Line;

/// Gaps of a section of which every choice is filled. Our choice.
const MAX_GAPS: usize = 4;

/// A piece of a section between two openings.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Ligament {
    /// From here along the line, mm.
    pub(super) from: f64,
    /// To here.
    pub(super) to: f64,
    /// What holes for bolts and pins take of it.
    pub(super) holes: Vec<(f64, f64)>,
}

impl Ligament {
    /// Its metal, piece by piece.
    pub(super) fn pieces(&self) -> Vec<(f64, f64)> {
        let starts = std::iter::once(self.from).chain(self.holes.iter().map(|h| h.1));
        let ends = self.holes.iter().map(|h| h.0).chain(std::iter::once(self.to));
        starts.zip(ends).collect()
    }
}

/// A section of a face.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Cut {
    /// The line; its `toward` points to the load.
    pub(super) line: Line,
    /// In order along the line.
    pub(super) ligaments: Vec<Ligament>,
    /// How far the openings between each two ligaments extend behind and ahead of the line, mm.
    pub(super) gaps: Vec<(f64, f64)>,
}

/// As far as either of two openings reaches.
fn farther(one: (f64, f64), other: (f64, f64)) -> (f64, f64) {
    (one.0.min(other.0), one.1.max(other.1))
}

impl Cut {
    /// Where it begins and ends along its line.
    pub(super) fn ends(&self) -> [f64; 2] {
        let from = self.ligaments.first().map_or(0.0, |l| l.from);
        [from, self.ligaments.last().map_or(0.0, |l| l.to)]
    }

    /// Unchanged if there is only one ligament; else without those of which less than `min` mm is
    /// within these stretches: metal beyond an opening to which the load does not spread carries
    /// none of it.
    pub(super) fn within(&self, spread: &[(f64, f64)], min: f64) -> Self {
        if self.ligaments.len() < 2 {
            return self.clone();
        }
        let low = spread.iter().map(|s| s.0).fold(f64::INFINITY, f64::min);
        let high = spread.iter().map(|s| s.1).fold(f64::NEG_INFINITY, f64::max);
        let is_reached = |ligament: &Ligament| {
            let width = ligament.to - ligament.from;
            ligament.to.min(high) - ligament.from.max(low) >= min.min(width)
        };
        let mut kept = Self { line: self.line, ligaments: Vec::new(), gaps: Vec::new() };
        // Ligaments are bent beside the openings on either side of them.
        let mut open: Option<(f64, f64)> = None;
        for (i, ligament) in self.ligaments.iter().enumerate() {
            let gap = i.checked_sub(1).map(|before| self.gaps[before]);
            open = gap.map(|gap| open.map_or(gap, |open| farther(open, gap))).or(open);
            if !is_reached(ligament) {
                continue;
            }
            if !kept.ligaments.is_empty() {
                kept.gaps.extend(open.take());
            }
            kept.ligaments.push(ligament.clone());
        }
        if let (Some(last), Some(open)) = (kept.gaps.last_mut(), open) {
            *last = farther(*last, open);
        }
        kept
    }

    /// How far the openings between its ligaments extend behind and ahead of its line, mm.
    pub(super) fn openings(&self) -> Option<(f64, f64)> {
        self.gaps.iter().copied().reduce(farther)
    }

    /// The same with metal in these of its gaps.
    fn filled(&self, is_filled: &[bool]) -> Self {
        let mut cut = Self { line: self.line, ligaments: Vec::new(), gaps: Vec::new() };
        for (i, ligament) in self.ligaments.iter().enumerate() {
            let before = i.checked_sub(1);
            match (before, cut.ligaments.last_mut()) {
                (Some(before), Some(last)) if is_filled[before] => {
                    last.to = ligament.to;
                    last.holes.extend(&ligament.holes);
                }
                _ => {
                    cut.gaps.extend(before.map(|before| self.gaps[before]));
                    cut.ligaments.push(ligament.clone());
                }
            }
        }
        cut
    }

    /// The same with metal in some of its gaps, in every choice of them; of many gaps in all,
    /// and in all but one. A plate is allowed no more for an opening.
    pub(super) fn fillings(&self) -> Vec<Self> {
        let count = self.gaps.len();
        let choices: Vec<Vec<bool>> = match count {
            0..=MAX_GAPS => (1..1u32 << count)
                .map(|choice| (0..count).map(|i| choice & (1 << i) != 0).collect())
                .collect(),
            _ => std::iter::once(vec![true; count])
                .chain((0..count).map(|open| (0..count).map(|i| i != open).collect()))
                .collect(),
        };
        choices.iter().map(|choice| self.filled(choice)).collect()
    }
}
