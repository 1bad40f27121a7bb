//! `[[kit]]`: parts of one assembly, the pieces of which are nested on one sheet.

use crate::diag;
use crate::diag::Finding;
use crate::diag::Span;
use crate::document;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::job::asked::Kit;
use crate::job::asked::Line;
use crate::job::only;

/// Maximum quantity of a kit. Our choice: each one has its own place in the layout, and the search
/// slows down with their number.
const MAX_KITS: u32 = 100;

const EXAMPLE: &str = "[\"foot\", \"arm-*\"]";

/// The kits of a job. While a part cannot be read, a kit may name a missing one.
pub(super) fn read(fields: &Fields, lines: &[Line]) -> Vec<Kit> {
    let findings = fields.findings();
    let items = fields.list("kit");
    let complete = findings.is_empty();
    let mut kits: Vec<Kit> = Vec::new();
    for item in items {
        let Some(kit) = one(item, (lines, complete), findings) else { continue };
        if let Some(finding) = kits.iter().find_map(|other| clash(&kit, other)) {
            findings.add(finding);
        }
        kits.push(kit);
    }
    kits
}

fn one(item: &Item, (lines, complete): (&[Line], bool), findings: &Findings) -> Option<Kit> {
    let fields = Fields::of(item, findings)?;
    let name = fields.needed_label("name", "\"stand\"").map(str::to_owned);
    let here = fields.get("name").map_or(item.span, |item| item.letters);
    let quantity = match fields.has("quantity") {
        true => fields.count_from("quantity", 1, MAX_KITS),
        false => Some(1),
    };
    let named = fields.need("parts", EXAMPLE).and_then(|item| {
        let named = fields.list("parts");
        if named.is_empty() {
            let finding = Finding::stop("missing-key", "this kit has no parts").at(item.span, "");
            findings.add(finding.help(format!("write `parts = {EXAMPLE}`")));
            return None;
        }
        let found = named.iter().map(|item| parts(item, lines, complete, findings));
        found.collect::<Option<Vec<_>>>().map(|found| found.concat())
    });
    fields.finish();
    let (name, quantity, mut found) = (name?, quantity?, named?);
    found.sort_unstable();
    found.dedup();
    let kit = found.into_iter().map(|i| &lines[i]);
    kit.clone().filter_map(|line| uneven(line, (&name, quantity), here)).for_each(|finding| {
        findings.add(finding);
    });
    Some(Kit { name, quantity, parts: kit.map(|line| line.name.clone()).collect(), here })
}

/// The lines that a name or pattern selects.
fn parts(item: &Item, lines: &[Line], complete: bool, findings: &Findings) -> Option<Vec<usize>> {
    let Some(wanted) = item.text() else {
        findings.add(document::wrong_kind(item, "the name of a part"));
        return None;
    };
    let found: Vec<usize> =
        (0..lines.len()).filter(|i| only::matches(wanted, &lines[*i].name)).collect();
    if complete && found.is_empty() {
        let names: Vec<&str> = lines.iter().map(|line| line.name.as_str()).collect();
        findings.add(
            Finding::stop("unknown-part", format!("there is no part `{wanted}` for the kit"))
                .at(item.letters, "")
                .help(diag::instead(wanted, &names, "choose from")),
        );
        return None;
    }
    Some(found)
}

/// A finding if the pieces of a part cannot be divided equally among the kits.
fn uneven(line: &Line, (kit, quantity): (&str, u32), here: Span) -> Option<Finding> {
    let over = line.quantity % quantity;
    (over > 0).then(|| {
        let (name, pieces) = (&line.name, line.quantity);
        let headline = format!(
            "{pieces} of `{name}` cannot be divided equally among {quantity} of kit `{kit}`"
        );
        let (below, above) = (pieces - over, pieces - over + quantity);
        let help = match below {
            0 => format!("write `quantity = {above}` for the part"),
            _ => format!("write `quantity = {below}` or `quantity = {above}` for the part"),
        };
        Finding::stop("kit-quantity", headline).at(here, "").at(line.here, "its part").help(help)
    })
}

/// The name of a kit if the report gives it to another as well: where there are several, they are
/// numbered.
fn both_named<'k>(kit: &'k Kit, other: &Kit) -> Option<&'k str> {
    let is_numbered = |n: u32| kit.name == format!("{} {n}", other.name);
    let is_one =
        kit.name == other.name || other.quantity > 1 && (1..=other.quantity).any(is_numbered);
    is_one.then_some(kit.name.as_str())
}

/// A finding if two kits have the same name or the same part.
fn clash(kit: &Kit, other: &Kit) -> Option<Finding> {
    let finding = |headline: String, help: &str| {
        let finding = Finding::stop("duplicate-name", headline).at(kit.here, "");
        finding.at(other.here, "the other").help(help)
    };
    if let Some(name) = both_named(kit, other).or_else(|| both_named(other, kit)) {
        let headline = format!("two kits are called `{name}`");
        return Some(finding(headline, "give each its own name, or list all parts in one"));
    }
    let both = kit.parts.iter().find(|part| other.parts.contains(part))?;
    let headline = format!("`{both}` is in the kits `{}` and `{}`", other.name, kit.name);
    Some(finding(
        headline,
        "leave it out of one of them, or enter the part twice in the job, under two names",
    ))
}
