//! The list of parts, with the cost of each.

use crate::bill;
use crate::job::Job;
use crate::lists::cell::minutes;
use crate::lists::cell::money;
use crate::lists::cell::number;
use crate::place;
use crate::place::NestedSheet;
use crate::solve;
use crate::solve::Solved;
use serde::Serialize;

/// A row of the list; a cell is empty where there is no number.
#[derive(Default, Serialize)]
pub(super) struct PartLine {
    part: String,
    issue: String,
    geometry: String,
    recipe: String,
    material: String,
    #[serde(serialize_with = "number")]
    thickness_mm: Option<f64>,
    pieces: Option<u32>,
    #[serde(serialize_with = "number")]
    length_mm: Option<f64>,
    #[serde(serialize_with = "number")]
    width_mm: Option<f64>,
    #[serde(serialize_with = "number")]
    area_mm2_each: Option<f64>,
    #[serde(serialize_with = "number")]
    mass_kg_each: Option<f64>,
    #[serde(serialize_with = "number")]
    cut_length_mm_each: Option<f64>,
    #[serde(serialize_with = "number")]
    pierces_each: Option<f64>,
    #[serde(serialize_with = "number")]
    bends_each: Option<f64>,
    #[serde(serialize_with = "number")]
    holes_to_finish_each: Option<f64>,
    #[serde(serialize_with = "number")]
    bevel_length_mm_each: Option<f64>,
    #[serde(serialize_with = "number")]
    bead_length_mm_each: Option<f64>,
    #[serde(serialize_with = "minutes")]
    cutting_minutes_each: Option<f64>,
    #[serde(serialize_with = "minutes")]
    labour_minutes_each: Option<f64>,
    #[serde(serialize_with = "money")]
    metal_each: Option<f64>,
    #[serde(serialize_with = "money")]
    price_each: Option<f64>,
    #[serde(serialize_with = "money")]
    price_all: Option<f64>,
    currency: String,
}

/// The sums over all pieces.
struct Sums {
    pieces: u32,
    area: f64,
    mass: f64,
    cut_length: f64,
    pierces: f64,
    bends: f64,
    later: f64,
    bevels: f64,
    beads: f64,
    cutting_minutes: Option<f64>,
    labour_minutes: Option<f64>,
    price: Option<f64>,
}

impl Sums {
    fn new() -> Self {
        let (zero, some) = (0.0, Some(0.0));
        Self {
            pieces: 0,
            area: zero,
            mass: zero,
            cut_length: zero,
            pierces: zero,
            bends: zero,
            later: zero,
            bevels: zero,
            beads: zero,
            cutting_minutes: some,
            labour_minutes: some,
            price: some,
        }
    }

    /// Adds all pieces of a part.
    fn add(&mut self, row: &PartLine, pieces: u32) {
        let times = f64::from(pieces);
        self.pieces += pieces;
        let each = [
            (&mut self.area, row.area_mm2_each),
            (&mut self.mass, row.mass_kg_each),
            (&mut self.cut_length, row.cut_length_mm_each),
            (&mut self.pierces, row.pierces_each),
            (&mut self.bends, row.bends_each),
            (&mut self.later, row.holes_to_finish_each),
            (&mut self.bevels, row.bevel_length_mm_each),
            (&mut self.beads, row.bead_length_mm_each),
        ];
        for (sum, each) in each {
            *sum += each.unwrap_or(0.0) * times;
        }
        let minutes = [
            (&mut self.cutting_minutes, row.cutting_minutes_each),
            (&mut self.labour_minutes, row.labour_minutes_each),
        ];
        for (sum, each) in minutes {
            *sum = sum.zip(each).map(|(sum, each)| sum + each * times);
        }
        self.price = self.price.zip(row.price_all).map(|(sum, all)| sum + all);
    }

    /// Takes off what common cuts save.
    fn less(&mut self, saved: &Saved) {
        self.cut_length -= saved.length;
        self.pierces -= saved.pierces;
        let less = |sum: Option<f64>, by: Option<f64>| sum.zip(by).map(|(sum, by)| sum - by);
        self.cutting_minutes = less(self.cutting_minutes, saved.minutes);
        self.price = less(self.price, saved.price);
    }

    fn row(self, currency: String) -> PartLine {
        PartLine {
            part: "total".into(),
            pieces: Some(self.pieces),
            area_mm2_each: Some(self.area),
            mass_kg_each: Some(self.mass),
            cut_length_mm_each: Some(self.cut_length),
            pierces_each: Some(self.pierces),
            bends_each: Some(self.bends),
            holes_to_finish_each: Some(self.later),
            bevel_length_mm_each: Some(self.bevels),
            bead_length_mm_each: Some(self.beads),
            cutting_minutes_each: self.cutting_minutes,
            labour_minutes_each: self.labour_minutes,
            price_all: self.price,
            currency,
            ..PartLine::default()
        }
    }
}

/// A row a part, one for the saving by common cuts, and the sums over all pieces.
pub(super) fn rows(job: &Job, solved: &[Solved], nested: &[NestedSheet]) -> Vec<PartLine> {
    let mut sums = Sums::new();
    let mut rows = Vec::with_capacity(solved.len() + 2);
    for solved in solved {
        let row = row(job, solved);
        sums.add(&row, solve::pieces(job, solved));
        rows.push(row);
    }
    if nested.iter().any(|sheet| !sheet.route.common_cuts.is_empty()) {
        let saved = saved(job, solved, nested);
        sums.less(&saved);
        rows.push(saved.row(currency(job)));
    }
    rows.push(sums.row(currency(job)));
    rows
}

fn currency(job: &Job) -> String {
    job.rates().map_or_else(String::new, |rates| rates.currency.clone())
}

/// The row of a part.
fn row(job: &Job, solved: &Solved) -> PartLine {
    let sheet = &job.sheets[solved.sheet];
    let (region, price) = (&solved.flat.region, bill::price(job, solved));
    let (bounds, pieces) = (region.bounds(), solve::pieces(job, solved));
    PartLine {
        part: solved.name.clone(),
        issue: solved.issue.name(job).unwrap_or_default().to_owned(),
        geometry: solved.issue.geometry.clone(),
        recipe: job.lines[solved.line].recipe.0.clone(),
        material: sheet.material.name().to_owned(),
        thickness_mm: Some(sheet.thickness),
        pieces: Some(pieces),
        length_mm: Some(bounds.width()),
        width_mm: Some(bounds.height()),
        area_mm2_each: Some(region.area()),
        mass_kg_each: Some(price.mass),
        cut_length_mm_each: Some(region.length()),
        pierces_each: Some(price.pierces as f64),
        bends_each: Some(solved.part.bends.len() as f64),
        holes_to_finish_each: Some(price.later as f64),
        bevel_length_mm_each: Some(price.bevel_length),
        bead_length_mm_each: Some(price.bead_length),
        cutting_minutes_each: price.cutting_minutes,
        labour_minutes_each: price.hand_minutes,
        metal_each: price.metal,
        price_each: price.each(),
        price_all: price.each().map(|each| each * f64::from(pieces)),
        currency: price.currency,
    }
}

/// What common cuts save: mm of cut, pierces, money where the shop has rates.
struct Saved {
    length: f64,
    pierces: f64,
    minutes: Option<f64>,
    price: Option<f64>,
}

impl Saved {
    /// The row that takes it off.
    fn row(&self, currency: String) -> PartLine {
        PartLine {
            part: "saved by common cuts".into(),
            cut_length_mm_each: Some(-self.length),
            pierces_each: Some(-self.pierces),
            cutting_minutes_each: self.minutes.map(|minutes| -minutes),
            price_all: self.price.map(|price| -price),
            currency,
            ..PartLine::default()
        }
    }
}

/// What is saved on all sheets.
fn saved(job: &Job, solved: &[Solved], nested: &[NestedSheet]) -> Saved {
    let mut saved = Saved { length: 0.0, pierces: 0.0, minutes: Some(0.0), price: Some(0.0) };
    for nested in nested {
        let [apart, shared] = place::outline_cuts(solved, nested);
        let sheet = &job.sheets[nested.sheet];
        let rate = job.rates().and_then(|rates| {
            rates.cut(job.process.name(), sheet.material.name(), sheet.thickness)
        });
        let less = rate.map(|rate| {
            let of = |cuts: &place::OutlineCuts| rate.minutes(cuts.length, cuts.pierces);
            (of(&apart) - of(&shared), rate.hour / 60.0)
        });
        saved.length += apart.length - shared.length;
        saved.pierces += apart.pierces as f64 - shared.pierces as f64;
        saved.minutes = saved.minutes.zip(less).map(|(sum, (less, _))| sum + less);
        saved.price = saved.price.zip(less).map(|(sum, (less, price))| sum + less * price);
    }
    saved
}
