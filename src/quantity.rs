//! A value with its dimension; reading it from text and printing it again.
//!
//! Inside, lengths are millimetres, angles degrees, forces newtons and masses
//! kilograms. Inches and the rest live here and in the words of messages only.

mod dimension;
mod error;
mod findings;
mod force;
mod rounded;
mod sizes;
mod unit;

pub use dimension::Dimension;
pub use error::QuantityError;
pub(crate) use unit::KG_PER_LB;
pub use unit::MM_PER_INCH;
pub(crate) use unit::N_PER_LBF;

use crate::num;
use unit::unit;

/// A finite number of some dimension.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Quantity {
    /// In the base units of this module.
    pub value: f64,
    /// What it measures.
    pub dimension: Dimension,
}

/// The units in which lengths are printed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Units {
    /// Millimetres.
    #[default]
    Millimetre,
    /// Inches.
    Inch,
}

impl Units {
    /// Millimetres in one unit.
    pub(crate) const fn in_mm(self) -> f64 {
        match self {
            Self::Millimetre => 1.0,
            Self::Inch => MM_PER_INCH,
        }
    }

    /// As it is typed: `mm` or `in`.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Millimetre => "mm",
            Self::Inch => "in",
        }
    }

    /// A length in mm, printed with its unit as it could be typed: `12.5 mm`, `1/4 in`, `0.492 in`.
    pub fn length(self, mm: f64) -> String {
        match self {
            Self::Millimetre => format!("{} mm", num::text(mm, 3)),
            Self::Inch => inches(mm / MM_PER_INCH),
        }
    }

    /// The units that a tool, a sheet or anything else of a size is made in: these, unless the size
    /// is even in the others alone, halves of a millimetre or 64ths of an inch. Our choice.
    pub(crate) fn of_size(self, mm: f64) -> Self {
        let is_metric = is_whole(mm / EVEN_MM);
        let is_inch = mm == 0.0 || fraction_text(mm / MM_PER_INCH).is_some();
        match self {
            Self::Millimetre if is_inch && !is_metric => Self::Inch,
            Self::Inch if is_metric && !is_inch => Self::Millimetre,
            _ => self,
        }
    }

    /// The size of a tool, a sheet or anything else that is made in one system or the other, in mm,
    /// printed with the unit in which it is even: a V of `25 mm` in a job in inches.
    pub fn size(self, mm: f64) -> String {
        self.of_size(mm).length(mm)
    }
}

/// What sizes that are made in mm are multiples of, mm. Our choice.
const EVEN_MM: f64 = 0.5;

/// Whether a number is whole, except for rounding.
fn is_whole(value: f64) -> bool {
    (value - value.round()).abs() < 1e-6
}

/// The finest fraction of an inch that is printed as a fraction.
const FINEST_FRACTION: f64 = 64.0;

fn inches(value: f64) -> String {
    let decimals = num::text(value, 4);
    // A sixteenth that comes of rounding reads as one, so it is shown as one.
    let rounded = decimals.parse().unwrap_or(value);
    fraction_text(value)
        .or_else(|| fraction_text(rounded))
        .unwrap_or_else(|| format!("{decimals} in"))
}

/// A whole number of 64ths as a fraction, in lowest terms; `None` for anything else.
fn fraction_text(value: f64) -> Option<String> {
    let parts = value * FINEST_FRACTION;
    let whole = parts.round();
    if !is_whole(parts) || whole == 0.0 || whole.abs() > 1e9 {
        return None;
    }
    let (mut top, mut bottom) = (whole.abs() as u64, FINEST_FRACTION as u64);
    while top.is_multiple_of(2) && bottom > 1 {
        (top, bottom) = (top / 2, bottom / 2);
    }
    let sign = if value < 0.0 { "-" } else { "" };
    Some(match (top / bottom, top % bottom) {
        (n, 0) => format!("{sign}{n} in"),
        (0, rest) => format!("{sign}{rest}/{bottom} in"),
        (n, rest) => format!("{sign}{n}-{rest}/{bottom} in"),
    })
}

/// No length, force or angle of this trade is larger than this, in base units. Our choice.
const LARGEST: f64 = 1e9;

/// What a text says: a quantity, or a gauge, which is a thickness only once the metal is known.
#[derive(Clone, Debug, PartialEq)]
pub enum Reading {
    /// An ordinary quantity.
    Quantity(Quantity),
    /// A sheet gauge, with the metal where it was typed: `16 ga`, `16 ga aluminium`.
    Gauge {
        /// The gauge number.
        number: u8,
        /// The metal named behind it.
        metal: Option<String>,
    },
}

impl Quantity {
    /// A plain number.
    pub const fn number(value: f64) -> Self {
        Self { value, dimension: Dimension::NONE }
    }

    /// A length in mm.
    pub const fn length(mm: f64) -> Self {
        Self { value: mm, dimension: Dimension::LENGTH }
    }

    /// An angle in degrees.
    pub const fn angle(degrees: f64) -> Self {
        Self { value: degrees, dimension: Dimension::ANGLE }
    }

    /// Printed with its unit as it could be typed.
    pub fn show(self, units: Units) -> String {
        let fixed = |scale: f64, unit: &str| format!("{} {unit}", num::text(self.value / scale, 3));
        match self.dimension {
            Dimension::NONE => num::text(self.value, 4),
            Dimension::LENGTH => units.length(self.value),
            Dimension::AREA if units == Units::Inch => fixed(MM_PER_INCH * MM_PER_INCH, "in2"),
            Dimension::AREA => fixed(1.0, "mm2"),
            Dimension::ANGLE => fixed(1.0, "deg"),
            Dimension::FORCE if units == Units::Inch => fixed(N_PER_LBF, "lbf"),
            Dimension::FORCE if self.value.abs() >= 1000.0 => fixed(1000.0, "kN"),
            Dimension::FORCE => fixed(1.0, "N"),
            Dimension::MASS if units == Units::Inch => fixed(KG_PER_LB, "lb"),
            Dimension::MASS => fixed(1.0, "kg"),
            Dimension::STRESS => fixed(1.0, "MPa"),
            Dimension::DENSITY => fixed(1e-9, "kg/m3"),
            other => {
                let words = other.to_string();
                format!("{}{}", num::text(self.value, 6), words.trim_start_matches("a quantity in"))
            }
        }
    }
}

/// Reads a whole text as a quantity or a gauge.
///
/// # Errors
/// When the text is anything but one number with a known unit (or none).
pub fn read(text: &str) -> Result<Reading, QuantityError> {
    let start = text.len() - text.trim_start().len();
    let body = text.trim();
    if body.is_empty() {
        return Err(QuantityError::Empty);
    }
    let digits = body.trim_start_matches(['-', '+']);
    if digits.split_once(',').is_some_and(|(whole, rest)| {
        whole.chars().all(|c| c.is_ascii_digit()) && rest.starts_with(|c: char| c.is_ascii_digit())
    }) {
        return Err(QuantityError::Comma(body.to_owned()));
    }
    if is_spaced_fraction(digits) {
        return Err(QuantityError::Blank(body.to_owned()));
    }
    let (sign, unsigned) = match body.strip_prefix('-') {
        Some(rest) => (-1.0, rest.trim_start()),
        None => (1.0, body.strip_prefix('+').unwrap_or(body)),
    };
    if let Some(gauge) = gauge(unsigned) {
        return gauge;
    }
    let Some((mut quantity, used)) = literal(unsigned)? else {
        return Err(QuantityError::NoNumber(body.to_owned()));
    };
    let rest = &unsigned[used..];
    let word = rest.trim_start();
    if !word.is_empty() {
        let from = start + body.len() - word.len();
        let at = from..start + body.len();
        if let Some(split) = QuantityError::split(text, at.start, word.len()) {
            return Err(split);
        }
        let no_unit_yet = quantity.dimension == Dimension::NONE;
        let word = word.to_owned();
        return Err(if no_unit_yet && !word.starts_with(|c: char| c.is_ascii_digit()) {
            QuantityError::Unit { word, at }
        } else {
            QuantityError::LeftOver { word, at }
        });
    }
    quantity.value *= sign;
    Ok(Reading::Quantity(quantity))
}

fn gauge(text: &str) -> Option<Result<Reading, QuantityError>> {
    let at = text.find("ga")?;
    let (number, rest) = (text[..at].trim(), &text[at + 2..]);
    if !(rest.is_empty() || rest.starts_with(' ')) || number.is_empty() {
        return None;
    }
    let metal = Some(rest.trim()).filter(|m| !m.is_empty()).map(str::to_owned);
    Some(match number.parse::<u8>() {
        Ok(number @ 3..=30) => Ok(Reading::Gauge { number, metal }),
        _ => Err(QuantityError::Gauge(number.to_owned())),
    })
}

/// `1 1/4 in`: digits, blanks, digits, a slash.
fn is_spaced_fraction(text: &str) -> bool {
    let Some((whole, rest)) = text.split_once(' ') else { return false };
    let number = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    rest.split_once('/').is_some_and(|(top, _)| number(whole) && number(top.trim_start()))
}

/// The literal at the start of a text, unsigned: a number or fraction with its unit; and its length in
/// bytes. `None` when the text does not start with a digit or a point and a digit.
///
/// `1/4 in` and `3-1/2 in` are fractions only because a unit of length follows.
///
/// # Errors
/// When the number is too large, or a fraction divides by zero.
pub(crate) fn literal(text: &str) -> Result<Option<(Quantity, usize)>, QuantityError> {
    if let Some((value, used)) = fraction(text)?
        && let Some((size, dimension, len)) = unit(&text[used..])
        && dimension == Dimension::LENGTH
    {
        return checked(value * size, dimension, &text[..used + len])
            .map(|q| Some((q, used + len)));
    }
    let used = number_length(text);
    if used == 0 {
        return Ok(None);
    }
    let Ok(value) = text[..used].parse::<f64>() else {
        return Ok(None);
    };
    let (size, dimension, len) = unit(&text[used..]).unwrap_or((1.0, Dimension::NONE, 0));
    checked(value * size, dimension, &text[..used + len]).map(|q| Some((q, used + len)))
}

fn checked(value: f64, dimension: Dimension, text: &str) -> Result<Quantity, QuantityError> {
    if value.is_finite() && value.abs() <= LARGEST {
        Ok(Quantity { value, dimension })
    } else {
        Err(QuantityError::TooLarge(text.to_owned()))
    }
}

/// `1/4` or `3-1/2` at the start, and its length.
fn fraction(text: &str) -> Result<Option<(f64, usize)>, QuantityError> {
    let whole_number = |text: &str| text.bytes().take_while(u8::is_ascii_digit).count();
    let first = whole_number(text);
    let number = |text: &str| text.parse::<f64>().unwrap_or(f64::INFINITY);
    let (whole, top_at) = match text.as_bytes().get(first) {
        Some(b'-') if first > 0 => (number(&text[..first]), first + 1),
        _ => (0.0, 0),
    };
    let top = whole_number(&text[top_at..]);
    let slash = top_at + top;
    if top == 0 || text.as_bytes().get(slash) != Some(&b'/') {
        return Ok(None);
    }
    let bottom = whole_number(&text[slash + 1..]);
    let end = slash + 1 + bottom;
    if bottom == 0 {
        return Ok(None);
    }
    let divisor = number(&text[slash + 1..end]);
    if divisor == 0.0 {
        return Err(QuantityError::ZeroDivisor(text[..end].to_owned()));
    }
    Ok(Some((whole + number(&text[top_at..slash]) / divisor, end)))
}

/// How many bytes of a plain decimal number are at the start.
fn number_length(text: &str) -> usize {
    let bytes = text.as_bytes();
    let digits = |from: usize| bytes[from..].iter().take_while(|b| b.is_ascii_digit()).count();
    let mut end = digits(0);
    if bytes.get(end) == Some(&b'.') && digits(end + 1) > 0 {
        end += 1 + digits(end + 1);
    }
    if end > 0 && matches!(bytes.get(end), Some(b'e' | b'E')) {
        let sign = usize::from(matches!(bytes.get(end + 1), Some(b'-' | b'+')));
        let exponent = digits((end + 1 + sign).min(bytes.len()));
        if exponent > 0 {
            end += 1 + sign + exponent;
        }
    }
    end
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(text: &str) -> f64 {
        match read(text) {
            Ok(Reading::Quantity(q)) if q.dimension == Dimension::LENGTH => q.value,
            other => panic!("{text}: {other:?}"),
        }
    }

    #[test]
    fn lengths_are_read_as_the_trade_writes_them() {
        for (text, wanted) in [
            ("12 mm", 12.0),
            ("12mm", 12.0),
            (" 1/4 in ", 6.35),
            ("3-1/2 in", 88.9),
            ("-1/2 in", -12.7),
            ("1-1/8\"", 28.575),
            ("1.2 m", 1200.0),
            ("2 ft", 609.6),
            ("5 mil", 0.127),
            (".5 in", 12.7),
        ] {
            assert!((mm(text) - wanted).abs() < 1e-9, "{text}");
        }
    }

    #[test]
    fn a_fraction_needs_a_length_behind_it() {
        assert_eq!(literal("1/4").unwrap(), Some((Quantity::number(1.0), 1)));
        assert_eq!(literal("3-1/2").unwrap(), Some((Quantity::number(3.0), 1)));
        assert_eq!(literal("1/2 in + x").unwrap(), Some((Quantity::length(12.7), 6)));
    }

    #[test]
    fn gauges_wait_for_their_metal() {
        assert_eq!(read("16 ga"), Ok(Reading::Gauge { number: 16, metal: None }));
        let metal = Some("aluminium".to_owned());
        assert_eq!(read("16 ga aluminium"), Ok(Reading::Gauge { number: 16, metal }));
        assert!(matches!(read("99 ga"), Err(QuantityError::Gauge(_))));
        assert!(matches!(read("1.5 ga"), Err(QuantityError::Gauge(_))));
    }

    #[test]
    fn refusals_say_what_and_where() {
        assert_eq!(read("12,5 mm").unwrap_err().help(), "write `12.5 mm`");
        let unit = read("12 mmm").unwrap_err();
        assert_eq!((unit.at(), unit.help()), (Some(3..6), "write `mm`".to_owned()));
        assert!(matches!(read("12 mm 3"), Err(QuantityError::LeftOver { .. })));
        let split = read("60.3 m m").unwrap_err();
        assert_eq!((split.at(), split.help()), (Some(5..8), "write `mm`".to_owned()));
        let split = read("90 d eg").unwrap_err();
        assert_eq!((split.at(), split.help()), (Some(3..7), "write `deg`".to_owned()));
        for text in ["", "mm", "NaN", "inf mm", "1e308 mm", "1/0 in", "--3 mm", "1e999"] {
            assert!(read(text).is_err(), "{text}");
        }
    }

    #[test]
    fn a_tool_keeps_the_unit_it_is_made_in() {
        for (mm, in_mm, in_inches) in [
            (25.0, "25 mm", "25 mm"),
            (12.5, "12.5 mm", "12.5 mm"),
            (12.7, "1/2 in", "1/2 in"),
            (4.7625, "3/16 in", "3/16 in"),
            (127.0, "127 mm", "5 in"),
            (2.304, "2.304 mm", "0.0907 in"),
            (0.0, "0 mm", "0 in"),
        ] {
            let printed = [Units::Millimetre, Units::Inch].map(|units| units.size(mm));
            assert_eq!(printed, [in_mm, in_inches], "{mm}");
        }
    }

    #[test]
    fn a_printed_value_can_be_typed_again() {
        for value in [0.0, 6.35, 88.9, -12.7, 0.1, 1519.0, 25.4, 0.396_875] {
            for units in [Units::Millimetre, Units::Inch] {
                let text = units.length(value);
                assert!((mm(&text) - value).abs() < 2e-3, "{value} → {text}");
            }
        }
        assert_eq!(Units::Inch.length(88.9), "3-1/2 in");
        assert_eq!(Quantity::angle(22.5).show(Units::Millimetre), "22.5 deg");
    }
}
