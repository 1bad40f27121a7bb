//! Points of a machine by name: some that are not on one line.

use crate::geom::Space;
use crate::geom::cross;
use crate::geom::length;
use crate::geom::minus;
use crate::serve::changed::Refused;
use crate::serve::snapshot::SnapshotJob;

/// Points nearer to one another, or to a line, are not distinguished, mm. Our choice: a tape reads so.
const APART: f64 = 1.0;

/// Maximum number of points among which well-placed ones are looked for. Our choice.
const MAX: usize = 60;

/// Whether two points are apart.
pub(super) fn are_apart(a: Space, b: Space) -> bool {
    length(minus(a, b)) > APART
}

/// How far three points are from being on one line, mm: the height over their longest side.
pub(super) fn spread([a, b, c]: [Space; 3]) -> f64 {
    let sides = [minus(b, a), minus(c, a), minus(c, b)].map(length);
    let long = sides.into_iter().fold(0.0, f64::max);
    if long <= APART { 0.0 } else { length(cross(minus(b, a), minus(c, a))) / long }
}

pub(super) fn few() -> Refused {
    let words = "the machine does not have enough points yet: add some first, under Machine";
    Refused::Cannot(words.to_owned())
}

/// Two points that are apart; `from` may be given.
///
/// # Errors
/// When there are none.
pub(super) fn two(job: &SnapshotJob, from: Option<&str>) -> Result<[String; 2], Refused> {
    let all = &job.ready.job.points.at;
    let (first, at) = match from {
        Some(name) => (name, all.get(name).copied()),
        None => all.first().map(|(name, at)| (name.as_str(), Some(*at))).ok_or_else(few)?,
    };
    let is_apart = |here: Space| at.is_none_or(|at| are_apart(here, at));
    let other = all.iter().find(|(name, here)| *name != first && is_apart(**here));
    let (other, _) = other.ok_or_else(few)?;
    Ok([first.to_owned(), other.clone()])
}

/// Three points that are not on one line, those that are given among them.
///
/// # Errors
/// When there are none.
pub(super) fn beside(
    job: &SnapshotJob,
    given: [Option<String>; 3],
) -> Result<[String; 3], Refused> {
    let all = &job.ready.job.points.at;
    let names: Vec<&str> = all.keys().take(MAX).map(String::as_str).collect();
    let of = |given: &Option<String>| match given {
        // Whether it exists is checked when the job is read.
        Some(name) => vec![name.clone()],
        None => names.iter().map(|name| (*name).to_owned()).collect(),
    };
    if let [Some(a), Some(b), Some(c)] = given {
        return Ok([a, b, c]);
    }
    let [one, two, three] = given.each_ref().map(of);
    for a in &one {
        for b in two.iter().filter(|b| *b != a) {
            for c in three.iter().filter(|c| *c != a && *c != b) {
                let at = [a, b, c].map(|name| all.get(name).copied());
                let [Some(p), Some(q), Some(r)] = at else { continue };
                if spread([p, q, r]) > APART {
                    return Ok([a, b, c].map(String::clone));
                }
            }
        }
    }
    Err(few())
}
