//! Minimum inside radii of a sheet, from the tables `min-radius` and `bend-limit`.

use crate::quantity::Dimension;
use crate::table::row::Row;
use crate::table::whole::Table;
use crate::table::whole::Tables;

/// The tables print thicknesses and radii to a thousandth of an inch; half of that, in mm.
const PRINTED: f64 = 0.0127;

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
    /// The radii for a metal of the table `material` in a thickness, mm; none where a bend is
    /// not recommended at all.
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
        let refused = if material.bends_as_mild_steel() {
            Some((thickness / 2.0, "half the thickness".into()))
        } else {
            let own = own.and_then(|column| {
                let limit = of("bend-limit", column, Beyond::LastRow);
                let (table, found) = match limit {
                    Some(found) => ("bend-limit", found),
                    None => ("min-radius", of("min-radius", column, Beyond::Strictest)?),
                };
                Some((found, words(table, material.name())))
            });
            match own {
                Some((Listed::NotRecommended, _)) => return None,
                Some((Listed::Radius(radius), words)) => Some((radius, words)),
                None => None,
            }
        };
        let refused = match refused {
            Some(refused) => refused,
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

    /// The thickest sheet of a metal that its table recommends for bending, mm.
    pub fn thickest_bent(&self, material: &Row) -> Option<f64> {
        let column = material.text("bend_table")?;
        let rows = self.table("min-radius")?.rows().filter(|row| row.field(column).is_some());
        rows.filter_map(|row| Some(row.quantity("thickness")?.value)).max_by(f64::total_cmp)
    }

    /// The radius that `min-radius` or `bend-limit` has for a sheet, mm; none where the alloy
    /// has no column, or no figure.
    pub fn listed_radius(&self, table: &str, material: &Row, thickness: f64) -> Option<f64> {
        let column = material.text("bend_table")?;
        match by_thickness(self.table(table)?, column, thickness, Beyond::LastRow)? {
            Listed::Radius(radius) => Some(radius),
            Listed::NotRecommended => None,
        }
    }
}

/// The columns of the table `min-radius` that a metal of a kind is held to when it has none.
fn strictest(kind: Option<&str>) -> &'static [&'static str] {
    match kind {
        Some("steel") => &["r_4130_n"],
        Some("stainless") => &["r_302", "r_304"],
        _ => &["r_2024_t3"],
    }
}

/// What a column says of a thickness.
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
}

/// What a column says of a thickness. A plain number is a multiple of the thickness.
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
        Some((t, None, _)) if thickness < t - PRINTED && thinner_known => strictest(),
        Some((_, None, _)) => Listed::NotRecommended,
        None => match (rows.last()?.1, beyond) {
            (None, _) => Listed::NotRecommended,
            (Some(times), Beyond::LastRow) => Listed::Radius(times * thickness),
            (Some(_), Beyond::Strictest) => strictest(),
        },
    })
}
