//! What is between the values of a list: blanks, ends of lines and comments, which stay with the value they
//! are beside or above when another is added, removed or moved.

use toml_edit::Array;
use toml_edit::Decor;
use toml_edit::Value;

/// Gives a value for a place of a list the blanks that its neighbours have. A comment behind a value stays
/// on its line, one above a value stays above it.
pub(super) fn dress(list: &mut Array, at: usize, value: &mut Value) {
    let Some(before) = at.min(list.len()).checked_sub(1) else {
        // What was first has a blank before it from now on.
        if let Some(first) = list.get_mut(0) {
            let start = prefix(first);
            let (behind, above) = lines(&start);
            let blank = if start.is_empty() { " " } else { line_start(above) };
            first.decor_mut().set_prefix(if above.contains('#') { above } else { blank });
            value.decor_mut().set_prefix(format!("{behind}{}", line_start(above)));
        }
        return;
    };
    // On a separate line if the previous one is.
    let last = list.get(before).map(prefix).unwrap_or_default();
    let start = match line_start(lines(&last).1) {
        "" => " ",
        start => start,
    };
    if at < list.len() {
        let next = list.get(at).map(prefix).unwrap_or_default();
        let (behind, above) = lines(&next);
        value.decor_mut().set_prefix(format!("{behind}{}", broken(behind, start)));
        if let Some(next) = list.get_mut(at) {
            next.decor_mut().set_prefix(above);
        }
    } else if list.trailing_comma() {
        let end = list.trailing().as_str().unwrap_or_default().to_owned();
        let (behind, end) = lines(&end);
        value.decor_mut().set_prefix(format!("{behind}{}", broken(behind, start)));
        list.set_trailing(end);
    } else if let Some(old) = list.get_mut(before) {
        // The blank before the bracket belongs to the last one.
        let end = suffix(old);
        let (behind, end) = lines(&end);
        old.decor_mut().set_suffix("");
        value.decor_mut().set_prefix(format!("{behind}{}", broken(behind, start)));
        value.decor_mut().set_suffix(end);
    }
}

fn prefix(value: &Value) -> String {
    value.decor().prefix().and_then(|raw| raw.as_str()).unwrap_or_default().to_owned()
}

fn suffix(value: &Value) -> String {
    value.decor().suffix().and_then(|raw| raw.as_str()).unwrap_or_default().to_owned()
}

/// What is between two values: the end of the line of the first, with its comment, and what is on the
/// lines of the second, which begins with the end of that line.
fn lines(between: &str) -> (&str, &str) {
    match between.find('\n') {
        Some(at) => {
            let at = if between[..at].ends_with('\r') { at - 1 } else { at };
            between.split_at(at)
        }
        None => ("", between),
    }
}

/// The last line of what is before a value, without the comments above it.
fn line_start(above: &str) -> &str {
    let at = above.rfind('\n').unwrap_or(0);
    let at = if above[..at].ends_with('\r') { at - 1 } else { at };
    &above[at..]
}

/// The start of a value's line: on a new line where the one before ends with a comment.
fn broken(behind: &str, start: &str) -> String {
    let is_open = behind.contains('#') && !start.contains('\n');
    if is_open { format!("\n{start}") } else { start.to_owned() }
}

/// Exchanges a value with the one after it, each with its comments; nothing where there are no two.
pub(super) fn exchange(list: &mut Array, at: usize) -> Option<()> {
    let (one, other) = (list.get(at)?.clone(), list.get(at + 1)?.clone());
    let texts = [prefix(&one), prefix(&other), behind(list, at + 1)];
    let [(start, above_one), (beside_one, above_other), (beside_other, rest)] =
        texts.each_ref().map(|between| lines(between));
    // Comments above a value go with it; blanks alone stay where they are.
    let has_comments = above_one.contains('#') || above_other.contains('#');
    let [first, second] =
        if has_comments { [above_other, above_one] } else { [above_one, above_other] };
    let joined = |behind: &str, start: &str| format!("{behind}{}", broken(behind, start));
    for (place, mut value, before) in
        [(at, other, joined(start, first)), (at + 1, one, joined(beside_other, second))]
    {
        let old = list.get_mut(place)?;
        *value.decor_mut() = Decor::new(before, suffix(old));
        *old = value;
    }
    set_behind(list, at + 1, &joined(beside_one, rest));
    Some(())
}

/// What is behind a value of a list, up to the next one or the bracket.
fn behind(list: &Array, n: usize) -> String {
    match list.get(n + 1) {
        Some(next) => prefix(next),
        None if list.trailing_comma() => list.trailing().as_str().unwrap_or_default().to_owned(),
        None => list.get(n).map(suffix).unwrap_or_default(),
    }
}

fn set_behind(list: &mut Array, n: usize, between: &str) {
    if let Some(next) = list.get_mut(n + 1) {
        next.decor_mut().set_prefix(between);
    } else if list.trailing_comma() {
        list.set_trailing(between);
    } else if let Some(last) = list.get_mut(n) {
        last.decor_mut().set_suffix(between);
    }
}

/// Removes a value of a list with its comments, behind it and above it; all else stays.
pub(super) fn take_from(all: &mut Array, n: usize) {
    let (after, is_last) = (behind(all, n), n + 1 == all.len());
    let gone = all.remove(n);
    let before = prefix(&gone);
    let ((stays, above), (_, rest)) = (lines(&before), lines(&after));
    // The first has the blank that the first had.
    let is_new_first = n == 0 && !is_last && !rest.contains('#');
    let rest = if is_new_first { line_start(above) } else { rest };
    let is_joined = !is_last && stays.contains('#') && !rest.contains('\n');
    let rest = if is_joined { line_start(above) } else { rest };
    let between = format!("{stays}{}", broken(stays, rest));
    match n.checked_sub(1) {
        Some(last) => set_behind(all, last, &between),
        None if !all.is_empty() => {
            if let Some(first) = all.get_mut(0) {
                first.decor_mut().set_prefix(between);
            }
        }
        // Nothing is left in it.
        None => {
            all.set_trailing_comma(false);
            all.set_trailing(if between.contains('#') { between.as_str() } else { "" });
        }
    }
}
