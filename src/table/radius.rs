//! Minimum inside radii of a sheet, from the tables `min-radius`, `bend-limit`, `bend-limit-metric` and
//! `bend-limit-steel`.

use crate::quantity::Dimension;
use crate::table::row::Row;
use crate::table::whole::Table;
use crate::table::whole::Tables;
use std::sync::Arc;

/// The tables print thicknesses and radii to a thousandth of an inch; half of that, in mm.
const PRINTED: f64 = 0.0127;

/// A metal is no stronger than another up to this share of its tensile strength: publications of
/// one metal differ by as much. Our choice.
const AS_STRONG: f64 = 1.05;

/// Preferred where the table `min-radius` leaves a thickness blank and a minimum is published, in
/// thicknesses: a producer bends most austenitic alloys by 180° round as much
/// (rolledalloys.com/technical-resources/forming).
const THICK: f64 = 2.0;

/// Bends that the minimum radii are published for, degrees.
const PUBLISHED: f64 = 90.0;

/// Columns of `bend-limit-steel` whose source bends flat on itself, by 180°.
const FLAT: &[&str] = &["r_304"];

/// Columns of `bend-limit-steel` whose source recommends the radii for grades ordered for flanging only:
/// those of EN 10025-2 with the suffix C.
const FLANGING: &[&str] = &["r_s355"];

/// What the radius is below which a sheet is not bent.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RadiusBasis {
    /// The minimum that is published for the metal.
    Minimum,
    /// The preferred one: no other is published for the metal.
    Preferred,
    /// That of the strictest metal of its kind: none is published for this one.
    Strictest,
}

/// The inside radii of a sheet, mm, each with its source.
#[derive(Clone, Debug)]
pub struct RadiusLimits {
    /// Below this the sheet is not bent.
    pub refused: (f64, String),
    /// What that radius is.
    pub basis: RadiusBasis,
    /// From here on it is better.
    pub preferred: (f64, String),
    /// The minimum of a bend along the grain, where one is published; `refused` is then that of a
    /// bend across it.
    pub along: Option<(f64, String)>,
    /// The sharpest bend that they are published for, degrees.
    pub sharpest: f64,
    /// Whether they hold only for grades that are ordered for flanging.
    pub flanging: bool,
}

impl RadiusLimits {
    /// The smallest radius that clears both, mm.
    pub fn clear(&self) -> f64 {
        self.refused.0.max(self.preferred.0)
    }

    /// Whether a radius, in mm, is below a limit by more than the tables print.
    pub fn is_below(radius: f64, limit: f64) -> bool {
        radius < limit - PRINTED
    }
}

impl Tables {
    /// The radii for a metal of the table `material` in a thickness, mm; `None` where a bend is not
    /// recommended at all.
    pub fn radius_limits(&self, material: &Row, thickness: f64) -> Option<RadiusLimits> {
        let (refused, basis) = self.refused(material, thickness)?;
        let along = self.along(material, thickness);
        let preferred = self.preferred(material, thickness).or_else(|| along.clone());
        let preferred = preferred.unwrap_or_else(|| refused.clone());
        let column = material.text("bend_table").unwrap_or_default();
        let is_of = |columns: &[&str]| {
            columns.contains(&column) && material.quantity("bend_ratio").is_none()
        };
        let sharpest = if is_of(FLAT) { 180.0 } else { PUBLISHED };
        let flanging = is_of(FLANGING) && basis == RadiusBasis::Minimum;
        Some(RadiusLimits { refused, basis, preferred, along, sharpest, flanging })
    }

    /// The minimum of a bend along the grain, mm.
    fn along(&self, material: &Row, thickness: f64) -> Option<(f64, String)> {
        if material.quantity("bend_ratio").is_some() {
            return None;
        }
        let column = format!("{}_along", material.text("bend_table")?);
        let of = ("bend-limit-steel", column.as_str());
        match self.listed(of, (material, thickness), Beyond::None)? {
            (Listed::Radius(radius), words) => Some((radius, format!("{words} along the grain"))),
            (Listed::NotRecommended, _) => None,
        }
    }

    /// The entry of a column of a table, with the words for it.
    fn listed(
        &self,
        (table, column): (&str, &str),
        (material, thickness): (&Row, f64),
        beyond: Beyond,
    ) -> Option<(Listed, String)> {
        let found = by_thickness(self.table(table)?, column, thickness, beyond)?;
        Some((found, format!("table `{table}`, {}", material.name())))
    }

    /// The radius below which a metal is not bent, mm, and what that is.
    fn refused(&self, material: &Row, thickness: f64) -> Option<((f64, String), RadiusBasis)> {
        if let Some(times) = material.quantity("bend_ratio") {
            let words = format!("table `material`, {}", material.name());
            return Some(((times.value * thickness, words), RadiusBasis::Minimum));
        }
        if material.bends_as_mild_steel() {
            let half = (thickness / 2.0, "half the thickness".into());
            return Some((half, RadiusBasis::Minimum));
        }
        let found = material.text("bend_table").and_then(|column| {
            let of = |table: &'static str, beyond: Beyond, basis: RadiusBasis| {
                Some((self.listed((table, column), (material, thickness), beyond)?, basis))
            };
            of("bend-limit", Beyond::LastRow, RadiusBasis::Minimum)
                .or_else(|| of("bend-limit-metric", Beyond::None, RadiusBasis::Minimum))
                .or_else(|| of("bend-limit-steel", Beyond::None, RadiusBasis::Minimum))
                .or_else(|| of("min-radius", Beyond::Strictest, RadiusBasis::Preferred))
        });
        match found {
            Some(((Listed::NotRecommended, _), _)) => None,
            Some(((Listed::Radius(radius), words), basis)) => Some(((radius, words), basis)),
            None if self.outdoes_radii(material) => None,
            None => Some((self.of_strictest(material, thickness)?, RadiusBasis::Strictest)),
        }
    }

    /// The radius of the strictest metal of a kind, mm.
    fn of_strictest(&self, material: &Row, thickness: f64) -> Option<(f64, String)> {
        let kind = material.text("metal");
        let mut largest = 0.0_f64;
        for column in strictest(kind) {
            let of = ("min-radius", *column);
            match self.listed(of, (material, thickness), Beyond::Strictest)? {
                (Listed::Radius(radius), _) => largest = largest.max(radius),
                (Listed::NotRecommended, _) => return None,
            }
        }
        let words =
            format!("table `min-radius`, the strictest value for {}", kind.unwrap_or("metals"));
        Some((largest, words))
    }

    /// The radius that is better, mm; `None` where no other than the minimum is published.
    fn preferred(&self, material: &Row, thickness: f64) -> Option<(f64, String)> {
        if material.bends_as_mild_steel() {
            let own = self.listed_preferred(material, thickness);
            return Some(own.unwrap_or((thickness, "one thickness".into())));
        }
        self.listed_preferred(material, thickness)
    }

    fn listed_preferred(&self, material: &Row, thickness: f64) -> Option<(f64, String)> {
        let of = ("min-radius", material.text("bend_table")?);
        Some(match self.listed(of, (material, thickness), Beyond::LastRow)? {
            (Listed::Radius(radius), words) => (radius, words),
            // The figure of a producer of stainless steel.
            (Listed::NotRecommended, _) if material.text("metal") != Some("stainless") => {
                return None;
            }
            (Listed::NotRecommended, _) => (THICK * thickness, "two thicknesses".to_owned()),
        })
    }

    /// Whether a metal without published radius is stronger than any of its kind that has one: none
    /// of those shows how far it can be bent.
    pub fn outdoes_radii(&self, material: &Row) -> bool {
        let own = material.text("bend_table").is_some() || material.bends_as_mild_steel();
        if own || material.quantity("bend_ratio").is_some() {
            return false;
        }
        let columns = strictest(material.text("metal"));
        let is_known =
            |row: &&Arc<Row>| row.text("bend_table").is_some_and(|c| columns.contains(&c));
        let rows = self.table("material").into_iter().flat_map(Table::rows).filter(is_known);
        let known = rows.filter_map(|row| row.quantity("tensile")).map(|q| q.value);
        let known = known.max_by(f64::total_cmp);
        known.is_some_and(|known| material.measure("tensile") > AS_STRONG * known)
    }

    /// The thickest sheet of a metal that its table recommends for bending, mm: of one without a
    /// column, that of the strictest of its kind.
    pub fn thickest_bent(&self, material: &Row) -> Option<f64> {
        let own = material.text("bend_table");
        let columns = own.map_or_else(|| strictest(material.text("metal")).to_vec(), |c| vec![c]);
        let thickest = |column: &&str| {
            let tables = ["min-radius", "bend-limit-metric", "bend-limit-steel"];
            let tables = tables.map(|table| self.table(table));
            let rows = tables.into_iter().flatten().flat_map(Table::rows);
            let bent = rows.filter(|row| row.field(column).is_some());
            bent.filter_map(|row| Some(row.quantity("thickness")?.value)).max_by(f64::total_cmp)
        };
        columns.iter().filter_map(thickest).min_by(f64::total_cmp)
    }

    /// The radius of `min-radius` or `bend-limit` for a sheet, mm; `None` if the alloy has no
    /// column, or no figure.
    pub fn listed_radius(&self, table: &str, material: &Row, thickness: f64) -> Option<f64> {
        let column = material.text("bend_table")?;
        match by_thickness(self.table(table)?, column, thickness, Beyond::LastRow)? {
            Listed::Radius(radius) => Some(radius),
            Listed::NotRecommended => None,
        }
    }
}

/// The columns of the table `min-radius` that apply to a metal of a kind without radii.
fn strictest(kind: Option<&str>) -> &'static [&'static str] {
    match kind {
        Some("steel") => &["r_4130_n"],
        Some("stainless") => &["r_302", "r_304"],
        _ => &["r_2024_t3"],
    }
}

/// The entry of a column for a thickness.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Listed {
    /// The minimum inside radius, mm.
    Radius(f64),
    /// Its source leaves that blank.
    NotRecommended,
}

/// What counts for sheet thicker than all rows.
#[derive(Clone, Copy, PartialEq)]
enum Beyond {
    /// The proportion of the last row.
    LastRow,
    /// The strictest proportion of the thicker half of the rows.
    Strictest,
    /// Nothing: a bend is not recommended.
    None,
}

/// The entry of a column for a thickness. A plain number is a multiple of the thickness.
fn by_thickness(table: &Table, column: &str, thickness: f64, beyond: Beyond) -> Option<Listed> {
    table.column(column)?;
    // Thickness, and the radius over it where the cell is not blank.
    let rows = table.rows().filter_map(|row| {
        let t = row.quantity("thickness")?.value;
        let times = row
            .quantity(column)
            .map(|r| if r.dimension == Dimension::LENGTH { r.value / t } else { r.value });
        let fixed = row.quantity(column).filter(|r| r.dimension == Dimension::LENGTH);
        Some((t, times, fixed.map(|r| r.value)))
    });
    let mut rows: Vec<(f64, Option<f64>, Option<f64>)> = rows.collect();
    rows.sort_by(|a, b| a.0.total_cmp(&b.0));
    let last = rows.last()?.0;
    let strictest = || {
        let thick = rows.iter().filter(|row| row.0 >= last / 2.0 - PRINTED);
        let known = if thick.clone().any(|row| row.1.is_some()) {
            thick.filter_map(|row| row.1).fold(0.0, f64::max)
        } else {
            rows.iter().filter_map(|row| row.1).fold(0.0, f64::max)
        };
        Listed::Radius(known * thickness)
    };
    let next = rows.iter().position(|row| row.0 >= thickness - PRINTED);
    // Of a thickness between two rows.
    let thinner_known =
        next.and_then(|i| rows.get(i.checked_sub(1)?)).is_some_and(|row| row.1.is_some());
    Some(match next.map(|i| &rows[i]) {
        Some((_, Some(_), Some(radius))) => Listed::Radius(*radius),
        Some((_, Some(times), None)) => Listed::Radius(times * thickness),
        // Thinner than the row that is blank, but not as thin as the one before it, which is not.
        Some((t, None, _))
            if thickness < t - PRINTED && thinner_known && beyond != Beyond::None =>
        {
            strictest()
        }
        Some((_, None, _)) => Listed::NotRecommended,
        None => match (rows.last()?.1, beyond) {
            (None, _) | (_, Beyond::None) => Listed::NotRecommended,
            (Some(times), Beyond::LastRow) => Listed::Radius(times * thickness),
            (Some(_), Beyond::Strictest) => strictest(),
        },
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn limits(name: &str, thickness: f64) -> Option<f64> {
        let tables = Tables::shipped();
        let row = tables.row("material", name).unwrap();
        tables.radius_limits(row, thickness).map(|limits| limits.refused.0)
    }

    /// EN 485-2 for sheet of 2, 3 and 5 mm; nothing is published for thicker 6082 and 7075.
    #[test]
    fn metric_bands_of_thickness_end_with_what_is_published() {
        for (name, radii) in [
            ("5754-H111", [Some(2.0), Some(3.0), Some(5.0), Some(16.0)]),
            ("6082-T6", [Some(7.0), Some(10.5), Some(22.5), None]),
            ("7075-T6", [Some(13.0), Some(19.5), Some(50.0), None]),
            ("5754-H22", [Some(3.0), Some(4.5), Some(7.5), None]),
        ] {
            assert_eq!([2.0, 3.0, 5.0, 8.0].map(|mm| limits(name, mm)), radii, "{name}");
        }
        assert_eq!(limits("5754-H111", 12.6), None);
    }

    /// EN 10025-2, EN 10149-2 and ASTM A480: 3, 4 and 8 mm, and thicker than each is published for.
    #[test]
    fn structural_and_stainless_steel_have_minima_of_their_own() {
        let of = |name: &str| [3.0, 4.0, 8.0, 30.5].map(|mm| limits(name, mm));
        assert_eq!(of("S355"), [Some(5.0), Some(6.0), Some(16.0), None]);
        assert_eq!(of("S355MC"), [Some(0.75), Some(2.0), Some(8.0), None]);
        for name in ["304", "316", "1.4404"] {
            assert_eq!(of(name), [Some(3.0), Some(4.0), Some(8.0), None], "{name}");
        }
        let tables = Tables::shipped();
        let preferred = |name: &str, mm: f64| {
            let row = tables.row("material", name).unwrap();
            tables.radius_limits(row, mm).unwrap().preferred
        };
        // Along the grain; two thicknesses where the aircraft shops prefer no bend.
        assert_eq!(preferred("S355", 4.0).0, 8.0);
        assert!(preferred("S355", 4.0).1.ends_with("along the grain"));
        assert_eq!(preferred("S355MC", 4.0).0, 2.0);
        let all =
            |name: &str| tables.radius_limits(tables.row("material", name).unwrap(), 4.0).unwrap();
        assert_eq!(all("S355").along.map(|along| along.0), Some(8.0));
        for (name, sharpest) in [("S355", 90.0), ("S355MC", 90.0), ("304", 180.0), ("S235", 90.0)] {
            assert_eq!(all(name).sharpest, sharpest, "{name}");
            assert_eq!(all(name).along.is_some(), name == "S355", "{name}");
        }
        assert_eq!(preferred("304", 4.0), (8.0, "two thicknesses".to_owned()));
        assert!((preferred("316", 1.6).0 - 0.125 * 25.4).abs() < 1e-9);
    }

    /// The strictest radii of its kind apply to a metal without radii of its own, but not if it is
    /// stronger than that: hardened steel is no chrome-moly tube.
    #[test]
    fn no_metal_is_held_to_the_radius_of_a_weaker_one() {
        let tables = Tables::shipped();
        for row in tables.table("material").unwrap().rows() {
            let outdoes = ["25CrMo4-QT", "42CrMo4-QT", "E355-SR"].contains(&row.name());
            assert_eq!(tables.outdoes_radii(row), outdoes, "{}", row.name());
        }
        assert_eq!(limits("42CrMo4-QT", 3.0), None);
        let chrome_moly = limits("4130-N", 3.0).unwrap();
        assert!((limits("E355-N", 3.0).unwrap() - chrome_moly).abs() < 1e-9);
    }

    #[test]
    fn the_radius_of_its_maker_is_the_limit_of_a_metal() {
        let mut tables = Tables::shipped();
        let own = "name,metal,tensile,bend_ratio\nS700MC,steel,750 MPa,2\nS701MC,steel,750 MPa,\n";
        assert_eq!(tables.add("material", own), Ok(vec![]));
        let of = |name: &str| tables.radius_limits(tables.row("material", name).unwrap(), 3.0);
        let limits = of("S700MC").unwrap();
        assert_eq!((limits.refused.0, limits.preferred.0), (6.0, 6.0));
        assert!(of("S701MC").is_none());
    }
}
