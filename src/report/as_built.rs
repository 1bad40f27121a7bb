//! The measurements of parts already made, in the report.

use crate::as_built;
use crate::as_built::AsBuilt;
use crate::as_built::CauseFound;
use crate::as_built::FitFound;
use crate::as_built::MeasureFound;
use crate::as_built::RowFound;
use crate::as_built::Verdict;
use crate::job::Job;
use crate::num::on_grid;
use crate::solve::Solved;
use serde::Serialize;

/// The measurements and their results. Lengths are mm, angles degrees; limits are for 95 %.
#[derive(Clone, Debug, Serialize)]
pub struct AsBuiltRow {
    pub(crate) measures: Vec<MeasureRow>,
    /// The measurements of parts of which none are made.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(crate) left_out: Vec<String>,
    pub(crate) causes: Vec<CauseRow>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(crate) fits: Vec<BuiltFitRow>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(crate) other_parts: Vec<OtherPartRow>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(crate) shop_rows: Vec<ShopFileRow>,
}

/// A measurement.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct MeasureRow {
    pub(crate) part: String,
    piece: u32,
    pub(crate) what: String,
    /// `mm` or `deg`.
    unit: &'static str,
    asked: f64,
    is: f64,
    limit: f64,
    explained: f64,
    /// The mean of the next pieces, and its limit: a single piece differs by its own deviations.
    next_piece: f64,
    next_piece_limit: f64,
    /// The dimension to ask for in its place, if no cause is changed; `None` if measurements do not
    /// agree.
    #[serde(skip_serializing_if = "Option::is_none")]
    instead: Option<f64>,
    pub(crate) words: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) instead_words: Option<String>,
}

/// A cause.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct CauseRow {
    cause: &'static str,
    of: String,
    unit: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    computed_with: Option<f64>,
    off_by: f64,
    limit: f64,
    limit_before: f64,
    pub(crate) result: &'static str,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    not_apart_from: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    measure_also: Option<String>,
    pub(crate) words: String,
}

/// A fit.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct BuiltFitRow {
    pub(crate) part: String,
    piece: u32,
    what: String,
    drawn_mm: f64,
    is_mm: f64,
    limit_mm: f64,
    needs_mm: f64,
    pub(crate) words: String,
}

/// A part that the same causes touch.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct OtherPartRow {
    pub(crate) part: String,
    what: String,
    unit: &'static str,
    asked: f64,
    off_by: f64,
    limit: f64,
    pub(crate) words: String,
}

/// A row for the shop file.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct ShopFileRow {
    deduction_mm: f64,
    limit_mm: f64,
    today_mm: f64,
    pub(crate) words: String,
    pub(crate) toml: String,
    pub(crate) once_used: String,
}

const fn unit(is_angle: bool) -> &'static str {
    if is_angle { "deg" } else { "mm" }
}

/// The results of a job's measurements; `None` if it has none.
pub(crate) fn row(job: &Job, solved: &[Solved]) -> Option<AsBuiltRow> {
    // Measurements that cannot be have stopped the job.
    let found = as_built::found(job, solved).ok().flatten();
    let found = found.filter(|found| !found.measures.is_empty())?;
    let AsBuilt { measures, left_out, causes, rows, others, fits, .. } = &found;
    Some(AsBuiltRow {
        measures: measures.iter().map(|of| measure(job, of)).collect(),
        left_out: left_out.clone(),
        causes: causes.iter().map(|of| cause(job, of)).collect(),
        fits: fits.iter().map(|of| fit(job, of)).collect(),
        other_parts: others
            .iter()
            .map(|of| OtherPartRow {
                part: of.part.clone(),
                what: of.words.clone(),
                unit: unit(of.is_angle),
                asked: on_grid(of.asked),
                off_by: on_grid(of.by[0]),
                limit: on_grid(of.by[1]),
                words: as_built::sentence::other(job, of),
            })
            .collect(),
        shop_rows: rows.iter().map(|of| shop_row(job, of)).collect(),
    })
}

fn measure(job: &Job, of: &MeasureFound) -> MeasureRow {
    MeasureRow {
        part: of.part.clone(),
        piece: of.piece,
        what: of.words.clone(),
        unit: unit(of.is_angle),
        asked: on_grid(of.asked),
        is: on_grid(of.is),
        limit: on_grid(of.limit),
        explained: on_grid(of.explained),
        next_piece: on_grid(of.next[0]),
        next_piece_limit: on_grid(of.next[1]),
        instead: of.instead.map(on_grid),
        words: as_built::sentence::measure(job, of),
        instead_words: as_built::sentence::instead(job, of),
    }
}

fn cause(job: &Job, of: &CauseFound) -> CauseRow {
    let (result, not_apart_from, measure_also) = match &of.verdict {
        Verdict::Off => ("off", Vec::new(), None),
        Verdict::Right => ("right", Vec::new(), None),
        Verdict::NotSeparated { with, measure } => ("not separated", with.clone(), measure.clone()),
        Verdict::NotShown => ("not shown", Vec::new(), None),
    };
    CauseRow {
        cause: of.kind.word(),
        of: of.words.clone(),
        unit: unit(of.kind.is_angle()),
        computed_with: of.nominal.map(on_grid),
        off_by: on_grid(of.by),
        limit: on_grid(of.limit),
        limit_before: on_grid(of.before),
        result,
        not_apart_from,
        measure_also,
        words: as_built::sentence::cause(job, of),
    }
}

fn fit(job: &Job, of: &FitFound) -> BuiltFitRow {
    BuiltFitRow {
        part: of.part.clone(),
        piece: of.piece,
        what: of.what.clone(),
        drawn_mm: on_grid(of.asked),
        is_mm: on_grid(of.is[0]),
        limit_mm: on_grid(of.is[1]),
        needs_mm: on_grid(of.needs),
        words: as_built::sentence::fit(job, of),
    }
}

fn shop_row(job: &Job, of: &RowFound) -> ShopFileRow {
    ShopFileRow {
        deduction_mm: on_grid(of.row.deduction),
        limit_mm: on_grid(of.limit),
        today_mm: on_grid(of.today),
        words: as_built::sentence::row(job, of),
        toml: of.row.row(),
        once_used: as_built::sentence::once_used(of),
    }
}
