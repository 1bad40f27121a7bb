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
    assert!(fs::read_to_string(folder.path().join("seen.svg")).unwrap().contains("<svg"));
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
    let said = done(folder.path(), &["outline", "a.svg"]);
    assert!(said.contains("guessed: in, as in mm it would be too small"), "{said}");
    assert!(
        said.contains("units = \"in\", layers = { \"0\" = \"cut\", \"fold\" = \"bend\" }"),
        "{said}"
    );
    let said = done(folder.path(), &["outline", "a.svg", "--per-inch", "2"]);
    assert!(said.contains("# plate: 50.8 x 38.1 mm"), "{said}");
    svg("width=\"40mm\" height=\"30mm\" viewBox=\"0 0 4 3\"");
    let said = done(folder.path(), &["outline", "a.svg"]);
    assert!(
        said.contains("its page is 40mm wide for 4 units") && said.contains("40 x 30 mm"),
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
    let (code, said) = run(folder.path(), &["outline", "gap.dxf"]);
    assert!(code == Some(1) && said.contains("the contour is open between"), "{said}");
    fs::write(folder.path().join("cut.dxf"), &bracket()[..1000]).unwrap();
    let (code, said) = run(folder.path(), &["outline", "cut.dxf"]);
    assert!(code == Some(2) && said.contains("cannot read cut.dxf: it is truncated"), "{said}");
}
