//! `platewright outline`: the contents of a foreign outline file, and a recipe to start from.
//!
//! The contents are printed as comments before the recipe, so that all of it can be kept in a file.

mod openings;
mod picture;

use crate::cli::ending::Ending;
use crate::cli::input;
use crate::cli::listing::aligned;
use crate::cli::outline::openings::openings;
use crate::cli::shelf;
use crate::cli::terminal;
use anyhow::Context;
use anyhow::anyhow;
use anyhow::bail;
use platewright::diag::Finding;
use platewright::diag::Sources;
use platewright::diag::Weight;
use platewright::geom::Edge;
use platewright::geom::JOIN;
use platewright::geom::Point;
use platewright::geom::Region;
use platewright::num;
use platewright::outline_in;
use platewright::outline_in::Found;
use platewright::outline_in::Looked;
use platewright::outline_in::Wish;
use platewright::quantity::Units;
use platewright::recipe;
use std::fmt::Write;
use std::path::Path;
use std::path::PathBuf;

/// A larger file is no drawing of a plate. Our choice, as for files of recipes.
const LARGEST: u64 = 64 << 20;

/// More texts than this are only counted. Our choice.
const NOTES: usize = 12;

#[derive(clap::Args)]
pub(super) struct OutlineArgs {
    /// The outline file, DXF or SVG
    file: PathBuf,
    /// Units of the file, if it does not state them or states them wrongly: mm or in
    #[arg(long, value_name = "UNITS", value_parser = ["mm", "in"])]
    units: Option<String>,
    /// Pixels per inch of an SVG file in pixels: 96, or 72 or 90 from older programs
    #[arg(long, value_name = "N", conflicts_with = "units", value_parser = clap::value_parser!(u32).range(1..=100_000))]
    per_inch: Option<u32>,
    /// The layer to read
    #[arg(long, value_name = "NAME")]
    layer: Option<String>,
    /// Draw the file as it is read, as SVG
    #[arg(long, value_name = "FILE")]
    picture: Option<PathBuf>,
}

/// `platewright outline`.
pub(super) fn outline(args: &OutlineArgs) -> anyhow::Result<Ending> {
    if let Some(file) = &args.picture {
        may_draw(file, &args.file)?;
    }
    let bytes = input::bytes(&args.file, LARGEST, "outline file")?;
    let name = args.file.file_name().map_or_else(String::new, |n| n.to_string_lossy().into());
    let wish = Wish {
        units: args.units.as_deref().map(|word| match word {
            "in" => Units::Inch,
            _ => Units::Millimetre,
        }),
        per_inch: args.per_inch.map(f64::from),
        layer: args.layer.as_deref(),
        layers: Vec::new(),
    };
    let looked = outline_in::look(&bytes, &wish)
        .map_err(|error| anyhow!("{error}; {}", recipe::outline_remedy(&error)))
        .with_context(|| format!("cannot read {}", shelf::shown(&args.file)))?;
    let faults = recipe::outline_faults(&name, &looked, &wish);
    let findings: Vec<Finding> = faults.iter().map(|fault| fault.finding.clone()).collect();
    terminal::findings(&findings, &Sources::default());
    let mut text = seen(&name, &looked);
    text.push_str(&start(&name, &looked, args));
    terminal::data(&text);
    if let Some(file) = &args.picture {
        std::fs::write(file, picture::svg(&name, &looked, &faults))
            .with_context(|| format!("cannot write {}", shelf::shown(file)))?;
    }
    let is_whole = findings.iter().all(|finding| finding.weight != Weight::Stop);
    Ok(if is_whole { Ending::Done } else { Ending::Stopped })
}

/// Whether a picture of an outline file may be written there: never over the file itself.
fn may_draw(picture: &Path, file: &Path) -> anyhow::Result<()> {
    let cannot = format!("cannot write {}", shelf::shown(picture));
    if !picture.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("svg")) {
        bail!("{cannot}: the picture is an SVG file, so its name must end in `.svg`");
    }
    if shelf::same(picture, file) {
        bail!("{cannot}: it is the outline file itself; give the picture another name");
    }
    Ok(())
}

fn at(p: Point) -> String {
    format!("({}, {})", num::text(p.x, 3), num::text(p.y, 3))
}

/// What is seen, as comments.
fn seen(name: &str, looked: &Looked) -> String {
    let mut text = format!("{name}\nunits: {}\nlayers:\n", looked.units);
    let rows: Vec<Vec<String>> = looked
        .layers
        .iter()
        .map(|layer| {
            let kinds: Vec<String> =
                layer.kinds.iter().map(|(kind, n)| format!("{n} {kind}")).collect();
            let of = format!("{} ({})", layer.of.word(), layer.why);
            vec![format!("  {}", layer.name), kinds.join(", "), of]
        })
        .collect();
    text.push_str(&aligned(&rows));
    notes(&mut text, &looked.texts);
    if let Some(Ok(region)) = &looked.plate {
        plate(&mut text, region);
    }
    if let Ok(found) = &looked.found {
        drawn(&mut text, found);
    }
    text.push_str(&next(name));
    let line = |line: &str| format!("# {line}").trim_end().to_owned() + "\n";
    text.lines().map(line).collect()
}

/// The texts that are left out: a note may say the metal or the quantity.
fn notes(text: &mut String, texts: &[(String, String)]) {
    for (layer, words) in texts.iter().take(NOTES) {
        let _ = writeln!(text, "note on layer {layer}, left out: {words}");
    }
    if texts.len() > NOTES {
        let _ = writeln!(text, "{} more notes, left out", texts.len() - NOTES);
    }
}

/// What to do with what is printed.
fn next(name: &str) -> String {
    let stem = Path::new(name).file_stem().map_or_else(String::new, |s| s.to_string_lossy().into());
    let quoted = if stem.contains(' ') { format!("\"{stem}\"") } else { stem.clone() };
    format!(
        "next: save this beside {name} as {stem}.toml; `platewright new {quoted} > job.toml` starts a job\n"
    )
}

fn plate(text: &mut String, region: &Region) {
    let (bounds, mm) = (region.bounds(), |x: f64| num::text(x, 2));
    let edges: Vec<Edge> = region.outer().edges().collect();
    let arcs = edges.iter().filter(|edge| !edge.is_line()).count();
    let _ = writeln!(
        text,
        "plate: {} x {} mm from {}, {} mm²; its outline has {} lines and {arcs} arcs, {} mm",
        mm(bounds.width()),
        mm(bounds.height()),
        at(bounds.min),
        mm(region.area()),
        edges.len() - arcs,
        mm(region.outer().length()),
    );
    for (size, places) in openings(region) {
        let places: Vec<String> = places.into_iter().map(at).collect();
        let _ = writeln!(text, "opening: {} {size}: {}", places.len(), places.join(", "));
    }
}

fn drawn(text: &mut String, found: &Found) {
    if found.off > 0.0 {
        // Never less than it is.
        let off = num::text((found.off * 1e4).ceil() / 1e4, 4);
        let _ = writeln!(
            text,
            "curves: the lines and arcs that replace them deviate by {off} mm at most"
        );
    }
    let gaps = match found.joined.as_slice() {
        [] => "none".to_owned(),
        all => {
            let widest = all.iter().copied().fold(0.0, f64::max);
            // Never less than it is.
            let widest = num::text((widest * 1e4 - 1e-6).ceil() / 1e4, 4);
            format!("{}, the widest {widest} mm", all.len())
        }
    };
    let _ = writeln!(text, "gaps joined: {gaps} (ends up to {JOIN} mm apart are joined)");
    for (i, line) in found.bends.iter().enumerate() {
        let long = num::text(line.length(), 2);
        let _ = writeln!(
            text,
            "bend line {}: from {} to {}, {long} mm",
            i + 1,
            at(line.from),
            at(line.to)
        );
    }
    if !found.marks.is_empty() {
        let _ = writeln!(text, "marks: {}", found.marks.len());
    }
}

/// The bend lines that a recipe bends on: the first of those that make one bend.
fn to_bend(looked: &Looked) -> Vec<usize> {
    let Ok(found) = &looked.found else { return Vec::new() };
    match &looked.plate {
        Some(Ok(region)) => recipe::first_lines(region, &found.bends),
        _ => (0..found.bends.len()).collect(),
    }
}

/// A recipe to start from.
fn start(name: &str, looked: &Looked, args: &OutlineArgs) -> String {
    let quoted = |text: &str| serde_json::to_string(text).unwrap_or_default();
    let mut step = format!("add = \"outline\", file = {}", quoted(name));
    let mut remark = "";
    if let Some(units) = looked.guessed {
        let _ = write!(step, ", units = \"{}\"", units.word());
        remark = "    # the units are guessed: measure one length";
    }
    if let Some(units) = &args.units {
        let _ = write!(step, ", units = \"{units}\"");
    }
    if let Some(count) = args.per_inch {
        let _ = write!(step, ", per_inch = {count}");
    }
    if let Some(layer) = &args.layer {
        let _ = write!(step, ", layer = {}", quoted(layer));
    }
    if looked.needs_map {
        let map: Vec<String> = looked
            .layers
            .iter()
            .map(|layer| format!("{} = \"{}\"", quoted(&layer.name), layer.of.word()))
            .collect();
        let _ = write!(step, ", layers = {{ {} }}", map.join(", "));
    }
    let about = quoted(&format!("Plate of {name}"));
    let mut text = format!(
        "about = {about}\n\n[face.plate]\nblank = [\n  {{ {step}, holes = \"sized\" }},{remark}\n]\n"
    );
    for number in to_bend(looked).into_iter().map(|line| line + 1) {
        let _ = write!(
            text,
            "\n[bend.b{number}]\nacross = \"plate\"\nline   = {{ drawn = {number} }}\n\
             to     = \"flange-{number}\"    # left of the line, looking along it; for the other side add moves = [\"X\", \"Y\"]\n\
             # angle  = \"90 deg\"    # not in the file, assumed: write what the print says\n\
             # side   = \"up\"        # not in the file, assumed: \"up\" or \"down\"\n"
        );
    }
    text
}
