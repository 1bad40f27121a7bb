//! The field that caused a finding, if nobody changed it here: found by trying which given value,
//! put back to its default, removes the finding.

use crate::diag::Finding;
use crate::formula::Value as Worth;
use crate::serve::causes::Cause;
use crate::serve::current_layout::lock;
use crate::serve::opened::At;
use crate::serve::opened::Opened;
use crate::serve::snapshot::ListedPart;
use crate::serve::snapshot::SnapshotJob;
use crate::serve::text;
use serde_json::Value;
use serde_json::json;

/// No more than these are kept. Our choice.
const MAX: usize = 500;

/// No more values than these are tried for a part. Our choice.
const TRIED: usize = 24;

impl Opened {
    /// The field of a part whose change brought a finding about: one that was changed here, else the one
    /// that was found by trying.
    pub(super) fn caused(&self, part: &str, finding: &Finding) -> Option<String> {
        let here = lock(&self.now).steps.caused(part, &finding.headline);
        let tried = || {
            let causes = lock(&self.causes.0);
            let known = causes.get(&(part.to_owned(), finding.headline.clone())).cloned();
            known.flatten().map(|cause| cause.field)
        };
        here.or_else(tried)
    }

    /// The fields that caused the findings of a part, each a headline, a field, and its default if
    /// that removes the finding. `None` if there is no such part.
    pub fn causes(&self, name: &str) -> Option<Value> {
        let at = self.at();
        let Ok(job) = &at.seen.job else { return None };
        let part = job.part(name)?;
        let all = job.found(part);
        let key = |finding: &Finding| (name.to_owned(), finding.headline.clone());
        let unmended: Vec<&Finding> =
            all.iter().copied().filter(|finding| finding.fixes.is_empty()).collect();
        let is_new = |finding: &&Finding| !lock(&self.causes.0).contains_key(&key(finding));
        let found: Vec<&Finding> = unmended.iter().copied().filter(is_new).collect();
        if !found.is_empty() {
            let caused = self.tried_out(&at, (job, part), &found, all.len());
            let mut causes = lock(&self.causes.0);
            if causes.len() > MAX {
                causes.clear();
            }
            causes.extend(found.iter().map(|finding| key(finding)).zip(caused));
        }
        let causes = lock(&self.causes.0);
        let of = unmended.into_iter().filter_map(|finding| {
            let cause = causes.get(&key(finding))?.as_ref()?;
            Some(json!([finding.headline, cause.field, cause.instead]))
        });
        Some(of.collect())
    }

    /// Which value of a part brought each finding about, of `count` that it has.
    fn tried_out(
        &self,
        at: &At,
        (job, part): (&SnapshotJob, ListedPart),
        found: &[&Finding],
        count: usize,
    ) -> Vec<Option<Cause>> {
        let mut caused: Vec<(usize, Option<Cause>)> = vec![(usize::MAX, None); found.len()];
        for key in given(at, job, part) {
            let Some((then, instead)) = self.without(at, job, part, &key) else { continue };
            for (finding, best) in found.iter().zip(&mut caused) {
                let here = lock(&self.now).steps.caused(part.name, &finding.headline);
                let own = subject(finding);
                // Of several that remove it, the one that leaves the fewest other findings.
                if here.is_none_or(|here| here == key)
                    && then.iter().all(|other| *other != own)
                    && then.len() < best.0
                {
                    let instead = instead.clone().filter(|_| then.len() < count);
                    *best = (then.len(), Some(Cause { field: key.clone(), instead }));
                }
            }
        }
        caused.into_iter().map(|(_, cause)| cause).collect()
    }

    /// The findings in a part without one of its values, and the value it then has; `None` if the
    /// part cannot be developed then.
    fn without(
        &self,
        at: &At,
        job: &SnapshotJob,
        part: ListedPart,
        key: &str,
    ) -> Option<(Vec<String>, Option<String>)> {
        let entry = job.entries[part.line]?;
        let text = text::set(&at.seen.text, entry, &format!("given.{key}"), None).ok()?;
        let seen = self.solve_text(&at.past, &text).ok()?;
        let job = seen.job.as_ref().ok()?;
        let part = job.part(part.name)?;
        // Another size of bolt or tube is no remedy that one takes with a click.
        let worth = part.solved.and_then(|solved| solved.params.get(key));
        let worth = worth.filter(|value| !matches!(value, Worth::Row(_)));
        let worth = worth.map(|value| value.show(job.ready.job.units));
        Some((job.found(part).into_iter().map(subject).collect(), worth))
    }
}

/// The inputs that a part is given in its entry, sizes before rows of tables: they are finer.
fn given(at: &At, job: &SnapshotJob, part: ListedPart) -> Vec<String> {
    let line = &job.ready.job.lines[part.line];
    let Some(entry) = job.entries[part.line] else { return Vec::new() };
    let is_own = |key: &&String| at.seen.value(entry, &format!("given.{key}")).is_some();
    let mut keys: Vec<String> =
        line.given.iter().map(|(key, _)| key).filter(is_own).cloned().collect();
    let form = job.forms.get(&line.recipe.0);
    keys.sort_by_key(|key| {
        let asked = form.and_then(|form| form.inputs.iter().find(|asked| asked.key == *key));
        !asked.is_some_and(|asked| matches!(asked.kind, crate::recipe::Kind::Number(..)))
    });
    keys.truncate(TRIED);
    keys
}

/// The subject of a finding, independent of its figures.
pub(super) fn subject(finding: &Finding) -> String {
    subject_in(finding.code, &finding.headline)
}

/// The same of its code and headline.
pub(super) fn subject_in(code: &str, headline: &str) -> String {
    let words = headline.chars().filter(|c| !c.is_ascii_digit() && !matches!(c, '.' | '-'));
    format!("{code} {}", words.collect::<String>())
}
