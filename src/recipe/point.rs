//! Points of a recipe by tape: distances, directions, offsets from lines.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Entry;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::document::wrong_kind;
use crate::recipe::expr::Expr;
use crate::recipe::measures::Measures;
use crate::recipe::measures::both;
use crate::recipe::measures::point;
use crate::recipe::measures::word;
use crate::recipe::space::coordinates;

/// A point with a name: an entry of `[points]`.
#[derive(Clone, Debug)]
pub struct NamedPoint {
    /// How it is found.
    pub rule: PointRule,
    /// The position of its name.
    pub span: Span,
}

/// Another point, and the position of its name.
#[derive(Clone, Debug)]
pub struct PointName(pub String, pub Span);

/// How a point is found.
#[derive(Clone, Debug)]
pub enum PointRule {
    /// `["x", "y"]`.
    At([Expr; 2]),
    /// `["x", "y", "z"]`: in space.
    InSpace([Expr; 3]),
    /// By measurements, fitted where there are more than needed.
    Measured(Box<Measured>),
    /// `{ along = ["A", "B"], by = "40 mm", left = "10 mm" }`: from A towards B, and to the left.
    Along([PointName; 2], Expr, Option<Expr>),
    /// `{ mirror = "C", over = ["A", "B"] }`.
    Mirror(PointName, [PointName; 2]),
    /// `{ mirror = "P", over = ["A", "B", "C"] }`: a point in space on the other side of the plane
    /// through three others.
    Across(PointName, [PointName; 3]),
    /// `{ laid = "P", over = ["A", "B"] }`: a point in space swung about the line from A to B into
    /// the drawing, to its left.
    Laid(PointName, [PointName; 2]),
    /// `{ tangent = { from = "A", disc = "B", radius = "20 mm" }, side = "left" }`: where a line
    /// from A touches a disc about B, to the left or right of the line from A to B.
    Tangent(PointName, PointName, Expr, bool),
}

/// A measurement of a point.
#[derive(Clone, Debug)]
pub struct Measured {
    /// `from = { A = "120 mm", B = "95 mm" }`: distances from other points.
    pub from: Vec<(PointName, Expr)>,
    /// `direction = { A = "35 deg" }`: from other points, anticlockwise from x.
    pub direction: Vec<(PointName, Expr)>,
    /// `left = { of = ["A", "B"], by = "20 mm" }`, or a list of such: to the left of lines.
    pub left: Vec<([PointName; 2], Expr)>,
    /// Which of two places it has, where that is given.
    pub choice: Option<Choice>,
}

/// Which of two places a point has.
#[derive(Clone, Debug)]
pub enum Choice {
    /// `side`: on the left of the line from the first to the second point in `from`, or on the
    /// right.
    Left(bool),
    /// `side`: the higher one of two places in space, or the lower one.
    Above(bool),
    /// `near`: nearer to another point.
    Near(PointName),
}

impl NamedPoint {
    pub(super) fn read(entry: &Entry, findings: &Findings) -> Option<Self> {
        let item = &entry.item;
        let rule = match &item.value {
            Value::List(items) if items.len() == 3 => {
                PointRule::InSpace(coordinates(item, findings)?)
            }
            Value::List(_) => PointRule::At(point(item, findings)?),
            _ => {
                let measures = Measures(Fields::of(item, findings)?);
                let rule = rule(&measures, item.span)?;
                measures.0.finish();
                rule
            }
        };
        Some(Self { rule, span: entry.key })
    }

    /// Every formula of it.
    pub(super) fn formulas(&self) -> Vec<&Expr> {
        match &self.rule {
            PointRule::At(at) => at.iter().collect(),
            PointRule::InSpace(at) => at.iter().collect(),
            PointRule::Along(_, by, left) => [by].into_iter().chain(left).collect(),
            PointRule::Mirror(..) | PointRule::Across(..) | PointRule::Laid(..) => Vec::new(),
            PointRule::Tangent(_, _, radius, _) => vec![radius],
            PointRule::Measured(m) => {
                let named = m.from.iter().chain(&m.direction).map(|(_, value)| value);
                named.chain(m.left.iter().map(|(_, value)| value)).collect()
            }
        }
    }

    /// Every point it names.
    pub(super) fn names(&self) -> Vec<&PointName> {
        match &self.rule {
            PointRule::At(_) | PointRule::InSpace(_) => Vec::new(),
            PointRule::Along(line, ..) => line.iter().collect(),
            PointRule::Mirror(of, over) | PointRule::Laid(of, over) => {
                [of].into_iter().chain(over).collect()
            }
            PointRule::Across(of, over) => [of].into_iter().chain(over).collect(),
            PointRule::Tangent(from, disc, ..) => vec![from, disc],
            PointRule::Measured(m) => m.names(),
        }
    }
}

impl Measured {
    fn names(&self) -> Vec<&PointName> {
        let near = match &self.choice {
            Some(Choice::Near(name)) => Some(name),
            _ => None,
        };
        let named = self.from.iter().chain(&self.direction).map(|(name, _)| name);
        named.chain(self.left.iter().flat_map(|(line, _)| line)).chain(near).collect()
    }
}

fn rule(measures: &Measures, span: Span) -> Option<PointRule> {
    if measures.0.has("along") {
        let (by, left) = (measures.need("by"), measures.may("left"));
        return both(two(measures, "along"), by).map(|(of, by)| PointRule::Along(of, by, left));
    }
    if let (Some(item), Some(three)) = (measures.0.get("mirror"), three(measures, "over")) {
        let of = name(item, measures.0.findings());
        return both(of, three).map(|(of, over)| PointRule::Across(of, over));
    }
    for (key, rule) in
        [("mirror", PointRule::Mirror as fn(_, _) -> _), ("laid", PointRule::Laid as fn(_, _) -> _)]
    {
        let Some(item) = measures.0.get(key) else { continue };
        let of = name(item, measures.0.findings());
        measures.0.need("over", "[\"A\", \"B\"]")?;
        return both(of, two(measures, "over")).map(|(of, over)| rule(of, over));
    }
    if let Some(item) = measures.0.get("tangent") {
        return tangent(measures, item);
    }
    let list = |key: &str| -> Option<Vec<(PointName, Expr)>> {
        let read = |(name, entry): (&str, &Entry)| {
            let value = Expr::read(&entry.item, measures.0.findings())?;
            Some((PointName(name.to_owned(), entry.key), value))
        };
        measures.0.entries(key).into_iter().map(read).collect()
    };
    let (from, direction, left) = (list("from"), list("direction"), lines(measures));
    let choice = choice(measures, from.as_ref().map_or(0, Vec::len));
    let measured = Measured { from: from?, direction: direction?, left: left?, choice: choice? };
    if measured.from.is_empty() && measured.direction.is_empty() && measured.left.is_empty() {
        measures.0.add(
            Finding::stop(
                "missing-key",
                "a point is measured, or along, mirrored, laid or tangent",
            )
            .at(span, "")
            .help("write `{ from = { A = \"120 mm\", B = \"95 mm\" }, side = \"left\" }`"),
        );
        return None;
    }
    Some(PointRule::Measured(Box::new(measured)))
}

fn tangent(measures: &Measures, item: &Item) -> Option<PointRule> {
    let inner = Measures(Fields::of(item, measures.0.findings())?);
    let other =
        |key: &str| inner.0.need(key, "\"A\"").and_then(|item| name(item, inner.0.findings()));
    let points = both(other("from"), other("disc"));
    let radius = inner.need("radius");
    inner.0.finish();
    measures.0.need("side", "\"left\"")?;
    let ((from, disc), radius) = both(points, radius)?;
    Some(PointRule::Tangent(from, disc, radius, side(measures)?))
}

/// `left` or `right`.
fn side(measures: &Measures) -> Option<bool> {
    word(&measures.0, "side", &[("left", true), ("right", false)])
}

/// On which side a measured point is: left of a line or not, above or not.
#[derive(Clone, Copy)]
enum Side {
    Line(bool),
    Height(bool),
}

const SIDES: [(&str, Side); 4] = [
    ("left", Side::Line(true)),
    ("right", Side::Line(false)),
    ("above", Side::Height(true)),
    ("below", Side::Height(false)),
];

fn choice(measures: &Measures, distances: usize) -> Option<Option<Choice>> {
    match (measures.0.get("side"), measures.0.get("near")) {
        (None, None) => Some(None),
        (Some(_), Some(near)) => {
            measures.0.add(
                Finding::stop("wrong-kind", "give `side` or `near`, not both")
                    .at(near.span, "")
                    .help("remove one of them"),
            );
            None
        }
        (Some(item), None) => {
            let left = match word(&measures.0, "side", &SIDES)? {
                Side::Height(above) => return Some(Some(Choice::Above(above))),
                Side::Line(left) => left,
            };
            if distances < 2 {
                measures.0.add(
                    Finding::stop("wrong-kind", "`side` is that of the first two points in `from`")
                        .at(item.span, "")
                        .help("write `near = \"A\"`, a point that it is nearer to"),
                );
                return None;
            }
            Some(Some(Choice::Left(left)))
        }
        (None, Some(near)) => Some(Some(Choice::Near(name(near, measures.0.findings())?))),
    }
}

/// The lines a point is to the left of, and by how much.
fn lines(measures: &Measures) -> Option<Vec<([PointName; 2], Expr)>> {
    let one = |item: &Item| {
        let inner = Measures(Fields::of(item, measures.0.findings())?);
        inner.0.need("of", "[\"A\", \"B\"]")?;
        let line = both(two(&inner, "of"), inner.need("by"));
        inner.0.finish();
        line
    };
    match measures.0.get("left") {
        None => Some(Vec::new()),
        Some(item) => match &item.value {
            Value::List(items) => items.iter().map(one).collect(),
            _ => one(item).map(|line| vec![line]),
        },
    }
}

fn name(item: &Item, findings: &Findings) -> Option<PointName> {
    match item.text() {
        Some(text) => Some(PointName(text.to_owned(), item.letters)),
        None => {
            findings.add(wrong_kind(item, "the name of a point"));
            None
        }
    }
}

/// Three points: a plane through them; `None` if there are not three. Anything that is not a name
/// is reported.
fn three(measures: &Measures, key: &str) -> Option<Option<[PointName; 3]>> {
    let Value::List(items) = &measures.0.get(key)?.value else { return None };
    let [a, b, c] = items.as_slice() else { return None };
    let [a, b, c] = [a, b, c].map(|item| name(item, measures.0.findings()));
    Some(a.zip(b).zip(c).map(|((a, b), c)| [a, b, c]))
}

fn two(measures: &Measures, key: &str) -> Option<[PointName; 2]> {
    let item = measures.0.get(key)?;
    let names: Vec<PointName> = match &item.value {
        Value::List(items) if items.len() == 2 => {
            items.iter().filter_map(|item| name(item, measures.0.findings())).collect()
        }
        _ => {
            let finding =
                Finding::stop("wrong-kind", "two points are needed here").at(item.span, "");
            measures.0.add(finding.help(format!("write `{key} = [\"A\", \"B\"]`")));
            return None;
        }
    };
    names.try_into().ok()
}
