//! The effect of a measured row of the shop file on the parts of a job.

use crate::as_built::target;
use crate::bend::Bend;
use crate::bend::Form;
use crate::bend::Method;
use crate::job::Job;
use crate::part;
use crate::shop::Measured;
use crate::shop::SAME_SHEET;
use crate::shop::SAME_V;
use crate::solve::Solved;
use crate::solve::setup;

/// The effect of a measured row on a part, where it is largest.
#[derive(Clone, Debug, PartialEq)]
pub struct Effect {
    /// Name of the part.
    pub part: String,
    /// The face on which it is most.
    pub face: String,
    /// Bends that end that face, in the direction in which it is most: one, or two straight across
    /// from one another.
    pub bends: usize,
    /// How much longer that face comes out in that direction, to the mould lines, than the present
    /// flat is made for; less than 0 where it comes out shorter.
    pub by: f64,
    /// Millimetres of that length for each millimetre of deduction at 90°.
    pub share: f64,
}

/// The effect of a row on every part that is bent from its sheet over its V, or over a V that has
/// not been chosen yet.
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
    let of_bend = |(i, bend): (usize, &part::Bend)| {
        let counts = bend.bend.form() == Form::Bent && over(i);
        let by = longer(&bend.bend, row).filter(|_| counts)?;
        Some(End { bend: i, by, share: bend.bend.angle().degrees() / 180.0 })
    };
    let ends: Vec<End> = part.bends.iter().enumerate().filter_map(of_bend).collect();
    let of_face = |face: usize| {
        let is_at = |end: &&End| target::edge(solved, face, end.bend).is_some();
        let all = ends.iter().filter(is_at).map(move |end| (face, end));
        all.collect::<Vec<_>>()
    };
    let of_end = |(face, end): (usize, &End)| {
        let across = |other: &&End| target::is_opposite(solved, face, end.bend, other.bend);
        let far = ends.iter().filter(across).max_by(|a, b| a.by.abs().total_cmp(&b.by.abs()));
        Effect {
            part: solved.name.clone(),
            face: part.faces[face].name.clone(),
            bends: 1 + usize::from(far.is_some()),
            by: end.by + far.map_or(0.0, |far| far.by),
            share: end.share + far.map_or(0.0, |far| far.share),
        }
    };
    let all = (0..part.faces.len()).flat_map(of_face).map(of_end);
    all.max_by(|a, b| a.by.abs().total_cmp(&b.by.abs()).then(a.share.total_cmp(&b.share)))
}

/// A bend that ends a face: how much longer that comes out by it, mm, and for each millimetre of
/// deduction at 90°.
struct End {
    bend: usize,
    by: f64,
    share: f64,
}

/// How much longer a leg of this bend is if the row is right: the bend line is in the centre of the
/// bend, so each leg has half of the difference of the deductions.
fn longer(drawn: &Bend, row: &Measured) -> Option<f64> {
    let method = Method::K(row.k);
    let is = Bend::new(drawn.thickness(), row.radius, drawn.angle(), method).ok()?;
    Some((is.deduction() - drawn.deduction()) / 2.0)
}
