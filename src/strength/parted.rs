//! The sections through which all of a load passes, and where it does not reach them.

use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::geom::rotated;
use crate::strength::bolted_plate::axis;
use crate::strength::chord::Chord;
use crate::strength::face::BESIDE;
use crate::strength::face::Entry;
use crate::strength::face::Exit;
use crate::strength::face::Face;
use crate::strength::limit::Member;
use crate::strength::line::Line;
use crate::strength::line::mean;
use crate::strength::reason::Reason;
use crate::strength::section;
use crate::strength::spread;
use crate::strength::station::Made;
use crate::strength::station::Source;
use crate::strength::station::Station;
use crate::strength::station::nearest;

/// Directions of the sections through each bolt, and of those between, over half a turn; and of
/// the latter in each direction. Our choice.
const THROUGH: u32 = 72;
const BETWEEN: u32 = 36;
const OFFSETS: u32 = 24;
/// Groups of more bolts than this get no sections here. Our choice.
const MAX_BOLTS: usize = 12;
/// Steeper sections run along the path rather than across it: a little below cos 45°.
const ACROSS: f64 = 0.707;

impl Face<'_> {
    /// Whether an opening below the load is wider than the load spreads until there.
    pub(super) fn bridged(&self) -> Result<(), Reason> {
        let (Entry::Here, sources) = (&self.entry, &self.ground.sources) else { return Ok(()) };
        let (away, reach) = match &self.exit {
            Exit::Line(out) => {
                let across = (out.to - out.from).normalize();
                (Vec2::new(-across.y, across.x), f64::INFINITY)
            }
            Exit::Bolts(bolts) => {
                let to = |s: &Source| bolts.iter().map(|p| (s.at - *p).hypot()).fold(0.0, f64::max);
                let Some(line) = self.ground.lines().into_iter().find(|l| l.0 == self.index) else {
                    return Ok(());
                };
                (line.1.toward, sources.iter().map(to).fold(0.0, f64::max))
            }
        };
        let filled = &self.ground.fasteners[self.index];
        let region = &self.region;
        let mut openings = region.holes().iter().filter(|o| !spread::is_filled(o, filled));
        let is_bridge = |o: &Outline| sources.iter().any(|s| spread::is_bridge(o, s, away, reach));
        match openings.any(is_bridge) {
            true => Err(Reason::Bridge(self.name())),
            false => Ok(()),
        }
    }

    /// Whether two openings are placed so that the metal between them is narrower than that beside
    /// either: then a path that jumps from one to the other may be the weakest, which no straight
    /// section shows.
    pub(super) fn staggered(&self, line: &Line) -> Result<(), Reason> {
        let region = &self.region;
        let filled = &self.ground.fasteners[self.index];
        let openings: Vec<&Outline> =
            region.holes().iter().filter(|o| !spread::is_filled(o, filled)).collect();
        let sides = |o: &Outline| spread::beside(region.outer(), o, line);
        let jumps = |a: &Outline, b: &Outline| {
            let (of_a, of_b) = (sides(a), sides(b));
            let straight = (of_a[0] + of_a[1]).min(of_b[0] + of_b[1]);
            let between = spread::SHEARED * spread::clear_distance(a, b);
            let jumped = (of_a[0] + of_b[1]).min(of_b[0] + of_a[1]) + between;
            jumped < straight * (1.0 - 1e-6) && !spread::in_a_row(a, b, line)
        };
        let mut pairs = openings
            .iter()
            .enumerate()
            .flat_map(|(i, a)| openings[i + 1..].iter().map(move |b| (*a, *b)));
        match pairs.any(|(a, b)| jumps(a, b)) {
            true => Err(Reason::Staggered(self.name())),
            false => Ok(()),
        }
    }

    /// Whether the load that comes in over a bend spreads to each of the bolts.
    pub(super) fn reached(&self, line: &Line, bolts: &[Point]) -> Result<(), Reason> {
        if bolts.iter().any(|p| line.ahead(*p) > -BESIDE) {
            return Err(Reason::Behind);
        }
        let Entry::Line(_, heel) = &self.entry else { return Ok(()) };
        let every: Vec<usize> = (0..self.ground.sources.len()).collect();
        let spread = self.ground.spread(line, &self.ground.flat.places[self.index], &every);
        let is_reached = |p: &Point| {
            let (at, far) = (line.place(*p), heel + line.ahead(*p).abs());
            spread::common(&spread, (at - far, at + far)) >= self.ground.part.thickness
        };
        match bolts.iter().all(is_reached) {
            true => Ok(()),
            false => Err(Reason::Beam(self.name())),
        }
    }

    /// Sections at any angle that separate the whole load from the whole support of the face.
    pub(super) fn slanted_sections(&self) -> Vec<Station> {
        let Some(parting) = &self.parting else { return Vec::new() };
        parting.chords().into_iter().filter_map(|chord| self.whole(chord)).collect()
    }

    /// Sections at any angle that leave some of the bolts on the load's side: through each, where
    /// their holes take most, through each two of them, and everywhere between.
    pub(super) fn beside_each(&self, bolts: &[Point], stations: &mut Vec<Station>) {
        // Relative to the part itself, so that the way the face is drawn has no influence.
        let first = match &self.entry {
            Entry::Here => axis(bolts, mean(bolts)),
            Entry::Line(edge, _) => (edge.to - edge.from).normalize(),
        };
        let directions = |count: u32| {
            let degrees = move |i: u32| 180.0 / f64::from(count) * f64::from(i);
            (0..count).map(move |i| rotated(first, degrees(i)))
        };
        let mut lines: Vec<Line> = Vec::new();
        let few = &bolts[..bolts.len().min(MAX_BOLTS)];
        for bolt in few {
            let beside =
                |toward: Vec2| [-BESIDE, BESIDE].map(|by| Line { at: *bolt + toward * by, toward });
            lines.extend(directions(THROUGH).flat_map(beside));
        }
        lines.extend(through_pairs(few));
        let points = [bolts, &self.comes_in()].concat();
        for toward in directions(BETWEEN) {
            let heights = points.iter().map(|p| p.to_vec2().dot(toward));
            let (low, high) =
                heights.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), d| (l.min(d), h.max(d)));
            let at = |i: u32| low + (high - low) * (f64::from(i) + 0.5) / f64::from(OFFSETS);
            let line = |i| Line { at: (toward * at(i)).to_point(), toward };
            lines.extend((0..OFFSETS).map(line));
        }
        for line in lines {
            self.beside(line, bolts, stations);
        }
    }

    /// Where the load comes in, as points.
    fn comes_in(&self) -> Vec<Point> {
        match &self.entry {
            Entry::Here => self.ground.sources.iter().map(|s| s.at).collect(),
            Entry::Line(edge, _) => vec![edge.from, edge.to],
        }
    }

    /// The sections along a line that may leave some of the bolts on the load's side.
    pub(super) fn beside(&self, line: Line, bolts: &[Point], stations: &mut Vec<Station>) {
        let load = self.comes_in();
        // Through a loaded hole its own limits apply, except where the path is cut across.
        let path = (mean(&load) - mean(bolts)).normalize();
        let behind = |p: &Point| (*p - mean(&load)).dot(path) < 0.0;
        let is_beyond = path.is_finite() && bolts.iter().all(behind);
        let is_across = !is_beyond || line.toward.dot(path).abs() >= ACROSS;
        let is_here = matches!(self.entry, Entry::Here);
        let meets = |s: &Source| line.ahead(s.at).abs() < s.half + BESIDE;
        if !is_across && is_here && self.ground.sources.iter().any(meets) {
            return;
        }
        let toward = line.toward * if line.ahead(mean(&load)) < 0.0 { -1.0 } else { 1.0 };
        let known = stations.len();
        // A line that separates nothing is ignored.
        self.cut(Line { toward, ..line }, true, stations).ok();
        for station in &mut stations[known..] {
            station.made = Made::Beside;
            if is_across {
                // However little a load spreads to such a section, at least the thickness of the
                // plate counts: anything wider is covered by the sections across the path.
                let min = self.ground.part.thickness;
                section::spread_on(&station.cut, &mut station.spreads, min);
            } else {
                // A load spreads from it along the path: all of it is bent out of the plane.
                station.spreads = Vec::new();
            }
        }
    }

    /// A section through which the whole load passes, clear of the loaded hole, which has its own
    /// limits.
    pub(super) fn whole(&self, chord: Chord) -> Option<Station> {
        let (ground, sources) = (self.ground, &self.ground.sources);
        let (line, long) = chord.line();
        let (from, to) = (0.0, long);
        let segment = Edge::line(line.point(from), line.point(to));
        let near = |s: &Source| (segment.nearest(s.at) - s.at).hypot() < s.half + BESIDE;
        let is_loaded = matches!(self.entry, Entry::Here) && sources.iter().any(near);
        if is_loaded || !self.counts(&line, [from, to]) {
            return None;
        }
        let place = ground.flat.places[self.index];
        let loads: Vec<usize> = (0..sources.len()).collect();
        let cut = self.plate.whole(line, from, to);
        // The path may have turned.
        let spread = nearest(ground.spread(&line, &place, &loads), [from, to]);
        Some(Station {
            member: Member::Face(self.index),
            seam: false,
            frame: ground.folded.faces[self.index].frame,
            place,
            spreads: vec![spread],
            beside_all: true,
            cut,
            oblique: true,
            loads,
            bolts: Vec::new(),
            bends: true,
            filled: self.filled.is_some(),
            of: 0,
            made: Made::Whole(chord),
        })
    }
}

/// The lines through each two bolts: both on one side, or one on either.
fn through_pairs(bolts: &[Point]) -> Vec<Line> {
    let mut lines = Vec::new();
    for (i, one) in bolts.iter().enumerate() {
        for other in &bolts[i + 1..] {
            let along = (*other - *one).normalize();
            let aside = Vec2::new(-along.y, along.x) * BESIDE;
            let sides = [(aside, aside), (-aside, -aside), (aside, -aside), (-aside, aside)];
            lines.extend(sides.map(|(a, b)| {
                let step = ((*other + b) - (*one + a)).normalize();
                Line { at: *one + a, toward: Vec2::new(step.y, -step.x) }
            }));
        }
    }
    lines
}
