//! Days as the command line is given them: by the calendar, today in UTC.

use crate::cli::clock::of_day;
use anyhow::Context;
use anyhow::bail;
use std::time::UNIX_EPOCH;

const SECONDS_OF_A_DAY: u64 = 86_400;

/// The day that was given, or today.
pub(super) fn day(date: Option<String>) -> anyhow::Result<String> {
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
pub(super) fn today() -> anyhow::Result<String> {
    let now = of_day().duration_since(UNIX_EPOCH);
    let seconds = now.context("the clock is set before 1970; write `--date`")?.as_secs();
    Ok(date_of(seconds / SECONDS_OF_A_DAY))
}

/// The date this many days after 1 January 1970.
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
