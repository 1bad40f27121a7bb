//! The flares of holes, as numbers.
//!
//! The lip is a cone of the sheet's own thickness, its edge square to it, its foot sharp or of a
//! given radius. The pilot is found by common practice: the mid-surface of the sheet keeps its
//! area.

use crate::diag::Finding;
use crate::diag::Span;
use crate::num;
use crate::num::Angle;
use crate::part::values::Values;
use crate::quantity::Dimension;
use crate::recipe;
use crate::recipe::Expr;
use crate::recipe::HoleSet;
use crate::recipe::Reach;
use crate::recipe::Side;

/// Angles between a lip and its sheet, degrees. Our choice: steeper is a drawn collar, flatter
/// is a dent.
const ANGLES: [f64; 2] = [15.0, 75.0];

/// A lip lower than this is none, thicknesses. Our choice.
const LOWEST: f64 = 0.5;

/// The shortest straight lip beyond the radius of its foot, thicknesses of height. Our choice, as
/// much as a sharp lip is high.
const STRAIGHT: f64 = LOWEST;

/// The conical lip of a hole, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flare {
    /// Diameter at the mouth, on the inside of the lip.
    pub inside: f64,
    /// Diameter at which it meets the side of the sheet it projects from.
    pub outside: f64,
    /// Its height above that side.
    pub height: f64,
    /// Between the lip and the sheet.
    pub angle: Angle,
    /// Inside radius at its foot, on the side it projects from; 0 where the foot is sharp.
    pub radius: f64,
    /// Thickness of the sheet.
    pub thickness: f64,
    /// The side it projects from.
    pub side: Side,
}

impl Flare {
    /// Whether it projects from the top side.
    pub(crate) fn is_up(&self) -> bool {
        self.side == Side::Up
    }

    /// Its section: radius, and height above the side it projects from. First the foot on that side
    /// and where its radius ends, then the outer and the inner corner of the edge of the lip, then
    /// where the radius begins and ends on the other side. A sharp foot is two points in one.
    pub fn section(&self) -> [[f64; 2]; 6] {
        let (t, sin, cos) = (self.thickness, self.angle.sin(), self.angle.cos());
        let (foot, mouth) = (self.outside / 2.0, self.inside / 2.0);
        let edge = [[mouth + t * sin, self.height], [mouth, self.height - t * cos]];
        if self.radius == 0.0 {
            let half = Angle::from_degrees(self.angle.degrees() / 2.0);
            let below = [foot - t * half.tan(), -t];
            return [[foot, 0.0], [foot, 0.0], edge[0], edge[1], below, below];
        }
        let bent = |r: f64| [foot - r * sin, self.radius - r * cos];
        let below = [foot, -t];
        [[foot, 0.0], bent(self.radius), edge[0], edge[1], bent(self.radius + t), below]
    }

    /// Its section in places no farther apart than a step, mm, on both sides of the lip: radius,
    /// and height above the side it projects from.
    pub(crate) fn side_of_lip(&self, step: f64) -> Vec<[f64; 2]> {
        let section = self.section();
        let mut places = Vec::new();
        for [a, b] in [[1, 2], [2, 3], [3, 4]].map(|of| of.map(|i: usize| section[i])) {
            let count = (num::hypot(b[0] - a[0], b[1] - a[1]) / step).ceil().max(1.0) as u32;
            let shares = (0..=count).map(|i| f64::from(i) / f64::from(count));
            places.extend(shares.map(|s| [a[0] + (b[0] - a[0]) * s, a[1] + (b[1] - a[1]) * s]));
        }
        for own in [self.radius, self.radius + self.thickness] {
            let long = own * self.angle.radians();
            let count = if self.radius > 0.0 { (long / step).ceil() as u32 } else { 0 };
            places.extend((1..count).map(|i| {
                let share = f64::from(i) / f64::from(count);
                let angle = Angle::from_degrees(self.angle.degrees() * share);
                [self.outside / 2.0 - own * angle.sin(), self.radius - own * angle.cos()]
            }));
        }
        places
    }

    /// The radii of the mid-surface of the sheet where the cone begins and at the edge of the lip.
    fn middle(&self) -> [f64; 2] {
        let [_, foot, outer, inner, below, _] = self.section().map(|[radius, _]| radius);
        [(foot + below) / 2.0, (outer + inner) / 2.0]
    }

    /// The contribution of a radius at the foot to the mid-surface: the difference of the squares
    /// of the radii of the plain ring of the same area, mm².
    fn bent(&self) -> f64 {
        let (foot, middle) = (self.outside / 2.0, self.radius + self.thickness / 2.0);
        2.0 * middle * (foot * self.angle.radians() - middle * (1.0 - self.angle.cos()))
    }

    /// The diameter to cut, by common practice: the mid-surface of the sheet keeps its area, and
    /// the sheet its thickness. `None` if there is not enough metal.
    pub fn pilot(&self) -> Option<f64> {
        let [foot, edge] = self.middle();
        let cone = (foot * foot - edge * edge) / self.angle.cos();
        let square = match self.radius > 0.0 {
            true => self.outside * self.outside / 4.0 - self.bent() - cone,
            false => foot * foot - cone,
        };
        (square > 0.0).then(|| 2.0 * square.sqrt())
    }

    /// By how much the edge of a hole of a diameter becomes longer.
    pub fn stretch(&self, pilot: f64) -> f64 {
        2.0 * self.middle()[1] / pilot - 1.0
    }

    /// The volume the solid loses by it, mm³, where a hole of a diameter is cut: the lip is of the
    /// same thickness, and not of quite the same volume.
    pub fn loss(&self, pilot: f64) -> f64 {
        let [_, foot, outer, inner, below, _] = self.section();
        // The metal between two radii that depend on the height, by the frusta they bound, and by
        // the two rounds at the foot.
        let chain = [below, inner, outer, foot];
        let frustum = |two: &[[f64; 2]]| {
            let ([a, low], [b, high]) = (two[0], two[1]);
            (high - low) * (a * a + a * b + b * b) / 3.0
        };
        let cones: f64 = chain.windows(2).map(frustum).sum();
        let rounds = match self.radius > 0.0 {
            true => self.round(self.radius + self.thickness) - self.round(self.radius),
            false => 0.0,
        };
        let void = cones + rounds;
        num::PI * (void - pilot * pilot / 4.0 * self.thickness)
    }

    /// The integral of the square of the radius over the height, along the rounding at the foot,
    /// from the sheet on, mm³.
    fn round(&self, own: f64) -> f64 {
        let (foot, a) = (self.outside / 2.0, self.angle);
        let rise = 1.0 - a.cos();
        let square = (a.radians() - a.sin() * a.cos()) / 2.0;
        let cube = rise - (1.0 - a.cos() * a.cos() * a.cos()) / 3.0;
        own * (foot * foot * rise - 2.0 * foot * own * square + own * own * cube)
    }

    /// The forming instruction, in words: `form flare Ø40 inside, Ø60 outside, 6 high at 40°, on
    /// the top side`.
    pub(crate) fn words(&self, show: &dyn Fn(f64) -> String) -> String {
        let radius = match self.radius > 0.0 {
            true => format!(", R{} at its foot", show(self.radius)),
            false => String::new(),
        };
        format!(
            "form flare Ø{} inside, Ø{} outside, {} high at {}°{radius}, on the {}",
            show(self.inside),
            show(self.outside),
            show(self.height),
            num::text(self.angle.degrees(), 1),
            self.side.word()
        )
    }
}

/// The flare of a set whose holes are round with this final diameter; an inner `None` if it has no
/// flare, `None` after a finding.
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
    let thickness = values.known("thickness")?;
    let height = values.length(&flare.height)?;
    let show = |mm: f64| values.params.units().length(mm);
    if height < LOWEST * thickness {
        let [is, needed] = [height, LOWEST * thickness].map(show);
        let headline = format!("a flare {is} high is lower than half the thickness, {needed}");
        return refuse(headline, "make it higher, or leave it out", flare.span, values);
    }
    let radius = match &flare.radius {
        Some(radius) => rounded(radius, height, thickness, values)?,
        None => 0.0,
    };
    let lip = Lip { height, thickness, radius };
    let (outside, angle) = foot(flare, inside, &lip, values)?;
    let built = Flare { inside, outside, height, angle, radius, thickness, side: flare.side };
    if radius > 0.0 && radius + thickness >= outside / 2.0 {
        let headline = format!(
            "R{} at the foot of a flare of Ø{} would meet in its centre",
            show(radius),
            show(outside)
        );
        let help = format!("make it less than {}", show(outside / 2.0 - thickness));
        return refuse(headline, &help, flare.span, values);
    }
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

/// The diameter of the foot of a lip, and its angle; one follows from the other.
fn foot(flare: &recipe::Flare, inside: f64, lip: &Lip, values: &Values) -> Option<(f64, Angle)> {
    let show = |mm: f64| values.params.units().length(mm);
    match &flare.reach {
        Reach::Angle(angle) => {
            let degrees = values.number(angle, Dimension::ANGLE)?;
            if !(ANGLES[0]..=ANGLES[1]).contains(&degrees) {
                let what = format!("of {}°", num::text(degrees, 1));
                let nearest = degrees.clamp(ANGLES[0], ANGLES[1]);
                let help = format!("write `angle = \"{nearest} deg\"`");
                return shaped(&what, degrees > nearest, &help, angle.span, values);
            }
            let angle = Angle::from_degrees(degrees);
            if degrees > lip.steepest() {
                return all_round(lip, angle, flare, values);
            }
            Some((inside + 2.0 * lip.reach(angle), angle))
        }
        Reach::Outside(outside) => {
            let wide = values.length(outside)?;
            let [max, min] =
                lip.angles().map(|degrees| inside + 2.0 * lip.reach(Angle::from_degrees(degrees)));
            if !(min..=max).contains(&wide) {
                let [low, high] = [min, max].map(show);
                let what = format!(
                    "from Ø{} to Ø{}, {} high,",
                    show(inside),
                    show(wide),
                    show(lip.height)
                );
                let help = format!("make `outside` between {low} and {high}, or change the height");
                return shaped(&what, wide < min, &help, outside.span, values);
            }
            Some((wide, lip.rise((wide - inside) / 2.0)))
        }
    }
}

fn refuse<T>(headline: String, help: &str, span: Span, values: &Values) -> Option<T> {
    values.findings.add(Finding::stop("flare", headline).at(span, "").help(help.to_owned()));
    None
}

/// Refuses a lip that is too steep or too flat, and says why.
fn shaped<T>(what: &str, steep: bool, help: &str, span: Span, values: &Values) -> Option<T> {
    let [low, high] = ANGLES;
    let headline = format!("the lip angle of a flare {what} is not between {low}° and {high}°");
    let why = match steep {
        true => format!(
            "beyond {high}° it is a drawn collar: its metal thins, and the pilot of a flare, \
             which keeps its thickness, would come out wrong"
        ),
        false => format!("below {low}° it is a dimple, not a lip"),
    };
    let finding = Finding::stop("flare", headline).at(span, "").note(why);
    values.findings.add(finding.help(help.to_owned()));
    None
}

/// The radius at the foot of a lip: more than none, and no more than leaves a straight lip at the
/// flattest angle.
fn rounded(radius: &Expr, height: f64, thickness: f64, values: &Values) -> Option<f64> {
    let mm = values.length(radius)?;
    let show = |mm: f64| values.params.units().length(mm);
    let max = Lip { height, thickness, radius: mm }.largest(Angle::from_degrees(ANGLES[0]));
    if mm > 0.0 && mm <= max {
        return Some(mm);
    }
    let headline = match mm > 0.0 {
        true => format!("a flare {} high has no straight lip beyond R{}", show(height), show(mm)),
        false => "the radius at the foot of a flare must be more than 0".to_owned(),
    };
    let help = format!(
        "make it more than 0 and no more than {}, or leave it out: the foot is sharp then",
        show(max)
    );
    refuse(headline, &help, radius.span, values)
}

/// Refuses a radius that leaves no straight lip at its angle.
fn all_round<T>(lip: &Lip, angle: Angle, flare: &recipe::Flare, values: &Values) -> Option<T> {
    let show = |mm: f64| values.params.units().length(mm);
    let headline = format!(
        "a flare {} high at {}° has no straight lip beyond R{}",
        show(lip.height),
        num::text(angle.degrees(), 1),
        show(lip.radius)
    );
    let help = format!("make the radius {} or less, or the flare higher", show(lip.largest(angle)));
    refuse(headline, &help, flare.span, values)
}

/// The dimension that defines a lip beside its angle, mm.
struct Lip {
    height: f64,
    thickness: f64,
    radius: f64,
}

impl Lip {
    /// The height that radius and straight lip share.
    fn shared(&self) -> f64 {
        self.height - STRAIGHT * self.thickness
    }

    /// The largest radius that leaves a straight lip at an angle, rounded down to hundredths.
    fn largest(&self, angle: Angle) -> f64 {
        (self.shared() / (1.0 - angle.cos()) * 100.0).floor() / 100.0
    }

    /// The steepest angle at which the radius leaves a straight lip, degrees.
    fn steepest(&self) -> f64 {
        let cos = 1.0 - self.shared() / self.radius.max(self.shared() / 2.0);
        num::acos(cos.max(-1.0)).degrees().min(ANGLES[1])
    }

    /// The angles at which it may rise, degrees.
    fn angles(&self) -> [f64; 2] {
        [ANGLES[0], self.steepest().max(ANGLES[0])]
    }

    /// How far it reaches in from its foot to its mouth, seen square to the sheet, mm.
    fn reach(&self, angle: Angle) -> f64 {
        let half = Angle::from_degrees(angle.degrees() / 2.0);
        self.height / angle.tan() + self.thickness * angle.sin() + self.radius * half.tan()
    }

    /// The angle at which it reaches this far in: the less, the steeper it is.
    fn rise(&self, wanted: f64) -> Angle {
        let [mut low, mut high] = self.angles();
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            let is_flatter = self.reach(Angle::from_degrees(middle)) > wanted;
            if is_flatter { low = middle } else { high = middle }
        }
        Angle::from_degrees(f64::midpoint(low, high))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 45°, 6 mm high in 2 mm: the reach is 6 + √2. The mid-surface of the sheet runs from the
    /// foot, 30 − tan 22.5° on the way in, to the mouth of 30 − 6 − √2 and √2 / 2 more.
    #[test]
    fn a_flare_of_45_degrees_by_hand() {
        let root = 2.0_f64.sqrt();
        let angle = Angle::from_degrees(45.0);
        let inside = 60.0 - 2.0 * (6.0 + root);
        let (height, thickness, radius, side) = (6.0, 2.0, 0.0, Side::Up);
        let flare = Flare { inside, outside: 60.0, height, angle, radius, thickness, side };
        let lip = Lip { height, thickness, radius };
        assert!((lip.reach(angle) - 6.0 - root).abs() < 1e-12);
        assert!((lip.rise(6.0 + root).degrees() - 45.0).abs() < 1e-9);
        let [foot, edge] = [30.0 - (root - 1.0), 24.0 - root / 2.0];
        let kept = foot * foot - (foot * foot - edge * edge) * root;
        let pilot = flare.pilot().expect("there is metal");
        assert!((pilot * pilot / 4.0 - kept).abs() < 1e-9, "{pilot}");
        assert!(pilot < inside);
        assert!((flare.stretch(pilot) - (2.0 * edge / pilot - 1.0)).abs() < 1e-12);
    }

    /// The same with R4 at its foot: 4 tan 22.5° wider. The neutral arc of R5 turns in from the
    /// foot to 5 / √2 beside it; its area is by Guldin's rule.
    #[test]
    fn a_flare_with_a_radius_by_hand() {
        let root = 2.0_f64.sqrt();
        let angle = Angle::from_degrees(45.0);
        let (height, thickness, radius, side) = (6.0, 2.0, 4.0, Side::Down);
        let lip = Lip { height, thickness, radius };
        let reach = 6.0 + root + 4.0 * (root - 1.0);
        assert!((lip.reach(angle) - reach).abs() < 1e-12);
        assert!((lip.rise(reach).degrees() - 45.0).abs() < 1e-9);
        let inside = 80.0 - 2.0 * reach;
        let flare = Flare { inside, outside: 80.0, height, angle, radius, thickness, side };
        let section = flare.section();
        // All corners of the lip are in line, and the edge is as thick as the sheet.
        let along = [1, 4].map(|i| {
            let [[r, h], [s, k]] = [section[i], section[if i == 1 { 2 } else { 3 }]];
            (k - h) / (r - s)
        });
        assert!(along.iter().all(|slope| (slope - 1.0).abs() < 1e-12), "{along:?}");
        let arc = 5.0 * num::PI / 4.0;
        let centroid = 40.0 - 5.0 * (1.0 - root / 2.0) / (num::PI / 4.0);
        let [begin, edge] = [40.0 - 5.0 / root, 40.0 - reach + root / 2.0];
        let kept = 1600.0 - 2.0 * arc * centroid - (begin * begin - edge * edge) * root;
        let pilot = flare.pilot().expect("there is metal");
        assert!((pilot * pilot / 4.0 - kept).abs() < 1e-9, "{pilot}");
    }

    /// The volume by a fine sum over the section, of sharp and of rounded feet.
    #[test]
    fn the_loss_is_that_of_the_section() {
        for radius in [0.0, 1.5, 6.0] {
            let angle = Angle::from_degrees(40.0);
            let (height, thickness, side) = (5.0, 1.5, Side::Up);
            let inside = 50.0;
            let outside = inside + 2.0 * Lip { height, thickness, radius }.reach(angle);
            let flare = Flare { inside, outside, height, angle, radius, thickness, side };
            let section = flare.section();
            // The metal by Guldin's rule, over the outline from the foot round the lip.
            let mut outline = Vec::new();
            let arc = |own: f64, from: f64, to: f64, outline: &mut Vec<[f64; 2]>| {
                for i in 0..=2000 {
                    let a = Angle::from_degrees(from + (to - from) * f64::from(i) / 2000.0);
                    outline.push([outside / 2.0 - own * a.sin(), radius - own * a.cos()]);
                }
            };
            outline.push([outside / 2.0 + 9.0, 0.0]);
            if radius > 0.0 {
                arc(radius, 0.0, 40.0, &mut outline)
            }
            outline.extend(&section[1..5]);
            if radius > 0.0 {
                arc(radius + thickness, 40.0, 0.0, &mut outline)
            }
            outline.push([outside / 2.0 + 9.0, -thickness]);
            let mut volume = 0.0;
            for (i, [r, h]) in outline.iter().enumerate() {
                let [s, k] = outline[(i + 1) % outline.len()];
                volume += (k - h) * (r * r + r * s + s * s) / 3.0 * num::PI;
            }
            let far = outside / 2.0 + 9.0;
            let plate = num::PI * (far * far - 400.0) * thickness;
            assert!((plate - volume.abs() - flare.loss(40.0)).abs() < 1e-3, "{radius}: {volume}");
        }
    }
}
