//! What the sections do not model, and metals outside the formulas.

use crate::bend::Form;
use crate::part::Bend;
use crate::part::Hole;
use crate::part::Part;
use crate::strength::case::Subject;
use crate::strength::load::Load;
use crate::strength::method::Method;
use crate::strength::place::Spot;
use crate::strength::reason::Reason;
use crate::strength::station::bends;
use crate::strength::support::By;
use crate::strength::support::Support;
use crate::strength::verdict::Verdict;

/// A bevel beside the groove that supports the part; on the path a face with a bead, a rolled bend,
/// a hem, or a fold line with ends that are not square; an insert or a flare of a hole that is
/// loaded or a support.
pub(super) fn of(part: &Part, support: &Support, spot: &Spot) -> Option<Reason> {
    let grooved = match &support.by {
        By::Weld(weld, _) => Some((support.face, weld.edge.as_str())),
        By::Edge(..) | By::Bolts(..) => None,
    };
    let bolts: &[&Hole] = if let By::Bolts(_, holes) = &support.by { holes } else { &[] };
    let bevels = part.faces.iter().enumerate();
    let mut bevels = bevels.flat_map(|(i, face)| face.bevels.iter().map(move |bevel| (i, bevel)));
    let bevelled = bevels.find(|(face, bevel)| grooved != Some((*face, bevel.edge.as_str())));
    let on_the_way = bends(part, spot.face, support.face).into_iter();
    let on_the_way: Vec<&Bend> = on_the_way.map(|(bend, _)| &part.bends[bend]).collect();
    let passed = on_the_way.iter().flat_map(|bend| [bend.from, bend.to]);
    let passed = passed.chain([spot.face, support.face]).map(|face| &part.faces[face]);
    let beaded = passed.into_iter().find_map(|face| face.beads.first());
    let is_slanted = |bend: &&&Bend| bend.zone.as_ref().is_some_and(|zone| !zone.is_plain());
    let slanted = on_the_way.iter().find(is_slanted);
    let formed = on_the_way.iter().find(|bend| bend.bend.form() != Form::Bent);
    let insert = spot.holes.iter().chain(bolts).find(|hole| hole.insert.is_some());
    let flared = spot.holes.iter().chain(bolts).find(|hole| hole.flare.is_some());
    bevelled
        .map(|(_, bevel)| Reason::Bevelled(bevel.edge.clone()))
        .or_else(|| beaded.map(|bead| Reason::Beaded(bead.name.clone())))
        .or_else(|| formed.map(|bend| Reason::Formed(bend.name.clone(), bend.bend.form())))
        .or_else(|| slanted.map(|bend| Reason::FoldLine(bend.name.clone())))
        .or_else(|| insert.map(|hole| Reason::Insert(hole.name.clone())))
        .or_else(|| flared.map(|hole| Reason::Flared(hole.name.clone())))
}

/// AISC 360 is written for steel: the assumption for another metal.
pub(super) fn metal(load: &Load, on: &Subject, verdict: &mut Verdict) {
    if on.material.text("metal") == Some("aluminium") && load.method == Method::Aisc360 {
        let words = "formulas and factors for steel, with the strengths of aluminium";
        verdict.assumed.push(words.into());
    }
}
