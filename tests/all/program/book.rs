//! The stock book as a person or several runs at once use it: what is listed, what a job is nested
//! on, what a cut does, and the errors when the file cannot be used.

#![expect(clippy::disallowed_methods, reason = "a run is killed at a share of its own time")]

use crate::runs::command;
use crate::runs::done;
use crate::runs::run;
use rusqlite::Connection;
use std::fs;
use std::path::Path;
use std::process::Child;
use std::process::Command;
use std::process::Stdio;
use std::time::Duration;
use std::time::Instant;
use tempfile::TempDir;

const JOB: &str = r#"
process = "laser"
sheet = [ { name = "S235 4 mm", material = "S235", thickness = "4 mm" } ]
part = [ { recipe = "tab", name = "ear", quantity = 2, sheet = "S235 4 mm" } ]
"#;

const ADD: [&str; 9] =
    ["stock", "add", "--material", "S235", "--thickness", "4 mm", "--size", "500 mm", "400 mm"];

/// Runs a command that must fail, and changes no book.
fn refused(folder: &Path, arguments: &[&str], wanted: &str) -> String {
    let before = fs::read(folder.join("shop.db")).ok();
    let (code, said) = run(folder, arguments);
    assert_eq!(code, Some(2), "{arguments:?}: {said}");
    assert!(said.contains(wanted), "{arguments:?}: {said}");
    assert!(fs::read(folder.join("shop.db")).ok() == before, "{said}");
    said
}

/// A job, and a book with a number of sheets.
fn shop(sheets: u32) -> TempDir {
    let folder = TempDir::new().unwrap();
    fs::write(folder.path().join("cart.toml"), JOB).unwrap();
    if sheets > 0 {
        done(folder.path(), &[&ADD[..], &["--quantity", &sheets.to_string()]].concat());
    }
    folder
}

fn make(folder: &Path) -> String {
    done(folder, &["make", "cart.toml", "--effort", "0", "--no-drawings"])
}

/// Number, quantity and outline of all that is there.
fn held(folder: &Path) -> Vec<(i64, u32, String)> {
    let book = Connection::open(folder.join("shop.db")).unwrap();
    let mut asked = book
        .prepare("SELECT id, quantity, corners_mm FROM stock WHERE quantity > 0 ORDER BY id")
        .unwrap();
    let rows = asked.query_map([], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?))).unwrap();
    rows.map(Result::unwrap).collect()
}

#[test]
fn a_job_without_stock_is_stopped_without_a_book_and_says_what_an_empty_one_lacks() {
    let folder = shop(0);
    let path = folder.path();
    let (code, said) = run(path, &["check", "cart.toml"]);
    assert_eq!(code, Some(1), "{said}");
    assert!(said.contains("`stock` is missing here") && said.contains("stock add"), "{said}");
    assert!(!path.join("shop.db").exists(), "a check begins no book");
    let other =
        ["stock", "add", "--material", "S235", "--thickness", "3 mm", "--size", "700 mm", "300 mm"];
    done(path, &other);
    let (code, said) = run(path, &["check", "cart.toml"]);
    assert_eq!(code, Some(1), "{said}");
    assert!(said.contains("caution[no-stock]"), "{said}");
    assert!(said.contains("the book ./shop.db has no S235 of 4 mm"), "{said}");
    // Offered is a size that this shop buys.
    assert!(said.contains("--thickness \"4 mm\" --size \"700 mm\" \"300 mm\""), "{said}");
    done(path, &ADD);
    let said = make(path);
    assert!(said.contains("no. 2 of the book"), "{said}");
    let purchases = fs::read_to_string(path.join("out/cart/purchases.csv")).unwrap();
    assert!(purchases.contains("no. 2 of the stock book"), "{purchases}");
    // A job that names its stock needs no book, whatever is wrong with that.
    fs::write(path.join("shop.db"), "no database").unwrap();
    let (code, said) = run(path, &["check", "cart.toml"]);
    assert_eq!(code, Some(1), "{said}");
    assert!(said.contains("stop[book]") && said.contains("it is not a database"), "{said}");
    let own =
        JOB.replacen("4 mm\" }", "4 mm\", stock = [ { size = [\"500 mm\", \"400 mm\"] } ] }", 1);
    fs::write(path.join("cart.toml"), own).unwrap();
    done(path, &["check", "cart.toml"]);
}

#[test]
fn a_job_without_a_sheet_is_offered_one_of_the_shop() {
    let folder = shop(0);
    let path = folder.path();
    let bare = JOB.lines().filter(|line| !line.starts_with("sheet")).collect::<Vec<_>>().join("\n");
    fs::write(path.join("cart.toml"), bare).unwrap();
    let (_, said) = run(path, &["check", "cart.toml"]);
    assert!(said.contains("size = [\"1000 mm\", \"500 mm\"]"), "{said}");
    done(path, &ADD);
    let (code, said) = run(path, &["check", "cart.toml"]);
    assert_eq!(code, Some(1), "{said}");
    assert!(said.contains("size = [\"500 mm\", \"400 mm\"]"), "{said}");
    // Also by a job that names its stock, where that or the name of a sheet is wrong.
    for (wrong, right) in [
        ("4 mm\" }", "4 mm\", stock = [ { count = 2 } ] }"),
        ("4 mm\" }", "4 mm\", stock = [ { size = [\"500 mm\"] } ] }"),
        ("sheet = \"S235 4 mm\"", "sheet = \"4130 5 mm\""),
    ] {
        fs::write(path.join("cart.toml"), JOB.replacen(wrong, right, 1)).unwrap();
        let (code, said) = run(path, &["check", "cart.toml"]);
        assert_eq!(code, Some(1), "{said}");
        assert!(said.contains("size = [\"500 mm\", \"400 mm\"]"), "{right}: {said}");
    }
}

/// A price counts in the currency of the job's shop, and in no other.
#[test]
fn a_price_in_another_currency_is_not_known() {
    let folder = shop(0);
    let path = folder.path();
    let shop = Path::new(env!("CARGO_MANIFEST_DIR")).join("parts/shop.toml");
    fs::copy(shop, path.join("shop.toml")).unwrap();
    fs::write(path.join("cart.toml"), format!("shop = \"shop.toml\"{JOB}")).unwrap();
    done(path, &[&ADD[..], &["--price", "20"]].concat());
    let cost = || {
        make(path);
        let report = fs::read(path.join("out/cart/report.json")).unwrap();
        let report: serde_json::Value = serde_json::from_slice(&report).unwrap();
        report["sheets"][0]["cost"].as_f64()
    };
    assert_eq!(cost(), Some(20.0));
    let list = done(path, &["stock", "export"]);
    assert!(list.contains(",20.0,EUR,"), "{list}");
    fs::write(path.join("list.csv"), list.replace("EUR", "CHF")).unwrap();
    done(path, &["stock", "import", "list.csv"]);
    assert_eq!(cost(), None);
}

/// The names of a certificate: 1.4301 is 304. An entry imported or added by one is kept under the
/// name of the row, so that a job with either is nested on it.
#[test]
fn metals_go_by_their_other_names_in_the_book() {
    let folder = shop(0);
    let path = folder.path();
    let list = "material,thickness_mm,length_mm,width_mm,quantity\nS235JR,4,500,400,2\n\
                x5crni18-10,2,1000,500,1\n42CrMo4+QT,8,300,200,1\n";
    fs::write(path.join("list.csv"), list).unwrap();
    assert!(done(path, &["stock", "import", "list.csv"]).contains("0 changed, 3 added"));
    let add: Vec<&str> =
        ADD.iter().map(|word| if *word == "S235" { "1.4404" } else { word }).collect();
    done(path, &add);
    let listed = done(path, &["stock"]);
    for kept in ["S235 4 mm", "304 2 mm", "42CrMo4-QT 8 mm", "1.4404 4 mm"] {
        assert!(listed.contains(kept), "{kept}: {listed}");
    }
    for typed in ["S235JR", "x5crni18-10", "42CrMo4+QT"] {
        assert!(!listed.contains(typed), "{typed}: {listed}");
    }
    let job = JOB.replace("material = \"S235\"", "material = \"1.0038\"");
    fs::write(path.join("cart.toml"), job).unwrap();
    let made = make(path);
    assert!(made.contains("no. 1 of the book"), "{made}");
    fs::write(path.join("list.csv"), list.replace("S235JR", "1.4302")).unwrap();
    refused(path, &["stock", "import", "list.csv"], "did you mean `1.4301`?");
}

#[test]
fn a_list_that_is_exported_changed_and_imported_is_what_is_there() {
    let folder = shop(2);
    let path = folder.path();
    let corners =
        ["--corner", "10 mm", "0 mm", "--corner", "210 mm", "0 mm", "--corner", "10 mm", "100 mm"];
    let remnant =
        ["stock", "add", "--material", "S235", "--thickness", "1/8 in", "--name", "gate, \"left\""];
    done(path, &[&remnant[..], &corners[..]].concat());
    let said = done(path, &["stock"]);
    assert!(said.contains("S235 3.175 mm  200 mm × 100 mm overall"), "{said}");
    done(path, &["stock", "export", "--out", "list.csv"]);
    let list = fs::read_to_string(path.join("list.csv")).unwrap();
    let before = held(path);
    assert!(done(path, &["stock", "import", "list.csv"]).contains("2 changed, 0 added"));
    assert_eq!(held(path), before);
    assert_eq!(before[1].2, "0 0, 200 0, 0 100");
    // Into another stock book the numbers come along.
    done(path, &["stock", "import", "list.csv", "--shop", "other.toml"]);
    assert_eq!(done(path, &["stock", "export", "--shop", "other.toml"]), list);
    let changed =
        list.replace("500.0,400.0,,2,", "500.0,400.0,,7,") + "\n,S235,4,300,200,,1,true,,,,\n";
    fs::write(path.join("list.csv"), changed).unwrap();
    assert!(done(path, &["stock", "import", "list.csv"]).contains("2 changed, 1 added"));
    assert_eq!(held(path).iter().map(|held| held.1).collect::<Vec<_>>(), [7, 1, 1]);
    fs::write(path.join("list.csv"), list.replace("500.0", "5OO")).unwrap();
    let (code, said) = run(path, &["stock", "import", "list.csv"]);
    assert_eq!(code, Some(1), "{said}");
    assert!(said.contains("list.csv:3:") && said.contains("`length_mm`"), "{said}");
    fs::write(path.join("list.csv"), list.replace("S235", "S999")).unwrap();
    refused(path, &["stock", "import", "list.csv"], "there is no material `S999`");
    let svg = done(path, &["stock", "draw", "2"]);
    assert!(svg.contains("M0 0 L200 0 L0 -100 L0 0 Z"), "{svg}");
    refused(path, &["stock", "take", "1", "--quantity", "8"], "no. 1 has 7 in the book");
    refused(path, &["stock", "take", "9"], "there is no entry no. 9 in the book");
    done(path, &["stock", "take", "1"]);
    assert!(!done(path, &["stock"]).contains("500 mm × 400 mm"));
}

#[test]
fn a_new_job_offers_a_sheet_that_the_book_has() {
    let folder = shop(0);
    let path = folder.path();
    assert!(done(path, &["new", "tab"]).contains("size = [\"1000 mm\", \"500 mm\"]"));
    done(
        path,
        &[
            "stock",
            "add",
            "--material",
            "5052-H32",
            "--thickness",
            "5 mm",
            "--size",
            "900 mm",
            "450 mm",
        ],
    );
    let job = done(path, &["new", "tab"]);
    assert!(
        job.contains("material  = \"5052-H32\"") && job.contains("\"900 mm\", \"450 mm\""),
        "{job}"
    );
    fs::write(path.join("one.toml"), &job).unwrap();
    assert!(done(path, &["make", "one.toml", "--effort", "0"]).contains("no. 1 of the book"));
}

#[test]
fn a_cut_is_booked_once_and_undone_once() {
    let folder = shop(2);
    let path = folder.path();
    refused(path, &["cut", "cart.toml"], "nothing was made in out/cart");
    make(path);
    let report: serde_json::Value =
        serde_json::from_slice(&fs::read(path.join("out/cart/report.json")).unwrap()).unwrap();
    let [length, width] = [0, 1].map(|i| report["sheets"][0]["remnant_mm"][i].as_f64().unwrap());
    let before = held(path);
    done(path, &["cut", "cart.toml", "--date", "2026-03-31"]);
    let cut = held(path);
    let corners = format!("0 0, {length} 0, {length} {width}, 0 {width}");
    assert_eq!(cut, [(1, 1, before[0].2.clone()), (2, 1, corners)]);
    assert!(length * width < 500.0 * 400.0 * 0.99, "no larger than what is left");
    let (code, said) = run(path, &["cut", "cart.toml"]);
    assert_eq!(code, Some(1), "{said}");
    assert!(said.contains("cut no. 1 of 2026-03-31"), "{said}");
    assert_eq!(held(path), cut);
    done(path, &["cut", "cart.toml", "--again"]);
    assert_eq!(
        held(path).iter().map(|held| (held.0, held.1)).collect::<Vec<_>>(),
        [(2, 1), (3, 1)]
    );
    refused(path, &["cut", "cart.toml", "--again"], "of which none is left (cut no. 2 of cart");
    done(path, &["cut", "cart.toml", "--undo"]);
    assert_eq!(held(path), cut);
    done(path, &["cut", "cart.toml", "--undo"]);
    assert_eq!(held(path), before);
    refused(path, &["cut", "cart.toml", "--undo"], "nothing to undo");
    assert_eq!(done(path, &["book"]).matches("undone").count(), 2);
    // A report that somebody changed is not the one that was made.
    fs::write(path.join("out/cart/report.json"), "{}").unwrap();
    refused(path, &["cut", "cart.toml"], "not as made");
}

/// An order made again is nested on the remnant of its own cut: it is no second one.
#[test]
fn an_order_that_is_made_again_is_not_booked_twice() {
    let folder = shop(1);
    let path = folder.path();
    make(path);
    done(path, &["cut", "cart.toml", "--date", "2026-03-31"]);
    let cut = held(path);
    let said = make(path);
    assert!(said.contains("no. 2 of the book"), "{said}");
    let (code, said) = run(path, &["cut", "cart.toml"]);
    assert_eq!(code, Some(1), "{said}");
    let wanted =
        "the same parts have already been cut, from other sheets, as cut no. 1 of 2026-03-31";
    assert!(said.contains(wanted) && said.contains("--again"), "{said}");
    assert_eq!(held(path), cut);
    // More of them are another order.
    let more = JOB.replace("quantity = 2", "quantity = 3");
    fs::write(path.join("cart.toml"), more).unwrap();
    make(path);
    assert!(done(path, &["cut", "cart.toml"]).contains("cut no. 2"));
}

/// Two jobs of one name share a book: neither undoes the other's cut.
#[test]
fn jobs_of_one_name_are_told_apart_by_where_they_lie() {
    let folder = shop(2);
    let path = folder.path();
    let there = path.join("trailer");
    fs::create_dir(&there).unwrap();
    fs::write(path.join("shop.toml"), "about = \"ours\"\n").unwrap();
    fs::write(there.join("cart.toml"), format!("shop = \"../shop.toml\"{JOB}")).unwrap();
    make(&there);
    done(&there, &["cut", "cart.toml"]);
    make(path);
    let wanted =
        "nothing to undo; cut no. 1 is of another job of that name: undo it as trailer/cart.toml";
    refused(path, &["cut", "cart.toml", "--undo"], wanted);
    // The same parts, but of another job: they are cut for the first time.
    assert!(done(path, &["cut", "cart.toml"]).contains("cut no. 2"));
    let listed = done(path, &["book"]);
    assert!(listed.contains("trailer/cart  ") && listed.contains("cart          "), "{listed}");
    assert!(done(path, &["cut", "cart.toml", "--undo"]).contains("cut no. 2 of"));
    // A job whose folder was moved is the one it was.
    fs::rename(&there, path.join("wagon")).unwrap();
    let said = done(&path.join("wagon"), &["cut", "cart.toml", "--undo"]);
    assert!(said.contains("cut no. 1 of"), "{said}");
}

#[test]
fn a_remnant_carries_its_share_of_the_price_until_the_shop_says_another() {
    let folder = shop(0);
    let path = folder.path();
    let rates = "[rates]\ncurrency = \"EUR\"\nlabour_hour = 48\n";
    fs::write(path.join("shop.toml"), rates).unwrap();
    fs::write(path.join("cart.toml"), format!("shop = \"shop.toml\"{JOB}")).unwrap();
    done(path, &[&ADD[..], &["--price", "20"]].concat());
    assert!(make(path).contains("sheets cost 20.00 EUR"));
    done(path, &["cut", "cart.toml"]);
    let [length, width] = {
        let report = fs::read(path.join("out/cart/report.json")).unwrap();
        let report: serde_json::Value = serde_json::from_slice(&report).unwrap();
        [0, 1].map(|i| report["sheets"][0]["remnant_mm"][i].as_f64().unwrap())
    };
    let share = format!("{:.2} EUR", 20.0 * length * width / (500.0 * 400.0));
    let listed = done(path, &["stock"]);
    assert!(listed.lines().any(|line| line.starts_with("2 ") && line.contains(&share)), "{listed}");
    // A job on the remnant costs its share, or the price set by the shop.
    assert!(make(path).contains(&format!("sheets cost {share}")));
    let said = done(path, &["stock", "price", "2", "7.50"]);
    assert!(said.contains("no. 2: ") && said.contains("7.50 EUR"), "{said}");
    assert!(make(path).contains("sheets cost 7.50 EUR"));
    assert!(done(path, &["stock", "price", "2", "none"]).contains("price not known"));
    assert!(!make(path).contains("sheets cost"));
    refused(path, &["stock", "price", "9", "1"], "there is no entry no. 9 in the book");
}

/// A size typed as on a delivery note is refused with what to type.
#[test]
fn slips_of_a_delivery_are_told_what_to_type() {
    let folder = shop(1);
    let path = folder.path();
    let add = |material: &'static str, size: &[&'static str], more: &[&'static str]| {
        let head = ["stock", "add", "--material", material, "--thickness", "4 mm", "--size"];
        [&head[..], size, more].concat()
    };
    let both = ["600 mm", "400 mm"];
    let wanted = "--size is two lengths, each in its own quotes: --size \"600 mm\" \"400 mm\"";
    refused(path, &add("S235", &["600 x 400 mm"], &[]), wanted);
    refused(path, &add("S235", &["600 mm"], &[]), "each in its own quotes");
    refused(path, &add("S253", &both, &[]), "there is no material `S253`; did you mean `S235`?");
    refused(path, &add("S235", &both, &["--price", "12 EUR"]), "write the number alone");
    done(path, &["stock", "take", "1"]);
    refused(path, &["stock", "take", "1"], "nothing is left of no. 1: S235 4 mm, 500 mm × 400 mm");
}

/// The book was changed between the make and the cut.
#[test]
fn a_cut_of_another_sheet_than_was_nested_on_is_refused() {
    let folder = shop(1);
    let path = folder.path();
    make(path);
    let list = done(path, &["stock", "export"]);
    fs::write(path.join("list.csv"), list.replace("500.0", "300.0")).unwrap();
    done(path, &["stock", "import", "list.csv"]);
    refused(path, &["cut", "cart.toml"], "is not the sheet that S235-4-mm-01 was nested on");
    done(path, &["stock", "take", "1"]);
    fs::write(path.join("list.csv"), list).unwrap();
    done(path, &["stock", "import", "list.csv"]);
    done(path, &["stock", "take", "1"]);
    refused(path, &["cut", "cart.toml"], "none is left (it was removed by hand)");
}

#[test]
fn sheets_of_a_job_that_names_its_stock_go_out_where_the_book_has_such() {
    let folder = shop(1);
    let path = folder.path();
    let own = |size: &str| {
        let stock = format!("4 mm\", stock = [ {{ size = [\"{size}\", \"400 mm\"] }} ] }}");
        fs::write(path.join("cart.toml"), JOB.replacen("4 mm\" }", &stock, 1)).unwrap();
        make(path);
        // The same parts are cut once more.
        done(path, &["cut", "cart.toml", "--again"])
    };
    let said = own("600 mm");
    assert!(said.contains("the book has no such sheet of S235 4 mm: none taken out"), "{said}");
    assert_eq!(held(path).len(), 2, "its remnant came in");
    let said = own("500 mm");
    assert!(said.contains("no. 1, S235 4 mm, 500 mm × 400 mm, 0 left"), "{said}");
}

#[test]
fn strips_are_kept_once_and_with_their_row_or_not_at_all() {
    let folder = shop(1);
    let path = folder.path();
    let shop =
        fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("parts/shop.toml")).unwrap();
    fs::write(path.join("shop.toml"), shop).unwrap();
    let calibrate = |angle: &str, more: &[&str]| {
        let strip = [
            "calibrate",
            "--thickness",
            "3 mm",
            "--v",
            "24 mm",
            "--strip",
            "104 mm",
            "104.2 mm",
            "202.6 mm",
            angle,
        ];
        run(path, &[&strip[..], more].concat())
    };
    let (code, said) = calibrate("90 deg", &[]);
    assert_eq!(code, Some(0), "{said}");
    assert!(said.contains("1 strip in the book shop.db"), "{said}");
    assert!(calibrate("90 deg", &[]).1.contains("already has these strips"));
    let listed = done(path, &["book"]);
    let row = listed.lines().find(|line| line.contains("S235 3 mm (3 mm)")).unwrap();
    assert!(
        row.contains("24 mm") && row.contains("104 mm, 104.2 mm") && row.contains("202.6 mm"),
        "{row}"
    );
    // The row is refused by the shop file: the strip is not kept either.
    let into = ["--into", "shop.toml"];
    let (code, said) = calibrate("89 deg", &into);
    assert_eq!(code, Some(0), "{said}");
    let (code, said) = calibrate("88 deg", &into);
    assert_eq!(code, Some(2), "{said}");
    let listed = done(path, &["book"]);
    assert!(listed.contains("89°") && !listed.contains("88°"), "{listed}");
}

/// An order is in both records or in none.
#[test]
fn an_order_is_not_recorded_where_the_book_cannot_be_written() {
    let folder = shop(1);
    let path = folder.path();
    make(path);
    let sent = ["sent", "cart.toml", "--to", "laser cutter"];
    let other = Connection::open(path.join("shop.db")).unwrap();
    other.execute_batch("BEGIN EXCLUSIVE").unwrap();
    let (code, said) = run(path, &sent);
    assert_eq!(code, Some(2), "{said}");
    assert!(
        said.contains("nothing was recorded") && said.contains("in use by another run"),
        "{said}"
    );
    assert!(!path.join("cart.sent.toml").exists(), "{said}");
    other.execute_batch("ROLLBACK").unwrap();
    assert!(done(path, &sent).contains("and in the book shop.db"));
    // The record was edited: the book has no second order either.
    fs::write(path.join("cart.sent.toml"), "[[sent]]\nnumber = 9\n").unwrap();
    assert_eq!(run(path, &sent).0, Some(2));
    let count = "SELECT COUNT(*) FROM sent";
    assert_eq!(other.query_row(count, [], |row| row.get::<_, u32>(0)).unwrap(), 1);
}

/// An archive includes the contents of the book, and needs no book.
#[test]
fn a_packed_job_is_made_again_on_the_sheets_it_was_packed_with() {
    let folder = shop(1);
    let path = folder.path();
    done(path, &["pack", "cart.toml"]);
    done(path, &["stock", "take", "1"]);
    let elsewhere = TempDir::new().unwrap();
    fs::copy(path.join("cart.zip"), elsewhere.path().join("cart.zip")).unwrap();
    let said = done(elsewhere.path(), &["make", "cart.zip"]);
    assert!(said.contains("made as they were packed, byte for byte"), "{said}");
    assert!(said.contains("no. 1 of the book"), "{said}");
    assert_eq!(held(path), []);
}

#[test]
fn a_book_that_another_run_holds_is_waited_for_and_then_named() {
    let folder = shop(1);
    let path = folder.path();
    let other = Connection::open(path.join("shop.db")).unwrap();
    other.execute_batch("BEGIN EXCLUSIVE").unwrap();
    // Reading the file here would give up the lock of `other`, which is this process's.
    let (code, said) = run(path, &ADD);
    assert_eq!(code, Some(2), "{said}");
    assert!(said.contains("the book shop.db is still in use by another run"), "{said}");
    let child: Child = command(path, &ADD).stdout(Stdio::null()).spawn().unwrap();
    std::thread::sleep(Duration::from_millis(200));
    other.execute_batch("ROLLBACK").unwrap();
    assert!(child.wait_with_output().unwrap().status.success(), "it was waited for");
    assert_eq!(held(path)[0].1, 2);
}

#[test]
fn runs_at_once_are_all_counted_and_a_cut_is_booked_once() {
    let folder = shop(0);
    let path = folder.path();
    let at_once = |arguments: &[&str], count: usize| -> usize {
        let start =
            |_| command(path, arguments).stdout(Stdio::null()).stderr(Stdio::null()).spawn();
        let children: Vec<Child> = (0..count).map(|i| start(i).unwrap()).collect();
        children.into_iter().map(|mut child| usize::from(child.wait().unwrap().success())).sum()
    };
    // The first of them begins the book.
    assert_eq!(at_once(&ADD, 8), 8);
    assert_eq!(held(path).iter().map(|held| held.1).sum::<u32>(), 8);
    make(path);
    assert_eq!(at_once(&["cut", "cart.toml"], 6), 1);
    assert_eq!(held(path).iter().map(|held| held.1).collect::<Vec<_>>(), [7, 1]);
}

#[cfg(unix)]
mod unix {
    use super::*;
    use std::os::unix::fs::MetadataExt;
    use std::os::unix::fs::PermissionsExt;
    use std::os::unix::process::CommandExt;

    /// A user without rights except those that files give to all.
    const NOBODY: u32 = 65_534;

    #[test]
    fn a_book_that_may_only_be_read_is_read() {
        let folder = shop(1);
        let path = folder.path();
        let book = path.join("shop.db");
        fs::set_permissions(&book, fs::Permissions::from_mode(0o444)).unwrap();
        fs::set_permissions(path, fs::Permissions::from_mode(0o755)).unwrap();
        let root = fs::metadata(path).unwrap().uid() == 0;
        let run = |arguments: &[&str]| {
            let mut command = command(path, arguments);
            // The superuser may write files that nobody may.
            if root {
                command.uid(NOBODY).gid(NOBODY);
            }
            let run = command.output().unwrap();
            let said = String::from_utf8_lossy(&run.stdout) + String::from_utf8_lossy(&run.stderr);
            (run.status.code(), said.into_owned())
        };
        let (code, said) = run(&["stock"]);
        assert_eq!(code, Some(0), "{said}");
        assert!(said.contains("500 mm × 400 mm"), "{said}");
        let (code, said) = run(&["check", "cart.toml"]);
        assert_eq!(code, Some(0), "{said}");
        let before = fs::read(&book).unwrap();
        let (code, said) = run(&ADD);
        assert_eq!(code, Some(2), "{said}");
        assert!(said.contains("the book shop.db is write-protected"), "{said}");
        assert!(fs::read(&book).unwrap() == before);
    }

    /// As much of the disk as the book has is there, and no more.
    #[test]
    fn a_full_disk_leaves_the_book_as_it_was() {
        let folder = shop(3);
        let path = folder.path();
        let rows: String = (1..2000)
            .map(|i| format!("S235,4,{},400,1,a name of many letters no. {i}\n", 500 + i))
            .collect();
        let head = "material,thickness_mm,length_mm,width_mm,quantity,name\n";
        fs::write(path.join("list.csv"), format!("{head}{rows}")).unwrap();
        let before = held(path);
        let script = "trap '' XFSZ; ulimit -f 64; exec \"$@\"";
        let mut full = Command::new("sh");
        full.current_dir(path).args(["-c", script, "sh", env!("CARGO_BIN_EXE_platewright")]);
        let run = full.args(["stock", "import", "list.csv"]).output().unwrap();
        let said = String::from_utf8_lossy(&run.stderr).into_owned();
        assert_eq!(run.status.code(), Some(2), "{said}");
        assert!(said.contains("the book shop.db") && said.contains("free some space"), "{said}");
        assert_eq!(held(path), before);
        done(path, &["stock", "import", "list.csv"]);
        assert_eq!(held(path).len(), 2000);
    }

    /// Killed at moments all over the run: the book has the whole list, or nothing of it.
    #[test]
    fn a_killed_run_writes_all_or_nothing() {
        let folder = shop(1);
        let path = folder.path();
        let rows: String = (1..3000).map(|i| format!("S235,4,{},400,1\n", 500 + i)).collect();
        let head = "material,thickness_mm,length_mm,width_mm,quantity\n";
        fs::write(path.join("list.csv"), format!("{head}{rows}")).unwrap();
        let empty = fs::read(path.join("shop.db")).unwrap();
        let begun = Instant::now();
        done(path, &["stock", "import", "list.csv"]);
        let took = begun.elapsed();
        let mut seen = [0, 0];
        for step in 0..20 {
            fs::write(path.join("shop.db"), &empty).unwrap();
            let mut command = command(path, &["stock", "import", "list.csv"]);
            let mut child = command.stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
            std::thread::sleep(took * step / 8);
            let _ = child.kill();
            child.wait().unwrap();
            // The next run that opens it rolls back the unfinished change.
            let listed = done(path, &["stock", "export"]).lines().count() - 1;
            assert!([1, 3000].contains(&listed), "{listed} after step {step}");
            seen[usize::from(listed > 1)] += 1;
        }
        assert!(seen[0] > 0 && seen[1] > 0, "killed {seen:?} times before and after");
    }
}
