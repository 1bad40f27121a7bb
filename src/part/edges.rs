//! The named edges of a blank.

use crate::diag::instead;
use crate::geom::Edge;
use crate::geom::Region;
use crate::part::face::NamedEdge;

/// The index of the one edge of a name; the words and the remedy when there is none, or
/// when it was cut into pieces.
pub(super) fn only_edge(edges: &[NamedEdge], name: &str) -> Result<usize, (String, String)> {
    let mut found = edges.iter().enumerate().filter(|(_, e)| e.name == name).map(|(i, _)| i);
    match (found.next(), found.count()) {
        (Some(i), 0) => Ok(i),
        (Some(_), more) => Err((
            format!("edge `{name}` is in {} pieces", more + 1),
            "end the cut before the edge, or draw the face as a polygon whose corners name the \
             pieces of the edge one by one"
                .into(),
        )),
        (None, _) if edges.is_empty() => Err((
            format!("there is no straight edge `{name}`"),
            "give a straight edge its name with `edge = \"…\"`".into(),
        )),
        (None, _) => {
            let mut names: Vec<&str> = edges.iter().map(|e| e.name.as_str()).collect();
            names.dedup();
            let help = instead(name, &names, "its named edges are");
            Err((format!("there is no straight edge `{name}`"), help))
        }
    }
}

/// The stretches of the outline that lie on a named edge, with the metal on their left.
pub(super) fn surviving(named: &NamedEdge, blank: &Region) -> Vec<NamedEdge> {
    let of = |edge: Edge| NamedEdge { name: named.name.clone(), edge, centre: named.centre };
    blank.along(&named.edge).into_iter().map(of).collect()
}
