//! A draughtsman's review: a legible flat, loads with their arrows and sizes, a number at every
//! corner, a machine with its tables beside it.

use crate::files::drawn;
use crate::files::drawn::notes;
use crate::files::drawn::text;
use crate::files::drawn::words;
use crate::files::shop_drawings::DRAWINGS;
use crate::files::shop_drawings::faults;
use crate::files::shop_drawings::solve;
use crate::own;
use platewright::diag::Sources;
use platewright::drawings;
use platewright::geom::Point;
use platewright::paper::Format;
use platewright::paper::Item;
use platewright::paper::Page;
use platewright::paper::Pages;
use platewright::paper::Pen;
use platewright::report;

/// A strip 64 wide, bent seven times: a ladder of a flat.
fn rack() -> Pages {
    let long = [40, 50, 60, 36, 60, 50, 40, 30];
    let face = |(i, long): (usize, &usize)| {
        let half = long / 2;
        format!(
            "[face.f{i}]\nblank = [ {{ add = \"polygon\", corners = [ [\"-32 mm\", \"0\"], [\"32 mm\", \"0\"], \
             {{ at = [\"32 mm\", \"{long} mm\"], edge = \"top\" }}, [\"-32 mm\", \"{long} mm\"] ] }} ]\n\
             holes = [ {{ name = \"h{i}\", at = [\"0\", \"{half} mm\"], diameter = \"9 mm\", \
             row = {{ count = \"2\", pitch = \"{} mm\" }} }} ]\n",
            30 + i
        )
    };
    let faces: String = long.iter().enumerate().map(face).collect();
    let bend = |(i, angle): (usize, &usize)| {
        let side = if [0, 3, 4].contains(&i) { "up" } else { "down" };
        format!(
            "[bend.b{i}]\non = \"f{i}.top\"\nto = \"f{}\"\nangle = \"{angle} deg\"\n\
             radius = \"2 mm\"\nside = \"{side}\"\n",
            i + 1
        )
    };
    let bends: String = [90, 60, 45, 90, 90, 45, 90].iter().enumerate().map(bend).collect();
    let job = "process = \"waterjet\"\nshop = \"shop.toml\"\n[[sheet]]\nname = \"steel\"\nmaterial = \"S235\"\n\
               thickness = \"1.5 mm\"\nstock = []\n[[part]]\nrecipe = \"own\"\nname = \"rack\"\nsheet = \"steel\"\n";
    let (job, all) = solve(job, &format!("about = \"Rack\"\n{faces}{bends}"));
    drawings::shop_drawing(&job, &all, &all[0], Format::A4)
}

fn says(page: &Page, wanted: &str) -> bool {
    words(page).iter().any(|words| words.text == wanted)
}

#[test]
fn a_small_flat_has_an_upright_sheet_with_the_formed_part_beside_it() {
    let drawing = rack();
    assert_eq!(drawing.pages.len(), 3);
    let both = ["Flat, top side up", "Formed part"];
    assert!(both.iter().all(|panel| says(&drawing.pages[0], panel)), "{}", text(&drawing));
    let (outline, _) = notes(&drawing.pages[0], &["outline"])[0];
    // On a sheet on its side it has 1:10, and its holes are dots.
    assert!((outline.scale - 0.5).abs() < 1e-9, "1:{}", 1.0 / outline.scale);
    let [width, height] = drawing.size;
    assert!(height > width, "a flat 350 high asks for an upright sheet");
    // Its findings do not push it smaller.
    assert!(
        says(&drawing.pages[0], "Findings and notes: on a further sheet."),
        "{}",
        text(&drawing)
    );
    let found = faults(&drawing);
    assert!(found.is_empty(), "{found:?}");
}

fn of_demo(name: &str) -> &'static Pages {
    let wanted = format!("demo, A4: {name}");
    let found = DRAWINGS.iter().find(|(name, _)| *name == wanted);
    &found.unwrap_or_else(|| panic!("the demo has {name}")).1
}

/// The page of a load and the shafts of its arrows.
fn load<'a>(drawing: &'a Pages, name: &str) -> (&'a Page, Vec<[Point; 2]>) {
    let heading = format!("Load: {name}");
    let page = drawing.pages.iter().find(|page| says(page, &heading)).expect("the load has a page");
    let shafts = drawn::items(page).into_iter().filter_map(|item| match item {
        // Crosses are shorter, and circles have two edges.
        Item::Line(Pen::Load, edges) if edges.len() == 1 && edges[0].length() > 5.0 => {
            Some([edges[0].from, edges[0].to])
        }
        _ => None,
    });
    (page, shafts.collect())
}

#[test]
fn a_load_is_drawn_as_an_arrow_at_its_place_with_its_value() {
    // A pull of 14 kN, away from the foot that is welded.
    let (page, shafts) = load(of_demo("tab-tow"), "towed out of the mud");
    let [[from, to]] = shafts.as_slice() else { panic!("{shafts:?}") };
    assert!(to.y > from.y + 4.0 && (to.x - from.x).abs() < 1e-6, "{from:?} {to:?}");
    let value = words(page).into_iter().filter(|words| words.text == "14 kN");
    let nearest = value.map(|words| (words.at - *to).hypot()).fold(f64::MAX, f64::min);
    assert!(nearest < 12.0, "{nearest} from the arrow");
    // Along the plate either way, on two ears.
    let (page, shafts) = load(of_demo("ears-tie-rod"), "steering into a rock");
    assert_eq!(shafts.len(), 2, "{shafts:?}");
    assert!(says(page, "2.25 kN") && text_of(page).contains("on 2 pieces, 2.25 kN on each"));
    // Normal to the leg of an angle: in the view from the side, horizontal, where the leg is
    // vertical.
    let (page, shafts) = load(of_demo("angle-valve-block"), "valve block vibrating");
    let level = shafts.iter().filter(|[from, to]| (from.y - to.y).abs() < 1e-6);
    assert!(level.count() == 2 && shafts.len() == 2, "{shafts:?}");
    // In the flat end on, at each of two holes: a circle for either way.
    let round = |item: &&&Item| matches!(item, Item::Line(Pen::Load, edges) if edges.len() == 2);
    assert_eq!(drawn::items(page).iter().filter(round).count(), 4);
    assert!(says(page, "Seen from the right edge of the flat"), "{}", text_of(page));
    // 0.267 kN on two bolts, 3/4 in above the outside of the base.
    assert!(says(page, "0.1335 kN each") || says(page, "0.134 kN each"), "{}", text_of(page));
    let arm = words(page).into_iter().filter(|words| words.text == "19.05").count();
    assert!(arm >= 1, "{}", text_of(page));
}

fn text_of(page: &Page) -> String {
    words(page).iter().map(|words| format!("{} ", words.text)).collect()
}

#[test]
fn what_a_load_above_a_plate_is_given_by_is_dimensioned() {
    let (page, shafts) = load(of_demo("base-seat"), "leaning back on a slope");
    // In the flat where it acts, then at its height.
    let [.., a, b] = shafts.as_slice() else { panic!("{shafts:?}") };
    assert!(shafts.len() == 4 && shafts.iter().all(|[a, b]| (a.y - b.y).abs() < 1e-6));
    assert!(says(page, "0.5 kN"));
    let size = |text: &str| words(page).into_iter().find(|words| words.text == text);
    let (height, foot) = (size("300").expect("its height"), size("60").expect("its foot"));
    // The arrow is as far above the foot as the two sizes have it to scale: 5 feet.
    assert!((a[0].y - b[0].y).abs() < 1e-6 && a[0].y > height.at.y && height.at.y > foot.at.y);
    let post = drawn::items(page).into_iter().find_map(|item| match item {
        Item::Line(Pen::Phantom, edges) if edges.len() == 4 => Some(item.bounds()),
        _ => None,
    });
    let post = post.expect("what stands there is drawn");
    let ratio = post.height() / post.width();
    assert!((ratio - 5.0).abs() < 1e-6, "{ratio}");
    assert!((post.max.y - a[0].y).abs() < 1e-6, "the arrow is at its top");
}

/// A leg of 3.5 in less a clip as wide as the relief across the plate: one number at two corners.
#[test]
fn a_corner_across_the_metal_has_its_own_number() {
    let job = "units = \"in\"\nprocess = \"laser\"\n[[sheet]]\nname = \"steel\"\nmaterial = \"A36\"\n\
               thickness = \"11 ga\"\nstock = []\n[[part]]\nrecipe = \"gusset\"\nname = \"main\"\nsheet = \"steel\"\n\
               given = { main = \"2 in\", branch = \"1-1/2 in\", leg_main = \"3.5 in\", leg_branch = \"3.5 in\", clip = \"0.315 in\" }\n";
    let (job, all) = solve(job, "");
    let drawing = drawings::shop_drawing(&job, &all, &all[0], Format::Letter);
    for kind in ["running-x", "running-y"] {
        let found = notes(&drawing.pages[0], &[kind]);
        let of = |text: &str| found.iter().filter(|(note, _)| note.text == text).count();
        assert_eq!([of("0.315"), of("3.5")], [2, 1], "{kind}");
    }
    let found = faults(&drawing);
    assert!(found.is_empty(), "{found:?}");
}

/// (54.5 - 21.09) / 2 = 16.7 between the corners of the nut and the wall, less 1.5 of root.
#[test]
fn what_is_taken_off_the_room_of_a_nut_is_said() {
    let said = text(of_demo("cap-arch-leg")).replace('\n', " ");
    assert!(said.contains("1.5 for the root of the weld of the tube"), "{said}");
}

/// The machine of the README.
fn machine() -> &'static str {
    let readme = include_str!("../../../parts/README.md");
    let (_, section) = readme.split_once("### The machine\n").expect("it has a section");
    let (_, job) = section.split_once("```toml job\n").expect("it has a job");
    job.split_once("```").expect("the job ends").0
}

/// Every body has its number in the view from the front, nothing overlaps, and the tables are on
/// the first sheet.
#[test]
fn a_machine_is_drawn_large_with_its_tables_beside_it() {
    let mut sources = Sources::default();
    let asked = own::asked("", machine(), &mut sources);
    let (job, (all, _)) = asked.unwrap_or_else(|found| panic!("{found:#?}"));
    let drawing = drawings::machine_drawing(&job, &all, Format::A4).expect("it has a machine");
    let first = &drawing.pages[0];
    let said = text_of(first);
    for wanted in ["1:10", "Bodies", "Clearances", "top_end", "bump", "seen along +Y, along +X"] {
        assert!(said.contains(wanted), "{wanted}: {said}");
    }
    for number in 1..=10 {
        let number = number.to_string();
        let all = words(first).into_iter().filter(|words| words.text == number);
        assert!(all.filter(|words| words.height > 3.0).count() >= 1, "no {number}: {said}");
    }
    // Each view has its two axes and its viewing direction.
    let said = |text: &str| words(first).iter().filter(|words| words.text == text).count();
    for (text, times) in [("X", 1), ("Y", 1), ("Z", 2), ("along +Y", 1), ("along +X", 1)] {
        assert_eq!(said(text), times, "{text}");
    }
    let second = text_of(&drawing.pages[1]);
    for wanted in ["Machine seen along −Z, 1:10", "Scale 1:10", "Y X along −Z"] {
        assert!(second.contains(wanted), "{wanted}: {second}");
    }
    let found = faults(&drawing);
    assert!(found.is_empty(), "{found:?}");
}

/// Two prints of one machine have one hash; with another body it is another.
#[test]
fn a_machine_has_an_issue_that_changes_with_what_is_shown() {
    let issue = |text: &str| -> String {
        let mut sources = Sources::default();
        let asked = own::asked("", text, &mut sources);
        let (job, (all, _)) = asked.unwrap_or_else(|found| panic!("{found:#?}"));
        let drawing = drawings::machine_drawing(&job, &all, Format::A4).expect("it has a machine");
        let said = words(&drawing.pages[0]);
        assert!(says(&drawing.pages[0], "Issue"));
        let is_hash = |text: &str| text.len() == 7 && text.chars().all(|c| c.is_ascii_hexdigit());
        let mut hashes = said.iter().filter(|words| is_hash(&words.text));
        let hash = hashes.next().expect("it has a hash").text.clone();
        assert!(hashes.next().is_none(), "{hash}");
        hash
    };
    let post = "[[obstacle]]\nname = \"post\"\nshape = \"tube\"\noutside = \"20 mm\"\n\
                from = \"post_low\"\nto = \"post_high\"\n";
    let with = |x: u32| {
        let points = format!(
            "post_low = [\"{x} mm\", \"0 mm\", \"0 mm\"]\npost_high = [\"{x} mm\", \"0 mm\", \"400 mm\"]\n"
        );
        machine().replacen("[points]\n", &format!("[points]\n{points}"), 1) + post
    };
    let [plain, first, again, moved] =
        [machine().to_owned(), with(1500), with(1500), with(1501)].map(|text| issue(&text));
    assert_eq!(first, again);
    assert!(plain != first && first != moved, "{plain} {first} {moved}");
}

/// The continuation of a table on a further sheet has its heading and its heads there, and a view
/// there its scale.
#[test]
fn what_goes_on_of_a_machine_has_its_heading_and_its_scale() {
    let mut sources = Sources::default();
    let each = |of: &dyn Fn(usize) -> String| (1..=60).map(of).collect::<String>();
    let points = each(&|i| {
        let x = 1000 + 70 * i;
        format!(
            "low_{i} = [\"{x} mm\", \"0 mm\", \"0 mm\"]\nhigh_{i} = [\"{x} mm\", \"0 mm\", \"400 mm\"]\n"
        )
    });
    let posts = each(&|i| {
        format!(
            "[[obstacle]]\nname = \"post {i}\"\nshape = \"tube\"\noutside = \"20 mm\"\nfrom = \"low_{i}\"\n\
             to = \"high_{i}\"\n"
        )
    });
    let text = machine().replacen("[points]\n", &format!("[points]\n{points}"), 1) + &posts;
    let (job, (all, _)) =
        own::asked("", &text, &mut sources).unwrap_or_else(|found| panic!("{found:#?}"));
    let drawing = drawings::machine_drawing(&job, &all, Format::A4).expect("it has a machine");
    assert!(drawing.pages.len() > 1, "{} sheets", drawing.pages.len());
    let second = text_of(&drawing.pages[1]);
    for wanted in ["Bodies, continued", "body"] {
        assert!(second.contains(wanted), "{wanted}: {second}");
    }
    let said = second.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(!said.contains("Bodies, continued Bodies, continued"), "{said}");
    let found = faults(&drawing);
    assert!(found.is_empty(), "{found:?}");
}

/// A part that is checked and one that is made have the same said of them.
#[test]
fn a_check_counts_what_is_not_judged_as_a_make_does() {
    let text = "process = \"laser\"\n[[sheet]]\nname = \"steel\"\nmaterial = \"S235\"\n\
                thickness = \"5 mm\"\nstock = [ { size = [\"600 mm\", \"400 mm\"] } ]\n\
                [[part]]\nrecipe = \"clevis-plates\"\nname = \"ears\"\nsheet = \"steel\"\n\
                [[load]]\nname = \"pull\"\npart = \"ears\"\nhole = \"eye\"\nforce = \"1 kN\"\ndirection = \"pull\"\n";
    let mut sources = Sources::default();
    let asked = own::asked("", text, &mut sources);
    let (job, (all, _)) = asked.unwrap_or_else(|found| panic!("{found:#?}"));
    let checked = report::beside(&job, &all);
    let made = own::make("", text).unwrap_or_else(|found| panic!("{found:#?}"));
    assert_eq!(checked, made.report.beside());
    assert!(checked.limits > 0, "the pin is not judged: no grade is given");
}

/// A burnt corner overhangs the edge of the sheet: its drawing does not.
#[test]
fn a_keep_out_is_cut_off_at_the_edge_of_its_sheet() {
    let text = "process = \"laser\"\npaper = \"none\"\n[[sheet]]\nname = \"steel\"\nmaterial = \"S235\"\nthickness = \"3 mm\"\n\
                stock = [ { size = [\"600 mm\", \"400 mm\"], keep_out = [ { name = \"rust\", at = [\"590 mm\", \"390 mm\"], diameter = \"90 mm\" } ] } ]\n\
                [[part]]\nrecipe = \"tab\"\nname = \"tab\"\nsheet = \"steel\"\n";
    let made = own::make("", text).unwrap_or_else(|found| panic!("{found:#?}"));
    let page = made.files.iter().find(|file| file.name == "report.html").expect("it has a report");
    let page = String::from_utf8_lossy(&page.bytes).into_owned();
    let (_, after) = page.split_once("<clipPath id=\"").expect("the sheet is a clip");
    let (name, _) = after.split_once('"').expect("it has a name");
    assert!(page.contains(&format!("clip-path=\"url(#{name})\"")), "{name}");
    // The rest of the sheet is one remnant, which the report and the picture have.
    let remnant = made.report.sheets[0].remnant_mm.expect("a corner leaves a remnant");
    assert!(remnant[0] * remnant[1] > 0.5 * 600.0 * 400.0, "{remnant:?}");
}
