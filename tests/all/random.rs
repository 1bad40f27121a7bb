//! Random trees of rectangles, the same on every run.

use crate::tree;
use crate::tree::Flange;
use platewright::bend::Method;
use platewright::part::Part;
use platewright::recipe::CornerShape;
use platewright::recipe::Measured;

/// A pseudo-random sequence: splitmix64, from memory.
pub(crate) struct Rng(pub(crate) u64);

impl Rng {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Evenly between two numbers.
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        let share = (self.next() >> 11) as f64 / (1_u64 << 53) as f64;
        low + (high - low) * share
    }

    /// One of a few.
    fn of<T: Copy>(&mut self, few: &[T]) -> T {
        few[self.next() as usize % few.len()]
    }
}

/// A part with a number of bends: any edge, size, angle, radius and side.
pub(crate) fn part(rng: &mut Rng, bends: usize) -> Part {
    let thickness = rng.of(&[0.8, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0]);
    let base = [rng.between(60.0, 300.0), rng.between(60.0, 300.0)];
    let method = match rng.of(&[0, 1, 2]) {
        0 => Method::Din6935,
        1 => Method::Faa,
        _ => Method::K(rng.between(0.3, 0.5)),
    };
    let mut sizes = vec![base];
    let mut free: Vec<(usize, usize)> = (0..4).map(|edge| (0, edge)).collect();
    let mut flanges = Vec::new();
    for i in 0..bends {
        let pick = rng.next() as usize % free.len();
        let (on, edge) = free.swap_remove(pick);
        // Of a first face the lower and upper edge run along x; of a flange only the far one.
        let along_x = if on == 0 { edge % 2 == 0 } else { edge == 1 };
        let length = if along_x { sizes[on][0] } else { sizes[on][1] };
        let width = length * rng.of(&[0.35, 0.6, 0.8, 1.0]);
        let aside = (length - width) / 2.0 * rng.of(&[-1.0, 0.0, 0.5]);
        let radius = thickness * rng.between(0.5, 2.5);
        let angle = rng.of(&[15.0, 30.0, 45.0, 60.0, 90.0, 90.0, 90.0, 120.0, 135.0]);
        let reach = (radius + thickness) * if angle > 90.0 { 3.5 } else { 1.5 };
        flanges.push(Flange {
            on,
            edge,
            size: [width, reach + rng.between(10.0, 80.0)],
            aside,
            angle,
            radius,
            up: rng.of(&[true, false]),
            measured: rng.of(&[
                Measured::Outside,
                Measured::TangentOutside,
                Measured::Inside,
                Measured::Tangent,
            ]),
            corner: rng.of(&[
                CornerShape::Open,
                CornerShape::Closed,
                CornerShape::Overlap,
                CornerShape::Mitre,
            ]),
        });
        sizes.push(flanges[i].size);
        free.extend((0..3).map(|edge| (i + 1, edge)));
    }
    tree::part(thickness, base, &flanges, method).unwrap()
}
