//! The drawing of the marks of a part, and of the subjects of its findings.

use crate::diag::About;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::flat::Highlight;
use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Place;
use crate::job::Job;
use crate::paper::Found;
use crate::paper::figure_text;
use crate::solve::Solved;

/// The strokes of all marks, where a place brings the flat.
pub(super) fn marks(solved: &Solved, place: &Place) -> Vec<Vec<Edge>> {
    let strokes = solved.flat.marks.iter().flat_map(|mark| &mark.strokes);
    strokes.map(|stroke| stroke.iter().map(|e| e.moved(place)).collect()).collect()
}

/// What is marked, on which side and how high; nothing where nothing is.
pub(super) fn line(job: &Job, solved: &Solved) -> Option<String> {
    let mut words: Vec<String> = Vec::new();
    let mut has_lines = false;
    for mark in solved.part.faces.iter().flat_map(|face| &face.marks) {
        match &mark.said {
            Some((text, high)) => {
                words.push(format!("“{text}”, letters {} high", figure_text(job.units, *high)));
            }
            None => has_lines = true,
        }
    }
    words.extend(has_lines.then(|| "the lines shown".to_owned()));
    let has_ticks = solved.flat.marks.iter().any(|mark| mark.face.is_none());
    words.extend(has_ticks.then(|| "ticks at the bend lines".to_owned()));
    (!words.is_empty())
        .then(|| format!("Etch or scribe on the top side, do not cut: {}.", words.join("; ")))
}

/// What marks a finding of a part in its drawing and before its sentence, by its place among
/// the findings.
pub(super) fn finding_label(index: usize) -> String {
    format!("F{}", index + 1)
}

/// The subjects of the findings of a part, with the flat moved but not rotated.
pub(super) fn found(solved: &Solved, place: &Place) -> Vec<Found> {
    let one = |(index, finding): (usize, &Finding)| {
        let mut found = Found { label: finding_label(index), ..Found::default() };
        for features in features(solved, finding) {
            for seen in solved.flat.seen(&solved.part, features) {
                match seen {
                    Highlight::Round(Bounds { min, max }) => {
                        found.rings.push(Bounds { min: place.apply(min), max: place.apply(max) })
                    }
                    Highlight::Along(edges) => {
                        found.lines.push(edges.iter().map(|edge| edge.moved(place)).collect());
                    }
                }
            }
        }
        found
    };
    solved.found.iter().enumerate().map(one).collect()
}

/// What of a part a finding is about.
pub(super) fn features<'f>(
    solved: &Solved,
    finding: &'f Finding,
) -> impl Iterator<Item = &'f [Feature]> {
    finding.about.iter().filter_map(|about| match about {
        About::Part { name, features } if *name == solved.name => Some(features.as_slice()),
        _ => None,
    })
}
