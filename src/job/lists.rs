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
use crate::job::lay;
use crate::num;
pub(super) use hardware::Hardware;
pub(super) use hardware::through;
pub(super) use links::link_tubes;
pub(super) use price::price;

/// A length of tube to be cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Tube {
    /// What it is for.
    pub name: String,
    /// Its section, as a person would order it: `38 × 2.6 mm, S235`.
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
    tubes: &[Tube],
) -> Result<Vec<NamedFile>, Finding> {
    let mut files = vec![file("parts.csv", &PARTS, parts(job, solved))?];
    let hardware = hardware(job, solved);
    if !hardware.is_empty() {
        files.push(file("hardware.csv", &hardware::HEAD, hardware::rows(&hardware))?);
    }
    if !tubes.is_empty() {
        files.push(file("tubes.csv", &TUBES, self::tubes(tubes))?);
    }
    Ok(files)
}

/// All that is bought: what goes through the holes, and what links are made of.
pub(super) fn hardware(job: &Job, solved: &[Solved]) -> Vec<Hardware> {
    let mut hardware = through(job, solved, solved);
    hardware.extend(links::hardware(job, solved));
    hardware
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
            .help("this is a fault of platewright: please report it with the job")
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
    "holes_later_each",
    "cutting_minutes_each",
    "hand_minutes_each",
    "metal_each",
    "price_each",
    "price_all",
    "currency",
];

/// A row a part, and the sums over all pieces.
fn parts(job: &Job, solved: &[Solved]) -> Vec<Vec<String>> {
    let mut rows = Vec::with_capacity(solved.len() + 1);
    let mut sums = [0.0; 10];
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
        row.extend(
            [price.cutting_minutes, price.hand_minutes]
                .map(|m| m.map_or_else(String::new, |m| num::text(m, 3))),
        );
        row.extend([price.metal, price.each(), all].map(money));
        row.push(price.currency.clone());
        rows.push(row);
    }
    let mut sum = vec!["all pieces".to_owned(), String::new(), String::new(), String::new()];
    sum.extend([pieces_all.to_string(), String::new(), String::new()]);
    sum.extend(sums.iter().take(6).map(|s| number(*s)));
    sum.extend([String::new(), String::new(), String::new(), String::new()]);
    sum.extend([money(price_all), job.rates().map_or_else(String::new, |r| r.currency.clone())]);
    rows.push(sum);
    rows
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
    let pieces: u32 = tubes.iter().map(|t| t.quantity).sum();
    let length: f64 = tubes.iter().map(|t| t.length * f64::from(t.quantity)).sum();
    let none = String::new;
    rows.push(vec!["all tubes".into(), none(), pieces.to_string(), number(length), none()]);
    rows
}

/// A number of a list: to a millionth.
fn number(x: f64) -> String {
    num::file_text(x)
}

/// A price to the hundredth; empty when there is none.
fn money(price: Option<f64>) -> String {
    price.map_or_else(String::new, |price| format!("{price:.2}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tubes_end_with_the_sum_of_their_lengths() {
        let tube = |name: &str, quantity, length| Tube {
            name: name.into(),
            section: "38 × 2.6 mm, S235".into(),
            quantity,
            length,
            ends: "square, \"deburred\"".into(),
        };
        let list =
            file("tubes.csv", &TUBES, tubes(&[tube("rail", 2, 800.5), tube("strut", 1, 99.0)]));
        let text = String::from_utf8(list.unwrap().bytes).unwrap();
        assert_eq!(
            text,
            "tube,section,pieces,cut_length_mm,ends\r\n\
             rail,\"38 × 2.6 mm, S235\",2,800.5,\"square, \"\"deburred\"\"\"\r\n\
             strut,\"38 × 2.6 mm, S235\",1,99,\"square, \"\"deburred\"\"\"\r\n\
             all tubes,,3,1700,\r\n"
        );
    }
}
