//! Pictures of formed parts, from their files: no words on words or on lines, all within the page.

use crate::demo;
use platewright::num::Angle;
use std::fs;

type Place = [f64; 2];

/// The value of an attribute of an element that begins here.
fn attribute<'a>(element: &'a str, name: &str) -> Option<&'a str> {
    let from = element.find(&format!(" {name}=\""))? + name.len() + 3;
    let long = element[from..].find('"')?;
    Some(&element[from..from + long])
}

fn number(text: &str) -> f64 {
    text.parse().unwrap_or_else(|_| panic!("{text:?} is no number"))
}

/// The corners of some words, from the baseline to the top of a capital, a tenth of a millimetre
/// narrower all round.
pub(crate) fn corners(element: &str) -> [Place; 4] {
    let size = number(attribute(element, "font-size").unwrap());
    let long = number(attribute(element, "textLength").unwrap());
    let (at, degrees) = match attribute(element, "transform") {
        None => {
            ([attribute(element, "x"), attribute(element, "y")].map(|v| number(v.unwrap())), 0.0)
        }
        Some(moved) => {
            let numbers: Vec<f64> = moved
                .split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'))
                .filter(|part| !part.is_empty())
                .map(number)
                .collect();
            ([numbers[0], numbers[1]], numbers[2])
        }
    };
    let angle = Angle::from_degrees(degrees);
    let place = |x: f64, y: f64| {
        [at[0] + x * angle.cos() - y * angle.sin(), at[1] + x * angle.sin() + y * angle.cos()]
    };
    let high = size * 0.68 - 0.1;
    [place(0.1, -0.1), place(long - 0.1, -0.1), place(long - 0.1, -high), place(0.1, -high)]
}

/// The straight pieces of a path; an arc as two chords.
fn pieces(data: &str) -> Vec<[Place; 2]> {
    let mut at = [0.0, 0.0];
    let mut pieces = Vec::new();
    let mut rest = data;
    while let Some(start) = rest.find(|c: char| c.is_ascii_alphabetic()) {
        let letter = rest.as_bytes()[start];
        let after = &rest[start + 1..];
        let end = after.find(|c: char| c.is_ascii_alphabetic()).unwrap_or(after.len());
        let numbers: Vec<f64> = after[..end].split_whitespace().map(number).collect();
        if let [.., x, y] = numbers[..] {
            if letter == b'A' {
                let (dx, dy) = (x - at[0], y - at[1]);
                let (radius, half) = (numbers[0], (dx * dx + dy * dy).sqrt() / 2.0);
                let high = radius - (radius * radius - half * half).max(0.0).sqrt();
                let out = high / (2.0 * half) * if numbers[4] > 0.0 { 1.0 } else { -1.0 };
                let top = [f64::midpoint(at[0], x) + dy * out, f64::midpoint(at[1], y) - dx * out];
                pieces.extend([[at, top], [top, [x, y]]]);
            } else if letter != b'M' {
                pieces.push([at, [x, y]]);
            }
            at = [x, y];
        }
        rest = &after[end..];
    }
    pieces
}

/// Whether all of some places are on the outer side of an edge of a ring.
fn is_apart(ring: &[Place; 4], places: &[Place]) -> bool {
    let middle = [0, 1].map(|i| ring.iter().map(|p| p[i]).sum::<f64>() / 4.0);
    (0..4).any(|i| {
        let (a, b) = (ring[i], ring[(i + 1) % 4]);
        let side = |p: &Place| (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]);
        let inner = side(&middle).signum();
        places.iter().all(|p| side(p) * inner < 0.0)
    })
}

/// Whether a line keeps off a ring: all of either is on one side of the other.
fn is_off(ring: &[Place; 4], line: &[Place; 2]) -> bool {
    let [a, b] = line;
    let side = |p: &Place| (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]);
    is_apart(ring, line) || ring.iter().all(|p| side(p) > 0.0) || ring.iter().all(|p| side(p) < 0.0)
}

#[test]
fn words_in_pictures_keep_off_words_and_lines() {
    let mut seen = [0, 0];
    let folder = demo::made().folder.join("folded");
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|ending| ending != "svg") {
            continue;
        }
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let text = fs::read_to_string(&path).unwrap();
        let words: Vec<[Place; 4]> = text.split("<text").skip(1).map(corners).collect();
        let lines: Vec<[Place; 2]> = text
            .split("<path")
            .skip(1)
            .filter(|path| attribute(path, "class") == Some("line"))
            .flat_map(|path| pieces(attribute(path, "d").unwrap()))
            .collect();
        let size = ["width", "height"]
            .map(|side| number(attribute(&text, side).unwrap().trim_end_matches("mm")));
        for (i, own) in words.iter().enumerate() {
            let within = |p: &Place| (0..2).all(|i| -0.01 <= p[i] && p[i] <= size[i] + 0.01);
            assert!(own.iter().all(within), "{name}: words {i} reach out of the page");
            for (j, other) in words.iter().enumerate().skip(i + 1) {
                let is_off = is_apart(own, other) || is_apart(other, own);
                assert!(is_off, "{name}: words {i} and {j} overlap");
            }
            let over = lines.iter().find(|line| !self::is_off(own, line));
            assert!(over.is_none(), "{name}: words {i} are on a line: {over:?}, {own:?}");
        }
        seen = [seen[0] + 1, seen[1] + words.len()];
    }
    println!("{} pictures, {} words", seen[0], seen[1]);
    assert!(seen[0] >= 7 && seen[1] >= 60, "{seen:?}");
}
