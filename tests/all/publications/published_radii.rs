//! Least bend radii: every cell of the two tables of a design book, typed a second time.
//!
//! The first has the radii that aircraft shops prefer, in inches by thickness (its steel
//! rows credit the AISI); the second the limit in multiples of the thickness. They differ
//! on purpose: between the two a part is cautioned, below the second it is stopped.

use platewright::quantity::MM_PER_INCH;
use platewright::table::Tables;

/// Columns of the first table as they are headed, and ours.
const PREFERRED_COLUMNS: [(&str, &str); 9] = [
    ("6061-T6", "r_6061_t6"),
    ("5052-H32", "r_5052_h32"),
    ("5052-H34, 6061-T4, 2024-O", "r_5052_h34"),
    ("3003-O, 1100-O, 6061-O, 5052-O", "r_soft"),
    ("2024-T3", "r_2024_t3"),
    ("1020/1025, 4130 annealed", "r_1020"),
    ("4130 normalised", "r_4130_n"),
    ("304", "r_304"),
    ("302", "r_302"),
];

/// Thickness and radii in inches; nothing where it is printed as not recommended.
const PREFERRED: [(&str, [f64; 9]); 12] = [
    ("0.020 in", [0.063, 0.063, 0.063, 0.063, 0.063, 0.063, 0.063, 0.063, 0.063]),
    ("0.025 in", [0.094, 0.063, 0.063, 0.031, 0.094, 0.063, 0.063, 0.063, 0.063]),
    ("0.032 in", [0.094, 0.063, 0.063, 0.031, 0.125, 0.063, 0.094, 0.063, 0.094]),
    ("0.040 in", [0.125, 0.063, 0.094, 0.063, 0.188, 0.094, 0.125, 0.094, 0.125]),
    ("0.050 in", [0.156, 0.094, 0.094, 0.063, 0.188, 0.094, 0.156, 0.094, 0.125]),
    ("0.063 in", [0.188, 0.094, 0.125, 0.063, 0.250, 0.094, 0.188, 0.125, 0.188]),
    ("0.080 in", [0.281, 0.125, 0.156, 0.094, 0.344, 0.125, 0.250, 0.156, 0.250]),
    ("0.090 in", [0.312, 0.156, 0.188, 0.094, 0.375, 0.125, 0.281, 0.188, 0.250]),
    ("0.100 in", [0.375, 0.156, 0.188, 0.125, 0.438, 0.156, 0.312, 0.250, 0.281]),
    ("0.125 in", [0.500, 0.188, 0.250, 0.125, 0.562, 0.188, 0.375, NONE, NONE]),
    ("0.140 in", [0.562, 0.250, 0.281, 0.156, 0.625, 0.188, 0.438, NONE, NONE]),
    ("0.188 in", [0.625, 0.312, 0.375, 0.188, 0.875, 0.375, 0.500, NONE, NONE]),
];

/// Printed as not recommended.
const NONE: f64 = f64::NAN;

/// Rows of the second table: alloy and temper, our column, multiples of the thickness.
const LIMITS: [(&str, &str, [f64; 8]); 8] = [
    ("5052-O", "r_5052_o", [0.0, 0.0, 0.0, 0.5, 1.0, 1.0, 1.5, 1.5]),
    ("5052-H32", "r_5052_h32", [0.0, 0.0, 1.0, 1.5, 1.5, 1.5, 1.5, 2.0]),
    ("5052-H34", "r_5052_h34", [0.0, 1.0, 1.5, 2.0, 2.0, 2.5, 2.5, 3.0]),
    ("6061-O", "r_soft", [0.0, 0.0, 0.0, 1.0, 1.0, 1.0, 1.5, 2.0]),
    ("6061-T4", "r_6061_t4", [0.0, 0.0, 1.0, 1.5, 2.5, 3.0, 3.5, 4.0]),
    ("6061-T6", "r_6061_t6", [1.0, 1.0, 1.5, 2.5, 3.0, 3.5, 4.5, 5.0]),
    ("1100-O", "r_1100_o", [0.0, 0.0, 0.0, 0.0, 0.5, 1.0, 1.0, 1.5]),
    ("1100-H14", "r_1100_h14", [0.0, 0.0, 0.0, 1.0, 1.0, 1.5, 2.0, 2.5]),
];

const LIMIT_THICKNESSES: [&str; 8] =
    ["1/64 in", "1/32 in", "1/16 in", "1/8 in", "3/16 in", "1/4 in", "3/8 in", "1/2 in"];

#[test]
fn every_preferred_radius_is_as_printed() {
    let tables = Tables::shipped();
    let mut checked = 0;
    for (thickness, radii) in PREFERRED {
        let row = tables.row("min-radius", thickness).expect("the row is there");
        for ((alloy, column), printed) in PREFERRED_COLUMNS.iter().zip(radii) {
            let ours = row.quantity(column).map(|q| q.value / MM_PER_INCH);
            match ours {
                Some(ours) => assert!((ours - printed).abs() < 1e-9, "{alloy} {thickness}: {ours}"),
                None => assert!(printed.is_nan(), "{alloy} {thickness} is missing"),
            }
            checked += 1;
        }
    }
    assert_eq!(checked, 108);
    assert_eq!(tables.table("min-radius").expect("it is shipped").rows().count(), PREFERRED.len());
}

#[test]
fn every_limit_is_as_printed() {
    let tables = Tables::shipped();
    for (alloy, column, multiples) in LIMITS {
        for (thickness, printed) in LIMIT_THICKNESSES.iter().zip(multiples) {
            let row = tables.row("bend-limit", thickness).expect("the row is there");
            let ours = row.quantity(column).expect("every cell is filled").value;
            assert!((ours - printed).abs() < 1e-12, "{alloy} {thickness}: {ours}");
        }
    }
    assert_eq!(tables.table("bend-limit").expect("it is shipped").rows().count(), 8);
}

/// Down each column of the first table the radius grows with the thickness, but for one
/// cell that was published so: soft aluminium needs 0.063 in at 0.020 in and 0.031 in, half of it,
/// at 0.025 in.
#[test]
fn one_published_radius_lies_below_that_of_thinner_sheet() {
    let mut outliers = Vec::new();
    for (i, (alloy, _)) in PREFERRED_COLUMNS.iter().enumerate() {
        for pair in PREFERRED.windows(2) {
            let [(_, thin), (thickness, thick)] = [&pair[0], &pair[1]];
            if thick[i] < thin[i] {
                outliers.push((*alloy, *thickness));
            }
        }
    }
    assert_eq!(outliers, [("3003-O, 1100-O, 6061-O, 5052-O", "0.025 in")]);
    for (alloy, _, multiples) in LIMITS {
        assert!(multiples.is_sorted(), "{alloy}");
    }
}

/// 6061-T6 of 1/8 in: 0.500 in is preferred, which is 4 T; the limit is 2.5 T.
#[test]
fn what_is_preferred_lies_above_the_limit() {
    let tables = Tables::shipped();
    let of = |table, column| tables.row(table, column).expect("the row is there");
    let preferred = of("min-radius", "0.125 in").quantity("r_6061_t6").expect("a radius").value;
    let limit = of("bend-limit", "1/8 in").quantity("r_6061_t6").expect("a multiple").value;
    assert!((preferred / (0.125 * MM_PER_INCH) - 4.0).abs() < 1e-9);
    assert!((limit - 2.5).abs() < 1e-12);
}

/// 302 and 304 have no figure from 0.125 in on: a stainless steel without radii of its own, which has theirs, is
/// not recommended for bending there, or between two such rows, or beyond them.
#[test]
fn what_is_not_recommended_stays_so_between_rows() {
    let mut tables = Tables::shipped();
    let own = "name,metal,tensile\n1.4016,stainless,430 MPa\n";
    assert_eq!(tables.add("material", own), Ok(vec![]));
    let metal = tables.row("material", "1.4016").expect("it was added");
    let bends = |thickness: f64| tables.radius_limits(metal, thickness).is_some();
    for thickness in [0.5, 1.0, 2.0, 2.54, 3.0] {
        assert!(bends(thickness), "{thickness}");
    }
    for thickness in [3.175, 3.19, 3.3, 3.556, 3.6, 4.0, 4.5, 4.75, 4.775, 4.8, 6.0] {
        assert!(!bends(thickness), "{thickness}");
    }
}

/// Only the first table has 4130 normalised. Beyond its last row, 0.188 in, sheet is refused
/// below the strictest ratio of the thicker rows, 0.438 in at 0.140 in, and preferred at that
/// of the last, 0.500 in.
#[test]
fn sheet_thicker_than_all_rows_keeps_the_strictest_ratio() {
    let tables = Tables::shipped();
    let metal = tables.row("material", "4130-N").expect("it is shipped");
    let limits = tables.radius_limits(metal, 6.0).expect("it may be bent");
    assert!((limits.refused.0 - 6.0 * 0.438 / 0.140).abs() < 1e-9, "{limits:?}");
    assert!((limits.preferred.0 - 6.0 * 0.500 / 0.188).abs() < 1e-9, "{limits:?}");
}
