//! The plates of one set together, as they are welded or bolted: numbered, with a list.

mod overall;
mod seams;
mod sheet;
mod stand;

use crate::drawings::folded;
use crate::drawings::folded::tubes;
use crate::geom::Point;
use crate::geom::Space;
use crate::job::Job;
use crate::paper;
use crate::paper::Picture;
use crate::paper::figure_text;
use crate::solid;
use crate::solid::Solid;
use crate::solve;
use crate::solve::Solved;
use crate::view;
use crate::view::Sight;
use crate::view::Skin;
use crate::view::Spots;
use seams::Seam;
use stand::Piece;

/// A set of several plates as drawn.
pub(super) struct Assembly<'a> {
    /// Its parts: the first has the item number 1.
    pub(super) set: Vec<&'a Solved>,
    /// Its pieces, each in its position.
    stands: Vec<Piece<'a>>,
    /// From where it is seen, with all lines and item numbers.
    drawn: paper::Solid,
    /// Its seams, with the places of each that are seen.
    seams: Vec<(Seam<'a>, Vec<Point>)>,
}

impl<'a> Assembly<'a> {
    /// The set that a part belongs to; `None` if the set is one plate, or no solid can be made of
    /// one.
    pub(super) fn of(job: &Job, all: &'a [Solved], solved: &Solved) -> Option<Self> {
        let set = solve::set(all, solved);
        let stands = stand::pieces(&set);
        if stands.len() < 2 {
            return None;
        }
        let make = |piece: &Piece| {
            let of = piece.solved;
            let body = solid::solid(&of.part, &of.flat, &of.folded).ok()?;
            Some(view::placed(&body, &piece.at))
        };
        let bodies: Vec<Solid> = stands.iter().map(make).collect::<Option<_>>()?;
        let skin = Skin::of(&bodies);
        let spots = spots(&stands);
        let camera = view::best(&skin, &spots);
        let sight = Sight::new(&skin, camera);
        let thickness = stands.iter().map(|p| p.solved.part.thickness);
        let thickness = thickness.fold(f64::INFINITY, f64::min);
        let bends: Vec<_> = stands.iter().flat_map(Piece::bends).collect();
        let mut drawn = folded::drawn(view::see(&sight, &bends, thickness));
        for piece in stands.iter().filter(|piece| piece.carries_tubes) {
            let (lines, labels) =
                tubes::phantoms(job, piece.solved, &piece.at, bodies.clone(), camera);
            drawn.lines.extend(lines);
            drawn.labels.extend(labels);
        }
        drawn.numbers = numbers(&set, &stands, &sight);
        let seams = seams::seams(&set, &stands, &sight);
        Some(Self { set, stands, drawn, seams })
    }

    /// The picture within a width and a height in mm, with the list of its parts below.
    pub(super) fn with_list(&self, [width, height]: [f64; 2]) -> Picture {
        let list = list(&self.set, &self.stands);
        let low = Picture::below(list.len());
        self.drawn.picture([width, height - low]).with_lines_below(&list)
    }

    /// The picture with the letters of the seams.
    fn lettered(&self, room: [f64; 2]) -> Picture {
        let mut drawn = self.drawn.clone();
        let seen = self.seams.iter().filter(|(_, places)| !places.is_empty());
        drawn.labels.extend(seen.map(|(seam, places)| (seam.label.clone(), places.clone())));
        drawn.picture(room)
    }

    /// How large it is, and what is to be said of where its pieces stand.
    fn position_notes(&self, job: &Job) -> Vec<String> {
        let text = |mm: f64| figure_text(job.units, mm);
        let overall = overall::size(&self.stands).map(|[x, y, high]| {
            format!("Overall {} × {}, {} high.", text(x.max(y)), text(x.min(y)), text(high))
        });
        let mut lines: Vec<String> = overall.into_iter().collect();
        lines.extend(shown(&self.set, &self.stands));
        lines.extend(unplaced_note(&self.set, &self.stands));
        lines
    }
}

/// Places on the faces of all pieces: as many as may be seen.
fn spots(stands: &[Piece]) -> Spots {
    let faces = stands.iter().flat_map(Piece::faces).collect();
    Spots { faces, holes: Vec::new() }
}

/// The number of each part, with the places of its pieces that are seen.
fn numbers(set: &[&Solved], stands: &[Piece], sight: &Sight) -> Vec<(String, Vec<Point>)> {
    let mut numbers = Vec::new();
    for (i, part) in set.iter().enumerate() {
        let own = stands.iter().filter(|piece| piece.solved.name == part.name);
        let places = own.flat_map(Piece::faces).flat_map(|(normal, places)| {
            let side = usize::from(sight.camera.faces(normal) < 0.0);
            places.into_iter().map(move |place: [Space; 2]| place[side])
        });
        let seen = places.filter(|p| !sight.hides(*p)).map(|p| sight.camera.paper(p));
        numbers.push(((i + 1).to_string(), seen.collect()));
    }
    numbers
}

/// How many pieces of a part are in a picture, where these are not all.
fn fewer(part: &Solved, stands: &[Piece]) -> Option<usize> {
    let shown = stands.iter().filter(|piece| piece.solved.name == part.name).count();
    (shown != part.part.copies as usize).then_some(shown)
}

/// A line for each part: number, name, and how many of it are in the set.
fn list(set: &[&Solved], stands: &[Piece]) -> Vec<String> {
    let line = |(i, part): (usize, &&Solved)| {
        let shown = fewer(part, stands).map(|shown| format!(", {shown} shown"));
        let count = part.part.copies;
        format!("{}  {}, {count} off{}", i + 1, part.name, shown.unwrap_or_default())
    };
    set.iter().enumerate().map(line).chain(unplaced_note(set, stands)).collect()
}

/// Of which items fewer are shown than there are.
fn shown(set: &[&Solved], stands: &[Piece]) -> Vec<String> {
    let line = |(i, part): (usize, &&Solved)| {
        let shown = fewer(part, stands)?;
        Some(format!("Item {}: {shown} of {} shown.", i + 1, part.part.copies))
    };
    set.iter().enumerate().filter_map(line).collect()
}

/// Items whose position is not given in the recipe, so that they are not drawn in place.
fn unplaced_note(set: &[&Solved], stands: &[Piece]) -> Option<String> {
    let stands_apart =
        |part: &Solved| stands.iter().any(|p| p.solved.name == part.name && !p.is_known);
    let numbered = set.iter().enumerate().filter(|(_, part)| stands_apart(part));
    let apart: Vec<String> = numbered.map(|(i, _)| (i + 1).to_string()).collect();
    (!apart.is_empty()).then(|| format!("Shown beside, not in place: {}.", apart.join(", ")))
}
