//! The values of formulas, and how two values combine.

use crate::formula::fault::Fault;
use crate::formula::operator::Operator;
use crate::formula::space::Seen;
use crate::formula::space::SpacePoint;
use crate::num;
use crate::quantity::Dimension;
use crate::quantity::Quantity;
use crate::quantity::Units;
use crate::table::Row;
use indexmap::IndexMap;
use std::sync::Arc;

/// A value.
#[derive(Clone, Debug)]
pub enum Value {
    /// A number with its dimension.
    Quantity(Quantity),
    /// Yes or no.
    Flag(bool),
    /// A word, such as a choice.
    Text(Arc<str>),
    /// A row of a table.
    Row(Arc<Row>),
    /// A row that a job gives: values by name.
    Record(Arc<IndexMap<String, Value>>),
    /// One or more values of one kind.
    List(Arc<[Value]>),
    /// Coordinates of a point, mm.
    Point([f64; 2]),
    /// A point in space, or as a face sees it.
    Space(Arc<SpacePoint>),
}

impl Value {
    /// A length in mm.
    pub const fn length(mm: f64) -> Self {
        Self::Quantity(Quantity::length(mm))
    }

    /// A point in space, by its coordinates in mm.
    pub(crate) fn in_space(at: [f64; 3]) -> Self {
        Self::Space(Arc::new(SpacePoint { at, seen: None }))
    }

    /// A point as a face sees it, z above mid-thickness of its sheet, and why it has no place in
    /// the face of itself.
    pub(crate) fn in_face(at: [f64; 3], off: Option<String>) -> Self {
        Self::Space(Arc::new(SpacePoint { at, seen: Some(Seen { off }) }))
    }

    /// A plain number.
    pub const fn number(value: f64) -> Self {
        Self::Quantity(Quantity::number(value))
    }

    /// The place of a point in the drawing of a face, mm.
    pub(super) fn place(&self) -> Result<[f64; 2], Fault> {
        match self {
            Self::Point(at) => Ok(*at),
            Self::Space(point) => point.place(),
            other => Err(Fault::Kind { wanted: "a point", got: other.kind() }),
        }
    }

    /// What it is, in words with an article.
    pub fn kind(&self) -> String {
        match self {
            Self::Quantity(q) => q.dimension.to_string(),
            Self::Flag(_) => "`true` or `false`".into(),
            Self::Text(text) => format!("the word `{text}`"),
            Self::Row(row) => format!("the row `{}` of table `{}`", row.name(), row.table()),
            Self::Record(values) => {
                let names: Vec<&str> = values.keys().map(String::as_str).collect();
                format!("a row of {}", names.join(", "))
            }
            Self::List(values) => format!("a list of {}", values.len()),
            Self::Point(_) => "a point".into(),
            Self::Space(_) => "a point in space".into(),
        }
    }

    /// The same as it is measured: a length to 0.01 mm or 0.001 in.
    pub(crate) fn measured(&self, units: Units) -> String {
        match self {
            Self::Quantity(of) if of.dimension == Dimension::LENGTH => units.setting(of.value),
            other => other.show(units),
        }
    }

    /// Printed as it could be typed.
    pub fn show(&self, units: Units) -> String {
        match self {
            Self::Quantity(q) => q.show(units),
            Self::Flag(flag) => flag.to_string(),
            Self::Text(text) => text.to_string(),
            Self::Row(row) => row.name().to_owned(),
            Self::Record(values) => {
                let shown: Vec<String> = values.values().map(|value| value.show(units)).collect();
                shown.join(", ")
            }
            Self::List(values) => {
                let shown: Vec<String> = values.iter().map(|value| value.show(units)).collect();
                shown.join("; ")
            }
            Self::Point(at) => at.map(|mm| units.length(mm)).join(", "),
            Self::Space(point) => point.at.map(|mm| units.length(mm)).join(", "),
        }
    }
}

/// Numbers this near, relative to their size, are equal: formulas that say the same
/// in two ways differ by rounding only.
const EQUAL: f64 = 1e-9;

fn equal(a: f64, b: f64) -> bool {
    (a - b).abs() <= EQUAL * a.abs().max(b.abs()).max(1e-3)
}

/// Two values under an operator other than `and` and `or`.
pub(super) fn combine(operator: Operator, a: &Value, b: &Value) -> Result<Value, Fault> {
    use Operator as Op;
    let mismatch = |verb| Fault::Mismatch { verb, left: a.kind(), right: b.kind() };
    if let (Op::Equal | Op::NotEqual, Some(same)) = (operator, same(a, b)) {
        return Ok(Value::Flag(same == (operator == Op::Equal)));
    }
    let (Value::Quantity(x), Value::Quantity(y)) = (a, b) else {
        return Err(mismatch(operator.verb()));
    };
    match operator {
        Op::Times | Op::Over => {
            let (sign, value) = match operator {
                Op::Times => (1, x.value * y.value),
                _ if y.value == 0.0 => return Err(Fault::Undefined("this divides by zero")),
                _ => (-1, x.value / y.value),
            };
            let dimension = x.dimension.combine(y.dimension, sign);
            let dimension = dimension.ok_or_else(|| mismatch(operator.verb()))?;
            Ok(Value::Quantity(Quantity { value, dimension }))
        }
        Op::Power => power(*x, *y),
        _ => {
            let (x, y) = alike(*x, *y).ok_or_else(|| mismatch(operator.verb()))?;
            let dimension = x.dimension;
            let number = |value| Value::Quantity(Quantity { value, dimension });
            let (p, q) = (x.value, y.value);
            Ok(match operator {
                Op::Plus => number(p + q),
                Op::Minus => number(p - q),
                Op::Less => Value::Flag(p < q && !equal(p, q)),
                Op::More => Value::Flag(p > q && !equal(p, q)),
                Op::AtMost => Value::Flag(p <= q || equal(p, q)),
                Op::AtLeast => Value::Flag(p >= q || equal(p, q)),
                Op::NotEqual => Value::Flag(!equal(p, q)),
                _ => Value::Flag(equal(p, q)),
            })
        }
    }
}

/// Whether two words, flags or rows are the same; `None` for anything else.
fn same(a: &Value, b: &Value) -> Option<bool> {
    match (a, b) {
        (Value::Text(a), Value::Text(b)) => Some(a == b),
        (Value::Flag(a), Value::Flag(b)) => Some(a == b),
        (Value::Row(a), Value::Row(b)) => Some(a.table() == b.table() && a.name() == b.name()),
        (Value::Row(row), Value::Text(text)) | (Value::Text(text), Value::Row(row)) => {
            Some(row.name() == &**text)
        }
        _ => None,
    }
}

/// Both in one dimension; a plain 0 takes that of the other.
pub(super) fn alike(x: Quantity, y: Quantity) -> Option<(Quantity, Quantity)> {
    let zero = |q: Quantity| q.value == 0.0 && q.dimension == Dimension::NONE;
    if x.dimension == y.dimension {
        Some((x, y))
    } else if zero(y) {
        Some((x, Quantity { dimension: x.dimension, ..y }))
    } else if zero(x) {
        Some((Quantity { dimension: y.dimension, ..x }, y))
    } else {
        None
    }
}

fn power(base: Quantity, exponent: Quantity) -> Result<Value, Fault> {
    if exponent.dimension != Dimension::NONE {
        let got = exponent.dimension.to_string();
        return Err(Fault::Kind { wanted: "a plain number as exponent", got });
    }
    let e = exponent.value;
    if base.dimension == Dimension::NONE {
        let value = num::pow(base.value, e);
        return Ok(Value::number(value));
    }
    if e.fract() != 0.0 || e.abs() > 9.0 {
        return Err(Fault::Undefined("a quantity with a unit takes a whole number as exponent"));
    }
    let dimension = Dimension::NONE
        .combine(base.dimension, e as i8)
        .ok_or(Fault::Undefined("the exponent is too large for a quantity with a unit"))?;
    Ok(Value::Quantity(Quantity { value: num::pow(base.value, e), dimension }))
}

/// The value as a quantity of one dimension. A plain 0 serves for any.
///
/// # Errors
/// When it is of another kind or dimension.
pub(crate) fn of_dimension(
    value: &Value,
    dimension: Dimension,
    wanted: &'static str,
) -> Result<f64, Fault> {
    match value {
        Value::Quantity(q) if q.dimension == dimension => Ok(q.value),
        Value::Quantity(q) if q.value == 0.0 && q.dimension == Dimension::NONE => Ok(0.0),
        other => Err(Fault::Kind { wanted, got: other.kind() }),
    }
}
