//! The entries of a recipe, each read by its kind.

use crate::diag::Finding;
use crate::document::Entry;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::recipe::bend::Bend;
use crate::recipe::captured::Captured;
use crate::recipe::clevis::Clevis;
use crate::recipe::cut_folded;
use crate::recipe::cut_folded::CutFolded;
use crate::recipe::expr::Expr;
use crate::recipe::face::Face;
use crate::recipe::input::Input;
use crate::recipe::outline::Files;
use crate::recipe::point::NamedPoint;
use crate::recipe::space::SpaceTube;
use crate::recipe::whole::Fact;
use crate::recipe::whole::Grain;
use crate::recipe::whole::Recipe;
use crate::recipe::whole::Require;
use indexmap::IndexMap;

/// Maximum number of pieces in a set, and of copies of a job line. Our choice.
const MAX_COPIES: u32 = 1000;

/// All entries of a recipe, except its description.
pub(super) fn of_fields(name: &str, fields: &Fields, files: Files) -> Recipe {
    let findings = fields.findings();
    Recipe {
        name: name.to_owned(),
        is_shipped: false,
        about: String::new(),
        inputs: named(fields, "inputs", |name, entry| Input::read(name, entry, findings)),
        derived: named(fields, "derived", |_, entry| Expr::read(&entry.item, findings)),
        points: named(fields, "points", |_, entry| NamedPoint::read(entry, findings)),
        tape: fields.get("tape").and_then(|item| Expr::read(item, findings)),
        requires: fields.list("require").iter().filter_map(|i| require(i, findings)).collect(),
        facts: facts(fields),
        clevis: fields.get("clevis").and_then(|i| Clevis::read(i, findings)),
        captured: fields.get("captured").and_then(|i| Captured::read(i, findings)),
        tubes: labelled(fields, "tube", "rail", |entry| SpaceTube::read(entry, findings)),
        faces: named(fields, "face", |_, entry| Face::read(entry, files, findings)),
        bends: labelled(fields, "bend", "heel", |entry| Bend::read(entry, findings)),
        cut_folded: cut_folded(fields, findings),
        copies: copies(fields),
        mirror: fields.flag("mirror"),
        knows_hand: false,
        grain: grain(fields),
        bend_ticks: fields.get("bend_ticks").map(|_| fields.flag("bend_ticks")),
        others: Vec::new(),
        elsewhere: Vec::new(),
        cautions: Vec::new(),
    }
}

fn cut_folded(fields: &Fields, findings: &Findings) -> Vec<CutFolded> {
    fields.list("cut_folded").iter().filter_map(|i| cut_folded::read(i, findings)).collect()
}

fn require(item: &Item, findings: &Findings) -> Option<Require> {
    let fields = Fields::of(item, findings)?;
    let that = fields.need("that", "\"reach > 0 mm\"").and_then(|i| Expr::read(i, findings));
    let otherwise = fields.needed_text("else", "\"what to do about it\"").map(str::to_owned);
    fields.finish();
    Some(Require { that: that?, otherwise: otherwise? })
}

fn facts(fields: &Fields) -> Vec<Fact> {
    let read = |(name, entry): (&str, &Entry)| {
        let fact = Fields::of(&entry.item, fields.findings())?;
        let value = fact.need("value", "\"a formula\"");
        let value = value.and_then(|i| Expr::read(i, fact.findings()));
        let about = fact.needed_text("about", "\"what it is\"").map(str::to_owned);
        let when = fact.get("when").and_then(|i| Expr::read(i, fact.findings()));
        fact.finish();
        Some(Fact { name: name.to_owned(), value: value?, about: about?, when })
    };
    fields.labelled("facts", "gap").into_iter().filter_map(read).collect()
}

/// The entries of a table that can be read, by their names.
fn named<T>(
    fields: &Fields,
    table: &str,
    read: impl Fn(&str, &Entry) -> Option<T>,
) -> IndexMap<String, T> {
    let entries = fields.entries(table).into_iter();
    entries.filter_map(|(name, entry)| Some((name.to_owned(), read(name, entry)?))).collect()
}

/// The same for a table whose keys are names.
fn labelled<T>(
    fields: &Fields,
    table: &str,
    example: &str,
    read: impl Fn(&Entry) -> Option<T>,
) -> IndexMap<String, T> {
    let entries = fields.labelled(table, example).into_iter();
    entries.filter_map(|(name, entry)| Some((name.to_owned(), read(entry)?))).collect()
}

fn copies(fields: &Fields) -> u32 {
    fields.count_from("copies", 1, MAX_COPIES).unwrap_or(1)
}

fn grain(fields: &Fields) -> Grain {
    let Some(item) = fields.get("grain") else { return Grain::Free };
    match item.text() {
        Some("free") => Grain::Free,
        Some("x") => Grain::AlongX,
        Some("y") => Grain::AlongY,
        _ => {
            fields.add(
                Finding::stop("wrong-kind", "`grain` is `free`, `x` or `y`")
                    .at(item.span, "")
                    .help("`grain = \"x\"`: x of the first face runs along the grain"),
            );
            Grain::Free
        }
    }
}
