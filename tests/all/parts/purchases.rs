//! The purchase list of a job: hardware, tubes by whole bars, coated area.

use crate::own;
use platewright::make::Made;

const HEAD: &str = r#"process = "laser"
[[sheet]]
name      = "steel"
material  = "S235"
thickness = "4 mm"
stock     = [ { size = ["1000 mm", "500 mm"] } ]
"#;

fn made(job: &str) -> Made {
    let own = "about = \"Square plate\"\n[face.plate]\nblank = [ { add = \"rectangle\", width = \"100 mm\", height = \"50 mm\" } ]\n";
    own::make(own, job).unwrap_or_else(|found| panic!("{}", found[0].headline))
}

/// The rows of a list, without its head.
fn rows(made: &Made, name: &str) -> Vec<String> {
    let file = made.files.iter().find(|file| file.name == name);
    let Some(file) = file else { return Vec::new() };
    let text = String::from_utf8(file.bytes.clone()).unwrap();
    text.lines().skip(1).map(str::to_owned).collect()
}

/// The only row that begins so.
fn row(rows: &[String], start: &str) -> String {
    let found: Vec<&String> = rows.iter().filter(|row| row.starts_with(start)).collect();
    assert_eq!(found.len(), 1, "{start}: {rows:#?}");
    found[0].clone()
}

const TUBES: &str = r#"
[[tube]]
name = "rail"
quantity = 4
tube = "38 x 2"
length = "2900 mm"
[[tube]]
name = "post"
quantity = 3
tube = "38 x 2"
length = "190 mm"
"#;

/// 4 rails of 2900 and 3 posts of 190 mm: two rails and a post with two kerfs of 2 mm take 5994 of 6000 mm.
#[test]
fn tubes_are_bought_by_the_fewest_bars() {
    let made = made(&format!("{HEAD}{TUBES}"));
    let list = rows(&made, "purchases.csv");
    let tube = row(&list, "tube,");
    assert!(
        tube.starts_with("tube,\"38 mm × 2 mm, bar of 6000 mm\",3,pieces,rail post,"),
        "{tube}"
    );
    assert!(tube.contains("proven minimum") && tube.contains("assumed"), "{tube}");
    let cuts = rows(&made, "bars.csv");
    let pieces = cuts.iter().filter(|row| !row.contains(",offcut,")).count();
    assert_eq!((cuts.len(), pieces), (7 + 3, 7), "{cuts:#?}");
    assert!(cuts[2].ends_with(",1,post,190") && cuts[3].ends_with(",1,offcut,4"), "{cuts:#?}");
    // A bar of 5.98 m has no room for a post as well: the job gives its length.
    let own = "[[bar]]\nlength = \"5.98 m\"\nkerf = \"3 mm\"\n[[bar]]\ntube = \"38 x 3\"\nlength = \"1 m\"\n";
    let list = rows(&self::made(&format!("{HEAD}{own}{TUBES}")), "purchases.csv");
    let tube = row(&list, "tube,");
    assert!(tube.contains("bar of 5980 mm\",3,") && tube.contains("kerf 3 mm"), "{tube}");
    assert!(!tube.contains("assumed"), "{tube}");
    let short = format!("{HEAD}[[bar]]\ntube = \"38 x 2\"\nlength = \"2 m\"\n{TUBES}");
    let list = rows(&self::made(&short), "purchases.csv");
    let tube = row(&list, "tube,");
    assert!(
        tube.contains(",1,pieces,")
            && tube.contains("CAUTION: longer than a bar")
            && tube.contains("rail"),
        "{tube}"
    );
}

#[test]
fn rod_ends_jam_nuts_bungs_and_washers_are_on_the_list() {
    let link = "[[link]]\nname = \"drag\"\nquantity = 2\npins = \"620 mm\"\nrod_end = \"M10\"\n";
    let ears = "[[part]]\nrecipe = \"clevis-plates\"\nname = \"ears\"\nsheet = \"steel\"\nlink = \"drag\"\ngiven = { spacer = \"2 mm\" }\n";
    let list = rows(&made(&format!("{HEAD}{link}{ears}")), "purchases.csv");
    for (item, quantity) in [
        ("sheet,", 1),
        ("bolt,", 1),
        ("washer,M10", 2),
        ("nut,M10", 1),
        ("spacer,", 2),
        ("tube,", 1),
    ] {
        let row = row(&list, item);
        assert!(row.contains(&format!(",{quantity},pieces,")), "{row}");
    }
    for item in ["rod end,", "jam nut,", "bung,"] {
        let both: Vec<&String> = list.iter().filter(|row| row.starts_with(item)).collect();
        let hands = both.iter().filter(|row| row.contains("LEFT-HAND")).count();
        assert_eq!((both.len(), hands), (2, 1), "{list:#?}");
        assert!(both.iter().all(|row| row.contains(",2,pieces,drag,")), "{both:#?}");
    }
}

/// A price is printed where the shop has one, and nowhere else; a total only where all are known.
#[test]
fn prices_are_those_that_are_known_and_no_others() {
    let plates = "[[part]]\nrecipe = \"own\"\nname = \"a\"\nsheet = \"steel\"\nquantity = 120\n";
    let head = format!("shop = \"shop.toml\"\ncoating = \"0 mm\"\n{HEAD}");
    let head = head.replace("\"500 mm\"] }", "\"500 mm\"], price = 42 }");
    let list = rows(&made(&format!("{head}{plates}")), "purchases.csv");
    assert!(row(&list, "sheet,").ends_with(",,42.00,84.00,EUR"), "{list:#?}");
    assert_eq!(row(&list, "total,"), "total,,,,,,,84.00,EUR");
    let ear = "[[part]]\nrecipe = \"tab\"\nname = \"ear\"\nsheet = \"steel\"\nclamped = \"3 mm\"\n";
    let list = rows(&made(&format!("{head}{plates}{ear}")), "purchases.csv");
    assert!(row(&list, "bolt,").ends_with(",,,"), "{list:#?}");
    assert!(!list.iter().any(|row| row.starts_with("total")), "{list:#?}");
}

/// The grade is that of a load; where nobody says what else a bolt clamps, all lists say so alike.
#[test]
fn bolts_have_their_grade_and_all_lists_say_where_they_clamp_the_plate_alone() {
    let tab = |keys: &str| {
        format!(
            "{HEAD}[[part]]\nrecipe = \"tab\"\nname = \"ear\"\nsheet = \"steel\"\ngiven = {{ bolt = \"M8\" }}\n{keys}"
        )
    };
    let bolt = |keys: &str| row(&rows(&made(&tab(keys)), "purchases.csv"), "bolt,");
    let bare = bolt("");
    let alone = "length for the plate alone: add `clamped` to the part";
    assert!(bare.contains("grade not given") && bare.contains(alone), "{bare}");
    assert!(!bare.contains("CAUTION"), "{bare}");
    let said = bolt("clamped = \"3 mm\"\n");
    assert!(!said.contains("alone"), "{said}");
    for (keys, is) in [("", true), ("clamped = \"3 mm\"\n", false)] {
        let files = made(&format!("bench_list = true\n{}", tab(keys)));
        let hardware = row(&rows(&files, "hardware.csv"), "bolt,");
        assert_eq!(hardware.contains(alone), is, "{hardware}");
        let bench = rows(&files, "bench.csv").join("\n");
        assert_eq!(bench.contains("Its length is for the plate alone"), is, "{bench}");
    }
    let load = "[[load]]\nname = \"pull\"\npart = \"ear\"\nhole = \"eye\"\nforce = \"1 kN\"\ndirection = \"pull\"\ngrade = \"8.8\"\n";
    let graded = bolt(&format!("clamped = \"3 mm\"\n{load}"));
    assert!(graded.contains("grade 8.8") && !graded.contains("not given"), "{graded}");
}

/// By hand: a plate of 100 × 50 × 4 mm has 2 × 5000 + 300 × 4 = 11 200 mm²; a tube of 38 mm, 600 mm
/// long, π 38 × 600 = 71 628 mm².
#[test]
fn coated_parts_are_listed_by_film_with_their_area() {
    let job = format!(
        "coating = \"powder\"\n{HEAD}[[part]]\nrecipe = \"own\"\nname = \"a\"\nsheet = \"steel\"\nquantity = 100\n\
         [[part]]\nrecipe = \"own\"\nname = \"b\"\nsheet = \"steel\"\nquantity = 10\ncoating = \"zinc plate\"\n\
         [[part]]\nrecipe = \"own\"\nname = \"c\"\nsheet = \"steel\"\ncoating = \"0 mm\"\n\
         [[tube]]\nname = \"t\"\ntube = \"38 x 2\"\nlength = \"600 mm\"\n"
    );
    let list = rows(&made(&job), "purchases.csv");
    let powder = row(&list, "coating,thickness 0.08 mm,");
    assert!(powder.starts_with("coating,thickness 0.08 mm,1.192,m2,"), "{powder}");
    let zinc = row(&list, "coating,thickness 0.008 mm,");
    assert!(zinc.starts_with("coating,thickness 0.008 mm,0.112,m2,"), "{zinc}");
}
