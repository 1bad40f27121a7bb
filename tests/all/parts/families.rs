//! Families by lists and by table, and open inputs: one recipe, many parts.

use platewright::diag::Finding;
use platewright::diag::Sources;
use platewright::job;
use platewright::job::Job;
use platewright::job::Shelf;
use platewright::solve;
use platewright::solve::Solved;
use platewright::table::Tables;

const HEAD: &str = r#"
process = "laser"

[[sheet]]
name      = "3 mm"
material  = "S235"
thickness = "3 mm"
stock     = [ { size = ["1000 mm", "500 mm"] } ]

[[sheet]]
name      = "16 ga"
material  = "S235"
thickness = "16 ga"
stock     = [ { size = ["1000 mm", "500 mm"] } ]
"#;

fn solve(body: &str, csv: &str) -> Result<(Job, Vec<Solved>), Vec<Finding>> {
    solve_with(HEAD, body, csv).map(|(job, solved, _)| (job, solved))
}

type Solution = (Job, Vec<Solved>, Vec<Finding>);

fn solve_with(head: &str, body: &str, csv: &str) -> Result<Solution, Vec<Finding>> {
    let text = format!("{head}{body}");
    let tables = Tables::shipped();
    let file = |name: &str| (name == "parts.csv").then(|| (name.to_owned(), csv.to_owned()));
    let shelf = Shelf { file: &file, ..Shelf::shipped(&tables) };
    let mut sources = Sources::default();
    let source = sources.add("job.toml", &text);
    let job = job::read("job", source, &text, &shelf, &mut sources)?;
    let (solved, found) = solve::solve(&job, &shelf, &mut sources, &|| {})?;
    Ok((job, solved, found))
}

fn names(solved: &[Solved]) -> Vec<&str> {
    solved.iter().map(|s| s.name.as_str()).collect()
}

#[test]
fn every_combination_is_made_and_named() {
    let body = r#"
[[family]]
recipe = "tab"
name   = "tab-{bolt}-{reach}"
sheet  = "3 mm"
each   = { bolt = ["M6", "1/4"], reach = ["1-1/8 in", "30 mm", "40 mm"] }
"#;
    let (_, solved) = solve(body, "").unwrap();
    let wanted = [
        "tab-M6-1-1-8in",
        "tab-M6-30mm",
        "tab-M6-40mm",
        "tab-1-4-1-1-8in",
        "tab-1-4-30mm",
        "tab-1-4-40mm",
    ];
    assert_eq!(names(&solved), wanted);
}

#[test]
fn a_table_gives_a_part_for_each_line_with_its_own_quantity() {
    let body = r#"
[[family]]
recipe = "tab"
name   = "hose-{name}"
sheet  = "3 mm"
table  = "parts.csv"
given  = { foot = "28 mm" }
"#;
    let csv = "# hoses\nname, bolt, reach, quantity\ninlet, M6, 24 mm, 3\noutlet, M8, 1-1/4 in, 5\nspare, M8, , 1\n";
    let (job, solved) = solve(body, csv).unwrap();
    assert_eq!(names(&solved), ["hose-inlet", "hose-outlet", "hose-spare"]);
    let quantities: Vec<u32> = job.lines.iter().map(|l| l.quantity).collect();
    assert_eq!(quantities, [3, 5, 1]);
    // An empty cell leaves the default, 30 mm; 1-1/4 in is 31.75 mm.
    let height = |i: usize| solved[i].flat.region.bounds().height();
    assert!((height(1) - height(2) - 1.75).abs() < 1e-9);
}

#[test]
fn ten_thousand_variants_are_all_different_parts() {
    let list = |from: u32| (0..100).map(|i| format!("\"{} mm\"", from + i)).collect::<Vec<_>>();
    let body = format!(
        "[[family]]\nrecipe = \"tab\"\nname = \"t-{{reach}}-{{foot}}\"\nsheet = \"3 mm\"\n\
         each = {{ reach = [{}], foot = [{}] }}\n",
        list(20).join(", "),
        list(28).join(", ")
    );
    let (_, solved) = solve(&body, "").unwrap();
    let mut seen: Vec<&str> = names(&solved);
    seen.sort_unstable();
    seen.dedup();
    assert_eq!(seen.len(), 10_000);
}

/// By hand: a socket of 18.8 mm beside an M8 head, 13 mm / cos 30° = 15.011 mm over its
/// corners, needs a pitch of 9.4 + 7.506 = 16.906 mm.
#[test]
fn the_lightest_choice_that_passes_is_taken_and_its_check_named() {
    let body = r#"
[[part]]
recipe = "tab-row"
name   = "row"
sheet  = "3 mm"
given  = { bolt = "M8", holes = 3 }
open   = { pitch = ["20 mm", "9.5 mm", "17 mm", "16 mm"] }
"#;
    let (_, solved) = solve(body, "").unwrap();
    let choice = solved[0].choice.as_ref().unwrap();
    assert_eq!(choice.chosen, [("pitch".to_owned(), "17 mm".to_owned())]);
    assert_eq!(choice.tried, 4);
    let lighter = choice.lighter.as_ref().unwrap();
    assert_eq!((lighter.code, lighter.values[0].1.as_str()), ("wrench-clearance", "16 mm"));
}

#[test]
fn sheet_and_table_can_be_open_together() {
    let body = r#"
[[part]]
recipe = "tab"
name   = "eye"
given  = { reach = "30 mm" }
open   = { sheet = ["3 mm", "16 ga"], bolt = "bolt" }
"#;
    let (job, solved) = solve(body, "").unwrap();
    let choice = solved[0].choice.as_ref().unwrap();
    let bolts = Tables::shipped().table("bolt").unwrap().rows().len();
    assert_eq!(choice.tried, 2 * bolts);
    assert_eq!(job.sheets[solved[0].sheet].name, "16 ga");
    // Nothing lighter than the chosen one passes: solve each bolt alone and compare areas.
    let area = solved[0].flat.region.area();
    for row in Tables::shipped().table("bolt").unwrap().rows() {
        let single = body.replace("bolt = \"bolt\"", &format!("bolt = [\"{}\"]", row.name()));
        if let Ok((_, one)) = solve(&single, "") {
            assert!(one[0].flat.region.area() >= area - 1e-9, "{} is lighter", row.name());
        }
    }
}

#[test]
fn where_nothing_fits_the_lists_and_the_last_failure_are_shown() {
    let body = r#"
[[part]]
recipe = "tab-row"
name   = "row"
sheet  = "3 mm"
given  = { bolt = "M8", holes = 3 }
open   = { pitch = ["10 mm", "11 mm"] }
"#;
    let findings = solve(body, "").unwrap_err();
    assert_eq!(findings.len(), 1);
    assert_eq!(findings[0].code, "nothing-fits");
    assert!(findings[0].notes[0].contains("pitch = 11 mm"), "{:?}", findings[0].notes);
    // A finding that occurs with every choice is reported as it is.
    let overlapping = body.replace("\"10 mm\", \"11 mm\"", "\"5 mm\", \"8 mm\"");
    let findings = solve(&overlapping, "").unwrap_err();
    assert_eq!(findings[0].code, "hole-outside");
    assert!(findings[0].notes.iter().any(|n| n.contains("both choices")));
}

#[test]
fn a_gauge_takes_the_metal_that_is_named_or_that_of_the_sheet() {
    for (reach, mm) in
        [("16 ga", 1.519), ("16 ga aluminium", 1.290), ("gauge('stainless', 16)", 1.5875)]
    {
        let body = format!(
            "[[part]]\nrecipe = \"line-tab\"\nname = \"x\"\nsheet = \"3 mm\"\ngiven = {{ grommet = \"{reach}\" }}\n"
        );
        let (_, solved) = solve(&body, "").unwrap();
        let hole = solved[0].part.faces[0].holes[0].outline.bounds().width();
        assert!((hole - 10.0 - 2.0 * mm).abs() < 1.5e-3, "{reach}: {hole}");
    }
}

#[test]
fn numbers_and_flags_can_be_open() {
    let body = r#"
[[part]]
recipe = "line-tab"
name   = "x"
sheet  = "3 mm"
open   = { open = [true, false], line = [3, "20 mm"] }
"#;
    let (_, solved) = solve(body, "").unwrap();
    let lighter = solved[0].choice.as_ref().unwrap().lighter.clone().unwrap();
    assert_eq!(lighter.code, "wrong-unit", "3 is no length");
    assert_eq!(lighter.values[1].1, "3");
    let body = body.replace("line = [3, \"20 mm\"]", "reach = [\"30 mm\"]");
    let (_, solved) = solve(&body, "").unwrap();
    let choice = solved[0].choice.as_ref().unwrap();
    assert!(["true", "false"].contains(&choice.chosen[0].1.as_str()), "{choice:?}");
}

#[test]
fn a_table_with_semicolons_or_double_columns_is_refused_at_its_head() {
    let body = "[[family]]\nrecipe = \"tab\"\nsheet = \"3 mm\"\ntable = \"parts.csv\"\n";
    for (csv, words) in
        [("name;bolt\na;M6\n", "semicolons"), ("name,bolt,bolt\na,M6,M8\n", "two columns")]
    {
        let findings = solve(body, csv).unwrap_err();
        assert!(findings[0].headline.contains(words), "{findings:?}");
    }
    // Without a pattern the names are those of the table.
    let (_, solved) = solve(body, "name,bolt\na,M6\nb,M8\n").unwrap();
    assert_eq!(names(&solved), ["a", "b"]);
}

/// 5052-H32 of 1/8 in is preferred round 0.188 in, 4.775 mm, and refused below 1.5 T.
#[test]
fn a_caution_of_all_choices_refuses_none_and_is_told() {
    let steel = "material  = \"S235\"\nthickness = \"3 mm\"";
    let soft = "material  = \"5052-H32\"\nthickness = \"1/8 in\"\nbend_radius = \"4.755 mm\"";
    let body = r#"
[[part]]
recipe = "angle"
name   = "x"
sheet  = "3 mm"
open   = { leg = ["50 mm", "40 mm"] }
"#;
    let (_, solved, findings) = solve_with(&HEAD.replace(steel, soft), body, "").unwrap();
    assert_eq!(solved[0].choice.as_ref().unwrap().chosen[0].1, "40 mm");
    assert_eq!(findings.iter().map(|f| f.code).collect::<Vec<_>>(), ["min-radius"]);
}

/// Square tube by the property tables of AISC for HSS on its design wall, 0.93 of the
/// nominal: round at the corners by twice the wall outside and once inside. Between the
/// outline of a cap that is flush and one that fills the bore lies the tube's section.
#[test]
fn caps_of_square_tube_go_by_the_corners_of_published_sections() {
    for (wall, area) in [("0.116 in", 0.840), ("0.174 in", 1.19)] {
        let cap = |fit: &str, room: &str| {
            let body = format!(
                "[[part]]\nrecipe = \"end-cap\"\nname = \"cap\"\nquantity = 1\nsheet = \"3 mm\"\n\
                 given = {{ section = \"square\", outside = \"2 in\", wall = \"{wall}\", \
                 fit = \"{fit}\", {room} = \"0 mm\", nut = \"M8\" }}\n"
            );
            let (_, solved) = solve(&body, "").unwrap();
            solved[0].flat.region.outer().area() / (25.4 * 25.4)
        };
        let section = cap("flush", "undersize") - cap("slip-in", "slip");
        // The last printed digit.
        let digit = if area == 0.840 { 0.0006 } else { 0.006 };
        assert!((section - area).abs() < digit, "{wall}: {section:.4} in2, printed {area}");
    }
}
