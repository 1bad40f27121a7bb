//! Tongues on the edge of a blank, and the data they share with slots.

use crate::diag::Finding;
use crate::diag::Span;
use crate::geom;
use crate::geom::Edge;
use crate::geom::OffsetError;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Vec2;
use crate::num::Angle;
use crate::part::edges::only_edge;
use crate::part::edges::surviving;
use crate::part::face::NamedEdge;
use crate::part::values::Values;
use crate::recipe::Expr;
use crate::recipe::Spread;
use crate::recipe::Tongue;

/// Maximum number of tongues on one edge. Our choice.
pub(super) const MAX: u32 = 100;

/// Default relief in kerfs: half as much again as the round a cutter leaves. Our choice.
const RELIEF: f64 = 0.75;

/// Minimum default relief, mm: smaller ones close with the first burr. Our choice.
const MIN_RELIEF: f64 = 0.3;

/// The blank with the tongues of a step; `None` when something was reported.
pub(super) fn with_tongues(
    step: &Tongue,
    span: Span,
    blank: &Region,
    named: &[NamedEdge],
    values: &Values,
    thickness: f64,
) -> Option<(Region, Vec<Outline>)> {
    let stop = |words: String| Finding::stop("tongue", words).at(span, "");
    let refuse = |words: String, help: String| values.findings.add(stop(words).help(help));
    let left = |named: &NamedEdge| surviving(named, blank);
    let (there, arcs): (Vec<_>, Vec<_>) =
        named.iter().flat_map(left).partition(|left| left.edge.is_line());
    let at = match &step.spread {
        Spread::At(at) => Some(values.point(at)?),
        _ => None,
    };
    let found = match at {
        Some(at) => edge_at(&there, &arcs, &values.edge_name(&step.edge), at, values),
        None => only_edge(&there, &arcs, &values.edge_name(&step.edge)),
    };
    let (edge, drawn) = match found {
        Ok(edge) => (there[edge].edge, there[edge].centre),
        Err((headline, help)) => {
            refuse(headline, help);
            return None;
        }
    };
    let centres = centres(step, (&edge, drawn), at, values)?;
    let tongue = geom::Tongue {
        width: values.positive("tongue", "width", &step.width)?,
        depth: match &step.depth {
            Some(depth) => values.positive("tongue", "depth", depth)?,
            None => thickness,
        },
        relief: relief(step.relief.as_ref(), values)?,
    };
    let made = geom::tongues(blank.outer(), &edge, &centres, tongue);
    let made = made.map_err(|e| e.to_string()).and_then(|outline| {
        blank.reshaped(|_| Ok::<_, OffsetError>(outline)).map_err(|e| e.to_string())
    });
    match made {
        Ok(region) => Some((region, roots(&edge, &centres, &tongue))),
        Err(words) => {
            let help = "make the tongues narrower or fewer, or the edge longer";
            values.findings.add(stop(words).note(positions(&edge, &centres, values)).help(help));
            None
        }
    }
}

/// The positions of the centres of tongues along the remaining edge, whose midpoint as drawn is
/// known, mm; `None` when something was reported.
fn centres(
    step: &Tongue,
    (edge, drawn): (&Edge, Point),
    at: Option<Point>,
    values: &Values,
) -> Option<Vec<f64>> {
    let along = |p: Point| (p - edge.from).dot(edge.direction_at_start());
    let count = step.count.as_ref().map_or(Some(1), |count| values.count(count, MAX))?;
    let (n, length) = (f64::from(count), edge.length());
    let (span, centre) = match &step.spread {
        // Slots elsewhere match a span, and a single tongue: they are counted from the edge as
        // drawn.
        Spread::Span(span) => (values.span("tongue", count, span)?, along(drawn)),
        Spread::Even if count == 1 => (0.0, along(drawn)),
        Spread::Even => (length * (n - 1.0) / n, length / 2.0),
        Spread::Ends(_) if count == 1 => (0.0, length / 2.0),
        Spread::Ends(ends) => {
            let ends = values.ends("tongue", ends, (&values.edge_name(&step.edge), length))?;
            (length - 2.0 * ends, length / 2.0)
        }
        Spread::At(_) => (0.0, along(at?)),
    };
    Some(spread(count, span).map(|x| centre + x).collect())
}

/// The index of that piece of an edge which a point is beside; the words and the remedy when there
/// is none.
fn edge_at(
    edges: &[NamedEdge],
    arcs: &[NamedEdge],
    name: &str,
    at: Point,
    values: &Values,
) -> Result<usize, (String, String)> {
    let along = |edge: &Edge| (at - edge.from).dot(edge.direction_at_start());
    let is_beside = |of: &&NamedEdge| (0.0..=of.edge.length()).contains(&along(&of.edge));
    let mut own = edges.iter().enumerate().filter(|(_, of)| of.name == name);
    if own.clone().next().is_none() {
        return only_edge(edges, arcs, name);
    }
    if let Some((i, _)) = own.clone().find(|(_, of)| is_beside(of)) {
        return Ok(i);
    }
    let past =
        own.clone().map(|(_, of)| (-along(&of.edge)).max(along(&of.edge) - of.edge.length()));
    let past = values.params.units().length(past.fold(f64::INFINITY, f64::min));
    let is_whole = own.by_ref().count() == 1;
    let what = if is_whole { "the end" } else { "what is left" };
    Err((
        format!("the tongue is {past} past {what} of edge `{name}`"),
        "set `at` to a point of the face beside the edge, where there is still metal".into(),
    ))
}

/// The positions of tongues on the remaining edge, in words.
fn positions(edge: &Edge, centres: &[f64], values: &Values) -> String {
    let shown = |mm: f64| values.params.units().length(mm);
    let is = format!("the finished edge is {} long", shown(edge.length()));
    let (Some(first), Some(last)) = (centres.first(), centres.last()) else { return is };
    let ends = [*first, edge.length() - last].map(shown);
    let apart = centres.windows(2).next().map(|pair| shown(pair[1] - pair[0]));
    let apart = apart.map_or_else(String::new, |apart| format!(", {apart} apart"));
    format!("{is}; the tongues are {} and {} from its ends{apart}", ends[0], ends[1])
}

/// The areas where tongues are attached, without their reliefs.
fn roots(edge: &Edge, centres: &[f64], tongue: &geom::Tongue) -> Vec<Outline> {
    let along = edge.direction_at_start();
    let out = Vec2::new(along.y, -along.x);
    let place = |x: f64| {
        let root = edge.from + along * x;
        Place::rotated(Angle::of(along.x, along.y), root + out * (tongue.depth / 2.0))
    };
    let whole = geom::rectangle(Point::ZERO, tongue.width, tongue.depth, 0.0).into_iter();
    whole.flat_map(|one| centres.iter().map(move |x| one.moved(&place(*x)))).collect()
}

/// The positions of the centres of tongues and slots from the centre of them all, mm.
pub(super) fn spread(count: u32, span: f64) -> impl Iterator<Item = f64> {
    let share = move |i: u32| {
        if count == 1 { 0.0 } else { f64::from(i) / f64::from(count - 1) - 0.5 }
    };
    (0..count).map(move |i| share(i) * span)
}

/// The default relief of a slot's corners: so small that those on its narrow side leave a fifth of
/// it between them, as far as the cut allows.
pub(super) fn in_slot(relief: f64, narrow: f64, values: &Values) -> f64 {
    let kerf = values.known("kerf").unwrap_or(0.0);
    relief.min((0.4 * narrow).max(kerf / 2.0))
}

/// The radius that frees a corner, mm; `None` when it is less than the cutter leaves.
pub(super) fn relief(given: Option<&Expr>, values: &Values) -> Option<f64> {
    let kerf = values.known("kerf").unwrap_or(0.0);
    let Some(expr) = given else { return Some((RELIEF * kerf).max(MIN_RELIEF)) };
    let relief = values.length(expr)?;
    if relief >= kerf / 2.0 - geom::NEAR {
        return Some(relief);
    }
    let shown = |mm: f64| values.params.units().length(mm);
    let headline = format!(
        "a relief of {} is less than the round of {} that the cut leaves",
        shown(relief),
        shown(kerf / 2.0)
    );
    values.findings.add(
        Finding::stop("tongue", headline)
            .at(expr.span, "")
            .note(format!("half of the kerf, {}", shown(kerf)))
            .help("remove `relief`, or write `relief = \"0.75 * kerf\"`"),
    );
    None
}
