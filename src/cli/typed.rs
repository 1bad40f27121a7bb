//! Dimensions and tables as the command line is given them.

use crate::cli::shelf::Folder;
use crate::cli::terminal;
use anyhow::Context;
use anyhow::bail;
use platewright::diag;
use platewright::diag::Sources;
use platewright::num::Angle;
use platewright::quantity;
use platewright::quantity::Dimension;
use platewright::quantity::Reading;
use platewright::table::Row;
use platewright::table::Table;
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

/// A row of the `material` table.
pub(super) fn material<'t>(name: &str, tables: &'t Tables) -> anyhow::Result<&'t Row> {
    let row = tables.row("material", name).with_context(|| unknown_material(name, tables))?;
    Ok(row)
}

/// The error for an unknown material, with the one that may be meant.
pub(super) fn unknown_material(name: &str, tables: &Tables) -> String {
    let known = tables.table("material").into_iter().flat_map(Table::called);
    let near = diag::nearest(name, known);
    let near = near.map_or_else(|| ";".to_owned(), |near| format!("; did you mean `{near}`?"));
    format!("there is no material `{name}`{near} `platewright tables material` lists them")
}

/// A price: a number of 0 or more.
pub(super) fn price(text: &str) -> Result<f64, String> {
    text.trim().parse().map_err(|_| {
        "write the number alone, with a point: the currency is that of the shop file".to_owned()
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

/// A dimension above 0.
fn above_zero(flag: &str, text: &str, dimension: Dimension, what: &str) -> anyhow::Result<f64> {
    match quantity::read(text) {
        Ok(Reading::Quantity(q)) if q.dimension == dimension && q.value > 0.0 => Ok(q.value),
        Err(error) => bail!("{flag}: {error}; {}", error.help()),
        Ok(_) => bail!("{flag} is {what}, not `{text}`"),
    }
}
