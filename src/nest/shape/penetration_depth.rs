//! Penetration depths: how deep one shape is in another, from a table.
//!
//! The penetration depth at a position is its distance from the boundary of the no-fit polygon: how
//! far two shapes must be moved apart until they only touch. Each no-fit polygon is covered by a
//! grid of cells once. In most cells the depth is as good as a plane; where several edges matter
//! near the boundary, the cell lists them, so that the edges themselves decide what is free.

use crate::nest::shape::polygon::Patch;
use crate::nest::shape::polygon::Spot;
use crate::nest::shape::polygon::extent;
use crate::nest::shape::polygon::sides;

/// Overlap of less than this, in micrometres, is touching. Our choice: positions are whole
/// micrometres, so square edges overlap by 1 or not at all.
pub(crate) const TOUCHING: f64 = 0.25;

/// Approximate number of cells that cover a no-fit polygon. Our choice: 16 kB.
const CELLS: f64 = 1024.0;

/// The penetration depth of one shape in another at every position.
#[derive(Debug)]
pub(crate) struct PenetrationDepth {
    low: (f64, f64),
    cell: f64,
    per_cell: f64,
    columns: usize,
    rows: usize,
    cells: Vec<Cell>,
    edges: Vec<Edge>,
}

/// A plane of depth over a cell, from its centre; or the edges that matter in it.
#[derive(Clone, Copy, Debug)]
struct Cell {
    depth: f32,
    slope_x: f32,
    slope_y: f32,
    /// Index of its first edge, and how many; none if the plane is sufficient.
    first: u32,
    count: u32,
}

/// An edge with the inside on its left.
#[derive(Clone, Copy, Debug)]
struct Edge {
    x: f64,
    y: f64,
    along_x: f64,
    along_y: f64,
    /// One over the square of its length.
    scale: f64,
    /// Whether the side nearest to its start is inside: there the boundary turns right.
    start_inside: bool,
    end_inside: bool,
}

/// The nearest point of an edge.
struct Nearest {
    square: f64,
    inside: bool,
    x: f64,
    y: f64,
}

impl Edge {
    fn nearest(&self, x: f64, y: f64) -> Nearest {
        let (px, py) = (x - self.x, y - self.y);
        let t = (px * self.along_x + py * self.along_y) * self.scale;
        let (t, inside) = if t <= 0.0 {
            (0.0, self.start_inside)
        } else if t >= 1.0 {
            (1.0, self.end_inside)
        } else {
            (t, self.along_x * py - self.along_y * px > 0.0)
        };
        let (dx, dy) = (px - t * self.along_x, py - t * self.along_y);
        Nearest { square: dx * dx + dy * dy, inside, x: x - dx, y: y - dy }
    }
}

impl PenetrationDepth {
    /// Covers a no-fit polygon with cells.
    pub(crate) fn new(forbidden: &[Patch]) -> Self {
        let contours: Vec<Spot> =
            forbidden.iter().flat_map(|p| p.contour.iter().copied()).collect();
        let edges = edges(forbidden);
        if edges.is_empty() {
            return Self {
                low: (0.0, 0.0),
                cell: 1.0,
                per_cell: 1.0,
                columns: 0,
                rows: 0,
                cells: Vec::new(),
                edges,
            };
        }
        let (min, max) = extent(&contours);
        let (width, height) = ((max.x - min.x) as f64, (max.y - min.y) as f64);
        let cell = (width * height / CELLS).sqrt().max(width.max(height) / CELLS).max(1.0);
        let count = |length: f64| (length / cell).ceil().max(1.0) as usize;
        let (columns, rows) = (count(width), count(height));
        let mut depth = Self {
            low: (min.x as f64, min.y as f64),
            cell,
            per_cell: 1.0 / cell,
            columns,
            rows,
            cells: Vec::with_capacity(columns * rows),
            edges: Vec::new(),
        };
        for row in 0..rows {
            for column in 0..columns {
                depth.push(&edges, depth.centre(column, row));
            }
        }
        depth
    }

    fn centre(&self, column: usize, row: usize) -> (f64, f64) {
        let at = |low: f64, i: usize| low + (i as f64 + 0.5) * self.cell;
        (at(self.low.0, column), at(self.low.1, row))
    }

    fn push(&mut self, edges: &[Edge], (x, y): (f64, f64)) {
        let near = nearest(edges, x, y);
        let distance = near.square.sqrt();
        let reach = self.cell * std::f64::consts::FRAC_1_SQRT_2 + 1.0;
        let mut cell = Cell { depth: 0.0, slope_x: 0.0, slope_y: 0.0, first: 0, count: 0 };
        if near.inside && distance > reach {
            cell.depth = distance as f32;
            cell.slope_x = ((x - near.x) / distance) as f32;
            cell.slope_y = ((y - near.y) / distance) as f32;
        } else if distance <= reach {
            let far = distance + 2.0 * reach;
            let matters = |e: &&Edge| e.nearest(x, y).square <= far * far;
            cell.first = self.edges.len() as u32;
            self.edges.extend(edges.iter().filter(matters));
            cell.count = self.edges.len() as u32 - cell.first;
        }
        self.cells.push(cell);
    }

    /// The penetration depth at a position in whole micrometres; 0 without overlap.
    #[inline]
    pub(crate) fn at(&self, x: f64, y: f64) -> f64 {
        let (x, y) = (x - self.low.0, y - self.low.1);
        if x < 0.0 || y < 0.0 {
            return 0.0;
        }
        let (column, row) = ((x * self.per_cell) as usize, (y * self.per_cell) as usize);
        if column >= self.columns || row >= self.rows {
            return 0.0;
        }
        let cell = &self.cells[row * self.columns + column];
        if cell.count > 0 {
            let edges = &self.edges[cell.first as usize..][..cell.count as usize];
            let near = nearest(edges, x + self.low.0, y + self.low.1);
            let depth = if near.inside { near.square.sqrt() } else { 0.0 };
            return if depth > TOUCHING { depth } else { 0.0 };
        }
        let dx = x - (column as f64 + 0.5) * self.cell;
        let dy = y - (row as f64 + 0.5) * self.cell;
        f64::from(cell.depth) + f64::from(cell.slope_x) * dx + f64::from(cell.slope_y) * dy
    }
}

#[inline]
fn nearest(edges: &[Edge], x: f64, y: f64) -> Nearest {
    let mut best = Nearest { square: f64::INFINITY, inside: false, x, y };
    for edge in edges {
        let near = edge.nearest(x, y);
        if near.square < best.square {
            best = near;
        }
    }
    best
}

/// All edges of the areas, the inside on their left.
fn edges(forbidden: &[Patch]) -> Vec<Edge> {
    let mut all = Vec::new();
    for patch in forbidden {
        let reversed = |hole: &Vec<Spot>| hole.iter().rev().copied().collect::<Vec<_>>();
        for ring in std::iter::once(patch.contour.clone()).chain(patch.holes.iter().map(reversed)) {
            let n = ring.len();
            let turns_right = |i: usize| ring[(i + 1) % n].side(ring[(i + n - 1) % n], ring[i]) < 0;
            for (i, (a, b)) in sides(&ring).enumerate() {
                let (along_x, along_y) = ((b.x - a.x) as f64, (b.y - a.y) as f64);
                all.push(Edge {
                    x: a.x as f64,
                    y: a.y as f64,
                    along_x,
                    along_y,
                    scale: 1.0 / (along_x * along_x + along_y * along_y),
                    start_inside: turns_right(i),
                    end_inside: turns_right((i + 1) % n),
                });
            }
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::nest::shape::nfp::boxed;
    use crate::nest::shape::nfp::no_fit;

    fn depth_of(a: &[Spot], b: &[Spot]) -> PenetrationDepth {
        PenetrationDepth::new(&no_fit(a, b))
    }

    #[test]
    fn squares_penetrate_as_deep_as_they_must_be_moved() {
        let square = boxed(Spot::new(0, 0), Spot::new(10_000, 10_000));
        let depth = depth_of(&square, &square);
        for (x, y, wanted) in [
            (10_000.0, 0.0, 0.0),
            (9_999.0, 0.0, 1.0),
            (-9_999.0, 50.0, 1.0),
            (9_000.0, 9_500.0, 500.0),
            (10_001.0, 10_001.0, 0.0),
            (0.0, -30_000.0, 0.0),
            (2_000.0, 9_999.0, 1.0),
        ] {
            assert_eq!(depth.at(x, y), wanted, "{x} {y}");
        }
        let deep = depth.at(100.0, 0.0);
        assert!((deep - 9_900.0).abs() < 700.0, "{deep}");
    }

    /// The edges decide what is free, corners and bays included; elsewhere the depth is known to
    /// about a cell.
    #[test]
    fn what_is_free_is_exact() {
        let ell = [(0, 0), (40, 0), (40, 10), (13, 14), (10, 40), (0, 40)]
            .map(|(x, y)| Spot::new(x * 1000, y * 1000));
        let tee = [(0, 0), (9, 0), (9, 20), (20, 20), (20, 30), (-11, 30), (-11, 20), (0, 20)]
            .map(|(x, y)| Spot::new(x * 1000, y * 1000));
        let forbidden = no_fit(&ell, &tee);
        let (depth, edges) = (PenetrationDepth::new(&forbidden), edges(&forbidden));
        let (mut free, mut deep) = (0, 0);
        for i in -60..60 {
            for j in -60..60 {
                let (x, y) = (f64::from(i) * 997.0, f64::from(j) * 991.0);
                let near = nearest(&edges, x, y);
                let exact = if near.inside { near.square.sqrt() } else { 0.0 };
                let found = depth.at(x, y);
                assert_eq!(found > 0.0, exact > TOUCHING, "{x} {y}");
                assert!((found - exact).abs() < 3_000.0, "{x} {y}: {found} {exact}");
                if exact > 0.0 { deep += 1 } else { free += 1 }
            }
        }
        assert!(free > 1000 && deep > 1000);
    }
}
