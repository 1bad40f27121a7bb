//! The command `estimate`: the sheets a job will need; nothing is written.

use crate::cli::ending::Ending;
use crate::cli::job_text;
use crate::cli::terminal;
use crate::cli::terminal::plural;
use platewright::history::Past;
use platewright::job::Job;
use platewright::job::Only;
use platewright::place;
use platewright::place::Estimate;
use platewright::place::KindEstimate;
use platewright::solve::Solved;
use std::fmt::Write;
use std::path::Path;

/// `platewright estimate`.
pub(super) fn estimate(path: &Path, only: &[Only]) -> anyhow::Result<Ending> {
    let Some(mut ready) = job_text::read_job(path, only, Past::default(), None)? else {
        return Ok(Ending::Stopped);
    };
    let estimate = place::estimate(&ready.job, &ready.solved);
    let ending = if estimate.findings.is_empty() { Ending::Done } else { Ending::Stopped };
    terminal::data(&text(&ready.job, &ready.solved, &estimate));
    ready.findings.extend(estimate.findings);
    terminal::findings(&ready.findings, &ready.sources);
    Ok(ending)
}

fn text(job: &Job, solved: &[Solved], estimate: &Estimate) -> String {
    let mut text = format!("{}: an estimate, nothing is written\n", job.name);
    for kind in &estimate.kinds {
        text += &of_kind(job, solved, kind);
    }
    let costs: Option<Vec<(f64, f64)>> = estimate.kinds.iter().map(|kind| kind.cost).collect();
    let costs = costs.filter(|costs| costs.iter().any(|(_, likely)| *likely > 0.0));
    if let Some(costs) = costs {
        let sum = |of: fn(&(f64, f64)) -> f64| costs.iter().map(of).sum::<f64>();
        let _ = writeln!(
            text,
            "\nsheets: likely cost {:.2}, at least {:.2}",
            sum(|c| c.1),
            sum(|c| c.0)
        );
    }
    text
}

fn of_kind(job: &Job, solved: &[Solved], kind: &KindEstimate) -> String {
    let sheet = &job.sheets[kind.sheet];
    let likely: usize = kind.likely.iter().sum();
    let min = match kind.min_sheets {
        Some(min) => format!("at least {}", plural(min as usize, "sheet")),
        None => "more than in stock".into(),
    };
    let mut text = format!(
        "\n{}: {}, {min}, likely {likely}, {:.1} % filled, upper bound {:.1} %\n",
        sheet.name,
        plural(kind.pieces as usize, "piece"),
        100.0 * kind.filled.gross,
        100.0 * kind.filled.max,
    );
    for (stock, used) in sheet.stock.iter().zip(&kind.likely).filter(|(_, used)| **used > 0) {
        let named = stock.name.as_deref().map_or_else(String::new, |name| format!("{name}, "));
        let price =
            if stock.priced { format!(" at {:.2}", stock.sheet.price) } else { String::new() };
        let (length, width) = (job.units.size(stock.length()), job.units.size(stock.width()));
        let _ = writeln!(text, "  {named}{length} × {width}: {used}{price}");
    }
    if let Some(largest) = sheet.stock.get(kind.largest) {
        let (length, width) = (job.units.size(largest.length()), job.units.size(largest.width()));
        let _ = writeln!(text, "  a sheet of {length} × {width}, filled with one part only, holds");
    }
    let name_width = kind.holds.iter().map(|h| solved[h.part].name.len()).max().unwrap_or(0);
    for holds in &kind.holds {
        let name = &solved[holds.part].name;
        let _ = writeln!(text, "    {name:name_width$}  {:4}, {} at most", holds.likely, holds.max);
    }
    text
}
