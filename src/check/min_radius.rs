//! A bend radius too small for the alloy.
//!
//! # Looks for
//! An inside radius below the preferred one of the table `min-radius` for the alloy and
//! thickness (caution), and below the limit of the table `bend-limit` (stop); for an alloy
//! that only `min-radius` has, its radius is the limit. Thicknesses between two rows use the
//! thicker row; thicker sheet keeps the ratio of the last row, or for a limit the strictest
//! one of the thicker half. For mild steel one thickness is preferred, half of it is the
//! limit. Any other metal without a column uses the strictest of its kind: 4130 normalised,
//! 302 and 304, 2024-T3. Where a table leaves a thickness blank, its source does not
//! recommend a bend: a stop.
//!
//! # Why it matters
//! Too small a radius cracks on the outside, at once or in use; hard aluminium does so
//! without warning.
//!
//! # Example
//! 6061-T6 of 0.125 in is preferred at 0.5 in and refused below 0.3125 in (2.5 T). 2024-T3
//! of 0.063 in is refused below 0.25 in, 304 from 0.125 in altogether.
//!
//! # Remedy
//! Bend round a larger radius, take a softer temper, or weld two plates instead.
//!
//! # Source
//! Design-office tables of minimum bend radii for 90° cold bends; mild steel: a stamping
//! design text (R = T preferred, T/2 minimum). What is used for a missing row is our choice.

use crate::check::subject::Subject;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::quantity::Dimension;
use crate::table::Table;

const CODE: &str = "min-radius";

/// The tables print thicknesses and radii to a thousandth of an inch; half of that, in mm.
const PRINTED: f64 = 0.0127;

pub(super) fn look(subject: &Subject) -> Vec<Finding> {
    if subject.part.bends.is_empty() {
        return Vec::new();
    }
    let Some(limits) = limits(subject) else { return vec![not_recommended(subject)] };
    let mut findings = Vec::new();
    for (i, bend) in subject.part.bends.iter().enumerate() {
        let radius = bend.bend.radius();
        let (weight, (least, rule)) = if radius < limits.refused.0 - PRINTED {
            (Weight::Stop, &limits.refused)
        } else if radius < limits.preferred.0 - PRINTED {
            (Weight::Caution, &limits.preferred)
        } else {
            continue;
        };
        let (is, needed) = (subject.show(radius), subject.show(*least));
        let metal = subject.material.name();
        let rated = match weight {
            Weight::Stop => format!("{metal} cracks below {needed}"),
            Weight::Caution => format!("{needed} or more is recommended for {metal}"),
        };
        let headline = format!("bend `{}` has an inside radius of {is}; {rated}", bend.name);
        // Bending round the larger of the two clears both.
        let clear = subject.show(limits.refused.0.max(limits.preferred.0));
        findings.push(
            subject
                .finding(weight, CODE, headline, &bend.depends, bend.span)
                .about(subject.of_part([Feature::Bend(i)]))
                .note(format!("{rule} at {}", subject.show(subject.part.thickness)))
                .help(format!(
                    "use a radius of {clear}: write `bend_radius = \"{clear}\"` in the sheet's entry, or give the part a radius of its own"
                )),
        );
    }
    findings
}

/// The radii of a sheet, mm, each with whose word it is.
struct Limits {
    refused: (f64, String),
    preferred: (f64, String),
}

/// None where a bend is not recommended at all.
fn limits(subject: &Subject) -> Option<Limits> {
    let (thickness, material) = (subject.part.thickness, subject.material);
    let words = |table: &str, of: &str| format!("table `{table}`, {of}");
    let own = material.text("bend_table");
    let of = |table: &'static str, column: &str, beyond: Beyond| {
        by_thickness(subject.tables.table(table)?, column, thickness, beyond)
    };
    let preferred = match own.and_then(|column| of("min-radius", column, Beyond::LastRow)) {
        Some(Listed::NotRecommended) => return None,
        Some(Listed::Radius(radius)) => Some((radius, words("min-radius", material.name()))),
        None => None,
    };
    let refused = if material.bends_as_mild_steel() {
        Some((thickness / 2.0, "half the thickness".into()))
    } else {
        let own = own.and_then(|column| {
            let limit = of("bend-limit", column, Beyond::LastRow);
            let (table, found) = match limit {
                Some(found) => ("bend-limit", found),
                None => ("min-radius", of("min-radius", column, Beyond::Strictest)?),
            };
            Some((found, words(table, material.name())))
        });
        match own {
            Some((Listed::NotRecommended, _)) => return None,
            Some((Listed::Radius(radius), words)) => Some((radius, words)),
            None => None,
        }
    };
    let refused = match refused {
        Some(refused) => refused,
        None => {
            let columns = strictest(material.text("metal"));
            let mut radius = 0.0_f64;
            for column in columns {
                match of("min-radius", column, Beyond::Strictest) {
                    Some(Listed::Radius(other)) => radius = radius.max(other),
                    _ => return None,
                }
            }
            let of = format!("the strictest of {}", material.text("metal").unwrap_or("metals"));
            (radius, words("min-radius", &of))
        }
    };
    let usual = if material.bends_as_mild_steel() {
        (thickness, "one thickness".into())
    } else {
        refused.clone()
    };
    Some(Limits { preferred: preferred.unwrap_or(usual), refused })
}

/// The columns of the table `min-radius` that a metal of a kind is held to when it has none.
fn strictest(kind: Option<&str>) -> &'static [&'static str] {
    match kind {
        Some("steel") => &["r_4130_n"],
        Some("stainless") => &["r_302", "r_304"],
        _ => &["r_2024_t3"],
    }
}

fn not_recommended(subject: &Subject) -> Finding {
    let (metal, sheet) = (subject.material.name(), subject.show(subject.part.thickness));
    let bend = &subject.part.bends[0];
    let headline = format!("{metal} of {sheet} is not recommended for bending");
    subject
        .finding(Weight::Stop, CODE, headline, &bend.depends, bend.span)
        .about(subject.of_part((0..subject.part.bends.len()).map(Feature::Bend)))
        .note("the table `min-radius` leaves this thickness blank, as its source does")
        .help("use thinner sheet or another metal, or weld the flanges on as separate parts")
}

/// The radius a table has for the sheet, mm; none where the alloy has no column, or no figure.
pub(super) fn listed(subject: &Subject, table: &str) -> Option<f64> {
    let column = subject.material.text("bend_table")?;
    let table = subject.tables.table(table)?;
    match by_thickness(table, column, subject.part.thickness, Beyond::LastRow)? {
        Listed::Radius(radius) => Some(radius),
        Listed::NotRecommended => None,
    }
}

/// What a column says of a thickness.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Listed {
    /// The minimum inside radius, mm.
    Radius(f64),
    /// Its source leaves that blank.
    NotRecommended,
}

/// What counts for sheet thicker than all rows.
#[derive(Clone, Copy, PartialEq)]
enum Beyond {
    /// The proportion of the last row.
    LastRow,
    /// The strictest proportion of the thicker half of the rows.
    Strictest,
}

/// What a column says of a thickness. A plain number is a multiple of the thickness.
fn by_thickness(table: &Table, column: &str, thickness: f64, beyond: Beyond) -> Option<Listed> {
    table.column(column)?;
    // Thickness, and the radius over it where the cell is not blank.
    let rows = table.rows().filter_map(|row| {
        let t = row.quantity("thickness")?.value;
        let times = row
            .quantity(column)
            .map(|r| if r.dimension == Dimension::LENGTH { r.value / t } else { r.value });
        let fixed = row.quantity(column).filter(|r| r.dimension == Dimension::LENGTH);
        Some((t, times, fixed.map(|r| r.value)))
    });
    let mut rows: Vec<(f64, Option<f64>, Option<f64>)> = rows.collect();
    rows.sort_by(|a, b| a.0.total_cmp(&b.0));
    let last = rows.last()?.0;
    let strictest = || {
        let thick = rows.iter().filter(|row| row.0 >= last / 2.0 - PRINTED);
        let known = if thick.clone().any(|row| row.1.is_some()) {
            thick.filter_map(|row| row.1).fold(0.0, f64::max)
        } else {
            rows.iter().filter_map(|row| row.1).fold(0.0, f64::max)
        };
        Listed::Radius(known * thickness)
    };
    let thicker = rows.iter().find(|row| row.0 >= thickness - PRINTED);
    Some(match thicker {
        Some((_, Some(_), Some(radius))) => Listed::Radius(*radius),
        Some((_, Some(times), None)) => Listed::Radius(times * thickness),
        // Thinner than the row that is blank, but not as thin as the one before it.
        Some((t, None, _)) if thickness < t - PRINTED => strictest(),
        Some((_, None, _)) => Listed::NotRecommended,
        None => match (rows.last()?.1, beyond) {
            (None, _) => Listed::NotRecommended,
            (Some(times), Beyond::LastRow) => Listed::Radius(times * thickness),
            (Some(_), Beyond::Strictest) => strictest(),
        },
    })
}
