//! Openings that lighten a face: their dimensions as numbers.
//!
//! They are cut when the face is cut back to its bends and all its holes are known:
//! [`crate::flat`] does that.

use crate::diag::Finding;
use crate::geom::NEAR;
use crate::part::lightened::Lighten;
use crate::part::lightened::Rib;
use crate::part::shape::shape;
use crate::part::values::Values;
use crate::recipe;

/// Maximum number of entries of a face: each is compared with those before. Our choice.
const MAX_ENTRIES: usize = 20;

/// Maximum number of ribs of an entry: each is compared with each opening. Our choice.
const MAX_RIBS: usize = 50;

/// The lightening of a face; `None` when something was reported.
pub(super) fn build(face: &recipe::Face, values: &Values, thickness: f64) -> Option<Vec<Lighten>> {
    let mut all = Vec::new();
    for lighten in &face.lighten {
        values.each(lighten.each.as_ref(), |values| {
            if values.holds(lighten.when.as_ref())? {
                if all.len() == MAX_ENTRIES {
                    return too_many(
                        "a face",
                        "entries of `lighten`",
                        MAX_ENTRIES,
                        lighten,
                        values,
                    );
                }
                all.push(one(lighten, values, thickness)?);
            }
            Some(())
        })?;
    }
    Some(all)
}

fn one(lighten: &recipe::Lighten, values: &Values, thickness: f64) -> Option<Lighten> {
    let wall = values.positive("lighten", "wall", &lighten.wall);
    let radius = values.positive("lighten", "round", &lighten.round);
    let smallest = lighten.smallest.as_ref();
    let smallest =
        smallest.map_or(Some(0.0), |smallest| values.positive("lighten", "smallest", smallest));
    let (wall, radius, smallest) = (wall?, radius?, smallest?);
    let within = match &lighten.within {
        Some(placed) => Some(shape(placed, values, thickness, None, lighten.span)?.0),
        None => None,
    };
    let mut ribs = Vec::new();
    for asked in &lighten.ribs {
        values.each(asked.each.as_ref(), |values| {
            values.around(asked.around.as_ref(), |values| {
                if ribs.len() == MAX_RIBS {
                    return too_many("a `lighten`", "ribs", MAX_RIBS, lighten, values);
                }
                ribs.push(rib(asked, wall, values)?);
                Some(())
            })
        })?;
    }
    Some(Lighten { wall, radius, smallest, within, ribs, span: lighten.span })
}

fn rib(rib: &recipe::Rib, wall: f64, values: &Values) -> Option<Rib> {
    let width =
        rib.width.as_ref().map_or(Some(wall), |width| values.positive("lighten", "width", width));
    let (from, to) = (values.point(&rib.from), values.point(&rib.to));
    let (width, from, to) = (width?, from?, to?);
    if (to - from).hypot() < NEAR {
        let finding = Finding::stop("lighten", "this rib has no length").at(rib.span, "");
        values.findings.add(finding.help("run it from one wall to another"));
        return None;
    }
    let turned = |at| values.turn.map_or(at, |turn| turn.apply(at));
    Some(Rib { from: turned(from), to: turned(to), width })
}

/// Reports more than there may be.
fn too_many<T>(
    of: &str,
    what: &str,
    max: usize,
    lighten: &recipe::Lighten,
    values: &Values,
) -> Option<T> {
    let headline = format!("{of} has at most {max} {what}, this has more");
    values.findings.add(Finding::stop("lighten", headline).at(lighten.span, "").help("use fewer"));
    None
}
