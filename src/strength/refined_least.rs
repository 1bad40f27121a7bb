//! The weakest section near those checked.
//!
//! Lines in some directions and through some places show roughly where a face is weakest, not
//! exactly: the weakest section may run past the corner of an opening to the end of a seam, which
//! no list of directions includes. So from the weakest sections known others are tried a step
//! beside them, and from the weakest of those again; if none is weaker the step is halved.

use crate::geom::Point;
use crate::strength::face::Face;
use crate::strength::limit::Limit;
use crate::strength::station::Made;
use crate::strength::station::Station;

/// Number of sections of a face from which others are sought nearby, each at another place. Our
/// choice.
const STARTS: usize = 8;
/// The first step, as a share of the length of a section, and the last ones, mm: of each, and of
/// the weakest of all. Our choice.
const FIRST: f64 = 0.04;
const LAST: f64 = 2e-3;
const MIN: f64 = 1e-5;
/// Maximum number of steps in total, from each start; then the best so far counts. Our choice.
const STEPS: usize = 120;
/// Only sections that allow less than this multiple of the minimum are tried, and one known to
/// allow more than the second ends early. Our choice: no search has found as much.
const WORTH: f64 = 1.15;
const HOPELESS: f64 = 1.05;
const EARLY: usize = 12;
/// Two sections whose ends are off by less than this share of their length are at one place.
const SAME_PLACE: f64 = 0.1;
/// Less than this share less is rounding.
const ROUNDING: f64 = 1e-10;

/// A section with its allowable load.
type SectionLimit = (Station, Limit);

/// The weakest section of each face near the weakest known ones.
pub(super) fn near(
    faces: &[Face],
    mut known: Vec<(&Station, f64)>,
    judge: &dyn Fn(&Station) -> Option<Limit>,
) -> Vec<SectionLimit> {
    known.sort_by(|a, b| a.1.total_cmp(&b.1));
    let Some(max) = known.first().map(|(_, least)| least * WORTH) else { return Vec::new() };
    let weak = |(station, allowed): &&(&Station, f64)| {
        !matches!(station.made, Made::Alone) && *allowed < max
    };
    let of_face = |(i, face): (usize, &Face)| {
        let weak = known.iter().filter(weak).filter(|(station, _)| station.of == i);
        let starts = starts(weak.map(|(station, _)| *station)).into_iter();
        let starts = starts.filter_map(|start| Some((start.clone(), judge(start)?)));
        let mut least: Option<SectionLimit> = None;
        for start in starts {
            let bar = least.as_ref().map_or(f64::INFINITY, |(_, least)| least.allowable());
            let found = search(face, start, (FIRST, LAST), bar, judge);
            if found.1.allowable() < bar {
                least = Some(found);
            }
        }
        let least = least?;
        Some(search(face, least, (0.0, MIN), f64::INFINITY, judge))
    };
    faces.iter().enumerate().filter_map(of_face).collect()
}

/// The ends of a section in its face.
fn ends(station: &Station) -> [Point; 2] {
    station.cut.ends().map(|s| station.cut.line.point(s))
}

/// The first of some sections, and those at other places.
fn starts<'a>(stations: impl Iterator<Item = &'a Station>) -> Vec<&'a Station> {
    let mut starts: Vec<&Station> = Vec::new();
    for station in stations {
        let [from, to] = ends(station);
        let near = |(a, b): (Point, Point)| {
            (a - from).hypot() + (b - to).hypot() < SAME_PLACE * (to - from).hypot()
        };
        let is_near = |known: &&Station| {
            let [a, b] = ends(known);
            let is_same = known.bolts == station.bolts && known.oblique == station.oblique;
            is_same && (near((a, b)) || near((b, a)))
        };
        if !starts.iter().any(is_near) {
            starts.push(station);
        }
        if starts.len() == STARTS {
            break;
        }
    }
    starts
}

/// From a section step by step to the weakest near it, the steps as shares of the length of the
/// section and in mm; stopped when some steps show that it cannot fall below `bar`.
fn search(
    face: &Face,
    from: SectionLimit,
    (first, last): (f64, f64),
    bar: f64,
    judge: &dyn Fn(&Station) -> Option<Limit>,
) -> SectionLimit {
    let (mut station, mut limit) = from;
    let [a, b] = ends(&station);
    let mut step = (first * (b - a).hypot()).max(LAST);
    for i in 0..STEPS {
        if step < last || (i == EARLY && limit.allowable() > bar * HOPELESS) {
            break;
        }
        let near = face.beside_it(&station, step).into_iter();
        let judged = near.filter_map(|near| judge(&near).map(|limit| (near, limit)));
        let least = judged.min_by(|a, b| a.1.allowable().total_cmp(&b.1.allowable()));
        match least {
            Some(least) if least.1.allowable() < limit.allowable() * (1.0 - ROUNDING) => {
                (station, limit) = least;
            }
            _ => step /= 2.0,
        }
    }
    (station, limit)
}
