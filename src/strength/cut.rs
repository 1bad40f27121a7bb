//! A straight cut through a face, and the ligaments that join the two sides.
//!
//! A cut counts where it separates the load from the support. Metal beside the path that is
//! attached on one side only is no ligament. Where the path winds and the line meets it
//! several times, each time is a section.

use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Vec2;
use crate::geom::rotated;
use crate::part::Hole;
use crate::strength::joined::Crossing;
use crate::strength::joined::Graph;
use crate::strength::joined::Step;
use crate::strength::ligament::Cut;
use crate::strength::ligament::Ligament;
use crate::strength::line::Line;
use crate::strength::line::crossed;
use crate::strength::line::tops;
use crate::strength::place;

/// Points round an opening, each with a section beside it. Our choice.
const ROUND: u32 = 64;
/// Arcs with centres nearer than this are one, mm.
const SAME_ARC: f64 = 1e-6;
/// Straight pieces of an arc are off it by less than this, of a section that ends there.
const PIECES: f64 = 0.01;
/// Nearer than this two places along a line are one, mm.
const SAME: f64 = 1e-7;

/// Whether the places behind a cut are one piece: a seam joins what it supports.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Behind {
    /// By the seam.
    Joined,
    /// Only by the metal between.
    Loose,
}

/// Neither parallel nor in series.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Branched;

/// The outlines of a face.
pub(super) struct Plate {
    outlines: Vec<Contour>,
}

struct Contour {
    edges: Vec<Edge>,
    /// A round hole for a bolt or a pin: a section continues over it.
    fastener: bool,
}

impl Contour {
    /// Where its edges meet; a circle has no corner.
    fn corners(&self) -> impl Iterator<Item = Point> + '_ {
        let before = self.edges.iter().cycle().skip(self.edges.len().saturating_sub(1));
        let goes_on = |before: &Edge, edge: &Edge| match (before.arc(), edge.arc()) {
            (Some(a), Some(b)) => (a.centre - b.centre).hypot() < SAME_ARC,
            _ => false,
        };
        let met = before.zip(&self.edges).filter(move |(before, edge)| !goes_on(before, edge));
        met.map(|(_, edge)| edge.from)
    }
}

impl Plate {
    /// The metal of a face with its holes at their final size; bolts or pins fill `fasteners`.
    pub(super) fn of(region: &Region, holes: &[Hole], fasteners: &[&Hole]) -> Self {
        let contour = |outline: &Outline| {
            let centre = outline.circle().map(|(centre, _)| centre);
            let same = |hole: &Hole| centre.is_some_and(|c| (hole.at - c).hypot() < 1e-3);
            let hole = holes.iter().find(|h| same(h));
            Contour {
                edges: hole.map_or_else(|| outline.edges().collect(), place::finished),
                fastener: fasteners.iter().any(|h| same(h)),
            }
        };
        Self { outlines: region.outlines().map(contour).collect() }
    }

    /// The corners of its outlines, and the outermost points of its arcs in a direction and
    /// square to it, where ligaments are narrowest; of openings points of the arcs between, near
    /// whose tops ligaments narrow fast. All relative to that direction, so that the way the face
    /// is drawn has no influence.
    pub(super) fn corners(&self, toward: Vec2) -> Vec<Point> {
        let turned = |i: u32, of: u32| rotated(toward, 180.0 / f64::from(of) * f64::from(i));
        let all = self.outlines.iter().enumerate().flat_map(|(i, contour)| {
            let ways = if i > 0 && !contour.fastener { ROUND / 2 } else { 2 };
            let around = move |edge: &Edge| {
                let tops = (0..ways).flat_map(|i| tops(edge, turned(i, ways)).1);
                tops.collect::<Vec<_>>()
            };
            contour.corners().chain(contour.edges.iter().flat_map(around)).collect::<Vec<_>>()
        });
        all.collect()
    }

    fn crossings(&self, outline: usize, line: &Line) -> Vec<Crossing> {
        let edges = self.outlines[outline].edges.iter().enumerate();
        let crossed = edges.flat_map(|(i, edge)| {
            crossed(edge, line).into_iter().map(move |(s, share, rising)| Crossing {
                s,
                outline,
                order: i as f64 + share.clamp(0.0, 1.0 - 1e-12),
                rising,
            })
        });
        crossed.collect()
    }

    /// A section from place to place of the outer outline. Ligaments beside openings stay in one
    /// plane with one another, whatever lies between: at a slant they are no frame, as they do
    /// not run along its normal.
    pub(super) fn whole(&self, line: Line, from: f64, to: f64) -> Cut {
        let [from, to] = self.within(&line, [from, to]);
        let of = |i: usize| {
            let mut places: Vec<f64> = self.crossings(i, &line).iter().map(|c| c.s).collect();
            places.sort_by(f64::total_cmp);
            places.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect::<Vec<_>>()
        };
        let met = |i: usize| {
            let within = of(i).into_iter().filter(|hole| hole.0 > from && hole.1 < to);
            within.map(move |hole| (hole, i)).collect::<Vec<_>>()
        };
        let met: Vec<_> = (1..self.outlines.len()).flat_map(met).collect();
        let sorted = |fastener: bool| {
            let of = met.iter().filter(|(_, i)| self.outlines[*i].fastener == fastener);
            let mut holes: Vec<(f64, f64)> = of.map(|(hole, _)| *hole).collect();
            holes.sort_by(|a, b| a.0.total_cmp(&b.0));
            holes
        };
        let (filled, open) = (sorted(true), sorted(false));
        let starts = std::iter::once(from).chain(open.iter().map(|o| o.1));
        let ends = open.iter().map(|o| o.0).chain(std::iter::once(to));
        let ligament = |(from, to): (f64, f64)| {
            let within = filled.iter().filter(|h| h.0 > from && h.1 < to);
            Ligament { from, to, holes: within.copied().collect() }
        };
        let ligaments: Vec<_> = starts.zip(ends).filter(|(a, b)| b > a).map(ligament).collect();
        let gaps = vec![(0.0, 0.0); ligaments.len().saturating_sub(1)];
        Cut { line, ligaments, gaps }
    }

    /// A section between straight pieces of the outer outline, no longer than between its arcs:
    /// where it runs in, its pieces are outside the metal.
    fn within(&self, line: &Line, [from, to]: [f64; 2]) -> [f64; 2] {
        let crossed = self.crossings(0, line);
        let near = PIECES * (to - from);
        let to_arc = |s: f64| {
            let off = |c: &&Crossing| (c.s - s).abs();
            let nearest = crossed.iter().min_by(|a, b| off(a).total_cmp(&off(b)));
            nearest.filter(|c| off(c) < near).map_or(s, |c| c.s)
        };
        [from.max(to_arc(from)), to.min(to_arc(to))]
    }

    /// The sections along a line with `load` on one side and `held` on the other.
    pub(super) fn cut(
        &self,
        line: Line,
        load: &[Point],
        held: &[Point],
        behind: Behind,
    ) -> Result<Vec<Cut>, Branched> {
        let chains: Vec<Vec<Crossing>> =
            (0..self.outlines.len()).map(|i| self.crossings(i, &line)).collect();
        let mut all: Vec<Crossing> = chains.iter().flatten().copied().collect();
        all.sort_by(|a, b| a.s.total_cmp(&b.s).then(a.outline.cmp(&b.outline)));
        if all.is_empty() || all.len() % 2 == 1 {
            return Ok(Vec::new());
        }
        let mut graph = Graph::new(all);
        for chain in &chains {
            graph.join(chain);
        }
        if behind == Behind::Joined {
            let nodes = held.iter().map(|p| self.locate(&graph, &chains, &line, *p));
            let nodes: Vec<usize> = nodes.collect::<Option<_>>().ok_or(Branched)?;
            nodes.windows(2).for_each(|pair| graph.unite(pair[0], pair[1]));
        }
        let node = |points: &[Point]| -> Option<usize> {
            let mut found = None;
            for p in points {
                let here = self.locate(&graph, &chains, &line, *p)?;
                if *found.get_or_insert(here) != here {
                    return None;
                }
            }
            found
        };
        let (Some(load), Some(held)) = (node(load), node(held)) else { return Err(Branched) };
        if load == held {
            return Ok(Vec::new());
        }
        let steps = graph.steps(load, held).ok_or(Branched)?;
        Ok(steps.into_iter().map(|step| self.section(&graph, line, &step)).collect())
    }

    /// The piece of metal that a point is in, or next to.
    fn locate(
        &self,
        graph: &Graph,
        chains: &[Vec<Crossing>],
        line: &Line,
        p: Point,
    ) -> Option<usize> {
        let ahead = line.ahead(p);
        let ray = Line { at: p, toward: line.along() };
        // A quarter turn on from the line is away from the load.
        let hits = chains.iter().enumerate().filter(|(_, chain)| !chain.is_empty());
        let hits = hits.flat_map(|(i, _)| self.crossings(i, &ray));
        let between = |hit: &Crossing| match ahead >= 0.0 {
            true => hit.s > SAME && hit.s < ahead,
            false => hit.s < -SAME && hit.s > ahead,
        };
        let first = hits.filter(between).min_by(|a, b| a.s.abs().total_cmp(&b.s.abs()));
        let Some(hit) = first else {
            let s = line.place(p);
            let interval = graph.nearest(s)?;
            return Some(graph.root(2 * interval + usize::from(ahead >= 0.0)));
        };
        let chain = &chains[hit.outline];
        let before = chain.iter().rev().find(|c| c.order <= hit.order).or(chain.last())?;
        let interval = graph.interval(before)?;
        Some(graph.root(2 * interval + usize::from(before.rising)))
    }

    /// The ligaments of the intervals of one step.
    fn section(&self, graph: &Graph, line: Line, step: &Step) -> Cut {
        let mut ligaments: Vec<Ligament> = Vec::new();
        let mut gaps: Vec<(f64, f64)> = Vec::new();
        let mut last: Option<usize> = None;
        for i in &step.intervals {
            let [from, to] = graph.ends(*i);
            let beside = last.is_some_and(|last| last + 1 == *i);
            let (contour, s) = (&self.outlines[from.outline], from.s);
            match ligaments.last_mut() {
                Some(ligament) if beside && contour.fastener => {
                    ligament.holes.push((ligament.to, s));
                    ligament.to = to.s;
                }
                before => {
                    if before.is_some() {
                        let before = last.map(|last| graph.ends(last)[1]);
                        gaps.push(match before {
                            Some(before) if from.outline == 0 => {
                                notch(contour, &before, &from, &line)
                            }
                            _ => extent(contour, &line),
                        });
                    }
                    ligaments.push(Ligament { from: s, to: to.s, holes: Vec::new() });
                }
            }
            last = Some(*i);
        }
        if !step.backwards {
            return Cut { line, ligaments, gaps };
        }
        // Towards the load is the other way here.
        let line = Line { at: line.at, toward: -line.toward };
        let turned = |l: &Ligament| Ligament {
            from: -l.to,
            to: -l.from,
            holes: l.holes.iter().rev().map(|h| (-h.1, -h.0)).collect(),
        };
        Cut {
            line,
            ligaments: ligaments.iter().rev().map(turned).collect(),
            gaps: gaps.iter().rev().map(|(low, high)| (-high, -low)).collect(),
        }
    }
}

/// The metal of an outline along a line, without these openings.
pub(super) fn chords(outer: &Outline, openings: &[Outline], line: &Line) -> Vec<(f64, f64)> {
    let of = |outline: &Outline| -> Vec<(f64, f64)> {
        let places = outline.edges().flat_map(|edge| crossed(&edge, line));
        let mut places: Vec<f64> = places.map(|(s, ..)| s).collect();
        places.sort_by(f64::total_cmp);
        places.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect()
    };
    openings.iter().flat_map(of).fold(of(outer), |metal, (from, to)| {
        let without = |(a, b): (f64, f64)| [(a, b.min(from)), (a.max(to), b)];
        metal.into_iter().flat_map(without).filter(|(a, b)| b - a > SAME).collect()
    })
}

/// How far an outline reaches behind and ahead of a line, mm.
fn extent(contour: &Contour, line: &Line) -> (f64, f64) {
    let points = contour.edges.iter().flat_map(|edge| {
        std::iter::once(edge.from).chain(tops(edge, line.toward).1).collect::<Vec<_>>()
    });
    points
        .map(|p| line.ahead(p))
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), d| (low.min(d), high.max(d)))
}

/// How far a notch of the outline reaches ahead of a line, between two places where it
/// crosses the line, mm.
fn notch(contour: &Contour, one: &Crossing, other: &Crossing, line: &Line) -> (f64, f64) {
    // Behind a place where the outline rises it runs ahead of the line.
    let (start, end) = if one.rising { (one, other) } else { (other, one) };
    let count = contour.edges.len();
    let (first, last) = (start.order as usize, end.order as usize);
    let steps = (last + count - first) % count;
    let edges = (0..=steps).map(|i| &contour.edges[(first + i) % count]);
    let points = edges.flat_map(|edge| {
        let arcs = tops(edge, line.toward).1;
        std::iter::once(edge.from).chain(arcs).collect::<Vec<_>>()
    });
    (0.0, points.map(|p| line.ahead(p)).fold(0.0, f64::max))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Vertex;
    use crate::geom::disc;
    use crate::geom::rectangle;

    fn at(y: f64) -> Line {
        Line { at: Point::new(0.0, y), toward: Vec2::new(0.0, 1.0) }
    }

    fn cuts(region: &Region, y: f64, load: (f64, f64), held: (f64, f64)) -> Vec<Cut> {
        let plate = Plate::of(region, &[], &[]);
        plate.cut(at(y), &[Point::from(load)], &[Point::from(held)], Behind::Loose).unwrap()
    }

    /// Widths of the ligaments of each section.
    fn widths(cuts: &[Cut]) -> Vec<Vec<f64>> {
        let of = |cut: &Cut| cut.ligaments.iter().map(|l| (l.to - l.from).round()).collect();
        cuts.iter().map(of).collect()
    }

    fn polygon(corners: &[(f64, f64)]) -> Region {
        let vertices = corners.iter().map(|(x, y)| Vertex::sharp(*x, *y));
        Region::solid(Outline::new(vertices).unwrap())
    }

    #[test]
    fn a_round_opening_leaves_two_ligaments() {
        let plate = rectangle(Point::new(0.0, 50.0), 60.0, 100.0, 0.0).unwrap();
        let plate = Region::solid(plate).pierced(disc(Point::new(0.0, 52.0), 24.0).unwrap());
        let found = cuts(&plate.unwrap(), 52.0, (0.0, 90.0), (0.0, 0.0));
        assert_eq!(widths(&found), [[6.0, 6.0]]);
        let (low, high) = found[0].openings().unwrap();
        assert!((low + 24.0).abs() < 1e-9 && (high - 24.0).abs() < 1e-9);
    }

    #[test]
    fn a_tongue_that_hangs_on_one_side_carries_nothing() {
        // A plate with a slit from above beside the way: the left strip hangs on the foot only.
        let plate = polygon(&[
            (0.0, 0.0),
            (60.0, 0.0),
            (60.0, 100.0),
            (30.0, 100.0),
            (30.0, 20.0),
            (20.0, 20.0),
            (20.0, 100.0),
            (0.0, 100.0),
        ]);
        let found = cuts(&plate, 50.0, (45.0, 90.0), (30.0, 0.0));
        assert_eq!(widths(&found), [[30.0]]);
    }

    #[test]
    fn a_way_that_winds_is_cut_wherever_it_is_met() {
        // Down the right leg, left along the bottom, up the left leg to the support.
        let plate = polygon(&[
            (0.0, 0.0),
            (60.0, 0.0),
            (60.0, 100.0),
            (40.0, 100.0),
            (40.0, 20.0),
            (10.0, 20.0),
            (10.0, 100.0),
            (0.0, 100.0),
        ]);
        let plate = Plate::of(&plate, &[], &[]);
        let held = [Point::new(5.0, 100.0)];
        let load = [Point::new(50.0, 90.0)];
        // Both ends are on the load's side of this line: it is met twice.
        let found = plate.cut(at(50.0), &load, &held, Behind::Loose).unwrap();
        assert_eq!(widths(&found), [[20.0], [10.0]]);
        assert!(found[0].line.toward.y > 0.0 && found[1].line.toward.y < 0.0);
    }

    #[test]
    fn a_cut_beside_the_load_is_none() {
        let plate = polygon(&[(0.0, 0.0), (60.0, 0.0), (60.0, 100.0), (0.0, 100.0)]);
        assert!(cuts(&plate, 50.0, (5.0, 90.0), (50.0, 60.0)).is_empty());
    }
}
