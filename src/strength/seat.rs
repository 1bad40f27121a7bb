//! The bolts that hold a part on what it is screwed to.

use crate::fold::Frame;
use crate::fold::dot;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::num;
use crate::part::Hole;
use crate::part::Part;
use crate::recipe::Measured;
use crate::strength::At;
use crate::strength::Bolt;
use crate::strength::BoltHole;
use crate::strength::Fault;
use crate::strength::Held;
use crate::strength::Leg;
use crate::strength::Limit;
use crate::strength::Method;
use crate::strength::Verdict;
use crate::strength::group;
use crate::strength::group::Pull;
use crate::strength::group::Share;
use crate::strength::judge::Case;
use crate::strength::judge::NOTHING;
use crate::strength::place;
use crate::strength::place::Metalwork;
use crate::strength::pry::Pried;

/// The holes of the bolts, and the face they are in.
struct Seat<'a> {
    face: usize,
    holes: Vec<&'a Hole>,
}

/// A hole with its bolt, mm.
struct Screwed<'a> {
    hole: &'a Hole,
    /// Diameter of the hole.
    size: f64,
    /// Diameter of the bolt.
    pin: f64,
}

impl Case<'_> {
    /// The bolts that hold the part, for a load at `at` of the face `loaded`, `above` mm over
    /// it, that acts these `ways`. `frames` says where each face lies in the finished part.
    pub(super) fn at_seat(
        &self,
        part: &Part,
        frames: &[Frame],
        (loaded, at, above): (usize, Point, f64),
        verdict: &mut Verdict,
    ) -> Result<(), Fault> {
        let Some(seat) = self.seat(part, loaded)? else { return Ok(()) };
        let bolts: Result<Vec<Screwed>, Fault> = seat.holes.iter().map(|h| screwed(h)).collect();
        let bolts = match (bolts, &self.load.bolts) {
            (Ok(bolts), _) => bolts,
            (Err(fault), Some(_)) => return Err(fault),
            // Nobody named these.
            (Err(fault), None) => {
                verdict.not_judged.push(format!("what holds it: {fault}"));
                return Ok(());
            }
        };
        let (from, to) = (&frames[loaded], &frames[seat.face]);
        let middle = -self.thickness / 2.0;
        let spot = to.seen(from.point(at, middle + above));
        let places: Vec<Point> = seat.holes.iter().map(|hole| hole.at).collect();
        let centre =
            places.iter().fold(Vec2::ZERO, |sum, p| sum + p.to_vec2()) / places.len() as f64;
        let arm = [spot[0] - centre.x, spot[1] - centre.y, spot[2] - middle];
        // It stands on its seat with the side that the load is not on.
        let lifts = if arm[2] < -NOTHING { -1.0 } else { 1.0 };
        let root = self.held.root();
        let metal = Metalwork::solid(&part.faces[seat.face]);
        let rims = |away: Vec2| {
            let each = places.iter().map(|p| metal.free(*p, away));
            each.fold(f64::INFINITY, f64::min)
        };
        let both_ways = |way: [f64; 3]| {
            let back = [way[0], way[1], -way[2]];
            if way[2].abs() > NOTHING { vec![way, back] } else { vec![way] }
        };
        verdict.assumed.push("bolts by the elastic method: AISC manual, part 7".into());
        for [pull, along, sideways] in self.load.direction.ways().into_iter().flat_map(both_ways) {
            let flat = from.direction(root.pull * pull + root.along() * along);
            let force = [0, 1, 2].map(|i| flat[i] + from.z[i] * sideways);
            let force = [to.x, to.y, to.z].map(|axis| dot(force, axis));
            let pull = Pull {
                force: [force[0], force[1], lifts * force[2]],
                from: [arm[0], arm[1], lifts * arm[2]],
            };
            let Some(group) = group::shares(&places, &pull, rims) else {
                if self.load.bolts.is_some() {
                    return Err(Fault::OneBolt);
                }
                verdict.not_judged.push(format!("what holds it: {}", Fault::OneBolt));
                continue;
            };
            for (bolt, share) in bolts.iter().zip(&group.bolts) {
                self.at_bolt(part, &seat, bolt, share, group.over, verdict);
            }
            if group.over.is_some() {
                verdict.assumed.push("the plate turns over its rim beside its bolts".into());
            }
        }
        if self.load.bolts_grade.is_none() {
            let words = "the bolts that hold the part: the load gives no `bolts_grade`";
            verdict.not_judged.push(words.into());
        }
        Ok(())
    }

    /// One bolt: its hole, and itself where its grade is said.
    fn at_bolt(
        &self,
        part: &Part,
        seat: &Seat,
        bolt @ Screwed { hole, size, pin }: &Screwed,
        share: &Share,
        over: Option<(Vec2, f64)>,
        verdict: &mut Verdict,
    ) {
        let (shear, tension) = (share.shear.hypot(), share.tension.max(0.0));
        if shear > NOTHING {
            let face = &part.faces[seat.face];
            // The plate moves with the load, and bears on the bolt behind it.
            let back = -share.shear / shear;
            let clear = Metalwork::round(face, Some(hole)).beyond(hole.at, *size, back);
            let at = BoltHole { thickness: self.thickness, bolt: *pin, clear };
            let named = ["bearing of a bolt that holds it", "a bolt that holds it torn out"];
            for (limit, what) in at.limits(self.metal, self.method).into_iter().zip(named) {
                verdict.limits.push(Limit::shared(Limit { what, ..limit }, shear, 1));
            }
        }
        // Where the plate turns over its rim, what the rim presses is in the tension already.
        let pried = if over.is_none() { self.pried(part, seat, bolt) } else { None };
        if let Some(limit) = pried.and_then(|p| p.bent(self.metal, self.method))
            && tension > NOTHING
        {
            verdict.limits.push(Limit::shared(limit, tension, 1));
        }
        if let Some((along, moment)) = over {
            let width = [along, -along].map(|side| half(part, seat, hole, side));
            let width = (width[0] + width[1] - size).max(0.0);
            let leg = Leg { thickness: self.thickness, width, reach: moment };
            let limit = leg.sideways(self.metal, self.method);
            verdict.limits.push(Limit { what: "plate bent at the bolts that hold it", ..limit });
        }
        let Some(grade) = &self.load.bolts_grade else { return };
        let bolt = Bolt { diameter: *pin, breaks: grade.measure("tensile") };
        let stress = self.metal.breaks / self.method.yielding();
        let through = |pried: Pried| pried.share(bolt.tension(self.method).allowable(), stress);
        let pulled = tension / pried.map_or(1.0, through).max(NOTHING);
        if let Some(limit) = bolt.together(shear, pulled, self.method) {
            verdict.limits.push(limit);
        }
    }

    /// The leg round a bolt, where a bend pulls at it.
    fn pried(&self, part: &Part, seat: &Seat, bolt: &Screwed) -> Option<Pried> {
        let hole = bolt.hole;
        let bends = part.bends.iter().filter(|b| b.from == seat.face || b.to == seat.face);
        let face = &part.faces[seat.face];
        let legs = bends.filter_map(|bend| {
            let (on, out) = match bend.to == seat.face {
                true => (Point::ZERO, Vec2::new(0.0, 1.0)),
                false => {
                    let edge = face.edges.get(bend.edge)?.edge;
                    let along = edge.direction_at_start();
                    (edge.from, Vec2::new(-along.y, along.x))
                }
            };
            // From the middle of the leg that stands on it.
            let outside = match bend.measured {
                Measured::Inside => -self.thickness / 2.0,
                Measured::Outside | Measured::TangentOutside | Measured::Tangent => {
                    self.thickness / 2.0
                }
            };
            let heel = (hole.at - on).dot(out) - outside;
            let across = Vec2::new(-out.y, out.x);
            let width = [across, -across].map(|side| half(part, seat, hole, side).min(heel));
            let toe = Metalwork::solid(face).free(hole.at, out);
            (heel > 0.0).then_some(Pried {
                thickness: self.thickness,
                bolt: bolt.pin,
                hole: bolt.size,
                heel,
                toe,
                width: width[0] + width[1],
            })
        });
        legs.min_by(|a, b| a.heel.total_cmp(&b.heel))
    }

    /// The holes of the bolts that are named, or that are all that holds the part.
    fn seat<'a>(&self, part: &'a Part, loaded: usize) -> Result<Option<Seat<'a>>, Fault> {
        let Some(name) = self.load.bolts.as_deref() else {
            if !matches!(self.held, Held::Holes(_)) {
                return Ok(None);
            }
            let holes = place::others(&part.faces[loaded], &self.load.at);
            return Ok(Some(Seat { face: loaded, holes }));
        };
        let found = part.faces.iter().enumerate().find_map(|(face, f)| {
            let holes: Vec<&Hole> = f.holes.iter().filter(|h| place::is_of(h, name)).collect();
            (!holes.is_empty()).then_some(Seat { face, holes })
        });
        let seat = found.ok_or_else(|| Fault::NoSuchBolts(name.to_owned()))?;
        let at = &self.load.at;
        let loaded = |h: &&Hole| matches!(at, At::Hole(name) if place::is_of(h, name));
        let loaded = seat.holes.iter().any(loaded);
        if loaded { Err(Fault::NoReach) } else { Ok(Some(seat)) }
    }
}

/// A hole and its bolt.
fn screwed(hole: &Hole) -> Result<Screwed<'_>, Fault> {
    let size = place::diameter(hole).ok_or_else(|| Fault::NotRound(hole.name.clone()))?;
    let pin = hole.pin.ok_or_else(|| Fault::NoBolt(hole.name.clone()))?;
    Ok(Screwed { hole, size, pin })
}

/// Of the plate beside a bolt, that belongs to it: half way to the next bolt, or to the rim, mm.
fn half(part: &Part, seat: &Seat, hole: &Hole, along: Vec2) -> f64 {
    let next = seat.holes.iter().map(|other| (other.at - hole.at).dot(along) / 2.0);
    let next = next.filter(|half| *half > NOTHING).fold(f64::INFINITY, f64::min);
    next.min(Metalwork::solid(&part.faces[seat.face]).free(hole.at, along))
}

impl Bolt {
    /// Pulled along itself (J3-1), N.
    pub fn tension(&self, method: Method) -> Limit {
        Limit {
            what: "bolt that holds it, pulled apart",
            rule: "AISC 360-16 J3-1",
            nominal: PULLED * self.breaks * self.area(),
            factor: method.rupture(),
        }
    }

    /// The load of which `shear` acts across the bolt and `pulled` along it, each for 1 N
    /// (J3-1, J3-3b): what is pulled and sheared fully at once may not exceed 1.3 together.
    fn together(&self, shear: f64, pulled: f64, method: Method) -> Option<Limit> {
        let tension = self.tension(method);
        let of_shear = shear / self.shear(method).nominal;
        let of_pull = pulled / tension.nominal;
        let both = (of_shear + of_pull) / 1.3;
        let most = of_shear.max(of_pull).max(both);
        let (what, rule) = match most {
            _ if most == both => ("bolt that holds it, pulled and sheared", "AISC 360-16 J3-3b"),
            _ if most == of_pull => (tension.what, tension.rule),
            _ => ("bolt that holds it, sheared, thread in the plane", "AISC 360-16 J3-1"),
        };
        (most > 0.0).then(|| Limit { what, rule, nominal: 1.0 / most, factor: method.rupture() })
    }

    fn area(&self) -> f64 {
        num::PI * self.diameter * self.diameter / 4.0
    }
}

/// Tensile strength of a bolt on its whole section as a share of that of its metal
/// (commentary to J3.6).
const PULLED: f64 = 0.75;
