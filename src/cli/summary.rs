//! What came of it, in a form that is read in ten seconds.

use crate::cli::shelf::shown;
use crate::cli::terminal;
use crate::cli::terminal::plural;
use platewright::job;
use platewright::job::Job;
use platewright::job::Made;
use platewright::job::SheetRow;
use platewright::job::Solved;
use platewright::quantity::Units;
use std::fmt::Write;
use std::path::Path;

/// The summary of a job that was made.
pub(super) fn text(job: &Job, made: &Made, out: &Path) -> String {
    let totals = &made.report.totals;
    let mut text = String::new();
    let mut line = |words: String| {
        // Writing to a string cannot fail.
        let _ = writeln!(text, "{words}");
    };
    // Fillings are added to those asked for, once all of these are placed.
    let lacking = match (totals.pieces as usize).abs_diff(totals.placed) {
        0 => String::new(),
        n if totals.placed > totals.pieces as usize => format!(", {n} of them filling"),
        n => format!("; {n} COULD NOT BE PLACED"),
    };
    line(format!(
        "{}: {}, {}, {} placed on {}{lacking}",
        job.name,
        plural(totals.parts, "part"),
        plural(totals.pieces as usize, "piece"),
        totals.placed,
        plural(totals.sheets, "sheet")
    ));
    let width = made.report.sheets.iter().map(|s| s.file.len()).max().unwrap_or(0);
    for sheet in &made.report.sheets {
        line(format!("  {:width$}  {}", sheet.file, sheet_line(job.units, sheet)));
    }
    for nest in made.report.nests.iter().filter(|nest| nest.sheets > 1) {
        let least = nest.min_sheets.map_or_else(String::new, |n| format!(" of at least {n}"));
        line(format!(
            "{}: {} sheets{least}, {:.1} %, upper bound {:.1} %",
            nest.sheet, nest.sheets, nest.gross_percent, nest.upper_bound_percent
        ));
    }
    line(format!(
        "material yield {:.1} %, mass {}, cut length {}, {}{}",
        totals.yield_percent,
        mass(job.units, totals.mass_kg),
        long(job.units, totals.cut_length_mm),
        plural(totals.pierces, "pierce"),
        totals.cost.map_or_else(String::new, |cost| format!(", sheets cost {cost:.2}"))
    ));
    if let Some(saved) = totals.saved_by_common_cuts_mm {
        line(format!("common cuts save {} of cutting", long(job.units, saved)));
    }
    for part in &made.report.parts {
        if let Some(bending) = &part.bending {
            line(format!("bend sequence of {}: {bending}", part.name));
        }
    }
    for tube in &made.report.tubes {
        line(format!("tube {}", tube.words));
    }
    if let Some(strength) = &made.report.strength {
        for load in &strength.loads {
            line(format!("load {}", load.words));
        }
        line(strength.caution.to_owned());
    }
    line(format!("findings: {}", terminal::count(&made.findings)));
    line(format!("written: {} in {}", plural(made.files.len(), "file"), shown(out)));
    line(job::CAUTION.to_owned());
    text
}

/// How full the used length of a sheet is and could be, and what is left of it.
fn sheet_line(units: Units, sheet: &SheetRow) -> String {
    let used = &sheet.used;
    let (gross, most) = (used.gross_percent, used.upper_bound_percent);
    let left = sheet.remnant_mm.map_or_else(String::new, |[length, width]| {
        format!("; left {} × {}", units.length(length), units.length(width))
    });
    let length = units.length(used.length_mm);
    format!("{gross:5.1} % of {length} used, upper bound {most:.1} %{left}")
}

/// What was chosen for the open inputs of a job, a line a part; empty when none were open.
pub(super) fn choices(solved: &[Solved]) -> String {
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
