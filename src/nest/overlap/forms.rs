//! The form cache: every form in which a part may be placed, and how deep any two of them penetrate
//! each other.

use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Vec2;
use crate::nest::problem::item::Item;
use crate::nest::problem::layout::Placed;
use crate::nest::problem::progress::Stop;
use crate::nest::problem::rules::Rules;
use crate::nest::shape::grown::grown;
use crate::nest::shape::grown::shrunk;
use crate::nest::shape::nfp::boxed;
use crate::nest::shape::nfp::inner_fit;
use crate::nest::shape::nfp::no_fit;
use crate::nest::shape::nfp::wound;
use crate::nest::shape::orientation::Orientation;
use crate::nest::shape::penetration_depth::PenetrationDepth;
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

/// Forms and penetration depths of a set of items.
#[derive(Debug)]
pub(crate) struct FormCache {
    bases: Vec<Base>,
    pub(crate) forms: Vec<Form>,
    /// By item, its forms.
    of_item: Vec<Range<usize>>,
    /// By item, its forms without skew.
    unskewed: Vec<Vec<usize>>,
    pairs: Vec<Pair>,
    tables: Vec<Table>,
}

/// A shape in one orientation.
#[derive(Clone, Debug)]
pub(crate) struct Form {
    base: usize,
    /// Quarter turns from its base.
    quarters: u8,
    /// Grown by half the gap, in micrometres from its reference point.
    pub(crate) ring: Ring,
    /// Lower left corner of its bounding box. For a skewed form it is the box of the part grown
    /// with round corners: what projects from it needs no clearance.
    pub(crate) min: (f64, f64),
    /// Upper right corner of that box.
    pub(crate) max: (f64, f64),
    /// Its share in the weight of an overlap: a large form is hard to place elsewhere.
    pub(crate) bulk: f64,
}

/// A shape at one skew, before its quarter turns.
#[derive(Debug)]
struct Base {
    item: usize,
    mirrored: bool,
    skew: Angle,
    contour: Ring,
    /// The corners of its bounding box, or a ring with the same box.
    frame: Ring,
    /// Where other parts may be placed within it.
    cut_outs: Vec<Patch>,
    /// Its reference point in the item's coordinates, after mirroring and skew.
    origin: Point,
}

/// Where the penetration depth of two forms is looked up: which table, and the quarter turns of
/// their distance.
#[derive(Clone, Copy, Debug, Default)]
struct Pair {
    table: u32,
    cos: f32,
    sin: f32,
}

/// How deep two bases penetrate each other, the second rotated by quarter turns.
#[derive(Debug)]
struct Table {
    bases: (usize, usize, u8),
    /// Without skew it is computed at once, otherwise on first use: of all pairs of skewed forms a
    /// search meets few.
    depth: OnceLock<PenetrationDepth>,
}

/// Largest coordinate of a form, in micrometres. Our choice: up to here products of two coordinates
/// are nearly exact in `f64`; about a kilometre.
const FARTHEST: i64 = 1 << 30;

/// Rotations nearer to each other than this, in quarter turns, are the same. Our choice: far more
/// than rounding, far less than the distance of two skews.
const SAME_ROTATION: f64 = 1e-9;

impl FormCache {
    /// Builds the forms of the items that are `used`, in each of their `orientations`, and of the
    /// obstacles, in coordinates of the sheets.
    ///
    /// `None` when the coordinates of an item are too large to be safe, or the work must end.
    pub(crate) fn new(
        items: &[Item],
        orientations: &[Vec<Orientation>],
        used: &[bool],
        rules: &Rules,
        in_the_way: &[Ring],
        stop: &Stop,
    ) -> Option<Self> {
        let (mut bases, mut forms, mut of_item) = (Vec::new(), Vec::<Form>::new(), Vec::new());
        for (i, item) in items.iter().enumerate() {
            let first = forms.len();
            if !used[i] {
                of_item.push(first..first);
                continue;
            }
            for mirrored in [false, true].into_iter().take(1 + usize::from(item.mirror)) {
                for of_skew in orientations[i].chunk_by(|a, b| a.skew == b.skew) {
                    if stop.now() {
                        return None;
                    }
                    let seen = |orientation: &Orientation| {
                        if mirrored { orientation.turned_over() } else { *orientation }
                    };
                    let base = Base::new(i, item, mirrored, seen(&of_skew[0]).skew, rules)?;
                    for orientation in of_skew {
                        let form = base.form(bases.len(), orientation.quarters);
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
        let skews = |base: usize| bases[base].skew != Angle::ZERO;
        let table = |of: &(usize, usize, u8)| {
            let table = Table { bases: *of, depth: OnceLock::new() };
            if !skews(of.0) && !skews(of.1) && !stop.now() {
                table.of(&bases);
            }
            table
        };
        let tables = wanted.par_iter().map(table).collect();
        let unskewed = |of: &Range<usize>| of.clone().filter(|f| !skews(forms[*f].base)).collect();
        let unskewed = of_item.iter().map(unskewed).collect();
        Some(Self { bases, forms, of_item, unskewed, pairs, tables })
    }

    /// Whether an item has skewed forms.
    pub(crate) fn is_skewed(&self, item: usize) -> bool {
        self.unskewed[item].len() < self.of_item[item].len()
    }

    /// The forms of an item without skew, at least one.
    pub(crate) fn unskewed_of(&self, item: usize) -> &[usize] {
        &self.unskewed[item]
    }

    /// The forms of an item; obstacles come after the items.
    pub(crate) fn forms_of(&self, item: usize) -> Range<usize> {
        self.of_item[item].clone()
    }

    /// How deep form `b` penetrates form `a`, with its reference point at x, y from that of `a`.
    #[inline]
    pub(crate) fn penetration_depth(&self, a: usize, b: usize, x: f64, y: f64) -> f64 {
        let pair = &self.pairs[a * self.forms.len() + b];
        let (cos, sin) = (f64::from(pair.cos), f64::from(pair.sin));
        let depth = self.tables[pair.table as usize].of(&self.bases);
        depth.at(x * cos - y * sin, x * sin + y * cos)
    }

    /// The part whose reference point is at x, y micrometres from `corner`.
    pub(crate) fn placed(&self, form: usize, x: f64, y: f64, corner: Point) -> Placed {
        let form = &self.forms[form];
        let base = &self.bases[form.base];
        let rotation = Orientation { skew: base.skew, quarters: form.quarters }.angle();
        let shift = corner - base.reference(form.quarters) + Vec2::new(x / GRID, y / GRID);
        Placed { item: base.item, place: Place { mirrored: base.mirrored, rotation, shift } }
    }

    /// The inverse of [`FormCache::placed`]: the form and position nearest to a placed part. An
    /// equal form serves as well.
    pub(crate) fn found(&self, placed: &Placed, corner: Point) -> Option<(usize, f64, f64)> {
        let place = &placed.place;
        let of_item = |b: &&Base| b.item == placed.item && b.mirrored == place.mirrored;
        let rotated = |base: &'_ Base| {
            let quarters = (place.rotation.degrees() - base.skew.degrees()) / 90.0;
            let whole = quarters.round();
            ((quarters - whole).abs() < SAME_ROTATION).then(|| whole.rem_euclid(4.0) as u8)
        };
        let found = self.bases.iter().filter(of_item).find_map(|b| rotated(b).map(|q| (b, q)));
        let (base, quarters) = found?;
        let actual = base.form(0, quarters);
        let form = self.forms_of(placed.item).find(|f| self.forms[*f].looks_like(&actual))?;
        let from = base.reference(quarters);
        let at = (place.shift - corner.to_vec2() + from.to_vec2()) * GRID;
        let min = self.forms[form].min;
        let (x, y) = (at.x + actual.min.0 - min.0, at.y + actual.min.1 - min.1);
        Some((form, x.round(), y.round()))
    }
}

impl Form {
    fn new(base: usize, quarters: u8, contour: &[Spot], frame: &[Spot]) -> Self {
        let ring = rotated(contour, quarters);
        let (min, max) = extent(&rotated(frame, quarters));
        let (width, height) = ((max.x - min.x) as f64, (max.y - min.y) as f64);
        let area = double_area(&ring) as f64 / 2.0;
        Self {
            base,
            quarters,
            ring,
            min: (min.x as f64, min.y as f64),
            max: (max.x as f64, max.y as f64),
            bulk: (0.5 * (area + width * height)).sqrt().sqrt(),
        }
    }

    /// Whether they are equal except for their reference points.
    fn looks_like(&self, other: &Self) -> bool {
        let sorted = |form: &Self| {
            let min = Spot::new(form.min.0 as i64, form.min.1 as i64);
            let mut ring: Ring = form.ring.iter().map(|s| *s - min).collect();
            ring.sort_unstable();
            ring
        };
        let size = |form: &Self| (form.max.0 - form.min.0, form.max.1 - form.min.1);
        let alike = self.ring.len() == other.ring.len() && size(self) == size(other);
        alike && sorted(self) == sorted(other)
    }
}

impl Base {
    fn new(item: usize, of: &Item, mirrored: bool, skew: Angle, rules: &Rules) -> Option<Self> {
        let region = of.region.moved(&Place { mirrored, rotation: skew, ..Place::default() });
        let (origin, reach) = (region.bounds().min, rules.kept_gap() / 2.0);
        let patch = grown(region.outer(), reach, origin)?;
        if patch.contour.iter().any(|s| s.x.abs() > FARTHEST || s.y.abs() > FARTHEST) {
            return None;
        }
        // Areas closed off by the growth are as free as the outside.
        let mut cut_outs: Vec<Patch> =
            patch.holes.into_iter().map(|contour| Patch { contour, holes: Vec::new() }).collect();
        for hole in region.holes().iter().filter(|_| of.cut_outs) {
            let size = hole.bounds();
            if size.width().min(size.height()) >= rules.min_cut_out {
                cut_outs.extend(shrunk(hole, rules.kept_cut_out_gap() - reach, origin));
            }
        }
        let contour = patch.contour;
        let frame = if skew == Angle::ZERO { contour.clone() } else { frame(&region, reach) };
        Some(Self { item, mirrored, skew, contour, frame, cut_outs, origin })
    }

    /// An obstacle, in coordinates of the sheets.
    fn fixed(item: usize, ring: &Ring) -> Self {
        Self {
            item,
            mirrored: false,
            skew: Angle::ZERO,
            contour: ring.clone(),
            frame: ring.clone(),
            cut_outs: Vec::new(),
            origin: Point::ZERO,
        }
    }

    fn form(&self, index: usize, quarters: u8) -> Form {
        Form::new(index, quarters, &self.contour, &self.frame)
    }

    /// The reference point, rotated by quarter turns about the origin of the item.
    fn reference(&self, quarters: u8) -> Point {
        let rotation = Angle::from_degrees(90.0 * f64::from(quarters));
        Place { rotation, ..Place::default() }.apply(self.origin)
    }
}

impl Table {
    #[inline]
    fn of(&self, bases: &[Base]) -> &PenetrationDepth {
        let (a, b, quarters) = self.bases;
        self.depth.get_or_init(|| depths_beside(&bases[a], &bases[b], quarters))
    }
}

/// The bounding box of a region grown by a distance in mm, outward on the grid, from its lower left
/// corner.
fn frame(region: &Region, reach: f64) -> Ring {
    let (bounds, low) = (region.bounds(), (-reach * GRID + ON_GRID).floor() as i64);
    let high = |length: f64| ((length + reach) * GRID - ON_GRID).ceil() as i64;
    boxed(Spot::new(low, low), Spot::new(high(bounds.width()), high(bounds.height())))
}

/// Rotated anticlockwise by quarter turns about the reference point.
fn rotated(ring: &[Spot], quarters: u8) -> Ring {
    let rotate = |s: &Spot| match quarters % 4 {
        0 => *s,
        1 => Spot::new(-s.y, s.x),
        2 => Spot::new(-s.x, -s.y),
        _ => Spot::new(s.y, -s.x),
    };
    ring.iter().map(rotate).collect()
}

/// For each two forms their table; and for each table two bases, the second rotated by a number of
/// quarter turns.
fn pairs(forms: &[Form]) -> (Vec<Pair>, Vec<(usize, usize, u8)>) {
    let mut tables = BTreeMap::new();
    let mut wanted = Vec::new();
    let mut pairs = Vec::with_capacity(forms.len() * forms.len());
    for a in forms {
        for b in forms {
            let q = (b.quarters + 4 - a.quarters) % 4;
            // Seen from b, a is on the opposite side.
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

/// Penetration depths of `b`, rotated by quarter turns, and `a`.
fn depths_beside(a: &Base, b: &Base, quarters: u8) -> PenetrationDepth {
    let ring = rotated(&b.contour, quarters);
    let mut forbidden = no_fit(&a.contour, &ring);
    let within_a =
        a.cut_outs.iter().flat_map(|cut_out| inner_fit(cut_out, &ring)).map(|p| p.contour);
    let within_b = b.cut_outs.iter().flat_map(|cut_out| {
        let holes = cut_out.holes.iter().map(|h| rotated(h, quarters)).collect();
        let cut_out = Patch { contour: rotated(&cut_out.contour, quarters), holes };
        inner_fit(&cut_out, &a.contour).into_iter().map(|p| p.contour.iter().map(|s| -*s).collect())
    });
    let free: Vec<Ring> = within_a.chain(within_b).collect();
    if !free.is_empty() {
        let rings: Vec<Ring> = forbidden.into_iter().flat_map(wound).collect();
        forbidden = without(&rings, &free);
    }
    PenetrationDepth::new(&forbidden)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Outline;
    use crate::geom::Vertex;
    use crate::geom::outline_distance;
    use crate::geom::rectangle;
    use crate::nest::problem::item::Orientations;
    use crate::nest::random::Rng;
    use crate::nest::shape::orientation::orientations;

    fn chain(corners: &[(f64, f64)]) -> Region {
        Region::solid(Outline::new(corners.iter().map(|(x, y)| Vertex::sharp(*x, *y))).unwrap())
    }

    fn cache(items: &[Item], rules: &Rules) -> FormCache {
        let orientations = orientations(items, &[], rules);
        FormCache::new(items, &orientations, &vec![true; items.len()], rules, &[], &Stop::never())
            .unwrap()
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
        let cache = cache(&items, &Rules::default());
        assert_eq!((cache.forms_of(0).len(), cache.forms_of(1).len()), (4, 2));
    }

    /// From whichever table: where the depth is 0 the forms are apart, and the depth is the same
    /// seen from either form.
    #[test]
    fn all_pairs_of_forms_agree_with_their_outlines() {
        let items = items();
        let rules = Rules { gap: 3.0, ..Rules::default() };
        let cache = cache(&items, &rules);
        let mut met = [0, 0];
        for a in 0..cache.forms.len() {
            for b in 0..cache.forms.len() {
                let forbidden = no_fit(&cache.forms[a].ring, &cache.forms[b].ring);
                let own = PenetrationDepth::new(&forbidden);
                for i in -11..11 {
                    for j in -11..11 {
                        let (x, y) = (f64::from(i) * 9_700.0, f64::from(j) * 7_900.0);
                        let found = cache.penetration_depth(a, b, x, y);
                        let wanted = own.at(x, y);
                        assert_eq!(found > 0.0, wanted > 0.0, "{a} {b} {x} {y}");
                        assert!((found - wanted).abs() < 0.2 * wanted + 4_000.0);
                        let back = cache.penetration_depth(b, a, -x, -y);
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
        let cache = cache(&items, &Rules::default());
        let corner = Point::new(5.5, 7.25);
        for form in 0..cache.forms.len() {
            let placed = cache.placed(form, 123_456.0, -7_890.0, corner);
            assert_eq!(cache.found(&placed, corner), Some((form, 123_456.0, -7_890.0)));
            let bounds = items[placed.item].region.moved(&placed.place).bounds();
            let grown = (123_456.0 + cache.forms[form].min.0) / GRID + corner.x;
            let reach = bounds.min.x - grown;
            assert!((0.005..0.02).contains(&(reach + 1e-9)), "{reach}");
        }
    }

    /// If the depth of two skewed forms is 0, the true outlines keep their gap; the placed part is
    /// the one in the search.
    #[test]
    fn skewed_forms_keep_their_gap() {
        let rules = Rules { gap: 3.0, ..Rules::default() };
        let free = |i: &Item| Item { orientations: Orientations::Free, mirror: true, ..i.clone() };
        let items: Vec<Item> = items().iter().map(free).collect();
        let cache = cache(&items, &rules);
        assert!(
            cache.is_skewed(0) && cache.unskewed_of(0).len() == 8 && cache.forms_of(0).len() > 60
        );
        let (corner, mut met) = (Point::new(5.5, 7.25), [0, 0]);
        let mut rng = Rng::new(7, 0);
        for _ in 0..3_000 {
            let (a, b) = (rng.below(cache.forms.len()), rng.below(cache.forms.len()));
            let mut at = || rng.between(-75_000.0, 75_000.0).round();
            let (x, y) = (at(), at());
            let placed = [cache.placed(a, 0.0, 0.0, corner), cache.placed(b, x, y, corner)];
            assert_eq!(cache.found(&placed[1], corner), Some((b, x, y)));
            let [first, second] = placed.map(|p| items[p.item].region.moved(&p.place));
            let bounds = second.bounds();
            let low = bounds.min.x - corner.x - (x + cache.forms[b].min.0) / GRID;
            let high = corner.x + (x + cache.forms[b].max.0) / GRID - bounds.max.x;
            if cache.bases[cache.forms[b].base].skew != Angle::ZERO {
                let near = |margin: f64| (1.499_999..1.501_001).contains(&margin);
                assert!(near(low) && near(high), "{low} {high}");
            }
            let deep = cache.penetration_depth(a, b, x, y) > 0.0;
            assert_eq!(deep, cache.penetration_depth(b, a, -x, -y) > 0.0);
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
    fn a_part_fits_a_cut_out_only_where_it_may() {
        let frame = Region::solid(rectangle(Point::ZERO, 200.0, 120.0, 0.0).unwrap());
        let cut_out = rectangle(Point::ZERO, 150.0, 70.0, 0.0).unwrap();
        let mut frame = Item::new(frame.pierced(cut_out).unwrap(), 1);
        let plate = Item::new(Region::solid(rectangle(Point::ZERO, 60.0, 30.0, 0.0).unwrap()), 1);
        let rules = Rules { gap: 3.0, cut_out_gap: 5.0, min_cut_out: 60.0, ..Rules::default() };
        // In the centre of the cut-out, touching its edge less the gap, and 0.1 mm too near.
        let spots = [(70_000.0, 45_000.0), (30_000.0, 30_000.0), (29_900.0, 30_000.0)];
        let depths = |frame: &Item, rules: &Rules| {
            let cache = cache(&[frame.clone(), plate.clone()], rules);
            let (a, b) = (0, cache.forms_of(1).start);
            spots.map(|(x, y)| {
                (cache.penetration_depth(a, b, x, y), cache.penetration_depth(b, a, -x, -y))
            })
        };
        let shut = depths(&frame, &rules);
        assert!(shut.iter().all(|d| d.0 > 0.0 && d.1 > 0.0));
        frame.cut_outs = true;
        assert_eq!(depths(&frame, &rules), [(0.0, 0.0), (0.0, 0.0), (100.0, 100.0)]);
        let small = Rules { min_cut_out: 80.0, ..rules };
        assert_eq!(depths(&frame, &small), shut);
    }
}
