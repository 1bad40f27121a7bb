//! Bridges: places where an outline is not cut, so that a small piece does not tip.

use crate::geom::Edge;
use crate::geom::Outline;

/// The outline as open chains with so many gaps of a length in mm, measured along it. They are
/// spread evenly, the first in the centre of the longest straight edge. What is left of an arc is
/// an arc of the same circle. `None` when the gaps leave less than twice their length between them.
pub(crate) fn bridged(outline: &Outline, count: u32, gap: f64) -> Option<Vec<Vec<Edge>>> {
    let edges: Vec<Edge> = outline.edges().collect();
    let whole = outline.length();
    let pitch = whole / f64::from(count);
    let sane = count > 0 && gap > 0.0 && pitch >= 3.0 * gap;
    if !sane {
        return None;
    }
    let first = middle_of_longest(&edges) - gap / 2.0;
    let chains = (0..count).map(|i| {
        let from = first + f64::from(i) * pitch + gap;
        chain(&edges, whole, from.rem_euclid(whole), pitch - gap)
    });
    Some(chains.collect())
}

/// How far along the outline the centre of its longest straight edge is; of the longest arc where
/// there is none.
fn middle_of_longest(edges: &[Edge]) -> f64 {
    let mut at = 0.0;
    let mut best = ((false, 0.0), 0.0);
    for edge in edges {
        let rank = (edge.is_line(), edge.length());
        if rank > best.0 {
            best = (rank, at + edge.length() / 2.0);
        }
        at += edge.length();
    }
    best.1
}

/// The piece of the outline from a position on, so many mm long.
pub(super) fn chain(edges: &[Edge], whole: f64, from: f64, length: f64) -> Vec<Edge> {
    let mut chain = Vec::new();
    // Twice round, for a piece that runs over the first corner.
    let mut at = 0.0;
    for edge in edges.iter().chain(edges) {
        let size = edge.length();
        let (start, end) = ((from - at).max(0.0), (from + length - at).min(size));
        // A piece shorter than a billionth of the outline is rounding. Our choice.
        if end - start > 1e-9 * whole {
            chain.push(part(edge, start / size, end / size));
        }
        at += size;
    }
    chain
}

/// The piece of an edge between two shares of its length.
fn part(edge: &Edge, from: f64, to: f64) -> Edge {
    let point = |t: f64| match t {
        t if t <= 0.0 => edge.from,
        t if t >= 1.0 => edge.to,
        t => edge.point_at(t),
    };
    // The bulge is the tangent of a quarter of the sweep, and the sweep shrinks by the share.
    let quarter = crate::num::atan(edge.bulge).degrees() * (to - from);
    let whole = from <= 0.0 && to >= 1.0;
    let bulge = if whole { edge.bulge } else { crate::num::Angle::from_degrees(quarter).tan() };
    Edge { from: point(from), to: point(to), bulge }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Disc;
    use crate::geom::Point;
    use crate::geom::belt;
    use crate::geom::disc;
    use crate::geom::rectangle;

    fn cut(chains: &[Vec<Edge>]) -> f64 {
        chains.iter().flatten().map(Edge::length).sum()
    }

    #[test]
    fn an_outline_loses_just_its_bridges() {
        let end = |x, radius| Disc { centre: Point::new(x, 0.0), radius };
        let outlines = [
            rectangle(Point::new(30.0, 20.0), 40.0, 25.0, 0.0).unwrap(),
            rectangle(Point::new(30.0, 20.0), 40.0, 25.0, 6.0).unwrap(),
            disc(Point::new(5.0, 5.0), 12.0).unwrap(),
            belt(&[end(0.0, 15.0), end(50.0, 4.0)]).unwrap(),
        ];
        for outline in outlines {
            for count in 1..=5 {
                let chains = bridged(&outline, count, 1.3).unwrap();
                assert_eq!(chains.len(), count as usize);
                let wanted = outline.length() - 1.3 * f64::from(count);
                assert!((cut(&chains) - wanted).abs() < 1e-6, "{count}: {}", cut(&chains));
                for chain in &chains {
                    for pair in chain.windows(2) {
                        assert!((pair[0].to - pair[1].from).hypot() < 1e-9);
                    }
                    // All of it is on the outline.
                    for edge in chain {
                        for t in [0.0, 0.3, 0.5, 1.0] {
                            assert!(outline.distance(edge.point_at(t)) < 1e-6);
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn the_first_bridge_stands_in_the_middle_of_the_longest_side() {
        let plate = rectangle(Point::ZERO, 60.0, 20.0, 2.0).unwrap();
        let chains = bridged(&plate, 2, 2.0).unwrap();
        let ends: Vec<Point> = chains.iter().flat_map(|c| [c[0].from, c[c.len() - 1].to]).collect();
        for end in ends {
            assert!(
                (end.x.abs() - 1.0).abs() < 1e-6 && (end.y.abs() - 10.0).abs() < 1e-6,
                "{end:?}"
            );
        }
    }

    #[test]
    fn a_piece_too_small_for_bridges_has_none() {
        let plate = rectangle(Point::ZERO, 2.0, 2.0, 0.0).unwrap();
        assert_eq!(bridged(&plate, 4, 1.0), None);
        assert_eq!(bridged(&plate, 0, 1.0), None);
        assert!(bridged(&plate, 2, 1.0).is_some());
    }
}
