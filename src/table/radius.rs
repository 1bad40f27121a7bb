//! Minimum inside radii of a sheet, from the tables `min-radius`, `bend-limit` and `bend-limit-metric`.

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

/// The inside radii of a sheet, mm, each with whose word it is.
#[derive(Clone, Debug)]
pub struct RadiusLimits {
    /// Below this the sheet cracks.
    pub refused: (f64, String),
    /// From here on it is better.
    pub preferred: (f64, String),
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
        let words = |table: &str, of: &str| format!("table `{table}`, {of}");
        let own = material.text("bend_table");
        let of = |table: &'static str, column: &str, beyond: Beyond| {
            by_thickness(self.table(table)?, column, thickness, beyond)
        };
        let preferred = match own.and_then(|column| of("min-radius", column, Beyond::LastRow)) {
            Some(Listed::NotRecommended) => return None,
            Some(Listed::Radius(radius)) => Some((radius, words("min-radius", material.name()))),
            None => None,
        };
        let refused = if let Some(times) = material.quantity("bend_ratio") {
            Some((times.value * thickness, words("material", material.name())))
        } else if material.bends_as_mild_steel() {
            Some((thickness / 2.0, "half the thickness".into()))
        } else {
            let own = own.and_then(|column| {
                let limit = |table: &'static str, beyond: Beyond| {
                    of(table, column, beyond).map(|found| (found, words(table, material.name())))
                };
                limit("bend-limit", Beyond::LastRow)
                    .or_else(|| limit("bend-limit-metric", Beyond::None))
                    .or_else(|| limit("min-radius", Beyond::Strictest))
            });
            match own {
                Some((Listed::NotRecommended, _)) => return None,
                Some((Listed::Radius(radius), words)) => Some((radius, words)),
                None => None,
            }
        };
        let refused = match refused {
            Some(refused) => refused,
            None if self.outdoes_radii(material) => return None,
            None => {
                let columns = strictest(material.text("metal"));
                let mut radius = 0.0_f64;
                for column in columns {
                    match of("min-radius", column, Beyond::Strictest) {
                        Some(Listed::Radius(other)) => radius = radius.max(other),
                        _ => return None,
                    }
                }
                let of = format!("the strictest of {}", material.text("metal").unwrap_or("metals"));
                (radius, words("min-radius", &of))
            }
        };
        let usual = if material.bends_as_mild_steel() {
            (thickness, "one thickness".into())
        } else {
            refused.clone()
        };
        Some(RadiusLimits { preferred: preferred.unwrap_or(usual), refused })
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
            let tables = ["min-radius", "bend-limit-metric"].map(|table| self.table(table));
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
        assert!((limits("S355", 3.0).unwrap() - chrome_moly).abs() < 1e-9);
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
