//! The words of a drawing: the part, the general notes, the finish, and the findings.

use crate::bill;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::drawings::cut_outs;
use crate::drawings::fit;
use crate::drawings::hole_dimensions;
use crate::drawings::hole_dimensions::Set;
use crate::drawings::joints;
use crate::drawings::marks;
use crate::drawings::mates;
use crate::drawings::printed;
use crate::drawings::same_flats;
use crate::drawings::tube_end;
use crate::drawings::tubes;
use crate::flat::to_origin;
use crate::job::Job;
use crate::num;
use crate::num::counted;
use crate::paper::Block;
use crate::paper::figure_text;
use crate::part::Cope;
use crate::recipe::Grain;
use crate::recipe::Making;
use crate::report::Beside;
use crate::solve;
use crate::solve::Solved;

/// Lengths that differ by less are equal, mm.
const SAME: f64 = 1e-6;

/// Maximum number of letters of a remark in brackets behind a figure. Our choice: half a line.
const BESIDE: usize = 40;

/// The unusual: formed features, grain, openings left out, plates laid on others, coating and
/// masking, hardware, results of the recipe.
pub(super) fn lines(job: &Job, all: &[Solved], solved: &Solved, sets: &[Set]) -> Vec<String> {
    let mut lines: Vec<String> = formed(solved).into_iter().collect();
    match solved.part.grain {
        Grain::Free => {}
        Grain::AlongX => lines.push("Grain along X, left to right.".into()),
        Grain::AlongY => lines.push("Grain along Y, bottom to top.".into()),
    }
    lines.extend(cut_outs::left_out(job, solved));
    lines.extend(plates_below(job, all, solved));
    lines.extend(same_flats::lines(job, all, solved));
    lines.extend(marks::line(job, solved));
    lines.extend(copes(job, solved));
    lines.extend(finish(job, solved, sets));
    lines.extend(hardware(job, all, solved));
    lines.extend(joints::lines(job, solved, sets));
    lines.extend(tube_end::lines(job, all, solved));
    lines.extend(fit::narrow(job, solved));
    lines.extend(fit::nut(job, solved));
    lines.extend(facts(job, all, solved));
    lines
}

/// Printed if they found nothing.
pub(super) const CLEAR: &str = "clear";

/// The result of the checks, in a few words: the rest is in the findings, with the fit and with the
/// loads.
pub(super) fn checks(job: &Job, solved: &Solved) -> (String, String) {
    let label = "Checks: ".to_owned();
    let is_stop = |finding: &&Finding| finding.weight == Weight::Stop;
    let stops = solved.found.iter().filter(is_stop).count();
    if stops > 0 {
        return (label, format!("STOPPED, do not make: {}", counted(stops, "stop")));
    }
    let beside = Beside::of(job, solved);
    let found = (!solved.found.is_empty()).then(|| counted(solved.found.len(), "caution"));
    let found: Vec<String> = found.into_iter().chain(beside.limits_words()).collect();
    let result = match (found.is_empty(), beside.fits > 0) {
        (true, false) => CLEAR.into(),
        (true, true) => "clear except for the fit".into(),
        (false, true) => format!("{}, and the fit", found.join(", ")),
        (false, false) => found.join(", "),
    };
    (label, result)
}

/// Round tubes to which a face is coped and how they stand, where these are not seen beside the flat.
/// Of one that lies along the sheet the edges are straight, and have their sizes: of two of these the
/// angle between them.
fn copes(job: &Job, solved: &Solved) -> Vec<String> {
    let faces = solved.part.faces.iter().enumerate();
    let copes = faces.flat_map(|(i, face)| face.copes.iter().map(move |cope| (i, cope)));
    let askew = copes.filter(|(_, cope)| cope.along.hypot() > SAME && cope.rise.abs() > SAME);
    let line = |(face, cope): (usize, &Cope)| {
        let stands = mates::tube_position(job, solved, face, cope);
        format!("Coped at an angle to the sheet: {}; {stands}.", tubes::words(job, cope))
    };
    let mut lines: Vec<String> = askew.map(line).collect();
    lines.sort_unstable();
    lines.dedup();
    lines.extend(mates::angles(solved));
    lines
}

/// The hardware in the holes of all pieces.
fn hardware(job: &Job, all: &[Solved], solved: &Solved) -> Option<String> {
    let own = std::slice::from_ref(solved);
    let mut found = bill::through(job, all, own);
    found.extend(bill::spacers(job, own));
    let one = |one: &bill::Hardware| {
        let long = match one.length.trim_end_matches(" mm") {
            "" => String::new(),
            long => format!(" × {long}"),
        };
        // A count before a size in inches reads as one number with it: 8 and 1/4.
        let times = if one.thread.starts_with(|c: char| c.is_ascii_digit()) { "× " } else { "" };
        let named = format!("{times}{}{long} {}", one.thread, one.kind.word());
        let mut words = counted(one.quantity, &named);
        if let Some([min, max]) = one.grips {
            let grip = figure_text(job.units, max);
            words += &match min == max {
                true => format!(", grip {grip}"),
                false => format!(", grip {} to {grip}", figure_text(job.units, min)),
            };
        }
        let more = [(one.washers, "washer"), (one.nuts, "nut")];
        for (count, what) in more.into_iter().filter(|(count, _)| *count > 0) {
            words += &format!(", {}", counted(count, what));
        }
        if !one.note.is_empty() {
            let each = if one.kind.word() == "nut" && one.quantity > 1 { "each " } else { "" };
            words += &format!(" ({each}{})", one.note);
        }
        words
    };
    let words: Vec<String> = found.iter().map(one).collect();
    let pieces = match solve::pieces(job, solved) {
        1 => "this piece".to_owned(),
        2 => "both pieces".to_owned(),
        pieces => format!("all {pieces} pieces"),
    };
    (!words.is_empty()).then(|| format!("Hardware for {pieces}: {}.", words.join("; ")))
}

/// The formed features, and when they are formed.
fn formed(solved: &Solved) -> Option<String> {
    let flared = solved.part.holes().any(|(_, hole)| hole.flare.is_some());
    let beaded = solved.part.faces.iter().any(|face| !face.beads.is_empty());
    let what = match (flared, beaded) {
        (false, false) => return None,
        (true, false) => "Flares are",
        (false, true) => "Beads are",
        (true, true) => "Flares and beads are",
    };
    let when = if solved.part.bends.is_empty() { "" } else { ", before bending" };
    let pilot = if flared {
        " Flare pilots are sized so that the mid-surface keeps its area (common practice) unless \
         given: make a test piece first."
    } else {
        ""
    };
    Some(format!(
        "{what} formed in the flat{when}. The outline has no allowance for draw-in.{pilot}"
    ))
}

/// The plates on which a plate lies, and where its datum is on their flats.
fn plates_below(job: &Job, all: &[Solved], solved: &Solved) -> Vec<String> {
    let on = |host: &Solved| {
        let (face, place) = solve::seen(solved, host)?;
        let lies = match (place.mirrored, solved.part.hand) {
            (false, _) => "Placed on",
            (true, None) => "Flipped over, placed on",
            (true, Some(_)) => "Placed on the bottom of",
        };
        let way = solved.flat.places.first()?.back().then(&place);
        let way = way.then(&host.flat.places[face]).then(&to_origin(&host.flat.region));
        let at = way.apply(solved.flat.region.bounds().min);
        let text = |mm: f64| figure_text(job.units, mm);
        Some(format!(
            "{lies} {}: the lower left corner of this flat at X {}, Y {} of that one.",
            host.name,
            text(at.x),
            text(at.y)
        ))
    };
    all.iter().filter_map(on).collect()
}

/// The sides of the sheet, in the heading of the flat.
pub(super) fn side(solved: &Solved) -> &'static str {
    let mut bevels = solved.part.faces.iter().flat_map(|face| &face.bevels);
    let bevelled = bevels.any(|bevel| bevel.sides.is_one_sided());
    let beaded = solved.part.faces.iter().any(|face| !face.beads.is_empty());
    let pierced = solved.part.holes().any(|(_, hole)| hole.is_one_sided());
    let marked = !solved.flat.marks.is_empty();
    match !solved.part.bends.is_empty() || bevelled || beaded || pierced || marked {
        true => "Flat, top side up",
        false => "Flat, both sides alike",
    }
}

/// Coating and masking.
fn finish(job: &Job, solved: &Solved, sets: &[Set]) -> Vec<String> {
    let mut lines = Vec::new();
    let film = job.coating_of(&job.lines[solved.line]).film;
    if film > 0.0 {
        let small = solved.found.iter().any(|finding| finding.code == "coated-hole");
        let holes = match small {
            false => still_pass(job, film, sets),
            true => " Not all holes are sized for it: see findings.".to_owned(),
        };
        let film = job.units.length(film);
        lines.push(format!("Coating {film} per face.{holes}"));
        let is_single = hole_dimensions::is_single(solved);
        let mut masked: Vec<String> =
            sets.iter().filter_map(|set| masked(job, set, is_single)).collect();
        let captured = solved.part.captured.iter();
        masked.extend(captured.map(|captured| format!("captured thread {}", captured.nut.name())));
        lines.push(match masked.is_empty() {
            true if small => {
                "Mask the holes named in the findings, unless they are enlarged.".into()
            }
            true => "No masking needed.".into(),
            false => format!("Mask, or finish after coating: {}.", masked.join(", ")),
        });
    } else if !sets.is_empty() {
        lines.push("Holes not enlarged for coating, which makes them smaller.".into());
    }
    lines
}

/// The diameters of the round holes with fasteners when coated: ` Ø9 is 8.84 coated; clears M8.`
/// Other holes are left out: their purpose is not known.
fn still_pass(job: &Job, film: f64, sets: &[Set]) -> String {
    let mut words: Vec<String> = Vec::new();
    for hole in sets.iter().map(Set::hole) {
        let plain = !matches!(hole.making, Making::Tap | Making::Ream) && hole.flare.is_none();
        let Some(row) = hole.row.as_ref().filter(|_| plain) else { continue };
        let Some((is, pin)) = hole.diameter().zip(hole.pin()) else { continue };
        let left = is - 2.0 * film;
        let [is, coated] = [is, left].map(|mm| figure_text(job.units, mm));
        let one = format!("Ø{is} is {coated} coated; clears {}", row.name());
        if left >= pin && !words.contains(&one) {
            words.push(one);
        }
    }
    match words.is_empty() {
        true => String::new(),
        false => format!(" {}.", words.join(". ")),
    }
}

/// A set of holes that coating would spoil: `A (thread M6)`. A hole that is alone has no letter.
fn masked(job: &Job, set: &Set, is_single: bool) -> Option<String> {
    let (_, what) = bill::masked(job, set.hole())?;
    let named = if is_single { "the hole" } else { set.letter.as_str() };
    Some(format!("{named} ({what})"))
}

/// The facts of the recipe that the drawing does not have already: all but the gap of a clevis
/// and the grip of a bolt.
fn facts(job: &Job, all: &[Solved], solved: &Solved) -> Vec<String> {
    let gaps = solved.clevis.iter().map(|fit| num::on_grid(fit.gap.bare));
    let hardware = bill::through(job, all, std::slice::from_ref(solved));
    let grips = hardware.iter().filter_map(|one| one.grips).flatten();
    let known: Vec<f64> = gaps.chain(grips).collect();
    let mut lines = Vec::new();
    for fact in &solved.part.facts {
        let value = match &fact.value {
            crate::formula::Value::Quantity(q)
                if q.dimension == crate::quantity::Dimension::LENGTH =>
            {
                if known.iter().any(|known| (known - q.value).abs() < SAME) {
                    continue;
                }
                let figure = figure_text(job.units, q.value);
                format!("{figure} {}{}", job.units.word(), beside(&fact.about))
            }
            crate::formula::Value::Quantity(_) => {
                format!("{}{}", fact.value.show(job.units), beside(&fact.about))
            }
            value => value.show(job.units),
        };
        lines.push(sentence(&format!("{}: {value}", printed::name(&fact.name))));
    }
    lines
}

/// The remark in brackets behind a fact's figure: the start of its explanation, if that is short.
fn beside(about: &str) -> String {
    let said = printed::remark(about);
    let said = said.split([',', ':', ';']).next().unwrap_or_default();
    match said.chars().count() {
        1..=BESIDE => format!(" ({said})"),
        _ => String::new(),
    }
}

/// Words as a sentence: a capital first, unless there is a name, and a full stop.
pub(super) fn sentence(words: &str) -> String {
    let stop = if words.ends_with(['.', '?', '!']) { "" } else { "." };
    format!("{}{stop}", num::capital(words))
}

/// The findings of the checks in this part: those that differ only in a name are printed once, each
/// with its remedy in a separate paragraph.
pub(super) fn findings(solved: &Solved) -> Option<Block> {
    let all: Vec<(usize, &Finding)> = solved.found.iter().enumerate().collect();
    let mut lines = Vec::new();
    for (index, finding) in &all {
        let is_said = |(_, other): &&(usize, &Finding)| is_alike(other, finding);
        if all[..*index].iter().any(|other| is_said(&other)) {
            continue;
        }
        let alike = all[index + 1..].iter().filter(is_said);
        let alike: Vec<String> = alike.filter_map(|(index, other)| named(*index, other)).collect();
        let label = marks::finding_label(*index);
        let mut line = format!(
            "{label} {} ({}): {}",
            finding.weight,
            finding.code,
            sentence(&lettered(solved, finding))
        );
        if let Some(words) = finding.repeated() {
            line += &format!(" {}", sentence(&words));
        }
        if !alike.is_empty() {
            line += &format!(" The same at {}.", alike.join(", "));
        }
        lines.push(line);
        lines.extend(finding.help.as_ref().map(|help| format!("Fix: {help}.")));
    }
    (!lines.is_empty()).then(|| Block::Lines { heading: "Findings".into(), lines })
}

/// The headline of a finding about holes, with their letters behind the first name of a hole: `hole
/// “dimple” (A1–A14)`; not those of a hole that it names later. A hole that is alone has none.
fn lettered(solved: &Solved, finding: &Finding) -> String {
    /// Runs of letters listed at most. Our choice.
    const MOST: usize = 6;
    let headline = &finding.headline;
    let begins = headline.find("hole `").map(|at| at + "hole `".len());
    let Some(end) = begins.and_then(|at| Some(at + headline[at..].find('`')? + 1)) else {
        return headline.clone();
    };
    let is_about = |hole: usize| {
        let id = solved.flat.holes[hole].id;
        let is_marked =
            marks::features(solved, finding).any(|features| features.contains(&Feature::Hole(id)));
        is_marked && !headline[end..].contains(&format!("hole `{}`", solved.part.hole(id).name))
    };
    let letters = hole_dimensions::letters(solved).into_iter().filter(|(_, hole)| is_about(*hole));
    let letters: Vec<String> = letters.map(|(letter, _)| letter).collect();
    let runs = hole_dimensions::runs(&letters);
    let is_short = !letters.is_empty() && runs.split(", ").count() <= MOST;
    match is_short && !hole_dimensions::is_single(solved) {
        true => format!("{} ({runs}){}", &headline[..end], &headline[end..]),
        false => headline.clone(),
    }
}

/// Whether two findings differ only in the first name in them.
fn is_alike(one: &Finding, other: &Finding) -> bool {
    let own = |finding: &Finding| {
        split_at_name(&finding.headline).map(|(a, _, b)| [a, b].map(str::to_owned))
    };
    one.weight == other.weight
        && one.code == other.code
        && one.help == other.help
        && [one, other].iter().all(|finding| finding.repeats == 0)
        && own(one).is_some()
        && own(one) == own(other)
}

/// The text before the first name of a sentence, the name, and the text behind it.
fn split_at_name(headline: &str) -> Option<(&str, &str, &str)> {
    let (before, rest) = headline.split_once('`')?;
    let (name, behind) = rest.split_once('`')?;
    Some((before, name, behind))
}

/// A finding by its label and the name in it: `F2 “left”`.
fn named(index: usize, finding: &Finding) -> Option<String> {
    let (_, name, _) = split_at_name(&finding.headline)?;
    Some(format!("{} {}", marks::finding_label(index), printed::quoted(name)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn findings_that_differ_in_a_name_are_alike() {
        let of = |headline: &str| Finding::caution("bend-radius", headline).help("take V 16");
        let [a, b] = ["a", "b"].map(|name| of(&format!("bend `{name}` has 2 mm")));
        assert!(is_alike(&a, &b));
        assert!(!is_alike(&a, &of("bend `b` has 3 mm")));
        assert!(!is_alike(&a, &b.clone().help("take V 25")));
        assert!(!is_alike(&of("no name"), &of("no name")), "each is said");
        assert_eq!(named(1, &b).as_deref(), Some("F2 “b”"));
    }
}
