//! The compiler keeps crates free of rings, but not modules. This test does.
//!
//! A row of the plan names a room, which is a module at the root, and the rooms it imports from.
//! Rows name only rows above them, so that no cycle can be written down, and no more than is used,
//! so that the plan stays true. Files are checked as well: no file of `src`, in whatever room,
//! imports from itself through others.

use std::collections::BTreeMap;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::path::PathBuf;

/// From top to bottom in the order in which data flows.
pub(super) const PLAN: &[(&str, &[&str])] = &[
    ("num", &[]),
    ("diag", &[]),
    ("quantity", &["num", "diag"]),
    ("geom", &["num"]),
    ("sketch", &["geom"]),
    ("dxf_in", &["num", "quantity", "geom", "sketch"]),
    ("svg_in", &["num", "quantity", "geom", "sketch"]),
    ("outline_in", &["num", "quantity", "geom", "sketch", "dxf_in", "svg_in"]),
    ("bend", &["num"]),
    ("brake", &["num"]),
    ("document", &["diag"]),
    ("table", &["num", "diag", "quantity", "document"]),
    ("entry", &["num", "diag", "quantity", "bend", "document", "table"]),
    ("formula", &["num", "diag", "quantity", "geom", "table"]),
    (
        "recipe",
        &[
            "num",
            "diag",
            "quantity",
            "geom",
            "dxf_in",
            "svg_in",
            "outline_in",
            "bend",
            "document",
            "table",
            "entry",
            "formula",
        ],
    ),
    ("shop", &["num", "diag", "quantity", "geom", "bend", "brake", "document", "table", "entry"]),
    (
        "part",
        &["num", "diag", "quantity", "geom", "bend", "document", "table", "formula", "recipe"],
    ),
    ("flat", &["num", "diag", "geom", "bend", "recipe", "part"]),
    ("fold", &["num", "diag", "geom", "bend", "part", "flat"]),
    ("solid", &["num", "geom", "part", "flat", "fold"]),
    ("machine", &["num", "geom", "part", "fold"]),
    (
        "sequence",
        &["num", "quantity", "geom", "bend", "brake", "table", "shop", "part", "flat", "fold"],
    ),
    (
        "strength",
        &["num", "diag", "quantity", "geom", "bend", "table", "recipe", "part", "flat", "fold"],
    ),
    ("link", &["num", "diag", "quantity", "document", "table", "entry", "strength"]),
    ("fit", &["num", "geom", "table", "recipe", "part"]),
    ("cope", &["num", "geom"]),
    ("joint", &["num", "diag", "quantity", "document", "table", "entry", "recipe", "part"]),
    (
        "check",
        &[
            "num", "diag", "quantity", "geom", "bend", "brake", "table", "formula", "recipe",
            "shop", "part", "flat", "fold", "sequence", "strength", "link", "fit", "joint",
        ],
    ),
    ("nest", &["num", "geom"]),
    ("route", &["num", "geom"]),
    ("write", &["num", "diag", "quantity", "geom", "fold", "solid"]),
    ("view", &["num", "geom", "fold", "solid"]),
    ("paper", &["num", "quantity", "geom", "write"]),
    ("history", &["num", "geom"]),
    ("book", &["num", "diag", "quantity", "geom", "history"]),
    (
        "job",
        &[
            "num", "diag", "quantity", "geom", "bend", "document", "table", "entry", "formula",
            "recipe", "shop", "machine", "strength", "link", "fit", "cope", "joint", "check",
            "nest", "write", "paper", "history", "book",
        ],
    ),
    (
        "solve",
        &[
            "num", "diag", "quantity", "geom", "bend", "brake", "document", "table", "entry",
            "formula", "recipe", "shop", "part", "flat", "fold", "machine", "sequence", "strength",
            "link", "fit", "cope", "joint", "check", "history", "job",
        ],
    ),
    (
        "as_built",
        &[
            "num", "diag", "geom", "bend", "brake", "entry", "recipe", "shop", "part", "fold",
            "job", "solve",
        ],
    ),
    ("place", &["num", "diag", "quantity", "geom", "recipe", "nest", "route", "job", "solve"]),
    (
        "bill",
        &[
            "num", "quantity", "bend", "table", "formula", "recipe", "part", "strength", "link",
            "cope", "joint", "job", "solve",
        ],
    ),
    (
        "draw",
        &[
            "num", "quantity", "geom", "brake", "table", "recipe", "part", "flat", "cope", "route",
            "write", "job", "solve", "place",
        ],
    ),
    (
        "changes",
        &[
            "num", "diag", "quantity", "geom", "part", "flat", "history", "job", "solve", "place",
            "bill", "draw",
        ],
    ),
    (
        "report",
        &[
            "num", "diag", "quantity", "geom", "bend", "brake", "table", "shop", "part", "flat",
            "fold", "solid", "machine", "sequence", "strength", "link", "fit", "cope", "joint",
            "job", "solve", "as_built", "place", "bill", "draw", "changes",
        ],
    ),
    ("lists", &["num", "diag", "quantity", "write", "job", "solve", "place", "bill"]),
    (
        "drawings",
        &[
            "num", "diag", "quantity", "geom", "bend", "entry", "formula", "recipe", "shop",
            "part", "flat", "fold", "solid", "machine", "sequence", "strength", "link", "fit",
            "cope", "joint", "route", "write", "view", "paper", "job", "solve", "place", "bill",
            "draw", "changes", "report",
        ],
    ),
    ("package", &["num", "diag", "quantity", "entry", "write", "history", "job", "solve", "draw"]),
    (
        "report_page",
        &[
            "num", "diag", "quantity", "geom", "flat", "fit", "strength", "write", "paper", "job",
            "solve", "place", "bill", "draw", "changes", "report", "drawings",
        ],
    ),
    (
        "make",
        &[
            "num",
            "diag",
            "quantity",
            "geom",
            "dxf_in",
            "flat",
            "solid",
            "write",
            "job",
            "solve",
            "place",
            "bill",
            "draw",
            "history",
            "changes",
            "report",
            "lists",
            "drawings",
            "package",
            "report_page",
        ],
    ),
    ("workshop", &["diag", "write", "job", "solve", "as_built", "place", "make"]),
    ("schema", &["recipe", "strength", "check", "job", "changes"]),
    (
        "serve",
        &[
            "num",
            "diag",
            "quantity",
            "geom",
            "table",
            "entry",
            "formula",
            "recipe",
            "shop",
            "fold",
            "solid",
            "strength",
            "link",
            "nest",
            "write",
            "view",
            "history",
            "book",
            "job",
            "solve",
            "as_built",
            "place",
            "report",
            "drawings",
            "package",
            "report_page",
            "make",
            "workshop",
            "schema",
        ],
    ),
    (
        "cli",
        &[
            "num",
            "diag",
            "quantity",
            "geom",
            "outline_in",
            "brake",
            "document",
            "table",
            "recipe",
            "shop",
            "check",
            "nest",
            "write",
            "paper",
            "history",
            "book",
            "job",
            "solve",
            "as_built",
            "place",
            "changes",
            "report",
            "drawings",
            "make",
            "workshop",
            "schema",
            "serve",
        ],
    ),
];

/// The roots of library and program, and what runs before either is compiled.
const ROOTS: &[&str] = &["lib", "main", "build"];

/// Lines of code in a file; the tests at its foot are not counted.
const LONGEST_FILE: usize = 400;

/// Lines of a function, from its name to its last brace.
const LONGEST_FUNCTION: usize = 60;

/// A file of `src`, without its tests.
struct Source {
    /// As it is shown, `geom/edge.rs`.
    name: String,
    /// The module at the root it belongs to.
    module: String,
    code: String,
}

fn sources() -> Vec<Source> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = rust_files(&root);
    files.sort();
    assert!(files.len() > 40, "only {} files: is this the whole of src?", files.len());
    let source = |path: PathBuf| {
        let inside = path.strip_prefix(&root).expect("it lies in src");
        let first = inside.iter().next().expect("a file has a name");
        let module = Path::new(first).with_extension("").display().to_string();
        let text = fs::read_to_string(&path).expect("it is text");
        let code = text.split("#[cfg(test)]\nmod tests").next().unwrap_or_default().to_owned();
        Source { name: inside.display().to_string(), module, code }
    };
    files.into_iter().map(source).collect()
}

fn rust_files(folder: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).expect("the folder is there") {
        let path = entry.expect("it can be listed").path();
        if path.is_dir() {
            files.extend(rust_files(&path));
        } else if path.extension().is_some_and(|e| e == "rs") {
            files.push(path);
        }
    }
    files
}

/// The names right behind `crate::` in the code, comments left out; behind `platewright::` in the
/// program, which is outside the library.
fn imports(code: &str) -> BTreeSet<&str> {
    let lines = code.lines().map(|line| line.split("//").next().unwrap_or_default());
    let inside = lines.clone().flat_map(|line| line.split("crate::").skip(1));
    let outside = lines.flat_map(|line| line.split("platewright::").skip(1));
    inside
        .chain(outside)
        .map(|rest| &rest[..rest.find(|c| !is_letter(c)).unwrap_or(rest.len())])
        .collect()
}

fn is_letter(c: char) -> bool {
    c.is_alphanumeric() || c == '_'
}

/// What is wrong with a file besides its imports.
fn untidy(source: &Source) -> Vec<String> {
    let mut faults = Vec::new();
    let mut fault = |words: &str| faults.push(format!("{} {words}", source.name));
    let lines = source.code.lines().count();
    if lines > LONGEST_FILE {
        fault(&format!("has {lines} lines of code, but {LONGEST_FILE} are the most"));
    }
    if source.name.ends_with("mod.rs") {
        fault("is a `mod.rs`: call it by its module");
    }
    for line in source.code.lines().map(str::trim) {
        if line.contains("super::super") {
            fault("climbs twice: start from `crate`");
        }
        let is_use = line.starts_with("use ") || line.starts_with("pub use ");
        if is_use && line.contains("crate::{") {
            fault("imports several things in one line");
        }
        if line.starts_with("pub") && is_use && line.ends_with("*;") {
            fault("re-exports everything: name what is meant");
        }
    }
    faults
}

#[test]
fn each_row_names_only_rows_above_it() {
    for (i, (module, may)) in PLAN.iter().enumerate() {
        for used in *may {
            let above = PLAN[..i].iter().any(|(name, _)| name == used);
            assert!(above, "`{module}` names `{used}`, which does not stand above it");
        }
    }
}

#[test]
fn imports_follow_the_plan() {
    let mut faults = Vec::new();
    let mut unused: BTreeSet<(&str, &str)> =
        PLAN.iter().flat_map(|(m, may)| may.iter().map(move |used| (*m, *used))).collect();
    let sources = sources();
    for source in &sources {
        faults.extend(untidy(source));
        if ROOTS.contains(&source.module.as_str()) {
            continue;
        }
        let Some((module, may)) = PLAN.iter().find(|(m, _)| *m == source.module) else {
            faults.push(format!("{} is not on the plan", source.name));
            continue;
        };
        for used in imports(&source.code) {
            unused.remove(&(*module, used));
            if used != *module && !may.contains(&used) {
                faults.push(format!("{} imports `{used}`", source.name));
            }
        }
    }
    faults.extend(
        unused.iter().map(|(m, used)| format!("the plan lets `{m}` use `{used}`: no need")),
    );
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn the_plan_can_see_what_it_forbids() {
    let code = "use crate::geom::Edge;\nlet x = crate::num::PI; // crate::nest\n";
    assert_eq!(imports(code), BTreeSet::from(["geom", "num"]));
    let bad = Source {
        name: "geom/mod.rs".into(),
        module: "geom".into(),
        code: "use crate::{num, geom};\npub use edge::*;\nuse super::super::x;\n".repeat(200),
    };
    let faults: BTreeSet<String> = untidy(&bad).into_iter().collect();
    assert_eq!(faults.len(), 5, "{faults:?}");
}

/// The code with comments, texts and letters blanked out, line by line as before.
fn bare(code: &str) -> String {
    let signs: Vec<char> = code.chars().collect();
    let mut out = String::with_capacity(code.len());
    let mut at = 0;
    while at < signs.len() {
        let end = skipped(&signs, at);
        if end == at {
            out.push(signs[at]);
            at += 1;
            continue;
        }
        out.extend(signs[at..end].iter().map(|c| if *c == '\n' { '\n' } else { ' ' }));
        at = end;
    }
    out
}

/// The end of the comment, text or letter that begins at a place; the place itself else.
fn skipped(signs: &[char], at: usize) -> usize {
    let is = |i: usize, c: char| signs.get(i) == Some(&c);
    let until = |from: usize, done: &dyn Fn(usize) -> bool| {
        (from..signs.len()).find(|i| done(*i)).unwrap_or(signs.len())
    };
    if is(at, '/') && is(at + 1, '/') {
        return until(at, &|i| is(i, '\n'));
    }
    if is(at, '/') && is(at + 1, '*') {
        return until(at + 2, &|i| is(i, '*') && is(i + 1, '/')) + 2;
    }
    let hashes = (at + 1..).take_while(|i| is(*i, '#')).count();
    let in_a_word = at > 0 && is_letter(signs[at - 1]) && !is(at - 1, 'b');
    if is(at, 'r') && is(at + 1 + hashes, '"') && !in_a_word {
        let closes = |i: usize| is(i, '"') && (1..=hashes).all(|n| is(i + n, '#'));
        return until(at + 2 + hashes, &closes) + 1 + hashes;
    }
    if is(at, '"') {
        let mut i = at + 1;
        while i < signs.len() && !is(i, '"') {
            i += if is(i, '\\') { 2 } else { 1 };
        }
        return (i + 1).min(signs.len());
    }
    // A lifetime has no second mark behind one letter.
    if is(at, '\'') && is(at + 1, '\\') {
        return until(at + 3, &|i| is(i, '\'')) + 1;
    }
    if is(at, '\'') && is(at + 2, '\'') {
        return at + 3;
    }
    at
}

/// The module of a file: `geom/edge.rs` is `geom`, `edge`; the root is none.
fn module(name: &str) -> Vec<String> {
    let stem = name.trim_end_matches(".rs");
    if stem == "lib" || stem == "main" {
        return Vec::new();
    }
    stem.split(std::path::is_separator).map(str::to_owned).collect()
}

/// Every path in some code, as its segments; groups in braces are taken apart.
fn paths(code: &str) -> Vec<Vec<String>> {
    let signs: Vec<char> = code.chars().collect();
    let mut found = Vec::new();
    let mut at = 0;
    while at < signs.len() {
        let begins =
            is_letter(signs[at]) && (at == 0 || !is_letter(signs[at - 1]) && signs[at - 1] != ':');
        at = if begins { path(&signs, at, &[], &mut found) } else { at + 1 };
    }
    found
}

/// Reads one path with the text before it, and returns the position after it.
fn path(signs: &[char], from: usize, before: &[String], found: &mut Vec<Vec<String>>) -> usize {
    let mut segments = before.to_vec();
    let mut at = from;
    loop {
        let end = (at..signs.len()).find(|i| !is_letter(signs[*i])).unwrap_or(signs.len());
        segments.push(signs[at..end].iter().collect());
        at = end;
        if signs.get(at) != Some(&':') || signs.get(at + 1) != Some(&':') {
            break;
        }
        at += 2;
        if signs.get(at) == Some(&'{') {
            at += 1;
            while at < signs.len() && signs[at] != '}' {
                at = if is_letter(signs[at]) { path(signs, at, &segments, found) } else { at + 1 };
            }
            return at + 1;
        }
        if !signs.get(at).is_some_and(|c| is_letter(*c)) {
            break;
        }
    }
    found.push(segments);
    at
}

/// The files that each file imports from. A `mod` is no import; a re-export is one.
fn graph(sources: &[Source]) -> BTreeMap<&str, BTreeSet<&str>> {
    let modules: BTreeMap<Vec<String>, &str> =
        sources.iter().map(|s| (module(&s.name), s.name.as_str())).collect();
    let edges = |source: &Source| {
        let own = module(&source.name);
        let target = |path: Vec<String>| {
            let mut whole = match path[0].as_str() {
                "crate" => Vec::new(),
                "self" => own.clone(),
                "super" => own[..own.len().saturating_sub(1)].to_vec(),
                _ => own.clone(),
            };
            let is_child = !matches!(path[0].as_str(), "crate" | "self" | "super");
            whole.extend(path.into_iter().skip(usize::from(!is_child)));
            // The last segment may be an item; a child is one only where it has a file.
            let min = if is_child { own.len() + 1 } else { 1 };
            let ends = (min..=whole.len()).rev();
            ends.filter_map(|end| modules.get(&whole[..end])).next().copied()
        };
        let code = bare(&source.code);
        let all = paths(&code).into_iter().filter(|path| path.len() > 1);
        all.filter_map(target).filter(|file| *file != source.name).collect()
    };
    sources.iter().map(|source| (source.name.as_str(), edges(source))).collect()
}

/// The files that import one another round about, ring by ring.
fn rings<'a>(graph: &BTreeMap<&'a str, BTreeSet<&'a str>>) -> Vec<BTreeSet<&'a str>> {
    let reach = |from: &str| {
        let mut seen: BTreeSet<&'a str> = BTreeSet::new();
        let mut next: Vec<&'a str> = graph[from].iter().copied().collect();
        while let Some(file) = next.pop() {
            if seen.insert(file) {
                next.extend(&graph[file]);
            }
        }
        seen
    };
    let reached: BTreeMap<&str, BTreeSet<&str>> =
        graph.keys().map(|file| (*file, reach(file))).collect();
    let ring = |file: &&'a str| -> BTreeSet<&'a str> {
        reached[file].iter().copied().filter(|other| reached[other].contains(file)).collect()
    };
    let rings: BTreeSet<BTreeSet<&str>> = graph.keys().map(ring).collect();
    rings.into_iter().filter(|ring| !ring.is_empty()).collect()
}

/// The functions of some code that are too long, by name and lines.
fn long_functions(code: &str) -> Vec<(String, usize)> {
    let code = bare(code);
    let lines: Vec<&str> = code.lines().collect();
    let mut long = Vec::new();
    for (first, line) in lines.iter().enumerate() {
        let Some((before, name)) = line.split_once("fn ") else { continue };
        if before.ends_with(is_letter) || !name.starts_with(is_letter) {
            continue;
        }
        let mut open = 0_i32;
        for (last, line) in lines.iter().enumerate().skip(first) {
            let count = |sign: char| line.matches(sign).count() as i32;
            let before = open;
            open += count('{') - count('}');
            let closed = open == 0 && (before > 0 || line.contains('{'));
            if closed && last - first + 1 > LONGEST_FUNCTION {
                let name = name.split(|c| !is_letter(c)).next().unwrap_or_default();
                long.push((name.to_owned(), last - first + 1));
            }
            // A function of a trait may have no body.
            if closed || open == 0 && line.trim_end().ends_with(';') {
                break;
            }
        }
    }
    long
}

#[test]
fn no_files_import_one_another_in_a_ring() {
    let sources = sources();
    let graph = graph(&sources);
    assert!(graph.values().map(BTreeSet::len).sum::<usize>() > graph.len(), "hardly an import");
    let names = |ring: BTreeSet<&str>| ring.into_iter().collect::<Vec<_>>().join(", ");
    let faults: Vec<String> = rings(&graph).into_iter().map(names).collect();
    assert!(faults.is_empty(), "these import one another in a ring:\n{}", faults.join("\n"));
}

#[test]
fn no_function_is_longer_than_a_page() {
    let mut faults = Vec::new();
    for source in sources() {
        let fault = |(name, lines)| format!("{}: `{name}` has {lines} lines", source.name);
        faults.extend(long_functions(&source.code).into_iter().map(fault));
    }
    assert!(faults.is_empty(), "{LONGEST_FUNCTION} are the most:\n{}", faults.join("\n"));
}

#[test]
fn rings_and_long_functions_are_seen() {
    let source = |name: &str, code: &str| Source {
        name: name.into(),
        module: "a".into(),
        code: code.into(),
    };
    let sources = [
        source("lib.rs", "pub mod a;"),
        source("a.rs", "mod b;\nmod c;\nmod d;\nmod e;\npub use b::{B, C};\n"),
        source("a/b.rs", "use crate::a::c::{self, C};\n// crate::a::e\n"),
        source("a/c.rs", "fn c() { super::d::d(\"crate::a::e\") }\n"),
        source("a/d.rs", "fn d() -> crate::a::B { '\\'' }\n"),
        source("a/e.rs", "use crate::a::B;\n"),
    ];
    let graph = graph(&sources);
    let of = |file: &str| graph[file].iter().copied().collect::<Vec<_>>();
    assert_eq!(of("lib.rs"), [""; 0]);
    assert_eq!(of("a.rs"), ["a/b.rs"]);
    assert_eq!(of("a/b.rs"), ["a/c.rs"]);
    assert_eq!(of("a/c.rs"), ["a/d.rs"]);
    assert_eq!(of("a/d.rs"), ["a.rs"]);
    let found = rings(&graph);
    assert_eq!(found, [BTreeSet::from(["a.rs", "a/b.rs", "a/c.rs", "a/d.rs"])]);
    let body = |lines: usize| format!("fn f(x: char) {{\n{}}}\nfn g();\n", "'{';\n".repeat(lines));
    assert_eq!(long_functions(&body(58)), []);
    assert_eq!(long_functions(&body(59)), [("f".to_owned(), 61)]);
}
