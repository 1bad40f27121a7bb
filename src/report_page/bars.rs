//! Bars of values against their limits.

use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::html::of_class;
use crate::report_page::shapes::number;

/// A load against its allowable value, which is the full width; `words` say the same. A larger load
/// fills the bar and continues beyond it.
pub(super) fn load(share: f64, governs: bool, words: &str) -> Html {
    let over = share > 1.0;
    let class = match (governs, over) {
        (_, true) => "bar over",
        (true, false) => "bar first",
        (false, false) => "bar",
    };
    let percent = number(100.0 * share.clamp(0.0, 1.0));
    let fill = el("i").at("style", format_args!("width:{percent}%"));
    el("span").at("class", class).at("role", "img").at("aria-label", words).with(fill).into()
}

/// Clearance between two bodies, mm: the worst case, the likely case, as drawn. Negative values are
/// contact.
pub(super) struct Gap {
    /// Minimum and maximum where every tolerance comes out against it.
    pub(super) worst: [f64; 2],
    /// Minimum and maximum by root sum square, where that is known.
    pub(super) likely: Option<[f64; 2]>,
    /// As drawn.
    pub(super) drawn: f64,
}

/// Free width on either side of the values of a gap bar, as a share of them. Our choice.
const ASIDE: f64 = 0.08;

impl Gap {
    /// The bar: pale the worst case, dark the likely case, a tick as drawn, a dashed line at
    /// contact.
    pub(super) fn bar(&self, words: &str) -> Html {
        let all = [self.worst[0], self.worst[1], self.drawn, 0.0];
        let min = all.into_iter().fold(f64::INFINITY, f64::min);
        let max = all.into_iter().fold(f64::NEG_INFINITY, f64::max);
        let aside = ((max - min) * ASIDE).max(1e-3);
        let (from, width) = (min - aside, max - min + 2.0 * aside);
        let at = |mm: f64| 100.0 * (mm - from) / width;
        let span = |class: &'static str, [from, to]: [f64; 2]| {
            let (left, wide) = (number(at(from)), number(at(to) - at(from)));
            of_class("i", class, "").at("style", format_args!("left:{left}%;width:{wide}%"))
        };
        let tick = |class: &'static str, mm: f64| {
            of_class("i", class, "").at("style", format_args!("left:{}%", number(at(mm))))
        };
        let bar = el("span").at("class", "span").at("role", "img").at("aria-label", words);
        bar.with(span("wc", self.worst))
            .with(self.likely.map(|likely| span("rss", likely)))
            .with(tick("nom", self.drawn))
            .with(tick("lim", 0.0))
            .into()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_load_beyond_what_is_allowed_is_told_by_its_class() {
        assert!(load(0.5, true, "half").text().contains("bar first"));
        let over = load(1.2, true, "more").text();
        assert!(over.contains("bar over") && over.contains("width:100%"), "{over}");
    }

    #[test]
    fn contact_lies_within_the_bar_whatever_the_gap_is() {
        let gap = Gap { worst: [2.0, 3.0], likely: Some([2.3, 2.7]), drawn: 2.5 };
        let bar = gap.bar("2.5 mm").text();
        assert!(bar.contains("class=\"lim\" style=\"left:6.9%\""), "{bar}");
    }
}
