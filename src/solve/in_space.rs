//! Plates of one set that run into each other where points place them in space.

use crate::diag::About;
use crate::diag::Finding;
use crate::fold::Piece;
use crate::fold::clash_between;
use crate::geom::Frame;
use crate::recipe::Recipe;
use crate::solve::solved::Solved;

/// Every two parts that collide; those that only touch, as plates in their slots and along a seam
/// do, are meant to.
pub(super) fn collisions(solved: &[Solved], recipe: &Recipe) -> Vec<Finding> {
    let placed: Vec<(&Solved, Frame)> =
        solved.iter().filter_map(|of| Some((of, of.in_space()?))).collect();
    let mut found = Vec::new();
    for (i, one) in placed.iter().enumerate() {
        for other in &placed[i + 1..] {
            let both = [one, other].map(|(of, to)| (&of.part, &*of.folded, to));
            let pair = clash_between(both);
            found.extend(pair.map(|(a, b)| finding([(one.0, a), (other.0, b)], recipe)));
        }
    }
    found
}

fn finding(both: [(&Solved, Piece); 2], recipe: &Recipe) -> Finding {
    let [one, other] = both.map(|(of, piece)| match piece {
        Piece::Face(face) => format!("face `{}`", of.part.faces[face].name),
        Piece::Bend(bend) => format!("bend `{}`", of.part.bends[bend].name),
    });
    let headline = format!("{one} and {other} collide in space");
    let placed = |of: &Solved| {
        let (face, _) = of.part.stands?;
        Some(recipe.faces.get(&of.part.faces[face].name)?.on.as_ref()?.span)
    };
    let finding = Finding::stop("placed-plate", headline);
    let finding = both.iter().fold(finding, |finding, (of, _)| {
        let finding = finding.about(About::part(&of.name));
        placed(of).into_iter().fold(finding, |finding, span| finding.at(span, "it is placed here"))
    });
    finding.help("move one of them, make it smaller, or slot one into the other")
}
