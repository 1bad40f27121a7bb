//! A shop drawing put together: the first sheet, and a second one only for what does not fit there.

mod band;
mod choice;
mod column;
mod elsewhere;
mod fuller;
mod sheet;

use crate::drawings::folded;
use crate::drawings::folded::Formed;
use crate::drawings::framed;
use crate::drawings::framed::INSET;
use crate::drawings::framed::heading;
use crate::drawings::layout::HEADING;
use crate::drawings::layout::LEGEND;
use crate::drawings::layout::Layout;
use crate::drawings::layout::NARROW;
use crate::drawings::notes;
use crate::drawings::page::band::DETAILS;
use crate::drawings::page::choice::Trial;
use crate::drawings::page::column::Column;
use crate::drawings::page::sheet::Sheet;
use crate::drawings::title;
use crate::geom::Bounds;
use crate::geom::Point;
use crate::job::Job;
use crate::paper;
use crate::paper::Drawn;
use crate::paper::Format;
use crate::paper::Item;
use crate::paper::Pages;
use crate::paper::Pen;
use crate::paper::SMALL;
use crate::paper::Tag;
use crate::paper::Words;
use crate::solve::Solved;

/// The drawing of a part, with how it is formed.
pub(super) fn drawing(
    job: &Job,
    all: &[Solved],
    (solved, formed): (&Solved, Option<&Formed>),
    format: Format,
) -> Pages {
    let mut sheet = Sheet::of(job, all, (solved, formed));
    let pages = sheet.pages(format);
    // All digits are of one width: the layout is the same.
    match elsewhere::sheet_of(&pages, DETAILS).filter(|on| *on != sheet.details_on) {
        Some(on) => {
            sheet.details_on = on;
            sheet.pages(format)
        }
        None => pages,
    }
}

impl Sheet<'_> {
    /// The first sheet, and those behind it.
    fn pages(&self, format: Format) -> Pages {
        let (job, solved) = (self.job, self.solved);
        let (trial, rest) = self.first(format);
        let (size, scale) = (trial.layout.size, trial.drawn.scale.clone());
        let flat = trial.layout.flat;
        let first = (self.filled(trial), scale);
        let fields = |scale: &str, of: [usize; 2]| title::fields(job, solved, scale, of);
        let inside = self.inside(size);
        let mut pages = framed::framed(&solved.name, (size, inside), first, rest, &fields);
        elsewhere::point_to_holes(&mut pages, flat, notes::side(solved));
        pages
    }

    /// All that is on a first sheet within its frame.
    fn filled(&self, Trial { layout, drawn, below, column, .. }: Trial) -> Vec<Item> {
        let mut items = layout.rules();
        items.extend(self.flat_panel(&layout, &drawn));
        items.extend(column.map(|column| self.side_panels(&layout, column)).into_iter().flatten());
        items.extend(self.band(&layout, &drawn, below));
        items
    }

    fn flat_panel(&self, layout: &Layout, drawn: &Drawn) -> Vec<Item> {
        let mut items = heading(layout.flat, notes::side(self.solved));
        let mut corner = layout.flat.max - INSET;
        if layout.flat.width() < NARROW {
            corner.y -= LEGEND;
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

    /// The formed part, the bends, the tables.
    fn side_panels(&self, layout: &Layout, column: Column) -> Vec<Item> {
        let first = &layout.areas[0];
        let under = [first.width(), column.high - HEADING - framed::second_line(first)];
        let mut items = Vec::new();
        if let Some(picture) = self.folded(layout, &column) {
            let spare = [under[0] - picture.size[0], under[1] - picture.size[1]];
            let by = (spare[0] / 2.0, (spare[1] / 2.0 - 2.0).max(1.0));
            let low = Point::new(first.min.x, first.max.y - column.high);
            let top = Bounds { min: low, max: first.max };
            items.extend(heading(top, "Formed part"));
            items.extend(framed::beside_heading(top, &folded::heading(self.solved)));
            let by = (top.min.x + by.0, top.min.y + by.1);
            items.extend(picture.items.iter().cloned().map(|item| item.shifted(by)));
            if low.y > first.min.y + 1e-6 {
                items.push(Item::line(Pen::Narrow, low, Point::new(top.max.x, low.y)));
            }
        }
        items.extend(paper::place(column.units, &column.areas).0);
        items
    }
}
