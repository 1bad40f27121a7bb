//! The remaining edges of a face, by name.

use crate::diag::instead;
use crate::geom::Edge;

/// The remaining named edges, arcs and copes of a face.
#[derive(Clone, Copy)]
pub(super) struct Stretches<'a> {
    /// Name of the face.
    pub(super) face: &'a str,
    /// Each with the name of its owner.
    pub(super) named: &'a [(&'a str, Edge)],
    /// Names of edges that were drawn and no longer exist.
    pub(super) gone: &'a [String],
}

impl Stretches<'_> {
    /// The stretches of one name; the words and the remedy if nothing of it is left, where `work`
    /// is their purpose.
    pub(super) fn of(&self, edge: &str, work: &str) -> Result<Vec<Edge>, (String, String)> {
        let found = self.named.iter().filter(|(name, _)| *name == edge).map(|(_, edge)| *edge);
        let found: Vec<Edge> = found.collect();
        if found.iter().map(Edge::length).sum::<f64>() > 0.0 {
            return Ok(found);
        }
        if self.gone.iter().any(|gone| gone == edge) {
            return Err((
                format!("nothing is left of edge `{edge}` of face `{}` to {work}", self.face),
                "another shape of the face covers it or cuts it away: make that one smaller, or move \
                 one of them"
                    .into(),
            ));
        }
        let mut names: Vec<&str> = self.named.iter().map(|(name, _)| *name).collect();
        names.dedup();
        let headline = format!("face `{}` has no edge `{edge}` to {work}", self.face);
        Err((
            headline,
            match names.is_empty() {
                true => "give an edge its name with `edge = \"foot\"`".into(),
                false => instead(edge, &names, "its named edges are"),
            },
        ))
    }
}
