//! A layout made shorter and shorter.

use crate::nest::overlap::placements::Ground;
use crate::nest::overlap::placements::Seat;
use crate::nest::overlap::placements::Yard;
use crate::nest::overlap::separate::Parted;
use crate::nest::overlap::separate::Patience;
use crate::nest::overlap::separate::separate;
use crate::nest::random::Dice;

/// A layout without overlaps: how many yards it takes, how far parts on the last reach.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Answer {
    pub(crate) yards: usize,
    pub(crate) reach: f64,
    pub(crate) parts: Vec<Seat>,
}

impl Answer {
    /// Fewer yards, then a shorter reach.
    pub(crate) fn beats(&self, other: &Self) -> bool {
        (self.yards, self.reach) < (other.yards, other.reach)
    }
}

/// One searcher with its own chance.
#[derive(Clone, Debug)]
pub(crate) struct Searcher<'a> {
    ground: Ground<'a>,
    /// The yards at their full length.
    yards: &'a [Yard],
    items: &'a [usize],
    dice: Dice,
    pub(crate) best: Answer,
    /// Layouts that did not come free at the present length, with their overlap.
    stuck: Vec<(f64, Vec<Seat>)>,
    /// The share of the whole length taken off in one go.
    step: f64,
    /// Whether the work ran out before it was clear if the layout comes free.
    midway: bool,
    /// Whether some part is as long as all that is used, so that nothing can be gained.
    pub(crate) finished: bool,
}

/// Most and least that is taken off at once while exploring. The last is after
/// arXiv 2509.13329; more at first gets over an easy start.
const LARGEST_STEP: f64 = 0.02;
const SMALLEST_STEP: f64 = 0.001;

/// What is taken off at once while pressing, at first and in the end. After the same.
const PRESSING: (f64, f64) = (0.0005, 0.00001);

const EAGER: Patience = Patience { rounds: 50, strikes: 1 };
pub(crate) const EXPLORER: Patience = Patience { rounds: 200, strikes: 3 };
const PRESSER: Patience = Patience { rounds: 100, strikes: 5 };

impl<'a> Searcher<'a> {
    /// Starts from a layout. Where shapes of the search are a little larger than the true
    /// ones, parts of it may overlap; `None` when they do not come free.
    pub(crate) fn new(
        mut ground: Ground<'a>,
        yards: &'a [Yard],
        items: &'a [usize],
        mut dice: Dice,
    ) -> Option<Self> {
        ground.hold();
        if separate(&mut ground, items, EAGER, u64::MAX, &mut dice) != Parted::Free {
            return None;
        }
        let best = Answer {
            yards: ground.yards.len(),
            reach: ground.reach(),
            parts: ground.parts().to_vec(),
        };
        let (stuck, step, midway) = (Vec::new(), LARGEST_STEP, false);
        let mut searcher =
            Self { ground, yards, items, dice, best, stuck, step, midway, finished: false };
        searcher.keep();
        Some(searcher)
    }

    /// Positions asked for so far.
    pub(crate) fn asked(&self) -> u64 {
        self.ground.asked
    }

    /// Goes on from another's layout.
    pub(crate) fn adopt(&mut self, answer: &Answer) {
        if answer.beats(&self.best) {
            self.best = answer.clone();
            self.stuck.clear();
            self.step = self.step.min(4.0 * SMALLEST_STEP);
            self.midway = false;
        }
    }

    /// Looks for shorter layouts until so many positions were asked for.
    pub(crate) fn explore(&mut self, until: u64) {
        while self.ground.asked < until && !self.finished {
            self.try_shorter(until);
        }
    }

    /// Presses the best layout together until so many positions were asked for; `done` of
    /// all the pressing, 0 to 1, is over.
    pub(crate) fn press(&mut self, done: f64, until: u64) {
        self.stuck.clear();
        self.midway = false;
        let step = PRESSING.0 + (PRESSING.1 - PRESSING.0) * done;
        while self.ground.asked < until && !self.finished {
            self.restore();
            let split = self.dice.between(self.last().low.0, self.best.reach);
            if !self.shorten(step, split) {
                self.finished = true;
                break;
            }
            let parted = separate(&mut self.ground, self.items, PRESSER, until, &mut self.dice);
            if parted == Parted::Free {
                self.keep();
            }
        }
    }

    /// Takes a step off the length and tries to come free.
    fn try_shorter(&mut self, until: u64) {
        if self.stuck.is_empty() && !self.midway {
            self.restore();
            let middle = (self.last().low.0 + self.best.reach) / 2.0;
            if !self.shorten(self.step, middle) {
                self.finished = self.step <= SMALLEST_STEP;
                self.step = (self.step / 2.0).max(SMALLEST_STEP);
                return;
            }
        }
        let patience = if self.step > SMALLEST_STEP { EAGER } else { EXPLORER };
        let parted = separate(&mut self.ground, self.items, patience, until, &mut self.dice);
        self.midway = parted == Parted::Spent;
        match parted {
            Parted::Free => {
                self.keep();
                self.stuck.clear();
            }
            Parted::Spent => {}
            Parted::Stuck(..) if self.step > SMALLEST_STEP => {
                self.step = (self.step / 2.0).max(SMALLEST_STEP);
            }
            Parted::Stuck(loss, parts) => {
                let at = self.stuck.partition_point(|s| s.0 <= loss);
                self.stuck.insert(at, (loss, parts));
                // Mostly one of the better ones: half a bell curve, its width a quarter.
                let bell = (self.dice.unit() + self.dice.unit() + self.dice.unit() - 1.5) / 2.0;
                let pick = (bell.abs() * self.stuck.len() as f64) as usize;
                let pick = pick.min(self.stuck.len() - 1);
                let parts = self.stuck[pick].1.clone();
                self.ground.put_all(&parts);
                self.disrupt();
            }
        }
    }

    fn last(&self) -> Yard {
        self.ground.yards[self.ground.yards.len() - 1]
    }

    /// Back to the best layout.
    fn restore(&mut self) {
        self.ground.yards.clear();
        self.ground.yards.extend_from_slice(&self.yards[..self.best.yards]);
        let last = self.best.yards - 1;
        self.ground.yards[last].high.0 = self.best.reach;
        self.ground.put_all(&self.best.parts);
        self.ground.hold();
    }

    /// The last yard becomes shorter by a share of all yards; parts right of `split` move
    /// along. A yard too short for all parts is given up. False when a part then fits
    /// nowhere.
    fn shorten(&mut self, share: f64, split: f64) -> bool {
        let length = |y: &Yard| y.high.0 - y.low.0;
        let all: f64 = self.ground.yards.iter().map(length).sum();
        let off = (share * all).ceil().max(1.0);
        let n = self.ground.yards.len();
        let first = self.last().low.0;
        self.ground.yards[n - 1].high.0 = self.best.reach - off;
        let last = self.last();
        let holds = |part: usize| {
            self.ground
                .kit
                .forms_of(self.items[part])
                .any(|f| last.room(&self.ground.kit.forms[f]).is_some())
        };
        let given_up = n > 1 && self.ground.roaming && !(0..self.items.len()).any(holds);
        if given_up {
            self.ground.yards.pop();
        }
        let mut parts = self.ground.parts().to_vec();
        for (part, seat) in parts.iter_mut().enumerate() {
            let form = &self.ground.kit.forms[seat.form];
            if seat.x + form.least.0 < first {
                continue;
            }
            if seat.x + (form.least.0 + form.most.0) / 2.0 > split {
                seat.x -= off;
            }
            match last.room(form).filter(|_| !given_up) {
                Some((low, high)) => seat.x = seat.x.clamp(low.0, high.0),
                None => match self.anywhere(part) {
                    Some(other) => *seat = other,
                    None => return false,
                },
            }
        }
        self.ground.put_all(&parts);
        true
    }

    /// Any place for a part, by chance.
    fn anywhere(&mut self, part: usize) -> Option<Seat> {
        let forms = self.ground.kit.forms_of(self.items[part]);
        let mut fits = Vec::new();
        let from = if self.ground.roaming { 0 } else { self.ground.yards.len() - 1 };
        let admitted = |y: &&Yard| self.ground.admits(y, part);
        for yard in self.ground.yards[from..].iter().filter(admitted) {
            for form in forms.clone() {
                if let Some(room) = yard.room(&self.ground.kit.forms[form]) {
                    fits.push((form, room));
                }
            }
        }
        let (form, (low, high)) = *fits.get(self.dice.below(fits.len()))?;
        let x = self.dice.between(low.0, high.0).round();
        let y = self.dice.between(low.1, high.1).round();
        Some(Seat { form, x: x.clamp(low.0, high.0), y: y.clamp(low.1, high.1) })
    }

    /// Two large parts change places.
    fn disrupt(&mut self) {
        let mut parts = self.ground.parts().to_vec();
        let bulk = |seat: &Seat| self.ground.kit.forms[seat.form].bulk;
        let mut large: Vec<usize> = (0..parts.len()).collect();
        large.sort_by(|a, b| bulk(&parts[*b]).total_cmp(&bulk(&parts[*a])).then(a.cmp(b)));
        let area = |part: &usize| bulk(&parts[*part]).powi(4);
        let all: f64 = large.iter().map(area).sum();
        let mut sum = 0.0;
        let count = large.iter().take_while(|p| {
            let before = sum;
            sum += area(p);
            before < 0.75 * all
        });
        let count = count.count();
        for _ in 0..20 {
            let (a, b) = (large[self.dice.below(count)], large[self.dice.below(count)]);
            let held = self.ground.is_held(a) != self.ground.is_held(b);
            let alike = self.items[a] == self.items[b];
            if alike || held || !self.may_swap(&parts[a], &parts[b]) {
                continue;
            }
            let (of_a, of_b) = (self.instead(&parts[b], a), self.instead(&parts[a], b));
            if let (Some(of_a), Some(of_b)) = (of_a, of_b) {
                (parts[a], parts[b]) = (of_a, of_b);
                break;
            }
        }
        self.ground.put_all(&parts);
    }

    fn may_swap(&self, a: &Seat, b: &Seat) -> bool {
        let yard = |seat: &Seat| {
            let left = seat.x + self.ground.kit.forms[seat.form].least.0;
            self.ground.yards.partition_point(|y| y.low.0 <= left)
        };
        self.ground.roaming || yard(a) == yard(b)
    }

    /// A part over the middle of where another lies, in any form that fits there.
    fn instead(&mut self, of: &Seat, part: usize) -> Option<Seat> {
        let middle = |seat: &Seat| {
            let form = &self.ground.kit.forms[seat.form];
            let half = |a: f64, b: f64| (a + b) / 2.0;
            (seat.x + half(form.least.0, form.most.0), seat.y + half(form.least.1, form.most.1))
        };
        let (x, y) = middle(of);
        let yard =
            self.ground.yards.iter().find(|yard| yard.low.0 <= x && x <= yard.high.0).copied()?;
        let mut forms: Vec<usize> = self.ground.kit.forms_of(self.items[part]).collect();
        self.dice.shuffle(&mut forms);
        forms.into_iter().find_map(|form| {
            let shape = &self.ground.kit.forms[form];
            let (low, high) = yard.room(shape)?;
            let x = (x - (shape.least.0 + shape.most.0) / 2.0).round().clamp(low.0, high.0);
            let y = (y - (shape.least.1 + shape.most.1) / 2.0).round().clamp(low.1, high.1);
            Some(Seat { form, x, y })
        })
    }

    /// Takes the present layout, which is free, as the best, once it is pushed together.
    fn keep(&mut self) {
        self.push_left();
        let (yards, reach) = (self.ground.yards.len(), self.ground.reach());
        self.best = Answer { yards, reach, parts: self.ground.parts().to_vec() };
        self.ground.hold();
    }

    /// Moves parts on the last yard to the left, to touch what is there.
    fn push_left(&mut self) {
        let last = self.last();
        let left = |ground: &Ground, part: usize| {
            let seat = &ground.parts()[part];
            seat.x + ground.kit.forms[seat.form].least.0
        };
        let mut parts: Vec<usize> =
            (0..self.items.len()).filter(|p| left(&self.ground, *p) >= last.low.0).collect();
        parts.sort_by(|a, b| {
            left(&self.ground, *a).total_cmp(&left(&self.ground, *b)).then(a.cmp(b))
        });
        for part in parts {
            let mut seat = self.ground.parts()[part];
            let Some((low, _)) = last.room(&self.ground.kit.forms[seat.form]) else { continue };
            let mut step = 16_384.0;
            while step >= 1.0 {
                let next = Seat { x: (seat.x - step).max(low.0), ..seat };
                if next.x < seat.x && self.ground.is_free(part, &next) {
                    seat = next;
                } else {
                    step /= 2.0;
                }
            }
            if seat != self.ground.parts()[part] {
                self.ground.put(part, seat);
            }
        }
    }
}
