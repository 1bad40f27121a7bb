//! What is on both sides of the machine, or in several places: whether enough is made, and of both hands.

use crate::check;
use crate::check::MEASURED;
use crate::check::OnSides;
use crate::diag::About;
use crate::diag::Finding;
use crate::job::CopedTube;
use crate::job::Job;
use crate::job::Line;
use crate::job::RequiredClearance;
use crate::machine;
use crate::machine::Body;
use crate::quantity::Units;
use crate::solve::machine::own_mirror::is_own_mirror;
use crate::solve::machine::placed::placed;
use crate::solve::machine::touching;
use crate::solve::machine::tube_hand::Tabbed;
use crate::solve::solved::Solved;
use crate::solve::solved::pieces;

/// Everything that is said of it.
pub(super) fn findings(job: &Job, solved: &[Solved], bodies: &[Body]) -> Vec<Finding> {
    let tubes = job.machine.tubes.iter().filter_map(|stands| {
        let tube = job.made_tubes().find(|tube| tube.name == stands.name)?.clone();
        let words = format!("tube `{}`", tube.name);
        of_tube(job, (&words, About::Tube(tube.name.clone())), tube, &stands.asked)
    });
    let links = job.machine.links.iter().filter_map(|stands| {
        let link = &job.links[stands.link];
        let tube = (link.quantity > 0).then(|| CopedTube::of_link(link))?;
        let words = format!("link `{}`", tube.name);
        of_tube(job, (&words, About::Link(tube.name.clone())), tube, &stands.asked)
    });
    let lines = job.lines.iter().enumerate().filter_map(|(i, line)| {
        let own: Vec<&Solved> = solved.iter().filter(|of| of.line == i).collect();
        of_line(job, line, &own)
    });
    tubes.chain(links).chain(lines).chain(alone(job, bodies)).collect()
}

/// A tube, or that of a link, on both sides.
fn of_tube(
    job: &Job,
    (words, about): (&str, About),
    tube: CopedTube,
    asked: &RequiredClearance,
) -> Option<Finding> {
    let (made, here) = (tube.quantity, asked.here);
    let is_link = matches!(about, About::Link(_));
    let of = OnSides { words, about, here, made };
    if !asked.both_sides {
        return None;
    }
    let tube = Tabbed::new(job, tube);
    if tube.is_own_mirror() {
        return (made < 2).then(|| check::too_few(&of, 2, 2));
    }
    if tube.made_of_other_hand(job) >= made {
        return None;
    }
    let half = made.div_ceil(2);
    let keep = format!("write `quantity = {half}` here");
    let help = match is_link {
        true => format!("{keep} and add a `[[link]]` for the other side{}", tube.typed_tabs()),
        false => format!("{keep} and add a `[[tube]]` for the other side with {}", tube.typed(job)),
    };
    Some(check::of_one_hand(&of, tube.differs(job), help))
}

/// A part in the machine.
fn of_line(job: &Job, line: &Line, own: &[&Solved]) -> Option<Finding> {
    let sides = if line.asked.both_sides { 2 } else { 1 };
    let placed = pieces_placed(line, own, job.units);
    let first = placed.first()?;
    // Plates of one part have places of their own.
    let count = |of: &Solved| placed.iter().filter(|other| other.name == of.name).count();
    let most = placed.iter().copied().max_by_key(|of| count(of))?;
    let places = places(&placed).saturating_mul(sides);
    let is_alike = |of: &&&Solved| base(of) == base(most);
    let made = own.iter().filter(is_alike).map(|of| pieces(job, of)).fold(0, u32::saturating_add);
    let words = format!("part `{}`", line.name);
    let about = About::part(&first.name);
    let of = OnSides { words: &words, about, here: line.asked.here, made };
    if sides == 2 && are_of_one_hand(&placed) {
        let half = made.div_ceil(2);
        let help = format!(
            "write `mirror = true` and `quantity = {half}`: that many are made of each hand; or remove \
             `both_sides` and add a `[[part]]` for the other side"
        );
        return Some(check::of_one_hand(&of, Vec::new(), help));
    }
    let each = (made / line.quantity.max(1)).max(1);
    let is_short = made < places && line.placing.fill == 0;
    is_short.then(|| check::too_few(&of, places, places.div_ceil(each)))
}

/// The pieces of a line that have a place on the given side, plates of one part each for itself.
fn pieces_placed<'a>(line: &Line, own: &[&'a Solved], units: Units) -> Vec<&'a Solved> {
    let places = line.stands.iter().filter_map(|stand| placed(stand, own, units).ok());
    places.flat_map(|of| of.pieces).map(|(of, _)| of).collect()
}

/// How many of the pieces are those of one plate, at most.
fn places(placed: &[&Solved]) -> u32 {
    let count = |of: &Solved| placed.iter().filter(|other| other.name == of.name).count();
    let most = placed.iter().map(|of| count(of)).max();
    u32::try_from(most.unwrap_or(0)).unwrap_or(u32::MAX)
}

/// Whether some of the pieces are not their own mirror image, and are made of one hand.
fn are_of_one_hand(placed: &[&Solved]) -> bool {
    placed.iter().any(|of| of.part.hand.is_none() && !is_own_mirror(of))
}

/// Whether the pieces of a line that are placed in the machine are not their own mirror image, are made of one
/// hand, and are enough for both sides.
pub(crate) fn is_of_one_hand(line: &Line, own: &[&Solved], units: Units) -> bool {
    let placed = pieces_placed(line, own, units);
    are_of_one_hand(&placed) && places(&placed).saturating_mul(2) <= line.quantity
}

/// The tubes of a job, each that is on both sides and of one hand with that of the other side behind it; `None`
/// if there is none. One with tabs, caps, slots or other fittings at its ends is left as it is, and stopped: its
/// fittings are not mirrored here.
pub(crate) fn with_other_hands(job: &Job) -> Option<Vec<CopedTube>> {
    let both = |tube: &CopedTube| {
        let name = format!("{}-other-side", tube.name);
        let links = job.links.iter().map(|link| &link.name);
        let mut names = job.tubes.iter().map(|tube| &tube.name).chain(links);
        let stands = job.machine.tubes.iter().find(|stands| stands.name == tube.name);
        let is_asked = stands.is_some_and(|stands| stands.asked.both_sides);
        let is_even = tube.quantity > 0 && tube.quantity.is_multiple_of(2);
        if !is_asked || !is_even || names.any(|known| known.eq_ignore_ascii_case(&name)) {
            return None;
        }
        Tabbed::new(job, tube.clone()).is_bare_of_one_hand(job).then(|| tube.with_other_side(name))
    };
    let all = job.tubes.iter().map(|tube| (tube, both(tube)));
    let all: Vec<(&CopedTube, Option<[CopedTube; 2]>)> = all.collect();
    let is_any = all.iter().any(|(_, both)| both.is_some());
    let told = all.into_iter();
    is_any.then(|| {
        told.flat_map(|(tube, both)| both.map_or_else(|| vec![tube.clone()], Vec::from)).collect()
    })
}

/// The name of a part without its hand.
fn base(of: &Solved) -> &str {
    let hand = of.part.hand.map(|hand| format!("-{}", hand.word()));
    hand.and_then(|hand| of.name.strip_suffix(&hand)).unwrap_or(&of.name)
}

/// The findings on a body on the other side that does not reach what it is joined to, which is on one side only.
fn alone(job: &Job, bodies: &[Body]) -> Vec<Finding> {
    let of = |(name, (other, at)): (&str, &touching::Touched)| {
        let there: Vec<&Body> = bodies.iter().filter(|b| b.set == *other).collect();
        if there.is_empty() || there.iter().any(|body| body.other_side) {
            return None;
        }
        let touch = |body: &Body, two: &Body| {
            machine::nearest(&body.pieces, &two.pieces, MEASURED).is_some()
        };
        let joined = |other_side: bool| {
            let mut own = bodies.iter().filter(|b| b.set == name && b.other_side == other_side);
            let first = own.clone().next();
            first.map(|body| (body, own.any(|one| there.iter().any(|two| touch(one, two)))))
        };
        // What does not touch on the given side is a finding of its own.
        match (joined(false), joined(true)) {
            (Some((_, true)), Some((body, false))) => {
                let words = body.words();
                Some(check::on_one_side([&words, &there[0].words()], *at))
            }
            _ => None,
        }
    };
    let mut found: Vec<Finding> = Vec::new();
    for finding in touching::all(job).filter_map(of) {
        // A tube that a part passes through is among what it touches, too.
        if found.iter().all(|known| known.headline != finding.headline) {
            found.push(finding);
        }
    }
    found
}
