//! A part that the shop's own tools cannot bend.
//!
//! # Looks for
//! Where the job names a shop: a part for which no bend sequence has a tool and a setup for every
//! bend, with enough to clamp, a bend angle the tool can reach, no earlier bend that hits ram,
//! punch, die, beam, fingers, bed or leaf up to the angle of the overbend, and room for the part to
//! pass between the tools and come off them: a stop. Metal that reaches over the bend line beside a narrow flange
//! must not foul the V or the leaf, and a leg must not foul the walls of the V. A bend with less
//! than the shop's `clearance` is reported too (caution). A bend for which no brake is long or
//! strong enough, or whose flange is too short for all of them, is reported by `brake-length`,
//! `bend-force` and `min-flange`. The report has the bend sequence, the clearance of each bend, and
//! the setups that were refused. If the shop has a tool of the kind `hand`, a bend that cannot be
//! made on its brakes in any order is made by hand if the pull at its lever is not
//! more than one person can pull; slots through a bend drawn `across` a face reduce the pull. Whether a
//! wrench clears the vice that clamps the rest, and what that grips, is not judged (caution).
//!
//! # Why it matters
//! A part that cannot be bent is scrap as soon as it is cut.
//!
//! # Example
//! A channel of 1.5 mm sheet, 30 mm wide with legs of 60 mm, on a straight brake: with
//! either leg up the other cannot be bent, since the leg is where the beam comes down.
//!
//! # Remedy
//! As the finding says: more to clamp, a longer relief, another tool, or a separate flange
//! that is welded on.
//!
//! # Source
//! The sections of the tools are the shop's own; 1 mm of clearance where it gives none, our choice.
//! Parts are moved straight to the tools and away, not tilted, and holes count as filled: this is
//! on the safe side. By hand the whole section yields (plastic modulus w t²/4, AISC 360 F11) at the
//! typical or maximum tensile strength of the metal, so that the pull is not stated too low; its
//! thickness is nominal, and 400 N is common practice. The brake's daylight, and what is beside it, are not checked.

use crate::bend;
use crate::check::hole_bend;
use crate::check::longer;
use crate::check::longer::Longer;
use crate::check::subject::Subject;
use crate::check::tried::makes;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::num;
use crate::part::Bend;
use crate::sequence;
use crate::sequence::Cause;
use crate::sequence::MAX_BENDS;
use crate::sequence::Refusal;
use crate::sequence::Step;
use crate::sequence::Why;

pub(super) const CODE: &str = "bend-sequence";

/// More setups than this are counted instead of listed.
const MAX_LISTED: usize = 8;

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let Some((_, plan)) = subject.shop else { return Vec::new() };
    let count = subject.part.bends.len();
    if count > MAX_BENDS {
        let headline = format!(
            "this part has {count} bends; bend sequences are searched for up to {MAX_BENDS} bends only"
        );
        let base = Finding::stop(CODE, headline).at(subject.here, "").about(subject.of_part([]));
        return vec![base.help("make it in two parts, or leave `shop` out of the job")];
    }
    let made: Vec<&str> =
        plan.steps.iter().map(|s| subject.part.bends[s.bend].name.as_str()).collect();
    let mut findings = blocked(subject, CODE, Cause::Order, |bend, _| match made.as_slice() {
        [] => format!("bend `{}` cannot be made on any brake in the shop", bend.name),
        made => format!("bend `{}` cannot be made after {}", bend.name, made.join(", ")),
    });
    findings.extend(tight(subject));
    findings.extend(with_wrench(subject));
    findings.extend(among_formed(subject));
    findings
}

/// The bends made with a wrench: the vice beside it is not in the shop file.
fn with_wrench(subject: &Subject) -> Vec<Finding> {
    let Some((shop, plan)) = subject.shop else { return Vec::new() };
    let finding = |step: &Step| {
        let bend = &subject.part.bends[step.bend];
        let headline = format!(
            "whether the wrench clears the jaws of the vice at bend `{}` is not judged",
            bend.name
        );
        let finding = subject.finding(Weight::Caution, CODE, headline, &bend.depends, bend.span);
        let finding = finding.about(subject.of_part([Feature::Bend(step.bend)]));
        let grips = if step.setup.hold == bend.from { bend.to } else { bend.from };
        let face = &subject.part.faces[grips].name;
        finding
            .note(format!(
                "the vice clamps face `{face}` beyond the wrench; its jaws, and how much flat they \
                 need, are not in the shop file"
            ))
            .help(
                "try this bend on a sample first, or give the shop file a vice that makes it \
                 (`grip = \"vice\"`)",
            )
    };
    let steps = plan.steps.iter().filter(|step| shop.brakes[step.setup.brake].is_wrench());
    steps.map(finding).collect()
}

/// Rolled bends and hems of one part, which nothing puts in order.
fn among_formed(subject: &Subject) -> Option<Finding> {
    let (_, plan) = subject.shop?;
    let [first, _, ..] = plan.formed.as_slice() else { return None };
    let bends = plan.formed.iter().map(|formed| &subject.part.bends[formed.bend]);
    let names: Vec<String> = bends.map(|bend| format!("`{}`", bend.name)).collect();
    let headline = format!(
        "the order of rolled bends and hems, and whether one obstructs another, is not judged: \
         {}",
        names.join(", ")
    );
    let bend = &subject.part.bends[first.bend];
    let finding = subject.finding(Weight::Caution, CODE, headline, &bend.depends, bend.span);
    let about = plan.formed.iter().map(|formed| Feature::Bend(formed.bend));
    Some(finding.about(subject.of_part(about)).help("plan the order by hand, or bend a sample"))
}

/// The bends that leave less room than the shop's clearance.
fn tight(subject: &Subject) -> Vec<Finding> {
    let Some((shop, plan)) = subject.shop else { return Vec::new() };
    let margin = sequence::margin(shop);
    let finding = |step: &Step| {
        let (what, tool, at) = step.tooling.room.nearest?;
        if step.tooling.room.mm >= margin {
            return None;
        }
        let (bend, is) = (&subject.part.bends[step.bend], subject.show(step.tooling.room.mm));
        let headline = format!(
            "bend `{}` clears the {tool} by {is}, but {} is needed",
            bend.name,
            subject.show(margin)
        );
        let finding = subject.finding(Weight::Caution, CODE, headline, &bend.depends, bend.span);
        let finding = finding.about(subject.of_part([Feature::Bend(step.bend)]));
        let at = num::text(at.degrees(), 1);
        Some(finding.note(format!("{} at {at}°", what.words(subject.part))).help(
            "make the part near the tool shorter or narrower, or try this bend on a sample first",
        ))
    };
    plan.steps.iter().filter_map(finding).collect()
}

/// The bends that are blocked for a cause, each with the setups that were tried.
pub(super) fn blocked(
    subject: &Subject,
    code: &'static str,
    cause: Cause,
    headline: impl Fn(&Bend, &[Refusal]) -> String,
) -> Vec<Finding> {
    let Some((_, plan)) = subject.shop else { return Vec::new() };
    let finding = |(i, refused): &(usize, Vec<Refusal>)| {
        let bend = &subject.part.bends[*i];
        let headline = headline(bend, refused);
        let finding = subject.finding(Weight::Stop, code, headline, &bend.depends, bend.span);
        let finding = finding.about(subject.of_part([Feature::Bend(*i)]));
        tried(finding, subject, refused).help(help(*i, refused, subject))
    };
    let of_cause =
        |(_, refused): &&(usize, Vec<Refusal>)| !refused.is_empty() && Cause::of(refused) == cause;
    plan.blocked.iter().filter(of_cause).map(finding).collect()
}

/// The finding with the setups that were tried, and why not.
pub(super) fn tried(finding: Finding, subject: &Subject, refused: &[Refusal]) -> Finding {
    let Some((shop, _)) = subject.shop else { return finding };
    let words = |refusal: &Refusal| refusal.words(subject.part, shop, subject.units);
    let listed = refused.iter().take(MAX_LISTED).map(words);
    let finding = listed.fold(finding, Finding::note);
    if refused.len() <= MAX_LISTED {
        return finding;
    }
    let more = refused.len() - MAX_LISTED;
    let setups = if more == 1 { "setup" } else { "setups" };
    finding.note(format!("and {more} more {setups}"))
}

/// The radius nearest to the specified one that a brake gives, where the bend can be made with it.
fn radius_asked(place: usize, refused: &[Refusal], subject: &Subject) -> Option<String> {
    let off = |why: &Why| match why {
        Why::Radius { is, max, .. } if is > max => Some((is / max, *max)),
        Why::Radius { is, min, .. } => Some((min / is, *min)),
        _ => None,
    };
    let near = refused.iter().filter_map(|refusal| Some((off(&refusal.why)?, refusal)));
    let ((_, gives), refusal) = near.min_by(|(a, _), (b, _)| a.0.total_cmp(&b.0))?;
    if !is_made_with_radius(place, gives, subject) {
        return None;
    }
    let gives = subject.show(gives);
    let is_over_a_v = subject.shop.is_some_and(|(shop, _)| refusal.setup.v(shop).is_some());
    // The radius of a V is not a key of the shop file.
    Some(match is_over_a_v {
        true => format!(
            "specify an inside radius of {gives}, or add a die with another V to the shop file"
        ),
        false => format!(
            "specify an inside radius of {gives}, or give the brake in the shop file its own `min_radius` and `max_radius`"
        ),
    })
}

fn is_made_with_radius(place: usize, radius: f64, subject: &Subject) -> bool {
    let Some((shop, _)) = subject.shop else { return false };
    let mut part = subject.part.clone();
    let drawn = &part.bends[place].bend;
    let bent = bend::Bend::new(drawn.thickness(), radius, drawn.angle(), drawn.method());
    bent.is_ok_and(|bent| {
        part.bends[place].bend = bent;
        makes(subject, place, &part, shop)
    })
}

/// What lets a person bend it: a longer lever, or slots through the bend and the metal they leave.
/// Nothing where the bend could not be made so either.
fn hand_bend_help(place: usize, refused: &[Refusal], subject: &Subject) -> Option<String> {
    let pull = |refusal: &Refusal| match refusal.why {
        Why::Pull { is, max, lever, metal } => Some((is / max, lever, metal, refusal.setup.brake)),
        _ => None,
    };
    let nearest = refused.iter().filter_map(pull).min_by(|(a, ..), (b, ..)| a.total_cmp(b));
    let (times, lever, metal, brake) = nearest?;
    // Rounded so that the typed value is sufficient.
    let lever = (times * lever).ceil();
    let mut shop = subject.shop?.0.clone();
    shop.brakes[brake].pull.as_mut()?.lever = lever;
    if !makes(subject, place, subject.part, &shop) {
        return None;
    }
    let lever = subject.show_up(lever);
    let left = subject.show((metal / times * 10.0).floor() / 10.0);
    let long = subject.show_up(hole_bend::length_through(&subject.flat.bends[place], 0.0));
    Some(format!(
        "bend it by hand with a lever of {lever}, or draw it `across` a face with slots through \
         the bend, {long} long across it, that leave {left} of metal (no load across such a bend is \
         judged)"
    ))
}

/// The faces beside a bend that are too short for a tool, the flange first.
pub(super) fn short_faces(bend: &Bend, refused: &[Refusal]) -> Vec<usize> {
    let short = |face: &usize| {
        let of_face = |r: &Refusal| matches!(r.why, Why::Flange { face: f, .. } if f == *face);
        refused.iter().any(of_face)
    };
    [bend.to, bend.from].into_iter().filter(short).collect()
}

/// How long the faces that are too short must be, each for the tool that needs least: so much that
/// the bend can then be made; nothing where no length was found with which it can.
fn longer_faces(place: usize, refused: &[Refusal], subject: &Subject) -> Option<String> {
    let bend = &subject.part.bends[place];
    let nearest = |face: usize| {
        let short = refused.iter().filter_map(|r| match r.why {
            Why::Flange { face: f, is, min } if f == face => Some([is, min]),
            _ => None,
        });
        short.min_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0]))).unwrap_or_default()
    };
    let faces = short_faces(bend, refused);
    let wanted = faces.iter().map(|&face| {
        let [is, needed] = nearest(face);
        (Longer { face, by: needed - is }, needed)
    });
    let longer = longer::enough(subject, place, &wanted.collect::<Vec<_>>())?;
    let remedies: Vec<String> = longer.iter().map(|of| longer_face(bend, of, subject)).collect();
    Some(remedies.join(" and "))
}

fn longer_face(bend: &Bend, longer: &Longer, subject: &Subject) -> String {
    let by = subject.show_up(longer.by);
    if longer.face == bend.to {
        return format!("make the flange {by} longer and cut it back after bending");
    }
    format!("make face `{}` {by} longer", subject.part.faces[longer.face].name)
}

/// How much longer the face that is clamped must be, where the bend can then be made.
fn more_to_clamp(place: usize, refused: &[Refusal], subject: &Subject) -> Option<String> {
    let clamp = |refusal: &Refusal| match refusal.why {
        Why::Clamp { is, min } => Some((Longer { face: refusal.setup.hold, by: min - is }, min)),
        _ => None,
    };
    let short = refused.iter().filter_map(clamp);
    let nearest = short.min_by(|(a, _), (b, _)| a.by.total_cmp(&b.by))?;
    let longer = longer::enough(subject, place, &[nearest])?;
    let words = |of| longer_face(&subject.part.bends[place], of, subject);
    longer.first().map(words)
}

/// The remedies, the easiest first.
fn help(place: usize, refused: &[Refusal], subject: &Subject) -> String {
    let show = |mm: f64| subject.show(mm);
    let max = |of: fn(&Why) -> Option<f64>| {
        refused.iter().filter_map(|r| of(&r.why)).max_by(f64::total_cmp)
    };
    let mut remedies: Vec<String> = longer_faces(place, refused, subject).into_iter().collect();
    if remedies.is_empty() {
        remedies.extend(more_to_clamp(place, refused, subject));
    }
    if refused
        .iter()
        .any(|r| matches!(r.why, Why::Hits { .. } | Why::Pieces { .. } | Why::Closed { .. }))
    {
        remedies.push("make the relief longer, or shorten what is in the way".into());
    }
    let thick = |why: &Why| match why {
        Why::TooThick { max, .. } => Some(*max),
        _ => None,
    };
    // Thinner sheet takes a still smaller radius.
    if let Some(sheet) = max(thick).filter(|_| Cause::of(refused) != Cause::Radius) {
        let at = refused.iter().find(|r| thick(&r.why) == Some(sheet));
        let place = at.zip(subject.shop).map(|(r, (shop, _))| shop.brakes[r.setup.brake].place());
        let place = place.map_or_else(String::new, |place| format!(" {place}"));
        remedies.push(format!("use sheet no thicker than {}{place}", subject.show_size(sheet)));
    }
    remedies.extend(hand_bend_help(place, refused, subject));
    remedies.extend(radius_asked(place, refused, subject));
    let long = |why: &Why| match why {
        Why::TooLong { max, .. } => Some(*max),
        _ => None,
    };
    if let Some(longest) = max(long).filter(|_| Cause::of(refused) == Cause::Length) {
        remedies.push(format!("divide it with slits into bends no longer than {}", show(longest)));
    }
    let usual = |why: &Why| match why {
        Why::NoDie { usual } => Some(*usual),
        _ => None,
    };
    if let Some(usual) = max(usual) {
        let v = subject.show_size(usual);
        remedies.push(format!("add a die with a V of about {v} to the shop file"));
    }
    remedies.push("weld the flange on as a separate part".into());
    remedies.join("; or ")
}
