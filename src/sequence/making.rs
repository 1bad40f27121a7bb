//! How a rolled bend or a hem is made with the tools of a shop.

use crate::bend::Form;
use crate::brake;
use crate::flat::BendStrip;
use crate::flat::Flat;
use crate::part::Bend;
use crate::sequence::body::Body;
use crate::sequence::formed::Formed;
use crate::sequence::formed::Unfit;
use crate::sequence::formed::face_reach;
use crate::sequence::formed::flat_ends;
use crate::sequence::formed::hem_return;
use crate::sequence::refusal::Refusal;
use crate::sequence::task::Task;
use crate::sequence::tools::Sections;
use crate::sequence::trials::Trials;
use crate::sequence::wanted;
use crate::shop::Takes;

/// The tools for rolled bends and hems, and when they are made.
pub(super) struct Making<'a> {
    pub(super) task: &'a Task<'a>,
    pub(super) body: &'a Body<'a>,
    pub(super) sections: (&'a Sections, &'a Trials),
    /// The bends that are made before, as bits.
    pub(super) made: u32,
    /// Whether nothing else is formed, so that all of the sheet is still flat.
    pub(super) is_flat: bool,
}

impl Making<'_> {
    /// The tool of a rolled bend or a hem.
    pub(super) fn formed(&self, bend: usize) -> Formed {
        let mut acute = Vec::new();
        let tool = match self.task.part.bends[bend].bend.form() {
            Form::Rolled => self.rolled(bend),
            _ => self.flattened(bend, &mut acute),
        };
        Formed { bend, acute: if tool.is_ok() { Vec::new() } else { acute }, tool }
    }

    /// Why a tool does not take the sheet of a bend.
    fn refused(&self, bend: usize, takes: &Takes) -> Option<Unfit> {
        let thickness = self.task.part.bends[bend].bend.thickness();
        let long = self.task.flat.bends[bend].begins.length();
        let fits = takes.takes(long, thickness, self.task.metal.tensile_strength);
        let Takes { length, thickest, .. } = *takes;
        (!fits).then_some(Unfit::Takes { length, thickest })
    }

    fn rolled(&self, bend: usize) -> Tool {
        let task = self.task;
        let (made, strip) = (&task.part.bends[bend], &task.flat.bends[bend]);
        let ends = ends(task.flat, made, strip, self.is_flat);
        let rests = made.bend.radius();
        // Rolled radii are tighter than the final ones, as the sheet springs back.
        let (thickness, metal) = (made.bend.thickness(), task.metal);
        let is = brake::under_load(rests, thickness, metal.yield_strength, metal.elastic);
        let mut unfit = Vec::new();
        for roll in &task.shop.rolls {
            let why = self.refused(bend, &roll.takes).or_else(|| {
                let (min, max) = (roll.min_radius, roll.max_radius.unwrap_or(f64::INFINITY));
                let off = is < min - SAME || rests > max + SAME;
                off.then_some(Unfit::Radius { is, min, max })
            });
            let short = ends[0].min(ends[1]);
            let why = why.or_else(|| {
                let min = roll.flat_end;
                (short < min - SAME).then_some(Unfit::FlatEnd { is: short, min })
            });
            match why {
                None => return Ok(roll.name.clone()),
                Some(why) => unfit.push((roll.name.clone(), why)),
            }
        }
        Err(unfit)
    }

    /// What flattens a hem, after a brake of the shop has bent it far enough.
    fn flattened(&self, bend: usize, acute: &mut Vec<Refusal>) -> Tool {
        let (made, strip) = (&self.task.part.bends[bend], &self.task.flat.bends[bend]);
        let is = hem_return(made, strip, self.task.flat);
        let mut unfit = Vec::new();
        for tool in &self.task.shop.hemming {
            let why = self.refused(bend, &tool.takes).or_else(|| {
                (is < tool.min_return - SAME).then_some(Unfit::Return { is, min: tool.min_return })
            });
            let why = why.or_else(|| {
                let of = (bend, tool.acute);
                let tried = wanted::best(self.task, self.body, self.sections, self.made, of);
                *acute = tried.err()?;
                Some(Unfit::Acute { min: tool.acute })
            });
            match why {
                None => return Ok(tool.name.clone()),
                Some(why) => unfit.push((tool.name.clone(), why)),
            }
        }
        Err(unfit)
    }
}

/// The name of a tool, or why there is none.
type Tool = Result<String, Vec<(String, Unfit)>>;

/// What passes a limit by no more than this keeps it, mm: rounding.
const SAME: f64 = 1e-6;

/// How far the flat sheet continues beside a rolled bend: all of the blank where that is still
/// flat, else the faces alone.
fn ends(flat: &Flat, made: &Bend, strip: &BendStrip, is_flat: bool) -> [f64; 2] {
    let whole = flat_ends(strip, flat.region.outer());
    if is_flat {
        return whole;
    }
    let back = face_reach(strip, flat, made.from, true);
    let ahead = face_reach(strip, flat, made.to, false);
    [back.min(whole[0]), ahead.min(whole[1])]
}
