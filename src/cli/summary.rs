//! The summary of a run, read in ten seconds.

use crate::cli::shelf::shown;
use crate::cli::terminal;
use crate::cli::terminal::plural;
use platewright::job;
use platewright::job::Job;
use platewright::make::Made;
use platewright::num;
use platewright::quantity::Units;
use platewright::report::Report;
use platewright::report::SheetRow;
use platewright::solve::Solved;
use std::fmt::Write;
use std::path::Path;

/// The summary of a job that was made.
pub(super) fn text(job: &Job, made: &Made, out: &Path) -> String {
    let report = &made.report;
    let mut lines = vec![placed(job, report)];
    lines.extend(sheets(job.units, report));
    lines.push(totals(job, report));
    if let Some(saved) = report.totals.saved_by_common_cuts_mm {
        lines.push(format!("common cuts save {} of cutting", long(job.units, saved)));
    }
    for part in &report.parts {
        lines.extend(
            part.bending.iter().map(|words| format!("bend sequence of {}: {words}", part.name)),
        );
    }
    lines.extend(report.tubes.iter().map(|tube| format!("tube {}", tube.words)));
    if let Some(strength) = &report.strength {
        for load in &strength.loads {
            lines.push(format!("load {}", load.words));
            lines.extend(load.remarks().into_iter().map(|remark| format!("  {remark}")));
        }
        for load in &strength.links {
            lines.push(format!("load {}", load.words));
            lines.extend(load.remarks().into_iter().map(|remark| format!("  {remark}")));
        }
        lines.push(strength.caution.to_owned());
    }
    if !report.stopped.is_empty() {
        let parts = plural(report.stopped.len(), "part");
        lines.push(format!("STOPPED: {parts} not made: {}", report.stopped.join(", ")));
    }
    let last = job.past.as_ref().and_then(|past| past.made.as_ref());
    let unchanged = last.is_some_and(|last| last.now == made.state);
    lines.push(match &report.changes {
        Some(changes) => {
            let since = if unchanged { "; unchanged since the last make" } else { "" };
            format!("compared with {}: {}{since}", changes.compared_with, changes.words)
        }
        None if unchanged => "changes: unchanged since the last make".to_owned(),
        None => "changes: nothing to compare with".to_owned(),
    });
    lines.push(format!("findings: {}", found(made)));
    lines.push(format!("written: {} in {}", plural(made.files.len(), "file"), shown(out)));
    lines.push(job::CAUTION.to_owned());
    lines.push(String::new());
    lines.join("\n")
}

/// Which drawings were left out, and how to come by them; nothing where none was.
pub(super) fn undrawn(job: &Path, made: &Made) -> Option<String> {
    let names = &made.undrawn;
    let (few, more) = names.split_at(names.len().min(NAMED));
    let more = if more.is_empty() { String::new() } else { format!(" and {} more", more.len()) };
    (!names.is_empty()).then(|| {
        format!(
            "not drawn, the run was ended early: {}: {}{more}\n\
             `platewright drawing {} PART` draws one part",
            plural(names.len(), "drawing file"),
            few.join(", "),
            shown(job)
        )
    })
}

/// Files that are named; more are counted. Our choice.
const NAMED: usize = 8;

/// The same in a line.
pub(super) fn line(job: &Job, made: &Made) -> String {
    let stopped = match made.report.stopped.len() {
        0 => String::new(),
        n => format!(", {} STOPPED", plural(n, "part")),
    };
    format!("{}{stopped}, {}", placed(job, &made.report), found(made))
}

/// How many stops and cautions there are, and what is not clear beside them.
fn found(made: &Made) -> String {
    terminal::found(&made.findings, made.report.beside())
}

/// How many pieces were placed, and whether that is all.
fn placed(job: &Job, report: &Report) -> String {
    let totals = &report.totals;
    // Fillings are added to the quantities of the job, once all of these are placed.
    let lacking = match (totals.pieces as usize).abs_diff(totals.placed) {
        0 => String::new(),
        n if totals.placed > totals.pieces as usize => format!(", {n} of them extra in free area"),
        n => format!("; {n} COULD NOT BE PLACED"),
    };
    format!(
        "{}: {}, {}, {} placed on {}{lacking}",
        job.name,
        plural(totals.parts, "part"),
        plural(totals.pieces as usize, "piece"),
        totals.placed,
        plural(totals.sheets, "sheet")
    )
}

/// A line a sheet, then one for each kind of which several are needed.
fn sheets(units: Units, report: &Report) -> Vec<String> {
    let width = report.sheets.iter().map(|s| s.file.len()).max().unwrap_or(0);
    let sheet = |sheet: &SheetRow| format!("  {:width$}  {}", sheet.file, sheet_line(units, sheet));
    let mut lines: Vec<String> = report.sheets.iter().map(sheet).collect();
    for nest in report.nests.iter().filter(|nest| nest.sheets > 1) {
        let min = nest.min_sheets.map_or_else(String::new, |n| format!(" (at least {n} needed)"));
        let layouts =
            nest.layouts.map_or_else(String::new, |n| format!(" in {}", plural(n, "layout")));
        lines.push(format!(
            "{}: {} sheets{min}{layouts}, {:.1} % filled, upper bound {:.1} %",
            nest.sheet, nest.sheets, nest.gross_percent, nest.upper_bound_percent
        ));
    }
    lines
}

/// The totals of all sheets.
fn totals(job: &Job, report: &Report) -> String {
    let (units, totals) = (job.units, &report.totals);
    let currency = job.rates().map_or("", |rates| rates.currency.as_str());
    format!(
        "material yield {:.1} %, mass {}, cut length {}, {}{}",
        totals.yield_percent,
        mass(units, totals.mass_kg),
        long(units, totals.cut_length_mm),
        plural(totals.pierces, "pierce"),
        cost(report, currency)
    )
}

/// What the sheets cost, or which of them have no price.
fn cost(report: &Report, currency: &str) -> String {
    let unpriced: Vec<&str> = report.without_price().collect();
    match report.totals.cost {
        Some(cost) => format!(", sheets cost {}", num::money(cost, currency)),
        None if unpriced.is_empty() || unpriced.len() == report.sheets.len() => String::new(),
        None => format!(", cost of the sheets not known: no price for {}", unpriced.join(", ")),
    }
}

/// How full the used length of a sheet is and could be, and what is left of it.
fn sheet_line(units: Units, sheet: &SheetRow) -> String {
    let used = &sheet.used;
    let (gross, max) = (used.gross_percent, used.upper_bound_percent);
    let left = sheet.remnant_mm.map_or_else(String::new, |[length, width]| {
        let place = sheet.remnant_place.map_or_else(String::new, |place| format!(" {place}"));
        let [length, width] = [length, width].map(|mm| units.rounded_down(mm, 1));
        format!("; remnant {length} × {width}{place}")
    });
    let length = units.taped(used.length_mm);
    let book = sheet.book.map_or_else(String::new, |id| format!("no. {id} of the book, "));
    let kits = match sheet.kits.as_slice() {
        [] => String::new(),
        kits => format!("; {} {}", if kits.len() == 1 { "kit" } else { "kits" }, kits.join(", ")),
    };
    let locked = match sheet.locked {
        0 => String::new(),
        n => format!("; {} locked", plural(n, "piece")),
    };
    let near = match sheet.below_heat_spacing {
        0 => String::new(),
        n => format!(
            "; {} closer than `heat_spacing` to the piece cut just before",
            plural(n, "piece")
        ),
    };
    format!(
        "{book}{length} used, {gross:.1} % filled, upper bound {max:.1} %{left}{kits}{locked}{near}"
    )
}

/// What was chosen for the open inputs of a job, a line each; empty when none were open.
pub(super) fn choices(job: &Job, solved: &[Solved]) -> String {
    let pairs = |values: &[(String, String)]| {
        let pairs = values.iter().map(|(name, value)| format!("{name} = {value}"));
        pairs.collect::<Vec<_>>().join(", ")
    };
    let mut text = String::new();
    for solved in solved {
        let Some(choice) = &solved.choice else { continue };
        let _ = write!(text, "chosen: {} {}", solved.name, pairs(&choice.chosen));
        let _ = match &choice.lighter {
            Some(f) => writeln!(text, " ({} fails {}: {})", pairs(&f.values), f.code, f.headline),
            None => writeln!(text, " (the lightest of {})", choice.tried),
        };
    }
    for link in &job.links {
        let Some(chosen) = &link.chosen else { continue };
        let _ = write!(text, "chosen: {} tube = {}", link.name, link.tube.name());
        let _ = match &chosen.lighter {
            Some(f) => writeln!(text, " ({} fails {}: {})", f.tube, f.code, f.headline),
            None => writeln!(text, " (the lightest of {})", chosen.tried),
        };
    }
    text
}

/// One part on a few lines.
pub(super) fn part(job: &Job, solved: &Solved) -> String {
    let region = &solved.flat.region;
    let (bounds, units) = (region.bounds(), job.units);
    let mut text = format!(
        "{}: {} × {}, {}, cut length {}\n",
        solved.name,
        units.length(bounds.width()),
        units.length(bounds.height()),
        plural(region.holes().len(), "hole"),
        long(units, region.length()),
    );
    for fact in &solved.part.facts {
        let _ = writeln!(text, "  {} {}: {}", fact.name, fact.value.show(units), fact.about);
    }
    text
}

fn mass(units: Units, kg: f64) -> String {
    match units {
        Units::Millimetre => format!("{kg:.2} kg"),
        Units::Inch => format!("{:.2} lb", kg / 0.453_592_37),
    }
}

fn long(units: Units, mm: f64) -> String {
    match units {
        Units::Millimetre => format!("{:.2} m", mm / 1000.0),
        Units::Inch => format!("{:.1} ft", mm / 304.8),
    }
}
