//! A value typed without a unit: it gets the unit of its field.

use crate::num;
use crate::quantity;
use crate::quantity::Dimension;
use crate::quantity::Reading;
use crate::serve::changed::Refused;

/// What a fraction of an inch may be typed in.
const OF_INCHES: [&str; 3] = ["in", "\"", "ft"];

/// The values typed in one field; a decimal comma has no blank after it, and a comma within the
/// parentheses of a formula separates nothing.
pub(super) fn apart(value: &str) -> Vec<&str> {
    let (mut all, mut from, mut depth) = (Vec::new(), 0, 0_usize);
    for (i, c) in value.char_indices() {
        let ends = c == ';' || (c == ',' && value[i + 1..].starts_with(' '));
        match c {
            '(' => depth += 1,
            ')' => depth = depth.saturating_sub(1),
            _ if ends && depth == 0 => {
                all.push(value[from..i].trim());
                from = i + 1;
            }
            _ => {}
        }
    }
    all.push(value[from..].trim());
    all
}

/// A value as it is written in the file: a plain number or a fraction, `30` or `30-1/2`, gets the unit of
/// what is there, else the usual one of its field; anything else stays as it is.
///
/// # Errors
/// When a fraction is typed in a field whose unit is not of inches, or a length where an angle is needed.
pub(super) fn whole(value: &str, there: Option<&str>, usual: &str) -> Result<String, Refused> {
    let value = value.trim();
    if let Some(why) = of_another_kind(value, usual) {
        return Err(why.into());
    }
    if let Some(feet) = feet(value).filter(|_| is_length(usual)) {
        return Ok(feet);
    }
    // A unit that was typed by mistake is not passed on.
    let is_alike =
        |unit: &&str| kind(usual).is_none_or(|(of, _)| kind(unit).is_some_and(|(is, _)| is == of));
    let unit = there.and_then(unit_of).filter(is_alike).unwrap_or(usual);
    let is_gauge =
        there.is_some_and(|there| matches!(quantity::read(there), Ok(Reading::Gauge { .. })));
    if value.parse::<f64>().is_ok_and(f64::is_finite) && !is_gauge {
        return Ok(format!("{value} {unit}").trim_end().to_owned());
    }
    let Some(worth) = fraction(value) else { return Ok(value.to_owned()) };
    if OF_INCHES.contains(&unit) {
        return Ok(format!("{value} {unit}"));
    }
    let instead = match is_length(unit) {
        true => format!("{} in", value.replacen(' ', "-", 1)),
        false => format!("{} {unit}", num::text(worth, 4)).trim_end().to_owned(),
    };
    Err(format!("a fraction without a unit, and this field is not in inches: type `{instead}`")
        .into())
}

/// The same of several values with commas between: what has no unit gets that of the last one.
///
/// # Errors
/// As for one value.
pub(super) fn all(
    values: &[&str],
    there: Option<&str>,
    usual: &str,
) -> Result<Vec<String>, Refused> {
    let last = values.last().filter(|last| unit_of(last).is_some()).copied().or(there);
    values.iter().map(|value| whole(value, last, usual)).collect()
}

/// What feet with their sign, `1'` or `1' 6-1/2"`, are as a value of the file; nothing of anything else.
fn feet(text: &str) -> Option<String> {
    let (feet, inches) = text.split_once(['\'', '′', '’'])?;
    let feet = feet.trim();
    let inches = inches.trim().trim_start_matches('-').trim_end_matches(['"', '″', '”']).trim();
    if inches.is_empty() {
        return feet.parse::<f64>().ok().filter(|of| of.is_finite()).map(|_| format!("{feet} ft"));
    }
    let whole = 12 * feet.parse::<u32>().ok().filter(|of| *of < MOST_FEET)?;
    match fraction(inches) {
        Some(of) if (0.0..12.0).contains(&of) => {
            let (more, part) = inches.split_once(['-', ' ']).unwrap_or(("0", inches));
            match whole + more.trim().parse::<u32>().ok()? {
                0 => Some(format!("{part} in")),
                whole => Some(format!("{whole}-{} in", part.trim())),
            }
        }
        None => {
            let more = inches.parse::<f64>().ok().filter(|of| (0.0..12.0).contains(of))?;
            Some(format!("{} in", num::text(f64::from(whole) + more, 6)))
        }
        Some(_) => None,
    }
}

/// No part is that long, feet. Our choice.
const MOST_FEET: u32 = 10_000;

/// The unit after a number; nothing where what follows is no unit, or no number is before it.
fn unit_of(text: &str) -> Option<&str> {
    let is_number = |c: char| c.is_ascii_digit() || "+-./ ".contains(c);
    let text = text.rsplit(", ").next()?.trim();
    let unit = text.trim_start_matches(is_number);
    let has_number = text[..text.len() - unit.len()].contains(|c: char| c.is_ascii_digit());
    let reads = matches!(
        quantity::read(&format!("1 {unit}")),
        Ok(Reading::Quantity(of)) if of.dimension != Dimension::NONE
    );
    (has_number && reads).then_some(unit)
}

fn is_length(unit: &str) -> bool {
    matches!(kind(unit), Some((Dimension::LENGTH, _)))
}

/// The dimension of a unit with its word; nothing of any other than these.
fn kind(unit: &str) -> Option<(Dimension, &'static str)> {
    match quantity::read(&format!("1 {unit}")) {
        Ok(Reading::Quantity(of)) => word_of(of.dimension).map(|word| (of.dimension, word)),
        _ => None,
    }
}

fn word_of(dimension: Dimension) -> Option<&'static str> {
    match dimension {
        Dimension::LENGTH => Some("a length"),
        Dimension::ANGLE => Some("an angle"),
        Dimension::FORCE => Some("a force"),
        _ => None,
    }
}

/// Why a value of another kind than its field is not taken: `90 mm` for an angle.
fn of_another_kind(value: &str, usual: &str) -> Option<String> {
    let (wanted, needed) = kind(usual)?;
    let Ok(Reading::Quantity(is)) = quantity::read(value) else { return None };
    let typed = word_of(is.dimension).filter(|_| is.dimension != wanted)?;
    let number = value.split_whitespace().next().filter(|of| of.parse::<f64>().is_ok());
    let instead = number.filter(|_| wanted == Dimension::ANGLE).map_or_else(
        || format!("type {needed} in {}", if usual == "in" { "inches" } else { usual }),
        |number| format!("type `{number} {usual}`"),
    );
    Some(format!("`{value}` is {typed}, and {needed} is needed here: {instead}"))
}

/// What `3/8`, `30-1/2`, or `30 1/2` with a blank where a hyphen belongs, comes to; nothing where it is
/// anything else.
fn fraction(text: &str) -> Option<f64> {
    let text = text.replacen(' ', "-", 1);
    match quantity::read(&format!("{text} in")) {
        Ok(Reading::Quantity(of)) if text.contains('/') => Some(of.value / quantity::MM_PER_INCH),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn one(value: &str, there: Option<&str>, usual: &str) -> String {
        match whole(value, there, usual) {
            Ok(value) => value,
            Err(Refused::Cannot(why) | Refused::Outside(why)) => why,
        }
    }

    #[test]
    fn values_of_one_field_are_apart_and_a_decimal_comma_is_not() {
        assert_eq!(apart("26 mm, 30 mm;34 mm"), ["26 mm", "30 mm", "34 mm"]);
        assert_eq!(apart(" 8,5 mm "), ["8,5 mm"]);
        assert_eq!(apart("8,5 mm, 200"), ["8,5 mm", "200"]);
    }

    #[test]
    fn a_number_and_a_fraction_get_the_unit_of_their_field() {
        for (value, there, usual, wanted) in [
            ("30", None, "mm", "30 mm"),
            ("-1.5", None, "in", "-1.5 in"),
            ("30-1/2", None, "in", "30-1/2 in"),
            ("3/8", Some("1/4 in"), "mm", "3/8 in"),
            ("2-1/32", Some("2\""), "mm", "2-1/32 \""),
            ("30 1/2", None, "in", "30 1/2 in"),
            ("30", Some("12 mm"), "in", "30 mm"),
            ("12", Some("10 mm, 11 cm"), "mm", "12 cm"),
            ("60", None, "deg", "60 deg"),
            ("2", Some("400 lbf"), "kN", "2 lbf"),
            // What is there is no number with a unit.
            ("30", Some("2 * thickness"), "mm", "30 mm"),
            ("30", Some("pull"), "deg", "30 deg"),
            ("12", Some("M8"), "mm", "12 mm"),
            ("14", Some("16 ga"), "in", "14"),
            // Nothing is added to what says its unit, or is no number.
            ("3/8 in", None, "mm", "3/8 in"),
            ("30,5", None, "mm", "30,5"),
            ("48.3 x 2.6", None, "mm", "48.3 x 2.6"),
            ("inf", None, "mm", "inf"),
            ("1/0", None, "in", "1/0"),
            ("0.5", None, "", "0.5"),
        ] {
            assert_eq!(one(value, there, usual), wanted, "{value} where {there:?}");
        }
    }

    #[test]
    fn a_field_gives_its_own_unit_and_refuses_one_of_another_kind() {
        assert_eq!(one("110", Some("90 mm"), "deg"), "110 deg");
        assert_eq!(one("110", Some("90 deg"), "mm"), "110 mm");
        assert_eq!(one("2", Some("30 mm"), "kN"), "2 kN");
        let refused = |value: &str, usual: &str| one(value, None, usual);
        assert_eq!(
            refused("90 mm", "deg"),
            "`90 mm` is a length, and an angle is needed here: type `90 deg`"
        );
        assert_eq!(
            refused("90 deg", "in"),
            "`90 deg` is an angle, and a length is needed here: type a length in inches"
        );
        assert!(refused("3 mm", "kN").ends_with("type a force in kN"));
        for (value, usual) in [("90 deg", "deg"), ("500 N", "kN"), ("1 in", "mm"), ("pull", "deg")]
        {
            assert_eq!(one(value, None, usual), value);
        }
        assert!(all(&["30 mm", "45 mm"], None, "deg").is_err());
    }

    #[test]
    fn feet_are_typed_with_their_sign() {
        for (value, wanted) in [
            ("1'", "1 ft"),
            ("2.5'", "2.5 ft"),
            ("1' 6\"", "18 in"),
            ("1'-6-1/2\"", "18-1/2 in"),
            ("2′ 3/8″", "24-3/8 in"),
            ("0' 3/8\"", "3/8 in"),
            ("1' 6.25", "18.25 in"),
            // Not feet and inches.
            ("1' 12\"", "1' 12\""),
            ("a'", "a'"),
        ] {
            assert_eq!(one(value, None, "in"), wanted, "{value}");
            assert_eq!(one(value, Some("30 in"), "in"), wanted, "{value}");
            let reads = matches!(quantity::read(wanted), Ok(Reading::Quantity(_)));
            assert_eq!(reads, wanted != value, "{wanted}");
        }
        assert_eq!(one("1'", None, "deg"), "1'");
    }

    #[test]
    fn a_fraction_in_another_unit_is_refused_with_what_to_type() {
        for (value, usual, wanted) in [
            ("30-1/2", "mm", "type `30-1/2 in`"),
            ("30 1/2", "mm", "type `30-1/2 in`"),
            ("22-1/2", "deg", "type `22.5 deg`"),
            ("1/2", "kN", "type `0.5 kN`"),
            ("1/2", "", "type `0.5`"),
        ] {
            assert!(one(value, None, usual).ends_with(wanted), "{}", one(value, None, usual));
        }
    }

    #[test]
    fn of_several_the_last_says_the_unit() {
        let of = |values: &[&str], usual| all(values, None, usual).expect("typed");
        assert_eq!(of(&["26", "30", "34 mm"], "in"), ["26 mm", "30 mm", "34 mm"]);
        assert_eq!(of(&["1", "1-1/2\""], "mm"), ["1 \"", "1-1/2\""]);
        assert_eq!(of(&["3/8", "1/2"], "in"), ["3/8 in", "1/2 in"]);
    }
}
