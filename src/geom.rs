//! Points, lines, true arcs, and the outlines made of them.
//!
//! Knows no metal. Lengths are millimetres; y points up and positive turns are
//! anticlockwise, as in a drawing. An arc is a chord with a *bulge*, the tangent
//! of a quarter of its sweep: positive bulges to the right of the direction of
//! travel, 1 is a half circle.

mod belt;
mod boolean;
mod bounds;
mod contours;
mod corner;
mod distance;
mod edge;
mod flatten;
mod lettering;
mod offset;
mod outline;
mod place;
mod region;
mod saddle;
mod shape;
mod tongue;

pub use belt::{Disc, belt};
pub use boolean::{BooleanError, cut, unite};
pub use bounds::Bounds;
pub use contours::{ContourFault, JOIN, plate};
pub use corner::{Corner, CornerError, CornerKind, polygon};
pub use distance::{edge_distance, outline_distance};
pub use edge::{Arc, Edge};
pub use flatten::{Side, flatten};
pub use kurbo::{Point, Vec2};
pub use lettering::{LetteringError, lettering, letters};
pub use offset::{OffsetError, fill_corners, offset, round_corners};
pub use outline::{Outline, OutlineError, Vertex};
pub use place::Place;
pub use region::{Region, RegionError};
pub use saddle::{Saddle, SaddleError};
pub use shape::{disc, double_flat, hexagon, keyway, rectangle, slot};
pub use tongue::{Tongue, TongueError, mortise, tongues};

/// Two points nearer than this, in mm, are one point. Far below what any machine
/// can cut, far above the rounding of a chain of constructions. Our choice.
pub const NEAR: f64 = 1e-6;
