//! The tables of the book, version by version.

use rusqlite::Connection;
use rusqlite::Result;

/// The identifier in the head of the file: `PwBk`.
pub(super) const APPLICATION: i64 = 0x5077_426b;

/// Each version by its additions to the one before. Released versions are never changed: their
/// books are upgraded by those that follow. Lengths are mm, days are YEAR-MONTH-DAY.
const VERSIONS: &[&str] = &[
    // Sheets and remnants, and the pieces cut from them.
    "CREATE TABLE stock (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        material TEXT NOT NULL,
        thickness_mm REAL NOT NULL CHECK (thickness_mm > 0),
        corners_mm TEXT NOT NULL,
        quantity INTEGER NOT NULL CHECK (quantity >= 0),
        remnant INTEGER NOT NULL CHECK (remnant IN (0, 1)),
        price REAL CHECK (price >= 0),
        currency TEXT NOT NULL,
        name TEXT NOT NULL,
        origin TEXT NOT NULL
     ) STRICT;
     CREATE TABLE cut (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        job TEXT NOT NULL,
        layout TEXT NOT NULL,
        day TEXT NOT NULL,
        undone TEXT
     ) STRICT;
     CREATE TABLE moved (
        cut INTEGER NOT NULL REFERENCES cut (id),
        stock INTEGER NOT NULL REFERENCES stock (id),
        sheet TEXT NOT NULL,
        change INTEGER NOT NULL CHECK (change IN (-1, 1))
     ) STRICT;
     CREATE INDEX moved_of_cut ON moved (cut);",
    // Orders that were sent, and strips that were measured.
    "CREATE TABLE sent (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        job TEXT NOT NULL,
        number INTEGER NOT NULL,
        recipient TEXT NOT NULL,
        day TEXT NOT NULL,
        program TEXT NOT NULL
     ) STRICT;
     CREATE TABLE sent_file (
        sent INTEGER NOT NULL REFERENCES sent (id),
        name TEXT NOT NULL,
        sha256 TEXT NOT NULL
     ) STRICT;
     CREATE TABLE sent_part (
        sent INTEGER NOT NULL REFERENCES sent (id),
        part TEXT NOT NULL,
        issue TEXT NOT NULL,
        geometry TEXT NOT NULL,
        pieces INTEGER NOT NULL CHECK (pieces >= 0)
     ) STRICT;
     CREATE TABLE strip (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        day TEXT NOT NULL,
        material TEXT NOT NULL,
        nominal_mm REAL NOT NULL,
        thickness_mm REAL NOT NULL,
        v_mm REAL NOT NULL,
        radius_mm REAL NOT NULL,
        leg_a_mm REAL NOT NULL,
        leg_b_mm REAL NOT NULL,
        blank_mm REAL NOT NULL,
        angle_deg REAL NOT NULL,
        k REAL NOT NULL,
        deduction_mm REAL NOT NULL
     ) STRICT;",
    // The job of a cut, with the parts and quantities made; empty in earlier bookings.
    "ALTER TABLE cut ADD COLUMN file TEXT NOT NULL DEFAULT '';
     ALTER TABLE cut ADD COLUMN made TEXT NOT NULL DEFAULT '';",
];

/// The version that this program writes.
pub(super) const CURRENT: i64 = VERSIONS.len() as i64;

/// The version of a book.
pub(super) fn version(connection: &Connection) -> Result<i64> {
    connection.pragma_query_value(None, "user_version", |row| row.get(0))
}

/// Upgrades a book to the version that this program writes, step by step. Within a transaction the
/// upgrade is complete or has no effect.
pub(super) fn move_up(connection: &Connection) -> Result<()> {
    up_to(connection, VERSIONS.len())
}

fn up_to(connection: &Connection, version: usize) -> Result<()> {
    let from = usize::try_from(self::version(connection)?).unwrap_or_default();
    for step in VERSIONS.iter().take(version).skip(from) {
        connection.execute_batch(step)?;
    }
    connection.pragma_update(None, "application_id", APPLICATION)?;
    connection.pragma_update(None, "user_version", version as i64)
}

/// An older book, as a program before this one wrote it.
#[cfg(test)]
pub(super) fn of_version(connection: &Connection, version: usize) -> Result<()> {
    up_to(connection, version)
}
