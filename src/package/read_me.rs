//! The read-me of an order.

use crate::draw;
use crate::job::BendSigns;
use crate::job::CAUTION;
use crate::job::Job;
use crate::job::OrderForm;
use crate::num;
use crate::quantity::Units;
use crate::solve;
use crate::solve::Solved;
use crate::write::Version;

/// Part, number, metal and thickness: the name of a flat's file.
pub(super) fn flat(job: &Job, part: &Solved) -> String {
    let sheet = &job.sheets[part.sheet];
    let pieces = solve::pieces(job, part);
    // A thickness is read aloud as it is ordered; its fraction must survive in a name.
    let thickness = job.units.size(sheet.thickness).replace('/', "-");
    format!("{}_{pieces}x_{}_{thickness}", part.name, sheet.material.name())
}

/// In an order each part is alone, so that none of its cuts can be common.
const ON_SHEETS: &str = "CUT-COMMON is in none of these files. Our own sheets have it: cut ON its lines, no kerf offset, \
     before the open paths on CUT; offset those to the right, the piece is on the left.";

/// The text enclosed with the flats.
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
            job.units.size(sheet.thickness)
        ),
        format!(
            "Different parts: {}. Total pieces: {pieces}. Quantities are in the file names and in list.csv.",
            parts.len()
        ),
    ];
    lines.extend(section("QUANTITIES", quantities(job, &parts)));
    lines.extend(section("ISSUES", issues(job, &parts)));
    lines.extend(section("UNITS", units(job, &parts, form)));
    let kerf =
        "Outlines are the finished edge. No kerf compensation is applied: please apply yours.";
    lines.extend(section("KERF", vec![kerf.into()]));
    lines.extend(section("LAYERS", layers(job, form)));
    lines.extend(section("SIDES", sides(&parts, form)));
    let finished = finished_by_us(job, &parts);
    if !finished.is_empty() {
        let as_drawn =
            "Please cut these as drawn (pilot or tap drill size) and leave them at that size:";
        lines.extend(section("HOLES FINISHED BY US", vec![as_drawn.into()]));
        lines.extend(finished);
    }
    lines.extend(worked_by_us(job, &parts));
    let bent = names(&parts, |part| !part.part.bends.is_empty());
    if !bent.is_empty() {
        lines.extend(section(
            "BENT BY US",
            vec![format!("Please deliver flat: {}.", bent.join(", "))],
        ));
    }
    lines.extend(section(
        "FILES",
        vec![
            "list.csv lists every file with its size and SHA-256. Please return any file you change:"
                .into(),
            "we compare returned files with the order before anything is cut.".into(),
            String::new(),
            CAUTION.to_owned(),
        ],
    ));
    // Old editors break lines at CR LF only.
    let text: Vec<String> = lines.into_iter().map(|line| line + "\r\n").collect();
    text.concat()
}

/// What is done to edges and faces after delivery.
fn worked_by_us(job: &Job, parts: &[&Solved]) -> Vec<String> {
    let mut lines = Vec::new();
    let bevelled = bevelled_by_us(job, parts);
    if !bevelled.is_empty() {
        let square =
            "Bevelled by us after delivery; please deliver these edges square, to the outline:";
        lines.extend(section("EDGES BEVELLED BY US", vec![square.into()]));
        lines.extend(bevelled);
    }
    let formed = formed_by_us(job, parts);
    if !formed.is_empty() {
        let flat = "Formed by us after delivery; please deliver flat, without beads or lips:";
        lines.extend(section("FORMED BY US", vec![flat.into()]));
        lines.extend(formed);
    }
    lines
}

/// An empty line, a heading and the lines below it.
fn section(heading: &str, lines: Vec<String>) -> Vec<String> {
    [String::new(), heading.to_owned()].into_iter().chain(lines).collect()
}

/// The names of those parts that are of a kind.
fn names<'a>(parts: &[&'a Solved], are: impl Fn(&Solved) -> bool) -> Vec<&'a str> {
    parts.iter().filter(|part| are(part)).map(|part| part.name.as_str()).collect()
}

fn quantities(job: &Job, parts: &[&Solved]) -> Vec<String> {
    let mut lines: Vec<String> = vec!["Quantities are exact; no spares included.".into()];
    let fills = names(parts, |part| job.lines[part.line].placing.fill > 0);
    if !fills.is_empty() {
        lines.push(format!(
            "Our own sheet files may contain more of {}, placed in free area; those are not ordered.",
            fills.join(", ")
        ));
    }
    lines
}

/// How these parts are distinguished from those sent before or later.
fn issues(job: &Job, parts: &[&Solved]) -> Vec<String> {
    let issue = |part: &&Solved| format!("{}: {}", part.name, part.issue.words(job));
    let mut lines =
        vec!["Please work to these issues only; the drawings show the same.".to_owned()];
    lines.extend(parts.iter().map(issue));
    lines
}

fn units(job: &Job, parts: &[&Solved], form: OrderForm) -> Vec<String> {
    let units = if job.units == Units::Inch { "inches" } else { "millimetres" };
    let mut lines = vec![match form.dialect.version {
        Version::R2000 => format!("All files are drawn in {units}; each file states its unit."),
        Version::R12 => {
            format!("All files are drawn in {units}; the format (DXF R12) cannot state it.")
        }
    }];
    let width = |part: &Solved| part.flat.region.bounds().width();
    let largest = parts.iter().max_by(|a, b| width(a).total_cmp(&width(b)));
    lines.extend(largest.map(|largest| {
        let bounds = largest.flat.region.bounds();
        let both = |mm: f64| format!("{} mm = {} in", num::text(mm, 3), num::text(mm / 25.4, 4));
        format!(
            "To check: `{}` is {} long, {} wide.",
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
        lines.push(
            "Only the holes are drawn; the outlines of the parts are not in these files.".into(),
        );
    } else {
        lines.push("MARK  etched or scribed, not cut".into());
        lines.push(match form.bends {
            BendSigns::Lines => {
                "BEND  bend lines (centre of the bend), for the brake: neither cut nor etched"
                    .into()
            }
            BendSigns::Ticks => {
                "      bend lines are shown by short ticks on MARK at both ends".into()
            }
            BendSigns::None => "      bends are not drawn; we bend the parts ourselves".into(),
        });
    }
    if form.dialect.repeat_first {
        lines.push("The first vertex of each contour is repeated at its end.".into());
    }
    lines
}

fn sides(parts: &[&Solved], form: OrderForm) -> Vec<String> {
    let mut lines: Vec<String> = vec![
        "Top side shown. Please do not mirror parts; etched marks are on the top side.".into(),
    ];
    let marked = names(parts, |part| !part.flat.marks.is_empty());
    if !marked.is_empty() && !form.holes_only {
        lines.push(format!("Parts with etched marks: {}", marked.join(", ")));
    }
    lines
}

fn bevelled_by_us(job: &Job, parts: &[&Solved]) -> Vec<String> {
    let mut lines = Vec::new();
    for part in parts {
        for bevel in part.part.faces.iter().flat_map(|face| &face.bevels) {
            let words = bevel.words(&|mm| job.units.length(mm));
            lines.push(format!("{}, edge {}: {words}", part.name, bevel.edge));
        }
    }
    lines
}

/// The beads, and the lips of flared holes.
fn formed_by_us(job: &Job, parts: &[&Solved]) -> Vec<String> {
    let show = |mm: f64| job.units.length(mm);
    let mut lines = Vec::new();
    for part in parts {
        for face in &part.part.faces {
            let flared = face.holes.iter().filter(|hole| hole.flare.is_some());
            lines.extend(flared.map(|hole| format!("{}, hole {}: flare", part.name, hole.name)));
            let beads = face.beads.iter();
            lines.extend(
                beads.map(|b| format!("{}, bead {}: {}", part.name, b.name, b.words(&show))),
            );
        }
    }
    lines
}

fn finished_by_us(job: &Job, parts: &[&Solved]) -> Vec<String> {
    let mut lines = Vec::new();
    for part in parts {
        let holes = part.part.faces.iter().flat_map(|f| &f.holes);
        for hole in holes {
            let finishing = draw::finishing(hole, job.units, &|mm| job.units.length(mm));
            let Some(after) = finishing.after() else { continue };
            let as_cut = finishing.as_cut;
            lines.push(format!("{}, hole {}: cut {as_cut}; we {after}", part.name, hole.name));
        }
    }
    lines
}
