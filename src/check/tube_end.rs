//! A cap, plate, stub or bung that does not fit the end of its tube.
//!
//! # Looks for
//! A cap that is drawn for another tube, or does not sit as the cut length assumes; an
//! overlapping cap, or one that sits inside, whose weld is to be ground flush; plates that are set
//! closer together than the coated tube is wide; a cap, a stub or a bung that does not go in: stops. A
//! cap that may land on less of the wall than it should, or leaves no groove for a weld that is ground
//! flush; a cap that may not go in, or leaves a wide gap inside; plates that are too close for the widest
//! tube; a stub or bung that is too tight or too loose; and fewer caps than ends: cautions.
//!
//! # Why it matters
//! A cap that misses the wall falls into its tube or is welded at its edge only; a weld that is
//! ground away holds nothing. A tube that is cut without allowing for its cap comes out too long.
//!
//! # Example
//! A cap of 35 mm on a tube 38 × 1.5: 1.5 mm all round, and no wall under it.
//!
//! # Remedy
//! Correct the sizes of the cap: `outside`, `wall`, `undersize` and `fit`; set the plates further
//! apart; use another stub or bung, or turn one to suit.
//!
//! # Source
//! Arithmetic; tolerances of tube by EN 10219-2 (table `tolerance`). Landing 0.5 mm, groove 0.5 mm
//! at least, and at most 0.5 mm of clearance on diameter of a bung: our choice. A gap of 1 mm round a
//! cap inside its tube: common practice. Whether the weld is strong enough is not checked: for that,
//! put a load on the cap.

use crate::diag::About;
use crate::diag::Finding;
use crate::diag::Span;
use crate::fit::LANDING;
use crate::fit::TubeEnd;
use crate::num::on_grid;
use crate::quantity::Units;

pub(super) const CODE: &str = "tube-end";

/// Less than this, mm, is rounding.
const ROUNDING: f64 = 1e-6;

/// Minimum groove for a weld that is ground flush, mm. Our choice.
const GROOVE: f64 = 0.5;

/// The widest gap round a cap that is welded inside its tube, mm: common practice.
const GAP: f64 = 1.0;

/// The widest room round what goes in, in diameter, mm. Our choice.
const LOOSE: f64 = 0.5;

/// The end of a tube, and what is said of it.
pub(crate) struct TubeEndSubject<'a> {
    /// The end.
    pub(crate) end: &'a TubeEnd,
    /// Name of the tube.
    pub(crate) tube: &'a str,
    /// `start` or `end`.
    pub(crate) which: &'static str,
    /// The cap: its part, where it is named, outside and wall of the tube it is drawn for where it
    /// says so, and how it sits by the part and by the job.
    pub(crate) cap: Option<CapSubject<'a>>,
    /// Minimum landing, mm, where the job says.
    pub(crate) landing: Option<f64>,
    /// How far the plates are set apart, where the job says.
    pub(crate) gap: Option<(f64, Span)>,
    /// What goes in.
    pub(crate) inside: Option<(&'a str, Span)>,
    /// How lengths are printed.
    pub(crate) units: Units,
}

/// A cap, and what is said of it.
pub(crate) struct CapSubject<'a> {
    /// Its part.
    pub(crate) part: &'a str,
    /// Where it is named.
    pub(crate) at: Span,
    /// Outside and wall of the tube it is drawn for, where it says so.
    pub(crate) drawn_for: [Option<f64>; 2],
    /// Whether the tube was cut for a cap inside.
    pub(crate) cut_for_inside: bool,
    /// How many there are, and how many ends.
    pub(crate) counts: [u32; 2],
}

/// What is wrong with the end of a tube.
pub(crate) fn tube_end(of: &TubeEndSubject) -> Vec<Finding> {
    // Of a cap of another tube nothing else is said.
    let cap = cap(of);
    let on_cap = match cap {
        Some(_) => [None, None, None],
        None => [landing(of), flush(of), slip(of)],
    };
    let others = [counts(of), cheeks(of), inside(of)];
    let about = |finding: Finding| finding.about(About::Tube(of.tube.to_owned()));
    cap.into_iter().chain(on_cap.into_iter().chain(others).flatten()).map(about).collect()
}

fn show(of: &TubeEndSubject, mm: f64) -> String {
    of.units.length(on_grid(mm))
}

fn words(of: &TubeEndSubject) -> String {
    format!("the {} of tube `{}`", of.which, of.tube)
}

/// A cap of another tube, or one that sits otherwise than it was cut for.
fn cap(of: &TubeEndSubject) -> Option<Finding> {
    let (asked, cap) = (of.cap.as_ref()?, of.end.cap.as_ref()?);
    let finding = |headline: String| {
        let finding = Finding::stop(CODE, headline).about(About::part(asked.part));
        finding.at(asked.at, "")
    };
    for (drawn, is, what) in
        [(asked.drawn_for[0], of.end.outside, "outside"), (asked.drawn_for[1], of.end.wall, "wall")]
    {
        let Some(drawn) = drawn.filter(|drawn| (drawn - is).abs() > ROUNDING) else { continue };
        let (drawn, is) = (show(of, drawn), show(of, is));
        let headline = format!(
            "cap `{}` is drawn for a tube with {what} {drawn}, but {} has {is}",
            asked.part,
            words(of)
        );
        return Some(finding(headline).help(format!("give the cap `{what} = \"{is}\"`")));
    }
    if cap.is_inside == asked.cut_for_inside {
        return None;
    }
    let sits = if cap.is_inside { "inside its tube" } else { "on the end of its tube" };
    let headline = format!("cap `{}` sits {sits}, but the tube is not cut for that", asked.part);
    Some(
        finding(headline)
            .help("write its `fit` in `given` of the part as a word, not as a formula"),
    )
}

fn landing(of: &TubeEndSubject) -> Option<Finding> {
    let (asked, [drawn, least]) = (of.cap.as_ref()?, of.end.landing()?);
    let needed = of.landing.unwrap_or(LANDING);
    if least + ROUNDING >= needed {
        return None;
    }
    let headline = format!(
        "cap `{}` bears on {} of the wall, {} in the worst case: {} is needed",
        asked.part,
        show(of, drawn),
        show(of, least.max(0.0)),
        show(of, needed)
    );
    let finding = match drawn + ROUNDING < needed {
        true if drawn <= ROUNDING => Finding::stop(CODE, headline),
        _ => Finding::caution(CODE, headline),
    };
    let finding = finding.about(About::part(asked.part)).at(asked.at, "");
    let finding = finding.note("worst case: widest tube, thinnest wall");
    Some(finding.help("make `undersize` of the cap smaller, or use a thicker wall"))
}

/// A weld that is ground flush and leaves nothing.
fn flush(of: &TubeEndSubject) -> Option<Finding> {
    let (asked, cap) = (of.cap.as_ref()?, of.end.cap.as_ref()?);
    if !cap.ground {
        return None;
    }
    let [groove, least] = of.end.groove()?;
    let finding = if cap.is_inside {
        let headline =
            format!("cap `{}` sits inside its tube: `ground` does not apply to it", asked.part);
        Finding::stop(CODE, headline)
            .help("remove `ground`, or write `fit = \"flush\"` for the cap")
    } else if cap.is_over {
        let headline = format!(
            "the weld of cap `{}` cannot be ground flush: the cap overlaps its tube",
            asked.part
        );
        Finding::stop(CODE, headline).help("write `fit = \"flush\"` for it, or remove `ground`")
    } else if least + ROUNDING < GROOVE {
        let headline = format!(
            "ground flush, the weld of cap `{}` is {} deep, {} on the narrowest tube: {} is needed",
            asked.part,
            show(of, groove.max(0.0)),
            show(of, least.max(0.0)),
            show(of, GROOVE)
        );
        let help = "make `undersize` of the cap larger, or leave the weld as it is";
        Finding::caution(CODE, headline).help(help)
    } else {
        return None;
    };
    Some(finding.about(About::part(asked.part)).at(asked.at, ""))
}

/// A cap inside its tube that does not go in, or leaves a gap that no weld closes well.
fn slip(of: &TubeEndSubject) -> Option<Finding> {
    let (asked, [drawn, least, most]) = (of.cap.as_ref()?, of.end.slip()?);
    let cap = format!("cap `{}`", asked.part);
    let finding = if drawn < -ROUNDING {
        let lacks = show(of, -drawn);
        let headline = format!("{cap} does not go into {}: it is {lacks} too large", words(of));
        Finding::stop(CODE, headline).help("make `slip` of the cap larger")
    } else if least < -ROUNDING {
        let lacks = show(of, -least);
        let headline = format!(
            "{cap} may not go into {}: it is {lacks} too large for the narrowest bore",
            words(of)
        );
        let help = "measure the bore, make `slip` of the cap larger, or grind the cap to suit";
        Finding::caution(CODE, headline).help(help)
    } else if least > ROUNDING && most / 2.0 > GAP + ROUNDING {
        let headline = format!(
            "{cap} leaves {} all round in {}, {} in the widest bore: {} is the maximum",
            show(of, drawn / 2.0),
            words(of),
            show(of, most / 2.0),
            show(of, GAP)
        );
        Finding::caution(CODE, headline).help("make `slip` of the cap smaller")
    } else {
        return None;
    };
    Some(finding.about(About::part(asked.part)).at(asked.at, ""))
}

/// Fewer caps than ends.
fn counts(of: &TubeEndSubject) -> Option<Finding> {
    let asked = of.cap.as_ref()?;
    let [caps, ends] = asked.counts;
    if caps >= ends {
        return None;
    }
    let headline = format!("the job makes {caps} of cap `{}`, but closes {ends} ends", asked.part);
    let finding = Finding::caution(CODE, headline).about(About::part(asked.part));
    Some(finding.at(asked.at, "").help(format!("write `quantity = {ends}` for the cap")))
}

fn cheeks(of: &TubeEndSubject) -> Option<Finding> {
    let ((gap, at), [drawn, widest]) = (of.gap?, of.end.gap()?);
    if gap + ROUNDING >= widest {
        return None;
    }
    let headline = format!(
        "plates {} apart are too close for {}: {} is needed, {} for the widest tube",
        show(of, gap),
        words(of),
        show(of, drawn),
        show(of, widest)
    );
    let finding = match gap + ROUNDING < drawn {
        true => Finding::stop(CODE, headline),
        false => Finding::caution(CODE, headline),
    };
    let finding = finding
        .at(at, "")
        .note("outside diameter of the tube, coating of tube and plates, and play");
    let help = "set them further apart, or give the diameter of the ground tube: `ground_outside`";
    Some(finding.help(help))
}

fn inside(of: &TubeEndSubject) -> Option<Finding> {
    let ((what, at), [drawn, least]) = (of.inside?, of.end.clear()?);
    let (headline, weight) = if drawn < -ROUNDING {
        let lacks = show(of, -drawn);
        (format!("{what} does not go into {}: it is {lacks} too large", words(of)), true)
    } else if least < -ROUNDING {
        let lacks = show(of, -least);
        (
            format!("{what} may not go into {}: the smallest bore is {lacks} too small", words(of)),
            false,
        )
    } else if drawn > LOOSE + ROUNDING {
        (
            format!(
                "{what} is loose in {}: {} of clearance on diameter",
                words(of),
                show(of, drawn)
            ),
            false,
        )
    } else {
        return None;
    };
    let finding = match weight {
        true => Finding::stop(CODE, headline),
        false => Finding::caution(CODE, headline),
    };
    Some(
        finding
            .at(at, "")
            .help("measure the bore, and turn the piece to suit, or use another size"),
    )
}
