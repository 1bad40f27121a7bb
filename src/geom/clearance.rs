//! The exact distance of two outlines.

use crate::geom::bounds::Bounds;
use crate::geom::distance::edge_distance;
use crate::geom::edge::Edge;
use crate::geom::outline::Outline;

/// This many edges in a row are first judged by their common rectangle. Our choice: about the
/// square root of the edges of a finely drawn outline.
const RUN: usize = 16;

/// Edges in a row of an outline, each with its rectangle.
struct Run {
    bounds: Bounds,
    edges: Vec<(Edge, Bounds)>,
}

fn runs(outline: &Outline) -> Vec<Run> {
    let edges: Vec<(Edge, Bounds)> = outline.edges().map(|e| (e, e.bounds())).collect();
    let run = |edges: &[(Edge, Bounds)]| Run {
        bounds: edges.iter().fold(Bounds::EMPTY, |bounds, (_, edge)| bounds.and(*edge)),
        edges: edges.to_vec(),
    };
    edges.chunks(RUN).map(run).collect()
}

/// Minimum distance between two outlines in mm; 0 when they meet. An outline inside
/// another has its distance to the line, not 0.
pub(crate) fn outline_distance(a: &Outline, b: &Outline) -> f64 {
    let (first, second) = (runs(a), runs(b));
    let mut pairs: Vec<(f64, &Run, &Run)> = Vec::with_capacity(first.len() * second.len());
    for run in &first {
        pairs.extend(second.iter().map(|other| (run.bounds.distance(&other.bounds), run, other)));
    }
    // The nearest pair first: its distance rules most others out.
    let nearest = (0..pairs.len()).min_by(|i, j| pairs[*i].0.total_cmp(&pairs[*j].0));
    pairs.swap(0, nearest.unwrap_or(0));
    let mut min = f64::INFINITY;
    for (apart, run, other) in pairs {
        if apart < min {
            min = min.min(run_distance(run, other, min));
        }
    }
    min
}

/// The same for the areas of two outlines: 0 as well where one is within the other.
pub(crate) fn area_distance(a: &Outline, b: &Outline) -> f64 {
    let within = |a: &Outline, b: &Outline| b.contains(a.vertices()[0].at);
    if within(a, b) || within(b, a) { 0.0 } else { outline_distance(a, b) }
}

/// Minimum distance between the edges of two runs, where it is less than `min`, mm.
fn run_distance(a: &Run, b: &Run, mut min: f64) -> f64 {
    for (e, e_box) in &a.edges {
        if e_box.distance(&b.bounds) >= min {
            continue;
        }
        for (f, f_box) in &b.edges {
            if e_box.distance(f_box) < min {
                min = min.min(edge_distance(e, f));
            }
        }
    }
    min
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Place;
    use crate::geom::Point;
    use crate::geom::Vertex;
    use crate::num::Angle;
    use proptest::prelude::*;

    /// A gear with a number of teeth, some of its edges arcs.
    fn gear(teeth: usize, radius: f64, depth: f64, bulge: f64) -> Outline {
        let corner = |i: usize| {
            let angle = Angle::from_degrees(360.0 * i as f64 / (2 * teeth) as f64);
            let r = radius - if i.is_multiple_of(2) { 0.0 } else { depth };
            let at = Point::new(r * angle.cos(), r * angle.sin());
            Vertex { at, bulge: if i.is_multiple_of(3) { bulge } else { 0.0 } }
        };
        Outline::new((0..2 * teeth).map(corner)).expect("a gear")
    }

    proptest! {
        /// Against every edge of one with every edge of the other, apart, within, and across.
        #[test]
        fn the_distance_is_that_of_the_nearest_edges(
            teeth in (3..70usize, 3..70usize), depth in 0.5..6.0f64, bulge in 0.0..0.1f64,
            x in -60.0..60.0f64, rotation in 0.0..360.0f64,
        ) {
            let a = gear(teeth.0, 40.0, depth, bulge);
            let place = Place { rotation: Angle::from_degrees(rotation), ..Place::at(Point::new(x, 3.0)) };
            let b = gear(teeth.1, 12.0, depth, bulge).moved(&place);
            let each = a.edges().flat_map(|e| b.edges().map(move |f| edge_distance(&e, &f)));
            let wanted = each.fold(f64::INFINITY, f64::min);
            prop_assert_eq!(outline_distance(&a, &b), wanted);
        }
    }
}
