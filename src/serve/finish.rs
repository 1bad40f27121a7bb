//! The slow parts of an edit, done after its picture was answered.

use crate::serve::current_layout::lock;
use crate::serve::opened::At;
use crate::serve::opened::Opened;
use std::sync::Arc;
use std::thread;

impl Opened {
    /// Checks everything of the present job that has not been checked, beside other work, and
    /// notifies every page.
    pub(super) fn finish(self: &Arc<Self>) {
        let At { seen, version, .. } = self.at();
        if seen.job.as_ref().map_or(true, |job| job.checking(None).is_none()) {
            return;
        }
        let opened = Arc::clone(self);
        thread::spawn(move || {
            let _one = lock(&opened.finishing);
            let At { seen, version: now, past } = opened.at();
            // A later change is finished by its own run.
            if now != version {
                return;
            }
            let whole = opened.checks.run(|| opened.solve_text(&past, &seen.text));
            let _alone = lock(&opened.changing);
            if let (Ok(whole), true) = (whole, opened.version() == version) {
                opened.put(whole);
                opened.say_changed(None);
            }
        });
    }
}
