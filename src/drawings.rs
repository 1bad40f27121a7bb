//! The prints for the shop: a drawing of each part, and its flat as a template at 1:1.
//!
//! A shop drawing is one framed sheet of panels, put together in `page.rs`: the flat, the folded
//! part, the bends in order, notes; whatever does not fit is on a second sheet.

mod assembly;
mod bar;
mod beads;
mod bends;
mod bevels;
mod coped;
mod curves;
mod cut_outs;
mod dimension;
mod file;
mod fit;
mod flat;
mod folded;
mod framed;
mod gap_picture;
mod glued;
mod hole_angle;
mod hole_dimensions;
mod joints;
mod layout;
mod link;
mod links;
mod loads;
mod machine;
mod marks;
mod mates;
mod notes;
mod offsets;
mod page;
mod printed;
mod recess;
mod same_flats;
mod sheets;
mod signs;
mod strip;
mod title;
mod tube_end;
mod tubes;
mod wanted;
mod welds;

#[cfg(feature = "page")]
pub(crate) use coped::tube_element;
pub(crate) use hole_dimensions::letters as hole_letters;
pub(crate) use hole_dimensions::runs as hole_runs;
#[cfg(feature = "page")]
pub(crate) use link::link_element;
#[cfg(feature = "page")]
pub(crate) use machine::machine_element;

use crate::diag::About;
use crate::diag::Finding;
use crate::drawings::assembly::Assembly;
use crate::drawings::file::names_of_both;
use crate::drawings::file::pdf;
use crate::drawings::folded::Formed;
use crate::geom::Bounds;
use crate::geom::Point;
use crate::job::Job;
use crate::num::counted;
use crate::paper;
use crate::paper::Cancelled;
use crate::paper::Format;
use crate::paper::Pages;
use crate::solve;
use crate::solve::Machine;
use crate::solve::Solved;
use crate::write::Drawing;
use crate::write::NamedFile;
use rayon::prelude::*;

pub(crate) use sheets::Beside;
pub(crate) use sheets::beside as numbers_beside;
pub(crate) use sheets::kinds as numbered_parts;
pub(crate) use sheets::sheet;
pub(crate) use sheets::sheets;
pub(crate) use strip::Step;
#[cfg(feature = "page")]
pub(crate) use strip::section_element;
pub(crate) use strip::steps;
pub(crate) use title::thickness_text;
pub use wanted::Wanted;

/// The drawings of a part.
pub(crate) struct OfPart {
    /// The picture of the formed part, where it is bent.
    pub(crate) formed: Option<NamedFile>,
    /// The drawing as PDF and SVG, then the template; empty if the job asks for none.
    pub(crate) drawings: Vec<NamedFile>,
}

/// The drawings of each part, in their order. The solid of a part is made once for all of them.
///
/// # Errors
/// When a file cannot be written.
pub(crate) fn of_parts(
    job: &Job,
    solved: &[Solved],
    wanted: &Wanted,
) -> Result<Vec<OfPart>, Vec<Finding>> {
    let of = |s: &Solved| {
        let name = format!("folded/{}.svg", s.name);
        let is_pictured = !s.part.bends.is_empty() && wanted.is([name.clone()]);
        let format = job.paper.filter(|format| wanted.is(names_of_drawing(s, *format)));
        let formed = (is_pictured || format.is_some()).then(|| Formed::of(job, s)).flatten();
        let drawings = match format {
            Some(format) => drawing(job, solved, (s, formed.as_ref()), (format, wanted))?,
            None => Vec::new(),
        };
        let formed = formed.filter(|_| is_pictured).map(|formed| {
            let picture = alone(&s.name, formed.picture(ROOM));
            NamedFile { name, bytes: picture.into_bytes() }
        });
        Ok(OfPart { formed, drawings })
    };
    solved.par_iter().with_max_len(1).map(of).collect()
}

/// The drawings and templates of all parts, in their order. Empty if the job asks for none.
///
/// # Errors
/// When one cannot be written.
pub(crate) fn drawings(job: &Job, solved: &[Solved]) -> Result<Vec<NamedFile>, Vec<Finding>> {
    let Some(format) = job.paper else { return Ok(Vec::new()) };
    let wanted = Wanted::all();
    let of = |s| drawing(job, solved, (s, Formed::of(job, s).as_ref()), (format, &wanted));
    let files: Result<Vec<_>, Vec<Finding>> = solved.par_iter().map(of).collect();
    Ok(files?.concat())
}

/// The drawing of a part as PDF and SVG, then its template where it has one, while that is wanted.
fn drawing(
    job: &Job,
    all: &[Solved],
    (s, formed): (&Solved, Option<&Formed>),
    (format, wanted): (Format, &Wanted),
) -> Result<Vec<NamedFile>, Vec<Finding>> {
    let drawing = page::drawing(job, all, (s, formed), format);
    let here = job.lines[s.line].here;
    let svg = NamedFile {
        name: format!("drawings/{}.svg", s.name),
        bytes: paper::svg(&drawing).into_bytes(),
    };
    let mut files = vec![pdf(format!("drawings/{}.pdf", s.name), &drawing, here)?, svg];
    if let Some(template) = name_of_template(s, format) {
        match glued::flat(job, s).pages_while(format.size(), &|| wanted.still()) {
            Ok(pages) => files.push(pdf(template, &pages, here)?),
            Err(Cancelled) => wanted.leave([template]),
        }
    }
    Ok(files)
}

/// The names of these files.
fn names_of_drawing(s: &Solved, format: Format) -> impl Iterator<Item = String> {
    names_of_both("drawings", &s.name).into_iter().chain(name_of_template(s, format))
}

/// The name of the template of a part; `None` if it is too large for one.
fn name_of_template(s: &Solved, format: Format) -> Option<String> {
    let is_small = paper::can_be_printed(s.flat.region.bounds(), format.size());
    is_small.then(|| format!("templates/{}.pdf", s.name))
}

/// Drawings of parts that are stopped, with what is wrong and how to fix it.
///
/// # Errors
/// When one cannot be written.
pub(crate) fn stopped(
    job: &Job,
    stopped: &[Solved],
    wanted: &Wanted,
) -> Result<Vec<NamedFile>, Vec<Finding>> {
    let Some(format) = job.paper else { return Ok(Vec::new()) };
    let of = |s: &Solved| {
        if !wanted.is(names_of_both("stopped", &s.name)) {
            return Ok(Vec::new());
        }
        let drawing = shop_drawing(job, stopped, s, format);
        let svg = NamedFile {
            name: format!("stopped/{}.svg", s.name),
            bytes: paper::svg(&drawing).into_bytes(),
        };
        Ok(vec![pdf(format!("stopped/{}.pdf", s.name), &drawing, job.lines[s.line].here)?, svg])
    };
    let all: Result<Vec<_>, Vec<Finding>> = stopped.par_iter().map(of).collect();
    all.map(|files| files.into_iter().flatten().collect())
}

/// For each kind of sheet the templates of all its parts together, where there are several.
///
/// # Errors
/// When one cannot be written.
pub(crate) fn templates(
    job: &Job,
    solved: &[Solved],
    wanted: &Wanted,
) -> Result<Vec<NamedFile>, Vec<Finding>> {
    let Some(format) = job.paper else { return Ok(Vec::new()) };
    let one = |sheet: usize| {
        let kind = &job.sheets[sheet];
        let name = format!("sheets/{}-templates.pdf", kind.file_word());
        let several = glued::several(job, solved, sheet);
        if !several || !wanted.is([name.clone()]) {
            return None;
        }
        match glued::together(job, solved, sheet, format.size(), &|| wanted.still()) {
            Ok(pages) => Some(pdf(name, &pages?, kind.span)),
            Err(Cancelled) => {
                wanted.leave([name]);
                None
            }
        }
    };
    (0..job.sheets.len()).into_par_iter().filter_map(one).collect()
}

/// The drawings of the loaded links; empty if the job asks for none.
///
/// # Errors
/// When one cannot be written.
pub(crate) fn loaded_links(
    job: &Job,
    solved: &[Solved],
    wanted: &Wanted,
) -> Result<Vec<NamedFile>, Vec<Finding>> {
    let Some(format) = job.paper else { return Ok(Vec::new()) };
    links::drawings(job, solved, format, wanted)
}

/// The drawing of the machine; `None` if the job has no machine, or asks for no drawings.
///
/// # Errors
/// When it cannot be written.
pub(crate) fn machine(
    job: &Job,
    machine: Option<&Machine>,
    wanted: &Wanted,
) -> Result<Vec<NamedFile>, Vec<Finding>> {
    let Some((format, machine)) = job.paper.zip(machine) else { return Ok(Vec::new()) };
    machine::drawing(job, machine, format, wanted)
}

/// The drawing of the machine of a job; `None` if it has no machine.
pub fn machine_drawing(job: &Job, solved: &[Solved], format: Format) -> Option<Pages> {
    Some(machine::pages(job, &solve::machine(job, solved)?, format))
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
    wanted: &Wanted,
) -> Result<Vec<NamedFile>, Vec<Finding>> {
    let Some((format, tube)) = job.paper.zip(job.tubes.first()) else { return Ok(Vec::new()) };
    let one = |(name, drawing): &(String, Drawing)| {
        let name = format!("{name}.pdf");
        wanted.is([name.clone()]).then(|| {
            let template = glued::wrap(drawing);
            pdf(name, &template.pages(format.size()), tube.here)
        })
    };
    drawings.iter().filter_map(one).collect()
}

/// The drawing of a part among `all` of the job, on sheets of a format.
pub fn shop_drawing(job: &Job, all: &[Solved], solved: &Solved, format: Format) -> Pages {
    page::drawing(job, all, (solved, Formed::of(job, solved).as_ref()), format)
}

/// The number that a finding of a part has in its picture, by its place among those of the part.
#[cfg_attr(not(feature = "page"), allow(dead_code, reason = "only the page shows it"))]
pub(crate) fn finding_label(solved: &Solved, finding: &Finding) -> Option<String> {
    let is_it = |of: &Finding| of.code == finding.code && of.headline == finding.headline;
    solved.found.iter().position(is_it).map(marks::finding_label)
}

/// The flat of a part with its sizes in a room of a width and a height, mm, as an element of a web
/// page; and the sizes for which there was no room.
#[cfg_attr(not(feature = "page"), allow(dead_code, reason = "only the page shows it"))]
pub(crate) fn flat_element(
    job: &Job,
    all: &[Solved],
    solved: &Solved,
    room: [f64; 2],
) -> (String, Vec<String>) {
    let max = Point::new(room[0], room[1]);
    let drawn = flat::plan(job, all, solved).drawn(Bounds { min: Point::ZERO, max });
    let bends = solved.part.bends.len();
    let bends = if bends > 0 { format!(", {}", counted(bends, "bend")) } else { String::new() };
    let holes = counted(solved.flat.holes.len(), "hole");
    let title = format!("Flat of {}, {}, {holes}{bends}", solved.name, drawn.scale);
    let mut left = drawn.left;
    if !drawn.details.is_empty() {
        left.push("those of the ringed details".to_owned());
    }
    (paper::svg_element(&title, room, &drawn.items), left)
}

/// The words of that picture, in the order in which they are there.
#[cfg_attr(not(feature = "page"), allow(dead_code, reason = "only the page shows it"))]
pub(crate) fn flat_words(
    job: &Job,
    all: &[Solved],
    solved: &Solved,
    room: [f64; 2],
) -> Vec<String> {
    let max = Point::new(room[0], room[1]);
    let drawn = flat::plan(job, all, solved).drawn(Bounds { min: Point::ZERO, max });
    let mut words = Vec::new();
    paper::written(&drawn.items, &mut words);
    words
}

/// The size of a picture in a separate file, mm. Our choice.
const ROOM: [f64; 2] = [150.0, 110.0];

/// A picture of each set of several plates as SVG, `folded/NAME-assembly.svg`, and if the job asks
/// for drawings, the drawing of the set, `drawings/NAME-assembly.pdf`.
///
/// # Errors
/// When a drawing cannot be written.
pub(crate) fn assemblies(
    job: &Job,
    solved: &[Solved],
    wanted: &Wanted,
) -> Result<Vec<NamedFile>, Vec<Finding>> {
    let of = |(i, of): (usize, &Solved)| {
        let own = |other: &Solved| other.line == of.line && other.part.hand == of.part.hand;
        if solved[..i].iter().any(own) {
            return Ok(Vec::new());
        }
        let Some(assembly) = Assembly::of(job, solved, of) else { return Ok(Vec::new()) };
        let name = solve::assembly_name(job, of);
        let svg = |name: String, text: String| NamedFile { name, bytes: text.into_bytes() };
        let picture = alone(&solve::set_name(job, of), assembly.with_list(ROOM));
        let mut files = vec![svg(format!("folded/{name}.svg"), picture)];
        let is_wanted = |_: &Format| wanted.is(names_of_both("drawings", &name));
        if let Some(format) = job.paper.filter(is_wanted) {
            let drawing = assembly.sheet(job, &name, format);
            files.push(pdf(format!("drawings/{name}.pdf"), &drawing, job.lines[of.line].here)?);
            files.push(svg(format!("drawings/{name}.svg"), paper::svg(&drawing)));
        }
        Ok::<_, Vec<Finding>>(files)
    };
    let files: Result<Vec<Vec<NamedFile>>, _> =
        solved.par_iter().enumerate().with_max_len(1).map(of).collect();
    Ok(files?.concat())
}

/// The drawing of the set of several plates that a part belongs to; `None` if it is one plate, or
/// no solid can be made of one.
pub fn assembly_drawing(
    job: &Job,
    all: &[Solved],
    solved: &Solved,
    format: Format,
) -> Option<Pages> {
    let name = solve::assembly_name(job, solved);
    Some(Assembly::of(job, all, solved)?.sheet(job, &name, format))
}

fn alone(title: &str, picture: paper::Picture) -> String {
    let page = paper::Page { items: picture.items, blocks: Vec::new() };
    let pages = Pages { title: title.to_owned(), size: picture.size, pages: vec![page] };
    paper::svg(&pages)
}
