//! A draughtsman's review of a drawing: where to sign, where holes are on the formed part, how a
//! cope is laid out, which edge is welded to what.

use crate::files::drawn::text;
use crate::files::shop_drawings::solve;
use platewright::diag::Sources;
use platewright::drawings;
use platewright::job;
use platewright::job::Shelf;
use platewright::num::Angle;
use platewright::paper::Format;
use platewright::paper::Pages;
use platewright::table::Tables;

/// A job of one part in steel of a thickness.
fn one(recipe: &str, thickness: &str, given: &str) -> String {
    format!(
        "process = \"laser\"\n\n[[sheet]]\nname = \"steel\"\nmaterial = \"S235\"\n\
         thickness = \"{thickness}\"\nstock = []\n\n\
         [[part]]\nrecipe = \"{recipe}\"\nname = \"one\"\nsheet = \"steel\"\ngiven = {{ {given} }}\n"
    )
}

fn drawing(job: &str) -> Pages {
    own(job, "")
}

fn own(job: &str, recipe: &str) -> Pages {
    let (job, all) = solve(job, recipe);
    drawings::shop_drawing(&job, &all, &all[0], Format::A4)
}

/// The words of a drawing in one line.
fn said(drawing: &Pages) -> String {
    text(drawing).replace('\n', " ")
}

#[test]
fn every_sheet_has_room_to_sign_and_names_who_the_job_says() {
    let plain = one("tab", "4 mm", "");
    let filled =
        "[drawing]\nowner = \"Vineyard shop\"\nnumber = \"VC\"\ndrawn = \"A. B.\"\n\n[[sheet]]";
    for (job, names) in [
        (plain.clone(), &[][..]),
        (plain.replacen("[[sheet]]", filled, 1), &["Vineyard shop", "VC-one", "A. B."][..]),
    ] {
        let text = text(&drawing(&job));
        let lines: Vec<&str> = text.lines().collect();
        for label in ["Part drawing", "Drawn", "Checked", "Approved"] {
            assert_eq!(lines.iter().filter(|line| **line == label).count(), 1, "{label}\n{text}");
        }
        for name in ["Vineyard shop", "VC-one", "A. B."] {
            assert_eq!(lines.contains(&name), names.contains(&name), "{name}\n{text}");
        }
    }
}

#[test]
fn a_wrong_projection_and_a_wrong_name_are_refused() {
    for (line, wanted) in
        [("projection = \"second\"", "`first` or `third`"), ("signed = \"x\"", "signed")]
    {
        let text = one("tab", "4 mm", "").replacen(
            "[[sheet]]",
            &format!("[drawing]\n{line}\n\n[[sheet]]"),
            1,
        );
        let tables = Tables::shipped();
        let mut sources = Sources::default();
        let source = sources.add("job.toml", &text);
        let found = job::read("job", source, &text, &Shelf::shipped(&tables), &mut sources);
        let found = found.expect_err("it is refused");
        assert!(found.iter().any(|f| f.headline.contains(wanted)), "{line}: {found:#?}");
    }
}

/// The recipe has the distance of its holes from the outside corner.
#[test]
fn holes_of_a_flange_are_placed_from_the_outside_corner() {
    for angle in ["45 deg", "90 deg"] {
        let given = format!(
            "angle = \"{angle}\", gauge = \"28 mm\", base = \"45 mm\", leg = \"47 mm\", bolt = \"M8\", base_holes = 1, leg_holes = 1"
        );
        let said = said(&drawing(&one("angle", "4 mm", &given)));
        for wanted in ["from outside of bend to to centre", "A base leg 28", "B leg base 28"] {
            assert!(said.contains(wanted), "{angle}: {wanted}\n{said}");
        }
    }
}

#[test]
fn a_gauge_stands_beside_the_thickness_it_stands_for() {
    let text = text(&drawing(&one("tab", "11 ga", "")));
    assert!(text.lines().any(|line| line == "3.04 (11 ga)"), "{text}");
}

/// The numbers of a line of words behind some of them, until they end.
fn numbers(said: &str, behind: &str) -> Vec<f64> {
    let from = said.find(behind).unwrap_or_else(|| panic!("{behind}\n{said}")) + behind.len();
    said[from..].split_whitespace().map_while(|word| word.parse().ok()).collect()
}

/// The curve of a slanting tube from the drawing's data alone: each of its points is on the surface
/// of the tube somewhere in the thickness, within the rounding of the figures.
#[test]
fn a_cope_at_a_slant_can_be_laid_out_from_the_drawing() {
    let given = "main = \"38 mm\", branch = \"38 mm\", angle = \"105 deg\", leg_main = \"70 mm\", \
                 post = \"60.3 mm\", post_angle = \"75 deg\", clip = \"0 mm\"";
    let said = said(&drawing(&one("gusset", "4 mm", given)));
    for wanted in ["branch to tube Ø38", "main to tube Ø38", "tube to tube: 105°"] {
        assert!(said.contains(wanted), "{wanted}\n{said}");
    }
    assert!(said.contains("its axis at 75° to the sheet"), "{said}");
    let number = |behind: &str| {
        let word = said.split(behind).nth(1).and_then(|rest| rest.split([',', ' ', '°']).next());
        word.and_then(|word| word.parse::<f64>().ok()).unwrap_or_else(|| panic!("{behind}\n{said}"))
    };
    let through = said.split("through X ").nth(1).unwrap_or_default();
    let y = through.split(", Y ").nth(1).and_then(|rest| rest.split(' ').next());
    let y: f64 = y.and_then(|word| word.parse().ok()).unwrap_or_else(|| panic!("{said}"));
    let (x, towards) = (number("through X "), 0.0);
    assert!(said.contains("rising to the right"), "{said}");
    let (lean, towards) = (Angle::from_degrees(75.0), Angle::from_degrees(towards));
    let axis = [lean.cos() * towards.cos(), lean.cos() * towards.sin(), lean.sin()];
    let off = |at: [f64; 3]| {
        let from = [at[0] - x, at[1] - y, at[2]];
        let on: f64 = (0..3).map(|i| from[i] * axis[i]).sum();
        (from.iter().map(|x| x * x).sum::<f64>() - on * on).sqrt()
    };
    let points = numbers(&said, "Points of the curve, X, Y from datum point X Y ");
    let points: Vec<&[f64]> = points.chunks_exact(3).collect();
    assert!(points.len() >= 5, "{said}");
    for (i, point) in points.iter().enumerate() {
        assert_eq!(point[0] as usize, i + 1);
        let gaps = (0..=40).map(|k| off([point[1], point[2], f64::from(k) / 10.0 - 2.0]) - 30.15);
        let nearest = gaps.map(f64::abs).fold(f64::INFINITY, f64::min);
        assert!(nearest < 0.03, "point {}: {nearest} mm off the tube\n{said}", i + 1);
    }
}

/// Sixty holes in a plate of 260: with both tables beside it most would have no letter.
#[test]
fn many_close_holes_have_a_sheet_for_themselves() {
    let plate = include_str!("../../data/trade/sixty-holes.toml");
    let drawing = own(&one("own", "6 mm", ""), plate);
    let said = said(&drawing);
    assert_eq!(drawing.pages.len(), 2, "{said}");
    let unlettered = said.split("Not lettered in the flat: ").nth(1).unwrap_or_default();
    let unlettered = unlettered.split(": see").next().unwrap_or_default();
    assert!(unlettered.len() < 40, "{unlettered}");
    assert!(!said.contains("No room"), "{said}");
    for heading in ["Hole centres, X, Y from datum", "Hole sizes"] {
        assert!(text_of(&drawing, 1).contains(heading), "{heading}\n{said}");
    }
}

/// The text of one page.
fn text_of(drawing: &Pages, page: usize) -> String {
    text(&Pages { pages: vec![drawing.pages[page].clone()], ..drawing.clone() })
}

/// The section that governs: where it is, what acts there, the allowable value of each, and by how
/// much that is divided. The clause is beside its bar.
#[test]
fn a_load_names_the_section_that_governs() {
    let load = "\n[[load]]\nname = \"pull\"\npart = \"one\"\nhole = \"bolt\"\nforce = \"0.1 kN\"\n\
                direction = \"pull\"\n";
    let given = "bolt = \"M8\", offset = \"30 mm\", angle = \"60 deg\"";
    let text = said(&drawing(&format!("{}{load}", one("tab-joggle", "4 mm", given))));
    let (_, governs) = text.split_once("Governs at ").expect("the section is named");
    for words in ["bend “step”", "X ", "Y ", "formed part", "N·m of", "Ω 1.67"] {
        assert!(governs.contains(words), "{words}: {governs}");
    }
    assert!(text.contains("H3-6"), "{text}");
}
