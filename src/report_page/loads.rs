//! The loads on a part as bars against what is allowed, always with what these numbers are
//! not.

use crate::num;
use crate::quantity::Units;
use crate::report;
use crate::report::Force;
use crate::report::LimitRow;
use crate::report::LoadRow;
use crate::report::PartRow;
use crate::report::ShapeRow;
use crate::report_page::Page;
use crate::report_page::bars;
use crate::report_page::bends::block;
use crate::report_page::bends::capital;
use crate::report_page::html::El;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::html::of_class;
use crate::strength::CAUTION;

/// A hair less than a rounding step, so that a number that is exact stays what it is.
const EXACT: f64 = 1e-9;

/// Hundredths of a load that are left, as the page shows them.
pub(super) fn percent_left(percent: f64) -> String {
    report::percent_left(percent).replace('-', "−")
}

/// A force to three figures, rounded down: more is known of no strength.
fn three_figures(force: f64) -> String {
    let mut unit = 1.0;
    while force.abs() >= 1000.0 * unit {
        unit *= 10.0;
    }
    while unit > 1e-3 && force.abs() < 100.0 * unit {
        unit /= 10.0;
    }
    num::text((force / unit + EXACT).floor() * unit, 3)
}

impl Page<'_> {
    /// The loads on a part; nothing where none is named.
    pub(super) fn loads(&self, row: &PartRow) -> Html {
        let loads = self.report.strength.iter().flat_map(|strength| &strength.loads);
        loads.filter(|load| load.part == row.name).map(|load| self.load(load)).collect()
    }

    fn load(&self, load: &LoadRow) -> Html {
        let acting = format!(
            "{} at {}, direction {}, held by {}; {}",
            self.applied(load.force),
            load.at,
            load.direction,
            load.held_by,
            load.method
        );
        let mut out = Html::from(el("p").with(Html::worded(&acting)));
        if let Some(why) = &load.why_not {
            let add = load.what_to_add.as_deref().unwrap_or_default();
            let words = format!("Not judged: {why}; {add}");
            out = out.and(of_class("p", "caution", Html::worded(&words)));
        } else if let Some(margin) = load.margin_percent {
            let words = format!(
                "{} % left: {}",
                percent_left(margin),
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
        let words = format!("{}: {of}", limit.what);
        let item = el("li").at("title", limit.rule);
        let item = if governs { item.at("class", "governs") } else { item };
        let name = el("span").with(capital(limit.what));
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
        item.with(el("span").with(capital(shape.what))).with(of_class("span", "num", wanted + kept))
    }

    /// A load, `14 kN`.
    pub(super) fn applied(&self, force: Force) -> String {
        match self.job.units {
            Units::Millimetre => format!("{} kN", num::text(force.kn, 3)),
            Units::Inch => format!("{} lbf", num::text(force.lbf, 1)),
        }
    }

    /// A load and what is allowed, the latter rounded down: `14 of 15.2 kN`.
    pub(super) fn of(&self, load: Force, allowed: Force) -> String {
        match self.job.units {
            Units::Millimetre => {
                format!("{} of {} kN", num::text(load.kn, 3), three_figures(allowed.kn))
            }
            Units::Inch => {
                format!("{} of {} lbf", num::text(load.lbf, 1), three_figures(allowed.lbf))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_left_is_rounded_down_on_either_side_of_nothing() {
        let left = [8.77, 0.2, -0.2, 12.0].map(percent_left);
        assert_eq!(left, ["8", "0", "−1", "12"]);
    }

    #[test]
    fn what_is_allowed_is_never_rounded_up() {
        let allowed = [0.6269, 15.229, 13.02, 1207.9, 100.0, 0.00426].map(three_figures);
        assert_eq!(allowed, ["0.626", "15.2", "13", "1200", "100", "0.004"]);
    }
}
