//! One view of a machine.

use crate::drawings::gap_picture::small;
use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Space;
use crate::geom::Vec2;
use crate::geom::dot;
use crate::job::Job;
use crate::machine::Body;
use crate::machine::Clearance;
use crate::machine::Kind;
use crate::machine::Shown;
use crate::num;
use crate::paper::Ink;
use crate::paper::Item;
use crate::paper::Pen;
use crate::paper::SMALL;
use crate::paper::Solid;
use crate::paper::Words;
use crate::paper::arrow_head;
use crate::paper::circle;
use crate::paper::figure_text;
use crate::solve::Machine;

/// Half the size of the cross of a point, mm.
const CROSS: f64 = 1.0;

/// Maximum number of sides of a body to which its number may lead. Our choice.
const PLACES: usize = 12;

/// Length of the arrows of the axes, and how far their corner is off that of the view, mm.
const AXIS: f64 = 6.0;
const OFF: f64 = 4.5;

/// The radius of the ring round the nearest place, mm.
const RING: f64 = 2.5;

/// From where the machine is seen.
pub(super) struct View {
    /// The axis of the machine along which it looks, in words.
    pub(super) words: &'static str,
    /// The axes that are seen level and upright, and whether the level one points to the right.
    axes: [&'static str; 2],
    is_right: bool,
    right: Space,
    up: Space,
}

/// The differences on a web page: a body may be highlighted by its name, and clearances are red
/// only if they are too small.
#[derive(Clone, Copy)]
pub(super) struct OnPage<'a> {
    pub(super) lit: Option<&'a str>,
}

/// The scale (mm of paper per mm of the machine), the lower left corner of a view on a page, and
/// the frame that its text keeps within.
pub(super) type Placed = (f64, Point, Bounds);

impl View {
    /// Along Y.
    pub(super) const FRONT: Self = Self {
        words: "along +Y",
        axes: ["X", "Z"],
        is_right: true,
        right: [1.0, 0.0, 0.0],
        up: [0.0, 0.0, 1.0],
    };
    /// Down along Z.
    pub(super) const PLAN: Self = Self {
        words: "along −Z",
        axes: ["X", "Y"],
        is_right: true,
        right: [1.0, 0.0, 0.0],
        up: [0.0, 1.0, 0.0],
    };
    /// Along X.
    pub(super) const LEFT: Self = Self {
        words: "along +X",
        axes: ["Y", "Z"],
        is_right: false,
        right: [0.0, -1.0, 0.0],
        up: [0.0, 0.0, 1.0],
    };
    /// Against X.
    pub(super) const RIGHT: Self = Self {
        words: "along −X",
        axes: ["Y", "Z"],
        is_right: true,
        right: [0.0, 1.0, 0.0],
        up: [0.0, 0.0, 1.0],
    };

    /// The axes of the machine off the lower left corner of the view, with their letters, and the
    /// viewing direction.
    fn triad(&self, corner: Point) -> Vec<Item> {
        let low = corner - (OFF, OFF);
        let from = if self.is_right { low } else { low + (AXIS, 0.0) };
        let level = Vec2::new(if self.is_right { AXIS } else { -AXIS }, 0.0);
        let up = Vec2::new(0.0, AXIS);
        let [across, upright] = self.axes.map(|name| Words::plain(Point::ZERO, SMALL, name));
        let beside =
            up - Vec2::new(if self.is_right { 0.9 + upright.length() } else { -0.9 }, SMALL);
        let mut items = Vec::new();
        for way in [level, up] {
            items.push(Item::line(Pen::Narrow, from, from + way));
            items.push(arrow_head(from + way, way / AXIS));
        }
        let below = low + ((AXIS - across.length()) / 2.0, -SMALL - 0.9);
        items.push(Item::Words(Words { at: from + beside, ..upright }));
        items.push(Item::Words(Words { at: below, ..across }));
        let seen = Words::plain(low + (AXIS + 1.5, -SMALL / 2.0), SMALL, self.words);
        items.push(Item::Words(seen.in_ink(Ink::Grey)));
        items
    }

    fn seen(&self, p: Space) -> Point {
        Point::new(dot(p, self.right), dot(p, self.up))
    }

    /// The rectangle round all that is seen.
    pub(super) fn bounds(&self, machine: &Machine, job: &Job) -> Bounds {
        let points = job.points.at.values().map(|p| self.seen(*p));
        let mut bounds = points.fold(Bounds::EMPTY, Bounds::with);
        for shown in machine.bodies.iter().flat_map(|body| &body.shown) {
            let (places, radius) = match shown {
                Shown::Bar(places, radius) => (places, *radius),
                Shown::Loop(places) => (places, 0.0),
            };
            let own = places.iter().map(|p| self.seen(*p)).fold(Bounds::EMPTY, Bounds::with);
            bounds = bounds.and(own.grown(radius));
        }
        bounds
    }

    /// The content of a view with its lower left corner at a place of the page, at a scale and
    /// within a frame: bodies with their numbers, the closest places with their clearances, points
    /// with their names. Text keeps off all lines, with a leader; text without room is left out.
    pub(super) fn items(
        &self,
        job: &Job,
        (machine, page): (&Machine, Option<OnPage>),
        placed: Placed,
    ) -> Vec<Item> {
        let (by, at, frame) = placed;
        let from = self.bounds(machine, job).min;
        let onto = |p: &Point| at + (*p - from) * by;
        let on = |p: Space| onto(&self.seen(p));
        let (mut over, mut said) = (Vec::new(), Vec::new());
        for of in nearest(machine) {
            let [a, b] = of.at.map(on);
            let is_wrong = page.is_none() || of.is_contact() || of.is_short();
            let pen = if is_wrong { Pen::Found } else { Pen::Bend };
            over.push(Item::line(pen, a, b));
            over.push(Item::Line(pen, circle(a.midpoint(b), RING)));
            let left = match of.is_contact() {
                true => "contact".to_owned(),
                false => figure_text(job.units, num::on_grid(of.distance)),
            };
            let ink = if is_wrong { Ink::Red } else { Ink::Accent };
            said.push((small(left).in_ink(ink), a.midpoint(b)));
        }
        for (name, place) in &job.points.at {
            for way in [Vec2::new(CROSS, 0.0), Vec2::new(0.0, CROSS)] {
                over.push(Item::line(Pen::Fine, on(*place) - way, on(*place) + way));
            }
            said.push((small(name).in_ink(Ink::Grey), on(*place)));
        }
        over.extend(self.triad(at));
        let lit = page.and_then(|page| page.lit);
        let is_lit = |body: &Body| lit.is_some_and(|name| body.name == name || body.set == name);
        let pen = |body: &Body| if is_lit(body) { Pen::Bend } else { pen(body) };
        let bodies = machine.bodies.iter().enumerate();
        let numbers = bodies.map(|(i, body)| ((i + 1).to_string(), self.places(body)));
        let seen = Solid {
            lines: machine.bodies.iter().flat_map(|body| self.lines(body, pen(body))).collect(),
            numbers: numbers.filter(|(_, places)| !places.is_empty()).collect(),
            ..Solid::default()
        };
        seen.standing(&onto, frame, over, &said).0
    }

    /// Places on a body to which its number may lead: about its middle first.
    fn places(&self, body: &Body) -> Vec<Point> {
        let own = body.shown.iter().flat_map(|shown| match shown {
            Shown::Bar(places, _) | Shown::Loop(places) => places.windows(2),
        });
        let sides = own.map(|pair| self.seen(pair[0]).midpoint(self.seen(pair[1])));
        let middle = middle(body).map(|p| self.seen(p));
        middle.into_iter().chain(sides.take(PLACES)).collect()
    }

    /// The lines of a body.
    fn lines(&self, body: &Body, pen: Pen) -> Vec<(Pen, Vec<Edge>)> {
        let mut lines = Vec::new();
        for shown in &body.shown {
            match shown {
                Shown::Loop(places) => {
                    let ring: Vec<Point> = places.iter().map(|p| self.seen(*p)).collect();
                    lines.extend(along(pen, &ring, true));
                }
                Shown::Bar(places, radius) => {
                    let line: Vec<Point> = places.iter().map(|p| self.seen(*p)).collect();
                    lines.extend(bar(pen, &line, *radius));
                }
            }
        }
        lines
    }
}

fn pen(body: &Body) -> Pen {
    match body.kind {
        Kind::Obstacle | Kind::Panel => Pen::Phantom,
        Kind::Part | Kind::Link | Kind::Tube => Pen::Wide,
    }
}

/// The tightest clearance, and all that are too small.
fn nearest(machine: &Machine) -> impl Iterator<Item = &Clearance> {
    let wrong = |of: &Clearance| of.is_contact() || of.is_short();
    let all = machine.clearances.iter().enumerate();
    all.filter(move |(i, of)| *i == 0 || wrong(of)).map(|(_, of)| of)
}

/// A place about the centre of a body.
fn middle(body: &Body) -> Option<Space> {
    let places = body.shown.iter().flat_map(|shown| match shown {
        Shown::Bar(places, _) | Shown::Loop(places) => places.as_slice(),
    });
    let (mut count, mut sum) = (0.0, [0.0; 3]);
    for place in places {
        count += 1.0;
        sum = [0, 1, 2].map(|i| sum[i] + place[i]);
    }
    (count > 0.0).then(|| sum.map(|x| x / count))
}

/// Places nearer to each other are one, mm.
const SAME: f64 = 0.01;

/// Places without those that coincide with the place before them.
fn distinct(places: impl IntoIterator<Item = Point>) -> Vec<Point> {
    let mut kept: Vec<Point> = Vec::new();
    for place in places {
        if kept.last().is_none_or(|last| (place - *last).hypot() > SAME) {
            kept.push(place);
        }
    }
    kept
}

fn along(pen: Pen, places: &[Point], closed: bool) -> Option<(Pen, Vec<Edge>)> {
    let line = distinct(places.iter().chain(places.first().filter(|_| closed)).copied());
    let edges: Vec<Edge> = line.windows(2).map(|pair| Edge::line(pair[0], pair[1])).collect();
    (!edges.is_empty()).then_some((pen, edges))
}

/// A round bar along a line: its two sides, its ends and its axis; a circle where it is seen from
/// its end.
fn bar(pen: Pen, line: &[Point], radius: f64) -> Vec<(Pen, Vec<Edge>)> {
    let kept = distinct(line.iter().copied());
    let Some(first) = kept.first().copied() else { return Vec::new() };
    if kept.len() < 2 {
        return vec![(pen, circle(first, radius))];
    }
    let last = kept.len() - 1;
    let normal = |i: usize| {
        let way = kept[(i + 1).min(last)] - kept[i.saturating_sub(1)];
        match way.hypot() > SAME {
            true => Vec2::new(-way.y, way.x) / way.hypot() * radius,
            false => Vec2::ZERO,
        }
    };
    let side = |by: f64| (0..=last).map(|i| kept[i] + normal(i) * by).collect::<Vec<_>>();
    let (left, right) = (side(1.0), side(-1.0));
    let is_ring = last > 2 && (kept[last] - first).hypot() <= SAME;
    let mut items: Vec<(Pen, Vec<Edge>)> =
        [&left, &right].into_iter().filter_map(|side| along(pen, side, false)).collect();
    if !is_ring {
        items.extend([0, last].into_iter().filter_map(|i| along(pen, &[left[i], right[i]], false)));
    }
    items.extend(along(Pen::Chain, &kept, false));
    items
}
