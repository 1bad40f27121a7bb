//! Values to a part: faces joined by bends.
//!
//! Each face is drawn in its own plane, by its outside (or inside) dimensions as one
//! would measure them on the finished piece; [`crate::flat`] deducts the bend deductions. In the
//! face that a bend carries, x runs along the edge from its midpoint and y away from it.

mod bead;
mod bears;
mod bevel;
mod blank;
mod captured;
mod carried;
mod clevis;
mod cut_folded;
mod depends;
mod disc_fit;
mod drawn_holes;
mod edges;
mod face;
mod flange;
mod flare;
mod fold_line;
mod hands;
mod hole_size;
mod holes;
mod insert;
mod joint;
mod keyway;
mod left;
mod lighten;
mod lightened;
mod made;
mod marks;
mod mate;
mod obstacle;
mod obstacles;
mod passing;
mod pattern;
mod pieces;
mod polygon;
mod recess;
mod rectangle;
mod relief;
mod repeated;
mod seat;
mod section;
mod shape;
mod space;
mod space_tube;
mod spacing;
mod stretches;
mod sweep;
mod thread;
mod through;
mod tongue;
mod tree;
mod tube;
mod values;
mod welds;
mod whole;
mod zone;

use crate::bend::Development;
use crate::diag::Finding;
use crate::document::Findings;
use crate::geom::Edge;
use crate::geom::Place;
use crate::part::stretches::Stretches;
use crate::recipe::Params;
use crate::recipe::Recipe;
use crate::table::Tables;
pub use bead::Bead;
pub use bears::Bears;
pub use bevel::Bevel;
pub use face::Cope;
pub use face::CornerStep;
pub use face::Face;
pub use face::Hole;
pub use face::HoleSize;
pub use face::Idle;
pub use face::LegRoom;
pub use face::Mark;
pub use face::Marked;
pub use face::NamedEdge;
pub use face::UsedFile;
pub use face::Weld;
pub(crate) use face::set_of;
pub(crate) use face::told_together;
pub use flare::Flare;
pub use insert::Insert;
pub use joint::Bend;
pub use joint::Relief;
pub use joint::Ticks;
pub(crate) use left::along;
pub use lightened::Lighten;
pub use lightened::Lightened;
pub use lightened::Rib;
pub use lightened::RibArea;
pub(crate) use mate::coped_to;
pub use obstacle::Obstacle;
pub use recess::Recess;
pub(crate) use seat::Seat;
pub(crate) use seat::seat;
pub use space_tube::Passing;
use space_tube::SpaceTubes;
use std::cell::Cell;
pub(crate) use tube::Coped;
pub use tube::Tube;
use values::Values;
pub use whole::Captured;
pub use whole::Clevis;
pub use whole::Fact;
pub use whole::Laid;
pub use whole::Part;
pub(crate) use zone::Worked;
pub use zone::Zone;

/// Builds the parts that a recipe and its values describe: most often one; several for
/// a weldment of loose plates, and for bent parts that are needed in both hands. A bend
/// follows the entry of `development` under its name, else its recipe, else the general rule.
/// `name` is for the words that are marked on the parts.
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
    let hand_asked = Cell::new(params.differ());
    let values = Values {
        recipe,
        params,
        tables,
        findings: &findings,
        locals: &[],
        hand_asked: &hand_asked,
        turn: None,
        tubes: &SpaceTubes::new(),
        on: None,
        carried: None,
    };
    let Some(thickness) = values.known("thickness") else {
        return Err(vec![Finding::stop("missing-input", "the sheet has no thickness")]);
    };
    let mut parts = one_hand(recipe, &values, &development, thickness);
    if recipe.mirror && hand_asked.get() && findings.is_empty() {
        let left = Values { params: &params.left(), ..values };
        let left = one_hand(recipe, &left, &development, thickness);
        parts = hands::unlike(parts, &left);
    } else if recipe.mirror {
        parts = hands::both(parts);
    }
    for part in &mut parts {
        // One error is one finding, however many parts share it.
        if findings.is_empty() {
            let name = format!("{name}{}", part.suffix);
            marks::letter(part, &name, &values);
        }
    }
    let findings = findings.take();
    if findings.is_empty() { Ok(parts) } else { Err(findings) }
}

/// The parts as drawn for one hand.
fn one_hand(
    recipe: &Recipe,
    values: &Values,
    development: &Development,
    thickness: f64,
) -> Vec<Part> {
    let Some(repeated) = repeated::bends(recipe, values) else { return Vec::new() };
    let recipe = repeated.as_ref().unwrap_or(recipe);
    let values = &Values { recipe, ..*values };
    let tubes = space::tubes(values);
    let values = &Values { tubes: &tubes, ..*values };
    let faces: Vec<Face> = flange::faces(values, |name, face, values| {
        space::in_face(face, values, |values| one_face(name, face, values, thickness))
    });
    if faces.is_empty()
        && recipe.elsewhere.is_empty()
        && values.findings.is_empty()
        && let Some(first) = recipe.faces.values().next()
    {
        values.findings.add(
            Finding::stop("bend-tree", "nothing is left: `when` leaves out every face")
                .at(first.span, "")
                .help("remove `when` from a face, or change the values"),
        );
    }
    let mut parts = Vec::new();
    if values.findings.is_empty() {
        parts = tree::parts(recipe, faces, values, development);
        marks::tick(recipe, &mut parts, values);
    }
    let facts = recipe.facts.iter().filter_map(|fact| {
        if !values.holds(fact.when.as_ref())? {
            return None;
        }
        let value = values.value(&fact.value)?;
        Some(Fact { name: fact.name.clone(), value, about: fact.about.clone() })
    });
    let facts: Vec<Fact> = facts.collect();
    let makes_first = recipe.faces.keys().next().is_some_and(|first| recipe.makes(first));
    if let Some(first) = parts.first_mut().filter(|_| makes_first) {
        first.facts = facts;
    }
    if !parts.is_empty() {
        clevis::add(recipe, &mut parts, values);
        captured::add(recipe, &mut parts, values);
        cut_folded::add(recipe, &mut parts, values);
        passing::add(recipe, &mut parts, values);
    }
    parts
}

/// The marks of an outline file.
fn drawn_marks(of: &blank::FromFile) -> Vec<face::Mark> {
    let mark = |strokes: &Vec<Edge>| face::Mark {
        said: None,
        what: face::Marked::Strokes(vec![strokes.clone()]),
        place: Place::default(),
        span: of.span,
    };
    of.marks.iter().map(mark).collect()
}

fn one_face(
    name: &str,
    face: &crate::recipe::Face,
    values: &Values,
    thickness: f64,
) -> Option<Face> {
    let blank::Blank { region, edges, arcs, coped, gone, files, idle, copes, tongues } =
        blank::build(face, values, thickness)?;
    let (region, drawn) = drawn_holes::take(region, &files);
    let holes = {
        let named = [edges.as_slice(), &arcs].concat();
        holes::build(face, &region, &named, drawn, values)?
    };
    let named: Vec<(&str, Edge)> = edges
        .iter()
        .chain(&arcs)
        .map(|named| (named.name.as_str(), named.edge))
        .chain(coped.iter().flat_map(|(name, edges)| edges.iter().map(|e| (name.as_str(), *e))))
        .collect();
    let named = Stretches { face: name, named: &named, gone: &gone };
    let bevels = bevel::build(face, named, thickness, values)?;
    let beads = bead::build(face, values)?;
    let welds = welds::build(face, named, values)?;
    let lighten = lighten::build(face, values, thickness)?;
    let mut marks = marks::build(face, values)?;
    marks.extend(files.iter().flat_map(drawn_marks));
    let bend_lines = files.iter().flat_map(|of| of.bends.clone()).collect();
    let obstacles = obstacles::build(face, values, thickness)?;
    let files = files.into_iter().map(|of| of.file).collect();
    let made = Face {
        name: name.to_owned(),
        blank: region,
        edges,
        arcs,
        holes,
        lighten,
        lightened: Vec::new(),
        marks,
        welds,
        bevels,
        beads,
        obstacles,
        bend_lines,
        files,
        idle,
        copes,
        tongues,
    };
    Some(if face.mirrored { hands::mirrored(&made) } else { made })
}
