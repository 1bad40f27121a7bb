//! Plates of one line on separate sheets, and plates that lie on others.

use crate::diag::Finding;
use crate::diag::Span;
use crate::geom::Place;
use crate::job::Line;
use crate::recipe::Hand;
use crate::recipe::Recipe;
use crate::solve::solved::Solved;
use std::borrow::Cow;

/// A line on one sheet, and what of its recipe is made of it.
pub(super) type Made<'a> = (Cow<'a, Line>, Cow<'a, Recipe>);

/// What of a line is made of one sheet: the line with that sheet, the recipe without the faces
/// that are made of others.
pub(super) fn by_sheet<'a>(
    line: &'a Line,
    recipe: &'a Recipe,
) -> Result<Vec<Made<'a>>, Vec<Finding>> {
    if line.sheets.is_empty() {
        return Ok(vec![(Cow::Borrowed(line), Cow::Borrowed(recipe))]);
    }
    refuse(line, recipe)?;
    let own = |face: &str| line.sheets.iter().find(|(name, ..)| name == face).map(|of| of.1);
    let sheet_of = |face: &str| own(recipe.root(face)).unwrap_or(line.sheet);
    let mut sheets = vec![line.sheet];
    for (_, sheet, _) in &line.sheets {
        if !sheets.contains(sheet) {
            sheets.push(*sheet);
        }
    }
    let on = |sheet: usize| {
        let elsewhere = recipe.faces.keys().filter(|face| sheet_of(face) != sheet).cloned();
        let recipe = recipe.clone().without(elsewhere.collect());
        (Line { sheet, part_sheet: Some(line.sheet), ..line.clone() }, recipe)
    };
    let all = sheets.into_iter().map(on);
    let some = all.filter(|(_, recipe)| recipe.elsewhere.len() < recipe.faces.len());
    Ok(some.map(|(line, recipe)| (Cow::Owned(line), Cow::Owned(recipe))).collect())
}

/// Refuses sheets for faces that do not exist or are not separate plates.
fn refuse(line: &Line, recipe: &Recipe) -> Result<(), Vec<Finding>> {
    let one = |(face, _, span): &(String, usize, Span)| {
        let root = recipe.root(face);
        recipe.no_face(face, *span).or_else(|| {
            let headline = format!("face `{face}` is bent from the sheet of face `{root}`");
            let finding = Finding::stop("bad-name", headline).at(*span, "");
            (root != face).then(|| finding.help(format!("name `{root}`, or leave it out")))
        })
    };
    let found: Vec<Finding> = line.sheets.iter().filter_map(one).collect();
    if found.is_empty() { Ok(()) } else { Err(found) }
}

/// The face of `lower` on which `upper` lies, by its index, and the place of `upper` in the drawing
/// of that face. Of hands, only the same lie on each other. A plate without hands is flipped over
/// in the left set, whether it lies on another or another lies on it.
pub(crate) fn seen(upper: &Solved, lower: &Solved) -> Option<(usize, Place)> {
    let laid = upper.part.laid.as_ref().filter(|_| upper.line == lower.line)?;
    let face = lower.part.faces.iter().position(|face| face.name == laid.on)?;
    let mirror = Place { mirrored: true, ..Place::default() };
    let place = match (upper.part.hand, lower.part.hand) {
        (None, Some(Hand::Left)) | (Some(Hand::Left), None) => laid.place.then(&mirror),
        (Some(upper), Some(lower)) if upper != lower => return None,
        _ => laid.place,
    };
    Some((face, place))
}
