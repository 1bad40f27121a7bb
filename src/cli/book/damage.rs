//! Errors of a book, in words that name the file and say what to do.

use crate::cli::shelf::shown;
use anyhow::Error;
use anyhow::anyhow;
use rusqlite::ErrorCode;
use std::path::Path;

/// An error of the database in words; any other unchanged.
pub(super) fn in_words(path: &Path, error: Error) -> Error {
    match error.downcast::<rusqlite::Error>() {
        Ok(error) => of(path, &error),
        Err(other) => other,
    }
}

fn of(path: &Path, error: &rusqlite::Error) -> Error {
    let book = shown(path);
    match error.sqlite_error_code() {
        Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => anyhow!(
            "the book {book} is still in use by another run; nothing was changed; try again when \
             that has ended"
        ),
        Some(ErrorCode::NotADatabase) => no_book(path, "it is not a database"),
        Some(ErrorCode::DatabaseCorrupt) => cut_short(path),
        Some(ErrorCode::ReadOnly | ErrorCode::PermissionDenied) => anyhow!(
            "the book {book} is write-protected; nothing was changed; get permission to write to \
             it and to its folder"
        ),
        Some(ErrorCode::CannotOpen) => anyhow!(
            "the book {book} cannot be opened for writing; nothing was changed; get permission to \
             write to it and to its folder"
        ),
        Some(ErrorCode::DiskFull) => anyhow!(
            "there is no room on the disk for the book {book}; nothing was changed; free some \
             space and try again"
        ),
        Some(ErrorCode::SystemIoFailure) => anyhow!(
            "the book {book} cannot be read or written, the disk may be full: {error}; nothing \
             was changed; free some space, or check the disk, and try again"
        ),
        _ => anyhow!("the book {book} cannot be used: {error}; nothing was changed"),
    }
}

/// A book of which something is missing.
pub(super) fn cut_short(path: &Path) -> Error {
    anyhow!(
        "the book {} is damaged or truncated; nothing was changed; restore a copy that is \
         whole, or move it away and start a new one with `platewright stock import` from an exported \
         list",
        shown(path)
    )
}

/// A file that is none.
pub(super) fn no_book(path: &Path, why: &str) -> Error {
    anyhow!(
        "{} is not a stock book: {why}; nothing was changed; move it away, put back a copy of the \
         book, or name another shop file with `--shop FILE`",
        shown(path)
    )
}

/// A book that a later version wrote.
pub(super) fn later(path: &Path, version: i64, ours: i64) -> Error {
    anyhow!(
        "the book {} has version {version}, and this program reads up to version {ours}; nothing \
         was changed; use the later program that wrote it",
        shown(path)
    )
}
