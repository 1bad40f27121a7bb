//! Parts and tubes on both sides of the machine of which the other side needs the mirror image: half of the
//! pieces are made of either hand.

use crate::job::Job;
use crate::job::Kit;
use crate::job::Line;
use crate::job::Sheet;
use crate::joint::What;
use crate::solve::machine::is_of_one_hand;
use crate::solve::machine::with_other_hands;
use crate::solve::solved::Solved;

/// A job in which what is on both sides is made in both hands where it is not its own mirror image; `None` if
/// there is no such thing. `shapes` gives the parts of each line of a job.
pub(super) fn in_both_hands(job: &Job, shapes: &dyn Fn(&Job) -> Vec<Vec<Solved>>) -> Option<Job> {
    let (lines, tubes) = (lines(job, shapes), with_other_hands(job));
    if lines.is_none() && tubes.is_none() {
        return None;
    }
    let lines = lines.unwrap_or_else(|| job.lines.clone());
    let tubes = tubes.unwrap_or_else(|| job.tubes.clone());
    Some(Job { lines, tubes, ..job.clone() })
}

/// The lines of a job with those in both hands that are on both sides and are not their own mirror image;
/// `None` if there are none. Where other entries name pieces of one of them, the job has to say which
/// hand it means: it is left as it is, and stopped.
fn lines(job: &Job, shapes: &dyn Fn(&Job) -> Vec<Vec<Solved>>) -> Option<Vec<Line>> {
    let asked: Vec<usize> = (0..job.lines.len()).filter(|i| is_asked(job, *i)).collect();
    if asked.is_empty() {
        return None;
    }
    let some = Job { lines: asked.iter().map(|i| job.lines[*i].clone()).collect(), ..job.clone() };
    let mut all = job.lines.clone();
    let mut is_any = false;
    for (line, parts) in asked.into_iter().zip(shapes(&some)) {
        let parts: Vec<&Solved> = parts.iter().collect();
        if is_of_one_hand(&all[line], &parts, job.units) {
            let half = all[line].quantity / 2;
            all[line] = Line { mirror: Some(true), quantity: half, ..all[line].clone() };
            is_any = true;
        }
    }
    is_any.then_some(all)
}

/// Whether a line is on both sides, with pieces for both, and leaves it to its recipe of which hand they are.
fn is_asked(job: &Job, index: usize) -> bool {
    let line = &job.lines[index];
    let is_even = line.quantity > 0 && line.quantity.is_multiple_of(2) && line.placing.fill == 0;
    let is_free = line.asked.both_sides && line.mirror.is_none() && !line.stands.is_empty();
    is_even && is_free && !is_named(job, line) && !is_clash(job, line)
}

/// Whether anything but a load names pieces of a line: joints, ends of tubes, measurements, locked sheets; or a
/// kit, which would not have the same number of each hand.
fn is_named(job: &Job, line: &Line) -> bool {
    let is = |name: &str| name == line.name;
    let in_joint = job.joints.all.iter().flat_map(|joint| &joint.stack);
    let mut in_joint = in_joint.filter_map(|layer| match &layer.what {
        What::Hole { part, .. } => Some(part),
        _ => None,
    });
    let at_end = job.tube_ends.all.iter().any(|end| {
        end.cap.as_ref().is_some_and(|cap| is(&cap.part))
            || end.cheeks.as_ref().is_some_and(|cheeks| is(&cheeks.part))
            || end.tabs.iter().any(|(tab, _)| is(&tab.part))
    });
    let locked = |sheet: &Sheet| {
        let mut all = sheet.stock.iter().filter_map(|stock| stock.locked.as_ref());
        all.any(|locked| locked.pieces.iter().any(|piece| is(&piece.part)))
    };
    let is_uneven = |kit: &Kit| !(line.quantity / 2).is_multiple_of(kit.quantity.max(1));
    in_joint.any(|part| is(part))
        || at_end
        || job.as_built.iter().any(|measured| is(&measured.part.0))
        || job.sheets.iter().any(locked)
        || job.kits.iter().any(|kit| kit.parts.iter().any(|part| is(part)) && is_uneven(kit))
}

/// Whether another line has the name that one of its hands would have.
fn is_clash(job: &Job, line: &Line) -> bool {
    let hands = ["right", "left"].map(|hand| format!("{}-{hand}", line.name));
    job.lines.iter().any(|other| hands.iter().any(|name| other.name.eq_ignore_ascii_case(name)))
}
