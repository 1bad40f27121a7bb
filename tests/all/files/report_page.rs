//! The report page in a browser we did not write: whatever the job, it opens without network,
//! can be read in every way, and shows names as names.

use crate::demo;
use crate::python;
use std::fs;
use std::path::Path;
use std::process::Command;
use tempfile::TempDir;

fn make(folder: &Path, job: &str) -> (Option<i32>, String) {
    fs::write(folder.join("job.toml"), job).unwrap();
    let mut program = Command::new(env!("CARGO_BIN_EXE_platewright"));
    program.current_dir(folder);
    program.args(["make", "job.toml", "--effort", "0", "--no-drawings", "--out", "out"]);
    let run = program.output().unwrap();
    let said = String::from_utf8_lossy(&run.stdout) + String::from_utf8_lossy(&run.stderr);
    (run.status.code(), said.into_owned())
}

/// A job in inches with a part that is bent, and rates.
const INCH: &str = r#"
units = "in"
process = "laser"
sheet = [
  { name = "plate", material = "S235", thickness = "1/8 in", stock = [ { size = ["24 in", "24 in"], price = 20.5 } ] },
  { name = "gauge", material = "S235", thickness = "11 ga", stock = [ { size = ["24 in", "24 in"] } ] },
]
part = [
  { recipe = "tab", name = "ear", quantity = 3, fill = 4, sheet = "plate" },
  { recipe = "strap", name = "band", sheet = "plate" },
  { recipe = "angle", name = "bracket", quantity = 2, sheet = "gauge", given = { bolt = "3/8", base = "2 in", leg = "2 in", gauge = "1-1/4 in" } },
]
"#;

#[test]
fn a_browser_opens_the_page_without_a_network() {
    let passed = python::accepted("check_page.py", &demo::made().folder);
    assert!(passed >= 2000, "only {passed} facts of the page were checked");
}

/// A check that never fails proves nothing: each of these must be found.
#[test]
fn the_check_of_the_page_refuses_each_planted_fault() {
    let folder = TempDir::new().unwrap();
    let (code, said) = make(folder.path(), INCH);
    assert_eq!(code, Some(0), "{said}");
    let out = folder.path().join("out");
    let path = out.join("report.html");
    let good = fs::read_to_string(&path).unwrap();
    python::accepted("check_page.py", &out);
    // The content and the look of the page; all in one page: the browser is started once.
    let looks = [
        ("<main id=\"main\" tabindex=\"-1\">", "<div id=\"main\">", "there is not one main"),
        ("<h3 id=\"part-ear-name\"", "<h5 id=\"part-ear-name\"", "headings skip a level"),
        ("--ink: #15181c", "--ink: #999999", "to 1"),
        ("--metal: #272d33; --pale", "--metal: #e9ecee; --pale", "metal is"),
        ("<link rel=\"icon\" href=\"data:,\"/>", "<script>x</script>", "the browser says"),
        ("aria-label=\"Flat of ear", "aria-label=\"\" title=\"", "without a name"),
        ("href=\"#cost\"", "href=\"#coast\"", "nothing is called"),
        ("<caption id=\"sheet-table\">", "<b id=\"sheet-table\">", "has no caption"),
        ("body { max-width: 1400px;", "body { min-width: 420px;", "px wide on a screen of 360"),
        ("id=\"filters\" hidden", "id=\"filters\"", "controls do nothing"),
        ("  nav, .skip, .hint", "  .skip, .hint", "links are printed"),
        ("button { display: inline !important", "button { color: inherit", "has no head"),
        (".stack thead { display: none; }", ".stack { min-width: 700px; }", "run off"),
        ("--touch: 44px", "--touch: 20px", "too low to touch"),
        ("id=\"find\" ", "id=\"find\" tabindex=\"3\" ", "the focus does not follow"),
    ];
    refused(&out, &good, &looks);
    // The effect of the script, permitted by the modified policy.
    let script = good.split_once("script-src '").unwrap().1.split_once('\'').unwrap().0;
    let free = good.replacen(&format!("'{script}'"), "'unsafe-inline'", 1);
    let does = [
        ("way * order(", "order(", "is not descending"),
        ("mark.classList.add(\"lit\")", "mark.classList.add(\"dim\")", "does not light its"),
        ("isKind && words.every", "isKind || words.every", "something is found"),
        (
            "other.classList.toggle(\"on\", other === sheet)",
            "other.classList.add(\"on\")",
            "not one sheet",
        ),
        ("zoom(1.4)", "zoom(1)", "plus does not zoom"),
        ("if (!event.ctrlKey && !event.metaKey) return;", "", "the plain wheel zooms"),
        ("\"use strict\";", "\"use strict\"; window.hit = 1;", "a name has become script"),
    ];
    refused(&out, &free, &does);
    fs::write(&path, good).unwrap();
}

/// Plants errors in a page, all at once, and checks that each is reported.
fn refused(out: &Path, page: &str, faults: &[(&str, &str, &str)]) {
    let mut bad = page.to_owned();
    for (from, to, _) in faults {
        assert!(bad.contains(from), "{from}");
        bad = bad.replacen(from, to, 1);
    }
    fs::write(out.join("report.html"), bad).unwrap();
    let (accepted, said) = python::outside("check_page.py", out);
    for (.., wanted) in faults {
        assert!(!accepted && said.contains(wanted), "{wanted} is not said: {said}");
    }
}

/// A coating that makes holes too small: cautions with places in several parts.
const COATED: &str = r#"
process = "waterjet"
coating = "0.35 mm"
sheet = [ { name = "plate", material = "5052-H32", thickness = "2 mm", bend_radius = "3 mm", stock = [ { size = ["500 mm", "400 mm"], count = 1 } ] } ]
part = [
  { recipe = "channel", name = "guide", sheet = "plate", given = { length = "110 mm", web = "60 mm", flange = "35 mm", bolt = "M6", pitch = "70 mm", gauge = "22 mm" } },
  { recipe = "tab", name = "ear", quantity = 900, sheet = "plate", given = { bolt = "M6" } },
]
"#;

#[test]
fn findings_stand_by_their_parts_with_what_they_name_ringed() {
    let folder = TempDir::new().unwrap();
    let (code, said) = make(folder.path(), COATED);
    assert_eq!(code, Some(1), "{said}");
    let out = folder.path().join("out");
    let report = fs::read_to_string(out.join("report.json")).unwrap();
    let report: serde_json::Value = serde_json::from_str(&report).unwrap();
    let findings = report["findings"].as_array().unwrap();
    assert!(findings.iter().all(|f| !f["parts"].as_array().unwrap().is_empty()), "{findings:?}");
    let of = |name: &str| findings.iter().filter(|f| f["parts"][0] == name).count();
    assert!(of("guide") >= 3 && of("ear") == 2, "a hole, and sheets used up: {findings:?}");
    let page = fs::read_to_string(out.join("report.html")).unwrap();
    let (_, group) = page.split_once("<h3><a href=\"#part-guide\">guide</a></h3>").unwrap();
    let (group, _) = group.split_once("</div>").unwrap();
    assert!(group.contains("2 bends, marked: F1, F2"), "{group}");
    assert!(group.contains("hole <code>web 1</code> is"), "{group}");
    let rings = group.matches("<circle class=\"found\"").count();
    assert_eq!(rings, 6, "each of six holes is ringed");
    assert_eq!(group.matches("<li id=\"finding-guide-").count(), of("guide"));
    // Its card leads there, and the band says that some are left.
    assert!(page.contains("<a href=\"#finding-guide-1\">F1</a>"), "no link to a finding");
    let (_, band) = page.split_once("Ready to order?").unwrap();
    let (band, _) = band.split_once("Sheets and price").unwrap();
    assert!(band.contains("</svg>No</span>") && band.contains(" × ear"), "{band}");
    let passed = python::accepted("check_page.py", &out);
    assert!(passed >= 100, "only {passed} facts of the page were checked");
}

/// Two tabs, of which one has an eye that overlaps its foot.
const STOPPED: &str = r#"
process = "waterjet"
sheet = [ { name = "plate", material = "S235", thickness = "4 mm", stock = [ { size = ["500 mm", "400 mm"] } ] } ]
part = [
  { recipe = "tab", name = "good", sheet = "plate" },
  { recipe = "tab", name = "bad", sheet = "plate", given = { reach = "12 mm" } },
]
"#;

#[test]
fn a_stop_is_listed_under_the_name_of_its_part() {
    let folder = TempDir::new().unwrap();
    let (code, said) = make(folder.path(), STOPPED);
    assert_eq!(code, Some(1), "{said}");
    let out = folder.path().join("out");
    let page = fs::read_to_string(out.join("report.html")).unwrap();
    assert!(page.contains("<div class=\"finding\"><h3>bad</h3>"), "no heading of the part");
    assert!(!page.contains("<h3>The job</h3>"), "nothing is about the job");
    python::accepted("check_page.py", &out);
}

/// Whatever a user may write freely, written to become markup.
const HOSTILE: &str = r#"
about = "<script>window.hit=1</script> \"x\" 'y' <img src=x onerror=window.hit=2>"
process = "waterjet"
sheet = [ { name = "A\"><script>window.hit=3</script>", material = "S235", thickness = "4 mm", stock = [ { name = "</pre><script>window.hit=4</script>", size = ["500 mm", "400 mm"], count = 1, price = 9 } ] } ]
part = [ { recipe = "tab", name = "ear", quantity = 2, sheet = "A\"><script>window.hit=3</script>" } ]
load = [ { name = "</p><script>window.hit=5</script>\" onmouseover=\"window.hit=6", part = "ear", hole = "eye", force = "1 kN", direction = "pull", grade = "8.8", leg = "4 mm" } ]
"#;

#[test]
fn names_stay_names_whatever_is_in_them() {
    let folder = TempDir::new().unwrap();
    let (code, said) = make(folder.path(), HOSTILE);
    assert_eq!(code, Some(0), "{said}");
    let out = folder.path().join("out");
    let page = fs::read_to_string(out.join("report.html")).unwrap();
    for number in 1..=6 {
        assert!(page.contains(&format!("window.hit={number}")), "{number} is not shown");
    }
    assert_eq!(page.matches("<script").count(), 1, "a name has become an element");
    assert!(!page.contains("onmouseover=\"") && !page.contains("<img src=x"), "an attribute");
    python::accepted("check_page.py", &out);
}

#[test]
fn a_job_of_links_alone_has_a_page() {
    let folder = TempDir::new().unwrap();
    let link = "[[link]]\nname = \"drag\"\nquantity = 2\npins = \"620 mm\"\nrod_end = \"M10\"\nmaterial = \"1020-CD\"\n";
    let (code, said) = make(folder.path(), &format!("process = \"waterjet\"\n{link}"));
    assert_eq!(code, Some(0), "{said}");
    let out = folder.path().join("out");
    let page = fs::read_to_string(out.join("report.html")).unwrap();
    assert!(page.contains("No plate is cut.") && !page.contains("id=\"sheets\""), "{page}");
    python::accepted("check_page.py", &out);
}

/// An outline is drawn once, however many pieces there are.
#[test]
fn a_page_of_300_parts_stays_small() {
    let folder = TempDir::new().unwrap();
    let recipes = ["tab", "gusset", "angle", "base-plate", "strap"];
    let parts: String = (0..300)
        .map(|i| {
            let (recipe, quantity) = (recipes[i % recipes.len()], i % 4 + 1);
            format!("[[part]]\nrecipe = \"{recipe}\"\nname = \"p{i:03}\"\nquantity = {quantity}\nsheet = \"plate\"\n")
        })
        .collect();
    let sheet = "[[sheet]]\nname = \"plate\"\nmaterial = \"S235\"\nthickness = \"4 mm\"\nstock = [ { size = [\"2500 mm\", \"1250 mm\"] } ]\n";
    let (code, said) = make(folder.path(), &format!("process = \"waterjet\"\n{sheet}{parts}"));
    assert_eq!(code, Some(0), "{said}");
    let page = fs::read_to_string(folder.path().join("out/report.html")).unwrap();
    let each = page.len() / 300;
    assert!(each < 20_000, "{each} bytes for a part");
    assert_eq!(page.matches("Z\" id=\"s").count(), 300, "each outline is there once");
    assert_eq!(page.matches("class=\"piece\"").count(), 750);
}

/// All numbers of a text, in their order.
fn numbers(text: &str) -> Vec<f64> {
    let pieces = text.split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'));
    pieces.filter_map(|piece| piece.parse().ok()).collect()
}

/// The value of an attribute of an element.
fn attribute<'t>(element: &'t str, name: &str) -> &'t str {
    let (_, rest) =
        element.split_once(&format!(" {name}=\"")).unwrap_or_else(|| panic!("{element}"));
    rest.split_once('"').unwrap().0
}

/// A line through `1▲ 90°` reads as a minus.
#[test]
fn the_sign_of_a_bend_is_off_its_line() {
    let folder = TempDir::new().unwrap();
    make(folder.path(), COATED);
    let page = fs::read_to_string(folder.path().join("out/report.html")).unwrap();
    let mut signs = 0;
    for drawing in page.split("<svg").filter(|svg| svg.contains("class=\"sign\"")) {
        let drawing = drawing.split_once("</svg>").unwrap().0;
        let group = drawing.split("<g").find(|of| of.contains("class=\"mm\"")).unwrap();
        let [_, down, scale] = numbers(attribute(group, "transform"))[..] else {
            panic!("{group}")
        };
        let lines: Vec<[f64; 4]> = drawing
            .split("<path")
            .filter(|path| path.contains("class=\"bend\""))
            .map(|path| numbers(&format!(" {}", attribute(path, "d"))).try_into().unwrap())
            .collect();
        for text in drawing.split("<text").filter(|text| text.contains("class=\"sign\"")) {
            let [x, y] = ["x", "y"].map(|key| attribute(text, key).parse::<f64>().unwrap());
            let words = text.split_once('>').unwrap().1.split('<').next().unwrap();
            let to = x + 8.0 * words.chars().count() as f64;
            signs += 1;
            for [ax, ay, bx, by] in &lines {
                let [ax, bx] = [ax * scale, bx * scale];
                let [ay, by] = [ay * scale + down, by * scale + down];
                // They lie along the sheet's edges.
                assert!((ax - bx).abs() < 0.1 || (ay - by).abs() < 0.1, "{lines:?}");
                let beside = ax.max(bx) < x || ax.min(bx) > to;
                let above = ay.max(by) < y - 10.0 || ay.min(by) > y + 1.0;
                assert!(beside || above, "`{words}` at {x} {y} is on its line: {text}");
            }
        }
    }
    assert!(signs >= 2, "both bends of the channel have their signs");
}
