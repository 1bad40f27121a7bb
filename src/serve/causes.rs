//! The fields that were found to cause findings.

use std::collections::HashMap;
use std::sync::Mutex;

/// The fields that were found so, by the part and the headline.
#[derive(Default)]
pub(super) struct Causes(pub(super) Mutex<HashMap<(String, String), Option<Cause>>>);

/// A field, and its default if that removes the finding and adds no other.
#[derive(Clone)]
pub(super) struct Cause {
    pub(super) field: String,
    pub(super) instead: Option<String>,
}
