//! The edges from which a bend line can be measured as the part lies at its step.
//!
//! That is a free edge parallel to the line on the faces that still lie flat with it, or the
//! outside of a flange already bent there, of 90° or more. It must be unobstructed, and long enough
//! to measure from or to lay against a stop. If there is none, the tip of a round edge has to do.
//!
//! A stop is a bar or two fingers behind the line: it meets the outermost metal straight across
//! from the bend.

use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::sequence::body::Block;
use crate::sequence::hull;
use crate::sequence::section::Bending;
use crate::sequence::stretch;
use crate::sequence::stretch::From;
use crate::sequence::stretch::LEVEL;
use crate::sequence::stretch::Line;
use crate::sequence::stretch::PARALLEL;
use crate::sequence::stretch::Stretch;

/// Minimum length of an edge, mm, or half the length of the bend if that is less. Our choice: a
/// stop finger, or the head of a square.
const LONG: f64 = 20.0;

/// Free space outside a gauge edge: half the width of a stop finger, mm. Our choice.
const FINGER: f64 = 5.0;

/// What reaches out no further than this beyond a round edge is level with it, mm: its blocks are
/// cut along chords outside it.
const ROUND: f64 = 0.25;

/// A distance to set a bend line by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gauge {
    /// The gauge it is measured from.
    pub from: From,
    /// In the flat: the edge, or where the bend of the flange begins on the side that lies flat.
    pub line: Edge,
    /// A second stretch level with it beside it, where there is one, and what that is of: a finger
    /// at each.
    pub other: Option<(From, Edge)>,
    /// To the bend line, square to it, as the part lies, mm.
    pub distance: f64,
    /// Whether it is on the clamped side.
    pub held: bool,
    /// Whether the tools cover it: it is measured before they close.
    pub hidden: bool,
    /// Whether no bar can touch it: it is beside the bend, or on the clamped side other metal
    /// reaches out further straight across from the bend.
    pub alone: bool,
}

/// An outside leg to be measured once the bend is made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Leg {
    /// Measured from this gauge to the bend.
    pub gauge: Gauge,
    /// Its length, mm.
    pub mm: f64,
}

/// Which gauges a tool leaves.
#[derive(Clone, Copy, Debug)]
pub(super) enum Reach {
    /// There is none: all can be reached.
    All,
    /// A stop behind the die: those on the clamped side first.
    Stop,
    /// The clamped side is covered this far behind the line, mm.
    Covered(f64),
}

/// The best gauge for a bend line; `None` if no edge parallel to it can be reached.
pub(super) fn find(bending: &Bending, line: &Line, reach: Reach) -> Option<Gauge> {
    let all = stretch::all(bending, line);
    let usable: Vec<&Stretch> = all.iter().filter(|s| is_usable(bending, line, &all, s)).collect();
    best(bending, line, (&all, &usable), reach)
}

/// The best gauge for measuring an outside leg to the bend once it is made: from a gauge edge, if
/// that ends the leg on its own side of the bend. A tongue of the clamped side that reaches past
/// the line ends no leg, nor does one of the moving side that reaches back.
pub(super) fn to_check(
    bending: &Bending,
    line: &Line,
    gauge: Option<Gauge>,
    moving: &[bool],
) -> Option<Gauge> {
    if gauge.is_some_and(|gauge| moving[gauge.from.face()] != gauge.held) {
        return gauge;
    }
    let all = stretch::all(bending, line);
    let ends_leg =
        |s: &&Stretch| moving[s.from.face()] == (s.u > 0.0) && is_usable(bending, line, &all, s);
    let usable: Vec<&Stretch> = all.iter().filter(ends_leg).collect();
    best(bending, line, (&all, &usable), Reach::All)
}

/// The length of all pieces level with a stretch and like it, mm, each measured by `long`.
fn together(all: &[Stretch], s: &Stretch, long: impl Fn(&Stretch) -> f64) -> f64 {
    let level = all.iter().filter(|o| (o.u - s.u).abs() < LEVEL && o.kind() == s.kind());
    level.map(|o| long(o).max(0.0)).sum()
}

/// Whether a stretch is long enough, and nothing lies before it.
fn is_usable(bending: &Bending, line: &Line, all: &[Stretch], s: &Stretch) -> bool {
    let is_long = s.is_tip() || together(all, s, Stretch::length) >= long(bending) - PARALLEL;
    let middle = f64::midpoint(s.x[0], s.x[1]);
    let half = if s.is_tip() { FINGER } else { FINGER.min(s.length() / 2.0) };
    is_long && is_free(bending, line, s, [middle - half, middle + half])
}

fn long(bending: &Bending) -> f64 {
    LONG.min(bending.width() / 2.0)
}

/// Whether no bar can lean on a stretch.
fn is_alone(bending: &Bending, line: &Line, all: &[Stretch], s: &Stretch) -> bool {
    let across = match s.is_tip() {
        true => s.across_from(line) >= 0.0,
        false => together(all, s, |o| o.across_from(line)) >= long(bending) - PARALLEL,
    };
    // A piece that only touches the end of the line is beside it.
    let [from, to] = line.x;
    !across || s.u < 0.0 && !is_free(bending, line, s, [from + LEVEL, to - LEVEL])
}

/// The best of those of all stretches that are usable.
fn best(
    bending: &Bending,
    line: &Line,
    (all, usable): (&[Stretch], &[&Stretch]),
    reach: Reach,
) -> Option<Gauge> {
    let width = bending.width();
    let hidden = |s: &Stretch| match reach {
        Reach::All => false,
        Reach::Stop => s.u > 0.0,
        Reach::Covered(depth) => s.u < 0.0 && -s.u < depth,
    };
    let key = |s: &Stretch| {
        let short = together(all, s, Stretch::length) < width / 2.0;
        // A blank swivels on a tip: whatever is straight comes first.
        (s.is_tip(), hidden(s), is_alone(bending, line, all, s), short, s.kind())
    };
    let keyed = usable.iter().map(|s| (key(s), *s));
    let ((_, covered, alone, ..), best) = keyed.min_by(|(k, a), (l, b)| {
        // Stretches of one edge are level except for rounding: then the longest.
        let apart = (a.u.abs() - b.u.abs()).abs() > PARALLEL;
        let near = if apart { a.u.abs().total_cmp(&b.u.abs()) } else { std::cmp::Ordering::Equal };
        k.cmp(l).then(near).then(b.length().total_cmp(&a.length()))
    })?;
    Some(Gauge {
        from: best.from,
        line: best.line,
        other: other(usable, best),
        distance: best.u.abs(),
        held: best.u < 0.0,
        hidden: matches!(reach, Reach::Covered(_)) && covered,
        alone,
    })
}

/// The stretch level with another and like it that lies farthest from it along the bend: it carries
/// the second finger.
fn other(usable: &[&Stretch], of: &Stretch) -> Option<(From, Edge)> {
    let middle = |s: &Stretch| f64::midpoint(s.x[0], s.x[1]);
    let apart = |s: &Stretch| (middle(s) - middle(of)).abs();
    let level = usable.iter().filter(|s| {
        let beside = s.x[0] > of.x[1] + LEVEL || s.x[1] < of.x[0] - LEVEL;
        beside && !s.is_tip() && (s.u - of.u).abs() < LEVEL && s.kind() == of.kind()
    });
    level.max_by(|a, b| apart(a).total_cmp(&apart(b))).map(|s| (s.from, s.line))
}

/// Whether no metal reaches out further than a stretch between two places along the bend, at the
/// height of the sheet.
fn is_free(bending: &Bending, line: &Line, stretch: &Stretch, [from, to]: [f64; 2]) -> bool {
    let pose = &bending.flat;
    let plane = bending.plane(&pose.bend.frame_at(0.5), line.sign);
    let thickness = bending.body.part.thickness;
    let level = if stretch.is_tip() { ROUND } else { LEVEL };
    let out = stretch.u.signum();
    let before = |block: &Block| {
        let seen: Vec<[f64; 3]> = block.corners.iter().map(|c| plane.seen(*c)).collect();
        let under = |c: &[f64; 3]| c[2] < -LEVEL;
        let over = |c: &[f64; 3]| c[2] > -thickness + LEVEL;
        if !seen.iter().any(under) || !seen.iter().any(over) {
            return false;
        }
        let flat = hull::hull(seen.iter().map(|[x, u, _]| Point::new(*x, *u)).collect());
        let (along, far) = (Vec2::new(1.0, 0.0), out * (stretch.u.abs() + level));
        let cut = hull::clipped(&flat, Point::new(from, 0.0), along);
        let cut = hull::clipped(&cut, Point::new(to, 0.0), -along);
        cut.iter().any(|p| (p.y - far) * out > 0.0)
    };
    !pose.all().any(before)
}
