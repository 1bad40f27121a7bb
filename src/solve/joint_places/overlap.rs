//! Parts of a joint that run into each other where the machine has them, with all their plates.

use crate::check::Overlap;
use crate::geom::Frame;
use crate::job::Job;
use crate::joint::Bolted;
use crate::solve::machine::Machine;
use crate::solve::overlap::Piece;
use crate::solve::overlap::overlap;
use crate::solve::solved::Solved;

/// Every two parts of a joint that overlap, each two names once.
pub(super) fn of(job: &Job, solved: &[Solved], machine: &Machine, bolted: &Bolted) -> Vec<Overlap> {
    let line = |of: &Solved| job.lines[of.line].name.as_str();
    let named = bolted.parts();
    let lines = solved.iter().filter(|of| named.contains(&of.name.as_str())).map(line);
    let lines: Vec<&str> = lines.collect();
    let piece = |(name, frame): &'_ (String, Frame)| {
        let of = solved.iter().find(|of| of.name == *name && lines.contains(&line(of)))?;
        Some((of, *frame))
    };
    let pieces: Vec<(&Solved, Frame)> = machine.places.iter().filter_map(piece).collect();
    let mut all: Vec<Overlap> = Vec::new();
    for (i, (one, at)) in pieces.iter().enumerate() {
        for (other, there) in &pieces[i + 1..] {
            // Plates of one part are compared in its own space.
            if one.line == other.line && one.name != other.name {
                continue;
            }
            let parts = [one.name.clone(), other.name.clone()];
            if all.iter().any(|known| known.parts == parts) {
                continue;
            }
            let both = [Piece { of: one, frame: at }, Piece { of: other, frame: there }];
            all.extend(overlap(&both).map(|by| Overlap { parts, by }));
        }
    }
    all
}
