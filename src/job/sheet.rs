//! The sheets a job has in stock.

use crate::bend::Rule;
use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::document::unfit_label;
use crate::entry;
use crate::entry::Coating;
use crate::entry::file_word;
use crate::entry::length;
use crate::entry::row;
use crate::entry::unfit_for_files;
use crate::entry::unfit_name;
use crate::job::on_hand::FromBook;
use crate::job::on_hand::NAME_STOCK;
use crate::job::on_hand::OnHand;
use crate::job::stock::Stock;
use crate::quantity;
use crate::quantity::Dimension;
use crate::quantity::Reading;
use crate::recipe::Files;
use crate::shop::Shop;
use crate::table::Row;
use crate::table::Tables;
use std::sync::Arc;

/// One kind of sheet: a material and a thickness, in one or more sizes.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// The name parts call it by.
    pub name: String,
    /// Its row in the table of materials.
    pub material: Arc<Row>,
    /// In mm.
    pub thickness: f64,
    /// The gauge by which the job calls that, such as `11 ga`.
    pub gauge: Option<String>,
    /// Usual inside radius, mm, where the job says.
    pub bend_radius: Option<f64>,
    /// How its bends are calculated, where the job says.
    pub rule: Option<Rule>,
    /// The coating of its parts, if the job gives it.
    pub coating: Option<Coating>,
    /// The sizes at hand.
    pub stock: Vec<Stock>,
    /// The stock book that lists its stock, if the job does not.
    pub book: Option<FromBook>,
    /// The position of its name.
    pub span: Span,
}

/// Thickest sheet, mm. Our choice: beyond it a unit was mistyped.
const THICKEST: f64 = 200.0;

impl Sheet {
    /// Reads a sheet. `shop` is `None` if there is a shop file that cannot be read.
    pub(super) fn read(
        item: &Item,
        (tables, files): (&Tables, Files),
        shop: Option<Option<&Shop>>,
        on_hand: &OnHand,
        findings: &Findings,
    ) -> Option<Self> {
        let fields = Fields::of(item, findings)?;
        let name = fields.needed_label("name", "\"S235 4 mm\"").map(str::to_owned);
        let span = fields.get("name").map_or(item.span, |i| i.letters);
        let material = metal(&fields, tables);
        let thickness = fields.need("thickness", "\"4 mm\"");
        let thickness =
            thickness.and_then(|i| entry::thickness(i, material.as_deref(), tables, findings));
        let thickness = thickness.filter(|mm| is_sheet(*mm, &fields));
        let called = fields.get("thickness").and_then(Item::text).map(str::trim);
        let is_gauge = |text: &&str| matches!(quantity::read(text), Ok(Reading::Gauge { .. }));
        let gauge = called.filter(is_gauge).map(str::to_owned);
        let bend_radius = fields.get("bend_radius").and_then(|i| length(i, findings));
        let rule = fields.get("bend_method").and_then(|i| entry::bend_rule(i, findings));
        let coating = fields.get("coating").and_then(|i| entry::coating(i, tables, findings));
        let known = material.as_deref().map(Row::name).zip(thickness);
        let offered = || on_hand.offered_of(known);
        let (stock, book) = match fields.has("stock") {
            true => {
                let to_write = |item: &Item| match item.value {
                    Value::Table(_) => format!("write `stock = [ {} ]`", item.written()),
                    _ => format!("write `{NAME_STOCK}`"),
                };
                let lines = fields.list_or("stock", to_write).iter();
                (
                    Some(lines.filter_map(|i| Stock::read(i, files, &offered, findings)).collect()),
                    None,
                )
            }
            false => on_hand.stock(&fields, known).unzip(),
        };
        if let (Some(Rule::Measured), Some(material), Some(mm), Some(shop)) =
            (rule, &material, thickness, shop)
        {
            must_be_measured(shop, material.name(), mm, &fields);
        }
        fields.finish();
        let (material, thickness) = (material?, thickness?);
        let stock = stock.unwrap_or_default();
        let name = name?;
        Some(Self {
            name,
            material,
            thickness,
            gauge,
            bend_radius,
            rule,
            coating,
            stock,
            book,
            span,
        })
    }

    /// Its name as a piece of a file name: `S235 4 mm` becomes `S235-4-mm`.
    pub(crate) fn file_word(&self) -> String {
        file_word(&self.name.replace(' ', "-"))
    }
}

/// The metal and the thickness that the name of a sheet speaks of: `4130 3/16` of `4130` and
/// `3/16 in`.
pub(super) fn named(name: &str) -> Option<(&str, String)> {
    let (metal, thickness) = name.trim().split_once(' ')?;
    let thickness = thickness.trim();
    let is_length = |text: &str| match quantity::read(text) {
        Ok(Reading::Quantity(q)) => q.dimension == Dimension::LENGTH,
        Ok(Reading::Gauge { .. }) => true,
        Err(_) => false,
    };
    let inches = format!("{thickness} in");
    [thickness.to_owned(), inches]
        .into_iter()
        .find(|text| is_length(text))
        .map(|text| (metal, text))
}

/// A `[[sheet]]` to add for parts that name it, of a size of the shop's own, mm, where one is known.
pub(super) fn example(name: &str, size: Option<[f64; 2]>) -> String {
    let (metal, thickness) = named(name).unwrap_or(("S235", "4 mm".to_owned()));
    let [length, width] = size.unwrap_or([1000.0, 500.0]).map(|mm| crate::num::text(mm, 3));
    format!(
        "`\n[[sheet]]\nname      = \"{name}\"\nmaterial  = \"{metal}\"\nthickness = \"{thickness}\"\n\
         stock     = [ {{ size = [\"{length} mm\", \"{width} mm\"] }} ]\n`"
    )
}

/// A finding at `bend_method` when the shop has not measured this sheet.
fn must_be_measured(shop: Option<&Shop>, material: &str, thickness: f64, fields: &Fields) {
    if shop.and_then(|s| s.measured(material, thickness, 0.0)).is_none() {
        let span = fields.get("bend_method").map_or(fields.here, |i| i.span);
        let headline = "no bend of this sheet has been measured";
        fields.add(Finding::stop("measured-bend", headline).at(span, "").help(
            "name a `shop` whose file has a `[[measured]]` row of it (`platewright calibrate`)",
        ));
    }
}

/// Whether a thickness is that of a sheet; a finding if it is not.
fn is_sheet(mm: f64, fields: &Fields) -> bool {
    let good = mm > 0.0 && mm <= THICKEST;
    if !good {
        let span = fields.get("thickness").map_or(fields.here, |i| i.letters);
        let is = crate::num::text(mm, 3);
        let headline =
            format!("a thickness of {is} mm is out of range: more than 0, at most {THICKEST} mm");
        fields.add(
            Finding::stop("out-of-range", headline)
                .at(span, "")
                .help("write the thickness with its unit: `thickness = \"4 mm\"`"),
        );
    }
    good
}

/// The metal of a sheet: without these figures it would weigh nothing, or bend with no force.
fn metal(fields: &Fields, tables: &Tables) -> Option<Arc<Row>> {
    let (item, findings) = (fields.need("material", "\"S235\"")?, fields.findings());
    let metal = row(item, "material", tables, findings)?;
    let needed = ["density", "tensile", "elastic"];
    entry::has(&metal, &needed, ("a sheet", item), tables, findings).then_some(metal)
}

/// Sheets are distinguished by name, also where the name becomes that of a file.
pub(super) fn check_names(sheets: &[Sheet], findings: &Findings) {
    for (i, sheet) in sheets.iter().enumerate() {
        let word = sheet.file_word().to_lowercase();
        let words = unfit_for_files(&word);
        let help = "name it by its material and thickness: `S235 4 mm`";
        // An invalid name has been reported already.
        if let Some(words) = words.filter(|_| unfit_label(&sheet.name).is_none()) {
            findings.add(unfit_name(&sheet.name, words, sheet.span).help(help));
        }
        let same = |other: &&Sheet| other.file_word().to_lowercase() == word;
        if let Some(other) = sheets[..i].iter().find(same) {
            findings.add(
                Finding::stop("duplicate-name", format!("two sheets are called `{}`", sheet.name))
                    .at(sheet.span, "")
                    .at(other.span, "the other")
                    .help("give all sizes of one sheet in its `stock`"),
            );
        }
    }
}
