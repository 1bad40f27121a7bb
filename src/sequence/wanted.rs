//! The tool, side and pieces for one bend: of all setups the one that ranks first.

use crate::brake;
use crate::num::Angle;
use crate::sequence::body::Body;
use crate::sequence::ranking::Found;
use crate::sequence::ranking::Ranking;
use crate::sequence::refusal::Refusal;
use crate::sequence::refusal::Why;
use crate::sequence::room::margin;
use crate::sequence::section::Bending;
use crate::sequence::setup::Setup;
use crate::sequence::setup::Tool;
use crate::sequence::task::Task;
use crate::sequence::tools;
use crate::sequence::tools::Sections;
use crate::sequence::tools::pairs;
use crate::sequence::trial::Trial;
use crate::sequence::trials;
use crate::sequence::trials::Trials;
use crate::shop::Tools;

/// The highest-ranking setup for a bend to an angle, with those that rank lower or do not work.
///
/// # Errors
/// All setups, when none works.
pub(super) fn best(
    task: &Task,
    body: &Body,
    (sections, trials): (&Sections, &Trials),
    made: u32,
    (bend, target): (usize, Angle),
) -> Result<Found, Vec<Refusal>> {
    let bending = Bending::new(body, made, (bend, target));
    let mut ranking = Ranking::new(margin(task.shop));
    let of = Wanted { task, bending: &bending, sections, trials, only: None };
    let is_by_hand = |i: &usize| task.shop.brakes[*i].is_by_hand();
    let (hands, mut brakes): (Vec<usize>, Vec<usize>) =
        (0..task.shop.brakes.len()).partition(is_by_hand);
    brakes.retain(|brake| sections.allowed.brake.is_none_or(|only| only == *brake));
    of.tried(&brakes, &mut ranking);
    // Bends that no brake can make are made by hand, if allowed.
    if sections.allowed.by_hand && !ranking.works() {
        of.tried(&hands, &mut ranking);
    }
    ranking.end()
}

/// The same with the brake, die and punch of a setup alone.
///
/// # Errors
/// All setups with these, when none works.
pub(super) fn best_on(
    task: &Task,
    body: &Body,
    (sections, trials): (&Sections, &Trials),
    made: u32,
    (bend, target): (usize, Angle),
    only: &Setup,
) -> Result<Found, Vec<Refusal>> {
    let bending = Bending::new(body, made, (bend, target));
    let mut ranking = Ranking::new(margin(task.shop));
    let of = Wanted { task, bending: &bending, sections, trials, only: Some(only) };
    of.tried(&[only.brake], &mut ranking);
    ranking.end()
}

/// A bend to be made, and the tools for it.
struct Wanted<'a> {
    task: &'a Task<'a>,
    bending: &'a Bending<'a>,
    sections: &'a Sections,
    trials: &'a Trials,
    /// A setup with the only tools that are tried, where not all are.
    only: Option<&'a Setup>,
}

impl Wanted<'_> {
    /// Tries the setups on some brakes, until none can rank before the best.
    fn tried(&self, brakes: &[usize], ranking: &mut Ranking) {
        let (task, bending) = (self.task, self.bending);
        let drawn = bending.drawn();
        for i in brakes.iter().copied() {
            let brake = &task.shop.brakes[i];
            let new = |tool: Tool, hold: usize| Setup {
                brake: i,
                hold,
                drawn_side_up: drawn.up,
                tool,
                under_load: bending.target,
            };
            let tools: Vec<Tool> = match &brake.tools {
                Tools::Folding(_) => vec![Tool::Fold { fingers: None }],
                Tools::Press(press) => pairs(press, &drawn.bend, self.sections.allowed.v),
            };
            if tools.is_empty() {
                let setup = new(Tool::Fold { fingers: None }, drawn.from);
                let usual = brake::v_opening(drawn.bend.thickness());
                ranking.refuse(Refusal { setup, why: Why::NoDie { usual } });
            }
            let both = [drawn.from, drawn.to];
            let all = tools.iter().flat_map(|tool| both.map(|at| new(*tool, at)));
            let is_it = |setup: &Setup| self.only.is_none_or(|only| only.same_tool(setup));
            for mut setup in all.filter(is_it) {
                let off = setup.v(task.shop).map(|v| tools::off(&drawn.bend, v));
                let (Some(floor), enough) = (ranking.floor(off), ranking.enough) else { continue };
                let sections = &self.sections.brakes[i];
                let trial = Trial { task, bending, brake, sections, floor, enough };
                let asked = trials::asked(bending, &setup, floor);
                let tried = self.trials.or(asked, &mut setup, |setup| trial.run(setup));
                ranking.add(setup, off, tried);
                if ranking.is_done() {
                    return;
                }
            }
        }
    }
}
