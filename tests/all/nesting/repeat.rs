//! The same layout on many sheets: how many different ones there are, and the metal they take, are
//! counted from the sheets.

use crate::nesting::nest_relations::item;
use crate::python;
use platewright::geom::Outline;
use platewright::geom::Point;
use platewright::geom::Region;
use platewright::geom::Vertex;
use platewright::geom::rectangle;
use platewright::nest::Item;
use platewright::nest::Layout;
use platewright::nest::Limits;
use platewright::nest::Placed;
use platewright::nest::Rules;
use platewright::nest::Stock;
use platewright::nest::audit;
use platewright::nest::nest;
use platewright::nest::unwatched;
use proptest::prelude::*;
use serde_json::Value;
use std::fs;
use std::process::Command;
use tempfile::TempDir;

const RULES: Rules = Rules {
    gap: 3.0,
    margin: 5.0,
    min_cut_out: 0.0,
    cut_out_gap: 0.0,
    min_remnant: 100.0,
    units: 6_000,
    stop_at: None,
    extra_metal: None,
    seed: 1,
};

fn plate(width: f64, height: f64, quantity: u32) -> Item {
    let outline = rectangle(Point::ZERO, width, height, 0.0).unwrap();
    Item::new(Region::solid(outline), quantity)
}

fn gusset(quantity: u32) -> Item {
    let corners = [(0.0, 0.0), (90.0, 0.0), (90.0, 12.0), (12.0, 70.0), (0.0, 70.0)];
    let outline = Outline::new(corners.map(|(x, y)| Vertex::sharp(x, y))).unwrap();
    Item::new(Region::solid(outline), quantity)
}

fn different(layout: &Layout) -> usize {
    let mut seen: Vec<(usize, &[Placed])> = Vec::new();
    for sheet in &layout.sheets {
        let one = (sheet.stock, sheet.placed.as_slice());
        if !seen.contains(&one) {
            seen.push(one);
        }
    }
    seen.len()
}

/// Area of the sheets without the largest remnant, mm².
fn metal(items: &[Item], stock: &[Stock], layout: &Layout) -> f64 {
    let limits = Limits::new(items, stock, RULES);
    let area: f64 = layout.sheets.iter().map(|sheet| stock[sheet.stock].region.area()).sum();
    let remnants = layout.sheets.iter().filter_map(|sheet| limits.usage(sheet).remnant);
    area - remnants.map(|r| r.width() * r.height()).fold(0.0, f64::max)
}

fn placed(layout: &Layout) -> usize {
    layout.sheets.iter().map(|sheet| sheet.placed.len()).sum()
}

/// The different layouts without and with repeated ones, for at most this share more metal; both
/// are audited.
fn compared(items: &[Item], stock: &[Stock], extra: f64, units: u64) -> [usize; 2] {
    let rules = Rules { units, ..RULES };
    let plain = nest(items, stock, rules, &unwatched);
    let rules = Rules { extra_metal: Some(extra), ..rules };
    let repeated = nest(items, stock, rules, &unwatched);
    assert_eq!(audit(items, stock, rules, &repeated), Ok(()));
    assert_eq!((placed(&repeated), &repeated.unplaced), (placed(&plain), &plain.unplaced));
    let (was, is) = (metal(items, stock, &plain), metal(items, stock, &repeated));
    assert!(is <= was * (1.0 + extra) + 1.0, "{is} mm² are more than {extra} beyond {was}");
    let different = [different(&plain), different(&repeated)];
    assert!(different[1] <= different[0], "{different:?}");
    different
}

/// Some four or five sheets each.
#[test]
fn many_equal_sheets_have_few_layouts() {
    let stock = [Stock::whole(400.0, 300.0).unwrap()];
    let jobs = [
        vec![gusset(40), plate(130.0, 60.0, 16)],
        vec![plate(120.0, 80.0, 16), plate(60.0, 45.0, 40), gusset(20)],
        vec![gusset(42), plate(75.0, 40.0, 50), plate(180.0, 25.0, 10)],
    ];
    let all: Vec<[usize; 2]> =
        jobs.iter().map(|items| compared(items, &stock, 0.01, RULES.units)).collect();
    println!("different layouts, plain and repeated: {all:?}");
    assert!(all.iter().any(|[plain, repeated]| repeated < plain), "{all:?}");
}

#[test]
fn the_number_of_threads_changes_no_repeated_layout() {
    let stock = [Stock::whole(400.0, 300.0).unwrap()];
    let items = [gusset(40), plate(130.0, 60.0, 16)];
    let rules = Rules { extra_metal: Some(0.01), ..RULES };
    let with = |threads: usize, rules: Rules| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| nest(&items, &stock, rules, &unwatched))
    };
    let one = with(1, rules);
    assert!(different(&one) < different(&with(1, RULES)), "nothing is repeated");
    assert_eq!(one, with(4, rules));
    // As a replay has it.
    let again = with(2, Rules { stop_at: Some(one.stages), ..rules });
    assert_eq!(one, again);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 3, ..ProptestConfig::default() })]

    #[test]
    fn repeated_layouts_keep_the_rules_and_take_little_more_metal(
        items in prop::collection::vec((item(), 3..9u32), 1..5),
        units in prop_oneof![Just(0), Just(1_000)],
        extra in prop_oneof![Just(0.0), Just(0.01), Just(0.1)],
        scarce in prop::option::of(2..6u32),
    ) {
        let items: Vec<Item> =
            items.into_iter().map(|(item, quantity)| Item { quantity, ..item }).collect();
        let small = Stock { count: Some(2), first: true, ..Stock::whole(250.0, 200.0).unwrap() };
        let large = Stock { count: scarce, ..Stock::whole(400.0, 300.0).unwrap() };
        compared(&items, std::slice::from_ref(&large), extra, units);
        compared(&items, &[small, large], extra, units);
    }
}

const JOB: &str = r#"
process        = "laser"
gap            = "3 mm"
margin         = "5 mm"
repeat_layouts = true

[[sheet]]
name      = "S235 4 mm"
material  = "S235"
thickness = "4 mm"
stock     = [ { size = ["500 mm", "400 mm"] } ]

[[part]]
recipe   = "base-plate"
name     = "foot"
quantity = 40
sheet    = "S235 4 mm"
given    = { width = "120 mm", height = "90 mm" }

[[part]]
recipe   = "gusset"
name     = "corner"
quantity = 12
sheet    = "S235 4 mm"
"#;

fn made(folder: &TempDir, text: &str) -> (Option<i32>, String) {
    fs::write(folder.path().join("job.toml"), text).unwrap();
    let run = Command::new(env!("CARGO_BIN_EXE_platewright"))
        .current_dir(folder.path())
        .args(["make", "job.toml", "--no-drawings", "--effort", "6000", "--out", "out"])
        .output()
        .unwrap();
    let said = String::from_utf8(run.stdout).unwrap() + &String::from_utf8(run.stderr).unwrap();
    (run.status.code(), said)
}

#[test]
fn the_report_counts_the_layouts() {
    let folder = TempDir::new().unwrap();
    let (code, said) = made(&folder, JOB);
    assert_eq!(code, Some(0), "{said}");
    let out = folder.path().join("out");
    let report: Value =
        serde_json::from_slice(&fs::read(out.join("report.json")).unwrap()).unwrap();
    let sheets = report["sheets"].as_array().unwrap();
    let mut layouts: Vec<&Value> = Vec::new();
    for sheet in sheets {
        if !layouts.contains(&&sheet["placed"]) {
            layouts.push(&sheet["placed"]);
        }
    }
    assert_eq!(report["nests"][0]["layouts"].as_u64(), Some(layouts.len() as u64), "{said}");
    assert!(layouts.len() < sheets.len(), "{said}");
    assert!(
        said.contains(&format!("{} sheets ", sheets.len()))
            && said.contains(&format!(" in {} layout", layouts.len())),
        "{said}"
    );
    let facts = python::accepted("check_dxf.py", &out);
    assert!(facts > 100, "only {facts} facts were checked");
    let (code, said) = made(&folder, &JOB.replace("= true", "= \"30 %\""));
    assert!(code == Some(1) && said.contains("from 0 % to 20 %"), "{said}");
}
