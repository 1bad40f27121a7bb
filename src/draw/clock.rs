//! Strips that are wrapped round a tube to show the positions of its tabs.

use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Vertex;
use crate::job::CopedTube;
use crate::job::ENDS;
use crate::job::Job;
use crate::job::TubeEnd;
use crate::num;
use crate::solve;
use crate::solve::Solved;
use crate::write::Drawing;
use crate::write::Layer;
use crate::write::Stroke;

/// Height of the notes, mm.
const NOTE: f64 = 3.5;

/// Between the ends of a line along the tube and the edges of the strip, mm.
const CLEAR: f64 = 1.0;

/// How far a strip reaches beyond its last tab, mm. Our choice.
const BEYOND: f64 = 20.0;

/// Nearer to the seam than this a place is on it, mm: rounding.
const ON_EDGE: f64 = 1e-6;

/// Half the length of the line across at a tab, mm. Our choice.
const ACROSS: f64 = 6.0;

/// Printed on the strip at the edge that lies at the end of the tube.
const END: &str = "END OF TUBE";

/// Printed on the strip beside an arrow that points the way in which angles are counted.
const COUNTED: &str = "angle";

/// Width of a letter, by its height, about: fonts differ.
const LETTER: f64 = 0.65;

/// Length of the arrow and of its head, mm.
const ARROW: [f64; 2] = [12.0, 3.0];

/// The strip of every end that has tabs, by the names of their files without endings.
pub(crate) fn drawings(job: &Job, solved: &[Solved]) -> Vec<(String, Drawing)> {
    let ends = solve::tube_ends(job, solved);
    let ends = ends.iter().filter(|end| !end.asked.tabs.is_empty());
    ends.filter_map(|end| Some((file(end.asked), drawing(job, end)?))).collect()
}

/// The name of the files of a strip, without an ending.
pub(crate) fn file(end: &TubeEnd) -> String {
    format!("tubes/{}-{}-clock", end.tube, ENDS[end.end])
}

/// How far round the strip an angle is, mm. The tube is above it: at the start clockwise, seen from
/// there, is to the right; at the far end to the left.
pub(crate) fn along(tube: &CopedTube, end: usize, degrees: f64) -> f64 {
    let round = num::PI * tube.outside;
    let turned = if end == 0 { degrees } else { -degrees };
    (turned / 360.0).rem_euclid(1.0) * round
}

fn drawing(job: &Job, of: &solve::TubeEnd) -> Option<Drawing> {
    let (tube, end) = (&of.tube, of.asked);
    let which = ENDS[end.end];
    let mut drawing = Drawing::new(format!("{} {which} clock", tube.name), job.units);
    let width = num::PI * tube.outside;
    let height = end.tabs.iter().map(|(tab, _)| tab.at).fold(0.0, f64::max) + BEYOND;
    let corners = [[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]];
    let vertices = corners.map(|[x, y]| Vertex::sharp(x, y));
    drawing.draw(Layer::Cut, Stroke::Outline(Outline::new(vertices).ok()?));
    note(&mut drawing, Point::new(CLEAR, height - 2.0 * NOTE), "heel".into());
    edges(&mut drawing, tube, end, [width, height]);
    let mut words = vec![
        format!("{} {which}: wrap {}, this side out", tube.name, job.units.taped(width)),
        "side edges butt at the heel line of the start; the edge marked END OF TUBE flush with the end \
         of the tube as cut"
            .to_owned(),
        "the arrow: angles, clockwise seen from the start".to_owned(),
    ];
    words.extend(end.capped());
    for (i, ((tab, _), level)) in end.tabs.iter().zip(&of.levels).enumerate() {
        let x = along(tube, end.end, tab.clock.degrees());
        let base = tab.at.max(CLEAR) + ACROSS / 2.0;
        for at in seen(x, width) {
            // The line leaves room for the name of the tab.
            if (0.0..=width).contains(&at) {
                for (from, to) in [(CLEAR, base), (base + NOTE + 2.0 * CLEAR, height - CLEAR)] {
                    let ends = [from, to].map(|y| Point::new(at, y));
                    drawing.draw(Layer::Mark, Stroke::Line(ends[0], ends[1]));
                }
            }
            let ends = [at - ACROSS, at + ACROSS].map(|x| x.clamp(0.0, width));
            let across = ends.map(|x| Point::new(x, tab.at.max(CLEAR)));
            drawing.draw(Layer::Mark, Stroke::Line(across[0], across[1]));
        }
        let number = (i + 1).to_string();
        let named = format!("{number} {} {}", tab.part, tab.clock);
        let x = (x - length(&named) / 2.0).min(width - CLEAR - length(&named)).max(CLEAR);
        note(&mut drawing, Point::new(x, base + CLEAR), named);
        let ordered = job.lines.iter().find(|line| line.name == tab.part);
        let ordered = ordered.map_or(tube.quantity, |line| line.quantity);
        let pieces = match tube.quantity < ordered {
            true => format!(" ({} of {ordered} pieces)", tube.quantity),
            false => String::new(),
        };
        words.push(format!(
            "{number} {}{pieces}: {} from the end, {} from the heel line, clockwise seen from the start",
            tab.part,
            job.units.length(tab.at),
            tab.clock
        ));
        words.push(format!("   with the heel line uppermost, {level}"));
    }
    for (i, text) in words.into_iter().enumerate() {
        note(&mut drawing, Point::new(0.0, -2.0 * NOTE * (i as f64 + 1.0)), text);
    }
    Some(drawing)
}

/// Where a place is seen along a strip of a width, mm: once, and near a side edge once more beyond the
/// other, which it meets round the tube. A place on the seam is on both edges.
fn seen(x: f64, width: f64) -> Vec<f64> {
    let x = if width - x < ON_EDGE { 0.0 } else { x };
    let others = [x - width, x + width].into_iter();
    let near = others.filter(|at| *at > -ACROSS && *at < width + ACROSS);
    std::iter::once(x).chain(near).collect()
}

/// Marks the edge that lies at the end of the tube, and which way angles are counted, clear of the lines
/// along the tube.
fn edges(drawing: &mut Drawing, tube: &CopedTube, end: &TubeEnd, [width, height]: [f64; 2]) {
    let lines = end.tabs.iter().map(|(tab, _)| along(tube, end.end, tab.clock.degrees()));
    let mut lines: Vec<f64> = lines.chain([0.0, width]).collect();
    lines.sort_by(f64::total_cmp);
    let widest = lines.windows(2).max_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0])));
    let (from, to) = widest.map_or((0.0, width), |pair| (pair[0], pair[1]));
    let centre = (from + to) / 2.0;
    note(drawing, Point::new(centre - length(END) / 2.0, CLEAR), END.into());
    let y = height - 2.0 * NOTE;
    let [shaft, head] = ARROW;
    // The words behind the arrow.
    let x = centre - (shaft + CLEAR + length(COUNTED)) / 2.0;
    note(drawing, Point::new(x + shaft + CLEAR, y), COUNTED.into());
    let ends = [x, x + shaft].map(|x| Point::new(x, y + NOTE / 2.0));
    let (tail, tip) = if end.end == 0 { (ends[0], ends[1]) } else { (ends[1], ends[0]) };
    let back = (tail - tip) * (head / shaft);
    drawing.draw(Layer::Mark, Stroke::Line(tail, tip));
    for side in [0.4, -0.4] {
        let barb = tip + back + (0.0, side * head);
        drawing.draw(Layer::Mark, Stroke::Line(tip, barb));
    }
}

/// Length of a line of text, about, mm.
fn length(text: &str) -> f64 {
    NOTE * LETTER * text.chars().count() as f64
}

fn note(drawing: &mut Drawing, at: Point, text: String) {
    drawing.draw(Layer::Note, Stroke::Text { at, height: NOTE, text });
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Round 38 mm is 119.381: at 2° the line is 0.663 from the one edge, and half of its cross is beyond
    /// the other; on the seam both edges have the line.
    #[test]
    fn a_place_near_the_seam_is_on_both_edges() {
        let width = num::PI * 38.0;
        let near = seen(2.0 / 360.0 * width, width);
        assert_eq!(near.len(), 2);
        assert!((near[0] - 0.663).abs() < 1e-3 && (near[1] - near[0] - width).abs() < 1e-9);
        assert_eq!(seen(0.0, width), [0.0, width]);
        assert_eq!(seen(width - 1e-9, width), [0.0, width]);
        assert_eq!(seen(width / 2.0, width), [width / 2.0]);
    }
}
