//! Formulas and quantities on random texts, and against a second evaluator.

use platewright::diag::nearest;
use platewright::formula::Formula;
use platewright::formula::Scope;
use platewright::formula::Value;
use platewright::num;
use platewright::quantity;
use platewright::quantity::Dimension;
use platewright::quantity::Quantity;
use platewright::quantity::Reading;
use platewright::quantity::Units;
use platewright::table::Tables;
use proptest::prelude::*;

/// The value of a formula where `a` is 4 mm, `b` 30°, `c` 2 and `on` yes; `None` when refused.
fn value(text: &str) -> Option<Value> {
    let tables = Tables::default();
    let name = |name: &str| match name {
        "a" => Some(Value::length(4.0)),
        "b" => Some(Value::Quantity(Quantity::angle(30.0))),
        "c" => Some(Value::number(2.0)),
        "on" => Some(Value::Flag(true)),
        _ => None,
    };
    let known = || ["a", "b", "c", "on"].map(str::to_owned).to_vec();
    let formula = Formula::read(text).ok()?;
    formula.value(&Scope { name: &name, known: &known, tables: &tables }).ok()
}

/// A sum as a tree, with all its node types.
#[derive(Clone, Debug)]
enum Sum {
    /// A number with the power of its length: 0 a plain number, 1 mm.
    Number(f64, i8),
    /// `a`, 4 mm.
    Name,
    Minus(Box<Sum>),
    Both(char, Box<Sum>, Box<Sum>),
    /// `if x < y then p else q`.
    If(Box<[Sum; 4]>),
    /// `min` or `max`.
    Call(&'static str, Box<Sum>, Box<Sum>),
}

impl Sum {
    /// How tightly the outermost operation binds.
    fn tightness(&self) -> u8 {
        match self {
            Self::If(_) => 0,
            Self::Both('+' | '-', ..) => 1,
            Self::Both('*' | '/', ..) => 2,
            Self::Minus(_) => 3,
            Self::Both(..) => 4,
            Self::Number(..) | Self::Name | Self::Call(..) => 5,
        }
    }

    /// With as few brackets as there may be, so that the order of operations is tested.
    fn text(&self) -> String {
        let within = |sum: &Sum, min: u8| match sum.tightness() < min {
            true => format!("({})", sum.text()),
            false => sum.text(),
        };
        match self {
            Self::Number(n, 0) => format!("{n}"),
            Self::Number(n, _) => format!("{n} mm"),
            Self::Name => "a".into(),
            Self::Minus(inner) => format!("-{}", within(inner, 3)),
            Self::Both('^', x, y) => format!("{} ^ {}", within(x, 5), within(y, 3)),
            Self::Both(sign, x, y) => {
                let own = self.tightness();
                format!("{} {sign} {}", within(x, own), within(y, own + 1))
            }
            Self::If(parts) => {
                let [x, y, p, q] = &**parts;
                let [x, y] = [x, y].map(|sum| within(sum, 1));
                format!("if {x} < {y} then {} else {}", p.text(), q.text())
            }
            Self::Call(name, x, y) => format!("{name}({}, {})", x.text(), y.text()),
        }
    }

    /// Value and power of length, worked out on the tree alone.
    fn worth(&self) -> Option<(f64, i8)> {
        // A plain 0 may be added to anything.
        let alike = |x: (f64, i8), y: (f64, i8)| match (x, y) {
            _ if x.1 == y.1 => Some(x.1),
            (_, (0.0, 0)) => Some(x.1),
            ((0.0, 0), _) => Some(y.1),
            _ => None,
        };
        let (value, power) = match self {
            Self::Number(n, power) => (*n, *power),
            Self::Name => (4.0, 1),
            Self::Minus(inner) => {
                let (n, power) = inner.worth()?;
                (-n, power)
            }
            Self::Both(sign, x, y) => {
                let (x, y) = (x.worth()?, y.worth()?);
                match sign {
                    '+' => (x.0 + y.0, alike(x, y)?),
                    '-' => (x.0 - y.0, alike(x, y)?),
                    '*' => (x.0 * y.0, x.1 + y.1),
                    '/' if y.0 != 0.0 => (x.0 / y.0, x.1 - y.1),
                    '^' if y.1 == 0 && x.1 == 0 => (num::pow(x.0, y.0), 0),
                    '^' if y.1 == 0 && y.0.fract() == 0.0 && y.0.abs() <= 9.0 => {
                        (num::pow(x.0, y.0), x.1.checked_mul(y.0 as i8)?)
                    }
                    _ => return None,
                }
            }
            Self::If(parts) => {
                let [x, y, p, q] = &**parts;
                let (x, y) = (x.worth()?, y.worth()?);
                alike(x, y)?;
                let equal = (x.0 - y.0).abs() <= 1e-9 * x.0.abs().max(y.0.abs()).max(1e-3);
                return if x.0 < y.0 && !equal { p.worth() } else { q.worth() };
            }
            Self::Call(name, x, y) => {
                let (x, y) = (x.worth()?, y.worth()?);
                let power = alike(x, y)?;
                (if *name == "min" { x.0.min(y.0) } else { x.0.max(y.0) }, power)
            }
        };
        (value.is_finite() && (-9..=9).contains(&power)).then_some((value, power))
    }
}

fn sums() -> impl Strategy<Value = Sum> {
    let number = (0u32..200, 0u32..4, 0i8..2).prop_map(|(n, quarters, power)| {
        Sum::Number(f64::from(n) + f64::from(quarters) / 4.0, power)
    });
    let leaf = prop_oneof![4 => number, 1 => Just(Sum::Name)];
    leaf.prop_recursive(5, 40, 4, |inner| {
        let boxed = inner.clone().prop_map(Box::new);
        let sign = prop::sample::select(vec!['+', '-', '*', '/', '+', '-', '^']);
        let name = prop::sample::select(vec!["min", "max"]);
        prop_oneof![
            1 => boxed.clone().prop_map(Sum::Minus),
            6 => (sign, boxed.clone(), boxed.clone()).prop_map(|(s, x, y)| Sum::Both(s, x, y)),
            1 => prop::array::uniform4(inner).prop_map(|parts| Sum::If(Box::new(parts))),
            1 => (name, boxed.clone(), boxed).prop_map(|(n, x, y)| Sum::Call(n, x, y)),
        ]
    })
}

fn quantity_of(value: &Value) -> Option<Quantity> {
    if let Value::Quantity(q) = value { Some(*q) } else { None }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4000))]

    #[test]
    fn a_sum_is_what_a_second_evaluator_says(sum in sums()) {
        let text = sum.text();
        let got = value(&text).as_ref().and_then(quantity_of);
        match (sum.worth(), got) {
            (Some((wanted, power)), Some(got)) => {
                prop_assert_eq!(got.dimension, Dimension { length: power, ..Dimension::NONE });
                let same = got.value == wanted || (got.value - wanted).abs() <= 1e-12 * wanted.abs();
                prop_assert!(same, "{text}: {} and {wanted}", got.value);
            }
            (None, None) => {}
            (wanted, got) => prop_assert!(false, "{text}: {got:?}, but {wanted:?}"),
        }
    }

    #[test]
    fn any_text_is_read_or_refused_with_a_place_in_it(text in "\\PC{0,80}") {
        read_or_refused(&text)?;
    }

    /// The letters and words of formulas in any order come nearer to what is right.
    #[test]
    fn pieces_of_formulas_are_read_or_refused(
        pieces in prop::collection::vec(prop::sample::select(PIECES.to_vec()), 0..30)
    ) {
        read_or_refused(&pieces.concat())?;
    }

    #[test]
    fn a_printed_quantity_reads_as_itself(
        number in prop_oneof![-1e6..1e6f64, -2.0..2.0f64, (0i32..64_000).prop_map(|n| f64::from(n) * 25.4 / 64.0)],
        kind in 0usize..7,
        inch in any::<bool>(),
    ) {
        let kinds = [
            (Dimension::NONE, 1.0), (Dimension::LENGTH, 1.0), (Dimension::AREA, 1.0),
            (Dimension::ANGLE, 1.0), (Dimension::FORCE, 1.0), (Dimension::MASS, 1.0),
            (Dimension::STRESS, 1.0),
        ];
        let dimension = kinds[kind].0;
        let units = if inch { Units::Inch } else { Units::Millimetre };
        let printed = Quantity { value: number, dimension }.show(units);
        let read = quantity::read(&printed);
        let Ok(Reading::Quantity(read)) = read else {
            return Err(TestCaseError::fail(format!("{printed}: {read:?}")));
        };
        prop_assert_eq!(read.dimension, dimension, "{}", &printed);
        // Three decimals are printed; of the largest unit, a square inch or a kilonewton.
        let lost = match dimension {
            Dimension::FORCE => 5.0,
            Dimension::AREA => 0.4,
            _ => 0.0051,
        };
        prop_assert!((read.value - number).abs() <= lost, "{printed}: {} and {number}", read.value);
        // What was read prints the same again.
        prop_assert_eq!(read.show(units), printed);
    }

    #[test]
    fn any_text_is_a_quantity_or_refused_with_a_place_in_it(text in "[-+0-9.,/ a-zA-Z\"°é]{0,14}") {
        match quantity::read(&text) {
            Ok(Reading::Quantity(q)) => prop_assert!(q.value.is_finite()),
            Ok(Reading::Gauge { number, .. }) => prop_assert!((3..=30).contains(&number)),
            Err(error) => {
                let at = error.at().unwrap_or(0..text.len());
                prop_assert!(text.get(at.clone()).is_some(), "{text:?}: {at:?}");
                prop_assert!(!error.to_string().is_empty() && !error.help().is_empty());
            }
        }
    }

    #[test]
    fn the_nearest_name_is_one_of_those_known(typed in "\\PC{0,20}", known in prop::collection::vec("[a-z]{0,8}", 0..6)) {
        if let Some(near) = nearest(&typed, known.iter().map(String::as_str)) {
            prop_assert!(known.iter().any(|k| k == near));
        }
    }
}

fn read_or_refused(text: &str) -> Result<(), TestCaseError> {
    match Formula::read(text) {
        Ok(formula) => {
            formula.names();
            value(text);
        }
        Err(error) => {
            prop_assert!(text.get(error.at.clone()).is_some(), "{text:?}: {:?}", error.at);
            prop_assert!(!error.fault.to_string().is_empty() && !error.help().is_empty());
        }
    }
    Ok(())
}

const PIECES: &[&str] = &[
    "a",
    "b",
    "c",
    "on",
    "1",
    "2.5",
    "1/4 in",
    "3-1/2 in",
    "30 deg",
    "4 mm",
    "\"",
    "°",
    "1e9",
    "0",
    "+",
    "-",
    "*",
    "/",
    "^",
    "(",
    ")",
    ",",
    ".",
    " ",
    " ",
    " and ",
    " or ",
    "not ",
    "if ",
    " then ",
    " else ",
    "<",
    "<=",
    "==",
    "!=",
    "min(",
    "sqrt(",
    "round_up(",
    "row('bolt', 'M8')",
    ".diameter",
    "'",
    "M8",
    "true",
    "é",
    "−",
];

/// The longest formulas that are accepted do not exhaust the stack of a worker thread.
#[test]
fn the_longest_formulas_can_be_evaluated_and_dropped() {
    let long = |before: &str, piece: &str, after: &str| {
        let room = 4096 - before.len() - after.len();
        format!("{before}{}{after}", piece.repeat(room / piece.len()))
    };
    for text in [
        long("1", "+1", ""),
        long("1", "-a", ""),
        long("on", " and on", ""),
        long("on", " or on", ""),
        long("a", ".a", ""),
        long("max(1", ",1", ")"),
        long("", "-", "1"),
        long("", "not ", "on"),
        long("", "(", ""),
        long("2", "^2", ""),
        long("", "if on then ", "1"),
        long("", "sqrt(", "1"),
        long("1", "*(1", ""),
    ] {
        let worker = std::thread::Builder::new().stack_size(2 << 20);
        let run = worker.spawn(move || match Formula::read(&text) {
            Ok(formula) => {
                let names = formula.clone().names().len();
                value(&text).map_or(names, |_| names)
            }
            Err(error) => error.help().len(),
        });
        run.expect("a thread").join().expect("neither read nor refused");
    }
}
