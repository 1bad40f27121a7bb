//! The scribed or etched marks of the flat.

use crate::flat::pattern::BendStrip;
use crate::flat::pattern::FlatMark;
use crate::geom::Edge;
use crate::geom::NEAR;
use crate::geom::Place;
use crate::geom::Region;
use crate::geom::edges_distance;
use crate::part::Part;
use crate::part::Ticks;

/// Length of a tick at the end of a bend line, mm: common practice.
const TICK: f64 = 5.0;

/// From the edge to the tick, mm: clear of the cut. Our choice.
const TICK_CLEAR: f64 = 0.5;

/// A tick is moved inwards in steps, mm. Our choice.
const TICK_STEP: f64 = 0.5;

/// The marks of all faces, then the ticks of the bends that have them.
pub(super) fn marks(
    part: &Part,
    region: &Region,
    places: &[Place],
    strips: &[BendStrip],
) -> Vec<FlatMark> {
    let mut marks = Vec::new();
    for (f, face) in part.faces.iter().enumerate() {
        let moved = |stroke: Vec<Edge>| stroke.iter().map(|e| e.moved(&places[f])).collect();
        marks.extend(face.marks.iter().map(|mark| FlatMark {
            face: Some(f),
            strokes: mark.strokes().into_iter().map(moved).collect(),
            span: mark.span,
        }));
    }
    for (bend, strip) in part.bends.iter().zip(strips) {
        let ticks = match bend.ticks {
            Ticks::Unsaid | Ticks::Never => continue,
            Ticks::Fitting => strip.fitting_ticks(region),
            Ticks::Named => strip.ticks(),
        };
        let strokes: Vec<Vec<Edge>> = ticks.into_iter().map(|tick| vec![tick]).collect();
        if strokes.is_empty() {
            continue;
        }
        marks.push(FlatMark { face: None, strokes, span: bend.span });
    }
    marks
}

impl BendStrip {
    /// A tick at either end of each bend line, in the flat; the two are never longer than
    /// two thirds of it.
    pub fn ticks(&self) -> Vec<Edge> {
        self.ends().iter().map(|line| tick(line, 0.0)).collect()
    }

    /// The same as far as a flat has metal for them: a tick that would run off it is moved in on
    /// its half of the line, or is left out.
    pub(crate) fn fitting_ticks(&self, flat: &Region) -> Vec<Edge> {
        self.ends().iter().filter_map(|line| fitting_tick(line, flat)).collect()
    }

    /// Each bend line from either of its ends.
    fn ends(&self) -> Vec<Edge> {
        self.lines().iter().flat_map(|line| [*line, line.reversed()]).collect()
    }
}

/// The tick at the start of a line, or at a distance from there, mm.
fn tick(line: &Edge, inwards: f64) -> Edge {
    let length = line.length();
    let near = TICK_CLEAR.min(length / 10.0) + inwards;
    let far = near + TICK.min(length / 3.0);
    Edge::line(line.point_at(near / length), line.point_at(far / length))
}

/// The tick nearest to the start of a line, and on its first half, for which there is metal.
fn fitting_tick(line: &Edge, flat: &Region) -> Option<Edge> {
    let fits = |tick: &Edge, clear: f64| {
        let mut outlines = flat.outlines();
        flat.contains(tick.point_at(0.5))
            && outlines.all(|outline| edges_distance(outline.edges(), &[*tick]) >= clear)
    };
    let first = tick(line, 0.0);
    if fits(&first, NEAR) {
        return Some(first);
    }
    let half = line.length() / 2.0;
    let steps = (half / TICK_STEP).floor() as u32;
    let ticks = (1..=steps).map(|i| tick(line, TICK_STEP * f64::from(i)));
    let mut ticks = ticks.take_while(|tick| (tick.to - line.from).hypot() < half);
    ticks.find(|tick| fits(tick, TICK_CLEAR))
}
