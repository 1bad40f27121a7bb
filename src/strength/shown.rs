//! The section of a limit in words: where it is, the forces there, and their allowable values.

use crate::geom::Point;
use crate::geom::Space;
use crate::num;
use crate::part::Part;
use crate::quantity::MM_PER_INCH;
use crate::quantity::N_PER_LBF;
use crate::quantity::Units;
use crate::strength::limit::Limit;
use crate::strength::limit::Member;
use crate::strength::limit::Section;
use crate::strength::method::Method;

/// Of the largest force, less than this share is rounding.
const ROUNDING: f64 = 1e-9;
/// A moment with a shorter arm of that force is rounding too, mm.
const SHORTEST_ARM: f64 = 1e-3;

/// Where the positions of a section are measured from, and in which units.
#[derive(Clone, Copy, Debug)]
pub struct Datum<'a> {
    /// The part.
    pub part: &'a Part,
    /// The left and bottom edge of its flat, from which the drawing counts, mm.
    pub datum: Point,
    /// Of the job.
    pub units: Units,
}

/// What acts, in an engineer's terms, with the value allowed of it alone.
type Acting = (&'static str, f64, f64);

impl Limit {
    /// Where the limit governs, the forces there under the load on one piece with the allowable
    /// value of each alone, and the factor; `None` where its place is not known.
    pub fn section_words(&self, method: Method, seen: &Datum) -> Option<String> {
        let section = self.section?;
        let acting = acting(&section, seen.units).join(", ");
        let factor = match method {
            Method::Aisc360 => format!("Ω {}", num::text(self.factor, 2)),
            Method::Bth1(_) => format!("design factor {}", num::text(self.factor, 2)),
        };
        Some(format!("{}; {acting}; {factor}", place(&section, seen)))
    }
}

/// The face or bend, and the two ends in the flat and in the formed part.
fn place(section: &Section, seen: &Datum) -> String {
    let member = match section.member {
        Member::Face(face) => format!("face `{}`", seen.part.faces[face].name),
        Member::Bend(bend) => format!("bend `{}`", seen.part.bends[bend].name),
    };
    let (scale, unit, decimals) = match seen.units {
        Units::Millimetre => (1.0, "mm", 1),
        Units::Inch => (MM_PER_INCH, "in", 2),
    };
    let show = |mm: f64| num::text(mm / scale, decimals);
    let flat = section.ligament.map(|p| {
        let p = p - seen.datum;
        format!("X {} Y {}", show(p.x), show(p.y))
    });
    let folded = section.folded.map(|p: Space| p.map(show).join(", "));
    let span = |[from, to]: &[String; 2]| match from == to {
        true => from.clone(),
        false => format!("{from} to {to}"),
    };
    let folded = folded.map(|p| format!("({p})"));
    let is_bent = !seen.part.bends.is_empty();
    let folded = if is_bent { format!(", formed part {}", span(&folded)) } else { String::new() };
    format!("{member}, in the flat {}{folded} {unit}", span(&flat))
}

/// The forces and moments in the ligament that governs.
fn acting(section: &Section, units: Units) -> Vec<String> {
    let Section { share, allowable, .. } = section;
    let is_spot = section.flat[0] == section.flat[1];
    let pull = match share.normal < 0.0 {
        true => "compression",
        false if is_spot => "tension of the bolt",
        false => "tension",
    };
    let across = if is_spot { "force in the plane of the plate" } else { "shear in plane" };
    let forces: [Acting; 3] = [
        (pull, share.normal, allowable.normal),
        (across, share.shear, allowable.shear),
        ("shear normal to the plate", share.across, allowable.across),
    ];
    let moments: [Acting; 3] = [
        ("bending in plane", share.bend_in, allowable.bend_in),
        ("bending out of plane", share.bend_out, allowable.bend_out),
        ("torsion", share.torsion, allowable.torsion),
    ];
    let largest = [share.normal, share.shear, share.across].map(f64::abs);
    let largest = largest.into_iter().fold(0.0, f64::max);
    let said = |row: [Acting; 3], floor: f64, show: Show| {
        let acts = row.into_iter().filter(move |a| a.1.abs() > floor);
        acts.map(move |(name, is, max)| match max > 0.0 {
            true => {
                format!(
                    "{name} {} of {} allowed",
                    show(is.abs(), units, figures),
                    show(max, units, Units::three_figures)
                )
            }
            false => format!("{name} {}", show(is.abs(), units, figures)),
        })
        .collect::<Vec<_>>()
    };
    let lines = said(forces, largest * ROUNDING, force);
    lines.into_iter().chain(said(moments, largest * SHORTEST_ARM, moment)).collect()
}

/// A force or a moment in the units of the job, by its figures.
type Show = fn(f64, Units, fn(f64) -> String) -> String;

/// A force in the units of the job.
fn force(newtons: f64, units: Units, figures: fn(f64) -> String) -> String {
    match units {
        Units::Millimetre if newtons >= 1000.0 => format!("{} kN", figures(newtons / 1000.0)),
        Units::Millimetre => format!("{} N", figures(newtons)),
        Units::Inch => format!("{} lbf", figures(newtons / N_PER_LBF)),
    }
}

/// A moment in the units of the job, from N·mm.
fn moment(newton_mm: f64, units: Units, figures: fn(f64) -> String) -> String {
    match units {
        Units::Millimetre => format!("{} N·m", figures(newton_mm / 1000.0)),
        Units::Inch => format!("{} lbf·in", figures(newton_mm / N_PER_LBF / MM_PER_INCH)),
    }
}

/// Three figures, rounded up: no part of a load is printed smaller than it is, but for a thousandth of
/// the last figure.
fn figures(value: f64) -> String {
    let mut unit = 1.0;
    while value >= 1000.0 * unit {
        unit *= 10.0;
    }
    while unit > 1e-3 && value < 100.0 * unit {
        unit /= 10.0;
    }
    num::text((value / unit - MORE).ceil() * unit, 3)
}

/// A number is as printed if it differs by no more than this share of its last figure: it is
/// rounded in other units.
const MORE: f64 = 1e-3;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::strength::limit::Forces;

    #[test]
    fn forces_and_moments_are_in_the_units_of_the_job() {
        assert_eq!(force(15_198.0, Units::Millimetre, figures), "15.2 kN");
        assert_eq!(force(100.0, Units::Millimetre, figures), "100 N");
        assert_eq!(moment(15_198.0, Units::Millimetre, figures), "15.2 N·m");
        assert_eq!(force(4448.2, Units::Inch, figures), "1000 lbf");
        assert_eq!(moment(112.985, Units::Inch, figures), "1 lbf·in");
        assert_eq!(force(2415.0 * N_PER_LBF, Units::Inch, Units::three_figures), "2410 lbf");
        assert_eq!(force(36_190.0, Units::Millimetre, Units::three_figures), "36.1 kN");
    }

    #[test]
    fn only_what_acts_is_shown() {
        let forces =
            Forces { normal: -100.0, bend_out: 3000.0, torsion: 1e-9, ..Forces::default() };
        let section = Section {
            member: Member::Face(0),
            flat: [Point::ZERO; 2],
            folded: [[0.0; 3]; 2],
            forces,
            ligament: [Point::ZERO; 2],
            share: forces,
            allowable: Forces { normal: 15_198.0, ..Forces::default() },
        };
        let said = acting(&section, Units::Millimetre);
        assert_eq!(said, ["compression 100 N of 15.1 kN allowed", "bending out of plane 3 N·m"]);
    }
}
