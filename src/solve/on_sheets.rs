//! Plates of one line on sheets of their own, and plates that lie on others.

use crate::diag::About;
use crate::diag::Finding;
use crate::diag::instead_of;
use crate::geom::Place;
use crate::geom::Point;
use crate::job::Line;
use crate::part::Hole;
use crate::recipe::Recipe;
use crate::solve::solved::Solved;
use std::borrow::Cow;

/// Holes of two plates are one above the other when their centres are no farther apart, mm. Our
/// choice.
const COAXIAL: f64 = 0.01;

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

/// Refuses sheets of faces that are not there or are no plates of their own.
fn refuse(line: &Line, recipe: &Recipe) -> Result<(), Vec<Finding>> {
    let names: Vec<&str> = recipe.faces.keys().map(String::as_str).collect();
    let one = |(face, _, span): &(String, usize, _)| {
        let (headline, help) = if !names.contains(&face.as_str()) {
            let headline = format!("recipe `{}` has no face `{face}`", recipe.name);
            (headline, instead_of(face, &names, "its face"))
        } else if recipe.root(face) != face {
            let root = recipe.root(face);
            let headline = format!("face `{face}` is bent from the sheet of face `{root}`");
            (headline, format!("name `{root}`, or leave it out"))
        } else {
            return None;
        };
        Some(Finding::stop("bad-name", headline).at(*span, "").help(help))
    };
    let found: Vec<Finding> = line.sheets.iter().filter_map(one).collect();
    if found.is_empty() { Ok(()) } else { Err(found) }
}

/// Where a hole of `upper` is in the drawing of the face of `lower` on which it lies.
pub(super) fn seen(upper: &Solved, lower: &Solved) -> Option<Place> {
    let laid = upper.part.laid.as_ref()?;
    if upper.line != lower.line || lower.part.faces.iter().all(|face| face.name != laid.on) {
        return None;
    }
    let hand = |solved: &Solved| {
        ["-right", "-left"].into_iter().find(|hand| solved.part.suffix.ends_with(hand))
    };
    let mirror = Place { mirrored: true, ..Place::default() };
    match (hand(upper), hand(lower)) {
        // A plate without hands is flipped over for the left one.
        (None, Some("-left")) => Some(laid.place.then(&mirror)),
        (Some(a), Some(b)) if a != b => None,
        _ => Some(laid.place),
    }
}

/// The hole of a face at a point.
fn hole_at<'a>(lower: &'a Solved, face: &str, at: Point) -> Option<&'a Hole> {
    let face = lower.part.faces.iter().find(|of| of.name == face)?;
    face.holes.iter().find(|hole| (hole.at - at).hypot() < COAXIAL)
}

/// Whether a bolt of a hole of `upper` is that of a plate below it.
pub(crate) fn is_bolted_below(upper: &Solved, hole: &Hole, all: &[Solved]) -> bool {
    let Some(laid) = &upper.part.laid else { return false };
    all.iter().any(|lower| {
        let at = seen(upper, lower).map(|place| place.apply(hole.at));
        let below = at.and_then(|at| hole_at(lower, &laid.on, at));
        below.is_some_and(|below| below.through.is_some())
    })
}

/// What lies on the plate at a hole and is clamped with it, mm; and the hole above it that is made
/// for the head.
pub(crate) fn clamped_above<'a>(
    lower: &Solved,
    hole: &Hole,
    all: &'a [Solved],
) -> (f64, Option<&'a Hole>) {
    let (mut clamped, mut head) = (0.0, None);
    for upper in all {
        let (Some(place), Some(laid)) = (seen(upper, lower), &upper.part.laid) else { continue };
        let is_face = |face: &crate::part::Face| face.name == laid.on;
        let face = lower.part.faces.iter().find(|face| is_face(face));
        if face.is_none_or(|face| face.holes.iter().all(|own| !std::ptr::eq(own, hole))) {
            continue;
        }
        let above = upper.part.holes().map(|(_, above)| above);
        let above = above.filter(|above| above.through.is_some());
        let at = |above: &&Hole| (place.apply(above.at) - hole.at).hypot() < COAXIAL;
        if let Some(above) = above.into_iter().find(at) {
            let (more, top) = clamped_above(upper, above, all);
            clamped += upper.part.thickness * f64::from(laid.pieces) + more;
            head = head.or(top).or(Some(above).filter(|above| above.recess.is_some()));
        }
    }
    (clamped, head)
}

/// What is wrong between plates that lie on each other: a hole for a bolt over none, or one that
/// is covered.
pub(super) fn bolted_through(solved: &[Solved]) -> Vec<Finding> {
    let mut found = Vec::new();
    for upper in solved {
        let Some(laid) = &upper.part.laid else { continue };
        for lower in solved {
            let Some(place) = seen(upper, lower) else { continue };
            let refuse = |hole: &Hole, headline: String| {
                Finding::stop("laid-plate", headline)
                    .about(About::part(&upper.name))
                    .at(hole.span, "")
                    .at(laid.span, "it lies there")
                    .help("give both plates a hole there, or move one of them")
            };
            let on = &laid.on;
            for (_, hole) in upper.part.holes().filter(|(_, hole)| hole.through.is_some()) {
                if hole_at(lower, on, place.apply(hole.at)).is_none() {
                    let headline = format!("face `{on}` has no hole below `{}`", hole.name);
                    found.push(refuse(hole, headline));
                }
            }
            let face = lower.part.faces.iter().filter(|face| face.name == *on);
            let bolts = face.flat_map(|face| &face.holes).filter(|hole| hole.through.is_some());
            for hole in bolts.filter(|hole| covers(upper, &place, hole.at)) {
                let name = &upper.part.faces[0].name;
                let headline = format!("face `{name}` has no hole above `{}`", hole.name);
                found.push(refuse(hole, headline));
            }
        }
    }
    found
}

/// Whether the metal of a plate is over a point of the face it lies on.
fn covers(upper: &Solved, place: &Place, at: Point) -> bool {
    let face = &upper.part.faces[0];
    let is_within = |outline: &crate::geom::Outline| outline.moved(place).contains(at);
    let openings = face.holes.iter().map(|hole| &hole.outline).chain(face.blank.holes());
    is_within(face.blank.outer()) && !openings.into_iter().any(is_within)
}
