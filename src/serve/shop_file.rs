//! The shop's file changed from the page, and undone there.

use crate::serve::changed::Refused;
use crate::serve::current_layout::lock;
use crate::serve::found;
use crate::serve::opened::At;
use crate::serve::opened::Opened;
use crate::serve::opened::SHOP;
use crate::serve::opened::Whereabouts;
use crate::serve::setting::ShopEdit;
use crate::serve::snapshot;
use crate::serve::snapshot::Snapshot;
use crate::serve::snapshot::Unread;
use crate::serve::undo::Step;
use crate::solve::Depth;
use serde_json::Value;
use serde_json::json;
use std::sync::Arc;

impl Opened {
    /// Changes the shop's file.
    pub(super) fn edit_shop(self: &Arc<Self>, edit: &ShopEdit) -> Result<Whereabouts, Refused> {
        let none = || Refused::Cannot("the job names no shop file".to_owned());
        let file = self.at().seen.shop().ok_or_else(none)?;
        let before = self.desk.file(&file)?.ok_or_else(none)?;
        let (after, name) = edit.applied(&before, self.at().seen.units())?;
        let entry = Some(SHOP.to_owned());
        if after != before {
            self.save_file(&file, &before, &after)?;
            let (entry, name) = (entry.clone(), name.clone());
            let (part, set) = (None, None);
            let step = Step {
                name,
                part,
                set,
                entry,
                file: Some(file),
                before: before.into(),
                after: after.into(),
            };
            lock(&self.now).steps.add(step);
            self.say_changed(None);
        }
        Ok(Whereabouts { part: None, entry, name })
    }

    /// What a change of the job's settings, of its sheets or of the shop's file would come to: what is
    /// found then, where the job could not be read.
    pub(super) fn tried_shop(&self, edit: &ShopEdit) -> Result<Value, Refused> {
        let At { seen, .. } = self.at();
        let file = if edit.shop { seen.shop() } else { None };
        let there = match &file {
            Some(file) => self.desk.file(file)?.unwrap_or_default(),
            None => seen.text.clone(),
        };
        let (after, _) = edit.applied(&there, seen.units())?;
        let (text, in_place) = match &file {
            Some(file) => (seen.text.as_str(), Some((file.as_str(), after.as_str()))),
            None => (after.as_str(), None),
        };
        let unread = snapshot::unread(self.desk.as_ref(), text, in_place)?;
        let shown = self.desk.shown();
        let row = |(finding, sources)| {
            found::row(finding, sources, &shown, edit.path().map(str::to_owned))
        };
        let all = unread.iter().flat_map(|Unread { findings, sources }| {
            findings.iter().map(move |finding| (finding, sources))
        });
        Ok(json!({ "findings": all.map(row).collect::<Vec<_>>() }))
    }

    /// Writes a file that the job names, unless the job could not be read with it.
    pub(super) fn save_file(&self, file: &str, before: &str, after: &str) -> Result<(), Refused> {
        if self.read_only {
            return Err(Refused::Cannot("this page is read-only: nothing was written".into()));
        }
        // What is solved with the new file is kept for the next edit, unless that is not written.
        self.kept.forget();
        let saved = self.solved_with(file, after).and_then(|solved| {
            match self.desk.save_file(file, before, after)? {
                true => Ok(solved),
                false => {
                    let words = "the file was changed at the same moment; nothing was written";
                    Err(Refused::Outside(words.to_owned()))
                }
            }
        });
        match saved {
            Ok(solved) => {
                *lock(&self.own) = Some((file.to_owned(), after.to_owned()));
                self.put(solved);
                Ok(())
            }
            Err(why) => {
                self.kept.forget();
                Err(why)
            }
        }
    }

    /// The job solved with another text in place of a file that it names.
    fn solved_with(&self, file: &str, after: &str) -> Result<Snapshot, Refused> {
        let At { seen, past, .. } = self.at();
        let solve = ((&self.kept, Depth::Whole), &self.forms);
        let (desk, in_place) = (self.desk.as_ref(), Some((file, after)));
        let solved = Snapshot::with(desk, solve, &past, &seen.text, in_place)?;
        match &solved.job {
            Ok(_) => Ok(solved),
            Err(unread) => {
                let first = unread.findings.first().map(|finding| finding.headline.clone());
                Err(first.unwrap_or_default().into())
            }
        }
    }

    /// Whether a file beside the job was written here.
    pub(super) fn is_own(&self) -> bool {
        let own = lock(&self.own).take();
        own.is_some_and(|(file, text)| self.desk.file(&file).ok().flatten() == Some(text))
    }
}
