//! Places that steps leave too narrow to cut, and those they may leave.

use crate::own;
use crate::python;
use platewright::flat::Highlight;

fn plate(steps: &str) -> String {
    format!("about = \"x\"\n[face.plate]\nblank = [ {steps} ]\n")
}

fn rectangle(word: &str, width: f64, height: f64, x: f64, y: f64) -> String {
    format!(
        "{{ {word} = \"rectangle\", width = \"{width} mm\", height = \"{height} mm\", at = [\"{x} mm\", \"{y} mm\"] }}, "
    )
}

/// Steps that leave something narrow: its code, its width, and where it is ringed.
#[test]
fn slits_spikes_and_necks_stop_and_are_ringed() {
    let base = rectangle("add", 100.0, 60.0, 0.0, 0.0);
    let thin_slot = "{ cut = \"slot\", length = \"30 mm\", width = \"0.5 mm\" }";
    let crescent = "{ cut = \"disc\", radius = \"20 mm\" }, \
        { add = \"rectangle\", width = \"100 mm\", height = \"20 mm\", at = [\"0\", \"-10 mm\"] }, \
        { add = \"disc\", radius = \"19.95 mm\" }";
    let lug = |x: f64| rectangle("add", 40.0, 40.0, x, 20.0);
    for (steps, code, wide) in [
        (base.clone() + thin_slot, "narrow-opening", "0.5 mm"),
        (base.clone() + &rectangle("cut", 30.0, 0.5, 0.0, 0.0), "narrow-opening", "0.5 mm"),
        (base.clone() + crescent, "narrow-opening", "0.05 mm"),
        (base.clone() + &rectangle("cut", 1.0, 1.0, 0.0, 0.0), "narrow-opening", "1 mm"),
        (
            rectangle("add", 100.0, 20.0, 0.0, 0.0) + &lug(-20.025) + &lug(20.025),
            "narrow-opening",
            "0.05 mm",
        ),
        (base.clone() + &rectangle("add", 0.3, 40.0, 0.0, 25.0), "narrow-metal", "0.3 mm"),
        (
            base + &rectangle("cut", 20.0, 29.0, 0.0, 15.5)
                + &rectangle("cut", 20.0, 29.0, 0.0, -15.5),
            "narrow-metal",
            "2 mm",
        ),
    ] {
        let found = own::solve(&plate(&steps), "3 mm", "waterjet").expect_err("it is stopped");
        let words: Vec<_> = found.iter().map(|f| (f.code, f.headline.as_str())).collect();
        let is = |f: &&platewright::diag::Finding| {
            f.code == code && f.headline.contains(&format!("is {wide} wide"))
        };
        let finding = found.iter().find(is).unwrap_or_else(|| panic!("{steps}: {words:?}"));
        assert!(!finding.about.is_empty());
    }
}

#[test]
fn the_ring_goes_round_the_narrow_place() {
    let steps = rectangle("add", 100.0, 60.0, 0.0, 0.0)
        + "{ cut = \"rectangle\", width = \"1 mm\", height = \"20 mm\", at = [\"30 mm\", \"20 mm\"], when = \"thickness > 2 mm\" }";
    let found = own::solve(&plate(&steps), "3 mm", "waterjet").err().unwrap();
    let whole = own::solve(&plate(&steps), "1 mm", "waterjet").unwrap().0.remove(0);
    let platewright::diag::About::Part { features, .. } = &found[0].about[0] else { panic!() };
    let seen = whole.flat.seen(&whole.part, features);
    let [Highlight::Round(ring)] = &seen[..] else { panic!("{seen:?}") };
    assert!((ring.min.x - 29.5).abs() < 1e-3 && (ring.max.x - 30.5).abs() < 1e-3, "{ring:?}");
    assert!(ring.min.y > 9.9 && ring.max.y < 30.1 && ring.height() > 10.0, "{ring:?}");
}

/// Narrow places made on purpose, or by every cut.
#[test]
fn rounds_reliefs_and_points_do_not_stop() {
    let ell = |corner: &str| {
        format!(
            "{{ add = \"polygon\", corners = [ [\"0\",\"0\"], [\"80 mm\",\"0\"], [\"80 mm\",\"20 mm\"], {{ at = [\"20 mm\",\"20 mm\"]{corner} }}, [\"20 mm\",\"80 mm\"], [\"0\",\"80 mm\"] ] }}, "
        )
    };
    let base = rectangle("add", 120.0, 50.0, 0.0, 0.0);
    let cleared = "{ cut = \"disc\", radius = \"0.75 mm\", at = [\"20 mm\", \"20 mm\"] }";
    for steps in [
        ell(", round = \"10 mm\""),
        ell(", round = \"0.5 mm\""),
        ell("") + cleared,
        base.clone()
            + "{ add = \"tongue\", edge = \"bottom\", count = \"2\", width = \"15 mm\", span = \"60 mm\" }, { cut = \"saddle\", tube = \"38 mm\", at = [\"0\",\"25 mm\"] }, { round = \"2 mm\" }",
        base.clone()
            + "{ cut = \"keyway\", diameter = \"10 mm\", key = \"3 mm\", depth = \"11.4 mm\" }",
        base.clone() + "{ cut = \"slot\", length = \"30 mm\", width = \"3 mm\" }",
        base.clone() + &rectangle("cut", 3.0, 3.0, 0.0, 0.0),
        base + &rectangle("add", 3.0, 20.0, 0.0, 30.0),
        "{ add = \"polygon\", corners = [ [\"0\",\"0\"], [\"90 mm\",\"0\"], [\"0\",\"30 mm\"] ] }"
            .into(),
    ] {
        let (_, found) = own::one(&plate(&steps));
        assert!(found.is_empty(), "{steps}: {found:?}");
    }
}

/// A slot is a slot, whether a step cuts it or a hole.
#[test]
fn a_slot_of_a_step_keeps_the_distance_of_one_of_a_hole() {
    let angle = |step: &str, hole: &str| {
        format!(
            "about = \"x\"\n[face.base]\nblank = [ {{ add = \"rectangle\", width = \"70 mm\", height = \"60 mm\", at = [\"0\", \"-30 mm\"] }}, {step} ]\n\
             holes = [ {hole} ]\n\
             [face.leg]\nblank = [ {{ add = \"rectangle\", width = \"70 mm\", height = \"36 mm\", at = [\"0\", \"18 mm\"] }} ]\n\
             [bend.heel]\non = \"base.top\"\nto = \"leg\"\nangle = \"90 deg\"\n"
        )
    };
    for (length, at) in [(30.0, -12.5), (20.0, -12.5), (60.0, -14.0), (10.0, -12.0)] {
        let place = format!("at = [\"0\", \"{at} mm\"]");
        let step =
            format!("{{ cut = \"slot\", length = \"{length} mm\", width = \"8 mm\", {place} }}");
        let hole =
            format!("{{ name = \"s\", diameter = \"8 mm\", slot = \"{length} mm\", {place} }}");
        let needed = |own: &str| {
            let found = own::stopped(own);
            let (code, words) = &found[0];
            assert_eq!(*code, "hole-bend", "{found:?}");
            words.split_once(", but ").unwrap().1.to_owned()
        };
        assert_eq!(needed(&angle(&step, "")), needed(&angle("", &hole)), "{length}");
    }
}

/// Opening and closing by another library, over plates with features of known width.
#[test]
fn another_library_finds_the_same_narrow_places() {
    let folder = tempfile::tempdir().unwrap();
    let (program, folder) = (env!("CARGO_BIN_EXE_platewright"), folder.path().to_str().unwrap());
    let (accepted, said) = python::run("check_narrow.py", &[program, folder, "0", "120"]);
    assert!(accepted && said.trim().ends_with("120 passed, 0 failed"), "{said}");
}
