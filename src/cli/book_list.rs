//! `platewright book`: what was cut, sent and measured, from the stock book.

use crate::cli::book::Book;
use crate::cli::ending::Ending;
use crate::cli::listing::aligned;
use crate::cli::shelf;
use crate::cli::terminal;
use crate::cli::terminal::plural;
use platewright::num;
use std::path::Path;

/// `platewright book`.
pub(super) fn list(shop: &Path) -> anyhow::Result<Ending> {
    let book = Book::open_there(&shelf::book_of(shop))?;
    let sections = [("cut", cuts(&book)?), ("sent", orders(&book)?), ("measured", strips(&book)?)];
    for (head, rows) in sections {
        let text = match rows.len() {
            0 | 1 => "  nothing\n".to_owned(),
            _ => aligned(&rows).lines().map(|line| format!("  {line}\n")).collect(),
        };
        terminal::data(&format!("{head}:\n{text}"));
    }
    Ok(Ending::Done)
}

fn head<const N: usize>(words: [&str; N]) -> Vec<Vec<String>> {
    vec![words.map(str::to_owned).to_vec()]
}

fn cuts(book: &Book) -> anyhow::Result<Vec<Vec<String>>> {
    let mut rows = head(["no.", "date", "job", "out", "in", "remark"]);
    for cut in book.cuts()? {
        let [out, remnants] = cut.count;
        rows.push(vec![
            cut.id.to_string(),
            cut.day,
            cut.job,
            plural(out as usize, "sheet"),
            plural(remnants as usize, "remnant"),
            cut.undone.map_or_else(String::new, |day| format!("undone {day}")),
        ]);
    }
    Ok(rows)
}

fn orders(book: &Book) -> anyhow::Result<Vec<Vec<String>>> {
    let mut rows = head(["date", "job", "no.", "to", "files", "parts"]);
    for order in book.orders()? {
        let parts = order.parts.iter();
        let parts = parts.map(|(name, pieces, issue)| format!("{pieces} {name} ({issue})"));
        rows.push(vec![
            order.day,
            order.job,
            order.number.to_string(),
            order.to,
            order.files.to_string(),
            parts.collect::<Vec<_>>().join(", "),
        ]);
    }
    Ok(rows)
}

fn strips(book: &Book) -> anyhow::Result<Vec<Vec<String>>> {
    let mm = |x: f64| num::text(x, 3);
    let mut rows =
        head(["date", "sheet", "V", "radius", "legs", "blank", "angle", "K-factor", "deduction"]);
    for strip in book.strips()? {
        let [a, b] = strip.legs.map(mm);
        rows.push(vec![
            strip.day,
            format!("{} {} mm ({} mm)", strip.material, mm(strip.nominal), mm(strip.thickness)),
            format!("{} mm", mm(strip.v)),
            format!("{} mm", mm(strip.radius)),
            format!("{a} mm, {b} mm"),
            format!("{} mm", mm(strip.blank)),
            format!("{}°", mm(strip.angle)),
            num::text(strip.k, 4),
            format!("{} mm", mm(strip.deduction)),
        ]);
    }
    Ok(rows)
}
