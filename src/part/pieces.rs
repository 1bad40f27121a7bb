//! A face divided into faces, with all that is on each.

use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::part::bevel::Bevel;
use crate::part::edges::surviving;
use crate::part::face::Face;
use crate::part::face::Hole;
use crate::part::face::Mark;
use crate::part::face::Marked;
use crate::part::face::NamedEdge;
use crate::part::face::Weld;
use crate::part::left;
use crate::part::lightened::Lighten;

/// The pieces of a face within outlines, in its own drawing; `blank` is its metal with the cut-outs
/// they keep. Data of the whole face, such as its files, are given to the first.
pub(super) fn divided(face: &Face, blank: &Region, outlines: &[Outline]) -> Vec<Face> {
    let nearest = |at: Point| {
        let off = |o: &Outline| if o.contains(at) { 0.0 } else { o.distance(at) };
        let all = outlines.iter().enumerate();
        all.min_by(|a, b| off(a.1).total_cmp(&off(b.1))).map(|(i, _)| i)
    };
    let piece = |(i, outline): (usize, &Outline)| {
        let region = within(blank, outline);
        let named = |edges: &[NamedEdge]| {
            edges.iter().flat_map(|edge| surviving(edge, &region)).collect::<Vec<_>>()
        };
        let is_here = |at: Point| nearest(at) == Some(i);
        let first = i == 0;
        Face {
            name: face.name.clone(),
            edges: named(&face.edges),
            arcs: named(&face.arcs),
            holes: face.holes.iter().filter(|hole| is_here(hole.at)).cloned().collect(),
            lighten: face.lighten.iter().filter(|l| may_lighten(l, &region)).cloned().collect(),
            lightened: Vec::new(),
            marks: face.marks.iter().filter(|mark| is_here(at(mark))).cloned().collect(),
            welds: face.welds.iter().filter_map(|weld| left::weld(weld, &region)).collect(),
            bevels: face.bevels.iter().filter_map(|bevel| left::bevel(bevel, &region)).collect(),
            beads: face.beads.iter().filter(|bead| is_here(bead.line[0])).cloned().collect(),
            obstacles: face.obstacles.clone(),
            bend_lines: face.bend_lines.clone(),
            files: if first { face.files.clone() } else { Vec::new() },
            idle: if first { face.idle.clone() } else { Vec::new() },
            copes: face.copes.clone(),
            tongues: face.tongues.clone(),
            blank: region,
        }
    };
    outlines.iter().enumerate().map(piece).collect()
}

/// An outline with those openings of a region that lie in it.
fn within(blank: &Region, outline: &Outline) -> Region {
    let here = blank.holes().iter().filter(|hole| outline.contains(hole.vertices()[0].at));
    let solid = Region::solid(outline.clone());
    // They are separate already.
    here.fold(solid, |region, hole| region.clone().pierced(hole.clone()).unwrap_or(region))
}

/// Where a mark is.
fn at(mark: &Mark) -> Point {
    match &mark.what {
        Marked::Words(..) => mark.place.apply(Point::ZERO),
        Marked::Strokes(strokes) => {
            let first = strokes.iter().flatten().next();
            mark.place.apply(first.map_or(Point::ZERO, |edge| edge.point_at(0.5)))
        }
    }
}

fn may_lighten(lighten: &Lighten, region: &Region) -> bool {
    let meets = |within: &Outline| within.bounds().distance(&region.bounds()) == 0.0;
    lighten.within.as_ref().is_none_or(meets)
}

impl Face {
    /// The same elsewhere, or mirrored. A face that a bend carries is drawn from the midpoint of
    /// its edge, so that flipping every face alone flips the whole part.
    pub(super) fn moved(&self, place: &Place) -> Self {
        // Metal stays on the left of travel.
        let edge = |e: &Edge| match place.mirrored {
            true => e.moved(place).reversed(),
            false => e.moved(place),
        };
        let edges = |all: &[Edge]| all.iter().map(edge).collect();
        let named = |e: &NamedEdge| NamedEdge {
            name: e.name.clone(),
            edge: edge(&e.edge),
            centre: place.apply(e.centre),
        };
        let hole =
            |h: &Hole| Hole { outline: h.outline.moved(place), at: place.apply(h.at), ..h.clone() };
        let weld = |w: &Weld| Weld { stretches: edges(&w.stretches), ..w.clone() };
        let bevel = |b: &Bevel| Bevel { stretches: edges(&b.stretches), ..b.clone() };
        Self {
            name: self.name.clone(),
            blank: self.blank.moved(place),
            edges: self.edges.iter().map(named).collect(),
            arcs: self.arcs.iter().map(named).collect(),
            holes: self.holes.iter().map(hole).collect(),
            lighten: self.lighten.iter().map(|lighten| lighten.moved(place)).collect(),
            lightened: self.lightened.clone(),
            marks: self.marks.iter().map(|mark| mark.moved(place)).collect(),
            welds: self.welds.iter().map(weld).collect(),
            bevels: self.bevels.iter().map(bevel).collect(),
            beads: self.beads.iter().map(|bead| bead.moved(place)).collect(),
            obstacles: self.obstacles.iter().map(|of| of.moved(place)).collect(),
            bend_lines: self.bend_lines.iter().map(|line| line.moved(place)).collect(),
            files: self.files.clone(),
            idle: self.idle.clone(),
            copes: self.copes.iter().map(|cope| cope.moved(place)).collect(),
            tongues: self.tongues.iter().map(|tongue| tongue.moved(place)).collect(),
        }
    }
}
