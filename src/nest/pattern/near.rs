//! The parts near the end of a sheet, sorted into cells: those that may obstruct another are found
//! at once.

use crate::nest::pattern::kinds::Kinds;
use crate::nest::pattern::kinds::PlacedShape;
use crate::nest::shape::polygon::Spot;

/// Cells for each part. Our choice.
const CELLS: usize = 2;

/// Parts with the boxes round them.
pub(super) struct Near {
    pub(super) parts: Vec<PlacedShape>,
    boxes: Vec<(Spot, Spot)>,
    low: Spot,
    side: i64,
    columns: i64,
    rows: i64,
    /// By cell, the parts whose boxes reach into it.
    cells: Vec<Vec<u32>>,
}

impl Near {
    /// Those of the parts that reach to `from` or beyond, in their order.
    pub(super) fn new(kinds: &Kinds, parts: &[PlacedShape], from: i64) -> Self {
        let reaches = |s: &&PlacedShape| kinds.extent(s).1.x >= from;
        let parts: Vec<PlacedShape> = parts.iter().filter(reaches).copied().collect();
        let boxes: Vec<(Spot, Spot)> = parts.iter().map(|s| kinds.extent(s)).collect();
        let min = |of: fn(&Spot) -> i64| boxes.iter().map(|b| of(&b.0)).min().unwrap_or(0);
        let max = |of: fn(&Spot) -> i64| boxes.iter().map(|b| of(&b.1)).max().unwrap_or(0);
        let low = Spot::new(min(|s| s.x), min(|s| s.y));
        let high = Spot::new(max(|s| s.x), max(|s| s.y));
        let (width, height) = ((high.x - low.x) as f64, (high.y - low.y) as f64);
        let cells = (CELLS * parts.len()).max(1) as f64;
        let side = ((width * height / cells).sqrt().max(width.max(height) / cells)) as i64 + 1;
        let (columns, rows) = ((high.x - low.x) / side + 1, (high.y - low.y) / side + 1);
        let mut near = Self { parts, boxes, low, side, columns, rows, cells: Vec::new() };
        near.cells = vec![Vec::new(); (columns * rows) as usize];
        for i in 0..near.boxes.len() {
            for cell in near.reached(&near.boxes[i]) {
                near.cells[cell].push(i as u32);
            }
        }
        near
    }

    /// The cells that a box overlaps; parts beyond them all are in the nearest.
    fn reached(&self, (low, high): &(Spot, Spot)) -> impl Iterator<Item = usize> + use<> {
        let cell = |at: i64, from: i64, count: i64| {
            ((at - from).div_euclid(self.side)).clamp(0, count - 1)
        };
        let (left, right) =
            (cell(low.x, self.low.x, self.columns), cell(high.x, self.low.x, self.columns));
        let (bottom, top) =
            (cell(low.y, self.low.y, self.rows), cell(high.y, self.low.y, self.rows));
        let columns = self.columns;
        (bottom..=top)
            .flat_map(move |row| (left..=right).map(move |c| (row * columns + c) as usize))
    }

    /// Whether a part overlaps none of them.
    pub(super) fn is_clear(&self, kinds: &Kinds, part: PlacedShape) -> bool {
        if self.parts.is_empty() {
            return true;
        }
        let (low, high) = kinds.extent(&part);
        self.reached(&(low, high)).all(|cell| {
            self.cells[cell].iter().all(|i| {
                let (under, over) = &self.boxes[*i as usize];
                let apart =
                    over.x <= low.x || high.x <= under.x || over.y <= low.y || high.y <= under.y;
                apart || !kinds.overlap(&self.parts[*i as usize], &part)
            })
        })
    }
}
