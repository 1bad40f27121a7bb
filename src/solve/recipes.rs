//! The recipes that a job names.

use crate::diag::Finding;
use crate::diag::Sources;
use crate::diag::nearest;
use crate::job::Job;
use crate::job::Shelf;
use crate::recipe;
use crate::recipe::Others;
use crate::recipe::Recipe;
use std::cell::RefCell;
use std::collections::HashMap;
use std::collections::HashSet;

/// The recipes of a job.
#[derive(Default)]
pub(super) struct Recipes {
    /// By name.
    pub(super) recipes: HashMap<String, Recipe>,
    /// By name, the texts that each is read from, and the number of the first among the sources.
    pub(super) texts: HashMap<String, String>,
    /// The cautions on them, each with the name of its recipe.
    pub(super) cautions: Vec<(String, Finding)>,
    /// Why some are missing.
    pub(super) findings: Vec<Finding>,
}

/// Each recipe the job names, read once.
pub(super) fn read(job: &Job, shelf: &Shelf, sources: &mut Sources) -> Recipes {
    let Recipes { mut recipes, mut texts, mut cautions, mut findings } = Recipes::default();
    let mut tried: HashSet<&str> = HashSet::new();
    for line in &job.lines {
        let (name, span) = (&line.recipe.0, line.recipe.1);
        if !tried.insert(name) {
            continue;
        }
        let Some((path, text)) = (shelf.recipe)(name) else {
            let known = (shelf.names)();
            let headline = format!("there is no recipe `{name}`");
            let finding = Finding::stop("unknown-recipe", headline).at(span, "");
            findings.push(match nearest(name, known.iter().map(String::as_str)) {
                Some(near) => finding.write(&[near]),
                None => finding.help(format!("choose from {}", known.join(", "))),
            });
            continue;
        };
        let first = sources.count();
        let source = sources.add(path, &text);
        let kept = RefCell::new(&mut *sources);
        let find = |name: &str| {
            let (path, text) = (shelf.recipe)(name)?;
            Some((kept.borrow_mut().add(path, &text), text))
        };
        let others = Others::new(&find, shelf.names);
        let read = recipe::read_among(name, source, &text, shelf.drawing, &others);
        texts.insert(name.clone(), format!("{first}: {:?}", sources.since(first)));
        match read {
            Ok(recipe) => {
                cautions.extend(recipe.cautions.iter().map(|c| (name.clone(), c.clone())));
                recipes.insert(name.clone(), recipe);
            }
            Err(found) => {
                findings.extend(found.into_iter().map(|f| f.at(span, "used by this part")));
            }
        }
    }
    Recipes { recipes, texts, cautions, findings }
}
