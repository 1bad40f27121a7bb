//! Holes of a joint that do not line up, as drawn or within their tolerances.
//!
//! # Looks for
//! Plates of one joint whose holes, as drawn, do not let the bolt through, or the pilot bolt, in any
//! position, rotated or flipped over; a part that is in the stack more often than the job
//! makes it: stops. Plates where position, hole size and coating in the worst case may take up more
//! than the clearance of the bolt; a hole that may be smaller than its bolt, whatever the clearance
//! of the other; pilot holes that the final drill does not clean up; a pattern that is the mirror
//! image of the other where neither part can be flipped over; and parts of which the job makes more
//! or fewer than the joint needs: cautions.
//!
//! # Why it matters
//! Plates that do not line up are filed or drilled out at the bench, and the hole that was opened
//! up no longer locates or carries as calculated.
//!
//! # Example
//! Four M8 holes of 9 mm in two plates cut by plasma, ±0.9 mm: each leaves 1 mm of clearance, and
//! their axes lie in tolerance zones of 1.3 mm.
//!
//! # Remedy
//! Correct the pattern that is wrong, choose a looser fit, cut pilot holes and drill them together
//! (`made = "drill"`), or give the tolerance your shop holds: `position` in the joint, `tolerance`
//! under `[[cutting]]` in the shop file.
//!
//! # Source
//! H − F = T for floating fasteners, T1 + T2 = H − F for fixed ones: ASME Y14.5-2018, appendix B
//! (from memory). H is the smallest hole, with the thickest coating; the zone T of a cut hole is
//! the circle round a square of ± half the tolerance of the cutting process over the length of the
//! pattern (ISO 9013; ISO 2768-1): both ends of a length have half each (our choice). A single hole
//! has none. Drill wander from its guide, 0.1 mm: common
//! practice. Whether holes are where the machine needs them is not checked.

use crate::check::joint_subject::JointSubject;
use crate::diag::Finding;
use crate::joint::Passing;
use crate::joint::Plate;
use crate::table::Row;

const CODE: &str = "joint-holes";

/// Less than this, mm, is rounding.
const ROUNDING: f64 = 1e-6;

pub(super) fn check(subject: &JointSubject) -> Vec<Finding> {
    let bolted = subject.bolted;
    let joint = &bolted.joint;
    let mut findings = small(subject, &joint.bolt, &|plate| plate.passage);
    // A hole that is too small is not compared with others.
    if findings.is_empty() {
        let passing = bolted.passing();
        findings.extend(once(&passing).flat_map(|of| judged(subject, &joint.bolt, of)));
    }
    if let Some((pilot, _)) = &joint.pilot {
        let small = small(subject, pilot, &|plate| plate.as_cut);
        let passing = bolted.pilot_passing();
        let passing = once(&passing).filter(|_| small.is_empty());
        findings.extend(passing.flat_map(|of| judged(subject, pilot, of)));
        findings.extend(small);
    }
    for (plate, lacks) in bolted.not_cleaned_up() {
        let headline = format!(
            "the final drill may leave {} of the wall of the pilot holes of `{}` uncut",
            subject.show(lacks / 2.0),
            plate.words()
        );
        let finding = Finding::caution(CODE, headline).about(plate.about.clone());
        let finding = finding.at(plate.at, "").at(bolted.joint.here, "in this joint");
        let wide = subject.show((plate.as_cut - lacks).max(0.0));
        findings.push(finding.help(format!("make its pilot holes {wide} or less")));
    }
    findings.extend(bolted.flipped_over().into_iter().filter_map(cannot_flip));
    findings.extend(too_many(subject));
    findings.extend(left_over(subject));
    findings
}

/// Without those that repeat what is said of the same two holes: a part may be in a stack more than once.
fn once<'p, 'a>(all: &'p [Passing<'a>]) -> impl Iterator<Item = &'p Passing<'a>> {
    let words = |of: &Passing| {
        let mut words = of.plates.map(Plate::words);
        words.sort();
        words
    };
    let near = |a: f64, b: f64| (a - b).abs() <= ROUNDING;
    let is_same = move |a: &Passing, b: &Passing| {
        let is_stop = a.is_blocked() && b.is_blocked() && near(a.drawn, b.drawn);
        let is_caution =
            near(a.least, b.least) && near(a.zones, b.zones) && a.is_alone == b.is_alone;
        words(a) == words(b) && near(a.off, b.off) && (is_stop || is_caution)
    };
    let first = move |(i, of): (usize, &'p Passing<'a>)| {
        (!all[..i].iter().any(|before| is_same(before, of))).then_some(of)
    };
    all.iter().enumerate().filter_map(first)
}

/// Plates that line up only with one of them flipped over, where neither can be.
fn cannot_flip([base, plate]: [&Plate; 2]) -> Option<Finding> {
    if !(base.has_sides() && plate.has_sides()) {
        return None;
    }
    let headline = format!(
        "the holes of `{}` are the mirror image of those of `{}`: one of them must be flipped over",
        plate.words(),
        base.words()
    );
    let finding = Finding::caution(CODE, headline);
    let finding = finding.about(base.about.clone()).about(plate.about.clone());
    let finding = finding.at(plate.at, "").at(base.at, "");
    let finding =
        finding.note("each is bent, or has a countersink, counterbore or insert on one side");
    Some(finding.help("check that one can be flipped over, or mirror the pattern of one of them"))
}

/// Holes that are too small for a bolt, whatever lies beside them.
fn small(subject: &JointSubject, bolt: &Row, wide: &dyn Fn(&Plate) -> f64) -> Vec<Finding> {
    let is_small = |plate: &&Plate| wide(plate) + ROUNDING < bolt.measure("diameter");
    let plates = subject.bolted.plates().map(|(_, plate)| plate);
    let plates = plates.filter(|plate| plate.thread.is_none()).filter(is_small);
    let finding = |plate: &Plate| {
        let is = subject.show(wide(plate));
        let headline = format!("`{}` is {is} wide: {} does not go in", plate.words(), bolt.name());
        let finding = Finding::stop(CODE, headline).about(plate.about.clone()).at(plate.at, "");
        let normal = bolt.quantity("normal").map_or(bolt.measure("diameter"), |size| size.value);
        finding.help(format!("make the hole {}, or use a smaller bolt", subject.show(normal)))
    };
    plates.map(finding).collect()
}

/// Findings on plates that a bolt is to pass. A hole that may be narrower than the bolt is judged
/// alone: no width of the other makes up for it.
fn judged(subject: &JointSubject, bolt: &Row, of: &Passing) -> Vec<Finding> {
    if of.narrow.is_empty() || of.is_blocked() {
        return one(subject, bolt.name(), of).into_iter().collect();
    }
    let narrow = |(plate, lacks): &(&Plate, f64)| {
        let headline = format!(
            "`{}` may be {} wide at its narrowest, coated: {} may not go in",
            plate.words(),
            subject.show(bolt.measure("diameter") - lacks),
            bolt.name()
        );
        let finding = Finding::caution(CODE, headline).about(plate.about.clone());
        let finding = finding.at(plate.at, "").at(subject.bolted.joint.here, "in this joint");
        finding
            .help(format!("make the hole larger by {} or more, or drill it", subject.show(*lacks)))
    };
    of.narrow.iter().map(narrow).collect()
}

fn one(subject: &JointSubject, bolt: &str, of: &Passing) -> Option<Finding> {
    let show = |mm: f64| subject.show(mm);
    let [with, plate] = of.plates;
    let words = [with.words(), plate.words()].map(|words| format!("`{words}`"));
    let is_one = words[0] == words[1];
    let both = if is_one { words[1].clone() } else { words.join(" and ") };
    let at = |finding: Finding| {
        let finding = finding.about(with.about.clone()).about(plate.about.clone());
        let finding = finding.at(plate.at, "");
        if with.at == plate.at { finding } else { finding.at(with.at, "") }
    };
    if of.is_blocked() {
        let headline = format!(
            "the holes {both} do not line up: {} off as drawn, {bolt} allows {}",
            show(of.off),
            show(of.drawn / 2.0)
        );
        let finding = at(Finding::stop(CODE, headline));
        return Some(finding.help("correct the pattern of one of them, or name other holes"));
    }
    if of.left() >= -ROUNDING {
        return None;
    }
    let (least, taken) = (show(of.least.max(0.0)), show(of.zones + 2.0 * of.off));
    let headline = match (is_one, of.is_alone) {
        (false, false) => format!(
            "{bolt} may not go through {both}: the holes leave {least} of clearance, their positions \
             may take up {taken}"
        ),
        (is_one, _) => {
            let about = match is_one {
                true => String::new(),
                false => format!(" in line with {}", words[0]),
            };
            format!(
                "{bolt} may not go through {}{about}: the hole leaves {least} of clearance, its position \
                 may take up {taken}",
                words[1]
            )
        }
    };
    let finding = at(Finding::caution(CODE, headline)).note(format!(
        "{} fasteners: smallest H − F, coated, {}; zones {}; 2 × {} off as drawn",
        of.rule,
        show(of.least),
        show(of.zones),
        show(of.off)
    ));
    Some(finding.help(
        "choose a looser fit, cut pilot holes and drill them together, or write the `position` \
         that your shop holds",
    ))
}

/// Parts that are in the stack more than once, of which a piece is left over.
fn left_over(subject: &JointSubject) -> Vec<Finding> {
    let plates: Vec<&Plate> = subject.bolted.plates().map(|(_, of)| of).collect();
    let of_part = |i: usize| plates.iter().position(|of| of.part == plates[i].part);
    let first = (0..plates.len()).filter(|i| of_part(*i) == Some(*i));
    let one = |i: usize| {
        let of = plates[i];
        let [made, each] = of.pieces;
        if made < each || made % each == 0 {
            return None;
        }
        let headline = format!(
            "{} of the {made} pieces of `{}` are left over: each {} takes {each}",
            made % each,
            of.part,
            subject.name()
        );
        let finding = Finding::caution(CODE, headline).about(of.about.clone());
        let finding = finding.at(subject.bolted.joint.here, "").at(of.at, "");
        Some(finding.help(format!("write `quantity = {}`", made - made % each)))
    };
    first.filter_map(one).collect()
}

/// Parts of which more or fewer are made than the joint takes: the first speaks for all.
fn too_many(subject: &JointSubject) -> Option<Finding> {
    let bolted = subject.bolted;
    let mut others = bolted.plates().map(|(_, of)| of).filter(|of| of.joints != bolted.quantity);
    let plate = others.next()?;
    let headline = format!(
        "the job makes enough of `{}` for {} of {}, but allows bolts for {}",
        plate.part,
        plate.joints,
        subject.name(),
        bolted.quantity
    );
    let finding = Finding::caution(CODE, headline).about(plate.about.clone());
    let finding = others.fold(finding, |finding, other| finding.about(other.about.clone()));
    let finding = finding.at(bolted.joint.here, "").at(plate.at, "");
    Some(finding.help(format!(
        "write `quantity = {}`, or change the quantities of its parts",
        plate.joints
    )))
}
