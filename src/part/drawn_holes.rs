//! The round holes and slots of outline files, as holes like those of a recipe.

use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Region;
use crate::num;
use crate::num::on_grid;
use crate::part::bears::Bears;
use crate::part::blank::FromFile;
use crate::part::face::Hole;
use crate::part::face::HoleSize;
use crate::recipe::Making;

/// An opening of the plate no farther from that of the file than this, mm, is that one: what
/// the steps between cut into, is another. Our choice: far below any cut.
const SAME: f64 = 1e-4;

/// Takes the round holes and slots that came with outline files, and are as they came, out of
/// a blank and makes holes of them: those of a size in a row, named by their file and
/// numbered. Other openings stay in the blank.
pub(super) fn take(blank: Region, files: &[FromFile]) -> (Region, Vec<Hole>) {
    let is_hole = |opening: &Outline| measure(opening).is_some() && of(opening, files).is_some();
    let (blank, openings) = blank.split_holes(is_hole);
    let mut holes: Vec<Hole> = openings.iter().filter_map(|outline| hole(outline, files)).collect();
    holes.sort_by(|a, b| key(a).partial_cmp(&key(b)).unwrap_or(std::cmp::Ordering::Equal));
    let mut counts: Vec<(String, usize)> = Vec::new();
    for hole in &mut holes {
        let count = match counts.iter_mut().find(|(name, _)| *name == hole.name) {
            Some((_, count)) => count,
            None => {
                counts.push((hole.name.clone(), 0));
                let last = counts.len() - 1;
                &mut counts[last].1
            }
        };
        *count += 1;
        hole.name = format!("{} {count}", hole.name);
    }
    (blank, holes)
}

/// By file, round before long, small before large, from the bottom, from the left.
fn key(hole: &Hole) -> (usize, [f64; 4]) {
    let size = match hole.size {
        HoleSize::Slot { width, length } => [length, width],
        _ => [0.0, hole.outline.bounds().width()],
    };
    (hole.span.start, [size[0], on_grid(size[1]), on_grid(hole.at.y), on_grid(hole.at.x)])
}

/// The file that an opening came with.
fn of<'f>(opening: &Outline, files: &'f [FromFile]) -> Option<&'f FromFile> {
    let bounds = opening.bounds();
    let same = |other: &Outline| {
        let others = other.bounds();
        let near = |a: Point, b: Point| (a - b).hypot() < SAME;
        near(bounds.min, others.min)
            && near(bounds.max, others.max)
            && (opening.area() - other.area()).abs() < SAME * opening.length()
    };
    files.iter().find(|file| file.openings.iter().any(same))
}

fn hole(outline: &Outline, files: &[FromFile]) -> Option<Hole> {
    let (file, (at, size)) = (of(outline, files)?, measure(outline)?);
    Some(Hole {
        name: if file.sized { sized(size) } else { file.file.name.clone() },
        outline: outline.clone(),
        at,
        size,
        finished: None,
        making: Making::Cut,
        recess: None,
        flare: None,
        insert: None,
        through: None,
        row: None,
        thread: None,
        circle: None,
        eye: false,
        bears: Bears::Washer,
        span: file.span,
        depends: Vec::new(),
    })
}

/// A name by size: `d9`, `8x28`.
fn sized(size: HoleSize) -> String {
    match size {
        HoleSize::Slot { width, length } => {
            format!("{}x{}", num::text(width, 2), num::text(length, 2))
        }
        HoleSize::Round { diameter } => format!("d{}", num::text(diameter, 2)),
        _ => "opening".to_owned(),
    }
}

/// Where the centre of a round hole or slot is, and its size on the grid of files.
fn measure(opening: &Outline) -> Option<(Point, HoleSize)> {
    if let Some((at, radius)) = opening.circle() {
        return Some((at, HoleSize::Round { diameter: on_grid(2.0 * radius) }));
    }
    let (at, length, width) = opening.slot()?;
    Some((at, HoleSize::Slot { width: on_grid(width), length: on_grid(length) }))
}
