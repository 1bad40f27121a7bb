//! Where a disc that rounds or fills corners does not fit, and the largest that does.

use crate::geom::bounds::Bounds;
use crate::geom::narrow::Narrow;
use crate::geom::narrow::Within;
use crate::geom::narrow::narrow;
use crate::geom::region::Region;
use crate::geom::region::RegionError;
use crate::geom::rolled::Corners;
use crate::geom::rolled::RolledError;
use kurbo::Point;

/// Halvings in the search for a radius that fits: to 1/16,000 of the required one.
const HALVINGS: usize = 14;

/// Extra width over the disc in the search for narrow places: rounding. Our choice.
const WIDER: f64 = 1.01;

/// What obstructs a disc.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Obstruction {
    /// The largest radius that fits, mm; 0 for none.
    pub(crate) fits: f64,
    /// Where a larger one does not, when that is known.
    pub(crate) at: Option<Point>,
    /// How wide metal or gap is there, mm, where it has two sides.
    pub(crate) width: Option<f64>,
}

impl Region {
    /// What obstructs a disc that does not fit its corners.
    pub(crate) fn unfit(&self, corners: Corners, radius: f64) -> Obstruction {
        let treated = |radius: f64| match corners {
            Corners::Outward => self.rounded(radius),
            Corners::Inward => self.filled(radius),
        };
        let (mut low, mut high, mut known) = (0.0, radius, None);
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(low, high);
            match treated(middle) {
                Ok(_) => low = middle,
                Err(error) => {
                    high = middle;
                    if let RegionError::Rolled(RolledError::Narrow(at)) = error {
                        known = at;
                    }
                }
            }
        }
        let [outer, inner] = match corners {
            Corners::Outward => [Within::Inside, Within::Outside],
            Corners::Inward => [Within::Outside, Within::Inside],
        };
        let rings = std::iter::once((self.outer(), outer));
        let rings = rings.chain(self.holes().iter().map(|hole| (hole, inner)));
        let limit = 2.0 * high * WIDER;
        let places = rings.flat_map(|(ring, within)| narrow(ring, within, limit, 0.0));
        // A dead end is not narrow near its end.
        let near =
            |place: &Narrow| known.is_none_or(|known| reach(&place.bounds, known) <= 2.0 * limit);
        let place = places.filter(near).min_by(|a, b| a.width.total_cmp(&b.width));
        Obstruction { fits: low, at: place.map(|p| p.at).or(known), width: place.map(|p| p.width) }
    }
}

/// How far a point is from a rectangle, mm.
fn reach(bounds: &Bounds, p: Point) -> f64 {
    let out = |min: f64, max: f64, is: f64| (min - is).max(is - max).max(0.0);
    let x = out(bounds.min.x, bounds.max.x, p.x);
    let y = out(bounds.min.y, bounds.max.y, p.y);
    Point::new(x, y).to_vec2().hypot()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Outline;
    use crate::geom::Vertex;

    fn plate(corners: &[(f64, f64)]) -> Region {
        let corners = corners.iter().map(|(x, y)| Vertex::sharp(*x, *y));
        Region::solid(Outline::new(corners).unwrap())
    }

    /// Two ends of 40 mm joined by a neck of 8 mm: discs of up to 4 mm pass through it.
    #[test]
    fn a_neck_is_found_with_its_width_and_what_fits() {
        let half =
            [(0.0, -20.0), (30.0, -20.0), (30.0, -4.0), (50.0, -4.0), (50.0, -20.0), (80.0, -20.0)];
        let back = half.iter().rev().map(|(x, y)| (*x, -*y));
        let all: Vec<(f64, f64)> = half.iter().copied().chain(back).collect();
        let region = plate(&all);
        let unfit = region.unfit(Corners::Outward, 6.0);
        assert!((unfit.fits - 4.0).abs() < 1e-3, "{unfit:?}");
        assert!((unfit.width.unwrap() - 8.0).abs() < 1e-9, "{unfit:?}");
        let at = unfit.at.unwrap();
        assert!((30.0..=50.0).contains(&at.x) && at.y.abs() < 1e-6, "{unfit:?}");
        assert!(region.rounded(unfit.fits).is_ok() && region.rounded(4.1).is_err());
    }

    /// A slit of 6 mm, open at its top.
    #[test]
    fn a_gap_is_found_as_metal_is() {
        let region = plate(&[
            (-30.0, 0.0),
            (30.0, 0.0),
            (30.0, 40.0),
            (3.0, 40.0),
            (3.0, 15.0),
            (-3.0, 15.0),
            (-3.0, 40.0),
            (-30.0, 40.0),
        ]);
        let unfit = region.unfit(Corners::Inward, 5.0);
        assert!((unfit.fits - 3.0).abs() < 1e-3, "{unfit:?}");
        assert!(unfit.width.is_some_and(|width| (width - 6.0).abs() < 1e-9), "{unfit:?}");
        assert!(unfit.at.unwrap().x.abs() < 1e-6, "{unfit:?}");
    }
}
