//! The loads on a part as bars against what is allowed, always with what these numbers are
//! not.

use crate::num;
use crate::report::LimitRow;
use crate::report::LoadRow;
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
    /// The loads on a part; nothing where none is named.
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
        if let Some(why) = &load.why_not {
            let add = load.what_to_add.as_deref().unwrap_or_default();
            let words = format!("Not judged: {why}; {add}");
            out = out.and(of_class("p", "caution", Html::worded(&words)));
        } else if load.margin.is_some() {
            let words = format!(
                "{} % left: {}",
                percent_left(load.margin.as_ref()),
                load.governed_by.unwrap_or_default()
            );
            let class = if load.holds == Some(true) { "left" } else { "stop" };
            out = out.and(of_class("p", class, words));
        }
        let mut limits: Vec<&LimitRow> = load.limits.iter().collect();
        limits.sort_by(|a, b| a.allowable.kn.total_cmp(&b.allowable.kn));
        let judged = load.judged;
        let rows = limits.iter().enumerate();
        let rows: Html = rows.map(|(i, limit)| self.limit(load, limit, judged && i == 0)).collect();
        let wall = load.tube_wall.as_ref().map(|limit| self.limit(load, limit, false));
        let shapes: Html = load.shapes.iter().map(|shape| self.shape(shape)).collect();
        out = out.and(of_class("ul", "loads", rows.and(wall).and(shapes)));
        let remarks = load.remarks();
        let class = |words: &str| if words.starts_with("Not judged") { "caution" } else { "note" };
        let remark = |words: &String| of_class("p", class(words), Html::worded(words));
        let remarks: Html = remarks.iter().map(remark).collect();
        out = out.and(remarks).and(of_class("p", "note", CAUTION));
        block(&format!("Load: {}", load.case), out)
    }

    fn limit(&self, load: &LoadRow, limit: &LimitRow, governs: bool) -> El {
        let share = load.force.kn / limit.allowable.kn;
        let of = self.of(load.force, limit.allowable);
        let words = format!("{}: {of}", limit.named);
        let item = el("li").at("title", limit.rule);
        let item = if governs { item.at("class", "governs") } else { item };
        let name = el("span").with(num::capital(&limit.named));
        item.with(name).with(of_class("span", "num", of)).with(bars::load(share, governs, &words))
    }

    /// A rule of shape and whether it is kept.
    fn shape(&self, shape: &ShapeRow) -> El {
        let is = self.shop_fine(shape.is_mm);
        let wanted = match (shape.min_mm, shape.max_mm) {
            (Some(min), _) => format!("{is}, at least {}", self.shop_fine(min)),
            (_, Some(max)) => format!("{is}, at most {}", self.shop_fine(max)),
            _ => is,
        };
        let kept = if shape.kept { "" } else { ": not kept" };
        let item = el("li").at("title", shape.rule);
        let item = if shape.kept { item } else { item.at("class", "caution") };
        item.with(el("span").with(num::capital(shape.what))).with(of_class(
            "span",
            "num",
            wanted + kept,
        ))
    }
}
