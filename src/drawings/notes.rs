//! What is said in words: what to make, what to know before, the finish, and what was found.

use crate::bill;
use crate::diag::Finding;
use crate::drawings::holes;
use crate::drawings::holes::Set;
use crate::drawings::marks;
use crate::job::Job;
use crate::num;
use crate::paper::Block;
use crate::paper::Cell;
use crate::paper::Table;
use crate::paper::both_units;
use crate::quantity::Units;
use crate::recipe::Grain;
use crate::recipe::Making;
use crate::solve;
use crate::solve::Solved;

/// Two lengths no farther apart are one, mm.
const SAME: f64 = 1e-6;

/// Kilograms in a pound.
const KG_PER_LB: f64 = 0.453_592_37;

/// How many of what.
pub(super) fn making(job: &Job, solved: &Solved) -> Block {
    let sheet = &job.sheets[solved.sheet];
    let region = &solved.flat.region;
    let bounds = region.bounds();
    let mass = region.area() * sheet.thickness * sheet.material.measure("density");
    let mass = match job.units {
        Units::Millimetre => format!("{} kg", num::text(mass, 3)),
        Units::Inch => format!("{} lb", num::text(mass / KG_PER_LB, 3)),
    };
    let size = format!(
        "{} × {}",
        both_units(job.units, bounds.width()),
        both_units(job.units, bounds.height())
    );
    let row = [
        solve::pieces(job, solved).to_string(),
        sheet.material.name().to_owned(),
        both_units(job.units, sheet.thickness),
        size,
        mass,
        job.process.name().to_owned(),
    ];
    let heads = ["pieces", "material", "thickness", "flat, over all", "mass of one", "cut by"];
    Block::Table(Table {
        heading: "Make".into(),
        heads: heads.map(String::from).to_vec(),
        rows: vec![row.map(Cell::Words).to_vec()],
    })
}

/// What a newcomer asks.
pub(super) fn before(job: &Job, solved: &Solved, sets: &[Set]) -> Block {
    let side = match solved.part.bends.is_empty() {
        true => {
            "Which side is up? The flat is shown as it lies on the cutting table; both sides are alike."
        }
        false => {
            "Which side is up? The flat shows the drawn side, as it lies on the cutting table. \
             A bend up comes towards you, a bend down goes away from you."
        }
    };
    let kerf = format!(
        "Is the kerf in? No: the lines are the finished edge. The machine goes beside them by half its kerf, {}.",
        job.units.length(job.process.measure("kerf") / 2.0)
    );
    let done: Vec<String> = sets
        .iter()
        .filter_map(|set| {
            let later = holes::later(set.hole(), job, solved)?;
            Some(format!("{} ({later})", set.letter))
        })
        .collect();
    let later = match done.is_empty() {
        true if sets.is_empty() => "What is drilled later? Nothing: it has no holes.".to_owned(),
        true => "What is drilled later? Nothing: every hole is cut to its final size.".to_owned(),
        false => format!("What is drilled later? {}.", done.join(", ")),
    };
    let mut lines = vec![side.to_owned(), kerf, later];
    lines.push(
        "Where from? All places are measured from the left and the lower edge of the flat.".into(),
    );
    match solved.part.grain {
        Grain::Free => {}
        Grain::AlongX => {
            lines.push("Which way does the grain run? From left to right in the flat.".into())
        }
        Grain::AlongY => {
            lines.push("Which way does the grain run? From below upwards in the flat.".into())
        }
    }
    lines.push(which_line(solved, sets));
    if solved.found.is_empty() {
        lines.push("What was found? Nothing: the checks have no finding.".into());
    }
    Block::Lines { heading: "Before you start".into(), lines }
}

/// What the lines of the flat mean: kinds of ISO 128-2 (from memory).
fn which_line(solved: &Solved, sets: &[Set]) -> String {
    let mut kinds = vec!["Wide: cut"];
    if !solved.part.bends.is_empty() {
        kinds.push("narrow and continuous: bend");
    }
    if !sets.is_empty() {
        kinds.push("dash and dot: middle of a hole");
    }
    if !solved.flat.marks.is_empty() {
        kinds.push("thinnest: scribed or etched, not cut");
    }
    if !solved.found.is_empty() {
        kinds.push("red: what a finding is about, with its number");
    }
    format!("Which line is what? {}.", kinds.join("; "))
}

/// Coating, what is kept free of it, and what else the recipe tells.
pub(super) fn finish(job: &Job, sets: &[Set]) -> Vec<Block> {
    let mut lines = Vec::new();
    if job.coating > 0.0 {
        let holes = if sets.is_empty() { "" } else { " The holes are large enough for it." };
        lines
            .push(format!("Coating: {} on every face.{holes}", both_units(job.units, job.coating)));
        let fine = |set: &&Set| matches!(set.hole().making, Making::Ream | Making::Tap);
        let kept: Vec<&str> = sets.iter().filter(fine).map(|s| s.letter.as_str()).collect();
        lines.push(match kept.is_empty() {
            true if sets.is_empty() => "Masking: none, as it has no holes.".into(),
            true => "Masking: no hole is reamed or tapped, so none must be kept free.".into(),
            false => format!(
                "Masking: keep {} free of it (reamed or tapped), or finish after coating.",
                kept.join(", ")
            ),
        });
    } else {
        lines.push("Coating: none is counted on; with one, the holes become tighter.".into());
    }
    vec![Block::Lines { heading: "Finish".into(), lines }]
}

/// What else the recipe tells, but for what the paper has told already: the gap of a clevis
/// and the grip of a bolt.
pub(super) fn facts(job: &Job, all: &[Solved], solved: &Solved) -> Vec<Block> {
    let gaps = solved.clevis.iter().map(|fit| num::on_grid(fit.gap.bare));
    let hardware = bill::through(job, all, std::slice::from_ref(solved));
    let grips = hardware.iter().filter_map(|one| one.grips).flatten();
    let told: Vec<f64> = gaps.chain(grips).collect();
    let mut lines = Vec::new();
    for fact in &solved.part.facts {
        let value = match &fact.value {
            crate::formula::Value::Quantity(q)
                if q.dimension == crate::quantity::Dimension::LENGTH =>
            {
                if told.iter().any(|told| (told - q.value).abs() < SAME) {
                    continue;
                }
                both_units(job.units, q.value)
            }
            value => value.show(job.units),
        };
        lines.push(sentence(&format!("{}: {value}, {}", fact.name, fact.about)));
    }
    vec![Block::Lines { heading: "Good to know".into(), lines }]
}

/// Words as a sentence: a capital first, unless a name stands there, and a stop behind.
pub(super) fn sentence(words: &str) -> String {
    let mut signs = words.chars();
    let first = signs.next().map(|sign| sign.to_uppercase().to_string()).unwrap_or_default();
    let stop = if words.ends_with(['.', '?', '!']) { "" } else { "." };
    format!("{first}{}{stop}", signs.as_str())
}

/// What the checks found in this part.
pub(super) fn found(solved: &Solved) -> Vec<Block> {
    let line = |(index, finding): (usize, &Finding)| {
        let label = marks::finding_label(index);
        let help = finding.help.as_ref().map(|help| format!(" To mend it: {help}."));
        let repeated = finding.repeated().map(|words| format!(" {}", sentence(&words)));
        format!(
            "{label}, {} ({}): {}{}{}",
            finding.weight,
            finding.code,
            sentence(&finding.headline),
            repeated.unwrap_or_default(),
            help.unwrap_or_default()
        )
    };
    let lines: Vec<String> = solved.found.iter().enumerate().map(line).collect();
    vec![Block::Lines { heading: "Findings".into(), lines }]
}
