//! What the page needs from outside: where the job is, and where its files are written.

use crate::history::Past;
use crate::workshop::Workshop;
use crate::write::NamedFile;
use std::collections::BTreeSet;

/// A job on its desk. Errors are sentences for the person.
pub trait Desk: Send + Sync {
    /// Name of the job.
    fn name(&self) -> String;

    /// How findings call its file.
    fn shown(&self) -> String;

    /// Whether its file is there; of a job that is only begun it is written with the first change.
    fn is_written(&self) -> bool {
        true
    }

    /// Its present text.
    ///
    /// # Errors
    /// When it cannot be read.
    fn text(&self) -> Result<String, String>;

    /// Replaces the present text in one step; `was` is the text the new one was made from. Gives
    /// `false`, and changes nothing, where another is there by now.
    ///
    /// # Errors
    /// When it cannot be written; the old text is unchanged.
    fn save(&self, was: &str, text: &str) -> Result<bool, String>;

    /// The text of a file that the job names, such as that of the shop; `None` if it does not
    /// exist.
    ///
    /// # Errors
    /// When it cannot be read.
    fn file(&self, name: &str) -> Result<Option<String>, String>;

    /// Puts a text in place of that of such a file, as [`Desk::save`] does.
    ///
    /// # Errors
    /// When it cannot be written; the old text is unchanged.
    fn save_file(&self, name: &str, was: &str, text: &str) -> Result<bool, String>;

    /// The records of what was made and sent of it.
    ///
    /// # Errors
    /// When it cannot be read.
    fn past(&self) -> Result<Past, String>;

    /// Records the order made last as sent, without the packages and the parts that are kept;
    /// returns what was recorded, in words.
    ///
    /// # Errors
    /// When nothing was made, a file has changed since, or the record cannot be written.
    fn sent(
        &self,
        to: &str,
        packages: &BTreeSet<String>,
        parts: &BTreeSet<String>,
    ) -> Result<String, String>;

    /// Runs a function in the workshop of the job, with the present tables and recipes.
    ///
    /// # Errors
    /// When the tables cannot be read.
    fn in_workshop(&self, work: &mut dyn FnMut(&Workshop)) -> Result<(), String>;

    /// Writes the files made, and returns the name of the folder.
    ///
    /// # Errors
    /// When they cannot be written; the folder is unchanged.
    fn write(&self, files: &[NamedFile]) -> Result<String, String>;
}
