//! The flat of a part with all its sizes: running dimensions from the lower left corner, callouts
//! of holes and radii, signs of bends, weld symbols at their edges, details of what is too fine.
//!
//! Lines after ISO 128, dimensions after ISO 129-1, scales after ISO 5455 (all from memory). Each
//! step of the drawing sees the lines and words before it.

mod angles;
mod detail;
mod fine;
mod letters;
mod scale;
mod shape;
mod stations;

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Region;
use crate::num;
use crate::paper::clear::Clear;
use crate::paper::clear::Leader;
use crate::paper::figures::figure_text;
use crate::paper::figures::place_text;
use crate::paper::flags;
use crate::paper::flags::End;
pub use crate::paper::plan::detail::Detail;
use crate::paper::plan::fine::Alike;
use crate::paper::plan::scale::Margins;
use crate::paper::plan::scale::Scale;
use crate::paper::plan::shape::Key;
use crate::paper::plan::shape::Shape;
use crate::paper::plan::stations::Kind;
use crate::paper::plan::stations::Station;
use crate::paper::running::Axis;
use crate::paper::running::Rail;
use crate::paper::scene::Ink;
use crate::paper::scene::Item;
use crate::paper::scene::Note;
use crate::paper::scene::Pen;
use crate::paper::scene::Words;
use crate::paper::spot::Found;
use crate::paper::spot::Ring;
use crate::paper::spot::Spot;
use crate::paper::tag::Tag;
use crate::paper::tag::circle;
use crate::quantity::Units;

/// Room beside the flat, mm.
const MARGINS: Margins = Margins { left: 21.0, right: 12.0, above: 8.0, below: 20.0 };
/// From the edge of its room to what stands in it, mm.
const INSIDE: f64 = 1.4;
/// Tint of the metal.
const METAL: f64 = 0.938;
/// From the corners of what is ringed to the ring, mm.
const RING: f64 = 1.0;
/// How far the cross of a centre reaches beyond its hole, mm.
const ARM: f64 = 1.5;

/// A bend line with its sign.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanBend {
    /// Its number in the bend sequence.
    pub number: String,
    /// Towards the viewer.
    pub up: bool,
    /// Behind the number, such as `90°`; empty where only the line is drawn.
    pub words: String,
    /// Where it lies.
    pub line: Edge,
}

/// Holes of one size, with what is said of them.
#[derive(Clone, Debug, PartialEq)]
pub struct Callout {
    /// The size with its count, and what else is to know, a line each.
    pub lines: Vec<String>,
    /// Which of the spots.
    pub of: Vec<usize>,
}

/// What is said of an edge: a weld symbol, a bevel, what it is joined to.
#[derive(Clone, Debug, PartialEq)]
pub struct EdgeNote {
    /// The edges, metal to their left; it points at one of them.
    pub edges: Vec<Edge>,
    /// What it says.
    pub tag: Tag,
    /// Radius of a circle where its leader bends: a weld all round; 0 for none.
    pub ring: f64,
}

/// What the part is joined to.
#[derive(Clone, Debug, PartialEq)]
pub struct Phantom {
    /// Its edges.
    pub edges: Vec<Edge>,
    /// What it is; empty for nothing.
    pub label: String,
}

/// What of a flat is shown. Its lower left corner is the datum of all dimensions.
#[derive(Clone, Debug)]
pub struct Plan {
    /// What is cut.
    pub region: Region,
    /// The outlines whose corners are dimensioned.
    pub defined: Vec<Outline>,
    /// What is scribed or etched.
    pub marks: Vec<Vec<Edge>>,
    /// Its bends.
    pub bends: Vec<PlanBend>,
    /// Its faces by name.
    pub faces: Vec<(String, Region)>,
    /// Its holes, with a letter where they have one.
    pub spots: Vec<Spot>,
    /// Which of them are located by running dimensions.
    pub located: Vec<usize>,
    /// Other points that are located: of the centre lines of beads.
    pub points: Vec<Point>,
    /// Sizes of holes.
    pub callouts: Vec<Callout>,
    /// What is said of edges.
    pub notes: Vec<EdgeNote>,
    /// Edges of what is sunk or bevelled, visible or on the bottom side.
    pub rings: Vec<Ring>,
    /// What its findings are about.
    pub found: Vec<Found>,
    /// What it is joined to.
    pub phantoms: Vec<Phantom>,
    /// The units of the job.
    pub units: Units,
}

/// A flat that is drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawn {
    /// Its lines and words.
    pub items: Vec<Item>,
    /// Its scale, such as `1:2`.
    pub scale: String,
    /// How much larger than life.
    pub by: f64,
    /// Details of it.
    pub details: Vec<Detail>,
    /// Sizes and labels for which there was no room.
    pub left: Vec<String>,
}

impl Plan {
    /// A size as drawings write it: hundredths of a millimetre, thousandths of an inch.
    fn size_text(&self, mm: f64) -> String {
        figure_text(self.units, mm)
    }

    /// The largest factor at which it would fit a room of a width and a height, mm.
    pub fn factor(&self, room: [f64; 2]) -> f64 {
        let (paper, part) = scale::fitting(self.region.bounds(), room, MARGINS);
        paper / part
    }

    /// Drawn in a room, at the largest scale at which as much as can be finds room.
    pub fn drawn(&self, room: Bounds) -> Drawn {
        let size = [room.width(), room.height()];
        let best = scale::fitting(self.region.bounds(), size, MARGINS);
        let first = self.at(room, best);
        if first.left.is_empty() {
            return first;
        }
        // A little smaller leaves more room beside it.
        let closer = Margins { left: 26.0, right: 30.0, above: 24.0, below: 26.0 };
        let next = scale::fitting(self.region.bounds(), size, closer);
        if next == best {
            return first;
        }
        let second = self.at(room, next);
        if second.left.len() < first.left.len() { second } else { first }
    }

    /// Drawn at a scale.
    fn at(&self, room: Bounds, ratio: (f64, f64)) -> Drawn {
        let size = self.region.bounds();
        let scale = Scale { by: ratio.0 / ratio.1, from: size.min };
        let extent = [size.width() * scale.by, size.height() * scale.by];
        let spare = |room: f64, taken: f64| ((room - taken) / 2.0).max(0.0);
        let left = MARGINS.left + spare(room.width(), extent[0] + MARGINS.left + MARGINS.right);
        let below = MARGINS.below + spare(room.height(), extent[1] + MARGINS.above + MARGINS.below);
        let origin = room.min + (left, below);
        let by = origin.to_vec2();
        let frame = Bounds { min: room.min - by, max: room.max - by }.grown(-INSIDE);
        let mut clear = Clear::new(frame);
        clear.add_metal(Bounds { min: Point::ZERO, max: Point::new(extent[0], extent[1]) });
        let shapes: Vec<Shape> = self.defined.iter().map(shape::of).collect();
        let (fine, keys) = fine::parted(&shapes, scale.by);
        let mut left = Vec::new();
        let (views, keys) = views(fine, keys, scale.by);
        self.lines(&mut clear, &scale);
        let [wide, high] = extent;
        for (axis, extent) in [(Axis::Across, [wide, high]), (Axis::Up, [high, wide])] {
            left.extend(self.stations(&mut clear, &scale, axis, &keys, extent));
        }
        left.extend(self.words(&mut clear, &scale, &shapes, &views));
        let details = views.iter().map(|(alike, view)| detail::drawn(self, alike, view)).collect();
        let items = clear.items.into_iter().map(|item| item.shifted((by.x, by.y))).collect();
        Drawn { items, scale: scale::words(ratio), by: scale.by, details, left }
    }

    /// Metal, outlines, bend lines, what is sunk, marks and centres.
    fn lines(&self, clear: &mut Clear, scale: &Scale) {
        let loops = |outline: &Outline| scale.edges(&outline.edges().collect::<Vec<_>>());
        let metal: Vec<Vec<Edge>> = self.region.outlines().map(loops).collect();
        clear.draw_under(Item::Fill(METAL, metal));
        for bend in &self.bends {
            clear.draw(Item::Line(Pen::Bend, vec![scale.edge(&bend.line)]));
        }
        for mark in &self.marks {
            clear.draw(Item::Line(Pen::Narrow, scale.edges(mark)));
        }
        for outline in self.region.outlines() {
            let edges = loops(outline);
            let corners = edges.iter().map(|edge| edge.from).collect();
            let kind = match self.defined.contains(outline) {
                true => "outline",
                false => "opening",
            };
            let note = Note { kind, text: String::new(), feet: corners, scale: scale.by };
            clear.draw(Item::Noted(note, vec![Item::Line(Pen::Wide, edges)]));
        }
        for ring in &self.rings {
            let pen = if ring.hidden { Pen::Dashed } else { Pen::Wide };
            clear.draw(Item::Line(pen, scale.edges(&ring.edges)));
        }
        for phantom in &self.phantoms {
            clear.draw(Item::Line(Pen::Phantom, scale.edges(&phantom.edges)));
        }
        for found in &self.found {
            for line in &found.lines {
                clear.draw_under(Item::Line(Pen::Found, scale.edges(line)));
            }
            for ring in &found.rings {
                let (centre, radius) = self.ring(scale, ring);
                clear.draw(Item::Line(Pen::Found, circle(centre, radius)));
            }
        }
        for spot in &self.spots {
            clear.add_hole(&loops(&spot.outline));
        }
    }

    /// The centre of a ring round something on paper, and its radius.
    fn ring(&self, scale: &Scale, round: &Bounds) -> (Point, f64) {
        let radius = num::hypot(round.width(), round.height()) * scale.by / 2.0;
        (scale.point(round.centre()), radius + RING)
    }

    /// Running dimensions along an axis; those for which there is no room come back.
    fn stations(
        &self,
        clear: &mut Clear,
        scale: &Scale,
        axis: Axis,
        keys: &[Key],
        [extent, far]: [f64; 2],
    ) -> Vec<String> {
        let size = self.region.bounds();
        let text = |p: Point| place_text(self.units, axis.of((p - size.min).to_point()).0);
        let station = |foot: Point, kind: Kind| Station { foot, arm: 0.0, text: text(foot), kind };
        let index = if axis == Axis::Across { 0 } else { 1 };
        let ends = [size.min, size.max].map(|p| self.extreme(axis, p));
        let mut must: Vec<Station> = ends.into_iter().map(|p| station(p, Kind::Edge)).collect();
        for bend in &self.bends {
            let (from, to) = (axis.of(bend.line.from), axis.of(bend.line.to));
            if (from.0 - to.0).abs() < 1e-6 {
                let nearer = if from.1 < to.1 { bend.line.from } else { bend.line.to };
                must.push(station(nearer, Kind::Bend));
            } else if (from.1 - to.1).abs() > 1e-6 {
                must.extend([bend.line.from, bend.line.to].map(|p| station(p, Kind::Bend)));
            }
        }
        let holes = self.located.iter().map(|i| &self.spots[*i]);
        let holes = holes.map(|spot| Station {
            arm: arms(spot, scale)[1 - index],
            ..station(spot.at, Kind::Hole)
        });
        let corners = keys.iter().filter(|key| key.axes[index]);
        let corners = corners.map(|key| station(key.at, Kind::Edge));
        let points = self.points.iter().map(|at| Station { arm: ARM, ..station(*at, Kind::Hole) });
        let centres: Vec<Station> = must.iter().cloned().chain(holes).chain(points).collect();
        let near = Rail { axis, far: None };
        let far = Rail { axis, far: Some(far) };
        // What is behind metal from one side and not from the other stands on the other.
        let (behind, corners): (Vec<Station>, Vec<Station>) = corners.partition(|station| {
            let at = scale.point(station.foot);
            let clear = |rail: Rail| self.is_clear(scale, rail, at);
            !clear(near) && clear(far)
        });
        let all = centres.iter().cloned().chain(corners).collect();
        let lists = [all, centres, must].map(|list| stations::one_each(list, near, scale));
        let room = stations::room(extent);
        let fits = lists.iter().position(|list| list.len() <= room).unwrap_or(2);
        stations::draw(clear, near, &lists[fits], scale, extent);
        let mut shown: Vec<String> = lists[fits].iter().map(|s| s.text.clone()).collect();
        let behind: Vec<Station> =
            behind.into_iter().filter(|s| !shown.contains(&s.text)).collect();
        let behind = stations::one_each(behind, far, scale);
        if !behind.is_empty() && behind.len() <= room {
            stations::draw(clear, far, &behind, scale, extent);
            shown.extend(behind.iter().map(|s| s.text.clone()));
        }
        let way = if axis == Axis::Across { "X" } else { "Y" };
        let wanted = lists[0].iter().chain(&behind);
        let missing = wanted.filter(|station| !shown.contains(&station.text));
        let missing = missing.map(|station| format!("{way} {}", station.text)).collect();
        self.crosses(clear, scale, near, &lists[fits]);
        missing
    }

    /// Whether nothing of the metal is between a point on paper and the dimensions on a rail.
    fn is_clear(&self, scale: &Scale, rail: Rail, at: Point) -> bool {
        const STEP: f64 = 0.8;
        let (along, within) = rail.of(at);
        let steps = (within / STEP) as u32;
        let back = |p: Point| scale.from + p.to_vec2() / scale.by;
        let is_metal = |k: u32| {
            let out = -within + 0.4 + STEP * f64::from(k);
            out < -0.2 && self.region.contains(back(rail.point(along, out)))
        };
        !(0..=steps).any(is_metal)
    }

    /// The crosses of holes through which no line of centres runs already.
    fn crosses(&self, clear: &mut Clear, scale: &Scale, rail: Rail, shown: &[Station]) {
        let size = self.region.bounds();
        let index = if rail.axis == Axis::Across { 0 } else { 1 };
        for (i, spot) in self.spots.iter().enumerate() {
            let is_plain = spot.outline.circle().is_some() || spot.outline.slot().is_some();
            if !is_plain && !self.located.contains(&i) {
                continue;
            }
            let at = scale.point(spot.at);
            let along = rail.axis.of((spot.at - size.min).to_point()).0;
            let text = place_text(self.units, along);
            let runs = |s: &&Station| {
                s.kind == Kind::Hole
                    && s.text == text
                    && rail.of(scale.point(s.foot)).1 >= rail.of(at).1 - 1e-6
            };
            if shown.iter().any(|s| runs(&s)) {
                continue;
            }
            let arm = arms(spot, scale)[1 - index];
            let arm = rail.axis.point(0.0, arm).to_vec2();
            clear.draw(Item::line(Pen::Chain, at - arm, at + arm));
        }
    }

    /// The corner of the outline that is farthest out on the side of a corner of its rectangle.
    fn extreme(&self, axis: Axis, corner: Point) -> Point {
        let outer = self.region.outer().edges();
        let all = outer.flat_map(|e| [0.0, 0.25, 0.5, 0.75].map(|t| e.point_at(t)));
        let off = |p: &Point| (axis.of(*p).0 - axis.of(corner).0).abs();
        let near = |p: &Point| axis.of(*p).1;
        let key = |p: &Point| ((off(p) * 1e3).round(), near(p));
        let best = all.min_by(|a, b| {
            let (a, b) = (key(a), key(b));
            a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
        });
        let at = best.unwrap_or(corner);
        match axis {
            Axis::Across => Point::new(corner.x, at.y),
            Axis::Up => Point::new(at.x, corner.y),
        }
    }

    /// All that is said on it, in the order of placing; what found no room comes back.
    fn words(
        &self,
        clear: &mut Clear,
        scale: &Scale,
        shapes: &[Shape],
        views: &[(Alike, detail::View)],
    ) -> Vec<String> {
        let mut left = Vec::new();
        for bend in self.bends.iter().filter(|bend| !bend.number.is_empty()) {
            let line = scale.edge(&bend.line);
            if !letters::bend(clear, bend, &line) && !self.bend_off(clear, bend, &line) {
                left.push(format!("bend {} {}", bend.number, bend.words));
            }
        }
        for (_, view) in views {
            detail::mark(clear, view, scale);
        }
        for (name, region) in &self.faces {
            letters::face(clear, name, region, scale);
        }
        for callout in &self.callouts {
            let targets: Vec<flags::Target> = callout
                .of
                .iter()
                .take(12)
                .map(|i| &self.spots[*i])
                .flat_map(|spot| {
                    let outline = scale.edges(&spot.outline.edges().collect::<Vec<_>>());
                    flags::round(&outline, scale.point(spot.at))
                })
                .collect();
            if !flags::put(clear, &targets, &Tag::callout(&callout.lines), End::Arrow, 0.0) {
                left.push(callout.lines.join(", "));
            }
            self.note_size(clear, scale, callout);
        }
        for note in &self.notes {
            let edges = scale.edges(&note.edges);
            let shares = [0.62, 0.38, 0.76, 0.24];
            let outside: Vec<flags::Target> =
                edges.iter().flat_map(|e| shares.map(|t| flags::on_edge(e, t))).collect();
            let inside = outside.iter().map(flags::Target::turned);
            let targets: Vec<flags::Target> = outside.iter().copied().chain(inside).collect();
            if !flags::put(clear, &targets, &note.tag, End::Arrow, note.ring) {
                left.push(note.tag.words());
            }
        }
        left.extend(self.radii(clear, scale, shapes, views));
        angles::draw(clear, scale, shapes);
        left.extend(self.letters(clear, scale));
        left.extend(self.number_found(clear, scale));
        for phantom in self.phantoms.iter().filter(|phantom| !phantom.label.is_empty()) {
            self.name_phantom(clear, scale, phantom);
        }
        left
    }

    /// Says what is called out at holes: the ends of the diameter of round ones, of width and
    /// length of slots.
    fn note_size(&self, clear: &mut Clear, scale: &Scale, callout: &Callout) {
        let Some(spot) = callout.of.first().map(|i| &self.spots[*i]) else { return };
        let ends = |half: f64| [-half, half].map(|x| scale.point(spot.at + (x, 0.0)));
        let (kind, text, feet) = match (spot.outline.circle(), spot.outline.slot()) {
            (Some((_, radius)), _) => {
                ("diameter", self.size_text(2.0 * radius), ends(radius).to_vec())
            }
            (None, Some((_, length, width))) => {
                let text = format!("{} × {}", self.size_text(width), self.size_text(length));
                ("slot", text, [ends(width / 2.0), ends(length / 2.0)].concat())
            }
            (None, None) => return,
        };
        let said = callout.lines.join("; ");
        let text = format!("{}|{text}|{said}", callout.of.len());
        clear.draw(Item::Noted(Note { kind, text, feet, scale: scale.by }, Vec::new()));
    }

    /// The sign of a bend off its line.
    fn bend_off(&self, clear: &mut Clear, bend: &PlanBend, line: &Edge) -> bool {
        let tag = Tag::bend(&bend.number, bend.up, &bend.words).on_shelf();
        let targets = [0.5, 0.3, 0.7, 0.1, 0.9, 0.0, 1.0].map(|share| {
            let tip = line.point_at(share);
            flags::Target { tip, out: None, spot: tip }
        });
        flags::put(clear, &targets, &tag, End::Dot, 0.0)
    }

    /// Each radius once, with its count; those within details are there.
    fn radii(
        &self,
        clear: &mut Clear,
        scale: &Scale,
        shapes: &[Shape],
        views: &[(Alike, detail::View)],
    ) -> Vec<String> {
        let in_detail = |p: Point| {
            views.iter().any(|(alike, view)| {
                let mut centres = alike.runs.iter().map(|run| run.bounds().centre());
                centres.any(|centre| (p - centre).hypot() < view.radius)
            })
        };
        let rounds = shapes.iter().flat_map(|shape| &shape.rounds);
        let rounds = rounds.filter(|round| !in_detail(round.edge.point_at(0.5)));
        let mut sizes: Vec<(String, Vec<Edge>)> = Vec::new();
        for round in rounds {
            let text = self.size_text(round.radius);
            match sizes.iter_mut().find(|(other, _)| *other == text) {
                Some((_, edges)) => edges.push(scale.edge(&round.edge)),
                None => sizes.push((text, vec![scale.edge(&round.edge)])),
            }
        }
        let curves: Vec<Edge> =
            shapes.iter().flat_map(|s| &s.curves).map(|e| scale.edge(e)).collect();
        let mut left = Vec::new();
        let mut put = |lines: Vec<String>, edges: &[Edge]| {
            let shares = [0.35, 0.65, 0.5];
            let few = edges.iter().take(8);
            let targets: Vec<flags::Target> =
                few.flat_map(|e| shares.map(|t| flags::on_edge(e, t))).collect();
            let inside = targets.iter().map(flags::Target::turned);
            let all: Vec<flags::Target> = targets.iter().copied().chain(inside).collect();
            let tag = Tag::callout(&lines);
            let note = Note {
                kind: "radius",
                text: lines[0].clone(),
                feet: edges.iter().flat_map(|e| [e.from, e.point_at(0.5), e.to]).collect(),
                scale: scale.by,
            };
            clear.draw(Item::Noted(note, Vec::new()));
            if !flags::put(clear, &all, &tag, End::Arrow, 0.0) {
                left.push(lines.join(", "));
            }
        };
        for (text, edges) in &sizes {
            let times = if edges.len() > 1 { format!("{}× ", edges.len()) } else { String::new() };
            put(vec![format!("{times}R{text}")], edges);
        }
        if !curves.is_empty() {
            put(vec!["curve".into(), "see DXF or template".into()], &curves);
        }
        left
    }

    /// The letters of holes; those that found no room come back.
    fn letters(&self, clear: &mut Clear, scale: &Scale) -> Vec<String> {
        let centres: Vec<Point> = self.spots.iter().map(|spot| scale.point(spot.at)).collect();
        let lettered = self.spots.iter().enumerate().filter(|(_, spot)| !spot.label.is_empty());
        let mut left = Vec::new();
        for (i, spot) in lettered {
            let sunk = self.sunk(spot) * scale.by;
            let others: Vec<Point> =
                centres.iter().enumerate().filter(|(k, _)| *k != i).map(|(_, p)| *p).collect();
            if !letters::hole(clear, spot, sunk, scale, &others) {
                left.push(spot.label.clone());
            }
        }
        left
    }

    /// Half the width of what is sunk or formed round a hole or rings it, mm; 0 where nothing is.
    fn sunk(&self, spot: &Spot) -> f64 {
        let bounds = |ring: &Ring| ring.edges.iter().fold(Bounds::EMPTY, |b, e| b.and(e.bounds()));
        let rings = self.rings.iter().map(bounds);
        let found = self.found.iter().flat_map(|found| &found.rings).map(|ring| {
            let radius = num::hypot(ring.width(), ring.height()) / 2.0;
            Bounds { min: ring.centre(), max: ring.centre() }.grown(radius)
        });
        let own = rings.chain(found).filter(|b| (b.centre() - spot.at).hypot() < 1e-6);
        own.map(|b| b.width() / 2.0).fold(0.0, f64::max)
    }

    /// Puts the numbers of the findings beside what they are about; those that found no room
    /// come back.
    fn number_found(&self, clear: &mut Clear, scale: &Scale) -> Vec<String> {
        let mut left = Vec::new();
        for found in &self.found {
            let rings = found.rings.iter().map(|ring| self.ring(scale, ring));
            let lines = found.lines.iter().filter_map(|line| line.first());
            let lines = lines.map(|edge| (scale.edge(edge).point_at(0.5), 0.0));
            let targets: Vec<flags::Target> = rings
                .chain(lines)
                .flat_map(|(centre, radius)| {
                    let ring = circle(centre, radius.max(0.01));
                    flags::round(&ring, centre)
                })
                .collect();
            let is_shown = !targets.is_empty();
            if is_shown && !flags::put(clear, &targets, &Tag::ringed(&found.label), End::Plain, 0.0)
            {
                left.push(found.label.clone());
            }
        }
        left
    }

    /// The name of what the part is joined to, beside its line.
    fn name_phantom(&self, clear: &mut Clear, scale: &Scale, phantom: &Phantom) {
        let words = Words::plain(Point::ZERO, crate::paper::sheet::SMALL, &phantom.label);
        let words = [words.in_ink(Ink::Grey)];
        let shares = [0.5, 0.25, 0.75, 0.1, 0.9];
        let edges = phantom.edges.iter().map(|edge| scale.edge(edge));
        let mut spots = edges.flat_map(|edge| shares.map(|t| edge.point_at(t)));
        spots.any(|spot| clear.lead(spot, 0.0, &words, Leader::None));
    }
}

/// The runs that get a detail with their views, and the keys that are dimensioned on the flat.
fn views(fine: Vec<Alike>, mut keys: Vec<Key>, by: f64) -> (Vec<(Alike, detail::View)>, Vec<Key>) {
    /// Details of a flat at most. Our choice: more do not stand below it.
    const MOST: usize = 3;
    let letters = ["Z", "Y", "W"];
    let mut views = Vec::new();
    for alike in fine {
        let letter = letters.get(views.len()).filter(|_| views.len() < MOST);
        match letter.and_then(|letter| detail::view(&alike, (*letter).to_owned(), by)) {
            Some(view) => views.push((alike, view)),
            None => keys.extend(alike.runs.into_iter().flat_map(|run| run.keys)),
        }
    }
    (views, keys)
}

/// How far the lines of its centre reach across and up, mm on paper.
fn arms(spot: &Spot, scale: &Scale) -> [f64; 2] {
    let bounds = spot.outline.bounds();
    [bounds.width(), bounds.height()].map(|size| size * scale.by / 2.0 + ARM)
}
