//! The band at the top, which answers at a glance: can I order, what is it, how tight is it.

use crate::job::CAUTION;
use crate::num;
use crate::num::counted;
use crate::report::Beside;
use crate::report::Force;
use crate::report::NestRow;
use crate::report::Outcome;
use crate::report::PartRow;
use crate::report_page::Page;
use crate::report_page::bars;
use crate::report_page::figures::percent_left;
use crate::report_page::fit;
use crate::report_page::fit::Fit;
use crate::report_page::html::El;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::html::link;
use crate::report_page::html::of_class;
use crate::report_page::state::Checked;
use crate::report_page::state::State;

/// Findings that are named in the band; the rest is counted.
const NAMED: usize = 3;

impl Page<'_> {
    /// The whole band.
    pub(super) fn band(&self) -> Html {
        let cells =
            [self.can_i_order(), self.what_it_takes(), self.tightest_fit(), self.smallest_margin()];
        let band = of_class("div", "band", cells.into_iter().collect::<Html>());
        band.with(of_class("p", "foot", CAUTION)).into()
    }

    fn can_i_order(&self) -> El {
        let totals = &self.report.totals;
        let missing = &self.report.not_placed;
        let state = Checked::of(self.report.findings.iter(), self.report.beside()).state;
        let state = match state {
            State::Stops(..) => state,
            _ if !missing.is_empty() => State::Stops(missing.len(), 0),
            _ => state,
        };
        let mut out = self.found_in_short().and(self.fit_notes()).and(self.limits_not_judged());
        if state == State::Clear {
            out = out.and(el("p").with("Checks: clear."));
        }
        let placed = match totals.pieces {
            0 => "No plate is cut.".to_owned(),
            pieces => format!("{} of {pieces} pieces placed.", totals.placed),
        };
        out = out.and(el("p").with(placed)).and(self.not_made());
        let rows =
            missing.iter().map(|row| el("li").with(format!("{} × {}", row.quantity, row.part)));
        if !missing.is_empty() {
            let rows: Html = rows.collect();
            out = out.and(of_class("p", "caution", "Pieces that could not be placed:"));
            out = out.and(of_class("ul", "plain", rows));
        }
        cell("Ready to order?", of_class("p", "say", state.html(state.answer())), out)
    }

    /// What is stopped; nothing where nothing is.
    fn not_made(&self) -> Option<El> {
        let names = &self.report.stopped;
        let words = format!(
            "Not made, and left off the sheets and out of the order: {}.",
            names.join(", ")
        );
        (!names.is_empty()).then(|| of_class("p", "stop", words))
    }

    /// How many findings there are, and the first of them with their parts.
    fn found_in_short(&self) -> Html {
        let findings = &self.report.findings;
        if findings.is_empty() {
            return Html::default();
        }
        let all = el("p").with(link("#findings", &State::of(findings.iter()).words()));
        let named = findings.iter().take(NAMED).map(|finding| {
            let names = finding.parts.iter().take(NAMED).enumerate().map(|(i, name)| {
                let before = if i == 0 { "" } else { ", " };
                Html::from(before).and(self.part_named(name))
            });
            let more = match finding.parts.len().saturating_sub(NAMED) {
                0 => String::new(),
                more => format!(" and {more} more"),
            };
            let colon = if finding.parts.is_empty() { "" } else { ": " };
            let names = names.collect::<Html>().and(more).and(colon);
            let severity = State::of(std::iter::once(finding)).html(&finding.severity.to_string());
            el("li").with(severity).with(" ").with(names).with(Html::worded(&finding.headline))
        });
        let named = of_class("ul", "plain", named.collect::<Html>());
        let more = findings.len().saturating_sub(NAMED);
        let more = (more > 0).then(|| el("p").with(format!("and {more} more")));
        Html::from(all).and(named).and(more)
    }

    /// The parts with notes on their fit, each with a link to them.
    fn fit_notes(&self) -> Html {
        let noted = self.report.parts.iter().filter(|row| row.beside.fits > 0);
        let line = |row: &PartRow| {
            let words = State::Notes(Beside { limits: 0, ..row.beside }).words();
            let to = link(format_args!("#{}", fit::id(&row.name)), &words);
            el("li").with(part_link(&row.name)).with(": ").with(to)
        };
        let lines: Html = noted.map(line).collect();
        (!lines.is_empty()).then(|| of_class("ul", "plain", lines)).into()
    }

    /// How many limits of loads are not judged, and of which parts; those of links are included.
    fn limits_not_judged(&self) -> Option<El> {
        let words = self.report.beside().limits_words()?;
        let parts = self.report.parts.iter().filter(|row| row.beside.limits > 0);
        let mut of: Vec<El> = parts.map(|row| part_link(&row.name)).collect();
        let links = self.report.strength.iter().flat_map(|strength| &strength.links);
        if links.clone().any(|load| !load.not_judged.is_empty()) {
            of.push(link("#tubes", "links"));
        }
        let more = match of.len().saturating_sub(NAMED) {
            0 => String::new(),
            more => format!(" and {more} more"),
        };
        let named = of.into_iter().take(NAMED).enumerate().map(|(i, link)| {
            let before = if i == 0 { "" } else { ", " };
            Html::from(before).and(link)
        });
        let words = format!("{words}: ");
        Some(of_class("p", "caution", Html::from(words).and(named.collect::<Html>()).and(more)))
    }

    fn what_it_takes(&self) -> El {
        let totals = &self.report.totals;
        let sheets = match totals.sheets {
            0 => "No sheets".to_owned(),
            n => counted(n, "sheet"),
        };
        let used = self.report.nests.iter().filter(|nest| nest.sheets > 0);
        let mut rows: Vec<(String, String)> = used.map(|nest| self.of_kind(nest)).collect();
        if !self.solved.is_empty() {
            let price = self.price_of_all().map(|price| self.money(price));
            let price = price.unwrap_or_else(|| "a rate is missing".to_owned());
            rows.push(("Price of the parts".to_owned(), price));
        }
        if totals.sheets > 0 {
            let cut = format!("{}, {}", self.long(totals.cut_length_mm), totals.pierces);
            rows.push(("Mass of the parts".to_owned(), self.mass(totals.mass_kg, 2)));
            rows.push(("Cut length, pierces".to_owned(), cut));
        }
        let saved = totals.saved_by_common_cuts_mm.map(|saved| self.long(saved));
        rows.extend(saved.map(|saved| ("Saved by common cuts".to_owned(), saved)));
        let row = |(name, value): (String, String)| {
            el("div").with(el("dt").with(name)).with(el("dd").with(value))
        };
        let rows: Html = rows.into_iter().map(row).collect();
        let small = self
            .report
            .price_of_sheets(self.job)
            .map(|words| Html::from(" ").and(el("small").with(words)));
        cell(
            "Sheets and price",
            el("p").at("class", "say").with(sheets).with(small),
            el("dl").with(rows),
        )
    }

    /// The number of sheets of a kind, and their cost.
    fn of_kind(&self, nest: &NestRow) -> (String, String) {
        let of_kind = || self.report.sheets.iter().filter(|sheet| sheet.stock == nest.sheet);
        let remnants = of_kind().filter(|sheet| sheet.remnant_used.is_some()).count();
        let mut words = format!("{}: {}", nest.sheet, nest.sheets);
        if remnants > 0 {
            words += &format!(", of which {}", counted(remnants, "remnant"));
        }
        // A named sheet that has no price is one the shop has; any other lacks its price.
        let prices: Vec<f64> = of_kind().filter_map(|sheet| sheet.cost).collect();
        let without = of_kind().filter(|s| s.cost.is_none() && s.remnant_used.is_none()).count();
        let sum = self.money(prices.iter().sum());
        let price = match (prices.is_empty(), without) {
            (true, _) => "no price".to_owned(),
            (false, 0) => sum,
            (false, n) => format!("{sum} and {n} without price"),
        };
        (words, price)
    }

    fn tightest_fit(&self) -> El {
        let all = self
            .report
            .parts
            .iter()
            .flat_map(|row| fit::fits(row).into_iter().map(|fit| (row.name.as_str(), fit)));
        let tightest = all.min_by(|a: &(&str, Fit), b| a.1.min().total_cmp(&b.1.min()));
        let Some((name, fit)) = tightest else {
            let none = "No part holds a rod end or captures a nut.";
            return cell("Tightest fit", of_class("p", "say", "None"), el("p").with(none));
        };
        let small = el("small").with("in the worst case");
        let min = self.room(fit.min());
        let say = if fit.min() < 0.0 {
            of_class("p", "say", State::Cautions(1).html(&min)).with(" ").with(small)
        } else {
            of_class("p", "say", min).with(" ").with(small)
        };
        let words = format!("{}: {}", fit.what, self.gap_words(&fit));
        let bar = fit.gap.bar(&words);
        let words = el("p").with(part_link(name)).with(format!(": {words}; dashed line: contact."));
        cell("Tightest fit", say, bar.and(words))
    }

    fn smallest_margin(&self) -> El {
        let loads = self.margins();
        let judged = loads
            .iter()
            .filter_map(|load| Some((load, load.outcome.margin_percent?, load.outcome.allowable?)));
        let smallest = judged.min_by(|a, b| a.1.total_cmp(&b.1));
        let unjudged: Html = (loads.iter().filter(|load| !load.outcome.judged))
            .map(|load| {
                let words = format!(": {} is not judged.", load.case);
                of_class("p", "caution", Html::from(load.of.clone()).and(words))
            })
            .collect();
        let Some((load, _, allowable)) = smallest else {
            let none = "Nothing is judged: the job names no load.";
            let words = if loads.is_empty() { Html::from(el("p").with(none)) } else { unjudged };
            return cell("Smallest load margin", of_class("p", "say", "None"), words);
        };
        let margin = format!("{} %", percent_left(load.outcome.margin.as_ref()));
        let say = match load.outcome.holds {
            Some(true) => of_class("p", "say", margin),
            _ => of_class("p", "say", State::Stops(1, 0).html(&margin)),
        };
        let of = self.of(load.force, allowable);
        let governs = load.outcome.governed_by.unwrap_or_default();
        let bar = bars::load(load.force.kn / allowable.kn, true, &format!("{of}: {governs}"));
        let words = el("p").with(load.of.clone()).with(format!(": {of} allowed; {governs}."));
        let limits = self.report.beside().limits_words();
        let limits = limits.map(|words| of_class("p", "caution", num::capital(&words) + "."));
        cell("Smallest load margin", say, bar.and(words).and(unjudged).and(limits))
    }

    /// The margins of every load on a part and along a link.
    fn margins(&self) -> Vec<Margin<'_>> {
        let strength = self.report.strength.iter();
        let on_parts = strength.clone().flat_map(|s| &s.loads).map(|load| Margin {
            of: part_link(&load.part),
            case: &load.case,
            force: load.force,
            outcome: &load.outcome,
        });
        let on_links = strength.flat_map(|s| &s.links).map(|load| Margin {
            of: link("#tubes", &load.link),
            case: &load.case,
            force: load.force,
            outcome: &load.outcome,
        });
        on_parts.chain(on_links).collect()
    }
}

/// The margin of a load.
struct Margin<'a> {
    /// A link to the loaded part or link.
    of: El,
    case: &'a str,
    force: Force,
    outcome: &'a Outcome,
}

fn part_link(name: &str) -> El {
    link(format_args!("#part-{name}"), name)
}

fn cell(question: &str, say: impl Into<Html>, rest: impl Into<Html>) -> El {
    el("div").with(el("h3").with(question)).with(say).with(rest)
}
