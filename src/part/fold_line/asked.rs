//! A fold line as the recipe gives it, and its place on its face.

use crate::bend;
use crate::bend::Form;
use crate::diag::Finding;
use crate::diag::Span;
use crate::geom::Edge;
use crate::geom::Line;
use crate::geom::NEAR;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::geom::heading;
use crate::geom::rotated;
use crate::part::edges::only_edge;
use crate::part::face::Face;
use crate::part::values::Values;
use crate::recipe;
use crate::recipe::Inset;
use crate::recipe::LinePlace;

/// A fold line as its recipe places it.
pub(crate) struct FoldLine<'a> {
    /// Its name.
    pub(crate) name: &'a str,
    /// Its entry.
    pub(crate) bend: &'a recipe::Bend,
    /// How it is bent, and its bend allowance.
    pub(crate) made: bend::Bend,
    /// Whether its face is drawn in the mirror.
    pub(crate) mirrored: bool,
}

/// The line of a fold line, the moving side on its left, and its required length, mm.
pub(super) fn placed(face: &Face, asked: &FoldLine, values: &Values) -> Option<(Line, [f64; 2])> {
    let (line, [from, to]) = drawn(face, asked, values)?;
    let Some(moves) = &asked.bend.line.as_ref()?.moves else { return Some((line, [from, to])) };
    let over = Place { mirrored: asked.mirrored, ..Place::default() };
    let point = over.apply(values.point(moves)?);
    let within = Span { end: moves[1].span.end, ..moves[0].span };
    let (outline, units) = (face.blank.outer(), values.params.units());
    let off = if outline.contains(point) { 0.0 } else { outline.distance(point) };
    if off > NEAR && !is_corner(outline, point) {
        let headline = format!(
            "the point that `moves` is {} off the metal of face `{}`",
            units.length(off),
            face.name
        );
        let help = "name a point on the part that moves: on its edge, or within it";
        return stop(values, within, headline, help);
    }
    let left = line.seen(point).1;
    let half = asked.made.allowance() / 2.0;
    if left.abs() <= half {
        let headline =
            format!("the point that `moves` is in the bend of fold line `{}`", asked.name);
        let help = format!("name a point more than {} from the line", units.length(half));
        return stop(values, within, headline, &help);
    }
    Some(match left > 0.0 {
        true => (line, [from, to]),
        false => (Line { at: line.point(to), along: -line.along }, [0.0, to - from]),
    })
}

/// The original corner of a rounding or chamfer is no farther from either end of it than this many
/// of its lengths: a rounding of 22° or more, an even chamfer of 29° or more. Our choice: the sides
/// of a tapering plate meet far beyond its end.
const CORNER: f64 = 2.0;

/// Whether a point is a corner of an outline before its rounding or chamfer: the edges beside that
/// meet there.
fn is_corner(outline: &Outline, point: Point) -> bool {
    let edges: Vec<Edge> = outline.edges().collect();
    let n = edges.len();
    let near = |edge: &Edge| {
        let far = [edge.from, edge.to].map(|end| (point - end).hypot());
        far[0].max(far[1]) <= CORNER * edge.length()
    };
    let meets =
        |edge: &Edge| (edge.direction_at_start().cross(point - edge.from)).abs() < 10.0 * NEAR;
    let cut = |i: usize| {
        let [before, after] = [&edges[(i + n - 1) % n], &edges[(i + 1) % n]];
        near(&edges[i]) && meets(after) && meets(&before.reversed())
    };
    (0..n).any(cut)
}

/// The line as drawn, and its required length.
fn drawn(face: &Face, asked: &FoldLine, values: &Values) -> Option<(Line, [f64; 2])> {
    let place = &asked.bend.line.as_ref()?.place;
    let over = Place { mirrored: asked.mirrored, ..Place::default() };
    // A mirrored face is turned over already; the left of a line is now its right.
    let turned = |from: Point, to: Point| {
        let (from, to) = (over.apply(from), over.apply(to));
        if asked.mirrored { (to, from) } else { (from, to) }
    };
    match place {
        LinePlace::Points(from, to) => {
            let (from, to) = (values.point(from), values.point(to));
            let (from, to) = turned(from?, to?);
            let long = (to - from).hypot();
            if long < NEAR {
                let headline = format!("the two points of fold line `{}` coincide", asked.name);
                return refuse(asked, values, headline, "move one of them along the line");
            }
            Some((Line { at: from, along: (to - from) / long }, [0.0, long]))
        }
        LinePlace::Direction(at, direction) => {
            let (at, direction) = (values.point(at), values.angle(Some(direction)));
            let (at, direction) = (at?, direction?);
            let (from, to) = turned(at, at + heading(direction));
            Some((Line { at: over.apply(at), along: to - from }, [0.0, 0.0]))
        }
        LinePlace::Drawn(number) => bend_line(face, asked, *number, values),
        LinePlace::Edge { edge, inset, rotate } => {
            if matches!(inset, Inset::Outside(_)) && asked.made.form() != Form::Bent {
                return refuse(
                    asked,
                    values,
                    format!("fold line `{}` has no mould line to measure `outside` to", asked.name),
                    "place it with `inset`, which is to the centre of the bend's strip in the flat",
                );
            }
            let inset = match inset {
                Inset::Flat(inset) => values.length(inset),
                Inset::Outside(long) => values
                    .length(long)
                    .map(|long| long - asked.made.setback() + asked.made.allowance() / 2.0),
            };
            let rotate = values.angle(rotate.as_ref());
            let named = match only_edge(&face.edges, &face.arcs, edge) {
                Ok(index) => face.edges[index].edge,
                Err((words, help)) => {
                    return refuse(asked, values, format!("face `{}`: {words}", face.name), &help);
                }
            };
            let along = named.direction_at_start();
            let at = named.point_at(0.5) + Vec2::new(-along.y, along.x) * inset?;
            let degrees = rotate?.degrees() * if asked.mirrored { -1.0 } else { 1.0 };
            Some((Line { at, along: rotated(-along, degrees) }, [0.0, 0.0]))
        }
    }
}

/// A bend line of the outline files of the face, by its number.
fn bend_line(
    face: &Face,
    asked: &FoldLine,
    number: usize,
    values: &Values,
) -> Option<(Line, [f64; 2])> {
    let Some(line) = face.bend_lines.get(number - 1) else {
        let headline = match face.bend_lines.len() {
            0 => format!("no outline file of face `{}` has a bend line", face.name),
            count => format!("bend line {number} is not there: there are {count}"),
        };
        let help = "say in the step which layer has them: `layers = { BEND = \"bend\" }`";
        return refuse(asked, values, headline, help);
    };
    let line = if asked.mirrored { line.reversed() } else { *line };
    Some((Line { at: line.from, along: line.direction_at_start() }, [0.0, line.length()]))
}

/// Reports a fault of a fold line, at the line.
pub(super) fn refuse<T>(
    asked: &FoldLine,
    values: &Values,
    headline: String,
    help: &str,
) -> Option<T> {
    let span = asked.bend.line.as_ref().map_or(asked.bend.span, |line| line.span);
    stop(values, span, headline, help)
}

fn stop<T>(values: &Values, span: Span, headline: String, help: &str) -> Option<T> {
    values.findings.add(Finding::stop("bend", headline).at(span, "").help(help));
    None
}
