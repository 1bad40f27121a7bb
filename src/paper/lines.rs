//! The straight lines of a drawing, sorted by place: only those near a place are tested.

use crate::geom::Bounds;
use crate::geom::Point;

/// Side of a cell, mm. Our choice.
const CELL: f64 = 6.0;

/// A line this far outside a place may still be near it, mm: more than the rounding of any
/// comparison.
pub(super) const ROUNDING: f64 = 0.01;

/// Cells from one to another in both directions.
type Range = [[u32; 2]; 2];

/// Straight lines, each with data.
#[derive(Clone)]
pub(super) struct Lines<T> {
    frame: Bounds,
    /// Cells in a row and in a column.
    counts: [u32; 2],
    all: Vec<(T, [Point; 2], Range)>,
    /// For each cell the lines that may run through it.
    cells: Vec<Vec<u32>>,
}

impl<T> Lines<T> {
    /// None yet; most of them will be in a frame.
    pub(super) fn new(frame: Bounds) -> Self {
        let count = |size: f64| ((size / CELL).ceil() as u32).clamp(1, 400);
        let counts = [count(frame.width()), count(frame.height())];
        let cells = (0..counts[0] * counts[1]).map(|_| Vec::new()).collect();
        Self { frame, counts, all: Vec::new(), cells }
    }

    /// Adds a line.
    pub(super) fn push(&mut self, own: T, line: [Point; 2]) {
        let range = self.range(around(&line));
        let index = self.all.len() as u32;
        for cell in self.cells_of(range) {
            let cell = self.index(cell);
            self.cells[cell].push(index);
        }
        self.all.push((own, line, range));
    }

    /// The lines that may come into a rectangle or touch it, each once.
    pub(super) fn near(&self, bounds: Bounds) -> impl Iterator<Item = (&T, &[Point; 2])> {
        let asked = self.range(bounds.grown(ROUNDING));
        self.cells_of(asked).flat_map(move |cell| {
            let own = self.cells[self.index(cell)].iter().map(|i| &self.all[*i as usize]);
            // In the first of the cells that it shares with the rectangle.
            let is_first = move |(.., range): &&(T, [Point; 2], Range)| {
                (0..2).all(|axis| cell[axis] == range[axis][0].max(asked[axis][0]))
            };
            own.filter(is_first).map(|(own, line, _)| (own, line))
        })
    }

    /// The lines that may come near a line or touch it, each once.
    pub(super) fn beside(&self, line: &[Point; 2]) -> impl Iterator<Item = (&T, &[Point; 2])> {
        self.near(around(line))
    }

    /// All of them, in the order in which they were added.
    #[cfg(test)]
    pub(super) fn iter(&self) -> impl Iterator<Item = (&T, &[Point; 2])> {
        self.all.iter().map(|(own, line, _)| (own, line))
    }

    /// The cells that a rectangle overlaps; items outside the frame are in those at its edge.
    fn range(&self, bounds: Bounds) -> Range {
        let cell = |at: f64, from: f64, count: u32| {
            ((at - from) / CELL).clamp(0.0, f64::from(count - 1)) as u32
        };
        let Bounds { min, max } = bounds;
        let x = [min.x, max.x].map(|x| cell(x, self.frame.min.x, self.counts[0]));
        let y = [min.y, max.y].map(|y| cell(y, self.frame.min.y, self.counts[1]));
        [x, y]
    }

    fn cells_of(&self, [x, y]: Range) -> impl Iterator<Item = [u32; 2]> + use<T> {
        (y[0]..=y[1]).flat_map(move |row| (x[0]..=x[1]).map(move |column| [column, row]))
    }

    fn index(&self, [column, row]: [u32; 2]) -> usize {
        (row * self.counts[0] + column) as usize
    }
}

/// The rectangle round a line.
pub(super) fn around([a, b]: &[Point; 2]) -> Bounds {
    Bounds::EMPTY.with(*a).with(*b)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::ray;

    /// Lines all over a frame and out of it: for each rectangle those that come near it, each once.
    #[test]
    fn all_lines_near_a_rectangle_are_found_once() {
        let frame = Bounds { min: Point::new(-20.0, 5.0), max: Point::new(80.0, 61.0) };
        let mut lines = Lines::new(frame);
        let at = |i: u32| {
            let i = f64::from(i);
            Point::new(30.0, 30.0) + ray(i * 47.0) * ((i * 7.3) % 75.0)
        };
        for i in 0..200 {
            lines.push(i, [at(i), at(i) + ray(f64::from(i) * 31.0) * f64::from(i % 40)]);
        }
        for i in 0..200 {
            let size = (f64::from(i % 13), f64::from(i % 7));
            let asked = Bounds { min: at(i), max: at(i) + size };
            let mut found: Vec<u32> = lines.near(asked).map(|(i, _)| *i).collect();
            found.sort_unstable();
            assert!(found.windows(2).all(|two| two[0] != two[1]), "{found:?}");
            let meets = |line: &[Point; 2]| {
                let own = around(line);
                own.min.x <= asked.max.x
                    && own.max.x >= asked.min.x
                    && own.min.y <= asked.max.y
                    && own.max.y >= asked.min.y
            };
            for (i, _) in lines.iter().filter(|(_, line)| meets(line)) {
                assert!(found.contains(i), "{i} of {asked:?}");
            }
        }
        let corner = Bounds { min: frame.min, max: frame.min };
        assert!(lines.near(corner).count() < 60, "not all of them");
    }
}
