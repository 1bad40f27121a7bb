//! Tabs and stubs at the ends of tubes: their places, depths and numbers.

use crate::own;
use platewright::diag::Weight;

/// Two tubes 38 × 2 of 420 mm, a stub 33 × 2 of 100 mm, flat tabs of 4 mm: feet 30 mm long, fillets of 3 mm.
const TOP: &str = "process = \"waterjet\"\nbench_list = true\n\
    [[sheet]]\nname = \"4\"\nmaterial = \"S235\"\nthickness = \"4 mm\"\nstock = [ { size = [\"900 mm\", \"600 mm\"] } ]\n\
    [[part]]\nrecipe = \"tab\"\nname = \"tab\"\nsheet = \"4\"\nquantity = 20\ngiven = { foot = \"30 mm\", weld = \"3 mm\" }\n\
    [[part]]\nrecipe = \"tab\"\nname = \"round\"\nsheet = \"4\"\nquantity = 20\n\
    given = { tube = \"38 mm\", foot = \"28 mm\", weld = \"3 mm\" }\n\
    [[tube]]\nname = \"leg\"\ntube = \"38 x 2\"\nlength = \"420 mm\"\nmaterial = \"S235\"\nquantity = 2\n";

fn stub(quantity: u32) -> String {
    format!(
        "[[tube]]\nname = \"spigot\"\noutside = \"33 mm\"\nwall = \"2 mm\"\nlength = \"100 mm\"\n\
         material = \"S235\"\nquantity = {quantity}\n"
    )
}

/// The findings on some ends of tubes, with more in the job.
fn found(more: &str, ends: &str) -> Vec<(Weight, String, String)> {
    let found = match own::asked("", &format!("{TOP}{more}{ends}"), &mut Default::default()) {
        Ok((_, (_, found))) | Err(found) => found,
    };
    let own = found.into_iter().filter(|f| f.code == "tube-end");
    own.map(|f| (f.weight, f.headline, f.help.unwrap_or_default())).collect()
}

fn says(found: &[(Weight, String, String)], weight: Weight, wanted: &str) -> bool {
    found.iter().any(|(is, words, _)| *is == weight && words.contains(wanted))
}

fn end(which: &str, tabs: &[(&str, f64, f64)]) -> String {
    let tab = |(part, at, clock): &(&str, f64, f64)| {
        format!("{{ part = \"{part}\", at = \"{at} mm\", clock = \"{clock} deg\" }}")
    };
    let tabs: Vec<String> = tabs.iter().map(tab).collect();
    format!("[[tube_end]]\ntube = \"leg\"\nend = \"{which}\"\ntabs = [ {} ]\n", tabs.join(", "))
}

/// Feet of 30 mm along a tube: 20 mm apart one is on the other, 34 mm apart 4 mm are left for two fillets
/// of 3 mm, 36 mm apart enough; beside each other 30° are 9.95 mm, less 4.01 of sheet 5.94, 31° enough.
#[test]
fn two_tabs_are_not_in_one_place() {
    let of = |tabs: &[(&str, f64, f64)]| found("", &end("start", tabs));
    for (place, clock) in [(90.0, 0.0), (110.0, 0.0), (90.0, 5.0)] {
        let on = of(&[("tab", 90.0, 0.0), ("tab", place, clock)]);
        assert!(says(&on, Weight::Stop, "two tabs `tab` overlap on tube `leg`"), "{on:?}");
    }
    let crowded = of(&[("tab", 90.0, 0.0), ("tab", 124.0, 0.0)]);
    let wanted = "too close together to weld to tube `leg`: 4 mm between their feet, but the two fillets together need 6 mm";
    assert!(says(&crowded, Weight::Caution, wanted), "{crowded:?}");
    assert!(
        crowded[0]
            .2
            .contains("set them 36 mm apart along the tube, centre to centre, or 31° round it")
    );
    assert!(says(&of(&[("tab", 90.0, 0.0), ("tab", 90.0, 330.0)]), Weight::Caution, "too close"));
    assert_eq!(of(&[("tab", 90.0, 0.0), ("tab", 126.0, 0.0)]), []);
    assert_eq!(of(&[("tab", 90.0, 0.0), ("tab", 90.0, 329.0)]), []);
    // Feet across the tube: 4 mm along it, 28 mm wide, 38 × asin(28 / 38) = 31.49 mm round it: 94.9°.
    assert_eq!(of(&[("round", 90.0, 0.0), ("round", 100.0, 0.0)]), []);
    assert!(says(&of(&[("round", 90.0, 0.0), ("round", 90.0, 90.0)]), Weight::Stop, "overlap"));
    assert!(says(&of(&[("round", 90.0, 0.0), ("round", 90.0, 110.0)]), Weight::Caution, "close"));
    assert_eq!(of(&[("round", 90.0, 0.0), ("round", 90.0, 114.0)]), []);
    // 300 mm from the end of 420 mm is 120 mm from the start.
    let both = |at: f64| {
        let ends = end("start", &[("tab", 120.0, 0.0)]) + &end("end", &[("round", at, 0.0)]);
        found("", &ends)
    };
    assert!(says(&both(300.0), Weight::Stop, "tabs `tab` and `round` overlap on tube `leg`"));
    assert_eq!(both(250.0), []);
}

/// Half of a foot of 30 mm is 15 mm: at 12 mm it projects by 3 mm, at 410 mm of 420 by 5 mm.
#[test]
fn a_foot_does_not_project_beyond_its_tube() {
    let of = |at: f64| found("", &end("start", &[("tab", at, 0.0)]));
    let near = of(12.0);
    let wanted = "the foot of tab `tab`, 30 mm long, projects 3 mm beyond the start of tube `leg`";
    assert!(says(&near, Weight::Stop, wanted), "{near:?}");
    assert!(near[0].2.contains("make `at` 15 mm or more"), "{near:?}");
    let far = of(410.0);
    assert!(says(&far, Weight::Stop, "projects 5 mm beyond the end of tube `leg`"), "{far:?}");
    assert!(far[0].2.contains("make `at` 405 mm or less"), "{far:?}");
    assert_eq!((of(15.0), of(405.0)), (vec![], vec![]));
}

/// Two tubes take two stubs, with one in each end four; 60 mm of 100 go in, 101 mm do not, and 230 mm in
/// each end of 420 mm have no room.
#[test]
fn stubs_are_counted_and_have_a_depth() {
    let ends = |keys: &str| format!("[[tube_end]]\ntube = \"leg\"\nstub = \"spigot\"\n{keys}\n");
    let both = |keys: &str| ends(keys) + &ends(&format!("end = \"start\"\n{keys}"));
    let few = found(&stub(1), &ends(""));
    let wanted = "the job makes 1 of stub `spigot`, but its tubes need 2";
    assert!(says(&few, Weight::Caution, wanted), "{few:?}");
    assert!(!says(&found(&stub(2), &ends("")), Weight::Caution, "its tubes need"));
    assert!(says(&found(&stub(3), &both("")), Weight::Caution, "its tubes need 4"));
    let deep = found(&stub(2), &ends("depth = \"101 mm\""));
    let wanted = "stub `spigot` is 100 mm long: it cannot go 101 mm into tube `leg`";
    assert!(says(&deep, Weight::Stop, wanted), "{deep:?}");
    let long = stub(4).replace("100 mm", "300 mm");
    let meet = found(&long, &both("depth = \"230 mm\""));
    let wanted = "tube `leg` is 420 mm long between its ends, too short for what goes into them, 460 mm deep in all";
    assert!(says(&meet, Weight::Stop, wanted), "{meet:?}");
    assert!(!says(&found(&long, &both("depth = \"210 mm\"")), Weight::Stop, ""));
    let alone = "[[tube_end]]\ntube = \"leg\"\nbung = \"M18x1.5\"\ndepth = \"60 mm\"\n";
    assert!(says(&found("", alone), Weight::Stop, "but no stub is named"));
}

#[test]
fn a_stub_is_in_the_list_of_tubes_and_of_the_bench() {
    let job = |depth: &str| {
        let end = format!("[[tube_end]]\ntube = \"leg\"\nstub = \"spigot\"\n{depth}\n");
        let made = own::make("", &format!("{TOP}{}{end}", stub(2)));
        let made = made.unwrap_or_else(|found| panic!("{}", found[0].headline));
        let text = |name: &str| {
            let file = made.files.iter().find(|file| file.name == name).unwrap();
            String::from_utf8_lossy(&file.bytes).into_owned()
        };
        assert_eq!(
            made.report.tube_ends[0].inside.as_ref().unwrap().depth_mm,
            match depth {
                "" => None,
                _ => Some(60.0),
            }
        );
        [text("tubes.csv"), text("bench.csv"), text("report.html")]
    };
    let [tubes, bench, page] = job("depth = \"60 mm\"");
    assert!(tubes.contains("end: stub spigot, 60 mm deep"), "{tubes}");
    let wanted = "Fit stub spigot 60 mm deep into the end; mark the depth on the stub.";
    assert!(bench.contains(wanted), "{bench}");
    let wanted = "Weld stub spigot all round at the end, unless it is to come out.";
    assert!(bench.contains(wanted), "{bench}");
    assert!(page.contains("stub spigot: 60 mm deep, clearance on diameter"), "{page}");
    let [tubes, bench, _] = job("");
    assert!(tubes.contains("end: stub spigot") && !tubes.contains("deep"), "{tubes}");
    assert!(bench.contains("Fit stub spigot into the end."), "{bench}");
}

/// Square on 48.3 mm, 38 mm is cut away by 24.15 − √(24.15² − 19²) = 9.24 mm at its heel and by nothing a
/// quarter round it: half of a foot of 30 mm is clear of the cope from 24.3 and from 15.1 mm on.
#[test]
fn a_foot_is_not_over_the_void_of_a_cope() {
    let of = |cope: &str, ends: &str| {
        let top = TOP.replace("quantity = 2\n", &format!("quantity = 2\n{cope}\n"));
        let text = format!("{top}{ends}");
        let found = match own::asked("", &text, &mut Default::default()) {
            Ok((_, (_, found))) | Err(found) => found,
        };
        let own = found.into_iter().filter(|f| f.code == "tube-end");
        own.map(|f| (f.weight, f.headline, f.help.unwrap_or_default())).collect::<Vec<_>>()
    };
    let square = "start = { main = \"48.3 x 2.6\" }";
    let at = |at: f64, clock: f64| of(square, &end("start", &[("tab", at, clock)]));
    let over = at(20.0, 0.0);
    let wanted = "30 mm long, projects 4.243 mm over the cope at the start of tube `leg`";
    assert!(says(&over, Weight::Stop, wanted), "{over:?}");
    assert!(over[0].2.contains("make `at` 24.3 mm or more"), "{over:?}");
    assert!(says(&at(24.2, 180.0), Weight::Stop, "over the cope"));
    // The fillet of the tab, 3 mm, and one as large as the wall, 2 mm.
    for (place, clock) in [(24.3, 0.0), (29.2, 0.0), (15.3, 90.0), (20.0, 270.0)] {
        assert!(says(&at(place, clock), Weight::Caution, "too close to the cope at the start"));
    }
    let wanted = "0.057 mm from cope to foot, but the two fillets together need 5 mm";
    assert!(says(&at(24.3, 0.0), Weight::Caution, wanted), "{:?}", at(24.3, 0.0));
    assert!(at(24.3, 0.0)[0].2.contains("make `at` 29.3 mm or more"), "{:?}", at(24.3, 0.0));
    assert_eq!((at(29.3, 0.0), at(20.3, 90.0), at(20.3, 270.0)), (vec![], vec![], vec![]));
    // From the other end, which is square, the same place of the tube.
    let far = of(square, &end("end", &[("tab", 385.0, 0.0)]));
    assert!(says(&far, Weight::Stop, "over the cope at the start of tube `leg`"), "{far:?}");
    // At 45° the heel is the long point, and the throat is cut away.
    let leaning = "start = { main = \"48.3 x 2.6\", angle = \"45 deg\" }";
    let at = |clock: f64| of(leaning, &end("start", &[("tab", 26.0, clock)]));
    assert!(says(&at(180.0), Weight::Stop, "over the cope"), "{:?}", at(180.0));
    assert_eq!(at(0.0), []);
    // At the far end the heel is at the twist, here 90° from that of the start.
    let far = format!("twist = \"90 deg\"\n{}", leaning.replace("start", "end"));
    let at = |clock: f64| of(&far, &end("end", &[("tab", 26.0, clock)]));
    assert!(says(&at(270.0), Weight::Stop, "over the cope"), "{:?}", at(270.0));
    assert_eq!(at(90.0), []);
}

/// Feet of 16 mm are clear of each other 24 mm apart; round eyes of 18 mm radius overlap by 12 mm there, and
/// are clear 37 mm apart.
#[test]
fn tabs_are_clear_of_each_other_above_their_feet() {
    let wide = "[[part]]\nrecipe = \"tab\"\nname = \"wide\"\nsheet = \"4\"\nquantity = 9\n\
        given = { bolt = \"M6\", foot = \"16 mm\", reach = \"30 mm\", eye = \"18 mm\", weld = \"3 mm\" }\n";
    let of = |place: f64, clock: f64| {
        found(wide, &end("start", &[("wide", 100.0, 0.0), ("wide", place, clock)]))
    };
    let over = of(124.0, 0.0);
    let wanted = "two tabs `wide` touch or overlap above their feet on tube `leg`";
    assert!(says(&over, Weight::Stop, wanted), "{over:?}");
    assert_eq!((of(137.0, 0.0), of(124.0, 40.0)), (vec![], vec![]));
    // Across the tube at 40° to each other, the eyes 49 mm out are 2 · 49 · sin 20° = 33.5 mm apart, less than
    // both radii; feet of 10 mm are clear.
    let across = wide.replace("16 mm", "10 mm").replace("weld", "tube = \"38 mm\", weld");
    let of =
        |clock: f64| found(&across, &end("start", &[("wide", 100.0, 0.0), ("wide", 100.0, clock)]));
    assert!(says(&of(40.0), Weight::Stop, wanted), "{:?}", of(40.0));
    assert_eq!(of(110.0), []);
}

/// Plates round 38 mm: 42 mm apart they are 2 mm off on either side, which a fillet still fills; 42.5 mm
/// apart 2.25 mm. With 50 mm of play on each side they are set 138.5 mm apart for the widest tube.
#[test]
fn plates_are_not_set_too_far_off_their_tube() {
    let of = |keys: &str| {
        found("", &format!("[[tube_end]]\ntube = \"leg\"\ncheeks = \"tab\"\n{keys}\n"))
    };
    assert_eq!((of(""), of("gap = \"42 mm\"")), (vec![], vec![]));
    let wide = of("gap = \"42.5 mm\"");
    let wanted =
        "plates 42.5 mm apart leave a gap of 2.25 mm on each side of the end of tube `leg`";
    assert!(says(&wide, Weight::Caution, wanted), "{wide:?}");
    let play = of("play = \"50 mm\"");
    assert!(
        says(&play, Weight::Caution, "apart leave a gap of 50.25 mm on each side of the end"),
        "{play:?}"
    );
    assert!(play[0].2.starts_with("make `play` smaller"), "{play:?}");
    assert!(says(&of("play = \"50 mm\"\ngap = \"43 mm\""), Weight::Caution, "a gap of 2.5 mm"));
}

/// A stub of 100 mm that goes 60 mm in sticks out 40 mm: no cap goes there, and no main. Bungs M18x1.5 are
/// 41 mm inside without their shoulders of 4 mm.
#[test]
fn a_stub_is_clear_of_cap_main_and_bung() {
    let cap = "[[part]]\nrecipe = \"end-cap\"\nname = \"cap\"\nsheet = \"4\"\nquantity = 2\n\
        given = { tube = \"38 x 2\", seat = \"none\" }\n";
    let ends = |keys: &str| format!("[[tube_end]]\ntube = \"leg\"\nstub = \"spigot\"\n{keys}\n");
    let capped = |depth: &str| {
        found(&format!("{}{cap}", stub(2)), &ends(&format!("cap = \"cap\"\n{depth}")))
    };
    let out = capped("depth = \"60 mm\"");
    let wanted = "stub `spigot` sticks out 40 mm at the end of tube `leg`: cap `cap` has no room";
    assert!(says(&out, Weight::Stop, wanted), "{out:?}");
    assert!(!says(&capped("depth = \"100 mm\""), Weight::Stop, ""));
    assert!(says(
        &capped(""),
        Weight::Caution,
        "not judged: whether stub `spigot` is clear of cap"
    ));
    let coped = |more: &str| {
        let top =
            TOP.replace("quantity = 2\n", "quantity = 2\nstart = { main = \"48.3 x 2.6\" }\n");
        let ends = ends("end = \"start\"\ndepth = \"30 mm\"");
        let text = format!("{top}{}{more}{ends}", stub(2));
        let found = match own::asked("", &text, &mut Default::default()) {
            Ok((_, (_, found))) | Err(found) => found,
        };
        found.into_iter().map(|f| (f.weight, f.headline, String::new())).collect::<Vec<_>>()
    };
    let wanted = "the start of tube `leg` is coped: stub `spigot` would go into the main it meets";
    assert!(says(&coped(""), Weight::Stop, wanted), "{:?}", coped(""));
    let own = coped("end = { main = \"48.3 x 2.6\" }\n");
    assert!(
        says(&own, Weight::Caution, "not judged: whether stub `spigot` clears the main"),
        "{own:?}"
    );
    // 100 − 4 = 96 mm: 41 mm of bung and 60 mm of stub have no room, 55 mm have.
    let short = |keys: &str| {
        let top = TOP.replace("38 x 2\"\nlength = \"420 mm\"", "38 x 3\"\nlength = \"100 mm\"");
        let bung = "[[tube_end]]\ntube = \"leg\"\nend = \"start\"\nbung = \"M18x1.5\"\n";
        let text = format!("{top}{}{bung}{keys}", stub(2).replace("33 mm", "31.5 mm"));
        let found = match own::asked("", &text, &mut Default::default()) {
            Ok((_, (_, found))) | Err(found) => found,
        };
        found.into_iter().map(|f| (f.weight, f.headline, String::new())).collect::<Vec<_>>()
    };
    let wanted = "tube `leg` is 96 mm long between its ends, too short for what goes into them, 101 mm deep in all";
    let full = short(&ends("depth = \"60 mm\""));
    assert!(says(&full, Weight::Stop, wanted), "{full:?}");
    assert!(!says(&short(&ends("depth = \"55 mm\"")), Weight::Stop, "too short for"));
    let both = "[[tube_end]]\ntube = \"leg\"\nbung = \"M18x1.5\"\n";
    assert!(!says(&short(both), Weight::Stop, "too short for"), "82 of 92 mm");
}

/// Stubs of 300 mm in both ends of a tube of 420 mm: 600 mm in all, if they go in to their full length.
#[test]
fn stubs_without_a_depth_may_meet() {
    let ends = |one: &str, other: &str| {
        let of = |end: &str, depth: &str| {
            format!("[[tube_end]]\ntube = \"leg\"\nend = \"{end}\"\nstub = \"spigot\"\n{depth}\n")
        };
        format!("{}{}", of("start", one), of("end", other))
    };
    let long = stub(4).replace("100 mm", "300 mm");
    let wanted =
        "not judged: whether all that goes into tube `leg` has room: stub `spigot` has no `depth`";
    for (one, other, is_said) in [
        ("", "", true),
        ("depth = \"200 mm\"", "", true),
        ("depth = \"100 mm\"", "", false),
        ("depth = \"200 mm\"", "depth = \"200 mm\"", false),
    ] {
        let found = found(&long, &ends(one, other));
        assert_eq!(says(&found, Weight::Caution, wanted), is_said, "{one} {other} {found:?}");
    }
}
