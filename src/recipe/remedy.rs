//! What to type if a requirement of a recipe is not met: for the inputs it depends on, the nearest
//! value that meets it, every limit, and every other requirement that is met now.

use crate::document::Findings;
use crate::formula::Value;
use crate::quantity::Dimension;
use crate::quantity::Quantity;
use crate::quantity::Units;
use crate::recipe::evaluate::Evaluator;
use crate::recipe::expr::Expr;
use crate::recipe::input::Input;
use crate::recipe::kind::Kind;
use crate::recipe::surroundings::OF_PROCESS;
use crate::recipe::surroundings::Surroundings;
use crate::recipe::typed::Typed;
use crate::recipe::whole::Require;

/// More choices than this are not named.
const MAX_CHOICES: usize = 2;

/// A value is tried this many times further away, each time twice as far: from a twentieth
/// of itself to some fifty times.
const MAX_DOUBLINGS: i32 = 11;

/// Halvings between the last value that fails and the first that passes: to a millionth of the
/// span.
const HALVINGS: usize = 20;

/// Number of steps from the present thickness within which another sheet is sought.
const MAX_STEPS: u32 = 30;

/// The help for a requirement that is not met: what meets all of them, or else those that are met now
/// as well.
pub(super) fn help(at: &Evaluator, require: &Require) -> String {
    let met = |r: &&Require| matches!(at.formula(&r.that), Some(Value::Flag(true)));
    let kept: Vec<&Require> = at.recipe.requires.iter().filter(met).chain([require]).collect();
    let all: Vec<&Require> = at.recipe.requires.iter().collect();
    if kept.len() < all.len() {
        let finer = || sheet(at, &all).map(another_sheet).or_else(|| process(at, &all));
        let of_process = || is_of_process(at).then(finer).flatten();
        if let Some(help) = typed(at, require, &all).or_else(of_process) {
            return help;
        }
    }
    if let Some(help) = typed(at, require, &kept) {
        return help;
    }
    if at.recipe.inputs.is_empty() {
        return "the recipe has no inputs: use another sheet, or change the recipe".to_owned();
    }
    let otherwise = || process(at, &kept).filter(|_| is_of_process(at));
    sheet(at, &kept)
        .map(another_sheet)
        .or_else(otherwise)
        .unwrap_or_else(|| "no single input corrects this: change several of them".to_owned())
}

fn another_sheet(thickness: String) -> String {
    format!("use a sheet of about {thickness}, or change several of the inputs")
}

/// The values to type by which all that is kept is met.
fn typed(at: &Evaluator, require: &Require, kept: &[&Require]) -> Option<String> {
    // The inputs named in the recipe's own sentence are those its author would change, in that
    // order.
    let place = |name: &&str| require.otherwise.find(&format!("`{name}`"));
    let (mut named, other): (Vec<&str>, Vec<&str>) =
        inputs(at, require).into_iter().partition(|name| place(name).is_some());
    named.sort_by_key(place);
    for inputs in [named, other] {
        let sizes = inputs.iter().filter_map(|name| size(at, kept, name));
        let words = inputs.iter().filter_map(|name| word(at, kept, name));
        let choices: Vec<String> = sizes.chain(words).take(MAX_CHOICES).collect();
        if !choices.is_empty() {
            return Some(format!("write {}", choices.join(" or ")));
        }
    }
    None
}

/// Whether a requirement depends on the process.
fn is_of_process(at: &Evaluator) -> bool {
    let mut names = at.recipe.requires.iter().flat_map(|require| behind(at, require));
    names.any(|name| OF_PROCESS.contains(&name))
}

/// Other processes that cut smaller holes, and by which all that is kept is met: in this sheet, or else
/// in one of another thickness.
fn process(at: &Evaluator, kept: &[&Require]) -> Option<String> {
    let hole = |of: &Surroundings| match of.values.get("min_hole") {
        Some(Value::Quantity(hole)) => hole.value,
        _ => 0.0,
    };
    let rows = at.tables.table("process")?.rows();
    let others = rows.filter(|row| at.surroundings.process().is_some_and(|own| own != row.name()));
    let others = others.map(|row| (row.name(), at.surroundings.clone().cut_by(row)));
    let finer = |(_, of): &(&str, Surroundings)| hole(of) < hole(at.surroundings);
    let finer: Vec<(&str, Surroundings)> = others.filter(finer).collect();
    let here = |(_, of): &&(&str, Surroundings)| holds_in(at, kept, of);
    let here: Vec<&str> = finer.iter().filter(here).map(|(name, _)| *name).collect();
    let cut_by =
        |names: &[&str]| format!("have it cut by a finer process, such as {}", names.join(" or "));
    if !here.is_empty() {
        return Some(cut_by(&here));
    }
    let (name, thickness) = finer.iter().find_map(|(name, of)| {
        let other = Evaluator::new(at.recipe, at.typed, of, at.tables, at.findings);
        Some((name, sheet(&other, kept)?))
    })?;
    Some(format!("{}, from a sheet of about {thickness}", cut_by(&[name])))
}

/// The thickness of the sheet, as it is shown, nearest to the present one that meets all
/// requirements. Other properties of the sheet, such as its bend radius, are left as they are.
fn sheet(at: &Evaluator, kept: &[&Require]) -> Option<String> {
    let units = at.surroundings.units;
    let Some(Value::Quantity(now)) = at.surroundings.values.get("thickness") else { return None };
    let step = step(*now, units, &Kind::Number(Dimension::LENGTH, "length"));
    let whole = |k: u32, way: f64| ((now.value / step) + way * f64::from(k)).round() * step;
    let mut tried = (1..=MAX_STEPS).flat_map(|k| [1.0, -1.0].map(|way| whole(k, way)));
    let value = tried.find(|thickness| *thickness > 0.0 && holds_of(at, kept, *thickness))?;
    Some(Quantity { value, ..*now }.show(units))
}

/// Whether all requirements are met with a sheet of this thickness, mm.
fn holds_of(at: &Evaluator, kept: &[&Require], thickness: f64) -> bool {
    holds_in(at, kept, &at.surroundings.of_thickness(thickness))
}

/// Whether all requirements are met in other surroundings.
fn holds_in(at: &Evaluator, kept: &[&Require], surroundings: &Surroundings) -> bool {
    let findings = Findings::default();
    let trial = Evaluator::new(at.recipe, at.typed, surroundings, at.tables, &findings);
    is_whole(&trial, kept) && findings.is_empty()
}

/// The inputs on which the requirement depends: those that it names, then those behind them.
/// A radius that comes from the sheet is excluded: its metal requires it.
fn inputs<'a>(at: &Evaluator<'a>, require: &'a Require) -> Vec<&'a str> {
    let of_sheet = |name: &str| match at.typed.get(name) {
        Some(Typed::Formula(expr)) => expr.formula.names() == ["bend_radius"],
        _ => false,
    };
    let mut names = behind(at, require);
    names.retain(|name| at.recipe.inputs.contains_key(*name) && !of_sheet(name));
    names
}

/// All names on which a requirement depends: those that it names, then those behind them.
fn behind<'a>(at: &Evaluator<'a>, require: &'a Require) -> Vec<&'a str> {
    let mut names = require.that.formula.names();
    let mut next = 0;
    while let Some(name) = names.get(next) {
        let default = at.typed.get(*name).map_or(Vec::new(), Typed::formulas);
        let behind: Vec<&'a Expr> = at.recipe.derived.get(*name).map_or(default, |expr| vec![expr]);
        for name in behind.into_iter().flat_map(|expr| expr.formula.names()) {
            if !names.contains(&name) {
                names.push(name);
            }
        }
        next += 1;
    }
    names
}

/// An input that is a number, with the nearest value that passes, as it is typed.
fn size(at: &Evaluator, kept: &[&Require], name: &str) -> Option<String> {
    let input = at.recipe.inputs.get(name)?;
    let (Kind::Number(..) | Kind::Count) = input.kind else { return None };
    let Some(Value::Quantity(now)) = at.value(name) else { return None };
    let step = step(now, at.surroundings.units, &input.kind);
    let ways = [1.0, -1.0].map(|way| nearest(at, kept, name, now, way * step));
    let apart = |value: &f64| (value - now.value).abs();
    let value = ways.into_iter().flatten().min_by(|a, b| apart(a).total_cmp(&apart(b)))?;
    let typed = Quantity { value, ..now }.show(at.surroundings.units);
    Some(format!("`{name} = \"{typed}\"`"))
}

/// The step to which a value is rounded.
fn step(now: Quantity, units: Units, kind: &Kind) -> f64 {
    match (kind, now.dimension, units) {
        (Kind::Count, ..) | (_, Dimension::ANGLE, _) => 1.0,
        (_, Dimension::LENGTH, Units::Inch) => crate::quantity::MM_PER_INCH / 64.0,
        (_, Dimension::LENGTH, Units::Millimetre) => 0.5,
        _ => now.value.abs().max(1.0) / 100.0,
    }
}

/// The value nearest to `now` in the direction of `step`, a whole number of steps, that meets all
/// requirements.
fn nearest(at: &Evaluator, kept: &[&Require], name: &str, now: Quantity, step: f64) -> Option<f64> {
    let good = |value: f64| is_met(at, kept, name, Value::Quantity(Quantity { value, ..now }));
    // The next whole number of steps in the direction of the step.
    let whole = |value: f64| (value / step - 1e-9).ceil() * step;
    let reach = |k: i32| {
        whole(
            now.value + step.signum() * 0.05 * now.value.abs().max(step.abs()) * f64::from(1 << k),
        )
    };
    let far = (0..MAX_DOUBLINGS).find(|k| good(reach(*k)))?;
    let mut bad = if far == 0 { now.value } else { reach(far - 1) };
    let mut best = reach(far);
    for _ in 0..HALVINGS {
        let middle = whole((bad + best) / 2.0);
        if (middle - best).abs() < 1e-9 || (middle - bad).abs() < 1e-9 {
            break;
        }
        if good(middle) { best = middle } else { bad = middle }
    }
    let before = best - step;
    Some(if (before - now.value) * step > 0.0 && good(before) { before } else { best })
}

/// An input that is a row of a table or one of a few words, with the nearest that passes, as it is
/// typed.
fn word(at: &Evaluator, kept: &[&Require], name: &str) -> Option<String> {
    let now = at.value(name)?;
    let values: Vec<Value> = match &at.recipe.inputs.get(name)?.kind {
        Kind::Row(table) => at.tables.table(table)?.rows().cloned().map(Value::Row).collect(),
        Kind::Choice(words) => words.iter().map(|word| Value::Text(word.as_str().into())).collect(),
        _ => return None,
    };
    let shown = |value: &Value| value.show(at.surroundings.units);
    let here = values.iter().position(|value| shown(value) == shown(&now))?;
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by_key(|i| i.abs_diff(here));
    let found = order.into_iter().find(|i| is_met(at, kept, name, values[*i].clone()))?;
    Some(format!("`{name} = \"{}\"`", shown(&values[found])))
}

/// Whether every limit and these requirements are met with this value of an input.
fn is_met(at: &Evaluator, kept: &[&Require], name: &str, value: Value) -> bool {
    let findings = Findings::default();
    is_whole(&at.with(name, value, &findings), kept) && findings.is_empty()
}

/// Whether all names have values, within their limits and as required.
fn is_whole(trial: &Evaluator, kept: &[&Require]) -> bool {
    let values = trial.all();
    let whole = trial.recipe.names().count();
    let limited = |(name, input): (&String, &Input)| {
        values.get(name).is_none_or(|value| {
            trial.broken_limits(name, input, value).is_empty()
                && trial.miscounted(name, input, value).is_none()
        })
    };
    values.len() == whole
        && trial.recipe.inputs.iter().all(limited)
        && kept.iter().all(|r| matches!(trial.formula(&r.that), Some(Value::Flag(true))))
}
