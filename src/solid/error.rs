//! Why a formed part has no closed skin.

use thiserror::Error;

/// Why a formed part has no closed skin.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum SolidError {
    /// A hole that runs over a bend cannot be cut out of it.
    #[error("hole `{0}` runs over a bend and cannot be cut from the solid")]
    Hole(String),
    /// A countersink or counterbore that passes right through the plate, or one or a flare whose
    /// hole runs over a bend.
    #[error("the {0} of hole `{1}` cannot be cut from the solid")]
    Recess(&'static str, String),
    /// Edges are left that do not lie between two sides.
    #[error("{0} edges of its surface are not between two faces")]
    Open(usize),
}
