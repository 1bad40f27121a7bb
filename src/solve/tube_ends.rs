//! The ends of tubes with the solved parts that belong to them.

mod counts;
mod laps;
mod stubs;
mod tab_feet;

use crate::check;
use crate::check::CapSubject;
use crate::check::CheekLegs;
use crate::check::TabSubject;
use crate::check::TubeEndSubject;
use crate::diag::About;
use crate::diag::Finding;
use crate::diag::Span;
use crate::fit;
use crate::fit::CapFit;
use crate::fit::CheekFit;
use crate::fit::Spot;
use crate::fit::Tab;
use crate::formula::Value;
use crate::job;
use crate::job::CopedTube;
use crate::job::ENDS;
use crate::job::Job;
use crate::joint::Bolted;
use crate::solve::ears;
use crate::solve::joints;
use crate::solve::legs;
use crate::solve::solved::Solved;

/// The end of a tube of the job.
pub(crate) struct TubeEnd<'a> {
    /// The entry of the job.
    pub(crate) asked: &'a job::TubeEnd,
    /// Its tube.
    pub(crate) tube: CopedTube,
    /// How it fits.
    pub(crate) fit: fit::TubeEnd,
    /// By tab, the effect of one degree of its angle.
    pub(crate) per_degree: Vec<Vec<PerDegree>>,
    /// By tab, how it is set with a level.
    pub(crate) levels: Vec<String>,
    /// How far apart the legs are of the bent part on both sides, where that is known, mm.
    pub(crate) legs: Option<f64>,
    /// The cap, where it is made.
    cap: Option<&'a Solved>,
}

impl TubeEnd<'_> {
    /// How far apart the bare plates beside it are set, mm: as given, else so that the widest tube goes in.
    pub(crate) fn apart(&self) -> Option<f64> {
        let given = self.asked.cheeks.as_ref()?.gap.map(|(set, _)| set);
        self.legs.or(given).or_else(|| Some(self.fit.gap()?[1]))
    }
}

/// By how much an error of a tab's angle moves a place of it.
pub(crate) struct PerDegree {
    /// Which place.
    pub(crate) spot: Spot,
    /// How far out from the tube that is, mm.
    pub(crate) out: f64,
    /// For each degree, mm.
    pub(crate) off: f64,
}

/// The ends of tubes that are made.
pub(crate) fn tube_ends<'a>(job: &'a Job, solved: &'a [Solved]) -> Vec<TubeEnd<'a>> {
    let of = |asked: &'a job::TubeEnd| Some(one(job, solved, asked, job.tube_of(asked)?));
    job.tube_ends.all.iter().filter_map(of).collect()
}

fn one<'a>(
    job: &'a Job,
    solved: &'a [Solved],
    asked: &'a job::TubeEnd,
    tube: CopedTube,
) -> TubeEnd<'a> {
    let coating = job.limits.films.map_or(job.coating, |[_, thick]| thick);
    let mut fit = fit::TubeEnd::new(tube.outside, tube.wall, coating, &job.tube_ends.tables);
    let named = |part: &str| solved.iter().find(|of| job.lines[of.line].name == part);
    let cap = asked.cap.as_ref().and_then(|cap| named(&cap.part));
    fit.cap = cap.map(|cap| {
        let sits = fact(cap, "fit").map(|value| value.show(job.units)).unwrap_or_default();
        let bounds = cap.flat.region.bounds();
        CapFit {
            thickness: cap.part.thickness,
            is_inside: sits == "slip-in",
            is_over: sits == "overlap",
            width: bounds.width().min(bounds.height()),
            ground: asked.ground,
            nut: cap.part.captured.as_ref().map(|captured| captured.nut.name().to_owned()),
        }
    });
    fit.cheeks = asked.cheeks.as_ref().map(|cheeks| {
        let coating = named(&cheeks.part).map_or(0.0, |of| {
            let own = job.coating_of(&job.lines[of.line]);
            own.films.map_or(own.film, |[_, thick]| thick)
        });
        CheekFit { coating, play: cheeks.play, ground: cheeks.ground.map(|(ground, _)| ground) }
    });
    fit.inside = asked.inside.as_ref().map(|inside| inside.outside);
    let per_degree = asked.tabs.iter().map(|(tab, _)| per_degree(&fit, tab, named(&tab.part)));
    let per_degree = per_degree.collect();
    let level = |(tab, _): &(Tab, Span)| tab.level(named(&tab.part).and_then(tab_feet::across));
    let levels = asked.tabs.iter().map(level).collect();
    let bent = asked.cheeks.as_ref().and_then(|cheeks| legs(job, solved, cheeks));
    let legs = bent.and_then(|bent| bent.nearest(asked.cheeks.as_ref()?.gap.map(|(gap, _)| gap)));
    TubeEnd { asked, tube, fit, per_degree, levels, legs: legs.map(|[gap, _]| gap), cap }
}

/// The effect of one degree of a tab's angle: at the places of its part, by the entry of the job.
fn per_degree(fit: &fit::TubeEnd, tab: &Tab, part: Option<&Solved>) -> Vec<PerDegree> {
    let of_part = part.map_or_else(Vec::new, |solved| fit::spots(&solved.part));
    let given = tab.reach.map(|reach| (Spot::Reach, reach));
    let off = |(spot, out)| PerDegree { spot, out, off: fit.per_degree(out) };
    of_part.into_iter().chain(given).map(off).collect()
}

/// The distance between the bare plates at an end of a tube, where a part is one of these, mm.
pub(crate) fn between_cheeks(job: &Job, solved: &[Solved], part: &Solved) -> Option<f64> {
    let name = &job.lines[part.line].name;
    let is_cheek = |asked: &job::TubeEnd| asked.cheeks.as_ref().is_some_and(|c| c.part == *name);
    let asked = job.tube_ends.all.iter().find(|asked| is_cheek(asked))?;
    one(job, solved, asked, job.tube_of(asked)?).apart()
}

fn fact<'a>(of: &'a Solved, name: &str) -> Option<&'a Value> {
    of.part.facts.iter().find(|fact| fact.name == name).map(|fact| &fact.value)
}

fn length(of: &Solved, name: &str) -> Option<f64> {
    match fact(of, name)? {
        Value::Quantity(quantity) => Some(quantity.value),
        _ => None,
    }
}

/// The legs of the part beside a tube, where that is bent.
fn legs<'a>(job: &Job, solved: &[Solved], cheeks: &'a job::Cheeks) -> Option<CheekLegs<'a>> {
    let is_it = |of: &&Solved| job.lines[of.line].name == cheeks.part && !of.part.bends.is_empty();
    let of = solved.iter().find(is_it)?;
    let facing = legs::facing(of, &job.tube_ends.tables);
    let gaps = facing.into_iter().map(|facing| [facing.gap, facing.off[0]]).collect();
    Some(CheekLegs { part: &cheeks.part, at: cheeks.at, gaps })
}

/// The parts at the end of a tube that are caps by their facts, and are named as something else.
fn caps<'a>(
    job: &Job,
    solved: &[Solved],
    asked: &'a job::TubeEnd,
) -> Vec<(&'a str, Span, &'static str)> {
    let tabs = asked.tabs.iter().map(|(tab, at)| (tab.part.as_str(), *at, "tab"));
    let cheeks = asked.cheeks.iter().map(|cheeks| (cheeks.part.as_str(), cheeks.at, "plate"));
    let is_cap = |(part, ..): &(&str, Span, &'static str)| {
        let of = solved.iter().find(|of| job.lines[of.line].name == *part);
        of.is_some_and(|of| fact(of, "fit").is_some() && fact(of, "tube_outside").is_some())
    };
    tabs.chain(cheeks).filter(is_cap).collect()
}

/// The findings on the ends of tubes.
pub(super) fn findings(job: &Job, solved: &[Solved]) -> Vec<Finding> {
    let (ends, joints) = (tube_ends(job, solved), joints::joints(job, solved));
    let counted = counts::of(job, solved, ends.iter().map(|end| (end.asked, &end.tube)));
    let found = |end: &TubeEnd| {
        let cap = end.asked.cap.as_ref().zip(end.cap).map(|(asked, cap)| CapSubject {
            part: &asked.part,
            at: asked.at,
            drawn_for: ["tube_outside", "tube_wall"].map(|name| length(cap, name)),
            cut_for_inside: asked.is_inside,
        });
        let tabs = end.asked.tabs.iter().filter_map(|(tab, at)| {
            let of = solved.iter().find(|of| job.lines[of.line].name == tab.part)?;
            Some(TabSubject { part: &tab.part, at: *at, drawn_for: tab_feet::cut_for(of)? })
        });
        let legs = end.asked.cheeks.as_ref().and_then(|cheeks| legs(job, solved, cheeks));
        check::tube_end(&TubeEndSubject {
            end: &end.fit,
            tube: &end.tube.name,
            which: ENDS[end.asked.end],
            cap,
            landing: end.asked.landing,
            cheeks: end.asked.cheeks.as_ref().map(|cheeks| cheeks.at),
            gap: end.asked.cheeks.as_ref().and_then(|cheeks| cheeks.gap),
            ground: end.asked.cheeks.as_ref().and_then(|cheeks| cheeks.ground),
            tabs: tabs.collect(),
            counts: counted
                .iter()
                .filter(|of| of.end == end.asked.here)
                .map(|of| of.count)
                .collect(),
            // What is between two legs of one part is compared in its joint.
            spacer: match legs {
                Some(_) => None,
                None => end.asked.cheeks.as_ref().and_then(|cheeks| {
                    let own = solved.iter().filter(|of| job.lines[of.line].name == cheeks.part);
                    let mut own = own.flat_map(|of| joints.iter().map(move |joint| (of, *joint)));
                    own.find_map(|(of, joint): (&Solved, &Bolted)| ears::between(joint, &of.name))
                }),
            },
            lap: end.asked.cheeks.as_ref().and_then(|cheeks| cheeks.lap),
            plate: laps::plate(job, solved, end.asked),
            eyes: laps::eyes(job, solved, (end.asked, &joints)),
            legs,
            caps: caps(job, solved, end.asked),
            inside: end.asked.inside.as_ref().map(|inside| (inside.words.as_str(), inside.at)),
            units: job.units,
        })
    };
    let places = tab_feet::findings(job, solved, ends.iter().map(|end| (end.asked, &end.tube)));
    let found = ends.iter().flat_map(found).chain(stubs::findings(job)).chain(places);
    job.tube_ends.all.iter().filter(|end| end.is_bare()).map(bare).chain(found).collect()
}

/// The finding on an end to which nothing belongs.
fn bare(end: &job::TubeEnd) -> Finding {
    let finding = Finding::stop("missing-key", "nothing is given for this end of a tube");
    finding
        .about(About::Tube(end.tube.clone()))
        .at(end.here, "")
        .help("add one of `cap`, `cheeks`, `bung`, `stub`, `tabs`, or remove `[[tube_end]]`")
}
