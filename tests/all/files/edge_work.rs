//! Bevels with their welds, and countersunk holes, on drawings and in orders.

use crate::files::drawn;
use platewright::diag::Sources;
use platewright::drawings;
use platewright::job;
use platewright::job::Job;
use platewright::job::Shelf;
use platewright::make;
use platewright::paper::Format;
use platewright::paper::Item;
use platewright::paper::Pages;
use platewright::paper::Pen;
use platewright::place::Search;
use platewright::solve;
use platewright::solve::Solved;
use platewright::table::Tables;
use std::io::Cursor;
use std::io::Read;

const PLAIN: &str = "about = \"x\"\n[face.plate]\nblank = [ { add = \"polygon\", corners = [ \
     { at = [\"0\", \"0\"], edge = \"foot\" }, [\"120 mm\", \"0\"], \
     [\"120 mm\", \"80 mm\"], [\"0\", \"80 mm\"] ] } ]\n";

/// 120 × 80 mm with a weld along its foot.
fn welded(bevel: &str, weld: &str) -> String {
    format!("{PLAIN}{bevel}weld = [ {{ edge = \"foot\", {weld} }} ]\n")
}

fn bevel(side: &str) -> String {
    format!(
        "bevel = [ {{ edge = \"foot\", angle = \"45 deg\", land = \"2 mm\", side = \"{side}\" }} ]\n"
    )
}

/// A job of one piece of a recipe in 10 mm.
fn solved(own: &str, sources: &mut Sources) -> (Job, Vec<Solved>) {
    let tables = Tables::shipped();
    let recipe = |name: &str| (name == "own").then(|| ("own.toml".to_owned(), own.to_owned()));
    let shelf = Shelf { recipe: &recipe, ..Shelf::shipped(&tables) };
    let text = "process = \"laser\"\npaper = \"none\"\n[[sheet]]\nname = \"s\"\n\
         material = \"S235\"\nthickness = \"10 mm\"\nstock = [ { size = [\"400 mm\", \"200 mm\"] } ]\n\
         [[part]]\nrecipe = \"own\"\nname = \"own\"\nsheet = \"s\"\n";
    let source = sources.add("job.toml", text);
    let job = job::read("job", source, text, &shelf, sources).expect("it is a good job");
    let (solved, _) = solve::solve(&job, &shelf, sources, &|| {}).expect("it is solved");
    (job, solved)
}

fn drawing(own: &str) -> Pages {
    let (job, solved) = solved(own, &mut Sources::default());
    drawings::shop_drawing(&job, &solved, &solved[0], Format::A4)
}

/// All words of a drawing, each with its height above the bottom edge.
fn words(drawing: &Pages) -> Vec<(&str, f64)> {
    let words = drawing.pages.iter().flat_map(drawn::words);
    words.map(|words| (words.text.as_str(), words.at.y)).collect()
}

fn heights(drawing: &Pages, text: &str) -> Vec<f64> {
    words(drawing).into_iter().filter(|(words, _)| *words == text).map(|(_, y)| y).collect()
}

/// Where the dashed lines of the symbols are: level, and shorter than any edge of the part.
fn dashed(drawing: &Pages) -> Vec<f64> {
    let items = drawing.pages.iter().flat_map(drawn::items);
    let lines = items.filter_map(|item| match item {
        Item::Line(Pen::Dashed, edges) if edges.len() == 1 => Some(edges[0]),
        _ => None,
    });
    lines.filter(|edge| edge.length() < 30.0).map(|e| e.from.y).collect()
}

/// The depth of 8 mm is above the dashed line for a bevel from the top side, below it for one from
/// the bottom side; one of 4 mm from both sides needs no such line.
#[test]
fn a_groove_is_on_the_line_of_its_side_with_its_depth() {
    for (side, is_above) in [("up", true), ("down", false)] {
        let drawing = drawing(&welded(&bevel(side), "one_side = true"));
        let (depth, line) = (heights(&drawing, "h8"), dashed(&drawing));
        assert_eq!((depth.len(), line.len()), (1, 1), "{side}: {:?}", words(&drawing));
        assert_eq!(depth[0] > line[0], is_above, "{side}");
    }
    let both = drawing(&welded(&bevel("both"), "one_side = true"));
    assert_eq!((heights(&both, "h4").len(), dashed(&both).len()), (2, 0));
}

/// The leg of the fillet is beyond the groove on its side.
#[test]
fn a_weld_on_a_bevelled_edge_keeps_its_leg() {
    for (side, weld, legs) in [
        ("up", "one_side = true, leg = \"6 mm\"", 1),
        ("down", "one_side = true, leg = \"6 mm\"", 1),
        ("up", "leg = \"6 mm\"", 2),
        ("both", "leg = \"6 mm\"", 2),
    ] {
        let drawing = drawing(&welded(&bevel(side), weld));
        let (depth, leg) =
            (heights(&drawing, if side == "both" { "h4" } else { "h8" }), heights(&drawing, "z6"));
        assert_eq!(leg.len(), legs, "{side} {weld}: {:?}", words(&drawing));
        if legs == 1 {
            let beyond = leg[0] - depth[0];
            assert_eq!(beyond > 1.0, side == "up", "{side} {weld}: {beyond}");
        }
    }
}

/// The notes of a drawing, with the lines of each as one.
fn notes(own: &str) -> String {
    let drawing = drawing(own);
    words(&drawing).iter().map(|(text, _)| format!("{text} ")).collect()
}

/// Countersinks and bevels on the top side are visible, those on the bottom side dashed; each has
/// its note beside it.
#[test]
fn what_is_on_the_bottom_side_is_dashed() {
    let sunk = |side: &str| {
        format!(
            "{PLAIN}holes = [ {{ name = \"a\", at = [\"60 mm\", \"40 mm\"], diameter = \"11 mm\", \
             countersink = {{ diameter = \"20 mm\", side = \"{side}\" }} }} ]\n"
        )
    };
    let with = |side: &str| format!("{PLAIN}{}", bevel(side));
    for (own, said, is_below) in [
        (PLAIN.to_owned(), "Flat, both sides alike", false),
        (sunk("up"), "from the top side", false),
        (sunk("down"), "from the bottom side", true),
        (with("both"), "both sides", false),
        (with("down"), "bottom side", true),
    ] {
        assert!(notes(&own).contains(said), "{said}: {}", notes(&own));
        let items = drawing(&own);
        let mut items = items.pages.iter().flat_map(drawn::items);
        let is_dashed = items.any(|item| matches!(item, Item::Line(Pen::Dashed, _)));
        assert_eq!(is_dashed, is_below, "{said}");
    }
}

/// The instruction for an insert, printed with its kind once.
#[test]
fn the_drawing_says_what_is_done_with_an_insert() {
    for (insert, wanted) in [
        ("weld nut M8", "weld on M8 weld nut, top side"),
        ("press nut M10", "press in M10 press nut from the top side"),
    ] {
        let own = format!(
            "{PLAIN}holes = [ {{ name = \"a\", at = [\"60 mm\", \"40 mm\"], insert = \"{insert}\" }} ]\n"
        );
        let notes = notes(&own);
        assert!(notes.contains(wanted), "{wanted}: {notes}");
    }
}

/// The read-me of the order of a recipe.
fn read_me(own: &str) -> String {
    let mut sources = Sources::default();
    let (job, solved) = solved(own, &mut sources);
    let made = make::make(&job, &solved, Vec::new(), &sources, &Search::none());
    let made = made.expect("it is made");
    let is_order = |name: &str| name.starts_with("order/") && name.ends_with(".zip");
    let order = made.files.iter().find(|file| is_order(&file.name)).expect("it is ordered");
    let mut inside = zip::ZipArchive::new(Cursor::new(order.bytes.clone())).expect("it is a zip");
    let is_it = |i: &usize| {
        let name = inside.name_for_index(*i);
        name.and_then(Result::ok).is_some_and(|name| name.ends_with("read-me.txt"))
    };
    let index = (0..inside.len()).find(is_it).expect("it has a read-me");
    let mut text = String::new();
    let mut file = inside.by_index(index).expect("it is there");
    file.read_to_string(&mut text).expect("it is text");
    text
}

/// The cutting service delivers square edges and reads what is made of them.
#[test]
fn the_read_me_of_an_order_lists_the_bevels() {
    let bevelled = read_me(&format!("{PLAIN}{}", bevel("up")));
    for wanted in ["deliver these edges square", "own, edge foot: bevel 45°, land 2 mm\r\n"] {
        assert!(bevelled.contains(wanted), "{wanted}: {bevelled}");
    }
    assert!(!read_me(PLAIN).to_lowercase().contains("bevel"));
}

/// A flared hole and a V bead on a side.
fn formed(side: &str) -> String {
    format!(
        "{PLAIN}holes = [ {{ name = \"light\", at = [\"45 mm\", \"40 mm\"], diameter = \"20 mm\", \
         flare = {{ height = \"6 mm\", angle = \"30 deg\", side = \"{side}\" }} }} ]\n\
         bead = [ {{ name = \"rib\", line = [[\"95 mm\", \"20 mm\"], [\"95 mm\", \"60 mm\"]], \
         width = \"20 mm\", depth = \"5 mm\", section = \"v\", side = \"{side}\" }} ]\n"
    )
}

/// The callouts and the note.
#[test]
fn the_drawing_says_what_is_formed() {
    for (side, on) in [("up", "top side"), ("down", "bottom side")] {
        let own = formed(side);
        let (_, parts) = solved(&own, &mut Sources::default());
        let flare = parts[0].part.faces[0].holes[0].flare.expect("it has one");
        let show = |mm: f64| platewright::num::text(mm, 2);
        let callout = format!(
            "form flare Ø20 inside, Ø{} outside, 6 high at 30°, on the {on}",
            show(flare.outside)
        );
        let notes = notes(&own);
        for wanted in [
            callout.as_str(),
            "Flares and beads are formed in the flat.",
            &format!("bead rib: 20 wide, 5 deep, V, on the {on}"),
        ] {
            assert!(notes.contains(wanted), "{side}: {wanted}: {notes}");
        }
    }
    assert!(!notes(PLAIN).contains("formed"));
}

/// Foot and mouth are circles of their diameters about the hole.
#[test]
fn the_drawing_has_the_foot_and_the_mouth_of_a_flare() {
    let drawn = drawing(&formed("up"));
    let (_, parts) = solved(&formed("up"), &mut Sources::default());
    let flare = parts[0].part.faces[0].holes[0].flare.expect("it has one");
    let items = drawn.pages.iter().flat_map(drawn::items);
    let mut radii: Vec<f64> = Vec::new();
    for item in items {
        let Item::Line(_, edges) = item else { continue };
        radii.extend(edges.iter().filter_map(|edge| edge.arc()).map(|arc| arc.radius));
    }
    let has = |ratio: f64| radii.iter().any(|a| radii.iter().any(|b| (a / b - ratio).abs() < 1e-6));
    assert!(has(flare.outside / flare.inside), "{radii:?}");
}

#[test]
fn the_read_me_of_an_order_says_what_is_formed() {
    let text = read_me(&formed("down"));
    for wanted in [
        "FORMED BY US",
        "please deliver flat",
        "own, hole light: flare\r\n",
        "own, bead rib: bead 20 mm × 5 mm, V, bottom side\r\n",
        "own, hole light: cut pilot Ø",
    ] {
        assert!(text.contains(wanted), "{wanted}: {text}");
    }
    assert!(!read_me(PLAIN).contains("FORMED"));
}
