//! Formulas: text to tree to value, with dimensions.
//!
//! Ordinary arithmetic with units (`2 * thickness + 1/4 in`), comparisons, `and`,
//! `or`, `not`, `if … then … else …`, fields of table rows (`bolt.diameter`) and the
//! functions listed in [`FUNCTIONS`]. A length and an angle cannot be added.

mod between;
mod fault;
mod function;
mod list;
mod number;
mod operator;
mod parse;
mod space;
mod value;

pub(crate) use fault::Fault;
pub(crate) use fault::FormulaError;
pub use function::FUNCTIONS;
pub(crate) use list::MAX as MAX_IN_LIST;
pub(crate) use list::TOO_LONG;
pub(crate) use list::members;
pub use value::Value;
pub(crate) use value::of_dimension;

use crate::diag::nearest;
use crate::quantity::Dimension;
use crate::quantity::Quantity;
use crate::table::Tables;
use operator::Operator;
use parse::Node;
use parse::Tree;
pub(crate) use parse::is_name;
use std::ops::Range;

/// A formula that has been read and can be evaluated again and again.
#[derive(Clone, Debug)]
pub struct Formula {
    tree: Node,
}

/// What a formula may ask for.
pub struct Scope<'a> {
    /// The value of a name, when there is one.
    pub name: &'a dyn Fn(&str) -> Option<Value>,
    /// Every name that can be asked for, to offer the nearest.
    pub known: &'a dyn Fn() -> Vec<String>,
    /// The tables that look-ups read.
    pub tables: &'a Tables,
}

impl Formula {
    /// Reads a formula.
    ///
    /// # Errors
    /// When the text is no formula, or is too long or too deeply nested.
    pub fn read(text: &str) -> Result<Self, FormulaError> {
        Ok(Self { tree: parse::parse(text)? })
    }

    /// A formula that is just this value.
    pub(crate) fn constant(value: Value) -> Self {
        Self { tree: Node { at: 0..0, tree: Tree::Value(value) } }
    }

    /// Whether it is one value as it is written, without signs of arithmetic.
    pub(crate) fn is_literal(&self) -> bool {
        matches!(self.tree.tree, Tree::Value(_))
    }

    /// A list of formulas, each this many bytes behind the beginning of the list, which is so
    /// many bytes long.
    pub(crate) fn list(formulas: Vec<(usize, Self)>, length: usize) -> Self {
        let nodes = formulas.into_iter().map(|(at, formula)| formula.tree.behind(at)).collect();
        Self { tree: Node { at: 0..length, tree: Tree::List(nodes) } }
    }

    /// A field of the formula's value, such as the `x` of a point.
    pub(crate) fn field(self, field: &str) -> Self {
        let at = self.tree.at.clone();
        Self { tree: Node { at, tree: Tree::Field(Box::new(self.tree), field.to_owned()) } }
    }

    /// The same where these names have values.
    pub(crate) fn with(&self, values: &[(String, Value)]) -> Self {
        let mut tree = self.tree.clone();
        tree.each_mut(&mut |node| {
            if let Tree::Name(name) = &node.tree
                && let Some((_, value)) = values.iter().find(|(known, _)| known == name)
            {
                node.tree = Tree::Value(value.clone());
            }
        });
        Self { tree }
    }

    /// Whether it is a name, or a field or an element of one.
    pub(crate) fn is_path(&self) -> bool {
        let mut node = &self.tree;
        while let Tree::Field(of, _) | Tree::Element(of, _) = &node.tree {
            node = of;
        }
        matches!(node.tree, Tree::Name(_))
    }

    /// A coordinate of the formula's point in the drawing of a face, `x` or `y`.
    pub(crate) fn drawn(self, field: &str) -> Self {
        let at = self.tree.at.clone();
        Self { tree: Node { at, tree: Tree::Drawn(Box::new(self.tree), field.to_owned()) } }
    }

    /// The bytes of the value of this index, where the formula is a list that is written out.
    pub(crate) fn part(&self, index: usize) -> Option<Range<usize>> {
        match &self.tree.tree {
            Tree::List(nodes) => nodes.get(index).map(|node| node.at.clone()),
            _ => None,
        }
    }

    /// The names it uses, in order, each once.
    pub fn names(&self) -> Vec<&str> {
        let mut names = Vec::new();
        self.tree.visit(&mut |node| {
            if let Tree::Name(name) = &node.tree
                && !names.contains(&name.as_str())
            {
                names.push(name);
            }
        });
        names
    }

    /// The first comparison of a name with a word that it never is, by the words it can be.
    pub(crate) fn never(
        &self,
        words: &dyn Fn(&str) -> Option<Vec<String>>,
    ) -> Option<FormulaError> {
        let mut found = None;
        self.tree.visit(&mut |node| {
            let Tree::Both(Operator::Equal | Operator::NotEqual, left, right) = &node.tree else {
                return;
            };
            let ((Tree::Name(name), Tree::Value(Value::Text(word)))
            | (Tree::Value(Value::Text(word)), Tree::Name(name))) = (&left.tree, &right.tree)
            else {
                return;
            };
            let strange = words(name).filter(|known| known.iter().all(|one| **one != **word));
            if let Some(known) = strange.filter(|_| found.is_none()) {
                let fault = Fault::Never { name: name.clone(), word: word.to_string(), known };
                found = Some(FormulaError::new(node.at.clone(), fault));
            }
        });
        found
    }

    /// Its value.
    ///
    /// # Errors
    /// When a name is unknown, dimensions do not fit or the result is undefined.
    pub fn value(&self, scope: &Scope) -> Result<Value, FormulaError> {
        evaluate(&self.tree, scope)
    }
}

fn evaluate(node: &Node, scope: &Scope) -> Result<Value, FormulaError> {
    let fail = |fault| Err(FormulaError::new(node.at.clone(), fault));
    match &node.tree {
        Tree::Value(value) => Ok(value.clone()),
        Tree::Name(name) => match (scope.name)(name) {
            Some(value) => Ok(value),
            None => {
                let known = (scope.known)();
                let near = nearest(name, known.iter().map(String::as_str)).map(str::to_owned);
                fail(Fault::Name { name: name.clone(), nearest: near })
            }
        },
        Tree::Field(row, field) => {
            let of = evaluate(row, scope)?;
            of_field(&of, field, scope.tables).map_err(|fault| match fault {
                Fault::Kind { .. } => FormulaError::new(row.at.clone(), fault),
                _ => FormulaError::new(node.at.clone(), fault),
            })
        }
        Tree::Drawn(point, field) => {
            let value = evaluate(point, scope)?;
            let at = |fault| FormulaError::new(point.at.clone(), fault);
            value.place().and_then(|place| coordinate(place, field)).map_err(at)
        }
        Tree::List(nodes) => {
            let values = nodes.iter().map(|n| evaluate(n, scope)).collect::<Result<Vec<_>, _>>()?;
            list::of(values).map_err(|(i, fault)| {
                let at = i.and_then(|i| nodes.get(i)).map_or(&node.at, |node| &node.at);
                FormulaError::new(at.clone(), fault)
            })
        }
        Tree::Element(list, number) => element(node, list, number, scope),
        Tree::If(condition, then, otherwise) => {
            let branch = if flag(condition, scope)? { then } else { otherwise };
            evaluate(branch, scope)
        }
        Tree::Not(inner) => Ok(Value::Flag(!flag(inner, scope)?)),
        Tree::Minus(inner) => {
            let q = quantity(inner, scope)?;
            Ok(Value::Quantity(Quantity { value: -q.value, ..q }))
        }
        Tree::Call(name, arguments) => {
            let Some(function) = FUNCTIONS.iter().find(|f| f.name == name) else {
                let known: Vec<&str> = FUNCTIONS.iter().map(|f| f.name).collect();
                let nearest = nearest(name, known.iter().copied()).map(str::to_owned);
                return fail(Fault::Function { name: name.clone(), nearest, known });
            };
            let values =
                arguments.iter().map(|a| evaluate(a, scope)).collect::<Result<Vec<_>, _>>()?;
            match function.call(&values, scope.tables) {
                Ok(value) => finite(value).or_else(fail),
                Err((Some(i), fault)) => Err(FormulaError::new(arguments[i].at.clone(), fault)),
                Err((None, fault)) => fail(fault),
            }
        }
        Tree::Both(..) => row(node, scope),
    }
}

/// The value of a list that has this number.
fn element(node: &Node, list: &Node, number: &Node, scope: &Scope) -> Result<Value, FormulaError> {
    let (list, q) = (evaluate(list, scope)?, quantity(number, scope)?);
    let number = of_dimension(&Value::Quantity(q), Dimension::NONE, "a plain number")
        .map_err(|fault| FormulaError::new(number.at.clone(), fault))?;
    list::element(&list, number).map_err(|fault| FormulaError::new(node.at.clone(), fault))
}

/// A field of a value; of a list, that of each of its values.
fn of_field(value: &Value, field: &str, tables: &Tables) -> Result<Value, Fault> {
    match value {
        Value::Row(found) => function::field(found, field, tables),
        Value::Point(at) => coordinate(*at, field),
        Value::Space(point) => point.coordinate(field).map(Value::length),
        Value::Record(values) => values.get(field).cloned().ok_or_else(|| Fault::NoValue {
            name: field.to_owned(),
            known: values.keys().cloned().collect(),
        }),
        Value::List(values) => {
            let all = values.iter().map(|value| of_field(value, field, tables));
            list::of(all.collect::<Result<Vec<_>, Fault>>()?).map_err(|(_, fault)| fault)
        }
        value => {
            let wanted = match field {
                "x" | "y" => "a point",
                "z" => "a point in space",
                _ => "a row of a table",
            };
            Err(Fault::Kind { wanted, got: value.kind() })
        }
    }
}

/// The `x` or `y` of a point.
fn coordinate([x, y]: [f64; 2], field: &str) -> Result<Value, Fault> {
    match field {
        "x" => Ok(Value::length(x)),
        "y" => Ok(Value::length(y)),
        "z" => Err(Fault::Kind { wanted: "a point in space", got: "a point of a drawing".into() }),
        _ => Err(Fault::Undefined("a point has `x` and `y`")),
    }
}

/// `a + b − c …`: a long row leans to the left, and is walked instead of descended.
fn row(node: &Node, scope: &Scope) -> Result<Value, FormulaError> {
    let (mut first, mut steps) = (node, Vec::new());
    while let Tree::Both(operator, left, right) = &first.tree {
        steps.push((first, left, *operator, right));
        first = left;
    }
    let mut value = evaluate(first, scope)?;
    for (node, left, operator, right) in steps.into_iter().rev() {
        value = match operator {
            Operator::And | Operator::Or => {
                let decided = as_flag(left, value)? == (operator == Operator::Or);
                Value::Flag(if decided { operator == Operator::Or } else { flag(right, scope)? })
            }
            _ => {
                let right = evaluate(right, scope)?;
                let combined = value::combine(operator, &value, &right).and_then(finite);
                combined.map_err(|fault| FormulaError::new(node.at.clone(), fault))?
            }
        };
    }
    Ok(value)
}

fn finite(value: Value) -> Result<Value, Fault> {
    match value {
        Value::Quantity(q) if !q.value.is_finite() => {
            Err(Fault::Undefined("the result is not a finite number"))
        }
        other => Ok(other),
    }
}

fn flag(node: &Node, scope: &Scope) -> Result<bool, FormulaError> {
    as_flag(node, evaluate(node, scope)?)
}

fn as_flag(node: &Node, value: Value) -> Result<bool, FormulaError> {
    match value {
        Value::Flag(flag) => Ok(flag),
        other => {
            let fault = Fault::Kind { wanted: "`true` or `false`", got: other.kind() };
            Err(FormulaError::new(node.at.clone(), fault))
        }
    }
}

fn quantity(node: &Node, scope: &Scope) -> Result<Quantity, FormulaError> {
    match evaluate(node, scope)? {
        Value::Quantity(q) => Ok(q),
        other => {
            let fault = Fault::Kind { wanted: "a number", got: other.kind() };
            Err(FormulaError::new(node.at.clone(), fault))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Units;

    fn run(text: &str) -> Result<Value, FormulaError> {
        let tables = Tables::shipped();
        let name = |name: &str| match name {
            "reach" => Some(Value::length(30.0)),
            "half" => Some(Value::Quantity(Quantity::angle(45.0))),
            "style" => Some(Value::Text("flush".into())),
            "bolt" => tables.row("bolt", "M8").map(|row| Value::Row(row.clone())),
            _ => None,
        };
        let known = || ["reach", "half", "style", "bolt"].map(str::to_owned).to_vec();
        Formula::read(text)?.value(&Scope { name: &name, known: &known, tables: &tables })
    }

    fn shown(text: &str) -> String {
        match run(text) {
            Ok(Value::Quantity(q)) => q.show(Units::Millimetre),
            Ok(Value::Flag(flag)) => flag.to_string(),
            Ok(other) => other.kind(),
            Err(error) => panic!("{text}: {}", error.fault),
        }
    }

    #[test]
    fn arithmetic_is_ordinary() {
        for (text, wanted) in [
            ("1 + 2 * 3", "7"),
            ("-2^2", "-4"),
            ("2^3^2", "512"),
            ("(1 + 2) * 3", "9"),
            ("1/4 in", "6.35 mm"),
            ("3-1/2 in", "88.9 mm"),
            ("reach - 1/2 in", "17.3 mm"),
            ("2 * reach * reach", "1800 mm2"),
            ("reach / 12 mm", "2.5"),
            ("sqrt(reach * reach)", "30 mm"),
            ("max(reach, 1 in, 31 mm)", "31 mm"),
            ("sin(half) * sin(half)", "0.5"),
            ("atan2(reach, reach)", "45 deg"),
            ("round_up(reach / 7, 0.5 mm)", "4.5 mm"),
            ("round_down(7.9, 2)", "6"),
            ("round(7.1 mm, 0.25 mm)", "7 mm"),
        ] {
            assert_eq!(shown(text), wanted, "{text}");
        }
    }

    #[test]
    fn conditions_choose() {
        for (text, wanted) in [
            ("if reach > 20 mm then 1 else 2", "1"),
            ("reach >= 30 mm and not (style == 'slip')", "true"),
            ("if style == 'flush' then reach else 2 * reach", "30 mm"),
            ("0.1 + 0.2 == 0.3", "true"),
            ("reach != 30 mm or false", "false"),
        ] {
            assert_eq!(shown(text), wanted, "{text}");
        }
    }

    #[test]
    fn tables_are_looked_up() {
        for (text, wanted) in [
            ("bolt.diameter", "8 mm"),
            ("clearance(bolt, 'normal')", "9 mm"),
            ("clearance('M10', 'close')", "10.5 mm"),
            ("tap_drill(bolt)", "6.8 mm"),
            ("row('bolt', 'M6').diameter", "6 mm"),
            ("gauge('steel', 16)", "1.519 mm"),
            ("gauge('aluminium', 16)", "1.29 mm"),
        ] {
            assert_eq!(shown(text), wanted, "{text}");
        }
    }

    #[test]
    fn refusals_say_what_and_where() {
        for (text, at, words) in [
            ("reach + half", 0..12, "cannot add a length and an angle"),
            ("2 * raech", 4..9, "`raech` is not defined here"),
            ("2 * (reach", 4..5, "this `(` is never closed"),
            ("2 *", 3..3, "a value is needed here, but the formula ends"),
            ("max(reach, 3)", 11..12, "a length is needed here, but this is a plain number"),
            ("reach / 0", 0..9, "divides by zero"),
            ("sqrt(0 - 1)", 0..11, "no root of a negative number"),
            ("bolt.widht", 0..10, "`M8` in table `bolt` has no `widht`"),
            ("cosine(half)", 0..12, "there is no function `cosine`"),
            ("1 < 2 < 3", 6..7, "only one comparison is allowed here"),
            ("'flush", 0..1, "this `'` is never closed"),
            ("if reach then 1 else 2", 3..8, "`true` or `false` is needed here"),
            ("12 mmm", 3..6, "`mmm` is not a unit"),
            ("10^400", 0..6, "not a finite number"),
            ("reach ^ 0.5", 0..11, "a whole number"),
        ] {
            let error = run(text).expect_err(text);
            let said = error.fault.to_string();
            assert!(said.contains(words), "{text}: {said}");
            assert_eq!(error.at, at, "{text}");
            assert!(!error.help().is_empty());
        }
    }

    #[test]
    fn endless_nesting_is_refused_at_once() {
        let deep = "(".repeat(3000);
        assert!(matches!(run(&deep).unwrap_err().fault, Fault::TooDeep(_)));
        let minus = "-".repeat(3000);
        assert!(matches!(run(&minus).unwrap_err().fault, Fault::TooDeep(_)));
        let long = "1+".repeat(100_000);
        assert!(matches!(run(&long).unwrap_err().fault, Fault::TooLong(_)));
        let towers = format!("{}1", "2^".repeat(1500));
        assert!(matches!(run(&towers).unwrap_err().fault, Fault::TooDeep(_)));
        let ifs = "if true then 1 else ".repeat(150);
        assert!(matches!(run(&ifs).unwrap_err().fault, Fault::TooDeep(_)));
    }
}
