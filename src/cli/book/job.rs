//! Which job a cut is of: two jobs of one name, in two folders, may share a book.

use rusqlite::Connection;
use std::fs;
use std::path::Path;
use std::path::PathBuf;

/// A job as recorded in the book.
#[derive(Clone, Debug)]
pub(crate) struct JobFile {
    /// Its name: that of its file, without the ending.
    pub(crate) name: String,
    /// Its file, seen from the folder of the book; whole where it lies elsewhere.
    pub(super) file: String,
    /// The folder of the book.
    folder: PathBuf,
}

/// A cut that was booked and not undone.
pub(super) struct BookedCut {
    pub(super) id: i64,
    pub(super) day: String,
    pub(super) layout: String,
    pub(super) made: String,
    pub(super) file: String,
}

/// The cuts of jobs of one name that were booked and not undone.
pub(super) struct Bookings {
    /// Those of the job that is meant, the last first.
    pub(super) own: Vec<BookedCut>,
    /// The last one of another job of that name.
    pub(super) other: Option<BookedCut>,
}

impl JobFile {
    /// A job of a name, for the book of a file.
    pub(crate) fn new(name: &str, job: &Path, book: &Path) -> Self {
        let folder = book.parent().filter(|folder| !folder.as_os_str().is_empty());
        let folder = whole(folder.unwrap_or(Path::new(".")));
        let file = whole(job);
        let file = file.strip_prefix(&folder).unwrap_or(&file);
        let words: Vec<_> = file.iter().map(|word| word.to_string_lossy()).collect();
        let file = if file.is_absolute() { file.display().to_string() } else { words.join("/") };
        Self { name: name.to_owned(), file, folder }
    }

    /// The cuts that are booked of jobs of its name.
    ///
    /// # Errors
    /// When they cannot be read.
    pub(super) fn booked(&self, book: &Connection) -> rusqlite::Result<Bookings> {
        let mut asked = book.prepare(
            "SELECT id, day, layout, made, file FROM cut WHERE job = ?1 AND undone IS NULL \
             ORDER BY id DESC",
        )?;
        let cuts = asked.query_map([&self.name], |row| {
            Ok(BookedCut {
                id: row.get(0)?,
                day: row.get(1)?,
                layout: row.get(2)?,
                made: row.get(3)?,
                file: row.get(4)?,
            })
        })?;
        let cuts: Vec<BookedCut> = cuts.collect::<rusqlite::Result<_>>()?;
        let (own, others): (Vec<_>, Vec<_>) = cuts.into_iter().partition(|cut| self.is_of(cut));
        Ok(Bookings { own, other: others.into_iter().next() })
    }

    /// Whether a cut of a job of its name is of this one: of its file, or of one that no longer
    /// exists, as when the job was moved. A booking without a file may be of any.
    fn is_of(&self, cut: &BookedCut) -> bool {
        cut.file.is_empty() || cut.file == self.file || !self.folder.join(&cut.file).exists()
    }
}

/// A path in full; unchanged if nothing exists there.
fn whole(path: &Path) -> PathBuf {
    fs::canonicalize(path).unwrap_or_else(|_| path.to_owned())
}
