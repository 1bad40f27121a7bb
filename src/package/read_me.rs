//! What an order says in words.

use crate::job::BendSigns;
use crate::job::CAUTION;
use crate::job::Job;
use crate::job::OrderForm;
use crate::num;
use crate::quantity::Units;
use crate::recipe::Making;
use crate::solve;
use crate::solve::Solved;
use crate::write::Version;

/// Part, number, metal and thickness: the name of a flat's file.
pub(super) fn flat(job: &Job, part: &Solved) -> String {
    let sheet = &job.sheets[part.sheet];
    let pieces = solve::pieces(job, part);
    // A thickness is read aloud as it is ordered; its fraction must survive in a name.
    let thickness = job.units.length(sheet.thickness).replace('/', "-");
    format!("{}_{pieces}x_{}_{thickness}", part.name, sheet.material.name())
}

/// In an order each part is alone, so that none of its cuts can be common.
const ON_SHEETS: &str = "CUT-COMMON is in none of these files. Our own sheets have it: the cut runs ON its lines, with no offset for the kerf, \
     before the open paths on CUT; each of these has its piece on the left and is cut to the right of it.";

/// The text that goes with the flats.
pub(super) fn read_me(job: &Job, solved: &[Solved], parts: &[usize], form: OrderForm) -> String {
    let parts: Vec<&Solved> = parts.iter().map(|i| &solved[*i]).collect();
    let Some(first) = parts.first() else { return String::new() };
    let sheet = &job.sheets[first.sheet];
    let pieces: u32 = parts.iter().map(|part| solve::pieces(job, part)).sum();
    let mut lines = vec![
        format!(
            "{}: {} {} thick",
            job.name,
            sheet.material.name(),
            job.units.length(sheet.thickness)
        ),
        format!(
            "{} different parts, {pieces} pieces in all; the number of each is in its name and in list.csv",
            parts.len()
        ),
    ];
    lines.extend(section("NUMBERS", numbers(job, &parts)));
    lines.extend(section("UNITS", units(job, &parts, form)));
    let kerf = "Kerf is NOT applied: lines are the finished edges. Please cut beside them.";
    lines.extend(section("KERF", vec![kerf.into()]));
    lines.extend(section("LAYERS", layers(job, form)));
    lines.extend(section("SIDES", sides(&parts, form)));
    let later = later(job, &parts);
    if !later.is_empty() {
        let pilots = "These are cut to the size drawn, which is a pilot. Please leave them so:";
        lines.extend(section("HOLES FINISHED BY US", vec![pilots.into()]));
        lines.extend(later);
    }
    let bent = names(&parts, |part| !part.part.bends.is_empty());
    if !bent.is_empty() {
        lines.extend(section("BENT LATER", vec![bent.join(", ")]));
    }
    lines.extend(section("FILES", vec![
        "list.csv names every file with its size and its SHA-256. Please send back files you changed:".into(),
        "we hold them against what was sent before anything is cut.".into(),
        String::new(),
        CAUTION.to_owned(),
    ]));
    // Old editors break lines at CR LF only.
    let text: Vec<String> = lines.into_iter().map(|line| line + "\r\n").collect();
    text.concat()
}

/// An empty line, a heading and what stands below it.
fn section(heading: &str, lines: Vec<String>) -> Vec<String> {
    [String::new(), heading.to_owned()].into_iter().chain(lines).collect()
}

/// The names of those parts that are of a kind.
fn names<'a>(parts: &[&'a Solved], are: impl Fn(&Solved) -> bool) -> Vec<&'a str> {
    parts.iter().filter(|part| are(part)).map(|part| part.name.as_str()).collect()
}

fn numbers(job: &Job, parts: &[&Solved]) -> Vec<String> {
    let mut lines: Vec<String> = vec![
        "Ordered are the pieces that are needed and no others: there are no spares among them."
            .into(),
    ];
    let fills = names(parts, |part| job.lines[part.line].lie.fill > 0);
    if !fills.is_empty() {
        lines.push(format!(
            "Our own sheet files may hold more of {}, which fill room left there; those are not ordered.",
            fills.join(", ")
        ));
    }
    lines
}

fn units(job: &Job, parts: &[&Solved], form: OrderForm) -> Vec<String> {
    let units = if job.units == Units::Inch { "inches" } else { "millimetres" };
    let mut lines = vec![match form.dialect.version {
        Version::R2000 => format!("All files are drawn in {units}, and say so."),
        Version::R12 => {
            format!("All files are drawn in {units}. The format (DXF R12) cannot say so itself.")
        }
    }];
    let width = |part: &Solved| part.flat.region.bounds().width();
    let largest = parts.iter().max_by(|a, b| width(a).total_cmp(&width(b)));
    lines.extend(largest.map(|largest| {
        let bounds = largest.flat.region.bounds();
        let both = |mm: f64| format!("{} mm = {} in", num::text(mm, 3), num::text(mm / 25.4, 4));
        format!(
            "To check: `{}` is {} long and {} wide.",
            largest.name,
            both(bounds.width()),
            both(bounds.height())
        )
    }));
    lines
}

fn layers(job: &Job, form: OrderForm) -> Vec<String> {
    let mut lines: Vec<String> =
        vec!["CUT   cut through; every contour is closed and drawn once".into()];
    if job.common_cuts.is_some() {
        lines.push(ON_SHEETS.into());
    }
    if form.holes_only {
        lines.push("Only the holes are drawn; the rim is not in these files.".into());
    } else {
        lines.push("MARK  etched or scribed, not cut through".into());
        lines.push(match form.bends {
            BendSigns::Lines => {
                "BEND  middle of each bend, for the person at the brake: neither cut nor etched"
                    .into()
            }
            BendSigns::Ticks => {
                "      bends are shown by short ticks on MARK at both ends of their middle".into()
            }
            BendSigns::None => "      bends are not drawn; we bend the parts ourselves".into(),
        });
    }
    if form.dialect.repeat_first {
        lines.push("The first corner of each contour is repeated at its end.".into());
    }
    lines
}

fn sides(parts: &[&Solved], form: OrderForm) -> Vec<String> {
    let mut lines: Vec<String> = vec![
        "Drawn is the upper side. Please do not mirror parts; etched marks lie on the upper side."
            .into(),
    ];
    let marked = names(parts, |part| !part.flat.marks.is_empty());
    if !marked.is_empty() && !form.holes_only {
        lines.push(format!("Etched are: {}", marked.join(", ")));
    }
    lines
}

fn later(job: &Job, parts: &[&Solved]) -> Vec<String> {
    let mut lines = Vec::new();
    for part in parts {
        let holes = part.part.faces.iter().flat_map(|f| &f.holes);
        for hole in holes.filter(|hole| hole.making != Making::Cut) {
            let pilot = job.units.length(hole.outline.bounds().width());
            let then =
                hole.finished.map_or(String::new(), |mm| format!(" to {}", job.units.length(mm)));
            lines.push(format!(
                "{}, hole {}: cut {pilot}; we {}{then}",
                part.name,
                hole.name,
                hole.making.word()
            ));
        }
    }
    lines
}
