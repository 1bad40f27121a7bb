//! Orders of bending on the demo's shop, of parts a person can think through.

use crate::random;
use crate::random::Rng;
use crate::tree;
use crate::tree::Flange;
use platewright::bend::Method;
use platewright::diag::Sources;
use platewright::flat;
use platewright::quantity::Units;
use platewright::recipe::CornerShape;
use platewright::recipe::Measured;
use platewright::sequence;
use platewright::sequence::Metal;
use platewright::sequence::Plan;
use platewright::sequence::Task;
use platewright::sequence::Tool;
use platewright::sequence::Why;
use platewright::shop;
use platewright::shop::Shop;
use platewright::shop::Tools;
use platewright::table::Tables;

const MILD: Metal =
    Metal { tensile_strength: 450.0, yield_strength: 235.0, elastic: 210_000.0, springback: None };

fn shop() -> Shop {
    read(include_str!("../../../parts/shop.toml"))
}

fn read(text: &str) -> Shop {
    let mut sources = Sources::default();
    let source = sources.add("shop.toml", text);
    shop::read(source, text, &Tables::shipped()).unwrap_or_else(|findings| {
        let drawn: Vec<String> = findings.iter().map(|f| sources.draw(f, false)).collect();
        panic!("{}", drawn.join("\n"))
    })
}

/// The shop with one of its brakes.
fn only(name: &str) -> Shop {
    with_only(shop(), name)
}

fn with_only(mut shop: Shop, name: &str) -> Shop {
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
        angle: 90.0,
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
    let plan =
        sequence::find(&Task { part: &part, flat: &flat, metal: MILD, material: "S235", shop });
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
        words += &step.setup.words(&part, shop, Units::Millimetre);
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

/// With the web up first, the base is in the way when the lip is bent.
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
    let fingers =
        |step: &sequence::Step| matches!(step.setup.tool, Tool::Fold { fingers: Some(_) });
    assert!(pan.steps.iter().any(fingers), "{words}");
}

#[test]
fn thick_sheet_goes_to_the_press_brake_over_the_usual_v() {
    let leg = Flange { radius: 5.1, ..flange(0, UPPER, 60.0, 40.0, true) };
    let (plan, words) = plan(4.0, [60.0, 80.0], &[leg], &shop());
    assert!(plan.is_whole(), "{words}");
    let step = &plan.steps[0];
    assert_eq!(step.setup.v(&shop()), Some(32.0));
    assert!(step.refused.iter().any(|r| matches!(r.why, Why::TooThick { .. })), "{words}");
    assert!(step.setup.under_load.degrees() > 90.0);
}

#[test]
fn a_flange_too_short_for_the_usual_v_takes_the_next() {
    let flanges = [Flange { radius: 5.1, ..flange(0, UPPER, 60.0, 20.0, true) }];
    let (plan, words) = plan(4.0, [60.0, 80.0], &flanges, &only("press brake"));
    assert_eq!(plan.steps[0].setup.v(&only("press brake")), Some(25.0), "{words}");
    assert!(plan.steps[0].refused.iter().any(|r| matches!(r.why, Why::Flange { .. })));
}

#[test]
fn sheet_too_long_too_thick_or_too_hard_is_refused_with_figures() {
    let long = [flange(0, UPPER, 1600.0, 40.0, true)];
    let (_, words) = plan(1.5, [1600.0, 80.0], &long, &shop());
    assert!(words.contains("the bend is 1600 mm long, the tool 1500 mm"), "{words}");
    let thick = [flange(0, UPPER, 1400.0, 60.0, true)];
    let (_, words) = plan(6.0, [1400.0, 80.0], &thick, &shop());
    assert!(words.contains("it needs 671 kN, the brake has 400 kN"), "{words}");
    let thick = [flange(0, UPPER, 600.0, 60.0, true)];
    let (_, words) = plan(6.0, [600.0, 80.0], &thick, &only("straight brake"));
    assert!(words.contains("it bends up to 2 mm of this metal"), "{words}");
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

/// A wall of a box, its ends at the open corners.
fn wall(edge: usize, wide: f64, high: f64) -> Flange {
    Flange { measured: Measured::Tangent, ..flange(0, edge, wide, high, true) }
}

/// Whatever pieces of punch are used, the ram above them covers the whole length: walls of a box
/// higher than its reach collide with it when the last wall is bent.
#[test]
fn the_ram_stays_where_the_punch_is_used_in_pieces() {
    let walls = |high| {
        [
            wall(UPPER, 154.4, high),
            wall(LOWER, 154.4, high),
            wall(LEFT, 114.4, high),
            wall(RIGHT, 114.4, high),
        ]
    };
    let press = only("press brake");
    let (low, words) = plan(3.0, [160.0, 120.0], &walls(20.0), &press);
    assert!(low.is_whole(), "{words}");
    let in_pieces = |step: &sequence::Step| step.tooling.stacks.iter().any(|s| s.tool == "punch");
    assert!(low.steps.iter().any(in_pieces), "{words}");
    let (high, words) = plan(3.0, [160.0, 120.0], &walls(42.0), &press);
    assert!(!high.is_whole(), "{words}");
    assert!(words.contains("hits the ram"), "{words}");
}

/// The pieces and their positions are given, and add up.
#[test]
fn pieces_of_tools_are_told_with_their_place() {
    let walls = [
        wall(UPPER, 154.4, 20.0),
        wall(LOWER, 154.4, 20.0),
        wall(LEFT, 114.4, 20.0),
        wall(RIGHT, 114.4, 20.0),
    ];
    let (plan, words) = plan(3.0, [160.0, 120.0], &walls, &only("press brake"));
    for step in &plan.steps {
        let Tool::Press { widths: [punch, _], .. } = step.setup.tool else { panic!("{words}") };
        let stack = step.tooling.stacks.iter().find(|s| s.tool == "punch");
        assert_eq!(punch.is_some(), stack.is_some());
        let Some(stack) = stack else { continue };
        let sum: f64 = stack.pieces.iter().sum();
        assert!((punch.unwrap() - sum).abs() < 1e-9);
        let bend = if step.bend < 2 { 154.4 } else { 114.4 };
        assert!(stack.from >= -1e-9 && stack.from + sum <= bend + 1e-6, "{stack:?}");
    }
}

/// A channel of 3 mm, 60 mm wide with legs of 40 mm.
fn deep_channel() -> [Flange; 2] {
    [UPPER, LOWER].map(|edge| Flange { radius: 4.0, ..flange(0, edge, 60.0, 40.0, true) })
}

/// From the straight punch to the inside of the leg that is up already, when the other is bent: 54
/// mm of base and 37 mm of leg lie inside. With both sides at 45.2° their corner is 54 × 0.7046 −
/// 37 × 0.7096 = 11.79 mm beside the middle of the punch, which is 18 mm wide.
const CLEARS: f64 = 2.79;

#[test]
fn standing_flanges_count_with_their_whole_thickness() {
    let mut press = only("press brake");
    if let Tools::Press(press) = &mut press.brakes[0].tools {
        press.punches.retain(|punch| punch.name == "straight");
    }
    let (plan, words) = plan(3.0, [60.0, 60.0], &deep_channel(), &press);
    let room = plan.steps[1].tooling.room;
    assert!(plan.is_whole() && (room.mm - CLEARS).abs() < 0.02, "{room:?} {words}");
}

/// Four sides of a tube: the last bend would close it round the tool.
#[test]
fn a_tube_that_closes_round_a_tool_cannot_be_taken_off() {
    let side = |on, long| Flange { size: [60.0, long], ..flange(on, FAR, 60.0, long, true) };
    let sides =
        [Flange { edge: UPPER, ..side(0, 200.0) }, side(1, 200.0), side(2, 200.0), side(3, 95.0)];
    for name in ["vice", "press brake"] {
        let (plan, words) = plan(2.0, [60.0, 100.0], &sides, &only(name));
        assert!(!plan.is_whole(), "{name}: {words}");
    }
    let (_, words) = plan(2.0, [60.0, 100.0], &sides, &only("vice"));
    assert!(words.contains("cannot be taken off"), "{words}");
}

/// A flange cut back to its ends has its length there.
#[test]
fn a_tapered_flange_is_as_long_as_where_it_is_short() {
    use platewright::geom::Outline;
    use platewright::geom::Region;
    use platewright::geom::Vertex;
    let leg = Flange { radius: 4.0, ..flange(0, LOWER, 110.0, 30.0, true) };
    let mut part = tree::part(4.0, [120.0, 80.0], &[leg], Method::Din6935).unwrap();
    let corners = [[-55.0, 0.0], [55.0, 0.0], [5.0, 30.0], [-5.0, 30.0]];
    let taper = Outline::new(corners.map(|[x, y]| Vertex::sharp(x, y))).unwrap();
    part.faces[1].blank = Region::solid(taper);
    let flat = flat::unfold(&part).unwrap_or_else(|e| panic!("{e:?}"));
    let shop = only("press brake");
    let plan = sequence::find(&Task {
        part: &part,
        flat: &flat,
        metal: MILD,
        material: "S235",
        shop: &shop,
    });
    assert!(!plan.is_whole());
    // 6 mm from its end the flange is 3.6 mm and the setback of 8 mm long.
    let lengths = plan.blocked[0].1.iter().filter_map(|r| match r.why {
        Why::Flange { is, .. } => Some(is),
        _ => None,
    });
    let lengths: Vec<f64> = lengths.collect();
    assert!(!lengths.is_empty() && lengths.iter().all(|l| (l - 11.6).abs() < 0.1), "{lengths:?}");
}

/// A shop with high narrow dies, of which the press brake.
fn narrow_dies() -> Shop {
    let text = include_str!("../../data/bending/shop-of-folders.toml");
    with_only(read(text), "toolroom press")
}

/// A knife of 30° could bend by 150°, but in a V of 62° the legs lie on its walls at 118°.
#[test]
fn no_leg_goes_through_the_walls_of_a_v() {
    let bent = |angle| {
        let leg = Flange { angle, ..flange(0, UPPER, 60.0, 40.0, true) };
        plan(1.5, [60.0, 60.0], &[leg], &narrow_dies())
    };
    let (within, words) = bent(112.0);
    assert!(within.is_whole(), "{words}");
    let (beyond, words) = bent(125.0);
    assert!(!beyond.is_whole(), "{words}");
    assert!(words.contains("hits the die once bent to 12"), "{words}");
}

/// Beside a flange narrower than its edge the base reaches on to the mould line, past where
/// the bend begins. At 115° that is 9 mm past the middle of a V of 24 mm, whose other wall
/// it meets as it sinks; on a folding brake at 130° it lies on the leaf that swings up.
#[test]
fn what_reaches_over_the_bend_line_meets_the_die_and_the_leaf() {
    let bent = |base: f64, thickness: f64, radius: f64, angle: f64, shop: &Shop| {
        let leg = Flange { angle, radius, ..flange(0, UPPER, 50.0, 40.0, true) };
        let (plan, words) = plan(thickness, [base, 80.0], &[leg], shop);
        (plan.is_whole(), words)
    };
    let mut press = narrow_dies();
    if let Tools::Press(press) = &mut press.brakes[0].tools {
        press.dies.retain(|die| (die.v - 24.0).abs() < 1e-9);
        // In sections no wider than the flange it would be clear of the base.
        press.dies[0].widths.clear();
    }
    let (as_wide, words) = bent(50.0, 5.0, 5.1, 115.0, &press);
    assert!(as_wide, "{words}");
    let (narrower, words) = bent(110.0, 5.0, 5.1, 115.0, &press);
    assert!(!narrower && words.contains("face `base` hits the die"), "{words}");
    let fingers = only("finger brake");
    let (as_wide, words) = bent(50.0, 1.5, 2.0, 130.0, &fingers);
    assert!(as_wide, "{words}");
    let (narrower, words) = bent(110.0, 1.5, 2.0, 130.0, &fingers);
    assert!(!narrower && words.contains("face `base` hits the leaf"), "{words}");
    // At a right angle it ends before the leaf begins, and clear of the other wall of the V.
    let (right_angle, words) = bent(110.0, 1.5, 2.0, 90.0, &fingers);
    assert!(right_angle, "{words}");
    let (right_angle, words) = bent(110.0, 3.0, 3.0, 90.0, &only("press brake"));
    assert!(right_angle, "{words}");
}

/// A bend that is not made yet lies on the shoulder of the die as the sheet that it is.
#[test]
fn a_bend_to_come_is_still_sheet() {
    let press = only("press brake");
    let first = Flange { angle: 60.0, radius: 5.1, ..flange(0, UPPER, 40.0, 30.0, true) };
    let second = Flange { radius: 5.1, ..flange(1, FAR, 40.0, 25.0, true) };
    let (both, words) = plan(4.0, [40.0, 30.0], &[first, second], &press);
    assert!(both.is_whole(), "{words}");
    // Of a flange of 24 mm only 0.8 mm is flat, but before its second bend the sheet continues.
    let bent = |edge, on, long| Flange { radius: 7.6, ..flange(on, edge, 60.0, long, true) };
    let rows = [bent(UPPER, 0, 24.0), bent(FAR, 1, 60.0)];
    let (one, words) = plan(4.0, [60.0, 80.0], &rows, &press);
    assert_eq!(order(&one), [0], "{words}");
    assert!(
        words
            .contains("face `f1` is 12.4 mm long where it is shortest (ends of the bend left out)"),
        "{words}"
    );
}

/// Of setups that work the one with the most clearance is used, and the others are listed: a
/// gooseneck leaves more than the straight punch.
#[test]
fn the_way_with_most_room_is_taken() {
    let (plan, words) = plan(3.0, [60.0, 60.0], &deep_channel(), &only("press brake"));
    let taken = "b2 on press brake, V 25 mm, punch `gooseneck`";
    assert!(plan.is_whole() && words.contains(taken), "{words}");
    let step = &plan.steps[1];
    let tight = step.refused.iter().filter_map(|refusal| match refusal.why {
        Why::Tight { is, .. } => Some(is),
        _ => None,
    });
    let tight: Vec<f64> = tight.collect();
    assert!(tight.iter().any(|is| (is - CLEARS).abs() < 0.02), "{tight:?}");
    assert!(tight.iter().all(|is| *is < step.tooling.room.mm), "{tight:?}");
}

/// A sheet of 2 mm round 80 mm is rolled, not bent: no tool of the shop gives that radius.
#[test]
fn a_radius_that_no_tool_gives_is_refused() {
    let round = Flange { radius: 80.0, ..flange(0, UPPER, 60.0, 150.0, true) };
    let (rolled, words) = plan(2.0, [60.0, 150.0], &[round], &shop());
    assert!(!rolled.is_whole(), "{words}");
    assert!(words.contains("at most 3.84 mm, 80 mm is needed"), "{words}");
    // V 16 gives 2.56 mm: 1.5 times that and its 1.5th are the limits.
    let at = |radius| {
        let bend = Flange { radius, ..flange(0, UPPER, 60.0, 40.0, true) };
        plan(2.0, [60.0, 60.0], &[bend], &only("press brake")).0.is_whole()
    };
    assert_eq!([1.5, 1.75, 3.8, 6.5].map(at), [false, true, true, false]);
    // The radius of a V cannot be widened by the shop, and a setup that was not needed says only
    // that.
    let mut own = only("press brake");
    own.brakes[0].max_radius = Some(40.0);
    let bend = |radius| Flange { radius, ..flange(0, UPPER, 60.0, 40.0, true) };
    assert!(!plan(2.0, [60.0, 60.0], &[bend(6.5)], &own).0.is_whole());
    let (other, _) = plan(2.0, [60.0, 60.0], &[bend(2.0)], &own);
    let refused = &other.steps[0].refused;
    assert!(refused.iter().any(|refusal| refusal.why == Why::NotNeeded), "{refused:?}");
    assert!(refused.iter().all(|refusal| refusal.why != Why::Springs), "{refused:?}");
    let mut own = only("vice");
    let folded = |shop: &Shop, radius| {
        let bend = Flange { radius, ..flange(0, UPPER, 60.0, 60.0, true) };
        plan(2.0, [60.0, 60.0], &[bend], shop).0.is_whole()
    };
    assert_eq!([2.0, 12.0, 13.0].map(|r| folded(&own, r)), [true, true, false]);
    own.brakes[0].min_radius = Some(3.0);
    own.brakes[0].max_radius = Some(8.0);
    assert_eq!([2.0, 3.0, 7.0, 9.0].map(|r| folded(&own, r)), [false, true, true, false]);
}

/// A tool rated for one metal bends less of a harder one: by the root of the strengths.
#[test]
fn a_folder_rated_for_mild_steel_bends_no_more_of_it() {
    let bend = |thickness| {
        let legs = [Flange { radius: thickness, ..flange(0, UPPER, 60.0, 40.0, true) }];
        plan(thickness, [60.0, 60.0], &legs, &only("straight brake")).0.is_whole()
    };
    assert_eq!([2.0, 2.1, 2.24].map(bend), [true, false, false]);
}

/// Six bends up and down on either side of a base: an order is found without trying all.
/// Steps that are left out, poses that are shared and blocks that are too far to be measured change
/// nothing: not the order, not the tools, not the room to its last digit.
#[test]
fn what_the_search_leaves_out_changes_no_answer() {
    let mut shop = shop();
    for brake in &mut shop.brakes {
        if let Tools::Press(press) = &mut brake.tools {
            press.dies.truncate(2);
            press.punches.truncate(1);
        }
    }
    let mut rng = Rng(77);
    let mut compared = 0;
    let mut room = Vec::new();
    while compared < 6 {
        let part = random::part(&mut rng, 2 + compared % 2);
        let Ok(flat) = flat::unfold(&part) else { continue };
        let task = Task { part: &part, flat: &flat, metal: MILD, material: "S235", shop: &shop };
        let (quick, plain) = (sequence::find(&task), sequence::find_plainly(&task));
        assert_eq!(format!("{quick:#?}"), format!("{plain:#?}"), "{:?}", part.bends);
        room.extend(quick.steps.iter().map(|step| step.tooling.room.mm));
        compared += 1;
    }
    // Some are tight, so that rooms were compared.
    assert!(room.iter().any(|mm| *mm < 5.0), "{room:?}");
}

#[test]
fn an_order_of_twelve_bends_is_found() {
    let mut zigzag = Vec::new();
    for (edge, first) in [(UPPER, 0), (LOWER, 6)] {
        for i in 0..6 {
            let on = if i == 0 { 0 } else { first + i };
            let edge = if i == 0 { edge } else { FAR };
            zigzag.push(Flange { angle: 30.0, ..flange(on, edge, 60.0, 40.0, i % 2 == 0) });
        }
    }
    let (plan, words) = plan(1.5, [60.0, 80.0], &zigzag, &shop());
    assert!(plan.is_whole(), "{words}");
}

#[test]
fn many_bends_are_left_alone() {
    let zigzag: Vec<Flange> = (0..sequence::MAX_BENDS + 1)
        .map(|i| flange(i, if i == 0 { UPPER } else { FAR }, 60.0, 60.0, i % 2 == 0))
        .collect();
    let (plan, _) = plan(1.5, [60.0, 60.0], &zigzag, &shop());
    assert!(plan.steps.is_empty() && plan.blocked.len() == sequence::MAX_BENDS + 1);
}
