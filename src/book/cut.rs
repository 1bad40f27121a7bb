//! What of a job that was made is cut from which sheets: read from its report.

use crate::book::entry::kind;
use crate::history::checksum;
use serde::Deserialize;
use serde_json::Value;
use std::path::Path;

/// The sheets of a job that was made.
#[derive(Clone, Debug, PartialEq)]
pub struct Cut {
    /// The identity of a layout: a checksum of all data of the sheets.
    pub layout: String,
    /// The identity of the parts made, on whichever sheets: a checksum of the parts with their
    /// issue's hash and their pieces.
    pub made: String,
    /// The sheets, in the order of the report.
    pub sheets: Vec<CutSheet>,
}

/// One sheet that is cut.
#[derive(Clone, Debug, PartialEq)]
pub struct CutSheet {
    /// What it is called: `S235-4-mm-01`.
    pub name: String,
    /// Row of the table of materials.
    pub material: String,
    /// Thickness, mm.
    pub thickness: f64,
    /// Along and across the grain, mm.
    pub size: [f64; 2],
    /// Metal, mm².
    pub area: f64,
    /// Its number in the book, where the job took it from there.
    pub book: Option<i64>,
    /// What is left of it, along and across the grain, mm; rounded down when the sheet was nested.
    pub remnant: Option<[f64; 2]>,
    /// What it costs, where the job says so.
    pub cost: Option<f64>,
}

impl CutSheet {
    /// The share of a remnant of this size, mm, in the price of the sheet: by area, to the hundredth.
    pub fn share(&self, price: f64, [length, width]: [f64; 2]) -> f64 {
        (price * (length * width / self.area).min(1.0) * 100.0).round() / 100.0
    }

    /// Metal and thickness: `S235 4 mm`.
    pub fn kind(&self) -> String {
        kind(&self.material, self.thickness)
    }
}

#[derive(Deserialize)]
struct Report {
    parts: Vec<Part>,
    sheets: Vec<Sheet>,
}

#[derive(Deserialize)]
struct Part {
    name: String,
    material: String,
    thickness_mm: f64,
    geometry: String,
    pieces: u32,
}

#[derive(Deserialize)]
struct Sheet {
    file: String,
    size_mm: [f64; 2],
    area_mm2: f64,
    book: Option<i64>,
    remnant_mm: Option<[f64; 2]>,
    cost: Option<f64>,
    placed: Vec<Placed>,
}

#[derive(Deserialize)]
struct Placed {
    part: String,
}

impl Cut {
    /// Reads the text of a `report.json`.
    ///
    /// # Errors
    /// What is wrong with it.
    pub fn read(report: &str) -> Result<Self, String> {
        let whole: Value = serde_json::from_str(report).map_err(|error| error.to_string())?;
        let layout = checksum(whole["sheets"].to_string().as_bytes());
        let report = Report::deserialize(&whole).map_err(|error| error.to_string())?;
        let part = |part: &Part| format!("{} {} {}", part.name, part.geometry, part.pieces);
        let mut parts: Vec<String> = report.parts.iter().map(part).collect();
        parts.sort();
        let made = checksum(parts.join("\n").as_bytes());
        let sheet = |sheet: &Sheet| {
            // A sheet is of the metal of the parts cut from it.
            let first = sheet.placed.first().map(|placed| placed.part.as_str());
            let part = report.parts.iter().find(|part| Some(part.name.as_str()) == first);
            let part = part.ok_or_else(|| format!("no part is on {}", sheet.file))?;
            let name = Path::new(&sheet.file).file_stem().unwrap_or_default();
            Ok(CutSheet {
                name: name.to_string_lossy().into_owned(),
                material: part.material.clone(),
                thickness: part.thickness_mm,
                size: sheet.size_mm,
                area: sheet.area_mm2,
                book: sheet.book,
                remnant: sheet.remnant_mm,
                cost: sheet.cost,
            })
        };
        Ok(Self {
            layout,
            made,
            sheets: report.sheets.iter().map(sheet).collect::<Result<_, String>>()?,
        })
    }
}
