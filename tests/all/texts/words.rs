//! Retired words: no text for users has them any more, and an old key gets a finding that names the
//! new one.
//!
//! One list, [`GONE`], has the words with their replacements. Everything is read: the help of every
//! command, the findings of `parts/bad`, all shipped texts, the checks, the tables, the schemas,
//! and the files of the demo: drawings, orders and the page among them.

use crate::demo;
use platewright::check;
use platewright::diag::Finding;
use platewright::diag::Sources;
use platewright::document::RENAMED;
use platewright::document::Renamed;
use platewright::document::now_called;
use platewright::job;
use platewright::job::Shelf;
use platewright::recipe;
use platewright::recipe::SHIPPED;
use platewright::schema;
use platewright::shop;
use platewright::solve;
use platewright::table::Tables;
use std::fs;
use std::io::Read as _;
use std::path::Path;
use std::path::PathBuf;
use std::process::Command;

/// The retired words with their replacements. Whole words only: `rim` is not in `trim`.
const GONE: &[(&str, &str)] = &[
    ("rim", "edge, outline, sheet edge"),
    ("rims", "edges, outlines"),
    ("mortise", "slot, tongue_slot"),
    ("mortises", "slots"),
    ("askew", "diagonal, at an angle, out of line"),
    ("urgency", "priority"),
    ("faces_alike", "may_flip"),
    ("least_remnant", "min_remnant"),
    ("least_engagement", "min_engagement"),
    ("shopping", "purchase"),
    ("least_flange", "min_flange"),
    ("least_clamp", "min_clamp"),
    ("most_turn", "max_angle"),
    ("hand_hour", "labour_hour"),
    ("a_minute", "cut_per_minute"),
    ("turn_deg", "angle_deg, orientation_deg"),
    ("usage_percent", "yield_percent"),
    ("most_percent", "upper_bound_percent"),
    ("least flange", "minimum flange"),
    ("least radius", "minimum radius"),
    ("least web", "minimum web"),
    ("least distance", "minimum distance"),
    ("greatest", "maximum, largest"),
    ("middles", "centres"),
    ("the middle", "the centre"),
    ("cannot exceed", "upper bound"),
    ("found no place", "could not be placed"),
    ("find no place", "cannot be placed"),
    ("wrong use", "usage error"),
    ("stands over", "overrides"),
    ("stand over", "override"),
    ("on top of the shipped", "over the shipped"),
    ("lay your own", "override with your own"),
    ("another hand", "independent code"),
    ("hold them against", "compare them with"),
    ("held against", "compared with"),
    ("way of cutting", "process"),
    ("ways of cutting", "processes"),
    ("drawn side", "top side"),
    ("other side up", "bottom side up"),
    ("drawn side up", "top side up"),
    ("uses up", "bend allowance, bend deduction"),
    ("measured over the outside", "outside dimensions"),
    ("too large to be meant", "too large"),
    ("means nothing here", "there is no key"),
    ("are asked for", "is required"),
    ("are wanted", "is needed"),
    ("mm are needed", "mm is needed"),
    ("stands beside", "obstacle, is beside"),
    ("hangs on no bend", "is carried by no bend"),
    ("hangs on two bends", "has two bends leading to it"),
    ("on whose word", "from which source"),
    ("was told of", "was given"),
    ("to mend it", "fix"),
    ("to mend", "to repair"),
    ("told out", "expanded"),
    ("is taken, as nothing is said", "assumed"),
    ("run into each other", "collide, overlap"),
    ("runs into each other", "collides"),
    ("folded sizes", "formed dimensions"),
    ("no-papers", "no-drawings"),
    ("papers/", "drawings/"),
    ("a paper for the shop", "a shop drawing"),
    ("from below", "Y, from the bottom edge"),
    ("from left", "X, from the left edge"),
    ("is the kerf in", "no kerf compensation"),
    ("what was found", "checks: clear, or the number of cautions"),
    ("nothing was found", "checks: clear"),
    ("which line is what", "lines:"),
    ("where from?", "datum:"),
    ("which way does the grain run", "grain:"),
    ("what is drilled later", "holes to finish after cutting"),
    ("good to know", "data"),
    ("before you start", "notes"),
    ("cut now", "as cut"),
    ("now, later", "pilot, drill"),
    ("turn until", "bend to"),
    ("order of bending", "bend sequence"),
    ("the face that is drawn first", "base face"),
    ("none must be kept free", "no masking needed"),
    ("are large enough for it", "what the diameter becomes when coated"),
    ("holes sized for coating", "what the diameter becomes when coated"),
    ("left on each side", "clearance per side"),
    ("least and most", "min, max; worst case"),
    ("nut over corners", "nut across corners"),
    ("until it touches", "touches"),
    ("as nothing is said", "assumed"),
    ("kerf is not applied", "no kerf compensation"),
    ("ordered are", "quantities are exact"),
    ("drawn is", "top side shown"),
    ("upper side", "top side"),
    ("bent later", "bent by us"),
    ("found a place", "could not be placed"),
    ("what to do:", "fix:"),
    ("title strip", "title block"),
    ("title strips", "title blocks"),
    ("shop's book", "stock book"),
    ("point of action", "point of application"),
    ("the same in", "also in"),
    ("share of the sheets", "material yield"),
    ("length of all cuts", "cut length"),
    ("hands, min", "labour, min"),
    ("least gap", "min. gap"),
    ("to be set from", "adjustable from"),
    ("comes here", "join page … here"),
    ("paper of the part", "drawing of the part"),
    ("cut long first", "first cut to"),
    ("without saw cuts", "saw kerf not included"),
    ("times as large", "scaled by"),
    ("has another shape", "has a different shape"),
    ("may lie either way", "any orientation"),
    ("without saying", "default"),
    ("leave it away", "leave it out"),
    ("take it away", "remove it"),
    ("take one of them away", "remove one of them"),
    ("fault of platewright", "error in platewright"),
    ("k value", "K-factor"),
    ("rattles", "has too much play"),
    ("runs into", "overlaps"),
    ("runs out of", "runs off"),
    ("case does not count", "names that differ only in case"),
    ("own money", "currency"),
    ("spanner", "wrench"),
    ("not assessed", "not judged"),
    ("cut again", "remake from a new blank"),
    ("bend again", "bend to the new drawing"),
    ("finish again", "finish to the new drawing"),
    ("no fewer do", "proven minimum"),
    ("of film", "of coating"),
    ("film of", "coating of, thickness"),
    ("two films", "twice the coating thickness"),
    ("basic thread height", "% of thread"),
    ("points by measures", "points by measurement"),
    ("other measures", "other measurements"),
    ("spare measure", "extra measurement"),
    ("spare measures", "extra measurements"),
    ("asked for", "nominal, required"),
    ("not known to", "95 % limits wider than"),
    ("can i order", "ready to order"),
    ("look first", "check first"),
    ("drawing of the set", "assembly drawing"),
    ("were let go", "were released"),
    ("nobody can name", "not identified"),
    ("stands before this one", "is above this one"),
    ("stands for itself", "is defined by itself"),
    ("take off the burr", "deburr"),
    ("open corner of", "included angle of"),
    ("whom it went to", "recipient"),
    ("made if missing", "created if missing"),
    ("counted from flat", "measured from flat"),
    ("count from flat", "are measured from flat"),
    ("stays the truth", "remains the master"),
    ("see what stands at", "see the messages at"),
    ("changed outside", "changed in the file"),
    ("is no number", "is not a number"),
    ("yes or no", "true or false"),
    ("parts of one set", "parts of one assembly"),
    ("mass of one set", "mass of one assembly"),
    ("both its stretches", "both parts of it"),
    ("clear but for", "clear except"),
    ("by film", "by coating thickness"),
    ("its film", "its coating thickness"),
    ("begins one", "starts one"),
    ("says another", "sets another"),
    ("shop's file", "shop file"),
    ("job's file", "job file"),
    ("is waited for", "waits for"),
    ("is moved up", "is upgraded"),
    ("one-man shop", "small shop"),
    ("lines without words", "lines without labels"),
    ("as-now", "accept-changes"),
    ("yourself the right", "get permission to"),
    ("what it touches", "what it affects"),
    ("only reads", "is read-only"),
    ("laid out on it", "nested on it"),
    ("being worked out", "working"),
    ("where both lie", "where both are"),
    ("re-entrant", "inside corner"),
    ("inward corner", "inside corner"),
    ("outward corner", "outside corner"),
    ("phantom lines", "long-dashed double-dotted lines"),
    ("crookedness", "out-of-straightness"),
    ("taken as crooked", "initial out-of-straightness"),
    ("pressed and bent", "in compression and bending"),
    ("neutral fibre", "neutral axis"),
    ("water jet", "waterjet"),
    ("water-jet", "waterjet"),
    ("up to and with", "up to and including"),
    ("straight away from", "directly away from"),
    ("so much larger", "larger by"),
    ("less far", "through a smaller angle"),
    ("lays over the face", "folds over the face"),
    ("off the left end", "from the left end of the bend"),
    ("before anything is bent", "before the bend starts"),
    ("say already", "already say"),
    ("says already", "already says"),
    ("are one point", "coincide"),
    ("more steeply", "at a steeper angle"),
    ("takes itself", "is taken from itself"),
    ("a unit in two words", "a unit with a space in it"),
    ("other heel", "heel of the other end"),
    ("for each row a line", "one line for each row"),
    ("by measures", "by measurement"),
    ("no straight line", "not a straight line"),
    ("is no part of", "is not a part of"),
    ("folded part", "formed part"),
    ("folded parts", "formed parts"),
    ("its maker", "its manufacturer"),
    ("makers", "manufacturers"),
    ("maker's", "manufacturer's"),
    ("at a slant", "at an angle, diagonal, oblique"),
    ("slanting", "diagonal, oblique, sloping"),
    ("neutral fibre", "neutral axis"),
    ("off upright", "from vertical"),
    ("square off", "at right angles"),
    ("turned over", "flipped over"),
    ("dark page", "dark theme"),
    ("no proof", "does not prove"),
    ("never more than they are", "never overstated"),
    ("is no value", "is not a value"),
    ("computed, by their names", "calculated, by name"),
    ("at one place", "coincide"),
    ("two points apart", "two points that are apart"),
    ("not to be welded", "must not be welded"),
    ("the ending .db", "the extension .db"),
    ("gets to it once", "cannot reach it after bending"),
    ("nothing to lie on", "no metal under it"),
    ("rests at", "after springback"),
    ("lies on the table", "as loaded on the machine table"),
    ("than was thought", "than intended"),
    ("come out along", "run along"),
    ("tells apart", "distinguishes"),
    ("in which order rolled", "the order of rolled"),
    ("left out on request", "not drawn"),
    ("on the dial", "0° or more and less than 360°"),
    ("heat ruins its ball", "heat ruins race and grease"),
    ("films and squeeze", "coatings, compression of rubber"),
    ("not shown by these measurements", "cannot be found from these measurements"),
    ("gap reduced by both", "in the narrower gap"),
    ("ends of tubes", "tube ends"),
];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_owned()
}

/// Where a whole word is in a text.
fn stands_alone(text: &str, word: &str) -> Option<usize> {
    let letter = |c: char| c.is_alphanumeric() || c == '_';
    let bounds =
        |c: Option<char>, edge: Option<char>| !(c.is_some_and(letter) && edge.is_some_and(letter));
    text.match_indices(word).map(|(at, _)| at).find(|at| {
        let (before, after) = (&text[..*at], &text[at + word.len()..]);
        bounds(before.chars().next_back(), word.chars().next())
            && bounds(after.chars().next(), word.chars().next_back())
    })
}

/// Every retired word in a text, with its line.
fn gone(name: &str, text: &str) -> Vec<String> {
    let small = text.to_lowercase();
    let found = |(word, now): &(&str, &str)| {
        let at = stands_alone(&small, word)?;
        let line = small[..at].matches('\n').count();
        let shown = small.lines().nth(line).unwrap_or_default().trim();
        let shown: String = shown.chars().take(160).collect();
        Some(format!("{name}:{}: `{word}` (now: {now}) in: {shown}", line + 1))
    };
    GONE.iter().filter_map(found).collect()
}

fn holds_none(texts: impl IntoIterator<Item = (String, String)>, at_least: usize) {
    let mut read = 0;
    let mut faults = Vec::new();
    for (name, text) in texts {
        read += 1;
        faults.extend(gone(&name, &text));
    }
    assert!(read >= at_least, "only {read} texts were read");
    assert!(faults.is_empty(), "{} words:\n{}", faults.len(), faults.join("\n"));
}

fn platewright(arguments: &[&str]) -> (String, String) {
    let mut program = Command::new(env!("CARGO_BIN_EXE_platewright"));
    let run = program.current_dir(root()).args(arguments).output().unwrap();
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    (text(&run.stdout), text(&run.stderr))
}

/// The text files below a folder, by their names within it.
fn texts(folder: &Path, endings: &[&str]) -> Vec<(String, String)> {
    let mut found = Vec::new();
    let mut open = vec![folder.to_owned()];
    while let Some(next) = open.pop() {
        for entry in fs::read_dir(&next).unwrap() {
            let path = entry.unwrap().path();
            let name = path.strip_prefix(folder).unwrap().display().to_string().replace('\\', "/");
            if path.is_dir() {
                open.push(path);
            } else if endings.iter().any(|ending| name.ends_with(ending)) {
                let bytes = fs::read(&path).unwrap();
                found.push((name, String::from_utf8_lossy(&bytes).into_owned()));
            }
        }
    }
    found.sort();
    found
}

/// The read-mes and lists in the packages of a folder.
fn packed(folder: &Path) -> Vec<(String, String)> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|ending| ending != "zip") {
            continue;
        }
        let mut package = zip::ZipArchive::new(fs::File::open(&path).unwrap()).unwrap();
        for i in 0..package.len() {
            let mut file = package.by_index(i).unwrap();
            let name = file.name().unwrap().into_owned();
            if name.ends_with(".txt") || name.ends_with(".csv") {
                let mut text = String::new();
                file.read_to_string(&mut text).unwrap();
                found.push((name, text));
            }
        }
    }
    found
}

#[test]
fn a_gone_word_is_found_where_it_stands_alone() {
    assert_eq!(gone("x", "Trim the trimmings, merrily").len(), 0);
    assert_eq!(gone("x", "first\nnear the Rim.").len(), 1);
    assert!(gone("x", "first\nnear the Rim.")[0].starts_with("x:2: `rim`"));
    assert_eq!(gone("x", "it cannot exceed 3").len(), 1);
}

#[test]
fn the_help_of_every_command_has_no_gone_word() {
    let (help, _) = platewright(&["--help"]);
    let commands = help.lines().skip_while(|line| *line != "Commands:").skip(1);
    let names = commands.take_while(|line| !line.is_empty());
    let names: Vec<&str> = names.filter_map(|line| line.split_whitespace().next()).collect();
    let one = |name: &&str| ((*name).to_owned(), platewright(&[name, "--help"]).0);
    let mut all: Vec<(String, String)> = names.iter().map(one).collect();
    all.push(("--help".into(), help));
    holds_none(all, 11);
}

/// `explain` lists the checks by the first line of what is said of each.
#[test]
fn the_first_line_about_a_check_is_whole() {
    for (code, text) in check::explanations() {
        let (first, rest) = text.split_once('\n').unwrap_or_else(|| panic!("{code}: one line"));
        assert!(first.ends_with('.') && rest.starts_with('\n'), "{code}: {first}");
    }
}

#[test]
fn the_checks_tables_recipes_and_schemas_have_no_gone_word() {
    let checks = check::explanations().into_iter();
    let mut all: Vec<(String, String)> =
        checks.map(|(code, text)| (format!("explain {code}"), format!("{code}: {text}"))).collect();
    for name in Tables::shipped().names() {
        all.push((format!("tables {name}"), platewright(&["tables", name]).0));
    }
    for (name, _) in SHIPPED {
        all.push((format!("recipes {name}"), platewright(&["recipes", name]).0));
        all.push((format!("new {name}"), platewright(&["new", name]).0));
    }
    for (name, schema) in
        [("recipe", schema::recipe()), ("job", schema::job()), ("report", schema::report())]
    {
        all.push((format!("schema {name}"), serde_json::to_string_pretty(&schema).unwrap()));
    }
    holds_none(all, 80);
}

/// The findings of files that contain old keys name them: they are left out here.
fn renamed(name: &str) -> bool {
    name.contains("renamed")
}

#[test]
fn the_findings_of_the_bad_files_have_no_gone_word() {
    let bad = root().join("parts/bad");
    let files = texts(&bad, &[".toml"]).into_iter().filter(|(name, _)| !renamed(name));
    let run = |(name, _): (String, String)| {
        let path = format!("parts/bad/{name}");
        let (_, found) = match name.starts_with("jobs/") {
            true => platewright(&["check", &path]),
            false => platewright(&["recipes", &path]),
        };
        (name, found)
    };
    holds_none(files.map(run), 350);
}

#[test]
fn the_shipped_texts_have_no_gone_word() {
    let parts = texts(&root().join("parts"), &[".toml", ".md", ".csv", ".json"]);
    let parts = parts.into_iter().filter(|(name, _)| !renamed(name));
    let own = ["README.md", "DEVELOPERS.md"].map(|name| {
        let text = fs::read_to_string(root().join(name)).unwrap();
        (name.to_owned(), text)
    });
    holds_none(parts.chain(own), 350);
}

#[test]
fn the_page_has_no_gone_word() {
    let own = texts(&root().join("src/serve/page"), &[".mjs", ".html"]).into_iter();
    let is_said = |line: &&str| !line.trim_start().starts_with("//");
    let said = |text: &str| text.lines().filter(is_said).collect::<Vec<_>>().join("\n");
    holds_none(own.map(|(name, text)| (name, said(&text))), 17);
}

#[test]
fn the_demo_has_no_gone_word() {
    let demo = demo::made();
    let (printed, said) = (demo.printed.clone(), demo.said.clone());
    assert!(printed.contains("written"), "{said}");
    let endings = [".json", ".csv", ".svg", ".dxf", ".sha256", ".html", ".txt", ".step"];
    let files = texts(&demo.folder, &endings).into_iter();
    let orders = packed(&demo.folder.join("order"));
    assert!(orders.len() >= 8, "only {} texts are in the orders", orders.len());
    let terminal = [("terminal".to_owned(), printed), ("terminal, errors".to_owned(), said)];
    holds_none(files.chain(orders).chain(terminal), 150);
}

/// A job with keys at its top, in its sheet, in its part and below.
fn job_with(top: &str, sheet: &str, part: &str, below: &str) -> String {
    format!(
        "process = \"waterjet\"\n{top}\n[[sheet]]\nname = \"a\"\nmaterial = \"S235\"\n\
         thickness = \"4 mm\"\nstock = [ {{ size = [\"500 mm\", \"400 mm\"] }} ]\n{sheet}\n\
         [[part]]\nrecipe = \"tab\"\nname = \"one\"\nsheet = \"a\"\n{part}\n{below}"
    )
}

/// A recipe with text after its blank's plate, in its face and below.
fn recipe_with(blank: &str, face: &str, below: &str) -> String {
    let plate = "{ add = \"rectangle\", width = \"90 mm\", height = \"90 mm\" }";
    format!("about = \"x\"\n[face.plate]\nblank = [ {plate}, {blank} ]\n{face}\n{below}")
}

fn in_recipe(text: &str) -> Vec<Finding> {
    let source = Sources::default().add("x.toml", text);
    recipe::read("x", source, text, &|_| None).err().unwrap_or_default()
}

fn in_job(text: &str) -> Vec<Finding> {
    let tables = Tables::shipped();
    let shelf = Shelf::shipped(&tables);
    let mut sources = Sources::default();
    let source = sources.add("job.toml", text);
    let solved = job::read("job", source, text, &shelf, &mut sources)
        .and_then(|job| solve::solve(&job, &shelf, &mut sources, &|| {}).map(|_| ()));
    solved.err().unwrap_or_default()
}

fn in_shop(text: &str) -> Vec<Finding> {
    let source = Sources::default().add("shop.toml", text);
    shop::read(source, text, &Tables::shipped()).err().unwrap_or_default()
}

/// A shipped recipe that has the new input, and would take the old name for it.
fn recipe_of(row: &Renamed) -> String {
    let takes = |(_, text): &&(&str, &str)| {
        let source = Sources::default().add("x.toml", *text);
        let recipe = recipe::read("x", source, text, &|_| None).unwrap();
        let known = |new: &str| recipe.inputs.contains_key(new);
        now_called(row.old, known) == Some(row.new)
    };
    let found = SHIPPED.iter().find(takes);
    found.unwrap_or_else(|| panic!("no recipe has the input `{}`", row.new)).0.to_owned()
}

/// The findings with a row's old name in its place.
fn found_at(row: &Renamed) -> Vec<Finding> {
    let key = format!("{} = \"1 mm\"", row.old);
    let brake = "[[brake]]\nname = \"b\"\nkind = \"straight\"\n";
    match row.place {
        "step" => in_recipe(&recipe_with(
            &format!("{{ cut = \"saddle\", tube = \"9 mm\", {key} }}"),
            "",
            "",
        )),
        "tube" => {
            let cut = format!("{{ cut = \"tube\", tube = \"a\", {key} }}");
            in_recipe(&recipe_with(&cut, "", ""))
        }
        "cut_folded" => in_recipe(&recipe_with("", "", &format!("[[cut_folded]]\n{key}"))),
        "belt" => in_recipe(&recipe_with(
            &format!("{{ add = \"belt\", round = [ {{ bar = \"9 mm\", {key} }} ] }}"),
            "",
            "",
        )),
        "hole" => {
            let hole = format!("holes = [ {{ name = \"a\", diameter = \"9 mm\", {key} }} ]");
            in_recipe(&recipe_with("", &hole, ""))
        }
        "mark" => {
            in_recipe(&recipe_with("", &format!("marks = [ {{ text = \"A\", {key} }} ]"), ""))
        }
        "clevis" => in_recipe(&recipe_with("", "", &format!("[clevis]\n{key}"))),
        "varies" => in_recipe(&recipe_with("", "", &format!("[clevis]\nvaries = {{ {key} }}"))),
        "bend" => in_recipe(&recipe_with("", "", &format!("[bend.a]\n{key}"))),
        "input" => {
            let input = format!("[inputs]\na = {{ kind = \"length\", about = \"x\", {key} }}");
            in_recipe(&recipe_with("", "", &input))
        }
        "job" => in_job(&job_with(&key, "", "", "")),
        "cutouts" => in_job(&job_with(&format!("cutouts = {{ {key} }}"), "", "", "")),
        "sheet" => in_job(&job_with("", &key, "", "")),
        "part" => in_job(&job_with("", "", &key, "")),
        "direction" => {
            let load = "[[load]]\nname = \"l\"\npart = \"tab\"\nforce = \"1 kN\"\nhole = \"eye\"";
            in_job(&job_with("", "", "", &format!("{load}\ndirection = \"{}\"", row.old)))
        }
        "obstacle" => {
            let near = format!("obstacles = [ {{ name = \"a\", {key} }} ]");
            in_job(&job_with("", "", &near, ""))
        }
        "link" => in_job(&job_with("", "", "", &format!("[[link]]\n{key}"))),
        "given" => {
            let text = job_with("", "", &format!("given = {{ {key} }}"), "");
            in_job(&text.replace("\"tab\"", &format!("\"{}\"", recipe_of(row))))
        }
        "shop" => in_shop(&key),
        "cutting" => in_shop(&format!("[[cutting]]\nprocess = \"laser\"\n{key}")),
        "brake" => in_shop(&format!("{brake}{key}")),
        "die" => in_shop(&format!("[[brake]]\nkind = \"press\"\n[[brake.die]]\n{key}")),
        "punch" => in_shop(&format!("[[brake]]\nkind = \"press\"\n[[brake.punch]]\n{key}")),
        "rates" => in_shop(&format!("[rates]\n{key}")),
        "rates.cutting" => in_shop(&format!("[rates]\n[[rates.cutting]]\n{key}")),
        "rates.metal" => in_shop(&format!("[rates]\n[[rates.metal]]\n{key}")),
        place => panic!("no template for the place `{place}`"),
    }
}

#[test]
fn every_old_name_is_told_its_new_one_where_it_stood() {
    for row in RENAMED {
        let wanted = format!("`{}`", row.new);
        if let Some(table) = row.place.strip_prefix("table ") {
            let text = format!("name, {}, source, basis\nmine, 1 mm, us, seen\n", row.old);
            let errors = Tables::shipped().clone().add(table, &text).err().unwrap_or_default();
            let told = errors.iter().any(|error| error.fault.help() == format!("write {wanted}"));
            assert!(told, "{} in {}: {errors:?}", row.old, row.place);
            continue;
        }
        if row.place == "explain" {
            let (_, said) = platewright(&["explain", row.old]);
            assert!(said.contains(&wanted), "explain {}: {said}", row.old);
            continue;
        }
        let found = found_at(row);
        let meets = |finding: &&Finding| {
            let renamed = finding.code == "renamed-key" && finding.headline.contains(&wanted);
            let input = finding.code == "unknown-input"
                && finding.help.as_deref() == Some(&format!("write {wanted}"));
            if row.place == "given" { input } else { renamed }
        };
        let old = format!("`{}`", row.old);
        let named = found.iter().find(meets).is_some_and(|f| f.headline.contains(&old));
        assert!(named, "{} in {}: {found:?}", row.old, row.place);
    }
}
