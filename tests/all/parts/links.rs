//! Links and their clevises: one rod end in one place, and everything that follows.

use platewright::diag::Finding;
use platewright::diag::Sources;
use platewright::formula::Value;
use platewright::job;
use platewright::job::Job;
use platewright::job::Shelf;
use platewright::make;
use platewright::make::Made;
use platewright::place;
use platewright::solve;
use platewright::solve::Solved;
use platewright::table::Tables;
use proptest::prelude::*;
use std::fs;
use std::path::Path;

type Solution = (Job, Vec<Solved>, Vec<Finding>);

fn with_shelf<T>(text: &str, run: impl FnOnce(Solution, &Sources) -> T) -> Result<T, Vec<Finding>> {
    let tables = Tables::shipped();
    let parts = Path::new(env!("CARGO_MANIFEST_DIR")).join("parts");
    let shipped = Shelf::shipped(&tables);
    let recipe = |wanted: &str| match wanted {
        "bridged" => Some(("bridged.toml".to_owned(), BRIDGED.to_owned())),
        _ => (shipped.recipe)(wanted),
    };
    let file = |name: &str| {
        let text = fs::read_to_string(parts.join("jobs").join(name)).ok()?;
        Some((name.to_owned(), text))
    };
    let drawing = |name: &str| fs::read(parts.join(name)).ok();
    let shelf = Shelf { file: &file, drawing: &drawing, recipe: &recipe, ..shipped };
    let mut sources = Sources::default();
    let source = sources.add("job.toml", text);
    let job = job::read("job", source, text, &shelf, &mut sources)?;
    let (solved, found) = solve::solve(&job, &shelf, &mut sources, &|| {})?;
    Ok(run((job, solved, found), &sources))
}

fn solve(text: &str) -> Result<Solution, Vec<Finding>> {
    with_shelf(text, |solution, _| solution)
}

fn make(text: &str) -> (Job, Vec<Solved>, Made) {
    let run = |(job, solved, found): Solution, sources: &Sources| {
        let made = make::make(&job, &solved, found, sources, &place::Search::none())
            .expect("it can be made");
        (job, solved, made)
    };
    with_shelf(text, run).expect("it can be solved")
}

fn length(solved: &Solved, name: &str) -> f64 {
    match solved.params.get(name) {
        Some(Value::Quantity(q)) => q.value,
        other => panic!("`{name}` is {other:?}"),
    }
}

const HEAD: &str = r#"
process = "waterjet"

[[sheet]]
name      = "4 mm"
material  = "S235"
thickness = "4 mm"
stock     = [ { size = ["1000 mm", "500 mm"] } ]
"#;

/// Ears with a web beside the pin.
const BRIDGED: &str = r#"
about  = "Ear beside a web that rises past its pin"
copies = 2

[inputs]
rod_end = { kind = "rod-end", default = "M10", about = "between the ears" }

[clevis]
rod_end = "rod_end"
gap     = "14.2 mm"
eye     = "ear.eye"
floor   = "60 mm"
bridge  = { at = ["-30 mm", "0"], width = "4 mm", height = "80 mm" }

[face.ear]
blank = [ { add = "disc", radius = "20 mm" } ]
holes = [ { name = "eye", diameter = "10.5 mm", for = "rod_end", role = "eye" } ]
"#;

/// A link with a clevis at its first end.
fn link(more: &str, part: &str) -> String {
    format!(
        "{HEAD}\n[[link]]\nname = \"drag-link\"\n{more}\n[[part]]\nrecipe = \"clevis-plates\"\n\
         name = \"ears\"\nsheet = \"4 mm\"\nlink = \"drag-link\"\n{part}"
    )
}

/// An M10 and an M8 rod end, both left at 10 mm engaged at the least: the M10 starts at 18.75 mm and screws
/// in by 23 − 18.75 = 4.25, out by 8.75; the M8 starts at 15 mm, 21 − 15 = 6 in, 5 out. Each turned by
/// itself: 620 − 10.25 to 620 + 13.75. By the tube the M10 stops it after 4.25 / 1.5 turns inwards, the M8
/// after 5 / 1.25 = 4 turns outwards, of 2.75 mm each: 612.208 to 631. A place 632 mm away is reached with an end off
/// its pin alone, one 630 mm away by the tube, one 634 mm away not at all.
#[test]
fn the_first_end_without_thread_stops_the_turning() {
    let ends =
        "rod_end = [\"M10\", \"M8\"]\ntube = \"25 x 2.5\"\nbung = [\"M10x1.5\", \"turned\"]\n";
    let text = format!("{HEAD}\n[[link]]\nname = \"brace\"\npins = \"620 mm\"\n{ends}");
    let (job, _, made) = make(&text);
    let setting = job.links[0].setting();
    let by_hand = [609.75, 633.75, 620.0 - 4.25 / 1.5 * 2.75, 631.0];
    let sums = [setting.shortest, setting.longest, setting.turned[0], setting.turned[1]];
    for (sum, hand) in sums.iter().zip(by_hand) {
        assert!((sum - hand).abs() < 1e-9, "{sums:?}");
    }
    let rooms = job.links[0].ends.each_ref().map(|end| end.room(job.links[0].min));
    assert_eq!(rooms, [[4.25, 8.75], [6.0, 5.0]]);
    let page = made.files.iter().find(|file| file.name == "report.html").unwrap();
    let page = String::from_utf8_lossy(&page.bytes).into_owned();
    let wanted = "adjustable from 609.75 mm to 633.75 mm with each end turned off its pin; by turning the \
                  tube from 612.21 mm to 631 mm";
    assert!(page.contains(wanted), "{page}");
    let equal = link("pins = \"620 mm\"\nrod_end = \"M10\"", "");
    let setting = make(&equal).0.links[0].setting();
    assert_eq!(setting.turned, [setting.shortest, setting.longest]);
    let at = |far: f64| {
        let points = format!(
            "[points]\nA = [\"0 mm\", \"0 mm\", \"0 mm\"]\nB = [\"620 mm\", \"0 mm\", \"0 mm\"]\n\
             C = [\"{far} mm\", \"0 mm\", \"0 mm\"]\n"
        );
        let link = "[[link]]\nname = \"brace\"\nfrom = \"A\"\nto = \"B\"\ntravel = [\"C\"]\n";
        let found = match solve(&format!("{HEAD}\n{points}{link}{ends}")) {
            Ok((_, _, found)) | Err(found) => found,
        };
        let own = found.into_iter().filter(|f| f.code == "link-travel");
        own.map(|f| format!("{}: {}", f.weight, f.headline)).collect::<Vec<String>>()
    };
    assert_eq!(at(630.0), Vec::<String>::new());
    let off = at(632.0);
    assert_eq!(off.len(), 1, "{off:?}");
    assert!(off[0].starts_with("caution: `brace` is to reach `C`, 632 mm from pin to pin, but turning the tube adjusts it only from 612.21 mm to 631 mm"), "{off:?}");
    assert!(at(634.0)[0].starts_with("stop: "), "{:?}", at(634.0));
}

/// The demo's drag link by hand, with the figures of the tables: M10 rod ends 48 mm from the
/// ball to the end of the shank, 28 mm of it threaded, jam nuts of 5 mm, bungs with 25 mm of
/// thread and a shoulder of 3 mm. Engaged by ¾ × 25 = 18.75 mm each projects by 29.25 mm: tube and
/// bungs 620 − 2 × 29.25 = 561.5 mm, the tube alone 555.5 mm. Screwed out to one diameter, 10 mm:
/// 620 + 2 × 8.75 = 637.5 mm. Screwed in until 28 − 5 = 23 mm are engaged: 620 − 2 × 4.25 = 611.5
/// mm. One turn of the tube moves 2 × 1.5 mm. Over the heads of 28 mm the longest is 637.5 + 28 =
/// 665.5 mm.
#[test]
fn the_sums_of_a_link_are_those_done_by_hand() {
    let (job, ..) = solve(&link("pins = \"620 mm\"\nrod_end = \"M10\"", "")).unwrap();
    let setting = job.links[0].setting();
    let by_hand = [555.5, 561.5, 611.5, 637.5, 665.5, 3.0];
    let sums = [
        setting.cut,
        setting.welded,
        setting.shortest,
        setting.longest,
        setting.over_all,
        setting.per_turn,
    ];
    for (sum, hand) in sums.iter().zip(by_hand) {
        assert!((sum - hand).abs() < 1e-9, "{sums:?}");
    }
}

#[test]
fn one_word_changes_link_holes_gap_ears_tube_and_hardware() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("parts/jobs/vineyard-cart.toml");
    let before = fs::read_to_string(path).unwrap();
    let after = before.replacen("rod_end  = \"M10\"", "rod_end  = \"M12\"", 1);
    assert_ne!(before, after, "the demo's drag link has M10 rod ends");
    let (old_job, old, old_made) = make(&before);
    let (new_job, new, new_made) = make(&after);
    let rod_ends = |job: &Job| job.links[0].ends.each_ref().map(|e| e.rod_end.name().to_owned());
    assert_eq!(rod_ends(&old_job), ["M10", "M10"]);
    assert_eq!(rod_ends(&new_job), ["M12", "M12"]);
    // Tube and bungs follow the thread; 620 − 2 × (54 − 22.5) − 2 × 3 = 551.
    assert_eq!(
        (old_job.links[0].tube.name(), new_job.links[0].tube.name()),
        ("25 x 2.5", "28 x 2")
    );
    assert!((new_job.links[0].setting().cut - 551.0).abs() < 1e-9);
    let mut ears = 0;
    for (old, new) in old.iter().zip(&new) {
        if !new.name.starts_with("ears-drag-link") {
            assert_eq!(old.flat.region, new.flat.region, "{} has nothing to do with it", new.name);
            continue;
        }
        ears += 1;
        // ISO 273 close 10.5 and 13, and two films; balls 14 and 16, 0.25 of play, two films.
        for (solved, hole, gap) in [(old, 10.66, 14.41), (new, 13.16, 16.41)] {
            assert!((length(solved, "hole") - hole).abs() < 1e-9, "{}", solved.name);
            assert!((length(solved, "gap") - gap).abs() < 1e-9, "{}", solved.name);
            assert!((length(solved, "eye") - 1.5 * hole).abs() < 1e-9, "{}", solved.name);
        }
    }
    assert_eq!(ears, 2);
    // kind, thread, …, parts
    let sizes = |made: &Made, kind: &str| {
        let list = made.files.iter().find(|f| f.name == "hardware.csv").unwrap();
        let mut reader = csv::Reader::from_reader(list.bytes.as_slice());
        let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        let of_drag = rows.iter().filter(|r| &r[0] == kind && r[8].contains("drag-link"));
        let mut sizes: Vec<String> = of_drag.map(|row| row[1].to_owned()).collect();
        sizes.dedup();
        sizes
    };
    assert_eq!(
        (sizes(&old_made, "bolt"), sizes(&new_made, "bolt")),
        (vec!["M10".into()], vec!["M12".into()])
    );
    for kind in ["rod end", "bung", "jam nut"] {
        assert_eq!(sizes(&old_made, kind), ["M10x1.5"], "{kind}");
        assert_eq!(sizes(&new_made, kind), ["M12x1.75"], "{kind}");
    }
}

#[test]
fn an_open_spacer_is_the_thinnest_that_swings_enough() {
    let part = "given = { swing = \"9 deg\" }\nopen = { spacer = [\"0 mm\", \"1 mm\", \"2 mm\", \"3 mm\"] }\n";
    let (_, solved, _) = solve(&link("pins = \"620 mm\"\nrod_end = \"M12\"", part)).unwrap();
    let choice = solved[0].choice.as_deref().unwrap();
    let lighter = choice.lighter.as_ref().unwrap();
    assert_eq!(choice.chosen, [("spacer".to_owned(), "2 mm".to_owned())]);
    assert_eq!((lighter.code, lighter.values[0].1.as_str()), ("rod-end-swing", "1 mm"));
}

#[test]
fn each_end_brings_its_own_rod_end_and_spacer() {
    let ends = "pins = \"620 mm\"\nrod_end = [\"M10\", \"3/8\"]\nspacer = [\"0 mm\", \"2 mm\"]\n\
        tube = \"25 x 2.5\"\nbung = [\"M10x1.5\", \"3/8-24\"]";
    let (job, solved, _) = solve(&link(ends, "end = 2")).unwrap();
    assert!((length(&solved[0], "gap") - (12.7 + 4.0 + 0.25)).abs() < 1e-9);
    let [first, second] = &job.links[0].ends;
    assert!((first.pitch() - 1.5).abs() < 1e-9 && (second.pitch() - 25.4 / 24.0).abs() < 1e-9);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn the_gap_that_is_asked_for_grows_by_two_films_and_is_the_same_when_coated(
        film in 0.0..0.4f64, more in 0.0..0.4f64,
    ) {
        let gap = |film: f64| {
            let text = link("pins = \"620 mm\"\nrod_end = \"M10\"", "");
            let (_, solved, _) = solve(&format!("coating = \"{film} mm\"{text}")).unwrap();
            length(&solved[0], "gap")
        };
        let (thin, thick) = (gap(film), gap(film + more));
        prop_assert!(thick >= thin - 1e-9);
        prop_assert!((thin - 2.0 * film - 14.25).abs() < 1e-9);
        prop_assert!((thick - 2.0 * (film + more) - 14.25).abs() < 1e-9);
    }

    #[test]
    fn a_link_grows_by_what_its_pins_are_further_apart(
        pins in 200.0..900.0f64, more in 0.0..900.0f64,
    ) {
        let setting = |pins: f64| {
            let text = link(&format!("pins = \"{pins} mm\"\nrod_end = \"M10\""), "");
            solve(&text).unwrap().0.links[0].setting()
        };
        let (short, long) = (setting(pins), setting(pins + more));
        for (short, long) in [
            (short.cut, long.cut),
            (short.welded, long.welded),
            (short.shortest, long.shortest),
            (short.longest, long.longest),
            (short.over_all, long.over_all),
        ] {
            prop_assert!((long - short - more).abs() < 1e-9);
        }
        prop_assert_eq!(short.per_turn, long.per_turn);
    }
}

/// The report's row of the first part.
fn row(text: &str) -> serde_json::Value {
    let (_, _, made) = make(text);
    let report = made.files.iter().find(|f| f.name == "report.json").unwrap();
    let report: serde_json::Value = serde_json::from_slice(&report.bytes).unwrap();
    report["parts"][0].clone()
}

fn number(value: &serde_json::Value, path: &str) -> f64 {
    value.pointer(path).and_then(serde_json::Value::as_f64).unwrap_or_else(|| panic!("{path}"))
}

/// Ears whose reach is left open for an angle that is wanted.
fn open_reach(wanted: &str) -> String {
    let part = format!(
        "given = {{ {wanted} }}\n\
         open = {{ reach = {{ from = \"17 mm\", to = \"70 mm\", step = \"1 mm\" }} }}\n"
    );
    link("pins = \"620 mm\"\nrod_end = \"M10\"", &part)
}

/// The chosen reach in mm, and the check the next smaller one fails.
fn chosen_reach(wanted: &str) -> (f64, &'static str) {
    let (_, solved, _) = solve(&open_reach(wanted)).unwrap_or_else(|found| panic!("{found:#?}"));
    let choice = solved[0].choice.as_deref().unwrap();
    let mm = |text: &str| text.trim_end_matches(" mm").parse::<f64>().unwrap();
    let chosen = mm(&choice.chosen[0].1);
    assert!((chosen - length(&solved[0], "reach")).abs() < 1e-9);
    let lighter = choice.lighter.as_ref();
    assert!(lighter.is_none_or(|l| (mm(&l.values[0].1) - (chosen - 1.0)).abs() < 1e-9));
    (chosen, lighter.map_or("", |l| l.code))
}

/// The smallest reach that turns as far as is wanted: with a larger angle it never
/// becomes smaller, and one millimetre less is refused for that very angle.
#[test]
fn an_open_reach_is_the_smallest_that_gives_the_angle() {
    let chosen = [90.0, 105.0, 112.0]
        .map(|angle| chosen_reach(&format!("tube = \"60.3 mm\", rotation = \"{angle} deg\"")));
    let mut governed = 0;
    for pair in chosen.windows(2) {
        let ((before, _), (after, why)) = (pair[0], pair[1]);
        assert!(after >= before, "{chosen:?}");
        governed += usize::from(after > before && why == "rod-end-rotation");
    }
    assert!(governed >= 2, "the angle governs: {chosen:?}");
}

/// The finding of the next smaller reach is the one it has when it is given.
#[test]
fn the_reach_below_the_chosen_one_is_refused_as_it_is_said() {
    let wanted = "tube = \"60.3 mm\", rotation = \"110 deg\"";
    let (chosen, code) = chosen_reach(wanted);
    let given = |reach: f64| {
        let part = format!("given = {{ {wanted}, reach = \"{reach} mm\" }}\n");
        solve(&link("pins = \"620 mm\"\nrod_end = \"M10\"", &part))
    };
    assert!(given(chosen).unwrap().2.is_empty());
    let refused = given(chosen - 1.0).unwrap_err();
    assert_eq!(refused.iter().map(|f| f.code).collect::<Vec<_>>(), [code]);
    let report = row(&open_reach(wanted));
    assert_eq!(report["open"]["governed_by"], code);
    let said = report["open"]["failed_on"].as_str().unwrap();
    assert_eq!(said, refused[0].headline);
}

/// An endless floor leaves a quarter turn; the tube of a link is thicker than its shank.
#[test]
fn a_link_turns_less_than_its_rod_end_alone() {
    let alone = |more: &str| {
        format!(
            "{HEAD}\n[[part]]\nrecipe = \"clevis-plates\"\nname = \"ears\"\nsheet = \"4 mm\"\n\
                 given = {{ rod_end = \"M10\"{more} }}\n"
        )
    };
    let flat = row(&alone(""));
    for side in ["anticlockwise_deg", "clockwise_deg"] {
        assert!(
            (number(&flat, &format!("/clevis/rotation/{side}")) - 90.0).abs() < 0.01,
            "{flat:#}"
        );
    }
    assert_eq!(flat["clevis"]["rotation"]["touches"], "plate below");
    let tube = row(&alone(", tube = \"60.3 mm\""));
    let with_link =
        row(&link("pins = \"620 mm\"\nrod_end = \"M10\"", "given = { tube = \"60.3 mm\" }\n"));
    let [alone, with_link] =
        [&tube, &with_link].map(|row| number(row, "/clevis/rotation/anticlockwise_deg"));
    assert!(90.0 < with_link && with_link < alone, "{with_link} {alone}");
    // To the left it has what leaning to the left takes.
    let leaning = row(&link(
        "pins = \"620 mm\"\nrod_end = \"M10\"",
        "given = { tube = \"60.3 mm\", direction = \"20 deg\" }\n",
    ));
    let [left, right] = ["anticlockwise", "clockwise"]
        .map(|s| number(&leaning, &format!("/clevis/rotation/{s}_deg")));
    assert!((left - (with_link - 20.0)).abs() < 0.02 && (right - (with_link + 20.0)).abs() < 0.02);
}

/// With room between wide ears, the head tilts until it meets a thick fillet along their foot.
#[test]
fn a_weld_between_the_ears_is_in_the_way_of_a_tilt() {
    let part = "given = { clearance = \"0.2 mm\", spacer = \"3.5 mm\", reach = \"17 mm\", weld = \"4 mm\" }\n";
    let welded = row(&link("pins = \"620 mm\"\nrod_end = \"M10\"", part));
    assert_eq!(welded["clevis"]["swing"]["touches"], "weld", "{welded:#}");
    // By hand: the fillet leaves 21.2 / 2 − 4 = 6.6 beside the middle, and reaches under the edge
    // of the head: 14 sin α + 5.25 cos α = 6.6; √(14² + 5.25²) = 14.952, atan(5.25 / 14) =
    // 20.556°, asin(6.6 / 14.952) = 26.192°: 5.636°.
    let tilt = number(&welded, "/clevis/swing/towards_nut_deg");
    assert!((tilt - 5.636).abs() < 0.01, "{tilt}");
    let without =
        row(&link("pins = \"620 mm\"\nrod_end = \"M10\"", &part.replace("4 mm", "0.2 mm")));
    assert!(number(&without, "/clevis/swing/towards_nut_deg") > tilt);
}

/// A web that rises past the pin, 28 mm aside and 40 mm up: its corner is atan(28 / 40) = 34.992°
/// aside and 48.826 mm off; the shank meets it asin(5 / 48.826) = 5.878° earlier.
#[test]
fn a_bridge_between_the_ears_stops_a_turn_to_its_side() {
    let text =
        format!("{HEAD}\n[[part]]\nrecipe = \"bridged\"\nname = \"ears\"\nsheet = \"4 mm\"\n");
    let rotation = &row(&text)["clevis"]["rotation"];
    assert_eq!(rotation["touches"], "bridge of the ears", "{rotation}");
    assert!((number(rotation, "/anticlockwise_deg") - 29.114).abs() < 0.01, "{rotation}");
    assert_eq!(rotation["touches_there"], "plate below", "{rotation}");
}

/// An end cap's nut in a tube of 60.3 × 2.9, its weld flush: the corners of the table, and by
/// hand for M12: (54.5 − 20.785 − 2 × 1.65) / 2 = 15.2075; the narrowest tube is 0.603 smaller
/// outside and 0.29 thicker: (53.317 − 24.085) / 2 = 14.616.
#[test]
fn a_captured_nut_is_told_with_the_corners_of_the_table() {
    let cap = |nut: &str| {
        row(&format!(
            "{HEAD}\n[[part]]\nrecipe = \"end-cap\"\nname = \"cap\"\nsheet = \"4 mm\"\n\
             given = {{ outside = \"60.3 mm\", wall = \"2.9 mm\", nut = \"{nut}\" }}\n"
        ))
    };
    for (nut, corners) in [("M8", 15.011), ("M10", 18.475), ("M12", 20.785), ("1/2", 0.866 * 25.4)]
    {
        let is = number(&cap(nut), "/captured_nut/corners_mm");
        assert!((is - corners).abs() < 1e-4, "{nut}: {is}");
    }
    let m12 = cap("M12");
    assert!((number(&m12, "/captured_nut/clearance_mm") - 15.2075).abs() < 1e-4, "{m12:#}");
    assert!(
        (number(&m12, "/captured_nut/worst_case_clearance_mm") - 14.616).abs() < 1e-4,
        "{m12:#}"
    );
}
