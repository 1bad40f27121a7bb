//! Whether a bolt goes through all holes of a joint, each as far off as its tolerance allows.
//!
//! A hole of width H, at its narrowest, for a bolt of diameter F leaves H − F. A hole whose axis
//! lies within a zone of diameter T is passed by a bolt at its true place where T is no more than
//! that: floating fasteners, H − F = T. Where a plate has the thread, the bolt is where the thread
//! is, and the zones of both take from one clearance: fixed fasteners, H − F = T1 + T2. (ASME
//! Y14.5-2018, appendix B, from memory.) A place that is off by e as drawn takes 2e more. Between
//! two plates a bolt finds its place: both clearances together are for both zones; where one hole may
//! be narrower than the bolt, the width of the other is of no help. Of three plates and more each must
//! pass alone, about the axes of the first; none passes where two of them, with both clearances, do not.

use crate::joint::bolted::Bolted;
use crate::joint::layers::Plate;
use crate::joint::line_up::line_up;
use crate::num;
use crate::recipe::Making;

/// Whether a bolt passes a plate, or two. Lengths are mm.
#[derive(Clone, Debug)]
pub(crate) struct Passing<'a> {
    /// The plate, behind the one it is compared with.
    pub(crate) plates: [&'a Plate; 2],
    /// What the holes of both leave beside the bolt, as drawn and bare; with a thread, that of the other.
    pub(crate) drawn: f64,
    /// The clearance at their narrowest, coated; of two, if one may be narrower than the bolt, that
    /// of the narrowest.
    pub(crate) least: f64,
    /// The plates whose holes may be narrower than the bolt, each with its shortfall.
    pub(crate) narrow: Vec<(&'a Plate, f64)>,
    /// The zones of the axes together.
    pub(crate) zones: f64,
    /// How far the worst holes are off as drawn.
    pub(crate) off: f64,
    /// Which sum it is.
    pub(crate) rule: &'static str,
    /// Whether only the hole of the plate is judged, about the axes of the other.
    pub(crate) is_alone: bool,
}

impl Passing<'_> {
    /// Whether the bolt does not pass even as drawn.
    pub(crate) fn is_blocked(&self) -> bool {
        self.drawn + ROUNDING < 2.0 * self.off
    }

    /// The clearance in the worst case; negative if it may not pass.
    pub(crate) fn left(&self) -> f64 {
        self.least - self.zones - 2.0 * self.off
    }
}

/// Less than this, mm, is rounding.
const ROUNDING: f64 = 1e-6;

/// The rule where no plate has the thread.
const FLOATING: &str = "floating";

/// A hole as a bolt meets it.
struct HoleAtBolt<'a> {
    plate: &'a Plate,
    drawn: f64,
    least: f64,
    zone: f64,
    /// How far it is off from the holes of the plate that all are compared with.
    off: f64,
    is_thread: bool,
    /// Whether it is drilled along the axes of another plate.
    follows: bool,
}

impl<'a> HoleAtBolt<'a> {
    /// Whether it is the same hole of the same part.
    fn same(&self, other: &Self) -> bool {
        self.plate.part == other.plate.part && self.plate.hole == other.plate.hole
    }

    /// The plate with the shortfall of its hole, if it may be narrower than the bolt.
    fn narrow(&self) -> Option<(&'a Plate, f64)> {
        (!self.is_thread && self.least < -ROUNDING).then_some((self.plate, -self.least))
    }
}

/// The plates behind the first that do not let the bolt through two by two, as drawn.
fn apart<'a>(all: &[HoleAtBolt<'a>]) -> Vec<Passing<'a>> {
    let mut found = Vec::new();
    for (i, one) in all.iter().enumerate().skip(1) {
        for other in &all[i + 1..] {
            // What follows the axes of another plate is in line with it.
            let follows = [one, other].iter().any(|of| of.follows);
            if follows || one.same(other) {
                continue;
            }
            let passing = Passing {
                plates: [one.plate, other.plate],
                drawn: one.drawn + other.drawn,
                least: one.least + other.least,
                narrow: Vec::new(),
                zones: one.zone + other.zone,
                off: line_up(&one.plate.holes, &other.plate.holes).worst,
                rule: FLOATING,
                is_alone: false,
            };
            found.extend(Some(passing).filter(Passing::is_blocked));
        }
    }
    found
}

impl Plate {
    /// Whether a tool of that width makes its holes, which no cut then makes narrower.
    fn is_made_to(&self, wide: f64) -> bool {
        matches!(self.making, Making::Drill | Making::Ream) && wide == self.passage
    }
}

impl Bolted {
    /// Whether its bolt passes all plates.
    pub(crate) fn passing(&self) -> Vec<Passing<'_>> {
        let drilled_base = self.base().is_some_and(|(_, base)| base.is_drilled());
        let met = |(i, plate): (usize, &'_ Plate)| {
            // Holes drilled along the axes of one plate follow these, except for their wander.
            let follows = plate.is_drilled() && drilled_base;
            let (zone, off) = match follows {
                true if self.is_base(i) => (0.0, 0.0),
                true => (2.0 * self.joint.drilling, 0.0),
                false => (self.zone(plate), self.off[i].worst),
            };
            (plate.passage, zone, off, follows)
        };
        self.passed(self.joint.bolt.measure("diameter"), &met)
    }

    /// Whether its pilot bolt passes the pilot holes, and the holes cut to size.
    pub(crate) fn pilot_passing(&self) -> Vec<Passing<'_>> {
        let Some((pilot, _)) = &self.joint.pilot else { return Vec::new() };
        let met = |(i, plate): (usize, &'_ Plate)| {
            (plate.as_cut, self.zone(plate), self.off[i].worst, false)
        };
        self.passed(pilot.measure("diameter"), &met)
    }

    /// The zone of the axes of cut holes: as the job gives it, else round a square as wide as the
    /// tolerance, to one side, of a cut length equal to the distance of the holes. A single hole is
    /// where its plate is laid.
    fn zone(&self, plate: &Plate) -> f64 {
        match (plate.holes.len(), self.joint.position) {
            (..2, _) => 0.0,
            (_, Some(zone)) => zone,
            // Both ends of a length have half of its tolerance each, along x and along y.
            _ => num::hypot(plate.cut[0], plate.cut[0]),
        }
    }

    fn passed<'a>(
        &'a self,
        bolt: f64,
        met: &dyn Fn((usize, &'a Plate)) -> (f64, f64, f64, bool),
    ) -> Vec<Passing<'a>> {
        let of = |(i, plate): (usize, &'a Plate)| {
            let (wide, zone, off, follows) = met((i, plate));
            let cut = if plate.is_made_to(wide) { 0.0 } else { plate.cut[1] };
            HoleAtBolt {
                plate,
                drawn: wide - bolt,
                least: wide - cut - 2.0 * plate.coating - bolt,
                zone,
                off,
                is_thread: plate.thread.is_some(),
                follows,
            }
        };
        let all: Vec<HoleAtBolt> = self.plates().map(of).collect();
        let one = |of: &HoleAtBolt<'a>, with: &HoleAtBolt<'a>, zones: f64, rule| Passing {
            plates: [with.plate, of.plate],
            drawn: if with.is_thread || with.same(of) { of.drawn } else { of.drawn + with.drawn },
            least: of.least,
            narrow: of.narrow().into_iter().collect(),
            zones,
            off: of.off,
            rule,
            is_alone: rule == FLOATING,
        };
        if let Some(fixed) = all.iter().find(|met| met.is_thread) {
            let others = all.iter().filter(|met| !met.is_thread);
            return others.map(|of| one(of, fixed, of.zone + fixed.zone, "fixed")).collect();
        }
        if let [first, second] = all.as_slice() {
            let narrow: Vec<_> = first.narrow().into_iter().chain(second.narrow()).collect();
            return vec![Passing {
                plates: [first.plate, second.plate],
                drawn: first.drawn + second.drawn,
                least: match narrow.is_empty() {
                    true => first.least + second.least,
                    false => first.least.min(second.least),
                },
                narrow,
                zones: first.zone + second.zone,
                off: first.off.max(second.off),
                rule: FLOATING,
                is_alone: false,
            }];
        }
        let first = all.first();
        let alone = all.iter().filter_map(|of| Some(one(of, first?, of.zone, FLOATING)));
        alone.chain(apart(&all)).collect()
    }

    /// The plates whose pilot holes are not cleaned up by the last drill, each with the shortfall
    /// of its drill in diameter, mm.
    pub(crate) fn not_cleaned_up(&self) -> Vec<(&Plate, f64)> {
        let Some((_, base)) = self.base().filter(|(_, base)| base.is_drilled()) else {
            return Vec::new();
        };
        let lacks = |(i, plate): (usize, &'_ Plate)| {
            let aside = 2.0 * self.off[i].worst + self.zone(plate) + self.zone(base);
            plate.as_cut + plate.cut[1] + aside + 2.0 * self.joint.drilling - plate.passage
        };
        let drilled = self.plates().filter(|(i, of)| of.is_drilled() && !self.is_base(*i));
        let of = drilled.map(|(i, plate)| (plate, lacks((i, plate))));
        of.filter(|(_, lacks)| *lacks > ROUNDING).collect()
    }
}
