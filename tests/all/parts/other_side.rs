//! What is on both sides of the machine: enough pieces, and of both hands.

use crate::own;
use platewright::diag::Finding;
use platewright::diag::Sources;
use platewright::diag::Weight;
use platewright::job::Shelf;
use platewright::place::Search;
use platewright::table::Tables;
use platewright::workshop::Ready;
use platewright::workshop::Stopped;
use platewright::workshop::Workshop;

/// A rail and an upright on both sides of the plane y = 0, and a brace between them.
const BRACE: &str = r#"
process = "waterjet"
centre_plane = ["m1", "m2", "m3"]

[points]
m1 = ["0 mm", "0 mm", "0 mm"]
m2 = ["100 mm", "0 mm", "0 mm"]
m3 = ["0 mm", "0 mm", "100 mm"]
r0 = ["-500 mm", "300 mm", "0 mm"]
r1 = ["500 mm", "300 mm", "0 mm"]
u0 = ["200 mm", "300 mm", "600 mm"]
u1 = ["200 mm", "700 mm", "600 mm"]
a  = ["0 mm", "300 mm", "0 mm"]
b  = ["200 mm", "400 mm", "600 mm"]

[[obstacle]]
name = "rail"
shape = "tube"
tube = "48.3 x 2.6"
from = "r0"
to = "r1"
both_sides = true

[[obstacle]]
name = "up"
shape = "tube"
tube = "48.3 x 2.6"
from = "u0"
to = "u1"
both_sides = true

[[tube]]
name = "br"
material = "S235"
tube = "38 x 2"
quantity = 2
from = "a"
to = "b"
start = { meets = "rail" }
end = { meets = "up" }
both_sides = true
"#;

/// A sheet bent once, with a hole off its centre line.
const BENT: &str = r#"
about = "t"
[face.plate]
blank = [ { add = "rectangle", width = "80 mm", height = "120 mm", at = ["0", "60 mm"] } ]
holes = [ { name = "h", at = ["25 mm", "30 mm"], diameter = "9 mm", for = "M8" } ]
[bend.fold]
across = "plate"
line = [["-40 mm", "60 mm"], ["40 mm", "60 mm"]]
to = "flap"
angle = "90 deg"
radius = "6 mm"
"#;

const PART: &str = r#"
process = "waterjet"
centre_plane = ["m1", "m2", "m3"]

[points]
m1 = ["0 mm", "0 mm", "0 mm"]
m2 = ["100 mm", "0 mm", "0 mm"]
m3 = ["0 mm", "0 mm", "100 mm"]
o = ["0 mm", "300 mm", "0 mm"]
x = ["100 mm", "300 mm", "0 mm"]
s = ["0 mm", "400 mm", "0 mm"]

[[sheet]]
name = "steel"
material = "S235"
thickness = "4 mm"
stock = []

[[part]]
recipe = "own"
name = "t"
sheet = "steel"
quantity = 2
on = { origin = "o", x = "x", side = "s" }
both_sides = true
"#;

/// What a workshop makes of a job of the recipe.
fn solved(recipe: &str, job: &str) -> Result<Ready, Stopped> {
    let tables = Tables::shipped();
    let shipped = Shelf::shipped(&tables);
    let find = |name: &str| match name {
        "own" => Some(("own.toml".to_owned(), recipe.to_owned())),
        _ => (shipped.recipe)(name),
    };
    let workshop = Workshop::new(Shelf { recipe: &find, ..shipped });
    workshop.read("job", "job.toml", job).unwrap().solve()
}

/// A job of the recipe, which a workshop makes.
fn ready(recipe: &str, job: &str) -> Ready {
    solved(recipe, job).unwrap_or_else(|stopped| panic!("{:?}", stopped.findings))
}

/// The findings on a job that a workshop does not make.
fn unsolved(recipe: &str, job: &str) -> Vec<Finding> {
    solved(recipe, job).err().map(|stopped| stopped.findings).unwrap_or_default()
}

/// The part at two places on either side.
fn of_two_places() -> String {
    let other = "o2 = [\"400 mm\", \"300 mm\", \"0 mm\"]\nx2 = [\"500 mm\", \"300 mm\", \"0 mm\"]\ns2 = [\"400 mm\", \"400 mm\", \"0 mm\"]\n";
    let places = "on = [{ origin = \"o\", x = \"x\", side = \"s\" }, { origin = \"o2\", x = \"x2\", side = \"s2\" }]";
    let job = PART.replace("\n[[sheet]]", &format!("{other}\n[[sheet]]"));
    job.replace("on = { origin = \"o\", x = \"x\", side = \"s\" }", places)
}

/// What it says of the other side.
fn left(ready: &Ready) -> Vec<&str> {
    let found = ready.findings.iter().filter(|f| f.code == "other-side");
    found.map(|f| f.headline.as_str()).collect()
}

/// Two of a bent part on both sides come out as the same job in both hands does: by their names, numbers and files.
#[test]
fn a_bent_part_on_both_sides_is_made_in_both_hands_by_itself() {
    let asked = ready(BENT, PART);
    let both = ready(BENT, &PART.replace("quantity = 2", "quantity = 1\nmirror = true"));
    let names = |of: &Ready| of.solved.iter().map(|part| part.name.clone()).collect::<Vec<_>>();
    assert_eq!(names(&asked), ["t-right", "t-left"]);
    assert_eq!(names(&both), names(&asked));
    assert_eq!(asked.job.lines[0].quantity, 1);
    assert!(left(&asked).is_empty(), "{:?}", left(&asked));
    let files = |of: &Ready| -> Vec<(String, Vec<u8>)> {
        of.flats().unwrap().into_iter().map(|file| (file.name, file.bytes)).collect()
    };
    assert_eq!(files(&asked), files(&both));
    let flats: Vec<_> =
        files(&asked).into_iter().filter(|(name, _)| name.ends_with(".dxf")).collect();
    assert!(flats.len() == 2 && flats[0].1 != flats[1].1, "the hands differ");
    let drawn = of_two_places();
    assert!(said(BENT, &drawn)[0].weight == Weight::Stop, "two pieces for four places");
    let four = ready(BENT, &drawn.replace("quantity = 2", "quantity = 4"));
    assert_eq!((four.job.lines[0].quantity, left(&four)), (2, vec![]));
    let two = unsolved(BENT, &drawn);
    assert!(two.iter().any(|f| f.code == "other-side" && f.weight == Weight::Stop), "{two:?}");
    // What is its own mirror image, an odd number, and a part whose hand the job says, stay as they are.
    let central = BENT.replace("[\"25 mm\", \"30 mm\"]", "[\"0 mm\", \"30 mm\"]");
    assert_eq!(names(&ready(&central, PART)), ["t"]);
    let one_hand = PART.replace("both_sides = true", "both_sides = true\nmirror = false");
    assert!(said(BENT, &one_hand)[0].weight == Weight::Stop);
}

/// The tube of the other side is that of the job whose points are mirrored.
#[test]
fn a_twisted_brace_on_both_sides_is_made_in_both_hands_by_itself() {
    let asked = ready("", BRACE);
    assert!(left(&asked).is_empty(), "{:?}", left(&asked));
    let tubes = &asked.job.tubes;
    let made: Vec<(&str, u32)> = tubes.iter().map(|t| (t.name.as_str(), t.quantity)).collect();
    assert_eq!(made, [("br", 1), ("br-other-side", 1)]);
    let written = asked.make(&Search::none()).unwrap();
    let words: Vec<&str> = written.report.tubes.iter().map(|tube| tube.words.as_str()).collect();
    let other = "br-other-side (other side of br), qty 1: ";
    assert!(words.len() == 2 && words[1].starts_with(other), "{words:?}");
    let templates = |name: &str| {
        let start = format!("tubes/{name}");
        written.files.iter().filter(|file| file.name.starts_with(&start)).count()
    };
    assert!(
        templates("br-start") > 0 && templates("br-other-side-start") > 0,
        "{:?}",
        written.files.iter().map(|f| &f.name).collect::<Vec<_>>()
    );
    // Across the plane y = 0.
    let points = |line: &str| {
        let is_point = line.contains("mm\"]") && !line.starts_with('m');
        let mut all: Vec<&str> = line.split("\", \"").collect();
        let across = if is_point { format!("-{}", all[1]) } else { String::new() };
        if is_point {
            all[1] = &across;
        }
        all.join("\", \"")
    };
    let mirrored: String = BRACE.lines().map(|line| points(line) + "\n").collect();
    assert!(mirrored.contains("b  = [\"200 mm\", \"-400 mm\""), "{mirrored}");
    let mirrored = ready("", &mirrored.replace("quantity = 2", "quantity = 1"));
    let other = &mirrored.job.tubes[0];
    assert_eq!(mirrored.job.tubes.len(), 1);
    let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-6, "{a} {b}");
    near(tubes[1].twist.degrees(), other.twist.degrees());
    near(tubes[1].length, other.length);
    for (one, two) in tubes[1].ends.iter().zip(&other.ends) {
        let (one, two) = (one.as_ref().unwrap(), two.as_ref().unwrap());
        near(one.offset(), two.offset());
        near(one.angle().degrees(), two.angle().degrees());
        near(one.main(), two.main());
    }
    assert!(tubes[0].twist.degrees().abs() > 80.0);
}

/// What is said of the other side, with whether it stops.
fn said(recipe: &str, job: &str) -> Vec<Finding> {
    let made = own::asked(recipe, job, &mut Sources::default());
    let found = made.map_or_else(|found| found, |(_, (_, found))| found);
    let stops = |f: &&Finding| f.code != "other-side" && f.weight == Weight::Stop;
    assert_eq!(found.iter().find(stops).map(|f| &f.headline), None);
    found.into_iter().filter(|finding| finding.code == "other-side").collect()
}

fn one(recipe: &str, job: &str) -> Finding {
    let found = said(recipe, job);
    assert_eq!(found.len(), 1, "{:?}", found.iter().map(|f| &f.headline).collect::<Vec<_>>());
    found.into_iter().next().unwrap()
}

/// A brace with a twist is not the same on the other side; with the tube that the finding says, it is clear.
#[test]
fn a_twisted_brace_needs_one_of_the_other_hand() {
    let stop = one("", BRACE);
    assert_eq!(stop.weight, Weight::Stop);
    assert!(
        stop.notes.iter().any(|n| n == "twist -87.02°: the other side needs 87.02°"),
        "{:?}",
        stop.notes
    );
    let help = stop.help.unwrap();
    let typed = help
        .split_once("with ")
        .unwrap()
        .1
        .replace('`', "")
        .replace("\", ", "\"\n")
        .replace("}, ", "}\n");
    // Inside the ends, the keys stay on one line.
    let typed =
        typed.replace("mm\"\nangle", "mm\", angle").replace("deg\"\noffset", "deg\", offset");
    let single = BRACE.replace("quantity = 2", "quantity = 1");
    let other = format!(
        "{single}\n[[tube]]\nname = \"br-left\"\nmaterial = \"S235\"\ntube = \"38 x 2\"\n{typed}\n"
    );
    assert!(said("", &other).is_empty(), "{other}");
    // The same hand again is no help.
    let same = other.replace("twist = \"87.02", "twist = \"-87.02");
    assert_ne!(same, other);
    assert_eq!(one("", &same).weight, Weight::Caution);
    assert_eq!(one("", &single).weight, Weight::Caution);
}

/// Square to both at a right angle, it is its own mirror image; one of it is too few.
#[test]
fn a_brace_that_is_its_own_mirror_image_is_made_twice() {
    let straight = BRACE.replace("b  = [\"200 mm\", \"400 mm\"", "b  = [\"0 mm\", \"300 mm\"");
    let straight = straight.replace("u0 = [\"200 mm\", \"300", "u0 = [\"0 mm\", \"100");
    let straight = straight.replace("u1 = [\"200 mm\"", "u1 = [\"0 mm\"");
    assert!(said("", &straight).is_empty());
    let single = one("", &straight.replace("quantity = 2", "quantity = 1"));
    assert_eq!(single.weight, Weight::Caution);
    assert!(single.help.unwrap().contains("quantity = 2"));
}

/// Two of a bent part with a hole off its centre line are of one hand; with the hole on it, or in both hands, they fit.
#[test]
fn a_bent_part_is_made_in_both_hands() {
    let stop = one(BENT, PART);
    assert_eq!(stop.weight, Weight::Stop);
    assert!(stop.help.unwrap().contains("mirror = true"));
    let both = PART.replace("quantity = 2", "quantity = 1\nmirror = true");
    assert!(said(BENT, &both).is_empty());
    let central = BENT.replace("[\"25 mm\", \"30 mm\"]", "[\"0 mm\", \"30 mm\"]");
    assert!(said(&central, PART).is_empty());
    let single = one(&central, &PART.replace("quantity = 2", "quantity = 1"));
    assert_eq!(single.weight, Weight::Caution);
    assert!(single.headline.contains("2 places"), "{}", single.headline);
}

/// A flat plate is flipped over.
#[test]
fn a_flat_plate_is_the_same_on_both_sides() {
    let flat = BENT.split("[bend.fold]").next().unwrap();
    assert!(said(flat, PART).is_empty());
}

/// A mirrored part does not touch a post that is on the given side only.
#[test]
fn what_a_mirrored_part_touches_is_on_both_sides() {
    let flat = BENT.split("[bend.fold]").next().unwrap();
    let job = PART.replace("s = [", "c1 = [\"0 mm\", \"360 mm\", \"-4.5 mm\"]\nc2 = [\"0 mm\", \"360 mm\", \"-400 mm\"]\ns = [")
        .replace("both_sides = true", "both_sides = true\ntouches = [\"post\"]")
        + "\n[[tube]]\nname = \"post\"\nmaterial = \"S235\"\ntube = \"38 x 2\"\nfrom = \"c1\"\nto = \"c2\"\n";
    let found = one(flat, &job);
    assert_eq!(found.weight, Weight::Caution);
    assert!(found.headline.contains("`post`, which is on one side only"), "{}", found.headline);
    let both = job.replace("to = \"c2\"\n", "to = \"c2\"\nquantity = 2\nboth_sides = true\n");
    assert!(said(flat, &both).is_empty());
}
