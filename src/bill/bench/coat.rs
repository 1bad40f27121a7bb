//! The items to coat, and those that are too large for the oven.

use crate::bill::bench::task::Stage;
use crate::bill::bench::task::Task;
use crate::job::Job;
use crate::solve;
use crate::solve::Solved;
use crate::table::Row;
use std::collections::BTreeMap;

/// A line for each coating thickness, and one for each item that does not fit into the oven;
/// nothing in a job that is not coated.
pub(super) fn tasks(job: &Job, solved: &[Solved]) -> Vec<Task> {
    let mut films: BTreeMap<String, u32> = BTreeMap::new();
    let mut tasks = Vec::new();
    for coated in coated(job, solved).into_iter().filter(|coated| coated.film > 0.0) {
        let own = coated.line.map(|line| job.limits_of(&job.lines[line]));
        let limits = own.as_ref().unwrap_or(&job.limits);
        match (limits.too_small(coated.size), limits.too_long(coated.size)) {
            (Some(oven), _) => tasks.push(too_large(job, &coated, oven)),
            (_, Some(largest)) => tasks.push(too_long(job, &coated, largest)),
            _ => *films.entry(job.units.length(coated.film)).or_default() += coated.quantity,
        }
    }
    let line = |(film, quantity): (String, u32)| {
        Task::new(Stage::Coat, "all coated pieces", quantity, format!("Coat, {film} on each face."))
    };
    films.into_iter().map(line).chain(tasks).collect()
}

/// Something that is coated.
struct Coated {
    of: String,
    quantity: u32,
    /// Over all, mm.
    size: [f64; 3],
    /// On each face, mm.
    film: f64,
    /// The line of a part.
    line: Option<usize>,
}

fn coated(job: &Job, solved: &[Solved]) -> Vec<Coated> {
    let parts = solved.iter().map(|part| {
        let bounds = part.flat.region.bounds();
        Coated {
            of: part.name.clone(),
            quantity: solve::pieces(job, part),
            size: [bounds.width(), bounds.height(), part.part.thickness],
            film: job.coating_of(&job.lines[part.line]).film,
            line: Some(part.line),
        }
    });
    let links = job.links.iter().map(|link| {
        let outside = link.tube.measure("outside");
        Coated {
            of: link.name.clone(),
            quantity: link.quantity,
            size: [link.setting().welded, outside, outside],
            film: job.coating,
            line: None,
        }
    });
    let tubes = job.made_tubes().map(|tube| Coated {
        of: tube.name.clone(),
        quantity: tube.quantity,
        size: [tube.cut_length(), tube.outside, tube.outside],
        film: job.coating,
        line: None,
    });
    let weldments = job.weldments.iter().map(|weldment| Coated {
        of: weldment.name.clone(),
        quantity: 1,
        size: weldment.size,
        film: job.coating,
        line: None,
    });
    parts.chain(links).chain(tubes).chain(weldments).filter(|of| of.quantity > 0).collect()
}

/// The items longer than their coating line takes.
fn too_long(job: &Job, coated: &Coated, largest: f64) -> Task {
    let what = format!(
        "Too long for its coating line, {}: {} at most. Coat it elsewhere, or make it in two pieces.",
        coated.size.map(|mm| job.units.cut_to(mm)).join(" × "),
        job.units.length(largest)
    );
    Task::new(Stage::Coat, &coated.of, coated.quantity, what)
}

/// The items too large for the oven, with the finishes that need none.
fn too_large(job: &Job, coated: &Coated, oven: [f64; 3]) -> Task {
    let show = |sides: [f64; 3]| sides.map(|mm| job.units.cut_to(mm)).join(" × ");
    let longest = coated.size.into_iter().fold(0.0, f64::max);
    let has_room = |row: &&&Row| row.quantity("largest").is_none_or(|most| most.value >= longest);
    let other = job.bench.iter().flatten().map(AsRef::as_ref).collect::<Vec<&Row>>();
    let other = other.iter().filter(|row| row.text("cure") == Some("air"));
    let named = other.filter(has_room).map(|row| {
        let repair = row.text("repair").filter(|repair| !repair.is_empty());
        let repair = repair.map_or_else(String::new, |repair| format!("; repair: {repair}"));
        format!("{} ({} per face{repair})", row.name(), job.units.length(row.measure("thickness")))
    });
    let named: Vec<String> = named.collect();
    let other = match named.is_empty() {
        true => String::new(),
        false => format!(
            " Or a finish that needs no oven: {}; check holes and gaps for its thickness.",
            named.join(", ")
        ),
    };
    let what = format!(
        "Too large for the oven, {}: {}. Coat it elsewhere, or make it in two pieces.{other}",
        show(coated.size),
        show(oven)
    );
    Task::new(Stage::Coat, &coated.of, coated.quantity, what)
}
