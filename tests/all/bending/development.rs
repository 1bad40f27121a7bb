//! The data by which a bend is calculated: their precedence, and that the flat and the tool agree.

use platewright::bend::Method;
use platewright::bend::Trust;
use platewright::diag::Finding;
use platewright::diag::Sources;
use platewright::job;
use platewright::job::Job;
use platewright::job::Shelf;
use platewright::solve;
use platewright::solve::Solved;
use platewright::table::Tables;

const SHOP: &str = include_str!("../../../parts/shop.toml");

/// A job of one bent part in the demo's shop, with keys at the head of its file.
fn made(head: &str, sheet: &str, part: &str) -> (Job, Vec<Solved>, Vec<Finding>) {
    in_shop(&format!("{head}\n{SHOP}"), sheet, part)
}

/// A job of one bent part in a shop.
fn in_shop(shop: &str, sheet: &str, part: &str) -> (Job, Vec<Solved>, Vec<Finding>) {
    let text = format!(
        "process = \"waterjet\"\nshop = \"shop.toml\"\n\n[[sheet]]\nname = \"sheet\"\n\
         stock = [ {{ size = [\"600 mm\", \"400 mm\"] }} ]\n{sheet}\n\n\
         [[part]]\nname = \"one\"\nsheet = \"sheet\"\n{part}\n"
    );
    let tables = Tables::shipped();
    let file = |name: &str| (name == "shop.toml").then(|| (name.to_owned(), shop.to_owned()));
    let shipped = Shelf::shipped(&tables);
    let own = |name: &str| if name == "two-legs" { TWO_LEGS } else { LEANING };
    let leaning = |name: &str| (name.to_owned(), own(name).to_owned());
    let recipe = |name: &str| Some((shipped.recipe)(name).unwrap_or_else(|| leaning(name)));
    let shelf = Shelf { file: &file, recipe: &recipe, ..shipped };
    let mut sources = Sources::default();
    let source = sources.add("job.toml", &text);
    let found = job::read("job", source, &text, &shelf, &mut sources);
    let found = found.and_then(|job| {
        let (solved, findings) = solve::solve(&job, &shelf, &mut sources, &|| {})?;
        Ok((job, solved, findings))
    });
    found.unwrap_or_else(|findings| {
        let drawn: Vec<String> = findings.iter().map(|f| sources.draw(f, false)).collect();
        panic!("{}", drawn.join("\n"))
    })
}

/// A recipe that computes its bend by the FAA formula whatever the metal.
const LEANING: &str = r#"
about = "Angle by the FAA formula"
[face.base]
blank = [ { add = "rectangle", width = "60 mm", height = "50 mm" } ]
[face.leg]
blank = [ { add = "rectangle", width = "60 mm", height = "50 mm", at = ["0", "25 mm"] } ]
[bend.heel]
on = "base.top"
to = "leg"
angle = "90 deg"
method = "FAA"
"#;

const S235: &str = "material = \"S235\"\nthickness = \"4 mm\"";

fn heel(shop_head: &str, sheet: &str, part: &str) -> (Method, Trust) {
    let (_, solved, _) = made(shop_head, sheet, part);
    let bend = &solved[0].part.bends[0];
    (bend.bend.method(), bend.by)
}

const ANGLE: &str = "recipe = \"angle\"\ngiven = { base = \"60 mm\", leg = \"60 mm\" }";

#[test]
fn what_is_said_of_one_bend_counts_for_more_than_what_is_said_of_all() {
    let sheet = format!("{S235}\nbend_method = 0.41");
    let both = "recipe = \"leaning\"\nbends = { heel = \"DIN 6935\" }";
    assert_eq!(heel("", &sheet, both), (Method::Din6935, Trust::Part));
    assert_eq!(heel("", &sheet, "recipe = \"leaning\""), (Method::Faa, Trust::Recipe));
    assert_eq!(heel("", &sheet, ANGLE), (Method::K(0.41), Trust::Sheet));
    let measured = "recipe = \"leaning\"\nbends = { heel = \"measured\" }";
    let (method, by) = heel("", &sheet, measured);
    assert!(matches!(method, Method::Measured { .. }) && by == Trust::Part, "{method:?} {by:?}");
}

#[test]
fn a_shop_says_whose_word_is_asked_first() {
    let sheet = format!("{S235}\nbend_method = 0.41");
    let by = |head: &str, sheet: &str| heel(head, sheet, ANGLE).1;
    assert_eq!(by("", &sheet), Trust::Sheet);
    assert_eq!(by("bend_sources = [\"measured\", \"sheet\"]", &sheet), Trust::Measured);
    let head = "bend_method = \"FAA\"\nbend_sources = [\"shop\", \"measured\"]";
    assert_eq!(heel(head, &sheet, ANGLE), (Method::Faa, Trust::Shop));
    assert_eq!(by("bend_sources = [\"metal\", \"measured\"]", &sheet), Trust::Metal);
    // A source left out is not used, except for the metal.
    assert_eq!(heel("bend_sources = []", &sheet, ANGLE), (Method::Din6935, Trust::Metal));
    assert_eq!(by("", S235), Trust::Measured);
}

/// The usual V of 4 mm is 32 mm and needs 22.4 mm of flange; a shorter one is bent over 25 mm, over
/// which another row was measured.
#[test]
fn the_flat_is_that_of_the_v_the_bend_goes_over() {
    let angle = |leg: &str| {
        let part = format!(
            "recipe = \"angle\"\ngiven = {{ base = \"60 mm\", leg = \"{leg}\", gauge = \"8 mm\", leg_holes = 0, base_holes = 0 }}"
        );
        let (job, mut solved, findings) = made("", S235, &part);
        let solved = solved.remove(0);
        let v = solved.plan.as_ref().unwrap().steps[0].setup.v(job.shop.as_deref().unwrap());
        let flat = solved.flat.region.bounds().height();
        assert!(findings.iter().all(|f| f.code != "measured-tool"), "{findings:?}");
        (solved.part.bends[0].bend, v.unwrap(), flat)
    };
    let (wide, v, flat) = angle("40 mm");
    assert!(matches!(wide.method(), Method::Measured { v: row, .. } if row == v && v == 32.0));
    assert!((wide.radius() - 5.1).abs() < 1e-9);
    assert!((flat - (60.0 + 40.0 - 7.9)).abs() < 1e-6, "{flat}");
    let (narrow, v, flat) = angle("20 mm");
    assert!(matches!(narrow.method(), Method::Measured { v: row, .. } if row == v && v == 25.0));
    assert!((narrow.radius() - 4.0).abs() < 1e-9);
    assert!((flat - (60.0 + 20.0 - 7.5)).abs() < 1e-6, "{flat}");
}

/// A recipe with a flange of 40 mm by a measured row, and one of 20 mm by a formula.
const TWO_LEGS: &str = r#"
about = "Angle with two legs"
[face.base]
blank = [ { add = "rectangle", width = "60 mm", height = "80 mm" } ]
[face.long]
blank = [ { add = "rectangle", width = "60 mm", height = "40 mm", at = ["0", "20 mm"] } ]
[face.short]
blank = [ { add = "rectangle", width = "60 mm", height = "20 mm", at = ["0", "10 mm"] } ]
[bend.heel]
on = "base.top"
to = "long"
angle = "90 deg"
method = "measured"
[bend.toe]
on = "base.bottom"
to = "short"
angle = "90 deg"
radius = "4 mm"
method = "DIN 6935"
"#;

/// Over 25 mm the radius of the long one would be 1.1 times the one of its row: good enough for a
/// formula, but no row is valid over another V than its own, whatever dies that saves.
#[test]
fn a_bend_by_a_row_is_not_moved_to_another_v_to_save_a_die() {
    let row = "v         = \"25 mm\"\ndeduction";
    assert!(SHOP.contains(row) && SHOP.contains("radius    = \"5.1 mm\""));
    let shop = SHOP.replacen(row, "v         = \"50 mm\"\ndeduction", 1);
    let shop = shop.replacen("radius    = \"5.1 mm\"", "radius    = \"4.4 mm\"", 1);
    let (job, solved, findings) = in_shop(&shop, S235, "recipe = \"two-legs\"");
    let shop = job.shop.as_deref().unwrap();
    let plan = solved[0].plan.as_ref().unwrap();
    let v = |bend: usize| plan.step(bend).unwrap().1.setup.v(shop).unwrap();
    assert_eq!([v(0), v(1)], [32.0, 25.0]);
    assert!(findings.iter().all(|f| f.code != "measured-tool"), "{findings:?}");
}

/// A straight brake has no V: a row applies to it only if it is named, and a note says so.
#[test]
fn a_row_of_another_tool_is_pointed_out() {
    let shop = format!(
        "{SHOP}\n[[measured]]\nmaterial = \"S235\"\nthickness = \"1.5 mm\"\nv = \"16 mm\"\n\
         deduction = \"3.2 mm\"\nradius = \"2.5 mm\"\n"
    );
    let sheet = S235.replace("4 mm", "1.5 mm");
    let (_, solved, findings) = in_shop(&shop, &sheet, ANGLE);
    assert_eq!(solved[0].part.bends[0].by, Trust::Metal);
    assert!((solved[0].part.bends[0].bend.radius() - 1.5).abs() < 1e-9);
    assert!(findings.iter().all(|f| f.code != "measured-tool"), "{findings:?}");
    let asked = format!("{ANGLE}\nbends = {{ heel = \"measured\" }}");
    let (_, solved, findings) = in_shop(&shop, &sheet, &asked);
    assert_eq!(solved[0].part.bends[0].by, Trust::Part);
    let said = findings.iter().find(|f| f.code == "measured-tool").unwrap();
    assert!(said.headline.contains("on the straight brake"), "{}", said.headline);
}
