//! A way to fail, and the section at which it does.

use crate::geom::Point;
use crate::geom::Space;
use crate::table::Row;

/// The strengths of a metal that a load may rely on: the minimum of its standard, N/mm².
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Metal {
    /// Fy.
    pub yield_strength: f64,
    /// Fu.
    pub tensile_strength: f64,
    /// Modulus of elasticity, E.
    pub elastic: f64,
}

impl Metal {
    /// The metal of a row of the table of materials, away from any weld.
    pub fn of(row: &Row) -> Self {
        let of = |field: &str| row.measure(field);
        Self {
            yield_strength: of("yield"),
            tensile_strength: of("tensile"),
            elastic: of("elastic"),
        }
    }

    /// Whether the minimum strength of a metal is known: no load is judged without.
    pub fn is_known(row: &Row) -> bool {
        ["yield", "tensile"].iter().all(|field| row.quantity(field).is_some())
    }

    /// The metal beside a weld: that of the row, or its as-welded strength. `None` if the heat
    /// weakens the metal by an amount that is not published: of aluminium, of hardened steel, and
    /// of metals that must not be welded.
    pub fn beside_weld(row: &Row) -> Option<Self> {
        let of = |field: &str| row.quantity(field).map(|q| q.value);
        match (of("welded_yield"), of("welded_tensile")) {
            (Some(yield_strength), Some(tensile_strength)) => {
                Some(Self { yield_strength, tensile_strength, ..Self::of(row) })
            }
            _ if row.text("metal") == Some("aluminium") || row.text("weld").is_some() => None,
            _ => Some(Self::of(row)),
        }
    }
}

/// A way to fail.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limit {
    /// What gives way: `bearing of the pin`.
    pub what: &'static str,
    /// Its formula in the standard.
    pub rule: &'static str,
    /// The force at which it gives way, N.
    pub nominal: f64,
    /// Factor of safety: Ω, or what Nd makes of it.
    pub factor: f64,
    /// Where it is, and what acts there.
    pub section: Option<Section>,
}

impl Limit {
    /// A limit without a place. A force that is no number is none: it never passes
    /// for more than another limit, and no load with such a limit is judged.
    pub const fn new(what: &'static str, rule: &'static str, nominal: f64, factor: f64) -> Self {
        Self { what, rule, nominal: sound(nominal), factor, section: None }
    }

    /// Whether the limit is a usable number: finite and above zero.
    pub fn is_sound(&self) -> bool {
        self.allowable().is_finite() && self.allowable() > 0.0
    }

    /// The force that is allowed, N.
    pub fn allowable(&self) -> f64 {
        self.nominal / self.factor
    }

    /// The limit for a whole force, of which only `share` acts this way, and that over so
    /// many `pieces`.
    pub(super) fn shared(self, share: f64, pieces: usize) -> Self {
        Self { nominal: sound(self.nominal * pieces as f64 / share), ..self }
    }

    pub(super) fn called(self, what: &'static str) -> Self {
        Self { what, ..self }
    }

    pub(super) fn at(self, section: Section) -> Self {
        Self { section: Some(section), ..self }
    }

    /// The face or bend it is in, where its place is known.
    pub fn member(&self) -> Option<Member> {
        self.section.map(|section| section.member)
    }
}

/// A force, or 0 where it is no number or has no end, N.
const fn sound(nominal: f64) -> f64 {
    if nominal.is_finite() { nominal } else { 0.0 }
}

/// A face or a bend, by its index in the part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Member {
    /// A face.
    Face(usize),
    /// A bend.
    Bend(usize),
}

/// The forces and moments in a section, or the allowable ones: N and N·mm.
///
/// Of the free body on the load's side; its directions are square to the section towards
/// the load, along the section, and out of the top side of the sheet.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Forces {
    /// Square to the section; more than 0 pulls.
    pub normal: f64,
    /// Along the section, in the plane of the plate.
    pub shear: f64,
    /// Square to the plate.
    pub across: f64,
    /// About the normal of the plate: bends it in plane.
    pub bend_in: f64,
    /// About the line of the section: bends it out of its plane.
    pub bend_out: f64,
    /// About the normal of the section.
    pub torsion: f64,
}

impl Forces {
    /// All of it multiplied by a factor.
    #[must_use]
    pub fn times(&self, by: f64) -> Self {
        Self {
            normal: self.normal * by,
            shear: self.shear * by,
            across: self.across * by,
            bend_in: self.bend_in * by,
            bend_out: self.bend_out * by,
            torsion: self.torsion * by,
        }
    }
}

/// A section, or the place of a bolt or a seam, with what acts in it under the whole load
/// of one piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Section {
    /// The member, hole, seam or bolt where it is.
    pub member: Member,
    /// Its ends in the flat, mm. Both are one point for a bolt or a hole.
    pub flat: [Point; 2],
    /// Its ends in the formed part, at mid-thickness, mm.
    pub folded: [Space; 2],
    /// About the centroid of its metal.
    pub forces: Forces,
    /// The ligament that governs, in the flat: all of it where no opening divides it, mm.
    pub ligament: [Point; 2],
    /// What that ligament takes.
    pub share: Forces,
    /// The allowable value of each alone in that ligament; 0 where it is not checked.
    pub allowable: Forces,
}

/// A geometric requirement: not a strength, but a condition of the strength formulas.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shape {
    /// The dimension.
    pub what: &'static str,
    /// Its clause in the standard.
    pub rule: &'static str,
    /// Its value, mm.
    pub is: f64,
    /// Its required value, mm.
    pub wanted: f64,
    /// Whether `wanted` is the maximum, not the minimum.
    pub max: bool,
}

impl Shape {
    /// Whether the rule is kept.
    pub fn kept(&self) -> bool {
        const ROUNDING: f64 = 1e-9;
        match self.max {
            true => self.is <= self.wanted + ROUNDING,
            false => self.is >= self.wanted - ROUNDING,
        }
    }
}
