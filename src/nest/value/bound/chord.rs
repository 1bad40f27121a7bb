//! How much metal a line across a part meets.

use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Side;
use crate::geom::flatten;
use crate::nest::problem::item::Item;
use crate::nest::problem::item::Turns;

/// Arcs are left by at most this, in mm.
const TOLERANCE: f64 = 0.02;

/// An item at each of its turns, as polygons that the metal holds.
#[derive(Clone, Debug)]
pub(super) struct Chords {
    /// Empty when any turn is allowed: a line may then meet next to nothing.
    turned: Vec<Turned>,
}

/// A part at one turn.
#[derive(Clone, Debug)]
struct Turned {
    length: f64,
    low: f64,
    height: f64,
    /// Rims that count as metal inside, then windows.
    polygons: Vec<Vec<Point>>,
    /// Heights at which the polygons have corners, in order.
    steps: Vec<f64>,
}

impl Chords {
    pub(super) fn new(outer: &Outline, windows: &[&Outline], item: &Item) -> Self {
        // Turning over and turning by half change no chord but where it lies.
        let turns = if item.turns == Turns::Free { &[] } else { item.turns.angles() };
        let turned = turns.iter().map(|turn| {
            let place = Place { turn: *turn, ..Place::default() };
            let outer = outer.moved(&place);
            let bounds = outer.bounds();
            let mut polygons = vec![flatten(&outer, TOLERANCE, Side::Inside)];
            let holes = windows.iter().map(|w| flatten(&w.moved(&place), TOLERANCE, Side::Outside));
            polygons.extend(holes);
            let mut steps: Vec<f64> = polygons.iter().flatten().map(|p| p.y).collect();
            steps.sort_by(f64::total_cmp);
            steps.dedup();
            Turned {
                length: bounds.width(),
                low: bounds.least.y,
                height: bounds.height(),
                polygons,
                steps,
            }
        });
        Self { turned: turned.collect() }
    }

    /// The least extent along x over all turns; 0 when any turn is allowed.
    pub(super) fn least_length(&self) -> f64 {
        let least = self.turned.iter().map(|t| t.length).fold(f64::INFINITY, f64::min);
        if least.is_finite() { least } else { 0.0 }
    }

    /// The least length of metal, in mm and a gap for each line, that so many lines spaced
    /// evenly across a room of a height meet in the part, however it lies.
    pub(super) fn met(&self, lines: u32, room: f64, gap: f64) -> f64 {
        let spacing = room / f64::from(lines + 1);
        let least = self.turned.iter().map(|t| t.met(spacing, gap)).fold(f64::INFINITY, f64::min);
        if least.is_finite() { least } else { 0.0 }
    }
}

impl Turned {
    /// A part taller than so many spacings is met by as many lines within that band about
    /// its middle.
    fn met(&self, spacing: f64, gap: f64) -> f64 {
        let sure = (self.height / spacing * (1.0 - 1e-9)).ceil() - 1.0;
        let sure = sure.clamp(0.0, 64.0) as u32;
        let met = |lines: u32| {
            let half = spacing * f64::from(lines) / 2.0;
            let middle = self.low + self.height / 2.0;
            f64::from(lines) * (self.least_chord(middle - half, middle + half) + gap)
        };
        (1..=sure).map(met).fold(0.0, f64::max)
    }

    /// The least length of metal on any level between two heights.
    fn least_chord(&self, low: f64, high: f64) -> f64 {
        let inside = self.steps.iter().copied().filter(|y| *y > low && *y < high);
        let levels: Vec<f64> = [low].into_iter().chain(inside).chain([high]).collect();
        let mut least = f64::INFINITY;
        for pair in levels.windows(2) {
            // Between two corners a chord grows evenly, but it may jump at them.
            let at = |share: f64| self.chord(pair[0] + (pair[1] - pair[0]) * share);
            let (first, last) = (at(0.25), at(0.75));
            let ends = (1.5 * first - 0.5 * last).min(1.5 * last - 0.5 * first);
            least = least.min(ends);
        }
        if least.is_finite() { least.max(0.0) } else { 0.0 }
    }

    /// The length of metal on one level: in the rim, and in no window.
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
        let windows: f64 = self.polygons.iter().skip(1).map(length).sum();
        self.polygons.first().map_or(0.0, length) - windows
    }
}

/// Area of an outline left of x, mm²; arcs as short chords.
pub(super) fn area_before(outline: &Outline, x: f64) -> f64 {
    let bounds = outline.bounds();
    if x >= bounds.most.x {
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
