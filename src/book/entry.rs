//! One entry of the book: sheets of one size, or a remnant.

use crate::book::corners::Corners;
use crate::num;
use crate::quantity::Units;

/// Thicknesses this near, mm, are one: to a hundredth, as sheets are called. Our choice.
const SAME_THICKNESS: f64 = 0.01;

/// Outlines whose sides differ by less, mm, are one size. Our choice: what inches come out off.
const SAME_SIZE: f64 = 0.01;

/// Thickest sheet, mm. Our choice: beyond it a unit was mistyped.
const THICKEST: f64 = 200.0;

/// Maximum number of sheets of one entry. Our choice.
const MAX_SHEETS: u32 = 10_000;

/// Highest price of a sheet, in any money. Our choice.
const MAX_MONEY: f64 = 1e9;

/// Maximum number of letters of a name or a remark. Our choice.
const LONGEST: usize = 200;

/// Whether two thicknesses, mm, are those of one kind of sheet.
pub fn thickness_alike(a: f64, b: f64) -> bool {
    (a - b).abs() < SAME_THICKNESS
}

/// Sheets of one size, or a remnant.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// Its number in the book; none where it is not there yet.
    pub id: Option<i64>,
    /// Row of the table of materials.
    pub material: String,
    /// Thickness, mm.
    pub thickness: f64,
    /// The outline.
    pub corners: Corners,
    /// How many there are.
    pub quantity: u32,
    /// Whether it is a remnant: used first.
    pub remnant: bool,
    /// What one costs, where that is known.
    pub price: Option<f64>,
    /// What the price is counted in; empty where nothing says.
    pub currency: String,
    /// The shop's own name for it; may be empty.
    pub name: String,
    /// Its source, a supplier or a job; may be empty.
    pub from: String,
}

impl Entry {
    /// What is wrong with it.
    ///
    /// # Errors
    /// The key and the words.
    pub fn check(&self) -> Result<(), (&'static str, String)> {
        let word =
            |text: &str| text.chars().count() <= LONGEST && !text.chars().any(char::is_control);
        if self.id.is_some_and(|id| id < 1) {
            return Err(("id", "an entry number is 1 or more".into()));
        }
        if self.material.is_empty() || !word(&self.material) {
            return Err(("material", "a material is a row of the `material` table".into()));
        }
        if !(self.thickness > 0.0 && self.thickness <= THICKEST) {
            let words = format!("a thickness is more than 0 and at most {THICKEST} mm");
            return Err(("thickness_mm", words));
        }
        if self.quantity > MAX_SHEETS {
            return Err(("quantity", format!("an entry has at most {MAX_SHEETS} sheets")));
        }
        if self.price.is_some_and(|price| !(0.0..=MAX_MONEY).contains(&price)) {
            return Err(("price", "a price is a number, 0 or more".into()));
        }
        for (key, text) in
            [("currency", &self.currency), ("name", &self.name), ("from", &self.from)]
        {
            if !word(text) {
                return Err((key, format!("`{key}` is one line of at most {LONGEST} characters")));
            }
        }
        Ok(())
    }

    /// What it is called where it is used: its number, and its name where it has one.
    pub fn called(&self) -> String {
        let number = self.id.map_or_else(String::new, |id| format!("no. {id}"));
        match self.name.is_empty() {
            true => number,
            false => format!("{number}, {}", self.name),
        }
    }

    /// Metal and thickness: `S235 4 mm`.
    pub fn kind(&self) -> String {
        kind(&self.material, self.thickness)
    }

    /// Its size: `1000 mm × 500 mm`.
    pub fn size(&self) -> String {
        let [length, width] = self.corners.size().map(|mm| Units::Millimetre.length(mm));
        format!("{length} × {width}")
    }

    /// Whether it has this size along and across the grain, mm, and this area, mm².
    pub fn is_like(&self, size: [f64; 2], area: f64) -> bool {
        let own = self.corners.size();
        let [length, width] = [0, 1].map(|i| (own[i] - size[i]).abs() < SAME_SIZE);
        length && width && (self.corners.area() - area).abs() < SAME_SIZE * (own[0] + own[1])
    }
}

/// Metal and thickness, mm, as they are called.
pub(super) fn kind(material: &str, thickness: f64) -> String {
    format!("{material} {} mm", num::text(thickness, 3))
}
