//! Bends against published worked examples and charts: `tests/data/bends.csv` and the
//! setback chart below.

use platewright::bend::Bend;
use platewright::bend::BendError;
use platewright::bend::Method;
use platewright::diag::Sources;
use platewright::diag::Span;
use platewright::document;
use platewright::flat;
use platewright::formula::Value;
use platewright::geom::Bounds;
use platewright::num::Angle;
use platewright::part;
use platewright::quantity::MM_PER_INCH;
use platewright::quantity::Reading;
use platewright::quantity::read;
use platewright::recipe;
use platewright::recipe::Surroundings;
use platewright::table::Basis;
use platewright::table::Tables;

/// Lengths in mm, angles in degrees, plain numbers as they are.
fn number(text: &str) -> f64 {
    match read(text) {
        Ok(Reading::Quantity(quantity)) => quantity.value,
        other => panic!("{text}: {other:?}"),
    }
}

fn method(text: &str) -> Method {
    match text {
        "DIN 6935" => Method::Din6935,
        "FAA" => Method::Faa,
        k => Method::K(number(k)),
    }
}

/// What DIN 6935 takes off the sum of two legs, by its own rule of measuring them.
///
/// From an opening of 90° upwards that is our deduction. Below it the legs are measured
/// to the outer tangents, which lie r + s from where the bend begins, whatever the angle.
fn tangents(bend: &Bend) -> f64 {
    if bend.angle().degrees() <= 90.0 {
        bend.deduction()
    } else {
        2.0 * (bend.radius() + bend.thickness()) - bend.allowance()
    }
}

#[test]
fn worked_examples_come_out_as_printed() {
    let text = include_str!("../../data/bends.csv");
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes());
    let mut checked = 0;
    for record in reader.records() {
        let record = record.unwrap();
        let place = format!("{record:?}");
        assert!(Basis::read(&record[8]).is_some() && !record[7].is_empty(), "{place}");
        let angle = Angle::from_degrees(number(&record[3]));
        let bend = Bend::new(number(&record[1]), number(&record[2]), angle, method(&record[0]));
        let bend = bend.unwrap();
        let found = match &record[4] {
            "allowance" => bend.allowance(),
            "setback" => bend.setback(),
            "setbacks" => 2.0 * bend.setback(),
            "deduction" => bend.deduction(),
            "tangents" => tangents(&bend),
            "k" => 2.0 * bend.k(),
            other => panic!("no figure {other}: {place}"),
        };
        let (expected, tolerance) = (number(&record[5]), number(&record[6]));
        assert!((found - expected).abs() <= tolerance, "{place}: {found} for {expected}");
        checked += 1;
    }
    assert!(checked >= 44, "only {checked} figures were held against a source");
}

/// The acute example of Tabellenbuch Metall: opening 60°, legs 16 mm and 21 mm, r 6, s 5,
/// k 0.7. It prints v = 5.77 mm and L ≈ 32 mm, which is 31.23 mm unrounded.
///
/// Its legs reach to the outer tangents, r + s beyond where the bend begins. Ours reach
/// to the sharp corner, tan 60° (r + s) beyond, so the same part has longer legs here;
/// its blank is the same.
#[test]
fn an_acute_bend_has_the_same_blank_measured_to_its_tangents_or_to_its_corner() {
    let bend = Bend::new(5.0, 6.0, Angle::from_degrees(120.0), Method::K(0.7 / 2.0)).unwrap();
    let to_tangents = 16.0 + 21.0 - tangents(&bend);
    assert!((to_tangents - 31.23).abs() < 0.005, "{to_tangents}");
    let further = bend.setback() - (bend.radius() + bend.thickness());
    let to_corner = (16.0 + further) + (21.0 + further) - bend.deduction();
    assert!((to_corner - to_tangents).abs() < 1e-9, "{to_corner}");
}

/// K-chart of AC 43.13-1B, table 4-7: degrees of bend, tan(angle / 2), as printed. Some
/// entries are cut off, not rounded, so one unit of the last digit is allowed.
const K_CHART: &[(f64, &str)] = &[
    (10.0, "0.0874"),
    (15.0, "0.1316"),
    (20.0, "0.1763"),
    (25.0, "0.2216"),
    (30.0, "0.2679"),
    (35.0, "0.3153"),
    (40.0, "0.3639"),
    (45.0, "0.4142"),
    (50.0, "0.4663"),
    (55.0, "0.5205"),
    (60.0, "0.5773"),
    (65.0, "0.6370"),
    (70.0, "0.7002"),
    (75.0, "0.7673"),
    (80.0, "0.8391"),
    (85.0, "0.9163"),
    (90.0, "1.000"),
    (95.0, "1.091"),
    (100.0, "1.191"),
    (105.0, "1.303"),
    (110.0, "1.428"),
    (115.0, "1.569"),
    (120.0, "1.732"),
    (125.0, "1.921"),
    (130.0, "2.144"),
    (135.0, "2.414"),
    (140.0, "2.747"),
    (145.0, "3.171"),
    (150.0, "3.732"),
    (155.0, "4.510"),
    (160.0, "5.671"),
    (170.0, "11.43"),
];

/// Printed wrongly in the same chart: tan 79.5° is 5.3955.
const K_MISPRINT: (f64, &str) = (159.0, "5.399");

/// How far the chart lies from the setback of a bend with R + T = 1 mm, in units of its
/// last printed digit.
fn units_off((angle, printed): (f64, &str)) -> f64 {
    let bend = Bend::new(0.25, 0.75, Angle::from_degrees(angle), Method::Faa).unwrap();
    let decimals = printed.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    let printed: f64 = printed.parse().unwrap();
    (bend.setback() - printed).abs() * 10_f64.powi(i32::try_from(decimals).unwrap())
}

#[test]
fn setbacks_are_those_of_the_k_chart() {
    for row in K_CHART {
        assert!(units_off(*row) <= 1.0, "{row:?} lies {} units off", units_off(*row));
    }
    let off = units_off(K_MISPRINT);
    assert!(off > 3.0, "the misprint agrees: {off}");
}

/// The chart continues to 180°; a bend of more than 170° is a hem and is refused. Its 175° row is
/// right, its 176° row a misprint: tan 88° is 28.636.
#[test]
fn the_end_of_the_k_chart_is_no_bend() {
    for (angle, printed, off) in [(175.0, 22.90, 0.005), (176.0, 26.63, 2.01)] {
        let bent = Angle::from_degrees(angle);
        assert_eq!(Bend::new(1.0, 1.0, bent, Method::Faa), Err(BendError::Angle(bent)));
        let half = Angle::from_degrees(angle / 2.0);
        assert!(((half.tan() - printed).abs() - off).abs() < 0.005, "{angle}");
    }
}

/// A recipe all the way to its flat; lengths of the sheet in inches.
fn unfolded(name: &str, text: &str, given: &str, sheet: [f64; 2], method: Method) -> Bounds {
    let mut sources = Sources::default();
    let tables = Tables::shipped();
    let source = sources.add(format!("{name}.toml"), text);
    let recipe = recipe::read(name, source, text, &|_| None).unwrap();
    let source = sources.add("given", given);
    let here = Span { source, start: 0, end: given.len() };
    let given = document::read(source, given).unwrap();
    let given: Vec<_> = given.iter().collect();
    let [thickness, radius] = sheet.map(|inches| Value::length(inches * MM_PER_INCH));
    let none = || Value::length(0.0);
    let material = Value::Row(tables.row("material", "2024-T3").unwrap().clone());
    let surroundings: Surroundings = [
        ("thickness", thickness),
        ("bend_radius", radius),
        ("material", material),
        ("kerf", none()),
        ("part_thickness", none()),
        ("min_web", none()),
        ("coating", none()),
        ("size_step", Value::length(1.0)),
    ]
    .into();
    let params = recipe::resolve(&recipe, &given, here, &surroundings, &tables).unwrap();
    let parts = part::build(&recipe, &params, &tables, method, name).unwrap();
    assert_eq!(parts.len(), 1);
    flat::unfold(&parts[0]).unwrap().region.bounds()
}

fn shipped(name: &str) -> &'static str {
    recipe::SHIPPED.iter().find(|(n, _)| *n == name).unwrap().1
}

/// The L-bracket of a sheet-metal layout tutorial: T 0.036, R 0.125, K 0.42, legs of 2 in
/// and 3 in measured to the sharp corner. It prints a flat of 4.8981 in.
#[test]
fn the_angle_recipe_makes_the_published_l_bracket() {
    let given = r#"
        width = "1 in"
        base = "2 in"
        leg = "3 in"
        corner = "0 in"
        base_holes = 0
        leg_holes = 0
    "#;
    let flat = unfolded("angle", shipped("angle"), given, [0.036, 0.125], Method::K(0.42));
    let inch = |mm: f64| mm / MM_PER_INCH;
    assert!((inch(flat.height()) - 4.8981).abs() < 5e-5, "{}", inch(flat.height()));
    assert!((inch(flat.width()) - 1.0).abs() < 1e-9);
    let t = 0.036 * MM_PER_INCH;
    let bend = Bend::new(t, 0.125 * MM_PER_INCH, Angle::QUARTER, Method::K(0.42)).unwrap();
    assert!((flat.height() - (5.0 * MM_PER_INCH - bend.deduction())).abs() < 1e-9);
}

/// The U-channel of FAA-H-8083-31 vol. 1 ch. 4, measured to its mold lines.
const CHANNEL: &str = r#"
about = "U-channel, 1 in by 2 in by 1 in"

[inputs]
length = { kind = "length", default = "3 in", about = "along the bends" }

[face.web]
blank = [
  { add = "polygon", corners = [
      { at = ["0 in", "-1 in"], edge = "front" },
      { at = ["length", "-1 in"] },
      { at = ["length", "1 in"], edge = "back" },
      { at = ["0 in", "1 in"] },
  ] },
]

[face.front]
blank = [ { add = "polygon", corners = [
  ["-length / 2", "0"], ["length / 2", "0"], ["length / 2", "1 in"], ["-length / 2", "1 in"],
] } ]

[face.back]
blank = [ { add = "polygon", corners = [
  ["-length / 2", "0"], ["length / 2", "0"], ["length / 2", "1 in"], ["-length / 2", "1 in"],
] } ]

[bend.front]
on = "web.front"
to = "front"
angle = "90 deg"

[bend.back]
on = "web.back"
to = "back"
angle = "90 deg"
"#;

/// The handbook gives flats of 0.80, 1.60 and 0.80 in and its formula an allowance of
/// 0.2791 in a bend, so the channel is 3.7581 in wide before it is bent.
#[test]
fn a_channel_unfolds_to_the_width_of_the_faa_handbook() {
    let flat = unfolded("channel", CHANNEL, "", [0.040, 0.16], Method::Faa);
    let [t, r] = [0.040, 0.16].map(|inches| inches * MM_PER_INCH);
    let bend = Bend::new(t, r, Angle::QUARTER, Method::Faa).unwrap();
    let legs = [1.0, 2.0, 1.0].map(|inches| inches * MM_PER_INCH);
    let flats =
        [legs[0] - bend.setback(), legs[1] - 2.0 * bend.setback(), legs[2] - bend.setback()];
    for (flat, printed) in flats.iter().zip([0.80, 1.60, 0.80]) {
        assert!((flat / MM_PER_INCH - printed).abs() < 1e-9);
    }
    let printed = 3.7581 * MM_PER_INCH;
    assert!((flat.height() - printed).abs() < 5e-5 * MM_PER_INCH, "{}", flat.height());
    let legs: f64 = legs.iter().sum();
    assert!((flat.height() - (legs - 2.0 * bend.deduction())).abs() < 1e-9);
    assert!((flat.height() - (flats.iter().sum::<f64>() + 2.0 * bend.allowance())).abs() < 1e-9);
}
