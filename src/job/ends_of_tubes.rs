//! `[[tube_end]]` of a job: what belongs to the ends of its tubes.
//!
//! The thickness of a cap comes off the cut length of its tube, unless it sits inside; so does the shoulder
//! of a bung.

use crate::diag::About;
use crate::diag::Finding;
use crate::diag::Span;
use crate::diag::instead;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::entry;
use crate::fit::Tab;
use crate::job::asked::Line;
use crate::job::inserts::inside;
use crate::job::sheet::Sheet;
use crate::job::tube::CopedTube;
use crate::job::tube::ENDS;
use crate::job::tube_end::Cap;
use crate::job::tube_end::Cheeks;
use crate::job::tube_end::TubeEnd;
use crate::job::tube_end::TubeEnds;
use crate::link::Link;
use crate::num;
use crate::num::Angle;
use crate::quantity::Dimension;
use crate::table::Tables;
use std::sync::Arc;

/// Left between a plate and a tube, mm, where the job does not say: common practice.
const PLAY: f64 = 0.2;

/// A clock angle is less than this, degrees.
const FULL_CIRCLE: f64 = 360.0;

/// What is known of the job.
pub(super) struct Scope<'a> {
    pub(super) lines: &'a [Line],
    pub(super) sheets: &'a [Sheet],
    pub(super) links: &'a [Link],
    pub(super) tables: &'a Tables,
    /// Whether all before could be read.
    pub(super) complete: bool,
}

/// Reads the ends of tubes; what comes off for their caps and bungs comes off the tubes.
pub(super) fn read(fields: &Fields, tubes: &mut [CopedTube], known: &Scope) -> TubeEnds {
    if !fields.has("tube_end") {
        return TubeEnds::default();
    }
    let mut ends: Vec<TubeEnd> = Vec::new();
    let links = known.links.iter().map(CopedTube::of_link);
    let all: Vec<CopedTube> = tubes.iter().cloned().chain(links).collect();
    for item in fields.list("tube_end") {
        let Some(end) = one(item, &all, known, fields.findings()) else { continue };
        if let Some(first) = ends.iter().find(|of| of.tube == end.tube && of.end == end.end) {
            let headline = format!("the {} of tube `{}` is given twice", ENDS[end.end], end.tube);
            let finding = Finding::stop("duplicate-name", headline).at(end.here, "");
            fields.add(finding.at(first.here, "given here").help("merge the two entries"));
            continue;
        }
        if let Some(tube) = tubes.iter_mut().find(|tube| tube.name == end.tube) {
            tube.capped[end.end] = end.off();
            if tube.short_length() <= 0.0 {
                let headline = "the caps and bungs are longer than the tube";
                let finding = Finding::stop("out-of-range", headline).at(end.here, "");
                fields.add(finding.help("make the tube longer"));
            }
        }
        ends.push(end);
    }
    TubeEnds { all: ends, tables: Arc::new(known.tables.clone()) }
}

fn one(item: &Item, tubes: &[CopedTube], known: &Scope, findings: &Findings) -> Option<TubeEnd> {
    let fields = Fields::of(item, findings)?;
    let named = fields.need("tube", "\"leg\"");
    let here = named.map_or(item.span, |item| item.letters);
    let tube = named.and_then(|item| tube_of(item, tubes, known, findings));
    let end = which(&fields);
    if let Some(tube) = tube
        && refused_on_link(&fields, &tube.name, known)
    {
        return None;
    }
    let size = |key: &str| {
        let item = fields.get(key)?;
        entry::size(item, "write a length of more than 0", findings)
    };
    let cap = fields.get("cap").map(|item| cap(item, known, findings));
    let (ground, landing) = (fields.flag("ground"), size("landing"));
    let cheeks = cheeks(&fields, known, &size);
    let named_stub = |item: &Item| tube_of(item, tubes, known, findings);
    let inside = inside(&fields, known.tables, &named_stub);
    let tabs = fields.list("tabs").iter().map(|item| tab(item, known, findings));
    let tabs: Vec<Option<(Tab, Span)>> = tabs.collect();
    fields.finish();
    let (tube, end) = (tube?, end?);
    let about = |finding: Finding| finding.about(About::Tube(tube.name.clone()));
    let refuse = |headline: String, help: &str| {
        findings.add(about(Finding::stop("tube-end", headline)).at(here, "").help(help));
        None
    };
    let has_bung = inside.as_ref().is_some_and(|inside| inside.bung.is_some());
    if let Some((headline, help)) = closed(tube, end, [cap.is_some(), has_bung]) {
        return refuse(headline, &help);
    }
    let tabs: Vec<(Tab, Span)> = tabs.into_iter().collect::<Option<_>>()?;
    if let Some(finding) = beyond(tube, &tabs, cheeks.as_ref()) {
        findings.add(about(finding));
        return None;
    }
    let cap = match cap {
        None => None,
        Some(cap) => Some(cap?),
    };
    let twice = cap.as_ref().and_then(|cap| cap_elsewhere(cap, &tabs, cheeks.as_ref()));
    if let Some(finding) = twice {
        findings.add(about(finding));
        return None;
    }
    let ground = ground || is_ground(cap.as_ref(), cheeks.as_ref());
    Some(TubeEnd { tube: tube.name.clone(), end, cap, ground, landing, cheeks, inside, tabs, here })
}

/// A tab, or plates, that would be past the other end of a tube.
fn beyond(tube: &CopedTube, tabs: &[(Tab, Span)], cheeks: Option<&Cheeks>) -> Option<Finding> {
    let long = tube.short_length();
    if let Some((tab, at)) = tabs.iter().find(|(tab, _)| tab.at > long) {
        let headline = format!("tab `{}` is past the other end of tube `{}`", tab.part, tube.name);
        let finding = Finding::stop("tube-end", headline).at(*at, "");
        return Some(finding.help("`at` is from this end: make it smaller"));
    }
    let (_, at) = cheeks?.lap.filter(|(lap, _)| *lap > long)?;
    let headline = format!("the plates lap over more than the whole of tube `{}`", tube.name);
    let finding = Finding::stop("tube-end", headline).at(at, "");
    Some(finding.help("make `lap` smaller: it is measured from this end"))
}

/// What is wrong with closing an end of a tube by a cap or a bung, and what to do.
fn closed(tube: &CopedTube, end: usize, [cap, bung]: [bool; 2]) -> Option<(String, String)> {
    let (key, name) = (if cap { "cap" } else { "bung" }, &tube.name);
    let end_name = ENDS[end];
    if (cap || bung) && tube.ends[end].is_some() {
        let headline = format!("the {end_name} of tube `{name}` is coped and cannot have a {key}");
        return Some((headline, format!("remove `{key}`, or make that end square")));
    }
    (cap && bung).then(|| {
        let headline =
            format!("either a cap or a bung closes the {end_name} of tube `{name}`, not both");
        (headline, "remove `cap` or `bung`".to_owned())
    })
}

/// Whether a cap is ground because the tube is ground to a diameter. A cap inside has no weld that this
/// would touch.
fn is_ground(cap: Option<&Cap>, cheeks: Option<&Cheeks>) -> bool {
    let has_diameter = cheeks.is_some_and(|cheeks| cheeks.ground.is_some());
    has_diameter && cap.is_some_and(|cap| !cap.is_inside)
}

/// A cap whose part is a tab or plate of the same end as well.
fn cap_elsewhere(cap: &Cap, tabs: &[(Tab, Span)], cheeks: Option<&Cheeks>) -> Option<Finding> {
    let tab = tabs.iter().find(|(tab, _)| tab.part == cap.part).map(|(_, at)| (*at, "tab"));
    let plate = cheeks.filter(|cheeks| cheeks.part == cap.part).map(|of| (of.at, "plate"));
    let (at, what) = tab.or(plate)?;
    let headline = format!("`{}` is the cap of this end, and cannot be a {what} of it", cap.part);
    let finding = Finding::stop("tube-end", headline).at(at, "").at(cap.at, "the cap");
    Some(finding.help(format!("name the part of the {what}")))
}

/// Whether an end of a link is given something that its bungs leave no place for.
fn refused_on_link(fields: &Fields, name: &str, known: &Scope) -> bool {
    let is_link = known.links.iter().any(|link| link.name == name);
    let closed = ["cap", "ground", "landing", "bung", "stub"];
    let Some(entry) = closed.into_iter().find_map(|key| fields.entry(key)).filter(|_| is_link)
    else {
        return false;
    };
    let headline = format!("`{name}` is a link: its ends are closed by bungs");
    let finding = Finding::stop("tube-end", headline).about(About::Link(name.to_owned()));
    fields.add(
        finding
            .at(entry.key, "")
            .help("remove this; an end of a link may have `tabs` and `cheeks`"),
    );
    true
}

fn tube_of<'a>(
    item: &Item,
    tubes: &'a [CopedTube],
    known: &Scope,
    findings: &Findings,
) -> Option<&'a CopedTube> {
    let name = item.text().unwrap_or_default();
    let found = tubes.iter().find(|tube| tube.name == name);
    if found.is_none() && known.complete {
        let names: Vec<&str> = tubes.iter().map(|tube| tube.name.as_str()).collect();
        let help = match names.is_empty() {
            true => "add a `[[tube]]` or a `[[link]]` with this name".to_owned(),
            false => instead(name, &names, "tubes are"),
        };
        let finding = Finding::stop("unknown-tube", format!("there is no tube `{name}`"));
        findings.add(finding.at(item.letters, "").help(help));
    }
    found
}

/// `start` or `end`; the end when it is left out.
fn which(fields: &Fields) -> Option<usize> {
    let Some(item) = fields.get("end") else { return Some(1) };
    let end = ENDS.iter().position(|end| item.text() == Some(end));
    if end.is_none() {
        let finding = Finding::stop("unknown-word", "`end` is `start` or `end`");
        fields.add(finding.at(item.span, "").help("write `end = \"start\"`"));
    }
    end
}

/// The line of a part that is named.
fn line_of<'a>(item: &Item, known: &Scope<'a>, findings: &Findings) -> Option<&'a Line> {
    let name = item.text().unwrap_or_default();
    let found = known.lines.iter().find(|line| line.name == name);
    if found.is_none() && known.complete {
        let names: Vec<&str> = known.lines.iter().map(|line| line.name.as_str()).collect();
        let help = match names.is_empty() {
            true => "add a `[[part]]` with this name".to_owned(),
            false => instead(name, &names, "parts are"),
        };
        let finding = Finding::stop("unknown-part", format!("there is no part `{name}`"));
        findings.add(finding.at(item.letters, "").help(help));
    }
    found
}

/// The value of a `fit` that puts a cap inside its tube.
const SLIP_IN: &str = "slip-in";

fn cap(item: &Item, known: &Scope, findings: &Findings) -> Option<Cap> {
    let line = line_of(item, known, findings)?;
    if line.open.iter().any(|(name, _)| name == "sheet" || name == "fit") {
        let headline = format!("the thickness of `{}`, or its fit, is left open", line.name);
        let finding = Finding::stop("tube-end", headline).at(item.letters, "");
        findings.add(
            finding.help(
                "choose its `sheet` and its `fit`: the cut length of the tube depends on them",
            ),
        );
        return None;
    }
    let fit = line.given.iter().find(|(name, _)| name == "fit");
    let fit = fit.and_then(|(_, entry)| entry.item.text());
    let is_inside = fit.is_some_and(|fit| fit.trim().trim_matches('\'') == SLIP_IN);
    let thickness = known.sheets.get(line.part_sheet.unwrap_or(line.sheet))?.thickness;
    let off = if is_inside { 0.0 } else { thickness };
    Some(Cap { part: line.name.clone(), off, is_inside, at: item.letters })
}

fn cheeks(fields: &Fields, known: &Scope, size: &dyn Fn(&str) -> Option<f64>) -> Option<Cheeks> {
    let findings = fields.findings();
    let play = fields.get("play").and_then(|item| entry::length(item, findings));
    let placed = |key: &str| size(key).zip(fields.get(key).map(|item| item.letters));
    let (ground, gap) = (placed("ground_outside"), placed("gap"));
    let lap = placed("lap");
    let Some(item) = fields.get("cheeks") else {
        let own =
            ["play", "ground_outside", "gap", "lap"].into_iter().find_map(|key| fields.entry(key));
        if let Some(entry) = own {
            let finding = Finding::stop(
                "missing-key",
                "this applies to plates beside the tube, but none are named",
            );
            fields.add(finding.at(entry.key, "").help("add `cheeks = \"ear\"`, or remove it"));
        }
        return None;
    };
    let part = line_of(item, known, findings)?.name.clone();
    Some(Cheeks { part, play: play.unwrap_or(PLAY), ground, lap, gap, at: item.letters })
}

fn tab(item: &Item, known: &Scope, findings: &Findings) -> Option<(Tab, Span)> {
    let fields = Fields::of(item, findings)?;
    let part = fields.need("part", "\"tab-hose\"").and_then(|i| line_of(i, known, findings));
    let at = fields.need("at", "\"120 mm\"").and_then(|i| entry::length(i, findings));
    let clock = fields
        .need("clock", "\"90 deg\"")
        .and_then(|item| entry::measure(item, Dimension::ANGLE, "an angle", "deg", findings));
    let clock = clock.zip(fields.get("clock")).and_then(|(degrees, item)| {
        let is_on_dial = (0.0..FULL_CIRCLE).contains(&degrees);
        if !is_on_dial {
            let shown = num::text(degrees, 3);
            let finding = Finding::stop(
                "out-of-range",
                format!("`clock` is 0° or more and less than 360°, not {shown}°"),
            );
            let same = num::text(degrees.rem_euclid(FULL_CIRCLE), 3);
            findings.add(
                finding
                    .at(item.letters, "0° or more, less than 360°")
                    .help(format!("write `clock = \"{same} deg\"` for the same place")),
            );
        }
        is_on_dial.then_some(degrees)
    });
    let reach = fields.get("reach").and_then(|item| entry::length(item, findings));
    fields.finish();
    let tab = Tab { part: part?.name.clone(), at: at?, clock: Angle::from_degrees(clock?), reach };
    Some((tab, item.span))
}
