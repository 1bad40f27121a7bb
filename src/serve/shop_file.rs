//! The shop's file changed from the page, and undone there.

use crate::quantity::Units;
use crate::serve::changed::Refused;
use crate::serve::current_layout::lock;
use crate::serve::found;
use crate::serve::opened::At;
use crate::serve::opened::Opened;
use crate::serve::opened::SHOP;
use crate::serve::opened::Whereabouts;
use crate::serve::setting::ShopEdit;
use crate::serve::snapshot::Snapshot;
use crate::serve::steps::Step;
use crate::solve::Depth;
use crate::solve::SolveCache;
use serde_json::Value;
use serde_json::json;
use std::sync::Arc;

impl Opened {
    /// The units of the job; mm while it cannot be read.
    fn units(&self) -> Units {
        let At { seen, .. } = self.at();
        seen.job.as_ref().map_or(Units::Millimetre, |job| job.ready.job.units)
    }

    /// Changes the shop's file.
    pub(super) fn edit_shop(self: &Arc<Self>, edit: &ShopEdit) -> Result<Whereabouts, Refused> {
        let none = || Refused::Cannot("the job names no shop file".to_owned());
        let file = self.at().seen.shop().ok_or_else(none)?;
        let before = self.desk.file(&file)?.ok_or_else(none)?;
        let (after, name) = edit.applied(&before, self.units())?;
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
        let At { seen, past, .. } = self.at();
        let file = if edit.shop { seen.shop() } else { None };
        let there = match &file {
            Some(file) => self.desk.file(file)?.unwrap_or_default(),
            None => seen.text.clone(),
        };
        let (after, _) = edit.applied(&there, self.units())?;
        let (text, in_place) = match &file {
            Some(file) => (seen.text.as_str(), Some((file.as_str(), after.as_str()))),
            None => (after.as_str(), None),
        };
        let solve = ((&SolveCache::default(), Depth::Flat), &self.forms);
        let new = Snapshot::with(self.desk.as_ref(), solve, &past, text, in_place)?;
        let (all, sources) = new.findings();
        let shown = self.desk.shown();
        let row = |finding| found::row(finding, sources, &shown, edit.path().map(str::to_owned));
        let rows: Vec<_> = all.iter().filter(|_| new.job.is_err()).map(row).collect();
        Ok(json!({ "findings": rows }))
    }

    /// Writes a file that the job names, unless the job could not be read with it.
    pub(super) fn save_file(&self, file: &str, before: &str, after: &str) -> Result<(), Refused> {
        if self.read_only {
            return Err(Refused::Cannot("this page is read-only: nothing was written".into()));
        }
        let At { seen, past, .. } = self.at();
        let in_place = Some((file, after));
        let new = Snapshot::with(
            self.desk.as_ref(),
            ((&SolveCache::default(), Depth::Whole), &self.forms),
            &past,
            &seen.text,
            in_place,
        )?;
        if let Err(unread) = &new.job {
            let first = unread.findings.first().map(|finding| finding.headline.clone());
            return Err(first.unwrap_or_default().into());
        }
        if !self.desk.save_file(file, before, after)? {
            let words = "the file was changed at the same moment; nothing was written";
            return Err(Refused::Outside(words.to_owned()));
        }
        *lock(&self.own) = Some((file.to_owned(), after.to_owned()));
        self.kept.forget();
        self.put(new);
        Ok(())
    }

    /// Whether a file beside the job was written here.
    pub(super) fn is_own(&self) -> bool {
        let own = lock(&self.own).take();
        own.is_some_and(|(file, text)| self.desk.file(&file).ok().flatten() == Some(text))
    }
}
