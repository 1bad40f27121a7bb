//! Flats and sheets as drawings, before they are files.

use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::job::Job;
use crate::job::Solved;
use crate::job::bent;
use crate::job::bridges;
use crate::job::common;
use crate::job::label;
use crate::job::lay;
use crate::job::lay::Laid;
use crate::quantity::MM_PER_INCH;
use crate::quantity::Units;
use crate::route::Cut;
use crate::write::Drawing;
use crate::write::Layer;
use crate::write::Stroke;
use std::collections::HashMap;

/// Height of notes under a flat, mm: read at arm's length.
const NOTE: f64 = 3.5;
/// From one line of notes to the next, mm.
const NOTE_PITCH: f64 = 6.0;

/// Between two plates of one picture, mm.
const BESIDE: f64 = 10.0;

/// From a part's own coordinates to those of its file: its lower left corner at the origin.
pub(super) fn to_origin(flat: &Region) -> Place {
    let bounds = flat.bounds();
    Place::at(Point::ZERO - bounds.least.to_vec2())
}

/// The flat of a part, with its bend lines, and below it what a person must know.
pub(super) fn flat(job: &Job, solved: &Solved) -> Drawing {
    let mut drawing = Drawing::new(solved.name.clone(), job.units);
    let place = to_origin(&solved.flat.region);
    drawing.cut(&solved.flat.region.moved(&place));
    bend_lines(&mut drawing, solved, &place);
    marks(&mut drawing, solved, &place);
    let sheet = &job.sheets[solved.sheet];
    let pieces = lay::pieces(job, solved);
    let plural = if pieces == 1 { "piece" } else { "pieces" };
    let (bounds, show) = (solved.flat.region.bounds(), |mm| job.units.length(mm));
    let mut notes = vec![
        format!("{}: {pieces} {plural}, {}", solved.name, sheet.name),
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
            "bend {}: {} {}, inside radius {}",
            bend.name,
            if bend.up { "up" } else { "down" },
            bend.bend.turn(),
            job.units.length(bend.bend.radius()),
        ));
        notes.extend(bent::notes(job, solved, i));
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
pub(super) fn side_by_side(job: &Job, solved: &[Solved]) -> Drawing {
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

/// What is done to holes after cutting, a line for each set of them.
fn later(job: &Job, solved: &Solved) -> Vec<String> {
    let holes: Vec<_> = solved.part.faces.iter().flat_map(|f| &f.holes).collect();
    let sets = holes.chunk_by(|a, b| a.span == b.span);
    let line = |set: &[&crate::part::Hole]| {
        let (first, how) = (set.first()?, making(set.first()?.making));
        let size = job.units.length(first.finished?);
        Some(match set.len() {
            1 => format!("hole {}: {how} to {size}", first.name),
            n => format!("{n} holes {}: {how} to {size}", first.name.trim_end_matches(" 1")),
        })
    };
    sets.filter_map(line).collect()
}

/// In words, what is done to a hole.
pub(super) fn making(making: crate::recipe::Making) -> &'static str {
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

/// The cuts of a sheet in order; what is left of a rim by common cuts, and a rim with bridges,
/// as open chains.
fn cuts(drawing: &mut Drawing, job: &Job, solved: &[Solved], laid: &Laid) {
    let outlines: Vec<Region> =
        laid.placed.iter().map(|(part, place)| solved[*part].flat.region.moved(place)).collect();
    for cut in &laid.route.cuts {
        let (layer, strokes) = match *cut {
            Cut::Common(i) => {
                let [from, to] = laid.route.common_cuts[i];
                (Layer::CutCommon, vec![Stroke::Line(from, to)])
            }
            Cut::Hole { piece, hole } => {
                (Layer::Cut, vec![Stroke::Outline(outlines[piece].holes()[hole].clone())])
            }
            Cut::Outline(piece) => {
                let (rim, part) = (outlines[piece].outer(), &solved[laid.placed[piece].0]);
                let chains = laid.route.rests[piece].clone();
                let chains = chains.or_else(|| bridges::chains(job, part, rim));
                let whole = || vec![Stroke::Outline(rim.clone())];
                let open = |chains: Vec<_>| chains.into_iter().map(Stroke::Path).collect();
                (Layer::Cut, chains.map_or_else(whole, open))
            }
        };
        for stroke in strokes {
            drawing.draw(layer, stroke);
        }
    }
}

/// A sheet with everything on it, in the order it is to be cut; its rim and the names are
/// notes.
pub(super) fn sheet(job: &Job, solved: &[Solved], laid: &Laid, title: &str) -> Drawing {
    let stock = &job.sheets[laid.sheet].stock[laid.stock];
    let mut drawing = Drawing::new(title, job.units);
    for rim in stock.sheet.region.outlines().chain(&stock.sheet.keep_outs) {
        drawing.draw(Layer::Note, Stroke::Outline(rim.clone()));
    }
    // The place of a name in a part, once for each way it is turned.
    let mut spots = HashMap::new();
    // What is etched comes while the sheet is whole, then all cuts in their order.
    for (part, place) in laid.in_order() {
        marks(&mut drawing, &solved[*part], place);
    }
    cuts(&mut drawing, job, solved, laid);
    for (part, place) in laid.in_order() {
        let solved = &solved[*part];
        let region = solved.flat.region.moved(place);
        bend_lines(&mut drawing, solved, place);
        let name = &solved.name;
        let key = (*part, place.mirrored, place.turn.degrees().to_bits());
        let spot = *spots.entry(key).or_insert_with(|| {
            let spot = label::spot(&region, name.chars().count());
            label::Spot { at: spot.at - place.shift, ..spot }
        });
        note(&mut drawing, spot.at + place.shift, spot.height, name.clone());
    }
    let text = format!(
        "{title}: {} × {}",
        job.units.length(stock.length()),
        job.units.length(stock.width())
    );
    note(&mut drawing, Point::new(0.0, -20.0), 10.0, text);
    if !laid.route.common_cuts.is_empty() {
        for (i, text) in common::NOTES.iter().enumerate() {
            let at = Point::new(0.0, -35.0 - 12.0 * i as f64);
            note(&mut drawing, at, 7.0, (*text).to_owned());
        }
    }
    drawing
}
