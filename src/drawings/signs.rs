//! The signs of bends in the flat: order, side, angle.

use crate::bend::Form;
use crate::geom::Place;
use crate::job::Job;
use crate::num;
use crate::paper::PlanBend;
use crate::paper::figure_text;
use crate::solve::Solved;

/// The bend lines with their signs, where a place brings the flat; bends in the order of making.
/// A rolled bend has a line where it begins and one where it ends.
pub(super) fn signs(job: &Job, solved: &Solved, place: &Place) -> Vec<PlanBend> {
    let number = |bend: usize| solved.plan.as_ref().and_then(|plan| plan.number(bend));
    let mut order: Vec<usize> = (0..solved.part.bends.len()).collect();
    order.sort_by_key(|bend| (number(*bend).unwrap_or(usize::MAX), *bend));
    let sign = |(number, bend): (usize, usize)| {
        let (drawn, strip) = (&solved.part.bends[bend], &solved.flat.bends[bend]);
        let angle = format!("{}°", num::text(drawn.bend.angle().degrees(), 1));
        let sign = |number: String, words: String, line: crate::geom::Edge| PlanBend {
            number,
            up: drawn.up,
            words,
            line: line.moved(place),
        };
        let number = (number + 1).to_string();
        match drawn.bend.form() {
            Form::Bent => vec![sign(number, angle, strip.line)],
            form @ (Form::OpenHem | Form::ClosedHem) => {
                vec![sign(number, form.words().to_owned(), strip.line)]
            }
            Form::Rolled => {
                let radius = figure_text(job.units, drawn.bend.radius());
                let [begins, ends] = strip.tangents;
                let words = format!("roll R{radius} {angle}");
                let end = sign(String::new(), String::new(), ends);
                vec![sign(number, words, begins), end]
            }
        }
    };
    order.into_iter().enumerate().flat_map(sign).collect()
}
