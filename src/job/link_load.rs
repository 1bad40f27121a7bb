//! `[[load]]` on a link.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::entry;
use crate::job::force;
use crate::job::linked;
use crate::link::Link;
use crate::link::LinkLoad;
use crate::link::Way;
use crate::strength;
use crate::table::Row;
use crate::table::Tables;
use std::sync::Arc;

/// What a load may name beside the parts of a job.
pub(super) struct Links<'a> {
    /// Those that could be read.
    pub(super) read: &'a [Link],
    /// Whether that is all of them.
    pub(super) complete: bool,
    /// The names of the coped tubes: a load on one is not judged.
    pub(super) tubes: &'a [&'a str],
}

/// Reads a load with a `link`.
pub(super) fn read(
    fields: &Fields,
    here: Span,
    links: &Links,
    tables: &Tables,
) -> Option<LinkLoad> {
    let findings = fields.findings();
    for other in ["part", "hole", "edge", "at"].iter().filter_map(|name| fields.get(name)) {
        let headline = "a load acts on a part or along a link, not both";
        let finding = Finding::stop("wrong-kind", headline).at(other.span, "");
        fields.add(finding.help("remove this, or `link`"));
    }
    only_aisc(fields);
    let name = fields.needed_label("name", "\"hard braking\"").map(str::to_owned);
    let named = fields.get("name").map_or(here, |i| i.letters);
    let link = fields.get("link").and_then(|item| link(item, links, findings));
    let force = fields.need("force", "\"2 kN\"").and_then(|item| force::force(item, findings));
    let ways = ways(fields);
    let row = |name: &str, table: &str| {
        fields.get(name).and_then(|item| entry::row(item, table, tables, findings))
    };
    let (grade, filler) = (row("grade", "bolt-grade"), row("filler", "filler"));
    let leg = force::above_zero(fields, "leg");
    let (link, link_span) = link?;
    Some(LinkLoad {
        name: name?,
        link,
        force: force?,
        ways: ways?,
        grade,
        filler: weld_metal(filler, &links.read[link], tables),
        leg,
        here: named,
        link_span,
    })
}

/// The weld metal, and whether it is named.
fn weld_metal(named: Option<Arc<Row>>, link: &Link, tables: &Tables) -> Option<(Arc<Row>, bool)> {
    let first = || strength::first_filler(link.material.as_deref()?, tables).cloned();
    named.map(|row| (row, true)).or_else(|| first().map(|row| (row, false)))
}

/// The index of the link that is named.
fn link(item: &Item, links: &Links, findings: &Findings) -> Option<(usize, Span)> {
    let Some(name) = item.text() else {
        findings.add(document::wrong_kind(item, "the name of a link"));
        return None;
    };
    if let Some(i) = links.read.iter().position(|link| link.name == name) {
        return Some((i, item.letters));
    }
    if links.tubes.contains(&name) {
        let headline = format!("`{name}` is a coped tube: only loads along a link are judged");
        let finding = Finding::stop("unknown-link", headline).at(item.letters, "");
        findings.add(finding.help(
            "a tube that is bent, or welded or pinned off its axis, is not judged: prove it by \
             test, or make it a straight `[[link]]`",
        ));
    } else if links.complete {
        findings.add(linked::unknown(name, item.letters, links.read));
    }
    None
}

/// Which ways the load acts: both where that is not said.
fn ways(fields: &Fields) -> Option<Vec<Way>> {
    let Some(item) = fields.get("direction") else {
        return Some(Way::WORDS.map(|(_, way)| way).to_vec());
    };
    let way = Way::WORDS.iter().find(|(word, _)| item.text() == Some(word));
    if way.is_none() {
        fields.add(
            Finding::stop("unknown-word", "a link is loaded by `pull` or `push`, along its axis")
                .at(item.span, "")
                .help("leave `direction` out for both, or write `direction = \"pull\"`"),
        );
    }
    way.map(|(_, way)| vec![*way])
}

/// A link is no lifting device: another method is refused.
fn only_aisc(fields: &Fields) {
    let method = fields.get("method").filter(|item| item.text() != Some("AISC 360"));
    if let Some(item) = method.or_else(|| fields.get("category")) {
        fields.add(
            Finding::stop("wrong-kind", "links are judged by AISC 360 alone")
                .at(item.span, "")
                .help("remove `method` and `category`"),
        );
    }
}
