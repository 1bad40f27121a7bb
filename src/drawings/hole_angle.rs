//! How holes lie: at what angle straight slots and hexagons are, from where to where those along
//! arcs run.

use crate::geom::Point;
use crate::job::Job;
use crate::num;
use crate::num::Angle;
use crate::paper::Spot;
use crate::paper::figure_text;
use crate::part::HoleSize;

/// Angles are printed in hundredths of a degree.
const DECIMALS: usize = 2;

/// A hole by its letter, how it lies, and whether that has to be said.
pub(super) type HoleAngle = (String, String, bool);

/// `at 30°`.
pub(super) fn at(angle: Angle) -> String {
    format!("at {}°", num::text(angle.degrees(), DECIMALS))
}

/// The orientation of a hole of a size; `None` for a round one. `spots` are all holes of the flat.
pub(super) fn of(job: &Job, size: HoleSize, spot: &Spot, spots: &[Spot]) -> Option<HoleAngle> {
    let said = |words: String, must: bool| Some((spot.label.clone(), words, must));
    match size {
        HoleSize::Round { .. } => None,
        HoleSize::ArcSlot { .. } => {
            let slot = spot.outline.arc_slot()?;
            let from = slot.from.degrees();
            let [from, to] = [from, from + slot.sweep.degrees()].map(|d| num::text(d, DECIMALS));
            said(format!("{from}° to {to}° about {}", about(job, slot.centre, spots)), true)
        }
        HoleSize::Slot { .. } | HoleSize::TongueSlot { .. } => {
            let runs = spot.outline.runs_at()?;
            let printed = at(runs);
            let must = !["at 0°", "at 90°", "at 180°"].contains(&printed.as_str());
            said(printed, must)
        }
        HoleSize::Hexagon { .. } => {
            // Its flats are alike every sixth of a turn.
            let runs = spot.outline.runs_at()?.degrees().rem_euclid(60.0);
            let words = format!("flats {}", at(Angle::from_degrees(runs)));
            let must = !["flats at 0°", "flats at 60°", "flats at 30°"].contains(&words.as_str());
            said(words, must)
        }
    }
}

/// The round hole round a point by its letter, else the point.
fn about(job: &Job, centre: Point, spots: &[Spot]) -> String {
    let is_there = |spot: &&Spot| {
        let circle = spot.outline.circle();
        circle.is_some_and(|(at, _)| (at - centre).hypot() < 1e-4) && !spot.label.is_empty()
    };
    match spots.iter().find(is_there) {
        Some(spot) => spot.label.clone(),
        None => {
            let [x, y] = [centre.x, centre.y].map(|mm| figure_text(job.units, mm));
            format!("X {x}, Y {y}")
        }
    }
}

/// A line for all if they are parallel, else one for each group; `None` if all are parallel to the
/// axes, which is visible.
pub(super) fn lines(all: &[HoleAngle]) -> Vec<String> {
    if !all.iter().any(|(_, _, must)| *must) {
        return Vec::new();
    }
    let mut groups: Vec<(&str, Vec<&str>)> = Vec::new();
    for (letter, words, _) in all {
        match groups.iter_mut().find(|(other, _)| other == words) {
            Some((_, letters)) => letters.push(letter),
            None => groups.push((words, vec![letter])),
        }
    }
    match groups.as_slice() {
        [(words, _)] => vec![(*words).to_owned()],
        _ => groups
            .iter()
            .map(|(words, letters)| format!("{} {words}", letters.join(", ")))
            .collect(),
    }
}
