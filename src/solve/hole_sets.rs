//! Which holes of a part are one set, and the number of each set: that of the same holes on both
//! hands, also where one hand has additional holes.

use crate::part::Hole;
use crate::recipe::Hand;
use crate::solve::solved::Solved;

/// Equal holes of one entry of the recipe that follow each other in the flat.
#[derive(Clone, Copy)]
struct Set<'a> {
    hole: &'a Hole,
    /// How many holes it has.
    count: usize,
    /// Which it is of several sets that are alike, from 0.
    nth: usize,
}

impl Set<'_> {
    fn is(&self, other: &Set<'_>) -> bool {
        alike(self.hole, other.hole) && self.nth == other.nth
    }
}

fn alike(a: &Hole, b: &Hole) -> bool {
    a.span == b.span && a.size == b.size
}

/// The sets of a part, in the order of its flat.
fn sets(solved: &Solved) -> Vec<Set<'_>> {
    let holes: Vec<&Hole> =
        solved.flat.holes.iter().map(|flat| solved.part.hole(flat.id)).collect();
    let mut sets: Vec<Set> = Vec::new();
    for chunk in holes.chunk_by(|a, b| alike(a, b)) {
        let nth = sets.iter().filter(|set| alike(set.hole, chunk[0])).count();
        sets.push(Set { hole: chunk[0], count: chunk.len(), nth });
    }
    sets
}

/// The sets of both hands: those of one, with the other's additional ones inserted in order.
fn both<'a>(mut all: Vec<Set<'a>>, other: &[Set<'a>]) -> Vec<Set<'a>> {
    let mut at = 0;
    for set in other {
        match all.iter().position(|known| known.is(set)) {
            Some(known) => at = known + 1,
            None => {
                all.insert(at, *set);
                at += 1;
            }
        }
    }
    all
}

/// The other hand of a part among those of its line.
fn other_hand<'a>(solved: &Solved, all: &'a [Solved]) -> Option<&'a Solved> {
    let own = solved.part.hand?;
    let name = solved.name.strip_suffix(own.word())?;
    let is_other = |of: &&Solved| {
        let other = own.other();
        of.part.hand == Some(other) && of.name.strip_suffix(other.word()) == Some(name)
    };
    all.iter().find(is_other)
}

/// For each part of a line, by hole of its flat, the number of the hole's set, from 0.
pub(super) fn numbers(all: &[Solved]) -> Vec<Vec<usize>> {
    let of = |solved: &Solved| {
        let own = sets(solved);
        let other = other_hand(solved, all).map(sets);
        let numbered = match (solved.part.hand, other) {
            (Some(Hand::Left), Some(right)) => both(right, &own),
            (_, Some(left)) => both(own.clone(), &left),
            (_, None) => own.clone(),
        };
        let number = |set: &Set| numbered.iter().position(|known| known.is(set)).unwrap_or(0);
        own.iter().flat_map(|set| vec![number(set); set.count]).collect()
    };
    all.iter().map(of).collect()
}
