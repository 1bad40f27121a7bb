//! The shop and its stock in plain words: the sheets of the job, the contents of the shop file, and
//! its book.

use crate::book::Book;
use crate::job::Job;
use crate::job::Sheet;
use crate::job::Shelf;
use crate::quantity::Units;
use crate::serve::entries;
use crate::serve::form;
use crate::serve::labels;
use crate::serve::opened::At;
use crate::serve::opened::Opened;
use crate::serve::path;
use crate::serve::setting::CUTTING;
use crate::serve::setting::JOB;
use crate::serve::setting::SHEET;
use crate::serve::snapshot::ListedPart;
use crate::serve::snapshot::SnapshotJob;
use crate::shop::RollKind;
use crate::shop::Shop;
use crate::shop::Tools;
use crate::table::Tables;
use serde_json::Value;
use serde_json::json;

impl Opened {
    /// The shop and its stock.
    ///
    /// # Errors
    /// When the workshop cannot be entered, or the shop file not be read.
    pub fn shop(&self) -> Result<Value, String> {
        let At { seen, .. } = self.at();
        let Ok(job) = &seen.job else { return Err("the job cannot be read".to_owned()) };
        let named = seen.shop();
        let file = match &named {
            Some(name) => self.desk.file(name)?,
            None => None,
        };
        let mut shown = Value::Null;
        self.desk.in_workshop(&mut |workshop| {
            let shelf = workshop.shelf();
            shown = json!({
                "job": of_job(&seen.text, &job.ready.job, shelf.tables),
                "sheets": sheets(&seen.text, job, shelf.tables),
                "shop": file.as_deref().map(|text| of_shop(text, &job.ready.job, shelf.tables, named.as_deref())),
                "book": book(shelf, named.as_deref(), &job.ready.job),
                "currency": job.ready.job.rates().map(|rates| rates.currency.as_str()),
            });
        })?;
        Ok(shown)
    }
}

/// A field: its path, its value, its default.
fn field(
    text: &str,
    (path, key): (&str, &str),
    (kind, unit): (&str, &str),
    about: &str,
    value: Option<String>,
    options: Vec<[String; 2]>,
) -> Value {
    json!({
        "key": path, "called": labels::label_of_job(key), "hint": key, "kind": kind, "unit": unit, "about": about,
        "given": path::get(text, path), "value": value, "default": "",
        "min": null, "max": null, "options": options,
    })
}

fn of_job(text: &str, job: &Job, tables: &Tables) -> Vec<Value> {
    let unit = job.units.word();
    let show = |mm: f64| Some(job.units.length(mm));
    let words =
        |all: &[&str]| all.iter().map(|word| [(*word).to_owned(), (*word).to_owned()]).collect();
    let one = |key: &str| {
        let about = job.units.said(&entries::about_job(key));
        let (kind, value, options) = match key {
            "process" => ("row", None, form::rows(tables, "process", job.units)),
            "units" => ("choice", Some(job.units.word().to_owned()), words(&["mm", "in"])),
            "coating" => ("free", show(job.coating), form::rows(tables, "coating", job.units)),
            "margin" => ("number", show(job.margin), Vec::new()),
            "min_remnant" => ("number", show(job.min_remnant), Vec::new()),
            _ => (
                "number",
                job.gap.and_then(show).or_else(|| Some("by the process".into())),
                Vec::new(),
            ),
        };
        field(text, (key, key), (kind, unit), &about, value, options)
    };
    JOB.iter().map(|key| one(key)).collect()
}

fn sheets(text: &str, job: &SnapshotJob, tables: &Tables) -> Vec<Value> {
    let all = &job.ready.job;
    let parts = job.parts();
    let one = |(i, sheet): (usize, &Sheet)| {
        let fields = SHEET.iter().map(|key| {
            let path = format!("sheet.{i}.{key}");
            let about = entries::about("sheet", key);
            let about = match (*key, all.units) {
                ("thickness", Units::Inch) => about.replace("4 mm", "3/16 in"),
                _ => all.units.said(&about),
            };
            let (kind, options) = match *key {
                "material" => ("row", form::rows(tables, "material", all.units)),
                "coating" => ("free", form::rows(tables, "coating", all.units)),
                "thickness" | "name" => ("word", Vec::new()),
                _ => ("number", Vec::new()),
            };
            field(text, (&path, key), (kind, all.units.word()), &about, None, options)
        });
        let row = |n: usize| {
            let at = |key: &str| path::get(text, &format!("sheet.{i}.stock.{n}.{key}"));
            let known = sheet.stock.get(n);
            json!({
                "name": at("name"),
                "size": [at("size.0"), at("size.1")],
                "count": at("count"),
                "price": at("price"),
                "remnant": at("size.0").is_none(),
                "bounds": known.map(|of| size(all.units, of.length(), of.width())),
            })
        };
        let rows: Vec<Value> =
            (0..path::count(text, &format!("sheet.{i}.stock"))).map(row).collect();
        let is_on = |part: &&ListedPart| job.sheet(**part).is_some_and(|of| of.name == sheet.name);
        let is_here = path::get(text, &format!("sheet.{i}.name")).as_deref() == Some(&*sheet.name);
        json!({
            "index": i,
            "name": sheet.name,
            "here": is_here,
            "fields": fields.collect::<Vec<_>>(),
            "stock": rows,
            "from_book": sheet.stock.iter().filter(|of| of.book.is_some()).count(),
            "parts": parts.iter().filter(|part| is_on(part)).count(),
            "used_by": job.using(&sheet.name),
        })
    };
    all.sheets.iter().enumerate().map(one).collect()
}

fn size(units: Units, length: f64, width: f64) -> String {
    format!("{} × {}", units.size(length), units.size(width))
}

fn of_shop(text: &str, job: &Job, tables: &Tables, named: Option<&str>) -> Value {
    let unit = job.units.word();
    let mut groups = Vec::new();
    let about = |key: &str| {
        let column = tables.table("process").and_then(|table| table.column(key));
        column.map_or_else(
            || match key {
                "tolerance" => "tolerance of a cut edge, plus or minus".to_owned(),
                _ => String::new(),
            },
            |column| column.about.clone(),
        )
    };
    for i in 0..path::count(text, "cutting") {
        let process = path::get(text, &format!("cutting.{i}.process")).unwrap_or_default();
        let fields = CUTTING.iter().map(|key| {
            let path = format!("cutting.{i}.{key}");
            field(text, (&path, key), ("number", unit), &about(key), None, Vec::new())
        });
        groups.push(json!({ "heading": format!("Cutting, {process}"), "fields": fields.collect::<Vec<_>>() }));
    }
    let of_all = [
        ("coating", "coating thickness on every face, if the job gives none"),
        ("clearance", "clearance between a part and the tools it does not touch"),
    ];
    let fields = of_all.map(|(key, about)| {
        let kind = if key == "coating" { "free" } else { "number" };
        field(text, (key, key), (kind, unit), about, None, Vec::new())
    });
    groups.push(json!({ "heading": "All parts", "fields": fields }));
    json!({
        "name": named,
        "groups": groups,
        "tools": job.shop.as_deref().map(|shop| tools(shop, job.units)),
        "about": job.shop.as_deref().map(|shop| shop.about.as_str()),
    })
}

/// The tools of a shop, in words.
fn tools(shop: &Shop, units: Units) -> Vec<[String; 2]> {
    let mut all: Vec<[String; 2]> = Vec::new();
    for brake in &shop.brakes {
        let mut words = vec![format!("bends up to {} long", units.size(brake.length))];
        words.extend(brake.thickest.map(|mm| format!("up to {} of mild steel", units.size(mm))));
        words.extend(brake.force.map(|kn| format!("{} kN", crate::num::text(kn, 1))));
        words.extend(brake.pull.map(|pull| {
            let lever = units.size(pull.lever);
            format!("by hand, up to {} at {lever}", units.pull(pull.max))
        }));
        words.push(format!("to {}", brake.max_angle));
        if let Tools::Press(press) = &brake.tools {
            let mouths: Vec<String> = press.dies.iter().map(|die| units.size(die.v)).collect();
            words.push(format!("V {}", mouths.join(", ")));
            let punches: Vec<&str> =
                press.punches.iter().map(|punch| punch.name.as_str()).collect();
            words.push(format!("punches {}", punches.join(", ")));
        }
        all.push([brake.name.clone(), words.join("; ")]);
    }
    for roll in &shop.rolls {
        let kind = if roll.kind == RollKind::Rolls { "rolls" } else { "bends round a former" };
        let words = format!(
            "{kind} up to {} long, {} thick, from a radius of {}",
            units.size(roll.takes.length),
            units.size(roll.takes.thickest),
            units.size(roll.min_radius)
        );
        all.push([roll.name.clone(), words]);
    }
    for hemming in &shop.hemming {
        let words = format!(
            "flattens hems up to {} long, {} thick",
            units.size(hemming.takes.length),
            units.size(hemming.takes.thickest)
        );
        all.push([hemming.name.clone(), words]);
    }
    let listed = |all: &[f64]| all.iter().map(|mm| units.size(*mm)).collect::<Vec<_>>().join(", ");
    for (name, of) in [("drills", &shop.drills), ("hole saws", &shop.hole_saws)] {
        if !of.is_empty() {
            all.push([name.to_owned(), listed(of)]);
        }
    }
    all.extend(
        shop.oven.map(|room| ["oven".to_owned(), room.map(|mm| units.size(mm)).join(" × ")]),
    );
    for row in &shop.measured {
        let name = format!(
            "measured bends, {} {} over V {}",
            row.material,
            units.size(row.thickness),
            units.size(row.v)
        );
        all.push([name, format!("deduction {} at 90°", units.length(row.deduction))]);
    }
    all
}

/// The contents of the stock book; or why it cannot be read.
fn book(shelf: &Shelf, named: Option<&str>, job: &Job) -> Value {
    let book: Book = match (shelf.book)(named) {
        Ok(Some(book)) => book,
        Ok(None) => return Value::Null,
        Err(why) => return json!({ "why": why }),
    };
    let row = |entry: &crate::book::Entry| {
        let [length, width] = entry.corners.size();
        json!({
            "name": entry.called(),
            "material": entry.material,
            "thickness": job.units.size(entry.thickness),
            "size": size(job.units, length, width),
            "remnant": entry.remnant,
            "rectangle": entry.corners.is_rectangle(),
            "quantity": entry.quantity,
            "price": entry.price,
            "currency": entry.currency,
            "from": entry.from,
        })
    };
    json!({ "shown": book.shown, "entries": book.entries.iter().map(row).collect::<Vec<_>>() })
}
