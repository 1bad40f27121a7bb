//! A load that a part does not hold.
//!
//! # Looks for
//! A load of the job above what the part is allowed to carry (stop), with the place that
//! governs, what acts there, and the clause. The load is followed from its hole or edge
//! through every face and every bend to the weld or the bolts that hold the part. On the way
//! the plate is cut in many places: at its corners, holes and openings, along each bend,
//! where it is held, and at every slant where one segment parts the load from what holds it. In each section the pull or push, shear, bending both ways and twist
//! are those of equilibrium. Round a loaded hole bearing, tear-out, block shear and the eye
//! are looked at; where the part is held the weld or the bolts with their eccentricity. Rules of
//! shape that are not kept, and a thin tube wall under a welded foot, are cautions.
//!
//! *Not judged* (a caution, never a margin) is a load whose way is not followed to its end:
//! where it is not clear what holds the part, or several things do; where a face parts and
//! meets again; an end cap, held all round; a fillet on one side that is bent or pulled open at
//! its root; bolts in two feet; a bridge over an opening that is wider than the load spreads;
//! a base that is a beam between bolts the load does not spread to at 45°, or turns over
//! bolts in line and bends between them; and where a limit comes to nothing or is no number.
//!
//! Not looked at: how far anything bends, shock, fatigue, vibration, corrosion, the part or
//! tube the plate stands on, peaks of stress at corners, what a welded post pries from a flat
//! plate, parts that share a load by their stiffness.
//!
//! # Why it matters
//! An eye tears out, a weld opens, a leg folds over: parts on a machine fail where their
//! metal is least, and the least is seldom where one looks.
//!
//! # Example
//! A joggled tab of 27 × 4 mm S235, its pad set off by 30 mm, pulled: the pad would hold 6.9 kN,
//! but its foot bends at 27 · 4² / 4 · 235 / 1.67 / 30 = 0.5 kN.
//!
//! # Remedy
//! Take thicker sheet, a larger eye or a larger pin, a longer weld, or a shorter reach; leave
//! `sheet` or an input open to have the lightest that holds. Where a load is not judged, name
//! with `held` or `bolts` what holds the part.
//!
//! # Source
//! AISC 360-16 B4.3b, D2, D5, E3, F11, H1, H3, J2 to J4, J7, K2, with a linear sum of pull and
//! bending; AISC manual parts 7 and 9 for the bolts that
//! hold a part; ASME BTH-1 section 3-3. A screening
//! calculation, not a substitute for local codes and a licensed engineer's judgement.

use crate::check::subject::Subject;
use crate::diag::About;
use crate::diag::Finding;
use crate::diag::Span;
use crate::num;
use crate::strength::CAUTION;
use crate::strength::Limit;
use crate::strength::Seen;
use crate::strength::Shape;
use crate::strength::Verdict;

const CODE: &str = "strength";

pub(super) fn look(subject: &Subject) -> Vec<Finding> {
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
        Finding::caution(CODE, shape_words(subject, verdict, shape))
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
        subject.units.force(verdict.force),
        subject.units.force(verdict.allowable(&wall)),
    );
    let finding = Finding::caution(CODE, headline)
        .about(subject.of_load(span))
        .about(About::Load(verdict.case.clone()))
        .at(subject.here, "")
        .at(span, wall.what)
        .note(format!("{}; {CAUTION}", wall.rule))
        .help("weld a saddle plate under the foot, or take a thicker tube");
    Some(finding)
}

/// A load above what is allowed.
fn overloaded(subject: &Subject, span: Span, verdict: &Verdict, limit: &Limit) -> Finding {
    let force = |newtons: f64| subject.units.force(newtons);
    let headline = format!(
        "`{}` in `{}`: {} is applied, {} allowed: {} ({})",
        verdict.part,
        verdict.case,
        force(verdict.force),
        force(verdict.allowable(limit)),
        limit.what,
        limit.rule,
    );
    let nominal = limit.nominal * f64::from(verdict.pieces);
    let finding = Finding::stop(CODE, headline)
        .about(subject.of_load(span))
        .about(About::Load(verdict.case.clone()))
        .at(subject.here, "")
        .note(format!(
            "nominal {}, over a factor of {}; {}",
            force(nominal),
            num::text(limit.factor, 3),
            verdict.method.name()
        ))
        .note(CAUTION)
        .help("take thicker sheet, a larger eye or pin, more weld, or a shorter reach");
    let datum = subject.flat.region.bounds().least;
    let seen = Seen { part: subject.part, datum, units: subject.units };
    match limit.section_words(verdict.method, &seen) {
        Some(words) => finding.note(format!("governed by the {}: {words}", limit.what)),
        None => finding,
    }
}

fn shape_words(subject: &Subject, verdict: &Verdict, shape: &Shape) -> String {
    format!(
        "`{}` in `{}`: {} is {}, but must be {} {} by {}",
        verdict.part,
        verdict.case,
        shape.what,
        subject.show(shape.is),
        if shape.most { "at most" } else { "at least" },
        subject.show(shape.wanted),
        shape.rule,
    )
}
