//! The region that a disc covers while it moves and changes its size.
//!
//! A place is as far outside of it as outside of the nearest disc. Its outline is followed step
//! by step, each step corrected along the line to the nearest disc, and arcs are laid through
//! the places found.

use crate::geom::biarc;
use crate::geom::biarc::Tangent;
use crate::geom::outline::Outline;
use crate::geom::outline::OutlineError;
use crate::num::Angle;
use kurbo::Point;
use kurbo::Vec2;
use thiserror::Error;

/// A disc that moves: its centre and its radius, mm, at each share of its way from 0 to 1.
pub struct MovingDisc<'a> {
    disc: &'a dyn Fn(f64) -> (Point, f64),
    discs: Vec<(Point, f64)>,
    step: f64,
}

/// Why the area a moving disc covers has no outline.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum MovingDiscError {
    /// It runs round metal.
    #[error("it goes round metal near x = {:.1} mm, y = {:.1} mm", .0.x, .0.y)]
    Ring(Point),
    /// Its outline does not close.
    #[error("its outline does not close")]
    Open,
    /// Its outline is none.
    #[error(transparent)]
    Outline(#[from] OutlineError),
}

/// The arcs leave the true outline by no more, mm. Our choice.
const CLOSE: f64 = 0.004;

/// Longest step along the outline, mm, and its share of the largest disc. Our choice: a chord of
/// the latter leaves its arc by 1/8000 of its radius.
const STEP: f64 = 0.25;
const SHARE: f64 = 1.0 / 32.0;

/// Maximum number of steps: more than 2 km of outline. Our choice.
const STEPS: usize = 100_000;

/// Fewest places of an outline: a disc alone has 200.
const FEWEST: usize = 8;

/// Places across the region at which it is tested. Our choice.
const LOOKS: u32 = 48;

/// Halvings by the golden section that find the nearest disc, and steps that bring a place onto
/// the outline.
const HALVINGS: u32 = 40;
const NUDGES: u32 = 24;

const GOLDEN: f64 = 0.618_033_988_749_894_8;

impl<'a> MovingDisc<'a> {
    /// A disc on a path of a length, mm. It may begin and end with no radius.
    pub fn new(long: f64, disc: &'a dyn Fn(f64) -> (Point, f64)) -> Self {
        let largest = |discs: &[(Point, f64)]| discs.iter().map(|d| d.1).fold(0.0, f64::max);
        let take = |count: usize| -> Vec<(Point, f64)> {
            (0..=count).map(|i| disc(eased(i as f64 / count as f64))).collect()
        };
        let step = STEP.min(SHARE * largest(&take(64))).max(1e-3);
        // Places are closer together near the ends, where the radius changes fast.
        let count = 64 + (1.6 * long / step.max(STEP / 2.0)) as usize;
        Self { disc, discs: take(count), step }
    }

    /// How far a place is outside, mm, less than 0 inside, and the direction away from the
    /// nearest disc.
    fn off(&self, p: Point) -> (f64, Vec2) {
        let off = |(at, radius): (Point, f64)| (p - at).hypot() - radius;
        let nearest = (0..self.discs.len())
            .min_by(|a, b| off(self.discs[*a]).total_cmp(&off(self.discs[*b])))
            .unwrap_or(0);
        let count = (self.discs.len() - 1) as f64;
        let share = |i: usize| i as f64 / count;
        let (mut low, mut high) =
            (share(nearest.saturating_sub(1)), share((nearest + 1).min(self.discs.len() - 1)));
        let at = |t: f64| off((self.disc)(eased(t)));
        let inner =
            |low: f64, high: f64| [high - GOLDEN * (high - low), low + GOLDEN * (high - low)];
        let [mut a, mut b] = inner(low, high);
        let (mut of_a, mut of_b) = (at(a), at(b));
        for _ in 0..HALVINGS {
            if of_a < of_b {
                (high, b, of_b) = (b, a, of_a);
                a = inner(low, high)[0];
                of_a = at(a);
            } else {
                (low, a, of_a) = (a, b, of_b);
                b = inner(low, high)[1];
                of_b = at(b);
            }
        }
        let best = [self.discs[nearest], (self.disc)(eased(f64::midpoint(low, high)))];
        let best = if off(best[0]) < off(best[1]) { best[0] } else { best[1] };
        let away = p - best.0;
        let long = away.hypot().max(f64::MIN_POSITIVE);
        (long - best.1, away / long)
    }

    /// The place on the outline near another, and the direction in which the outline runs on
    /// there, the region on its left.
    fn onto(&self, mut p: Point, beyond: f64) -> Option<Tangent> {
        for _ in 0..NUDGES {
            let (off, away) = self.off(p);
            if (off - beyond).abs() < 1e-8 {
                return Some((p, Vec2::new(-away.y, away.x)));
            }
            p -= away * (off - beyond);
        }
        None
    }

    /// The outline, at a distance beyond all the discs, mm.
    ///
    /// # Errors
    /// When the region runs round metal, or its outline cannot be followed.
    pub fn outline(&self, beyond: f64) -> Result<Outline, MovingDiscError> {
        let right = |d: &(Point, f64)| d.0.x + d.1;
        let first = self.discs.iter().max_by(|a, b| right(a).total_cmp(&right(b)));
        let (at, radius) = first.copied().ok_or(MovingDiscError::Open)?;
        let first =
            self.onto(at + Vec2::new(radius + beyond, 0.0), beyond).ok_or(MovingDiscError::Open)?;
        let mut points = vec![first];
        loop {
            let (p, along) = points[points.len() - 1];
            let next = self.next(p, along, beyond).ok_or(MovingDiscError::Open)?;
            let way = next.0 - first.0;
            // Round again: at the first place, or short of it.
            let is_here = way.hypot() < self.step / 8.0;
            let is_short = way.hypot() < 2.0 * self.step && way.dot(first.1) > 0.0;
            if points.len() > FEWEST && (is_here || is_short) {
                break;
            }
            points.push(next);
            if points.len() > STEPS {
                return Err(MovingDiscError::Open);
            }
        }
        let outline = Outline::new(biarc::closed(&points, CLOSE))?;
        self.is_filled(&outline, beyond)?;
        Ok(outline)
    }

    /// The next place of the outline after one, on a circle about it.
    fn next(&self, p: Point, along: Vec2, beyond: f64) -> Option<Tangent> {
        let straight = self.onto(p + along * self.step, beyond)?;
        let way = straight.0 - p;
        let is_good = way.dot(along) > 0.5 * self.step && straight.1.dot(along) > 0.5;
        if is_good {
            return Some(straight);
        }
        // Round a corner: the first place from the right of the path that is not outside.
        let at = |degrees: f64| {
            let angle = Angle::from_degrees(degrees);
            p + (along * angle.cos() + Vec2::new(-along.y, along.x) * angle.sin()) * self.step
        };
        let is_outside = |degrees: f64| self.off(at(degrees)).0 > beyond;
        let mut low = -170.0;
        let mut high = low + 4.0;
        while is_outside(high) {
            (low, high) = (high, high + 4.0);
            if high > 180.0 {
                return None;
            }
        }
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(low, high);
            if is_outside(middle) { low = middle } else { high = middle }
        }
        let p = at(low);
        let (_, away) = self.off(p);
        Some((p, Vec2::new(-away.y, away.x)))
    }

    /// An error when there is metal within the outline.
    fn is_filled(&self, outline: &Outline, beyond: f64) -> Result<(), MovingDiscError> {
        let (min, size) = (outline.bounds().min, outline.bounds().max - outline.bounds().min);
        let share = |i: u32| (f64::from(i) + 0.5) / f64::from(LOOKS);
        let looks = (0..LOOKS * LOOKS)
            .map(|i| min + Vec2::new(size.x * share(i % LOOKS), size.y * share(i / LOOKS)));
        let near = |p: &Point| outline.contains(*p) && self.off(*p).0 > beyond + 10.0 * CLOSE;
        looks.into_iter().find(near).map_or(Ok(()), |p| Err(MovingDiscError::Ring(p)))
    }
}

/// Even steps from 0 to 1 that are shorter at both ends.
fn eased(share: f64) -> f64 {
    let half = Angle::from_degrees(90.0 * share.clamp(0.0, 1.0));
    half.sin() * half.sin()
}
