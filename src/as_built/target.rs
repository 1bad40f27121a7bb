//! The part and feature of a measurement: its names looked up.

use crate::diag::Finding;
use crate::diag::HoleId;
use crate::diag::Span;
use crate::diag::instead_of;
use crate::geom::Edge;
use crate::geom::Vec2;
use crate::job::BuiltMeasure;
use crate::job::What;
use crate::part::Part;
use crate::solve::Solved;

/// The measured feature of a part, by its indices there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Target {
    /// Between the ears.
    Gap,
    /// The outside length of a face square to a bend that ends it.
    Outside {
        /// The face.
        face: usize,
        /// The bend.
        bend: usize,
    },
    /// The angle of a bend.
    Angle(usize),
    /// The inside radius of a bend.
    Radius(usize),
    /// Between the axes of two holes.
    Holes([HoleId; 2]),
    /// The diameter of a hole.
    Hole(HoleId),
    /// Of the metal.
    Thickness,
}

/// The part that a measurement is of, and what of it.
pub(super) fn find(
    measure: &BuiltMeasure,
    solved: &[Solved],
) -> Result<(usize, Target), Box<Finding>> {
    let (name, span) = &measure.part;
    let Some(index) = solved.iter().position(|solved| solved.name == *name) else {
        let names: Vec<&str> = solved.iter().map(|solved| solved.name.as_str()).collect();
        let headline = format!("there is no part `{name}` to measure");
        let finding = Finding::stop("unknown-part", headline).at(*span, "");
        return Err(Box::new(finding.help(instead_of(name, &names, "the job's part"))));
    };
    let part = &solved[index].part;
    let of = &measure.of;
    let target = match measure.what {
        What::Gap => match part.clevis {
            Some(_) => Target::Gap,
            None => {
                let headline = format!("part `{name}` has no ears with a gap");
                return Err(none(*span, headline, "measure `outside` or `holes`"));
            }
        },
        What::Thickness => Target::Thickness,
        What::Angle => Target::Angle(bend(part, &of[0])?),
        What::Radius => Target::Radius(bend(part, &of[0])?),
        What::Hole => Target::Hole(round(part, &of[0])?),
        What::Holes => {
            let [one, other] = [hole(part, &of[0])?, hole(part, &of[1])?];
            if one == other {
                let headline = format!("`{}` is one hole: a distance is between two", of[1].0);
                return Err(none(of[1].1, headline, "name two holes, or measure `hole`"));
            }
            Target::Holes([one, other])
        }
        What::Outside => outside(part, of)?,
    };
    Ok((index, target))
}

fn none(at: Span, headline: String, help: &str) -> Box<Finding> {
    Box::new(Finding::stop("unknown-measure", headline).at(at, "").help(help))
}

fn unknown((name, span): &(String, Span), kind: &str, names: &[&str]) -> Box<Finding> {
    let finding = Finding::stop("unknown-measure", format!("this part has no {kind} `{name}`"));
    let help = match names {
        [] => format!("this part has no {kind}s"),
        names => instead_of(name, names, &format!("its {kind}")),
    };
    Box::new(finding.at(*span, "").help(help))
}

fn bend(part: &Part, of: &(String, Span)) -> Result<usize, Box<Finding>> {
    let names: Vec<&str> = part.bends.iter().map(|bend| bend.name.as_str()).collect();
    let found = names.iter().position(|name| *name == of.0);
    found.ok_or_else(|| unknown(of, "bend", &names))
}

/// A hole by its name, with that of its face before it where two faces have one.
fn hole(part: &Part, of: &(String, Span)) -> Result<HoleId, Box<Finding>> {
    let full = |id: HoleId, name: &str| format!("{}.{name}", part.faces[id.face].name);
    let is = |id: HoleId, name: &str| name == of.0 || full(id, name) == of.0;
    let found: Vec<HoleId> =
        part.holes().filter(|(id, hole)| is(*id, &hole.name)).map(|(id, _)| id).collect();
    match found.as_slice() {
        [one] => Ok(*one),
        [] => {
            let names: Vec<&str> = part.holes().map(|(_, hole)| hole.name.as_str()).collect();
            Err(unknown(of, "hole", &names))
        }
        several => {
            let full = full(several[0], &of.0);
            let finding =
                Finding::stop("unknown-measure", format!("several faces have a hole `{}`", of.0));
            Err(Box::new(
                finding.at(of.1, "").help(format!("write `{full}`, with the name of its face")),
            ))
        }
    }
}

fn round(part: &Part, of: &(String, Span)) -> Result<HoleId, Box<Finding>> {
    let id = hole(part, of)?;
    if part.hole(id).diameter().is_some() {
        return Ok(id);
    }
    let finding = Finding::stop("unknown-measure", format!("hole `{}` is not round", of.0));
    Err(Box::new(finding.at(of.1, "").help("measure a round hole")))
}

/// The edge of a face at which a bend begins or ends, in the drawing of that face, its metal on the
/// left.
pub(super) fn edge(solved: &Solved, face: usize, bend: usize) -> Option<Edge> {
    let (of, strip) = (&solved.part.bends[bend], &solved.flat.bends[bend]);
    match face {
        face if of.from == face => Some(strip.begins),
        face if of.to == face => Some(strip.ends),
        _ => None,
    }
}

/// Out of the metal beside an edge.
pub(super) fn out(edge: &Edge) -> Vec2 {
    let along = edge.direction_at_start();
    Vec2::new(along.y, -along.x)
}

/// Whether another bend ends a face straight across from one.
pub(super) fn is_opposite(solved: &Solved, face: usize, bend: usize, other: usize) -> bool {
    let out = |bend: usize| edge(solved, face, bend).map(|edge| out(&edge));
    match (out(bend), out(other)) {
        (Some(one), Some(other)) => one.dot(other) < -0.999_999,
        _ => false,
    }
}

/// A face with the bend that ends it: the one that carries it if no bend is named, else the only
/// one.
fn outside(part: &Part, of: &[(String, Span)]) -> Result<Target, Box<Finding>> {
    let names: Vec<&str> = part.faces.iter().map(|face| face.name.as_str()).collect();
    let face = names.iter().position(|name| *name == of[0].0);
    let face = face.ok_or_else(|| unknown(&of[0], "face", &names))?;
    let ends = |bend: &usize| part.bends[*bend].from == face || part.bends[*bend].to == face;
    let all: Vec<usize> = (0..part.bends.len()).filter(ends).collect();
    if let Some(named) = of.get(1) {
        let bend = bend(part, named)?;
        if all.contains(&bend) {
            return Ok(Target::Outside { face, bend });
        }
        let names: Vec<&str> = all.iter().map(|i| part.bends[*i].name.as_str()).collect();
        let headline = format!("bend `{}` does not end face `{}`", named.0, of[0].0);
        let help = instead_of(&named.0, &names, "the bend that ends it");
        return Err(Box::new(
            Finding::stop("unknown-measure", headline).at(named.1, "").help(help),
        ));
    }
    let carries = all.iter().find(|bend| part.bends[**bend].to == face);
    let direction = |bend: usize| {
        let edge = part.faces[face].edges[part.bends[bend].edge].edge;
        edge.direction_at_start()
    };
    let is_one =
        all.windows(2).all(|pair| direction(pair[0]).cross(direction(pair[1])).abs() < 1e-6);
    match (carries, all.first()) {
        (Some(bend), _) => Ok(Target::Outside { face, bend: *bend }),
        (None, Some(bend)) if is_one => Ok(Target::Outside { face, bend: *bend }),
        (None, None) => {
            let finding =
                Finding::stop("unknown-measure", format!("no bend ends face `{}`", of[0].0));
            Err(Box::new(finding.at(of[0].1, "").help("name a face beside a bend")))
        }
        (None, Some(bend)) => {
            let name = &part.bends[*bend].name;
            let headline = format!("face `{}` has bends both ways", of[0].0);
            let help = format!(
                "name the bend as well, to which it is square: `of = [\"{}\", \"{name}\"]`",
                of[0].0
            );
            Err(Box::new(Finding::stop("unknown-measure", headline).at(of[0].1, "").help(help)))
        }
    }
}
