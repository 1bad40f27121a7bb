//! A flat to a formed part: each face and each bend as a solid in space.
//!
//! The first face lies in the xy plane as it was drawn, its top side at z = 0 and
//! its metal below. A face in space is its drawing, cut back to where its bends begin,
//! from z = 0 down to z = −thickness of its own frame. A bend is a sector of a hollow cylinder
//! between two faces. A bend to the top turns towards the top side of the face it starts from, in
//! that face's own z, wherever earlier bends have turned it.
//!
//! Bends can be made in part. The fibre that keeps its length stays in the same depth
//! of the sheet, so the strip keeps its length and its inside radius shrinks from
//! infinity, when it is still flat, to the bend's own.

mod axis;
mod clash;
mod corner_gap;
mod eye;
mod folded;
mod formed;
mod in_tubes;
mod made;
mod over;
mod tube;
mod tube_clash;

pub use crate::geom::Frame;
pub use crate::geom::Space;
pub use crate::geom::cross;
pub use crate::geom::dot;
pub use crate::geom::length;
pub use crate::geom::minus;
pub use crate::geom::plus;
pub use crate::geom::times;
pub(crate) use axis::Axis;
pub use clash::Piece;
pub use clash::clash_between;
pub use clash::clashes;
pub use clash::formed_clashes;
pub(crate) use corner_gap::CornerGap;
pub use corner_gap::corner_gaps;
pub use eye::eye_gap;
pub use folded::Folded;
pub(crate) use folded::FoldedBend;
pub(crate) use folded::FoldedFace;
pub use formed::Formed;
pub use in_tubes::in_tubes;
pub use made::fold;
pub use made::frames;
pub use made::full;
pub use made::gain;
pub(crate) use made::moved;
pub use over::Laid;
pub use over::Over;
pub use over::laid;
pub use over::shadow;
pub use tube::cut_tubes;
pub use tube_clash::TubeClash;
pub use tube_clash::tube_clashes;
