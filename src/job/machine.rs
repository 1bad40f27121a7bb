//! The parts of a job in its machine: their positions and required clearances.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Table;
use crate::document::Value;
use crate::document::wrong_kind;
use crate::entry;
use crate::geom::NEAR;
use crate::geom::Space;
use crate::geom::cross;
use crate::geom::length;
use crate::geom::minus;
use crate::geom::unit;
use crate::job::points::Points;
use crate::machine::Body;
use crate::machine::Mirror;
use crate::machine::Travel;

/// What is in the machine beside the parts.
#[derive(Clone, Debug, Default)]
pub struct Machine {
    /// Its plane of symmetry.
    pub(crate) mirror: Option<Mirror>,
    /// The existing bodies, each with its required clearance.
    pub(crate) obstacles: Vec<(Body, RequiredClearance)>,
    /// Links of the job between points.
    pub(crate) links: Vec<LinkStands>,
    /// Tubes of the job between points.
    pub(crate) tubes: Vec<TubeStands>,
}

/// The required clearance of a body.
#[derive(Clone, Debug)]
pub(crate) struct RequiredClearance {
    /// What is to be left round it, mm.
    pub(crate) clearance: Option<f64>,
    /// What it is welded or bolted to.
    pub(crate) touches: Vec<(String, Span)>,
    /// The tubes that it passes right through, each in a slot; they are among what it touches.
    pub(crate) through: Vec<(String, Span)>,
    /// Whether it is on the other side as well.
    pub(crate) both_sides: bool,
    /// Where it is named.
    pub(crate) here: Span,
}

/// A link between two points.
#[derive(Clone, Debug)]
pub(crate) struct LinkStands {
    /// Index of the link in the job.
    pub(crate) link: usize,
    /// The places of its pins.
    pub(crate) pins: [Space; 2],
    /// How it moves about the first.
    pub(crate) travel: Travel,
    /// The points it travels to, as they are named, in that order.
    pub(crate) travel_points: Vec<(String, Span)>,
    /// The clearance it needs and what it touches.
    pub(crate) asked: RequiredClearance,
}

/// A tube between two points.
#[derive(Clone, Debug)]
pub(crate) struct TubeStands {
    /// Its name.
    pub(crate) name: String,
    /// Where its axis begins and ends: at the axes of the tubes it meets.
    pub(crate) ends: [Space; 2],
    /// The tubes that its ends meet, each with the distance along its axis from where that begins, mm.
    pub(crate) mains: [Option<(String, f64)>; 2],
    /// Outside diameter, mm.
    pub(crate) outside: f64,
    /// Whether any is made of it.
    pub(crate) is_made: bool,
    /// The clearance it needs and what it touches.
    pub(crate) asked: RequiredClearance,
}

/// The keys of the required clearance of a body.
pub(super) const ASKED: [&str; 4] = ["clearance", "touches", "through", "both_sides"];

impl RequiredClearance {
    /// What the entries of a body ask for.
    pub(super) fn read(fields: &Fields, here: Span) -> Self {
        let through = names(fields, "through");
        let mut asked = Self::of_obstacle(fields, here);
        asked.touches.extend(through.iter().cloned());
        Self { through, ..asked }
    }

    /// The same of an obstacle, which runs `through` points instead.
    pub(super) fn of_obstacle(fields: &Fields, here: Span) -> Self {
        let findings = fields.findings();
        Self {
            clearance: fields.get("clearance").and_then(|item| entry::length(item, findings)),
            touches: names(fields, "touches"),
            through: Vec::new(),
            both_sides: fields.flag("both_sides"),
            here,
        }
    }

    /// The names of the bodies it touches.
    pub(crate) fn names(&self) -> Vec<String> {
        self.touches.iter().map(|(name, _)| name.clone()).collect()
    }
}

/// The names of bodies in the list of a key.
fn names(fields: &Fields, key: &str) -> Vec<(String, Span)> {
    let findings = fields.findings();
    let name = |item: &Item| {
        let name = item.text().map(|text| (text.to_owned(), item.letters));
        if name.is_none() {
            findings.add(wrong_kind(item, "the name of a body"));
        }
        name
    };
    fields.list(key).iter().filter_map(name).collect()
}

/// `centre_plane`: three points in the plane of symmetry.
pub(super) fn mirror(fields: &Fields, points: &Points) -> Option<Mirror> {
    let item = fields.get("centre_plane")?;
    let findings = fields.findings();
    let [a, b, c] = three(item, points, findings)?;
    let normal = cross(minus(b, a), minus(c, a));
    if length(normal) > NEAR * length(minus(b, a)).max(1.0) {
        return Some(Mirror { at: a, normal: unit(normal) });
    }
    let finding = Finding::stop("points", "the three points of this plane lie on one line");
    findings.add(finding.at(item.span, "").help("name one off that line"));
    None
}

/// Three points by their names.
pub(super) fn three(item: &Item, points: &Points, findings: &Findings) -> Option<[Space; 3]> {
    let items = match &item.value {
        Value::List(items) if items.len() == 3 => items.as_slice(),
        _ => {
            let finding = wrong_kind(item, "a list of three points");
            findings.add(finding.help("write `[\"A\", \"B\", \"C\"]`"));
            return None;
        }
    };
    let places: Vec<Option<Space>> = items.iter().map(|i| points.named(i, findings)).collect();
    places.into_iter().collect::<Option<Vec<Space>>>()?.try_into().ok()
}

/// The entries of a table that have these keys, and the others.
pub(super) fn split(table: &Table, keys: &[&str]) -> (Table, Table) {
    let all = |own: bool| {
        let is_own = move |key: &str| keys.contains(&key) == own;
        let entries = table.iter().filter(move |(key, _)| is_own(key));
        entries.map(|(key, entry)| (key.to_owned(), entry.clone())).collect()
    };
    (all(true), all(false))
}
