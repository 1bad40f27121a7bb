//! The state of a job that was made, by part: the next one is compared with it.

use serde::Deserialize;
use serde::Serialize;

/// A job as made. Lengths are mm, in flats from their lower left corner.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct State {
    /// The job's own words for the issue of all its drawings.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub issue: Option<String>,
    /// The currency of all prices; empty where there are none.
    pub currency: String,
    /// The cost of the sheets, if all have a price.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sheet_cost: Option<f64>,
    /// Every part.
    pub part: Vec<PartState>,
    /// The hardware.
    pub hardware: Vec<Counted>,
    /// Tubes cut to length.
    pub tube: Vec<TubeState>,
    /// How many sheets of each kind.
    pub sheet: Vec<SheetState>,
    /// The findings of the checks.
    pub found: Vec<FoundState>,
}

/// A part as made.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct PartState {
    /// Its name.
    pub name: String,
    /// The letter of its issue; empty if the job replaces it.
    pub letter: String,
    /// The short hash of its geometry, metal and thickness.
    pub geometry: String,
    /// The name of its flat in an order, without the ending; empty if it is not ordered.
    pub file: String,
    /// Row of the table of materials.
    pub material: String,
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// Pieces to cut.
    pub pieces: u32,
    /// The price of one piece, if the shop has rates.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub price_each: Option<f64>,
    /// From the origin of the recipe's drawing to the lower left corner of the flat.
    pub corner_mm: [f64; 2],
    /// The outline of the blank, see [`crate::history::edges`].
    pub outline: String,
    /// The openings, each by name with its outline.
    pub openings: Vec<[String; 2]>,
    /// The bends.
    pub bends: Vec<BendState>,
    /// A hash of the etched marks; empty if there are none.
    pub marks: String,
    /// The work on holes and edges after cutting, a sentence each.
    pub work: Vec<String>,
    /// The welded edges, a sentence each.
    pub welds: Vec<String>,
    /// The bare gap to which ears are set when they are welded, mm; `None` if there are none, or if
    /// that was not recorded.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub set_gap_mm: Option<f64>,
}

/// A bend.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct BendState {
    /// Its name.
    pub name: String,
    /// Its centre line in the flat.
    pub line: String,
    /// The bend angle, degrees.
    pub angle_deg: f64,
    /// The inside radius, mm.
    pub radius_mm: f64,
    /// Whether it is bent up, seen on the top side.
    pub up: bool,
    /// How it is formed, as recipes say it; empty where that was not kept.
    pub form: String,
}

/// A quantity of an item.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Counted {
    /// The item, as ordered.
    pub what: String,
    /// How many.
    pub quantity: u32,
}

/// A tube cut to length.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct TubeState {
    /// Its name.
    pub name: String,
    /// Its section, as ordered.
    pub section: String,
    /// Pieces.
    pub quantity: u32,
    /// The length to cut it to, mm.
    pub length_mm: f64,
    /// The work on its ends.
    pub ends: String,
}

/// The sheets of one kind.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct SheetState {
    /// Its name in the job.
    pub name: String,
    /// How many are used.
    pub count: u32,
}

/// A finding.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct FoundState {
    /// The check.
    pub code: String,
    /// Its headline.
    pub headline: String,
    /// The parts it concerns.
    pub parts: Vec<String>,
}

/// The issue of a part.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Issued {
    /// Name of the part.
    pub part: String,
    /// The letter.
    pub letter: String,
    /// The short hash of its geometry.
    pub geometry: String,
}

impl State {
    /// A part by name.
    pub fn part(&self, name: &str) -> Option<&PartState> {
        self.part.iter().find(|part| part.name == name)
    }

    /// The issues of all parts.
    pub(super) fn issues(&self) -> Vec<Issued> {
        let issued = |part: &PartState| Issued {
            part: part.name.clone(),
            letter: part.letter.clone(),
            geometry: part.geometry.clone(),
        };
        self.part.iter().map(issued).collect()
    }

    /// The issue of a part as printed: the job's own text, else its letter.
    pub fn issue_of<'s>(&'s self, part: &'s PartState) -> &'s str {
        self.issue.as_deref().unwrap_or(&part.letter)
    }
}
