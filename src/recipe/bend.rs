//! The bends of a recipe.

use crate::bend::Form;
use crate::bend::Rule;
use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Entry;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::entry;
use crate::formula;
use crate::recipe::each::Each;
use crate::recipe::expr::Expr;
use crate::recipe::fold_line;
use crate::recipe::fold_line::FoldLine;
use crate::recipe::fold_line::LinePlace;
use crate::recipe::measures::Measures;
use crate::recipe::measures::word;

/// To where the faces beside a bend are drawn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Measured {
    /// To the sharp corner of the outside.
    #[default]
    Outside,
    /// To the end of a caliper's reading: the sharp corner of the outside up to 90°, beyond that
    /// the outside of the bend itself, as in DIN 6935.
    TangentOutside,
    /// To the sharp corner of the inside.
    Inside,
    /// To where the bend begins.
    Tangent,
}

/// The relief beside the ends of a bend, so that the sheet does not tear there.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum ReliefShape {
    /// A notch with a square end.
    #[default]
    Square,
    /// A notch with a round end.
    Round,
    /// A round hole whose centre lies where the bend begins.
    Hole,
    /// Nothing is cut; the sheet tears, or is slit by hand.
    Tear,
    /// Nothing is cut, and no relief may be needed.
    None,
}

/// How far two flanges on neighbouring edges reach.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum CornerShape {
    /// Each ends where the other's bend begins.
    #[default]
    Open,
    /// Each ends square, a gap from the inside of the other.
    Closed,
    /// This one runs past the other, which ends a gap from its inside.
    Overlap,
    /// Both end slanted, a gap from the line in which their insides meet.
    Mitre,
}

/// One bend: which edge it is on and which face it carries.
#[derive(Clone, Debug)]
pub struct Bend {
    /// The face it is on.
    pub from: String,
    /// The named edge of that face; empty for a fold line across it.
    pub edge: String,
    /// The line across the face, where it is no flange on an edge.
    pub line: Option<FoldLine>,
    /// Where face and edge are named.
    pub(crate) on_span: Span,
    /// The face it carries.
    pub to: String,
    /// Where that is named.
    pub(crate) to_span: Span,
    /// How it is formed.
    pub form: Form,
    /// The bend angle: how far the flange is bent from flat; `None` for a hem.
    pub angle: Option<Expr>,
    /// Clear distance between the two sides of an open hem.
    pub opening: Option<Expr>,
    /// Inside radius; the sheet's usual one when left out.
    pub radius: Option<Expr>,
    /// Its method of calculation, if its recipe gives one.
    pub method: Option<Rule>,
    /// Towards the viewer or away, seen on the first face.
    pub up: bool,
    /// To where the two faces are drawn.
    pub measured: Measured,
    /// How far the carried face is shifted along its own x.
    pub offset: Option<Expr>,
    /// The relief beside its ends.
    pub relief: ReliefShape,
    /// Across a relief, or the diameter of its hole.
    pub relief_width: Option<Expr>,
    /// How far a relief reaches behind where the bend begins.
    pub relief_depth: Option<Expr>,
    /// How far the carried face reaches beside a flange on the next edge.
    pub corner: CornerShape,
    /// Between the two flanges at such a corner.
    pub gap: Option<Expr>,
    /// Once for each value of lists.
    pub each: Option<Each>,
    /// Of a member of a repeated bend, the name of that.
    pub(crate) member_of: Option<String>,
    /// The position of the bend's name.
    pub span: Span,
}

const MEASURED: [(&str, Measured); 4] = [
    ("outside", Measured::Outside),
    ("tangent-outside", Measured::TangentOutside),
    ("inside", Measured::Inside),
    ("tangent", Measured::Tangent),
];

const RELIEFS: [(&str, ReliefShape); 5] = [
    ("square", ReliefShape::Square),
    ("round", ReliefShape::Round),
    ("hole", ReliefShape::Hole),
    ("tear", ReliefShape::Tear),
    ("none", ReliefShape::None),
];

const CORNERS: [(&str, CornerShape); 4] = [
    ("open", CornerShape::Open),
    ("closed", CornerShape::Closed),
    ("overlap", CornerShape::Overlap),
    ("mitre", CornerShape::Mitre),
];

impl Bend {
    pub(super) fn read(named: &Entry, findings: &Findings) -> Option<Self> {
        let measures = Measures(Fields::of(&named.item, findings)?);
        let each = Each::read(&measures);
        let fields = measures.0;
        let line = fields.has("across").then(|| fold_line::read(&fields));
        let on = on_edge(&fields, line.is_none());
        let to = fields.needed_text("to", "\"leg\"").map(str::to_owned);
        let (is_drawn, is_misread) = match &line {
            Some(Some((_, line))) => (matches!(line.place, LinePlace::Drawn(_)), false),
            // Its own error is reported: whether it needs an angle is not known.
            Some(None) => (false, true),
            None => (false, false),
        };
        let Shape { form, angle, radius, opening } = shape(&fields, [is_drawn, is_misread]);
        let method = fields.get("method").and_then(|i| entry::bend_rule(i, findings));
        let up = word(&fields, "side", &[("up", true), ("down", false)]);
        let measured = measured(&fields, form);
        let expr = |name: &str| fields.get(name).and_then(|i| Expr::read(i, findings));
        let relief = word(&fields, "relief", &RELIEFS);
        let (relief_width, relief_depth) = (expr("relief_width"), expr("relief_depth"));
        let corner = corner(&fields, form, line.is_some());
        let (gap, offset) = (expr("gap"), expr("offset"));
        let letters = |name: &str| fields.get(name).map_or(named.key, |i| i.letters);
        let on_span = letters(if line.is_none() { "on" } else { "across" });
        let to_span = letters("to");
        fields.finish();
        let (from, edge, line) = match line {
            Some(line) => {
                let (across, line) = line?;
                (across, "", Some(line))
            }
            None => on.map(|(from, edge)| (from.to_owned(), edge, None))?,
        };
        Some(Self {
            from,
            edge: edge.to_owned(),
            line,
            on_span,
            to: to?,
            to_span,
            form,
            angle: angle?,
            opening,
            radius,
            method,
            up: up.unwrap_or(true),
            measured,
            offset,
            relief: relief.unwrap_or_default(),
            relief_width,
            relief_depth,
            corner: corner.unwrap_or_default(),
            gap,
            each: each?,
            member_of: None,
            span: named.key,
        })
    }
}

/// The face and the edge that a bend is on, if it `is_needed`: not on a line across a face.
fn on_edge<'f>(fields: &Fields<'f>, is_needed: bool) -> Option<(&'f str, &'f str)> {
    let on = if is_needed { fields.needed_text("on", "\"plate.top\"")? } else { return None };
    let split = on.split_once('.');
    if split.is_none() {
        let span = fields.get("on").map(|item| item.letters)?;
        let finding = Finding::stop("bad-name", "a bend joins a named edge of a face");
        let help = "write the face, a dot and the edge: `on = \"plate.top\"`";
        fields.add(finding.at(span, "").help(help));
    }
    split
}

impl Bend {
    /// The same where these names have values: a member of a repeated bend.
    pub(crate) fn with(&self, locals: &[(String, formula::Value)]) -> Self {
        let known = |expr: &Option<Expr>| expr.as_ref().map(|expr| expr.with(locals));
        Self {
            line: self.line.as_ref().map(|line| line.with(locals)),
            angle: known(&self.angle),
            opening: known(&self.opening),
            radius: known(&self.radius),
            offset: known(&self.offset),
            relief_width: known(&self.relief_width),
            relief_depth: known(&self.relief_depth),
            gap: known(&self.gap),
            ..self.clone()
        }
    }
}

/// Reports what is assumed of a bend on a drawn line: an outline file shows only where it is.
fn assumed(fields: &Fields, form: Form) {
    if !matches!(form, Form::Bent | Form::Rolled) {
        return;
    }
    let (what, help) = match (fields.has("angle"), fields.has("side")) {
        (true, true) => return,
        (false, true) => ("its angle is assumed: 90°", "write `angle = \"90 deg\"`"),
        (true, false) => ("its side is assumed: up", "write `side = \"up\"` or `\"down\"`"),
        (false, false) => (
            "its angle and side are assumed: 90° up",
            "write `angle = \"90 deg\"`, and `side = \"up\"` or `\"down\"`",
        ),
    };
    let headline = format!("an outline file does not say how a line is bent; {what}");
    fields.add(Finding::caution("outline", headline).at(fields.here, "").help(help));
}

/// The treatment where it meets another at a corner: only for a bend over a V or on a folding
/// brake; for a fold line that has been reported.
fn corner(fields: &Fields, form: Form, across: bool) -> Option<CornerShape> {
    match (form, fields.get("corner")) {
        (Form::Bent, _) => word(fields, "corner", &CORNERS),
        (_, Some(item)) if !across => {
            let headline = "only flanges bent over a V or on a folding brake meet at a corner";
            fields.add(Finding::stop("bend", headline).at(item.span, "").help(
                "remove it: returns of hems that meet are drawn as polygons, their ends cut at \
                 45° so that they leave a gap",
            ));
            None
        }
        _ => None,
    }
}

/// To where the faces beside a bend are drawn. A rolled bend has no corner to measure to.
fn measured(fields: &Fields, form: Form) -> Measured {
    let asked = word(fields, "measured", &MEASURED);
    let (usual, fits): (Measured, &[Measured]) = match form {
        Form::Bent => (Measured::Outside, &[]),
        Form::Rolled => (Measured::Tangent, &[Measured::Tangent]),
        Form::OpenHem | Form::ClosedHem => {
            (Measured::TangentOutside, &[Measured::TangentOutside, Measured::Tangent])
        }
    };
    let asked = asked.unwrap_or(usual);
    if fits.is_empty() || fits.contains(&asked) {
        return asked;
    }
    let (headline, help) = match form {
        Form::Rolled => (
            "a rolled bend is measured from where it begins",
            "write `measured = \"tangent\"`, or leave it out",
        ),
        _ => (
            "a hem is measured to the outside of its fold, or from where the fold begins",
            "write `measured = \"tangent-outside\"` or `\"tangent\"`, or leave it out",
        ),
    };
    let span = fields.get("measured").map_or(fields.here, |item| item.span);
    fields.add(Finding::stop("bend", headline).at(span, "").help(help));
    usual
}

/// The form of a bend, and what that form is given by.
struct Shape {
    form: Form,
    /// `None` if an angle is missing.
    angle: Option<Option<Expr>>,
    radius: Option<Expr>,
    opening: Option<Expr>,
}

fn shape(fields: &Fields, [is_drawn, is_misread]: [bool; 2]) -> Shape {
    let read = |item| Expr::read(item, fields.findings());
    let form = match word(fields, "form", &Form::WORDS) {
        // The missing key depends on the form, which is misspelt.
        None if fields.has("form") => {
            let [radius, opening] = ["radius", "opening"].map(|key| fields.get(key).and_then(read));
            let angle = Some(fields.get("angle").and_then(read));
            return Shape { form: Form::default(), angle, radius, opening };
        }
        form => form.unwrap_or_default(),
    };
    let needed = |name: &str, example: &str| fields.need(name, example).and_then(read);
    let meets = fields.has("across") && fields.has("meets");
    if let Some(entry) = if meets { fields.entry("angle") } else { None } {
        let headline = "`meets` already gives the angle of this bend";
        let finding = Finding::stop("bend", headline).at(entry.key, "");
        fields.add(finding.help("remove `angle`, or `meets`"));
    }
    let angle = match form {
        Form::Bent | Form::Rolled if meets => Some(None),
        Form::Bent | Form::Rolled if is_drawn && !fields.has("angle") => {
            let value = Value::Text("90 deg".to_owned());
            let usual = Item { value, span: fields.here, letters: fields.here };
            Expr::read(&usual, fields.findings()).map(Some)
        }
        Form::Bent | Form::Rolled if is_misread => Some(fields.get("angle").and_then(read)),
        Form::Bent | Form::Rolled => needed("angle", "\"90 deg\"").map(Some),
        Form::OpenHem | Form::ClosedHem => Some(None),
    };
    let radius = match form {
        Form::Bent => fields.get("radius").and_then(read),
        Form::Rolled => needed("radius", "\"30 mm\""),
        Form::OpenHem | Form::ClosedHem => None,
    };
    let opening = match form {
        Form::OpenHem => needed("opening", "\"3 mm\""),
        _ => None,
    };
    if is_drawn {
        assumed(fields, form);
    }
    Shape { form, angle, radius, opening }
}
