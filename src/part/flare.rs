//! The flares of holes, as numbers.
//!
//! The lip is a cone of the sheet's own thickness, its edge square to it, its foot sharp. What
//! is cut is found by common practice: the mid-surface of the sheet keeps its area.

use crate::diag::Finding;
use crate::diag::Span;
use crate::num;
use crate::num::Angle;
use crate::part::values;
use crate::part::values::Values;
use crate::quantity::Dimension;
use crate::recipe::HoleSet;
use crate::recipe::Reach;
use crate::recipe::Side;

/// Angles between a lip and its sheet, degrees. Our choice: steeper is a drawn collar, flatter
/// is a dent.
const ANGLES: [f64; 2] = [15.0, 75.0];

/// A lip lower than this is none, thicknesses. Our choice.
const LOWEST: f64 = 0.5;

/// The conical lip of a hole, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flare {
    /// Diameter at the mouth, on the inside of the lip.
    pub inside: f64,
    /// Diameter at which it leaves the side of the sheet on which it stands.
    pub outside: f64,
    /// How high it stands above that side.
    pub height: f64,
    /// Between the lip and the sheet.
    pub angle: Angle,
    /// Thickness of the sheet.
    pub thickness: f64,
    /// On which side it stands.
    pub side: Side,
}

impl Flare {
    /// Whether it stands on the top side.
    pub(crate) fn is_up(&self) -> bool {
        self.side == Side::Up
    }

    /// Its section: radius, and height above the side on which it stands. First the foot on that
    /// side, then the outer and the inner corner of the edge of the lip, then the foot on the
    /// other side.
    pub fn section(&self) -> [[f64; 2]; 4] {
        let (t, sin, cos) = (self.thickness, self.angle.sin(), self.angle.cos());
        let (foot, mouth) = (self.outside / 2.0, self.inside / 2.0);
        let half = Angle::from_degrees(self.angle.degrees() / 2.0);
        [
            [foot, 0.0],
            [mouth + t * sin, self.height],
            [mouth, self.height - t * cos],
            [foot - t * half.tan(), -t],
        ]
    }

    /// The radii of the mid-surface of the sheet at the foot and at the edge of the lip.
    fn middle(&self) -> [f64; 2] {
        let [foot, outer, inner, below] = self.section().map(|[radius, _]| radius);
        [(foot + below) / 2.0, (outer + inner) / 2.0]
    }

    /// The diameter to cut, by common practice: the mid-surface of the sheet keeps its area, and
    /// the sheet its thickness. `None` where there is not so much metal.
    pub fn pilot(&self) -> Option<f64> {
        let [foot, edge] = self.middle();
        let square = foot * foot - (foot * foot - edge * edge) / self.angle.cos();
        (square > 0.0).then(|| 2.0 * square.sqrt())
    }

    /// By how much the edge of a hole of a diameter becomes longer.
    pub fn stretch(&self, pilot: f64) -> f64 {
        2.0 * self.middle()[1] / pilot - 1.0
    }

    /// What the solid loses by it, mm³, where a hole of a diameter is cut: the lip is of the same
    /// thickness, and not of quite the same volume.
    pub fn loss(&self, pilot: f64) -> f64 {
        let [foot, outer, inner, below] = self.section();
        // The metal between two radii that depend on the height, by the frusta they bound.
        let chain = [below, inner, outer, foot];
        let frustum = |two: &[[f64; 2]]| {
            let ([a, low], [b, high]) = (two[0], two[1]);
            (high - low) * (a * a + a * b + b * b) / 3.0
        };
        let void: f64 = chain.windows(2).map(frustum).sum();
        num::PI * (void - pilot * pilot / 4.0 * self.thickness)
    }

    /// What is formed, in words: `form flare Ø40 inside, Ø60 outside, 6 high at 40°, on the top
    /// side`.
    pub(crate) fn words(&self, show: &dyn Fn(f64) -> String) -> String {
        format!(
            "form flare Ø{} inside, Ø{} outside, {} high at {}°, on the {}",
            show(self.inside),
            show(self.outside),
            show(self.height),
            num::text(self.angle.degrees(), 1),
            self.side.word()
        )
    }
}

/// The flare of a set whose holes are round with this diameter in the end; none where it has
/// none. `None` after a finding.
pub(super) fn build(
    set: &HoleSet,
    diameter: Option<f64>,
    values: &Values,
) -> Option<Option<Flare>> {
    let Some(flare) = &set.flare else { return Some(None) };
    let Some(inside) = diameter else {
        let headline = "a flare is formed at round holes only".to_owned();
        return refuse(headline, "give the hole a `diameter` alone", flare.span, values);
    };
    let thickness = values.params.get("thickness").and_then(values::as_length)?;
    let height = values.length(&flare.height)?;
    let show = |mm: f64| values.params.units().length(mm);
    if height < LOWEST * thickness {
        let [is, needed] = [height, LOWEST * thickness].map(show);
        let headline = format!("a flare {is} high is lower than half the thickness, {needed}");
        return refuse(headline, "make it higher, or leave it out", flare.span, values);
    }
    let (outside, angle) = match &flare.reach {
        Reach::Angle(angle) => {
            let degrees = values.number(angle, Dimension::ANGLE)?;
            if !(ANGLES[0]..=ANGLES[1]).contains(&degrees) {
                return steep(format!("of {}°", num::text(degrees, 1)), angle.span, values);
            }
            let angle = Angle::from_degrees(degrees);
            (inside + 2.0 * reach(height, thickness, angle), angle)
        }
        Reach::Outside(outside) => {
            let wide = values.length(outside)?;
            let [least, most] = ANGLES.map(|degrees| {
                inside + 2.0 * reach(height, thickness, Angle::from_degrees(degrees))
            });
            if !(most..=least).contains(&wide) {
                let [low, high] = [most, least].map(show);
                let what =
                    format!("from Ø{} to Ø{}, {} high,", show(inside), show(wide), show(height));
                let help = format!("make `outside` between {low} and {high}, or change the height");
                return shaped(&what, &help, outside.span, values);
            }
            (wide, rise((wide - inside) / 2.0, height, thickness))
        }
    };
    let built = Flare { inside, outside, height, angle, thickness, side: flare.side };
    if built.pilot().is_none() {
        let headline = format!(
            "a flare of Ø{} inside, {} high, needs more metal than its hole has",
            show(inside),
            show(height)
        );
        let help = "make it lower, or the hole larger";
        return refuse(headline, help, flare.span, values);
    }
    Some(Some(built))
}

fn refuse<T>(headline: String, help: &str, span: Span, values: &Values) -> Option<T> {
    values.findings.add(Finding::stop("flare", headline).at(span, "").help(help.to_owned()));
    None
}

fn shaped<T>(what: &str, help: &str, span: Span, values: &Values) -> Option<T> {
    let [low, high] = ANGLES;
    let headline = format!("a flare {what} does not rise at {low}° to {high}°");
    refuse(headline, help, span, values)
}

fn steep<T>(what: String, span: Span, values: &Values) -> Option<T> {
    shaped(&what, "write `angle = \"45 deg\"`", span, values)
}

/// How far a lip reaches in from its foot to its mouth, seen square to the sheet, mm.
fn reach(height: f64, thickness: f64, angle: Angle) -> f64 {
    height / angle.tan() + thickness * angle.sin()
}

/// The angle at which a lip rises that reaches so far in: it reaches the less, the steeper it is.
fn rise(wanted: f64, height: f64, thickness: f64) -> Angle {
    let [mut low, mut high] = ANGLES;
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        match reach(height, thickness, Angle::from_degrees(middle)) > wanted {
            true => low = middle,
            false => high = middle,
        }
    }
    Angle::from_degrees((low + high) / 2.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 45°, 6 mm high in 2 mm: the reach is 6 + √2. The mid-surface of the sheet goes from the
    /// foot, 30 − tan 22.5° on the way in, to the mouth of 30 − 6 − √2 and √2 / 2 more.
    #[test]
    fn a_flare_of_45_degrees_by_hand() {
        let root = 2.0_f64.sqrt();
        let angle = Angle::from_degrees(45.0);
        let inside = 60.0 - 2.0 * (6.0 + root);
        let (height, thickness, side) = (6.0, 2.0, Side::Up);
        let flare = Flare { inside, outside: 60.0, height, angle, thickness, side };
        assert!((reach(6.0, 2.0, angle) - 6.0 - root).abs() < 1e-12);
        assert!((rise(6.0 + root, 6.0, 2.0).degrees() - 45.0).abs() < 1e-9);
        let [foot, edge] = [30.0 - (root - 1.0), 24.0 - root / 2.0];
        let kept = foot * foot - (foot * foot - edge * edge) * root;
        let pilot = flare.pilot().expect("there is metal");
        assert!((pilot * pilot / 4.0 - kept).abs() < 1e-9, "{pilot}");
        assert!(pilot < inside);
        assert!((flare.stretch(pilot) - (2.0 * edge / pilot - 1.0)).abs() < 1e-12);
    }
}
