//! Values to a part: faces joined by bends.
//!
//! Each face is drawn in its own plane, by its outside (or inside) measures as one
//! would take them on the finished piece; [`crate::flat`] takes off what the bends
//! use up. In the face that a bend carries, x runs along the edge from its middle
//! and y away from it.

mod blank;
mod holes;
mod values;

use crate::bend;
use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Findings;
use crate::formula::Value;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Region;
use crate::num::Angle;
use crate::quantity::Dimension;
use crate::recipe::Grain;
use crate::recipe::Making;
use crate::recipe::Measured;
use crate::recipe::Params;
use crate::recipe::Recipe;
use crate::table::Tables;
use values::Values;

/// A part, ready to be unfolded.
///
/// # Guarantees
/// The first face carries all others through the bends, each face but the first is
/// carried by exactly one bend, and a bend stands after the bend that carries its face.
#[derive(Clone, Debug)]
pub struct Part {
    /// Thickness of the sheet, mm.
    pub thickness: f64,
    /// Its faces.
    pub faces: Vec<Face>,
    /// Its bends.
    pub bends: Vec<Bend>,
    /// Results worth telling.
    pub facts: Vec<Fact>,
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
    /// Towards the viewer of the first face, or away.
    pub up: bool,
    /// To where the faces beside it are drawn.
    pub measured: Measured,
    /// Its entry in the recipe.
    pub span: Span,
    /// The names its radius depends on.
    pub depends: Vec<String>,
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

/// Builds the part that a recipe and its values describe.
///
/// # Errors
/// Everything that cannot be built, each with its place in the recipe.
pub fn build(
    recipe: &Recipe,
    params: &Params,
    tables: &Tables,
    method: bend::Method,
) -> Result<Part, Vec<Finding>> {
    let findings = Findings::default();
    let values = Values { params, tables, findings: &findings };
    let Some(thickness) = params.get("thickness").and_then(values::as_length) else {
        return Err(vec![Finding::stop("missing-input", "the sheet has no thickness")]);
    };
    let faces: Vec<Face> = recipe
        .faces
        .iter()
        .filter_map(|(name, face)| {
            let (blank, edges) = blank::build(face, &values, thickness)?;
            let holes = holes::build(face, &blank, &edges, &values)?;
            Some(Face { name: name.clone(), blank, edges, holes })
        })
        .collect();
    let bends = if findings.is_empty() { bends(recipe, &faces, &values, method) } else { vec![] };
    let facts = recipe.facts.iter().filter_map(|fact| {
        let value = values.value(&fact.value)?;
        Some(Fact { name: fact.name.clone(), value, about: fact.about.clone() })
    });
    let facts = facts.collect();
    let findings = findings.take();
    if !findings.is_empty() {
        return Err(findings);
    }
    let copies = recipe.copies;
    Ok(Part { thickness, faces, bends, facts, copies, grain: recipe.grain })
}

/// The bends, those nearer to the first face first.
fn bends(recipe: &Recipe, faces: &[Face], values: &Values, method: bend::Method) -> Vec<Bend> {
    let mut bends: Vec<Bend> = recipe
        .bends
        .iter()
        .filter_map(|(name, bend)| one_bend(name, bend, faces, values, method))
        .collect();
    let mut carried = vec![false; faces.len()];
    let mut ordered: Vec<Bend> = Vec::new();
    if let Some(first) = carried.first_mut() {
        *first = true;
    }
    while let Some(i) = bends.iter().position(|b| carried[b.from] && !carried[b.to]) {
        let bend = bends.remove(i);
        carried[bend.to] = true;
        ordered.push(bend);
    }
    for bend in bends {
        let (from, to) = (&faces[bend.from].name, &faces[bend.to].name);
        values.findings.add(
            Finding::stop(
                "bend-tree",
                format!("bend `{}` closes a ring or hangs in the air", bend.name),
            )
            .at(bend.span, "")
            .note(format!(
                "it joins `{from}` to `{to}`; each face hangs on one bend, the first on none"
            ))
            .help("let every face but the first stand in one bend's `to`"),
        );
    }
    for (i, face) in faces.iter().enumerate() {
        if !carried[i] && values.findings.is_empty() {
            let span = recipe.faces[&face.name].span;
            values.findings.add(
                Finding::stop("bend-tree", format!("face `{}` hangs on no bend", face.name))
                    .at(span, "")
                    .help("add a `[bend.NAME]` that carries it, or make it a recipe of its own"),
            );
        }
    }
    let mut taken: Vec<(usize, usize)> = Vec::new();
    for bend in &ordered {
        if taken.contains(&(bend.from, bend.edge)) {
            let edge = &faces[bend.from].edges[bend.edge].name;
            values.findings.add(
                Finding::stop("bend-tree", format!("edge `{edge}` carries two bends"))
                    .at(bend.span, "")
                    .help("give each bend an edge of its own"),
            );
        }
        taken.push((bend.from, bend.edge));
    }
    ordered
}

fn one_bend(
    name: &str,
    bend: &crate::recipe::Bend,
    faces: &[Face],
    values: &Values,
    method: bend::Method,
) -> Option<Bend> {
    let refuse = |headline: String, help: String| {
        values.findings.add(Finding::stop("bend", headline).at(bend.span, "").help(help));
    };
    let face = |wanted: &str| {
        let found = faces.iter().position(|f| f.name == wanted);
        if found.is_none() {
            let names: Vec<&str> = faces.iter().map(|f| f.name.as_str()).collect();
            refuse(
                format!("bend `{name}` speaks of a face `{wanted}`"),
                format!("faces are {}", names.join(", ")),
            );
        }
        found
    };
    let (from, to) = (face(&bend.from)?, face(&bend.to)?);
    let edges = &faces[from].edges;
    let Some(edge) = edges.iter().position(|e| e.name == bend.edge) else {
        let names: Vec<&str> = edges.iter().map(|e| e.name.as_str()).collect();
        refuse(
            format!("face `{}` has no straight edge `{}`", bend.from, bend.edge),
            format!("its named edges are {}", names.join(", ")),
        );
        return None;
    };
    let turn = Angle::from_degrees(values.number(&bend.turn, Dimension::ANGLE)?);
    let radius = match &bend.radius {
        Some(expr) => values.length(expr)?,
        None => values.params.get("bend_radius").and_then(values::as_length)?,
    };
    let thickness = values.params.get("thickness").and_then(values::as_length)?;
    let made = match bend::Bend::new(thickness, radius, turn, method) {
        Ok(made) => made,
        Err(error) => {
            refuse(error.to_string(), "change the angle, the radius or the sheet".into());
            return None;
        }
    };
    let names = bend.radius.iter().flat_map(|e| e.formula.names());
    let depends = names.map(str::to_owned).collect();
    Some(Bend {
        name: name.to_owned(),
        from,
        edge,
        to,
        bend: made,
        up: bend.up,
        measured: bend.measured,
        span: bend.span,
        depends,
    })
}
