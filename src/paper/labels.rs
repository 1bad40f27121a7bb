//! What stands at bend lines: along them, where the part leaves room; else in a column to
//! the right of the part or in a row above it, before the dimension over all; else near.

use crate::geom::Edge;
use crate::geom::Point;
use crate::paper::clear::Clear;
use crate::paper::clear::Leader;
use crate::paper::clear::start;
use crate::paper::running;
use crate::paper::scene::Item;
use crate::paper::scene::Pen;
use crate::paper::scene::Words;

/// Heights of labels that are tried, mm. The lesser is the least that ISO 3098 has for A4
/// (from memory).
const HEIGHTS: [f64; 2] = [3.0, 2.5];
/// Of a label along a line that has room nowhere else, mm. Our choice: small, but no leader
/// runs over the part.
const MIN: f64 = 2.2;
/// From the part to a column of labels, mm; between them their leaders spread.
const LEAD: f64 = 4.0;
/// From a leader to its label, mm.
const GAP: f64 = 0.8;
/// From one label of a column to the next, mm.
const PITCH: f64 = 5.0;

/// A label in every height that is tried, large first.
pub(super) fn heavy(label: &str) -> Vec<Words> {
    HEIGHTS.map(|height| Words::heavy(Point::ZERO, height, label)).to_vec()
}

/// Which way a line runs.
fn is_upright(bend: &PlanBend) -> bool {
    (bend.line.to.x - bend.line.from.x).abs() < 1e-6
}

fn is_level(bend: &PlanBend) -> bool {
    (bend.line.to.y - bend.line.from.y).abs() < 1e-6
}

/// Draws labels along their lines; the bends for which there was no room come back.
pub(super) fn along(clear: &mut Clear, bends: Vec<PlanBend>) -> Vec<PlanBend> {
    bends.into_iter().filter(|bend| !put_along(clear, bend, &heavy(&bend.label))).collect()
}

/// Draws a label along its line, on either side of it; says whether there was room.
pub(super) fn put_along(clear: &mut Clear, bend: &PlanBend, words: &[Words]) -> bool {
    let upright = is_upright(bend);
    if !upright && !is_level(bend) {
        return false;
    }
    words.iter().cloned().any(|words| {
        let off = words.height / 2.0 + 1.4;
        let (words, off) = match upright {
            true => (words.upward(), (off, 0.0)),
            false => (words, (0.0, off)),
        };
        // From the centre outwards.
        (0..=20).flat_map(|i| [0.5 + 0.02 * f64::from(i), 0.5 - 0.02 * f64::from(i)]).any(|share| {
            let at = bend.line.point_at(share);
            clear.put_centre(at - off, &words) || clear.put_centre(at + off, &words)
        })
    })
}

/// Draws labels along their lines as small as can be read, else near them, led there by lines
/// that cross nothing but centre lines and, if need be, outlines; those without room come back.
pub(super) fn near(clear: &mut Clear, bends: Vec<PlanBend>) -> Vec<String> {
    let mut left = Vec::new();
    for bend in bends {
        let min = Words::heavy(Point::ZERO, MIN, &bend.label);
        let words = heavy(&bend.label);
        let mut placed = put_along(clear, &bend, &[min]);
        // Slanting lines have no words along them: near the middle they are clearly theirs.
        let shares = match is_upright(&bend) || is_level(&bend) {
            true => [1.0, 0.0, 0.5, 0.75, 0.25],
            false => [0.5, 0.75, 0.25, 1.0, 0.0],
        };
        for may in [Leader::OverMiddles, Leader::OverOutlines] {
            let at = |share: f64| bend.line.point_at(share);
            placed |=
                !placed && shares.into_iter().any(|share| clear.lead(at(share), 0.0, &words, may));
        }
        if !placed {
            left.push(bend.label);
        }
    }
    left
}

/// Labels in a column to the right of a part and in a row above it, each at the end of its
/// line.
pub(super) struct Beside {
    /// What the column takes, from the part on; mm.
    pub(super) right: f64,
    /// What the row takes, from the part on; mm.
    pub(super) above: f64,
    labels: Vec<Label>,
}

struct Label {
    bend: PlanBend,
    /// From the end of the line, to where all leaders begin to spread, to the words.
    leader: [Point; 3],
    words: Words,
}

/// Labels for those of the bends whose lines end at the right edge or at the upper one, the
/// origin being the other corner; the column may take so much more than the dimension does.
pub(super) fn beside(bends: Vec<PlanBend>, max: Point, room: f64) -> Beside {
    let mut beside = Beside { right: 0.0, above: 0.0, labels: Vec::new() };
    let ends = |at: [f64; 2], edge: f64| at[0].max(at[1]) > edge - LEAD;
    let level = |b: &PlanBend| is_level(b) && ends([b.line.from.x, b.line.to.x], max.x);
    let upright = |b: &PlanBend| is_upright(b) && ends([b.line.from.y, b.line.to.y], max.y);
    let (level, others): (Vec<_>, Vec<_>) = bends.into_iter().partition(level);
    let upright: Vec<PlanBend> = others.into_iter().filter(upright).collect();
    let long = |bends: &[PlanBend], height: f64| {
        let words = |bend: &PlanBend| Words::heavy(Point::ZERO, height, &bend.label).length();
        bends.iter().map(words).fold(0.0, f64::max) + LEAD + GAP
    };
    let height = HEIGHTS.into_iter().find(|height| long(&level, *height) <= room);
    if let Some(height) = height {
        let right = long(&level, height);
        if beside.column(level, height, [max.x, max.y], Point::new) {
            beside.right = right;
        }
    }
    let above = long(&upright, HEIGHTS[0]);
    if beside.column(upright, HEIGHTS[0], [max.y, max.x], |x, y| Point::new(y, x)) {
        beside.above = above;
    }
    beside
}

impl Beside {
    /// Adds labels in a column behind `edge`, within `extent`; nothing where it is too short.
    /// `rotated` makes a row of it.
    fn column(
        &mut self,
        mut bends: Vec<PlanBend>,
        height: f64,
        [edge, extent]: [f64; 2],
        rotated: impl Fn(f64, f64) -> Point,
    ) -> bool {
        // Off the lines that lead to the dimension over all.
        let (min, max) = (PITCH * 0.6, extent - PITCH * 0.6);
        if bends.is_empty() || max - min < PITCH * (bends.len() - 1) as f64 {
            return false;
        }
        let along = |p: Point| rotated(p.x, p.y).y;
        let end = |b: &PlanBend| {
            let [from, to] = [b.line.from, b.line.to].map(|p| rotated(p.x, p.y));
            if from.x > to.x { b.line.from } else { b.line.to }
        };
        bends.sort_by(|a, b| along(end(a)).total_cmp(&along(end(b))));
        let wanted: Vec<f64> = bends.iter().map(|bend| along(end(bend))).collect();
        let places = running::spread(&wanted, PITCH, min, max);
        for (bend, place) in bends.into_iter().zip(places) {
            let from = end(&bend);
            let leader = [from, rotated(edge + 0.8, along(from)), rotated(edge + LEAD, place)];
            let words = Words::heavy(Point::ZERO, height, &bend.label);
            let centre = rotated(edge + LEAD + GAP + words.length() / 2.0, place);
            let words = if is_upright(&bend) { words.upward() } else { words };
            self.labels.push(Label {
                leader,
                words: Words { at: start(centre, &words), ..words },
                bend,
            });
        }
        true
    }

    /// Whether a bend is among them.
    pub(super) fn has(&self, bend: &PlanBend) -> bool {
        self.labels.iter().any(|label| label.bend == *bend)
    }

    /// Draws them.
    pub(super) fn draw(&self, clear: &mut Clear) {
        for label in &self.labels {
            for pair in label.leader.windows(2) {
                clear.draw(Item::line(Pen::Narrow, pair[0], pair[1]));
            }
            clear.draw(Item::Words(label.words.clone()));
        }
    }
}

/// A bend line with what is said beside it.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanBend {
    /// Such as `1: 90° up`.
    pub label: String,
    /// Where it lies.
    pub line: Edge,
}
