//! The spacing of features in a line: by a pitch, or evenly over a span.

use crate::diag::Finding;
use crate::recipe::expr::Expr;
use crate::recipe::measures::Measures;
use crate::recipe::measures::both;
use crate::recipe::measures::point;

/// The number of features on a span, evenly spaced.
#[derive(Clone, Debug)]
pub enum Amount {
    /// So many.
    Count(Expr),
    /// As few as are no further apart than this pitch.
    AtMost(Expr),
    /// As many as are no nearer than this pitch.
    AtLeast(Expr),
}

impl Amount {
    /// What says it.
    pub fn expr(&self) -> &Expr {
        match self {
            Self::Count(expr) | Self::AtMost(expr) | Self::AtLeast(expr) => expr,
        }
    }
}

/// The spacing of features in a line.
#[derive(Clone, Debug)]
pub enum Spacing {
    /// Count and pitch.
    Pitch(Expr, Expr),
    /// How many, from the centre of the first to that of the last.
    Over(Amount, Expr),
}

impl Spacing {
    /// What says it.
    pub fn exprs(&self) -> [&Expr; 2] {
        match self {
            Self::Pitch(count, pitch) => [count, pitch],
            Self::Over(amount, span) => [amount.expr(), span],
        }
    }
}

/// The keys that give the number on a span.
const AMOUNTS: [&str; 3] = ["count", "max_pitch", "min_pitch"];

/// Whether features fill a span; conflicting keys are reported.
fn fills(measures: &Measures) -> bool {
    let fills = ["span", "max_pitch", "min_pitch"].iter().any(|key| measures.0.has(key));
    if fills && let Some(pitch) = measures.0.get("pitch") {
        measures.0.add(
            Finding::stop("wrong-kind", "the pitch follows from `span` and how many there are")
                .at(pitch.span, "")
                .help("remove `pitch`, or give `count` and `pitch` and no `span`"),
        );
    }
    fills
}

/// The one key of some that is given; more than one is reported.
fn one_of<'k>(measures: &Measures, keys: &[&'k str]) -> Option<Option<&'k str>> {
    let given: Vec<&str> = keys.iter().copied().filter(|key| measures.0.has(key)).collect();
    if let [first, second, ..] = given.as_slice() {
        let headline = format!("`{first}` and `{second}` both say how many there are");
        let finding = Finding::stop("wrong-kind", headline).at(measures.0.here, "");
        measures.0.add(finding.help(format!("remove `{second}`, or `{first}`")));
        return None;
    }
    Some(given.first().copied())
}

/// The number of features on a span.
pub(super) fn amount(measures: &Measures) -> Option<Amount> {
    match one_of(measures, &AMOUNTS)? {
        Some("max_pitch") => measures.need("max_pitch").map(Amount::AtMost),
        Some("min_pitch") => measures.need("min_pitch").map(Amount::AtLeast),
        _ => measures.need_count("count").map(Amount::Count),
    }
}

/// The spacing of a row.
pub(super) fn row(measures: &Measures) -> Option<Spacing> {
    if fills(measures) {
        let all = both(amount(measures), measures.need("span"));
        return all.map(|(amount, span)| Spacing::Over(amount, span));
    }
    let all = both(measures.need_count("count"), measures.need("pitch"));
    all.map(|(count, pitch)| Spacing::Pitch(count, pitch))
}

/// The spacings of a grid along x and y.
pub(super) fn grid(measures: &Measures) -> Option<[Spacing; 2]> {
    let two = |key: &str| {
        let item = measures.0.need(key, "[\"20 mm\", \"20 mm\"]");
        item.and_then(|item| point(item, measures.0.findings()))
    };
    let counts = || both(measures.need_count("columns"), measures.need_count("rows"));
    if !fills(measures) {
        let pitch = two("pitch");
        let ((columns, rows), [x, y]) = both(counts(), pitch)?;
        return Some([Spacing::Pitch(columns, x), Spacing::Pitch(rows, y)]);
    }
    let span = two("span");
    let amounts = match one_of(measures, &["columns", "max_pitch", "min_pitch"])? {
        Some("max_pitch") => two("max_pitch").map(|all| all.map(Amount::AtMost)),
        Some("min_pitch") => two("min_pitch").map(|all| all.map(Amount::AtLeast)),
        _ => counts().map(|(columns, rows)| [columns, rows].map(Amount::Count)),
    };
    let ([across, up], [x, y]) = both(amounts, span)?;
    Some([Spacing::Over(across, x), Spacing::Over(up, y)])
}
