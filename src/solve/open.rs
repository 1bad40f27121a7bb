//! Open inputs: the lightest choice that every check passes.

mod range;

use crate::diag::Finding;
use crate::diag::Weight;
use crate::document::Entry;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::entry::typed;
use crate::job::Job;
use crate::job::Line;
use crate::job::find_sheet;
use crate::solve::choice::Choice;
use crate::solve::choice::Failure;
use crate::solve::solved::Solved;
use crate::table::Tables;
use rayon::prelude::*;

/// Maximum number of combinations that are tried for one part. Our choice: under a second.
const MAX: usize = 2000;

/// The code of a finding that is a requirement of a recipe.
const REQUIREMENT: &str = "requirement";

/// One combination of the open values.
struct Attempt {
    values: Vec<(String, String)>,
    solved: Vec<Solved>,
    findings: Vec<Finding>,
    /// Of one set, kg; `None` when it cannot be made.
    mass: Option<f64>,
}

/// The parts of a line and their findings.
type Solution = (Vec<Solved>, Vec<Finding>);

/// The choice, and the cautions that come with every choice.
pub(crate) struct Chosen {
    pub(crate) solved: Vec<Solved>,
    pub(crate) choice: Choice,
    pub(crate) findings: Vec<Finding>,
}

/// Tries every combination of a line's open values with `solve` and chooses the lightest without a
/// finding; of equally light ones the first in the order of the lists.
pub(crate) fn choose(
    job: &Job,
    line: &Line,
    tables: &Tables,
    solve: impl Fn(&Line) -> Solution + Sync,
) -> Result<Chosen, Vec<Finding>> {
    let lists = lists(job, line, tables)?;
    let total = lists.iter().try_fold(1usize, |n, (_, _, items)| n.checked_mul(items.len()));
    let Some(total) = total.filter(|n| *n <= MAX) else {
        return Err(vec![
            Finding::stop("too-many", format!("the open inputs have more than {MAX} combinations"))
                .at(line.here, "")
                .help("shorten the lists, or leave fewer inputs open"),
        ]);
    };
    let attempt = |number: usize| {
        let (made, values) = member(job, line, &lists, number)?;
        let (solved, findings) = solve(&made);
        let mass = (!solved.is_empty()).then(|| mass(job, &solved));
        Ok(Attempt { values, solved, findings, mass })
    };
    let attempts: Vec<Result<Attempt, Vec<Finding>>> =
        (0..total).into_par_iter().map(attempt).collect();
    // Of several that fail the first is reported, on any number of threads.
    let attempts: Vec<Attempt> = attempts.into_iter().collect::<Result<_, _>>()?;
    let shared = shared(&attempts);
    if shared.iter().any(|f| f.weight == Weight::Stop) {
        let same = same_for(total);
        return Err(shared.into_iter().map(|f| f.note(same.clone())).collect());
    }
    // A caution that comes with every choice is no reason against any.
    let refused = |a: &Attempt| a.findings.iter().find(|f| !shared.contains(f)).cloned();
    let good = |a: &&Attempt| refused(a).is_none() && a.mass.is_some();
    let weight = |a: &Attempt| a.mass.unwrap_or(f64::INFINITY);
    let failure = |a: &Attempt| {
        let finding = refused(a)?;
        let (values, headline) = (a.values.clone(), finding.headline);
        Some(Failure { values, code: finding.code, headline })
    };
    let best = attempts.iter().filter(good).min_by(|a, b| weight(a).total_cmp(&weight(b)));
    let Some(best) = best else {
        let failures: Vec<Failure> = attempts.iter().filter_map(failure).collect();
        return Err(vec![nothing_fits(line, total, &failures)]);
    };
    let lighter = attempts
        .iter()
        .filter(|a| !good(a) && weight(a) < weight(best))
        .max_by(|a, b| weight(a).total_cmp(&weight(b)));
    // A part that cannot be made has no mass; that of the one listed just before is used.
    let before = attempts.iter().rev().skip_while(|a| a.values != best.values).skip(1);
    // So does one that is as heavy: hardware has no share in the blank.
    let no_heavier = |a: &&Attempt| !good(a) && a.mass.is_none_or(|kg| kg <= weight(best));
    let lighter = lighter.or_else(|| before.clone().find(no_heavier));
    let choice =
        Choice { chosen: best.values.clone(), tried: total, lighter: lighter.and_then(failure) };
    Ok(Chosen { solved: best.solved.clone(), choice, findings: best.findings.clone() })
}

/// The findings that occur with every choice.
fn shared(attempts: &[Attempt]) -> Vec<Finding> {
    let Some((first, rest)) = attempts.split_first() else { return Vec::new() };
    let everywhere = |f: &&Finding| rest.iter().all(|a| a.findings.contains(f));
    first.findings.iter().filter(everywhere).cloned().collect()
}

/// That a finding comes with every choice.
fn same_for(total: usize) -> String {
    match total {
        2 => "the same for both choices".to_owned(),
        _ => format!("the same for all {total} choices"),
    }
}

fn nothing_fits(line: &Line, total: usize, failures: &[Failure]) -> Finding {
    let none = if total == 2 { "neither" } else { "none" };
    let headline = format!("{none} of the {total} choices for `{}` passes all checks", line.name);
    let mut finding = Finding::stop("nothing-fits", headline).at(line.here, "");
    for (name, entry) in &line.open {
        finding = finding.at(entry.item.span, format!("`{name}` is chosen from these"));
    }
    // What refuses how many, and an example of each: the last, which is often the largest.
    let mut codes: Vec<&str> = failures.iter().map(|f| f.code).collect();
    codes.sort_unstable();
    codes.dedup();
    for code in codes {
        let of_code: Vec<&Failure> = failures.iter().filter(|f| f.code == code).collect();
        if let Some(last) = of_code.last() {
            let (n, values) = (of_code.len(), shown(&last.values));
            // The name of a check; a requirement of the recipe is no check.
            let what = match code {
                REQUIREMENT => "a requirement".to_owned(),
                _ => format!("`{code}`"),
            };
            finding =
                finding.note(format!("{what} rules out {n}, such as {values}: {}", last.headline));
        }
    }
    finding.help("add other values to the lists, or change those that are given")
}

/// `foot = 20 mm, bolt = M8`.
pub(crate) fn shown(values: &[(String, String)]) -> String {
    let pairs: Vec<String> =
        values.iter().map(|(name, value)| format!("{name} = {value}")).collect();
    pairs.join(", ")
}

type Lists<'a> = Vec<(&'a str, &'a Entry, Vec<Item>)>;

/// The values to choose from: as listed, of a range, or every row of the table that is named.
fn lists<'a>(job: &Job, line: &'a Line, tables: &Tables) -> Result<Lists<'a>, Vec<Finding>> {
    let mut lists = Vec::new();
    for (name, entry) in &line.open {
        let items = match &entry.item.value {
            Value::List(items) => items.clone(),
            Value::Text(table) => tables.table(table).map_or_else(Vec::new, |table| {
                let row = |row: &std::sync::Arc<crate::table::Row>| Item {
                    value: Value::Text(row.name().to_owned()),
                    ..entry.item.clone()
                };
                table.rows().map(row).collect()
            }),
            Value::Table(_) => range::values(entry, job.units, MAX)?,
            _ => Vec::new(),
        };
        if items.is_empty() {
            return Err(vec![
                Finding::stop("wrong-kind", format!("`{name}` is open but has no choices"))
                    .at(entry.item.span, "")
                    .help("give a list of values, the name of a table, or `{ from, to, step }`"),
            ]);
        }
        lists.push((name.as_str(), entry, items));
    }
    Ok(lists)
}

type Member = (Line, Vec<(String, String)>);

/// The line with one combination of values, the last list running fastest.
fn member(job: &Job, line: &Line, lists: &Lists, number: usize) -> Result<Member, Vec<Finding>> {
    let mut made = line.clone();
    let mut values = Vec::with_capacity(lists.len());
    let mut rest = number;
    for (name, entry, items) in lists.iter().rev() {
        let item = &items[rest % items.len()];
        rest /= items.len();
        values.push(((*name).to_owned(), typed(item)));
        if *name == "sheet" {
            let findings = Findings::default();
            let offered = || job.sheets.iter().find_map(|sheet| sheet.book.as_ref()?.offered);
            match find_sheet(item, &job.sheets, true, &offered, &findings) {
                Some(sheet) => made.sheet = sheet,
                None => return Err(findings.take()),
            }
        } else {
            made.given.retain(|(given, _)| given != name);
            made.given.push(((*name).to_owned(), Entry { key: entry.key, item: item.clone() }));
        }
    }
    values.reverse();
    Ok((made, values))
}

/// Of the blanks of one set, kg; holes do not count, or the largest would be the lightest.
fn mass(job: &Job, solved: &[Solved]) -> f64 {
    let blank = |s: &Solved| {
        let sheet = &job.sheets[s.sheet];
        let area = s.flat.region.outer().area() * f64::from(s.part.copies);
        area * sheet.thickness * sheet.material.measure("density")
    };
    solved.iter().map(blank).sum()
}
