//! Tables and paragraphs into columns of a page: no row or paragraph is split, and no heading is
//! left at the end of a column.

use crate::geom::Bounds;
use crate::geom::Point;
use crate::paper::scene::Item;
use crate::paper::scene::extent;
use crate::paper::table::Table;
use crate::paper::unit::Unit;
use std::borrow::Borrow;
use std::sync::Arc;

/// From the side of a column to its contents, and from its top to the first line, mm.
const INSET: f64 = 2.5;
const TOP: f64 = 2.2;
/// Left free at the foot of a column, mm.
const FOOT: f64 = 1.6;

/// One statement of a drawing.
#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    /// A table.
    Table(Table),
    /// Paragraphs under a heading.
    Lines {
        /// Their subject.
        heading: String,
        /// The paragraphs.
        lines: Vec<String>,
    },
}

/// Blocks as units for a column of a width. Paragraphs without a heading belong to the block above:
/// where they begin a column, its heading is repeated.
pub(crate) fn units(blocks: &[Block], column: f64) -> Vec<Unit> {
    let width = column - 2.0 * INSET;
    let (mut units, mut above) = (Vec::new(), None);
    for block in blocks {
        let (heading, body) = match block {
            Block::Table(table) => (&table.heading, going_on(table, width)),
            Block::Lines { heading, lines } => {
                let lines = lines.iter().flat_map(|line| Unit::paragraph(line, width));
                let again = above.as_ref().filter(|_| heading.is_empty());
                let under = |unit: Unit| match again {
                    Some(head) => unit.headed(head),
                    None => unit,
                };
                (heading, lines.map(under).collect())
            }
        };
        if !heading.is_empty() {
            let again = Unit::whole_heading(&format!("{heading}, continued"), width);
            above = again.map(Arc::new);
        }
        if !body.is_empty() {
            units.extend(Unit::heading(heading, width));
            units.extend(body);
            units.push(Unit::gap());
        }
    }
    units
}

/// The heads and rows of a table: where rows continue in a next column, its heading is repeated
/// above its heads.
fn going_on(table: &Table, width: f64) -> Vec<Unit> {
    let mut rows = table.units(width);
    let again = Unit::whole_heading(&format!("{}, continued", table.heading), width);
    let (Some(again), Some(heads)) = (again, rows.first()) else { return rows };
    if table.heading.is_empty() {
        return rows;
    }
    let below = heads.items.iter().cloned().map(|item| item.shifted((0.0, -again.height)));
    let items = again.items.iter().cloned().chain(below).collect();
    let both = Arc::new(Unit::picture(again.height + heads.height, items));
    rows.iter_mut().skip(1).for_each(|row| row.head = Some(Arc::clone(&both)));
    rows
}

/// Height of a column that takes the units which one of a height takes, mm.
pub(crate) fn height(units: &[Unit], column: f64) -> f64 {
    let taken = units.iter().scan(TOP + FOOT, |used, unit| {
        *used += unit.height;
        Some((*used, unit.leads))
    });
    let taken = taken.take_while(|(used, _)| *used < column).filter(|(_, leads)| !leads);
    taken.last().map_or(TOP, |(used, _)| used + 1e-6)
}

/// Height of a column that takes just these units, mm.
pub(crate) fn total(units: &[Unit]) -> f64 {
    TOP + FOOT + units.iter().map(|unit| unit.height).sum::<f64>() + 1e-6
}

/// The width of the widest of some units with the margin beside it in a column, mm.
pub(crate) fn widest<U: Borrow<Unit>>(units: &[U]) -> f64 {
    let wide = |unit: &Unit| if unit.is_gap() { 0.0 } else { extent(&unit.items).max.x };
    units.iter().map(|unit| wide(unit.borrow())).fold(0.0, f64::max) + 2.0 * INSET
}

/// How many the first of the units are with all that leads to it.
pub(crate) fn led<U: Borrow<Unit>>(units: &[U]) -> usize {
    (leading(units) + 1).min(units.len())
}

/// How many units lead to the first that does not.
fn leading<U: Borrow<Unit>>(units: &[U]) -> usize {
    units.iter().take_while(|unit| (*unit).borrow().leads).count()
}

/// The first of the units with all that leads to it, from a corner down, whatever it takes: for what
/// is higher than any column.
pub(crate) fn first(units: &mut Vec<Unit>, corner: Point) -> Vec<Item> {
    let mut y = corner.y;
    let mut items = Vec::new();
    for unit in units.drain(..led(units)) {
        items.extend(unit.items.into_iter().map(|item| item.shifted((corner.x, y))));
        y -= unit.height;
    }
    items
}

/// Units in columns, one after the other; returns those without room.
pub(crate) fn place(mut units: Vec<Unit>, columns: &[Bounds]) -> (Vec<Item>, Vec<Unit>) {
    let mut items = Vec::new();
    let taken = walk(&units, columns, |unit, at| {
        items.extend(unit.items.iter().cloned().map(|item| item.shifted((at.x, at.y))));
    });
    let rest = units.split_off(taken);
    (items, rest)
}

/// How many of the units have room in columns.
pub(crate) fn count_fitting<U: Borrow<Unit>>(units: &[U], columns: &[Bounds]) -> usize {
    walk(units, columns, |_, _| {})
}

/// Where to split units between two columns so that the higher of them is as low as possible, and
/// no section or row with a repeated heading is split. `None` if they do not fit.
pub(crate) fn split_index(units: &[Unit], columns: &[Bounds]) -> Option<usize> {
    let [left, right] = columns else { return None };
    let fits = |of: &[Unit], column: &Bounds| count_fitting(of, &[*column]) == of.len();
    let high = |of: &[Unit]| -> f64 {
        let head = of.first().and_then(|unit| unit.head.as_ref()).map_or(0.0, |head| head.height);
        head + of.iter().map(|unit| unit.height).sum::<f64>()
    };
    let begins = |i: &usize| {
        let is_headed = units[*i].head.as_ref().is_some_and(|head| head.leads);
        (units[*i].leads || is_headed) && !units[*i - 1].leads
    };
    (1..units.len())
        .filter(begins)
        .filter(|i| fits(&units[..*i], left) && fits(&units[*i..], right))
        .min_by(|a, b| {
            let higher = |i: usize| high(&units[..i]).max(high(&units[i..]));
            higher(*a).total_cmp(&higher(*b))
        })
}

/// Fills columns with units, one after the other, and reports where each is; returns how many have
/// room.
fn walk<U: Borrow<Unit>>(
    units: &[U],
    columns: &[Bounds],
    mut put: impl FnMut(&Unit, Point),
) -> usize {
    let mut taken = 0;
    for column in columns {
        let x = column.min.x + INSET;
        let mut y = column.max.y - TOP;
        let mut fresh = true;
        while let Some(unit) = units.get(taken).map(Borrow::borrow) {
            let head = unit.head.as_ref().filter(|_| fresh);
            let needed = match unit.leads {
                // With all that it leads to.
                true => {
                    let group = units[taken..].iter().take(leading(&units[taken..]) + 1);
                    group.map(|unit| unit.borrow().height).sum()
                }
                false => unit.height,
            };
            let needed: f64 = needed + head.map_or(0.0, |head| head.height);
            let is_gap = unit.is_gap();
            if !is_gap && y - needed < column.min.y + FOOT {
                break;
            }
            if let Some(head) = head {
                put(head, Point::new(x, y));
                y -= head.height;
            }
            taken += 1;
            if is_gap && fresh {
                continue;
            }
            put(unit, Point::new(x, y));
            y -= unit.height;
            fresh = false;
        }
    }
    taken
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::paper::scene::Words;
    use std::sync::Arc;

    fn row(height: f64, words: &str) -> Unit {
        Unit::picture(height, vec![Item::Words(Words::plain(Point::ZERO, 2.5, words))])
    }

    #[test]
    fn what_is_left_is_shared_among_both_columns_and_no_section_is_torn() {
        let column = |x: f64| Bounds { min: Point::new(x, 0.0), max: Point::new(x + 80.0, 100.0) };
        let columns = [column(0.0), column(80.0)];
        let section = |body: &[f64]| -> Vec<Unit> {
            let rows = body.iter().map(|height| row(*height, "row"));
            std::iter::once(row(6.0, "heading").leading()).chain(rows).collect()
        };
        let of = |sections: &[&[f64]]| -> Vec<Unit> {
            sections.iter().flat_map(|body| section(body)).collect()
        };
        // Three of 26, 26 and 36: the third moves to the next column.
        let three = of(&[&[20.0], &[10.0, 10.0], &[30.0]]);
        assert_eq!(split_index(&three, &columns), Some(5));
        assert_eq!(split_index(&of(&[&[20.0, 20.0, 20.0]]), &columns), None, "one section");
        assert_eq!(split_index(&of(&[&[90.0], &[60.0, 60.0]]), &columns), None, "too much");
        assert_eq!(split_index(&three, &columns[..1]), None, "one column");
        // A bend moves with the heading of all bends above it, a row of a table does not.
        let head = |leads: bool| Arc::new(Unit { leads, ..row(6.0, "again") });
        let rows = |leads: bool| -> Vec<Unit> {
            (0..4).map(|_| row(20.0, "bend").headed(&head(leads))).collect()
        };
        assert_eq!(split_index(&rows(true), &columns), Some(2));
        assert_eq!(split_index(&rows(false), &columns), None);
    }

    #[test]
    fn a_table_that_goes_on_says_again_what_it_is() {
        let rows = (1..=20).map(|i| vec![format!("A{i}").into(), format!("{i}").into()]);
        let table = Table {
            heading: "Hole centres".into(),
            heads: vec!["hole".into(), "X".into()],
            rows: rows.collect(),
            beside: 1,
        };
        let column = |x: f64| Bounds { min: Point::new(x, 0.0), max: Point::new(x + 80.0, 100.0) };
        let (items, left) =
            place(units(&[Block::Table(table)], 80.0), &[column(0.0), column(80.0)]);
        assert!(left.iter().all(Unit::is_gap), "all has room in two columns");
        let mut said: Vec<(f64, f64, &str)> = items
            .iter()
            .filter_map(|item| match item {
                Item::Words(words) => Some((words.at.x, words.at.y, words.text.as_str())),
                _ => None,
            })
            .filter(|(x, ..)| *x > 80.0)
            .collect();
        said.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.total_cmp(&b.0)));
        let first: Vec<&str> = said.iter().take(3).map(|(.., words)| *words).collect();
        assert_eq!(first, ["Hole centres, continued", "hole", "X"]);
    }

    #[test]
    fn a_heading_that_is_repeated_keeps_all_its_words() {
        let rows = (1..=20).map(|i| vec![format!("A{i}").into(), format!("{i}").into()]);
        let heading = "Formed dimensions, outside".to_owned();
        let heads = vec!["hole".into(), "X".into()];
        let table = Table { heading, heads, rows: rows.collect(), beside: 1 };
        let column = |x: f64| Bounds { min: Point::new(x, 0.0), max: Point::new(x + 50.0, 100.0) };
        let (items, _) = place(units(&[Block::Table(table)], 50.0), &[column(0.0), column(50.0)]);
        let mut said: Vec<(f64, &str)> = Vec::new();
        for item in &items {
            if let Item::Words(words) = item
                && words.at.x > 50.0
            {
                said.push((words.at.y, &words.text));
            }
        }
        said.sort_by(|a, b| b.0.total_cmp(&a.0));
        let above = said.iter().map(|(_, words)| *words).take_while(|words| *words != "hole");
        let above: Vec<&str> = above.collect();
        assert!(above.len() > 1, "else this shows nothing");
        assert_eq!(above.join(" "), "Formed dimensions, outside, continued");
    }

    #[test]
    fn a_heading_goes_with_what_it_leads_to_even_over_the_foot_of_a_sheet() {
        let column = Bounds { min: Point::ZERO, max: Point::new(80.0, 100.0) };
        let all = vec![row(6.0, "heading").leading(), row(200.0, "picture"), row(5.0, "next")];
        // As high as one that takes some is one that takes the same.
        let some =
            [row(6.0, "a").leading(), row(40.0, "b"), row(6.0, "c").leading(), row(70.0, "d")];
        let high = height(&some, 60.0);
        let exact = Bounds { max: Point::new(80.0, high), ..column };
        assert_eq!(place(some.to_vec(), &[exact]).1.len(), 2, "{high}");
        let (placed, mut rest) = place(all, &[column]);
        assert!(placed.is_empty() && rest.len() == 3, "the heading does not stand alone");
        let items = first(&mut rest, Point::new(2.0, 98.0));
        let at: Vec<(&str, f64)> = items
            .iter()
            .filter_map(|item| match item {
                Item::Words(words) => Some((words.text.as_str(), words.at.y)),
                _ => None,
            })
            .collect();
        assert_eq!(at, [("heading", 98.0), ("picture", 92.0)]);
        assert_eq!(rest.len(), 1);
    }
}
