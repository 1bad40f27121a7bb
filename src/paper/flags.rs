//! Tags placed off their subject, with a leader or an arrow to it.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::geom::ray;
use crate::paper::clear::Clear;
use crate::paper::crossed::Leader;
use crate::paper::running;
use crate::paper::scene::Item;
use crate::paper::scene::Note;
use crate::paper::scene::Pen;
use crate::paper::straight::Touch;
use crate::paper::straight::touch;
use crate::paper::tag;
use crate::paper::tag::Tag;
use crate::paper::tag::circle;

/// How far from its target a tag is tried, and in which steps, mm.
const NEAREST: f64 = 7.0;
const FARTHEST: f64 = 60.0;
const STEP: f64 = 2.0;
/// Directions that are tried.
const DIRECTIONS: u32 = 24;

/// As many targets are compared, even where one of them has a good place. Our choice.
const FEW: u32 = 3;

/// As many steps farther off a tag is put for each line less that its leader crosses. Our choice.
const CROSSING: u32 = 2;
/// What is as near to the tip of a leader is its own line, mm.
const OFF_TIP: f64 = 0.7;

/// From a circle at an elbow to any line, mm. Our choice.
const ASIDE: f64 = 0.5;

/// The end of a leader.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Target {
    /// Where the leader ends.
    pub(super) tip: Point,
    /// The side from which it may come; any where there is none.
    pub(super) out: Option<Vec2>,
    /// The centre of its subject, whose own lines the leader may cross.
    pub(super) spot: Point,
    /// Whether the leader comes over the part to its edge: it had better not run on over another.
    over: bool,
}

impl Target {
    /// A point that may be led to from any side.
    pub(super) fn point(tip: Point) -> Self {
        Self { tip, out: None, spot: tip, over: false }
    }

    /// The same from the other side.
    fn opposite(&self) -> Self {
        Self { out: self.out.map(|out| -out), over: true, ..*self }
    }
}

/// How a leader ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum End {
    Arrow,
    Dot,
    Plain,
}

/// The penalties of a place, the worst first: a leader right across the part, the worst line that it
/// crosses, a circle on a line, words in one line with others, words on the part, how far off they are
/// and how many lines it crosses.
type Faults = (bool, Leader, bool, bool, bool, u32);

/// A place for a tag, to be compared with others.
struct Candidate {
    faults: Faults,
    tip: Point,
    elbow: Point,
    items: Vec<Item>,
}

impl Candidate {
    /// Whether its leader crosses nothing, its circle sits on nothing, and it is off other words and off
    /// the part.
    fn is_good(&self) -> bool {
        self.faults.1 <= Leader::Open && !self.faults.2 && !self.faults.3 && !self.faults.4
    }
}

/// Draws a tag off the first target for which there is room, with a leader; of all places the one
/// whose leader crosses least, then the nearest. `ring` is the radius of a circle at the elbow, 0
/// for none. Returns whether there was room.
pub(super) fn put(clear: &mut Clear, targets: &[Target], tag: &Tag, end: End, ring: f64) -> bool {
    let mut chosen: Option<Candidate> = None;
    for (target, order) in targets.iter().zip(0u32..) {
        let Some(found) = best(clear, target, (tag, ring), order) else { continue };
        let is_good = found.is_good();
        if chosen.as_ref().is_none_or(|chosen| found.faults < chosen.faults) {
            chosen = Some(found);
        }
        if is_good && order >= FEW {
            break;
        }
    }
    let Some(found) = chosen else { return false };
    draw(clear, &found, end, ring);
    true
}

fn draw(clear: &mut Clear, found: &Candidate, end: End, ring: f64) {
    let way = (found.tip - found.elbow).normalize();
    let line = Item::line(Pen::Narrow, found.elbow + way * ring, found.tip);
    let feet = vec![found.tip, found.elbow];
    let note = Note { kind: "leader", text: String::new(), feet, scale: 1.0 };
    clear.draw(Item::Noted(note, vec![line]));
    match end {
        End::Arrow => clear.draw(running::arrow_head(found.tip, way)),
        End::Dot => clear.draw(Item::Fill(0.0, vec![circle(found.tip, 0.5)])),
        End::Plain => {}
    }
    if ring > 0.0 {
        clear.draw(Item::Line(Pen::Narrow, circle(found.elbow, ring)));
    }
    found.items.iter().for_each(|item| clear.draw(item.clone()));
    tag::lines(&found.items).into_iter().for_each(|line| clear.close(line));
}

/// The best place for a tag with a circle of a radius at its elbow.
fn best(
    clear: &Clear,
    target: &Target,
    (tag, circle): (&Tag, f64),
    order: u32,
) -> Option<Candidate> {
    let bounds = tag.bounds();
    let mut best: Option<Candidate> = None;
    let rings = ((FARTHEST - NEAREST) / STEP) as u32;
    for ring in 0..=rings {
        for direction in 0..DIRECTIONS {
            let degrees = 45.0 + 360.0 / f64::from(DIRECTIONS) * f64::from(direction);
            let way = ray(degrees);
            if target.out.is_some_and(|out| out.dot(way) < 0.35) {
                continue;
            }
            let elbow = target.tip + way * (NEAREST + STEP * f64::from(ring));
            // The line below the words continues from the leader, away from its end.
            let left = way.x < -1e-9;
            let at = if left { elbow - (bounds.max.x, 0.0) } else { elbow };
            let moved = bounds.shifted(at.to_vec2());
            let leader = [target.tip, elbow];
            if !clear.is_free(moved) || !clear.is_open(&leader) {
                continue;
            }
            let crossed = clear.crossed(target.spot, &leader);
            if crossed >= Leader::Never {
                continue;
            }
            // A circle on a line is no better than a leader over it.
            let round = Bounds { min: elbow, max: elbow }.grown(circle + ASIDE);
            let under = if circle > 0.0 { clear.leader_over(round) } else { Leader::None };
            let sits = under > Leader::Open;
            let (reads, over_metal) = (clear.reads_on(moved), clear.covers_metal(moved));
            // A circle has few places.
            let across = circle <= 0.0 && target.over && crossed > Leader::OverMiddles;
            let off = [target.tip + way * OFF_TIP, elbow];
            let lines = clear.lines.beside(&off);
            let lines = lines.filter(|(_, line)| touch(&off, line) == Touch::Across).count();
            let lines = CROSSING * lines as u32;
            let away = ring + order + lines;
            let faults = (across, crossed.max(under), sits, reads, over_metal, away);
            if best.as_ref().is_none_or(|best| faults < best.faults) {
                best = Some(Candidate { faults, tip: target.tip, elbow, items: tag.at(at) });
            }
        }
        let good = best.as_ref().is_some_and(Candidate::is_good);
        if good || (ring > 12 && best.is_some()) {
            break;
        }
    }
    best
}

/// The target on an edge of an outline, metal to its left, at a share of its length: from
/// outside.
fn on_edge(edge: &Edge, share: f64) -> Target {
    let tip = edge.point_at(share);
    let near = edge.point_at(share + 1e-3) - edge.point_at(share - 1e-3);
    let along = near.normalize();
    Target { tip, out: Some(Vec2::new(along.y, -along.x)), spot: tip, over: false }
}

/// The targets at shares of the length of each edge: from outside, then from inside.
pub(super) fn on_edges(edges: &[Edge], shares: &[f64]) -> Vec<Target> {
    let outside = edges.iter().flat_map(|edge| shares.iter().map(|share| on_edge(edge, *share)));
    let outside: Vec<Target> = outside.collect();
    let inside = outside.iter().map(Target::opposite);
    outside.iter().copied().chain(inside).collect()
}

/// Targets round a hole, by its outline.
pub(super) fn round(outline: &[Edge], centre: Point) -> Vec<Target> {
    let bounds = outline.iter().fold(Bounds::EMPTY, |b, edge| b.and(edge.bounds()));
    (0..8u32)
        .filter_map(|i| {
            let way = ray(45.0 + 45.0 * f64::from(i));
            let far = centre + way * (bounds.width() + bounds.height());
            let nearest = outline.iter().map(|e| e.nearest(far));
            let tip = nearest.min_by(|a, b| (*a - far).hypot().total_cmp(&(*b - far).hypot()))?;
            Some(Target { tip, out: Some((tip - centre).normalize()), spot: centre, over: false })
        })
        .collect()
}
