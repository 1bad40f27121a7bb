//! Pictures of sheets: every piece and keep-out has its number or name, every sheet all its sizes.

use crate::files::views::corners;
use crate::own;
use platewright::make::Made;

/// A remnant of 600 × 400 mm that lacks a corner of 250 × 180, with a burnt spot too small for its name.
fn made(parts: &str) -> Made {
    let text = format!(
        "process = \"laser\"\npaper = \"A4\"\ngap = \"6 mm\"\n\
         [[sheet]]\nname = \"steel\"\nmaterial = \"S235\"\nthickness = \"3 mm\"\n\
         stock = [ {{ corners = [[\"0 mm\", \"0 mm\"], [\"600 mm\", \"0 mm\"], [\"600 mm\", \"220 mm\"], \
         [\"350 mm\", \"220 mm\"], [\"350 mm\", \"400 mm\"], [\"0 mm\", \"400 mm\"]], \
         keep_out = [ {{ name = \"torch burn\", at = [\"400 mm\", \"120 mm\"], diameter = \"40 mm\" }} ] }} ]\n\
         {parts}"
    );
    own::make("", &text).unwrap_or_else(|found| panic!("{found:#?}"))
}

/// The pages of the picture of the sheet.
fn picture(made: &Made) -> String {
    let file = made.files.iter().find(|file| file.name.ends_with("-01-picture.svg"));
    String::from_utf8(file.expect("it has a picture").bytes.clone()).unwrap()
}

/// The report.
fn report(made: &Made) -> String {
    let file = made.files.iter().find(|file| file.name == "report.html");
    String::from_utf8(file.expect("it has a report").bytes.clone()).unwrap()
}

/// The texts of a picture, each with its element.
fn texts(svg: &str) -> Vec<(&str, &str)> {
    let of = |piece| -> Option<(&str, &str)> {
        let piece: &str = piece;
        let (element, rest) = piece.split_once('>')?;
        Some((rest.split_once("</text>")?.0, element))
    };
    svg.split("<text").skip(1).filter_map(of).collect()
}

#[test]
fn a_remnant_has_all_its_sizes_and_a_small_keep_out_its_name() {
    let made = made("[[part]]\nrecipe = \"tab\"\nname = \"tab\"\nsheet = \"steel\"\n");
    let svg = picture(&made);
    let said = texts(&svg);
    let all = said.iter().map(|(text, _)| *text).collect::<Vec<_>>().join(" ");
    assert!(all.contains("Remnant not given: the sheet is not rectangular."), "{all}");
    assert!(report(&made).contains("not given: the sheet is not rectangular"));
    for (size, times) in [("600", 1), ("400", 1), ("250", 1), ("180", 1)] {
        assert_eq!(
            said.iter().filter(|(text, _)| *text == size).count(),
            times,
            "{size}: {said:?}"
        );
    }
    // Beside it, and in the row of the key.
    let burns = said.iter().filter(|(text, _)| *text == "torch burn").count();
    assert_eq!(burns, 2, "{said:?}");
    // The picture of the report has no room for it: the legend alone names it.
    let report = report(&made);
    assert!(
        report.contains("<li>hatched: torch burn</li>") && !report.contains(">torch burn</text>")
    );
}

/// A spacer.
const BIT: &str = "about = \"Spacer\"\n[inputs]\n\
    wide = { kind = \"length\", default = \"14 mm\", about = \"width\" }\n\
    [face.plate]\nblank = [ { add = \"rectangle\", width = \"wide\", height = \"10 mm\" } ]\n";

/// Eight spacers too small for a number at the scale of the sheet: those at the edge of their group have
/// theirs beside them on the first page, upright and apart, and the rest is shown larger on one more.
#[test]
fn small_pieces_have_their_numbers_beside_them() {
    let job = "process = \"laser\"\npaper = \"A4\"\ngap = \"12 mm\"\n\
        [[sheet]]\nname = \"steel\"\nmaterial = \"S235\"\nthickness = \"3 mm\"\n\
        stock = [ { size = [\"2500 mm\", \"1250 mm\"] } ]\n\
        [[part]]\nrecipe = \"own\"\nname = \"bit\"\nsheet = \"steel\"\nquantity = 8\n";
    let made = own::make(BIT, job).unwrap_or_else(|found| panic!("{found:#?}"));
    let svg = picture(&made);
    let pages: Vec<&str> = svg.split("class=\"page\"").skip(1).collect();
    assert!(pages.len() <= 2, "{} pages", pages.len());
    let numbers = |page: &str| -> Vec<[[f64; 2]; 4]> {
        let ones = texts(page).into_iter();
        let ones = ones.filter(|(text, element)| *text == "1" && element.contains("heavy"));
        let boxes = ones.map(|(_, element)| {
            assert!(!element.contains("rotate"), "{element}");
            corners(element)
        });
        boxes.collect()
    };
    // The picture of the report has them as well.
    let leaders = report(&made).matches("<circle class=\"dot\"").count();
    assert!(leaders >= 4, "{leaders}");
    // One of them is in the legend.
    let first = numbers(pages[0]);
    assert!(first.len() > 4, "{first:?}");
    let second = pages.get(1).map_or(0, |second| numbers(second).len());
    assert!(first.len() - 1 + second >= 8, "{} and {second}", first.len() - 1);
    let apart = |a: &[[f64; 2]; 4], b: &[[f64; 2]; 4], k: usize| {
        let (low, high) = (
            |of: &[[f64; 2]; 4]| of[0][k].min(of[2][k]),
            |of: &[[f64; 2]; 4]| of[0][k].max(of[2][k]),
        );
        high(a) < low(b) || high(b) < low(a)
    };
    for (i, a) in first.iter().enumerate() {
        assert!(first[..i].iter().all(|b| (0..2).any(|k| apart(a, b, k))), "{a:?}");
    }
}

/// Three sheets with one plate each are the same but for their names; a plate that is called as the first of
/// them keeps its name on all.
#[test]
fn equal_sheets_differ_by_their_names_alone() {
    for part in ["plate", "steel-01"] {
        let text = format!(
            "process = \"laser\"\n[[sheet]]\nname = \"steel\"\nmaterial = \"S235\"\nthickness = \"3 mm\"\n\
             stock = [ {{ size = [\"220 mm\", \"160 mm\"] }} ]\n\
             [[part]]\nrecipe = \"base-plate\"\nname = \"{part}\"\nsheet = \"steel\"\nquantity = 3\n\
             given = {{ width = \"180 mm\", height = \"120 mm\" }}\n"
        );
        let made = own::make("", &text).unwrap_or_else(|found| panic!("{found:#?}"));
        let sheet = |i: usize, end: &str| {
            let name = format!("sheets/steel-0{i}.{end}");
            let file = made.files.iter().find(|file| file.name == name);
            let file = file.unwrap_or_else(|| panic!("there is no {name}"));
            String::from_utf8(file.bytes.clone()).unwrap()
        };
        for end in ["dxf", "svg"] {
            let first = sheet(1, end).replace("steel-01: ", "steel-0N: ");
            for i in [2, 3] {
                let own = sheet(i, end);
                assert!(own.contains(&format!("steel-0{i}: ")), "{part}: {end} {i}");
                assert_eq!(own.matches(part).count(), 1, "{part}: its name on sheet {i}, {end}");
                let title = |text: String, i: usize| {
                    text.replace(&format!("<title>steel-0{i}<"), "<title>steel-0N<")
                };
                let own = title(own.replace(&format!("steel-0{i}: "), "steel-0N: "), i);
                assert_eq!(own, title(first.clone(), 1), "{part}: {end} {i}");
            }
        }
    }
}
