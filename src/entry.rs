//! Values as they are in a job or a shop file: quantities with their units, rows of tables.

mod coating;
mod figures;
mod lengths;
mod names;

pub use coating::Coating;
pub(crate) use figures::has;
pub(crate) use lengths::lengths_in;
pub(crate) use names::file_word;
pub(crate) use names::unfit_for_files;
pub(crate) use names::unfit_name;

use crate::bend::Method;
use crate::bend::Rule;
use crate::diag::Finding;
use crate::diag::Span;
use crate::document;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::num;
use crate::quantity;
use crate::quantity::Dimension;
use crate::quantity::N_PER_LBF;
use crate::quantity::Reading;
use crate::table::Row;
use crate::table::Tables;
use crate::table::in_words;
use std::collections::HashMap;
use std::sync::Arc;

/// m/s² of standard gravity, by the third CGPM (1901).
const STANDARD_GRAVITY: f64 = 9.80665;

/// A length in mm, 0 or more; a finding when it is none.
pub(crate) fn length(item: &Item, findings: &Findings) -> Option<f64> {
    let mm = measure(item, Dimension::LENGTH, "a length", "mm", findings)?;
    if mm >= 0.0 {
        return Some(mm);
    }
    findings.add(
        Finding::stop("wrong-unit", "a length of 0 or more is needed here")
            .at(item.letters, "")
            .help("remove the minus sign"),
    );
    None
}

/// A length in mm, more than 0; a finding with this help when it is none.
pub(crate) fn size(item: &Item, help: &str, findings: &Findings) -> Option<f64> {
    let mm = length(item, findings)?;
    if mm > 0.0 {
        return Some(mm);
    }
    let finding = Finding::stop("out-of-range", "a length of more than 0 is needed here");
    findings.add(finding.at(item.letters, "").help(help));
    None
}

/// A length in mm, which may be less than 0; a finding when it is none.
pub(crate) fn coordinate(item: &Item, findings: &Findings) -> Option<f64> {
    measure(item, Dimension::LENGTH, "a length", "mm", findings)
}

/// A list of lengths by name, each 0 mm or more. If they are in one text, that is reported with the
/// list to type.
pub(crate) fn lengths(fields: &Fields, name: &str) -> Option<Vec<f64>> {
    let findings = fields.findings();
    if let Some(item) = fields.get(name)
        && let Some(all) = item.text().and_then(lengths_in)
    {
        let listed: Vec<String> = all.iter().map(|one| format!("\"{one}\"")).collect();
        findings.add(
            Finding::stop(
                "wrong-kind",
                format!("`{name}` is a list of lengths, each in its own quotes"),
            )
            .at(item.span, "")
            .help(format!("write `{name} = [{}]`", listed.join(", "))),
        );
        return None;
    }
    match fields.get(name)?.value {
        Value::List(_) => {
            // Errors are reported for all of them.
            let all = fields.list(name).iter().map(|item| length(item, findings));
            all.collect::<Vec<_>>().into_iter().collect()
        }
        // Said there.
        _ => {
            fields.list(name);
            None
        }
    }
}

/// A point of two lengths in mm; a finding when it is none. `axes` are the words for its
/// two directions.
pub(crate) fn point(item: &Item, axes: [&str; 2], findings: &Findings) -> Option<[f64; 2]> {
    let [first, second] = axes;
    let Value::List(pair) = &item.value else {
        let wanted = format!("a point, `[\"{first}\", \"{second}\"]`,");
        findings.add(document::wrong_kind(item, &wanted));
        return None;
    };
    let [x, y] = pair.as_slice() else {
        let headline = format!("a point has two coordinates: {first} and {second}");
        findings.add(
            Finding::stop("wrong-kind", headline)
                .at(item.span, "")
                .help("write `[\"-60 mm\", \"40 mm\"]`"),
        );
        return None;
    };
    let (x, y) = (coordinate(x, findings), coordinate(y, findings));
    Some([x?, y?])
}

/// The corners of an outline in order, each a [`point`]; none when one of them is no point.
pub(crate) fn corners(
    items: &[Item],
    axes: [&str; 2],
    findings: &Findings,
) -> Option<Vec<[f64; 2]>> {
    let read: Vec<_> = items.iter().filter_map(|item| point(item, axes, findings)).collect();
    (read.len() == items.len()).then_some(read)
}

/// Entries of one kind are distinguished by their names; a finding for each that has the name of
/// one before it. `what` is their plural, each name is with its position.
pub(crate) fn names_differ<'a>(
    what: &str,
    named: impl IntoIterator<Item = (&'a str, Span)>,
    findings: &Findings,
) {
    let help = "give one of them another name";
    differ(what, named, str::to_owned, help, findings);
}

/// The same for names that become those of files, which are one on some systems where they
/// differ in case only.
pub(crate) fn file_names_differ<'a>(
    what: &str,
    named: impl IntoIterator<Item = (&'a str, Span)>,
    findings: &Findings,
) {
    let help = "give one of them another name; names that differ only in case are the same";
    differ(what, named, str::to_lowercase, help, findings);
}

fn differ<'a>(
    what: &str,
    named: impl IntoIterator<Item = (&'a str, Span)>,
    key: impl Fn(&str) -> String,
    help: &str,
    findings: &Findings,
) {
    let mut seen: HashMap<String, Span> = HashMap::new();
    for (name, span) in named {
        if let Some(other) = seen.insert(key(name), span) {
            findings.add(
                Finding::stop("duplicate-name", format!("two {what} are called `{name}`"))
                    .at(span, "")
                    .at(other, "the other")
                    .help(help),
            );
        }
    }
}

/// A quantity of this dimension in base units; a finding when it is another. A plain 0 serves
/// for any. `what` names it with its article, `unit` is one it may have.
pub(crate) fn measure(
    item: &Item,
    dimension: Dimension,
    what: &str,
    unit: &str,
    findings: &Findings,
) -> Option<f64> {
    let Some(text) = item.text() else {
        let finding = document::wrong_kind(item, &format!("{what} with its unit"));
        findings.add(match item.value {
            Value::Number(number) => {
                let written = format!("{number} {unit}");
                finding.help(format!("write `\"{written}\"`, in quotes")).fix(written)
            }
            _ => finding,
        });
        return None;
    };
    let refuse = |at: Span, headline: String, help: String| {
        findings.add(Finding::stop("wrong-unit", headline).at(at, "").help(help));
        None
    };
    let offer = |headline: String, values: &[String]| {
        findings.add(Finding::stop("wrong-unit", headline).at(item.letters, "").write(values));
        None
    };
    match quantity::read(text) {
        Ok(Reading::Quantity(q)) if q.dimension == dimension => Some(q.value),
        Ok(Reading::Quantity(q)) if q.dimension == Dimension::NONE && q.value == 0.0 => Some(0.0),
        Ok(Reading::Quantity(q)) => {
            let number = num::text(q.value, 4);
            let headline = format!("{what} is needed here, but this is {}", q.dimension);
            let written = |unit: &str| format!("{number} {unit}");
            match dimension {
                Dimension::LENGTH => offer(headline, &["mm", "in"].map(written)),
                Dimension::FORCE if q.dimension == Dimension::MASS => {
                    refuse(item.letters, headline, weighs(q.value))
                }
                _ => offer(headline, &[written(unit)]),
            }
        }
        Ok(Reading::Gauge { .. }) => refuse(
            item.letters,
            format!("{what} is needed here, but this is a gauge"),
            format!("write {what} with its unit"),
        ),
        Err(error) => {
            let at = error.at().map_or(item.letters, |at| item.letters.part(at));
            let finding = Finding::stop("wrong-unit", error.to_string()).at(at, "");
            let finding = finding.help(error.help());
            findings.add(error.fix(text).into_iter().fold(finding, Finding::fix));
            None
        }
    }
}

/// What to write for a mass, kg, where a force is wanted: never the same number in kN.
fn weighs(kg: f64) -> String {
    let newtons = kg * STANDARD_GRAVITY;
    let (kn, lbf) = (num::text(newtons / 1000.0, 4), num::text(newtons / N_PER_LBF, 1));
    format!("write the force: this mass at rest weighs `{kn} kN` or `{lbf} lbf`")
}

/// A thickness of sheet in mm: a length, or a gauge of the metal it names or else of the
/// `material`, a row of that table; a finding when it is something else.
pub(crate) fn thickness(
    item: &Item,
    material: Option<&Row>,
    tables: &Tables,
    findings: &Findings,
) -> Option<f64> {
    let Some(text) = item.text() else { return length(item, findings) };
    let Ok(Reading::Gauge { number, metal }) = quantity::read(text) else {
        return length(item, findings);
    };
    let metal = metal.or_else(|| material?.text("metal").map(str::to_owned))?;
    let found = tables.gauge(&metal, number);
    if found.is_none() {
        findings.add(
            Finding::stop("unknown-row", format!("there is no {number} gauge for {metal}"))
                .at(item.letters, "")
                .help("`platewright tables gauge` lists them; or write the thickness itself"),
        );
    }
    found.map(|q| q.value)
}

/// How bends are to be calculated: `DIN 6935`, `FAA`, a K-factor, or `measured`; a finding
/// when it is something else.
pub(crate) fn bend_rule(item: &Item, findings: &Findings) -> Option<Rule> {
    let rule = match &item.value {
        Value::Text(text) if text == "measured" => Some(Rule::Measured),
        _ => formula_of_bends(item).map(Rule::By),
    };
    if rule.is_none() {
        findings.add(
            Finding::stop(
                "unknown-word",
                "a bend method is `DIN 6935`, `FAA`, a K-factor up to 0.5, or `measured`",
            )
            .at(item.span, "")
            .help("write one of the words in quotes, or a plain number such as 0.42"),
        );
    }
    rule
}

/// The same without `measured`.
pub(crate) fn bend_method(item: &Item, findings: &Findings) -> Option<Method> {
    let method = formula_of_bends(item);
    if method.is_none() {
        findings.add(
            Finding::stop(
                "unknown-word",
                "a bend method is `DIN 6935`, `FAA` or a K-factor up to 0.5",
            )
            .at(item.span, "")
            .help("write one of the words in quotes, or a plain number such as 0.42"),
        );
    }
    method
}

fn formula_of_bends(item: &Item) -> Option<Method> {
    match &item.value {
        Value::Text(text) => Method::named(text),
        Value::Number(k) => Some(Method::K(*k)).filter(|_| *k > 0.0 && *k <= 0.5),
        _ => None,
    }
}

/// A row of a table by the name in an item; a finding when there is none.
pub(crate) fn row(
    item: &Item,
    table: &str,
    tables: &Tables,
    findings: &Findings,
) -> Option<Arc<Row>> {
    let Some(name) = item.text() else {
        findings.add(document::wrong_kind(item, "a name in quotes"));
        return None;
    };
    let found = tables.row(table, name).cloned();
    if found.is_none() {
        let what = in_words(table);
        let finding = Finding::stop("unknown-row", format!("there is no {what} `{name}`"));
        let finding = finding.at(item.letters, "").help(tables.instead(table, name));
        findings.add(tables.offered(table, name).into_iter().fold(finding, Finding::fix));
    }
    found
}

/// A value as it was typed.
pub(crate) fn typed(item: &Item) -> String {
    match &item.value {
        Value::Text(text) => text.clone(),
        Value::Number(n) => num::text(*n, 6),
        Value::Flag(flag) => flag.to_string(),
        Value::List(items) => items.iter().map(typed).collect::<Vec<_>>().join("; "),
        Value::Table(table) => {
            table.iter().map(|(_, entry)| typed(&entry.item)).collect::<Vec<_>>().join(", ")
        }
    }
}

/// A length, a row of the table `coating`, or the minimum and the maximum thickness.
pub(crate) fn coating(item: &Item, tables: &Tables, findings: &Findings) -> Option<Coating> {
    if let Value::Table(_) = item.value {
        return films(item, findings);
    }
    let Some(row) = item.text().and_then(|name| tables.row("coating", name)) else {
        return film(item, tables, findings).map(|film| Coating::of(film, None));
    };
    let of = |field: &str| row.quantity(field).map(|film| film.value);
    let films = of("min").zip(of("max")).map(|(min, max)| [min, max]);
    let no_oven = row.text("cure").is_some_and(|cure| !cure.is_empty() && cure != "oven");
    Some(Coating { film: row.measure("thickness"), films, no_oven, largest: of("largest") })
}

/// A coating as its thickness in mm; a word is a finish that the table does not have.
fn film(item: &Item, tables: &Tables, findings: &Findings) -> Option<f64> {
    let Some(word) = item.text().filter(|text| !text.contains(|c: char| c.is_ascii_digit())) else {
        return length(item, findings);
    };
    let help = tables.instead("coating", word);
    findings.add(
        Finding::stop("unknown-row", format!("there is no coating `{word}`"))
            .at(item.letters, "")
            .note("a coating is a row of the `coating` table or a thickness: `\"0.08 mm\"`")
            .help(help),
    );
    None
}

fn films(item: &Item, findings: &Findings) -> Option<Coating> {
    let fields = Fields::of(item, findings)?;
    let film = |name: &str, example: &str| {
        fields.need(name, example).and_then(|item| length(item, findings))
    };
    let (min, max) = (film("min", "\"0.06 mm\""), film("max", "\"0.1 mm\""));
    let at = fields.get("min").map_or(item.span, |item| item.letters);
    fields.finish();
    let (min, max) = (min?, max?);
    if min <= max {
        return Some(Coating::of(f64::midpoint(min, max), Some([min, max])));
    }
    findings.add(
        Finding::stop("out-of-range", "the minimum coating thickness is larger than the maximum")
            .at(at, "")
            .help("swap `min` and `max`"),
    );
    None
}
