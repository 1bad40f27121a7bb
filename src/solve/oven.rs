//! What of a job is coated beside its parts and links: tubes and weldments.

use crate::check;
use crate::check::Coated;
use crate::diag::About;
use crate::diag::Finding;
use crate::job::Job;
use crate::job::Line;
use crate::num;
use crate::solve::solved::Solved;
use std::collections::BTreeSet;

/// Tubes and weldments that are too large for the oven of the shop.
pub(super) fn too_large(job: &Job) -> Vec<Finding> {
    if !job.is_coated() {
        return Vec::new();
    }
    let (limits, units) = (&job.limits, job.units);
    let tubes = job.made_tubes().filter(|_| job.coating > 0.0).map(|tube| Coated {
        what: format!("tube `{}`", tube.name),
        about: Some(About::Tube(tube.name.clone())),
        size: [tube.cut_length(), tube.outside, tube.outside],
        here: tube.here,
        limits,
        units,
    });
    let weldments = job.weldments.iter().map(|weldment| Coated {
        what: format!("weldment `{}`", weldment.name),
        about: None,
        size: weldment.size,
        here: weldment.here,
        limits,
        units,
    });
    tubes.chain(weldments).filter_map(|coated| check::coated(&coated)).collect()
}

/// Sets of plates that are welded together and may be too large for the oven as a whole, while the
/// job states no weldment. Plates that touch reach no further than their diagonals in a row, so
/// that small sets are judged without a word.
pub(super) fn not_judged(job: &Job, solved: &[Solved]) -> Vec<Finding> {
    if !job.is_coated() || !job.weldments.is_empty() {
        return Vec::new();
    }
    let of_line = |line: usize| solved.iter().filter(move |s| s.line == line);
    let finding = |(line, asked): (usize, &Line)| {
        let limits = job.limits_of(asked);
        let room = limits.oven.into_iter().flatten().chain(limits.largest).reduce(f64::min)?;
        let plates: BTreeSet<&str> = of_line(line).map(|s| s.part.faces[0].name.as_str()).collect();
        let reach: f64 = of_line(line).map(|s| f64::from(s.part.copies) * diagonal(s)).sum();
        if plates.len() < 2 || reach <= room || job.coating_of(asked).film == 0.0 {
            return None;
        }
        let show = |mm: f64| job.units.length(mm);
        let what = match limits.oven {
            Some(_) => "fits in the oven",
            None => "is short enough for its coating line",
        };
        let headline = format!(
            "whether `{}` {what} once it is welded is not judged: its size is not known",
            asked.name
        );
        let oven = limits.oven.map(|oven| check::size_of_oven(oven.map(show)));
        let largest = limits.largest.map(|mm| check::largest_piece(&show(mm)));
        let finding = Finding::caution("oven", headline)
            .at(asked.here, "")
            .note(oven.into_iter().chain(largest).collect::<Vec<String>>().join("; "))
            .help("add a `[[weldment]]` with the `name` and the `size` of what is coated as one");
        Some(of_line(line).fold(finding, |finding, s| finding.about(About::part(&s.name))))
    };
    job.lines.iter().enumerate().filter_map(finding).collect()
}

/// From corner to corner of the flat, mm.
fn diagonal(solved: &Solved) -> f64 {
    let bounds = solved.flat.region.bounds();
    num::hypot(bounds.width(), bounds.height()) + solved.part.thickness
}
