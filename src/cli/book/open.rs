//! Opening a book: whether it is one, whole and of a version that is known.

use crate::cli::book::damage;
use crate::cli::book::schema;
use crate::cli::files::fresh_file;
use crate::cli::input;
use crate::cli::shelf::shown;
use anyhow::Context;
use anyhow::bail;
use rusqlite::Connection;
use rusqlite::OpenFlags;
use rusqlite::Transaction;
use rusqlite::TransactionBehavior;
use std::fs;
use std::io;
use std::path::Path;
use std::path::PathBuf;
use std::time::Duration;

/// How long another run is waited for. Our choice: far more than it takes to write.
const PATIENCE: Duration = Duration::from_secs(2);

/// The shop's book, open.
#[derive(Debug)]
pub(in crate::cli) struct Book {
    pub(super) path: PathBuf,
    connection: Connection,
}

impl Book {
    /// The book of a file; none where it is not there.
    ///
    /// # Errors
    /// When it is no book, is damaged, or a later version wrote it.
    pub(in crate::cli) fn open(path: &Path) -> anyhow::Result<Option<Self>> {
        match fs::metadata(path) {
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
            Err(error) => {
                return Err(error).with_context(|| format!("cannot read {}", shown(path)));
            }
            Ok(there) if !there.is_file() => {
                let why = format!("it is a {}", input::kind(there.file_type()));
                return Err(damage::no_book(path, &why));
            }
            // A database without a table is empty as well, but a book is never begun like that.
            Ok(there) if there.len() == 0 => return Err(damage::cut_short(path)),
            Ok(_) => (),
        }
        Self::opened(path).map(Some).map_err(|error| damage::said(path, error))
    }

    /// The book of a file, begun where it is not there.
    ///
    /// # Errors
    /// As [`Book::open`], and when it cannot be written.
    pub(in crate::cli) fn open_or_begin(path: &Path) -> anyhow::Result<Self> {
        if let Some(book) = Self::open(path)? {
            return Ok(book);
        }
        Self::begin(path)?;
        match Self::open(path)? {
            Some(book) => Ok(book),
            None => bail!("the book {} was taken away by somebody; try again", shown(path)),
        }
    }

    /// The book of a file that must be there.
    ///
    /// # Errors
    /// As [`Book::open`], and where there is none.
    pub(in crate::cli) fn open_there(path: &Path) -> anyhow::Result<Self> {
        match Self::open(path)? {
            Some(book) => Ok(book),
            None => bail!(
                "there is no book {}: begin one with `platewright stock add`, or name the shop file \
                 it lies beside with `--shop FILE`",
                shown(path)
            ),
        }
    }

    fn opened(path: &Path) -> anyhow::Result<Self> {
        // A file that may only be read is opened to be read.
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let connection = Connection::open_with_flags(path, flags)?;
        connection.busy_timeout(PATIENCE)?;
        connection.pragma_update(None, "foreign_keys", true)?;
        let application: i64 =
            connection.pragma_query_value(None, "application_id", |row| row.get(0))?;
        if application != schema::APPLICATION {
            return Err(damage::no_book(path, "it is the database of something else"));
        }
        let mut book = Self { path: path.to_owned(), connection };
        let version = schema::version(&book.connection)?;
        if version > schema::CURRENT {
            return Err(damage::later(path, version, schema::CURRENT));
        }
        let whole: String =
            book.connection.query_row("PRAGMA quick_check(1)", [], |row| row.get(0))?;
        if whole != "ok" {
            return Err(damage::cut_short(path));
        }
        if version < schema::CURRENT {
            book.change(|book| Ok(schema::move_up(book)?))?;
        }
        Ok(book)
    }

    /// Makes an empty book beside and puts it in place in one step. Where another run was faster, its
    /// book is the one.
    fn begin(path: &Path) -> anyhow::Result<()> {
        let cannot = || format!("cannot write the book {}", shown(path));
        let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
        let folder = folder.unwrap_or(Path::new("."));
        let name = path.file_name().with_context(cannot)?.to_string_lossy();
        let (beside, _) = fresh_file(folder, &name).with_context(cannot)?;
        let made = Self::made_at(&beside)
            .map_err(|error| damage::said(path, error))
            .and_then(|()| in_place(&beside, path).with_context(cannot));
        let _ = fs::remove_file(&beside);
        made
    }

    fn made_at(path: &Path) -> anyhow::Result<()> {
        let mut connection = Connection::open(path)?;
        let transaction = connection.transaction()?;
        schema::move_up(&transaction)?;
        Ok(transaction.commit()?)
    }

    /// Changes the book: all of it or nothing.
    ///
    /// # Errors
    /// What goes wrong, in words; then nothing is changed.
    pub(super) fn change<T>(
        &mut self,
        change: impl FnOnce(&Transaction) -> anyhow::Result<T>,
    ) -> anyhow::Result<T> {
        let Self { path, connection } = self;
        let changed = || {
            let transaction =
                connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
            let done = change(&transaction)?;
            transaction.commit()?;
            Ok(done)
        };
        changed().map_err(|error| damage::said(path, error))
    }

    /// Looks something up.
    ///
    /// # Errors
    /// What goes wrong, in words.
    pub(super) fn look<T>(
        &self,
        look: impl FnOnce(&Connection) -> anyhow::Result<T>,
    ) -> anyhow::Result<T> {
        look(&self.connection).map_err(|error| damage::said(&self.path, error))
    }
}

/// Puts a file in a place where there is none; one that is there stays.
fn in_place(beside: &Path, path: &Path) -> io::Result<()> {
    match fs::hard_link(beside, path) {
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => Ok(()),
        // Some file systems know no links.
        Err(_) if !path.exists() => fs::rename(beside, path),
        done => done,
    }
}
