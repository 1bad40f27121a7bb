//! What to type instead of the name of a row that is not there.

use crate::diag::nearest;
use crate::quantity;
use crate::quantity::Dimension;
use crate::quantity::Reading;
use crate::table::row::key;
use crate::table::whole::Tables;

/// More rows than this are not named in a help.
const MAX_NAMED: usize = 16;

/// More rows of one size than this are not offered in place of it.
const MAX_OFFERED: usize = 8;

impl Tables {
    /// What to type instead of a row that the table does not have: the row that was meant, those
    /// there are, or how one's own is added.
    pub(crate) fn instead(&self, table: &str, typed: &str) -> String {
        let Some(rows) = self.table(table) else {
            return format!("choose from {}", self.names().collect::<Vec<_>>().join(", "));
        };
        let offered = self.offered(table, typed);
        if let Some(add) = (table == "tube").then(|| own_tube(typed)).flatten() {
            return match offered.as_slice() {
                [] => add,
                names => format!("write {}, or {add}", quoted(names, " or ")),
            };
        }
        let names: Vec<&str> = rows.rows().map(|row| row.name()).collect();
        if let Some(size) = without_pitch(&names, typed) {
            return format!("write `{size}`, without the pitch, where that is the coarse one");
        }
        match offered.as_slice() {
            [_, ..] => format!("write {}", quoted(&offered, " or ")),
            _ if table == "material" => {
                format!(
                    "choose from {}; or {}",
                    names.join(", "),
                    METAL.replace("NAME", typed.trim())
                )
            }
            _ if names.len() <= MAX_NAMED => format!("choose from {}", names.join(", ")),
            _ => format!("`platewright tables {table}` lists them"),
        }
    }

    /// The rows of a table that may have been meant by a typed name.
    pub(crate) fn offered(&self, table: &str, typed: &str) -> Vec<&str> {
        let Some(rows) = self.table(table) else { return Vec::new() };
        if let Some((outside, _)) = (table == "tube").then(|| round(typed)).flatten() {
            let same = |mm: f64| (mm - outside).abs() < SAME;
            let alike = rows
                .rows()
                .filter(|row| row.text("shape") == Some("round") && same(row.measure("outside")));
            return alike.map(|row| row.name()).take(MAX_OFFERED).collect();
        }
        let names: Vec<&str> = rows.rows().map(|row| row.name()).collect();
        if let Some(size) = without_pitch(&names, typed) {
            return vec![size];
        }
        let sized: Vec<&str> =
            names.iter().filter(|name| same_size(name, typed)).copied().collect();
        if !sized.is_empty() {
            return sized;
        }
        // A metal without its temper: `5754` for `5754-H111`.
        let whole = format!("{}-", key(typed));
        let tempers: Vec<&str> =
            names.iter().filter(|name| key(name).starts_with(&whole)).copied().collect();
        if (1..=MAX_OFFERED).contains(&tempers.len()) {
            return tempers;
        }
        let start = |name: &&&str| !typed.is_empty() && is_start(name, typed);
        let near = nearest(typed, rows.called()).or_else(|| {
            let long = names.iter().filter(start).max_by_key(|name| name.len());
            long.copied()
        });
        near.into_iter().collect()
    }
}

/// How to add a metal. Its strengths are left to the user, who has the certificate: as it is the
/// row is refused.
const METAL: &str = "add it in a file `tables/material.csv` beside the job, with the minimum strengths of \
    its certificate: `name, metal, density, yield, tensile, elastic, source, basis` and below it \
    `NAME, steel, 7850 kg/m3, YIELD MPa, TENSILE MPa, 210000 MPa, certificate, seen`";

/// Outside and wall of a round tube as typed, mm.
fn round(typed: &str) -> Option<(f64, f64)> {
    let plain = typed.to_lowercase().replace('×', "x");
    let sides: Vec<&str> = plain.split('x').map(str::trim).collect();
    let [outside, wall] = sides.as_slice() else { return None };
    let (outside, wall) = (millimetres(outside, &plain)?, millimetres(wall, &plain)?);
    (wall > 0.0 && 2.0 * wall < outside).then_some((outside, wall))
}

/// How a round tube is added that no row has.
fn own_tube(typed: &str) -> Option<String> {
    let (outside, wall) = round(typed)?;
    let [outside, wall, inside] =
        [outside, wall, outside - 2.0 * wall].map(|mm| crate::num::text(mm, 3));
    Some(format!(
        "add it in a file `tables/tube.csv` beside the job: `name, shape, outside, wall, inside, source, basis` \
         and below it `{}, round, {outside} mm, {wall} mm, {inside} mm, measured, practice`",
        typed.trim()
    ))
}

/// Outside diameters that differ by less are one, mm.
const SAME: f64 = 0.01;

/// A side of a tube: in inches where the name has a fraction, an inch mark or a wall such as `.095`.
fn millimetres(side: &str, whole: &str) -> Option<f64> {
    let inches = whole.contains(['/', '"'])
        || whole.contains("in")
        || whole.contains(" .")
        || whole.contains("x.");
    let side =
        side.trim_end_matches(['"', ' ']).trim_end_matches("in").trim_end_matches("mm").trim();
    let side = if side.starts_with('.') { format!("0{side}") } else { side.to_owned() };
    match quantity::read(&format!("{side} {}", if inches { "in" } else { "mm" })) {
        Ok(Reading::Quantity(q)) if q.dimension == Dimension::LENGTH => Some(q.value),
        _ => None,
    }
}

/// Whether a row is called by a letter or sign and the size that was typed: `M12` for `12`.
fn same_size(name: &str, typed: &str) -> bool {
    let size = key(typed);
    let name = key(name);
    // Millimetres are no number size: `8 mm` is no `#8`.
    let (size, metric) = match size.strip_suffix("mm") {
        Some(size) => (size, true),
        None => (size.as_str(), false),
    };
    if metric && !name.starts_with('m') {
        return false;
    }
    let bare = name.trim_start_matches(|c: char| !c.is_ascii_digit() && c != '.');
    bare.len() < name.len() && !size.is_empty() && bare == size
}

/// The row of a metric thread that was typed with its pitch: `M10` for `M10x1.5`.
fn without_pitch<'n>(names: &[&'n str], typed: &str) -> Option<&'n str> {
    let typed = key(typed);
    let (size, pitch) = typed.split_once('x')?;
    let is_metric = size.starts_with('m') && pitch.parse::<f64>().is_ok_and(|pitch| pitch < 10.0);
    names.iter().find(|name| is_metric && key(name) == size).copied()
}

/// Whether the typed word continues where the name ends: `powdercoat` for `powder`.
fn is_start(name: &str, typed: &str) -> bool {
    let (name, typed) = (name.to_lowercase(), typed.to_lowercase());
    name.len() > 3
        && typed.starts_with(&name)
        && name.chars().all(|c| c.is_alphabetic() || c == ' ')
}

fn quoted(names: &[&str], between: &str) -> String {
    names.iter().map(|name| format!("`{name}`")).collect::<Vec<_>>().join(between)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn help(table: &str, typed: &str) -> String {
        Tables::shipped().instead(table, typed)
    }

    #[test]
    fn a_size_without_its_letter_is_the_row_of_that_size() {
        assert_eq!(help("nut", "12"), "write `M12`");
        assert_eq!(help("bolt", "8 mm"), "write `M8`");
        assert_eq!(help("bolt", "10"), "write `M10` or `#10`");
    }

    #[test]
    fn a_thread_with_its_pitch_is_the_row_of_its_size() {
        let words = ", without the pitch, where that is the coarse one";
        assert_eq!(help("bolt", "M10x1.5"), format!("write `M10`{words}"));
        assert_eq!(help("nut", "M8 × 1.25"), format!("write `M8`{words}"));
        assert!(!help("bolt", "M10x30").contains("without the pitch"), "that is a length");
    }

    #[test]
    fn a_word_that_begins_with_a_row_is_that_row() {
        assert_eq!(help("coating", "powdercoat"), "write `powder`");
        assert_eq!(help("coating", "Wet Paint, 2 coats"), "write `wet paint`");
        assert!(help("coating", "chrome").starts_with("choose from powder, "));
    }

    /// The text offered can be added to the shipped tables and is the tube that was typed.
    #[test]
    fn a_wall_that_no_tube_has_is_told_with_the_walls_there_are() {
        let found = help("tube", "76.1 x 4.5");
        let walls = "write `76.1 x 2.9` or `76.1 x 3` or `76.1 x 3.6` or `76.1 x 4` or `76.1 x 5`, or add it";
        assert!(found.starts_with(walls), "{found}");
        for (typed, outside, wall) in
            [("76.1 x 4.5", 76.1, 4.5), ("44.5x4", 44.5, 4.0), ("1-1/2 x .100", 38.1, 2.54)]
        {
            let lines: Vec<String> = help("tube", typed).split('`').map(str::to_owned).collect();
            let csv = format!("{}\n{}\n", lines[lines.len() - 4], lines[lines.len() - 2]);
            let mut tables = Tables::shipped();
            assert_eq!(tables.add("tube", &csv), Ok(vec![]), "{csv}");
            let row = tables.row("tube", typed).unwrap();
            assert!((row.measure("outside") - outside).abs() < 1e-6, "{csv}");
            assert!((row.measure("wall") - wall).abs() < 1e-6, "{csv}");
            assert!((row.measure("inside") - outside + 2.0 * wall).abs() < 1e-6, "{csv}");
        }
    }

    /// An unknown metal gets instructions for adding it; the row is refused until it has strengths.
    #[test]
    fn a_metal_is_added_with_the_strengths_of_its_certificate() {
        let found = help("material", "S690QL");
        let parts: Vec<&str> = found.split('`').collect();
        let csv = format!("{}\n{}\n", parts[3], parts[5]);
        assert_eq!(Tables::shipped().add("material", &csv).unwrap_err().len(), 2, "{csv}");
        let known = csv.replace("YIELD", "690").replace("TENSILE", "770");
        assert_eq!(Tables::shipped().add("material", &known), Ok(vec![]));
    }
}
