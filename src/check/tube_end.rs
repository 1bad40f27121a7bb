//! A cap, plate, stub or bung that does not fit the end of its tube.
//!
//! # Looks for
//! A cap that is drawn for another tube, or does not sit as the cut length assumes; an overlapping
//! cap, or one that sits inside, whose weld is to be ground flush; plates that are set closer
//! together than the tube with all coatings and the play on both sides; a ground diameter larger
//! than the tube, or no larger than its bore, or that leaves less weld round the cap than it needs;
//! a `lap` longer than its plate, or a bolt of a joint that is in the end of the tube its plates
//! lap over; a tab whose foot (its input `tube`) is cut for another tube; a cap, a stub or a bung
//! that does not go in; a stub that is set deeper than it is long, or two that meet in their tube;
//! two tabs that overlap, at their feet or above them, and one whose foot projects beyond its tube:
//! stops. Two tabs with no room for their fillets, or that overlap above their feet one way round;
//! a foot with no room for its fillet beside that of a coped end, whose leg is assumed to equal the wall thickness; a
//! cap that may land on less of the wall than it should, or leaves no groove for a weld that is
//! ground flush; a cap that may not go in, or leaves a wide gap inside; plates that are too close
//! for the widest tube, or so far apart, by `gap` or `play`, that a weld would have to fill more
//! than 2 mm on either side of the tube as drawn (our choice); a bolt near that end whose spacer,
//! taken as twice its diameter (our choice), overlaps the end, and one whose plates have no `lap`;
//! layers of a joint between them that may not go in, bare or coated, where the plates end up as
//! close together as the tolerance allows (table `tolerance`, `weld`), or are more than 0.5 mm too
//! thin (our choice); a tube that is ground to less than half of its wall; a stub or bung that is
//! too tight or too loose; and fewer caps, plates (two for each tube; one, if it is bent), tabs or
//! stubs than the tubes need: cautions. The foot of a bent tab, or of one with several welded
//! edges, is taken as no larger than its sheet is thick; a flat foot as set along its tube. Above
//! their feet, tabs that are bent or have several welded edges are not compared.
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
//! at least, and at most 0.5 mm of clearance on diameter of a bung: our choice. A gap of 1 mm round
//! a cap inside its tube: common practice. Whether the weld is strong enough is not checked: for
//! that, put a load on the cap. Half of the wall: our choice.

use crate::check::spacer;
use crate::check::spacer::Room;
use crate::check::spacer::Sides;
use crate::check::tube_end_lap;
use crate::check::tube_end_legs;
use crate::check::tube_end_subject::Count;
use crate::check::tube_end_subject::TabSubject;
use crate::check::tube_end_subject::TubeEndSubject;
use crate::check::tube_end_subject::show;
use crate::check::tube_end_subject::words;
use crate::check::tube_end_wide;
use crate::diag::About;
use crate::diag::Finding;
use crate::diag::Span;
use crate::diag::Weight;
use crate::fit::LANDING;

pub(super) const CODE: &str = "tube-end";

/// Less than this, mm, is rounding.
const ROUNDING: f64 = 1e-6;

/// Minimum groove for a weld that is ground flush, mm. Our choice.
const GROOVE: f64 = 0.5;

/// The widest gap round a cap that is welded inside its tube, mm: common practice.
const GAP: f64 = 1.0;

/// The share of its wall that a ground tube keeps. Our choice.
const WALL_LEFT: f64 = 0.5;

/// The largest clearance round the insert, in diameter, mm. Our choice.
const LOOSE: f64 = 0.5;

/// What is wrong with the end of a tube.
pub(crate) fn tube_end(of: &TubeEndSubject) -> Vec<Finding> {
    // A cap of another tube gets no further finding.
    let cap = cap(of);
    let on_cap = match cap {
        Some(_) => [None, None, None],
        None => [landing(of), flush(of), slip(of)],
    };
    let ground = ground(of);
    // Of a tube that cannot be ground so the gap says nothing.
    let is_stopped = ground.as_ref().is_some_and(|finding| finding.weight == Weight::Stop);
    let cheeks = match (is_stopped, &of.legs) {
        (true, _) => None,
        (false, Some(_)) => tube_end_legs::check(of, CODE),
        (false, None) => cheeks(of),
    };
    let others = [ground, cheeks, between(of), inside(of), tube_end_lap::lap(of, CODE)];
    let own = of.eyes.iter().filter_map(|eye| tube_end_lap::eye(of, eye, CODE));
    let own = own.chain(of.tabs.iter().filter_map(|drawn| tab(of, drawn)));
    let own = own.chain(of.counts.iter().filter_map(too_few)).chain(of.caps.iter().map(is_cap));
    let all = cap.into_iter().chain(on_cap.into_iter().chain(others).flatten()).chain(own);
    all.map(|finding| finding.about(About::Tube(of.tube.to_owned()))).collect()
}

/// A tab whose foot is cut for another tube.
fn tab(of: &TubeEndSubject, tab: &TabSubject) -> Option<Finding> {
    if (tab.drawn_for - of.end.outside).abs() <= ROUNDING {
        return None;
    }
    let (drawn, is) = (show(of, tab.drawn_for), show(of, of.end.outside));
    let headline = format!(
        "the foot of tab `{}` is drawn for a tube of {drawn}, but tube `{}` has {is} outside",
        tab.part, of.tube
    );
    let finding = Finding::stop(CODE, headline).about(About::part(tab.part)).at(tab.at, "");
    Some(finding.help(format!("give the tab `tube = \"{is}\"`")))
}

/// A cap that is named as a tab or plate.
fn is_cap(&(part, at, what): &(&str, Span, &'static str)) -> Finding {
    let headline = format!("`{part}` is a cap and cannot be a {what}: it closes the end of a tube");
    let finding = Finding::stop(CODE, headline).about(About::part(part)).at(at, "");
    finding.help(format!("write `cap = \"{part}\"`, or name the part of the {what}"))
}

/// A tube that is ground to more than it is, or through its wall.
fn ground(of: &TubeEndSubject) -> Option<Finding> {
    let (ground, at) = of.ground?;
    let end = of.end;
    let (widest, wall) = (end.outside + end.outside_off, end.wall - (end.outside - ground) / 2.0);
    let finding = if ground > widest + ROUNDING {
        let headline = format!(
            "{} is {} outside, {} at the widest: it cannot be ground to {}",
            words(of),
            show(of, end.outside),
            show(of, widest),
            show(of, ground)
        );
        Finding::stop(CODE, headline)
    } else if wall <= ROUNDING {
        let headline = format!(
            "ground to {}, {} has no wall left: its bore is {}",
            show(of, ground),
            words(of),
            show(of, end.outside - 2.0 * end.wall)
        );
        Finding::stop(CODE, headline)
    } else if wall + ROUNDING < end.wall * WALL_LEFT {
        let headline = format!(
            "ground to {}, {} has {} of its wall of {} left",
            show(of, ground),
            words(of),
            show(of, wall),
            show(of, end.wall)
        );
        Finding::caution(CODE, headline)
    } else {
        return None;
    };
    Some(finding.at(at, "").help("write what the tube measures where its weld is ground flush"))
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
        Finding::stop(CODE, headline)
            .help("write `fit = \"flush\"` for it, or remove `ground` and `ground_outside`")
    } else if let Some(ground) = of.end.ground().filter(|_| least + ROUNDING < GROOVE) {
        let headline = format!(
            "ground to {}, the weld of cap `{}`, {} across, is {} deep: {} is needed",
            show(of, ground),
            asked.part,
            show(of, cap.width),
            show(of, groove.max(0.0)),
            show(of, GROOVE)
        );
        let most = show(of, cap.width + 2.0 * GROOVE);
        let help = format!("grind to {most} or more, or make `undersize` of the cap larger");
        Finding::stop(CODE, headline).help(help)
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

/// A cap inside its tube that does not fit, or leaves a gap that no weld closes well.
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

/// Fewer caps, plates, tabs or stubs than the tubes need.
fn too_few(of: &Count) -> Option<Finding> {
    let Count { part, what, made, needed, .. } = *of;
    if made >= needed {
        return None;
    }
    let headline = format!("the job makes {made} of {what} `{part}`, but its tubes need {needed}");
    let finding = Finding::caution(CODE, headline).at(of.at, "");
    let finding = match what {
        "stub" => finding
            .about(About::Tube(part.to_owned()))
            .note("one for each end; a stub that joins two tubes is counted at both"),
        _ => finding.about(About::part(part)),
    };
    let unless = if what == "stub" { ", unless one goes into two tubes" } else { "" };
    Some(finding.help(format!("write `quantity = {needed}` for `{part}`{unless}")))
}

fn cheeks(of: &TubeEndSubject) -> Option<Finding> {
    let [drawn, widest] = of.end.gap()?;
    if let Some(finding) = tube_end_wide::wide(of, widest, CODE) {
        return Some(finding);
    }
    let (gap, at) = of.gap?;
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

/// What a joint has between the plates, and what that leaves.
fn between(of: &TubeEndSubject) -> Option<Finding> {
    let (spacer, plates) = of.spacer.as_ref().zip(of.end.cheeks.as_ref())?;
    let set = of.gap.map_or(of.end.gap()?[1], |(set, _)| set);
    let room = Room { set, coated: set - 2.0 * plates.coating, off: of.end.set_off };
    let whose = format!("beside {}", words(of));
    let sides = Sides { kind: "plates", whose: &whose };
    spacer::check(spacer, &room, (CODE, &sides), of.units)
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
            .help("measure the bore, and turn a new piece to suit, or use another size"),
    )
}
