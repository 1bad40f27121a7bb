//! Four ways in which bends are computed wrongly again and again, each with a test that
//! fails for the wrong one.

use platewright::bend::Bend;
use platewright::bend::Method;
use platewright::num::Angle;

fn bend(thickness: f64, radius: f64, angle: f64, method: Method) -> Bend {
    Bend::new(thickness, radius, Angle::from_degrees(angle), method).expect("it can be unfolded")
}

/// DIN 6935 puts the neutral fibre k s/2 outside the inner face, everybody else K T: at
/// r = s its k is 0.65 (Tabellenbuch Metall), so K is 0.325 and the fibre's radius 1.325 s.
/// Mistaking one for the other, either way, moves the flat by a fifth of the thickness or more.
#[test]
fn the_k_of_din_6935_counts_halves_of_the_thickness() {
    let by_din = bend(2.0, 2.0, 90.0, Method::Din6935);
    assert!((by_din.k() - 0.65 / 2.0).abs() < 1e-12);
    let fibre = by_din.allowance() / by_din.angle().radians();
    assert!((fibre - (2.0 + 0.65 * 2.0 / 2.0)).abs() < 1e-12, "{fibre}");
    // A K-factor that is given means whole thicknesses.
    let by_k = bend(2.0, 2.0, 90.0, Method::K(0.325));
    assert!((by_k.allowance() - by_din.allowance()).abs() < 1e-12);
    // The wrong reading is no rounding error, and K = 0.65 is refused outright.
    let doubled = by_din.angle().radians() * (2.0 + 0.65 * 2.0);
    assert!(doubled - by_din.allowance() > 0.2 * 2.0);
    assert!(Bend::new(2.0, 2.0, Angle::QUARTER, Method::K(0.65)).is_err());
}

/// One book subtracts v from the sum of the legs, another adds a negative v. Here a deduction is
/// positive and is subtracted: 1.919 mm at s = r = 1 (computed by the formula of DIN 6935; its
/// supplement 2 prints 1.9, from memory).
#[test]
fn a_deduction_is_more_than_nothing_and_makes_the_flat_shorter_than_the_legs() {
    let bend = bend(1.0, 1.0, 90.0, Method::Din6935);
    assert!((bend.deduction() - 1.919).abs() < 5e-4);
    let flat = (20.0 - bend.setback()) + bend.allowance() + (30.0 - bend.setback());
    assert!(flat < 50.0);
    assert!((flat - (50.0 - bend.deduction())).abs() < 1e-12);
}

/// Below an opening of 90° DIN 6935 measures legs to the outer tangent, r + s from where the
/// bend begins, and not to the sharp corner, (r + s) tan(angle / 2): at an opening of 60° its
/// v of 5.823 mm (r 6, s 5) is less by 16.1 mm than our deduction from legs that reach to the
/// corner.
#[test]
fn an_acute_bend_of_din_6935_is_measured_to_its_tangents() {
    let bend = bend(5.0, 6.0, 180.0 - 60.0, Method::Din6935);
    let to_tangents = 2.0 * (6.0 + 5.0) - bend.allowance();
    assert!((to_tangents - 5.823).abs() < 5e-4, "{to_tangents}");
    let further = 2.0 * (bend.setback() - (6.0 + 5.0));
    assert!((bend.deduction() - to_tangents - further).abs() < 1e-12);
    assert!((further - 22.0 * (3.0_f64.sqrt() - 1.0)).abs() < 1e-9, "{further}");
}

/// DIN 6935 speaks of the opening between the legs, we of the bend angle: opening
/// 135° is a bend angle of 45°. With r 6 and s 5 its v is 3.046 mm (computed by its formula); read
/// as a bend angle of 135° the same figures come out far off.
#[test]
fn the_bend_angle_is_what_an_opening_lacks_of_180_degrees() {
    let opening = 135.0;
    let right = bend(5.0, 6.0, 180.0 - opening, Method::Din6935);
    assert!((right.deduction() - 3.046).abs() < 5e-4, "{}", right.deduction());
    let wrong = bend(5.0, 6.0, opening, Method::Din6935);
    assert!((wrong.deduction() - 3.046).abs() > 10.0);
    // A right angle hides the mistake.
    let square = bend(5.0, 6.0, 90.0, Method::Din6935);
    assert!((square.angle().degrees() - (180.0 - square.angle().degrees())).abs() < 1e-12);
}
