//! What a link is, and the lengths that follow from its dimensions.

use crate::diag::Span;
use crate::document::Entry;
use crate::link::chosen::Chosen;
use crate::num::PI;
use crate::table::Row;
use std::sync::Arc;

/// A link as given; whether it can be made is decided by the checks.
#[derive(Clone, Debug)]
pub struct Link {
    /// Its name.
    pub name: String,
    /// How many.
    pub quantity: u32,
    /// From pin to pin, at the setting it is made for.
    pub pins: f64,
    /// Both ends.
    pub ends: [End; 2],
    /// Row of the tube.
    pub tube: Arc<Row>,
    /// Row of the tube's material, if given.
    pub material: Option<Arc<Row>>,
    /// Minimum permitted engagement.
    pub min: f64,
    /// The positions of its entries.
    pub places: Places,
    /// The same with each tube that it may have, where it is open: the first is the present one.
    pub(crate) sizes: Vec<Link>,
    /// What was chosen of them.
    pub chosen: Option<Chosen>,
}

/// One end of a link.
#[derive(Clone, Debug)]
pub struct End {
    /// Row of the rod end.
    pub rod_end: Arc<Row>,
    /// Row of its thread.
    pub thread: Arc<Row>,
    /// Row of the bung.
    pub bung: Arc<Row>,
    /// Row of the jam nut.
    pub(crate) jam_nut: Arc<Row>,
    /// Which way its thread turns.
    pub hand: Hand,
    /// How far the shank is screwed into the bung to start with.
    pub engagement: f64,
    /// Thickness of the spacer on each side of the ball, 0 for none.
    pub spacer: f64,
    /// Static load rating of the rod end from its manufacturer, N, where it is known.
    pub rating: Option<f64>,
    /// The entry that names the rod end: a clevis takes it from here.
    pub(crate) rod_end_entry: Entry,
    /// The entry that gives the spacer, where one is given.
    pub(crate) spacer_entry: Option<Entry>,
}

/// Less than this, mm, between two ranges is rounding.
const UNEVEN: f64 = 1e-6;

/// Which way a thread turns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hand {
    /// Clockwise to tighten.
    Right,
    /// Anticlockwise to tighten.
    Left,
}

/// The positions of the entries of a link.
#[derive(Clone, Copy, Debug)]
pub struct Places {
    /// Its name.
    pub name: Span,
    /// Its length.
    pub pins: Span,
    /// Its tube, where one is named.
    pub tube: Option<Span>,
    /// Its hands, where they are given.
    pub hand: Option<Span>,
    /// Its engagement, where it is given.
    pub engagement: Option<Span>,
}

/// What follows from a link's dimensions, all in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Setting {
    /// Length of the tube as it is cut.
    pub cut: f64,
    /// Tube and the shoulders of both bungs: what is welded and coated.
    pub welded: f64,
    /// From pin to pin, both ends screwed in as far as their jam nuts let them.
    pub shortest: f64,
    /// From pin to pin, both ends screwed out to least engagement.
    pub longest: f64,
    /// From pin to pin, shortest and longest, by turning the tube with both ends on their pins: until
    /// the first end has no thread left. Just the setting it is made for where both have one hand.
    pub turned: [f64; 2],
    /// Over both heads at the longest setting.
    pub over_all: f64,
    /// What one turn of the tube changes; of one end, taken off its pin, where both have one hand.
    pub per_turn: f64,
}

impl Hand {
    /// As it is typed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Right => "right",
            Self::Left => "left",
        }
    }
}

/// Furthest that a rod end can be screwed in, mm, its jam nut still on its thread.
pub(super) fn deepest(rod_end: &Row, jam_nut: &Row) -> f64 {
    rod_end.measure("threaded") - jam_nut.measure("height")
}

impl End {
    /// From the pin to the face of the bung.
    pub(crate) fn stands_out(&self) -> f64 {
        self.rod_end.measure("length") - self.engagement
    }

    /// The furthest engagement: the jam nut stays on its thread. The bung is open behind, so that
    /// the shank may continue into the tube.
    pub fn deepest(&self) -> f64 {
        deepest(&self.rod_end, &self.jam_nut)
    }

    /// How far it can be screwed in, and out to a least engagement, from where it starts, mm.
    pub fn room(&self, min: f64) -> [f64; 2] {
        [self.deepest() - self.engagement, self.engagement - min].map(|room| room.max(0.0))
    }

    /// How far one turn moves it.
    pub fn pitch(&self) -> f64 {
        self.thread.measure("pitch")
    }
}

impl Link {
    /// Whether its tube can be turned to set its length.
    pub fn turns(&self) -> bool {
        self.ends[0].hand != self.ends[1].hand
    }

    /// The lengths that follow. They may be less than nothing: the checks look.
    pub fn setting(&self) -> Setting {
        let sum = |of: &dyn Fn(&End) -> f64| self.ends.iter().map(of).sum::<f64>();
        let shoulders = sum(&|end| end.bung.measure("shoulder"));
        let welded = self.pins - sum(&End::stands_out);
        let longest = self.pins + sum(&|end| end.room(self.min)[1]);
        let pitches = self.ends.each_ref().map(End::pitch);
        let each = pitches[0] + pitches[1];
        // One turn of the tube moves both ends: the first that has no room left stops it.
        let turned = [0, 1].map(|way| {
            let turns = self.ends.iter().map(|end| end.room(self.min)[way] / end.pitch());
            turns.fold(f64::INFINITY, f64::min) * if self.turns() { each } else { 0.0 }
        });
        Setting {
            cut: welded - shoulders,
            welded,
            shortest: self.pins - sum(&|end| end.room(self.min)[0]),
            longest,
            turned: [self.pins - turned[0], self.pins + turned[1]],
            over_all: longest + sum(&|end| end.rod_end.measure("head") / 2.0),
            per_turn: if self.turns() { each } else { pitches[0] },
        }
    }

    /// Whether turning the tube gives less than both ends would, each turned by itself off its pin.
    pub(crate) fn is_uneven(&self) -> bool {
        let setting = self.setting();
        let [short, long] = setting.turned;
        self.turns() && (short - setting.shortest > UNEVEN || setting.longest - long > UNEVEN)
    }

    /// Mass of the tube in kg, where its material is known.
    pub(crate) fn tube_mass(&self) -> Option<f64> {
        let (outside, wall) = (self.tube.measure("outside"), self.tube.measure("wall"));
        let area = PI * wall * (outside - wall);
        Some(area * self.setting().cut * self.material.as_ref()?.measure("density"))
    }
}
