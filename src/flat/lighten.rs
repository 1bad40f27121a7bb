//! Openings that lighten the faces of a part, cut out of its blanks.
//!
//! They keep their walls inside each face between its bends, without reliefs and corners, and from
//! its holes at their finished sizes. The part is then the same as if they had been drawn.

use crate::diag::Finding;
use crate::geom;
use crate::geom::Inset;
use crate::geom::InsetError;
use crate::geom::Kept;
use crate::geom::NEAR;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::num::Angle;
use crate::part::Face;
use crate::part::Lighten;
use crate::part::Lightened;
use crate::part::Part;
use crate::part::Rib;
use crate::part::RibArea;

/// Halvings in the search for a radius that fits.
const HALVINGS: usize = 12;

/// An opening may reach beyond its area between ribs by rounding, mm.
const ALIKE: f64 = 1e-4;

/// A part with the openings that are to lighten it; `faces` are its faces between their bends.
///
/// # Errors
/// When metal would be cut free in an opening, or the walls meet too finely.
pub(super) fn cut(mut part: Part, faces: Vec<Region>) -> Result<Part, Vec<Finding>> {
    let mut findings = Vec::new();
    for (face, metal) in part.faces.iter_mut().zip(faces) {
        if let Err(finding) = one_face(face, metal) {
            findings.push(finding);
        }
    }
    if findings.is_empty() { Ok(part) } else { Err(findings) }
}

/// Whether all openings that are to lighten a part are cut.
///
/// # Errors
/// When some are not.
pub(super) fn done(part: &Part) -> Result<(), Vec<Finding>> {
    let waits = |face: &&Face| face.lightened.len() < face.lighten.len();
    match part.faces.iter().find(waits) {
        None => Ok(()),
        Some(face) => {
            let headline = format!("face `{}` is unfolded before it is lightened", face.name);
            Err(vec![Finding::stop("lighten", headline).at(face.lighten[0].span, "")])
        }
    }
}

/// Cuts the openings of a face; `metal` is the face between its bends.
fn one_face(face: &mut Face, mut metal: Region) -> Result<(), Finding> {
    for asked in face.lighten.clone() {
        let refuse = |error: InsetError| refusal(face, &asked, &error);
        let all = openings(face, &metal, &asked, asked.radius).map_err(refuse)?;
        let areas = areas(&metal, face, &asked, &all);
        let narrow = |opening: &Outline| geom::sides(opening).1 < asked.smallest - NEAR;
        let (left_out, openings): (Vec<_>, Vec<_>) = all.into_iter().partition(narrow);
        for opening in &openings {
            let pierced = |metal: &Region| metal.clone().pierced(opening.clone());
            let both = pierced(&face.blank).and_then(|blank| Ok((blank, pierced(&metal)?)));
            let (blank, rest) = both.map_err(|_| refusal(face, &asked, &InsetError::Unsure))?;
            face.blank = blank;
            metal = rest;
        }
        let none = openings.is_empty() && left_out.is_empty();
        let fits = if none { largest(face, &metal, &asked) } else { asked.radius };
        face.lightened.push(Lightened { openings, left_out: left_out.len(), fits, areas });
    }
    Ok(())
}

/// The areas between ribs, each with the number of `openings` in it; none without ribs.
fn areas(metal: &Region, face: &Face, asked: &Lighten, openings: &[Outline]) -> Vec<RibArea> {
    if asked.ribs.is_empty() {
        return Vec::new();
    }
    let earlier = face.lightened.iter().flat_map(|cut| &cut.openings);
    let walled = |outline: &Outline| Kept { outline: outline.clone(), by: asked.wall };
    // Areas of metal enclosed by ribs, on which no finding exists.
    let all = between(metal, earlier.map(walled).collect(), asked, asked.radius);
    let area = |outline: Outline| {
        let is_in = |at: Point| outline.contains(at) || outline.distance(at) < ALIKE;
        let inside = |opening: &&Outline| opening.vertices().iter().all(|v| is_in(v.at));
        let openings = openings.iter().filter(inside).count();
        RibArea { outline, openings }
    };
    all.unwrap_or_default().into_iter().map(area).collect()
}

/// The openings of a corner radius in mm, too narrow ones among them.
fn openings(
    face: &Face,
    metal: &Region,
    asked: &Lighten,
    radius: f64,
) -> Result<Vec<Outline>, InsetError> {
    let cut_outs = metal.holes().iter().map(|hole| (hole, 0.0));
    let holes = face.holes.iter().map(|hole| (&hole.outline, hole.growth()));
    let walled =
        |(outline, more): (&Outline, f64)| Kept { outline: outline.clone(), by: asked.wall + more };
    between(metal, cut_outs.chain(holes).map(walled).collect(), asked, radius)
}

/// What walls, ribs and all else that is kept leave between them.
fn between(
    metal: &Region,
    mut kept: Vec<Kept>,
    asked: &Lighten,
    radius: f64,
) -> Result<Vec<Outline>, InsetError> {
    for rib in &asked.ribs {
        kept.push(metal_of(rib)?);
    }
    let widths = asked.ribs.iter().map(|rib| rib.width);
    let between = widths.fold(asked.wall, f64::min);
    let inset = Inset { wall: asked.wall, between, radius, within: asked.within.as_ref() };
    geom::inset(metal.outer(), &kept, &inset)
}

/// The metal of a rib: half of it as an outline, the rest as the distance to keep from that.
fn metal_of(rib: &Rib) -> Result<Kept, InsetError> {
    let way = rib.to - rib.from;
    let half = rib.width / 2.0;
    let place = Place::rotated(Angle::of(way.x, way.y), rib.from.midpoint(rib.to));
    let outline = geom::slot(Point::ZERO, way.hypot() + half, half)?.moved(&place);
    Ok(Kept { outline, by: half / 2.0 })
}

/// The largest radius with which something would be cut, mm; 0 for none.
fn largest(face: &Face, metal: &Region, asked: &Lighten) -> f64 {
    let fits = |radius: f64| !matches!(openings(face, metal, asked, radius), Ok(o) if o.is_empty());
    let (mut low, mut high) = (0.0, asked.radius);
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if fits(middle) { low = middle } else { high = middle }
    }
    low
}

fn refusal(face: &Face, asked: &Lighten, error: &InsetError) -> Finding {
    let finding = |headline: String| Finding::stop("lighten", headline).at(asked.span, "");
    let InsetError::Island(island) = error else {
        let headline = format!("the openings of face `{}` cannot be computed: {error}", face.name);
        return finding(headline).help("change `wall` or `round` by 0.01 mm or more");
    };
    let inside = face.holes.iter().filter(|hole| island.contains(hole.at));
    let names: Vec<String> = inside.map(|hole| format!("`{}`", hole.name)).collect();
    let what = match names.as_slice() {
        [] => "a cut-out".to_owned(),
        [one] => format!("hole {one}"),
        more => format!("holes {}", more.join(", ")),
    };
    let headline = format!(
        "an opening would run right round {what} of face `{}`: the metal there would fall out",
        face.name
    );
    finding(headline).help(
        "run a rib to it, `ribs = [ { from = [\"0\", \"0\"], to = [\"20 mm\", \"0\"] } ]`, \
         or keep the opening to one side with `within`",
    )
}
