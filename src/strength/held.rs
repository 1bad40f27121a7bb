//! The support of the part: its bolts or its weld.

use crate::geom::Edge;
use crate::geom::Space;
use crate::geom::Vec2;
use crate::geom::cross;
use crate::geom::dot;
use crate::geom::minus;
use crate::num;
use crate::part::Bevel;
use crate::part::Weld;
use crate::strength::bolts::Screwed;
use crate::strength::bolts::Seat;
use crate::strength::case::Case;
use crate::strength::case::NOTHING;
use crate::strength::case::Subject;
use crate::strength::fault::Fault;
use crate::strength::group::Group;
use crate::strength::group::Share;
use crate::strength::limit::Forces;
use crate::strength::limit::Limit;
use crate::strength::limit::Metal;
use crate::strength::limit::Section;
use crate::strength::limit::Shape;
use crate::strength::load::Load;
use crate::strength::method::Method;
use crate::strength::pry::Pried;
use crate::strength::reason::Reason;
use crate::strength::station::bends;
use crate::strength::support::By;
use crate::strength::support_line::SupportLine;
use crate::strength::tear_out::Around;
use crate::strength::tear_out::Pinned;
use crate::strength::tube;
use crate::strength::verdict::Verdict;
use crate::strength::weld;
use crate::strength::weld::Fillet;
use crate::strength::weld::Hold;
use crate::strength::weld::Seam;
use crate::table::Row;
use crate::table::Table;
use crate::table::Tables;
use std::sync::Arc;

/// The bolts, their holes, and the leg they clamp.
pub(super) fn by_bolts(case: &Case, seat: &Seat, group: &Group, verdict: &mut Verdict) {
    for (bolt, share) in seat.bolts.iter().zip(&group.bolts) {
        one_bolt(case, seat, (bolt, share), verdict);
    }
    verdict.limits.extend(torn_together(case, seat, group));
    if group.over.is_some() {
        verdict.assumed.push("the plate pivots on its edge beside its bolts".into());
    }
}

/// What two bolts or more tear out of the plate together, where the force across them leads to an
/// edge (J4.3): each may be strong enough alone where the piece round all of them is not.
fn torn_together(case: &Case, seat: &Seat, group: &Group) -> Option<Limit> {
    let across = group.bolts.iter().fold(Vec2::ZERO, |sum, share| sum + share.shear);
    let shear = across.hypot();
    if seat.bolts.len() < 2 || shear < NOTHING {
        return None;
    }
    let bolts: Vec<Pinned> = seat.bolts.iter().map(Screwed::pinned).collect();
    let forces = Forces { shear, ..Forces::default() };
    let here = case.spot_section(seat.face, case.support.centre(), forces);
    let around = around(case, seat, &bolts);
    // The plate moves with the load, and bears on the bolts behind it.
    let torn = around.block(&bolts, -across / shear).into_iter().next()?;
    Some(torn.called("block shear at the mounting bolts").shared(shear, 1).at(here))
}

/// The face round some of its bolts: the weakest of the metal there.
fn around<'a>(case: &'a Case, seat: &Seat<'a>, bolts: &[Pinned]) -> Around<'a> {
    Around {
        face: seat.drawn(),
        thickness: case.on.part.thickness,
        metal: case.weakest(seat.face, bolts),
        heat: case.heat_of(seat.face),
        method: case.method,
        held: Vec::new(),
        reference: case.pull,
    }
}

fn one_bolt(case: &Case, seat: &Seat, (bolt, share): (&Screwed, &Share), verdict: &mut Verdict) {
    let (shear, tension) = (share.shear.hypot(), share.tension.max(0.0));
    let forces = Forces { normal: share.tension, shear, ..Forces::default() };
    let here = case.spot_section(seat.face, bolt.hole.at, forces);
    let pinned = bolt.pinned();
    let around = around(case, seat, &[pinned]);
    let (metal, method) = (around.metal, around.method);
    if shear > NOTHING {
        // The plate moves with the load, and bears on the bolt behind it.
        let back = -share.shear / shear;
        let [bearing, _] = seat.hole(bolt, 0.0).limits(metal, method);
        let torn = around.tear_out(&pinned, back);
        let named = [
            Some(bearing.called("bearing at a mounting bolt")),
            torn.map(|limit| limit.called("tear-out at a mounting bolt")),
        ];
        verdict.limits.extend(named.into_iter().flatten().map(|l| l.shared(shear, 1).at(here)));
    }
    if tension > NOTHING && bolt.hole.recess.is_some() {
        let limit = seat.hole(bolt, 0.0).pulled_through(metal, method);
        verdict.limits.push(limit.shared(tension, 1).at(here));
    }
    // If the plate pivots on its edge, the pressure of the edge is part of the tension already:
    // only the further tension of the row of bolts pries.
    let prying = (tension - share.by_edge.max(0.0)).max(0.0);
    let way = bends(case.on.part, case.spot.face, seat.face);
    // The bend through which the load comes in; where it acts on the face itself, any.
    let pried = seat.pried(bolt, |bend| way.last().is_none_or(|(last, _)| bend == *last));
    let metals = |pried: &Pried| {
        pried.lines.map(|line| case.heat_of(seat.face).weakest(case.metal, &[line]))
    };
    if let Some(limit) = pried.and_then(|p| p.bent(metals(&p), method))
        && prying > NOTHING
    {
        verdict.limits.push(limit.shared(prying, 1).at(here));
    }
    let Some(grade) = &case.load.bolts_grade else { return };
    let of = bolt.bolt(grade.measure("tensile"));
    let stress = |metal: Metal| metal.tensile_strength / method.yielding();
    let through =
        |pried: Pried| pried.share(of.tension(method).allowable(), metals(&pried).map(stress));
    let pulled = tension - prying + prying / pried.map_or(1.0, through).max(NOTHING);
    verdict.limits.extend(of.together(shear, pulled, method).map(|limit| limit.at(here)));
}

/// The weld that supports the part, the rules for it, and the wall below.
pub(super) fn by_weld(
    case: &Case,
    force: Space,
    verdict: &mut Verdict,
) -> Result<Result<(), Reason>, Fault> {
    let By::Weld(weld, root) = &case.support.by else { return Ok(Ok(())) };
    let t = case.on.part.thickness;
    let bevels = &case.on.part.faces[case.support.face].bevels;
    let bevel = bevels.iter().find(|bevel| bevel.edge == weld.edge);
    let given = case.load.leg.or(weld.leg);
    let leg = fitting(weld, given.unwrap_or_else(|| weld::min_leg(t)), verdict);
    if given.is_none() && bevel.is_none() {
        verdict.assumed.push("the smallest fillet that AISC 360-16 table J2.4 allows".into());
    }
    let fillet = Fillet { leg, shear: filler(case.load, case.on, verdict)? };
    let length: f64 = case.support.edges.iter().map(Edge::length).sum();
    let (lines, width) = (weld.sides, root.width);
    let turns = root.turns;
    let seam = Seam { fillet, lines, length, width, turns, thickness: t, groove: false };
    let (seam, shapes) = match bevel.map(|bevel| groove(case, bevel, seam)) {
        Some(Some((seam, shape))) => (seam, vec![shape]),
        Some(None) => return Ok(Err(Reason::Groove(weld.edge.clone()))),
        None => (seam, fillet.shapes(t, length).to_vec()),
    };
    if bevel.is_some() {
        verdict.assumed.push("the groove alone carries the load, without a fillet on it".into());
    }
    let forces = at_root(case, root, force);
    let limit = match seam.capacity(&forces, case.method) {
        Hold::Limit(limit) => *limit,
        Hold::OpenRoot => {
            let edge = weld.edge.clone();
            let is_groove = bevel.is_some();
            let reason = if is_groove { Reason::OpenGroove(edge) } else { Reason::OpenRoot(edge) };
            return Ok(Err(reason));
        }
    };
    let across = root.along() * (root.width / 2.0);
    let ends = [root.centre - across, root.centre + across];
    let frame = &case.on.folded.faces[case.support.face].frame;
    let flat = ends.map(|p| case.on.flat.places[case.support.face].apply(p));
    let here = case.spot_section(case.support.face, root.centre, forces);
    let folded = ends.map(|p| frame.point(p, -t / 2.0));
    let allowable = alone(&seam, case.method);
    verdict.limits.push(limit.at(Section { flat, ligament: flat, folded, allowable, ..here }));
    verdict.shapes.extend(shapes);
    if let Some(wall) = case.load.wall {
        let metal = case.beside_weld.unwrap_or(case.metal);
        yielding_wall(case, &forces, root, tube::wall(wall, metal, case.method), verdict);
        verdict.shapes.push(Shape {
            what: "leg of the fillet on the wall of the tube",
            rule: "common practice",
            is: leg,
            wanted: wall,
            max: true,
        });
    }
    Ok(Ok(()))
}

/// What of the leg of a fillet counts, mm: no more than there is metal for.
fn fitting(weld: &Weld, asked: f64, verdict: &mut Verdict) -> f64 {
    let fits = weld.room.as_ref().map_or(asked, |room| asked.min(room.mm));
    if fits < asked {
        let leg = num::text(fits, 2);
        verdict.assumed.push(format!("a leg of {leg} mm: there is no metal for a larger one"));
    }
    fits
}

/// The seam of an edge with a bevel, and the rule for its throat: the weld metal or the plate
/// beside it in shear, whichever is weaker (table J2.5; J4-4). Two throats are modelled as two
/// lines at a distance at which they resist the same moment out of the plane as the section of
/// both, elastic to its extreme fibre. `None` where table J2.1 has no throat for the angle.
fn groove(case: &Case, bevel: &Bevel, seam: Seam) -> Option<(Seam, Shape)> {
    let throat = weld::groove_throat(bevel.angle.degrees(), bevel.depth)?;
    let metal = case.beside_weld.unwrap_or(case.metal);
    let shear = seam.fillet.shear.min(0.6 * metal.tensile_strength);
    let fillet = Fillet::groove(throat, shear);
    let lines = bevel.sides.count();
    let thickness = 2.0 * weld::lever(throat, seam.thickness);
    let shape = weld::groove_shape(throat, seam.thickness);
    Some((Seam { fillet, lines, thickness, groove: true, ..seam }, shape))
}

/// What a seam allows of each of six forces alone; 0 where it resists none of it.
fn alone(seam: &Seam, method: Method) -> Forces {
    let none = Forces::default();
    let of = |forces: Forces| match seam.capacity(&forces, method) {
        Hold::Limit(limit) => limit.allowable(),
        Hold::OpenRoot => 0.0,
    };
    Forces {
        normal: of(Forces { normal: 1.0, ..none }),
        shear: of(Forces { shear: 1.0, ..none }),
        across: of(Forces { across: 1.0, ..none }),
        bend_in: of(Forces { bend_in: 1.0, ..none }),
        bend_out: of(Forces { bend_out: 1.0, ..none }),
        torsion: of(Forces { torsion: 1.0, ..none }),
    }
}

/// The shear strength that counts on the throat of a fillet, N/mm²: that of the weld metal,
/// in aluminium limited by the strength of the heat-affected plate on the leg (Aluminum Design
/// Manual J.2, from memory).
pub(super) fn filler(load: &Load, on: &Subject, verdict: &mut Verdict) -> Result<f64, Fault> {
    Ok(fused(of_filler(load, on, verdict)?, on.material))
}

/// The shear strength that counts on the throat of a fillet on a material, of that of the weld
/// metal, N/mm².
pub(crate) fn fused(shear: f64, material: &Row) -> f64 {
    let is_aluminium = material.text("metal") == Some("aluminium");
    let weak = Metal::beside_weld(material).filter(|_| is_aluminium);
    let fused = weak.map(|weak| 0.6 * weak.tensile_strength / weld::THROAT);
    fused.map_or(shear, |fused| shear.min(fused))
}

/// The default weld metal: the first row for the metal of a material.
pub(crate) fn first_filler<'t>(material: &Row, tables: &'t Tables) -> Option<&'t Arc<Row>> {
    let metal = material.text("metal");
    let rows = tables.table("filler").into_iter().flat_map(Table::rows);
    rows.into_iter().find(|row| row.text("metal") == metal)
}

/// The shear strength of the weld metal, N/mm².
fn of_filler(load: &Load, on: &Subject, verdict: &mut Verdict) -> Result<f64, Fault> {
    if let Some(row) = &load.filler {
        return Ok(row.measure("shear"));
    }
    let material = on.material;
    let row = first_filler(material, on.tables);
    let row = row.ok_or_else(|| Fault::NoFiller(material.name().to_owned()))?;
    verdict.assumed.push(format!("weld metal {}", row.name()));
    Ok(row.measure("shear"))
}

/// What acts in the seam about its centre.
fn at_root(case: &Case, root: &SupportLine, force: Space) -> Forces {
    let frame = &case.on.folded.faces[case.support.face].frame;
    let about = frame.point(root.centre, -case.on.part.thickness / 2.0);
    let moment = cross(minus(case.centre(), about), force);
    let (pull, along) = (frame.direction(root.pull), frame.direction(root.along()));
    Forces {
        normal: dot(force, pull),
        shear: dot(force, along),
        across: dot(force, frame.z),
        bend_in: dot(moment, frame.z),
        bend_out: dot(moment, along),
        torsion: dot(moment, pull),
    }
}

/// The wall of the tube below: a moment presses with half of the foot as lever where it
/// bends the plate in its plane, with its thickness where it bends it out of its plane.
fn yielding_wall(
    case: &Case,
    forces: &Forces,
    root: &SupportLine,
    wall: Limit,
    verdict: &mut Verdict,
) {
    let edgeways = forces.bend_in.abs() / (0.5 * root.width);
    let out = forces.bend_out.abs() / case.on.part.thickness;
    let pressed = forces.normal.abs() + edgeways + out;
    verdict.assumed.push("a tube of the same metal as the plate".into());
    let limit = wall.shared(pressed.max(NOTHING), 1);
    if verdict.wall.is_none_or(|known| limit.allowable() < known.allowable()) {
        verdict.wall = Some(limit);
    }
}
