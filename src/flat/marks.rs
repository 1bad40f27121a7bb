//! What is scribed or etched on the flat.

use crate::flat::pattern::BendStrip;
use crate::flat::pattern::FlatMark;
use crate::geom::Edge;
use crate::geom::Place;
use crate::part::Part;

/// Length of a tick at the end of a bend line, mm: common practice.
const TICK: f64 = 5.0;

/// From the edge to the tick, mm: clear of the cut. Our choice.
const TICK_CLEAR: f64 = 0.5;

/// The marks of all faces, then the ticks of the bends that want them.
pub(super) fn marks(part: &Part, places: &[Place], strips: &[BendStrip]) -> Vec<FlatMark> {
    let mut marks = Vec::new();
    for (f, face) in part.faces.iter().enumerate() {
        let moved = |stroke: Vec<Edge>| stroke.iter().map(|e| e.moved(&places[f])).collect();
        marks.extend(face.marks.iter().map(|mark| FlatMark {
            face: Some(f),
            strokes: mark.strokes().into_iter().map(moved).collect(),
            span: mark.span,
        }));
    }
    for (bend, strip) in part.bends.iter().zip(strips).filter(|(bend, _)| bend.ticks) {
        let strokes = strip.ticks().into_iter().map(|tick| vec![tick]).collect();
        marks.push(FlatMark { face: None, strokes, span: bend.span });
    }
    marks
}

impl BendStrip {
    /// A tick at either end of each bend line, in the flat; the two are never longer than
    /// two thirds of it.
    pub fn ticks(&self) -> Vec<Edge> {
        self.lines().iter().flat_map(ticks).collect()
    }
}

/// The ticks at the ends of one line.
fn ticks(line: &Edge) -> [Edge; 2] {
    let length = line.length();
    let clear = TICK_CLEAR.min(length / 10.0);
    let (near, far) = (clear / length, (clear + TICK.min(length / 3.0)) / length);
    [line, &line.reversed()].map(|l| Edge::line(l.point_at(near), l.point_at(far)))
}
