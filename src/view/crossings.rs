//! Where straight pieces on paper cross.

use crate::geom::Bounds;
use crate::geom::Point;

/// Cells along either side of the paper.
const CELLS: usize = 48;

/// Straight pieces, to be sorted into cells.
#[derive(Default)]
pub(super) struct Crossings {
    pieces: Vec<[Point; 2]>,
}

impl Crossings {
    /// Adds a chain of pieces.
    pub(super) fn add(&mut self, points: impl Iterator<Item = Point>) {
        let points: Vec<Point> = points.collect();
        self.pieces.extend(points.windows(2).map(|two| [two[0], two[1]]));
    }

    /// The pieces in cells.
    pub(super) fn sorted(self) -> Sorted {
        let bounds = self.pieces.iter().flatten().fold(Bounds::EMPTY, |b, p| b.with(*p));
        let mut sorted =
            Sorted { bounds, pieces: self.pieces, cells: vec![Vec::new(); CELLS * CELLS] };
        for (i, piece) in sorted.pieces.iter().enumerate() {
            for cell in cells(&sorted.bounds, piece) {
                sorted.cells[cell].push(i);
            }
        }
        sorted
    }
}

/// Straight pieces in cells.
pub(super) struct Sorted {
    bounds: Bounds,
    pieces: Vec<[Point; 2]>,
    cells: Vec<Vec<usize>>,
}

impl Sorted {
    /// Parameters between two points at which a piece is crossed.
    pub(super) fn along(&self, [from, to]: [Point; 2]) -> impl Iterator<Item = f64> {
        let mut found: Vec<usize> = cells(&self.bounds, &[from, to])
            .flat_map(|cell| self.cells[cell].iter().copied())
            .collect();
        found.sort_unstable();
        found.dedup();
        found.into_iter().filter_map(move |i| crossing([from, to], self.pieces[i]))
    }
}

/// The cells that a piece may touch.
fn cells(bounds: &Bounds, [a, b]: &[Point; 2]) -> impl Iterator<Item = usize> + use<> {
    let cell = |at: f64, min: f64, size: f64| {
        let share = if size > 0.0 { (at - min) / size } else { 0.0 };
        ((share * CELLS as f64).floor().max(0.0) as usize).min(CELLS - 1)
    };
    let x = [a.x.min(b.x), a.x.max(b.x)].map(|x| cell(x, bounds.min.x, bounds.width()));
    let y = [a.y.min(b.y), a.y.max(b.y)].map(|y| cell(y, bounds.min.y, bounds.height()));
    (y[0]..=y[1]).flat_map(move |row| (x[0]..=x[1]).map(move |column| row * CELLS + column))
}

/// The parameter along the first piece at which the second crosses it.
fn crossing([a, b]: [Point; 2], [c, d]: [Point; 2]) -> Option<f64> {
    let (along, other, between) = (b - a, d - c, c - a);
    let cross = along.cross(other);
    if cross.abs() < 1e-12 {
        return None;
    }
    let (s, t) = (between.cross(other) / cross, between.cross(along) / cross);
    ((-1e-6..=1.0 + 1e-6).contains(&t) && s > 0.0 && s < 1.0).then_some(s)
}
