//! A release of DXF.

/// A release of DXF.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Version {
    /// AC1015, with units and handles.
    #[default]
    R2000,
    /// AC1009, for older software. Says nothing of its units.
    R12,
}
