//! Sections of tools by kind and a few dimensions, for users who do not draw them.
//!
//! Where a dimension is left out, the section is as large as such a tool is commonly: a part that
//! clears it clears a smaller one.

use crate::geom::Outline;
use crate::geom::OutlineError;
use crate::geom::Vertex;
use crate::num;
use crate::num::Angle;

/// From the opening of a V to the side of its die, mm: common practice.
const SHOULDER: f64 = 12.0;

/// The default angle of a V: common practice for air bending.
pub(super) const V_ANGLE: f64 = 80.0;

/// Height of a die, mm: common practice.
const DIE_HEIGHT: f64 = 60.0;

/// A block that clamps or carries the sheet: a beam, a finger, a jaw or a bed. Lengths are mm.
#[derive(Clone, Copy, Debug)]
pub(super) struct Block {
    /// From its front backwards.
    pub(super) depth: f64,
    /// From the sheet.
    pub(super) height: f64,
    /// Between its front and the sheet.
    pub(super) nose: Angle,
    /// Depth of the slope of its front.
    pub(super) face: f64,
}

impl Block {
    /// On the sheet, or below it.
    pub(super) fn section(&self, above: bool) -> Result<Outline, OutlineError> {
        let way = if above { 1.0 } else { -1.0 };
        let steep = self.nose.degrees() >= 90.0;
        let slope = if steep { 0.0 } else { self.nose.sin() / self.nose.cos() };
        let face = self.face.min(self.depth).min(if steep { 0.0 } else { self.height / slope });
        let rise = face * slope;
        let mut corners = vec![[0.0, 0.0]];
        if face > 0.0 {
            corners.push([-face, way * rise]);
        }
        if rise < self.height && face < self.depth {
            corners.push([-face, way * self.height]);
        }
        if face < self.depth {
            corners.extend([[-self.depth, way * self.height], [-self.depth, 0.0]]);
        } else {
            corners.push([-self.depth, 0.0]);
        }
        outline(&corners)
    }
}

/// The leaf of a folding brake, by how far it reaches under the flange and its thickness, mm.
pub(super) fn leaf(depth: f64, thick: f64) -> Result<Outline, OutlineError> {
    outline(&[[0.0, 0.0], [depth, 0.0], [depth, -thick], [0.0, -thick]])
}

/// The ram or the bed of a press brake, by its thickness and height, mm; above its origin, or below.
pub(super) fn slab(thick: f64, height: f64, above: bool) -> Result<Outline, OutlineError> {
    let (half, far) = (thick / 2.0, if above { height } else { -height });
    outline(&[[-half, 0.0], [half, 0.0], [half, far], [-half, far]])
}

/// A die by the opening and the angle of its V, and its height, mm. If the height was measured and
/// leaves no room for the whole V, that has a flat bottom; else the die is as high as its V
/// requires.
pub(super) fn die(v: f64, angle: Angle, height: Option<f64>) -> Result<Outline, OutlineError> {
    let half = Angle::from_degrees(angle.degrees() / 2.0);
    let (mouth, side) = (v / 2.0, v / 2.0 + SHOULDER);
    let deep = mouth * half.cos() / half.sin();
    let full = deep + SHOULDER;
    let height = height.unwrap_or(DIE_HEIGHT.max(full));
    let mut corners = vec![[-side, 0.0], [-mouth, 0.0]];
    if height < full {
        let (bottom, half) = (SHOULDER - height, mouth * (full - height) / deep);
        corners.extend([[-half, bottom], [half, bottom]]);
    } else {
        corners.push([0.0, -deep]);
    }
    corners.extend([[mouth, 0.0], [side, 0.0], [side, -height], [-side, -height]]);
    outline(&corners)
}

/// A straight punch. Lengths are mm.
#[derive(Clone, Copy, Debug)]
pub(super) struct Straight {
    /// Of its tip.
    pub(super) angle: Angle,
    /// Radius of its nose.
    pub(super) nose: f64,
    /// Thickness of its body.
    pub(super) body: f64,
    /// From tip to top.
    pub(super) height: f64,
}

impl Straight {
    pub(super) fn section(&self) -> Result<Outline, OutlineError> {
        let [tip, half] = [self.tip(), self.body / 2.0];
        let rise = (half - tip) * self.slope();
        let mut corners = if tip > 0.0 { vec![[-tip, 0.0], [tip, 0.0]] } else { vec![[0.0, 0.0]] };
        corners.extend([[half, rise], [half, self.height], [-half, self.height], [-half, rise]]);
        outline(&corners)
    }

    /// Half the flat that represents a round nose: where the tangents of its flanks meet the sheet.
    fn tip(&self) -> f64 {
        let lean = Angle::from_degrees((90.0 - self.angle.degrees() / 2.0) / 2.0);
        self.nose * lean.sin() / lean.cos()
    }

    /// How far a flank rises for each mm outwards.
    fn slope(&self) -> f64 {
        let half = Angle::from_degrees(self.angle.degrees() / 2.0);
        half.cos() / half.sin()
    }
}

/// A gooseneck punch: `throat` is how far its front is set back from the tip, mm. Its shape is that
/// of the demo's, as thick behind its throat.
pub(super) fn gooseneck(throat: f64, neck: f64, height: f64) -> Result<Outline, OutlineError> {
    let [low, high, top] = [0.41, 0.73, 1.0].map(|share| share * height);
    let back = throat + neck;
    outline(&[
        [0.0, 0.0],
        [8.0, 10.0],
        [-throat, low],
        [-throat, high],
        [12.0, top],
        [-12.0, top],
        [-back, high],
        [-back, low],
        [-8.0, 10.0],
    ])
}

/// Whether a section has the opening of a die: air at its centre, metal on either side.
pub(super) fn has_v(section: &Outline, v: f64) -> bool {
    let at = |across: f64, down: f64| section.contains(crate::geom::Point::new(across, -down));
    let (side, within) = (v / 2.0 + BESIDE, 0.4 * v);
    let open = [-within, 0.0, within].into_iter().all(|across| !at(across, v / 50.0));
    open && !at(0.0, v / 8.0) && at(-side, BESIDE) && at(side, BESIDE)
}

/// How far from the edge of an opening its metal is sought, mm. Our choice.
const BESIDE: f64 = 0.5;

/// A section as a shop file has it.
pub(super) fn written(section: &Outline) -> String {
    let corner = |vertex: &Vertex| {
        format!("[\"{} mm\", \"{} mm\"]", num::text(vertex.at.x, 2), num::text(vertex.at.y, 2))
    };
    let corners: Vec<String> = section.vertices().iter().map(corner).collect();
    format!("[{}]", corners.join(", "))
}

fn outline(corners: &[[f64; 2]]) -> Result<Outline, OutlineError> {
    Outline::new(corners.iter().map(|[u, v]| Vertex::sharp(*u, *v)))
}
