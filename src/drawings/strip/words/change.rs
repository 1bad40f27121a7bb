//! Why a part goes to another machine for a bend.

use crate::drawings::spoken;
use crate::drawings::strip::words::Say;
use crate::sequence::Why;

impl Say<'_> {
    /// What keeps the machine of the bend before from making this one; nothing where it makes it, or
    /// nobody knows.
    pub(super) fn change(&self) -> Option<String> {
        let plan = self.solved.plan.as_ref()?;
        let at = plan.steps.iter().position(|step| step.bend == self.handling.bend)?;
        let (before, step) = (plan.steps.get(at.checked_sub(1)?)?, &plan.steps[at]);
        let (brake, shop) = (before.setup.brake, self.setup?.shop);
        if brake == step.setup.brake {
            return None;
        }
        let others = step.refused.iter().filter(|refusal| refusal.setup.brake == brake);
        let mut others = others.filter(|refusal| refusal.why != Why::NotNeeded);
        let why = others.next()?.why.words(&self.solved.part, self.job.units);
        let why = spoken::in_quotes(&why.replace("face ", ""));
        Some(format!("Not on the {}: {why}", shop.brakes[brake].name))
    }
}
