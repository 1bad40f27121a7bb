//! Etching that a job asks for on all flats: the names of parts, ticks at the ends of bend lines.

use crate::diag::About;
use crate::diag::Finding;
use crate::diag::Span;
use crate::flat::Flat;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::disc;
use crate::geom::edges_distance;
use crate::geom::lettering;
use crate::geom::rectangle;
use crate::job::Job;
use crate::job::Line;
use crate::num::Angle;
use crate::part::Hole;
use crate::part::Mark;
use crate::part::Marked;
use crate::part::Part;
use crate::part::Ticks;
use crate::recipe::Recipe;
use crate::solve::solved::Solved;

/// Heights of letters that are tried, mm: the largest that has room. Our choice.
const HEIGHTS: [f64; 4] = [6.0, 5.0, 4.0, 3.0];

/// Room kept round the name, mm. Our choice.
const CLEAR: f64 = 2.0;

/// Places that are tried along either side of the base face. Our choice.
const TRIED: u32 = 24;

/// A mark with the name of the part on its base face, away from its edges, holes, bends and
/// other marks; `None` if there is no room.
pub(super) fn name_mark(name: &str, part: &Part, flat: &Flat, span: Span) -> Option<Mark> {
    let face = part.faces.first()?;
    let home = flat.places.first()?;
    let edge = face.blank.outer().moved(home);
    let beads = face.beads.iter().flat_map(|bead| bead.edges()).map(|edge| edge.moved(home));
    let lip = |hole: &Hole| {
        let at = home.apply(hole.outline.bounds().centre());
        disc(at, hole.flare?.outside / 2.0).ok()
    };
    let lips: Vec<Outline> = face.holes.iter().filter_map(lip).collect();
    let marks = flat.marks.iter().flat_map(|mark| mark.strokes.iter().flatten().copied());
    let tangents = flat.bends.iter().flat_map(|bend| bend.tangents);
    let outlines = flat.region.outlines().flat_map(Outline::edges).chain(edge.edges());
    let kept_off: Vec<Edge> = outlines
        .chain(tangents)
        .chain(marks)
        .chain(beads)
        .chain(lips.iter().flat_map(Outline::edges))
        .collect();
    let bounds = edge.bounds();
    for height in HEIGHTS {
        let strokes = lettering(name, height).ok()?;
        let points = strokes.iter().flatten().flat_map(|edge| [edge.from.x.abs(), edge.to.x.abs()]);
        let half = points.fold(0.0, f64::max);
        for rotation in [Angle::ZERO, Angle::QUARTER] {
            let size = [2.0 * (half + CLEAR), height + 2.0 * CLEAR];
            let [wide, high] = if rotation == Angle::ZERO { size } else { [size[1], size[0]] };
            if wide > bounds.width() || high > bounds.height() {
                continue;
            }
            let room = |at: &Point| {
                let frame = rectangle(*at, wide, high, 0.0).ok()?;
                let free = edge.contains(*at)
                    && flat.region.contains(*at)
                    && !kept_off.iter().any(|edge| frame.contains(edge.from));
                let sides: Vec<Edge> = frame.edges().collect();
                let distance = edges_distance(kept_off.iter().copied(), &sides);
                (free && distance > 0.0).then_some(distance)
            };
            let step = |from: f64, length: f64, i: u32| {
                from + length * (f64::from(i) + 0.5) / f64::from(TRIED)
            };
            let all = (0..TRIED * TRIED).map(|i| {
                Point::new(
                    step(bounds.min.x, bounds.width(), i % TRIED),
                    step(bounds.min.y, bounds.height(), i / TRIED),
                )
            });
            let best = all
                .filter_map(|at| Some((room(&at)?, at)))
                .reduce(|a, b| if b.0 > a.0 { b } else { a });
            if let Some((_, at)) = best {
                let place = Place::rotated(rotation, at).then(&home.back());
                let said = Some((name.to_owned(), height));
                return Some(Mark { what: Marked::Strokes(strokes), said, place, span });
            }
        }
    }
    None
}

/// The caution for a part whose name was to be etched and has no room.
pub(super) fn without_name(
    job: &Job,
    line: &Line,
    recipe: &Recipe,
    solved: &Solved,
) -> Option<Finding> {
    let etched = recipe.marks_name() || solved.flat.marks.iter().any(|mark| mark.span == line.here);
    if !job.etch_names || etched {
        return None;
    }
    let headline =
        format!("the name of `{}` is not etched: its face has no room for it", solved.name);
    let finding = Finding::caution("mark", headline).about(About::part(&solved.name));
    Some(finding.at(line.here, "").help("give it a shorter name, or tag its pieces"))
}

/// A part with ticks at the ends of its bend lines, if the job asks for them: if neither it nor the
/// recipe says, if there are several bends and the process marks as it cuts.
pub(super) fn ticked(job: &Job, mut part: Part) -> Part {
    let marks = part.bends.len() > 1 && job.process.text("marking") == Some("yes");
    for bend in &mut part.bends {
        let wanted = match bend.ticks {
            Ticks::Named | Ticks::Fitting => false,
            Ticks::Never => job.bend_ticks == Some(true),
            Ticks::Unsaid => job.bend_ticks.unwrap_or(marks),
        };
        if wanted {
            bend.ticks = Ticks::Fitting;
        }
    }
    part
}
