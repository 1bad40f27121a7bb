//! The loads along links as bars against their allowable values, always with the caution.

use crate::report::LinkLoadRow;
use crate::report_page::Page;
use crate::report_page::bends::block;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::html::link;
use crate::report_page::html::of_class;
use crate::report_page::loads::outcome;
use crate::report_page::loads::remarks;

impl Page<'_> {
    /// The loads along links; empty if there are none.
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
        out = out.and(outcome(&load.outcome));
        let limits = load.weakest().into_iter().enumerate();
        let limits: Html = limits
            .map(|(i, limit)| {
                let of = (limit.what, limit.rule, limit.allowable);
                self.bar(load.force, of, load.outcome.judged && i == 0)
            })
            .collect();
        let shapes: Html = load.shapes.iter().map(|shape| self.shape(shape)).collect();
        out = out.and(of_class("ul", "loads", limits.and(shapes)));
        block(&format!("Load: {}", load.case), out.and(remarks(&load.remarks())))
    }
}
