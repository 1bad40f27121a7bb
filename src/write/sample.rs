//! A drawing with one of everything, for the tests of this room.

use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Vertex;
use crate::geom::disc;
use crate::geom::slot;
use crate::num::Angle;
use crate::quantity::Units;
use crate::write::drawing::Drawing;
use crate::write::drawing::Layer;
use crate::write::drawing::Stroke;

/// A plate 80 mm by 60 mm: round corners, a hollow in its upper edge, a round hole at
/// (20, 30) of radius 4.25, a slot, two bend lines, a scribed chain and two notes.
pub(super) fn bracket(units: Units) -> Drawing {
    let round = Angle::from_degrees(22.5).tan();
    let at = |x, y, bulge| Vertex { at: Point::new(x, y), bulge };
    let outline = Outline::new([
        at(4.0, 0.0, 0.0),
        at(76.0, 0.0, round),
        at(80.0, 4.0, 0.0),
        at(80.0, 60.0, 0.0),
        at(55.0, 60.0, -0.5),
        at(25.0, 60.0, 0.0),
        at(0.0, 60.0, 0.0),
        at(0.0, 4.0, round),
    ]);
    let holes = [disc(Point::new(20.0, 30.0), 4.25), slot(Point::new(60.0, 30.0), 20.0, 7.0)];
    let mut drawing = Drawing::new("bracket <1> & \"more\"", units);
    for outline in std::iter::once(outline).chain(holes) {
        drawing.draw(Layer::Cut, Stroke::Outline(outline.unwrap()));
    }
    for y in [12.0, 18.5] {
        drawing.draw(Layer::Bend, Stroke::Line(Point::new(0.0, y), Point::new(80.0, y)));
    }
    let corner = Point::new(35.0, 40.0);
    drawing.draw(
        Layer::Mark,
        Stroke::Path(vec![
            Edge::line(Point::new(30.0, 40.0), corner),
            Edge { from: corner, to: Point::new(40.0, 40.0), bulge: -1.0 },
        ]),
    );
    for (y, text) in [(4.0, "90° up, Ø8.5 ±0.1 & t < 4"), (22.0, "für Träger")] {
        let at = Point::new(10.0, y);
        drawing.draw(Layer::Note, Stroke::Text { at, height: 3.0, text: text.to_owned() });
    }
    drawing
}
