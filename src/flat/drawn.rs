//! Bends across a face: the metal beside their ends, and cut-outs that reach into them.

use crate::diag::Finding;
use crate::flat::joint::Joint;
use crate::flat::pattern::BendStrip;
use crate::flat::without::without;
use crate::geom;
use crate::geom::NEAR;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::num;
use crate::part::Part;

/// A flange beside such a bend ends at least a relief from it.
///
/// # Errors
/// The first that does not.
pub(super) fn check_relief(part: &Part, joints: &[Joint]) -> Result<(), Finding> {
    let flanges = part.bends.iter().zip(joints).filter(|(_, joint)| !joint.is_drawn());
    for (flange, joint) in flanges {
        for line in &part.bends {
            let Some(zone) = &line.zone else { continue };
            let [near, far] = zone.tangents();
            let ends = match flange.from {
                face if face == line.from => [near.from, near.to],
                face if face == line.to => {
                    let wide = |p: Point| (p - near.from).dot(near.direction_at_start());
                    let from = (part.faces[line.from].edges[line.edge].centre - near.from)
                        .dot(near.direction_at_start());
                    [far.from, far.to].map(|p| Point::new(from - wide(p), 0.0))
                }
                _ => continue,
            };
            let missing = ends
                .iter()
                .filter_map(|end| joint.beside(*end))
                .map(|room| flange.relief.width - room);
            let missing = missing.fold(0.0, f64::max);
            if missing > NEAR {
                let (name, other) = (&flange.name, &line.name);
                let by = num::text(missing, 2);
                let headline = format!(
                    "the flange at bend `{name}` runs up to bend `{other}`: the metal between them \
                     would tear"
                );
                return Err(Finding::stop("bend", headline).at(flange.span, "").help(format!(
                    "end it {by} mm earlier, by its width or its `offset`: a relief is cut there"
                )));
            }
        }
    }
    Ok(())
}

/// Cuts the openings of such bends out of the folded faces beside them, and takes their share
/// off the area of the strips.
///
/// # Errors
/// The bend whose opening cannot be cut, and why.
pub(super) fn open(
    part: &Part,
    faces: &mut [Region],
    places: &[Place],
    strips: &mut [BendStrip],
) -> Result<(), (usize, String)> {
    for (i, strip) in strips.iter_mut().enumerate() {
        for opening in &strip.openings {
            for face in [part.bends[i].from, part.bends[i].to] {
                let seen = opening.moved(&places[face].back());
                faces[face] = without(&faces[face], &seen).map_err(|words| (i, words))?;
            }
            let left = geom::cut(strip.metal.outer(), opening).map_err(|e| (i, e.to_string()))?;
            strip.area -= strip.metal.area() - left.0.iter().map(Outline::area).sum::<f64>();
        }
    }
    Ok(())
}

/// The blank with the openings of such bends.
///
/// # Errors
/// The bend whose opening overlaps another, and why.
pub(super) fn pierced(blank: Region, strips: &[BendStrip]) -> Result<Region, (usize, String)> {
    let strips = strips.iter().enumerate();
    let mut all = strips.flat_map(|(i, strip)| strip.openings.iter().map(move |o| (i, o)));
    all.try_fold(blank, |blank, (i, opening)| {
        blank.pierced(opening.clone()).map_err(|error| (i, error.to_string()))
    })
}
