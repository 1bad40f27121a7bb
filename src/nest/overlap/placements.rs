//! Where every part lies while the search goes on, overlapping or not.

use crate::nest::overlap::forms::Form;
use crate::nest::overlap::forms::Kit;
use std::ops::ControlFlow;

/// A form at a position.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Seat {
    pub(crate) form: usize,
    pub(crate) x: f64,
    pub(crate) y: f64,
}

/// A box that boxes round parts must stay in: one sheet. Sheets lie side by side in x.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Yard {
    pub(crate) low: (f64, f64),
    pub(crate) high: (f64, f64),
}

/// The box round a part.
#[derive(Clone, Copy, Debug, Default)]
struct Extent {
    low_x: f64,
    low_y: f64,
    high_x: f64,
    high_y: f64,
}

/// The parts, found by where they lie, and the weights of their overlaps.
#[derive(Clone, Debug)]
pub(crate) struct Ground<'a> {
    pub(crate) kit: &'a Kit,
    pub(crate) yards: Vec<Yard>,
    /// Whether parts may change from yard to yard.
    pub(crate) roaming: bool,
    /// Whether parts keep to forms that do not lean, but for those that do already.
    pub(crate) level: bool,
    /// Where the sheets to be used first end; parts on them do not leave them.
    pub(crate) first_end: f64,
    /// By part, whether it was on one of these in the best layout so far.
    held: Vec<bool>,
    seats: Vec<Seat>,
    extents: Vec<Extent>,
    /// Parts up to here can be moved; the rest is in the way.
    movable: usize,
    low: (f64, f64),
    per_cell: f64,
    columns: usize,
    rows: usize,
    /// By cell, all parts whose boxes reach into it.
    cells: Vec<Vec<u32>>,
    /// By two parts, what their overlap counts.
    weights: Vec<f32>,
    /// How often the overlap of a part at some position was asked for.
    pub(crate) asked: u64,
}

/// Most cells on all yards together. Our choice: few megabytes.
const MOST_CELLS: f64 = 65_536.0;

impl Yard {
    /// Where the reference point of a form may lie; `None` when it does not fit.
    #[inline]
    pub(crate) fn room(&self, form: &Form) -> Option<((f64, f64), (f64, f64))> {
        let low = (self.low.0 - form.least.0, self.low.1 - form.least.1);
        let high = (self.high.0 - form.most.0, self.high.1 - form.most.1);
        (low.0 <= high.0 && low.1 <= high.1).then_some((low, high))
    }
}

impl<'a> Ground<'a> {
    /// Parts on yards; `in_the_way` stays where it is.
    pub(crate) fn new(
        kit: &'a Kit,
        yards: Vec<Yard>,
        parts: &[Seat],
        in_the_way: &[Seat],
        roaming: bool,
    ) -> Self {
        let seats: Vec<Seat> = parts.iter().chain(in_the_way).copied().collect();
        let low = yards.first().map_or((0.0, 0.0), |y| y.low);
        let high_x = yards.iter().map(|y| y.high.0).fold(low.0, f64::max);
        let high_y = yards.iter().map(|y| y.high.1).fold(low.1, f64::max);
        let low_y = yards.iter().map(|y| y.low.1).fold(low.1, f64::min);
        let (width, height) = (high_x - low.0, high_y - low_y);
        let boxes: f64 = parts
            .iter()
            .map(|s| &kit.forms[s.form])
            .map(|f| (f.most.0 - f.least.0) * (f.most.1 - f.least.1))
            .sum();
        let mean = (boxes / parts.len().max(1) as f64).sqrt();
        let cell = mean.max((width * height / MOST_CELLS).sqrt()).max(width.max(height) / 1024.0);
        let count = |length: f64| (length / cell).ceil().max(1.0) as usize;
        let (columns, rows) = (count(width), count(height));
        let mut ground = Self {
            kit,
            yards,
            roaming,
            level: false,
            first_end: f64::NEG_INFINITY,
            held: vec![false; parts.len()],
            extents: vec![Extent::default(); seats.len()],
            movable: parts.len(),
            low: (low.0, low_y),
            per_cell: 1.0 / cell,
            columns,
            rows,
            cells: vec![Vec::new(); columns * rows],
            weights: vec![1.0; seats.len() * seats.len()],
            seats,
            asked: 0,
        };
        ground.sort_in();
        ground
    }

    /// Holds the parts on sheets to be used first on these from now on, and no others.
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

    /// Whether a part that may change its yard may lie on this one.
    #[inline]
    pub(crate) fn admits(&self, yard: &Yard, part: usize) -> bool {
        !self.held[part] || yard.low.0 < self.first_end
    }

    /// The parts that can be moved.
    pub(crate) fn parts(&self) -> &[Seat] {
        &self.seats[..self.movable]
    }

    /// Puts all parts elsewhere at once.
    pub(crate) fn put_all(&mut self, parts: &[Seat]) {
        self.seats[..self.movable].copy_from_slice(parts);
        self.sort_in();
    }

    /// Puts one part elsewhere.
    pub(crate) fn put(&mut self, part: usize, seat: Seat) {
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
        self.seats[part] = seat;
        self.enter(part);
    }

    fn sort_in(&mut self) {
        self.cells.iter_mut().for_each(Vec::clear);
        for part in 0..self.seats.len() {
            self.enter(part);
        }
    }

    fn enter(&mut self, part: usize) {
        let extent = self.extent(&self.seats[part]);
        self.extents[part] = extent;
        let (columns, rows) = self.reached(&extent);
        for row in rows {
            for column in columns.clone() {
                self.cells[row * self.columns + column].push(part as u32);
            }
        }
    }

    #[inline]
    fn extent(&self, seat: &Seat) -> Extent {
        let form = &self.kit.forms[seat.form];
        Extent {
            low_x: seat.x + form.least.0,
            low_y: seat.y + form.least.1,
            high_x: seat.x + form.most.0,
            high_y: seat.y + form.most.1,
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

    /// Tells each part that would overlap `part` at a seat, and by how much, until told to
    /// stop.
    #[inline]
    fn meet(&self, part: usize, seat: &Seat, mut tell: impl FnMut(usize, f64) -> ControlFlow<()>) {
        let own = self.extent(seat);
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
                    let there = &self.seats[other];
                    let (x, y) = (seat.x - there.x, seat.y - there.y);
                    let depth = self.kit.depth(there.form, seat.form, x, y);
                    if depth > 0.0 && tell(other, depth).is_break() {
                        return;
                    }
                }
            }
        }
    }

    /// What overlaps of a part at a seat count, or more than `limit` if they reach that.
    #[inline]
    pub(crate) fn loss(&mut self, part: usize, seat: &Seat, limit: f64) -> f64 {
        self.asked += 1;
        let bulk = self.kit.forms[seat.form].bulk;
        let weights = &self.weights[part * self.seats.len()..][..self.seats.len()];
        let mut loss = 0.0;
        self.meet(part, seat, |other, depth| {
            let weight = f64::from(weights[other]) * self.kit.forms[self.seats[other].form].bulk;
            loss += depth * bulk * weight;
            if loss > limit { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
        });
        loss
    }

    /// Whether a part may lie at a seat within the yard it is in.
    pub(crate) fn is_free(&mut self, part: usize, seat: &Seat) -> bool {
        self.asked += 1;
        let mut free = true;
        self.meet(part, seat, |_, _| {
            free = false;
            ControlFlow::Break(())
        });
        free
    }

    /// All overlaps: two parts and what it counts without its weight.
    pub(crate) fn overlaps(&mut self) -> Vec<(usize, usize, f64)> {
        let mut all = Vec::new();
        self.asked += self.movable as u64;
        for part in 0..self.movable {
            let seat = self.seats[part];
            let bulk = self.kit.forms[seat.form].bulk;
            self.meet(part, &seat, |other, depth| {
                if other > part {
                    let bulk = bulk * self.kit.forms[self.seats[other].form].bulk;
                    all.push((part, other, depth * bulk));
                }
                ControlFlow::Continue(())
            });
        }
        all
    }

    /// Makes overlaps that last count more, and all others less, down to 1.
    pub(crate) fn weigh(&mut self, overlaps: &[(usize, usize, f64)]) {
        let most = overlaps.iter().map(|o| o.2).fold(0.0, f64::max);
        let n = self.seats.len();
        for weight in &mut self.weights {
            *weight = (*weight * 0.95).max(1.0);
        }
        for (a, b, loss) in overlaps {
            let grown = f64::from(self.weights[a * n + b]) / 0.95 * (1.2 + 0.8 * loss / most);
            self.weights[a * n + b] = grown as f32;
            self.weights[b * n + a] = grown as f32;
        }
    }

    /// All overlaps count the same again.
    pub(crate) fn weigh_anew(&mut self) {
        self.weights.fill(1.0);
    }

    /// How far parts on the last yard reach; its low end when there are none.
    pub(crate) fn reach(&self) -> f64 {
        let Some(last) = self.yards.last() else { return 0.0 };
        let on = self.extents[..self.movable].iter().filter(|e| e.low_x >= last.low.0);
        on.map(|e| e.high_x).fold(last.low.0, f64::max)
    }
}
