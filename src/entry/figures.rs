//! Figures that a row of a table must have for what it is used.

use crate::diag::Finding;
use crate::document::Findings;
use crate::document::Item;
use crate::table::Row;
use crate::table::Tables;
use crate::table::in_words;

/// Whether a row has these figures; a finding names those it lacks, and what needs them.
pub(crate) fn has(
    row: &Row,
    figures: &[&str],
    (what, item): (&str, &Item),
    tables: &Tables,
    findings: &Findings,
) -> bool {
    let lacks: Vec<&str> =
        figures.iter().copied().filter(|field| row.quantity(field).is_none()).collect();
    let Some(first) = lacks.first() else { return true };
    let named: Vec<String> = lacks.iter().map(|field| format!("`{field}`")).collect();
    let (table, name) = (row.table(), row.name());
    let row = in_words(table);
    let headline = format!("{row} `{name}` has no {}, which {what} needs", named.join(" and no "));
    let about = tables.table(table).and_then(|t| t.column(first)).map(|c| c.about.as_str());
    let about = about.map_or_else(String::new, |about| format!("; `{first}`: {about}"));
    findings.add(
        Finding::stop("unknown-figure", headline)
            .at(item.letters, "")
            .help(format!("measure it and add it to the row of your own table{about}")),
    );
    false
}
