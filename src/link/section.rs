//! The sections of a link: its tube, the thread of its shanks, its bungs.

use crate::link::setting::End;
use crate::num::PI;
use crate::strength::Limit;
use crate::strength::Metal;
use crate::strength::Method;
use crate::strength::buckling_stress;
use crate::table::Row;

/// By which rules links are judged.
pub(super) const METHOD: Method = Method::Aisc360;

/// Depth of an external thread from its nominal to its root diameter, in pitches: ISO 724, d3.
const ROOT: f64 = 1.226_87;

/// From the nominal to the pitch diameter, in pitches: ISO 724.
const TO_PITCH: f64 = 0.649_519;

/// Of the cylinder on which its threads meet, the share that is sheared when a thread strips:
/// common practice, below what both threads have at their least by ASME B1.1.
const STRIPPED: f64 = 0.5;

/// A round tube, mm.
pub(super) struct Round {
    pub(super) outside: f64,
    pub(super) wall: f64,
}

impl Round {
    /// With the wall that a load may rely on: the nominal one, where no standard has it less.
    pub(super) fn of(row: &Row) -> Self {
        let wall = row.quantity("design_wall").or_else(|| row.quantity("wall"));
        Self { outside: row.measure("outside"), wall: wall.map_or(0.0, |wall| wall.value) }
    }

    pub(super) fn area(&self) -> f64 {
        PI * self.wall * (self.outside - self.wall)
    }

    pub(super) fn inertia(&self) -> f64 {
        let inside = self.outside - 2.0 * self.wall;
        let fourth = |d: f64| d * d * d * d;
        PI / 64.0 * (fourth(self.outside) - fourth(inside))
    }

    /// The force at which the tube buckles, N, by the elastic critical force of the link (E3, and
    /// E7-6 where its wall is slender by table B4.1a case 9); `None` where the standard has no
    /// formula for so thin a wall.
    pub(super) fn buckling(&self, metal: Metal, critical: f64) -> Option<f64> {
        let stress = buckling_stress(metal.yield_strength, critical / self.area());
        let slender = self.outside / self.wall * metal.yield_strength / metal.elastic;
        match slender {
            s if s <= 0.11 => Some(stress * self.area()),
            s if s < 0.45 => Some(stress * self.area() * (0.038 / s + 2.0 / 3.0)),
            _ => None,
        }
    }
}

/// The threaded shank of a rod end, at the root of its thread, mm.
pub(super) struct Shank {
    root: f64,
    pitch_diameter: f64,
}

impl Shank {
    pub(super) fn of(end: &End) -> Self {
        let (diameter, pitch) = (end.thread.measure("diameter"), end.pitch());
        Self { root: diameter - ROOT * pitch, pitch_diameter: diameter - TO_PITCH * pitch }
    }

    pub(super) fn area(&self) -> f64 {
        PI / 4.0 * self.root * self.root
    }

    pub(super) fn modulus(&self) -> f64 {
        PI / 32.0 * self.root * self.root * self.root
    }

    pub(super) fn inertia(&self) -> f64 {
        self.modulus() * self.root / 2.0
    }

    /// The thread over an engaged length with this strength of its metal, as it strips.
    pub(super) fn thread(&self, what: &'static str, engaged: f64, tensile_strength: f64) -> Limit {
        let sheared = STRIPPED * PI * self.pitch_diameter * engaged;
        let rule = "AISC 360-16 J4-4, half of the pitch cylinder";
        Limit::new(what, rule, 0.6 * tensile_strength * sheared, METHOD.rupture())
    }
}

/// The metal of a bung round its thread, mm².
pub(super) fn bung_area(end: &End) -> f64 {
    let (spigot, bore) = (end.bung.measure("spigot"), end.thread.measure("diameter"));
    PI / 4.0 * (spigot * spigot - bore * bore).max(0.0)
}
