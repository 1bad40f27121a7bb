//! Months of one shop in one folder: a job is made, sent and cut, tried on, changed, made again in
//! part, compared with the returned files, and its remnant is used by the next one. Each step runs
//! the program as a user does.

use crate::runs::done;
use crate::runs::run;
use rusqlite::Connection;
use serde_json::Value;
use std::fs;
use std::path::Path;
use tempfile::TempDir;

/// Gussets, stops and a clevis of the over-the-row vineyard cart, on the shop's stock.
const CART: &str = r#"
process = "waterjet"
shop    = "shop.toml"
margin  = "8 mm"

[[sheet]]
name      = "S235 4 mm"
material  = "S235"
thickness = "4 mm"

[[sheet]]
name        = "5052 11 ga"
material    = "5052-H32"
thickness   = "11 ga"
bend_radius = "5/32 in"

[[part]]
recipe   = "gusset"
name     = "gusset-arch-front"
quantity = 2
sheet    = "S235 4 mm"
given    = { main = "60.3 mm", branch = "48.3 mm", leg_main = "90 mm", leg_branch = "90 mm", clip = "10 mm", lightening = "28 mm" }

[[part]]
recipe   = "tab"
name     = "tab-steering-stop"
quantity = 2
sheet    = "S235 4 mm"
given    = { bolt = "3/8", reach = "1-1/4 in", foot = "1-1/2 in" }

[[part]]
recipe = "clevis-bent"
name   = "clevis-brake-rod"
sheet  = "5052 11 ga"
given  = { rod_end = "M8", spacer = "16 mm" }
"#;

/// Brackets for hoses, of the same sheet.
const HOSES: &str = r#"
process = "waterjet"
shop    = "shop.toml"
sheet   = [ { name = "S235 4 mm", material = "S235", thickness = "4 mm" } ]
part    = [ { recipe = "tab", name = "tab-hose", quantity = 3, sheet = "S235 4 mm", given = { bolt = "M6", reach = "18 mm", foot = "24 mm" } } ]
"#;

fn make(folder: &Path, job: &str, more: &[&str]) -> Value {
    let out = format!("out/{job}{}", if more.is_empty() { "" } else { "-only" });
    let file = format!("{job}.toml");
    done(folder, &[&["make", &file, "--effort", "0", "--no-drawings"], more].concat());
    let text = fs::read_to_string(folder.join(out).join("report.json")).unwrap();
    serde_json::from_str(&text).unwrap()
}

/// Each part with its letter and pieces.
fn issues(report: &Value) -> Vec<(String, String, u64)> {
    let text = |row: &Value, key: &str| row[key].as_str().unwrap().to_owned();
    let rows = report["parts"].as_array().unwrap().iter();
    rows.map(|row| (text(row, "name"), text(row, "issue"), row["pieces"].as_u64().unwrap()))
        .collect()
}

fn issue(name: &str, letter: &str, pieces: u64) -> (String, String, u64) {
    (name.to_owned(), letter.to_owned(), pieces)
}

/// The contents of the book: number, material, quantity, whether it is a remnant, and its area in
/// mm².
type Held = (i64, String, u32, bool, f64);

fn held(folder: &Path) -> Vec<Held> {
    let book = Connection::open(folder.join("shop.db")).unwrap();
    let mut asked = book
        .prepare("SELECT id, material, quantity, remnant, corners_mm FROM stock WHERE quantity > 0 ORDER BY id")
        .unwrap();
    let rows = asked.query_map([], |row| {
        let corners: String = row.get(4)?;
        let numbers: Vec<f64> =
            corners.split([',', ' ']).filter_map(|number| number.parse().ok()).collect();
        // A rectangle from the origin: its third corner is the farthest.
        Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?, numbers[4] * numbers[5]))
    });
    rows.unwrap().map(Result::unwrap).collect()
}

/// A folder with a shop, a book and the job.
fn begun() -> TempDir {
    let folder = TempDir::new().unwrap();
    let path = folder.path();
    let shop = Path::new(env!("CARGO_MANIFEST_DIR")).join("parts/shop.toml");
    fs::copy(shop, path.join("shop.toml")).unwrap();
    let add = |material: &str, thickness: &str, size: [&str; 2], more: &[&str]| {
        let sheet = ["stock", "add", "--material", material, "--thickness", thickness];
        done(path, &[&sheet[..], &["--size", size[0], size[1]], more].concat());
    };
    add("S235", "4 mm", ["600 mm", "400 mm"], &["--quantity", "2", "--price", "14"]);
    add("5052-H32", "11 ga", ["18 in", "12 in"], &["--price", "17"]);
    fs::write(path.join("cart.toml"), CART).unwrap();
    fs::write(path.join("hoses.toml"), HOSES).unwrap();
    folder
}

#[test]
fn a_job_is_cut_tried_on_changed_and_what_is_left_of_it_used() {
    let folder = begun();
    let path = folder.path();
    let first = held(path);
    let remnants = made_sent_and_cut(path);
    tried_on(path);
    let whole_job = changed(path);
    a_spare_comes_back(path, &whole_job);
    used_and_undone(path, remnants, &first);
}

/// The first cut. Gives number and area of the remnant of steel.
fn made_sent_and_cut(path: &Path) -> (i64, f64) {
    let report = make(path, "cart", &[]);
    let wanted = [
        issue("gusset-arch-front", "A", 2),
        issue("tab-steering-stop", "A", 2),
        issue("clevis-brake-rod", "A", 1),
    ];
    assert_eq!(issues(&report), wanted);
    let on = |i: usize| report["sheets"][i]["book"].as_i64();
    assert_eq!([on(0), on(1)], [Some(1), Some(2)]);
    assert_eq!(report["sheets"][0]["cost"].as_f64(), Some(14.0));
    done(path, &["sent", "cart.toml", "--to", "laser cutter", "--date", "2026-03-02"]);
    fs::copy(path.join("out/cart/flats/gusset-arch-front.dxf"), path.join("first.dxf")).unwrap();
    let record = fs::read_to_string(path.join("cart.sent.toml")).unwrap();
    let book = Connection::open(path.join("shop.db")).unwrap();
    let mut asked = book.prepare("SELECT name, sha256 FROM sent_file").unwrap();
    let files: Vec<[String; 2]> = asked
        .query_map([], |row| Ok([row.get(0)?, row.get(1)?]))
        .unwrap()
        .map(Result::unwrap)
        .collect();
    assert!(files.len() >= 3, "{files:?}");
    assert!(files.iter().flatten().all(|text| record.contains(text)), "{files:?}\n{record}");
    let order = done(path, &["book"]);
    assert!(order.contains("2026-03-02  cart  1    laser cutter"), "{order}");
    assert!(order.contains("2 gusset-arch-front (A), 2 tab-steering-stop (A)"), "{order}");
    let said = done(path, &["cut", "cart.toml", "--date", "2026-03-05"]);
    assert!(said.contains("2 sheets out, 2 remnants in"), "{said}");
    let (code, said) = run(path, &["cut", "cart.toml"]);
    assert_eq!(code, Some(1), "{said}");
    assert!(said.contains("already in the book, as cut no. 1 of 2026-03-05"), "{said}");
    let held = held(path);
    let parts: f64 = report["parts"].as_array().unwrap()[..2]
        .iter()
        .map(|row| row["area_mm2"].as_f64().unwrap() * row["pieces"].as_f64().unwrap())
        .sum();
    let [whole, steel, aluminium] = held.as_slice() else { panic!("{held:?}") };
    assert_eq!((whole.0, whole.2, whole.3), (1, 1, false));
    assert_eq!((steel.1.as_str(), steel.3, aluminium.1.as_str()), ("S235", true, "5052-H32"));
    // Never more metal than there was.
    assert!(steel.4 < 600.0 * 400.0 - parts, "{} and {parts}", steel.4);
    let size = |i: usize| report["sheets"][0]["remnant_mm"][i].as_f64().unwrap();
    assert!((steel.4 - size(0) * size(1)).abs() < 1.0 && steel.4 <= size(0) * size(1));
    (steel.0, steel.4)
}

/// The clevis is tried on and measured: that changes no part.
fn tried_on(path: &Path) {
    let measured =
        "\n[[as_built]]\npart = \"clevis-brake-rod\"\nwhat = \"gap\"\nis   = \"44.8 mm\"\n";
    fs::write(path.join("cart.toml"), format!("{CART}{measured}")).unwrap();
    let said = done(path, &["as-built", "cart.toml"]);
    assert!(said.contains("clevis-brake-rod") && said.contains("44.8 mm"), "{said}");
    let said = done(path, &["changes", "cart.toml", "--effort", "0", "--since", "laser cutter"]);
    assert!(!said.contains("remake") && !said.contains("bend to"), "{said}");
}

/// One gusset grows. Gives its letter and that of the others.
fn changed(path: &Path) -> Value {
    let job = fs::read_to_string(path.join("cart.toml")).unwrap();
    fs::write(
        path.join("cart.toml"),
        job.replacen("leg_main = \"90 mm\"", "leg_main = \"96 mm\"", 1),
    )
    .unwrap();
    let said = done(path, &["changes", "cart.toml", "--effort", "0"]);
    assert!(said.contains("1 part to remake from a new blank, 2 unchanged"), "{said}");
    assert!(said.contains("gusset-arch-front: remake from a new blank: 2 pieces"), "{said}");
    let report = make(path, "cart", &[]);
    let wanted = [
        issue("gusset-arch-front", "B", 2),
        issue("tab-steering-stop", "A", 2),
        issue("clevis-brake-rod", "A", 1),
    ];
    assert_eq!(issues(&report), wanted);
    report
}

/// One of the gussets is ordered once more alone, and the returned files are compared.
fn a_spare_comes_back(path: &Path, whole: &Value) {
    let spare = make(path, "cart", &["--only", "gusset-arch-front=1"]);
    assert_eq!(issues(&spare), [issue("gusset-arch-front", "B", 1)]);
    assert_eq!(spare["parts"][0]["geometry"], whole["parts"][0]["geometry"]);
    fs::create_dir(path.join("back")).unwrap();
    let flats = ["gusset-arch-front", "tab-steering-stop", "clevis-brake-rod"];
    for name in flats.map(|name| format!("{name}.dxf")) {
        fs::copy(path.join("out/cart/flats").join(&name), path.join("back").join(&name)).unwrap();
    }
    let said = done(path, &["check", "cart.toml", "--against", "back"]);
    assert!(said.contains("3 files as sent, 0 differences"), "{said}");
    // The spare is the gusset as it is now; the one that was sent first is not.
    let gusset = path.join("back/gusset-arch-front.dxf");
    fs::copy(path.join("out/cart-only/flats/gusset-arch-front.dxf"), &gusset).unwrap();
    let said = done(path, &["check", "cart.toml", "--against", "back"]);
    assert!(said.contains("3 files as sent, 0 differences"), "{said}");
    fs::copy(path.join("first.dxf"), &gusset).unwrap();
    let (code, said) = run(path, &["check", "cart.toml", "--against", "back"]);
    assert_eq!(code, Some(1), "{said}");
    let wanted = "gusset-arch-front.dxf: as sent as issue A (no. 1, 2026-03-02, to laser cutter); the job is at B";
    assert!(said.contains(wanted), "{said}");
    assert!(said.contains("2 files as sent, 1 difference"), "{said}");
}

/// The next job is nested on the remnant; then all is undone, the last first.
fn used_and_undone(path: &Path, (remnant, area): (i64, f64), first: &[Held]) {
    let after_cart = held(path);
    let report = make(path, "hoses", &[]);
    assert_eq!(report["sheets"].as_array().unwrap().len(), 1);
    assert_eq!(report["sheets"][0]["book"].as_i64(), Some(remnant));
    let used = report["sheets"][0]["remnant_used"].as_str().unwrap();
    assert_eq!(used, format!("no. {remnant}, remnant of S235-4-mm-01"));
    done(path, &["cut", "hoses.toml"]);
    let now = held(path);
    assert!(now.iter().all(|held| held.0 != remnant), "{now:?}");
    let left = now.last().unwrap();
    assert!(left.3 && left.4 < area, "{left:?} of {area}");
    assert_eq!((now[0].0, now[0].2), (1, 1), "no whole sheet was touched");
    let (code, said) = run(path, &["cut", "cart.toml", "--undo"]);
    assert_eq!(code, Some(2), "{said}");
    assert!(
        said.contains(&format!(
            "its remnant, no. {remnant}, is no longer in the book (cut no. 2 of hoses"
        )),
        "{said}"
    );
    assert_eq!(held(path), now);
    done(path, &["cut", "hoses.toml", "--undo"]);
    assert_eq!(held(path), after_cart);
    done(path, &["cut", "cart.toml", "--undo"]);
    assert_eq!(held(path), first);
}
