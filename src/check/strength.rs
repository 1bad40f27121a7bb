//! A load that a part cannot carry.
//!
//! # Looks for
//! A load of the job above the allowable load of the part (stop). The finding names the limit and
//! the section that governs: where it is in the flat and in the formed part, the forces and moments
//! there with the allowable of each acting alone, the clause, and the factor of safety.
//!
//! *Checked.* The load is followed from its hole, edge or point through every face and bend to the
//! weld or the bolts that hold the part. On the way the plate is cut in many sections: across the
//! path, obliquely, at corners, holes and openings, along every bend and at the support. In each,
//! tension or compression, shear, bending in and out of plane and torsion follow from equilibrium.
//! An opening or a narrow notch never raises the allowable load of a section: it is checked with it
//! filled as well. At a loaded hole: bearing, tear-out, block shear, and the eye round a pin. At
//! the support: the weld or each bolt, with the eccentricity of the load. A load from another face,
//! or from above, reaches the bolts at the seating face, on the far side of the plate. Tension and
//! compression act square to the edge or bend that supports the part; where bolts support the loaded
//! face itself, along the line from their centre to the load: give an angle for any other. For a load
//! in the plane of the plate, half its thickness is not counted as an eccentricity, as in any lap
//! joint by AISC 360. An end cap: the plate and the weld all round, for a load at its centre along
//! the tube. Dimensional requirements that are not met, and a thin tube wall under a welded foot,
//! are cautions.
//!
//! *Not judged* (a caution, never a margin) is a load whose path cannot be followed to its end: the
//! support is not clear or there is more than one; the path splits and rejoins, or staggered
//! openings interrupt it; the metal between the load and an opening acts as a beam, or a base acts
//! as a beam between bolts that a 45° spread does not reach; a plate pivots on its edge beside
//! bolts in one line and bends between them; bolts of two feet in one set of holes; an end cap
//! loaded in any other way; a one-sided fillet that is bent or pulled open at its root; a post whose `foot`
//! is not given; a load at a point off its plate; a bead in a face on the path, which flattens
//! under a load across it; a flared hole that is loaded or supports the part; and a limit that is zero or
//! cannot be calculated, unless another, known limit already refuses the load. A flared hole beside
//! the path counts as a plain hole of the diameter of its foot, with no credit for the lip, whose
//! metal only adds strength.
//!
//! *Not checked*: deflection, impact, fatigue, vibration, corrosion, what the part is fixed
//! to, peak stresses at corners, distortion of a flat plate under a welded post, and parts that
//! share a load by their stiffness.
//!
//! # Why it matters
//! An eye tears out, a weld cracks, a leg folds over: a part fails at its weakest section, and
//! that is seldom the obvious one.
//!
//! # Example
//! A joggled tab of 27 × 4 mm S235, its pad offset by 30 mm, in tension: the pad would carry
//! 6.9 kN, but its foot bends at 27 · 4² / 4 · 235 / 1.67 / 30 = 0.5 kN.
//!
//! # Remedy
//! Use thicker sheet, a larger eye or a larger pin, a longer weld, or a shorter reach; leave
//! `sheet` or an input open, and the lightest that carries the load is chosen. Where a load is not
//! judged, name the support with `held` or `bolts`.
//!
//! # Source
//! AISC 360-16 B4.3b, D2, D5, E3, F11, H1, H3, J2 to J4, J7, K2, tension and bending summed
//! linearly; AISC manual part 9, equation 9-1, for oblique sections, parts 7 and 9 for the
//! bolts that hold a part; ASME BTH-1 section 3-3. A screening calculation, not a substitute for
//! local codes and a licensed engineer's judgement.

use crate::check::subject::Subject;
use crate::diag::About;
use crate::diag::Finding;
use crate::diag::Span;
use crate::num;
use crate::strength::CAUTION;
use crate::strength::Datum;
use crate::strength::Limit;
use crate::strength::Shape;
use crate::strength::Verdict;

const CODE: &str = "strength";

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    subject.verdicts.iter().flat_map(|(span, verdict)| one(subject, *span, verdict)).collect()
}

fn one(subject: &Subject, span: Span, verdict: &Verdict) -> Vec<Finding> {
    let what = verdict.acting.clone();
    let mut findings: Vec<Finding> =
        not_judged(subject, span, verdict, &what).into_iter().collect();
    let failed = verdict.margin().is_some_and(|margin| margin < 0.0);
    if let Some(limit) = verdict.governing().filter(|_| failed) {
        findings.push(overloaded(subject, span, verdict, limit).at(span, what));
    }
    let unkept = verdict.shapes.iter().filter(|shape| !shape.kept());
    findings.extend(unkept.map(|shape| {
        Finding::caution(
            CODE,
            shape_words([&verdict.part, &verdict.case], shape, |mm| subject.show(mm)),
        )
        .about(subject.of_load(span))
        .about(About::Load(verdict.case.clone()))
        .at(subject.here, "")
        .at(span, shape.what)
        .help("change the dimensions: until this rule is met, the strength is an estimate")
    }));
    findings.extend(dented(subject, span, verdict));
    findings
}

/// A load whose path was not walked to its end.
fn not_judged(subject: &Subject, span: Span, verdict: &Verdict, what: &str) -> Option<Finding> {
    let reason = verdict.refused()?;
    let headline = format!("`{}` is not judged in `{}`: {reason}", verdict.part, verdict.case);
    let finding = Finding::caution(CODE, headline)
        .about(subject.of_load(span))
        .about(About::Load(verdict.case.clone()))
        .at(span, what)
        .at(subject.here, "")
        .note("no margin is known: the load path was not followed to its end")
        .note(CAUTION)
        .help(reason.help());
    Some(finding)
}

/// The wall of the tube under a welded foot, where it is too thin.
fn dented(subject: &Subject, span: Span, verdict: &Verdict) -> Option<Finding> {
    let wall = verdict.wall.filter(|wall| verdict.allowable(wall) < verdict.force)?;
    let headline = format!(
        "the tube under `{}` in `{}`: {} is applied, {} allowed: its wall would be dented",
        verdict.part,
        verdict.case,
        subject.units.applied(verdict.force),
        subject.units.allowed(verdict.allowable(&wall)),
    );
    let finding = Finding::caution(CODE, headline)
        .about(subject.of_load(span))
        .about(About::Load(verdict.case.clone()))
        .at(subject.here, "")
        .at(span, wall.what)
        .note(format!("{}; {CAUTION}", wall.rule))
        .help("weld a saddle plate under the foot, or use a tube with a thicker wall");
    Some(finding)
}

/// A load above the allowable one.
fn overloaded(subject: &Subject, span: Span, verdict: &Verdict, limit: &Limit) -> Finding {
    let force = |newtons: f64| subject.units.force(newtons);
    let headline = format!(
        "`{}` in `{}`: {} is applied, {} allowed: {} ({})",
        verdict.part,
        verdict.case,
        subject.units.applied(verdict.force),
        subject.units.allowed(verdict.allowable(limit)),
        limit.what,
        limit.rule,
    );
    let nominal = limit.nominal * f64::from(verdict.pieces);
    let finding = Finding::stop(CODE, headline)
        .about(subject.of_load(span))
        .about(About::Load(verdict.case.clone()))
        .at(subject.here, "")
        .note(format!(
            "nominal {}, divided by a factor of {}; {}",
            force(nominal),
            num::text(limit.factor, 3),
            verdict.method.name()
        ))
        .note(CAUTION)
        .help("use a thicker sheet, a larger eye or pin, more weld, or a shorter reach");
    let datum = subject.flat.region.bounds().min;
    let seen = Datum { part: subject.part, datum, units: subject.units };
    match limit.section_words(verdict.method, &seen) {
        Some(words) => finding.note(format!("governed by the {}: {words}", limit.what)),
        None => finding,
    }
}

/// The requirement of a geometric rule in a case, with lengths as `show` writes them.
pub(super) fn shape_words(
    [of, case]: [&str; 2],
    shape: &Shape,
    show: impl Fn(f64) -> String,
) -> String {
    format!(
        "`{of}` in `{case}`: {} is {}, but must be {} {} by {}",
        shape.what,
        show(shape.is),
        if shape.max { "at most" } else { "at least" },
        show(shape.wanted),
        shape.rule,
    )
}
