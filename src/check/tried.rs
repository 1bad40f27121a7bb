//! Whether a bend can be made after a remedy: of the changed part, in the changed shop.

use crate::check::subject::Subject;
use crate::flat;
use crate::part::Part;
use crate::sequence;
use crate::sequence::Metal;
use crate::sequence::Task;
use crate::shop::Shop;

/// Whether a part like the one that is judged has a bend sequence in a shop that makes a bend.
pub(super) fn makes(subject: &Subject, bend: usize, part: &Part, shop: &Shop) -> bool {
    let (Ok(flat), Some((_, plan))) = (flat::unfold(part), subject.shop) else { return false };
    let metal = Metal::of(subject.material);
    let material = subject.material.name();
    let task = Task { part, flat: &flat, metal, material, shop };
    // The search takes long where it finds nothing.
    sequence::is_made_after(&task, plan, bend)
        && sequence::find(&task).blocked.iter().all(|(blocked, _)| *blocked != bend)
}
