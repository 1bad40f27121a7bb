//! Drawings of parts that are stopped, and of what has no room on a first sheet: what they say, and that
//! nothing on them lies on anything else.

use crate::files::drawn::text;
use crate::files::drawn::words;
use crate::files::shop_drawings::faults;
use crate::files::shop_drawings::solve;
use platewright::diag::Finding;
use platewright::drawings;
use platewright::paper::Format;
use platewright::paper::Pages;

/// A box, a hat and a tab in inches.
const JOB: &str = "units = \"in\"\nprocess = \"waterjet\"\nshop = \"shop.toml\"\n\
    [[sheet]]\nname = \"steel\"\nmaterial = \"S235\"\nthickness = \"1.5 mm\"\nstock = []\n\
    [[part]]\nrecipe = \"box-bracket\"\nname = \"box-fuse\"\nsheet = \"steel\"\n\
    given = { length = \"5 in\", width = \"3 in\", bolt = \"#10\" }\n\
    [[part]]\nrecipe = \"hat\"\nname = \"hat\"\nsheet = \"steel\"\n\
    [[part]]\nrecipe = \"tab\"\nname = \"tab\"\nsheet = \"steel\"\n";

/// Every part with two stops, on every format.
#[test]
fn every_sheet_of_a_stopped_part_says_so_and_nothing_lies_on_it() {
    let (job, mut all) = solve(JOB, "");
    for part in &mut all {
        for what in ["a flange hits the punch", "a hole is cut away by another"] {
            let note = "face `left` is too long for every setup of this shop by a wide margin";
            part.found
                .push(Finding::stop("bend-sequence", what).note(note).help("make it shorter"));
        }
    }
    let mut faulty = Vec::new();
    for format in [Format::A4, Format::Letter] {
        for part in &all {
            let drawing = drawings::shop_drawing(&job, &all, part, format);
            for (i, page) in drawing.pages.iter().enumerate() {
                let says = words(page).iter().any(|words| words.text == "NOT FOR MANUFACTURE");
                assert!(says, "{}, sheet {}: {}", part.name, i + 1, text(&drawing));
            }
            faulty.extend(faults(&drawing).into_iter().map(|fault| (part.name.clone(), fault)));
        }
    }
    assert!(faulty.is_empty(), "{faulty:#?}");
    let (job, all) = solve(JOB, "");
    let drawing = drawings::shop_drawing(&job, &all, &all[2], Format::Letter);
    assert!(!text(&drawing).contains("NOT FOR MANUFACTURE"), "{}", text(&drawing));
}

/// A plate with letters of sixty holes and more.
fn lettered(count: usize) -> Pages {
    let own = format!(
        "about = \"x\"\n[face.plate]\nblank = [ {{ add = \"rectangle\", width = \"400 mm\", height = \"150 mm\" }} ]\n\
         holes = [ {{ name = \"vent\", at = [\"0\", \"0\"], diameter = \"9 mm\", \
         grid = {{ columns = \"{count}\", rows = \"5\", pitch = [\"15 mm\", \"25 mm\"] }} }} ]\n"
    );
    let job = "process = \"laser\"\n[[sheet]]\nname = \"steel\"\nmaterial = \"S235\"\n\
               thickness = \"3 mm\"\nstock = []\n[[part]]\nrecipe = \"own\"\nname = \"own\"\nsheet = \"steel\"\n";
    let (job, all) = solve(job, &own);
    drawings::shop_drawing(&job, &all, &all[0], Format::A4)
}

#[test]
fn a_flat_says_on_which_sheet_the_sizes_and_centres_of_its_holes_are() {
    let mut pointed = 0;
    for count in [3, 12, 20, 24] {
        let drawing = lettered(count);
        let first: Vec<&str> = words(&drawing.pages[0]).iter().map(|w| w.text.as_str()).collect();
        let on = |heading: &str| {
            let is_on = |i: &usize| {
                words(&drawing.pages[*i]).iter().any(|words| words.text.starts_with(heading))
            };
            (0..drawing.pages.len()).find(is_on).map(|i| i + 1)
        };
        let said =
            first.iter().find(|text| text.starts_with("hole ") && text.contains("see sheet"));
        match on("Hole centres").filter(|sheet| *sheet > 1) {
            Some(sheet) => {
                let said = said.unwrap_or_else(|| panic!("{count}: {first:?}"));
                assert!(
                    said.contains("centres") && said.ends_with(&format!("sheet {sheet}")),
                    "{said}"
                );
                pointed += 1;
            }
            None => assert!(
                on("Hole sizes").is_some_and(|s| s > 1) || said.is_none(),
                "{count}: {said:?}"
            ),
        }
        assert!(!first.iter().any(|text| text.contains("another sheet")), "{first:?}");
        assert!(faults(&drawing).is_empty(), "{:?}", faults(&drawing));
    }
    assert!(pointed > 0, "all tables are on the first sheet");
}

/// The letter of the slot of a quadrant is next to the slot, in the plate.
#[test]
fn the_letter_of_a_curved_slot_is_beside_it() {
    let job = "process = \"laser\"\n[[sheet]]\nname = \"steel\"\nmaterial = \"S235\"\nthickness = \"3 mm\"\n\
               stock = []\n[[part]]\nrecipe = \"quadrant\"\nname = \"quadrant\"\nsheet = \"steel\"\n";
    let (job, all) = solve(job, "");
    let drawing = drawings::shop_drawing(&job, &all, &all[0], Format::A4);
    let page = &drawing.pages[0];
    let letter = words(page).into_iter().find(|words| words.text == "B" && words.height > 3.0);
    let at = letter.expect("the slot has a letter").bounds().centre();
    let lines = crate::files::drawn::lines(page);
    let near = lines.iter().flatten().map(|p| (*p - at).hypot()).fold(f64::INFINITY, f64::min);
    assert!(near < 6.0, "{near} mm from the nearest line");
    let pivot = words(page).into_iter().find(|words| words.text == "A" && words.height > 3.0);
    let pivot = pivot.expect("the pivot has a letter").bounds().centre();
    // The outline is 93.5 mm from the pivot, the slot 75.5 to 84.5 mm, at a scale of 1:1.
    assert!((at - pivot).hypot() < 96.0, "{at:?} and {pivot:?}");
    assert!(faults(&drawing).is_empty(), "{:?}", faults(&drawing));
}

/// What the bearing carries is not what the plate carries.
#[test]
fn the_rating_of_a_bearing_is_said_to_be_that_of_the_bearing() {
    let job = "process = \"waterjet\"\n[[sheet]]\nname = \"steel\"\nmaterial = \"S235\"\nthickness = \"4 mm\"\n\
               stock = []\n[[part]]\nrecipe = \"bellcrank\"\nname = \"crank\"\nsheet = \"steel\"\n";
    let (job, all) = solve(job, "");
    let said = text(&drawings::shop_drawing(&job, &all, &all[0], Format::A4));
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(!said.contains("Load: "), "{said}");
    let rating = "Bearing static rating: ";
    for wanted in [rating, "(of the bearing alone)", "Bearing ring: ", "thinner than the ring"] {
        assert!(said.contains(wanted), "{wanted}: {said}");
    }
}
