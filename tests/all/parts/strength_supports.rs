//! What is said of a support that holds only in part, and where nothing holds.

use super::strength::verdict;
use crate::own;
use platewright::strength::Reason;
use platewright::strength::Verdict;

fn bellcrank(load: &str) -> Verdict {
    let load = format!("hole = \"a\"\nforce = \"100 N\"\n{load}");
    verdict("S235", 8.0, "recipe = \"bellcrank\"", &load)
}

/// Between its eyes it is a tie, whatever the pivot takes: that it takes nothing is said.
#[test]
fn a_bellcrank_between_its_eyes_says_that_its_pivot_is_left_out() {
    let verdict = bellcrank("direction = \"pull\"");
    assert_eq!(verdict.refused(), None);
    let words = "held in `b` alone, about which the part turns: no support in `pivot`";
    assert!(verdict.assumed.iter().any(|said| said == words), "{:?}", verdict.assumed);
}

#[test]
fn a_single_pin_holds_nothing_square_to_the_plate() {
    for bolts in ["", "bolts = \"b\""] {
        let verdict = bellcrank(&format!("direction = \"sideways\"\n{bolts}"));
        assert_eq!(verdict.refused(), Some(&Reason::OnePin("b".into())));
        assert_eq!(verdict.margin(), None);
    }
}

/// Off the line through the pin the plate turns.
#[test]
fn a_single_pin_holds_no_load_that_passes_it() {
    let verdict = bellcrank("direction = \"along\"");
    assert!(matches!(verdict.refused(), Some(Reason::Offered(_))), "{:?}", verdict.state);
}

/// The bolts of the plate are loaded, and the weld is that of the doubler.
#[test]
fn where_only_the_loaded_bolts_could_hold_the_help_says_so() {
    let load = "hole = \"bolt\"\nforce = \"1 kN\"\ndirection = \"pull\"";
    let verdict = verdict("S235", 8.0, "recipe = \"doubler-plate\"", load);
    let help = verdict.refused().map(Reason::help);
    let words =
        "give the loaded plate a `weld`, or holes `for` bolts in which the load does not act";
    assert_eq!(help.as_deref(), Some(words));
}

#[test]
fn a_plain_0_serves_for_the_point_of_a_load() {
    let at = |zero: &str| {
        let load =
            format!("at = [\"{zero}\", \"{zero}\"]\nforce = \"1 kN\"\ndirection = \"along\"");
        verdict("S235", 8.0, "recipe = \"base-plate\"", &load)
    };
    assert_eq!(format!("{:?}", at("0")), format!("{:?}", at("0 mm")));
}

#[test]
fn a_point_of_a_plate_without_bolts_is_refused_in_words() {
    let text = r#"
about = "x"
[face.plate]
blank = [ { add = "rectangle", width = "200 mm", height = "120 mm" } ]
weld = [ { edge = "top", leg = "3 mm" } ]
"#;
    let keys = "[[load]]\nname = \"x\"\npart = \"own\"\nat = [\"0 mm\", \"0 mm\"]\nabove = \"5 mm\"\n\
                foot = \"20 mm\"\nforce = \"1 kN\"\ndirection = \"pull\"";
    let findings = own::solve_with(text, "3 mm", "waterjet", keys).unwrap_err();
    let words = "load `x` cannot be judged: no bolts hold the plate, which a load at a point needs";
    assert!(findings.iter().any(|found| found.headline == words), "{findings:?}");
}
