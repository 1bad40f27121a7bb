//! Plates that are next to each other in the stack of a joint, where the machine has them.
//!
//! A piece is in one layer of a stack, except for a formed one, whose legs are in two. Of the part of which
//! fewer pieces are placed each is compared with the nearest piece of the other in every layer beside its
//! own.

use crate::check::Meeting;
use crate::check::Met;
use crate::joint::Between;
use crate::joint::Bolted;
use crate::solve::joint_places::layers::InPlaces;
use crate::solve::joint_places::legs::Legs;
use crate::solve::joint_places::meeting::Standing;
use crate::solve::joint_places::meeting::meeting;

/// Two plates next to each other in the stack, in two of their places.
struct Candidate {
    /// Which two layers, by the number of the first among the plates.
    pair: usize,
    /// Place and layer of each.
    pieces: [(usize, usize); 2],
    meeting: Meeting,
    /// How badly they suit each other, mm.
    far: f64,
}

/// The plates that are next to each other, two by two.
pub(super) fn met<'b>(bolted: &Bolted, plates: &[InPlaces<'b>], legs: &[Legs]) -> Vec<Met<'b>> {
    let names = |pair: &[InPlaces]| {
        let mut names = [pair[0].plate.part.clone(), pair[1].plate.part.clone()];
        names.sort();
        names
    };
    let pairs: Vec<&[InPlaces]> = plates.windows(2).filter(|pair| !is_piece(pair, legs)).collect();
    let mut all = Vec::new();
    for (i, pair) in pairs.iter().enumerate() {
        // Layers of the same two parts are looked at together.
        if pairs[..i].iter().any(|before| names(before) == names(pair)) {
            continue;
        }
        let alike = pairs.iter().enumerate().filter(|(_, of)| names(of) == names(pair));
        let alike: Vec<(usize, &[InPlaces])> = alike.map(|(i, of)| (i, *of)).collect();
        let fewer = match pair[0].places.len() > pair[1].places.len() {
            true => &pair[1],
            false => &pair[0],
        };
        for own in &fewer.places {
            let candidates = candidates(bolted, &alike, (&fewer.plate.part, own.place));
            all.extend(chosen(candidates, legs).into_iter().map(|chosen| {
                let plates = [0, 1].map(|k| pairs[chosen.pair][k].plate);
                Met { plates, meeting: chosen.meeting }
            }));
        }
    }
    all
}

/// Whether two layers are two legs of one piece.
fn is_piece(pair: &[InPlaces], legs: &[Legs]) -> bool {
    are_legs([pair[0].layer, pair[1].layer], legs)
}

fn are_legs(layers: [usize; 2], legs: &[Legs]) -> bool {
    let [low, high] = [layers[0].min(layers[1]), layers[0].max(layers[1])];
    legs.iter().any(|legs| legs.face && legs.layers == [low, high])
}

/// A piece of a part with every piece of the other in each two layers.
fn candidates(
    bolted: &Bolted,
    alike: &[(usize, &[InPlaces])],
    (part, own): (&str, usize),
) -> Vec<Candidate> {
    let mut all = Vec::new();
    for (pair, of) in alike {
        let [one, other] = [&of[0], &of[1]];
        let between = stack(bolted, [one, other]);
        for (mine, its) in [(one, other), (other, one)] {
            let mine_is = |of: &&Standing| mine.plate.part == part && of.place == own;
            let Some(piece) = mine.places.iter().find(mine_is) else { continue };
            for there in its.places.iter().filter(|there| there.place != own) {
                let meeting = meeting([piece, there], between);
                let far = meeting.off + (meeting.gap[1] - between[0]).abs();
                let pieces = [(own, mine.layer), (there.place, its.layer)];
                all.push(Candidate { pair: *pair, pieces, meeting, far });
            }
        }
    }
    all.sort_by(|a, b| a.far.total_cmp(&b.far));
    all
}

/// What the stack has between two layers, and how much more or less that may be, mm.
fn stack(bolted: &Bolted, [one, other]: [&InPlaces; 2]) -> [f64; 2] {
    let between = &bolted.layers[one.layer + 1..other.layer];
    let off: f64 = between.iter().map(Between::over).sum();
    [
        between.iter().map(Between::clamped).sum(),
        off + one.plate.thickness_off + other.plate.thickness_off,
    ]
}

/// The best candidate of each two layers, such that every piece is in one layer, or has its legs in two.
fn chosen(candidates: Vec<Candidate>, legs: &[Legs]) -> Vec<Candidate> {
    let mut chosen: Vec<Candidate> = Vec::new();
    for candidate in candidates {
        let suits = chosen.iter().all(|of| {
            let pieces = || of.pieces.iter().flat_map(|a| candidate.pieces.map(|b| (*a, b)));
            let mut same = pieces().filter(|(a, b)| a.0 == b.0);
            of.pair != candidate.pair && same.all(|(a, b)| a.1 == b.1 || are_legs([a.1, b.1], legs))
        });
        if suits {
            chosen.push(candidate);
        }
    }
    chosen
}
