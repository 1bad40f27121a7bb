//! The kinds of a job in patterns, and the forbidden region of each beside another.

use crate::nest::pattern::inside::Core;
use crate::nest::problem::progress::Stop;
use crate::nest::shape::nfp::no_fit;
use crate::nest::shape::orientation::Orientation;
use crate::nest::shape::polygon::Ring;
use crate::nest::shape::polygon::Spot;
use crate::nest::shape::polygon::extent;
use crate::nest::shape::polygon::strictly_within;
use rayon::prelude::*;

/// A kind of part in the orientations that look different.
pub(super) type Oriented = Vec<(Orientation, Ring)>;

/// A part on the sheet; the sheet has its lower left corner at 0, 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct PlacedShape {
    pub(super) kind: usize,
    pub(super) orientation: usize,
    pub(super) at: Spot,
}

/// The kinds of a job, and the forbidden region of each beside another.
pub(super) struct Kinds {
    pub(super) oriented: Vec<Oriented>,
    /// By kind, the number of its first orientation among those of all kinds.
    first: Vec<usize>,
    /// By orientation of all kinds, the corners of the box round its ring.
    extents: Vec<(Spot, Spot)>,
    /// By two orientations of all kinds, the second one after the other.
    forbidden: Vec<Forbidden>,
}

/// Where a part must not be beside another: the inside of these rings.
#[derive(Default)]
pub(super) struct Forbidden {
    pub(super) rings: Vec<Ring>,
    /// By ring, its deep interior.
    pub(super) cores: Vec<Core>,
}

impl Kinds {
    /// Kinds, and the no-fit polygons of those that may become neighbours.
    pub(super) fn new(oriented: Vec<Oriented>, stop: &Stop) -> Self {
        let all: Vec<&Ring> = oriented.iter().flatten().map(|(_, ring)| ring).collect();
        let pairs: Vec<(&Ring, &Ring)> =
            all.iter().flat_map(|a| all.iter().map(move |b| (*a, *b))).collect();
        let beside = |(a, b): &(&Ring, &Ring)| {
            if stop.now() {
                return Forbidden::default();
            }
            let rings: Vec<Ring> = no_fit(a, b).into_iter().map(|p| p.contour).collect();
            let cores = rings.iter().map(Core::of).collect();
            Forbidden { rings, cores }
        };
        let forbidden = pairs.par_iter().map(beside).collect();
        let extents = all.iter().map(|ring| extent(ring)).collect();
        let mut first = Vec::with_capacity(oriented.len());
        let mut count = 0;
        for of_kind in &oriented {
            first.push(count);
            count += of_kind.len();
        }
        Self { oriented, first, extents, forbidden }
    }

    fn number(&self, part: &PlacedShape) -> usize {
        self.first[part.kind] + part.orientation
    }

    /// Lower left and upper right corner of a placed part.
    pub(super) fn extent(&self, part: &PlacedShape) -> (Spot, Spot) {
        let (low, high) = self.extents[self.number(part)];
        (low + part.at, high + part.at)
    }

    pub(super) fn forbidden(&self, a: &PlacedShape, b: &PlacedShape) -> &Forbidden {
        &self.forbidden[self.number(a) * self.extents.len() + self.number(b)]
    }

    pub(super) fn overlap(&self, a: &PlacedShape, b: &PlacedShape) -> bool {
        self.forbidden(a, b).rings.iter().any(|ring| strictly_within(ring, b.at - a.at))
    }
}
