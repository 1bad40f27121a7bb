//! The title strip of a drawing.

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
        Some(cut) => {
            format!("ISO 2768-{}, cut edge ±{}", job.titled.tolerance, allowed(job.units, cut))
        }
        None => format!("ISO 2768-{}", job.titled.tolerance),
    };
    let mut fields = vec![
        Field::large("Part", &solved.name),
        Field::large("Qty", quantity(job, solved)),
        Field::small("Material", of.material.name()),
        Field::small("Thickness", thickness(job.units, of.thickness)),
        Field::small("Blank size", format!("{} × {}", text(bounds.width()), text(bounds.height()))),
        Field::small("Mass", mass),
        Field::small("Process", job.process.name()),
        Field::small("Scale", scale),
        Field::small("Units", job.units.word()),
        Field::small("Sheet", format!("{sheet} of {count}")),
        Field::small("Job", &job.name),
        Field::small("Tolerance", tolerance),
        Field::Edge(format!("–{}", text(EDGE))),
        Field::small("Issue", solved.issue.words(job)),
    ];
    fields.extend(job.titled.date.iter().map(|date| Field::small("Date", date)));
    fields.push(Field::Sentence(CAUTION.into()));
    fields
}

/// A thickness without its unit: gauges have ten-thousandths of an inch.
fn thickness(units: Units, mm: f64) -> String {
    match units {
        Units::Millimetre => figure_text(units, mm),
        Units::Inch => num::text(mm / units.in_mm(), 4),
    }
}

/// A tolerance without its unit, with no more decimals than the sizes have and never larger than
/// it is; below a thousandth of an inch, or a hundredth of a mm, as it is.
fn allowed(units: Units, mm: f64) -> String {
    let decimals: u8 = if units == Units::Inch { 3 } else { 2 };
    let steps = (0..decimals).fold(mm / units.in_mm(), |steps, _| steps * 10.0);
    let whole = (steps + 1e-9).floor();
    match whole < 1.0 {
        true => num::text(mm / units.in_mm(), 5),
        false => {
            num::text((0..decimals).fold(whole, |steps, _| steps / 10.0), usize::from(decimals))
        }
    }
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tolerance_is_never_printed_larger_and_a_gauge_as_it_is() {
        for (units, mm, wanted) in [
            (Units::Inch, 0.1, "0.003"),
            (Units::Inch, 0.127, "0.005"),
            (Units::Inch, 0.02, "0.00079"),
            (Units::Millimetre, 0.1, "0.1"),
            (Units::Millimetre, 0.128, "0.12"),
        ] {
            assert_eq!(allowed(units, mm), wanted, "{mm}");
        }
        assert_eq!(thickness(Units::Inch, 0.1196 * 25.4), "0.1196");
        assert_eq!(thickness(Units::Inch, 4.7625), "0.1875");
    }
}
