//! What separates the load from the support of a face.

use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Vec2;
use crate::part::Hole;
use crate::strength::chord::Chord;
use crate::strength::chord::Contour;
use crate::strength::line::mean;
use crate::strength::spread;

/// A shorter path has no direction, mm.
const SHORTEST: f64 = 1e-2;

/// The outline of a face, with the load and the support on it.
pub(super) struct LoadedOutline {
    pub(super) contour: Contour,
    /// The points of the load and of the support, in the metal.
    load: Vec<Point>,
    held: Vec<Point>,
    /// Both as drawn.
    drawn: Vec<Point>,
    /// Its openings except those filled by bolts and pins.
    open: Vec<Contour>,
    path: Vec2,
}

impl LoadedOutline {
    pub(super) fn of(
        region: &Region,
        load: Vec<Point>,
        held: Vec<Point>,
        filled: &[&Hole],
    ) -> Option<Self> {
        let path = mean(&load) - mean(&held);
        let path = if path.hypot() > SHORTEST { path.normalize() } else { Vec2::new(0.0, 1.0) };
        let contour = Contour::of(region.outer(), path).between(mean(&load), mean(&held));
        let drawn = [load.as_slice(), &held].concat();
        let inner = |places: Vec<Point>| -> Option<Vec<Point>> {
            places.into_iter().map(|p| contour.inner(p)).collect()
        };
        let (load, held) = (inner(load)?, inner(held)?);
        let open = region.holes().iter().filter(|o| !spread::is_filled(o, filled));
        let open = open.map(|o| Contour::of(o, path)).collect();
        Some(Self { contour, load, held, drawn, open, path })
    }

    /// The chords at any angle that separate the whole load from the whole support of the face.
    pub(super) fn chords(&self) -> Vec<Chord> {
        self.contour.separating(&self.load, &self.held, &self.open, self.path)
    }

    /// The same chord with the load on its right, if it separates the whole load from the whole
    /// support of the face with this clearance to either, mm.
    pub(super) fn separated(&self, chord: &Chord, clear: f64) -> Option<Chord> {
        let segment = Edge::line(chord.from.at, chord.to.at);
        let is_off = |p: &Point| (segment.nearest(*p) - *p).hypot() > clear;
        let is_clear = self.drawn.iter().all(is_off);
        is_clear.then(|| self.contour.separated(chord, &self.load, &self.held)).flatten()
    }
}
