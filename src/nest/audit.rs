//! Whether a layout keeps the rules, measured from nothing but the layout itself.
//!
//! True arcs, no cells. What is laid is moved to its place and measured there.

use crate::geom::Bounds;
use crate::geom::NEAR;
use crate::geom::Outline;
use crate::geom::Region;
use crate::geom::outline_distance;
use crate::nest::Item;
use crate::nest::Layout;
use crate::nest::Placed;
use crate::nest::Rules;
use crate::nest::Stock;
use thiserror::Error;

/// What is wrong on one sheet. Parts are counted as they are laid, from 0.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum Flaw {
    /// There is no such item.
    #[error("part {part} is of no item of the job")]
    NoSuchItem {
        /// Which part.
        part: usize,
    },
    /// It is turned over, turned as its item may not be, or lies nowhere.
    #[error("part {part} lies in a way its item may not")]
    Turn {
        /// Which part.
        part: usize,
    },
    /// It reaches into the margin or over the rim.
    #[error("part {part} is {is:.6} mm from the rim of the sheet")]
    Margin {
        /// Which part.
        part: usize,
        /// Distance in mm; negative over the rim.
        is: f64,
    },
    /// Two parts are too near each other.
    #[error("parts {first} and {second} are {is:.6} mm apart")]
    Near {
        /// The one laid first.
        first: usize,
        /// The one laid later.
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
    /// The distances a sheet claims are not those measured.
    #[error("sheet {sheet} claims distances that are not so")]
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
    /// Parts are lost or added: those laid and those left over are not those asked for.
    #[error("{told} of item {item} are laid or left over, {asked} are asked for")]
    Quantity {
        /// Which item.
        item: usize,
        /// How many are laid or left over.
        told: u64,
        /// How many are asked for.
        asked: u32,
    },
    /// Something left over is of no item.
    #[error("something left over is of no item of the job")]
    NoSuchItem,
}

impl Flaw {
    /// The part at fault; of two, the one laid later.
    pub fn part(&self) -> usize {
        match self {
            Self::NoSuchItem { part } | Self::Turn { part } | Self::Margin { part, .. } => *part,
            Self::Near { second, .. } => *second,
        }
    }
}

/// What was measured on a sheet that keeps the rules.
pub(super) struct Survey {
    pub(super) least_gap: Option<f64>,
    pub(super) least_margin: f64,
}

/// Checks that every part lies as it may, far enough from the rim and from the others,
/// and that the counts agree. Distances may fall short by [`NEAR`].
///
/// A part in a hole of another is apart from it; one in its metal is not.
///
/// # Errors
/// The first fault found.
pub fn audit(items: &[Item], stock: &[Stock], rules: Rules, layout: &Layout) -> Result<(), Fault> {
    let mut used = vec![0u64; stock.len()];
    let mut told = vec![0u64; items.len()];
    for (i, sheet) in layout.sheets.iter().enumerate() {
        let size = stock.get(sheet.stock).ok_or(Fault::NoSuchStock { sheet: i })?;
        used[sheet.stock] += 1;
        let survey = survey(items, size, rules, &sheet.placed)
            .map_err(|flaw| Fault::Sheet { sheet: i, flaw })?;
        let as_said = match (sheet.least_gap, survey.least_gap) {
            (Some(said), Some(is)) => (said - is).abs() <= NEAR,
            (said, is) => said == is,
        };
        let as_said = as_said && (sheet.least_margin - survey.least_margin).abs() <= NEAR;
        if !as_said {
            return Err(Fault::Claim { sheet: i });
        }
        for placed in &sheet.placed {
            told[placed.item] += 1;
        }
    }
    for unplaced in &layout.unplaced {
        *told.get_mut(unplaced.item).ok_or(Fault::NoSuchItem)? += u64::from(unplaced.quantity);
    }
    for (i, (size, used)) in stock.iter().zip(used).enumerate() {
        if let Some(count) = size.count
            && used > u64::from(count)
        {
            return Err(Fault::TooManySheets { stock: i, used, count });
        }
    }
    for (i, (item, told)) in items.iter().zip(told).enumerate() {
        if told != u64::from(item.quantity) {
            return Err(Fault::Quantity { item: i, told, asked: item.quantity });
        }
    }
    Ok(())
}

/// Measures one sheet.
pub(super) fn survey(
    items: &[Item],
    size: &Stock,
    rules: Rules,
    placed: &[Placed],
) -> Result<Survey, Flaw> {
    let mut laid = Vec::with_capacity(placed.len());
    let mut least_margin = f64::INFINITY;
    for (part, placed) in placed.iter().enumerate() {
        let item = items.get(placed.item).ok_or(Flaw::NoSuchItem { part })?;
        let place = &placed.place;
        let allowed = !place.mirrored && item.turns.angles().contains(&place.turn);
        if !(allowed && place.shift.is_finite()) {
            return Err(Flaw::Turn { part });
        }
        let region = item.region.moved(place);
        let bounds = region.bounds();
        let is = from_rim(&bounds, size);
        if !enough(is, rules.kept_margin()) {
            return Err(Flaw::Margin { part, is });
        }
        least_margin = least_margin.min(is);
        laid.push(Laid { part, region, bounds });
    }
    let least_gap = least_gap(laid, rules.kept_gap())?;
    Ok(Survey { least_gap, least_margin })
}

/// A part where it lies.
struct Laid {
    part: usize,
    region: Region,
    bounds: Bounds,
}

/// False as well when either is no number.
fn enough(is: f64, wanted: f64) -> bool {
    is >= wanted - NEAR
}

/// Distance from the rim in mm, negative beyond it; no number on a sheet that has none.
fn from_rim(b: &Bounds, size: &Stock) -> f64 {
    let (right, top) = (size.width - b.most.x, size.height - b.most.y);
    if right.is_nan() || top.is_nan() {
        return f64::NAN;
    }
    b.least.x.min(b.least.y).min(right).min(top)
}

/// The least distance of all pairs. Going from left to right, no pair further apart
/// than the nearest so far is looked at.
fn least_gap(mut laid: Vec<Laid>, wanted: f64) -> Result<Option<f64>, Flaw> {
    laid.sort_by(|a, b| a.bounds.least.x.total_cmp(&b.bounds.least.x));
    let mut least = f64::INFINITY;
    for (i, a) in laid.iter().enumerate() {
        for b in &laid[i + 1..] {
            if b.bounds.least.x - a.bounds.most.x >= least {
                break;
            }
            if a.bounds.distance(&b.bounds) >= least {
                continue;
            }
            let is = distance(&a.region, &b.region);
            if !enough(is, wanted) {
                let (first, second) = (a.part.min(b.part), a.part.max(b.part));
                return Err(Flaw::Near { first, second, is });
            }
            least = least.min(is);
        }
    }
    Ok((laid.len() > 1).then_some(least))
}

/// Distance from metal to metal in mm; 0 when they overlap.
fn distance(a: &Region, b: &Region) -> f64 {
    let rims = outline_distance(a.outer(), b.outer());
    let corner = |r: &Region| r.outer().vertices()[0].at;
    let (big, small) = if a.outer().contains(corner(b)) {
        (a, b)
    } else if b.outer().contains(corner(a)) {
        (b, a)
    } else {
        return rims;
    };
    // One lies within the rim of the other, or across it; then the rims meet.
    if big.contains(corner(small)) {
        return 0.0;
    }
    let to_hole = |hole: &Outline| outline_distance(hole, small.outer());
    big.holes().iter().map(to_hole).fold(rims, f64::min)
}
