//! The purchase list, and the list of bars with the pieces cut from each.

use crate::bill;
use crate::bill::Bars;
use crate::bill::Hardware;
use crate::job::Job;
use crate::lists::cell::money;
use crate::lists::cell::number;
use crate::place::NestedSheet;
use crate::quantity::MM_PER_INCH;
use crate::quantity::Units;
use crate::solve::Solved;
use serde::Serialize;

/// A row of the purchase list.
#[derive(Serialize)]
pub(super) struct Purchase {
    item: &'static str,
    size: String,
    quantity: String,
    unit: &'static str,
    #[serde(rename = "for")]
    users: String,
    note: String,
    #[serde(serialize_with = "money")]
    price_each: Option<f64>,
    #[serde(serialize_with = "money")]
    price: Option<f64>,
    currency: String,
    /// The quantity as a number.
    #[serde(skip)]
    count: f64,
}

/// Everything that is bought: sheets, hardware with its washers and nuts, bars of tube, and what is
/// coated.
pub(super) fn rows(
    job: &Job,
    solved: &[Solved],
    nested: &[NestedSheet],
    bars: &[Bars],
) -> Vec<Purchase> {
    let mut rows = sheets(job, nested);
    let hardware = bill::hardware(job, solved);
    rows.extend(hardware.iter().map(screwed));
    rows.extend(beside(&hardware, "washer", |item| item.washers));
    rows.extend(beside(&hardware, "nut", |item| item.nuts));
    rows.extend(bars.iter().map(|bars| tube(job, bars)));
    rows.extend(bill::coated(job, solved).into_iter().map(|(film, area)| coated(job, film, area)));
    price(job, &mut rows);
    rows
}

/// Puts the prices in: those of sheets are there, all else costs what the shop pays for it. What
/// nobody said stays empty, and so does the total.
fn price(job: &Job, rows: &mut Vec<Purchase>) {
    let rates = job.rates();
    for row in rows.iter_mut() {
        let bought = || rates?.bought(row.item, &row.size);
        row.price_each = row.price_each.or_else(bought);
        row.price = row.price_each.map(|each| each * row.count);
        if row.price.is_some() {
            row.currency = rates.map_or_else(String::new, |rates| rates.currency.clone());
        }
    }
    let all: Option<f64> = rows.iter().map(|row| row.price).sum();
    if let (Some(price), [first, ..]) = (all, rows.as_slice()) {
        let currency = first.currency.clone();
        let total = row("total", String::new(), 0, String::new(), String::new());
        let quantity = String::new();
        rows.push(Purchase { quantity, unit: "", price: Some(price), currency, ..total });
    }
}

fn row(item: &'static str, size: String, quantity: u32, users: String, note: String) -> Purchase {
    Purchase {
        item,
        size,
        quantity: quantity.to_string(),
        unit: "pieces",
        users,
        note,
        price_each: None,
        price: None,
        currency: String::new(),
        count: f64::from(quantity),
    }
}

/// The sheets that are used, by kind and size.
fn sheets(job: &Job, nested: &[NestedSheet]) -> Vec<Purchase> {
    let mut counts: Vec<(usize, usize, u32)> = Vec::new();
    for sheet in nested {
        match counts
            .iter_mut()
            .find(|(kind, stock, _)| (*kind, *stock) == (sheet.sheet, sheet.stock))
        {
            Some((.., count)) => *count += 1,
            None => counts.push((sheet.sheet, sheet.stock, 1)),
        }
    }
    let one = |(kind, stock, count): (usize, usize, u32)| {
        let (sheet, stock) = (&job.sheets[kind], &job.sheets[kind].stock[stock]);
        let show = |mm: f64| job.units.length(mm);
        let size = format!("{}, {} × {}", sheet.name, show(stock.length()), show(stock.width()));
        let from = stock.book.map(|id| format!("no. {id} of the stock book"));
        let note = stock.name.clone().or(from).unwrap_or_default();
        let there = if stock.book.is_some() { "in stock: " } else { "" };
        let note = format!("{there}{note}");
        let price_each = stock.priced.then_some(stock.sheet.price);
        Purchase { price_each, ..row("sheet", size, count, String::new(), note) }
    };
    counts.into_iter().map(one).collect()
}

/// Hardware as it is ordered.
fn screwed(item: &Hardware) -> Purchase {
    let size = match item.length.is_empty() {
        true => item.thread.clone(),
        false => format!("{} × {}", item.thread, item.length),
    };
    let grade = match item.grade.is_none() && item.kind.is_bolt() {
        true => "grade not given: set `grade` in a load",
        false => "",
    };
    let remark = item.remark();
    let notes: Vec<&str> =
        [remark.as_str(), grade].into_iter().filter(|note| !note.is_empty()).collect();
    row(item.kind.word(), size, item.quantity, item.parts.join(" "), notes.join("; "))
}

/// Washers or nuts of all bolts, by thread.
fn beside(
    hardware: &[Hardware],
    item: &'static str,
    of: impl Fn(&Hardware) -> u32,
) -> Vec<Purchase> {
    let mut counts: Vec<(&str, u32)> = Vec::new();
    for bolt in hardware.iter().filter(|bolt| of(bolt) > 0) {
        match counts.iter_mut().find(|(thread, _)| *thread == bolt.thread) {
            Some((_, count)) => *count += of(bolt),
            None => counts.push((&bolt.thread, of(bolt))),
        }
    }
    let one = |(thread, count): (&str, u32)| {
        row(item, thread.to_owned(), count, "the bolts".to_owned(), String::new())
    };
    counts.into_iter().map(one).collect()
}

/// A part that is stopped: what it needs is not in the list.
pub(super) fn stopped(name: &str) -> Purchase {
    let note = "CAUTION: stopped and not made; nothing for it is in this list";
    row("stopped part", name.to_owned(), 0, String::new(), note.to_owned())
}

/// Whole bars of a tube.
fn tube(job: &Job, bars: &Bars) -> Purchase {
    let (count, least) = (bars.packing.bars.len(), bars.packing.least);
    let mut notes = vec![match count == least {
        true => "proven minimum".to_owned(),
        false => format!("at least {least} needed"),
    }];
    notes.push(format!("kerf {}", job.units.length(bars.kerf)));
    if !bars.said {
        notes.push("bar length assumed: give it in `[[bar]]`".to_owned());
    }
    let long = bars.too_long();
    if !long.is_empty() {
        notes.push(format!("CAUTION: longer than a bar and not included: {}", long.join(" ")));
    }
    let mut names: Vec<&str> = bars.pieces.iter().map(|(name, _)| name.as_str()).collect();
    names.dedup();
    let size = format!("{}, bar of {}", bars.section, job.units.length(bars.length));
    row("tube", size, count as u32, names.join(" "), notes.join("; "))
}

/// Area to be coated.
fn coated(job: &Job, film: f64, area: f64) -> Purchase {
    let (quantity, unit) = match job.units {
        Units::Millimetre => (area / 1e6, "m2"),
        Units::Inch => (area / (12.0 * MM_PER_INCH * 12.0 * MM_PER_INCH), "ft2"),
    };
    let size = format!("thickness {}", job.units.length(film));
    let note = "both faces and all edges of the plates, outside of tubes; waste not included";
    Purchase {
        quantity: crate::num::text(quantity, 3),
        unit,
        count: quantity,
        ..row("coating", size, 0, String::new(), note.to_owned())
    }
}

/// A piece on a bar, or what is left of it.
#[derive(Serialize)]
pub(super) struct BarRow<'a> {
    section: &'a str,
    bar: usize,
    piece: &'a str,
    #[serde(serialize_with = "number")]
    length_mm: Option<f64>,
}

/// The pieces of every bar in the order in which they are cut, then what is left.
pub(super) fn cuts(bars: &[Bars]) -> Vec<BarRow<'_>> {
    let mut rows = Vec::new();
    for bars in bars {
        for (i, bar) in bars.packing.bars.iter().enumerate() {
            let row = |piece, length| BarRow {
                section: &bars.section,
                bar: i + 1,
                piece,
                length_mm: Some(length),
            };
            rows.extend(bar.iter().map(|p| row(bars.pieces[*p].0.as_str(), bars.pieces[*p].1)));
            rows.push(row("offcut", bars.left(bar)));
        }
    }
    rows
}
