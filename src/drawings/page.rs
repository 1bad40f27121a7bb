//! A shop drawing put together: the first sheet, and a second one only for what cannot stand there.

use crate::drawings::fit;
use crate::drawings::flat;
use crate::drawings::folded;
use crate::drawings::holes;
use crate::drawings::layout;
use crate::drawings::layout::HEADING;
use crate::drawings::layout::Layout;
use crate::drawings::layout::Needs;
use crate::drawings::loads;
use crate::drawings::notes;
use crate::drawings::strip;
use crate::drawings::title;
use crate::geom::Bounds;
use crate::geom::Point;
use crate::job::Job;
use crate::num;
use crate::paper;
use crate::paper::Block;
use crate::paper::Drawn;
use crate::paper::Format;
use crate::paper::Ink;
use crate::paper::Item;
use crate::paper::LARGE;
use crate::paper::Page;
use crate::paper::Pages;
use crate::paper::Plan;
use crate::paper::SMALL;
use crate::paper::Strip;
use crate::paper::StripRow;
use crate::paper::Tag;
use crate::paper::Unit;
use crate::paper::Words;
use crate::solve::Solved;
use std::sync::Arc;

/// From the corner of a panel to its heading, mm.
const INSET: (f64, f64) = (2.5, 6.0);
/// Width of a column of notes at most, mm: longer lines are hard to follow.
const COLUMN: f64 = 95.0;
/// Height of the band below the flat at least and at most, mm.
const BAND: [f64; 2] = [14.0, 62.0];
/// Width that a detail takes, mm.
const DETAIL: f64 = 83.0;
/// Below a detail that stands on a further sheet, mm.
const DETAIL_GAP: f64 = 4.0;
/// Width that is left for notes, mm.
const NOTES: f64 = 55.0;
/// What the heading of bends that go on takes, mm.
const CONTINUED: f64 = 6.2;
/// Height of the picture of the folded part at most and at least, mm.
const FOLDED: [f64; 2] = [76.0, 46.0];

/// The drawing of a part.
pub(super) fn drawing(job: &Job, all: &[Solved], solved: &Solved, format: Format) -> Pages {
    let plan = flat::plan(job, all, solved);
    let sheet = Sheet { job, all, solved, plan: &plan };
    let (layout, drawn) = sheet.laid(format);
    let mut first = layout.rules();
    first.extend(sheet.flat_panel(&layout, &drawn));
    let (items, mut rest) = sheet.side_panels(&layout);
    first.extend(items);
    let (items, left) = sheet.band(&layout, &drawn);
    first.extend(items);
    rest.extend(left);
    let size = layout.size;
    let inside = sheet.inside(size);
    rest.extend(sheet.second(inside));
    let mut sheets = vec![(first, drawn.scale.clone())];
    while !rest.is_empty() {
        let before = rest.len();
        let (mut items, left) = paper::place(rest, &columns(inside));
        rest = left;
        if rest.len() == before {
            // Nothing is left out: what is higher than a sheet goes over its foot.
            let corner = (inside.min.x + INSET.0, inside.max.y - INSET.0);
            items.extend(rest.remove(0).items.into_iter().map(|item| item.shifted(corner)));
        }
        sheets.push((items, "–".to_owned()));
    }
    let count = sheets.len();
    let page = |(i, (items, scale)): (usize, (Vec<Item>, String))| {
        let fields = title::fields(job, solved, &scale, [i + 1, count]);
        let strip = Strip::new(&fields, paper::frame_width(size));
        let mut all = paper::framed(size, &strip);
        all.extend(items);
        Page { items: all, blocks: Vec::new() }
    };
    let pages = sheets.into_iter().enumerate().map(page).collect();
    Pages { title: solved.name.clone(), size, pages }
}

/// Two columns of a sheet.
fn columns(inside: Bounds) -> [Bounds; 2] {
    let middle = inside.centre().x;
    let Bounds { min, max } = inside;
    [Bounds { min, max: Point::new(middle, max.y) }, Bounds { min: Point::new(middle, min.y), max }]
}

/// What a drawing is made from.
struct Sheet<'a> {
    job: &'a Job,
    all: &'a [Solved],
    solved: &'a Solved,
    plan: &'a Plan,
}

impl Sheet<'_> {
    /// What is left within the frame of a sheet above its title strip.
    fn inside(&self, size: [f64; 2]) -> Bounds {
        let fields = title::fields(self.job, self.solved, "1:2.5", [1, 1]);
        paper::inside(size, &Strip::new(&fields, paper::frame_width(size)))
    }

    /// The layout with the flat drawn in it: with a band as high as its notes and details need.
    fn laid(&self, format: Format) -> (Layout, Drawn) {
        let bends = !self.solved.part.bends.is_empty();
        let side = bends || self.plan.spots.len() > holes::MANY;
        let inside = |size: [f64; 2]| self.inside(size);
        let mut band = BAND[0];
        let mut result = None;
        // The notes and the details depend on the room they leave.
        for _ in 0..3 {
            let needs = Needs { side, tall: bends, band };
            let layout = layout::best(self.plan, format, needs, &inside);
            let drawn = self.plan.drawn(layout.room());
            let needed = self.band_height(&layout, &drawn).clamp(BAND[0], BAND[1]);
            let enough = needed <= band + 0.1;
            result = Some((layout, drawn));
            if enough {
                break;
            }
            band = needed;
        }
        result.unwrap_or_else(|| {
            let needs = Needs { side, tall: bends, band };
            let layout = layout::best(self.plan, format, needs, &inside);
            let drawn = self.plan.drawn(layout.room());
            (layout, drawn)
        })
    }

    fn flat_panel(&self, layout: &Layout, drawn: &Drawn) -> Vec<Item> {
        let mut items = heading(layout.flat, notes::side(self.solved));
        let mut corner = layout.flat.max - INSET;
        if layout.flat.width() < 110.0 {
            corner.y -= 5.0;
        }
        let ups: Vec<bool> = self.plan.bends.iter().map(|bend| bend.up).collect();
        let mut x = corner.x;
        for (up, words) in [(false, "down: away"), (true, "up: towards you")] {
            if !ups.contains(&up) {
                continue;
            }
            let tag = Tag::bend("", up, "");
            let words = Words::plain(Point::ZERO, SMALL, words);
            x -= words.length();
            let at = Point::new(x, corner.y);
            items.push(Item::Words(Words { at, ..words }));
            x -= 4.4;
            items.extend(tag.at(Point::new(x, corner.y)));
            x -= 4.0;
        }
        items.extend(drawn.items.iter().cloned());
        items
    }

    /// The folded part, the bends, the table of holes; what has no room comes back.
    fn side_panels(&self, layout: &Layout) -> (Vec<Item>, Vec<Unit>) {
        let Some(first) = layout.areas.first() else { return (Vec::new(), Vec::new()) };
        let width = layout.areas.iter().map(Bounds::width).fold(f64::INFINITY, f64::min);
        let mut units = Vec::new();
        units.extend(bend_rows(self.job, self.solved, width));
        units.extend(paper::units(&folded::table(self.job, self.solved), width));
        units.extend(paper::units(&self.tables(), width));
        let alone = layout.areas.len() > 1;
        let room = first.height();
        let left = room - paper::height(&units, room - FOLDED[1]);
        let high = if alone { room } else { left.clamp(FOLDED[1], FOLDED[0]) };
        let mut items = Vec::new();
        let mut areas = layout.areas.clone();
        let under = [first.width(), high - HEADING];
        if let Some((picture, scale)) = folded_picture(self.job, self.solved, under) {
            let top = Bounds { min: Point::new(first.min.x, first.max.y - high), max: first.max };
            items.extend(heading(top, "Folded"));
            let said = match scale > 0.0 {
                true => format!("about {}, outside dimensions", drawn_at(scale)),
                false => "outside dimensions".to_owned(),
            };
            let said = Words::plain(Point::ZERO, SMALL, &said).in_ink(Ink::Grey);
            let at = top.max - (INSET.0 + said.length(), INSET.1);
            items.push(Item::Words(Words { at, ..said }));
            items.extend(picture.into_iter().map(|i| i.shifted((top.min.x, top.min.y))));
            areas[0].max.y = top.min.y;
            if !alone {
                let ends = [top.min, Point::new(top.max.x, top.min.y)];
                items.push(Item::line(paper::Pen::Narrow, ends[0], ends[1]));
            }
        }
        let (placed, rest) = paper::place(units, &areas);
        items.extend(placed);
        (items, rest)
    }

    fn tables(&self) -> Vec<Block> {
        let sets = holes::sets(self.solved);
        let spots = holes::spots(self.solved, &sets);
        let places = holes::table(self.job, &spots);
        places.into_iter().chain(holes::sizes(self.plan)).collect()
    }

    /// What stands in the notes: paragraphs, findings, and what found no room in the flat.
    fn notes(&self, drawn: &Drawn) -> Vec<Block> {
        let sets = holes::sets(self.solved);
        let mut lines = notes::lines(self.job, self.all, self.solved, &sets);
        if !drawn.left.is_empty() {
            lines.push(format!("No room at the flat for: {}.", drawn.left.join("; ")));
        }
        let heading = String::new();
        let findings = notes::findings(self.solved);
        findings.into_iter().chain([Block::Lines { heading, lines }]).collect()
    }

    /// The columns of notes in a band beside its details.
    fn note_columns(&self, band: Bounds, drawn: &Drawn) -> Vec<Bounds> {
        let from = band.min.x + DETAIL * details_here(band, drawn) as f64;
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

    /// What the band needs, mm.
    fn band_height(&self, layout: &Layout, drawn: &Drawn) -> f64 {
        let columns = self.note_columns(layout.band, drawn);
        let units = paper::units(&self.notes(drawn), columns[0].width());
        let here = drawn.details.iter().take(details_here(layout.band, drawn));
        let details = here.map(|d| paper::extent(&d.items).height() + 2.4);
        let details = details.fold(0.0, f64::max);
        let mut high = BAND[0];
        while high < BAND[1] {
            let deep = |c: &Bounds| Bounds { min: Point::new(c.min.x, c.max.y - high + 7.0), ..*c };
            let columns: Vec<Bounds> = columns.iter().map(deep).collect();
            if paper::place(units.clone(), &columns).1.is_empty() {
                break;
            }
            high += 2.0;
        }
        high.max(details)
    }

    /// Details and notes; what has no room comes back.
    fn band(&self, layout: &Layout, drawn: &Drawn) -> (Vec<Item>, Vec<Unit>) {
        let band = layout.band;
        let mut items = Vec::new();
        let mut x = band.min.x;
        let (here, beyond) = drawn.details.split_at(details_here(band, drawn));
        for detail in here {
            let bounds = paper::extent(&detail.items);
            let by = (x + 2.0 - bounds.min.x, band.max.y - 1.2 - bounds.max.y);
            items.extend(detail.items.iter().cloned().map(|item| item.shifted(by)));
            x += DETAIL;
            let ends = [band.min.y, band.max.y].map(|y| Point::new(x, y));
            items.push(Item::line(paper::Pen::Narrow, ends[0], ends[1]));
        }
        let columns = self.note_columns(band, drawn);
        let panel = Bounds { min: Point::new(x, band.min.y), max: band.max };
        items.extend(heading(panel, "Notes"));
        items.extend(self.checks(panel));
        let units = paper::units(&self.notes(drawn), columns[0].width());
        let (placed, mut rest) = paper::place(units, &columns);
        items.extend(placed);
        rest.extend(beyond.iter().map(|detail| {
            let bounds = paper::extent(&detail.items);
            let by = (-bounds.min.x, -bounds.max.y);
            let items = detail.items.iter().cloned().map(|item| item.shifted(by));
            Unit::picture(bounds.height() + DETAIL_GAP, items.collect())
        }));
        (items, rest)
    }

    /// What the checks found, at the right of a panel.
    fn checks(&self, panel: Bounds) -> Vec<Item> {
        let (label, result) = notes::checks(self.solved);
        let corner = panel.max - INSET;
        let is_clear = result == notes::CLEAR;
        let result = Words::heavy(Point::ZERO, LARGE, result);
        let result = match is_clear {
            true => result,
            false => result.made_red(),
        };
        let at = Point::new(corner.x - result.length(), corner.y);
        let label = Words::plain(Point::ZERO, SMALL, label);
        let before = Point::new(at.x - label.length(), corner.y);
        vec![
            Item::Words(Words { at: before, ..label }.in_ink(Ink::Grey)),
            Item::Words(Words { at, ..result }),
        ]
    }

    /// What stands on a sheet of its own: fit and loads.
    fn second(&self, inside: Bounds) -> Vec<Unit> {
        let width = inside.width() / 2.0 - 2.0 * INSET.0;
        let mut units = fit::units(self.job, self.solved, width);
        units.extend(loads::units(self.job, self.solved, width));
        units
    }
}

/// How many details stand in a band beside its notes.
fn details_here(band: Bounds, drawn: &Drawn) -> usize {
    let room = ((band.width() - NOTES) / DETAIL).max(0.0);
    drawn.details.len().min(room as usize)
}

fn top_left(panel: Bounds) -> Point {
    Point::new(panel.min.x, panel.max.y)
}

/// The heading of a panel.
fn heading(panel: Bounds, words: &str) -> Vec<Item> {
    let at = top_left(panel) + (INSET.0, -INSET.1);
    vec![Item::Words(Words::heavy(at, LARGE, words))]
}

/// The picture of the folded part in a room of a width and a height, its lower left corner at the
/// origin; nothing for a part without bends.
///
/// With it comes how many mm on paper are one of the part.
fn folded_picture(job: &Job, solved: &Solved, room: [f64; 2]) -> Option<(Vec<Item>, f64)> {
    let picture = folded::picture(job, solved, [room[0] - 8.0, room[1] - 6.0])?;
    let spare = [room[0] - picture.size[0], room[1] - picture.size[1]];
    let by = (spare[0] / 2.0, (spare[1] / 2.0 - 2.0).max(1.0));
    let items = picture.items.into_iter().map(|item| item.shifted(by)).collect();
    Some((items, picture.scale))
}

/// A scale in words, to two digits.
fn drawn_at(scale: f64) -> String {
    let digits = |times: f64| num::text(times, if times < 10.0 { 1 } else { 0 });
    match scale {
        s if s > 1.0 => format!("{}:1", digits(s)),
        s => format!("1:{}", digits(1.0 / s)),
    }
}

/// The bends in order as rows of a width.
fn bend_rows(job: &Job, solved: &Solved, width: f64) -> Vec<Unit> {
    let row = |row: StripRow| {
        let lowered = |item: Item| item.shifted((-INSET.0, -row.height));
        Unit::picture(row.height, row.items.into_iter().map(lowered).collect())
    };
    let mut rows = strip::rows(job, solved, width).into_iter().map(row);
    let Some(first) = rows.next() else { return Vec::new() };
    let words = Words::heavy(Point::new(0.0, -LARGE - 0.6), LARGE, "Bends in order, continued");
    let head = Arc::new(Unit::picture(CONTINUED, vec![Item::Words(words)]));
    std::iter::once(first).chain(rows.map(|row| row.headed(&head))).collect()
}
