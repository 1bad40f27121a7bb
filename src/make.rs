//! Placed parts to files: drawn, read back, reported, packed.

mod cut_files;
mod drafts;
mod of_parts;
mod parts;
mod reported;
mod returned;
mod solids;

pub use crate::drawings::Wanted;
pub use drafts::Drafts;
pub use of_parts::OfParts;
pub use parts::LeftOut;
pub use parts::Parts;
#[cfg_attr(not(feature = "page"), allow(unused_imports, reason = "only the page shows it"))]
pub(crate) use reported::AS_OPENED;
pub use returned::Returned;
pub use returned::against;

use crate::bill;
use crate::diag;
use crate::diag::Finding;
use crate::diag::Sources;
use crate::diag::Weight;
use crate::draw;
use crate::drawings;
use crate::history::State;
use crate::job::Job;
use crate::lists;
use crate::make::cut_files::all;
use crate::make::cut_files::both;
use crate::make::cut_files::dxf;
use crate::make::cut_files::flat;
use crate::make::reported::AS_MADE;
use crate::make::reported::DATA;
use crate::make::reported::as_json;
use crate::make::reported::changed;
use crate::make::reported::keeping;
use crate::make::reported::reported;
use crate::make::solids::Solids;
use crate::place;
use crate::place::NestedSheet;
use crate::place::Placement;
use crate::place::Search;
use crate::report;
use crate::report::Report;
use crate::report::SheetRow;
use crate::report_page;
use crate::report_page::Pieces;
use crate::solve;
use crate::solve::Solved;
use crate::write;
use crate::write::NamedFile;
use crate::write::Version;
use rayon::prelude::*;

/// The results of a job.
#[derive(Clone, Debug)]
pub struct Made {
    /// All files.
    pub files: Vec<NamedFile>,
    /// The report, which is among the files as well.
    pub report: Report,
    /// Everything found: cautions, and what stops the parts that are left out.
    pub findings: Vec<Finding>,
    /// What matters of all that was made.
    pub state: State,
    /// The names of the drawings that were left out, as they were no longer wanted.
    pub undrawn: Vec<String>,
}

/// The parts of a job on their sheets, before any file is made.
pub struct Nested {
    placement: Placement,
    seed: u64,
    /// The findings up to now.
    found: Vec<Finding>,
    drafts: Drafts,
}

impl Nested {
    /// For each kind of sheet the units of work allowed and the stages completed: with the seed
    /// they repeat the search.
    pub fn searched(&self) -> Vec<(u64, u64)> {
        self.placement.searched.iter().map(|kind| (kind.budget, kind.stages)).collect()
    }

    /// Every sheet with its pieces.
    #[cfg_attr(not(feature = "page"), allow(dead_code, reason = "only the page shows it"))]
    pub(crate) fn sheets(&self) -> &[NestedSheet] {
        &self.placement.sheets
    }

    /// The same, with sheets that were drawn during the search: they are used if they are the same.
    #[must_use]
    pub fn with(self, drafts: Drafts) -> Self {
        Self { drafts, ..self }
    }

    /// The seed of the search.
    pub fn seed(&self) -> u64 {
        self.seed
    }
}

/// Nests the solved parts, searching as long as asked, and makes every file. `found` is what
/// solving found.
///
/// # Errors
/// All findings, when one of them stops the job.
pub fn make(
    job: &Job,
    solved: &[Solved],
    found: Vec<Finding>,
    sources: &Sources,
    search: &Search,
) -> Result<Made, Vec<Finding>> {
    let nested = nest(job, solved, found, search)?;
    let machine = solve::machine(job, solved);
    let left_out = LeftOut::default();
    files(job, Parts { solved, machine: machine.as_ref(), left_out: &left_out }, nested, sources)
}

/// Nests the solved parts, searching as long as asked. `found` is what solving found.
///
/// # Errors
/// All findings, when one of them stops the job.
pub fn nest(
    job: &Job,
    solved: &[Solved],
    mut found: Vec<Finding>,
    search: &Search,
) -> Result<Nested, Vec<Finding>> {
    let mut placement = place::place(job, solved, search);
    // What stops a part alone has left it out before.
    let stops = placement.findings.iter().any(|f| f.weight == Weight::Stop);
    found.extend(placement.findings.drain(..).map(|finding| job.units.convert(finding)));
    if stops {
        return Err(found);
    }
    Ok(Nested { placement, seed: search.seed, found, drafts: Drafts::default() })
}

/// Makes the files of solved parts that do not depend on their layout; drawings only while they are
/// wanted.
///
/// # Errors
/// When the file read back differs from the drawing.
pub fn of_parts(job: &Job, parts: Parts, wanted: &Wanted) -> Result<OfParts, Vec<Finding>> {
    OfParts::of(job, parts, wanted)
}

/// Makes every file of nested parts.
///
/// # Errors
/// When the file read back differs from the drawing.
pub fn files(
    job: &Job,
    parts: Parts,
    nested: Nested,
    sources: &Sources,
) -> Result<Made, Vec<Finding>> {
    let wanted = Wanted::all();
    let of_parts = of_parts(job, parts, &wanted)?;
    laid(job, parts, (nested, of_parts), sources, &wanted)
}

/// Makes the other files of nested parts; pictures of sheets only while they are wanted.
///
/// # Errors
/// When the file read back differs from the drawing.
pub fn laid(
    job: &Job,
    parts: Parts,
    (nested, of_parts): (Nested, OfParts),
    sources: &Sources,
    wanted: &Wanted,
) -> Result<Made, Vec<Finding>> {
    let Parts { solved, left_out, .. } = parts;
    let Nested { mut placement, seed, mut found, drafts } = nested;
    for sheet in &mut placement.sheets {
        if let Some(draft) = drafts.like(sheet) {
            sheet.route = draft.route;
        }
    }
    place::route(job, solved, &mut placement.sheets);
    let OfParts { flats, wraps, drawings, solids, unclosed, names, packages } = of_parts;
    found.extend(unclosed.into_iter().map(|finding| job.units.convert(finding)));
    diag::worst_first(&mut found);
    let nested = &placement.sheets;
    let told = || {
        let (report, kept) = reported((job, sources), parts, (&placement, seed, &found));
        let known = |sheet: &NestedSheet, row: &SheetRow| drafts.laid(sheet, row);
        let pieces = Pieces::of((job, solved), (nested, &report.sheets), &known);
        (report, kept, pieces)
    };
    let cut = |sheet: &NestedSheet| drafts.cut(sheet);
    let (sheets, told) = rayon::join(|| cut_files::sheets(job, solved, nested, &cut), told);
    let (sheets, (mut report, kept, pieces)) = (sheets?, told);
    // After the files to cut from, so that a run that is ended early makes those first.
    let known = |sheet: &NestedSheet, row: &SheetRow, of| drafts.pictures(sheet, row, of);
    let pictures = drawings::sheets(job, solved, nested, &report.sheets, (&known, wanted))?;
    let mut files: Vec<NamedFile> =
        [flats, sheets, wraps, drawings].into_iter().flatten().collect();
    files.extend(solids.iter().flatten().map(|(file, _)| file.clone()));
    files.extend(listed(job, solved, nested, left_out)?);
    files.extend(pictures);
    files.extend(packages);
    files.push(keeping(&kept)?);
    name_files(&mut report, &names, &solids, &files);
    let undrawn = wanted.left_out();
    if let Some(finding) = undrawn_finding(&undrawn) {
        report.findings.push(report::finding_row(&finding, sources, solved));
        found.push(finding);
    }
    // The page names all others.
    files.push(NamedFile { name: DATA.into(), bytes: Vec::new() });
    let page = || report_page::page((job, solved), nested, &report, &files, &pieces);
    let (page, data) = rayon::join(page, || as_json(&report));
    files.pop();
    files.extend([data?, page]);
    Ok(Made { files, report, findings: found, state: kept.now, undrawn })
}

/// That drawings were left out.
fn undrawn_finding(names: &[String]) -> Option<Finding> {
    let (first, count) = (names.first()?, names.len());
    let what =
        if count == 1 { "1 drawing file was" } else { &format!("{count} drawing files were") };
    let headline = format!("{what} left out because the run was ended early: {first}");
    let more = if count == 1 { "" } else { " and others" };
    let help = "for all of them repeat `make`, with the `--replay` that was printed if the search \
                was cut short";
    Some(Finding::caution("undrawn", headline + more).help(help))
}

/// The result of nesting before any file is made of it, with the cuts in order.
#[cfg_attr(not(feature = "page"), allow(dead_code, reason = "only the page shows it"))]
pub(crate) fn looked_at(
    (job, sources): (&Job, &Sources),
    parts: Parts,
    nested: &mut Nested,
    opened: Option<&State>,
) -> (Report, State) {
    place::route(job, parts.solved, &mut nested.placement.sheets);
    let Nested { placement, seed, found, .. } = nested;
    let (mut report, kept) = reported((job, sources), parts, (placement, *seed, found));
    // With the last output itself, not with what that was compared with.
    let made = job.past.as_ref().and_then(|past| past.made.as_ref());
    let last = made.map(|made| (AS_MADE, made.now.clone()));
    let before = last.or_else(|| opened.map(|opened| (AS_OPENED, opened.clone())));
    report.changes = before.map(|before| changed(job, before, &kept.now, parts.left_out));
    (report, kept.now)
}

/// What only the makers of the files know: their names, in the order of the parts, and the solids.
fn name_files(
    report: &mut Report,
    part_files: &[Vec<String>],
    solids: &Solids,
    files: &[NamedFile],
) {
    for (part, (names, solid)) in report.parts.iter_mut().zip(part_files.iter().zip(solids)) {
        part.files.clone_from(names);
        part.solid = solid.as_ref().map(|(_, row)| row.clone());
    }
    report.files = files.iter().map(|file| file.name.clone()).collect();
}

/// What nesting would find: parts that fit on no sheet, more pieces than one job may have, and
/// sheets that run out.
pub fn fits(job: &Job, solved: &[Solved]) -> Vec<Finding> {
    place::fits(job, solved)
}

/// What stops a nest of the parts whatever is searched: parts that fit on no sheet, and orders of the
/// job that contradict each other.
pub fn without_a_place(job: &Job, solved: &[Solved]) -> Vec<Finding> {
    let found = place::without_a_place(job, solved).into_iter();
    let stops = found.filter(|finding| finding.weight == Weight::Stop);
    stops.map(|finding| job.units.convert(finding)).collect()
}

/// The solved parts without a template: those too large to be printed at true size.
pub fn without_template(job: &Job, solved: &[Solved]) -> Vec<Finding> {
    drawings::without_template(job, solved)
}

/// The flats with their drawings and templates, for parts that are not nested.
///
/// # Errors
/// When the file read back differs from the drawing.
pub fn flats(job: &Job, solved: &[Solved]) -> Result<Vec<NamedFile>, Vec<Finding>> {
    let written = solved.par_iter().map(|s| {
        let (name, drawing) = flat(job, s);
        both(&name, &drawing)
    });
    let mut files = all(written.collect())?;
    files.extend(drawings::drawings(job, solved)?);
    Ok(files)
}

/// The flats once more for older software: DXF R12, which cannot state its units, so that the
/// name of each file does.
///
/// # Errors
/// When the file read back differs from the drawing.
pub fn old_flats(job: &Job, solved: &[Solved]) -> Result<Vec<NamedFile>, Vec<Finding>> {
    let units = job.units.word();
    let written = solved.par_iter().map(|s| {
        let (name, drawing) = flat(job, s);
        let name = format!("r12/{}-{units}.dxf", name.trim_start_matches("flats/"));
        dxf(name, &drawing, Version::R12).map_err(|finding| vec![finding])
    });
    written.collect()
}

/// All parts side by side in one picture, as SVG.
pub fn picture(job: &Job, solved: &[Solved]) -> String {
    write::tinted(&draw::side_by_side(job, solved))
}

/// All lists.
fn listed(
    job: &Job,
    solved: &[Solved],
    nested: &[NestedSheet],
    left_out: &LeftOut,
) -> Result<Vec<NamedFile>, Vec<Finding>> {
    let tubes = bill::tubes(job, solved);
    lists::lists(job, solved, nested, &tubes, &left_out.names).map_err(|finding| vec![finding])
}
