//! Holes: their letters, their callouts, and their positions if there are many.

use crate::draw;
use crate::draw::Finishing;
use crate::drawings::hole_angle;
use crate::flat::to_origin;
use crate::job::Job;
use crate::num;
use crate::paper::Block;
use crate::paper::Callout;
use crate::paper::Cell;
use crate::paper::Plan;
use crate::paper::Spot;
use crate::paper::Table;
use crate::paper::figure_text;
use crate::part;
use crate::part::Hole;
use crate::recipe::Making;
use crate::solve;
use crate::solve::Solved;

/// The heading of the table of hole sizes.
pub(super) const SIZES: &str = "Hole sizes";

/// The heading of the table of hole centres.
pub(super) const CENTRES: &str = "Hole centres, X, Y from datum";

/// Above this number of holes their places are in a table and not at the flat. Our choice.
pub(super) const MANY: usize = 12;
/// More holes than this are listed in three columns. Our choice.
const TWO_COLUMNS: usize = 24;

/// Equal holes of one entry of the recipe.
pub(super) struct Set<'a> {
    /// `A`, `B`, … `Z`, `AA`.
    pub(super) letter: String,
    /// Each hole with its number in the flat.
    pub(super) holes: Vec<(usize, &'a Hole)>,
}

impl Set<'_> {
    /// The letter of its hole of an index: with a number where there are several.
    pub(super) fn label(&self, index: usize) -> String {
        match self.holes.len() {
            1 => self.letter.clone(),
            _ => format!("{}{}", self.letter, index + 1),
        }
    }

    /// Any of its holes: they are alike.
    pub(super) fn hole(&self) -> &Hole {
        self.holes[0].1
    }
}

/// Whether holes come from the right to the left, or from above, as they do on a face that lies the
/// other way round in the flat. Those on a circle go round it.
fn is_backwards(solved: &Solved, holes: &[(usize, &Hole)]) -> bool {
    let [(first, hole), .., (last, _)] = holes else { return false };
    let [first, last] = [first, last].map(|i| solved.flat.holes[*i].outline.bounds().centre());
    let up = num::on_grid(last.y - first.y);
    hole.circle.is_none() && (up < 0.0 || (up == 0.0 && last.x < first.x))
}

/// The holes of a part in sets, in the order of the flat: each from the left, then upwards.
pub(super) fn sets(solved: &Solved) -> Vec<Set<'_>> {
    let holes = solved.flat.holes.iter().map(|flat| solved.part.hole(flat.id));
    let all: Vec<(usize, &Hole)> = holes.enumerate().collect();
    let number = |hole: &(usize, &Hole)| solved.hole_sets[hole.0];
    let chunks = all.chunk_by(|a, b| number(a) == number(b));
    let set = |mut holes: Vec<_>| {
        if is_backwards(solved, &holes) {
            holes.reverse();
        }
        Set { letter: letter(number(&holes[0])), holes }
    };
    chunks.map(|holes| set(holes.to_vec())).collect()
}

/// Whether a part has one hole or cut-out alone, which needs no letter.
pub(super) fn is_single(solved: &Solved) -> bool {
    solved.flat.holes.len() + solved.flat.gaps().len() == 1
}

/// `A` to `Z`, then `AA` and so on.
pub(super) fn letter(mut index: usize) -> String {
    let mut letters = Vec::new();
    loop {
        letters.push(char::from(b'A' + u8::try_from(index % 26).unwrap_or(0)));
        if index < 26 {
            break;
        }
        index = index / 26 - 1;
    }
    letters.iter().rev().collect()
}

/// The letter of each hole, with its number in the flat.
pub(crate) fn letters(solved: &Solved) -> Vec<(String, usize)> {
    let sets = sets(solved);
    let of = |set: &Set<'_>| -> Vec<(String, usize)> {
        set.holes.iter().enumerate().map(|(i, (hole, _))| (set.label(i), *hole)).collect()
    };
    sets.iter().flat_map(of).collect()
}

/// The holes with their letters, the lower left corner of the flat at the origin.
pub(super) fn spots(solved: &Solved, sets: &[Set]) -> Vec<Spot> {
    let place = to_origin(&solved.flat.region);
    let spot = |(set, index): (&Set, usize)| {
        let outline = solved.flat.holes[set.holes[index].0].outline.moved(&place);
        Spot { label: set.label(index), at: outline.bounds().centre(), outline }
    };
    let all = sets.iter().flat_map(|set| (0..set.holes.len()).map(move |i| (set, i)));
    all.map(spot).collect()
}

/// The steps in which a hole is made, with lengths as figures.
pub(super) fn steps(hole: &Hole, job: &Job) -> Finishing {
    draw::finishing(hole, job.units, &|mm| figure_text(job.units, mm))
}

/// The fastener of a hole: the row behind the input it names.
pub(super) fn takes(hole: &Hole, job: &Job, solved: &Solved) -> Option<String> {
    let name = hole.through.as_deref()?;
    Some(solved.params.get(name).map_or_else(|| name.to_owned(), |v| v.show(job.units)))
}

/// The holes of a set in one line: `A1–A4: pilot Ø5, drill Ø9 after assembly, for M8`.
pub(super) fn line(set: &Set, job: &Job, solved: &Solved) -> String {
    let hole = set.hole();
    let letters = match set.holes.len() {
        1 => set.letter.clone(),
        n => format!("{}–{}", set.label(0), set.label(n - 1)),
    };
    let steps = steps(hole, job);
    let bolt = takes(hole, job, solved).map(|what| is_for(hole, &what));
    let joint = solve::joint_of(job, solved, hole).map(|name| format!("joint {name}"));
    let words = [Some(steps.as_cut.clone()), steps.after(), bolt, joint];
    let words: Vec<String> = words.into_iter().flatten().collect();
    format!("{letters}: {}", words.join(", "))
}

/// The size of each kind of hole with its count, and any finishing.
pub(super) fn callouts(job: &Job, solved: &Solved, sets: &[Set], spots: &[Spot]) -> Vec<Callout> {
    let mut callouts: Vec<(Vec<String>, Vec<usize>)> = Vec::new();
    let mut sizes = Vec::new();
    let mut first = 0;
    for set in sets {
        let all: Vec<usize> = (first..first + set.holes.len()).collect();
        first += set.holes.len();
        sizes.extend(all.iter().map(|_| set.hole().size));
        let lines = callout_lines(set.hole(), job, solved);
        match callouts.iter_mut().find(|(other, _)| *other == lines) {
            Some((_, of)) => of.extend(all),
            None => callouts.push((lines, all)),
        }
    }
    let counted = |(mut lines, of): (Vec<String>, Vec<usize>)| {
        if of.len() > 1 {
            lines[0] = format!("{}× {}", of.len(), lines[0]);
        }
        let lies = of.iter().filter_map(|i| hole_angle::of(job, sizes[*i], &spots[*i], spots));
        lines.splice(1..1, hole_angle::lines(&lies.collect::<Vec<_>>()));
        Callout { lines, letters: named(spots, &of), of }
    };
    callouts.into_iter().map(counted).collect()
}

/// Holes by their letters: three and more in a row of one letter as `A1–A4`.
fn named(spots: &[Spot], of: &[usize]) -> String {
    let letter = |i: usize| spots[i].label.trim_end_matches(|sign: char| sign.is_ascii_digit());
    let runs = of.chunk_by(|a, b| a + 1 == *b && letter(*a) == letter(*b));
    let words = |run: &[usize]| match run {
        [first, _, .., last] => format!("{}–{}", spots[*first].label, spots[*last].label),
        few => few.iter().map(|i| spots[*i].label.as_str()).collect::<Vec<_>>().join(", "),
    };
    runs.map(words).collect::<Vec<_>>().join(", ")
}

/// Labels in their order, three and more in a row of one letter as `A1–A4`.
pub(crate) fn runs<S: AsRef<str>>(labels: &[S]) -> String {
    let parted = |label: &str| {
        let letters = label.trim_end_matches(|sign: char| sign.is_ascii_digit());
        label[letters.len()..].parse::<u32>().ok().map(|number| (letters.to_owned(), number))
    };
    let follows = |a: &S, b: &S| match (parted(a.as_ref()), parted(b.as_ref())) {
        (Some((one, i)), Some((other, k))) => one == other && i + 1 == k,
        _ => false,
    };
    let words = |run: &[S]| match run {
        [first, _, .., last] => format!("{}–{}", first.as_ref(), last.as_ref()),
        few => few.iter().map(AsRef::as_ref).collect::<Vec<_>>().join(", "),
    };
    labels.chunk_by(follows).map(words).collect::<Vec<_>>().join(", ")
}

/// The callout of a hole: a thread before its tap drill, else the size as cut; then the rest.
fn callout_lines(hole: &Hole, job: &Job, solved: &Solved) -> Vec<String> {
    let Finishing { as_cut, finish, recess } = steps(hole, job);
    let is_tapped = hole.making == Making::Tap && as_cut.ends_with("tap drill");
    let mut lines = match (finish, is_tapped) {
        (Some(finish), true) => {
            let drill = as_cut.trim_end_matches("tap drill").trim_end();
            vec![finish, format!("(tap drill {drill})")]
        }
        (Some(finish), false) => vec![as_cut, finish],
        (None, _) => vec![as_cut],
    };
    lines.extend(hole.circle.map(|d| format!("on a circle of Ø{}", figure_text(job.units, d))));
    lines.extend(recess);
    let through = takes(hole, job, solved).filter(|through| {
        // A thread says its size already.
        !lines.iter().any(|line| line.contains(through.as_str()))
    });
    lines.extend(through.map(|through| is_for(hole, &through)));
    lines.extend(solve::joint_of(job, solved, hole).map(|name| format!("joint {name}")));
    lines
}

/// The purpose of a hole: a bolt through it, or a nut in it.
fn is_for(hole: &Hole, what: &str) -> String {
    let nut = hole.row.as_deref().filter(|row| row.table() == "nut");
    match nut.map(|nut| part::seat(hole, nut)) {
        None => format!("for {what}"),
        Some(part::Seat::Behind) => format!("for the {what} nut behind it"),
        Some(_) => format!("seat for {what} nut"),
    }
}

/// The positions of many holes; `None` if they are in the flat.
pub(super) fn table(job: &Job, spots: &[Spot]) -> Option<Block> {
    if spots.len() <= MANY {
        return None;
    }
    let columns = if spots.len() > TWO_COLUMNS { 3 } else { 2 };
    let down = spots.len().div_ceil(columns);
    let cells = |i: usize| -> Vec<Cell> {
        (0..columns)
            .flat_map(|column| match spots.get(column * down + i) {
                Some(spot) => [
                    spot.label.clone(),
                    figure_text(job.units, spot.centre().x),
                    figure_text(job.units, spot.centre().y),
                ],
                None => Default::default(),
            })
            .map(Cell::Words)
            .collect()
    };
    let heads = (0..columns).flat_map(|_| ["hole", "X", "Y"].map(String::from));
    Some(Block::Table(Table {
        heading: CENTRES.into(),
        heads: heads.collect(),
        rows: (0..down).map(cells).collect(),
        beside: 1,
    }))
}

/// The sizes of many holes as cut, and any finishing; `None` if they are in the flat.
pub(super) fn sizes(plan: &Plan) -> Option<Block> {
    let row = |callout: &Callout| {
        let words = callout.lines.join(", ").replace(", (", " (");
        vec![Cell::Words(callout.letters.clone()), Cell::Words(words)]
    };
    plan.tabled.then(|| {
        Block::Table(Table {
            heading: SIZES.into(),
            heads: ["holes", "size"].map(String::from).to_vec(),
            rows: plan.callouts.iter().map(row).collect(),
            beside: 1,
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_in_a_row_are_named_by_the_first_and_the_last() {
        let labels = ["A1", "A3", "B7", "B8", "B9", "C", "D1", "D2", "E12", "E13", "E14"];
        assert_eq!(runs(&labels), "A1, A3, B7–B9, C, D1, D2, E12–E14");
        assert_eq!(runs::<&str>(&[]), "");
    }

    #[test]
    fn letters_go_on_behind_z() {
        let letters = [0, 25, 26, 51, 52, 701, 702].map(letter);
        assert_eq!(letters, ["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"]);
    }
}
