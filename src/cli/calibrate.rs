//! `calibrate`: strips to bend and measure, and the results.

mod job;
mod record;
mod sentences;
mod worksheet;

use crate::cli::args::CalibrateArgs;
use crate::cli::args::PartArgs;
use crate::cli::commands;
use crate::cli::ending::Ending;
use crate::cli::files::Replaced;
use crate::cli::shelf;
use crate::cli::shelf::shown;
use crate::cli::terminal;
use crate::cli::typed;
use crate::cli::typed::angle;
use crate::cli::typed::length;
use crate::cli::typed::tables;
use crate::cli::typed::thickness;
use anyhow::Context;
use anyhow::bail;
use platewright::brake;
use platewright::diag::Sources;
use platewright::num;
use platewright::num::Angle;
use platewright::quantity;
use platewright::shop;
use platewright::shop::Measured;
use platewright::shop::Strip;
use platewright::shop::Strips;
use platewright::table::Tables;
use std::path::Path;

/// `platewright calibrate`.
pub(super) fn calibrate(args: &CalibrateArgs) -> anyhow::Result<Ending> {
    if args.worksheet {
        let v = length("--v", &args.v)?;
        terminal::data(&worksheet::text(args, brake::inside_radius(v)));
        return Ok(Ending::Done);
    }
    let bent = bent(args)?;
    if bent.is_empty() {
        return strip(args);
    }
    let tables = tables(args.into.as_deref().or(args.job.as_deref()))?;
    let strips = strips(args, bent, &tables)?;
    let said = strips.calibrate().context("these measurements are not possible")?;
    if args.radius.is_none() {
        let radius = num::text(strips.radius, 2);
        terminal::say(&format!(
            "note: without --radius, 0.16 V = {radius} mm is assumed; measure it with a radius gauge"
        ));
    }
    sentences::say(&strips, &said);
    // The job is read before the row is in its shop file; what stops it does not keep the row back.
    let on_job = args.job.as_ref().map(|job| job::effect(job, &said));
    if let Some(Ok(Some(effect))) = &on_job {
        terminal::say(effect);
    }
    terminal::data(&said.row.row());
    record::record(args, &strips, &said, || match &args.into {
        None => Ok(()),
        Some(file) => append(&said.row, file, &tables),
    })?;
    if let Some(file) = &args.into {
        terminal::say(&format!("added to {}", shown(file)));
    }
    Ok(if on_job.transpose()? == Some(None) { Ending::Stopped } else { Ending::Done })
}

/// Makes a strip to bend.
fn strip(args: &CalibrateArgs) -> anyhow::Result<Ending> {
    length("--v", &args.v)?;
    if args.into.is_some()
        || args.radius.is_some()
        || args.job.is_some()
        || args.under_load.is_some()
    {
        bail!(
            "there is no strip: give its legs, its length before bending and its bend angle, \
             --strip \"103.9 mm\" \"104 mm\" \"200 mm\" \"90 deg\""
        );
    }
    commands::part(&PartArgs {
        recipe: "test-strip".into(),
        values: vec![format!("v={}", args.v)],
        material: args.material.clone(),
        thickness: args.of_jobs().to_owned(),
        process: "waterjet".into(),
        coating: "0 mm".into(),
        units: "mm".into(),
        name: None,
        out: args.out.clone(),
    })
}

/// The strips as measured: those with their own angle, and one at 90°.
fn bent(args: &CalibrateArgs) -> anyhow::Result<Vec<Strip>> {
    let mut bent = Vec::new();
    for (i, strip) in args.strip.chunks(4).enumerate() {
        let [one, other, blank, angle] = strip else { bail!("--strip takes four values") };
        let flag = format!("--strip {}", i + 1);
        let leg = |text: &str| length(&flag, text);
        let legs = [leg(one)?, leg(other)?];
        bent.push(Strip { legs, blank: leg(blank)?, angle: self::angle(&flag, angle)? });
    }
    if let ([one, other], Some(blank)) = (args.legs.as_slice(), &args.blank) {
        let legs = [length("--legs", one)?, length("--legs", other)?];
        bent.push(Strip { legs, blank: length("--blank", blank)?, angle: Angle::QUARTER });
    }
    Ok(bent)
}

/// All that was measured.
fn strips(args: &CalibrateArgs, bent: Vec<Strip>, tables: &Tables) -> anyhow::Result<Strips> {
    let v = length("--v", &args.v)?;
    let radius = match &args.radius {
        Some(radius) => length("--radius", radius)?,
        None => brake::inside_radius(v),
    };
    let material = typed::material(&args.material, tables)?;
    let flag = if args.nominal.is_some() { "--nominal" } else { "--thickness" };
    let nominal = thickness(flag, args.of_jobs(), material, tables)?;
    let measured = match &args.thickness {
        Some(text) => thickness("--thickness", text, material, tables)?,
        None => nominal,
    };
    if (measured - nominal).abs() > OFF_NOMINAL * nominal {
        bail!(
            "--thickness {} is more than {} % off --nominal {}: this is a different sheet",
            quantity::Units::Millimetre.length(measured),
            num::text(OFF_NOMINAL * 100.0, 0),
            quantity::Units::Millimetre.length(nominal)
        );
    }
    Ok(Strips {
        material: material.name().to_owned(),
        nominal,
        thickness: measured,
        v,
        radius,
        bent,
        under_load: args.under_load.as_ref().map(|text| angle("--under-load", text)).transpose()?,
    })
}

/// Maximum deviation of a sheet from its nominal thickness. Our choice: more than any standard
/// allows.
const OFF_NOMINAL: f64 = 0.15;

/// Adds the row, if the file can be read before and after and has no such row.
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
    if readable(&text)?.measured.iter().any(|known| known.is_like(measured)) {
        bail!("{} has a row for this sheet and V; remove it first", shown(file));
    }
    let newline = if text.is_empty() || text.ends_with('\n') { "" } else { "\n" };
    let text = format!("{text}{newline}\n{}", measured.row());
    readable(&text)?;
    replaced.with(text.as_bytes())
}
