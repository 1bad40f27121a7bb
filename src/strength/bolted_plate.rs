//! The sections of a plate that is loaded where its bolts are.

use crate::geom::Point;
use crate::geom::Vec2;
use crate::geom::heading;
use crate::geom::rotated;
use crate::num;
use crate::num::Angle;
use crate::strength::face::BESIDE;
use crate::strength::face::Face;
use crate::strength::face::PAST_CORNER;
use crate::strength::face::Row;
use crate::strength::line::Line;
use crate::strength::line::mean;
use crate::strength::reason::Reason;
use crate::strength::station::Station;

/// Directions in which a plate is cut that is loaded among its bolts. Our choice.
const ROUND: usize = 12;

/// The direction in which some bolts spread most; towards the first where all are alike.
pub(super) fn axis(bolts: &[Point], centre: Point) -> Vec2 {
    let arms: Vec<Vec2> = bolts.iter().map(|p| *p - centre).collect();
    let across: f64 = arms.iter().map(|d| d.x * d.x - d.y * d.y).sum();
    let mixed: f64 = arms.iter().map(|d| 2.0 * d.x * d.y).sum();
    if num::hypot(across, mixed) > PAST_CORNER {
        let half = Angle::from_degrees(Angle::of(across, mixed).degrees() / 2.0);
        return heading(half);
    }
    let first = arms.first().filter(|d| d.hypot() > PAST_CORNER);
    first.map_or(Vec2::new(0.0, 1.0), |d| d.normalize())
}

impl Face<'_> {
    /// Sections of a plate that is loaded where its bolts are: from the load to the bolts, or
    /// in all directions where it acts among them.
    pub(super) fn among(&self, bolts: &[Point], stations: &mut Vec<Station>) -> Result<(), Reason> {
        let sources = &self.ground.sources;
        let centre = mean(bolts);
        let load = mean(&sources.iter().map(|s| s.at).collect::<Vec<_>>());
        let apart = load - centre;
        let is_apart = apart.hypot() > PAST_CORNER;
        let away = if is_apart { apart.normalize() } else { axis(bolts, centre) };
        let extent = |line: &Line| {
            let bolts = bolts.iter().map(|p| line.ahead(*p));
            let loads = sources.iter().map(|s| line.ahead(s.at));
            (
                bolts.clone().chain(loads.clone()).fold(f64::INFINITY, f64::min),
                bolts.clone().chain(loads.clone()).fold(f64::NEG_INFINITY, f64::max),
                bolts.fold(f64::NEG_INFINITY, f64::max) < loads.fold(f64::INFINITY, f64::min),
            )
        };
        let line = Line { at: centre, toward: away };
        let (low, high, is_beyond) = extent(&line);
        if is_beyond {
            return self.row(line, (low + BESIDE, high - BESIDE), Row::Across, stations);
        }
        let axis = axis(bolts, centre);
        for i in 0..ROUND {
            let toward = rotated(axis, 180.0 / ROUND as f64 * i as f64);
            let line = Line { at: centre, toward };
            let (low, high, _) = extent(&line);
            if high - low > PAST_CORNER {
                let slanted = !i.is_multiple_of(ROUND / 2);
                self.row(line, (low + BESIDE, high - BESIDE), Row::of(slanted), stations)?;
            }
        }
        Ok(())
    }
}
