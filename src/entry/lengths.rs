//! Several lengths in one text.

use crate::quantity;
use crate::quantity::Dimension;
use crate::quantity::Reading;

/// The lengths of a text such as `600 x 400 mm`, as they would be typed one by one; `None` if it is
/// no such text. A unit applies to the lengths before it that have none.
pub(crate) fn lengths_in(text: &str) -> Option<Vec<String>> {
    let plain = text.to_lowercase().replace(" by ", " x ").replace(['×', '*', ';'], "x");
    let parts: Vec<&str> = plain.split('x').map(str::trim).collect();
    let bare =
        |part: &str| part.trim_end_matches(|c: char| c.is_alphabetic() || " \"".contains(c)).len();
    let unit =
        parts.iter().rev().map(|part| part[bare(part)..].trim()).find(|unit| !unit.is_empty());
    let unit = unit.unwrap_or("mm");
    let one = |part: &&str| {
        let own = part[bare(part)..].trim();
        let typed = format!("{} {}", &part[..bare(part)], if own.is_empty() { unit } else { own });
        match quantity::read(&typed) {
            Ok(Reading::Quantity(q)) if q.dimension == Dimension::LENGTH => {
                Some(typed.replace('"', "in"))
            }
            _ => None,
        }
    };
    let read: Option<Vec<String>> = parts.iter().map(one).collect();
    read.filter(|lengths| lengths.len() > 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_in_one_text_are_told_apart_with_the_unit_behind_them() {
        for (text, wanted) in [
            ("600 x 400 mm", Some(vec!["600 mm", "400 mm"])),
            ("1.2m × 800mm", Some(vec!["1.2 m", "800 mm"])),
            ("48 by 24 in", Some(vec!["48 in", "24 in"])),
            ("4 x 8", Some(vec!["4 mm", "8 mm"])),
            ("600 mm", None),
            ("large x small", None),
        ] {
            let wanted = wanted.map(|all| all.into_iter().map(str::to_owned).collect::<Vec<_>>());
            assert_eq!(lengths_in(text), wanted, "{text}");
        }
    }
}
