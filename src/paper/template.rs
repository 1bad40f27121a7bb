//! A paper template at 1:1: printed, checked by its bars, joined, glued on and followed
//! with punch and saw.
//!
//! Lines are those of the shop drawings: the finished edge wide, bend lines narrow and
//! continuous (ISO 128-2, lines 01.2 and 01.1, from memory), what is scribed finer still.
//! What is larger than a page goes over several that overlap; the line in the centre of
//! each overlap stands on both pages, so that they are laid line on line.

mod bars;
mod measures;
mod tiling;

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Region;
use crate::paper::clear;
use crate::paper::clear::Clear;
use crate::paper::font;
use crate::paper::scene::Item;
use crate::paper::scene::Page;
use crate::paper::scene::Pages;
use crate::paper::scene::Pen;
use crate::paper::scene::Reading;
use crate::paper::scene::Words;
use crate::paper::spot::Spot;
use crate::paper::template::measures::COLUMN;
use crate::paper::template::measures::HEIGHT;
use crate::paper::template::measures::MARGIN;
use tiling::Tiling;

/// Height of the capitals of the name, mm.
const NAME: f64 = 3.5;
/// From line to line of words, by the height of capitals.
const LEADING: f64 = 1.5;
/// The share of a page that words may take at the most. Our choice.
const MOST: f64 = 0.4;
/// Arms of the cross at a centre, mm, and radius of the circle round it.
const CROSS: (f64, f64) = (4.0, 1.5);
/// A hole of at least this radius has its letter within, mm. Our choice.
const ROOMY: f64 = 8.0;
/// Heights of the words that stay on the piece, the first that fits, mm. Our choice.
const STAYING: [f64; 4] = [3.5, 2.5, 2.0, 1.6];
/// Places that are tried for them in each direction.
const GRID: u32 = 24;
/// An arc of a hole that turns at least so far is one end of a slot; a hair less than 180°.
const HALF_TURN: f64 = 179.9;

/// Said where pages must be joined.
const JOINING: &str = "To join: cut one of two pages along its chain line, align it with the \
    same line of the other and tape; then measure overall.";

/// Most pages of a template. Our choice: what is larger than about 1.6 by 2.4 m on A4 is marked
/// out with tape and square.
const MAX_PAGES: f64 = 100.0;

/// Whether a drawing so large, mm, is printed at true size on pages of a size. It goes by the
/// page's own window, so that it is known before anything is drawn.
pub fn can_be_printed(drawing: Bounds, page: [f64; 2]) -> bool {
    let window = [page[0] - 2.0 * MARGIN - COLUMN, (1.0 - MOST) * page[1] - 2.0 * MARGIN];
    drawing.width() / window[0] * (drawing.height() / window[1]) <= MAX_PAGES
}

/// What is printed at true size.
#[derive(Clone, Debug, Default)]
pub struct Template {
    /// Name of the part.
    pub name: String,
    /// What it is and how it is used, a sentence each.
    pub about: Vec<String>,
    /// What is printed on the piece itself, below its name, so that it stays when the paper
    /// is cut out.
    pub staying: String,
    /// The piece, in which that finds a place.
    pub piece: Option<Region>,
    /// Lines to cut along, mm.
    pub cuts: Vec<Vec<Edge>>,
    /// Lines to bend along, with what is said beside them.
    pub bends: Vec<(Edge, String)>,
    /// Lines that are scribed or only followed by the eye.
    pub marks: Vec<Vec<Edge>>,
    /// Words and where they start.
    pub words: Vec<(Point, String)>,
    /// Holes whose centres are punched.
    pub punches: Vec<Spot>,
}

/// Everything at true size.
struct Drawing {
    items: Vec<Item>,
    /// The rectangle round it.
    bounds: Bounds,
    /// What could not be placed in it and must be said below.
    notes: Vec<String>,
}

impl Template {
    /// The template on pages of a size in mm, upright or on their sides, whichever takes fewer.
    pub fn pages(&self, size: [f64; 2]) -> Pages {
        let drawing = self.drawing();
        let tilings = [size, [size[1], size[0]]].map(|page| {
            let one = Tiling::new(drawing.bounds, page, strip(page, &self.lines(&drawing, false)));
            match one.count() {
                1 => one,
                _ => Tiling::new(drawing.bounds, page, strip(page, &self.lines(&drawing, true))),
            }
        });
        let [upright, level] = tilings;
        let tiling = if level.count() < upright.count() { level } else { upright };
        let shows = |tile: &(usize, usize)| {
            let window = tiling.window_of(*tile);
            drawing.items.iter().any(|item| touches(item, &window))
        };
        let all = (0..tiling.rows).flat_map(|row| (0..tiling.columns).map(move |c| (c, row)));
        let tiles: Vec<(usize, usize)> = all.filter(shows).collect();
        let about = self.lines(&drawing, tiling.count() > 1);
        let page = |(i, _)| self.page(&tiling, &drawing, &about, &tiles, i);
        let pages = tiles.iter().enumerate().map(page).collect();
        Pages { title: format!("{}, template 1:1", self.name), size: tiling.page, pages }
    }

    /// What is said at the foot of each page, a sentence each.
    fn lines(&self, drawing: &Drawing, joined: bool) -> Vec<String> {
        let joining = joined.then(|| JOINING.to_owned());
        self.about.iter().cloned().chain(drawing.notes.iter().cloned()).chain(joining).collect()
    }

    fn drawing(&self) -> Drawing {
        let everywhere = Bounds {
            min: Point::new(f64::NEG_INFINITY, f64::NEG_INFINITY),
            max: Point::new(f64::INFINITY, f64::INFINITY),
        };
        let mut clear = Clear::new(everywhere);
        for cut in &self.cuts {
            clear.draw(Item::Line(Pen::Wide, cut.clone()));
        }
        for mark in &self.marks {
            clear.draw(Item::Line(Pen::Fine, mark.clone()));
        }
        for (line, _) in &self.bends {
            clear.draw(Item::Line(Pen::Narrow, vec![*line]));
        }
        for at in self.punches.iter().flat_map(centres) {
            cross(&mut clear, at);
        }
        let solid = clear.items.iter().fold(Bounds::EMPTY, |b, item| b.and(item.bounds()));
        for (line, words) in &self.bends {
            along(&mut clear, line, words);
        }
        for (at, words) in &self.words {
            let words = Words::plain(*at, HEIGHT, words);
            if !clear.put(words.clone()) {
                clear.label(*at, 0.5, &words);
            }
        }
        let unlettered: Vec<&str> = self
            .punches
            .iter()
            .filter(|s| !letter(&mut clear, s))
            .map(|s| s.label.as_str())
            .collect();
        let mut notes = Vec::new();
        if !unlettered.is_empty() {
            let letters = unlettered.join(", ");
            notes.push(format!("No room for the letters {letters}: see the drawing of the part for their positions."));
        }
        if let Some(piece) = self.piece.as_ref().filter(|_| !self.staying.is_empty())
            && !stay(&mut clear, piece, [&self.name, &self.staying])
        {
            notes.push(format!(
                "The piece is too small for its name: write “{}, {}” on it before cutting.",
                self.name, self.staying
            ));
        }
        // Words may reach a little over the margin, but not so far that they take a page more.
        let solid = if self.cuts.is_empty() { solid.with(Point::ZERO) } else { solid };
        Drawing { items: clear.items, bounds: solid.grown(1.0), notes }
    }

    fn page(
        &self,
        tiling: &Tiling,
        drawing: &Drawing,
        about: &[String],
        tiles: &[(usize, usize)],
        i: usize,
    ) -> Page {
        let tile = tiles[i];
        let width = tiling.page[0];
        let (seen, paper) = (tiling.window_of(tile), tiling.window());
        let by = (paper.min.x - seen.min.x, paper.min.y - seen.min.y);
        let inside = drawing.items.iter().filter(|item| touches(item, &seen));
        let shown: Vec<Item> = inside.map(|item| item.clone().shifted(by)).collect();
        let mut items = vec![Item::Window(paper, shown)];
        items.extend(tiling.joins(tile, tiles));
        items.extend(bars::level());
        items.extend(bars::upright(width, MARGIN + tiling.strip));
        items.extend(tiling.map(tile, tiles));
        let room = words_room(tiling.page);
        let mut y = MARGIN + tiling.strip - 4.5 - NAME;
        let title = format!("{}, template 1:1, page {} of {}", self.name, i + 1, tiles.len());
        for line in font::wrap(&font::known(&title), NAME, room) {
            items.push(Item::Words(Words::heavy(Point::new(MARGIN, y), NAME, line)));
            y -= NAME * LEADING;
        }
        let lines = wrapped(about, room);
        // One line is kept for the end.
        let fit = ((y - MARGIN - bars::LEVEL - 2.0) / (HEIGHT * LEADING)).max(0.0) as usize + 1;
        let cut_short = "More: see the drawing of the part.".to_owned();
        let short = (lines.len() > fit).then_some(cut_short);
        let kept = if short.is_some() { fit - 1 } else { lines.len() };
        for line in lines.into_iter().take(kept).chain(short) {
            items.push(Item::Words(Words::plain(Point::new(MARGIN, y), HEIGHT, line)));
            y -= HEIGHT * LEADING;
        }
        let foot = Bounds {
            min: Point::new(MARGIN, MARGIN),
            max: Point::new(width - MARGIN, MARGIN + tiling.strip - 4.5),
        };
        Page { items, blocks: vec![paper, foot] }
    }
}

/// Width of the words at the foot of a page, beside the picture of all pages, mm.
fn words_room(page: [f64; 2]) -> f64 {
    page[0] - 2.0 * MARGIN - tiling::MAP[0] - 4.0
}

fn wrapped(about: &[String], room: f64) -> Vec<String> {
    about.iter().flat_map(|line| font::wrap(&font::known(line), HEIGHT, room)).collect()
}

/// Room at the foot of a page for the name, these words, the bars and the picture of all
/// pages, mm.
fn strip(page: [f64; 2], about: &[String]) -> f64 {
    let lines = wrapped(about, words_room(page)).len() as f64;
    // The name may take two lines.
    let words = bars::LEVEL + 3.0 + lines * HEIGHT * LEADING + 2.0 * NAME * LEADING + 4.5;
    words.max(tiling::MAP[1] + 8.0).min(MOST * page[1])
}

/// Whether an item may be seen in a window.
fn touches(item: &Item, window: &Bounds) -> bool {
    let near = |edge: &Edge| edge.bounds().grown(0.2).distance(window) == 0.0;
    match item {
        Item::Line(_, edges) => edges.iter().any(|e| near(e) && runs_in(e, window)),
        other => other.bounds().distance(window) == 0.0,
    }
}

/// Whether an edge runs into a window.
fn runs_in(edge: &Edge, window: &Bounds) -> bool {
    const PIECES: usize = 24;
    let at = |i: usize| edge.point_at(i as f64 / PIECES as f64);
    let pieces = if edge.is_line() { 1 } else { PIECES };
    let at = |i: usize| if pieces == 1 { [edge.from, edge.to][i] } else { at(i) };
    (0..pieces).any(|i| clear::crosses(&[at(i), at(i + 1)], &window.grown(0.5)))
}

/// Where a hole is punched: both ends of a slot, else its centre.
fn centres(spot: &Spot) -> Vec<Point> {
    let round = |outline: &Outline| {
        let mut found: Vec<Point> = Vec::new();
        for arc in outline.edges().filter_map(|edge| edge.arc()) {
            let known = |p: &Point| (*p - arc.centre).hypot() < 0.01;
            if arc.sweep.degrees().abs() >= HALF_TURN && !found.iter().any(known) {
                found.push(arc.centre);
            }
        }
        found
    };
    let ends = round(&spot.outline);
    if ends.len() == 2 { ends } else { vec![spot.at] }
}

/// A cross with a circle round its centre, for the point of a punch.
fn cross(clear: &mut Clear, at: Point) {
    let (arm, radius) = CROSS;
    for way in [(arm, 0.0), (0.0, arm)] {
        clear.draw(Item::line(Pen::Fine, at - way, at + way));
    }
    let (left, right) = (at - (radius, 0.0), at + (radius, 0.0));
    let round = [(left, right), (right, left)];
    let round = round.map(|(from, to)| Edge { from, to, bulge: 1.0 });
    clear.draw(Item::Line(Pen::Fine, round.to_vec()));
}

/// The letter of a hole: beside it, in a large one near its cross. Whether there was room.
fn letter(clear: &mut Clear, spot: &Spot) -> bool {
    let bounds = spot.outline.bounds();
    let half = bounds.width().min(bounds.height()) / 2.0;
    let beside = half.max(CROSS.0);
    let words = Words::heavy(Point::ZERO, HEIGHT, &spot.label);
    let within = half >= ROOMY && clear.label(spot.at, CROSS.0, &words);
    within || clear.label(spot.at, beside, &words)
}

/// Words along a line where there is room, else near it.
fn along(clear: &mut Clear, line: &Edge, words: &str) {
    let words = Words::plain(Point::ZERO, HEIGHT, words);
    let upright = (line.from.x - line.to.x).abs() < 1e-6;
    let (rotated, off) = match upright {
        true => (words.clone().upward(), (2.4, 0.0)),
        false => (words.clone(), (0.0, 2.4)),
    };
    let level = (line.from.y - line.to.y).abs() < 1e-6;
    let placed = (upright || level)
        && [0.5, 0.25, 0.75].iter().any(|share| {
            let centre = line.point_at(*share);
            clear.put_centre(centre - off, &rotated) || clear.put_centre(centre + off, &rotated)
        });
    if !placed {
        clear.label(line.point_at(0.5), 0.5, &words);
    }
}

/// Puts two lines of words on the piece itself, in one line or two, as large as they can be
/// and as near to its centre; whether there was room.
fn stay(clear: &mut Clear, piece: &Region, [name, words]: [&str; 2]) -> bool {
    let bounds = piece.bounds();
    let share = |k: u32| f64::from(k) / f64::from(GRID);
    let mut places: Vec<Point> = (1..GRID)
        .flat_map(|i| (1..GRID).map(move |j| (i, j)))
        .map(|(i, j)| bounds.min + (bounds.width() * share(i), bounds.height() * share(j)))
        .filter(|p| piece.contains(*p))
        .collect();
    let off = |p: &Point| (*p - bounds.centre()).hypot();
    places.sort_by(|a, b| off(a).total_cmp(&off(b)));
    let one = [format!("{name}: {words}")];
    let two = [name.to_owned(), words.to_owned()];
    for height in STAYING {
        for lines in [&one[..], &two[..]] {
            for reading in [Reading::Level, Reading::Upward] {
                let at = |centre: &Point| lined(lines, *centre, height, reading);
                let free = |all: &Vec<Words>| {
                    let within = |w: &Words| {
                        let bounds = w.bounds();
                        clear.is_free(bounds) && piece.contains(bounds.centre())
                    };
                    all.iter().all(within)
                };
                if let Some(found) = places.iter().map(at).find(free) {
                    found.into_iter().for_each(|words| clear.draw(Item::Words(words)));
                    return true;
                }
            }
        }
    }
    false
}

/// Lines of words one below the other round a centre.
fn lined(lines: &[String], centre: Point, height: f64, reading: Reading) -> Vec<Words> {
    let pitch = 1.7 * height;
    let first = pitch * (lines.len() as f64 - 1.0) / 2.0;
    let one = |(i, line): (usize, &String)| {
        let words = Words { reading, ..Words::plain(Point::ZERO, height, line) };
        let down = first - pitch * i as f64;
        let centre = match reading {
            Reading::Level => centre + (0.0, down),
            Reading::Upward => centre - (down, 0.0),
        };
        Words { at: clear::start(centre, &words), ..words }
    };
    lines.iter().enumerate().map(one).collect()
}
