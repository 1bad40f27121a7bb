//! The jaws of a vice in the section of a step, and the bar round which the sheet is bent.

use crate::geom::Bounds;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::sequence::StepSection;
use crate::sequence::clipped;
use crate::shop::Tools;
use crate::solve::Setup;

/// Whether the sheet is bent round a bar: in a vice and with a wrench.
pub(super) fn has_bar(setup: &Setup) -> bool {
    let brake = &setup.shop.brakes[setup.step.setup.brake];
    let stands_up = matches!(&brake.tools, Tools::Folding(folding) if folding.kind.stands_up());
    stands_up || brake.is_wrench()
}

/// Sets the jaws level under a bar of a radius on the front one, mm: the bend begins at the centre of the
/// bar, so that what of the rear jaw is above its own top is a packing piece on it.
pub(super) fn level(section: &mut StepSection, radius: f64) {
    let (up, level) = (Vec2::new(1.0, 0.0), Point::new(-radius, 0.0));
    let packing = section.tools.get(1).map(|rear| clipped(rear, level, up));
    for jaw in &mut section.tools {
        *jaw = clipped(jaw, level, -up);
    }
    section.tools.extend(packing.filter(|packing| packing.len() > 2));
}

/// The words of the upright tools: the front jaw, towards the operator, is the first.
pub(super) fn labels(tools: &[Vec<Point>]) -> Vec<(Bounds, &'static str)> {
    let around = |polygon: &Vec<Point>| polygon.iter().fold(Bounds::EMPTY, |all, p| all.with(*p));
    tools.iter().map(around).zip(["front jaw", "rear jaw"]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Jaws 80 mm deep beside a sheet of 2 mm, as the section has them: u is up once they are upright.
    #[test]
    fn the_jaws_are_level_and_the_rear_one_is_packed_up_by_the_radius() {
        let jaw = |low: f64, high: f64| {
            [(-80.0, low), (0.0, low), (0.0, high), (-80.0, high)].map(Point::from).to_vec()
        };
        let mut section =
            StepSection { tools: vec![jaw(0.0, 40.0), jaw(-42.0, -2.0)], ..StepSection::default() };
        level(&mut section, 3.0);
        let ends = |tool: &[Point]| {
            let at = tool.iter().map(|p| p.x);
            at.fold([100.0, -100.0], |[low, high]: [f64; 2], x| [low.min(x), high.max(x)])
        };
        let is = |tool: usize, [low, high]: [f64; 2]| {
            let [is_low, is_high] = ends(&section.tools[tool]);
            assert!((is_low - low).abs() < 1e-9 && (is_high - high).abs() < 1e-9, "{section:?}");
        };
        assert_eq!(section.tools.len(), 3);
        is(0, [-80.0, -3.0]);
        is(1, [-80.0, -3.0]);
        is(2, [-3.0, 0.0]);
        assert!(section.tools[2].iter().all(|p| p.y <= -2.0), "the packing is behind the sheet");
        let upright = |tool: &Vec<Point>| tool.iter().map(|p| Point::new(p.y, p.x)).collect();
        let tools: Vec<Vec<Point>> = section.tools.iter().map(upright).collect();
        let labels = labels(&tools);
        let [(front, front_words), (rear, rear_words)] = labels.as_slice() else { panic!() };
        assert_eq!([*front_words, *rear_words], ["front jaw", "rear jaw"]);
        assert!(front.min.x >= 0.0 && rear.max.x <= -2.0, "{labels:?}");
    }

    /// A jaw whose top falls away by 10 in 40 mm: its packing is a wedge as far as 12 mm back.
    #[test]
    fn the_packing_of_a_leaning_jaw_ends_where_the_jaw_is_lower() {
        let jaw = [(0.0, -2.0), (-80.0, -2.0), (-80.0, -42.0), (-10.0, -42.0)];
        let jaw = jaw.map(Point::from).to_vec();
        let front: Vec<Point> = jaw.iter().map(|p| Point::new(p.x, -2.0 - p.y)).collect();
        let mut section = StepSection { tools: vec![front, jaw], ..StepSection::default() };
        level(&mut section, 3.0);
        let far = section.tools[2].iter().fold(0.0, |far: f64, p| far.max(-2.0 - p.y));
        assert!((far - 12.0).abs() < 1e-9, "{far}");
    }
}
