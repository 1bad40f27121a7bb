//! The metal that a line across a part crosses.

use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Side;
use crate::geom::flatten;
use crate::nest::problem::item::Item;
use crate::nest::problem::item::Orientations;

/// Polygons leave arcs by at most this, in mm. Our choice.
const TOLERANCE: f64 = 0.02;

/// An item in each of its orientations, as polygons within the metal.
#[derive(Clone, Debug)]
pub(super) struct Chords {
    /// Empty when any rotation is allowed: a line may then cross next to nothing.
    rotated: Vec<Rotated>,
}

/// A part in one orientation.
#[derive(Clone, Debug)]
struct Rotated {
    length: f64,
    low: f64,
    height: f64,
    /// The outline from inside, then the cut-outs from outside.
    polygons: Vec<Vec<Point>>,
    /// Heights at which the polygons have corners, in order.
    steps: Vec<f64>,
}

impl Chords {
    pub(super) fn new(outer: &Outline, cut_outs: &[&Outline], item: &Item) -> Self {
        // Flipping over and half turns change no chord but its position.
        let rotations =
            if item.orientations == Orientations::Free { &[] } else { item.orientations.angles() };
        let rotated = rotations.iter().map(|rotation| {
            let place = Place { rotation: *rotation, ..Place::default() };
            let outer = outer.moved(&place);
            let bounds = outer.bounds();
            let mut polygons = vec![flatten(&outer, TOLERANCE, Side::Inside)];
            let holes =
                cut_outs.iter().map(|w| flatten(&w.moved(&place), TOLERANCE, Side::Outside));
            polygons.extend(holes);
            let mut steps: Vec<f64> = polygons.iter().flatten().map(|p| p.y).collect();
            steps.sort_by(f64::total_cmp);
            steps.dedup();
            Rotated {
                length: bounds.width(),
                low: bounds.min.y,
                height: bounds.height(),
                polygons,
                steps,
            }
        });
        Self { rotated: rotated.collect() }
    }

    /// The smallest extent along x over all orientations; 0 when any rotation is allowed.
    pub(super) fn min_length(&self) -> f64 {
        let min = self.rotated.iter().map(|t| t.length).fold(f64::INFINITY, f64::min);
        if min.is_finite() { min } else { 0.0 }
    }

    /// The minimum length of metal, in mm with a gap for each line, that so many lines spaced
    /// evenly across a given height cross in the part, wherever it is.
    pub(super) fn met(&self, lines: u32, room: f64, gap: f64) -> f64 {
        let spacing = room / f64::from(lines + 1);
        let min = self.rotated.iter().map(|t| t.met(spacing, gap)).fold(f64::INFINITY, f64::min);
        if min.is_finite() { min } else { 0.0 }
    }
}

impl Rotated {
    /// A part taller than so many spacings is crossed by as many lines within that band about its
    /// centre.
    fn met(&self, spacing: f64, gap: f64) -> f64 {
        let sure = (self.height / spacing * (1.0 - 1e-9)).ceil() - 1.0;
        let sure = sure.clamp(0.0, 64.0) as u32;
        let met = |lines: u32| {
            let half = spacing * f64::from(lines) / 2.0;
            let middle = self.low + self.height / 2.0;
            f64::from(lines) * (self.min_chord(middle - half, middle + half) + gap)
        };
        (1..=sure).map(met).fold(0.0, f64::max)
    }

    /// The minimum length of metal on any level between two heights.
    fn min_chord(&self, low: f64, high: f64) -> f64 {
        let inside = self.steps.iter().copied().filter(|y| *y > low && *y < high);
        let levels: Vec<f64> = [low].into_iter().chain(inside).chain([high]).collect();
        let mut min = f64::INFINITY;
        for pair in levels.windows(2) {
            // Between two corners a chord grows evenly, but it may jump at them.
            let at = |share: f64| self.chord(pair[0] + (pair[1] - pair[0]) * share);
            let (first, last) = (at(0.25), at(0.75));
            let ends = (1.5 * first - 0.5 * last).min(1.5 * last - 0.5 * first);
            min = min.min(ends);
        }
        if min.is_finite() { min.max(0.0) } else { 0.0 }
    }

    /// The length of metal on one level: within the outline and in no cut-out.
    fn chord(&self, y: f64) -> f64 {
        let length = |polygon: &Vec<Point>| {
            let mut crossings: Vec<f64> = polygon
                .iter()
                .zip(polygon.iter().cycle().skip(1))
                .filter(|(a, b)| (a.y > y) != (b.y > y))
                .map(|(a, b)| a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x))
                .collect();
            crossings.sort_by(f64::total_cmp);
            crossings.chunks_exact(2).map(|pair| pair[1] - pair[0]).sum::<f64>()
        };
        let cut_outs: f64 = self.polygons.iter().skip(1).map(length).sum();
        self.polygons.first().map_or(0.0, length) - cut_outs
    }
}

/// Area of an outline left of x, mm²; arcs as short chords.
pub(super) fn area_before(outline: &Outline, x: f64) -> f64 {
    let bounds = outline.bounds();
    if x >= bounds.max.x {
        return outline.area();
    }
    let polygon = flatten(outline, TOLERANCE, Side::On);
    let mut area = 0.0;
    for (a, b) in polygon.iter().zip(polygon.iter().cycle().skip(1)) {
        // Of each trapezoid below an edge, the part left of x.
        let (from, to) = (a.x.min(x), b.x.min(x));
        let height = |at: f64| {
            if a.x == b.x { a.y } else { a.y + (at - a.x) / (b.x - a.x) * (b.y - a.y) }
        };
        area += (from - to) * (height(from) + height(to)) / 2.0;
    }
    area
}
