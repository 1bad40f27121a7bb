//! The fits of rod ends and bolts on measured pieces: judged by the size as built, not as drawn.

use crate::as_built::kept::Kept;
use crate::as_built::least_squares::Estimate;
use crate::as_built::least_squares::LIMIT;
use crate::as_built::model::At;
use crate::as_built::model::Model;
use crate::as_built::target::Target;
use crate::as_built::words;
use crate::diag::About;
use crate::diag::Finding;
use crate::job::Job;
use crate::solve::Solved;

/// The fit of something on a measured piece. Lengths are mm; limits are for 95 %.
#[derive(Clone, Debug)]
pub struct FitFound {
    /// Name of the part.
    pub part: String,
    /// Which piece.
    pub piece: u32,
    /// The fit, in words.
    pub what: String,
    /// Where, in words.
    pub words: String,
    /// Room as drawn, coated.
    pub asked: f64,
    /// Room as built, coated, and its limit.
    pub is: [f64; 2],
    /// The size that the fitted part needs.
    pub needs: f64,
    pub(crate) finding: Option<Finding>,
}

/// Less than this is rounding, mm.
const NOTHING: f64 = 1e-6;

/// Something that is to fit a piece that was measured.
pub(super) struct RequiredFit {
    /// Where.
    pub(super) at: At,
    /// What, in words.
    what: String,
    /// The required size, mm.
    needs: f64,
}

/// The fits on the pieces that were measured, once each.
pub(super) fn asked(job: &Job, solved: &[Solved], kept: &[Kept]) -> Vec<RequiredFit> {
    let mut all: Vec<RequiredFit> = Vec::new();
    let mut add = |at: At, what: String, needs: f64| {
        let known = all.iter().any(|known| known.at == at);
        if !known {
            all.push(RequiredFit { at, what, needs });
        }
    };
    let coated = job.coating > 0.0;
    for of in kept.iter().map(|kept| kept.seen) {
        let solved = &solved[of.at.part];
        let at = |target| At { target, coated, ..of.at };
        if let Some(fit) = &solved.clevis {
            let what = format!("rod end {}", fit.rod_end.name());
            add(at(Target::Gap), what, fit.gap.width());
        }
        if let Target::Hole(id) = of.at.target {
            let hole = solved.part.hole(id);
            if let Some(pin) = hole.pin() {
                let row = hole.row.as_ref().map_or("", |row| row.name());
                let what = if hole.eye { "the pin" } else { "bolt" };
                add(at(of.at.target), format!("{what} {row}").trim().to_owned(), pin);
            }
        }
    }
    all
}

/// How that fits.
pub(super) fn fits(
    model: &Model,
    estimate: &Estimate,
    asked: &[RequiredFit],
    kept: &[Kept],
) -> Vec<FitFound> {
    asked.iter().map(|asked| fit(model, estimate, asked, kept)).collect()
}

fn fit(model: &Model, estimate: &Estimate, of: &RequiredFit, kept: &[Kept]) -> FitFound {
    let RequiredFit { at, what, needs } = of;
    let needs = *needs;
    let nothing = vec![0.0; model.causes.len()];
    let asked = model.predicted(&At { deduction: None, ..*at }, &nothing);
    let is = model.predicted(at, &estimate.x);
    let limit = LIMIT * estimate.spread_of(&model.slopes(at, &estimate.x));
    let name = &model.solved[at.part].name;
    let place = words::place(model, &At { coated: false, ..*at });
    let coated = if at.coated { " coated" } else { "" };
    let show = |mm: f64| words::value(model.job, false, mm);
    let headline = if is - needs < -NOTHING {
        Some(format!(
            "{what} does not fit as built: {place} is {}{coated}, {} is needed",
            show(is),
            show(needs)
        ))
    } else if is - limit - needs < -NOTHING {
        Some(format!(
            "{what} may not fit as built: {place} is {} ± {}{coated}, {} is needed",
            show(is),
            show(limit),
            show(needs)
        ))
    } else {
        None
    };
    let finding = headline.map(|headline| {
        let is_here = |kept: &&Kept| kept.seen.at.part == at.part && kept.seen.at.piece == at.piece;
        let spans = kept.iter().find(is_here).map(|kept| kept.measure.is_span);
        let finding = Finding::caution("as-built-fit", headline).about(About::part(name));
        let finding = spans.into_iter().fold(finding, |finding, span| finding.at(span, ""));
        let ease = if at.coated { " before it is coated, or mask it" } else { "" };
        finding.note(format!("nominal {}{}", show(asked), if at.coated { ", coated" } else { "" })).help(format!(
            "rework this piece{ease}; later pieces will be right once the causes below are entered in the shop file or the job"
        ))
    });
    FitFound {
        part: name.clone(),
        piece: at.piece,
        what: what.clone(),
        words: words::target(model, at),
        asked,
        is: [is, limit],
        needs,
        finding,
    }
}
