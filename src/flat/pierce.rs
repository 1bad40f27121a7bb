//! The holes of all faces, made in the blank.

use crate::diag::Finding;
use crate::diag::HoleId;
use crate::flat::elsewhere::Elsewhere;
use crate::flat::elsewhere::There;
use crate::flat::pattern::FlatHole;
use crate::geom::NEAR;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Region;
use crate::geom::RegionError;
use crate::geom::area_distance;
use crate::part::Face;
use crate::part::Hole;
use crate::part::HoleSize;
use crate::part::Part;

type Pierced = (Region, Vec<FlatHole>);

/// The blank with the holes of all faces, each in the metal of its face.
pub(super) fn pierce(
    part: &Part,
    mut region: Region,
    places: &[Place],
    elsewhere: &Elsewhere,
) -> Result<Pierced, Vec<Finding>> {
    let mut findings: Vec<Finding> = Vec::new();
    let mut holes = Vec::new();
    for (f, face) in part.faces.iter().enumerate() {
        for (h, hole) in face.holes.iter().enumerate() {
            let outline = hole.outline.moved(&places[f]);
            let refused = match elsewhere.of(f, &outline) {
                Some(there) => strayed(face, hole, f > 0, &there),
                None => match region.clone().pierced(outline.clone()) {
                    Ok(pierced) => {
                        region = pierced;
                        holes.push(FlatHole { id: HoleId { face: f, hole: h }, outline });
                        continue;
                    }
                    Err(error) => {
                        let met = met(part, &holes, &outline);
                        refused(face, hole, f > 0, (&error, met))
                    }
                },
            };
            // One word for each set: its holes share a cause.
            if !findings.iter().any(|f| f.marks[0].span == hole.span) {
                findings.push(refused);
            }
        }
    }
    if findings.is_empty() { Ok((region, holes)) } else { Err(findings) }
}

/// What to do where a hole of a flange would be on it with the other sign of its x.
fn other_sign(face: &Face, hole: &Hole, is_carried: bool) -> Option<&'static str> {
    let swapped = Place { mirrored: true, ..Place::default() };
    let is_there =
        || Region::solid(face.blank.outer().clone()).pierced(hole.outline.moved(&swapped)).is_ok();
    (is_carried && is_there()).then_some(
        "change the sign of its x: in a flange, seen from the top side with y up, x points to the \
         right",
    )
}

/// A hole that would be made outside its face, where its own numbers no longer say where it is.
fn strayed(face: &Face, hole: &Hole, is_carried: bool, there: &There) -> Finding {
    let own = &face.name;
    let (headline, to) = match there {
        There::Face(other) => (
            format!("hole `{}` of face `{own}` is in face `{other}`, beyond a bend", hole.name),
            format!("list it in face `{other}`, in that face's own coordinates"),
        ),
        There::Bend(bend) => (
            format!("hole `{}` of face `{own}` is in bend `{bend}`, beyond another", hole.name),
            "list it in the face it belongs to, in that face's own coordinates".to_owned(),
        ),
    };
    let help = match other_sign(face, hole, is_carried) {
        Some(help) => help.to_owned(),
        None => format!(
            "move it onto face `{own}`, or {to}, or draw both as one face with a fold line, \
             `across`: a row then continues across the bend, with its pitch measured on the flat"
        ),
    };
    Finding::stop("hole-outside", headline)
        .at(hole.span, "")
        .note("a hole belongs to the face that lists it, which ends at its outline as drawn")
        .help(help)
}

/// The hole that is there already where another would be made.
fn met<'a>(part: &'a Part, holes: &[FlatHole], outline: &Outline) -> Option<&'a Hole> {
    let meets = |other: &&FlatHole| area_distance(&other.outline, outline) < NEAR;
    holes.iter().find(meets).map(|other| &part.faces[other.id.face].holes[other.id.hole])
}

/// A hole for which there is no metal, with the hole that is there already.
fn refused(
    face: &Face,
    hole: &Hole,
    is_carried: bool,
    (error, met): (&RegionError, Option<&Hole>),
) -> Finding {
    let overlaps = *error == RegionError::Meets;
    let headline = match overlaps {
        true => format!("hole `{}` overlaps another opening of face `{}`", hole.name, face.name),
        false => format!("hole `{}` runs off face `{}`", hole.name, face.name),
    };
    let of_row = matches!(hole.size, HoleSize::Slot { .. }) && hole.name != hole.set();
    let sign = other_sign(face, hole, is_carried).filter(|_| !overlaps);
    let help = match sign {
        None if overlaps && of_row => {
            "the slots of a row lie end to end, whatever its `rotate`; with `across = true` in `row` \
             they lie side by side; or make its `pitch` larger"
        }
        None if overlaps => "move one of them, or make one of them smaller",
        help => help.unwrap_or("move it, make it smaller, or make the face larger"),
    };
    let finding = Finding::stop("hole-outside", headline).at(hole.span, "").help(help);
    match met.filter(|_| overlaps) {
        Some(met) if met.span == hole.span => finding.note(format!("it meets hole `{}`", met.name)),
        Some(met) => finding.at(met.span, format!("hole `{}`", met.name)),
        None => finding,
    }
}
