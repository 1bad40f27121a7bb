//! The measurements of parts already made, and their results.

use crate::report_page::Page;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::html::of_class;

impl Page<'_> {
    /// Measurements, causes, fits, other parts, rows for the shop file; empty for a job without
    /// any.
    pub(super) fn as_built(&self) -> Html {
        let Some(found) = &self.report.as_built else { return Html::default() };
        let mut measures = Vec::new();
        for of in &found.measures {
            measures.push(of.words.clone());
            measures.extend(of.instead_words.clone());
        }
        let words = |heading: &'static str, lines: Vec<String>| -> Html {
            if lines.is_empty() {
                return Html::default();
            }
            let items: Html = lines.into_iter().map(|line| el("li").with(line)).collect();
            Html::from(el("h3").with(heading)).and(el("ul").at("class", "plain").with(items))
        };
        let of = |lines: &mut dyn Iterator<Item = &String>| lines.cloned().collect::<Vec<_>>();
        let causes = of(&mut found.causes.iter().map(|of| &of.words));
        let fits = of(&mut found.fits.iter().map(|of| &of.words));
        let others = of(&mut found.other_parts.iter().map(|of| &of.words));
        let hint = "Nominal dimensions stay as drawn; fits are judged by the size as built. \
                    Limits are 95 % limits.";
        let rows: Html = found
            .shop_rows
            .iter()
            .map(|row| {
                let head = el("p").with(row.words.as_str());
                let rows = el("pre").with(row.toml.as_str());
                of_class("div", "shop-row", head)
                    .with(rows)
                    .with(el("p").with(row.once_used.as_str()))
            })
            .collect();
        let heading = (!found.shop_rows.is_empty()).then(|| el("h3").with("For the shop file"));
        Html::from(of_class("p", "note", hint))
            .and(words("Measured", measures))
            .and(words("Left out, as none of these parts are made", found.left_out.clone()))
            .and(words("Causes", causes))
            .and(words("Fits, as built", fits))
            .and(words("Other parts affected by the same causes", others))
            .and(heading)
            .and(rows)
    }
}
