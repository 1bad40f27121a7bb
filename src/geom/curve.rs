//! Curves as drawings have them: ellipses and splines, all of them rational Bézier curves in a
//! row. No cut file contains one: [`Course::edges`] makes arcs of them.

use crate::geom::arcs;
use crate::geom::bezier::Bezier;
use crate::geom::edge::Edge;
use crate::geom::motion::Motion;
use crate::geom::turn::arc;
use crate::num::Angle;
use kurbo::Point;
use kurbo::Vec2;

/// A stroke of the pen.
#[derive(Clone, Debug, PartialEq)]
pub enum Course {
    /// A line or an arc.
    Edge(Edge),
    /// Curves, each from the end of the one before.
    Curve(Vec<Bezier>),
}

impl Course {
    /// Part of an ellipse: the vectors from its centre along its two axes, or any two conjugate
    /// diameters; from one angle on, through another, of the circle that it is a picture of. A
    /// circle becomes arcs.
    pub fn ellipse(centre: Point, axes: [Vec2; 2], from: Angle, sweep: Angle) -> Vec<Self> {
        let picture = Motion { x: axes[0], y: axes[1], shift: centre.to_vec2() };
        if picture.keeps_round() {
            let arcs = arc(Point::ZERO, 1.0, from.degrees(), sweep.degrees());
            return arcs.iter().map(|edge| Self::Edge(picture.edge(edge))).collect();
        }
        vec![Self::Curve(rational(&picture, from, sweep))]
    }

    /// The same elsewhere.
    pub fn mapped(&self, motion: &Motion) -> Vec<Self> {
        match self {
            Self::Edge(edge) if edge.is_line() || motion.keeps_round() => {
                vec![Self::Edge(motion.edge(edge))]
            }
            Self::Edge(edge) => edge.arc().map_or_else(Vec::new, |arc| {
                let axes = [Vec2::new(arc.radius, 0.0), Vec2::new(0.0, arc.radius)];
                let picture = Motion { x: axes[0], y: axes[1], shift: arc.centre.to_vec2() };
                vec![Self::Curve(rational(&picture.then(motion), arc.start, arc.sweep))]
            }),
            Self::Curve(pieces) => {
                vec![Self::Curve(pieces.iter().map(|piece| piece.mapped(motion)).collect())]
            }
        }
    }

    /// Lines and arcs that leave it by no more than `close`, and by how much they do: measured,
    /// mm.
    pub fn edges(&self, close: f64) -> (Vec<Edge>, f64) {
        match self {
            Self::Edge(edge) => (vec![*edge], 0.0),
            Self::Curve(pieces) => arcs::fitted(pieces, close),
        }
    }

    /// Whether none of its points is further from the origin along an axis.
    pub fn is_within(&self, reach: f64) -> bool {
        let near = |p: &Point| p.x.abs() <= reach && p.y.abs() <= reach;
        match self {
            Self::Edge(e) => near(&e.from) && near(&e.to),
            Self::Curve(pieces) => pieces.iter().flat_map(|p| &p.points).all(|(p, _)| near(p)),
        }
    }

    /// Lines between its control points.
    pub fn chords(&self) -> Vec<Edge> {
        match self {
            Self::Edge(edge) => vec![*edge],
            Self::Curve(pieces) => {
                let points: Vec<Point> =
                    pieces.iter().flat_map(|p| &p.points).map(|p| p.0).collect();
                points.windows(2).map(|pair| Edge::line(pair[0], pair[1])).collect()
            }
        }
    }
}

/// The picture of an arc of the circle of radius 1 as rational curves of at most a quarter each.
fn rational(picture: &Motion, from: Angle, sweep: Angle) -> Vec<Bezier> {
    let pieces = (sweep.degrees().abs() / 90.0 - 1e-9).ceil().max(1.0);
    let step = sweep.degrees() / pieces;
    let half = Angle::from_degrees(step / 2.0).cos();
    let on = |degrees: f64, radius: f64| {
        let angle = Angle::from_degrees(degrees);
        picture.apply(Point::new(radius * angle.cos(), radius * angle.sin()))
    };
    let is_whole = sweep.degrees().abs() == 360.0;
    let piece = |i: u32| {
        let begins = from.degrees() + step * f64::from(i);
        let last = is_whole && f64::from(i) + 1.0 == pieces;
        let end = if last { from.degrees() } else { begins + step };
        let points = vec![
            (on(begins, 1.0), 1.0),
            (on(begins + step / 2.0, 1.0 / half), half),
            (on(end, 1.0), 1.0),
        ];
        Bezier { points }
    };
    (0..pieces as u32).map(piece).collect()
}
