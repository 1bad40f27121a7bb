//! Sizes of a row that contradict one another, or that nothing has.

use crate::num::text;
use crate::quantity::Quantity;
use crate::quantity::Units;
use crate::table::fault::TableFault;
use crate::table::row::Row;

/// A column that cannot be right, with why.
type Fault = (&'static str, TableFault);

/// Columns of a table that are more than 0.
const POSITIVE: &[(&str, &[&str])] = &[
    ("process", &["kerf", "min_thickness"]),
    ("material", &["bend_ratio"]),
    ("nut", &["flats", "corners", "height"]),
    ("jam-nut", &["flats", "corners", "height"]),
    ("bolt", &["diameter", "pitch", "close", "normal", "loose", "tap_drill"]),
    ("thread", &["diameter", "pitch", "tap_drill"]),
    ("tube", &["outside", "across", "wall", "design_wall", "inside"]),
    ("hand-tool", &["depth", "height", "min_clamp", "min_flange"]),
    ("hole-saw", &["diameter"]),
    ("drill", &["diameter"]),
    ("washer", &["bore", "outside", "thickness"]),
    ("insert", &["hole", "max_thickness"]),
    ("socket", &["flats", "outside"]),
    ("rod-end", &["bore"]),
    ("bearing", &["bore", "swing"]),
    ("bush", &["bore", "outside", "length"]),
    ("spacer", &["bore", "outside"]),
];

/// Columns of a table of which the first is less than the second.
const LESS: &[(&str, &str, &str)] = &[
    ("nut", "flats", "corners"),
    ("jam-nut", "flats", "corners"),
    ("bolt", "diameter", "close"),
    ("bolt", "diameter", "normal"),
    ("bolt", "diameter", "loose"),
    ("bolt", "tap_drill", "diameter"),
    ("thread", "tap_drill", "diameter"),
    ("washer", "bore", "outside"),
    ("socket", "flats", "outside"),
    ("bearing", "bore", "outside"),
    ("bush", "bore", "outside"),
    ("spacer", "bore", "outside"),
];

/// Columns of a table of which the first is no more than the second.
const NO_MORE: &[(&str, &str, &str)] = &[
    ("bolt", "close", "normal"),
    ("bolt", "normal", "loose"),
    ("tube", "across", "outside"),
    ("tube", "design_wall", "wall"),
    ("insert", "min_thickness", "max_thickness"),
];

/// The limits of a process, each a multiple of the thickness and, for some, a length: the larger
/// counts, so that one of them may be 0.
const LIMITS: [[Option<&str>; 2]; 4] = [
    [Some("min_hole_ratio"), Some("min_hole")],
    [Some("min_slot_ratio"), None],
    [Some("min_web_ratio"), Some("min_web")],
    [Some("gap_ratio"), Some("min_gap")],
];

/// Columns of a table whose words are known.
const WORDS: &[(&str, &str, &[&str])] = &[
    ("tube", "shape", &["round", "square", "rectangular"]),
    ("insert", "kind", &["rivet nut", "press nut", "weld nut"]),
];

/// Columns of a table without which a row is of no use, each with what to write.
const NEEDED: &[(&str, &str, &str)] = &[
    ("tube", "shape", "`round`, `square` or `rectangular`"),
    ("tube", "outside", "the outside diameter or width, such as `40 mm`"),
    ("tube", "wall", "the thickness of its wall, such as `2 mm`"),
];

/// The inside of a tube is the outside less two walls, within this, mm: sizes in inches are
/// rounded. Our choice.
const ROUNDED: f64 = 0.05;

/// The faults in the sizes of a row; `bolt` gives the diameter of a bolt, mm.
pub(super) fn faults(row: &Row, bolt: impl Fn(&str) -> Option<f64>) -> Vec<Fault> {
    let mut all = positive(row);
    // What is not a size at all is not compared.
    if all.is_empty() {
        all.extend(pairs(row));
        match row.table() {
            "process" => all.extend(limits(row)),
            "tube" => all.extend(tube(row)),
            "nut" => all.extend(nut(row, bolt)),
            "rod-end" | "bearing" => all.extend(swing(row)),
            _ => {}
        }
    }
    all.extend(words(row));
    all.extend(missing(row));
    all
}

fn missing(row: &Row) -> Vec<Fault> {
    let of = NEEDED.iter().filter(|(table, ..)| *table == row.table());
    let mut all: Vec<Fault> = of
        .filter(|(_, field, _)| row.field(field).is_none())
        .map(|&(_, field, write)| (field, TableFault::Missing { field, write }))
        .collect();
    if row.text("shape") == Some("rectangular") && row.field("across").is_none() {
        let write = "its narrower side, such as `20 mm`";
        all.push(("across", TableFault::Missing { field: "across", write }));
    }
    all
}

fn unsound(field: &'static str, is: Quantity, wanted: String) -> Fault {
    let is = is.show(Units::Millimetre);
    (field, TableFault::Unsound { field: field.to_owned(), is, wanted })
}

fn positive(row: &Row) -> Vec<Fault> {
    let of = POSITIVE.iter().filter(|(table, _)| *table == row.table());
    let fields = of.flat_map(|(_, fields)| fields.iter().copied());
    let faults = fields.filter_map(|field| {
        let is = row.quantity(field).filter(|is| is.value <= 0.0)?;
        Some(unsound(field, is, "it must be more than 0".to_owned()))
    });
    faults.collect()
}

fn pairs(row: &Row) -> Vec<Fault> {
    let all = LESS.iter().map(|pair| (pair, false)).chain(NO_MORE.iter().map(|pair| (pair, true)));
    let of = all.filter(|((table, ..), _)| *table == row.table());
    let faults = of.filter_map(|(&(_, less, more), may_equal)| {
        let (low, high) = (row.quantity(less)?, row.quantity(more)?);
        let is_sound =
            if may_equal { low.value <= high.value + 1e-9 } else { low.value < high.value };
        let words = if may_equal { "no more than" } else { "less than" };
        let wanted = format!("it must be {words} `{more}`, {}", high.show(Units::Millimetre));
        (!is_sound).then(|| unsound(less, low, wanted))
    });
    faults.collect()
}

fn limits(row: &Row) -> Vec<Fault> {
    let mut all = Vec::new();
    for fields in LIMITS {
        let given = fields.into_iter().flatten().filter_map(|f| Some((f, row.quantity(f)?)));
        let given: Vec<(&str, Quantity)> = given.collect();
        let is_none = given.iter().all(|(_, is)| is.value <= 0.0);
        let below = given.into_iter().find(|(_, is)| is.value < 0.0 || is_none);
        all.extend(below.map(|(field, is)| {
            let wanted =
                if is_none { "it must be more than 0" } else { "it must not be less than 0" };
            unsound(field, is, wanted.to_owned())
        }));
    }
    all
}

fn tube(row: &Row) -> Option<Fault> {
    let (outside, wall) = (row.quantity("outside")?, row.quantity("wall")?);
    let narrow = row.quantity("across").unwrap_or(outside);
    if 2.0 * wall.value >= narrow.value {
        let wanted = format!("it must be less than half of {}", narrow.show(Units::Millimetre));
        return Some(unsound("wall", wall, wanted));
    }
    let inside = row.quantity("inside")?;
    let wanted = outside.value - 2.0 * wall.value;
    ((inside.value - wanted).abs() > ROUNDED).then(|| {
        let wanted = Quantity::length(wanted).show(Units::Millimetre);
        unsound("inside", inside, format!("`outside` less two walls is {wanted}"))
    })
}

fn nut(row: &Row, bolt: impl Fn(&str) -> Option<f64>) -> Option<Fault> {
    let (flats, name) = (row.quantity("flats")?, row.text("bolt")?);
    let diameter = bolt(name).filter(|diameter| flats.value <= *diameter)?;
    let wanted = format!("it must be more than its `bolt`, {name}: {} mm", text(diameter, 2));
    Some(unsound("flats", flats, wanted))
}

fn swing(row: &Row) -> Option<Fault> {
    let swing = row.quantity("swing").filter(|swing| !(0.0..90.0).contains(&swing.value))?;
    let wanted = match swing.value < 0.0 {
        true => "it must be 0 or more: 0 for a bush",
        false => "it must be less than 90 deg, to either side",
    };
    Some(unsound("swing", swing, wanted.to_owned()))
}

fn words(row: &Row) -> Vec<Fault> {
    let of = WORDS.iter().filter(|(table, ..)| *table == row.table());
    let faults = of.filter_map(|&(_, field, known)| {
        let word = row.text(field).filter(|word| !known.contains(word))?.to_owned();
        Some((field, TableFault::Word { field: field.to_owned(), word, known: known.to_vec() }))
    });
    faults.collect()
}

#[cfg(test)]
mod tests {
    use crate::table::Tables;

    #[test]
    fn sizes_that_contradict_one_another_are_refused_at_their_cell() {
        for (table, row, wanted) in [
            ("process", "kerf\na,0 mm", "0 mm: `kerf` is 0 mm, but it must be more than 0"),
            (
                "process",
                "kerf,min_web_ratio,min_web\na,1 mm,0,0 mm",
                "0: `min_web_ratio` is 0, but it must be more than 0",
            ),
            (
                "process",
                "kerf,gap_ratio,min_gap\na,1 mm,1,-1 mm",
                "-1 mm: `min_gap` is -1 mm, but it must not be less than 0",
            ),
            (
                "material",
                "metal,tensile,bend_ratio\na,steel,400 MPa,0",
                "0: `bend_ratio` is 0, but it must be more than 0",
            ),
            (
                "nut",
                "flats,corners\na,13 mm,12 mm",
                "13 mm: `flats` is 13 mm, but it must be less than `corners`, 12 mm",
            ),
            (
                "nut",
                "flats,corners,bolt\na,10 mm,11.5 mm,M10",
                "10 mm: `flats` is 10 mm, but it must be more than its `bolt`, M10: 10 mm",
            ),
            ("bolt", "diameter\na,0 mm", "0 mm: `diameter` is 0 mm, but it must be more than 0"),
            (
                "bolt",
                "diameter,normal\na,10 mm,9 mm",
                "10 mm: `diameter` is 10 mm, but it must be less than `normal`, 9 mm",
            ),
            (
                "tube",
                "shape,outside,wall\na,round,20 mm,10 mm",
                "10 mm: `wall` is 10 mm, but it must be less than half of 20 mm",
            ),
            (
                "tube",
                "shape,outside,wall,inside\na,round,20 mm,2 mm,18 mm",
                "18 mm: `inside` is 18 mm, but `outside` less two walls is 16 mm",
            ),
            (
                "tube",
                "shape,outside,wall\na,oval,20 mm,2 mm",
                "oval: `shape` is `oval`, which is not known",
            ),
            ("tube", "shape,outside,wall\na,,20 mm,2 mm", ": this row has no `shape`"),
            ("tube", "outside,shape\na,20 mm,square", "a: this row has no `wall`"),
            (
                "tube",
                "shape,outside,across,wall\na,rectangular,40 mm,,2 mm",
                ": this row has no `across`",
            ),
            (
                "hole-saw",
                "diameter\na,0 mm",
                "0 mm: `diameter` is 0 mm, but it must be more than 0",
            ),
            (
                "rod-end",
                "bore,swing\na,10 mm,90 deg",
                "90 deg: `swing` is 90 deg, but it must be less than 90 deg, to either side",
            ),
            (
                "rod-end",
                "bore,swing\na,10 mm,-1 deg",
                "-1 deg: `swing` is -1 deg, but it must be 0 or more: 0 for a bush",
            ),
            (
                "washer",
                "bore,outside\na,9 mm,9 mm",
                "9 mm: `bore` is 9 mm, but it must be less than `outside`, 9 mm",
            ),
            (
                "insert",
                "min_thickness,max_thickness\na,3 mm,2 mm",
                "3 mm: `min_thickness` is 3 mm, but it must be no more than `max_thickness`, 2 mm",
            ),
            ("socket", "flats\na,0 mm", "0 mm: `flats` is 0 mm, but it must be more than 0"),
            ("socket", "flats,source\na,8 mm,", ": this row has no source"),
        ] {
            let text = format!("name,{row}\n");
            let errors = Tables::shipped().add(table, &text).err().unwrap_or_default();
            let said: Vec<String> =
                errors.iter().map(|e| format!("{}: {}", &text[e.at.clone()], e.fault)).collect();
            assert_eq!(said, [wanted], "{text}");
        }
    }

    /// 25.4 − 2 × 2.1082 mm, by hand.
    #[test]
    fn the_inside_of_a_round_tube_is_worked_out_where_it_is_left_out() {
        let inside = |text: &str| {
            let mut tables = Tables::shipped();
            assert_eq!(tables.add("tube", &format!("name,{text}\n")), Ok(vec![]), "{text}");
            tables.row("tube", "a").unwrap().quantity("inside").map(|size| size.value)
        };
        let round = [
            inside("shape,outside,wall,inside\na,round,1 in,0.083 in,").unwrap(),
            inside("shape,outside,wall\na,round,1 in,0.083 in").unwrap(),
        ];
        assert!(round.into_iter().all(|mm| (mm - 21.1836).abs() < 1e-9), "{round:?}");
        assert_eq!(inside("shape,outside,wall,inside\na,square,40 mm,2 mm,"), None);
    }

    #[test]
    fn sizes_that_agree_are_read() {
        for (table, row) in [
            ("process", "kerf,min_hole_ratio,min_hole,min_gap\na,0.3 mm,0,0.5 mm,2 mm"),
            ("nut", "flats,corners,bolt\na,17 mm,19.63 mm,M10"),
            ("tube", "shape,outside,across,wall\na,rectangular,40 mm,20 mm,2 mm"),
            ("tube", "shape,outside,wall,inside\na,round,1 in,0.083 in,0.834 in"),
            ("insert", "kind,min_thickness\na,press nut,1 mm"),
        ] {
            assert_eq!(Tables::shipped().add(table, &format!("name,{row}\n")), Ok(vec![]), "{row}");
        }
    }
}
