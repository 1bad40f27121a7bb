//! The title block of a drawing.

use crate::bill;
use crate::job::CAUTION;
use crate::job::Job;
use crate::job::Sheet;
use crate::link::Link;
use crate::num;
use crate::paper::Field;
use crate::paper::Foot;
use crate::paper::figure_text;
use crate::paper::size_figure;
use crate::paper::size_text;
use crate::quantity::KG_PER_LB;
use crate::quantity::Units;
use crate::solve;
use crate::solve::Issue;
use crate::solve::Solved;

/// Greatest burr or undercut of an edge, mm: common practice for plates that are handled.
const EDGE: f64 = 0.3;

/// The status of a part that is not to be made, on every sheet of its drawing.
const STOPPED: &str = "NOT FOR MANUFACTURE";

/// Its fields on a sheet, with the number of sheets, drawn at a scale.
pub(super) fn fields(
    job: &Job,
    solved: &Solved,
    scale: &str,
    [sheet, count]: [usize; 2],
) -> Vec<Field> {
    let of = &job.sheets[solved.sheet];
    let bounds = solved.flat.region.bounds();
    let text = |mm: f64| figure_text(job.units, mm);
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
        Field::small("Thickness", thickness(job, of)),
        Field::small("Blank size", format!("{} × {}", text(bounds.width()), text(bounds.height()))),
        Field::small("Mass", mass(job, solved)),
        Field::small("Process", job.process.name()),
        Field::small("Scale", scale),
        Field::small("Units", job.units.word()),
        Field::small("Sheet", format!("{sheet} of {count}")),
        Field::small("Job", &job.name),
        Field::small("Tolerance", tolerance),
        Field::Edge(format!("–{}", text(EDGE))),
        Field::small("Issue", solved.issue.words(job)),
    ];
    if solve::stops(&solved.found) {
        fields.insert(1, Field::large("Status", STOPPED));
    }
    fields.extend(last(job, "Part drawing", &solved.name));
    fields
}

/// The fields of the drawing of a set of several plates.
pub(super) fn of_set(
    job: &Job,
    set: &[&Solved],
    name: &str,
    scale: &str,
    [sheet, count]: [usize; 2],
) -> Vec<Field> {
    let sets = set.first().map_or(0, |part| solve::pieces(job, part) / part.part.copies.max(1));
    let mass: f64 = set.iter().map(|part| kilograms(job, part) * f64::from(part.part.copies)).sum();
    let parts: Vec<String> = set.iter().map(|part| of_part(part)).collect();
    let letters = set.iter().map(|part| part.issue.letter.as_deref());
    let letter = letters.collect::<Option<Vec<&str>>>().map(|letters| of_all(&letters));
    let issue = Issue { letter, geometry: solve::digits(&parts.join("\n")) };
    let mut fields = vec![
        Field::large("Assembly", name),
        Field::large("Sets", sets.to_string()),
        Field::small("Parts", set.len().to_string()),
        Field::small("Mass of one assembly", in_units(job.units, mass)),
        Field::small("Scale", scale),
        Field::small("Units", job.units.word()),
        Field::small("Sheet", format!("{sheet} of {count}")),
        Field::small("Job", &job.name),
        Field::small("Issue", issue.words(job)),
    ];
    fields.extend(last(job, "Assembly drawing", name));
    fields
}

/// The fields of the drawing of a link.
pub(super) fn of_link(
    job: &Job,
    link: &Link,
    scale: &str,
    [sheet, count]: [usize; 2],
) -> Vec<Field> {
    let tube = bill::link_tubes(job).into_iter().find(|tube| tube.name == link.name);
    let section = tube.map(|tube| tube.section).unwrap_or_default();
    let mut fields = vec![
        Field::large("Link", &link.name),
        Field::large("Qty", link.quantity.to_string()),
        Field::small("Tube", section),
        Field::small("Pin to pin", job.units.length(link.pins)),
        Field::small("Scale", scale),
        Field::small("Units", job.units.word()),
        Field::small("Sheet", format!("{sheet} of {count}")),
        Field::small("Job", &job.name),
    ];
    fields.extend(last(job, "Link drawing", &link.name));
    fields
}

/// The fields of the drawing of the machine.
pub(super) fn of_machine(
    job: &Job,
    issue: &Issue,
    scale: &str,
    [sheet, count]: [usize; 2],
) -> Vec<Field> {
    let mut fields = vec![
        Field::large("Machine", &job.name),
        Field::small("Scale", scale),
        Field::small("Units", job.units.word()),
        Field::small("Sheet", format!("{sheet} of {count}")),
        Field::small("Job", &job.name),
        Field::small("Issue", issue.words(job)),
    ];
    fields.extend(last(job, "Arrangement drawing", "machine"));
    fields
}

/// The letters of a set by item, `A/C`, which change when one of its parts does; one where all are
/// alike.
fn of_all(letters: &[&str]) -> String {
    let alike = letters.windows(2).all(|pair| pair[0] == pair[1]);
    if alike { letters.first().copied().unwrap_or_default().to_owned() } else { letters.join("/") }
}

/// Everything in the drawing of a set on one of its parts, as it is hashed.
fn of_part(part: &Solved) -> String {
    let welds = part.part.faces.iter().flat_map(|face| &face.welds).map(|weld| {
        let leg = weld.leg.map_or_else(String::new, |leg| num::text(leg, 4));
        let (edge, note, round) = (&weld.edge, &weld.note, weld.all_round);
        format!("\nweld {edge}, {} {round} {leg}: {note}", weld.sides)
    });
    let welds: String = welds.collect();
    format!("{} {} {}{welds}", part.name, part.part.copies, part.issue.geometry)
}

/// The fields at the end of every strip: those the job gives, the boxes to sign, the caution.
fn last(job: &Job, kind: &'static str, part: &str) -> Vec<Field> {
    let names = &job.titled.names;
    let number = match names.number.as_str() {
        "" => String::new(),
        number => format!("{}-{part}", number.trim_end_matches('-')),
    };
    let date = job.titled.date.clone().unwrap_or_default();
    let given = [("Date", date), ("Number", number), ("Owner", names.owner.clone())];
    let given = given.into_iter().filter(|(_, value)| !value.is_empty());
    let signed =
        [("Drawn", &names.drawn), ("Checked", &names.checked), ("Approved", &names.approved)];
    let signed = signed.map(|(label, name)| Foot::Signed { label, name: name.clone() });
    let sign = Foot::Projection { third: job.titled.third_angle };
    given
        .map(|(label, value)| Field::small(label, value))
        .chain([Field::Sentence(CAUTION.into())])
        .chain([Foot::Kind(kind)].into_iter().chain(signed).chain([sign]).map(Field::Foot))
        .collect()
}

/// The mass of a part, kg.
fn kilograms(job: &Job, solved: &Solved) -> f64 {
    let of = &job.sheets[solved.sheet];
    solved.flat.region.area() * of.thickness * of.material.measure("density")
}

/// The mass of a part with its unit.
pub(super) fn mass(job: &Job, solved: &Solved) -> String {
    in_units(job.units, kilograms(job, solved))
}

fn in_units(units: Units, kilograms: f64) -> String {
    match units {
        Units::Millimetre => format!("{} kg", num::text(kilograms, 3)),
        Units::Inch => format!("{} lb", num::text(kilograms / KG_PER_LB, 3)),
    }
}

/// The thickness of a sheet, with its gauge where the job calls it by one: `2.3 (11 ga)`; of one that is
/// a fraction of an inch in a job in mm both: `4.76 (3/16 in)`.
fn thickness(job: &Job, sheet: &Sheet) -> String {
    let figure = figure_text(job.units, sheet.thickness);
    let named = size_figure(job.units, sheet.thickness);
    match &sheet.gauge {
        Some(gauge) => format!("{named} ({gauge})"),
        None if job.units == Units::Millimetre && named.ends_with(" in") => {
            format!("{figure} ({named})")
        }
        None => named,
    }
}

/// The thickness of a sheet with its unit, and with its gauge where the job calls it by one:
/// `2.3 mm (11 ga)`.
pub(crate) fn thickness_text(job: &Job, sheet: &Sheet) -> String {
    let named = size_text(job.units, sheet.thickness);
    match &sheet.gauge {
        Some(gauge) => format!("{named} ({gauge})"),
        None => named,
    }
}

/// A tolerance without its unit, with no more decimals than the sizes have and never rounded up;
/// below a thousandth of an inch, or a hundredth of a mm, unrounded.
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
    fn the_letter_of_a_set_changes_with_that_of_a_part() {
        let of = [&["A"][..], &["A", "A"], &["A", "B"], &["B", "B"]].map(of_all);
        assert_eq!(of, ["A", "A", "A/B", "B"]);
    }

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
        assert_eq!(size_figure(Units::Inch, 0.1196 * 25.4), "0.1196");
        assert_eq!(size_figure(Units::Inch, 4.7625), "0.1875");
        assert_eq!(size_figure(Units::Inch, 4.0), "4 mm");
        assert_eq!(size_figure(Units::Millimetre, 4.7625), "3/16 in");
        assert_eq!(size_figure(Units::Millimetre, 2.304), "2.3");
    }
}
