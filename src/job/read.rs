//! Job text to [`Job`].

use crate::diag::Finding;
use crate::diag::SourceId;
use crate::diag::Sources;
use crate::diag::Span;
use crate::document;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Value;
use crate::entry;
use crate::job::asked::Job;
use crate::job::asked::Line;
use crate::job::asked::Shelf;
use crate::job::bridges::Bridges;
use crate::job::family;
use crate::job::line::Known;
use crate::job::line::line;
use crate::job::linked;
use crate::job::load;
use crate::job::names::unfit_for_files;
use crate::job::order_form::OrderForm;
use crate::job::settings;
use crate::job::sheet::Sheet;
use crate::job::tube;
use crate::nest::LEAST_REMNANT;
use std::collections::HashMap;

/// Margin kept from the rim of a sheet when none is given, mm: common practice.
const MARGIN: f64 = 10.0;

/// Reads a job.
///
/// # Errors
/// Everything that is wrong with the text, each with its place.
pub fn read(
    name: &str,
    source: SourceId,
    text: &str,
    shelf: &Shelf,
    sources: &mut Sources,
) -> Result<Job, Vec<Finding>> {
    let table = document::read(source, text)?;
    let tables = shelf.tables;
    let findings = Findings::default();
    let whole = Span { source, start: 0, end: text.find('\n').unwrap_or(text.len()) };
    let fields = Fields::new(&table, whole, &findings);
    let about = fields.text("about").unwrap_or_default().to_owned();
    let units = settings::units(&fields);
    let paper = settings::paper(&fields, units);
    let process = fields.need("process", "\"waterjet\"");
    let process = process.and_then(|i| entry::row(i, "process", tables, &findings));
    let shop = fields.get("shop").and_then(|i| settings::shop(i, shelf, sources, &findings));
    let process =
        process.map(|row| shop.as_deref().map_or(row.clone(), |s| settings::own(&row, s)));
    let length = |name: &str| fields.get(name).and_then(|i| entry::length(i, &findings));
    let (gap, margin) = (length("gap"), length("margin"));
    let least_remnant = length("least_remnant");
    let coating = fields.get("coating").and_then(|i| settings::film(i, tables, &findings));
    let limits = settings::limits(&fields, process.as_deref(), shop.as_deref());
    let bridges = fields.get("bridges").and_then(|i| Bridges::read(i, &fields));
    let common_cuts = settings::common_cuts(&fields);
    let windows = fields.get("windows").and_then(|i| settings::windows(i, &findings));
    // Tubes need no sheet.
    if !fields.has("tube") || fields.has("part") || fields.has("family") {
        fields.need("sheet", "[[sheet]], one for each kind of sheet in stock");
    }
    let items = fields.list("sheet");
    let sheets: Vec<Sheet> = items
        .iter()
        .filter_map(|i| Sheet::read(i, tables, shop.as_deref(), shelf.drawing, &findings))
        .collect();
    let links = linked::links(&fields, tables);
    let known = Known {
        sheets: &sheets,
        all_sheets: sheets.len() == items.len(),
        links: &links,
        all_links: match fields.get("link").map(|i| &i.value) {
            None => true,
            Some(Value::List(items)) => items.len() == links.len(),
            Some(_) => false,
        },
    };
    let mut lines = Vec::new();
    for item in fields.list("part") {
        let Some(fields) = Fields::of(item, &findings) else { continue };
        lines.extend(line(&fields, item, &known));
        fields.finish();
    }
    for item in fields.list("family") {
        let Some(fields) = Fields::of(item, &findings) else { continue };
        let line = line(&fields, item, &known);
        lines.extend(family::read(&fields, line, shelf, sources));
        fields.finish();
    }
    // While a part or a family cannot be read, a load may name what is missing.
    let loads = load::read(&fields, &lines, findings.is_empty(), tables);
    let tubes = tube::read(&fields, tables);
    fields.finish();
    if lines.is_empty() && tubes.is_empty() && findings.is_empty() {
        findings.add(
            Finding::stop("missing-key", "the job makes nothing")
                .at(whole, "")
                .help("add a `[[part]]` with `recipe`, `name` and `sheet`"),
        );
    }
    check_sheets(&sheets, &findings);
    check_names(&lines, &findings);
    let findings = findings.take();
    let rows =
        |name: &str| tables.table(name).into_iter().flat_map(|t| t.rows().cloned()).collect();
    match process {
        Some(process) if findings.is_empty() => Ok(Job {
            name: name.to_owned(),
            about,
            units,
            paper,
            process,
            coating: coating.or(shop.as_ref().and_then(|s| s.coating)).unwrap_or(0.0),
            gap,
            margin: margin.unwrap_or(MARGIN),
            least_remnant: least_remnant.unwrap_or(LEAST_REMNANT),
            windows,
            bridges,
            common_cuts,
            limits,
            sheets,
            links,
            lines,
            order: OrderForm::default(),
            bolts: rows("bolt"),
            nuts: rows("nut"),
            loads,
            hole_saws: settings::hole_saws(shop.as_deref(), tables),
            shop,
            tubes,
        }),
        _ => Err(findings),
    }
}

/// Sheets are told apart by name, also where the name becomes that of a file.
fn check_sheets(sheets: &[Sheet], findings: &Findings) {
    for (i, sheet) in sheets.iter().enumerate() {
        let word = sheet.file_word().to_lowercase();
        let words = unfit_for_files(&word);
        let help = "name it by its material and thickness: `S235 4 mm`";
        if let Some(words) = words {
            findings.add(unfit(&sheet.name, words, sheet.span, help));
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

fn unfit(name: &str, words: &str, span: Span, help: &str) -> Finding {
    let headline = format!("`{name}` is no name for a file: {words}");
    Finding::stop("bad-name", headline).at(span, "").help(help)
}

/// Names become file names: no two may be one on any system.
fn check_names(lines: &[Line], findings: &Findings) {
    let mut seen: HashMap<String, &Line> = HashMap::new();
    for line in lines {
        if let Some(words) = unfit_for_files(&line.name) {
            let help = "use letters, digits, `-`, `_` and `.`, 80 at most";
            findings.add(unfit(&line.name, words, line.here, help));
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
