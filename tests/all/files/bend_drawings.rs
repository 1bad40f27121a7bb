//! Bends on drawings: formed sizes as a caliper reads them, however a flange was drawn, and how
//! each bend is set up.
//!
//! Sheet of 2 mm round 3 mm: a leg goes on for tan(angle / 2) (3 + 2) past where the bend
//! begins to the mould line, tan(angle / 2) 3 to the inside corner. A caliper along the leg
//! stops at the mould line up to 90° (both outer faces are straight up to it) and beyond
//! that at the outside of the bend itself, 3 + 2 past where it begins (as DIN 6935 takes
//! legs for openings of less than 90°).

use crate::files::drawn;
use platewright::diag::Sources;
use platewright::drawings;
use platewright::job;
use platewright::job::Shelf;
use platewright::paper::Format;
use platewright::paper::Page;
use platewright::recipe::SHIPPED;
use platewright::solve;
use platewright::table::Tables;

const JOB: &str = r#"
process = "laser"

[[sheet]]
name      = "steel"
material  = "S235"
thickness = "2 mm"
stock     = []

[[part]]
recipe = "own"
name   = "bracket"
sheet  = "steel"
"#;

/// A bracket: base and leg of 60 mm and 40 mm, as drawn.
fn recipe(angle: &str, measured: &str) -> String {
    format!(
        r#"about = "Bracket"

[face.base]
blank = [ {{ add = "rectangle", width = "50 mm", height = "60 mm", at = ["0", "-30 mm"] }} ]

[face.leg]
blank = [ {{ add = "rectangle", width = "50 mm", height = "40 mm", at = ["0", "20 mm"] }} ]

[bend.heel]
on       = "base.top"
to       = "leg"
angle    = "{angle} deg"
radius   = "3 mm"
measured = "{measured}"
"#
    )
}

fn words(page: &Page) -> Vec<String> {
    drawn::words(page).into_iter().map(|words| words.text.clone()).collect()
}

pub(super) const SHOP: &str = include_str!("../../../parts/shop.toml");

/// All words of the drawing, a line each.
fn drawing(own: &str) -> String {
    drawing_of(JOB, own)
}

fn drawing_of(text: &str, own: &str) -> String {
    drawing_in(SHOP, text, own)
}

/// The same in another shop.
pub(super) fn drawing_in(shop: &str, text: &str, own: &str) -> String {
    let tables = Tables::shipped();
    let recipe = |name: &str| Some((format!("{name}.toml"), own.to_owned()));
    let shelf = Shelf {
        file: &|name| Some((name.to_owned(), shop.to_owned())),
        drawing: &|_| None,
        recipe: &recipe,
        names: &Vec::new,
        tables: &tables,
        book: &|_| Ok(None),
    };
    let mut sources = Sources::default();
    let source = sources.add("job.toml", text);
    let job = job::read("job", source, text, &shelf, &mut sources)
        .unwrap_or_else(|found| panic!("{found:#?}"));
    let (solved, _) = solve::solve(&job, &shelf, &mut sources, &|| {})
        .unwrap_or_else(|found| panic!("{found:#?}"));
    let drawing = drawings::shop_drawing(&job, &solved, &solved[0], Format::A4);
    drawing.pages.iter().flat_map(words).map(|words| words + "\n").collect()
}

#[test]
fn formed_sizes_are_what_a_caliper_reads() {
    // Angle, how drawn, then base and leg as a caliper reads them, worked out by hand:
    // 60 and 40 less the length drawn past the start of the bend, plus the length a caliper reads.
    let cases = [
        ("45", "outside", "60", "40"),
        ("45", "tangent-outside", "60", "40"),
        ("45", "inside", "60.83", "40.83"),
        ("45", "tangent", "62.07", "42.07"),
        ("90", "outside", "60", "40"),
        ("90", "tangent-outside", "60", "40"),
        ("90", "inside", "62", "42"),
        ("90", "tangent", "65", "45"),
        ("135", "outside", "52.93", "32.93"),
        ("135", "tangent-outside", "60", "40"),
        ("135", "inside", "57.76", "37.76"),
        ("135", "tangent", "65", "45"),
    ];
    for (angle, measured, base, leg) in cases {
        let text = drawing(&recipe(angle, measured));
        for (face, size) in [("base", base), ("leg", leg)] {
            let row = format!("\n{face}\n50\n{size}\n");
            assert!(text.contains(&row), "{angle}° {measured}: no {row:?} in {text}");
        }
    }
}

#[test]
fn the_drawing_says_to_where_its_sizes_reach() {
    let says = |angle, words: &str| {
        let text = drawing(&recipe(angle, "outside")).replace('\n', " ");
        assert!(text.contains(words), "{angle}°: {words} is not said: {text}");
    };
    says("90", "Formed dimensions, outside");
    says(
        "45",
        "Beside bends of less than 90°, measured to the mould line, where the outer faces would meet.",
    );
    says("135", "Beside bends of more than 90°, measured to the outer tangent of the bend.");
    // Below the picture as well, however narrow its panel is.
    says("45", "Outside dimensions to the mould line");
    says("135", "Outside dimensions to the outer tangent");
    let square = drawing(&recipe("90", "outside"));
    assert!(!square.contains("Outside dimensions to"), "{square}");
}

const CORNER: &str = include_str!("../../data/trade/diagonal-corner.toml");
const GUSSET: &str = include_str!("../../data/trade/box-gusset.toml");
const STRAP: &str = include_str!("../../data/trade/twisted-strap.toml");

/// The two sizes of a face in the table of formed dimensions.
fn formed(own: &str, face: &str) -> [f64; 2] {
    let text = drawing(own);
    let (_, table) = text.split_once("Formed dimensions, outside\n").unwrap();
    let mut lines = table.lines().skip_while(|line| *line != face).skip(1);
    [(); 2].map(|()| lines.next().unwrap().parse().unwrap())
}

/// A mould line at a slant ends off the metal, where no caliper finds anything.
#[test]
fn beside_slanting_bends_sizes_are_those_of_real_edges() {
    assert_eq!(formed(CORNER, "plate"), [120.0, 90.0]);
    for face in ["strap", "piece-1", "piece-2", "piece-3"] {
        assert_eq!(formed(STRAP, face)[1], 40.0, "{face}");
    }
    let [x, y] = formed(GUSSET, "floor");
    assert_eq!(x, y);
    let text = drawing(STRAP).replace('\n', " ");
    for words in ["measured along its sides", "only the flat area of the face is measured"] {
        assert!(text.contains(words), "{words} is not said: {text}");
    }
}

#[test]
fn without_a_shop_nothing_is_said_of_tools() {
    let text = drawing(&recipe("90", "outside")).replace('\n', " ");
    assert!(text.contains("The job names no shop file"), "{text}");
    for words in ["bend to", "Set the nose", "Springback is computed", "Clearance "] {
        assert!(!text.contains(words), "{words}: {text}");
    }
}

/// A box on the demo's press brake: its last walls are between others, so the punch is used in
/// sections of those the shop has.
#[test]
fn the_drawing_says_how_each_bend_is_set_up() {
    let (_, shipped) = SHIPPED.iter().find(|(name, _)| *name == "box-bracket").unwrap();
    let given = "given = { length = \"160 mm\", width = \"120 mm\", height = \"20 mm\", holes = \"0\", radius = \"3 mm\" }";
    let job = format!("shop = \"shop.toml\"\n{JOB}{given}\n");
    let job = job.replace("thickness = \"2 mm\"", "thickness = \"3 mm\"");
    let text = drawing_of(&job, shipped);
    let flowing = text.replace('\n', " ");
    for words in [
        "Bends in order",
        "Scribe all bend lines first. Try the first bend on scrap.",
        "Press brake, V 16, straight punch",
        "section 100 starting 8 from the left end of the bend",
        "Clearance 5 or more between part and tools",
        "Check leg 120 from the outside of “front” to the outside of “back”, 90°",
        "to punch",
    ] {
        assert!(flowing.contains(words), "{words} is not said: {text}");
    }
}

/// A strap of 4 mm round a tube of 60.3 mm (30.23 mm inside with the shop's coating): DIN 6935 has
/// the neutral fibre in the middle from five thicknesses of radius on, so π (30.15 + 2) mm become
/// the half turn. Its feet are bent first.
#[test]
fn a_rolled_bend_is_drawn_from_tangent_to_tangent() {
    let own = SHIPPED.iter().find(|(name, _)| *name == "saddle-strap").unwrap().1;
    let job = JOB.replace("2 mm", "4 mm") + "given = { tube = \"60.3 mm\", pinch = \"0 mm\" }\n";
    let squeezed = |text: String| text.replace(['\n', ' '], "");
    let plain = squeezed(drawing_of(&job, own));
    for said in ["rollR30.15180°", "over101", "arcinside94.72", "towhereitbegins"] {
        assert!(plain.contains(said), "{said}:\n{plain}");
    }
    let shop = drawing_of(&job.replacen("process", "shop = \"shop.toml\"\nprocess", 1), own);
    let shop = squeezed(shop);
    for said in ["90°", "rollR30.23180°", "Viceand"] {
        assert!(shop.contains(said), "{said}:\n{shop}");
    }
}

/// A hem has its way of making, and no bend deduction, which could not be measured.
#[test]
fn a_hem_is_drawn_by_its_name() {
    let text = recipe("180", "tangent-outside")
        .replace("angle    = \"180 deg\"\nradius   = \"3 mm\"\n", "form = \"closed-hem\"\n");
    let drawn = drawing_of(&JOB.replace("2 mm", "1.5 mm"), &text).replace('\n', " ");
    for said in ["closed hem", "bend acute, then flatten"] {
        assert!(drawn.contains(said), "{said}:\n{drawn}");
    }
}

/// The box by hand, in sheet of 3 mm round 3 mm: DIN 6935 has the neutral fibre at K = 0.325, so that
/// a bend takes π/2 (3 + 0.325 × 3) = 6.244 mm. A wall of 20 mm outside reaches from its free edge
/// to the middle of the bend over 20 − 6 + 3.122 = 17.122 mm, the floor of 160 mm from there
/// to the other middle over 160 − 12 + 6.244, as long as that wall lies flat.
#[test]
fn the_first_line_of_a_box_is_measured_from_its_far_free_edge_and_later_ones_from_walls() {
    let (_, shipped) = SHIPPED.iter().find(|(name, _)| *name == "box-bracket").unwrap();
    let given = "given = { length = \"160 mm\", width = \"120 mm\", height = \"20 mm\", holes = \"0\", radius = \"3 mm\" }";
    let plain = format!("{JOB}{given}\n").replace("thickness = \"2 mm\"", "thickness = \"3 mm\"");
    let text = drawing_of(&plain, shipped).replace('\n', " ");
    assert!(text.contains("The job names no shop file"), "{text}");
    assert_eq!(text.matches("Gauge 17.12 from").count(), 4, "{text}");
    // On the press the stop is behind the die: the far wall's edge, then that wall's outside.
    let shop = drawing_of(&format!("shop = \"shop.toml\"\n{plain}"), shipped).replace('\n', " ");
    let legs: Vec<&str> =
        ["Check leg 120 from the outside of", "Check leg 160 from the outside of"].to_vec();
    assert!(legs.iter().all(|leg| shop.contains(leg)), "{shop}");
    assert!(shop.contains("Back gauge") && shop.contains("from the outside of"), "{shop}");
}

/// Words in one line, as the strip has them.
fn said(text: &str, own: &str) -> String {
    drawing_of(text, own).replace('\n', " ")
}

pub(super) fn shipped(name: &str) -> &'static str {
    SHIPPED.iter().find(|(other, _)| *other == name).expect("a recipe that is shipped").1
}

/// A tongue of the clamped side reaches past the bend line: its tip can be gauged from, but no leg
/// ends there. The moving side has no edge along the line, so only the angle can be checked.
#[test]
fn a_tongue_of_what_is_held_ends_no_leg() {
    let own = r#"about = "Plate with a slanting fold beside a tongue"
[face.plate]
blank = [
  { add = "rectangle", width = "140 mm", height = "110 mm", at = ["70 mm", "55 mm"] },
  { add = "polygon", corners = [["20 mm", "100 mm"], ["50 mm", "100 mm"], { at = ["50 mm", "160 mm"], round = "8 mm" }, { at = ["20 mm", "160 mm"], round = "8 mm" }] },
]
[bend.diagonal]
across = "plate"
line   = [["70 mm", "110 mm"], ["140 mm", "40 mm"]]
moves  = ["140 mm", "110 mm"]
to     = "ear"
angle  = "60 deg"
"#;
    let text = said(JOB, own);
    assert!(text.contains("tip of “plate”"), "{text}");
    assert!(!text.contains("Check leg"), "{text}");
    assert!(text.contains("Check the angle: 60° outside / 120° inside"), "{text}");
}

#[test]
fn a_bend_without_an_edge_along_it_is_checked_by_its_angle() {
    let text = said(JOB, shipped("corner-closer"));
    assert!(text.contains("Check the angle: 125.3° outside / 54.7° inside"), "{text}");
}

const TRAY: &str = r#"about = "Tray whose walls close at the corners"

[face.base]
blank = [
  { add = "polygon", corners = [
      { at = ["-100 mm", "-25 mm"] },
      { at = ["100 mm", "-25 mm"], edge = "right" },
      { at = ["100 mm", "25 mm"], edge = "back" },
      { at = ["-100 mm", "25 mm"], edge = "left" },
  ] },
]

[face.right]
blank = [ { add = "rectangle", width = "50 mm", height = "30 mm", at = ["0", "15 mm"] } ]

[face.left]
blank = [ { add = "rectangle", width = "50 mm", height = "30 mm", at = ["0", "15 mm"] } ]

[face.back]
blank = [ { add = "rectangle", width = "200 mm", height = "30 mm", at = ["0", "15 mm"] } ]

[bend.right]
on     = "base.right"
to     = "right"
angle  = "90 deg"
corner = "closed"
relief = "round"

[bend.left]
on     = "base.left"
to     = "left"
angle  = "90 deg"
corner = "closed"
relief = "round"

[bend.back]
on     = "base.back"
to     = "back"
angle  = "90 deg"
corner = "closed"
relief = "round"
"#;

/// Closed corners: the end of `back`, still flat and 30 mm long, lies a sheet's thickness further in
/// than the outside of `right`, which is straight across from the line.
#[test]
fn a_stop_leans_on_the_wall_across_from_the_bend_not_on_an_end_beside_it() {
    let job = format!("shop = \"shop.toml\"\n{JOB}").replace("\"2 mm\"", "\"3 mm\"");
    let text = said(&job, TRAY);
    let leg = "Check leg 200 from the outside of “right” to the outside of “left”, 90°";
    for words in ["from the outside of “right” Check leg", leg] {
        assert!(text.contains(words), "{words} is not said: {text}");
    }
    assert!(!text.contains("edge of “back” to the outside of “left”"), "{text}");
}

/// The figures of the handbook begin at a radius of one thickness. On either side of it the softest
/// sheet is large, and the range is the same but for the effect of the radius itself.
#[test]
fn what_a_bend_goes_to_does_not_jump_where_the_handbook_begins() {
    let to = |radius: &str| -> [f64; 3] {
        let own = recipe("90", "outside").replace("3 mm", radius);
        let text = said(&format!("shop = \"shop.toml\"\n{JOB}"), &own);
        let (_, after) = text.split_once("bend to ").unwrap_or_else(|| panic!("{text}"));
        let large = after.split_once('°').map_or("", |(words, _)| words);
        let range = text.split('°').find_map(|words| words.rsplit(' ').next()?.split_once('–'));
        let (low, high) = range.unwrap_or_else(|| panic!("no range: {text}"));
        [large, low, high].map(|words| words.parse().expect("an angle in degrees"))
    };
    let ([large, low, high], [other_large, other_low, other_high]) = (to("2.04 mm"), to("1.96 mm"));
    assert!((large - low).abs() < 1e-9 && (other_large - other_low).abs() < 1e-9);
    assert!(
        high > low + 0.3 && other_high > other_low + 0.3,
        "{low} {high} {other_low} {other_high}"
    );
    assert!((low - other_low).abs() < 0.11 && (high - other_high).abs() < 0.11);
}

/// The shipped joggle: the pad's top 24 mm above the foot's, sheet of 2 mm: 26 over both outsides.
#[test]
fn a_joggle_is_checked_by_its_offset_over_both_outsides() {
    let given = "given = { offset = \"24 mm\", angle = \"45 deg\" }\n";
    let text = said(&format!("{JOB}{given}"), shipped("tab-joggle"));
    assert!(
        text.contains("Check offset 26 from the outside of “foot” to the outside of “pad”"),
        "{text}"
    );
    assert!(text.contains("Offset of pad from foot, outside to outside: 26."), "{text}");
    // 24 + 2 (1 - cos 45°) over sin 45°, between corners on opposite sides of the ramp.
    let (_, table) = text.split_once("Formed dimensions").expect("the table of formed sizes");
    let (table, _) = table.split_once("Notes").unwrap_or((table, ""));
    assert!(table.contains(" – 135° inside, to foot") && !table.contains("34.77"), "{table}");
}

/// Two tabs in one line, bent the same way, are parallel and no joggle.
#[test]
fn two_tabs_in_one_line_have_no_offset() {
    let tab = |name: &str| {
        format!(
            "[face.{name}]\nblank = [ {{ add = \"rectangle\", width = \"40 mm\", height = \"40 mm\", at = [\"0\", \"20 mm\"] }} ]\n\
             [bend.{name}]\non = \"base.{name}\"\nto = \"{name}\"\nangle = \"90 deg\"\n"
        )
    };
    let base = r#"about = "Base with two tabs"
[face.base]
blank = [ { add = "polygon", corners = [
  ["0", "-60 mm"], ["120 mm", "-60 mm"], { at = ["120 mm", "0"], edge = "right" }, ["80 mm", "0"],
  ["80 mm", "-15 mm"], ["40 mm", "-15 mm"], { at = ["40 mm", "0"], edge = "left" }, ["0", "0"],
] } ]
"#;
    let text = said(JOB, &format!("{base}{}{}", tab("left"), tab("right")));
    assert!(text.contains("Formed dimensions"), "{text}");
    assert!(!text.to_lowercase().contains("offset"), "{text}");
}
