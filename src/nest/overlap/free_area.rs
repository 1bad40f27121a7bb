//! The free area of a sheet as the search sees it: a box, and the obstacles in it.

use crate::geom::Point;
use crate::nest::problem::rules::Rules;
use crate::nest::problem::stock::Stock;
use crate::nest::shape::grown::grown;
use crate::nest::shape::grown::shrunk;
use crate::nest::shape::nfp::around;
use crate::nest::shape::polygon::GRID;
use crate::nest::shape::polygon::ON_GRID;
use crate::nest::shape::polygon::Ring;
use crate::nest::shape::polygon::Spot;

/// The free area of one stock, in micrometres from its lower left corner.
#[derive(Clone, Debug)]
pub(crate) struct FreeArea {
    /// That corner on the sheet.
    pub(crate) corner: Point,
    /// The box in which grown parts must stay.
    pub(crate) low: Spot,
    pub(crate) high: Spot,
    /// Obstacles within the box.
    pub(crate) in_the_way: Vec<Ring>,
}

impl FreeArea {
    /// `None` when there is no free area, or it cannot be computed safely.
    pub(crate) fn new(stock: &Stock, rules: &Rules) -> Option<Self> {
        let (margin, reach) = (rules.kept_margin(), rules.kept_gap() / 2.0);
        let bounds = stock.room(margin).filter(|_| reach.is_finite())?;
        let corner = bounds.min;
        let low = (-reach * GRID - ON_GRID).ceil() as i64;
        let high = |length: f64| ((length + reach) * GRID + ON_GRID).floor() as i64;
        let (low, high) =
            (Spot::new(low, low), Spot::new(high(bounds.width()), high(bounds.height())));
        let mut in_the_way = Vec::new();
        if !stock.is_plain() {
            // At least half the gap is kept: a corner that projects into the sheet would come too
            // near otherwise.
            let kept = (margin - reach).max(0.0);
            let left = shrunk(stock.region.outer(), kept, corner);
            if left.is_empty() {
                return None;
            }
            let contours: Vec<Ring> = left.into_iter().map(|p| p.contour).collect();
            in_the_way = around(&contours, low, high);
            for hole in stock.region.holes() {
                in_the_way.push(grown(hole, kept, corner)?.contour);
            }
            for marred in &stock.keep_outs {
                in_the_way.push(grown(marred, reach, corner)?.contour);
            }
        }
        Some(Self { corner, low, high, in_the_way })
    }
}
