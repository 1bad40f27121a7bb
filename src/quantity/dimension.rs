//! What a value measures, as powers of base units.

use std::fmt;

/// Powers of the four base dimensions.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Dimension {
    /// Power of length (mm).
    pub length: i8,
    /// Power of angle (degree).
    pub angle: i8,
    /// Power of force (N).
    pub force: i8,
    /// Power of mass (kg).
    pub mass: i8,
}

impl Dimension {
    /// A plain number.
    pub const NONE: Self = Self { length: 0, angle: 0, force: 0, mass: 0 };
    /// Millimetres.
    pub const LENGTH: Self = Self { length: 1, ..Self::NONE };
    /// Square millimetres.
    pub const AREA: Self = Self { length: 2, ..Self::NONE };
    /// Degrees.
    pub const ANGLE: Self = Self { angle: 1, ..Self::NONE };
    /// Newtons.
    pub const FORCE: Self = Self { force: 1, ..Self::NONE };
    /// Kilograms.
    pub const MASS: Self = Self { mass: 1, ..Self::NONE };
    /// Newtons per square millimetre, MPa.
    pub const STRESS: Self = Self { force: 1, length: -2, ..Self::NONE };
    /// Kilograms per cubic millimetre.
    pub(crate) const DENSITY: Self = Self { mass: 1, length: -3, ..Self::NONE };

    /// The dimension of a product of powers; `None` when an exponent leaves −9 to 9.
    #[must_use]
    pub(crate) fn combine(self, other: Self, times: i8) -> Option<Self> {
        let add = |a: i8, b: i8| {
            let sum = a.checked_add(b.checked_mul(times)?)?;
            (-9..=9).contains(&sum).then_some(sum)
        };
        Some(Self {
            length: add(self.length, other.length)?,
            angle: add(self.angle, other.angle)?,
            force: add(self.force, other.force)?,
            mass: add(self.mass, other.mass)?,
        })
    }

    /// Half of every power, where all are even.
    #[must_use]
    pub(crate) fn halved(self) -> Option<Self> {
        let half = |a: i8| (a % 2 == 0).then_some(a / 2);
        Some(Self {
            length: half(self.length)?,
            angle: half(self.angle)?,
            force: half(self.force)?,
            mass: half(self.mass)?,
        })
    }
}

impl fmt::Display for Dimension {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::NONE => return f.write_str("a plain number"),
            Self::LENGTH => return f.write_str("a length"),
            Self::AREA => return f.write_str("an area"),
            Self::ANGLE => return f.write_str("an angle"),
            Self::FORCE => return f.write_str("a force"),
            Self::MASS => return f.write_str("a mass"),
            Self::STRESS => return f.write_str("a stress"),
            Self::DENSITY => return f.write_str("a density"),
            _ => f.write_str("a quantity in")?,
        }
        for (unit, power) in
            [("mm", self.length), ("deg", self.angle), ("N", self.force), ("kg", self.mass)]
        {
            match power {
                0 => {}
                1 => write!(f, " {unit}")?,
                _ => write!(f, " {unit}^{power}")?,
            }
        }
        Ok(())
    }
}
