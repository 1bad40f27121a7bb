//! TOML text as a tree in which every key and value has its position.
//!
//! Recipes and jobs are read from this tree by `Fields`, which reports everything
//! that is missing, unknown or of the wrong kind, all in one run.

mod fields;
mod label;
mod not_toml;
mod renamed;
mod tree;
mod wrong;

pub(crate) use fields::Fields;
pub use fields::Findings;
pub(crate) use label::unfit_label;
pub use renamed::RENAMED;
pub use renamed::Renamed;
pub(crate) use renamed::finding as renamed;
pub use renamed::now_called;
pub(crate) use tree::Entry;
pub use tree::Item;
pub use tree::Table;
pub use tree::Value;
pub(crate) use wrong::wrong_kind;

use crate::diag::Finding;
use crate::diag::SourceId;
use crate::diag::Span;
use indexmap::IndexMap;
use std::ops::Range;
use toml::de::DeTable;
use toml::de::DeValue;

/// Longest document, in bytes. Our choice: some ten thousand parts.
const LONGEST: usize = 4 << 20;

/// Reads a document.
///
/// # Errors
/// The first place where the text is not TOML: what follows is often only its echo.
pub fn read(source: SourceId, text: &str) -> Result<Table, Vec<Finding>> {
    if text.len() > LONGEST {
        let headline = format!("{} bytes are more than a recipe or job may have", text.len());
        return Err(vec![
            Finding::stop("too-many", headline)
                .at(Span { source, start: 0, end: 0 }, "")
                .help("split it into several jobs, or list the parts of a family in a CSV file"),
        ]);
    }
    let (table, errors) = DeTable::parse_recoverable(text);
    if errors.is_empty() {
        return convert_table(source, table.get_ref(), text);
    }
    let finding = |error: toml::de::Error| {
        not_toml::finding(source, text, error.message(), error.span().unwrap_or(0..0))
    };
    Err(errors.into_iter().take(1).map(finding).collect())
}

fn span(source: SourceId, at: Range<usize>) -> Span {
    Span { source, start: at.start, end: at.end }
}

fn convert_table(source: SourceId, table: &DeTable, text: &str) -> Result<Table, Vec<Finding>> {
    let mut entries = IndexMap::new();
    for (key, value) in table {
        let item = convert(source, value.get_ref(), value.span(), text)?;
        let key_span = span(source, key.span());
        entries.insert(key.get_ref().to_string(), Entry { key: key_span, item });
    }
    Ok(Table { entries })
}

fn convert(
    source: SourceId,
    value: &DeValue,
    at: Range<usize>,
    text: &str,
) -> Result<Item, Vec<Finding>> {
    let here = span(source, at.clone());
    let number = |text: &str| text.replace('_', "").parse::<f64>().unwrap_or(f64::NAN);
    let mut letters = here;
    let value = match value {
        DeValue::String(string) => {
            let raw = &text[at.clone()];
            if raw.len() == string.len() + 2 && raw[1..].starts_with(&**string) {
                letters = span(source, at.start + 1..at.end - 1);
            }
            Value::Text(string.to_string())
        }
        DeValue::Integer(integer) if integer.radix() != 10 => {
            let parsed = i64::from_str_radix(integer.as_str(), integer.radix());
            Value::Number(parsed.map_or(f64::NAN, |n| n as f64))
        }
        DeValue::Integer(integer) => Value::Number(number(integer.as_str())),
        DeValue::Float(float) => Value::Number(number(float.as_str())),
        DeValue::Boolean(flag) => Value::Flag(*flag),
        DeValue::Datetime(_) => {
            return Err(vec![
                Finding::stop("wrong-kind", "a date is not allowed here")
                    .at(here, "")
                    .help("put it in quotes if it is meant as text"),
            ]);
        }
        DeValue::Array(items) => Value::List(
            items
                .iter()
                .map(|i| convert(source, i.get_ref(), i.span(), text))
                .collect::<Result<_, _>>()?,
        ),
        DeValue::Table(table) => Value::Table(convert_table(source, table, text)?),
    };
    if let Value::Number(n) = value
        && !n.is_finite()
    {
        return Err(vec![
            Finding::stop("not-finite", "this is not a finite number")
                .at(here, "")
                .help("write an ordinary number"),
        ]);
    }
    Ok(Item { value, span: here, letters })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Sources;

    fn read_text(text: &str) -> Result<Table, Vec<Finding>> {
        read(Sources::default().add("x.toml", text), text)
    }

    #[test]
    fn values_know_where_they_stand() {
        let text = "a = \"30 mm\"\nb = 'x\\y'\nc = \"tab\\t\"\n";
        let table = read_text(text).unwrap();
        let letters = |name: &str| {
            let span = table.get(name).unwrap().item.letters;
            &text[span.start..span.end]
        };
        assert_eq!(letters("a"), "30 mm");
        assert_eq!(letters("b"), "x\\y");
        assert_eq!(letters("c"), "\"tab\\t\"");
    }

    #[test]
    fn all_that_is_wrong_is_said_at_once() {
        let text = "colour = 3\nflag = \"yes\"\ncount = 1.5\n";
        let table = read_text(text).unwrap();
        let findings = Findings::default();
        let here = Span { source: Sources::default().add("", ""), start: 0, end: 0 };
        let fields = Fields::new(&table, here, &findings);
        assert_eq!(fields.needed_text("reach", "\"30 mm\""), None);
        assert!(!fields.flag("flag"));
        assert_eq!(fields.count("count", 10), None);
        fields.finish();
        let codes: Vec<_> = findings.take().iter().map(|f| f.code).collect();
        assert_eq!(codes, ["missing-key", "wrong-kind", "wrong-kind", "unknown-key"]);
    }

    /// A key written with a slip in its name is not missing; nor is a key that the slip would give
    /// not needed.
    #[test]
    fn a_slip_in_a_key_is_said_alone() {
        for (text, wanted) in [
            ("raech = \"30 mm\"\nwide = \"9 mm\"\n", vec!["unknown-key"]),
            ("raech = \"30 mm\"\n", vec!["missing-key", "unknown-key"]),
            ("fomr = \"hem\"\n", vec!["unknown-key"]),
            ("colour = 3\n", vec!["missing-key", "missing-key", "unknown-key"]),
        ] {
            let table = read_text(text).unwrap();
            let findings = Findings::default();
            let here = Span { source: Sources::default().add("", ""), start: 0, end: 0 };
            let fields = Fields::new(&table, here, &findings);
            assert_eq!(fields.text("form"), None);
            assert_eq!(fields.needed_text("reach", "\"30 mm\""), None);
            assert_eq!(fields.needed_text("wide", "\"9 mm\"").is_some(), text.contains("wide"));
            fields.finish();
            let codes: Vec<_> = findings.take().iter().map(|f| f.code).collect();
            assert_eq!(codes, wanted, "{text}");
        }
    }

    #[test]
    fn broken_text_is_refused_with_its_place() {
        let found = read_text("a = \nb = \"x\n").unwrap_err();
        assert_eq!(found.len(), 1, "{found:?}");
        assert!(found.iter().all(|f| f.code == "not-toml" && !f.marks.is_empty()));
        assert_eq!(read_text("a = nan").unwrap_err()[0].code, "not-finite");
        assert_eq!(read_text("a = 1e999").unwrap_err()[0].code, "not-finite");
        assert_eq!(read_text("a = 2020-01-01").unwrap_err()[0].code, "wrong-kind");
        let deep = format!("a = {}1{}", "[".repeat(5000), "]".repeat(5000));
        assert!(read_text(&deep).is_err());
    }
}
