//! The title strip of a drawing.

use crate::drawings::issue;
use crate::job::CAUTION;
use crate::job::Job;
use crate::num;
use crate::paper::Field;
use crate::paper::figure_text;
use crate::quantity::KG_PER_LB;
use crate::quantity::Units;
use crate::solve;
use crate::solve::Solved;

/// Greatest burr or undercut of an edge, mm: common practice for plates that are handled.
const EDGE: f64 = 0.3;

/// Its fields on a sheet of so many, drawn at a scale.
pub(super) fn fields(
    job: &Job,
    solved: &Solved,
    scale: &str,
    [sheet, count]: [usize; 2],
) -> Vec<Field> {
    let of = &job.sheets[solved.sheet];
    let region = &solved.flat.region;
    let (bounds, text) = (region.bounds(), |mm: f64| figure_text(job.units, mm));
    let mass = region.area() * of.thickness * of.material.measure("density");
    let mass = match job.units {
        Units::Millimetre => format!("{} kg", num::text(mass, 3)),
        Units::Inch => format!("{} lb", num::text(mass / KG_PER_LB, 3)),
    };
    let tolerance = match job.limits.cut {
        Some(cut) => format!("ISO 2768-{}, cut edge ±{}", job.titled.tolerance, text(cut)),
        None => format!("ISO 2768-{}", job.titled.tolerance),
    };
    let mut fields = vec![
        Field::large("Part", &solved.name),
        Field::large("Qty", quantity(job, solved)),
        Field::small("Material", of.material.name()),
        Field::small("Thickness", text(of.thickness)),
        Field::small("Blank size", format!("{} × {}", text(bounds.width()), text(bounds.height()))),
        Field::small("Mass", mass),
        Field::small("Process", job.process.name()),
        Field::small("Scale", scale),
        Field::small("Units", job.units.word()),
        Field::small("Sheet", format!("{sheet} of {count}")),
        Field::small("Job", &job.name),
        Field::small("Tolerance", tolerance),
        Field::Edge(format!("–{}", text(EDGE))),
        Field::small("Issue", issue::words(job, solved)),
    ];
    fields.extend(job.titled.date.iter().map(|date| Field::small("Date", date)));
    fields.push(Field::Sentence(CAUTION.into()));
    fields
}

/// Pieces to cut, and in how many sets where a set has several.
fn quantity(job: &Job, solved: &Solved) -> String {
    let pieces = solve::pieces(job, solved);
    let sets = job.lines[solved.line].quantity;
    match solved.part.copies {
        1 => pieces.to_string(),
        2 if sets == 1 => format!("{pieces} (1 pair)"),
        2 => format!("{pieces} ({sets} pairs)"),
        copies => format!("{pieces} ({sets} × {copies})"),
    }
}
