//! Whether plates that lie on others rest there, and their bolts pass and seat.

use crate::diag::About;
use crate::diag::Finding;
use crate::geom::NEAR;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::cut;
use crate::num;
use crate::solve::on_sheets::seen;
use crate::solve::solved::Solved;
use crate::solve::stack::Bolt;
use crate::solve::stack::Layer;
use crate::solve::stack::bolts;
use crate::solve::stack::stacks;

/// Plates that share less lie beside each other, mm². Our choice: 1 mm along an edge, 0.01 mm
/// deep.
pub(super) const SHARED: f64 = 0.01;

/// The findings between plates that lie on each other, each with the index of its part.
pub(super) fn found(solved: &[Solved]) -> Vec<(usize, Finding)> {
    let index = |of: &Solved| solved.iter().position(|s| s.name == of.name).unwrap_or(0);
    let mut found = Vec::new();
    for stack in stacks(solved) {
        for bolt in bolts(&stack) {
            let part = index(stack[bolt.layer].solved);
            let faults = match bolt.axis(&stack) {
                Err(stopped) => vec![blocked(&bolt, &stack, stopped)],
                Ok(_) => unseated(&bolt, &stack),
            };
            // A plate without hands is in the stacks of both, its bolts with it.
            for fault in faults.into_iter().map(|fault| (part, fault)) {
                if !found.contains(&fault) {
                    found.push(fault);
                }
            }
        }
    }
    for (i, upper) in solved.iter().enumerate() {
        for lower in solved {
            let rests = seen(upper, lower).and_then(|seen| resting(upper, lower, seen));
            found.extend(rests.map(|fault| (i, fault)));
        }
        found.extend(fillets(upper).into_iter().map(|fault| (i, fault)));
    }
    found
}

/// The metal of a plate is in the way of a bolt.
fn blocked(bolt: &Bolt, stack: &[Layer], stopped: usize) -> Finding {
    let (name, other) = (&bolt.hole.name, &stack[stopped]);
    let face = &other.face.name;
    let mut holes = other.face.holes.iter();
    let meant = holes.find(|hole| hole.outline.moved(&other.place).contains(bolt.at));
    let headline = match meant {
        Some(hole) => {
            let through = match bolt.hole.pin() {
                Some(pin) => {
                    format!("the bolt or pin of hole `{name}`, Ø{} mm,", num::text(pin, 2))
                }
                None => format!("the bolt or pin of hole `{name}`"),
            };
            format!("{through} does not pass through hole `{}` of face `{face}`", hole.name)
        }
        None => {
            let way = if stopped < bolt.layer { "below" } else { "above" };
            format!("face `{face}` has no hole {way} `{name}`")
        }
    };
    let own = stack[bolt.layer].solved;
    let laid = [other.solved, own].into_iter().find_map(|of| of.part.laid.as_ref());
    let finding =
        Finding::stop("laid-plate", headline).about(About::part(&own.name)).at(bolt.hole.span, "");
    let finding = match (meant, laid) {
        (Some(hole), _) if hole.span != bolt.hole.span => finding.at(hole.span, "this hole"),
        (_, Some(laid)) => finding.at(laid.span, "it is placed here"),
        _ => finding,
    };
    finding.help("give both plates a hole there that it passes, or move one of them")
}

/// Finds the edge of a plate without the bolt, or that of a wide cut-out round the bolt, below its
/// head, nut or washer.
fn unseated(bolt: &Bolt, stack: &[Layer]) -> Vec<Finding> {
    let Some((bears, seat)) = bolt.seat() else { return Vec::new() };
    let own = stack[bolt.layer].solved;
    let others = stack.iter().enumerate().filter(|(i, _)| *i != bolt.layer);
    let near = others.filter_map(|(_, other)| {
        let outer = other.face.blank.outer().moved(&other.place);
        let off = (!outer.contains(bolt.at)).then(|| (outer.distance(bolt.at), "the edge"));
        // Of the ring that a washer presses on more than half is over the cut-out.
        let wide = f64::midpoint(seat, bolt.radius());
        let cut_outs = other.face.blank.holes().iter().map(|hole| hole.moved(&other.place));
        let within =
            cut_outs.filter(|hole| hole.contains(bolt.at)).map(|hole| hole.distance(bolt.at));
        let within = within.filter(|room| *room > wide).map(|room| (room, "a cut-out"));
        let (room, what) = off.into_iter().chain(within).next()?;
        (room < seat - NEAR).then(|| {
            let headline = format!(
                "{what} of face `{}` is below the {bears} hole `{}`, Ø{} mm: it does not seat",
                other.face.name,
                bolt.hole.name,
                num::text(2.0 * seat, 2)
            );
            Finding::caution("laid-plate", headline)
                .about(About::part(&own.name))
                .at(bolt.hole.span, "")
                .help(format!("move them {} mm further apart", num::text(seat - room, 2)))
        })
    });
    near.collect()
}

/// A plate that lies off the face below it, or across a bend of that face.
fn resting(upper: &Solved, lower: &Solved, (below, place): (usize, Place)) -> Option<Finding> {
    let laid = upper.part.laid.as_ref()?;
    let above = &upper.part.faces[0];
    let outer = above.blank.outer().moved(&place);
    let refuse = |headline: String, help: &str| {
        let about = About::part(&upper.name);
        Some(Finding::stop("laid-plate", headline).about(about).at(laid.span, "").help(help))
    };
    let face = &lower.part.faces[below];
    let lost = face.blank.holes().iter().map(|opening| shared(&outer, opening)).sum::<f64>();
    if shared(&outer, face.blank.outer()) - lost < SHARED {
        let headline = format!("face `{}` is off the metal of face `{}`", above.name, laid.on);
        return refuse(headline, "change `at` of `laid_on`");
    }
    let in_flat = outer.moved(&lower.flat.places[below]);
    let strips = lower.flat.bends.iter().zip(&lower.part.bends);
    let mut beside = strips.filter(|(_, bend)| bend.from == below || bend.to == below);
    let (_, bend) = beside.find(|(strip, _)| shared(&in_flat, strip.metal.outer()) >= SHARED)?;
    let headline =
        format!("face `{}` is laid across bend `{}` of face `{}`", above.name, bend.name, laid.on);
    let finding = refuse(headline, "make it shorter, or move it to one side of the bend")?;
    Some(finding.at(bend.span, "this bend"))
}

/// The common area of two outlines, mm². If they touch too finely to decide, the nearer corners do:
/// all of the first when one is within the second.
pub(super) fn shared(a: &Outline, b: &Outline) -> f64 {
    match cut(a, b) {
        Ok((pieces, gaps)) => {
            let area = |all: &[Outline]| all.iter().map(Outline::area).sum::<f64>();
            a.area() - area(&pieces) + area(&gaps)
        }
        Err(_) => {
            let inside = |a: &Outline, b: &Outline| {
                let mut corners = a.vertices().iter().map(|corner| corner.at);
                corners.any(|at| b.contains(at) && b.distance(at) > SHARED)
            };
            if inside(a, b) || inside(b, a) { a.area().min(b.area()) } else { 0.0 }
        }
    }
}

/// A fillet along the edge of a plate that lies flat is no higher than that edge (AISC 360-16
/// J2.2b, which allows still less from 1/4 in on).
fn fillets(upper: &Solved) -> Vec<Finding> {
    let Some(laid) = &upper.part.laid else { return Vec::new() };
    let thickness = upper.part.thickness * f64::from(laid.pieces);
    let face = &upper.part.faces[0];
    let legs = face.welds.iter().filter_map(|weld| weld.leg);
    let leg = legs.fold(0.0, f64::max);
    if leg <= thickness + NEAR {
        return Vec::new();
    }
    let headline = format!(
        "the fillet along face `{}` has a leg of {} mm, and its edge is {} mm high",
        face.name,
        num::text(leg, 2),
        num::text(thickness, 2)
    );
    let caution = Finding::caution("laid-plate", headline)
        .about(About::part(&upper.name))
        .at(laid.span, "")
        .help("make the leg no larger than the plate is thick: a larger one melts the edge away");
    vec![caution]
}
