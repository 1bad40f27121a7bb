//! The band below the flat: details of it, and beside them the notes in columns.

use crate::drawings::framed::INSET;
use crate::drawings::framed::heading;
use crate::drawings::hole_dimensions;
use crate::drawings::layout::HEADING;
use crate::drawings::layout::Layout;
use crate::drawings::notes;
use crate::drawings::page::sheet::Sheet;
use crate::geom::Bounds;
use crate::geom::Point;
use crate::paper;
use crate::paper::Block;
use crate::paper::Detail;
use crate::paper::Drawn;
use crate::paper::Ink;
use crate::paper::Item;
use crate::paper::LARGE;
use crate::paper::Pen;
use crate::paper::SMALL;
use crate::paper::Unit;
use crate::paper::Words;

/// Maximum width of a column of notes, mm: longer lines are hard to follow.
const COLUMN: f64 = 95.0;
/// Minimum and maximum height of the band below the flat, mm; the latter where the flat is the first
/// thing on the sheet, and the band takes what it leaves.
pub(super) const BAND: [f64; 2] = [14.0, 62.0];
pub(super) const DEEP: f64 = 130.0;
/// Width that a detail takes, mm.
const DETAIL: f64 = 83.0;
/// Below a detail that is on a further sheet, mm.
const DETAIL_GAP: f64 = 4.0;
/// Width of the heading of the notes in their first line, mm.
const HEADED: f64 = 16.0;
/// The heading of details on further sheets.
pub(super) const DETAILS: &str = "Details of the flat";
/// Width that is left for notes, mm.
const NOTES: f64 = 55.0;

impl Sheet<'_> {
    /// The contents of the notes, as units of a width: paragraphs, findings, what had no room in
    /// the flat, and the tables below them, beside this number of details.
    fn notes(&self, drawn: &Drawn, below: usize, details: usize, width: f64) -> Vec<Unit> {
        let mut lines = self.lines.clone();
        lines.extend(self.left(drawn));
        let behind = drawn.details.iter().skip(details);
        let behind: Vec<&str> = behind.map(|detail| detail.letter.as_str()).collect();
        if !behind.is_empty() {
            let what = if behind.len() == 1 { "Detail" } else { "Details" };
            lines.push(format!("{what} {}: see sheet {}.", behind.join(", "), self.details_on));
        }
        // Below the findings a note would read as one of them.
        let is_below = self.findings.is_some() && !lines.is_empty();
        let heading = if is_below { "General notes".into() } else { String::new() };
        let mut blocks: Vec<Block> = self.findings.iter().cloned().collect();
        blocks.push(Block::Lines { heading, lines });
        blocks.extend_from_slice(self.split_tables(below).1);
        paper::units(&blocks, width)
    }

    /// What the flat leaves out for lack of room.
    fn left(&self, drawn: &Drawn) -> Vec<String> {
        let is_letter = |words: &&String| self.plan.spots.iter().any(|spot| spot.label == **words);
        let (letters, others): (Vec<&String>, Vec<&String>) =
            drawn.left.iter().partition(is_letter);
        let mut lines = Vec::new();
        if !letters.is_empty() {
            let place = if self.plan.tabled { ": see the table of hole centres" } else { "" };
            lines.push(format!(
                "Not lettered in the flat: {}{place}.",
                hole_dimensions::runs(&letters)
            ));
        }
        if !others.is_empty() {
            let others: Vec<&str> = others.into_iter().map(String::as_str).collect();
            lines.push(format!("No room at the flat for: {}.", others.join("; ")));
        }
        lines
    }

    /// The height the band needs, no more than a maximum but for details, mm.
    pub(super) fn band_height(
        &self,
        layout: &Layout,
        drawn: &Drawn,
        (below, max): (usize, f64),
    ) -> f64 {
        let abreast = details_abreast(layout.band, drawn);
        let columns = note_columns(layout.band, abreast);
        let units = self.notes(drawn, below, abreast, columns[0].width());
        let details = drawn.details.iter().take(abreast).map(detail_height);
        let details = details.fold(0.0, f64::max);
        let mut high = BAND[0];
        while high < max {
            let deep = |c: &Bounds| Bounds { min: Point::new(c.min.x, c.max.y - high + 7.0), ..*c };
            let columns: Vec<Bounds> = columns.iter().map(deep).collect();
            if paper::count_fitting(&units, &columns) == units.len() {
                break;
            }
            high += 2.0;
        }
        high.max(details)
    }

    /// Details and notes.
    pub(super) fn band(&self, layout: &Layout, drawn: &Drawn, below: usize) -> Vec<Item> {
        let band = layout.band;
        let mut items = Vec::new();
        let mut x = band.min.x;
        let here = details_here(band, drawn);
        for detail in drawn.details.iter().take(here) {
            let bounds = paper::extent(&detail.items);
            let by = (x + 2.0 - bounds.min.x, band.max.y - 1.2 - bounds.max.y);
            items.extend(detail.items.iter().cloned().map(|item| item.shifted(by)));
            x += DETAIL;
            let ends = [band.min.y, band.max.y].map(|y| Point::new(x, y));
            items.push(Item::line(Pen::Narrow, ends[0], ends[1]));
        }
        let columns = note_columns(band, here);
        let panel = Bounds { min: Point::new(x, band.min.y), max: band.max };
        items.extend(heading(panel, "Notes"));
        items.extend(self.checks(panel));
        let units = self.notes(drawn, below, here, columns[0].width());
        let (placed, left) = paper::place(units, &columns);
        if placed.is_empty() && !left.is_empty() {
            let at = Point::new(columns[0].min.x, columns[0].max.y) + (INSET.0, -LARGE - 1.0);
            let words = if self.findings.is_some() { "Findings and notes" } else { "Notes" };
            let words = format!("{words}: on a further sheet.");
            items.push(Item::Words(Words::plain(at, SMALL, words)));
        }
        items.extend(placed);
        items
    }

    /// The notes and details for which it has no room.
    pub(super) fn beyond(&self, layout: &Layout, drawn: &Drawn, below: usize) -> Vec<Unit> {
        let here = details_here(layout.band, drawn);
        let columns = note_columns(layout.band, here);
        let width = columns[0].width();
        let mut units = self.notes(drawn, below, here, width);
        let taken = paper::count_fitting(&units, &columns);
        // As wide as the columns there, where that makes as many paragraphs and rows.
        let there = self.inside(layout.size).width() / 2.0;
        let wide = self.notes(drawn, below, here, if there < width { width } else { there });
        if wide.len() == units.len() {
            units = wide;
        }
        units.drain(..taken);
        // Rows of a table may continue below something else.
        if let Some(head) = units.first().and_then(Unit::head).map(Unit::leading) {
            units.insert(0, head);
        }
        if units.first().is_some_and(|unit| !unit.is_headed()) {
            units.splice(0..0, Unit::heading("Notes, continued", width.max(there)));
        }
        let details = drawn.details.iter().skip(here);
        if details.len() > 0 {
            units.extend(Unit::heading(DETAILS, width));
        }
        units.extend(details.map(|detail| {
            let bounds = paper::extent(&detail.items);
            let by = (-bounds.min.x, -bounds.max.y);
            let items = detail.items.iter().cloned().map(|item| item.shifted(by));
            Unit::picture(bounds.height() + DETAIL_GAP, items.collect())
        }));
        units
    }

    /// The result of the checks, at the right of a panel.
    fn checks(&self, panel: Bounds) -> [Item; 2] {
        let (label, result) = notes::checks(self.job, self.solved);
        let corner = panel.max - INSET;
        let is_clear = result == notes::CLEAR;
        let label = Words::plain(Point::ZERO, SMALL, label);
        let large = Words::heavy(Point::ZERO, LARGE, result.clone());
        let room = panel.width() - 2.0 * INSET.0 - HEADED;
        let small = Words::heavy(Point::ZERO, SMALL, &result);
        // Beside the heading of a narrow panel the first of the words alone.
        let first = Words::heavy(Point::ZERO, SMALL, result.split(',').next().unwrap_or(&result));
        let fits = |words: &Words| label.length() + words.length() <= room;
        let result = [large, small].into_iter().find(fits).unwrap_or(first);
        let result = match is_clear {
            true => result,
            false => result.made_red(),
        };
        let at = Point::new(corner.x - result.length(), corner.y);
        let before = Point::new(at.x - label.length(), corner.y);
        [
            Item::Words(Words { at: before, ..label }.in_ink(Ink::Grey)),
            Item::Words(Words { at, ..result }),
        ]
    }
}

/// The columns of notes in a band beside a number of details.
fn note_columns(band: Bounds, details: usize) -> Vec<Bounds> {
    let from = band.min.x + DETAIL * details as f64;
    let wide = band.max.x - from;
    let count = (wide / COLUMN).ceil().max(1.0);
    let each = wide / count;
    let top = band.max.y - HEADING + 2.0;
    (0..count as u32)
        .map(|i| {
            let x = from + each * f64::from(i);
            Bounds { min: Point::new(x, band.min.y), max: Point::new(x + each, top) }
        })
        .collect()
}

/// How many details a band is wide enough for, beside its notes.
fn details_abreast(band: Bounds, drawn: &Drawn) -> usize {
    let room = ((band.width() - NOTES) / DETAIL).max(0.0);
    drawn.details.len().min(room as usize)
}

/// How many details fit into a band of this height.
fn details_here(band: Bounds, drawn: &Drawn) -> usize {
    let is_low = |detail: &&Detail| detail_height(detail) <= band.height() + 0.1;
    drawn.details.iter().take(details_abreast(band, drawn)).take_while(is_low).count()
}

/// The height of a detail in a band, mm.
fn detail_height(detail: &Detail) -> f64 {
    paper::extent(&detail.items).height() + 2.4
}
