//! `platewright cut JOB`: the sheets of the last make out of the stock book, its remnants in.

use crate::cli::book::Book;
use crate::cli::book::Booked;
use crate::cli::book::JobFile;
use crate::cli::book::Moved;
use crate::cli::book::Taken;
use crate::cli::book::Undone;
use crate::cli::day::day;
use crate::cli::ending::Ending;
use crate::cli::files;
use crate::cli::input;
use crate::cli::past;
use crate::cli::shelf;
use crate::cli::shelf::shown;
use crate::cli::stock;
use crate::cli::terminal;
use crate::cli::terminal::plural;
use anyhow::anyhow;
use anyhow::bail;
use platewright::book::Cut;
use platewright::book::Entry;
use std::path::Path;
use std::path::PathBuf;

/// What the sheets of a make are read from.
const REPORT: &str = "report.json";

/// No report is longer than this, in bytes. Our choice.
const LARGEST: u64 = 256 << 20;

/// What is asked of `cut`.
#[derive(clap::Args)]
pub(super) struct CutArgs {
    /// The job file
    job: PathBuf,
    /// Where the job was made [default: out/JOB]
    #[arg(short, long, value_name = "DIR", conflicts_with = "undo")]
    out: Option<PathBuf>,
    /// The date, as YEAR-MONTH-DAY [default: today in UTC]
    #[arg(long, value_name = "DATE")]
    date: Option<String>,
    /// Book it once more: the same sheets were cut a second time
    #[arg(long, conflicts_with = "undo")]
    again: bool,
    /// Undo the last booking of this job: its sheets go back in, its remnants come out
    #[arg(long)]
    undo: bool,
}

/// `platewright cut`.
pub(super) fn cut(args: &CutArgs) -> anyhow::Result<Ending> {
    let path = past::book_of(&args.job)?;
    let (job, day) = (shelf::stem(&args.job), day(args.date.clone())?);
    let file = JobFile::new(&job, &args.job, &path);
    if args.undo {
        let undone = Book::open_there(&path)?.undo(&file, &day)?;
        terminal::data(&undone_words(&job, &path, &undone));
        return Ok(Ending::Done);
    }
    let out = args.out.clone().unwrap_or_else(|| past::usual_folder(&args.job));
    let cut = made_in(&out)?;
    let currency = match cut.sheets.iter().any(|sheet| sheet.cost.is_some()) {
        true => stock::currency(&past::shop_of(&args.job)?)?,
        false => String::new(),
    };
    let taken = Book::open_or_begin(&path)?.cut(&file, (&cut, &currency), &day, args.again)?;
    match taken {
        Taken::Now(booked) => {
            terminal::data(&booked_words(&job, &path, &booked));
            Ok(Ending::Done)
        }
        Taken::Before { id, day, sheets } => {
            let what = match sheets {
                true => "these sheets are already in the book",
                false => "the same parts have already been cut, from other sheets",
            };
            terminal::say(&format!(
                "{job}: {what}, as cut no. {id} of {day}; nothing was booked\nwrite `--again` if \
                 they were cut a second time, or `--undo` to undo that"
            ));
            Ok(Ending::Stopped)
        }
    }
}

/// The sheets of what was made in a folder, as it was made.
fn made_in(out: &Path) -> anyhow::Result<Cut> {
    let path = out.join(REPORT);
    if !path.exists() {
        bail!(
            "nothing was made in {}: make the job first, or say where it was made with `--out DIR`",
            shown(out)
        );
    }
    if !files::changed(out, &[REPORT.to_owned()])?.is_empty() {
        bail!("not as made: {}; nothing was booked; make the job again", shown(&path));
    }
    let text = input::text(&path, LARGEST, "report")?;
    let cut = Cut::read(&text).map_err(|error| anyhow!("cannot read {}: {error}", shown(&path)))?;
    if cut.sheets.is_empty() {
        bail!("no sheet was cut in {}: nothing to book", shown(out));
    }
    Ok(cut)
}

fn booked_words(job: &str, path: &Path, booked: &Booked) -> String {
    let out = booked.moved.iter().filter(|moved| moved.out.is_some()).count();
    let remnants = booked.moved.iter().filter(|moved| moved.remnant.is_some()).count();
    let mut text = format!(
        "{job}: cut no. {} in the book {}: {} out, {} in\n",
        booked.id,
        shown(path),
        plural(out, "sheet"),
        plural(remnants, "remnant")
    );
    for Moved { sheet, out, remnant } in &booked.moved {
        let out = match out {
            Some(entry) => format!("{}, {} left", named(entry), entry.quantity),
            None => format!("the book has no such sheet of {}: none taken out", sheet.kind()),
        };
        let remnant = remnant.as_ref().map_or_else(String::new, |entry| {
            format!("; in: no. {}, {}", entry.id.unwrap_or_default(), entry.size())
        });
        text += &format!("  {}: {out}{remnant}\n", sheet.name);
    }
    text
}

fn undone_words(job: &str, path: &Path, undone: &Undone) -> String {
    let mut text = format!(
        "{job}: cut no. {} of {} is undone in the book {}\n",
        undone.id,
        undone.day,
        shown(path)
    );
    for entry in &undone.back {
        text += &format!("  back: {}, {} in stock\n", named(entry), entry.quantity);
    }
    for entry in &undone.gone {
        text += &format!("  gone: {}\n", named(entry));
    }
    text
}

/// An entry by number, kind and size.
fn named(entry: &Entry) -> String {
    format!("no. {}, {}, {}", entry.id.unwrap_or_default(), entry.kind(), entry.size())
}
