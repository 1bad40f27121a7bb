//! The table of the dimensions to check on a formed part, and to where they reach.

use crate::bend::Form;
use crate::drawings::folded::corner;
use crate::drawings::folded::measured::Measured;
use crate::drawings::folded::measured::measured;
use crate::drawings::folded::over;
use crate::drawings::offsets::Offset;
use crate::drawings::offsets::SQUARE;
use crate::drawings::offsets::offsets;
use crate::drawings::printed;
use crate::geom::Place;
use crate::job::Job;
use crate::num;
use crate::paper::Block;
use crate::paper::Cell;
use crate::paper::NOT_TO_SCALE;
use crate::paper::Table;
use crate::paper::figure_text;
use crate::part::Part;
use crate::report;
use crate::solve::Solved;

/// Heads of the sizes of a face.
const ALONG: [&str; 2] = ["along the bend", "square to the bend"];

/// The sizes of all faces, to be measured on the finished part.
pub(crate) fn table(job: &Job, solved: &Solved) -> Vec<Block> {
    let part = &solved.part;
    if part.bends.is_empty() {
        return Vec::new();
    }
    let text = |mm: f64| figure_text(job.units, mm);
    let name = |face: usize| printed::name(&part.faces[face].name);
    let all: Vec<Measured> = (0..part.faces.len()).map(|face| measured(solved, face)).collect();
    let offsets = offsets(solved);
    let is_ramp = |face| offsets.iter().any(|o| o.ramp == face && o.is_slanting(part));
    let row = |(face, measured): (usize, &Measured)| -> Vec<Cell> {
        let size = &measured.bounds;
        let bends = part.bends.iter().filter(|b| b.to == face);
        let stands = bends.map(|b| {
            let angle = b.bend.angle().degrees();
            if b.bend.form() == Form::Rolled {
                let from = name(b.from);
                return format!("rolled {}°, from {from}", num::text(angle, 1));
            }
            let opening = 180.0 - angle;
            format!("{}° inside, to {}", num::text(opening, 1), name(b.from))
        });
        let mut stands = stands.collect::<Vec<_>>().join(", ");
        if stands.is_empty() {
            stands = "base face, X × Y".into();
        }
        if measured.axes != Place::default() {
            stands += "; measured along its sides and square to them";
        }
        let tall = if is_ramp(face) { "–".into() } else { text(size.height()) };
        [name(face), text(size.width()), tall, stands].map(Cell::Words).to_vec()
    };
    let heads = ["face", ALONG[0], ALONG[1], "flange angle"];
    let sizes = Block::Table(Table {
        heading: "Formed dimensions, outside".into(),
        heads: heads.map(String::from).to_vec(),
        rows: all.iter().enumerate().map(row).collect(),
        beside: 1,
    });
    let corners = report::corners(solved);
    let words: Vec<String> =
        corners.iter().map(|corner| printed::name(&corner.words(job.units))).collect();
    let mut lines = Vec::new();
    lines.extend(offsets.iter().filter_map(|offset| said_of(job, part, offset, &all)));
    lines.extend(ends(part));
    let slanting = all.iter().zip(&part.faces).filter(|(measured, _)| measured.is_slanting);
    let slanting: Vec<String> = slanting.map(|(_, face)| printed::name(&face.name)).collect();
    if !slanting.is_empty() {
        lines.push(format!(
            "Beside a diagonal bend only the flat area of the face is measured, without the bend: {}.",
            slanting.join(", ")
        ));
    }
    lines.extend(over_slanting(job, solved, &all));
    if !words.is_empty() {
        lines.push(format!("Clear gap at the corners: {}.", words.join("; ")));
    }
    let notes = (!lines.is_empty()).then(|| Block::Lines { heading: String::new(), lines });
    std::iter::once(sizes).chain(notes).chain(corner::table(job, solved)).collect()
}

/// The readings of a caliper over flanges beside slanting bends, in words.
fn over_slanting(job: &Job, solved: &Solved, all: &[Measured]) -> Vec<String> {
    let one = |over: over::Over| {
        let [one, other] = over.flanges.map(|face| printed::name(&solved.part.faces[face].name));
        format!(
            "Over {one} and {other} at their ends, outside: {}.",
            figure_text(job.units, over.mm)
        )
    };
    let all = all.iter().enumerate().filter(|(_, measured)| measured.is_slanting);
    all.flat_map(|(face, measured)| over::sizes(solved, face, &measured.axes)).map(one).collect()
}

/// An offset in words; `None` for that of a square ramp, which is its height, in the table.
fn said_of(job: &Job, part: &Part, offset: &Offset, all: &[Measured]) -> Option<String> {
    let text = |mm: f64| figure_text(job.units, mm);
    let is_told = text(offset.mm) == text(all[offset.ramp].bounds.height());
    let [one, other] = offset.faces.map(|face| printed::name(&part.faces[face].name));
    let mm = text(offset.mm);
    (offset.is_slanting(part) || !is_told)
        .then(|| format!("Offset of {other} from {one}, outside to outside: {mm}."))
}

/// Whether a part has bends of less than 90°, and whether it has some of more.
fn off_square(part: &Part) -> [bool; 2] {
    let off = || part.bends.iter().map(|bend| bend.bend.angle().degrees() - 90.0);
    [off().any(|off| off < -SQUARE), off().any(|off| off > SQUARE)]
}

/// The scale and the sizes in the heading of a picture.
pub(crate) fn heading(solved: &Solved) -> String {
    let sizes = match off_square(&solved.part) {
        [false, false] => ", outside dimensions",
        _ => "",
    };
    format!("{NOT_TO_SCALE}{sizes}")
}

/// To where its sizes reach, below a picture, where that is not the same everywhere: a heading may
/// have no room for it, and a picture without a heading has none at all.
pub(super) fn extent_note(part: &Part) -> Option<&'static str> {
    match off_square(part) {
        [false, false] => None,
        [true, false] => Some("Outside dimensions to the mould line"),
        [false, true] => Some("Outside dimensions to the outer tangent"),
        [true, true] => {
            Some("Outside dimensions to the mould line; bends over 90° to the outer tangent")
        }
    }
}

/// To where the sizes reach beside bends that are not square; at 90° both are one.
fn ends(part: &Part) -> Option<String> {
    let [flatter, sharper] = off_square(part);
    let mut ends = Vec::new();
    if flatter {
        ends.push("beside bends of less than 90°, measured to the mould line, where the outer faces would meet");
    }
    if sharper {
        ends.push("beside bends of more than 90°, measured to the outer tangent of the bend");
    }
    (!ends.is_empty()).then(|| format!("{}.", num::capital(&ends.join("; "))))
}
