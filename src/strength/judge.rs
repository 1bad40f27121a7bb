//! A load on a part: every way to fail, and the one that governs.

use crate::fold::Frame;
use crate::geom::Vec2;
use crate::num;
use crate::part::Face;
use crate::part::Hole;
use crate::part::Part;
use crate::strength::At;
use crate::strength::Bolt;
use crate::strength::BoltHole;
use crate::strength::Eye;
use crate::strength::Fault;
use crate::strength::Held;
use crate::strength::Limit;
use crate::strength::Load;
use crate::strength::Metal;
use crate::strength::Method;
use crate::strength::Shape;
use crate::strength::Verdict;
use crate::strength::bolt::least_edge_distance;
use crate::strength::held;
use crate::strength::place;
use crate::strength::place::Metalwork;
use crate::table::Row;
use crate::table::Tables;

/// How far from a weld aluminium is weakened, mm: 1 in (Aluminum Design Manual, from memory).
const HEATED: f64 = 25.4;

/// A share of the force below this does nothing.
pub(super) const NOTHING: f64 = 1e-9;

/// Everything that stays the same while the ways of a load are looked at.
pub(super) struct Case<'a> {
    pub(super) load: &'a Load,
    pub(super) face: &'a Face,
    pub(super) thickness: f64,
    pub(super) held: Held<'a>,
    /// From the root to the load along the pull, mm.
    pub(super) reach: f64,
    /// The metal at the hole, and at the root.
    pub(super) metal: Metal,
    pub(super) root_metal: Metal,
    pub(super) method: Method,
    film: f64,
}

/// Judges a load on a part of this metal, under a film of `film` mm on every face. `frames`
/// says where each face lies in the finished part.
///
/// # Errors
/// When the load has no place, or something it depends on is not known.
pub fn judge(
    load: &Load,
    part: &Part,
    frames: &[Frame],
    material: &Row,
    film: f64,
    tables: &Tables,
) -> Result<Verdict, Fault> {
    let spot = place::spot(part, &load.at).ok_or_else(|| Fault::Nowhere(load.at.clone()))?;
    let face = &part.faces[spot.face];
    let held = held(part, &load.at, load.held.as_deref())?;
    let reach = (spot.middle - held.root().middle).dot(held.root().pull);
    if reach <= 0.0 && !matches!(load.at, At::Point { .. }) {
        return Err(Fault::NoReach);
    }
    let welded =
        || Metal::beside_weld(material).ok_or_else(|| Fault::Welded(material.name().to_owned()));
    let metal = Metal::of(material);
    let is_weld = matches!(held, Held::Weld(..));
    let widest = spot.holes.iter().filter_map(|h| place::diameter(h)).fold(0.0, f64::max);
    let is_near = is_weld && reach - widest / 2.0 <= HEATED;
    let root_metal = if is_weld { welded()? } else { metal };
    let case = Case {
        load,
        face,
        thickness: part.thickness,
        reach,
        metal: if is_near { root_metal } else { metal },
        root_metal,
        method: load.method,
        film,
        held,
    };
    let pieces = load.shared.unwrap_or(part.copies * ears(part, &spot.holes));
    let mut verdict = Verdict {
        case: load.name.clone(),
        part: load.part.clone(),
        at: load.at.words(),
        direction: load.direction.words(),
        held: case.held.words(),
        method: load.method,
        force: load.force,
        pieces,
        limits: Vec::new(),
        shapes: Vec::new(),
        wall: None,
        assumed: Vec::new(),
        not_judged: Vec::new(),
    };
    if root_metal != metal {
        verdict.assumed.push(match is_near {
            true => format!("{} as weak as its weld leaves it, eye and root", material.name()),
            false => format!("{} as weak as its weld leaves it, at the root", material.name()),
        });
    }
    if material.text("metal") == Some("aluminium") && load.method == Method::Aisc360 {
        verdict.assumed.push("the formulas and factors of steel with aluminium's strengths".into());
    }
    for way in load.direction.ways() {
        case.at_holes(&spot.holes, way, &mut verdict)?;
        case.at_root(&spot.holes, way, &mut verdict);
        case.at_weld(way, material, tables, &mut verdict)?;
    }
    case.bolts(&spot.holes, &mut verdict)?;
    case.at_seat(part, frames, (spot.face, spot.middle, spot.above), &mut verdict)?;
    verdict.keep_least();
    if verdict.limits.is_empty() {
        return Err(Fault::Nothing);
    }
    Ok(verdict)
}

/// Ears of one piece that share what the pin in these holes pulls.
fn ears(part: &Part, holes: &[&Hole]) -> u32 {
    let clevis = part.clevis.as_ref().filter(|_| holes.iter().any(|hole| hole.eye));
    clevis.map_or(1, |clevis| clevis.ears)
}

impl Case<'_> {
    /// The pin in each hole, and the metal round it.
    fn at_holes(
        &self,
        holes: &[&Hole],
        [pull, along, _]: [f64; 3],
        verdict: &mut Verdict,
    ) -> Result<(), Fault> {
        let share = num::hypot(pull, along);
        let (root, count) = (self.held.root(), holes.len());
        for hole in holes {
            let diameter =
                place::diameter(hole).ok_or_else(|| Fault::NotRound(hole.name.clone()))?;
            let pin = self.pin(hole)?;
            if pin > diameter + 1e-9 {
                return Err(Fault::PinTooLarge(hole.name.clone()));
            }
            if share < NOTHING {
                continue;
            }
            let towards = (root.pull * pull + root.along() * along) / share;
            let metal = Metalwork::round(self.face, Some(hole));
            let around = self.around(hole, diameter, pin, towards, &metal);
            // Pushed towards what holds it, metal continues there.
            let pushed = pull / share < -0.5;
            let mut add = |limit: Limit| verdict.limits.push(Limit::shared(limit, share, count));
            if hole.eye {
                match (pushed, self.method) {
                    (true, Method::Aisc360) => add(around.bearing(self.metal)),
                    (true, Method::Bth1(category)) => {
                        add(around.lifting_bearing(self.metal, category));
                    }
                    (false, Method::Aisc360) => {
                        around.limits(self.metal).into_iter().for_each(add);
                    }
                    (false, Method::Bth1(category)) => {
                        around.lifting_limits(self.metal, category).into_iter().for_each(add);
                    }
                }
                if !pushed && self.method == Method::Aisc360 {
                    // A pin goes into the hole that is left by the film.
                    let coated = Eye { hole: diameter - 2.0 * self.film, ..around };
                    verdict.shapes.extend(coated.shapes());
                }
            } else {
                let bolt = BoltHole { thickness: self.thickness, bolt: pin, clear: around.beyond };
                let [bearing, torn] = bolt.limits(self.metal, self.method);
                add(bearing);
                if !pushed {
                    add(torn);
                }
                verdict.shapes.push(Shape {
                    what: "from the middle of the bolt to the rim",
                    rule: "AISC 360-16 table J3.4",
                    is: self.face.blank.outer().distance(hole.at),
                    wanted: least_edge_distance(pin),
                    most: false,
                });
            }
        }
        if let Some(first) = holes.first()
            && !first.eye
            && share > NOTHING
            && pull / share > -0.5
        {
            let towards = (root.pull * pull + root.along() * along) / share;
            for limit in self.torn(holes, towards)? {
                verdict.limits.push(Limit::shared(limit, share, 1));
            }
        }
        Ok(())
    }

    /// The metal round a hole, seen along a force.
    fn around(
        &self,
        hole: &Hole,
        diameter: f64,
        pin: f64,
        towards: Vec2,
        metal: &Metalwork,
    ) -> Eye {
        let left = Vec2::new(-towards.y, towards.x);
        let radius = diameter / 2.0;
        let to = |direction: Vec2| metal.free(hole.at, direction) - radius;
        let diagonal = [towards + left, towards - left].map(|d| to(d.normalize()));
        Eye {
            thickness: self.thickness,
            hole: diameter,
            pin,
            beyond: metal.beyond(hole.at, diameter, towards),
            diagonal: diagonal[0].min(diagonal[1]),
            beside: [to(left), to(-left)],
            behind: to(-towards),
        }
    }

    /// The diameter of what goes through a hole, mm.
    fn pin(&self, hole: &Hole) -> Result<f64, Fault> {
        self.load.pin.or(hole.pin).ok_or_else(|| Fault::NoPin(hole.name.clone()))
    }

    /// The bolt or pin itself, where its grade is said.
    fn bolts(&self, holes: &[&Hole], verdict: &mut Verdict) -> Result<(), Fault> {
        let Some(grade) = &self.load.grade else {
            if !holes.is_empty() {
                verdict.not_judged.push("the bolt or pin itself: the load gives no `grade`".into());
            }
            return Ok(());
        };
        for hole in holes {
            let bolt = Bolt { diameter: self.pin(hole)?, breaks: grade.measure("tensile") };
            verdict.limits.push(Limit::shared(bolt.shear(self.method), 1.0, holes.len()));
        }
        Ok(())
    }
}
