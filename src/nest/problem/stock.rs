//! The sheets that parts are placed on.

use crate::geom::Bounds;
use crate::geom::Outline;
use crate::geom::OutlineError;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::rectangle;

/// Sheets of one outline in stock: whole ones, or remnants of any outline.
#[derive(Clone, Debug, PartialEq)]
pub struct Stock {
    /// The metal; x runs along its grain. The margin is kept from its edge and from its holes.
    pub region: Region,
    /// Areas of metal to avoid: damaged or clamped. The gap is kept from these as from parts.
    pub keep_outs: Vec<Outline>,
    /// Strips under clamps.
    pub clamps: Sides,
    /// How many there are; `None` is as many as needed.
    pub count: Option<u32>,
    /// The price of one, in any currency; 0 if it is not known or paid for already.
    pub price: f64,
    /// Used before all others that are not, whatever it costs: a remnant.
    pub first: bool,
}

/// A width in mm along each side of the rectangle round something; 0 is none.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Sides {
    /// At the minimum x.
    pub left: f64,
    /// At the maximum x.
    pub right: f64,
    /// At the minimum y.
    pub bottom: f64,
    /// At the maximum y.
    pub top: f64,
}

/// No parts are put on sheets longer or wider than this, in mm: at such coordinates `f64` no longer
/// resolves millionths of a millimetre. Our choice; it is a hundred kilometres.
pub const LARGEST_SHEET: f64 = 1e8;

impl Stock {
    /// As many as needed, without a price, free of clamps and keep-outs.
    pub fn new(region: Region) -> Self {
        Self {
            region,
            keep_outs: Vec::new(),
            clamps: Sides::default(),
            count: None,
            price: 0.0,
            first: false,
        }
    }

    /// Whole sheets of a size in mm along the grain (x) and across it (y), with a corner at the
    /// origin.
    ///
    /// # Errors
    /// When that is no rectangle.
    pub fn whole(length: f64, width: f64) -> Result<Self, OutlineError> {
        let middle = Point::new(length / 2.0, width / 2.0);
        Ok(Self::new(Region::solid(rectangle(middle, length, width, 0.0)?)))
    }

    /// Whether it is an upright rectangle without holes and keep-outs, so that the rectangle of
    /// [`Stock::room`] says all.
    pub(crate) fn is_plain(&self) -> bool {
        self.is_rectangle() && self.keep_outs.is_empty()
    }

    /// Whether it is an upright rectangle without holes; keep-outs may be in it.
    pub(crate) fn is_rectangle(&self) -> bool {
        let (bounds, outer) = (self.region.bounds(), self.region.outer());
        let upright =
            outer.edges().all(|e| e.is_line() && (e.from.x == e.to.x || e.from.y == e.to.y));
        let full = outer.vertices().len() == 4
            && outer.vertices().iter().all(|v| {
                (v.at.x == bounds.min.x || v.at.x == bounds.max.x)
                    && (v.at.y == bounds.min.y || v.at.y == bounds.max.y)
            });
        upright && full && self.region.holes().is_empty()
    }

    /// The rectangle that parts must stay in, with a margin in mm kept on all sides; `None` when
    /// that or the clamps leave nothing, or a dimension is not a sane number.
    pub fn room(&self, margin: f64) -> Option<Bounds> {
        let (bounds, clamps) = (self.region.bounds(), &self.clamps);
        // `max` ignores NaN, which must be refused.
        let sides = [clamps.left, clamps.right, clamps.bottom, clamps.top, margin];
        let sane = |x: &f64| (-LARGEST_SHEET..=LARGEST_SHEET).contains(x);
        let corners = [bounds.min.x, bounds.min.y, bounds.max.x, bounds.max.y];
        let size = bounds.width() <= LARGEST_SHEET && bounds.height() <= LARGEST_SHEET;
        if !(size && sides.iter().chain(&corners).all(sane)) {
            return None;
        }
        let min = Point::new(
            bounds.min.x + clamps.left.max(margin),
            bounds.min.y + clamps.bottom.max(margin),
        );
        let max = Point::new(
            bounds.max.x - clamps.right.max(margin),
            bounds.max.y - clamps.top.max(margin),
        );
        (min.x < max.x && min.y < max.y).then_some(Bounds { min, max })
    }
}
