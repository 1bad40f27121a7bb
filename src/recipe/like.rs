//! Faces that are like others.

use crate::diag::Finding;
use crate::diag::instead;
use crate::document::Findings;
use crate::recipe::face::Face;
use indexmap::IndexMap;

/// Gives each face that is `like` another the steps, holes, marks, welds and bevels of that one,
/// which stands before it: its own steps are done after them, its own holes take the place of
/// those of the same name, its own openings that lighten, marks, welds,
/// bevels and obstacles that of all.
pub(super) fn resolve(faces: &mut IndexMap<String, Face>, findings: &Findings) {
    for i in 0..faces.len() {
        let Some((name, span)) = faces[i].like.clone() else { continue };
        if let Some(at) = faces.get_index_of(&name).filter(|at| *at < i) {
            let other = faces[at].clone();
            take(&mut faces[i], &other);
            continue;
        }
        let names: Vec<&str> = faces.keys().take(i).map(String::as_str).collect();
        let headline = format!("no face `{name}` stands before this one");
        let help = match names.is_empty() {
            true => "the first face is drawn: give it a `blank`".to_owned(),
            false => instead(&name, &names, "those before it are"),
        };
        findings.add(Finding::stop("bad-name", headline).at(span, "").help(help));
    }
}

fn take(face: &mut Face, other: &Face) {
    face.blank.splice(0..0, other.blank.iter().cloned());
    let own: Vec<String> = face.holes.iter().map(|set| set.name.clone()).collect();
    let kept = other.holes.iter().filter(|set| !own.contains(&set.name)).cloned();
    face.holes.splice(0..0, kept.collect::<Vec<_>>());
    if face.lighten.is_empty() {
        face.lighten.clone_from(&other.lighten);
    }
    if face.marks.is_empty() {
        face.marks.clone_from(&other.marks);
    }
    if face.welds.is_empty() {
        face.welds.clone_from(&other.welds);
    }
    if face.bevels.is_empty() {
        face.bevels.clone_from(&other.bevels);
    }
    if face.obstacles.is_empty() {
        face.obstacles.clone_from(&other.obstacles);
    }
    if face.on.is_none() {
        face.on.clone_from(&other.on);
    }
    face.mirrored ^= other.mirrored;
}
