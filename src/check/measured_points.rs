//! Measurements of points that do not agree.
//!
//! # Looks for
//! Points of a recipe, or of the machine of a job, with more measurements than are needed to fix them: the one that fits worst,
//! if the others contradict it by more than `tape` allows. Points whose measurements run almost
//! along one line, so that a small error of the tape moves them a long way.
//!
//! # Why it matters
//! A wrong reading gives a part that does not fit. Only extra measurements can show it.
//!
//! # Example
//! Four sides and both diagonals of an opening, where one diagonal is read 5 mm too long.
//!
//! # Remedy
//! Repeat the measurement that is named. With one extra measurement any of them may be wrong; a
//! further one shows which.
//!
//! # Source
//! Least squares; each residual is divided by the square root of its redundancy number (data
//! snooping, W. Baarda, A Testing Procedure for Use in Geodetic Networks, 1968; from memory). A
//! caution where that is beyond `tape` (1 mm when left out), a stop where it, or the difference
//! between the measurement and what the others give, is beyond five times `tape`, and a caution
//! where 1 mm in a measurement moves a point by more than 10 mm: our choice.

use crate::check::joint_placed::BLUNDER;
use crate::check::subject::Subject;
use crate::diag::About;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::num;
use crate::quantity::Units;
use crate::recipe::Params;
use crate::recipe::Recipe;
use crate::recipe::TapeCheck;

const CODE: &str = "measured-points";

/// A point is moved far when 1 mm of a measurement moves it by more, mm. Our choice.
const FAR: f64 = 10.0;

/// Where points are measured: in a recipe for a part, or in a job for its machine.
struct Tape<'a> {
    recipe: &'a Recipe,
    params: &'a Params,
    about: Option<About>,
    units: Units,
}

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let (recipe, params, units) = (subject.recipe, subject.params, subject.units);
    let tape = Tape { recipe, params, about: Some(subject.of_part([])), units };
    params.with_others().into_iter().flat_map(|params| check_tape(&tape, params)).collect()
}

/// The same for the points of a machine.
pub fn machine_points(recipe: &Recipe, params: &Params, units: Units) -> Vec<Finding> {
    check_tape(&Tape { recipe, params, about: None, units }, params)
}

impl Tape<'_> {
    fn show(&self, mm: f64) -> String {
        self.units.length(mm)
    }
}

/// The findings on the measurements of one recipe.
fn check_tape(subject: &Tape, params: &Params) -> Vec<Finding> {
    let checks = params.tape_checks();
    let size = |check: &&TapeCheck| check.outcome.normal.abs();
    let worst = checks.iter().max_by(|a, b| size(a).total_cmp(&size(b)));
    let tape = params.tape();
    let contradicted = worst.filter(|check| size(check) > tape + 1e-9);
    let far = checks.iter().filter(|check| check.outcome.moves > FAR);
    let far = far.max_by(|a, b| a.outcome.moves.total_cmp(&b.outcome.moves));
    let contradicted = contradicted.map(|check| contradicted_by(subject, checks, check, tape));
    contradicted.into_iter().chain(far.map(|check| moved_far(subject, check))).collect()
}

fn contradicted_by(subject: &Tape, checks: &[TapeCheck], check: &TapeCheck, tape: f64) -> Finding {
    let blunder = check.outcome.blunder;
    let headline = match check.is_direction {
        true => format!(
            "{} is {}° as measured; the other measurements put `{}` {} to one side",
            check.what,
            num::text(check.measured, 3),
            check.of,
            subject.show(blunder.abs())
        ),
        false => format!(
            "{} is {} as measured, but {} according to the other measurements: {}",
            check.what,
            subject.show(check.measured),
            subject.show(check.measured - blunder),
            too(subject, blunder)
        ),
    };
    let off = check.outcome.normal.abs();
    let stops = off.max(blunder.abs()) > BLUNDER * tape;
    let weight = if stops { Weight::Stop } else { Weight::Caution };
    let finding = at(subject, check, weight, headline);
    let finding = finding.note(format!(
        "allowing for how well the other measurements check it, it is off by {}; `tape` allows {}",
        subject.show(off),
        subject.show(tape)
    ));
    match check.spare {
        1 => suspects(subject, checks, check, finding)
            .help("measure once more, and from another point: that shows which is wrong"),
        _ => finding.help("measure this again"),
    }
}

/// `3 mm too long`.
fn too(subject: &Tape, blunder: f64) -> String {
    let way = if blunder > 0.0 { "long" } else { "short" };
    format!("{} too {way}", subject.show(blunder.abs()))
}

/// With one spare measurement any of those that fit as badly may be the wrong one.
fn suspects(subject: &Tape, checks: &[TapeCheck], worst: &TapeCheck, finding: Finding) -> Finding {
    let size = worst.outcome.normal.abs();
    let alike = |other: &&TapeCheck| {
        other.span != worst.span
            && !other.is_direction
            && (other.outcome.normal.abs() - size).abs() < 1e-3 * size
    };
    let said: Vec<String> = checks
        .iter()
        .filter(alike)
        .map(|other| format!("{} {}", other.what, too(subject, other.outcome.blunder)))
        .collect();
    if said.is_empty() {
        return finding;
    }
    let finding = checks
        .iter()
        .filter(alike)
        .flat_map(|other| subject.params.given(subject.recipe, &other.depends))
        .fold(finding, |finding, (_, span)| finding.at(span, ""));
    finding.note(format!(
        "with one extra measurement it is not clear which is wrong; it may also be {}",
        said.join(", or ")
    ))
}

fn moved_far(subject: &Tape, check: &TapeCheck) -> Finding {
    let moves = check.outcome.moves;
    let headline = format!("1 mm more in {} moves a point by {}", check.what, subject.show(moves));
    let (run, off) = match check.in_space {
        true => ("are almost in one plane with it", "that plane"),
        false => ("run almost along one line", "that line"),
    };
    at(subject, check, Weight::Caution, headline)
        .note(format!("the measurements of `{}` {run}", check.of))
        .help(format!("measure it from a point off {off} as well"))
}

/// A finding at the formula of a measurement, and at the values it is calculated from.
fn at(subject: &Tape, check: &TapeCheck, weight: Weight, headline: String) -> Finding {
    let base = Finding { weight, ..Finding::stop(CODE, headline) }.at(check.span, "");
    let given = subject.params.given(subject.recipe, &check.depends);
    let marked = given.iter().fold(base, |finding, (_, span)| finding.at(*span, ""));
    subject.about.iter().fold(marked, |finding, about| finding.about(about.clone()))
}
