//! The items to plug or mask before a part is coated: threads, fits, captured nuts, and the bungs
//! of links.

use crate::bill::hardware::thread;
use crate::job::Job;
use crate::part::Hole;
use crate::recipe::Making;
use crate::solve;
use crate::solve::Solved;
use crate::table::Row;

/// What keeps the coating off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Cover {
    /// A plug screwed or pressed in.
    Plug,
    /// Tape, a cap or a disc.
    Mask,
}

impl Cover {
    /// As a coater reads it.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Plug => "plug",
            Self::Mask => "mask",
        }
    }
}

/// One kind of place to be kept free of coating.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Masking {
    pub(crate) cover: Cover,
    /// The part or the link.
    pub(crate) part: String,
    /// The hole, the nut or the end of the link.
    pub(crate) place: String,
    /// `thread M6`, `reamed Ø10 mm`, `captured nut M12`, `bung thread M10x1.5`.
    pub(crate) what: String,
    /// Diameter, mm, where it is known.
    pub(crate) diameter: Option<f64>,
    /// In all pieces.
    pub(crate) quantity: u32,
}

/// Everything to be plugged or masked; nothing in a job that is not coated.
pub(crate) fn masking(job: &Job, solved: &[Solved]) -> Vec<Masking> {
    if !job.is_coated() {
        return Vec::new();
    }
    let coated = solved.iter().filter(|part| job.coating_of(&job.lines[part.line]).film > 0.0);
    let mut all: Vec<Masking> = coated.flat_map(|part| of_part(job, part)).collect();
    for link in job.links.iter().filter(|_| job.coating > 0.0) {
        for (end, name) in link.ends.iter().zip(["first end", "second end"]) {
            let diameter = end.thread.quantity("diameter").map(|diameter| diameter.value);
            all.push(Masking {
                cover: Cover::Plug,
                part: link.name.clone(),
                place: format!("bung, {name}"),
                what: format!("thread {}, {}-hand", end.thread.name(), end.hand.word()),
                diameter,
                quantity: link.quantity,
            });
        }
    }
    for (tube, bung) in job.bungs().into_iter().filter(|_| job.coating > 0.0) {
        all.push(Masking {
            cover: Cover::Plug,
            part: tube.name,
            place: "bung".to_owned(),
            what: format!("thread {}", bung.name()),
            diameter: None,
            quantity: tube.quantity,
        });
    }
    all.retain(|masking| masking.quantity > 0);
    all
}

/// What of a part is to be plugged or masked, holes of a set in one.
pub(crate) fn of_part(job: &Job, solved: &Solved) -> Vec<Masking> {
    let pieces = solve::pieces(job, solved);
    let holes: Vec<&Hole> = solved.part.faces.iter().flat_map(|face| &face.holes).collect();
    let mut all = Vec::new();
    for set in holes.chunk_by(|a, b| a.span == b.span && a.finished == b.finished) {
        let Some((cover, what)) = of_hole(job, set[0]) else { continue };
        let place = match set.len() {
            1 => set[0].name.clone(),
            _ => set[0].set().to_owned(),
        };
        let count = u32::try_from(set.len()).unwrap_or(u32::MAX);
        all.push(Masking {
            cover,
            part: solved.name.clone(),
            place,
            what,
            diameter: match &set[0].insert {
                Some(insert) => thread_diameter(job, &insert.row),
                None => set[0].finished.or(Some(set[0].outline.bounds().width())),
            },
            quantity: pieces.saturating_mul(count),
        });
    }
    all.extend(solved.part.captured.iter().map(|captured| Masking {
        cover: Cover::Plug,
        part: solved.name.clone(),
        place: solved.part.hole(captured.seat).name.clone(),
        what: format!("captured {} nut", captured.nut.name()),
        diameter: thread_diameter(job, &captured.nut),
        quantity: pieces,
    }));
    all
}

/// The diameter of the bolt of a nut or insert, mm, where the tables have it.
fn thread_diameter(job: &Job, row: &Row) -> Option<f64> {
    job.bolt(row.text("bolt")?)?.quantity("diameter").map(|diameter| diameter.value)
}

/// The reason to plug or mask a hole; `None` if coating does it no harm.
pub(crate) fn of_hole(job: &Job, hole: &Hole) -> Option<(Cover, String)> {
    if let Some(insert) = hole.insert.as_ref().filter(|insert| insert.is_coated()) {
        let bolt = insert.row.text("bolt").unwrap_or_default();
        return Some((Cover::Plug, format!("thread {bolt}")));
    }
    match hole.making {
        Making::Tap => {
            let row = match &hole.thread {
                Some(row) => Some(thread(row)),
                None => hole.finished.map(|diameter| format!("Ø{}", job.units.length(diameter))),
            };
            Some((Cover::Plug, format!("thread {}", row.unwrap_or_default()).trim_end().to_owned()))
        }
        Making::Ream => {
            let diameter = hole.finished.unwrap_or(hole.outline.bounds().width());
            Some((Cover::Mask, format!("reamed Ø{}", job.units.size(diameter))))
        }
        Making::Cut | Making::Drill => None,
    }
}
