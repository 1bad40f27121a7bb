//! Sheets that came back: each piece is looked for among the parts, however it lies.

use crate::changes::SAME;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::job::Job;
use crate::make::returned::compared::ExpectedPart;
use crate::make::returned::compared::Read;
use crate::make::returned::compared::Returned;
use crate::make::returned::compared::place;
use crate::make::returned::earlier;
use crate::num::Angle;
use crate::num::counted;
use crate::solve;
use crate::solve::Solved;
use std::collections::BTreeMap;

/// Distances that differ less may be the same distance, mm: both ends may be off by [`SAME`].
const ALIKE: f64 = 4.0 * SAME;

/// Areas that differ by a smaller share may be the same. Our choice: the effect of [`SAME`] on the
/// edges of a small part, amply.
const AREA: f64 = 0.01;

/// The pieces found on all sheets.
#[derive(Default)]
pub(super) struct Sheets {
    /// How many of each part.
    found: BTreeMap<usize, u32>,
}

impl Sheets {
    /// Matches each piece of a sheet with a part.
    pub(super) fn add(
        &mut self,
        returned: &mut Returned,
        job: &Job,
        solved: &[Solved],
        wanted: &mut [ExpectedPart],
        (name, plates): (&str, &[Region]),
    ) {
        let mut differences = Vec::new();
        for plate in plates {
            match self.part_of(job, solved, wanted, plate) {
                Some(at) => {
                    wanted[at].found = true;
                    *self.found.entry(wanted[at].part).or_default() += 1;
                }
                None => differences.push(unknown(job, plate)),
            }
        }
        match differences.is_empty() {
            true => returned.same.push(name.to_owned()),
            false => returned.differences.push(format!("{name}: {}", differences.join("; "))),
        }
    }

    /// The part of a piece: of several with its shape, among those that still need pieces, else may
    /// fill a sheet, the one with the fewest found.
    fn part_of(
        &self,
        job: &Job,
        solved: &[Solved],
        wanted: &[ExpectedPart],
        plate: &Region,
    ) -> Option<usize> {
        let alike = (0..wanted.len()).filter(|i| is_piece_of(job, solved, &wanted[*i], plate));
        alike.min_by_key(|i| {
            let part = wanted[*i].part;
            let found = self.found.get(&part).copied().unwrap_or_default();
            let [asked, most] = asked(job, &solved[part]);
            (found >= asked, found >= most, found)
        })
    }

    /// Whether a file that is that of no part is a sheet with one piece; if so, it is added.
    pub(super) fn holds_one(
        &mut self,
        returned: &mut Returned,
        job: &Job,
        solved: &[Solved],
        wanted: &mut [ExpectedPart],
        file: &Read,
    ) -> bool {
        // A piece oriented like a flat is a copy of one.
        let turned = |part: &&ExpectedPart| !earlier::same(&part.region, &file.region);
        let holds =
            wanted.iter().filter(turned).any(|part| is_piece_of(job, solved, part, &file.region));
        if holds {
            let plates = std::slice::from_ref(&file.region);
            self.add(returned, job, solved, wanted, (file.name, plates));
        }
        holds
    }

    /// Reports parts with too few pieces on the sheets, and with too many: more than the quantity
    /// in the job and those that may fill its sheets.
    pub(super) fn count(&self, returned: &mut Returned, job: &Job, solved: &[Solved]) {
        for (part, found) in &self.found {
            let solved = &solved[*part];
            let (name, [pieces, most]) = (&solved.name, asked(job, solved));
            let over = match () {
                () if *found < pieces => String::new(),
                () if *found > most => {
                    let sent = earlier::pieces(job, name).filter(|(sent, _)| *sent != pieces);
                    let sent = sent.map(|(sent, words)| format!("; {sent} were sent ({words})"));
                    format!(": {} too many{}", found - pieces, sent.unwrap_or_default())
                }
                () => continue,
            };
            let found = counted(found, "piece");
            let words = format!("{name}: {found} on the sheets here, {pieces} in the job{over}");
            returned.differences.push(words);
        }
    }
}

/// The quantity of a part in the job, and with those that may fill its sheets.
fn asked(job: &Job, solved: &Solved) -> [u32; 2] {
    let pieces = solve::pieces(job, solved);
    let filling = job.lines[solved.line].placing.fill.saturating_mul(solved.part.copies);
    [pieces, pieces.saturating_add(filling)]
}

/// Whether a piece is a part, in whatever way the job lets it lie.
fn is_piece_of(job: &Job, solved: &[Solved], part: &ExpectedPart, plate: &Region) -> bool {
    let may_flip = job.lines[solved[part.part].line].placing.may_flip.is_some();
    is_moved(&part.region, plate, may_flip)
}

/// A piece that is not a part of the present job.
fn unknown(job: &Job, plate: &Region) -> String {
    let (bounds, at) = (plate.bounds(), place(job, plate.bounds().min));
    let [w, h] = [bounds.width(), bounds.height()].map(|mm| job.units.length(mm));
    let mut all = earlier::sent(job).flat_map(|sent| sent.parts().map(move |part| (sent, part)));
    let is = |part| earlier::region(part).is_some_and(|region| is_moved(&region, plate, true));
    match all.find(|(_, part)| is(part)) {
        Some((sent, part)) => format!(
            "the piece at {at} is `{}` as sent as issue {} ({}), not as in the job now",
            part.name,
            sent.state.issue_of(part),
            sent.words()
        ),
        None => format!("the piece at {at}, {w} × {h}, is not a part of the job as it is now"),
    }
}

/// Whether one plate is another one moved, turned, and where that is allowed flipped over.
fn is_moved(part: &Region, plate: &Region, may_flip: bool) -> bool {
    if part.holes().len() != plate.holes().len()
        || (part.area() - plate.area()).abs() > AREA * plate.area()
    {
        return false;
    }
    let mirrored = Place { mirrored: true, ..Place::default() };
    fits(part, plate) || (may_flip && fits(&part.moved(&mirrored), plate))
}

/// Whether one plate is another one moved and rotated: the two places farthest from each other are
/// mapped to each pair of the other plate at the same distance.
fn fits(part: &Region, plate: &Region) -> bool {
    let (from, to) = (anchors(part), anchors(plate));
    let pairs = |of: &[Point]| -> Vec<(Point, Point)> {
        let pair = |(i, a): (usize, &Point)| {
            let others = of.iter().enumerate().filter(move |(j, _)| *j != i);
            others.map(|(_, b)| (*a, *b)).collect::<Vec<_>>()
        };
        of.iter().enumerate().flat_map(pair).collect()
    };
    let length = |(a, b): &(Point, Point)| (*b - *a).hypot();
    let farthest = pairs(&from).into_iter().max_by(|a, b| length(a).total_cmp(&length(b)));
    let Some(farthest) = farthest.filter(|pair| length(pair) > ALIKE) else {
        // A disc, with at most one round hole at its centre: it has no direction.
        let by = plate.bounds().centre() - part.bounds().centre();
        return earlier::same(&part.moved(&Place { shift: by, ..Place::default() }), plate);
    };
    let alike = |pair: &(Point, Point)| (length(pair) - length(&farthest)).abs() <= ALIKE;
    pairs(&to).iter().filter(|pair| alike(pair)).any(|(a, b)| {
        let [was, is] = [farthest.1 - farthest.0, *b - *a];
        let angle = Angle::of(is.x, is.y).degrees() - Angle::of(was.x, was.y).degrees();
        let turned = part.moved(&Place::rotated(Angle::from_degrees(angle), Point::ZERO));
        let start = Place::rotated(Angle::from_degrees(angle), Point::ZERO).apply(farthest.0);
        earlier::same(&turned.moved(&Place { shift: *a - start, ..Place::default() }), plate)
    })
}

/// Places by which the orientation of a plate is recognised: the corners of its outline, unless
/// that is a circle, and the centres of its openings.
fn anchors(region: &Region) -> Vec<Point> {
    let corners = region.outer().vertices().iter().map(|vertex| vertex.at);
    let round = region.outer().circle().map(|(centre, _)| centre);
    let outer: Vec<Point> = round.map_or_else(|| corners.collect(), |centre| vec![centre]);
    let holes = region.holes().iter().map(|hole| hole.bounds().centre());
    outer.into_iter().chain(holes).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::disc;
    use crate::geom::rectangle;

    #[test]
    fn a_plate_is_known_however_it_lies_and_turned_over_only_where_that_is_allowed() {
        let hole = |x, y, d: f64| disc(Point::new(x, y), d / 2.0).unwrap();
        let plate = Region::solid(rectangle(Point::ZERO, 60.0, 30.0, 4.0).unwrap());
        let plate = plate.pierced(hole(20.0, 5.0, 9.0)).unwrap();
        let round = Region::solid(hole(0.0, 0.0, 60.0));
        let round = round.pierced(hole(20.0, 0.0, 9.0)).unwrap();
        for degrees in [0.0, 17.0, 90.0, 180.0, 271.5] {
            let place = Place::rotated(Angle::from_degrees(degrees), Point::new(100.0, 50.0));
            for region in [&plate, &round] {
                assert!(is_moved(region, &region.moved(&place), false), "{degrees}");
            }
            let over = plate.moved(&Place { mirrored: true, ..place });
            assert!(!is_moved(&plate, &over, false) && is_moved(&plate, &over, true));
        }
        let moved = Region::solid(plate.outer().clone()).pierced(hole(20.0, 5.01, 9.0)).unwrap();
        assert!(!is_moved(&plate, &moved, false), "a hole that moved by 0.01 mm");
    }
}
