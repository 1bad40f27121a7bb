//! The shop and its stock on the page: two files, one undo.

use crate::page::desk::Asker;
use crate::page::desk::JOB;
use serde_json::Value;
use serde_json::json;

const SHOP: &str = r#"# Ours.
about = "Two people and a vice"
drills = ["3 mm", "8.5 mm"]

[[cutting]]
process = "laser"
kerf    = "0.2 mm"   # measured

[rates]
currency    = "EUR"
labour_hour = 45.0   # with tea
"#;

fn asker() -> Asker {
    Asker::in_shop(&format!("shop = \"shop.toml\"\n{JOB}"), SHOP, false)
}

fn set(shop: bool, path: &str, was: Option<&str>, value: Option<&str>) -> Value {
    json!({ "do": "shop", "shop": shop, "change": { "set": { "path": path, "value": value, "was": was } } })
}

fn shop_text(asker: &Asker) -> String {
    asker.on.shop.lock().unwrap().clone()
}

fn field<'v>(fields: &'v Value, key: &str) -> &'v Value {
    fields.as_array().unwrap().iter().find(|field| field["key"] == key).unwrap()
}

#[test]
fn sheets_and_tools_are_shown_in_plain_words() {
    let asker = asker();
    let all = asker.get("/shop");
    let sheets = all["sheets"].as_array().unwrap();
    assert_eq!((sheets.len(), &sheets[0]["name"]), (2, &json!("S235 4 mm")));
    let row = &sheets[0]["stock"][0];
    assert_eq!((&row["size"], &row["price"]), (&json!(["500 mm", "400 mm"]), &json!("14")));
    assert_eq!(field(&sheets[0]["fields"], "sheet.0.thickness")["given"], "4 mm");
    assert_eq!((&sheets[0]["parts"], &all["currency"]), (&json!(2), &json!("EUR")));
    let margin = field(&all["job"], "margin");
    assert!(margin["given"].is_null() && margin["value"].as_str().unwrap().ends_with("mm"));
    assert_eq!(margin["about"], "From the sheet edge");
    let shop = &all["shop"];
    assert_eq!(shop["tools"], json!([["drills", "3 mm, 8.5 mm"]]));
    assert_eq!(field(&shop["groups"][0]["fields"], "cutting.0.kerf")["given"], "0.2 mm");
    assert_eq!(all["book"], Value::Null);
}

/// A sheet chosen from several is that of the part; none of those can be removed.
#[test]
fn parts_are_counted_on_the_sheet_that_is_chosen_and_keep_it() {
    let open = "open     = { sheet = [\"S235 2 mm\", \"S235 4 mm\"] }\ngiven    = {";
    let text = JOB.replacen("sheet    = \"S235 4 mm\"\ngiven    = {", open, 1);
    assert!(text.contains("open     ="));
    let asker = Asker::new(&text, false);
    let job = asker.get("/job");
    let parts = job["parts"].as_array().unwrap();
    let all = asker.get("/shop");
    for sheet in all["sheets"].as_array().unwrap() {
        let on_it = parts.iter().filter(|part| part["sheet"] == sheet["name"]).count();
        assert_eq!(sheet["parts"], on_it, "{sheet}");
        assert!(sheet["used_by"].as_array().unwrap().contains(&json!("ear")), "{sheet}");
    }
    let take = |index: usize, name: &str| json!({ "do": "shop", "change": { "take-sheet": { "sheet": index, "name": name } } });
    for (i, name) in ["S235 4 mm", "S235 2 mm"].into_iter().enumerate() {
        let (code, why) = asker.refused(&take(i, name));
        assert!(code == 422 && why.contains("`ear` and 1 other part"), "{why}");
    }
    asker.edit(&json!({ "do": "shop", "change": { "add-sheet": {} } }));
    assert_eq!(asker.get("/shop")["sheets"][2]["used_by"], json!([]));
    asker.edit(&take(2, "S235 3 mm"));
    assert!(!asker.text().contains("S235 3 mm"), "{}", asker.text());
}

#[test]
fn counts_prices_and_margins_are_changed_in_the_job() {
    let asker = asker();
    let before = asker.text();
    asker.edit(&set(false, "sheet.0.stock.0.price", Some("14"), Some("15.5")));
    assert_eq!(asker.text(), before.replacen("price = 14 ", "price = 15.5 ", 1));
    asker.edit(&set(false, "sheet.1.stock.0.count", None, Some("3")));
    let answer = asker.edit(&set(false, "margin", None, Some("12 mm")));
    assert!(asker.text().contains("margin  = \"12 mm\"\n"), "{}", asker.text());
    assert_eq!(answer["place"], "shop");
    assert_eq!(answer["job"]["steps"]["undo"][0], "margin default → 12 mm");
    let name = "S235 2 mm";
    asker.edit(&json!({ "do": "shop", "change": { "add-size": { "sheet": 1, "name": name } } }));
    let rows = "stock     = [ { size = [\"500 mm\", \"400 mm\"], count = 3 }, { size = [\"1000 mm\", \"500 mm\"], count = 1 } ]\n";
    assert!(asker.text().contains(rows), "{}", asker.text());
    let out = json!({ "take-size": { "sheet": 1, "name": name, "row": 1, "was": "1000 mm" } });
    asker.edit(&json!({ "do": "shop", "change": out }));
    asker.edit(&json!({ "do": "shop", "change": { "add-sheet": {} } }));
    assert!(asker.text().contains("name      = \"S235 3 mm\"\n"), "{}", asker.text());
    for _ in 0..6 {
        let (code, answer) = asker.post("/step", &json!({ "back": true }));
        assert_eq!((code, &answer["entry"]), (200, &json!("shop")), "{answer}");
    }
    assert_eq!(asker.text(), before);
    for (path, was, value) in [
        ("sheet.0.stock.0.count", None, "a few"),
        ("sheet.0.stock.0.price", Some("14"), "14,50"),
        ("margin", None, "8 mmm"),
        ("part.0.name", Some("ear"), "x"),
        ("sheet.0.material", Some("S235"), "S23"),
    ] {
        let (code, why) = asker.refused(&set(false, path, was, Some(value)));
        assert!(code == 422 && !why.is_empty(), "{path}: {why}");
    }
    let (code, _) = asker.refused(&set(false, "margin", Some("9 mm"), Some("10 mm")));
    assert_eq!(code, 409, "something else stands there");
}

#[test]
fn the_shop_file_is_changed_and_undone_between_changes_of_the_job() {
    let asker = asker();
    let job = asker.text();
    asker.edit(&set(true, "cutting.0.kerf", Some("0.2 mm"), Some("0.3 mm")));
    assert_eq!(shop_text(&asker), SHOP.replacen("0.2 mm", "0.3 mm", 1));
    asker.edit(&set(false, "margin", None, Some("12 mm")));
    asker.edit(&set(true, "coating", None, Some("0.1 mm")));
    assert!(shop_text(&asker).contains("coating = \"0.1 mm\"\n"), "{}", shop_text(&asker));
    let margin = asker.get("/shop")["job"].clone();
    assert_eq!(
        field(&margin, "coating")["value"],
        "0.1 mm",
        "what the shop says holds for the job"
    );
    for text in ["no film", "0,1 mm"] {
        let (code, why) = asker.refused(&set(true, "coating", Some("0.1 mm"), Some(text)));
        assert!(code == 422 && !why.is_empty(), "{why}");
    }
    // A change written here is not mistaken for one from outside.
    let version = asker.get("/job")["version"].clone();
    asker.opened.outside(true).unwrap();
    assert_eq!(asker.get("/job")["version"], version);
    for _ in 0..3 {
        let (code, answer) = asker.post("/step", &json!({ "back": true }));
        assert_eq!(code, 200, "{answer}");
    }
    assert_eq!((asker.text(), shop_text(&asker)), (job, SHOP.to_owned()));
    asker.post("/step", &json!({ "back": false }));
    assert!(shop_text(&asker).contains("0.3 mm"), "done again");
}

/// A second layout leaves a remnant of a sheet of the same name: it has a number, and the first stays.
#[test]
fn a_second_remnant_of_one_name_has_a_number() {
    let asker = Asker::new(JOB, false);
    let add = |long: &str| {
        let stock = format!(
            "{{ name = \"remnant of S 1\", size = [\"{long}\", \"90 mm\"], count = 1, first = true }}"
        );
        let change = json!({ "add-remnant": { "sheet": 0, "name": "S235 4 mm", "stock": stock, "from": {} } });
        json!({ "do": "shop", "change": change })
    };
    asker.edit(&add("200 mm"));
    let (code, why) = asker.refused(&add("200 mm"));
    assert!(code == 422 && why.contains("in the stock already"), "{why}");
    asker.edit(&add("150 mm"));
    let text = asker.text();
    assert!(text.contains("{ name = \"remnant of S 1\", size = [\"200 mm\""), "{text}");
    assert!(text.contains("{ name = \"remnant of S 1, 2\", size = [\"150 mm\""), "{text}");
}
