//! What a drawing says in words: the part, the general notes, the finish, and the findings.

use crate::bill;
use crate::diag::Finding;
use crate::drawings::cut_outs;
use crate::drawings::holes;
use crate::drawings::holes::Set;
use crate::drawings::marks;
use crate::flat::to_origin;
use crate::job::Job;
use crate::num;
use crate::paper::Block;
use crate::paper::Cell;
use crate::paper::Table;
use crate::paper::both_units;
use crate::paper::figure_text;
use crate::part::Bead;
use crate::part::Bevel;
use crate::part::Flare;
use crate::part::Recess;
use crate::quantity::KG_PER_LB;
use crate::quantity::Units;
use crate::recipe::BevelSides;
use crate::recipe::Grain;
use crate::recipe::Side;
use crate::solve;
use crate::solve::Solved;

/// Two lengths no farther apart are one, mm.
const SAME: f64 = 1e-6;

/// What is made, and how many.
pub(super) fn title(job: &Job, solved: &Solved) -> Block {
    let sheet = &job.sheets[solved.sheet];
    let region = &solved.flat.region;
    let bounds = region.bounds();
    let mass = region.area() * sheet.thickness * sheet.material.measure("density");
    let mass = match job.units {
        Units::Millimetre => format!("{} kg", num::text(mass, 3)),
        Units::Inch => format!("{} lb", num::text(mass / KG_PER_LB, 3)),
    };
    let size = format!(
        "{} × {}",
        both_units(job.units, bounds.width()),
        both_units(job.units, bounds.height())
    );
    let row = [
        solve::pieces(job, solved).to_string(),
        sheet.material.name().to_owned(),
        both_units(job.units, sheet.thickness),
        size,
        mass,
        job.process.name().to_owned(),
    ];
    let heads = ["qty", "material", "thickness", "blank size", "mass each", "process"];
    Block::Table(Table {
        heading: "Part".into(),
        heads: heads.map(String::from).to_vec(),
        rows: vec![row.map(Cell::Words).to_vec()],
    })
}

/// The general notes: side, edge, holes, datum, grain, lines, checks.
pub(super) fn general(job: &Job, all: &[Solved], solved: &Solved, sets: &[Set]) -> Block {
    let mut lines = vec![
        side(solved).to_owned(),
        format!(
            "Outlines are the finished edge. No kerf compensation (half kerf of {}: {}).",
            job.process.name(),
            job.units.length(job.process.measure("kerf") / 2.0)
        ),
        finished_later(job, sets),
        "Datum: left and bottom edge of the flat.".into(),
    ];
    lines.extend(formed(solved));
    match solved.part.grain {
        Grain::Free => {}
        Grain::AlongX => lines.push("Grain: along X, left to right.".into()),
        Grain::AlongY => lines.push("Grain: along Y, bottom to top.".into()),
    }
    lines.extend(cut_outs::left_out(job, solved));
    lines.extend(lies_on(job, all, solved));
    lines.push(line_types(solved, sets));
    lines.push(match solved.found.len() {
        0 => "Checks: clear.".to_owned(),
        1 => "Checks: 1 caution (see findings).".to_owned(),
        n => format!("Checks: {n} cautions (see findings)."),
    });
    Block::Lines { heading: "Notes".into(), lines }
}

/// What is formed, and when.
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
        "{what} formed in the flat{when}. The outline has no allowance for what the sheet draws in.{pilot}"
    ))
}

/// On which plates a plate lies, and where its datum comes to on the flats of those.
fn lies_on(job: &Job, all: &[Solved], solved: &Solved) -> Vec<String> {
    let on = |host: &Solved| {
        let (face, place) = solve::seen(solved, host)?;
        let lies = match (place.mirrored, solved.part.hand) {
            (false, _) => "Lies on",
            (true, None) => "Lies turned over on",
            (true, Some(_)) => "Lies on the bottom of",
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

/// Which side of the sheet the flat shows, and what up and down mean.
fn side(solved: &Solved) -> &'static str {
    let mut bevels = solved.part.faces.iter().flat_map(|face| &face.bevels);
    let bevelled = bevels.any(|bevel| bevel.sides.is_one_sided());
    let beaded = solved.part.faces.iter().any(|face| !face.beads.is_empty());
    let pierced = solved.part.holes().any(|(_, hole)| hole.is_one_sided());
    match (solved.part.bends.is_empty(), solved.flat.marks.is_empty()) {
        (true, true) if beaded && (pierced || bevelled) => {
            "Top side shown; the sides differ: see holes, bevels and beads."
        }
        (true, true) if beaded => "Top side shown; the sides differ: see beads.",
        (true, true) if pierced && bevelled => {
            "Top side shown; the sides differ: see holes and bevels."
        }
        (true, true) if pierced => "Top side shown; the sides differ: see holes.",
        (true, true) if bevelled => "Top side shown; the sides differ: see bevels.",
        (true, true) => "Top side shown; both sides are alike.",
        (true, false) => "Top side shown; marks are on this side.",
        (false, _) => "Top side shown. Bend up: towards you. Bend down: away from you.",
    }
}

/// The holes that are drilled, reamed or tapped after cutting.
fn finished_later(job: &Job, sets: &[Set]) -> String {
    let finish = |set: &Set| {
        let recess = set.hole().recess.map(|r| format!("{} from the {}", r.word(), r.side.word()));
        let finish = holes::steps(set.hole(), job).finish;
        let all: Vec<String> = [finish, recess].into_iter().flatten().collect();
        (!all.is_empty()).then(|| format!("{} ({})", set.letter, all.join(", ")))
    };
    let finished: Vec<String> = sets.iter().filter_map(finish).collect();
    match finished.is_empty() {
        true if sets.is_empty() => "No holes.".to_owned(),
        true => "All holes are cut to finished size.".to_owned(),
        false => format!("Holes to finish after cutting: {}.", finished.join(", ")),
    }
}

/// What the lines of the flat mean: kinds of ISO 128-2 (from memory).
fn line_types(solved: &Solved, sets: &[Set]) -> String {
    let mut types = visible_edges(solved);
    if !solved.part.bends.is_empty() {
        types.push("narrow continuous = bend line".into());
    }
    if !sets.is_empty() {
        types.push("chain = hole centre".into());
    }
    if !solved.flat.marks.is_empty() {
        types.push("finest = mark, scribed or etched, not cut".into());
    }
    if !solved.found.is_empty() {
        types.push("red = what a finding is about, with its number".into());
    }
    format!("Lines: {}.", types.join("; "))
}

/// What the wide lines are: cuts, and where edges are sunk or bevelled their outlines too; what
/// is on the bottom side is dashed.
fn visible_edges(solved: &Solved) -> Vec<String> {
    let recesses: Vec<Recess> = solved.part.holes().filter_map(|(_, hole)| hole.recess).collect();
    let bevels: Vec<&Bevel> = solved.part.faces.iter().flat_map(|face| &face.bevels).collect();
    let mut seen: Vec<&str> = recesses.iter().filter(|r| r.is_up()).map(Recess::word).collect();
    seen.extend(bevels.iter().filter(|b| b.sides != BevelSides::Down).map(|_| "bevel"));
    let flares: Vec<Flare> = solved.part.holes().filter_map(|(_, hole)| hole.flare).collect();
    let beads: Vec<&Bead> = solved.part.faces.iter().flat_map(|face| &face.beads).collect();
    seen.extend(flares.iter().filter(|flare| flare.is_up()).map(|_| "flare"));
    seen.extend(beads.iter().filter(|bead| bead.side == Side::Up).map(|_| "bead"));
    seen.sort_unstable();
    seen.dedup();
    let wide = match seen.is_empty() {
        true => "wide = cut".to_owned(),
        false => format!("wide = visible edge: cut, {}", seen.join(", ")),
    };
    let is_below = recesses.iter().any(|recess| !recess.is_up())
        || bevels.iter().any(|bevel| bevel.sides == BevelSides::Down)
        || flares.iter().any(|flare| !flare.is_up())
        || beads.iter().any(|bead| bead.side == Side::Down);
    let dashed = is_below.then(|| "dashed = edge on the bottom side".to_owned());
    std::iter::once(wide).chain(dashed).collect()
}

/// Coating and masking.
pub(super) fn finish(job: &Job, solved: &Solved, sets: &[Set]) -> Vec<Block> {
    let mut lines = Vec::new();
    if job.coating > 0.0 {
        let small = solved.found.iter().any(|finding| finding.code == "coated-hole");
        let holes = match (sets.is_empty(), small) {
            (true, _) => "",
            (false, false) => " Holes sized for coating.",
            (false, true) => " Not all holes are sized for it: see findings.",
        };
        let film = both_units(job.units, job.coating);
        lines.push(format!("Coating: {film} on every face.{holes}"));
        let mut masked: Vec<String> = sets.iter().filter_map(|set| masked(job, set)).collect();
        let captured = solved.part.captured.iter();
        masked.extend(captured.map(|captured| format!("captured thread {}", captured.nut.name())));
        lines.push(match masked.is_empty() {
            true => "No masking needed.".into(),
            false => format!("Mask, or finish after coating: {}.", masked.join(", ")),
        });
    } else if !sets.is_empty() {
        lines.push("Holes not enlarged for coating: a coating makes them smaller.".into());
    }
    if lines.is_empty() {
        return Vec::new();
    }
    vec![Block::Lines { heading: "Finish".into(), lines }]
}

/// A set of holes that coating would spoil: `A (thread M6)`.
fn masked(job: &Job, set: &Set) -> Option<String> {
    let (_, what) = bill::masked(job, set.hole())?;
    Some(format!("{} ({what})", set.letter))
}

/// The facts of the recipe that the drawing does not have already: all but the gap of a clevis
/// and the grip of a bolt.
pub(super) fn facts(job: &Job, all: &[Solved], solved: &Solved) -> Vec<Block> {
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
                both_units(job.units, q.value)
            }
            value => value.show(job.units),
        };
        lines.push(sentence(&format!("{}: {value}, {}", fact.name, fact.about)));
    }
    vec![Block::Lines { heading: "Data".into(), lines }]
}

/// Words as a sentence: a capital first, unless there is a name, and a full stop.
pub(super) fn sentence(words: &str) -> String {
    let mut signs = words.chars();
    let first = signs.next().map(|sign| sign.to_uppercase().to_string()).unwrap_or_default();
    let stop = if words.ends_with(['.', '?', '!']) { "" } else { "." };
    format!("{first}{}{stop}", signs.as_str())
}

/// The findings of the checks in this part.
pub(super) fn findings(solved: &Solved) -> Vec<Block> {
    let line = |(index, finding): (usize, &Finding)| {
        let label = marks::finding_label(index);
        let help = finding.help.as_ref().map(|help| format!(" Fix: {help}."));
        let repeated = finding.repeated().map(|words| format!(" {}", sentence(&words)));
        format!(
            "{label}, {} ({}): {}{}{}",
            finding.weight,
            finding.code,
            sentence(&finding.headline),
            repeated.unwrap_or_default(),
            help.unwrap_or_default()
        )
    };
    let lines: Vec<String> = solved.found.iter().enumerate().map(line).collect();
    vec![Block::Lines { heading: "Findings".into(), lines }]
}
