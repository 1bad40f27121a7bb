//! Where words may stand in a drawing without touching a line or other words.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::num::Angle;
use crate::paper::Item;
use crate::paper::Pen;
use crate::paper::Reading;
use crate::paper::Words;
use crate::paper::font;

/// Between words and whatever stands beside them, mm. Our choice.
const GAP: f64 = 0.7;

/// Degrees of an arc in one straight piece.
const STEP: f64 = 10.0;

/// Directions in which words are tried round a spot, and how far, mm.
const DIRECTIONS: u32 = 16;
const FARTHEST: f64 = 46.0;

/// A drawing under way, with what of its room is taken.
pub(super) struct Clear {
    /// Words must stay within.
    frame: Bounds,
    /// Rectangles of words.
    taken: Vec<Bounds>,
    /// Lines, in straight pieces.
    lines: Vec<[Point; 2]>,
    /// Areas that words should not cover, though lines may lead into them.
    bodies: Vec<Bounds>,
    /// What has been drawn.
    pub(super) items: Vec<Item>,
}

impl Clear {
    /// An empty drawing.
    pub(super) fn new(frame: Bounds) -> Self {
        Self { frame, taken: Vec::new(), lines: Vec::new(), bodies: Vec::new(), items: Vec::new() }
    }

    /// Draws something without asking whether there is room.
    pub(super) fn draw(&mut self, item: Item) {
        match &item {
            Item::Line(_, edges) => self.lines.extend(edges.iter().flat_map(pieces)),
            Item::Fill(_, loops) => self.lines.extend(loops.iter().flatten().flat_map(pieces)),
            Item::Words(words) => self.taken.push(words.bounds()),
            Item::Window(bounds, _) => self.taken.push(*bounds),
        }
        self.items.push(item);
    }

    /// Keeps words out of an area.
    pub(super) fn keep_out(&mut self, bounds: Bounds) {
        self.bodies.push(bounds);
    }

    /// Whether words may stand here.
    pub(super) fn is_free(&self, bounds: Bounds) -> bool {
        let grown = bounds.grown(GAP);
        let frame = &self.frame;
        bounds.least.x >= frame.least.x
            && bounds.least.y >= frame.least.y
            && bounds.most.x <= frame.most.x
            && bounds.most.y <= frame.most.y
            && !self.taken.iter().any(|other| overlap(&grown, other))
            && !self.bodies.iter().any(|other| overlap(&grown, other))
            && !self.lines.iter().any(|line| crosses(line, &grown))
    }

    /// Whether a line may be drawn: it crosses no words.
    pub(super) fn is_open(&self, line: &[Point; 2]) -> bool {
        !self.taken.iter().any(|words| crosses(line, &words.grown(GAP / 2.0)))
    }

    /// Whether a leader meets another line but where it begins.
    fn is_crossed(&self, [from, to]: &[Point; 2]) -> bool {
        let begin = *from + (*to - *from).normalize() * GAP;
        self.lines.iter().any(|line| meet(&[begin, *to], line))
    }

    /// Whether a line runs over an area that words keep out of.
    pub(super) fn runs_over(&self, line: &[Point; 2]) -> bool {
        self.bodies.iter().any(|body| crosses(line, body))
    }

    /// Draws words where there is room for them.
    pub(super) fn put(&mut self, words: Words) -> bool {
        let free = self.is_free(words.bounds());
        if free {
            self.draw(Item::Words(words));
        }
        free
    }

    /// Draws words with their middle at a place, where there is room.
    pub(super) fn put_middle(&mut self, middle: Point, words: &Words) -> bool {
        let words = Words { at: start(middle, words), ..words.clone() };
        self.put(words)
    }

    /// Words near a spot: beside it, else farther off with a leader. `round` is how much
    /// of the spot's surroundings its own drawing takes.
    pub(super) fn label(&mut self, spot: Point, round: f64, words: &Words) -> bool {
        // Better far off than by a leader through other lines.
        [true, false].into_iter().any(|alone| self.label_by(spot, round, words, alone))
    }

    fn label_by(&mut self, spot: Point, round: f64, words: &Words, alone: bool) -> bool {
        let (half, high) = (words.length() / 2.0, words.height / 2.0);
        let mut away = round + GAP + 0.1;
        while away < FARTHEST {
            for turn in 0..DIRECTIONS {
                // Up to the right first, then round.
                let degrees = 45.0 + 360.0 / f64::from(DIRECTIONS) * f64::from(turn);
                let angle = Angle::from_degrees(degrees);
                let out = Vec2::new(angle.cos(), angle.sin());
                let edge = spot + out * away;
                let reach = |share: f64, half: f64| half * (share * 3.0).clamp(-1.0, 1.0);
                let (below, above) = font::reach(words.height);
                let tall = high + (above - words.height).max(below) + 0.1;
                let middle = edge + out * GAP + (reach(out.x, half), reach(out.y, tall));
                let words = Words { at: start(middle, words), ..words.clone() };
                if !self.is_free(words.bounds()) {
                    continue;
                }
                let near = away <= round + 2.0;
                let leader = [spot + out * round, edge];
                if !near && (!self.is_open(&leader) || alone && self.is_crossed(&leader)) {
                    continue;
                }
                if !near {
                    self.draw(Item::line(Pen::Narrow, leader[0], leader[1]));
                }
                self.draw(Item::Words(words));
                return true;
            }
            away += if away < round + 2.0 { 0.8 } else { 2.0 };
        }
        false
    }
}

/// Where words must start for their middle to be at a place.
pub(super) fn start(middle: Point, words: &Words) -> Point {
    let (half, high) = (words.length() / 2.0, words.height / 2.0);
    match words.reading {
        Reading::Level => middle - (half, high),
        Reading::Upward => middle - (-high, half),
    }
}

/// An edge as straight pieces.
fn pieces(edge: &Edge) -> Vec<[Point; 2]> {
    let sweep = edge.arc().map_or(0.0, |arc| arc.sweep.degrees().abs());
    let steps = (sweep / STEP).ceil().max(1.0) as usize;
    let at = |i: usize| edge.point_at(i as f64 / steps as f64);
    (0..steps).map(|i| [at(i), at(i + 1)]).collect()
}

/// Whether two rectangles share more than a rim.
pub(super) fn overlap(a: &Bounds, b: &Bounds) -> bool {
    a.least.x < b.most.x && b.least.x < a.most.x && a.least.y < b.most.y && b.least.y < a.most.y
}

/// Whether a straight line runs into a rectangle.
pub(super) fn crosses([from, to]: &[Point; 2], bounds: &Bounds) -> bool {
    let along = *to - *from;
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    let sides = [
        (-along.x, from.x - bounds.least.x),
        (along.x, bounds.most.x - from.x),
        (-along.y, from.y - bounds.least.y),
        (along.y, bounds.most.y - from.y),
    ];
    for (speed, room) in sides {
        if speed == 0.0 {
            if room <= 0.0 {
                return false;
            }
        } else if speed < 0.0 {
            enter = enter.max(room / speed);
        } else {
            leave = leave.min(room / speed);
        }
    }
    enter < leave
}

/// Whether two straight lines cross.
fn meet([a, b]: &[Point; 2], [c, d]: &[Point; 2]) -> bool {
    let side = |p: &Point, q: &Point, r: &Point| (*q - *p).cross(*r - *p);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_through_a_rectangle_is_seen_and_one_beside_it_is_not() {
        let bounds = Bounds { least: Point::new(0.0, 0.0), most: Point::new(4.0, 2.0) };
        let line = |a: (f64, f64), b: (f64, f64)| crosses(&[a.into(), b.into()], &bounds);
        assert!(line((-1.0, 1.0), (5.0, 1.0)) && line((1.0, 1.0), (2.0, 1.5)));
        assert!(line((-1.0, -1.0), (5.0, 3.0)));
        assert!(!line((-1.0, 3.0), (5.0, 3.0)) && !line((-1.0, 1.0), (-0.5, 9.0)));
        assert!(!line((5.0, 0.0), (5.0, 2.0)));
    }

    #[test]
    fn labels_of_many_spots_keep_off_each_other() {
        let frame = Bounds { least: Point::ZERO, most: Point::new(100.0, 80.0) };
        let mut clear = Clear::new(frame);
        let spots = (0..40)
            .map(|i| Point::new(30.0 + 5.0 * f64::from(i % 8), 30.0 + 4.0 * f64::from(i / 8)));
        let placed =
            spots.filter(|s| clear.label(*s, 1.0, &Words::plain(Point::ZERO, 2.5, "B12"))).count();
        assert!(placed >= 25, "{placed}");
        let boxes: Vec<Bounds> = clear.taken.clone();
        for (i, a) in boxes.iter().enumerate() {
            assert!(boxes[..i].iter().all(|b| !overlap(a, b)));
            assert!(clear.lines.iter().all(|line| !crosses(line, a)));
        }
    }
}
