//! Openings, radii, flanges, forces and springback against published charts:
//! `tests/data/brake.csv`.

use platewright::brake;
use platewright::quantity::Reading;
use platewright::quantity::read;
use platewright::table::Basis;
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
            "flange" => brake::least_flange(of("v")),
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
        ("force", 14),
        ("kept", 1),
        ("opens", 1),
        ("radius", 4),
        ("tons", 10),
        ("v", 14),
    ];
    assert_eq!(counts, wanted);
}
