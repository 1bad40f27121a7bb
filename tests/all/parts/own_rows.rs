//! Rows of the user's own, and rows that lack a figure: a check that needs it says so, and never
//! uses that of a milder row.

use platewright::diag::Finding;
use platewright::diag::Weight;
use platewright::job::Shelf;
use platewright::table::Tables;
use platewright::workshop::Ready;
use platewright::workshop::Stopped;
use platewright::workshop::Workshop;

fn solve(tables: &Tables, text: &str) -> Result<Ready, Stopped> {
    Workshop::new(Shelf::shipped(tables)).read("job", "job.toml", text)?.solve()
}

fn with(table: &str, rows: &str) -> Tables {
    let mut tables = Tables::shipped();
    let laid = tables.add(table, rows);
    assert_eq!(laid, Ok(vec![]), "{rows}");
    tables
}

fn part(metal: &str, thickness: &str, part: &str) -> String {
    format!(
        "process = \"waterjet\"\n[[sheet]]\nname = \"sheet\"\nmaterial = \"{metal}\"\n\
         thickness = \"{thickness}\"\nstock = []\n[[part]]\nname = \"part\"\nsheet = \"sheet\"\n{part}\n"
    )
}

/// The findings of a code, each with its weight and headline.
fn said(result: Result<Ready, Stopped>, code: &str) -> Vec<(Weight, String)> {
    let findings: Vec<Finding> = match result {
        Ok(ready) => ready.findings,
        Err(stopped) => stopped.findings,
    };
    let of_code = findings.into_iter().filter(|finding| finding.code == code);
    of_code.map(|finding| (finding.weight, finding.headline)).collect()
}

const CLEVIS: &str = "recipe = \"clevis-plates\"\ngiven = { rod_end = \"ours\" }";

/// As measured with a caliper: bore, ball, head and shank. A clevis is drawn round it; the sweep
/// assumes the worst of unknown figures, and says so.
#[test]
fn a_measured_rod_end_needs_few_figures_and_says_which_are_taken_at_their_worst() {
    let measured = "name,bore,ball_width,head,shank,bolt\nours,10 mm,14 mm,28 mm,10 mm,M10\n";
    let tables = with("rod-end", measured);
    let ready = solve(&tables, &part("S235", "5 mm", CLEVIS)).unwrap_or_else(|s| panic!("{s}"));
    let found = said(Ok(ready), "rod-end-figures");
    let words = "rod end ours has no `body_width`: its housing is assumed as wide as its ball; no `swing`: \
                 its misalignment angle is not known: none is assumed";
    assert_eq!(found, [(Weight::Caution, words.to_owned())]);
    // Required, it is refused.
    let swing = CLEVIS.replace(" }", ", swing = \"5 deg\" }");
    let stops = said(solve(&tables, &part("S235", "5 mm", &swing)), "rod-end-swing");
    assert!(stops.iter().any(|(weight, _)| *weight == Weight::Stop), "{stops:?}");
    let stiff = "name,bore,ball_width,head,bolt\nours,10 mm,14 mm,28 mm,M10\n";
    let found =
        said(solve(&with("rod-end", stiff), &part("S235", "5 mm", CLEVIS)), "rod-end-figures");
    assert!(
        found.iter().any(|(weight, said)| *weight == Weight::Stop && said.contains("`shank`")),
        "{found:?}"
    );
    let whole = "name,bore,ball_width,body_width,head,shank,swing,bolt\n\
                 ours,10 mm,14 mm,10.5 mm,28 mm,10 mm,13 deg,M10\n";
    let ready = solve(&with("rod-end", whole), &part("S235", "5 mm", CLEVIS));
    assert_eq!(said(ready, "rod-end-figures"), []);
}

#[test]
fn a_link_says_which_figures_of_a_rod_end_it_needs() {
    let link = "process = \"waterjet\"\n[[link]]\nname = \"link\"\npins = \"700 mm\"\nrod_end = \"ours\"\n";
    let tables =
        with("rod-end", "name,bore,ball_width,head,thread\nours,10 mm,14 mm,28 mm,M10x1.5\n");
    let found = said(solve(&tables, link), "unknown-figure");
    let words =
        "rod end `ours` has no `shank` and no `length` and no `threaded`, which a link needs";
    assert_eq!(found, [(Weight::Stop, words.to_owned())]);
}

/// Without a density it would weigh nothing, and without a tensile strength a brake would bend it
/// with no force.
#[test]
fn a_metal_without_density_or_strength_is_refused_for_a_sheet() {
    let tables = with("material", "name,metal,yield,elastic\nours,steel,300 MPa,210 GPa\n");
    let found = said(solve(&tables, &part("ours", "4 mm", "recipe = \"tab\"")), "unknown-figure");
    let words = "material `ours` has no `density` and no `tensile`, which a sheet needs";
    assert_eq!(found, [(Weight::Stop, words.to_owned())]);
}

/// DC01 has a maximum yield strength and no minimum: no load on it is judged, and a welded tube of
/// it is not either.
#[test]
fn a_load_on_a_metal_without_a_minimum_yield_strength_is_not_judged() {
    let load = "\n[[load]]\nname = \"x\"\npart = \"part\"\nhole = \"eye\"\nforce = \"1 N\"\ndirection = \"pull\"";
    let job = part("DC01", "3 mm", "recipe = \"tab\"");
    let tables = Tables::shipped();
    assert!(solve(&tables, &job).is_ok());
    let found = said(solve(&tables, &format!("{job}{load}")), "load");
    let words = "load `x` cannot be judged: the minimum strength of DC01 is not known";
    assert_eq!(found, [(Weight::Stop, words.to_owned())]);
}

/// Heat removes the temper of 42CrMo4: the strength beside a weld is not known, and it is not that
/// of the hardened steel.
#[test]
fn hardened_steel_beside_a_weld_is_not_judged_as_hardened() {
    let load = "\n[[load]]\nname = \"x\"\npart = \"part\"\nhole = \"eye\"\nforce = \"1 N\"\ndirection = \"pull\"";
    let job = part("1.7225+QT", "3 mm", "recipe = \"tab\"");
    let found = said(solve(&Tables::shipped(), &format!("{job}{load}")), "load");
    let words = "load `x` cannot be judged: the as-welded strength of 42CrMo4-QT is not known";
    assert_eq!(found, [(Weight::Stop, words.to_owned())]);
}

#[test]
fn a_weld_on_7075_stops() {
    let tables = Tables::shipped();
    let found = said(solve(&tables, &part("7075-T6", "4 mm", "recipe = \"tab\"")), "weld-metal");
    let words = "edge `foot` is welded, but 7075-T6 must not be welded";
    assert_eq!(found, [(Weight::Stop, words.to_owned())]);
    let bolted = part("7075-T6", "4 mm", "recipe = \"base-plate\"");
    assert_eq!(said(solve(&tables, &bolted), "weld-metal"), []);
}

/// One metal by two names: the same sheet, the same row.
#[test]
fn a_metal_by_another_name_is_the_same_sheet() {
    let tables = Tables::shipped();
    let row = |name: &str| {
        let ready = solve(&tables, &part(name, "2 mm", "recipe = \"tab\"")).unwrap();
        ready.job.sheets[0].material.name().to_owned()
    };
    assert_eq!(row("1.4301"), row("304"));
}

/// Whatever bearing of the table: the pivot is reamed to the outside of its ring.
#[test]
fn a_bearing_gives_the_bore_of_a_bellcrank() {
    let tables = Tables::shipped();
    let mut looked = 0;
    for row in tables.table("bearing").unwrap().rows() {
        let given = format!("recipe = \"bellcrank\"\ngiven = {{ bearing = \"{}\" }}", row.name());
        let ready = solve(&tables, &part("S235", "8 mm", &given));
        let ready = ready.unwrap_or_else(|stopped| panic!("{}: {stopped}", row.name()));
        let pivot = &ready.solved[0].part.faces[0].holes[0];
        let bore = pivot.finished.expect("it is reamed");
        assert!((bore - row.measure("outside")).abs() < 1e-9, "{}: {bore}", row.name());
        looked += 1;
    }
    assert!(looked >= 15, "{looked}");
}
