//! The remaining welds and bevels of a face once metal is removed from it.

use crate::geom::Edge;
use crate::geom::NEAR;
use crate::geom::Region;
use crate::part::bevel::Bevel;
use crate::part::edges::of_openings;
use crate::part::edges::surviving;
use crate::part::face::Face;
use crate::part::face::NamedEdge;
use crate::part::face::Weld;
use crate::part::zone::Worked;
use crate::part::zone::Zone;

/// A weld along the rest of its edge on a blank; `None` if nothing is left.
pub(super) fn weld(weld: &Weld, blank: &Region) -> Option<Weld> {
    let stretches = along(&weld.stretches, blank);
    (!stretches.is_empty()).then(|| Weld { stretches, ..weld.clone() })
}

/// A bevel along the rest of its edge on a blank; `None` if nothing is left.
pub(super) fn bevel(bevel: &Bevel, blank: &Region) -> Option<Bevel> {
    let stretches = along(&bevel.stretches, blank);
    (!stretches.is_empty()).then(|| Bevel { stretches, ..bevel.clone() })
}

/// The welds and bevels of a face along the ends of a bend drawn across it.
pub(super) fn worked(face: &Face, zone: &Zone) -> Vec<Worked> {
    let Ok(outline) = zone.outline() else { return Vec::new() };
    let metal = Region::solid(outline);
    let welds = face.welds.iter().map(|weld| ("weld", &weld.edge, &weld.stretches));
    let bevels = face.bevels.iter().map(|bevel| ("bevel", &bevel.edge, &bevel.stretches));
    let worked = welds.chain(bevels).map(|(what, edge, stretches)| {
        let length = along(stretches, &metal).iter().map(Edge::length).sum();
        Worked { what, edge: edge.clone(), length }
    });
    worked.filter(|worked| worked.length > NEAR).collect()
}

/// The rest of some edges on a blank, with the metal on their left.
pub(crate) fn along(edges: &[Edge], blank: &Region) -> Vec<Edge> {
    let named = |e: &Edge| NamedEdge { name: String::new(), edge: *e, centre: e.from };
    let left = |e: &Edge| {
        let outer = surviving(&named(e), blank).into_iter().map(|left| left.edge);
        outer.chain(of_openings(e, blank)).collect::<Vec<Edge>>()
    };
    edges.iter().flat_map(left).collect()
}
