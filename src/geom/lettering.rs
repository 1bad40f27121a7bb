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

/// All characters that can be drawn; lower-case letters and the blank as well.
pub(crate) fn letters() -> String {
    rows().map(|(sign, _)| sign).collect()
}

/// The strokes of a line of words, `height` mm high, read along x, its middle on the origin.
///
/// # Errors
/// When a letter is unknown, nothing is to be seen, or the height is not positive.
pub fn lettering(words: &str, height: f64) -> Result<Vec<Vec<Edge>>, LetteringError> {
    if !(height > 0.0 && height.is_finite()) {
        return Err(LetteringError::Height);
    }
    let mut strokes: Vec<Vec<Point>> = Vec::new();
    let (mut x, mut end) = (0.0, 0.0);
    for letter in words.trim().chars() {
        if letter == ' ' {
            x += BLANK + GAP;
            continue;
        }
        let capital = letter.to_ascii_uppercase();
        let scale = if capital == letter { 1.0 } else { SMALL };
        let found = rows().find(|(sign, _)| *sign == capital);
        let (_, drawn) = found.ok_or(LetteringError::Letter(letter))?;
        let mut wide: f64 = 0.0;
        for stroke in drawn.split('|') {
            let at = |pair: &str| {
                let digit = |i| pair.as_bytes().get(i).map_or(0.0, |b| f64::from(b - b'0'));
                wide = wide.max(digit(0) * scale);
                Point::new(x + digit(0) * scale, digit(1) * scale)
            };
            strokes.push(stroke.split_whitespace().map(at).collect());
        }
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

    #[test]
    fn every_letter_is_drawn_within_its_grid_and_no_two_alike() {
        assert_eq!(letters(), "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-._/+Ø°#");
        let rows: Vec<_> = rows().collect();
        for (i, (sign, drawn)) in rows.iter().enumerate() {
            for stroke in drawn.split('|') {
                let points: Vec<&str> = stroke.split_whitespace().collect();
                assert!(points.len() >= 2, "{sign}");
                for pair in &points {
                    let grid = |b: u8, max: u8| (b'0'..=max).contains(&b);
                    let [x, y] = pair.as_bytes() else { panic!("{sign}: {pair}") };
                    assert!(grid(*x, b'4') && grid(*y, b'6'), "{sign}: {pair}");
                }
                assert!(points.windows(2).all(|p| p[0] != p[1]), "{sign}");
            }
            assert!(rows[..i].iter().all(|other| other.1 != *drawn), "{sign}");
        }
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
    fn what_cannot_be_drawn_is_named() {
        assert_eq!(lettering("Maß", 4.0), Err(LetteringError::Letter('ß')));
        assert_eq!(lettering("  ", 4.0), Err(LetteringError::Nothing));
        assert_eq!(lettering("A", 0.0), Err(LetteringError::Height));
    }
}
