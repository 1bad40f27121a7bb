//! Every section of the load path under one direction of the load.

use crate::geom::Frame;
use crate::geom::Point;
use crate::geom::Space;
use crate::geom::cross;
use crate::geom::dot;
use crate::geom::minus;
use crate::geom::plus;
use crate::geom::times;
use crate::num;
use crate::strength::bolts::Seat;
use crate::strength::case::Case;
use crate::strength::case::NOTHING;
use crate::strength::group::Group;
use crate::strength::heat::Strip;
use crate::strength::ligament::Cut;
use crate::strength::limit::Forces;
use crate::strength::limit::Limit;
use crate::strength::limit::Member;
use crate::strength::limit::Section;
use crate::strength::line::Line;
use crate::strength::load_path::Way;
use crate::strength::method::Method;
use crate::strength::net::Path;
use crate::strength::reason::Reason;
use crate::strength::refined_least;
use crate::strength::section;
use crate::strength::section::Terms;
use crate::strength::section::Worst;
use crate::strength::station::Ground;
use crate::strength::station::Station;
use crate::strength::verdict::Verdict;

/// A push spreads at 30° on its way: no more of the plate buckles under it (AISC manual, part
/// 9).
const TAN_30: f64 = 0.577_350_269_189_625_8;

/// A ligament beside an opening with less spread of the load than this carries none of it, mm. The
/// same for every sheet: by its thickness a thicker sheet would lose ligaments that a thinner one
/// has. Our choice, the thickness of a thin plate.
const REACHED: f64 = 3.0;

/// Sections that would allow less without an opening or a notch: neither ever raises the allowable
/// load.
const FILLED: &str = "section of the plate, as if an opening were filled";
const FILLED_BEND: &str = "section at a bend, as if an opening were filled";
const FILLED_NOTCH: &str = "section of the plate, as if a notch were filled";

/// The way of a load.
pub(super) struct Along<'a> {
    pub(super) case: &'a Case<'a>,
    pub(super) ground: &'a Ground<'a>,
    pub(super) way: Way<'a>,
    /// Net sections of a face.
    pub(super) paths: Vec<(usize, Path)>,
}

/// A force and where it acts, in space.
type Action = (Space, Space);

/// The forces in a section from what acts on the load's side, about a point of it.
fn resultants(actions: &[Action], about: Space, frame: &Frame, line: &Line) -> Forces {
    let (normal, along) = (frame.direction(line.toward), frame.direction(line.along()));
    let (mut force, mut moment) = ([0.0; 3], [0.0; 3]);
    for (at, acting) in actions {
        force = plus(force, *acting);
        moment = plus(moment, cross(minus(*at, about), *acting));
    }
    Forces {
        normal: dot(force, normal),
        shear: dot(force, along),
        across: dot(force, frame.z),
        bend_in: dot(moment, frame.z),
        bend_out: dot(moment, along),
        torsion: dot(moment, normal),
    }
}

impl Along<'_> {
    /// The lowest limit of each face, bend and seam, and of the net sections.
    pub(super) fn judged(
        &self,
        force: Space,
        seat: Option<(&Seat, &Group)>,
        verdict: &mut Verdict,
    ) -> Result<(), Reason> {
        let count = self.case.points.len() as f64;
        let share = times(force, 1.0 / count);
        let reactions = seat.map(|(seat, group)| seat.reactions(group)).unwrap_or_default();
        let over = seat.is_some_and(|(_, group)| group.over.is_some());
        let held = Member::Face(self.ground.support.face);
        let counts = |s: &Station| s.member == held && s.bolts.is_empty();
        if over && !self.way.stations.iter().any(counts) {
            return Err(Reason::InLine(self.name(held)));
        }
        let judge = |station: &Station| {
            // Where the plate turns over its edge, what presses there is in no bolt's share.
            if over && !station.bolts.is_empty() {
                return Ok(None);
            }
            let mut actions: Vec<Action> =
                station.loads.iter().map(|i| (self.case.points[*i], share)).collect();
            actions.extend(station.bolts.iter().map(|i| reactions[*i]));
            self.at(station, &actions)
        };
        let mut min: Vec<(Member, bool, Limit)> = Vec::new();
        let mut keep = |station: &Station, limit: Limit| {
            let same =
                |l: &&mut (Member, bool, Limit)| (l.0, l.1) == (station.member, station.seam);
            match min.iter_mut().find(same) {
                Some((.., known)) if limit.allowable() < known.allowable() => *known = limit,
                Some(_) => {}
                None => min.push((station.member, station.seam, limit)),
            }
        };
        let mut known: Vec<(&Station, f64)> = Vec::new();
        for station in &self.way.stations {
            let Some(limit) = judge(station)? else { continue };
            known.push((station, limit.allowable()));
            keep(station, limit);
        }
        // A neighbouring section that cannot be judged is ignored.
        let judge = |station: &Station| judge(station).ok().flatten();
        for (station, limit) in refined_least::near(&self.way.faces, known, &judge) {
            keep(&station, limit);
        }
        verdict.limits.extend(min.into_iter().map(|(.., limit)| limit));
        for (face, path) in &self.paths {
            verdict.limits.extend(self.net(*face, path, force));
        }
        Ok(())
    }

    fn terms(&self, station: &Station, cut: &Cut) -> Terms {
        let flat = cut.ends().map(|s| station.place.apply(cut.line.point(s)));
        let metal = self.case.metal_at(flat, 0.0);
        Terms {
            thickness: self.ground.part.thickness,
            metal,
            method: self.case.method,
            length: self.length(),
            pushed: self.breadth() + 2.0 * TAN_30 * self.length(),
            oblique: station.oblique,
        }
    }

    /// From the load to the support, in the flat, mm.
    fn length(&self) -> f64 {
        let places = &self.ground.flat.places;
        let load = places[self.ground.loaded].apply(self.case.spot.centre);
        let held = places[self.ground.support.face].apply(self.ground.support.centre());
        (load - held).hypot()
    }

    /// Over what width the load acts, mm.
    fn breadth(&self) -> f64 {
        let discs: Vec<(Point, f64)> =
            self.ground.sources.iter().flat_map(|s| s.discs.iter().copied()).collect();
        let apart = |a: &(Point, f64)| {
            discs.iter().map(|b| (a.0 - b.0).hypot() + a.1 + b.1).fold(0.0, f64::max)
        };
        discs.iter().map(apart).fold(0.0, f64::max)
    }

    /// The limit of one section: with its openings, and with metal in any of them.
    fn at(&self, station: &Station, actions: &[Action]) -> Result<Option<Limit>, Reason> {
        if station.cut.ligaments.is_empty() {
            return Ok(None);
        }
        let open = match (station.filled, self.through(station, &station.cut, actions)) {
            (false, open) => open?,
            (true, filled) => filled.ok().flatten().map(|limit| limit.called(FILLED_NOTCH)),
        };
        // If a load does not spread to the section of the plate without openings, that is ignored.
        let filled = station.cut.fillings();
        let filled = filled.iter().filter_map(|cut| self.through(station, cut, actions).ok()?);
        let what = match station.member {
            Member::Face(_) if station.filled => FILLED_NOTCH,
            Member::Face(_) => FILLED,
            Member::Bend(_) => FILLED_BEND,
        };
        let limits = open.into_iter().chain(filled.map(|l| l.called(what)));
        Ok(limits.min_by(|a, b| a.allowable().total_cmp(&b.allowable())))
    }

    /// The limit of a section along one cut.
    fn through(
        &self,
        station: &Station,
        cut: &Cut,
        actions: &[Action],
    ) -> Result<Option<Limit>, Reason> {
        let half = -self.ground.part.thickness / 2.0;
        // Within the width of what bears on the plate, the load has not spread.
        let spreads = station.spreads(cut);
        let spread = spreads.first().filter(|_| station.bends);
        let cut = &spread.map_or(cut.clone(), |s| cut.within(s, REACHED));
        if cut.ligaments.is_empty() {
            return Err(Reason::Spread(self.name(station.member)));
        }
        let point = |s: f64| station.frame.point(cut.line.point(s), half);
        let about = point(section::centre(cut));
        let mut forces = resultants(actions, about, &station.frame, &cut.line);
        let whole = forces;
        if !station.bends {
            forces = Forces { bend_out: 0.0, across: 0.0, torsion: 0.0, ..forces };
        }
        let worst = section::worst(cut, &forces, spreads, &self.terms(station, cut));
        let Some(worst) = worst.map_err(|_| Reason::Spread(self.name(station.member)))? else {
            return Ok(None);
        };
        let Worst { ligament, share, allowable, times, rule } = worst;
        let factor = self.case.method.yielding();
        let what = match (station.member, station.seam) {
            (_, true) => "plate at its support",
            (Member::Face(_), false) => "section of the plate",
            (Member::Bend(_), false) => "section at a bend",
        };
        let flat = |s: f64| station.place.apply(cut.line.point(s));
        let ends = cut.ends();
        let ligament = &cut.ligaments[ligament];
        Ok(Some(Limit::new(what, rule, times * factor, factor).at(Section {
            member: station.member,
            flat: ends.map(flat),
            folded: ends.map(point),
            forces: whole.times(self.case.each),
            ligament: [ligament.from, ligament.to].map(flat),
            share: share.times(self.case.each),
            allowable,
        })))
    }

    fn name(&self, member: Member) -> String {
        match member {
            Member::Face(face) => self.ground.part.faces[face].name.clone(),
            Member::Bend(bend) => self.ground.part.bends[bend].name.clone(),
        }
    }

    /// Rupture of a net section, pulled and sheared.
    fn net(&self, face: usize, path: &Path, force: Space) -> Vec<Limit> {
        let (ground, case) = (self.ground, self.case);
        let frame = &ground.folded.faces[face].frame;
        let here = face == ground.loaded;
        let loads = ground.sources.iter().filter(|s| !here || path.is_behind(s.at)).count();
        let share = loads as f64 / ground.sources.len() as f64;
        let centre = path.points[0].midpoint(path.points[path.points.len() - 1]);
        let about = frame.point(centre, -ground.part.thickness / 2.0);
        let acting = [(case.centre(), times(force, share))];
        let forces = resultants(&acting, about, frame, &path.line);
        let ends = [path.points[0], path.points[path.points.len() - 1]];
        let place = &ground.flat.places[face];
        let flat = ends.map(|p| place.apply(p));
        let legs = path.points.windows(2).map(|leg| ([leg[0], leg[1]], 0.0));
        let metal = case.heat_of(face).weakest(case.metal, &legs.collect::<Vec<Strip>>());
        let t = ground.part.thickness;
        let tensile = metal.tensile_strength * t;
        let section = |allowable: Forces| Section {
            member: Member::Face(face),
            flat,
            folded: ends.map(|p| frame.point(p, -t / 2.0)),
            forces: forces.times(case.each),
            ligament: flat,
            share: forces.times(case.each),
            allowable,
        };
        let factor = case.method.rupture();
        let mut limits = Vec::new();
        let rules = match case.method {
            Method::Aisc360 => ["AISC 360-16 J4-2, B4.3b", "AISC 360-16 J4-4"],
            Method::Bth1(_) => ["ASME BTH-1 section 3-2"; 2],
        };
        if forces.normal > NOTHING {
            let max = tensile * path.net;
            let allowable = Forces { normal: max / factor, ..Forces::default() };
            let nominal = max / forces.normal;
            let limit =
                Limit::new("net section through holes, tensile rupture", rules[0], nominal, factor);
            limits.push(limit.at(section(allowable)));
        }
        let shear = num::hypot(forces.shear, forces.across);
        if shear > NOTHING {
            let max = 0.6 * tensile * path.straight;
            let [shear_most, across] = [max / factor; 2];
            let allowable = Forces { shear: shear_most, across, ..Forces::default() };
            let nominal = max / shear;
            let limit =
                Limit::new("net section through holes, shear rupture", rules[1], nominal, factor);
            limits.push(limit.at(section(allowable)));
        }
        limits
    }
}
