//! An outline with holes in it.

use crate::geom::boolean::BooleanError;
use crate::geom::boolean::cut;
use crate::geom::boolean::unite;
use crate::geom::bounds::Bounds;
use crate::geom::clearance::outline_distance;
use crate::geom::edge::Edge;
use crate::geom::near::NEAR;
use crate::geom::offset::OffsetError;
use crate::geom::outline::Outline;
use crate::geom::place::Place;
use crate::geom::rolled::Corners;
use crate::geom::rolled::RolledError;
use crate::geom::rolled::rolled;
use kurbo::Point;
use thiserror::Error;

/// A plate: the area inside `outer` and outside every hole.
///
/// # Guarantees
/// Holes lie inside the outer outline and apart from each other and from it.
#[derive(Clone, Debug, PartialEq)]
pub struct Region {
    outer: Outline,
    holes: Vec<Outline>,
}

/// Why a step in building a plate cannot be done.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum RegionError {
    /// The cut leaves nothing.
    #[error("nothing is left of the plate")]
    Nothing,
    /// The plate would be cut into pieces.
    #[error("the plate is cut into {0} pieces")]
    Pieces(usize),
    /// The added shape does not touch the plate.
    #[error("the added shape does not touch the plate")]
    Apart,
    /// The cut takes nothing away.
    #[error("the cut does not meet the plate")]
    Misses,
    /// A hole reaches over the outline, or lies outside.
    #[error("the hole runs over the edge")]
    Outside,
    /// A hole reaches into another.
    #[error("the hole overlaps another opening")]
    Meets,
    /// The shapes meet in a way that cannot be computed safely.
    #[error(transparent)]
    Boolean(#[from] BooleanError),
    /// The outline cannot be reshaped.
    #[error(transparent)]
    Offset(#[from] OffsetError),
    /// Its corners cannot be treated.
    #[error(transparent)]
    Rolled(#[from] RolledError),
}

impl Region {
    /// A plate without holes.
    pub fn solid(outer: Outline) -> Self {
        Self { outer, holes: Vec::new() }
    }

    /// The outline.
    pub fn outer(&self) -> &Outline {
        &self.outer
    }

    /// The holes, in the order they were made.
    pub fn holes(&self) -> &[Outline] {
        &self.holes
    }

    /// Outline and holes.
    pub fn outlines(&self) -> impl Iterator<Item = &Outline> {
        std::iter::once(&self.outer).chain(&self.holes)
    }

    /// Area of the metal in mm².
    pub fn area(&self) -> f64 {
        self.outer.area() - self.holes.iter().map(Outline::area).sum::<f64>()
    }

    /// Length of all cuts in mm.
    pub fn length(&self) -> f64 {
        self.outlines().map(Outline::length).sum()
    }

    /// The rectangle round it.
    pub fn bounds(&self) -> Bounds {
        self.outer.bounds()
    }

    /// Whether a point lies in the metal.
    pub fn contains(&self, p: Point) -> bool {
        self.outer.contains(p) && !self.holes.iter().any(|h| h.contains(p))
    }

    /// The stretches of its outer outline that lie on a straight edge, with the metal on their
    /// left.
    pub(crate) fn along(&self, edge: &Edge) -> Vec<Edge> {
        let along = (edge.to - edge.from).normalize();
        let length = edge.length();
        let on_line = |p: Point| (p - edge.from).cross(along).abs() < 10.0 * NEAR;
        let at = |p: Point| (p - edge.from).dot(along).clamp(0.0, length);
        let lines = self.outer.edges().filter(Edge::is_line);
        lines
            .filter(|line| on_line(line.from) && on_line(line.to))
            .map(|line| (at(line.from), at(line.to)))
            .filter(|(from, to)| (to - from).abs() > NEAR)
            .map(|(from, to)| Edge::line(edge.from + along * from, edge.from + along * to))
            .collect()
    }

    /// The stretches of its openings that lie on a straight edge, with the metal on their left.
    pub(crate) fn along_openings(&self, edge: &Edge) -> Vec<Edge> {
        let along = |hole: &Outline| Self::solid(hole.clone()).along(&edge.reversed());
        self.holes.iter().flat_map(along).map(|edge| edge.reversed()).collect()
    }

    /// The same plate elsewhere.
    #[must_use]
    pub fn moved(&self, place: &Place) -> Self {
        Self {
            outer: self.outer.moved(place),
            holes: self.holes.iter().map(|h| h.moved(place)).collect(),
        }
    }

    /// Its holes in another outline, which contains this one.
    pub(crate) fn bounded(&self, outer: Outline) -> Self {
        Self { outer, holes: self.holes.clone() }
    }

    /// The same plate without some of its holes, and those holes.
    pub(crate) fn split_holes(self, out: impl Fn(&Outline) -> bool) -> (Self, Vec<Outline>) {
        let (taken, holes) = self.holes.into_iter().partition(out);
        (Self { outer: self.outer, holes }, taken)
    }

    /// With the outline reshaped; the holes must still lie inside it.
    ///
    /// # Errors
    /// When the outline cannot be reshaped so, or no longer contains the holes.
    pub fn reshaped(
        &self,
        reshape: impl FnOnce(&Outline) -> Result<Outline, OffsetError>,
    ) -> Result<Self, RegionError> {
        let solid = Self::solid(reshape(&self.outer)?);
        self.holes.iter().cloned().try_fold(solid, Self::pierced)
    }

    /// With every inside corner filled, those of its holes too, by fillets of a radius in mm; none
    /// where it has no such corner.
    ///
    /// # Errors
    /// When a fillet would close a gap.
    pub(crate) fn filled(&self, radius: f64) -> Result<Option<Self>, RegionError> {
        self.treated(radius, Corners::Inward, Corners::Outward)
    }

    /// With every outside corner rounded, those that point into its holes too, with a radius in mm;
    /// `None` if it has no such corner.
    ///
    /// # Errors
    /// When a round would remove a lug or separate a neck.
    pub(crate) fn rounded(&self, radius: f64) -> Result<Option<Self>, RegionError> {
        self.treated(radius, Corners::Outward, Corners::Inward)
    }

    fn treated(
        &self,
        radius: f64,
        outside: Corners,
        inside: Corners,
    ) -> Result<Option<Self>, RegionError> {
        let outer = rolled(&self.outer, radius, outside)?;
        let holes = self.holes.iter().map(|hole| rolled(hole, radius, inside));
        let holes = holes.collect::<Result<Vec<_>, _>>()?;
        if outer.is_none() && holes.iter().all(Option::is_none) {
            return Ok(None);
        }
        let solid = Self::solid(outer.unwrap_or_else(|| self.outer.clone()));
        let holes =
            self.holes.iter().zip(holes).map(|(old, new)| new.unwrap_or_else(|| old.clone()));
        holes.into_iter().try_fold(solid, Self::pierced).map(Some)
    }

    /// With a separate hole, which must lie wholly in the metal.
    ///
    /// # Errors
    /// When the hole crosses the outline or another hole, or lies outside or in a hole.
    pub fn pierced(mut self, hole: Outline) -> Result<Self, RegionError> {
        let at = hole.vertices()[0].at;
        let meets = |o: &Outline| outline_distance(o, &hole) == 0.0;
        if !self.outer.contains(at) || meets(&self.outer) {
            return Err(RegionError::Outside);
        }
        let within = |h: &Outline| h.contains(at) || hole.contains(h.vertices()[0].at);
        if self.holes.iter().any(|h| within(h) || meets(h)) {
            return Err(RegionError::Meets);
        }
        self.holes.push(hole);
        Ok(self)
    }

    /// With a shape added, which must touch the plate.
    ///
    /// # Errors
    /// When the shape does not touch it, or the shapes cannot be joined safely.
    pub fn with(&self, shape: &Outline) -> Result<Self, RegionError> {
        let (mut pieces, gaps) = unite(&self.outer, shape)?;
        if pieces.len() != 1 {
            return Err(RegionError::Apart);
        }
        let mut holes = gaps;
        for hole in &self.holes {
            let (rests, islands) = cut(hole, shape)?;
            if !islands.is_empty() {
                return Err(RegionError::Apart);
            }
            holes.extend(rests);
        }
        Ok(Self { outer: pieces.remove(0), holes })
    }

    /// With a shape taken away.
    ///
    /// # Errors
    /// When nothing is left, the plate is cut into pieces, the cut misses it, or the shapes cannot
    /// be computed safely.
    pub fn without(&self, shape: &Outline) -> Result<Self, RegionError> {
        let mut pieces = self.pieces_without(shape)?;
        let left = match pieces.len() {
            0 => return Err(RegionError::Nothing),
            1 => pieces.remove(0),
            n => return Err(RegionError::Pieces(n)),
        };
        // Metal that is not there cannot be cut: beside the plate, or inside a hole.
        if self.area() - left.area() < crate::geom::near::NEAR {
            return Err(RegionError::Misses);
        }
        Ok(left)
    }

    /// The pieces left when a shape is removed; the region unchanged if it misses.
    ///
    /// # Errors
    /// When the shapes cannot be computed safely.
    pub(super) fn pieces_without(&self, shape: &Outline) -> Result<Vec<Self>, BooleanError> {
        let mut tool = shape.clone();
        let mut apart = Vec::new();
        // Metal between the shape and a hole that it meets twice.
        let mut enclosed: Vec<Self> = Vec::new();
        for hole in &self.holes {
            let mut rest = Vec::with_capacity(enclosed.len());
            for piece in enclosed {
                rest.extend(piece.pieces_without(hole)?);
            }
            enclosed = rest;
            let (mut joined, gaps) = unite(&tool, hole)?;
            if joined.len() != 1 {
                apart.push(hole.clone());
                continue;
            }
            enclosed.extend(gaps.into_iter().map(Self::solid));
            tool = joined.remove(0);
        }
        let (pieces, gaps) = cut(&self.outer, &tool)?;
        let mut parts: Vec<Self> = pieces.into_iter().map(Self::solid).chain(enclosed).collect();
        // A hole whose surroundings were cut away no longer exists.
        for hole in apart.into_iter().chain(gaps) {
            let at = hole.vertices()[0].at;
            if let Some(part) = parts.iter_mut().find(|part| part.outer.contains(at)) {
                part.holes.push(hole);
            }
        }
        Ok(parts)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::disc;
    use crate::geom::rectangle;

    fn plate() -> Region {
        Region::solid(rectangle(Point::ZERO, 100.0, 60.0, 5.0).unwrap())
    }

    #[test]
    fn a_cut_inside_is_a_hole_and_one_over_the_rim_a_notch() {
        let hole = disc(Point::new(10.0, 0.0), 8.0).unwrap();
        let pierced = plate().without(&hole).unwrap();
        assert_eq!(pierced.holes().len(), 1);
        let notched = plate().without(&disc(Point::new(50.0, 0.0), 8.0).unwrap()).unwrap();
        assert!(notched.holes().is_empty());
        let half = crate::num::PI * 32.0;
        assert!((plate().area() - notched.area() - half).abs() < 1e-6);
    }

    #[test]
    fn a_slot_from_the_rim_into_a_hole_opens_it() {
        let pierced = plate().without(&disc(Point::ZERO, 8.0).unwrap()).unwrap();
        let opened = pierced.without(&rectangle(Point::new(30.0, 0.0), 60.0, 4.0, 0.0).unwrap());
        let opened = opened.unwrap();
        assert!(opened.holes().is_empty());
        assert!(!opened.contains(Point::ZERO) && opened.contains(Point::new(-20.0, 0.0)));
    }

    /// The sizes of a drawing are seldom whole in binary: the edge in common is so only up to rounding.
    #[test]
    fn plates_side_by_side_with_an_edge_in_common_are_one() {
        for i in 0..400 {
            let (at, wide, next) =
                (0.1 * f64::from(i), 48.3 + 0.7 * f64::from(i % 9), 120.0 + 1.1 * f64::from(i % 7));
            let half = |from: f64, wide: f64| {
                rectangle(Point::new(from + wide / 2.0, at), wide, 80.0, 0.0)
            };
            let (left, right) = (half(at, wide).unwrap(), half(at + wide, next).unwrap());
            let both = Region::solid(left).with(&right).unwrap_or_else(|e| panic!("{i}: {e}"));
            assert!(
                (both.area() - 80.0 * (wide + next)).abs() < 1e-6 && both.holes().is_empty(),
                "{i}"
            );
        }
    }

    #[test]
    fn what_cannot_be_is_refused() {
        let through = rectangle(Point::ZERO, 4.0, 100.0, 0.0).unwrap();
        assert_eq!(plate().without(&through), Err(RegionError::Pieces(2)));
        let beside = disc(Point::new(200.0, 0.0), 8.0).unwrap();
        assert_eq!(plate().without(&beside), Err(RegionError::Misses));
        assert_eq!(plate().with(&beside), Err(RegionError::Apart));
        let all = disc(Point::ZERO, 100.0).unwrap();
        assert_eq!(plate().without(&all), Err(RegionError::Nothing));
        let over_edge = disc(Point::new(48.0, 0.0), 8.0).unwrap();
        assert_eq!(plate().pierced(over_edge), Err(RegionError::Outside));
        let eye = disc(Point::ZERO, 8.0).unwrap();
        let pierced = plate().pierced(eye).unwrap();
        let beside = disc(Point::new(12.0, 0.0), 5.0).unwrap();
        assert_eq!(pierced.clone().pierced(beside), Err(RegionError::Meets));
        assert_eq!(pierced.pierced(disc(Point::ZERO, 2.0).unwrap()), Err(RegionError::Meets));
    }
}
