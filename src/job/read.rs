//! Job text to [`Job`].

use crate::check::Limits;
use crate::diag::Finding;
use crate::diag::SourceId;
use crate::diag::Sources;
use crate::diag::Span;
use crate::document;
use crate::document::Entry;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::entry;
use crate::job::AskedBend;
use crate::job::Job;
use crate::job::Line;
use crate::job::OrderForm;
use crate::job::Shelf;
use crate::job::bridges::Bridges;
use crate::job::common;
use crate::job::family;
use crate::job::lie::Lie;
use crate::job::lie::Windows;
use crate::job::linked;
use crate::job::load;
use crate::job::papers;
use crate::job::sheet::Sheet;
use crate::job::tube;
use crate::link::Link;
use crate::nest::LEAST_REMNANT;
use crate::quantity::Dimension;
use crate::quantity::Units;
use crate::shop;
use crate::shop::Shop;
use crate::table::Row;
use crate::table::Table;
use crate::table::Tables;
use std::collections::HashMap;
use std::sync::Arc;

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
    shelf: &Shelf,
    sources: &mut Sources,
) -> Result<Job, Vec<Finding>> {
    let table = document::read(source, text)?;
    let tables = shelf.tables;
    let findings = Findings::default();
    let whole = Span { source, start: 0, end: text.find('\n').unwrap_or(text.len()) };
    let fields = Fields::new(&table, whole, &findings);
    let about = fields.text("about").unwrap_or_default().to_owned();
    let units = units(&fields);
    let paper = papers::wanted(&fields, units);
    let process = fields.need("process", "\"waterjet\"");
    let process = process.and_then(|i| entry::row(i, "process", tables, &findings));
    let shop = fields.get("shop").and_then(|i| self::shop(i, shelf, sources, &findings));
    let process = process.map(|row| shop.as_deref().map_or(row.clone(), |s| own(&row, s)));
    let length = |name: &str| fields.get(name).and_then(|i| entry::length(i, &findings));
    let (gap, margin) = (length("gap"), length("margin"));
    let least_remnant = length("min_remnant");
    let coating = fields.get("coating").and_then(|i| film(i, tables, &findings));
    let limits = limits(&fields, process.as_deref(), shop.as_deref());
    let bridges = fields.get("bridges").and_then(|i| Bridges::read(i, &fields));
    let common_cuts = common::read(&fields);
    let windows = fields.get("cutouts").and_then(|i| self::windows(i, &findings));
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
            hole_saws: hole_saws(shop.as_deref(), tables),
            shop,
            tubes,
        }),
        _ => Err(findings),
    }
}

/// What windows parts may lie in.
fn windows(item: &Item, findings: &Findings) -> Option<Windows> {
    let fields = Fields::of(item, findings)?;
    let length = |name: &str, example: &str| {
        fields.need(name, example).and_then(|i| entry::length(i, findings))
    };
    let (least, gap) = (length("min", "\"60 mm\""), length("gap", "\"6 mm\""));
    fields.finish();
    Some(Windows { least: least?, gap: gap? })
}

/// The shop file a job names.
fn shop(
    item: &Item,
    shelf: &Shelf,
    sources: &mut Sources,
    findings: &Findings,
) -> Option<Arc<Shop>> {
    let Some(name) = item.text() else {
        findings.add(document::wrong_kind(item, "the name of a shop file"));
        return None;
    };
    let Some((path, text)) = (shelf.file)(name) else {
        let headline = format!("there is no shop file `{name}`");
        findings.add(Finding::stop("no-file", headline).at(item.letters, "").help(
            "name a file beside the job, or one reached from there: `shop = \"../shop.toml\"`",
        ));
        return None;
    };
    let source = sources.add(path, &text);
    match shop::read(source, &text, shelf.tables) {
        Ok(shop) => Some(Arc::new(shop)),
        Err(found) => {
            for finding in found {
                findings.add(finding.at(item.letters, "this shop"));
            }
            None
        }
    }
}

/// The hole saws at hand: those of the shop, where it names any.
fn hole_saws(shop: Option<&Shop>, tables: &Tables) -> Vec<f64> {
    let own = shop.map(|shop| shop.hole_saws.clone()).filter(|saws| !saws.is_empty());
    let rows = || tables.table("hole-saw").into_iter().flat_map(Table::rows);
    own.unwrap_or_else(|| rows().map(|row| row.measure("diameter")).collect())
}

/// The row of a way of cutting with the shop's own figures on top.
fn own(row: &Arc<Row>, shop: &Shop) -> Arc<Row> {
    let cutting = shop.cutting.iter().find(|cutting| cutting.process == row.name());
    cutting.map_or(row.clone(), |cutting| Arc::new(row.with(&cutting.fields)))
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

/// The film of a coating: a length, or a row of the table of coatings.
fn film(item: &Item, tables: &Tables, findings: &Findings) -> Option<f64> {
    let row = item.text().and_then(|name| tables.row("coating", name));
    row.map_or_else(|| entry::length(item, findings), |row| Some(row.measure("film")))
}

/// What holds for every part: by the shop, and by the job.
fn limits(fields: &Fields, process: Option<&Row>, shop: Option<&Shop>) -> Limits {
    let mut cuttings = shop.into_iter().flat_map(|shop| &shop.cutting);
    let cutting = cuttings.find(|cutting| process.is_some_and(|p| p.name() == cutting.process));
    let lift = fields
        .get("lift")
        .and_then(|item| entry::measure(item, Dimension::MASS, "a mass", "kg", fields.findings()));
    Limits {
        cut: cutting.and_then(|cutting| cutting.tolerance),
        oven: shop.and_then(|shop| shop.oven),
        lift: lift.unwrap_or(Limits::default().lift),
    }
}

/// What parts may name.
struct Known<'a> {
    sheets: &'a [Sheet],
    /// Whether each could be read.
    all_sheets: bool,
    links: &'a [Link],
    all_links: bool,
}

/// What an entry of `[[part]]` and one of `[[family]]` have in common.
fn line(fields: &Fields, item: &Item, known: &Known) -> Option<Line> {
    let recipe = fields.needed_text("recipe", "\"tab\"").map(str::to_owned);
    let recipe_span = fields.get("recipe").map(|i| i.letters);
    // The lines of a table bring their names.
    let named = fields.has("name") || !fields.has("table");
    let name = match named {
        true => fields.needed_text("name", "\"front-tab\"").map(str::to_owned),
        false => Some("{name}".to_owned()),
    };
    let name_span = fields.get("name").map_or(item.span, |i| i.letters);
    let quantity = match fields.has("quantity") {
        true => fields.count("quantity", MOST_PIECES),
        false => Some(1),
    };
    let all = |name: &str| -> Vec<(String, Entry)> {
        let entries = fields.entries(name).into_iter();
        entries.map(|(name, entry)| (name.to_owned(), entry.clone())).collect()
    };
    let (given, open) = (all("given"), all("open"));
    for (name, entry) in &open {
        if let Some((_, fixed)) = given.iter().find(|(other, _)| other == name) {
            fields.add(
                Finding::stop("duplicate-name", format!("`{name}` is both given and open"))
                    .at(entry.key, "open here")
                    .at(fixed.item.span, "given here")
                    .help("remove one of them"),
            );
        }
    }
    let bends = fields.entries("bends").into_iter().filter_map(|(name, entry)| {
        let rule = entry::bend_rule(&entry.item, fields.findings())?;
        Some(AskedBend { name: name.to_owned(), rule, span: entry.item.span })
    });
    let bends: Vec<AskedBend> = bends.collect();
    let sheet = match open.iter().any(|(name, _)| name == "sheet") {
        // The choice puts another in its place.
        true => (!known.sheets.is_empty()).then_some(0),
        false => fields
            .need("sheet", "\"S235 4 mm\"")
            .and_then(|i| find_sheet(i, known.sheets, known.all_sheets, fields.findings())),
    };
    let held = linked::held(fields, known.links, known.all_links);
    let near = linked::near(fields);
    let holds = fields.get("clamped").and_then(|i| entry::length(i, fields.findings()));
    Some(Line {
        held,
        near,
        recipe: (recipe?, recipe_span?),
        name: name?,
        quantity: quantity?,
        sheet: sheet?,
        given,
        bends,
        open,
        lie: Lie::read(fields),
        holds,
        here: name_span,
    })
}

pub(super) fn find_sheet(
    item: &Item,
    sheets: &[Sheet],
    complete: bool,
    findings: &Findings,
) -> Option<usize> {
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
        let words = family::unfit_for_files(&word);
        let help = "name it by its material and thickness: `S235 4 mm`";
        if let Some(words) = words {
            findings.add(unfit(&sheet.name, words, sheet.span, help));
        }
        let same = |other: &&Sheet| other.file_word().to_lowercase() == word;
        if let Some(other) = sheets[..i].iter().find(same) {
            findings.add(
                Finding::stop("duplicate-name", format!("two sheets are called `{}`", sheet.name))
                    .at(sheet.span, "")
                    .at(other.span, "the other")
                    .help("give all sizes of one sheet in its `stock`"),
            );
        }
    }
}

fn unfit(name: &str, words: &str, span: Span, help: &str) -> Finding {
    let headline = format!("`{name}` is not a valid file name: {words}");
    Finding::stop("bad-name", headline).at(span, "").help(help)
}

/// Names become file names: no two may be one on any system.
fn check_names(lines: &[Line], findings: &Findings) {
    let mut seen: HashMap<String, &Line> = HashMap::new();
    for line in lines {
        if let Some(words) = family::unfit_for_files(&line.name) {
            let help = "use letters, digits, `-`, `_` and `.`, 80 at most";
            findings.add(unfit(&line.name, words, line.here, help));
            continue;
        }
        if let Some(other) = seen.insert(line.name.to_lowercase(), line) {
            findings.add(
                Finding::stop("duplicate-name", format!("two parts are called `{}`", line.name))
                    .at(line.here, "")
                    .at(other.here, "the other")
                    .help("give one of them another name; case does not count"),
            );
        }
    }
}
