//! Parts of the trade in `tests/data/trade`, against their long forms.

use crate::own;
use platewright::diag::Weight;
use platewright::geom;
use platewright::geom::Disc;
use platewright::geom::Point;
use platewright::num::Angle;
use platewright::part::HoleSize;
use platewright::solve::Solved;
use std::fs;
use std::path::Path;

fn text(name: &str) -> String {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/trade").join(name);
    fs::read_to_string(&file).unwrap_or_else(|error| panic!("{}: {error}", file.display()))
}

fn made(name: &str) -> Vec<Solved> {
    let (solved, found) = own::solve(&text(name), "3 mm", "laser")
        .unwrap_or_else(|found| panic!("{name}: {}", found[0].headline));
    assert!(found.iter().all(|f| f.weight != Weight::Stop));
    solved
}

/// A part in its own sheet, and the codes of its findings.
fn found(name: &str, thickness: &str, process: &str) -> (Vec<Solved>, Vec<&'static str>) {
    let (solved, found) = own::solve(&text(name), thickness, process)
        .unwrap_or_else(|found| panic!("{name}: {}", found[0].headline));
    (solved, found.into_iter().map(|f| f.code).collect())
}

fn holes(solved: &Solved) -> Vec<(Point, f64)> {
    let mut all: Vec<(Point, f64)> =
        solved.part.holes().map(|(_, hole)| (hole.at, hole.outline.area())).collect();
    all.sort_by(|a, b| (a.0.x, a.0.y).partial_cmp(&(b.0.x, b.0.y)).expect("places are numbers"));
    all
}

/// The same metal and the same holes from fewer lines. The quadrilateral of the long form has
/// no fit: its diagonal only checks it, and moves it by less than a millimetre. The corner closer of
/// the long form is coped by saddles, whose gap at the tubes is a hundredth less than that of tubes
/// in space.
#[test]
fn a_short_form_makes_what_its_long_form_does() {
    for (name, near) in [
        ("lug-rail.toml", 1e-6),
        ("skid-plate.toml", 1e-6),
        ("corner-closer.toml", 0.02),
        ("quad-cover.toml", 1.0),
    ] {
        let (short, long) = (made(name), made(&format!("long/{name}")));
        assert_eq!((short.len(), long.len()), (1, 1));
        let (short, long) = (&short[0], &long[0]);
        let area = |solved: &Solved| solved.flat.region.area();
        let size = area(long).sqrt();
        let apart = (area(short) - area(long)).abs();
        assert!(apart < near * size, "{name}: {} and {}", area(short), area(long));
        let (mine, theirs) = (holes(short), holes(long));
        assert_eq!(mine.len(), theirs.len(), "{name}");
        for (a, b) in mine.iter().zip(&theirs) {
            assert!((a.0 - b.0).hypot() < near && (a.1 - b.1).abs() < near, "{name}: {a:?} {b:?}");
        }
        let lines = |text: &str| text.lines().filter(|line| !line.trim().is_empty()).count();
        let (mine, theirs) = (text(name), text(&format!("long/{name}")));
        assert!(lines(&mine) < lines(&theirs), "{name}");
    }
}

/// The others have no long form: each is made and nothing stops it.
#[test]
fn every_part_of_the_trade_is_made() {
    for (name, parts, holes) in [
        ("rib-floor.toml", 2, 3),
        ("floor-cover.toml", 1, 10),
        ("pump-adapter.toml", 1, 7),
        ("sensor-pair.toml", 2, 3),
        ("diagonal-corner.toml", 1, 2),
        ("twisted-strap.toml", 1, 2),
        ("channel-on-a-tube.toml", 1, 0),
        ("box-gusset.toml", 1, 0),
        ("even-web-crank.toml", 1, 3),
        ("tapered-skid.toml", 1, 20),
        ("fender-stay.toml", 1, 2),
        ("drill-jig.toml", 1, 9),
        ("wheel-cover.toml", 1, 0),
        ("floor-panel.toml", 1, 6),
        ("hoop-tab.toml", 1, 1),
        ("node-jig.toml", 3, 0),
        ("shock-tab.toml", 1, 1),
        ("pedal-bracket.toml", 1, 4),
        ("adjusting-plate.toml", 1, 2),
        ("slotted-motor-plate.toml", 1, 9),
        ("saddle-clamp.toml", 1, 2),
        ("insert-panel.toml", 1, 8),
        ("handed-bracket.toml", 2, 1),
        ("lever-plate.toml", 1, 1),
        ("hoop-jig.toml", 2, 1),
    ] {
        let solved = made(name);
        assert_eq!(solved.len(), parts, "{name}");
        assert_eq!(solved[0].part.holes().count(), holes, "{name}");
    }
}

/// Areas by hand, holes included: of steel 3 mm thick that is bent at a radius of 3 mm a bend of 90°
/// takes 5.756 mm off its legs, one of 45° 1.849 mm (DIN 6935).
#[test]
fn parts_have_the_area_of_a_sum_by_hand() {
    let pi = platewright::num::PI;
    let round = |r: f64| (1.0 - pi / 4.0) * r * r;
    let turns = Angle::from_degrees(70.0).radians();
    let tangent = (90.0_f64 * 90.0 + 60.0 * 60.0 - 42.5 * 42.5).sqrt();
    // From the centre of the eye, between the corner of the root and the tangent to it.
    let apart = Angle::of(42.5, tangent).degrees() - Angle::of(60.0, 90.0).degrees();
    let sector = Angle::from_degrees(180.0 - 2.0 * apart).radians() * 42.5 * 42.5 / 2.0;
    for (name, thickness, process, wanted, near) in [
        // A sector, its border and its ends.
        (
            "adjusting-plate.toml",
            "3 mm",
            "laser",
            turns * 3200.0 + 16.5 * (160.0 + 80.0 * turns) + pi * 16.5 * 16.5,
            1e-6,
        ),
        // Foot, ramp and pad, less two bends.
        (
            "pedal-bracket.toml",
            "3 mm",
            "laser",
            124.0 * (40.0 + 23.870_06 + 121.5 - 2.0 * 1.849_0) - 2.0 * round(15.0),
            0.5,
        ),
        ("handed-bracket.toml", "3 mm", "laser", 60.0 * (50.0 + 45.0 - 5.756), 0.5),
        // Ears, straight ends, and the middle of the sheet in the roll; two bends of 85°.
        (
            "saddle-clamp.toml",
            "3 mm",
            "laser",
            40.0 * (60.0 + 32.0 + 25.5 * pi * 170.0 / 180.0 + 2.0 * 3.975 * pi * 85.0 / 180.0)
                - 4.0 * round(6.0),
            0.5,
        ),
        (
            "exhaust-hanger.toml",
            "3 mm",
            "laser",
            30.0 * (138.0 + 276.4 * pi / 180.0 * (11.0 + 1.398)),
            0.5,
        ),
        (
            "mudguard.toml",
            "1.5 mm",
            "laser",
            140.0 * (100.0 + 275.75 * pi * 110.0 / 180.0) - 2.0 * round(20.0),
            1e-3,
        ),
        // Two hems of a return of 10 mm: 0.43 thicknesses less each.
        ("gauge-panel.toml", "1.5 mm", "laser", 320.0 * (140.0 - 2.0 * 0.4312 * 1.5), 0.5),
        ("valve-plate.toml", "6 mm", "waterjet", 190.0 * 110.0 - 4.0 * round(8.0), 1e-6),
        // Two tangents to the eye, the root, and the rest of the eye.
        ("drawbar-eye.toml", "10 mm", "waterjet", 42.5 * tangent + 60.0 * 90.0 + sector, 1e-6),
        ("keeper-plate.toml", "4 mm", "laser", 60.0 * 110.0 - 4.0 * round(4.0), 1e-6),
    ] {
        let (solved, _) = found(name, thickness, process);
        let area = solved[0].flat.region.outer().area();
        assert!((area - wanted).abs() < near, "{name}: {area}, not {wanted}");
    }
}

/// What is left to look at is what no check can judge.
#[test]
fn what_was_found_of_the_ten_is_known() {
    for (name, thickness, process, codes) in [
        ("battery-tray.toml", "3 mm", "laser", &[][..]),
        ("gauge-panel.toml", "1.5 mm", "laser", &[]),
        ("valve-plate.toml", "6 mm", "waterjet", &[]),
        ("keeper-plate.toml", "4 mm", "laser", &["bend-taper"]),
        ("spring-hanger.toml", "3 mm", "laser", &[]),
        ("pulley-spider.toml", "3 mm", "laser", &[]),
        ("mudguard.toml", "1.5 mm", "laser", &[]),
        ("exhaust-hanger.toml", "3 mm", "laser", &[]),
        ("drawbar-eye.toml", "10 mm", "waterjet", &[]),
        ("chute-side.toml", "3 mm", "laser", &[]),
        ("stiffener.toml", "3 mm", "laser", &["flare", "bead"]),
        ("gland-plate.toml", "2 mm", "laser", &[]),
        ("cab-step.toml", "3 mm", "laser", &[]),
        ("belt-guard.toml", "3 mm", "laser", &[]),
        ("knuckle-hinge.toml", "3 mm", "laser", &[]),
        ("fan-shroud.toml", "2 mm", "laser", &["flare"]),
        ("seat-slide.toml", "3 mm", "laser", &[]),
        ("hook-plate.toml", "10 mm", "waterjet", &[]),
        ("radiator-mount.toml", "3 mm", "laser", &[]),
        ("reel-side.toml", "3 mm", "laser", &[]),
        ("nozzle-rail.toml", "3 mm", "laser", &[]),
    ] {
        assert_eq!(found(name, thickness, process).1, codes, "{name}");
    }
}

/// The comb has its tongues in the slots: both drawings have the same x, and the slot is larger by
/// its fit on every side.
#[test]
fn the_slots_of_a_floor_take_the_tongues_of_its_comb() {
    let parts = made("rib-floor.toml");
    let face = |name: &str| {
        let all = parts.iter().flat_map(|solved| &solved.part.faces);
        all.into_iter().find(|face| face.name == name).expect("it has that face")
    };
    let (tongues, slots) = (&face("comb").tongues, &face("floor").holes);
    assert_eq!((tongues.len(), slots.len()), (3, 3));
    for (tongue, slot) in tongues.iter().zip(slots) {
        let (tongue, middle) = (tongue.bounds(), slot.at);
        let HoleSize::TongueSlot { width, length, .. } = slot.size else {
            panic!("{:?} is no slot for a tongue", slot.size)
        };
        // Without the reliefs at its corners, in the drawing of the floor.
        let along = slot.outline.bounds();
        assert!(along.max.x - along.min.x > along.max.y - along.min.y, "{along:?}");
        assert!((middle.x - length / 2.0 + 0.1 - tongue.min.x).abs() < 1e-9, "{tongue:?}");
        assert!((middle.x + length / 2.0 - 0.1 - tongue.max.x).abs() < 1e-9, "{tongue:?}");
        assert!((width - 3.2).abs() < 1e-9);
        assert!((tongue.max.y - tongue.min.y - 3.0).abs() < 1e-9);
    }
}

/// The foot of the tab is as wide as its input says where it meets the tube.
#[test]
fn a_tab_along_a_tube_has_the_foot_that_is_asked_for() {
    for foot in [60.0, 80.0, 120.0] {
        let tab = text("hoop-tab.toml").replace("\"80 mm\"", &format!("\"{foot} mm\""));
        let (solved, _) = own::solve(&tab, "3 mm", "laser").expect("nothing stops it");
        let outline = solved[0].flat.region.outer();
        // The arc of radius 169 about the bend: its ends are the foot.
        let ends: Vec<f64> = outline
            .vertices()
            .iter()
            .filter(|v| (v.at.to_vec2().hypot() - 169.0).abs() < 0.05)
            .map(|v| v.at.y)
            .collect();
        let widest = ends.iter().fold(0.0, |w: f64, y| w.max(2.0 * y.abs()));
        assert!((widest - foot).abs() < 1e-3, "{foot}: {ends:?}");
    }
}

/// What a hem would cover is metal: every hole of the panel is clear of both returns.
#[test]
fn the_holes_of_a_panel_are_clear_of_its_hems() {
    let (solved, _) = found("gauge-panel.toml", "1.5 mm", "laser");
    let panel = &solved[0].part.faces[0];
    for hole in &panel.holes {
        let bounds = hole.outline.bounds();
        assert!(bounds.min.y > -50.0 && bounds.max.y < 50.0, "{}: {bounds:?}", hole.name);
    }
}

/// A foot that is wider than its tube would have prongs beside it.
#[test]
fn the_foot_of_a_tab_is_narrower_than_its_tube() {
    let wide = text("shock-tab.toml").replace("\"40 mm\", about", "\"60 mm\", about");
    let found = own::solve(&wide, "3 mm", "laser").expect_err("it is stopped");
    assert_eq!(found[0].code, "requirement", "{found:?}");
}

/// A fillet round a cheek runs along its whole edge, and its outline is that of a disc.
#[test]
fn a_weld_runs_round_a_disc() {
    let (solved, _) = found("drawbar-eye.toml", "10 mm", "waterjet");
    let washer = &solved[1].part.faces[0];
    let edge = 2.0 * platewright::num::PI * 38.5;
    assert!(
        (washer.welds[0].edge_length() - edge).abs() < 1e-9,
        "{}",
        washer.welds[0].edge_length()
    );
}

/// Sector less triangle: R²/2 · (2φ − sin 2φ), with half the chord R · sin φ.
fn segment(chord: f64, height: f64) -> f64 {
    let radius = (chord * chord / 4.0 + height * height) / (2.0 * height);
    let swept = Angle::from_degrees(4.0 * Angle::of(chord / 2.0, height).degrees());
    radius * radius / 2.0 * (swept.radians() - swept.sin())
}

#[test]
fn a_cover_by_chords_and_heights_has_their_area() {
    let cover = &made("wheel-cover.toml")[0];
    let wanted = 300.0 * 120.0 + segment(300.0, 40.0) - segment(300.0, 25.0);
    assert!((cover.flat.region.area() - wanted).abs() < 1e-6, "{wanted}");
}

/// The outline is the belt round the three discs, and metal of the wall is left round the opening.
#[test]
fn a_crank_runs_round_its_bearings() {
    let crank = &made("even-web-crank.toml")[0];
    let region = &crank.flat.region;
    let bearings = holes(crank);
    let to = Angle::from_degrees(75.0);
    let b = Point::new(70.0 * to.cos(), 70.0 * to.sin());
    let discs = [(Point::ZERO, 22.5), (Point::new(90.0, 0.0), 18.5), (b, 18.5)];
    let round = discs.map(|(centre, radius)| Disc { centre, radius });
    let hull = geom::belt(&round).unwrap();
    assert!((region.outer().area() - hull.area()).abs() < 1e-6);
    assert_eq!((bearings.len(), region.holes().len()), (3, 4));
    let opening = region.holes().iter().max_by(|a, b| a.area().total_cmp(&b.area())).unwrap();
    // Along its sides the web is the wall, and nowhere less.
    let web = |i: usize| {
        let vertices = opening.vertices();
        let [a, b] = [vertices[i].at, vertices[(i + 1) % vertices.len()].at];
        region.outer().distance(a.midpoint(b))
    };
    let sides = opening.vertices().iter().enumerate().filter(|(_, v)| v.bulge == 0.0);
    let webs: Vec<f64> = sides.map(|(i, _)| web(i)).collect();
    assert!(!webs.is_empty() && webs.iter().all(|w| (w - 9.0).abs() < 1e-6), "{webs:?}");
    for vertex in opening.vertices() {
        assert!(region.outer().distance(vertex.at) > 9.0 - 1e-6);
        assert!(discs.iter().all(|(at, r)| (vertex.at - *at).hypot() > r - 1e-6));
    }
}

/// The jig has a bushing where the motor plate has a bolt, on its own circle too.
#[test]
fn a_drill_jig_follows_the_plate_it_is_for() {
    let plate = "about = \"x\"\n[face.plate]\nlike = \"motor-plate.plate\"\ngiven = { circle = \"98 mm\" }\n";
    let (plate, _) = own::solve(plate, "3 mm", "laser").unwrap();
    let jig = &made("drill-jig.toml")[0];
    let places = |solved: &Solved| -> Vec<Point> { holes(solved).iter().map(|h| h.0).collect() };
    let (mine, theirs) = (places(jig), places(&plate[0]));
    assert_eq!(mine.len(), theirs.len());
    assert!(mine.iter().zip(&theirs).all(|(a, b)| (*a - *b).hypot() < 1e-9));
    let outer = |solved: &Solved| solved.flat.region.outer().area();
    assert!((outer(jig) - outer(&plate[0])).abs() < 1e-9);
    assert_eq!(jig.part.holes().filter(|(_, h)| h.finished == Some(10.0)).count(), 4);
}

/// The flat of the stay is a plain strap, and each bend crosses it at its own slant.
#[test]
fn a_stay_is_folded_from_a_plain_strap() {
    let stay = &made("fender-stay.toml")[0];
    assert_eq!((stay.part.faces.len(), stay.part.bends.len()), (3, 2));
    assert!((stay.flat.region.outer().area() - 220.0 * 40.0).abs() < 1e-6);
    for (strip, slant) in stay.flat.bends.iter().zip([12.0, 18.0]) {
        let across = 40.0 / Angle::from_degrees(slant).cos();
        let long = strip.line.length();
        assert!((long - across).abs() < 1e-4, "{slant}: {long} for {across}");
    }
}

/// Each screw is 20 mm inside its edge, on metal.
#[test]
fn the_screws_of_a_cover_follow_its_edges() {
    let cover = &made("floor-cover.toml")[0];
    let outline = cover.flat.region.outer();
    for (at, _) in holes(cover) {
        assert!((outline.distance(at) - 20.0).abs() < 1e-6, "{at:?}");
    }
}

/// Bearings are supported all round: the edge distance of a bolt is not required of them.
#[test]
fn a_bearing_needs_no_edge_distance_of_a_bolt() {
    let found = |as_what: &str| {
        let crank = text("even-web-crank.toml").replace("\"bearing\" }", as_what);
        let (_, found) = own::solve(&crank, "3 mm", "laser").expect("nothing stops it");
        found.iter().filter(|f| f.code == "hole-edge").count()
    };
    // The three pins are one finding.
    assert_eq!((found("\"bearing\" }"), found("\"pin\" }")), (0, 1));
}

/// Glands are side by side with the same room between them, whatever their sizes.
#[test]
fn glands_have_the_room_of_their_nuts_between_them() {
    let (solved, _) = found("gland-plate.toml", "2 mm", "laser");
    let glands: Vec<(f64, f64)> = solved[0]
        .part
        .holes()
        .filter(|(_, hole)| hole.is_of("gland"))
        .map(|(_, hole)| (hole.at.x, hole.diameter().unwrap() / 2.0))
        .collect();
    assert_eq!(glands.len(), 4);
    for two in glands.windows(2) {
        let [(a, r), (b, s)] = [two[0], two[1]];
        assert!((b - a - r - s - 9.0).abs() < 1e-9, "{glands:?}");
    }
}

/// A rib for each spoke leaves as many openings, all alike.
#[test]
fn a_reel_has_an_opening_between_every_two_spokes() {
    let (solved, _) = found("reel-side.toml", "3 mm", "laser");
    let face = &solved[0].part.faces[0];
    assert_eq!(face.lighten[0].ribs.len(), 5);
    assert_eq!(face.lightened[0].openings.len(), 5);
}

/// The toes are rounded before the tube cuts them: the foot has its whole width at the tube.
#[test]
fn the_tube_leaves_the_foot_of_a_tab_its_width() {
    for foot in [30.0_f64, 40.0] {
        let tab =
            text("shock-tab.toml").replace("\"40 mm\", about", &format!("\"{foot} mm\", about"));
        let (solved, _) = own::solve(&tab, "3 mm", "laser").expect("nothing stops it");
        let outline = solved[0].flat.region.outer();
        let low = outline.bounds().min.y;
        let corners = outline.vertices().iter().map(|v| v.at);
        let toes: Vec<f64> = corners.filter(|at| at.y < low + 1e-6).map(|at| at.x).collect();
        assert_eq!(toes.len(), 2, "{foot}: {toes:?}");
        assert!(((toes[0] - toes[1]).abs() - foot).abs() < 1e-3, "{foot}: {toes:?}");
    }
}

/// However straight its arms are, the wall of a crank runs all round its pivot.
#[test]
fn a_straight_crank_keeps_the_wall_of_its_pivot() {
    for angle in [75, 165, 180] {
        let crank = text("even-web-crank.toml")
            .replace("\"75 deg\"", &format!("\"{angle} deg\""))
            .replace("[\"27 mm\"", "[\"50 mm\"");
        let (solved, _) = own::solve(&crank, "3 mm", "laser").expect("nothing stops it");
        let wall = solved[0].flat.region.outer().distance(Point::ZERO) - 25.0;
        assert!(wall > 9.0 - 1e-6, "{angle}: {wall}");
    }
}

/// A coil beside the tab cuts nothing of it, and one that reaches in takes what a disc does.
#[test]
fn a_coil_that_misses_its_tab_cuts_nothing() {
    let disc = "{ cut = \"disc\", radius = \"coil / 2\", at = [\"coil_at[1]\", \"coil_at[2]\"] }";
    let area = |coil: &str, cut: &str| {
        let tab = text("shock-tab.toml")
            .replace("\"66 mm\", about", &format!("\"{coil}\", about"))
            .replace("{ cut = \"obstacle\", obstacle = \"coil\" }", cut);
        let (solved, found) = own::solve(&tab, "3 mm", "laser").expect("nothing stops it");
        assert_eq!(found, []);
        solved[0].flat.region.area()
    };
    let obstacle = "{ cut = \"obstacle\", obstacle = \"coil\" }";
    let [whole, missed, cut] = ["30 mm", "40 mm", "66 mm"].map(|coil| area(coil, obstacle));
    assert!((whole - missed).abs() < 1e-9 && cut < whole - 10.0, "{whole} {missed} {cut}");
    assert!((cut - area("66 mm", disc)).abs() < 1e-6, "{cut}");
}

/// Half a clamp runs no further than half round its tube, and its sheet is flat between two bends.
#[test]
fn a_clamp_has_flat_sheet_between_its_bends() {
    let codes = |usual: &str, size: &str| -> Vec<&'static str> {
        let clamp = text("saddle-clamp.toml").replace(usual, size);
        let found = own::solve(&clamp, "4 mm", "laser").map_or_else(|all| all, |(_, all)| all);
        found.into_iter().map(|f| f.code).collect()
    };
    assert_eq!(codes("\"16 mm\", about", "\"5.2 mm\", about"), ["min-flange"; 2]);
    assert_eq!(codes("\"170 deg\"", "\"200 deg\""), ["out-of-range"]);
    assert_eq!(codes("", ""), [""; 0]);
}

/// Rows too close for their dies, and a keyhole that keeps no bush.
#[test]
fn sizes_of_the_trade_that_cannot_work_are_stopped() {
    for (name, usual, size, code) in [
        ("tapered-skid.toml", "\"500 mm\", about", "\"200 mm\", about", "web"),
        ("radiator-mount.toml", "\"13 mm\", about", "\"22 mm\", about", "blank"),
        ("radiator-mount.toml", "\"20 mm\", about", "\"11 mm\", about", "blank"),
    ] {
        let part = text(name).replace(usual, size);
        let found = own::solve(&part, "3 mm", "laser").map_or_else(|all| all, |(_, all)| all);
        let stop = found.iter().any(|f| f.weight == Weight::Stop && f.code == code);
        assert!(stop, "{name}, {size}: {found:?}");
    }
}

/// The keyway of a reel is that of its shaft: 2.8 mm beyond one of 20, 3.3 beyond one of 25.
#[test]
fn the_keyway_of_a_reel_follows_its_shaft() {
    for (shaft, beyond) in [(20.0_f64, 2.8), (25.0, 3.3)] {
        let reel =
            text("reel-side.toml").replace("\"25 mm\", about", &format!("\"{shaft} mm\", about"));
        let (solved, _) = own::solve(&reel, "3 mm", "laser").expect("nothing stops it");
        let bounds = solved[0].flat.region.holes().iter().map(|hole| hole.bounds());
        let around =
            |min: Point, max: Point| min.x < 0.0 && max.x > 0.0 && min.y < 0.0 && max.y > 0.0;
        let bores: Vec<f64> = bounds
            .filter(|b| around(b.min, b.max))
            .map(|b| (b.max.x - b.min.x).max(b.max.y - b.min.y))
            .collect();
        assert_eq!(bores.len(), 1, "{shaft}: {bores:?}");
        assert!((bores[0] - shaft - beyond).abs() < 1e-3, "{shaft}: {bores:?}");
    }
}
