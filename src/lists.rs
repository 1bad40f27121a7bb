//! Lists of a job: parts with what they cost, hardware, tubes.
//!
//! Plain CSV as of RFC 4180, lengths in mm, a head, a row each, and a row of totals where
//! totals make sense. A price that the shop gives no rate for stays empty, in its row and
//! in the total.

use crate::bill;
use crate::bill::Tube;
use crate::diag::Finding;
use crate::job::Job;
use crate::num;
use crate::place;
use crate::place::NestedSheet;
use crate::solve;
use crate::solve::Solved;
use crate::write::NamedFile;
use crate::write::csv;

/// The lists as files; one that would be empty is left out.
///
/// # Errors
/// When a list cannot be written, which is an error of the program.
pub(crate) fn lists(
    job: &Job,
    solved: &[Solved],
    nested: &[NestedSheet],
    tubes: &[Tube],
) -> Result<Vec<NamedFile>, Finding> {
    let mut files = vec![csv("parts.csv", &PARTS, parts(job, solved, nested))?];
    let hardware = bill::hardware(job, solved);
    if !hardware.is_empty() {
        files.push(csv("hardware.csv", &bill::HEAD, bill::rows(&hardware))?);
    }
    if !tubes.is_empty() {
        files.push(csv("tubes.csv", &TUBES, self::tubes(tubes))?);
    }
    Ok(files)
}

const PARTS: [&str; 19] = [
    "part",
    "recipe",
    "material",
    "thickness_mm",
    "pieces",
    "length_mm",
    "width_mm",
    "area_mm2_each",
    "mass_kg_each",
    "cut_length_mm_each",
    "pierces_each",
    "bends_each",
    "holes_to_finish_each",
    "cutting_minutes_each",
    "labour_minutes_each",
    "metal_each",
    "price_each",
    "price_all",
    "currency",
];

/// A row a part, one of what common cuts save, and the sums over all pieces.
fn parts(job: &Job, solved: &[Solved], nested: &[NestedSheet]) -> Vec<Vec<String>> {
    let mut rows = Vec::with_capacity(solved.len() + 1);
    let mut sums = [0.0; 6];
    let mut minutes_all = [Some(0.0); 2];
    let (mut pieces_all, mut price_all) = (0, Some(0.0));
    for solved in solved {
        let price = bill::price(job, solved);
        let pieces = solve::pieces(job, solved);
        let region = &solved.flat.region;
        let each = [
            region.area(),
            price.mass,
            region.length(),
            price.pierces as f64,
            solved.part.bends.len() as f64,
            price.later as f64,
        ];
        for (sum, each) in sums.iter_mut().zip(each) {
            *sum += each * f64::from(pieces);
        }
        let all = price.each().map(|each| each * f64::from(pieces));
        price_all = price_all.zip(all).map(|(sum, all)| sum + all);
        pieces_all += pieces;
        let minutes_each = [price.cutting_minutes, price.hand_minutes];
        for (sum, each) in minutes_all.iter_mut().zip(minutes_each) {
            *sum = sum.zip(each).map(|(sum, each)| sum + each * f64::from(pieces));
        }
        let mut row = named(job, solved);
        row.extend(each.map(number));
        row.extend(minutes_each.map(minutes));
        row.extend([price.metal, price.each(), all].map(money));
        row.push(price.currency.clone());
        rows.push(row);
    }
    if nested.iter().any(|sheet| !sheet.route.common_cuts.is_empty()) {
        let (saved, row) = saved(job, solved, nested);
        sums[2] -= saved.length;
        sums[3] -= saved.pierces;
        minutes_all[0] = minutes_all[0].zip(saved.minutes).map(|(sum, saved)| sum - saved);
        price_all = price_all.zip(saved.price).map(|(sum, saved)| sum - saved);
        rows.push(row);
    }
    let mut sum = vec!["total".to_owned(), String::new(), String::new(), String::new()];
    sum.extend([pieces_all.to_string(), String::new(), String::new()]);
    sum.extend(sums.map(number));
    sum.extend(minutes_all.map(minutes));
    sum.extend([String::new(), String::new()]);
    sum.extend([money(price_all), job.rates().map_or_else(String::new, |r| r.currency.clone())]);
    rows.push(sum);
    rows
}

/// The first cells of the row of a part: its name to its size.
fn named(job: &Job, solved: &Solved) -> Vec<String> {
    let sheet = &job.sheets[solved.sheet];
    let bounds = solved.flat.region.bounds();
    vec![
        solved.name.clone(),
        job.lines[solved.line].recipe.0.clone(),
        sheet.material.name().to_owned(),
        number(sheet.thickness),
        solve::pieces(job, solved).to_string(),
        number(bounds.width()),
        number(bounds.height()),
    ]
}

/// What common cuts save: mm of cut, pierces, money where the shop has rates.
struct Saved {
    length: f64,
    pierces: f64,
    minutes: Option<f64>,
    price: Option<f64>,
}

/// What is saved on all sheets, and the row that takes it off.
fn saved(job: &Job, solved: &[Solved], nested: &[NestedSheet]) -> (Saved, Vec<String>) {
    let mut saved = Saved { length: 0.0, pierces: 0.0, minutes: Some(0.0), price: Some(0.0) };
    for nested in nested {
        let [apart, shared] = place::rims(solved, nested);
        let sheet = &job.sheets[nested.sheet];
        let rate = job.rates().and_then(|rates| {
            rates.cut(job.process.name(), sheet.material.name(), sheet.thickness)
        });
        let less = rate.map(|rate| {
            let of = |rims: &place::Rims| rate.minutes(rims.length, rims.pierces);
            (of(&apart) - of(&shared), rate.hour / 60.0)
        });
        saved.length += apart.length - shared.length;
        saved.pierces += apart.pierces as f64 - shared.pierces as f64;
        saved.minutes = saved.minutes.zip(less).map(|(sum, (less, _))| sum + less);
        saved.price = saved.price.zip(less).map(|(sum, (less, price))| sum + less * price);
    }
    let mut row = vec![String::new(); PARTS.len()];
    let mut put = |column: &str, text: String| {
        if let Some(at) = PARTS.iter().position(|name| *name == column) {
            row[at] = text;
        }
    };
    put("part", "saved by common cuts".into());
    put("cut_length_mm_each", number(-saved.length));
    put("pierces_each", number(-saved.pierces));
    put("cutting_minutes_each", minutes(saved.minutes.map(|minutes| -minutes)));
    put("price_all", money(saved.price.map(|price| -price)));
    put("currency", job.rates().map_or_else(String::new, |r| r.currency.clone()));
    (saved, row)
}

const TUBES: [&str; 5] = ["tube", "section", "pieces", "cut_length_mm", "ends"];

fn tubes(tubes: &[Tube]) -> Vec<Vec<String>> {
    let row = |tube: &Tube| {
        vec![
            tube.name.clone(),
            tube.section.clone(),
            tube.quantity.to_string(),
            number(tube.length),
            tube.ends.clone(),
        ]
    };
    let mut rows: Vec<_> = tubes.iter().map(row).collect();
    // Lengths of one section are bought together; those of another are another bar.
    let mut sections: Vec<&str> = Vec::new();
    for tube in tubes {
        if !sections.contains(&tube.section.as_str()) {
            sections.push(&tube.section);
        }
    }
    for section in sections {
        let like = || tubes.iter().filter(|tube| tube.section == section);
        let pieces: u32 = like().map(|t| t.quantity).sum();
        let length: f64 = like().map(|t| t.length * f64::from(t.quantity)).sum();
        let note = "total cut length, saw kerf not included".to_owned();
        let head = "total of this section".to_owned();
        rows.push(vec![head, section.to_owned(), pieces.to_string(), number(length), note]);
    }
    rows
}

/// A number of a list: to a millionth.
fn number(x: f64) -> String {
    num::file_text(x)
}

/// Minutes to the thousandth; empty when there are none.
fn minutes(minutes: Option<f64>) -> String {
    minutes.map_or_else(String::new, |minutes| num::text(minutes, 3))
}

/// A price to the hundredth; empty when there is none.
fn money(price: Option<f64>) -> String {
    price.map_or_else(String::new, |price| format!("{price:.2}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tubes_end_with_the_sum_of_lengths_of_each_section() {
        let tube = |name: &str, quantity, wall, length| Tube {
            name: name.into(),
            section: format!("38 mm × {wall} mm, S235"),
            quantity,
            length,
            ends: "square, \"deburred\"".into(),
        };
        let all =
            [tube("rail", 2, 2.6, 800.5), tube("foot", 3, 4.0, 50.0), tube("strut", 1, 2.6, 99.0)];
        let list = csv("tubes.csv", &TUBES, tubes(&all));
        let text = String::from_utf8(list.unwrap().bytes).unwrap();
        assert_eq!(
            text,
            "tube,section,pieces,cut_length_mm,ends\r\n\
             rail,\"38 mm × 2.6 mm, S235\",2,800.5,\"square, \"\"deburred\"\"\"\r\n\
             foot,\"38 mm × 4 mm, S235\",3,50,\"square, \"\"deburred\"\"\"\r\n\
             strut,\"38 mm × 2.6 mm, S235\",1,99,\"square, \"\"deburred\"\"\"\r\n\
             total of this section,\"38 mm × 2.6 mm, S235\",3,1700,total cut length, saw kerf not included\r\n\
             total of this section,\"38 mm × 4 mm, S235\",3,150,total cut length, saw kerf not included\r\n"
        );
    }
}
