//! A piece as its causes make it: how its bends came out, and where its faces lie.
//!
//! The blank is as it was cut, and every bend is made with its line in the centre of the bend. A
//! bend with a smaller allowance leaves more of the sheet to both faces; one whose line is off
//! takes from one what it gives to the other.

use crate::as_built::target;
use crate::fold::FoldedBend;
use crate::geom::Frame;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::num::Angle;
use crate::part::Part;
use crate::solve::Solved;

/// How one bend came out. Lengths are mm.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bent {
    pub(super) angle: Angle,
    pub(super) radius: f64,
    pub(super) thickness: f64,
    /// Length of flat sheet in it.
    pub(super) allowance: f64,
    /// Whether its legs are measured to the mould line, where it is drawn with 90° or less; beyond
    /// that they are measured to the outside of the bend.
    pub(super) is_sharp: bool,
    /// How much farther than drawn the flat metal of the face it starts from reaches, and of the
    /// face it carries.
    pub(super) reach: [f64; 2],
}

impl Bent {
    /// From the end of an outside leg back to where the bend begins.
    pub(super) fn setback(&self) -> f64 {
        let half = Angle::from_degrees(self.angle.degrees() / 2.0).tan();
        let share = if self.is_sharp { half } else { 1.0 };
        share * (self.radius + self.thickness)
    }
}

/// Where the faces of a piece lie.
pub(super) fn frames(solved: &Solved, bent: &[Bent]) -> Vec<Frame> {
    let Part { faces, bends, .. } = &solved.part;
    let mut frames = vec![Frame::default(); faces.len()];
    for (i, ((bend, strip), is)) in bends.iter().zip(&solved.flat.bends).zip(bent).enumerate() {
        let standing = frames[bend.from];
        let out = target::out(&strip.begins);
        let start = Frame {
            origin: standing.point(strip.begins.to + out * is.reach[0], 0.0),
            x: standing.direction(-strip.begins.direction_at_start()),
            y: standing.direction(out),
            z: standing.z,
        };
        let folded = FoldedBend {
            bend: i,
            start,
            width: strip.begins.length(),
            area: strip.area,
            allowance: is.allowance,
            thickness: is.thickness,
            up: bend.up,
            angle: is.angle,
            radius: is.radius,
        };
        let end = folded.frame_at(1.0);
        // The face that a bend carries is drawn along it, its metal above.
        let back = Point::ZERO - (strip.ends.from - Vec2::new(0.0, is.reach[1]));
        frames[bend.to] = Frame { origin: end.point(back.to_point(), 0.0), ..end };
    }
    frames
}
