//! The bends of a part in the order in which they are made.

use crate::num;
use crate::report::BendRow;
use crate::report::PartRow;
use crate::report_page::Page;
use crate::report_page::html::El;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::html::of_class;

/// Its number in the order of bending; none without a shop.
fn order(bend: &BendRow) -> Option<usize> {
    let made = bend.made.as_ref().map(|made| made.sequence);
    made.or_else(|| bend.formed.as_ref()?.sequence)
}

/// What stands at the line of a bend: its number, up or down, its angle.
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
    /// The steps of bending; nothing for a part without bends.
    pub(super) fn bend_steps(&self, row: &PartRow) -> Html {
        if row.bends.is_empty() {
            return Html::default();
        }
        let mut bends: Vec<&BendRow> = row.bends.iter().collect();
        bends.sort_by_key(|bend| order(bend));
        let steps: Html = bends.iter().map(|bend| self.step(bend)).collect();
        let known = bends.iter().all(|bend| order(bend).is_some());
        let heading = if known { "Bend steps" } else { "Bends" };
        let list = el(if known { "ol" } else { "ul" }).at("class", "steps").with(steps);
        let order = row
            .bending
            .as_ref()
            .map(|why| of_class("p", "note", Html::from("Order: ").and(Html::worded(why))));
        block(heading, Html::from(list).and(order))
    }

    fn step(&self, bend: &BendRow) -> El {
        let (units, made) = (self.job.units, bend.made.as_ref());
        let degrees = |degrees: f64| format!("{}°", num::text(degrees, 1));
        let head = format!("{} {}", sign(bend), bend.name);
        let mut lines = Vec::new();
        if let Some(made) = made {
            lines.push(format!("Clamp {}, {} up", made.clamp, made.top.word()));
            lines.push(format!(
                "Bend to {} ({} overbend), inside radius {}",
                degrees(made.angle_under_load_deg),
                degrees(made.overbend_deg),
                self.shop(made.formed_radius_mm),
            ));
            lines.push(capital(&made.tool));
            lines.extend(Some(made.sections(units)).filter(|words| !words.is_empty()));
            lines.push(format!("Clearance {}", made.clearance(units)));
        } else {
            let radius = self.shop(bend.inside_radius_mm);
            lines.push(format!(
                "{} {}, inside radius {radius}",
                bend.direction.word(),
                degrees(bend.angle_deg)
            ));
        }
        if let Some(tool) = bend.formed.as_ref().and_then(|formed| formed.tool.clone()) {
            lines.push(capital(&tool));
        }
        let lines: Html =
            lines.into_iter().map(|line| el("span").with(Html::worded(&line))).collect();
        el("li").at("data-h", key(bend)).with(el("b").with(head)).with(lines)
    }
}

/// A block of a card under its heading.
pub(super) fn block(heading: &str, inside: impl Into<Html>) -> Html {
    el("div").at("class", "block").with(el("h4").with(heading)).with(inside).into()
}

/// With a capital first.
pub(super) fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
