//! The names of a recipe: words that formulas may use, each with one meaning.

use crate::diag::Finding;
use crate::diag::SourceId;
use crate::diag::Span;
use crate::diag::instead;
use crate::document::Findings;
use crate::document::Table;
use crate::document::Value;
use crate::entry::unfit_for_files;
use crate::entry::unfit_name;
use crate::formula::is_name;
use crate::recipe::bend_lines;
use crate::recipe::each::Each;
use crate::recipe::each::NUMBER;
use crate::recipe::face::Work;
use crate::recipe::hand::HAND;
use crate::recipe::point::NamedPoint;
use crate::recipe::shape::Shape;
use crate::recipe::surroundings::IMPLICIT;
use crate::recipe::whole::Recipe;

/// Maximum number of inputs and formulas of a recipe. Our choice: beyond it lies a slip of a
/// script.
const MAX_NAMES: usize = 1000;

/// Words of the formula language.
const RESERVED: &[&str] = &["if", "then", "else", "and", "or", "not", "true", "false", "pi"];

/// Reports names that formulas cannot use or that have two meanings.
pub(super) fn check(recipe: &Recipe, source: SourceId, table: &Table, findings: &Findings) {
    bend_lines::check(recipe, findings);
    let names = recipe.names().count();
    if names > MAX_NAMES {
        let last = ["derived", "inputs", "points"]
            .iter()
            .find_map(|section| table.get(section))
            .map(|entry| entry.key);
        let headline = format!("{names} inputs, formulas and points are more than {MAX_NAMES}");
        let finding = Finding::stop("too-many", headline).help("split it into several recipes");
        findings.add(last.into_iter().fold(finding, |f, span| f.at(span, "")));
        return;
    }
    let key_of = |section: &str, name: &str| match &table.get(section)?.item.value {
        Value::Table(table) => table.get(name).map(|e| e.key),
        _ => None,
    };
    let inputs = recipe.inputs.keys().map(|n| ("inputs", n));
    let derived = recipe.derived.keys().map(|n| ("derived", n));
    let points = recipe.points.keys().map(|n| ("points", n));
    for (section, name) in inputs.chain(derived).chain(points) {
        let Some(key) = key_of(section, name) else { continue };
        let before = match section {
            "inputs" => false,
            "derived" => recipe.inputs.contains_key(name),
            _ => recipe.inputs.contains_key(name) || recipe.derived.contains_key(name),
        };
        check_name(name, key, before, findings);
    }
    for name in recipe.points.values().flat_map(NamedPoint::names) {
        if !recipe.points.contains_key(&name.0) {
            let known: Vec<&str> = recipe.points.keys().map(String::as_str).collect();
            let headline = format!("there is no point `{}`", name.0);
            let help = instead(&name.0, &known, "points are");
            findings.add(Finding::stop("unknown-point", headline).at(name.1, "").help(help));
        }
    }
    let hand = ["derived", "inputs", "points"].iter().find_map(|section| key_of(section, HAND));
    hand_taken(hand.filter(|_| recipe.mirror), findings);
    face_names(recipe, &|name| key_of("face", name), findings);
    laid(recipe, findings);
    // Geometry of another recipe uses the names of that one.
    for each in repeated(recipe).filter(|each| each.span.source == source) {
        for ((name, _), key) in each.lists.iter().zip(&each.keys) {
            let twice = name == NUMBER || recipe.declares(name);
            check_name(name, *key, twice, findings);
        }
        if recipe.declares(NUMBER) {
            let headline = format!("`{NUMBER}` already has a meaning");
            findings.add(Finding::stop("bad-name", headline).at(each.span, "").help(format!(
                "`{NUMBER}` is the member's number here: rename the input or formula"
            )));
        }
    }
}

/// Refuses names of faces that no file can have: a separate plate has that of its face.
fn face_names(recipe: &Recipe, key_of: &dyn Fn(&str) -> Option<Span>, findings: &Findings) {
    let refuse = |name: &str, span: Span| {
        if let Some(words) = unfit_for_files(name) {
            findings.add(unfit_name(name, words, span));
        }
    };
    for name in recipe.faces.keys() {
        if let Some(key) = key_of(name) {
            refuse(name, key);
        }
    }
    // The metal beyond a fold line is a separate face.
    for bend in recipe.bends.values().filter(|bend| !recipe.faces.contains_key(&bend.to)) {
        refuse(&bend.to, bend.to_span);
    }
}

/// Refuses the hand as a name where formulas know it already.
fn hand_taken(key: Option<Span>, findings: &Findings) {
    let Some(key) = key else { return };
    let headline = format!("`{HAND}` already has a meaning");
    findings.add(
        Finding::stop("bad-name", headline)
            .at(key, "")
            .help("under `mirror = true` it is 'right' or 'left': choose another name"),
    );
}

/// Refuses plates that lie on no other plate, or are none themselves.
fn laid(recipe: &Recipe, findings: &Findings) {
    let faces = &recipe.faces;
    for (name, face) in faces {
        let Some(laid) = &face.laid else { continue };
        let refuse = |headline: String, help: String| {
            findings.add(Finding::stop("bad-name", headline).at(laid.span, "").help(help));
        };
        let before: Vec<&str> =
            faces.keys().map(String::as_str).take_while(|other| *other != name).collect();
        if !before.contains(&laid.on.as_str()) {
            let help = match before.is_empty() {
                true => "list the face below it first".to_owned(),
                false => instead(&laid.on, &before, "those before it are"),
            };
            refuse(format!("there is no face `{}` above this one to lie on", laid.on), help);
        }
        if face.pieces.is_none() {
            let headline = format!("face `{name}` is laid on another, but is not a separate plate");
            refuse(headline, "add `pieces = 1` to the face".to_owned());
        }
    }
}

/// Every `each` of the recipe.
fn repeated(recipe: &Recipe) -> impl Iterator<Item = &Each> {
    let bends = recipe.bends.values().filter_map(|bend| bend.each.as_ref());
    bends.chain(recipe.faces.values().flat_map(|face| {
        let shapes = face.blank.iter().filter_map(|step| match &step.work {
            Work::Add(placed) | Work::Cut(placed) => Some(&placed.shape),
            Work::Tongue(_) | Work::Fill(_) | Work::Round(_) => None,
        });
        let kept_off = face.obstacles.iter().map(|obstacle| &obstacle.shape.shape);
        let within = shapes.chain(kept_off).flat_map(Shape::repeated);
        let steps = face.blank.iter().filter_map(|step| step.each.as_ref());
        let holes = face.holes.iter().filter_map(|set| set.each.as_ref());
        let ribs = face.lighten.iter().flat_map(|lighten| &lighten.ribs);
        let ribs = ribs.filter_map(|rib| rib.each.as_ref());
        let lighten = face.lighten.iter().filter_map(|lighten| lighten.each.as_ref()).chain(ribs);
        let marks = face.marks.iter().filter_map(|mark| mark.each.as_ref());
        let welds = face.welds.iter().filter_map(|weld| weld.each.as_ref());
        let bevels = face.bevels.iter().filter_map(|bevel| bevel.each.as_ref());
        let beads = face.beads.iter().filter_map(|bead| bead.each.as_ref());
        let obstacles = face.obstacles.iter().filter_map(|obstacle| obstacle.each.as_ref());
        let steps = steps.chain(obstacles).chain(within).chain(holes).chain(lighten);
        steps.chain(marks).chain(welds).chain(bevels).chain(beads)
    }))
}

/// Reports a name that formulas cannot use, or that has a meaning already: as one of the names that
/// need no declaration, or `twice`.
pub(crate) fn check_name(name: &str, key: Span, twice: bool, findings: &Findings) {
    if !is_name(name) || RESERVED.contains(&name) || name.len() > 64 {
        let headline = format!("`{}` cannot be used in a formula", name.escape_debug());
        findings.add(
            Finding::stop("bad-name", headline).at(key, "").help(
                "names have letters, digits and `_`, and are not words of the formula language",
            ),
        );
    }
    if twice || IMPLICIT.iter().any(|(implicit, _)| *implicit == name) {
        let headline = format!("`{name}` already has a meaning");
        findings.add(Finding::stop("bad-name", headline).at(key, "").help("choose another name"));
    }
}
