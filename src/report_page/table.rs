//! A table of the page: a caption, heads for columns and rows, and room to scroll.

use crate::write::escaped;
use std::fmt::Write;

/// A table being written.
pub(super) struct Table {
    id: String,
    caption: String,
    heads: Vec<String>,
    rows: Vec<Vec<String>>,
}

impl Table {
    /// One with these heads; the first column names the rows. `id` is its place in the page.
    pub(super) fn new(id: &str, caption: &str, heads: &[&str]) -> Self {
        let heads = heads.iter().map(|head| escaped(head)).collect();
        Self { id: id.to_owned(), caption: escaped(caption), heads, rows: Vec::new() }
    }

    /// Adds a row.
    pub(super) fn row(&mut self, cells: impl IntoIterator<Item = String>) {
        self.rows.push(cells.into_iter().map(|cell| escaped(&cell)).collect());
    }

    /// The same without columns that say nothing.
    pub(super) fn without_empty(mut self) -> Self {
        let says = |column: usize| self.rows.iter().any(|row| !row[column].is_empty());
        let kept: Vec<bool> = (0..self.heads.len()).map(says).collect();
        for cells in self.rows.iter_mut().chain([&mut self.heads]) {
            let mut kept = kept.iter();
            cells.retain(|_| kept.next() == Some(&true));
        }
        self
    }

    /// Whether a column holds figures alone, which stand to the right.
    fn is_figures(&self, column: usize) -> bool {
        let cells = || self.rows.iter().filter_map(|row| row.get(column));
        let figure = |cell: &String| {
            cell.is_empty() || cell == "–" || cell.starts_with(|c: char| c.is_ascii_digit())
        };
        column > 0 && cells().all(figure) && cells().any(|cell| !cell.is_empty())
    }

    /// The whole of it.
    pub(super) fn text(self) -> String {
        let class: Vec<&str> = (0..self.heads.len())
            .map(|column| if self.is_figures(column) { " class=\"figures\"" } else { "" })
            .collect();
        let heads = self.heads.iter().zip(&class);
        let heads: String =
            heads.map(|(head, class)| format!("<th scope=\"col\"{class}>{head}</th>")).collect();
        let (id, caption) = (&self.id, &self.caption);
        // What may scroll must be reached by keyboard, and say what it is.
        let mut text = format!(
            "<div class=\"scroll\" role=\"region\" aria-labelledby=\"{id}\" tabindex=\"0\">\n<table>\n\
             <caption id=\"{id}\"><span>{caption}</span></caption>\n<thead><tr>{heads}</tr></thead>\n<tbody>\n"
        );
        for row in &self.rows {
            text.push_str("<tr>");
            for (i, (cell, class)) in row.iter().zip(&class).enumerate() {
                // Writing to a string cannot fail.
                let _ = match i {
                    0 => write!(text, "<th scope=\"row\">{cell}</th>"),
                    _ => write!(text, "<td{class}>{cell}</td>"),
                };
            }
            text.push_str("</tr>\n");
        }
        text + "</tbody>\n</table>\n</div>\n"
    }
}
