//! A picture under way, with all of it that words and dimensions keep off.

use crate::geom::Bounds;
use crate::geom::Point;
use crate::geom::ring_sides;
use crate::geom::rings_at;
use crate::paper::lines::Lines;
use crate::paper::scene::Item;
use crate::paper::solid::picture::Picture;
use crate::paper::straight::meet;
use crate::paper::straight::pieces;

/// Between words and whatever is beside them, mm. Our choice.
const GAP: f64 = 0.5;

/// Height of a row of the picture by which the part is searched, mm. Our choice.
const ROW: f64 = 0.25;

/// A picture under way.
#[derive(Clone)]
pub(super) struct Sheet {
    frame: Bounds,
    /// Where rows of the picture enter and leave the part, by the even-odd rule.
    rows: Vec<Vec<f64>>,
    /// The boxes of text.
    boxes: Vec<[Point; 4]>,
    /// The items drawn, in straight pieces.
    lines: Lines<()>,
    items: Vec<Item>,
}

impl Sheet {
    pub(super) fn new(frame: Bounds, whole: &[Vec<Point>]) -> Self {
        let count = (frame.height() / ROW).ceil().max(0.0) as usize;
        let rings = || whole.iter().map(Vec::as_slice);
        let row = |i: usize| rings_at(rings(), frame.min.y + ROW * (i as f64 + 0.5));
        let rows = (0..count).map(row).collect();
        Self { frame, rows, boxes: Vec::new(), lines: Lines::new(frame), items: Vec::new() }
    }

    /// Draws what words may be on.
    pub(super) fn under(&mut self, item: Item) {
        self.items.push(item);
    }

    /// Draws what nothing else may be on.
    pub(super) fn draw(&mut self, item: Item) {
        self.see(&item);
        self.items.push(item);
    }

    fn see(&mut self, item: &Item) {
        match item {
            Item::Line(_, edges) => {
                edges.iter().flat_map(pieces).for_each(|line| self.lines.push((), line));
            }
            Item::Fill(_, loops) | Item::Area(_, loops) => {
                let pieces = loops.iter().flatten().flat_map(pieces);
                pieces.for_each(|line| self.lines.push((), line));
            }
            Item::Words(words) => self.boxes.push(words.corners()),
            Item::Window(..) => {}
            Item::Noted(_, items) => items.iter().for_each(|item| self.see(item)),
        }
    }

    /// Whether a point is on the part.
    pub(super) fn is_on_part(&self, p: Point) -> bool {
        let row = ((p.y - self.frame.min.y) / ROW).floor();
        let crossed = |row: &Vec<f64>| row.partition_point(|x| *x < p.x) % 2 == 1;
        row >= 0.0 && self.rows.get(row as usize).is_some_and(crossed)
    }

    /// The share of a line that is on the part.
    pub(super) fn share_on_part(&self, [from, to]: [Point; 2]) -> f64 {
        const LOOKS: usize = 12;
        let at = |i: usize| from.lerp(to, (i as f64 + 0.5) / LOOKS as f64);
        (0..LOOKS).filter(|i| self.is_on_part(at(*i))).count() as f64 / LOOKS as f64
    }

    /// How many drawn lines a line crosses.
    pub(super) fn crossed(&self, line: &[Point; 2]) -> usize {
        self.lines.beside(line).filter(|(_, other)| meet(line, other)).count()
    }

    /// Whether a line runs over words.
    pub(super) fn is_over_words(&self, line: &[Point; 2]) -> bool {
        self.boxes.iter().any(|corners| enters(line, &grown(corners, GAP)))
    }

    /// Whether words may be in a rectangle: within the room, off other words and off lines.
    pub(super) fn is_free(&self, corners: &[Point; 4]) -> bool {
        self.is_off_words(corners) && self.lines_under(corners) == 0
    }

    /// Whether a rectangle is within the room and off other words.
    pub(super) fn is_off_words(&self, corners: &[Point; 4]) -> bool {
        let grown = grown(corners, GAP);
        corners.iter().all(|p| self.contains(*p))
            && !self.boxes.iter().any(|other| overlap(&grown, other))
    }

    /// How many pieces of drawn lines run into a rectangle.
    pub(super) fn lines_under(&self, corners: &[Point; 4]) -> usize {
        let grown = grown(corners, GAP);
        let bounds = grown.iter().fold(Bounds::EMPTY, |b, p| b.with(*p));
        let near = self.lines.near(bounds).filter(|(_, line)| is_near(line, &bounds));
        near.filter(|(_, line)| enters(line, &grown)).count()
    }

    /// Whether a point is within the room.
    pub(super) fn contains(&self, p: Point) -> bool {
        self.frame.contains(p)
    }

    /// All that is drawn.
    pub(super) fn extent(&self) -> Bounds {
        self.items.iter().map(Item::bounds).fold(Bounds::EMPTY, Bounds::and)
    }

    /// All items in their places.
    pub(super) fn into_items(self) -> Vec<Item> {
        self.items
    }

    /// The picture, its lower left corner at the origin.
    pub(super) fn finish(self, scale: f64, missing: Vec<String>) -> Picture {
        let all = self.extent();
        if self.items.is_empty() {
            return Picture::default();
        }
        let all = all.grown(0.25);
        let items = self.items.into_iter().map(|i| i.shifted((-all.min.x, -all.min.y))).collect();
        Picture { items, size: [all.width(), all.height()], missing, scale }
    }
}

/// The corners of text, grown by a distance on every side.
fn grown(corners: &[Point; 4], by: f64) -> [Point; 4] {
    let along = (corners[1] - corners[0]).normalize() * by;
    let up = (corners[3] - corners[0]).normalize() * by;
    [
        corners[0] - along - up,
        corners[1] + along - up,
        corners[2] + along + up,
        corners[3] - along + up,
    ]
}

/// Whether the rectangle round a line meets another.
fn is_near([a, b]: &[Point; 2], bounds: &Bounds) -> bool {
    a.x.min(b.x) <= bounds.max.x
        && a.x.max(b.x) >= bounds.min.x
        && a.y.min(b.y) <= bounds.max.y
        && a.y.max(b.y) >= bounds.min.y
}

/// Whether a line runs into a convex ring that runs anticlockwise.
pub(super) fn enters([from, to]: &[Point; 2], ring: &[Point; 4]) -> bool {
    let way = *to - *from;
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    for (a, b) in ring_sides(ring) {
        let side = b - a;
        let (height, speed) = (side.cross(*from - a), side.cross(way));
        if speed.abs() < 1e-12 {
            if height < 0.0 {
                return false;
            }
        } else if speed > 0.0 {
            enter = enter.max(-height / speed);
        } else {
            leave = leave.min(-height / speed);
        }
    }
    enter < leave
}

/// Whether two rectangles share an area.
fn overlap(a: &[Point; 4], b: &[Point; 4]) -> bool {
    let parted = |ring: &[Point; 4], other: &[Point; 4]| {
        ring_sides(ring).any(|(p, q)| other.iter().all(|r| (q - p).cross(*r - p) <= 0.0))
    };
    !parted(a, b) && !parted(b, a)
}
