//! The names of a recipe: words that formulas can hold, each with one meaning.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Findings;
use crate::document::Table;
use crate::document::Value;
use crate::recipe::each::Each;
use crate::recipe::each::NUMBER;
use crate::recipe::surroundings::IMPLICIT;
use crate::recipe::whole::Recipe;

/// Most inputs and formulas of a recipe. Our choice: beyond it lies a slip of a script.
const MAX_NAMES: usize = 1000;

/// Words of the formula language.
const RESERVED: &[&str] = &["if", "then", "else", "and", "or", "not", "true", "false", "pi"];

/// Reports names that no formula can hold or that have two meanings.
pub(super) fn check(recipe: &Recipe, table: &Table, findings: &Findings) {
    let names = recipe.inputs.len() + recipe.derived.len();
    if names > MAX_NAMES {
        let last = table.get("derived").or(table.get("inputs")).map(|entry| entry.key);
        let headline = format!("{names} inputs and formulas are more than {MAX_NAMES}");
        let finding = Finding::stop("too-many", headline).help("split it into several recipes");
        findings.add(last.into_iter().fold(finding, |f, span| f.at(span, "")));
        return;
    }
    let key_of = |section: &str, name: &str| match &table.get(section)?.item.value {
        Value::Table(table) => table.get(name).map(|e| e.key),
        _ => None,
    };
    let words = recipe.inputs.keys().map(|n| ("inputs", n));
    for (section, name) in words.chain(recipe.derived.keys().map(|n| ("derived", n))) {
        let Some(key) = key_of(section, name) else { continue };
        let twice = section == "derived" && recipe.inputs.contains_key(name);
        one(name, key, twice, findings);
    }
    for each in repeated(recipe) {
        for ((name, _), key) in each.lists.iter().zip(&each.keys) {
            let twice = name == NUMBER || is_declared(recipe, name);
            one(name, *key, twice, findings);
        }
        if is_declared(recipe, NUMBER) {
            let headline = format!("`{NUMBER}` already has a meaning");
            findings.add(Finding::stop("bad-name", headline).at(each.span, "").help(format!(
                "here `{NUMBER}` is the number of the member: give the input or formula of this \
                 name another"
            )));
        }
    }
}

fn is_declared(recipe: &Recipe, name: &str) -> bool {
    recipe.inputs.contains_key(name) || recipe.derived.contains_key(name)
}

/// Every `each` of the recipe.
fn repeated(recipe: &Recipe) -> impl Iterator<Item = &Each> {
    recipe.faces.values().flat_map(|face| {
        let steps = face.blank.iter().filter_map(|step| step.each.as_ref());
        let holes = face.holes.iter().filter_map(|set| set.each.as_ref());
        let marks = face.marks.iter().filter_map(|mark| mark.each.as_ref());
        let welds = face.welds.iter().filter_map(|weld| weld.each.as_ref());
        steps.chain(holes).chain(marks).chain(welds)
    })
}

/// Reports a name that formulas cannot hold, or that has a meaning already: as one of the
/// names that need no declaration, or `twice`.
fn one(name: &str, key: Span, twice: bool, findings: &Findings) {
    let letters = |c: char| c.is_alphanumeric() || c == '_';
    if !name.chars().all(letters)
        || name.starts_with(|c: char| c.is_ascii_digit())
        || RESERVED.contains(&name)
        || name.len() > 64
    {
        let headline = format!("`{name}` cannot be used in a formula");
        findings.add(
            Finding::stop("bad-name", headline).at(key, "").help(
                "names have letters, digits and `_`, and are not words of the formula language",
            ),
        );
    }
    if twice || IMPLICIT.iter().any(|(implicit, _)| *implicit == name) {
        let headline = format!("`{name}` already has a meaning");
        findings.add(Finding::stop("bad-name", headline).at(key, "").help("choose another name"));
    }
}
