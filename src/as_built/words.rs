//! Causes and measurements in words.

use crate::as_built::cause::Kind;
use crate::as_built::model::At;
use crate::as_built::model::Model;
use crate::as_built::target::Target;
use crate::job::Job;
use crate::job::What;
use crate::num;

/// A length in the units of the job, or an angle: no finer than it can be measured.
pub(crate) fn value(job: &Job, is_angle: bool, value: f64) -> String {
    if is_angle {
        return format!("{}°", num::text(value, 2));
    }
    let finest = if job.units.in_mm() == 1.0 { 0.01 } else { 0.0254 };
    let rounded = (value / finest).round() * finest;
    job.units.length(if rounded == 0.0 { 0.0 } else { rounded })
}

/// The kind of measurement of a target.
pub(super) fn what(target: Target) -> What {
    match target {
        Target::Gap => What::Gap,
        Target::Outside { .. } => What::Outside,
        Target::Angle(_) => What::Angle,
        Target::Radius(_) => What::Radius,
        Target::Holes(_) => What::Holes,
        Target::Hole(_) => What::Hole,
        Target::Thickness => What::Thickness,
    }
}

/// The measured feature, with its part.
pub(super) fn target(model: &Model, at: &At) -> String {
    let part = &model.solved[at.part].part;
    let hole = |id| &part.hole(id).name;
    let coated = if at.coated { ", coated" } else { "" };
    let words = match at.target {
        Target::Gap => "gap between the ears".to_owned(),
        Target::Outside { face, bend } => {
            let (face, bend) = (&part.faces[face].name, &part.bends[bend].name);
            match face == bend {
                true => format!("outside length of `{face}`"),
                false => format!("outside length of `{face}` square to bend `{bend}`"),
            }
        }
        Target::Angle(bend) => format!("angle of bend `{}`", part.bends[bend].name),
        Target::Radius(bend) => format!("inside radius of bend `{}`", part.bends[bend].name),
        Target::Holes([one, other]) => {
            format!("distance between holes `{}` and `{}`", hole(one), hole(other))
        }
        Target::Hole(id) => format!("diameter of hole `{}`", hole(id)),
        Target::Thickness => "thickness".to_owned(),
    };
    format!("{words}{coated}")
}

/// The same with its part.
pub(super) fn place(model: &Model, at: &At) -> String {
    let name = &model.solved[at.part].name;
    let piece = if at.piece > 1 { format!(", piece {}", at.piece) } else { String::new() };
    format!("{} of {name}{piece}", target(model, at))
}

/// A cause.
pub(super) fn cause(model: &Model, kind: Kind) -> String {
    let group = |group: usize| {
        let of = &model.groups[group];
        let sheet = &model.job.sheets[of.sheet].name;
        match of.v {
            Some(v) => format!("{sheet} over a V of {}", model.job.units.length(v)),
            None => format!("{sheet}, {}", of.method),
        }
    };
    let sheet = |sheet: usize| &model.job.sheets[sheet].name;
    let one = |part: usize, piece: u32, bend: Option<usize>| {
        let solved = &model.solved[part];
        let bend =
            bend.map_or_else(String::new, |bend| format!("`{}` of ", solved.part.bends[bend].name));
        let piece = if piece > 1 { format!(", piece {piece}") } else { String::new() };
        format!("{bend}{}{piece}", solved.name)
    };
    match kind {
        Kind::Deduction { group: of } => format!("bend deduction of {}", group(of)),
        Kind::Radius { group: of } => format!("inside radius of {}", group(of)),
        Kind::Springback { group: of } => format!("bend angle of {}", group(of)),
        Kind::Thickness { sheet: of } => format!("thickness of {}", sheet(of)),
        Kind::Cut { sheet: of } => format!("cut edges of {}", sheet(of)),
        Kind::Film { coating } => match model.coatings.as_slice() {
            [_] => "coating thickness on a face".to_owned(),
            all => format!("coating of {} on a face", model.job.units.length(all[coating].film)),
        },
        Kind::Assembly { part, piece } => {
            format!("welding and setting-up of {}", one(part, piece, None))
        }
        Kind::Line { part, piece, bend } => {
            format!("position of bend line {}", one(part, piece, Some(bend)))
        }
        Kind::Angle { part, piece, bend } => {
            format!("angle of bend {}, apart from the others", one(part, piece, Some(bend)))
        }
    }
}
