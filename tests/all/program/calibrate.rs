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

const STRIPS: [&str; 19] = [
    "--v", "32 mm", "--radius", "5.1 mm", "--strip", "104.2 mm", "104.3 mm", "200 mm", "92 deg",
    "--strip", "103.8 mm", "104 mm", "200 mm", "90.2 deg", "--strip", "103.8 mm", "103.7 mm",
    "200 mm", "89.1 deg",
];

/// By hand, T 4, R 5.1: 92° has lost 8.5 mm, (2 tan 46° × 9.1 − 8.5)/1.605703 = 6.4436 = R + K T,
/// so K 0.3359 and 18.2 − π/2 × 6.4436 = 8.0784 at 90°; 90.2° has lost 7.8: (18.26364 − 7.8)
/// / 1.574287 = 6.6466, 7.7596; 89.1° has lost 7.5: (17.91635 − 7.5)/1.555088 = 6.6982, 7.6784.
/// Mean 7.8389, deviation 0.2114.
#[test]
fn strips_are_corrected_to_90_degrees_and_their_scatter_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let (good, row, said) = calibrate(folder.path(), &STRIPS);
    assert!(good, "{said}");
    for words in [
        "strip 1: bent through 92°; at 90° its deduction is 8.078 mm, K-factor 0.3359",
        "strip 2: bent through 90.2°; at 90° its deduction is 7.76 mm",
        "strip 3: bent through 89.1°; at 90° its deduction is 7.678 mm",
        "3 strips: scatter 0.21 mm (standard deviation), standard error of the mean 0.12 mm",
        "95 % limits of the deduction 7.84 ± 0.53 mm",
        "± 0.26 mm on the outside length of a 90° flange and ± 0.53 mm on a web between two bends",
        "the 95 % limits of the mean are wider than ± 0.2 mm (± 0.1 mm on a flange): bend 4 more strips,",
    ] {
        assert!(said.contains(words), "{words} is missing in\n{said}");
    }
    assert!(row.contains("deduction = \"7.839 mm\""), "{row}");
    assert!(row.contains("strips    = 3\nscatter   = \"0.211 mm\""), "{row}");
}

/// An impossible bend angle is reported with its strip; a K-factor outside the usual is a caution.
#[test]
fn strips_that_cannot_be_right_are_refused_with_what_to_do() {
    let folder = tempfile::tempdir().unwrap();
    let with = |strip: [&str; 4], more: &[&str]| {
        let mut all = vec!["--v", "32 mm", "--radius", "5.1 mm", "--strip"];
        all.extend(strip);
        all.extend(more);
        calibrate(folder.path(), &all)
    };
    let (good, _, said) = with(["104 mm", "103.9 mm", "200 mm", "270 deg"], &[]);
    assert!(
        !good && said.contains("this one by 270°") && said.contains("measured from flat"),
        "{said}"
    );
    let (good, _, said) = with(["104 mm", "103.9 mm", "200 mm", "90"], &[]);
    assert!(!good && said.contains("--strip 1"), "{said}");
    let (good, _, said) = with(["0 mm", "103.9 mm", "200 mm", "90 deg"], &[]);
    assert!(!good && said.contains("--strip 1 is a length with a unit"), "{said}");
    let (good, _, said) = with(["99 mm", "99 mm", "200 mm", "90 deg"], &[]);
    assert!(!good && said.contains("longer than the strip was"), "{said}");
    let (good, _, said) =
        with(["104 mm", "103.9 mm", "200 mm", "90 deg"], &["--under-load", "88 deg"]);
    assert!(
        !good && said.contains("the angle after springback is less than the angle under load"),
        "{said}"
    );
    let (good, _, said) = with(["104.4 mm", "104.4 mm", "200 mm", "90 deg"], &[]);
    assert!(good && said.contains("caution: a K-factor of 0.2"), "{said}");
    assert!(said.contains("one strip does not show the scatter"), "{said}");
    let (good, _, said) = calibrate(folder.path(), &["--v", "32 mm", "--radius", "5.1 mm"]);
    assert!(!good && said.contains("there is no strip: give its legs"), "{said}");
    let measured = ["--nominal", "6 mm", "--thickness", "4 mm"];
    let (good, _, said) = with(["104 mm", "103.9 mm", "200 mm", "90 deg"], &measured);
    assert!(!good && said.contains("this is a different sheet"), "{said}");
    // Without a measured one the nominal thickness is meant.
    let nominal = ["--nominal", "3.2 mm"];
    let (good, row, said) = with(["103.1 mm", "103 mm", "200 mm", "90 deg"], &nominal);
    assert!(good && row.contains("thickness = \"3.2 mm\""), "{said}");
}

const BENT: &str = "process = \"waterjet\"\nshop = \"shop.toml\"\n[[sheet]]\nname = \"S235 4 mm\"\n\
    material = \"S235\"\nthickness = \"4 mm\"\nstock = [ { size = [\"600 mm\", \"400 mm\"] } ]\n\
    [[part]]\nrecipe = \"channel\"\nname = \"channel-pump\"\nsheet = \"S235 4 mm\"\n\
    given = { length = \"80 mm\", web = \"160 mm\", flange = \"40 mm\" }\n\
    [[part]]\nrecipe = \"angle\"\nname = \"angle-pump\"\nsheet = \"S235 4 mm\"\n";

/// The demo's shop has 7.9 mm over V 32; strips that say 8.1 mm make each leg 0.1 mm and the web
/// of a channel 0.2 mm longer than its flat is made for.
#[test]
fn strips_say_what_they_mean_on_the_parts_of_a_job() {
    let folder = tempfile::tempdir().unwrap();
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    fs::copy(root.join("parts/shop.toml"), folder.path().join("shop.toml")).unwrap();
    fs::write(folder.path().join("job.toml"), BENT).unwrap();
    let mut arguments = vec!["--v", "32 mm", "--radius", "5.1 mm", "--job", "job.toml"];
    for blank in ["199.9 mm", "200 mm"] {
        arguments.extend(["--strip", "104.05 mm", "104 mm", blank, "90 deg"]);
    }
    let (good, _, said) = calibrate(folder.path(), &arguments);
    assert!(good, "{said}");
    // 8.15 and 8.05: mean 8.1, error 0.05, limit 12.706 × 0.05 = 0.635.
    for words in [
        "channel-pump: `web`, between 2 bends, comes out 0.2 mm too long without this row, ± 0.64 mm",
        "angle-pump: `leg` comes out 0.1 mm too long without this row, ± 0.32 mm",
    ] {
        assert!(said.contains(words), "{words} is missing in\n{said}");
    }
    let other: Vec<&str> =
        arguments.iter().map(|a| if *a == "32 mm" { "50 mm" } else { a }).collect();
    let (_, _, said) = calibrate(folder.path(), &other);
    assert!(said.contains("no part of job is bent from S235 of 4 mm over a V of 50 mm"), "{said}");
}

/// A job that stops, here for want of its shop file, does not lose the row; a file that has one of
/// this sheet gets no second.
#[test]
fn a_job_that_stops_does_not_keep_the_row_back() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("own.toml"), "about = \"ours\"\n").unwrap();
    fs::write(folder.path().join("job.toml"), BENT).unwrap();
    let mut arguments = STRIPS.to_vec();
    arguments.extend(["--job", "job.toml", "--into", "own.toml"]);
    let (good, row, said) = calibrate(folder.path(), &arguments);
    assert!(
        !good && said.contains("stop[no-file]") && said.contains("added to own.toml"),
        "{said}"
    );
    assert!(!said.contains("nothing was written"), "{said}");
    assert!(row.contains("deduction = \"7.839 mm\""), "{row}");
    let shop = || fs::read_to_string(folder.path().join("own.toml")).unwrap();
    assert!(shop().contains(&row), "{}", shop());
    let mut arguments = STRIPS.to_vec();
    arguments.extend(["--nominal", "4.02 mm", "--into", "own.toml"]);
    let (good, _, said) = calibrate(folder.path(), &arguments);
    assert!(!good && said.contains("has a row for this sheet and V; remove it first"), "{said}");
    assert_eq!(shop().matches("[[measured]]").count(), 1);
}

/// The row has the springback, and a job bends by it: 90° and 2.2° more.
#[test]
fn measured_springback_is_what_the_job_bends_by() {
    let folder = tempfile::tempdir().unwrap();
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let shop = fs::read_to_string(root.join("parts/shop.toml")).unwrap();
    let row = shop.find("[[measured]]").unwrap();
    let next = row + shop[row + 1..].find("[[measured]]").unwrap() + 1;
    fs::write(folder.path().join("shop.toml"), format!("{}{}", &shop[..row], &shop[next..]))
        .unwrap();
    let mut arguments = vec!["--v", "32 mm", "--radius", "5.1 mm", "--under-load", "92.2 deg"];
    arguments.extend(["--strip", "103.9 mm", "104 mm", "200 mm", "90 deg", "--into", "shop.toml"]);
    let (good, row, said) = calibrate(folder.path(), &arguments);
    assert!(good && row.contains("springback = \"2.2 deg\""), "{row}{said}");
    assert!(said.contains("springback 2.2°: for a finished bend of 90°, bend to 92.2°"), "{said}");
    fs::write(folder.path().join("job.toml"), BENT).unwrap();
    let program = Command::new(env!("CARGO_BIN_EXE_platewright")).current_dir(folder.path());
    program.args(["make", "job.toml", "--effort", "0"]).assert().success();
    let report = fs::read_to_string(folder.path().join("out/job/report.json")).unwrap();
    let report: serde_json::Value = serde_json::from_str(&report).unwrap();
    let bend = &report["parts"][1]["bends"][0];
    assert_eq!(bend["made"]["angle_under_load_deg"], 92.2, "{bend}");
    assert!(bend["step"].get("bend_to_deg").is_none(), "{bend}");
    let page = fs::read_to_string(folder.path().join("out/job/report.html")).unwrap();
    assert!(page.contains("Springback is as the shop measured it on strips"));
    assert!(!page.contains("Springback is computed"));
}

#[test]
fn the_sheet_says_how_strips_are_measured() {
    let folder = tempfile::tempdir().unwrap();
    let (good, sheet, _) = calibrate(folder.path(), &["--v", "32 mm", "--worksheet"]);
    assert!(good);
    for words in [
        "V 32 mm",
        "to the mould line",
        "an included angle of 88° is a bend angle of 92°",
        "about 5.1 mm",
    ] {
        assert!(sheet.contains(words), "{words} is missing in\n{sheet}");
    }
    assert!(sheet.lines().all(|line| line.chars().count() <= 104), "{sheet}");
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
}

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

/// A user's own material is in `tables` beside the shop file, or where one is.
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

/// The target of a link gets the row, keeps its mode, and no other file of the user's beside it is
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
    let openings: Vec<String> = (0..12).map(|n| format!("16.{n:02} mm")).collect();
    let path = folder.path();
    std::thread::scope(|scope| {
        for v in &openings {
            scope.spawn(move || {
                let mut arguments = MEASURES.to_vec();
                arguments[1] = v;
                arguments.extend(["--thickness", "3 mm", "--into", "shop.toml"]);
                let (good, _, said) = calibrate(path, &arguments);
                assert!(good, "{v}: {said}");
            });
        }
    });
    let shop = fs::read_to_string(folder.path().join("shop.toml")).unwrap();
    assert_eq!(shop.matches("[[measured]]").count(), openings.len(), "{shop}");
}
