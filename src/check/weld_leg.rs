//! A fillet with no leg, or too large for its edge or metal, or a load calculated with another leg.
//!
//! # Looks for
//! A weld along an edge without a bevel whose recipe gives no leg (caution).
//!
//! A fillet along an edge whose leg is larger than the thickness of the plate, and a load of the
//! job with a leg other than that of the weld that holds the part (caution); for a cap, other than the
//! leg its recipe gives as `weld`, or any leg at all where the weld is flush (caution).
//!
//! A fillet whose leg is larger than the metal it lies on (caution), or has no metal there at all
//! (stop). For a plate laid on another (`laid_on`) that is the ledge beside it, up to the edge, a
//! hole, an opening, a bend or a bevel of that face, or up to another plate on it. For a plate that
//! stands on its edge it is the plate itself above the weld and, where it is known, what the plate
//! stands on: a face with slots for its tongues, another face of the same formed part, or a plate
//! placed by three points in the same space. On a round tube it is the wall, up to the side of the
//! tube or along it to its end. `strength` counts only the leg that fits. Where the recipe
//! does not say what a plate stands on, that metal is not checked.
//!
//! # Why it matters
//! A welder who is not told the leg chooses one, and nobody has calculated it.
//!
//! Beyond the edge there is no metal for a leg: the corner melts away, and the throat is that of
//! the smaller leg whatever the drawing says. A thin plate is burnt through or warps. Past the end
//! of a ledge the metal runs off. If load and drawing give different legs, the weld that is made
//! is not the one that was judged.
//!
//! # Example
//! Sheet of 2.3 mm with a fillet of 3 mm along its edge: the largest that fits has a leg of 2.3 mm.
//!
//! # Remedy
//! Give each weld of the recipe its leg. Give a leg no larger than the thickness, or use thicker sheet. Give a leg no larger than the
//! metal, make that wider, or move the plate. Give the leg to the part, and leave it out of the
//! load.
//!
//! # Source
//! AISC 360-16 J2.2b(a), along edges of material; that it applies to the plate of a tee as well,
//! and that the full thickness is allowed from 6 mm up too, is common practice.

use crate::check::subject::ROUNDING;
use crate::check::subject::Subject;
use crate::diag::About;
use crate::diag::EdgeId;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::formula::Value;
use crate::part::Face;
use crate::part::Weld;
use crate::strength::Load;
use crate::strength::is_edge;

const CODE: &str = "weld-leg";

/// Two legs no farther apart are one, mm: beyond what a drawing shows.
const SAME: f64 = 0.005;

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (face, of) in subject.part.faces.iter().enumerate() {
        findings.extend(of.welds.iter().filter_map(|weld| not_given(subject, (face, of), weld)));
        findings.extend(of.welds.iter().filter_map(|weld| too_large(subject, (face, of), weld)));
        findings.extend(of.welds.iter().filter_map(|weld| no_room(subject, (face, of), weld)));
    }
    // By its verdict: the hands and other parts of a line have different names.
    let is_judged = |load: &&Load| subject.verdicts.iter().any(|(judged, _)| *judged == load.here);
    let loads = subject.loads.iter().filter(is_judged);
    findings
        .extend(loads.filter_map(|load| another(subject, load).or_else(|| of_cap(subject, load))));
    findings
}

/// A fillet has no leg; the size of a weld on a bevel is that of its groove.
fn not_given(subject: &Subject, (index, face): (usize, &Face), weld: &Weld) -> Option<Finding> {
    let is_groove = face.bevels.iter().any(|bevel| bevel.edge == weld.edge);
    if weld.leg.is_some() || is_groove {
        return None;
    }
    let headline = format!("weld leg not given along edge `{}`", weld.edge);
    let finding = subject.finding(Weight::Caution, CODE, headline, &weld.depends, weld.span);
    let help = "add the leg to this weld of the recipe, such as `leg = \"3 mm\"`";
    Some(finding.about(of_edge(subject, index, face, weld)).help(help))
}

/// The fillet of a weld is larger than its edge; on a bevel it lies over the groove.
fn too_large(subject: &Subject, (index, face): (usize, &Face), weld: &Weld) -> Option<Finding> {
    let thickness = subject.part.thickness;
    let leg = weld.leg.filter(|leg| *leg > thickness + ROUNDING)?;
    if face.bevels.iter().any(|bevel| bevel.edge == weld.edge) {
        return None;
    }
    let [is, fits] = [leg, thickness].map(|mm| subject.show(mm));
    let headline = format!(
        "the fillet along edge `{}` has a leg of {is}, but the edge is only {fits} thick",
        weld.edge
    );
    let finding = subject.finding(Weight::Caution, CODE, headline, &weld.depends, weld.span);
    Some(
        finding
            .about(of_edge(subject, index, face, weld))
            .help(format!("the largest leg that fits is {fits}; or use thicker sheet")),
    )
}

/// The metal on which the leg of a fillet lies ends before it.
fn no_room(subject: &Subject, (index, face): (usize, &Face), weld: &Weld) -> Option<Finding> {
    let (leg, room) = (weld.leg?, weld.room.as_ref()?);
    if leg <= room.mm + SAME {
        return None;
    }
    // What fits is rounded down, what is missing up.
    let fits = (room.mm * 100.0 + SAME).floor() / 100.0;
    let [is, there, more] = [leg, fits, leg - fits].map(|mm| subject.show(mm));
    let (edge, till) = (&weld.edge, &room.till);
    let (weight, headline, help) = match fits > 0.0 {
        true => (
            Weight::Caution,
            format!("the fillet along edge `{edge}` has a leg of {is}, but {till} is {there} away"),
            format!("the largest leg that fits is {there}; or make that metal {more} wider"),
        ),
        false => (
            Weight::Stop,
            format!("the fillet along edge `{edge}` has no metal under it: {till} is there"),
            format!(
                "leave {is} of metal for its leg, or name the edge in pieces and weld those that \
                 have it"
            ),
        ),
    };
    let finding = subject.finding(weight, CODE, headline, &weld.depends, weld.span);
    Some(finding.about(of_edge(subject, index, face, weld)).help(help))
}

/// A load counts on another leg than the weld has.
fn another(subject: &Subject, load: &Load) -> Option<Finding> {
    let leg = load.leg.filter(|_| load.bolts.is_none())?;
    let welds = subject
        .part
        .faces
        .iter()
        .enumerate()
        .flat_map(|(index, face)| face.welds.iter().map(move |weld| (index, face, weld)));
    let holds = |face: &Face, weld: &Weld| {
        load.held.as_ref().is_none_or(|held| is_edge(face, &weld.edge, held))
    };
    let mut holding = welds.filter(|(_, face, weld)| holds(face, weld));
    let (index, face, weld, is) = holding.find_map(|(index, face, weld)| {
        let is = weld.leg.filter(|is| (is - leg).abs() > SAME)?;
        Some((index, face, weld, is))
    })?;
    let [counts, is] = [leg, is].map(|mm| subject.show(mm));
    let headline = format!(
        "load `{}` is calculated with a leg of {counts}, but the fillet along edge `{}` has {is}",
        load.name, weld.edge
    );
    let finding = Finding::caution(CODE, headline).at(load.here, "").at(subject.here, "");
    let about = of_edge(subject, index, face, weld);
    Some(
        finding.about(about).about(About::Load(load.name.clone())).help(
            "set the leg in the part, and remove `leg` from the load: one weld has one leg size",
        ),
    )
}

/// A load counts on a leg that the weld of its cap does not have.
fn of_cap(subject: &Subject, load: &Load) -> Option<Finding> {
    let leg = load.leg.filter(|_| load.bolts.is_none())?;
    let fact = |name: &str| subject.part.facts.iter().find(|fact| fact.name == name);
    fact("tube_outside").zip(fact("fit"))?;
    let counts = subject.show(leg);
    let of = format!("load `{}` is calculated with a leg of {counts}, but the", load.name);
    let (headline, help) = match fact("weld").map(|weld| &weld.value) {
        Some(Value::Quantity(is)) if (is.value - leg).abs() <= SAME => return None,
        Some(is) => (
            format!("{of} fillet round cap `{}` has {}", subject.name, is.show(subject.units)),
            "write the same leg as `weld` of the cap and as `leg` of the load".to_owned(),
        ),
        None => (
            format!("{of} weld of cap `{}` is flush and has no leg", subject.name),
            "what a flush weld carries is not judged: write `fit = \"overlap\"` for the cap, or remove `leg`"
                .to_owned(),
        ),
    };
    let finding = Finding::caution(CODE, headline).at(load.here, "").at(subject.here, "");
    let finding = finding.about(About::part(subject.name));
    Some(finding.about(About::Load(load.name.clone())).help(help))
}

fn of_edge(subject: &Subject, index: usize, face: &Face, weld: &Weld) -> About {
    let edge = face.edges.iter().position(|edge| edge.name == weld.edge);
    subject.of_part(edge.map(|edge| Feature::Edge(EdgeId { face: index, edge })))
}
