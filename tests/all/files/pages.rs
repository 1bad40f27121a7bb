//! Drawings of random parts: nothing on a page overlaps anything else.

use crate::files::drawn;
use platewright::geom::Bounds;
use platewright::geom::Edge;
use platewright::geom::Outline;
use platewright::geom::Point;
use platewright::geom::Region;
use platewright::geom::Vertex;
use platewright::geom::disc;
use platewright::geom::rectangle;
use platewright::paper;
use platewright::paper::Callout;
use platewright::paper::EdgeNote;
use platewright::paper::Format;
use platewright::paper::Item;
use platewright::paper::Page;
use platewright::paper::Pages;
use platewright::paper::Pen;
use platewright::paper::Plan;
use platewright::paper::PlanBend;
use platewright::paper::Spot;
use platewright::paper::Tag;
use platewright::paper::Template;
use platewright::quantity::Units;
use proptest::prelude::*;

/// Rounding, mm.
const NEAR: f64 = 1e-6;

fn overlap(a: &Bounds, b: &Bounds) -> bool {
    let apart = |low: f64, high: f64| low >= high - NEAR;
    !(apart(a.min.x, b.max.x)
        || apart(b.min.x, a.max.x)
        || apart(a.min.y, b.max.y)
        || apart(b.min.y, a.max.y))
}

fn words(page: &Page) -> Vec<(Bounds, &str)> {
    let all = drawn::items(page).into_iter().filter_map(|item| match item {
        Item::Words(words) if !words.text.trim().is_empty() => {
            Some((words.bounds(), words.text.as_str()))
        }
        _ => None,
    });
    all.collect()
}

/// The first pair of words or blocks that overlap, or what leaves the page, in words.
fn fault(drawing: &Pages) -> Option<String> {
    let [width, height] = drawing.size;
    let whole = Bounds { min: Point::ZERO, max: Point::new(width, height) }.grown(-5.0);
    let inside = |b: &Bounds| {
        b.min.x >= whole.min.x
            && b.min.y >= whole.min.y
            && b.max.x <= whole.max.x
            && b.max.y <= whole.max.y
    };
    for (number, page) in drawing.pages.iter().enumerate() {
        let words = words(page);
        for (i, (a, text)) in words.iter().enumerate() {
            if !inside(a) {
                return Some(format!("page {}: {text:?} leaves the page: {a:?}", number + 1));
            }
            if let Some((b, other)) = words[..i].iter().find(|(b, _)| overlap(a, b)) {
                let both = format!("{a:?} and {b:?}");
                return Some(format!("page {}: {text:?} lies on {other:?}: {both}", number + 1));
            }
        }
        for (i, a) in page.blocks.iter().enumerate() {
            if page.blocks[..i].iter().any(|b| overlap(a, b)) || !inside(a) {
                return Some(format!("page {}: block {i} at {a:?}", number + 1));
            }
        }
    }
    None
}

/// A plate with a grid of holes, bend lines and a welded edge.
fn plan(size: (f64, f64), grid: (usize, usize), bends: &[f64], name: &str) -> Plan {
    let (wide, high) = size;
    let outline = rectangle(Point::new(wide / 2.0, high / 2.0), wide, high, 0.0).unwrap();
    let mut region = Region::solid(outline);
    let mut spots = Vec::new();
    let pitch = (wide / (grid.0 + 1) as f64, high / (grid.1 + 1) as f64);
    let radius = (pitch.0.min(pitch.1) / 4.0).min(9.0);
    for i in 0..grid.0 * grid.1 {
        let (column, row) = (i % grid.0 + 1, i / grid.0 + 1);
        let at = Point::new(column as f64 * pitch.0, row as f64 * pitch.1);
        let outline = disc(at, radius).unwrap();
        region = region.pierced(outline.clone()).unwrap();
        spots.push(Spot { label: format!("{name}{}", i + 1), at, outline });
    }
    let bends = bends.iter().enumerate().map(|(i, share)| {
        let (from, to) = match i % 3 {
            0 => (Point::new(share * wide, 0.0), Point::new(share * wide, high)),
            1 => (Point::new(0.0, share * high), Point::new(wide, share * high)),
            _ => (Point::new(0.0, share * high), Point::new(wide * share, high)),
        };
        let number = (i + 1).to_string();
        PlanBend { number, up: false, words: "91.5°".into(), line: Edge::line(from, to) }
    });
    let foot = Edge::line(Point::ZERO, Point::new(wide, 0.0));
    let note = EdgeNote { edges: vec![foot], tag: Tag::small("a note of the foot"), ring: 0.0 };
    let many = spots.len();
    Plan {
        defined: vec![region.outer().clone()],
        by_file: Vec::new(),
        region,
        faces: Vec::new(),
        located: (0..many.min(12)).collect(),
        points: Vec::new(),
        laid: Vec::new(),
        callouts: vec![Callout {
            letters: String::new(),
            lines: vec![format!("{many}× Ø{radius:.1}"), "for M6".into()],
            of: (0..many).collect(),
        }],
        tabled: false,
        notes: vec![note],
        phantoms: Vec::new(),
        marks: vec![vec![Edge::line(Point::new(1.0, 1.0), Point::new(wide - 1.0, 2.0))]],
        bends: bends.collect(),
        spots,
        rings: Vec::new(),
        found: Vec::new(),
        units: Units::Millimetre,
        largest: f64::INFINITY,
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]

    #[test]
    fn nothing_lies_on_anything_else(
        wide in 8.0..900.0_f64,
        high in 8.0..900.0_f64,
        columns in 1..9_usize,
        rows in 1..9_usize,
        bends in prop::collection::vec(0.05..0.95_f64, 0..9),
        letter in any::<bool>(),
    ) {
        let format = if letter { Format::Letter } else { Format::A4 };
        let [height, width] = format.size();
        let plan = plan((wide, high), (columns, rows), &bends, "AB");
        let room = Bounds { min: Point::new(20.0, 60.0), max: Point::new(width - 10.0, height - 15.0) };
        let drawn = plan.drawn(room);
        let page = Page { items: drawn.items, blocks: Vec::new() };
        let lettered = drawn::notes(&page, &["letter"]).len();
        let led = drawn::words(&page).iter().filter(|w| w.text.starts_with("AB")).count();
        let unlettered = drawn.left.iter().filter(|label| label.starts_with("AB")).count();
        prop_assert!(lettered <= led);
        prop_assert_eq!(led + unlettered, plan.spots.len(), "each hole is lettered or listed");
        for words in drawn::words(&page) {
            let (bounds, room) = (words.bounds(), room.grown(NEAR));
            let inside = bounds.min.x >= room.min.x && bounds.max.x <= room.max.x;
            prop_assert!(inside && bounds.min.y >= room.min.y && bounds.max.y <= room.max.y, "{}", words.text);
        }
        let drawing = Pages { title: String::new(), size: [width, height], pages: vec![page] };
        prop_assert_eq!(fault(&drawing), None);
    }

    #[test]
    fn every_point_of_a_template_is_on_some_page_at_its_true_size(
        wide in 5.0..900.0_f64,
        high in 5.0..700.0_f64,
        letter in any::<bool>(),
    ) {
        let format = if letter { Format::Letter } else { Format::A4 };
        let middle = Point::new(wide / 2.0, high / 2.0);
        let outline = rectangle(middle, wide, high, 0.0).unwrap();
        let hole = disc(middle, wide.min(high) / 5.0).unwrap();
        let template = Template {
            name: "plate".into(),
            about: vec!["Print at 100 %.".into(); 4],
            cuts: vec![outline.edges().collect(), hole.edges().collect()],
            punches: vec![Spot { label: "A".into(), at: middle, outline: hole }],
            ..Template::default()
        };
        let drawing = template.pages(format.size());
        prop_assert_eq!(fault(&drawing), None);
        // Each corner is visible where a window shows it, and every visible edge has its true
        // length.
        let mut seen = 0.0;
        for page in &drawing.pages {
            let Some(Item::Window(window, items)) = page.items.first() else {
                return Err(TestCaseError::fail("a page shows nothing"));
            };
            for item in items {
                if let Item::Line(_, edges) = item {
                    for edge in edges.iter().filter(|e| e.is_line()) {
                        let is = edge.length();
                        // The cross at the centre reaches 1.2 mm over the hole.
                        let cross = 2.0 * (wide.min(high) / 5.0 + 1.2);
                        let known = [wide, high, cross].iter().any(|l| (l - is).abs() < 1e-9);
                        prop_assert!(known || is < 9.0, "{is} mm");
                    }
                    let corners = edges.iter().filter(|e| e.is_line()).map(|e| e.from);
                    let inside = |p: &Point| {
                        (window.min.x..=window.max.x).contains(&p.x)
                            && (window.min.y..=window.max.y).contains(&p.y)
                    };
                    seen += corners.filter(inside).count() as f64;
                }
            }
        }
        prop_assert!(seen >= 4.0, "{seen} corners are seen");
    }
}

/// All items of a page, those seen through a window included.
fn items(page: &Page) -> Vec<&Item> {
    let within = |item: &'_ Item| matches!(item, Item::Window(..));
    let windows = page.items.iter().filter(|item| within(item));
    let shown = windows.flat_map(|item| match item {
        Item::Window(_, items) => items.as_slice(),
        _ => &[],
    });
    page.items.iter().filter(|item| !within(item)).chain(shown).collect()
}

fn says(page: &Page, words: &str) -> bool {
    items(page).iter().any(|item| matches!(item, Item::Words(w) if w.text.contains(words)))
}

/// Whether these words are somewhere on their own.
fn lettered(page: &Page, words: &str) -> bool {
    items(page).iter().any(|item| matches!(item, Item::Words(w) if w.text == words))
}

/// Crosses at the points of punches: two lines with one centre.
fn crosses(page: &Page) -> usize {
    let centre = |item: &&Item| match item {
        Item::Line(Pen::Fine, edges) if edges.len() == 1 => Some(edges[0].point_at(0.5)),
        _ => None,
    };
    let centres: Vec<Point> = items(page).iter().filter_map(centre).collect();
    let twice =
        |(i, at): &(usize, &Point)| centres[..*i].iter().any(|p| (*p - **at).hypot() < NEAR);
    centres.iter().enumerate().filter(twice).count()
}

#[test]
fn a_template_keeps_its_name_on_the_piece_and_both_ends_of_a_slot() {
    let outline = rectangle(Point::new(40.0, 20.0), 80.0, 40.0, 4.0).unwrap();
    let corner = |x: f64, y: f64, bulge: f64| Vertex { at: Point::new(x, y), bulge };
    let slot = [(10.0, 17.0, 0.0), (30.0, 17.0, 1.0), (30.0, 23.0, 0.0), (10.0, 23.0, 1.0)];
    let slot = Outline::new(slot.map(|(x, y, bulge)| corner(x, y, bulge))).unwrap();
    let round = disc(Point::new(60.0, 30.0), 3.0).unwrap();
    let spot = |label: &str, outline: &Outline| Spot {
        label: label.into(),
        at: outline.bounds().centre(),
        outline: outline.clone(),
    };
    let fold = Edge::line(Point::new(45.0, 0.0), Point::new(45.0, 40.0));
    let piece =
        Region::solid(outline).pierced(slot.clone()).unwrap().pierced(round.clone()).unwrap();
    let template = Template {
        name: "strap".into(),
        staying: "this side up".into(),
        cuts: piece.outlines().map(|o| o.edges().collect()).collect(),
        bends: vec![(fold, "1: 90° up".into())],
        punches: vec![spot("A", &slot), spot("B", &round)],
        piece: Some(piece.clone()),
        ..Template::default()
    };
    let drawing = template.pages(Format::A4.size());
    assert_eq!(fault(&drawing), None);
    let [page] = &drawing.pages[..] else { panic!("{} pages", drawing.pages.len()) };
    assert_eq!(crosses(page), 3, "two ends of the slot and the round hole");
    assert!(lettered(page, "A") && lettered(page, "B") && lettered(page, "1: 90° up"));
    // The name lies on the metal, wherever the window shows that.
    let edges = |pen| {
        let all = items(page).into_iter();
        let edges = all.filter_map(|item| match item {
            Item::Line(of, edges) if *of == pen => Some(edges.clone()),
            _ => None,
        });
        edges.collect::<Vec<_>>()
    };
    let closed = |edges: &&Vec<Edge>| (edges[0].from - edges[edges.len() - 1].to).hypot() < NEAR;
    let cuts = edges(Pen::Narrow);
    assert_eq!(cuts.iter().filter(closed).count(), 3, "the finished edges are narrow");
    assert_eq!(edges(Pen::Dashed).len(), 0, "no hole is opened later");
    assert!(edges(Pen::Phantom).iter().any(|edges| (edges[0].length() - 40.0).abs() < 1e-9));
    let cuts = cuts.iter().filter(closed).flatten();
    let min = cuts.fold(Bounds::EMPTY, |b, e| b.and(e.bounds())).min;
    let on_piece = items(page).into_iter().any(|item| match item {
        Item::Words(words) if words.text.contains("this side up") => {
            let middle = words.bounds().centre() - min.to_vec2();
            piece.contains(middle)
        }
        _ => false,
    });
    assert!(on_piece, "the name is not on the piece");
}

/// A plate of a number of copies, with a hole that is opened later.
fn plate_template(wide: f64, high: f64, copies: usize) -> Template {
    let outline = rectangle(Point::new(wide / 2.0, high / 2.0), wide, high, 0.0).unwrap();
    let at = Point::new(wide / 4.0, high / 2.0);
    let (pilot, finished) = (disc(at, 2.5).unwrap(), disc(at, 4.5).unwrap());
    let piece = Region::solid(outline).pierced(pilot.clone()).unwrap();
    Template {
        name: "plate".into(),
        copies,
        about: vec!["Print at 100 %.".into()],
        staying: "this side up".into(),
        sizes: vec!["pilot Ø5".into(), "drill Ø9".into()],
        cuts: piece.outlines().map(|o| o.edges().collect()).collect(),
        finished: vec![finished.edges().collect()],
        punches: vec![Spot { label: String::new(), at, outline: pilot }],
        piece: Some(piece),
        ..Template::default()
    }
}

/// The rectangles of four lines that are cut, on each page.
fn plates(drawing: &Pages) -> Vec<Vec<Bounds>> {
    let of = |page: &Page| -> Vec<Bounds> {
        let plate = |item: &&Item| match item {
            Item::Line(Pen::Narrow, edges) if edges.len() == 4 => Some(item.bounds()),
            _ => None,
        };
        items(page).iter().filter_map(plate).collect()
    };
    drawing.pages.iter().map(of).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]
    #[test]
    fn every_copy_lies_whole_on_a_page_beside_the_others(
        wide in 22.0..150.0_f64,
        high in 22.0..150.0_f64,
        copies in 1..40_usize,
        letter in any::<bool>(),
    ) {
        let format = if letter { Format::Letter } else { Format::A4 };
        let drawing = plate_template(wide, high, copies).pages(format.size());
        prop_assert_eq!(fault(&drawing), None);
        let pages = plates(&drawing);
        let shown: usize = pages.iter().map(Vec::len).sum();
        let times = (1..=copies).find(|times| says(&drawing.pages[0], &format!("Print these pages {times} times")));
        let wanted = copies.div_ceil(times.unwrap_or(1));
        prop_assert_eq!(shown, wanted);
        for (page, plates) in drawing.pages.iter().zip(&pages) {
            let window = page.blocks[0].grown(NEAR);
            for (i, plate) in plates.iter().enumerate() {
                let mut sizes = [plate.width(), plate.height()];
                sizes.sort_by(f64::total_cmp);
                prop_assert!((sizes[0] - wide.min(high)).abs() < NEAR && (sizes[1] - wide.max(high)).abs() < NEAR);
                prop_assert!(plate.min.x >= window.min.x && plate.max.x <= window.max.x);
                prop_assert!(plate.min.y >= window.min.y && plate.max.y <= window.max.y);
                prop_assert!(plates[..i].iter().all(|other| plate.distance(other) > 1.9));
            }
            // Pilot and final hole of each, and the cross over both.
            prop_assert_eq!(crosses(page), plates.len());
        }
        // In plain rows there would be no fewer pages.
        let [across, up] = [wide, high].map(|size| size + 2.0);
        let window = drawing.pages[0].blocks[0];
        let rows = |a: f64, b: f64| ((window.width() + 2.0) / a).floor() * ((window.height() + 2.0) / b).floor();
        let each = rows(across, up).max(rows(up, across)) as usize;
        prop_assert!(pages.len() <= shown.div_ceil(each.max(1)), "{} pages of {each}", pages.len());
    }
}

/// Two pages of A4 are joined in the middle of the plate, where its name would be the nearest.
#[test]
fn the_name_on_a_template_of_two_pages_is_cut_by_no_seam() {
    let drawing = plate_template(260.0, 170.0, 1).pages(Format::A4.size());
    assert_eq!(drawing.pages.len(), 2);
    let windows = drawing.pages.iter().flat_map(|page| &page.items).filter_map(|item| match item {
        Item::Window(bounds, items) => Some((bounds, items)),
        _ => None,
    });
    let names = windows.flat_map(|(window, items)| {
        let words = items.iter().filter_map(|item| match item {
            Item::Words(words) if words.text == "plate" => Some(words.bounds()),
            _ => None,
        });
        words.map(|words| window.contains(words.min) && window.contains(words.max))
    });
    assert_eq!(names.collect::<Vec<_>>(), [true]);
}

/// A plate on two pages, with a column of holes where the pages would be joined in its middle.
#[test]
fn pages_are_joined_beside_holes_and_a_letter_is_on_the_page_of_its_hole() {
    let outline = rectangle(Point::new(160.0, 75.0), 320.0, 150.0, 0.0).unwrap();
    let at = |i: usize| Point::new(16.0 + 24.0 * (i % 13) as f64, 15.0 + 20.0 * (i / 13) as f64);
    let hole = |i: usize| disc(at(i), 3.0).unwrap();
    let spot = |i: usize| Spot { label: format!("A{}", i + 1), at: at(i), outline: hole(i) };
    let holes = 13 * 7;
    let template = Template {
        name: "plate".into(),
        about: vec!["Print at 100 %.".into()],
        cuts: std::iter::once(outline.edges().collect())
            .chain((0..holes).map(|i| hole(i).edges().collect()))
            .collect(),
        punches: (0..holes).map(spot).collect(),
        ..Template::default()
    };
    let drawing = template.pages(Format::A4.size());
    assert_eq!((drawing.pages.len(), fault(&drawing)), (2, None));
    for page in &drawing.pages {
        let chains = items(page).into_iter().filter_map(|item| match item {
            Item::Line(Pen::Chain, edges) => Some(edges[0]),
            _ => None,
        });
        let joins: Vec<Edge> = chains.collect();
        assert_eq!(joins.len(), 1);
        let circles = items(page).into_iter().filter_map(|item| match item {
            Item::Line(Pen::Narrow, edges) if edges[0].bulge != 0.0 => Some(item.bounds()),
            _ => None,
        });
        let circles: Vec<Bounds> = circles.collect();
        for circle in &circles {
            assert!(circle.distance(&joins[0].bounds()) > 0.99, "{circle:?} is cut by {joins:?}");
        }
        let letters = items(page).into_iter().filter_map(|item| match item {
            Item::Words(words) if words.text.starts_with('A') => Some(words.bounds()),
            _ => None,
        });
        for letter in letters {
            let near = circles.iter().map(|circle| circle.distance(&letter));
            assert!(near.fold(f64::INFINITY, f64::min) < 4.0, "{letter:?} has no hole");
        }
    }
    for i in 1..=holes {
        let own = format!("A{i}");
        let on = drawing.pages.iter().filter(|page| lettered(page, &own)).count();
        assert_eq!(on, 1, "{own}");
    }
}

#[test]
fn a_piece_that_fits_a_page_turned_takes_one() {
    let drawing = plate_template(228.0, 160.0, 1).pages(Format::A4.size());
    assert_eq!((drawing.pages.len(), plates(&drawing)[0].len()), (1, 1));
    let slanting = plate_template(263.0, 18.0, 1).pages(Format::A4.size());
    assert_eq!(slanting.pages.len(), 1, "along the diagonal of the page");
    assert_eq!(fault(&slanting), None);
}

#[test]
fn text_without_room_on_a_template_is_below_it() {
    let outline = rectangle(Point::new(4.0, 4.0), 8.0, 8.0, 0.0).unwrap();
    let template = Template {
        name: "spacer".into(),
        staying: "this side up".into(),
        cuts: vec![outline.edges().collect()],
        piece: Some(Region::solid(outline)),
        about: (0..60).map(|i| format!("Sentence number {i}.")).collect(),
        ..Template::default()
    };
    let drawing = template.pages(Format::A4.size());
    assert_eq!(fault(&drawing), None);
    assert!(says(&drawing.pages[0], "Sentence number 0."));
    assert!(says(&drawing.pages[0], "More: see the drawing of the part."));
    let short = Template { about: vec!["One.".into()], ..template };
    assert!(says(&short.pages(Format::A4.size()).pages[0], "The piece is too small for its name"));
}

#[test]
fn pages_that_are_joined_name_each_other_and_a_large_hole_keeps_its_letter() {
    let middle = Point::new(210.0, 180.0);
    let outline = rectangle(middle, 420.0, 360.0, 0.0).unwrap();
    let hole = disc(middle, 71.0).unwrap();
    let template = Template {
        name: "plate".into(),
        about: vec!["Print at 100 %.".into()],
        cuts: vec![outline.edges().collect(), hole.edges().collect()],
        punches: vec![Spot { label: "B".into(), at: middle, outline: hole }],
        ..Template::default()
    };
    let drawing = template.pages(Format::A4.size());
    assert_eq!(fault(&drawing), None);
    assert_eq!(drawing.pages.len(), 6);
    let first = &drawing.pages[0];
    assert!(says(first, "join page 2 here") && says(first, "join page 4 here"));
    assert!(!says(first, "join page 3 here") && says(first, "To join"));
    assert!(drawing.pages.iter().any(|page| lettered(page, "B")));
}

#[test]
fn an_overlap_is_found_when_there_is_one() {
    let at = |x: f64| {
        Item::Words(platewright::paper::Words::plain(Point::new(x, 50.0), 2.5, "one another"))
    };
    let page = |x: f64| Page { items: vec![at(20.0), at(x)], blocks: Vec::new() };
    let drawing =
        |x: f64| Pages { title: String::new(), size: [210.0, 297.0], pages: vec![page(x)] };
    assert!(fault(&drawing(25.0)).is_some_and(|words| words.contains("lies on")));
    assert!(fault(&drawing(205.0)).is_some_and(|words| words.contains("leaves the page")));
    assert_eq!(fault(&drawing(120.0)), None);
}

#[test]
fn the_same_paper_gives_the_same_bytes() {
    let room = Bounds { min: Point::new(20.0, 60.0), max: Point::new(200.0, 280.0) };
    let drawn = plan((120.0, 60.0), (3, 2), &[0.4], "A").drawn(room);
    let pages = vec![Page { items: drawn.items, blocks: Vec::new() }];
    let drawing = Pages { title: "plate ä “x”".into(), size: [210.0, 297.0], pages };
    let (first, second) = (paper::pdf(&drawing).unwrap(), paper::pdf(&drawing).unwrap());
    assert!(first.starts_with(b"%PDF"));
    assert_eq!(first, second);
    let text = String::from_utf8_lossy(&first);
    assert!(!text.contains("CreationDate") && !text.contains("ModDate"), "a date is in the file");
    assert_eq!(paper::svg(&drawing), paper::svg(&drawing));
}
