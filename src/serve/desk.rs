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

    /// Its text as it is now.
    ///
    /// # Errors
    /// When it cannot be read.
    fn text(&self) -> Result<String, String>;

    /// Puts a text in place of the one that is there, in one step; `was` is what it was made from.
    /// Gives `false`, and changes nothing, where another is there by now.
    ///
    /// # Errors
    /// When it cannot be written; the old text is there as it was.
    fn save(&self, was: &str, text: &str) -> Result<bool, String>;

    /// The text of a file that the job names, such as that of the shop; none where there is none.
    ///
    /// # Errors
    /// When it cannot be read.
    fn file(&self, name: &str) -> Result<Option<String>, String>;

    /// Puts a text in place of that of such a file, as [`Desk::save`] does.
    ///
    /// # Errors
    /// When it cannot be written; the old text is there as it was.
    fn save_file(&self, name: &str, was: &str, text: &str) -> Result<bool, String>;

    /// What was made and sent of it.
    ///
    /// # Errors
    /// When it cannot be read.
    fn past(&self) -> Result<Past, String>;

    /// Records what was made last as sent to somebody, without the packages and the parts that are
    /// kept; gives what was recorded, in words.
    ///
    /// # Errors
    /// When nothing was made, it is not as it was made, or the record cannot be written.
    fn sent(
        &self,
        to: &str,
        packages: &BTreeSet<String>,
        parts: &BTreeSet<String>,
    ) -> Result<String, String>;

    /// Does something in the workshop of the job, with the tables and recipes as they are now.
    ///
    /// # Errors
    /// When the tables cannot be read.
    fn in_workshop(&self, work: &mut dyn FnMut(&Workshop)) -> Result<(), String>;

    /// Writes what was made, and gives the name of the folder.
    ///
    /// # Errors
    /// When it cannot be written; the folder is as it was.
    fn write(&self, files: &[NamedFile]) -> Result<String, String>;
}
