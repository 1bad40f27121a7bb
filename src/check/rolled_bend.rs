//! A rolled bend that cannot be made, or closes on its own sheet.
//!
//! # Looks for
//! A rolled bend of more than 180° that overlaps the face it begins on (stop, unless
//! `flange-collision` says so), or comes nearer to it than half a thickness (caution); less flat
//! sheet beside it, or between it and another rolled bend, than two thicknesses (caution). Where
//! the job names a shop: a rolled bend that none of its rolls and formers makes, by length,
//! thickness, radius, or the end that stays straight (stop); and bends that can only be made before
//! rolling and are not checked against the rolls (caution). Round a former, in a bend of up to
//! 180°, flanges of up to 90° to the outside of the bend are clear.
//!
//! # Why it matters
//! Rolls leave the ends of the sheet straight. What was bent before does not pass between them,
//! and an eye that closes too far is forced open.
//!
//! # Example
//! An eye of 340° round 20 mm with a straight end of 12 mm overlaps its base.
//!
//! # Remedy
//! Leave the end longer and cut it off after rolling, roll through a smaller angle, or add the tool
//! to the shop file as a `[[roll]]`.
//!
//! # Source
//! The shop's own rolls and formers. Two thicknesses of flat end and half a thickness of clear
//! distance: common practice, from memory.

use crate::bend::Form;
use crate::check::off_brake;
use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::fold;
use crate::fold::Piece;
use crate::part::Bend;
use crate::sequence;
use crate::sequence::Plan;
use crate::sequence::Unfit;
use crate::shop::Roll;
use crate::shop::RollKind;
use crate::shop::Shop;

const CODE: &str = "rolled-bend";

/// Flat sheet beside a rolled bend, in thicknesses, where no tool is known.
const FLAT_END: f64 = 2.0;

/// Clear distance of a closed eye, in thicknesses.
const CLEAR: f64 = 0.5;

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let bends = subject.part.bends.iter().enumerate();
    let rolled: Vec<(usize, &Bend)> =
        bends.filter(|(_, bend)| bend.bend.form() == Form::Rolled).collect();
    let mut findings: Vec<Finding> =
        rolled.iter().filter_map(|(i, bend)| closes(subject, *i, bend)).collect();
    let pairs = rolled.iter().enumerate().flat_map(|(n, one)| {
        rolled[..n].iter().filter_map(move |other| between(subject, *other, *one))
    });
    findings.extend(pairs);
    match subject.shop {
        None => findings.extend(rolled.iter().filter_map(|(i, bend)| flat_end(subject, *i, bend))),
        Some(shop) => {
            findings.extend(rolled.iter().filter_map(|(i, bend)| tool(subject, shop, *i, bend)));
        }
    }
    findings
}

/// An eye that closes on its own sheet.
fn closes(subject: &Subject, i: usize, bend: &Bend) -> Option<Finding> {
    let gap = fold::eye_gap(subject.part, subject.flat, i)?;
    let needed = CLEAR * subject.part.thickness;
    if !short(gap, needed) {
        return None;
    }
    let faces = [Piece::Face(bend.from), Piece::Face(bend.to)];
    let is_pair = |(a, b): &(Piece, Piece)| faces.contains(a) && faces.contains(b);
    // What `flange-collision` says already.
    if gap <= 0.0 && fold::clashes(subject.part, subject.folded).iter().any(is_pair) {
        return None;
    }
    let face = &subject.part.faces[bend.from].name;
    let (weight, headline) = match gap > 0.0 {
        true => {
            let (is, needed) = (subject.show(gap), subject.show(needed));
            let words = format!(
                "rolled bend `{}` closes to {is} from face `{face}`, but {needed} is needed",
                bend.name
            );
            (Weight::Caution, words)
        }
        false => (Weight::Stop, format!("rolled bend `{}` overlaps face `{face}`", bend.name)),
    };
    Some(
        off_brake::found(subject, (weight, CODE, "eye"), (i, bend), headline).help(
            "roll it through a smaller angle, make the face it carries or the face it begins on shorter",
        ),
    )
}

/// What stays straight beside it, where no tool is known.
fn flat_end(subject: &Subject, i: usize, bend: &Bend) -> Option<Finding> {
    let ends = sequence::flat_ends(&subject.flat.bends[i], subject.flat.region.outer());
    let (is, needed) = (ends[0].min(ends[1]), FLAT_END * subject.part.thickness);
    if !short(is, needed) {
        return None;
    }
    let headline = format!(
        "rolled bend `{}` leaves {} of flat sheet beside it, but rolls leave about {} straight",
        bend.name,
        subject.show(is),
        subject.show(needed)
    );
    let help = "leave the end longer and cut it off after rolling, or say what your rolls leave: `flat_end` of a `[[roll]]` in the shop file";
    Some(off_brake::found(subject, (Weight::Caution, CODE, "end"), (i, bend), headline).help(help))
}

/// What stays flat between two rolled bends of one face.
fn between(
    subject: &Subject,
    (i, one): (usize, &Bend),
    (j, other): (usize, &Bend),
) -> Option<Finding> {
    let shared = [one.from, one.to].into_iter().find(|f| [other.from, other.to].contains(f))?;
    let strip = &subject.flat.bends[i];
    let is = sequence::face_reach(strip, subject.flat, shared, one.from == shared);
    let needed = FLAT_END * subject.part.thickness;
    if !short(is, needed) {
        return None;
    }
    let headline = format!(
        "rolled bends `{}` and `{}` leave {} of flat sheet between them, but rolls leave about {} \
         straight",
        one.name,
        other.name,
        subject.show(is),
        subject.show(needed)
    );
    let found = off_brake::found(subject, (Weight::Caution, CODE, "between"), (j, other), headline);
    Some(found.help("make the face between them longer, or roll a sample first"))
}

/// A rolled bend that nothing in the shop makes, or that comes after the others.
fn tool(subject: &Subject, (shop, plan): (&Shop, &Plan), i: usize, bend: &Bend) -> Option<Finding> {
    let formed = plan.formed.iter().find(|formed| formed.bend == i)?;
    let Err(unfit) = &formed.tool else {
        let clear = formed.tool.as_ref().is_ok_and(|name| stands_clear(subject, shop, name, bend));
        if !plan.formed_last || plan.steps.is_empty() || clear {
            return None;
        }
        let headline = format!(
            "whether the bends made before it pass the rolls at `{}` is not judged",
            bend.name
        );
        let finding =
            off_brake::found(subject, (Weight::Caution, CODE, "tool"), (i, bend), headline);
        let finding = finding.note("if it is rolled first, the other bends cannot be made");
        return Some(finding.help("try it on a sample, or weld the flanges on after rolling"));
    };
    let headline = match unfit.is_empty() {
        true => format!("the shop file has no rolls or former for bend `{}`", bend.name),
        false => format!("none of the shop's rolls and formers can make bend `{}`", bend.name),
    };
    let finding = off_brake::found(subject, (Weight::Stop, CODE, "tool"), (i, bend), headline);
    let finding = off_brake::because(finding, subject, unfit);
    let flat = unfit.iter().find_map(|(_, why)| match why {
        Unfit::FlatEnd { is, min } => Some(min - is),
        _ => None,
    });
    Some(finding.help(match flat {
        Some(more) => {
            format!("leave the end {} longer and cut it off after rolling", subject.show(more))
        }
        None => "add a `[[roll]]` to the shop file: `kind = \"rolls\"`, or `\"former\"` for a vice and a former".into(),
    }))
}

/// Whether earlier bends are clear of a former: up to half a turn round it, flanges of up to 90°
/// beside the bend on the other side of the sheet.
fn stands_clear(subject: &Subject, shop: &Shop, tool: &str, rolled: &Bend) -> bool {
    let on_former = |roll: &Roll| roll.name == tool && roll.kind == RollKind::Former;
    let beside =
        |bend: &Bend| [bend.from, bend.to].iter().any(|f| [rolled.from, rolled.to].contains(f));
    let away = |bend: &Bend| {
        bend.bend.form() == Form::Bent
            && bend.up != rolled.up
            && bend.bend.angle().degrees() <= 90.0 + SAME
            && beside(bend)
    };
    shop.rolls.iter().any(on_former)
        && rolled.bend.angle().degrees() <= 180.0 + SAME
        && subject.part.bends.iter().all(|bend| bend.name == rolled.name || away(bend))
}

/// Angles are one when they differ by less, degrees: rounding.
const SAME: f64 = 1e-6;
