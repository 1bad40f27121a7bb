//! `platewright outline`: what it says of files, and the recipe that it prints.

use crate::runs::command;
use crate::runs::done;
use crate::runs::run;
use std::fs;
use std::path::Path;

const BRACKET: &str = "parts/outlines/fairing-bracket.dxf";

fn bracket() -> Vec<u8> {
    fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join(BRACKET)).unwrap()
}

/// From a drawing with a spline, three holes, a bend line and a note to a flat, by what is
/// printed alone.
#[test]
fn what_it_prints_is_a_recipe_that_makes_the_part() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("bracket.dxf"), bracket()).unwrap();
    let arguments = ["outline", "bracket.dxf", "--picture", "seen.svg"];
    let output = command(folder.path(), &arguments).output().unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    assert!(output.status.success(), "{text}");
    for words in [
        "# units: its header says millimetres",
        "# opening: 2 round, 6.6 mm: ",
        "# opening: 1 round, 9 mm: (60, 62)",
        "# bend line 1: from (0, 34) to (120, 34), 120 mm",
        "layers = { \"CUT\" = \"cut\", \"BEND\" = \"bend\", \"NOTE\" = \"none\" }",
        "line   = { drawn = 1 }",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
    let off = text.split("deviate by ").nth(1).and_then(|t| t.split(' ').next()).unwrap();
    assert!((0.001..=0.02).contains(&off.parse().unwrap()), "{off}");
    let seen = fs::read_to_string(folder.path().join("seen.svg")).unwrap();
    for words in
        [">Layers<", ">CUT: cut (", ">A<", ">B  1 round, 9 mm<", ">bend line 1<", ">50 mm<"]
    {
        assert!(seen.contains(words), "{words}: {seen}");
    }
    assert!(!seen.contains(">Faults<"), "{seen}");
    assert!(text.contains("# next: save this beside bracket.dxf as bracket.toml"), "{text}");
    fs::write(folder.path().join("bracket.toml"), text).unwrap();
    let said =
        done(folder.path(), &["part", "bracket.toml", "--thickness", "2 mm", "--process", "laser"]);
    assert!(said.contains("bracket.dxf"), "{said}");
    let flat = fs::read_to_string(folder.path().join("out/parts/flats/bracket.dxf")).unwrap();
    assert!(flat.contains("BEND") && !flat.contains("SPLINE"));
    // On to an order, as the manual says.
    let job = done(folder.path(), &["new", "bracket"]);
    assert!(job.contains("recipe   = \"bracket\"") && !job.contains("[part.given]"), "{job}");
    fs::write(folder.path().join("job.toml"), job).unwrap();
    done(folder.path(), &["make", "job.toml", "--effort", "0"]);
    assert!(folder.path().join("out/job/order/S235-4mm.zip").exists());
    let said = done(folder.path(), &["sent", "job.toml", "--to", "laser cutter"]);
    assert!(said.contains("1 piece"), "{said}");
}

#[test]
fn units_that_a_file_does_not_say_are_guessed_and_said() {
    let folder = tempfile::tempdir().unwrap();
    let svg = |head: &str| {
        let text = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" {head}><path d=\"M0 0h4v3h-4z\"/>\
             <g id=\"fold\"><path d=\"M0 1h4\"/></g></svg>"
        );
        fs::write(folder.path().join("a.svg"), text).unwrap();
    };
    svg("width=\"4\" height=\"3\"");
    let (code, said) = run(folder.path(), &["outline", "a.svg"]);
    assert!(code == Some(1) && said.contains("its units are pixels"), "{said}");
    assert!(said.contains("at 96 to the inch it would be 1.06 x 0.79 mm"), "{said}");
    assert!(!said.contains("units = \"in\", layers"), "{said}");
    let dxf = square("0", 4.0);
    fs::write(folder.path().join("a.dxf"), dxf).unwrap();
    let said = done(folder.path(), &["outline", "a.dxf"]);
    assert!(said.contains("guessed: in, as in mm it would be too small"), "{said}");
    assert!(said.contains("file = \"a.dxf\", units = \"in\""), "{said}");
    let said = done(folder.path(), &["outline", "a.svg", "--per-inch", "2"]);
    assert!(said.contains("# plate: 50.8 x 38.1 mm"), "{said}");
    svg("width=\"40mm\" height=\"30mm\" viewBox=\"0 0 4 3\"");
    let (code, refused) = run(folder.path(), &["outline", "a.svg", "--per-inch", "96"]);
    let words = "it is not in pixels, so pixels per inch are not used: its page is 40mm wide";
    assert!(code == Some(1) && refused.contains(words), "{refused}");
    let said = done(folder.path(), &["outline", "a.svg"]);
    assert!(
        said.contains("its page is 40mm wide, its `viewBox` 4 units")
            && said.contains("40 x 30 mm"),
        "{said}"
    );
    // A recipe is not based on a guess: the units are required.
    svg("width=\"4\" height=\"3\"");
    let recipe =
        "about = \"x\"\n[face.plate]\nblank = [ { add = \"outline\", file = \"a.svg\" } ]\n";
    fs::write(folder.path().join("a.toml"), recipe).unwrap();
    let (code, said) = run(folder.path(), &["part", "a.toml"]);
    assert!(
        code == Some(1) && said.contains("its units are pixels") && said.contains("per_inch = 96"),
        "{said}"
    );
}

/// A square from the origin, with more entities behind it.
fn square(units: &str, side: f64) -> String {
    drawn(
        units,
        &[
            [0.0, 0.0, side, 0.0],
            [side, 0.0, side, side],
            [side, side, 0.0, side],
            [0.0, side, 0.0, 0.0],
        ],
        "0",
    )
}

/// A file of lines on a layer.
fn drawn(units: &str, lines: &[[f64; 4]], layer: &str) -> String {
    let head = format!("0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n{units}\n0\nENDSEC\n");
    let line = |[a, b, c, d]: &[f64; 4]| {
        format!("0\nLINE\n8\n{layer}\n10\n{a}\n20\n{b}\n11\n{c}\n21\n{d}\n")
    };
    let lines: String = lines.iter().map(line).collect();
    format!("{head}0\nSECTION\n2\nENTITIES\n{lines}0\nENDSEC\n0\nEOF\n")
}

/// 378 px at 96 to the inch are 100 mm, whatever the view box makes of them.
#[test]
fn pixels_of_a_page_are_asked_for_and_its_width_counts() {
    let folder = tempfile::tempdir().unwrap();
    let svg = |head: &str| {
        let path = "<path d=\"M0 0h100v60h-100z\"/>";
        let text = format!("<svg xmlns=\"http://www.w3.org/2000/svg\" {head}>{path}</svg>");
        fs::write(folder.path().join("a.svg"), text).unwrap();
    };
    for head in ["width=\"480px\" height=\"480px\"", "width=\"480\"", "viewBox=\"0 0 99 99\""] {
        svg(head);
        let (code, said) = run(folder.path(), &["outline", "a.svg"]);
        assert!(code == Some(1) && said.contains("its units are pixels"), "{head}: {said}");
        assert!(said.contains("per_inch = 96") && !said.contains("units = \"mm\","), "{said}");
    }
    svg("width=\"900px\" viewBox=\"0 0 240 240\"");
    let said = done(folder.path(), &["outline", "a.svg", "--per-inch", "96"]);
    assert!(said.contains("# plate: 99.22 x 59.53 mm"), "{said}");
    let said = done(folder.path(), &["outline", "a.svg", "--units", "mm"]);
    assert!(said.contains("# plate: 100 x 60 mm"), "{said}");
}

#[test]
fn a_line_over_part_of_another_is_cut_once_and_a_figure_of_eight_names_its_crossing() {
    let folder = tempfile::tempdir().unwrap();
    let said = |text: String| {
        fs::write(folder.path().join("a.dxf"), text).unwrap();
        run(folder.path(), &["outline", "a.dxf"])
    };
    let part = square("4", 60.0).replacen(
        "0\nENDSEC\n0\nEOF",
        "0\nLINE\n8\n0\n10\n10\n20\n0\n11\n50\n21\n0\n0\nENDSEC\n0\nEOF",
        1,
    );
    let (code, text) = said(part);
    assert!(code == Some(0) && text.contains("# plate: 60 x 60 mm"), "{text}");
    assert!(text.contains("cut once: from (10, 0) to (50, 0)"), "{text}");
    let bow = [
        [0.0, 0.0, 60.0, 60.0],
        [60.0, 60.0, 60.0, 0.0],
        [60.0, 0.0, 0.0, 60.0],
        [0.0, 60.0, 0.0, 0.0],
    ];
    let (code, text) = said(drawn("4", &bow, "0"));
    assert!(code == Some(1) && text.contains("crosses itself near x = 30.000 mm"), "{text}");
}

/// A layer that is not read is not called cut; a bend line that ends in the plate is reported, and
/// so is what no file says of a bend.
#[test]
fn ignored_layers_short_bend_lines_and_assumed_bends_are_said() {
    let folder = tempfile::tempdir().unwrap();
    let bend = "0\nLINE\n8\nBEND\n10\n10\n20\n30\n11\n50\n21\n30\n";
    let with = |more: &str, layer: &str| {
        let sides = [
            [0.0, 0.0, 60.0, 0.0],
            [60.0, 0.0, 60.0, 60.0],
            [60.0, 60.0, 0.0, 60.0],
            [0.0, 60.0, 0.0, 0.0],
        ];
        let text = drawn("4", &sides, layer);
        let text = text.replacen("0\nENDSEC\n0\nEOF", &format!("{more}0\nENDSEC\n0\nEOF"), 1);
        fs::write(folder.path().join("a.dxf"), text).unwrap();
    };
    with("0\nCIRCLE\n8\nOTHER\n10\n30\n20\n30\n40\n5\n", "CUT");
    let said = done(folder.path(), &["outline", "a.dxf"]);
    assert!(said.contains("none (only layer `CUT` is read)"), "{said}");
    with(bend, "CUT");
    let (_, said) = run(folder.path(), &["outline", "a.dxf"]);
    assert!(said.contains("bend line 1, 40 mm long, ends inside the plate at (10, 30)"), "{said}");
    with(&bend.replace("\n10\n10\n", "\n10\n0\n").replace("\n50\n", "\n60\n"), "CUT");
    let text = done(folder.path(), &["outline", "a.dxf"]);
    assert!(!text.contains("ends inside the plate"), "{text}");
    let stdout = command(folder.path(), &["outline", "a.dxf"]).output().unwrap().stdout;
    let recipe = String::from_utf8(stdout).unwrap();
    fs::write(folder.path().join("a.toml"), &recipe).unwrap();
    let part = ["part", "a.toml", "--thickness", "2 mm"];
    let said = done(folder.path(), &part);
    assert!(said.contains("its angle and side are assumed: 90° up"), "{said}");
    let written = recipe.replace("# angle", "angle").replace("# side", "side");
    assert_ne!(written, recipe);
    fs::write(folder.path().join("a.toml"), written).unwrap();
    let said = done(folder.path(), &part);
    assert!(!said.contains("are assumed"), "{said}");
}

/// Dashed curves are hidden edges, not bends; a bend is straight.
#[test]
fn dashed_lines_are_bends_and_dashed_curves_are_not() {
    let folder = tempfile::tempdir().unwrap();
    let text = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"50mm\" viewBox=\"0 0 50 40\">\
                <path d=\"M0 0H40V30H0z\" fill=\"none\" stroke=\"black\"/>\
                <g stroke-dasharray=\"2 1\"><path stroke=\"red\" d=\"M0 20H40\"/>\
                <path stroke=\"blue\" fill=\"none\" d=\"M0 9C10 20 20 0 40 9\"/></g></svg>";
    fs::write(folder.path().join("a.svg"), text).unwrap();
    let said = done(folder.path(), &["outline", "a.svg"]);
    let map = "layers = { \"black\" = \"cut\", \"red\" = \"bend\", \"blue\" = \"none\" }";
    assert!(said.contains(map) && said.contains("# bend line 1: from (0, 20)"), "{said}");
}

/// Ends just within the tolerance are joined, which is reported; just beyond it they are an error.
#[test]
fn ends_are_joined_within_the_tolerance_that_is_stated() {
    let folder = tempfile::tempdir().unwrap();
    let svg = |from: f64| {
        let text = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"50mm\" viewBox=\"0 0 50 40\">\
             <path d=\"M{from} 0H40V30H0V0\" fill=\"none\" stroke=\"black\"/></svg>"
        );
        fs::write(folder.path().join("a.svg"), text).unwrap();
        run(folder.path(), &["outline", "a.svg"])
    };
    for (from, gaps) in [(0.0, "none"), (0.0099, "1, the widest 0.0099 mm")] {
        let (code, said) = svg(from);
        let words = format!("# gaps joined: {gaps} (ends up to 0.01 mm apart are joined)");
        assert!(code == Some(0) && said.contains(&words), "{from}: {said}");
    }
    let (code, said) = svg(0.0101);
    let words = "the contour is open between (0.01, 40) and (0, 40): 0.0101 mm";
    assert!(
        code == Some(1) && said.contains(words) && said.contains("within 0.01 mm are joined"),
        "{said}"
    );
}

#[test]
fn faults_are_said_with_their_places_and_damage_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let text = String::from_utf8(bracket()).unwrap();
    let gap = text.replacen("\n120.0\n", "\n119.5\n", 1);
    assert_ne!(gap, text);
    fs::write(folder.path().join("gap.dxf"), gap).unwrap();
    let (code, said) = run(folder.path(), &["outline", "gap.dxf", "--picture", "seen.svg"]);
    // A ring at either end of the gap, and its number.
    let seen = fs::read_to_string(folder.path().join("seen.svg")).unwrap();
    assert!(seen.contains(">Faults<") && seen.matches(">1<").count() == 2, "{seen}");
    assert!(code == Some(1) && said.contains("the contour is open between"), "{said}");
    fs::write(folder.path().join("cut.dxf"), &bracket()[..1000]).unwrap();
    let (code, said) = run(folder.path(), &["outline", "cut.dxf"]);
    assert!(code == Some(2) && said.contains("cannot read cut.dxf: it is truncated"), "{said}");
}

/// A file of another format is called by what it is.
#[test]
fn files_of_other_formats_are_named() {
    let folder = tempfile::tempdir().unwrap();
    let files: [(&[u8], &str); 7] = [
        (b"", "it is empty, not a DXF or SVG file"),
        (b"AC1032\0\0\0\0", "it is a DWG file"),
        (b"PK\x03\x04\0\0", "it is a zip archive"),
        (b"%PDF-1.7\n", "it is a PDF file"),
        (b"ISO-10303-21;\nHEADER;", "it is a STEP file"),
        (b"\x89PNG\r\n", "it is a bitmap image"),
        (b"G01 X0 Y0\n", "it is a file of another format"),
    ];
    for (bytes, words) in files {
        fs::write(folder.path().join("a.dxf"), bytes).unwrap();
        let (code, said) = run(folder.path(), &["outline", "a.dxf"]);
        assert!(code == Some(2) && said.contains(&format!("cannot read a.dxf: {words}")), "{said}");
    }
}

/// A row to fill in may be written straight to the file it is for; a wrong cell is said with its
/// place.
#[test]
fn a_row_to_fill_in_can_be_written_to_its_own_file() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("tables/rod-end.csv");
    fs::create_dir(folder.path().join("tables")).unwrap();
    fs::write(&file, "").unwrap();
    let blank = done(folder.path(), &["tables", "rod-end", "--add"]);
    let row = |bore: &str| {
        let filled = blank.replace("\nNAME, ,", &format!("\nmine, {bore},"));
        let filled = format!("{} measured,\n", filled.strip_suffix(" ,\n").unwrap());
        assert_ne!(filled, blank);
        fs::write(&file, filled).unwrap();
        run(folder.path(), &["tables", "rod-end"])
    };
    let (code, said) = row("10 mm");
    assert!(code == Some(0) && said.contains("\nmine "), "{said}");
    let (code, said) = row("10 kg");
    assert!(code == Some(1) && said.contains("`bore` is a length, but this is a mass"), "{said}");
    let (code, said) = run(folder.path(), &["tables", "rodend", "--add"]);
    assert!(code != Some(0) && !said.contains("NAME"), "{said}");
    fs::write(&file, format!("{} measured,\n", blank.strip_suffix(" ,\n").unwrap())).unwrap();
    let (code, said) = run(folder.path(), &["tables", "rod-ends", "--add"]);
    assert!(code == Some(2) && said.contains("did you mean `rod-end`?"), "{said}");
}

/// The picture is never written over the file that was read, nor under a name that hides its
/// format.
#[test]
fn the_picture_is_not_written_over_the_outline_file() {
    let folder = tempfile::tempdir().unwrap();
    let drawn = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"40mm\" viewBox=\"0 0 40 30\">\
                 <path d=\"M0 0H40V30H0z\"/></svg>";
    fs::write(folder.path().join("a.svg"), drawn).unwrap();
    for (name, words) in [
        ("a.svg", "it is the outline file itself"),
        ("./a.svg", "it is the outline file itself"),
        ("a.dxf", "its name must end in `.svg`"),
    ] {
        let (code, said) = run(folder.path(), &["outline", "a.svg", "--picture", name]);
        assert!(code == Some(2) && said.contains(words), "{said}");
    }
    assert_eq!(fs::read_to_string(folder.path().join("a.svg")).unwrap(), drawn);
    done(folder.path(), &["outline", "a.svg", "--picture", "b.svg"]);
    assert!(folder.path().join("b.svg").exists());
}

/// What is shown in part is not cut whole.
#[test]
fn shapes_with_a_clip_path_or_a_mask_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    let within = |group: &str| {
        let text = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"40mm\" viewBox=\"0 0 40 30\">\
             <clipPath id=\"c\"><circle cx=\"9\" cy=\"9\" r=\"5\"/></clipPath>\
             <g {group}><rect width=\"40\" height=\"30\"/></g></svg>"
        );
        fs::write(folder.path().join("a.svg"), text).unwrap();
        run(folder.path(), &["outline", "a.svg"])
    };
    for (group, words) in [
        ("clip-path=\"url(#c)\"", "it has 1 rect with a clip path"),
        ("style=\"mask: url(#c)\"", "it has 1 rect with a mask"),
    ] {
        let (code, said) = within(group);
        assert!(code == Some(1) && said.contains(words), "{said}");
    }
    let (code, said) = within("clip-path=\"none\"");
    assert!(code == Some(0) && said.contains("# plate: 40 x 30 mm"), "{said}");
}

/// A layer `Sketch` is no etching; a bend line among the outline is said to want its own layer.
#[test]
fn names_of_layers_and_loose_lines_are_understood() {
    let folder = tempfile::tempdir().unwrap();
    let drawn = |group: &str, more: &str| {
        let text = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"40mm\" viewBox=\"0 0 40 30\">\
             <g id=\"{group}\"><path d=\"M0 0H40V30H0z{more}\"/></g></svg>"
        );
        fs::write(folder.path().join("a.svg"), text).unwrap();
        run(folder.path(), &["outline", "a.svg"])
    };
    let (code, said) = drawn("Sketch 1", "");
    assert!(code == Some(0) && said.contains("cut (it has contours that can be cut)"), "{said}");
    let (code, said) = drawn("Etching", "");
    assert!(code == Some(1) && said.contains("mark (its name has `etch`)"), "{said}");
    assert!(said.contains("there are no lines") && said.contains("`CUT = \"cut\"`"), "{said}");
    let (code, said) = drawn("0", "M0 12H50");
    assert!(code == Some(1) && said.contains("a bend line, a mark or a note"), "{said}");
}

/// What `outline` says of a plate with bend lines, drawn in `a.dxf`.
fn said_of(folder: &Path, sides: &[[f64; 4]], bends: &[[f64; 4]]) -> String {
    let entities = |text: &str| {
        let behind = text.split_once("ENTITIES\n").unwrap().1;
        behind.split_once("0\nENDSEC").unwrap().0.to_owned()
    };
    let bends = entities(&drawn("4", bends, "BEND"));
    let text = drawn("4", sides, "EDGE").replacen("ENTITIES\n", &format!("ENTITIES\n{bends}"), 1);
    fs::write(folder.join("a.dxf"), text).unwrap();
    run(folder, &["outline", "a.dxf"]).1
}

/// The sides of a polygon.
fn sides(points: &[[f64; 2]]) -> Vec<[f64; 4]> {
    let next = points.iter().cycle().skip(1);
    points.iter().zip(next).map(|([a, b], [c, d])| [*a, *b, *c, *d]).collect()
}

/// Two lines that lie on one another for a stretch are one bend: which two, and where.
#[test]
fn bend_lines_drawn_over_each_other_in_part_are_named_with_the_place() {
    let folder = tempfile::tempdir().unwrap();
    let square = sides(&[[0.0, 0.0], [60.0, 0.0], [60.0, 60.0], [0.0, 60.0]]);
    let said = |bends: &[[f64; 4]]| said_of(folder.path(), &square, bends);
    let over = " overlap";
    let text = said(&[[0.0, 30.0, 40.0, 30.0], [20.0, 30.0, 60.0, 30.0]]);
    let words = "bend lines 1 and 2 overlap from (20, 30) to (40, 30)";
    assert!(text.contains(words) && text.contains("draw one line"), "{text}");
    assert!(!text.contains("are one bend"), "{text}");
    // Drawn backwards, and one within the other.
    let text = said(&[[60.0, 30.0, 0.0, 30.0], [45.0, 30.0, 30.0, 30.0]]);
    assert!(text.contains(&format!("{over} from (30, 30) to (45, 30)")), "{text}");
    let text = said(&[[30.0, 0.0, 30.0, 35.0], [30.0, 25.0, 30.0, 60.0]]);
    assert!(text.contains(&format!("{over} from (30, 25) to (30, 35)")), "{text}");
    // A gap beside it is named as well.
    let text = said(&[[0.0, 30.0, 20.0, 30.0], [10.0, 30.0, 30.0, 30.0], [50.0, 30.0, 60.0, 30.0]]);
    assert!(text.contains(&format!("{over} from (10, 30) to (20, 30)")), "{text}");
    assert!(text.contains("20 mm from (30, 30)"), "{text}");
    // End to end they share a point only.
    let text = said(&[[0.0, 30.0, 30.0, 30.0], [30.0, 30.0, 60.0, 30.0]]);
    assert!(!text.contains(over), "{text}");
}

/// A bend is as long as the metal: a gap in its line is reported, and a line beyond a notch is
/// another bend.
#[test]
fn bend_lines_in_a_row_are_one_bend_only_where_there_is_metal() {
    let folder = tempfile::tempdir().unwrap();
    let outline = |sides: &[[f64; 4]], bends: &[[f64; 4]]| said_of(folder.path(), sides, bends);
    let square = sides(&[[0.0, 0.0], [60.0, 0.0], [60.0, 60.0], [0.0, 60.0]]);
    let said = outline(&square, &[[0.0, 30.0, 20.0, 30.0], [40.0, 30.0, 60.0, 30.0]]);
    let words = "bend lines 1 and 2 leave a gap of 20 mm from (20, 30) to (40, 30); the plate is bent there";
    assert!(said.contains(words), "{said}");
    let dashes = [[0.0, 30.0, 20.0, 30.0], [22.0, 30.0, 40.0, 30.0], [45.0, 30.0, 60.0, 30.0]];
    let said = outline(&square, &dashes);
    let words =
        "bend line 1 and 2 more in line with it leave 2 gaps, the widest 5 mm from (40, 30)";
    assert!(said.contains(words), "{said}");
    let said = outline(&square, &[[0.0, 30.0, 20.0, 30.0], [20.9, 30.0, 60.0, 30.0]]);
    assert!(!said.contains("gap of") && !said.contains("ends inside"), "{said}");
    let words = "bend lines 1 and 2 are one bend: it runs from edge to edge, also across openings";
    assert!(said.contains(words) && said.contains("draw one line"), "{said}");
    assert!(said.contains("[bend.b1]") && !said.contains("[bend.b2]"), "{said}");
    let slot = sides(&[[20.0, 25.0], [40.0, 25.0], [40.0, 35.0], [20.0, 35.0]]);
    let slotted: Vec<[f64; 4]> = square.iter().chain(&slot).copied().collect();
    let said = outline(&slotted, &[[0.0, 30.0, 20.0, 30.0], [40.0, 30.0, 60.0, 30.0]]);
    assert!(said.contains(words) && !said.contains("[bend.b2]"), "{said}");
    let stdout = command(folder.path(), &["outline", "a.dxf"]).output().unwrap().stdout;
    let one = String::from_utf8(stdout).unwrap();
    let two = format!(
        "{one}\n[bend.b2]\nacross = \"plate\"\nline = {{ drawn = 2 }}\nto = \"flange-2\"\n"
    );
    fs::write(folder.path().join("a.toml"), two).unwrap();
    let (code, said) = run(folder.path(), &["part", "a.toml", "--thickness", "2 mm"]);
    let words = "fold lines `b1` and `b2` are one bend: they lie on one line";
    assert!(code == Some(1) && said.contains(words), "{said}");
    assert!(said.contains("keep one of the two bends"), "{said}");
    let notched = sides(&[
        [0.0, 0.0],
        [60.0, 0.0],
        [60.0, 60.0],
        [40.0, 60.0],
        [40.0, 20.0],
        [20.0, 20.0],
        [20.0, 60.0],
        [0.0, 60.0],
    ]);
    let said = outline(&notched, &[[0.0, 40.0, 20.0, 40.0], [40.0, 40.0, 60.0, 40.0]]);
    assert!(!said.contains("gap of"), "{said}");
    let stdout = command(folder.path(), &["outline", "a.dxf"]).output().unwrap().stdout;
    let recipe = String::from_utf8(stdout).unwrap();
    let (first, _) = recipe.split_once("\n[bend.b2]").unwrap();
    fs::write(folder.path().join("a.toml"), first).unwrap();
    let (code, said) = run(folder.path(), &["part", "a.toml", "--thickness", "2 mm"]);
    let words = "bend line 2, from (40, 40) to (60, 40), is not used by any bend";
    assert!(code == Some(1) && said.contains(words), "{said}");
}

/// Rules of a stylesheet are not applied: those that would hide or dash a line are reported,
/// wherever the sheet is.
#[test]
fn a_stylesheet_that_hides_or_dashes_lines_is_reported() {
    let folder = tempfile::tempdir().unwrap();
    for (sheet, property) in [
        ("<defs><style>.h { display: none }</style></defs>", Some("display")),
        ("<style>.h { stroke-dasharray: 2 1 }</style>", Some("stroke-dasharray")),
        ("<style>path { stroke: red } .b { stroke: #00f }</style>", Some("stroke")),
        ("<defs><style>.h { stroke: red }</style></defs>", None),
    ] {
        let text = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"50mm\" viewBox=\"0 0 50 40\">\n\
             {sheet}<path class=\"h\" d=\"M0 0H40V30H0z\"/></svg>"
        );
        fs::write(folder.path().join("a.svg"), text).unwrap();
        let said = done(folder.path(), &["outline", "a.svg"]);
        let words = |p| match p {
            "stroke" => {
                format!("its stylesheet sets `{p}`, which is ignored: lines outside groups")
            }
            _ => format!("its stylesheet on line 2 sets `{p}`, which is ignored"),
        };
        match property {
            Some(property) => assert!(said.contains(&words(property)), "{said}"),
            None => assert!(!said.contains("stylesheet"), "{said}"),
        }
    }
}

/// A stylesheet that may hide elements, and a page of which one side is no length, are refused with
/// what to do; units that a header states are never guessed again.
#[test]
fn what_may_be_hidden_and_scales_that_are_not_known_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    let svg = |size: &str, sheet: &str| {
        let text = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" {size} viewBox=\"0 0 50 40\">\n\
             <style>{sheet}</style><rect class=\"b\" width=\"50\" height=\"40\"/></svg>"
        );
        fs::write(folder.path().join("a.svg"), text).unwrap();
        run(folder.path(), &["outline", "a.svg"])
    };
    let (code, said) = svg("width=\"50mm\"", ".a{fill:none;stroke:#000}.b{fill:none}");
    let words = "its stylesheet on line 2 sets `fill: none` for `.b`";
    assert!(code != Some(0) && said.contains(words), "{said}");
    assert!(said.contains("write `fill` and `stroke` as attributes of each element"), "{said}");
    let (code, said) = svg("width=\"calc(10mm*2)\" height=\"40mm\"", "");
    assert!(code == Some(1) && said.contains("the scale is not known"), "{said}");
    assert!(
        said.contains("width calc(10mm*2), height 40mm") && !said.contains("guessed"),
        "{said}"
    );
    assert!(!said.contains("units = \"mm\", "), "{said}");
    fs::write(folder.path().join("a.dxf"), square("3", 60.0)).unwrap();
    let (code, said) = run(folder.path(), &["outline", "a.dxf"]);
    let words = "its unit code is 3, miles: not a unit that plates are drawn in";
    assert!(code == Some(1) && said.contains(words) && !said.contains("guessed"), "{said}");
    fs::write(folder.path().join("a.dxf"), square("2", 0.25)).unwrap();
    let said = done(folder.path(), &["outline", "a.dxf"]);
    assert!(said.contains("its header says feet") && said.contains("76.2 x 76.2 mm"), "{said}");
}

/// Bend lines across each other, past the edge and off the plate: each by its number, with the place.
#[test]
fn bend_lines_that_cross_or_leave_the_plate_are_said() {
    let folder = tempfile::tempdir().unwrap();
    let said = |bends: &[[f64; 4]]| {
        let lines: String =
            drawn("4", bends, "BEND").split("ENTITIES\n").nth(1).unwrap().to_owned();
        let lines = lines.split("0\nENDSEC").next().unwrap();
        let sides = [
            [0.0, 0.0, 60.0, 0.0],
            [60.0, 0.0, 60.0, 60.0],
            [60.0, 60.0, 0.0, 60.0],
            [0.0, 60.0, 0.0, 0.0],
        ];
        let text = drawn("4", &sides, "CUT");
        let text = text.replacen("0\nENDSEC\n0\nEOF", &format!("{lines}0\nENDSEC\n0\nEOF"), 1);
        fs::write(folder.path().join("a.dxf"), text).unwrap();
        run(folder.path(), &["outline", "a.dxf"]).1
    };
    let (level, upright) = ([0.0, 20.0, 60.0, 20.0], [30.0, 0.0, 30.0, 60.0]);
    let crossed = said(&[level, upright]);
    assert!(crossed.contains("cross at (30, 20): once one is bent"), "{crossed}");
    let corner = said(&[level, [30.0, 20.0, 30.0, 60.0]]);
    assert!(!corner.contains("cross at"), "{corner}");
    let past = said(&[[0.0, 20.0, 130.0, 20.0]]);
    assert!(
        past.contains("bend line 1 runs 70 mm past the edge of the plate at (60, 20)"),
        "{past}"
    );
    // As a draughtsman draws it.
    let over = said(&[[-5.0, 20.0, 72.5, 20.0]]);
    assert!(!over.contains("past the edge") && !over.contains("caution"), "{over}");
    let off = said(&[[0.0, 80.0, 60.0, 80.0]]);
    assert!(off.contains("bend line 1, from (0, 80) to (60, 80), is off the plate"), "{off}");
    let whole = said(&[level]);
    assert!(!whole.contains("past the edge") && !whole.contains("off the plate"), "{whole}");
}

/// White lines are not seen on the page: they are left out and said, or refused where there are no others.
#[test]
fn white_lines_are_not_cut_and_a_page_without_a_size_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let said = |view: &str, paths: &str| {
        let head = "xmlns=\"http://www.w3.org/2000/svg\" width=\"100mm\"";
        let text = format!("<svg {head} viewBox=\"{view}\">{paths}</svg>");
        fs::write(folder.path().join("a.svg"), text).unwrap();
        run(folder.path(), &["outline", "a.svg"])
    };
    let plate = "<path fill=\"none\" stroke=\"black\" d=\"M0 0h100v60h-100z\"/>";
    let white = "<path fill=\"none\" stroke=\"#FFF\" d=\"M10 10h20v20h-20z\"/>";
    let (code, both) = said("0 0 100 60", &format!("<g id=\"plate\">{plate}{white}</g>"));
    assert!(code == Some(0) && both.contains("1 path drawn in white left out"), "{both}");
    assert!(
        both.contains("in an SVG, give it a visible colour") && !both.contains("opening"),
        "{both}"
    );
    // A white area on a black one is a hole in it.
    let filled = "<path fill=\"black\" d=\"M0 0h100v60h-100z\"/>\
                  <circle fill=\"white\" cx=\"50\" cy=\"30\" r=\"10\"/>";
    let (code, hole) = said("0 0 100 60", filled);
    assert!(code == Some(0) && hole.contains("1 round, 20 mm"), "{hole}");
    let (code, alone) = said("0 0 100 60", white);
    assert!(code == Some(1) && alone.contains("1 path drawn in white  none"), "{alone}");
    let (code, odd) = said("0 0 -100 60", plate);
    assert!(
        code != Some(0) && odd.contains("its `viewBox`, `0 0 -100 60`, has no width and height"),
        "{odd}"
    );
    assert!(odd.contains("more than 0"), "{odd}");
}
