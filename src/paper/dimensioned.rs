//! The flat of a part with the dimensions that a person at the brake or the drill needs.
//!
//! Dimensions after ISO 129-1: running ones from the left and the lower edge, from one
//! origin each, and the size over all in both units (from memory). Lines after ISO 128:
//! outlines wide, bend lines on a flat narrow and continuous, centres long-dashed dotted
//! (from memory). Scales after ISO 5455.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Region;
use crate::num;
use crate::paper::clear::Clear;
use crate::paper::clear::Leader;
use crate::paper::figures::figure_text;
use crate::paper::flow::Figure;
use crate::paper::labels;
use crate::paper::labels::PlanBend;
use crate::paper::running;
use crate::paper::scene::Item;
use crate::paper::scene::Pen;
use crate::paper::scene::Words;
use crate::quantity::Units;

/// Scales of ISO 5455 as (paper, part), large first.
const SCALES: [(f64, f64); 10] = [
    (10.0, 1.0),
    (5.0, 1.0),
    (2.0, 1.0),
    (1.0, 1.0),
    (1.0, 2.0),
    (1.0, 5.0),
    (1.0, 10.0),
    (1.0, 20.0),
    (1.0, 50.0),
    (1.0, 100.0),
];

/// Room for running dimensions to the left of and below the part, mm.
const BEFORE: f64 = 30.0;
/// Room for the size over all, to the right of and above the part, mm.
const BEHIND: f64 = 19.0;
/// From the part to the line of a dimension over all, mm.
const OVER: f64 = 11.0;
/// Between labels beside the part and the dimension behind them, mm.
const GAP: f64 = 2.5;

/// From the corners of what is ringed to the ring, mm.
const RING: f64 = 1.0;

/// A hole with its letter.
#[derive(Clone, Debug, PartialEq)]
pub struct Spot {
    /// Such as `A2`.
    pub label: String,
    /// Its centre.
    pub at: Point,
    /// What is cut.
    pub outline: Outline,
}

/// A visible or hidden edge of what is sunk or bevelled.
#[derive(Clone, Debug, PartialEq)]
pub struct Ring {
    /// How it runs.
    pub edges: Vec<Edge>,
    /// Whether it is on the bottom side, which the drawing does not show.
    pub hidden: bool,
}

/// A welded edge with its letter.
#[derive(Clone, Debug, PartialEq)]
pub struct Seam {
    /// Such as `W1`.
    pub label: String,
    /// The edge, metal to its left.
    pub edge: Edge,
}

/// What a finding marks in red.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Found {
    /// Such as `F1`.
    pub label: String,
    /// What gets a ring round it.
    pub rings: Vec<Bounds>,
    /// Lines that are drawn over.
    pub lines: Vec<Vec<Edge>>,
}

/// What of a flat is shown. Its lower left corner is the origin of all dimensions.
#[derive(Clone, Debug)]
pub struct Plan {
    /// What is cut.
    pub region: Region,
    /// What is scribed or etched.
    pub marks: Vec<Vec<Edge>>,
    /// Its bends.
    pub bends: Vec<PlanBend>,
    /// Its holes that have letters.
    pub spots: Vec<Spot>,
    /// Edges of what is sunk or bevelled, visible or on the bottom side.
    pub rings: Vec<Ring>,
    /// Its welded edges.
    pub seams: Vec<Seam>,
    /// What its findings are about.
    pub found: Vec<Found>,
    /// The units that come first.
    pub units: Units,
}

impl Plan {
    /// The scale at which it would be drawn, as (paper, part).
    fn scale(&self, width: f64, height: f64) -> (f64, f64) {
        let size = self.region.bounds();
        let room = (width - BEFORE - BEHIND, height - BEFORE - BEHIND);
        let fits = |(paper, part): &&(f64, f64)| {
            size.width() * paper / part <= room.0 && size.height() * paper / part <= room.1
        };
        SCALES.iter().find(fits).copied().unwrap_or_else(|| {
            let needed = (size.width() / room.0).max(size.height() / room.1);
            (1.0, (needed / 100.0).ceil() * 100.0)
        })
    }

    /// Whether it stays readable when something so wide stands beside it: at most one step
    /// of the scale is lost, and none below 1:2, where letters leave their holes. Our choice.
    pub(crate) fn leaves_room(&self, beside: f64, width: f64, height: f64) -> bool {
        let by = |width: f64| {
            let (paper, part) = self.scale(width, height);
            paper / part
        };
        width - beside > BEFORE + BEHIND
            && by(width - beside) * 2.5 >= by(width)
            && by(width - beside) >= by(width).min(0.5)
    }

    /// The drawing, within a width and about a height in mm; and the labels for which there
    /// was no room.
    pub fn figure(&self, width: f64, height: f64) -> (Figure, Vec<String>) {
        let size = self.region.bounds();
        let (paper, part) = self.scale(width, height);
        let scale = Scale { by: paper / part, from: size.min };
        let words = format!(
            "Flat, scale {}:{}{}",
            num::text(paper, 0),
            num::text(part, 0),
            if self.bends.is_empty() { "" } else { ", top side shown" }
        );
        let max = Point::new(size.width() * scale.by, size.height() * scale.by);
        // What finds no room on the part decides how far off the sizes over all stand.
        let mut trial = Clear::new(Bounds { min: Point::ZERO, max });
        self.lines(&mut trial, &scale);
        let without = labels::along(&mut trial, self.labelled(&scale));
        let room = width - BEFORE - max.x - (BEHIND - OVER) - GAP;
        let beside = labels::beside(without, max, room);
        let off = [beside.right, beside.above].map(|taken| OVER.max(taken + GAP));
        // Labels may go where the dimensions leave room.
        let behind = [off[0] + BEHIND - OVER, off[1] + BEHIND - OVER];
        let frame = Bounds {
            min: Point::new(-BEFORE, -BEFORE),
            max: max + (behind[0].max(width - BEFORE - max.x), behind[1]),
        };
        let mut clear = Clear::new(frame);
        self.lines(&mut clear, &scale);
        running::over_all(&mut clear, max, off, [size.width(), size.height()], self.units);
        beside.draw(&mut clear);
        let others = self.labelled(&scale).into_iter().filter(|bend| !beside.has(bend)).collect();
        let without = labels::along(&mut clear, others);
        let mut left = labels::near(&mut clear, without);
        left.extend(self.labels(&mut clear, &scale));
        left.extend(self.number_found(&mut clear, &scale));
        (Figure { heading: words, items: clear.items }, left)
    }

    /// Everything but words beside it: what findings mark, outlines, bend lines, centres, running dimensions.
    fn lines(&self, clear: &mut Clear, scale: &Scale) {
        for bend in &self.bends {
            clear.draw(Item::Line(Pen::Narrow, vec![scale.edge(&bend.line)]));
        }
        for mark in &self.marks {
            clear.draw(Item::Line(Pen::Fine, mark.iter().map(|e| scale.edge(e)).collect()));
        }
        for outline in self.region.outlines() {
            clear.draw(Item::Line(Pen::Wide, outline.edges().map(|e| scale.edge(&e)).collect()));
        }
        for ring in &self.rings {
            let pen = if ring.hidden { Pen::Dashed } else { Pen::Wide };
            let edges = ring.edges.iter().map(|e| scale.edge(e)).collect();
            clear.draw(Item::Line(pen, edges));
        }
        self.mark_found(clear, scale);
        for spot in &self.spots {
            let outline: Vec<Edge> = spot.outline.edges().map(|e| scale.edge(&e)).collect();
            clear.add_hole(&outline);
        }
        for axis in [running::Axis::Across, running::Axis::Up] {
            if self.stations(clear, scale, axis) {
                continue;
            }
            for spot in &self.spots {
                let (at, arm) = (scale.point(spot.at), axis.across() * arm(spot, scale, axis));
                clear.draw(Item::line(Pen::Chain, at - arm, at + arm));
            }
        }
    }

    /// Running dimensions along an axis: the bend lines always, the holes where there is room
    /// for all; says whether there was, as the lines that lead to them show their centres.
    fn stations(&self, clear: &mut Clear, scale: &Scale, axis: running::Axis) -> bool {
        let origin = scale.from;
        let of = |p: Point| match axis {
            running::Axis::Across => (p.x - origin.x, p.y - origin.y),
            running::Axis::Up => (p.y - origin.y, p.x - origin.x),
        };
        let station = |along: f64, from: f64| running::Station {
            at: along * scale.by,
            from,
            words: figure_text(self.units, along),
        };
        let size = self.region.bounds();
        let extent = if axis == running::Axis::Across { size.width() } else { size.height() };
        let mut must: Vec<running::Station> =
            [0.0, extent].map(|along| station(along, 0.0)).to_vec();
        for bend in &self.bends {
            let (from, to) = (of(bend.line.from), of(bend.line.to));
            if (from.0 - to.0).abs() < 1e-6 {
                must.push(station(from.0, from.1.min(to.1) * scale.by));
            }
        }
        let mut all = must.clone();
        all.extend(self.spots.iter().map(|spot| {
            let (along, from) = of(spot.at);
            station(along, from * scale.by + arm(spot, scale, axis))
        }));
        running::draw(clear, axis, [all, must], extent * scale.by) == Some(0)
    }

    /// The bend lines of the drawing with their words.
    fn labelled(&self, scale: &Scale) -> Vec<PlanBend> {
        let bends = self.bends.iter();
        bends.map(|b| PlanBend { label: b.label.clone(), line: scale.edge(&b.line) }).collect()
    }

    /// The letters of seams and holes; those that found no room come back.
    fn labels(&self, clear: &mut Clear, scale: &Scale) -> Vec<String> {
        let mut left = Vec::new();
        for seam in &self.seams {
            let line = scale.edge(&seam.edge);
            let (at, words) = (line.point_at(0.5), labels::heavy(&seam.label));
            let seam = PlanBend { label: seam.label.clone(), line };
            // Narrow parts have room for a letter along the seam, if for none across it.
            let placed = clear.lead(at, 0.5, &words, Leader::None)
                || labels::put_along(clear, &seam, &words)
                || clear.lead(at, 0.5, &words, Leader::OverMiddles);
            if !placed {
                left.push(seam.label);
            }
        }
        for spot in &self.spots {
            let bounds = spot.outline.bounds();
            let at = scale.point(spot.at);
            let round = bounds.width().min(bounds.height()) * scale.by / 2.0;
            // A ring takes the room beside its hole.
            let is_ringed = |ring: &&Bounds| (ring.centre() - spot.at).hypot() < 1e-6;
            let mut rings = self.found.iter().flat_map(|found| &found.rings);
            let ring = rings.find(is_ringed).map_or(round, |ring| scale.ring(ring).1);
            let ring = ring.max(self.sunk(spot) * scale.by);
            let words = labels::heavy(&spot.label);
            let places = open_places(spot);
            let within = |place: &Point| {
                let at = scale.point(*place);
                words.iter().any(|words| clear.put_centre(at, words))
            };
            let placed = places.iter().any(within)
                || match spot.outline.contains(spot.at) {
                    true => clear.lead(at, ring, &words, Leader::OverOutlines),
                    // Its centre is in the metal.
                    false => places.first().is_some_and(|place| {
                        clear.lead(scale.point(*place), 0.0, &words, Leader::OverOutlines)
                    }),
                };
            if !placed {
                left.push(spot.label.clone());
            }
        }
        left
    }
}

impl Plan {
    /// Half the width of what is sunk round a hole, mm; 0 where nothing is.
    fn sunk(&self, spot: &Spot) -> f64 {
        let bounds = |ring: &Ring| ring.edges.iter().fold(Bounds::EMPTY, |b, e| b.and(e.bounds()));
        let own = self.rings.iter().map(bounds).filter(|b| (b.centre() - spot.at).hypot() < 1e-6);
        own.map(|b| b.width() / 2.0).fold(0.0, f64::max)
    }

    /// Draws what its findings are about in red.
    fn mark_found(&self, clear: &mut Clear, scale: &Scale) {
        for found in &self.found {
            for line in &found.lines {
                let edges = line.iter().map(|edge| scale.edge(edge)).collect();
                clear.draw_under(Item::Line(Pen::Found, edges));
            }
            for ring in &found.rings {
                let (centre, radius) = scale.ring(ring);
                let [left, right] = [-radius, radius].map(|by| centre + (by, 0.0));
                let half = |from, to| Edge { from, to, bulge: 1.0 };
                clear.draw(Item::Line(Pen::Found, vec![half(left, right), half(right, left)]));
            }
        }
    }

    /// Puts the numbers of the findings beside what they are about; those that found no room
    /// come back.
    fn number_found(&self, clear: &mut Clear, scale: &Scale) -> Vec<String> {
        let mut left = Vec::new();
        for found in &self.found {
            let words: Vec<_> =
                labels::heavy(&found.label).into_iter().map(Words::made_red).collect();
            let rings = found.rings.iter().map(|ring| scale.ring(ring));
            let lines = found.lines.iter().filter_map(|line| line.first());
            let lines = lines.map(|edge| (scale.edge(edge).point_at(0.5), 0.5));
            let mut spots = rings.chain(lines).peekable();
            let is_shown = spots.peek().is_some();
            if is_shown && !spots.any(|(at, by)| clear.lead(at, by, &words, Leader::OverAll)) {
                left.push(found.label.clone());
            }
        }
        left
    }
}

/// Places for a letter within an opening, those next to its centre first: of round ones and
/// slots the one that is clear of their centre lines.
fn open_places(spot: &Spot) -> Vec<Point> {
    /// Places that are tried in each direction. Our choice.
    const GRID: u32 = 16;
    let bounds = spot.outline.bounds();
    if spot.outline.circle().is_some() || spot.outline.slot().is_some() {
        let by = bounds.width().min(bounds.height()) / 4.0;
        return vec![spot.at + (by, by)];
    }
    let share = |k: u32| f64::from(k) / f64::from(GRID);
    let at = |(i, j)| bounds.min + (bounds.width() * share(i), bounds.height() * share(j));
    let all = (1..GRID).flat_map(|i| (1..GRID).map(move |j| (i, j))).map(at);
    let mut places: Vec<Point> = all.filter(|p| spot.outline.contains(*p)).collect();
    places.sort_by(|a, b| (*a - spot.at).hypot().total_cmp(&(*b - spot.at).hypot()));
    places
}

/// How far the line of its centre reaches beyond the centre of a hole, mm on paper.
fn arm(spot: &Spot, scale: &Scale, axis: running::Axis) -> f64 {
    let bounds = spot.outline.bounds();
    let size = if axis == running::Axis::Across { bounds.height() } else { bounds.width() };
    size * scale.by / 2.0 + 1.5
}

/// From the part to the drawing.
struct Scale {
    by: f64,
    /// What becomes the origin.
    from: Point,
}

impl Scale {
    fn point(&self, p: Point) -> Point {
        ((p - self.from) * self.by).to_point()
    }

    /// The centre of a ring round something and its radius.
    fn ring(&self, round: &Bounds) -> (Point, f64) {
        let radius = num::hypot(round.width(), round.height()) * self.by / 2.0;
        (self.point(round.centre()), radius + RING)
    }

    fn edge(&self, edge: &Edge) -> Edge {
        Edge { from: self.point(edge.from), to: self.point(edge.to), bulge: edge.bulge }
    }
}
