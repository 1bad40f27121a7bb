//! Sheets in their frames with their title blocks; what has no room on the first continues in two
//! columns of further ones.

use crate::geom::Bounds;
use crate::geom::Point;
use crate::paper;
use crate::paper::Field;
use crate::paper::Ink;
use crate::paper::Item;
use crate::paper::LARGE;
use crate::paper::Page;
use crate::paper::Pages;
use crate::paper::SMALL;
use crate::paper::Strip;
use crate::paper::Unit;
use crate::paper::Words;
use std::borrow::Borrow;
use std::ops::Range;

/// From the corner of a panel to its heading, mm.
pub(super) const INSET: (f64, f64) = (2.5, 6.0);
/// The scale of a sheet that shows nothing to scale.
pub(super) const NONE: &str = "–";

/// The fields of the title block at a scale, for page and number of sheets.
pub(super) type Fields<'a> = dyn Fn(&str, [usize; 2]) -> Vec<Field> + 'a;

/// The area within the frames of all sheets above their title blocks, where the first has one of
/// these scales.
pub(super) fn inside(size: [f64; 2], scales: &[&str], fields: &Fields<'_>) -> Bounds {
    let above = |scale: &&str| {
        paper::inside(size, &Strip::new(&fields(scale, [1, 1]), paper::frame_width(size)))
    };
    let low = |bounds: Bounds| bounds.min.y;
    let all = scales.iter().chain(&[NONE]).map(above);
    let highest = all.max_by(|a, b| low(*a).total_cmp(&low(*b)));
    highest.unwrap_or_else(|| above(&NONE))
}

/// The sheets: the first with its scale, and the continuation within the frames of others.
pub(super) fn framed(
    title: &str,
    (size, inside): ([f64; 2], Bounds),
    first: (Vec<Item>, String),
    rest: Vec<Unit>,
    fields: &Fields<'_>,
) -> Pages {
    framed_with_view(title, (size, inside), first, (rest, NONE), fields)
}

/// The same if the continuation begins with a view at a different scale.
pub(super) fn framed_with_view(
    title: &str,
    (size, inside): ([f64; 2], Bounds),
    first: (Vec<Item>, String),
    (rest, second): (Vec<Unit>, &str),
    fields: &Fields<'_>,
) -> Pages {
    let behind = behind(rest, inside).into_iter().enumerate();
    let scale = |i: usize| if i == 0 { second.to_owned() } else { NONE.to_owned() };
    let behind = behind.map(|(i, items)| (items, scale(i)));
    let sheets: Vec<(Vec<Item>, String)> = std::iter::once(first).chain(behind).collect();
    let count = sheets.len();
    let page = |(i, (items, scale)): (usize, (Vec<Item>, String))| {
        let strip = Strip::new(&fields(&scale, [i + 1, count]), paper::frame_width(size));
        let mut all = paper::framed(size, &strip);
        all.extend(items);
        Page { items: all, blocks: Vec::new() }
    };
    let pages = sheets.into_iter().enumerate().map(page).collect();
    Pages { title: title.to_owned(), size, pages }
}

/// A last sheet with no more on it than this is saved where gaps between blocks leave the room, mm.
/// Our choice: some four lines.
const LITTLE: f64 = 18.0;

/// Between what takes the width of a sheet and the columns below it, mm.
const BELOW: f64 = 4.0;

/// The contents of further sheets.
pub(super) fn behind(rest: Vec<Unit>, inside: Bounds) -> Vec<Vec<Item>> {
    let sheets = filled(&rest, inside);
    let (rest, sheets) = match tightened(&rest, &sheets, inside) {
        Some((tight, sheets)) => (tight, sheets),
        None => (rest, sheets),
    };
    let sheet = |panels: &Vec<Panel>| -> Vec<Item> {
        panels.iter().flat_map(|panel| panel.items(&rest)).collect()
    };
    sheets.iter().map(sheet).collect()
}

/// How many further sheets these are.
pub(super) fn count(rest: &[&Unit], inside: Bounds) -> usize {
    let sheets = filled(rest, inside);
    tightened(rest, &sheets, inside).map_or(sheets.len(), |(_, tight)| tight.len())
}

/// How much of the last of further sheets is taken, as a share of the height of its columns; `None`
/// without any.
pub(super) fn last_share(rest: &[&Unit], inside: Bounds) -> Option<f64> {
    let sheets = filled(rest, inside);
    let tight = tightened(rest, &sheets, inside);
    let share = |units: &[&Unit], panels: &Vec<Panel>| -> f64 {
        let of = |panel: &Panel| panel.height(units) / panel.columns.len() as f64;
        panels.iter().map(of).sum::<f64>() / inside.height()
    };
    match &tight {
        Some((tight, sheets)) => Some(share(&tight.iter().collect::<Vec<_>>(), sheets.last()?)),
        None => Some(share(rest, sheets.last()?)),
    }
}

/// Some of the units in columns of a sheet.
struct Panel {
    units: Range<usize>,
    columns: Vec<Bounds>,
    /// Whether it is what leads to a unit that is higher than the sheet, with that: nothing is left out,
    /// it goes over the foot.
    is_over: bool,
}

impl Panel {
    /// The next of the units in columns; nothing where none has room.
    fn next<U: Borrow<Unit>>(rest: &[U], at: usize, columns: Vec<Bounds>) -> Option<Self> {
        let taken = paper::count_fitting(&rest[at..], &columns);
        (taken > 0).then(|| Self { units: at..at + taken, columns, is_over: false })
    }

    /// The same on a sheet of its own.
    fn whole<U: Borrow<Unit>>(rest: &[U], at: usize, columns: Vec<Bounds>) -> Self {
        let led = at + paper::led(&rest[at..]);
        let over = Self { units: at..led, columns: columns.clone(), is_over: true };
        Self::next(rest, at, columns).unwrap_or(over)
    }

    /// The height of its units one below the other, mm.
    fn height<U: Borrow<Unit>>(&self, rest: &[U]) -> f64 {
        let units = || rest[self.units.clone()].iter().map(Borrow::borrow);
        let head = units().next().and_then(Unit::head).map_or(0.0, |head| head.height);
        head + units().map(|unit| unit.height).sum::<f64>()
    }

    fn items(&self, rest: &[Unit]) -> Vec<Item> {
        let mut units = rest[self.units.clone()].to_vec();
        if self.is_over {
            let Bounds { min, max } = self.columns[0];
            return paper::first(&mut units, Point::new(min.x, max.y) + (INSET.0, -INSET.0));
        }
        // What all fits at the end is shared among the columns.
        let is_last = self.units.end == rest.len();
        let Some(at) = is_last.then(|| paper::split_index(&units, &self.columns)).flatten() else {
            return paper::place(units, &self.columns).0;
        };
        let second = units.split_off(at);
        let (mut items, _) = paper::place(units, &self.columns[..1]);
        items.extend(paper::place(second, &self.columns[1..]).0);
        items
    }
}

/// The panels of each further sheet: one column as long as units are too wide for two, then two, which
/// begin below the last of these.
fn filled<U: Borrow<Unit>>(rest: &[U], inside: Bounds) -> Vec<Vec<Panel>> {
    let widths: Vec<f64> =
        rest.iter().map(|unit| paper::widest(std::slice::from_ref(unit))).collect();
    let is_wide = |width: &f64| columns(inside, *width).len() == 1;
    let mut narrow = widths.iter().rposition(is_wide).map_or(0, |last| last + 1);
    // Only what says by itself what it is goes on in other columns.
    while rest.get(narrow).is_some_and(|unit| unit.borrow().is_gap()) {
        narrow += 1;
    }
    if rest.get(narrow).is_some_and(|unit| !unit.borrow().is_headed()) {
        narrow = rest.len();
    }
    let (mut sheets, mut at): (Vec<Vec<Panel>>, usize) = (Vec::new(), 0);
    while at < narrow {
        let panel = Panel::whole(&rest[..narrow], at, vec![inside]);
        at = panel.units.end;
        sheets.push(vec![panel]);
    }
    let widest = widths[narrow..].iter().copied().fold(0.0, f64::max);
    let two = |room: Bounds| columns(room, widest);
    if let Some(last) = sheets.last_mut().filter(|_| at < rest.len()) {
        let foot = inside.max.y - last[0].height(rest) - BELOW;
        let below = Bounds { max: Point::new(inside.max.x, foot), ..inside };
        if let Some(panel) = Panel::next(rest, at, two(below)).filter(|_| foot > inside.min.y) {
            at = panel.units.end;
            last.push(panel);
        }
    }
    while at < rest.len() {
        let panel = Panel::whole(rest, at, two(inside));
        at = panel.units.end;
        sheets.push(vec![panel]);
    }
    sheets
}

/// The units without gaps between them and their sheets, where that saves the last of the sheets with
/// little on it.
fn tightened<U: Borrow<Unit>>(
    rest: &[U],
    sheets: &[Vec<Panel>],
    inside: Bounds,
) -> Option<(Vec<Unit>, Vec<Vec<Panel>>)> {
    let panels = sheets.last().filter(|_| sheets.len() > 1)?;
    let last = panels.iter().flat_map(|panel| &rest[panel.units.clone()]);
    if last.map(|unit| unit.borrow().height).sum::<f64>() > LITTLE {
        return None;
    }
    let all = rest.iter().map(|unit| unit.borrow().clone());
    let tight: Vec<Unit> = all.filter(|unit| !unit.is_gap()).collect();
    let fewer = filled(&tight, inside);
    (fewer.len() < sheets.len()).then_some((tight, fewer))
}

/// Two columns of a sheet; one if they are narrower than their contents.
fn columns(inside: Bounds, widest: f64) -> Vec<Bounds> {
    let middle = inside.centre().x;
    let Bounds { min, max } = inside;
    if middle - min.x < widest - 1e-6 {
        return vec![inside];
    }
    let left = Bounds { min, max: Point::new(middle, max.y) };
    vec![left, Bounds { min: Point::new(middle, min.y), max }]
}

/// The heading of a panel.
pub(super) fn heading(panel: Bounds, words: &str) -> Vec<Item> {
    let at = Point::new(panel.min.x, panel.max.y) + (INSET.0, -INSET.1);
    vec![Item::Words(Words::heavy(at, LARGE, words))]
}

/// Panels narrower than this have their heading in two lines, mm.
const NARROW: f64 = 100.0;

/// The height of the second line of a heading, mm.
pub(super) fn second_line(panel: &Bounds) -> f64 {
    if panel.width() < NARROW { paper::PITCH } else { 0.0 }
}

/// Small words at the right of the heading of a panel, below it where that is narrow.
pub(super) fn beside_heading(panel: Bounds, words: &str) -> Vec<Item> {
    // A narrow one has room for the first of them.
    let first = words.split(',').next().unwrap_or(words);
    let words = if panel.width() < NARROW { first } else { words };
    let words = Words::plain(Point::ZERO, SMALL, words).in_ink(Ink::Grey);
    let at = match panel.width() < NARROW {
        true => Point::new(panel.min.x + INSET.0, panel.max.y - INSET.1 - second_line(&panel)),
        false => panel.max - (INSET.0 + words.length(), INSET.1),
    };
    vec![Item::Words(Words { at, ..words })]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::paper::Block;
    use crate::paper::Pen;

    #[test]
    fn as_many_sheets_are_counted_as_are_laid_out() {
        let room = Bounds { min: Point::new(20.0, 40.0), max: Point::new(287.0, 200.0) };
        for lines in [0, 1, 30, 90, 400] {
            let lines = (0..lines).map(|i| format!("line {i} of what has no room")).collect();
            let units = paper::units(&[Block::Lines { heading: "More".into(), lines }], 100.0);
            let high = Unit::picture(300.0, vec![Item::line(Pen::Wide, Point::ZERO, room.max)]);
            for units in [units.clone(), [vec![high.leading(), high], units].concat()] {
                let counted = count(&units.iter().collect::<Vec<_>>(), room);
                assert_eq!(counted, behind(units, room).len());
            }
        }
    }

    #[test]
    fn a_last_line_is_drawn_onto_the_sheet_before() {
        let room = Bounds { min: Point::new(0.0, 0.0), max: Point::new(200.0, 100.0) };
        let block = |i: usize| {
            let lines = (0..4).map(|k| format!("line {k} of block {i}")).collect();
            Block::Lines { heading: "More".into(), lines }
        };
        let of = |blocks: usize, lines: usize| {
            let mut units: Vec<Unit> =
                (0..blocks).flat_map(|i| paper::units(&[block(i)], 100.0)).collect();
            let lines = (0..lines).map(|i| format!("last {i}")).collect();
            units.extend(paper::units(&[Block::Lines { heading: String::new(), lines }], 100.0));
            units
        };
        // As many lines behind the blocks as just begin another sheet.
        let first = (0..40).find(|lines| {
            let units = of(6, *lines);
            filled(&units, room).len() > 1
        });
        let first = first.expect("some number of lines is too many");
        assert_eq!(behind(of(6, first), room).len(), 1, "the gaps leave room for a line");
        assert_eq!(behind(of(6, first + 20), room).len(), 2, "but not for twenty");
    }

    #[test]
    fn narrow_tables_stand_side_by_side_below_what_is_wide() {
        let room = Bounds { min: Point::ZERO, max: Point::new(200.0, 100.0) };
        let line = |wide: f64| vec![Item::line(Pen::Wide, Point::ZERO, Point::new(wide, 0.0))];
        let unit = |wide: f64, high: f64| Unit::picture(high, line(wide));
        let table = |high: f64| [unit(60.0, 6.0).leading(), unit(60.0, high)];
        let wide = [unit(180.0, 20.0).leading(), unit(180.0, 20.0)];
        let units = [wide.to_vec(), table(30.0).to_vec(), table(30.0).to_vec()].concat();
        let sheets = behind(units.clone(), room);
        assert_eq!((sheets.len(), count(&units.iter().collect::<Vec<_>>(), room)), (1, 1));
        let at: Vec<Point> = sheets[0].iter().map(|item| item.bounds().min).collect();
        assert_eq!(at.len(), 6);
        assert!(at[4].x > 100.0 && (at[4].y - at[2].y).abs() < 1e-9, "{at:?}");
        assert!(at[2].y < at[1].y - 20.0, "below what is wide: {at:?}");
        // Where there is no room below, they have a sheet.
        let high = [wide.to_vec(), vec![unit(180.0, 40.0)], table(30.0).to_vec()].concat();
        assert_eq!(behind(high, room).len(), 2);
    }

    #[test]
    fn the_title_strip_has_room_for_every_scale() {
        let size = [297.0, 210.0];
        for letters in 1..60 {
            let fields = |scale: &str, [one, of]: [usize; 2]| {
                let long = "n".repeat(letters);
                let small = ["Material", "Process", "Blank size", "Tolerance", "Job"];
                let small = small.map(|label| Field::small(label, "some words"));
                let own =
                    [Field::small("Scale", scale), Field::small("Sheet", format!("{one}{of}"))];
                let name = [Field::large("Part", long)];
                [name.to_vec(), small.to_vec(), own.to_vec()].concat()
            };
            let kept = inside(size, &["1:2", "1:20", "1:500"], &fields).min.y;
            for scale in ["50:1", "1:1", "1:10", "1:200", NONE] {
                let strip = Strip::new(&fields(scale, [1, 1]), paper::frame_width(size));
                assert!(paper::inside(size, &strip).min.y <= kept, "{scale}, {letters} letters");
            }
        }
    }
}
