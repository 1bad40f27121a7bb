//! The values a job gives for the inputs of a recipe.

use crate::diag::Finding;
use crate::diag::Span;
use crate::diag::nearest;
use crate::document::Entry;
use crate::document::Findings;
use crate::document::Item;
use crate::document::now_called;
use crate::recipe::kind::Kind;
use crate::recipe::typed::Typed;
use crate::recipe::whole::Recipe;
use crate::table::Tables;
use indexmap::IndexMap;

/// The text typed for each input: the job's value, read by `read`, else the default.
pub(super) fn typed_values(
    recipe: &Recipe,
    given: &[(&str, &Entry)],
    here: Span,
    read: &dyn Fn(&Kind, &Item) -> Option<Typed>,
    tables: &Tables,
    findings: &Findings,
) -> IndexMap<String, Typed> {
    let mut typed = IndexMap::new();
    for (name, entry) in given {
        let Some(input) = recipe.inputs.get(*name) else {
            let renamed = now_called(name, |new| recipe.inputs.contains_key(new));
            let near = || nearest(name, recipe.inputs.keys().map(String::as_str));
            let help = match renamed.or_else(near) {
                Some(near) => format!("write `{near}`"),
                None => {
                    let names: Vec<String> =
                        recipe.inputs.keys().map(|n| format!("`{n}`")).collect();
                    format!("its inputs are {}", names.join(", "))
                }
            };
            let headline = format!("recipe `{}` has no input `{name}`", recipe.name);
            findings.add(Finding::stop("unknown-input", headline).at(entry.key, "").help(help));
            continue;
        };
        if let Some(value) = read(&input.kind, &entry.item) {
            typed.insert((*name).to_owned(), value);
        }
    }
    for (name, input) in &recipe.inputs {
        if typed.contains_key(name) || given.iter().any(|(given, _)| given == name) {
            continue;
        }
        match &input.default {
            Some(default) => {
                typed.insert(name.clone(), default.clone());
            }
            None => findings.add(
                Finding::stop("missing-input", format!("`{name}` must be given: {}", input.about))
                    .at(here, "")
                    .help(format!("add `{name} = {}`", input.kind.example(tables))),
            ),
        }
    }
    typed
}
