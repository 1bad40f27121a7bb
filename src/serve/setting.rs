//! Edits of the job as a whole, its sheets and the shop file that the page requests.

use crate::num::counted;
use crate::quantity::Units;
use crate::serve::begins;
use crate::serve::begins::begin;
use crate::serve::changed::Refused;
use crate::serve::path;
use crate::serve::renamed;
use crate::serve::renamed::Named;
use crate::serve::snapshot::Snapshot;
use crate::serve::snapshot::SnapshotJob;
use crate::serve::text;
use crate::serve::typed;
use serde::Deserialize;
use toml_edit::Array;
use toml_edit::InlineTable;
use toml_edit::Value;

/// What of a job as a whole is shown as fields.
pub(super) const JOB: [&str; 6] = ["process", "units", "coating", "gap", "margin", "min_remnant"];

/// What of a sheet.
pub(super) const SHEET: [&str; 5] = ["name", "material", "thickness", "bend_radius", "coating"];

/// What of a shop, and of how it cuts.
pub(super) const SHOP: [&str; 2] = ["coating", "clearance"];
pub(super) const CUTTING: [&str; 4] = ["kerf", "tolerance", "min_hole", "min_web"];

/// A change of the job as a whole, of its sheets or of the shop's file.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ShopEdit {
    /// Whether it is the shop's file that is changed.
    #[serde(default)]
    pub(super) shop: bool,
    change: Change,
}

#[derive(Clone, Debug, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
enum Change {
    /// A value by its path, such as `sheet.0.stock.1.count`.
    Set { path: String, value: Option<String>, was: Option<String> },
    /// One more size of a sheet.
    AddSize { sheet: usize, name: String },
    /// A remnant of the layout, as a line of the stock; the size it was cut from is one fewer.
    AddRemnant { sheet: usize, name: String, stock: String, from: From },
    /// A size of a sheet taken out.
    TakeSize { sheet: usize, name: String, row: usize, was: Option<String> },
    /// One more sheet.
    AddSheet {},
    /// A sheet taken out.
    TakeSheet { sheet: usize, name: String },
}

/// The size of a sheet by its place in the stock, and its count as the page shows it: none where the
/// stock has as many as are needed.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct From {
    row: Option<usize>,
    count: Option<u32>,
}

/// What kind of value a path has.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Sort {
    Word,
    Length,
    Count,
    Number,
}

impl ShopEdit {
    /// The value that is set by it.
    pub(super) fn path(&self) -> Option<&str> {
        match &self.change {
            Change::Set { path, .. } => Some(path),
            _ => None,
        }
    }

    /// A sheet that parts are on, or may choose, is not removed.
    pub(super) fn leaves_no_part_without(&self, job: &SnapshotJob) -> Result<(), Refused> {
        let Change::TakeSheet { name, .. } = &self.change else { return Ok(()) };
        let parts = job.using(name);
        let Some((first, rest)) = parts.split_first() else { return Ok(()) };
        let more = match rest.len() {
            0 => String::new(),
            n => format!(" and {}", counted(n, "other part")),
        };
        Err(format!(
            "the sheet `{name}` is not removed: `{first}`{more} would have no sheet; choose another \
             one there first"
        )
        .into())
    }

    /// A text after this, and what was done; the units are those of the job.
    pub(super) fn applied(&self, text: &str, units: Units) -> Result<(String, String), Refused> {
        match &self.change {
            Change::Set { path, value, was } => {
                let change = (path.as_str(), value.as_deref(), was.as_deref());
                set(text, (self.shop, units), change)
            }
            Change::AddSize { sheet, name } => {
                there(text, *sheet, name)?;
                let mut size = InlineTable::new();
                let sides: Array =
                    begins::SIZE.map(|side| begin(side, units)).into_iter().collect();
                size.insert("size", Value::Array(sides));
                size.insert("count", 1.into());
                let text = path::add(text, &format!("sheet.{sheet}.stock"), size)?;
                Ok((text, format!("{name}: size added")))
            }
            Change::AddRemnant { sheet, name, stock, from } => {
                there(text, *sheet, name)?;
                let (added, words) = add_remnant(text, *sheet, stock)?;
                let (text, fewer) = one_fewer(&added, *sheet, *from)?;
                Ok((text, format!("{words}{fewer}")))
            }
            Change::TakeSize { sheet, name, row, was } => {
                there(text, *sheet, name)?;
                let path = format!("sheet.{sheet}.stock.{row}");
                if path::get(text, &format!("{path}.size.0")) != *was {
                    return Err(Refused::Outside(
                        "this size was changed in the file \
                                                 meanwhile"
                            .into(),
                    ));
                }
                Ok((path::set(text, &path, None)?, format!("{name}: a size removed")))
            }
            Change::AddSheet {} => {
                let [material, thickness] =
                    [begins::MATERIAL, begins::THICKNESS].map(|of| begin(of, units));
                let name = fresh(text, &format!("{material} {thickness}"));
                let keys = [
                    ("name", Value::from(name.as_str())),
                    ("material", material.into()),
                    ("thickness", thickness.into()),
                    ("stock", Value::Array(Array::new())),
                ];
                Ok((text::add_entry(text, "sheet", &keys)?, format!("new sheet {name}")))
            }
            Change::TakeSheet { sheet, name } => {
                there(text, *sheet, name)?;
                let entry = text::Entry::new("sheet", *sheet);
                let entry = entry.ok_or_else(|| text::NOT_TOML.to_owned())?;
                Ok((text::take_out(text, entry)?, format!("sheet {name} removed")))
            }
        }
    }
}

/// The text with a remnant in the stock of a sheet, and what was done.
fn add_remnant(text: &str, sheet: usize, stock: &str) -> Result<(String, String), Refused> {
    let path = format!("sheet.{sheet}.stock");
    let unread = || Refused::Cannot("this is not an entry for `stock`".to_owned());
    let read: Value = stock.parse().map_err(|_| unread())?;
    let table = read.as_inline_table().cloned().ok_or_else(unread)?;
    let called = table.get("name").and_then(Value::as_str).ok_or_else(unread)?.to_owned();
    let rows = path::count(text, &path);
    if rows == 0 {
        let words =
            "its sizes are those of the stock book: `platewright cut` adds its remnants there";
        return Err(words.to_owned().into());
    }
    let sides =
        |text: &str, at: &str| ["0", "1"].map(|n| path::get(text, &format!("{at}.size.{n}")));
    let own = sides(&format!("own = {stock}"), "own");
    let names: Vec<Option<String>> =
        (0..rows).map(|n| path::get(text, &format!("{path}.{n}.name"))).collect();
    let is_there = |n: &usize| {
        names[*n].as_ref() == Some(&called) && sides(text, &format!("{path}.{n}")) == own
    };
    if (0..rows).any(|n| is_there(&n)) {
        return Err(format!("`{called}` is in the stock already").into());
    }
    // Another layout left another remnant of a sheet of that name.
    let numbered = (2..).map(|n| format!("{called}, {n}"));
    let is_free = |name: &String| !names.contains(&Some(name.clone()));
    let mut free = std::iter::once(called.clone()).chain(numbered);
    let called = free.find(is_free).unwrap_or_default();
    let mut table = table;
    table.insert("name", called.as_str().into());
    Ok((path::add(text, &path, table)?, format!("{called} added to the stock")))
}

/// The text in which a size of the stock is one fewer, without it where it was the last, and that in
/// words. Where the stock has as many as are needed, none is counted.
fn one_fewer(text: &str, sheet: usize, from: From) -> Result<(String, String), Refused> {
    let From { row: Some(row), count: Some(count) } = from else {
        return Ok((text.to_owned(), String::new()));
    };
    let path = format!("sheet.{sheet}.stock.{row}");
    // A remnant without a count is one.
    let is_there = path::get(text, &format!("{path}.name")).is_some()
        || path::get(text, &format!("{path}.size.0")).is_some();
    let there = path::get(text, &format!("{path}.count"));
    let there = there.map_or(1, |typed| typed.parse().unwrap_or(0));
    if there != count || count == 0 || !is_there {
        let words = "the stock has been changed in the file: check the layout again";
        return Err(Refused::Outside(words.to_owned()));
    }
    if count == 1 {
        return Ok((
            path::set(text, &path, None)?,
            ", the sheet it was cut from removed from the stock".to_owned(),
        ));
    }
    let fewer = Value::from(i64::from(count - 1));
    let text = path::set(text, &format!("{path}.count"), Some(fewer))?;
    Ok((text, format!(", count of the sheet it was cut from {count} → {}", count - 1)))
}

/// A name that no sheet has, like this one.
fn fresh(text: &str, like: &str) -> String {
    let all: Vec<String> = (0..path::count(text, "sheet"))
        .filter_map(|i| path::get(text, &format!("sheet.{i}.name")))
        .collect();
    let numbered = (2..).map(|n| format!("{like}, {n}"));
    let mut names = std::iter::once(like.to_owned()).chain(numbered);
    names.find(|name| !all.contains(name)).unwrap_or_default()
}

/// Checks that a sheet is still the one the page shows.
fn there(text: &str, sheet: usize, name: &str) -> Result<(), Refused> {
    match path::get(text, &format!("sheet.{sheet}.name")).as_deref() == Some(name) {
        true => Ok(()),
        false => Err(Refused::Outside(format!("the sheet `{name}` is no longer there"))),
    }
}

fn set(
    text: &str,
    (shop, units): (bool, Units),
    (path, value, was): (&str, Option<&str>, Option<&str>),
) -> Result<(String, String), Refused> {
    let there = path::get(text, path);
    let sort = match shop {
        true => sort_in_shop(path, there.as_deref()),
        false => sort_in_job(path),
    };
    let sort =
        sort.ok_or_else(|| Refused::Cannot(format!("`{path}` can only be changed in the text")))?;
    let called = path.rsplit('.').find(|step| step.parse::<usize>().is_err()).unwrap_or(path);
    if there.as_deref() != was {
        let now = there.as_deref().unwrap_or("its default");
        let words = format!(
            "`{called}` was changed in the file meanwhile, to {now}; that value \
                             is kept"
        );
        return Err(Refused::Outside(words));
    }
    let value = value.map(str::trim).filter(|value| !value.is_empty());
    let value = value.map(|value| match sort {
        Sort::Length => typed::whole(value, there.as_deref(), units.word()),
        _ => Ok(value.to_owned()),
    });
    let value = value.transpose()?;
    let value = value.as_deref();
    let [before, after] = [there.as_deref(), value].map(|value| value.unwrap_or("default"));
    let of = match path.split('.').collect::<Vec<_>>()[..] {
        ["sheet", i, ..] => path::get(text, &format!("sheet.{i}.name")),
        ["cutting", i, ..] => path::get(text, &format!("cutting.{i}.process")),
        _ => None,
    };
    let of = of.map_or_else(String::new, |of| format!("{of}: "));
    let name = format!("{of}{called} {before} → {after}");
    let sheet = match path.split('.').collect::<Vec<_>>()[..] {
        ["sheet", _, "name"] if !shop => Some((there.as_deref(), value)),
        _ => None,
    };
    let value = value.map(|value| of_file(value, sort, called)).transpose()?;
    let changed = path::set(text, path, value)?;
    match sheet {
        Some((Some(from), Some(to))) => Ok((rename_sheet(&changed, from, to)?, name)),
        Some(_) => Err("a sheet needs a name: parts refer to it".to_owned().into()),
        None => Ok((changed, name)),
    }
}

/// The text in which a sheet has another name already, and what refers to it does so by that.
fn rename_sheet(text: &str, from: &str, to: &str) -> Result<String, Refused> {
    let names =
        (0..path::count(text, "sheet")).filter_map(|i| path::get(text, &format!("sheet.{i}.name")));
    if names.filter(|name| name == to).count() > 1 {
        return Err(format!("there is already a sheet `{to}`").into());
    }
    Ok(renamed::renamed(text, Named::Sheet, from, to)?)
}

/// What kind of value a key of a job or of a sheet has; a coating is a row of a table or a thickness.
fn sort_of(key: &str) -> Sort {
    match key {
        "process" | "units" | "name" | "material" => Sort::Word,
        _ => Sort::Length,
    }
}

/// What of a job is changed by its path.
fn sort_in_job(path: &str) -> Option<Sort> {
    match path.split('.').collect::<Vec<_>>()[..] {
        [key] => JOB.contains(&key).then(|| sort_of(key)),
        ["sheet", _, key] => SHEET.contains(&key).then(|| sort_of(key)),
        ["sheet", _, "stock", _, "name"] => Some(Sort::Word),
        ["sheet", _, "stock", _, "size", "0" | "1"] => Some(Sort::Length),
        ["sheet", _, "stock", _, "count"] => Some(Sort::Count),
        ["sheet", _, "stock", _, "price"] => Some(Sort::Number),
        _ => None,
    }
}

/// The same for a shop file: existing keys are left as they are, required keys of a cut are added.
fn sort_in_shop(path: &str, there: Option<&str>) -> Option<Sort> {
    let is_cut = |key: &str| CUTTING.contains(&key);
    match path.split('.').collect::<Vec<_>>()[..] {
        [key] => SHOP.contains(&key).then_some(Sort::Length),
        ["cutting", _, key] => is_cut(key).then_some(Sort::Length),
        ["rates", key] if key != "currency" => there?.parse::<f64>().ok().map(|_| Sort::Number),
        _ => None,
    }
}

fn of_file(value: &str, sort: Sort, called: &str) -> Result<Value, Refused> {
    match sort {
        Sort::Word | Sort::Length => Ok(Value::from(value)),
        Sort::Count => match value.parse::<u32>() {
            Ok(count) => Ok(Value::from(i64::from(count))),
            Err(_) => Err(format!(
                "`{value}` is not a number of sheets: type a whole \
                                   number"
            )
            .into()),
        },
        Sort::Number => match value.parse::<f64>() {
            Ok(number) if number.is_finite() && number >= 0.0 => Ok(Value::from(number)),
            _ if value.contains(',') => {
                let point = value.replacen(',', ".", 1);
                Err(format!("decimals are written with a point: type `{point}`").into())
            }
            _ => Err(format!("`{value}` is not a {called}: type a number such as 38.50").into()),
        },
    }
}

impl Snapshot {
    /// The shop file as the job names it.
    pub(super) fn shop(&self) -> Option<String> {
        path::get(&self.text, "shop")
    }
}
