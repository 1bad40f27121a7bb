//! The sections from a load to the support, face by face and bend by bend.

use crate::geom::Edge;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::num::Angle;
use crate::strength::cut;
use crate::strength::face::BESIDE;
use crate::strength::face::Entry;
use crate::strength::face::Exit;
use crate::strength::face::Face;
use crate::strength::face::PARALLEL;
use crate::strength::face::PAST_CORNER;
use crate::strength::face::heel;
use crate::strength::ligament::Cut;
use crate::strength::ligament::Ligament;
use crate::strength::limit::Member;
use crate::strength::line::Line;
use crate::strength::place;
use crate::strength::reason::Reason;
use crate::strength::station::Ground;
use crate::strength::station::Made;
use crate::strength::station::Station;
use crate::strength::station::bends;
use crate::strength::station::nearest;
use crate::strength::support::By;

/// Sections of a bend, from its beginning to its end. Our choice.
const ALONG_BEND: u32 = 24;

/// The faces of a way, and all its sections.
#[derive(Default)]
pub(super) struct Way<'a> {
    /// Each as drawn, and with its notches filled.
    pub(super) faces: Vec<Face<'a>>,
    pub(super) stations: Vec<Station>,
}

impl<'a> Way<'a> {
    /// Adds a face with its sections.
    fn add(&mut self, face: Face<'a>) -> Result<(), Reason> {
        for (face, stations) in face.walked()? {
            let of = self.faces.len();
            self.faces.push(face);
            self.stations.extend(stations.into_iter().map(|station| Station { of, ..station }));
        }
        Ok(())
    }
}

impl Ground<'_> {
    /// All sections of the load path.
    pub(super) fn way(&self) -> Result<Way<'_>, Reason> {
        let mut way = Way::default();
        let mut entry = Entry::Here;
        let mut face = self.loaded;
        for (bend, is_carried) in bends(self.part, self.loaded, self.support.face) {
            let strip = &self.flat.bends[bend];
            let (out, into) = match is_carried {
                true => (strip.ends, strip.begins),
                false => (strip.begins, strip.ends),
            };
            way.add(Face::new(self, face, entry, Exit::Line(out)))?;
            let shares = (0..=ALONG_BEND).map(|i| f64::from(i) / f64::from(ALONG_BEND));
            way.stations.extend(shares.map(|share| self.at_bend(bend, is_carried, share)));
            let bend = &self.part.bends[bend];
            entry = Entry::Line(into, heel(&bend.bend));
            face = if is_carried { bend.from } else { bend.to };
        }
        let exit = match &self.support.by {
            By::Bolts(_, holes) => Exit::Bolts(holes.iter().map(|h| h.at).collect()),
            By::Weld(..) | By::Edge(..) => {
                way.stations.extend(self.at_seam());
                Exit::Line(self.seam_line())
            }
        };
        way.add(Face::new(self, face, entry, exit))?;
        Ok(way)
    }

    /// The lines across the load path of each face, parallel to where the load leaves or, where
    /// the face is bolted, to where it enters.
    pub(super) fn lines(&self) -> Vec<(usize, Line)> {
        let across = |edge: &Edge, side: f64| {
            let along = (edge.to - edge.from).normalize() * side;
            Line { at: edge.from.midpoint(edge.to), toward: Vec2::new(-along.y, along.x) }
        };
        let mut lines = Vec::new();
        let mut last = None;
        let mut face = self.loaded;
        for (bend, is_carried) in bends(self.part, self.loaded, self.support.face) {
            let strip = &self.flat.bends[bend];
            let (out, into) = match is_carried {
                true => (strip.ends, strip.begins),
                false => (strip.begins, strip.ends),
            };
            lines.push((face, across(&out, 1.0)));
            last = Some(across(&into, -1.0));
            let bend = &self.part.bends[bend];
            face = if is_carried { bend.from } else { bend.to };
        }
        let held = match (&self.support.by, self.support.root()) {
            (_, Some(root)) => Some(Line { at: root.centre, toward: root.pull }),
            (By::Bolts(_, holes), _) => last.or_else(|| {
                let centre = place::centre(holes);
                let load = self.sources.iter().fold(Vec2::ZERO, |s, p| s + p.at.to_vec2());
                let away = load / self.sources.len() as f64 - centre.to_vec2();
                let toward = away.normalize();
                (away.hypot() > PAST_CORNER).then_some(Line { at: centre, toward })
            }),
            _ => None,
        };
        lines.extend(held.map(|line| (face, line)));
        lines
    }

    /// A section of a bend after a share of its angle.
    fn at_bend(&self, bend: usize, is_carried: bool, share: f64) -> Station {
        let (folded, strip) = (&self.folded.bends[bend], &self.flat.bends[bend]);
        let metal = &self.folded.strips[bend];
        let y = (share * folded.allowance).clamp(BESIDE, folded.allowance - BESIDE);
        let toward = Vec2::new(0.0, if is_carried { 1.0 } else { -1.0 });
        let line = Line { at: Point::new(0.0, y), toward };
        let to_strip = strip.to_its_own();
        let holes = self.flat.holes.iter().map(|h| h.outline.moved(&to_strip));
        let openings: Vec<_> = metal.holes().iter().cloned().chain(holes).collect();
        let ligaments = cut::chords(metal.outer(), &openings, &line);
        let ligament = |(from, to): (f64, f64)| Ligament { from, to, holes: Vec::new() };
        let gaps = vec![(-y, folded.allowance - y); ligaments.len().saturating_sub(1)];
        let near = strip.tangents[0];
        let along = (near.from - near.to).normalize();
        let start = near.to + Vec2::new(-along.y, along.x) * y;
        let place = Place::rotated(Angle::of(along.x, along.y), start);
        let here = Line { at: Point::ZERO, toward };
        let loads: Vec<usize> = (0..self.sources.len()).collect();
        Station {
            member: Member::Bend(bend),
            seam: false,
            frame: folded.frame_at(share),
            place,
            spreads: vec![self.spread(&here, &place, &loads)],
            beside_all: false,
            cut: Cut { line: here, ligaments: ligaments.into_iter().map(ligament).collect(), gaps },
            oblique: false,
            loads,
            bolts: Vec::new(),
            bends: true,
            filled: false,
            of: 0,
            made: Made::Alone,
        }
    }

    /// The plate along its seam, through the centre of the weld.
    fn at_seam(&self) -> Option<Station> {
        let root = self.support.root()?;
        let line = Line { at: root.centre, toward: root.pull };
        let half = root.width / 2.0;
        let place = self.flat.places[self.support.face];
        let loads: Vec<usize> = (0..self.sources.len()).collect();
        let whole = Ligament { from: -half, to: half, holes: Vec::new() };
        let mut spread = self.spread(&line, &place, &loads);
        if let Some(into) = self.turns(root.along()) {
            // At 45° from the centre of that bend, which turns it, it spreads no farther.
            let reach = line.ahead(into.from.midpoint(into.to)).max(0.0);
            let no_more = |(low, high): (f64, f64)| {
                let (centre, half) = (f64::midpoint(low, high), (high - low) / 2.0);
                (centre - half.min(reach), centre + half.min(reach))
            };
            spread = nearest(spread.into_iter().map(no_more).collect(), [-half, half]);
        }
        Some(Station {
            member: Member::Face(self.support.face),
            seam: true,
            frame: self.folded.faces[self.support.face].frame,
            place,
            spreads: vec![spread],
            beside_all: false,
            cut: Cut { line, ligaments: vec![whole], gaps: Vec::new() },
            oblique: false,
            loads,
            bolts: Vec::new(),
            bends: true,
            filled: false,
            of: 0,
            made: Made::Alone,
        })
    }

    /// Where the load comes into the face of a seam over a bend that is not parallel to it.
    fn turns(&self, seam: Vec2) -> Option<Edge> {
        let (bend, is_carried) = bends(self.part, self.loaded, self.support.face).pop()?;
        let strip = &self.flat.bends[bend];
        let into = if is_carried { strip.begins } else { strip.ends };
        let is_turned = (into.to - into.from).normalize().cross(seam).abs() > PARALLEL;
        is_turned.then_some(into)
    }

    /// The line of a seam, raised to where it reaches farthest into the face.
    fn seam_line(&self) -> Edge {
        let Some(root) = self.support.root() else {
            return Edge::line(Point::ZERO, Point::ZERO);
        };
        let line = Line { at: root.centre, toward: root.pull };
        let points = self
            .support
            .edges
            .iter()
            .flat_map(|e| (0..=16).map(|i| e.point_at(f64::from(i) / 16.0)));
        let crest = points.map(|p| line.ahead(p)).fold(0.0, f64::max);
        let centre = root.centre + root.pull * crest;
        let half = root.along() * (root.width / 2.0);
        Edge::line(centre + half, centre - half)
    }
}
