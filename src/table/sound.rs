//! Figures of a row that nothing has: no metal, no rod end, no tube.
//!
//! A slip of a digit or a unit in a table of one's own would pass through every calculation, so
//! figures beyond these limits are refused. Densities and elastic moduli are general data, with
//! room to either side; the other limits are our choice.

mod sizes;

use crate::diag::nearest;
use crate::num::text;
use crate::quantity::Quantity;
use crate::table::fault::TableFault;
use crate::table::row::Row;

/// The metals of the table `gauge`: density in kg/m³ and modulus of elasticity in GPa, from and to.
const METALS: [(&str, [f64; 2], [f64; 2]); 3] = [
    ("steel", [7600.0, 8200.0], [180.0, 220.0]),
    ("stainless", [7500.0, 8200.0], [180.0, 220.0]),
    ("aluminium", [2500.0, 3000.0], [60.0, 80.0]),
];

/// Any other metal, from magnesium to tungsten.
const ANY: ([f64; 2], [f64; 2]) = ([1700.0, 20_000.0], [40.0, 420.0]);

/// Tensile strength of any metal that is bent or welded, MPa.
const STRENGTH: [f64; 2] = [40.0, 2500.0];

/// The bore of a rod end over the diameter of its bolt: 25 mm takes M24.
const BORE: [f64; 2] = [0.99, 1.1];

/// The width of its ball over the bore: 1.6 is usual, wide aerospace balls reach 2.4, a bush as wide as
/// a tube 4.
const BALL: [f64; 2] = [0.5, 10.0];

/// The shank of a rod end over the nominal diameter of its thread: a measured one is smaller, by up
/// to a thirtieth at M5 (ISO 965-2, class 6g, from memory).
const SHANK: [f64; 2] = [0.95, 1.02];

/// The columns of a row that cannot be right, each with why; `diameter` gives that of a row of a
/// table, mm.
pub(super) fn faults(
    row: &Row,
    diameter: impl Fn(&str, &str) -> Option<f64>,
) -> Vec<(&'static str, TableFault)> {
    let mut all = sizes::faults(row, |bolt| diameter("bolt", bolt));
    match row.table() {
        "material" => all.extend(metal(row)),
        "rod-end" => {
            all.extend(rod_end(row, |bolt| diameter("bolt", bolt)));
            all.extend(shank(row, |thread| diameter("thread", thread)));
        }
        _ => {}
    }
    all
}

fn value(row: &Row, field: &str) -> Option<f64> {
    row.quantity(field).map(|quantity| quantity.value)
}

fn metal(row: &Row) -> Vec<(&'static str, TableFault)> {
    let mut all = Vec::new();
    let word = row.text("metal").unwrap_or_default();
    let of = METALS.iter().find(|(name, ..)| *name == word);
    if of.is_none()
        && let Some(near) = nearest(word, METALS.map(|(name, ..)| name))
    {
        let (word, nearest) = (word.to_owned(), near.to_owned());
        all.push(("metal", TableFault::Metal { word, nearest }));
    }
    let (density, elastic) = of.map_or(ANY, |(_, density, elastic)| (*density, *elastic));
    let kind = if of.is_some() { word } else { "a metal" };
    let ranges = [
        ("density", density, 1e-9, "kg/m³", kind),
        ("elastic", elastic, 1e3, "GPa", kind),
        ("tensile", STRENGTH, 1.0, "MPa", "a metal"),
    ];
    for (field, [min, max], unit, word, kind) in ranges {
        let got = value(row, field).map(|got| got / unit);
        if let Some(got) = got.filter(|got| !(min..=max).contains(got)) {
            let is = format!("{} {word}", text(got, 3));
            let wanted = format!("{kind} has {} to {} {word}", text(min, 0), text(max, 0));
            all.push((field, TableFault::Unsound { field: field.to_owned(), is, wanted }));
        }
    }
    for (low, high) in [
        ("yield", "tensile"),
        ("welded_yield", "welded_tensile"),
        ("welded_yield", "yield"),
        ("welded_tensile", "tensile"),
    ] {
        let (Some(less), Some(more)) = (value(row, low), value(row, high)) else { continue };
        if less > more * (1.0 + 1e-9) {
            let is = format!("{} MPa", text(less, 1));
            let wanted = format!("it must be no more than `{high}`, {} MPa", text(more, 1));
            all.push((low, TableFault::Unsound { field: low.to_owned(), is, wanted }));
        }
    }
    all
}

fn rod_end(row: &Row, bolt: impl Fn(&str) -> Option<f64>) -> Vec<(&'static str, TableFault)> {
    let mut all = Vec::new();
    let Some(bore) = value(row, "bore") else { return all };
    let mut unsound = |field: &'static str, got: f64, wanted: String| {
        let is = format!("{} mm", text(got, 2));
        all.push((field, TableFault::Unsound { field: field.to_owned(), is, wanted }));
    };
    let name = row.text("bolt").unwrap_or_default();
    if let Some(diameter) = bolt(name)
        && !(BORE[0]..=BORE[1]).contains(&(bore / diameter))
    {
        let wanted = format!("its `bolt`, {name}, is {} mm", text(diameter, 2));
        unsound("bore", bore, wanted);
    }
    if let Some(ball) =
        value(row, "ball_width").filter(|w| !(BALL[0]..=BALL[1]).contains(&(w / bore)))
    {
        let [min, max] = BALL.map(|ratio| text(ratio, 1));
        unsound(
            "ball_width",
            ball,
            format!("it must be {min} to {max} times the bore, {} mm", text(bore, 2)),
        );
    }
    if let Some(head) = value(row, "head").filter(|head| *head <= bore) {
        unsound("head", head, format!("it must be more than the bore, {} mm", text(bore, 2)));
    }
    all
}

/// The shank of a rod end: its thread ends before the eye, and is as thick as it.
fn shank(row: &Row, thread: impl Fn(&str) -> Option<f64>) -> Vec<(&'static str, TableFault)> {
    let mut all = Vec::new();
    let mut unsound = |field: &'static str, got: f64, wanted: String| {
        let is = format!("{} mm", text(got, 2));
        all.push((field, TableFault::Unsound { field: field.to_owned(), is, wanted }));
    };
    if let (Some(threaded), Some(length)) = (value(row, "threaded"), value(row, "length")) {
        // The smaller eye where two are given; the bore where none is.
        let size = |field: &'static str| Some((value(row, field)?, field));
        let eyes = ["head", "head_listed"].into_iter().filter_map(size);
        let eye = eyes.min_by(|a, b| a.0.total_cmp(&b.0)).or_else(|| size("bore"));
        let (eye, field) = eye.unwrap_or((0.0, "bore"));
        let most = length - eye / 2.0;
        if threaded > most + 1e-9 {
            let most = text(most, 2);
            let wanted = format!("the shank is {most} mm long: `length` less half of `{field}`");
            unsound("threaded", threaded, wanted);
        }
    }
    let name = row.text("thread").unwrap_or_default();
    if let (Some(shank), Some(diameter)) = (value(row, "shank"), thread(name))
        && !(SHANK[0]..=SHANK[1]).contains(&(shank / diameter))
    {
        unsound("shank", shank, format!("its `thread`, {name}, is {} mm", text(diameter, 2)));
    }
    all
}

/// A row with what follows from its other cells: the inside of round tube.
pub(super) fn filled(row: Row) -> Row {
    let is_round = row.table() == "tube" && row.text("shape") == Some("round");
    let sizes = (value(&row, "outside"), value(&row, "wall"));
    let (true, None, (Some(outside), Some(wall))) = (is_round, row.field("inside"), sizes) else {
        return row;
    };
    // Walls that leave no bore are refused.
    let inside = outside - 2.0 * wall;
    if inside <= 0.0 {
        return row;
    }
    row.with(&[("inside".to_owned(), Quantity::length(inside))])
}

#[cfg(test)]
mod tests {
    use crate::table::Tables;

    fn said(table: &str, text: &str) -> Vec<(String, String)> {
        let errors = Tables::shipped().add(table, text).err().unwrap_or_default();
        errors.into_iter().map(|e| (text[e.at].to_owned(), e.fault.to_string())).collect()
    }

    #[test]
    fn figures_that_no_metal_has_are_refused_with_their_place() {
        let head = "name,metal,density,yield,tensile,elastic\n";
        let row = |cells: &str| said("material", &format!("{head}{cells}\n"));
        assert_eq!(row("A,steel,7850 kg/m3,235 MPa,360 MPa,210 GPa"), []);
        assert_eq!(row("B,titanium,4430 kg/m3,830 MPa,900 MPa,114 GPa"), []);
        let one = |cells: &str| match row(cells).as_slice() {
            [(at, words)] => format!("{at}: {words}"),
            all => panic!("{cells}: {all:?}"),
        };
        for (cells, words) in [
            (
                "A,steel,7850 kg/m3,400 MPa,360 MPa,210 GPa",
                "400 MPa: `yield` is 400 MPa, but it must be no more than `tensile`, 360 MPa",
            ),
            (
                "A,steel,785 kg/m3,235 MPa,360 MPa,210 GPa",
                "785 kg/m3: `density` is 785 kg/m³, but steel has 7600 to 8200 kg/m³",
            ),
            (
                "A,aluminium,2700 kg/m3,235 MPa,360 MPa,210 GPa",
                "210 GPa: `elastic` is 210 GPa, but aluminium has 60 to 80 GPa",
            ),
            ("A,stel,7850 kg/m3,235 MPa,360 MPa,210 GPa", "stel: `stel` is not a metal"),
            (
                "A,brass,8500 kg/m3,2 MPa,36 MPa,100 GPa",
                "36 MPa: `tensile` is 36 MPa, but a metal has 40 to 2500 MPa",
            ),
        ] {
            assert_eq!(one(cells), words);
        }
    }

    #[test]
    fn a_rod_end_whose_bore_is_not_that_of_its_bolt_is_refused() {
        let head = "name,bore,ball_width,head,bolt\n";
        let row = |cells: &str| said("rod-end", &format!("{head}{cells}\n"));
        assert_eq!(row("mine,10 mm,14 mm,28 mm,M10"), []);
        let words =
            |cells: &str| row(cells).into_iter().map(|(_, words)| words).collect::<Vec<_>>();
        assert_eq!(
            words("mine,12 mm,16 mm,32 mm,M10"),
            ["`bore` is 12 mm, but its `bolt`, M10, is 10 mm"]
        );
        assert_eq!(
            words("mine,10 mm,140 mm,9 mm,M10"),
            [
                "`ball_width` is 140 mm, but it must be 0.5 to 10 times the bore, 10 mm",
                "`head` is 9 mm, but it must be more than the bore, 10 mm"
            ]
        );
    }

    #[test]
    fn a_shank_that_no_rod_end_has_is_refused() {
        let head = "name,bore,head,shank,length,threaded,thread\n";
        let words = |cells: &str| -> Vec<String> {
            let said = said("rod-end", &format!("{head}{cells}\n"));
            said.into_iter().map(|(at, words)| format!("{at}: {words}")).collect()
        };
        for sound in [
            "mine,12 mm,33 mm,12 mm,55 mm,33 mm,M12x1.75",
            "mine,12 mm,33 mm,11.8 mm,55 mm,38.5 mm,M12x1.75",
            "mine,12 mm,,,55 mm,49 mm,",
            "mine,12 mm,33 mm,12 mm,55 mm,33 mm,M12x1.75 LH",
        ] {
            assert_eq!(words(sound), [""; 0], "{sound}");
        }
        let wanted = "the shank is 38.5 mm long: `length` less half of `head`";
        assert_eq!(
            words("mine,12 mm,33 mm,12 mm,55 mm,70 mm,M12x1.75"),
            [format!("70 mm: `threaded` is 70 mm, but {wanted}")]
        );
        assert_eq!(
            words("mine,12 mm,33 mm,12 mm,55 mm,33 mm,M10x1.5"),
            ["12 mm: `shank` is 12 mm, but its `thread`, M10x1.5, is 10 mm"]
        );
    }
}
