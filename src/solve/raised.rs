//! Formed features of a plate, where another plate lies on it.

use crate::diag::About;
use crate::diag::Finding;
use crate::diag::Span;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::edges_distance;
use crate::part::Face;
use crate::recipe::Side;
use crate::solve::on_sheets::seen;
use crate::solve::solved::Solved;

/// A lip or a bead on one side of a face.
struct RaisedFeature {
    words: String,
    /// Its centre, or the lines of its centre.
    from: Point,
    lines: Vec<Edge>,
    /// Half its width all round, mm.
    half: f64,
    span: Span,
}

/// Lips and beads of a plate that another lies on, or of that other plate: the top side of the
/// lower and the lower side of the upper one are to be flat where they meet.
pub(super) fn between(solved: &[Solved]) -> Vec<Finding> {
    let mut found = Vec::new();
    for upper in solved {
        let Some(laid) = &upper.part.laid else { continue };
        for lower in solved {
            let Some((below, place)) = seen(upper, lower) else { continue };
            let below = &lower.part.faces[below];
            let above = &upper.part.faces[0];
            let stands = standing(below, Side::Up, &Place::default());
            let hangs = standing(above, Side::Down, &place);
            let covered = stands.into_iter().filter(|one| one.meets(above, &place));
            let resting = hangs.into_iter().filter(|one| one.meets(below, &Place::default()));
            found.extend(covered.chain(resting).map(|one| {
                let headline = format!(
                    "{} stands out between face `{}` and what lies on it",
                    one.words, laid.on
                );
                Finding::stop("laid-plate", headline)
                    .about(About::part(&upper.name))
                    .at(one.span, "")
                    .at(laid.span, "it is placed here")
                    .help("form it on the other side, move the plate, or cut it out there")
            }));
        }
    }
    found
}

/// The projections on a side of a face, in the drawing of another by its placement.
fn standing(face: &Face, side: Side, place: &Place) -> Vec<RaisedFeature> {
    let lips = face.holes.iter().filter_map(|hole| {
        let flare = hole.flare.filter(|flare| flare.side == side)?;
        Some(RaisedFeature {
            words: format!("the flare of hole `{}`", hole.name),
            from: place.apply(hole.at),
            lines: Vec::new(),
            half: flare.outside / 2.0,
            span: hole.span,
        })
    });
    let beads = face.beads.iter().filter(|bead| bead.side == side).map(|bead| RaisedFeature {
        words: format!("bead `{}`", bead.name),
        from: place.apply(bead.line[0]),
        lines: bead.edges().iter().map(|edge| edge.moved(place)).collect(),
        half: bead.width / 2.0,
        span: bead.span,
    });
    lips.chain(beads).collect()
}

impl RaisedFeature {
    /// Whether the metal of a face that a place brings here touches it.
    fn meets(&self, face: &Face, place: &Place) -> bool {
        let openings = face.holes.iter().map(|hole| &hole.outline).chain(face.blank.holes());
        let moved = |outline: &Outline| outline.moved(place);
        let (outer, openings) =
            (moved(face.blank.outer()), openings.map(moved).collect::<Vec<_>>());
        let is_within = outer.contains(self.from);
        let is_in_opening = openings.iter().any(|opening| opening.contains(self.from));
        let near = |outline: &Outline| self.distance(outline) < self.half;
        (is_within && !is_in_opening) || near(&outer) || openings.iter().any(near)
    }

    fn distance(&self, outline: &Outline) -> f64 {
        edges_distance(outline.edges(), &self.lines).min(outline.distance(self.from).abs())
    }
}
