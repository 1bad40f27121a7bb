//! The bolts, washers and nuts in the holes.
//!
//! A bolt clamps the plate of its hole and those lying on that, or, through the eyes of a clevis,
//! everything between the outer faces of the ears: the fact `grip` of the recipe. Further layers
//! are the job's `clamped`. A countersunk screw has one washer, under its nut, and none where it is
//! turned into a thread; the length of a flat head counts, that of a cap head does not. A bolt is
//! as long as grip, washers, nut, and two turns of thread beyond the nut (common practice), made up
//! to the next length in the table of nominal lengths (ISO 888, from memory; inch bolts in quarters
//! of an inch, common practice), no shorter than the shortest of its size; what is longer than the
//! longest has a note.

use crate::formula::Value;
use crate::job::Job;
use crate::joint::Head;
use crate::joint::StockLength;
use crate::joint::TURNS_BEYOND;
use crate::joint::made_up;
use crate::part::Hole;
use crate::part::seat;
use crate::quantity::MM_PER_INCH;
use crate::recipe::Making;
use crate::solve;
use crate::solve::Solved;
use crate::strength::Load;
use crate::table::Row;
use std::collections::BTreeMap;
use std::sync::Arc;

/// A kind of hardware.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Kind {
    Bolt,
    Bung,
    CapScrew,
    FlatHead,
    JamNut,
    Nut,
    PressNut,
    RivetNut,
    RodEnd,
    Screw,
    Sleeve,
    Spacer,
    Washer,
    WeldNut,
}

impl Kind {
    /// Whether it is a bolt or a screw, which has a grade.
    pub(crate) const fn is_bolt(self) -> bool {
        matches!(self, Self::Bolt | Self::CapScrew | Self::FlatHead | Self::Screw)
    }

    /// As ordered.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Bolt => "bolt",
            Self::Bung => "bung",
            Self::CapScrew => "socket-head screw",
            Self::FlatHead => "flat-head screw",
            Self::JamNut => "jam nut",
            Self::Nut => "nut",
            Self::PressNut => "press nut",
            Self::RivetNut => "rivet nut",
            Self::RodEnd => "rod end",
            Self::Screw => "screw",
            Self::Sleeve => "crush sleeve",
            Self::Spacer => "spacer",
            Self::Washer => "washer",
            Self::WeldNut => "weld nut",
        }
    }
}

/// One kind of bolt or nut and how many of it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Hardware {
    pub(crate) kind: Kind,
    pub(crate) thread: String,
    /// As ordered: `30 mm`, `1-1/4 in`; empty for nuts, and where the tables lack a figure.
    pub(crate) length: String,
    pub(crate) quantity: u32,
    /// Plain washers.
    pub(crate) washers: u32,
    pub(crate) nuts: u32,
    /// Minimum and maximum grip of such a bolt, mm.
    pub(crate) grips: Option<[f64; 2]>,
    /// The parts.
    pub(crate) parts: Vec<String>,
    pub(crate) note: String,
    /// The grade of a bolt, where a load gives it.
    pub(crate) grade: Option<String>,
    /// Whether it is a bolt whose clamped layers besides its plate are not known.
    pub(crate) alone: bool,
}

impl Hardware {
    /// Its note, and what of its length is not known.
    pub(crate) fn remark(&self) -> String {
        let alone = if self.alone {
            "length for the plate alone: add `clamped` to the part if more is clamped"
        } else {
            ""
        };
        let both: Vec<&str> =
            [self.note.as_str(), alone].into_iter().filter(|words| !words.is_empty()).collect();
        both.join("; ")
    }

    /// Adds items of the same kind.
    pub(super) fn add(&mut self, more: Self) {
        self.quantity += more.quantity;
        self.washers += more.washers;
        self.nuts += more.nuts;
        self.grips = self.grips.zip(more.grips).map(|([a, b], [c, d])| [a.min(c), b.max(d)]);
        self.parts.extend(
            more.parts.into_iter().filter(|part| !self.parts.contains(part)).collect::<Vec<_>>(),
        );
    }
}

/// The hardware of one hole.
struct Need {
    kind: Kind,
    row: Arc<Row>,
    grip: Option<f64>,
    /// How many holes one bolt passes.
    holes: u32,
    /// The thread it is turned into, in words, and how far that reaches beyond the plates, mm.
    into: Option<(String, f64)>,
    /// The grade that a load gives for it.
    grade: Option<String>,
    /// Whether its clamped layers besides its plate are not known.
    alone: bool,
}

impl Need {
    /// A nut that is welded or pressed in, or an insert.
    fn nut(kind: Kind, row: Arc<Row>) -> Self {
        Self { kind, row, grip: None, holes: 1, into: None, grade: None, alone: false }
    }

    /// The same through the cheeks on both sides of a tube, where it is one, with the distance
    /// between them, mm.
    fn through_cheeks(self, gap: Option<f64>) -> Self {
        let Some(gap) = gap else { return self };
        let grip = self.grip.map(|grip| 2.0 * grip + gap);
        Self { grip, holes: 2 * self.holes, alone: false, ..self }
    }

    /// How far the thread reaches beyond the plates, mm.
    fn beyond(&self) -> f64 {
        self.into.as_ref().map_or(0.0, |(_, beyond)| *beyond)
    }

    /// One under a head that is not sunk, one under a nut.
    fn washers_each(&self) -> u32 {
        u32::from(matches!(self.kind, Kind::Bolt | Kind::Screw)) + self.nuts_each()
    }

    /// 0 if it is turned into a thread.
    fn nuts_each(&self) -> u32 {
        let needs = matches!(self.kind, Kind::Bolt | Kind::CapScrew | Kind::FlatHead);
        u32::from(needs && self.into.is_none())
    }
}

/// The hardware in the holes of some `parts` of all that were `solved`.
pub(crate) fn through(job: &Job, solved: &[Solved], parts: &[Solved]) -> Vec<Hardware> {
    let mut found: BTreeMap<(Kind, u64, String, String, String), Hardware> = BTreeMap::new();
    for part in parts {
        let holes = part.part.faces.iter().flat_map(|f| &f.holes);
        let mut counts: Vec<(Need, u32)> = Vec::new();
        for hole in holes {
            let Some(need) = need(job, solved, part, hole) else { continue };
            let same = |(other, _): &&mut (Need, u32)| {
                other.kind == need.kind
                    && other.row.name() == need.row.name()
                    && other.grip == need.grip
                    && other.holes == need.holes
                    && other.into == need.into
                    && other.grade == need.grade
                    && other.alone == need.alone
            };
            match counts.iter_mut().find(same) {
                Some((_, count)) => *count += 1,
                None => counts.push((need, 1)),
            }
        }
        for (need, count) in counts {
            let quantity = (count * solve::pieces(job, part)).div_ceil(need.holes);
            let one = one(job, &need);
            let of = |field: &str| need.row.quantity(field).map(|q| q.value);
            let size = of("diameter").or_else(|| of("flats")).unwrap_or(0.0).to_bits();
            // One line for all hardware of one kind, whatever it clamps.
            let words = (one.thread.clone(), one.length.clone(), one.note.clone());
            let key = (need.kind, size, words.0, words.1, words.2);
            let entry = found.entry(key).or_insert_with(|| one.clone());
            entry.grips = entry.grips.zip(one.grips).map(|([a, b], [c, d])| [a.min(c), b.max(d)]);
            entry.alone |= one.alone;
            entry.quantity += quantity;
            entry.washers += need.washers_each() * quantity;
            entry.nuts += need.nuts_each() * quantity;
            entry.parts.push(part.name.clone());
        }
    }
    let mut all: Vec<((Kind, u64), Hardware)> =
        found.into_iter().map(|((kind, size, ..), row)| ((kind, size), row)).collect();
    // The shorter first: one with a larger grip is longer.
    let max = |row: &Hardware| row.grips.map_or(0.0, |[_, max]| max);
    all.sort_by(|(a, x), (b, y)| a.cmp(b).then(max(x).total_cmp(&max(y))));
    all.into_iter().map(|(_, row)| row).collect()
}

/// The fastener of a hole: the row of the input it is for, or the bolt of a rod end.
fn need(job: &Job, solved: &[Solved], part: &Solved, hole: &Hole) -> Option<Need> {
    if let Some(insert) = &hole.insert {
        let kind = match insert.row.text("kind") {
            Some("rivet nut") => Kind::RivetNut,
            Some("press nut") => Kind::PressNut,
            _ => Kind::WeldNut,
        };
        return Some(Need::nut(kind, insert.row.clone()));
    }
    let row = fastener_row(part, hole)?;
    // The bolt of a joint belongs to the joint; a nut set into the hole belongs to the hole.
    if row.table() != "nut" && solve::joint_of(job, part, hole).is_some() {
        return None;
    }
    // A plate on another plate is clamped with it.
    let from = solved.partition_point(|s| s.line < part.line);
    let to = solved.partition_point(|s| s.line <= part.line);
    let family = solved.get(from..to).unwrap_or_default();
    let clamped = solve::clamped(part, hole, family)?;
    let plates = clamped.thickness + job.lines[part.line].holds.unwrap_or(0.0);
    let own = Some(hole).filter(|hole| hole.making == Making::Tap);
    let said = job.lines[part.line].holds.is_some();
    // A screw in a tapped hole of this plate clamps what lies on it, which is not known.
    let lies_alone = clamped.thickness <= part.part.thickness * f64::from(clamped.pieces);
    let unsaid = !said && own.is_some() && lies_alone;
    let thread = clamped.thread.or(own);
    let grade = grade(job, part, hole);
    let alone = !said && thread.is_none() && clamped.pieces < 2;
    let hole = clamped.head.unwrap_or(hole);
    let kind = match kind(hole) {
        Kind::Bolt if thread.is_some() => Kind::Screw,
        kind => kind,
    };
    let into = thread.map(into);
    match row.table() {
        "bolt" => {
            let sunk = hole.recess.filter(|_| kind == Kind::CapScrew).map_or(0.0, |r| r.depth);
            let grip = Some(plates - sunk).filter(|_| !unsaid);
            let own = Need { kind, row, grip, holes: clamped.pieces, into, grade, alone };
            Some(own.through_cheeks(solve::between_cheeks(job, solved, part)))
        }
        "nut" => {
            let into = Some((seat(hole, &row).work().to_owned(), 0.0));
            Some(Need { into, ..Need::nut(Kind::Nut, row) })
        }
        "rod-end" => {
            let bolt = job.bolt(row.text("bolt")?)?;
            let fact = family.iter().flat_map(|s| &s.part.facts).find(|f| f.name == "grip");
            // Ears beside a tube are set for the tube, not for the rod end.
            let beside = solve::between_cheeks(job, solved, part);
            let grip = match (beside, fact.map(|f| &f.value)) {
                (Some(gap), _) => Some(2.0 * clamped.thickness + gap),
                (None, Some(Value::Quantity(grip))) => Some(grip.value),
                _ => None,
            };
            Some(Need { kind, row: bolt, grip, holes: 2, into, grade, alone: false })
        }
        _ => None,
    }
}

/// The row of the fastener of a hole; `None` if there is none.
fn fastener_row(part: &Solved, hole: &Hole) -> Option<Arc<Row>> {
    hole.through.as_ref()?;
    if let Some(row) = &hole.row {
        return Some(row.clone());
    }
    // The eye of a clevis is for the bolt of the rod end: of several the first by name.
    let ends = part.params.all().filter_map(|(name, value)| match value {
        Value::Row(row) if row.table() == "rod-end" => Some((name, row)),
        _ => None,
    });
    Some(ends.min_by_key(|(name, _)| *name)?.1.clone())
}

/// The grade of the bolt in a hole, as a load on the part gives it.
fn grade(job: &Job, part: &Solved, hole: &Hole) -> Option<String> {
    let line = &job.lines[part.line].name;
    let here = |name: &str| name == hole.name || name == hole.set();
    let of = |load: &Load| {
        let own = load.grade.as_ref().filter(|_| here(load.at.name()));
        let held = load.bolts.as_deref().is_some_and(here);
        own.or_else(|| load.bolts_grade.as_ref().filter(|_| held)).map(|row| row.name().to_owned())
    };
    job.loads.iter().filter(|load| load.part == *line || load.part == part.name).find_map(of)
}

/// The item with a thread, in words, and how far that reaches beyond its plate, mm: a screw is to
/// reach through an insert (our choice).
fn into(thread: &Hole) -> (String, f64) {
    let Some(insert) = &thread.insert else {
        return (format!("into tapped hole {}", thread.set()), 0.0);
    };
    let of = |field: &str| insert.row.quantity(field).map_or(0.0, |size| size.value);
    (format!("into {}", insert.thread_first()), of("height") + of("body"))
}

/// The screw head that a hole without a thread is made for: a countersink takes a flat head, a
/// counterbore a cap head.
fn kind(hole: &Hole) -> Kind {
    match hole.recess {
        None => Kind::Bolt,
        Some(recess) if recess.angle.is_some() => Kind::FlatHead,
        Some(_) => Kind::CapScrew,
    }
}

fn one(job: &Job, need: &Need) -> Hardware {
    let row = &need.row;
    let note = match (need.kind, need.grip) {
        (Kind::Nut, _) => need.into.as_ref().map_or_else(String::new, |(into, _)| into.clone()),
        (Kind::PressNut | Kind::RivetNut | Kind::WeldNut, _) => String::new(),
        (_, None) => match &need.into {
            Some((into, _)) => format!("{into}; length left out: clamped thickness not given"),
            None => "grip not given by the recipe".to_owned(),
        },
        _ => need.into.as_ref().map_or_else(String::new, |(into, _)| into.clone()),
    };
    let made = need.grip.and_then(|grip| length(job, need, grip + need.beyond()));
    let longest = made.as_ref().and_then(|made| made.longest);
    let length = made.map(|made| made.words);
    let note = match (&length, need.kind) {
        (None, Kind::Bolt | Kind::Screw | Kind::CapScrew | Kind::FlatHead) if note.is_empty() => {
            "no washer or nut for it in the tables".into()
        }
        _ => note,
    };
    let grade = need.grade.as_ref().map(|grade| format!("grade {grade}"));
    let longest = longest.map(|mm| format!("longest listed {}", job.units.length(mm)));
    let notes: Vec<String> = [Some(note), grade, longest].into_iter().flatten().collect();
    let notes: Vec<String> = notes.into_iter().filter(|note| !note.is_empty()).collect();
    Hardware {
        kind: need.kind,
        thread: match need.kind {
            Kind::PressNut | Kind::RivetNut | Kind::WeldNut => {
                row.text("bolt").unwrap_or_default().to_owned()
            }
            _ => thread(row),
        },
        length: length.unwrap_or_default(),
        quantity: 0,
        washers: 0,
        nuts: 0,
        grips: need.grip.map(|grip| [grip; 2]),
        parts: Vec::new(),
        note: notes.join("; "),
        grade: need.grade.clone(),
        alone: need.alone,
    }
}

/// A thread as ordered. Metric ones of the table are coarse and need only their names; inch ones
/// have their threads per inch behind (ASME B1.1, from memory).
pub(super) fn thread(row: &Row) -> String {
    let metric = row.name().starts_with('M');
    match row.quantity("pitch").filter(|_| !metric && !row.name().contains('-')) {
        Some(pitch) => format!("{}-{}", row.name(), (MM_PER_INCH / pitch.value).round()),
        None => row.name().to_owned(),
    }
}

/// The length to order; `None` if a figure is missing.
fn length(job: &Job, need: &Need, grip: f64) -> Option<StockLength> {
    let bolt = &need.row;
    let of = |field: &str| bolt.quantity(field).map(|q| q.value);
    let nut = match need.nuts_each() {
        0 => 0.0,
        _ => job.nut(bolt.name())?.quantity("height")?.value + TURNS_BEYOND * of("pitch")?,
    };
    // A head that is sunk has its washer under the nut only; a flat head counts as grip.
    let needed = grip + f64::from(need.washers_each()) * of("washer_thickness")? + nut;
    let head = match need.kind {
        Kind::FlatHead => Head::Flat,
        Kind::CapScrew => Head::Cap,
        _ => Head::Hexagon,
    };
    Some(made_up(needed, bolt.name(), head))
}
