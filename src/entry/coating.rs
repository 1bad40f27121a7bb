//! A coating and what its line takes.

/// A coating, on every face.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Coating {
    /// Usual coating thickness, mm.
    pub film: f64,
    /// The smallest and the largest thickness, mm, where they are known.
    pub films: Option<[f64; 2]>,
    /// Whether a piece needs no oven, as its row says.
    pub no_oven: bool,
    /// The longest piece that its line takes, mm, where its row says.
    pub largest: Option<f64>,
}

impl Coating {
    /// One of which only the thickness is known: it may need an oven.
    pub const fn of(film: f64, films: Option<[f64; 2]>) -> Self {
        Self { film, films, no_oven: false, largest: None }
    }
}
