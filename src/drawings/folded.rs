//! The formed part as a picture: from where most of it is seen, with the outside dimensions to
//! check on it, the letters of its holes, and the tubes it is welded to.

mod corner;
mod measured;
mod offset;
mod over;
mod spots;
mod table;
pub(super) mod tubes;

use crate::drawings::hole_dimensions;
use crate::drawings::printed;
use crate::geom::Edge;
use crate::geom::Frame;
use crate::geom::Point;
use crate::geom::Space;
use crate::job::Job;
use crate::paper;
use crate::paper::Item;
use crate::paper::Letter;
use crate::paper::Pen;
use crate::paper::Picture;
use crate::paper::SMALL;
use crate::paper::Solid;
use crate::paper::Words;
use crate::solid;
use crate::solve::Solved;
use crate::view;
use crate::view::LineKind;
use crate::view::Projection;
use crate::view::SeenLine;
use crate::view::Sight;
use crate::view::Skin;
pub(super) use spots::on_faces;
pub(super) use table::heading;
pub(super) use table::table;

/// Holes of one set beyond this are lettered at its first and its last only. Our choice.
const EACH: usize = 8;

/// A formed part in its view, at any picture size.
pub(crate) struct Formed {
    /// At true size; or why no solid can be made of it.
    seen: Result<Solid, String>,
    /// The text below it.
    said: Option<&'static str>,
}

impl Formed {
    /// Nothing for a part without bends.
    pub(crate) fn of(job: &Job, solved: &Solved) -> Option<Self> {
        if solved.part.bends.is_empty() {
            return None;
        }
        let body = solid::solid(&solved.part, &solved.flat, &solved.folded);
        let seen = body.map(|body| seen(job, solved, body)).map_err(|error| error.to_string());
        Some(Self { seen, said: table::extent_note(&solved.part) })
    }

    /// Its picture within a width and a height in mm. If no solid can be made of it, the text says
    /// so and why.
    pub(crate) fn picture(&self, [width, height]: [f64; 2]) -> Picture {
        let seen = match &self.seen {
            Ok(seen) => seen,
            Err(error) => {
                let text = format!("No picture: {error}.");
                let words = Words::plain(Point::new(0.0, 1.0), 2.5, text);
                let size = [words.length(), 5.0];
                return Picture { items: vec![Item::Words(words)], size, ..Picture::default() };
            }
        };
        let said = self.said.map_or_else(Vec::new, |said| paper::wrap(said, SMALL, width));
        let picture = seen.picture([width, height - Picture::below(said.len())]);
        picture.with_lines_below(&said)
    }

    /// The largest scale that its picture in a room could have.
    pub(super) fn scale_at_most(&self, [width, height]: [f64; 2]) -> f64 {
        let said = self.said.map_or(0, |said| paper::wrap(said, SMALL, width).len());
        let room = [width, height - Picture::below(said)];
        self.seen.as_ref().map_or(0.0, |seen| seen.scale_at_most(room))
    }
}

/// A formed part from the side that shows most of it, at true size.
fn seen(job: &Job, solved: &Solved, body: solid::Solid) -> Solid {
    let (part, folded) = (&solved.part, &*solved.folded);
    let bodies = [body];
    let skin = Skin::of(&bodies);
    let spots = spots::spots(solved);
    let camera = view::best(&skin, &spots);
    let sight = Sight::new(&skin, camera);
    let mut drawn = drawn(view::see(&sight, &folded.bends, part.thickness));
    drawn.lines.extend(pens(spots::beads(solved, &sight)));
    let (phantoms, labels) =
        tubes::phantoms(job, solved, &Frame::default(), bodies.to_vec(), camera);
    drawn.lines.extend(phantoms);
    drawn.labels = labels;
    let faces = folded.faces.iter();
    let sizes = faces.flat_map(|face| measured::sizes(job, solved, face, &sight));
    drawn.sizes = sizes.chain(offset::sizes(job, solved, &sight)).collect();
    drawn.letters = letters(solved, &sight, &spots);
    drawn.names = names(solved, &sight, &spots);
    drawn
}

/// The view as drawn, without words.
pub(super) fn drawn(seen: Projection) -> Solid {
    Solid {
        tones: seen.tones.into_iter().map(|tone| (tone.light, tone.rings)).collect(),
        whole: seen.whole,
        lines: pens(seen.lines),
        ..Solid::default()
    }
}

/// Lines with their pens.
fn pens(lines: Vec<SeenLine>) -> Vec<(Pen, Vec<Edge>)> {
    let pen = |kind| match kind {
        LineKind::Silhouette => Pen::Wide,
        LineKind::Edge => Pen::Narrow,
        LineKind::Tangent => Pen::Tangent,
    };
    lines.into_iter().map(|line| (pen(line.kind), line.edges)).collect()
}

/// The letters of the holes of which more than half of the edge is seen.
fn letters(solved: &Solved, sight: &Sight, spots: &view::Spots) -> Vec<Letter> {
    let mut letters = Vec::new();
    // Features without a letter in the flat get none here.
    let sets =
        if hole_dimensions::is_single(solved) { Vec::new() } else { hole_dimensions::sets(solved) };
    for set in sets {
        let last = set.holes.len() - 1;
        for (i, (hole, _)) in set.holes.iter().enumerate() {
            let Some((normal, edge)) = spots.holes.get(*hole) else { continue };
            let face = solved.flat.holes[*hole].id.face;
            let is_asked = last < EACH || i == 0 || i == last;
            if is_asked && view::share(sight, *normal, edge) > 0.5 {
                let side = usize::from(sight.camera.faces(*normal) < 0.0);
                let paper = |p: &[Space; 2]| sight.camera.paper(p[side]);
                letters.push(Letter {
                    text: set.label(i),
                    edge: edge.iter().map(paper).collect(),
                    face,
                });
            }
        }
    }
    letters
}

/// The names of faces with the places on each that are seen, the middle ones first.
fn names(solved: &Solved, sight: &Sight, spots: &view::Spots) -> Vec<(String, Vec<Point>)> {
    let mut names = Vec::new();
    for (face, (normal, places)) in solved.part.faces.iter().zip(&spots.faces) {
        let side = usize::from(sight.camera.faces(*normal) < 0.0);
        let seen = places.iter().map(|p| p[side]).filter(|p| !sight.hides(*p));
        let mut seen: Vec<Point> = seen.map(|p| sight.camera.paper(p)).collect();
        let count = seen.len().max(1) as f64;
        let sum = seen.iter().fold(Point::ZERO.to_vec2(), |sum, p| sum + p.to_vec2());
        let middle = (sum / count).to_point();
        seen.sort_by(|a, b| (*a - middle).hypot2().total_cmp(&(*b - middle).hypot2()));
        names.push((printed::name(&face.name), seen));
    }
    names
}
