//! What it means: a recipe and the values given for it, resolved to numbers.
//!
//! Names may be used in any order, so each is evaluated when it is first asked for;
//! a name that is asked for while it is being evaluated closes a loop.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Entry;
use crate::document::Findings;
use crate::recipe::evaluate::Evaluator;
use crate::recipe::given::typed_values;
use crate::recipe::params::Params;
use crate::recipe::require::check_limits;
use crate::recipe::require::check_requires;
use crate::recipe::surroundings::Surroundings;
use crate::recipe::tape::TAPE;
use crate::recipe::whole::Recipe;
use crate::table::Tables;

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
    let findings = Findings::default();
    let typed = typed_values(recipe, given, here, &findings);
    let at = Evaluator::new(recipe, &typed, surroundings, tables, &findings);
    let mut values = at.all();
    values.extend(
        surroundings.values.iter().map(|(name, value)| ((*name).to_owned(), value.clone())),
    );
    for (name, input) in &recipe.inputs {
        if let (Some(value), Some(typed)) = (values.get(name), typed.get(name)) {
            check_limits(&at, name, input, value, typed);
        }
    }
    if findings.is_empty() {
        check_requires(&at, here);
    }
    let tape = recipe.tape.as_ref().filter(|_| findings.is_empty());
    let tape = tape.map_or(Some(TAPE), |tape| at.length(tape)).unwrap_or(TAPE);
    let tape_checks = at.tape_checks.take();
    let findings = findings.take();
    if !findings.is_empty() {
        return Err(findings);
    }
    let spans = given.iter().map(|(name, entry)| ((*name).to_owned(), entry.item.span)).collect();
    let params = Params::new(values, spans, surroundings.units);
    Ok(params.measured(tape_checks, tape))
}
