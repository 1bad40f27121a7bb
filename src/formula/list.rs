//! Lists in formulas: values of one kind, their elements, their sums.

use crate::formula::fault::Fault;
use crate::formula::value::Value;
use crate::formula::value::alike;
use crate::quantity::Dimension;
use crate::quantity::Quantity;
use crate::quantity::Units;
use std::sync::Arc;

/// Maximum number of values of a list. Our choice, that of the most holes in one direction.
pub(crate) const MAX: usize = 200;
pub(crate) const TOO_LONG: &str = "a list has at most 200 values";

/// A list of these values; else the index of the value that does not fit, with the error.
pub(super) fn of(mut values: Vec<Value>) -> Result<Value, (Option<usize>, Fault)> {
    // A plain 0 is of the dimension of the others.
    let plain_zero = |value: &&Value| matches!(value, Value::Quantity(q) if q.value == 0.0);
    let lead = values.iter().find(|value| !plain_zero(value)).or(values.first()).cloned();
    let Some(lead) = lead else {
        return Err((None, Fault::Undefined("a list needs one value or more")));
    };
    if values.len() > MAX {
        return Err((None, Fault::Undefined(TOO_LONG)));
    }
    for (i, value) in values.iter_mut().enumerate() {
        match (&lead, &mut *value) {
            (Value::Quantity(lead), Value::Quantity(q)) if alike(*lead, *q).is_some() => {
                q.dimension = lead.dimension;
            }
            (Value::Flag(_), Value::Flag(_))
            | (Value::Text(_), Value::Text(_))
            | (Value::Row(_), Value::Row(_))
            | (Value::Point(_) | Value::Space(_), Value::Point(_) | Value::Space(_)) => {}
            (Value::Record(lead), Value::Record(row)) if lead.keys().eq(row.keys()) => {}
            (_, Value::List(_)) => {
                let fault = Fault::Kind { wanted: "a single value", got: value.kind() };
                return Err((Some(i), fault));
            }
            _ => {
                // With their values: which of the two is the slip, only the user knows.
                let [left, right] = [&lead, &*value].map(|value| match value {
                    Value::Quantity(q) => {
                        format!("{} ({})", q.dimension, q.show(Units::Millimetre))
                    }
                    other => other.kind(),
                });
                return Err((Some(i), Fault::Mismatch { verb: "list", left, right }));
            }
        }
    }
    Ok(Value::List(values.into()))
}

/// The values of a list.
pub(super) fn values(value: &Value) -> Result<&[Value], Fault> {
    match value {
        Value::List(values) => Ok(values),
        other => Err(Fault::Kind { wanted: "a list", got: other.kind() }),
    }
}

/// The numbers of a list, and their dimension.
pub(super) fn numbers(value: &Value) -> Result<(Vec<f64>, Dimension), Fault> {
    let all = values(value)?.iter().map(|value| match value {
        Value::Quantity(q) => Ok(*q),
        _ => Err(Fault::Kind { wanted: "a list of numbers", got: kind(value) }),
    });
    let all = all.collect::<Result<Vec<Quantity>, Fault>>()?;
    let dimension = all.first().map_or(Dimension::NONE, |q| q.dimension);
    Ok((all.iter().map(|q| q.value).collect(), dimension))
}

fn kind(of: &Value) -> String {
    format!("a list with {}", of.kind())
}

/// The value of this number, counted from 1.
pub(super) fn element(list: &Value, number: f64) -> Result<Value, Fault> {
    let values = values(list)?;
    let count = values.len();
    match index(number, 1, count) {
        Some(i) => Ok(values[i - 1].clone()),
        None => Err(Fault::Beyond { number: crate::num::text(number, 3), first: 1, count }),
    }
}

/// A whole number from `first` to `count`.
fn index(number: f64, first: usize, count: usize) -> Option<usize> {
    let whole = number.fract() == 0.0 && number >= first as f64 && number <= count as f64;
    whole.then_some(number as usize)
}

/// The sum of the first so many numbers of a list, of all when that is left out.
pub(super) fn sum(list: &Value, first: Option<f64>) -> Result<Value, Fault> {
    let (numbers, dimension) = numbers(list)?;
    let count = numbers.len();
    let taken = match first {
        None => count,
        Some(number) => index(number, 0, count).ok_or_else(|| Fault::Beyond {
            number: crate::num::text(number, 3),
            first: 0,
            count,
        })?,
    };
    let value = numbers[..taken].iter().sum();
    Ok(Value::Quantity(Quantity { value, dimension }))
}

/// The centres of features of a width in a row, with a distance between each and the next, centred
/// on 0.
pub(super) fn spaced(list: &Value, gap: f64) -> Result<Value, Fault> {
    let (widths, dimension) = numbers(list)?;
    let gaps = (widths.len() as f64 - 1.0) * gap;
    let mut from = -(widths.iter().sum::<f64>() + gaps) / 2.0;
    let centre = |width: &f64| {
        let value = from + width / 2.0;
        from += width + gap;
        Value::Quantity(Quantity { value, dimension })
    };
    Ok(Value::List(widths.iter().map(centre).collect()))
}

/// The running sums of a list: 0, the first, the first two …, all of it.
pub(super) fn running(list: &Value) -> Result<Value, Fault> {
    let (numbers, dimension) = numbers(list)?;
    let mut sum = 0.0;
    let further = numbers.iter().map(|number| {
        sum += number;
        sum
    });
    let sums: Vec<f64> = [0.0].into_iter().chain(further).collect();
    if sums.len() > MAX {
        return Err(Fault::Undefined(TOO_LONG));
    }
    let sums = sums.into_iter().map(|value| Value::Quantity(Quantity { value, dimension }));
    Ok(Value::List(sums.collect()))
}

/// A list without its first value.
pub(super) fn rest(list: &Value) -> Result<Value, Fault> {
    match values(list)? {
        [_, rest @ ..] if !rest.is_empty() => Ok(Value::List(rest.into())),
        _ => Err(Fault::Undefined("`rest` needs two values or more")),
    }
}

/// The whole numbers from 1 to `last`.
pub(super) fn counted(last: f64) -> Result<Value, Fault> {
    match index(last, 1, MAX) {
        Some(last) => Ok(Value::List((1..=last).map(|n| Value::number(n as f64)).collect())),
        None => Err(Fault::Kind {
            wanted: "a whole number from 1 to 200",
            got: crate::num::text(last, 3),
        }),
    }
}

/// A list as it is, another value as a list of one.
pub(crate) fn members(value: Value) -> Arc<[Value]> {
    match value {
        Value::List(values) => values,
        single => [single].into(),
    }
}
