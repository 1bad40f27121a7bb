//! Links whose tube is chosen, and whose far pin has points to reach; cells that use points.

use platewright::diag::Finding;
use platewright::job::Shelf;
use platewright::table::Tables;
use platewright::workshop::Ready;
use platewright::workshop::Workshop;

/// A brace of 1.6 m beside a pipe, with bungs turned to suit whatever tube it gets.
const BRACE: &str = r#"
process = "waterjet"

[points]
A = ["0 mm", "0 mm", "0 mm"]
B = ["1600 mm", "0 mm", "0 mm"]
P = ["100 mm", "40 mm", "0 mm"]
Q = ["1500 mm", "40 mm", "0 mm"]

[[obstacle]]
name      = "pipe"
shape     = "cylinder"
outside   = "20 mm"
from      = "P"
to        = "Q"
clearance = "8 mm"

[[link]]
name     = "brace"
rod_end  = "M12 heavy"
material = "S235"
bung     = "turned"
tube     = ["38 x 3", "28 x 2", "35 x 2", "30 x 2", "32 x 2", "38 x 2"]
from     = "A"
to       = "B"

[[load]]
name  = "braking"
link  = "brace"
force = "6 kN"
"#;

fn ready(job: &str, csv: &str) -> Result<Ready, Vec<Finding>> {
    let tables = Tables::shipped();
    let file = |name: &str| (name == "tabs.csv").then(|| (name.to_owned(), csv.to_owned()));
    let shelf = Shelf { file: &file, ..Shelf::shipped(&tables) };
    let asked = Workshop::new(shelf).read("job", "job.toml", job);
    asked.and_then(|asked| asked.solve()).map_err(|stopped| stopped.findings)
}

/// The chosen tube, and the check the next lighter one fails.
fn chosen(job: &str) -> (String, Option<(String, &'static str)>) {
    let ready = ready(job, "").unwrap_or_else(|found| panic!("{}", found[0].headline));
    let link = &ready.job.links[0];
    let chosen = link.chosen.as_ref().unwrap();
    assert_eq!(chosen.tried, 6);
    let lighter = chosen.lighter.as_ref().map(|unfit| (unfit.tube.clone(), unfit.code));
    (link.tube.name().to_owned(), lighter)
}

/// Of six tubes in any order the lightest that carries the load: with each of them alone the same job
/// says whether it does.
#[test]
fn the_lightest_tube_that_carries_the_load_is_chosen() {
    // By mass: 28 x 2, 30 x 2, 32 x 2, 35 x 2, 38 x 2, 38 x 3.
    let with = |newton: u32| BRACE.replace("6 kN", &format!("{newton} N"));
    let unfit = |tube: &str| Some((tube.to_owned(), "link-strength"));
    assert_eq!(chosen(&with(3000)), ("28 x 2".into(), None));
    assert_eq!(chosen(&with(6000)), ("30 x 2".into(), unfit("28 x 2")));
    assert_eq!(chosen(&with(8000)), ("35 x 2".into(), unfit("32 x 2")));
    for newton in [3000, 6000, 8000] {
        let job = with(newton);
        let line = job.lines().find(|line| line.starts_with("tube ")).unwrap();
        let alone =
            |tube: &str| ready(&job.replace(line, &format!("tube = \"{tube}\"")), "").is_ok();
        let first =
            ["28 x 2", "30 x 2", "32 x 2", "35 x 2", "38 x 2"].into_iter().find(|t| alone(t));
        assert_eq!(first, Some(chosen(&job).0.as_str()), "{newton}");
    }
}

/// The chosen tube is in the machine, and is the one that clears it.
#[test]
fn the_tube_that_is_chosen_clears_the_machine() {
    // From the axis of the link to the pipe 40 − 10 = 30 mm: 38 x 2 leaves 11, 35 x 2 leaves 12.5.
    let with = |clear: &str| BRACE.replace("\"8 mm\"", clear).replace("6 kN", "8 kN");
    assert_eq!(chosen(&with("\"12.4 mm\"")).0, "35 x 2");
    let found = ready(&with("\"12.6 mm\""), "").err().unwrap();
    let nothing = found.iter().find(|finding| finding.code == "nothing-fits").unwrap();
    assert!(nothing.notes.iter().any(|note| note.contains("machine-clearance")), "{nothing:?}");
    assert!(nothing.notes.iter().any(|note| note.contains("link-strength")), "{nothing:?}");
}

/// Nothing is chosen by weight alone: without a load, or with one that is not judged, it stops.
#[test]
fn a_tube_is_not_chosen_where_nothing_is_judged() {
    let (without, _) = BRACE.split_once("[[load]]").unwrap();
    let found = ready(without, "").err().unwrap();
    assert_eq!(found[0].code, "nothing-fits");
    assert!(found[0].headline.contains("no load acts along it"), "{}", found[0].headline);
    let unrated = BRACE.replace("M12 heavy", "M12");
    let found = ready(&unrated, "").err().unwrap();
    assert_eq!(found[0].code, "nothing-fits");
    assert!(found[0].notes[0].contains("is not judged"), "{:?}", found[0].notes);
    // A bung of the table fits the tube it is turned for, and no other here.
    let bought = BRACE.replace("bung     = \"turned\"\n", "").replace("\"30 x 2\", ", "");
    let found = ready(&bought.replace("\"28 x 2\", ", ""), "").err().unwrap();
    assert!(found[0].notes.iter().any(|note| note.contains("link-bung")), "{:?}", found[0].notes);
}

/// Where the rod end is what fails, no tube helps: its stop is printed once, and no list of tubes.
#[test]
fn a_rod_end_that_fails_with_every_tube_is_said_once() {
    let weak = BRACE.replace("M12 heavy", "M8 standard").replace("6 kN", "9 kN");
    let pull = weak.replace("force = \"9 kN\"", "force = \"9 kN\"\ndirection = \"pull\"");
    let found = ready(&pull, "").err().unwrap();
    let stops = found.iter().filter(|finding| finding.code == "link-strength").count();
    assert_eq!(stops, 1, "{found:?}");
    assert!(found.iter().all(|finding| finding.code != "nothing-fits"), "{found:?}");
}

/// By hand: M12 rod ends are engaged by 22.5 mm at first and by at least 12 mm: 1600 mm from pin to
/// pin may be set to 1600 + 2 × 10.5 = 1621 mm.
#[test]
fn a_place_beyond_the_adjustment_stops_the_job() {
    let reach = |x: &str| {
        let job = BRACE.replace("P = [", &format!("T = [\"{x}\", \"0 mm\", \"100 mm\"]\nP = ["));
        ready(&job.replace("to       = \"B\"", "to = \"B\"\ntravel = [\"T\"]"), "").map(|_| ())
    };
    // √(1617² + 100²) = 1620.09 mm and √(1619² + 100²) = 1622.09 mm.
    assert!(reach("1617 mm").is_ok());
    let found = reach("1619 mm").unwrap_err();
    let of_travel = found.iter().find(|finding| finding.code == "link-travel").unwrap();
    let words = "`brace` is to reach `T`, 1622.09 mm from pin to pin";
    assert!(of_travel.headline.contains(words), "{}", of_travel.headline);
    assert!(of_travel.headline.ends_with("to 1621 mm"), "{}", of_travel.headline);
}

/// A cell gives a length by points, as any other value does; an unknown point is reported at the
/// cell is.
#[test]
fn cells_of_a_table_say_lengths_by_points() {
    let job = "process = \"waterjet\"\n[points]\nA = [\"0 mm\", \"0 mm\", \"0 mm\"]\n\
               B = [\"30 mm\", \"40 mm\", \"0 mm\"]\nC = [\"1 m\", \"40 mm\", \"0 mm\"]\n\
               [[sheet]]\nname = \"s\"\nmaterial = \"S235\"\nthickness = \"3 mm\"\nstock = []\n\
               [[family]]\nrecipe = \"tab\"\nname = \"tab-{name}\"\nsheet = \"s\"\ntable = \"tabs.csv\"\n";
    let height = |csv: &str| {
        let ready = ready(job, csv).unwrap_or_else(|found| panic!("{}", found[0].headline));
        ready.solved.iter().map(|s| s.flat.region.bounds().height()).collect::<Vec<f64>>()
    };
    // A cell with commas is in quotes.
    let heights = height("name,reach\na,\"distance(A, B)\"\nb,50 mm\nc,2 * B.y - 20 mm\n");
    assert!((heights[0] - heights[1]).abs() < 1e-9, "{heights:?}");
    assert!((heights[2] - heights[1] - 10.0).abs() < 1e-9, "{heights:?}");
    let found = ready(job, "name,reach\na,\"distance(A, Z)\"\n").err().unwrap();
    assert_eq!(found[0].code, "unknown-point");
    assert!(found[0].headline.contains("`Z`"), "{}", found[0].headline);
}
