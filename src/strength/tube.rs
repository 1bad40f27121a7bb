//! The wall of a round tube under a plate that is welded to it.

use crate::strength::limit::Limit;
use crate::strength::limit::Metal;
use crate::strength::method::Method;

/// The pull or push of a plate on the wall of a round tube at which the wall yields (plastification), N.
///
/// AISC 360-16 table K2.1 has 5.5 Fy t² times a factor that is never below 1, larger the
/// longer the plate is or the more of the tube it embraces. Here the factor is 1, so that it
/// serves for plates along the tube and across it. From memory: a caution, never more.
pub(super) fn wall(wall: f64, metal: Metal, method: Method) -> Limit {
    Limit::new(
        "plastification of the tube wall",
        "AISC 360-16 table K2.1",
        5.5 * metal.yield_strength * wall * wall,
        method.yielding(),
    )
}
