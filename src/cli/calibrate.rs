//! `calibrate`: a strip to bend and measure, and what its measures say.

use crate::cli::args::CalibrateArgs;
use crate::cli::args::PartArgs;
use crate::cli::commands;
use crate::cli::ending::Ending;
use crate::cli::files::Replaced;
use crate::cli::shelf;
use crate::cli::shelf::Folder;
use crate::cli::shelf::shown;
use crate::cli::terminal;
use anyhow::Context;
use anyhow::bail;
use platewright::brake;
use platewright::diag::Sources;
use platewright::num;
use platewright::quantity;
use platewright::quantity::Dimension;
use platewright::quantity::Reading;
use platewright::shop;
use platewright::shop::Measured;
use platewright::shop::Strip;
use platewright::table::Row;
use platewright::table::Tables;
use std::path::Path;

/// `platewright calibrate`.
pub(super) fn calibrate(args: &CalibrateArgs) -> anyhow::Result<Ending> {
    let v = length("--v", &args.v)?;
    match (args.legs.as_slice(), &args.blank) {
        ([one, other], Some(blank)) => {
            let legs = [length("--legs", one)?, length("--legs", other)?];
            let radius = match &args.radius {
                Some(radius) => length("--radius", radius)?,
                None => brake::inside_radius(v),
            };
            let tables = tables(args.into.as_deref())?;
            let Some(material) = tables.row("material", &args.material) else {
                bail!("there is no material `{}`; see `platewright tables material`", args.material)
            };
            let thickness = thickness(&args.thickness, material, &tables)?;
            let strip = Strip {
                material: material.name().to_owned(),
                thickness,
                v,
                blank: length("--blank", blank)?,
                legs,
                radius,
            };
            measured(&strip, args.radius.is_none(), args.into.as_deref(), &tables)
        }
        _ => commands::part(&PartArgs {
            recipe: "test-strip".into(),
            values: vec![format!("v={}", args.v)],
            material: args.material.clone(),
            thickness: args.thickness.clone(),
            process: "waterjet".into(),
            coating: "0 mm".into(),
            units: "mm".into(),
            name: None,
            out: args.out.clone(),
        }),
    }
}

/// What the measures say, and the row, which goes into a shop file if one is named.
fn measured(
    strip: &Strip,
    guessed: bool,
    into: Option<&Path>,
    tables: &Tables,
) -> anyhow::Result<Ending> {
    let measured = Measured::of(strip).context("these measurements are not possible")?;
    if guessed {
        let radius = num::text(measured.radius, 2);
        terminal::say(&format!(
            "note: without --radius, 0.16 V = {radius} mm is assumed; measure it with a radius gauge"
        ));
    }
    terminal::say(&format!(
        "K-factor {}, bend deduction {} mm",
        num::text(measured.k, 4),
        num::text(measured.deduction, 3)
    ));
    terminal::data(&measured.row());
    if let Some(file) = into {
        append(&measured, file, tables)?;
        terminal::say(&format!("added to {}", shown(file)));
    }
    Ok(Ending::Done)
}

/// Adds the row, if the file can be read before and after and has none like it.
fn append(measured: &Measured, file: &Path, tables: &Tables) -> anyhow::Result<()> {
    // A pipe or device is refused before it is opened.
    shelf::read(file)?;
    let replaced = Replaced::open(file)?;
    let text = shelf::read(file)?;
    let readable = |text: &str| {
        let mut sources = Sources::default();
        let source = sources.add(shown(file), text);
        shop::read(source, text, tables).map_err(|findings| {
            terminal::findings(&findings, &sources);
            anyhow::anyhow!("{} is not a readable shop file; nothing was added", shown(file))
        })
    };
    let has = readable(&text)?.measured.iter().any(|m| {
        m.material == measured.material && m.thickness == measured.thickness && m.v == measured.v
    });
    if has {
        bail!("{} has a row for this sheet and V; remove it first", shown(file));
    }
    let newline = if text.is_empty() || text.ends_with('\n') { "" } else { "\n" };
    let text = format!("{text}{newline}\n{}", measured.row());
    readable(&text)?;
    replaced.with(text.as_bytes())
}

/// The tables with one's own on top: those beside the shop file, else those of this folder.
fn tables(shop: Option<&Path>) -> anyhow::Result<Tables> {
    let folder = shop.map_or_else(Folder::here, Folder::of_job);
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
fn thickness(text: &str, material: &Row, tables: &Tables) -> anyhow::Result<f64> {
    let Ok(Reading::Gauge { number, metal }) = quantity::read(text) else {
        return length("--thickness", text);
    };
    let metal = metal.or_else(|| material.text("metal").map(str::to_owned)).unwrap_or_default();
    let found = tables.gauge(&metal, number).map(|q| q.value);
    found.with_context(|| {
        format!("there is no {number} gauge for {metal}; see `platewright tables gauge`")
    })
}

fn length(flag: &str, text: &str) -> anyhow::Result<f64> {
    match quantity::read(text) {
        Ok(Reading::Quantity(q)) if q.dimension == Dimension::LENGTH && q.value > 0.0 => {
            Ok(q.value)
        }
        Err(error) => bail!("{flag}: {error}; {}", error.help()),
        Ok(_) => bail!("{flag} is a length with a unit, such as \"32 mm\", not `{text}`"),
    }
}
