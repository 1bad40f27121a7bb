//! Bevels of edges: what remains of them, and the strength of the groove.

use crate::own;
use platewright::diag::Sources;
use platewright::job;
use platewright::job::Shelf;
use platewright::recipe::BevelSides;
use platewright::solve;
use platewright::strength::State;
use platewright::strength::Verdict;
use platewright::table::Tables;

/// 120 × 80 mm, bevelled and welded along its foot.
fn plate(bevel: &str) -> String {
    format!(
        "about = \"x\"\n[face.plate]\nblank = [ {{ add = \"polygon\", corners = [ \
         {{ at = [\"0\", \"0\"], edge = \"foot\" }}, [\"120 mm\", \"0\"], \
         [\"120 mm\", \"80 mm\"], [\"0\", \"80 mm\"] ] }} ]\n\
         holes = [ {{ name = \"eye\", at = [\"60 mm\", \"55 mm\"], diameter = \"20 mm\", role = \"eye\" }} ]\n\
         {bevel}weld = [ {{ edge = \"foot\", leg = \"6 mm\" }} ]\n"
    )
}

fn bevelled(angle: &str, land: &str, side: &str) -> String {
    plate(&format!(
        "bevel = [ {{ edge = \"foot\", angle = \"{angle} deg\", land = \"{land} mm\", side = \"{side}\" }} ]\n"
    ))
}

/// 10 mm of plate less a land of 2 mm: 8 mm from one side, 4 from each of two; 45° reaches as far
/// in as it is deep.
#[test]
fn a_bevel_is_as_deep_as_its_land_leaves_and_the_outline_stays() {
    for (side, depth, sides) in [
        ("up", 8.0, BevelSides::Up),
        ("down", 8.0, BevelSides::Down),
        ("both", 4.0, BevelSides::Both),
    ] {
        let (solved, found) = own::solve(&bevelled("45", "2", side), "10 mm", "laser")
            .unwrap_or_else(|found| panic!("{}", found[0].headline));
        assert!(found.is_empty(), "{found:?}");
        let bevel = &solved[0].part.faces[0].bevels[0];
        assert_eq!((bevel.depth, bevel.sides), (depth, sides));
        assert!((bevel.width() - depth).abs() < 1e-9 && (bevel.length() - 120.0).abs() < 1e-9);
        let area = solved[0].flat.region.outer().area();
        assert!((area - 9600.0).abs() < 1e-9, "{area}");
    }
}

/// A plate that is bevelled on one side has two hands; on both sides it is turned over.
#[test]
fn a_bevel_on_one_side_makes_two_hands() {
    let names = |side| {
        let own = format!("mirror = true\n{}", bevelled("45", "2", side));
        let (solved, _) = own::solve(&own, "10 mm", "laser").expect("it is a good plate");
        solved.iter().map(|s| s.name.clone()).collect::<Vec<_>>()
    };
    assert_eq!(names("up"), ["own-right", "own-left"]);
    assert_eq!(names("both"), ["own"]);
}

fn verdict(own: &str, direction: &str) -> Verdict {
    pinned(own, direction, "20 mm")
}

fn pinned(own: &str, direction: &str, pin: &str) -> Verdict {
    let tables = Tables::shipped();
    let recipe = |name: &str| (name == "own").then(|| ("own.toml".to_owned(), own.to_owned()));
    let shelf = Shelf { recipe: &recipe, ..Shelf::shipped(&tables) };
    let text = format!(
        "process = \"laser\"\n[[sheet]]\nname = \"s\"\nmaterial = \"S235\"\n\
         thickness = \"10 mm\"\nstock = []\n\
         [[part]]\nrecipe = \"own\"\nname = \"own\"\nsheet = \"s\"\n\
         [[load]]\nname = \"a\"\npart = \"own\"\nhole = \"eye\"\npin = \"{pin}\"\n\
         force = \"1 kN\"\ndirection = \"{direction}\"\n"
    );
    let mut sources = Sources::default();
    let source = sources.add("job.toml", text.as_str());
    let asked = job::read("job", source, &text, &shelf, &mut sources).expect("it is a good job");
    let (solved, _) = solve::solve(&asked, &shelf, &mut sources, &|| {}).expect("it is solved");
    solved[0].verdicts[0].1.clone()
}

/// Pulled straight out at its middle, grooves of 4 mm from both sides carry on the throat of table
/// J2.1 the lesser of 0.6 FEXX of E70 (482.6 N/mm²) and 0.6 Fu of S235 (360 N/mm²): 216.
#[test]
fn a_groove_holds_on_its_throat_alone_computed_by_hand() {
    let throat = 4.0 - 3.175;
    for angle in ["45", "50", "60", "70"] {
        let verdict = verdict(&bevelled(angle, "2", "both"), "pull");
        let groove = verdict.limits.iter().find(|limit| limit.what == "groove weld");
        let is = groove.unwrap_or_else(|| panic!("{angle}: {:?}", verdict.state)).nominal;
        // For 1 kN: how often 1 N, less what table rows and films leave out: nothing here.
        let by_hand = 216.0 * throat * 2.0 * 120.0;
        assert!((is / by_hand - 1.0).abs() < 1e-6, "{angle}: {is}, by hand {by_hand}");
        assert!(verdict.limits.iter().all(|limit| limit.what != "fillet weld"));
    }
}

/// Below 45° no throat is known, and a groove on one side that is pulled opens at its root.
#[test]
fn a_narrow_groove_and_one_that_opens_are_not_judged() {
    let opens = "the groove on one side of `foot` opens at its root";
    for (angle, side, words, help) in [
        ("30", "both", "narrower than 45°", "45° or more"),
        ("45", "up", opens, "`side = \"both\"`"),
        ("45", "down", opens, "`side = \"both\"`"),
    ] {
        let verdict = verdict(&bevelled(angle, "2", side), "pull");
        let State::NotJudged(reason) = &verdict.state else { panic!("{angle} {side} is judged") };
        assert!(reason.to_string().contains(words), "{reason}");
        assert!(reason.help().contains(help), "{}", reason.help());
    }
    assert!(matches!(verdict(&plate(""), "pull").state, State::Judged));
}

/// Sections beside a bevel that is no groove of the support are not known, nor is the strength of
/// an insert in its hole.
#[test]
fn a_bevel_elsewhere_and_an_insert_are_not_judged() {
    let elsewhere = plate("bevel = [ { edge = \"head\", angle = \"45 deg\" } ]\n")
        .replace("[\"0\", \"80 mm\"]", "{ at = [\"0\", \"80 mm\"], edge = \"head\" }");
    let held =
        bevelled("45", "2", "both").replace("weld = [ { edge = \"foot\", leg = \"6 mm\" } ]\n", "");
    let insert = plate("").replace("diameter = \"20 mm\"", "insert = \"weld nut M8\"");
    for (own, words) in [
        (elsewhere, "edge `head` is bevelled"),
        (
            format!("{held}weld = [ {{ edge = \"side\" }} ]\n")
                .replace("[\"120 mm\", \"0\"]", "{ at = [\"120 mm\", \"0\"], edge = \"side\" }"),
            "edge `foot` is bevelled",
        ),
        (insert, "the insert in `eye`"),
    ] {
        let verdict = pinned(&own, "pull", "8 mm");
        let State::NotJudged(reason) = &verdict.state else { panic!("{words}: it is judged") };
        assert!(reason.to_string().contains(words), "{reason}");
        assert!(verdict.limits.is_empty());
    }
}
