//! Strips that are wrapped round a tube to show where its tabs stand.

use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Vertex;
use crate::job::CopedTube;
use crate::job::ENDS;
use crate::job::Job;
use crate::job::TubeEnd;
use crate::num;
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

/// The strip of every end that has tabs, by the names of their files without endings.
pub(crate) fn drawings(job: &Job) -> Vec<(String, Drawing)> {
    let of = |end: &TubeEnd| {
        let tube = job.tubes.iter().find(|tube| tube.name == end.tube)?;
        (!end.tabs.is_empty()).then_some(())?;
        Some((file(end), drawing(job, tube, end)?))
    };
    job.tube_ends.all.iter().filter_map(of).collect()
}

/// The name of the files of a strip, without an ending.
pub(crate) fn file(end: &TubeEnd) -> String {
    format!("tubes/{}-{}-clock", end.tube, ENDS[end.end])
}

/// How far round the strip an angle lies, mm. The tube is above it: at the start clockwise, seen from
/// there, goes to the right; at the far end to the left.
pub(crate) fn along(tube: &CopedTube, end: usize, degrees: f64) -> f64 {
    let round = num::PI * tube.outside;
    let turned = if end == 0 { degrees } else { -degrees };
    (turned / 360.0).rem_euclid(1.0) * round
}

fn drawing(job: &Job, tube: &CopedTube, end: &TubeEnd) -> Option<Drawing> {
    let which = ENDS[end.end];
    let mut drawing = Drawing::new(format!("{} {which} clock", tube.name), job.units);
    let width = num::PI * tube.outside;
    let height = end.tabs.iter().map(|(tab, _)| tab.at).fold(0.0, f64::max) + BEYOND;
    let corners = [[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]];
    let vertices = corners.map(|[x, y]| Vertex::sharp(x, y));
    drawing.draw(Layer::Cut, Stroke::Outline(Outline::new(vertices).ok()?));
    note(&mut drawing, Point::new(CLEAR, height - 2.0 * NOTE), "heel".into());
    let mut words = vec![
        format!("{} {which}: wrap {}, this side out", tube.name, job.units.taped(width)),
        "side edges butt at the heel line of the start; lower edge flush with the end of the tube as cut"
            .to_owned(),
    ];
    for (i, (tab, _)) in end.tabs.iter().enumerate() {
        let x = along(tube, end.end, tab.clock.degrees());
        for at in seen(x, width) {
            let upright = [CLEAR, height - CLEAR].map(|y| Point::new(at, y));
            if (0.0..=width).contains(&at) {
                drawing.draw(Layer::Mark, Stroke::Line(upright[0], upright[1]));
            }
            let ends = [at - ACROSS, at + ACROSS].map(|x| x.clamp(0.0, width));
            let across = ends.map(|x| Point::new(x, tab.at.max(CLEAR)));
            drawing.draw(Layer::Mark, Stroke::Line(across[0], across[1]));
        }
        let number = (i + 1).to_string();
        let beside = (x - ACROSS).max(CLEAR);
        note(&mut drawing, Point::new(beside, tab.at + NOTE), number.clone());
        words.push(format!(
            "{number} {}: {} from the end, {} from the heel line, clockwise seen from the start",
            tab.part,
            job.units.length(tab.at),
            tab.clock
        ));
        words.push(format!("   with the heel line uppermost, {}", tab.level().words()));
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
