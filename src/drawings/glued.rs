//! Templates at 1:1: the flat of a part to glue on, the end of a tube to wrap round.

use crate::drawings::bends;
use crate::drawings::hole_dimensions;
use crate::drawings::marks::marks;
use crate::flat::to_origin;
use crate::geom::Edge;
use crate::geom::Place;
use crate::geom::Region;
use crate::job::Job;
use crate::paper;
use crate::paper::Cancelled;
use crate::paper::Pages;
use crate::paper::Template;
use crate::paper::both_units;
use crate::paper::circle;
use crate::solve;
use crate::solve::Solved;
use crate::write::Drawing;
use crate::write::Layer;
use crate::write::Stroke;

/// Said on every template.
const PRINTING: &str =
    "Print at 100 %, not “fit to page”, then measure the bars: a print that is out makes scrap.";

/// The meaning of the line.
const EDGE: &str = "Stick on, printed side up: top side shown. The line is the finished edge, no \
    kerf compensation: saw on the waste side and file to the line.";

/// Said where several parts share a page.
const LETTERS: &str = "Centre-punch the crosses. Solid circles are cut or drilled first, dashed ones \
    are the finished size. Lines with two dots are bend lines. For letters of holes see the \
    template or drawing of the part.";

/// Which lines are not cut.
const MARKS: &str = "Grey lines and letters: marks, scribed or etched, not cut.";

/// Printed on the piece itself.
const SIDE: &str = "this side up";
const OUT: &str = "this side out";

/// The flat of a part at true size.
pub(super) fn flat(job: &Job, solved: &Solved) -> Template {
    let place = to_origin(&solved.flat.region);
    let region = solved.flat.region.moved(&place);
    let sets = hole_dimensions::sets(solved);
    // Holes of one size have it in the piece, those of several have letters there.
    let one = size(&sets, job);
    let lettered = one.is_none() && !sets.is_empty();
    let sizes = one.unwrap_or_default();
    let mut punches = hole_dimensions::spots(solved, &sets);
    if !lettered {
        punches.iter_mut().for_each(|spot| spot.label.clear());
    }
    let bends = bends::labelled(job, solved).into_iter().map(|(l, line)| (line.moved(&place), l));
    Template {
        name: solved.name.clone(),
        copies: solve::pieces(job, solved) as usize,
        about: about(job, solved, &sets),
        staying: SIDE.into(),
        sizes,
        finished: finished(&sets, solved, &place),
        cuts: region.outlines().map(|o| o.edges().collect()).collect(),
        bends: bends.collect(),
        marks: marks(solved, &place),
        words: Vec::new(),
        punches,
        piece: Some(region),
    }
}

/// The final size of all holes: as cut, and what is done then; `None` if they differ.
fn size(sets: &[hole_dimensions::Set], job: &Job) -> Option<Vec<String>> {
    let mut steps = sets.iter().map(|set| hole_dimensions::steps(set.hole(), job));
    let first = steps.next()?;
    if steps.any(|other| other != first) {
        return None;
    }
    let cut = match sets.iter().map(|set| set.holes.len()).sum() {
        1 => first.as_cut,
        n => format!("{n}× {}", first.as_cut),
    };
    Some(std::iter::once(cut).chain(first.finish).collect())
}

/// What holes are opened to, about their centres, where a place brings the flat.
fn finished(sets: &[hole_dimensions::Set], solved: &Solved, place: &Place) -> Vec<Vec<Edge>> {
    let all = sets.iter().flat_map(|set| &set.holes);
    let opened = all.filter_map(|(index, hole)| {
        let cut = solved.flat.holes[*index].outline.moved(place).bounds();
        let diameter = hole.finished.filter(|finished| *finished > cut.width())?;
        Some(circle(cut.centre(), diameter / 2.0))
    });
    opened.collect()
}

/// Whether a kind of sheet has several parts.
pub(super) fn several(job: &Job, solved: &[Solved], sheet: usize) -> bool {
    solved.iter().filter(|s| s.sheet == sheet && solve::pieces(job, s) > 0).count() > 1
}

/// All parts of a kind of sheet that fit on a page, together and in their quantity, on pages upright
/// or on their sides, whichever more parts fit; `None` if there are fewer than two.
///
/// # Errors
/// When it may no longer `go_on`.
pub(super) fn together(
    job: &Job,
    solved: &[Solved],
    sheet: usize,
    page: [f64; 2],
    go_on: &dyn Fn() -> bool,
) -> Result<Option<Pages>, Cancelled> {
    let parts = solved.iter().filter(|s| s.sheet == sheet && solve::pieces(job, s) > 0);
    let templates: Vec<Template> = parts.map(|part| flat(job, part)).collect();
    let mut best = on_pages(job, sheet, &templates, page, go_on)?;
    if best.as_ref().is_none_or(|(_, fit)| *fit < templates.len()) {
        let [width, height] = page;
        let rotated = on_pages(job, sheet, &templates, [height, width], go_on)?;
        let fit = |pages: &Option<(Pages, usize)>| pages.as_ref().map_or(0, |(_, fit)| *fit);
        best = if fit(&rotated) > fit(&best) { rotated } else { best };
    }
    Ok(best.filter(|(_, fit)| *fit >= 2).map(|(pages, _)| pages))
}

/// The templates of a kind of sheet that fit on pages of a size, and how many do; `None` if none
/// does.
fn on_pages(
    job: &Job,
    sheet: usize,
    templates: &[Template],
    page: [f64; 2],
    go_on: &dyn Fn() -> bool,
) -> Result<Option<(Pages, usize)>, Cancelled> {
    let kind = &job.sheets[sheet];
    let said =
        format!("{}, {} thick.", kind.material.name(), both_units(job.units, kind.thickness));
    let mut all_say = vec![said, PRINTING.into(), EDGE.into(), LETTERS.into()];
    if templates.iter().any(|template| !template.marks.is_empty()) {
        all_say.push(MARKS.into());
    }
    let mut about = all_say.clone();
    let mut title = format!("{}: templates 1:1 of all parts", kind.name);
    let nested =
        |title: &str, about: &[String]| paper::nested(title, templates, about, page, go_on);
    let Some((mut pages, mut larger)) = nested(&title, &about)? else { return Ok(None) };
    // What names those at the foot takes room, so that another may not fit any more.
    let mut named = 0;
    while larger.len() > named {
        named = larger.len();
        let names = larger.iter().map(|i| templates[*i].name.as_str());
        about.truncate(all_say.len());
        about.push(larger_words(&names.collect::<Vec<_>>()));
        title = format!("{}: templates 1:1 of the parts that fit on a page", kind.name);
        let Some(again) = nested(&title, &about)? else { return Ok(None) };
        (pages, larger) = again;
    }
    pages.title = format!("{}, {title}", job.name);
    Ok(Some((pages, templates.len() - larger.len())))
}

/// Which parts have no room above the words of these pages.
fn larger_words(names: &[&str]) -> String {
    format!(
        "No room on these pages for {}: see the template or the drawing of each.",
        names.join(", ")
    )
}

/// The notes at the foot of a flat's template.
fn about(job: &Job, solved: &Solved, sets: &[hole_dimensions::Set]) -> Vec<String> {
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
        EDGE.into(),
    ];
    if !solved.part.bends.is_empty() {
        about.push(
            "Lines with two dots: bend lines (centre of the bend), numbered in bend sequence; \
             up is towards you, down is away from you."
                .into(),
        );
    }
    if !solved.flat.marks.is_empty() {
        about.push(MARKS.into());
    }
    if !sets.is_empty() {
        let lines: Vec<String> =
            sets.iter().map(|set| hole_dimensions::line(set, job, solved)).collect();
        let opened = sets.iter().any(|set| set.hole().finished.is_some());
        let dashed = if opened { " Dashed: final hole size." } else { "" };
        about.push(format!("Centre-punch the crosses.{dashed} {}.", lines.join("; ")));
    }
    about
}

/// A wrap at true size: the notes below its drawing explain its use.
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
