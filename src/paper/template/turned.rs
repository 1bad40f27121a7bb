//! A template turned on its page.

use crate::geom::Edge;
use crate::geom::Place;
use crate::num::Angle;
use crate::paper::spot::Spot;
use crate::paper::template::Template;

impl Template {
    /// The same, turned about the origin; its words are placed anew and stay upright.
    pub(super) fn turned(&self, by: Angle) -> Self {
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
