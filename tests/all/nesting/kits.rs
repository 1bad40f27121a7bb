//! Kits are kept together: counted from the layout, sheet by sheet.

use crate::nesting::nest_relations::item;
use platewright::geom::Point;
use platewright::geom::Region;
use platewright::geom::rectangle;
use platewright::nest::Item;
use platewright::nest::Layout;
use platewright::nest::Rules;
use platewright::nest::Stock;
use platewright::nest::audit;
use platewright::nest::nest;
use platewright::nest::unwatched;
use proptest::prelude::*;
use serde_json::Value;
use std::collections::BTreeMap;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::Command;
use tempfile::TempDir;

const RULES: Rules = Rules {
    gap: 3.0,
    margin: 5.0,
    min_cut_out: 0.0,
    cut_out_gap: 0.0,
    min_remnant: 100.0,
    units: 20_000,
    stop_at: None,
    extra_metal: None,
    seed: 1,
};

/// With their gaps eight squares of 100 mm fill a sheet of 413 mm by 213 mm.
fn squares(quantity: u32, kit: Option<usize>) -> Item {
    let square = rectangle(Point::ZERO, 97.0, 97.0, 0.0).unwrap();
    Item { kit, ..Item::new(Region::solid(square), quantity) }
}

fn sheets(count: Option<u32>) -> [Stock; 1] {
    [Stock { count, ..Stock::whole(413.0, 213.0).unwrap() }]
}

/// By kit, the sheets that have parts of it.
fn sheets_of(items: &[Item], layout: &Layout) -> BTreeMap<usize, Vec<usize>> {
    let mut on: BTreeMap<usize, BTreeSet<usize>> = BTreeMap::new();
    for (i, sheet) in layout.sheets.iter().enumerate() {
        for kit in sheet.placed.iter().filter_map(|p| items[p.item].kit) {
            on.entry(kit).or_default().insert(i);
        }
    }
    on.into_iter().map(|(kit, on)| (kit, on.into_iter().collect())).collect()
}

fn placed(layout: &Layout) -> usize {
    layout.sheets.iter().map(|sheet| sheet.placed.len()).sum()
}

#[test]
fn a_kit_is_not_divided_to_save_a_sheet() {
    let stock = sheets(None);
    for units in [0, RULES.units] {
        let rules = Rules { units, ..RULES };
        let items = [squares(5, Some(0)), squares(5, Some(1)), squares(5, Some(2))];
        let layout = nest(&items, &stock, rules, &unwatched);
        assert_eq!(audit(&items, &stock, rules, &layout), Ok(()));
        assert_eq!((placed(&layout), layout.sheets.len()), (15, 3));
        assert!(sheets_of(&items, &layout).values().all(|on| on.len() == 1));
        // Without kits two sheets are enough.
        let loose = items.map(|item| Item { kit: None, ..item });
        let layout = nest(&loose, &stock, rules, &unwatched);
        assert_eq!((placed(&layout), layout.sheets.len()), (15, 2));
    }
}

#[test]
fn what_is_in_no_kit_fills_the_sheets_of_the_kits() {
    let items = [squares(9, None), squares(5, Some(0)), squares(5, Some(1)), squares(5, Some(2))];
    let layout = nest(&items, &sheets(None), RULES, &unwatched);
    assert_eq!(audit(&items, &sheets(None), RULES, &layout), Ok(()));
    assert_eq!((placed(&layout), layout.sheets.len()), (24, 3));
    assert!(sheets_of(&items, &layout).values().all(|on| on.len() == 1));
}

#[test]
fn a_kit_too_large_for_one_sheet_is_on_sheets_that_follow_one_another() {
    // By area they are larger than the other kits, and the loose part is the largest of all.
    let large = rectangle(Point::ZERO, 397.0, 197.0, 0.0).unwrap();
    let items = [
        squares(6, Some(0)),
        squares(12, Some(1)),
        Item::new(Region::solid(large), 1),
        squares(6, Some(2)),
        squares(11, Some(3)),
    ];
    for count in [None, Some(7)] {
        let stock = sheets(count);
        let layout = nest(&items, &stock, RULES, &unwatched);
        assert_eq!(audit(&items, &stock, RULES, &layout), Ok(()));
        assert_eq!(placed(&layout), 36);
        let on = sheets_of(&items, &layout);
        let lengths = on.values().map(Vec::len).collect::<Vec<_>>();
        assert_eq!(lengths, [1, 2, 1, 2], "{on:?}");
        assert!(on.values().all(|on| on.windows(2).all(|two| two[1] == two[0] + 1)), "{on:?}");
    }
}

#[test]
fn a_kit_is_divided_rather_than_left_over() {
    let items = [squares(5, Some(0)), squares(5, Some(1)), squares(5, Some(2))];
    let stock = sheets(Some(2));
    let layout = nest(&items, &stock, RULES, &unwatched);
    assert_eq!(audit(&items, &stock, RULES, &layout), Ok(()));
    assert_eq!((placed(&layout), layout.unplaced.len()), (15, 0));
    assert_eq!(sheets_of(&items, &layout).values().filter(|on| on.len() > 1).count(), 1);
}

#[test]
fn the_number_of_threads_changes_no_layout_with_kits() {
    let items = [squares(9, None), squares(5, Some(0)), squares(5, Some(1)), squares(12, Some(2))];
    let with = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| nest(&items, &sheets(None), RULES, &unwatched))
    };
    let one = with(1);
    assert_eq!(one, with(4));
    // Stopped after any stage and run again, it is the same.
    for stages in [1, 2, 3, one.stages / 2, one.stages] {
        let rules = Rules { stop_at: Some(stages), ..RULES };
        let layout = nest(&items, &sheets(None), rules, &unwatched);
        assert_eq!(audit(&items, &sheets(None), rules, &layout), Ok(()));
        assert_eq!(layout, nest(&items, &sheets(None), rules, &unwatched));
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

    /// A kit that a first layout puts on one sheet, alone, is on one sheet beside others, and no
    /// layout breaks the rules.
    #[test]
    fn a_kit_that_fits_on_a_sheet_alone_is_on_one_sheet(
        items in prop::collection::vec((item(), prop::option::weighted(0.7, 0..4usize)), 2..9),
        units in prop_oneof![Just(0), Just(2_000)],
        scarce in prop::option::of(1..4u32),
    ) {
        let items: Vec<Item> =
            items.into_iter().map(|(item, kit)| Item { kit, ..item }).collect();
        let rules = Rules { units, ..RULES };
        let whole = |count| [Stock { count, ..Stock::whole(400.0, 300.0).unwrap() }];
        let layout = nest(&items, &whole(scarce), rules, &unwatched);
        prop_assert_eq!(audit(&items, &whole(scarce), rules, &layout), Ok(()));
        let layout = nest(&items, &whole(None), rules, &unwatched);
        prop_assert_eq!(audit(&items, &whole(None), rules, &layout), Ok(()));
        for (kit, on) in sheets_of(&items, &layout) {
            let is_its = |item: &Item| item.kit == Some(kit);
            let alone = |item: &Item| Item { quantity: if is_its(item) { item.quantity } else { 0 }, kit: None, ..item.clone() };
            let alone: Vec<Item> = items.iter().map(alone).collect();
            let first = Rules { stop_at: Some(1), ..rules };
            let alone = nest(&alone, &whole(None), first, &unwatched);
            prop_assert!(on.len() <= alone.sheets.len(), "kit {kit} on {on:?}");
            prop_assert!(on.windows(2).all(|two| two[1] == two[0] + 1), "kit {kit} on {on:?}");
        }
    }
}

const JOB: &str = r#"
process = "waterjet"
gap     = "3 mm"
margin  = "5 mm"

[[sheet]]
name      = "S235 4 mm"
material  = "S235"
thickness = "4 mm"
stock     = [ { size = ["420 mm", "300 mm"] } ]

[[part]]
recipe   = "base-plate"
name     = "foot"
quantity = 6
sheet    = "S235 4 mm"
given    = { width = "140 mm", height = "120 mm" }

[[part]]
recipe   = "strap"
name     = "arm-long"
quantity = 3
fill     = 2
sheet    = "S235 4 mm"

[[part]]
recipe   = "base-plate"
name     = "cover"
quantity = 4
sheet    = "S235 4 mm"
given    = { width = "130 mm", height = "90 mm" }
"#;

/// Makes a job; its report, and what the program said.
fn made(folder: &Path, text: &str) -> (Value, String) {
    fs::write(folder.join("job.toml"), text).unwrap();
    let mut program = Command::new(env!("CARGO_BIN_EXE_platewright"));
    let run = program
        .current_dir(folder)
        .args(["make", "job.toml", "--no-drawings", "--effort", "20000", "--out", "out"])
        .output()
        .unwrap();
    let said = String::from_utf8(run.stdout).unwrap() + &String::from_utf8(run.stderr).unwrap();
    let report = fs::read(folder.join("out/report.json"));
    (serde_json::from_slice(&report.unwrap_or_else(|_| panic!("{said}"))).unwrap(), said)
}

/// By sheet, its kits as the report gives them, and how many of each part are on it.
fn sheets_in(report: &Value) -> Vec<(Vec<String>, BTreeMap<String, usize>)> {
    let sheet = |sheet: &Value| {
        let kits = sheet["kits"].as_array().map_or(&[][..], Vec::as_slice);
        let kits = kits.iter().map(|kit| kit.as_str().unwrap().to_owned()).collect();
        let mut parts = BTreeMap::new();
        for piece in sheet["placed"].as_array().unwrap() {
            *parts.entry(piece["part"].as_str().unwrap().to_owned()).or_insert(0) += 1;
        }
        (kits, parts)
    };
    report["sheets"].as_array().unwrap().iter().map(sheet).collect()
}

fn is_split(report: &Value) -> bool {
    report["findings"].as_array().unwrap().iter().any(|f| f["code"] == "kit-split")
}

#[test]
fn each_sheet_has_the_pieces_of_the_kits_it_names() {
    let folder = TempDir::new().unwrap();
    let kits = "\n[[kit]]\nname = \"stand\"\nquantity = 3\nparts = [\"foot\", \"arm-*\"]\n";
    let (report, said) = made(folder.path(), &format!("{JOB}{kits}"));
    assert!(!is_split(&report), "{said}");
    let sheets = sheets_in(&report);
    // A stand has two feet and an arm; what fills the sheets is in no kit.
    let mut all: Vec<&str> = Vec::new();
    for (kits, parts) in &sheets {
        let count = |part: &str| parts.get(part).copied().unwrap_or(0);
        assert_eq!(count("foot"), 2 * kits.len(), "{sheets:?}");
        assert!(count("arm-long") >= kits.len(), "{sheets:?}");
        all.extend(kits.iter().map(String::as_str));
    }
    all.sort_unstable();
    assert_eq!(all, ["stand 1", "stand 2", "stand 3"]);
    assert!(said.contains("; kit stand ") || said.contains("; kits stand "), "{said}");
    let placed = report["totals"]["placed"].as_u64().unwrap();
    assert!((13..=15).contains(&placed), "{placed}");
}

#[test]
fn a_kit_that_is_divided_is_reported() {
    let folder = TempDir::new().unwrap();
    let kits = "\n[[kit]]\nname = \"all\"\nparts = [\"foot\", \"arm-long\", \"cover\"]\n";
    let (report, said) = made(folder.path(), &format!("{JOB}{kits}"));
    let on: Vec<Vec<String>> = sheets_in(&report).into_iter().map(|(kits, _)| kits).collect();
    assert!(on.len() > 1 && on.iter().all(|kits| kits == &["all"]), "{on:?}");
    assert!(is_split(&report) && said.contains("kit `all` is on "), "{said}");
    assert!(said.contains("S235-4-mm-01, S235-4-mm-02"), "{said}");
    assert!(said.contains("does not fit on one sheet"), "{said}");
    // Six feet and their arms have more than enough room by area on a larger sheet.
    let larger = JOB.replace("420 mm\", \"300 mm", "1000 mm\", \"500 mm");
    let (report, said) = made(folder.path(), &format!("{larger}{kits}"));
    assert!(!is_split(&report), "{said}");
    // A job without kits says nothing of them.
    let (report, said) = made(folder.path(), JOB);
    assert!(!is_split(&report) && !said.contains("kit"), "{said}");
}

/// With one sheet the kits that have no room say what they lack, and no other kit does.
#[test]
fn a_kit_that_lacks_pieces_is_reported() {
    let folder = TempDir::new().unwrap();
    let kits = "\n[[kit]]\nname = \"stand\"\nquantity = 3\nparts = [\"foot\", \"arm-*\"]\n";
    let one = JOB.replace("\"300 mm\"] }", "\"300 mm\"], count = 1 }");
    let (report, said) = made(folder.path(), &format!("{one}{kits}"));
    let (_, parts) = &sheets_in(&report)[0];
    let lacking =
        report["findings"].as_array().unwrap().iter().filter(|f| f["code"] == "kit-split");
    let lacking: Vec<&str> = lacking.map(|f| f["headline"].as_str().unwrap()).collect();
    assert!(!lacking.is_empty(), "{said}");
    let mut missing = 0;
    for headline in lacking {
        let rest = headline.split_once("is not complete: no sheet has room for ").unwrap().1;
        let feet = rest.split(", ").find_map(|pieces| pieces.strip_suffix(" of `foot`"));
        missing += feet.map_or(0, |count| count.parse::<usize>().unwrap());
    }
    assert_eq!(missing + parts.get("foot").copied().unwrap_or(0), 6, "{said}");
}
