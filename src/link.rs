//! Links: a tube with a threaded bung welded into each end, and a rod end screwed into
//! each bung and locked by a jam nut.
//!
//! Lengths are millimetres. A link is measured between its pins: the centres of the balls.
//! A rod end that is screwed in by its *engagement* projects from its bung by the rest of its
//! shank.

mod chosen;
mod judge;
mod load;
mod not_judged;
mod read;
mod section;
mod setting;
mod sizes;
mod verdict;

pub(crate) use chosen::Chosen;
pub(crate) use chosen::Unfit;
pub(crate) use judge::judge;
pub(crate) use load::LinkLoad;
pub(crate) use load::Way;
pub(crate) use read::read;
pub(crate) use setting::End;
pub(crate) use setting::Hand;
pub(crate) use setting::Link;
pub(crate) use verdict::Found;
pub(crate) use verdict::LinkVerdict;
pub(crate) use verdict::Place;
