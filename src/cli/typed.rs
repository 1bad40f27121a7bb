//! Measures and tables as the command line is given them.

use crate::cli::shelf::Folder;
use crate::cli::terminal;
use anyhow::Context;
use anyhow::bail;
use platewright::diag::Sources;
use platewright::num::Angle;
use platewright::quantity;
use platewright::quantity::Dimension;
use platewright::quantity::Reading;
use platewright::table::Row;
use platewright::table::Tables;
use std::path::Path;

/// The tables with one's own on top: those beside the shop file or job, else those of this folder.
pub(super) fn tables(beside: Option<&Path>) -> anyhow::Result<Tables> {
    let folder = beside.map_or_else(Folder::here, Folder::of_job);
    let mut sources = Sources::default();
    let (tables, said, findings) = folder.tables(&mut sources)?;
    for said in said {
        terminal::say(&format!("note: {said}"));
    }
    if !findings.is_empty() {
        terminal::findings(&findings, &sources);
        bail!("a table of your own cannot be read");
    }
    Ok(tables)
}

/// A thickness: a length, or a gauge of the material's metal.
pub(super) fn thickness(
    flag: &str,
    text: &str,
    material: &Row,
    tables: &Tables,
) -> anyhow::Result<f64> {
    let Ok(Reading::Gauge { number, metal }) = quantity::read(text) else {
        return length(flag, text);
    };
    let metal = metal.or_else(|| material.text("metal").map(str::to_owned)).unwrap_or_default();
    let found = tables.gauge(&metal, number).map(|q| q.value);
    found.with_context(|| {
        format!("there is no {number} gauge for {metal}; see `platewright tables gauge`")
    })
}

/// A length above 0, mm.
pub(super) fn length(flag: &str, text: &str) -> anyhow::Result<f64> {
    above_zero(flag, text, Dimension::LENGTH, "a length with a unit, such as \"32 mm\"")
}

/// An angle above 0.
pub(super) fn angle(flag: &str, text: &str) -> anyhow::Result<Angle> {
    let what = "a bend angle with a unit, such as \"90 deg\"";
    above_zero(flag, text, Dimension::ANGLE, what).map(Angle::from_degrees)
}

/// A measure above 0.
fn above_zero(flag: &str, text: &str, dimension: Dimension, what: &str) -> anyhow::Result<f64> {
    match quantity::read(text) {
        Ok(Reading::Quantity(q)) if q.dimension == dimension && q.value > 0.0 => Ok(q.value),
        Err(error) => bail!("{flag}: {error}; {}", error.help()),
        Ok(_) => bail!("{flag} is {what}, not `{text}`"),
    }
}
