//! A bend radius too small for the alloy.
//!
//! # Looks for
//! An inside radius below the preferred one of the table `min-radius` for the alloy and
//! thickness (caution), and below the limit of the table `bend-limit` (stop). Thicknesses
//! between two rows use the thicker row; sheet thicker than the table keeps the ratio of
//! its last row. Alloys without a column: one thickness is preferred, half of it is the
//! limit.
//!
//! # Why it matters
//! Too small a radius cracks on the outside, at once or in use; hard aluminium does so
//! without warning.
//!
//! # Example
//! 6061-T6 of 0.125 in is preferred at 0.5 in and refused below 0.3125 in (2.5 T).
//!
//! # Remedy
//! Bend round a larger radius, take a softer temper, or weld two plates instead.
//!
//! # Source
//! Design-office tables of minimum bend radii for 90° cold bends; mild steel: a stamping
//! design text (R = T preferred, T/2 minimum).

use crate::check::subject::Subject;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::table::Table;

const CODE: &str = "min-radius";

/// The tables print thicknesses and radii to a thousandth of an inch; half of that, in mm.
const PRINTED: f64 = 0.0127;

pub(super) fn look(subject: &Subject) -> Vec<Finding> {
    let thickness = subject.part.thickness;
    let row = |table: &str| {
        let found = listed(subject, table);
        found.map(|found| (found, format!("table `{table}`, {}", subject.material.name())))
    };
    let preferred = row("min-radius").unwrap_or((thickness, "one thickness".into()));
    let limit = row("bend-limit").unwrap_or((thickness / 2.0, "half the thickness".into()));
    let mut findings = Vec::new();
    for (i, bend) in subject.part.bends.iter().enumerate() {
        let radius = bend.bend.radius();
        let (weight, (least, rule)) = if radius < limit.0 - PRINTED {
            (Weight::Stop, &limit)
        } else if radius < preferred.0 - PRINTED {
            (Weight::Caution, &preferred)
        } else {
            continue;
        };
        let (is, needed) = (subject.show(radius), subject.show(*least));
        let verb = if weight == Weight::Stop { "cracks below" } else { "is better from" };
        let headline = format!(
            "bend `{}` has an inside radius of {is}; {} {verb} {needed}",
            bend.name,
            subject.material.name()
        );
        // Bending round the larger of the two clears both.
        let clear = subject.show(limit.0.max(preferred.0));
        findings.push(
            subject
                .finding(weight, CODE, headline, &bend.depends, bend.span)
                .about(subject.of_part([Feature::Bend(i)]))
                .note(format!("{rule} at {}", subject.show(thickness)))
                .help(format!(
                    "bend to {clear}: write `bend_radius = \"{clear}\"` at the sheet, or give the part a radius of its own"
                )),
        );
    }
    findings
}

/// The radius a table has for the sheet, mm; none where the alloy has no column.
pub(super) fn listed(subject: &Subject, table: &str) -> Option<f64> {
    let column = subject.material.text("bend_table")?;
    by_thickness(subject.tables.table(table)?, column, subject.part.thickness)
}

/// The radius in a column for a thickness, mm. A plain number is a multiple of the thickness.
fn by_thickness(table: &Table, column: &str, thickness: f64) -> Option<f64> {
    let rows = table.rows().filter_map(|row| {
        let (t, r) = (row.quantity("thickness")?.value, row.quantity(column)?);
        let radius = if r.dimension == crate::quantity::Dimension::LENGTH {
            r.value * (thickness / t).max(1.0)
        } else {
            r.value * thickness
        };
        Some((t, radius))
    });
    let mut rows: Vec<(f64, f64)> = rows.collect();
    rows.sort_by(|a, b| a.0.total_cmp(&b.0));
    let thicker = rows.iter().find(|(t, _)| *t >= thickness - PRINTED);
    thicker.or(rows.last()).map(|(_, radius)| *radius)
}
