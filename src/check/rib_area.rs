//! An area between ribs that gets no opening, or several because of holes.
//!
//! # Looks for
//! An entry of `lighten` with `ribs`: what they and the walls of the outline leave between them
//! are its areas. An area that gets no opening because the walls of holes leave no room for its
//! corners, and one that they split into several openings.
//!
//! # Why it matters
//! Ribs are drawn for one opening in each area. A part with some areas whole and others
//! not is heavier than intended and out of balance if it rotates, and seldom what was intended.
//!
//! # Example
//! A disc with five spokes and four holes, made smaller: three openings are left, on one side.
//!
//! # Remedy
//! Make `wall` or `round` smaller, move the holes towards the hub, the outer edge or a rib, or make the
//! face larger. Where it is intended, draw the ribs so that they end at the walls of those holes, or
//! keep the openings to a shape with `within`.
//!
//! # Source
//! Geometry.

use crate::check::subject::Subject;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::flat::spot;
use crate::geom::Bounds;
use crate::part::Face;
use crate::part::Lighten;
use crate::part::RibArea;

const CODE: &str = "rib-area";

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let faces = subject.part.faces.iter().enumerate();
    let entries = faces.flat_map(|(i, face)| {
        let pairs = face.lighten.iter().zip(&face.lightened);
        // If nothing can be cut, that is reported.
        let some = pairs.filter(|(_, cut)| !cut.openings.is_empty());
        some.map(move |(asked, cut)| (i, face, asked, cut.areas.as_slice()))
    });
    let uneven = |area: &&RibArea| area.openings != 1;
    let finding = |(i, face, asked, areas): (usize, &Face, &Lighten, &[RibArea])| {
        let found: Vec<&RibArea> = areas.iter().filter(uneven).collect();
        (!found.is_empty()).then(|| of_entry(subject, (i, face), asked, areas.len(), &found))
    };
    entries.filter_map(finding).collect()
}

/// The finding about an entry with `areas` areas, of which `found` are whole or split.
fn of_entry(
    subject: &Subject,
    (i, face): (usize, &Face),
    asked: &Lighten,
    areas: usize,
    found: &[&RibArea],
) -> Finding {
    let whole = found.iter().filter(|area| area.openings == 0).count();
    let split = found.len() - whole;
    let does = match (whole, split) {
        (whole, 0) => format!("leaves {whole} of {areas} areas between ribs whole"),
        (0, split) => format!("splits {split} of {areas} areas between ribs"),
        (whole, split) => {
            format!("leaves {whole} of {areas} areas between ribs whole and splits {split}")
        }
    };
    let place = &subject.flat.places[i];
    let bounds = |area: &RibArea| -> Bounds { area.outline.moved(place).bounds() };
    let at = bounds(found[0]).centre() - subject.flat.region.bounds().min.to_vec2();
    let show = |mm: f64| subject.show(mm);
    let (wall, radius) = (show(asked.wall), show(asked.radius));
    let headline = format!(
        "this `lighten` {does}, at {}, {} of face `{}`: beside holes with walls of {wall} there is \
         no room for a radius of {radius}",
        show(at.x),
        show(at.y),
        face.name
    );
    let features = found.iter().map(|area| Feature::Spot(spot(bounds(area))));
    subject
        .finding(Weight::Caution, CODE, headline, &[], asked.span)
        .about(subject.of_part(features))
        .note("positions are in the part's file, from its lower left corner")
        .help("make `wall` or `round` smaller, move the holes, or make the face larger")
}
