//! The measurable dimensions of a part, with those of the drawing.

use crate::as_built::model::At;
use crate::as_built::model::Model;
use crate::as_built::target::Target;
use crate::as_built::words;
use crate::diag::HoleId;
use crate::job::Job;
use crate::job::What;
use crate::part::Part;
use crate::solve::Solved;

/// Maximum number of pairs of holes of a part that are named: others can be typed. Our choice.
const PAIRS: usize = 40;

/// Something that can be measured.
#[derive(Clone, Debug, PartialEq)]
pub struct Measurable {
    /// What.
    pub what: What,
    /// Of which faces, bends or holes, as a job names them.
    pub of: Vec<String>,
    /// In words.
    pub words: String,
    /// As drawn, bare and over the coating, mm or degrees.
    pub asked: [f64; 2],
}

impl Measurable {
    /// One of the two values as printed.
    pub fn show(&self, job: &Job, coated: bool) -> String {
        words::value(job, self.what.is_angle(), self.asked[usize::from(coated)])
    }
}

/// Everything that can be measured on the part of this index.
pub fn measurable(job: &Job, solved: &[Solved], part: usize) -> Vec<Measurable> {
    let targets = targets(&solved[part].part);
    let at = |target: Target, coated: bool| At { part, piece: 1, target, coated, deduction: None };
    // Nothing is off here: no cause matters.
    let model = Model::new(job, solved, &[]);
    let nothing = vec![0.0; model.causes.len()];
    let one = |(of, target): (Vec<String>, Target)| Measurable {
        what: words::what(target),
        of,
        words: words::target(&model, &at(target, false)),
        asked: [false, true].map(|coated| model.predicted(&at(target, coated), &nothing)),
    };
    targets.into_iter().map(one).collect()
}

fn targets(part: &Part) -> Vec<(Vec<String>, Target)> {
    let mut all = Vec::new();
    if part.clevis.is_some() {
        all.push((Vec::new(), Target::Gap));
    }
    for (i, bend) in part.bends.iter().enumerate() {
        for face in [bend.to, bend.from] {
            let of = vec![part.faces[face].name.clone(), bend.name.clone()];
            all.push((of, Target::Outside { face, bend: i }));
        }
        let of = || vec![bend.name.clone()];
        all.extend([(of(), Target::Angle(i)), (of(), Target::Radius(i))]);
    }
    let name = |id: HoleId| {
        let hole = &part.hole(id).name;
        let is_one = part.holes().filter(|(_, other)| other.name == *hole).count() == 1;
        if is_one { hole.clone() } else { format!("{}.{hole}", part.faces[id.face].name) }
    };
    let holes: Vec<HoleId> = part.holes().map(|(id, _)| id).collect();
    let round = holes.iter().filter(|id| part.hole(**id).diameter().is_some());
    all.extend(round.map(|id| (vec![name(*id)], Target::Hole(*id))));
    let pairs = holes
        .iter()
        .enumerate()
        .flat_map(|(i, one)| holes[i + 1..].iter().map(|other| [*one, *other]));
    // Those with a bend between them first: the others show only how it was cut.
    let (apart, together): (Vec<_>, Vec<_>) = pairs.partition(|[a, b]| a.face != b.face);
    let pairs = apart.into_iter().chain(together).take(PAIRS);
    all.extend(pairs.map(|pair| (pair.map(name).to_vec(), Target::Holes(pair))));
    all.push((Vec::new(), Target::Thickness));
    all
}
