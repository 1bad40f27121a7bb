//! The cells a blank needs, with half the gap round it.

use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Side;
use crate::geom::Vec2;
use crate::geom::flatten;
use crate::num::Angle;
use std::cmp::Reverse;

/// Cells above each other in one column, `from..to`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Run {
    pub(crate) column: u32,
    pub(crate) from: u32,
    pub(crate) to: u32,
}

/// A blank in one orientation, in cells.
///
/// # Guarantees
/// Every cell that the blank, grown by half the gap, reaches into by more than [`GRAZE`] belongs to
/// it, holes counted as metal. Cell (0, 0) has its lower left corner half a gap left of and below
/// the bounding box of the blank.
#[derive(Debug)]
pub(crate) struct Mask {
    pub(crate) rotation: Angle,
    /// Lower left corner of the bounding box of the rotated blank.
    pub(crate) min: Point,
    /// Extent of that rectangle in mm.
    pub(crate) size: Vec2,
    pub(crate) columns: usize,
    pub(crate) rows: usize,
    /// The longest first, the others by coarsely spread columns, so that a collision
    /// shows early. None when the coordinates are too large to tell cells apart.
    pub(crate) runs: Vec<Run>,
}

/// A cell entered by less than this, in mm, is not entered: a part made to measure must not need
/// one more cell because of rounding. Our choice: well below the tolerance of the audit.
pub(crate) const GRAZE: f64 = 1e-7;

/// Maximum deviation of polygons from arcs, as a share of a cell. Our choice.
const ARC_SHARE: f64 = 0.1;

impl Mask {
    /// The cells, of side `cell` mm, of an outline grown by `reach` mm.
    pub(crate) fn new(outline: &Outline, rotation: Angle, reach: f64, cell: f64) -> Self {
        let rotated = outline.moved(&Place { rotation, ..Place::default() });
        let bounds = rotated.bounds();
        let size = Vec2::new(bounds.width(), bounds.height());
        let to_cells = bounds.min.to_vec2() - Vec2::new(reach, reach);
        let corners: Vec<Point> = flatten(&rotated, cell * ARC_SHARE, Side::Outside)
            .into_iter()
            .map(|p| p - to_cells)
            .collect();
        let needed = |length: f64| ((length + 2.0 * reach - GRAZE) / cell).floor() as usize + 1;
        let mut cover = Cover { cell, rows: needed(size.y), spans: vec![vec![]; needed(size.x)] };
        cover.inside(&[&corners]);
        for (a, b) in corners.iter().zip(corners.iter().cycle().skip(1)) {
            cover.capsule(*a, *b, reach);
        }
        let (columns, rows) = (cover.spans.len(), cover.rows);
        Self { rotation, min: bounds.min, size, columns, rows, runs: cover.runs() }
    }

    /// Whether it needs the same cells, so that one of the two orientations is enough.
    pub(crate) fn same_cells(&self, other: &Self) -> bool {
        let size = self.size - other.size;
        size.x.abs() < GRAZE && size.y.abs() < GRAZE && self.runs == other.runs
    }
}

/// The position of the cells of a sheet.
pub(crate) struct Frame {
    /// Lower left corner of the first cell.
    pub(crate) min: Point,
    pub(crate) columns: usize,
    pub(crate) rows: usize,
}

/// The closed cells of a sheet: within `kept` mm of its edge and holes and beyond these, and within
/// `reach` mm of its keep-outs.
pub(crate) fn closed<'a>(
    sheet: &Region,
    keep_outs: impl Iterator<Item = &'a Outline>,
    kept: f64,
    reach: f64,
    cell: f64,
    frame: &Frame,
) -> Vec<Run> {
    let mut cover = Cover { cell, rows: frame.rows, spans: vec![vec![]; frame.columns] };
    let tolerance = cell * ARC_SHARE;
    let corners = |outline: &Outline| -> Vec<Point> {
        let flat = flatten(outline, tolerance, Side::On);
        flat.into_iter().map(|p| p - frame.min.to_vec2()).collect()
    };
    let cover_edge = |cover: &mut Cover, outline: &Outline, corners: &[Point], reach: f64| {
        // Chords run on either side of an arc.
        let round = outline.edges().any(|e| !e.is_line());
        let reach = if round { reach + tolerance } else { reach };
        for (a, b) in corners.iter().zip(corners.iter().cycle().skip(1)) {
            cover.capsule(*a, *b, reach);
        }
    };
    let (right, top) = ((frame.columns + 1) as f64 * cell, (frame.rows + 1) as f64 * cell);
    let around = [(-cell, -cell), (right, -cell), (right, top), (-cell, top)].map(Point::from);
    let outer = corners(sheet.outer());
    cover.inside(&[&around, &outer]);
    cover_edge(&mut cover, sheet.outer(), &outer, kept);
    let holes = sheet.holes().iter().map(|hole| (hole, kept));
    for (outline, reach) in holes.chain(keep_outs.map(|k| (k, reach))) {
        let corners = corners(outline);
        cover.inside(&[&corners]);
        cover_edge(&mut cover, outline, &corners, reach);
    }
    cover.runs()
}

/// The cells collected: spans of rows, column by column.
struct Cover {
    cell: f64,
    rows: usize,
    spans: Vec<Vec<(u32, u32)>>,
}

impl Cover {
    /// Cells within an odd number of the polygons. Those their edges pass through may be
    /// missed.
    fn inside(&mut self, polygons: &[&[Point]]) {
        let mut crossed = vec![Vec::new(); self.spans.len()];
        let edges = polygons.iter().flat_map(|p| p.iter().zip(p.iter().cycle().skip(1)));
        for (a, b) in edges {
            let (a, b) = if a.x <= b.x { (a, b) } else { (b, a) };
            let middle = |column: usize| (column as f64 + 0.5) * self.cell;
            let first = (a.x / self.cell - 0.5).floor().max(0.0) as usize;
            for (column, crossings) in crossed.iter_mut().enumerate().skip(first) {
                let x = middle(column);
                if x >= b.x {
                    break;
                }
                if x >= a.x {
                    crossings.push(a.y + (x - a.x) / (b.x - a.x) * (b.y - a.y));
                }
            }
        }
        for (column, mut crossings) in crossed.into_iter().enumerate() {
            crossings.sort_by(f64::total_cmp);
            for pair in crossings.chunks_exact(2) {
                self.add(column, pair[0], pair[1]);
            }
        }
    }

    /// Cells within `reach` of the line from `a` to `b`.
    fn capsule(&mut self, a: Point, b: Point, reach: f64) {
        let (a, b) = if a.x <= b.x { (a, b) } else { (b, a) };
        let upside_down = |p: Point| Point::new(p.x, -p.y);
        let first = ((a.x - reach + GRAZE) / self.cell).floor().max(0.0) as usize;
        let last = ((b.x + reach - GRAZE) / self.cell).floor();
        for column in first..self.spans.len() {
            if column as f64 > last {
                break;
            }
            let strip = (column as f64 * self.cell, (column + 1) as f64 * self.cell);
            let high = highest(a, b, reach, strip);
            let low = -highest(upside_down(a), upside_down(b), reach, strip);
            self.add(column, low, high);
        }
    }

    fn add(&mut self, column: usize, low: f64, high: f64) {
        let from = ((low + GRAZE) / self.cell).floor().max(0.0) as u32;
        let to = ((high - GRAZE) / self.cell).floor() + 1.0;
        let to = (to.max(0.0) as u32).min(self.rows as u32);
        if from < to {
            self.spans[column].push((from, to));
        }
    }

    fn runs(self) -> Vec<Run> {
        let mut runs: Vec<Run> = Vec::new();
        for (column, mut spans) in self.spans.into_iter().enumerate() {
            spans.sort_unstable();
            let column = column as u32;
            for (from, to) in spans {
                match runs.last_mut() {
                    Some(run) if run.column == column && from <= run.to => run.to = run.to.max(to),
                    _ => runs.push(Run { column, from, to }),
                }
            }
        }
        runs.sort_by_key(|run| Reverse(run.column.trailing_zeros()));
        let longest = (0..runs.len()).max_by_key(|i| runs[*i].to - runs[*i].from);
        if let Some(longest) = longest {
            runs[..=longest].rotate_right(1);
        }
        runs
    }
}

/// The largest y, within a strip of x that it reaches, of all that is within
/// `reach` of the line from `a` to `b`, `a` being its left end.
fn highest(a: Point, b: Point, reach: f64, strip: (f64, f64)) -> f64 {
    // Its upper boundary rises to the higher end and drops beyond.
    let peak = if a.y >= b.y { a.x } else { b.x };
    let x = peak.clamp(strip.0, strip.1);
    let length = (b - a).hypot();
    let normal = if length > 0.0 { Vec2::new(a.y - b.y, b.x - a.x) / length } else { Vec2::ZERO };
    let (from, to) = (a + normal * reach, b + normal * reach);
    let round = |end: Point| {
        let aside = x - end.x;
        end.y + (reach * reach - aside * aside).max(0.0).sqrt()
    };
    if x <= from.x {
        round(a)
    } else if x >= to.x {
        round(b)
    } else {
        from.y + (x - from.x) / (to.x - from.x) * (to.y - from.y)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Disc;
    use crate::geom::belt;
    use crate::geom::rectangle;
    use proptest::prelude::*;

    #[test]
    fn what_is_made_to_measure_needs_no_cell_more() {
        let plate = rectangle(Point::new(7.3, 1.1), 80.0, 60.0, 0.0).unwrap();
        let mask = Mask::new(&plate, Angle::QUARTER, 1.5, 0.5);
        assert_eq!((mask.columns, mask.rows), (126, 166));
        let cells: u32 = mask.runs.iter().map(|r| r.to - r.from).sum();
        // Its corners are round by half the gap, so three cells in a corner may be free.
        assert!((126 * 166 - 4 * 3..=126 * 166).contains(&cells), "{cells}");
        assert_eq!(mask.runs[0].to, 166);
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 100, ..ProptestConfig::default() })]

        /// No point of the grown shape is in a free cell, and no taken cell is far from it.
        #[test]
        fn the_cover_is_complete_and_tight(
            x in 5.0..40.0f64, y in 5.0..40.0f64, r in 0.5..8.0f64, s in 0.0..4.0f64,
            reach in 0.005..4.0f64, quarter in 0..4i32,
        ) {
            let disc = |x, y, radius| Disc { centre: Point::new(x, y), radius };
            let outline = belt(&[disc(0.0, 0.0, r), disc(x, 3.0, s), disc(-4.0, y, 1.0)]).unwrap();
            let rotation = Angle::from_degrees(90.0 * f64::from(quarter));
            let cell = 0.5;
            let mask = Mask::new(&outline, rotation, reach, cell);
            let rotated = outline.moved(&Place { rotation, ..Place::default() });
            let origin = mask.min - Vec2::new(reach, reach);
            let deep = |p: Point| {
                let away = rotated.distance(p);
                if rotated.contains(p) { -away } else { away }
            };
            let mut taken = vec![false; mask.columns * mask.rows];
            for run in &mask.runs {
                for row in run.from..run.to {
                    taken[run.column as usize * mask.rows + row as usize] = true;
                }
            }
            for (i, taken) in taken.into_iter().enumerate() {
                let cells = Vec2::new((i / mask.rows) as f64, (i % mask.rows) as f64);
                let middle = origin + (cells + Vec2::new(0.5, 0.5)) * cell;
                let half = Vec2::new(cell, cell) * 0.5;
                if taken {
                    // Half the diagonal of a cell, and the error of the flattened arc.
                    prop_assert!(deep(middle) < reach + 0.5 * cell * 1.4143 + 0.1 * cell);
                } else {
                    for corner in [half, -half, Vec2::new(half.x, -half.y), Vec2::new(-half.x, half.y)] {
                        prop_assert!(deep(middle + corner) > reach - 3.0 * GRAZE, "{middle:?}");
                    }
                }
            }
        }
    }
}
