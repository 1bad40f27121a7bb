//! Inside radii against the published minima, by the grain and by the angle of the bend.

use crate::own;
use platewright::diag::Sources;
use platewright::diag::Weight;
use platewright::job::Shelf;
use platewright::table::Tables;
use platewright::workshop::Workshop;

/// A metal whose manufacturer gives the minimum radius: two thicknesses.
const OF_MAKER: &str =
    "name,metal,density,tensile,elastic,bend_ratio\nS700MC,steel,7850 kg/m3,750 MPa,210000 MPa,2\n";

/// How the caution ends that a minimum holds only for grades ordered for flanging.
const FLANGING: &str = "close to the minimum radius for S355, which applies only to grades ordered as suitable for cold flanging";

/// The findings on the radius of one bend across a plate, each with its weight: the bend line runs
/// along x, or `rising` on its way by so much. That grades must be ordered for flanging is left out.
fn said(metal: &str, thickness: f64, bend: [f64; 2], grain: &str, rising: f64) -> Vec<String> {
    let mut all = all(metal, thickness, bend, grain, rising);
    all.retain(|words| !words.contains(FLANGING));
    all
}

/// All findings on its radius.
fn all(metal: &str, thickness: f64, bend: [f64; 2], grain: &str, rising: f64) -> Vec<String> {
    let [radius, angle] = bend;
    let (low, high) = (300.0 - rising / 2.0, 300.0 + rising / 2.0);
    let recipe = format!(
        "about = \"x\"\ngrain = \"{grain}\"\n[face.plate]\n\
         blank = [ {{ add = \"rectangle\", width = \"150 mm\", height = \"600 mm\", at = [\"0\", \"300 mm\"] }} ]\n\
         [bend.fold]\nacross = \"plate\"\nline = [[\"-75 mm\", \"{low} mm\"], [\"75 mm\", \"{high} mm\"]]\n\
         to = \"flap\"\nangle = \"{angle} deg\"\nradius = \"{radius} mm\"\n"
    );
    let job = format!(
        "process = \"laser\"\n[[sheet]]\nname = \"s\"\nmaterial = \"{metal}\"\nthickness = \"{thickness} mm\"\n\
         stock = []\n[[part]]\nrecipe = \"own\"\nname = \"p\"\nsheet = \"s\"\n"
    );
    let mut tables = Tables::shipped();
    assert_eq!(tables.add("material", OF_MAKER), Ok(vec![]));
    let found = match own::asked_with(&tables, &recipe, &job, &mut Sources::default()) {
        Ok((_, (_, found))) | Err(found) => found,
    };
    let other = found.iter().find(|f| f.weight == Weight::Stop && f.code != "min-radius");
    assert!(other.is_none(), "{other:?}");
    let of_radius = found.into_iter().filter(|finding| finding.code == "min-radius");
    let word = |weight| if weight == Weight::Stop { "stop" } else { "caution" };
    of_radius.map(|f| format!("{}: {}", word(f.weight), f.headline)).collect()
}

/// S355 of 4 mm: EN 10025-2 has 6 mm across the grain and 8 mm along it.
#[test]
fn a_bend_along_the_grain_is_judged_by_the_minimum_along_it() {
    let of =
        |radius: f64, grain: &str, rising: f64| said("S355", 4.0, [radius, 90.0], grain, rising);
    let along = "the minimum for S355 along the grain is 8 mm";
    let head = "bend `fold` has an inside radius of 6 mm; it";
    assert_eq!(of(6.0, "x", 0.0), [format!("stop: {head} runs along the grain, and {along}")]);
    assert_eq!(
        of(6.0, "free", 0.0),
        [format!("caution: {head} may run along the grain, and {along}")]
    );
    assert_eq!(
        of(6.0, "x", 150.0),
        [format!("caution: {head} runs at 45° to the grain, and {along}")]
    );
    assert_eq!(of(6.0, "y", 0.0), [""; 0]);
    for grain in ["free", "x", "y"] {
        assert_eq!(of(8.0, grain, 0.0), [""; 0], "{grain}");
    }
    let across = "bend `fold` has an inside radius of 5 mm; the minimum for S355 is 6 mm";
    for grain in ["free", "y"] {
        assert_eq!(of(5.0, grain, 0.0), [format!("stop: {across}")], "{grain}");
    }
    // Nothing is published along the grain of these: it does not count.
    assert_eq!(said("S355MC", 4.0, [2.0, 90.0], "x", 0.0), [""; 0]);
}

/// The minima are for bends up to 90°; that of 304 is for 180°.
#[test]
fn a_sharper_bend_near_its_minimum_is_cautioned() {
    let sharp = |metal: &str, thickness: f64, radius: f64, angle: f64| {
        said(metal, thickness, [radius, angle], "y", 0.0)
    };
    let words = |angle: &str| {
        format!(
            "caution: bend `fold` is bent by {angle} to an inside radius of 2 mm; the minimum for S355MC is 2 mm, for \
             bends up to 90°"
        )
    };
    assert_eq!(sharp("S355MC", 4.0, 2.0, 91.0), [words("91°")]);
    assert_eq!(sharp("S355MC", 4.0, 2.0, 120.0), [words("120°")]);
    // By hand: 1.5 times 2 mm.
    assert_eq!(sharp("S355MC", 4.0, 2.9, 120.0).len(), 1);
    assert_eq!(sharp("S355MC", 4.0, 3.0, 120.0), [""; 0]);
    for angle in [45.0, 90.0] {
        assert_eq!(sharp("S355MC", 4.0, 2.0, angle), [""; 0], "{angle}");
    }
    assert_eq!(sharp("S355", 4.0, 6.0, 120.0).len(), 1);
    // Cautioned by its preferred radius alone.
    assert_eq!(sharp("304", 3.0, 8.0, 120.0), [""; 0]);
    let preferred = "an inside radius of 3 mm; 7.5 mm or more is recommended for 304";
    assert_eq!(sharp("304", 3.0, 3.0, 120.0), [format!("caution: bend `fold` has {preferred}")]);
}

/// A manufacturer gives its minimum for a bend of 90°, as the tables do.
#[test]
fn the_radius_of_its_maker_is_for_bends_up_to_90_degrees() {
    let bent = |radius: f64, angle: f64| said("S700MC", 4.0, [radius, angle], "x", 0.0);
    assert_eq!(bent(8.0, 90.0), [""; 0]);
    assert_eq!(
        bent(8.0, 120.0),
        [
            "caution: bend `fold` is bent by 120° to an inside radius of 8 mm; the minimum for S700MC is 8 mm, for \
          bends up to 90°"
        ]
    );
    // By hand: 1.5 times 8 mm.
    assert_eq!((bent(11.9, 120.0).len(), bent(12.0, 120.0).len()), (1, 0));
    assert_eq!(
        bent(7.0, 120.0),
        ["stop: bend `fold` has an inside radius of 7 mm; the minimum for S700MC is 8 mm"]
    );
}

/// EN 10025-2 recommends its radii for grades ordered for flanging: S355J2C, not S355J2. S355 of 4 mm:
/// 6 mm across the grain, 8 mm along it.
#[test]
fn a_bend_near_the_minimum_of_s355_asks_for_a_grade_for_flanging() {
    let of = |radius: f64, grain: &str| all("S355", 4.0, [radius, 90.0], grain, 0.0);
    let words = format!("caution: bend `fold` is {FLANGING}");
    assert_eq!(of(6.0, "y"), [words.as_str()]);
    assert_eq!(of(8.9, "y"), [words.as_str()]);
    assert_eq!(of(9.0, "y"), [""; 0]);
    assert_eq!(of(11.9, "x"), [words.as_str()]);
    assert_eq!(of(12.0, "x"), [""; 0]);
    // A bend that is refused is no matter of the grade.
    assert!(of(5.0, "y").iter().all(|said| said.starts_with("stop")));
    for metal in ["S235", "S355MC", "S700MC", "304"] {
        let said = all(metal, 4.0, [8.0, 90.0], "y", 0.0);
        assert!(said.iter().all(|words| !words.contains("flanging")), "{said:?}");
    }
}

/// Once for a part, whatever the number of its bends.
#[test]
fn the_grade_for_flanging_is_asked_for_once_in_a_part() {
    let tables = Tables::shipped();
    let workshop = Workshop::new(Shelf::shipped(&tables));
    let job = "process = \"laser\"\n[[sheet]]\nname = \"s\"\nmaterial = \"S355\"\nthickness = \"4 mm\"\n\
               stock = []\n[[part]]\nrecipe = \"channel\"\nname = \"p\"\nsheet = \"s\"\n";
    let found = match workshop.read("c", "c.toml", job).unwrap().solve() {
        Ok(ready) => ready.findings,
        Err(stopped) => stopped.findings,
    };
    let of_grade: Vec<_> = found.iter().filter(|f| f.headline.contains(FLANGING)).collect();
    assert_eq!(of_grade.len(), 1, "{found:?}");
    assert!(of_grade[0].headline.contains("and 1 other in this part"), "{of_grade:?}");
    let help = of_grade[0].help.as_deref().unwrap_or_default();
    assert!(
        help.starts_with("order the sheet as S355J2C, or another grade with the suffix C"),
        "{help}"
    );
}
