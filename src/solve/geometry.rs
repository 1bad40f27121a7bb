//! The short hash of a part, by which its issues are distinguished.

use crate::diag::About;
use crate::diag::Finding;
use crate::flat::to_origin;
use crate::geom::Edge;
use crate::geom::Place;
use crate::history::Sent;
use crate::history::checksum;
use crate::history::line;
use crate::history::written;
use crate::job::Job;
use crate::num;
use crate::part::Face;
use crate::part::Hole;
use crate::part::Weld;
use crate::recipe::Making;
use crate::solve::solved::Solved;

/// Digits of a hash that are printed.
const DIGITS: usize = 7;

/// Parts that differ from those sent as the issue that the job still names: two prints of one issue
/// that are not the same part.
pub(super) fn not_raised(job: &Job, solved: &[Solved]) -> Vec<Finding> {
    let (Some(own), Some(past)) = (&job.titled.issue, &job.past) else { return Vec::new() };
    let finding = |part: &Solved| {
        let differs = |sent: &&Sent| {
            let then = sent.part(&part.name).filter(|_| sent.state.issue.as_ref() == Some(own));
            then.is_some_and(|then| then.geometry != part.issue.geometry)
        };
        let (name, words) = (&part.name, past.sent.iter().rfind(differs)?.words());
        let finding = Finding::caution(
            "issue-not-raised",
            format!("`{name}` has changed since it was sent as issue {own} ({words})"),
        );
        let finding = finding.at(job.lines[part.line].here, "").about(About::part(name));
        Some(finding.help(
            "raise `issue` of the job, or remove it: the program then counts letters by part",
        ))
    };
    solved.iter().filter_map(finding).collect()
}

/// The short hash of a text.
pub(crate) fn digits(text: &str) -> String {
    checksum(text.as_bytes())[..DIGITS].to_owned()
}

/// The short hash of a part.
pub(super) fn hash(job: &Job, solved: &Solved) -> String {
    digits(&turned(job, solved, &Place::default()))
}

/// The text that is hashed, of a flat after rotation: metal, thickness, outlines, bends, marks,
/// finishing of holes and edges, welds, from the lower left corner of the flat, each kind in a
/// fixed order, so that a recipe that only names or lists them differently gives the same; and how
/// far apart ears are set.
pub(super) fn turned(job: &Job, solved: &Solved, turn: &Place) -> String {
    let (sheet, flat) = (&job.sheets[solved.sheet], &solved.flat);
    let place = turn.then(&to_origin(&flat.region.moved(turn)));
    let region = flat.region.moved(&place);
    let mut all = vec![
        sheet.material.name().to_owned(),
        num::text(sheet.thickness, 4),
        written(region.outer()),
    ];
    let gaps = flat.gaps().iter().map(|gap| written(&gap.moved(&place)));
    let holes = flat.holes.iter().map(|hole| {
        let work = work(solved.part.hole(hole.id));
        format!("{} {}", written(&hole.outline.moved(&place)), work.join(" "))
    });
    all.extend(sorted(gaps.chain(holes.map(|hole| hole.trim_end().to_owned()))));
    all.extend(sorted(solved.part.bends.iter().zip(&flat.bends).map(|(bend, strip)| {
        let measures = [bend.bend.angle().degrees(), bend.bend.radius()];
        let [angle, radius] = measures.map(|measure| num::text(measure, 4));
        let form = bend.bend.form();
        format!("{} {angle} {radius} {form} {}", line(&strip.line.moved(&place)), bend.up)
    })));
    all.extend(sorted(flat.marks.iter().flat_map(|mark| &mark.strokes).map(|stroke| {
        stroke.iter().map(|edge| line(&edge.moved(&place))).collect::<Vec<_>>().join("; ")
    })));
    all.extend(bevels_and_beads(solved, &place));
    all.extend(welds(solved, &place));
    all.extend(solved.part.set_gap().map(|gap| format!("set {} apart", num::text(gap, 4))));
    all.join("\n")
}

/// The welds of all faces, each along its edges in the flat, with its text in the drawing.
fn welds(solved: &Solved, place: &Place) -> Vec<String> {
    let of_face = |(face, of_face): (&Face, &Place)| {
        let weld = |weld: &Weld| {
            let edges = weld.stretches.iter().map(|edge| line(&edge.moved(of_face).moved(place)));
            let leg = weld.leg.map_or_else(|| "no leg".to_owned(), |leg| num::text(leg, 4));
            let sides =
                if weld.all_round { "all round".to_owned() } else { weld.sides.to_string() };
            format!("weld {leg} {sides} {} {}", sorted(edges).join("; "), weld.note)
        };
        face.welds.iter().map(weld).collect::<Vec<_>>()
    };
    sorted(solved.part.faces.iter().zip(&solved.flat.places).flat_map(of_face))
}

/// The bevels and beads of all faces, each where it lies in the flat.
fn bevels_and_beads(solved: &Solved, place: &Place) -> Vec<String> {
    let mut all = Vec::new();
    for (face, of_face) in solved.part.faces.iter().zip(&solved.flat.places) {
        let placed = |edges: &[Edge]| {
            sorted(edges.iter().map(|edge| line(&edge.moved(of_face).moved(place)))).join("; ")
        };
        all.extend(face.bevels.iter().map(|bevel| {
            let numbers = numbers_of(&[bevel.angle.degrees(), bevel.land, bevel.depth]);
            format!("bevel {numbers} {} {}", bevel.sides.word(), placed(&bevel.stretches))
        }));
        all.extend(face.beads.iter().map(|bead| {
            let numbers = numbers_of(&[bead.width, bead.depth]);
            let (section, side) = (bead.section.word(), bead.side.word());
            format!("bead {numbers} {section} {side} {}", placed(&bead.edges()))
        }));
    }
    sorted(all.into_iter())
}

/// The finishing of a hole after cutting.
fn work(hole: &Hole) -> Vec<String> {
    let mut all = Vec::new();
    if let Some(finished) = hole.finished {
        let thread = hole.thread.as_ref().filter(|_| hole.making == Making::Tap);
        let thread = thread.map_or("", |thread| thread.name());
        all.push(format!("{} {} {thread}", hole.making.word(), num::text(finished, 4)));
    }
    all.extend(hole.insert.as_ref().map(|insert| format!("insert {}", insert.row.name())));
    all.extend(hole.recess.as_ref().map(|recess| {
        let numbers = [recess.angle.unwrap_or_default(), recess.diameter, recess.depth];
        format!("{} {} {}", recess.word(), numbers_of(&numbers), recess.side.word())
    }));
    all.extend(hole.flare.as_ref().map(|flare| {
        let numbers = [flare.outside, flare.height, flare.angle.degrees(), flare.radius];
        format!("flare {} {}", numbers_of(&numbers), flare.side.word())
    }));
    all
}

fn numbers_of(numbers: &[f64]) -> String {
    numbers.iter().map(|n| num::text(*n, 4)).collect::<Vec<_>>().join(" ")
}

fn sorted(texts: impl Iterator<Item = String>) -> Vec<String> {
    let mut texts: Vec<String> = texts.collect();
    texts.sort();
    texts
}
