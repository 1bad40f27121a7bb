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

/// The stock book, open.
#[derive(Debug)]
pub(crate) struct Book {
    pub(super) path: PathBuf,
    connection: Connection,
}

impl Book {
    /// The book of a file; `None` if it does not exist.
    ///
    /// # Errors
    /// When it is no book, is damaged, or a later version wrote it.
    pub(crate) fn open(path: &Path) -> anyhow::Result<Option<Self>> {
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
        Self::opened(path).map(Some).map_err(|error| damage::in_words(path, error))
    }

    /// The book of a file, begun where it is not there.
    ///
    /// # Errors
    /// As [`Book::open`], and when it cannot be written.
    pub(crate) fn open_or_begin(path: &Path) -> anyhow::Result<Self> {
        if let Some(book) = Self::open(path)? {
            return Ok(book);
        }
        Self::begin(path)?;
        match Self::open(path)? {
            Some(book) => Ok(book),
            None => bail!("the book {} was removed meanwhile; try again", shown(path)),
        }
    }

    /// The book of a file that must be there.
    ///
    /// # Errors
    /// As [`Book::open`], and where there is none.
    pub(crate) fn open_there(path: &Path) -> anyhow::Result<Self> {
        match Self::open(path)? {
            Some(book) => Ok(book),
            None => bail!(
                "there is no book {}: start one with `platewright stock add`, or name the shop file \
                 it is beside with `--shop FILE`",
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
            return Err(damage::no_book(path, "it is the database of another program"));
        }
        let mut book = Self { path: path.to_owned(), connection };
        let version = schema::version(&book.connection)?;
        if version > schema::CURRENT {
            return Err(damage::later(path, version, schema::CURRENT));
        }
        if !is_whole(&book.connection, path)? {
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
            .map_err(|error| damage::in_words(path, error))
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
    /// When the change fails, in words; then nothing is changed.
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
        changed().map_err(|error| damage::in_words(path, error))
    }

    /// Reads from the book.
    ///
    /// # Errors
    /// When reading fails, in words.
    pub(super) fn query<T>(
        &self,
        look: impl FnOnce(&Connection) -> anyhow::Result<T>,
    ) -> anyhow::Result<T> {
        look(&self.connection).map_err(|error| damage::in_words(&self.path, error))
    }
}

/// Whether a book is complete. A last page that is there in part is read as if it ended in zeros,
/// so the length of the file is checked as well, while nobody writes to it.
fn is_whole(connection: &Connection, path: &Path) -> anyhow::Result<bool> {
    let reading = connection.unchecked_transaction()?;
    let sound: String = reading.query_row("PRAGMA quick_check(1)", [], |row| row.get(0))?;
    let size = |pragma: &str| reading.pragma_query_value(None, pragma, |row| row.get::<_, i64>(0));
    let bytes = size("page_count")? * size("page_size")?;
    let there = fs::metadata(path).with_context(|| format!("cannot read {}", shown(path)))?.len();
    Ok(sound == "ok" && u64::try_from(bytes).is_ok_and(|bytes| bytes <= there))
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

#[cfg(test)]
mod tests {
    use super::*;
    use platewright::book::Corners;
    use platewright::book::Entry;
    use rusqlite::params;
    use tempfile::TempDir;

    fn sheet(quantity: u32) -> Entry {
        Entry {
            id: None,
            material: "S235".into(),
            thickness: 4.0,
            corners: Corners::rectangle(500.0, 400.0).unwrap(),
            quantity,
            remnant: false,
            price: Some(20.0),
            currency: "EUR".into(),
            name: String::new(),
            from: "delivery".into(),
        }
    }

    /// A book with sheets of many sizes, so that it has several pages.
    fn begun() -> (TempDir, PathBuf) {
        let folder = TempDir::new().unwrap();
        let path = folder.path().join("shop.db");
        let mut book = Book::open_or_begin(&path).unwrap();
        let entries: Vec<Entry> = (1..=150)
            .map(|i| Entry {
                corners: Corners::rectangle(500.0 + f64::from(i), 400.0).unwrap(),
                ..sheet(i)
            })
            .collect();
        assert_eq!(book.import(&entries).unwrap(), [0, 150]);
        (folder, path)
    }

    /// Why a file is not opened; the message names the file, which is not changed.
    fn refused(path: &Path) -> String {
        let before = fs::read(path).unwrap();
        let words = format!("{:#}", Book::open(path).unwrap_err());
        assert!(words.contains(&shown(path)), "{words}");
        assert!(words.contains("nothing was changed"), "{words}");
        assert!(fs::read(path).unwrap() == before, "{words}");
        words
    }

    #[test]
    fn a_book_is_begun_whole_and_opened_as_it_was_left() {
        let folder = TempDir::new().unwrap();
        let path = folder.path().join("shop.db");
        assert!(Book::open(&path).unwrap().is_none());
        let mut book = Book::open_or_begin(&path).unwrap();
        assert_eq!(book.entries().unwrap(), []);
        let added = book.add(&sheet(2)).unwrap();
        assert_eq!(book.add(&sheet(3)).unwrap(), Entry { quantity: 5, ..added.clone() });
        assert!(book.take(1, Some(6)).is_err());
        assert_eq!(book.take(1, Some(1)).unwrap().quantity, 4);
        drop(book);
        let there = Book::open(&path).unwrap().unwrap().entries().unwrap();
        assert_eq!(there, [Entry { quantity: 4, ..added }]);
        let names: Vec<_> =
            fs::read_dir(folder.path()).unwrap().map(|e| e.unwrap().file_name()).collect();
        assert_eq!(names, ["shop.db"], "nothing else is left");
    }

    #[test]
    fn a_book_cut_short_anywhere_is_refused() {
        let (_folder, path) = begun();
        let whole = fs::read(&path).unwrap();
        assert!(whole.len() > 5 * 4096, "only {} bytes", whole.len());
        let cuts = (0..whole.len()).step_by(1021).chain([1, 15, 99, 100, whole.len() - 1]);
        for cut in cuts {
            fs::write(&path, &whole[..cut]).unwrap();
            let words = refused(&path);
            let is_said = words.contains("truncated") || words.contains("is not a stock book");
            assert!(is_said, "cut at {cut}: {words}");
        }
        fs::write(&path, &whole).unwrap();
        assert_eq!(Book::open(&path).unwrap().unwrap().entries().unwrap().len(), 150);
    }

    #[test]
    fn a_page_that_was_overwritten_is_found_or_what_is_read_is_as_it_was() {
        let (_folder, path) = begun();
        let whole = fs::read(&path).unwrap();
        let entries = Book::open(&path).unwrap().unwrap().entries().unwrap();
        let mut found = 0;
        for page in 1..whole.len() / 4096 {
            let mut bytes = whole.clone();
            bytes[page * 4096..(page + 1) * 4096].fill(0);
            fs::write(&path, &bytes).unwrap();
            match Book::open(&path) {
                Err(error) => {
                    found += 1;
                    assert!(format!("{error:#}").contains("truncated"), "{error:#}");
                }
                Ok(book) => assert_eq!(book.unwrap().entries().unwrap(), entries, "page {page}"),
            }
        }
        assert!(found >= 3, "only {found} were found");
    }

    #[test]
    fn a_file_that_is_no_book_is_refused_and_unchanged() {
        let (folder, path) = begun();
        let refused = |bytes: &[u8]| {
            let path = folder.path().join("other.db");
            fs::write(&path, bytes).unwrap();
            refused(&path)
        };
        assert!(refused(b"units = \"mm\"\n").contains("it is not a database"));
        assert!(refused(&[0; 8192]).contains("it is not a database"));
        let other = folder.path().join("else.db");
        let connection = Connection::open(&other).unwrap();
        connection.execute_batch("CREATE TABLE mine (a); INSERT INTO mine VALUES (1);").unwrap();
        drop(connection);
        let words = super::tests::refused(&other);
        assert!(words.contains("it is the database of another program"), "{words}");
        let words = format!("{:#}", Book::open(folder.path()).unwrap_err());
        assert!(words.contains("it is a folder"), "{words}");
        drop(path);
    }

    #[test]
    fn a_book_of_a_later_version_is_refused_and_an_older_one_is_moved_up() {
        let folder = TempDir::new().unwrap();
        let path = folder.path().join("shop.db");
        let connection = Connection::open(&path).unwrap();
        schema::of_version(&connection, 1).unwrap();
        connection
            .execute(
                "INSERT INTO stock VALUES (7, 'S235', 4, '0 0, 500 0, 500 400, 0 400', 3, 0, NULL, '', '', 'x')",
                params![],
            )
            .unwrap();
        // While another run uses it, it is not upgraded, not even in part.
        connection.execute_batch("BEGIN IMMEDIATE").unwrap();
        let words = format!("{:#}", Book::open(&path).unwrap_err());
        assert!(words.contains("in use by another run"), "{words}");
        connection.execute_batch("ROLLBACK").unwrap();
        assert_eq!(schema::version(&connection).unwrap(), 1);
        let book = Book::open(&path).unwrap().unwrap();
        let entries = book.entries().unwrap();
        assert_eq!((entries[0].id, entries[0].quantity), (Some(7), 3));
        assert_eq!(schema::version(&connection).unwrap(), schema::CURRENT);
        assert!(book.strips().unwrap().is_empty() && book.orders().unwrap().is_empty());
        connection.pragma_update(None, "user_version", schema::CURRENT + 1).unwrap();
        drop((connection, book));
        let words = refused(&path);
        assert!(words.contains("has version 4, and this program reads up to version 3"), "{words}");
    }

    /// The files that a killed run leaves on the disk: written pages, and the journal by which they
    /// are rolled back.
    #[test]
    fn a_run_that_is_killed_in_the_middle_changes_nothing() {
        let (_folder, path) = begun();
        let before = Book::open(&path).unwrap().unwrap().entries().unwrap();
        let killed = TempDir::new().unwrap();
        let copy = killed.path().join("shop.db");
        let mut book = Book::open(&path).unwrap().unwrap();
        book.connection.pragma_update(None, "cache_size", 1).unwrap();
        let done = book.change(|book| -> anyhow::Result<()> {
            book.execute(
                "UPDATE stock SET quantity = quantity + 1000, name = hex(randomblob(90))",
                [],
            )?;
            for ending in ["shop.db", "shop.db-journal"] {
                fs::copy(path.with_file_name(ending), copy.with_file_name(ending))?;
            }
            bail!("killed")
        });
        assert_eq!(done.unwrap_err().to_string(), "killed");
        assert_ne!(fs::read(&copy).unwrap(), fs::read(&path).unwrap(), "pages were written");
        for path in [&copy, &path] {
            assert_eq!(Book::open(path).unwrap().unwrap().entries().unwrap(), before);
        }
    }

    #[test]
    fn a_full_disk_changes_nothing() {
        let (_folder, path) = begun();
        let mut book = Book::open(&path).unwrap().unwrap();
        let before = book.entries().unwrap();
        let pages: i64 =
            book.connection.pragma_query_value(None, "page_count", |row| row.get(0)).unwrap();
        // What `max_page_count` refuses is refused as a full disk is.
        let limit = format!("PRAGMA max_page_count = {pages}");
        book.connection.query_row(&limit, [], |_| Ok(())).unwrap();
        let more: Vec<Entry> =
            (0..500).map(|i| Entry { name: format!("sheet {i}"), ..sheet(1) }).collect();
        let words = format!("{:#}", book.import(&more).unwrap_err());
        assert!(words.contains("no room on the disk for the book"), "{words}");
        assert!(words.contains(&shown(&path)), "{words}");
        assert_eq!(book.entries().unwrap(), before);
        drop(book);
        assert_eq!(Book::open(&path).unwrap().unwrap().entries().unwrap(), before);
    }
}
