//! The change of one field of an entry.

use crate::serve::entry_edit::Change;
use crate::serve::entry_edit::EntryEdit;

impl EntryEdit {
    /// A field of an entry set, which had another value.
    pub(in crate::serve) fn set(
        (kind, index, name): (&str, usize, Option<String>),
        (key, value, was): (String, Option<String>, Option<String>),
    ) -> Self {
        Self {
            kind: kind.to_owned(),
            index: Some(index),
            name,
            change: Change::Set { key, value, was },
        }
    }

    /// The field that is set by it.
    pub(in crate::serve) fn key(&self) -> Option<&str> {
        match &self.change {
            Change::Set { key, .. } => Some(key),
            _ => None,
        }
    }

    /// The same with another value; nothing of any but the change of a field.
    pub(in crate::serve) fn with_value(&self, new: &str) -> Option<Self> {
        let Change::Set { key, was, .. } = &self.change else { return None };
        let change =
            Change::Set { key: key.clone(), value: Some(new.to_owned()), was: was.clone() };
        Some(Self { change, ..self.clone() })
    }
}
