//! The order of cutting of a sheet, its common cuts, and its bridges.
//!
//! This room works with outlines on a sheet and is independent of parts. Requirements come before
//! common practice at the machine: an opening before the plate round it, parts in a cut-out before
//! the cut-out, and a small piece before a large neighbour, which would leave it hot and on thin
//! metal. Within that, the travel from cut to cut is kept short.
//!
//! Pieces with common cuts are one stop: all their holes, then the common cuts while the outline of
//! every piece still attaches it to the sheet, then the outlines.

mod bridge;
mod common_cuts;
mod cut;
mod release;
mod spread;
mod tour;

pub(crate) use bridge::bridged;
pub(crate) use cut::Cut;

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Region;
use crate::route::common_cuts::CommonCuts;
use crate::route::common_cuts::neighbours;
use crate::route::tour::Stop;
use std::collections::HashMap;

/// What may be cut in common.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Sharing<'a> {
    /// Width of the cut, mm.
    pub kerf: f64,
    /// By piece, whether it shares nothing.
    pub alone: &'a [bool],
}

/// All cuts of a sheet.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Route {
    /// In order.
    pub cuts: Vec<Cut>,
    /// The common cuts from end to end: the cutter runs on these lines, half a kerf from the pieces
    /// on both sides.
    pub common_cuts: Vec<[Point; 2]>,
    /// By piece, what common cuts leave of its outline as open chains in the order of cutting, the
    /// piece to their left; none where the outline is cut whole.
    pub rests: Vec<Option<Vec<Vec<Edge>>>>,
    /// Travel without cutting, mm, from the sheet's origin.
    pub travel: f64,
    /// How many pieces are nearer to the one before than the spacing asked for.
    pub too_near: usize,
}

/// A piece with a larger one nearer than this, in mm, is heated by it. Common practice speaks of
/// neighbours only; the figure is our choice.
pub(crate) const HEAT_REACH: f64 = 15.0;

/// Of two such neighbours the smaller is cut first if it has less than this share of the other's
/// area. Our choice.
pub(crate) const SMALL_SHARE: f64 = 0.25;

/// All cuts of the pieces of a sheet, in order. The cutter starts at the sheet's origin;
/// a closed cut begins and ends at the first corner of its outline. With a `spacing`, mm, pieces
/// that follow one another are that far apart where possible, so that the heat is spread.
pub(crate) fn order(pieces: &[Region], sharing: Option<Sharing>, spacing: Option<f64>) -> Route {
    let mut work = Work::new(pieces, sharing);
    let groups: Vec<usize> = (0..work.groups.len()).filter(|g| work.holder(*g).is_none()).collect();
    let blocks: Vec<Vec<Cut>> = groups.iter().map(|g| work.block(*g)).collect();
    let stops: Vec<Stop> = blocks
        .iter()
        .map(|block| Stop {
            start: block.first().map_or(Point::ZERO, |cut| work.start(cut)),
            end: block.last().map_or(Point::ZERO, |cut| work.end(cut)),
        })
        .collect();
    let before = work.before(&groups);
    let boxes: Vec<Bounds> = groups.iter().map(|group| work.box_of(*group)).collect();
    let tour = match spacing {
        Some(spacing) => spread::spread(&stops, &boxes, &before, spacing),
        None => tour::shortest(&stops, &before),
    };
    let cuts: Vec<Cut> = tour.into_iter().flat_map(|i| blocks[i].clone()).collect();
    let too_near = spacing.map_or(0, |spacing| {
        let boxes: Vec<Bounds> = (0..work.groups.len()).map(|group| work.box_of(group)).collect();
        spread::too_near(&boxes, &work.freed(&cuts), spacing)
    });
    let route = work.route(cuts);
    Route { too_near, ..route }
}

/// What is to be cut, while it is put in order.
struct Work<'a> {
    pieces: &'a [Region],
    kerf: f64,
    shared: CommonCuts,
    /// Pieces joined by common cuts.
    groups: Vec<Vec<usize>>,
    /// By piece, the piece and the hole it is in.
    holders: Vec<Option<(usize, usize)>>,
    /// The groups in a hole, by the piece and the hole.
    within: HashMap<(usize, usize), Vec<usize>>,
    /// The common cuts in order.
    straights: Vec<[Point; 2]>,
}

impl<'a> Work<'a> {
    fn new(pieces: &'a [Region], sharing: Option<Sharing>) -> Self {
        let shared = sharing.map_or_else(
            || CommonCuts::nothing(pieces.len()),
            |sharing| CommonCuts::of(pieces, sharing.alone, sharing.kerf),
        );
        let kerf = sharing.map_or(0.0, |sharing| sharing.kerf);
        let (groups, holders) = (shared.groups(), holders(pieces));
        let mut within: HashMap<(usize, usize), Vec<usize>> = HashMap::new();
        for (group, members) in groups.iter().enumerate() {
            if let Some(holder) = members.first().and_then(|piece| holders[*piece]) {
                within.entry(holder).or_default().push(group);
            }
        }
        Self { pieces, kerf, shared, groups, holders, within, straights: Vec::new() }
    }

    /// The rectangle round the pieces of a group.
    fn box_of(&self, group: usize) -> Bounds {
        let members = self.groups[group].iter().map(|p| &self.pieces[*p]);
        members.fold(Bounds::EMPTY, |b, piece| b.and(piece.bounds()))
    }

    /// The piece and the hole that a group is in.
    fn holder(&self, group: usize) -> Option<(usize, usize)> {
        self.groups[group].first().and_then(|piece| self.holders[*piece])
    }

    /// Where a cut begins.
    fn start(&self, cut: &Cut) -> Point {
        match *cut {
            Cut::Hole { piece, hole } => corner(&self.pieces[piece].holes()[hole]),
            Cut::Common(i) => self.straights[i][0],
            Cut::Outline(piece) => match self.shared.rests[piece].as_deref() {
                None => corner(self.pieces[piece].outer()),
                Some(chains) => chains.first().map_or(Point::ZERO, |chain| chain[0].from),
            },
        }
    }

    fn end(&self, cut: &Cut) -> Point {
        match *cut {
            Cut::Common(i) => self.straights[i][1],
            Cut::Outline(piece) => {
                let last =
                    self.shared.rests[piece].as_ref().and_then(|chains| chains.last()?.last());
                last.map_or_else(|| self.start(cut), |edge| edge.to)
            }
            Cut::Hole { .. } => self.start(cut),
        }
    }

    /// Whether anything is cut: the outline of a piece may be cut in common all round.
    fn is_cut(&self, cut: &Cut) -> bool {
        !matches!(cut, Cut::Outline(piece) if self.shared.rests[*piece].as_ref().is_some_and(Vec::is_empty))
    }

    /// The cuts of a group and of all pieces in its cut-outs: holes, common cuts, outlines. From
    /// the end backwards, each hole is the one nearest to the cut after it.
    fn block(&mut self, group: usize) -> Vec<Cut> {
        let members = self.groups[group].clone();
        // For each hole the pieces in it, then the hole itself; built from the end.
        let mut backwards = match members[..] {
            [piece] => vec![Cut::Outline(piece)],
            _ => release::backwards(&members, &mut self.shared, self.kerf, &mut self.straights),
        };
        let mut left: Vec<(usize, usize)> = members
            .iter()
            .flat_map(|p| (0..self.pieces[*p].holes().len()).map(move |hole| (*p, hole)))
            .collect();
        let first = |work: &Self, cuts: &[Cut]| {
            cuts.iter().rev().find(|cut| work.is_cut(cut)).map_or(Point::ZERO, |c| work.start(c))
        };
        let mut at = first(self, &backwards);
        while !left.is_empty() {
            let away = |(piece, hole): (usize, usize)| {
                (corner(&self.pieces[piece].holes()[hole]) - at).hypot()
            };
            let nearest = (0..left.len()).min_by(|a, b| away(left[*a]).total_cmp(&away(left[*b])));
            let (piece, hole) = left.remove(nearest.unwrap_or(0));
            backwards.push(Cut::Hole { piece, hole });
            for inner in self.within.get(&(piece, hole)).cloned().unwrap_or_default() {
                backwards.extend(self.block(inner).into_iter().rev());
            }
            at = first(self, &backwards);
        }
        backwards.reverse();
        backwards
    }

    /// The groups in the order in which they come free; those that share a cut do so together.
    fn freed(&self, cuts: &[Cut]) -> Vec<usize> {
        let mut group_of = vec![0; self.pieces.len()];
        for (group, members) in self.groups.iter().enumerate() {
            members.iter().for_each(|piece| group_of[*piece] = group);
        }
        let freed = |cut: &Cut| match cut {
            Cut::Outline(piece) => Some(group_of[*piece]),
            Cut::Hole { .. } | Cut::Common(_) => None,
        };
        let mut order: Vec<usize> = cuts.iter().filter_map(freed).collect();
        order.dedup();
        order
    }

    /// For each group that is in no cut-out, by its place in the list, those to be cut before it:
    /// much smaller neighbours.
    fn before(&self, groups: &[usize]) -> Vec<Vec<usize>> {
        let area_of = |group: &usize| {
            self.groups[*group].iter().map(|p| self.pieces[*p].outer().area()).sum::<f64>()
        };
        let boxes: Vec<Bounds> = groups.iter().map(|group| self.box_of(*group)).collect();
        let areas: Vec<f64> = groups.iter().map(area_of).collect();
        let mut before = vec![Vec::new(); groups.len()];
        for [a, b] in neighbours(&boxes, HEAT_REACH) {
            for (large, small) in [(a, b), (b, a)] {
                if areas[small] < SMALL_SHARE * areas[large] {
                    before[large].push(small);
                }
            }
        }
        before
    }

    /// The cuts in this order, with the travel between them.
    fn route(self, cuts: Vec<Cut>) -> Route {
        let mut at = Point::ZERO;
        let mut travel = 0.0;
        for cut in cuts.iter().filter(|cut| self.is_cut(cut)) {
            travel += (self.start(cut) - at).hypot();
            at = self.end(cut);
            if let Cut::Outline(piece) = cut {
                let chains = self.shared.rests[*piece].as_deref().unwrap_or_default();
                let hop = |two: &[Vec<Edge>]| {
                    let end = two[0].last().map_or(Point::ZERO, |edge| edge.to);
                    (two[1][0].from - end).hypot()
                };
                travel += chains.windows(2).map(hop).sum::<f64>();
            }
        }
        Route { cuts, common_cuts: self.straights, rests: self.shared.rests, travel, too_near: 0 }
    }
}

fn corner(outline: &Outline) -> Point {
    outline.vertices()[0].at
}

/// For each piece the piece and the innermost hole it is in.
fn holders(pieces: &[Region]) -> Vec<Option<(usize, usize)>> {
    let boxes: Vec<Bounds> = pieces.iter().map(Region::bounds).collect();
    let narrowest = boxes.iter().map(|b| b.width().min(b.height())).fold(f64::INFINITY, f64::min);
    // Most holes are too narrow for any piece.
    let mut holes: Vec<(Bounds, usize, usize, &Outline)> = Vec::new();
    for (p, piece) in pieces.iter().enumerate() {
        for (h, hole) in piece.holes().iter().enumerate() {
            let bounds = hole.bounds();
            if bounds.width().min(bounds.height()) >= narrowest {
                holes.push((bounds, p, h, hole));
            }
        }
    }
    let holder = |(inner, piece): (usize, &Region)| {
        let at = corner(piece.outer());
        let holds = holes.iter().filter(|(bounds, p, _, hole)| {
            *p != inner && bounds.distance(&boxes[inner]) == 0.0 && hole.contains(at)
        });
        let innermost = holds.min_by(|a, b| a.3.area().total_cmp(&b.3.area()));
        innermost.map(|(_, p, h, _)| (*p, *h))
    };
    pieces.iter().enumerate().map(holder).collect()
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
        let wanted = hole.map_or(Cut::Outline(piece), |hole| Cut::Hole { piece, hole });
        cuts.iter().position(|cut| *cut == wanted).unwrap()
    }

    /// In the order given, but each piece only after all that must be cut before it.
    fn naive(pieces: &[Region]) -> Route {
        let mut work = Work::new(pieces, None);
        let tops: Vec<usize> = (0..pieces.len()).filter(|p| work.holder(*p).is_none()).collect();
        let order = tour::as_given(&work.before(&tops));
        let cuts = order.into_iter().flat_map(|i| work.block(tops[i])).collect();
        work.route(cuts)
    }

    fn judge(pieces: &[Region]) {
        let Route { cuts, travel, .. } = order(pieces, None, None);
        // Every outline once, and nothing else.
        let all: BTreeSet<Cut> = cuts.iter().copied().collect();
        let count: usize = pieces.iter().map(|p| 1 + p.holes().len()).sum();
        assert_eq!((cuts.len(), all.len()), (count, count));
        for (p, piece) in pieces.iter().enumerate() {
            let outline = at(&cuts, p, None);
            for hole in 0..piece.holes().len() {
                assert!(at(&cuts, p, Some(hole)) < outline);
            }
        }
        for (inner, holder) in holders(pieces).into_iter().enumerate() {
            let Some((outer, hole)) = holder else { continue };
            assert!(at(&cuts, inner, None) < at(&cuts, outer, Some(hole)));
        }
        let plain = naive(pieces).travel;
        assert!(travel <= plain + 1e-9, "{travel} > {plain}");
    }

    #[test]
    fn a_part_in_a_cut_out_is_cut_before_the_cut_out() {
        let window = rectangle(Point::new(100.0, 100.0), 120.0, 120.0, 0.0).unwrap();
        let frame = plate(100.0, 100.0, 160.0, 160.0).pierced(window).unwrap();
        let pieces = [frame, holed(100.0, 100.0, 60.0), plate(300.0, 100.0, 50.0, 50.0)];
        judge(&pieces);
        let cuts = order(&pieces, None, None).cuts;
        assert_eq!(at(&cuts, 1, None) + 1, at(&cuts, 0, Some(0)));
        assert_eq!(at(&cuts, 0, Some(0)) + 1, at(&cuts, 0, None));
    }

    /// So is one that is too large to be cut first for being small, and the parts in its cut-out.
    #[test]
    fn parts_within_parts_are_cut_from_within() {
        let frame = |size: f64| {
            let opening = rectangle(Point::new(100.0, 100.0), size - 30.0, size - 30.0, 0.0);
            plate(100.0, 100.0, size, size).pierced(opening.unwrap()).unwrap()
        };
        let pieces = [frame(180.0), plate(300.0, 100.0, 50.0, 50.0), frame(140.0), frame(100.0)];
        assert_eq!(holders(&pieces), [None, None, Some((0, 0)), Some((2, 0))]);
        judge(&pieces);
        let cuts = order(&pieces, None, None).cuts;
        assert!(at(&cuts, 3, None) < at(&cuts, 2, Some(0)));
        assert!(at(&cuts, 2, None) < at(&cuts, 0, Some(0)));
    }

    #[test]
    fn small_pieces_go_before_their_large_neighbours_but_not_before_far_ones() {
        let pieces = [
            plate(50.0, 50.0, 100.0, 100.0),
            plate(115.0, 50.0, 20.0, 20.0),
            plate(500.0, 50.0, 20.0, 20.0),
        ];
        let cuts = order(&pieces, None, None).cuts;
        assert!(at(&cuts, 1, None) < at(&cuts, 0, None));
        assert!(at(&cuts, 2, None) > at(&cuts, 0, None));
        judge(&pieces);
    }

    /// Replays a route: each cut is made in metal that is still attached to the sheet.
    ///
    /// A grid of squares: joints between neighbours, and between those outside and the sheet.
    /// Common cuts may run over several squares.
    #[test]
    fn in_a_grid_nothing_is_cut_once_it_is_loose() {
        let (columns, rows, size, kerf) = (4usize, 5usize, 40.0, 0.9);
        let middle = |i: usize| size / 2.0 + (size + kerf) * i as f64;
        let spots: Vec<(usize, usize)> =
            (0..rows).flat_map(|y| (0..columns).map(move |x| (x, y))).collect();
        let pieces: Vec<Region> =
            spots.iter().map(|(x, y)| holed(middle(*x), middle(*y), size)).collect();
        let alone = vec![false; pieces.len()];
        let route = order(&pieces, Some(Sharing { kerf, alone: &alone }), None);
        assert_eq!(route.common_cuts.len(), (columns - 1) + (rows - 1));
        let sheet = pieces.len();
        let mut joints = BTreeSet::new();
        for (i, (x, y)) in spots.iter().enumerate() {
            if x + 1 < columns {
                joints.insert((i, i + 1));
            }
            if y + 1 < rows {
                joints.insert((i, i + columns));
            }
            if *x == 0 || *y == 0 || x + 1 == columns || y + 1 == rows {
                joints.insert((i, sheet));
            }
        }
        let hangs = |joints: &BTreeSet<(usize, usize)>, piece: usize| {
            let mut reached = BTreeSet::from([sheet]);
            for _ in 0..=pieces.len() {
                for (a, b) in joints {
                    if reached.contains(a) || reached.contains(b) {
                        reached.extend([*a, *b]);
                    }
                }
            }
            reached.contains(&piece)
        };
        let mut free = 0;
        for cut in &route.cuts {
            match *cut {
                Cut::Hole { piece, .. } => {
                    assert!(hangs(&joints, piece) && free == 0, "{cut:?}");
                }
                Cut::Outline(piece) => {
                    joints.remove(&(piece, sheet));
                    assert!(!hangs(&joints, piece));
                    free += 1;
                }
                Cut::Common(i) => {
                    // From square to square along the cut, in its direction.
                    let [from, to] = route.common_cuts[i];
                    let mut crossed: Vec<(f64, (usize, usize))> = joints
                        .iter()
                        .filter(|(_, b)| *b != sheet)
                        .map(|pair| {
                            let (a, b) = (spots[pair.0], spots[pair.1]);
                            let at = Point::new(
                                (middle(a.0) + middle(b.0)) / 2.0,
                                (middle(a.1) + middle(b.1)) / 2.0,
                            );
                            (Edge::line(from, to).nearest(at), at, *pair)
                        })
                        .filter(|(near, at, _)| (*near - *at).hypot() < 1e-6)
                        .map(|(near, _, pair)| ((near - from).hypot(), pair))
                        .collect();
                    crossed.sort_by(|a, b| a.0.total_cmp(&b.0));
                    assert!(!crossed.is_empty());
                    for (_, pair) in crossed {
                        assert!(hangs(&joints, pair.0) && hangs(&joints, pair.1), "{cut:?}");
                        joints.remove(&pair);
                    }
                }
            }
        }
        assert_eq!((free, joints.len()), (pieces.len(), 0));
    }

    #[test]
    fn rows_are_walked_to_and_fro() {
        let pieces: Vec<Region> = (0..6)
            .flat_map(|x| {
                [0, 1, 2].map(|y| plate(50.0 * f64::from(x), 300.0 * f64::from(y), 40.0, 40.0))
            })
            .collect();
        let way = order(&pieces, None, None).travel;
        // Three rows of five steps and two from row to row, and the travel to the first corner.
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

    /// A piece in a cut-out is cut next to the piece round it; one far away is not.
    #[test]
    fn a_piece_in_a_cut_out_is_near_the_one_cut_before() {
        let frame = plate(0.0, 0.0, 100.0, 100.0);
        let opening = rectangle(Point::ZERO, 60.0, 60.0, 0.0).unwrap();
        let frame = frame.pierced(opening).unwrap();
        let (inner, far) = (plate(0.0, 0.0, 20.0, 20.0), plate(300.0, 0.0, 50.0, 50.0));
        let near = |pieces: &[Region]| order(pieces, None, Some(50.0)).too_near;
        assert_eq!(near(&[frame.clone(), far.clone()]), 0);
        assert_eq!(near(&[frame.clone(), inner.clone()]), 1);
        assert_eq!(near(&[frame, inner, far]), 1);
    }
}
