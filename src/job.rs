//! The contents of a job: its text read as typed values, its families expanded.
//!
//! Nothing is solved here; [`read`] only returns the parts required and their sheets.

mod accept;
mod as_built;
mod asked;
mod bar;
mod between;
mod bodies;
mod bridges;
mod elsewhere;
mod ends_of_tubes;
mod family;
mod force;
mod from;
mod inserts;
mod joints;
mod kit;
mod line;
mod link_load;
mod linked;
mod load;
mod locked;
mod machine;
mod meeting;
mod names;
mod obstacle;
mod on_hand;
mod only;
mod order_form;
mod piece_position;
mod placing;
mod points;
mod read;
mod settings;
mod sheet;
mod stock;
mod titled;
mod tube;
mod tube_end;
mod weldment;
mod whole;

pub use accept::Accepted;
pub use as_built::BuiltMeasure;
pub use as_built::Spreads;
pub use as_built::What;
pub(crate) use asked::AskedBend;
pub use asked::Job;
pub use asked::Kit;
pub use asked::Line;
pub use asked::Shelf;
pub use bar::Bar;
pub use bridges::Bridges;
pub use bridges::OwnBridges;
pub(crate) use line::find_sheet;
pub use linked::Held;
pub use locked::Locked;
pub use locked::LockedPiece;
pub(crate) use machine::LinkStands;
pub use machine::Machine;
pub(crate) use machine::RequiredClearance;
pub(crate) use machine::TubeStands;
pub(crate) use obstacle::SHAPES as OBSTACLE_SHAPES;
pub(crate) use obstacle::off_plane;
pub(crate) use obstacle::panel_at;
pub use on_hand::BookOf;
pub use on_hand::FromBook;
pub use only::Only;
pub use only::OnlyError;
pub use order_form::BendSigns;
pub use order_form::OrderForm;
pub(crate) use piece_position::By;
pub(crate) use piece_position::PiecePosition;
pub(crate) use piece_position::through;
pub use placing::CutOuts;
pub use placing::Placing;
pub use points::Points;
pub use read::read;
#[cfg(feature = "page")]
pub(crate) use read::read_begun;
pub use sheet::Sheet;
pub use stock::Stock;
pub use titled::Titled;
pub(crate) use tube::CopedTube;
pub(crate) use tube::ENDS;
pub(crate) use tube_end::Cheeks;
pub(crate) use tube_end::Inside;
pub use tube_end::TubeEnd;
pub use tube_end::TubeEnds;
pub use weldment::Weldment;

/// Printed wherever numbers could be mistaken for proof.
pub const CAUTION: &str = "Screening calculations only: no check here proves strength. \
     Local codes and a licensed engineer's judgement decide.";
