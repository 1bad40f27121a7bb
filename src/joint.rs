//! Bolted joints: which holes of which parts share a bolt, and the layers between them.
//!
//! A joint has one stack, in order from the head of its bolt, and one grip. A joint of the job is a
//! [`Joint`]; with the solved parts it becomes a [`Bolted`], which has its bolt, how its holes line
//! up, and the order in which they are drilled. Lengths are millimetres.

mod asked;
mod bolted;
mod drilled;
mod head;
mod layers;
mod length;
mod line_up;
mod passing;
mod read;

pub(crate) use asked::Filling;
pub(crate) use asked::Joint;
pub(crate) use asked::Joints;
pub(crate) use asked::Laminate;
pub(crate) use asked::Sleeve;
pub(crate) use asked::Washer;
pub(crate) use asked::What;
pub(crate) use bolted::Bolted;
pub(crate) use head::Head;
pub(crate) use layers::Between;
pub(crate) use layers::Plate;
pub(crate) use layers::Thread;
pub(crate) use length::StockLength;
pub(crate) use length::TURNS_BEYOND;
pub(crate) use length::made_up;
pub(crate) use line_up::across;
pub(crate) use passing::Passing;
pub(crate) use read::read;
