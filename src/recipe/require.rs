//! The conditions on the inputs of a recipe: their limits, and its requirements.

use crate::diag::Finding;
use crate::diag::Span;
use crate::formula::Value;
use crate::recipe::evaluate::Evaluator;
use crate::recipe::input::Input;
use crate::recipe::kind::Kind;
use crate::recipe::remedy;
use crate::recipe::typed::Typed;
use crate::recipe::whole::Require;

/// Checks the value of an input, as it was typed, against the input's limits.
pub(super) fn check_limits(
    at: &Evaluator,
    name: &str,
    input: &Input,
    value: &Value,
    typed: &Typed,
) {
    if let Some((is, wanted)) = at.miscounted(name, input, value) {
        let values = |n: usize| if n == 1 { "1 value".to_owned() } else { format!("{n} values") };
        let headline = format!("`{name}` has {}, but it needs {}", values(is), values(wanted));
        let finding = Finding::stop("out-of-range", headline).at(typed.span(), "");
        let finding = input.count.iter().fold(finding, |f, count| f.at(count.span, "the count"));
        at.findings.add(finding.help(format!("give it {}: {}", values(wanted), input.about)));
    }
    for broken in at.broken_limits(name, input, value) {
        let word = if broken.lowest { "at least" } else { "at most" };
        let units = at.surroundings.units;
        let (is, bound) = (broken.is.show(units), broken.bound.show(units));
        let (called, help) = match input.kind {
            Kind::List(_) => {
                (format!("{name}[{}]", broken.index + 1), format!("write `\"{bound}\"` there"))
            }
            _ => (name.to_owned(), format!("write `{name} = \"{bound}\"`")),
        };
        let span = typed.part(broken.index);
        let headline = format!("`{called}` is {is}, but must be {word} {bound}");
        let finding = Finding::stop("out-of-range", headline)
            .at(span, "")
            .at(broken.limit.span, "the limit")
            .help(help);
        at.findings.add(match input.kind {
            Kind::List(_) => finding,
            _ => finding.fix_of(name, bound),
        });
    }
}

/// Checks the values against the requirements of the recipe. `here` is where to point when none of
/// the values was typed.
pub(super) fn check_requires(at: &Evaluator, here: Span) {
    for require in &at.recipe.requires {
        match at.formula(&require.that) {
            None | Some(Value::Flag(true)) => {}
            Some(Value::Flag(false)) => at.findings.add(broken(at, require, here)),
            Some(other) => {
                let headline =
                    format!("a condition must be true or false, but this is {}", other.kind());
                at.findings.add(
                    Finding::stop("formula", headline)
                        .at(require.that.span, "")
                        .help("compare two values, such as `reach > eye`"),
                );
            }
        }
    }
}

fn broken(at: &Evaluator, require: &Require, here: Span) -> Finding {
    let names = require.that.formula.names();
    let mut finding = Finding::stop("requirement", require.otherwise.clone());
    let mut spans: Vec<Span> =
        names.iter().filter_map(|name| at.typed.get(*name).map(Typed::span)).collect();
    // The values of the job are the ones to change; defaults made it so.
    spans.sort_by_key(|span| span.source != here.source);
    for span in spans {
        finding = finding.at(span, "");
    }
    if finding.marks.is_empty() {
        finding = finding.at(here, "");
    }
    let units = at.surroundings.units;
    let values =
        names.iter().filter_map(|name| Some(format!("{name} = {}", at.value(name)?.show(units))));
    let values: Vec<String> = values.collect();
    let finding = finding.at(require.that.span, "must hold");
    match values.is_empty() {
        true => finding.help("use another sheet, or change the requirement"),
        false => finding.note(values.join(", ")).help(remedy::help(at, require)),
    }
}
