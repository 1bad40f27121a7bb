//! The view of a formed part or an assembly: tones, lines, outside dimensions, letters of holes,
//! and adjoining bodies.

mod crop;
mod letters;
mod picture;
mod sheet;
mod sizes;

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::geom::ring_edges;
use crate::paper::scene::Item;
use crate::paper::scene::Pen;
use crate::paper::scene::Words;
use crate::paper::sheet::SMALL;
use letters::Ground;
pub(crate) use letters::Letter;
pub use picture::Picture;
use sheet::Sheet;
pub(crate) use sizes::Size;
use std::collections::BTreeMap;

/// Room for sizes on every side that is tried, mm.
const MARGINS: [f64; 4] = [9.0, 13.0, 17.0, 21.0];
/// Without sizes, mm.
const BARE: f64 = 2.0;

/// How often a picture is enlarged, and the minimum step. Our choice.
const GROWTHS: usize = 4;
const GROWTH: f64 = 1.02;

/// Beside all of a picture, mm: half of its widest line, and some.
const EDGE: f64 = 0.3;

/// Room at the left, at the right, below and above, mm.
type Sides = [f64; 4];

/// The largest scale. Our choice.
const LARGEST: f64 = 5.0;

/// Thin lines that join to less than this on paper are left out, mm.
const SPECK: f64 = 0.6;

/// The view of a part, at true size, mm.
#[derive(Clone, Debug, Default)]
pub struct Solid {
    /// Areas with their tones, 0 to 1.
    pub tones: Vec<(f64, Vec<Vec<Point>>)>,
    /// The area of all of it, by the even-odd rule.
    pub whole: Vec<Vec<Point>>,
    /// Its lines.
    pub lines: Vec<(Pen, Vec<Edge>)>,
    /// Its sizes.
    pub sizes: Vec<Size>,
    /// The letters of its holes.
    pub letters: Vec<Letter>,
    /// Labels, with places any of which they may lead to.
    pub labels: Vec<(String, Vec<Point>)>,
    /// Item numbers, with places any of which they may lead to.
    pub numbers: Vec<(String, Vec<Point>)>,
    /// The names of faces, with places on which they may be.
    pub names: Vec<(String, Vec<Point>)>,
}

impl Solid {
    /// The picture, in a room of a width and a height in mm.
    ///
    /// Adjoining bodies are cut off at some distance beyond the part, so that the part has the
    /// room. When its sizes are placed, it is enlarged into the remaining room.
    pub fn picture(&self, room: [f64; 2]) -> Picture {
        let mut cropped = self.clone();
        crop::crop(&mut cropped.lines, &mut cropped.labels);
        let (mut best, mut taken) = cropped.placed(room);
        for _ in 0..GROWTHS {
            let (picture, next) = cropped.within(room, taken);
            let misses = picture.missing.len();
            if misses > best.missing.len() || picture.scale < best.scale * GROWTH {
                break;
            }
            (best, taken) = (picture, next);
        }
        best
    }

    /// The largest scale that a picture in a room could have, whatever its sizes take.
    pub(crate) fn scale_at_most(&self, room: [f64; 2]) -> f64 {
        let mut cropped = self.clone();
        crop::crop(&mut cropped.lines, &mut cropped.labels);
        scale(&cropped.bounds(), room)
    }

    /// The rectangle round its lines, at true size.
    fn bounds(&self) -> Bounds {
        let lines = self.lines.iter().flat_map(|(_, edges)| edges);
        lines.fold(Bounds::EMPTY, |b, e| b.and(e.bounds()))
    }

    /// On a page, with a function that maps its places at a scale, within a frame; over it the
    /// items drawn there already; then its numbers, and words with leaders to places of the page,
    /// all off drawn items; and those without room.
    pub(crate) fn standing(
        &self,
        place: &impl Fn(&Point) -> Point,
        frame: Bounds,
        over: Vec<Item>,
        said: &[(Words, Point)],
    ) -> (Vec<Item>, Vec<String>) {
        let mut sheet = Sheet::new(frame, &rings(&self.whole, place));
        self.draw(&mut sheet, place);
        over.into_iter().for_each(|item| sheet.draw(item));
        let mut missing = Vec::new();
        self.numbered(&mut sheet, place, &mut missing);
        for (words, at) in said {
            if !letters::lead(&mut sheet, words, &[*at]) {
                missing.push(words.text.clone());
            }
        }
        (sheet.into_items(), missing)
    }

    /// The picture with the least room for sizes on every side that leaves none of them out, and
    /// the room used on each.
    fn placed(&self, room: [f64; 2]) -> (Picture, Sides) {
        let margins: &[f64] = if self.sizes.is_empty() { &[BARE, 9.0] } else { &MARGINS };
        let mut best: Option<(Picture, Sides)> = None;
        for margin in margins {
            let (picture, taken) = self.within(room, [*margin; 4]);
            let misses = picture.missing.len();
            if best.as_ref().is_none_or(|(best, _)| misses < best.missing.len()) {
                best = Some((picture, taken));
            }
            if misses == 0 {
                break;
            }
        }
        best.unwrap_or_default()
    }

    /// The picture with this much room beside the part, and the room used.
    fn within(&self, [width, height]: [f64; 2], sides: Sides) -> (Picture, Sides) {
        let bounds = self.bounds();
        let [left, right, low, high] = sides;
        let scale = scale(&bounds, [width - left - right, height - low - high]);
        let size = [bounds.width() * scale, bounds.height() * scale];
        let spare = Vec2::new(width - size[0] - left - right, height - size[1] - low - high) / 2.0;
        let shift = Vec2::new(left, low) + spare;
        let place = |p: &Point| ((*p - bounds.min) * scale + shift).to_point();
        let frame = Bounds { min: Point::ZERO, max: Point::new(width, height) };
        let mut sheet = Sheet::new(frame, &rings(&self.whole, &place));
        self.draw(&mut sheet, &place);
        let mut missing = Vec::new();
        sizes::place(&mut sheet, &self.sizes, &place, &mut missing);
        let holes: Vec<Letter> = self
            .letters
            .iter()
            .map(|l| Letter { edge: l.edge.iter().map(place).collect(), ..l.clone() })
            .collect();
        let faces = self.names.iter().map(|(_, places)| places.iter().map(place).collect());
        letters::place(&mut sheet, &holes, &Ground::new(faces.collect()), &mut missing);
        self.numbered(&mut sheet, &place, &mut missing);
        for (text, places) in &self.labels {
            let places: Vec<Point> = places.iter().map(place).collect();
            let words = Words::plain(Point::ZERO, SMALL, text).made_grey();
            if !letters::lead(&mut sheet, &words, &places) {
                missing.push(text.clone());
            }
        }
        for (text, places) in &self.names {
            let places: Vec<Point> = places.iter().map(place).collect();
            letters::name(&mut sheet, text, &places);
        }
        let part = Bounds { min: shift.to_point(), max: shift.to_point() + (size[0], size[1]) };
        let all = sheet.extent();
        let taken = [
            part.min.x - all.min.x,
            all.max.x - part.max.x,
            part.min.y - all.min.y,
            all.max.y - part.max.y,
        ]
        .map(|side| side + EDGE);
        (sheet.finish(scale, missing), taken)
    }

    /// Its item numbers.
    fn numbered(
        &self,
        sheet: &mut Sheet,
        place: &impl Fn(&Point) -> Point,
        missing: &mut Vec<String>,
    ) {
        for (text, places) in &self.numbers {
            let places: Vec<Point> = places.iter().map(place).collect();
            if !letters::number(sheet, text, &places) {
                missing.push(text.clone());
            }
        }
    }

    /// The tones below, then the lines.
    fn draw(&self, sheet: &mut Sheet, place: &impl Fn(&Point) -> Point) {
        // A ground of a middle tone, so that no paper shows between neighbours.
        let ground = self.tones.iter().map(|(light, _)| *light).sum::<f64>()
            / self.tones.len().max(1) as f64;
        let whole = (ground, self.whole.clone());
        let areas = std::iter::once(&whole).chain(&self.tones);
        for (light, area) in areas.filter(|(_, area)| !area.is_empty()) {
            let loops = rings(area, place).iter().map(|ring| ring_edges(ring)).collect();
            sheet.under(Item::Fill(*light, loops));
        }
        let moved = |(pen, edges): &(Pen, Vec<Edge>)| {
            let edge = |e: &Edge| Edge { from: place(&e.from), to: place(&e.to), ..*e };
            (*pen, edges.iter().map(edge).collect::<Vec<Edge>>())
        };
        let lines: Vec<(Pen, Vec<Edge>)> = self.lines.iter().map(moved).collect();
        let lines = without_specks(lines);
        // The heavier a line, the later.
        for pen in [Pen::Tangent, Pen::Chain, Pen::Phantom, Pen::Narrow, Pen::Wide, Pen::Bend] {
            for (_, edges) in lines.iter().filter(|(of, _)| *of == pen) {
                sheet.draw(Item::Line(pen, edges.clone()));
            }
        }
    }
}

/// The scale at which a rectangle fills a room.
fn scale(bounds: &Bounds, [width, height]: [f64; 2]) -> f64 {
    let across = |room: f64, size: f64| room.max(10.0) / size.max(1e-6);
    across(width, bounds.width()).min(across(height, bounds.height())).min(LARGEST)
}

/// Leaves out thin lines that, with all they join, are too short to be read.
fn without_specks(lines: Vec<(Pen, Vec<Edge>)>) -> Vec<(Pen, Vec<Edge>)> {
    #[expect(clippy::cast_possible_truncation, reason = "hundredths of a millimetre on a page")]
    let key = |p: Point| ((p.x * 100.0).round() as i64, (p.y * 100.0).round() as i64);
    let mut group: Vec<usize> = (0..lines.len()).collect();
    fn root(group: &mut [usize], mut i: usize) -> usize {
        while group[i] != i {
            group[i] = group[group[i]];
            i = group[i];
        }
        i
    }
    let mut at: BTreeMap<(i64, i64), usize> = BTreeMap::new();
    for (i, (_, edges)) in lines.iter().enumerate() {
        let ends = edges.first().map(|e| e.from).into_iter().chain(edges.last().map(|e| e.to));
        for end in ends {
            let other = *at.entry(key(end)).or_insert(i);
            let (a, b) = (root(&mut group, i), root(&mut group, other));
            group[a.max(b)] = a.min(b);
        }
    }
    let mut long = vec![0.0; lines.len()];
    for (i, (_, edges)) in lines.iter().enumerate() {
        let own: f64 = edges.iter().map(Edge::length).sum();
        let first = root(&mut group, i);
        long[first] += own;
    }
    let keeps: Vec<bool> = (0..lines.len())
        .map(|i| lines[i].0 == Pen::Wide || long[root(&mut group, i)] >= SPECK)
        .collect();
    lines.into_iter().zip(keeps).filter(|(_, keep)| *keep).map(|(line, _)| line).collect()
}

fn rings(area: &[Vec<Point>], place: &impl Fn(&Point) -> Point) -> Vec<Vec<Point>> {
    area.iter().map(|ring| ring.iter().map(place).collect()).collect()
}
