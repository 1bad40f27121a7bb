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

/// The contents of further sheets.
pub(super) fn behind(mut rest: Vec<Unit>, inside: Bounds) -> Vec<Vec<Item>> {
    let columns = columns(inside, paper::widest(&rest));
    if let Some(tight) = tightened(&rest, &columns) {
        rest = tight;
    }
    let mut sheets = Vec::new();
    while !rest.is_empty() {
        let before = rest.len();
        // What all fits is shared among the columns.
        let is_last = paper::taken(&rest, &columns) == before;
        if let Some(at) = is_last.then(|| paper::parting(&rest, &columns)).flatten() {
            let second = rest.split_off(at);
            let (mut items, _) = paper::place(rest, &columns[..1]);
            items.extend(paper::place(second, &columns[1..]).0);
            sheets.push(items);
            break;
        }
        let (mut items, left) = paper::place(rest, &columns);
        rest = left;
        if rest.len() == before {
            // Nothing is left out: a block higher than the sheet overruns its bottom edge.
            let corner = Point::new(inside.min.x + INSET.0, inside.max.y - INSET.0);
            items.extend(paper::first(&mut rest, corner));
        }
        sheets.push(items);
    }
    sheets
}

/// How many further sheets these are.
pub(super) fn count(rest: &[&Unit], inside: Bounds) -> usize {
    let columns = columns(inside, paper::widest(rest));
    let tight = tightened(rest, &columns);
    tight.map_or_else(|| filled(rest, &columns).0, |tight| filled(&tight, &columns).0)
}

/// How many sheets of columns the units fill, and how much of the last they use, mm.
fn filled<U: Borrow<Unit>>(mut rest: &[U], columns: &[Bounds]) -> (usize, f64) {
    let (mut sheets, mut last) = (0, 0.0);
    while !rest.is_empty() {
        let taken = match paper::taken(rest, columns) {
            0 => paper::led(rest),
            taken => taken,
        };
        last = rest[..taken].iter().map(|unit| unit.borrow().height).sum();
        rest = &rest[taken..];
        sheets += 1;
    }
    (sheets, last)
}

/// The units without gaps between them, where that saves a last sheet with little on it.
fn tightened<U: Borrow<Unit>>(rest: &[U], columns: &[Bounds]) -> Option<Vec<Unit>> {
    let (sheets, last) = filled(rest, columns);
    if sheets < 2 || last > LITTLE {
        return None;
    }
    let all = rest.iter().map(|unit| unit.borrow().clone());
    let tight: Vec<Unit> = all.filter(|unit| !unit.is_gap()).collect();
    (filled(&tight, columns).0 < sheets).then_some(tight)
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
            filled(&units, &columns(room, 90.0)).0 > 1
        });
        let first = first.expect("some number of lines is too many");
        assert_eq!(behind(of(6, first), room).len(), 1, "the gaps leave room for a line");
        assert_eq!(behind(of(6, first + 20), room).len(), 2, "but not for twenty");
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
