//! A load on a part: every failure mode along its path, and the one that governs.

use crate::flat::Flat;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::num;
use crate::num::Angle;
use crate::part::Hole;
use crate::part::Part;
use crate::strength::bolt::Bolt;
use crate::strength::bolts::Seat;
use crate::strength::cap::Cap;
use crate::strength::case::Case;
use crate::strength::case::NOTHING;
use crate::strength::case::Subject;
use crate::strength::every_section::Along;
use crate::strength::fault::Fault;
use crate::strength::heat::Heat;
use crate::strength::held;
use crate::strength::limit::Forces;
use crate::strength::limit::Metal;
use crate::strength::line::Line;
use crate::strength::load::At;
use crate::strength::load::Direction;
use crate::strength::load::Load;
use crate::strength::net;
use crate::strength::net::Path;
use crate::strength::place;
use crate::strength::place::Spot;
use crate::strength::reason::Reason;
use crate::strength::shadow;
use crate::strength::single_pin;
use crate::strength::station::Ground;
use crate::strength::station::Source;
use crate::strength::station::bends;
use crate::strength::support;
use crate::strength::support::By;
use crate::strength::support::Support;
use crate::strength::tear_out::Pinned;
use crate::strength::unmodelled;
use crate::strength::verdict::Acts;
use crate::strength::verdict::State;
use crate::strength::verdict::Verdict;
use crate::strength::weld::Fillet;

/// Judges a load on a part.
///
/// # Errors
/// When the load names something that does not exist, or a value it depends on is not known.
pub fn judge(load: &Load, on: &Subject) -> Result<Verdict, Fault> {
    let part = on.part;
    let spot =
        place::spot(part, on.folded, &load.at).ok_or_else(|| Fault::Nowhere(load.at.clone()))?;
    let pinned = pinned(load, &spot)?;
    let pieces = load.shared.unwrap_or(part.copies * ears(part, &spot.holes));
    let mut verdict = blank(load, pieces);
    let support = match support::support(part, on.folded, load, &spot)? {
        Ok(support) => support,
        Err(reason) => {
            let cap = Cap::of(load, on, &spot).filter(|_| reason == Reason::Cap);
            match cap {
                Some(cap) => capped(&cap, load, on, &mut verdict)?,
                None => verdict.refuse(reason),
            }
            return Ok(verdict);
        }
    };
    verdict.held = support.words();
    let off = place::off(part, on.folded, &load.at, &spot).map(Reason::Off);
    let unknown = off.or_else(|| unmodelled::of(part, &support, &spot));
    if let Some(reason) = unknown.or_else(|| shadow::stepped(part, on.flat, &spot, &support)) {
        verdict.refuse(reason);
        return Ok(verdict);
    }
    let beside_weld = beside_weld(on, matches!(support.by, By::Weld(..)))?;
    unmodelled::metal(load, on, &mut verdict);
    let pull = pull(part, on.flat, &spot, &support, load);
    verdict.assumed.extend(line_of_pull(part, &spot, &support, load, pull));
    let frame = &on.folded.faces[spot.face].frame;
    let height = spot.above.filter(|above| *above > 0.0).unwrap_or(-part.thickness / 2.0);
    let places: Vec<Point> = match spot.holes.as_slice() {
        [] => vec![spot.centre],
        holes => holes.iter().map(|h| h.at).collect(),
    };
    let points = places.iter().map(|p| frame.point(*p, height)).collect();
    let case = Case {
        load,
        on,
        pull,
        support: &support,
        metal: Metal::of(on.material),
        beside_weld,
        heat: Heat::of(part, on.flat, Metal::of(on.material), beside_weld),
        method: load.method,
        each: load.force / f64::from(pieces),
        points,
        spot,
    };
    let refused = case.judged(&pinned, &places, &mut verdict)?.err();
    match refused.or_else(|| verdict.unsound().map(|limit| case.without_figure(limit))) {
        None => verdict.keep_governing(),
        Some(reason) => verdict.lack(reason),
    }
    if verdict.state == State::Judged && verdict.limits.is_empty() {
        return Err(Fault::Nothing);
    }
    Ok(verdict)
}

/// The metal beside a weld, where it is known: where a weld supports the part, it must be.
fn beside_weld(on: &Subject, by_weld: bool) -> Result<Option<Metal>, Fault> {
    let name = || on.material.name().to_owned();
    if !Metal::is_known(on.material) {
        return Err(Fault::NoStrength(name()));
    }
    match Metal::beside_weld(on.material) {
        None if by_weld => Err(Fault::Welded(name())),
        metal => Ok(metal),
    }
}

/// A cap welded all round.
fn capped(cap: &Cap, load: &Load, on: &Subject, verdict: &mut Verdict) -> Result<(), Fault> {
    let Some(metal) = beside_weld(on, true)? else { return Err(Fault::Nothing) };
    unmodelled::metal(load, on, verdict);
    verdict.acts = Some(cap.acts(on));
    let shear = held::filler(load, on, verdict)?;
    if let Some(leg) = load.leg {
        cap.judge(on, metal, Fillet { leg, shear }, verdict);
    }
    if let Some(what) = verdict.unsound().map(|limit| limit.what) {
        verdict.lack(Reason::NoFigure(what));
    }
    Ok(())
}

/// A verdict without results.
fn blank(load: &Load, pieces: u32) -> Verdict {
    Verdict {
        case: load.name.clone(),
        part: load.part.clone(),
        at: load.at.words(),
        direction: load.direction.words(),
        acting: load.at.acting(load.direction),
        acts: None,
        held: String::new(),
        method: load.method,
        force: load.force,
        pieces,
        state: State::Judged,
        limits: Vec::new(),
        shapes: Vec::new(),
        wall: None,
        assumed: Vec::new(),
        not_judged: Vec::new(),
    }
}

/// The holes of a load with their pins or bolts.
fn pinned<'a>(load: &Load, spot: &Spot<'a>) -> Result<Vec<Pinned<'a>>, Fault> {
    let one = |hole: &&'a Hole| {
        let not_round = || Fault::NotRound(hole.name.clone());
        let diameter = hole.diameter().ok_or_else(not_round)?;
        let pin = load.pin.or(hole.pin()).ok_or_else(|| Fault::NoPin(hole.name.clone()))?;
        match pin > diameter + 1e-9 {
            true => Err(Fault::PinTooLarge(hole.name.clone())),
            false => Ok(Pinned { hole, diameter, pin }),
        }
    };
    spot.holes.iter().map(one).collect()
}

/// Directly away from the support of the loaded face: from the bend on the path, else from the
/// seam or the edge, else from the centre of the bolts.
fn pull(part: &Part, flat: &Flat, spot: &Spot, support: &Support, load: &Load) -> Vec2 {
    let ways = bends(part, spot.face, support.face);
    if let Some((bend, is_carried)) = ways.first() {
        let strip = &flat.bends[*bend];
        let edge = if *is_carried { strip.ends } else { strip.begins };
        let along = (edge.to - edge.from).normalize();
        return Vec2::new(-along.y, along.x);
    }
    match &support.by {
        By::Weld(_, root) | By::Edge(_, root) => root.pull,
        By::Bolts(_, holes) => {
            let away = spot.centre - place::centre(holes);
            // Up in the drawing: a point may be over the centre of the bolts.
            let is_point = matches!(load.at, At::Point { .. });
            let is_apart = away.hypot() > NOTHING && !is_point;
            if is_apart { away.normalize() } else { Vec2::new(0.0, 1.0) }
        }
    }
}

/// Along which line a load on a bolted plate pulls, in words: not square to an edge of it, as where an
/// edge or a bend is the support.
fn line_of_pull(
    part: &Part,
    spot: &Spot,
    support: &Support,
    load: &Load,
    pull: Vec2,
) -> Option<String> {
    let By::Bolts(_, holes) = &support.by else { return None };
    let is_said = load.direction != Direction::Normal && !matches!(load.at, At::Point { .. });
    if !is_said || !bends(part, spot.face, support.face).is_empty() {
        return None;
    }
    if (spot.centre - place::centre(holes)).hypot() <= NOTHING {
        return Some(
            "tension acts upwards in the drawing: the load is at the centre of the bolts"
                .to_owned(),
        );
    }
    let angle = num::text(Angle::of(pull.x, pull.y).degrees(), 1);
    Some(format!(
        "tension acts along the line from the centre of the bolts to the load, at {angle}° to X in the \
         drawing"
    ))
}

/// Ears of one piece that share the load of the pin in these holes.
fn ears(part: &Part, holes: &[&Hole]) -> u32 {
    let clevis = part.clevis.as_ref().filter(|_| holes.iter().any(|hole| hole.eye));
    clevis.map_or(1, |clevis| clevis.ears)
}

impl<'a> Case<'a> {
    /// Where it acts in the formed part, and which way.
    fn acts(&self, places: &[Point]) -> Acts {
        let frame = &self.on.folded.faces[self.spot.face].frame;
        let middle = -self.on.part.thickness / 2.0;
        Acts {
            at: self.points.clone(),
            feet: places.iter().map(|p| frame.point(*p, middle)).collect(),
            ways: self.load.direction.ways().into_iter().map(|way| self.in_space(way)).collect(),
        }
    }

    /// Judges everything on the load path.
    fn judged(
        &self,
        pinned: &[Pinned],
        places: &[Point],
        verdict: &mut Verdict,
    ) -> Result<Result<(), Reason>, Fault> {
        let part = self.on.part;
        verdict.acts = Some(self.acts(places));
        let seat = match &self.support.by {
            By::Bolts(_, holes) => {
                let frame = self.on.folded.faces[self.support.face].frame;
                match Seat::new(part, self.support.face, holes, frame, self.centre()) {
                    Err(fault) if self.load.bolts.is_none() => {
                        return Ok(Err(Reason::Offered(fault)));
                    }
                    seat => Some(seat?),
                }
            }
            _ => None,
        };
        let ground = self.ground(pinned, places);
        let walked = match ground.way() {
            Ok(walked) => walked,
            Err(reason) => return Ok(Err(reason)),
        };
        let along = Along { case: self, ground: &ground, way: walked, paths: self.paths(&ground) };
        for way in self.load.direction.ways() {
            let force = self.in_space(way);
            let group = match seat.as_ref().map(|seat| seat.shares(force)).transpose() {
                Err(fault) if self.load.bolts.is_none() => {
                    return Ok(Err(Reason::Offered(fault)));
                }
                group => group?,
            };
            if self.needs_foot(way) {
                return Ok(Err(Reason::Foot));
            }
            self.at_holes(pinned, way, verdict);
            if let Err(reason) = along.judged(force, seat.as_ref().zip(group.as_ref()), verdict) {
                return Ok(Err(reason));
            }
            if let (Some(seat), Some(group)) = (&seat, &group) {
                if let Err(reason) = single_pin::pin(seat, group) {
                    return Ok(Err(reason));
                }
                held::by_bolts(self, seat, group, verdict);
            }
            if let Err(reason) = held::by_weld(self, force, verdict)? {
                return Ok(Err(reason));
            }
        }
        self.pins(pinned, verdict);
        self.add_assumptions(verdict);
        Ok(Ok(()))
    }

    fn ground<'g>(&'g self, pinned: &[Pinned<'g>], places: &[Point]) -> Ground<'g> {
        let on = self.on;
        let place = &on.flat.places[self.spot.face];
        let source = |(i, at): (usize, &Point)| {
            let half = pinned.get(i).map_or(self.load.foot.unwrap_or(0.0), |p| p.diameter) / 2.0;
            Source { at: *at, half, discs: vec![(place.apply(*at), half)] }
        };
        let mut sources: Vec<Source> = places.iter().enumerate().map(source).collect();
        if let At::Edge(name) = &self.load.at {
            let face = &on.part.faces[self.spot.face];
            let edge = place::named(face, name).next().map(|e| e.edge);
            let ends = edge.iter().flat_map(|e| [e.from, e.to]);
            sources[0].discs = ends.map(|p| (place.apply(p), 0.0)).collect();
        }
        let fills = |hole: &&Hole| {
            let is_loaded = self.spot.holes.iter().any(|h| std::ptr::eq(*h, *hole));
            let holds = match &self.support.by {
                By::Bolts(_, holes) => holes.iter().any(|h| std::ptr::eq(*h, *hole)),
                _ => false,
            };
            hole.diameter().is_some() && (hole.through.is_some() || is_loaded || holds)
        };
        let faces = on.part.faces.iter();
        Ground {
            part: on.part,
            flat: on.flat,
            folded: on.folded,
            loaded: self.spot.face,
            sources,
            support: self.support,
            fasteners: faces.map(|f| f.holes.iter().filter(fills).collect()).collect(),
        }
    }

    /// The net sections of the faces on the load path.
    fn paths(&self, ground: &Ground) -> Vec<(usize, Path)> {
        let lines = ground.lines().into_iter();
        let of = |(face, line): (usize, Line)| {
            let paths = net::paths(self.on.part, face, &ground.fasteners[face], &line);
            paths.into_iter().map(move |path| (face, path))
        };
        lines.flat_map(of).collect()
    }

    /// The bolt or pin itself, where its grade is given.
    fn pins(&self, pinned: &[Pinned], verdict: &mut Verdict) {
        let Some(grade) = &self.load.grade else {
            if let Some(one) = pinned.first() {
                let name = &one.hole.name;
                let words = format!("the bolt or pin in `{name}`: no grade is given (`grade`)");
                verdict.not_judged.push(words);
            }
            return;
        };
        for one in pinned {
            let tensile_strength = grade.measure("tensile");
            let bolt = Bolt { diameter: one.pin, tensile_strength, flat_head: false };
            let forces = Forces { shear: 1.0 / pinned.len() as f64, ..Forces::default() };
            let here = self.spot_section(self.spot.face, one.hole.at, forces);
            verdict.limits.push(bolt.shear(self.method).shared(1.0, pinned.len()).at(here));
        }
    }

    /// What was assumed and what was left out.
    fn add_assumptions(&self, verdict: &mut Verdict) {
        match &self.support.by {
            By::Bolts(_, holes) => {
                verdict.assumed.extend(single_pin::left_out(self.on.part, holes, &self.spot));
                verdict.assumed.push("bolts by the elastic method: AISC manual, part 7".into());
                if self.load.bolts_grade.is_none() {
                    let words = "the bolts that hold the part: no grade is given (`bolts_grade`)";
                    verdict.not_judged.push(words.into());
                }
            }
            By::Edge(name, ..) => {
                verdict.not_judged.push(format!("what holds the edge `{name}`: it is not a weld"));
            }
            By::Weld(..) => {}
        }
        verdict.assumed.extend(self.heated());
    }
}
