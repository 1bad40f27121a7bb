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
use crate::paper::Words;
use crate::paper::circle;
use crate::paper::figure_text;
use crate::solve::Machine;

/// Half the size of the cross of a point, mm.
const CROSS: f64 = 1.0;

/// From a place to the words beside it, mm.
const BESIDE: f64 = 1.4;

/// The radius of the ring round the nearest place, mm.
const RING: f64 = 2.5;

/// From where the machine is seen.
pub(super) struct View {
    right: Space,
    up: Space,
}

/// What is different on a web page: it is as large as it fits, a body may be lit by its name, and what is
/// near is red only where it is too near.
#[derive(Clone, Copy)]
pub(super) struct OnPage<'a> {
    pub(super) lit: Option<&'a str>,
}

/// A place of the paper, and how many mm of it are one of the machine.
type Placed = (Vec2, f64);

impl View {
    /// Along y.
    pub(super) const FRONT: Self = Self { right: [1.0, 0.0, 0.0], up: [0.0, 0.0, 1.0] };
    /// Down along z.
    pub(super) const PLAN: Self = Self { right: [1.0, 0.0, 0.0], up: [0.0, 1.0, 0.0] };
    /// Along x.
    pub(super) const LEFT: Self = Self { right: [0.0, -1.0, 0.0], up: [0.0, 0.0, 1.0] };
    /// Against x.
    pub(super) const RIGHT: Self = Self { right: [0.0, 1.0, 0.0], up: [0.0, 0.0, 1.0] };

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

    /// All that is seen: bodies with their numbers, the nearest places, points with their names
    /// where there is room for them.
    pub(super) fn items(
        &self,
        job: &Job,
        (machine, page): (&Machine, Option<OnPage>),
        to: Placed,
    ) -> Vec<Item> {
        let on = |p: Space| (self.seen(p).to_vec2() * to.1 + to.0).to_point();
        let lit = page.and_then(|page| page.lit);
        let is_lit = |body: &Body| lit.is_some_and(|name| body.name == name || body.set == name);
        let drawn = |body: &Body| match is_lit(body) {
            true => lines(body, Pen::Bend, &on, to.1),
            false => lines(body, pen(body), &on, to.1),
        };
        let mut items: Vec<Item> = machine.bodies.iter().flat_map(drawn).collect();
        let mut words: Vec<Words> = Vec::new();
        for of in nearest(machine) {
            let [a, b] = of.at.map(on);
            let is_wrong = page.is_none() || of.is_contact() || of.is_short();
            let pen = if is_wrong { Pen::Found } else { Pen::Bend };
            items.push(Item::line(pen, a, b));
            items.push(Item::Line(pen, circle(a.midpoint(b), RING)));
            let left = match of.is_contact() {
                true => "contact".to_owned(),
                false => figure_text(job.units, num::on_grid(of.distance)),
            };
            let at = a.midpoint(b) + Vec2::new(RING, RING);
            let left = small(left).in_ink(if is_wrong { Ink::Red } else { Ink::Accent });
            say(&mut words, left, at);
        }
        for (i, body) in machine.bodies.iter().enumerate() {
            if let Some(middle) = middle(body) {
                let number = Words::heavy(Point::ZERO, SMALL, (i + 1).to_string());
                say(&mut words, number, on(middle) + Vec2::new(BESIDE, BESIDE));
            }
        }
        for (name, place) in &job.points.at {
            let at = on(*place);
            for way in [Vec2::new(CROSS, 0.0), Vec2::new(0.0, CROSS)] {
                items.push(Item::line(Pen::Fine, at - way, at + way));
            }
            say(&mut words, small(name).in_ink(Ink::Grey), at + Vec2::new(BESIDE, BESIDE));
        }
        items.extend(words.into_iter().map(Item::Words));
        items
    }
}

/// The tightest clearance, and all that are too small.
fn nearest(machine: &Machine) -> impl Iterator<Item = &Clearance> {
    let wrong = |of: &Clearance| of.is_contact() || of.is_short();
    let all = machine.clearances.iter().enumerate();
    all.filter(move |(i, of)| *i == 0 || wrong(of)).map(|(_, of)| of)
}

/// Puts words at a place where no others are; else nowhere.
fn say(all: &mut Vec<Words>, words: Words, at: Point) {
    let words = Words { at, ..words };
    let own = words.bounds();
    if all.iter().all(|other| other.bounds().distance(&own) > 0.2) {
        all.push(words);
    }
}

/// A place about the middle of a body.
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

fn pen(body: &Body) -> Pen {
    match body.kind {
        Kind::Obstacle | Kind::Panel => Pen::Phantom,
        Kind::Part | Kind::Link | Kind::Tube => Pen::Wide,
    }
}

fn lines(body: &Body, pen: Pen, on: &dyn Fn(Space) -> Point, by: f64) -> Vec<Item> {
    let mut items = Vec::new();
    for shown in &body.shown {
        match shown {
            Shown::Loop(places) => {
                let ring: Vec<Point> = places.iter().map(|p| on(*p)).collect();
                items.extend(along(pen, &ring, true));
            }
            Shown::Bar(places, radius) => {
                let line: Vec<Point> = places.iter().map(|p| on(*p)).collect();
                items.extend(bar(pen, &line, radius * by));
            }
        }
    }
    items
}

/// Places nearer to each other on paper are one, mm.
const SAME: f64 = 0.01;

/// Places without those that are one with the place before them.
fn apart(places: impl IntoIterator<Item = Point>) -> Vec<Point> {
    let mut kept: Vec<Point> = Vec::new();
    for place in places {
        if kept.last().is_none_or(|last| (place - *last).hypot() > SAME) {
            kept.push(place);
        }
    }
    kept
}

fn along(pen: Pen, places: &[Point], closed: bool) -> Option<Item> {
    let line = apart(places.iter().chain(places.first().filter(|_| closed)).copied());
    let edges: Vec<Edge> = line.windows(2).map(|pair| Edge::line(pair[0], pair[1])).collect();
    (!edges.is_empty()).then_some(Item::Line(pen, edges))
}

/// A round bar along a line: its two sides, its ends and its axis; a circle where it is seen from
/// its end.
fn bar(pen: Pen, line: &[Point], radius: f64) -> Vec<Item> {
    let kept = apart(line.iter().copied());
    let Some(first) = kept.first().copied() else { return Vec::new() };
    if kept.len() < 2 {
        return vec![Item::Line(pen, circle(first, radius))];
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
    let mut items: Vec<Item> =
        [&left, &right].into_iter().filter_map(|side| along(pen, side, false)).collect();
    if !is_ring {
        items.extend([0, last].into_iter().filter_map(|i| along(pen, &[left[i], right[i]], false)));
    }
    items.extend(along(Pen::Chain, &kept, false));
    items
}
