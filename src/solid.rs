//! A formed part to one closed skin: planes, true cylinders, and the edges where they meet.
//!
//! Each face and each bend is a patch of sheet: a drawing of lines and arcs, laid flat in
//! space or rolled round a cylinder. A patch gives an upper and a lower side and, along
//! each edge at which no other patch continues, a wall between them. Straight edges and arcs
//! of faces, and edges along and across a bend, come out exactly. An edge that runs over
//! a bend in any other way, such as that of a hole or of a round relief, becomes a chain
//! of cubics that leaves the true curve by less than 1e-6 mm, with walls of straight
//! lines through the thickness; the solid says so.

mod curve;
mod error;
mod flare;
mod patch;
mod recess;
mod same;
mod sunk;

use crate::flat::Flat;
use crate::fold::Folded;
use crate::geom::Frame;
use crate::geom::Space;
use crate::num::Angle;
use crate::part::Part;
pub(crate) use error::SolidError;
use patch::Lay;
use patch::Patch;
use patch::Shared;
use std::collections::BTreeMap;

/// One solid body by its skin. Lengths are mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Solid {
    /// The corners.
    pub points: Vec<Space>,
    /// The edges, each between two corners.
    pub edges: Vec<SolidEdge>,
    /// The pieces of the skin. Each edge is passed once in each direction.
    pub sides: Vec<Side>,
    /// Volume in mm³, by area, thickness and the mid-plane of each bend.
    pub volume: f64,
    /// Whether an edge runs over a bend otherwise than along or across it.
    pub approximate: bool,
}

/// An edge from one corner to another.
#[derive(Clone, Debug, PartialEq)]
pub struct SolidEdge {
    /// Index of the corner where it starts.
    pub from: usize,
    /// Index of the corner where it ends.
    pub to: usize,
    /// How it runs.
    pub curve: Curve,
}

/// How an edge runs from its start to its end.
#[derive(Clone, Debug, PartialEq)]
pub enum Curve {
    /// Straight.
    Line,
    /// Round the z axis of the frame, anticlockwise.
    Circle {
        /// Its origin is the centre.
        frame: Frame,
        /// In mm.
        radius: f64,
    },
    /// Cubics end to end, with one direction and speed where they meet: the control
    /// points that are left when the joints, which lie midway, are dropped.
    Cubics(Vec<Space>),
}

/// A piece of the skin.
#[derive(Clone, Debug, PartialEq)]
pub struct Side {
    /// What it lies on.
    pub surface: Surface,
    /// Whether the surface's own normal points out of the metal.
    pub outward: bool,
    /// Its outline first, then its openings, anticlockwise as seen from outside the metal:
    /// indices of edges, and whether each is passed from start to end.
    pub loops: Vec<Vec<(usize, bool)>>,
}

/// What a piece of the skin lies on.
#[derive(Clone, Debug, PartialEq)]
pub enum Surface {
    /// The xy plane of a frame; its normal is z.
    Plane(Frame),
    /// Round the z axis of a frame; its normal points away from the axis.
    Cylinder {
        /// Its origin lies on the axis.
        frame: Frame,
        /// In mm.
        radius: f64,
    },
    /// Round the z axis of a frame, wider along it; its normal points away from the axis.
    Cone {
        /// Its origin lies on the axis.
        frame: Frame,
        /// At the origin, in mm.
        radius: f64,
        /// Between the axis and the surface.
        half: Angle,
    },
    /// Round the z axis of a frame, a circle in section; its normal points away from the centre
    /// of that circle.
    Torus {
        /// Its origin lies on the axis, in the plane of the centres.
        frame: Frame,
        /// From the axis to the centre of the circle, and its own, in mm.
        radii: [f64; 2],
    },
    /// Straight lines between the like points of two chains of cubics.
    Ruled([Vec<Space>; 2]),
}

/// The solid that a formed part is.
///
/// # Errors
/// When a hole over a bend cannot be cut out of it, or the skin does not close.
pub fn solid(part: &Part, flat: &Flat, folded: &Folded) -> Result<Solid, SolidError> {
    let (patches, shared) = patch::patches(part, flat, folded)?;
    let mut builder = Builder::new(&patches, &shared, part.thickness);
    for (index, patch) in patches.iter().enumerate() {
        builder.add(index, patch);
    }
    let solid = builder.finish();
    match solid.unmatched() {
        0 => Ok(solid),
        open => Err(SolidError::Open(open)),
    }
}

impl Solid {
    /// How many edges are not passed once in each direction.
    fn unmatched(&self) -> usize {
        let mut passes = vec![(0, 0); self.edges.len()];
        for (edge, forward) in self.sides.iter().flat_map(|s| &s.loops).flatten() {
            let pass = &mut passes[*edge];
            *(if *forward { &mut pass.0 } else { &mut pass.1 }) += 1;
        }
        passes.iter().filter(|pass| **pass != (1, 1)).count()
    }

    /// How many sides are planes, how many are cylinders, how many are cones, and how many are tori.
    pub fn kinds(&self) -> [usize; 4] {
        let count = |of: fn(&Surface) -> bool| self.sides.iter().filter(|s| of(&s.surface)).count();
        [
            count(|s| matches!(s, Surface::Plane(_))),
            count(|s| matches!(s, Surface::Cylinder { .. })),
            count(|s| matches!(s, Surface::Cone { .. })),
            count(|s| matches!(s, Surface::Torus { .. })),
        ]
    }
}

/// The two sides of the sheet.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Level {
    Upper,
    Lower,
}

struct Builder<'a> {
    shared: &'a Shared,
    thickness: f64,
    solid: Solid,
    /// Index in the solid by corner of the patches; the upper one, then the lower.
    corners: BTreeMap<usize, [usize; 2]>,
    /// Edges through the thickness, by the corner of the patches.
    through: BTreeMap<usize, usize>,
    /// Edges of the upper and the lower side, by edge of the patches.
    along: BTreeMap<usize, [usize; 2]>,
}

impl<'a> Builder<'a> {
    fn new(patches: &[Patch], shared: &'a Shared, thickness: f64) -> Self {
        let volume = patches.iter().map(|p| p.volume(thickness)).sum();
        let solid = Solid {
            points: Vec::new(),
            edges: Vec::new(),
            sides: Vec::new(),
            volume,
            approximate: false,
        };
        Self {
            shared,
            thickness,
            solid,
            corners: BTreeMap::new(),
            through: BTreeMap::new(),
            along: BTreeMap::new(),
        }
    }

    fn height(&self, level: Level) -> f64 {
        if level == Level::Upper { 0.0 } else { -self.thickness }
    }

    fn add(&mut self, index: usize, patch: &Patch) {
        let mut loops: [Vec<Vec<(usize, bool)>>; 2] = [Vec::new(), Vec::new()];
        for (l, edges) in patch.loops.iter().enumerate() {
            if let Some(sunk) = &patch.sunk[l] {
                let [upper, lower] = self.sunk(&patch.lay, edges, sunk);
                loops[0].push(upper);
                loops[1].push(lower);
                continue;
            }
            let ids = self.shared.ids(index, l);
            let mut upper = Vec::with_capacity(edges.len());
            let mut lower = Vec::with_capacity(edges.len());
            for (k, edge) in edges.iter().enumerate() {
                let id = ids.start + k;
                let next = if k + 1 == edges.len() { ids.start } else { id + 1 };
                // The edge of another patch, traversed in the opposite direction, where the sheet
                // continues there.
                let mate = self.shared.mate(id);
                let own = mate.is_none_or(|mate| mate > id);
                let ends = [(id, edge.from), (next, edge.to)]
                    .map(|(id, at)| self.corner(self.shared.corner(id), &patch.lay, at));
                let [top, bottom] = if own {
                    let made = [Level::Upper, Level::Lower].map(|level| {
                        let curve = patch.lay.curve(edge, self.height(level));
                        self.solid.approximate |= matches!(curve, Curve::Cubics(_));
                        let side = usize::from(level == Level::Lower);
                        self.edge(ends[0][side], ends[1][side], curve)
                    });
                    self.along.insert(id, made);
                    made
                } else {
                    self.along[&mate.unwrap_or(id)]
                };
                upper.push((top, own));
                lower.push((bottom, !own));
                if mate.is_none() {
                    let through = [id, next].map(|id| self.through(self.shared.corner(id)));
                    let (surface, outward) = patch.lay.wall(edge, self.thickness);
                    let ring =
                        vec![(bottom, true), (through[1], true), (top, false), (through[0], false)];
                    self.solid.sides.push(Side { surface, outward, loops: vec![ring] });
                }
            }
            lower.reverse();
            loops[0].push(upper);
            loops[1].push(lower);
        }
        for (level, loops) in [Level::Upper, Level::Lower].into_iter().zip(loops) {
            let (surface, outward) = patch.lay.side(level == Level::Upper, self.height(level));
            self.solid.sides.push(Side { surface, outward, loops });
        }
    }

    fn corner(&mut self, id: usize, lay: &Lay, at: crate::geom::Point) -> [usize; 2] {
        let heights = [Level::Upper, Level::Lower].map(|level| self.height(level));
        let points = &mut self.solid.points;
        *self.corners.entry(id).or_insert_with(|| {
            points.extend(heights.map(|height| lay.point(at, height)));
            [points.len() - 2, points.len() - 1]
        })
    }

    /// The edge through the thickness at a corner, from the lower side to the upper one.
    fn through(&mut self, id: usize) -> usize {
        if let Some(edge) = self.through.get(&id) {
            return *edge;
        }
        let [upper, lower] = self.corners[&id];
        let edge = self.edge(lower, upper, Curve::Line);
        self.through.insert(id, edge);
        edge
    }

    fn edge(&mut self, from: usize, to: usize, curve: Curve) -> usize {
        self.solid.edges.push(SolidEdge { from, to, curve });
        self.solid.edges.len() - 1
    }

    fn finish(self) -> Solid {
        self.solid
    }
}
