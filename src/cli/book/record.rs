//! Orders that were sent, and strips that were measured, as the book keeps them.

use crate::cli::book::open::Book;
use platewright::history::Sent;
use rusqlite::Connection;
use rusqlite::params;

/// A strip that was measured; lengths are mm.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct StripEntry {
    pub(crate) day: String,
    /// Row of the table of materials.
    pub(crate) material: String,
    /// Nominal thickness, and the measured one.
    pub(crate) nominal: f64,
    pub(crate) thickness: f64,
    /// Opening of the V, and the inside radius.
    pub(crate) v: f64,
    pub(crate) radius: f64,
    /// Both legs outside, and the length before bending.
    pub(crate) legs: [f64; 2],
    pub(crate) blank: f64,
    /// Bend angle, degrees.
    pub(crate) angle: f64,
    /// The result: K-factor, and the deduction at 90° on a sheet of the nominal thickness.
    pub(crate) k: f64,
    pub(crate) deduction: f64,
}

/// An order in the list of all.
pub(crate) struct SentLine {
    pub(crate) job: String,
    pub(crate) number: u32,
    pub(crate) to: String,
    pub(crate) day: String,
    pub(crate) files: u32,
    /// Each part: name, pieces, issue.
    pub(crate) parts: Vec<(String, u32, String)>,
}

impl Book {
    /// Keeps an order that was sent, while `recorded` keeps it elsewhere: both or none.
    ///
    /// # Errors
    /// When either fails.
    pub(crate) fn sent(
        &mut self,
        job: &str,
        sent: &Sent,
        recorded: impl FnOnce() -> anyhow::Result<()>,
    ) -> anyhow::Result<()> {
        self.change(|book| {
            book.execute(
                "INSERT INTO sent (job, number, recipient, day, program) VALUES (?1, ?2, ?3, ?4, ?5)",
                params![job, sent.number, sent.to, sent.date, sent.version],
            )?;
            let id = book.last_insert_rowid();
            for [name, sum] in &sent.files {
                book.execute(
                    "INSERT INTO sent_file (sent, name, sha256) VALUES (?1, ?2, ?3)",
                    params![id, name, sum],
                )?;
            }
            for part in sent.parts() {
                let issue = sent.state.issue_of(part);
                book.execute(
                    "INSERT INTO sent_part (sent, part, issue, geometry, pieces) \
                     VALUES (?1, ?2, ?3, ?4, ?5)",
                    params![id, part.name, issue, part.geometry, part.pieces],
                )?;
            }
            recorded()
        })
    }

    /// All orders, oldest first.
    ///
    /// # Errors
    /// When they cannot be read.
    pub(crate) fn orders(&self) -> anyhow::Result<Vec<SentLine>> {
        self.query(|book| {
            let mut asked = book.prepare(
                "SELECT id, job, number, recipient, day, \
                 (SELECT COUNT(*) FROM sent_file WHERE sent = sent.id) FROM sent ORDER BY id",
            )?;
            let lines = asked.query_map([], |row| {
                let line = SentLine {
                    job: row.get(1)?,
                    number: row.get(2)?,
                    to: row.get(3)?,
                    day: row.get(4)?,
                    files: row.get(5)?,
                    parts: Vec::new(),
                };
                Ok((row.get::<_, i64>(0)?, line))
            })?;
            let mut orders = Vec::new();
            for line in lines {
                let (id, mut line) = line?;
                line.parts = parts(book, id)?;
                orders.push(line);
            }
            Ok(orders)
        })
    }

    /// Records strips that were measured, each once, while `recorded` keeps their results
    /// elsewhere: both or none. Gives how many are new.
    ///
    /// # Errors
    /// When either fails.
    pub(crate) fn measured(
        &mut self,
        strips: &[StripEntry],
        recorded: impl FnOnce() -> anyhow::Result<()>,
    ) -> anyhow::Result<usize> {
        self.change(|book| {
            let mut new = 0;
            for strip in strips {
                new += keep(book, strip)?;
            }
            recorded()?;
            Ok(new)
        })
    }

    /// All strips, oldest first.
    ///
    /// # Errors
    /// When they cannot be read.
    pub(crate) fn strips(&self) -> anyhow::Result<Vec<StripEntry>> {
        self.query(|book| {
            let mut asked = book.prepare(
                "SELECT day, material, nominal_mm, thickness_mm, v_mm, radius_mm, leg_a_mm, \
                 leg_b_mm, blank_mm, angle_deg, k, deduction_mm FROM strip ORDER BY id",
            )?;
            let strips = asked.query_map([], |row| {
                Ok(StripEntry {
                    day: row.get(0)?,
                    material: row.get(1)?,
                    nominal: row.get(2)?,
                    thickness: row.get(3)?,
                    v: row.get(4)?,
                    radius: row.get(5)?,
                    legs: [row.get(6)?, row.get(7)?],
                    blank: row.get(8)?,
                    angle: row.get(9)?,
                    k: row.get(10)?,
                    deduction: row.get(11)?,
                })
            })?;
            Ok(strips.collect::<rusqlite::Result<_>>()?)
        })
    }
}

fn parts(book: &Connection, sent: i64) -> rusqlite::Result<Vec<(String, u32, String)>> {
    let mut asked =
        book.prepare("SELECT part, pieces, issue FROM sent_part WHERE sent = ?1 ORDER BY rowid")?;
    let parts = asked.query_map([sent], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?;
    parts.collect()
}

/// Writes a strip, unless one with the very same measurements is there; gives how many were
/// written.
fn keep(book: &Connection, strip: &StripEntry) -> rusqlite::Result<usize> {
    let [a, b] = strip.legs;
    book.execute(
        "INSERT INTO strip (day, material, nominal_mm, thickness_mm, v_mm, radius_mm, leg_a_mm, \
         leg_b_mm, blank_mm, angle_deg, k, deduction_mm) \
         SELECT ?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12 WHERE NOT EXISTS \
         (SELECT 1 FROM strip WHERE material = ?2 AND nominal_mm = ?3 AND thickness_mm = ?4 \
         AND v_mm = ?5 AND radius_mm = ?6 AND leg_a_mm = ?7 AND leg_b_mm = ?8 AND blank_mm = ?9 \
         AND angle_deg = ?10)",
        params![
            strip.day,
            strip.material,
            strip.nominal,
            strip.thickness,
            strip.v,
            strip.radius,
            a,
            b,
            strip.blank,
            strip.angle,
            strip.k,
            strip.deduction
        ],
    )
}
