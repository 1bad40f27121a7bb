//! A table of the page: a caption, heads for columns and rows, and room to scroll.

use crate::write::escaped;
use std::fmt::Write;

/// A table being written.
pub(super) struct Table {
    text: String,
}

impl Table {
    /// One with these heads; the first column names the rows. `id` is its place in the page.
    pub(super) fn new(id: &str, caption: &str, heads: &[&str]) -> Self {
        let heads: String =
            heads.iter().map(|head| format!("<th scope=\"col\">{}</th>", escaped(head))).collect();
        // What may scroll must be reached by keyboard, and say what it is.
        let text = format!(
            "<div class=\"scroll\" role=\"region\" aria-labelledby=\"{id}\" tabindex=\"0\">\n<table>\n\
             <caption id=\"{id}\">{}</caption>\n<thead><tr>{heads}</tr></thead>\n<tbody>\n",
            escaped(caption)
        );
        Self { text }
    }

    /// Adds a row.
    pub(super) fn row(&mut self, cells: impl IntoIterator<Item = String>) {
        self.text.push_str("<tr>");
        for (i, cell) in cells.into_iter().enumerate() {
            let cell = escaped(&cell);
            // Writing to a string cannot fail.
            let _ = match i {
                0 => write!(self.text, "<th scope=\"row\">{cell}</th>"),
                _ => write!(self.text, "<td>{cell}</td>"),
            };
        }
        self.text.push_str("</tr>\n");
    }

    /// The whole of it.
    pub(super) fn text(self) -> String {
        self.text + "</tbody>\n</table>\n</div>\n"
    }
}
