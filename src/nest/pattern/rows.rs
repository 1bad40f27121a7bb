//! Columns across a sheet and rows along it, stretched until they just fill its height.

use crate::nest::pattern::forbidden::Forbidden;
use crate::nest::pattern::kin::Group;
use crate::nest::pattern::kin::Kin;
use crate::nest::pattern::kin::Repeat;
use crate::nest::problem::progress::Stop;
use crate::nest::shape::polygon::Spot;
use rayon::prelude::*;

/// Contacts of a part and its half turn that are tried, and how many of them are refined. Our
/// choice.
const CONTACTS: f64 = 64.0;
const CLOSER: usize = 16;
/// Shifts between neighbouring rows, over one period. Our choice.
const SHIFTS: usize = 32;
/// Stretches between the tightest row and the widest. Our choice.
const STRETCHES: usize = 24;
/// Spacing of the widest row, as a multiple of the tightest. Our choice.
const WIDEST: f64 = 1.6;
/// Of a sum of steps, µm.
const ROUNDING: f64 = 1e-3;
/// Maximum number of repeats returned. Our choice.
const MAX: usize = 16;

/// Two rows that alternate, each with its lower end at 0; often the same twice.
struct Weave {
    a: Group,
    b: Group,
    /// Height of the higher one.
    high: i64,
    slack: [i64; 2],
    ab: Forbidden,
    ba: Forbidden,
    aa: Forbidden,
    bb: Forbidden,
    /// The smallest distance of parts along a row.
    period: f64,
}

/// A repeat and how many of its parts come on a micrometre of the room.
type Rated = (f64, Repeat);

/// Columns across the room, shifted against each other within the spare height.
pub(super) fn columns(kin: &Kin, height: i64, stop: &Stop) -> Vec<Repeat> {
    let weaves = weaves(kin, false, stop);
    let rated = weaves.par_iter().flat_map_iter(|weave| in_columns(weave, height, stop));
    sorted(rated.collect())
}

/// Rows along the room, with the spacing at which one row more fits.
pub(super) fn rows(kin: &Kin, height: i64, stop: &Stop) -> Vec<Repeat> {
    let weaves = weaves(kin, true, stop);
    let rated = weaves.par_iter().flat_map_iter(|weave| in_rows(weave, height, stop));
    sorted(rated.collect())
}

fn sorted(mut rated: Vec<Rated>) -> Vec<Repeat> {
    rated.sort_by(|a, b| b.0.total_cmp(&a.0));
    rated.truncate(MAX);
    rated.into_iter().map(|(_, repeat)| repeat).collect()
}

/// Part beside part, part beside half turn, and the most promising pairs of them.
fn weaves(kin: &Kin, along: bool, stop: &Stop) -> Vec<Weave> {
    let alone = |shape: usize| vec![(shape, Spot::default())];
    let mut weaves: Vec<Weave> =
        (0..kin.shapes.len()).map(|other| Weave::new(kin, alone(0), alone(other), along)).collect();
    let pairs = kin.pairs(kin.perimeter() / CONTACTS);
    let mut pairs: Vec<(f64, Weave)> = pairs
        .into_par_iter()
        .take_any_while(|_| !stop.now())
        .map(|pair| {
            let weave = Weave::new(kin, pair.clone(), pair, along);
            let least = (0..8).fold(f64::MAX, |least, i| {
                let up = weave.period * f64::from(i) / 8.0;
                let step = weave.aa.step_of_use(up, weave.period, |step| step < least);
                step.map_or(least, |step| step.min(least))
            });
            (weave.period * least, weave)
        })
        .collect();
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
    weaves.extend(pairs.into_iter().take(CLOSER).map(|(_, weave)| weave));
    weaves
}

impl Weave {
    /// `along` is for rows along the room: the forbidden region is then used with x and y
    /// exchanged.
    fn new(kin: &Kin, a: Group, b: Group, along: bool) -> Self {
        let settled = |group: Group| -> (Group, i64) {
            let (low, high) = kin.extent(&group);
            let down = Spot::new(0, low.y);
            (group.into_iter().map(|(shape, at)| (shape, at - down)).collect(), high.y - low.y)
        };
        let ((a, a_high), (b, b_high)) = (settled(a), settled(b));
        let forbidden = |a: &Group, b: &Group| {
            let forbidden = Forbidden::between(kin, a, b);
            if along { forbidden.swapped() } else { forbidden }
        };
        let (aa, bb) = (forbidden(&a, &a), forbidden(&b, &b));
        let period = aa.period().max(bb.period());
        let high = a_high.max(b_high);
        let (ab, ba) = (forbidden(&a, &b), forbidden(&b, &a));
        Self { a, b, high, slack: [high - a_high, high - b_high], ab, ba, aa, bb, period }
    }

    fn parts(&self) -> f64 {
        (self.a.len() + self.b.len()) as f64
    }

    /// The minimum step from a row to the next one like it, which no shift between them changes.
    fn like(&self, period: f64) -> f64 {
        self.aa.step(0.0, period).max(self.bb.step(0.0, period))
    }

    /// The steps from `a` to `b` and on to `a`, at least `like` together, when `b` is shifted along
    /// its row; `None` as soon as steps of at least this length are of no use.
    fn steps(
        &self,
        shift: f64,
        period: f64,
        like: f64,
        of_use: impl Fn(f64, f64) -> bool,
    ) -> Option<(f64, f64)> {
        let together = |to: f64, back: f64| of_use(to, back.max(like - to));
        let to = self.ab.step_of_use(shift, period, |to| together(to, 0.0))?;
        let back = self.ba.step_of_use(-shift, period, |back| together(to, back))?;
        Some((to.ceil(), back.max(like - to).ceil()))
    }

    /// Both rows as one group.
    fn both(&self, to: Spot) -> Group {
        let moved = self.b.iter().map(|(shape, at)| (*shape, *at + to));
        self.a.iter().copied().chain(moved).collect()
    }
}

fn in_columns(weave: &Weave, height: i64, stop: &Stop) -> Vec<Rated> {
    let room = height - weave.high;
    if room < 0 {
        return Vec::new();
    }
    let min = weave.period.ceil() as i64;
    let max = room / min + 1;
    let mut rated = Vec::new();
    for count in [max, max - 1].into_iter().filter(|n| *n > 0) {
        // A column of one has no period: whatever is above the room is out of reach.
        let widest = if count > 1 { room / (count - 1) } else { 2 * height };
        let widest = widest.min((min as f64 * WIDEST) as i64).max(min);
        for i in 0..=6 {
            if stop.now() {
                return rated;
            }
            let period = min + (widest - min) * i / 6;
            let left = room - (count - 1) * period;
            let (down, up) = (-(left + weave.slack[0]), left + weave.slack[1]);
            let like = weave.like(period as f64);
            let shifts = (0..=SHIFTS as i64).map(|i| down + (up - down) * i / SHIFTS as i64);
            let mut best: Option<((f64, f64), i64)> = None;
            for shift in shifts.chain([0]) {
                let least = best.map_or(f64::INFINITY, |((to, back), _)| to + back);
                let of_use = |to: f64, back: f64| to + back < least - 1.0 + ROUNDING;
                let steps = weave.steps(shift as f64, period as f64, like, of_use);
                if let Some((to, back)) = steps.filter(|(to, back)| to + back < least) {
                    best = Some(((to, back), shift));
                }
            }
            let Some(((to, back), shift)) = best else { continue };
            let rate = count as f64 * weave.parts() / (to + back);
            let group = weave.both(Spot::new(to as i64, shift));
            let repeat =
                Repeat { group, u: Spot::new(0, period), v: Spot::new((to + back) as i64, 0) };
            rated.push((rate, repeat));
        }
    }
    rated.sort_by(|a, b| b.0.total_cmp(&a.0));
    rated.truncate(4);
    rated
}

fn in_rows(weave: &Weave, height: i64, stop: &Stop) -> Vec<Rated> {
    let room = (height - weave.high) as f64;
    if room < 0.0 {
        return Vec::new();
    }
    let parts = |to: f64, back: f64| {
        let pairs = (room / (to + back)).floor();
        let odd = f64::from(room - pairs * (to + back) >= to);
        pairs * weave.parts() + weave.a.len() as f64 + odd * weave.b.len() as f64
    };
    // The most parts for each length, and their steps and shift, the last of equals. `None` if it
    // cannot be more than the present number.
    let over = |period: f64, had: f64| {
        let like = weave.like(period);
        if parts(0.0, like) / period <= had {
            return None;
        }
        let (mut best, mut most) = (None, had);
        for i in (0..SHIFTS).rev() {
            let shift = (period * i as f64 / SHIFTS as f64).round();
            // More parts than there are come with no wider steps.
            let of_use = |to: f64, back: f64| parts(to, back - ROUNDING) / period > most;
            let steps = weave.steps(shift, period, like, of_use);
            let rated = steps.map(|steps| (parts(steps.0, steps.1) / period, steps));
            if let Some((rate, steps)) = rated.filter(|(rate, _)| *rate > most) {
                (most, best) = (rate, Some(((rate, steps), shift)));
            }
        }
        best
    };
    let mut rated = Vec::new();
    for i in 0..STRETCHES {
        if stop.now() {
            return rated;
        }
        let stretch = 1.0 + (WIDEST - 1.0) * i as f64 / STRETCHES as f64;
        let mut period = (weave.period * stretch).ceil();
        let Some(mut best) = over(period, 0.0) else { continue };
        // As many rows in a little less length.
        let mut less = (weave.period * (WIDEST - 1.0) / STRETCHES as f64 / 2.0).floor();
        while less >= 8.0 {
            if let Some(closer) = over((period - less).max(weave.period.ceil()), best.0.0) {
                period = (period - less).max(weave.period.ceil());
                best = closer;
            } else {
                less = (less / 2.0).floor();
            }
        }
        let ((parts, (to, back)), shift) = best;
        let group = weave.both(Spot::new(shift as i64, to as i64));
        let (u, v) = (Spot::new(period as i64, 0), Spot::new(0, (to + back) as i64));
        rated.push((parts, Repeat { group, u, v }));
    }
    rated.sort_by(|a, b| b.0.total_cmp(&a.0));
    rated.truncate(4);
    rated
}
