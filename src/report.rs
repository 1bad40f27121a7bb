//! The results of a job, as plain data.
//!
//! The report covers what was solved and placed; the caller adds which files were made of it, and
//! the solids.

mod as_built;
mod bench;
mod bend;
mod beside;
mod clearance;
mod corner;
mod ends;
mod finding;
mod fit;
mod formed;
mod input;
mod joint;
mod link_load;
mod load;
mod masking;
mod outcome;
mod part;
mod sheet;
mod shop;
mod solid;
mod step;
mod strength;
mod tube;
mod tube_end;

pub use as_built::AsBuiltRow;
pub use bench::BenchRow;
pub(crate) use bend::BendRow;
pub(crate) use bend::MadeRow;
pub(crate) use bend::as_drawn;
pub(crate) use bend::made;
pub use beside::Beside;
pub use clearance::BoltedRow;
pub use clearance::ClearanceRow;
pub(crate) use corner::corners;
pub use finding::FeatureRow;
pub(crate) use finding::FindingRow;
pub use finding::OtherRow;
pub(crate) use finding::row as finding_row;
pub(crate) use fit::ClevisRow;
pub(crate) use fit::LinkRow;
pub(crate) use fit::NutRow;
pub(crate) use fit::WORST_CASE;
pub(crate) use fit::clevis;
pub(crate) use fit::nut;
pub(crate) use formed::FormedRow;
pub(crate) use formed::row as formed;
pub(crate) use input::Input;
pub use joint::JointRow;
#[cfg_attr(not(feature = "page"), allow(unused_imports, reason = "only the page shows it"))]
pub(crate) use joint::rows as joints;
pub(crate) use link_load::LinkLimitRow;
pub use link_load::LinkLoadRow;
pub(crate) use link_load::rows as link_loads;
pub(crate) use load::LimitRow;
pub use load::LoadRow;
pub(crate) use load::ShapeRow;
pub(crate) use load::named as named_limit;
pub use masking::MaskingRow;
pub(crate) use outcome::Force;
pub(crate) use outcome::Outcome;
pub(crate) use part::PartRow;
pub(crate) use part::WeldRow;
pub use sheet::CommonRow;
pub use sheet::NestRow;
pub(crate) use sheet::PlacedRow;
pub use sheet::SheetRow;
pub use sheet::UsedRow;
pub(crate) use sheet::row as sheet_row;
pub(crate) use shop::ShopRow;
pub(crate) use solid::SolidRow;
pub(crate) use solid::row as solid;
pub(crate) use strength::StrengthRow;
pub(crate) use strength::row as loads;
pub(crate) use tube::TubeRow;
pub use tube_end::PerDegreeRow;
pub use tube_end::TubeEndRow;
#[cfg_attr(not(feature = "page"), allow(unused_imports, reason = "only the page shows it"))]
pub(crate) use tube_end::rows as tube_ends;

use crate::changes::Changes;
use crate::job::CAUTION;
use crate::job::Job;
use crate::num::on_grid;
use crate::report::part::part_row;
use crate::solve;
use crate::solve::Solved;
use serde::Serialize;

/// The report. Lengths are mm, areas mm², masses kg, angles degrees, in units named by the keys.
#[derive(Clone, Debug, Serialize)]
pub struct Report {
    /// Name and version of this form.
    pub format: &'static str,
    /// What these numbers are not.
    pub caution: &'static str,
    /// Name of the job.
    pub job: String,
    /// Its sentence.
    pub about: String,
    /// Units of the drawings.
    pub units: &'static str,
    /// The cutting process.
    pub process: String,
    /// The shop, where one is named.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub shop: Option<ShopRow>,
    /// Sums over everything placed.
    pub totals: Totals,
    /// Every part.
    pub parts: Vec<PartRow>,
    /// Every link.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub links: Vec<LinkRow>,
    /// The clearances between the bodies of the machine, if the job has one.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub clearances: Vec<ClearanceRow>,
    /// Parts of one joint that are in the machine: judged as one, not by their clearance.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub bolted_together: Vec<BoltedRow>,
    /// The ends of tubes with everything that belongs to them.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub tube_ends: Vec<TubeEndRow>,
    /// Every bolted joint.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub joints: Vec<JointRow>,
    /// The items to plug or mask before coating.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub masking: Vec<MaskingRow>,
    /// The tasks at the bench, in the order of the work, if the job asks for them.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub bench: Vec<BenchRow>,
    /// The results of the loads, where the job has any.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub strength: Option<StrengthRow>,
    /// The measurements of parts already made, if the job has any.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub as_built: Option<AsBuiltRow>,
    /// The tubes.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub tubes: Vec<TubeRow>,
    /// Every sheet.
    pub sheets: Vec<SheetRow>,
    /// How each kind of sheet was nested.
    pub nests: Vec<NestRow>,
    /// What could not be placed.
    pub not_placed: Vec<NotPlacedRow>,
    /// The parts of the job that are stopped and not made.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub stopped: Vec<String>,
    /// Everything found.
    pub findings: Vec<FindingRow>,
    /// The differences from the last output; `None` if there is none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub changes: Option<Changes>,
    /// The files, by name; empty until they are made.
    pub files: Vec<String>,
}

/// Sums over everything placed.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Totals {
    /// Different parts.
    pub parts: usize,
    /// Pieces asked for.
    pub pieces: u32,
    /// Pieces placed.
    pub placed: usize,
    /// Sheets used.
    pub sheets: usize,
    /// Share of the used sheets that becomes parts.
    pub yield_percent: f64,
    /// Mass of the parts placed.
    pub mass_kg: f64,
    /// Length of all cuts.
    pub cut_length_mm: f64,
    /// Places where the cutter starts.
    pub pierces: usize,
    /// How much shorter all cuts are because some separate two pieces at once.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub saved_by_common_cuts_mm: Option<f64>,
    /// The cost of the sheets, in the shop's currency, if all of them have a price.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cost: Option<f64>,
}

/// Pieces that could not be placed.
#[derive(Clone, Debug, Serialize)]
pub struct NotPlacedRow {
    pub(crate) part: String,
    pub(crate) quantity: u32,
}

/// The rows of the parts, on any sheet.
pub(crate) fn part_rows(input: &Input) -> Vec<PartRow> {
    (0..input.solved.len()).map(|i| part_row(input, i)).collect()
}

/// The report of a job.
pub(crate) fn report(input: &Input) -> Report {
    let rows = part_rows(input);
    let sheets: Vec<SheetRow> =
        input.nested.iter().map(|nested| sheet::row(input, nested, &rows)).collect();
    let sheet_area: f64 = sheets.iter().map(|s| s.area_mm2).sum();
    let placed: Vec<usize> =
        input.nested.iter().flat_map(|l| l.placed.iter().map(|p| p.0)).collect();
    let sum = |of: fn(&PartRow) -> f64| placed.iter().map(|i| of(&rows[*i])).sum::<f64>();
    let usage = if sheet_area > 0.0 { sum(|r| r.area_mm2) / sheet_area } else { 0.0 };
    let totals = Totals {
        parts: rows.len(),
        pieces: rows.iter().map(|r| r.pieces).sum(),
        placed: placed.len(),
        sheets: sheets.len(),
        yield_percent: sheet::percent_down(usage),
        mass_kg: on_grid(sum(|r| r.mass_kg)),
        cut_length_mm: on_grid(sheets.iter().map(|s| s.cut_length_mm).sum()),
        pierces: sheets.iter().map(|s| s.pierces).sum(),
        saved_by_common_cuts_mm: sheet::saved(&sheets),
        cost: sheet::cost(input),
    };
    let not_placed = input
        .left
        .iter()
        .map(|left| NotPlacedRow { part: rows[left.part].name.clone(), quantity: left.quantity });
    Report {
        format: "platewright report 1",
        caution: CAUTION,
        job: input.job.name.clone(),
        about: input.job.about.clone(),
        units: if input.job.units.in_mm() == 1.0 { "mm" } else { "in" },
        process: input.job.process.name().to_owned(),
        shop: input.job.shop.as_deref().map(|shop| shop::row(shop, &input.job.process)),
        totals,
        not_placed: not_placed.collect(),
        stopped: input.left_out.to_vec(),
        parts: rows,
        links: input.job.links.iter().filter(|link| link.quantity > 0).map(fit::link).collect(),
        clearances: clearance::rows(input.machine),
        bolted_together: clearance::bolted(input.machine),
        tube_ends: tube_end::rows(input.job, input.solved),
        joints: joint::rows(input.job, input.solved),
        masking: masking::rows(input),
        bench: bench::rows(input),
        tubes: tube::rows(input.job, input.solved, &input.job.hole_saws),
        as_built: as_built::row(input.job, input.solved),
        strength: strength::whole(input.job, input.solved),
        nests: sheet::nests(input, &sheets),
        sheets,
        findings: input
            .findings
            .iter()
            .map(|finding| finding::row(finding, input.sources, input.solved))
            .collect(),
        changes: None,
        files: Vec::new(),
    }
}

/// Open points beside the findings, of all parts and links of a job that is checked and not made:
/// like [`Report::beside`] for one that is made.
pub fn beside(job: &Job, solved: &[Solved]) -> Beside {
    let parts = solved.iter().map(|solved| Beside::of(job, solved));
    let links = solve::link_verdicts(job, solved);
    let limits = links.iter().map(|of| of.not_judged.len()).sum();
    parts.fold(Beside { fits: 0, limits }, Beside::and)
}

impl Report {
    /// Open points beside the findings, of all parts and links.
    pub fn beside(&self) -> Beside {
        let parts = self.parts.iter().map(|part| part.beside);
        let links = self.strength.iter().flat_map(|strength| &strength.links);
        let limits = links.map(|load| load.not_judged.len()).sum();
        parts.fold(Beside { fits: 0, limits }, Beside::and)
    }

    /// The cut files of the sheets that have no price.
    pub fn without_price(&self) -> impl Iterator<Item = &str> {
        let unpriced = self.sheets.iter().filter(|sheet| sheet.cost.is_none());
        unpriced.map(|sheet| sheet.file.as_str())
    }

    /// What all sheets cost, or those that have a price, in words; nothing where none has one.
    pub(crate) fn price_of_sheets(&self, job: &Job) -> Option<String> {
        let priced: Vec<f64> = self.sheets.iter().filter_map(|sheet| sheet.cost).collect();
        match (self.totals.cost, priced.len()) {
            (Some(cost), _) => Some(job.money(cost)),
            (None, 0) => None,
            (None, n) => {
                let have = if n == 1 { "has" } else { "have" };
                let sum = job.money(priced.iter().sum());
                Some(format!("{sum} for the {n} that {have} a price"))
            }
        }
    }
}
