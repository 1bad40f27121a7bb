//! The functions formulas may call, and the fields of rows.

use crate::formula::between;
use crate::formula::fault::Fault;
use crate::formula::list;
use crate::formula::number::Failure;
use crate::formula::number::Outcome;
use crate::formula::number::angle;
use crate::formula::number::arc;
use crate::formula::number::degrees;
use crate::formula::number::extreme;
use crate::formula::number::eye;
use crate::formula::number::joggle;
use crate::formula::number::pair;
use crate::formula::number::quantity;
use crate::formula::number::root;
use crate::formula::number::stepped;
use crate::formula::space::SpacePoint;
use crate::formula::value::Value;
use crate::formula::value::of_dimension;
use crate::num;
use crate::num::Angle;
use crate::quantity::Dimension;
use crate::quantity::Quantity;
use crate::table::Cell;
use crate::table::Row;
use crate::table::Tables;
use std::sync::Arc;

/// A function, its shape and what it does, for the reference.
#[derive(Debug)]
pub struct Function {
    /// Its name.
    pub name: &'static str,
    /// How it is called, such as `round_up(value, step)`.
    pub shape: &'static str,
    /// What it gives.
    pub about: &'static str,
    takes: Takes,
    run: fn(&[Value], &Tables) -> Outcome,
}

#[derive(Debug, PartialEq)]
enum Takes {
    One,
    Two,
    Three,
    Four,
    OneOrTwo,
    Some,
}

/// Every function, in the order of the reference.
pub const FUNCTIONS: &[Function] = &[
    function("min", "min(a, b, …)", "the smallest", Takes::Some, |v, _| extreme(v, f64::min)),
    function("max", "max(a, b, …)", "the largest", Takes::Some, |v, _| extreme(v, f64::max)),
    function("abs", "abs(a)", "absolute value", Takes::One, |v, _| {
        let q = quantity(v, 0)?;
        Ok(Value::Quantity(Quantity { value: q.value.abs(), ..q }))
    }),
    function("sqrt", "sqrt(a)", "square root; that of an area is a length", Takes::One, |v, _| {
        root(v)
    }),
    function("hypot", "hypot(a, b)", "√(a² + b²)", Takes::Two, |v, _| {
        let (x, y) = pair(v)?;
        Ok(Value::Quantity(Quantity { value: num::hypot(x.value, y.value), ..x }))
    }),
    function("round", "round(a, step)", "to the nearest step", Takes::Two, |v, _| {
        stepped(v, f64::round)
    }),
    function("round_up", "round_up(a, step)", "up to the next step", Takes::Two, |v, _| {
        stepped(v, |x| (x - 1e-9).ceil())
    }),
    function("round_down", "round_down(a, step)", "down to the next step", Takes::Two, |v, _| {
        stepped(v, |x| (x + 1e-9).floor())
    }),
    function("count", "count(list)", "number of values in a list", Takes::One, |v, _| {
        let values = list::values(&v[0]).map_err(|fault| (Some(0), fault))?;
        Ok(Value::number(values.len() as f64))
    }),
    function(
        "sum",
        "sum(list, n)",
        "sum of a list, or of its first n values",
        Takes::OneOrTwo,
        |v, _| {
            let first = match v.get(1) {
                Some(n) => Some(
                    of_dimension(n, Dimension::NONE, "a plain number").map_err(|f| (Some(1), f))?,
                ),
                None => None,
            };
            list::sum(&v[0], first).map_err(|fault| match fault {
                Fault::Beyond { .. } => (Some(1), fault),
                _ => (Some(0), fault),
            })
        },
    ),
    function(
        "running",
        "running(list)",
        "running dimensions: 0, the first, the sum of the first two, …, of all",
        Takes::One,
        |v, _| list::running(&v[0]).map_err(|fault| (Some(0), fault)),
    ),
    function(
        "spaced",
        "spaced(widths, gap)",
        "the centres of items of these widths, side by side with that gap between them, the row \
         centred on 0",
        Takes::Two,
        |v, _| {
            let (_, dimension) = list::numbers(&v[0]).map_err(|fault| (Some(0), fault))?;
            let gap =
                of_dimension(&v[1], dimension, "as the widths are").map_err(|f| (Some(1), f))?;
            list::spaced(&v[0], gap).map_err(|fault| (Some(0), fault))
        },
    ),
    function("rest", "rest(list)", "a list without its first value", Takes::One, |v, _| {
        list::rest(&v[0]).map_err(|fault| (Some(0), fault))
    }),
    function("numbers", "numbers(n)", "the list 1, 2, …, n", Takes::One, |v, _| {
        let last = of_dimension(&v[0], Dimension::NONE, "a plain number");
        last.and_then(list::counted).map_err(|fault| (Some(0), fault))
    }),
    function("distance", "distance(A, B)", "between two points", Takes::Two, |v, _| {
        if let [Value::Space(a), Value::Space(b)] = v
            && let Some(mm) = a.distance(b)
        {
            return Ok(Value::length(mm));
        }
        let [a, b] = [point(v, 0)?, point(v, 1)?];
        Ok(Value::length(num::hypot(b[0] - a[0], b[1] - a[1])))
    }),
    function(
        "direction",
        "direction(A, B)",
        "from one point to another, anticlockwise from x",
        Takes::Two,
        |v, _| {
            let [a, b] = [point(v, 0)?, point(v, 1)?];
            if a == b {
                return Err((None, Fault::Undefined("the two points coincide")));
            }
            Ok(degrees(Angle::of(b[0] - a[0], b[1] - a[1])))
        },
    ),
    function("foot", "foot(P)", "of a point in space on the face", Takes::One, |v, _| {
        let foot = space_point(v, 0)?.foot().map_err(|fault| (Some(0), fault))?;
        Ok(Value::Space(Arc::new(foot)))
    }),
    function(
        "crossing",
        "crossing(P, Q)",
        "where the line through two points in space crosses the face",
        Takes::Two,
        |v, _| {
            let (from, to) = (space_point(v, 0)?, space_point(v, 1)?);
            let crossing = from.crossing(to).map_err(|fault| (None, fault))?;
            Ok(Value::Space(Arc::new(crossing)))
        },
    ),
    function(
        "angle",
        "angle(A, B, C)",
        "at B, between the lines to A and C",
        Takes::Three,
        |v, _| between::angle(&between::places(v)?),
    ),
    function("lean", "lean(A, B)", "of the line from A to B, from vertical", Takes::Two, |v, _| {
        between::lean(&between::places(v)?)
    }),
    function(
        "twist",
        "twist(A, B, C, D)",
        "from the side of A to the side of D, about the line from B to C, clockwise seen from B",
        Takes::Four,
        |v, _| between::twist(&between::places(v)?),
    ),
    function("sin", "sin(angle)", "sine", Takes::One, |v, _| Ok(Value::number(angle(v)?.sin()))),
    function("cos", "cos(angle)", "cosine", Takes::One, |v, _| Ok(Value::number(angle(v)?.cos()))),
    function("tan", "tan(angle)", "tangent", Takes::One, |v, _| Ok(Value::number(angle(v)?.tan()))),
    function("asin", "asin(a)", "angle with this sine", Takes::One, |v, _| arc(v, num::asin, 1.0)),
    function("acos", "acos(a)", "angle with this cosine", Takes::One, |v, _| {
        arc(v, num::acos, 1.0)
    }),
    function("atan", "atan(a)", "angle with this tangent", Takes::One, |v, _| {
        arc(v, num::atan, f64::INFINITY)
    }),
    function("atan2", "atan2(up, along)", "angle of a slope", Takes::Two, |v, _| {
        let (y, x) = pair(v)?;
        Ok(degrees(Angle::of(x.value, y.value)))
    }),
    function(
        "joggle",
        "joggle(offset, angle, thickness)",
        "height of the face between two opposite bends of an angle, for that offset from top side \
         to top side",
        Takes::Three,
        |v, _| joggle(v),
    ),
    function(
        "eye",
        "eye(radius, end, thickness)",
        "bend angle of a rolled eye that closes to half a thickness from its own sheet",
        Takes::Three,
        |v, _| eye(v),
    ),
    function(
        "clearance",
        "clearance(bolt, 'normal')",
        "clearance hole for a bolt: 'close', 'normal' or 'loose'",
        Takes::Two,
        |v, tables| {
            let bolt = bolt(v, tables)?;
            match &v[1] {
                Value::Text(fit) if ["close", "normal", "loose"].contains(&&**fit) => {
                    field(&bolt, fit, tables).map_err(|fault| (Some(1), fault))
                }
                other => {
                    let wanted = "'close', 'normal' or 'loose'";
                    Err((Some(1), Fault::Kind { wanted, got: other.kind() }))
                }
            }
        },
    ),
    function("tap_drill", "tap_drill(bolt)", "tap drill of the thread", Takes::One, |v, tables| {
        field(&*bolt(v, tables)?, "tap_drill", tables).map_err(|fault| (Some(0), fault))
    }),
    function(
        "wrench_room",
        "wrench_room(bolt)",
        "diameter to keep clear round a bolt: of the socket over its head, else of its washer, \
         else twice its own",
        Takes::One,
        |v, tables| {
            let bolt = bolt(v, tables)?;
            let socket = tables.socket(&bolt).and_then(|socket| socket.quantity("outside"));
            let listed = socket.or_else(|| bolt.quantity("washer_outside"));
            Ok(listed
                .map_or_else(|| Value::length(2.0 * bolt.measure("diameter")), Value::Quantity))
        },
    ),
    function(
        "gauge",
        "gauge('steel', 16)",
        "thickness of a sheet gauge: of steel, stainless or aluminium",
        Takes::Two,
        |v, tables| {
            let Value::Text(metal) = &v[0] else {
                return Err((
                    Some(0),
                    Fault::Kind { wanted: "a metal in quotes", got: v[0].kind() },
                ));
            };
            let number = quantity(v, 1)?.value;
            let whole = number.fract() == 0.0 && (0.0..=255.0).contains(&number);
            let known = whole.then(|| tables.gauge(metal, number as u8));
            known.flatten().map(Value::Quantity).ok_or_else(|| {
                let row = format!("{} of {metal}", num::text(number, 2));
                (None, Fault::Row { table: "gauge".into(), row })
            })
        },
    ),
    function(
        "row",
        "row('table', name)",
        "a row of a table by its name, or by the row of that name in another table",
        Takes::Two,
        |v, tables| {
            let name = match &v[1] {
                Value::Text(name) => Some(&**name),
                Value::Row(row) => Some(row.name()),
                _ => None,
            };
            let (Value::Text(table), Some(name)) = (&v[0], name) else {
                let got = format!("{} and {}", v[0].kind(), v[1].kind());
                return Err((None, Fault::Kind { wanted: "a table and a name in quotes", got }));
            };
            find(tables, table, name, 1).map(Value::Row)
        },
    ),
];

const fn function(
    name: &'static str,
    shape: &'static str,
    about: &'static str,
    takes: Takes,
    run: fn(&[Value], &Tables) -> Outcome,
) -> Function {
    Function { name, shape, about, takes, run }
}

impl Function {
    pub(super) fn call(&self, values: &[Value], tables: &Tables) -> Outcome {
        let (right, wanted) = match self.takes {
            Takes::One => (values.len() == 1, "one value"),
            Takes::Two => (values.len() == 2, "two values"),
            Takes::Three => (values.len() == 3, "three values"),
            Takes::Four => (values.len() == 4, "four values"),
            Takes::OneOrTwo => ((1..=2).contains(&values.len()), "one or two values"),
            Takes::Some => (!values.is_empty(), "at least one value"),
        };
        if right {
            (self.run)(values, tables)
        } else {
            let name = self.name.to_owned();
            Err((None, Fault::Count { name, wanted, got: values.len() }))
        }
    }
}

/// A field of a row as a value.
pub(super) fn field(row: &Row, name: &str, tables: &Tables) -> Result<Value, Fault> {
    match row.field(name) {
        Some(Cell::Quantity(q)) => Ok(Value::Quantity(*q)),
        Some(Cell::Text(text)) => Ok(Value::Text(text.as_str().into())),
        None => Err(Fault::Field {
            row: row.name().to_owned(),
            table: row.table().to_owned(),
            field: name.to_owned(),
            known: row.fields().map(|(name, _)| name.to_owned()).collect(),
            others: beside(row, name, tables),
        }),
    }
}

/// The nearest rows before and after this one, in its table, whose field is not empty.
fn beside(row: &Row, field: &str, tables: &Tables) -> Vec<String> {
    let Some(table) = tables.table(row.table()) else { return Vec::new() };
    let rows: Vec<&Arc<Row>> = table.rows().collect();
    let Some(here) = rows.iter().position(|other| other.name() == row.name()) else {
        return Vec::new();
    };
    let has = |row: &&&Arc<Row>| row.field(field).is_some();
    let before = rows[..here].iter().rev().find(has);
    let after = rows[here + 1..].iter().find(has);
    before.into_iter().chain(after).map(|row| format!("`{}`", row.name())).collect()
}

/// The first argument as a row of the table of bolts, given as such or by name.
fn bolt(values: &[Value], tables: &Tables) -> Result<Arc<Row>, Failure> {
    match &values[0] {
        Value::Row(row) => Ok(row.clone()),
        Value::Text(name) => find(tables, "bolt", name, 0),
        other => Err((Some(0), Fault::Kind { wanted: "a bolt", got: other.kind() })),
    }
}

fn find(tables: &Tables, table: &str, name: &str, argument: usize) -> Result<Arc<Row>, Failure> {
    let Some(rows) = tables.table(table) else {
        let known = tables.names().map(str::to_owned).collect();
        return Err((Some(0), Fault::Table { name: table.to_owned(), known }));
    };
    rows.row(name).cloned().ok_or_else(|| {
        (Some(argument), Fault::Row { table: table.to_owned(), row: name.to_owned() })
    })
}

fn point(values: &[Value], i: usize) -> Result<[f64; 2], Failure> {
    values[i].place().map_err(|fault| (Some(i), fault))
}

fn space_point(values: &[Value], i: usize) -> Result<&SpacePoint, Failure> {
    match &values[i] {
        Value::Space(point) => Ok(point),
        other => Err((Some(i), Fault::Kind { wanted: "a point in space", got: other.kind() })),
    }
}
