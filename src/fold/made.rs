//! A part with its bends made, wholly or in part.

use crate::bend;
use crate::flat::Flat;
use crate::fold::folded::Folded;
use crate::fold::folded::FoldedBend;
use crate::fold::folded::FoldedFace;
use crate::geom::Frame;
use crate::geom::Point;
use crate::num::Angle;
use crate::part::Part;

/// The bend angles of a part that is folded wholly.
pub fn full(part: &Part) -> Vec<Angle> {
    part.bends.iter().map(|b| b.bend.angle()).collect()
}

/// Folds a part. `angles` are the present angles of the bends, in the order of the part: 0 leaves
/// it flat, the bend's own angle finishes it, more than that overbends it. A bend beyond the end of
/// `angles` is finished.
pub fn fold(part: &Part, flat: &Flat, angles: &[Angle]) -> Folded {
    let (frames, bends) = frames(part, flat, angles);
    let faces = flat.faces.iter().zip(frames).enumerate();
    let faces =
        faces.map(|(face, (region, frame))| FoldedFace { face, frame, region: region.clone() });
    let strips = flat.bends.iter().map(|strip| strip.metal.moved(&strip.to_its_own()));
    Folded { faces: faces.collect(), bends, strips: strips.collect() }
}

/// Where the faces of a part lie, and its bends, as [`fold`] makes them.
pub fn frames(part: &Part, flat: &Flat, angles: &[Angle]) -> (Vec<Frame>, Vec<FoldedBend>) {
    let known = (vec![Frame::default(); part.faces.len()], Vec::new());
    moved(part, flat, (&known, &|_| true), angles)
}

/// The faces, and the bends.
type Laid = (Vec<Frame>, Vec<FoldedBend>);

/// The same where some are known: by the number of a bend, `moves` says whether it or the face it
/// starts from has moved meanwhile, or is made to another angle.
pub(crate) fn moved(
    part: &Part,
    flat: &Flat,
    ((known, strips), moves): (&Laid, &dyn Fn(usize) -> bool),
    angles: &[Angle],
) -> (Vec<Frame>, Vec<FoldedBend>) {
    let mut frames = known.clone();
    let mut bends = Vec::with_capacity(part.bends.len());
    for (i, (bend, strip)) in part.bends.iter().zip(&flat.bends).enumerate() {
        if !moves(i) {
            bends.push(strips[i]);
            continue;
        }
        let angle = angles.get(i).copied().unwrap_or_else(|| bend.bend.angle());
        let folded = FoldedBend::new(i, &frames[bend.from], strip, bend.up, angle);
        let end = folded.frame_at(1.0);
        let back = Point::ZERO - strip.ends.from;
        frames[bend.to] = Frame { origin: end.point(back.to_point(), 0.0), ..end };
        bends.push(folded);
    }
    (frames, bends)
}

/// What folding adds to the volume of a bend's strip, in mm³ for each mm² of it: the sheet
/// keeps its length in the neutral depth, which lies inside mid-thickness.
pub fn gain(bend: &bend::Bend) -> f64 {
    let (t, r) = (bend.thickness(), bend.radius());
    (bend.angle().radians() * (r + t / 2.0) / bend.allowance() - 1.0) * t
}
