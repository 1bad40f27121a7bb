//! The names that a set of holes depends on.

use crate::recipe::Expr;
use crate::recipe::HoleSet;
use crate::recipe::HoleShape;
use crate::recipe::Pattern;

/// The names a hole's size and place depend on.
pub(super) fn of(set: &HoleSet) -> Vec<String> {
    let mut exprs: Vec<&Expr> =
        set.at.iter().chain(&set.rotate).chain(&set.pilot).chain(&set.without).collect();
    exprs.extend(set.recess.iter().flat_map(|recess| recess.measures()));
    match &set.shape {
        HoleShape::Insert(_) => {}
        HoleShape::Round(a) | HoleShape::Hexagon(a) => exprs.push(a),
        HoleShape::Slot(a, b) => exprs.extend([a, b]),
        HoleShape::ArcSlot(a, line) => {
            exprs.extend([a, &line.radius].into_iter().chain(&line.ends))
        }
        HoleShape::TongueSlot(m) => {
            exprs.extend([&m.width, &m.fit].into_iter().chain(&m.plate).chain(&m.relief));
        }
    }
    match &set.pattern {
        Pattern::Single => {}
        Pattern::Span(a, b) | Pattern::Row(a, b) => exprs.extend([a, b]),
        Pattern::Grid(a, b, c) => exprs.extend([a, b, &c[0], &c[1]]),
        Pattern::Circle(c) => exprs.extend([&c.count, &c.diameter].into_iter().chain(&c.start)),
        Pattern::Along(_, a, b, c) => exprs.extend([a, b, c]),
        Pattern::Corners(a) => exprs.push(a),
    }
    let mut names: Vec<String> =
        exprs.iter().flat_map(|e| e.formula.names()).map(str::to_owned).collect();
    if let HoleShape::Insert(insert) = &set.shape {
        names.push(insert.name.clone());
    }
    names.sort();
    names.dedup();
    names
}
