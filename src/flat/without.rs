//! A face without a shape.

use crate::geom::Outline;
use crate::geom::Region;
use crate::geom::RegionError;

/// A face without a shape, which may miss it.
pub(super) fn without(face: &Region, tool: &Outline) -> Result<Region, String> {
    if face.bounds().distance(&tool.bounds()) > 0.0 {
        return Ok(face.clone());
    }
    match face.without(tool) {
        Err(RegionError::Misses) => Ok(face.clone()),
        other => other.map_err(|e| e.to_string()),
    }
}
