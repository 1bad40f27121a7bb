//! Tubes that are cut out of the folded part, and a face without one of them.

use crate::diag::Finding;
use crate::diag::Span;
use crate::diag::instead;
use crate::geom::Edge;
use crate::geom::NEAR;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::RegionError;
use crate::part::bevel::Bevel;
use crate::part::edges::surviving;
use crate::part::face::Cope;
use crate::part::face::Face;
use crate::part::face::NamedEdge;
use crate::part::face::Weld;
use crate::part::values::Values;
use crate::part::whole::Part;
use crate::quantity::Dimension;
use crate::recipe::Axis;
use crate::recipe::CutFolded;
use crate::recipe::Expr;
use crate::recipe::Recipe;

/// A round tube, endless both ways, that is cut out of the folded part. Lengths are mm.
#[derive(Clone, Debug)]
pub struct Tube {
    /// A point of its axis: x and y in the drawing of a face, z above its top side.
    pub at: [f64; 3],
    /// Direction of the axis, of length 1.
    pub along: [f64; 3],
    /// Of what is cut: half the outside diameter and the play.
    pub radius: f64,
    /// Index of that face.
    pub face: usize,
    /// Name of the edges that are cut.
    pub edge: Option<String>,
    /// Leg of a fillet on each of them.
    pub leg: Option<f64>,
    /// Whether it is cut.
    pub cut: bool,
    /// Its entry in the recipe.
    pub span: Span,
}

impl Tube {
    /// The same on the other hand of the part.
    pub(super) fn mirrored(&self) -> Self {
        let over = |[x, y, z]: [f64; 3]| [-x, y, z];
        Self { at: over(self.at), along: over(self.along), ..self.clone() }
    }
}

/// Gives the parts the tubes that are to be cut out of them.
pub(super) fn add(recipe: &Recipe, parts: &mut [Part], values: &Values) {
    for asked in &recipe.cut_folded {
        if values.holds(asked.when.as_ref()) == Some(true) {
            one(recipe, asked, parts, values);
        }
    }
}

fn one(recipe: &Recipe, asked: &CutFolded, parts: &mut [Part], values: &Values) -> Option<()> {
    let first = || recipe.faces.keys().next().map(|name| (name.clone(), asked.span));
    let (name, span) = asked.face.clone().or_else(first)?;
    let refuse = |headline: String, span: Span, help: String| {
        values.findings.add(Finding::stop("cut-folded", headline).at(span, "").help(help));
    };
    let Some(drawn) = recipe.faces.get(&name) else {
        let names: Vec<&str> = recipe.faces.keys().map(String::as_str).collect();
        let headline = format!("there is no drawn face `{name}`");
        refuse(headline, span, instead(&name, &names, "drawn are"));
        return None;
    };
    let radius = values.length(&asked.tube)? / 2.0;
    let play = asked.play.as_ref().map_or(Some(0.0), |play| values.length(play))?;
    if radius <= 0.0 || play < 0.0 {
        let headline = "the tube needs a diameter of more than 0 and a play of 0 or more".into();
        refuse(headline, asked.tube.span, "write `tube = \"38 mm\"`".into());
        return None;
    }
    let leg = asked.leg.as_ref().map_or(Some(None), |leg| values.length(leg).map(Some))?;
    let lengths = |three: &[Expr; 3]| {
        let [x, y, z] = three.each_ref().map(|e| values.length(e));
        Some([x?, y?, z?])
    };
    let (at, way) = match &asked.axis {
        Axis::Points(from, to) => {
            let (from, to) = (lengths(from), lengths(to));
            let (from, to) = (from?, to?);
            (from, [0, 1, 2].map(|i| to[i] - from[i]))
        }
        Axis::Direction(at, way) => {
            let [x, y, z] = way.each_ref().map(|e| values.number(e, Dimension::NONE));
            (lengths(at)?, [x?, y?, z?])
        }
    };
    let long = way.iter().map(|c| c * c).sum::<f64>().sqrt();
    if long < NEAR {
        let help = "give two points apart, or a direction such as `[\"0\", \"0\", \"1\"]`";
        refuse("the axis of the tube has no direction".into(), asked.span, help.into());
        return None;
    }
    let along = way.map(|c| c / long);
    let edge = asked.edge.clone();
    let of = |part: &&mut Part| part.faces.iter().any(|face| face.name == name);
    // A face that `when` leaves out has no tube.
    let part = parts.iter_mut().find(of)?;
    let face = part.faces.iter().position(|face| face.name == name)?;
    let tube =
        Tube { at, along, radius: radius + play, face, edge, leg, cut: false, span: asked.span };
    part.tubes.push(if drawn.mirrored { tube.mirrored() } else { tube });
    Some(())
}

impl Face {
    /// The face without a tube, and for each of its edges what is left of it, by index; nothing
    /// where the tube misses it.
    ///
    /// # Errors
    /// When nothing is left, or pieces.
    pub(crate) fn without_tube(
        &self,
        tool: &Outline,
        cope: Cope,
        tube: &Tube,
    ) -> Result<Option<(Self, Vec<Vec<usize>>)>, RegionError> {
        if self.blank.bounds().distance(&tool.bounds()) > 0.0 {
            return Ok(None);
        }
        let blank = match self.blank.without(tool) {
            Err(RegionError::Misses) => return Ok(None),
            other => other?,
        };
        let (mut edges, mut indices) = (Vec::new(), Vec::new());
        for edge in &self.edges {
            let left = surviving(edge, &blank);
            indices.push((edges.len()..edges.len() + left.len()).collect());
            edges.extend(left);
        }
        let along = |old: &[Edge]| {
            let named = |e: &Edge| NamedEdge { name: String::new(), edge: *e, centre: e.from };
            let all = old.iter().flat_map(|e| surviving(&named(e), &blank));
            all.map(|left| left.edge).collect::<Vec<Edge>>()
        };
        let weld = |weld: &Weld| {
            let stretches = along(&weld.stretches);
            let length = stretches.iter().map(Edge::length).sum();
            (!stretches.is_empty()).then(|| Weld { stretches, length, ..weld.clone() })
        };
        let bevel = |bevel: &Bevel| {
            let stretches = along(&bevel.stretches);
            (!stretches.is_empty()).then(|| Bevel { stretches, ..bevel.clone() })
        };
        let on = |p: Point| tool.distance(p) < 10.0 * NEAR;
        let is_cut = |e: &Edge| [0.0, 0.5, 1.0].iter().all(|t| on(e.point_at(*t)));
        let stretches: Vec<Edge> = blank.outer().edges().filter(is_cut).collect();
        let seam = tube.leg.zip(tube.edge.clone()).map(|(leg, edge)| Weld {
            edge,
            length: stretches.iter().map(Edge::length).sum(),
            stretches,
            sides: 2,
            all_round: false,
            leg: Some(leg),
            note: String::new(),
        });
        let face = Self {
            arcs: self.arcs.iter().flat_map(|arc| surviving(arc, &blank)).collect(),
            welds: self.welds.iter().filter_map(weld).chain(seam).collect(),
            bevels: self.bevels.iter().filter_map(bevel).collect(),
            copes: self.copes.iter().copied().chain([cope]).collect(),
            edges,
            blank,
            ..self.clone()
        };
        Ok(Some((face, indices)))
    }
}
