//! The audit: whether a layout keeps the rules, measured from nothing but the layout itself.
//!
//! It uses true arcs and no cells. Each part is moved to its place and measured there.

use crate::geom::Bounds;
use crate::geom::NEAR;
use crate::geom::Outline;
use crate::geom::Region;
use crate::geom::outline_distance;
use crate::nest::problem::item::Item;
use crate::nest::problem::layout::Layout;
use crate::nest::problem::layout::Placed;
use crate::nest::problem::rules::Rules;
use crate::nest::problem::stock::Sides;
use crate::nest::problem::stock::Stock;
use thiserror::Error;

/// What is wrong on one sheet. Parts are counted in the order of their placement, from 0.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum Flaw {
    /// There is no such item.
    #[error("part {part} is of no item of the job")]
    NoSuchItem {
        /// Which part.
        part: usize,
    },
    /// It is flipped over, its orientation is not allowed, or its position is not finite.
    #[error("part {part} is in an orientation its item may not have")]
    Orientation {
        /// Which part.
        part: usize,
    },
    /// It reaches into the margin or over the sheet edge.
    #[error("part {part} is {is:.6} mm from the sheet edge")]
    Margin {
        /// Which part.
        part: usize,
        /// Distance in mm; negative beyond the sheet edge.
        is: f64,
    },
    /// It reaches over a keep-out of the sheet, or nearer to it than the gap.
    #[error("part {part} is {is:.6} mm from a keep-out of the sheet")]
    KeepOut {
        /// Which part.
        part: usize,
        /// Distance in mm; 0 when they overlap.
        is: f64,
    },
    /// It reaches into a strip under clamps.
    #[error("part {part} reaches into a strip held by clamps")]
    Clamp {
        /// Which part.
        part: usize,
    },
    /// It is in a cut-out that must stay empty, or too near the edge of it.
    #[error("part {inner} is in a cut-out of part {outer} in which it may not be")]
    CutOut {
        /// The part with the cut-out.
        outer: usize,
        /// The part within.
        inner: usize,
    },
    /// Two parts are too near each other.
    #[error("parts {first} and {second} are {is:.6} mm apart")]
    Near {
        /// The one placed earlier.
        first: usize,
        /// The one placed later.
        second: usize,
        /// Distance in mm; 0 when they overlap.
        is: f64,
    },
}

/// What is wrong with a layout.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum Fault {
    /// On one sheet.
    #[error("sheet {sheet}: {flaw}")]
    Sheet {
        /// Which sheet, from 0.
        sheet: usize,
        /// What is wrong there.
        flaw: Flaw,
    },
    /// A sheet is of no stock.
    #[error("sheet {sheet} is of no stock of the job")]
    NoSuchStock {
        /// Which sheet, from 0.
        sheet: usize,
    },
    /// The distances stated for a sheet are not those measured.
    #[error("sheet {sheet} gives distances that are wrong")]
    Claim {
        /// Which sheet, from 0.
        sheet: usize,
    },
    /// More sheets are used than there are.
    #[error("{used} sheets of stock {stock} are used, there are {count}")]
    TooManySheets {
        /// Which stock.
        stock: usize,
        /// How many sheets are used.
        used: u64,
        /// How many there are.
        count: u32,
    },
    /// Parts are lost or added: those placed and left over are not those asked for and fillings.
    #[error("{counted} of item {item} are placed or left over, {asked} are needed")]
    Quantity {
        /// Which item.
        item: usize,
        /// How many are placed or left over.
        counted: u64,
        /// The required quantity.
        asked: u32,
    },
    /// Something left over is of no item.
    #[error("something left over is of no item of the job")]
    NoSuchItem,
}

impl Flaw {
    /// The part at fault; of two, the one placed later.
    pub fn part(&self) -> usize {
        match self {
            Self::NoSuchItem { part }
            | Self::Orientation { part }
            | Self::Margin { part, .. }
            | Self::KeepOut { part, .. }
            | Self::Clamp { part } => *part,
            Self::CutOut { inner, .. } => *inner,
            Self::Near { second, .. } => *second,
        }
    }
}

/// What was measured on a sheet that keeps the rules.
pub(crate) struct Survey {
    pub(crate) min_gap: Option<f64>,
    pub(crate) min_margin: f64,
}

/// Checks that every orientation is allowed, that every part is far enough from the sheet edge and
/// from the others, and that the counts agree. Distances may fall short by [`NEAR`].
///
/// A part in a hole of another is apart from it; one in its metal is not.
///
/// # Errors
/// The first fault found.
pub fn audit(items: &[Item], stock: &[Stock], rules: Rules, layout: &Layout) -> Result<(), Fault> {
    let mut used = vec![0u64; stock.len()];
    let mut counted = vec![0u64; items.len()];
    for (i, sheet) in layout.sheets.iter().enumerate() {
        let size = stock.get(sheet.stock).ok_or(Fault::NoSuchStock { sheet: i })?;
        used[sheet.stock] += 1;
        let survey = survey(items, size, &rules, &sheet.placed)
            .map_err(|flaw| Fault::Sheet { sheet: i, flaw })?;
        let as_said = match (sheet.min_gap, survey.min_gap) {
            (Some(said), Some(is)) => (said - is).abs() <= NEAR,
            (said, is) => said == is,
        };
        let as_said = as_said && (sheet.min_margin - survey.min_margin).abs() <= NEAR;
        if !as_said {
            return Err(Fault::Claim { sheet: i });
        }
        for placed in &sheet.placed {
            counted[placed.item] += 1;
        }
    }
    let mut filled: Vec<bool> = vec![true; items.len()];
    for unplaced in &layout.unplaced {
        *counted.get_mut(unplaced.item).ok_or(Fault::NoSuchItem)? += u64::from(unplaced.quantity);
        filled[unplaced.item] = false;
    }
    for (i, (size, used)) in stock.iter().zip(used).enumerate() {
        if let Some(count) = size.count
            && used > u64::from(count)
        {
            return Err(Fault::TooManySheets { stock: i, used, count });
        }
    }
    for (i, (item, counted)) in items.iter().zip(counted).enumerate() {
        // Where parts are left over, they are of those asked for: there is no filling then.
        let max = u64::from(item.quantity) + if filled[i] { u64::from(item.fill) } else { 0 };
        if !(u64::from(item.quantity)..=max).contains(&counted) {
            return Err(Fault::Quantity { item: i, counted, asked: item.quantity });
        }
    }
    Ok(())
}

/// Measures one sheet, to the end.
pub(crate) fn survey(
    items: &[Item],
    stock: &Stock,
    rules: &Rules,
    placed: &[Placed],
) -> Result<Survey, Flaw> {
    survey_until(items, stock, rules, placed, &|| false)
}

/// Measures one sheet. Where the work must end before, the part it is at counts as at fault.
pub(crate) fn survey_until(
    items: &[Item],
    stock: &Stock,
    rules: &Rules,
    placed: &[Placed],
    must_end: &dyn Fn() -> bool,
) -> Result<Survey, Flaw> {
    let room = stock.room(rules.kept_margin());
    let mut parts = Vec::with_capacity(placed.len());
    let mut min_margin = f64::INFINITY;
    for (part, placed) in placed.iter().enumerate() {
        let item = items.get(placed.item).ok_or(Flaw::NoSuchItem { part })?;
        if must_end() {
            return Err(Flaw::Margin { part, is: f64::NAN });
        }
        let place = &placed.place;
        let allowed = (!place.mirrored || item.mirror) && item.orientations.allows(place.rotation);
        if !(allowed && place.shift.is_finite()) {
            return Err(Flaw::Orientation { part });
        }
        let region = item.region.moved(place);
        let bounds = region.bounds();
        let is = if room.is_some() { from_sheet_edge(&region, &bounds, stock) } else { f64::NAN };
        if !enough(is, rules.kept_margin()) {
            return Err(Flaw::Margin { part, is });
        }
        min_margin = min_margin.min(is);
        if !clear_of_clamps(&bounds, stock) {
            return Err(Flaw::Clamp { part });
        }
        for keep_out in &stock.keep_outs {
            let is = clearance(&region, &Region::solid(keep_out.clone())).metal;
            if !enough(is, rules.kept_gap()) {
                return Err(Flaw::KeepOut { part, is });
            }
        }
        parts.push(PlacedPart { part, cut_outs: item.cut_outs, region, bounds });
    }
    let min_gap = min_gap(parts, rules, must_end)?;
    Ok(Survey { min_gap, min_margin })
}

/// A part at its place.
struct PlacedPart {
    part: usize,
    cut_outs: bool,
    region: Region,
    bounds: Bounds,
}

/// False as well when either is NaN.
fn enough(is: f64, wanted: f64) -> bool {
    is >= wanted - NEAR
}

/// Distance from the edge and the holes of the sheet in mm, 0 or less beyond them.
fn from_sheet_edge(region: &Region, bounds: &Bounds, stock: &Stock) -> f64 {
    let sheet = stock.region.bounds();
    let from_sides = from_sides(bounds, &sheet).into_iter().fold(f64::INFINITY, f64::min);
    if from_sides < 0.0 || stock.is_plain() {
        return from_sides;
    }
    let sheet_edge = stock.region.outer();
    if !sheet_edge.contains(region.outer().vertices()[0].at) {
        return 0.0;
    }
    let from_hole = |hole: &Outline| clearance(region, &Region::solid(hole.clone())).metal;
    let from_sheet_edge = outline_distance(sheet_edge, region.outer());
    stock.region.holes().iter().map(from_hole).fold(from_sheet_edge, f64::min)
}

/// From the left, right, lower and upper side of the rectangle round the sheet, mm.
fn from_sides(part: &Bounds, sheet: &Bounds) -> [f64; 4] {
    [
        part.min.x - sheet.min.x,
        sheet.max.x - part.max.x,
        part.min.y - sheet.min.y,
        sheet.max.y - part.max.y,
    ]
}

fn clear_of_clamps(bounds: &Bounds, stock: &Stock) -> bool {
    let Sides { left, right, bottom, top } = stock.clamps;
    let from = from_sides(bounds, &stock.region.bounds());
    // A clamp strip of no width excludes nothing, not even metal that the margin lets over the
    // sheet edge.
    from.iter()
        .zip([left, right, bottom, top])
        .all(|(is, strip)| strip <= 0.0 || enough(*is, strip))
}

/// The smallest distance of all pairs. From left to right, pairs further apart than the nearest so
/// far are skipped.
fn min_gap(
    mut parts: Vec<PlacedPart>,
    rules: &Rules,
    must_end: &dyn Fn() -> bool,
) -> Result<Option<f64>, Flaw> {
    parts.sort_by(|a, b| a.bounds.min.x.total_cmp(&b.bounds.min.x));
    let mut min = f64::INFINITY;
    for (i, a) in parts.iter().enumerate() {
        for b in &parts[i + 1..] {
            if b.bounds.min.x - a.bounds.max.x >= min {
                break;
            }
            if a.bounds.distance(&b.bounds) >= min {
                continue;
            }
            let (first, second) = (a.part.min(b.part), a.part.max(b.part));
            if must_end() {
                return Err(Flaw::Near { first, second, is: f64::NAN });
            }
            let apart = clearance(&a.region, &b.region);
            let is = apart.metal;
            if !enough(is, rules.kept_gap()) {
                return Err(Flaw::Near { first, second, is });
            }
            if let Some(cut_out) = &apart.cut_out {
                let (outer, inner) = if cut_out.of_first { (a, b) } else { (b, a) };
                let size = outer.region.holes()[cut_out.hole].bounds();
                let wide = enough(size.width().min(size.height()), rules.min_cut_out);
                if !(outer.cut_outs && wide && enough(is, rules.kept_cut_out_gap())) {
                    return Err(Flaw::CutOut { outer: outer.part, inner: inner.part });
                }
            }
            min = min.min(is);
        }
    }
    Ok((parts.len() > 1).then_some(min))
}

/// How two plates are placed relative to each other.
struct Apart {
    /// From metal to metal in mm; 0 when they overlap.
    metal: f64,
    /// Where one is in a cut-out of the other.
    cut_out: Option<CutOut>,
}

struct CutOut {
    /// Whether the cut-out is one of the first plate.
    of_first: bool,
    /// Which of its holes.
    hole: usize,
}

fn clearance(a: &Region, b: &Region) -> Apart {
    let outlines = outline_distance(a.outer(), b.outer());
    let corner = |r: &Region| r.outer().vertices()[0].at;
    let of_first = a.outer().contains(corner(b));
    let (big, small) = match (of_first, b.outer().contains(corner(a))) {
        (true, _) => (a, b),
        (false, true) => (b, a),
        (false, false) => return Apart { metal: outlines, cut_out: None },
    };
    // One is within the outline of the other, or across it; then the outlines meet.
    let at = corner(small);
    let Some(hole) = big.holes().iter().position(|hole| hole.contains(at)) else {
        return Apart { metal: 0.0, cut_out: None };
    };
    let to_hole = |hole: &Outline| outline_distance(hole, small.outer());
    let metal = big.holes().iter().map(to_hole).fold(outlines, f64::min);
    Apart { metal, cut_out: Some(CutOut { of_first, hole }) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Place;
    use crate::geom::Point;
    use crate::geom::Vec2;
    use crate::geom::disc;
    use crate::geom::rectangle;
    use crate::nest::problem::item::Orientations;
    use crate::nest::problem::layout::Sheet;
    use crate::nest::problem::layout::Unplaced;
    use crate::nest::problem::layout::Why;
    use crate::num::Angle;

    const RULES: Rules = Rules {
        gap: 3.0,
        margin: 5.0,
        min_cut_out: 40.0,
        cut_out_gap: 4.0,
        min_remnant: 100.0,
        units: 0,
        stop_at: None,
        extra_metal: None,
        seed: 0,
    };

    fn stock() -> [Stock; 1] {
        [Stock { count: Some(1), ..Stock::whole(300.0, 200.0).unwrap() }]
    }

    /// A plate with a cut-out, discs that fit it, and a bar whose grain is along the sheet.
    fn items() -> Vec<Item> {
        let centre = Point::ZERO;
        let cut_out = rectangle(centre, 60.0, 40.0, 4.0).unwrap();
        let frame = Region::solid(rectangle(centre, 100.0, 80.0, 5.0).unwrap());
        let item =
            |region, quantity, orientations| Item { orientations, ..Item::new(region, quantity) };
        let holder = item(frame.pierced(cut_out).unwrap(), 1, Orientations::Quarters);
        vec![
            Item { cut_outs: true, ..holder },
            item(Region::solid(disc(centre, 15.0).unwrap()), 3, Orientations::Fixed),
            item(Region::solid(rectangle(centre, 50.0, 20.0, 0.0).unwrap()), 1, Orientations::Half),
        ]
    }

    fn at(item: usize, x: f64, y: f64) -> Placed {
        Placed { item, place: Place::at(Point::new(x, y)) }
    }

    /// One disc within the cut-out, one beside, one left over.
    fn sound() -> Layout {
        let placed =
            vec![at(0, 60.0, 60.0), at(1, 60.0, 60.0), at(1, 128.0, 60.0), at(2, 200.0, 150.0)];
        let unplaced = vec![Unplaced { item: 1, quantity: 1, why: Why::NoSheetLeft }];
        // Disc to cut-out 20 − 15, disc to frame 128 − 15 − 110; frame to sheet edge 60 − 50.
        let sheet = Sheet { stock: 0, placed, min_gap: Some(3.0), min_margin: 10.0 };
        Layout { sheets: vec![sheet], unplaced, units: 0, stages: 0 }
    }

    /// The audit after one change.
    fn after(change: impl Fn(&mut Layout)) -> Result<(), Fault> {
        let mut layout = sound();
        change(&mut layout);
        audit(&items(), &stock(), RULES, &layout)
    }

    fn near(first: usize, second: usize, layout: Result<(), Fault>) -> Option<f64> {
        match layout {
            Err(Fault::Sheet { sheet: 0, flaw: Flaw::Near { first: f, second: s, is } }) => {
                ((f, s) == (first, second)).then_some(is)
            }
            _ => None,
        }
    }

    fn shift(x: f64, y: f64, part: usize) -> impl Fn(&mut Layout) {
        move |l| l.sheets[0].placed[part].place.shift += Vec2::new(x, y)
    }

    #[test]
    fn a_sound_layout_passes_even_with_a_part_in_a_cut_out() {
        assert_eq!(after(|_| ()), Ok(()));
    }

    #[test]
    fn parts_too_near_or_overlapping_are_found() {
        assert!((near(0, 2, after(shift(-0.001, 0.0, 2))).unwrap() - 2.999).abs() < 1e-9);
        // Across the outline, wholly in the metal, and across the edge of the cut-out.
        assert_eq!(near(0, 2, after(shift(-10.0, 0.0, 2))), Some(0.0));
        assert_eq!(near(0, 3, after(shift(-195.0, -150.0 + 60.0, 3))), None);
        assert_eq!(near(0, 1, after(shift(20.0, 0.0, 1))), Some(0.0));
        // Too near the edge of the cut-out from within: 20 − 15 − 2.5.
        assert!((near(0, 1, after(shift(0.0, 2.5, 1))).unwrap() - 2.5).abs() < 1e-9);
        // Two in one place.
        let twice = after(|l| l.sheets[0].placed[2] = at(1, 60.0, 60.0));
        assert_eq!(near(1, 2, twice), Some(0.0));
    }

    #[test]
    fn a_part_wholly_in_the_metal_of_another_is_found() {
        let mut items = items();
        items[1].region = Region::solid(disc(Point::ZERO, 5.0).unwrap());
        let mut layout = sound();
        layout.sheets[0].placed[1] = at(1, 20.0, 60.0);
        let found = audit(&items, &stock(), RULES, &layout);
        assert_eq!(near(0, 1, found), Some(0.0));
        // In reverse: the large one placed later.
        layout.sheets[0].placed.swap(0, 1);
        assert_eq!(near(0, 1, audit(&items, &stock(), RULES, &layout)), Some(0.0));
    }

    #[test]
    fn parts_over_the_margin_are_found() {
        let found = after(shift(0.0, 35.5, 3));
        let Err(Fault::Sheet { flaw: Flaw::Margin { part: 3, is }, .. }) = found else {
            panic!("{found:?}")
        };
        assert!((is - 4.5).abs() < 1e-9);
        for (x, y) in [(-172.0, 0.0), (72.0, 0.0), (0.0, -138.0), (500.0, 0.0)] {
            let found = after(shift(x, y, 3));
            let margin =
                matches!(found, Err(Fault::Sheet { sheet: 0, flaw: Flaw::Margin { part: 3, .. } }));
            assert!(margin, "{x} {y}: {found:?}");
        }
    }

    #[test]
    fn wrong_orientations_are_found() {
        let wrong = |part| Err(Fault::Sheet { sheet: 0, flaw: Flaw::Orientation { part } });
        let rotation = |part: usize, degrees: f64| {
            after(move |l| l.sheets[0].placed[part].place.rotation = Angle::from_degrees(degrees))
        };
        assert_eq!(rotation(3, 180.0), Ok(()));
        assert_eq!(rotation(3, 90.0), wrong(3));
        assert_eq!(rotation(1, 180.0), wrong(1));
        assert_eq!(rotation(0, 45.0), wrong(0));
        assert_eq!(after(|l| l.sheets[0].placed[0].place.mirrored = true), wrong(0));
        assert_eq!(after(shift(f64::NAN, 0.0, 2)), wrong(2));
    }

    #[test]
    fn cut_outs_take_only_what_the_rules_allow() {
        let within = |rules: Rules, cut_outs: bool| {
            let mut items = items();
            items[0].cut_outs = cut_outs;
            audit(&items, &stock(), rules, &sound())
        };
        let flaw = Flaw::CutOut { outer: 0, inner: 1 };
        let refused = Err(Fault::Sheet { sheet: 0, flaw });
        assert_eq!(within(RULES, true), Ok(()));
        assert_eq!(within(RULES, false), refused);
        assert_eq!(within(Rules { min_cut_out: 41.0, ..RULES }, true), refused);
        assert_eq!(within(Rules { cut_out_gap: 5.1, ..RULES }, true), refused);
    }

    #[test]
    fn holes_keep_outs_and_clamps_of_the_sheet_are_kept() {
        let on = |stock: Stock| audit(&items(), &[stock], RULES, &sound());
        let plain = || stock().into_iter().next().unwrap();
        let flaw = |flaw| Err(Fault::Sheet { sheet: 0, flaw });
        // The bar is from 175 to 225 and from 140 to 160.
        let marred =
            |y| Stock { keep_outs: vec![disc(Point::new(200.0, y), 10.0).unwrap()], ..plain() };
        assert_eq!(on(marred(127.0)), Ok(()));
        assert_eq!(on(marred(127.5)), flaw(Flaw::KeepOut { part: 3, is: 2.5 }));
        assert_eq!(on(marred(150.0)), flaw(Flaw::KeepOut { part: 3, is: 0.0 }));
        let gone = |y| {
            let hole = disc(Point::new(200.0, y), 10.0).unwrap();
            Stock { region: plain().region.pierced(hole).unwrap(), ..plain() }
        };
        assert_eq!(on(gone(125.0)), Err(Fault::Claim { sheet: 0 }));
        assert_eq!(on(gone(126.0)), flaw(Flaw::Margin { part: 3, is: 4.0 }));
        assert_eq!(on(gone(150.0)), flaw(Flaw::Margin { part: 3, is: 0.0 }));
        let clamped = |top| Stock { clamps: Sides { top, ..Sides::default() }, ..plain() };
        assert_eq!(on(clamped(40.0)), Ok(()));
        assert_eq!(on(clamped(40.1)), flaw(Flaw::Clamp { part: 3 }));
    }

    #[test]
    fn a_filling_may_be_added_once_all_asked_for_are_placed() {
        let filled = |fill, change: fn(&mut Layout)| {
            let mut items = items();
            items[2].fill = fill;
            let mut layout = sound();
            layout.sheets[0].placed.push(at(2, 200.0, 100.0));
            change(&mut layout);
            audit(&items, &stock(), RULES, &layout)
        };
        let quantity = |counted| Err(Fault::Quantity { item: 2, counted, asked: 1 });
        assert_eq!(filled(1, |_| ()), Ok(()));
        assert_eq!(filled(0, |_| ()), quantity(2));
        let left = |l: &mut Layout| {
            l.unplaced.push(Unplaced { item: 2, quantity: 1, why: Why::NoSheetLeft });
        };
        assert_eq!(filled(9, left), quantity(3));
    }

    #[test]
    fn lost_and_added_parts_are_found() {
        let quantity = |item, counted, asked| Err(Fault::Quantity { item, counted, asked });
        assert_eq!(after(|l| l.unplaced.clear()), quantity(1, 2, 3));
        assert_eq!(after(|l| l.unplaced[0].quantity = 2), quantity(1, 4, 3));
        let lost = after(|l| {
            l.sheets[0].placed.pop();
        });
        assert_eq!(lost, quantity(2, 0, 1));
        let added = after(|l| l.sheets[0].placed.push(at(2, 200.0, 100.0)));
        assert_eq!(added, quantity(2, 2, 1));
        assert_eq!(after(|l| l.unplaced[0].item = 3), Err(Fault::NoSuchItem));
        let flaw = Flaw::NoSuchItem { part: 3 };
        assert_eq!(after(|l| l.sheets[0].placed[3].item = 7), Err(Fault::Sheet { sheet: 0, flaw }));
    }

    #[test]
    fn wrong_sheets_and_claims_are_found() {
        let twice = after(|l| {
            l.sheets.push(Sheet { placed: vec![at(1, 90.0, 90.0)], ..l.sheets[0].clone() })
        });
        assert_eq!(twice, Err(Fault::Claim { sheet: 1 }));
        let twice = after(|l| {
            let placed = l.sheets[0].placed.split_off(3);
            l.sheets.push(Sheet { stock: 0, placed, min_gap: None, min_margin: 40.0 });
        });
        assert_eq!(twice, Err(Fault::TooManySheets { stock: 0, used: 2, count: 1 }));
        assert_eq!(after(|l| l.sheets[0].stock = 1), Err(Fault::NoSuchStock { sheet: 0 }));
        assert_eq!(after(|l| l.sheets[0].min_gap = Some(3.1)), Err(Fault::Claim { sheet: 0 }));
        assert_eq!(after(|l| l.sheets[0].min_gap = None), Err(Fault::Claim { sheet: 0 }));
        assert_eq!(after(|l| l.sheets[0].min_margin = 11.0), Err(Fault::Claim { sheet: 0 }));
    }
}
