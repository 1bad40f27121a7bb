//! Job text to [`Job`].

use crate::diag::Finding;
use crate::diag::SourceId;
use crate::diag::Span;
use crate::document;
use crate::document::Entry;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::job::Job;
use crate::job::Line;
use crate::job::family;
use crate::job::sheet;
use crate::job::sheet::Sheet;
use crate::quantity::Units;
use crate::table::Tables;
use std::collections::HashMap;

/// Margin kept from the rim of a sheet when none is given, mm: common practice.
const MARGIN: f64 = 10.0;

/// Most of one part. Our choice.
const MOST_PIECES: u32 = 100_000;

/// Reads a job.
///
/// # Errors
/// Everything that is wrong with the text, each with its place.
pub fn read(
    name: &str,
    source: SourceId,
    text: &str,
    tables: &Tables,
) -> Result<Job, Vec<Finding>> {
    let table = document::read(source, text)?;
    let findings = Findings::default();
    let whole = Span { source, start: 0, end: text.find('\n').unwrap_or(text.len()) };
    let fields = Fields::new(&table, whole, &findings);
    let about = fields.text("about").unwrap_or_default().to_owned();
    let units = units(&fields);
    let process = fields.need("process", "\"waterjet\"");
    let process = process.and_then(|i| sheet::row(i, "process", tables, &findings));
    let length = |name: &str| fields.get(name).and_then(|i| sheet::length(i, &findings));
    let (coating, gap, margin) = (length("coating"), length("gap"), length("margin"));
    fields.need("sheet", "[[sheet]], one for each kind of sheet in stock");
    let items = fields.list("sheet");
    let sheets: Vec<Sheet> =
        items.iter().filter_map(|i| Sheet::read(i, tables, &findings)).collect();
    let complete = sheets.len() == items.len();
    let mut lines = Vec::new();
    for item in fields.list("part") {
        lines.extend(line(item, &sheets, complete, &findings, false));
    }
    for item in fields.list("family") {
        lines.extend(line(item, &sheets, complete, &findings, true));
    }
    fields.finish();
    if lines.is_empty() && findings.is_empty() {
        findings.add(
            Finding::stop("missing-key", "the job makes nothing")
                .at(whole, "")
                .help("add a `[[part]]` with `recipe`, `name` and `sheet`"),
        );
    }
    check_sheets(&sheets, &findings);
    check_names(&lines, &findings);
    let findings = findings.take();
    match process {
        Some(process) if findings.is_empty() => Ok(Job {
            name: name.to_owned(),
            about,
            units,
            process,
            coating: coating.unwrap_or(0.0),
            gap,
            margin: margin.unwrap_or(MARGIN),
            sheets,
            lines,
        }),
        _ => Err(findings),
    }
}

fn units(fields: &Fields) -> Units {
    match fields.get("units") {
        None => Units::Millimetre,
        Some(item) => match item.text() {
            Some("mm") => Units::Millimetre,
            Some("in") => Units::Inch,
            _ => {
                fields.add(
                    Finding::stop("unknown-word", "`units` is `mm` or `in`")
                        .at(item.span, "")
                        .help("write `units = \"mm\"`"),
                );
                Units::Millimetre
            }
        },
    }
}

/// One entry of `[[part]]`, or one of `[[family]]` told out.
fn line(
    item: &Item,
    sheets: &[Sheet],
    complete: bool,
    findings: &Findings,
    is_family: bool,
) -> Vec<Line> {
    let Some(fields) = Fields::of(item, findings) else { return Vec::new() };
    let recipe = fields.needed_text("recipe", "\"tab\"").map(str::to_owned);
    let recipe_span = fields.get("recipe").map(|i| i.letters);
    let name = fields.needed_text("name", "\"front-tab\"").map(str::to_owned);
    let name_span = fields.get("name").map_or(item.span, |i| i.letters);
    let quantity = match fields.has("quantity") {
        true => fields.count("quantity", MOST_PIECES),
        false => Some(1),
    };
    let wanted = fields.need("sheet", "\"S235 4 mm\"");
    let sheet = wanted.and_then(|i| find_sheet(i, sheets, complete, findings));
    let given: Vec<(String, Entry)> = fields
        .entries("given")
        .into_iter()
        .map(|(name, entry)| (name.to_owned(), entry.clone()))
        .collect();
    let each = if is_family { fields.entries("each") } else { Vec::new() };
    if is_family && each.is_empty() {
        no_lists(&fields);
    }
    fields.finish();
    if is_family && each.is_empty() {
        return Vec::new();
    }
    let (Some(recipe), Some(span), Some(name), Some(quantity), Some(sheet)) =
        (recipe, recipe_span, name, quantity, sheet)
    else {
        return Vec::new();
    };
    let line = Line { recipe: (recipe, span), name, quantity, sheet, given, here: name_span };
    if is_family { family::tell_out(&line, &each, findings) } else { vec![line] }
}

/// The finding for a family whose `each` is missing or empty; one of another kind has been reported.
fn no_lists(fields: &Fields) {
    let example = "{ bolt = [\"M6\", \"M8\"] }";
    if let Some(Item { value: Value::Table(_), span, .. }) = fields.need("each", example) {
        fields.add(
            Finding::stop("missing-key", "a family needs a list of values")
                .at(*span, "")
                .help(format!("write `each = {example}`")),
        );
    }
}

fn find_sheet(item: &Item, sheets: &[Sheet], complete: bool, findings: &Findings) -> Option<usize> {
    let Value::Text(wanted) = &item.value else {
        findings.add(document::wrong_kind(item, "the name of a sheet"));
        return None;
    };
    let found = sheets.iter().position(|s| s.name == *wanted);
    // While a sheet cannot be read, its name may be the one that is missing.
    if found.is_none() && complete {
        let names: Vec<&str> = sheets.iter().map(|s| s.name.as_str()).collect();
        let help = match crate::diag::nearest(wanted, names.iter().copied()) {
            Some(near) => format!("write `{near}`"),
            None => format!("sheets are {}", names.join(", ")),
        };
        findings.add(
            Finding::stop("unknown-sheet", format!("there is no sheet `{wanted}`"))
                .at(item.letters, "")
                .help(help),
        );
    }
    found
}

/// Sheets are told apart by name, also where the name becomes that of a file.
fn check_sheets(sheets: &[Sheet], findings: &Findings) {
    for (i, sheet) in sheets.iter().enumerate() {
        let word = sheet.file_word().to_lowercase();
        if let Some(words) = family::unfit_for_files(&word) {
            findings.add(
                Finding::stop(
                    "bad-name",
                    format!("`{}` is no name for a file: {words}", sheet.name),
                )
                .at(sheet.span, "")
                .help("name it by its material and thickness: `S235 4 mm`"),
            );
        }
        let same = |other: &&Sheet| other.file_word().to_lowercase() == word;
        if let Some(other) = sheets[..i].iter().find(same) {
            findings.add(
                Finding::stop("double-name", format!("two sheets are called `{}`", sheet.name))
                    .at(sheet.span, "")
                    .at(other.span, "the other")
                    .help("give all sizes of one sheet in its `stock`"),
            );
        }
    }
}

/// Names become file names: no two may be one on any system.
fn check_names(lines: &[Line], findings: &Findings) {
    let mut seen: HashMap<String, &Line> = HashMap::new();
    for line in lines {
        if let Some(words) = family::unfit_for_files(&line.name) {
            findings.add(
                Finding::stop(
                    "bad-name",
                    format!("`{}` is no name for a file: {words}", line.name),
                )
                .at(line.here, "")
                .help("use letters, digits, `-`, `_` and `.`, 80 at most"),
            );
            continue;
        }
        if let Some(other) = seen.insert(line.name.to_lowercase(), line) {
            findings.add(
                Finding::stop("double-name", format!("two parts are called `{}`", line.name))
                    .at(line.here, "")
                    .at(other.here, "the other")
                    .help("give one of them another name; capitals do not count"),
            );
        }
    }
}
