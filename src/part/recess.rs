//! The countersinks and counterbores of holes, as numbers.

use crate::diag::Finding;
use crate::num;
use crate::num::Angle;
use crate::part::values::Values;
use crate::quantity::Dimension;
use crate::recipe;
use crate::recipe::HoleSet;
use crate::recipe::Side;
use crate::table::Row;
use std::sync::Arc;

/// Included angles of countersinks, degrees. Our choice: tools are made from 60° to 120°.
const ANGLES: [f64; 2] = [40.0, 150.0];

/// The included angle if none is given, degrees: ISO 10642 and most metric screws.
const USUAL: f64 = 90.0;

/// A countersink or a counterbore, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Recess {
    /// Included angle of a countersink, degrees; `None` for a counterbore.
    pub angle: Option<f64>,
    /// Diameter of the hole below it.
    pub hole: f64,
    /// Diameter at the surface.
    pub diameter: f64,
    /// Below the surface.
    pub depth: f64,
    /// The depth of a countersink that the head of its bolt fills, if the head is known.
    pub filled: Option<f64>,
    /// From which side it is made.
    pub side: Side,
}

impl Recess {
    /// As the trade calls it.
    pub(crate) const fn word(&self) -> &'static str {
        if self.angle.is_some() { "countersink" } else { "counterbore" }
    }

    /// Whether it is made from the top side.
    pub(crate) fn is_up(&self) -> bool {
        self.side == Side::Up
    }

    /// Its size as drawings give it: a countersink by diameter and angle, a counterbore by
    /// diameter and depth.
    pub(crate) fn size(&self, show: &dyn Fn(f64) -> String) -> String {
        match self.angle {
            Some(angle) => format!("Ø{} × {}°", show(self.diameter), num::text(angle, 1)),
            None => format!("Ø{}, {} deep", show(self.diameter), show(self.depth)),
        }
    }

    /// The volume removed beside the hole, mm³.
    pub(crate) fn volume(&self) -> f64 {
        let [small, large] = [self.hole / 2.0, self.diameter / 2.0];
        let mean = match self.angle {
            Some(_) => (large * large + large * small + small * small) / 3.0,
            None => large * large,
        };
        num::PI * self.depth * (mean - small * small)
    }

    /// The area removed beside the hole on a section through its centre, mm².
    pub(crate) fn section(&self) -> f64 {
        let share = if self.angle.is_some() { 0.5 } else { 1.0 };
        share * self.depth * (self.diameter - self.hole)
    }
}

/// The row of the table `screw-head` for the fastener of a hole.
fn head<'v>(through: Option<&Row>, values: &Values<'v>) -> Option<&'v Arc<Row>> {
    let row = through?;
    let bolt = if row.table() == "bolt" { Some(row.name()) } else { row.text("bolt") };
    values.tables.row("screw-head", bolt?)
}

/// The recess of a set whose holes are round with this final diameter; an inner `None` if it has no
/// recess, `None` after a finding.
pub(super) fn build(
    set: &HoleSet,
    through: Option<&Row>,
    diameter: Option<f64>,
    values: &Values,
) -> Option<Option<Recess>> {
    let Some(recess) = &set.recess else { return Some(None) };
    let refuse = |headline: String, help: &str| {
        values
            .findings
            .add(Finding::stop("recess", headline).at(recess.span, "").help(help.to_owned()));
        None
    };
    let word = recess.word();
    let Some(hole) = diameter else {
        let headline = format!("a {word} is made in round holes only");
        return refuse(headline, "remove it, or give the hole a `diameter` alone");
    };
    let built = match recess.flat {
        true => counterbore(recess, through, hole, values)?,
        false => countersink(recess, through, hole, values)?,
    };
    if built.diameter <= hole || built.depth <= 0.0 {
        let show = |mm: f64| values.params.units().length(mm);
        if built.diameter > hole {
            let headline =
                format!("the {word} must be more than 0 mm deep, not {}", show(built.depth));
            return refuse(headline, "make its depth more than 0");
        }
        let [wide, hole] = [built.diameter, hole].map(show);
        let headline = format!("the Ø{wide} {word} is no larger than the Ø{hole} hole");
        return refuse(headline, "make its diameter larger than the hole");
    }
    Some(Some(built))
}

/// A finding that a dimension is missing, with what to type.
fn incomplete(recess: &recipe::Recess, headline: &str, help: &str, values: &Values) {
    let finding = Finding::stop("recess", headline).at(recess.span, "");
    values.findings.add(finding.help(help));
}

fn counterbore(
    recess: &recipe::Recess,
    through: Option<&Row>,
    hole: f64,
    values: &Values,
) -> Option<Recess> {
    let head = head(through, values);
    let of = |field: &str| head.and_then(|row| row.quantity(field)).map(|q| q.value);
    let diameter = values.some_length(recess.diameter.as_ref())?.or(of("counterbore"));
    let depth = values.some_length(recess.depth.as_ref())?.or(of("cap_height"));
    let (Some(diameter), Some(depth)) = (diameter, depth) else {
        let headline = "a counterbore needs `diameter` and `depth`, or a hole `for` a bolt of the \
                        `screw-head` table";
        let help = "write `counterbore = { diameter = \"11 mm\", depth = \"6 mm\" }`";
        incomplete(recess, headline, help, values);
        return None;
    };
    Some(Recess { angle: None, hole, diameter, depth, filled: None, side: recess.side })
}

fn countersink(
    recess: &recipe::Recess,
    through: Option<&Row>,
    hole: f64,
    values: &Values,
) -> Option<Recess> {
    let given = match &recess.angle {
        Some(angle) => Some(values.number(angle, Dimension::ANGLE)?),
        None => None,
    };
    let (diameter, depth) =
        (values.some_length(recess.diameter.as_ref())?, values.some_length(recess.depth.as_ref())?);
    let head = head(through, values);
    let of = |field: &str| head.and_then(|row| row.quantity(field)).map(|q| q.value);
    let usual = given.or(of("flat_angle")).unwrap_or(USUAL);
    let (angle, diameter, depth) = match (given, diameter, depth) {
        (Some(_), Some(_), Some(_)) => {
            let headline = "give only two of the angle, diameter and depth of a countersink";
            incomplete(recess, headline, "remove `depth`: it follows from the others", values);
            return None;
        }
        (None, Some(diameter), Some(depth)) => {
            let half = Angle::of(depth, (diameter - hole) / 2.0);
            (2.0 * half.degrees(), diameter, depth)
        }
        (_, None, Some(depth)) => {
            let out = depth * Angle::from_degrees(usual / 2.0).tan();
            (usual, hole + 2.0 * out, depth)
        }
        (_, diameter, None) => {
            let Some(diameter) = diameter.or(of("flat")) else {
                let headline = "a countersink needs its `diameter`, or a hole `for` a bolt of the \
                                `screw-head` table";
                let help = "write `countersink = { diameter = \"12 mm\" }`";
                incomplete(recess, headline, help, values);
                return None;
            };
            let depth = (diameter - hole) / 2.0 / Angle::from_degrees(usual / 2.0).tan();
            (usual, diameter, depth)
        }
    };
    if !(ANGLES[0]..=ANGLES[1]).contains(&angle) {
        let headline = format!(
            "a countersink of {}° is not between {}° and {}°",
            num::text(angle, 1),
            ANGLES[0],
            ANGLES[1]
        );
        incomplete(recess, &headline, "write `angle = \"90 deg\"`", values);
        return None;
    }
    let slope = Angle::from_degrees(angle / 2.0).tan();
    let filled = of("flat").map(|head| ((head - hole) / 2.0 / slope).min(depth).max(0.0));
    Some(Recess { angle: Some(angle), hole, diameter, depth, filled, side: recess.side })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A cone from 12 to 6 mm over 3 mm: π/12 · 3 · (144 + 72 + 36) less π/4 · 36 · 3; a
    /// cylinder π/4 · (144 − 36) · 3.
    #[test]
    fn what_a_recess_takes_computed_by_hand() {
        let cone = Recess {
            angle: Some(90.0),
            hole: 6.0,
            diameter: 12.0,
            depth: 3.0,
            filled: None,
            side: Side::Up,
        };
        let bore = Recess { angle: None, ..cone };
        assert!((cone.volume() - num::PI * (63.0 - 27.0)).abs() < 1e-9, "{}", cone.volume());
        assert!((bore.volume() - num::PI * 81.0).abs() < 1e-9, "{}", bore.volume());
        assert_eq!([cone.section(), bore.section()], [9.0, 18.0]);
    }
}
