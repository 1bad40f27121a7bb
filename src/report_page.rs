//! `report.html`: one page with all results of a job, without a network.
//!
//! It shows the contents of `report.json` and the files that were made. At its top a band answers
//! whether the job can be ordered; the sheets and the table of parts light each other; each part
//! has a card. Without its script it is a plain long page; it can be read by keyboard, by a screen
//! reader and on a phone, printed, and follows the light or dark of its reader.

mod as_built;
mod band;
mod bars;
mod bench;
mod bends;
mod cards;
mod changes;
mod cost;
mod dimensions;
mod figures;
mod findings;
mod fit;
mod flat;
mod hardware;
mod holes;
mod html;
mod joints;
mod laid;
mod link_loads;
mod loads;
mod machine;
mod masking;
mod parts;
mod print;
mod safe;
mod scale;
mod shapes;
mod sheets;
mod state;
mod table;
mod tube_ends;
mod tubes;

use crate::flat::to_origin;
use crate::geom::Outline;
use crate::geom::Region;
use crate::job::Job;
use crate::num::counted;
use crate::paper::Format;
use crate::place;
use crate::place::NestedSheet;
use crate::quantity::Units;
use crate::report::Report;
use crate::report::SheetRow;
use crate::report_page::html::El;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::html::link;
use crate::report_page::html::of_class;
pub(crate) use crate::report_page::laid::Laid;
pub(crate) use crate::report_page::shapes::Shape;
use crate::solve::Solved;
use crate::write::NamedFile;
use rayon::prelude::*;

const STYLE: &str = concat!(
    include_str!("report_page/style/tokens.css"),
    include_str!("report_page/style/page.css"),
    include_str!("report_page/style/drawings.css"),
    include_str!("report_page/style/print.css"),
);

const SCRIPT: &str = concat!(
    "\"use strict\";\n",
    include_str!("report_page/script/light.js"),
    include_str!("report_page/script/sheets.js"),
    include_str!("report_page/script/table.js"),
    include_str!("report_page/script/page.js"),
);

/// A flat as path data, y turned over, its lower left corner at the origin; mm.
#[cfg_attr(not(feature = "page"), allow(dead_code, reason = "only the page shows it"))]
pub(crate) fn flat_data(region: &Region) -> String {
    shapes::outlines(&region.moved(&to_origin(region)))
}

/// An area of a sheet as path data, y turned over, mm.
#[cfg_attr(not(feature = "page"), allow(dead_code, reason = "only the page shows it"))]
pub(crate) fn area_data(region: &Region) -> String {
    shapes::outlines(region)
}

/// An outline on a sheet as path data, y turned over, mm.
#[cfg_attr(not(feature = "page"), allow(dead_code, reason = "only the page shows it"))]
pub(crate) fn outline_data(outline: &Outline) -> String {
    shapes::closed_data(outline)
}

/// Everything the page shows.
pub(crate) struct Page<'a> {
    job: &'a Job,
    solved: &'a [Solved],
    nested: &'a [NestedSheet],
    report: &'a Report,
    files: &'a [NamedFile],
    /// The flats, in the order of the parts, and the pieces of each sheet.
    shapes: &'a [Shape],
    laid: &'a [Laid],
}

/// What the page shows of a layout: the flats, in the order of the parts, and the pieces of each sheet.
pub(crate) struct Pieces {
    shapes: Vec<Shape>,
    laid: Vec<Laid>,
}

impl Pieces {
    /// Those of sheets with their rows in the report; of equal ones behind each other the first is drawn,
    /// and none that is `known`.
    pub(crate) fn of(
        (job, solved): (&Job, &[Solved]),
        (nested, rows): (&[NestedSheet], &[SheetRow]),
        known: &(dyn Fn(&NestedSheet, &SheetRow) -> Option<Laid> + Sync),
    ) -> Self {
        let shapes = shapes(solved);
        let firsts = place::firsts(nested);
        let drawn = |i: usize| {
            let sheet = (&nested[i], &rows[i]);
            let laid = || known(sheet.0, sheet.1);
            (firsts[i] == i)
                .then(|| laid().unwrap_or_else(|| Laid::of((job, solved), &shapes, sheet)))
        };
        let drawn: Vec<Option<Laid>> =
            (0..nested.len()).into_par_iter().with_max_len(1).map(drawn).collect();
        let laid = firsts.iter().filter_map(|first| drawn[*first].clone()).collect();
        Self { shapes, laid }
    }
}

/// The flats of all parts as the page shows them.
pub(crate) fn shapes(solved: &[Solved]) -> Vec<Shape> {
    solved.par_iter().map(Shape::of).collect()
}

/// The page of a job that was made; `files` are all others.
pub(crate) fn page(
    (job, solved): (&Job, &[Solved]),
    nested: &[NestedSheet],
    report: &Report,
    files: &[NamedFile],
    Pieces { shapes, laid }: &Pieces,
) -> NamedFile {
    let page = Page { job, solved, nested, report, files, shapes, laid };
    NamedFile { name: "report.html".into(), bytes: page.text().into_bytes() }
}

impl Page<'_> {
    fn text(&self) -> String {
        let mut text = Html::from(self.html()).text();
        text.insert_str(0, "<!doctype html>\n");
        text.push('\n');
        text
    }

    fn html(&self) -> El {
        let sections = self.sections();
        let links: Html = (sections.iter())
            .map(|(id, heading, _)| el("li").with(link(format_args!("#{id}"), heading)))
            .collect();
        let nav = el("nav").at("class", "in").at("aria-label", "Sections");
        let theme = el("button").at("type", "button").at("id", "theme").flag("hidden");
        let nav = nav.with(el("ul").with(links)).with(theme);
        let skip = link("#main", "Skip to the report").at("class", "skip");
        let sections: Html = sections.into_iter().map(section).collect();
        let main = el("main").at("id", "main").at("tabindex", -1).with(sections);
        let body = el("body").with(skip).with(self.header(nav)).with(main).with(footer());
        let body = body.with(shapes::library(self.shapes));
        let body = body.with(el("script").with(Html::own(SCRIPT)));
        el("html").at("lang", "en").with(self.head()).with(body)
    }

    fn head(&self) -> El {
        let meta =
            |name: &'static str, content: &str| el("meta").at("name", name).at("content", content);
        let usual = match self.job.units {
            Units::Millimetre => Format::A4,
            Units::Inch => Format::Letter,
        };
        let paper = self.job.paper.unwrap_or(usual);
        let margins = print::margins(&self.printed(), &self.issues(), paper);
        let policy = el("meta").at("http-equiv", "Content-Security-Policy");
        el("head")
            .with(el("meta").at("charset", "utf-8"))
            .with(meta("viewport", "width=device-width, initial-scale=1"))
            .with(meta("color-scheme", "light dark"))
            .with(policy.at("content", safe::policy(SCRIPT)))
            .with(el("link").at("rel", "icon").at("href", "data:,"))
            .with(el("title").with(self.printed()))
            .with(el("style").with(Html::own(STYLE)))
            .with(el("style").with(Html::style(&margins)))
    }

    /// The margins of every printed page.
    fn printed(&self) -> String {
        format!("{}: report", self.job.name)
    }

    /// The issues of the parts, each once; empty where none are kept.
    fn issues(&self) -> String {
        let mut all: Vec<&str> =
            self.report.parts.iter().filter_map(|part| part.issue.as_deref()).collect();
        all.sort_unstable();
        all.dedup();
        match all.len() {
            0 => String::new(),
            1 => format!("issue {}", all[0]),
            _ => format!("issues {}", all.join(", ")),
        }
    }

    fn header(&self, nav: El) -> El {
        let mut made = vec![self.job.process.name().to_owned()];
        let films = self.job.lines.iter().map(|line| self.job.coating_of(line).film);
        let films: Vec<f64> = films.chain([self.job.coating]).collect();
        if films.iter().any(|film| *film != films[0]) {
            made.push("coating by part: see the drawings".to_owned());
        } else if films[0] > 0.0 {
            made.push(format!("coating {}", self.job.units.length(films[0])));
        }
        let stopped = &self.report.stopped;
        let not_made = format!("STOPPED and not made: {}. See Findings.", stopped.join(", "));
        let not_made = (!stopped.is_empty()).then(|| of_class("p", "stop", not_made));
        let top = of_class("div", "top", el("h1").with(self.job.name.as_str()));
        let top = top.with(of_class("p", "about", self.job.about.as_str()));
        let top = top.with(Html::from(not_made));
        el("header").with(top.with(of_class("p", "made", made.join(" · ")))).with(nav)
    }

    /// The name of each section's place in the page, its heading, and its content; an empty section
    /// is left out.
    fn sections(&self) -> Vec<(&'static str, &'static str, Html)> {
        let all = [
            ("summary", "Summary", self.band()),
            ("findings", "Findings", self.findings()),
            ("changes", "Changes", self.changes()),
            ("sheets", "Sheets", self.sheets_and_table()),
            ("parts", "Parts", if self.solved.is_empty() { Html::default() } else { self.cards() }),
            ("tubes", "Tubes and links", self.tubes()),
            ("machine", "Machine", self.machine()),
            ("tube-ends", "Tube ends", self.tube_ends()),
            ("joints", "Joints", self.joints()),
            ("hardware", "Hardware", self.hardware()),
            ("as-built", "As built", self.as_built()),
            ("masking", "Plug and mask", self.masking()),
            ("bench", "At the bench", self.bench()),
            ("remnants", "Remnants", self.remnants()),
            ("cost", "Time and cost", self.cost()),
            ("files", "Order and files", self.all_files()),
        ];
        all.into_iter().filter(|(.., body)| !body.is_empty()).collect()
    }

    fn sheets_and_table(&self) -> Html {
        if self.solved.is_empty() {
            return Html::default();
        }
        let left = of_class("div", "left", self.sheet_figures());
        let hint = "Point at a piece or a row of the table: all pieces of that part are \
                    highlighted. A click on \
                    a piece, or a part's name, opens its card.";
        let split = of_class("div", "split", left).with(el("div").with(self.part_table()));
        Html::from(of_class("p", "hint", hint)).and(split).and(self.sheet_table())
    }

    /// Links to all files: the orders first.
    fn all_files(&self) -> Html {
        let item = |file: &&NamedFile| el("li").with(link(&file.name, &file.name));
        let is_order = |file: &&NamedFile| file.name.starts_with("order/");
        let orders: Html = self.files.iter().filter(is_order).map(|f| item(&f)).collect();
        let rest: Vec<&NamedFile> = self.files.iter().filter(|f| !is_order(f)).collect();
        let count = counted(rest.len(), "file");
        let rest: Html = rest.iter().map(item).collect();
        let more = el("details").with(el("summary").with(format!("The other {count}")));
        let more = more.with(of_class("ul", "all", rest));
        let orders = (!orders.is_empty()).then(|| of_class("ul", "all", orders));
        Html::from(orders).and(more)
    }

    /// A picture among the files as an image; empty if it does not exist.
    fn picture(&self, file: &str, alt: &str) -> Html {
        let file = self.files.iter().find(|f| f.name == file);
        let image = file.map(|file| {
            let image = el("img").at("class", "formed").at("alt", alt).at("loading", "lazy");
            image.at("src", safe::address(&file.bytes))
        });
        image.into()
    }
}

fn section((id, heading, body): (&str, &str, Html)) -> El {
    let label = format!("{id}-heading");
    let section = el("section").at("id", id).at("aria-labelledby", &label);
    section.with(el("h2").at("id", &label).with(heading)).with(body)
}

fn footer() -> El {
    let made = format!("Made by platewright {}. ", env!("CARGO_PKG_VERSION"));
    let words = Html::from(made).and("The same figures as data: ");
    el("footer").with(el("p").with(words.and(link("report.json", "report.json")).and(".")))
}

/// The name of a sheet, that of its files without folder and ending.
fn sheet_name(sheet: &SheetRow) -> &str {
    sheet.file.trim_start_matches("sheets/").trim_end_matches(".dxf")
}

/// The place in the page of a finding of a part, or of the job where the name is empty.
fn finding_id(part: &str, index: usize) -> String {
    format!("finding-{part}-{}", index + 1)
}
