//! The plate and the weld where a part is held.

use crate::num;
use crate::part::Hole;
use crate::strength::Fault;
use crate::strength::Fillet;
use crate::strength::Held;
use crate::strength::Leg;
use crate::strength::Limit;
use crate::strength::Seam;
use crate::strength::Shape;
use crate::strength::Verdict;
use crate::strength::compression;
use crate::strength::judge::Case;
use crate::strength::judge::NOTHING;
use crate::strength::place;
use crate::strength::place::Metalwork;
use crate::strength::place::Root;
use crate::strength::plate;
use crate::strength::tension;
use crate::strength::tube;
use crate::strength::weld;
use crate::table::Row;
use crate::table::Table;
use crate::table::Tables;

/// Sections between a load and its root at which the plate may bend first.
const SECTIONS: usize = 24;

impl Case<'_> {
    /// The plate where it is held, and between there and the load.
    pub(super) fn at_root(
        &self,
        holes: &[&Hole],
        [pull, along, sideways]: [f64; 3],
        verdict: &mut Verdict,
    ) {
        let root = self.held.root();
        if matches!(self.held, Held::Holes(_)) {
            let bent = along.abs() > NOTHING || sideways.abs() > NOTHING;
            verdict.not_judged.extend(bent.then(|| {
                "bending of the plate between the load and its bolts, and what that pries: only a \
                 weld or a bend is a root"
                    .to_owned()
            }));
            return;
        }
        let (t, metal, method) = (self.thickness, self.root_metal, self.method);
        let area = t * root.width;
        let mut parts = Vec::new();
        if pull > NOTHING {
            let [whole, _] = tension(area, area, metal, method);
            parts.push(Limit::shared(Limit { what: "root, yielding", ..whole }, pull, 1));
        } else if pull < -NOTHING {
            let limit = compression(root.width, t, self.reach, metal, method);
            parts.push(Limit::shared(limit, -pull, 1));
        }
        if along.abs() > NOTHING {
            let leg = Leg { thickness: t, width: root.width, reach: self.reach };
            parts.push(Limit::shared(leg.edgeways(metal, method), along.abs(), 1));
        }
        if sideways.abs() > NOTHING {
            parts.push(Limit::shared(self.bent(holes, root), sideways.abs(), 1));
        }
        if parts.len() > 1 {
            let together: f64 = parts.iter().map(|limit| 1.0 / limit.nominal).sum();
            parts.push(Limit {
                what: "root, pulled and bent together",
                rule: "AISC 360-16 H1, linear",
                nominal: 1.0 / together,
                factor: method.yielding(),
            });
        }
        verdict.limits.extend(parts);
        let share = num::hypot(along, sideways);
        if share > NOTHING {
            let shears = plate::shear(area, area, metal, method);
            verdict.limits.extend(shears.map(|limit| Limit::shared(limit, share, 1)));
        }
    }

    /// The plate bent square to itself, at the root or at the section before it that is
    /// weakest for its distance from the load. No section counts wider than the load
    /// spreads at 45° from its holes: common practice.
    fn bent(&self, holes: &[&Hole], root: &Root) -> Limit {
        let metal = Metalwork::round(self.face, None);
        let along = root.along();
        let load = root.middle + root.pull * self.reach;
        let (spread, nearest) = match holes {
            [] => (Spread { count: 1.0, each: root.width, over: 0.0 }, 0.0),
            holes => {
                let each = holes.iter().filter_map(|h| place::diameter(h)).fold(0.0, f64::max);
                let places = holes.iter().map(|h| h.at.to_vec2().dot(along));
                let over = places.clone().fold(f64::NEG_INFINITY, f64::max)
                    - places.fold(f64::INFINITY, f64::min);
                (Spread { count: holes.len() as f64, each, over }, each / 2.0)
            }
        };
        let leg = |width: f64, reach: f64| Leg {
            thickness: self.thickness,
            width: width.min(spread.at(reach)),
            reach,
        };
        let mut weakest = leg(root.width, self.reach).sideways(self.root_metal, self.method);
        for i in 1..SECTIONS {
            let distance = self.reach * i as f64 / SECTIONS as f64;
            let middle = load - root.pull * distance;
            if !self.face.blank.contains(middle) || distance < nearest {
                continue;
            }
            let leg = leg(metal.free(middle, along) + metal.free(middle, -along), distance);
            let limit = leg.sideways(self.metal, self.method);
            if limit.nominal < weakest.nominal {
                weakest = Limit { what: "plate bent sideways before its root", ..limit };
            }
        }
        weakest
    }

    /// The weld that holds the part, the rules for it, and the wall below.
    pub(super) fn at_weld(
        &self,
        way @ [pull, along, sideways]: [f64; 3],
        material: &Row,
        tables: &Tables,
        verdict: &mut Verdict,
    ) -> Result<(), Fault> {
        let Held::Weld(weld, root) = &self.held else { return Ok(()) };
        let t = self.thickness;
        let leg = self.load.leg.or(weld.leg).unwrap_or_else(|| {
            verdict.assumed.push("fillet as small as AISC 360-16 table J2.4 allows".into());
            weld::least_leg(t)
        });
        let filler = match &self.load.filler {
            Some(row) => row.clone(),
            None => {
                let metal = material.text("metal");
                let rows = tables.table("filler").into_iter().flat_map(Table::rows);
                let row = rows.into_iter().find(|row| row.text("metal") == metal).cloned();
                let row = row.ok_or_else(|| Fault::NoFiller(material.name().to_owned()))?;
                verdict.assumed.push(format!("weld metal {}", row.name()));
                row
            }
        };
        let fillet = Fillet { leg, shear: filler.measure("shear") };
        let seam = Seam {
            fillet,
            lines: weld.sides,
            length: weld.length,
            width: root.width,
            thickness: t,
        };
        match seam.limit(way, self.reach, self.method) {
            Some(limit) => verdict.limits.push(limit),
            None => verdict.limits.push(Limit {
                what: "fillet on one side, bent open at its root",
                rule: "AISC 360-16 J2.2b",
                nominal: 0.0,
                factor: self.method.rupture(),
            }),
        }
        verdict.shapes.extend(fillet.shapes(t, weld.length));
        if let Some(wall) = self.load.wall {
            let lever = 0.5 * root.width;
            let bent = (along.abs() + sideways.abs()) * self.reach / lever;
            let dented = tube::wall(wall, self.root_metal, self.method);
            verdict.assumed.push("the tube of the plate's own metal".into());
            verdict.wall = Some(Limit::shared(dented, pull.abs() + bent, 1));
            verdict.shapes.push(Shape {
                what: "leg of the fillet, on the wall of the tube",
                rule: "common practice",
                is: leg,
                wanted: wall,
                most: true,
            });
        }
        Ok(())
    }
}

/// How wide a load spreads in the plate, at 45° from each of its holes, mm.
struct Spread {
    count: f64,
    each: f64,
    /// From the first hole to the last.
    over: f64,
}

impl Spread {
    fn at(&self, distance: f64) -> f64 {
        let one = self.each + 2.0 * distance;
        (self.count * one).min(self.over + one)
    }
}
