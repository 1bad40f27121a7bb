//! Wrap templates as drawings.

use crate::cope;
use crate::cope::Wrap;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Vertex;
use crate::job::CopedTube;
use crate::job::ENDS;
use crate::job::Job;
use crate::write::Drawing;
use crate::write::Layer;
use crate::write::Stroke;

/// Height of the notes, mm.
const NOTE: f64 = 3.5;

/// Between a line along the tube and the edge of the template, mm.
const CLEAR: f64 = 1.0;

/// The wrap template of every coped end, by the names of their files without endings.
pub(crate) fn drawings(job: &Job) -> Vec<(String, Drawing)> {
    let ends = job.made_tubes().flat_map(|tube| (0..2).map(move |end| (tube, end)));
    ends.filter_map(|(tube, end)| {
        let wrap = tube.ends[end].as_ref()?.wrap(tube.other_heel(end));
        let name = file(tube, end);
        Some((name, drawing(job, tube, end, &wrap)?))
    })
    .collect()
}

/// The name of the files of an end, without an ending.
pub(crate) fn file(tube: &CopedTube, end: usize) -> String {
    format!("tubes/{}-{}", tube.name, ENDS[end])
}

fn drawing(job: &Job, tube: &CopedTube, end: usize, wrap: &Wrap) -> Option<Drawing> {
    let mut drawing = Drawing::new(format!("{} {}", tube.name, ENDS[end]), job.units);
    let corners = [Point::new(wrap.width, wrap.height), Point::new(0.0, wrap.height)];
    let vertices = wrap.edge.iter().chain(&corners).map(|p| Vertex::sharp(p.x, p.y));
    drawing.draw(Layer::Cut, Stroke::Outline(Outline::new(vertices).ok()?));
    for line in &wrap.lines {
        // Clear of the edge, so that the line is no cut.
        if (CLEAR..wrap.width - CLEAR).contains(&line.x) {
            let from = Point::new(line.x, line.from + CLEAR);
            let to = Point::new(line.x, wrap.height - CLEAR);
            drawing.draw(Layer::Mark, Stroke::Line(from, to));
        }
        // The heel of the other end may lie on a line that has its name already.
        let row = if line.name == cope::OTHER_HEEL { 4.0 } else { 2.0 };
        let at = Point::new(line.x + CLEAR, wrap.height - row * NOTE);
        note(&mut drawing, at, line.name.into());
    }
    note(&mut drawing, Point::new(CLEAR, wrap.height - 2.0 * NOTE), "heel".into());
    for (i, text) in words(job, tube, end, wrap).into_iter().enumerate() {
        let y = -2.0 * NOTE * (i as f64 + 1.0);
        note(&mut drawing, Point::new(0.0, y), text);
    }
    Some(drawing)
}

/// How a template is used, a line each.
fn words(job: &Job, tube: &CopedTube, end: usize, wrap: &Wrap) -> Vec<String> {
    let show = |mm| job.units.length(mm);
    let tape = |mm: f64| job.units.cut_to(mm);
    let metal = tube.material.as_ref().map_or_else(String::new, |row| format!(", {}", row.name()));
    let mut words = vec![
        format!(
            "{} {}: {} × tube {} × {}{metal}, first cut to {}",
            tube.name,
            ENDS[end],
            tube.quantity,
            show(tube.outside),
            show(tube.wall),
            tape(tube.cut_length())
        ),
        format!(
            "wrap {}, this side out; ends butt at the heel line, on the outside of the joint",
            job.units.taped(wrap.width)
        ),
        format!(
            "curved edge towards the tube end, its lowest point at the end; straight edge {} from the end",
            tape(wrap.height)
        ),
        "cut along the curve; waste is beyond it".to_owned(),
    ];
    if wrap.lines.iter().any(|line| line.name == cope::OTHER_HEEL) {
        words.push("heel of the other end: line up with its heel line".to_owned());
    }
    words
}

fn note(drawing: &mut Drawing, at: Point, text: String) {
    drawing.draw(Layer::Note, Stroke::Text { at, height: NOTE, text });
}
