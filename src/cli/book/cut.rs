//! Sheets that are cut are booked out, their remnants in.

use crate::cli::book::job::BookedCut;
use crate::cli::book::job::Bookings;
use crate::cli::book::job::JobFile;
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

/// The changes of a cut to the book.
pub(crate) struct Booked {
    /// Its number.
    pub(crate) id: i64,
    pub(crate) moved: Vec<Moved>,
}

/// The changes of one sheet to it.
pub(crate) struct Moved {
    /// The name of the sheet.
    pub(crate) sheet: CutSheet,
    /// The entry it was booked from, with what remains of that; `None` if the book has no such
    /// sheet.
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
        /// Whether from these very sheets, or the same parts from others.
        sheets: bool,
    },
}

/// A cut that was undone.
pub(crate) struct Undone {
    pub(crate) id: i64,
    pub(crate) day: String,
    /// Entries with the sheets that are back.
    pub(crate) back: Vec<Entry>,
    /// Remnants that are cut already.
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
    /// Books the sheets of a job that was made out and their remnants in; once, unless repetition
    /// is requested: also where the same parts were nested again on the remnants of the first cut.
    /// Prices of sheets in the job are in `currency`.
    ///
    /// # Errors
    /// When a sheet that the job was nested on is no longer there.
    pub(crate) fn cut(
        &mut self,
        job: &JobFile,
        (cut, currency): (&Cut, &str),
        day: &str,
        again: bool,
    ) -> anyhow::Result<Taken> {
        self.change(|book| {
            let booked = job.booked(book)?.own;
            let of_sheets = booked.iter().find(|before| before.layout == cut.layout);
            let before = of_sheets.or_else(|| booked.iter().find(|before| before.made == cut.made));
            if let Some(BookedCut { id, day, layout, .. }) = before.filter(|_| !again) {
                let (id, day) = (*id, day.clone());
                return Ok(Taken::Before { id, day, sheets: *layout == cut.layout });
            }
            let name = &job.name;
            book.execute(
                "INSERT INTO cut (job, layout, day, file, made) VALUES (?1, ?2, ?3, ?4, ?5)",
                params![name, cut.layout, day, job.file, cut.made],
            )?;
            let id = book.last_insert_rowid();
            let from = format!("{name}, cut no. {id} of {day}");
            let mut moved = Vec::new();
            for sheet in &cut.sheets {
                let out = book_out(book, sheet)?;
                if let Some(entry) = &out {
                    note(book, id, entry, sheet, -1)?;
                }
                let remnant = remnant(book, sheet, price(sheet, out.as_ref(), currency), &from)?;
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
    pub(crate) fn undo(&mut self, job: &JobFile, day: &str) -> anyhow::Result<Undone> {
        self.change(|book| {
            let Bookings { own, other } = job.booked(book)?;
            let Some(BookedCut { id, day: when, .. }) = own.into_iter().next() else {
                let other = other.map_or_else(String::new, |BookedCut { id, file, .. }| {
                    format!("; cut no. {id} is of another job of that name: undo it as {file}")
                });
                bail!("no cut of {} is in the book: nothing to undo{other}", job.name);
            };
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
        self.query(|book| {
            let mut asked = book.prepare(
                "SELECT id, job, day, undone, file, \
                 (SELECT COUNT(*) FROM moved WHERE cut = cut.id AND change < 0), \
                 (SELECT COUNT(*) FROM moved WHERE cut = cut.id AND change > 0) \
                 FROM cut ORDER BY id",
            )?;
            let lines = asked.query_map([], |row| {
                let (job, file): (String, String) = (row.get(1)?, row.get(4)?);
                Ok(CutLine {
                    id: row.get(0)?,
                    // Its folder distinguishes it from others of its name.
                    job: file.strip_suffix(".toml").map_or(job, str::to_owned),
                    day: row.get(2)?,
                    undone: row.get(3)?,
                    count: [row.get(5)?, row.get(6)?],
                })
            })?;
            Ok(lines.collect::<rusqlite::Result<_>>()?)
        })
    }
}

/// Books a sheet out: the one that the job was nested on, else one of its metal, thickness and
/// outline. `None` if the book has no such sheet and the job did not say that it has.
fn book_out(book: &Connection, sheet: &CutSheet) -> anyhow::Result<Option<Entry>> {
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

/// The cost of a sheet that is cut, and its currency: from the book, else from the job.
fn price<'p>(
    sheet: &CutSheet,
    out: Option<&'p Entry>,
    currency: &'p str,
) -> Option<(f64, &'p str)> {
    let booked = out.and_then(|entry| Some((entry.price?, entry.currency.as_str())));
    booked.or_else(|| Some((sheet.cost?, currency)))
}

/// Books the remnant of a sheet in, no larger than it is, with its share of the `price`.
fn remnant(
    book: &Connection,
    sheet: &CutSheet,
    price: Option<(f64, &str)>,
    from: &str,
) -> anyhow::Result<Option<Entry>> {
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
        // A price that was not given is not known.
        price: price.map(|(price, _)| sheet.share(price, [length, width])),
        currency: price.map_or_else(String::new, |(_, currency)| currency.to_owned()),
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

/// The changes of a cut: entry and quantity.
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

/// The cut that used the last of an entry, in words.
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
        None => " (it was removed by hand)".to_owned(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cli::book::schema;

    /// A sheet of steel that is neither from the book nor priced in the job.
    fn sheet([length, width]: [f64; 2], remnant: [f64; 2]) -> CutSheet {
        CutSheet {
            name: "S235-4-mm-01".into(),
            material: "S235".into(),
            thickness: 4.0,
            size: [length, width],
            area: length * width,
            book: None,
            remnant: Some(remnant),
            cost: None,
        }
    }

    #[test]
    fn a_remnant_is_never_booked_larger_than_it_is() {
        let book = Connection::open_in_memory().unwrap();
        schema::move_up(&book).unwrap();
        for mm in
            [310.2, 449.999_999_9, 450.000_4, 23.999 * 25.4, 0.1 + 0.2, 12.34 * 25.4, 1e4 / 3.0]
        {
            let sheet = sheet([2e4, 2e4], [mm, 2.0 * mm]);
            let booked = remnant(&book, &sheet, None, "cart").unwrap().unwrap();
            assert_eq!((booked.price, booked.currency.as_str()), (None, ""));
            for (booked, is) in booked.corners.size().into_iter().zip([mm, 2.0 * mm]) {
                assert!(booked <= is + 1e-8 && booked > is - 0.001, "{booked} of {is}");
            }
        }
    }

    /// The share of a remnant is by area; that of a remnant of a remnant is of the price of that
    /// remnant.
    #[test]
    fn a_remnant_carries_its_share_of_what_its_sheet_cost() {
        let sheet = CutSheet { cost: Some(42.0), ..sheet([1000.0, 500.0], [400.0, 500.0]) };
        let of_job = price(&sheet, None, "EUR");
        assert_eq!(of_job, Some((42.0, "EUR")));
        let book = Connection::open_in_memory().unwrap();
        schema::move_up(&book).unwrap();
        let entry = remnant(&book, &sheet, of_job, "cart").unwrap().unwrap();
        assert_eq!((entry.price, entry.currency.as_str()), (Some(16.8), "EUR"));
        // The price of a sheet in the book overrides that of the job.
        assert_eq!(price(&sheet, Some(&entry), "CHF"), Some((16.8, "EUR")));
        assert_eq!(price(&CutSheet { cost: None, ..sheet }, None, "EUR"), None);
    }
}
