//! `[[load]]`: a force on a part.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::entry;
use crate::job::asked::Line;
use crate::job::force::above_zero;
use crate::job::force::force;
use crate::job::link_load;
use crate::job::link_load::Links;
use crate::job::linked;
use crate::link::LinkLoad;
use crate::num::Angle;
use crate::quantity;
use crate::quantity::Dimension;
use crate::quantity::Reading;
use crate::strength::At;
use crate::strength::Category;
use crate::strength::Direction;
use crate::strength::Load;
use crate::strength::Method;
use crate::table::Tables;

/// Maximum number of pieces that share a load. Our choice.
const MAX_SHARED: u32 = 1000;

/// Reads all loads of a job; each names one of its lines, or one of its links.
pub(super) fn read(
    fields: &Fields,
    (lines, complete): (&[Line], bool),
    links: &Links,
    tables: &Tables,
) -> (Vec<Load>, Vec<LinkLoad>) {
    let findings = fields.findings();
    let (mut on_parts, mut on_links) = (Vec::new(), Vec::new());
    for item in fields.list("load") {
        let Some(fields) = Fields::of(item, findings) else { continue };
        match fields.has("link") {
            true => on_links.extend(link_load::read(&fields, item.span, links, tables)),
            false => on_parts.extend(load(&fields, item.span, lines, complete, tables)),
        }
        fields.finish();
    }
    (on_parts, on_links)
}

fn load(
    fields: &Fields,
    here: Span,
    lines: &[Line],
    complete: bool,
    tables: &Tables,
) -> Option<Load> {
    let findings = fields.findings();
    let name = fields.needed_label("name", "\"hard braking\"").map(str::to_owned);
    let named = fields.get("name").map_or(here, |i| i.letters);
    let part =
        fields.need("part", "\"tab-front\"").and_then(|i| part(i, lines, complete, findings));
    let at = at(fields);
    let force = fields.need("force", "\"2 kN\"").and_then(|i| force(i, findings));
    let direction = fields.need("direction", "\"pull\"");
    let direction = direction.and_then(|i| self::direction(i, findings));
    let row = |name: &str, table: &str| {
        fields.get(name).and_then(|i| entry::row(i, table, tables, findings))
    };
    let held = fields.text("held").map(str::to_owned);
    let shared = fields.count_from("shared", 1, MAX_SHARED);
    let (pin, leg, wall) =
        (above_zero(fields, "pin"), above_zero(fields, "leg"), above_zero(fields, "wall"));
    let foot = above_zero(fields, "foot");
    let (grade, filler) = (row("grade", "bolt-grade"), row("filler", "filler"));
    let (bolts, bolts_grade) = (fields.text("bolts"), row("bolts_grade", "bolt-grade"));
    let method = method(fields);
    let (part, part_span) = part?;
    let (at, at_span) = at?;
    Some(Load {
        name: name?,
        part,
        at,
        held,
        force: force?,
        direction: direction?,
        shared,
        foot,
        pin,
        grade,
        bolts: bolts.map(str::to_owned),
        bolts_grade,
        filler,
        leg,
        wall,
        method: method?,
        here: named,
        at_span,
        held_span: fields.get("held").map(|i| i.letters),
        bolts_span: fields.get("bolts").map(|i| i.letters),
        part_span,
    })
}

fn part(
    item: &Item,
    lines: &[Line],
    complete: bool,
    findings: &Findings,
) -> Option<(String, Span)> {
    let Some(wanted) = item.text() else {
        findings.add(document::wrong_kind(item, "the name of a part"));
        return None;
    };
    // If a part cannot be read, its name may be the missing one.
    if complete && !lines.iter().any(|line| line.name == wanted) {
        let names: Vec<&str> = lines.iter().map(|line| line.name.as_str()).collect();
        findings.add(
            Finding::stop("unknown-part", format!("there is no part `{wanted}` to load"))
                .at(item.letters, "")
                .help(crate::diag::instead(wanted, &names, "choose from")),
        );
        return None;
    }
    Some((wanted.to_owned(), item.letters))
}

fn at(fields: &Fields) -> Option<(At, Span)> {
    let findings = fields.findings();
    if let Some(item) = fields.get("at") {
        let above = fields
            .get("above")
            .and_then(|i| entry::measure(i, Dimension::LENGTH, "a length", "mm", findings));
        for other in ["hole", "edge"].iter().filter_map(|name| fields.get(name)) {
            let headline = "a load acts at a point, at a hole or along an edge";
            let finding = Finding::stop("wrong-kind", headline).at(other.span, "");
            fields.add(finding.help("remove this, or `at`"));
        }
        let at = linked::point(item, findings)?;
        return Some((At::Point { at, above: above.unwrap_or(0.0) }, item.span));
    }
    if let Some(above) = fields.get("above") {
        let headline = "`above` is how far above a point a load acts, but none is given";
        let finding = Finding::stop("missing-key", headline).at(above.span, "");
        fields.add(finding.help("add `at = [\"0 mm\", \"0 mm\"]`, or remove `above`"));
    }
    match (fields.get("hole"), fields.get("edge")) {
        (Some(_), Some(edge)) => {
            fields.add(
                Finding::stop("wrong-kind", "a load acts at a hole or along an edge, not both")
                    .at(edge.span, "")
                    .help("remove `edge`"),
            );
            None
        }
        (None, Some(edge)) => {
            fields.text("edge").map(|name| (At::Edge(name.to_owned()), edge.letters))
        }
        (hole, None) => {
            let name = fields.needed_text("hole", "\"eye\"")?;
            Some((At::Hole(name.to_owned()), hole?.letters))
        }
    }
}

fn direction(item: &Item, findings: &Findings) -> Option<Direction> {
    let text = item.text();
    let word = Direction::WORDS.iter().find(|(word, _)| text == Some(word));
    if let Some((_, direction)) = word {
        return Some(*direction);
    }
    if let Some(Ok(Reading::Quantity(q))) = text.map(quantity::read)
        && q.dimension == Dimension::ANGLE
    {
        return Some(Direction::Turned(Angle::from_degrees(q.value)));
    }
    let names = Direction::WORDS.map(|(word, _)| word);
    if let Some(old) = text
        && let Some(now) = document::now_called(old, |new| names.contains(&new))
    {
        findings.add(document::renamed(old, now, item.letters));
        return None;
    }
    let words = names.map(|word| format!("`{word}`"));
    findings.add(
        Finding::stop("unknown-word", format!("`direction` is {} or an angle", words.join(", ")))
            .at(item.letters, "")
            .note(
                "relative to the support of the part; an angle rotates a pull anticlockwise in the \
                 plane of the plate",
            )
            .help("write `direction = \"pull\"` or `direction = \"30 deg\"`"),
    );
    None
}

fn method(fields: &Fields) -> Option<Method> {
    let category = match fields.get("category") {
        None => Some(None),
        Some(item) => {
            let known = [("A", Category::A), ("B", Category::B), ("C", Category::C)];
            let found = known.iter().find(|(word, _)| item.text() == Some(word));
            if found.is_none() {
                fields.add(
                    Finding::stop("unknown-word", "`category` is `A`, `B` or `C`")
                        .at(item.span, "")
                        .note("of ASME BTH-1: A for predictable loads, B for others, C special")
                        .help("write `category = \"B\"`"),
                );
            }
            found.map(|(_, category)| Some(*category))
        }
    };
    match fields.get("method") {
        None => {
            if let Some(item) = fields.get("category") {
                fields.add(
                    Finding::stop("wrong-kind", "only ASME BTH-1 has categories")
                        .at(item.span, "")
                        .help("add `method = \"ASME BTH-1\"`, or remove `category`"),
                );
                return None;
            }
            Some(Method::Aisc360)
        }
        Some(item) => match item.text() {
            Some("AISC 360") => Some(Method::Aisc360),
            Some("ASME BTH-1") => category.map(|c| Method::Bth1(c.unwrap_or(Category::B))),
            _ => {
                fields.add(
                    Finding::stop("unknown-word", "`method` is `AISC 360` or `ASME BTH-1`")
                        .at(item.span, "")
                        .help("write `method = \"AISC 360\"`"),
                );
                None
            }
        },
    }
}
