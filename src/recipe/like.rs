//! Faces that are like others, and holes that are like those of other recipes.

use crate::diag::Finding;
use crate::diag::instead;
use crate::document::Findings;
use crate::recipe::face::Face;
use crate::recipe::hole::HoleSet;
use crate::recipe::others::Others;
use crate::recipe::others::Read;
use crate::recipe::others::Referred;
use crate::recipe::others::refer;
use crate::recipe::reference::HolesLike;
use crate::recipe::reference::HolesOf;
use crate::recipe::reference::Reference;
use crate::recipe::whole::Recipe;

/// Gives each face that is `like` another the steps, holes, lightening, marks, welds, bevels, beads
/// and obstacles of that one, which is above it or in another recipe: its own steps follow these,
/// its own holes replace those of the same name, and its other lists replace the other's. Holes
/// that are like those of another recipe are found.
pub(super) fn resolve(recipe: &mut Recipe, others: &Others, read: Read, findings: &Findings) {
    for i in 0..recipe.faces.len() {
        let sets = std::mem::take(&mut recipe.faces[i].holes);
        let sets = sets.into_iter().flat_map(|set| found(recipe, set, others, read, findings));
        let sets: Vec<HoleSet> = sets.collect();
        recipe.faces[i].holes = sets;
        let Some(like) = recipe.faces[i].like.clone() else { continue };
        if like.name.contains('.') {
            if let Some(referred) = refer(&like, false, others, read, findings) {
                if referred.face.1.on.is_some() {
                    findings.add(among_tubes(&like));
                    continue;
                }
                take(&mut recipe.faces[i], &referred.face.1);
                recipe.others.push(referred.other);
            }
            continue;
        }
        own(recipe, i, &like, findings);
    }
}

/// Of a face among the tubes of another recipe, which are not in this one.
fn among_tubes(like: &Reference) -> Finding {
    let headline = format!("`{}` is placed among the tubes of its own recipe", like.name);
    Finding::stop("bad-name", headline)
        .at(like.span, "")
        .help("name the tubes in this recipe and draw it here")
}

/// Gives a face what another before it has.
fn own(recipe: &mut Recipe, face: usize, like: &Reference, findings: &Findings) {
    let faces = &mut recipe.faces;
    if let Some((name, entry)) = like.given.first() {
        let headline =
            format!("`{}` has the values of this recipe: `{name}` cannot differ", like.name);
        findings.add(
            Finding::stop("wrong-kind", headline)
                .at(entry.key, "")
                .help("remove `given`, which is for a face of another recipe"),
        );
    }
    if let Some(at) = faces.get_index_of(&like.name).filter(|at| *at < face) {
        let other = faces[at].clone();
        take(&mut faces[face], &other);
        return;
    }
    let names: Vec<&str> = faces.keys().take(face).map(String::as_str).collect();
    let headline = format!("there is no face `{}` above this one", like.name);
    let help = match names.is_empty() {
        true => "the first face is drawn, or `like` one of another recipe, such as `tab.plate`"
            .to_owned(),
        false => instead(&like.name, &names, "those before it are"),
    };
    findings.add(Finding::stop("bad-name", headline).at(like.span, "").help(help));
}

/// A set of holes with the set it is like, one for each set of a whole face; `None` if that was not
/// found.
fn found(
    recipe: &mut Recipe,
    set: HoleSet,
    others: &Others,
    read: Read,
    findings: &Findings,
) -> Vec<HoleSet> {
    let Some(like) = &set.like else { return vec![set] };
    let Some(Referred { other, face, set: one }) =
        refer(&like.reference, true, others, read, findings)
    else {
        return Vec::new();
    };
    // Their places may follow what its tubes leave of it.
    if face.1.on.is_some() {
        findings.add(among_tubes(&like.reference));
        return Vec::new();
    }
    let (source, depends) = (other.source, other.depends());
    let named = |(_, drawn): &(usize, &HoleSet)| one.as_ref().is_none_or(|one| drawn.name == *one);
    let drawn: Vec<(usize, &HoleSet)> = face.1.holes.iter().enumerate().filter(named).collect();
    let refuse = |headline: String, help: &str| {
        findings.add(Finding::stop("wrong-kind", headline).at(set.span, "").help(help));
    };
    if drawn.is_empty() {
        refuse(format!("`{}` has no holes", like.reference.name), "name another face");
    }
    let differ = drawn.iter().any(|(_, other)| other.name != drawn[0].1.name);
    if !set.name.is_empty() && differ {
        let headline = format!("`{}` has several sets of holes", like.reference.name);
        refuse(headline, "leave out `name`: each keeps its own; or name one set");
    }
    let sets = drawn.into_iter().map(|(index, drawn)| {
        let of = HolesOf { source, face: face.0.clone(), set: index };
        let like = like.clone();
        HoleSet {
            name: if set.name.is_empty() { drawn.name.clone() } else { set.name.clone() },
            like: Some(HolesLike { of: Some(of), depends: depends.clone(), ..like }),
            ..set.clone()
        }
    });
    let sets = sets.collect();
    recipe.others.push(other);
    sets
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
    if face.beads.is_empty() {
        face.beads.clone_from(&other.beads);
    }
    if face.obstacles.is_empty() {
        face.obstacles.clone_from(&other.obstacles);
    }
    if face.on.is_none() {
        face.on.clone_from(&other.on);
    }
    face.mirrored ^= other.mirrored;
}
