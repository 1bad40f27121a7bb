//! The bend strip: one row for each bend in order, with its end view, what to do, and how the
//! part lies.

mod lines;
mod view;

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::geom::ring_edges;
use crate::paper::scene::Ink;
use crate::paper::scene::Item;
use crate::paper::scene::Pen;
use crate::paper::scene::Words;
use crate::paper::sheet::LARGE;
use crate::paper::sheet::PITCH;
use crate::paper::sheet::SMALL;
pub use lines::Line;
pub use view::EndView;
use view::VIEW;
pub use view::scale;

/// Where the words begin, mm.
const TEXT: f64 = 41.4;

/// Width of the view from above, mm, and what stays free to its left.
const PLAN: [f64; 2] = [13.0, 1.4];

/// The view from above is no higher than this where words continue below it, mm. Our choice: as high as
/// eight lines of words.
const PLAN_HIGH: f64 = 26.0;

/// Minimum height of a row, mm.
const MIN_HEIGHT: f64 = 23.2;

/// Room for the operator's arrow below the view from above, mm.
const ARROW: f64 = 3.4;

/// Room for the mark of a gauge edge in the view from above, mm.
const MARK: f64 = 2.4;

/// From the upper edge of a row to the first baseline, mm.
const FIRST: f64 = 5.2;

/// One row, its lower left corner at the origin.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Its items.
    pub items: Vec<Item>,
    /// Its height, mm.
    pub height: f64,
}

/// The part as it lies before the operator, from above: x to the right, y away, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanView {
    /// The outline of the blank.
    pub blank: Vec<Edge>,
    /// The faces bent already.
    pub standing: Vec<Vec<Edge>>,
    /// The faces that move.
    pub moving: Vec<Vec<Edge>>,
    /// The bend line.
    pub line: Edge,
    /// The edge it is set from; of no length for a tip.
    pub gauge: Option<Edge>,
    /// A second edge level with that one, beside it.
    pub other: Option<Edge>,
    /// Whether it is seen from the front, clamped upright at its line.
    pub upright: bool,
}

/// One bend.
#[derive(Clone, Debug, PartialEq)]
pub struct BendStep {
    /// Its number in the order.
    pub number: usize,
    /// The side of the drawn sheet it is bent to.
    pub up: bool,
    /// Its name and its angle.
    pub name: [String; 2],
    /// The angle to bend to: words before it, the angle itself, words below it; empty if it is not
    /// known.
    pub bend_to: [String; 3],
    /// What to do.
    pub lines: Vec<Line>,
    /// Seen along the bend line.
    pub view: EndView,
    /// Seen from above.
    pub plan: PlanView,
}

impl BendStep {
    /// The row in a width, the end view in a scale.
    pub fn row(&self, width: f64, scale: f64) -> Row {
        let right = width - 1.2;
        let mut items = Vec::new();
        let head = self.head(right);
        let tail = plain(0.0, SMALL, &self.bend_to[2]);
        let beside = right - PLAN[0].max(tail.length()) - PLAN[1] - TEXT;
        let plan_high = self.plan.height().min(PLAN_HIGH);
        let past = if tail.text.is_empty() { 1.4 } else { PITCH + 1.4 } + plan_high + 0.8;
        let (lines, is_below) = self.said([beside, right - TEXT], past);
        let said: f64 = lines.iter().map(Line::pitch).sum();
        let deep = FIRST + 0.3 + PITCH * (head.len() - 1) as f64 + said + 1.6;
        let height = deep.max(MIN_HEIGHT).max(self.view.height(scale));
        for (i, line) in head.iter().enumerate() {
            let base = height - FIRST - PITCH * i as f64;
            items.extend(line.iter().cloned().map(|item| item.shifted((0.0, base))));
        }
        let under = height - FIRST - 0.3 - PITCH * (head.len() - 1) as f64;
        let mut base = under;
        for line in &lines {
            base -= line.pitch();
            items.extend(line.items(Point::new(TEXT, base), SMALL));
        }
        let frame = Bounds { min: Point::new(1.2, 0.8), max: Point::new(1.2 + VIEW, height - 0.8) };
        items.extend(self.view.items(frame, scale));
        let tail_at = Point::new(right - tail.length(), under - PITCH);
        let plan_top = if self.bend_to[2].is_empty() { under - 1.4 } else { tail_at.y - 1.4 };
        if !tail.text.is_empty() {
            items.push(Item::Words(Words { at: tail_at, ..tail }));
        }
        let low = if is_below { (plan_top - plan_high).max(1.2) } else { 1.2 };
        let plan =
            Bounds { min: Point::new(right - PLAN[0], low), max: Point::new(right, plan_top) };
        items.extend(self.plan.items(plan));
        Row { items, height }
    }

    /// What to do, in lines: in a narrow width beside the view from above, in a wide one once they are
    /// past it, mm; and whether some are.
    fn said(&self, [narrow, wide]: [f64; 2], past: f64) -> (Vec<Line>, bool) {
        let (mut lines, mut used, mut is_below) = (Vec::new(), 0.0, false);
        for line in &self.lines {
            is_below |= used >= past;
            let wrapped = line.wrapped(SMALL, if used >= past { wide } else { narrow });
            used += wrapped.iter().map(Line::pitch).sum::<f64>();
            lines.extend(wrapped);
        }
        (lines, is_below)
    }

    /// The head: number, sign, name, angle; at the right what to bend to, on a separate line if
    /// there is no room. Baselines at y = 0.
    fn head(&self, right: f64) -> Vec<Vec<Item>> {
        let number = Words { ink: Ink::Accent, ..heavy(TEXT, LARGE, &self.number.to_string()) };
        let sign_at = TEXT + number.length() + 1.0;
        let name = heavy(sign_at + 3.6, LARGE, &self.name[0]);
        let angle = plain(name.at.x + name.length() + 1.2, LARGE, &self.name[1]);
        let value = heavy(0.0, LARGE, &self.bend_to[1]);
        let value = Words { at: Point::new(right - value.length(), 0.0), ..value };
        let label = plain(0.0, SMALL, &self.bend_to[0]);
        let label = Words { at: Point::new(value.at.x - 1.0 - label.length(), 0.0), ..label };
        let fits = angle.at.x + angle.length() + 2.0 <= label.at.x;
        let mut first = vec![Item::Words(number), sign(Point::new(sign_at, 0.0), self.up)];
        first.extend([name, angle].map(Item::Words));
        let second = [label, value].map(Item::Words).to_vec();
        if self.bend_to[1].is_empty() {
            vec![first]
        } else if fits {
            vec![[first, second].concat()]
        } else {
            vec![first, second]
        }
    }
}

/// A row of words alone, under a heading.
pub fn words_row(heading: &str, note: &str, lines: &[Line], width: f64) -> Row {
    let right = width - 1.2;
    let wrapped: Vec<Line> = lines.iter().flat_map(|l| l.wrapped(SMALL, right - 2.5)).collect();
    let title = heavy(2.5, LARGE, heading);
    let note = plain(0.0, SMALL, note);
    let fits = title.at.x + title.length() + 2.0 <= right - note.length();
    let note_at = Point::new(right - note.length(), if fits { 0.0 } else { -PITCH });
    let used = if fits { 1 } else { 2 };
    let height = FIRST + 1.0 + PITCH * (used - 1 + wrapped.len()) as f64 + 1.6;
    let by = (0.0, height - FIRST);
    let mut items = vec![
        Item::Words(title).shifted(by),
        Item::Words(Words { at: note_at, ..note }).shifted(by),
    ];
    for (i, line) in wrapped.iter().enumerate() {
        let down = FIRST + 0.6 + PITCH * (used + i) as f64;
        items.extend(line.items(Point::new(2.5, height - down), SMALL));
    }
    Row { items, height }
}

fn plain(x: f64, height: f64, text: &str) -> Words {
    Words::plain(Point::new(x, 0.0), height, text)
}

fn heavy(x: f64, height: f64, text: &str) -> Words {
    Words::heavy(Point::new(x, 0.0), height, text)
}

/// A gauge edge, and two fingers that lean on it, or one where it is short.
fn marked(edge: Edge, way: Vec2) -> Vec<Item> {
    let shares: &[f64] = if edge.length() < 4.0 { &[0.5] } else { &[0.2, 0.8] };
    let side = Vec2::new(-way.y, way.x) * 0.55;
    let finger = |share: &f64| {
        let tip = edge.point_at(*share) + way * 0.2;
        let foot = tip + way * (MARK - 0.4);
        Item::Fill(0.0, vec![ring_edges(&[tip, foot + side, foot - side])])
    };
    let line = (edge.length() > 0.0).then(|| Item::line(Pen::Wide, edge.from, edge.to));
    line.into_iter().chain(shares.iter().map(finger)).collect()
}

/// A triangle 2.6 mm wide on a baseline: up or down.
fn sign(at: Point, up: bool) -> Item {
    let (foot, tip) = if up { (0.2, 2.7) } else { (2.7, 0.2) };
    let corners = [(0.0, foot), (2.6, foot), (1.3, tip)].map(|by| at + by);
    Item::Area(Ink::Accent, vec![ring_edges(&corners)])
}

impl PlanView {
    /// Its height where it is as wide as can be, with the operator's arrow and marks, mm.
    fn height(&self) -> f64 {
        let bounds = self.blank.iter().fold(Bounds::EMPTY, |b, e| b.and(e.bounds()));
        let marks = self.beside().map(|marked| if marked { MARK } else { 0.0 });
        PLAN[0] / bounds.width().max(1e-6) * bounds.height() + ARROW + marks[0] + marks[1]
    }

    /// The way from the bend line square to it to the gauge edge, and along it.
    fn across(&self) -> Option<[Vec2; 2]> {
        let along = self.line.direction_at_start();
        let from = self.gauge?.point_at(0.5) - self.line.from;
        let across = from - along * from.dot(along);
        (across.hypot() > 0.0).then(|| [across.normalize(), along])
    }

    /// Whether the mark of the gauge edge takes room above the part, and below it.
    fn beside(&self) -> [bool; 2] {
        let up = self.across().map_or(0.0, |[way, _]| way.y);
        [up > 0.5, up < -0.5]
    }

    /// The view in a rectangle, the operator's arrow below it.
    fn items(&self, room: Bounds) -> Vec<Item> {
        let bounds = self.blank.iter().fold(Bounds::EMPTY, |b, e| b.and(e.bounds()));
        let [behind, before] = self.beside().map(|marked| if marked { MARK } else { 0.0 });
        let high = room.height() - ARROW - behind - before;
        let fit = (room.width() / bounds.width()).min(high / bounds.height());
        let size = [bounds.width() * fit, bounds.height() * fit];
        let top = room.max.y - behind;
        let corner = Point::new(room.max.x - (room.width() + size[0]) / 2.0, top - size[1]);
        let at = |p: Point| corner + (p - bounds.min) * fit;
        let drawn = |edges: &[Edge]| -> Vec<Edge> {
            edges.iter().map(|e| Edge { from: at(e.from), to: at(e.to), bulge: e.bulge }).collect()
        };
        let blank = drawn(&self.blank);
        let mut items = vec![Item::Fill(1.0, vec![blank.clone()])];
        items.extend(self.standing.iter().map(|f| Item::Fill(0.72, vec![drawn(f)])));
        items.extend(self.moving.iter().map(|f| Item::Area(Ink::Accent, vec![drawn(f)])));
        items.push(Item::Line(Pen::Narrow, blank));
        items.push(Item::Line(Pen::Bend, drawn(std::slice::from_ref(&self.line))));
        if let (Some(gauge), Some([way, _])) = (&self.gauge, self.across()) {
            for edge in [Some(gauge), self.other.as_ref()].into_iter().flatten() {
                items.extend(marked(Edge::line(at(edge.from), at(edge.to)), way));
            }
        }
        if self.upright {
            let jaw = |p: Point, out: f64| Point::new(p.x + out, p.y);
            let line = Edge::line(at(self.line.from), at(self.line.to));
            let out = if line.from.x < line.to.x { -1.2 } else { 1.2 };
            items.push(Item::line(Pen::Wide, jaw(line.from, out), jaw(line.to, -out)));
            return items;
        }
        let tip = Point::new(corner.x + size[0] / 2.0, corner.y - before - 0.9);
        let corners = [tip, tip + (-1.2, -2.1), tip + (1.2, -2.1)];
        items.push(Item::Fill(0.0, vec![ring_edges(&corners)]));
        items
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_below_the_view_from_above_are_as_wide_as_the_row() {
        let corners = [(0.0, 0.0), (60.0, 0.0), (60.0, 90.0), (0.0, 90.0)].map(Point::from);
        let plan = PlanView {
            blank: ring_edges(&corners),
            standing: Vec::new(),
            moving: Vec::new(),
            line: Edge::line(Point::new(0.0, 45.0), Point::new(60.0, 45.0)),
            gauge: None,
            other: None,
            upright: false,
        };
        // 13 mm wide, and the arrow below it.
        assert!((plan.height() - (19.5 + ARROW)).abs() < 1e-9, "{}", plan.height());
        let words = "Check leg 50 from the upper edge of the leg to the outside of the base";
        let step = BendStep {
            number: 1,
            up: true,
            name: Default::default(),
            bend_to: Default::default(),
            lines: vec![Line::marked(words); 4],
            view: EndView::default(),
            plan,
        };
        let count = |width: f64| Line::marked(words).wrapped(SMALL, width).len();
        let (narrow, wide) = (count(46.0), count(64.0));
        assert!(wide < narrow, "else this shows nothing");
        // The second begins beside the view, the third below it.
        let past = PITCH * (narrow as f64 + 0.5);
        let (lines, is_below) = step.said([46.0, 64.0], past);
        assert!(is_below);
        assert_eq!(lines.len(), 2 * narrow + 2 * wide);
        let (lines, is_below) = step.said([46.0, 64.0], 1e3);
        assert!(!is_below);
        assert_eq!(lines.len(), 4 * narrow);
    }
}
