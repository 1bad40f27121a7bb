//! A recipe and the values given for it, resolved to numbers.
//!
//! Names may be used in any order, so each is evaluated when it is first asked for;
//! a name that is used while it is being evaluated closes a loop.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Entry;
use crate::document::Findings;
use crate::document::Item;
use crate::formula::Formula;
use crate::formula::Value;
use crate::recipe::evaluate::Evaluator;
use crate::recipe::expr::Expr;
use crate::recipe::given::typed_values;
use crate::recipe::hand::HAND;
use crate::recipe::hand::Hand;
use crate::recipe::kind::Kind;
use crate::recipe::params::Params;
use crate::recipe::require::check_limits;
use crate::recipe::require::check_requires;
use crate::recipe::surroundings::Surroundings;
use crate::recipe::tape::TAPE;
use crate::recipe::typed::Typed;
use crate::recipe::whole::Other;
use crate::recipe::whole::Recipe;
use crate::table::Tables;
use indexmap::IndexMap;

/// Resolves the values of one part. `given` are the values of the job, `here` is
/// where to point when something is missing.
///
/// # Errors
/// Everything that is wrong with the values, each with its place.
pub fn resolve(
    recipe: &Recipe,
    given: &[(&str, &Entry)],
    here: Span,
    surroundings: &Surroundings,
    tables: &Tables,
) -> Result<Params, Vec<Finding>> {
    let part = Wanted { recipe, given, here, surroundings, tables };
    let right = part.of_hand(recipe.knows_hand.then_some(Hand::Right))?;
    if !recipe.mirror || !asks_hand(recipe, given) {
        return Ok(right);
    }
    let note = |f: Finding| f.note("for the left hand");
    let left = part.of_hand(Some(Hand::Left));
    let left = left.map_err(|found| found.into_iter().map(note).collect::<Vec<_>>())?;
    Ok(right.unlike(left))
}

/// A part whose values are wanted.
struct Wanted<'a> {
    recipe: &'a Recipe,
    given: &'a [(&'a str, &'a Entry)],
    here: Span,
    surroundings: &'a Surroundings,
    tables: &'a Tables,
}

impl Wanted<'_> {
    /// Its values for one hand, where its formulas know the hand.
    fn of_hand(&self, hand: Option<Hand>) -> Result<Params, Vec<Finding>> {
        let findings = Findings::default();
        let read = |kind: &Kind, item: &Item| kind.typed(item, &findings);
        let typed = typed_values(self.recipe, self.given, self.here, &read, self.tables, &findings);
        let given = self.given.iter();
        let spans = given.map(|(name, entry)| ((*name).to_owned(), entry.item.span)).collect();
        let params = self.with(&typed, spans, hand, &findings);
        let findings = findings.take();
        params.filter(|_| findings.is_empty()).ok_or(findings)
    }

    /// The values of the inputs typed; `None` when a finding was reported.
    fn with(
        &self,
        typed: &IndexMap<String, Typed>,
        spans: IndexMap<String, Span>,
        hand: Option<Hand>,
        findings: &Findings,
    ) -> Option<Params> {
        let surroundings = &self.surroundings.of_hand(hand);
        let at = Evaluator::new(self.recipe, typed, surroundings, self.tables, findings);
        let mut values = at.all();
        let known = self.surroundings.of_hand(None).values;
        values.extend(known.into_iter().map(|(name, value)| (name.to_owned(), value)));
        for (name, input) in &self.recipe.inputs {
            if let (Some(value), Some(typed)) = (values.get(name), typed.get(name)) {
                check_limits(&at, name, input, value, typed);
            }
        }
        if findings.is_empty() {
            check_requires(&at, self.here);
        }
        let tape = self.recipe.tape.as_ref().filter(|_| findings.is_empty());
        let tape = tape.map_or(Some(TAPE), |tape| at.tape(tape)).unwrap_or(TAPE);
        let tape_checks = at.tape_checks.take();
        if !findings.is_empty() {
            return None;
        }
        let params = Params::new(values, spans, surroundings.units);
        let params = params.measured(tape_checks, tape).of_hand(hand);
        self.recipe.others.iter().try_fold(params, |params, other| {
            let values = self.of_other(other, &at, hand, findings)?;
            Some(params.with_other(other.source, values))
        })
    }

    /// The values of a recipe that is used: those that are given where it is named, by formulas of
    /// this one, else its defaults. Errors are reported at the place of use.
    fn of_other(
        &self,
        other: &Other,
        at: &Evaluator,
        hand: Option<Hand>,
        findings: &Findings,
    ) -> Option<Params> {
        let given = other.given();
        let found = Findings::default();
        let read = |kind: &Kind, item: &Item| worked_out(kind.typed(item, &found)?, at);
        let typed = typed_values(&other.recipe, &given, other.span, &read, self.tables, &found);
        let part = Wanted { recipe: &other.recipe, given: &given, here: other.span, ..*self };
        let hand = other.recipe.knows_hand.then(|| hand.unwrap_or(Hand::Right));
        let params = found.is_empty().then(|| part.with(&typed, IndexMap::new(), hand, &found));
        for finding in found.take() {
            let is_marked = finding.marks.iter().any(|mark| mark.span == other.span);
            let finding = if is_marked { finding } else { finding.at(other.span, "used here") };
            findings.add(finding);
        }
        params.flatten().map(|params| params.depending_on(&other.depends()))
    }
}

/// The typed value, with the values that formulas and names have here.
fn worked_out(typed: Typed, at: &Evaluator) -> Option<Typed> {
    let constant = |value, span| Typed::Formula(Expr { formula: Formula::constant(value), span });
    Some(match typed {
        Typed::Formula(expr) => constant(at.formula(&expr)?, expr.span),
        Typed::Word(word, span) => match at.value(&word) {
            Some(Value::Row(row)) => Typed::Word(row.name().to_owned(), span),
            Some(Value::Text(text)) => Typed::Word(text.to_string(), span),
            Some(value @ (Value::List(_) | Value::Record(_))) => constant(value, span),
            _ => Typed::Word(word, span),
        },
        Typed::List(mut all, span) => match (all.len(), all.pop()) {
            // The name of a list is the list.
            (1, Some(one)) => match worked_out(one, at)? {
                Typed::Formula(expr) => Typed::Formula(expr),
                one => Typed::List(vec![one], span),
            },
            (_, last) => {
                let all = all.into_iter().chain(last).map(|typed| worked_out(typed, at));
                Typed::List(all.collect::<Option<_>>()?, span)
            }
        },
        Typed::Record(all, span) => {
            let value = |(name, typed)| Some((name, worked_out(typed, at)?));
            Typed::Record(all.into_iter().map(value).collect::<Option<_>>()?, span)
        }
    })
}

/// Whether values, or the requirements on them, use the hand of the part.
fn asks_hand(recipe: &Recipe, given: &[(&str, &Entry)]) -> bool {
    let asks = |expr: &Expr| expr.formula.names().contains(&HAND);
    let quiet = Findings::default();
    let typed = given
        .iter()
        .filter_map(|(name, entry)| recipe.inputs.get(*name)?.kind.typed(&entry.item, &quiet));
    let defaults = recipe.inputs.values().filter_map(|input| input.default.clone());
    let of_inputs = typed.chain(defaults).any(|typed| typed.names().iter().any(|n| n == HAND));
    let limits = recipe
        .inputs
        .values()
        .flat_map(|input| input.min.iter().chain(&input.max).chain(&input.count));
    let points = recipe.points.values().flat_map(|point| point.formulas());
    let requires = recipe.requires.iter().map(|require| &require.that);
    let formulas = recipe.derived.values().chain(limits).chain(points).chain(requires);
    let own = of_inputs || formulas.chain(&recipe.tape).any(asks);
    let of_others = recipe.others.iter().any(|other| {
        other.depends().iter().any(|name| name == HAND)
            || (other.recipe.knows_hand && asks_hand(&other.recipe, &other.given()))
    });
    recipe.knows_hand && (own || of_others)
}
