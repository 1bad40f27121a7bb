//! The positions of the panels of a drawing: orientation of the sheet, the flat, the panels beside
//! or below it, the notes.

use crate::geom::Bounds;
use crate::geom::Point;
use crate::paper::Format;
use crate::paper::Item;
use crate::paper::Pen;
use crate::paper::Plan;

/// Width of the column at the right, mm: that of the text of a bend step.
pub(super) const SIDE: f64 = 107.0;
/// The same where the flat leaves more, mm: fewer lines for each step.
pub(super) const WIDE: f64 = 124.0;
/// Height of the heading of a panel, mm.
pub(super) const HEADING: f64 = 9.0;
/// In a flat narrower than this the legend of bends is below the heading, and needs this much more
/// height, mm.
pub(super) const NARROW: f64 = 110.0;
pub(super) const LEGEND: f64 = 5.0;
/// Share of the height that a flat takes above other panels.
const ABOVE: f64 = 0.52;
/// Beside a flat on an upright sheet, for its dimensions and callouts, mm; minimum and maximum width of
/// the column that takes what this leaves. Our choice.
const CALLOUTS: f64 = 70.0;
const SLIM: [f64; 2] = [62.0, 88.0];
/// Above and below a flat that takes no more height than it needs, mm: its dimensions on either side and
/// its callouts. Our choice.
const OVER_AND_UNDER: f64 = 46.0;
/// A less usual layout is chosen only if the flat becomes larger by this factor. Our choice.
const GAIN: f64 = 1.45;
/// The same for an upright sheet: more than from one scale of the standard to the next except for one.
const UPRIGHT: f64 = 2.2;

/// A flat at this scale is large enough on any sheet. Our choice.
const ENOUGH: f64 = 2.0;

/// A flat with this ratio of height to width gets an upright sheet. Our choice.
const TALL: f64 = 1.35;

/// Beside a flat that leaves room in its panel for the formed part: minimum margins, larger than
/// usual, where there is room; and the minimum width of that part, mm. Our choice.
const AROUND: [f64; 2] = [48.0, 58.0];
const FORMED: f64 = 50.0;

/// The panels of a sheet.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Layout {
    /// Width and height of the sheet, mm.
    pub(super) size: [f64; 2],
    /// Of the flat, with its heading.
    pub(super) flat: Bounds,
    /// For the formed part and the bends, in this order; `None` if there is neither.
    pub(super) areas: Vec<Bounds>,
    /// Of the details and notes.
    pub(super) band: Bounds,
}

impl Layout {
    /// The room of the flat without its heading.
    pub(super) fn room(&self) -> Bounds {
        let narrow = self.flat.width() < NARROW;
        let second = if narrow { LEGEND } else { 0.0 };
        Bounds { min: self.flat.min, max: self.flat.max - (0.0, HEADING + second) }
    }

    /// The lines between the panels.
    pub(super) fn rules(&self) -> Vec<Item> {
        let mut items = Vec::new();
        let mut line = |a: Point, b: Point| items.push(Item::line(Pen::Narrow, a, b));
        let Bounds { min, max } = self.flat;
        line(min, Point::new(max.x, min.y));
        for area in &self.areas {
            let (low, high) = (area.min, Point::new(area.min.x, area.max.y));
            line(low, high);
        }
        if let Some(area) = self.areas.first().filter(|area| area.max.y <= min.y + 1e-6) {
            // Below the flat.
            line(Point::new(min.x, area.max.y), Point::new(max.x, area.max.y));
        } else if let Some(area) = self.areas.first().filter(|area| area.min.y > min.y - 1e-6) {
            line(area.min, Point::new(area.max.x, area.min.y));
        }
        items
    }
}

/// How the panels of a sheet are laid out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Way {
    /// The flat at the left or above the others, whichever draws it larger.
    Usual,
    /// The same, but above the others no higher than it needs.
    Low,
    /// The formed part between the flat and the column, where there is room.
    Between,
    /// The flat has the sheet to itself, upright or not, whichever draws it larger.
    Alone,
    /// The flat has an upright sheet to itself.
    Upright,
    /// An upright sheet with the formed part and the tables beside the flat, the bends on further ones.
    Slim,
}

impl Way {
    /// Whether bends are on further sheets, so that the flat is the first thing on this one.
    pub(super) fn is_for_flat(self) -> bool {
        matches!(self, Self::Alone | Self::Upright | Self::Slim)
    }
}

/// The space a drawing needs beside the flat.
#[derive(Clone, Copy, Debug)]
pub(super) struct Needs {
    /// Whether there is anything beside the flat.
    pub(super) side: bool,
    /// Width of that, mm.
    pub(super) column: f64,
    /// Whether it takes the whole height.
    pub(super) tall: bool,
    /// Height of the band for details and notes, mm.
    pub(super) band: f64,
    pub(super) way: Way,
}

/// The layout in which the flat comes out largest, the usual one unless another gains much.
/// `inside` gives the area within the frame of a sheet.
pub(super) fn best(
    plan: &Plan,
    format: Format,
    needs: Needs,
    inside: &dyn Fn([f64; 2]) -> Bounds,
) -> Layout {
    let [short, long] = format.size();
    let mut candidates = Vec::new();
    let bounds = plan.region.bounds();
    let is_tall = bounds.height() > TALL * bounds.width();
    match needs.way {
        Way::Between => {
            let size = [long, short];
            let usual = beside(size, inside(size), needs);
            return between(plan, &usual).unwrap_or(usual);
        }
        Way::Upright | Way::Slim => {
            let size = [short, long];
            let alone = beside(size, inside(size), Needs { side: false, ..needs });
            let slim = (needs.way == Way::Slim).then(|| slim(plan, &alone)).flatten();
            return slim.unwrap_or(alone);
        }
        Way::Usual | Way::Low | Way::Alone => {}
    }
    for size in [[long, short], [short, long]] {
        if size[1] > size[0] && !is_tall {
            continue;
        }
        let whole = inside(size);
        candidates.push(beside(size, whole, needs));
        if needs.side {
            let share = above(size, whole, needs, ABOVE);
            let share = match needs.way {
                Way::Low => above(size, whole, needs, lowest(plan, &share, whole)),
                _ => share,
            };
            candidates.push(share);
        }
    }
    let factor = |layout: &Layout| {
        let room = layout.room();
        plan.factor([room.width(), room.height()]).min(ENOUGH)
    };
    let mut best = 0;
    for (i, layout) in candidates.iter().enumerate().skip(1) {
        let is_upright = layout.size[1] > layout.size[0];
        let was_upright = candidates[best].size[1] > candidates[best].size[0];
        let gain =
            if is_upright && !was_upright && needs.way != Way::Alone { UPRIGHT } else { GAIN };
        if factor(layout) >= gain * factor(&candidates[best]) {
            best = i;
        }
    }
    candidates.swap_remove(best)
}

/// The flat at the left, the column at the right.
fn beside(size: [f64; 2], whole: Bounds, needs: Needs) -> Layout {
    let Bounds { min, max } = whole;
    if !needs.side {
        let floor = min.y + needs.band;
        return Layout {
            size,
            flat: Bounds { min: Point::new(min.x, floor), max },
            areas: Vec::new(),
            band: Bounds { min, max: Point::new(max.x, floor) },
        };
    }
    let column = max.x - needs.column;
    let floor = min.y + needs.band;
    let (foot, band_end) = if needs.tall { (min.y, column) } else { (floor, max.x) };
    Layout {
        size,
        flat: Bounds { min: Point::new(min.x, floor), max: Point::new(column, max.y) },
        areas: vec![Bounds { min: Point::new(column, foot), max }],
        band: Bounds { min, max: Point::new(band_end, floor) },
    }
}

/// The flat at the left, the formed part beside it, and at the right a column for all else; `None`
/// if the flat, as large as it is without that, leaves no room for it.
fn between(plan: &Plan, usual: &Layout) -> Option<Layout> {
    let room = usual.room();
    let by = plan.factor([room.width(), room.height()]);
    let Bounds { min, max } = usual.flat;
    let wide = plan.region.bounds().width() * by;
    let around = (max.x - min.x - wide - 1.5 * FORMED).clamp(AROUND[0], AROUND[1]);
    let laid = |split: f64| Layout {
        flat: Bounds { min, max: Point::new(split, max.y) },
        areas: [Bounds { min: Point::new(split, min.y), max }]
            .into_iter()
            .chain(usual.areas.iter().copied())
            .collect(),
        ..usual.clone()
    };
    // Where the second line of a narrow heading would make the flat smaller it has the first alone.
    let is_smaller = |layout: &Layout| {
        let room = layout.room();
        plan.factor([room.width(), room.height()]) < by - 1e-9
    };
    let split = min.x + wide + around;
    let wider = (min.x + NARROW).max(split);
    let split = if is_smaller(&laid(split)) { wider } else { split };
    (max.x - split >= FORMED).then(|| laid(split))
}

/// An upright sheet with a column beside a flat that is alone on it otherwise; `None` if the flat leaves
/// no room for it.
fn slim(plan: &Plan, alone: &Layout) -> Option<Layout> {
    let room = alone.room();
    let by = plan.factor([room.width(), room.height()]);
    let Bounds { min, max } = alone.flat;
    let left = max.x - min.x - plan.region.bounds().width() * by - CALLOUTS;
    let split = max.x - left.min(SLIM[1]);
    let foot = alone.band.min.y;
    (left >= SLIM[0]).then(|| Layout {
        flat: Bounds { min, max: Point::new(split, max.y) },
        areas: vec![Bounds { min: Point::new(split, foot), max }],
        band: Bounds { min: alone.band.min, max: Point::new(split, alone.band.max.y) },
        ..alone.clone()
    })
}

/// The smallest share of the height of a sheet with which a flat above other panels is no smaller.
fn lowest(plan: &Plan, usual: &Layout, whole: Bounds) -> f64 {
    let room = usual.room();
    let by = plan.factor([room.width(), room.height()]);
    let needed = plan.region.bounds().height() * by + OVER_AND_UNDER;
    (needed / whole.height()).min(ABOVE)
}

/// The flat across the sheet with a share of its height, the other panels below it.
fn above(size: [f64; 2], whole: Bounds, needs: Needs, share: f64) -> Layout {
    let Bounds { min, max } = whole;
    let floor = max.y - (max.y - min.y) * share;
    let column = max.x - needs.column;
    let flat = Bounds { min: Point::new(min.x, floor), max };
    let right = Bounds { min: Point::new(column, min.y), max: Point::new(max.x, floor) };
    let wide = column - min.x;
    if wide > 150.0 {
        // Notes, formed part, bends side by side.
        let middle = min.x + wide * 0.45;
        let folded = Bounds { min: Point::new(middle, min.y), max: Point::new(column, floor) };
        let band = Bounds { min, max: Point::new(middle, floor) };
        return Layout { size, flat, areas: vec![folded, right], band };
    }
    let split = min.y + needs.band.max((floor - min.y) * 0.4);
    let folded = Bounds { min: Point::new(min.x, split), max: Point::new(column, floor) };
    let band = Bounds { min, max: Point::new(column, split) };
    Layout { size, flat, areas: vec![folded, right], band }
}
