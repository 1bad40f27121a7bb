//! The data of a load path, and the sections on it.

use crate::flat::Flat;
use crate::fold::Folded;
use crate::geom::Frame;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::part::Hole;
use crate::part::Part;
use crate::strength::chord::Chord;
use crate::strength::ligament::Cut;
use crate::strength::limit::Member;
use crate::strength::line::Line;
use crate::strength::support::Support;

/// A place at which a share of the load acts.
#[derive(Clone, Debug)]
pub(super) struct Source {
    /// In the drawing of the face.
    pub(super) at: Point,
    /// Half of the width over which it acts, mm.
    pub(super) half: f64,
    /// The discs in the flat from which it spreads: centre and radius.
    pub(super) discs: Vec<(Point, f64)>,
}

/// A section of the load path.
#[derive(Clone, Debug)]
pub(super) struct Station {
    pub(super) member: Member,
    /// Whether it is the plate along a supporting seam or edge.
    pub(super) seam: bool,
    /// Its drawing in space, top side, and in the flat.
    pub(super) frame: Frame,
    pub(super) place: Place,
    pub(super) cut: Cut,
    pub(super) oblique: bool,
    /// The shares of the load and the bolts on the load's side.
    pub(super) loads: Vec<usize>,
    pub(super) bolts: Vec<usize>,
    /// Stretches of the line to which a force square to the plate spreads.
    pub(super) spreads: Vec<Vec<(f64, f64)>>,
    /// Whether all metal beside openings counts: the spread of a load there is covered by the
    /// sections across the path.
    pub(super) beside_all: bool,
    /// Whether the plate may bend out of its plane here: not within the hole that is loaded.
    pub(super) bends: bool,
    /// Whether it crosses a notch as if it were filled.
    pub(super) filled: bool,
    /// By which of the faces of the load path it was cut, and how.
    pub(super) of: usize,
    pub(super) made: Made,
}

/// How a section was cut, for others near it.
#[derive(Clone, Copy, Debug)]
pub(super) enum Made {
    /// It is single.
    Alone,
    /// Along a line of a row across the load path.
    Row,
    /// At a slant to this direction of the load path.
    Slant(Vec2),
    /// Beside bolts.
    Beside,
    /// From place to place of the outline.
    Whole(Chord),
}

impl Station {
    /// How far a force square to the plate spreads to the ligaments of a cut of it.
    pub(super) fn spreads(&self, cut: &Cut) -> &[Vec<(f64, f64)>] {
        let is_parted = cut.ligaments.len() > 1;
        if self.beside_all && is_parted { &[] } else { &self.spreads }
    }
}

/// Everything the way depends on.
pub(super) struct Ground<'a> {
    pub(super) part: &'a Part,
    pub(super) flat: &'a Flat,
    pub(super) folded: &'a Folded,
    /// The face of the load.
    pub(super) loaded: usize,
    pub(super) sources: Vec<Source>,
    pub(super) support: &'a Support<'a>,
    /// Holes that have a fastener or a load, by face.
    pub(super) fasteners: Vec<Vec<&'a Hole>>,
}

/// The bends from one face to another, each with whether the face it carries is on the
/// load's side.
pub(super) fn bends(part: &Part, from: usize, to: usize) -> Vec<(usize, bool)> {
    let above = |face: usize| {
        let carrying = |face: usize| part.bends.iter().position(|b| b.to == face);
        let first = carrying(face);
        std::iter::successors(first, |b| carrying(part.bends[*b].from)).collect::<Vec<_>>()
    };
    let (mut up, mut down) = (above(from), above(to));
    while let (Some(a), Some(b)) = (up.last(), down.last())
        && a == b
    {
        up.pop();
        down.pop();
    }
    let up = up.into_iter().map(|b| (b, true));
    up.chain(down.into_iter().rev().map(|b| (b, false))).collect()
}

/// Stretches of a section of a path that turns: the nearest metal takes what spreads past it.
pub(super) fn nearest(spread: Vec<(f64, f64)>, [from, to]: [f64; 2]) -> Vec<(f64, f64)> {
    let near = |(low, high): (f64, f64)| {
        let (centre, half) = (f64::midpoint(low, high), (high - low) / 2.0);
        (centre.clamp(from, to) - half, centre.clamp(from, to) + half)
    };
    spread.into_iter().map(near).collect()
}

impl Ground<'_> {
    /// How wide these shares of the load spread at a line of the flat: at 45° from where each
    /// acts. Common practice.
    pub(super) fn spread(&self, line: &Line, place: &Place, loads: &[usize]) -> Vec<(f64, f64)> {
        let flat = Line { at: place.apply(line.at), toward: place.direction(line.toward) };
        let of = |source: &Source| {
            let discs = source.discs.iter().map(|(at, radius)| {
                let (s, reach) = (flat.place(*at), radius + flat.ahead(*at).abs());
                (s - reach, s + reach)
            });
            discs.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), (from, to)| {
                (low.min(from), high.max(to))
            })
        };
        loads.iter().map(|i| of(&self.sources[*i])).collect()
    }
}
