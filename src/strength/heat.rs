//! The metal of a part, and where the heat of welds weakens it.

use crate::flat::Flat;
use crate::geom::Edge;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::edge_distance;
use crate::part::Part;
use crate::strength::limit::Metal;

/// How far from a weld a metal is weakened, mm: 1 in (Aluminum Design Manual, from memory; taken for
/// cold-drawn steel as well).
const HEATED: f64 = 25.4;

/// Shorter than this a piece is a point, mm.
const POINT: f64 = 1e-9;

/// The metal of a part in the heat-affected zones of its welds.
#[derive(Clone, Debug)]
pub(super) struct Heat {
    metal: Metal,
    /// Beside welds.
    weak: Metal,
    /// In the flat; of a metal that no heat weakens none.
    welds: Vec<Edge>,
}

impl Heat {
    /// Nothing counts beside the welds of a metal that the heat weakens by an unknown amount.
    pub(super) fn of(part: &Part, flat: &Flat, metal: Metal, beside_weld: Option<Metal>) -> Self {
        let unknown = Metal { yield_strength: 0.0, tensile_strength: 0.0, ..metal };
        let weak = beside_weld.unwrap_or(unknown);
        let faces = part.faces.iter().zip(&flat.places).filter(|_| weak != metal);
        let welds = faces.flat_map(|(face, place)| {
            face.welds.iter().flat_map(|w| &w.stretches).map(|edge| edge.moved(place))
        });
        Self { metal, weak, welds: welds.collect() }
    }

    /// Whether all of the part is of one strength.
    pub(super) fn is_even(&self) -> bool {
        self.welds.is_empty()
    }

    /// The weakest metal of the flat within `half` of a line or a point, mm.
    pub(super) fn at(&self, flat: [Point; 2], half: f64) -> Metal {
        let piece = Edge::line(flat[0], flat[1]);
        let near = |edge: &Edge| match (flat[1] - flat[0]).hypot() > POINT {
            true => edge_distance(edge, &piece) - half <= HEATED,
            false => (edge.nearest(flat[0]) - flat[0]).hypot() - half <= HEATED,
        };
        if self.welds.iter().any(near) { self.weak } else { self.metal }
    }
}

/// The same in the drawing of a face.
#[derive(Clone, Copy)]
pub(super) struct FaceHeat<'a> {
    pub(super) heat: &'a Heat,
    pub(super) place: Place,
}

/// A strip of a face: the ends of a line, and how far to either side, mm.
pub(super) type Strip = ([Point; 2], f64);

impl FaceHeat<'_> {
    /// The metal of the weakest of some strips, or one that is weaker.
    pub(super) fn weakest(&self, known: Metal, strips: &[Strip]) -> Metal {
        let at = |(ends, half): &Strip| self.heat.at(ends.map(|p| self.place.apply(p)), *half);
        let weaker = |a: &Metal, b: &Metal| a.tensile_strength.total_cmp(&b.tensile_strength);
        strips.iter().map(at).chain([known]).min_by(weaker).unwrap_or(known)
    }

    /// The effective length of a line in tension, as if all of it were of one metal, mm: weaker
    /// metal counts in proportion to its strength, to the next mm.
    pub(super) fn pulled(&self, known: Metal, [from, to]: [Point; 2]) -> f64 {
        let length = (to - from).hypot();
        if self.heat.is_even() || known.tensile_strength <= 0.0 {
            return length;
        }
        let count = length.ceil().max(1.0);
        let share = |i: u32| from.lerp(to, f64::from(i) / count);
        let piece = |i| self.weakest(known, &[([share(i), share(i + 1)], 0.0)]);
        let each = (0..count as u32).map(|i| piece(i).tensile_strength / known.tensile_strength);
        each.sum::<f64>() * length / count
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const METAL: Metal = Metal { yield_strength: 35.0, tensile_strength: 38.0, elastic: 1e4 };
    const WEAK: Metal = Metal { yield_strength: 20.0, tensile_strength: 24.0, elastic: 1e4 };

    /// A weld along the line y = 0.
    fn heat() -> Heat {
        let weld = Edge::line(Point::new(-100.0, 0.0), Point::new(100.0, 0.0));
        Heat { metal: METAL, weak: WEAK, welds: vec![weld] }
    }

    #[test]
    fn a_strip_is_weak_as_soon_as_its_side_is_within_an_inch_of_a_weld() {
        let heat = heat();
        let (a, b) = (Point::new(0.0, 60.0), Point::new(0.0, 31.0));
        for (ends, half, metal) in
            [([a, a], 34.5, METAL), ([a, a], 34.7, WEAK), ([a, b], 5.5, METAL), ([a, b], 5.7, WEAK)]
        {
            assert_eq!(heat.at(ends, half), metal, "{ends:?} {half}");
        }
    }

    /// 60 mm ending at the weld: 34.6 mm at full strength, 25.4 mm at 24 / 38.
    #[test]
    fn a_pulled_line_counts_the_heated_end_of_it_by_what_that_holds() {
        let heat = heat();
        let face = FaceHeat { heat: &heat, place: Place::default() };
        let line = |x: f64, y: f64| [Point::new(x, 60.0), Point::new(x, y)];
        let (is, by_hand) = (face.pulled(METAL, line(0.0, 0.0)), 34.6 + 25.4 * 24.0 / 38.0);
        assert!(is <= by_hand && is > by_hand - 14.0 / 38.0, "{is}, by hand {by_hand}");
        assert!((face.pulled(METAL, line(0.0, 26.0)) - 34.0).abs() < 1e-9);
        assert!((face.pulled(WEAK, line(0.0, 0.0)) - 60.0).abs() < 1e-9);
        let even = Heat { welds: Vec::new(), ..heat };
        let face = FaceHeat { heat: &even, ..face };
        assert!((face.pulled(METAL, line(0.0, 0.0)) - 60.0).abs() < 1e-9);
    }
}
