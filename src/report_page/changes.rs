//! The differences from the last output: a block for each changed part, with the old flat over the
//! new one.

use crate::changes::Changes;
use crate::changes::Overlay;
use crate::changes::PartChange;
use crate::changes::Verdict;
use crate::geom::Bounds;
use crate::geom::Edge;
use crate::report_page::Page;
use crate::report_page::html::El;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::html::link;
use crate::report_page::html::of_class;
use crate::report_page::shapes;

/// Free border of a picture, a share of its longer side.
const BORDER: f64 = 0.04;

impl Page<'_> {
    /// Everything that differs; empty if there is nothing to compare with.
    pub(super) fn changes(&self) -> Html {
        let Some(changes) = &self.report.changes else { return Html::default() };
        let said = format!("Compared with {}: {}.", changes.compared_with, changes.words);
        let shown = changes.parts.iter().filter(|part| !part.is_plain());
        let blocks: Html = shown.map(part).collect();
        let key = "Where flats differ they are overlaid: new filled, old dashed.";
        let has_picture = changes.parts.iter().any(|part| part.overlay.is_some());
        let key = has_picture.then(|| of_class("p", "note", key));
        Html::from(el("p").with(said)).and(key).and(blocks).and(of_job(changes))
    }
}

fn of_job(changes: &Changes) -> Html {
    let line =
        |kind: &str, words: &str| el("li").with(format!("{kind}: ")).with(Html::worded(words));
    let lines: Html = changes.job.iter().map(|change| line(change.kind, &change.words)).collect();
    if lines.is_empty() {
        return lines;
    }
    let list = of_class("ul", "plain", lines);
    of_class("div", "finding", el("h3").with("The job")).with(list).into()
}

fn part(change: &PartChange) -> El {
    let name = match change.verdict {
        Verdict::LeftOut => Html::from(change.part.as_str()),
        _ => link(format_args!("#part-{}", change.part), &change.part).into(),
    };
    let heading = el("h3").with(name).with(format!(": {}{}", change.words, change.issues()));
    let picture: Html =
        change.overlay.as_ref().map(|overlay| picture(&change.part, overlay)).into();
    let lines = change.differences.iter().map(|words| el("li").with(Html::worded(words)));
    let lines: Html = lines.collect();
    let block = of_class("div", "finding", heading).with(picture);
    match lines.is_empty() {
        true => block,
        false => block.with(el("ol").with(lines)),
    }
}

/// The old flat over the new one.
fn picture(name: &str, overlay: &Overlay) -> El {
    let all = overlay.was.iter().chain(&overlay.now).flatten().flatten().map(Edge::bounds);
    let Some(bounds) = all.reduce(Bounds::and) else { return el("div") };
    let free = BORDER * bounds.width().max(bounds.height());
    let bounds = bounds.grown(free);
    let view = [bounds.min.x, -bounds.max.y, bounds.width(), bounds.height()];
    let alt = format!("{name}: new flat, and old flat dashed");
    let svg = el("svg").at("class", "over").at("viewBox", view.map(shapes::number).join(" "));
    let svg = svg.at("role", "img").at("aria-label", alt);
    let drawn = |[cut, bends]: &[Vec<Vec<Edge>>; 2]| {
        let closed: String = cut.iter().map(|edges| shapes::data(edges) + "Z").collect();
        let lines: String = bends.iter().map(|edges| shapes::data(edges)).collect();
        (closed, lines)
    };
    let (now, now_bends) = drawn(&overlay.now);
    let (was, was_bends) = drawn(&overlay.was);
    let svg = svg.with(shapes::path(&now).at("class", "met"));
    let svg = svg.with(shapes::path(&now_bends).at("class", "bend"));
    svg.with(shapes::path(&(was + &was_bends)).at("class", "was"))
}
