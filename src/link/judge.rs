//! A load on a link: its tube, its welds, its threads and its rod ends, in tension and in
//! compression, at its shortest and its longest setting.
//!
//! In compression the link is a strut of three pieces between its pins: the shanks of the rod
//! ends, at the root of their threads, from the pin to the face of the bung, and the tube between
//! them. The bung within the tube and the head of a rod end count as no stiffer than that. A link
//! whose shanks are as stiff as its tube is the strut of E3 with K = 1 from pin to pin; any other
//! buckles earlier. The shank itself is in compression, and bent by the initial crookedness of the
//! strut.

use crate::link::load::LinkLoad;
use crate::link::load::Way;
use crate::link::not_judged::NotJudged;
use crate::link::section::METHOD;
use crate::link::section::Round;
use crate::link::section::Shank;
use crate::link::section::bung_area;
use crate::link::setting::End;
use crate::link::setting::Link;
use crate::link::verdict::Found;
use crate::link::verdict::LinkVerdict;
use crate::link::verdict::Place;
use crate::num::Angle;
use crate::num::PI;
use crate::strength::Fillet;
use crate::strength::Limit;
use crate::strength::Metal;
use crate::strength::Piece;
use crate::strength::Strut;
use crate::strength::fused;
use crate::strength::min_leg;
use crate::strength::pressed_and_bent;
use crate::table::Row;

/// Initial out-of-straightness of a strut over its length: AISC code of standard practice (from
/// memory).
const CROOKED: f64 = 1.0 / 1000.0;

/// The dimensions of a link at one setting, mm.
struct Setting {
    /// From pin to pin.
    pins: f64,
    /// How far each rod end is screwed in.
    engaged: [f64; 2],
}

/// Judges a load on its link.
pub(crate) fn judge(load: &LinkLoad, link: &Link) -> LinkVerdict {
    let mut verdict = LinkVerdict {
        case: load.name.clone(),
        link: link.name.clone(),
        acting: load.acting(),
        force: load.force,
        lack: None,
        limits: Vec::new(),
        shapes: Vec::new(),
        slenderness: None,
        assumed: Vec::new(),
        not_judged: Vec::new(),
    };
    let settings = settings(link);
    let is_round = link.tube.text("shape") == Some("round");
    if !is_round || settings.iter().any(|setting| strut_pieces(link, setting).is_none()) {
        verdict.lack(vec![NotJudged::Unmade]);
        return verdict;
    }
    let mut lacks = rod_ends(load, link, &mut verdict);
    match &link.material {
        None => lacks.push(NotJudged::Metal),
        Some(material) => {
            let case = Case { load, link, material, settings };
            lacks.extend(case.judged(&mut verdict));
        }
    }
    verdict.not_judged.push(
        "impact, fatigue, side load, the link's own weight and the friction of the balls".into(),
    );
    verdict.lack(lacks);
    verdict
}

/// The settings that are judged: the shortest and the longest.
fn settings(link: &Link) -> [Setting; 2] {
    let of = |engaged: [f64; 2]| {
        let out: f64 = link.ends.iter().zip(engaged).map(|(end, is)| end.engagement - is).sum();
        Setting { pins: link.pins + out, engaged }
    };
    let deepest = link.ends.each_ref().map(|end| end.deepest().max(end.engagement));
    let least = link.ends.each_ref().map(|end| link.min.min(end.engagement));
    [of(deepest), of(least)]
}

/// Shank, tube, shank; `None` if one has no length.
fn strut_pieces(link: &Link, setting: &Setting) -> Option<[Piece; 3]> {
    let out = [0, 1].map(|i| link.ends[i].rod_end.measure("length") - setting.engaged[i]);
    let [first, second] = [0, 1].map(|i| {
        let inertia = Shank::of(&link.ends[i]).inertia();
        Piece { length: out[i], inertia }
    });
    let tube = Round::of(&link.tube);
    let between = Piece { length: setting.pins - out[0] - out[1], inertia: tube.inertia() };
    let pieces = [first, between, second];
    pieces.iter().all(|piece| piece.length > 0.0 && piece.inertia > 0.0).then_some(pieces)
}

/// The rod ends by the ratings from their manufacturers; returns missing data.
fn rod_ends(load: &LinkLoad, link: &Link, verdict: &mut LinkVerdict) -> Vec<NotJudged> {
    let mut lacks = Vec::new();
    for (i, end) in link.ends.iter().enumerate() {
        let Some(rating) = end.rating else {
            let lack = NotJudged::Rating(end.rod_end.name().to_owned());
            if !lacks.contains(&lack) {
                lacks.push(lack);
            }
            continue;
        };
        let rule = "static load rating from its manufacturer";
        let limit = Limit::new("rod end", rule, rating, METHOD.rupture());
        let found = |way: &Way| Found { way: *way, place: Place::End(i), pins: None, limit };
        verdict.limits.extend(load.ways.iter().map(found));
    }
    lacks
}

/// A link of a known metal under its load.
struct Case<'a> {
    load: &'a LinkLoad,
    link: &'a Link,
    material: &'a Row,
    settings: [Setting; 2],
}

impl Case<'_> {
    fn judged(&self, verdict: &mut LinkVerdict) -> Vec<NotJudged> {
        let name = || self.material.name().to_owned();
        if !Metal::is_known(self.material) {
            return vec![NotJudged::Strength(name())];
        }
        let Some(weak) = Metal::beside_weld(self.material) else {
            return vec![NotJudged::Welded(name())];
        };
        let mut lacks = Vec::new();
        let fillet = self.fillet(verdict);
        if fillet.is_none() {
            lacks.push(NotJudged::Filler(name()));
        }
        let is_steel = self.material.text("metal") == Some("steel");
        for way in &self.load.ways {
            self.threads(*way, weak, verdict);
            self.bungs(*way, weak, verdict);
            match way {
                Way::Pull => self.pulled(weak, fillet, verdict),
                Way::Push if is_steel => {
                    self.pressed_beside_weld(weak, verdict);
                    lacks.extend(self.pushed(fillet, verdict));
                }
                Way::Push => lacks.push(NotJudged::Curve(name())),
            }
        }
        let aluminium = "formulas and factors for steel, with the as-welded strengths of aluminium";
        if self.material.text("metal") == Some("aluminium") {
            verdict.assumed.push(aluminium.into());
        }
        verdict.assumed.push(format!("bungs of {}, like the tube", self.material.name()));
        verdict
            .assumed
            .push("a straight tube with the pins on its axis; jam nuts carry no load".into());
        lacks
    }

    /// The fillet round each bung, with the rules for it; `None` if no weld metal is known.
    fn fillet(&self, verdict: &mut LinkVerdict) -> Option<Fillet> {
        let tube = Round::of(&self.link.tube);
        let (row, is_named) = self.load.filler.as_ref()?;
        if !is_named {
            verdict.assumed.push(format!("weld metal {}", row.name()));
        }
        if self.load.leg.is_none() {
            let words = "round each bung the smallest fillet that AISC 360-16 table J2.4 allows";
            verdict.assumed.push(words.into());
        }
        let leg = self.load.leg.unwrap_or_else(|| min_leg(tube.wall));
        let fillet = Fillet { leg, shear: fused(row.measure("shear"), self.material) };
        verdict.shapes.extend(fillet.shapes(tube.wall, PI * tube.outside));
        Some(fillet)
    }

    fn found(&self, way: Way, place: Place, at: Option<&Setting>, limit: Limit) -> Found {
        Found { way, place, pins: at.map(|setting| setting.pins), limit }
    }

    /// The engaged threads, at each setting: those of the bungs, and those of the shanks, of which
    /// only the rating is known.
    fn threads(&self, way: Way, metal: Metal, verdict: &mut LinkVerdict) {
        for setting in &self.settings {
            for (i, end) in self.link.ends.iter().enumerate() {
                let shank = Shank::of(end);
                let engaged = setting.engaged[i].min(end.bung.measure("length"));
                let own = end.rating.map(|rating| {
                    shank.thread("thread of the rod end", engaged, rating / shank.area())
                });
                let of_bung = shank.thread("thread of the bung", engaged, metal.tensile_strength);
                let limits = [Some(of_bung), own].into_iter().flatten();
                let found = |limit| self.found(way, Place::End(i), Some(setting), limit);
                verdict.limits.extend(limits.map(found));
            }
        }
    }

    /// The metal of each bung round its thread.
    fn bungs(&self, way: Way, metal: Metal, verdict: &mut LinkVerdict) {
        let rule = match way {
            Way::Pull => "AISC 360-16 D2-1",
            Way::Push => "AISC 360-16 J4-6",
        };
        for (i, end) in self.link.ends.iter().enumerate() {
            let nominal = metal.yield_strength * bung_area(end);
            let limit = Limit::new("bung round its thread", rule, nominal, METHOD.yielding());
            verdict.limits.push(self.found(way, Place::End(i), None, limit));
        }
    }

    /// The tube and its welds in tension.
    fn pulled(&self, metal: Metal, fillet: Option<Fillet>, verdict: &mut LinkVerdict) {
        let tube = Round::of(&self.link.tube);
        let yields = Limit::new(
            "tube in tension, yielding",
            "AISC 360-16 D2-1",
            metal.yield_strength * tube.area(),
            METHOD.yielding(),
        );
        // Welded all round: all of the section is connected, U = 1 (table D3.1, case 3).
        let breaks = Limit::new(
            "tube in tension, rupture",
            "AISC 360-16 D2-2",
            metal.tensile_strength * tube.area(),
            METHOD.rupture(),
        );
        let found = |limit| self.found(Way::Pull, Place::Tube, None, limit);
        verdict.limits.extend([yields, breaks].map(found));
        let Some(fillet) = fillet else { return };
        let nominal = fillet.strength(Angle::ZERO) * PI * tube.outside;
        let weld = welded(nominal);
        verdict.limits.extend([0, 1].map(|i| self.found(Way::Pull, Place::End(i), None, weld)));
    }

    /// The tube beside its welds in compression, where the heat has weakened it: elsewhere it buckles
    /// before it yields.
    fn pressed_beside_weld(&self, weak: Metal, verdict: &mut LinkVerdict) {
        if weak == Metal::of(self.material) {
            return;
        }
        let limit = Limit::new(
            "tube beside its weld",
            "AISC 360-16 J4-6",
            weak.yield_strength * Round::of(&self.link.tube).area(),
            METHOD.yielding(),
        );
        verdict
            .limits
            .extend([0, 1].map(|end| self.found(Way::Push, Place::End(end), None, limit)));
    }

    /// The strut in compression, at each setting; returns missing data.
    fn pushed(&self, fillet: Option<Fillet>, verdict: &mut LinkVerdict) -> Option<NotJudged> {
        let (tube, metal) = (Round::of(&self.link.tube), Metal::of(self.material));
        for setting in &self.settings {
            let pieces = strut_pieces(self.link, setting)?;
            let strut = Strut { pieces: &pieces, elastic: metal.elastic };
            let even = [Piece { length: strut.length(), inertia: tube.inertia() }];
            let even = Strut { pieces: &even, elastic: metal.elastic };
            let critical = strut.critical_force().min(even.critical_force());
            let slenderness = PI * (metal.elastic * tube.area() / critical).sqrt();
            let known = verdict.slenderness.unwrap_or(0.0);
            verdict.slenderness = Some(known.max(slenderness));
            let Some(nominal) = tube.buckling(metal, critical) else {
                return Some(NotJudged::Thin);
            };
            let limit = Limit::new(
                "buckling",
                "AISC 360-16 E3, Fe of the link",
                nominal,
                METHOD.yielding(),
            );
            verdict.limits.push(self.found(Way::Push, Place::Tube, Some(setting), limit));
            for (i, end) in self.link.ends.iter().enumerate() {
                let off = CROOKED * strut.length() * strut.share_at(i) + self.askew(end);
                let limits = [
                    shank(end, off, critical),
                    fillet.map(|fillet| ring(&tube, fillet, off, critical)),
                ];
                let found = |limit| self.found(Way::Push, Place::End(i), Some(setting), limit);
                verdict.limits.extend(limits.into_iter().flatten().map(found));
            }
        }
        None
    }

    /// How far a bung may sit off the axis of its tube, mm: half of its play.
    fn askew(&self, end: &End) -> f64 {
        let play = self.link.tube.measure("inside") - end.bung.measure("spigot");
        play.max(0.0) / 2.0
    }
}

/// A shank that is compressed and bent at the face of its bung. Of its metal only the rating is
/// known, which has the factor of rupture; so has its stress here.
fn shank(end: &End, off: f64, critical: f64) -> Option<Limit> {
    let shank = Shank::of(end);
    let safe = METHOD.yielding() / METHOD.rupture();
    let stress = end.rating? * safe / shank.area();
    let nominal = pressed_and_bent([shank.area(), shank.modulus()], stress, off, critical);
    let rule = "AISC 360-16 H2-1, second order";
    Some(Limit::new("shank in compression and bending", rule, nominal, METHOD.yielding()))
}

/// The fillet round a bung that is pressed and bent, as a line round the tube.
fn ring(tube: &Round, fillet: Fillet, off: f64, critical: f64) -> Limit {
    let (round, modulus) = (PI * tube.outside, PI / 4.0 * tube.outside * tube.outside);
    let strength = fillet.strength(Angle::ZERO);
    welded(pressed_and_bent([round, modulus], strength, off, critical))
}

fn welded(nominal: f64) -> Limit {
    Limit::new("weld of the bung", "AISC 360-16 J2-4, elastic", nominal, METHOD.rupture())
}
