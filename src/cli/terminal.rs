//! Words to the person, and data to the pipe.

use indicatif::MultiProgress;
use indicatif::ProgressBar;
use indicatif::ProgressDrawTarget;
use indicatif::ProgressStyle;
use platewright::diag::Finding;
use platewright::diag::Sources;
use platewright::diag::Weight;
use platewright::diag::nearest;
use platewright::document::now_called;
use platewright::report::Beside;
use std::io::IsTerminal;
use std::io::Write;

/// More findings than this are counted instead of shown: nobody reads them at once.
const MAX_SHOWN: usize = 40;

/// How often a progress line is redrawn. Our choice: more flickers.
const LINES_A_SECOND: u8 = 4;

/// A line for the person, on standard error.
pub(super) fn say(text: &str) {
    // Nobody can be informed that standard error is closed.
    let _ = writeln!(std::io::stderr(), "{text}");
}

/// Data, on standard output. A closed reader is no error.
pub(super) fn data(text: &str) {
    let mut out = std::io::stdout().lock();
    let _ = out.write_all(text.as_bytes()).and_then(|()| out.flush());
}

/// Shows findings, stops first.
pub(super) fn findings(findings: &[Finding], sources: &Sources) {
    #[expect(clippy::disallowed_methods, reason = "the terminal's colours are its business")]
    let plain = std::env::var("NO_COLOR").is_ok_and(|v| !v.is_empty());
    let colour = std::io::stderr().is_terminal() && !plain;
    // Those of a job that is not read are in the order of its text.
    let mut sorted: Vec<&Finding> = findings.iter().collect();
    sorted.sort_by_key(|f| std::cmp::Reverse(f.weight));
    for finding in sorted.iter().take(MAX_SHOWN) {
        say(&sources.draw(finding, colour));
        say("");
    }
    if sorted.len() > MAX_SHOWN {
        say(&format!("… and {} more", sorted.len() - MAX_SHOWN));
    }
}

/// `2 stops, 1 caution`.
pub(super) fn count(findings: &[Finding]) -> String {
    let of = |weight| findings.iter().filter(|f| f.weight == weight).count();
    format!("{}, {}", plural(of(Weight::Stop), "stop"), plural(of(Weight::Caution), "caution"))
}

/// The same, and what is not clear beside the findings.
pub(super) fn found(findings: &[Finding], beside: Beside) -> String {
    std::iter::once(count(findings)).chain(beside.words()).collect::<Vec<_>>().join(", ")
}

/// `1 sheet`, `2 sheets`.
pub(super) fn plural(n: usize, word: &str) -> String {
    format!("{n} {word}{}", if n == 1 { "" } else { "s" })
}

/// A bar of so many steps on a terminal; nothing in a pipe.
pub(super) fn progress(steps: usize, what: &'static str) -> ProgressBar {
    if !std::io::stderr().is_terminal() {
        return ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden());
    }
    let style = ProgressStyle::with_template("{msg} {wide_bar} {pos}/{len}");
    let bar = ProgressBar::new(steps as u64).with_message(what);
    match style {
        Ok(style) => bar.with_style(style),
        Err(_) => bar,
    }
}

/// Several progress lines, on a terminal; empty in a pipe.
pub(super) fn lines(count: usize) -> Vec<ProgressBar> {
    if !std::io::stderr().is_terminal() {
        let hidden = || ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden());
        return (0..count).map(|_| hidden()).collect();
    }
    let all = MultiProgress::with_draw_target(ProgressDrawTarget::stderr_with_hz(LINES_A_SECOND));
    let style = ProgressStyle::with_template("{elapsed} {msg}");
    let line = |_| {
        let line = all.add(ProgressBar::new_spinner());
        match &style {
            Ok(style) => line.with_style(style.clone()),
            Err(_) => line,
        }
    };
    (0..count).map(line).collect()
}

pub(super) fn meant<'a>(typed: &str, known: impl Iterator<Item = &'a str>) -> String {
    let known: Vec<&str> = known.collect();
    let renamed = now_called(typed, |new| known.contains(&new));
    match renamed.or_else(|| nearest(typed, known.iter().copied())) {
        Some(near) => format!("; did you mean `{near}`?"),
        None => format!("; choose from {}", known.join(", ")),
    }
}
