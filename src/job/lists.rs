//! Lists of a job: parts with what they cost, hardware, tubes.
//!
//! Plain CSV as of RFC 4180, lengths in mm, a head, a row each, and a row of sums where
//! sums make sense. A price that the shop gives no rate for stays empty, in its row and
//! in the sum.

mod hardware;
mod links;
mod price;

use crate::diag::Finding;
use crate::job::Job;
use crate::job::NamedFile;
use crate::job::Solved;
use crate::job::common;
use crate::job::lay;
use crate::job::lay::Laid;
use crate::num;
use hardware::Hardware;
pub(super) use hardware::through;
pub(super) use links::link_tubes;
pub(super) use links::section;
pub(super) use price::price;

/// A length of tube to be cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Tube {
    /// What it is for.
    pub name: String,
    /// Its section, as a person would order it: `38 mm × 2.6 mm, S235`.
    pub section: String,
    /// Pieces.
    pub quantity: u32,
    /// Length to cut it to, mm, with what coping takes off later.
    pub length: f64,
    /// What is done to its ends.
    pub ends: String,
}

/// The lists as files; one that would be empty is left out.
///
/// # Errors
/// When a list cannot be written, which is a fault of ours.
pub(super) fn lists(
    job: &Job,
    solved: &[Solved],
    laid: &[Laid],
    tubes: &[Tube],
) -> Result<Vec<NamedFile>, Finding> {
    let mut files = vec![file("parts.csv", &PARTS, parts(job, solved, laid))?];
    let hardware = hardware(job, solved);
    if !hardware.is_empty() {
        files.push(file("hardware.csv", &hardware::HEAD, hardware::rows(&hardware))?);
    }
    if !tubes.is_empty() {
        files.push(file("tubes.csv", &TUBES, self::tubes(tubes))?);
    }
    Ok(files)
}

/// Everything to buy that is screwed: bolts with washers and nuts, and what links and
/// clevises are made of.
pub(super) fn hardware(job: &Job, solved: &[Solved]) -> Vec<Hardware> {
    let mut all = through(job, solved, solved);
    all.extend(links::hardware(job, solved));
    all
}

/// A list as a file.
pub(super) fn file(
    name: &str,
    head: &[&str],
    rows: impl IntoIterator<Item = Vec<String>>,
) -> Result<NamedFile, Finding> {
    let mut writer =
        csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(vec![]);
    let fault = |error: String| {
        Finding::stop("list", format!("{name} cannot be written: {error}"))
            .help("this is an error in platewright: please report it with the job")
    };
    writer.write_record(head).map_err(|e| fault(e.to_string()))?;
    for row in rows {
        writer.write_record(row).map_err(|e| fault(e.to_string()))?;
    }
    let bytes = writer.into_inner().map_err(|e| fault(e.to_string()))?;
    Ok(NamedFile { name: name.to_owned(), bytes })
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
fn parts(job: &Job, solved: &[Solved], laid: &[Laid]) -> Vec<Vec<String>> {
    let mut rows = Vec::with_capacity(solved.len() + 1);
    let mut sums = [0.0; 6];
    let mut minutes_all = [Some(0.0); 2];
    let (mut pieces_all, mut price_all) = (0, Some(0.0));
    for solved in solved {
        let sheet = &job.sheets[solved.sheet];
        let price = price(job, solved);
        let pieces = lay::pieces(job, solved);
        let region = &solved.flat.region;
        let bounds = region.bounds();
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
        let mut row = vec![
            solved.name.clone(),
            job.lines[solved.line].recipe.0.clone(),
            sheet.material.name().to_owned(),
            number(sheet.thickness),
            pieces.to_string(),
            number(bounds.width()),
            number(bounds.height()),
        ];
        row.extend(each.map(number));
        row.extend(minutes_each.map(minutes));
        row.extend([price.metal, price.each(), all].map(money));
        row.push(price.currency.clone());
        rows.push(row);
    }
    if laid.iter().any(|sheet| !sheet.route.common.is_empty()) {
        let (saved, row) = saved(job, solved, laid);
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

/// What common cuts save: mm of cut, pierces, money where the shop has rates.
struct Saved {
    length: f64,
    pierces: f64,
    minutes: Option<f64>,
    price: Option<f64>,
}

/// What is saved on all sheets, and the row that takes it off.
fn saved(job: &Job, solved: &[Solved], laid: &[Laid]) -> (Saved, Vec<String>) {
    let mut saved = Saved { length: 0.0, pierces: 0.0, minutes: Some(0.0), price: Some(0.0) };
    for laid in laid {
        let [apart, shared] = common::rims(solved, laid);
        let sheet = &job.sheets[laid.sheet];
        let rate = job.rates().and_then(|rates| {
            rates.cut(job.process.name(), sheet.material.name(), sheet.thickness)
        });
        let less = rate.map(|rate| {
            let of = |rims: &common::Rims| rate.minutes(rims.length, rims.pierces);
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
        let note = "total of cut lengths without saw cuts".to_owned();
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
        let list = file("tubes.csv", &TUBES, tubes(&all));
        let text = String::from_utf8(list.unwrap().bytes).unwrap();
        assert_eq!(
            text,
            "tube,section,pieces,cut_length_mm,ends\r\n\
             rail,\"38 mm × 2.6 mm, S235\",2,800.5,\"square, \"\"deburred\"\"\"\r\n\
             foot,\"38 mm × 4 mm, S235\",3,50,\"square, \"\"deburred\"\"\"\r\n\
             strut,\"38 mm × 2.6 mm, S235\",1,99,\"square, \"\"deburred\"\"\"\r\n\
             total of this section,\"38 mm × 2.6 mm, S235\",3,1700,total of cut lengths without saw cuts\r\n\
             total of this section,\"38 mm × 4 mm, S235\",3,150,total of cut lengths without saw cuts\r\n"
        );
    }
}
