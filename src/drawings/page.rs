//! A shop drawing put together: the first sheet, and a second one only for what cannot stand there.

use crate::drawings::fit;
use crate::drawings::flat;
use crate::drawings::folded;
use crate::drawings::framed;
use crate::drawings::framed::INSET;
use crate::drawings::framed::heading;
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
use crate::paper;
use crate::paper::Block;
use crate::paper::Drawn;
use crate::paper::Format;
use crate::paper::Ink;
use crate::paper::Item;
use crate::paper::LARGE;
use crate::paper::Pages;
use crate::paper::Plan;
use crate::paper::SMALL;
use crate::paper::StripRow;
use crate::paper::Tag;
use crate::paper::Unit;
use crate::paper::Words;
use crate::solve::Solved;
use std::sync::Arc;

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
/// Height of the picture of the folded part at most, mm: the column is not much wider.
const TALLEST: f64 = 96.0;
/// Its heights at least, mm: the usual one, and what is still read where all then stands on one
/// sheet.
const LEAST: [f64; 2] = [62.0, 46.0];

/// The drawing of a part.
pub(super) fn drawing(job: &Job, all: &[Solved], solved: &Solved, format: Format) -> Pages {
    let plan = flat::plan(job, all, solved);
    let sheet = Sheet { job, all, solved, plan: &plan, tables: tables(job, solved, &plan) };
    let First { layout, drawn, items: first, mut rest } = sheet.first(format);
    let size = layout.size;
    rest.extend(sheet.second(sheet.inside(size)));
    let fields = |scale: &str, of: [usize; 2]| title::fields(job, solved, scale, of);
    framed::framed(&solved.name, size, (first, drawn.scale), rest, &fields)
}

/// What a drawing is made from.
struct Sheet<'a> {
    job: &'a Job,
    all: &'a [Solved],
    solved: &'a Solved,
    plan: &'a Plan,
    /// Beside the flat behind the bends: formed dimensions, the places and sizes of many holes.
    tables: Vec<Block>,
}

/// The first sheet of a drawing without its frame.
struct First {
    layout: Layout,
    drawn: Drawn,
    items: Vec<Item>,
    /// What has no room on it.
    rest: Vec<Unit>,
}

/// How a sheet is shared out.
#[derive(Clone, Copy)]
struct Share {
    /// How many of the last tables stand with the notes.
    below: usize,
    /// Height of the picture of the folded part at least, mm.
    least: f64,
    /// Whether it stands beside the flat, and not in the column.
    between: bool,
}

impl Sheet<'_> {
    /// What is left within the frame of a sheet above its title strip.
    fn inside(&self, size: [f64; 2]) -> Bounds {
        framed::inside(size, &|scale, of| title::fields(self.job, self.solved, scale, of))
    }

    /// The first sheet, with which the drawing has the fewest: the usual one where all stands on
    /// it; else with the last tables among the notes, with the formed part beside the flat, or with
    /// a lower picture of it, the flat no smaller.
    fn first(&self, format: Format) -> First {
        let usual = self.shared(format, Share { below: 0, least: LEAST[0], between: false });
        let fewest = 1 + usize::from(!self.second(self.inside(usual.layout.size)).is_empty());
        // A column beside the flat is not left empty.
        let most = match self.solved.part.bends.is_empty() {
            true => self.tables.len().saturating_sub(1),
            false => self.tables.len(),
        };
        let shares = |between: bool, least: f64| {
            (0..=most).map(move |below| Share { below, least, between })
        };
        let bent = !self.solved.part.bends.is_empty();
        let beside = shares(true, LEAST[0]).filter(|_| bent);
        let shares = shares(false, LEAST[0]).skip(1).chain(beside).chain(shares(false, LEAST[1]));
        let (by, size, left) = (usual.drawn.by, usual.layout.size, usual.drawn.left.len());
        let mut best = (self.count(&usual), usual);
        for share in shares {
            if best.0 <= fewest {
                break;
            }
            let (layout, drawn) = self.laid(format, share);
            if drawn.by < by - 1e-9 || layout.size != size || drawn.left.len() > left {
                continue;
            }
            let other = self.filled(layout, drawn, share);
            let count = self.count(&other);
            if count < best.0 {
                best = (count, other);
            }
        }
        best.1
    }

    /// How many sheets a drawing has that begins with one.
    fn count(&self, first: &First) -> usize {
        let inside = self.inside(first.layout.size);
        let rest = first.rest.iter().cloned().chain(self.second(inside)).collect();
        1 + framed::behind(rest, inside).len()
    }

    /// The first sheet, shared out in a way.
    fn shared(&self, format: Format, share: Share) -> First {
        let (layout, drawn) = self.laid(format, share);
        self.filled(layout, drawn, share)
    }

    /// A layout with all that stands on it.
    fn filled(&self, layout: Layout, drawn: Drawn, share: Share) -> First {
        let mut items = layout.rules();
        items.extend(self.flat_panel(&layout, &drawn));
        let (panels, mut rest) = self.side_panels(&layout, share);
        items.extend(panels);
        let (band, left) = self.band(&layout, &drawn, share);
        items.extend(band);
        rest.extend(left);
        First { layout, drawn, items, rest }
    }

    /// The layout with the flat drawn in it: with a band as high as its notes and details need.
    fn laid(&self, format: Format, share: Share) -> (Layout, Drawn) {
        let bends = !self.solved.part.bends.is_empty();
        let side = bends || !self.tables.is_empty();
        let inside = |size: [f64; 2]| self.inside(size);
        let mut band = BAND[0];
        let mut result = None;
        // The notes and the details depend on the room they leave.
        for _ in 0..3 {
            let needs = Needs { side, tall: bends, band, between: share.between };
            let layout = layout::best(self.plan, format, needs, &inside);
            let drawn = self.plan.drawn(layout.room());
            let needed = self.band_height(&layout, &drawn, share).clamp(BAND[0], BAND[1]);
            let enough = needed <= band + 0.1;
            result = Some((layout, drawn));
            if enough {
                break;
            }
            band = needed;
        }
        result.unwrap_or_else(|| {
            let needs = Needs { side, tall: bends, band, between: share.between };
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

    /// The tables that stand beside the flat, and those that stand with the notes.
    fn parted(&self, share: Share) -> (&[Block], &[Block]) {
        self.tables.split_at(self.tables.len() - share.below)
    }

    /// The folded part, the bends, the tables; what has no room comes back.
    fn side_panels(&self, layout: &Layout, share: Share) -> (Vec<Item>, Vec<Unit>) {
        let Some(first) = layout.areas.first() else { return (Vec::new(), Vec::new()) };
        let alone = layout.areas.len() > 1;
        // The picture leaves nothing of a panel of its own.
        let bent = usize::from(alone && !self.solved.part.bends.is_empty());
        let others = layout.areas.iter().skip(bent);
        let width = others.map(Bounds::width).fold(f64::INFINITY, f64::min);
        let mut units = Vec::new();
        units.extend(bend_rows(self.job, self.solved, width));
        units.extend(paper::units(self.parted(share).0, width));
        let room = first.height();
        let left = room - paper::height(&units, room - share.least);
        let high = if alone { room } else { left.clamp(share.least, TALLEST) };
        let mut items = Vec::new();
        let mut areas = layout.areas.clone();
        let under = [first.width(), high - HEADING - framed::second_line(first)];
        if let Some(picture) = folded_picture(self.job, self.solved, under) {
            let top = Bounds { min: Point::new(first.min.x, first.max.y - high), max: first.max };
            items.extend(heading(top, "Folded"));
            items.extend(framed::beside_heading(top, &folded::heading(self.solved)));
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

    /// What stands in the notes: paragraphs, findings, what found no room in the flat, and the tables
    /// that stand with them.
    fn notes(&self, drawn: &Drawn, share: Share) -> Vec<Block> {
        let sets = holes::sets(self.solved);
        let mut lines = notes::lines(self.job, self.all, self.solved, &sets);
        if !drawn.left.is_empty() {
            lines.push(format!("No room at the flat for: {}.", drawn.left.join("; ")));
        }
        let heading = String::new();
        let findings = notes::findings(self.solved);
        let mut blocks: Vec<Block> =
            findings.into_iter().chain([Block::Lines { heading, lines }]).collect();
        blocks.extend_from_slice(self.parted(share).1);
        blocks
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
    fn band_height(&self, layout: &Layout, drawn: &Drawn, share: Share) -> f64 {
        let columns = self.note_columns(layout.band, drawn);
        let units = paper::units(&self.notes(drawn, share), columns[0].width());
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
    fn band(&self, layout: &Layout, drawn: &Drawn, share: Share) -> (Vec<Item>, Vec<Unit>) {
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
        let units = paper::units(&self.notes(drawn, share), columns[0].width());
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
        let half = inside.width() / 2.0;
        let column = if half < layout::SIDE { inside.width() } else { half };
        let width = column - 2.0 * INSET.0;
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

/// The picture of the folded part in a room of a width and a height, its lower left corner at the
/// origin; nothing for a part without bends.
fn folded_picture(job: &Job, solved: &Solved, room: [f64; 2]) -> Option<Vec<Item>> {
    let picture = folded::picture(job, solved, [room[0] - 8.0, room[1] - 6.0])?;
    let spare = [room[0] - picture.size[0], room[1] - picture.size[1]];
    let by = (spare[0] / 2.0, (spare[1] / 2.0 - 2.0).max(1.0));
    Some(picture.items.into_iter().map(|item| item.shifted(by)).collect())
}

/// What stands behind the bends: formed dimensions, then the places and sizes of many holes.
fn tables(job: &Job, solved: &Solved, plan: &Plan) -> Vec<Block> {
    let sets = holes::sets(solved);
    let places = holes::table(job, &holes::spots(solved, &sets));
    let mut tables = folded::table(job, solved);
    tables.extend(places.into_iter().chain(holes::sizes(plan)));
    tables
}

/// The bends in order as rows of a width.
fn bend_rows(job: &Job, solved: &Solved, width: f64) -> Vec<Unit> {
    let row = |row: StripRow| {
        let lowered = |item: Item| item.shifted((-INSET.0, -row.height));
        Unit::picture(row.height, row.items.into_iter().map(lowered).collect())
    };
    let mut rows = strip::rows(job, solved, width).into_iter().map(row);
    let Some(first) = rows.next() else { return Vec::new() };
    let heading = Unit::heading("Bends in order, continued", width);
    let Some(head) = heading.into_iter().next().map(Arc::new) else { return Vec::new() };
    std::iter::once(first.leading()).chain(rows.map(|row| row.headed(&head))).collect()
}
