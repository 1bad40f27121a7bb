//! A line of a job: an entry of `[[part]]`, or the pattern of a `[[family]]`.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document;
use crate::document::Entry;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::entry;
use crate::job::accept;
use crate::job::asked::AskedBend;
use crate::job::asked::Line;
use crate::job::linked;
use crate::job::machine::RequiredClearance;
use crate::job::on_hand::OnHand;
use crate::job::piece_position;
use crate::job::placing::Placing;
use crate::job::points::Points;
use crate::job::sheet;
use crate::job::sheet::Sheet;
use crate::link::Link;
use crate::table::Tables;

/// Maximum quantity of one part. Our choice.
const MAX_PIECES: u32 = 100_000;

/// What parts may name.
pub(super) struct PartContext<'a> {
    pub(super) tables: &'a Tables,
    pub(super) points: &'a Points,
    pub(super) sheets: &'a [Sheet],
    /// Whether each could be read.
    pub(super) all_sheets: bool,
    pub(super) links: &'a [Link],
    pub(super) all_links: bool,
    /// Where a sheet to offer is from.
    pub(super) on_hand: &'a OnHand<'a>,
}

impl PartContext<'_> {
    /// The sheet that is named; a finding when there is none.
    fn find_sheet(&self, item: &Item, findings: &Findings) -> Option<usize> {
        let offered = || self.on_hand.offered();
        find_sheet(item, self.sheets, self.all_sheets, &offered, findings)
    }
}

/// What an entry of `[[part]]` and one of `[[family]]` have in common.
pub(super) fn line(fields: &Fields, item: &Item, known: &PartContext) -> Option<Line> {
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
        true => fields.count("quantity", MAX_PIECES),
        false => Some(1),
    };
    let all = |name: &str| -> Vec<(String, Entry)> {
        let entries = fields.entries(name).into_iter();
        entries.map(|(name, entry)| (name.to_owned(), entry.clone())).collect()
    };
    let (given, open) = (all("given"), all("open"));
    given_twice(fields, &given, &open);
    let bends = bends(fields);
    let sheet = match open.iter().any(|(name, _)| name == "sheet") {
        // The choice puts another in its place.
        true => (!known.sheets.is_empty()).then_some(0),
        false => fields
            .need("sheet", &sheet_named(known))
            .and_then(|i| known.find_sheet(i, fields.findings())),
    };
    let of_faces = sheets_of_faces(fields, known);
    let held = linked::held(fields, known.links, known.all_links);
    let near = linked::near(fields);
    let (stands, asked) =
        (piece_position::read(fields, known.points), RequiredClearance::read(fields, name_span));
    let holds = fields.get("clamped").and_then(|i| entry::length(i, fields.findings()));
    let placing = Placing::read(fields);
    let coating = fields.get("coating");
    let coating = coating.and_then(|i| entry::coating(i, known.tables, fields.findings()));
    let mirror = fields.has("mirror").then(|| fields.flag("mirror"));
    Some(Line {
        held,
        near,
        recipe: (recipe?, recipe_span?),
        name: name?,
        quantity: quantity?,
        sheet: sheet?,
        part_sheet: None,
        sheets: of_faces,
        given,
        bends,
        open,
        placing,
        accept: accept::read(fields),
        coating,
        holds,
        mirror,
        stands,
        asked,
        here: name_span,
    })
}

/// A sheet to name, in quotes: the first of the job.
fn sheet_named(known: &PartContext) -> String {
    format!("\"{}\"", known.sheets.first().map_or("S235 4 mm", |sheet| sheet.name.as_str()))
}

/// Reports inputs that are both given and left open.
fn given_twice(fields: &Fields, given: &[(String, Entry)], open: &[(String, Entry)]) {
    for (name, entry) in open {
        if let Some((_, fixed)) = given.iter().find(|(other, _)| other == name) {
            fields.add(
                Finding::stop("duplicate-name", format!("`{name}` is both given and open"))
                    .at(entry.key, "open here")
                    .at(fixed.item.span, "given here")
                    .help("remove one of them"),
            );
        }
    }
}

/// How some bends are to be calculated.
fn bends(fields: &Fields) -> Vec<AskedBend> {
    let asked = |(name, entry): (&str, &Entry)| {
        let rule = entry::bend_rule(&entry.item, fields.findings())?;
        Some(AskedBend { name: name.to_owned(), rule, span: entry.item.span })
    };
    fields.entries("bends").into_iter().filter_map(asked).collect()
}

/// The sheets of faces that are made of others than the part.
fn sheets_of_faces(fields: &Fields, known: &PartContext) -> Vec<(String, usize, Span)> {
    let of_face = |(face, entry): (&str, &Entry)| {
        let sheet = known.find_sheet(&entry.item, fields.findings())?;
        Some((face.to_owned(), sheet, entry.key))
    };
    fields.entries("sheets").into_iter().filter_map(of_face).collect()
}

/// The sheet of a name; a finding when there is none, with one to add, of the size that is offered,
/// mm.
pub(crate) fn find_sheet(
    item: &Item,
    sheets: &[Sheet],
    complete: bool,
    offered: &dyn Fn() -> Option<[f64; 2]>,
    findings: &Findings,
) -> Option<usize> {
    let Value::Text(wanted) = &item.value else {
        findings.add(document::wrong_kind(item, "the name of a sheet"));
        return None;
    };
    let found = sheets.iter().position(|s| s.name == *wanted);
    // If a sheet cannot be read, its name may be the missing one.
    if found.is_none() && complete {
        let names: Vec<&str> = sheets.iter().map(|s| s.name.as_str()).collect();
        let finding = Finding::stop("unknown-sheet", format!("there is no sheet `{wanted}`"));
        let finding = finding.at(item.letters, "");
        findings.add(match crate::diag::nearest(wanted, names.iter().copied()) {
            // `S235 5 mm` is no slip of the hand for `S235 4 mm`.
            Some(near) if sheet::named(near) == sheet::named(wanted) => finding.write(&[near]),
            _ => {
                let names: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
                let example = sheet::example(wanted, offered());
                finding.help(format!("choose from {}, or add it: {example}", names.join(", ")))
            }
        });
    }
    found
}
