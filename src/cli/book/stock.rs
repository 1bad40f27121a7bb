//! The sheets and remnants of a book.

use crate::cli::book::open::Book;
use anyhow::anyhow;
use anyhow::bail;
use platewright::book::Corners;
use platewright::book::Entry;
use rusqlite::Connection;
use rusqlite::OptionalExtension;
use rusqlite::Row;
use rusqlite::params;

/// The columns of a sheet, in the order of [`entry`].
const COLUMNS: &str = "id, material, thickness_mm, corners_mm, quantity, remnant, price, currency, \
     name, origin";

impl Book {
    /// Everything it has, by metal and thickness; of one kind remnants first, the smallest first.
    ///
    /// # Errors
    /// When it cannot be read.
    pub(crate) fn entries(&self) -> anyhow::Result<Vec<Entry>> {
        self.query(|book| {
            let mut asked =
                book.prepare(&format!("SELECT {COLUMNS} FROM stock WHERE quantity > 0"))?;
            let mut rows = asked.query([])?;
            let mut entries = Vec::new();
            while let Some(row) = rows.next()? {
                entries.push(entry(row)?);
            }
            entries.sort_by(|a: &Entry, b: &Entry| {
                a.material
                    .cmp(&b.material)
                    .then(a.thickness.total_cmp(&b.thickness))
                    .then(b.remnant.cmp(&a.remnant))
                    .then(a.corners.area().total_cmp(&b.corners.area()))
                    .then(a.id.cmp(&b.id))
            });
            Ok(entries)
        })
    }

    /// One of its entries, even if none is left of it.
    ///
    /// # Errors
    /// When there is no entry of that number.
    pub(crate) fn entry(&self, id: i64) -> anyhow::Result<Entry> {
        self.query(|book| need(book, id))
    }

    /// Adds sheets; where the book has such, there are more of them.
    ///
    /// # Errors
    /// When that cannot be written.
    pub(crate) fn add(&mut self, entry: &Entry) -> anyhow::Result<Entry> {
        self.change(|book| {
            let same: Option<i64> = book
                .query_row(
                    "SELECT id FROM stock WHERE material = ?1 AND thickness_mm = ?2 AND \
                     corners_mm = ?3 AND remnant = ?4 AND price IS ?5 AND currency = ?6 AND \
                     name = ?7 AND origin = ?8",
                    params![
                        entry.material,
                        entry.thickness,
                        entry.corners.to_string(),
                        entry.remnant,
                        entry.price,
                        entry.currency,
                        entry.name,
                        entry.from
                    ],
                    |row| row.get(0),
                )
                .optional()?;
            let id = match same {
                None => put(book, entry)?,
                Some(id) => {
                    book.execute(
                        "UPDATE stock SET quantity = quantity + ?2 WHERE id = ?1",
                        params![id, entry.quantity],
                    )?;
                    id
                }
            };
            let entry = need(book, id)?;
            entry.check().map_err(|(_, words)| anyhow!("{words}"))?;
            Ok(entry)
        })
    }

    /// Books a number of sheets out, or all that are left.
    ///
    /// # Errors
    /// When there are not enough.
    pub(crate) fn take(&mut self, id: i64, quantity: Option<u32>) -> anyhow::Result<Entry> {
        self.change(|book| {
            let there = need(book, id)?;
            if there.quantity == 0 {
                bail!("nothing is left of no. {id}: {}, {}", there.kind(), there.size());
            }
            let quantity = quantity.unwrap_or(there.quantity);
            if quantity == 0 || quantity > there.quantity {
                bail!(
                    "no. {id} has {} in the book; {quantity} cannot be taken out",
                    there.quantity
                );
            }
            shift(book, id, -i64::from(quantity))?;
            need(book, id)
        })
    }

    /// Sets the price of one sheet of an entry, in a currency.
    ///
    /// # Errors
    /// When there is no such entry, or that is no price.
    pub(crate) fn price(
        &mut self,
        id: i64,
        (price, currency): (Option<f64>, &str),
    ) -> anyhow::Result<Entry> {
        self.change(|book| {
            let entry = Entry { price, currency: currency.to_owned(), ..need(book, id)? };
            entry.check().map_err(|(_, words)| anyhow!("{words}"))?;
            put(book, &entry)?;
            need(book, id)
        })
    }

    /// Writes a list into the book: entries with known numbers are changed as listed, all others
    /// are added. Returns how many were changed and added.
    ///
    /// # Errors
    /// When that cannot be written; then no part of the list is.
    pub(crate) fn import(&mut self, entries: &[Entry]) -> anyhow::Result<[usize; 2]> {
        self.change(|book| {
            let mut changed = 0;
            for entry in entries {
                if let Some(id) = entry.id
                    && find(book, id)?.is_some()
                {
                    changed += 1;
                }
                put(book, entry)?;
            }
            Ok([changed, entries.len() - changed])
        })
    }
}

/// Books a number of sheets in or out.
pub(super) fn shift(book: &Connection, id: i64, change: i64) -> rusqlite::Result<()> {
    book.execute("UPDATE stock SET quantity = quantity + ?2 WHERE id = ?1", params![id, change])
        .map(|_| ())
}

/// Writes an entry and returns its number: a new one, or in place of the book's entry of that
/// number.
pub(super) fn put(book: &Connection, entry: &Entry) -> rusqlite::Result<i64> {
    let mut asked = book.prepare(&format!(
        "INSERT INTO stock ({COLUMNS}) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10) \
         ON CONFLICT (id) DO UPDATE SET material = excluded.material, \
         thickness_mm = excluded.thickness_mm, corners_mm = excluded.corners_mm, \
         quantity = excluded.quantity, remnant = excluded.remnant, price = excluded.price, \
         currency = excluded.currency, name = excluded.name, origin = excluded.origin \
         RETURNING id"
    ))?;
    asked.query_row(
        params![
            entry.id,
            entry.material,
            entry.thickness,
            entry.corners.to_string(),
            entry.quantity,
            entry.remnant,
            entry.price,
            entry.currency,
            entry.name,
            entry.from
        ],
        |row| row.get(0),
    )
}

/// An entry by its number.
pub(super) fn find(book: &Connection, id: i64) -> anyhow::Result<Option<Entry>> {
    let mut asked = book.prepare(&format!("SELECT {COLUMNS} FROM stock WHERE id = ?1"))?;
    let mut rows = asked.query([id])?;
    rows.next()?.map(entry).transpose()
}

/// An entry that must be there.
pub(super) fn need(book: &Connection, id: i64) -> anyhow::Result<Entry> {
    find(book, id)?.ok_or_else(|| {
        anyhow!("there is no entry no. {id} in the book; `platewright stock` lists it")
    })
}

/// A row of [`COLUMNS`].
fn entry(row: &Row) -> anyhow::Result<Entry> {
    let id: i64 = row.get(0)?;
    let corners: String = row.get(3)?;
    let entry = Entry {
        id: Some(id),
        material: row.get(1)?,
        thickness: row.get(2)?,
        corners: Corners::read(&corners)
            .map_err(|error| anyhow!("no. {id} of the book cannot be read: {error}"))?,
        quantity: row.get(4)?,
        remnant: row.get(5)?,
        price: row.get(6)?,
        currency: row.get(7)?,
        name: row.get(8)?,
        from: row.get(9)?,
    };
    let checked = entry.check();
    checked.map_err(|(_, words)| anyhow!("no. {id} of the book cannot be read: {words}"))?;
    Ok(entry)
}
