//! Values to a part: faces joined by bends.
//!
//! Each face is drawn in its own plane, by its outside (or inside) measures as one
//! would take them on the finished piece; [`crate::flat`] takes off what the bends
//! use up. In the face that a bend carries, x runs along the edge from its middle
//! and y away from it.

mod blank;
mod captured;
mod clevis;
mod hands;
mod holes;
mod marks;
mod relief;
mod tongue;
mod tree;
mod values;

use crate::bend;
use crate::bend::Development;
use crate::bend::Trust;
use crate::diag::Finding;
use crate::diag::Span;
use crate::diag::instead;
use crate::document::Findings;
use crate::formula::Value;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Region;
use crate::recipe::CornerShape;
use crate::recipe::Grain;
use crate::recipe::Making;
use crate::recipe::Measured;
use crate::recipe::Params;
use crate::recipe::Recipe;
use crate::recipe::ReliefShape;
use crate::table::Tables;
pub use captured::Captured;
pub use clevis::Clevis;
pub use marks::Mark;
pub use marks::Marked;
use values::Values;

/// A part, ready to be unfolded.
///
/// # Guarantees
/// The first face carries all others through the bends, each face but the first is
/// carried by exactly one bend, and a bend stands after the bend that carries its face.
#[derive(Clone, Debug)]
pub struct Part {
    /// What tells it from the other parts of its set; empty when it is the only one.
    pub suffix: String,
    /// Thickness of the sheet, mm.
    pub thickness: f64,
    /// Its faces.
    pub faces: Vec<Face>,
    /// Its bends.
    pub bends: Vec<Bend>,
    /// Results worth telling.
    pub facts: Vec<Fact>,
    /// What of it holds a rod end.
    pub clevis: Option<Clevis>,
    /// The nut it holds in the bore of a tube.
    pub captured: Option<Captured>,
    /// Pieces in one set.
    pub copies: u32,
    /// Which direction of the first face lies along the grain.
    pub grain: Grain,
}

/// One flat piece, drawn in its own plane.
#[derive(Clone, Debug)]
pub struct Face {
    /// Its name.
    pub name: String,
    /// Its outline, without the holes listed beside it.
    pub blank: Region,
    /// The edges that have names and are still there.
    pub edges: Vec<NamedEdge>,
    /// Its holes.
    pub holes: Vec<Hole>,
    /// What is scribed or etched on it.
    pub marks: Vec<Mark>,
    /// Its edges that are welded.
    pub welds: Vec<Weld>,
}

/// A note that an edge is welded.
#[derive(Clone, Debug)]
pub struct Weld {
    /// Name of the edge.
    pub edge: String,
    /// Length of the seam, mm.
    pub length: f64,
    /// The pieces of the rim it follows, metal to their left.
    pub stretches: Vec<Edge>,
    /// On how many sides of the plate there is a fillet: 1 or 2.
    pub sides: u32,
    /// Whether the fillet goes right round the plate at this edge.
    pub all_round: bool,
    /// Leg of the fillet, mm, where it is said.
    pub leg: Option<f64>,
    /// What else to know.
    pub note: String,
}

/// A straight stretch of the outline with a name; metal lies to its left.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedEdge {
    /// Its name.
    pub name: String,
    /// The stretch.
    pub edge: Edge,
}

/// The size of a hole as it is cut, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum HoleSize {
    /// Round.
    Round {
        /// Across.
        diameter: f64,
    },
    /// Round-ended.
    Slot {
        /// Across.
        width: f64,
        /// Over all.
        length: f64,
    },
    /// Six-sided.
    Hexagon {
        /// Across flats.
        flats: f64,
    },
    /// For a tongue.
    Mortise {
        /// Across, for the thickness of the tongue.
        width: f64,
        /// Over all, without the reliefs.
        length: f64,
        /// Radius about each corner.
        relief: f64,
    },
}

/// One hole.
#[derive(Clone, Debug)]
pub struct Hole {
    /// Name of its set, with a number where there are several.
    pub name: String,
    /// What is cut.
    pub outline: Outline,
    /// Its middle.
    pub at: Point,
    /// The size that is cut.
    pub size: HoleSize,
    /// Diameter in the end, where it is made larger later, mm.
    pub finished: Option<f64>,
    /// How it comes to its final size.
    pub making: Making,
    /// What goes through.
    pub through: Option<String>,
    /// Diameter of what goes through, mm, where that is a row of a table.
    pub pin: Option<f64>,
    /// Whether it takes a pin on which the plate hangs, and not a bolt that clamps it.
    pub eye: bool,
    /// Its entry in the recipe.
    pub span: Span,
    /// The names its size and place depend on.
    pub depends: Vec<String>,
}

/// One bend between two faces.
#[derive(Clone, Debug)]
pub struct Bend {
    /// Its name.
    pub name: String,
    /// The face it stands on.
    pub from: usize,
    /// Index of the edge it stands on, in that face.
    pub edge: usize,
    /// The face it carries.
    pub to: usize,
    /// What it uses up.
    pub bend: bend::Bend,
    /// On whose word it is computed so.
    pub by: Trust,
    /// Towards the viewer of the first face, or away.
    pub up: bool,
    /// To where the faces beside it are drawn.
    pub measured: Measured,
    /// How far the carried face is shifted along its own x from the middle of the edge, mm.
    pub aside: f64,
    /// What is cut beside its ends.
    pub relief: Relief,
    /// How far the carried face reaches beside a flange on the next edge.
    pub corner: CornerShape,
    /// Clear distance of the two flanges at such a corner, mm, where the recipe says.
    pub gap: Option<f64>,
    /// Whether the ends of its line are marked.
    pub ticks: bool,
    /// Its entry in the recipe.
    pub span: Span,
    /// The names its radius depends on.
    pub depends: Vec<String>,
}

impl Bend {
    /// From the line to which the faces beside it are drawn back to where it begins, mm.
    pub fn drawn_setback(&self) -> f64 {
        match self.measured {
            Measured::Outside => self.bend.setback(),
            Measured::TangentOutside => self.bend.caliper_setback(),
            Measured::Inside => self.bend.inside_setback(),
            Measured::Tangent => 0.0,
        }
    }

    /// From that line out to what a caliper reads along a leg, mm; less than 0 where a leg
    /// is drawn to a sharp corner farther out.
    pub fn to_caliper(&self) -> f64 {
        self.bend.caliper_setback() - self.drawn_setback()
    }
}

/// A cut beside the end of a bend.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Relief {
    /// Its shape.
    pub shape: ReliefShape,
    /// Across, or the diameter of a hole, mm.
    pub width: f64,
    /// How far it reaches behind the line where the bend begins, mm.
    pub depth: f64,
}

/// A result worth telling.
#[derive(Clone, Debug)]
pub struct Fact {
    /// Its name.
    pub name: String,
    /// Its value.
    pub value: Value,
    /// One sentence.
    pub about: String,
}

/// Builds the parts that a recipe and its values describe: most often one; several for
/// a weldment of loose plates, and for bent parts that are needed in both hands. A bend
/// goes by what `development` has under its name, else by its recipe, else by what is
/// usual there. `name` is for the words that are marked on the parts.
///
/// # Errors
/// Everything that cannot be built, each with its place in the recipe.
pub fn build(
    recipe: &Recipe,
    params: &Params,
    tables: &Tables,
    development: impl Into<Development>,
    name: &str,
) -> Result<Vec<Part>, Vec<Finding>> {
    let development = development.into();
    let findings = Findings::default();
    let values = Values { params, tables, findings: &findings };
    let Some(thickness) = params.get("thickness").and_then(values::as_length) else {
        return Err(vec![Finding::stop("missing-input", "the sheet has no thickness")]);
    };
    let faces: Vec<Face> = recipe
        .faces
        .iter()
        .filter_map(|(name, face)| one_face(name, face, &values, thickness))
        .collect();
    let mut parts = Vec::new();
    if findings.is_empty() {
        parts = tree::parts(recipe, faces, &values, &development);
        marks::tick(recipe, &mut parts, &values);
    }
    let facts = recipe.facts.iter().filter_map(|fact| {
        let value = values.value(&fact.value)?;
        Some(Fact { name: fact.name.clone(), value, about: fact.about.clone() })
    });
    let facts: Vec<Fact> = facts.collect();
    if let Some(first) = parts.first_mut() {
        first.facts = facts;
    }
    if !parts.is_empty() {
        clevis::add(recipe, &mut parts, &values);
        captured::add(recipe, &mut parts, &values);
    }
    if recipe.mirror {
        parts = hands::both(parts);
    }
    for part in &mut parts {
        // One slip is one finding, however many parts have it.
        if findings.is_empty() {
            let name = format!("{name}{}", part.suffix);
            marks::letter(part, &name, &values);
        }
    }
    let findings = findings.take();
    if findings.is_empty() { Ok(parts) } else { Err(findings) }
}

/// The index of the one edge of a name; the words and the remedy when there is none, or
/// when it was cut into pieces.
fn only_edge(edges: &[NamedEdge], name: &str) -> Result<usize, (String, String)> {
    let mut found = edges.iter().enumerate().filter(|(_, e)| e.name == name).map(|(i, _)| i);
    match (found.next(), found.count()) {
        (Some(i), 0) => Ok(i),
        (Some(_), more) => Err((
            format!("edge `{name}` is in {} pieces", more + 1),
            "give the piece that is meant a name of its own, at a corner of a polygon".into(),
        )),
        (None, _) if edges.is_empty() => Err((
            format!("there is no straight edge `{name}`"),
            "give a straight edge its name with `edge = \"…\"`".into(),
        )),
        (None, _) => {
            let mut names: Vec<&str> = edges.iter().map(|e| e.name.as_str()).collect();
            names.dedup();
            let help = instead(name, &names, "its named edges are");
            Err((format!("there is no straight edge `{name}`"), help))
        }
    }
}

fn one_face(
    name: &str,
    face: &crate::recipe::Face,
    values: &Values,
    thickness: f64,
) -> Option<Face> {
    let blank::Blank { region, edges, coped } = blank::build(face, values, thickness)?;
    let holes = holes::build(face, &region, &edges, values)?;
    let mut welds = Vec::new();
    for weld in &face.welds {
        let straight = edges.iter().filter(|e| e.name == weld.edge).map(|e| e.edge);
        let curved = coped.iter().filter(|(name, _)| *name == weld.edge).flat_map(|c| c.1.clone());
        let stretches: Vec<Edge> = straight.chain(curved).collect();
        let length: f64 = stretches.iter().map(Edge::length).sum();
        if length == 0.0 {
            let straight = edges.iter().map(|e| e.name.as_str());
            let mut names: Vec<&str> = straight.chain(coped.iter().map(|c| c.0.as_str())).collect();
            names.dedup();
            let headline = format!("face `{name}` has no edge `{}` to weld", weld.edge);
            let help = instead(&weld.edge, &names, "its named edges are");
            values.findings.add(Finding::stop("weld", headline).at(weld.span, "").help(help));
            return None;
        }
        let leg = match &weld.leg {
            Some(leg) => Some(values.length(leg)?),
            None => None,
        };
        welds.push(Weld {
            edge: weld.edge.clone(),
            length,
            stretches,
            sides: weld.sides,
            all_round: weld.all_round,
            leg,
            note: weld.note.clone(),
        });
    }
    let marks = marks::build(face, values)?;
    Some(Face { name: name.to_owned(), blank: region, edges, holes, marks, welds })
}
