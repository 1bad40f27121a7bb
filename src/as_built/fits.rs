//! How rod ends and bolts fit what was made: judged by the size as built, not as drawn.

use crate::as_built::cause::Cause;
use crate::as_built::cause::Kind;
use crate::as_built::estimate::Estimate;
use crate::as_built::estimate::LIMIT;
use crate::as_built::estimate::Seen;
use crate::as_built::model::At;
use crate::as_built::model::Model;
use crate::as_built::target::Target;
use crate::as_built::words;
use crate::diag::About;
use crate::diag::Finding;

/// How something fits a piece that was measured. Lengths are mm; limits hold 95 %.
#[derive(Clone, Debug)]
pub struct FitFound {
    /// Name of the part.
    pub part: String,
    /// Which piece.
    pub piece: u32,
    /// What is fitted, in words.
    pub what: String,
    /// Where, in words.
    pub words: String,
    /// Room as drawn, coated.
    pub asked: f64,
    /// Room as built, coated, and its limit.
    pub is: [f64; 2],
    /// What is fitted needs so much.
    pub needs: f64,
    pub(crate) finding: Option<Finding>,
}

/// Less than this is rounding, mm.
const NOTHING: f64 = 1e-6;

/// The fits of every piece that was measured, once each.
pub(super) fn fits(model: &Model, estimate: &Estimate, seen: &[Seen]) -> Vec<FitFound> {
    let mut all: Vec<(At, String, f64)> = Vec::new();
    let mut add = |at: At, what: String, needs: f64| {
        let known = all.iter().any(|(known, ..)| *known == at);
        if !known {
            all.push((at, what, needs));
        }
    };
    for of in seen {
        let solved = &model.solved[of.at.part];
        let at = |target| At { target, coated: true, ..of.at };
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
    all.into_iter().map(|(at, what, needs)| fit(model, estimate, &at, what, needs)).collect()
}

fn fit(model: &Model, estimate: &Estimate, at: &At, what: String, needs: f64) -> FitFound {
    let nothing = vec![0.0; model.causes.len()];
    let asked = model.predicted(&At { deduction: None, ..*at }, &nothing);
    let is = model.predicted(at, &estimate.x);
    let mut by_film = estimate.spread_of(&model.slopes(at, &estimate.x));
    let is_film = |cause: &Cause| cause.kind == Kind::Film;
    if model.job.coating > 0.0 && !model.causes.iter().any(is_film) {
        // A film that no measure shows still varies, on both faces.
        by_film = crate::num::hypot(by_film, 2.0 * model.job.spreads.film);
    }
    let limit = LIMIT * by_film;
    let name = &model.solved[at.part].name;
    let place = words::place(model, at);
    let show = |mm: f64| words::value(model.job, false, mm);
    let headline = if is - needs < -NOTHING {
        Some(format!(
            "{what} does not fit as built: {place} is {} coated, {} is needed",
            show(is),
            show(needs)
        ))
    } else if is - limit - needs < -NOTHING {
        Some(format!(
            "{what} may not fit as built: {place} is {} ± {} coated, {} is needed",
            show(is),
            show(limit),
            show(needs)
        ))
    } else {
        None
    };
    let finding = headline.map(|headline| {
        let here = model.job.as_built.iter().find(|m| m.part.0 == *name && m.piece == at.piece);
        let finding = Finding::caution("as-built-fit", headline).about(About::part(name));
        let finding = here.map_or_else(|| finding.clone(), |m| finding.clone().at(m.is_span, ""));
        finding.note(format!("drawn with {} coated", show(asked))).help(
            "ease this piece before it is coated or mask it; the next are right once the causes below are in the shop file or job",
        )
    });
    FitFound {
        part: name.clone(),
        piece: at.piece,
        what,
        words: words::target(model, at),
        asked,
        is: [is, limit],
        needs,
        finding,
    }
}
