//! What an order says in words.

use crate::job::BendSigns;
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
    let Some(first) = parts.first().map(|i| &solved[*i]) else { return String::new() };
    let sheet = &job.sheets[first.sheet];
    let pieces: u32 = parts.iter().map(|i| solve::pieces(job, &solved[*i])).sum();
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
        String::new(),
        "NUMBERS".into(),
        "Ordered are the pieces that are needed and no others: there are no spares among them."
            .into(),
    ];
    let fills: Vec<&str> = parts
        .iter()
        .map(|i| &solved[*i])
        .filter(|s| job.lines[s.line].lie.fill > 0)
        .map(|s| s.name.as_str())
        .collect();
    if !fills.is_empty() {
        lines.push(format!(
            "Our own sheet files may hold more of {}, which fill room left there; those are not ordered.",
            fills.join(", ")
        ));
    }
    lines.extend([String::new(), "UNITS".into()]);
    let units = if job.units == Units::Inch { "inches" } else { "millimetres" };
    lines.push(match form.dialect.version {
        Version::R2000 => format!("All files are drawn in {units}, and say so."),
        Version::R12 => {
            format!("All files are drawn in {units}. The format (DXF R12) cannot say so itself.")
        }
    });
    if let Some(largest) = largest(solved, parts) {
        let bounds = largest.flat.region.bounds();
        let both = |mm: f64| format!("{} mm = {} in", num::text(mm, 3), num::text(mm / 25.4, 4));
        lines.push(format!(
            "To check: `{}` is {} long and {} wide.",
            largest.name,
            both(bounds.width()),
            both(bounds.height())
        ));
    }
    let kerf = "Kerf is NOT applied: lines are the finished edges. Please cut beside them.";
    lines.extend([String::new(), "KERF".into(), kerf.into(), String::new(), "LAYERS".into()]);
    lines.push("CUT   cut through; every contour is closed and drawn once".into());
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
    lines.extend([String::new(), "SIDES".into()]);
    lines.push(
        "Drawn is the upper side. Please do not mirror parts; etched marks lie on the upper side."
            .into(),
    );
    let marked: Vec<&str> = parts
        .iter()
        .map(|i| &solved[*i])
        .filter(|s| !s.flat.marks.is_empty())
        .map(|s| s.name.as_str())
        .collect();
    if !marked.is_empty() && !form.holes_only {
        lines.push(format!("Etched are: {}", marked.join(", ")));
    }
    let later = later(job, solved, parts);
    if !later.is_empty() {
        lines.extend([String::new(), "HOLES FINISHED BY US".into()]);
        lines.push(
            "These are cut to the size drawn, which is a pilot. Please leave them so:".into(),
        );
        lines.extend(later);
    }
    let bent: Vec<&str> = parts
        .iter()
        .map(|i| &solved[*i])
        .filter(|s| !s.part.bends.is_empty())
        .map(|s| s.name.as_str())
        .collect();
    if !bent.is_empty() {
        lines.extend([String::new(), "BENT LATER".into(), bent.join(", ")]);
    }
    lines.extend([
        String::new(),
        "FILES".into(),
        "list.csv names every file with its size and its SHA-256. Please send back files you changed:".into(),
        "we hold them against what was sent before anything is cut.".into(),
        String::new(),
        crate::job::CAUTION.to_owned(),
    ]);
    // Old editors break lines at CR LF only.
    let text: Vec<String> = lines.into_iter().map(|line| line + "\r\n").collect();
    text.concat()
}

fn largest<'a>(solved: &'a [Solved], parts: &[usize]) -> Option<&'a Solved> {
    let size = |s: &Solved| s.flat.region.bounds().width();
    parts.iter().map(|i| &solved[*i]).max_by(|a, b| size(a).total_cmp(&size(b)))
}

fn later(job: &Job, solved: &[Solved], parts: &[usize]) -> Vec<String> {
    let mut lines = Vec::new();
    for part in parts.iter().map(|i| &solved[*i]) {
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
