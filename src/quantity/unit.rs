//! The units that can be typed.

use crate::quantity::dimension::Dimension;

/// Millimetres in an inch, exact by definition.
pub const MM_PER_INCH: f64 = 25.4;
/// Newtons in a pound-force, exact: 0.45359237 kg × 9.80665 m/s².
pub(crate) const N_PER_LBF: f64 = 4.448_221_615_260_5;
/// Kilograms in a pound, exact.
pub(crate) const KG_PER_LB: f64 = 0.453_592_37;

/// Every unit that can be typed: name, size in base units, dimension.
pub(super) const UNITS: &[(&str, f64, Dimension)] = &[
    ("mm", 1.0, Dimension::LENGTH),
    ("cm", 10.0, Dimension::LENGTH),
    ("m", 1000.0, Dimension::LENGTH),
    ("um", 0.001, Dimension::LENGTH),
    ("in", MM_PER_INCH, Dimension::LENGTH),
    ("\"", MM_PER_INCH, Dimension::LENGTH),
    ("ft", 12.0 * MM_PER_INCH, Dimension::LENGTH),
    ("mil", MM_PER_INCH / 1000.0, Dimension::LENGTH),
    ("mm2", 1.0, Dimension::AREA),
    ("in2", MM_PER_INCH * MM_PER_INCH, Dimension::AREA),
    ("deg", 1.0, Dimension::ANGLE),
    ("°", 1.0, Dimension::ANGLE),
    ("N", 1.0, Dimension::FORCE),
    ("kN", 1000.0, Dimension::FORCE),
    ("lbf", N_PER_LBF, Dimension::FORCE),
    ("kip", 1000.0 * N_PER_LBF, Dimension::FORCE),
    ("kg", 1.0, Dimension::MASS),
    ("g", 0.001, Dimension::MASS),
    ("lb", KG_PER_LB, Dimension::MASS),
    ("MPa", 1.0, Dimension::STRESS),
    ("GPa", 1000.0, Dimension::STRESS),
    ("ksi", 1000.0 * N_PER_LBF / (MM_PER_INCH * MM_PER_INCH), Dimension::STRESS),
    ("kg/m3", 1e-9, Dimension::DENSITY),
];

/// A unit at the start, after blanks: its size, dimension and length with the blanks.
pub(super) fn unit(text: &str) -> Option<(f64, Dimension, usize)> {
    let blanks = text.len() - text.trim_start_matches(' ').len();
    let rest = &text[blanks..];
    if rest.starts_with('"') || rest.starts_with('°') {
        let name = &rest[..rest.chars().next()?.len_utf8()];
        let (_, size, dimension) = UNITS.iter().find(|u| u.0 == name)?;
        return Some((*size, *dimension, blanks + name.len()));
    }
    let word_length = |text: &str| {
        text.find(|c: char| !(c.is_ascii_alphanumeric() || c == '_')).unwrap_or(text.len())
    };
    let mut end = word_length(rest);
    if rest[end..].starts_with("/m3") && &rest[..end] == "kg" {
        end += 3;
    }
    let (_, size, dimension) = UNITS.iter().find(|u| u.0 == &rest[..end])?;
    Some((*size, *dimension, blanks + end))
}
