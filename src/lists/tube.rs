//! The list of tubes.

use crate::bill::Tube;
use crate::lists::cell::number;
use serde::Serialize;

/// A row of the list.
#[derive(Serialize)]
pub(super) struct TubeRow<'a> {
    tube: &'a str,
    section: &'a str,
    pieces: u32,
    #[serde(serialize_with = "number")]
    cut_length_mm: Option<f64>,
    ends: &'a str,
}

/// A length of a tube as listed, mm: to a thousandth, so that the sums are those of what is printed.
fn listed(tube: &Tube) -> f64 {
    (tube.length * 1e3).round() / 1e3
}

/// A row a tube, and the sums of each section: lengths of one are bought together, those of
/// another are another bar.
pub(super) fn rows<'a>(tubes: &'a [Tube]) -> Vec<TubeRow<'a>> {
    let row = |tube: &'a Tube| {
        let Tube { name, section, quantity, ends, .. } = tube;
        let long = Some(listed(tube));
        TubeRow { tube: name, section, pieces: *quantity, cut_length_mm: long, ends }
    };
    let mut rows: Vec<_> = tubes.iter().map(row).collect();
    let mut sections: Vec<&str> = Vec::new();
    for tube in tubes {
        if !sections.contains(&tube.section.as_str()) {
            sections.push(&tube.section);
        }
    }
    for section in sections {
        let like = || tubes.iter().filter(|tube| tube.section == section);
        rows.push(TubeRow {
            tube: "total of this section",
            section,
            pieces: like().map(|t| t.quantity).sum(),
            cut_length_mm: Some(like().map(|t| listed(t) * f64::from(t.quantity)).sum()),
            ends: "total cut length, saw kerf not included",
        });
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Units;
    use crate::write::csv;

    #[test]
    fn tubes_end_with_the_sum_of_lengths_of_each_section() {
        let tube = |name: &str, quantity, wall, length| Tube {
            name: name.into(),
            section: format!("38 mm × {wall} mm, S235"),
            size: [38.0, wall],
            quantity,
            length,
            ends: "square, \"deburred\"".into(),
        };
        let all = [
            tube("rail", 2, 2.6, 800.500_449),
            tube("foot", 3, 4.0, 50.0),
            tube("strut", 1, 2.6, 99.0),
        ];
        let list = csv("tubes.csv", Units::Millimetre, rows(&all));
        let text = String::from_utf8(list.unwrap().bytes).unwrap();
        assert_eq!(
            text,
            "tube,section,pieces,cut_length_mm,ends\r\n\
             rail,\"38 mm × 2.6 mm, S235\",2,800.5,\"square, \"\"deburred\"\"\"\r\n\
             foot,\"38 mm × 4 mm, S235\",3,50,\"square, \"\"deburred\"\"\"\r\n\
             strut,\"38 mm × 2.6 mm, S235\",1,99,\"square, \"\"deburred\"\"\"\r\n\
             total of this section,\"38 mm × 2.6 mm, S235\",3,1700,\"total cut length, saw kerf not included\"\r\n\
             total of this section,\"38 mm × 4 mm, S235\",3,150,\"total cut length, saw kerf not included\"\r\n"
        );
    }
}
