//! The typed text: recipe text to [`Recipe`], every piece with its place in the file.
//!
//! A recipe defines a family of parts: its inputs, the formulas between them, the conditions that
//! must be met, and its faces and bends. Nothing is evaluated here;
//! [`resolve`] does that, once for each part.

mod around;
mod bead;
mod bend;
mod bend_lines;
mod bend_rows;
mod bevel;
mod captured;
mod clevis;
mod cut_folded;
mod each;
mod entries;
mod evaluate;
mod expr;
mod face;
mod flare;
mod fold_line;
mod given;
mod hand;
mod hole;
mod in_space;
mod input;
mod kind;
mod kinded;
mod laid;
mod lighten;
mod like;
mod locate;
mod machine;
mod mark;
mod measures;
mod names;
mod obstacle;
mod others;
mod outline;
mod params;
mod pattern;
mod point;
mod recess;
mod reference;
mod remedy;
mod require;
mod resolve;
mod rounded;
mod shape;
mod space;
mod spacing;
mod surroundings;
mod tape;
mod tongue;
mod typed;
mod whole;

pub use around::Around;
pub use bead::Bead;
pub use bead::BeadSection;
pub use bend::Bend;
pub use bend::CornerShape;
pub use bend::Measured;
pub use bend::ReliefShape;
pub use bend_rows::first_lines;
pub use bevel::Bevel;
pub use bevel::BevelSides;
pub use captured::Captured;
pub use clevis::Bridge;
pub use clevis::Clevis;
pub use clevis::Inaccuracy;
pub use cut_folded::Axis;
pub use cut_folded::CutFolded;
pub use each::Each;
pub use each::NUMBER;
pub use expr::Expr;
pub use face::Face;
pub use face::Step;
pub use face::Weld;
pub use face::Work;
pub use flare::Flare;
pub use flare::Reach;
pub use fold_line::FoldLine;
pub use fold_line::Inset;
pub use fold_line::LinePlace;
pub use hand::HAND;
pub use hand::Hand;
pub use hole::ArcLine;
pub use hole::HoleSet;
pub use hole::HoleShape;
pub use hole::Insert;
pub use hole::Making;
pub use hole::Meant;
pub use input::Input;
pub use kind::Kind;
pub use laid::Laid;
pub use lighten::Lighten;
pub use lighten::Rib;
pub(crate) use lighten::WITHIN;
pub(crate) use machine::machine_points;
pub use mark::Mark;
pub(crate) use mark::Marking;
pub(crate) use mark::Word;
pub(crate) use names::check_name;
pub(crate) use obstacle::OBSTACLES;
pub use obstacle::Obstacle;
pub use others::FindRecipe;
pub use others::Others;
pub use outline::Files;
pub use outline::OutlineFault;
pub use outline::OutlineFile;
pub(crate) use outline::drawn;
pub use outline::faults as outline_faults;
pub use outline::remedy as outline_remedy;
pub(crate) use params::Locals;
pub use params::Params;
pub use pattern::Circle;
pub use pattern::Pattern;
pub use point::NamedPoint;
pub use point::PointName;
pub use point::PointRule;
pub use recess::Recess;
pub use recess::Side;
pub use reference::HolesLike;
pub use reference::HolesOf;
pub use resolve::resolve;
pub use rounded::Rounded;
pub use shape::ArcSide;
pub use shape::BeltPiece;
pub use shape::BeltStep;
pub use shape::CornerStep;
pub use shape::Placed;
pub(crate) use shape::SHAPES;
pub use shape::Shape;
pub use shape::Treatment;
pub use space::Plane;
pub(crate) use space::PlaneBy;
pub use space::SpaceTube;
pub use space::TubeCut;
pub use spacing::Amount;
pub use spacing::Spacing;
pub use surroundings::IMPLICIT;
pub use surroundings::Surroundings;
pub use tape::TapeCheck;
pub use tongue::Spread;
pub use tongue::Tongue;
pub use tongue::TongueSlot;
pub use typed::Typed;
pub use whole::Fact;
pub use whole::Grain;
pub use whole::Other;
pub use whole::Recipe;
pub use whole::Require;

use crate::diag::Finding;
use crate::diag::SourceId;
use crate::diag::Span;
use crate::diag::Weight;
use crate::document;
use crate::document::Fields;
use crate::document::Findings;

/// The recipes compiled in, by name: every file of `parts/`.
pub const SHIPPED: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/shipped.rs"));

/// Reads a recipe that uses no other. `files` gives the bytes of the drawings it names.
///
/// # Errors
/// Everything that is wrong with the text, each with its place.
pub fn read(
    name: &str,
    source: SourceId,
    text: &str,
    files: Files,
) -> Result<Recipe, Vec<Finding>> {
    read_among(name, source, text, files, &Others::none())
}

/// Reads a recipe that may use `others`. `files` gives the bytes of the drawings they name.
///
/// # Errors
/// Everything that is wrong with the texts, each with its place.
pub fn read_among(
    name: &str,
    source: SourceId,
    text: &str,
    files: Files,
    others: &Others,
) -> Result<Recipe, Vec<Finding>> {
    let table = document::read(source, text)?;
    let findings = Findings::default();
    let whole = Span { source, start: 0, end: text.find('\n').unwrap_or(text.len()) };
    let fields = Fields::new(&table, whole, &findings);
    let about = fields.needed_text("about", "\"what the part is\"").unwrap_or_default().to_owned();
    let is_shipped = SHIPPED.contains(&(name, text));
    let mut recipe = Recipe { about, is_shipped, ..entries::of_fields(name, &fields, files) };
    fields.finish();
    recipe.knows_hand = recipe.mirror && !recipe.declares(HAND);
    let read_other = |name: &str, source, text: &str| read_among(name, source, text, files, others);
    others.while_in(name, || like::resolve(&mut recipe, others, &read_other, &findings));
    names::check(&recipe, source, &table, &findings);
    if let Some(captured) = &recipe.captured {
        captured.check(&recipe.faces, &findings);
    }
    if recipe.faces.is_empty() && findings.is_empty() {
        findings.add(
            Finding::stop("missing-key", "a recipe needs at least one face")
                .at(whole, "")
                .help("add `[face.plate]` with a `blank`"),
        );
    }
    let mut findings = findings.take();
    if findings.iter().any(|f| f.weight == Weight::Stop) {
        return Err(findings);
    }
    findings.extend(recipe.others.iter().flat_map(|other| other.recipe.cautions.iter().cloned()));
    recipe.cautions = findings;
    Ok(recipe)
}
