//! Where the parts and the findings of a job are.

use crate::diag::Span;
use crate::workshop::Ready;
use std::collections::HashMap;

/// The parts of a job in their order, to be found by their names, and their findings.
#[derive(Default)]
pub(super) struct Index {
    /// The line of each, and which of all that were solved it is.
    pub(super) parts: Vec<(usize, Option<usize>)>,
    /// By the name of a part, else of a line: the first of it.
    pub(super) names: HashMap<String, usize>,
    /// Findings by the part they are about, and by where they point.
    pub(super) about: HashMap<String, Vec<usize>>,
    pub(super) at: HashMap<Span, Vec<usize>>,
    /// By the name of a recipe, where it is first: there a finding on the recipe points.
    pub(super) recipes: HashMap<String, Span>,
}

impl Index {
    pub(super) fn of(ready: &Ready) -> Self {
        let mut index = Self::default();
        let lines = &ready.job.lines;
        let mut made = vec![Vec::new(); lines.len()];
        for (i, solved) in ready.solved.iter().chain(&ready.left_out.drawn).enumerate() {
            made[solved.line].push((i, solved.name.as_str()));
        }
        let mut of_lines: Vec<(&str, usize)> = Vec::new();
        for (line, own) in made.iter().enumerate() {
            let first = index.parts.len();
            for (i, name) in own {
                index.names.entry((*name).to_owned()).or_insert(index.parts.len());
                index.parts.push((line, Some(*i)));
            }
            if own.is_empty() {
                index.names.entry(lines[line].name.clone()).or_insert(first);
                index.parts.push((line, None));
            }
            of_lines.push((&lines[line].name, first));
        }
        for (name, first) in of_lines {
            index.names.entry(name.to_owned()).or_insert(first);
        }
        for line in lines {
            index.recipes.entry(line.recipe.0.clone()).or_insert(line.recipe.1);
        }
        for (i, finding) in ready.findings.iter().enumerate() {
            for name in finding.parts() {
                index.about.entry(name.to_owned()).or_default().push(i);
            }
            for mark in &finding.marks {
                index.at.entry(mark.span).or_default().push(i);
            }
        }
        index
    }
}
