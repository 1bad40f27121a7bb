//! A load that a part does not hold.
//!
//! # Looks for
//! A load of the job above what the part is allowed to carry (stop), with the limit that
//! governs; a rule of shape that is not kept, without which the formulas do not hold, and a
//! thin tube wall under a welded foot (cautions).
//!
//! # Why it matters
//! An eye tears out, a weld opens, a leg folds over: parts on a machine fail where their
//! metal is least, and the least is seldom where one looks.
//!
//! # Example
//! A tab of 5 mm S235 with a 12 mm pin, pulled with 13 kN: bearing of the pin allows
//! 1.8 × 235 × 12 × 5 / 2 = 12.7 kN.
//!
//! # Remedy
//! Take thicker sheet, a larger eye or a larger pin, a longer weld, or a shorter reach; leave
//! `sheet` or an input open to have the lightest that holds.
//!
//! # Source
//! AISC 360-16 D5, E3, F11, J2 to J4, J7, K2; AISC manual parts 7 and 9 for the bolts that
//! hold a part; ASME BTH-1 section 3-3. A screening
//! calculation, not a substitute for local codes and a licensed engineer's judgement.

use crate::check::subject::Subject;
use crate::diag::About;
use crate::diag::Finding;
use crate::diag::Span;
use crate::num;
use crate::strength::CAUTION;
use crate::strength::Shape;
use crate::strength::Verdict;

const CODE: &str = "strength";

pub(super) fn look(subject: &Subject) -> Vec<Finding> {
    subject.verdicts.iter().flat_map(|(span, verdict)| one(subject, *span, verdict)).collect()
}

fn one(subject: &Subject, span: Span, verdict: &Verdict) -> Vec<Finding> {
    let mut findings: Vec<Finding> = overloaded(subject, span, verdict).into_iter().collect();
    let unkept = verdict.shapes.iter().filter(|shape| !shape.kept());
    findings.extend(unkept.map(|shape| {
        Finding::caution(CODE, shape_words(subject, verdict, shape))
            .about(subject.of_load(span))
            .about(About::Load(verdict.case.clone()))
            .at(subject.here, "")
            .at(span, shape.what)
            .help("change the measures until it is kept; until then the strength is a guess")
    }));
    findings.extend(dented(subject, span, verdict));
    findings
}

/// What governs, where it allows less than is asked.
fn overloaded(subject: &Subject, span: Span, verdict: &Verdict) -> Option<Finding> {
    let limit = verdict.governing().filter(|_| verdict.margin() < 0.0)?;
    let force = |newtons: f64| subject.units.force(newtons);
    let headline = format!(
        "`{}` may carry {} in `{}`, but {} is asked: {} ({})",
        verdict.part,
        force(verdict.allowable(limit)),
        verdict.case,
        force(verdict.force),
        limit.what,
        limit.rule,
    );
    let nominal = format!(
        "nominal {}, over a factor of {}; {}",
        force(limit.nominal * f64::from(verdict.pieces)),
        num::text(limit.factor, 3),
        verdict.method.name()
    );
    let finding = Finding::stop(CODE, headline)
        .about(subject.of_load(span))
        .about(About::Load(verdict.case.clone()))
        .at(subject.here, "")
        .at(span, format!("{} of {}", verdict.direction, verdict.at))
        .note(nominal)
        .note(CAUTION)
        .help("take thicker sheet, a larger eye or pin, more weld, or a shorter reach");
    Some(finding)
}

/// The wall of the tube under a welded foot, where it is too thin.
fn dented(subject: &Subject, span: Span, verdict: &Verdict) -> Option<Finding> {
    let wall = verdict.wall.filter(|wall| verdict.allowable(wall) < verdict.force)?;
    let headline = format!(
        "the tube under `{}` may carry {} in `{}`, but {} is asked: its wall would be dented",
        verdict.part,
        subject.units.force(verdict.allowable(&wall)),
        verdict.case,
        subject.units.force(verdict.force),
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

fn shape_words(subject: &Subject, verdict: &Verdict, shape: &Shape) -> String {
    format!(
        "`{}` in `{}`: {} is {}, but {} {} by {}",
        verdict.part,
        verdict.case,
        shape.what,
        subject.show(shape.is),
        if shape.most { "at most" } else { "at least" },
        subject.show(shape.wanted),
        shape.rule,
    )
}
