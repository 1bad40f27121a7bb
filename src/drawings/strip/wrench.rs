//! The section of a bend made with a wrench: the wrench swings up with its leg, and the rest is
//! clamped. The jaws are where they were tried; the handle and the vice are schematic.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::num::Angle;
use crate::sequence::StepSection;
use crate::shop::Tools;
use crate::solve::Setup;

/// Half the width of the handle, and the height of a jaw of the vice, mm of the part. Our choice.
const HANDLE: f64 = 5.0;
const JAW: f64 = 14.0;
/// Minimum distance from the bend to the jaws of the vice, mm, and as a share of the clamped
/// length. Our choice.
const CLEAR: (f64, f64) = (12.0, 0.45);
/// Between wrench and vice as drawn, and the shortest vice that is drawn, mm. Our choice.
const APART: f64 = 3.0;
const GRIP: f64 = 5.0;

/// Whether a bend is made with a wrench.
pub(super) fn is_wrench(setup: Option<&Setup>) -> bool {
    setup.is_some_and(|setup| setup.shop.brakes[setup.step.setup.brake].is_wrench())
}

/// How far the jaws of the wrench reach along the clamped leg from where the bend ends, the bend made
/// round this radius, mm.
pub(super) fn covered(setup: &Setup, radius: f64) -> f64 {
    let step = &setup.step.setup;
    let Tools::Folding(folding) = &setup.shop.brakes[step.brake].tools else { return 0.0 };
    let reach = |jaw: &Outline| {
        let along = |edge: Edge| turned(edge.from, radius, step.under_load).x;
        jaw.edges().map(along).fold(0.0, f64::max)
    };
    reach(&folding.beam).max(reach(&folding.bed))
}

/// A point of the swinging leg or the wrench once a bend round a radius is made.
fn turned(p: Point, radius: f64, angle: Angle) -> Point {
    let centre = Point::new(0.0, radius);
    let (sin, cos) = (angle.sin(), angle.cos());
    let off = p - centre;
    centre + Vec2::new(off.x * cos + off.y * sin, off.y * cos - off.x * sin)
}

/// The section of a step with one leg clamped level and the wrench swung up: a bend of an angle and
/// radius, with its allowance, by a handle of this reach from the bend.
pub(super) fn swung(
    section: &StepSection,
    angle: Angle,
    [radius, allowance, lever, covered]: [f64; 4],
) -> StepSection {
    let all = |polygons: &[Vec<Point>]| -> Vec<Vec<Point>> {
        let of = |polygon: &Vec<Point>| polygon.iter().map(|p| turned(*p, radius, angle)).collect();
        polygons.iter().map(of).collect()
    };
    let middle = section.line.y;
    let bounds = |polygons: &[Vec<Point>]| {
        polygons.iter().flatten().fold(Bounds::EMPTY, |all, p| all.with(*p))
    };
    let jaws = bounds(&section.tools);
    let handle = rectangle([-lever, jaws.min.x], [middle - HANDLE, middle + HANDLE]);
    let held = all(&section.moved);
    // The vice grips what is flat beside the bend, beyond the wrench.
    // Within half a thickness: an overbend is round a little less than the radius.
    let is_level = |p: &Point| p.y < -middle && p.y > 3.0 * middle;
    let level = held.iter().filter(|polygon| polygon.iter().all(is_level));
    let end = level.flatten().fold(0.0, |far: f64, p| far.max(p.x));
    let from = (end * CLEAR.1).max(CLEAR.0).max(covered + APART);
    let mut tools = vec![handle];
    tools.extend(section.tools.iter().cloned());
    let mut tools = all(&tools);
    if end - from >= GRIP {
        tools.push(rectangle([from, end], [0.0, JAW]));
        tools.push(rectangle([from, end], [2.0 * middle - JAW, 2.0 * middle]));
    }
    // The swinging leg was level before the bend, which takes up its allowance of the flat.
    let before = |p: &Point| *p - (allowance, 0.0);
    let flat = section.held.iter().map(|polygon| polygon.iter().map(before).collect()).collect();
    StepSection {
        tools,
        held,
        moved: all(&section.held),
        beyond: Vec::new(),
        flat,
        line: before(&section.line),
        gauge: section.gauge.as_ref().map(before),
    }
}

/// The words of such a section, each above a tool: the jaws of the wrench, so many, come behind its
/// handle, those of the vice last, where there was room to draw them.
pub(super) fn labels(section: &StepSection, jaws: usize) -> Vec<(Bounds, &'static str)> {
    let around = |polygon: &Vec<Point>| polygon.iter().fold(Bounds::EMPTY, |all, p| all.with(*p));
    let [_, tools @ ..] = section.tools.as_slice() else { return Vec::new() };
    let (jaws, vice) = tools.split_at(jaws.min(tools.len()));
    // The handle stands on the left one.
    let right = jaws.iter().map(around).max_by(|a, b| a.max.x.total_cmp(&b.max.x));
    let wrench = right.map(|jaw| (jaw, "wrench"));
    wrench.into_iter().chain(vice.first().map(|vice| (around(vice), "vice"))).collect()
}

fn rectangle([left, right]: [f64; 2], [low, high]: [f64; 2]) -> Vec<Point> {
    [(left, low), (right, low), (right, high), (left, high)].map(|(x, y)| Point::new(x, y)).to_vec()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 3 mm bent by 90° round 3 mm: the upright leg is level from the end of the bend, the clamped
    /// leg is upright.
    #[test]
    fn the_clamped_face_is_level_and_the_wrench_upright() {
        let held = rectangle([-40.0, 0.0], [-3.0, 0.0]);
        let moved = rectangle([3.0, 6.0], [3.0, 40.0]);
        let section = StepSection {
            tools: vec![rectangle([-45.0, 0.0], [0.0, 25.0])],
            held: vec![held],
            moved: vec![moved],
            line: Point::new(3.5, -1.5),
            gauge: Some(Point::new(40.0, -1.5)),
            ..StepSection::default()
        };
        let swung = swung(&section, Angle::from_degrees(90.0), [3.0, 7.0, 300.0, 20.0]);
        let bounds = |polygons: &[Vec<Point>]| {
            polygons.iter().flatten().fold(Bounds::EMPTY, |all, p| all.with(*p))
        };
        let level = bounds(&swung.held);
        assert!((level.min - Point::new(0.0, -3.0)).hypot() < 1e-9, "{level:?}");
        assert!((level.max - Point::new(37.0, 0.0)).hypot() < 1e-9, "{level:?}");
        let up = bounds(&swung.moved);
        assert!((up.min - Point::new(-6.0, 3.0)).hypot() < 1e-9, "{up:?}");
        assert!((up.max - Point::new(-3.0, 43.0)).hypot() < 1e-9, "{up:?}");
        assert!(
            (bounds(&swung.tools).max.y - 303.0).abs() < 1e-9,
            "the handle is as long as the lever"
        );
        assert_eq!(swung.line, Point::new(-3.5, -1.5));
        let labels = labels(&swung, 1);
        assert_eq!(labels.iter().map(|(_, words)| *words).collect::<Vec<_>>(), ["wrench", "vice"]);
        assert!((labels[0].0.max.y - 48.0).abs() < 1e-9, "its jaws: {labels:?}");
        assert!((labels[1].0.max.x - 37.0).abs() < 1e-9, "what grips the end: {labels:?}");
        assert!((labels[1].0.min.x - 23.0).abs() < 1e-9, "beyond the wrench: {labels:?}");
        // 37 mm is too short beyond a wrench that covers 30 mm of it: no vice is drawn through it.
        let short = super::swung(&section, Angle::from_degrees(90.0), [3.0, 7.0, 300.0, 30.0]);
        assert_eq!(short.tools.len(), 2);
        assert_eq!(super::labels(&short, 1).len(), 1);
    }
}
