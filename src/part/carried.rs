//! Whether faces are carried by bends as they can be: each on one, none in a loop, nothing behind
//! its edge.

use crate::diag::Finding;
use crate::geom::NEAR;
use crate::part::face::Face;
use crate::part::joint::Bend;
use crate::part::values::Values;

/// Reports that bends close a loop.
pub(super) fn report_loop(bends: &[Bend], values: &Values) {
    let Some(bend) = bends.first() else { return };
    let headline = format!("bend `{}` closes a loop", bend.name);
    values.findings.add(
        Finding::stop("bend-tree", headline)
            .at(bend.span, "")
            .note("each face is carried by one bend at most, and the first by none")
            .help("name every face but the first in the `to` of one bend"),
    );
}

/// Each face is carried by at most one bend, and each edge carries at most one.
pub(super) fn check_edges(faces: &[Face], bends: &[Bend], values: &Values) {
    for (i, bend) in bends.iter().enumerate() {
        let refuse = |headline: String, help: &str| {
            values.findings.add(Finding::stop("bend-tree", headline).at(bend.span, "").help(help));
        };
        let before = &bends[..i];
        if before.iter().any(|b| (b.from, b.edge) == (bend.from, bend.edge)) {
            let edge = &faces[bend.from].edges[bend.edge].name;
            refuse(format!("edge `{edge}` carries two bends"), "give each bend an edge of its own");
        }
        if bend.from == bend.to || before.iter().any(|b| b.to == bend.to) {
            let face = &faces[bend.to].name;
            refuse(
                format!("face `{face}` has two bends leading to it, or leads back to itself"),
                "name each face in the `to` of one bend only",
            );
        }
    }
}

/// A carried face is drawn from its edge onwards; anything behind it would be lost.
pub(super) fn check_behind(faces: &[Face], bends: &[Bend], values: &Values) {
    for bend in bends {
        let behind = -faces[bend.to].blank.bounds().min.y;
        if behind > NEAR {
            let (face, behind) = (&faces[bend.to].name, values.params.units().length(behind));
            let headline = format!(
                "face `{face}` extends {behind} behind bend `{}`, which carries it",
                bend.name
            );
            values.findings.add(Finding::stop("bend", headline).at(bend.span, "").help(format!(
                "move the face up by {behind}: in it, y runs away from the bend and starts at 0"
            )));
        }
    }
}
