//! A text of the job, solved with what is known of the last one.

use crate::history::Past;
use crate::serve::opened::Opened;
use crate::serve::snapshot::Snapshot;
use crate::solve::Depth;

impl Opened {
    /// A text solved as a whole.
    pub(super) fn solve_text(&self, past: &Past, text: &str) -> Result<Snapshot, String> {
        self.look_to(Depth::Whole, past, text)
    }

    /// A text solved to a depth.
    pub(super) fn look_to(
        &self,
        depth: Depth,
        past: &Past,
        text: &str,
    ) -> Result<Snapshot, String> {
        Snapshot::of(self.desk.as_ref(), ((&self.kept, depth), &self.forms), past, text)
    }
}
