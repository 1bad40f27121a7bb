//! How the flats of an order are drawn.

use crate::write::Dialect;

/// How the flats of an order are drawn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct OrderForm {
    /// How DXF is written.
    pub dialect: Dialect,
    /// What shows the bends.
    pub bends: BendSigns,
    /// The holes without the outline.
    pub holes_only: bool,
}

/// What shows a bend on a flat that is sent away.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum BendSigns {
    /// The line in the centre of the bend, on its layer.
    #[default]
    Lines,
    /// A short tick at either end of it, on the layer that is etched.
    Ticks,
    /// Nothing.
    None,
}
