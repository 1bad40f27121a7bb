//! The shop drawings of the demo and of parts that are hard to draw, as a person sees them.

use crate::files::drawn;
use crate::files::drawn::lines;
use crate::files::drawn::text;
use crate::files::drawn::words;
use platewright::diag::Sources;
use platewright::drawings;
use platewright::geom::Bounds;
use platewright::geom::Point;
use platewright::job;
use platewright::job::Job;
use platewright::job::Shelf;
use platewright::num::Angle;
use platewright::paper;
use platewright::paper::Format;
use platewright::paper::Item;
use platewright::paper::Pages;
use platewright::paper::Pen;
use platewright::paper::Reading;
use platewright::paper::Words;
use platewright::solve;
use platewright::solve::Solved;
use platewright::table::Tables;
use rayon::prelude::*;
use std::sync::LazyLock;

const DEMO: &str = include_str!("../../../parts/jobs/vineyard-cart.toml");
const HOSES: &str = include_str!("../../../parts/jobs/hoses.csv");
const SHOP: &str = include_str!("../../../parts/shop.toml");

/// A part of holes in rows.
const ROWS: &str = "process = \"laser\"\n\n[[sheet]]\nname = \"steel\"\nmaterial = \"S235\"\n\
                    thickness = \"3 mm\"\nstock = []\n\n\
                    [[part]]\nrecipe = \"own\"\nname = \"rows\"\nsheet = \"steel\"\n";

/// Rounding, and the margin between a letter's shape and its rectangle, mm.
const NEAR: f64 = 0.05;

/// No words are smaller than this, mm.
const MIN: f64 = 2.5;

/// A stair of as many bends as wanted, and a plate with as many holes.
fn own(bends: usize, columns: usize) -> String {
    let face = |i: usize| {
        let holes = match i {
            0 => format!(
                "holes = [ {{ name = \"vent\", at = [\"0\", \"-30 mm\"], diameter = \"4 mm\", \
                 grid = {{ columns = \"{columns}\", rows = \"3\", pitch = [\"9 mm\", \"9 mm\"] }} }} ]\n"
            ),
            _ => String::new(),
        };
        let foot = if i == 0 { "-60 mm" } else { "0 mm" };
        format!(
            "[face.step{i}]\nblank = [ {{ add = \"polygon\", corners = [ [\"-100 mm\", \"{foot}\"], \
             [\"100 mm\", \"{foot}\"], {{ at = [\"100 mm\", \"30 mm\"], edge = \"top\" }}, \
             [\"-100 mm\", \"30 mm\"] ] }} ]\n{holes}\n"
        )
    };
    let bend = |i: usize| {
        let side = if i.is_multiple_of(2) { "up" } else { "down" };
        format!(
            "[bend.turn{i}]\non = \"step{}.top\"\nto = \"step{i}\"\nangle = \"90 deg\"\nside = \"{side}\"\n\n",
            i - 1
        )
    };
    let faces: String = (0..=bends).map(face).collect();
    let bends: String = (1..=bends).map(bend).collect();
    format!("about = \"Stair\"\n\n{faces}{bends}")
}

pub(crate) fn solve(text: &str, own: &str) -> (Job, Vec<Solved>) {
    let tables = Tables::shipped();
    let shipped = Shelf::shipped(&tables);
    let recipe = |wanted: &str| match wanted {
        "own" => Some(("own.toml".to_owned(), own.to_owned())),
        _ => (shipped.recipe)(wanted),
    };
    let file = |name: &str| {
        let text = if name.ends_with(".csv") { HOSES } else { SHOP };
        Some((name.to_owned(), text.to_owned()))
    };
    let shelf = Shelf { file: &file, recipe: &recipe, ..shipped };
    let mut sources = Sources::default();
    let source = sources.add("job.toml", text);
    let job = job::read("job", source, text, &shelf, &mut sources)
        .unwrap_or_else(|found| panic!("{found:#?}"));
    let (solved, _) = solve::solve(&job, &shelf, &mut sources, &|| {})
        .unwrap_or_else(|found| panic!("{found:#?}"));
    (job, solved)
}

/// A job of one sheet with the part that has many holes and many bends, and one of a recipe
/// with a name that takes several lines.
fn hard(units: &str, bends: usize, columns: usize) -> (Job, Vec<Solved>) {
    let name = "bracket-for-the-second-hose-reel-behind-the-left-hand-mudguard-of-the-trailer";
    let text = format!(
        "units = \"{units}\"\nprocess = \"laser\"\n\n[[sheet]]\nname = \"steel\"\nmaterial = \"S235\"\n\
         thickness = \"2 mm\"\nbend_radius = \"2 mm\"\nstock = []\n\n\
         [[part]]\nrecipe = \"own\"\nname = \"stair\"\nsheet = \"steel\"\n\n\
         [[part]]\nrecipe = \"tab\"\nname = \"{name}\"\nsheet = \"steel\"\n"
    );
    solve(&text, &own(bends, columns))
}

/// All drawings of jobs, with the names of their parts.
pub(crate) static DRAWINGS: LazyLock<Vec<(String, Pages)>> = LazyLock::new(all_drawings);

/// A plate with a hole in its middle and rounded corners.
fn plate(width: &str, height: &str) -> String {
    format!(
        "about = \"x\"\n[face.plate]\nblank = [ {{ add = \"rectangle\", width = \"{width}\", \
         height = \"{height}\", corner = \"2 mm\" }} ]\nholes = [ {{ name = \"hole\", \
         at = [\"0\", \"0\"], diameter = \"4 mm\" }} ]\n"
    )
}

fn all_drawings() -> Vec<(String, Pages)> {
    let in_inches = DEMO.replacen("\"mm\"", "\"in\"", 1);
    let (demo, inches) = rayon::join(|| solve(DEMO, ""), || solve(&in_inches, ""));
    let rows = solve(ROWS, include_str!("../../data/trade/skid-plate.toml"));
    let jig = solve(ROWS, include_str!("../../data/trade/drill-jig.toml"));
    let long = solve(ROWS, &plate("900 mm", "140 mm"));
    let small = solve(ROWS, &plate("12 mm", "12 mm"));
    let sixty = solve(ROWS, &own(1, 20));
    let pair = solve(ROWS, &format!("mirror = true\n{}", own(2, 3)));
    let jobs = [
        ("60 holes", &sixty, Format::A4),
        ("pair", &pair, Format::A4),
        ("900 mm", &long, Format::A4),
        ("12 mm", &small, Format::Letter),
        ("demo, A4", &demo, Format::A4),
        ("demo in inches", &inches, Format::Letter),
        ("many bends", &hard("mm", 7, 3), Format::A4),
        ("many holes", &hard("in", 1, 14), Format::Letter),
        ("rows of holes", &rows, Format::A4),
        ("holes on a circle", &jig, Format::A4),
    ];
    let drawings = jobs.into_par_iter().flat_map(|(what, (job, all), format)| {
        all.par_iter().map(move |one| {
            (format!("{what}: {}", one.name), drawings::shop_drawing(job, all, one, format))
        })
    });
    drawings.collect()
}

fn within(a: &Bounds, b: &Bounds) -> bool {
    a.min.x >= b.min.x && a.min.y >= b.min.y && a.max.x <= b.max.x && a.max.y <= b.max.y
}

/// Whether a straight line runs into a rectangle: cut off at each of its sides in turn.
fn runs_into(line: &[Point; 2], bounds: &Bounds) -> bool {
    let [mut a, mut b] = line.map(|p| [p.x, p.y]);
    for (axis, min, max) in [(0, bounds.min.x, bounds.max.x), (1, bounds.min.y, bounds.max.y)] {
        if a[axis] > b[axis] {
            std::mem::swap(&mut a, &mut b);
        }
        if b[axis] <= min || a[axis] >= max {
            return false;
        }
        let cut = |at: f64| {
            let share = (at - a[axis]) / (b[axis] - a[axis]);
            [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])]
        };
        let (from, to) = (cut(min), cut(max));
        if a[axis] < min {
            a = from;
        }
        if b[axis] > max {
            b = to;
        }
    }
    true
}

fn contains(bounds: &Bounds, p: Point) -> bool {
    bounds.min.x <= p.x && p.x <= bounds.max.x && bounds.min.y <= p.y && p.y <= bounds.max.y
}

/// The rectangle of words that may slant: in horizontal position, and how they are rotated about
/// the beginning of their line.
struct Slanted {
    bounds: Bounds,
    about: Point,
    angle: Angle,
}

impl Slanted {
    fn of(words: &Words) -> Self {
        let (level, angle) = match words.reading {
            Reading::Slanting(tenths) => {
                let level = Words { reading: Reading::Level, ..words.clone() };
                (level.bounds(), Angle::from_degrees(f64::from(tenths) / 10.0))
            }
            _ => (words.bounds(), Angle::ZERO),
        };
        Self { bounds: level.grown(-NEAR), about: words.at, angle }
    }

    /// A point of the page as the level rectangle has it.
    fn seen(&self, p: Point) -> Point {
        let (by, sin, cos) = (p - self.about, self.angle.sin(), self.angle.cos());
        self.about + (by.x * cos + by.y * sin, by.y * cos - by.x * sin)
    }

    /// Its corners on the page.
    fn corners(&self) -> [Point; 4] {
        let (sin, cos) = (self.angle.sin(), self.angle.cos());
        let Bounds { min, max } = self.bounds;
        [min, Point::new(max.x, min.y), max, Point::new(min.x, max.y)].map(|p| {
            let by = p - self.about;
            self.about + (by.x * cos - by.y * sin, by.x * sin + by.y * cos)
        })
    }

    /// Whether a side of another reaches into it.
    fn meets(&self, other: &Self) -> bool {
        let corners = other.corners().map(|p| self.seen(p));
        (0..4).any(|i| runs_into(&[corners[i], corners[(i + 1) % 4]], &self.bounds))
    }
}

/// The visible faults of a drawing, each in words.
pub(crate) fn faults(drawing: &Pages) -> Vec<String> {
    let [width, height] = drawing.size;
    let whole =
        Bounds { min: Point::new(20.0, 10.0), max: Point::new(width - 10.0, height - 10.0) };
    let mut faults = Vec::new();
    for (i, page) in drawing.pages.iter().enumerate() {
        let mut say = |what: String| faults.push(format!("page {}: {what}", i + 1));
        let (words, lines) = (words(page), lines(page));
        for (j, word) in words.iter().enumerate() {
            let own = Slanted::of(word);
            let is_zone = word.height == MIN && word.text.len() == 1;
            if !own.corners().iter().all(|p| contains(&whole, *p)) && !is_zone {
                say(format!("{:?} leaves the frame", word.text));
            }
            if word.height < MIN - NEAR {
                say(format!("{:?} is {} mm high", word.text, word.height));
            }
            for other in &words[..j] {
                let beside = Slanted::of(other);
                if own.meets(&beside) || beside.meets(&own) {
                    say(format!("{:?} lies on {:?}", word.text, other.text));
                }
            }
            let runs = |line: &&[Point; 2]| runs_into(&line.map(|p| own.seen(p)), &own.bounds);
            if let Some([from, to]) = lines.iter().find(runs) {
                let at = word.at;
                say(format!(
                    "a line runs through {:?} at {at:.1}: {from:.1} to {to:.1}",
                    word.text
                ));
            }
        }
        let on_sheet = Bounds { min: Point::ZERO, max: Point::new(width, height) };
        for [from, to] in lines {
            let bounds = Bounds { min: from, max: from }.with(to);
            if !within(&bounds, &on_sheet.grown(-1.0)) {
                say(format!("a line from {from:?} to {to:?} leaves the sheet"));
            }
        }
    }
    faults
}

#[test]
fn nothing_on_a_paper_lies_on_anything_else() {
    assert!(DRAWINGS.len() > 60, "{} drawings", DRAWINGS.len());
    let faults: Vec<String> = DRAWINGS
        .iter()
        .flat_map(|(name, paper)| faults(paper).into_iter().map(move |f| format!("{name}, {f}")))
        .collect();
    assert!(faults.is_empty(), "{faults:#?}");
}

/// The drawing of the first part of a recipe of the trade.
fn of_trade(name: &str) -> Pages {
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/trade/");
    let own = std::fs::read_to_string(format!("{file}{name}.toml")).expect("the recipe is there");
    let job = "process = \"laser\"\n[[sheet]]\nname = \"steel\"\nmaterial = \"S235\"\nthickness = \"3 mm\"\nstock = []\n[[part]]\nrecipe = \"own\"\nname = \"own\"\nsheet = \"steel\"\n";
    let (job, (all, _)) = crate::own::asked(&own, job, &mut Sources::default())
        .unwrap_or_else(|found| panic!("{name}: {}", found[0].headline));
    drawings::shop_drawing(&job, &all, &all[0], Format::A4)
}

/// Numbers above a flat have a separate line: where they would leave the frame it is lower.
#[test]
fn numbers_above_a_flat_stay_within_the_frame() {
    let faults = faults(&of_trade("box-gusset"));
    let off: Vec<&String> = faults.iter().filter(|fault| fault.contains("leaves")).collect();
    assert!(off.is_empty(), "{off:?}");
}

/// The side of a chute is 300 wide above, over both flanges; 287.41 is its flat alone.
#[test]
fn flanges_beside_slanting_bends_are_measured_over_their_outsides() {
    let words = text(&of_trade("chute-side"));
    let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("Over right and left at their ends, outside: 300."), "{words}");
}

#[test]
fn each_planted_fault_is_seen() {
    let clean = DRAWINGS.iter().find(|(_, drawing)| faults(drawing).is_empty());
    let (_, good) = clean.expect("most drawings have no fault");
    let planted = |item: Item| {
        let mut drawing = good.clone();
        drawing.pages[0].items.push(item);
        faults(&drawing).join("\n")
    };
    let inside = words(&good.pages[0]).iter().find(|w| w.text == "Part").unwrap().at;
    let plain = |at: Point, text: &str| Item::Words(Words::plain(at, 2.5, text));
    assert!(planted(plain(inside, "on it")).contains("lies on \"Part\""));
    assert!(
        planted(plain(Point::new(270.0, 90.0), "far over the edge")).contains("leaves the frame")
    );
    let tiny = Item::Words(Words::plain(Point::new(40.0, 188.0), 2.0, "tiny"));
    assert!(planted(tiny).contains("\"tiny\" is 2 mm high"));
    let line = Item::line(Pen::Fine, inside + (2.0, -1.0), inside + (3.0, 6.0));
    assert!(planted(line).contains("a line runs through \"Part\""));
    let off = Item::line(Pen::Fine, inside, Point::new(-3.0, 40.0));
    assert!(planted(off).contains("leaves the sheet"));
}

#[test]
fn pictures_and_pages_say_the_same() {
    for (name, drawing) in DRAWINGS.iter() {
        let svg = paper::svg(drawing);
        let drawn = svg.matches("<text").count();
        assert_eq!(drawn, drawing.pages.iter().flat_map(words).count(), "{name}");
        let plain = svg.replace("&amp;", "&").replace("&lt;", "<").replace("&gt;", ">");
        let plain = plain.replace("&quot;", "\"").replace("&apos;", "'").replace("&#39;", "'");
        for line in text(drawing).lines() {
            assert!(plain.contains(&format!(">{line}<")), "{name}: {line:?} is not in the picture");
        }
    }
}

/// The demo's ears on the tie rod: ball 14 wide, spacers of 2, 0.25 of play, two films of
/// 0.08: 18.41 bare, 18.25 coated.
#[test]
fn the_fit_of_a_clevis_is_told_once() {
    let (job, all) = solve(DEMO, "");
    let ears = all.iter().find(|s| s.name == "ears-tie-rod").unwrap();
    let text = text(&drawings::shop_drawing(&job, &all, ears, Format::A4));
    for wanted in ["Gap between the ears, rod end M10", "18.41", "18.25", "bare", "coated"] {
        assert_eq!(text.lines().filter(|line| *line == wanted).count(), 1, "{wanted:?}\n{text}");
    }
    assert!(text.contains("18.25 coated, 18.41 bare"), "{text}");
    assert!(text.contains("Swing (misalignment angle)"), "{text}");
}

/// Circles of a radius on a drawing.
fn circles(drawing: &Pages, radius: f64) -> usize {
    let items = drawing.pages.iter().flat_map(drawn::items);
    let is_ring = |item: &&Item| match item {
        Item::Line(_, edges) => {
            edges.len() == 2
                && edges
                    .iter()
                    .all(|e| e.arc().is_some_and(|arc| (arc.radius - radius).abs() < 1e-6))
        }
        _ => false,
    };
    items.filter(is_ring).count()
}

#[test]
fn a_weld_all_round_has_its_circle_and_others_have_none() {
    let (job, all) = solve(DEMO, "");
    let drawing = |name: &str| {
        let solved = all.iter().find(|s| s.name == name).unwrap();
        drawings::shop_drawing(&job, &all, solved, Format::A4)
    };
    for (name, rings, note, leg) in [
        ("tab-tow", 1, "", "z4"),
        ("ears-tie-rod", 1, "", "z3.2"),
        ("gusset-arch-front", 0, "", "z3"),
        ("clevis-brake-rod", 0, "one side; if the base", "z2.3"),
    ] {
        let drawing = drawing(name);
        assert_eq!(circles(&drawing, 1.25), rings, "{name}");
        let text = text(&drawing);
        for wanted in [note, leg].into_iter().filter(|words| !words.is_empty()) {
            assert!(text.lines().any(|line| line == wanted), "{name}: {wanted:?}\n{text}");
        }
        assert!(!text.contains("not given"), "{name}: each weld of the demo has its leg\n{text}");
    }
}

#[test]
fn every_title_strip_says_what_is_made_of_what_and_what_these_numbers_are_not() {
    for (name, drawing) in DRAWINGS.iter() {
        let part = name.rsplit(": ").next().unwrap();
        for page in &drawing.pages {
            let text: String = words(page).iter().map(|w| format!("{}\n", w.text)).collect();
            let labels = ["Part", "Qty", "Material", "Thickness", "Blank size", "Issue", "Sheet"];
            // A name of two lines leaves no room for its label.
            let is_short = |label: &&str| *label != "Part" || part.len() < 60;
            for label in labels.into_iter().chain(["Tolerance", "Units"]).filter(is_short) {
                assert_eq!(
                    text.lines().filter(|l| *l == label).count(),
                    1,
                    "{name}: {label}\n{text}"
                );
            }
            assert!(text.replace('\n', "").contains(part), "{name}\n{text}");
            assert!(text.contains("no check here proves strength"), "{name}\n{text}");
        }
        assert!(text(drawing).contains("Checks: "), "{name}");
    }
}

/// The doubler is 60 + 2 · 27 by 48 + 2 · 27, in the middle of 220 by 140.
#[test]
fn a_plate_on_another_has_its_place_on_it() {
    let job = ROWS.replace("\"own\"", "\"doubler-plate\"").replace("3 mm", "4 mm");
    let (job, all) = solve(&job, "");
    let laid = all.iter().find(|s| s.part.laid.is_some()).unwrap();
    let text = text(&drawings::shop_drawing(&job, &all, laid, Format::A4));
    let text = text.replace('\n', " ");
    assert!(text.contains("the lower left corner of this flat at X 53, Y 19 of"), "{text}");
}

/// The plate is 200 by 120. The pad is 60 by 40, its middle 50 right of that of the plate and 10
/// above; in a plate that is turned over, as far left of it.
#[test]
fn plates_of_two_hands_have_their_places_on_the_plates_of_theirs() {
    let sunk = "holes = [ { name = \"sunk\", at = [\"-10 mm\", \"10 mm\"], diameter = \"6 mm\", countersink = { diameter = \"10 mm\", angle = \"90 deg\" } } ]";
    let own = |plate: &str, pad: &str| {
        format!(
            "about = \"x\"\nmirror = true\n[face.plate]\nblank = [ {{ add = \"rectangle\", width = \"200 mm\", height = \"120 mm\" }} ]\n{plate}\n[face.pad]\npieces = 1\nlaid_on = {{ face = \"plate\", at = [\"50 mm\", \"10 mm\"] }}\nblank = [ {{ add = \"rectangle\", width = \"60 mm\", height = \"40 mm\" }} ]\n{pad}\n"
        )
    };
    for (plate, pad, part, wanted) in [
        (sunk, sunk, "pad-right", &["Placed on rows-plate-right: X 120, Y 50"][..]),
        (sunk, sunk, "pad-left", &["Placed on rows-plate-left: X 20, Y 50"]),
        ("", sunk, "pad-right", &["Placed on rows-plate: X 120, Y 50"]),
        // The left pad, turned over, has its lower left corner at the lower right of the other.
        ("", sunk, "pad-left", &["Placed on the bottom of rows-plate: X 180, Y 50"]),
        (
            sunk,
            "",
            "pad",
            &[
                "Placed on rows-plate-right: X 120, Y 50",
                "Flipped over, placed on rows-plate-left: X 80, Y 50",
            ],
        ),
        ("", "", "pad", &["Placed on rows-plate: X 120, Y 50"]),
    ] {
        let (job, all) = solve(ROWS, &own(plate, pad));
        let one = all.iter().find(|of| of.name == format!("rows-{part}")).unwrap();
        let text = text(&drawings::shop_drawing(&job, &all, one, Format::A4));
        let text = text.replace('\n', " ").replace("the lower left corner of this flat at ", "");
        assert_eq!(text.matches("laced on").count(), wanted.len(), "{text}");
        assert!(wanted.iter().all(|words| text.contains(words)), "{part}: {text}");
    }
}

/// A pilot of 9.5 for a hole of 10 leaves the allowance for reaming.
#[test]
fn nothing_is_drilled_where_the_reamer_takes_the_rest() {
    let (_, jig) = DRAWINGS.iter().find(|(name, _)| name == "holes on a circle: rows").unwrap();
    let text = text(jig);
    assert!(text.contains("\nream Ø10\n") && !text.contains("undersize"), "{text}");
    assert!(text.contains("Holes not enlarged for coating"), "{text}");
}

/// The text of the drawing of the one part of a recipe, one word after the other.
fn said_of(own: &str) -> String {
    let (job, all) = solve(ROWS, own);
    text(&drawings::shop_drawing(&job, &all, &all[0], Format::A4)).replace('\n', " ")
}

/// The text of a drawing of the demo, one word after the other.
fn of_demo(name: &str) -> String {
    let wanted = format!("demo, A4: {name}");
    let (_, drawing) = DRAWINGS.iter().find(|(name, _)| *name == wanted).expect("the demo has it");
    text(drawing).replace('\n', " ")
}

/// The drawings for assembly and for purchase of the spacers agree.
#[test]
fn a_drawing_names_the_spacers_of_its_rod_end() {
    assert!(of_demo("ears-tie-rod").contains("4 M10 × 2 spacers"));
    assert!(of_demo("clevis-brake-rod").contains("4 M8 × 16 spacers"));
    assert!(!of_demo("ears-drag-link-box").contains("M10 × 2 spacers"));
}

/// The seat has 0.15 of play all round: nothing is pressed into it.
#[test]
fn a_cap_says_how_its_nut_is_held_and_which_tube_it_is_for() {
    let said = of_demo("cap-cross-rail");
    for wanted in [
        "seat for M8 nut",
        "Weld the M8 nut into its seat",
        "34 inside, wall 3",
        "Tube outside: 40 mm",
    ] {
        assert!(said.contains(wanted), "{wanted}: {said}");
    }
    assert!(!said.contains("pressed") && said.contains("Weld all round to the tube"), "{said}");
}

/// The base of the box is 120 by 90 outside, its holes 15 from each flange; the web of the channel
/// 60, its holes in the middle.
#[test]
fn holes_between_several_bends_are_placed_from_one_of_each_direction() {
    let said = of_demo("box-switch");
    for row in ["A1, A2 base front 15", "A3, A4 base front 75", "A2, A4 base right 15"] {
        assert!(said.contains(row), "{row}: {said}");
    }
    assert!(of_demo("channel-boom-guide").contains("A1, A2 web front 30"));
}

/// Plates that are bolted together call the same hole by one letter.
#[test]
fn a_base_and_its_backing_plate_number_their_holes_alike() {
    let places = |name: &str| {
        let wanted = format!("demo, A4: {name}");
        let (_, drawing) = DRAWINGS.iter().find(|(name, _)| *name == wanted).expect("it is there");
        let letters = drawn::notes(&drawing.pages[0], &["letter"]);
        let mut holes: Vec<(String, Point)> = letters
            .iter()
            .filter(|(note, _)| note.text.starts_with('A'))
            .map(|(note, _)| (note.text.clone(), note.feet[0]))
            .collect();
        holes.sort_by(|a, b| a.0.cmp(&b.0));
        let [first, .., last] = &holes[..] else { panic!("{holes:?}") };
        assert!(first.1.x < last.1.x && first.1.y < last.1.y, "{name}: {holes:?}");
        holes.iter().map(|(name, at)| (name.clone(), at.x < last.1.x - 1.0)).collect::<Vec<_>>()
    };
    assert_eq!(places("base-seat"), places("backing-seat"));
}

/// Two ears 42 and 42 wide are one flat; 42 and 42.4 are distinguished in text, 42 and 44 by eye.
#[test]
fn parts_that_are_cut_alike_are_named() {
    assert!(of_demo("ears-tie-rod").contains("Same flat as ears-drag-link-upright."));
    let of = |foot: &str| {
        let other = format!(
            "{ROWS}given = {{ foot = \"42 mm\" }}\n\n[[part]]\nrecipe = \"tab\"\nname = \"other\"\nsheet = \"steel\"\ngiven = {{ foot = \"{foot}\" }}\n"
        );
        let (job, all) = solve(&other.replace("\"own\"", "\"tab\""), "");
        text(&drawings::shop_drawing(&job, &all, &all[0], Format::A4)).replace('\n', " ")
    };
    let near = of("42.4 mm");
    assert!(near.contains("Easily confused with other, which differs by"), "{near}");
    assert!(!of("44 mm").contains("other"));
}

/// Names of recipes are printed as a shop says them.
#[test]
fn no_key_of_a_file_stands_on_paper() {
    for (name, drawing) in DRAWINGS.iter() {
        let said = text(drawing);
        let key = said.lines().find(|line| line.contains('_'));
        assert_eq!(key, None, "{name}");
    }
    assert!(of_demo("angle-valve-block").contains("at holes B1, B2"));
    assert!(of_demo("tab-tow").contains("tension at the hole"));
}

/// 2 · (2 + 2) + 4 from top to top, and the thickness of 3: the reading of a caliper over both.
#[test]
fn the_offset_of_a_joggle_stands_in_its_picture() {
    let job = ROWS.replace("\"own\"", "\"tab-joggle\"");
    let (job, all) = solve(&job, "");
    let drawing = drawings::shop_drawing(&job, &all, &all[0], Format::A4);
    let said = text(&drawing);
    let table = said.replace('\n', " ");
    let offset =
        table.split("outside to outside: ").nth(1).and_then(|rest| rest.split(". ").next());
    let offset = offset.unwrap_or_else(|| panic!("{table}"));
    assert!(said.lines().any(|line| line == offset), "{offset}: {said}");
}

/// A circle of a weld all round touches nothing but its leader and its reference line.
#[test]
fn no_circle_of_a_weld_sits_on_a_line() {
    let mut seen = 0;
    // Parts without holes this small on paper.
    let welded = |name: &str| {
        ["ears-", "tab-"].iter().any(|kind| name.starts_with(&format!("demo, A4: {kind}")))
    };
    for (name, drawing) in DRAWINGS.iter().filter(|(name, _)| welded(name)) {
        for page in &drawing.pages {
            let lines = lines(page);
            let rings = drawn::items(page).into_iter().filter_map(|item| match item {
                Item::Line(_, edges) if edges.len() == 2 => {
                    let [a, b] = [edges[0].arc()?, edges[1].arc()?];
                    let is = (a.radius - 1.25).abs() < 1e-6 && (b.radius - 1.25).abs() < 1e-6;
                    is.then_some(a.centre)
                }
                _ => None,
            });
            for centre in rings {
                seen += 1;
                let own = |p: &Point| (*p - centre).hypot() < 1.3;
                let off = |[a, b]: &[Point; 2]| {
                    let along = *b - *a;
                    let share = ((centre - *a).dot(along) / along.hypot2()).clamp(0.0, 1.0);
                    (*a + along * share - centre).hypot()
                };
                let others = lines.iter().filter(|line| !line.iter().any(own));
                let nearest = others.map(off).fold(f64::INFINITY, f64::min);
                assert!(nearest > 1.5, "{name}: {nearest} from {centre:?}");
            }
        }
    }
    assert!(seen > 8, "{seen} circles");
}

/// A size that is not given is rounded to sixteenths in a job in inches: a corner of 3 mm is 1/8
/// in.
#[test]
fn sizes_of_a_job_in_inches_are_not_those_of_one_in_millimetres() {
    let job = ROWS.replace("\"own\"", "\"angle\"");
    let (job, all) = solve(&format!("units = \"in\"\n{job}"), "");
    let said = text(&drawings::shop_drawing(&job, &all, &all[0], Format::Letter));
    assert!(said.lines().any(|line| line == "4× R0.125"), "{said}");
    assert!(!said.contains("× R0.118"), "{said}");
}

/// Many holes have their sizes in a table beside their places, by letter, so that none needs room
/// at the flat.
#[test]
fn the_sizes_of_many_holes_stand_in_a_table() {
    let hole = |i: u32| {
        let (x, size) = (8 * i, 30 + i);
        format!(
            "{{ name = \"h{i}\", at = [\"{x} mm\", \"5 mm\"], diameter = \"{}.{} mm\" }},",
            size / 10,
            size % 10
        )
    };
    let holes: String = (1..=14).map(hole).collect();
    let recipe = format!(
        "about = \"x\"\n[face.plate]\nblank = [ {{ add = \"rectangle\", width = \"120 mm\", height = \"12 mm\", \
         at = [\"60 mm\", \"5 mm\"] }} ]\nholes = [ {holes} ]\n"
    );
    let said = said_of(&recipe);
    assert!(said.contains("Hole sizes") && said.contains("N Ø4.4"), "{said}");
    assert!(!said.contains("No room at the flat for: Ø"), "{said}");
}

/// The shortfall of a weld is separate from the text on the weld.
#[test]
fn the_words_below_a_weld_symbol_do_not_run_together() {
    let recipe = "about = \"x\"\n[face.plate]\nblank = [ { add = \"polygon\", corners = [ \
                  { at = [\"0\", \"0\"], edge = \"foot\" }, [\"90 mm\", \"0\"], [\"90 mm\", \"60 mm\"], \
                  [\"0\", \"60 mm\"] ] } ]\nweld = [ { edge = \"foot\", note = \"outside\" } ]\n";
    let said = said_of(recipe);
    assert!(said.contains("outside; leg not given"), "{said}");
}

/// A radius counts the arcs that are seen with it, two of them beside the slot, and a waist between
/// two round ends has its place.
#[test]
fn a_strap_with_a_waist_has_its_width() {
    let demo = DRAWINGS.iter().find(|(name, _)| name == "demo, A4: strap-tank");
    let (_, drawing) = demo.expect("the demo has a strap");
    let said: Vec<String> = drawn::notes(&drawing.pages[0], &["radius", "running-y"])
        .iter()
        .map(|(note, _)| note.text.clone())
        .collect();
    for wanted in ["4× R10.72", "1.19", "20.24"] {
        assert!(said.iter().any(|text| text == wanted), "{wanted}: {said:?}");
    }
}

/// A cope names its tube, and its cut; one along the sheet has straight edges and no note.
#[test]
fn a_cope_is_named_by_its_tube() {
    let of = |name: &str| {
        let all = DRAWINGS.iter().find(|(part, _)| part == &format!("demo, A4: {name}"));
        text(&all.expect("the demo has it").1).replace('\n', " ")
    };
    let along = of("gusset-arch-brace");
    assert!(!along.contains("Coped"), "{along}");
    let slanting = of("tab-cable-brace");
    assert!(slanting.contains("Coped at an angle to the sheet: tube Ø38"), "{slanting}");
    assert!(of("ears-tie-rod").contains("tube Ø60.3"));
}

/// A rod end that does not fit in the worst case is reported beside the verdict of the checks.
#[test]
fn a_gap_too_narrow_at_its_worst_is_not_called_clear() {
    let job = |coating: &str| {
        format!(
            "process = \"waterjet\"\n{coating}\n[[sheet]]\nname = \"steel\"\nmaterial = \"S235\"\n\
             thickness = \"4 mm\"\nstock = []\n\n[[part]]\nrecipe = \"clevis-weldment\"\nname = \"clevis\"\nsheet = \"steel\"\n"
        )
    };
    let mut narrow = 0;
    for coating in ["", "coating = \"powder\""] {
        let (job, all) = solve(&job(coating), "");
        for one in all.iter().filter(|one| one.clevis.is_some()) {
            let gap = &one.clevis.as_ref().expect("filtered").gap;
            let said =
                text(&drawings::shop_drawing(&job, &all, one, Format::A4)).replace('\n', " ");
            let is_narrow = gap.min_play()[1] < 0.0;
            narrow += usize::from(is_narrow);
            assert_eq!(
                is_narrow,
                said.contains("except for the fit") || said.contains("and the fit"),
                "{said}"
            );
            assert_eq!(is_narrow, said.contains("Fit: with all tolerances"), "{said}");
        }
    }
    assert!(narrow > 0, "no case was narrow");
}
