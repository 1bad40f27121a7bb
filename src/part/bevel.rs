//! The bevels of a face, as numbers.

use crate::diag::Finding;
use crate::diag::Span;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Vec2;
use crate::geom::Vertex;
use crate::num;
use crate::num::Angle;
use crate::part::stretches::Stretches;
use crate::part::values::Values;
use crate::quantity::Dimension;
use crate::recipe;
use crate::recipe::BevelSides;

/// Angles of a bevel, degrees from the square edge. Our choice: a grinder does no others.
const ANGLES: [f64; 2] = [10.0, 75.0];

/// Degrees of an arc in one straight piece of its strip. Our choice: off by 0.14 % of its radius.
const PIECE: f64 = 6.0;

/// Maximum depth of a bevel, as a share of the radius, if it is wider than its arc is round.
const WITHIN: f64 = 0.999;

/// A bevelled edge. Lengths are mm.
#[derive(Clone, Debug)]
pub struct Bevel {
    /// Name of the edge.
    pub edge: String,
    /// The edges of the outline it follows, metal to their left.
    pub stretches: Vec<Edge>,
    /// From the square edge.
    pub angle: Angle,
    /// What of the edge stays square.
    pub land: f64,
    /// Its depth from each side.
    pub depth: f64,
    /// From which sides.
    pub sides: BevelSides,
    /// Its entry in the recipe.
    pub span: Span,
    /// The names it depends on.
    pub depends: Vec<String>,
}

impl Bevel {
    /// How far it reaches into the plate, seen square to it.
    pub fn width(&self) -> f64 {
        self.depth * self.angle.tan()
    }

    /// The metal it takes from a side of the plate, piece by piece along its edge, in the drawing of
    /// its face.
    pub(crate) fn strips(&self) -> Vec<Outline> {
        let piece = |edge: Edge| {
            let corner = |share: f64, in_by: f64| {
                let along = edge.between(share, 1.0).direction_at_start();
                let at = edge.point_at(share) + Vec2::new(-along.y, along.x) * in_by;
                Vertex::sharp(at.x, at.y)
            };
            let round = edge.arc().filter(|arc| arc.sweep.degrees() > 0.0);
            let width = round.map_or(f64::INFINITY, |arc| WITHIN * arc.radius).min(self.width());
            let sweep = edge.arc().map_or(0.0, |arc| arc.sweep.degrees().abs());
            let n = (sweep / PIECE).ceil().max(1.0);
            // At its very end an edge has no way on: a hair before it.
            let at = move |i: usize| (i as f64 / n).min(1.0 - 1e-9);
            let quad = move |i: usize| {
                let [a, b] = [at(i), at(i + 1)];
                Outline::new([corner(a, 0.0), corner(b, 0.0), corner(b, width), corner(a, width)])
            };
            (0..n as usize).filter_map(|i| quad(i).ok()).collect::<Vec<_>>()
        };
        self.stretches.iter().copied().flat_map(piece).collect()
    }

    /// Length of the edge.
    pub fn length(&self) -> f64 {
        self.stretches.iter().map(Edge::length).sum()
    }

    /// `bevel 30°, land 1.5`.
    pub(crate) fn words(&self, show: &dyn Fn(f64) -> String) -> String {
        let both = if self.sides == BevelSides::Both { "double bevel" } else { "bevel" };
        format!("{both} {}°, land {}", num::text(self.angle.degrees(), 1), show(self.land))
    }
}

/// The bevels of a face of a thickness along the remaining edges; `None` when something was
/// reported.
pub(super) fn build(
    face: &recipe::Face,
    named: Stretches<'_>,
    thickness: f64,
    values: &Values,
) -> Option<Vec<Bevel>> {
    let mut bevels = Vec::new();
    for bevel in &face.bevels {
        values.each(bevel.each.as_ref(), |values| {
            bevels.push(one(bevel, named, thickness, values)?);
            Some(())
        })?;
    }
    Some(bevels)
}

fn one(
    bevel: &recipe::Bevel,
    named: Stretches<'_>,
    thickness: f64,
    values: &Values,
) -> Option<Bevel> {
    let edge = values.edge_name(&bevel.edge);
    let stretches = match named.of(&edge, "bevel") {
        Ok(stretches) => stretches,
        Err((headline, help)) => {
            values.findings.add(Finding::stop("bevel", headline).at(bevel.span, "").help(help));
            return None;
        }
    };
    let degrees = values.number(&bevel.angle, Dimension::ANGLE)?;
    let land = values.length_or_zero(bevel.land.as_ref())?;
    let refuse = |headline: String, span: Span, help: &str| {
        values.findings.add(Finding::stop("bevel", headline).at(span, "").help(help.to_owned()));
        None
    };
    if !(ANGLES[0]..=ANGLES[1]).contains(&degrees) {
        let is = num::text(degrees, 1);
        let headline = format!("a bevel of {is}° is not between {}° and {}°", ANGLES[0], ANGLES[1]);
        return refuse(headline, bevel.angle.span, "write `angle = \"45 deg\"`");
    }
    if !(0.0..thickness).contains(&land) {
        let [land, sheet] = [land, thickness].map(|mm| values.params.units().length(mm));
        let headline = format!("a land of {land} leaves no bevel on a sheet of {sheet}");
        return refuse(headline, bevel.span, "write `land = \"1.5 mm\"`, less than the thickness");
    }
    let lists = bevel.each.iter().flat_map(|each| &each.lists).map(|(_, list)| list);
    let formulas = [&bevel.angle].into_iter().chain(&bevel.land).chain(lists);
    let names = formulas.flat_map(|expr| expr.formula.names()).map(str::to_owned).collect();
    Some(Bevel {
        edge,
        stretches,
        angle: Angle::from_degrees(degrees),
        land,
        depth: (thickness - land) / f64::from(bevel.sides.count()),
        sides: bevel.sides,
        span: bevel.span,
        depends: values.outside(names, bevel.span),
    })
}
