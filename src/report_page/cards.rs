//! A card for each part with everything about it.

use crate::drawings;
use crate::num::counted;
use crate::report::PartRow;
use crate::report::WeldRow;
use crate::report_page::Page;
use crate::report_page::bends::block;
use crate::report_page::html::El;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::html::link;
use crate::report_page::html::of_class;
use crate::solve;
use std::collections::BTreeMap;

/// Files of a part: the folder, the ending, and the text of the link.
const FILES: [(&str, &str, &str); 6] = [
    ("drawings/", ".pdf", "Drawing, PDF"),
    ("templates/", ".pdf", "Template 1:1, PDF"),
    ("flats/", ".dxf", "Flat, DXF"),
    ("flats/", ".svg", "Flat, SVG"),
    ("folded/", ".step", "Solid, STEP"),
    ("drawings/", ".svg", "Drawing, SVG"),
];

/// The text of the link to the drawing of a set.
const SET: &str = "Assembly drawing, PDF";

impl Page<'_> {
    /// All cards.
    pub(super) fn cards(&self) -> Html {
        of_class("div", "cards", (0..self.solved.len()).map(|i| self.card(i)).collect::<Html>())
            .into()
    }

    fn card(&self, part: usize) -> El {
        let (solved, row) = (&self.solved[part], &self.report.parts[part]);
        let name = solved.name.as_str();
        let found = self.findings_of(name);
        let checked = self.checked(part);
        let id = format!("part-{name}");
        let head = el("header")
            .with(el("h3").at("id", format_args!("{id}-name")).with(name))
            .with(checked.html(&checked.words()))
            .with(of_class("p", "facts", self.facts_line(part)))
            .with(self.part_files(part));
        let formed = format!("{name} formed");
        let formed = self.picture(&format!("folded/{name}.svg"), &formed);
        let views = of_class("div", "views", self.flat(part, &found)).with(formed);
        let info: Html = [
            self.found_here(name),
            self.bend_steps(part),
            self.fit(row),
            self.joints_of(name),
            self.tube_end_of(name),
            self.loads(row),
            self.holes(part),
            self.welds(row),
            self.formed(row),
            self.own_hardware(part),
            self.chosen(row),
            self.results(part),
            self.inputs(part),
        ]
        .into_iter()
        .collect();
        let body = of_class("div", "body", views).with(of_class("div", "info", info));
        // An anchor that a click on a piece or a row leads to, by keyboard as well.
        let card = el("article").at("class", "card").at("id", &id).at("tabindex", -1);
        card.at("aria-labelledby", format_args!("{id}-name")).with(head).with(body)
    }

    /// Pieces, metal, blank, mass, price, sheets.
    fn facts_line(&self, part: usize) -> String {
        let (solved, row) = (&self.solved[part], &self.report.parts[part]);
        let sheet = &self.job.sheets[solved.sheet];
        let mut facts = vec![
            counted(row.pieces as usize, "piece"),
            format!("issue {}", solved.issue.words(self.job)),
            match sheet.name.contains(&row.material) {
                true => sheet.name.clone(),
                false => {
                    let thick = drawings::thickness_text(self.job, sheet);
                    format!("{}: {} {thick}", sheet.name, row.material)
                }
            },
            format!("blank {}", self.both(row.size_mm)),
            format!("{} each", self.mass(row.mass_kg, 3)),
        ];
        if let Some(each) = self.price_each(part) {
            facts.push(format!("{} each", self.money(each)));
        }
        let on = self.report.sheets.iter().filter_map(|sheet| {
            let count = sheet.placed.iter().filter(|piece| piece.part == row.name).count();
            (count > 0).then(|| format!("{count} on {}", super::sheet_name(sheet)))
        });
        facts.extend(on);
        facts.push(format!("recipe {}", row.recipe));
        facts.join(" · ")
    }

    /// The welded edges, each with the length of its metal.
    fn welds(&self, row: &PartRow) -> Html {
        let weld = |weld: &WeldRow| {
            let sides = match (weld.all_round, weld.sides) {
                (true, _) => "all round",
                (_, 1) if weld.note.is_empty() => "one side, which one is not given",
                (_, 1) => "one side",
                _ => "both sides",
            };
            let leg = weld.leg_mm.map_or_else(
                || "leg not given".to_owned(),
                |leg| format!("leg {}", self.shop(leg)),
            );
            let sides = match weld.note.as_str() {
                "" => sides.to_owned(),
                note if note.contains(sides) => note.to_owned(),
                note => format!("{sides}; {note}"),
            };
            let alone = row.welds.iter().all(|other| other.face == weld.face);
            let edge = match alone {
                true => weld.edge.clone(),
                false => format!("{} of {}", weld.edge, weld.face),
            };
            let length = self.shop(weld.length_mm);
            el("li").with(format!("{edge}: {length}, {leg}, {sides}"))
        };
        lines("Welds", row.welds.iter().map(weld))
    }

    /// Bevels and beads, and the gaps at corners.
    fn formed(&self, row: &PartRow) -> Html {
        let bevels = row.bevels.iter().map(|bevel| {
            let (length, depth) = (self.shop(bevel.length_mm), self.shop(bevel.depth_mm));
            el("li").with(format!("bevel {}: {length}, {depth} deep, {}", bevel.edge, bevel.sides))
        });
        let beads = row.beads.iter().map(|bead| {
            let (width, depth) = (self.shop(bead.width_mm), self.shop(bead.depth_mm));
            el("li").with(format!("bead {}: {width} wide, {depth} deep, {}", bead.name, bead.side))
        });
        let corners = row.corners.iter().map(|corner| {
            el("li").with(format!("gap at the corner of {}", corner.words(self.job.units)))
        });
        lines("Bevels, beads, corners", bevels.chain(beads).chain(corners))
    }

    /// What the recipe works out, as it is measured.
    fn results(&self, part: usize) -> Html {
        let facts = self.solved[part].part.facts.iter();
        let facts = facts.map(|fact| (fact.name.clone(), fact.value.measured(self.job.units)));
        let facts: BTreeMap<String, String> = facts.collect();
        list("Results of the recipe", facts.iter())
    }

    /// The choice of open inputs, and why nothing lighter.
    fn chosen(&self, row: &PartRow) -> Html {
        let Some(open) = &row.open else { return Html::default() };
        let words = |values: &BTreeMap<String, String>| {
            let words: Vec<String> = values.iter().map(|(k, v)| format!("{k} = {v}")).collect();
            words.join(", ")
        };
        let mut out = Html::from(el("p").with(format!(
            "{}, of {}",
            words(&open.chosen),
            counted(open.choices, "choice")
        )));
        if let Some((lighter, why)) = open.next_lighter.as_ref().zip(open.failed_on.as_ref()) {
            let words = format!("Next lighter, {}: {why}", words(lighter));
            out = out.and(of_class("p", "note", Html::worded(&words)));
        }
        block("Chosen for open inputs", out)
    }

    /// The inputs that the job gives; behind them whatever else the recipe works with.
    fn inputs(&self, part: usize) -> Html {
        let line = &self.job.lines[self.solved[part].line];
        let given: Vec<&str> =
            line.given.iter().chain(&line.open).map(|(name, _)| name.as_str()).collect();
        let values = self.report.parts[part].values.iter();
        let (given, rest): (Vec<_>, Vec<_>) =
            values.partition(|(n, _)| given.contains(&n.as_str()));
        let words = format!("{} more, default or calculated", rest.len());
        let more = el("details").with(el("summary").with(words)).with(pairs(rest.into_iter()));
        list("Inputs given", given.into_iter()).and(of_class("div", "block", more))
    }

    /// Links to the files of a part, and to the drawing of its set.
    fn part_files(&self, part: usize) -> Html {
        let row = &self.report.parts[part];
        let solid = row.solid.iter().map(|solid| &solid.file);
        let names: Vec<&String> = row.files.iter().chain(solid).collect();
        let of = |(folder, ending, words): &(&str, &str, &str)| {
            let is = |name: &&&String| name.starts_with(folder) && name.ends_with(ending);
            names.iter().find(is).map(|name| link(name, words))
        };
        let set = solve::assembly_name(self.job, &self.solved[part]);
        let set = format!("drawings/{set}.pdf");
        let set = self.files.iter().any(|file| file.name == set).then(|| link(&set, SET));
        let links: Html = FILES.iter().filter_map(of).chain(set).collect();
        let label = format!("Files of {}", row.name);
        el("nav").at("class", "files").at("aria-label", label).with(links).into()
    }
}

/// Lines under a heading; empty if there are none.
fn lines(heading: &str, items: impl Iterator<Item = El>) -> Html {
    let items: Html = items.collect();
    if items.is_empty() {
        return items;
    }
    block(heading, of_class("ul", "plain", items))
}

/// Names with their values under a heading; empty if there are none.
fn list<'v>(heading: &str, values: impl Iterator<Item = (&'v String, &'v String)>) -> Html {
    let list = pairs(values);
    if list.is_empty() { list } else { block(heading, list) }
}

/// Names with their values.
fn pairs<'v>(values: impl Iterator<Item = (&'v String, &'v String)>) -> Html {
    let row = |(name, value): (&String, &String)| {
        el("div").with(el("dt").with(name.as_str())).with(el("dd").with(value.as_str()))
    };
    let rows: Html = values.map(row).collect();
    if rows.is_empty() { rows } else { of_class("dl", "values", rows).into() }
}
