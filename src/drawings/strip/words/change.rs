//! Why a part is moved to another machine for a bend.

use crate::drawings::printed;
use crate::drawings::strip::words::Say;
use crate::sequence::Why;

impl Say<'_> {
    /// Why the machine of the bend before cannot make this one; `None` if it can, or if that is not
    /// known.
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
        let why = printed::in_quotes(&why.replace("face ", ""));
        Some(format!("Not {}: {why}", shop.brakes[brake].place()))
    }
}
