//! The sections of a face between two lines that are not parallel.

use crate::geom::Edge;
use crate::geom::Vec2;
use crate::strength::face::BESIDE;
use crate::strength::face::Face;
use crate::strength::face::PARALLEL;
use crate::strength::face::PAST_CORNER;
use crate::strength::face::Row;
use crate::strength::face::STATIONS;
use crate::strength::line::Line;
use crate::strength::reason::Reason;
use crate::strength::station::Made;
use crate::strength::station::Station;
use crate::strength::station::nearest;

impl Face<'_> {
    /// Sections from the line where the load enters to the line where it leaves, rotated
    /// little by little.
    pub(super) fn fan(
        &self,
        into: &Edge,
        out: &Edge,
        stations: &mut Vec<Station>,
    ) -> Result<(), Reason> {
        let across = (out.to - out.from).normalize();
        let apart = across.cross((into.from - into.to).normalize());
        let parallel = apart.abs() < PARALLEL && across.dot(into.from - into.to) > 0.0;
        if parallel {
            let line =
                Line { at: out.from.midpoint(out.to), toward: Vec2::new(-across.y, across.x) };
            let reach = line.ahead(into.from);
            if reach <= BESIDE {
                return Err(Reason::Branched(self.name()));
            }
            return self.row(line, (BESIDE, reach - BESIDE), Row::Across, stations);
        }
        let known = stations.len();
        // The bend and the seam have separate sections.
        for i in 1..2 * STATIONS {
            let share = i as f64 / (2 * STATIONS) as f64;
            let [from, to] = [out.from.lerp(into.to, share), out.to.lerp(into.from, share)];
            let along = (to - from).normalize();
            let toward = Vec2::new(-along.y, along.x);
            // Not through the corner where the two lines may end.
            let line = Line { at: from.midpoint(to) + toward * PAST_CORNER, toward };
            if along.is_finite() {
                let first = stations.len();
                self.cut(line, false, stations)?;
                for station in &mut stations[first..] {
                    let spread = std::mem::take(&mut station.spreads[0]);
                    station.spreads[0] = nearest(spread, station.cut.ends());
                    station.made = Made::Alone;
                }
            }
        }
        match stations.len() > known {
            true => Ok(()),
            false => Err(Reason::Branched(self.name())),
        }
    }
}
