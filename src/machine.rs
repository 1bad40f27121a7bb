//! The bodies of a machine in one coordinate system, and the distances between them.
//!
//! Independent of jobs. A body is a set of convex pieces that enclose all of it: rounding is on the
//! side of more metal. A distance is never more than that between the pieces: a distance the search
//! has not proved is not counted. Lengths are millimetres.

mod body;
mod clearance;
mod convex;
mod gjk;
mod link;
mod nearest;
mod plate;
mod round;

pub use body::Body;
pub use body::Kind;
pub use body::Mirror;
pub use body::Shown;
pub use clearance::Clearance;
pub use clearance::Defaults;
pub use clearance::clearances;
pub use convex::Convex;
pub use convex::Disc;
pub use gjk::Apart;
pub use gjk::separation;
pub(crate) use link::STEEPEST;
pub use link::Travel;
pub use link::Zone;
pub use link::swept;
pub use nearest::nearest;
pub use plate::folded;
pub(crate) use plate::is_convex;
pub use plate::plate;
pub use plate::prism;
pub use round::bar;
pub use round::torus;
pub use round::tube;
