//! Sheets that are cut go out of the book, what is left of them comes in.

use crate::cli::book::open::Book;
use crate::cli::book::stock;
use anyhow::anyhow;
use anyhow::bail;
use platewright::book::Corners;
use platewright::book::Cut;
use platewright::book::CutSheet;
use platewright::book::Entry;
use platewright::book::thickness_alike;
use rusqlite::Connection;
use rusqlite::OptionalExtension;
use rusqlite::params;

/// Steps in which a remnant is booked, to the millimetre. Our choice: finer than any tape.
const STEPS: f64 = 1000.0;

/// Rounding of a length before it is cut down to a step, in steps.
const NEAR: f64 = 1e-6;

/// What a cut did to the book.
pub(crate) struct Booked {
    /// Its number.
    pub(crate) id: i64,
    pub(crate) moved: Vec<Moved>,
}

/// What one sheet did to it.
pub(crate) struct Moved {
    /// What the sheet is called.
    pub(crate) sheet: CutSheet,
    /// The entry it was taken from, with what is left of that; none where the book has no such sheet.
    pub(crate) out: Option<Entry>,
    /// The remnant that came in.
    pub(crate) remnant: Option<Entry>,
}

/// Whether a cut was booked.
pub(crate) enum Taken {
    Now(Booked),
    /// It was before.
    Before {
        /// Its number.
        id: i64,
        day: String,
    },
}

/// A cut that was undone.
pub(crate) struct Undone {
    pub(crate) id: i64,
    pub(crate) day: String,
    /// Entries with the sheets that are back.
    pub(crate) back: Vec<Entry>,
    /// Remnants that are gone.
    pub(crate) gone: Vec<Entry>,
}

/// A cut in the list of all.
pub(crate) struct CutLine {
    pub(crate) id: i64,
    pub(crate) job: String,
    pub(crate) day: String,
    /// Sheets out, remnants in.
    pub(crate) count: [u32; 2],
    pub(crate) undone: Option<String>,
}

impl Book {
    /// Books the sheets of a job that was made out and their remnants in; once, unless it is asked
    /// for again.
    ///
    /// # Errors
    /// When a sheet that the job was nested on is no longer there.
    pub(crate) fn cut(
        &mut self,
        job: &str,
        cut: &Cut,
        day: &str,
        again: bool,
    ) -> anyhow::Result<Taken> {
        self.change(|book| {
            let before = book
                .query_row(
                    "SELECT id, day FROM cut WHERE job = ?1 AND layout = ?2 AND undone IS NULL \
                     ORDER BY id DESC",
                    params![job, cut.layout],
                    |row| Ok((row.get(0)?, row.get(1)?)),
                )
                .optional()?;
            if let Some((id, day)) = before.filter(|_| !again) {
                return Ok(Taken::Before { id, day });
            }
            book.execute(
                "INSERT INTO cut (job, layout, day) VALUES (?1, ?2, ?3)",
                params![job, cut.layout, day],
            )?;
            let id = book.last_insert_rowid();
            let from = format!("{job}, cut no. {id} of {day}");
            let mut moved = Vec::new();
            for sheet in &cut.sheets {
                let out = taken(book, sheet)?;
                if let Some(entry) = &out {
                    note(book, id, entry, sheet, -1)?;
                }
                let remnant = remnant(book, sheet, &from)?;
                if let Some(entry) = &remnant {
                    note(book, id, entry, sheet, 1)?;
                }
                moved.push(Moved { sheet: sheet.clone(), out, remnant });
            }
            Ok(Taken::Now(Booked { id, moved }))
        })
    }

    /// Undoes the last cut of a job that was booked.
    ///
    /// # Errors
    /// When there is none, or a remnant of it has been used since.
    pub(crate) fn undo(&mut self, job: &str, day: &str) -> anyhow::Result<Undone> {
        self.change(|book| {
            let last: Option<(i64, String)> = book
                .query_row(
                    "SELECT id, day FROM cut WHERE job = ?1 AND undone IS NULL ORDER BY id DESC",
                    [job],
                    |row| Ok((row.get(0)?, row.get(1)?)),
                )
                .optional()?;
            let (id, when) =
                last.ok_or_else(|| anyhow!("no cut of {job} is in the book: nothing to undo"))?;
            let mut undone = Undone { id, day: when, back: Vec::new(), gone: Vec::new() };
            for (entry, change) in moves(book, id)? {
                if change > 0 && stock::need(book, entry)?.quantity == 0 {
                    return Err(used_since(book, entry, id)?);
                }
                stock::shift(book, entry, -change)?;
                let entry = stock::need(book, entry)?;
                if change < 0 { &mut undone.back } else { &mut undone.gone }.push(entry);
            }
            book.execute("UPDATE cut SET undone = ?2 WHERE id = ?1", params![id, day])?;
            Ok(undone)
        })
    }

    /// All cuts, oldest first.
    ///
    /// # Errors
    /// When they cannot be read.
    pub(crate) fn cuts(&self) -> anyhow::Result<Vec<CutLine>> {
        self.look(|book| {
            let mut asked = book.prepare(
                "SELECT id, job, day, undone, \
                 (SELECT COUNT(*) FROM moved WHERE cut = cut.id AND change < 0), \
                 (SELECT COUNT(*) FROM moved WHERE cut = cut.id AND change > 0) \
                 FROM cut ORDER BY id",
            )?;
            let lines = asked.query_map([], |row| {
                Ok(CutLine {
                    id: row.get(0)?,
                    job: row.get(1)?,
                    day: row.get(2)?,
                    undone: row.get(3)?,
                    count: [row.get(4)?, row.get(5)?],
                })
            })?;
            Ok(lines.collect::<rusqlite::Result<_>>()?)
        })
    }
}

/// Takes a sheet out: the one that the job was nested on, else one of its metal, thickness and
/// outline. None where the book has no such sheet and the job did not say that it has.
fn taken(book: &Connection, sheet: &CutSheet) -> anyhow::Result<Option<Entry>> {
    let found = match sheet.book {
        Some(id) => Some(nested_on(book, id, sheet)?),
        None => alike(book, sheet)?,
    };
    let Some(id) = found else { return Ok(None) };
    stock::shift(book, id, -1)?;
    stock::need(book, id).map(Some)
}

fn is_it(entry: &Entry, sheet: &CutSheet) -> bool {
    entry.material == sheet.material
        && thickness_alike(entry.thickness, sheet.thickness)
        && entry.is_like(sheet.size, sheet.area)
}

/// The entry that a job took a sheet from.
fn nested_on(book: &Connection, id: i64, sheet: &CutSheet) -> anyhow::Result<i64> {
    let entry = stock::find(book, id)?.filter(|entry| is_it(entry, sheet));
    let Some(entry) = entry else {
        bail!(
            "no. {id} of the book is not the sheet that {} was nested on; nothing was booked; make \
             the job again",
            sheet.name
        );
    };
    if entry.quantity == 0 {
        bail!(
            "{} was nested on no. {id} of the book, of which none is left{}; nothing was booked; \
             make the job again",
            sheet.name,
            by_whom(book, id)?
        );
    }
    Ok(id)
}

/// An entry like a sheet of the job's own stock.
fn alike(book: &Connection, sheet: &CutSheet) -> anyhow::Result<Option<i64>> {
    let mut asked =
        book.prepare("SELECT id FROM stock WHERE material = ?1 AND quantity > 0 ORDER BY id")?;
    let ids: Vec<i64> =
        asked.query_map([&sheet.material], |row| row.get(0))?.collect::<rusqlite::Result<_>>()?;
    for id in ids {
        if is_it(&stock::need(book, id)?, sheet) {
            return Ok(Some(id));
        }
    }
    Ok(None)
}

/// Puts what is left of a sheet in, no larger than it is.
fn remnant(book: &Connection, sheet: &CutSheet, from: &str) -> anyhow::Result<Option<Entry>> {
    let Some(size) = sheet.remnant else { return Ok(None) };
    let [length, width] = size.map(|mm| (mm * STEPS + NEAR).floor() / STEPS);
    let corners = Corners::rectangle(length, width)
        .map_err(|error| anyhow!("the remnant of {} cannot be booked: {error}", sheet.name))?;
    let entry = Entry {
        id: None,
        material: sheet.material.clone(),
        thickness: sheet.thickness,
        corners,
        quantity: 1,
        remnant: true,
        // It was paid for with the sheet, or is worth what nobody said.
        price: None,
        currency: String::new(),
        name: format!("remnant of {}", sheet.name),
        from: from.to_owned(),
    };
    let id = stock::put(book, &entry)?;
    stock::need(book, id).map(Some)
}

fn note(
    book: &Connection,
    cut: i64,
    entry: &Entry,
    sheet: &CutSheet,
    change: i64,
) -> rusqlite::Result<()> {
    book.execute(
        "INSERT INTO moved (cut, stock, sheet, change) VALUES (?1, ?2, ?3, ?4)",
        params![cut, entry.id, sheet.name, change],
    )
    .map(|_| ())
}

/// What a cut moved: entry and change.
fn moves(book: &Connection, cut: i64) -> rusqlite::Result<Vec<(i64, i64)>> {
    let mut asked =
        book.prepare("SELECT stock, change FROM moved WHERE cut = ?1 ORDER BY rowid")?;
    let moves = asked.query_map([cut], |row| Ok((row.get(0)?, row.get(1)?)))?;
    moves.collect()
}

fn used_since(book: &Connection, entry: i64, cut: i64) -> anyhow::Result<anyhow::Error> {
    Ok(anyhow!(
        "cut no. {cut} cannot be undone: its remnant, no. {entry}, is no longer in the book{}; \
         nothing was changed; undo that first",
        by_whom(book, entry)?
    ))
}

/// By which cut the last of an entry was taken, in words.
fn by_whom(book: &Connection, entry: i64) -> anyhow::Result<String> {
    let last: Option<(i64, String, String)> = book
        .query_row(
            "SELECT cut.id, cut.job, cut.day FROM moved JOIN cut ON cut.id = moved.cut \
             WHERE moved.stock = ?1 AND moved.change < 0 AND cut.undone IS NULL \
             ORDER BY cut.id DESC",
            [entry],
            |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)),
        )
        .optional()?;
    Ok(match last {
        Some((id, job, day)) => format!(" (cut no. {id} of {job}, {day})"),
        None => " (it was taken out by hand)".to_owned(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cli::book::schema;

    #[test]
    fn a_remnant_is_never_booked_larger_than_it_is() {
        let book = Connection::open_in_memory().unwrap();
        schema::move_up(&book).unwrap();
        for mm in
            [310.2, 449.999_999_9, 450.000_4, 23.999 * 25.4, 0.1 + 0.2, 12.34 * 25.4, 1e4 / 3.0]
        {
            let sheet = CutSheet {
                name: "S235-4-mm-01".into(),
                material: "S235".into(),
                thickness: 4.0,
                size: [2e4, 2e4],
                area: 4e8,
                book: None,
                remnant: Some([mm, 2.0 * mm]),
            };
            let booked = remnant(&book, &sheet, "cart").unwrap().unwrap();
            for (booked, is) in booked.corners.size().into_iter().zip([mm, 2.0 * mm]) {
                assert!(booked <= is + 1e-8 && booked > is - 0.001, "{booked} of {is}");
            }
        }
    }
}
