//! Links and tubes between points of the machine: their lengths and their ends follow from these.
//!
//! The entries that give its points are removed, and the values that follow from them are put in
//! their place, as if they had been typed there.

use crate::diag::Finding;
use crate::diag::Span;
use crate::diag::instead;
use crate::document::Entry;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Table;
use crate::document::Value;
use crate::document::wrong_kind;
use crate::entry;
use crate::geom::NEAR;
use crate::geom::Space;
use crate::geom::dot;
use crate::geom::length;
use crate::geom::minus;
use crate::geom::unit;
use crate::job::machine::ASKED;
use crate::job::machine::LinkStands;
use crate::job::machine::RequiredClearance;
use crate::job::machine::TubeStands;
use crate::job::machine::split;
use crate::job::meeting::Axis;
use crate::job::meeting::Meeting;
use crate::job::meeting::twist;
use crate::job::points::Points;
use crate::job::tube::ENDS;
use crate::machine::STEEPEST;
use crate::machine::Travel;
use crate::num;
use crate::num::Angle;
use crate::quantity::Dimension;
use crate::table::Tables;

/// The keys of a link between points.
const LINK: [&str; 4] = ["from", "to", "travel", "swing"];

/// The keys of a tube between points.
const TUBE: [&str; 2] = ["from", "to"];

/// A link as it is read without the machine, and its position, if it has one.
pub(super) fn link(
    item: &Item,
    points: &Points,
    findings: &Findings,
) -> (Item, Option<LinkStands>) {
    let Some((own, mut rest)) = position_entries(item, &LINK) else { return (item.clone(), None) };
    let fields = Fields::new(&own, item.span, findings);
    let asked =
        RequiredClearance::read(&fields, name_of(&rest).map_or(item.span, |name| name.letters));
    let (pins, (travel, travel_points)) = (ends(&fields, points), travel(&fields, points));
    if let Some(pins) = pins {
        let is_given = given_twice(&rest, "pins", &fields);
        if !is_given {
            put(&mut rest, "pins", &fields, mm(length(minus(pins[1], pins[0]))));
        }
    } else if let Some(from) = own.get("from").or(own.get("to")) {
        // Errors of the points are reported: no length is missing.
        let stand_in = Entry { key: from.key, item: text(&from.item, mm(1.0)) };
        rest = with(&rest, "pins", stand_in);
    }
    let stands = pins.map(|pins| LinkStands { link: 0, pins, travel, travel_points, asked });
    (Item { value: Value::Table(rest), ..item.clone() }, stands)
}

/// How a link moves, and the points that it travels to by their names.
fn travel(fields: &Fields, points: &Points) -> (Travel, Vec<(String, Span)>) {
    let findings = fields.findings();
    let named = |item: &Item| {
        let at = points.named(item, findings)?;
        Some((at, (item.text()?.trim().to_owned(), item.letters)))
    };
    let (to, names) = fields.list("travel").iter().filter_map(named).unzip();
    let swing = fields.get("swing").and_then(|item| {
        let degrees = entry::measure(item, Dimension::ANGLE, "an angle", "deg", findings)?;
        if (0.0..=STEEPEST).contains(&degrees) {
            return Some(degrees);
        }
        let headline = format!("a link swings by 0° to {}°", num::text(STEEPEST, 0));
        let finding = Finding::stop("out-of-range", headline).at(item.letters, "");
        findings.add(finding.help("write how far it leans to either side: `swing = \"8 deg\"`"));
        None
    });
    (Travel { to, swing: Angle::from_degrees(swing.unwrap_or(0.0)) }, names)
}

/// The tubes of a job as they are read without the machine, and their positions. They may meet
/// `mains`, and each other.
pub(super) fn tubes(
    fields: &Fields,
    (points, tables): (&Points, &Tables),
    mains: &[Axis],
) -> (Vec<Item>, Vec<TubeStands>) {
    let findings = fields.findings();
    let items = fields.list("tube");
    let quiet = Findings::default();
    let known = |item: &Item| axis(item, points, tables, &quiet);
    let all: Vec<Axis> = mains.iter().cloned().chain(items.iter().filter_map(known)).collect();
    let read = items.iter().map(|item| tube(item, (points, tables), &all, findings));
    let (items, stands): (Vec<Item>, Vec<Option<TubeStands>>) = read.unzip();
    (items, stands.into_iter().flatten().collect())
}

/// The axis of a tube between two points.
fn axis(item: &Item, points: &Points, tables: &Tables, findings: &Findings) -> Option<Axis> {
    let Value::Table(table) = &item.value else { return None };
    let fields = Fields::new(table, item.span, findings);
    let outside = match fields.get("tube") {
        Some(item) => entry::row(item, "tube", tables, findings)?.measure("outside"),
        None => entry::length(fields.get("outside")?, findings)?,
    };
    let ends = ends(&fields, points)?;
    Some(Axis { name: name_of(table)?.text()?.to_owned(), legs: vec![ends], outside })
}

fn tube(
    item: &Item,
    (points, tables): (&Points, &Tables),
    all: &[Axis],
    findings: &Findings,
) -> (Item, Option<TubeStands>) {
    let Some((own, mut rest)) = position_entries(item, &TUBE) else { return (item.clone(), None) };
    let fields = Fields::new(&own, item.span, findings);
    let asked =
        RequiredClearance::read(&fields, name_of(&rest).map_or(item.span, |name| name.letters));
    let Some(ends) = ends(&fields, points) else {
        let stand_in = own
            .get("from")
            .or(own.get("to"))
            .map(|from| Entry { key: from.key, item: text(&from.item, mm(1e6)) });
        let rest = stand_in.map_or(rest.clone(), |entry| with(&rest, "length", entry));
        return (Item { value: Value::Table(rest), ..item.clone() }, None);
    };
    let others: Vec<&Axis> =
        all.iter().filter(|axis| name_of(&rest).and_then(Item::text) != Some(&axis.name)).collect();
    let met = [0, 1].map(|end| {
        let met = meets(&mut rest, ends, end, &others, findings);
        // Its error is reported: it is read as a square end.
        if let Some(named) = met.is_none().then(|| met_by(&rest, end)).flatten() {
            let square = Entry { key: named.key, item: text(&named.item, "square".to_owned()) };
            rest = with(&rest, ENDS[end], square);
        }
        met
    });
    let along = unit(minus(ends[1], ends[0]));
    let node = |end: usize| met[end].as_ref().map_or(ends[end], |(_, met)| met.node);
    let nodes = [node(0), node(1)];
    if !given_twice(&rest, "length", &fields) {
        put(&mut rest, "length", &fields, mm(dot(minus(nodes[1], nodes[0]), along).max(0.0)));
    }
    if let [Some((_, first)), Some((_, second))] = &met
        && !given_twice(&rest, "twist", &fields)
    {
        let turned = num::text(twist(ends, [first, second]).degrees(), 9);
        put(&mut rest, "twist", &fields, format!("{turned} deg"));
    }
    let mains = met.each_ref().map(|of| {
        let (name, met) = of.as_ref()?;
        let main = others.iter().find(|axis| axis.name == *name)?;
        Some((name.clone(), main.along(met.node)))
    });
    let mut asked = asked;
    asked.touches.extend(met.iter().flatten().map(|(name, _)| (name.clone(), asked.here)));
    let outside = axis(item, points, tables, &Findings::default()).map(|axis| axis.outside);
    let stands = name_of(&rest).and_then(Item::text).zip(outside).map(|(name, outside)| {
        let is_none = rest.get("quantity").is_some_and(|q| q.item.value == Value::Number(0.0));
        TubeStands { name: name.to_owned(), ends: nodes, mains, outside, is_made: !is_none, asked }
    });
    (Item { value: Value::Table(rest), ..item.clone() }, stands)
}

/// The entry `meets` of an end.
fn met_by(rest: &Table, end: usize) -> Option<Entry> {
    let Value::Table(table) = &rest.get(ENDS[end])?.item.value else { return None };
    table.get("meets").cloned()
}

/// The result of an end that `meets` another tube, put in its place: the name of that one, and how
/// they meet.
fn meets(
    rest: &mut Table,
    ends: [Space; 2],
    end: usize,
    all: &[&Axis],
    findings: &Findings,
) -> Option<(String, Meeting)> {
    let key = ENDS[end];
    let entry = rest.get(key)?.clone();
    let Value::Table(table) = &entry.item.value else { return None };
    let (own, mut others) = split(table, &["meets"]);
    let named = &own.get("meets")?.item;
    let refuse = |headline: String, help: String| {
        findings.add(Finding::stop("unknown-tube", headline).at(named.letters, "").help(help));
        None
    };
    let Some(name) = named.text() else {
        findings.add(wrong_kind(named, "the name of a tube"));
        return None;
    };
    let Some(main) = all.iter().find(|axis| axis.name == name) else {
        let names: Vec<&str> = all.iter().map(|axis| axis.name.as_str()).collect();
        let help = match names.is_empty() {
            true => "give the tube it meets `from` and `to`, or add it as an `[[obstacle]]`".into(),
            false => instead(name, &names, "tubes are"),
        };
        return refuse(format!("there is no tube `{name}` between points"), help);
    };
    let Some(met) = main.met(ends, end) else {
        let help = "name the tube that it ends at".to_owned();
        return refuse(format!("the tube runs along `{name}` and does not meet it"), help);
    };
    let degrees = format!("{} deg", num::text(met.angle.degrees(), 9));
    for (key, value) in [("main", mm(main.outside)), ("angle", degrees), ("offset", mm(met.offset))]
    {
        if let Some(typed) = others.get(key) {
            let headline = format!("`{key}` follows from the tube it meets");
            let finding = Finding::stop("wrong-kind", headline).at(typed.key, "");
            findings.add(finding.help(format!("remove `{key}`, or `meets`")));
            continue;
        }
        others = with(&others, key, Entry { key: entry.key, item: text(named, value) });
    }
    let value = Value::Table(others);
    let item = Item { value, ..entry.item.clone() };
    *rest = with(rest, key, Entry { item, ..entry });
    Some((name.to_owned(), met))
}

/// The entries that give a position, and the others; `None` if there are none.
fn position_entries(item: &Item, keys: &[&str]) -> Option<(Table, Table)> {
    let Value::Table(table) = &item.value else { return None };
    let keys: Vec<&str> = keys.iter().chain(&ASKED).copied().collect();
    let (own, rest) = split(table, &keys);
    let is_empty = own.iter().next().is_none();
    if is_empty { None } else { Some((own, rest)) }
}

/// `from` and `to`: two points that are apart.
fn ends(fields: &Fields, points: &Points) -> Option<[Space; 2]> {
    let findings = fields.findings();
    let point = |key: &str| points.named(fields.need(key, "\"rail\"")?, findings);
    let (from, to) = (point("from"), point("to"));
    let (from, to) = (from?, to?);
    if length(minus(to, from)) > NEAR {
        return Some([from, to]);
    }
    let at = fields.get("to").map_or(fields.here, |item| item.span);
    let finding = Finding::stop("points", "it has no length").at(at, "");
    findings.add(finding.help("name two points that are apart"));
    None
}

/// Reports what is given and follows from the points as well.
fn given_twice(rest: &Table, key: &str, fields: &Fields) -> bool {
    let Some(entry) = rest.get(key) else { return false };
    let headline = format!("`{key}` follows from `from` and `to`");
    let finding = Finding::stop("wrong-kind", headline).at(entry.key, "");
    fields.add(finding.help(format!("remove `{key}`, or `from` and `to`")));
    true
}

/// Puts a value in place of the points that it follows from.
fn put(rest: &mut Table, key: &str, fields: &Fields, value: String) {
    if let Some(from) = fields.entry("from") {
        *rest = with(rest, key, Entry { key: from.key, item: text(&from.item, value) });
    }
}

fn with(table: &Table, key: &str, entry: Entry) -> Table {
    let kept = table.iter().filter(|(other, _)| *other != key);
    let kept = kept.map(|(key, entry)| (key.to_owned(), entry.clone()));
    kept.chain([(key.to_owned(), entry)]).collect()
}

fn text(at: &Item, value: String) -> Item {
    Item { value: Value::Text(value), ..at.clone() }
}

fn mm(value: f64) -> String {
    format!("{} mm", num::text(value, 9))
}

fn name_of(table: &Table) -> Option<&Item> {
    Some(&table.get("name")?.item)
}
