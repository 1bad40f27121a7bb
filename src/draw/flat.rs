//! The flats of parts as drawings, before they are files.

use crate::draw::finishing::finishing;
use crate::draw::notes;
use crate::flat::to_origin;
use crate::geom::Place;
use crate::geom::Point;
use crate::job::Job;
use crate::part;
use crate::part::Hole;
use crate::quantity::MM_PER_INCH;
use crate::quantity::Units;
use crate::solve;
use crate::solve::Solved;
use crate::write::Drawing;
use crate::write::Layer;
use crate::write::Stroke;
use indexmap::IndexMap;

/// Height of notes under a flat, mm: read at arm's length.
const NOTE: f64 = 3.5;
/// From one line of notes to the next, mm.
const NOTE_PITCH: f64 = 6.0;

/// Between two plates of one picture, mm.
const BESIDE: f64 = 10.0;

/// The flat of a part, with its bend lines, and below it what a person must know.
pub(crate) fn flat(job: &Job, solved: &Solved) -> Drawing {
    let mut drawing = Drawing::new(solved.name.clone(), job.units);
    let place = to_origin(&solved.flat.region);
    drawing.cut(&solved.flat.region.moved(&place));
    bend_lines(&mut drawing, solved, &place);
    marks(&mut drawing, solved, &place);
    let sheet = &job.sheets[solved.sheet];
    let pieces = solve::pieces(job, solved);
    let (bounds, show) = (solved.flat.region.bounds(), |mm| job.units.length(mm));
    let mut notes = vec![
        format!("{}: qty {pieces}, {}", solved.name, sheet.name),
        format!(
            "{} × {}, {} {} thick",
            show(bounds.width()),
            show(bounds.height()),
            sheet.material.name(),
            show(sheet.thickness)
        ),
    ];
    for (i, bend) in solved.part.bends.iter().enumerate() {
        notes.push(format!(
            "{} {}: {} {}, inside radius {}",
            bend.bend.form().words(),
            bend.name,
            if bend.up { "up" } else { "down" },
            bend.bend.angle(),
            job.units.length(bend.bend.radius()),
        ));
        notes.extend(notes::notes(job, solved, i));
    }
    notes.extend(later(job, solved));
    let mut y = -2.0 * NOTE_PITCH;
    for text in notes {
        note(&mut drawing, Point::new(0.0, y), NOTE, text);
        y -= NOTE_PITCH;
    }
    scale_bar(&mut drawing, y);
    drawing
}

/// The plates of a recipe beside each other, without notes.
pub(crate) fn side_by_side(job: &Job, solved: &[Solved]) -> Drawing {
    let mut drawing = Drawing::new(job.name.clone(), job.units);
    let mut x = 0.0;
    for solved in solved {
        let region = &solved.flat.region;
        let place = to_origin(region).then(&Place::at(Point::new(x, 0.0)));
        drawing.cut(&region.moved(&place));
        bend_lines(&mut drawing, solved, &place);
        marks(&mut drawing, solved, &place);
        x += region.bounds().width() + BESIDE;
    }
    drawing
}

/// The holes that are finished after cutting, a line for those of a set that are finished alike.
fn later(job: &Job, solved: &Solved) -> Vec<String> {
    let holes: Vec<&Hole> = solved.part.faces.iter().flat_map(|f| &f.holes).collect();
    let sets = holes.chunk_by(|a, b| a.span == b.span);
    sets.flat_map(|set| later_of_set(job, set)).collect()
}

/// The lines of one set, whose members may differ.
fn later_of_set(job: &Job, set: &[&Hole]) -> Vec<String> {
    let mut alike: IndexMap<String, Vec<&Hole>> = IndexMap::new();
    for hole in set {
        let finishing = finishing(hole, job.units, &|mm| job.units.length(mm));
        if let Some(after) = finishing.after() {
            alike.entry(format!("{}, {after}", finishing.as_cut)).or_default().push(hole);
        }
    }
    let line = |(words, holes): (String, Vec<&Hole>)| {
        let name = part::told_together(&holes, set.len());
        match holes.len() {
            1 => format!("hole {name}: {words}"),
            n if n == set.len() => format!("{n} holes {name}: {words}"),
            _ => format!("holes {name}: {words}"),
        }
    };
    alike.into_iter().map(line).collect()
}

/// A bar of known length, to see that nobody read the file in other units.
fn scale_bar(drawing: &mut Drawing, y: f64) {
    let (length, text) = match drawing.units {
        Units::Millimetre => (25.0, "25 mm"),
        Units::Inch => (MM_PER_INCH, "1 in"),
    };
    let end = NOTE / 2.0;
    for (from, to) in [
        ((0.0, y), (length, y)),
        ((0.0, y - end), (0.0, y + end)),
        ((length, y - end), (length, y + end)),
    ] {
        drawing.draw(Layer::Note, Stroke::Line(from.into(), to.into()));
    }
    note(drawing, Point::new(length + NOTE, y - NOTE / 2.0), NOTE, text.to_owned());
}

pub(super) fn note(drawing: &mut Drawing, at: Point, height: f64, text: String) {
    drawing.draw(Layer::Note, Stroke::Text { at, height, text });
}

pub(super) fn bend_lines(drawing: &mut Drawing, solved: &Solved, place: &Place) {
    for line in solved.flat.bends.iter().flat_map(|strip| strip.lines()) {
        let line = line.moved(place);
        drawing.draw(Layer::Bend, Stroke::Line(line.from, line.to));
    }
}

pub(super) fn marks(drawing: &mut Drawing, solved: &Solved, place: &Place) {
    for stroke in solved.flat.marks.iter().flat_map(|m| &m.strokes) {
        let path = stroke.iter().map(|e| e.moved(place)).collect();
        drawing.draw(Layer::Mark, Stroke::Path(path));
    }
}
