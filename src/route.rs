//! In which order a sheet is cut, and where pieces stay held.
//!
//! Knows outlines on a sheet and nothing of parts. What must come before what is common
//! practice at the machine: what drops out of a plate before the plate itself, what lies in
//! a window before the window, and a small piece before a large neighbour, which would
//! leave it hot and on thin metal. Within that, the way from cut to cut is kept short.

mod bridge;
mod tour;

pub use bridge::bridged;

use crate::geom::Point;
use crate::geom::Region;
use crate::route::tour::Stop;

/// One closed cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Cut {
    /// Which piece.
    pub piece: usize,
    /// Which of its holes; `None` is its rim.
    pub hole: Option<usize>,
}

/// A piece with a larger one nearer than this, in mm, feels its heat. Common practice
/// speaks of neighbours only; the figure is our choice.
pub const HEAT_REACH: f64 = 15.0;

/// Of two such neighbours the smaller goes first when it has less than this share of the
/// other's area. Our choice.
pub const SMALL_SHARE: f64 = 0.25;

/// All cuts of the pieces of a sheet, in order. The cutter starts at the sheet's origin;
/// a cut begins and ends at the first corner of its outline.
pub fn order(pieces: &[Region]) -> Vec<Cut> {
    let holders = holders(pieces);
    let tops: Vec<usize> = (0..pieces.len()).filter(|p| holders[*p].is_none()).collect();
    let blocks: Vec<Vec<Cut>> = tops.iter().map(|p| block(*p, pieces, &holders)).collect();
    let stops: Vec<Stop> = blocks
        .iter()
        .map(|block| Stop {
            start: block.first().map_or(Point::ZERO, |cut| cut.start(pieces)),
            end: block.last().map_or(Point::ZERO, |cut| cut.start(pieces)),
        })
        .collect();
    let before = before(&tops, pieces);
    tour::shortest(&stops, &before).into_iter().flat_map(|i| blocks[i].clone()).collect()
}

/// The way in mm without cutting, from the sheet's origin through the starts of the cuts.
pub fn travel(pieces: &[Region], cuts: &[Cut]) -> f64 {
    let mut at = Point::ZERO;
    let mut way = 0.0;
    for cut in cuts {
        let start = cut.start(pieces);
        way += (start - at).hypot();
        at = start;
    }
    way
}

impl Cut {
    fn start(&self, pieces: &[Region]) -> Point {
        let piece = &pieces[self.piece];
        let outline = self.hole.map_or(piece.outer(), |hole| &piece.holes()[hole]);
        outline.vertices()[0].at
    }
}

/// For each piece the piece and the hole it lies in, the innermost one.
fn holders(pieces: &[Region]) -> Vec<Option<(usize, usize)>> {
    let holder = |inner: &Region| {
        let (at, bounds) = (inner.outer().vertices()[0].at, inner.bounds());
        let holds = pieces.iter().enumerate().flat_map(|(p, piece)| {
            let near = piece.bounds().distance(&bounds) == 0.0 && !std::ptr::eq(piece, inner);
            let holes = piece.holes().iter().enumerate().filter(move |_| near);
            holes.filter(|(_, hole)| hole.contains(at)).map(move |(h, hole)| (p, h, hole.area()))
        });
        holds.min_by(|a, b| a.2.total_cmp(&b.2)).map(|(p, h, _)| (p, h))
    };
    pieces.iter().map(holder).collect()
}

/// The cuts of a piece and of all that lies in its windows, its own rim last. Going back
/// from the rim, each cut is the one nearest to that after it.
fn block(piece: usize, pieces: &[Region], holders: &[Option<(usize, usize)>]) -> Vec<Cut> {
    let rim = Cut { piece, hole: None };
    let mut left: Vec<usize> = (0..pieces[piece].holes().len()).collect();
    // Hole by hole, what lies in it and then itself; put together from the end.
    let mut backwards = vec![rim];
    let mut at = rim.start(pieces);
    while !left.is_empty() {
        let away = |hole: usize| (Cut { piece, hole: Some(hole) }.start(pieces) - at).hypot();
        let nearest = (0..left.len()).min_by(|a, b| away(left[*a]).total_cmp(&away(left[*b])));
        let hole = left.remove(nearest.unwrap_or(0));
        backwards.push(Cut { piece, hole: Some(hole) });
        let within = (0..pieces.len()).filter(|p| holders[*p] == Some((piece, hole)));
        for inner in within {
            backwards.extend(block(inner, pieces, holders).into_iter().rev());
        }
        at = backwards.last().map_or(at, |cut| cut.start(pieces));
    }
    backwards.reverse();
    backwards
}

/// For each piece that lies in no window, by its place in the list, those to be cut before
/// it: much smaller ones near by.
fn before(tops: &[usize], pieces: &[Region]) -> Vec<Vec<usize>> {
    let boxes: Vec<_> =
        tops.iter().map(|p| (pieces[*p].bounds(), pieces[*p].outer().area())).collect();
    let first = |(bounds, area): &(crate::geom::Bounds, f64)| {
        let hot = |(_, (other, small)): &(usize, &(crate::geom::Bounds, f64))| {
            *small < SMALL_SHARE * area && other.distance(bounds) < HEAT_REACH
        };
        boxes.iter().enumerate().filter(hot).map(|(i, _)| i).collect()
    };
    boxes.iter().map(first).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::disc;
    use crate::geom::rectangle;
    use proptest::prelude::*;
    use std::collections::BTreeSet;

    fn plate(x: f64, y: f64, width: f64, height: f64) -> Region {
        let outline = rectangle(Point::new(x, y), width, height, 0.0).unwrap();
        Region::solid(outline)
    }

    fn holed(x: f64, y: f64, size: f64) -> Region {
        let at = |dx: f64| disc(Point::new(x + dx, y), size / 10.0).unwrap();
        let plate = plate(x, y, size, size);
        plate.pierced(at(-size / 4.0)).unwrap().pierced(at(size / 4.0)).unwrap()
    }

    fn at(cuts: &[Cut], piece: usize, hole: Option<usize>) -> usize {
        cuts.iter().position(|cut| *cut == Cut { piece, hole }).unwrap()
    }

    /// As laid, but each piece only once all that must go before it is cut.
    fn naive(pieces: &[Region]) -> Vec<Cut> {
        let holders = holders(pieces);
        let tops: Vec<usize> = (0..pieces.len()).filter(|p| holders[*p].is_none()).collect();
        let order = tour::as_given(&before(&tops, pieces));
        order.into_iter().flat_map(|i| block(tops[i], pieces, &holders)).collect()
    }

    fn judge(pieces: &[Region]) {
        let cuts = order(pieces);
        // Every outline once, and nothing else.
        let all: BTreeSet<Cut> = cuts.iter().copied().collect();
        let count: usize = pieces.iter().map(|p| 1 + p.holes().len()).sum();
        assert_eq!((cuts.len(), all.len()), (count, count));
        for (p, piece) in pieces.iter().enumerate() {
            let rim = at(&cuts, p, None);
            for hole in 0..piece.holes().len() {
                assert!(at(&cuts, p, Some(hole)) < rim);
            }
        }
        for (inner, holder) in holders(pieces).into_iter().enumerate() {
            let Some((outer, hole)) = holder else { continue };
            assert!(at(&cuts, inner, None) < at(&cuts, outer, Some(hole)));
        }
        let (way, plain) = (travel(pieces, &cuts), travel(pieces, &naive(pieces)));
        assert!(way <= plain + 1e-9, "{way} > {plain}");
    }

    #[test]
    fn what_lies_in_a_window_goes_before_the_window() {
        let window = rectangle(Point::new(100.0, 100.0), 120.0, 120.0, 0.0).unwrap();
        let frame = plate(100.0, 100.0, 160.0, 160.0).pierced(window).unwrap();
        let pieces = [frame, holed(100.0, 100.0, 60.0), plate(300.0, 100.0, 50.0, 50.0)];
        judge(&pieces);
        let cuts = order(&pieces);
        assert_eq!(at(&cuts, 1, None) + 1, at(&cuts, 0, Some(0)));
        assert_eq!(at(&cuts, 0, Some(0)) + 1, at(&cuts, 0, None));
    }

    #[test]
    fn small_pieces_go_before_their_large_neighbours_but_not_before_far_ones() {
        let pieces = [
            plate(50.0, 50.0, 100.0, 100.0),
            plate(115.0, 50.0, 20.0, 20.0),
            plate(500.0, 50.0, 20.0, 20.0),
        ];
        let cuts = order(&pieces);
        assert!(at(&cuts, 1, None) < at(&cuts, 0, None));
        assert!(at(&cuts, 2, None) > at(&cuts, 0, None));
        judge(&pieces);
    }

    #[test]
    fn rows_are_walked_to_and_fro() {
        let pieces: Vec<Region> = (0..6)
            .flat_map(|x| {
                [0, 1, 2].map(|y| plate(50.0 * f64::from(x), 300.0 * f64::from(y), 40.0, 40.0))
            })
            .collect();
        let way = travel(&pieces, &order(&pieces));
        // Three rows of five steps and two from row to row, and the way to the first corner.
        assert!(way < 3.0 * 5.0 * 50.0 + 2.0 * 300.0 + 60.0, "{way}");
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 40, ..ProptestConfig::default() })]
        #[test]
        fn the_order_is_a_permutation_and_no_longer_than_the_plain_one(
            sizes in prop::collection::vec((10.0..90.0f64, any::<bool>()), 1..40)
        ) {
            let pieces: Vec<Region> = sizes
                .iter()
                .enumerate()
                .map(|(i, (size, holes))| {
                    let (x, y) = (100.0 * (i * 7 % 11) as f64, 100.0 * (i / 11) as f64);
                    if *holes { holed(x, y, *size) } else { plate(x, y, *size, *size) }
                })
                .collect();
            judge(&pieces);
        }
    }
}
