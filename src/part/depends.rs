//! The names on which the geometry depends.

use crate::part::values::Values;
use crate::recipe::Expr;
use crate::recipe::HoleSet;
use crate::recipe::HoleShape;
use crate::recipe::NUMBER;
use crate::recipe::Pattern;
use crate::recipe::Spacing;

/// The names that some formulas ask for, in their order, each once.
pub(super) fn names<'a>(exprs: impl IntoIterator<Item = &'a Expr>) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for name in exprs.into_iter().flat_map(|expr| expr.formula.names()) {
        if !names.iter().any(|known| known == name) {
            names.push(name.to_owned());
        }
    }
    names
}

/// The names that the size and the place of a set of holes depend on.
pub(super) fn of(set: &HoleSet, values: &Values) -> Vec<String> {
    let mut exprs: Vec<&Expr> =
        set.at.iter().chain(&set.rotate).chain(&set.pilot).chain(&set.without).collect();
    exprs.extend(set.recess.iter().flat_map(|recess| recess.measures()));
    exprs.extend(set.flare.iter().flat_map(|flare| flare.measures()));
    match &set.shape {
        HoleShape::Insert(_) | HoleShape::Like => {}
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
        Pattern::Single | Pattern::Like => {}
        Pattern::Span(a, b) => exprs.extend([a, b]),
        Pattern::Row(spacing, _) => exprs.extend(spacing.exprs()),
        Pattern::Grid(both) => exprs.extend(both.iter().flat_map(Spacing::exprs)),
        Pattern::Circle(c) => {
            exprs.extend([&c.count, &c.diameter].into_iter().chain(&c.start).chain(&c.pitch));
        }
        Pattern::Along(_, amount, b, c) => exprs.extend([amount.expr(), b, c]),
        Pattern::Corners(a) => exprs.push(a),
    }
    // A name of a repeated entry refers to the names of its list.
    let lists = set.each.iter().flat_map(|each| &each.lists);
    exprs.extend(lists.clone().map(|(_, list)| list));
    let local = |name: &&str| lists.clone().any(|(local, _)| local == name) || *name == NUMBER;
    let names = exprs.iter().flat_map(|e| e.formula.names()).filter(|name| !local(name));
    let mut names: Vec<String> = names.map(str::to_owned).collect();
    if let HoleShape::Insert(insert) = &set.shape {
        names.push(insert.name.word.clone());
    }
    names.sort();
    names.dedup();
    values.outside(names, set.span)
}
