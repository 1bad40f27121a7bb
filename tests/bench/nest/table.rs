//! The figures as tables, in Markdown.

use crate::Given;
use crate::MARKS;
use crate::engine;
use crate::engine::Answer;
use crate::instance::Instance;
use crate::peer;
use crate::peer::Peer;
use serde_json::json;
use std::fs;

/// The conditions of the measurement.
pub(crate) fn conditions(given: &Given) -> String {
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    let load = fs::read_to_string("/proc/loadavg").unwrap_or_default();
    let load = load.split_whitespace().next().unwrap_or("unknown").to_owned();
    format!(
        "{} s for each run, {} threads on {cores} cores, {} seed(s) from {}; load before the \
         first run {load}.",
        given.seconds, given.threads, given.seeds, given.seed
    )
}

/// Strips: the length of each, beside its bound and, if asked for, the peer's.
pub(crate) fn strips(instances: &[Instance], given: &Given) {
    if instances.is_empty() {
        return;
    }
    let marks: Vec<String> = MARKS.iter().map(|m| format!("{m} s")).collect();
    println!(
        "| strip | parts | length, median | worst | bound | density | at {} | first, s | memory | \
         peer, median | worst | density | at {} | ratio of medians | of worst |",
        marks.join(" · "),
        marks.join(" · ")
    );
    println!("|---|{}", "---:|".repeat(14));
    let (mut ours, mut theirs) = (Vec::new(), Vec::new());
    for instance in instances {
        let density = |length: f64| 100.0 * instance.area() / (instance.height * length);
        let answers: Vec<Answer> =
            given.efforts().map(|effort| run(instance, effort, given)).collect();
        let lengths = sorted(answers.iter().map(|a| a.length(instance)));
        let at = |lengths: &dyn Fn(usize) -> Vec<f64>| {
            let shown = (0..MARKS.len()).map(|mark| match &lengths(mark)[..] {
                [] => "–".into(),
                known => format!("{:.1}", density(median(known))),
            });
            shown.collect::<Vec<String>>().join(" · ")
        };
        let progress =
            at(&|mark| sorted(answers.iter().filter_map(|a| a.after(f64::from(MARKS[mark])))));
        let first = median(&sorted(answers.iter().map(|a| a.trace[0].0)));
        let held = answers.iter().filter_map(|a| a.memory).reduce(f64::max);
        let mut row = format!(
            "| {} | {} | {:.1} | {:.1} | {:.1} | {:.2} % | {} | {first:.2} | {} |",
            instance.name,
            instance.parts(),
            median(&lengths),
            worst(&lengths),
            instance.bound(),
            density(median(&lengths)),
            progress,
            memory(held),
        );
        ours.push(density(median(&lengths)));
        if let Some(python) = &given.peer {
            let peers: Vec<Peer> =
                given.efforts().map(|effort| peer::pack(python, instance, effort)).collect();
            let others = sorted(peers.iter().map(|p| p.length));
            let progress = at(&|mark| sorted(peers.iter().filter_map(|p| p.at[mark])));
            row += &format!(
                " {:.1} | {:.1} | {:.2} % | {progress} | {:.4} | {:.4} |",
                median(&others),
                worst(&others),
                density(median(&others)),
                median(&lengths) / median(&others),
                worst(&lengths) / worst(&others),
            );
            theirs.push(density(median(&others)));
        }
        println!("{row}");
    }
    print!("\nMean density {:.2} %", mean(&ours));
    if !theirs.is_empty() {
        print!(", the peer's {:.2} %", mean(&theirs));
    }
    println!(".\n");
}

/// Sheets: how many, and no fewer than how many there must be.
pub(crate) fn sheets(instances: &[Instance], given: &Given) {
    if instances.is_empty() {
        return;
    }
    println!("| set | parts | at least | sheets, median | worst | first, s | s | memory |");
    println!("|---|{}", "---:|".repeat(7));
    let mut ratios = Vec::new();
    for instance in instances {
        let answers: Vec<Answer> =
            given.efforts().map(|effort| run(instance, effort, given)).collect();
        let used = sorted(answers.iter().map(|a| a.sheets() as f64));
        let seconds = median(&sorted(answers.iter().map(|a| a.seconds)));
        let first = median(&sorted(answers.iter().map(|a| a.trace[0].0)));
        let held = answers.iter().filter_map(|a| a.memory).reduce(f64::max);
        let fewest = instance.fewest();
        println!(
            "| {} | {} | {fewest} | {} | {} | {first:.2} | {seconds:.2} | {} |",
            instance.name,
            instance.parts(),
            median(&used),
            worst(&used),
            memory(held),
        );
        ratios.push(median(&used) / fewest as f64);
    }
    let (mean, worst) = (mean(&ratios), worst(&sorted(ratios)));
    println!("\nSheets over the least: mean {mean:.3}, worst {worst:.3}.\n");
}

fn run(instance: &Instance, effort: engine::Effort, given: &Given) -> Answer {
    let answer = engine::run(instance, effort);
    if let Some(folder) = &given.layouts {
        fs::create_dir_all(folder).unwrap();
        let pair = json!([{ "instance": instance.reports(), "layout": answer.reports(instance) }]);
        let name = format!("{}-{}.json", instance.name, effort.seed);
        fs::write(folder.join(name), pair.to_string()).unwrap();
    }
    answer
}

/// Memory in words.
pub(crate) fn memory(held: Option<f64>) -> String {
    held.map_or("unknown".into(), |mb| format!("{mb:.0} MB"))
}

fn sorted(values: impl IntoIterator<Item = f64>) -> Vec<f64> {
    let mut values: Vec<f64> = values.into_iter().collect();
    values.sort_by(f64::total_cmp);
    values
}

/// Of sorted values; of an even number the lower of the middle two.
fn median(values: &[f64]) -> f64 {
    values[(values.len() - 1) / 2]
}

fn worst(values: &[f64]) -> f64 {
    values[values.len() - 1]
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}
