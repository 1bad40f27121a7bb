//! A bend radius too small for the alloy.
//!
//! # Looks for
//! An inside radius below the preferred one of the `min-radius` table for the alloy and thickness
//! (caution), and below the minimum of the `bend-limit` tables (stop); for an alloy that only
//! `min-radius` has, its radius is the limit. Thicknesses between two rows use the thicker row;
//! thicker sheet keeps the ratio of the last row, or for a limit the strictest one of the thicker
//! half. For mild steel one thickness is preferred, half of it is the minimum; for S355 the minimum
//! is that across the grain, and that along it is preferred. A closed hem has a check of its own,
//! `hem`. A metal with a `bend_ratio` in the `material` table has the minimum given by its
//! manufacturer. Any other metal without a column uses the strictest of its kind: 4130 normalised,
//! 302 and 304, 2024-T3; one that is stronger than these has none (stop). Where a table leaves a
//! thickness blank, its source does not recommend a bend: a stop, unless another table has a
//! minimum; two thicknesses are preferred there. The tables `bend-limit-metric` and
//! `bend-limit-steel` end with their last row.
//!
//! # Why it matters
//! Too small a radius cracks on the outside, at once or in use; hard aluminium does so
//! without warning.
//!
//! # Example
//! 6061-T6 of 0.125 in is preferred at 0.5 in and refused below 0.3125 in (2.5 T). 2024-T3 of 0.063
//! in is refused below 0.25 in. S355 of 3 mm is refused below 5 mm, 304 of 3 mm below 3 mm.
//!
//! # Remedy
//! Bend round a larger radius, use a softer temper, or weld two plates instead.
//!
//! # Source
//! Design-office tables of minimum bend radii for 90° cold bends; mild steel: a stamping
//! design text (R = T preferred, T/2 minimum); S355: EN 10025-2, radii for flanging; S355MC: EN
//! 10149-2; 304, 316 and 316L: the bend test of ASTM A480, and a producer's two thicknesses where
//! the design office has none. What is used for a missing row is our choice.

use crate::bend::Form;
use crate::check::subject::Subject;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::table::RadiusBasis;
use crate::table::RadiusLimits;
use crate::table::Row;
use crate::table::Table;
use std::sync::Arc;

const CODE: &str = "min-radius";

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    if subject.part.bends.is_empty() {
        return Vec::new();
    }
    let limits = subject.tables.radius_limits(subject.material, subject.part.thickness);
    let Some(limits) = limits else { return vec![not_recommended(subject)] };
    let mut findings = Vec::new();
    let bends = subject.part.bends.iter().enumerate();
    for (i, bend) in bends.filter(|(_, bend)| bend.bend.form() != Form::ClosedHem) {
        let radius = bend.bend.radius();
        let (weight, (min, rule)) = if RadiusLimits::is_below(radius, limits.refused.0) {
            (Weight::Stop, &limits.refused)
        } else if RadiusLimits::is_below(radius, limits.preferred.0) {
            (Weight::Caution, &limits.preferred)
        } else {
            continue;
        };
        let limit = match weight {
            Weight::Stop => "the limit",
            Weight::Caution => "the preferred radius",
        };
        let (is, needed) = (subject.show(radius), subject.show(*min));
        let metal = subject.material.name();
        let rated = match weight {
            Weight::Stop => least(limits.basis, metal, &needed),
            Weight::Caution => format!("{needed} or more is recommended for {metal}"),
        };
        let headline = format!("bend `{}` has an inside radius of {is}; {rated}", bend.name);
        let clear = subject.show(limits.clear());
        let help = match bend.bend.form() {
            Form::OpenHem => {
                format!("write `opening = \"{}\"`", subject.show(2.0 * limits.clear()))
            }
            _ => format!(
                "use a radius of {clear}: write `bend_radius = \"{clear}\"` in the sheet's entry, or give the part a radius of its own"
            ),
        };
        findings.push(
            subject
                .finding(weight, CODE, headline, &bend.depends, bend.span)
                .about(subject.of_part([Feature::Bend(i)]))
                .note(format!(
                    "{limit} for {} sheet: {rule}",
                    subject.show_size(subject.part.thickness)
                ))
                .help(help),
        );
    }
    findings
}

/// What the smallest inside radius of a metal is, in words.
pub(super) fn least(basis: RadiusBasis, metal: &str, radius: &str) -> String {
    match basis {
        RadiusBasis::Minimum => format!("the minimum for {metal} is {radius}"),
        RadiusBasis::Preferred => format!("for {metal} no radius below {radius} is published"),
        RadiusBasis::Strictest => {
            format!(
                "for {metal} no radius is published: {radius} is that of the strictest metal of its kind"
            )
        }
    }
}

fn not_recommended(subject: &Subject) -> Finding {
    let (metal, sheet) = (subject.material.name(), subject.show_size(subject.part.thickness));
    let bend = &subject.part.bends[0];
    if subject.tables.outdoes_radii(subject.material) {
        return unknown(subject);
    }
    let headline = format!("{metal} sheet {sheet} thick is not recommended for bending");
    let thinner = match subject.tables.thickest_bent(subject.material) {
        Some(thickest) => format!("use a sheet no thicker than {}, ", subject.show_size(thickest)),
        None => "use ".to_owned(),
    };
    subject
        .finding(Weight::Stop, CODE, headline, &bend.depends, bend.span)
        .about(subject.of_part((0..subject.part.bends.len()).map(Feature::Bend)))
        .note("the tables of bend radii leave this thickness blank, as their source does")
        .help(format!("{thinner}another metal, or weld the flanges on as separate parts"))
}

/// A metal stronger than all those with a published radius, whose own is not known.
fn unknown(subject: &Subject) -> Finding {
    let (metal, bend) = (subject.material, &subject.part.bends[0]);
    let bends = |row: &&Arc<Row>| {
        let is_alike = row.text("metal") == metal.text("metal");
        is_alike && subject.tables.radius_limits(row, subject.part.thickness).is_some()
    };
    let rows = subject.tables.table("material").into_iter().flat_map(Table::rows);
    let alike = rows.into_iter().find(bends);
    let alike = alike.map_or(String::new(), |row| format!(", such as `{}`", row.name()));
    let headline = format!("no minimum bend radius is known for {}", metal.name());
    subject
        .finding(Weight::Stop, CODE, headline, &bend.depends, bend.span)
        .about(subject.of_part((0..subject.part.bends.len()).map(Feature::Bend)))
        .note("it is stronger than every metal of its kind that has a published radius")
        .help(format!(
            "use a metal that has one{alike}, or give the manufacturer's minimum radius over the thickness, as \
             `bend_ratio`, in a row of your own in the `material` table"
        ))
}
