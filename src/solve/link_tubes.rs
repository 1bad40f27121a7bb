//! Links whose tube is open: the lightest tube that carries the loads, fits the bungs and clears
//! the machine.

use crate::check;
use crate::check::LinkSubject;
use crate::check::Reach;
use crate::diag::About;
use crate::diag::Finding;
use crate::diag::Span;
use crate::diag::Weight;
use crate::geom::Space;
use crate::geom::length;
use crate::geom::minus;
use crate::job::Job;
use crate::job::LinkStands;
use crate::link;
use crate::link::Chosen;
use crate::link::Link;
use crate::link::LinkLoad;
use crate::link::Unfit;
use crate::solve::machine;
use crate::solve::solved::Solved;

/// One of the tubes, and the findings with it.
struct Attempt {
    link: Link,
    findings: Vec<Finding>,
    /// Why a load on it is not judged.
    unjudged: Option<String>,
}

/// The job with its open tubes chosen; `None` if there are none. If no tube can be chosen the first
/// listed stays, and a finding says why.
///
/// Links are solved in the order of the job. One that is not chosen yet is in the machine with its
/// largest tube, so that no later choice comes nearer to an earlier one.
pub(super) fn chosen(job: &Job, good: &[Solved]) -> Option<(Job, Vec<Finding>)> {
    if !job.links.iter().any(Link::is_open) {
        return None;
    }
    let mut made = job.clone();
    for link in made.links.iter_mut().filter(|link| link.is_open()) {
        let outside = |link: &&Link| link.tube.measure("outside");
        let largest = link.sizes.iter().max_by(|a, b| outside(a).total_cmp(&outside(b)));
        *link = Link { sizes: link.sizes.clone(), ..largest.unwrap_or(link).clone() };
    }
    let mut findings = Vec::new();
    for i in (0..job.links.len()).filter(|i| job.links[*i].is_open()) {
        let first = || Link { sizes: Vec::new(), ..job.links[i].clone() };
        made.links[i] = one(&made, good, i).unwrap_or_else(|finding| {
            findings.extend(finding);
            first()
        });
    }
    Some((made, findings))
}

/// The lightest tube for one link, with the others as they are; else why none will do. A finding
/// that occurs with every tube is reported by the checks, not here.
fn one(job: &Job, good: &[Solved], i: usize) -> Result<Link, Option<Finding>> {
    let open = &job.links[i];
    let loads: Vec<&LinkLoad> = job.link_loads.iter().filter(|load| load.link == i).collect();
    if loads.is_empty() {
        return Err(Some(unloaded(open)));
    }
    let attempts: Vec<Attempt> =
        open.sizes.iter().map(|size| attempt(job, good, (i, size), &loads)).collect();
    let shared = |finding: &Finding| attempts.iter().all(|a| a.findings.contains(finding));
    let is_stop = |finding: &&Finding| finding.weight == Weight::Stop;
    let first = attempts.first().map_or(&[][..], |attempt| &attempt.findings);
    if first.iter().filter(is_stop).any(shared) {
        return Err(None);
    }
    let refused = |a: &Attempt| {
        let own = a.findings.iter().find(|finding| !shared(finding));
        let unfit = |code, headline: &str| Unfit {
            tube: a.link.tube.name().to_owned(),
            code,
            headline: headline.to_owned(),
        };
        let stop = || a.findings.iter().find(is_stop);
        let unjudged = || a.unjudged.as_ref().map(|words| unfit("link-strength", words));
        own.or_else(stop).map(|f| unfit(f.code, &f.headline)).or_else(unjudged)
    };
    let judged: Vec<(&Attempt, Option<Unfit>)> =
        attempts.iter().map(|attempt| (attempt, refused(attempt))).collect();
    let metal = |a: &Attempt| a.link.metal();
    let fit = judged.iter().filter(|(_, unfit)| unfit.is_none()).map(|(a, _)| *a);
    let Some(best) = fit.min_by(|a, b| metal(a).total_cmp(&metal(b))) else {
        let unfit = judged.iter().filter_map(|(_, unfit)| unfit.as_ref());
        return Err(Some(nothing_fits(open, unfit)));
    };
    let lighter = judged.iter().filter(|(a, unfit)| unfit.is_some() && metal(a) < metal(best));
    let next = lighter.max_by(|(a, _), (b, _)| metal(a).total_cmp(&metal(b)));
    let lighter = next.and_then(|(_, unfit)| unfit.clone());
    let chosen = Some(Chosen { tried: attempts.len(), lighter });
    Ok(Link { chosen, ..best.link.clone() })
}

/// The findings on a link with one of its tubes.
fn attempt(job: &Job, good: &[Solved], (i, size): (usize, &Link), loads: &[&LinkLoad]) -> Attempt {
    let (coating, limits, units) = (job.coating, &job.limits, job.units);
    let reaches = reaches(job, i);
    let subject = LinkSubject { link: size, loads, reaches: &reaches, coating, limits, units };
    let mut findings = check::link(&subject);
    if job.machine.links.iter().any(|stands| stands.link == i) {
        let mut links = job.links.clone();
        links[i] = size.clone();
        let machine = machine::machine(&Job { links, ..job.clone() }, good);
        let about = About::Link(size.name.clone());
        let all = machine.into_iter().flat_map(|machine| machine.findings(units));
        findings.extend(all.filter(|finding| finding.about.contains(&about)));
    }
    let unjudged = loads.iter().find_map(|load| {
        let lack = link::judge(load, size).lack?;
        Some(format!("the load `{}` is not judged: {lack}; {}", load.name, lack.help()))
    });
    Attempt { link: size.clone(), findings, unjudged }
}

/// The finding that no load is given for the tube.
fn unloaded(open: &Link) -> Finding {
    let headline = format!("the tube of `{}` is open, and no load acts along it", open.name);
    let finding = Finding::stop("nothing-fits", headline).about(About::Link(open.name.clone()));
    let finding = finding.at(open.places.tube.unwrap_or(open.places.name), "");
    finding.help(format!(
        "add a `[[load]]` with `link = \"{}\"` and its `force`, or name one tube",
        open.name
    ))
}

fn nothing_fits<'a>(open: &Link, unfit: impl Iterator<Item = &'a Unfit>) -> Finding {
    let count = open.sizes.len();
    let none = if count == 2 { "neither" } else { "none" };
    let headline = format!("{none} of the {count} tubes for `{}` passes all checks", open.name);
    let finding = Finding::stop("nothing-fits", headline).about(About::Link(open.name.clone()));
    let finding = finding.at(open.places.tube.unwrap_or(open.places.name), "");
    // A reason that several share is given once.
    let mut alike: Vec<(Vec<&str>, &Unfit)> = Vec::new();
    for one in unfit {
        match alike.iter_mut().find(|(_, unfit)| unfit.headline == one.headline) {
            Some((tubes, _)) => tubes.push(&one.tube),
            None => alike.push((vec![one.tube.as_str()], one)),
        }
    }
    let finding = alike.into_iter().fold(finding, |finding, (tubes, unfit)| {
        finding.note(format!("{}: {} ({})", tubes.join(", "), unfit.headline, unfit.code))
    });
    finding.help("list other tubes; where bungs do not fit, write `bung = \"turned\"`")
}

/// Where the far pin of a link is to come.
pub(super) fn reaches(job: &Job, link: usize) -> Vec<Reach> {
    let stands = job.machine.links.iter().filter(|stands| stands.link == link);
    let of = |stands: &LinkStands| -> Vec<Reach> {
        let near = stands.pins[0];
        let places = stands.travel_points.iter().zip(&stands.travel.to);
        let reach = |((point, span), to): (&(String, Span), &Space)| Reach {
            point: point.clone(),
            distance: length(minus(*to, near)),
            span: *span,
        };
        places.map(reach).collect()
    };
    stands.flat_map(of).collect()
}
