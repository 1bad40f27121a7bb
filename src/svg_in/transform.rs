//! The `transform` of an element.

use crate::geom::Motion;
use crate::geom::Vec2;
use crate::num::Angle;
use crate::svg_in::path::numbers;

/// All of a list of transforms; none where one is not known.
pub(super) fn read(text: &str) -> Option<Motion> {
    let mut whole = Motion::NONE;
    let mut rest = text.trim();
    while !rest.is_empty() {
        let (name, after) = rest.split_once('(')?;
        let (inside, after) = after.split_once(')')?;
        // The first written is applied last.
        whole = one(name.trim_matches(|c: char| c == ',' || c.is_whitespace()), &numbers(inside))?
            .then(&whole);
        rest = after.trim_start_matches(|c: char| c == ',' || c.is_whitespace());
    }
    Some(whole)
}

fn one(name: &str, n: &[f64]) -> Option<Motion> {
    let shift = |x: f64, y: f64| Motion::shifted(Vec2::new(x, y));
    let tan = |degrees: f64| Angle::from_degrees(degrees).tan();
    Some(match (name, n) {
        ("matrix", [a, b, c, d, e, f]) => {
            Motion { x: Vec2::new(*a, *b), y: Vec2::new(*c, *d), shift: Vec2::new(*e, *f) }
        }
        ("translate", [x]) => shift(*x, 0.0),
        ("translate", [x, y]) => shift(*x, *y),
        ("scale", [k]) => Motion::scaled(*k, *k),
        ("scale", [x, y]) => Motion::scaled(*x, *y),
        ("rotate", [a]) => Motion::rotated(Angle::from_degrees(*a)),
        ("rotate", [a, x, y]) => {
            let turn = Motion::rotated(Angle::from_degrees(*a));
            shift(-x, -y).then(&turn).then(&shift(*x, *y))
        }
        ("skewX", [a]) => Motion { y: Vec2::new(tan(*a), 1.0), ..Motion::NONE },
        ("skewY", [a]) => Motion { x: Vec2::new(1.0, tan(*a)), ..Motion::NONE },
        _ => return None,
    })
}
