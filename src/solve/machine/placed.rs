//! Where the pieces of parts are in the machine: by the frame of their drawing, or by holes.

use crate::check::BLUNDER;
use crate::check::MEASURED;
use crate::diag::About;
use crate::diag::Finding;
use crate::diag::HoleId;
use crate::diag::Span;
use crate::diag::instead;
use crate::geom::Frame;
use crate::geom::Space;
use crate::geom::length;
use crate::geom::minus;
use crate::job::By;
use crate::job::PiecePosition;
use crate::job::through;
use crate::part::Hole;
use crate::quantity::Units;
use crate::solve::solved::Solved;

/// The geometry of a part that is placed in the machine.
pub(super) struct Placed<'a> {
    /// Its pieces, each with its frame.
    pub(super) pieces: Vec<(&'a Solved, Frame)>,
    /// The caution on its holes.
    pub(super) caution: Option<Finding>,
}

/// The pieces of a part that a place is given for; findings have lengths in these units.
pub(super) fn placed<'a>(
    stand: &PiecePosition,
    own: &[&'a Solved],
    units: Units,
) -> Result<Placed<'a>, Finding> {
    let named = |of: &&&Solved| match &stand.face {
        Some((name, _)) => of.part.faces.iter().any(|face| face.name == *name),
        None => true,
    };
    let chosen: Vec<&Solved> = own.iter().filter(named).copied().collect();
    let mut faces: Vec<&str> = own.iter().map(|s| s.part.faces[0].name.as_str()).collect();
    faces.dedup();
    let Some(first) = chosen.first().copied() else {
        let (name, at) = stand.face.as_ref().map_or(("", stand.span), |(n, at)| (n, *at));
        let help = instead(name, &faces, "faces are");
        let headline = format!("the part has no face `{name}`");
        return Err(Finding::stop("bad-name", headline).at(at, "").help(help));
    };
    if let By::Holes(holes) = &stand.by {
        let (frame, caution) = by_holes(first, (holes, stand.span), units)?;
        return Ok(Placed { pieces: vec![(first, frame)], caution });
    }
    let By::Frame(frame) = &stand.by else { return Err(unplaced(stand)) };
    let in_space: Vec<(&Solved, Frame)> =
        chosen.iter().filter_map(|of| Some((*of, frame.within(&of.in_space()?)))).collect();
    let is_one = stand.face.is_some() || faces.len() == 1;
    match in_space.is_empty() {
        false => Ok(Placed { pieces: in_space, caution: None }),
        true if is_one => {
            let own = stand.face.as_ref().and_then(|(name, _)| {
                let face = first.part.faces.iter().position(|face| face.name == *name)?;
                Some(first.folded.faces[face].frame)
            });
            let local = own.unwrap_or_default();
            Ok(Placed { pieces: vec![(first, frame.within(&local.back()))], caution: None })
        }
        true => Err(unplaced(stand).note(format!("its plates are {}", faces.join(", ")))),
    }
}

fn unplaced(stand: &PiecePosition) -> Finding {
    let headline = "the part has several plates, and the job does not say which one is here";
    let finding = Finding::stop("missing-key", headline).at(stand.span, "");
    finding.help("add `face = \"…\"` with the name of one")
}

/// The frame that moves three holes to their points, and the deviation.
fn by_holes(
    of: &Solved,
    (holes, span): (&[(String, Span, Space)], Span),
    units: Units,
) -> Result<(Frame, Option<Finding>), Finding> {
    let mut places = Vec::new();
    for (name, at, to) in holes {
        places.push((hole(of, name).ok_or_else(|| no_hole(of, name, *at))?, *to, *at, name));
    }
    let three = |side: fn(&(Space, Space, Span, &String)) -> Space| {
        through([side(&places[0]), side(&places[1]), side(&places[2])])
    };
    let (Some(own), Some(there)) = (three(|place| place.0), three(|place| place.1)) else {
        let headline = "three holes, or their points, lie on one line";
        let finding = Finding::stop("points", headline).at(span, "");
        return Err(finding.help("name holes that are not in one row, or `origin`, `x`, `side`"));
    };
    let frame = there.within(&own.back());
    let off = |place: &(Space, Space, Span, &String)| length(minus(frame.at(place.0), place.1));
    let worst = places.iter().max_by(|a, b| off(a).total_cmp(&off(b)));
    let Some(worst) = worst.filter(|place| off(place) > MEASURED) else { return Ok((frame, None)) };
    let headline = format!("hole `{}` is {} from its point", worst.3, units.length(off(worst)));
    let is_blunder = off(worst) > BLUNDER * MEASURED;
    let finding = match is_blunder {
        true => Finding::stop("machine-clearance", headline),
        false => Finding::caution("machine-clearance", headline),
    };
    let finding = finding.about(About::part(&of.name)).at(worst.2, "");
    let finding = finding.help("measure the points again, or correct the holes of the part");
    if is_blunder { Err(finding) } else { Ok((frame, Some(finding))) }
}

/// The centre of a hole on the top side of its face, in the space of the part: `foot`, or `foot 2`
/// for the second of that name.
fn hole(of: &Solved, name: &str) -> Option<Space> {
    let place = |(id, hole): (HoleId, &Hole)| of.folded.faces[id.face].frame.point(hole.at, 0.0);
    let of_name = |name: &str, n: usize| {
        of.part.holes().filter(|(_, hole)| hole.name == name).nth(n).map(place)
    };
    let numbered = || {
        let (set, number) = name.rsplit_once(' ')?;
        of_name(set, number.parse::<usize>().ok()?.checked_sub(1)?)
    };
    of_name(name, 0).or_else(numbered)
}

fn no_hole(of: &Solved, name: &str, at: Span) -> Finding {
    let mut names: Vec<&str> = of.part.holes().map(|(_, hole)| hole.name.as_str()).collect();
    names.dedup();
    let help = match names.is_empty() {
        true => "give `origin`, `x` and `side`".to_owned(),
        false => instead(name, &names, "holes are"),
    };
    let headline = format!("the part has no hole `{name}`");
    Finding::stop("bad-name", headline).about(About::part(&of.name)).at(at, "").help(help)
}
