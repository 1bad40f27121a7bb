//! The running dimensions of a flat: which are on which side.

use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::heading;
use crate::paper::clear::Clear;
use crate::paper::figures::figure_text;
use crate::paper::plan::running_dimensions;
use crate::paper::plan::running_dimensions::Kind;
use crate::paper::plan::running_dimensions::Station;
use crate::paper::plan::scale::Scale;
use crate::paper::plan::shape::Key;
use crate::paper::plan::shown::Plan;
use crate::paper::running::Axis;
use crate::paper::running::Rail;
use crate::paper::scene::Item;
use crate::paper::scene::Pen;
use crate::paper::spot::Spot;

/// How far the cross of a centre reaches beyond its hole, mm.
const ARM: f64 = 1.5;

impl Plan {
    /// Running dimensions along an axis; those for which there is no room come back.
    pub(super) fn stations(
        &self,
        clear: &mut Clear,
        scale: &Scale,
        axis: Axis,
        keys: &[Key],
        [extent, far]: [f64; 2],
    ) -> Vec<String> {
        let [must, centres, corners] = self.wanted(scale, axis, keys);
        let near = Rail { axis, far: None };
        let far = Rail { axis, far: Some(far) };
        // A feature hidden behind metal on one side only is dimensioned on the other.
        let (behind, corners): (Vec<Station>, Vec<Station>) =
            corners.into_iter().partition(|station| {
                let at = scale.point(station.foot);
                let clear = |rail: Rail| self.is_clear(scale, rail, at);
                !clear(near) && clear(far)
            });
        let all = centres.iter().cloned().chain(corners).collect();
        let lists =
            [all, centres, must].map(|list| running_dimensions::one_each(list, near, scale));
        let room = running_dimensions::room(extent);
        let fits = lists.iter().position(|list| list.len() <= room).unwrap_or(2);
        running_dimensions::draw(clear, near, &lists[fits], scale, extent);
        let mut shown: Vec<String> = lists[fits].iter().map(|s| s.text.clone()).collect();
        // A number on the near side does not locate a corner across the metal, unless an edge runs
        // there: if there is room for it, it is repeated on the far side.
        let again = |s: &&Station| {
            let near = lists[fits].iter().find(|near| near.text == s.text);
            near.is_none_or(|near| !self.joins(axis, near.foot, s.foot))
        };
        let once: Vec<Station> =
            behind.iter().filter(|s| !shown.contains(&s.text)).cloned().collect();
        let again = behind.iter().filter(again).cloned().collect();
        let [again, once] =
            [again, once].map(|list| running_dimensions::one_each(list, far, scale));
        let behind = if again.len() <= room { again } else { once };
        if !behind.is_empty() && behind.len() <= room {
            running_dimensions::draw(clear, far, &behind, scale, extent);
            shown.extend(behind.iter().map(|s| s.text.clone()));
        }
        let way = axis.letter();
        let wanted = lists[0].iter().chain(&behind);
        let missing = wanted.filter(|station| !shown.contains(&station.text));
        let missing = missing.map(|station| format!("{way} {}", station.text)).collect();
        self.crosses(clear, scale, near, &lists[fits]);
        missing
    }

    /// Whether edges or bend lines run over more than half of the distance between two places at
    /// one distance along an axis.
    fn joins(&self, axis: Axis, a: Point, b: Point) -> bool {
        /// Distances that differ by less are equal, mm.
        const SAME: f64 = 1e-3;
        let (along, one) = axis.of(a);
        let (_, other) = axis.of(b);
        let (low, high) = (one.min(other), one.max(other));
        let bends = self.bends.iter().map(|bend| bend.line);
        let edges =
            self.region.outlines().flat_map(Outline::edges).filter(Edge::is_line).chain(bends);
        let covered = edges.map(|edge| {
            let (from, to) = (axis.of(edge.from), axis.of(edge.to));
            let is_there = (from.0 - along).abs() < SAME && (to.0 - along).abs() < SAME;
            let own = [from.1.min(to.1), from.1.max(to.1)];
            if is_there { (own[1].min(high) - own[0].max(low)).max(0.0) } else { 0.0 }
        });
        high - low < SAME || covered.sum::<f64>() > (high - low) / 2.0
    }

    /// The features dimensioned along an axis: required ones, the ends and the bends; these and all
    /// centres; corners.
    fn wanted(&self, scale: &Scale, axis: Axis, keys: &[Key]) -> [Vec<Station>; 3] {
        let size = self.region.bounds();
        let text = |p: Point| figure_text(self.units, axis.of((p - size.min).to_point()).0);
        let station = |foot: Point, kind: Kind| Station { foot, arm: 0.0, text: text(foot), kind };
        let index = axis.index();
        let ends = [size.min, size.max].map(|p| self.extreme(axis, p));
        let mut must: Vec<Station> = ends.into_iter().map(|p| station(p, Kind::Edge)).collect();
        for bend in &self.bends {
            let (from, to) = (axis.of(bend.line.from), axis.of(bend.line.to));
            if (from.0 - to.0).abs() < 1e-6 {
                let nearer = if from.1 < to.1 { bend.line.from } else { bend.line.to };
                must.push(station(nearer, Kind::Bend));
            } else if (from.1 - to.1).abs() > 1e-6 {
                must.extend([bend.line.from, bend.line.to].map(|p| station(p, Kind::Bend)));
            }
        }
        let holes = self.located.iter().map(|i| &self.spots[*i]);
        // The centre of an arc that is out of the part is in its callout.
        let holes = holes.filter(|spot| size.grown(1e-6).contains(spot.centre()));
        let holes = holes.map(|spot| Station {
            arm: arms(spot, scale)[1 - index],
            ..station(spot.centre(), Kind::Hole)
        });
        let keys = keys.iter().filter(|key| key.axes[index]);
        let corners = keys.map(|key| match key.centre {
            // Its line crosses the other at the centre.
            true => Station { arm: ARM, ..station(key.at, Kind::Hole) },
            false => station(key.at, Kind::Edge),
        });
        let corners = corners.chain(self.laid.iter().map(|at| station(*at, Kind::Edge)));
        let points = self.points.iter().map(|at| Station { arm: ARM, ..station(*at, Kind::Hole) });
        let centres: Vec<Station> = must.iter().cloned().chain(holes).chain(points).collect();
        [must, centres, corners.collect()]
    }

    /// Whether there is no metal between a point on paper and the dimensions on a rail.
    fn is_clear(&self, scale: &Scale, rail: Rail, at: Point) -> bool {
        const STEP: f64 = 0.8;
        let (along, within) = rail.of(at);
        let steps = (within / STEP) as u32;
        let back = |p: Point| scale.from + p.to_vec2() / scale.by;
        let is_metal = |k: u32| {
            let out = -within + 0.4 + STEP * f64::from(k);
            out < -0.2 && self.region.contains(back(rail.point(along, out)))
        };
        !(0..=steps).any(is_metal)
    }

    /// The crosses of holes through which no line of centres runs already.
    fn crosses(&self, clear: &mut Clear, scale: &Scale, rail: Rail, shown: &[Station]) {
        let size = self.region.bounds();
        let index = rail.axis.index();
        for (i, spot) in self.spots.iter().enumerate() {
            let is_plain = spot.outline.circle().is_some()
                || spot.outline.slot().is_some()
                || spot.outline.arc_slot().is_some();
            if !is_plain && !self.located.contains(&i) {
                continue;
            }
            let centre = spot.centre();
            if !size.grown(1e-6).contains(centre) {
                continue;
            }
            let at = scale.point(centre);
            let along = rail.axis.of((centre - size.min).to_point()).0;
            let text = figure_text(self.units, along);
            let runs = |s: &&Station| {
                s.kind == Kind::Hole
                    && s.text == text
                    && (rail.of(scale.point(s.foot)).1 - rail.of(at).1).abs() < 1e-6
            };
            if shown.iter().any(|s| runs(&s)) {
                continue;
            }
            let arm = arms(spot, scale)[1 - index];
            let arm = rail.axis.point(0.0, arm).to_vec2();
            clear.draw(Item::line(Pen::Chain, at - arm, at + arm));
        }
    }

    /// The centre lines of slots that no line of a dimension runs along: of slanting ones, and of
    /// those along arcs.
    pub(super) fn slot_lines(&self, clear: &mut Clear, scale: &Scale) {
        for spot in &self.spots {
            let straight = spot.outline.slot().zip(spot.slants());
            let line = straight.map(|((centre, length, _), angle)| {
                let half = heading(angle) * (length / 2.0 + ARM / scale.by);
                vec![Edge::line(centre - half, centre + half)]
            });
            let along_arc = || {
                let slot = spot.outline.arc_slot()?;
                Some(slot.line(slot.width / 2.0 + ARM / scale.by))
            };
            if let Some(line) = line.or_else(along_arc) {
                clear.draw(Item::Line(Pen::Chain, scale.edges(&line)));
            }
        }
    }

    /// The corner of the outline that is farthest out on the side of a corner of its rectangle.
    fn extreme(&self, axis: Axis, corner: Point) -> Point {
        let outer = self.region.outer().edges();
        let all = outer.flat_map(|e| [0.0, 0.25, 0.5, 0.75].map(|t| e.point_at(t)));
        let off = |p: &Point| (axis.of(*p).0 - axis.of(corner).0).abs();
        let near = |p: &Point| axis.of(*p).1;
        let key = |p: &Point| ((off(p) * 1e3).round(), near(p));
        let best = all.min_by(|a, b| {
            let (a, b) = (key(a), key(b));
            a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
        });
        axis.corner(corner, best.unwrap_or(corner))
    }
}

/// How far the lines of its centre reach across and up, mm on paper.
fn arms(spot: &Spot, scale: &Scale) -> [f64; 2] {
    if spot.slants().is_some() || spot.outline.arc_slot().is_some() {
        return [ARM; 2];
    }
    let bounds = spot.outline.bounds();
    [bounds.width(), bounds.height()].map(|size| size * scale.by / 2.0 + ARM)
}
