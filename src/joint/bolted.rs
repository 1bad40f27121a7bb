//! A joint whose parts are solved: its grip, its bolt, and what of it is bought.

use crate::joint::asked::Joint;
use crate::joint::asked::Laminate;
use crate::joint::head::Head;
use crate::joint::layers::Between;
use crate::joint::layers::Plate;
use crate::joint::layers::Thread;
use crate::joint::length::StockLength;
use crate::joint::length::TURNS_BEYOND;
use crate::joint::length::made_up;
use crate::joint::line_up::Lined;
use crate::joint::line_up::line_up;
use crate::num::on_grid;
use crate::quantity::Units;
use std::sync::Arc;

/// A joint of solved parts.
#[derive(Clone, Debug)]
pub(crate) struct Bolted {
    /// The joint of the job.
    pub(crate) joint: Arc<Joint>,
    /// Its layers, from the head on.
    pub(crate) layers: Vec<Between>,
    /// How many of it.
    pub(crate) quantity: u32,
    /// How far the worst hole of each plate is off, as drawn, from those of the plate that has the
    /// thread, else that guides the drill, else is the first; mm.
    pub(super) off: Vec<Lined>,
}

impl Bolted {
    /// A joint of layers; its plates have as many holes as each other.
    pub(crate) fn new(joint: Arc<Joint>, layers: Vec<Between>, quantity: u32) -> Self {
        let mut bolted = Self { joint, layers, quantity, off: Vec::new() };
        let base = bolted.base().map(|(_, base)| base.holes.clone()).unwrap_or_default();
        let off = bolted.plates().map(|(_, plate)| line_up(&base, &plate.holes)).collect();
        bolted.off = off;
        bolted
    }

    /// Its plates, each by its number among the plates.
    pub(crate) fn plates(&self) -> impl Iterator<Item = (usize, &Plate)> {
        let plates = self.layers.iter().filter_map(|layer| match layer {
            Between::Plate(plate) => Some(plate.as_ref()),
            _ => None,
        });
        plates.enumerate()
    }

    /// Its laminates.
    pub(crate) fn laminates(&self) -> impl Iterator<Item = &Laminate> {
        self.layers.iter().filter_map(|layer| match layer {
            Between::Laminate(laminate, _) => Some(laminate),
            _ => None,
        })
    }

    /// The plate that the others are compared with: that of the thread, else the guide.
    pub(super) fn base(&self) -> Option<(usize, &Plate)> {
        self.plates().find(|(_, plate)| plate.thread.is_some()).or_else(|| self.guide())
    }

    /// The plates whose holes line up with those of another plate only where one of the two is
    /// flipped over, with that plate.
    pub(crate) fn flipped_over(&self) -> Vec<[&Plate; 2]> {
        let Some((_, base)) = self.base() else { return Vec::new() };
        let own = self.plates().filter(|(i, _)| self.off[*i].flipped_over);
        own.map(|(_, plate)| [base, plate]).collect()
    }

    pub(super) fn is_base(&self, i: usize) -> bool {
        self.base().is_some_and(|(base, _)| base == i)
    }

    /// The plate whose holes guide the drill: the one that is named, else the first drilled plate,
    /// else the first.
    pub(crate) fn guide(&self) -> Option<(usize, &Plate)> {
        let named = self.joint.guide.as_ref().map(|(name, _)| name.as_str());
        let is_named = |(_, plate): &(usize, &Plate)| Some(plate.part.as_str()) == named;
        let drilled = || self.plates().find(|(_, plate)| plate.is_drilled());
        self.plates().find(is_named).or_else(drilled).or_else(|| self.plates().next())
    }

    /// The part with the thread, if that is not a loose nut.
    pub(crate) fn thread(&self) -> Option<&Thread> {
        self.plates().find_map(|(_, plate)| plate.thread.as_ref())
    }

    /// Bolts in one joint.
    pub(crate) fn bolts_each(&self) -> u32 {
        let holes = self.plates().next().map_or(0, |(_, plate)| plate.holes.len());
        u32::try_from(holes).unwrap_or(u32::MAX)
    }

    /// Bolts in all.
    pub(crate) fn bolts(&self) -> u32 {
        self.bolts_each().saturating_mul(self.quantity)
    }

    /// The head that fits the first plate.
    pub(crate) fn head(&self) -> Head {
        let first = match self.layers.first() {
            Some(Between::Plate(plate)) => plate.recess,
            _ => None,
        };
        match first {
            None => Head::Hexagon,
            Some(recess) if recess.angle.is_some() => Head::Flat,
            Some(_) => Head::Cap,
        }
    }

    /// Between head and nut, or where the thread begins, clamped, mm: nominal.
    pub(crate) fn grip(&self) -> f64 {
        let all: f64 = self.layers.iter().map(Between::clamped).sum();
        let sunk = match (self.head(), self.layers.first()) {
            (Head::Cap, Some(Between::Plate(plate))) => plate.recess.map_or(0.0, |r| r.depth),
            _ => 0.0,
        };
        all - sunk
    }

    /// By how much more it may be before it is clamped, mm.
    pub(crate) fn over(&self) -> f64 {
        self.layers.iter().map(Between::over).sum()
    }

    /// The washers, by whether they are there: under a head that is not sunk, under a loose nut.
    pub(crate) fn washers(&self) -> [bool; 2] {
        [self.head() == Head::Hexagon, self.thread().is_none()]
    }

    /// The thickness of its washers, mm; `None` if a table lacks one.
    pub(crate) fn washer_thickness(&self) -> Option<f64> {
        let bolt = &self.joint.bolt;
        let both = self.washers().into_iter().zip(&self.joint.washers);
        both.filter(|(is, _)| *is).map(|(_, washer)| washer.thickness(bolt)).sum()
    }

    /// How wide a ring clamps the layer of that number from the side of the head, 0, or of the nut, 1, mm:
    /// the washer, wider by the thickness of each plate between, about 30° a side. `None` if the
    /// head is countersunk, a thread takes the bolt, or the tables lack a figure.
    pub(crate) fn ring(&self, layer: usize, end: usize) -> Option<f64> {
        if !self.washers()[end] {
            return None;
        }
        let between = match end {
            0 => &self.layers[..layer],
            _ => &self.layers[layer + 1..],
        };
        let plates = between.iter().filter_map(|layer| match layer {
            Between::Plate(plate) => Some(plate.thickness),
            _ => None,
        });
        Some(self.joint.washers[end].outside(&self.joint.bolt)? + plates.sum::<f64>())
    }

    /// The required length beyond grip and washers, mm: through the nut and two turns, or into the
    /// thread.
    pub(crate) fn reach(&self) -> Option<f64> {
        let turns = TURNS_BEYOND * self.joint.bolt.quantity("pitch")?.value;
        match self.thread() {
            None => Some(self.joint.nut.as_ref()?.quantity("height")?.value + turns),
            Some(thread) => Some(match (self.joint.engagement, thread.is_nut) {
                (Some((said, _)), _) => said,
                (None, true) => thread.depth + turns,
                (None, false) => thread.depth,
            }),
        }
    }

    /// The required length of the bolt, mm; `None` if a table lacks a figure.
    pub(crate) fn needed(&self) -> Option<f64> {
        Some(self.grip() + self.over() + self.washer_thickness()? + self.reach()?)
    }

    /// The bolt to order.
    pub(crate) fn length(&self) -> Option<StockLength> {
        Some(made_up(self.needed()?, self.joint.bolt.name(), self.head()))
    }

    /// The bolt as ordered: `M8 × 35 mm`; by its size alone if a table lacks a figure.
    pub(crate) fn ordered(&self) -> String {
        let bolt = self.joint.bolt.name();
        self.length().map_or_else(|| bolt.to_owned(), |made| format!("{bolt} × {}", made.words))
    }

    /// What of the bolt is beyond grip and washers once it is tight, mm.
    pub(crate) fn beyond(&self) -> Option<f64> {
        Some(self.length()?.length - self.grip() - self.washer_thickness()?)
    }

    /// The minimum engagement of the bolt as ordered in its thread, mm.
    pub(crate) fn engaged(&self) -> Option<f64> {
        let depth = self.thread()?.depth;
        Some((self.beyond()? - self.over()).min(depth))
    }

    /// How far the bolt protrudes beyond nut or thread, mm, once it is tight: nominal, and where what
    /// lies between is thinnest.
    pub(crate) fn protrusion(&self) -> Option<[f64; 2]> {
        let out = self.beyond()? - self.depth()?;
        let under: f64 = self.layers.iter().map(Between::under).sum();
        Some([out, out + under])
    }

    /// How deep nut or thread is, mm.
    pub(crate) fn depth(&self) -> Option<f64> {
        match self.thread() {
            Some(thread) => Some(thread.depth),
            None => Some(self.joint.nut.as_ref()?.quantity("height")?.value),
        }
    }

    /// The terms of the length: `grip 8 + washers 3.6 + nut and two turns 9.3 = 20.9, next stock
    /// length 25 mm`.
    pub(crate) fn length_from(&self, units: Units) -> Option<String> {
        let show = |mm: f64| units.length(on_grid(mm));
        let over = match self.over() {
            over if over > 0.0 => {
                format!(" + tolerances, coatings, compression of rubber {}", show(over))
            }
            _ => String::new(),
        };
        let washers = match self.washer_thickness()? {
            washers if washers > 0.0 => format!(" + washers {}", show(washers)),
            _ => String::new(),
        };
        let beyond = match (self.thread(), self.joint.engagement) {
            (None, _) => "nut and two turns",
            (Some(_), Some(_)) => "engagement",
            (Some(thread), None) if thread.is_nut => "nut and two turns",
            // Only some of an insert in the plate is thread.
            (Some(thread), None) if thread.is_made => "insert",
            (Some(_), None) => "thread",
        };
        Some(format!(
            "grip {}{over}{washers} + {beyond} {} = {}, next stock length {}",
            show(self.grip()),
            show(self.reach()?),
            show(self.needed()?),
            self.length()?.words
        ))
    }

    /// The layers, from the head on, in words.
    pub(crate) fn stack(&self, units: Units) -> String {
        let words: Vec<String> = self.layers.iter().map(|layer| layer.words(units)).collect();
        words.join(", ")
    }

    /// The names of its parts, each once.
    pub(crate) fn parts(&self) -> Vec<&str> {
        let mut names: Vec<&str> = Vec::new();
        for (_, plate) in self.plates() {
            if !names.contains(&plate.part.as_str()) {
                names.push(&plate.part);
            }
        }
        names
    }

    /// Bearing stress of the most heavily loaded bolt in a laminate, MPa, where its shear is given.
    pub(crate) fn bearing(&self, laminate: &Laminate) -> Option<f64> {
        let area = self.joint.bolt.measure("diameter") * laminate.thinnest();
        Some(self.joint.shear? / area)
    }

    /// The properties of a laminate that are not judged, each with what to add.
    pub(crate) fn not_judged(&self, laminate: &Laminate) -> Vec<(&'static str, &'static str)> {
        let mut lacks = Vec::new();
        match (self.joint.shear, laminate.bearing) {
            (Some(_), Some(_)) => {}
            (None, Some(_)) => lacks.push(("bearing", "`shear` to the joint")),
            (Some(_), None) => lacks.push(("bearing", "`bearing` to the laminate")),
            (None, None) => {
                lacks.push(("bearing", "`shear` to the joint and `bearing` to the laminate"));
            }
        }
        if laminate.edge.is_none() || laminate.min_edge.is_none() {
            lacks.push(("edge distance", "`edge` and `min_edge` to the laminate"));
        }
        if laminate.carbon.is_none() {
            lacks.push(("galvanic corrosion", "`fibre` to the laminate"));
        }
        lacks
    }
}
