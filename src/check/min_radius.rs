//! A bend radius too small for the alloy.
//!
//! # Looks for
//! An inside radius below the preferred one of the `min-radius` table for the alloy and thickness
//! (caution), and below the minimum of the `bend-limit` tables (stop); for an alloy that only
//! `min-radius` has, its radius is the limit. Thicknesses between two rows use the thicker row;
//! thicker sheet uses R/T of the last row, or for a limit the largest R/T in the thicker half of
//! the table. For mild steel one thickness is preferred, half of it is the minimum. S355 has a
//! minimum across the grain and one along it: a bend within 30° of the grain needs the minimum
//! along it, one within 30° of square to it the minimum across it. Between the two, or with the
//! grain free, a radius below the minimum along the grain is a caution. A bend of more than 90° whose radius is less than 1.5 times the
//! minimum (caution): the minima are published for bends up to 90°, that of 304, 316 and 316L for
//! bends of 180°. S355 with a bend whose radius is less than 1.5 times the minimum (caution, once for
//! the part): the minima are those of grades ordered for flanging. A closed hem has a check of its own, `hem`. A metal with a `bend_ratio` in the
//! `material` table has the minimum given by its manufacturer. Any other metal without a column
//! uses the strictest of its kind: 4130 normalised, 302 and 304, 2024-T3; one that is stronger than
//! these has none (stop). Where a table leaves a thickness blank, its source does not recommend a
//! bend: a stop, unless another table has a minimum; two thicknesses are preferred there. The
//! tables `bend-limit-metric` and `bend-limit-steel` end with their last row.
//!
//! # Why it matters
//! Too small a radius cracks on the outside, at once or in use; hard aluminium does so
//! without warning.
//!
//! # Example
//! 6061-T6 of 0.125 in is preferred at 0.5 in and refused below 0.3125 in (2.5 T). 2024-T3 of 0.063
//! in is refused below 0.25 in. S355 of 3 mm is refused below 5 mm, 304 of 3 mm below 3 mm; S355 of
//! 4 mm below 6 mm across the grain and 8 mm along it.
//!
//! # Remedy
//! Bend round a larger radius, use a softer temper, or weld two plates instead.
//!
//! # Source
//! Design-office tables of minimum bend radii for 90° cold bends; mild steel: a stamping design
//! text (R = T preferred, T/2 minimum); S355: EN 10025-2, radii for flanging, recommended for the grades made for it, such as S355J2C; S355MC: EN 10149-2;
//! 304, 316 and 316L: the bend test of ASTM A480, and a producer's two thicknesses where the design
//! office has none. What is used for a missing row is our choice; so are the 30° and the 1.5.

use crate::bend::Form;
use crate::check::bend_grain::ALONG;
use crate::check::bend_grain::to_grain;
use crate::check::subject::Subject;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::num;
use crate::part::Bend;
use crate::table::RadiusBasis;
use crate::table::RadiusLimits;
use crate::table::Row;
use crate::table::Table;
use std::sync::Arc;

const CODE: &str = "min-radius";

/// A bend sharper than its minimum is published for is a caution below this many times that
/// minimum. Our choice.
const NEAR: f64 = 1.5;

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    if subject.part.bends.is_empty() {
        return Vec::new();
    }
    let limits = subject.tables.radius_limits(subject.material, subject.part.thickness);
    let Some(limits) = limits else { return vec![not_recommended(subject)] };
    let bends = subject.part.bends.iter().zip(&subject.flat.bends).enumerate();
    let judged = bends.filter(|(_, (bend, _))| bend.bend.form() != Form::ClosedHem);
    let judged = judged.map(|(i, (bend, strip))| {
        let grain = ToGrain::of(&limits, to_grain(subject, strip));
        Judge { subject, limits: &limits, i, bend, grain }
    });
    let judged: Vec<Judge> = judged.collect();
    let of_each = judged.iter().filter_map(|judge| judge.too_small().or_else(|| judge.too_sharp()));
    of_each.chain(for_flanging(&judged)).collect()
}

/// Bends near a minimum that holds only for grades ordered for flanging: the name of the metal is also
/// that of grades which are not.
fn for_flanging(judged: &[Judge]) -> Option<Finding> {
    let near = |judge: &&Judge| {
        let is_refused = RadiusLimits::is_below(judge.bend.bend.radius(), judge.minimum().0);
        judge.limits.flanging && judge.is_near() && !is_refused
    };
    let near: Vec<&Judge> = judged.iter().filter(near).collect();
    let first = near.first()?;
    let (subject, metal) = (first.subject, first.subject.material.name());
    let headline = format!(
        "bend `{}`{} close to the minimum radius for {metal}, which applies only to grades ordered as suitable for cold flanging",
        first.bend.name,
        match near.len() {
            1 => " is".to_owned(),
            2 => " and 1 other in this part are".to_owned(),
            count => format!(" and {} others in this part are", count - 1),
        }
    );
    let clear = near.iter().map(|judge| NEAR * judge.minimum().0).fold(0.0, f64::max);
    let finding = subject
        .finding(Weight::Caution, CODE, headline, &first.bend.depends, first.bend.span)
        .about(subject.of_part(near.iter().map(|judge| Feature::Bend(judge.i))))
        .note(format!(
            "EN 10025-2 recommends it for grades with a C in their name: {metal}JR and {metal}J2 are not tested for it"
        ));
    Some(finding.help(format!(
        "order the sheet as {metal}J2C, or another grade with the suffix C; or {}",
        first.larger(clear)
    )))
}

/// How a bend lies to the grain, where its metal has a minimum for either.
#[derive(Clone, Copy, PartialEq)]
enum ToGrain {
    /// The grain does not count, or the bend runs across it.
    Across,
    /// Along it.
    Along,
    /// The grain is free.
    Unknown,
    /// Neither along nor across: the angle between them, degrees.
    Between(f64),
}

impl ToGrain {
    /// That of a bend at an angle to the grain, degrees.
    fn of(limits: &RadiusLimits, angle: Option<f64>) -> Self {
        match angle {
            _ if limits.along.is_none() => Self::Across,
            None => Self::Unknown,
            Some(angle) if angle < ALONG => Self::Along,
            Some(angle) if angle > 90.0 - ALONG => Self::Across,
            Some(angle) => Self::Between(angle),
        }
    }
}

/// One bend with what its radius is judged by.
struct Judge<'a> {
    subject: &'a Subject<'a>,
    limits: &'a RadiusLimits,
    i: usize,
    bend: &'a Bend,
    grain: ToGrain,
}

impl Judge<'_> {
    /// The radius below which it is not bent, mm, and its source.
    fn minimum(&self) -> &(f64, String) {
        let along = self.limits.along.as_ref().filter(|_| self.grain == ToGrain::Along);
        along.unwrap_or(&self.limits.refused)
    }

    /// The radius from which on it is better, mm, and its source.
    fn preferred(&self) -> &(f64, String) {
        let is_across = self.limits.along.is_some() && self.grain == ToGrain::Across;
        if is_across { &self.limits.refused } else { &self.limits.preferred }
    }

    fn is_sharp(&self) -> bool {
        self.bend.bend.angle().degrees() > self.limits.sharpest + 1e-6
    }

    fn angle(&self) -> String {
        format!("{}°", num::text(self.bend.bend.angle().degrees(), 1))
    }

    /// What the minimum of its metal is, in words; `along`: that along the grain.
    fn rated(&self, min: f64, along: bool) -> String {
        let (metal, needed) = (self.subject.material.name(), self.subject.show(min));
        match along {
            true => format!("the minimum for {metal} along the grain is {needed}"),
            false => rated(self.limits.basis, metal, &needed),
        }
    }

    /// A radius below the minimum or the preferred one.
    fn too_small(&self) -> Option<Finding> {
        let (subject, radius) = (self.subject, self.bend.bend.radius());
        let (weight, (min, rule)) = if RadiusLimits::is_below(radius, self.minimum().0) {
            (Weight::Stop, self.minimum())
        } else if RadiusLimits::is_below(radius, self.preferred().0) {
            (Weight::Caution, self.preferred())
        } else {
            return None;
        };
        let along = || self.rated(*min, true);
        let (rated, limit) = match (weight, self.grain) {
            (Weight::Stop, ToGrain::Along) => {
                (format!("it runs along the grain, and {}", along()), "the limit")
            }
            (Weight::Stop, _) => (self.rated(*min, false), "the limit"),
            (Weight::Caution, ToGrain::Unknown) => {
                (format!("it may run along the grain, and {}", along()), "the limit")
            }
            (Weight::Caution, ToGrain::Between(angle)) => {
                let angle = num::text(angle, 0);
                (format!("it runs at {angle}° to the grain, and {}", along()), "the limit")
            }
            (Weight::Caution, _) => {
                let (metal, needed) = (subject.material.name(), subject.show(*min));
                (format!("{needed} or more is recommended for {metal}"), "the preferred radius")
            }
        };
        let (name, is) = (&self.bend.name, subject.show(radius));
        let headline = format!("bend `{name}` has an inside radius of {is}; {rated}");
        let mut finding = self.finding(weight, headline).note(format!(
            "{limit} for {} sheet: {rule}",
            subject.show_size(subject.part.thickness)
        ));
        if weight == Weight::Caution && self.is_sharp() && self.is_near() {
            finding = finding.note(format!(
                "the minimum is for bends up to {}°; this one is {}",
                num::text(self.limits.sharpest, 0),
                self.angle()
            ));
        }
        let larger = self.larger(self.minimum().0.max(self.preferred().0));
        Some(finding.help(format!("{larger}{}", self.across())))
    }

    /// How its radius is right across the grain, in words; empty where it is not, or is so already.
    fn across(&self) -> &'static str {
        let radius = self.bend.bend.radius();
        match self.grain {
            _ if RadiusLimits::is_below(radius, self.limits.refused.0) => "",
            ToGrain::Across => "",
            ToGrain::Unknown => {
                "; or fix the grain so that the bend runs across it: `grain = \"x\"` or `\"y\"`"
            }
            ToGrain::Between(_) => "",
            ToGrain::Along => {
                "; or rotate the part by 90° on the sheet, so that the bend runs across the grain: \
                 `grain = \"x\"` or `\"y\"`"
            }
        }
    }

    /// Whether its radius is near the minimum.
    fn is_near(&self) -> bool {
        RadiusLimits::is_below(self.bend.bend.radius(), NEAR * self.minimum().0)
    }

    /// A radius near the minimum in a bend sharper than that is published for.
    fn too_sharp(&self) -> Option<Finding> {
        if !self.is_sharp() || !self.is_near() {
            return None;
        }
        let (subject, sharpest) = (self.subject, num::text(self.limits.sharpest, 0));
        let (min, rule) = self.minimum();
        let headline = format!(
            "bend `{}` is bent by {} to an inside radius of {}; {}, for bends up to {sharpest}°",
            self.bend.name,
            self.angle(),
            subject.show(self.bend.bend.radius()),
            self.rated(*min, self.limits.along.is_some() && self.grain == ToGrain::Along),
        );
        let note =
            format!("the minimum for {} sheet: {rule}", subject.show_size(subject.part.thickness));
        let clear = self.larger(NEAR * min);
        let finding = self.finding(Weight::Caution, headline).note(note);
        Some(finding.help(format!("{clear}; or make a test bend in a strip of this sheet")))
    }

    fn finding(&self, weight: Weight, headline: String) -> Finding {
        let bend = self.bend;
        self.subject
            .finding(weight, CODE, headline, &bend.depends, bend.span)
            .about(self.subject.of_part([Feature::Bend(self.i)]))
    }

    /// What to type for a larger radius, mm.
    fn larger(&self, radius: f64) -> String {
        let subject = self.subject;
        match self.bend.bend.form() {
            Form::OpenHem => format!("write `opening = \"{}\"`", subject.show(2.0 * radius)),
            _ => {
                let clear = subject.show(radius);
                format!(
                    "use a radius of {clear}: write `bend_radius = \"{clear}\"` in the sheet's entry, or give the part a radius of its own"
                )
            }
        }
    }
}

/// What the smallest inside radius of a metal is, in words.
pub(super) fn rated(basis: RadiusBasis, metal: &str, radius: &str) -> String {
    match basis {
        RadiusBasis::Minimum => format!("the minimum for {metal} is {radius}"),
        RadiusBasis::Preferred => format!("for {metal} no radius below {radius} is published"),
        RadiusBasis::Strictest => {
            format!(
                "for {metal} no radius is published: {radius} is that of the strictest metal of its kind"
            )
        }
    }
}

fn not_recommended(subject: &Subject) -> Finding {
    let (metal, sheet) = (subject.material.name(), subject.show_size(subject.part.thickness));
    let bend = &subject.part.bends[0];
    if subject.tables.outdoes_radii(subject.material) {
        return unknown(subject);
    }
    let headline = format!("{metal} sheet {sheet} thick is not recommended for bending");
    let thinner = match subject.tables.thickest_bent(subject.material) {
        Some(thickest) => format!("use a sheet no thicker than {}, ", subject.show_size(thickest)),
        None => "use ".to_owned(),
    };
    subject
        .finding(Weight::Stop, CODE, headline, &bend.depends, bend.span)
        .about(subject.of_part((0..subject.part.bends.len()).map(Feature::Bend)))
        .note("the tables of bend radii leave this thickness blank, as their source does")
        .help(format!("{thinner}another metal, or weld the flanges on as separate parts"))
}

/// A metal stronger than all those with a published radius, whose own is not known.
fn unknown(subject: &Subject) -> Finding {
    let (metal, bend) = (subject.material, &subject.part.bends[0]);
    let bends = |row: &&Arc<Row>| {
        let is_alike = row.text("metal") == metal.text("metal");
        is_alike && subject.tables.radius_limits(row, subject.part.thickness).is_some()
    };
    let rows = subject.tables.table("material").into_iter().flat_map(Table::rows);
    let alike = rows.into_iter().find(bends);
    let alike = alike.map_or(String::new(), |row| format!(", such as `{}`", row.name()));
    let headline = format!("no minimum bend radius is known for {}", metal.name());
    subject
        .finding(Weight::Stop, CODE, headline, &bend.depends, bend.span)
        .about(subject.of_part((0..subject.part.bends.len()).map(Feature::Bend)))
        .note("it is stronger than every metal of its kind that has a published radius")
        .help(format!(
            "use a metal that has one{alike}, or give the manufacturer's minimum radius divided by the thickness, as \
             `bend_ratio`, in a row of your own in the `material` table"
        ))
}
