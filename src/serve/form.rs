//! The form of a part: a field for each input of its recipe.

use crate::diag::Sources;
use crate::diag::Span;
use crate::job::Shelf;
use crate::quantity::Units;
use crate::recipe;
use crate::recipe::Input;
use crate::recipe::Kind;
use crate::recipe::Others;
use crate::recipe::Recipe;
use crate::table::Cell;
use crate::table::Row;
use crate::table::Tables;
use std::cell::RefCell;
use std::collections::HashMap;
use std::ops::Range;
use std::sync::Arc;
use std::sync::Mutex;
use std::sync::PoisonError;

/// Dimensions that are shown beside the name of a row. Our choice.
const MEASURES: usize = 3;

/// The inputs of a recipe.
#[derive(Debug)]
pub(super) struct Form {
    /// How findings call the recipe.
    pub(super) source: String,
    /// The description of the part.
    pub(super) about: String,
    pub(super) inputs: Vec<FormInput>,
    /// The recipe itself.
    pub(super) recipe: Recipe,
}

/// An input.
#[derive(Debug)]
pub(super) struct FormInput {
    pub(super) key: String,
    pub(super) kind: Kind,
    /// The default as typed.
    pub(super) default: Option<String>,
    pub(super) min: Option<String>,
    pub(super) max: Option<String>,
    pub(super) about: String,
    /// How often the recipe refers to it: an input that many features depend on is named often.
    pub(super) named: usize,
    /// The inputs whose defaults are measures of this row: given, they take its place.
    pub(super) gives: Vec<String>,
    /// Where it is spoken of in the recipe.
    places: Vec<Range<usize>>,
}

impl Form {
    /// The input that a place of the recipe belongs to.
    pub(super) fn input_at(&self, at: usize) -> Option<&str> {
        let holds = |asked: &&FormInput| asked.places.iter().any(|place| place.contains(&at));
        self.inputs.iter().find(holds).map(|asked| asked.key.as_str())
    }

    fn read(name: &str, path: &str, text: &str, shelf: &Shelf) -> Option<Self> {
        let mut sources = Sources::default();
        let source = sources.add(path, text);
        let kept = RefCell::new(&mut sources);
        let find = |name: &str| {
            let (path, text) = (shelf.recipe)(name)?;
            Some((kept.borrow_mut().add(path, &text), text))
        };
        let others = Others::new(&find, shelf.names);
        let recipe = recipe::read_among(name, source, text, shelf.drawing, &others).ok()?;
        let letters = |span: Span| text.get(span.start..span.end).unwrap_or_default().to_owned();
        let asked = |(key, input): (&String, &Input)| {
            let limit = |limit: &Option<recipe::Expr>| limit.as_ref().map(|e| letters(e.span));
            let spans = [Some(input.span), input.default.as_ref().map(recipe::Typed::span)];
            let limits =
                [&input.min, &input.max, &input.count].map(|limit| limit.as_ref().map(|e| e.span));
            let places = spans.into_iter().chain(limits).flatten();
            let measure = format!("{key}.");
            let is_of = |of: &Input| {
                let default = of.default.as_ref().map(|typed| typed.shown(&letters));
                default.is_some_and(|default| default.starts_with(&measure))
            };
            FormInput {
                key: key.clone(),
                kind: input.kind.clone(),
                default: input.default.as_ref().map(|typed| typed.shown(&letters)),
                min: limit(&input.min),
                max: limit(&input.max),
                about: input.about.clone(),
                gives: recipe
                    .inputs
                    .iter()
                    .filter(|(_, of)| is_of(of))
                    .map(|(k, _)| k.clone())
                    .collect(),
                named: words(text).filter(|word| word == key).count(),
                places: places.map(|span| span.start..span.end).collect(),
            }
        };
        let inputs = recipe.inputs.iter().map(asked).collect();
        Some(Self { source: path.to_owned(), about: recipe.about.clone(), inputs, recipe })
    }
}

/// The words of a text that may be names.
fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| !c.is_alphanumeric() && c != '_')
}

/// A text, and the form read from it; `None` if it cannot be read.
type ReadOnce = (String, Option<Arc<Form>>);

/// The forms requested, each read once for a text.
#[derive(Debug, Default)]
pub(super) struct Forms(Mutex<HashMap<String, ReadOnce>>);

impl Forms {
    /// The form of a recipe; `None` if there is none, or it cannot be read.
    pub(super) fn of(&self, name: &str, shelf: &Shelf) -> Option<Arc<Form>> {
        let (path, text) = (shelf.recipe)(name)?;
        let mut forms = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, form)) = forms.get(name).filter(|(read, _)| *read == text) {
            return form.clone();
        }
        let form = Form::read(name, &path, &text, shelf).map(Arc::new);
        forms.insert(name.to_owned(), (text, form.clone()));
        form
    }
}

/// The rows of a table by name, each with a description.
pub(super) fn rows(tables: &Tables, table: &str, units: Units) -> Vec<[String; 2]> {
    let rows = tables.table(table).into_iter().flat_map(|table| table.rows());
    rows.map(|row| [row.name().to_owned(), description(row, units)]).collect()
}

fn description(row: &Row, units: Units) -> String {
    let measure = |(name, cell): (&str, &Cell)| match cell {
        Cell::Quantity(quantity) => {
            let value = crate::formula::Value::Quantity(*quantity).show(units);
            Some(format!("{} {value}", name.replace('_', " ")))
        }
        Cell::Text(_) => None,
    };
    let measures: Vec<String> = row.fields().filter_map(measure).take(MEASURES).collect();
    match measures.is_empty() {
        true => row.name().to_owned(),
        false => format!("{}: {}", row.name(), measures.join(", ")),
    }
}
