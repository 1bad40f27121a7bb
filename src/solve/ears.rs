//! Ears of one part in a joint, with the layers between them.

use crate::check;
use crate::check::Ears;
use crate::check::Spacer;
use crate::diag::Finding;
use crate::job::Job;
use crate::joint::Between;
use crate::joint::Bolted;
use crate::solve::joints;
use crate::solve::solved::Solved;
use crate::solve::solved::takes_rod_end;

/// The findings on ears that take the layers of a joint in place of a rod end. Those beside a tube are
/// judged there, and the legs of a bent part with their joint.
pub(super) fn findings(job: &Job, solved: &[Solved]) -> Vec<Finding> {
    let is_beside_tube = |line: &str| {
        let cheeks = job.tube_ends.all.iter().filter_map(|end| end.cheeks.as_ref());
        cheeks.into_iter().any(|cheeks| cheeks.part == line)
    };
    let joints = joints::joints(job, solved);
    let of_part = |of: &Solved| {
        let line = &job.lines[of.line];
        let is_own = of.part.bends.is_empty() && !takes_rod_end(job, line, &of.part);
        let clevis = of.part.clevis.as_ref().filter(|_| is_own && !is_beside_tube(&line.name));
        let coating = job.coating_of(line);
        let film = coating.films.map_or(coating.film, |[_, thick]| thick);
        let set = job.joints.tables.row("tolerance", "weld");
        let off = set.map_or(0.0, |row| row.measure("length"));
        let one = |(joint, gap): (&Bolted, f64)| {
            let layers = between(joint, &of.name)?;
            check::ears(&Ears { part: &of.name, layers, gap, film, off, units: job.units })
        };
        let found = clevis.map(|clevis| joints.iter().map(move |joint| (*joint, clevis.gap)));
        found.into_iter().flatten().filter_map(one).collect::<Vec<Finding>>()
    };
    solved.iter().flat_map(of_part).collect()
}

/// The first two plates of a part in a joint, by their numbers among its layers.
pub(super) fn two_plates(joint: &Bolted, part: &str) -> Option<[usize; 2]> {
    let is_it = |layer: &Between| matches!(layer, Between::Plate(plate) if plate.part == part);
    let mut at = (0..joint.layers.len()).filter(|i| is_it(&joint.layers[*i]));
    Some([at.next()?, at.next()?])
}

/// The layers between the first two plates of a part in a joint, as clamped.
pub(super) fn between<'a>(joint: &'a Bolted, part: &str) -> Option<Spacer<'a>> {
    let [from, to] = two_plates(joint, part)?;
    let ranges = joint.layers[from + 1..to].iter().map(Between::range);
    let thickness = ranges.fold([0.0, 0.0], |sum, range| [sum[0] + range[0], sum[1] + range[1]]);
    Some(Spacer { joint: &joint.joint.name, thickness, at: joint.joint.here })
}
