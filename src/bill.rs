//! The purchases and the work of a job: bolts, nuts, links, tubes, prices, the bench.

mod bars;
mod bench;
mod hardware;
mod joints;
mod links;
mod masking;
mod price;
mod purchases;
mod tubes;

pub(crate) use bench::Task;
pub(crate) use bench::bench;
pub(crate) use bench::from_cap;
pub(crate) use hardware::Hardware;
pub(crate) use hardware::through;
pub(crate) use links::spacers;
pub(crate) use masking::Masking;
pub(crate) use masking::masking;
pub(crate) use masking::of_hole as masked;
pub(crate) use price::price;
pub(crate) use purchases::Bars;
pub(crate) use purchases::bars;
pub(crate) use purchases::coated;
pub(crate) use tubes::Tube;
pub(crate) use tubes::ends;
pub(crate) use tubes::link_tubes;
pub(crate) use tubes::tubes;

use crate::job::Job;
use crate::solve::Solved;

/// Everything to buy that is screwed: bolts with washers and nuts, and what links and
/// clevises are made of.
pub(crate) fn hardware(job: &Job, solved: &[Solved]) -> Vec<Hardware> {
    let mut all = through(job, solved, solved);
    all.extend(joints::hardware(job, solved));
    all.extend(links::hardware(job, solved));
    all
}
