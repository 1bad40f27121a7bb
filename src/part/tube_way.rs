//! A tube in space as its recipe lays it.

use crate::geom::CentreLine;
use crate::geom::Frame;
use crate::geom::Space;
use indexmap::IndexMap;

/// A tube in space. Lengths are mm.
#[derive(Clone, Debug)]
pub(super) struct TubeWay {
    /// The points it goes by.
    pub(super) points: Vec<Space>,
    /// Radius of its centre line in the bends.
    pub(super) bend: f64,
    /// Half its outside diameter.
    pub(super) radius: f64,
}

/// The tubes of a recipe by name: nothing for one that `when` leaves out, no entry for one of
/// which something was reported.
pub(super) type TubeWays = IndexMap<String, Option<TubeWay>>;

impl TubeWay {
    /// Its centre line in a frame.
    pub(super) fn seen(&self, frame: &Frame) -> Option<CentreLine> {
        let points: Vec<Space> = self.points.iter().map(|p| frame.seen(*p)).collect();
        CentreLine::new(&points, self.bend)
    }
}
