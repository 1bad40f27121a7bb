//! Bend lines of an outline file that make one bend; where they end inside the plate, run past it or cross.

use crate::geom::Edge;
use crate::geom::JOIN;
use crate::geom::Line;
use crate::geom::Point;
use crate::geom::Region;
use crate::num;

/// A bend line that ends further than this from an edge of the plate, mm, ends inside it. Our choice.
const SHORT: f64 = 1.0;

/// What to do about a bend that is drawn shorter than it is bent.
const HELP: &str = "draw one line from edge to edge, or cut the plate where the bend ends";

/// What to do about one bend that is drawn in several lines.
const ONE: &str = "draw one line, and bend on that one";

/// Whether a bend on one line bends the metal under the other as well: both lie on one straight
/// line, and no notch of the outline is between them.
pub(super) fn in_row(region: &Region, of: &Edge, line: &Edge) -> bool {
    let axis = Line { at: of.from, along: of.direction_at_start() };
    let on = |[a, b]: [f64; 2], edge: &Edge| {
        let [from, to] = span(&axis, edge);
        from < b - JOIN && to > a + JOIN
    };
    let metal = axis.stretches(region.outer());
    in_line(of, line) && metal.into_iter().any(|one| on(one, of) && on(one, line))
}

/// Whether two lines lie on one straight line.
pub(super) fn in_line(of: &Edge, line: &Edge) -> bool {
    let axis = Line { at: of.from, along: of.direction_at_start() };
    [line.from, line.to].into_iter().all(|p| axis.seen(p).1.abs() <= JOIN)
}

/// From where to where an edge lies along a line, mm.
fn span(axis: &Line, edge: &Edge) -> [f64; 2] {
    let [a, b] = [edge.from, edge.to].map(|p| axis.seen(p).0);
    [a.min(b), a.max(b)]
}

/// Bends that are drawn shorter than they are bent, in several lines, off the plate or across each other, each
/// with what to do about it, and where.
pub(super) fn short(region: &Region, bends: &[Edge]) -> Vec<(String, &'static str, Vec<Point>)> {
    let mut all = Vec::new();
    for row in rows(region, bends) {
        let apart = gaps(region, bends, &row).map(|(words, at)| (words, HELP, at));
        let twice = twice(bends, &row).map(|(words, at)| (words, ONE, at));
        let whole = || one_bend(bends, &row).map(|(words, at)| (words, ONE, at));
        let apart = if twice.is_some() { apart } else { apart.or_else(whole) };
        let ends = open_end(region, bends, &row).map(|(words, at)| (words, HELP, at));
        all.extend([twice, apart, ends].into_iter().flatten());
    }
    all.extend((0..bends.len()).filter_map(|i| astray(region, bends, i)));
    for i in 0..bends.len() {
        all.extend((0..i).filter_map(|j| crossing(region, bends, [j, i])));
    }
    all
}

/// A bend line off the plate, or more than half of it: one that is drawn some way past the edges, as is
/// common practice, is bent as far as there is metal.
fn astray(region: &Region, bends: &[Edge], i: usize) -> Option<(String, &'static str, Vec<Point>)> {
    let (line, outer) = (&bends[i], region.outer());
    let axis = Line { at: line.from, along: line.direction_at_start() };
    let own = span(&axis, line);
    let metal: Vec<[f64; 2]> = axis
        .stretches(outer)
        .into_iter()
        .filter(|[from, to]| to.min(own[1]) - from.max(own[0]) > JOIN)
        .collect();
    let ends = vec![line.from, line.to];
    let (Some(first), Some(last)) = (metal.first(), metal.last()) else {
        let words = format!(
            "bend line {}, from {} to {}, is off the plate: it bends nothing",
            i + 1,
            place(line.from),
            place(line.to)
        );
        return Some((words, "move it onto the plate, or onto a layer that is not read", ends));
    };
    let [before, behind] = [first[0] - own[0], own[1] - last[1]];
    let (past, at) = if before > behind {
        (before, axis.point(first[0]))
    } else {
        (behind, axis.point(last[1]))
    };
    if 2.0 * (last[1].min(own[1]) - first[0].max(own[0])) >= own[1] - own[0] {
        return None;
    }
    let words = format!(
        "bend line {} runs {} mm past the edge of the plate at {}",
        i + 1,
        num::text(past, 2),
        place(at)
    );
    Some((words, "end it at the edge, or check that the outline is whole", vec![at]))
}

/// Two bend lines that cross in the metal.
fn crossing(
    region: &Region,
    bends: &[Edge],
    both: [usize; 2],
) -> Option<(String, &'static str, Vec<Point>)> {
    let [one, other] = both.map(|i| &bends[i]);
    let off = |of: &Edge, line: &Edge| {
        let axis = Line { at: of.from, along: of.direction_at_start() };
        [line.from, line.to].map(|p| axis.seen(p).1)
    };
    let is_across = |[a, b]: [f64; 2]| a.min(b) < -SHORT && a.max(b) > SHORT;
    let sides = off(one, other);
    if !is_across(sides) || !is_across(off(other, one)) {
        return None;
    }
    let at = other.from.lerp(other.to, sides[0] / (sides[0] - sides[1]));
    let [first, second] = both.map(|i| i + 1);
    let words = format!(
        "bend lines {first} and {second} cross at {}: once one is bent, the other cannot be",
        place(at)
    );
    let help = "end one at the other, cut the plate where they meet, or move one onto a layer that is not read";
    region.contains(at).then(|| (words, help, vec![at]))
}

/// The first bend line of each bend: those to bend on. Others in line with one are bent with it.
pub fn first_lines(region: &Region, bends: &[Edge]) -> Vec<usize> {
    rows(region, bends).into_iter().filter_map(|row| row.first().copied()).collect()
}

/// The bend lines that make one bend each.
fn rows(region: &Region, bends: &[Edge]) -> Vec<Vec<usize>> {
    let mut left: Vec<usize> = (0..bends.len()).collect();
    let mut all = Vec::new();
    while let Some(first) = left.first().copied() {
        let of = |i: &usize| *i == first || in_row(region, &bends[first], &bends[*i]);
        let (row, others): (Vec<usize>, Vec<usize>) = left.into_iter().partition(of);
        left = others;
        all.push(row);
    }
    all
}

/// A bend that is drawn in several lines without a gap in the metal, in words, and where it is.
fn one_bend(bends: &[Edge], row: &[usize]) -> Option<(String, Vec<Point>)> {
    let (last, others) = row.split_last().filter(|(_, others)| !others.is_empty())?;
    let numbers: Vec<String> = others.iter().map(|i| (i + 1).to_string()).collect();
    let words = format!(
        "bend lines {} and {} are one bend: it runs from edge to edge, also across openings",
        numbers.join(", "),
        last + 1
    );
    Some((words, row.iter().flat_map(|i| [bends[*i].from, bends[*i].to]).collect()))
}

/// The longest stretch on which two lines of a row lie on one another, in words, and its ends.
fn twice(bends: &[Edge], row: &[usize]) -> Option<(String, Vec<Point>)> {
    let first = bends[row[0]];
    let axis = Line { at: first.from, along: first.direction_at_start() };
    let pairs = row.iter().enumerate().flat_map(|(n, b)| row[..n].iter().map(move |a| [*a, *b]));
    let shared = pairs.map(|pair| {
        let [one, other] = pair.map(|i| span(&axis, &bends[i]));
        (pair, [one[0].max(other[0]), one[1].min(other[1])])
    });
    let (pair, stretch) = shared
        .filter(|(_, [from, to])| to - from > JOIN)
        .max_by(|(_, a), (_, b)| (a[1] - a[0]).total_cmp(&(b[1] - b[0])))?;
    let ends = stretch.map(|mm| axis.point(mm));
    let [from, to] = ends.map(place);
    let [one, other] = pair.map(|i| i + 1);
    let words = format!("bend lines {one} and {other} overlap from {from} to {to}");
    Some((words, ends.to_vec()))
}

/// The gaps between the lines of a row in words, and the ends of the widest.
fn gaps(region: &Region, bends: &[Edge], row: &[usize]) -> Option<(String, Vec<Point>)> {
    let first = bends[row[0]];
    let axis = Line { at: first.from, along: first.direction_at_start() };
    let mut spans: Vec<[f64; 2]> = row.iter().map(|i| span(&axis, &bends[*i])).collect();
    spans.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let (mut count, mut widest, mut end) = (0, [0.0; 2], spans[0][1]);
    for [from, to] in spans {
        let gap = [end, from];
        let is_metal =
            [end, (end + from) / 2.0, from].into_iter().any(|mm| is_inside(region, axis.point(mm)));
        if from - end > SHORT && is_metal {
            count += 1;
            widest = if from - end > widest[1] - widest[0] { gap } else { widest };
        }
        end = end.max(to);
    }
    let ends = widest.map(|mm| axis.point(mm));
    let [from, to] = ends.map(place);
    let long = num::text(widest[1] - widest[0], 2);
    let lines = match row {
        [a, b] => format!("bend lines {} and {}", a + 1, b + 1),
        _ => format!("bend line {} and {} more in line with it", row[0] + 1, row.len() - 1),
    };
    let size = match count {
        0 => return None,
        1 => format!("a gap of {long} mm"),
        _ => format!("{count} gaps, the widest {long} mm"),
    };
    let words =
        format!("{lines} leave {size} from {from} to {to}; the plate is bent there as well");
    Some((words, ends.to_vec()))
}

/// The end of a row inside the plate in words, and where it is.
fn open_end(region: &Region, bends: &[Edge], row: &[usize]) -> Option<(String, Vec<Point>)> {
    let first = bends[row[0]];
    let axis = Line { at: first.from, along: first.direction_at_start() };
    let along = |p: Point| axis.seen(p).0;
    // Bends may meet in a corner.
    let meets = |p: Point| {
        let others = bends.iter().enumerate().filter(|(i, _)| !row.contains(i));
        others.into_iter().any(|(_, other)| (other.nearest(p) - p).hypot() <= SHORT)
    };
    let ends = || row.iter().flat_map(|i| [(*i, bends[*i].from), (*i, bends[*i].to)]);
    let by = |a: &(usize, Point), b: &(usize, Point)| along(a.1).total_cmp(&along(b.1));
    let outermost = [ends().min_by(by), ends().max_by(by)];
    // An opening does not end a bend: the metal behind it is bent as well.
    let outer = region.outer();
    let is_within = |p: Point| outer.contains(p) && outer.distance(p) > SHORT;
    let is_open = |(_, p): &(usize, Point)| is_within(*p) && !meets(*p);
    let (i, end) = outermost.into_iter().flatten().find(is_open)?;
    let long = num::text(bends[i].length(), 2);
    let words = format!(
        "bend line {}, {long} mm long, ends inside the plate at {}; it is bent from edge to edge",
        i + 1,
        place(end)
    );
    Some((words, vec![end]))
}

/// Whether a point is in the metal, away from its edges.
fn is_inside(region: &Region, p: Point) -> bool {
    region.contains(p) && region.outlines().all(|outline| outline.distance(p) > SHORT)
}

fn place(p: Point) -> String {
    format!("({}, {})", num::text(p.x, 3), num::text(p.y, 3))
}
