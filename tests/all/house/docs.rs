//! What the documents say is so: their examples can be made, their pictures and the
//! schemas are those of today.
//!
//! `PLATEWRIGHT_BLESS=1 cargo test --test all docs::` draws the pictures and writes the schemas
//! anew: look through `git diff parts` before committing.

#![expect(clippy::disallowed_methods, reason = "the switch to write anew is in the environment")]

use crate::demo;
use crate::python;
use platewright::book;
use platewright::book::Book;
use platewright::diag::Finding;
use platewright::diag::Sources;
use platewright::diag::Weight;
use platewright::job;
use platewright::job::Job;
use platewright::job::Shelf;
use platewright::make;
use platewright::make::Made;
use platewright::place::Search;
use platewright::recipe::SHIPPED;
use platewright::schema;
use platewright::shop;
use platewright::solve;
use platewright::table::Tables;
use std::fs;
use std::path::Path;
use std::path::PathBuf;

const DOCUMENTS: [&str; 2] = ["README.md", "parts/README.md"];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_owned()
}

/// The blocks of a document fenced as `toml KIND`, each with its first line's number.
fn blocks(document: &str, kind: &str) -> Vec<(usize, String)> {
    let text = fs::read_to_string(root().join(document)).unwrap();
    let mut blocks = Vec::new();
    let mut lines = text.lines().enumerate();
    while let Some((number, line)) = lines.next() {
        if line == format!("```toml {kind}") {
            let body: Vec<&str> =
                lines.by_ref().map(|(_, line)| line).take_while(|line| *line != "```").collect();
            blocks.push((number + 2, body.join("\n") + "\n"));
        }
    }
    blocks
}

/// A job that makes one of a recipe by its defaults.
fn job_of(recipe: &str) -> String {
    format!(
        "process = \"waterjet\"\n\n[[sheet]]\nname = \"S235 4 mm\"\nmaterial = \"S235\"\n\
         thickness = \"4 mm\"\nstock = [ {{ size = [\"600 mm\", \"400 mm\"] }} ]\n\n\
         [[part]]\nrecipe = \"{recipe}\"\nname = \"{recipe}\"\nsheet = \"S235 4 mm\"\n"
    )
}

/// Makes a job, with one recipe beside it. Findings are drawn, so that a failure can be read.
fn make(name: &str, text: &str, own: Option<&str>) -> Result<(Made, String), String> {
    made(name, text, own, |_| ())
}

/// The same of a job that is changed before.
fn made(
    name: &str,
    text: &str,
    own: Option<&str>,
    change: impl Fn(&mut Job),
) -> Result<(Made, String), String> {
    let tables = Tables::shipped();
    let mut sources = Sources::default();
    let shipped = Shelf::shipped(&tables);
    let recipe = |wanted: &str| match own {
        Some(own) if wanted == name => Some(("example.toml".to_owned(), own.to_owned())),
        _ => (shipped.recipe)(wanted),
    };
    let file = |name: &str| {
        let paths = ["parts", "parts/jobs"].map(|folder| root().join(folder).join(name));
        let text = paths.iter().find_map(|path| fs::read_to_string(path).ok())?;
        Some((name.to_owned(), text))
    };
    let drawing = |name: &str| fs::read(root().join("parts").join(name)).ok();
    let shelf = Shelf { file: &file, drawing: &drawing, recipe: &recipe, ..shipped };
    let source = sources.add("job.toml", text);
    let draw = |findings: &[Finding], sources: &Sources| {
        findings.iter().map(|f| sources.draw(f, false)).collect::<Vec<_>>().join("\n")
    };
    let made = job::read(name, source, text, &shelf, &mut sources).and_then(|mut job| {
        change(&mut job);
        let (solved, found) = solve::solve(&job, &shelf, &mut sources, &|| {})?;
        let picture = make::picture(&job, &solved);
        Ok((make::make(&job, &solved, found, &sources, &Search::none())?, picture))
    });
    let (made, picture) = made.map_err(|findings| draw(&findings, &sources))?;
    let is_empty = made.report.totals.placed == 0 && made.report.tubes.is_empty();
    if made.findings.iter().any(|f| f.weight == Weight::Stop) || is_empty {
        return Err(draw(&made.findings, &sources));
    }
    Ok((made, picture))
}

#[test]
fn the_example_of_a_table_lays_its_row_on_the_shipped_ones() {
    let text = fs::read_to_string(root().join("parts/README.md")).unwrap();
    let csv = text.split("```csv\n").nth(1).unwrap().split("```").next().unwrap();
    let mut tables = Tables::shipped();
    assert!(tables.row("bolt", "M8x1").is_none());
    assert!(tables.add("bolt", csv).unwrap().is_empty());
    let normal = tables.row("bolt", "M8x1").unwrap().measure("normal");
    assert!((normal - 8.6).abs() < 1e-9, "{normal}");
}

#[test]
fn every_example_can_be_made() {
    let mut seen = 0;
    for document in DOCUMENTS {
        for (line, text) in blocks(document, "recipe") {
            let made = make("example", &job_of("example"), Some(&text));
            let (made, _) = made.unwrap_or_else(|e| panic!("{document}:{line}:\n{e}"));
            assert!(made.findings.is_empty(), "{document}:{line}: {:?}", made.findings);
            seen += 1;
        }
        for (line, text) in blocks(document, "job") {
            let made = make("example", &text, None);
            made.unwrap_or_else(|e| panic!("{document}:{line}:\n{e}"));
            seen += 1;
        }
    }
    assert!(seen >= 19, "only {seen} examples were found");
}

/// The list of the reference is the book on which its job is nested.
#[test]
fn the_example_of_the_book_is_nested_on_its_remnant() {
    let text = fs::read_to_string(root().join("parts/README.md")).unwrap();
    let list = text.split("```csv stock\n").nth(1).unwrap().split("```").next().unwrap();
    let tables = Tables::shipped();
    let mut sources = Sources::default();
    let source = sources.add("list.csv", list);
    let entries = book::read(source, list).unwrap();
    let ask =
        |_: Option<&str>| Ok(Some(Book { shown: "shop.db".to_owned(), entries: entries.clone() }));
    let shelf = Shelf { book: &ask, ..Shelf::shipped(&tables) };
    let [(_, job)] = <[_; 1]>::try_from(blocks("parts/README.md", "book-job")).unwrap();
    let source = sources.add("job.toml", &job);
    let mut job = job::read("job", source, &job, &shelf, &mut sources).unwrap();
    job.paper = None;
    let (solved, found) = solve::solve(&job, &shelf, &mut sources, &|| {}).unwrap();
    let made = make::make(&job, &solved, found, &sources, &Search::none()).unwrap();
    assert!(made.findings.is_empty(), "{:?}", made.findings);
    assert_eq!(made.report.totals.placed, 2);
    let on: Vec<Option<i64>> = made.report.sheets.iter().map(|sheet| sheet.book).collect();
    assert_eq!(on, [Some(2)]);
}

#[test]
fn every_shop_in_the_reference_can_be_read() {
    let blocks = blocks("parts/README.md", "shop");
    let mut shops = Vec::new();
    for (line, text) in blocks {
        let mut sources = Sources::default();
        let source = sources.add("shop.toml", &text);
        let shop = shop::read(source, &text, &Tables::shipped());
        let drawn = |f: &Finding| sources.draw(f, false);
        shops.push(shop.unwrap_or_else(|found| {
            panic!("line {line}: {}", found.iter().map(drawn).collect::<Vec<_>>().join("\n"))
        }));
    }
    assert!(shops.iter().any(|s| !s.brakes.is_empty() && !s.measured.is_empty()));
    assert!(shops.iter().any(|s| s.rates.is_some()));
}

/// Compares a generated file with the one in the repository, or writes it again.
fn kept(name: &str, is: &str) {
    let path = root().join("parts").join(name);
    if std::env::var("PLATEWRIGHT_BLESS").is_ok_and(|v| v == "1") {
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(&path, is).unwrap();
    }
    let was = fs::read_to_string(&path).unwrap_or_default();
    assert!(was == is, "parts/{name} is not of today: run with PLATEWRIGHT_BLESS=1 and look");
}

#[test]
fn every_shipped_recipe_has_its_picture_in_the_reference() {
    let reference = fs::read_to_string(root().join("parts/README.md")).unwrap();
    for (name, _) in SHIPPED {
        // Only the picture is looked at: drawings would take most of the time.
        let made = made(name, &job_of(name), None, |job| job.paper = None);
        let (_, picture) = made.unwrap_or_else(|e| panic!("{e}"));
        kept(&format!("pictures/{name}.svg"), &picture);
        assert!(reference.contains(&format!("pictures/{name}.svg")), "{name} is not shown");
    }
    let sheet = demo::made().folder.join("sheets/S235-4-mm-01-picture.svg");
    kept("pictures/demo-sheet.svg", &fs::read_to_string(sheet).unwrap());
}

#[test]
fn the_schemas_fit_all_that_is_shipped_and_refuse_unknown_keys() {
    let print = |value| serde_json::to_string_pretty(&value).unwrap() + "\n";
    let folder = tempfile::tempdir().unwrap();
    for (kind, schema) in [("recipe", schema::recipe()), ("job", schema::job())] {
        let text = print(schema);
        kept(&format!("schema/{kind}.json"), &text);
        fs::write(folder.path().join(format!("{kind}.json")), &text).unwrap();
    }
    kept("schema/report.json", &print(schema::report()));
    let (good, bad) = (folder.path().join("good"), folder.path().join("bad"));
    for folder in [&good, &bad] {
        fs::create_dir(folder).unwrap();
    }
    let mut count = 0;
    let mut put = |kind: &str, text: &str| {
        count += 1;
        fs::write(good.join(format!("{kind}-{count}.toml")), text).unwrap();
        // The same with a key that nobody reads, at the top and in a table further in.
        let planted = format!("colour = \"red\"\n{text}");
        fs::write(bad.join(format!("{kind}-{count}-top.toml")), planted).unwrap();
        let inner = if kind == "recipe" {
            "[face.planted]\ncolour = 1\nblank = []\n"
        } else {
            "[[sheet]]\ncolour = 1\n"
        };
        fs::write(bad.join(format!("{kind}-{count}-inner.toml")), format!("{text}\n{inner}"))
            .unwrap();
    };
    for (_, text) in SHIPPED {
        put("recipe", text);
    }
    for document in DOCUMENTS {
        blocks(document, "recipe").iter().for_each(|(_, text)| put("recipe", text));
        blocks(document, "job").iter().for_each(|(_, text)| put("job", text));
    }
    for entry in fs::read_dir(root().join("parts/jobs")).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|e| e == "toml") {
            put("job", &fs::read_to_string(path).unwrap());
        }
    }
    let passed = python::accepted("check_schema.py", folder.path());
    assert_eq!(passed, 3 * count);
}

#[test]
fn every_file_that_a_contributor_is_led_to_is_there() {
    let text = fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let code = text.split('`').skip(1).step_by(2);
    let links = text.split("](").skip(1).filter_map(|rest| rest.split(')').next());
    let is_ours = |name: &&str| {
        let ours = ["src/", "tests/", "parts/"].iter().any(|folder| name.starts_with(folder));
        // A folder may not be there before something is written to it.
        ours && !name.ends_with('/')
            && !name.contains(|c: char| c.is_whitespace() || c.is_uppercase())
    };
    let names: Vec<&str> = code.chain(links).filter(is_ours).collect();
    assert!(names.len() > 30, "only {} files are named", names.len());
    let gone: Vec<&&str> = names.iter().filter(|name| !root().join(name).exists()).collect();
    assert!(gone.is_empty(), "DEVELOPERS.md names {gone:?}");
}
