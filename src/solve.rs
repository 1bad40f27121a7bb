//! Every line of a job turned into a checked flat.

mod accepted;
mod bend_allowance;
mod both_sides;
mod cache;
mod choice;
mod depth;
mod ears;
mod etched;
mod geometry;
mod given;
mod hands;
mod hole_sets;
mod in_space;
mod issue;
mod joint_places;
mod joints;
mod leg_room;
mod legs;
mod line;
mod link_loads;
mod link_tubes;
mod loads;
mod lying;
mod machine;
mod merged;
mod names;
mod on_sheets;
mod open;
mod oven;
mod overlap;
mod raised;
mod recipes;
mod setup;
mod solved;
mod stack;
mod tube_ends;

pub use cache::SolveCache;
pub(crate) use choice::Choice;
pub use choice::Failure;
pub use depth::Depth;
pub(crate) use geometry::digits;
pub use issue::Issue;
pub(crate) use joints::joint_of;
pub(crate) use joints::joints;
pub(crate) use link_loads::link_verdicts;
pub(crate) use machine::BoltedTogether;
pub use machine::Machine;
pub(crate) use machine::Slot;
pub(crate) use machine::machine;
pub(crate) use machine::slots;
pub(crate) use names::assembly_name;
pub(crate) use names::set;
pub(crate) use names::set_name;
pub(crate) use on_sheets::seen;
pub(crate) use setup::Setup;
pub(crate) use setup::SideUp;
pub(crate) use setup::ToGrain;
pub(crate) use setup::handled;
pub(crate) use setup::setup;
pub use solved::Solved;
pub(crate) use solved::pieces;
pub(crate) use solved::takes_rod_end;
pub(crate) use stack::clamped;
pub(crate) use tube_ends::PerDegree;
pub(crate) use tube_ends::TubeEnd;
pub(crate) use tube_ends::between_cheeks;
pub(crate) use tube_ends::tube_ends;

use crate::check;
use crate::check::LinkSubject;
use crate::diag;
use crate::diag::About;
use crate::diag::Finding;
use crate::diag::Sources;
use crate::diag::Weight;
use crate::job::Job;
use crate::job::Shelf;
use crate::link::Link;
use crate::link::LinkLoad;
use crate::solve::joints::Joints;
use crate::solve::merged::merged;
use crate::solve::names::Names;
use crate::solve::recipes::Recipes;
use crate::table::Tables;
use rayon::prelude::*;
use std::borrow::Cow;
use std::cmp::Reverse;

/// Solves and checks every line. Findings come back even when all is well:
/// cautions. `done` is called with the number of lines finished, from any thread.
///
/// # Errors
/// All findings, when one of them stops the job.
pub fn solve(
    job: &Job,
    shelf: &Shelf,
    sources: &mut Sources,
    done: &(dyn Fn() + Sync),
) -> Result<(Vec<Solved>, Vec<Finding>), Vec<Finding>> {
    let Parted { good, findings, .. } = unstopped(job, shelf, sources, done)?;
    Ok((good, findings))
}

/// The same with all that is known of the parts.
///
/// # Errors
/// All findings, when one of them stops the job.
pub fn unstopped(
    job: &Job,
    shelf: &Shelf,
    sources: &mut Sources,
    done: &(dyn Fn() + Sync),
) -> Result<Parted, Vec<Finding>> {
    let parted = parted(job, shelf, sources, done)?;
    if stops(&parted.findings) { Err(parted.findings) } else { Ok(parted) }
}

/// The parts of a job that can be made, and those that are stopped.
pub struct Parted {
    /// What nothing stops.
    pub good: Vec<Solved>,
    /// Stopped parts, as far as they could be developed: to be drawn with their findings.
    pub stopped: Vec<Solved>,
    /// The names of all that is stopped, as the job has them.
    pub without: Vec<String>,
    /// The links with the tubes that were chosen, where the job leaves some open: they replace
    /// those of the job.
    pub links: Option<Vec<Link>>,
    /// The machine of the job, if parts are placed in one.
    pub machine: Option<Machine>,
    /// Everything found.
    pub findings: Vec<Finding>,
    /// Whether a finding is about more than a part.
    pub all_stop: bool,
    /// The lines, by index, whose bends and loads have not been checked yet.
    pub unfinished: Vec<usize>,
}

/// The same where a part that is stopped does not stop the others.
///
/// # Errors
/// All findings, when one of them is about more than a part, or no part is good.
pub fn parted(
    job: &Job,
    shelf: &Shelf,
    sources: &mut Sources,
    done: &(dyn Fn() + Sync),
) -> Result<Parted, Vec<Finding>> {
    let parted = looked_at(job, shelf, sources, done, None);
    if parted.all_stop || (parted.good.is_empty() && !parted.without.is_empty()) {
        return Err(parted.findings);
    }
    Ok(parted)
}

/// The same regardless of findings, for callers that only view the job, to the depth required.
/// Lines that are `kept` are not solved again.
pub fn looked_at(
    job: &Job,
    shelf: &Shelf,
    sources: &mut Sources,
    done: &(dyn Fn() + Sync),
    kept: Option<(&SolveCache, Depth)>,
) -> Parted {
    let recipes = recipes::read(job, shelf, sources);
    let results = lines(job, &recipes, shelf.tables, (done, kept));
    let unfinished = results.iter().enumerate().filter(|(_, (_, depth))| *depth == Depth::Flat);
    let unfinished = unfinished.map(|(line, _)| line).collect();
    let Recipes { cautions, mut findings, .. } = recipes;
    let (mut all_stop, mut of_lines) = (false, Vec::new());
    let (mut good, mut stopped, mut without) =
        (Vec::with_capacity(results.len()), Vec::new(), Vec::new());
    let mut names = Names::default();
    for (line, ((parts, found), _)) in job.lines.iter().zip(results) {
        let double = names.double(&parts, job);
        all_stop |= !double.is_empty();
        of_lines.extend(double);
        if stops(&found) {
            without.push(line.name.clone());
            stopped.extend(parts);
        } else {
            good.extend(parts);
        }
        of_lines.extend(found);
    }
    let (sized, unchosen) = link_tubes::chosen(job, &good).unzip();
    let links = sized.as_ref().map(|job: &Job| job.links.clone());
    let job = sized.as_ref().unwrap_or(job);
    findings.extend(unchosen.into_iter().flatten());
    findings.extend(of_job(job));
    all_stop |= stops(&findings);
    findings.extend(of_lines);
    give_issues(job, &mut good, &mut stopped);
    let joints = joints::work_out(job, &mut good);
    let machine = machine::machine(job, &good);
    let among = among_parts(job, &good, (machine.as_ref(), &joints));
    all_stop |= stops(&among);
    findings.extend(among);
    findings.extend(geometry::not_raised(job, &good));
    findings.extend(oven::not_judged(job, &good));
    let cautions = cautions.into_iter().map(|(recipe, finding)| {
        let uses = |s: &&Solved| job.lines[s.line].recipe.0 == recipe;
        let parts = good.iter().filter(uses);
        parts.fold(finding, |finding, s| finding.about(About::part(&s.name)))
    });
    findings.splice(0..0, cautions);
    let findings = merged(findings, job).into_iter().map(|f| job.units.convert(f));
    let mut findings: Vec<Finding> = findings.collect();
    diag::worst_first(&mut findings);
    good.iter_mut().chain(&mut stopped).for_each(|part| diag::worst_first(&mut part.found));
    Parted { good, stopped, without, links, machine, findings, all_stop, unfinished }
}

/// A job in which what is on both sides of the machine is made in both hands where it is not its own mirror
/// image; `None` if there is no such thing. The shape of parts is enough: lines that are `kept` are not solved
/// again.
pub(crate) fn in_both_hands(
    job: &Job,
    shelf: &Shelf,
    sources: &Sources,
    kept: Option<&SolveCache>,
) -> Option<Job> {
    let own = SolveCache::default();
    let kept = Some((kept.unwrap_or(&own), Depth::Flat));
    let shapes = |some: &Job| {
        let recipes = recipes::read(some, shelf, &mut sources.clone());
        let results = lines(some, &recipes, shelf.tables, (&|| (), kept));
        results.into_iter().map(|((parts, _), _)| parts).collect()
    };
    both_sides::in_both_hands(job, &shapes)
}

/// Gives every part its issue, and a stopped one none but the hash of its geometry.
fn give_issues(job: &Job, good: &mut [Solved], stopped: &mut [Solved]) {
    for part in good {
        let hash = geometry::hash(job, part);
        part.issue = Issue::of(job, &part.name, hash);
    }
    for part in stopped {
        part.issue = Issue::of_none(geometry::hash(job, part));
    }
}

/// Whether one of some findings is a stop.
pub(crate) fn stops(found: &[Finding]) -> bool {
    found.iter().any(|f| f.weight == Weight::Stop)
}

/// The findings between the parts: in the machine, in joints, at the ends of tubes.
fn among_parts(
    job: &Job,
    good: &[Solved],
    (machine, joints): (Option<&Machine>, &Joints),
) -> Vec<Finding> {
    let mut findings = in_machine(job, machine);
    findings.extend(
        joints.findings(job, good, &|bolted| joint_places::together(job, good, machine, bolted)),
    );
    findings.extend(ears::findings(job, good));
    findings.extend(tube_ends::findings(job, good));
    findings
}

/// The findings in the machine: on its points, and between its bodies.
fn in_machine(job: &Job, machine: Option<&Machine>) -> Vec<Finding> {
    let measured = job.points.measured();
    let mut findings = measured
        .map_or_else(Vec::new, |(recipe, params)| check::machine_points(recipe, params, job.units));
    findings.extend(machine.into_iter().flat_map(|machine| machine.findings(job.units)));
    findings
}

/// The findings on the links and the oven.
fn of_job(job: &Job) -> Vec<Finding> {
    let (coating, limits, units) = (job.coating, &job.limits, job.units);
    let mut findings = Vec::new();
    for (i, link) in job.links.iter().enumerate() {
        let loads: Vec<&LinkLoad> = job.link_loads.iter().filter(|load| load.link == i).collect();
        let (loads, reaches) = (&loads, &link_tubes::reaches(job, i));
        let subject = LinkSubject { link, loads, reaches, coating, limits, units };
        findings.extend(check::link(&subject));
    }
    findings.extend(oven::too_large(job));
    findings
}

/// The result of a line.
type Came = (Vec<Solved>, Vec<Finding>);

/// The result of every line, in their order, and how deep it is calculated.
fn lines(
    job: &Job,
    all: &Recipes,
    tables: &Tables,
    (done, kept): (&(dyn Fn() + Sync), Option<(&SolveCache, Depth)>),
) -> Vec<(Came, Depth)> {
    let wanted = kept.map_or(Depth::Whole, |(_, depth)| depth);
    let kept = kept.map(|(kept, _)| (kept, kept.begin(job)));
    let of_line = |i: usize| {
        let line = &job.lines[i];
        // Nothing is made of it: no file, no row, and no finding.
        let recipe = all.recipes.get(&line.recipe.0).filter(|_| !line.is_idle());
        let nothing = || (Came::default(), Depth::Whole);
        let result = recipe.map_or_else(nothing, |recipe| {
            let solved = || {
                let recipe = match line.mirror {
                    Some(mirror) => Cow::Owned(recipe.clone().in_both_hands(mirror)),
                    None => Cow::Borrowed(recipe),
                };
                let depth = wanted.of(line);
                let came = line::line(job, (i, line), &recipe, tables, depth);
                let depth = depth.reached(job, line, &came.0);
                (came, depth)
            };
            match &kept {
                Some((kept, common)) => {
                    let texts = all.texts.get(&line.recipe.0).map_or("", String::as_str);
                    kept.or((common, texts), (i, line), wanted, solved)
                }
                None => solved(),
            }
        });
        done();
        result
    };
    // Those of many bends take longest: begun first, no core waits for them at the end.
    let bends = |i: &usize| {
        let recipe = all.recipes.get(&job.lines[*i].recipe.0);
        recipe.map_or(0, |recipe| recipe.bends.len())
    };
    let mut order: Vec<usize> = (0..job.lines.len()).collect();
    order.sort_by_key(|i| Reverse(bends(i)));
    let solved = order.into_par_iter().with_max_len(1).map(|i| (i, of_line(i)));
    let mut solved: Vec<(usize, (Came, Depth))> = solved.collect();
    solved.sort_by_key(|(i, _)| *i);
    solved.into_iter().map(|(_, result)| result).collect()
}
