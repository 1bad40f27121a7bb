//! The sheets a job has in stock.

use crate::bend::Method;
use crate::brake;
use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::entry::length;
use crate::entry::row;
use crate::formula;
use crate::job::Job;
use crate::job::family;
use crate::nest;
use crate::quantity::Reading;
use crate::recipe::Surroundings;
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
    /// Usual inside radius, mm.
    pub bend_radius: f64,
    /// How bends are computed.
    pub bend: Method,
    /// The sizes at hand.
    pub stock: Vec<Stock>,
    /// Where its name stands.
    pub span: Span,
}

/// Sheets of one size, or a remnant.
#[derive(Clone, Debug, PartialEq)]
pub struct Stock {
    /// As the nest knows it.
    pub sheet: nest::Stock,
}

/// Thickest sheet, mm. Our choice: beyond it a unit was mistyped.
const THICKEST: f64 = 200.0;

/// Most sheets of one size. Our choice.
const MOST_SHEETS: u32 = 10_000;

impl Stock {
    /// Extent along the grain, mm.
    pub fn length(&self) -> f64 {
        self.sheet.region.bounds().width()
    }

    /// Extent across the grain, mm.
    pub fn width(&self) -> f64 {
        self.sheet.region.bounds().height()
    }
}

impl Sheet {
    pub(super) fn read(
        item: &Item,
        tables: &Tables,
        shop: Option<&Shop>,
        findings: &Findings,
    ) -> Option<Self> {
        let fields = Fields::of(item, findings)?;
        let name = fields.needed_text("name", "\"S235 4 mm\"").map(str::to_owned);
        let span = fields.get("name").map_or(item.span, |i| i.letters);
        let material = fields.need("material", "\"S235\"");
        let material = material.and_then(|i| row(i, "material", tables, findings));
        let thickness = fields.need("thickness", "\"4 mm\"");
        let thickness =
            thickness.and_then(|i| self::thickness(i, material.as_deref(), tables, findings));
        let thickness = thickness.filter(|mm| is_sheet(*mm, &fields));
        let bend_radius = fields.get("bend_radius").and_then(|i| length(i, findings));
        let bend = match fields.get("bend") {
            Some(item) => method(item, findings),
            None => material.as_ref().map(|m| by_shop(shop, m, thickness)),
        };
        fields.need("stock", "[ { size = [\"2500 mm\", \"1250 mm\"] } ]");
        let stock: Vec<Stock> =
            fields.list("stock").iter().filter_map(|i| self::stock(i, findings)).collect();
        fields.finish();
        let thickness = thickness?;
        let (material, bend) = (material?, bend?);
        // Where a bend was measured, its radius is the one that comes out.
        let measured = match bend {
            Method::Measured { v, .. } => {
                shop.and_then(|s| s.measured(material.name(), thickness, v))
            }
            _ => None,
        };
        let usual = measured.map_or(thickness, |m| m.radius);
        Some(Self {
            name: name?,
            material,
            thickness,
            bend_radius: bend_radius.unwrap_or(usual),
            bend,
            stock,
            span,
        })
    }

    /// Its name as a piece of a file name: `S235 4 mm` becomes `S235-4-mm`.
    pub(super) fn file_word(&self) -> String {
        family::file_word(&self.name.replace(' ', "-"))
    }

    /// The names that recipes may use without declaring them.
    pub(super) fn surroundings(&self, job: &Job) -> Surroundings {
        let values = [
            ("thickness", formula::Value::length(self.thickness)),
            ("material", formula::Value::Row(self.material.clone())),
            ("bend_radius", formula::Value::length(self.bend_radius)),
            ("kerf", formula::Value::length(job.process.measure("kerf"))),
            ("coating", formula::Value::length(job.coating)),
        ];
        Surroundings::from(values).in_units(job.units)
    }
}

/// What was measured counts for more than the shop's usual formula, that for more than the metal's.
fn by_shop(shop: Option<&Shop>, material: &Row, thickness: Option<f64>) -> Method {
    let measured = shop.zip(thickness).and_then(|(shop, thickness)| {
        let v = shop.nearest_v(thickness).unwrap_or(brake::v_opening(thickness));
        let measured = shop.measured(material.name(), thickness, v)?;
        Some(Method::Measured { k: measured.k, v: measured.v })
    });
    let usual = || shop.and_then(|s| s.method).unwrap_or(usual_method(material));
    measured.unwrap_or_else(usual)
}

/// DIN 6935 was made for steel; aircraft practice computes aluminium by the FAA's formula.
fn usual_method(material: &Row) -> Method {
    if material.text("metal") == Some("aluminium") { Method::Faa } else { Method::Din6935 }
}

fn method(item: &Item, findings: &Findings) -> Option<Method> {
    match &item.value {
        Value::Text(text) if Method::named(text).is_some() => Method::named(text),
        Value::Number(k) if *k > 0.0 && *k <= 0.5 => Some(Method::K(*k)),
        _ => {
            findings.add(
                Finding::stop(
                    "unknown-word",
                    "bends go by `DIN 6935`, `FAA` or a K value up to 0.5",
                )
                .at(item.span, "")
                .help("write `bend = \"DIN 6935\"` or `bend = 0.42`"),
            );
            None
        }
    }
}

fn thickness(
    item: &Item,
    material: Option<&Row>,
    tables: &Tables,
    findings: &Findings,
) -> Option<f64> {
    let Some(text) = item.text() else { return length(item, findings) };
    let Ok(Reading::Gauge { number, metal }) = crate::quantity::read(text) else {
        return length(item, findings);
    };
    let metal = metal.or_else(|| material?.text("metal").map(str::to_owned))?;
    let found = tables.gauge(&metal, number);
    if found.is_none() {
        findings.add(
            Finding::stop("unknown-row", format!("there is no gauge {number} of {metal}"))
                .at(item.letters, "")
                .help("`platewright tables gauge` lists them; or write the thickness itself"),
        );
    }
    found.map(|q| q.value)
}

/// Whether anything so thick is a sheet; a finding when it is not.
fn is_sheet(mm: f64, fields: &Fields) -> bool {
    let good = mm > 0.0 && mm <= THICKEST;
    if !good {
        let span = fields.get("thickness").map_or(fields.here, |i| i.letters);
        let is = crate::num::text(mm, 3);
        let headline = format!("no sheet is {is} mm thick: more than 0, at most {THICKEST} mm");
        fields.add(
            Finding::stop("out-of-range", headline)
                .at(span, "")
                .help("write the thickness with its unit: `thickness = \"4 mm\"`"),
        );
    }
    good
}

fn stock(item: &Item, findings: &Findings) -> Option<Stock> {
    let fields = Fields::of(item, findings)?;
    let size = fields.need("size", "[\"2500 mm\", \"1250 mm\"]");
    let measures: Vec<f64> =
        fields.list("size").iter().filter_map(|i| length(i, findings)).collect();
    let count = fields.has("count").then(|| fields.count("count", MOST_SHEETS)).flatten();
    fields.finish();
    let sheet = match measures.as_slice() {
        [length, width] => nest::Stock::whole(*length, *width).ok(),
        _ => None,
    };
    match sheet {
        Some(sheet) => Some(Stock { sheet: nest::Stock { count, ..sheet } }),
        None => {
            let headline = "a size is two lengths, the one along the grain first";
            findings.add(
                Finding::stop("wrong-kind", headline)
                    .at(size?.span, "")
                    .help("write `size = [\"2500 mm\", \"1250 mm\"]`"),
            );
            None
        }
    }
}
