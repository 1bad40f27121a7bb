//! The slots in tubes that parts pass through.

use crate::job::Job;
use crate::job::Line;
use crate::solve::Solved;

/// A slot in a tube, for a part that passes right through.
pub(crate) struct Slot<'a> {
    /// The tube, one that is made or one that is there.
    pub(crate) tube: &'a str,
    /// The part.
    pub(crate) part: &'a str,
    /// Its thickness, mm.
    pub(crate) thickness: f64,
    /// How many: one for each piece in the machine.
    pub(crate) quantity: u32,
}

/// All slots of a job, in the order of its parts.
pub(crate) fn slots<'a>(job: &'a Job, solved: &[Solved]) -> Vec<Slot<'a>> {
    let placed = job.lines.iter().enumerate().filter(|(_, line)| !line.stands.is_empty());
    let of_line = |(i, line): (usize, &'a Line)| {
        let thickness = solved.iter().find(|of| of.line == i).map(|of| of.part.thickness);
        let sides = if line.asked.both_sides { 2 } else { 1 };
        let quantity = u32::try_from(line.stands.len()).unwrap_or(u32::MAX).saturating_mul(sides);
        let tubes = line.asked.through.iter().map(|(tube, _)| tube);
        tubes.filter_map(move |tube| {
            Some(Slot { tube, part: &line.name, thickness: thickness?, quantity })
        })
    };
    placed.flat_map(of_line).collect()
}
