//! A tab that is set round a tube, and how far from the tube its hole and its outer edge are.

use crate::geom::Edge;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::num;
use crate::num::Angle;
use crate::part::Face;
use crate::part::Part;
use crate::part::Weld;

/// A foot shorter than this gives no direction, mm.
const MIN: f64 = 0.1;

/// A quarter of a circle, degrees.
const QUARTER: f64 = 90.0;

/// Less than this, degrees, is rounding.
const ROUNDING: f64 = 1e-6;

/// A tab that is set round the tube.
#[derive(Clone, Debug)]
pub(crate) struct Tab {
    /// Its part.
    pub(crate) part: String,
    /// From the end of the tube, as cut.
    pub(crate) at: f64,
    /// Clockwise from the heel line, as seen from the start of the tube.
    pub(crate) clock: Angle,
    /// How far it projects from the tube, mm, if the job gives that.
    pub(crate) reach: Option<f64>,
}

/// A place of a tab that an error of its angle moves.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Spot {
    /// The centre of the hole farthest out, by its name.
    Hole(String),
    /// The outer edge of the flat.
    OuterEdge,
    /// As far out as the job says.
    Reach,
}

impl Tab {
    /// How it is set with a level, the tube lying with its heel line uppermost: a tab along its tube by its
    /// face, one set `across` it at an angle by its centre line.
    pub(crate) fn level(&self, across: Option<Angle>) -> String {
        let what = if across.is_some() { "centre line" } else { "face" };
        // From the horizontal: 90° is up or down.
        let off = match across {
            Some(angle) => num::asin(angle.sin() * self.clock.cos().abs()).degrees(),
            None => (self.clock.degrees().rem_euclid(180.0) - QUARTER).abs(),
        };
        let plumb = QUARTER - off;
        if off < ROUNDING {
            format!("level its {what}")
        } else if plumb < ROUNDING {
            format!("set its {what} plumb")
        } else if off <= plumb {
            format!("set its {what} {}° from level", num::text(off, 2))
        } else {
            format!("set its {what} {}° from plumb", num::text(plumb, 2))
        }
    }
}

impl Spot {
    /// Where that is.
    pub(crate) fn words(&self) -> String {
        format!("at {}", self.place())
    }

    /// The kind of place.
    pub(crate) fn place(&self) -> String {
        match self {
            Self::Hole(name) => format!("the centre of hole {name}"),
            Self::OuterEdge => "its outer edge".to_owned(),
            Self::Reach => "its reach".to_owned(),
        }
    }
}

/// The hole farthest out and the outer edge of a flat part with one welded edge, each with how far it
/// is from the crest of the tube, mm. None of a part that is bent or has more than one welded edge:
/// which of its places projects is not known.
pub(crate) fn spots(part: &Part) -> Vec<(Spot, f64)> {
    let [face] = part.faces.as_slice() else { return Vec::new() };
    let ([weld], true) = (face.welds.as_slice(), part.bends.is_empty()) else { return Vec::new() };
    out_from(weld, face).unwrap_or_default()
}

fn out_from(weld: &Weld, face: &Face) -> Option<Vec<(Spot, f64)>> {
    let upright = upright(weld)?;
    let edge = highest(face.blank.outer().edges(), &upright);
    let holes = face.holes.iter().map(|hole| (&hole.name, upright.apply(hole.at).y));
    let farthest = holes.max_by(|a, b| a.1.total_cmp(&b.1));
    let hole = farthest.map(|(name, at)| (Spot::Hole(name.clone()), at));
    Some(hole.into_iter().chain([(Spot::OuterEdge, edge)]).collect())
}

/// How a flat part with one welded edge stands: its drawing with the middle of the foot, at the height of the
/// crest of the tube, at the origin, and the part above it.
pub(crate) fn standing(part: &Part) -> Option<Place> {
    let [face] = part.faces.as_slice() else { return None };
    match (face.welds.as_slice(), part.bends.is_empty()) {
        ([weld], true) => upright(weld),
        _ => None,
    }
}

fn upright(weld: &Weld) -> Option<Place> {
    let (first, last) = (weld.stretches.first()?, weld.stretches.last()?);
    let chord = last.to - first.from;
    if chord.hypot() < MIN {
        return None;
    }
    // Metal is to the left of the edge: rotated so that it points up.
    let rotated = Place::rotated(Angle::of(chord.x, -chord.y), Point::ZERO);
    let middle = rotated.apply(first.from.midpoint(last.to)).x;
    // The crest of the tube, where the foot follows one.
    let crest = highest(weld.stretches.iter().copied(), &rotated);
    let shift = Vec2::new(-middle, -crest);
    Some(rotated.then(&Place { shift, ..Place::default() }))
}

/// The height of the highest of some edges where a place brings them, mm.
fn highest(edges: impl Iterator<Item = Edge>, to: &Place) -> f64 {
    edges.map(|edge| edge.moved(to).bounds().max.y).fold(f64::MIN, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tab_is_set_by_a_level_as_its_angle_says() {
        for (clock, across, wanted) in [
            (90.0, None, "level its face"),
            (270.0, Some(90.0), "level its centre line"),
            (0.0, None, "set its face plumb"),
            (180.0, Some(90.0), "set its centre line plumb"),
            (120.0, None, "set its face 30° from level"),
            (300.0, None, "set its face 30° from level"),
            (20.0, Some(90.0), "set its centre line 20° from plumb"),
            (345.0, Some(90.0), "set its centre line 15° from plumb"),
            // It leans along the tube.
            (0.0, Some(60.0), "set its centre line 30° from plumb"),
            (60.0, Some(30.0), "set its centre line 14.48° from level"),
        ] {
            let clock = Angle::from_degrees(clock);
            let tab = Tab { part: "tab".into(), at: 50.0, clock, reach: None };
            assert_eq!(tab.level(across.map(Angle::from_degrees)), wanted, "{clock}");
        }
    }
}
