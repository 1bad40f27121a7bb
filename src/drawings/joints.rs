//! The joints of a part, in its drawing.

use crate::drawings::hole_dimensions;
use crate::drawings::hole_dimensions::Set;
use crate::job::Job;
use crate::joint::Bolted;
use crate::solve;
use crate::solve::Solved;

/// The lines of each joint: its holes by their letters with its bolt and stack, then how it is drilled.
pub(super) fn lines(job: &Job, solved: &Solved, sets: &[Set]) -> Vec<String> {
    solved.joints.iter().flat_map(|bolted| of_joint(job, solved, sets, bolted)).collect()
}

fn of_joint(job: &Job, solved: &Solved, sets: &[Set], bolted: &Bolted) -> Vec<String> {
    let is_in =
        |set: &&Set| solve::joint_of(job, solved, set.hole()) == Some(bolted.joint.name.as_str());
    let letters: Vec<&str> = sets.iter().filter(is_in).map(|set| set.letter.as_str()).collect();
    let joints = match bolted.quantity {
        1 => String::new(),
        n => format!(" in each of {n} joints"),
    };
    // A hole that is alone has no letter on the flat.
    let letters = match hole_dimensions::is_single(solved) {
        true => String::new(),
        false => format!(" ({})", letters.join(", ")),
    };
    let own = format!(
        "Joint {}{letters}: {} × {}{joints}; stack from the head: {}.",
        bolted.joint.name,
        bolted.bolts_each(),
        bolted.ordered(),
        bolted.stack(job.units)
    );
    let drilling = bolted.drilling(job.units);
    let drilling: Vec<String> = drilling.into_iter().collect();
    let drilling = (!drilling.is_empty()).then(|| drilling.join(" "));
    std::iter::once(own).chain(drilling).collect()
}
