//! Sheets and remnants as `stock add` is given them.

use crate::cli::shelf;
use crate::cli::shelf::shown;
use crate::cli::typed;
use anyhow::anyhow;
use anyhow::bail;
use platewright::book::Corners;
use platewright::book::Entry;
use platewright::diag::Sources;
use platewright::quantity;
use platewright::quantity::Dimension;
use platewright::quantity::Reading;
use platewright::shop;
use platewright::table::Tables;
use std::path::Path;

/// What is added.
#[derive(clap::Args)]
pub(crate) struct AddArgs {
    /// Row of the `material` table
    #[arg(long)]
    material: String,
    /// Thickness of the sheet, a length or a gauge
    #[arg(long)]
    thickness: String,
    /// Along the grain and across it
    #[arg(long, num_args = 1..=2, value_names = ["LENGTH", "WIDTH"], required_unless_present = "corner", conflicts_with = "corner")]
    size: Vec<String>,
    /// A corner of a remnant, along and across the grain; give the option once per corner, in order
    /// round it
    #[arg(long, num_args = 2, value_names = ["ALONG", "ACROSS"], action = clap::ArgAction::Append)]
    corner: Vec<String>,
    /// How many
    #[arg(long, value_name = "N", default_value_t = 1)]
    quantity: u32,
    /// What one costs, in the currency of the shop file
    #[arg(long, value_parser = typed::price)]
    price: Option<f64>,
    /// It is a remnant, used before whole sheets; a sheet given by its corners always is
    #[arg(long)]
    remnant: bool,
    /// The shop's own name for it
    #[arg(long, value_name = "TEXT", default_value = "")]
    name: String,
    /// Its source: a supplier or a job
    #[arg(long, value_name = "TEXT", default_value = "")]
    from: String,
}

impl AddArgs {
    /// The entry that is meant, for the book of a shop file.
    pub(super) fn entry(&self, shop: &Path) -> anyhow::Result<Entry> {
        let tables = typed::tables(Some(shop))?;
        let material = typed::material(&self.material, &tables)?;
        if self.quantity == 0 {
            bail!("--quantity is 1 or more");
        }
        let price = self.price;
        let entry = Entry {
            id: None,
            material: material.name().to_owned(),
            thickness: typed::thickness("--thickness", &self.thickness, material, &tables)?,
            corners: self.corners()?,
            quantity: self.quantity,
            remnant: self.remnant || !self.corner.is_empty(),
            price,
            currency: price.map_or_else(|| Ok(String::new()), |_| currency(shop, &tables))?,
            name: self.name.trim().to_owned(),
            from: self.from.trim().to_owned(),
        };
        entry.check().map_err(|(key, words)| anyhow!("{key}: {words}"))?;
        Ok(entry)
    }

    fn corners(&self) -> anyhow::Result<Corners> {
        if let [one] = self.size.as_slice() {
            bail!("--size is two lengths, each in its own quotes{}", written_as_two(one));
        }
        if let [length, width] = self.size.as_slice() {
            let sides = [typed::length("--size", length)?, typed::length("--size", width)?];
            return Corners::rectangle(sides[0], sides[1])
                .map_err(|error| anyhow!("--size: {error}"));
        }
        let mut points = Vec::new();
        for pair in self.corner.chunks(2) {
            let [along, across] = pair else { bail!("--corner takes two values") };
            points.push([coordinate(along)?, coordinate(across)?]);
        }
        Corners::new(&points).map_err(|error| {
            anyhow!("--corner: {error}; give the corners in order round the remnant, each once")
        })
    }
}

/// `: --size "600 mm" "400 mm"` for `600 x 400 mm`; nothing where no two lengths are in it.
fn written_as_two(text: &str) -> String {
    let sides: Vec<&str> = text.split(['x', '×', '*']).map(str::trim).collect();
    let [first, second] = sides[..] else { return String::new() };
    let unit = second.trim_start_matches(|c: char| c.is_ascii_digit() || ".-/ ".contains(c));
    let first = match first.ends_with(|c: char| c.is_ascii_digit()) {
        true => format!("{first} {unit}"),
        false => first.to_owned(),
    };
    let both = [first.as_str(), second].map(|side| typed::length("--size", side));
    match both {
        [Ok(_), Ok(_)] => format!(": --size \"{first}\" \"{second}\""),
        _ => String::new(),
    }
}

/// A length that may be 0.
fn coordinate(text: &str) -> anyhow::Result<f64> {
    match quantity::read(text) {
        Ok(Reading::Quantity(q)) if q.dimension == Dimension::LENGTH => Ok(q.value),
        Err(error) => bail!("--corner: {error}; {}", error.help()),
        Ok(_) => {
            bail!("--corner is two lengths with units, such as \"0 mm\" \"300 mm\", not `{text}`")
        }
    }
}

/// The currency of a shop file; none where there is no such file, or it says none.
pub(crate) fn currency(file: &Path, tables: &Tables) -> anyhow::Result<String> {
    if !file.exists() {
        return Ok(String::new());
    }
    let text = shelf::read(file)?;
    let mut sources = Sources::default();
    let source = sources.add(shown(file), &text);
    match shop::read(source, &text, tables) {
        Ok(shop) => Ok(shop.rates.map_or_else(String::new, |rates| rates.currency)),
        Err(_) => bail!(
            "the currency of {} cannot be read; put the shop file in order first (`platewright \
             check` of a job that names it shows what is wrong)",
            shown(file)
        ),
    }
}
