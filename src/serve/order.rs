//! The order: a package for each metal and thickness, which of them are kept, which were sent
//! before and whether they have changed since.

use crate::history::Sent;
use crate::job::Job;
use crate::package;
use crate::serve::opened::At;
use crate::serve::opened::Opened;
use crate::solve;
use crate::solve::Solved;
use serde_json::Value;
use serde_json::json;
use std::cmp::Ordering;
use std::collections::BTreeSet;
use std::sync::Arc;

/// A package of an order with its parts.
struct Package<'a> {
    name: String,
    parts: Vec<&'a Solved>,
}

fn packages<'a>(job: &Job, solved: &'a [Solved]) -> Vec<Package<'a>> {
    let all = package::contents(job, solved).into_iter();
    all.map(|(name, parts)| Package {
        name,
        parts: parts.into_iter().map(|i| &solved[i]).collect(),
    })
    .collect()
}

/// What became of a part since it was sent last.
fn since<'s>(job: &Job, part: &Solved, sent: &'s [Sent]) -> (&'static str, Option<&'s Sent>) {
    let last = sent.iter().rev().find(|sent| sent.part(&part.name).is_some());
    let was = last.and_then(|sent| sent.part(&part.name));
    match was {
        None => ("not sent yet", None),
        Some(was) if was.geometry != part.issue.geometry => ("changed since", last),
        Some(was) => match solve::pieces(job, part).cmp(&was.pieces) {
            Ordering::Equal => ("as it was sent", last),
            Ordering::Less => ("fewer than were sent", last),
            Ordering::Greater => ("more than were sent", last),
        },
    }
}

impl Opened {
    /// The packages of the order, and the records of orders sent.
    ///
    /// # Errors
    /// When the job cannot be read.
    pub fn order(&self) -> Result<Value, String> {
        let At { seen, past, .. } = self.at();
        let job = seen.job.as_ref().map_err(|_| "the job cannot be read".to_owned())?;
        let all = &job.ready.job;
        let kept = self.layouts.kept();
        let package = |of: &Package| {
            let sheet = &all.sheets[of.parts[0].sheet];
            let part = |part: &&Solved| {
                let (word, sent) = since(all, part, &past.sent);
                json!({
                    "name": part.name,
                    "pieces": solve::pieces(all, part),
                    "issue": part.issue.name(all),
                    "since": word,
                    "sent": sent.map(Sent::words),
                    "sent_pieces": sent.and_then(|sent| sent.part(&part.name)).map(|was| was.pieces),
                })
            };
            json!({
                "name": of.name,
                "material": sheet.material.name(),
                "thickness": all.units.size(sheet.thickness),
                "kept": kept.contains(&of.name),
                "parts": of.parts.iter().map(part).collect::<Vec<_>>(),
            })
        };
        let packages = packages(all, &job.ready.solved);
        let is_ordered =
            |name: &str| packages.iter().any(|of| of.parts.iter().any(|p| p.name == name));
        let last = past.sent.last().into_iter().flat_map(Sent::parts);
        let gone: Vec<&str> =
            last.map(|part| part.name.as_str()).filter(|name| !is_ordered(name)).collect();
        let sent = past.sent.iter().rev();
        let sent = sent.map(|sent| json!({ "words": sent.words(), "parts": sent.parts().count() }));
        Ok(json!({
            "packages": packages.iter().map(package).collect::<Vec<_>>(),
            "sent": sent.collect::<Vec<_>>(),
            "gone": gone,
        }))
    }

    /// Keeps a package here, or sends it; every page is notified.
    pub fn keep(self: &Arc<Self>, name: &str, keep: bool) {
        self.layouts.keep(name, keep);
        self.say(&json!({ "kind": "order" }));
    }

    /// Records the order made last as sent: all packages that are not kept. Returns what was
    /// recorded, in words.
    ///
    /// # Errors
    /// When nothing was made, a file has changed since, or the record cannot be written.
    pub fn sent(self: &Arc<Self>, to: &str) -> Result<String, String> {
        if self.read_only {
            return Err("this page is read-only: nothing was written".to_owned());
        }
        let At { seen, .. } = self.at();
        let job = seen.job.as_ref().map_err(|_| "the job cannot be read".to_owned())?;
        let kept = self.layouts.kept();
        let all = packages(&job.ready.job, &job.ready.solved);
        let (here, away): (Vec<_>, Vec<_>) = all.iter().partition(|of| kept.contains(&of.name));
        if away.is_empty() {
            return Err("all packages are kept: there is nothing to send".to_owned());
        }
        let parts: BTreeSet<String> =
            here.iter().flat_map(|of| of.parts.iter().map(|part| part.name.clone())).collect();
        let names: BTreeSet<String> = here.into_iter().map(|of| of.name.clone()).collect();
        let words = self.desk.sent(to, &names, &parts)?;
        self.made()?;
        Ok(words)
    }
}
