//! Templates at 1:1: the flat of a part to glue on, the end of a tube to wrap round.

use crate::drawings::bends;
use crate::drawings::holes;
use crate::drawings::marks::marks;
use crate::flat::to_origin;
use crate::geom::Edge;
use crate::geom::Region;
use crate::job::Job;
use crate::paper::Template;
use crate::paper::both_units;
use crate::solve;
use crate::solve::Solved;
use crate::write::Drawing;
use crate::write::Layer;
use crate::write::Stroke;

/// Said on every template.
const PRINTING: &str =
    "Print at 100 %, not “fit to page”, then measure the bars: a print that is out makes scrap.";

/// Printed on the piece itself.
const SIDE: &str = "this side up";
const OUT: &str = "this side out";

/// The flat of a part at true size.
pub(super) fn flat(job: &Job, solved: &Solved) -> Template {
    let place = to_origin(&solved.flat.region);
    let region = solved.flat.region.moved(&place);
    let sets = holes::sets(solved);
    let bends = bends::labelled(job, solved).into_iter().map(|(l, line)| (line.moved(&place), l));
    Template {
        name: solved.name.clone(),
        about: about(job, solved, &sets),
        staying: SIDE.into(),
        cuts: region.outlines().map(|o| o.edges().collect()).collect(),
        bends: bends.collect(),
        marks: marks(solved, &place),
        words: Vec::new(),
        punches: holes::spots(solved, &sets),
        piece: Some(region),
    }
}

/// The notes at the foot of a flat's template.
fn about(job: &Job, solved: &Solved, sets: &[holes::Set]) -> Vec<String> {
    let sheet = &job.sheets[solved.sheet];
    let bounds = solved.flat.region.bounds();
    let both = |mm: f64| both_units(job.units, mm);
    let mut about = vec![
        format!(
            "Qty {}: {}, {} thick; blank size {} × {}.",
            solve::pieces(job, solved),
            sheet.material.name(),
            both(sheet.thickness),
            both(bounds.width()),
            both(bounds.height())
        ),
        PRINTING.into(),
        "Stick on, printed side up: top side shown. The centre of the wide line is the finished edge, \
         no kerf compensation: saw on the waste side and file to the line."
            .into(),
    ];
    if !solved.part.bends.is_empty() {
        about.push(
            "Narrow lines with text: bend lines (centre of the bend), numbered in bend sequence; \
             up is towards you, down is away from you."
                .into(),
        );
    }
    if !solved.flat.marks.is_empty() {
        about.push("Finest lines: marks, scribed or etched, not cut.".into());
    }
    if !sets.is_empty() {
        let lines: Vec<String> = sets.iter().map(|set| holes::line(set, job, solved)).collect();
        about.push(format!("Centre-punch the crosses. {}.", lines.join("; ")));
    }
    about
}

/// A wrap at true size: the notes below its drawing say how it is used.
pub(super) fn wrap(drawing: &Drawing) -> Template {
    let mut template =
        Template { name: drawing.title.clone(), staying: OUT.into(), ..Template::default() };
    for (layer, stroke) in &drawing.strokes {
        match (layer, stroke) {
            (Layer::Cut, Stroke::Outline(outline)) => {
                template.cuts.push(outline.edges().collect());
                template.piece = Some(Region::solid(outline.clone()));
            }
            (_, Stroke::Outline(outline)) => template.marks.push(outline.edges().collect()),
            (_, Stroke::Line(from, to)) => template.marks.push(vec![Edge::line(*from, *to)]),
            (_, Stroke::Path(edges)) => template.marks.push(edges.clone()),
            (_, Stroke::Text { at, text, .. }) if at.y < 0.0 => {
                // The name is above already.
                let named = format!("{}: ", drawing.title);
                let words = text.strip_prefix(&named).unwrap_or(text);
                template.about.push(words.to_owned());
            }
            (_, Stroke::Text { at, text, .. }) => template.words.push((*at, text.clone())),
        }
    }
    template.about.push(PRINTING.into());
    template
}
