//! The issue of a drawing: a short hash of what is cut and bent, so that two prints can be told
//! apart, and the words of the job.

use crate::geom::Edge;
use crate::geom::Outline;
use crate::job::Job;
use crate::num;
use crate::solve::Solved;
use sha2::Digest;
use sha2::Sha256;

/// Bytes of the hash that are printed: two digits each, the last one half.
const DIGITS: usize = 7;

/// The hash of a flat: its outlines, bends and marks to a ten-thousandth of a millimetre, its
/// material and thickness.
pub(super) fn hash(job: &Job, solved: &Solved) -> String {
    let mut text = String::new();
    let sheet = &job.sheets[solved.sheet];
    let mut say = |words: &str| {
        text += words;
        text.push('\n');
    };
    say(sheet.material.name());
    say(&num::text(sheet.thickness, 4));
    for outline in solved.flat.region.outlines() {
        say(&outlined(outline));
    }
    for (bend, strip) in solved.part.bends.iter().zip(&solved.flat.bends) {
        let measures = [bend.bend.angle().degrees(), bend.bend.radius()];
        let [angle, radius] = measures.map(|measure| num::text(measure, 4));
        say(&format!("{} {angle} {radius} {}", edge(&strip.line), bend.up));
    }
    for stroke in solved.flat.marks.iter().flat_map(|mark| &mark.strokes) {
        say(&stroke.iter().map(edge).collect::<Vec<_>>().join(" "));
    }
    digits(&text)
}

/// The short hash of a text.
pub(super) fn digits(text: &str) -> String {
    let digest = Sha256::digest(text.as_bytes());
    let digits: String = digest.iter().map(|byte| format!("{byte:02x}")).collect();
    digits[..DIGITS].to_owned()
}

/// What stands in the field `Issue`.
pub(super) fn words(job: &Job, solved: &Solved) -> String {
    titled(job, &hash(job, solved))
}

/// A hash after the job's own words.
pub(super) fn titled(job: &Job, hash: &str) -> String {
    match &job.titled.issue {
        Some(issue) => format!("{issue} · {hash}"),
        None => hash.to_owned(),
    }
}

fn outlined(outline: &Outline) -> String {
    outline.edges().map(|e| edge(&e)).collect::<Vec<_>>().join(" ")
}

fn edge(edge: &Edge) -> String {
    let numbers = [edge.from.x, edge.from.y, edge.to.x, edge.to.y, edge.bulge];
    numbers.map(|number| num::text(number, 4)).join(",")
}
