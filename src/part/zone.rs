//! The metal of a bend that is drawn across a face.

use crate::geom::Edge;
use crate::geom::Line;
use crate::geom::NEAR;
use crate::geom::Outline;
use crate::geom::OutlineError;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Vertex;
use crate::geom::backwards;
use crate::geom::cut;

/// The metal of a bend that is drawn across a face, in the drawing of the face it is on.
///
/// The edge of the bend is where it begins, metal of that face on its left.
#[derive(Clone, Debug)]
pub struct Zone {
    /// Its ends, at the start and at the end of that edge: each from the face it is on to
    /// the one it carries. The last vertex has no arc.
    pub(crate) sides: [Vec<Vertex>; 2],
    /// Its centre line, as far as there is metal, along that edge.
    pub(crate) line: Edge,
    /// Cut-outs of the face that reach into it. The faces beside it are drawn without them.
    pub(crate) openings: Vec<Outline>,
    /// The welds and bevels along its ends.
    pub(crate) worked: Vec<Worked>,
}

/// A weld or a bevel along an end of a bend, which stops there.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Worked {
    /// Which of the two.
    pub(crate) what: &'static str,
    /// Name of the edge.
    pub(crate) edge: String,
    /// How much of it is in the flat of the bend, mm.
    pub(crate) length: f64,
}

/// Corners of a bend are sought within this distance of their expected place, mm: farther off there
/// is another cut. Our choice.
const CORNER: f64 = 0.05;

/// Of the length of a centre line, the share that may be cut off at its end. Our choice.
const GRAZED: f64 = 0.1;

impl Zone {
    /// The metal within an outline that touches both faces beside it along these lines: where it
    /// begins, and where it ends.
    pub(super) fn within(
        outline: &Outline,
        [near, far]: [Edge; 2],
        line: Edge,
        openings: Vec<Outline>,
    ) -> Self {
        let vertices = outline.vertices();
        let n = vertices.len();
        let at = |p: Point| {
            let off = |i: &usize| (vertices[*i].at - p).hypot();
            (0..n).min_by(|a, b| off(a).total_cmp(&off(b))).unwrap_or(0)
        };
        // Round the bend anticlockwise: where it begins, an end, where it ends, the other end.
        let chain = |from: Point, to: Point| {
            let (first, last) = (at(from), at(to));
            let count = (last + n - first) % n;
            let mut chain: Vec<Vertex> = (0..=count).map(|k| vertices[(first + k) % n]).collect();
            (chain[0].at, chain[count].at, chain[count].bulge) = (from, to, 0.0);
            chain
        };
        let start = chain(near.from, far.from);
        let end = backwards(&chain(far.to, near.to));
        Self { sides: [start, end], line, openings, worked: Vec::new() }
    }

    /// The same without a shape, beside faces that end at these lines.
    ///
    /// # Errors
    /// What keeps it from being cut.
    pub(crate) fn without(&self, tool: Option<&Outline>, lines: [Edge; 2]) -> Result<Self, String> {
        let mut outline = self.outline().map_err(|e| e.to_string())?;
        if let Some(tool) = tool {
            let (mut pieces, gaps) = cut(&outline, tool).map_err(|e| e.to_string())?;
            if pieces.len() != 1 || !gaps.is_empty() {
                return Err("it would be in pieces".into());
            }
            outline = pieces.remove(0);
        }
        let off = |p: &Point| outline.vertices().iter().all(|v| (v.at - *p).hypot() > CORNER);
        if lines.iter().flat_map(|line| [line.from, line.to]).any(|p| off(&p)) {
            return Err("it is not cut like the faces beside it".into());
        }
        let along = self.line.direction_at_start();
        let middle = Line { at: self.line.from, along };
        let mut stretches = middle.stretches(&outline);
        let long = |[from, to]: &[f64; 2]| to - from;
        stretches.sort_by(|a, b| long(b).total_cmp(&long(a)));
        // A cut that grazes its centre line at an end leaves a short stretch beyond it.
        let [from, to] = match stretches.as_slice() {
            [whole] => *whole,
            [most, next, ..] if long(next) < GRAZED * long(most) => *most,
            _ => return Err("it would be in pieces".into()),
        };
        let line = Edge::line(middle.point(from), middle.point(to));
        let zone = Self::within(&outline, lines, line, self.openings.clone());
        Ok(Self { worked: self.worked.clone(), ..zone })
    }

    /// Where it begins and where it ends, along the edge.
    pub(crate) fn tangents(&self) -> [Edge; 2] {
        let [start, end] = &self.sides;
        let (first, last) = (start.len() - 1, end.len() - 1);
        [Edge::line(start[0].at, end[0].at), Edge::line(start[first].at, end[last].at)]
    }

    /// All of it, openings too.
    ///
    /// # Errors
    /// When its ends cross.
    pub(crate) fn outline(&self) -> Result<Outline, OutlineError> {
        let [start, end] = &self.sides;
        Outline::new(start.iter().copied().chain(backwards(end)))
    }

    /// Whether it is a rectangle without openings, as at a flange on an edge.
    pub(crate) fn is_plain(&self) -> bool {
        self.openings.is_empty() && self.is_square()
    }

    /// Whether it ends square to its line, openings or not.
    pub(crate) fn is_square(&self) -> bool {
        let [near, far] = self.tangents();
        let along = near.direction_at_start();
        let square = [far.from - near.from, far.to - near.to];
        self.sides.iter().all(|side| side.len() == 2 && side[0].bulge == 0.0)
            && square.iter().all(|way| way.dot(along).abs() < NEAR)
    }

    /// The same elsewhere, by a place that mirrors nothing.
    pub(crate) fn moved(&self, place: &Place) -> Self {
        let side = |side: &Vec<Vertex>| {
            side.iter().map(|v| Vertex { at: place.apply(v.at), ..*v }).collect()
        };
        Self {
            sides: self.sides.each_ref().map(side),
            line: self.line.moved(place),
            openings: self.openings.iter().map(|o| o.moved(place)).collect(),
            worked: self.worked.clone(),
        }
    }

    /// The same on the other hand of the part.
    pub(super) fn mirrored(&self) -> Self {
        let over = Place { mirrored: true, ..Place::default() };
        let turned = |side: &Vec<Vertex>| {
            let turn = |v: &Vertex| Vertex { at: over.apply(v.at), bulge: -v.bulge };
            side.iter().map(turn).collect::<Vec<_>>()
        };
        let [start, end] = &self.sides;
        Self {
            sides: [turned(end), turned(start)],
            line: self.line.moved(&over).reversed(),
            openings: self.openings.iter().map(|o| o.moved(&over)).collect(),
            worked: self.worked.clone(),
        }
    }
}
