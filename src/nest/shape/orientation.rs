//! The orientations in which the search places an item.
//!
//! Where any angle is allowed there are too many to search, so an item gets a short list of
//! *skews*, angles from 0° up to 90°, each with the three quarter turns from there: as drawn; those
//! at which it fits a sheet that it fits at no other; those that bring its long sides along the
//! sides of the sheets, or along the long sides of other parts; and even steps. The first of these
//! matter most: in a job of many kinds each gets few.

mod fit;
mod side;

use crate::geom::Bounds;
use crate::geom::NEAR;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Vertex;
use crate::nest::problem::item::Item;
use crate::nest::problem::item::Orientations;
use crate::nest::problem::rules::Rules;
use crate::nest::problem::stock::Stock;
use crate::nest::shape::orientation::side::sides;
use crate::num::Angle;

/// One orientation of an item.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Orientation {
    /// From 0° up to 90°.
    pub(crate) skew: Angle,
    /// Further quarter turns, 0 to 3.
    pub(crate) quarters: u8,
}

/// Maximum number of skews of one item. Our choice: with four quarter turns each, half of the
/// positions evaluated for one part in one move.
const MAX_SKEWS: usize = 12;

/// Maximum number of skews of all items together; an item that may be flipped over counts twice.
/// Our choice, as for the most kinds in a search: the tables of any two of them stay below some 200
/// MB.
const MAX_TOGETHER: usize = 60;

/// Number of long sides of an item that are aligned with the sides of the sheets. Our choice.
const OWN_SIDES: usize = 4;

/// For two items, the number of long sides each that are put side by side, and the number of skews
/// an item gets from that. Our choice.
const MATED_SIDES: usize = 2;
const MATED: usize = 3;

/// Degrees between even steps. Our choice.
const STEP: f64 = 15.0;

/// Skews nearer to each other than this, in degrees, are one. Our choice: a tenth of a millimetre
/// on 100 mm.
const CLOSE: f64 = 0.05;

impl Orientation {
    /// The whole rotation.
    pub(crate) fn angle(self) -> Angle {
        Angle::from_degrees(self.skew.degrees() + 90.0 * f64::from(self.quarters))
    }

    /// The orientation that brings the same sides along x when the item is flipped over first.
    pub(crate) fn turned_over(self) -> Self {
        match self.skew.degrees() {
            0.0 => self,
            skew => Self { skew: Angle::from_degrees(90.0 - skew), ..self },
        }
    }

    /// All four orientations of a skew.
    fn all(skew: f64) -> impl Iterator<Item = Self> {
        (0..4).map(move |quarters| Self { skew: Angle::from_degrees(skew), quarters })
    }
}

/// By item, the orientations in which it is searched. Those of one skew are adjacent, those without
/// skew come first.
pub(crate) fn orientations(
    items: &[Item],
    stock: &[Stock],
    rules: &Rules,
) -> Vec<Vec<Orientation>> {
    let asked = |item: &&Item| item.quantity > 0 || item.fill > 0;
    let (free, rigid): (Vec<&Item>, Vec<&Item>) =
        items.iter().filter(asked).partition(|item| item.orientations == Orientations::Free);
    let count = |items: &[&Item]| items.iter().map(|i| 1 + usize::from(i.mirror)).sum::<usize>();
    let each = MAX_TOGETHER.saturating_sub(count(&rigid)) / count(&free).max(1);
    let max = each.clamp(1, MAX_SKEWS);
    let of_sheets = || -> Vec<f64> {
        stock.iter().flat_map(|s| sides(s.region.outer()).into_iter().take(OWN_SIDES)).collect()
    };
    let of_sheets = if free.is_empty() { Vec::new() } else { of_sheets() };
    let of_items: Vec<Vec<f64>> = items
        .iter()
        .map(|item| match free.is_empty() || !asked(&item) {
            true => Vec::new(),
            false => sides(item.region.outer()),
        })
        .collect();
    let rooms: Vec<Bounds> = stock.iter().filter_map(|s| s.room(rules.kept_margin())).collect();
    let of = |(i, item): (usize, &Item)| -> Vec<Orientation> {
        if item.orientations != Orientations::Free {
            let quarters = |angle: &Angle| (angle.degrees() / 90.0) as u8;
            let orientation = |angle| Orientation { skew: Angle::ZERO, quarters: quarters(angle) };
            return item.orientations.angles().iter().map(orientation).collect();
        }
        let mut skews = Skews::new(item);
        skews.along(&of_items[i], &of_sheets);
        skews.beside(&of_items[i], &of_items);
        skews.step();
        skews.found.truncate(max);
        skews.fit(item.region.outer(), &rooms, max);
        skews.found.into_iter().flat_map(Orientation::all).collect()
    };
    items.iter().enumerate().map(of).collect()
}

/// The rotation, in whole degrees or with as few decimals as possible, at which an item fits a
/// sheet that it does not fit in the orientations it is allowed; `None` when it fits, or no
/// rotation helps.
pub fn fitting_rotation(item: &Item, stock: &[Stock], rules: &Rules) -> Option<Angle> {
    let rooms: Vec<Bounds> = stock.iter().filter_map(|s| s.room(rules.kept_margin())).collect();
    let outer = item.region.outer();
    let fits = |room: &Bounds| {
        item.orientations.angles().iter().any(|t| fit::spare(outer, *t, room) >= 0.0)
    };
    if rooms.iter().any(fits) {
        return None;
    }
    rooms.iter().find_map(|room| fit::fitting(outer, room))
}

/// The skews of one item, the most useful first.
struct Skews {
    found: Vec<f64>,
    /// The outlines that decide whether it looks the same after a rotation.
    outlines: Vec<Outline>,
    round: bool,
}

impl Skews {
    fn new(item: &Item) -> Self {
        let holes = item.region.holes().iter().filter(|_| item.cut_outs);
        let outlines: Vec<Outline> =
            std::iter::once(item.region.outer()).chain(holes).cloned().collect();
        let round = outlines.len() == 1 && outlines[0].circle().is_some();
        Self { found: vec![0.0], outlines, round }
    }

    /// Adds a skew, unless the item looks the same at an existing one.
    fn add(&mut self, skew: f64) {
        let skew = tidy(skew);
        if !self.is_new(skew) {
            return;
        }
        self.found.push(skew);
    }

    fn is_new(&self, skew: f64) -> bool {
        let known = |other: &f64| {
            let apart = (skew - other).abs();
            apart.min(90.0 - apart) < CLOSE
                || (0..4).any(|q| self.looks_the_same(skew - other + 90.0 * f64::from(q)))
        };
        !self.round && !self.found.iter().any(known)
    }

    /// Whether the item looks the same rotated by an angle in degrees.
    fn looks_the_same(&self, degrees: f64) -> bool {
        let corners = || self.outlines.iter().flat_map(Outline::vertices);
        let n = corners().count() as f64;
        let middle = corners().fold((0.0, 0.0), |sum, v| (sum.0 + v.at.x / n, sum.1 + v.at.y / n));
        let rotation = Place { rotation: Angle::from_degrees(degrees), ..Place::default() };
        let shift = crate::geom::Vec2::new(middle.0, middle.1);
        let there = |v: &Vertex| rotation.apply(v.at - shift) + shift;
        corners().all(|v| {
            let at = there(v);
            corners().any(|o| (o.at - at).hypot() < NEAR && (o.bulge - v.bulge).abs() < NEAR)
        })
    }

    /// Aligns its long sides with the sides of the sheets, at least with x and y.
    fn along(&mut self, own: &[f64], of_sheets: &[f64]) {
        for side in own.iter().take(OWN_SIDES) {
            self.add(-side);
            of_sheets.iter().for_each(|edge| self.add(edge - side));
        }
    }

    /// Its long sides along those of all items without skew.
    fn beside(&mut self, own: &[f64], all: &[Vec<f64>]) {
        let max = self.found.len() + MATED;
        for other in all.iter().flat_map(|sides| sides.iter().take(MATED_SIDES)) {
            for side in own.iter().take(MATED_SIDES) {
                if self.found.len() < max {
                    self.add(other - side);
                }
            }
        }
    }

    fn step(&mut self) {
        let mut skew = STEP;
        while skew < 90.0 {
            self.add(skew);
            skew += STEP;
        }
    }

    /// For each sheet that has room for the item at none of its skews, one at which it fits. These
    /// come right after the first; of `max` in all the last give way.
    fn fit(&mut self, outer: &Outline, rooms: &[Bounds], max: usize) {
        for room in rooms {
            let holds = |skew: &f64| {
                let spare = |orientation: Orientation| fit::spare(outer, orientation.angle(), room);
                Orientation::all(*skew).any(|orientation| spare(orientation) >= 0.0)
            };
            if !self.found.iter().any(holds)
                && let Some(angle) = fit::fitting(outer, room)
            {
                self.found.insert(1, tidy(angle.degrees()));
                self.found.truncate(max.max(2));
            }
        }
    }
}

/// From 0 up to 90, rounded where it is next to a number of few decimals: sides rotated by it leave
/// their direction by less than a millionth of a millimetre in a hundred metres.
fn tidy(degrees: f64) -> f64 {
    let skew = degrees.rem_euclid(90.0);
    let short = (skew * 1e6).round() / 1e6;
    let skew = if (skew - short).abs() < 1e-12 { short } else { skew };
    if skew >= 90.0 { 0.0 } else { skew }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Point;
    use crate::geom::Region;
    use crate::geom::disc;
    use crate::geom::hexagon;
    use crate::geom::rectangle;

    fn solid(outline: Outline) -> Item {
        Item { orientations: Orientations::Free, ..Item::new(Region::solid(outline), 1) }
    }

    fn chain(corners: &[(f64, f64)]) -> Outline {
        Outline::new(corners.iter().map(|(x, y)| Vertex::sharp(*x, *y))).unwrap()
    }

    fn skews(items: &[Item], stock: &[Stock]) -> Vec<Vec<f64>> {
        let of = |orientations: &Vec<Orientation>| {
            orientations.chunk_by(|a, b| a.skew == b.skew).map(|of| of[0].skew.degrees()).collect()
        };
        orientations(items, stock, &Rules::default()).iter().map(of).collect()
    }

    #[test]
    fn long_sides_are_brought_along_sheets_and_other_parts() {
        // 3, 4, 5: the long side rises by 36.87° to the left.
        let gusset = chain(&[(0.0, 0.0), (80.0, 0.0), (0.0, 60.0)]);
        let slope = Angle::of(4.0, 3.0).degrees();
        let plate = rectangle(Point::ZERO, 90.0, 30.0, 0.0).unwrap();
        let sheet = Stock::new(Region::solid(chain(&[(0.0, 0.0), (500.0, 0.0), (0.0, 500.0)])));
        let found = skews(&[solid(gusset), solid(plate)], &[sheet]);
        let near = |of: &[f64], wanted: f64| of.iter().any(|skew| (skew - wanted).abs() < 1e-9);
        // Along the sheet, along its slanting side, and the plate along the gusset.
        assert!(near(&found[0], slope) && near(&found[0], 45.0), "{found:?}");
        assert!(near(&found[1], 45.0) && near(&found[1], 90.0 - slope), "{found:?}");
        assert!(found.iter().all(|of| of[0] == 0.0 && of.len() <= MAX_SKEWS), "{found:?}");
        assert!((1..6).all(|i| near(&found[1], 15.0 * f64::from(i))), "{found:?}");
    }

    #[test]
    fn what_looks_the_same_is_no_other_skew() {
        let sheet = [Stock::whole(900.0, 600.0).unwrap()];
        let round = solid(disc(Point::new(4.0, 1.0), 30.0).unwrap());
        // Steps of 15° and of 75° are one and the same to a hexagon, 30° is a quarter turn.
        let hexagon = solid(hexagon(Point::new(4.0, 1.0), 60.0).unwrap());
        let found = skews(&[round, hexagon], &sheet);
        assert_eq!(found[0], [0.0]);
        assert_eq!(found[1], [0.0, 15.0]);
    }

    #[test]
    fn many_kinds_share_the_skews_and_only_free_ones_have_any() {
        let sheet = [Stock::whole(900.0, 600.0).unwrap()];
        let kind = |i: u32| {
            let width = 40.0 + f64::from(i);
            solid(chain(&[(0.0, 0.0), (width, 0.0), (0.3 * width, 30.0)]))
        };
        for count in [1, 7, 15, 40, 90] {
            let mut items: Vec<Item> = (0..count).map(kind).collect();
            let each = (MAX_TOGETHER / count as usize).clamp(1, MAX_SKEWS);
            let found = skews(&items, &sheet);
            assert!(found.iter().all(|of| of.len() <= each && of[0] == 0.0), "{found:?}");
            items.iter_mut().for_each(|i| i.orientations = Orientations::Quarters);
            assert!(skews(&items, &sheet).iter().all(|of| of == &[0.0]));
        }
    }

    #[test]
    fn what_fits_only_skewed_has_that_skew_among_any_number_of_kinds() {
        let sheet = [Stock::whole(450.0, 300.0).unwrap()];
        let bar = rectangle(Point::ZERO, 480.0, 30.0, 0.0).unwrap();
        let item = Item { orientations: Orientations::Quarters, ..solid(bar.clone()) };
        let rotation = fitting_rotation(&item, &sheet, &Rules::default()).unwrap();
        let items = vec![solid(bar); 70];
        let found = skews(&items, &sheet);
        assert!(
            found.iter().all(|of| of == &[0.0, rotation.degrees().rem_euclid(90.0)]),
            "{found:?}"
        );
        assert_eq!(
            fitting_rotation(&items[0], &[Stock::whole(500.0, 40.0).unwrap()], &Rules::default()),
            None
        );
    }
}
