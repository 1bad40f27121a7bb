//! Formula text to tree, by precedence climbing; every node keeps its bytes.

use crate::formula::fault::Fault;
use crate::formula::fault::FormulaError;
use crate::formula::operator::COMPARISON;
use crate::formula::operator::Operator;
use crate::formula::value::Value;
use crate::num;
use crate::quantity;
use crate::quantity::QuantityError;
use std::ops::Range;

/// A piece of a formula and its position.
#[derive(Clone, Debug)]
pub(super) struct Node {
    /// Bytes of the formula.
    pub(super) at: Range<usize>,
    /// The piece.
    pub(super) tree: Tree,
}

/// What a piece is.
#[derive(Clone, Debug)]
pub(super) enum Tree {
    Value(Value),
    Name(String),
    Field(Box<Node>, String),
    /// A coordinate of a point in the drawing of a face.
    Drawn(Box<Node>, String),
    Call(String, Vec<Node>),
    If(Box<Node>, Box<Node>, Box<Node>),
    Not(Box<Node>),
    Minus(Box<Node>),
    Both(Operator, Box<Node>, Box<Node>),
    /// `[a, b, c]`, or an array of formulas.
    List(Vec<Node>),
    /// `list[number]`, the first is 1.
    Element(Box<Node>, Box<Node>),
}

const NOT: u8 = 3;
const MINUS: u8 = 7;

/// Deeper nesting than this is a mistake, and would exhaust the stack. Our choice.
const DEEPEST: usize = 64;
/// No formula is longer than this, in bytes. Our choice.
const LONGEST: usize = 4096;

/// Longest first, so that `<=` is not read as `<`.
const SIGNS: &[(&str, Operator)] = &[
    ("==", Operator::Equal),
    ("!=", Operator::NotEqual),
    ("<=", Operator::AtMost),
    (">=", Operator::AtLeast),
    ("<", Operator::Less),
    (">", Operator::More),
    ("+", Operator::Plus),
    ("-", Operator::Minus),
    ("*", Operator::Times),
    ("/", Operator::Over),
    ("^", Operator::Power),
];

impl Node {
    /// Calls `seen` for this node and all below it.
    pub(super) fn visit<'a>(&'a self, seen: &mut impl FnMut(&'a Node)) {
        seen(self);
        match &self.tree {
            Tree::Value(_) | Tree::Name(_) => {}
            Tree::Field(inner, _)
            | Tree::Drawn(inner, _)
            | Tree::Not(inner)
            | Tree::Minus(inner) => inner.visit(seen),
            Tree::Call(_, inner) | Tree::List(inner) => inner.iter().for_each(|n| n.visit(seen)),
            Tree::Both(_, a, b) | Tree::Element(a, b) => {
                [a, b].into_iter().for_each(|n| n.visit(seen))
            }
            Tree::If(a, b, c) => [a, b, c].into_iter().for_each(|n| n.visit(seen)),
        }
    }

    /// The same, this many bytes further on.
    pub(super) fn behind(mut self, bytes: usize) -> Self {
        self.shift(bytes);
        self
    }

    fn shift(&mut self, bytes: usize) {
        self.each_mut(&mut |node| node.at = node.at.start + bytes..node.at.end + bytes);
    }

    /// Changes this node and all below it.
    pub(super) fn each_mut(&mut self, change: &mut impl FnMut(&mut Self)) {
        change(self);
        match &mut self.tree {
            Tree::Value(_) | Tree::Name(_) => {}
            Tree::Field(inner, _)
            | Tree::Drawn(inner, _)
            | Tree::Not(inner)
            | Tree::Minus(inner) => inner.each_mut(change),
            Tree::Call(_, inner) | Tree::List(inner) => {
                inner.iter_mut().for_each(|n| n.each_mut(change));
            }
            Tree::Both(_, a, b) | Tree::Element(a, b) => {
                [a, b].into_iter().for_each(|n| n.each_mut(change));
            }
            Tree::If(a, b, c) => [a, b, c].into_iter().for_each(|n| n.each_mut(change)),
        }
    }
}

/// Whether names have this letter.
fn is_letter(c: char) -> bool {
    c.is_alphanumeric() || c == '_'
}

/// Whether a text is a name alone.
pub(crate) fn is_name(text: &str) -> bool {
    !text.is_empty()
        && text.chars().all(is_letter)
        && !text.starts_with(|c: char| c.is_ascii_digit())
}

/// Reads a whole formula.
pub(super) fn parse(text: &str) -> Result<Node, FormulaError> {
    if text.len() > LONGEST {
        return Err(FormulaError::new(0..text.len(), Fault::TooLong(LONGEST)));
    }
    let mut parser = Parser { text, at: 0, depth: 0 };
    let node = parser.expression(0)?;
    if parser.at < text.len() {
        return Err(parser.left_over(&node));
    }
    Ok(node)
}

struct Parser<'a> {
    text: &'a str,
    at: usize,
    depth: usize,
}

impl<'a> Parser<'a> {
    fn rest(&self) -> &'a str {
        &self.text[self.at..]
    }

    fn skip_blanks(&mut self) {
        self.at = self.text.len() - self.rest().trim_start().len();
    }

    fn word(&self) -> &'a str {
        let rest = self.rest();
        if rest.starts_with(|c: char| c.is_ascii_digit()) {
            return "";
        }
        let end = rest.find(|c| !is_letter(c)).unwrap_or(rest.len());
        &rest[..end]
    }

    /// Takes a sign or word if it is here.
    fn take(&mut self, wanted: &str) -> bool {
        let is_word = wanted.starts_with(|c: char| c.is_alphabetic());
        let here = if is_word { self.word() == wanted } else { self.rest().starts_with(wanted) };
        if here {
            self.at += wanted.len();
            self.skip_blanks();
        }
        here
    }

    fn unexpected(&self, wanted: &'static str) -> FormulaError {
        let len = match self.word().len() {
            0 => self.rest().chars().next().map_or(0, char::len_utf8),
            len => len,
        };
        let at = self.at..self.at + len;
        let found = match &self.text[at.clone()] {
            "" => "but the formula ends".to_owned(),
            word => format!("not `{word}`"),
        };
        FormulaError::new(at, Fault::Unexpected { found, wanted })
    }

    /// The error for text behind a whole formula: most often a wrong unit.
    fn left_over(&self, before: &Node) -> FormulaError {
        let word = self.word();
        if matches!(before.tree, Tree::Value(Value::Quantity(_))) && !word.is_empty() {
            let at = self.at..self.at + word.len();
            let error = QuantityError::split(self.text, self.at, word.len())
                .unwrap_or_else(|| QuantityError::Unit { word: word.to_owned(), at: at.clone() });
            return FormulaError::new(error.at().unwrap_or(at), error.into());
        }
        self.unexpected("an operator or the end")
    }

    fn deeper<T>(
        &mut self,
        inner: impl FnOnce(&mut Self) -> Result<T, FormulaError>,
    ) -> Result<T, FormulaError> {
        self.depth += 1;
        if self.depth > DEEPEST {
            return Err(FormulaError::new(self.at..self.at, Fault::TooDeep(DEEPEST)));
        }
        let result = inner(self);
        self.depth -= 1;
        result
    }

    fn operator(&self) -> Option<(usize, Operator)> {
        match self.word() {
            "and" => Some((3, Operator::And)),
            "or" => Some((2, Operator::Or)),
            _ => SIGNS
                .iter()
                .find(|(sign, _)| self.rest().starts_with(sign))
                .map(|(sign, operator)| (sign.len(), *operator)),
        }
    }

    /// An expression whose operators all bind at least as tightly as `min`.
    fn expression(&mut self, min: u8) -> Result<Node, FormulaError> {
        self.deeper(|p| p.expression_inside(min))
    }

    fn expression_inside(&mut self, min: u8) -> Result<Node, FormulaError> {
        self.skip_blanks();
        let mut left = self.prefix()?;
        loop {
            self.skip_blanks();
            let Some((length, operator)) = self.operator() else { return Ok(left) };
            let power = operator.power();
            if power < min {
                return Ok(left);
            }
            if power == COMPARISON
                && matches!(left.tree, Tree::Both(o, ..) if o.power() == COMPARISON)
            {
                return Err(FormulaError::new(self.at..self.at + length, Fault::Comparisons));
            }
            self.at += length;
            // `^` groups to the right and takes a minus; the others group to the left.
            let right = match operator {
                Operator::Power => self.expression(MINUS)?,
                _ => self.expression(power + 1)?,
            };
            let at = left.at.start..right.at.end;
            left = Node { at, tree: Tree::Both(operator, Box::new(left), Box::new(right)) };
        }
    }

    fn prefix(&mut self) -> Result<Node, FormulaError> {
        let start = self.at;
        if self.take("if") {
            return self.conditional(start);
        }
        if self.take("not") {
            let inner = self.expression(NOT)?;
            return Ok(Node { at: start..inner.at.end, tree: Tree::Not(Box::new(inner)) });
        }
        if self.take("-") {
            let inner = self.expression(MINUS)?;
            return Ok(Node { at: start..inner.at.end, tree: Tree::Minus(Box::new(inner)) });
        }
        let mut node = self.primary()?;
        for _ in 0..DEEPEST {
            node = match self.rest().chars().next() {
                Some('[') => self.element(node)?,
                Some('.') => self.field(node)?,
                _ => return Ok(node),
            };
        }
        Err(FormulaError::new(self.at..self.at, Fault::TooDeep(DEEPEST)))
    }

    /// An element of a list, whose number is here in brackets.
    fn element(&mut self, list: Node) -> Result<Node, FormulaError> {
        let open = self.at;
        self.at += 1;
        let number = self.expression(0)?;
        if !self.take("]") {
            return Err(self.unclosed(open, '['));
        }
        let at = list.at.start..open + self.text[open..self.at].trim_end().len();
        Ok(Node { at, tree: Tree::Element(Box::new(list), Box::new(number)) })
    }

    /// A field of a row, whose name is here behind a point.
    fn field(&mut self, row: Node) -> Result<Node, FormulaError> {
        self.at += 1;
        let field = self.word();
        if field.is_empty() {
            return Err(self.unexpected("the name of a field"));
        }
        self.at += field.len();
        let at = row.at.start..self.at;
        Ok(Node { at, tree: Tree::Field(Box::new(row), field.to_owned()) })
    }

    fn conditional(&mut self, start: usize) -> Result<Node, FormulaError> {
        let condition = self.expression(0)?;
        if !self.take("then") {
            return Err(self.unexpected("`then`"));
        }
        let then = self.expression(0)?;
        if !self.take("else") {
            return Err(self.unexpected("`else`"));
        }
        let otherwise = self.expression(0)?;
        let at = start..otherwise.at.end;
        let tree = Tree::If(Box::new(condition), Box::new(then), Box::new(otherwise));
        Ok(Node { at, tree })
    }

    fn primary(&mut self) -> Result<Node, FormulaError> {
        let start = self.at;
        let rest = self.rest();
        let node = |p: &Self, tree| Node { at: start..p.at, tree };
        if rest.starts_with('(') {
            self.at += 1;
            let inner = self.expression(0)?;
            if !self.take(")") {
                return Err(self.unclosed(start, '('));
            }
            let end = start + self.text[start..self.at].trim_end().len();
            return Ok(Node { at: start..end, tree: inner.tree });
        }
        if rest.starts_with('[') {
            let values = self.values('[', "]")?;
            return Ok(node(self, Tree::List(values)));
        }
        if let Some(quoted) = rest.strip_prefix('\'') {
            let Some(end) = quoted.find('\'') else {
                return Err(FormulaError::new(start..start + 1, Fault::NeverClosed('\'')));
            };
            self.at += end + 2;
            return Ok(node(self, Tree::Value(Value::Text(quoted[..end].into()))));
        }
        match quantity::literal(rest) {
            Ok(Some((quantity, used))) => {
                self.at += used;
                return Ok(node(self, Tree::Value(Value::Quantity(quantity))));
            }
            Ok(None) => {}
            Err(error) => {
                return Err(FormulaError::new(start..self.text.len(), error.into()));
            }
        }
        let word = self.word();
        if word.is_empty() || ["then", "else", "and", "or"].contains(&word) {
            return Err(self.unexpected("a value"));
        }
        self.at += word.len();
        match word {
            "true" | "false" => Ok(node(self, Tree::Value(Value::Flag(word == "true")))),
            "pi" => Ok(node(self, Tree::Value(Value::number(num::PI)))),
            _ if self.rest().starts_with('(') => {
                let arguments = self.values('(', ")")?;
                Ok(node(self, Tree::Call(word.to_owned(), arguments)))
            }
            _ => Ok(node(self, Tree::Name(word.to_owned()))),
        }
    }

    /// The values between brackets, the first of which is here.
    fn values(&mut self, bracket: char, end: &str) -> Result<Vec<Node>, FormulaError> {
        let open = self.at;
        self.at += 1;
        self.skip_blanks();
        let mut values = Vec::new();
        if bracket == '(' && self.rest().starts_with(end) {
            self.at += 1;
            return Ok(values);
        }
        loop {
            values.push(self.expression(0)?);
            self.skip_blanks();
            if self.rest().starts_with(end) {
                self.at += 1;
                return Ok(values);
            }
            if !self.take(",") {
                return Err(self.unclosed(open, bracket));
            }
        }
    }

    /// A bracket that is not closed where it could be: at the end, or before something odd.
    fn unclosed(&self, open: usize, bracket: char) -> FormulaError {
        if self.at >= self.text.len() {
            FormulaError::new(open..open + 1, Fault::NeverClosed(bracket))
        } else {
            let wanted = match bracket {
                '(' => "an operator, `,` or `)`",
                _ => "an operator, `,` or `]`",
            };
            self.unexpected(wanted)
        }
    }
}
