//! Bends that are drawn across a face: what is beside their ends, and cut-outs that reach into
//! them.

use crate::diag::Finding;
use crate::flat::joint::Joint;
use crate::flat::pattern::BendStrip;
use crate::flat::refusal;
use crate::geom;
use crate::geom::NEAR;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Region;
use crate::num;
use crate::part::Part;

/// A flange beside such a bend ends at least a relief from it.
///
/// # Errors
/// The first that does not.
pub(super) fn apart(part: &Part, joints: &[Joint]) -> Result<(), Finding> {
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
            let missing = ends.iter().filter_map(|end| joint.beside(*end)).map(|room| {
                flange.relief.width - room
            });
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
/// When a face falls into pieces.
pub(super) fn open(
    part: &Part,
    faces: &mut [Region],
    places: &[geom::Place],
    strips: &mut [BendStrip],
) -> Result<(), Vec<Finding>> {
    for (bend, strip) in part.bends.iter().zip(strips) {
        let refuse = |words: String| vec![refusal(part, bend, &words)];
        for opening in &strip.openings {
            for face in [bend.from, bend.to] {
                let seen = opening.moved(&places[face].back());
                faces[face] = super::without(&faces[face], &seen).map_err(refuse)?;
            }
            let (left, _) = geom::cut(strip.metal.outer(), opening).map_err(|e| refuse(e.to_string()))?;
            strip.area -= strip.metal.area() - left.iter().map(Outline::area).sum::<f64>();
        }
    }
    Ok(())
}

/// The blank with the openings of such bends.
///
/// # Errors
/// When one overlaps another opening.
pub(super) fn pierced(
    part: &Part,
    blank: Region,
    strips: &[BendStrip],
) -> Result<Region, Vec<Finding>> {
    let bends = part.bends.iter().zip(strips);
    let mut all = bends.flat_map(|(bend, strip)| strip.openings.iter().map(move |o| (bend, o)));
    all.try_fold(blank, |blank, (bend, opening)| {
        let pierced = blank.pierced(opening.clone());
        pierced.map_err(|error| vec![refusal(part, bend, &error.to_string())])
    })
}
