//! Where the points of a network are before they are fitted: one after the other, each where two
//! of its measurements cross.

use crate::geom::crossing::Locus;
use crate::geom::crossing::meet;
use crate::geom::measures::Choice;
use crate::geom::measures::Measure;
use crate::geom::measures::Measured;
use crate::geom::measures::Network;
use crate::geom::measures::NetworkError;
use crate::geom::measures::Node;
use crate::geom::measures::side;
use crate::geom::ray::ray;
use kurbo::Point;
use kurbo::Vec2;

/// The points one after the other, each where two of its measurements cross.
pub(super) fn placed(network: &Network) -> Result<Vec<Point>, NetworkError> {
    let count = network.choices.len();
    let mut found: Vec<Option<Point>> = vec![None; count];
    while found.iter().any(Option::is_none) {
        let mut trouble = None;
        let mut next = None;
        for i in (0..count).filter(|i| found[*i].is_none()) {
            let loci = loci(network, i, &found);
            if loci.len() < 2 {
                trouble = trouble.or(Some(NetworkError::TooFew(i, loci.len())));
                continue;
            }
            next = Some((i, one(network, i, &loci, &found)?));
            break;
        }
        match (next, trouble) {
            (Some((i, at)), _) => found[i] = Some(at),
            (None, Some(error)) => return Err(error),
            (None, None) => break,
        }
    }
    Ok(found.into_iter().flatten().collect())
}

/// The measurements of a point that lead to points that are placed, as circles and lines.
fn loci(network: &Network, of: usize, found: &[Option<Point>]) -> Vec<(usize, Locus)> {
    let at = |node: Node| seen(node, found);
    let own = network.measures.iter().enumerate().filter(|(_, m)| m.of == of);
    let locus = |(i, measure): (usize, &Measure)| {
        let locus = match measure.what {
            Measured::Distance(from) => Locus::Circle(at(from)?, measure.value),
            Measured::Direction(from) => Locus::Line(at(from)?, ray(measure.value)),
            Measured::Left(from, to) => {
                let (from, to) = (at(from)?, at(to)?);
                let way = to - from;
                let along = (way.hypot() > 0.0).then(|| way.normalize())?;
                Locus::Line(from + Vec2::new(-along.y, along.x) * measure.value, along)
            }
        };
        Some((i, locus))
    };
    own.filter_map(locus).collect()
}

/// The place of a point among the crossings of its circles and lines.
fn one(
    network: &Network,
    of: usize,
    loci: &[(usize, Locus)],
    found: &[Option<Point>],
) -> Result<Point, NetworkError> {
    let places = crossings(network.same, loci)?;
    let ahead: Vec<Point> =
        places.iter().filter(|p| is_ahead(network, of, **p, found)).copied().collect();
    let mut good = on_side(network, of, &ahead, found);
    let misfit = |p: &Point| loci.iter().map(|(_, l)| l.off(*p).powi(2)).sum::<f64>().sqrt();
    good.sort_by(|a, b| misfit(a).total_cmp(&misfit(b)));
    let Some(best) = good.first().copied() else {
        return Err(match places.is_empty() {
            true => NetworkError::Loose(of),
            false => NetworkError::OtherSide(of),
        });
    };
    good.retain(|p| misfit(p) < misfit(&best) + network.same);
    if let Some(Choice::Near(near)) = network.choices[of]
        && let Some(near) = seen(near, found)
    {
        let nearest = |a: &Point, b: &Point| (*a - near).hypot().total_cmp(&(*b - near).hypot());
        return Ok(good.into_iter().min_by(nearest).unwrap_or(best));
    }
    // Another place that fits as well, far from the first, leaves the choice open.
    let spread = 10.0 * network.same.max(misfit(&best));
    let other = good.iter().map(|p| (*p - best).hypot()).find(|far| *far > spread);
    other.map_or(Ok(best), |far| Err(NetworkError::Ambiguous(of, far)))
}

/// Where the circles and lines of a point cross, or come nearest.
fn crossings(same: f64, loci: &[(usize, Locus)]) -> Result<Vec<Point>, NetworkError> {
    let mut places: Vec<Point> = Vec::new();
    let mut apart = None;
    for (i, (a, first)) in loci.iter().enumerate() {
        for (b, second) in &loci[i + 1..] {
            let meeting = meet(first, second);
            let allowed = if loci.len() == 2 { TOUCHING } else { same };
            if meeting.gap > allowed {
                apart = apart.or(Some(NetworkError::Apart(*a, *b, meeting.gap)));
            }
            places.extend(meeting.places);
        }
    }
    match apart {
        Some(apart) if loci.len() == 2 || places.is_empty() => Err(apart),
        _ => Ok(places),
    }
}

/// Two measurements that miss each other by less touch, mm: rounding.
const TOUCHING: f64 = 1e-6;

fn seen(node: Node, found: &[Option<Point>]) -> Option<Point> {
    match node {
        Node::Fixed(at) => Some(at),
        Node::Sought(i) => found[i],
    }
}

/// Whether a place lies ahead in all directions that were measured to it.
fn is_ahead(network: &Network, of: usize, place: Point, found: &[Option<Point>]) -> bool {
    network.measures.iter().filter(|m| m.of == of).all(|measure| match measure.what {
        Measured::Direction(from) => {
            seen(from, found).is_none_or(|from| ray(measure.value).dot(place - from) >= 0.0)
        }
        _ => true,
    })
}

/// The places on the given side; if there are none, those that are nearly on the line.
fn on_side(network: &Network, of: usize, places: &[Point], found: &[Option<Point>]) -> Vec<Point> {
    let Some(Choice::Side(from, to, left)) = network.choices[of] else { return places.to_vec() };
    let (Some(from), Some(to)) = (seen(from, found), seen(to, found)) else {
        return places.to_vec();
    };
    let sign = if left { 1.0 } else { -1.0 };
    let within = |slack: f64| {
        let on_side = |p: &&Point| sign * side(**p, from, to) >= -slack;
        places.iter().filter(on_side).copied().collect::<Vec<Point>>()
    };
    let strict = within(0.0);
    if strict.is_empty() { within(network.same) } else { strict }
}
