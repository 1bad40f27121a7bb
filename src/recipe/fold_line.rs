//! Fold lines: bends drawn across a face.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Fields;
use crate::document::Item;
use crate::document::Value;
use crate::document::wrong_kind;
use crate::formula;
use crate::recipe::expr::Expr;
use crate::recipe::measures::Measures;
use crate::recipe::measures::both;
use crate::recipe::measures::point;
use crate::recipe::space;

/// A line across a face. The moving side becomes a separate face.
#[derive(Clone, Debug)]
pub struct FoldLine {
    /// How it is placed, in the drawing of the face.
    pub place: LinePlace,
    /// A point of the moving side, which is on the left of the line when left out.
    pub moves: Option<[Expr; 2]>,
    /// `meets`: a point in space that what moves then reaches, in place of an angle.
    pub meets: Option<[Expr; 3]>,
    /// The whole entry.
    pub(crate) span: Span,
}

impl FoldLine {
    /// The same where these names have values.
    pub(super) fn with(&self, locals: &[(String, formula::Value)]) -> Self {
        let one = |expr: &Expr| expr.with(locals);
        let two = |at: &[Expr; 2]| at.each_ref().map(one);
        let place = match &self.place {
            LinePlace::Points(from, to) => LinePlace::Points(two(from), two(to)),
            LinePlace::Direction(at, direction) => LinePlace::Direction(two(at), one(direction)),
            LinePlace::Edge { edge, inset, rotate } => LinePlace::Edge {
                edge: edge.clone(),
                inset: match inset {
                    Inset::Flat(expr) => Inset::Flat(one(expr)),
                    Inset::Outside(expr) => Inset::Outside(one(expr)),
                },
                rotate: rotate.as_ref().map(one),
            },
            LinePlace::Drawn(number) => LinePlace::Drawn(*number),
        };
        let meets = self.meets.as_ref().map(|at| at.each_ref().map(one));
        Self { place, moves: self.moves.as_ref().map(two), meets, span: self.span }
    }
}

/// How a fold line is placed.
#[derive(Clone, Debug)]
pub enum LinePlace {
    /// From a point to another; it runs on from both to the edges of the metal.
    Points([Expr; 2], [Expr; 2]),
    /// Through a point, in a direction.
    Direction([Expr; 2], Expr),
    /// Inside a named edge, which is on its left.
    Edge {
        /// Name of the edge.
        edge: String,
        /// From the centre of the remaining edge, square to it.
        inset: Inset,
        /// From parallel to it, anticlockwise.
        rotate: Option<Expr>,
    },
    /// The bend line of this number in the outline files of the face, from 1.
    Drawn(usize),
}

/// How far inside its edge a fold line lies.
#[derive(Clone, Debug)]
pub enum Inset {
    /// This distance on the flat.
    Flat(Expr),
    /// Set by the formed length beyond it, measured to the mould line outside.
    Outside(Expr),
}

/// Keys of a bend on an edge that a fold line has no use for.
const OF_FLANGES: [&str; 8] =
    ["on", "measured", "offset", "relief", "relief_width", "relief_depth", "corner", "gap"];

/// The face a bend crosses, and where.
pub(super) fn read(fields: &Fields) -> Option<(String, FoldLine)> {
    for key in OF_FLANGES {
        if let Some(item) = fields.get(key) {
            let headline = format!("`{key}` belongs to a flange on an edge, not to a fold line");
            fields.add(
                Finding::stop("bend", headline).at(item.span, "").help(
                    "remove it: the flat is as drawn, with nothing cut at the ends of the line",
                ),
            );
        }
    }
    let across = fields.needed_text("across", "\"plate\"").map(str::to_owned);
    let item = fields.need("line", "[[\"0\", \"0\"], [\"50 mm\", \"0\"]]");
    let place = item.and_then(|item| Some((place(item, fields)?, item.span)));
    let moves = fields.get("moves").map(|item| point(item, fields.findings()));
    let (across, (place, span)) = both(across, place)?;
    if let (LinePlace::Edge { edge, .. }, Some(item)) = (&place, fields.get("moves")) {
        let headline =
            format!("a line placed by an edge always moves the side with that edge, here `{edge}`");
        let finding = Finding::stop("bend", headline).at(item.span, "");
        fields.add(finding.help("remove `moves`, or place the line by points"));
        return None;
    }
    let moves = match moves {
        Some(point) => Some(point?),
        None => None,
    };
    let meets = match fields.get("meets") {
        Some(item) => Some(space::place(item, fields.findings())?),
        None => None,
    };
    if let (LinePlace::Edge { .. } | LinePlace::Drawn(_), Some(item)) =
        (&place, fields.get("meets"))
    {
        let headline = "a fold that meets a point has its line by points or by a direction";
        let finding = Finding::stop("bend", headline).at(item.span, "");
        fields
            .add(finding.help("write `line = [\"A\", \"B\"]`, or an `angle` in place of `meets`"));
        return None;
    }
    Some((across, FoldLine { place, moves, meets, span }))
}

fn place(item: &Item, fields: &Fields) -> Option<LinePlace> {
    let findings = fields.findings();
    match &item.value {
        Value::List(ends) if ends.len() == 2 => {
            let (from, to) = both(point(&ends[0], findings), point(&ends[1], findings))?;
            Some(LinePlace::Points(from, to))
        }
        Value::Table(_) => {
            let measures = Measures(Fields::of(item, findings)?);
            let place = if measures.0.has("edge") {
                let rotate = measures.may("rotate");
                let (edge, outside) = (measures.name("edge"), measures.may("outside"));
                let inset = match outside {
                    Some(outside) => Some(Inset::Outside(outside)),
                    None => measures.need("inset").map(Inset::Flat),
                };
                both(inset, edge).map(|(inset, edge)| LinePlace::Edge { edge, inset, rotate })
            } else if measures.0.has("drawn") {
                measures.0.count_from("drawn", 1, 1000).map(|n| LinePlace::Drawn(n as usize))
            } else {
                measures.0.need("at", "[\"0\", \"0\"]");
                let (at, direction) = (measures.point("at"), measures.need_angle("direction"));
                both(at, direction).map(|(at, direction)| LinePlace::Direction(at, direction))
            };
            measures.0.finish();
            place
        }
        _ => {
            let finding = wrong_kind(
                item,
                "two points `[[\"x\", \"y\"], [\"x\", \"y\"]]`, `{ at, direction }` or `{ edge, inset }`",
            );
            let edge = item.text().unwrap_or("top");
            findings
                .add(finding.help(format!("write `{{ edge = \"{edge}\", inset = \"20 mm\" }}`")));
            None
        }
    }
}
