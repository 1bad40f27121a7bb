//! Outlines as the search sees them: polygons on a grid, no-fit polygons, penetration depths,
//! cells, and the orientations an item is searched in.

pub(super) mod grown;
pub(super) mod mask;
pub(super) mod nfp;
pub(super) mod orientation;
pub(super) mod penetration_depth;
pub(super) mod polygon;
