//! How well and how quickly sheets are filled: `cargo bench --bench nest`.
//!
//! Runs on the sets in `tests/bench/nest/sets`, then on those of a folder named on the command
//! line; `-- --help` lists its options. As a test, `cargo test --bench nest`, it runs on one set
//! of each kind for hardly any time. Every layout is audited. Density is the area within the
//! outlines of the parts, cut-outs counted as metal, divided by the area used.

#![expect(clippy::print_stdout, reason = "a bench prints its figures")]
#![expect(clippy::disallowed_methods, reason = "a bench looks at the clock")]
#![expect(clippy::unwrap_used, reason = "a set that is no set ends the bench")]

#[path = "nest/engine.rs"]
mod engine;
#[path = "nest/instance.rs"]
mod instance;
#[path = "nest/peer.rs"]
mod peer;
#[path = "nest/table.rs"]
mod table;

use clap::Parser;
use engine::Effort;
use instance::Instance;
use std::fs;
use std::path::Path;
use std::path::PathBuf;

/// Progress is reported after so many seconds.
pub(crate) const MARKS: [u32; 5] = [1, 2, 5, 10, 20];

/// Work allowed to each run of a test.
const SHORT_EFFORT: u64 = 100;

/// Fills strips and sheets, and prints how well.
#[derive(Parser)]
struct Given {
    /// A folder with more sets: NAME.json, open/NAME.json, bins/NAME.jsonl
    folder: Option<PathBuf>,
    /// Run this set alone, and report its progress
    #[arg(long)]
    instance: Option<PathBuf>,
    /// With --instance: write the layout here
    #[arg(long, requires = "instance")]
    layout: Option<PathBuf>,
    /// With --instance: every part so many times
    #[arg(long, requires = "instance", default_value_t = 1)]
    copies: u32,
    /// With --instance: another height of the strip
    #[arg(long, requires = "instance")]
    height: Option<f64>,
    /// Time for each run
    #[arg(long, default_value_t = 20)]
    seconds: u64,
    /// Units of work for each run, if not what usually takes as long
    #[arg(long)]
    units: Option<u64>,
    /// The first seed
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// How many seeds
    #[arg(long, default_value_t = 1)]
    seeds: u64,
    /// Threads, for us and for the peer
    #[arg(long, default_value_t = 2)]
    threads: usize,
    /// Compare with a packing library known to this Python
    #[arg(long)]
    peer: Option<PathBuf>,
    /// Run only sets whose name holds this
    #[arg(long)]
    only: Option<String>,
    /// Write every layout and its set into this folder, for tests/outside/check_nest.py
    #[arg(long)]
    layouts: Option<PathBuf>,
    /// Given by cargo
    #[arg(long, hide = true)]
    bench: bool,
}

fn main() {
    let mut given = Given::parse();
    if let Some(path) = &given.instance {
        return one(path, &given);
    }
    let own = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bench/nest/sets");
    let (mut strips, mut sheets): (Vec<_>, Vec<_>) =
        read(&own).into_iter().partition(|i| i.length.is_none());
    if let Some(folder) = &given.folder {
        strips.extend(read(folder));
        strips.extend(fourfold(folder));
        strips.extend(read(&folder.join("open")));
        for path in files(&folder.join("bins"), "jsonl") {
            sheets.extend(Instance::read_sheets(&path).unwrap());
        }
    }
    let wanted = |i: &Instance| given.only.as_ref().is_none_or(|only| i.name.contains(only));
    strips.retain(wanted);
    sheets.retain(wanted);
    if !given.bench {
        strips.truncate(1);
        sheets.truncate(1);
        given.units = Some(SHORT_EFFORT);
    }
    println!("{}\n", table::conditions(&given));
    table::strips(&strips, &given);
    table::sheets(&sheets, &given);
}

impl Given {
    /// What each run is given, by seed.
    fn efforts(&self) -> impl Iterator<Item = Effort> {
        let effort = |seed| Effort {
            seconds: self.seconds,
            seed: self.seed + seed,
            threads: self.threads,
            units: self.units,
        };
        (0..self.seeds).map(effort)
    }
}

/// One set: its progress line by line, and its layout as a file.
fn one(path: &Path, given: &Given) {
    let mut instance = Instance::read(path).unwrap();
    instance.resize(given.copies, given.height);
    let effort = given.efforts().next().unwrap();
    let answer = engine::run(&instance, effort);
    let density = |length: f64| 100.0 * instance.area() / (instance.height * length);
    for (seconds, length) in &answer.trace {
        println!("{seconds:8.2} s  {length:10.3}  {:6.2} %", density(*length));
    }
    let (length, sheets) = (answer.length(&instance), answer.sheets());
    let bound = instance.bound();
    println!(
        "{}: {} parts, {sheets} sheet(s), length {length:.3} (at least {bound:.1}), density \
         {:.2} % (cannot exceed {:.2} %), {:.2} s, {}",
        instance.name,
        instance.parts(),
        density(length),
        density(bound),
        answer.seconds,
        table::memory(answer.memory),
    );
    if let Some(path) = &given.layout {
        fs::write(path, answer.reports(&instance).to_string()).unwrap();
    }
    if let Some(python) = &given.peer {
        let peer = peer::pack(python, &instance, effort);
        println!("peer: length {:.3}, ours / peer {:.4}", peer.length, length / peer.length);
    }
}

/// The sets of a folder, by name.
fn read(folder: &Path) -> Vec<Instance> {
    files(folder, "json").iter().map(|path| Instance::read(path).unwrap()).collect()
}

/// Its sets of one kind of part, four times as large.
fn fourfold(folder: &Path) -> Vec<Instance> {
    files(folder, "json").iter().filter_map(|path| Instance::fourfold(path)).collect()
}

fn files(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).into_iter().flatten();
    let mut files: Vec<PathBuf> = entries.map(|entry| entry.unwrap().path()).collect();
    files.retain(|path| path.extension().is_some_and(|e| e == ending));
    files.sort();
    files
}
