//! Flanges that are drawn as wide as the edge that carries them.

use crate::diag::Finding;
use crate::diag::Span;
use crate::part::edges::only_edge;
use crate::part::face::Face;
use crate::part::face::NamedEdge;
use crate::part::tree;
use crate::part::values::Values;
use crate::recipe;
use crate::recipe::Bend;
use crate::recipe::Shape;
use crate::recipe::Work;
use std::collections::HashMap;

/// The bends of a recipe by the faces they carry, each with its name.
type Carriers<'a> = HashMap<&'a str, (&'a str, &'a Bend)>;

/// The faces of a recipe that are there, in its order; each that is as wide as its edge is drawn
/// after the one whose edge carries it.
pub(super) fn faces(
    values: &Values,
    make: impl Fn(&str, &recipe::Face, &Values) -> Option<Face>,
) -> Vec<Face> {
    let recipe = values.recipe;
    let bends = recipe.bends.iter();
    let carriers = bends.map(|(name, bend)| (bend.to.as_str(), (name.as_str(), bend))).collect();
    let mut order: Vec<usize> = (0..recipe.faces.len()).collect();
    if recipe.faces.values().any(|face| step(face).is_some()) {
        let name = |i: usize| recipe.faces.get_index(i).map_or("", |(name, _)| name.as_str());
        order.sort_by_cached_key(|i| depth(&carriers, name(*i)));
    }
    let mut made: Vec<Option<Face>> = vec![None; order.len()];
    for i in order {
        let Some((name, face)) = recipe.faces.get_index(i) else { continue };
        if !recipe.makes(name) || values.holds(face.when.as_ref()) != Some(true) {
            continue;
        }
        let drawn = |name: &str| made.iter().flatten().find(|face| face.name == name);
        let carried = match step(face) {
            None => None,
            Some(span) => match carried((name, face), span, &carriers, values, drawn) {
                None => continue,
                carried => carried,
            },
        };
        made[i] = make(name, face, &Values { carried, ..*values });
    }
    made.into_iter().flatten().collect()
}

/// The step by which a face is as wide as its edge.
fn step(face: &recipe::Face) -> Option<Span> {
    let is_flange = |work: &Work| matches!(work, Work::Add(placed) if matches!(placed.shape, Shape::Flange(..)));
    face.blank.iter().find(|step| is_flange(&step.work)).map(|step| step.span)
}

/// The face that is drawn with the edge of a bend: a fold line leaves its edges their names.
fn drawn_with<'a>(carriers: &Carriers<'a>, bend: &'a Bend) -> &'a str {
    let mut drawn = bend.from.as_str();
    // A ring of them is refused later.
    for _ in 0..carriers.len() {
        match carriers.get(drawn) {
            Some((_, bend)) if bend.line.is_some() => drawn = &bend.from,
            _ => break,
        }
    }
    drawn
}

/// How many faces carry a face, one the other; of a ring some number.
fn depth(carriers: &Carriers, face: &str) -> usize {
    let from = |face: &str| carriers.get(face).map(|(_, bend)| bend.from.as_str());
    std::iter::successors(from(face), |face| from(face)).take(carriers.len()).count()
}

/// The extent of a face along x on the edge that carries it, mm; `None` when something was
/// reported.
fn carried<'a>(
    (name, face): (&str, &recipe::Face),
    step: Span,
    carriers: &Carriers,
    values: &Values,
    drawn: impl Fn(&str) -> Option<&'a Face>,
) -> Option<[f64; 2]> {
    let on_edge = carriers.get(name).filter(|(_, bend)| bend.line.is_none());
    let Some((bend_name, bend)) = on_edge else {
        let headline = format!("no bend carries face `{name}`, which is as wide as its edge");
        let help = format!("add `[bend.NAME]` with `on` and `to = \"{name}\"`");
        values.findings.add(Finding::stop("bend", headline).at(step, "").help(help));
        return None;
    };
    let Some(carrier) = drawn(drawn_with(carriers, bend)) else {
        if values.findings.is_empty() {
            tree::no_face(bend_name, bend, &values.recipe.faces, values);
        }
        return None;
    };
    let edge = match only_edge(&carrier.edges, &carrier.arcs, &bend.edge) {
        Ok(edge) => &carrier.edges[edge],
        Err(error) => {
            tree::no_edge(bend, carrier, error, values);
            return None;
        }
    };
    let [low, high] = along(edge);
    Some(if face.mirrored { [-high, -low] } else { [low, high] })
}

/// The two ends of a remaining edge along the x of a flange on it, mm.
fn along(NamedEdge { edge, centre, .. }: &NamedEdge) -> [f64; 2] {
    // Metal is on the left of the edge, and on the other side the flange: its x runs back.
    let way = (edge.from - edge.to).normalize();
    [edge.to, edge.from].map(|end| (end - *centre).dot(way))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Edge;
    use crate::geom::Point;

    /// An edge from (60, 20) to (0, 20), metal below it, of which a corner took 10 at its start.
    #[test]
    fn a_flange_stands_where_its_edge_is() {
        let edge = Edge::line(Point::new(50.0, 20.0), Point::new(0.0, 20.0));
        let named = NamedEdge { name: "top".into(), edge, centre: Point::new(30.0, 20.0) };
        assert_eq!(along(&named), [-30.0, 20.0]);
    }
}
