//! Dimensions: running ones from one origin, and sizes over all. After ISO 129-1 (from memory).

use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::paper::clear::Clear;
use crate::paper::clear::start;
use crate::paper::figures::FIGURES;
use crate::paper::figures::both_units;
use crate::paper::scene::Item;
use crate::paper::scene::Pen;
use crate::paper::scene::Words;
use crate::quantity::Units;

/// From the part to the line of the dimensions, mm.
const OFF: f64 = 6.0;
/// From that line to the words, mm; between them the leaders spread.
const SPREAD: f64 = 7.0;
/// From one number to the next, mm.
const PITCH: f64 = 3.6;
/// How far the numbers may reach beyond the part, mm.
const BEYOND: f64 = 6.0;
/// Length of an arrow, mm.
const ARROW: f64 = 2.2;

/// Along which edge dimensions run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Axis {
    /// Below the part, from its left.
    Across,
    /// To the left of the part, from its foot.
    Up,
}

impl Axis {
    /// A point so far along the axis and so far out of the part.
    fn point(self, along: f64, out: f64) -> Point {
        match self {
            Self::Across => Point::new(along, -out),
            Self::Up => Point::new(-out, along),
        }
    }

    /// The direction in which the lines run that lead to its dimensions.
    pub(super) fn across(self) -> Vec2 {
        self.point(0.0, -1.0).to_vec2()
    }
}

/// A distance that is dimensioned.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Station {
    /// How far along, mm on paper.
    pub(super) at: f64,
    /// How far within the part what is dimensioned lies, mm on paper.
    pub(super) from: f64,
    /// The number.
    pub(super) words: String,
}

/// Draws the dimensions of the first of the lists that has room; says which it was.
pub(super) fn draw(
    clear: &mut Clear,
    axis: Axis,
    lists: [Vec<Station>; 2],
    extent: f64,
) -> Option<usize> {
    let max = ((extent + 2.0 * BEYOND) / PITCH) as usize + 1;
    let mut tidy = lists.into_iter().map(one_each).enumerate();
    let (which, stations) = tidy.find(|(_, list)| list.len() <= max)?;
    let wanted: Vec<f64> = stations.iter().map(|s| s.at).collect();
    let places = spread(&wanted, PITCH, -BEYOND, extent + BEYOND);
    let origin = axis.point(0.0, OFF);
    circle(clear, origin);
    if let Some(last) = stations.last() {
        clear.draw(Item::line(Pen::Narrow, origin, axis.point(last.at, OFF)));
    }
    for (station, place) in stations.iter().zip(places) {
        let line = axis.point(station.at, OFF);
        if station.at > 1e-9 {
            arrow(clear, line, axis.point(1.0, 0.0).to_vec2());
        }
        // Within the part a line of centres, so that only bend lines are continuous there.
        if station.from > 0.0 {
            let ends = [-station.from, 1.0].map(|out| axis.point(station.at, out));
            clear.draw(Item::line(Pen::Chain, ends[0], ends[1]));
        }
        let ends = [1.0, OFF + 1.0].map(|out| axis.point(station.at, out));
        clear.draw(Item::line(Pen::Fine, ends[0], ends[1]));
        let end = axis.point(place, OFF + SPREAD - 1.0);
        clear.draw(Item::line(Pen::Fine, axis.point(station.at, OFF + 1.0), end));
        let words = Words::plain(Point::ZERO, FIGURES, &station.words);
        let centre = axis.point(place, OFF + SPREAD + words.length() / 2.0);
        let words = if axis == Axis::Across { words.upward() } else { words };
        clear.draw(Item::Words(Words { at: start(centre, &words), ..words }));
    }
    Some(which)
}

/// In order, those at one place made one; what lies farthest out leads to it.
fn one_each(mut stations: Vec<Station>) -> Vec<Station> {
    stations.sort_by(|a, b| a.at.total_cmp(&b.at).then(a.from.total_cmp(&b.from)));
    stations.dedup_by(|b, a| {
        let same = a.words == b.words;
        // The line leads to the farthest of them, through the nearer ones.
        if same && a.from > 0.0 {
            a.from = a.from.max(b.from);
        }
        same
    });
    stations
}

/// Places at least a pitch apart, as near to the wanted ones as can be, within two ends.
pub(super) fn spread(wanted: &[f64], pitch: f64, min: f64, max: f64) -> Vec<f64> {
    // Groups that touch are moved as one: their first place and how many there are.
    let mut groups: Vec<(f64, Vec<f64>)> = Vec::new();
    for want in wanted {
        groups.push((*want, vec![*want]));
        while let [.., (a, first), (b, second)] = groups.as_slice() {
            if a + first.len() as f64 * pitch <= *b {
                break;
            }
            let mut members = first.clone();
            members.extend(second);
            let count = members.len() as f64;
            let offsets = (0..members.len()).map(|i| i as f64 * pitch).sum::<f64>();
            let at = (members.iter().sum::<f64>() - offsets) / count;
            groups.truncate(groups.len() - 2);
            groups.push((at, members));
        }
    }
    let mut places: Vec<f64> = groups
        .iter()
        .flat_map(|(at, members)| (0..members.len()).map(move |i| at + i as f64 * pitch))
        .collect();
    let mut low = min;
    for place in &mut places {
        *place = place.max(low);
        low = *place + pitch;
    }
    let mut high = max;
    for place in places.iter_mut().rev() {
        *place = place.min(high);
        high = *place - pitch;
    }
    places
}

/// The size over all in both units, to the right of the part and above it, each so far off.
pub(super) fn over_all(
    clear: &mut Clear,
    max: Point,
    [right, above]: [f64; 2],
    size: [f64; 2],
    units: Units,
) {
    /// From a line to the centre of its words, mm: they clear what leads to the line.
    const ABOVE: f64 = 3.2;
    let [wide, high] = size.map(|mm| Words::plain(Point::ZERO, FIGURES, both_units(units, mm)));
    let y = max.y + above;
    dimension(clear, Point::new(0.0, y), Point::new(max.x, y), Vec2::new(0.0, 1.0), above - 1.0);
    let centre = Point::new(max.x.max(wide.length()) / 2.0, y + ABOVE);
    clear.draw(Item::Words(Words { at: start(centre, &wide), ..wide }));
    let x = max.x + right;
    dimension(clear, Point::new(x, 0.0), Point::new(x, max.y), Vec2::new(1.0, 0.0), right - 1.0);
    let high = high.upward();
    let centre = Point::new(x + ABOVE, max.y.max(high.length()) / 2.0);
    clear.draw(Item::Words(Words { at: start(centre, &high), ..high }));
}

/// A line between two points with arrows at both ends, and lines that lead there from the part.
pub(super) fn dimension(clear: &mut Clear, from: Point, to: Point, out: Vec2, lead: f64) {
    let along = (to - from).normalize();
    clear.draw(Item::line(Pen::Narrow, from, to));
    let inside = (to - from).hypot() > 2.5 * ARROW;
    // Where there is no room between them, the arrows come from outside.
    let way = if inside { along } else { -along };
    for (end, way) in [(from, -way), (to, way)] {
        arrow(clear, end, way);
        if !inside {
            clear.draw(Item::line(Pen::Narrow, end, end - way * (2.0 * ARROW)));
        }
        clear.draw(Item::line(Pen::Fine, end - out * lead, end + out));
    }
}

/// An arrow whose tip is at a place, pointing along a direction.
pub(super) fn arrow(clear: &mut Clear, tip: Point, way: Vec2) {
    let back = tip - way * ARROW;
    let side = Vec2::new(-way.y, way.x) * (ARROW * 0.16);
    let corners = [tip, back + side, back - side, tip];
    let loops = corners.windows(2).map(|pair| Edge::line(pair[0], pair[1])).collect();
    clear.draw(Item::Fill(0.0, vec![loops]));
}

/// The little circle that ISO 129-1 has for the origin of running dimensions.
fn circle(clear: &mut Clear, at: Point) {
    let (left, right) = (at - (0.9, 0.0), at + (0.9, 0.0));
    let edges = vec![
        Edge { from: left, to: right, bulge: 1.0 },
        Edge { from: right, to: left, bulge: 1.0 },
    ];
    clear.draw(Item::Line(Pen::Narrow, edges));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_spread_apart_and_stay_in_order() {
        let wanted = [0.0, 1.0, 1.5, 2.0, 30.0, 31.0, 60.0];
        let places = spread(&wanted, 4.0, -8.0, 68.0);
        assert!(places.windows(2).all(|p| p[1] - p[0] >= 4.0 - 1e-9), "{places:?}");
        assert!(places[0] >= -8.0 && places[6] <= 68.0);
        assert!((places[6] - 60.0).abs() < 1e-9, "what has room stays: {places:?}");
    }
}
