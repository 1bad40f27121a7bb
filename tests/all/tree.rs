//! Parts of rectangles joined by bends, made without a recipe.

use platewright::bend;
use platewright::bend::BendError;
use platewright::bend::Method;
use platewright::bend::Trust;
use platewright::diag::Sources;
use platewright::diag::Span;
use platewright::geom::Edge;
use platewright::geom::Outline;
use platewright::geom::Point;
use platewright::geom::Region;
use platewright::geom::Vertex;
use platewright::num::Angle;
use platewright::part::Bend;
use platewright::part::Face;
use platewright::part::NamedEdge;
use platewright::part::Part;
use platewright::part::Relief;
use platewright::part::Ticks;
use platewright::recipe::CornerShape;
use platewright::recipe::Grain;
use platewright::recipe::Measured;
use platewright::recipe::ReliefShape;

/// A rectangle on an edge of an earlier one.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Flange {
    /// Index of the face it starts from; 0 is the first.
    pub(crate) on: usize,
    /// Index of its edge: of the first face the lower, right, upper and left one, of a
    /// flange the right, far and left one.
    pub(crate) edge: usize,
    /// Along the bend, and away from it, mm.
    pub(crate) size: [f64; 2],
    /// How far its middle lies from the middle of the edge, mm.
    pub(crate) aside: f64,
    /// Degrees.
    pub(crate) angle: f64,
    /// Inside, mm.
    pub(crate) radius: f64,
    /// Which way.
    pub(crate) up: bool,
    /// To where both faces are drawn.
    pub(crate) measured: Measured,
    /// Beside a flange on the next edge.
    pub(crate) corner: CornerShape,
}

/// Somewhere to point at.
pub(crate) fn nowhere() -> Span {
    let mut sources = Sources::default();
    Span { source: sources.add("tree", "tree"), start: 0, end: 4 }
}

/// A rectangle from corner to corner with the names of its edges, lower one first.
fn face(name: String, min: [f64; 2], max: [f64; 2], names: [&str; 4]) -> Face {
    let corners = [[min[0], min[1]], [max[0], min[1]], [max[0], max[1]], [min[0], max[1]]];
    let outline = Outline::new(corners.map(|[x, y]| Vertex::sharp(x, y))).unwrap();
    let edges = (0..4).filter(|i| !names[*i].is_empty()).map(|i| {
        let [from, to] = [corners[i], corners[(i + 1) % 4]].map(|[x, y]| Point::new(x, y));
        NamedEdge { name: names[i].into(), edge: Edge::line(from, to), centre: from.midpoint(to) }
    });
    Face {
        name,
        blank: Region::solid(outline),
        edges: edges.collect(),
        arcs: Vec::new(),
        holes: Vec::new(),
        lighten: Vec::new(),
        lightened: Vec::new(),
        marks: Vec::new(),
        welds: Vec::new(),
        bevels: Vec::new(),
        beads: Vec::new(),
        obstacles: Vec::new(),
        bend_lines: Vec::new(),
        files: Vec::new(),
        idle: Vec::new(),
        copes: Vec::new(),
        tongues: Vec::new(),
    }
}

/// A part of sheet `thickness` with a first face of `size`, its middle at the origin.
pub(crate) fn part(
    thickness: f64,
    size: [f64; 2],
    flanges: &[Flange],
    method: Method,
) -> Result<Part, BendError> {
    let [w, h] = size.map(|s| s / 2.0);
    let mut faces =
        vec![face("base".into(), [-w, -h], [w, h], ["lower", "right", "upper", "left"])];
    let mut bends = Vec::new();
    for (i, flange) in flanges.iter().enumerate() {
        let half = flange.size[0] / 2.0;
        let max = [flange.aside + half, flange.size[1]];
        let names = ["", "right", "far", "left"];
        faces.push(face(format!("f{}", i + 1), [flange.aside - half, 0.0], max, names));
        let angle = Angle::from_degrees(flange.angle);
        let made = bend::Bend::new(thickness, flange.radius, angle, method)?;
        bends.push(Bend {
            name: format!("b{}", i + 1),
            from: flange.on,
            edge: flange.edge,
            to: i + 1,
            bend: made,
            by: Trust::Sheet,
            up: flange.up,
            measured: flange.measured,
            aside: 0.0,
            relief: Relief::usual(ReliefShape::Square, &made, 0.0),
            corner: flange.corner,
            gap: None,
            ticks: Ticks::Unsaid,
            zone: None,
            span: nowhere(),
            depends: Vec::new(),
        });
    }
    Ok(Part {
        hand: None,
        suffix: String::new(),
        tubes: Vec::new(),
        stands: None,
        passing: Vec::new(),
        thickness,
        faces,
        bends,
        facts: Vec::new(),
        clevis: None,
        captured: None,
        laid: None,
        copies: 1,
        grain: Grain::Free,
    })
}
