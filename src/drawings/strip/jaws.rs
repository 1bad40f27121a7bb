//! The jaws of a vice in the section of a step, and the bar round which the sheet is bent.

use crate::geom::Bounds;
use crate::geom::Point;
use crate::sequence::StepSection;
use crate::shop::Tools;
use crate::solve::Setup;

/// Whether the sheet is bent round a bar: in a vice and with a wrench.
pub(super) fn has_bar(setup: &Setup) -> bool {
    let brake = &setup.shop.brakes[setup.step.setup.brake];
    let stands_up = matches!(&brake.tools, Tools::Folding(folding) if folding.kind.stands_up());
    stands_up || brake.is_wrench()
}

/// Lowers the top of the front jaw to the bottom of the bar of a radius that is on it, mm.
pub(super) fn lower_front(section: &mut StepSection, radius: f64) {
    for p in section.tools.iter_mut().take(1).flatten() {
        p.x = p.x.min(-radius);
    }
}

/// The words of the upright jaws: the front one, towards the operator, is the first.
pub(super) fn labels(tools: &[Vec<Point>]) -> Vec<(Bounds, &'static str)> {
    let around = |polygon: &Vec<Point>| polygon.iter().fold(Bounds::EMPTY, |all, p| all.with(*p));
    tools.iter().map(around).zip(["front jaw", "rear jaw"]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Jaws 80 mm deep beside a sheet of 2 mm, as the section has them: u is up once they are upright.
    #[test]
    fn the_front_jaw_is_lower_by_the_radius_and_on_the_inside_of_the_bend() {
        let jaw = |low: f64, high: f64| {
            [(-80.0, low), (0.0, low), (0.0, high), (-80.0, high)].map(Point::from).to_vec()
        };
        let mut section =
            StepSection { tools: vec![jaw(0.0, 40.0), jaw(-42.0, -2.0)], ..StepSection::default() };
        lower_front(&mut section, 3.0);
        let top = |tool: &[Point]| tool.iter().fold(-100.0, |top: f64, p| top.max(p.x));
        assert!((top(&section.tools[0]) + 3.0).abs() < 1e-9, "{:?}", section.tools[0]);
        assert!(top(&section.tools[1]).abs() < 1e-9, "{:?}", section.tools[1]);
        let upright = |tool: &Vec<Point>| tool.iter().map(|p| Point::new(p.y, p.x)).collect();
        let tools: Vec<Vec<Point>> = section.tools.iter().map(upright).collect();
        let labels = labels(&tools);
        let [(front, front_words), (rear, rear_words)] = labels.as_slice() else { panic!() };
        assert_eq!([*front_words, *rear_words], ["front jaw", "rear jaw"]);
        assert!(front.min.x >= 0.0 && rear.max.x <= -2.0, "{labels:?}");
    }
}
