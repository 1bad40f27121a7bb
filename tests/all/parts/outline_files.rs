//! Plates of outline files, and quantities of nothing, from job to lists.

use platewright::diag::Finding;
use platewright::diag::Sources;
use platewright::job;
use platewright::job::Shelf;
use platewright::make;
use platewright::make::Made;
use platewright::part::HoleSize;
use platewright::place::Search;
use platewright::recipe;
use platewright::solve;
use platewright::solve::Solved;
use platewright::table::Tables;
use platewright::write::NamedFile;

const OWN: &str = "about = \"x\"\n[face.plate]\nblank = [\n\
    { add = \"outline\", file = \"plate.dxf\" },\n\
    { cut = \"disc\", radius = \"4 mm\", at = [\"90 mm\", \"60 mm\"] },\n]\n";

/// A plate of 120 by 80 with two holes of 9, one of 12, a slot of 8 by 28 and a square of 20;
/// `CODE` is replaced by the unit code of its header.
const PLATE: &str = "0 SECTION 2 HEADER 9 $INSUNITS 70 CODE 0 ENDSEC 0 SECTION 2 ENTITIES \
    0 LWPOLYLINE 8 0 70 1 10 0 20 0 10 120 20 0 10 120 20 80 10 0 20 80 \
    0 CIRCLE 8 0 10 20 20 20 40 4.5 0 CIRCLE 8 0 10 100 20 20 40 4.5 \
    0 CIRCLE 8 0 10 60 20 60 40 6 \
    0 LWPOLYLINE 8 0 70 1 10 30 20 30 42 0 10 50 20 30 42 1 10 50 20 38 42 0 10 30 20 38 42 1 \
    0 LWPOLYLINE 8 0 70 1 10 65 20 25 10 85 20 25 10 85 20 45 10 65 20 45 \
    0 ENDSEC 0 EOF";

fn job(part: &str) -> String {
    format!(
        "process = \"laser\"\ncoating = \"powder\"\n[[sheet]]\nname = \"steel\"\n\
         material = \"S235\"\nthickness = \"3 mm\"\nstock = [ {{ size = [\"500 mm\", \"400 mm\"] }} ]\n{part}"
    )
}

type Outcome = Result<(Vec<Solved>, Made), Vec<Finding>>;

fn make(text: &str, code: &str) -> Outcome {
    let tables = Tables::shipped();
    let shipped = |name: &str| {
        let (_, text) = recipe::SHIPPED.iter().find(|(shipped, _)| *shipped == name)?;
        Some((format!("{name}.toml"), (*text).to_owned()))
    };
    let recipe = |name: &str| match name {
        "own" => Some(("own.toml".to_owned(), OWN.to_owned())),
        // The cap in both hands: its mark distinguishes them.
        "caps" => shipped("end-cap").map(|(_, text)| {
            let marks =
                "marks = [ { text = \"{name}\", at = [\"0\", \"-15 mm\"], height = \"2 mm\" } ]";
            ("caps.toml".to_owned(), format!("mirror = true\n{text}{marks}\n"))
        }),
        _ => shipped(name),
    };
    let drawing = PLATE.replace("CODE", code).replace(' ', "\n");
    let shelf = Shelf {
        drawing: &|name| (name == "plate.dxf").then(|| drawing.clone().into_bytes()),
        file: &|_| None,
        recipe: &recipe,
        names: &Vec::new,
        tables: &tables,
        book: &|_| Ok(None),
    };
    let mut sources = Sources::default();
    let source = sources.add("job.toml", text);
    let read = job::read("job", source, text, &shelf, &mut sources)?;
    let (solved, found) = solve::solve(&read, &shelf, &mut sources, &|| ())?;
    let made = make::make(&read, &solved, found, &sources, &Search::none())?;
    Ok((solved, made))
}

const ONE: &str = "[[part]]\nrecipe = \"own\"\nname = \"own\"\nsheet = \"steel\"\n";

/// The holes in a row by size, the slot behind them; an opening that a step cuts or that is neither
/// round nor a slot stays an opening.
#[test]
fn round_holes_and_slots_of_an_outline_file_are_holes() {
    let (solved, made) = make(&job(ONE), "4").unwrap();
    let holes = &solved[0].part.faces[0].holes;
    let sizes: Vec<(&str, HoleSize)> = holes.iter().map(|h| (h.name.as_str(), h.size)).collect();
    let round = |diameter| HoleSize::Round { diameter };
    let wanted = [
        ("plate.dxf 1", round(9.0)),
        ("plate.dxf 2", round(9.0)),
        ("plate.dxf 3", round(12.0)),
        ("plate.dxf 4", HoleSize::Slot { width: 8.0, length: 28.0 }),
    ];
    assert_eq!(sizes, wanted);
    assert!((holes[0].at.x - 20.0).abs() < 1e-9 && (holes[3].at.y - 34.0).abs() < 1e-9);
    assert_eq!((solved[0].flat.gaps().len(), solved[0].flat.region.holes().len()), (2, 6));
    assert!(made.findings.is_empty(), "{:?}", made.findings);
}

#[test]
fn a_part_larger_than_every_sheet_asks_for_the_units_of_its_file() {
    let found = make(&job(ONE), "6").unwrap_err();
    let finding = found.iter().find(|f| f.code == "too-large").unwrap();
    let help = finding.help.as_deref().unwrap();
    assert!(help.starts_with("does the header of `plate.dxf` say metres by mistake?"), "{help}");
}

fn text(made: &Made, name: &str) -> String {
    let is = |file: &&NamedFile| file.name == name;
    let file = made.files.iter().find(is).unwrap_or_else(|| panic!("there is no {name}"));
    String::from_utf8(file.bytes.clone()).unwrap()
}

#[test]
fn a_quantity_of_nothing_makes_no_file_and_no_row() {
    let part = "[[part]]\nrecipe = \"end-cap\"\nname = \"cap\"\nquantity = 3\nsheet = \"steel\"\n\
        [[part]]\nrecipe = \"tab\"\nname = \"nil\"\nquantity = 0\nsheet = \"steel\"\n\
        [[link]]\nname = \"nil-link\"\nquantity = 0\npins = \"620 mm\"\nrod_end = \"M10\"\n\
        [[link]]\nname = \"drag\"\npins = \"620 mm\"\nrod_end = \"M10\"\n\
        [[tube]]\nname = \"nil-tube\"\nquantity = 0\ntube = \"38 x 2\"\nlength = \"540 mm\"\n";
    let (_, made) = make(&job(part), "4").unwrap();
    assert!(!made.files.iter().any(|file| file.name.contains("nil")));
    for list in ["parts.csv", "hardware.csv", "tubes.csv", "masking.csv", "report.json"] {
        assert!(!text(&made, list).contains("nil"), "{list}");
    }
}

/// Three caps with a nut each; a link has a thread in each of its bungs.
#[test]
fn threads_are_listed_for_plugging_with_their_sizes() {
    let part = "[[part]]\nrecipe = \"end-cap\"\nname = \"cap\"\nquantity = 3\nsheet = \"steel\"\n\
        [[link]]\nname = \"drag\"\npins = \"620 mm\"\nrod_end = \"M10\"\n";
    let (_, made) = make(&job(part), "4").unwrap();
    assert_eq!(
        text(&made, "masking.csv"),
        "cover,part,place,what,diameter_mm,quantity\r\n\
         plug,cap,seat,captured M10 nut,10,3\r\n\
         plug,drag,\"bung, first end\",\"thread M10x1.5, right-hand\",10,1\r\n\
         plug,drag,\"bung, second end\",\"thread M10x1.5, left-hand\",10,1\r\n"
    );
    let bare = job(part).replace("coating = \"powder\"\n", "");
    let (_, made) = make(&bare, "4").unwrap();
    assert!(!made.files.iter().any(|file| file.name == "masking.csv"));
}

#[test]
fn the_nut_of_the_left_hand_is_plugged_as_well() {
    let part = "[[part]]\nrecipe = \"caps\"\nname = \"cap\"\nquantity = 2\nsheet = \"steel\"\n";
    let (_, made) = make(&job(part), "4").unwrap();
    assert_eq!(
        text(&made, "masking.csv"),
        "cover,part,place,what,diameter_mm,quantity\r\n\
         plug,cap-right,seat,captured M10 nut,10,2\r\n\
         plug,cap-left,seat,captured M10 nut,10,2\r\n"
    );
    let nuts = text(&made, "hardware.csv");
    assert!(
        nuts.lines().any(|row| row.contains("nut") && row.contains("M10") && row.contains('4')),
        "{nuts}"
    );
}
