//! Plain letters of single strokes, for a tool that scribes or etches lines.
//!
//! They are drawn on a small grid in `lettering.txt`. Small letters are small capitals.

use crate::geom::edge::Edge;
use kurbo::Point;
use thiserror::Error;

const TABLE: &str = include_str!("lettering.txt");

/// Height of a capital on the grid.
const CAPITAL: f64 = 6.0;
/// From letter to letter on the grid.
const GAP: f64 = 2.0;
/// Width of a blank on the grid.
const BLANK: f64 = 2.0;
/// Height of a small letter by that of a capital.
const SMALL: f64 = 0.75;

/// An accent that hangs from its letter.
const CEDILLA: char = '¸';
/// From where an accent is drawn alone up to its place above a capital, on the grid.
const RAISED: f64 = 3.0;

/// Why words cannot be drawn.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum LetteringError {
    /// The height is not positive.
    #[error("letters need a height of more than 0 mm")]
    Height,
    /// There is no such character.
    #[error("there is no character `{0}`")]
    Letter(char),
    /// There is nothing to see.
    #[error("there are no letters")]
    Nothing,
}

/// The strokes of a line of words, `height` mm high, read along x, its centre on the origin.
///
/// # Errors
/// When a letter is unknown, no stroke would be drawn, or the height is not positive.
pub fn lettering(words: &str, height: f64) -> Result<Vec<Vec<Edge>>, LetteringError> {
    if !(height > 0.0 && height.is_finite()) {
        return Err(LetteringError::Height);
    }
    let mut strokes: Vec<Vec<Point>> = Vec::new();
    let (mut x, mut end) = (0.0, 0.0);
    for letter in words.trim().chars() {
        if letter.is_whitespace() {
            x += BLANK + GAP;
            continue;
        }
        let (drawn, scale) = drawn(letter).ok_or(LetteringError::Letter(letter))?;
        let wide = width(&drawn) * scale;
        let place = |p: &Point| Point::new(x + p.x * scale, p.y * scale);
        strokes.extend(drawn.iter().map(|stroke| stroke.iter().map(place).collect()));
        end = x + wide;
        x = end + GAP;
    }
    if strokes.is_empty() {
        return Err(LetteringError::Nothing);
    }
    let size = height / CAPITAL;
    let place = |p: Point| Point::new((p.x - end / 2.0) * size, (p.y - CAPITAL / 2.0) * size);
    let edges = |stroke: &Vec<Point>| {
        stroke.windows(2).map(|ends| Edge::line(place(ends[0]), place(ends[1]))).collect()
    };
    Ok(strokes.iter().map(edges).collect())
}

/// The strokes of a letter on the grid, and its scale. A small letter without strokes is drawn as
/// its capital, smaller.
fn drawn(letter: char) -> Option<(Vec<Vec<Point>>, f64)> {
    let row = |wanted: char| rows().find(|(sign, _)| *sign == wanted).map(|(_, drawn)| drawn);
    if let Some(row) = row(letter) {
        return Some((strokes(row), 1.0));
    }
    let mut capitals = letter.to_uppercase();
    match (capitals.next(), capitals.next()) {
        (Some(capital), None) => Some((strokes(row(capital)?), SMALL)),
        _ => None,
    }
}

/// The strokes of a row of the table; those of an accent are above its letter, a cedilla hangs from
/// it.
fn strokes(row: &str) -> Vec<Vec<Point>> {
    let Some(pair) = row.strip_prefix("= ") else {
        return row.split('|').map(|s| s.split_whitespace().map(point).collect()).collect();
    };
    let part = |of: &str| rows().find(|(sign, _)| of.starts_with(*sign)).map(|(_, drawn)| drawn);
    let mut both = pair.split(' ').filter_map(part).map(strokes);
    let (mut letter, accent) = (both.next().unwrap_or_default(), both.next().unwrap_or_default());
    let raised = if pair.ends_with(CEDILLA) { 0.0 } else { RAISED };
    let aside = (width(&letter) - width(&accent)) / 2.0;
    let over = |p: &Point| Point::new(p.x + aside, p.y + raised);
    letter.extend(accent.iter().map(|stroke| stroke.iter().map(over).collect()));
    letter
}

/// A point of the grid by its two digits.
fn point(pair: &str) -> Point {
    let value = |sign: u8| match sign {
        b'a'.. => f64::from(b'a') - 1.0 - f64::from(sign),
        _ => f64::from(sign) - f64::from(b'0'),
    };
    let [x, y] = [0, 1].map(|i| pair.as_bytes().get(i).copied().map_or(0.0, value));
    Point::new(x, y)
}

fn width(strokes: &[Vec<Point>]) -> f64 {
    strokes.iter().flatten().fold(0.0, |wide, p| p.x.max(wide))
}

/// The signs and how they are drawn.
fn rows() -> impl Iterator<Item = (char, &'static str)> {
    let drawn = TABLE.lines().filter(|line| !line.starts_with("##"));
    drawn.filter_map(|line| {
        let (sign, strokes) = line.split_once(' ')?;
        Some((sign.chars().next()?, strokes))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Bounds;

    fn bounds(strokes: &[Vec<Edge>]) -> Bounds {
        strokes.iter().flatten().fold(Bounds::EMPTY, |b, e| b.and(e.bounds()))
    }

    /// All printed signs of ISO/IEC 8859-1, and the dash of drawings.
    #[test]
    fn every_sign_of_latin_1_is_drawn_and_no_two_alike() {
        let printed = ('!'..='~').chain('\u{a1}'..='\u{ff}').filter(|c| *c != '\u{ad}');
        let mut seen: Vec<(char, Vec<Vec<Edge>>)> = Vec::new();
        for sign in printed.chain(['–']) {
            let strokes =
                lettering(&sign.to_string(), 6.0).unwrap_or_else(|error| panic!("{sign}: {error}"));
            assert!(
                strokes.iter().all(|s| !s.is_empty() && s.iter().all(|e| e.length() > 0.5)),
                "{sign}"
            );
            let own = bounds(&strokes);
            assert!(own.width() <= 5.0 && own.max.y <= 6.5 && own.min.y >= -5.0, "{sign}: {own:?}");
            // `-` and `–` differ in length, `_` and `¯` in height.
            let alike = seen.iter().find(|(_, other)| *other == strokes);
            assert!(alike.is_none(), "{sign} is drawn like {:?}", alike.map(|(other, _)| other));
            seen.push((sign, strokes));
        }
        assert_eq!(seen.len(), 94 + 94 + 1);
    }

    #[test]
    fn an_accent_stands_clear_above_its_letter_and_a_cedilla_hangs_from_it() {
        for (plain, marked) in [("E", "É"), ("o", "ö"), ("N", "Ñ"), ("a", "å")] {
            let (letter, whole) = (lettering(plain, 6.0).unwrap(), lettering(marked, 6.0).unwrap());
            assert!(bounds(&whole).max.y > bounds(&letter).max.y + 0.7, "{marked}");
            assert_eq!(bounds(&whole).width(), bounds(&letter).width(), "{marked}");
        }
        let (c, cedilla) = (lettering("C", 6.0).unwrap(), lettering("Ç", 6.0).unwrap());
        assert!(bounds(&cedilla).min.y < bounds(&c).min.y - 0.5);
    }

    #[test]
    fn words_are_as_high_as_asked_and_stand_in_the_middle() {
        let strokes = lettering("HE 8", 4.0).unwrap();
        let b = bounds(&strokes);
        assert!((b.height() - 4.0).abs() < 1e-12 && b.centre().to_vec2().hypot() < 1e-12);
        // Three letters of 4, two gaps, a blank with its gap, on a grid of 4/6 mm.
        assert!((b.width() - 20.0 * 4.0 / 6.0).abs() < 1e-12, "{}", b.width());
        let small = bounds(&lettering("h", 4.0).unwrap());
        assert!((small.height() - 3.0).abs() < 1e-12);
    }

    #[test]
    fn characters_that_cannot_be_drawn_are_named() {
        assert_eq!(lettering("M8 √", 4.0), Err(LetteringError::Letter('√')));
        assert_eq!(lettering("  ", 4.0), Err(LetteringError::Nothing));
        assert_eq!(lettering("A", 0.0), Err(LetteringError::Height));
    }
}
