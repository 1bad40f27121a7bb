//! Job text to [`Job`].

use crate::diag::Finding;
use crate::diag::SourceId;
use crate::diag::Sources;
use crate::diag::Span;
use crate::document;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::entry;
use crate::entry::unfit_for_files;
use crate::entry::unfit_name;
use crate::history::Past;
use crate::job::as_built;
use crate::job::as_built::Spreads;
use crate::job::asked::Job;
use crate::job::asked::Line;
use crate::job::asked::Shelf;
use crate::job::bar;
use crate::job::between;
use crate::job::bodies;
use crate::job::ends_of_tubes;
use crate::job::family;
use crate::job::from::Looked;
use crate::job::joints;
use crate::job::kit;
use crate::job::line::PartContext;
use crate::job::line::line;
use crate::job::link_load::Links;
use crate::job::linked;
use crate::job::load;
use crate::job::machine;
use crate::job::machine::LinkStands;
use crate::job::machine::Machine;
use crate::job::meeting::Axis;
use crate::job::names::Names;
use crate::job::obstacle;
use crate::job::on_hand::OnHand;
use crate::job::order_form::OrderForm;
use crate::job::points::Points;
use crate::job::settings;
use crate::job::settings::Settings;
use crate::job::sheet;
use crate::job::sheet::Sheet;
use crate::job::tube;
use crate::job::tube::CopedTube;
use crate::job::tube_end::TubeEnds;
use crate::job::weldment;
use crate::job::whole::first_line;
use crate::job::whole::makes_nothing;
use crate::joint::Joints;
use crate::link::Link;
use crate::link::LinkLoad;
use crate::nest::MIN_REMNANT;
use crate::strength::Load;
use crate::table::Row;
use crate::table::Tables;
use std::sync::Arc;

/// Default margin from the edge of a sheet, mm: common practice.
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
    read_in((name, source, text), shelf, sources, false)
}

/// Reads a job that may be begun only, and make nothing yet.
///
/// # Errors
/// Everything else that is wrong with the text, each with its place.
#[cfg(feature = "page")]
pub(crate) fn read_begun(
    name: &str,
    source: SourceId,
    text: &str,
    shelf: &Shelf,
    sources: &mut Sources,
) -> Result<Job, Vec<Finding>> {
    read_in((name, source, text), shelf, sources, true)
}

fn read_in(
    (name, source, text): (&str, SourceId, &str),
    shelf: &Shelf,
    sources: &mut Sources,
    may_be_empty: bool,
) -> Result<Job, Vec<Finding>> {
    let (tables, findings) = (shelf.tables, Findings::default());
    let (names, table) = Names::read(&document::read(source, text)?, &findings);
    let whole = first_line(source, text);
    let (points, table) = Points::read(&table, whole, tables, &findings);
    let fields = Points::counted_as_read(Fields::new(&table, whole, &findings));
    let about = fields.text("about").unwrap_or_default().to_owned();
    let settings = Settings::read(&fields, shelf, sources);
    let made = parts(&fields, (&names, &points), &settings, shelf, sources);
    let Parts { sheets, links, all_links, lines, coated, stands } = made;
    let (mut tubes, machine) = in_machine(&fields, &points, tables, stands);
    let (loads, link_loads) = loads(&fields, (&lines, &links, all_links), tables);
    let complete = findings.is_empty();
    let known =
        ends_of_tubes::Scope { lines: &lines, sheets: &sheets, links: &links, tables, complete };
    let tube_ends = ends_of_tubes::read(&fields, &mut tubes, &known);
    let joints = joints::read(&fields, &lines, tables);
    let (weldments, bars) = (weldment::read(&fields), bar::read(&fields, tables));
    let kits = kit::read(&fields, &lines);
    let as_built = as_built::read(&fields, &names_of(&lines), coated, findings.is_empty());
    fields.finish();
    bodies::check(&machine, &lines, &links, &findings);
    let no_others = !may_be_empty && tubes.is_empty() && links.is_empty();
    check(whole, (&sheets, &lines), no_others, &findings);
    let findings = settings.converted(findings);
    let process = settings.process.clone().filter(|_| findings.is_empty()).ok_or(findings)?;
    let tubes = tubes.into_iter().filter(|tube| tube.quantity > 0).collect();
    let asked = of_settings(name, settings, (process, &sheets), tables);
    Ok(Job {
        about,
        as_built,
        sheets,
        links,
        lines,
        kits,
        loads,
        link_loads,
        tubes,
        joints,
        tube_ends,
        weldments,
        bars,
        points,
        machine,
        ..asked
    })
}

/// An empty job, cut by a process, with its general settings.
fn of_settings(
    name: &str,
    settings: Settings,
    (process, sheets): (Arc<Row>, &[Sheet]),
    tables: &Tables,
) -> Job {
    Job {
        spreads: Spreads::read(sheets, &process, &settings.limits, tables),
        as_built: Vec::new(),
        name: name.to_owned(),
        about: String::new(),
        units: settings.units,
        paper: settings.paper,
        process,
        coating: settings.coating,
        gap: settings.gap,
        margin: settings.margin.unwrap_or(MARGIN),
        min_remnant: settings.min_remnant.unwrap_or(MIN_REMNANT),
        cut_outs: settings.cut_outs,
        bridges: settings.bridges,
        common_cuts: settings.common_cuts,
        repeat_layouts: settings.repeat_layouts,
        heat_spacing: settings.heat_spacing,
        titled: settings.titled,
        past: Some(Past::default()),
        bend_ticks: settings.bend_ticks,
        etch_names: settings.etch_names,
        bench: settings.bench_list.then(|| rows(tables, "coating")),
        limits: settings.limits,
        sheets: Vec::new(),
        links: Vec::new(),
        lines: Vec::new(),
        kits: Vec::new(),
        order: OrderForm::default(),
        bolts: rows(tables, "bolt"),
        nuts: rows(tables, "nut"),
        loads: Vec::new(),
        link_loads: Vec::new(),
        hole_saws: settings::hole_saws(settings.shop.as_deref(), tables),
        shop: settings.shop,
        tubes: Vec::new(),
        joints: Joints::default(),
        tube_ends: TubeEnds::default(),
        weldments: Vec::new(),
        bars: Vec::new(),
        points: Points::default(),
        machine: Machine::default(),
    }
}

/// The tubes, and the bodies in the machine beside the parts.
fn in_machine(
    fields: &Fields,
    points: &Points,
    tables: &Tables,
    links: Vec<LinkStands>,
) -> (Vec<CopedTube>, Machine) {
    let mirror = machine::mirror(fields, points);
    let read = obstacle::read(fields, points, tables);
    let mains: Vec<Axis> = read.iter().filter_map(|read| read.axis.clone()).collect();
    let (items, stands) = between::tubes(fields, (points, tables), &mains);
    let tubes = tube::read(&items, fields.findings(), tables);
    let obstacles = read.into_iter().map(|read| (read.body, read.asked)).collect();
    (tubes, Machine { mirror, obstacles, links, tubes: stands })
}

/// The loads on the parts, and those along the links.
fn loads(
    fields: &Fields,
    (lines, links, complete): (&[Line], &[Link], bool),
    tables: &Tables,
) -> (Vec<Load>, Vec<LinkLoad>) {
    let tubes: Vec<&str> = fields.list("tube").iter().filter_map(name_of).collect();
    let on_links = Links { read: links, complete, tubes: &tubes };
    // While a part or a family cannot be read, a load may name a missing one.
    load::read(fields, (lines, fields.findings().is_empty()), &on_links, tables)
}

fn names_of(lines: &[Line]) -> Vec<&str> {
    lines.iter().map(|line| line.name.as_str()).collect()
}

/// Whether anything is made, and all names can be those of files.
fn check(whole: Span, (sheets, lines): (&[Sheet], &[Line]), no_others: bool, findings: &Findings) {
    if lines.is_empty() && no_others && findings.is_empty() {
        findings.add(makes_nothing(whole));
    }
    sheet::check_names(sheets, findings);
    check_names(lines, findings);
}

/// The name that an entry of a list gives, where it gives one.
fn name_of(item: &Item) -> Option<&str> {
    match &item.value {
        Value::Table(table) => table.get("name")?.item.text(),
        _ => None,
    }
}

/// The sheets, the links, and the parts made of them.
struct Parts {
    sheets: Vec<Sheet>,
    links: Vec<Link>,
    /// Whether all links could be read.
    all_links: bool,
    lines: Vec<Line>,
    /// Whether anything has a coating.
    coated: bool,
    /// The positions of the links.
    stands: Vec<LinkStands>,
}

fn parts(
    fields: &Fields,
    (names, points): (&Names, &Points),
    settings: &Settings,
    shelf: &Shelf,
    sources: &mut Sources,
) -> Parts {
    let findings = fields.findings();
    // Tubes and links need no sheet.
    let on_hand = OnHand::new(shelf.book, fields, settings.shop.as_deref());
    let round = fields.has("tube") || fields.has("link");
    if !round || fields.has("part") || fields.has("family") {
        no_sheets(fields, &on_hand);
    }
    let items = fields.list("sheet");
    let shop = settings.shop.as_deref();
    let shop = (shop.is_some() || !fields.has("shop")).then_some(shop);
    let files = (shelf.tables, shelf.drawing);
    let sheet = |item: &Item| Sheet::read(item, files, shop, &on_hand, findings);
    let sheets: Vec<Sheet> = items.iter().filter_map(sheet).collect();
    let (links, stands) = linked::links(fields, points, shelf.tables);
    let all_links = match fields.get("link").map(|i| &i.value) {
        None => true,
        Some(Value::List(items)) => items.len() == links.len(),
        Some(_) => false,
    };
    let known = PartContext {
        tables: shelf.tables,
        points,
        sheets: &sheets,
        // If there are none, that is reported once.
        all_sheets: !items.is_empty() && sheets.len() == items.len(),
        links: &links,
        on_hand: &on_hand,
        all_links,
    };
    let mut lines = Vec::new();
    let own = fields.list("part");
    for item in own {
        let found = Findings::default();
        let whole = Looked::new(shelf, sources, &found).whole(item, own, "");
        if let Some(whole) = &whole
            && let Some(fields) = Fields::of(whole, &found)
        {
            lines.extend(line(&fields, whole, &known));
            finish(fields, shelf);
        }
        found.take().into_iter().for_each(|f| findings.add(used_in(f, item.span)));
    }
    for item in fields.list("family") {
        let Some(fields) = Fields::of(item, findings) else { continue };
        let line = line(&fields, item, &known);
        lines.extend(family::read(&fields, line, (names, points), shelf, sources));
        finish(fields, shelf);
    }
    let own = sheets.iter().map(|sheet| sheet.coating).chain(lines.iter().map(|line| line.coating));
    let coated = settings.coating > 0.0 || own.flatten().any(|coating| coating.film > 0.0);
    Parts { sheets, links, all_links, lines, coated, stands }
}

/// Reports the unknown keys of a part or a family; one that is an input of its recipe belongs in
/// `given`.
fn finish(fields: Fields, shelf: &Shelf) {
    let recipe = fields.get("recipe").and_then(Item::text);
    fields.finish_with(&|key, item| {
        let (_, text) = (shelf.recipe)(recipe?)?;
        let read = document::read(item.span.source, &text).ok()?;
        let Value::Table(inputs) = &read.get("inputs")?.item.value else { return None };
        inputs.get(key)?;
        Some(format!(
            "it is an input of the recipe: write `given = {{ {key} = {} }}`",
            item.written()
        ))
    });
}

/// The finding for a job of parts without a `[[sheet]]`: what to add for the first part.
fn no_sheets(fields: &Fields, on_hand: &OnHand) {
    if fields.has("sheet") {
        return;
    }
    let items = |name| match fields.get(name).map(|item| &item.value) {
        Some(Value::List(items)) => items.as_slice(),
        _ => &[],
    };
    let sheet = |item: &Item| match &item.value {
        Value::Table(table) => table.get("sheet")?.item.text().map(str::to_owned),
        _ => None,
    };
    let named = items("part").iter().chain(items("family")).find_map(sheet);
    let example = sheet::example(named.as_deref().unwrap_or("S235 4 mm"), on_hand.offered());
    fields.add(
        Finding::stop(
            "missing-key",
            "`sheet` is missing here: one for each kind of sheet in stock",
        )
        .at(fields.here, "")
        .help(format!("add, above the parts: {example}")),
    );
}

/// The finding with its part, if all its marks are in another file.
fn used_in(finding: Finding, part: Span) -> Finding {
    let elsewhere = finding.marks.iter().all(|mark| mark.span.source != part.source);
    if elsewhere { finding.at(part, "used here") } else { finding }
}

/// All rows of a table.
fn rows(tables: &Tables, name: &str) -> Vec<Arc<Row>> {
    tables.table(name).into_iter().flat_map(|table| table.rows().cloned()).collect()
}

/// Names become file names: no two may be one on any system.
fn check_names(lines: &[Line], findings: &Findings) {
    for line in lines {
        if let Some(words) = unfit_for_files(&line.name) {
            findings.add(unfit_name(&line.name, words, line.here));
        }
    }
    let fit = lines.iter().filter(|line| unfit_for_files(&line.name).is_none());
    let named = fit.map(|line| (line.name.as_str(), line.here));
    entry::file_names_differ("parts", named, findings);
}
