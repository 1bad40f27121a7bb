//! The lines of a table, cut into cells.

use crate::table::fault::TableError;
use crate::table::fault::TableFault;
use std::ops::Range;

/// A line that is not empty, divided into its cells.
pub(super) struct Line {
    pub(super) number: usize,
    pub(super) bytes: Range<usize>,
    pub(super) cells: Vec<String>,
}

/// The lines that are not empty.
pub(super) fn lines(text: &str) -> Vec<Line> {
    let body = text.trim_start_matches('\u{feff}');
    let before = text.len() - body.len();
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .trim(csv::Trim::All)
        .terminator(csv::Terminator::Any(b'\n'))
        .from_reader(body.as_bytes());
    let mut out = Vec::new();
    // Of a text in memory every record can be read.
    while let Some(Ok(record)) = reader.records().next() {
        let (at, line) = record.position().map_or((0, 1), |p| (p.byte(), p.line()));
        let [at, line] = [at, line].map(|n| usize::try_from(n).unwrap_or(body.len()));
        // The reader counts empty lines to the line below them.
        let empty = body[at..].bytes().take_while(|b| *b == b'\n').count();
        let (start, number) = (at + empty, line + empty);
        let end = body[start..].find('\n').map_or(body.len(), |length| start + length);
        let cells: Vec<_> = record.iter().map(str::to_owned).collect();
        if cells.iter().any(|cell| !cell.is_empty()) {
            out.push(Line { number, bytes: before + start..before + end, cells });
        }
    }
    out
}

impl Line {
    /// A quotation mark that is not closed includes the lines below.
    pub(super) fn is_open(&self) -> bool {
        self.cells.iter().any(|cell| cell.contains('\n'))
    }

    /// A mark and a digit are the name of a screw, `#10`.
    pub(super) fn is_comment(&self) -> bool {
        self.cells[0]
            .strip_prefix('#')
            .is_some_and(|rest| !rest.starts_with(|c: char| c.is_ascii_digit()))
    }

    /// The text of a comment, joined again if it has commas.
    pub(super) fn comment(&self) -> String {
        self.cells.join(", ").trim_start_matches('#').trim_end_matches([',', ' ']).trim().to_owned()
    }

    pub(super) fn error(&self, text: &str, cell: usize, fault: TableFault) -> TableError {
        TableError { line: self.number, at: self.cell(text, cell), fault }
    }

    /// The bytes of a cell, without the blanks round it.
    pub(super) fn cell(&self, text: &str, index: usize) -> Range<usize> {
        let line = &text[self.bytes.clone()];
        let (mut quoted, mut before) = (false, ',');
        let mut commas = line.char_indices().filter(|(_, c)| {
            // A mark within a cell is one of inches.
            quoted ^= *c == '"' && (quoted || matches!(before, ',' | '"'));
            before = *c;
            *c == ',' && !quoted
        });
        let from = index.checked_sub(1).and_then(|n| commas.nth(n)).map_or(0, |(at, _)| at + 1);
        let cell = &line[from..commas.next().map_or(line.len(), |(at, _)| at)];
        let start = self.bytes.start + from + cell.len() - cell.trim_start().len();
        start..start + cell.trim().len()
    }
}
