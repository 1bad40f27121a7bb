//! Orders of bending on the demo's shop, of parts a person can think through.

use crate::tree;
use crate::tree::Flange;
use platewright::bend::Method;
use platewright::diag::Sources;
use platewright::flat;
use platewright::order;
use platewright::order::Metal;
use platewright::order::Plan;
use platewright::order::Task;
use platewright::order::Tool;
use platewright::order::Why;
use platewright::quantity::Units;
use platewright::recipe::CornerShape;
use platewright::recipe::Measured;
use platewright::shop;
use platewright::shop::Shop;
use platewright::table::Tables;

const MILD: Metal = Metal { tensile: 360.0, yields: 235.0, elastic: 210_000.0 };

fn shop() -> Shop {
    let text = include_str!("../../../parts/shop.toml");
    let mut sources = Sources::default();
    let source = sources.add("shop.toml", text);
    shop::read(source, text, &Tables::shipped()).unwrap_or_else(|findings| {
        let drawn: Vec<String> = findings.iter().map(|f| sources.draw(f, false)).collect();
        panic!("{}", drawn.join("\n"))
    })
}

/// The shop with one of its brakes.
fn only(name: &str) -> Shop {
    let mut shop = shop();
    shop.brakes.retain(|brake| brake.name == name);
    assert_eq!(shop.brakes.len(), 1, "{name}");
    shop
}

/// A flange of a size on an edge of a face, at a right angle.
fn flange(on: usize, edge: usize, wide: f64, long: f64, up: bool) -> Flange {
    Flange {
        on,
        edge,
        size: [wide, long],
        aside: 0.0,
        turn: 90.0,
        radius: 2.0,
        up,
        measured: Measured::Outside,
        corner: CornerShape::Open,
    }
}

const LOWER: usize = 0;
const RIGHT: usize = 1;
const UPPER: usize = 2;
const LEFT: usize = 3;
/// The far edge of a flange.
const FAR: usize = 1;

fn plan(thickness: f64, size: [f64; 2], flanges: &[Flange], shop: &Shop) -> (Plan, String) {
    let part = tree::part(thickness, size, flanges, Method::Din6935).unwrap();
    let flat = flat::unfold(&part).unwrap_or_else(|e| panic!("{e:?}"));
    let plan = order::find(&Task { part: &part, flat: &flat, metal: MILD, shop });
    let mut words = String::new();
    for (bend, refused) in &plan.blocked {
        for refusal in refused {
            words += &part.bends[*bend].name;
            words += ": ";
            words += &refusal.words(&part, shop, Units::Millimetre);
            words += "\n";
        }
    }
    for step in &plan.steps {
        words += &part.bends[step.bend].name;
        words += " on ";
        words += &step.way.words(&part, shop, Units::Millimetre);
        words += "\n";
    }
    (plan, words)
}

fn order(plan: &Plan) -> Vec<usize> {
    plan.steps.iter().map(|step| step.bend).collect()
}

#[test]
fn an_angle_is_bent_on_the_first_brake() {
    let (plan, words) = plan(1.5, [80.0, 60.0], &[flange(0, UPPER, 80.0, 40.0, true)], &shop());
    assert!(plan.is_whole() && plan.as_drawn.is_none(), "{words}");
    assert!(words.starts_with("b1 on straight brake, clamp `base`, top side up"), "{words}");
    let down = plan_of_angle_down();
    assert!(down.contains("bottom side up"), "{down}");
}

fn plan_of_angle_down() -> String {
    plan(1.5, [80.0, 60.0], &[flange(0, UPPER, 80.0, 40.0, false)], &shop()).1
}

#[test]
fn a_straight_brake_cannot_close_a_narrow_channel_but_a_wide_one() {
    let legs = [flange(0, UPPER, 60.0, 60.0, true), flange(0, LOWER, 60.0, 60.0, true)];
    let (narrow, words) = plan(1.5, [60.0, 30.0], &legs, &only("straight brake"));
    assert!(!narrow.is_whole(), "{words}");
    assert_eq!(narrow.steps.len(), 1);
    assert!(words.contains("face `f1` hits the beam"), "{words}");
    let (wide, words) = plan(1.5, [60.0, 200.0], &legs, &only("straight brake"));
    assert!(wide.is_whole(), "{words}");
}

/// With the web up first, the base stands in the way when the lip is bent.
#[test]
fn a_lip_is_bent_before_the_web_it_stands_on() {
    let flanges = [flange(0, UPPER, 60.0, 50.0, true), flange(1, FAR, 60.0, 15.0, true)];
    let (plan, words) = plan(1.5, [60.0, 100.0], &flanges, &only("straight brake"));
    assert!(plan.is_whole(), "{words}");
    assert_eq!(order(&plan), [1, 0], "{words}");
    let (bend, refused) = plan.as_drawn.unwrap();
    assert_eq!(bend, 1);
    assert!(refused.iter().any(|r| matches!(r.why, Why::Hits { tool: "beam", .. })), "{refused:?}");
    assert!(refused.iter().any(|r| matches!(r.why, Why::Clamp { .. })), "{refused:?}");
}

/// The fourth wall of a pan lies between two others: only fingers fit there.
#[test]
fn a_pan_needs_fingers() {
    let wall =
        |edge, wide| Flange { measured: Measured::Tangent, ..flange(0, edge, wide, 30.0, true) };
    let walls = [wall(UPPER, 237.2), wall(LOWER, 237.2), wall(LEFT, 197.2), wall(RIGHT, 197.2)];
    let size = [240.0, 200.0];
    let (straight, words) = plan(1.5, size, &walls, &only("straight brake"));
    assert!(!straight.is_whole(), "{words}");
    let (pan, words) = plan(1.5, size, &walls, &only("finger brake"));
    assert!(pan.is_whole(), "{words}");
    let fingers = |step: &order::Step| matches!(step.way.tool, Tool::Fold { fingers: Some(_) });
    assert!(pan.steps.iter().any(fingers), "{words}");
}

#[test]
fn thick_sheet_goes_to_the_press_brake_over_the_usual_v() {
    let (plan, words) = plan(4.0, [60.0, 80.0], &[flange(0, UPPER, 60.0, 40.0, true)], &shop());
    assert!(plan.is_whole(), "{words}");
    let step = &plan.steps[0];
    assert_eq!(step.way.v(&shop()), Some(32.0));
    assert!(step.refused.iter().any(|r| matches!(r.why, Why::TooThick { .. })), "{words}");
    assert!(step.way.under_load.degrees() > 90.0);
}

#[test]
fn a_flange_too_short_for_the_usual_v_takes_the_next() {
    let flanges = [flange(0, UPPER, 60.0, 20.0, true)];
    let (plan, words) = plan(4.0, [60.0, 80.0], &flanges, &only("press brake"));
    assert_eq!(plan.steps[0].way.v(&only("press brake")), Some(25.0), "{words}");
    assert!(plan.steps[0].refused.iter().any(|r| matches!(r.why, Why::Flange { .. })));
}

#[test]
fn what_is_too_long_too_thick_or_too_hard_is_refused_with_its_figures() {
    let long = [flange(0, UPPER, 1600.0, 40.0, true)];
    let (_, words) = plan(1.5, [1600.0, 80.0], &long, &shop());
    assert!(words.contains("the bend is 1600 mm long, the tool 1500 mm"), "{words}");
    let thick = [flange(0, UPPER, 1400.0, 60.0, true)];
    let (_, words) = plan(6.0, [1400.0, 80.0], &thick, &shop());
    assert!(words.contains("it needs 537 kN, the brake has 400 kN"), "{words}");
    let thick = [flange(0, UPPER, 600.0, 60.0, true)];
    let (_, words) = plan(6.0, [600.0, 80.0], &thick, &only("straight brake"));
    assert!(words.contains("it bends up to 2.236 mm of this metal"), "{words}");
}

#[test]
fn a_deep_channel_hits_the_punch_unless_it_is_a_gooseneck() {
    let legs = [flange(0, UPPER, 60.0, 45.0, true), flange(0, LOWER, 60.0, 45.0, true)];
    let (plan, words) = plan(3.0, [60.0, 50.0], &legs, &only("press brake"));
    assert!(plan.is_whole(), "{words}");
    assert!(words.contains("gooseneck"), "{words}");
    let second = &plan.steps[1];
    assert!(second.refused.iter().any(|r| matches!(r.why, Why::Hits { tool: "punch", .. })));
}

#[test]
fn many_bends_are_left_alone() {
    let zigzag: Vec<Flange> = (0..order::MOST_BENDS + 1)
        .map(|i| flange(i, if i == 0 { UPPER } else { FAR }, 60.0, 60.0, i % 2 == 0))
        .collect();
    let (plan, _) = plan(1.5, [60.0, 60.0], &zigzag, &shop());
    assert!(plan.steps.is_empty() && plan.blocked.len() == order::MOST_BENDS + 1);
}
