//! Common cuts, where a job asks for them.

use crate::diag::Finding;
use crate::job::Job;
use crate::nest::MIN_GAP;
use crate::num;
use crate::place::bridges;
use crate::place::sheet::NestedSheet;
use crate::route::Sharing;
use crate::solve::Solved;

/// The notes on them in a sheet's file for the machine operator.
pub(crate) const NOTES: [&str; 2] = [
    "CUT-COMMON: cut ON these lines, no kerf offset, before the open paths on CUT",
    "open paths on CUT: offset to the right as drawn (the piece is on the left); they free the pieces",
];

/// A gap nearer to the kerf than this, mm, counts as the kerf. Our choice: values in inches are
/// rounded.
const SAME: f64 = 1e-4;

/// Pieces must lie one kerf apart.
pub(crate) fn check(job: &Job) -> Vec<Finding> {
    let Some(span) = job.common_cuts else { return Vec::new() };
    let kerf = job.process.measure("kerf");
    let process = job.process.name();
    let mm = |x: f64| format!("{} mm", num::text(x, 4));
    if kerf <= MIN_GAP {
        let headline = format!("a kerf of {} allows no common cuts", mm(kerf));
        let finding = Finding::stop("common-cuts", headline).at(span, "");
        let help = format!("give the kerf of `{process}` in the shop file, or remove this");
        return vec![finding.help(help)];
    }
    let other = job.sheets.iter().find(|sheet| (job.gap_on(sheet) - kerf).abs() > SAME);
    let finding = other.map(|sheet| {
        let headline = format!(
            "common cuts need a gap of one kerf: the kerf of `{process}` is {}, the gap on `{}` is {}",
            mm(kerf),
            sheet.name,
            mm(job.gap_on(sheet))
        );
        let help = format!("write `gap = \"{}\"` at the top, or remove `common_cuts`", mm(kerf));
        Finding::stop("common-cuts", headline).at(span, "").help(help)
    });
    finding.into_iter().collect()
}

/// The common cuts possible on a sheet; `None` unless the job asks for them.
pub(crate) fn sharing<'a>(job: &Job, alone: &'a [bool]) -> Option<Sharing<'a>> {
    job.common_cuts.map(|_| Sharing { kerf: job.process.measure("kerf"), alone })
}

/// Whether the pieces of a part share nothing: they have bridges, and each outline is cut alone.
pub(crate) fn stands_alone(job: &Job, solved: &Solved) -> bool {
    bridges::chains(job, solved, solved.flat.region.outer()).is_some()
}

/// Length in mm and number of the cuts along the outlines that share some.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct OutlineCuts {
    pub(crate) length: f64,
    pub(crate) pierces: usize,
}

/// The cuts along the outlines of a sheet that share some: cut one by one, and with common cuts.
pub(crate) fn outline_cuts(solved: &[Solved], nested: &NestedSheet) -> [OutlineCuts; 2] {
    let (mut apart, mut shared) = (OutlineCuts::default(), OutlineCuts::default());
    for ((part, _), rest) in nested.placed.iter().zip(&nested.route.rests) {
        let Some(chains) = rest else { continue };
        apart.length += solved[*part].flat.region.outer().length();
        apart.pierces += 1;
        shared.length += chains.iter().flatten().map(|edge| edge.length()).sum::<f64>();
        shared.pierces += chains.len();
    }
    shared.length +=
        nested.route.common_cuts.iter().map(|[from, to]| (*to - *from).hypot()).sum::<f64>();
    shared.pierces += nested.route.common_cuts.len();
    [apart, shared]
}
