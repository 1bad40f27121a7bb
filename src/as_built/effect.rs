//! What a measured row of the shop file means on the parts of a job.

use crate::bend::Bend;
use crate::bend::Form;
use crate::bend::Method;
use crate::job::Job;
use crate::part;
use crate::shop::Measured;
use crate::shop::SAME_SHEET;
use crate::solve::Solved;
use crate::solve::setup;

/// What a measured row means on a part, where it is most.
#[derive(Clone, Debug, PartialEq)]
pub struct Effect {
    /// Name of the part.
    pub part: String,
    /// The face on which it is most.
    pub face: String,
    /// Bends that end that face.
    pub bends: usize,
    /// How much longer that face comes out, to the mould lines, than the flat of today is made
    /// for; less than 0 where it comes out shorter.
    pub by: f64,
    /// Millimetres of that length for each millimetre of deduction at 90°.
    pub share: f64,
}

/// Two openings of a V are one when they differ by less. Our choice.
const SAME_V: f64 = 0.5;

/// What a row means on every part that is bent from its sheet over its V, or over a V that nobody
/// has chosen yet.
pub fn effects(job: &Job, solved: &[Solved], row: &Measured) -> Vec<Effect> {
    let of_sheet = |solved: &&Solved| {
        let sheet = &job.sheets[solved.sheet];
        sheet.material.name() == row.material
            && (sheet.thickness - row.thickness).abs() <= SAME_SHEET * row.thickness
    };
    solved.iter().filter(of_sheet).filter_map(|solved| effect(job, solved, row)).collect()
}

fn effect(job: &Job, solved: &Solved, row: &Measured) -> Option<Effect> {
    let part = &solved.part;
    let over = |i: usize| match setup(job, solved, i).map(|setup| setup.v) {
        None => true,
        Some(v) => v.is_some_and(|v| (v - row.v).abs() < SAME_V),
    };
    let is_bent = |bend: &part::Bend| bend.bend.form() == Form::Bent;
    let counts: Vec<bool> =
        part.bends.iter().enumerate().map(|(i, bend)| is_bent(bend) && over(i)).collect();
    let of_face = |face: usize| {
        let at = part.bends.iter().zip(&counts);
        let at = at.filter(|(bend, counts)| **counts && (bend.from == face || bend.to == face));
        let (mut by, mut share, mut bends) = (0.0, 0.0, 0);
        for (bend, _) in at {
            by += longer(&bend.bend, row)?;
            share += bend.bend.angle().degrees() / 180.0;
            bends += 1;
        }
        Some(Effect {
            part: solved.name.clone(),
            face: part.faces[face].name.clone(),
            bends,
            by,
            share,
        })
    };
    let faces = (0..part.faces.len()).filter_map(of_face).filter(|effect| effect.bends > 0);
    faces.max_by(|a, b| a.by.abs().total_cmp(&b.by.abs()).then(a.share.total_cmp(&b.share)))
}

/// How much longer a leg of this bend comes out where the row is right: the bend line is in the
/// centre of the bend, so each leg has half of what the deduction differs by.
fn longer(drawn: &Bend, row: &Measured) -> Option<f64> {
    let method = Method::K(row.k);
    let is = Bend::new(drawn.thickness(), row.radius, drawn.angle(), method).ok()?;
    Some((is.deduction() - drawn.deduction()) / 2.0)
}
