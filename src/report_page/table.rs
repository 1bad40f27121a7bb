//! A table of the page: a caption, heads for columns and rows, and room to scroll.

use crate::report_page::html::El;
use crate::report_page::html::Html;
use crate::report_page::html::el;

/// A cell: its content, and the number it is sorted by if that differs.
#[derive(Clone, Default)]
pub(super) struct Cell {
    html: Html,
    figures: bool,
    sort: Option<f64>,
    label: Option<&'static str>,
}

impl Cell {
    /// Something that is no plain text.
    pub(super) fn html(html: impl Into<Html>) -> Self {
        Self { html: html.into(), ..Self::default() }
    }

    /// Sorted by a number that it does not show.
    pub(super) fn sorted(self, number: f64) -> Self {
        Self { sort: Some(number), ..self }
    }

    /// With a label that is shown where the table has no heads.
    pub(super) fn labelled(self, label: &'static str) -> Self {
        Self { label: Some(label), ..self }
    }

    /// Figures, aligned right.
    pub(super) fn figures(self) -> Self {
        Self { figures: true, ..self }
    }
}

impl From<String> for Cell {
    fn from(words: String) -> Self {
        let figures = words.is_empty()
            || words == "–"
            || words.starts_with(|c: char| c.is_ascii_digit() || c == 'Ø' || c == '−');
        Self { html: words.into(), figures, ..Self::default() }
    }
}

/// By which the script finds a row.
type Attributes = Vec<(&'static str, String)>;

/// Tables of no more rows are printed on one page. Our choice.
const SHORT: usize = 12;
/// Tables of so many columns have no room on a phone: their rows are stacked there. Our choice.
const WIDE: usize = 5;
/// The class of these.
const STACKED: &str = "stack";

/// A table being written.
pub(super) struct Table {
    id: String,
    caption: String,
    heads: Vec<&'static str>,
    rows: Vec<(Attributes, Vec<Cell>)>,
    class: &'static str,
}

impl Table {
    /// One with these heads; the first column names the rows. `id` is its place in the page.
    pub(super) fn new(id: &str, caption: &str, heads: &[&'static str]) -> Self {
        Self {
            id: id.to_owned(),
            caption: caption.to_owned(),
            heads: heads.to_vec(),
            rows: Vec::new(),
            class: "",
        }
    }

    /// One with a class.
    pub(super) fn of(mut self, class: &'static str) -> Self {
        self.class = class;
        self
    }

    /// Adds a row.
    pub(super) fn row<C: Into<Cell>>(&mut self, cells: impl IntoIterator<Item = C>) {
        self.marked(Vec::new(), cells.into_iter().map(Into::into).collect());
    }

    /// Adds a row with attributes by which the script finds it.
    pub(super) fn marked(&mut self, attributes: Attributes, cells: Vec<Cell>) {
        self.rows.push((attributes, cells));
    }

    /// The same without empty columns.
    pub(super) fn without_empty(mut self) -> Self {
        let says = |column: usize| self.rows.iter().any(|(_, row)| !row[column].html.is_empty());
        let kept: Vec<bool> = (0..self.heads.len()).map(says).collect();
        for (_, cells) in &mut self.rows {
            let mut kept = kept.iter();
            cells.retain(|_| kept.next() == Some(&true));
        }
        let mut kept = kept.iter();
        self.heads.retain(|_| kept.next() == Some(&true));
        self
    }

    /// Whether a column has figures alone, which are aligned right.
    fn is_figures(&self, column: usize) -> bool {
        let cells = || self.rows.iter().filter_map(|(_, row)| row.get(column));
        column > 0 && cells().all(|cell| cell.figures) && cells().any(|c| !c.html.is_empty())
    }

    /// With the heads as labels in the cells, where rows are stacked on a phone.
    fn stacked(mut self) -> Self {
        if !self.class.is_empty() || self.heads.len() < WIDE {
            return self;
        }
        self.class = STACKED;
        for (_, cells) in &mut self.rows {
            for (cell, head) in cells.iter_mut().zip(&self.heads) {
                cell.label = Some(head);
            }
        }
        self
    }

    /// The whole of it.
    pub(super) fn html(self) -> Html {
        self.stacked().written()
    }

    fn written(self) -> Html {
        let figures: Vec<bool> = (0..self.heads.len()).map(|i| self.is_figures(i)).collect();
        let heads: Html = (self.heads.iter().zip(&figures))
            .map(|(head, figures)| {
                let head = el("th").at("scope", "col").with(*head);
                if *figures { head.at("class", "num") } else { head }
            })
            .collect();
        let rows: Html = self.rows.iter().map(|(at, cells)| row(at, cells, &figures)).collect();
        let caption = el("caption").at("id", &self.id).with(el("span").with(self.caption.as_str()));
        let table = el("table").at("class", self.class).with(caption);
        let table = table.with(el("thead").with(el("tr").with(heads))).with(el("tbody").with(rows));
        // A scrollable table must be reachable by keyboard, and have a label.
        let class = if self.rows.len() <= SHORT { "scroll keep" } else { "scroll" };
        let scroll = el("div").at("class", class).at("role", "region");
        scroll.at("aria-labelledby", &self.id).at("tabindex", 0).with(table).into()
    }
}

fn row(attributes: &[(&'static str, String)], cells: &[Cell], figures: &[bool]) -> El {
    let cells: Html = (cells.iter().zip(figures).enumerate())
        .map(|(i, (cell, figures))| {
            let made = match i {
                0 => el("th").at("scope", "row"),
                _ if *figures => el("td").at("class", "num"),
                _ => el("td"),
            };
            let made = match cell.sort {
                Some(number) => made.at("data-v", number),
                None => made,
            };
            let made = match cell.label.filter(|_| !cell.html.is_empty()) {
                Some(label) => made.at("data-l", label),
                None => made,
            };
            made.with(cell.html.clone())
        })
        .collect();
    let row = el("tr").with(cells);
    attributes.iter().fold(row, |row, (key, value)| row.at(key, value))
}
