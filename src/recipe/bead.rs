//! Beads of a face, as a recipe gives them: grooves formed into the sheet to stiffen it.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::recipe::each::Each;
use crate::recipe::expr::Expr;
use crate::recipe::measures::Measures;
use crate::recipe::measures::point;
use crate::recipe::measures::word;
use crate::recipe::recess;
use crate::recipe::recess::Side;

/// The section of a bead.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum BeadSection {
    /// An arc.
    #[default]
    Round,
    /// Two straight flanks.
    V,
}

impl BeadSection {
    /// As drawings say it.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Round => "round",
            Self::V => "V",
        }
    }
}

/// A bead along straight lines from point to point.
#[derive(Clone, Debug)]
pub struct Bead {
    /// Its name.
    pub name: String,
    /// The points of its centre line.
    pub line: Vec<[Expr; 2]>,
    /// Across, where it leaves the sheet.
    pub width: Expr,
    /// Its height above the sheet.
    pub depth: Expr,
    /// Its section.
    pub section: BeadSection,
    /// The side on which it projects.
    pub side: Side,
    /// Only when this is true.
    pub when: Option<Expr>,
    /// Once for each value of lists.
    pub each: Option<Each>,
    /// The entry.
    pub span: Span,
}

impl Bead {
    /// The formulas it depends on.
    pub(crate) fn measures(&self) -> impl Iterator<Item = &Expr> {
        let lists = self.each.iter().flat_map(|each| &each.lists).map(|(_, list)| list);
        self.line.iter().flatten().chain([&self.width, &self.depth]).chain(lists)
    }
}

pub(super) fn read(item: &Item, findings: &Findings) -> Option<Bead> {
    let measures = Measures(Fields::of(item, findings)?);
    let name = measures.0.needed_label("name", "\"stiffener\"").map(str::to_owned);
    let line = line(&measures);
    let (width, depth) = (measures.need("width"), measures.need("depth"));
    let sections = [("round", BeadSection::Round), ("v", BeadSection::V)];
    let section = word(&measures.0, "section", &sections).unwrap_or_default();
    let side = recess::side(&measures.0);
    let (when, each) = (measures.may("when"), Each::read(&measures));
    measures.0.finish();
    Some(Bead {
        name: name?,
        line: line?,
        width: width?,
        depth: depth?,
        section,
        side,
        when,
        each: each?,
        span: item.span,
    })
}

fn line(measures: &Measures) -> Option<Vec<[Expr; 2]>> {
    let example = "[[\"0\", \"0\"], [\"80 mm\", \"0\"]]";
    let item = measures.0.need("line", example)?;
    let items = measures.0.list("line");
    if items.len() < 2 {
        let finding = Finding::stop("wrong-kind", "a bead runs through two points or more");
        measures.0.add(finding.at(item.span, "").help(format!("write `line = {example}`")));
        return None;
    }
    items.iter().map(|item| point(item, measures.0.findings())).collect()
}
