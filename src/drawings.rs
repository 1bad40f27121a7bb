//! What the shop office prints: a drawing of each part, and its flat as a template at 1:1.
//!
//! A shop drawing is a list of blocks, each made by a function of its own in the files
//! below; to say one more thing on it, add a block to `blocks`.

mod beads;
mod bends;
mod bevels;
mod cut_outs;
mod fit;
mod folded;
mod glued;
mod holes;
mod loads;
mod marks;
mod notes;
mod recess;
mod welds;

pub(crate) use holes::letters as hole_letters;

use crate::diag::About;
use crate::diag::Finding;
use crate::diag::Span;
use crate::flat::to_origin;
use crate::geom::Edge;
use crate::job::CAUTION;
use crate::job::Job;
use crate::paper;
use crate::paper::Block;
use crate::paper::Frame;
use crate::paper::Pages;
use crate::paper::Plan;
use crate::paper::PlanBend;
use crate::solve::Solved;
use crate::write::Drawing;
use crate::write::NamedFile;
use rayon::prelude::*;

/// The height a flat may take on its drawing, and a formed view, mm: smaller ones where that
/// saves a page. Our choice.
const HEIGHTS: [[f64; 2]; 3] = [[145.0, 92.0], [145.0, 76.0], [115.0, 76.0]];

/// The drawings and templates of all parts, in their order: each PDF and SVG, then the template.
/// Nothing where the job wants none.
///
/// # Errors
/// When one cannot be written.
pub(crate) fn drawings(job: &Job, solved: &[Solved]) -> Result<Vec<Vec<NamedFile>>, Vec<Finding>> {
    let Some(format) = job.paper else { return Ok(Vec::new()) };
    let size = format.size();
    let of = |s: &Solved| {
        let drawing = shop_drawing(job, solved, s, size);
        let here = job.lines[s.line].here;
        let svg = NamedFile {
            name: format!("drawings/{}.svg", s.name),
            bytes: paper::svg(&drawing).into_bytes(),
        };
        let mut files = vec![pdf(format!("drawings/{}.pdf", s.name), &drawing, here)?, svg];
        if paper::can_be_printed(s.flat.region.bounds(), size) {
            let template = glued::flat(job, s).pages(size);
            files.push(pdf(format!("templates/{}.pdf", s.name), &template, here)?);
        }
        Ok::<_, Vec<Finding>>(files)
    };
    solved.par_iter().map(of).collect()
}

/// The parts that are too large for a template.
pub(crate) fn without_template(job: &Job, solved: &[Solved]) -> Vec<Finding> {
    let Some(format) = job.paper else { return Vec::new() };
    let large = |s: &&Solved| !paper::can_be_printed(s.flat.region.bounds(), format.size());
    let finding = |s: &Solved| {
        let headline = format!("`{}` is too large for a template at 1:1", s.name);
        Finding::caution("template", headline)
            .about(About::part(&s.name))
            .at(job.lines[s.line].here, "")
            .note(
                "a template of more than 100 pages is not made; its flat and drawing are complete",
            )
            .help("mark it out from the drawing, or print the flat on a plotter")
    };
    solved.iter().filter(large).map(finding).collect()
}

/// The wrap templates of tubes at 1:1, by the names of their drawings.
///
/// # Errors
/// When one cannot be written.
pub(crate) fn wraps(
    job: &Job,
    drawings: &[(String, Drawing)],
) -> Result<Vec<NamedFile>, Vec<Finding>> {
    let Some((format, tube)) = job.paper.zip(job.tubes.first()) else { return Ok(Vec::new()) };
    let one = |(name, drawing): &(String, Drawing)| {
        let template = glued::wrap(drawing);
        pdf(format!("{name}.pdf"), &template.pages(format.size()), tube.here)
    };
    drawings.iter().map(one).collect()
}

/// A drawing as PDF; `here` is what it is about.
fn pdf(name: String, drawing: &Pages, here: Span) -> Result<NamedFile, Vec<Finding>> {
    match paper::pdf(drawing) {
        Ok(bytes) => Ok(NamedFile { name, bytes }),
        Err(error) => Err(vec![
            Finding::internal("drawing", format!("{name} cannot be written: {error}")).at(here, ""),
        ]),
    }
}

/// The drawing of a part among `all` of the job, on pages of a size in mm.
pub fn shop_drawing(job: &Job, all: &[Solved], solved: &Solved, size: [f64; 2]) -> Pages {
    let foot = format!(
        "{CAUTION} Lengths in {} unless stated otherwise.",
        if job.units.in_mm() == 1.0 { "millimetres" } else { "inches" }
    );
    let line = &job.lines[solved.line];
    let about = format!("job {}, recipe {}", job.name, line.recipe.0);
    let frame = Frame { name: solved.name.clone(), about, foot };
    let flowed = |heights: &[f64; 2]| {
        let (blocks, unlettered) = blocks(job, all, solved, size[0], *heights);
        (unlettered, paper::flow(&frame, &blocks, size))
    };
    let mut best = flowed(&HEIGHTS[0]);
    for heights in &HEIGHTS[1..] {
        if best.1.pages.len() == 1 {
            break;
        }
        let (unlettered, drawing) = flowed(heights);
        if unlettered <= best.0 && drawing.pages.len() < best.1.pages.len() {
            best = (unlettered, drawing);
        }
    }
    best.1
}

/// What a drawing says, in order, with views up to some heights; and how many letters found no
/// room in them.
fn blocks(
    job: &Job,
    all: &[Solved],
    solved: &Solved,
    width: f64,
    heights: [f64; 2],
) -> (Vec<Block>, usize) {
    let sets = holes::sets(solved);
    let seams = welds::seams(solved);
    let mut blocks = vec![notes::title(job, solved), notes::general(job, all, solved, &sets)];
    blocks.extend(notes::findings(solved));
    let plan = plan(job, solved, &sets, &seams);
    let (drawn, unlettered) = figures(job, solved, &plan, width - 2.0 * paper::MARGIN, heights);
    blocks.extend(drawn);
    blocks.extend(bends::table(job, solved));
    blocks.extend(folded::table(job, solved));
    blocks.extend(holes::tables(job, solved, &sets));
    blocks.extend(cut_outs::table(job, solved, &cut_outs::spots(solved, sets.len())));
    blocks.extend(bevels::table(job, solved));
    blocks.extend(beads::table(job, solved));
    blocks.extend(welds::table(job, &seams));
    blocks.extend(fit::blocks(job, all, solved));
    blocks.extend(notes::finish(job, solved, &sets));
    blocks.extend(notes::facts(job, all, solved));
    blocks.extend(loads::block(job, solved));
    (blocks, unlettered)
}

/// What is drawn of the flat.
fn plan(job: &Job, solved: &Solved, sets: &[holes::Set], seams: &[welds::Lettered]) -> Plan {
    let place = to_origin(&solved.flat.region);
    let moved = |edge: &Edge| edge.moved(&place);
    Plan {
        region: solved.flat.region.moved(&place),
        marks: marks::marks(solved, &place),
        bends: bends::labelled(job, solved)
            .into_iter()
            .map(|(label, line)| PlanBend { label, line: moved(&line) })
            .collect(),
        spots: [holes::spots(solved, sets), cut_outs::spots(solved, sets.len())].concat(),
        rings: [
            recess::rings(solved, &place),
            bevels::rings(solved, &place),
            beads::rings(solved, &place),
        ]
        .concat(),
        seams: seams
            .iter()
            .flat_map(|s| s.drawn(&place))
            .chain(bevels::notes(job, solved, &place))
            .chain(beads::notes(solved, &place))
            .collect(),
        found: marks::found(solved, &place),
        units: job.units,
    }
}

/// The flat, and the formed part.
fn figures(
    job: &Job,
    solved: &Solved,
    plan: &Plan,
    width: f64,
    [high, folded]: [f64; 2],
) -> (Vec<Block>, usize) {
    let folded = folded::figure(job, solved, width, folded);
    // Both in one look, where that costs the flat little.
    let beside = folded.as_ref().map_or(0.0, |folded| folded.width() + paper::BETWEEN);
    let beside = if plan.leaves_room(beside, width, high) { beside } else { 0.0 };
    let (flat, left) = plan.figure(width - beside, high);
    let figures = std::iter::once(flat).chain(folded).collect();
    let mut blocks = vec![Block::Figures(figures)];
    if !left.is_empty() {
        let lines = vec![format!(
            "Not labelled in the flat: {}. For their positions see the tables.",
            left.join(", ")
        )];
        blocks.push(Block::Lines { heading: String::new(), lines });
    }
    (blocks, left.len())
}
