//! The loads on a part as bars against their allowable values, always with the caution.

use crate::num;
use crate::report::Force;
use crate::report::LimitRow;
use crate::report::LoadRow;
use crate::report::Outcome;
use crate::report::PartRow;
use crate::report::ShapeRow;
use crate::report_page::Page;
use crate::report_page::bars;
use crate::report_page::bends::block;
use crate::report_page::figures::percent_left;
use crate::report_page::html::El;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::html::of_class;
use crate::strength::CAUTION;

impl Page<'_> {
    /// The loads on a part; empty if there are none.
    pub(super) fn loads(&self, row: &PartRow) -> Html {
        let loads = self.report.strength.iter().flat_map(|strength| &strength.loads);
        loads.filter(|load| load.part == row.name).map(|load| self.load(load)).collect()
    }

    fn load(&self, load: &LoadRow) -> Html {
        let acting = format!(
            "{}, {}, held by {}; {}",
            num::capital(&load.acting),
            self.applied(load.force),
            load.held_by,
            load.method
        );
        let mut out = Html::from(el("p").with(Html::worded(&acting)));
        out = out.and(outcome(&load.outcome));
        // The wall of the tube is no limit of the part: its bar is in its place, but never governs.
        let limits = load.limits.iter().map(|limit| (limit, load.outcome.judged));
        let wall = load.tube_wall.iter().map(|limit| (limit, false));
        let mut limits: Vec<(&LimitRow, bool)> = limits.chain(wall).collect();
        limits.sort_by(|a, b| a.0.allowable.kn.total_cmp(&b.0.allowable.kn));
        let first = limits.iter().position(|(_, may_govern)| *may_govern);
        let rows = limits.iter().enumerate();
        let rows: Html =
            rows.map(|(i, (limit, _))| self.limit(load, limit, Some(i) == first)).collect();
        let shapes: Html = load.shapes.iter().map(|shape| self.shape(shape)).collect();
        out = out.and(of_class("ul", "loads", rows.and(shapes)));
        block(&format!("Load: {}", load.case), out.and(remarks(&load.remarks())))
    }

    fn limit(&self, load: &LoadRow, limit: &LimitRow, governs: bool) -> El {
        self.bar(load.force, (&limit.named, limit.rule, limit.allowable), governs)
    }

    /// A load against the limit of one failure mode, by its name and rule.
    pub(super) fn bar(
        &self,
        force: Force,
        (name, rule, allowable): (&str, &str, Force),
        governs: bool,
    ) -> El {
        let of = self.of(force, allowable);
        let words = format!("{name}: {of}");
        let item = el("li").at("title", rule);
        let item = if governs { item.at("class", "governs") } else { item };
        let bar = bars::load(force.kn / allowable.kn, governs, &words);
        item.with(el("span").with(num::capital(name))).with(of_class("span", "num", of)).with(bar)
    }

    /// A rule of shape and whether it is kept.
    pub(super) fn shape(&self, shape: &ShapeRow) -> El {
        let is = self.shop_fine(shape.is_mm);
        let wanted = match (shape.min_mm, shape.max_mm) {
            (Some(min), _) => format!("{is}, at least {}", self.shop_fine(min)),
            (_, Some(max)) => format!("{is}, at most {}", self.shop_fine(max)),
            _ => is,
        };
        let kept = if shape.kept { "" } else { ": not met" };
        let item = el("li").at("title", shape.rule);
        let item = if shape.kept { item } else { item.at("class", "caution") };
        item.with(el("span").with(num::capital(shape.what))).with(of_class(
            "span",
            "num",
            wanted + kept,
        ))
    }
}

/// The margin of a load and what governs, or why it is not judged.
pub(super) fn outcome(of: &Outcome) -> Option<El> {
    if let Some(why) = &of.why_not {
        let add = of.what_to_add.as_deref().unwrap_or_default();
        let words = format!("Not judged: {why}; {add}");
        return Some(of_class("p", "caution", Html::worded(&words)));
    }
    let left = percent_left(Some(of.margin.as_ref()?));
    let words = format!("margin {left} %: {}", of.governed_by.unwrap_or_default());
    Some(of_class("p", if of.holds == Some(true) { "left" } else { "stop" }, words))
}

/// What was assumed and what was not judged, always with the caution.
pub(super) fn remarks(all: &[String]) -> Html {
    let class = |words: &str| if words.starts_with("Not judged") { "caution" } else { "note" };
    let remark = |words: &String| of_class("p", class(words), Html::worded(words));
    let remarks: Html = all.iter().map(remark).collect();
    remarks.and(of_class("p", "note", CAUTION))
}
