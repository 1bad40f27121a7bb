//! The placements of all parts during the search, overlapping or not, and the weights of their
//! overlaps.

use crate::nest::overlap::forms::Form;
use crate::nest::overlap::forms::FormCache;
use crate::nest::problem::progress::Stop;
use std::ops::ControlFlow;

/// A form at a position.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Placement {
    pub(crate) form: usize,
    pub(crate) x: f64,
    pub(crate) y: f64,
}

/// The bounding boxes of parts must stay in this box: one sheet. Containers are side by side along
/// x.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Container {
    pub(crate) low: (f64, f64),
    pub(crate) high: (f64, f64),
}

/// The bounding box of a part.
#[derive(Clone, Copy, Debug, Default)]
struct Extent {
    low_x: f64,
    low_y: f64,
    high_x: f64,
    high_y: f64,
}

/// The parts, sorted into cells by their positions, and the weights of their overlaps.
#[derive(Clone, Debug)]
pub(crate) struct Placements<'a> {
    pub(crate) cache: &'a FormCache,
    pub(crate) containers: Vec<Container>,
    /// Whether parts may change from container to container.
    pub(crate) roaming: bool,
    /// Whether parts keep to forms without skew; those that are skewed already may stay so.
    pub(crate) unskewed_only: bool,
    /// Where the sheets to be used first end; parts on them do not leave them.
    pub(crate) first_end: f64,
    /// By part, whether it was on one of these in the best layout.
    held: Vec<bool>,
    all: Vec<Placement>,
    extents: Vec<Extent>,
    /// Parts below this index can be moved; the others are obstacles.
    movable: usize,
    low: (f64, f64),
    per_cell: f64,
    columns: usize,
    rows: usize,
    /// By cell, all parts whose boxes reach into it.
    cells: Vec<Vec<u32>>,
    /// By pair of parts, the weight of their overlap.
    weights: Vec<f32>,
    /// How many positions have been evaluated.
    pub(crate) asked: u64,
    /// Queried whether the work must end; `None` if it never must.
    pub(crate) stop: Option<&'a Stop<'a>>,
}

/// Maximum number of cells in all containers together. Our choice: a few megabytes.
const MAX_CELLS: f64 = 65_536.0;

/// After a sweep the weight of a pair without overlap is reduced to this share: arXiv 2509.13329.
const DECAY: f64 = 0.95;

/// After a sweep the weight of an overlap grows by this factor, and by the second times its share
/// of the largest overlap: arXiv 2509.13329.
const GROWTH: f64 = 1.2;
const GROWTH_BY_LOSS: f64 = 0.8;

impl Container {
    /// The range of the reference point of a form; `None` when it does not fit.
    #[inline]
    pub(crate) fn range(&self, form: &Form) -> Option<((f64, f64), (f64, f64))> {
        let low = (self.low.0 - form.min.0, self.low.1 - form.min.1);
        let high = (self.high.0 - form.max.0, self.high.1 - form.max.1);
        (low.0 <= high.0 && low.1 <= high.1).then_some((low, high))
    }
}

impl<'a> Placements<'a> {
    /// Parts in containers; those `in_the_way` are obstacles.
    pub(crate) fn new(
        cache: &'a FormCache,
        containers: Vec<Container>,
        parts: &[Placement],
        in_the_way: &[Placement],
        roaming: bool,
    ) -> Self {
        let all: Vec<Placement> = parts.iter().chain(in_the_way).copied().collect();
        let low = containers.first().map_or((0.0, 0.0), |y| y.low);
        let high_x = containers.iter().map(|y| y.high.0).fold(low.0, f64::max);
        let high_y = containers.iter().map(|y| y.high.1).fold(low.1, f64::max);
        let low_y = containers.iter().map(|y| y.low.1).fold(low.1, f64::min);
        let (width, height) = (high_x - low.0, high_y - low_y);
        let boxes: f64 = parts
            .iter()
            .map(|s| &cache.forms[s.form])
            .map(|f| (f.max.0 - f.min.0) * (f.max.1 - f.min.1))
            .sum();
        let mean = (boxes / parts.len().max(1) as f64).sqrt();
        let cell = mean.max((width * height / MAX_CELLS).sqrt()).max(width.max(height) / 1024.0);
        let count = |length: f64| (length / cell).ceil().max(1.0) as usize;
        let (columns, rows) = (count(width), count(height));
        let mut placements = Self {
            cache,
            containers,
            roaming,
            unskewed_only: false,
            first_end: f64::NEG_INFINITY,
            held: vec![false; parts.len()],
            extents: vec![Extent::default(); all.len()],
            movable: parts.len(),
            low: (low.0, low_y),
            per_cell: 1.0 / cell,
            columns,
            rows,
            cells: vec![Vec::new(); columns * rows],
            weights: vec![1.0; all.len() * all.len()],
            all,
            asked: 0,
            stop: None,
        };
        placements.sort_in();
        placements
    }

    /// Whether the work must end.
    pub(crate) fn must_end(&self) -> bool {
        self.stop.is_some_and(Stop::now)
    }

    /// From now on keeps the parts that are on sheets to be used first on these, and no others.
    pub(crate) fn hold(&mut self) {
        for part in 0..self.movable {
            self.held[part] = self.extents[part].low_x < self.first_end;
        }
    }

    /// Lets a part leave them.
    pub(crate) fn release(&mut self, part: usize) {
        self.held[part] = false;
    }

    pub(crate) fn is_held(&self, part: usize) -> bool {
        self.held[part]
    }

    /// Whether a part that may change its container may be in this one.
    #[inline]
    pub(crate) fn admits(&self, container: &Container, part: usize) -> bool {
        !self.held[part] || container.low.0 < self.first_end
    }

    /// The parts that can be moved.
    pub(crate) fn parts(&self) -> &[Placement] {
        &self.all[..self.movable]
    }

    /// Moves all parts at once.
    pub(crate) fn put_all(&mut self, parts: &[Placement]) {
        self.all[..self.movable].copy_from_slice(parts);
        self.sort_in();
    }

    /// Moves one part.
    pub(crate) fn put(&mut self, part: usize, placement: Placement) {
        let old = self.extents[part];
        let (columns, rows) = self.reached(&old);
        for row in rows {
            for column in columns.clone() {
                let cell = &mut self.cells[row * self.columns + column];
                if let Some(at) = cell.iter().position(|p| *p == part as u32) {
                    cell.swap_remove(at);
                }
            }
        }
        self.all[part] = placement;
        self.enter(part);
    }

    fn sort_in(&mut self) {
        self.cells.iter_mut().for_each(Vec::clear);
        for part in 0..self.all.len() {
            self.enter(part);
        }
    }

    fn enter(&mut self, part: usize) {
        let extent = self.extent(&self.all[part]);
        self.extents[part] = extent;
        let (columns, rows) = self.reached(&extent);
        for row in rows {
            for column in columns.clone() {
                self.cells[row * self.columns + column].push(part as u32);
            }
        }
    }

    #[inline]
    fn extent(&self, placement: &Placement) -> Extent {
        let form = &self.cache.forms[placement.form];
        Extent {
            low_x: placement.x + form.min.0,
            low_y: placement.y + form.min.1,
            high_x: placement.x + form.max.0,
            high_y: placement.y + form.max.1,
        }
    }

    #[inline]
    fn column(&self, x: f64) -> usize {
        (((x - self.low.0) * self.per_cell) as usize).min(self.columns - 1)
    }

    #[inline]
    fn row(&self, y: f64) -> usize {
        (((y - self.low.1) * self.per_cell) as usize).min(self.rows - 1)
    }

    #[inline]
    fn reached(
        &self,
        extent: &Extent,
    ) -> (std::ops::RangeInclusive<usize>, std::ops::RangeInclusive<usize>) {
        (
            self.column(extent.low_x)..=self.column(extent.high_x),
            self.row(extent.low_y)..=self.row(extent.high_y),
        )
    }

    /// Visits each part that would overlap `part` at a placement, with the penetration depth, until
    /// `visit` breaks.
    #[inline]
    fn for_each_overlap(
        &self,
        part: usize,
        placement: &Placement,
        mut visit: impl FnMut(usize, f64) -> ControlFlow<()>,
    ) {
        let own = self.extent(placement);
        let (columns, rows) = self.reached(&own);
        for row in rows {
            for column in columns.clone() {
                for other in &self.cells[row * self.columns + column] {
                    let other = *other as usize;
                    let its = &self.extents[other];
                    let (low_x, low_y) = (own.low_x.max(its.low_x), own.low_y.max(its.low_y));
                    let apart = low_x >= own.high_x.min(its.high_x)
                        || low_y >= own.high_y.min(its.high_y)
                        || other == part;
                    // Two boxes may share several cells: they meet in the first of them.
                    if apart || self.column(low_x) != column || self.row(low_y) != row {
                        continue;
                    }
                    let there = &self.all[other];
                    let (x, y) = (placement.x - there.x, placement.y - there.y);
                    let depth = self.cache.penetration_depth(there.form, placement.form, x, y);
                    if depth > 0.0 && visit(other, depth).is_break() {
                        return;
                    }
                }
            }
        }
    }

    /// The weighted overlap of a part at a placement; once it exceeds `limit`, any value above.
    #[inline]
    pub(crate) fn loss(&mut self, part: usize, placement: &Placement, limit: f64) -> f64 {
        self.asked += 1;
        let bulk = self.cache.forms[placement.form].bulk;
        let weights = &self.weights[part * self.all.len()..][..self.all.len()];
        let mut loss = 0.0;
        self.for_each_overlap(part, placement, |other, depth| {
            let weight = f64::from(weights[other]) * self.cache.forms[self.all[other].form].bulk;
            loss += depth * bulk * weight;
            if loss > limit { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
        });
        loss
    }

    /// Whether a part at a placement overlaps nothing.
    pub(crate) fn is_free(&mut self, part: usize, placement: &Placement) -> bool {
        self.asked += 1;
        let mut free = true;
        self.for_each_overlap(part, placement, |_, _| {
            free = false;
            ControlFlow::Break(())
        });
        free
    }

    /// All overlaps: two parts and their unweighted overlap.
    pub(crate) fn overlaps(&mut self) -> Vec<(usize, usize, f64)> {
        let mut all = Vec::new();
        self.asked += self.movable as u64;
        for part in 0..self.movable {
            let placement = self.all[part];
            let bulk = self.cache.forms[placement.form].bulk;
            self.for_each_overlap(part, &placement, |other, depth| {
                if other > part {
                    let bulk = bulk * self.cache.forms[self.all[other].form].bulk;
                    all.push((part, other, depth * bulk));
                }
                ControlFlow::Continue(())
            });
        }
        all
    }

    /// Raises the weights of overlaps that persist and lowers all others, down to 1.
    pub(crate) fn weigh(&mut self, overlaps: &[(usize, usize, f64)]) {
        let max = overlaps.iter().map(|o| o.2).fold(0.0, f64::max);
        let n = self.all.len();
        for weight in &mut self.weights {
            *weight = (*weight * DECAY as f32).max(1.0);
        }
        for (a, b, loss) in overlaps {
            let grown =
                f64::from(self.weights[a * n + b]) / DECAY * (GROWTH + GROWTH_BY_LOSS * loss / max);
            self.weights[a * n + b] = grown as f32;
            self.weights[b * n + a] = grown as f32;
        }
    }

    /// All weights are 1 again.
    pub(crate) fn weigh_anew(&mut self) {
        self.weights.fill(1.0);
    }

    /// How far parts reach in the last container; its lower end when it is empty.
    pub(crate) fn reach(&self) -> f64 {
        let Some(last) = self.containers.last() else { return 0.0 };
        let on = self.extents[..self.movable].iter().filter(|e| e.low_x >= last.low.0);
        on.map(|e| e.high_x).fold(last.low.0, f64::max)
    }
}
