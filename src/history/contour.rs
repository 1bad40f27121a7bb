//! The text of an outline: short, exact to a ten-thousandth of a millimetre, and the same
//! whatever way the outline was drawn.
//!
//! `circle X Y D`, or the corners in their order, `X Y` each, with the bulge of the edge that
//! follows where that is an arc: `0 0, 60 0 0.414213562, 70 10, …`.

use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::num;

/// Decimals of coordinates, mm, and of bulges.
const DECIMALS: [usize; 2] = [4, 9];

/// The text of an outline.
pub(crate) fn written(outline: &Outline) -> String {
    if let Some((centre, radius)) = outline.circle() {
        return format!("circle {} {}", point(centre), number(2.0 * radius));
    }
    let corner = |e: Edge| match num::text(e.bulge, DECIMALS[1]).as_str() {
        "0" => point(e.from),
        bulge => format!("{} {bulge}", point(e.from)),
    };
    outline.edges().map(corner).collect::<Vec<_>>().join(", ")
}

/// The text of a line or an arc, the same from either end.
pub(crate) fn line(edge: &Edge) -> String {
    let key = |p: Point| (p.y, p.x);
    let forward = key(edge.from) <= key(edge.to);
    let (from, to, bulge) = match forward {
        true => (edge.from, edge.to, edge.bulge),
        false => (edge.to, edge.from, -edge.bulge),
    };
    match num::text(bulge, DECIMALS[1]).as_str() {
        "0" => format!("{}, {}", point(from), point(to)),
        bulge => format!("{} {bulge}, {}", point(from), point(to)),
    }
}

fn point(p: Point) -> String {
    format!("{} {}", number(p.x), number(p.y))
}

fn number(x: f64) -> String {
    num::text(x, DECIMALS[0])
}

/// The edges of an outline from its text; `None` if the text is none.
pub fn edges(text: &str) -> Option<Vec<Edge>> {
    let numbers = |text: &str| -> Option<Vec<f64>> {
        let all: Option<Vec<f64>> = text.split_whitespace().map(|n| n.parse().ok()).collect();
        all.filter(|all| all.iter().all(|n| n.is_finite()))
    };
    if let Some(circle) = text.strip_prefix("circle ") {
        let [x, y, diameter] = numbers(circle)?[..] else { return None };
        let ends = [-0.5, 0.5].map(|side| Point::new(x + side * diameter, y));
        let half = |from, to| Edge { from, to, bulge: 1.0 };
        return Some(vec![half(ends[0], ends[1]), half(ends[1], ends[0])]);
    }
    let corners: Option<Vec<(Point, f64)>> = text
        .split(',')
        .map(|corner| match numbers(corner)?[..] {
            [x, y] => Some((Point::new(x, y), 0.0)),
            [x, y, bulge] => Some((Point::new(x, y), bulge)),
            _ => None,
        })
        .collect();
    let corners = corners?;
    let next = corners.iter().cycle().skip(1);
    Some(corners.iter().zip(next).map(|(a, b)| Edge { from: a.0, to: b.0, bulge: a.1 }).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Vertex;

    #[test]
    fn an_outline_is_read_as_it_was_written_from_whatever_corner_it_began() {
        let mut corners = vec![
            Vertex { at: Point::new(60.0, 0.0), bulge: 0.414_213_562_373 },
            Vertex::sharp(70.0, 10.0),
            Vertex::sharp(0.0, 10.0),
            Vertex::sharp(0.0, 0.0),
        ];
        let wanted = "0 0, 60 0 0.414213562, 70 10, 0 10";
        for _ in 0..4 {
            corners.rotate_left(1);
            let outline = Outline::new(corners.clone()).unwrap();
            assert_eq!(written(&outline), wanted);
            let back = edges(wanted).unwrap();
            for (a, b) in outline.edges().zip(&back) {
                assert!((a.from - b.from).hypot() < 1e-9 && (a.bulge - b.bulge).abs() < 1e-9);
            }
        }
        let circle = edges("circle 5 7.25 9").unwrap();
        assert_eq!(circle.len(), 2);
        assert!((circle[0].arc().unwrap().radius - 4.5).abs() < 1e-9);
        for bad in ["", "circle", "circle 1 2", "1", "1 2, x 3", "1 2 3 4", "nan 1, 2 3"] {
            assert_eq!(edges(bad), None, "{bad}");
        }
    }

    #[test]
    fn a_line_is_the_same_from_either_end() {
        let there = Edge { from: Point::new(9.0, 1.0), to: Point::new(2.0, 1.0), bulge: 0.5 };
        assert_eq!(line(&there), "2 1 -0.5, 9 1");
        assert_eq!(line(&there.reversed()), line(&there));
    }
}
