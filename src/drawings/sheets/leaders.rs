//! Numbers of pieces, and names of keep-outs, that have no room where they belong: beside them, with a
//! leader.

use crate::drawings::sheets::metal::contains;
use crate::drawings::sheets::metal::intersection;
use crate::drawings::sheets::shown::Shown;
use crate::drawings::sheets::view::View;
use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::job::Job;
use crate::paper::Item;
use crate::paper::LARGE;
use crate::paper::Leading;
use crate::paper::SMALL;
use crate::paper::Small;
use crate::paper::Words;
use crate::place::NestedSheet;
use crate::report::SheetRow;
use crate::solve::Solved;

/// Maximum numbers of pieces beside which numbers are looked for, and of those on the sheet. Our choice:
/// in a crowd of more there is no room.
const MAX_LED: usize = 40;
const MAX_PIECES: usize = 160;
/// Half of the width that a leader needs in a piece, mm of the sheet.
const POINT: f64 = 0.05;

/// The number of a piece beside it, on paper.
pub(crate) struct Beside {
    /// Index of the piece.
    pub(crate) piece: usize,
    /// The centre of the number.
    pub(crate) centre: Point,
    /// From the piece to the number.
    pub(crate) leader: [Point; 2],
}

impl Beside {
    /// From the items drawn of it.
    fn of(piece: usize, items: &[Item]) -> Option<Self> {
        let centre = items.iter().find_map(|item| match item {
            Item::Words(words) => Some(words.bounds().centre()),
            _ => None,
        });
        let leader = items.iter().find_map(|item| match item {
            Item::Line(_, edges) => edges.first().map(|edge| [edge.from, edge.to]),
            _ => None,
        });
        Some(Self { piece, centre: centre?, leader: leader? })
    }
}

/// The numbers that are beside their pieces at a scale in mm of paper per mm of the sheet; `stands`
/// are the places on the sheet of those that have room in them.
pub(crate) fn beside(
    (job, solved): (&Job, &[Solved]),
    (nested, row): (&NestedSheet, &SheetRow),
    scale: f64,
    stands: &[Option<Point>],
) -> Vec<Beside> {
    if stands.iter().all(Option::is_some) || stands.len() > MAX_PIECES {
        return Vec::new();
    }
    let shown = Shown::new(job, solved, nested, row);
    let view = View { scale, from: Point::ZERO, at: Point::ZERO };
    let number = |(piece, at): (usize, &Option<Point>)| {
        let words = Words::heavy(Point::ZERO, LARGE, shown.number(piece).to_string());
        at.map(|at| words.centred(view.point(at)))
    };
    let numbers: Vec<Option<Words>> = stands.iter().enumerate().map(number).collect();
    let metal = shown.metal(&view);
    let window = view.bounds(&shown.stock().sheet.region.bounds());
    shown.led(&view, window, &metal.items, &numbers, &[]).beside
}

/// The leaders in a window.
pub(super) struct Led {
    pub(super) items: Vec<Item>,
    /// The numbers among that.
    pub(super) beside: Vec<Beside>,
    /// By piece, whether its whole number is in the window.
    pub(super) known: Vec<bool>,
}

impl Shown<'_> {
    /// Leaders for pieces and areas without text in a window of the page, clear of the items drawn
    /// already: `names` of keep-outs and of the remnant with their places, then the pieces without
    /// a number.
    pub(super) fn led(
        &self,
        view: &View,
        window: Bounds,
        drawn: &[Item],
        numbers: &[Option<Words>],
        names: &[(Point, String)],
    ) -> Led {
        let stands = |words: &Option<Words>| {
            words.as_ref().is_some_and(|words| contains(&window, &words.bounds()))
        };
        let mut known: Vec<bool> = numbers.iter().map(stands).collect();
        let bare = self.bare(view, &window, &known);
        let (mut items, mut beside) = (Vec::new(), Vec::new());
        if self.pieces.len() > MAX_PIECES || (bare.is_empty() && names.is_empty()) {
            return Led { items, beside, known };
        }
        let whole = numbers.iter().flatten().filter(|words| contains(&window, &words.bounds()));
        let words = whole.cloned().map(Item::Words);
        let seen: Vec<Item> = drawn.iter().flat_map(flattened).chain(words).collect();
        let near = |edges: &Vec<Edge>| {
            let bounds = edges.iter().fold(Bounds::EMPTY, |b, e| b.and(e.bounds()));
            intersection(&bounds, &window).is_some()
        };
        let outlines = self.pieces.iter().map(|piece| view.outline(piece.outer()));
        let outlines: Vec<Vec<Edge>> = outlines.filter(near).collect();
        let mut leading = Leading::new(window, &seen, &outlines);
        for (at, name) in names.iter().filter(|(at, _)| window.contains(*at)) {
            let words = Words::plain(Point::ZERO, SMALL, name);
            items.extend(leading.lead(&Small { at: *at, words }).unwrap_or_default());
        }
        for (piece, at) in bare {
            let number = self.number(piece).to_string();
            let led = [LARGE, SMALL].into_iter().find_map(|height| {
                let words = Words::heavy(Point::ZERO, height, &number);
                leading.lead(&Small { at, words })
            });
            let led = led.or_else(|| self.led_from_hole(piece, at, view, &mut leading));
            known[piece] = led.is_some();
            if let Some(led) = led {
                beside.extend(Beside::of(piece, &led));
                items.extend(led);
            }
        }
        Led { items, beside, known }
    }

    /// The number of a piece in one of its own holes, with a leader to the metal beside it: for a piece
    /// among others that leave no way out for a leader. Not in a hole with another piece in it.
    fn led_from_hole(
        &self,
        piece: usize,
        at: Point,
        view: &View,
        leading: &mut Leading,
    ) -> Option<Vec<Item>> {
        let others = || self.pieces.iter().enumerate().filter(|(i, _)| *i != piece);
        let centres = self.pieces[piece].holes().iter().map(|hole| hole.bounds().centre());
        let mut free = centres.filter(|centre| !others().any(|(_, other)| other.contains(*centre)));
        let number = self.number(piece).to_string();
        free.find_map(|centre| {
            let words = Words::heavy(Point::ZERO, SMALL, &number);
            leading.lead_from(&Small { at, words }, view.point(centre))
        })
    }

    /// The pieces whose whole numbers are in a window, in them or beside them; beside them only
    /// those that are not `known` already are looked for.
    pub(super) fn known(
        &self,
        view: &View,
        window: Bounds,
        numbers: &[Option<Words>],
        known: &[bool],
    ) -> Vec<bool> {
        let stands = |words: &Option<Words>| {
            words.as_ref().is_some_and(|words| contains(&window, &words.bounds()))
        };
        let here: Vec<bool> = numbers.iter().map(stands).collect();
        let either: Vec<bool> = here.iter().zip(known).map(|(a, b)| *a || *b).collect();
        if self.bare(view, &window, &either).is_empty() {
            return here;
        }
        let metal = self.metal(view);
        self.led(view, window, &metal.items, numbers, &metal.names).known
    }

    /// The pieces without a number whose roomiest place is in a window, with that on the page;
    /// empty if there are too many.
    fn bare(&self, view: &View, window: &Bounds, known: &[bool]) -> Vec<(usize, Point)> {
        if self.pieces.len() > MAX_PIECES {
            return Vec::new();
        }
        let pieces = (0..known.len()).filter(|piece| !known[*piece]);
        let at = |piece| Some((piece, view.point(self.within(piece)?)));
        let seen = pieces.filter_map(at).filter(|(_, at)| window.contains(*at));
        let seen: Vec<(usize, Point)> = seen.collect();
        if seen.len() > MAX_LED { Vec::new() } else { seen }
    }

    /// The place in a piece with the most metal round it, on the sheet.
    fn within(&self, piece: usize) -> Option<Point> {
        let (roomy, measured) = self.roomy(piece);
        Some(roomy.centre(POINT)? - measured + self.nested.placed[piece].1.shift)
    }
}

/// The items drawn of it, without the windows that crop them.
fn flattened(item: &Item) -> Vec<Item> {
    match item {
        Item::Window(_, items) | Item::Noted(_, items) => {
            items.iter().flat_map(flattened).collect()
        }
        Item::Fill(..) => Vec::new(),
        other => vec![other.clone()],
    }
}
