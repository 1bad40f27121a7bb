//! The sections of one face of the load path.
//!
//! They run across the load path, between the line where the load enters and the line where it
//! leaves, at slants on either side as well, through every hole, and past every corner.
//! Where bolts hold the face, a section may have bolts on the load's side, whose reactions
//! then belong to its free body.

use crate::bend;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Vec2;
use crate::geom::rotated;
use crate::num::Angle;
use crate::strength::cut::Behind;
use crate::strength::cut::Plate;
use crate::strength::ligament::Cut;
use crate::strength::limit::Member;
use crate::strength::line::Line;
use crate::strength::line::mean;
use crate::strength::notch;
use crate::strength::notch::FilledOutline;
use crate::strength::parting::LoadedOutline;
use crate::strength::reason::Reason;
use crate::strength::station::Ground;
use crate::strength::station::Made;
use crate::strength::station::Station;

/// Sections across the load path of each face, beside those at its corners and holes. Our choice.
pub(super) const STATIONS: usize = 60;
/// Slants at which each of these is cut as well, degrees. Our choice.
const SLANTS: [f64; 8] = [-45.0, -33.0, -22.0, -11.0, 11.0, 22.0, 33.0, 45.0];
/// How far beside a hole, a corner or a line its section is cut, mm.
pub(super) const BESIDE: f64 = 1e-6;
/// The same at corners, whose coordinates are rounded as well.
pub(super) const PAST_CORNER: f64 = 1e-4;
/// A section may cut off this much of the end of a line, mm: where two lines end in one corner.
const CLIPPED: f64 = 2.0 * PAST_CORNER;
/// Sine of the angle below which two edges are parallel.
pub(super) const PARALLEL: f64 = 1e-9;
/// Maximum number of corners of a face that get a section each. Our choice.
const MAX_CORNERS: usize = 400;

/// Where the load comes into a face.
#[derive(Clone)]
pub(super) enum Entry {
    Here,
    /// Over a bend, at mid-thickness, this many mm in front of this line.
    Line(Edge, f64),
}

/// Where the load leaves it.
#[derive(Clone)]
pub(super) enum Exit {
    Line(Edge),
    Bolts(Vec<Point>),
}

/// The loads and supports on the two sides of a line.
#[derive(Default)]
struct Sides {
    ahead: Vec<Point>,
    behind: Vec<Point>,
    /// The shares of the load and the bolts ahead.
    loads: Vec<usize>,
    bolts: Vec<usize>,
}

impl Sides {
    fn sort(&mut self, line: &Line, p: Point) {
        match line.ahead(p) > 0.0 {
            true => self.ahead.push(p),
            false => self.behind.push(p),
        }
    }
}

/// How a row of parallel sections runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Row {
    /// Across the load path, and at slants to that.
    Across,
    /// Along one of the axes of the bolts, between which the load acts.
    Axis,
    /// At a slant to these.
    Slanted,
}

impl Row {
    pub(super) const fn of(slanted: bool) -> Self {
        if slanted { Self::Slanted } else { Self::Axis }
    }
}

/// From where a bend begins to where the mid-planes of the plates beside it meet, mm; for more
/// than a right angle that of one.
pub(super) fn heel(bend: &bend::Bend) -> f64 {
    let half = Angle::from_degrees(bend.angle().degrees().min(90.0) / 2.0);
    half.tan() * (bend.radius() + bend.thickness() / 2.0)
}

/// A face of the load path.
pub(super) struct Face<'a> {
    pub(super) ground: &'a Ground<'a>,
    pub(super) index: usize,
    pub(super) region: Region,
    pub(super) plate: Plate,
    pub(super) entry: Entry,
    pub(super) exit: Exit,
    /// Notches of it that are counted as metal.
    pub(super) filled: Option<FilledOutline>,
    /// What separates the load from the support.
    pub(super) parting: Option<LoadedOutline>,
}

impl<'a> Face<'a> {
    pub(super) fn new(ground: &'a Ground<'a>, index: usize, entry: Entry, exit: Exit) -> Self {
        let region = ground.folded.faces[index].region.clone();
        Self::drawn(ground, index, region, entry, exit)
    }

    fn drawn(
        ground: &'a Ground<'a>,
        index: usize,
        region: Region,
        entry: Entry,
        exit: Exit,
    ) -> Self {
        let plate = Plate::of(&region, &ground.part.faces[index].holes, &ground.fasteners[index]);
        let edge = |e: &Edge| [0.0, 0.25, 0.5, 0.75, 1.0].map(|share| e.point_at(share)).to_vec();
        let load = match &entry {
            Entry::Here => ground.sources.iter().map(|s| s.at).collect(),
            Entry::Line(into, _) => edge(into),
        };
        let held = match &exit {
            Exit::Line(out) => edge(out),
            Exit::Bolts(bolts) => bolts.clone(),
        };
        let parting = LoadedOutline::of(&region, load, held, &ground.fasteners[index]);
        Self { ground, index, region, plate, entry, exit, filled: None, parting }
    }

    /// The same face with its notches filled, in every choice of them.
    fn fillings(&self) -> impl Iterator<Item = Self> + '_ {
        notch::fillings(self.region.outer()).into_iter().map(|filled| {
            let region = self.region.bounded(filled.outer.clone());
            let (entry, exit) = (self.entry.clone(), self.exit.clone());
            let face = Self::drawn(self.ground, self.index, region, entry, exit);
            Self { filled: Some(filled), ..face }
        })
    }

    /// The face as drawn with its sections, and with its notches filled with the sections through
    /// them.
    pub(super) fn walked(self) -> Result<Vec<(Self, Vec<Station>)>, Reason> {
        let mut stations = Vec::new();
        self.as_drawn(&mut stations)?;
        let fillings: Vec<Self> = self.fillings().collect();
        // If a plate without its notch cannot be judged, that is ignored.
        let filled = fillings.into_iter().filter_map(|face| {
            let mut stations = Vec::new();
            face.as_drawn(&mut stations).ok().map(|()| (face, stations))
        });
        let filled: Vec<_> = filled.collect();
        Ok(std::iter::once((self, stations)).chain(filled).collect())
    }

    fn as_drawn(&self, stations: &mut Vec<Station>) -> Result<(), Reason> {
        self.bridged()?;
        match (&self.entry, &self.exit) {
            (Entry::Here, Exit::Line(out)) => {
                let across = (out.to - out.from).normalize();
                let toward = Vec2::new(-across.y, across.x);
                let line = Line { at: out.from.midpoint(out.to), toward };
                let loads = self.ground.sources.iter().map(|s| line.ahead(s.at));
                let reach = loads.fold(f64::NEG_INFINITY, f64::max);
                if reach <= BESIDE {
                    return Err(Reason::Behind);
                }
                self.row(line, (BESIDE, reach - BESIDE), Row::Across, stations)
            }
            (Entry::Line(into, _), Exit::Line(out)) => self.fan(into, out, stations),
            (Entry::Line(into, _), Exit::Bolts(bolts)) => {
                let across = (into.to - into.from).normalize();
                let toward = Vec2::new(across.y, -across.x);
                let line = Line { at: into.from.midpoint(into.to), toward };
                self.reached(&line, bolts)?;
                let far = bolts.iter().map(|p| line.ahead(*p)).fold(0.0, f64::min);
                self.row(line, (far + BESIDE, -BESIDE), Row::Across, stations)
            }
            (Entry::Here, Exit::Bolts(bolts)) => self.among(bolts, stations),
        }?;
        stations.extend(self.slanted_sections());
        if let Exit::Bolts(bolts) = &self.exit {
            self.beside_each(bolts, stations);
        }
        Ok(())
    }

    /// Sections parallel to a line, between two distances on the load's side of it.
    pub(super) fn row(
        &self,
        line: Line,
        (low, high): (f64, f64),
        row: Row,
        stations: &mut Vec<Station>,
    ) -> Result<(), Reason> {
        let moved = |d: f64| Line { at: line.at + line.toward * d, ..line };
        let step = (high - low) / STATIONS as f64;
        let even: Vec<f64> = (0..STATIONS).map(|i| low + (i as f64 + 0.5) * step).collect();
        let mut special: Vec<f64> = vec![low, high];
        let corners = self.plate.corners(line.toward);
        let corners = corners.iter().map(|p| line.ahead(*p)).take(MAX_CORNERS);
        special.extend(corners.flat_map(|d| [d - PAST_CORNER, d + PAST_CORNER]));
        let holes = &self.ground.part.faces[self.index].holes;
        let holes = holes.iter().map(|h| line.ahead(h.at));
        special.extend(holes.flat_map(|d| [d - BESIDE, d + BESIDE]));
        // Where the loaded area ends, and the plate begins to bend.
        let loaded = self.ground.sources.iter().map(|s| (line.ahead(s.at), s.half + BESIDE));
        special.extend(loaded.flat_map(|(d, half)| [d - half, d + half]));
        special.retain(|d| (low..=high).contains(d));
        special.sort_by(f64::total_cmp);
        special.dedup_by(|a, b| (*a - *b).abs() < BESIDE / 2.0);
        if row == Row::Across {
            self.staggered(&line)?;
        }
        for d in even.iter().chain(&special) {
            let cut = self.cut(moved(*d), row == Row::Slanted, stations);
            // A slanted line may miss what is to be separated, and is then ignored.
            if row != Row::Slanted {
                cut?;
            }
        }
        if row != Row::Across {
            return Ok(());
        }
        for d in even {
            let at = self.pivot(moved(d));
            for slant in SLANTS {
                let slanted = Line { at, toward: rotated(line.toward, slant) };
                let known = stations.len();
                self.cut(slanted, true, stations).ok();
                for station in &mut stations[known..] {
                    station.made = Made::Slant(line.toward);
                }
            }
        }
        Ok(())
    }

    /// Roughly where the load path crosses a line: between the load and the support of the face.
    fn pivot(&self, line: Line) -> Point {
        let from = match &self.entry {
            Entry::Here => mean(&self.ground.sources.iter().map(|s| s.at).collect::<Vec<_>>()),
            Entry::Line(edge, _) => edge.from.midpoint(edge.to),
        };
        let to = match &self.exit {
            Exit::Line(edge) => edge.from.midpoint(edge.to),
            Exit::Bolts(bolts) => mean(bolts),
        };
        let (a, b) = (line.ahead(from), line.ahead(to));
        let share = if (a - b).abs() > BESIDE { (a / (a - b)).clamp(0.0, 1.0) } else { 0.5 };
        from.lerp(to, share)
    }

    pub(super) fn name(&self) -> String {
        self.ground.part.faces[self.index].name.clone()
    }

    /// The loads and supports on the two sides of a line; `None` if it does not separate the load
    /// from the support of the face.
    fn sides(&self, line: &Line) -> Option<Sides> {
        let sources = &self.ground.sources;
        let mut sides = Sides { loads: (0..sources.len()).collect(), ..Sides::default() };
        match &self.entry {
            Entry::Here => {
                sides.loads.retain(|i| line.ahead(sources[*i].at) > 0.0);
                sources.iter().for_each(|s| sides.sort(line, s.at));
            }
            Entry::Line(edge, _) => {
                if [edge.from, edge.to].iter().any(|p| line.ahead(*p) < -CLIPPED) {
                    return None;
                }
                sides.sort(line, edge.from.midpoint(edge.to));
            }
        }
        match &self.exit {
            Exit::Line(edge) => {
                if [edge.from, edge.to].iter().any(|p| line.ahead(*p) > CLIPPED) {
                    return None;
                }
                let is_held = self.ground.support.face == self.index;
                let seams = if is_held { self.ground.support.edges.clone() } else { vec![*edge] };
                seams.iter().for_each(|e| sides.sort(line, e.point_at(0.5)));
            }
            Exit::Bolts(places) => {
                let ahead = |i: &usize| line.ahead(places[*i]) > 0.0;
                sides.bolts = (0..places.len()).filter(ahead).collect();
                places.iter().for_each(|p| sides.sort(line, *p));
            }
        }
        (!sides.ahead.is_empty() && !sides.behind.is_empty()).then_some(sides)
    }

    /// The sections along one line, where it separates the load from the support of the face.
    pub(super) fn cut(
        &self,
        line: Line,
        oblique: bool,
        stations: &mut Vec<Station>,
    ) -> Result<(), Reason> {
        if self.filled.as_ref().is_some_and(|filled| !filled.meets(&line)) {
            return Ok(());
        }
        let Some(Sides { ahead, behind, loads, bolts }) = self.sides(&line) else {
            return Ok(());
        };
        let (ground, sources) = (self.ground, &self.ground.sources);
        let every: Vec<usize> = (0..sources.len()).collect();
        let cuts = match &self.exit {
            Exit::Line(_) => self.plate.cut(line, &ahead, &behind, Behind::Joined),
            Exit::Bolts(_) => self.plate.cut(line, &ahead, &behind, Behind::Loose),
        };
        let cuts = cuts.map_err(|_| Reason::Branched(self.name()))?;
        let place = ground.flat.places[self.index];
        let from = if loads.is_empty() { &every } else { &loads };
        let mut spreads = vec![ground.spread(&line, &place, from)];
        spreads.extend(self.beside_bolts(&line, &loads));
        let beyond = |i: &usize| line.ahead(sources[*i].at).abs() >= sources[*i].half;
        let bends = !matches!(self.entry, Entry::Here) || from.iter().any(beyond);
        let counted = cuts.into_iter().filter(|cut| self.counts(&cut.line, cut.ends()));
        stations.extend(counted.map(|cut| Station {
            member: Member::Face(self.index),
            seam: false,
            frame: ground.folded.faces[self.index].frame,
            place,
            spreads: along(&spreads, cut.line.toward.dot(line.toward) < 0.0),
            beside_all: oblique && bolts.is_empty(),
            cut: if oblique { in_plane(cut) } else { cut },
            oblique,
            loads: loads.clone(),
            bolts: bolts.clone(),
            bends,
            filled: self.filled.is_some(),
            of: 0,
            made: if oblique { Made::Slant(line.toward) } else { Made::Row },
        }));
        Ok(())
    }

    /// Whether a section is one of the face as drawn, or of the face with its notches filled.
    pub(super) fn counts(&self, line: &Line, ends: [f64; 2]) -> bool {
        self.filled.as_ref().is_none_or(|filled| filled.counts(line, ends))
    }

    /// What of a line counts for the bolts on its other side: as far to either side as each is
    /// from the load or from the bend (AISC manual, part 9: no more than twice that).
    fn beside_bolts(&self, line: &Line, loads: &[usize]) -> Option<Vec<(f64, f64)>> {
        let Exit::Bolts(bolts) = &self.exit else { return None };
        let sources = &self.ground.sources;
        let far = |p: Point| match &self.entry {
            Entry::Line(edge, heel) => {
                let along = (edge.to - edge.from).normalize();
                heel + (p - edge.from).cross(along).abs()
            }
            Entry::Here => sources.iter().map(|s| (s.at - p).hypot()).fold(f64::INFINITY, f64::min),
        };
        let beyond = |p: &&Point| (line.ahead(**p) > 0.0) == loads.is_empty();
        let of = |p: &Point| (line.place(*p) - far(*p), line.place(*p) + far(*p));
        Some(bolts.iter().filter(beyond).map(of).collect())
    }
}

/// At a slant ligaments are no open frame, as they do not run along the cut's normal: they stay
/// in one plane.
fn in_plane(cut: Cut) -> Cut {
    let gaps = vec![(0.0, 0.0); cut.gaps.len()];
    Cut { gaps, ..cut }
}

/// Stretches along a line that may be run the other way.
fn along(spreads: &[Vec<(f64, f64)>], backwards: bool) -> Vec<Vec<(f64, f64)>> {
    let stretch = |s: &(f64, f64)| if backwards { (-s.1, -s.0) } else { *s };
    spreads.iter().map(|spread| spread.iter().map(stretch).collect()).collect()
}
