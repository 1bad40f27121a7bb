//! A picture of an outline file as it is read: its layers, contours, openings by size, bend lines,
//! and its faults at their places, to a scale that a bar shows.

use crate::cli::outline::openings::openings;
use platewright::geom::Bounds;
use platewright::geom::Edge;
use platewright::geom::Point;
use platewright::num;
use platewright::outline_in::Looked;
use platewright::outline_in::Use;
use platewright::paper;
use platewright::paper::Ink;
use platewright::paper::Item;
use platewright::paper::Page;
use platewright::paper::Pages;
use platewright::paper::Pen;
use platewright::paper::Words;
use platewright::recipe::OutlineFault;

/// Width and height of the picture, mm: A4 on its side.
const SIZE: [f64; 2] = [297.0, 210.0];

/// Where the plate is drawn, mm.
const ROOM: Bounds = Bounds { min: Point::new(14.0, 24.0), max: Point::new(196.0, 192.0) };

/// Where the list beside it begins, its width and its lowest line, mm.
const LIST: [f64; 3] = [206.0, 84.0, 12.0];

/// Heights of letters, and of a line of the list, mm.
const LETTERS: [f64; 2] = [2.5, 4.4];

/// Radius of the ring at a fault, mm.
const RING: f64 = 2.4;

/// Tint of the metal.
const METAL: f64 = 0.938;

/// The picture as SVG.
pub(super) fn svg(name: &str, looked: &Looked, faults: &[OutlineFault]) -> String {
    let mut items = vec![Item::Words(Words::heavy(Point::new(14.0, 199.0), 4.0, name))];
    let drawn = drawn(looked);
    let bounds = drawn.iter().map(|(_, edge)| edge.bounds()).reduce(Bounds::and);
    if let Some(scale) = bounds.and_then(Scale::of) {
        items.extend(scale.plate(looked));
        let line = |(pen, edge): &(Pen, Edge)| Item::Line(*pen, vec![scale.edge(edge)]);
        items.extend(drawn.iter().map(line));
        items.extend(scale.labels(looked));
        items.extend(scale.rings(faults));
        items.extend(scale.bar());
    }
    items.extend(list(looked, faults));
    let pages = vec![Page { items, blocks: Vec::new() }];
    paper::svg(&Pages { title: name.to_owned(), size: SIZE, pages })
}

/// Everything that is drawn and with which pen, in mm of the file.
fn drawn(looked: &Looked) -> Vec<(Pen, Edge)> {
    let mut all: Vec<(Pen, Edge)> = Vec::new();
    for layer in &looked.layers {
        let pen = pen(if looked.found.is_ok() { Use::Nothing } else { layer.of });
        all.extend(layer.unread.iter().flatten().map(|edge| (pen, *edge)));
    }
    if let Ok(found) = &looked.found {
        all.extend(found.cut.iter().map(|edge| (Pen::Wide, *edge)));
        all.extend(found.marks.iter().flatten().map(|edge| (Pen::Narrow, *edge)));
        all.extend(found.bends.iter().map(|edge| (Pen::Bend, *edge)));
    }
    all
}

/// The pen for what is on a layer.
fn pen(of: Use) -> Pen {
    match of {
        Use::Cut => Pen::Wide,
        Use::Mark => Pen::Narrow,
        Use::Bend => Pen::Bend,
        Use::Nothing => Pen::Margin,
    }
}

/// The letter of a size of openings: A, B and so on, then by number.
fn letter(i: usize) -> String {
    match u8::try_from(i) {
        Ok(i) if i < 26 => char::from(b'A' + i).to_string(),
        _ => (i + 1).to_string(),
    }
}

/// From mm of the file to mm of the picture.
struct Scale {
    by: f64,
    from: Point,
    to: Point,
}

impl Scale {
    /// As large as there is room; none for what has no extent.
    fn of(bounds: Bounds) -> Option<Self> {
        let fits = [ROOM.width() / bounds.width(), ROOM.height() / bounds.height()];
        let by = fits.into_iter().fold(f64::INFINITY, f64::min);
        by.is_finite().then(|| Self { by, from: bounds.centre(), to: ROOM.centre() })
    }

    fn point(&self, p: Point) -> Point {
        self.to + (p - self.from) * self.by
    }

    fn edge(&self, edge: &Edge) -> Edge {
        Edge { from: self.point(edge.from), to: self.point(edge.to), bulge: edge.bulge }
    }

    /// The metal of the plate, under its lines.
    fn plate(&self, looked: &Looked) -> Option<Item> {
        let region = looked.plate.as_ref()?.as_ref().ok()?;
        let contour = |outline: &platewright::geom::Outline| -> Vec<Edge> {
            outline.edges().map(|edge| self.edge(&edge)).collect()
        };
        Some(Item::Fill(METAL, region.outlines().map(contour).collect()))
    }

    /// Letters at openings, numbers at bend lines.
    fn labels(&self, looked: &Looked) -> Vec<Item> {
        let mut all = Vec::new();
        if let Some(Ok(region)) = &looked.plate {
            for (i, (_, places)) in openings(region).iter().enumerate() {
                for at in places {
                    let hole = region.holes().iter().find(|hole| hole.bounds().contains(*at));
                    let half = hole.map_or(0.0, |hole| hole.bounds().width() / 2.0) * self.by;
                    let at = self.point(*at) + (half + 0.8, -LETTERS[0] / 2.0);
                    all.push(Item::Words(Words::heavy(at, LETTERS[0], letter(i))));
                }
            }
        }
        for (i, line) in looked.found.iter().flat_map(|found| found.bends.iter().enumerate()) {
            let at = self.point(line.from.lerp(line.to, 0.25)) + (0.0, 0.9);
            let words = Words::plain(at, LETTERS[0], format!("bend line {}", i + 1));
            all.push(Item::Words(Words { ink: Ink::Accent, ..words }));
        }
        all
    }

    /// A ring round each place of a fault, with the number of the fault.
    fn rings(&self, faults: &[OutlineFault]) -> Vec<Item> {
        let mut all = Vec::new();
        for (i, fault) in faults.iter().enumerate() {
            for at in fault.places.iter().map(|p| self.point(*p)) {
                let half = |from: f64, to: f64| Edge {
                    from: at + (from, 0.0),
                    to: at + (to, 0.0),
                    bulge: 1.0,
                };
                all.push(Item::Line(Pen::Found, vec![half(-RING, RING), half(RING, -RING)]));
                let at = at + (RING * 0.8, RING * 0.8);
                all.push(Item::Words(red(Words::heavy(at, LETTERS[0], (i + 1).to_string()))));
            }
        }
        all
    }

    /// A bar of a round length, a fifth to a half of the width.
    fn bar(&self) -> Vec<Item> {
        let widest = ROOM.width() / 2.0 / self.by;
        let mut tens = 1e-6;
        while tens * 10.0 <= widest {
            tens *= 10.0;
        }
        let long = [5.0, 2.0, 1.0].into_iter().map(|n| n * tens).find(|mm| *mm <= widest);
        let long = long.unwrap_or(tens);
        let ends = [0.0, long * self.by].map(|x| Point::new(ROOM.min.x + x, 11.0));
        let tick = |p: Point| Item::line(Pen::Wide, p - (0.0, 1.2), p + (0.0, 1.2));
        let words = format!("{} mm", num::text(long, 6));
        vec![
            Item::line(Pen::Wide, ends[0], ends[1]),
            tick(ends[0]),
            tick(ends[1]),
            Item::Words(Words::plain(ends[1] + (2.0, -LETTERS[0] / 2.0), LETTERS[0], words)),
        ]
    }
}

fn red(words: Words) -> Words {
    Words { ink: Ink::Red, ..words }
}

/// The list beside the plate.
fn list(looked: &Looked, faults: &[OutlineFault]) -> Vec<Item> {
    let mut list = List { items: Vec::new(), y: ROOM.max.y - LETTERS[0] };
    // First, since the list may be cut off below.
    if !faults.is_empty() {
        list.head("Faults");
    }
    for (i, fault) in faults.iter().enumerate() {
        list.words(0.0, &format!("{}  {}", i + 1, fault.finding.headline), Ink::Red);
    }
    list.head("Layers");
    for layer in &looked.layers {
        let kinds: Vec<String> =
            layer.kinds.iter().map(|(kind, n)| format!("{n} {kind}")).collect();
        let y = list.y + LETTERS[0] / 2.0;
        let [from, to] = [0.0, 8.0].map(|x| Point::new(LIST[0] + x, y));
        list.items.push(Item::line(pen(layer.of), from, to));
        list.words(
            10.0,
            &format!("{}: {} ({})", layer.name, layer.of.word(), kinds.join(", ")),
            Ink::Black,
        );
    }
    if let Some(Ok(region)) = &looked.plate {
        let bounds = region.bounds();
        let [wide, high] = [bounds.width(), bounds.height()].map(|mm| num::text(mm, 2));
        list.head("Contours");
        let count = region.outer().edges().count();
        list.words(0.0, &format!("outline {wide} x {high} mm, {count} lines and arcs"), Ink::Black);
        for (i, (size, places)) in openings(region).iter().enumerate() {
            list.words(0.0, &format!("{}  {} {size}", letter(i), places.len()), Ink::Black);
        }
    }
    for (i, line) in looked.found.iter().flat_map(|found| found.bends.iter().enumerate()) {
        let long = num::text(line.length(), 2);
        list.words(0.0, &format!("bend line {}: {long} mm", i + 1), Ink::Accent);
    }
    list.items
}

/// Lines of words, one below the other.
struct List {
    items: Vec<Item>,
    y: f64,
}

impl List {
    fn head(&mut self, words: &str) {
        self.y -= LETTERS[1] / 2.0;
        self.line(0.0, Words::heavy(Point::ZERO, LETTERS[0], words));
    }

    /// Words in as many lines as they need.
    fn words(&mut self, inset: f64, words: &str, ink: Ink) {
        let styled = |text: &str| Words { ink, ..Words::plain(Point::ZERO, LETTERS[0], text) };
        let mut line = String::new();
        for word in words.split(' ') {
            let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
            if styled(&longer).length() > LIST[1] - inset && !line.is_empty() {
                self.line(inset, styled(&line));
                word.clone_into(&mut line);
            } else {
                line = longer;
            }
        }
        self.line(inset, styled(&line));
    }

    /// One line; the last there is room for says that there are more.
    fn line(&mut self, inset: f64, words: Words) {
        if self.y < LIST[2] {
            return;
        }
        let next = self.y - LETTERS[1];
        let words = match next < LIST[2] {
            true => Words::plain(Point::ZERO, LETTERS[0], "the rest is in the printed list"),
            false => words,
        };
        self.items.push(Item::Words(Words { at: Point::new(LIST[0] + inset, self.y), ..words }));
        self.y = next;
    }
}
