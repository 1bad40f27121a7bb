//! Tables and paragraphs into columns of a page: no row or paragraph is torn apart, and no heading
//! stands alone at the end of a column.

use crate::geom::Bounds;
use crate::geom::Point;
use crate::paper::scene::Item;
use crate::paper::scene::extent;
use crate::paper::table::Table;
use crate::paper::unit::Unit;
use std::collections::VecDeque;

/// From the side of a column to what stands in it, and from its top to the first line, mm.
const INSET: f64 = 2.5;
const TOP: f64 = 2.2;
/// Left free at the foot of a column, mm.
const FOOT: f64 = 0.5;

/// One thing a drawing says.
#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    /// A table.
    Table(Table),
    /// Paragraphs under a heading.
    Lines {
        /// What they are about.
        heading: String,
        /// The paragraphs.
        lines: Vec<String>,
    },
}

/// Blocks as units for a column of a width.
pub(crate) fn units(blocks: &[Block], column: f64) -> Vec<Unit> {
    let width = column - 2.0 * INSET;
    let mut units = Vec::new();
    for block in blocks {
        let (heading, body) = match block {
            Block::Table(table) => (&table.heading, table.units(width)),
            Block::Lines { heading, lines } => {
                (heading, lines.iter().flat_map(|line| Unit::paragraph(line, width)).collect())
            }
        };
        if !body.is_empty() {
            units.extend(Unit::heading(heading, width));
            units.extend(body);
            units.push(Unit::gap());
        }
    }
    units
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

/// The width of the widest of some units with what is left beside it in a column, mm.
pub(crate) fn widest(units: &[Unit]) -> f64 {
    let wide = |unit: &Unit| if unit.is_gap() { 0.0 } else { extent(&unit.items).max.x };
    units.iter().map(wide).fold(0.0, f64::max) + 2.0 * INSET
}

/// The first of the units with all that leads to it, from a corner down, whatever it takes: for what
/// is higher than any column.
pub(crate) fn first(units: &mut Vec<Unit>, corner: Point) -> Vec<Item> {
    let leading = units.iter().take_while(|unit| unit.leads).count();
    let mut y = corner.y;
    let mut items = Vec::new();
    for unit in units.drain(..(leading + 1).min(units.len())) {
        items.extend(unit.items.into_iter().map(|item| item.shifted((corner.x, y))));
        y -= unit.height;
    }
    items
}

/// Units in columns, one after the other; what has no room comes back.
pub(crate) fn place(units: Vec<Unit>, columns: &[Bounds]) -> (Vec<Item>, Vec<Unit>) {
    let mut items = Vec::new();
    let mut rest = VecDeque::from(units);
    for column in columns {
        let mut y = column.max.y - TOP;
        let mut fresh = true;
        while let Some(unit) = rest.front() {
            let head = unit.head.as_ref().filter(|_| fresh);
            let needed = match unit.leads {
                // With all that it leads to.
                true => {
                    let leading = rest.iter().take_while(|unit| unit.leads).count();
                    rest.iter().take(leading + 1).map(|unit| unit.height).sum()
                }
                false => unit.height + head.map_or(0.0, |head| head.height),
            };
            let is_gap = unit.is_gap();
            if !is_gap && y - needed < column.min.y + FOOT {
                break;
            }
            let x = column.min.x + INSET;
            if let Some(head) = head {
                items.extend(head.items.iter().cloned().map(|item| item.shifted((x, y))));
                y -= head.height;
            }
            let Some(unit) = rest.pop_front() else { break };
            if is_gap && fresh {
                continue;
            }
            items.extend(unit.items.into_iter().map(|item| item.shifted((x, y))));
            y -= unit.height;
            fresh = false;
        }
    }
    (items, rest.into())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::paper::scene::Words;

    fn row(height: f64, words: &str) -> Unit {
        Unit::picture(height, vec![Item::Words(Words::plain(Point::ZERO, 2.5, words))])
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
