//! The bends of a part in the order in which they are made.

use crate::drawings;
use crate::drawings::Step;
use crate::num;
use crate::report::BendRow;
use crate::report_page::Page;
use crate::report_page::html::El;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::html::of_class;

/// Its number in the bend sequence; `None` if that is not known.
fn order(bend: &BendRow) -> Option<usize> {
    bend.step.as_ref().map(|step| step.sequence)
}

/// The label at the line of a bend: its number, up or down, its angle.
pub(super) fn sign(bend: &BendRow) -> String {
    let number = order(bend).map_or_else(String::new, |number| number.to_string());
    let way = if bend.direction.word() == "up" { '▲' } else { '▼' };
    format!("{number}{way} {}°", num::text(bend.angle_deg, 1))
}

/// By which a step and its line light each other.
pub(super) fn key(bend: &BendRow) -> String {
    format!("bend {}", bend.name)
}

impl Page<'_> {
    /// The steps of bending in the words of the bend strip; nothing for a part without bends.
    pub(super) fn bend_steps(&self, part: usize) -> Html {
        let row = &self.report.parts[part];
        if row.bends.is_empty() {
            return Html::default();
        }
        let (first, steps) = drawings::steps(self.job, &self.solved[part]);
        let listed = steps.iter().map(|step| self.step(&row.bends[step.bend], step));
        let list = el("ol").at("class", "steps").with(listed.collect::<Html>());
        let rest = row.bends.iter().filter(|bend| order(bend).is_none());
        let rest: Html = rest.map(|bend| self.unordered(bend)).collect();
        let rest = (!rest.is_empty()).then(|| el("ul").at("class", "steps").with(rest));
        let list = (!steps.is_empty()).then_some(list);
        let heading = if rest.is_none() { "Bend steps" } else { "Bends" };
        let first = first.iter().map(|line| of_class("p", "note", heavy(line)));
        block(heading, first.collect::<Html>().and(list).and(rest))
    }

    fn step(&self, bend: &BendRow, step: &Step) -> El {
        let head = format!("{} {}", sign(bend), bend.name);
        let [to, angle, range] = &step.bend_to;
        let range = if range.is_empty() { String::new() } else { format!(" ({range})") };
        let to = (!angle.is_empty()).then(|| {
            let to = Html::from(format!("{} ", num::capital(to))).and(el("b").with(angle.as_str()));
            el("span").with(to.and(range))
        });
        let lines = step.lines.iter().map(|line| el("span").with(heavy(line)));
        let item = el("li").at("data-h", key(bend)).with(el("b").with(head)).with(to);
        item.with(lines.collect::<Html>())
    }

    /// A bend without a place in the order.
    fn unordered(&self, bend: &BendRow) -> El {
        let angle = num::text(bend.angle_deg, 1);
        let radius = self.shop(bend.inside_radius_mm);
        let words = format!("{} {angle}°, inside radius {radius}", bend.direction.word());
        let item = el("li").at("data-h", key(bend));
        item.with(el("b").with(format!("{} {}", sign(bend), bend.name)))
            .with(el("span").with(words))
    }
}

/// Text of the strip: between asterisks it is bold; a `#` that makes it large on paper is left out.
fn heavy(words: &str) -> Html {
    let runs = words.split('*').enumerate();
    let run = |(i, run): (usize, &str)| match i % 2 {
        0 => Html::worded(run),
        _ => el("b").with(Html::worded(run.strip_prefix('#').unwrap_or(run))).into(),
    };
    runs.map(run).collect()
}

/// A block of a card under its heading.
pub(super) fn block(heading: &str, inside: impl Into<Html>) -> Html {
    el("div").at("class", "block").with(el("h4").with(heading)).with(inside).into()
}
