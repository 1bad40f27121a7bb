//! Fold lines on their face: the metal of each bend, between the faces beside it.

use crate::geom::Cut;
use crate::geom::Edge;
use crate::geom::Line;
use crate::geom::NEAR;
use crate::geom::Outline;
use crate::geom::Piece;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Vertex;
use crate::geom::area_distance;
use crate::geom::split;
use crate::num::Angle;
use crate::part::face::Face;
use crate::part::fold_line::asked::FoldLine;
use crate::part::fold_line::asked::placed;
use crate::part::fold_line::asked::refuse;
use crate::part::values::Values;
use crate::part::zone::Zone;
use crate::recipe::Inset;
use crate::recipe::LinePlace;

/// The outline may cross a bend at this slant, no less: from there it runs along it, and the
/// metal beside it would tear. Our choice.
const SLANT: Angle = Angle::from_degrees(15.0);

/// A fold line in the drawing of its face.
pub(super) struct Laid<'a> {
    pub(super) asked: &'a FoldLine<'a>,
    /// Its centre line; the side on the left is carried.
    pub(super) line: Line,
    /// The metal on it.
    stretch: [f64; 2],
    /// Where the bend begins, on the right, and where it ends.
    pub(super) cuts: [Cut; 2],
    /// All of it between them.
    outline: Outline,
}

impl Laid<'_> {
    /// The metal of the bend between its two cuts.
    pub(super) fn zone(&self, openings: Vec<Outline>) -> Zone {
        let [near, far] = self.cuts.map(|cut| cut.stretch.map(|mm| cut.line.point(mm)));
        let [from, to] = self.stretch.map(|mm| self.line.point(mm));
        // The edge of the bend runs against the line.
        let lines = [Edge::line(near[1], near[0]), Edge::line(far[1], far[0])];
        Zone::within(&self.outline, lines, Edge::line(to, from), openings)
    }
}

/// A fold line on its face; `None` when something was reported.
pub(super) fn lay<'a>(face: &Face, asked: &'a FoldLine<'a>, values: &Values) -> Option<Laid<'a>> {
    let (line, within) = placed(face, asked, values)?;
    let stretch = stretch(face, asked, &line, within, values)?;
    let cuts = cuts(face, asked, &line, stretch, values)?;
    let between = |p: &Piece| p.beside.contains(&(0, true)) && p.beside.contains(&(1, false));
    let pieces = split(face.blank.outer(), &cuts).ok();
    let zone = pieces.and_then(|pieces| pieces.into_iter().find(between));
    let Some(zone) = zone else {
        let headline =
            format!("the outline of face `{}` turns back inside bend `{}`", face.name, asked.name);
        return refuse(asked, values, headline, "move the line away from the corner");
    };
    let laid = Laid { asked, line, stretch, cuts, outline: zone.outline };
    tears(face, &laid, values)?;
    tongue(face, &laid, values)?;
    Some(laid)
}

/// From where to where a line lies in the metal.
fn stretch(
    face: &Face,
    asked: &FoldLine,
    line: &Line,
    within: [f64; 2],
    values: &Values,
) -> Option<[f64; 2]> {
    let touches = |[a, b]: &[f64; 2]| *a < within[1] + NEAR && *b > within[0] - NEAR;
    let all = line.stretches(face.blank.outer()).into_iter();
    let name = asked.name;
    match all.filter(touches).collect::<Vec<_>>().as_slice() {
        [one] => Some(*one),
        [] => {
            let headline = format!("fold line `{name}` does not cross face `{}`", face.name);
            refuse(asked, values, headline, &onto(face, asked, line, values))
        }
        more => {
            let headline = format!(
                "fold line `{name}` crosses face `{}` in {} stretches, with a notch between them",
                face.name,
                more.len()
            );
            refuse(
                asked,
                values,
                headline,
                "place both points in one of them, and give each of the others its own line",
            )
        }
    }
}

/// What to do about a line that misses the metal of its face.
fn onto(face: &Face, asked: &FoldLine, line: &Line, values: &Values) -> String {
    let place = asked.bend.line.as_ref().map(|of| &of.place);
    let Some(LinePlace::Edge { edge, inset, .. }) = place else {
        return "move its points onto the metal of the face".into();
    };
    // In the frame of the line the edge lies above it.
    let frame = Place::rotated(Angle::of(line.along.x, line.along.y), line.at);
    let metal = face.blank.outer().moved(&frame.back()).bounds();
    let key = match inset {
        Inset::Flat(_) => "inset",
        Inset::Outside(_) => "outside",
    };
    let shown = |mm: f64| values.params.units().length(mm);
    match metal.min.y > 0.0 {
        true => format!("the metal ends {} before it: make `{key}` smaller", shown(metal.min.y)),
        false => {
            format!("it is {} outside edge `{edge}`: make `{key}` larger", shown(-metal.max.y))
        }
    }
}

/// Where the bend begins and where it ends.
fn cuts(
    face: &Face,
    asked: &FoldLine,
    line: &Line,
    stretch: [f64; 2],
    values: &Values,
) -> Option<[Cut; 2]> {
    let wide = asked.made.allowance();
    let cut = |left: f64| {
        let line = line.shifted(left);
        let beside = |[a, b]: &[f64; 2]| *a < stretch[1] && *b > stretch[0];
        let all = line.stretches(face.blank.outer()).into_iter();
        match all.filter(beside).collect::<Vec<_>>().as_slice() {
            [stretch] => Ok(Cut { line, stretch: *stretch }),
            none => Err(none.is_empty()),
        }
    };
    let shown = |mm: f64| values.params.units().length(mm);
    let name = asked.name;
    match (cut(-wide / 2.0), cut(wide / 2.0)) {
        (Ok(near), Ok(far)) => Some([near, far]),
        (Err(true), _) | (_, Err(true)) => {
            let headline = format!(
                "fold line `{name}` leaves no metal on one side: its bend is {} wide, half of it on \
                 either side",
                shown(wide)
            );
            refuse(asked, values, headline, "move the line away from the edge")
        }
        _ => {
            let headline = format!("a notch of face `{}` ends inside bend `{name}`", face.name);
            let help = format!(
                "end the notch {} from the line or more, or run it through the bend and fold each \
                 side along a line of its own",
                shown(wide / 2.0)
            );
            refuse(asked, values, headline, &help)
        }
    }
}

/// Reports an end of a bend along which the outline runs: the metal beside it would tear.
fn tears(face: &Face, laid: &Laid, values: &Values) -> Option<()> {
    let zone = laid.zone(Vec::new());
    // The end of the run at the bend: the other may be far along the part.
    let centre = laid.line.point((laid.stretch[0] + laid.stretch[1]) / 2.0);
    let nearer = |two: &[Vertex]| {
        let ends = [two[0].at, two[1].at];
        if (ends[0] - centre).hypot() <= (ends[1] - centre).hypot() { ends[0] } else { ends[1] }
    };
    let flat = |side: &Vec<Vertex>| {
        side.windows(2).find_map(|two| {
            let way = two[1].at - two[0].at;
            let across = laid.line.along.cross(way).abs();
            let runs = way.hypot() > 10.0 * NEAR && across < SLANT.sin() * way.hypot();
            let middle = two[0].at.midpoint(two[1].at);
            // Towards a corner that sticks out the metal runs out to a tip and does not tear.
            (runs && !sticks_out(face.blank.outer(), middle)).then(|| nearer(two))
        })
    };
    let Some(at) = zone.sides.iter().find_map(flat) else { return Some(()) };
    let shown = |mm: f64| values.params.units().length(mm);
    let headline = format!(
        "fold line `{}` ends inside the metal of face `{}`: near {}, {} the outline runs along the \
         bend, which would tear it",
        laid.asked.name,
        face.name,
        shown(at.x),
        shown(at.y)
    );
    let half = shown(laid.asked.made.allowance() / 2.0);
    refuse(
        laid.asked,
        values,
        headline,
        &format!(
            "move the line {half} beyond that edge, or cut a relief there, {half} or more to either \
             side of the line"
        ),
    )
}

/// Whether both corners of an outline beside a point of it stick out.
fn sticks_out(outline: &Outline, at: Point) -> bool {
    let edges: Vec<Edge> = outline.edges().collect();
    let off = |i: &usize| (edges[*i].nearest(at) - at).hypot();
    let Some(here) = (0..edges.len()).min_by(|a, b| off(a).total_cmp(&off(b))) else {
        return false;
    };
    let n = edges.len();
    let turns_left = |before: &Edge, after: &Edge| {
        let back = before.reversed().direction_at_start();
        after.direction_at_start().cross(back) > -STRAIGHT
    };
    let [before, after] = [(here + n - 1) % n, (here + 1) % n].map(|i| &edges[i]);
    edges[here].bulge >= 0.0 && turns_left(before, &edges[here]) && turns_left(&edges[here], after)
}

/// A corner with a smaller sine counts as straight: rounding.
const STRAIGHT: f64 = 1e-6;

/// Reports a bend through a tongue, which would then not fit its slot.
fn tongue(face: &Face, laid: &Laid, values: &Values) -> Option<()> {
    let bends = |tongue: &&Outline| area_distance(&laid.outline, tongue) < NEAR;
    let Some(tongue) = face.tongues.iter().find(bends) else { return Some(()) };
    let at = tongue.bounds().centre();
    let [x, y] = [at.x, at.y].map(|mm| values.params.units().length(mm));
    let headline = format!(
        "fold line `{}` goes through the tongue at {x}, {y} of face `{}`, which then fits no slot",
        laid.asked.name, face.name
    );
    let help =
        "move the line or the tongue; to bend a tab, draw it as added metal, not as a tongue";
    refuse(laid.asked, values, headline, help)
}

/// Reports fold lines that cross, or whose bends do.
pub(super) fn check_crossings(laid: &[Laid], values: &Values) -> Option<()> {
    for (i, one) in laid.iter().enumerate() {
        for other in &laid[..i] {
            if area_distance(&one.outline, &other.outline) > 0.0 {
                continue;
            }
            let names = format!("`{}` and `{}`", other.asked.name, one.asked.name);
            if in_line(one, other) {
                let headline = format!(
                    "fold lines {names} are one bend: they lie on one line, and both bend all of it"
                );
                let help = "keep one of the two bends; draw its line from edge to edge as one line";
                return refuse(one.asked, values, headline, help);
            }
            let headline = format!(
                "the bends of fold lines {names} {}",
                if crosses(one, other) { "cross" } else { "overlap" }
            );
            return refuse(
                one.asked,
                values,
                headline,
                "move them apart: each takes half its allowance on either side of its line",
            );
        }
    }
    Some(())
}

/// Whether two lines are one, on the same metal.
fn in_line(one: &Laid, other: &Laid) -> bool {
    let ends = other.stretch.map(|mm| one.line.seen(other.line.point(mm)));
    ends.iter().all(|(_, left)| left.abs() < NEAR)
}

/// Whether two lines cross in the metal.
fn crosses(one: &Laid, other: &Laid) -> bool {
    let sides = |line: &Line, of: &Laid| {
        let [a, b] = of.stretch.map(|mm| line.seen(of.line.point(mm)).1);
        a * b < 0.0
    };
    sides(&one.line, other) && sides(&other.line, one)
}

/// The face without the cut-outs that reach into a bend, and those, line by line.
pub(super) fn openings(
    face: &Face,
    laid: &[Laid],
    values: &Values,
) -> Option<(Region, Vec<Vec<Outline>>)> {
    let reaches = |hole: &Outline, one: &Laid| area_distance(hole, &one.outline) < NEAR;
    let in_bend = |hole: &Outline| laid.iter().any(|one| reaches(hole, one));
    let (blank, taken) = face.blank.clone().split_holes(in_bend);
    let mut openings = vec![Vec::new(); laid.len()];
    for hole in taken {
        let lines: Vec<usize> = (0..laid.len()).filter(|l| reaches(&hole, &laid[*l])).collect();
        if let [first, second, ..] = lines.as_slice() {
            let [a, b] = [first, second].map(|l| laid[*l].asked.name);
            let headline = format!(
                "a cut-out of face `{}` reaches from bend `{a}` to bend `{b}`: the face between \
                 them would be in two pieces",
                face.name
            );
            let help = "end it before one of the bends, or cut it to the edge and fold each side \
                        along lines of its own";
            return refuse(laid[*second].asked, values, headline, help);
        }
        openings[lines[0]].push(hole);
    }
    Some((blank, openings))
}
