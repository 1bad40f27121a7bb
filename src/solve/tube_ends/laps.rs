//! The flat plates that lap over the ends of tubes, and the bolts through them.

use crate::check::Eye;
use crate::check::LappedPlate;
use crate::geom::Bounds;
use crate::job;
use crate::job::Job;
use crate::joint::Between;
use crate::joint::Bolted;
use crate::num;
use crate::part::Hole;
use crate::solve::ears;
use crate::solve::solved::Solved;

/// The plate on both sides of an end of a tube; nothing of one that is bent, or of several.
fn flat<'a>(job: &Job, solved: &'a [Solved], asked: &job::TubeEnd) -> Option<&'a Solved> {
    let cheeks = asked.cheeks.as_ref()?;
    let mut own = solved.iter().filter(|of| job.lines[of.line].name == cheeks.part);
    let of = own.next().filter(|of| of.part.bends.is_empty())?;
    own.next().is_none().then_some(of)
}

/// The plate on both sides of an end of a tube.
pub(super) fn plate<'a>(
    job: &Job,
    solved: &[Solved],
    asked: &'a job::TubeEnd,
) -> Option<LappedPlate<'a>> {
    let bounds = flat(job, solved, asked)?.flat.region.bounds();
    let [width, height] = [bounds.width(), bounds.height()];
    let part = &asked.cheeks.as_ref()?.part;
    Some(LappedPlate { part, long: width.max(height), across: num::hypot(width, height) })
}

/// The bolts through both plates, with something between these.
pub(super) fn eyes<'a>(
    job: &Job,
    solved: &[Solved],
    (asked, joints): (&job::TubeEnd, &[&'a Bolted]),
) -> Vec<Eye<'a>> {
    let Some(of) = flat(job, solved, asked) else { return Vec::new() };
    let Some(face) = of.part.faces.first() else { return Vec::new() };
    let bounds = face.blank.bounds();
    let eye = |joint: &&'a Bolted| {
        let [from, to] = ears::two_plates(joint, &of.name)?;
        let between = joint.layers.get(from + 1..to).filter(|layers| !layers.is_empty())?;
        let sleeves = between.iter().filter_map(|layer| match layer {
            Between::Laminate(laminate, _) => Some(laminate.sleeve?.outside),
            Between::Plate(_) | Between::Fill(_) => None,
        });
        let Between::Plate(plate) = &joint.layers[from] else { return None };
        let hole = face.holes.iter().find(|hole| hole.is_of(&plate.hole))?;
        Some(Eye {
            joint: &joint.joint.name,
            at: joint.joint.here,
            hole: hole.name.clone(),
            from_edge: from_edge(hole, bounds),
            bolt: joint.joint.bolt.measure("diameter"),
            sleeve: sleeves.reduce(f64::max),
        })
    };
    joints.iter().filter_map(eye).collect()
}

/// From the centre of a hole to the furthest side of a box, mm.
fn from_edge(hole: &Hole, bounds: Bounds) -> f64 {
    let sides = [
        hole.at.x - bounds.min.x,
        bounds.max.x - hole.at.x,
        hole.at.y - bounds.min.y,
        bounds.max.y - hole.at.y,
    ];
    sides.into_iter().fold(0.0, f64::max)
}
