//! The loads along links as bars against what is allowed, always with what these numbers are not.

use crate::num;
use crate::report::LinkLimitRow;
use crate::report::LinkLoadRow;
use crate::report_page::Page;
use crate::report_page::bars;
use crate::report_page::bends::block;
use crate::report_page::figures::percent_left;
use crate::report_page::html::El;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::html::link;
use crate::report_page::html::of_class;
use crate::strength::CAUTION;

impl Page<'_> {
    /// The loads along links; nothing where none is named.
    pub(super) fn link_loads(&self) -> Html {
        let loads = self.report.strength.iter().flat_map(|strength| &strength.links);
        let mut out: Html = loads.map(|load| self.link_load(load)).collect();
        let drawn = self.files.iter().filter(|file| file.name.ends_with("-link.pdf"));
        let drawn: Html =
            drawn.map(|file| el("li").with(link(&file.name, "Link drawing, PDF"))).collect();
        if !drawn.is_empty() {
            out = out.and(of_class("ul", "plain", drawn));
        }
        out
    }

    fn link_load(&self, load: &LinkLoadRow) -> Html {
        let acting = format!(
            "Link {}: {}, {}; {}",
            load.link,
            load.acting,
            self.applied(load.force),
            load.method
        );
        let mut out = Html::from(el("p").with(acting));
        if let Some(why) = &load.why_not {
            let add = load.what_to_add.as_deref().unwrap_or_default();
            let words = format!("Not judged: {why}; {add}");
            out = out.and(of_class("p", "caution", Html::worded(&words)));
        } else if load.margin.is_some() {
            let left = percent_left(load.margin.as_ref());
            let words = format!("{left} % left: {}", load.governed_by.unwrap_or_default());
            let class = if load.holds == Some(true) { "left" } else { "stop" };
            out = out.and(of_class("p", class, words));
        }
        let rows = load.weakest().into_iter().enumerate();
        let rows: Html = rows.map(|(i, limit)| self.link_limit(load, limit, i == 0)).collect();
        out = out.and(of_class("ul", "loads", rows));
        let remarks = load.remarks();
        let class = |words: &str| if words.starts_with("Not judged") { "caution" } else { "note" };
        let remark = |words: &String| of_class("p", class(words), Html::worded(words));
        let remarks: Html = remarks.iter().map(remark).collect();
        out = out.and(remarks).and(of_class("p", "note", CAUTION));
        block(&format!("Load: {}", load.case), out)
    }

    fn link_limit(&self, load: &LinkLoadRow, limit: &LinkLimitRow, governs: bool) -> El {
        let share = load.force.kn / limit.allowable.kn;
        let of = self.of(load.force, limit.allowable);
        let words = format!("{}: {of}", limit.what);
        let item = el("li").at("title", limit.rule);
        let item = if governs { item.at("class", "governs") } else { item };
        let name = el("span").with(num::capital(limit.what));
        item.with(name).with(of_class("span", "num", of)).with(bars::load(share, governs, &words))
    }
}
