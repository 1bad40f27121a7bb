//! The findings by part, each part with a picture in which the features they are about are
//! ringed and numbered.

use crate::diag;
use crate::diag::About;
use crate::diag::Feature;
use crate::report::FindingRow;
use crate::report_page::Page;
use crate::report_page::bends::block;
use crate::report_page::html::El;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::html::link;
use crate::report_page::html::of_class;
use crate::report_page::state::State;
use crate::solve::Solved;

/// A finding with its number among those about a part, from 0: that of its ring in the flat.
pub(super) type Numbered<'f> = (usize, &'f FindingRow);

impl Page<'_> {
    /// Links to the findings about a part, including those listed with another part.
    pub(super) fn found_here(&self, name: &str) -> Html {
        let found = self.findings_of(name);
        if found.is_empty() {
            return Html::default();
        }
        let item = |(i, finding): &Numbered| {
            let with = finding.parts.first().map_or(name, String::as_str);
            let there = self.findings_of(with);
            let at = there.iter().find(|(_, other)| std::ptr::eq(*other, *finding));
            let at = at.map_or(*i, |(at, _)| *at);
            let to = link(format_args!("#{}", super::finding_id(with, at)), &label(*i));
            let shared = match with == name {
                true => String::new(),
                false => format!(" (with {with}, {})", label(at)),
            };
            let words = Html::from(format!("{shared} {}: ", finding.severity));
            el("li").with(to).with(words.and(Html::worded(&finding.headline)))
        };
        let items: Html = found.iter().map(item).collect();
        block("Findings", of_class("ul", "plain", items))
    }

    /// The name of a part, which leads to its card where it has one.
    pub(super) fn part_named(&self, name: &str) -> Html {
        match self.solved.iter().any(|solved| solved.name == name) {
            true => link(format_args!("#part-{name}"), name).into(),
            false => name.into(),
        }
    }

    /// All findings about a part, each with its number there, from 0.
    pub(super) fn findings_of(&self, name: &str) -> Vec<Numbered<'_>> {
        let is = |finding: &&FindingRow| finding.parts.iter().any(|part| part == name);
        self.report.findings.iter().filter(is).enumerate().collect()
    }

    /// All findings; empty if the checks are clear.
    pub(super) fn findings(&self) -> Html {
        let is_part = |name: &String| self.solved.iter().any(|solved| solved.name == *name);
        let of_job = self.report.findings.iter();
        let of_job: Vec<_> = of_job.filter(|f| !f.parts.first().is_some_and(is_part)).collect();
        let parts = (0..self.solved.len()).map(|part| {
            let name = &self.solved[part].name;
            // Findings about several parts are listed with the first.
            let mut list = self.findings_of(name);
            list.retain(|(_, finding)| finding.parts.first() == Some(name));
            self.group(Ok(part), &list)
        });
        // A part that is not made has no card: its findings are under its name all the same.
        let mut names: Vec<Option<&String>> = Vec::new();
        for finding in &of_job {
            if !names.contains(&finding.parts.first()) {
                names.push(finding.parts.first());
            }
        }
        let unmade = names.into_iter().map(|name| {
            let all: Vec<Numbered> = match name {
                Some(name) => self.findings_of(name),
                None => {
                    let own = of_job.iter().filter(|finding| finding.parts.is_empty());
                    own.copied().enumerate().collect()
                }
            };
            let own = all.into_iter().filter(|(_, finding)| finding.parts.first() == name);
            self.group(Err(name.map_or("The job", String::as_str)), &own.collect::<Vec<_>>())
        });
        let unmade: Html = unmade.collect();
        unmade.and(parts.collect::<Html>())
    }

    /// The findings of one part, or of an item without a card, by its name.
    fn group(&self, of: Result<usize, &str>, list: &[Numbered]) -> Html {
        if list.is_empty() {
            return Html::default();
        }
        let part = of.ok();
        let heading = match of.map(|part| self.solved[part].name.as_str()) {
            Ok(name) => el("h3").with(link(format_args!("#part-{name}"), name)),
            Err(name) => el("h3").with(name),
        };
        let picture = part.map(|part| self.flat(part, list));
        let name = of.map_or_else(|name| name, |part| self.solved[part].name.as_str());
        let id = list.first().and_then(|(_, found)| found.parts.first());
        let id = id.map_or("", String::as_str);
        let items = list.iter().map(|(i, found)| item(self, (name, id), found, *i));
        let items: Html = items.collect();
        let group = of_class("div", "finding", heading).with(picture.unwrap_or_default());
        group.with(el("ol").with(items)).into()
    }
}

/// What marks a finding of a part by its number there, from 0.
pub(super) fn label(index: usize) -> String {
    format!("F{}", index + 1)
}

/// A finding on a page under the name of what it is about; `id` is the name of its part, if any.
fn item(page: &Page, (name, id): (&str, &str), finding: &FindingRow, index: usize) -> El {
    let severity = State::of(std::iter::once(finding));
    let head = Html::from(of_class("b", "number", label(index)))
        .and(severity.html(&finding.severity.to_string()))
        .and(el("strong").with(Html::worded(&finding.headline)));
    let mut item = el("li").at("id", super::finding_id(id, index)).with(el("p").with(head));
    let others: Vec<&String> = finding.parts.iter().filter(|other| *other != name).collect();
    if !others.is_empty() {
        let links = others.iter().map(|other| Html::from(" ").and(page.part_named(other)));
        item = item.with(el("p").with("Also in").with(links.collect::<Html>()));
    }
    for note in finding.notes.iter().chain(&diag::repeated(finding.repeats)) {
        item = item.with(el("p").with(Html::worded(note)));
    }
    if let Some(help) = &finding.help {
        item = item.with(el("p").with(Html::from("Fix: ").and(Html::worded(help))));
    }
    let place = finding.place.as_deref().unwrap_or_default();
    let explain = el("code").with(format!("platewright explain {}", finding.code));
    item.with(of_class("p", "note", place).with(" ").with(explain))
}

/// The features of a part in a finding; empty if it does not concern the part.
pub(super) fn features<'f>(part: &Solved, finding: &'f FindingRow) -> Option<&'f [Feature]> {
    finding.about.iter().find_map(|about| match about {
        About::Part { name, features } if *name == part.name => Some(features.as_slice()),
        _ => None,
    })
}
