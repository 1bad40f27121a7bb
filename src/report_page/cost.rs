//! Time and price of each part.

use crate::bill;
use crate::report_page::Page;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::html::of_class;
use crate::report_page::table::Table;
use crate::solve;

impl Page<'_> {
    /// The price of a piece; `None` if a rate is missing.
    pub(super) fn price_each(&self, part: usize) -> Option<f64> {
        self.job.rates()?;
        bill::price(self.job, &self.solved[part]).each()
    }

    /// The price of all pieces of a part; `None` if a rate is missing.
    pub(super) fn price_of(&self, part: usize) -> Option<f64> {
        let pieces = solve::pieces(self.job, &self.solved[part]);
        self.price_each(part).map(|each| each * f64::from(pieces))
    }

    /// The price of everything; `None` if a rate is missing.
    pub(super) fn price_of_all(&self) -> Option<f64> {
        self.job.rates()?;
        (0..self.solved.len()).map(|part| self.price_of(part)).sum()
    }

    /// Minutes and prices of all parts.
    pub(super) fn cost(&self) -> Html {
        let Some(rates) = self.job.rates() else {
            return el("p").with("No prices: there is no shop file with rates.").into();
        };
        let currency = &rates.currency;
        let mut table = Table::new(
            "cost-table",
            &format!(
                "Minutes and price per piece and in total, in {currency}; empty where there is no rate"
            ),
            &["Part", "Pieces", "Cutting, min", "Labour, min", "Material", "Each", "Total"],
        );
        let text = |x: Option<f64>| x.map_or_else(String::new, |x| format!("{x:.2}"));
        let mut minutes = [Some(0.0); 2];
        for (part, solved) in self.solved.iter().enumerate() {
            let price = bill::price(self.job, solved);
            let pieces = solve::pieces(self.job, solved);
            let each = [price.cutting_minutes, price.hand_minutes];
            for (sum, each) in minutes.iter_mut().zip(each) {
                *sum = sum.zip(each).map(|(sum, each)| sum + each * f64::from(pieces));
            }
            table.row([
                solved.name.clone(),
                pieces.to_string(),
                text(price.cutting_minutes),
                text(price.hand_minutes),
                text(price.metal),
                text(price.each()),
                text(self.price_of(part)),
            ]);
        }
        let none = String::new;
        let [cutting, labour] = minutes.map(text);
        let all = text(self.price_of_all());
        table.row(["All pieces".into(), none(), cutting, labour, none(), none(), all]);
        let note = "Material is that of the blanks; remnants, setup and carriage are not included.";
        table.html().and(of_class("p", "note", note))
    }
}
