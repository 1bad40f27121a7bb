//! One entity for each stroke.

use super::ascii::ascii;
use super::pairs::Pairs;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Vertex;
use crate::write::drawing::Drawing;
use crate::write::drawing::Stroke;
use crate::write::dxf::version::Version;

pub(super) fn section(out: &mut Pairs, drawing: &Drawing, repeat_first: bool) {
    out.section("ENTITIES", |out| {
        for (layer, stroke) in &drawing.strokes {
            let mut pen = Pen { out, drawing, layer: layer.name(), repeat_first };
            match stroke {
                Stroke::Outline(outline) => pen.outline(outline),
                Stroke::Line(from, to) => pen.line(*from, *to),
                Stroke::Path(edges) => pen.path(edges),
                Stroke::Text { at, height, text } => pen.text(*at, *height, text),
            }
        }
    });
}

/// What the entity being written needs to know.
struct Pen<'a> {
    out: &'a mut Pairs,
    drawing: &'a Drawing,
    layer: &'static str,
    repeat_first: bool,
}

impl Pen<'_> {
    fn outline(&mut self, outline: &Outline) {
        match outline.circle() {
            Some((centre, radius)) => {
                self.out.entity("CIRCLE", "AcDbCircle", self.layer);
                self.point(10, centre);
                self.out.put(40, self.drawing.number(radius));
            }
            None => {
                let mut corners = outline.vertices().to_vec();
                let again = corners.first().map(|first| Vertex { bulge: 0.0, ..*first });
                corners.extend(again.filter(|_| self.repeat_first));
                self.polyline(&corners, true);
            }
        }
    }

    fn line(&mut self, from: Point, to: Point) {
        self.out.entity("LINE", "AcDbLine", self.layer);
        self.point(10, from);
        self.point(11, to);
    }

    fn path(&mut self, edges: &[Edge]) {
        let starts = edges.iter().map(|e| Vertex { at: e.from, bulge: e.bulge });
        let end = edges.last().map(|e| Vertex { at: e.to, bulge: 0.0 });
        self.polyline(&starts.chain(end).collect::<Vec<_>>(), false);
    }

    fn text(&mut self, at: Point, height: f64, text: &str) {
        self.out.entity("TEXT", "AcDbText", self.layer);
        self.point(10, at);
        self.out.put(40, self.drawing.number(height));
        self.out.put(1, ascii(text));
        self.out.class("AcDbText");
    }

    fn polyline(&mut self, vertices: &[Vertex], closed: bool) {
        let closed = if closed { "1" } else { "0" };
        match self.out.version() {
            Version::R2000 => {
                self.out.entity("LWPOLYLINE", "AcDbPolyline", self.layer);
                self.out.put(90, vertices.len());
                self.out.put(70, closed);
                for v in vertices {
                    self.vertex(v);
                }
            }
            Version::R12 => {
                self.out.entity("POLYLINE", "", self.layer);
                self.out.put(66, "1");
                self.out.point(10, "0", "0");
                self.out.put(70, closed);
                for v in vertices {
                    self.out.entity("VERTEX", "", self.layer);
                    self.vertex(v);
                }
                self.out.entity("SEQEND", "", self.layer);
            }
        }
    }

    fn vertex(&mut self, v: &Vertex) {
        self.out.put(10, self.drawing.number(v.at.x));
        self.out.put(20, self.drawing.number(v.at.y));
        // All its digits: half a chord times the error of the bulge is the error of the arc.
        if v.bulge != 0.0 {
            self.out.put(42, v.bulge);
        }
    }

    fn point(&mut self, code: u16, p: Point) {
        self.out.point(code, self.drawing.number(p.x), self.drawing.number(p.y));
    }
}
