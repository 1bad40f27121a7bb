//! The rest of a flange beside the notch at the end of its bend.

use crate::tree;
use crate::tree::Flange;
use platewright::bend::Method;
use platewright::flat;
use platewright::geom::Within;
use platewright::geom::narrow;
use platewright::part::Relief;
use platewright::recipe::CornerShape;
use platewright::recipe::Measured;
use platewright::recipe::ReliefShape;

const T: f64 = 2.0;

/// Wider than its edge by far: at a corner it is cut back along its slope.
fn flange(edge: usize, angle: f64, corner: CornerShape) -> Flange {
    Flange {
        on: 0,
        edge,
        size: [160.0, 30.0],
        aside: 0.0,
        angle,
        radius: 3.0,
        up: true,
        measured: Measured::Outside,
        corner,
    }
}

/// Where one flange leans in and the other one out, the notch beside the bend reached nearly to
/// the slope at which the flange is cut back, and left a spur that no process cuts: of 120
/// corners drawn at random 24 were stopped for it.
#[test]
fn beside_a_notch_of_a_flange_that_leans_no_spur_is_left() {
    let (mut spurs, mut looked_at) = (Vec::new(), 0);
    for (one, other) in [(72.0, 104.0), (68.0, 119.0), (53.0, 124.0), (50.0, 128.0), (60.0, 107.0)]
    {
        for shape in [CornerShape::Closed, CornerShape::Mitre, CornerShape::Overlap] {
            for relief in [ReliefShape::Square, ReliefShape::Round, ReliefShape::Hole] {
                for angles in [[one, other], [other, one]] {
                    let on = |i: usize| flange(i, angles[i], shape);
                    let size = [100.0, 60.0];
                    let mut part = tree::part(T, size, &[on(0), on(1)], Method::K(0.4)).unwrap();
                    for bend in &mut part.bends {
                        bend.relief = Relief { shape: relief, ..bend.relief };
                    }
                    // Two flanges that lean apart may meet in the flat.
                    let flat = match flat::unfold(&part) {
                        Ok(flat) => flat,
                        Err(found) => {
                            let words = &found[0].headline;
                            assert!(words.ends_with("in the flat they overlap"), "{words}");
                            continue;
                        }
                    };
                    looked_at += 1;
                    let found = narrow(flat.region.outer(), Within::Inside, T - 0.001, 0.2);
                    let words = |n| format!("{shape:?} {relief:?} {angles:?}: {n:?}");
                    spurs.extend(found.into_iter().map(words));
                }
            }
        }
    }
    assert!(spurs.is_empty(), "{spurs:#?}");
    assert!(looked_at > 60, "only {looked_at} of 90 can be made");
}
