//! A job with one part of a recipe written in the test.

use platewright::diag::Finding;
use platewright::diag::Sources;
use platewright::job;
use platewright::job::Job;
use platewright::job::Shelf;
use platewright::make;
use platewright::place::Search;
use platewright::solve;
use platewright::solve::Solved;
use platewright::table::Tables;

/// The shop that a job finds beside it.
const SHOP: &str = include_str!("../../parts/shop.toml");

/// The parts, and the findings that stop nothing.
pub(crate) type Made = (Vec<Solved>, Vec<Finding>);

/// The parts of a recipe in S235 of a thickness, cut by a process; all findings when one
/// stops it.
pub(crate) fn solve(own: &str, thickness: &str, process: &str) -> Result<Made, Vec<Finding>> {
    solve_with(own, thickness, process, "")
}

/// The same, with more keys in the line of the job.
pub(crate) fn solve_with(
    own: &str,
    thickness: &str,
    process: &str,
    keys: &str,
) -> Result<Made, Vec<Finding>> {
    let job = format!(
        "process = \"{process}\"\n\
         [[sheet]]\nname = \"steel\"\nmaterial = \"S235\"\nthickness = \"{thickness}\"\nstock = []\n\
         [[part]]\nrecipe = \"own\"\nname = \"own\"\nsheet = \"steel\"\n{keys}"
    );
    let mut sources = Sources::default();
    Ok(asked(own, &job, &mut sources)?.1)
}

/// A whole job that makes parts of the recipe `own`, and of shipped ones.
pub(crate) fn make(own: &str, job: &str) -> Result<make::Made, Vec<Finding>> {
    let mut sources = Sources::default();
    let (job, (solved, found)) = asked(own, job, &mut sources)?;
    make::make(&job, &solved, found, &sources, &Search::none())
}

pub(crate) fn asked(
    own: &str,
    job: &str,
    sources: &mut Sources,
) -> Result<(Job, Made), Vec<Finding>> {
    asked_with(&Tables::shipped(), own, job, sources)
}

/// The same with tables of the shop's own.
pub(crate) fn asked_with(
    tables: &Tables,
    own: &str,
    job: &str,
    sources: &mut Sources,
) -> Result<(Job, Made), Vec<Finding>> {
    let shipped = Shelf::shipped(tables);
    let recipe = |name: &str| match name {
        "own" => Some(("own.toml".to_owned(), own.to_owned())),
        _ => (shipped.recipe)(name),
    };
    let file = |name: &str| match name {
        "shop.toml" => Some((name.to_owned(), SHOP.to_owned())),
        _ => (shipped.file)(name),
    };
    let shelf = Shelf { recipe: &recipe, file: &file, ..shipped };
    let source = sources.add("job.toml", job);
    let read = job::read("job", source, job, &shelf, sources)?;
    let made = solve::solve(&read, &shelf, sources, &|| ())?;
    Ok((read, made))
}

/// The one part of a recipe in 3 mm by waterjet, and the findings that stop nothing.
///
/// # Panics
/// With the first finding, when one stops it.
pub(crate) fn one(own: &str) -> (Solved, Vec<Finding>) {
    let (mut solved, found) =
        solve(own, "3 mm", "waterjet").unwrap_or_else(|found| panic!("{}", found[0].headline));
    assert_eq!(solved.len(), 1);
    (solved.remove(0), found)
}

/// The findings that stop a recipe in 3 mm by waterjet: code and headline.
///
/// # Panics
/// When nothing stops it.
pub(crate) fn stopped(own: &str) -> Vec<(&'static str, String)> {
    let found = solve(own, "3 mm", "waterjet").expect_err("it is stopped");
    found.into_iter().map(|f| (f.code, f.headline)).collect()
}
