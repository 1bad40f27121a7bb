//! Running dimensions: which there are, and how they are drawn. After ISO 129-1 (from memory).

use crate::geom::Point;
use crate::paper::clear::Clear;
use crate::paper::plan::scale::Scale;
use crate::paper::running;
use crate::paper::running::PITCH;
use crate::paper::running::Rail;
use crate::paper::scene::Ink;
use crate::paper::scene::Item;
use crate::paper::scene::Pen;
use crate::paper::tag::circle;

/// From the part to the line of the dimensions, mm.
pub(super) const OFF: f64 = 4.6;
/// From that line to the words, mm; between them extension lines bend.
const SPREAD: f64 = 3.8;
/// How far the numbers may reach beyond the part, mm.
const BEYOND: f64 = 7.0;
/// Radius of the origin, mm.
const ORIGIN: f64 = 1.1;

/// The feature of a running dimension.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Kind {
    /// A corner or an edge.
    Edge,
    /// The centre of a hole: its line is a centre line.
    Hole,
    /// A bend line.
    Bend,
}

/// A distance that is dimensioned.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Station {
    /// The feature, on the part, mm.
    pub(super) foot: Point,
    /// How far the line of centres reaches beyond the foot, mm on paper.
    pub(super) arm: f64,
    /// The number.
    pub(super) text: String,
    pub(super) kind: Kind,
}

impl Station {
    fn along(&self, rail: Rail, scale: &Scale) -> f64 {
        rail.of(scale.point(self.foot)).0
    }

    /// How far the foot is within the part, mm on paper.
    fn within(&self, rail: Rail, scale: &Scale) -> f64 {
        rail.of(scale.point(self.foot)).1
    }
}

/// How many numbers a length in mm on paper has room for.
pub(super) fn room(extent: f64) -> usize {
    ((extent + 2.0 * BEYOND) / PITCH) as usize + 1
}

/// One station for each number, in order: a bend before a hole before an edge, and of equals the
/// one nearest to the line of the dimensions.
pub(super) fn one_each(all: Vec<Station>, rail: Rail, scale: &Scale) -> Vec<Station> {
    let within = |s: &Station| s.within(rail, scale);
    let mut kept: Vec<Station> = Vec::new();
    for station in all {
        match kept.iter_mut().find(|last| last.text == station.text) {
            Some(last) => {
                let nearer = within(&station) < within(last);
                if station.kind > last.kind || (station.kind == last.kind && nearer) {
                    *last = station;
                }
            }
            None => kept.push(station),
        }
    }
    kept.sort_by(|a, b| a.along(rail, scale).total_cmp(&b.along(rail, scale)));
    kept
}

/// Draws the dimensions along an axis of a part whose length on paper is `extent`.
pub(super) fn draw(
    clear: &mut Clear,
    rail: Rail,
    stations: &[Station],
    scale: &Scale,
    extent: f64,
) {
    let wanted: Vec<f64> = stations.iter().map(|s| s.along(rail, scale)).collect();
    let places = running::spread(&wanted, PITCH, -BEYOND, extent + BEYOND);
    let origin = rail.point(0.0, OFF);
    let mut base = vec![Item::Line(Pen::Narrow, circle(origin, ORIGIN))];
    if let Some(last) = wanted.last() {
        base.push(Item::line(Pen::Narrow, rail.point(ORIGIN, OFF), rail.point(*last, OFF)));
    }
    base.into_iter().for_each(|item| clear.draw(item));
    clear.add_origin(origin);
    for ((station, along), place) in stations.iter().zip(wanted).zip(places) {
        let items = one(station, rail, scale, along, place);
        let feet = [Point::ZERO, scale.point(station.foot)];
        clear.draw(rail.axis.noted(&station.text, feet, scale.by, items));
    }
}

/// One of them: extension line, arrow, number.
fn one(station: &Station, rail: Rail, scale: &Scale, along: f64, place: f64) -> Vec<Item> {
    let mut items = Vec::new();
    let within = station.within(rail, scale);
    let at_line = rail.point(along, OFF);
    let pen = if station.kind == Kind::Bend { Pen::Bend } else { Pen::Narrow };
    match station.kind {
        Kind::Hole => {
            let ends = [-(within + station.arm), OFF].map(|out| rail.point(along, out));
            items.push(Item::line(Pen::Chain, ends[0], ends[1]));
        }
        Kind::Edge => {
            let ends = [(-within + 1.0).min(OFF), OFF].map(|out| rail.point(along, out));
            items.push(Item::line(pen, ends[0], ends[1]));
        }
        Kind::Bend => {
            let ends = [1.0 - within.min(0.0), OFF].map(|out| rail.point(along, out));
            items.push(Item::line(pen, ends[0], ends[1]));
        }
    }
    let end = rail.point(place, OFF + SPREAD - 0.9);
    let bend = rail.point(along, OFF + 0.9);
    items.push(Item::line(pen, at_line, bend));
    items.push(Item::line(pen, bend, end));
    if along > 1e-6 {
        items.push(running::arrow_head(at_line, rail.axis.point(1.0, 0.0).to_vec2()));
    }
    let ink = if station.kind == Kind::Bend { Ink::Accent } else { Ink::Black };
    let centre = |half: f64| rail.point(place, OFF + SPREAD + half);
    items.push(Item::Words(rail.axis.number(&station.text, centre).in_ink(ink)));
    items
}
