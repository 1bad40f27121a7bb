//! The results of the measurements of a job: their causes, the next pieces, other parts.

use crate::as_built::cause::CauseFound;
use crate::as_built::cause::Kind;
use crate::as_built::cause::Verdict;
use crate::as_built::correction;
use crate::as_built::correction::Correction;
use crate::as_built::judged_fits;
use crate::as_built::judged_fits::FitFound;
use crate::as_built::judged_fits::RequiredFit;
use crate::as_built::kept;
use crate::as_built::kept::Kept;
use crate::as_built::least_squares::Estimate;
use crate::as_built::least_squares::LIMIT;
use crate::as_built::least_squares::Observation;
use crate::as_built::model::At;
use crate::as_built::model::Model;
use crate::as_built::others;
use crate::as_built::others::OtherFound;
use crate::as_built::row;
use crate::as_built::row::RowFound;
use crate::as_built::target::Target;
use crate::as_built::words;
use crate::diag::About;
use crate::diag::Finding;
use crate::job::Job;
use crate::solve::Solved;

/// A cause is as it should be where its measurements leave it no more than this share of its
/// spread. Our choice.
const SHOWN: f64 = 0.5;

/// It is off where they leave it no more than this share, and it lies beyond its limit. Our choice.
const SHOWN_OFF: f64 = 0.7;

/// What measurements leave of a cause they do not show. Our choice.
const NOT_SHOWN: f64 = 0.97;

/// Causes are not separable if their correlation is more than this. Our choice.
const TOGETHER: f64 = 0.4;

/// If there are none, the cause with the largest correlation is named, if it is more than this. Our
/// choice.
const AT_ALL: f64 = 0.001;

/// Standard deviations beyond which a measurement does not agree with the model. Our choice.
const UNLIKELY: f64 = 4.0;

/// The results of the measurements of a job.
#[derive(Clone, Debug)]
pub struct AsBuilt {
    /// Each measurement of a part that is made, in the order of the job.
    pub measures: Vec<MeasureFound>,
    /// The measurements of parts of which the job makes none, in words.
    pub left_out: Vec<String>,
    /// What caused it.
    pub causes: Vec<CauseFound>,
    /// Rows for the shop file.
    pub rows: Vec<RowFound>,
    /// Parts that the same causes touch.
    pub others: Vec<OtherFound>,
    /// The fits of rod ends and bolts on measured pieces.
    pub fits: Vec<FitFound>,
    /// Cautions.
    pub findings: Vec<Finding>,
}

/// A measurement and its result. Lengths are mm, angles degrees; limits are for 95 %.
#[derive(Clone, Debug)]
pub struct MeasureFound {
    /// Name of the part.
    pub part: String,
    /// Which piece.
    pub piece: u32,
    /// The measurement, in words.
    pub words: String,
    /// Whether it is an angle.
    pub is_angle: bool,
    /// As asked for.
    pub asked: f64,
    /// As measured.
    pub is: f64,
    /// Limit of that.
    pub limit: f64,
    /// The part of it that the causes explain.
    pub explained: f64,
    /// The mean of the next pieces if nothing is changed, and the limit of that mean: by the causes
    /// that persist. A single piece differs from it by its own deviations.
    pub next: [f64; 2],
    /// The dimension to ask for in place of `asked` so that the next pieces have that on average;
    /// `None` if the measurements do not agree.
    pub instead: Option<f64>,
    /// The bend deduction by which the next pieces have `asked` on average; `None` if there is no
    /// such deduction, or the measurements do not agree.
    pub correction: Option<Correction>,
}

/// The results of the measurements on the parts that a job makes; `None` if there are none.
///
/// # Errors
/// Measurements of parts or features that the job does not have, and impossible values.
pub fn found(job: &Job, solved: &[Solved]) -> Result<Option<AsBuilt>, Vec<Finding>> {
    let (kept, left_out) = kept::sorted(job, solved)?;
    if kept.is_empty() {
        return Ok(None);
    }
    let asked = judged_fits::asked(job, solved, &kept);
    let measured = kept.iter().map(|kept| kept.seen.at);
    let places: Vec<At> = measured.chain(asked.iter().map(|asked| asked.at)).collect();
    let model = Model::new(job, solved, &places);
    let absurd: Vec<Finding> = kept.iter().filter_map(|kept| absurd(&model, kept)).collect();
    if !absurd.is_empty() {
        return Err(absurd);
    }
    Ok(Some(AsBuilt { left_out, ..evaluated(&model, &kept, &asked) }))
}

/// The finding for a value that is no measurement of this, by a unit or another place. Our choice:
/// a fifth and 5 mm, or 20°.
fn absurd(model: &Model, Kept { measure, seen }: &Kept) -> Option<Finding> {
    let asked = model.predicted(&seen.at, &vec![0.0; model.causes.len()]);
    let off = (seen.is - asked).abs();
    let most = if measure.what.is_angle() { 20.0 } else { 5.0_f64.max(0.2 * asked) };
    if off <= most {
        return None;
    }
    let show = |value| words::value(model.job, measure.what.is_angle(), value);
    let headline = format!(
        "{} is {} on the drawing and cannot be {} as built",
        words::place(model, &seen.at),
        show(asked),
        show(seen.is)
    );
    let finding = Finding::stop("out-of-range", headline).at(measure.is_span, "");
    Some(finding.help("check the unit, what was measured, and from where to where"))
}

fn evaluated(model: &Model, kept: &[Kept], asked: &[RequiredFit]) -> AsBuilt {
    let seen: Vec<Observation> = kept.iter().map(|kept| kept.seen).collect();
    let estimate = Estimate::of(model, &seen);
    let mut findings: Vec<Finding> =
        kept.iter().filter_map(|kept| unlikely(model, &estimate, kept)).collect();
    let agrees = findings.is_empty();
    let measures = seen.iter().map(|seen| measure(model, &estimate, seen, agrees)).collect();
    let said = (0..model.causes.len()).filter(|i| is_said(model, &seen, *i));
    let causes = said.map(|i| cause(model, &estimate, &seen, i));
    // Deviations of a single piece are listed only if they are off.
    let mut causes: Vec<CauseFound> =
        causes.filter(|cause| cause.kind.stays() || cause.verdict == Verdict::Off).collect();
    causes.sort_by_key(|cause| rank(&cause.verdict));
    let rows = row::rows(model, &causes, agrees);
    let others = others::others(model, &estimate, &seen);
    let fits = judged_fits::fits(model, &estimate, asked, kept);
    findings.extend(fits.iter().filter_map(|fit| fit.finding.clone()));
    AsBuilt { measures, left_out: Vec::new(), causes, rows, others, fits, findings }
}

/// Whether a cause is reported: one that no measurement shows may count where something is to fit.
fn is_said(model: &Model, seen: &[Observation], i: usize) -> bool {
    model.causes[i].kind.is_always_told() || seen.iter().any(|one| model.shows(&one.at, i))
}

/// Causes that are off come first, those not shown last.
const fn rank(verdict: &Verdict) -> u8 {
    match verdict {
        Verdict::Off => 0,
        Verdict::NotSeparated { .. } => 1,
        Verdict::Right => 2,
        Verdict::NotShown => 3,
    }
}

fn measure(model: &Model, estimate: &Estimate, seen: &Observation, agrees: bool) -> MeasureFound {
    let nothing = vec![0.0; model.causes.len()];
    let own = At { deduction: None, ..seen.at };
    let asked = model.predicted(&own, &nothing);
    let next = others::next(model, estimate, &seen.at);
    MeasureFound {
        part: model.solved[seen.at.part].name.clone(),
        piece: seen.at.piece,
        words: words::target(model, &seen.at),
        is_angle: matches!(seen.at.target, Target::Angle(_)),
        asked,
        is: seen.is,
        limit: LIMIT * seen.uncertainty,
        explained: model.predicted(&seen.at, &estimate.x),
        next,
        instead: agrees.then_some(2.0 * asked - next[0]),
        correction: agrees.then(|| correction::correction(model, &own, next[0] - asked)).flatten(),
    }
}

fn cause(model: &Model, estimate: &Estimate, seen: &[Observation], i: usize) -> CauseFound {
    let of = model.causes[i];
    let (by, spread) = (estimate.x[i], estimate.spread(i));
    let left = spread / of.spread;
    let verdict = if left <= SHOWN_OFF && by.abs() > LIMIT * spread {
        Verdict::Off
    } else if left <= SHOWN {
        Verdict::Right
    } else if left >= NOT_SHOWN {
        Verdict::NotShown
    } else {
        let mut with: Vec<usize> = (0..model.causes.len()).filter(|j| *j != i).collect();
        let together = |j: usize| estimate.correlation(i, j).abs();
        with.sort_by(|a, b| together(*b).total_cmp(&together(*a)));
        let least = if with.iter().any(|j| together(*j) > TOGETHER) { TOGETHER } else { AT_ALL };
        with.retain(|j| together(*j) > least);
        let with = with.iter().take(3).map(|j| words::cause(model, model.causes[*j].kind));
        Verdict::NotSeparated {
            with: with.collect(),
            measure: others::to_measure(model, estimate, seen, i),
        }
    };
    CauseFound {
        kind: of.kind,
        words: words::cause(model, of.kind),
        nominal: nominal(model, of.kind),
        by,
        limit: LIMIT * spread,
        before: LIMIT * of.spread,
        verdict,
    }
}

/// The value in use.
fn nominal(model: &Model, kind: Kind) -> Option<f64> {
    match kind {
        Kind::Deduction { group } => Some(model.groups[group].deduction),
        Kind::Radius { group } => Some(model.groups[group].radius),
        Kind::Thickness { sheet } => Some(model.job.sheets[sheet].thickness),
        Kind::Film { coating } => Some(model.coatings[coating].film),
        _ => None,
    }
}

/// A measurement that no likely cause brings about, or that the others speak against.
fn unlikely(model: &Model, estimate: &Estimate, kept: &Kept) -> Option<Finding> {
    let Kept { measure: of, seen } = kept;
    let nothing = vec![0.0; model.causes.len()];
    let asked = model.predicted(&seen.at, &nothing);
    let slopes = model.slopes(&seen.at, &nothing);
    let by_causes = slopes.iter().zip(&model.causes).map(|(slope, cause)| slope * cause.spread);
    let of_causes: f64 = by_causes.map(|by| by * by).sum();
    let likely = (of_causes + seen.uncertainty * seen.uncertainty).sqrt();
    let missed = seen.is - model.predicted(&seen.at, &estimate.x);
    let show = |value| words::value(model.job, of.what.is_angle(), value);
    let place = words::place(model, &seen.at);
    let (headline, note) = if (seen.is - asked).abs() > UNLIKELY * likely {
        let headline = format!(
            "{place} is {} off, which no likely cause explains",
            show((seen.is - asked).abs())
        );
        (
            headline,
            format!(
                "nominal {}, measured {}; 95 % limits ± {}",
                show(asked),
                show(seen.is),
                show(LIMIT * likely)
            ),
        )
    } else if missed.abs() > UNLIKELY * seen.uncertainty {
        let headline = format!("{place} does not agree with the other measurements");
        (
            headline,
            format!(
                "measured {}; from the others it should be {}",
                show(seen.is),
                show(seen.is - missed)
            ),
        )
    } else {
        return None;
    };
    let finding = Finding::caution("as-built", headline).at(of.is_span, "");
    let name = &model.solved[seen.at.part].name;
    Some(
        finding
            .note(note)
            .about(About::part(name))
            .help("measure it again, and check that the piece is of this job's sheet and flat"),
    )
}
