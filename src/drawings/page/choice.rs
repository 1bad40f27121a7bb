//! How the first sheet is shared out: the usual way, or one that saves a sheet.

use crate::drawings::framed;
use crate::drawings::layout;
use crate::drawings::layout::Layout;
use crate::drawings::layout::Needs;
use crate::drawings::layout::SIDE;
use crate::drawings::layout::WIDE;
use crate::drawings::layout::Way;
use crate::drawings::page::band::BAND;
use crate::drawings::page::band::DEEP;
use crate::drawings::page::column::Column;
use crate::drawings::page::column::Share;
use crate::drawings::page::sheet::Sheet;
use crate::geom::Bounds;
use crate::paper;
use crate::paper::Drawn;
use crate::paper::Format;
use crate::paper::Unit;
use rayon::prelude::*;
use std::sync::Arc;

/// Heights of the picture of the formed part at least, mm: the usual one, and what is still read
/// where all then stands on one sheet, in the usual and in a wide column.
const MIN: [f64; 3] = [62.0, 46.0, 40.0];

/// The picture of the formed part is put beside the flat instead of above the bends if it becomes
/// larger by this factor. Our choice.
const ROOMIER: f64 = 1.4;

/// A flat at a smaller scale than this is small, and worth another layout if it is larger there by this
/// factor: at least one scale of the standard. Our choice.
pub(super) const SMALL: f64 = 0.5;
/// At a smaller scale than this its holes are dots, and it is worth one sheet more. Our choice.
const TINY: f64 = 0.2;
pub(super) const LARGER: f64 = 1.45;

/// By how much a band of notes is made lower until a flat above it is no smaller, mm. Our choice.
const STEP: f64 = 16.0;

/// The usual way.
pub(super) const USUAL: Share =
    Share { below: 0, least: MIN[0], way: Way::Usual, yields: false, side: SIDE, has_loads: false };
/// The flat with the whole sheet for itself.
const ALONE: Share = Share { way: Way::Alone, yields: true, ..USUAL };

/// A first sheet shared out in a way, before anything but the flat is drawn on it.
pub(super) struct Trial {
    pub(super) layout: Layout,
    pub(super) drawn: Arc<Drawn>,
    /// How many of the last tables are with the notes.
    pub(super) below: usize,
    /// Whether fit and loads are in the column, and not on a sheet of their own.
    pub(super) has_loads: bool,
    /// The column beside the flat; `None` if there is no room for it.
    pub(super) column: Option<Column>,
}

impl Trial {
    /// Whether all of the column is in it.
    pub(super) fn has_whole_column(&self) -> bool {
        let is_whole = |column: &Column| {
            paper::count_fitting(&column.units, &column.areas) == column.units.len()
        };
        self.column.as_ref().is_some_and(is_whole)
    }

    /// Whether all is at the same places on another.
    fn is_like(&self, other: &Self) -> bool {
        let areas = |trial: &Self| trial.column.as_ref().map(|column| column.areas.clone());
        self.below == other.below && self.layout == other.layout && areas(self) == areas(other)
    }
}

impl Sheet<'_> {
    /// The first sheet, with which the drawing has the fewest, and what continues behind it: the usual
    /// one where all is on it; else with the last tables among the notes, with the formed part
    /// beside the flat, with a lower picture of it, with a wider column, or with a panel of the flat no
    /// higher than it needs, the flat no smaller.
    pub(super) fn first(&self, format: Format) -> (Trial, Vec<Unit>) {
        let usual = self.trial(self.drawn_layout(format, USUAL), USUAL);
        let (by, size, left) = (usual.drawn.by, usual.layout.size, usual.drawn.left.len());
        let inside = self.inside(size);
        let second = self.second(inside);
        let count =
            |rest: &[Unit]| framed::count(&rest.iter().chain(&second).collect::<Vec<_>>(), inside);
        let fewest = count(&[]);
        let rest = self.rest(&usual);
        let mut best = (count(&rest), rest, 0);
        let mut trials = vec![usual];
        for share in self.shares() {
            if best.0 <= fewest {
                break;
            }
            let (layout, drawn) = self.drawn_layout(format, share);
            if drawn.by < by - 1e-9 || layout.size != size || drawn.left.len() > left {
                continue;
            }
            let trial = self.trial((layout, drawn), share);
            if trials.iter().any(|tried| tried.is_like(&trial)) {
                continue;
            }
            let rest = self.rest(&trial);
            let count = count(&rest);
            if count < best.0 {
                best = (count, rest, trials.len());
            }
            trials.push(trial);
        }
        let (mut least, mut rest, best) = best;
        let mut best = trials.swap_remove(best);
        if let Some(fuller) = self.fuller(format, (&best, &rest), least) {
            (least, rest, best) = fuller;
        }
        let larger = self.alone(format, &best).map(|larger| (self.rest(&larger), larger));
        let larger = larger.or_else(|| self.enlarged(format, &best, least));
        if let Some((behind, larger)) = larger {
            (best, rest) = (larger, behind);
        } else if let Some((roomier, behind)) = self.roomier(format, &best)
            && count(&behind) <= least
        {
            (best, rest) = (roomier, behind);
        }
        rest.extend(self.second_behind(&best));
        (best, rest)
    }

    /// A flat that leaves out half of its letters or more for lack of room, on a sheet to itself if
    /// it is larger there and leaves out no more than half as many.
    fn alone(&self, format: Format, best: &Trial) -> Option<Trial> {
        let left = best.drawn.left.len();
        if self.is_bent() || self.tables.is_empty() || 2 * left < self.plan.spots.len() {
            return None;
        }
        let trial = self.trial(self.drawn_layout(format, ALONE), ALONE);
        let is_better = trial.drawn.by > best.drawn.by && 2 * trial.drawn.left.len() <= left;
        is_better.then_some(trial)
    }

    /// A flat drawn small beside what else is on the first sheet, where it comes out much larger in another
    /// way to share it: with notes and details behind, or with a sheet for itself; with what continues
    /// behind it. It takes one sheet more at most, or two where it is drawn tiny: of the largest ones the
    /// one with the fewest sheets.
    fn enlarged(&self, format: Format, best: &Trial, further: usize) -> Option<(Vec<Unit>, Trial)> {
        if !self.is_bent() || further == 0 || best.drawn.by >= SMALL {
            return None;
        }
        let most = further + if best.drawn.by < TINY { 2 } else { 1 };
        let shares: Vec<Share> = self.larger_shares().collect();
        // All are drawn, on all cores.
        shares.par_iter().for_each(|share| {
            self.drawn_layout(format, *share);
        });
        let mut found: Option<(usize, Vec<Unit>, Trial)> = None;
        for share in shares {
            let (layout, drawn) = self.drawn_layout(format, share);
            let by = drawn.by;
            let known = found.as_ref().map_or(LARGER * best.drawn.by, |(.., trial)| trial.drawn.by);
            if by < known - 1e-9 || drawn.left.len() > best.drawn.left.len() {
                continue;
            }
            let trial = self.trial((layout, drawn), share);
            let rest = self.rest(&trial);
            let count = self.count(&trial, &rest);
            let is_better = found
                .as_ref()
                .is_none_or(|(fewest, _, trial)| by > trial.drawn.by + 1e-9 || count < *fewest);
            if count <= most && is_better {
                found = Some((count, rest, trial));
            }
        }
        found.map(|(_, rest, trial)| (rest, trial))
    }

    /// The ways to share a sheet out with a larger flat.
    pub(super) fn larger_shares(&self) -> impl Iterator<Item = Share> {
        let most = self.tables.len();
        let all = move |share: Share| (0..=most).map(move |below| Share { below, ..share });
        let yielding = [Way::Usual, Way::Between].map(|way| Share { way, yields: true, ..USUAL });
        let alone = [Way::Alone, Way::Upright, Way::Slim].map(|way| Share { way, ..ALONE });
        yielding.into_iter().chain(alone).flat_map(all)
    }

    /// The formed part beside the flat, if its picture is much larger there and the flat unchanged;
    /// with the rest behind it.
    fn roomier(&self, format: Format, best: &Trial) -> Option<(Trial, Vec<Unit>)> {
        let column = best.column.as_ref().filter(|_| self.is_bent())?;
        let scale = self.folded(&best.layout, column)?.scale;
        let share = Share { below: best.below, way: Way::Between, ..USUAL };
        let (layout, drawn) = self.drawn_layout(format, share);
        let is_smaller = drawn.by < best.drawn.by - 1e-9;
        if is_smaller || layout.size != best.layout.size || drawn.left.len() > best.drawn.left.len()
        {
            return None;
        }
        let trial = self.trial((layout, drawn), share);
        let column = trial.column.as_ref()?;
        // Most come out no larger, which is known before they are drawn.
        let is_roomier = self.folded_at_most(&trial.layout, column)? > ROOMIER * scale
            && self.folded(&trial.layout, column)?.scale > ROOMIER * scale;
        is_roomier.then(|| {
            let rest = self.rest(&trial);
            (trial, rest)
        })
    }

    /// The ways to share a sheet out except for the usual one.
    pub(super) fn shares(&self) -> impl Iterator<Item = Share> {
        let bent = self.is_bent();
        // A column beside the flat is not left empty.
        let most = self.tables.len().saturating_sub(usize::from(!bent));
        let shares = move |way: Way, least: f64, side: f64| {
            (0..=most).map(move |below| Share { below, least, way, side, ..USUAL })
        };
        let usual = shares(Way::Usual, MIN[0], SIDE).skip(1);
        let beside = shares(Way::Between, MIN[0], SIDE);
        // Bends take less height in a wider column.
        let wide = shares(Way::Between, MIN[0], WIDE).chain(shares(Way::Usual, MIN[1], WIDE));
        let wide = wide.chain(shares(Way::Usual, MIN[2], WIDE));
        let low = shares(Way::Low, MIN[1], SIDE).chain(shares(Way::Low, MIN[2], SIDE));
        let lower =
            [SIDE, WIDE].into_iter().flat_map(move |side| shares(Way::Between, MIN[1], side));
        let wide = wide.chain(lower).chain(low);
        let (beside, wide) = (beside.filter(move |_| bent), wide.filter(move |_| bent));
        usual.chain(beside).chain(shares(Way::Usual, MIN[1], SIDE)).chain(wide)
    }

    pub(super) fn trial(&self, (mut layout, drawn): (Layout, Arc<Drawn>), share: Share) -> Trial {
        let mut column = self.column(&layout, share);
        let is_empty = |column: &Column| paper::count_fitting(&column.units, &column.areas) == 0;
        if layout.areas.len() > 1 && column.as_ref().is_some_and(is_empty) {
            // No panel is left empty.
            let whole = layout.areas.iter().fold(Bounds::EMPTY, |all, area| all.and(*area));
            layout.areas = vec![whole];
            column = self.column(&layout, share);
        }
        Trial { layout, drawn, below: share.below, has_loads: share.has_loads, column }
    }

    /// The contents that do not fit on a first sheet.
    pub(super) fn rest(&self, trial: &Trial) -> Vec<Unit> {
        let Trial { layout, drawn, below, column, .. } = trial;
        let mut rest = match column {
            Some(column) => self.behind(layout, column),
            None => self.all_behind(layout, *below),
        };
        rest.extend(self.beyond(layout, drawn, *below));
        rest
    }

    /// The layout with the flat drawn in it: with a band as high as its notes and details need.
    pub(super) fn drawn_layout(&self, format: Format, share: Share) -> (Layout, Arc<Drawn>) {
        let Share { below, way, yields, side, has_loads, .. } = share;
        self.laid_once((format, below, (way, yields, has_loads), side), || {
            self.laid_out(format, share)
        })
    }

    fn laid_out(&self, format: Format, share: Share) -> (Layout, Arc<Drawn>) {
        let bends = self.is_bent();
        let is_first = share.way.is_for_flat();
        let side = !is_first && (bends || !self.tables.is_empty() || share.has_loads);
        let laid = |band: f64| {
            let Share { side: column, way, .. } = share;
            // Flats without bends have their sheet as it usually lies.
            let way = if is_first && !bends { Way::Usual } else { way };
            let needs = Needs { side, column, tall: bends || share.has_loads, band, way };
            let layout = layout::best(&self.plan, format, needs, &|size| self.inside(size));
            let drawn = self.drawn(layout.room());
            (layout, drawn)
        };
        let mut band = BAND[0];
        let (mut layout, mut drawn) = laid(band);
        // The notes and the details depend on the room they leave.
        for _ in 0..2 {
            let max = if is_first && bends { DEEP } else { BAND[1] };
            let needed = self.band_height(&layout, &drawn, (share.below, max)).clamp(BAND[0], max);
            if needed <= band + 0.1 {
                break;
            }
            band = needed;
            let mut next = laid(band);
            // Where the notes yield the flat is not made smaller: what its panel has no room for
            // continues on further sheets.
            let yields = share.yields && bends;
            while yields && next.1.by < drawn.by - 1e-9 && band > BAND[0] + STEP {
                band -= STEP;
                next = laid(band);
            }
            if yields && next.1.by < drawn.by - 1e-9 {
                break;
            }
            (layout, drawn) = next;
        }
        (layout, drawn)
    }
}
