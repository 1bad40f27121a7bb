//! The column beside the flat: the picture of the formed part, the bends in order, the tables.

use crate::drawings::folded;
use crate::drawings::framed;
use crate::drawings::framed::INSET;
use crate::drawings::layout::HEADING;
use crate::drawings::layout::Layout;
use crate::drawings::layout::SIDE;
use crate::drawings::layout::Way;
use crate::drawings::page::sheet::Sheet;
use crate::geom::Bounds;
use crate::geom::Point;
use crate::paper;
use crate::paper::Block;
use crate::paper::Ink;
use crate::paper::Item;
use crate::paper::LARGE;
use crate::paper::Picture;
use crate::paper::SMALL;
use crate::paper::Unit;
use crate::paper::Words;
use std::ops::Range;
use std::sync::Arc;

/// Maximum height of the picture of the formed part, mm: the column is not much wider.
const TALLEST: f64 = 96.0;

/// Left free beside that picture, and above and below it, mm.
const BESIDE: [f64; 2] = [8.0, 6.0];

/// How much narrower bends on further sheets are than a column of these, mm: for the contents
/// beside them.
const BEHIND: f64 = 2.0;

/// Below the formed part on a further sheet, mm.
const BELOW: f64 = 4.0;

/// In a narrower panel than this tables below the picture have cells of many lines, mm. Our choice.
const UNDER: f64 = 64.0;

/// How a sheet is shared out.
#[derive(Clone, Copy)]
pub(super) struct Share {
    /// How many of the last tables are with the notes.
    pub(super) below: usize,
    /// Minimum height of the picture of the formed part, mm.
    pub(super) least: f64,
    /// How the panels are laid out.
    pub(super) way: Way,
    /// Whether notes and details that have no room below the flat are on further sheets rather than the
    /// flat smaller.
    pub(super) yields: bool,
    /// Width of the column, mm.
    pub(super) side: f64,
    /// Whether fit and loads are in the column.
    pub(super) has_loads: bool,
}

/// The panel beside the flat, and its place.
pub(super) struct Column {
    /// Height of the picture of the formed part with its heading, at the top of the first area, mm.
    pub(super) high: f64,
    /// What that leaves of the areas.
    pub(super) areas: Vec<Bounds>,
    /// Its contents.
    pub(super) units: Vec<Unit>,
    /// Which of these are bends, and which bends they are: the last behind tables where these fill what
    /// the next would have left free.
    pub(super) bends: [Range<usize>; 2],
}

impl Sheet<'_> {
    /// The tables beside the flat, and the last `below` of them, which are with the notes.
    pub(super) fn split_tables(&self, below: usize) -> (&[Block], &[Block]) {
        self.tables.split_at(self.tables.len() - below)
    }

    /// The panel beside the flat in a layout; `None` if that has no room for it.
    pub(super) fn column(&self, layout: &Layout, share: Share) -> Option<Column> {
        let first = layout.areas.first()?;
        let alone = layout.areas.len() > 1;
        // The picture needs the whole panel.
        let bent = usize::from(alone && self.is_bent());
        let others = layout.areas.iter().skip(bent);
        let width = others.map(Bounds::width).fold(f64::INFINITY, f64::min);
        let is_slim = share.way == Way::Slim;
        let bends = if is_slim { Vec::new() } else { self.bend_rows(width).to_vec() };
        if alone
            && !share.has_loads
            && let Some(column) = self.with_tables_under(&bends, layout, share)
        {
            return Some(column);
        }
        let tables = paper::units(self.split_tables(share.below).0, width);
        // Where no bend has room in the panels for them the tables take it.
        let is_lower = alone && paper::count_fitting(&bends, &layout.areas[bent..]) == 0;
        let room = first.height();
        let mut lowest = layout.areas[bent..].to_vec();
        if self.is_bent() && !alone {
            lowest[0].max.y -= share.least;
        }
        let (first_bends, filled) = match is_lower {
            true => (0, tables.len()),
            false => self.with_tables(&bends, &lowest, (share, width)),
        };
        let behind = first_bends + filled;
        let rest = bends.len() - first_bends;
        let units =
            [&bends[..first_bends], &tables[..filled], &bends[first_bends..], &tables[filled..]];
        let mut units = units.concat();
        if share.has_loads {
            units.extend(self.fit_and_loads(width));
        }
        let left = room - paper::height(&units, room - share.least);
        let high = if alone { room } else { left.clamp(share.least, TALLEST) };
        let mut areas = layout.areas.clone();
        if self.is_bent() {
            areas[0].max.y = first.max.y - high;
        }
        Some(Column { high, areas, units, bends: [0..first_bends, behind..behind + rest] })
    }

    /// The column if it takes all bends, and tables that it has no room for fit below the picture in its
    /// own panel; else `None`.
    fn with_tables_under(&self, bends: &[Unit], layout: &Layout, share: Share) -> Option<Column> {
        let [first, beside] = layout.areas[..] else { return None };
        let width = first.width().min(beside.width());
        let tables = paper::units(self.split_tables(share.below).0, width);
        let units = [bends, &tables[..]].concat();
        let taken = paper::count_fitting(&units, &[beside]);
        let is_slim = first.width() < UNDER;
        if !self.is_bent() || is_slim || taken < bends.len() || taken == units.len() {
            return None;
        }
        // No table is split.
        let begins = |i: &usize| units[*i].is_headed() && !units[*i].has_head();
        let split = (bends.len()..=taken).rev().find(begins)?;
        let high = first.height() - paper::total(&units[split..]);
        let upper = Bounds {
            min: Point::new(beside.min.x, beside.max.y - paper::total(&units[..split])),
            max: beside.max,
        };
        let lower = Bounds { min: first.min, max: Point::new(first.max.x, first.max.y - high) };
        let (n, all) = (bends.len(), units.len());
        (high >= share.least).then(|| Column {
            high,
            areas: vec![upper, lower],
            units,
            bends: [0..n, all..all],
        })
    }

    /// How many bends come first in areas, and how many units of whole tables then: these fill the
    /// space that the next bend does not fit.
    fn with_tables(
        &self,
        bends: &[Unit],
        areas: &[Bounds],
        (share, width): (Share, f64),
    ) -> (usize, usize) {
        let first = paper::count_fitting(bends, areas);
        if first == bends.len() {
            return (bends.len(), 0);
        }
        let mut units = bends[..first].to_vec();
        let mut filled = 0;
        for table in self.split_tables(share.below).0 {
            units.extend(paper::units(std::slice::from_ref(table), width));
            if paper::count_fitting(&units, areas) < units.len() {
                break;
            }
            filled = units.len() - first;
        }
        (first, filled)
    }

    /// What of a column has no room there: bends as wide as further sheets let them be, all of them in
    /// front where the column is for none.
    pub(super) fn behind(&self, layout: &Layout, column: &Column) -> Vec<Unit> {
        let wide = self.bend_rows(self.width_behind(layout));
        let rest = self.left_over(&wide, column);
        let has_none = column.bends.iter().all(Range::is_empty);
        if has_none { [&wide[..], &rest].concat() } else { rest }
    }

    fn left_over(&self, wide: &[Unit], column: &Column) -> Vec<Unit> {
        let [first, last] = &column.bends;
        let unit = |i: usize| match (first.contains(&i), last.contains(&i)) {
            (true, _) => wide[i].clone(),
            (_, true) => wide[first.len() + i - last.start].clone(),
            _ => column.units[i].clone(),
        };
        let taken = paper::count_fitting(&column.units, &column.areas);
        (taken..column.units.len()).map(unit).collect()
    }

    /// How wide bends are on further sheets, mm.
    fn width_behind(&self, layout: &Layout) -> f64 {
        let inside = self.inside(layout.size).width() - BEHIND;
        let half = inside / 2.0 - BEHIND;
        if half < SIDE { inside } else { half }
    }

    /// All that is beside a flat, for further sheets: the formed part, the bends, the tables except for
    /// the last ones.
    pub(super) fn all_behind(&self, layout: &Layout, below: usize) -> Vec<Unit> {
        let width = self.width_behind(layout);
        let mut units = self.formed_behind(width);
        units.extend(self.bend_rows(width).iter().cloned());
        // Two columns of a further sheet.
        let half = self.inside(layout.size).width() / 2.0;
        units.extend(paper::units(self.split_tables(below).0, half));
        units
    }

    /// The formed part under its heading in a column of a further sheet; nothing for a part without
    /// bends.
    fn formed_behind(&self, width: f64) -> Vec<Unit> {
        let width = width - 2.0 * INSET.0;
        let Some(picture) = self.picture([width, TALLEST]) else { return Vec::new() };
        let [wide, high] = picture.size;
        let shift = ((width - wide) / 2.0, -high);
        let items = picture.items.iter().cloned().map(|item| item.shifted(shift));
        let words = Words::plain(Point::ZERO, SMALL, folded::heading(self.solved));
        let at = Point::new(width - words.length(), -LARGE - 0.6);
        let beside = Item::Words(Words { at, ..words.in_ink(Ink::Grey) });
        let mut units = Unit::heading("Formed part", width);
        units.iter_mut().for_each(|unit| unit.items.push(beside.clone()));
        units.push(Unit::picture(high + BELOW, items.collect()));
        units
    }

    /// The picture of the formed part in its panel; nothing for a part without bends.
    pub(super) fn folded(&self, layout: &Layout, column: &Column) -> Option<Arc<Picture>> {
        self.picture(self.room_of_folded(layout, column)?)
    }

    /// The largest scale that this picture could have.
    pub(super) fn folded_at_most(&self, layout: &Layout, column: &Column) -> Option<f64> {
        Some(self.formed?.scale_at_most(self.room_of_folded(layout, column)?))
    }

    fn room_of_folded(&self, layout: &Layout, column: &Column) -> Option<[f64; 2]> {
        let first = layout.areas.first().filter(|_| self.is_bent())?;
        let under = [first.width(), column.high - HEADING - framed::second_line(first)];
        Some([under[0] - BESIDE[0], under[1] - BESIDE[1]])
    }
}
