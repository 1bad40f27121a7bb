//! Plates that lie on each other, and the openings a bolt passes in them.
//!
//! A bolt passes when a circle of its diameter about the axis of one of its holes is in an opening
//! of every plate there, or beside it. In fact the fit may be looser; a stack that needs the bolt
//! between the axes is refused.

use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::part::Face;
use crate::part::Hole;
use crate::recipe::Hand;
use crate::recipe::Making;
use crate::solve::on_sheets::seen;
use crate::solve::solved::Solved;

/// Sizes and places are the same when they differ by no more, mm. Our choice.
const SAME: f64 = 0.01;

/// A plate of a stack.
pub(super) struct Layer<'a> {
    pub(super) solved: &'a Solved,
    pub(super) face: &'a Face,
    /// From its drawing to that of the lowest plate.
    pub(super) place: Place,
}

/// A hole with its purpose.
pub(super) struct Bolt<'a> {
    pub(super) hole: &'a Hole,
    /// Index of its plate.
    pub(super) layer: usize,
    /// In the drawing of the lowest plate.
    pub(super) at: Point,
}

/// What a bolt meets in a plate.
enum Meets<'a> {
    Nothing,
    /// An outline as cut, and its hole if it is one.
    Opening(Outline, Option<&'a Hole>),
    Metal,
}

/// The layers a bolt clamps. Lengths are mm.
pub(crate) struct Clamped<'a> {
    /// Of all plates between head and nut.
    pub(crate) thickness: f64,
    /// The hole that is made for the head, where another plate has it.
    pub(crate) head: Option<&'a Hole>,
    /// The hole of whatever plate that has the thread, tapped or set in.
    pub(crate) thread: Option<&'a Hole>,
    /// Pieces lying on one another with one bolt through them.
    pub(crate) pieces: u32,
}

/// The plates of one hand that lie on each other, the lowest first; `None` if nothing lies on a
/// face. A plate without hands lies in the stacks of both.
pub(super) fn stacks(all: &[Solved]) -> Vec<Vec<Layer<'_>>> {
    let mut found = Vec::new();
    if all.iter().all(|solved| solved.part.laid.is_none()) {
        return found;
    }
    for solved in all {
        for (i, face) in solved.part.faces.iter().enumerate() {
            if i == 0 && all.iter().any(|lower| seen(solved, lower).is_some()) {
                continue;
            }
            let hands = [Hand::Right, Hand::Left].map(|hand| of_hand(solved, face, hand, all));
            found.extend(hands.into_iter().flatten());
        }
    }
    found
}

/// The plates on a face in the set of one hand, if there are any. Plates without a hand are those
/// of the right one.
fn of_hand<'a>(
    solved: &'a Solved,
    face: &'a Face,
    hand: Hand,
    all: &'a [Solved],
) -> Option<Vec<Layer<'a>>> {
    let is_in = |of: &Solved| of.part.hand.is_none_or(|of| of == hand);
    let mut layers = vec![Layer { solved, face, place: Place::default() }];
    let mut below = 0;
    while below < layers.len() {
        let above = above(&layers[below], all).filter(|layer| is_in(layer.solved));
        layers.extend(above.collect::<Vec<_>>());
        below += 1;
    }
    let is_own = hand == Hand::Right || layers.iter().any(|of| of.solved.part.hand.is_some());
    (layers.len() > 1 && is_own && is_in(solved)).then_some(layers)
}

/// The plates on a plate.
fn above<'a>(lower: &Layer, all: &'a [Solved]) -> impl Iterator<Item = Layer<'a>> {
    all.iter().filter_map(|upper| {
        let (face, place) = seen(upper, lower.solved)?;
        let place = place.then(&lower.place);
        let is_here = lower.solved.part.faces[face].name == lower.face.name;
        is_here.then(|| Layer { solved: upper, face: &upper.part.faces[0], place })
    })
}

/// Every hole of a stack that has a fastener.
pub(super) fn bolts<'a>(stack: &[Layer<'a>]) -> Vec<Bolt<'a>> {
    let of = |(layer, of): (usize, &Layer<'a>)| {
        let (face, place) = (of.face, of.place);
        face.holes.iter().filter(|hole| hole.through.is_some()).map(move |hole| Bolt {
            hole,
            layer,
            at: place.apply(hole.at),
        })
    };
    stack.iter().enumerate().flat_map(of).collect()
}

impl Bolt<'_> {
    /// Of the shank, mm; 0 if no table has the fastener: its axis alone is checked.
    pub(super) fn radius(&self) -> f64 {
        self.hole.pin().map_or(0.0, |pin| pin / 2.0)
    }

    /// What bears round its hole, and the radius of that, or of what is sunk for its head, mm.
    pub(super) fn seat(&self) -> Option<(&'static str, f64)> {
        let sunk = self.hole.recess.map(|recess| ("bolt head in", recess.diameter));
        sunk.or_else(|| self.hole.bears()).map(|(bears, across)| (bears, across / 2.0))
    }

    /// Whether it fits into a hole, about an axis: a thread fits its own bolt alone.
    fn enters(&self, hole: &Hole, place: &Place, axis: Point) -> bool {
        let off = (place.apply(hole.at) - axis).hypot();
        if let Some(insert) = &hole.insert {
            let name = self.hole.row.as_ref().map(|row| row.name());
            return off < SAME && insert.row.text("bolt") == name;
        }
        if hole.making == Making::Tap {
            let thread = hole.pin().or_else(|| hole.diameter());
            let fits = thread.is_some_and(|thread| (thread / 2.0 - self.radius()).abs() < SAME);
            return off < SAME && (fits || self.hole.pin().is_none());
        }
        match hole.diameter() {
            Some(diameter) => off + self.radius() < diameter / 2.0 + SAME,
            None => clears(&hole.outline.moved(place), axis, self.radius()),
        }
    }

    /// What it meets in a plate, about an axis.
    fn meets<'a>(&self, layer: &Layer<'a>, axis: Point) -> Meets<'a> {
        let outer = layer.face.blank.outer().moved(&layer.place);
        if !outer.contains(axis) && outer.distance(axis) > self.radius() - SAME {
            return Meets::Nothing;
        }
        let enters = |hole: &&Hole| self.enters(hole, &layer.place, axis);
        if let Some(hole) = layer.face.holes.iter().find(enters) {
            return Meets::Opening(hole.outline.moved(&layer.place), Some(hole));
        }
        let openings = layer.face.blank.holes().iter().map(|of| of.moved(&layer.place));
        let mut open = openings.filter(|of| clears(of, axis, self.radius()));
        open.next().map_or(Meets::Metal, |opening| Meets::Opening(opening, None))
    }

    /// The first plate whose metal is in its way, about an axis.
    fn stopped_by(&self, stack: &[Layer], axis: Point) -> Option<usize> {
        let is_own = |i| i == self.layer && (self.at - axis).hypot() < SAME;
        let metal = |layer| matches!(self.meets(layer, axis), Meets::Metal);
        stack.iter().enumerate().find(|(i, of)| !is_own(*i) && metal(of)).map(|(i, _)| i)
    }

    /// The axis about which it passes all plates.
    ///
    /// # Errors
    /// The first plate that obstructs it about the axis of its own hole.
    pub(super) fn axis(&self, stack: &[Layer]) -> Result<Point, usize> {
        let Some(stopped) = self.stopped_by(stack, self.at) else { return Ok(self.at) };
        let own = self.hole.outline.moved(&stack[self.layer].place);
        let others = stack.iter().flat_map(|of| of.face.holes.iter().map(|h| (h, of.place)));
        let mut axes = others.map(|(hole, place)| place.apply(hole.at));
        let passes = |at: &Point| own.contains(*at) && self.stopped_by(stack, *at).is_none();
        axes.find(passes).ok_or(stopped)
    }

    /// Whether the hole of another plate is for the same bolt.
    fn is_that_of(&self, other: &Bolt, stack: &[Layer]) -> bool {
        self.enters(other.hole, &stack[other.layer].place, self.at)
            || other.enters(self.hole, &stack[self.layer].place, other.at)
    }
}

/// Whether a circle is within an outline.
fn clears(outline: &Outline, at: Point, radius: f64) -> bool {
    outline.contains(at) && outline.distance(at) > radius - SAME
}

/// The layers that the bolt of a hole clamps; `None` if it is that of a plate below.
pub(crate) fn clamped<'a>(part: &Solved, hole: &Hole, all: &'a [Solved]) -> Option<Clamped<'a>> {
    let mut alone = Clamped { thickness: part.part.thickness, head: None, thread: None, pieces: 1 };
    for stack in stacks(all) {
        let bolts = bolts(&stack);
        let is_it = |bolt: &&Bolt| {
            let same = bolt.hole.name == hole.name && bolt.hole.span == hole.span;
            same && bolt.hole.at == hole.at && stack[bolt.layer].solved.name == part.name
        };
        let Some(bolt) = bolts.iter().find(is_it) else { continue };
        let mut below = bolts.iter().filter(|other| other.layer < bolt.layer);
        if below.any(|other| bolt.is_that_of(other, &stack)) {
            return None;
        }
        alone = held(bolt, &stack);
    }
    Some(alone)
}

/// The layers a bolt clamps in a stack. A plate at either end whose opening lets the washer through
/// is not clamped.
fn held<'a>(bolt: &Bolt, stack: &[Layer<'a>]) -> Clamped<'a> {
    let axis = bolt.axis(stack).unwrap_or(bolt.at);
    let washer = bolt.seat().filter(|_| bolt.hole.recess.is_none()).map(|(_, radius)| radius);
    let mut passed: Vec<(usize, Option<&Hole>, bool)> = Vec::new();
    for (i, layer) in stack.iter().enumerate() {
        match bolt.meets(layer, axis) {
            _ if i == bolt.layer => passed.push((i, None, false)),
            Meets::Opening(opening, hole) => {
                let is_wide = washer.is_some_and(|washer| clears(&opening, axis, washer));
                let is_thread = hole.is_some_and(is_threaded);
                passed.push((i, hole, is_wide && !is_thread));
            }
            Meets::Nothing | Meets::Metal => {}
        }
    }
    while passed.last().is_some_and(|(.., wide)| *wide) {
        passed.pop();
    }
    let wide = passed.iter().take_while(|(.., wide)| *wide).count();
    passed.drain(..wide);
    let pieces = |i: usize| stack[i].solved.part.laid.as_ref().map_or(1, |laid| laid.pieces);
    let thick = |i: usize| stack[i].solved.part.thickness * f64::from(pieces(i));
    let holes = || passed.iter().rev().filter_map(|(_, hole, _)| *hole);
    Clamped {
        thickness: passed.iter().map(|(i, ..)| thick(*i)).sum(),
        head: holes().find(|hole| hole.recess.is_some()),
        thread: holes().find(|hole| is_threaded(hole)),
        pieces: pieces(bolt.layer),
    }
}

fn is_threaded(hole: &Hole) -> bool {
    hole.making == Making::Tap || hole.insert.is_some()
}
