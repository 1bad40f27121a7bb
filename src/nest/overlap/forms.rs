//! All that is worked out before a search: every form in which something may lie, and how
//! deep any two of them lie in each other.

use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Vec2;
use crate::nest::problem::item::Item;
use crate::nest::problem::layout::Placed;
use crate::nest::problem::rules::Rules;
use crate::nest::shape::grown::grown;
use crate::nest::shape::grown::shrunk;
use crate::nest::shape::nfp::boxed;
use crate::nest::shape::nfp::inner_fit;
use crate::nest::shape::nfp::no_fit;
use crate::nest::shape::nfp::wound;
use crate::nest::shape::orientation::Turn;
use crate::nest::shape::penetration_depth::Depth;
use crate::nest::shape::polygon::GRID;
use crate::nest::shape::polygon::ON_GRID;
use crate::nest::shape::polygon::Patch;
use crate::nest::shape::polygon::Ring;
use crate::nest::shape::polygon::Spot;
use crate::nest::shape::polygon::double_area;
use crate::nest::shape::polygon::extent;
use crate::nest::shape::polygon::without;
use crate::num::Angle;
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::OnceLock;

/// Forms and depths of a set of items.
#[derive(Debug)]
pub(crate) struct Kit {
    bases: Vec<Base>,
    pub(crate) forms: Vec<Form>,
    /// By item, its forms.
    of_item: Vec<Range<usize>>,
    /// By item, those of its forms that do not lean.
    level: Vec<Vec<usize>>,
    pairs: Vec<Pair>,
    tables: Vec<Table>,
}

/// A shape turned as it may lie.
#[derive(Clone, Debug)]
pub(crate) struct Form {
    base: usize,
    /// Quarter turns from its base.
    quarters: u8,
    /// Grown by half the gap, in micrometres from its reference point.
    pub(crate) ring: Ring,
    /// Lower left corner of the box round it. Where it leans, the box is that of the part
    /// grown with round corners: what sticks out of it needs no room of its own.
    pub(crate) least: (f64, f64),
    /// Upper right corner of that box.
    pub(crate) most: (f64, f64),
    /// Its share in the weight of an overlap: what is large is hard to place elsewhere.
    pub(crate) bulk: f64,
}

/// A shape at one lean, before it is turned by quarters.
#[derive(Debug)]
struct Base {
    item: usize,
    mirrored: bool,
    lean: Angle,
    rim: Ring,
    /// The corners of the box round it, or what else has the same box.
    frame: Ring,
    /// Where other parts may lie within it.
    windows: Vec<Patch>,
    /// Its reference point in the item's coordinates, after mirroring and leaning.
    origin: Point,
}

/// Where the depth of one form beside another is found: in which table, once their
/// distance is turned by some quarters.
#[derive(Clone, Copy, Debug, Default)]
struct Pair {
    table: u32,
    cos: f32,
    sin: f32,
}

/// How deep two bases lie in each other, the second turned by quarters.
#[derive(Debug)]
struct Table {
    bases: (usize, usize, u8),
    /// Where neither leans it is worked out at once, else when it is asked for first: of all
    /// that may lean beside each other, a search sees few.
    depth: OnceLock<Depth>,
}

/// Up to here products of two coordinates are nearly exact in `f64`: about a kilometre.
const FARTHEST: i64 = 1 << 30;

/// Turns nearer to each other than this, in quarter turns, are one: far more than rounding
/// leaves, far less than leans are apart.
const SAME_TURN: f64 = 1e-9;

impl Kit {
    /// Works out the forms of the items that are `used`, each at its `turns`, and of what is
    /// in the way, in coordinates of the sheets.
    ///
    /// `None` when the coordinates of an item are such that nothing can be made sure.
    pub(crate) fn new(
        items: &[Item],
        turns: &[Vec<Turn>],
        used: &[bool],
        rules: &Rules,
        in_the_way: &[Ring],
    ) -> Option<Self> {
        let (mut bases, mut forms, mut of_item) = (Vec::new(), Vec::<Form>::new(), Vec::new());
        for (i, item) in items.iter().enumerate() {
            let first = forms.len();
            if !used[i] {
                of_item.push(first..first);
                continue;
            }
            for mirrored in [false, true].into_iter().take(1 + usize::from(item.mirror)) {
                for of_lean in turns[i].chunk_by(|a, b| a.lean == b.lean) {
                    let seen = |turn: &Turn| if mirrored { turn.turned_over() } else { *turn };
                    let base = Base::new(i, item, mirrored, seen(&of_lean[0]).lean, rules)?;
                    for turn in of_lean {
                        let form = base.form(bases.len(), turn.quarters);
                        if !forms[first..].iter().any(|f| f.looks_like(&form)) {
                            forms.push(form);
                        }
                    }
                    bases.push(base);
                }
            }
            of_item.push(first..forms.len());
        }
        for ring in in_the_way {
            let (first, item) = (forms.len(), of_item.len());
            let base = Base::fixed(item, ring);
            forms.push(base.form(bases.len(), 0));
            bases.push(base);
            of_item.push(first..first + 1);
        }
        let (pairs, wanted) = pairs(&forms);
        let leans = |base: usize| bases[base].lean != Angle::ZERO;
        let table = |of: &(usize, usize, u8)| {
            let table = Table { bases: *of, depth: OnceLock::new() };
            if !leans(of.0) && !leans(of.1) {
                table.of(&bases);
            }
            table
        };
        let tables = wanted.par_iter().map(table).collect();
        let level = |of: &Range<usize>| of.clone().filter(|f| !leans(forms[*f].base)).collect();
        let level = of_item.iter().map(level).collect();
        Some(Self { bases, forms, of_item, level, pairs, tables })
    }

    /// Whether an item may lean.
    pub(crate) fn leans(&self, item: usize) -> bool {
        self.level[item].len() < self.of_item[item].len()
    }

    /// The forms of an item that do not lean: one at least, that as which it is drawn.
    pub(crate) fn level_of(&self, item: usize) -> &[usize] {
        &self.level[item]
    }

    /// The forms of an item; things in the way come after the items.
    pub(crate) fn forms_of(&self, item: usize) -> Range<usize> {
        self.of_item[item].clone()
    }

    /// How deep form `b` lies in form `a`, from whose reference point its own is so far.
    #[inline]
    pub(crate) fn depth(&self, a: usize, b: usize, x: f64, y: f64) -> f64 {
        let pair = &self.pairs[a * self.forms.len() + b];
        let (cos, sin) = (f64::from(pair.cos), f64::from(pair.sin));
        let depth = self.tables[pair.table as usize].of(&self.bases);
        depth.at(x * cos - y * sin, x * sin + y * cos)
    }

    /// Where a part lies whose reference point is so many micrometres from `corner`.
    pub(crate) fn placed(&self, form: usize, x: f64, y: f64, corner: Point) -> Placed {
        let form = &self.forms[form];
        let base = &self.bases[form.base];
        let turn = Turn { lean: base.lean, quarters: form.quarters }.angle();
        let shift = corner - base.reference(form.quarters) + Vec2::new(x / GRID, y / GRID);
        Placed { item: base.item, place: Place { mirrored: base.mirrored, turn, shift } }
    }

    /// The other way round: the form and the position nearest to where a part of an item
    /// lies. A form that looks the same is as good.
    pub(crate) fn found(&self, placed: &Placed, corner: Point) -> Option<(usize, f64, f64)> {
        let place = &placed.place;
        let of_item = |b: &&Base| b.item == placed.item && b.mirrored == place.mirrored;
        let turned = |base: &'_ Base| {
            let quarters = (place.turn.degrees() - base.lean.degrees()) / 90.0;
            let whole = quarters.round();
            ((quarters - whole).abs() < SAME_TURN).then(|| whole.rem_euclid(4.0) as u8)
        };
        let found = self.bases.iter().filter(of_item).find_map(|b| turned(b).map(|q| (b, q)));
        let (base, quarters) = found?;
        let lies = base.form(0, quarters);
        let form = self.forms_of(placed.item).find(|f| self.forms[*f].looks_like(&lies))?;
        let from = base.reference(quarters);
        let at = (place.shift - corner.to_vec2() + from.to_vec2()) * GRID;
        let least = self.forms[form].least;
        let (x, y) = (at.x + lies.least.0 - least.0, at.y + lies.least.1 - least.1);
        Some((form, x.round(), y.round()))
    }
}

impl Form {
    fn new(base: usize, quarters: u8, rim: &[Spot], frame: &[Spot]) -> Self {
        let ring = turned(rim, quarters);
        let (least, most) = extent(&turned(frame, quarters));
        let (width, height) = ((most.x - least.x) as f64, (most.y - least.y) as f64);
        let area = double_area(&ring) as f64 / 2.0;
        Self {
            base,
            quarters,
            ring,
            least: (least.x as f64, least.y as f64),
            most: (most.x as f64, most.y as f64),
            bulk: (0.5 * (area + width * height)).sqrt().sqrt(),
        }
    }

    /// Whether they are the same but for where their reference points are.
    fn looks_like(&self, other: &Self) -> bool {
        let sorted = |form: &Self| {
            let least = Spot::new(form.least.0 as i64, form.least.1 as i64);
            let mut ring: Ring = form.ring.iter().map(|s| *s - least).collect();
            ring.sort_unstable();
            ring
        };
        let size = |form: &Self| (form.most.0 - form.least.0, form.most.1 - form.least.1);
        let alike = self.ring.len() == other.ring.len() && size(self) == size(other);
        alike && sorted(self) == sorted(other)
    }
}

impl Base {
    fn new(item: usize, of: &Item, mirrored: bool, lean: Angle, rules: &Rules) -> Option<Self> {
        let region = of.region.moved(&Place { mirrored, turn: lean, ..Place::default() });
        let (origin, reach) = (region.bounds().least, rules.kept_gap() / 2.0);
        let patch = grown(region.outer(), reach, origin)?;
        if patch.rim.iter().any(|s| s.x.abs() > FARTHEST || s.y.abs() > FARTHEST) {
            return None;
        }
        // What growth closes off is as free as what lies outside.
        let mut windows: Vec<Patch> =
            patch.holes.into_iter().map(|rim| Patch { rim, holes: Vec::new() }).collect();
        for hole in region.holes().iter().filter(|_| of.windows) {
            let size = hole.bounds();
            if size.width().min(size.height()) >= rules.least_window {
                windows.extend(shrunk(hole, rules.kept_window_gap() - reach, origin));
            }
        }
        let rim = patch.rim;
        let frame = if lean == Angle::ZERO { rim.clone() } else { frame(&region, reach) };
        Some(Self { item, mirrored, lean, rim, frame, windows, origin })
    }

    /// What is in the way, in coordinates of the sheets.
    fn fixed(item: usize, ring: &Ring) -> Self {
        Self {
            item,
            mirrored: false,
            lean: Angle::ZERO,
            rim: ring.clone(),
            frame: ring.clone(),
            windows: Vec::new(),
            origin: Point::ZERO,
        }
    }

    fn form(&self, index: usize, quarters: u8) -> Form {
        Form::new(index, quarters, &self.rim, &self.frame)
    }

    /// The reference point, turned by quarters about the origin of the item.
    fn reference(&self, quarters: u8) -> Point {
        let turn = Angle::from_degrees(90.0 * f64::from(quarters));
        Place { turn, ..Place::default() }.apply(self.origin)
    }
}

impl Table {
    #[inline]
    fn of(&self, bases: &[Base]) -> &Depth {
        let (a, b, quarters) = self.bases;
        self.depth.get_or_init(|| depth(&bases[a], &bases[b], quarters))
    }
}

/// The box round a region grown by so many mm, outward on the grid, from its lower left
/// corner.
fn frame(region: &Region, reach: f64) -> Ring {
    let (bounds, low) = (region.bounds(), (-reach * GRID + ON_GRID).floor() as i64);
    let high = |length: f64| ((length + reach) * GRID - ON_GRID).ceil() as i64;
    boxed(Spot::new(low, low), Spot::new(high(bounds.width()), high(bounds.height())))
}

/// Turned anticlockwise by quarters about the reference point.
fn turned(ring: &[Spot], quarters: u8) -> Ring {
    let turn = |s: &Spot| match quarters % 4 {
        0 => *s,
        1 => Spot::new(-s.y, s.x),
        2 => Spot::new(-s.x, -s.y),
        _ => Spot::new(s.y, -s.x),
    };
    ring.iter().map(turn).collect()
}

/// For each two forms their table; and for each table two bases, the second turned by so
/// many quarters.
fn pairs(forms: &[Form]) -> (Vec<Pair>, Vec<(usize, usize, u8)>) {
    let mut tables = BTreeMap::new();
    let mut wanted = Vec::new();
    let mut pairs = Vec::with_capacity(forms.len() * forms.len());
    for a in forms {
        for b in forms {
            let q = (b.quarters + 4 - a.quarters) % 4;
            // Seen from b, a lies on the other side.
            let swapped = a.base > b.base || (a.base == b.base && q == 3);
            let (key, back) = if swapped {
                ((b.base, a.base, (4 - q) % 4), (6 - b.quarters) % 4)
            } else {
                ((a.base, b.base, q), (4 - a.quarters) % 4)
            };
            let table = *tables.entry(key).or_insert_with(|| {
                wanted.push(key);
                wanted.len() as u32 - 1
            });
            let (cos, sin) = [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)][usize::from(back)];
            pairs.push(Pair { table, cos, sin });
        }
    }
    (pairs, wanted)
}

/// The depth of `b`, turned by quarters, beside `a`.
fn depth(a: &Base, b: &Base, quarters: u8) -> Depth {
    let ring = turned(&b.rim, quarters);
    let mut barred = no_fit(&a.rim, &ring);
    let within_a = a.windows.iter().flat_map(|window| inner_fit(window, &ring)).map(|p| p.rim);
    let within_b = b.windows.iter().flat_map(|window| {
        let holes = window.holes.iter().map(|h| turned(h, quarters)).collect();
        let window = Patch { rim: turned(&window.rim, quarters), holes };
        inner_fit(&window, &a.rim).into_iter().map(|p| p.rim.iter().map(|s| -*s).collect())
    });
    let free: Vec<Ring> = within_a.chain(within_b).collect();
    if !free.is_empty() {
        let rings: Vec<Ring> = barred.into_iter().flat_map(wound).collect();
        barred = without(&rings, &free);
    }
    Depth::new(&barred)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Outline;
    use crate::geom::Vertex;
    use crate::geom::outline_distance;
    use crate::geom::rectangle;
    use crate::nest::problem::item::Turns;
    use crate::nest::random::Dice;
    use crate::nest::shape::orientation::turns;

    fn chain(corners: &[(f64, f64)]) -> Region {
        Region::solid(Outline::new(corners.iter().map(|(x, y)| Vertex::sharp(*x, *y))).unwrap())
    }

    fn kit(items: &[Item], rules: &Rules) -> Kit {
        let turns = turns(items, &[], rules);
        Kit::new(items, &turns, &vec![true; items.len()], rules, &[]).unwrap()
    }

    /// A shape with no symmetry, and one that is the same after half a turn.
    fn items() -> [Item; 2] {
        let hook = chain(&[(5.0, 3.0), (65.0, 3.0), (65.0, 20.0), (22.0, 14.0), (9.0, 50.0)]);
        let plate = Region::solid(rectangle(Point::new(-40.0, 9.0), 50.0, 20.0, 4.0).unwrap());
        [Item::new(hook, 1), Item::new(plate, 1)]
    }

    #[test]
    fn what_looks_the_same_is_one_form() {
        let items = items();
        let kit = kit(&items, &Rules::default());
        assert_eq!((kit.forms_of(0).len(), kit.forms_of(1).len()), (4, 2));
    }

    /// Whatever table it comes from: where the depth is nothing, the forms are apart, and
    /// the depth does not depend on which of them is asked.
    #[test]
    fn all_pairs_of_forms_agree_with_their_outlines() {
        let items = items();
        let rules = Rules { gap: 3.0, ..Rules::default() };
        let kit = kit(&items, &rules);
        let mut met = [0, 0];
        for a in 0..kit.forms.len() {
            for b in 0..kit.forms.len() {
                let barred = no_fit(&kit.forms[a].ring, &kit.forms[b].ring);
                let own = Depth::new(&barred);
                for i in -11..11 {
                    for j in -11..11 {
                        let (x, y) = (f64::from(i) * 9_700.0, f64::from(j) * 7_900.0);
                        let found = kit.depth(a, b, x, y);
                        let wanted = own.at(x, y);
                        assert_eq!(found > 0.0, wanted > 0.0, "{a} {b} {x} {y}");
                        assert!((found - wanted).abs() < 0.2 * wanted + 4_000.0);
                        let back = kit.depth(b, a, -x, -y);
                        assert!((found - back).abs() < 4_000.0 && (found > 0.0) == (back > 0.0));
                        met[usize::from(found > 0.0)] += 1;
                    }
                }
            }
        }
        assert!(met[0] > 1000 && met[1] > 1000);
    }

    #[test]
    fn places_are_found_again() {
        let items = items();
        let kit = kit(&items, &Rules::default());
        let corner = Point::new(5.5, 7.25);
        for form in 0..kit.forms.len() {
            let placed = kit.placed(form, 123_456.0, -7_890.0, corner);
            assert_eq!(kit.found(&placed, corner), Some((form, 123_456.0, -7_890.0)));
            let bounds = items[placed.item].region.moved(&placed.place).bounds();
            let grown = (123_456.0 + kit.forms[form].least.0) / GRID + corner.x;
            let reach = bounds.least.x - grown;
            assert!((0.005..0.02).contains(&(reach + 1e-9)), "{reach}");
        }
    }

    /// Where the depth of two that lean is nothing, the true outlines keep their gap; the
    /// places told are those the search means.
    #[test]
    fn what_leans_keeps_its_gap() {
        let rules = Rules { gap: 3.0, ..Rules::default() };
        let free = |i: &Item| Item { turns: Turns::Free, mirror: true, ..i.clone() };
        let items: Vec<Item> = items().iter().map(free).collect();
        let kit = kit(&items, &rules);
        assert!(kit.leans(0) && kit.level_of(0).len() == 8 && kit.forms_of(0).len() > 60);
        let (corner, mut met) = (Point::new(5.5, 7.25), [0, 0]);
        let mut dice = Dice::new(7, 0);
        for _ in 0..3_000 {
            let (a, b) = (dice.below(kit.forms.len()), dice.below(kit.forms.len()));
            let mut at = || dice.between(-75_000.0, 75_000.0).round();
            let (x, y) = (at(), at());
            let placed = [kit.placed(a, 0.0, 0.0, corner), kit.placed(b, x, y, corner)];
            assert_eq!(kit.found(&placed[1], corner), Some((b, x, y)));
            let [first, second] = placed.map(|p| items[p.item].region.moved(&p.place));
            let bounds = second.bounds();
            let low = bounds.least.x - corner.x - (x + kit.forms[b].least.0) / GRID;
            let high = corner.x + (x + kit.forms[b].most.0) / GRID - bounds.most.x;
            if kit.bases[kit.forms[b].base].lean != Angle::ZERO {
                let near = |margin: f64| (1.499_999..1.501_001).contains(&margin);
                assert!(near(low) && near(high), "{low} {high}");
            }
            let deep = kit.depth(a, b, x, y) > 0.0;
            assert_eq!(deep, kit.depth(b, a, -x, -y) > 0.0);
            let apart = outline_distance(first.outer(), second.outer());
            let within = first.outer().contains(second.outer().vertices()[0].at)
                || second.outer().contains(first.outer().vertices()[0].at);
            if deep {
                assert!(within || apart < 3.0 + 1.5, "{a} {b} {x} {y}: {apart}");
            } else {
                assert!(!within && apart >= 3.0, "{a} {b} {x} {y}: {apart}");
            }
            met[usize::from(deep)] += 1;
        }
        assert!(met[0] > 500 && met[1] > 500, "{met:?}");
    }

    #[test]
    fn a_part_fits_a_window_only_where_it_may() {
        let frame = Region::solid(rectangle(Point::ZERO, 200.0, 120.0, 0.0).unwrap());
        let window = rectangle(Point::ZERO, 150.0, 70.0, 0.0).unwrap();
        let mut frame = Item::new(frame.pierced(window).unwrap(), 1);
        let plate = Item::new(Region::solid(rectangle(Point::ZERO, 60.0, 30.0, 0.0).unwrap()), 1);
        let rules = Rules { gap: 3.0, window_gap: 5.0, least_window: 60.0, ..Rules::default() };
        // In the middle of the window, touching its rim less the gap, and too near by 0.1 mm.
        let spots = [(70_000.0, 45_000.0), (30_000.0, 30_000.0), (29_900.0, 30_000.0)];
        let depths = |frame: &Item, rules: &Rules| {
            let kit = kit(&[frame.clone(), plate.clone()], rules);
            let (a, b) = (0, kit.forms_of(1).start);
            spots.map(|(x, y)| (kit.depth(a, b, x, y), kit.depth(b, a, -x, -y)))
        };
        let shut = depths(&frame, &rules);
        assert!(shut.iter().all(|d| d.0 > 0.0 && d.1 > 0.0));
        frame.windows = true;
        assert_eq!(depths(&frame, &rules), [(0.0, 0.0), (0.0, 0.0), (100.0, 100.0)]);
        let small = Rules { least_window: 80.0, ..rules };
        assert_eq!(depths(&frame, &small), shut);
    }
}
