//! Points, lines, true arcs, and the outlines made of them.
//!
//! Knows no metal. Lengths are millimetres; y points up and positive turns are
//! anticlockwise, as in a drawing. An arc is a chord with a *bulge*, the tangent
//! of a quarter of its sweep: positive bulges to the right of the direction of
//! travel, 1 is a half circle.

mod belt;
mod boolean;
mod bounds;
mod clearance;
mod contours;
mod corner;
mod distance;
mod edge;
mod flatten;
mod lettering;
mod narrow;
mod near;
mod offset;
mod outline;
mod place;
mod region;
mod rolled;
mod saddle;
mod shape;
mod sides;
mod tongue;
mod treatment;

pub use belt::Disc;
pub use belt::belt;
pub use boolean::BooleanError;
pub use boolean::cut;
pub use boolean::unite;
pub use bounds::Bounds;
pub(crate) use clearance::outline_distance;
pub use contours::ContourFault;
pub use contours::JOIN;
pub use contours::plate;
pub use corner::Corner;
pub use corner::CornerError;
pub use corner::Side as CornerSide;
pub use corner::polygon;
pub(crate) use corner::sides as corner_sides;
pub use distance::edge_distance;
pub use edge::Arc;
pub use edge::Edge;
pub use flatten::Side;
pub use flatten::flatten;
pub use kurbo::Point;
pub use kurbo::Vec2;
pub use lettering::LetteringError;
pub use lettering::lettering;
pub use narrow::Narrow;
pub use narrow::Within;
pub use narrow::narrow;
pub use near::NEAR;
pub use offset::OffsetError;
pub(crate) use offset::offset;
pub use outline::Outline;
pub use outline::OutlineError;
pub use outline::Vertex;
pub use place::Place;
pub use region::Region;
pub use region::RegionError;
pub use rolled::RolledError;
pub use saddle::Saddle;
pub use saddle::SaddleError;
pub use shape::arc_slot;
pub use shape::disc;
pub(crate) use shape::double_flat;
pub use shape::hexagon;
pub(crate) use shape::keyway;
pub use shape::rectangle;
pub use shape::slot;
pub(crate) use sides::is_round_ended;
pub(crate) use sides::sides;
pub(crate) use sides::widest;
pub(crate) use tongue::Tongue;
pub(crate) use tongue::tongue_slot;
pub(crate) use tongue::tongues;
pub use treatment::CornerKind;
