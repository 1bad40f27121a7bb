//! Openings, radii, flanges, forces and springback against published charts:
//! `tests/data/brake.csv`; and what the shipped metals take by the same charts.

use platewright::brake;
use platewright::brake::Springback;
use platewright::quantity::Reading;
use platewright::quantity::read;
use platewright::table::Basis;
use platewright::table::Tables;
use std::collections::BTreeMap;

/// Lengths in mm, stresses in MPa, plain numbers as they are.
fn number(text: &str) -> f64 {
    match read(text) {
        Ok(Reading::Quantity(quantity)) => quantity.value,
        other => panic!("{text}: {other:?}"),
    }
}

#[test]
fn charts_come_out_as_printed() {
    let text = include_str!("../../data/brake.csv");
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes());
    let names = reader.headers().unwrap().clone();
    let mut checked: BTreeMap<String, usize> = BTreeMap::new();
    for record in reader.records() {
        let record = record.unwrap();
        let cell = |name: &str| record.get(names.iter().position(|n| n == name).unwrap()).unwrap();
        let of = |name: &str| number(cell(name));
        assert!(Basis::read(cell("basis")).is_some(), "{record:?}");
        assert!(!cell("source").is_empty(), "{record:?}");
        let is = match cell("figure") {
            "v" => brake::v_opening(of("thickness")),
            "radius" => brake::inside_radius(of("v")),
            "flange" => brake::min_flange(of("v")),
            "force" => brake::force(of("tensile"), 1000.0, of("thickness"), of("v")),
            "tons" => {
                let force = brake::force(of("tensile"), 12.0 * 25.4, of("thickness"), of("v"));
                brake::short_tons(force)
            }
            springback => {
                let kept = brake::kept(of("radius"), of("thickness"), of("tensile"), of("elastic"));
                match springback {
                    "kept" => kept.unwrap(),
                    "after" => of("radius") / kept.unwrap(),
                    "opens" => 90.0 * (1.0 - kept.unwrap()),
                    other => panic!("{other} is no figure"),
                }
            }
        };
        let (published, share) = (of("published"), of("share"));
        let off = (is - published).abs();
        assert!(off <= share * published + 1e-9, "{record:?}: {is}");
        *checked.entry(cell("figure").to_owned()).or_default() += 1;
    }
    let counts: Vec<(&str, usize)> = checked.iter().map(|(k, n)| (k.as_str(), *n)).collect();
    let wanted = [
        ("after", 1),
        ("flange", 16),
        ("force", 97),
        ("kept", 1),
        ("opens", 1),
        ("radius", 4),
        ("tons", 10),
        ("v", 14),
    ];
    assert_eq!(counts, wanted);
}

/// Air-bending chart in mm, mild steel (Rm 450 MPa): kN for 1 m, by thickness and V.
const MILD_STEEL: [(f64, f64, f64); 13] = [
    (3.0, 20.0, 300.0),
    (3.0, 25.0, 240.0),
    (3.0, 32.0, 190.0),
    (3.0, 40.0, 150.0),
    (4.0, 25.0, 430.0),
    (4.0, 32.0, 340.0),
    (4.0, 40.0, 270.0),
    (5.0, 32.0, 520.0),
    (5.0, 40.0, 420.0),
    (5.0, 50.0, 330.0),
    (6.0, 40.0, 600.0),
    (6.0, 50.0, 480.0),
    (6.0, 63.0, 380.0),
];

/// The charts' factors against mild steel: stainless 1.5 (Rm 700 MPa), chrome-moly 2.0,
/// heat-treated aluminium 1.0, soft aluminium 0.5. Typical or greatest strength, never the
/// least: with that S235 took a fifth less than the chart.
#[test]
fn metals_take_what_the_charts_say() {
    let tables = Tables::shipped();
    let metals = [
        ("S235", 1.0),
        ("1020", 1.0),
        ("304", 1.5),
        ("4130-N", 2.0),
        ("6061-T6", 1.0),
        ("3003-H14", 0.5),
    ];
    for (name, factor) in metals {
        let strength = tables.row("material", name).unwrap().bending_strength();
        for (thickness, v, printed) in MILD_STEEL {
            let is = brake::force(strength, 1000.0, thickness, v);
            let off = (is / (printed * factor) - 1.0).abs();
            assert!(off <= 0.05, "{name} {thickness} mm over {v} mm: {is} kN, printed {printed}");
        }
    }
}

/// The chart of 700 N/mm² in `tests/data/brake.csv` is that of the stainless steel of the table.
#[test]
fn stainless_is_bent_with_the_strength_of_its_chart() {
    let strength = |name| Tables::shipped().row("material", name).unwrap().bending_strength();
    assert!((strength("304") - 700.0).abs() < 1e-9, "{}", strength("304"));
}

/// kR of a handbook's page on DIN 6935, column by column: values seen, the headings, r1/s,
/// from memory since the copy cuts them off.
#[test]
fn every_cell_of_kr_is_the_handbook_s() {
    let ratios = [1.0, 1.6, 2.5, 4.0, 6.3, 10.0, 16.0, 25.0, 40.0, 63.0, 100.0];
    let rows: [(&str, &[f64]); 3] = [
        ("DC01", &[0.99, 0.99, 0.99, 0.97, 0.96, 0.96, 0.93, 0.90, 0.85, 0.77, 0.66]),
        ("X12CrNi18-8", &[0.99, 0.98, 0.97, 0.95, 0.93, 0.89, 0.84, 0.76, 0.63]),
        ("AlSiMgMn", &[0.98, 0.98, 0.97, 0.96, 0.95, 0.93, 0.90, 0.86, 0.82, 0.76, 0.72]),
    ];
    for (name, printed) in rows {
        let metal = Springback::named(name).unwrap();
        let kept: Vec<f64> = ratios.iter().map_while(|ratio| metal.kept(*ratio)).collect();
        assert_eq!(kept, printed, "{name}");
    }
    assert_eq!(Springback::named("DC04"), None);
}

/// Nobody's sheet is weaker than it must be, so a brake never needs less than by that.
#[test]
fn no_metal_is_bent_with_less_than_its_least_strength() {
    let tables = Tables::shipped();
    let rows = tables.table("material").unwrap().rows();
    let mut checked = 0;
    for row in rows {
        assert!(row.bending_strength() >= row.measure("tensile"), "{}", row.name());
        assert!(row.text("bend_source").is_some(), "{}", row.name());
        checked += 1;
    }
    assert!(checked > 10);
}
