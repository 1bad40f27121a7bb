//! Why an SVG file cannot be read.

use thiserror::Error;

/// Why a file cannot be read.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum SvgError {
    /// Not UTF-8; from which byte on.
    #[error("byte {0} is not UTF-8 text")]
    Letters(usize),
    /// Not XML, or damaged.
    #[error("it cannot be read as SVG: {0}")]
    Xml(String),
    /// Another language of XML.
    #[error("it is not an SVG: its root is `{0}`")]
    NotSvg(String),
    /// A unit along x is not as long as one along y.
    #[error("one unit is {0} mm along x and {1} mm along y")]
    Uneven(f64, f64),
    /// Reused elements expand to more elements than this.
    #[error("its reused elements come to more than {0}")]
    TooMany(usize),
}
