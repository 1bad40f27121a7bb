//! The print of one part, and the same rotated on its page.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::num::Angle;
use crate::paper::spot::Spot;
use crate::paper::template::measures::PAST;

/// The print at true size.
#[derive(Clone, Debug, Default)]
pub struct Template {
    /// Name of the part.
    pub name: String,
    /// How often it is printed; once where that is 0.
    pub copies: usize,
    /// Its description and use, a sentence each.
    pub about: Vec<String>,
    /// The text on the piece itself, below its name, so that it stays when the paper is cut out.
    pub staying: String,
    /// The sizes of its holes, which stay on it as well.
    pub sizes: Vec<String>,
    /// The piece, in which that finds a place.
    pub piece: Option<Region>,
    /// Lines to cut along, mm.
    pub cuts: Vec<Vec<Edge>>,
    /// What holes are opened to after cutting.
    pub finished: Vec<Vec<Edge>>,
    /// Bend lines, with the text beside them.
    pub bends: Vec<(Edge, String)>,
    /// Lines that are scribed or only followed by the eye.
    pub marks: Vec<Vec<Edge>>,
    /// Words and where they start.
    pub words: Vec<(Point, String)>,
    /// Holes whose centres are punched.
    pub punches: Vec<Spot>,
}

impl Template {
    /// What should not be cut where pages are joined: holes, bend lines, what is scribed.
    pub(super) fn whole(&self) -> Vec<Bounds> {
        let chains = self.cuts.iter().chain(&self.finished).chain(&self.marks);
        let around = |edges: &Vec<Edge>| edges.iter().fold(Bounds::EMPTY, |b, e| b.and(e.bounds()));
        let bends = self.bends.iter().map(|(line, _)| line.bounds());
        // With the cross over each.
        let cross = |spot: &Spot| spot.outline.bounds().with(spot.at).grown(PAST);
        let punches = self.punches.iter().map(cross);
        chains.map(around).chain(bends).chain(punches).collect()
    }

    /// The same, rotated about the origin; its words are placed again and stay upright.
    pub(super) fn rotated(&self, by: Angle) -> Self {
        let place = Place { rotation: by, ..Place::default() };
        let chain = |edges: &Vec<Edge>| edges.iter().map(|edge| edge.moved(&place)).collect();
        let spot = |spot: &Spot| Spot {
            label: spot.label.clone(),
            at: place.apply(spot.at),
            outline: spot.outline.moved(&place),
        };
        Self {
            piece: self.piece.as_ref().map(|piece| piece.moved(&place)),
            cuts: self.cuts.iter().map(chain).collect(),
            finished: self.finished.iter().map(chain).collect(),
            marks: self.marks.iter().map(chain).collect(),
            bends: self
                .bends
                .iter()
                .map(|(edge, words)| (edge.moved(&place), words.clone()))
                .collect(),
            words: self.words.iter().map(|(at, words)| (place.apply(*at), words.clone())).collect(),
            punches: self.punches.iter().map(spot).collect(),
            ..self.clone()
        }
    }
}
