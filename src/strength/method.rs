//! By which rules a load is judged, and their factors of safety.

/// Ω of AISC 360-16 for what breaks: chapters D, J.
pub(super) const AISC_RUPTURE: f64 = 2.0;
/// Ω of AISC 360-16 for what yields: chapters D, E, F, H, J.
pub(super) const AISC_YIELD: f64 = 1.67;
/// Ω of AISC 360-16 for yield in shear (J4-3).
const AISC_SHEAR_YIELD: f64 = 1.5;
/// Factor on the design factor Nd of BTH-1 for rupture without prior yielding.
pub(super) const BTH_RUPTURE: f64 = 1.2;
/// Yield in shear as a share of the yield strength: J4-3.
const AISC_SHEARED: f64 = 0.6;
/// The same by BTH-1: 1/√3, from memory.
const BTH_SHEARED: f64 = 0.577_350_269_189_625_8;
/// Maximum ratio of plastic to elastic moment: F11-1.
const AISC_PLASTIC: f64 = 1.6;
/// The same by BTH-1 for solid rectangular bars, from memory.
const BTH_PLASTIC: f64 = 1.25;

/// How a lifting device is used, which gives its design factor Nd (BTH-1 section 3-1.3).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Category {
    /// Loads and surroundings are well known.
    A,
    /// They are not.
    B,
    /// Special uses.
    C,
}

impl Category {
    /// The design factor Nd.
    pub const fn factor(self) -> f64 {
        match self {
            Self::A => 2.0,
            Self::B => 3.0,
            Self::C => 6.0,
        }
    }
}

/// By which rules a load is judged.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Method {
    /// AISC 360-16, allowable strength.
    Aisc360,
    /// ASME BTH-1, with the category of use.
    Bth1(Category),
}

impl Method {
    /// Its name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Aisc360 => "AISC 360-16, allowable strength",
            Self::Bth1(Category::A) => "ASME BTH-1, category A",
            Self::Bth1(Category::B) => "ASME BTH-1, category B",
            Self::Bth1(Category::C) => "ASME BTH-1, category C",
        }
    }

    /// The factor of safety on yield: Nd of BTH-1, in tension as in bending.
    pub fn yielding(self) -> f64 {
        match self {
            Self::Aisc360 => AISC_YIELD,
            Self::Bth1(category) => category.factor(),
        }
    }

    /// The factor of safety on yield in shear.
    pub fn yielding_in_shear(self) -> f64 {
        match self {
            Self::Aisc360 => AISC_SHEAR_YIELD,
            Self::Bth1(category) => category.factor(),
        }
    }

    /// The factor of safety on rupture: 1.20 Nd of BTH-1.
    pub fn rupture(self) -> f64 {
        match self {
            Self::Aisc360 => AISC_RUPTURE,
            Self::Bth1(category) => BTH_RUPTURE * category.factor(),
        }
    }

    /// Yield in shear as a share of the yield strength.
    pub(super) const fn sheared(self) -> f64 {
        match self {
            Self::Aisc360 => AISC_SHEARED,
            Self::Bth1(_) => BTH_SHEARED,
        }
    }

    /// The section modulus that counts, of the elastic and the plastic one, mm³.
    pub(super) fn modulus(self, elastic: f64, plastic: f64) -> f64 {
        match self {
            Self::Aisc360 => plastic.min(AISC_PLASTIC * elastic),
            Self::Bth1(_) => plastic.min(BTH_PLASTIC * elastic),
        }
    }
}
