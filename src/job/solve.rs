//! Every line of a job turned into a checked flat.

use crate::check;
use crate::check::Subject;
use crate::diag::Finding;
use crate::diag::Sources;
use crate::diag::Weight;
use crate::flat;
use crate::flat::Flat;
use crate::job::Job;
use crate::job::Line;
use crate::job::Shelf;
use crate::part;
use crate::part::Part;
use crate::recipe;
use crate::recipe::Params;
use crate::recipe::Recipe;
use crate::table::Tables;
use rayon::prelude::*;
use std::collections::HashMap;

/// A line of the job, solved.
#[derive(Clone, Debug)]
pub struct Solved {
    /// Index of the line in the job.
    pub line: usize,
    /// Its values.
    pub params: Params,
    /// The part.
    pub part: Part,
    /// Its flat.
    pub flat: Flat,
}

/// Solves and checks every line. What was found comes back even when all is well:
/// cautions. `done` is told the number of lines finished, from any thread.
///
/// # Errors
/// All findings, when one of them stops the job.
pub fn solve(
    job: &Job,
    shelf: &Shelf,
    sources: &mut Sources,
    done: &(dyn Fn() + Sync),
) -> Result<(Vec<Solved>, Vec<Finding>), Vec<Finding>> {
    let (recipes, mut findings) = recipes(job, shelf, sources);
    let tables = shelf.tables;
    let results: Vec<(Option<Solved>, Vec<Finding>)> = job
        .lines
        .par_iter()
        .enumerate()
        .map(|(i, line)| {
            let result = recipes
                .get(&line.recipe.0)
                .map_or((None, Vec::new()), |recipe| one(job, i, line, recipe, tables));
            done();
            result
        })
        .collect();
    let mut solved = Vec::with_capacity(results.len());
    for (one, found) in results {
        solved.extend(one);
        findings.extend(found);
    }
    if findings.iter().any(|f| f.weight == Weight::Stop) {
        return Err(findings);
    }
    Ok((solved, findings))
}

/// Each recipe the job names, read once.
fn recipes(
    job: &Job,
    shelf: &Shelf,
    sources: &mut Sources,
) -> (HashMap<String, Recipe>, Vec<Finding>) {
    let mut recipes = HashMap::new();
    let mut findings = Vec::new();
    let mut tried: Vec<&str> = Vec::new();
    for line in &job.lines {
        let (name, span) = (&line.recipe.0, line.recipe.1);
        if tried.contains(&name.as_str()) {
            continue;
        }
        tried.push(name);
        let Some((path, text)) = (shelf.recipe)(name) else {
            let known = (shelf.names)();
            let help = match crate::diag::nearest(name, known.iter().map(String::as_str)) {
                Some(near) => format!("write `{near}`"),
                None => format!("recipes are {}", known.join(", ")),
            };
            let headline = format!("there is no recipe `{name}`");
            findings.push(Finding::stop("unknown-recipe", headline).at(span, "").help(help));
            continue;
        };
        let source = sources.add(path, &text);
        match recipe::read(name, source, &text) {
            Ok(recipe) => {
                recipes.insert(name.clone(), recipe);
            }
            Err(found) => {
                findings.extend(found.into_iter().map(|f| f.at(span, "used by this part")));
            }
        }
    }
    (recipes, findings)
}

fn one(
    job: &Job,
    index: usize,
    line: &Line,
    recipe: &Recipe,
    tables: &Tables,
) -> (Option<Solved>, Vec<Finding>) {
    let sheet = &job.sheets[line.sheet];
    let surroundings = sheet.surroundings(&job.process, job.coating);
    let given: Vec<_> = line.given.iter().map(|(name, entry)| (name.as_str(), entry)).collect();
    let solved =
        recipe::resolve(recipe, &given, line.here, &surroundings, tables).and_then(|params| {
            let part = part::build(recipe, &params, tables, sheet.bend)?;
            let flat = flat::unfold(&part)?;
            Ok(Solved { line: index, params, part, flat })
        });
    match solved {
        Ok(solved) => {
            let findings = check::all(&Subject {
                recipe,
                params: &solved.params,
                part: &solved.part,
                flat: &solved.flat,
                material: &sheet.material,
                process: &job.process,
                tables,
                here: line.here,
                units: job.units,
            });
            (Some(solved), findings.into_iter().map(|f| in_part(f, line)).collect())
        }
        Err(findings) => (None, findings.into_iter().map(|f| in_part(f, line)).collect()),
    }
}

/// The finding with the part it was found in, where that is not marked yet.
fn in_part(finding: Finding, line: &Line) -> Finding {
    if finding.marks.iter().any(|m| m.span == line.here) {
        finding
    } else {
        finding.at(line.here, "in this part")
    }
}
