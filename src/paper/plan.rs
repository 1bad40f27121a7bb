//! The flat of a part with all its sizes: running dimensions from the lower left corner, callouts
//! of holes and radii, signs of bends, weld symbols at their edges, enlarged details.
//!
//! Lines after ISO 128, dimensions after ISO 129-1, scales after ISO 5455 (all from memory). Each
//! step of the drawing sees the lines and words before it.

mod angles;
mod detail;
mod dimensioned;
mod fine;
mod letters;
mod running_dimensions;
mod scale;
mod shape;
mod shown;
mod text;

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::paper::clear::Clear;
pub use crate::paper::plan::detail::Detail;
use crate::paper::plan::fine::Alike;
use crate::paper::plan::scale::Margins;
use crate::paper::plan::scale::Scale;
use crate::paper::plan::shape::Key;
use crate::paper::plan::shape::Shape;
pub use crate::paper::plan::shown::Callout;
pub use crate::paper::plan::shown::EdgeNote;
pub use crate::paper::plan::shown::Phantom;
pub use crate::paper::plan::shown::Plan;
pub use crate::paper::plan::shown::PlanBend;
use crate::paper::running::Axis;
use crate::paper::scales::STANDARD;
use crate::paper::scales::scale_text;
use crate::paper::scene::Item;
use crate::paper::scene::Note;
use crate::paper::scene::Pen;
use crate::paper::scene::extent;
use crate::paper::tag::circle;

/// Room beside the flat, mm.
const MARGINS: Margins = Margins { left: 21.0, right: 12.0, above: 7.0, below: 21.0 };
/// The same above it, where numbers are there.
const ABOVE: f64 = 18.0;
/// Items that extend this far out of their area are outside, mm.
const OUTSIDE: f64 = 0.1;
/// From the edge of its area to its contents, mm.
const INSIDE: f64 = 1.4;
/// Tint of the metal.
const METAL: f64 = 0.938;

/// A flat that is drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawn {
    /// Its lines and words.
    pub items: Vec<Item>,
    /// Its scale, such as `1:2`.
    pub scale: String,
    /// How much larger than life.
    pub by: f64,
    /// Details of it.
    pub details: Vec<Detail>,
    /// Sizes and labels for which there was no room.
    pub left: Vec<String>,
}

impl Plan {
    /// The largest factor at which it would fit a room of a width and a height, mm.
    pub fn factor(&self, room: [f64; 2]) -> f64 {
        self.fitting(room, MARGINS)
    }

    fn fitting(&self, room: [f64; 2], margins: Margins) -> f64 {
        scale::fitting(self.region.bounds(), room, margins).min(self.largest)
    }

    /// The next smaller scale of the standard.
    pub(crate) fn smaller(by: f64) -> f64 {
        STANDARD.into_iter().find(|scale| *scale < by - 1e-9).unwrap_or(by)
    }

    /// Drawn in a room, at the largest scale at which as much as can be finds room.
    pub fn drawn(&self, room: Bounds) -> Drawn {
        let size = [room.width(), room.height()];
        let best = self.fitting(size, MARGINS);
        let mut kept = self.at(room, best, MARGINS.above);
        let mut worse = (is_outside(&kept, room), kept.left.len());
        // Lower, where numbers are above it; a little smaller, which leaves more room beside it.
        let closer = Margins { left: 26.0, right: 30.0, above: 24.0, below: 26.0 };
        let next = self.fitting(size, closer);
        let tries = [(best, ABOVE, worse.0), (next, MARGINS.above, next < best)];
        for (by, above, _) in tries.into_iter().filter(|(.., serves)| *serves) {
            if worse == (false, 0) {
                break;
            }
            let other = self.at(room, by, above);
            let is = (is_outside(&other, room), other.left.len());
            if is < worse {
                (kept, worse) = (other, is);
            }
        }
        kept
    }

    /// Its curves that no radius defines, the arcs of each in order.
    pub(crate) fn free_curves(&self) -> Vec<Vec<Edge>> {
        self.defined.iter().flat_map(|outline| shape::of(outline).curves).collect()
    }

    /// Drawn at a scale, at a distance below the top of its area.
    fn at(&self, room: Bounds, by: f64, above: f64) -> Drawn {
        let size = self.region.bounds();
        let scale = Scale { by, from: size.min };
        let extent = [size.width() * scale.by, size.height() * scale.by];
        let spare = |room: f64, taken: f64| ((room - taken) / 2.0).max(0.0);
        let left = MARGINS.left + spare(room.width(), extent[0] + MARGINS.left + MARGINS.right);
        let below = MARGINS.below + spare(room.height(), extent[1] + above + MARGINS.below);
        let origin = room.min + (left, below);
        let off = origin.to_vec2();
        let frame = Bounds { min: room.min - off, max: room.max - off }.grown(-INSIDE);
        let mut clear = Clear::new(frame);
        clear.add_metal(Bounds { min: Point::ZERO, max: Point::new(extent[0], extent[1]) });
        let shapes: Vec<Shape> = self.defined.iter().map(shape::of).collect();
        let (fine, keys) = fine::split_by_size(&shapes, size, scale.by);
        let mut left = Vec::new();
        let taken: Vec<&str> = self.spots.iter().map(|spot| spot.label.as_str()).collect();
        let (views, keys) = views(fine, keys, &taken, (&shapes, scale.by));
        self.lines(&mut clear, &scale);
        let [wide, high] = extent;
        for (axis, extent) in [(Axis::Across, [wide, high]), (Axis::Up, [high, wide])] {
            left.extend(self.stations(&mut clear, &scale, axis, &keys, extent));
        }
        self.slot_lines(&mut clear, &scale);
        left.extend(self.words(&mut clear, &scale, &shapes, &views));
        let details = views.iter().map(|(alike, view)| detail::drawn(self, alike, view));
        let (details, missing): (_, Vec<Vec<String>>) = details.unzip();
        left.extend(missing.into_iter().flatten());
        let items = clear.items.into_iter().map(|item| item.shifted((off.x, off.y))).collect();
        Drawn { items, scale: scale_text(by), by, details, left }
    }

    /// Metal, outlines, bend lines, countersinks, marks and centres.
    fn lines(&self, clear: &mut Clear, scale: &Scale) {
        let loops = |outline: &Outline| scale.edges(&outline.edges().collect::<Vec<_>>());
        let metal: Vec<Vec<Edge>> = self.region.outlines().map(loops).collect();
        clear.draw_under(Item::Fill(METAL, metal));
        for bend in &self.bends {
            clear.draw(Item::Line(Pen::Bend, vec![scale.edge(&bend.line)]));
        }
        for mark in &self.marks {
            clear.draw(Item::Line(Pen::Narrow, scale.edges(mark)));
        }
        for outline in self.region.outlines() {
            let edges = loops(outline);
            let corners = edges.iter().map(|edge| edge.from).collect();
            let is_outline = outline == self.region.outer() || self.defined.contains(outline);
            let kind = if is_outline { "outline" } else { "opening" };
            let note = Note { kind, text: String::new(), feet: corners, scale: scale.by };
            clear.draw(Item::Noted(note, vec![Item::Line(Pen::Wide, edges)]));
        }
        for ring in &self.rings {
            let pen = if ring.hidden { Pen::Dashed } else { Pen::Wide };
            clear.draw(Item::Line(pen, scale.edges(&ring.edges)));
        }
        for phantom in &self.phantoms {
            clear.draw(Item::Line(Pen::Phantom, scale.edges(&phantom.edges)));
        }
        for found in &self.found {
            for line in &found.lines {
                clear.draw_under(Item::Line(Pen::Found, scale.edges(line)));
            }
            for ring in &found.rings {
                let (centre, radius) = self.ring(scale, ring);
                clear.draw(Item::Line(Pen::Found, circle(centre, radius)));
            }
        }
        for spot in &self.spots {
            clear.add_hole(&loops(&spot.outline));
        }
    }
}

/// Whether something of a drawing reaches out of its room.
fn is_outside(drawn: &Drawn, room: Bounds) -> bool {
    let (is, room) = (extent(&drawn.items), room.grown(OUTSIDE));
    !(room.contains(is.min) && room.contains(is.max))
}

/// The runs that get a detail with their views, under letters that no hole has, and the keys that
/// are dimensioned on the flat.
fn views(
    fine: Vec<Alike>,
    mut keys: Vec<Key>,
    taken: &[&str],
    (shapes, by): (&[Shape], f64),
) -> (Vec<(Alike, detail::View)>, Vec<Key>) {
    /// Letters of details, from the end of the alphabet: X is an axis. Our choice: more details
    /// than these are hard to find on a flat.
    const LETTERS: [&str; 8] = ["Z", "Y", "W", "V", "U", "T", "S", "R"];
    let mut letters = LETTERS.into_iter().filter(|letter| !taken.contains(letter)).peekable();
    let mut views = Vec::new();
    for alike in fine {
        let letter = letters.peek().map(|letter| (*letter).to_owned());
        match letter.and_then(|letter| detail::view(&alike, shapes, letter, by)) {
            Some(view) => {
                letters.next();
                views.push((alike, view));
            }
            None => keys.extend(alike.runs.into_iter().flat_map(|run| run.keys)),
        }
    }
    (views, keys)
}
