//! Positions at which a part has two contacts.
//!
//! On a full sheet nearly every position is deep within the forbidden region of some part.
//! Positions are sorted into cells, and cells that are wholly within one such region are left out:
//! only in the others the edges of the regions are compared with each other.

use crate::nest::pattern::inside::Core;
use crate::nest::pattern::kinds::Kinds;
use crate::nest::pattern::kinds::PlacedShape;
use crate::nest::pattern::near::Near;
use crate::nest::shape::polygon::Spot;
use crate::nest::shape::polygon::cross;
use crate::nest::shape::polygon::sides;

/// Cells in all. Our choice: some millimetres wide on a usual sheet.
const CELLS: f64 = 16_384.0;

/// A cell is left out only if its surroundings, up to this many micrometres, are within the region
/// as well: positions are rounded to whole micrometres.
const AROUND: i64 = 2;

type Edge = (Spot, Spot);

/// The positions of a part, in cells.
struct Cells {
    min: Spot,
    max: Spot,
    side: i64,
    columns: usize,
    /// Whether some position in it may be free.
    open: Vec<bool>,
}

impl Cells {
    fn new(min: Spot, max: Spot) -> Self {
        let (width, height) = (max.x - min.x + 1, max.y - min.y + 1);
        let area = width as f64 * height as f64;
        let side = (area / CELLS).sqrt().max(width.max(height) as f64 / CELLS) as i64 + 1;
        let (columns, rows) = ((width / side + 1) as usize, (height / side + 1) as usize);
        Self { min, max, side, columns, open: vec![true; columns * rows] }
    }

    fn column(&self, x: i64) -> usize {
        ((x.clamp(self.min.x, self.max.x) - self.min.x) / self.side) as usize
    }

    fn row(&self, y: i64) -> usize {
        ((y.clamp(self.min.y, self.max.y) - self.min.y) / self.side) as usize
    }

    fn of(&self, at: Spot) -> usize {
        self.row(at.y) * self.columns + self.column(at.x)
    }

    /// Leaves out the cells wholly within a region whose origin is at `by`.
    fn close(&mut self, core: &Core, by: Spot) {
        let high = core.high();
        if core.low() + by.y > self.max.y || high + by.y < self.min.y {
            return;
        }
        for row in self.row(core.low() + by.y)..=self.row(high + by.y) {
            let bottom = self.min.y + row as i64 * self.side;
            let within = core.between(bottom - AROUND - by.y, bottom + self.side + AROUND - by.y);
            let Some((left, right)) = within else { continue };
            let (left, right) = (left + by.x + AROUND, right + by.x - AROUND);
            // Whole cells only.
            let first = (left - self.min.x + self.side - 1).div_euclid(self.side).max(0);
            let behind = (right - self.min.x).div_euclid(self.side).min(self.columns as i64);
            for column in first..behind {
                self.open[row * self.columns + column as usize] = false;
            }
        }
    }

    /// Marks each open cell that an edge may pass through.
    fn pass(&self, edge: &Edge, mut tell: impl FnMut(usize)) {
        let (a, b) = if edge.0.x < edge.1.x { *edge } else { (edge.1, edge.0) };
        let slope = if a.x == b.x { 0.0 } else { (b.y - a.y) as f64 / (b.x - a.x) as f64 };
        for column in self.column(a.x - 1)..=self.column(b.x + 1) {
            let left = (self.min.x + column as i64 * self.side - 1).clamp(a.x, b.x);
            let right = (self.min.x + (column as i64 + 1) * self.side + 1).clamp(a.x, b.x);
            let at = |x: i64| a.y as f64 + slope * (x - a.x) as f64;
            let (from, to) =
                if a.x == b.x { (a.y as f64, b.y as f64) } else { (at(left), at(right)) };
            let (low, high) = (from.min(to).floor() as i64 - 1, from.max(to).ceil() as i64 + 1);
            for row in self.row(low)..=self.row(high) {
                let cell = row * self.columns + column;
                if self.open[cell] {
                    tell(cell);
                }
            }
        }
    }
}

/// Positions at which a part has two contacts, from left to right and bottom to top: corners of the
/// room between `min` and `max`, of no-fit polygons, and intersections of these with the sheet
/// edges and with each other. Positions that are surely not free are left out.
pub(super) fn contacts(
    kinds: &Kinds,
    near: &Near,
    part: PlacedShape,
    min: Spot,
    max: Spot,
) -> Vec<Spot> {
    let mut cells = Cells::new(min, max);
    let mut edges: Vec<Edge> = Vec::new();
    for other in &near.parts {
        let forbidden = kinds.forbidden(other, &part);
        for (ring, core) in forbidden.rings.iter().zip(&forbidden.cores) {
            cells.close(core, other.at);
            let moved = |s: Spot| s + other.at;
            edges.extend(sides(ring).map(|(a, b)| (moved(a), moved(b))).filter(|(a, b)| {
                a.x.max(b.x) >= min.x
                    && a.x.min(b.x) <= max.x
                    && a.y.max(b.y) >= min.y
                    && a.y.min(b.y) <= max.y
            }));
        }
    }
    let mut spots = vec![min, Spot::new(min.x, max.y)];
    spots.extend(edges.iter().map(|(a, _)| *a));
    let far = Spot::new(max.x + 1, max.y + 1);
    edges.extend([
        (min, Spot::new(far.x, min.y)),
        (Spot::new(min.x, max.y), Spot::new(far.x, max.y)),
        (min, Spot::new(min.x, far.y)),
    ]);
    edges.sort_unstable_by_key(|(a, b)| a.x.min(b.x));
    let mut passed: Vec<(usize, usize)> = Vec::new();
    for (i, edge) in edges.iter().enumerate() {
        cells.pass(edge, |cell| passed.push((cell, i)));
    }
    passed.sort_unstable();
    for in_cell in passed.chunk_by(|a, b| a.0 == b.0) {
        for (i, (_, first)) in in_cell.iter().enumerate() {
            for (_, second) in &in_cell[i + 1..] {
                spots.extend(crossing(&edges[*first], &edges[*second]).into_iter().flatten());
            }
        }
    }
    spots.retain(|s| (min.x..=max.x).contains(&s.x) && (min.y..=max.y).contains(&s.y));
    spots.retain(|s| cells.open[cells.of(*s)]);
    spots.sort_unstable();
    spots.dedup();
    spots
}

/// The spots round the intersection of two edges; `None` when they do not intersect.
pub(super) fn crossing(first: &(Spot, Spot), second: &(Spot, Spot)) -> Option<[Spot; 4]> {
    let ((a, b), (c, d)) = (*first, *second);
    if a.y.max(b.y) < c.y.min(d.y) || c.y.max(d.y) < a.y.min(b.y) {
        return None;
    }
    let (along, other) = (b - a, d - c);
    let rotation = cross(along, other);
    if rotation == 0 {
        return None;
    }
    let (t, u) = (cross(c - a, other), cross(c - a, along));
    let within = |x: i128| {
        if rotation > 0 { (0..=rotation).contains(&x) } else { (rotation..=0).contains(&x) }
    };
    if !(within(t) && within(u)) {
        return None;
    }
    let share = t as f64 / rotation as f64;
    let (x, y) = (along.x as f64 * share, along.y as f64 * share);
    let spot = |x: f64, y: f64| a + Spot::new(x as i64, y as i64);
    Some([
        spot(x.floor(), y.floor()),
        spot(x.floor(), y.ceil()),
        spot(x.ceil(), y.floor()),
        spot(x.ceil(), y.ceil()),
    ])
}
