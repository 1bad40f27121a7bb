//! The faces of a recipe, and the steps that build their blanks.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Entry;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::recipe::around::Around;
use crate::recipe::bead;
use crate::recipe::bead::Bead;
use crate::recipe::bevel;
use crate::recipe::bevel::Bevel;
use crate::recipe::each::Each;
use crate::recipe::expr::Expr;
use crate::recipe::hole;
use crate::recipe::hole::HoleSet;
use crate::recipe::laid::Laid;
use crate::recipe::lighten;
use crate::recipe::lighten::Lighten;
use crate::recipe::mark;
use crate::recipe::mark::Mark;
use crate::recipe::measures::Measures;
use crate::recipe::obstacle;
use crate::recipe::obstacle::Obstacle;
use crate::recipe::outline::Files;
use crate::recipe::reference::Reference;
use crate::recipe::shape::Placed;
use crate::recipe::shape::SHAPES;
use crate::recipe::shape::placed;
use crate::recipe::space::Plane;
use crate::recipe::tongue;
use crate::recipe::tongue::Tongue;

/// One flat piece of the part.
#[derive(Clone, Debug)]
pub struct Face {
    /// The plane in space in which it lies, where that is given.
    pub on: Option<Plane>,
    /// How its outline is built, in order.
    pub blank: Vec<Step>,
    /// Its holes.
    pub holes: Vec<HoleSet>,
    /// Openings that lighten it.
    pub lighten: Vec<Lighten>,
    /// Its scribed or etched marks.
    pub marks: Vec<Mark>,
    /// Edges that are welded.
    pub welds: Vec<Weld>,
    /// Edges that are bevelled.
    pub bevels: Vec<Bevel>,
    /// Beads formed into it.
    pub beads: Vec<Bead>,
    /// The obstacles it must clear.
    pub obstacles: Vec<Obstacle>,
    /// For a separate plate of a weldment: how many an assembly needs.
    pub pieces: Option<Expr>,
    /// Where it lies on another plate.
    pub laid: Option<Laid>,
    /// Only when this is true.
    pub when: Option<Expr>,
    /// The face it is like.
    pub(super) like: Option<Reference>,
    /// Whether it is drawn in the mirror, left and right swapped.
    pub mirrored: bool,
    /// The position of its name.
    pub span: Span,
}

/// A note that an edge is welded.
#[derive(Clone, Debug)]
pub struct Weld {
    /// Name of the edge.
    pub edge: String,
    /// Leg of the fillet, where it is given.
    pub leg: Option<Expr>,
    /// On how many sides of the plate there is a fillet: 1 or 2.
    pub sides: u32,
    /// Whether the fillet runs all round the plate at this edge.
    pub(crate) all_round: bool,
    /// Remarks.
    pub note: String,
    /// Once for each value of lists.
    pub each: Option<Each>,
    /// The whole entry.
    pub span: Span,
}

/// One step in building a blank.
#[derive(Clone, Debug)]
pub struct Step {
    /// Its kind of work.
    pub work: Work,
    /// Only when this is true.
    pub when: Option<Expr>,
    /// Once for each value of lists.
    pub each: Option<Each>,
    /// Repeated round a point.
    pub around: Option<Around>,
    /// The whole step.
    pub span: Span,
}

/// The work of a step.
#[derive(Clone, Debug)]
pub enum Work {
    /// Metal is added.
    Add(Placed),
    /// Adds tongues to an edge.
    Tongue(Tongue),
    /// Removes metal.
    Cut(Placed),
    /// Inward corners are filled with this radius.
    Fill(Expr),
    /// Outward corners are rounded with this radius.
    Round(Expr),
}

impl Face {
    pub(super) fn read(entry: &Entry, files: Files, findings: &Findings) -> Option<Self> {
        let measures = Measures(Fields::of(&entry.item, findings)?);
        let (pieces, when) = (measures.may("pieces"), measures.may("when"));
        let fields = measures.0;
        let like = Reference::read(&fields);
        let (mirrored, laid) = (fields.flag("mirror"), Laid::read(&fields));
        if like.is_none() {
            fields.need("blank", "[ { add = \"disc\", radius = \"10 mm\" } ]");
        }
        let blank = fields.list("blank").iter().filter_map(|i| step(i, files, findings)).collect();
        let holes = fields.list("holes").iter().filter_map(|i| hole::read(i, findings)).collect();
        let lighten = fields.list("lighten").iter();
        let lighten = lighten.filter_map(|i| lighten::read(i, files, findings)).collect();
        let marks = fields.list("marks").iter().filter_map(|i| mark::read(i, findings)).collect();
        let welds = fields.list("weld").iter().filter_map(|i| weld(i, findings)).collect();
        let bevels = fields.list("bevel").iter().filter_map(|i| bevel::read(i, findings)).collect();
        let beads = fields.list("bead").iter().filter_map(|i| bead::read(i, findings)).collect();
        let obstacles = fields.list("obstacles").iter();
        let obstacles = obstacles.filter_map(|i| obstacle::read(i, files, findings)).collect();
        let on = Plane::read(&fields);
        fields.finish();
        let span = entry.key;
        Some(Self {
            on: on?,
            blank,
            holes,
            lighten,
            marks,
            welds,
            bevels,
            beads,
            obstacles,
            pieces,
            laid,
            when,
            like,
            mirrored,
            span,
        })
    }
}

fn weld(item: &Item, findings: &Findings) -> Option<Weld> {
    let measures = Measures(Fields::of(item, findings)?);
    let edge = measures.0.needed_text("edge", "\"foot\"").map(str::to_owned);
    let (leg, note) = (measures.may("leg"), measures.name("note").unwrap_or_default());
    let sides = if measures.0.flag("one_side") { 1 } else { 2 };
    let all_round = measures.0.flag("all_round");
    if all_round && sides == 1 {
        measures.0.add(
            Finding::stop("weld", "a fillet that goes all round is on both sides")
                .at(item.span, "`all_round` and `one_side`")
                .help("leave out one of them"),
        );
    }
    let each = Each::read(&measures);
    measures.0.finish();
    Some(Weld { edge: edge?, leg, sides, all_round, note, each: each?, span: item.span })
}

fn step(item: &Item, files: Files, findings: &Findings) -> Option<Step> {
    let measures = Measures(Fields::of(item, findings)?);
    let words = ["add", "cut", "fill", "round"];
    let present: Vec<&str> =
        words.into_iter().filter(|w| *w != "round" && measures.0.has(w)).collect();
    let (when, each) = (measures.may("when"), Each::read(&measures));
    let around = around(&measures);
    // `round` is also the list of a belt, so it is a step only if it is the only key.
    let work = match present.as_slice() {
        ["add"] if measures.0.get("add").and_then(Item::text) == Some("tongue") => {
            tongue::tongue(&measures).map(Work::Tongue)
        }
        ["add"] => placed(&measures, "add", files).map(Work::Add),
        ["cut"] => placed(&measures, "cut", files).map(Work::Cut),
        ["fill"] => measures.need("fill").map(Work::Fill),
        [] if measures.0.has("round") => measures.need("round").map(Work::Round),
        _ => {
            findings.add(
                Finding::stop("missing-key", "a step does one of: add, cut, fill, round")
                    .at(item.span, "")
                    .help("write `{ add = \"rectangle\", width = \"60 mm\", height = \"40 mm\" }`"),
            );
            return None;
        }
    };
    let shape = ["add", "cut"].iter().find_map(|w| measures.0.get(w)?.text());
    if work.is_some() || shape.is_some_and(|shape| SHAPES.contains(&shape)) {
        measures.0.finish();
    }
    Some(Step { work: work?, when, each: each?, around: around?, span: item.span })
}

/// How a shape is repeated round a point. A shape placed by an edge, a tube or corners is not.
fn around(measures: &Measures) -> Option<Option<Around>> {
    let shape = ["add", "cut"].iter().find_map(|work| measures.0.get(work)?.text());
    let fixed = ["flange", "tongue", "tube", "obstacle"];
    let Some(key) = Around::key(measures).filter(|_| shape.is_none_or(|s| fixed.contains(&s)))
    else {
        return Around::read(measures);
    };
    measures.0.get("around");
    let headline = "only a shape with a position of its own can be repeated round a point";
    let help = "remove `around`, or write it in a step that adds or cuts such a shape";
    measures.0.add(Finding::stop("wrong-kind", headline).at(key, "").help(help));
    None
}
