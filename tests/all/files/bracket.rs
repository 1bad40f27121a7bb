//! A fairing bracket that somebody drew, from its DXF file to the order, by the steps of the manual.

use crate::python;
use crate::runs::done;
use std::fs;

/// What the job that `new` prints is changed to: as the note on the drawing says.
const EDITS: [(&str, &str); 5] = [
    ("\"S235 4 mm\"", "\"5754 2 mm\""),
    ("\"S235\"", "\"5754-H111\""),
    ("thickness = \"4 mm\"", "thickness = \"2 mm\""),
    ("quantity = 1", "quantity = 2"),
    ("\"waterjet\"", "\"laser\""),
];

/// A closed spline with three holes, a bend line on its own layer and a note is nested, drawn and
/// ordered; the bend is in the flat, on the sheet, in the drawing and in the order, and the note is
/// left out, which is said.
#[test]
fn a_bracket_drawn_as_a_spline_is_nested_and_ordered() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().to_str().unwrap();
    let (drawn, said) = python::run("check_bracket.py", &[path, "draw"]);
    assert!(drawn, "{said}");
    let recipe = done(folder.path(), &["outline", "bracket.dxf"]);
    for words in [
        "# note on layer NOTES, left out: FAIRING BRACKET LH, 2 OFF, 2 mm 5754\n",
        "# opening: 2 round, 6.5 mm: (25, 25), (90, 25)\n# opening: 1 round, 9 mm: (55, 65)\n",
        "# bend line 1: from (-20, 45) to (140, 45), 160 mm\n",
        "\"OUTLINE\" = \"cut\", \"BEND LINE\" = \"bend\", \"NOTES\" = \"none\"",
    ] {
        assert!(recipe.contains(words), "{words}: {recipe}");
    }
    // The print says 90° up, as is assumed: written in the recipe it is no caution.
    let written = recipe.replace("# angle", "angle").replace("# side", "side");
    assert_ne!(written, recipe);
    fs::write(folder.path().join("bracket.toml"), written).unwrap();
    let mut job = done(folder.path(), &["new", "bracket"]);
    for (old, new) in EDITS {
        assert!(job.contains(old), "{old}: {job}");
        job = job.replace(old, new);
    }
    fs::write(folder.path().join("job.toml"), job).unwrap();
    let said = done(folder.path(), &["make", "job.toml", "--effort", "0"]);
    assert!(said.contains("2 pieces, 2 placed on 1 sheet"), "{said}");
    assert!(said.contains("findings: 0 stops, 0 cautions"), "{said}");
    let (right, said) = python::run("check_bracket.py", &[path, "check"]);
    assert!(right, "{said}");
    let drawing = folder.path().join("out/job/drawings/my-bracket.svg");
    let drawing = fs::read_to_string(drawing).unwrap();
    for words in [">90°<", ">flange-1<", ">2× Ø6.5<", ">Ø9<"] {
        assert!(drawing.contains(words), "{words}");
    }
    assert!(!drawing.contains("FAIRING"));
    // The arcs in place of the spline have no dimensions of their own.
    for words in [
        ">outline taken from file<",
        ">bracket.dxf<",
        ">arcs deviate from its curves by no more than 0.0",
        ">check: ",
    ] {
        assert!(drawing.contains(words), "{words}");
    }
    let radii = [">R", "inside R"].map(|words| drawing.matches(words).count());
    assert_eq!(radii.iter().sum::<usize>(), 1, "that of the bend: {drawing}");
    let said = done(folder.path(), &["sent", "job.toml", "--to", "laser cutter"]);
    assert!(said.contains("2 pieces"), "{said}");
}
