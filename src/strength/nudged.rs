//! Sections a small step beside one that is known.
//!
//! They are moved along its normal and rotated about the points that may determine the weakest
//! section: its ends, its centre, its openings, the bolts that it passes and the loaded hole. For
//! every step the opposite one is tried too, so that the way a face is drawn has no influence.

use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::geom::rotated;
use crate::strength::chord::Chord;
use crate::strength::chord::Contour;
use crate::strength::chord::Place;
use crate::strength::face::BESIDE;
use crate::strength::face::Entry;
use crate::strength::face::Exit;
use crate::strength::face::Face;
use crate::strength::ligament::Cut;
use crate::strength::ligament::Ligament;
use crate::strength::line::Line;
use crate::strength::station::Made;
use crate::strength::station::Station;

/// A section of the search stays this far from the support of the face, and runs at least this far
/// through an opening or through metal, mm: what it separates nearer than that is rounding.
const CLEAR: f64 = 0.02;
/// A section of a row is rotated no farther from across the path: a little below cos 45°, so that
/// one that begins at 45° can be moved.
const STEEPEST: f64 = 0.707;
/// A line approaches a bolt no closer than this share of the distance that sections keep from it.
const OFF: f64 = 0.999;
/// A bolt nearer to a line than this is passed by it, mm.
const PASSED: f64 = 1e-3;

impl Contour {
    /// The place this many mm farther along the outline.
    fn farther(&self, place: Place, by: f64) -> Place {
        let count = self.points.len();
        let side = |i: usize| (self.points[i], self.points[(i + 1) % count]);
        let long = |i: usize| (side(i).1 - side(i).0).hypot();
        let mut i = (place.order as usize).min(count - 1);
        let mut at = (place.order - i as f64) * long(i) + by;
        // At most one full round.
        for _ in 0..count {
            if at < 0.0 {
                i = (i + count - 1) % count;
                at += long(i);
            } else if at > long(i) {
                at -= long(i);
                i = (i + 1) % count;
            } else {
                break;
            }
        }
        let share = (at / long(i).max(f64::MIN_POSITIVE)).clamp(0.0, 1.0 - 1e-9);
        Place { at: side(i).0.lerp(side(i).1, share), order: i as f64 + share }
    }

    /// The chords with one end or both a step farther along the outline, either way, and those
    /// with one end a step farther that still go through one of some points.
    fn nudged(&self, chord: &Chord, through: &[Point], step: f64) -> Vec<Chord> {
        let ways = [-step, 0.0, step];
        let ends = |place: Place| ways.map(|by| self.farther(place, by));
        let (from, to) = (ends(chord.from), ends(chord.to));
        let pairs = from.iter().flat_map(|from| to.iter().map(|to| Chord { from: *from, to: *to }));
        let mut chords: Vec<Chord> = pairs.collect();
        let ends = from.into_iter().chain(to);
        let over = |end: Place| through.iter().filter_map(move |p| self.over(end.at, *p));
        chords.extend(ends.flat_map(over));
        chords.retain(|near| self.is_inside(near));
        chords
    }

    /// The chord from about a place of the outline over a point within it.
    fn over(&self, from: Point, p: Point) -> Option<Chord> {
        let way = (p - from).normalize();
        self.beside(&Line { at: p, toward: Vec2::new(way.y, -way.x) }, p)
    }

    /// The chord along a line straight beside a point.
    fn beside(&self, line: &Line, p: Point) -> Option<Chord> {
        let s = line.place(p);
        let is_here = |c: &Chord| line.place(c.from.at) < s && line.place(c.to.at) > s;
        self.along(line).into_iter().find(is_here)
    }
}

impl Face<'_> {
    /// The sections a step beside one that this face has, mm.
    pub(super) fn beside_it(&self, station: &Station, step: f64) -> Vec<Station> {
        let mut found = Vec::new();
        match station.made {
            Made::Alone => {}
            Made::Row => {
                for line in shifted(&station.cut.line, step) {
                    self.cut(line, false, &mut found).ok();
                }
            }
            Made::Slant(across) => {
                let lines = self.lines_beside(station, step).into_iter();
                let serves = |line: &Line| line.toward.dot(across) > STEEPEST && self.parts(line);
                for line in lines.filter(serves) {
                    self.cut(line, true, &mut found).ok();
                }
                found.iter_mut().for_each(|near| near.made = Made::Slant(across));
            }
            Made::Beside => {
                let Exit::Bolts(bolts) = &self.exit else { return found };
                for line in self.lines_beside(station, step) {
                    self.beside(line, bolts, &mut found);
                }
            }
            Made::Whole(chord) => found = self.chords_beside(station, &chord, step),
        }
        found.retain(is_clear);
        found
    }

    /// Whether a line keeps clear of the lines where the load comes in and goes out: a section at
    /// a slant that clips one would leave a part of it to neither side.
    fn parts(&self, line: &Line) -> bool {
        let ends = |edge: &Edge| [edge.from, edge.to].map(|p| line.ahead(p));
        let goes_out = match &self.exit {
            Exit::Line(edge) => ends(edge).iter().all(|ahead| *ahead < -CLEAR),
            Exit::Bolts(_) => true,
        };
        let comes_in = match &self.entry {
            Entry::Line(edge, _) => ends(edge).iter().all(|ahead| *ahead > CLEAR),
            Entry::Here => true,
        };
        goes_out && comes_in
    }

    fn chords_beside(&self, station: &Station, chord: &Chord, step: f64) -> Vec<Station> {
        let Some(parting) = &self.parting else { return Vec::new() };
        let mut chords = parting.contour.nudged(chord, &openings(station), step);
        for source in &self.ground.sources {
            // As far from the loaded hole as it is.
            let lines = turned(&station.cut, source.at, step);
            chords.extend(lines.iter().filter_map(|line| parting.contour.beside(line, source.at)));
        }
        let parted = chords.iter().filter_map(|chord| parting.separated(chord, CLEAR));
        parted.filter_map(|chord| self.whole(chord)).collect()
    }

    /// Lines near that of a section: shifted, and rotated by so little that its ends move one
    /// step.
    fn lines_beside(&self, station: &Station, step: f64) -> Vec<Line> {
        let line = station.cut.line;
        let [from, to] = station.cut.ends();
        let bolts = if let Exit::Bolts(bolts) = &self.exit { bolts.as_slice() } else { &[] };
        let passed = bolts.iter().copied().filter(|p| line.ahead(*p).abs() < PASSED);
        let along = [from, f64::midpoint(from, to), to].map(|s| line.point(s)).into_iter();
        let loaded = self.ground.sources.iter().map(|source| source.at);
        let pivots = along.chain(openings(station)).chain(passed).chain(loaded);
        let lines = pivots.flat_map(|pivot| turned(&station.cut, pivot, step));
        let lines = shifted(&line, step).into_iter().chain(lines);
        let is_off = |line: &Line| bolts.iter().all(|p| line.ahead(*p).abs() > OFF * BESIDE);
        lines.filter(is_off).collect()
    }
}

/// The line of a section turned about a point, as far from it as before, so that the ends of the
/// section move by about a step.
fn turned(cut: &Cut, pivot: Point, step: f64) -> [Line; 2] {
    let [from, to] = cut.ends();
    let turn = (2.0 * step / (to - from).max(step)).to_degrees();
    [turn, -turn].map(|turn| {
        let toward = rotated(cut.line.toward, turn);
        Line { at: pivot - toward * cut.line.ahead(pivot), toward }
    })
}

fn shifted(line: &Line, step: f64) -> [Line; 2] {
    [step, -step].map(|by| Line { at: line.at + line.toward * by, ..*line })
}

/// The centres of the openings between the ligaments of a section.
fn openings(station: &Station) -> Vec<Point> {
    let pairs = station.cut.ligaments.windows(2);
    let middle =
        |pair: &[Ligament]| station.cut.line.point(f64::midpoint(pair[0].to, pair[1].from));
    pairs.map(middle).collect()
}

/// Whether no part of a section is so narrow that rounding decides on which side of it it runs.
fn is_clear(station: &Station) -> bool {
    let ligaments = &station.cut.ligaments;
    let is_wide = ligaments.iter().all(|ligament| ligament.to - ligament.from > CLEAR);
    is_wide && ligaments.windows(2).all(|pair| pair[1].from - pair[0].to > CLEAR)
}
