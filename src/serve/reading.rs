//! A measurement of a part, as the page sends it, as a change of the text.

use crate::job::What;
use crate::quantity::Units;
use crate::serve::changed::Changed;
use crate::serve::changed::Refused;
use crate::serve::snapshot::Snapshot;
use crate::serve::sort::Sort;
use crate::serve::text;
use crate::serve::text::Entry;
use crate::serve::typed;
use serde::Deserialize;

/// A measurement.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Reading {
    /// The part.
    pub(super) part: String,
    /// What of it, in the word of a job.
    what: String,
    /// Of which faces, bends or holes.
    of: Vec<String>,
    /// The reading with its unit, or several with commas between.
    is: String,
    /// Whether it was measured over the coating.
    #[serde(default)]
    pub(super) coated: bool,
    /// The method by which to calculate the bends instead.
    #[serde(default)]
    instead: Option<Instead>,
}

/// Another K-factor for bends of the part. The nominal dimension of the part does not change: it is
/// measured against that.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Instead {
    k: f64,
    /// The bends of the recipe, each with the angle required of it that the page shows.
    bends: Vec<(String, Option<String>)>,
}

impl Reading {
    /// The text of a job that has it; or one whose bends are computed otherwise, where that is wanted.
    /// The reading is not kept then: its piece was cut to the other flat, and would be judged by this.
    pub(super) fn applied(&self, seen: &Snapshot) -> Result<Changed, Refused> {
        let Ok(job) = &seen.job else { return Err(text::NOT_TOML.to_owned().into()) };
        let listed = job.part(&self.part);
        let gone = || Refused::Outside(format!("`{}` is no longer there", self.part));
        let listed = listed.ok_or_else(gone)?;
        let name = format!("{}: {} measured {}", self.part, self.what, self.is);
        let changed =
            |text: String, name: String| Changed { text, name, part: Some(self.part.clone()) };
        if let Some(Instead { k, bends }) = &self.instead {
            let entry = job.entries[listed.line];
            let entry =
                entry.ok_or_else(|| "this part can only be changed in the text".to_owned())?;
            let text = bends.iter().try_fold(seen.text.clone(), |text, (bend, was)| {
                by_k(&text, entry, (bend, was.as_deref()), *k)
            })?;
            let bends: Vec<&str> = bends.iter().map(|(bend, _)| bend.as_str()).collect();
            let (bends, k) = (bends.join(", "), crate::num::text(*k, 4));
            return Ok(changed(text, format!("{name}, K-factor of {bends} {k}")));
        }
        let keys = self.keys(job.ready.job.units)?;
        Ok(changed(text::add_entry(&seen.text, "as_built", &keys)?, name))
    }

    fn keys(&self, units: Units) -> Result<Vec<(&'static str, toml_edit::Value)>, Refused> {
        let many = |all: &[&str]| -> toml_edit::Value {
            match all {
                [one] => (*one).into(),
                all => all.iter().copied().collect::<toml_edit::Array>().into(),
            }
        };
        let of: Vec<&str> = self.of.iter().map(String::as_str).collect();
        let mut keys =
            vec![("part", self.part.as_str().into()), ("what", self.what.as_str().into())];
        if !of.is_empty() {
            keys.push(("of", many(&of)));
        }
        let mut readings = typed::apart(&self.is);
        readings.retain(|one| !one.is_empty());
        let sort = if self.what == What::Angle.word() { Sort::Angle } else { Sort::Length };
        let readings = typed::all(&readings, None, sort.unit(units))?;
        keys.push(("is", many(&readings.iter().map(String::as_str).collect::<Vec<_>>())));
        if self.coated {
            keys.push(("coated", true.into()));
        }
        Ok(keys)
    }

    /// The same without any other field.
    pub(super) fn alone(&self) -> Self {
        Self { instead: None, ..self.clone() }
    }

    /// The measured dimension, in the word of a job.
    pub(super) fn what(&self) -> &str {
        &self.what
    }
}

/// A text in which a bend of an entry is computed by another K-factor.
fn by_k(
    text: &str,
    entry: Entry,
    (bend, was): (&str, Option<&str>),
    k: f64,
) -> Result<String, Refused> {
    let key = format!("bends.{bend}");
    let there = text::value(text, entry, &key);
    if there.as_deref() != was {
        let now = there.as_deref().unwrap_or("its default");
        let words =
            format!("`{key}` was changed in the file meanwhile, to {now}; that value is kept");
        return Err(Refused::Outside(words));
    }
    Ok(text::set(text, entry, &key, Some(k.into()))?)
}
