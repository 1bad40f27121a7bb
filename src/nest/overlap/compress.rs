//! Strip compression: the last sheet of a layout is made shorter, step by step.
//!
//! The scheme of exploration and compression and the constants marked so are those of Gardeyn,
//! Vanden Berghe and Wauters, arXiv 2509.13329 (2025).

use crate::nest::overlap::placements::Container;
use crate::nest::overlap::placements::Placement;
use crate::nest::overlap::placements::Placements;
use crate::nest::overlap::separate::Patience;
use crate::nest::overlap::separate::Separation;
use crate::nest::overlap::separate::separate;
use crate::nest::random::Rng;

/// A layout without overlaps: how many containers it takes, and how far its parts reach on the last
/// one.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Answer {
    pub(crate) containers: usize,
    pub(crate) reach: f64,
    pub(crate) parts: Vec<Placement>,
}

impl Answer {
    /// Fewer containers, then a shorter reach.
    pub(crate) fn beats(&self, other: &Self) -> bool {
        (self.containers, self.reach) < (other.containers, other.reach)
    }
}

/// One searcher with separate random numbers.
#[derive(Clone, Debug)]
pub(crate) struct Searcher<'a> {
    placements: Placements<'a>,
    /// The containers at full length.
    containers: &'a [Container],
    items: &'a [usize],
    rng: Rng,
    pub(crate) best: Answer,
    /// Layouts in which overlaps were left at the present length, with their overlap.
    stuck: Vec<(f64, Vec<Placement>)>,
    /// Share of the whole length removed by one step.
    step: f64,
    /// Whether the budget ran out during a separation.
    midway: bool,
    /// Whether some part is as long as the used length, so that no step is possible.
    pub(crate) finished: bool,
}

/// Step of exploration at first, as a share of the length. Our choice: it passes an easy start
/// quickly. The smallest step is that of arXiv 2509.13329.
const LARGEST_STEP: f64 = 0.02;
const SMALLEST_STEP: f64 = 0.001;

/// Step of compression at first and at the end, as a share of the length: arXiv 2509.13329.
const COMPRESSION_STEP: (f64, f64) = (0.0005, 0.00001);

/// Patience while the steps are larger than the smallest one. Our choice.
const QUICK: Patience = Patience { rounds: 50, strikes: 1 };

/// Patience of exploration: arXiv 2509.13329.
pub(crate) const EXPLORATION: Patience = Patience { rounds: 200, strikes: 3 };

/// Patience of compression: arXiv 2509.13329.
const COMPRESSION: Patience = Patience { rounds: 100, strikes: 5 };

/// A searcher that adopts another's layout continues with at most this number of the smallest
/// steps. Our choice.
const ADOPTED_STEPS: f64 = 4.0;

/// Two of the parts that make up this share of the area change places, the largest first:
/// arXiv 2509.13329.
const LARGE: f64 = 0.75;

/// Maximum number of pairs tried for such a change. Our choice.
const SWAPS: usize = 20;

impl<'a> Searcher<'a> {
    /// Starts from a layout. Search shapes are a little larger than the true ones, so parts of it
    /// may overlap; `None` when they cannot be separated, or the work must end.
    pub(crate) fn new(
        mut placements: Placements<'a>,
        containers: &'a [Container],
        items: &'a [usize],
        mut rng: Rng,
    ) -> Option<Self> {
        placements.hold();
        if separate(&mut placements, items, QUICK, u64::MAX, &mut rng) != Separation::Free {
            return None;
        }
        let best = Answer {
            containers: placements.containers.len(),
            reach: placements.reach(),
            parts: placements.parts().to_vec(),
        };
        let (stuck, step, midway) = (Vec::new(), LARGEST_STEP, false);
        let mut searcher =
            Self { placements, containers, items, rng, best, stuck, step, midway, finished: false };
        searcher.keep();
        Some(searcher)
    }

    /// Number of positions evaluated.
    pub(crate) fn asked(&self) -> u64 {
        self.placements.asked
    }

    /// Continues from the layout of another searcher.
    pub(crate) fn adopt(&mut self, answer: &Answer) {
        if answer.beats(&self.best) {
            self.best = answer.clone();
            self.stuck.clear();
            self.step = self.step.min(ADOPTED_STEPS * SMALLEST_STEP);
            self.midway = false;
        }
    }

    /// Explores shorter layouts until that many positions have been evaluated.
    pub(crate) fn explore(&mut self, until: u64) {
        while self.may_go_on(until) {
            self.try_shorter(until);
        }
    }

    /// Compresses the best layout until that many positions have been evaluated; `done`, 0 to 1, is
    /// the share of the compression that is over.
    pub(crate) fn compress(&mut self, done: f64, until: u64) {
        self.stuck.clear();
        self.midway = false;
        let step = COMPRESSION_STEP.0 + (COMPRESSION_STEP.1 - COMPRESSION_STEP.0) * done;
        while self.may_go_on(until) {
            self.restore();
            let split = self.rng.between(self.last().low.0, self.best.reach);
            if !self.shorten(step, split) {
                self.finished = true;
                break;
            }
            let separation =
                separate(&mut self.placements, self.items, COMPRESSION, until, &mut self.rng);
            if separation == Separation::Free {
                self.keep();
            }
        }
    }

    fn may_go_on(&self, until: u64) -> bool {
        self.placements.asked < until && !self.finished && !self.placements.must_end()
    }

    /// Takes a step off the length and separates the parts.
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
        let patience = if self.step > SMALLEST_STEP { QUICK } else { EXPLORATION };
        let separation = separate(&mut self.placements, self.items, patience, until, &mut self.rng);
        self.midway = separation == Separation::Spent;
        match separation {
            Separation::Free => {
                self.keep();
                self.stuck.clear();
            }
            Separation::Spent => {}
            Separation::Stuck(..) if self.step > SMALLEST_STEP => {
                self.step = (self.step / 2.0).max(SMALLEST_STEP);
            }
            Separation::Stuck(loss, parts) => {
                let at = self.stuck.partition_point(|s| s.0 <= loss);
                self.stuck.insert(at, (loss, parts));
                // Mostly one of the better ones: half a bell curve, a quarter of the list wide.
                let bell = (self.rng.unit() + self.rng.unit() + self.rng.unit() - 1.5) / 2.0;
                let pick = (bell.abs() * self.stuck.len() as f64) as usize;
                let pick = pick.min(self.stuck.len() - 1);
                let parts = self.stuck[pick].1.clone();
                self.placements.put_all(&parts);
                self.disrupt();
            }
        }
    }

    fn last(&self) -> Container {
        self.placements.containers[self.placements.containers.len() - 1]
    }

    /// Returns to the best layout.
    fn restore(&mut self) {
        self.placements.containers.clear();
        self.placements.containers.extend_from_slice(&self.containers[..self.best.containers]);
        let last = self.best.containers - 1;
        self.placements.containers[last].high.0 = self.best.reach;
        self.placements.put_all(&self.best.parts);
        self.placements.hold();
    }

    /// Shortens the last container by a share of all containers; parts right of `split` move with
    /// its end. A container too short for every part is given up. False when a part then fits
    /// nowhere.
    fn shorten(&mut self, share: f64, split: f64) -> bool {
        let length = |y: &Container| y.high.0 - y.low.0;
        let all: f64 = self.placements.containers.iter().map(length).sum();
        let off = (share * all).ceil().max(1.0);
        let n = self.placements.containers.len();
        let first = self.last().low.0;
        self.placements.containers[n - 1].high.0 = self.best.reach - off;
        let last = self.last();
        let holds = |part: usize| {
            self.placements
                .cache
                .forms_of(self.items[part])
                .any(|f| last.range(&self.placements.cache.forms[f]).is_some())
        };
        let given_up = n > 1 && self.placements.roaming && !(0..self.items.len()).any(holds);
        if given_up {
            self.placements.containers.pop();
        }
        let mut parts = self.placements.parts().to_vec();
        for (part, placement) in parts.iter_mut().enumerate() {
            let form = &self.placements.cache.forms[placement.form];
            if placement.x + form.min.0 < first {
                continue;
            }
            if placement.x + (form.min.0 + form.max.0) / 2.0 > split {
                placement.x -= off;
            }
            match last.range(form).filter(|_| !given_up) {
                Some((low, high)) => placement.x = placement.x.clamp(low.0, high.0),
                None => match self.anywhere(part) {
                    Some(other) => *placement = other,
                    None => return false,
                },
            }
        }
        self.placements.put_all(&parts);
        true
    }

    /// A random placement for a part.
    fn anywhere(&mut self, part: usize) -> Option<Placement> {
        let forms = self.placements.cache.forms_of(self.items[part]);
        let mut fits = Vec::new();
        let from = if self.placements.roaming { 0 } else { self.placements.containers.len() - 1 };
        let admitted = |y: &&Container| self.placements.admits(y, part);
        for container in self.placements.containers[from..].iter().filter(admitted) {
            for form in forms.clone() {
                if let Some(range) = container.range(&self.placements.cache.forms[form]) {
                    fits.push((form, range));
                }
            }
        }
        let (form, (low, high)) = *fits.get(self.rng.below(fits.len()))?;
        let x = self.rng.between(low.0, high.0).round();
        let y = self.rng.between(low.1, high.1).round();
        Some(Placement { form, x: x.clamp(low.0, high.0), y: y.clamp(low.1, high.1) })
    }

    /// Two large parts change places, to leave a layout from which separation does not get on.
    fn disrupt(&mut self) {
        let mut parts = self.placements.parts().to_vec();
        let bulk = |placement: &Placement| self.placements.cache.forms[placement.form].bulk;
        let mut large: Vec<usize> = (0..parts.len()).collect();
        large.sort_by(|a, b| bulk(&parts[*b]).total_cmp(&bulk(&parts[*a])).then(a.cmp(b)));
        let area = |part: &usize| bulk(&parts[*part]).powi(4);
        let all: f64 = large.iter().map(area).sum();
        let mut sum = 0.0;
        let count = large.iter().take_while(|p| {
            let before = sum;
            sum += area(p);
            before < LARGE * all
        });
        let count = count.count();
        for _ in 0..SWAPS {
            let (a, b) = (large[self.rng.below(count)], large[self.rng.below(count)]);
            let held = self.placements.is_held(a) != self.placements.is_held(b);
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
        self.placements.put_all(&parts);
    }

    fn may_swap(&self, a: &Placement, b: &Placement) -> bool {
        let container = |placement: &Placement| {
            let left = placement.x + self.placements.cache.forms[placement.form].min.0;
            self.placements.containers.partition_point(|y| y.low.0 <= left)
        };
        self.placements.roaming || container(a) == container(b)
    }

    /// A part centred where another is, in any form that fits there.
    fn instead(&mut self, of: &Placement, part: usize) -> Option<Placement> {
        let middle = |placement: &Placement| {
            let form = &self.placements.cache.forms[placement.form];
            let half = |a: f64, b: f64| (a + b) / 2.0;
            (placement.x + half(form.min.0, form.max.0), placement.y + half(form.min.1, form.max.1))
        };
        let (x, y) = middle(of);
        let container = self
            .placements
            .containers
            .iter()
            .find(|container| container.low.0 <= x && x <= container.high.0)
            .copied()?;
        let mut forms: Vec<usize> = self.placements.cache.forms_of(self.items[part]).collect();
        self.rng.shuffle(&mut forms);
        forms.into_iter().find_map(|form| {
            let shape = &self.placements.cache.forms[form];
            let (low, high) = container.range(shape)?;
            let x = (x - (shape.min.0 + shape.max.0) / 2.0).round().clamp(low.0, high.0);
            let y = (y - (shape.min.1 + shape.max.1) / 2.0).round().clamp(low.1, high.1);
            Some(Placement { form, x, y })
        })
    }

    /// Takes the present layout, which has no overlap, as the best, after pushing it to the left.
    fn keep(&mut self) {
        self.push_left();
        let (containers, reach) = (self.placements.containers.len(), self.placements.reach());
        self.best = Answer { containers, reach, parts: self.placements.parts().to_vec() };
        self.placements.hold();
    }

    /// Moves the parts of the last container to the left until they touch.
    fn push_left(&mut self) {
        let last = self.last();
        let left = |placements: &Placements, part: usize| {
            let placement = &placements.parts()[part];
            placement.x + placements.cache.forms[placement.form].min.0
        };
        let mut parts: Vec<usize> =
            (0..self.items.len()).filter(|p| left(&self.placements, *p) >= last.low.0).collect();
        parts.sort_by(|a, b| {
            left(&self.placements, *a).total_cmp(&left(&self.placements, *b)).then(a.cmp(b))
        });
        for part in parts {
            let mut placement = self.placements.parts()[part];
            let Some((low, _)) = last.range(&self.placements.cache.forms[placement.form]) else {
                continue;
            };
            let mut step = 16_384.0;
            while step >= 1.0 {
                let next = Placement { x: (placement.x - step).max(low.0), ..placement };
                if next.x < placement.x && self.placements.is_free(part, &next) {
                    placement = next;
                } else {
                    step /= 2.0;
                }
            }
            if placement != self.placements.parts()[part] {
                self.placements.put(part, placement);
            }
        }
    }
}
