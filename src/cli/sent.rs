//! `platewright sent JOB --to WHOM`: records what was made last as sent.

use crate::cli::ending::Ending;
use crate::cli::files;
use crate::cli::files::Replaced;
use crate::cli::input;
use crate::cli::past;
use crate::cli::shelf;
use crate::cli::shelf::shown;
use crate::cli::terminal;
use crate::cli::terminal::plural;
use anyhow::Context;
use anyhow::anyhow;
use anyhow::bail;
use platewright::history::FILE;
use platewright::history::Made;
use platewright::history::Sent;
use std::fs;
use std::path::Path;
use std::path::PathBuf;
use std::time::SystemTime;
use std::time::UNIX_EPOCH;

/// No list of an order is longer than this, in bytes. Our choice.
const LARGEST: u64 = 64 << 20;

/// Most letters of a name to whom something is sent. Our choice.
const LONGEST: usize = 100;

const SECONDS_OF_A_DAY: u64 = 86_400;

/// Records the order that was made last.
pub(super) fn sent(
    job: &Path,
    to: &str,
    date: Option<String>,
    out: Option<PathBuf>,
) -> anyhow::Result<Ending> {
    let out = out.unwrap_or_else(|| past::usual_folder(job));
    let to = whom(to)?;
    let date = day(date)?;
    shelf::read(job)?;
    let Some(made) = past::made(&out)? else {
        bail!(
            "nothing was made in {}: make the job first, or say where it was made with `--out DIR`",
            shown(&out)
        );
    };
    let files = order(&out)?;
    let record = past::record_of(job);
    // From here on no other run adds to the record.
    let replaced = Replaced::open_or_new(&record)?;
    let before = past::record(job)?;
    let Made { version, now: state, .. } = made;
    let sent = Sent { number: 0, to, date, version, files, state };
    let text =
        before.with(sent).map_err(|error| anyhow!("the record cannot be written: {error}"))?;
    replaced.with(text.as_bytes()).context("nothing was recorded")?;
    let after = past::read_record(&record, &text)?;
    if let Some(sent) = after.sent.last() {
        terminal::data(&said(job, &record, sent));
    }
    Ok(Ending::Done)
}

fn said(job: &Path, record: &Path, sent: &Sent) -> String {
    let parts: Vec<_> = sent.parts().collect();
    let mut text = format!(
        "{}: recorded as {}: {} in {}\n",
        shelf::stem(job),
        sent.words(),
        plural(parts.len(), "part"),
        shown(record)
    );
    for part in parts {
        let (issue, hash) = (sent.state.issue_of(part), &part.geometry);
        let pieces = plural(part.pieces as usize, "piece");
        text += &format!("  {}: {pieces}, issue {issue} · {hash}\n", part.name);
    }
    text
}

/// A name that can be found again.
fn whom(to: &str) -> anyhow::Result<String> {
    let to = to.trim();
    if to.is_empty() || to.chars().count() > LONGEST || to.chars().any(char::is_control) {
        bail!("`--to` is a name of 1 to {LONGEST} letters in one line");
    }
    if to.trim_start_matches("no. ").parse::<u32>().is_ok() {
        bail!("`--to {to}` is a number, and sent orders are numbered; write a name");
    }
    Ok(to.to_owned())
}

/// The files of the order with their checksums, once all of them are as they were made.
fn order(out: &Path) -> anyhow::Result<Vec<[String; 2]>> {
    let folder = out.join("order");
    let mut lists: Vec<PathBuf> = match fs::read_dir(&folder) {
        Ok(entries) => entries.filter_map(|entry| Some(entry.ok()?.path())).collect(),
        Err(_) => Vec::new(),
    };
    lists.retain(|path| path.extension().is_some_and(|end| end == "sha256"));
    lists.sort();
    if lists.is_empty() {
        bail!("there is no order in {}: nothing can have been sent", shown(&folder));
    }
    let name = |path: &PathBuf| {
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let zip = name.replace(".sha256", ".zip");
        [format!("order/{name}"), format!("order/{zip}")]
    };
    let mut names: Vec<String> = lists.iter().flat_map(name).collect();
    names.push(FILE.to_owned());
    let changed = files::changed(out, &names)?;
    if !changed.is_empty() {
        bail!(
            "not as made: {}\n\
             nothing was recorded; make the job again and send what that writes",
            changed.iter().map(|name| shown(&out.join(name))).collect::<Vec<_>>().join(", ")
        );
    }
    let mut files = Vec::new();
    for list in &lists {
        let text = input::text(list, LARGEST, "list")?;
        let lines = text.lines().filter_map(|line| line.split_once("  "));
        files.extend(lines.map(|(sum, name)| [name.to_owned(), sum.to_owned()]));
    }
    Ok(files)
}

/// The day that was given, or today.
fn day(date: Option<String>) -> anyhow::Result<String> {
    let Some(date) = date else { return today() };
    // `parse` takes a sign as well, and any number of digits.
    let form: String = date.chars().map(|c| if c.is_ascii_digit() { '0' } else { c }).collect();
    let numbers: Vec<u32> = date.split('-').filter_map(|part| part.parse().ok()).collect();
    let is_day = match numbers[..] {
        [year, month, day] if form == "0000-00-00" && year > 0 => {
            (1..=12).contains(&month) && (1..=days(year, month)).contains(&day)
        }
        _ => false,
    };
    if !is_day {
        bail!("`--date {date}` is not a date; write year, month and day, such as `2026-03-31`");
    }
    Ok(date)
}

/// Days of a month.
fn days(year: u32, month: u32) -> u32 {
    let leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    match month {
        2 => 28 + u32::from(leap),
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

/// Today in UTC.
fn today() -> anyhow::Result<String> {
    #[expect(clippy::disallowed_methods, reason = "the clock is the command line's business")]
    let now = SystemTime::now().duration_since(UNIX_EPOCH);
    let seconds = now.context("the clock is set before 1970; write `--date`")?.as_secs();
    Ok(date_of(seconds / SECONDS_OF_A_DAY))
}

/// The date so many days after 1 January 1970.
fn date_of(mut left: u64) -> String {
    let (mut year, mut month) = (1970, 1);
    loop {
        let of_month = u64::from(days(year, month));
        if left < of_month {
            return format!("{year:04}-{month:02}-{:02}", left + 1);
        }
        left -= of_month;
        month += 1;
        if month > 12 {
            (year, month) = (year + 1, 1);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_counted_and_told_from_what_is_none() {
        for (days, wanted) in
            [(0, "1970-01-01"), (59, "1970-03-01"), (11_016, "2000-02-29"), (20_178, "2025-03-31")]
        {
            assert_eq!(date_of(days), wanted);
            assert_eq!(day(Some(wanted.into())).unwrap(), wanted);
        }
        for bad in [
            "",
            "2025-02-29",
            "1900-02-29",
            "2025-13-01",
            "2025-1-1",
            "31.3.2025",
            "0000-01-01",
            "2025-+1-01",
            "+025-01-01",
            "2025-1-001",
            "2025-01-01-",
            "2025-01-\u{661}",
        ] {
            assert!(day(Some(bad.into())).is_err(), "{bad}");
        }
        assert!(today().unwrap().as_str() > "2025-01-01");
    }
}
