//! DXF for cutting machines: closed polylines of lines and true arcs, circles, lines, text.
//!
//! Two dialects. R2000 states its units and is the one to send. R12 is for old
//! readers: it has neither units nor light polylines, and is kept free of everything that R12
//! lacks. Codes and sections follow the DXF reference of each release; a foreign reader audits both
//! in `tests/all/files/readers.rs`.
//!
//! Lines end in CR LF in both: old controllers expect it and newer readers take either.

mod ascii;
mod entities;
mod frame;
mod pairs;
mod tables;
mod version;

use crate::write::drawing::Drawing;
use pairs::Pairs;
pub use version::Version;

/// How a file is written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Dialect {
    /// The release.
    pub version: Version,
    /// Whether the first corner of a closed polyline is written once more at its end, for
    /// readers that do not know that it is closed.
    pub repeat_first: bool,
}

impl From<Version> for Dialect {
    fn from(version: Version) -> Self {
        Self { version, repeat_first: false }
    }
}

/// The bytes of a DXF file, all ASCII. The same drawing gives the same bytes.
pub fn dxf(drawing: &Drawing, dialect: impl Into<Dialect>) -> Vec<u8> {
    let Dialect { version, repeat_first } = dialect.into();
    let mut body = Pairs::new(version);
    if version == Version::R2000 {
        frame::classes(&mut body);
    }
    tables::section(&mut body, drawing);
    if version == Version::R2000 {
        frame::blocks(&mut body);
    }
    entities::section(&mut body, drawing, repeat_first);
    if version == Version::R2000 {
        frame::objects(&mut body);
    }
    body.put(0, "EOF");
    // The header names the first free handle, so it is made last and written first.
    let mut file = frame::header(drawing, version, body.next_handle());
    file.append(&body);
    file.into_bytes()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Units;
    use crate::write::Layer;
    use crate::write::sample::bracket;
    use std::collections::BTreeSet;

    const ALL: [(Units, Version); 4] = [
        (Units::Millimetre, Version::R2000),
        (Units::Millimetre, Version::R12),
        (Units::Inch, Version::R2000),
        (Units::Inch, Version::R12),
    ];

    fn pairs(units: Units, version: Version) -> Vec<(i32, String)> {
        let text = String::from_utf8(dxf(&bracket(units), version)).unwrap();
        let lines: Vec<&str> = text.split_terminator("\r\n").collect();
        assert_eq!(lines.len() % 2, 0);
        lines.chunks(2).map(|two| (two[0].parse().unwrap(), two[1].to_owned())).collect()
    }

    fn following<'a>(pairs: &'a [(i32, String)], name: &str) -> &'a str {
        let at = pairs.iter().position(|(_, v)| v == name).unwrap();
        &pairs[at + 1].1
    }

    #[test]
    fn the_same_drawing_gives_the_same_bytes() {
        for (units, version) in ALL {
            assert_eq!(dxf(&bracket(units), version), dxf(&bracket(units), version));
        }
    }

    #[test]
    fn all_is_ascii_in_lines_that_end_in_cr_lf() {
        for (units, version) in ALL {
            let bytes = dxf(&bracket(units), version);
            assert!(bytes.is_ascii() && bytes.ends_with(b"0\r\nEOF\r\n"));
            let count = |wanted| bytes.iter().filter(|b| **b == wanted).count();
            assert_eq!(count(b'\r'), count(b'\n'));
            assert!(bytes.windows(2).all(|w| (w[0] == b'\r') == (w[1] == b'\n')));
        }
    }

    #[test]
    fn numbers_have_no_exponent_no_minus_zero_and_not_too_many_digits() {
        for (units, version) in ALL {
            for (code, value) in pairs(units, version) {
                if (10..60).contains(&code) {
                    let number: f64 = value.parse().unwrap();
                    assert!(!value.contains(['e', 'E']) && value != "-0", "{code} {value}");
                    let decimals = value.split_once('.').map_or(0, |(_, d)| d.len());
                    let max = if code == 42 { 17 } else { 7 };
                    assert!(decimals <= max && number.is_finite(), "{code} {value}");
                }
            }
        }
    }

    #[test]
    fn the_units_are_said_in_r2000_and_r12_says_nothing_it_does_not_know() {
        let mm = pairs(Units::Millimetre, Version::R2000);
        assert_eq!((following(&mm, "$INSUNITS"), following(&mm, "$MEASUREMENT")), ("4", "1"));
        let inch = pairs(Units::Inch, Version::R2000);
        assert_eq!((following(&inch, "$INSUNITS"), following(&inch, "$MEASUREMENT")), ("1", "0"));
        for units in [Units::Millimetre, Units::Inch] {
            for (code, value) in pairs(units, Version::R12) {
                assert!(!["$INSUNITS", "LWPOLYLINE"].contains(&value.as_str()));
                assert!(![5, 100, 330, 390].contains(&code), "{code} is not for R12");
            }
        }
    }

    #[test]
    fn handles_are_unique_and_the_seed_is_the_next() {
        let pairs = pairs(Units::Millimetre, Version::R2000);
        let seed = u32::from_str_radix(following(&pairs, "$HANDSEED"), 16).unwrap();
        let at_seed = pairs.iter().position(|(_, v)| v == "$HANDSEED").unwrap() + 1;
        let mut seen = BTreeSet::new();
        for (_, (_, handle)) in
            pairs.iter().enumerate().filter(|(i, (c, _))| [5, 105].contains(c) && *i != at_seed)
        {
            assert!(seen.insert(u32::from_str_radix(handle, 16).unwrap()), "{handle} twice");
        }
        assert_eq!(seen, (1..seed).collect());
    }

    /// Entities in order, with layer; a polyline of R12 counts for its vertices too.
    #[test]
    fn each_stroke_is_one_entity_on_its_layer() {
        for (units, version) in ALL {
            let pairs = pairs(units, version);
            let from = pairs.iter().position(|(c, v)| *c == 2 && v == "ENTITIES").unwrap();
            let mut found = Vec::new();
            for (code, value) in &pairs[from..] {
                match (code, value.as_str()) {
                    (0, "ENDSEC") => break,
                    (0, kind) => found.push((kind.trim_start_matches("LW"), String::new())),
                    (8, layer) => found.last_mut().unwrap().1 = layer.to_owned(),
                    _ => {}
                }
            }
            found.retain(|(kind, _)| !["VERTEX", "SEQEND"].contains(kind));
            let wanted = [
                ("POLYLINE", Layer::Cut),
                ("CIRCLE", Layer::Cut),
                ("POLYLINE", Layer::Cut),
                ("LINE", Layer::Bend),
                ("LINE", Layer::Bend),
                ("POLYLINE", Layer::Mark),
                ("TEXT", Layer::Note),
                ("TEXT", Layer::Note),
            ];
            assert_eq!(found, wanted.map(|(kind, layer)| (kind, layer.name().to_owned())));
        }
    }

    #[test]
    fn the_layer_of_common_cuts_is_named_only_where_there_are_any() {
        let mut drawing = bracket(Units::Millimetre);
        for version in [Version::R2000, Version::R12] {
            let text = String::from_utf8(dxf(&drawing, version)).unwrap();
            assert!(text.contains("MARK") && !text.contains("CUT-COMMON"));
        }
        let line = crate::write::Stroke::Line((0.0, 0.0).into(), (9.0, 0.0).into());
        drawing.draw(Layer::CutCommon, line);
        for version in [Version::R2000, Version::R12] {
            let text = String::from_utf8(dxf(&drawing, version)).unwrap();
            // Once in the table of layers, once at the line.
            assert_eq!(text.matches("CUT-COMMON").count(), 2);
        }
    }

    #[test]
    fn bulges_come_back_to_the_last_bit() {
        let drawing = bracket(Units::Inch);
        let wanted: BTreeSet<u64> = drawing
            .cut_outlines()
            .filter(|o| o.circle().is_none())
            .flat_map(|o| o.vertices().iter().map(|v| v.bulge.to_bits()))
            .chain([(-1.0f64).to_bits()])
            .filter(|bits| f64::from_bits(*bits) != 0.0)
            .collect();
        let pairs = pairs(Units::Inch, Version::R2000);
        let from = pairs.iter().position(|(_, v)| v == "ENTITIES").unwrap();
        let bulges = pairs[from..].iter().filter(|(code, _)| *code == 42);
        let found: BTreeSet<u64> =
            bulges.map(|(_, v)| v.parse::<f64>().unwrap().to_bits()).collect();
        assert_eq!(found, wanted);
    }

    #[test]
    fn the_extents_are_in_the_units_of_the_file() {
        for (units, width) in [(Units::Millimetre, 80.0), (Units::Inch, 3.149_606_3)] {
            let mut drawing = bracket(units);
            drawing.strokes.retain(|(layer, _)| *layer != Layer::Note);
            let text = String::from_utf8(dxf(&drawing, Version::R2000)).unwrap();
            for (name, x) in [("$EXTMIN", 0.0), ("$EXTMAX", width)] {
                assert!(text.contains(&format!("{name}\r\n10\r\n{x}\r\n20\r\n")), "{name} {x}");
            }
        }
    }

    #[test]
    fn an_empty_drawing_is_still_a_file() {
        let empty = Drawing::new("", Units::Millimetre);
        for version in [Version::R2000, Version::R12] {
            crate::write::compare(&empty, &dxf(&empty, version)).unwrap();
        }
    }
}
