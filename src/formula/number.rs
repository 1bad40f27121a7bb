//! What functions of formulas make of numbers.

use crate::formula::fault::Fault;
use crate::formula::list;
use crate::formula::value::Value;
use crate::formula::value::alike;
use crate::formula::value::of_dimension;
use crate::num;
use crate::num::Angle;
use crate::quantity::Dimension;
use crate::quantity::Quantity;

/// A fault, and which argument it concerns when it is one.
pub(super) type Failure = (Option<usize>, Fault);
pub(super) type Outcome = Result<Value, Failure>;

pub(super) fn quantity(values: &[Value], i: usize) -> Result<Quantity, Failure> {
    match &values[i] {
        Value::Quantity(q) => Ok(*q),
        other => Err((Some(i), Fault::Kind { wanted: "a number", got: other.kind() })),
    }
}

pub(super) fn pair(values: &[Value]) -> Result<(Quantity, Quantity), Failure> {
    alike_to_first(values).map(|q| (q[0], q[1]))
}

/// All arguments in the dimension of the first.
fn alike_to_first(values: &[Value]) -> Result<Vec<Quantity>, Failure> {
    let mut all = vec![quantity(values, 0)?];
    for i in 1..values.len() {
        let next = quantity(values, i)?;
        let Some((first, next)) = alike(all[0], next) else {
            let wanted = match all[0].dimension {
                Dimension::LENGTH => "a length",
                Dimension::ANGLE => "an angle",
                Dimension::NONE => "a plain number",
                _ => "the dimension of the first value",
            };
            return Err((Some(i), Fault::Kind { wanted, got: next.dimension.to_string() }));
        };
        all[0] = first;
        all.push(next);
    }
    Ok(all)
}

pub(super) fn extreme(values: &[Value], pick: fn(f64, f64) -> f64) -> Outcome {
    if let [list @ Value::List(_)] = values {
        let (numbers, dimension) = list::numbers(list).map_err(|fault| (Some(0), fault))?;
        let value = numbers.into_iter().reduce(pick).unwrap_or(0.0);
        return Ok(Value::Quantity(Quantity { value, dimension }));
    }
    let all = alike_to_first(values)?;
    let value = all.iter().map(|q| q.value).reduce(pick).unwrap_or(0.0);
    Ok(Value::Quantity(Quantity { value, ..all[0] }))
}

pub(super) fn root(values: &[Value]) -> Outcome {
    let q = quantity(values, 0)?;
    if q.value < 0.0 {
        return Err((None, Fault::Undefined("there is no root of a negative number")));
    }
    let Some(dimension) = q.dimension.halved() else {
        return Err((
            Some(0),
            Fault::Kind { wanted: "an area or a number", got: q.dimension.to_string() },
        ));
    };
    Ok(Value::Quantity(Quantity { value: q.value.sqrt(), dimension }))
}

/// The length between the two bends of a joggle, from mould line to mould line. Its lower side
/// begins at the first, its upper side ends at the second: s sin α + t cos α = offset + t.
pub(super) fn joggle(values: &[Value]) -> Outcome {
    let length = |i: usize| {
        let mm = of_dimension(&values[i], Dimension::LENGTH, "a length");
        mm.map_err(|fault| (Some(i), fault))
    };
    let (offset, thickness) = (length(0)?, length(2)?);
    let angle = of_dimension(&values[1], Dimension::ANGLE, "an angle");
    let angle = Angle::from_degrees(angle.map_err(|fault| (Some(1), fault))?);
    if angle.degrees() <= 0.0 || angle.degrees() >= 180.0 {
        return Err((
            Some(1),
            Fault::Undefined("a joggle has bends of more than 0° and less than 180°"),
        ));
    }
    Ok(Value::length((offset + thickness * (1.0 - angle.cos())) / angle.sin()))
}

/// How far an eye is rolled until its straight end is half a thickness from the sheet it begins on,
/// which the check of rolled bends requires. Rolled by θ, the tip of the end is radius − ρ cos θ +
/// end · sin θ above the sheet, where ρ is the radius at its inner side and radius + thickness at
/// its outer side: the side that is first at that distance ends the roll.
pub(super) fn eye(values: &[Value]) -> Outcome {
    let length = |i: usize| {
        let mm = of_dimension(&values[i], Dimension::LENGTH, "a length");
        mm.map_err(|fault| (Some(i), fault))
    };
    let (radius, end, thickness) = (length(0)?, length(1)?, length(2)?);
    if radius <= 0.0 || end < 0.0 || thickness <= 0.0 {
        return Err((None, Fault::Undefined("an eye has a radius and a thickness of more than 0")));
    }
    let room = radius - thickness / 2.0;
    let turned = |rolled: f64| {
        let reach = num::hypot(rolled, end);
        360.0 - Angle::of(rolled, end).degrees() - num::acos(room / reach).degrees()
    };
    let angle = turned(radius).min(turned(radius + thickness)).min(MAX_ROLL);
    Ok(Value::Quantity(Quantity::angle(angle)))
}

/// What a rolled bend turns at most, degrees.
const MAX_ROLL: f64 = 355.0;

pub(super) fn stepped(values: &[Value], round: fn(f64) -> f64) -> Outcome {
    let (value, step) = pair(values)?;
    if step.value <= 0.0 {
        return Err((Some(1), Fault::Undefined("a step must be more than 0")));
    }
    Ok(Value::Quantity(Quantity { value: round(value.value / step.value) * step.value, ..value }))
}

pub(super) fn angle(values: &[Value]) -> Result<Angle, Failure> {
    of_dimension(&values[0], Dimension::ANGLE, "an angle")
        .map(Angle::from_degrees)
        .map_err(|fault| (Some(0), fault))
}

pub(super) fn arc(values: &[Value], run: fn(f64) -> Angle, largest: f64) -> Outcome {
    let x = of_dimension(&values[0], Dimension::NONE, "a plain number")
        .map_err(|fault| (Some(0), fault))?;
    if x.abs() > largest + 1e-9 {
        return Err((
            Some(0),
            Fault::Undefined("this is outside −1 to 1, so there is no such angle"),
        ));
    }
    Ok(degrees(run(x)))
}

pub(super) fn degrees(angle: Angle) -> Value {
    Value::Quantity(Quantity::angle(angle.degrees()))
}
