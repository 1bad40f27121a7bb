//! Settings of a job for many of its parts: names, coatings by sheet and part, names etched.

use platewright::diag::Finding;
use platewright::diag::Sources;
use platewright::diag::Weight;
use platewright::job;
use platewright::job::Job;
use platewright::job::Shelf;
use platewright::quantity::Quantity;
use platewright::solve;
use platewright::solve::Solved;
use platewright::table::Tables;

const SHEET: &str = r#"
[[sheet]]
name      = "S235 4 mm"
material  = "S235"
thickness = "4 mm"
stock     = [ { size = ["1000 mm", "500 mm"] } ]
"#;

const CSV: &str = "name,tube,reach\na,rail,eye + 2 mm\nb,50 mm,30 mm\n";

const OTHER: &str = r#"
process = "laser"
names   = { rail = "50 mm" }
[[sheet]]
name      = "S235 4 mm"
material  = "S235"
thickness = "4 mm"
stock     = []
[[part]]
recipe = "tab"
name   = "theirs"
sheet  = "S235 4 mm"
given  = { tube = "rail" }
"#;

const NAMED: &str = r#"
about = "Plate that marks its name itself"
[face.plate]
blank = [ { add = "rectangle", width = "90 mm", height = "40 mm" } ]
marks = [ { text = "{name}", at = ["0", "0"] } ]
"#;

type Solution = (Job, Vec<Solved>, Vec<Finding>);

fn solve(top: &str, body: &str) -> Result<Solution, Vec<Finding>> {
    let text = format!("process = \"laser\"\n{top}{SHEET}{body}");
    let tables = Tables::shipped();
    let file = |name: &str| match name {
        "parts.csv" => Some((name.to_owned(), CSV.to_owned())),
        "other.toml" => Some((name.to_owned(), OTHER.to_owned())),
        _ => None,
    };
    let shipped = Shelf::shipped(&tables);
    let recipe = |name: &str| match name {
        "named" => Some(("named.toml".to_owned(), NAMED.to_owned())),
        _ => (shipped.recipe)(name),
    };
    let shelf = Shelf { file: &file, recipe: &recipe, ..shipped };
    let mut sources = Sources::default();
    let source = sources.add("job.toml", &text);
    let job = job::read("job", source, &text, &shelf, &mut sources)?;
    let (solved, found) = solve::solve(&job, &shelf, &mut sources, &|| {})?;
    Ok((job, solved, found))
}

fn part(recipe: &str, name: &str, keys: &str) -> String {
    format!("[[part]]\nrecipe = \"{recipe}\"\nname = \"{name}\"\nsheet = \"S235 4 mm\"\n{keys}\n")
}

/// A value of a part, mm.
fn mm(solved: &Solved, name: &str) -> f64 {
    match solved.params.get(name) {
        Some(platewright::formula::Value::Quantity(Quantity { value, .. })) => *value,
        other => panic!("{name}: {other:?}"),
    }
}

#[test]
fn a_name_stands_for_its_value_all_over_a_job() {
    let top = r#"names = { rail = "42 mm", eye = "24 mm", far = "eye + 6 mm", film = "0.1 mm", twice = 2 }
coating = "film"
"#;
    let body = [
        part("tab", "one", r#"given = { tube = "rail", reach = "far", foot = "rail / 2 + twice * 3 mm" }"#),
        "[[family]]\nrecipe = \"tab\"\nname = \"t-{reach}\"\nsheet = \"S235 4 mm\"\neach = { reach = [\"eye\", \"far\"] }\n".into(),
        "[[family]]\nrecipe = \"tab\"\nname = \"c-{name}\"\nsheet = \"S235 4 mm\"\ntable = \"parts.csv\"\n".into(),
    ];
    let (job, solved, _) = solve(top, &body.concat()).unwrap();
    let values = |name| solved.iter().map(|s| mm(s, name)).collect::<Vec<_>>();
    assert_eq!(values("tube")[0], 42.0);
    assert_eq!(values("reach"), [30.0, 24.0, 30.0, 26.0, 30.0]);
    assert_eq!(values("foot")[0], 27.0);
    assert_eq!(values("tube")[3..], [42.0, 50.0]);
    assert_eq!(job.coating, 0.1);
}

/// A name may be that of a face, a bend or an edge as well: references to these are not replaced.
#[test]
fn a_name_does_not_stand_for_what_is_in_a_part() {
    let top = "coating = \"0 mm\"\n[names]\nleg = \"50 mm\"\nheel = \"2 mm\"\nyard = \"914 mm\"\n";
    let body = part(
        "angle",
        "one",
        "given = { leg = \"leg\", base = \"leg + 10 mm\" }\naccept = { min-flange = \"yard\" }",
    );
    let measured = "[[as_built]]\npart = \"one\"\nwhat = \"outside\"\nof = [\"leg\", \"heel\"]\nis = \"leg\"\n";
    let (job, solved, _) = solve(top, &format!("{body}{measured}")).unwrap();
    assert_eq!([mm(&solved[0], "leg"), mm(&solved[0], "base")], [50.0, 60.0]);
    let [measure] = job.as_built.as_slice() else { panic!() };
    assert_eq!((measure.of[0].0.as_str(), measure.of[1].0.as_str()), ("leg", "heel"));
    assert_eq!(measure.is, 50.0);
    assert_eq!(job.lines[0].accept[0].reason, "yard");
}

/// The names of another job have their values there.
#[test]
fn a_part_of_another_job_has_the_names_of_that_job() {
    let body = "[[part]]\nfrom = \"other.toml#theirs\"\n[[part]]\nfrom = \"other.toml#theirs\"\nname = \"ours\"\ngiven = { tube = \"rail\" }\n";
    let (_, solved, _) = solve("names = { rail = \"38 mm\" }\n", body).unwrap();
    assert_eq!([mm(&solved[0], "tube"), mm(&solved[1], "tube")], [50.0, 38.0]);
}

#[test]
fn the_coating_of_a_part_goes_before_that_of_its_sheet_and_of_the_job() {
    let film = |top: &str, sheet: &str, keys: &str| {
        let body = format!("{sheet}{}", part("clevis-plates", "ear", keys));
        let (job, solved, _) = solve(top, &body).unwrap();
        assert_eq!(job.coating_of(&job.lines[0]).film, mm(&solved[0], "coating"));
        mm(&solved[0], "coating")
    };
    assert_eq!(film("", "", ""), 0.0);
    assert_eq!(film("coating = \"powder\"\n", "", ""), 0.08);
    assert_eq!(film("coating = \"powder\"\n", "coating = \"zinc plate\"\n", ""), 0.008);
    assert_eq!(
        film("coating = \"powder\"\n", "coating = \"zinc plate\"\n", "coating = \"0.05 mm\""),
        0.05
    );
    assert_eq!(film("coating = \"powder\"\n", "", "coating = \"0 mm\""), 0.0);
    let own = "coating = { min = \"0.06 mm\", max = \"0.1 mm\" }";
    let (job, ..) = solve("", &part("tab", "one", own)).unwrap();
    assert_eq!(job.coating_of(&job.lines[0]).films, Some([0.06, 0.1]));
}

/// The name is on the metal, clear of holes, edges and bends; lack of room is reported.
#[test]
fn names_are_etched_where_there_is_room() {
    let marks = |top: &str, name: &str, keys: &str, recipe: &str| {
        let (_, solved, found) = solve(top, &part(recipe, name, keys)).unwrap();
        assert!(
            found.iter().all(|f| f.weight == Weight::Caution && f.code != "mark-outside"),
            "{found:?}"
        );
        let cautions = found.iter().filter(|f| f.code == "mark").count();
        (solved.iter().map(|s| s.flat.marks.len()).sum::<usize>(), cautions)
    };
    assert_eq!(marks("", "pad", "", "base-plate"), (0, 0));
    assert_eq!(marks("etch_names = true\n", "pad", "", "base-plate"), (1, 0));
    let bent = marks("etch_names = true\nbend_ticks = false\n", "shelf", "", "angle");
    assert_eq!(bent, (1, 0));
    let long = "a-name-that-is-far-too-long-for-the-small-tab-it-would-stand-on";
    assert_eq!(marks("etch_names = true\n", long, "", "tab"), (0, 1));
    assert_eq!(
        marks("etch_names = true\n", "strip", "", "test-strip").0,
        1 + marks("", "strip", "", "test-strip").0
    );
    // It marks its name itself.
    assert_eq!(marks("etch_names = true\n", "own", "", "named"), (1, 0));
}

/// A tube by its name gives its outside and wall; a given dimension overrides it.
#[test]
fn a_tube_gives_its_outside_and_wall_to_gussets_and_caps() {
    let one = |recipe: &str, keys: &str| solve("", &part(recipe, "one", keys)).unwrap().1.remove(0);
    let gusset =
        one("gusset", r#"given = { main_tube = "60.3 x 2.9", branch_tube = "48.3 x 3.2" }"#);
    assert_eq!([mm(&gusset, "main"), mm(&gusset, "branch")], [60.3, 48.3]);
    let own = one("gusset", r#"given = { main_tube = "60.3 x 2.9", main = "63.5 mm" }"#);
    assert_eq!([mm(&own, "main"), mm(&own, "branch")], [63.5, 38.0]);
    let cap = one("end-cap", r#"given = { tube = "48.3 x 3.2" }"#);
    assert_eq!([mm(&cap, "outside"), mm(&cap, "wall")], [48.3, 3.2]);
    assert!(cap.flat.region.outer().circle().is_some());
    let box_cap = one("end-cap", r#"given = { tube = "80 x 40 x 3", fit = "overlap" }"#);
    let bounds = box_cap.flat.region.bounds();
    assert!((bounds.width() - 86.0).abs() < 1e-9 && (bounds.height() - 46.0).abs() < 1e-9);
    let square = solve("", &part("gusset", "one", r#"given = { main_tube = "40 x 40 x 2" }"#));
    assert_eq!(square.unwrap_err()[0].code, "requirement");
}
