//! Inside radii against the published minima, by the grain and by the angle of the bend.

use crate::own;
use platewright::diag::Sources;
use platewright::diag::Weight;

/// The findings on the radius of one bend across a plate, each with its weight: the bend line runs
/// along x, or `rising` on its way by so much.
fn said(metal: &str, thickness: f64, bend: [f64; 2], grain: &str, rising: f64) -> Vec<String> {
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
    let found = match own::asked(&recipe, &job, &mut Sources::default()) {
        Ok((_, (_, found))) | Err(found) => found,
    };
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
