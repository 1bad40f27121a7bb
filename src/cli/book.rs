//! The stock book on the disk: a database beside the shop file.
//!
//! Whatever is written is written in one transaction: a run that is killed, a full disk or another
//! run at the same time leave either all of it or nothing.

mod cut;
mod damage;
mod job;
mod open;
mod record;
mod schema;
mod stock;

pub(super) use cut::Booked;
pub(super) use cut::Moved;
pub(super) use cut::Taken;
pub(super) use cut::Undone;
pub(super) use job::JobFile;
pub(super) use open::Book;
pub(super) use record::StripEntry;
