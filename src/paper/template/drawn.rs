//! One piece at true size: its lines, and the words that stay on it.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Room;
use crate::paper::clear::Clear;
use crate::paper::scene::Item;
use crate::paper::scene::Pen;
use crate::paper::scene::Reading;
use crate::paper::scene::Words;
use crate::paper::spot::Spot;
use crate::paper::template::measures::HEIGHT;
use crate::paper::template::measures::PAST;
use crate::paper::template::piece::Template;

/// Arm of the cross of a hole without a radius, mm.
const ARM: f64 = 4.0;
/// A hole of at least this radius has its letter inside, mm. Our choice.
const ROOMY: f64 = 8.0;
/// Heights of the words that stay on the piece, the first that fits, mm.
const STAYING: [f64; 2] = [3.5, 2.5];
/// Places that are tried for them in each direction.
const GRID: u32 = 24;
/// From line to line of these words, by their height.
const PITCH: f64 = 1.5;
/// An arc of a hole of at least this angle is one end of a slot; a hair less than 180°.
const HALF_TURN: f64 = 179.9;

/// Everything at true size.
pub(super) struct Drawing {
    pub(super) items: Vec<Item>,
    /// The rectangle round all lines.
    pub(super) bounds: Bounds,
    /// What could not be placed in it and must be said below.
    pub(super) notes: Vec<String>,
}

impl Template {
    /// The piece as printed on one page.
    pub(super) fn drawing(&self) -> Drawing {
        self.drawing_over(&[])
    }

    /// The piece as printed on pages that are joined at seams: words keep off them where they can,
    /// since they would be cut in two.
    pub(super) fn drawing_over(&self, seams: &[Bounds]) -> Drawing {
        let mut clear = Clear::unframed(self.drawn_bounds());
        for cut in &self.cuts {
            clear.draw(Item::Line(Pen::Narrow, cut.clone()));
        }
        for hole in &self.finished {
            clear.draw(Item::Line(Pen::Dashed, hole.clone()));
        }
        for mark in &self.marks {
            // Grey, so that none is cut.
            clear.draw(Item::Line(Pen::Tangent, mark.clone()));
        }
        for (line, _) in &self.bends {
            clear.draw(Item::Line(Pen::Phantom, vec![*line]));
        }
        for spot in &self.punches {
            self.cross(&mut clear, spot);
        }
        let solid = clear.items.iter().fold(Bounds::EMPTY, |b, item| b.and(item.bounds()));
        for (line, words) in &self.bends {
            off(&mut clear, seams, &|clear| along(clear, line, words));
        }
        for (at, words) in &self.words {
            let words = Words::plain(*at, HEIGHT, words);
            let put = |clear: &mut Clear| clear.put(words.clone()) || clear.label(*at, 0.5, &words);
            off(&mut clear, seams, &put);
        }
        let lettered = self.punches.iter().filter(|spot| !spot.label.is_empty());
        let mut put = |spot: &Spot| off(&mut clear, seams, &|clear| letter(clear, spot));
        let unlettered: Vec<&str> =
            lettered.filter(|spot| !put(spot)).map(|spot| spot.label.as_str()).collect();
        let mut notes = Vec::new();
        if !unlettered.is_empty() {
            let letters = unlettered.join(", ");
            let name = &self.name;
            notes.push(format!("No room for the letters {letters} of {name}: see its drawing."));
        }
        if let Some(piece) = self.piece.as_ref().filter(|_| !self.staying.is_empty())
            && !self.stay(&mut clear, piece, seams)
        {
            notes.push(format!(
                "The piece is too small for its name: write “{}, {}” on it before cutting.",
                self.name, self.staying
            ));
        }
        // Text may reach a little over the margin, but must not need another page.
        let solid = if self.cuts.is_empty() { solid.with(Point::ZERO) } else { solid };
        Drawing { items: clear.items, bounds: solid.grown(1.0), notes }
    }

    /// The rectangle round its lines, mm.
    fn drawn_bounds(&self) -> Bounds {
        let lines = [&self.cuts, &self.finished, &self.marks].into_iter().flatten().flatten();
        let bends = self.bends.iter().map(|(line, _)| line);
        let lines = lines.chain(bends).map(|edge| edge.bounds());
        let spots = self.punches.iter().map(|spot| spot.outline.bounds());
        lines.chain(spots).fold(Bounds::EMPTY.with(Point::ZERO), Bounds::and)
    }

    /// Puts its name on the piece, off the seams where it can. Whether there was room.
    fn stay(&self, clear: &mut Clear, piece: &Region, seams: &[Bounds]) -> bool {
        let put = |clear: &mut Clear, seams| {
            stay(clear, (piece, seams), &self.name, &self.sizes, &self.staying)
        };
        put(clear, seams) || (!seams.is_empty() && put(clear, &[]))
    }

    /// A cross at each centre of a hole, extending past the cut and the final size.
    fn cross(&self, clear: &mut Clear, spot: &Spot) {
        let bounds = spot.outline.bounds();
        let cut = bounds.width().min(bounds.height()) / 2.0;
        let round = |hole: &Vec<Edge>| hole.iter().fold(Bounds::EMPTY, |b, e| b.and(e.bounds()));
        for at in centres(spot) {
            let mut finished = self.finished.iter().map(round);
            let finished = finished.find(|hole| (hole.centre() - at).hypot() < 0.01);
            let radius = finished.map_or(cut, |hole| cut.max(hole.width() / 2.0));
            let arm = if radius > 0.0 { radius + PAST } else { ARM };
            for way in [(arm, 0.0), (0.0, arm)] {
                clear.draw(Item::line(Pen::Fine, at - way, at + way));
            }
        }
    }
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

/// The letter of a hole: beside it, in a large one near its cross. Whether there was room.
fn letter(clear: &mut Clear, spot: &Spot) -> bool {
    let bounds = spot.outline.bounds();
    let half = bounds.width().min(bounds.height()) / 2.0;
    let words = Words::heavy(Point::ZERO, HEIGHT, &spot.label);
    let within = half >= ROOMY && clear.label(spot.at, ARM, &words);
    within || clear.label(spot.at, half + PAST, &words)
}

/// Puts words off seams, else where there is room. Whether there was any.
fn off(clear: &mut Clear, seams: &[Bounds], put: &dyn Fn(&mut Clear) -> bool) -> bool {
    clear.avoid(seams);
    let is_off = put(clear);
    clear.avoid(&[]);
    is_off || (!seams.is_empty() && put(clear))
}

/// Words along a line where there is room, else near it. Whether there was room.
fn along(clear: &mut Clear, line: &Edge, words: &str) -> bool {
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
    placed || clear.label(line.point_at(0.5), 0.5, &words)
}

/// Puts the name on the piece itself, with the sizes of its holes and which side is up below it
/// where there is room for all; as large as it can be, as near to the centre. Whether there was
/// room for the name.
fn stay(
    clear: &mut Clear,
    (piece, seams): (&Region, &[Bounds]),
    name: &str,
    sizes: &[String],
    side: &str,
) -> bool {
    let mut places: Vec<Point> = Room::new(piece, &[]).places(GRID).map(|(p, _)| p).collect();
    let centre = piece.bounds().centre();
    let off = |p: &Point| (*p - centre).hypot();
    places.sort_by(|a, b| off(a).total_cmp(&off(b)));
    let one = vec![name.to_owned()];
    let names = [one, halves(name)];
    let below = [[sizes, &[side.to_owned()]].concat(), vec![side.to_owned()], Vec::new()];
    for below in &below {
        for height in STAYING {
            for name in &names {
                for reading in [Reading::Level, Reading::Upward] {
                    let lines = lined(name, below, height, reading);
                    let boxes: Vec<Bounds> = lines.iter().map(Words::bounds).collect();
                    let free = |centre: &&Point| {
                        let by = centre.to_vec2();
                        let within = |b: &Bounds| {
                            let b = Bounds { min: b.min + by, max: b.max + by };
                            let is_whole = seams.iter().all(|seam| seam.distance(&b) > 0.0);
                            is_whole && clear.is_free(b) && piece.contains(b.centre())
                        };
                        boxes.iter().all(within)
                    };
                    if let Some(found) = places.iter().find(free) {
                        let by = found.to_vec2();
                        let lines =
                            lines.into_iter().map(|words| Words { at: words.at + by, ..words });
                        lines.for_each(|words| clear.draw(Item::Words(words)));
                        return true;
                    }
                }
            }
        }
    }
    false
}

/// A name in two lines, broken at the hyphen or blank that is nearest to its middle.
fn halves(name: &str) -> Vec<String> {
    let breaks = name.char_indices().filter(|(_, c)| matches!(c, '-' | ' ' | '_'));
    let middle = name.len() / 2;
    let nearest = breaks.map(|(at, _)| at + 1).min_by_key(|at| at.abs_diff(middle));
    match nearest.filter(|at| *at < name.len()) {
        Some(at) => vec![name[..at].trim_end().to_owned(), name[at..].to_owned()],
        None => vec![name.to_owned()],
    }
}

/// Lines of words one below the other round the origin: the name heavy, the rest small.
fn lined(name: &[String], below: &[String], height: f64, reading: Reading) -> Vec<Words> {
    let heavy = name.iter().map(|line| Words::heavy(Point::ZERO, height, line));
    let small = below.iter().map(|line| Words::plain(Point::ZERO, HEIGHT, line));
    let all: Vec<Words> = heavy.chain(small).collect();
    let whole: f64 = all.iter().map(|words| PITCH * words.height).sum();
    let mut top = whole / 2.0;
    let place = |words: Words| {
        let pitch = PITCH * words.height;
        let down = top - pitch / 2.0;
        top -= pitch;
        let centre = match reading {
            Reading::Upward => Point::new(-down, 0.0),
            _ => Point::new(0.0, down),
        };
        Words { reading, ..words }.centred(centre)
    };
    all.into_iter().map(place).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::paper::tag::circle;

    /// Three holes beside a seam, and one on it.
    #[test]
    fn letters_keep_off_the_seams_of_pages() {
        let spot = |x: f64, label: &str| Spot {
            label: label.to_owned(),
            at: Point::new(x, 40.0),
            outline: crate::geom::disc(Point::new(x, 40.0), 3.0).unwrap(),
        };
        let punches =
            vec![spot(60.0, "A1"), spot(93.0, "A2"), spot(100.0, "A3"), spot(107.0, "A4")];
        let cuts = punches.iter().map(|spot| circle(spot.at, 3.0)).collect();
        let template = Template { punches, cuts, ..Template::default() };
        let seam = Bounds { min: Point::new(94.0, -1e6), max: Point::new(106.0, 1e6) };
        let words = |drawing: Drawing| -> Vec<Bounds> {
            let words = drawing.items.into_iter().filter_map(|item| match item {
                Item::Words(words) => Some(words.bounds()),
                _ => None,
            });
            words.collect()
        };
        let on = |all: &[Bounds]| all.iter().filter(|b| b.distance(&seam) == 0.0).count();
        let off = words(template.drawing_over(&[seam]));
        assert_eq!((off.len(), on(&off)), (4, 0), "{off:?}");
        assert!(on(&words(template.drawing())) > 0, "else this shows nothing");
    }
}
