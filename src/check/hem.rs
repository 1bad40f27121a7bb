//! A hem that cracks or cannot be made.
//!
//! # Looks for
//! A closed hem in a metal whose minimum inside radius is more than half a thickness, or in sheet
//! of more than 2 mm (stop); a return shorter than four thicknesses, measured to the outside of the
//! fold (caution). Where the job names a shop: a hem that none of its tools flattens, by length,
//! thickness or return, or for which no brake bends the sheet far enough first (stop). The minimum
//! inside radius of open hems is checked by `min-radius`.
//!
//! # Why it matters
//! A closed hem has no inside radius: hard aluminium and thick plate crack along the fold. A hem is
//! made in two steps, an acute bend and a flattening; a V die alone cannot make one.
//!
//! # Example
//! A closed hem of 6061-T6, or of 3 mm S235, is refused.
//!
//! # Remedy
//! Write `form = "open-hem"` with an `opening`, use thinner or softer sheet, or add the tool to
//! the shop file as a `[[hemming]]`.
//!
//! # Source
//! The minimum radii of the tables `min-radius` and `bend-limit`. Four thicknesses of return, and
//! 2 mm of sheet for a closed hem: common practice, from memory.

use crate::bend::Form;
use crate::check::bend_sequence;
use crate::check::min_radius;
use crate::check::off_brake;
use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::part::Bend;
use crate::sequence;
use crate::table::RadiusLimits;

const CODE: &str = "hem";

/// Shortest return in thicknesses.
const RETURN: f64 = 4.0;

/// Thickest sheet of a closed hem, mm.
const THICKEST: f64 = 2.0;

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (i, bend) in subject.part.bends.iter().enumerate() {
        if !bend.bend.form().is_hem() {
            continue;
        }
        findings.extend(cracks(subject, i, bend));
        findings.extend(returns(subject, i, bend));
        findings.extend(tool(subject, i, bend));
    }
    findings
}

/// A closed hem that the metal does not allow. Where no bend is recommended at all, `min-radius`
/// says so.
fn cracks(subject: &Subject, i: usize, bend: &Bend) -> Option<Finding> {
    if bend.bend.form() != Form::ClosedHem {
        return None;
    }
    let thickness = subject.part.thickness;
    let limits = subject.tables.radius_limits(subject.material, thickness)?;
    let opening = subject.show(2.0 * limits.clear());
    let metal = subject.material.name();
    let help = format!("write `form = \"open-hem\"` and `opening = \"{opening}\"`");
    if RadiusLimits::is_below(thickness / 2.0, limits.refused.0) {
        let needed = subject.show(limits.refused.0);
        let headline = format!(
            "closed hem `{}` has zero inside radius; {}",
            bend.name,
            min_radius::rated(limits.basis, metal, &needed)
        );
        let finding = off_brake::found(subject, (Weight::Stop, CODE, "metal"), (i, bend), headline);
        return Some(finding.note(limits.refused.1).help(help));
    }
    if thickness <= THICKEST {
        return None;
    }
    let headline = format!(
        "closed hem `{}` is in {} sheet; closed hems are made in sheet up to {}",
        bend.name,
        subject.show(thickness),
        subject.show(THICKEST)
    );
    Some(
        off_brake::found(subject, (Weight::Stop, CODE, "thickness"), (i, bend), headline)
            .help(help),
    )
}

/// A return that is too short to be flattened.
fn returns(subject: &Subject, i: usize, bend: &Bend) -> Option<Finding> {
    let is = sequence::hem_return(bend, &subject.flat.bends[i], subject.flat);
    let needed = RETURN * subject.part.thickness;
    if !short(is, needed) {
        return None;
    }
    let headline = format!(
        "the return of hem `{}` is {} long, but {} is needed",
        bend.name,
        subject.show(is),
        subject.show(needed)
    );
    let finding = off_brake::found(subject, (Weight::Caution, CODE, "return"), (i, bend), headline);
    Some(
        finding
            .note("four thicknesses, measured to the outside of the fold")
            .help("make the return longer"),
    )
}

/// A hem that nothing in the shop flattens.
fn tool(subject: &Subject, i: usize, bend: &Bend) -> Option<Finding> {
    let (_, plan) = subject.shop?;
    let formed = plan.formed.iter().find(|formed| formed.bend == i)?;
    let Err(unfit) = &formed.tool else {
        if !plan.formed_last || plan.steps.is_empty() {
            return None;
        }
        let headline = format!(
            "whether the bends made before it leave room to flatten hem `{}` is not judged",
            bend.name
        );
        let finding =
            off_brake::found(subject, (Weight::Caution, CODE, "tool"), (i, bend), headline);
        let finding = finding.note("if it is hemmed first, the other bends cannot be made");
        return Some(finding.help("try it on a sample"));
    };
    let headline = match unfit.is_empty() {
        true => format!("the shop file has no tool to flatten hem `{}`", bend.name),
        false => format!("none of the shop's tools can flatten hem `{}`", bend.name),
    };
    let finding = off_brake::found(subject, (Weight::Stop, CODE, "tool"), (i, bend), headline);
    let finding = off_brake::because(finding, subject, unfit);
    let finding = bend_sequence::tried(finding, subject, &formed.acute);
    Some(finding.help(
        "add a `[[hemming]]` to the shop file: the tool that flattens the fold after an acute bend on a brake",
    ))
}
