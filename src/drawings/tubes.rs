//! Round tubes that a part is coped to, drawn beside its flat.

use crate::geom::Edge;
use crate::geom::Place;
use crate::geom::heading;
use crate::job::Job;
use crate::num::Angle;
use crate::paper::Phantom;
use crate::paper::figure_text;
use crate::part::Cope;
use crate::solve::Solved;

/// Tubes whose axis is as square to the sheet as this are circles in it, as a sine.
const SQUARE: f64 = 1e-6;
/// How far the arc of a tube reaches beyond the part, degrees: it keeps off the origin circles of the
/// dimensions.
const BEYOND: f64 = 6.0;

/// The arcs of the tubes normal to the sheet, with their sizes.
pub(super) fn phantoms(job: &Job, solved: &Solved, place: &Place) -> Vec<Phantom> {
    let mut phantoms = Vec::new();
    for (face, of_face) in solved.part.faces.iter().zip(&solved.flat.places) {
        for cope in face.copes.iter().filter(|cope| cope.along.hypot() < SQUARE) {
            let centre = place.apply(of_face.apply(cope.at));
            let outer = solved.flat.region.outer().moved(place);
            let near =
                |edge: &Edge| edge.arc().is_some_and(|arc| (arc.centre - centre).hypot() < 0.5);
            let Some(arc) = outer.edges().filter(near).find_map(|edge| edge.arc()) else {
                continue;
            };
            let point = |degrees: f64| {
                let angle = Angle::from_degrees(degrees);
                centre + heading(angle) * cope.radius
            };
            let (start, sweep) = (arc.start.degrees(), arc.sweep.degrees());
            let sign = sweep.signum();
            let bulge = sign * Angle::from_degrees(BEYOND / 4.0).tan();
            let ends = [start - sign * BEYOND, start + sweep];
            let label = words(job, cope);
            for (k, from) in ends.into_iter().enumerate() {
                let edge = Edge { from: point(from), to: point(from + sign * BEYOND), bulge };
                let label = if k == 0 { label.clone() } else { String::new() };
                phantoms.push(Phantom { edges: vec![edge], label });
            }
        }
    }
    phantoms
}

/// A tube by its own diameter, and the diameter of the cut if there is clearance: `tube Ø38, cut
/// Ø38.4`.
pub(super) fn words(job: &Job, cope: &Cope) -> String {
    let [tube, cut] = [cope.outside, 2.0 * cope.radius].map(|mm| figure_text(job.units, mm));
    match tube == cut {
        true => format!("tube Ø{tube}"),
        false => format!("tube Ø{tube}, cut Ø{cut}"),
    }
}
