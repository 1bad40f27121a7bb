//! Flats and sheets as drawings, before they are files.

use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::rectangle;
use crate::job::Job;
use crate::job::Solved;
use crate::job::lay;
use crate::job::lay::Laid;
use crate::num;
use crate::quantity::MM_PER_INCH;
use crate::quantity::Units;
use crate::write::Drawing;
use crate::write::Layer;
use crate::write::Stroke;

/// Height of notes under a flat, mm: read at arm's length.
const NOTE: f64 = 3.5;
/// From one line of notes to the next, mm.
const NOTE_PITCH: f64 = 6.0;

/// From a part's own coordinates to those of its file: its lower left corner at the origin.
pub(super) fn to_origin(flat: &Region) -> Place {
    let bounds = flat.bounds();
    Place::at(Point::ZERO - bounds.least.to_vec2())
}

/// The flat of a part, with its bend lines, and below it what a person must know.
pub(super) fn flat(job: &Job, solved: &Solved) -> Drawing {
    let line = &job.lines[solved.line];
    let mut drawing = Drawing::new(solved.name.clone(), job.units);
    let place = to_origin(&solved.flat.region);
    drawing.cut(&solved.flat.region.moved(&place));
    bend_lines(&mut drawing, solved, &place);
    marks(&mut drawing, solved, &place);
    let sheet = &job.sheets[solved.sheet];
    let mut notes =
        vec![format!("{}: {} pieces, {}", line.name, lay::pieces(job, solved), sheet.name)];
    for bend in &solved.part.bends {
        notes.push(format!(
            "bend {}: {} {}, inside radius {}",
            bend.name,
            if bend.up { "up" } else { "down" },
            bend.bend.turn(),
            job.units.length(bend.bend.radius()),
        ));
    }
    for hole in solved.part.faces.iter().flat_map(|f| &f.holes) {
        if let Some(finished) = hole.finished {
            let how = making(hole.making);
            notes.push(format!("hole {}: {how} to {}", hole.name, job.units.length(finished)));
        }
    }
    let mut y = -2.0 * NOTE_PITCH;
    for text in notes {
        note(&mut drawing, Point::new(0.0, y), NOTE, text);
        y -= NOTE_PITCH;
    }
    scale_bar(&mut drawing, y);
    drawing
}

fn making(making: crate::recipe::Making) -> &'static str {
    use crate::recipe::Making;
    match making {
        Making::Cut => "cut",
        Making::Drill => "drill",
        Making::Ream => "ream",
        Making::Tap => "drill and tap",
    }
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

fn note(drawing: &mut Drawing, at: Point, height: f64, text: String) {
    drawing.draw(Layer::Note, Stroke::Text { at, height, text });
}

fn bend_lines(drawing: &mut Drawing, solved: &Solved, place: &Place) {
    for strip in &solved.flat.bends {
        let line = strip.line.moved(place);
        drawing.draw(Layer::Bend, Stroke::Line(line.from, line.to));
    }
}

fn marks(drawing: &mut Drawing, solved: &Solved, place: &Place) {
    for stroke in solved.flat.marks.iter().flat_map(|m| &m.strokes) {
        let path = stroke.iter().map(|e| e.moved(place)).collect();
        drawing.draw(Layer::Mark, Stroke::Path(path));
    }
}

/// A sheet with everything on it; its rim and the names are notes.
pub(super) fn sheet(job: &Job, solved: &[Solved], laid: &Laid, title: &str) -> Drawing {
    let stock = &job.sheets[laid.sheet].stock[laid.stock];
    let mut drawing = Drawing::new(title, job.units);
    let middle = Point::new(stock.length / 2.0, stock.width / 2.0);
    if let Ok(rim) = rectangle(middle, stock.length, stock.width, 0.0) {
        drawing.draw(Layer::Note, Stroke::Outline(rim));
    }
    for (part, place) in &laid.placed {
        let solved = &solved[*part];
        let region = solved.flat.region.moved(place);
        drawing.cut(&region);
        bend_lines(&mut drawing, solved, place);
        marks(&mut drawing, solved, place);
        let name = &solved.name;
        let (at, height) = label(&region, name.chars().count());
        note(&mut drawing, at, height, name.clone());
    }
    let text =
        format!("{title}: {} × {}", job.units.length(stock.length), job.units.length(stock.width));
    note(&mut drawing, Point::new(0.0, -20.0), 10.0, text);
    drawing
}

/// Letters are about this wide for their height.
const LETTER: f64 = 0.75;

/// Where a name goes in a part, and how high it may be: round the point farthest from
/// any cut, of a coarse grid.
fn label(region: &Region, letters: usize) -> (Point, f64) {
    let bounds = region.bounds();
    let mut best = (bounds.centre(), 0.0);
    for i in 1..12 {
        for j in 1..12 {
            let share = |k: i32| f64::from(k) / 12.0;
            let p = bounds.least + (bounds.width() * share(i), bounds.height() * share(j));
            if !region.contains(p) {
                continue;
            }
            let room =
                region.outlines().map(|o: &Outline| o.distance(p)).fold(f64::INFINITY, f64::min);
            if room > best.1 {
                best = (p, room);
            }
        }
    }
    let half = num::hypot(LETTER * letters as f64 / 2.0, 0.5);
    let height = (best.1 / half).clamp(0.8, 8.0);
    let width = LETTER * height * letters as f64;
    (best.0 - (width / 2.0, height / 2.0), height)
}
