//! Where words may be in a drawing without touching a line or other words.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::geom::ray;
use crate::paper::crossed::Leader;
use crate::paper::font;
use crate::paper::lines::Lines;
use crate::paper::lines::ROUNDING;
use crate::paper::lines::around as around_line;
use crate::paper::scene::Item;
use crate::paper::scene::Pen;
use crate::paper::scene::Words;
use crate::paper::straight::Touch;
use crate::paper::straight::crosses;
use crate::paper::straight::overlap;
use crate::paper::straight::pieces;
use crate::paper::straight::touch;

/// Between words and whatever is beside them, mm. Our choice.
const GAP: f64 = 0.7;

/// Words in one line are read together if they are no farther apart, mm. Our choice: four gaps between
/// words.
const APART: f64 = 6.0;

/// Between a leader and a hole that it does not lead to, mm. Our choice.
const BESIDE: f64 = 0.9;

/// Between a leader and the centre of an origin circle, mm: the circle and some air. Our choice.
const OFF_ORIGIN: f64 = 1.6;

/// Directions in which words are tried round a spot, and how far, mm.
const DIRECTIONS: u32 = 16;
const FARTHEST: f64 = 46.0;

/// As near to a spot words need no leader, mm. Our choice.
const NEAR: f64 = 2.0;

/// A hole that words may be about.
#[derive(Clone)]
struct Hole {
    bounds: Bounds,
    /// Its outline, in straight pieces.
    pieces: Vec<[Point; 2]>,
}

/// Words away from their spot, and the leader between.
struct Far {
    /// Whether it is as near to the hole of others as text is without a leader.
    beside_others: bool,
    /// The lines the leader crosses.
    crossed: Leader,
    leader: [Point; 2],
    words: Words,
}

impl Far {
    /// What makes it worse than another, first the worst.
    fn faults(&self) -> (bool, Leader) {
        (self.beside_others, self.crossed)
    }
}

/// Whether words may be in a rectangle beside some items.
pub(crate) fn is_free(items: &[Item], bounds: Bounds) -> bool {
    let frame = items.iter().map(Item::bounds).fold(bounds.grown(1.0), Bounds::and);
    let mut clear = Clear::new(frame);
    items.iter().for_each(|item| clear.see(item));
    clear.is_free(bounds)
}

/// A drawing under way, with the areas that are occupied.
#[derive(Clone)]
pub(super) struct Clear {
    /// Words must stay within.
    frame: Bounds,
    /// Rectangles of words.
    taken: Vec<Bounds>,
    /// Lines, in straight pieces; without a pen for filled areas.
    pub(super) lines: Lines<Option<Pen>>,
    /// Areas that words should not cover, though lines may lead into them.
    bodies: Vec<Bounds>,
    holes: Vec<Hole>,
    /// Centres of the circles from which running dimensions start.
    origins: Vec<Point>,
    /// The part itself: text that may be on it or off it is better off it.
    metal: Vec<Bounds>,
    /// Areas that no words are in, though they may be drawn later.
    avoided: Vec<Bounds>,
    /// The items drawn.
    pub(super) items: Vec<Item>,
}

impl Clear {
    /// An empty drawing.
    pub(super) fn new(frame: Bounds) -> Self {
        Self {
            frame,
            taken: Vec::new(),
            lines: Lines::new(frame),
            bodies: Vec::new(),
            holes: Vec::new(),
            origins: Vec::new(),
            metal: Vec::new(),
            avoided: Vec::new(),
            items: Vec::new(),
        }
    }

    /// An empty drawing in which words may be anywhere; most lines will be within `bounds`.
    pub(super) fn unframed(bounds: Bounds) -> Self {
        let frame = Bounds {
            min: Point::new(f64::NEG_INFINITY, f64::NEG_INFINITY),
            max: Point::new(f64::INFINITY, f64::INFINITY),
        };
        Self { frame, ..Self::new(bounds) }
    }

    /// Takes note of something that is drawn.
    fn see(&mut self, item: &Item) {
        match item {
            Item::Line(pen, edges) => {
                edges.iter().flat_map(pieces).for_each(|line| self.lines.push(Some(*pen), line));
            }
            Item::Fill(_, loops) | Item::Area(_, loops) => {
                let pieces = loops.iter().flatten().flat_map(pieces);
                pieces.for_each(|line| self.lines.push(None, line));
            }
            Item::Words(words) => self.taken.push(words.bounds()),
            Item::Window(bounds, _) => self.taken.push(*bounds),
            Item::Noted(_, items) => items.iter().for_each(|item| self.see(item)),
        }
    }

    /// Whether words in a rectangle are read with others in their line: `slot 7 × 20 B`.
    pub(super) fn reads_on(&self, bounds: Bounds) -> bool {
        self.taken.iter().any(|other| {
            let level = bounds.max.y.min(other.max.y) - bounds.min.y.max(other.min.y);
            let apart = (other.min.x - bounds.max.x).max(bounds.min.x - other.max.x);
            level > other.height() / 2.0 && apart < APART
        })
    }

    /// Draws something without asking whether there is room.
    pub(super) fn draw(&mut self, item: Item) {
        self.see(&item);
        self.items.push(item);
    }

    /// Draws something that lines may cross.
    pub(super) fn draw_under(&mut self, item: Item) {
        self.items.push(item);
    }

    /// Keeps the words that come next out of these areas, and of no others.
    pub(super) fn avoid(&mut self, areas: &[Bounds]) {
        self.avoided = areas.to_vec();
    }

    /// Takes note of where the part is.
    pub(super) fn add_metal(&mut self, bounds: Bounds) {
        self.metal.push(bounds);
    }

    /// Takes note of the circle from which running dimensions start.
    pub(super) fn add_origin(&mut self, centre: Point) {
        self.origins.push(centre);
    }

    /// Keeps leaders out of text that is read as one, such as the words of a line.
    pub(super) fn close(&mut self, bounds: Bounds) {
        self.taken.push(bounds);
    }

    /// What runs through a rectangle, as a leader over it must be allowed.
    pub(super) fn leader_over(&self, bounds: Bounds) -> Leader {
        let lines = self.lines.near(bounds).filter(|(_, line)| crosses(line, &bounds));
        lines.map(|(pen, _)| Leader::over(*pen)).max().unwrap_or(Leader::Open)
    }

    /// Whether a rectangle lies on the part.
    pub(super) fn covers_metal(&self, bounds: Bounds) -> bool {
        self.metal.iter().any(|metal| overlap(metal, &bounds))
    }

    /// Keeps the words of other spots away from a hole.
    pub(super) fn add_hole(&mut self, outline: &[Edge]) {
        let pieces: Vec<[Point; 2]> = outline.iter().flat_map(pieces).collect();
        let bounds = pieces.iter().flatten().fold(Bounds::EMPTY, |bounds, p| bounds.with(*p));
        self.holes.push(Hole { bounds, pieces });
    }

    /// The outlines of all holes but the one round a spot, the smallest if there are several; of those
    /// that come near a rectangle.
    fn others(&self, spot: Point, near: Bounds) -> impl Iterator<Item = &[Point; 2]> {
        let around = |(_, hole): &(usize, &Hole)| hole.bounds.contains(spot);
        let size = |hole: &Hole| hole.bounds.width() * hole.bounds.height();
        let own = self.holes.iter().enumerate().filter(around);
        let own = own.min_by(|a, b| size(a.1).total_cmp(&size(b.1))).map(|(i, _)| i);
        let others = self.holes.iter().enumerate().filter(move |(i, hole)| {
            Some(*i) != own && overlap(&hole.bounds.grown(ROUNDING), &near)
        });
        others.flat_map(|(_, hole)| &hole.pieces)
    }

    /// Whether a line touches another hole than that of a spot.
    fn meets_others(&self, spot: Point, way: &[Point; 2]) -> bool {
        let near = around_line(way).grown(ROUNDING);
        self.others(spot, near).any(|piece| touch(way, piece) != Touch::Not)
    }

    /// Whether a spot is clear of the boxes round all holes: text within one would be read as that
    /// hole's.
    pub(super) fn is_off_holes(&self, spot: Point, by: f64) -> bool {
        !self.holes.iter().any(|hole| hole.bounds.grown(by).contains(spot))
    }

    /// Whether a dot at a spot touches no words.
    pub(super) fn is_off_words(&self, spot: Point) -> bool {
        let dot = Bounds { min: spot, max: spot }.grown(GAP);
        !self.taken.iter().any(|words| overlap(words, &dot))
    }

    /// Whether a hole other than that of a spot is within this distance of text.
    fn is_beside_others(&self, spot: Point, words: &Words, within: f64) -> bool {
        let bounds = words.bounds().grown(within);
        self.others(spot, bounds).any(|piece| crosses(piece, &bounds))
    }

    /// Whether words may be here.
    pub(super) fn is_free(&self, bounds: Bounds) -> bool {
        self.is_free_within(bounds, GAP)
    }

    /// Whether text may be placed here, at this distance from everything beside it, mm.
    pub(super) fn is_free_within(&self, bounds: Bounds, gap: f64) -> bool {
        let grown = bounds.grown(gap);
        self.frame.contains(bounds.min)
            && self.frame.contains(bounds.max)
            && !self.taken.iter().any(|other| overlap(&grown, other))
            && !self.bodies.iter().any(|other| overlap(&grown, other))
            && !self.avoided.iter().any(|other| overlap(&bounds, other))
            && !self.lines.near(grown).any(|(_, line)| crosses(line, &grown))
    }

    /// Whether a line may be drawn: it crosses no words.
    pub(super) fn is_open(&self, line: &[Point; 2]) -> bool {
        !self.taken.iter().any(|words| crosses(line, &words.grown(GAP / 2.0)))
    }

    /// The lowest permission that a leader of a spot needs for what it crosses.
    pub(super) fn crossed(&self, spot: Point, [from, to]: &[Point; 2]) -> Leader {
        let along = (*to - *from).normalize();
        let way = [*from + along * GAP, *to];
        if self.meets_others(spot, &way) {
            return Leader::Never;
        }
        // Close beside a hole it would seem to be of that as well.
        let square = Vec2::new(-along.y, along.x);
        let beside = [-BESIDE, BESIDE].map(|off| way.map(|p| p + square * off));
        if beside.iter().any(|way| self.meets_others(spot, way)) {
            return Leader::BesideOthers;
        }
        let over = |(pen, line): (&Option<Pen>, &[Point; 2])| match touch(&way, line) {
            Touch::Not => Leader::Open,
            Touch::Across => Leader::over(*pen),
            Touch::Along => Leader::Never,
        };
        let crossed = self.lines.beside(&way).map(over).max().unwrap_or(Leader::Open);
        let is_near = |centre: &Point| distance(*centre, &way) < OFF_ORIGIN;
        match crossed {
            Leader::OverAll if self.origins.iter().any(is_near) => Leader::OverOrigin,
            crossed => crossed,
        }
    }

    /// Draws words where there is room for them.
    pub(super) fn put(&mut self, words: Words) -> bool {
        let free = self.is_free(words.bounds());
        if free {
            self.draw(Item::Words(words));
        }
        free
    }

    /// Draws words with their centre at a place, where there is room.
    pub(super) fn put_centre(&mut self, centre: Point, words: &Words) -> bool {
        self.put(words.clone().centred(centre))
    }

    /// Words near a spot, in one height; if need be with a leader over whatever there is.
    pub(super) fn label(&mut self, spot: Point, round: f64, words: &Words) -> bool {
        self.lead(spot, round, std::slice::from_ref(words), Leader::OverAll)
    }

    /// Words near a spot: beside it, in the largest of some heights that has room; else
    /// farther off with a leader, which crosses as little as can be and no more than it may.
    /// `round` is how much of the spot's surroundings its own drawing occupies.
    pub(super) fn lead(&mut self, spot: Point, round: f64, words: &[Words], may: Leader) -> bool {
        let near = words.iter().find_map(|words| self.near(spot, round, words));
        if let Some(words) = near {
            self.draw(Item::Words(words));
            return true;
        }
        if may == Leader::None {
            return false;
        }
        let all = words.iter().filter_map(|words| self.far(spot, round, words, may));
        // Of equal ones the first.
        let Some(Far { leader, words, .. }) = all.min_by_key(Far::faults) else { return false };
        self.draw(Item::line(Pen::Narrow, leader[0], leader[1]));
        self.draw(Item::Words(words));
        true
    }

    /// Words beside a spot with no line between, where there is room.
    fn near(&self, spot: Point, round: f64, words: &Words) -> Option<Words> {
        let places = around(round + GAP + 0.1, round + NEAR, 0.4);
        let around_spot = Bounds { min: spot, max: spot }.grown(round);
        places.map(|(away, out)| (spot + out * away, out)).find_map(|(edge, out)| {
            let words = beyond(edge, out, words);
            let way = [spot + out * round, edge + out * GAP];
            let own = words.bounds().distance(&around_spot);
            let free = self.is_free(words.bounds())
                && self.crossed(spot, &way) == Leader::Open
                && !self.is_beside_others(spot, &words, own);
            free.then_some(words)
        })
    }

    /// Words farther off, with their leader and what that crosses.
    fn far(&self, spot: Point, round: f64, words: &Words, may: Leader) -> Option<Far> {
        let mut best: Option<Far> = None;
        for (away, out) in around(round + NEAR + 0.4, FARTHEST, 2.0) {
            let edge = spot + out * away;
            let (leader, words) = ([spot + out * round, edge], beyond(edge, out, words));
            if !self.is_free(words.bounds()) || !self.is_open(&leader) {
                continue;
            }
            // It does not end on a line either.
            let crossed = self.crossed(spot, &[leader[0], edge + out * GAP]);
            let beside_others = self.is_beside_others(spot, &words, NEAR);
            let far = Far { beside_others, crossed, leader, words };
            let is_last = may == Leader::OverAll && crossed < Leader::Never;
            if (crossed <= may || is_last)
                && best.as_ref().is_none_or(|best| far.faults() < best.faults())
            {
                let is_best = far.faults() == (false, Leader::Open);
                best = Some(far);
                if is_best {
                    break;
                }
            }
        }
        best
    }
}

/// How far a point is from a straight line between two, mm.
fn distance(point: Point, [from, to]: &[Point; 2]) -> f64 {
    let along = *to - *from;
    let share = (point - *from).dot(along) / along.hypot2().max(f64::MIN_POSITIVE);
    (*from + along * share.clamp(0.0, 1.0) - point).hypot()
}

/// Distances and directions round a spot, near ones first; up to the right first, then round.
fn around(min: f64, max: f64, step: f64) -> impl Iterator<Item = (f64, Vec2)> {
    let rings = ((max - min) / step).max(0.0) as u32;
    (0..=rings).flat_map(move |ring| {
        (0..DIRECTIONS).map(move |rotation| {
            let degrees = 45.0 + 360.0 / f64::from(DIRECTIONS) * f64::from(rotation);
            (min + step * f64::from(ring), ray(degrees))
        })
    })
}

/// Words just beyond the end of a leader that points along a direction.
fn beyond(edge: Point, out: Vec2, words: &Words) -> Words {
    let (half, high) = (words.length() / 2.0, words.height / 2.0);
    let reach = |share: f64, half: f64| half * (share * 3.0).clamp(-1.0, 1.0);
    let (below, above) = font::reach(words.height);
    let tall = high + (above - words.height).max(below) + 0.1;
    let centre = edge + out * GAP + (reach(out.x, half), reach(out.y, tall));
    words.clone().centred(centre)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::paper::tag::circle;

    #[test]
    fn a_leader_keeps_off_holes_that_it_does_not_lead_to() {
        let mut clear = Clear::new(Bounds { min: Point::ZERO, max: Point::new(100.0, 80.0) });
        clear.add_hole(&circle(Point::new(50.0, 40.0), 3.0));
        let past = |off: f64| {
            let way = [20.0, 80.0].map(|x| Point::new(x, 43.0 + off));
            clear.crossed(way[0], &way)
        };
        assert_eq!(past(2.0), Leader::Open);
        assert_eq!(past(0.5), Leader::BesideOthers, "as near it seems to be of that");
        assert_eq!(past(-1.0), Leader::Never);
    }

    #[test]
    fn a_leader_over_the_circle_of_an_origin_is_worse_than_one_over_its_line() {
        let mut clear = Clear::new(Bounds { min: Point::ZERO, max: Point::new(100.0, 80.0) });
        let origin = Point::new(20.0, 20.0);
        clear.add_origin(origin);
        clear.draw(Item::Line(Pen::Narrow, circle(origin, 1.1)));
        clear.draw(Item::line(Pen::Narrow, Point::new(21.1, 20.0), Point::new(70.0, 20.0)));
        let at = |x: f64| clear.crossed(origin, &[Point::new(x, 40.0), Point::new(x, 5.0)]);
        assert_eq!(at(40.0), Leader::OverAll);
        assert_eq!([at(20.0), at(21.4)], [Leader::OverOrigin; 2]);
        assert_eq!(at(15.0), Leader::Open);
    }

    #[test]
    fn labels_of_many_spots_keep_off_each_other() {
        let frame = Bounds { min: Point::ZERO, max: Point::new(100.0, 80.0) };
        let mut clear = Clear::new(frame);
        let spots = (0..40)
            .map(|i| Point::new(30.0 + 5.0 * f64::from(i % 8), 30.0 + 4.0 * f64::from(i / 8)));
        let placed =
            spots.filter(|s| clear.label(*s, 1.0, &Words::plain(Point::ZERO, 2.5, "B12"))).count();
        assert!(placed >= 25, "{placed}");
        let boxes: Vec<Bounds> = clear.taken.clone();
        for (i, a) in boxes.iter().enumerate() {
            assert!(boxes[..i].iter().all(|b| !overlap(a, b)));
            assert!(clear.lines.iter().all(|(_, line)| !crosses(line, a)));
        }
    }
}
