//! At which angles the search lays an item.
//!
//! Where any angle is allowed there are too many to search, so an item gets a short list of
//! *leans*, angles from 0° up to 90°, each with the three quarter turns from there: the one
//! it is drawn at, those at which it fits a sheet that it fits at no other, those that lay
//! its long sides along the sides of the sheets, those that lay them along the long sides of
//! other parts, and even steps. The first of these weigh most: a job of many kinds gets few.

mod fit;
mod side;

use crate::geom::Bounds;
use crate::geom::NEAR;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Vertex;
use crate::nest::problem::item::Item;
use crate::nest::problem::item::Turns;
use crate::nest::problem::rules::Rules;
use crate::nest::problem::stock::Stock;
use crate::nest::shape::orientation::side::sides;
use crate::num::Angle;

/// One way to turn an item.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Turn {
    /// From 0° up to 90°.
    pub(crate) lean: Angle,
    /// So many quarter turns on top, 0 to 3.
    pub(crate) quarters: u8,
}

/// Most leans of one item. Our choice: with four turns each, half of what the search looks
/// at for one part in one move.
const MOST_LEANS: usize = 12;

/// Most leans of all items together, in which an item that may be turned over counts
/// twice. Our choice, as with the most kinds of a search: the tables of any two of them stay
/// below some 200 MB.
const MOST_TOGETHER: usize = 60;

/// Of the long sides of one item, so many may lie along the sheet. Our choice.
const OWN_SIDES: usize = 4;

/// Of two items, so many long sides each are laid side by side, and so many leans of an item
/// come from that. Our choice.
const MATED_SIDES: usize = 2;
const MATED: usize = 3;

/// Degrees from one step to the next. Our choice.
const STEP: f64 = 15.0;

/// Leans nearer to each other than this, in degrees, are one. Our choice: a tenth of a
/// millimetre on 100 mm.
const CLOSE: f64 = 0.05;

impl Turn {
    /// The whole angle.
    pub(crate) fn angle(self) -> Angle {
        Angle::from_degrees(self.lean.degrees() + 90.0 * f64::from(self.quarters))
    }

    /// At which an item that is turned over first lies along what it lies along at this.
    pub(crate) fn turned_over(self) -> Self {
        match self.lean.degrees() {
            0.0 => self,
            lean => Self { lean: Angle::from_degrees(90.0 - lean), ..self },
        }
    }

    /// All four of a lean.
    fn all(lean: f64) -> impl Iterator<Item = Self> {
        (0..4).map(move |quarters| Self { lean: Angle::from_degrees(lean), quarters })
    }
}

/// By item, the turns at which it is searched. Those of one lean stand together, those
/// without one come first.
pub(crate) fn turns(items: &[Item], stock: &[Stock], rules: &Rules) -> Vec<Vec<Turn>> {
    let asked = |item: &&Item| item.quantity > 0 || item.fill > 0;
    let (free, rigid): (Vec<&Item>, Vec<&Item>) =
        items.iter().filter(asked).partition(|item| item.turns == Turns::Free);
    let count = |items: &[&Item]| items.iter().map(|i| 1 + usize::from(i.mirror)).sum::<usize>();
    let each = MOST_TOGETHER.saturating_sub(count(&rigid)) / count(&free).max(1);
    let most = each.clamp(1, MOST_LEANS);
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
    let of = |(i, item): (usize, &Item)| -> Vec<Turn> {
        if item.turns != Turns::Free {
            let quarters = |angle: &Angle| (angle.degrees() / 90.0) as u8;
            let turn = |angle| Turn { lean: Angle::ZERO, quarters: quarters(angle) };
            return item.turns.angles().iter().map(turn).collect();
        }
        let mut leans = Leans::new(item);
        leans.along(&of_items[i], &of_sheets);
        leans.beside(&of_items[i], &of_items);
        leans.step();
        leans.found.truncate(most);
        leans.fit(item.region.outer(), &rooms, most);
        leans.found.into_iter().flat_map(Turn::all).collect()
    };
    items.iter().enumerate().map(of).collect()
}

/// The turn, in whole degrees or as few decimals as may be, at which an item fits one of the
/// sheets that it does not fit at those it is allowed; `None` when it fits, or no turn helps.
pub fn fitting_turn(item: &Item, stock: &[Stock], rules: &Rules) -> Option<Angle> {
    let rooms: Vec<Bounds> = stock.iter().filter_map(|s| s.room(rules.kept_margin())).collect();
    let outer = item.region.outer();
    let fits =
        |room: &Bounds| item.turns.angles().iter().any(|t| fit::spare(outer, *t, room) >= 0.0);
    if rooms.iter().any(fits) {
        return None;
    }
    rooms.iter().find_map(|room| fit::fitting(outer, room))
}

/// The leans of one item, the most worth first.
struct Leans {
    found: Vec<f64>,
    /// The outlines that say whether it looks the same at another turn.
    outlines: Vec<Outline>,
    round: bool,
}

impl Leans {
    fn new(item: &Item) -> Self {
        let holes = item.region.holes().iter().filter(|_| item.windows);
        let outlines: Vec<Outline> =
            std::iter::once(item.region.outer()).chain(holes).cloned().collect();
        let round = outlines.len() == 1 && outlines[0].circle().is_some();
        Self { found: vec![0.0], outlines, round }
    }

    /// One more, unless the item looks the same at one that is there.
    fn add(&mut self, lean: f64) {
        let lean = tidy(lean);
        if !self.is_new(lean) {
            return;
        }
        self.found.push(lean);
    }

    fn is_new(&self, lean: f64) -> bool {
        let known = |other: &f64| {
            let apart = (lean - other).abs();
            apart.min(90.0 - apart) < CLOSE
                || (0..4).any(|q| self.looks_the_same(lean - other + 90.0 * f64::from(q)))
        };
        !self.round && !self.found.iter().any(known)
    }

    /// Whether the item is the same when it is turned by so many degrees.
    fn looks_the_same(&self, degrees: f64) -> bool {
        let corners = || self.outlines.iter().flat_map(Outline::vertices);
        let n = corners().count() as f64;
        let middle = corners().fold((0.0, 0.0), |sum, v| (sum.0 + v.at.x / n, sum.1 + v.at.y / n));
        let turn = Place { turn: Angle::from_degrees(degrees), ..Place::default() };
        let shift = crate::geom::Vec2::new(middle.0, middle.1);
        let there = |v: &Vertex| turn.apply(v.at - shift) + shift;
        corners().all(|v| {
            let at = there(v);
            corners().any(|o| (o.at - at).hypot() < NEAR && (o.bulge - v.bulge).abs() < NEAR)
        })
    }

    /// Its long sides along the sides of the sheets, which run along x and y at least.
    fn along(&mut self, own: &[f64], of_sheets: &[f64]) {
        for side in own.iter().take(OWN_SIDES) {
            self.add(-side);
            of_sheets.iter().for_each(|rim| self.add(rim - side));
        }
    }

    /// Its long sides along those of all items, as these lie without a lean.
    fn beside(&mut self, own: &[f64], all: &[Vec<f64>]) {
        let most = self.found.len() + MATED;
        for other in all.iter().flat_map(|sides| sides.iter().take(MATED_SIDES)) {
            for side in own.iter().take(MATED_SIDES) {
                if self.found.len() < most {
                    self.add(other - side);
                }
            }
        }
    }

    fn step(&mut self) {
        let mut lean = STEP;
        while lean < 90.0 {
            self.add(lean);
            lean += STEP;
        }
    }

    /// For each room that holds the item at none of its leans, one at which it does. These
    /// come right after the first; of `most` in all the last give way.
    fn fit(&mut self, outer: &Outline, rooms: &[Bounds], most: usize) {
        for room in rooms {
            let holds = |lean: &f64| {
                let spare = |turn: Turn| fit::spare(outer, turn.angle(), room);
                Turn::all(*lean).any(|turn| spare(turn) >= 0.0)
            };
            if !self.found.iter().any(holds)
                && let Some(angle) = fit::fitting(outer, room)
            {
                self.found.insert(1, tidy(angle.degrees()));
                self.found.truncate(most.max(2));
            }
        }
    }
}

/// From 0 up to 90, rounded where it is next to a number of few decimals: sides turned by it
/// leave their direction by less than a millionth of a millimetre on a hundred metres.
fn tidy(degrees: f64) -> f64 {
    let lean = degrees.rem_euclid(90.0);
    let short = (lean * 1e6).round() / 1e6;
    let lean = if (lean - short).abs() < 1e-12 { short } else { lean };
    if lean >= 90.0 { 0.0 } else { lean }
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
        Item { turns: Turns::Free, ..Item::new(Region::solid(outline), 1) }
    }

    fn chain(corners: &[(f64, f64)]) -> Outline {
        Outline::new(corners.iter().map(|(x, y)| Vertex::sharp(*x, *y))).unwrap()
    }

    fn leans(items: &[Item], stock: &[Stock]) -> Vec<Vec<f64>> {
        let of = |turns: &Vec<Turn>| {
            turns.chunk_by(|a, b| a.lean == b.lean).map(|of| of[0].lean.degrees()).collect()
        };
        turns(items, stock, &Rules::default()).iter().map(of).collect()
    }

    #[test]
    fn long_sides_come_to_lie_along_sheets_and_other_parts() {
        // 3, 4, 5: the long side rises by 36.87° to the left.
        let gusset = chain(&[(0.0, 0.0), (80.0, 0.0), (0.0, 60.0)]);
        let slope = Angle::of(4.0, 3.0).degrees();
        let plate = rectangle(Point::ZERO, 90.0, 30.0, 0.0).unwrap();
        let sheet = Stock::new(Region::solid(chain(&[(0.0, 0.0), (500.0, 0.0), (0.0, 500.0)])));
        let found = leans(&[solid(gusset), solid(plate)], &[sheet]);
        let near = |of: &[f64], wanted: f64| of.iter().any(|lean| (lean - wanted).abs() < 1e-9);
        // Along the sheet, along its slanting side, and the plate along the gusset.
        assert!(near(&found[0], slope) && near(&found[0], 45.0), "{found:?}");
        assert!(near(&found[1], 45.0) && near(&found[1], 90.0 - slope), "{found:?}");
        assert!(found.iter().all(|of| of[0] == 0.0 && of.len() <= MOST_LEANS), "{found:?}");
        assert!((1..6).all(|i| near(&found[1], 15.0 * f64::from(i))), "{found:?}");
    }

    #[test]
    fn what_looks_the_same_is_no_other_lean() {
        let sheet = [Stock::whole(900.0, 600.0).unwrap()];
        let round = solid(disc(Point::new(4.0, 1.0), 30.0).unwrap());
        // Steps of 15° and of 75° are one and the same to a hexagon, 30° is a quarter turn.
        let hexagon = solid(hexagon(Point::new(4.0, 1.0), 60.0).unwrap());
        let found = leans(&[round, hexagon], &sheet);
        assert_eq!(found[0], [0.0]);
        assert_eq!(found[1], [0.0, 15.0]);
    }

    #[test]
    fn many_kinds_share_what_there_is_and_only_free_ones_lean() {
        let sheet = [Stock::whole(900.0, 600.0).unwrap()];
        let kind = |i: u32| {
            let width = 40.0 + f64::from(i);
            solid(chain(&[(0.0, 0.0), (width, 0.0), (0.3 * width, 30.0)]))
        };
        for count in [1, 7, 15, 40, 90] {
            let mut items: Vec<Item> = (0..count).map(kind).collect();
            let each = (MOST_TOGETHER / count as usize).clamp(1, MOST_LEANS);
            let found = leans(&items, &sheet);
            assert!(found.iter().all(|of| of.len() <= each && of[0] == 0.0), "{found:?}");
            items.iter_mut().for_each(|i| i.turns = Turns::Quarters);
            assert!(leans(&items, &sheet).iter().all(|of| of == &[0.0]));
        }
    }

    #[test]
    fn what_fits_askew_only_has_that_lean_however_many_kinds_there_are() {
        let sheet = [Stock::whole(450.0, 300.0).unwrap()];
        let bar = rectangle(Point::ZERO, 480.0, 30.0, 0.0).unwrap();
        let item = Item { turns: Turns::Quarters, ..solid(bar.clone()) };
        let turn = fitting_turn(&item, &sheet, &Rules::default()).unwrap();
        let items = vec![solid(bar); 70];
        let found = leans(&items, &sheet);
        assert!(found.iter().all(|of| of == &[0.0, turn.degrees().rem_euclid(90.0)]), "{found:?}");
        assert_eq!(
            fitting_turn(&items[0], &[Stock::whole(500.0, 40.0).unwrap()], &Rules::default()),
            None
        );
    }
}
