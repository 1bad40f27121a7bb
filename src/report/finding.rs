//! Rows of the report on a finding.

use crate::diag::About;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Sources;
use crate::diag::Weight;
use crate::flat::Highlight;
use crate::flat::to_origin;
use crate::num::on_grid;
use crate::solve::Solved;
use serde::Serialize;

/// A finding.
#[derive(Clone, Debug, Serialize)]
pub struct FindingRow {
    pub(crate) severity: Weight,
    pub(crate) code: &'static str,
    pub(crate) headline: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) place: Option<String>,
    /// The parts it concerns, by name; empty if it concerns the job.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub parts: Vec<String>,
    /// The features of these parts it concerns; a part without an entry here is meant as a whole.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub features: Vec<FeatureRow>,
    /// The loads, sheets, links and tubes it is about, by name.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub others: Vec<OtherRow>,
    pub(crate) notes: Vec<String>,
    /// How many more of the same it speaks for.
    #[serde(skip_serializing_if = "is_none")]
    pub repeats: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) help: Option<String>,
    /// The same as parts, features and others, as ids.
    #[serde(skip)]
    pub(crate) about: Vec<About>,
}

/// Something of a part that a finding is about.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "lowercase")]
pub enum FeatureRow {
    /// A hole.
    Hole {
        /// Name of its part.
        part: String,
        /// Name of its face.
        face: String,
        /// Its name.
        name: String,
    },
    /// An opening of a cut or of a drawing.
    Opening {
        /// Name of its part.
        part: String,
        /// Its centre in the file of the flat.
        at_mm: [f64; 2],
    },
    /// A bend.
    Bend {
        /// Name of its part.
        part: String,
        /// Its name.
        name: String,
    },
    /// A face.
    Face {
        /// Name of its part.
        part: String,
        /// Its name.
        name: String,
    },
    /// An edge.
    Edge {
        /// Name of its part.
        part: String,
        /// Name of its face.
        face: String,
        /// Its name.
        name: String,
    },
    /// A mark.
    Mark {
        /// Name of its part.
        part: String,
        /// Its number in the flat, from 1.
        number: usize,
    },
    /// A place of the flat.
    Place {
        /// Name of its part.
        part: String,
        /// Its centre in the file of the flat.
        at_mm: [f64; 2],
    },
}

/// Something that is no part which a finding is about, by name.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "kind", content = "name", rename_all = "lowercase")]
pub enum OtherRow {
    /// A load.
    Load(String),
    /// A sheet.
    Sheet(String),
    /// A link.
    Link(String),
    /// A tube.
    Tube(String),
}

fn is_none(count: &usize) -> bool {
    *count == 0
}

/// The row of a finding.
pub(crate) fn row(finding: &Finding, sources: &Sources, solved: &[Solved]) -> FindingRow {
    let place = finding.marks.first().map(|mark| {
        let (line, column) = sources.line_and_column(mark.span);
        format!("{}:{line}:{column}", sources.name(mark.span.source))
    });
    let mut features = Vec::new();
    let mut others = Vec::new();
    for about in &finding.about {
        match about {
            About::Part { name, features: of_part } => {
                let part = solved.iter().find(|s| s.name == *name);
                let rows = |part| of_part.iter().map(move |f| feature_row(part, *f));
                features.extend(part.into_iter().flat_map(rows));
            }
            About::Load(name) => others.push(OtherRow::Load(name.clone())),
            About::Sheet(name) => others.push(OtherRow::Sheet(name.clone())),
            About::Link(name) => others.push(OtherRow::Link(name.clone())),
            About::Tube(name) => others.push(OtherRow::Tube(name.clone())),
        }
    }
    FindingRow {
        severity: finding.weight,
        code: finding.code,
        headline: finding.headline.clone(),
        place,
        parts: finding.parts().map(str::to_owned).collect(),
        features,
        others,
        notes: finding.notes.clone(),
        repeats: finding.repeats,
        help: finding.help.clone(),
        about: finding.about.clone(),
    }
}

fn feature_row(solved: &Solved, feature: Feature) -> FeatureRow {
    let part = solved.name.clone();
    let face_name = |face: usize| solved.part.faces[face].name.clone();
    match feature {
        Feature::Hole(id) => {
            let name = solved.part.hole(id).name.clone();
            FeatureRow::Hole { part, face: face_name(id.face), name }
        }
        Feature::Opening(index) => {
            let place = to_origin(&solved.flat.region);
            let at = place.apply(solved.flat.gaps()[index].bounds().centre());
            FeatureRow::Opening { part, at_mm: [on_grid(at.x), on_grid(at.y)] }
        }
        Feature::Bend(index) => {
            FeatureRow::Bend { part, name: solved.part.bends[index].name.clone() }
        }
        Feature::Face(index) => FeatureRow::Face { part, name: face_name(index) },
        Feature::Edge(id) => {
            let name = solved.part.faces[id.face].edges[id.edge].name.clone();
            FeatureRow::Edge { part, face: face_name(id.face), name }
        }
        Feature::Mark(index) => FeatureRow::Mark { part, number: index + 1 },
        Feature::Spot(_) => {
            let seen = solved.flat.seen(&solved.part, &[feature]);
            let centre = seen.iter().find_map(|seen| match seen {
                Highlight::Round(bounds) => Some(bounds.centre()),
                Highlight::Along(_) => None,
            });
            let place = to_origin(&solved.flat.region);
            let at = place.apply(centre.unwrap_or_default());
            FeatureRow::Place { part, at_mm: [on_grid(at.x), on_grid(at.y)] }
        }
    }
}
