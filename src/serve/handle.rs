//! Which input of a part makes one of its sizes: what changes with it, tried out.

use crate::formula::Value as Worth;
use crate::quantity::Dimension;
use crate::quantity::Quantity;
use crate::recipe::Kind;
use crate::serve::opened::At;
use crate::serve::opened::Opened;
use crate::serve::snapshot::ListedPart;
use crate::serve::snapshot::SnapshotJob;
use crate::serve::text;
use crate::serve::text::Entry;
use crate::solve::Depth;
use crate::solve::Solved;

/// By how much an input is changed to see what becomes of a size, mm or degrees. Our choice: no more
/// than a tolerance, so that nothing else comes of it.
pub(super) const NUDGE: f64 = 0.1;

/// An input of a part that has a value in mm or degrees, and what its text would be.
pub(super) struct Nudged {
    pub(super) key: String,
    /// Its present value.
    pub(super) value: f64,
    /// The text of the job with more.
    pub(super) text: String,
}

/// A value as typed.
fn typed(value: f64, dimension: Dimension) -> String {
    let unit = if dimension == Dimension::ANGLE { "deg" } else { "mm" };
    format!("{} {unit}", crate::num::text(value, 3))
}

/// The inputs of a part that could make a size, each with the text in which it is more by `by`, mm or
/// degrees.
pub(super) fn nudged(at: &At, job: &SnapshotJob, part: ListedPart, by: f64) -> Vec<Nudged> {
    let line = &job.ready.job.lines[part.line];
    let form = job.forms.get(&line.recipe.0);
    let (Some(entry), Some(form), Some(solved)) = (job.entries[part.line], form, part.solved)
    else {
        return Vec::new();
    };
    let one = |asked: &crate::serve::form::FormInput| {
        let dimension = match &asked.kind {
            Kind::Number(dimension, _) => *dimension,
            _ => return None,
        };
        let is_size = dimension == Dimension::LENGTH || dimension == Dimension::ANGLE;
        let Some(Worth::Quantity(Quantity { value, .. })) = solved.params.get(&asked.key) else {
            return None;
        };
        let given = at.seen.value(entry, &format!("given.{}", asked.key));
        // A value that a family varies, or a choice decides, is not a single one.
        let own = line.given.iter().chain(&line.open).any(|(name, _)| *name == asked.key);
        if !is_size || (own && given.is_none()) {
            return None;
        }
        let text = set(&at.seen.text, entry, &asked.key, &typed(value + by, dimension))?;
        Some(Nudged { key: asked.key.clone(), value: *value, text })
    };
    form.inputs.iter().filter_map(one).collect()
}

/// A text in which an input has another value.
pub(super) fn set(text: &str, entry: Entry, key: &str, value: &str) -> Option<String> {
    text::set(text, entry, &format!("given.{key}"), Some(value.into())).ok()
}

impl Opened {
    /// The dimension of a part in another text, solved to a depth; `None` if it has no such part there.
    pub(super) fn measured<T>(
        &self,
        at: &At,
        (depth, text): (Depth, &str),
        name: &str,
        measure: &dyn Fn(&SnapshotJob, &Solved) -> Option<T>,
    ) -> Option<T> {
        let seen = self.look_to(depth, &at.past, text).ok()?;
        let job = seen.job.as_ref().ok()?;
        let solved = job.part(name)?.solved?;
        measure(job, solved)
    }
}
