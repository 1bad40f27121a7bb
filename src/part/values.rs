//! Formulas of a recipe as numbers, their faults gathered.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Findings;
use crate::formula;
use crate::formula::Value;
use crate::geom::Frame;
use crate::geom::NEAR;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Space;
use crate::num::Angle;
use crate::part::space_tube::SpaceTubes;
use crate::quantity::Dimension;
use crate::recipe::Around;
use crate::recipe::Each;
use crate::recipe::Expr;
use crate::recipe::HAND;
use crate::recipe::Locals;
use crate::recipe::Meant;
use crate::recipe::NUMBER;
use crate::recipe::Params;
use crate::recipe::Recipe;
use crate::table::Row;
use crate::table::Tables;
use std::cell::Cell;
use std::sync::Arc;

/// Longest dimension of a part, mm. Our choice: a kilometre; far beyond it thousandths are lost.
const LONGEST: f64 = 1e6;

/// Maximum number of repetitions of an entry round a point. Our choice: that of a row of holes.
const MAX_AROUND: u32 = 200;

/// Evaluates formulas; what fails is reported and comes out as `None`.
pub(super) struct Values<'a> {
    pub(super) recipe: &'a Recipe,
    pub(super) params: &'a Params,
    pub(super) tables: &'a Tables,
    pub(super) findings: &'a Findings,
    /// Names that have a value in a member of a repeated entry.
    pub(super) locals: Locals<'a>,
    /// The tubes of the recipe.
    pub(super) tubes: &'a SpaceTubes,
    /// How the shapes of an entry are rotated that is repeated round a point.
    pub(super) turn: Option<Place>,
    /// The position in space of the face being built, if it is given.
    pub(super) on: Option<Frame>,
    /// From where to where along x the edge runs that carries the face that is built, mm, where
    /// the face is as wide as that.
    pub(super) carried: Option<[f64; 2]>,
    /// Whether the hand of the part was used in a formula.
    pub(super) hand_asked: &'a Cell<bool>,
}

impl Values<'_> {
    pub(super) fn value(&self, expr: &Expr) -> Option<Value> {
        self.note_hand(expr);
        let never = self.never(expr);
        self.kept(never.and_then(|()| self.params.value(expr, self.locals, self.tables)))
    }

    pub(super) fn number(&self, expr: &Expr, dimension: Dimension) -> Option<f64> {
        self.note_hand(expr);
        let never = self.never(expr);
        let params = self.params;
        self.kept(never.and_then(|()| params.number(expr, dimension, self.locals, self.tables)))
    }

    /// In mm.
    pub(super) fn length(&self, expr: &Expr) -> Option<f64> {
        let mm = self.number(expr, Dimension::LENGTH)?;
        if mm.abs() <= LONGEST {
            return Some(mm);
        }
        let headline = format!("{} is too large", self.params.units().length(mm));
        self.findings.add(Finding::stop("out-of-range", headline).at(expr.span, "").help(format!(
            "check the units: at most {} is allowed",
            self.params.units().length(LONGEST)
        )));
        None
    }

    /// In mm, where it is given.
    pub(super) fn some_length(&self, expr: Option<&Expr>) -> Option<Option<f64>> {
        expr.map_or(Some(None), |expr| self.length(expr).map(Some))
    }

    /// In mm, more than 0; `key` is the key it is under.
    pub(super) fn positive(&self, code: &'static str, key: &str, expr: &Expr) -> Option<f64> {
        let mm = self.length(expr)?;
        if mm > 0.0 {
            return Some(mm);
        }
        let is = self.params.units().length(mm);
        let headline = format!("`{key}` must be more than 0 mm, not {is}");
        let finding = self.with_values(Finding::stop(code, headline).at(expr.span, ""), expr);
        self.findings.add(finding.help(format!("make `{key}` larger")));
        None
    }

    /// A length from the first to the last of several, mm, which must not be negative.
    pub(super) fn span(&self, code: &'static str, count: u32, expr: &Expr) -> Option<f64> {
        let mm = self.length(expr)?;
        if count < 2 || mm >= 0.0 {
            return Some(mm);
        }
        let is = self.params.units().length(mm);
        let headline = format!("`span` must be 0 or more, not {is}");
        let finding = self.with_values(Finding::stop(code, headline).at(expr.span, ""), expr);
        let help = "make it 0 mm or more, or lengthen what it is subtracted from";
        self.findings.add(finding.help(help));
        None
    }

    /// How far the first of several along an edge is from its end, mm; the last is as far from the
    /// other end, so they must not pass its midpoint.
    pub(super) fn ends(
        &self,
        code: &'static str,
        expr: &Expr,
        (name, length): (&str, f64),
    ) -> Option<f64> {
        let ends = self.length(expr)?;
        if 2.0 * ends <= length - NEAR {
            return Some(ends);
        }
        let [is, long, most] =
            [ends, length, length / 2.0].map(|mm| self.params.units().length(mm));
        let headline = format!(
            "`ends` of {is} meet or pass the midpoint of edge `{name}`, which is {long} long"
        );
        let finding = self.with_values(Finding::stop(code, headline).at(expr.span, ""), expr);
        self.findings
            .add(finding.help(format!("make `ends` less than {most}, or the edge longer")));
        None
    }

    /// A finding about a formula, with the values in it and where they are given.
    fn with_values(&self, finding: Finding, expr: &Expr) -> Finding {
        let units = self.params.units();
        let params = self.params.at(expr.span.source);
        let local =
            |name: &str| self.locals.iter().find(|(local, _)| local == name).map(|(_, v)| v);
        let said = expr.formula.names().into_iter().filter_map(|name| {
            let value = local(name).or_else(|| params.get(name))?;
            Some(format!("{name} = {}", value.show(units)))
        });
        let said: Vec<String> = said.collect();
        let finding = if said.is_empty() { finding } else { finding.note(said.join(", ")) };
        // Where a recipe is used by another, its values are not given by these names.
        let names: Vec<String> = expr.formula.names().into_iter().map(str::to_owned).collect();
        let given = match self.recipe.behind_other(expr.span.source) {
            None => self.params.given(self.recipe, &names),
            Some(_) => Vec::new(),
        };
        given.iter().fold(finding, |f, (name, span)| f.at(*span, format!("`{name}`")))
    }

    /// In mm; nothing given is 0.
    pub(super) fn length_or_zero(&self, expr: Option<&Expr>) -> Option<f64> {
        self.some_length(expr).map(Option::unwrap_or_default)
    }

    /// A length that formulas know without declaring it, such as the thickness, in mm.
    pub(super) fn known(&self, name: &str) -> Option<f64> {
        match self.params.get(name)? {
            Value::Quantity(q) if q.dimension == Dimension::LENGTH => Some(q.value),
            _ => None,
        }
    }

    /// Nothing given is no rotation.
    pub(super) fn angle(&self, expr: Option<&Expr>) -> Option<Angle> {
        match expr {
            Some(expr) => self.number(expr, Dimension::ANGLE).map(Angle::from_degrees),
            None => Some(Angle::ZERO),
        }
    }

    pub(super) fn point(&self, [x, y]: &[Expr; 2]) -> Option<Point> {
        // Both coordinates of a name fail alike.
        if x.span == y.span {
            return Some(Point::new(self.length(x)?, self.length(y)?));
        }
        let (x, y) = (self.length(x), self.length(y));
        Some(Point::new(x?, y?))
    }

    /// A place in space.
    pub(super) fn space(&self, three: &[Expr; 3]) -> Option<Space> {
        let [x, y, z] = three;
        // All coordinates of a name fail alike.
        if x.span == z.span {
            return Some([self.length(x)?, self.length(y)?, self.length(z)?]);
        }
        let [x, y, z] = [x, y, z].map(|expr| self.length(expr));
        Some([x?, y?, z?])
    }

    /// A whole number from 1 to `max`.
    pub(super) fn count(&self, expr: &Expr, max: u32) -> Option<u32> {
        let n = self.number(expr, Dimension::NONE)?;
        if n.fract() == 0.0 && (1.0..=f64::from(max)).contains(&n) {
            return Some(n as u32);
        }
        self.findings.add(
            Finding::stop(
                "out-of-range",
                format!("a count is a whole number from 1 to {max}, not {n}"),
            )
            .at(expr.span, "")
            .help("write a whole number"),
        );
        None
    }

    /// Nothing given is yes.
    pub(super) fn holds(&self, expr: Option<&Expr>) -> Option<bool> {
        let Some(expr) = expr else { return Some(true) };
        match self.value(expr)? {
            Value::Flag(flag) => Some(flag),
            other => {
                let headline =
                    format!("`when` must be true or false, but this is {}", other.kind());
                self.findings.add(
                    Finding::stop("formula", headline)
                        .at(expr.span, "")
                        .help("compare two values, such as `tube > 0 mm`"),
                );
                None
            }
        }
    }

    /// Makes an entry: once, or for each value of its lists.
    pub(super) fn each(
        &self,
        each: Option<&Each>,
        mut make: impl FnMut(&Values) -> Option<()>,
    ) -> Option<()> {
        let Some(each) = each else { return make(self) };
        let names = each.lists.iter().map(|(name, _)| name.as_str());
        let values = each.lists.iter().map(|(_, list)| self.value(list).map(formula::members));
        let lists = names.zip(values.collect::<Option<Vec<_>>>()?).collect::<Vec<_>>();
        let (first, values) = lists.first()?;
        if let Some(i) = lists.iter().position(|(_, others)| others.len() != values.len()) {
            let (other, others) = &lists[i];
            let (one, two) = (values.len(), others.len());
            let headline = format!("`{first}` has {one} values, but `{other}` has {two}");
            let finding = Finding::stop("each", headline).at(each.lists[i].1.span, "");
            self.findings
                .add(finding.help("give all lists of an `each` the same number of values"));
            return None;
        }
        for i in 0..values.len() {
            let local =
                |(name, values): &(&str, Arc<[Value]>)| ((*name).to_owned(), values[i].clone());
            let number = (NUMBER.to_owned(), Value::number((i + 1) as f64));
            let locals: Vec<(String, Value)> = lists
                .iter()
                .map(local)
                .chain([number])
                .chain(self.locals.iter().cloned())
                .collect();
            let findings = Findings::default();
            let made = make(&Values { locals: &locals, findings: &findings, ..*self });
            let show = |(name, value): &(String, Value)| {
                format!("{name} = {}", value.show(self.params.units()))
            };
            let here = locals.iter().map(show).collect::<Vec<_>>().join(", ");
            findings.take().into_iter().for_each(|f| self.findings.add(f.note(here.clone())));
            made?;
        }
        Some(())
    }

    /// Makes an entry: once, or once for each repetition round a point, rotated each time.
    pub(super) fn around(
        &self,
        around: Option<&Around>,
        mut make: impl FnMut(&Values) -> Option<()>,
    ) -> Option<()> {
        let Some(around) = around else { return make(self) };
        let count = self.count(&around.count, MAX_AROUND);
        let (about, start) = (self.point(&around.about), self.angle(around.start.as_ref()));
        let (count, about, start) = (count?, about?, start?);
        for i in 0..count {
            let step = 360.0 * f64::from(i) / f64::from(count);
            let rotation = Angle::from_degrees(start.degrees() + step);
            let to_centre = Place::at((-about.to_vec2()).to_point());
            let turn = to_centre.then(&Place::rotated(rotation, about));
            let number = (NUMBER.to_owned(), Value::number(f64::from(i + 1)));
            // Of an entry that is repeated over lists as well, `number` is its place in those.
            let own = (!self.is_local(NUMBER)).then_some(number);
            let locals: Vec<(String, Value)> =
                own.into_iter().chain(self.locals.iter().cloned()).collect();
            make(&Values { locals: &locals, turn: Some(turn), ..*self })?;
        }
        Some(())
    }

    /// The row of a word, else that of its name in a table; `None` after a finding.
    pub(super) fn row(&self, meant: &Meant, table: &str) -> Option<Option<Arc<Row>>> {
        Some(match self.meant(meant)? {
            Some(Value::Row(row)) => Some(row),
            Some(_) => None,
            None => self.tables.row(table, &meant.word).cloned(),
        })
    }

    /// The value of a word, if it has one; `None` after a finding.
    fn meant(&self, meant: &Meant) -> Option<Option<Value>> {
        let Some(path) = &meant.path else { return Some(None) };
        let params = self.params.at(path.span.source);
        let is_known = |name: &&str| self.is_local(name) || params.get(name).is_some();
        match path.formula.names().iter().all(is_known) {
            true => self.value(path).map(Some),
            false => Some(None),
        }
    }

    /// Whether a name has its value in a member of a repeated entry.
    pub(super) fn is_local(&self, name: &str) -> bool {
        self.locals.iter().any(|(local, _)| local == name)
    }

    /// The name of an edge: `{number}` in it is that of the member of a repeated entry.
    pub(super) fn edge_name(&self, name: &str) -> String {
        match self.locals.iter().find(|(local, _)| local == NUMBER) {
            Some((_, number)) => name.replace("{number}", &number.show(self.params.units())),
            None => name.to_owned(),
        }
    }

    /// The names of this recipe behind those that an entry asks for: of an entry in a recipe that
    /// is used, those its values were given by.
    pub(super) fn outside(&self, names: Vec<String>, entry: Span) -> Vec<String> {
        self.recipe.behind_other(entry.source).unwrap_or(names)
    }

    fn note_hand(&self, expr: &Expr) {
        if self.params.at(expr.span.source).hand().is_some() && expr.formula.names().contains(&HAND)
        {
            self.hand_asked.set(true);
        }
    }

    /// A formula that compares a name with a word that it never is.
    fn never(&self, expr: &Expr) -> Result<(), Finding> {
        let has_hand = self.params.at(expr.span.source).hand().is_some();
        let is_own = self.recipe.behind_other(expr.span.source).is_none();
        let is_local = |name: &str| self.locals.iter().any(|(local, _)| local == name);
        let words = |name: &str| match is_own && !is_local(name) {
            true => self.recipe.words(name, has_hand),
            false => None,
        };
        match expr.formula.never(&words) {
            Some(error) => Err(Expr::finding(expr.span, &error)),
            None => Ok(()),
        }
    }

    fn kept<T>(&self, result: Result<T, Finding>) -> Option<T> {
        match result {
            Ok(value) => Some(value),
            Err(finding) => {
                self.findings.add(finding);
                None
            }
        }
    }
}
