//! The sheets and remnants at hand, as a job lists them.

use crate::book::Entry;
use crate::diag::Finding;
use crate::document;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::entry;
use crate::entry::length;
use crate::geom::Outline;
use crate::geom::OutlineError;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Vertex;
use crate::geom::disc;
use crate::geom::rectangle;
use crate::job::locked;
use crate::job::locked::Locked;
use crate::nest;
use crate::nest::Sides;
use crate::num;
use crate::recipe;
use crate::recipe::Files;

/// Sheets of one size, or a remnant.
#[derive(Clone, Debug, PartialEq)]
pub struct Stock {
    /// The shop's name for it, if it has one.
    pub name: Option<String>,
    /// By keep-out, its name, if the job gives it.
    pub keep_out_names: Vec<Option<String>>,
    /// As the nest uses it; the rectangle round it has its lower left corner at the origin.
    pub sheet: nest::Stock,
    /// Whether its price was said.
    pub priced: bool,
    /// Its number in the stock book, if it is from the book.
    pub book: Option<i64>,
    /// The pieces on it that stay where they are, if it is a sheet of an earlier layout.
    pub locked: Option<Locked>,
}

/// Maximum number of sheets of one size. Our choice.
const MAX_SHEETS: u32 = 10_000;

/// Highest price of a sheet, in any money. Our choice.
const MAX_MONEY: f64 = 1e9;

/// The size of a sheet to offer, mm; `None` if the shop's own are not known.
type Offered<'o> = &'o dyn Fn() -> Option<[f64; 2]>;

/// The sides of the sheet to offer, else of a usual one, as they are typed.
fn sides(offered: Offered) -> [String; 2] {
    offered().unwrap_or([2500.0, 1250.0]).map(|mm| format!("{} mm", num::text(mm, 3)))
}

impl Stock {
    /// Extent along the grain, mm.
    pub fn length(&self) -> f64 {
        self.sheet.region.bounds().width()
    }

    /// Extent across the grain, mm.
    pub fn width(&self) -> f64 {
        self.sheet.region.bounds().height()
    }

    pub(super) fn read(
        item: &Item,
        files: Files,
        offered: Offered,
        findings: &Findings,
    ) -> Option<Self> {
        if let Some(text) = item.text() {
            findings.add(in_one_text(item, text, offered));
            return None;
        }
        let fields = Fields::of(item, findings)?;
        let name = fields.label("name", "\"from the gate\"").map(str::to_owned);
        let region = metal(&fields, files, offered);
        let holes = shapes(&fields, "holes", false);
        let keep_outs = shapes(&fields, "keep_out", true);
        let clamps = clamps(&fields);
        let count = fields.has("count").then(|| fields.count("count", MAX_SHEETS)).flatten();
        // There is one of a remnant, unless the job says otherwise.
        let count = if fields.has("size") || fields.has("count") { count } else { Some(1) };
        let price = fields.get("price").and_then(|item| money(item, findings));
        let first = fields.flag("first");
        let extent = region.as_ref().map(|r| [r.bounds().width(), r.bounds().height()]);
        let locked = extent.and_then(|size| locked::read(&fields, files, size));
        only_one(&fields, count);
        fields.finish();
        let mut region = region?;
        for Shape { outline: hole, at, .. } in holes? {
            region = match region.pierced(hole) {
                Ok(region) => region,
                Err(error) => {
                    let finding = Finding::stop("stock", error.to_string()).at(at.span, "");
                    findings.add(
                        finding.help("draw the hole inside the sheet, or the sheet edge around it"),
                    );
                    return None;
                }
            };
        }
        let home = Place::at(Point::ZERO - region.bounds().min.to_vec2());
        let keep_outs = keep_outs?;
        let kept = keep_outs.iter().map(|shape| shape.outline.area()).sum();
        if let Some(finding) = locked.as_ref().and_then(|of| of.differs([region.area(), kept])) {
            findings.add(finding);
        }
        let keep_out_names = keep_outs.iter().map(|shape| shape.name.clone()).collect();
        let sheet = nest::Stock {
            region: region.moved(&home),
            keep_outs: keep_outs.iter().map(|shape| shape.outline.moved(&home)).collect(),
            clamps: clamps?,
            count,
            price: price.unwrap_or(0.0),
            first,
        };
        Some(Self { name, keep_out_names, sheet, priced: price.is_some(), book: None, locked })
    }

    /// An entry of the stock book, at a price.
    pub(super) fn of_book(entry: &Entry, price: Option<f64>) -> Self {
        let sheet = nest::Stock {
            count: Some(entry.quantity),
            price: price.unwrap_or(0.0),
            first: entry.remnant,
            ..nest::Stock::new(entry.corners.region().clone())
        };
        Self {
            // The name of a stock says that it is a remnant.
            name: entry.remnant.then(|| entry.called()),
            keep_out_names: Vec::new(),
            sheet,
            priced: price.is_some(),
            book: entry.id,
            locked: None,
        }
    }
}

/// A finding if there is to be another number of a locked sheet than one.
fn only_one(fields: &Fields, count: Option<u32>) {
    let is_other = count.is_some_and(|count| count != 1);
    let item = fields.get("count").filter(|_| fields.has("locked") && is_other);
    if let Some(item) = item {
        let finding =
            Finding::stop("locked", "a locked sheet is a single sheet: its `count` must be 1")
                .at(item.span, "");
        fields.add(finding.help("remove `count`"));
    }
}

/// A sheet written as a text: `stock = [ "600 x 400 mm" ]`.
fn in_one_text(item: &Item, text: &str, offered: Offered) -> Finding {
    let size = entry::lengths_in(text).filter(|lengths| lengths.len() == 2);
    let size = size.unwrap_or_else(|| sides(offered).to_vec());
    document::wrong_kind(item, "a table")
        .help(format!("write `{{ size = [\"{}\"] }}`", size.join("\", \"")))
}

/// The metal by its size, its corners or a drawing.
fn metal(fields: &Fields, files: Files, offered: Offered) -> Option<Region> {
    let ways: Vec<&str> =
        ["size", "corners", "file"].into_iter().filter(|way| fields.has(way)).collect();
    match ways.as_slice() {
        ["size"] => {
            let (length, width) = size(fields, "size", offered)?;
            nest::Stock::whole(length, width).ok().map(|stock| stock.region)
        }
        ["corners"] => corners(fields).map(Region::solid),
        ["file"] => recipe::drawn(fields, files).map(|file| file.region),
        [_, second, ..] => {
            let headline = "a sheet has a `size`, or `corners`, or a `file`";
            let finding = Finding::stop("stock", headline).at(fields.get(second)?.span, "");
            fields.add(finding.help("remove all but one of them"));
            None
        }
        _ => {
            let [length, width] = sides(offered);
            fields.need("size", &format!("[\"{length}\", \"{width}\"]"));
            None
        }
    }
}

/// Two lengths, more than 0, the first along the grain.
fn size(fields: &Fields, name: &str, offered: Offered) -> Option<(f64, f64)> {
    let findings = fields.findings();
    let measures = entry::lengths(fields, name)?;
    if let [length, width] = measures.as_slice()
        && *length > 0.0
        && *width > 0.0
    {
        return Some((*length, *width));
    }
    let headline = "a size is two lengths, the one along the grain first";
    let at = fields.get(name)?.span;
    let [length, width] = sides(offered);
    let help = format!("write `size = [\"{length}\", \"{width}\"]`");
    findings.add(Finding::stop("wrong-kind", headline).at(at, "").help(help));
    None
}

/// An outline by its corners, joined by straight lines.
fn corners(fields: &Fields) -> Option<Outline> {
    let items = fields.list("corners");
    let points: Vec<Point> =
        items.iter().filter_map(|item| point(item, fields.findings())).collect();
    if points.len() < items.len() {
        return None;
    }
    let sharp = points.iter().map(|p| Vertex::sharp(p.x, p.y));
    outline(Outline::new(sharp), fields.get("corners")?, fields.findings())
}

/// Two lengths, which may be negative.
fn point(item: &Item, findings: &Findings) -> Option<Point> {
    entry::point(item, ["along the grain", "across it"], findings).map(|[x, y]| Point::new(x, y))
}

fn outline(
    made: Result<Outline, OutlineError>,
    item: &Item,
    findings: &Findings,
) -> Option<Outline> {
    match made {
        Ok(outline) => Some(outline),
        Err(error) => {
            let help = "give the corners in order round the shape, each once";
            findings.add(Finding::stop("stock", error.to_string()).at(item.span, "").help(help));
            None
        }
    }
}

/// A hole or a keep-out of a sheet.
struct Shape<'a> {
    outline: Outline,
    /// Its name.
    name: Option<String>,
    at: &'a Item,
}

/// Discs, rectangles and polygons, which may have names; `None` when one cannot be read.
fn shapes<'a>(fields: &Fields<'a>, name: &str, named: bool) -> Option<Vec<Shape<'a>>> {
    let findings = fields.findings();
    let shape = |item: &'a Item| {
        let fields = Fields::of(item, findings)?;
        let name =
            if named { fields.label("name", "\"scratched\"").map(str::to_owned) } else { None };
        let made = match fields.has("corners") {
            true => corners(&fields),
            false => {
                let at = fields.need("at", "[\"120 mm\", \"40 mm\"]");
                let at = at.and_then(|i| point(i, findings));
                if fields.has("diameter") {
                    let diameter = fields.get("diameter").and_then(|i| length(i, findings));
                    at.zip(diameter).and_then(|(at, d)| outline(disc(at, d / 2.0), item, findings))
                } else {
                    fields.need("size", "[\"80 mm\", \"60 mm\"]");
                    let size = size(&fields, "size", &|| None);
                    at.zip(size)
                        .and_then(|(at, (w, h))| outline(rectangle(at, w, h, 0.0), item, findings))
                }
            }
        };
        fields.finish();
        Some(Shape { outline: made?, name, at: item })
    };
    fields.list(name).iter().map(shape).collect()
}

fn clamps(fields: &Fields) -> Option<Sides> {
    let Some(item) = fields.get("clamps") else { return Some(Sides::default()) };
    let findings = fields.findings();
    let fields = Fields::of(item, findings)?;
    let side = |name: &str| match fields.get(name) {
        None => Some(0.0),
        Some(item) => length(item, findings),
    };
    let [left, right, bottom, top] = ["left", "right", "bottom", "top"].map(side);
    fields.finish();
    Some(Sides { left: left?, right: right?, bottom: bottom?, top: top? })
}

fn money(item: &Item, findings: &Findings) -> Option<f64> {
    match item.value {
        Value::Number(price) if (0.0..=MAX_MONEY).contains(&price) => Some(price),
        _ => {
            let headline = "a price is a number, 0 or more, in the shop's currency";
            let finding = Finding::stop("wrong-kind", headline).at(item.span, "");
            findings.add(finding.help("write `price = 38.50`"));
            None
        }
    }
}
