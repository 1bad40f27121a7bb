//! The links of a job, the end of one that a part is attached to, and the bodies near a part.

use crate::check::Near;
use crate::diag::Finding;
use crate::diag::Span;
use crate::diag::nearest;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::document::wrong_kind;
use crate::entry;
use crate::geom::Arm;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Vertex;
use crate::geom::disc;
use crate::job::between;
use crate::job::machine::LinkStands;
use crate::job::points::Points;
use crate::link;
use crate::link::Link;
use crate::num;
use crate::num::Angle;
use crate::quantity::Dimension;
use crate::table::Tables;

/// The end of a link that a part is attached to.
#[derive(Clone, Debug)]
pub struct Held {
    /// Index of the link in the job.
    pub link: usize,
    /// Which of its ends.
    pub end: usize,
    /// Where the part names it.
    pub span: Span,
}

/// The links of a job; no two of one name.
pub(super) fn links(
    fields: &Fields,
    points: &Points,
    tables: &Tables,
) -> (Vec<Link>, Vec<LinkStands>) {
    let findings = fields.findings();
    let (mut links, mut stands) = (Vec::new(), Vec::new());
    for item in fields.list("link") {
        let (item, stand) = between::link(item, points, findings);
        let Some(read) = link::read(&item, tables, findings) else { continue };
        stands.extend(stand.map(|stand| LinkStands { link: links.len(), ..stand }));
        links.push(read);
    }
    let named = links.iter().map(|link| (link.name.as_str(), link.places.name));
    entry::names_differ("links", named, findings);
    (links, stands)
}

/// `link` and `end` of a part. If a link cannot be read its name may be the missing one, so
/// `complete` says whether all could be.
pub(super) fn held(fields: &Fields, links: &[Link], complete: bool) -> Option<Held> {
    let end = fields.get("end");
    let number = fields.count_from("end", 1, 2);
    let Some(item) = fields.get("link") else {
        if let Some(end) = end {
            let finding =
                Finding::stop("missing-key", "`end` belongs to a link, but no `link` is named");
            fields
                .add(finding.at(end.span, "").help("add `link = \"drag-link\"`, or remove `end`"));
        }
        return None;
    };
    let Some(name) = item.text() else {
        fields.add(wrong_kind(item, "the name of a link"));
        return None;
    };
    let Some(i) = links.iter().position(|link| link.name == name) else {
        if complete {
            fields.add(unknown(name, item.letters, links));
        }
        return None;
    };
    let [first, second] = &links[i].ends;
    let differ = first.rod_end != second.rod_end || first.spacer != second.spacer;
    match (number, end) {
        (Some(n), _) => Some(Held { link: i, end: n as usize - 1, span: item.letters }),
        (None, None) if !differ => Some(Held { link: i, end: 0, span: item.letters }),
        (None, None) => {
            let headline = format!("the two ends of link `{name}` differ: say which one");
            let finding = Finding::stop("missing-key", headline);
            fields.add(finding.at(item.letters, "").help("add `end = 1` or `end = 2`"));
            None
        }
        _ => None,
    }
}

/// That a job has no link of a name.
pub(super) fn unknown(name: &str, at: Span, links: &[Link]) -> Finding {
    let names: Vec<&str> = links.iter().map(|l| l.name.as_str()).collect();
    let help = match nearest(name, names.iter().copied()) {
        Some(near) => format!("write `{near}`"),
        None if names.is_empty() => "add a `[[link]]` with this name".to_owned(),
        None => format!("choose from {}", names.join(", ")),
    };
    let headline = format!("there is no link `{name}`");
    Finding::stop("unknown-link", headline).at(at, "").help(help)
}

/// The bodies of a part's `near`.
pub(super) fn near(fields: &Fields) -> Vec<Near> {
    fields.list("obstacles").iter().filter_map(|item| one_near(item, fields.findings())).collect()
}

fn one_near(item: &Item, findings: &Findings) -> Option<Near> {
    let fields = Fields::of(item, findings)?;
    let name = fields.needed_label("name", "\"hose\"").map(str::to_owned);
    let span = fields.get("face").map(|i| i.letters);
    let face = fields.text("face").map(str::to_owned).zip(span);
    let clear = match fields.get("clearance") {
        Some(item) => entry::length(item, findings),
        None => Some(0.0),
    };
    let outline = match (fields.get("corners"), fields.get("arm")) {
        (Some(corners), _) => polygon(corners, findings),
        (None, Some(swinging)) => {
            let pivot = fields.need("at", "[\"0 mm\", \"60 mm\"]");
            let pivot = pivot.and_then(|item| point(item, findings));
            let swept = arm(swinging, findings);
            pivot.zip(swept).map(|(pivot, swept)| swept.moved(&Place::at(pivot)))
        }
        (None, None) => {
            fields.need("diameter", "\"20 mm\"");
            let at = fields.need("at", "[\"0 mm\", \"60 mm\"]");
            let across = fields.get("diameter").and_then(|i| entry::length(i, findings));
            let at = at.and_then(|i| point(i, findings));
            at.zip(across).and_then(|(at, across)| {
                let outline = disc(at, across / 2.0).ok();
                if outline.is_none() {
                    findings.add(no_outline(item));
                }
                outline
            })
        }
    };
    fields.finish();
    Some(Near { name: name?, face, outline: outline?, clear: clear?, span: item.span })
}

/// What a swinging arm sweeps, its pivot at the origin.
fn arm(item: &Item, findings: &Findings) -> Option<Outline> {
    let fields = Fields::of(item, findings)?;
    let size = |key: &str| entry::length(fields.need(key, "\"20 mm\"")?, findings);
    let angle = |key: &str| {
        let item = fields.need(key, "\"45 deg\"")?;
        entry::measure(item, Dimension::ANGLE, "an angle", "deg", findings)
    };
    let (radius, width, from, to) = (size("radius"), size("width"), angle("from"), angle("to"));
    let end = fields.get("to").map_or(item.span, |item| item.letters);
    fields.finish();
    let (radius, width, from, to) = (radius?, width?, from?, to?);
    if to <= from {
        let headline = format!(
            "`to` ({}°) must be more than `from` ({}°)",
            num::text(to, 3),
            num::text(from, 3)
        );
        let help = "`from` and `to` are directions, anticlockwise from x: make `to` the larger";
        findings.add(Finding::stop("out-of-range", headline).at(end, "").help(help));
        return None;
    }
    let [from, sweep] = [from, to - from].map(Angle::from_degrees);
    match (Arm { radius, width, from, sweep }).swept() {
        Ok((outline, _)) => Some(outline),
        Err(error) => {
            let help = "change the dimensions of this arm";
            findings
                .add(Finding::stop("out-of-range", error.to_string()).at(item.span, "").help(help));
            None
        }
    }
}

fn polygon(item: &Item, findings: &Findings) -> Option<Outline> {
    let Value::List(items) = &item.value else {
        findings.add(wrong_kind(item, "a list of corners"));
        return None;
    };
    let points: Option<Vec<Point>> = items.iter().map(|i| point(i, findings)).collect();
    let outline = Outline::new(points?.into_iter().map(|at| Vertex { at, bulge: 0.0 })).ok();
    if outline.is_none() {
        findings.add(no_outline(item));
    }
    outline
}

fn no_outline(item: &Item) -> Finding {
    Finding::stop("out-of-range", "this outline encloses nothing, or crosses itself")
        .at(item.span, "")
        .help("give `diameter` and `at`, `arm` and `at`, or three corners or more in order")
}

/// A point of two lengths, which may be less than 0.
pub(super) fn point(item: &Item, findings: &Findings) -> Option<Point> {
    entry::point(item, ["x", "y"], findings).map(|[x, y]| Point::new(x, y))
}
