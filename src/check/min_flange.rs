//! A flange too short to be bent.
//!
//! # Looks for
//! A flange, or the face that carries it, that is shorter than 2.5 T + R along more than a quarter
//! of the bend (stop), or than 3 T + R anywhere (caution). It is measured outside (beyond 90° to
//! the outside of the bend), on the metal that is there, up to where a rolled bend begins. Between
//! two bends there is only the stop. The ends of a bend are left out, as far as a corner cut at 45°
//! takes them; where a fold line is not square to the edge, a quarter at either end, which
//! `bend-taper` judges, and there is no caution. Where the job names a shop its own tools decide
//! instead: a flange too short for every V and every leaf that is strong enough is a stop, and so
//! is the face that carries it, which lies on the other shoulder of the V.
//!
//! # Why it matters
//! A short flange slips into the V or under the beam of the brake: the bend wanders or
//! cannot be made.
//!
//! # Example
//! In 3 mm sheet bent to 3 mm inside radius a flange of 10 mm is a stop (10.5 mm), one of 11 mm a
//! caution (12 mm).
//!
//! # Remedy
//! Make the flange longer and cut it back after bending, or bend to a smaller radius.
//!
//! # Source
//! Trade texts: one says 3 T + R, another 2.5 T + R. Over a V: 0.70 of its opening,
//! by an air-bending chart, unless the shop file says otherwise. The quarter: our choice.

use crate::bend::Form;
use crate::check::bend_sequence;
use crate::check::beside_bend;
use crate::check::subject::Subject;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::part::Zone;
use crate::sequence::Cause;
use std::collections::BTreeSet;

const CODE: &str = "min-flange";

/// Minimum flange in thicknesses, to which one radius is added: refused below, and wanted.
pub(super) const MIN: (f64, f64) = (2.5, 3.0);

/// Metal that is too short along no more of a bend is bent with the metal beside it. Our choice, as
/// at the ends of a slanted line.
const SHARE: f64 = 0.25;

/// Metal that is too short along more of a bend counts as too short along all of it. Our choice.
const WHOLE: f64 = 0.95;

/// Less than this, in mm, is rounding.
const SAME: f64 = 1e-6;

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    if subject.shop.is_some() {
        return bend_sequence::blocked(subject, CODE, Cause::Flange, |bend, refused| {
            let short = bend_sequence::short_faces(bend, refused).into_iter();
            let words = short.map(|face| match face == bend.to {
                true => "the flange".to_owned(),
                false => format!("face `{}`", subject.part.faces[face].name),
            });
            let faces = words.collect::<Vec<_>>().join(" or ");
            format!("{faces} at bend `{}` is too short for any brake in the shop", bend.name)
        });
    }
    let sides = sides(subject);
    sides.iter().filter_map(|side| judged(subject, side, &sides)).collect()
}

/// The metal beside a bend on one side of it, up to an edge or up to another bend.
struct Side {
    bend: usize,
    face: usize,
    /// The bend at its end, if any.
    to: Option<usize>,
    /// Its length to that end, mm, measured outside.
    lengths: Vec<f64>,
    /// All places beside the bend.
    places: usize,
    /// The length of the bend they cover, mm.
    along: f64,
}

impl Side {
    /// The share of the bend that is shorter than this.
    fn shorter(&self, mm: f64) -> f64 {
        self.lengths.iter().filter(|is| **is < mm - SAME).count() as f64 / self.places as f64
    }

    /// How heavy it is, how many thicknesses are needed besides the radius, and that length.
    fn weight(&self, subject: &Subject) -> Option<(Weight, f64, f64)> {
        let made = &subject.part.bends[self.bend];
        let (thickness, radius) = (made.bend.thickness(), made.bend.radius());
        let [refused, wanted] = [MIN.0, MIN.1].map(|times| times * thickness + radius);
        if self.shorter(refused) > SHARE {
            Some((Weight::Stop, MIN.0, refused))
        } else {
            // The ends of a slanted line are for `bend-taper`.
            let is_square = made.zone.as_ref().is_none_or(Zone::is_square);
            let is_short = is_square && self.to.is_none() && self.shorter(wanted) > 0.0;
            is_short.then_some((Weight::Caution, MIN.1, wanted))
        }
    }
}

/// Both sides of every bend, those up to an edge separate from those up to another bend.
fn sides(subject: &Subject) -> Vec<Side> {
    let bends = subject.part.bends.iter().enumerate();
    let bent = bends.filter(|(_, bend)| bend.bend.form() == Form::Bent);
    let both = bent.flat_map(|(i, bend)| [(i, 1, bend.to), (i, 0, bend.from)]);
    let parted = both.flat_map(|(bend, side, face)| {
        let made = &subject.part.bends[bend].bend;
        let needed = MIN.1 * made.thickness() + made.radius();
        let (places, along) = beside_bend::places(subject, bend, side, needed);
        let ends: BTreeSet<Option<usize>> = places.iter().map(|place| place.at).collect();
        let of = |to: Option<usize>| {
            let here = places.iter().filter(|place| place.at == to);
            let lengths = here.map(|place| place.length).collect();
            Side { bend, face, to, lengths, places: places.len(), along }
        };
        ends.into_iter().map(of).collect::<Vec<_>>()
    });
    parted.collect()
}

/// The finding for one side. Between two bends there is one for both: the first of them is made
/// while the other is flat, so that the easier one's requirement is sufficient.
fn judged(subject: &Subject, side: &Side, all: &[Side]) -> Option<Finding> {
    let (mut side, mut found) = (side, side.weight(subject)?);
    if let Some(next) = side.to {
        let back = |o: &&Side| o.bend == next && o.face == side.face && o.to == Some(side.bend);
        let other = all.iter().find(back)?;
        let theirs = other.weight(subject)?;
        if next > side.bend {
            return None;
        }
        if theirs.0 < found.0 {
            (side, found) = (other, theirs);
        }
    }
    Some(finding(subject, side, found))
}

fn finding(subject: &Subject, side: &Side, (weight, times, needed): (Weight, f64, f64)) -> Finding {
    let bend = &subject.part.bends[side.bend];
    let name = &subject.part.faces[side.face].name;
    let is = subject.show(side.lengths.iter().copied().fold(f64::INFINITY, f64::min));
    let wants = subject.show(needed);
    let what = match (side.to, side.face == bend.to) {
        (Some(next), _) => {
            let next = &subject.part.bends[next].name;
            format!("face `{name}` between bends `{}` and `{next}`", bend.name)
        }
        (None, true) => format!("the flange at bend `{}`", bend.name),
        (None, false) => format!("face `{name}` at bend `{}`", bend.name),
    };
    let label = match (side.to, side.face == bend.to) {
        (Some(_), _) => "between two bends",
        (None, true) => "",
        (None, false) => "what carries it",
    };
    let share = side.shorter(needed);
    let headline = if share > WHOLE {
        format!("{what} is {is} long, but {wants} is needed")
    } else {
        let along = subject.show((share * side.along).round().max(1.0));
        format!("{what} is under the {wants} needed along {along} of the bend, down to {is}")
    };
    let (thickness, radius) = (bend.bend.thickness(), bend.bend.radius());
    let help = match (side.to, side.face == bend.to) {
        (Some(_), _) => "make it longer, or move the bends apart",
        (None, true) => {
            "make the flange longer, and cut it back after bending if it must be this short"
        }
        (None, false) => {
            "make the face longer there, and cut it back after bending if it must be this short"
        }
    };
    let about = [Some(side.bend), side.to].into_iter().flatten().map(Feature::Bend);
    subject
        .finding(weight, CODE, headline, &bend.depends, bend.span)
        .at(bend.span, label)
        .about(subject.of_part(about))
        .note(format!(
            "{times} × thickness + radius = {times} × {} + {} = {wants}",
            subject.show(thickness),
            subject.show(radius)
        ))
        .help(help)
}
