//! `platewright calibrate` with gauges and materials of one's own.

use snapbox::cmd::Command;
use std::fs;
use std::path::Path;

fn calibrate(folder: &Path, arguments: &[&str]) -> (bool, String, String) {
    let mut all = vec!["calibrate"];
    all.extend(arguments);
    let program = Command::new(env!("CARGO_BIN_EXE_platewright")).current_dir(folder).args(all);
    let output = program.assert().get_output().clone();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (output.status.success(), text(output.stdout), text(output.stderr))
}

const MEASURES: [&str; 9] =
    ["--v", "16 mm", "--legs", "52.5 mm", "52.4 mm", "--blank", "100 mm", "--radius", "2.6 mm"];

/// 11 ga steel is 0.1196 in, 3.038 mm (Machinery's Handbook); of aluminium it is 0.0907 in.
#[test]
fn a_gauge_is_that_of_the_metal() {
    let folder = tempfile::tempdir().unwrap();
    for (material, thickness) in [("A36", "3.038 mm"), ("5052-H32", "2.304 mm")] {
        let mut arguments = MEASURES.to_vec();
        arguments.extend(["--material", material, "--thickness", "11 ga"]);
        let (_, row, said) = calibrate(folder.path(), &arguments);
        assert!(row.contains(&format!("thickness = \"{thickness}\"")), "{row}{said}");
    }
    let mut arguments = MEASURES.to_vec();
    arguments.extend(["--thickness", "99 ga"]);
    let (good, _, said) = calibrate(folder.path(), &arguments);
    assert!(!good && said.contains("from 3 to 30, not `99`"), "{said}");
}

/// A material of one's own stands in `tables` beside the shop file, or where one is.
#[test]
fn a_material_of_ones_own_is_found_beside_the_shop_file() {
    let folder = tempfile::tempdir().unwrap();
    let shop = folder.path().join("ours");
    fs::create_dir_all(shop.join("tables")).unwrap();
    let table = "name, metal, density, yield, tensile, elastic, source, basis\n\
        TRS 350, steel, 7850 kg/m3, 350 MPa, 420 MPa, 210 GPa, mill certificate, seen\n";
    fs::write(shop.join("tables/material.csv"), table).unwrap();
    fs::write(shop.join("shop.toml"), "about = \"ours\"\n").unwrap();
    let mut arguments = MEASURES.to_vec();
    arguments.extend(["--material", "TRS 350", "--thickness", "3 mm"]);
    let (good, _, said) = calibrate(folder.path(), &arguments);
    assert!(!good && said.contains("there is no material `TRS 350`"), "{said}");
    arguments.extend(["--into", "ours/shop.toml"]);
    let (good, row, said) = calibrate(folder.path(), &arguments);
    assert!(good, "{said}");
    assert!(fs::read_to_string(shop.join("shop.toml")).unwrap().contains(&row));
    let (good, ..) = calibrate(&shop, &arguments[..arguments.len() - 2]);
    assert!(good);
}

/// The file that a link leads to gets the row, keeps its mode, and nothing of the user's beside it is
/// touched.
#[cfg(unix)]
#[test]
fn a_shop_file_stays_the_file_it_is() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name);
    fs::create_dir(path("kept")).unwrap();
    fs::write(path("kept/shop.toml"), "about = \"ours\"\n").unwrap();
    fs::set_permissions(path("kept/shop.toml"), fs::Permissions::from_mode(0o640)).unwrap();
    std::os::unix::fs::symlink("kept/shop.toml", path("shop.toml")).unwrap();
    for beside in ["shop.toml.new", "kept/shop.toml.new"] {
        fs::write(path(beside), "mine").unwrap();
    }
    let mut arguments = MEASURES.to_vec();
    arguments.extend(["--thickness", "3 mm", "--into", "shop.toml"]);
    let (good, row, said) = calibrate(folder.path(), &arguments);
    assert!(good, "{said}");
    assert_eq!(fs::read_link(path("shop.toml")).unwrap(), Path::new("kept/shop.toml"));
    assert!(fs::read_to_string(path("kept/shop.toml")).unwrap().contains(&row));
    let mode = fs::metadata(path("kept/shop.toml")).unwrap().permissions().mode();
    assert_eq!(mode & 0o777, 0o640);
    for beside in ["shop.toml.new", "kept/shop.toml.new"] {
        assert_eq!(fs::read_to_string(path(beside)).unwrap(), "mine");
    }
    assert_eq!(fs::read_dir(path("kept")).unwrap().count(), 2);
}

/// Rows that are added at the same time are all there.
#[test]
fn rows_added_at_once_are_all_there() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("shop.toml"), "about = \"ours\"\n").unwrap();
    let thicknesses: Vec<String> = (0..12).map(|n| format!("3.{n:02} mm")).collect();
    let path = folder.path();
    std::thread::scope(|scope| {
        for thickness in &thicknesses {
            scope.spawn(move || {
                let mut arguments = MEASURES.to_vec();
                arguments.extend(["--thickness", thickness, "--into", "shop.toml"]);
                let (good, _, said) = calibrate(path, &arguments);
                assert!(good, "{thickness}: {said}");
            });
        }
    });
    let shop = fs::read_to_string(folder.path().join("shop.toml")).unwrap();
    assert_eq!(shop.matches("[[measured]]").count(), thicknesses.len(), "{shop}");
}
