//! The offset of two parallel faces as a size of the picture: square to them, over both outsides.

use crate::drawings::offsets::Offset;
use crate::drawings::offsets::offsets;
use crate::geom::Bounds;
use crate::geom::Frame;
use crate::geom::Point;
use crate::geom::Space;
use crate::geom::Vec2;
use crate::geom::dot;
use crate::geom::length;
use crate::geom::minus;
use crate::geom::plus;
use crate::geom::times;
use crate::job::Job;
use crate::paper::Size;
use crate::paper::figure_text;
use crate::solve::Solved;
use crate::view::Sight;

/// Places at which an offset is tried. Our choice.
const FEW: usize = 8;

/// The offsets that no side of a face shows: those of ramps at a slant.
pub(super) fn sizes(job: &Job, solved: &Solved, sight: &Sight) -> Vec<Size> {
    let all = offsets(solved).into_iter().filter(|offset| offset.is_slanting(&solved.part));
    all.map(|offset| size(job, solved, sight, &offset)).collect()
}

/// A corner of one of the faces, across from it in the plane of the other, and the corner of the
/// other nearest to that.
struct Way {
    ends: [Space; 2],
    metal: Space,
    out: Space,
}

fn size(job: &Job, solved: &Solved, sight: &Sight, offset: &Offset) -> Size {
    let camera = &sight.camera;
    let mut ways: Vec<Way> = Vec::new();
    for [own, other] in [offset.faces, [offset.faces[1], offset.faces[0]]] {
        ways.extend(from(solved, own, other, offset.mm));
    }
    // What is measured is seen at both ends.
    ways.retain(|way| !sight.hides(way.ends[0]) && !sight.hides(way.metal));
    let far = |way: &Way| length(minus(way.metal, way.ends[1]));
    ways.sort_by(|a, b| far(a).total_cmp(&far(b)));
    let paper = |p: Space| camera.paper(p);
    let of = |way: &Way| {
        let out = paper(way.out).to_vec2();
        let seen = out.hypot() > 0.2;
        seen.then(|| (way.ends.map(paper), out.normalize(), [way.metal, way.ends[1]].map(paper)))
    };
    let ways: Vec<([Point; 2], Vec2, [Point; 2])> = ways.iter().take(FEW).filter_map(of).collect();
    Size {
        bridges: ways.iter().map(|(.., bridge)| *bridge).collect(),
        ways: ways.into_iter().map(|(ends, out, _)| (ends, out)).collect(),
        words: figure_text(job.units, offset.mm),
    }
}

/// From the corners of a face to the plane of the outside of another, mm away.
fn from(solved: &Solved, own: usize, other: usize, mm: f64) -> Vec<Way> {
    let face = |face: usize| {
        let found = solved.folded.faces.iter().find(|f| f.face == face);
        found.map(|found| (found.frame, found.region.bounds()))
    };
    let Some(((frame, bounds), (beside, others))) = face(own).zip(face(other)) else {
        return Vec::new();
    };
    let thickness = solved.part.thickness;
    let rise = dot(minus(beside.origin, frame.origin), frame.z);
    // The outsides face away from each other.
    let [outside, across] = if rise > 0.0 { [-thickness, 0.0] } else { [0.0, -thickness] };
    let up = times(frame.z, mm * rise.signum());
    let metal: Vec<Space> = corners(&others).map(|(p, _)| beside.point(p, across)).to_vec();
    let way = |(p, side): (Point, f64)| {
        let start = frame.point(p, outside);
        let end = plus(start, up);
        let off = |p: &Space| length(minus(*p, end));
        let nearest = metal.iter().copied().min_by(|a, b| off(a).total_cmp(&off(b)));
        let out = |frame: &Frame| frame.direction(Vec2::new(side, 0.0));
        Some(Way { ends: [start, end], metal: nearest?, out: out(&frame) })
    };
    corners(&bounds).into_iter().filter_map(way).collect()
}

/// The corners of a rectangle, each with the side across that it is on.
fn corners(bounds: &Bounds) -> [(Point, f64); 4] {
    let Bounds { min, max } = *bounds;
    [(min.x, min.y), (max.x, min.y), (max.x, max.y), (min.x, max.y)]
        .map(|(x, y)| (Point::new(x, y), if x == min.x { -1.0 } else { 1.0 }))
}
