//! How long an edit of the page takes to its answer: `cargo bench --bench page`.
//!
//! On the demo, and on a job of 300 parts of the same cart in many sizes, values of several parts are
//! changed to and fro, each to one that was not there before; the answer holds the list of the parts
//! and the part with its drawing; its bends and loads are looked at after that, which is timed as well. The same is tried without being written, as it is while somebody
//! types. After some edits the first layout is waited for. The share of the browser is not in it. At
//! the end the demo is changed many times more, and the memory of the process is printed on the way:
//! it must stay below a limit, and not grow from the first figure to the last. `cargo bench --bench
//! page -- soak` does that alone. As a test, `cargo test --bench page`, there are few edits, and of the
//! large job few parts.

#![expect(clippy::print_stdout, reason = "a bench prints its figures")]
#![expect(clippy::disallowed_methods, reason = "a bench looks at the clock")]
#![expect(clippy::unwrap_used, reason = "a job that is no job ends the bench")]

use platewright::history::Past;
use platewright::job::Shelf;
use platewright::serve::Desk;
use platewright::serve::Edit;
use platewright::serve::Opened;
use platewright::solve::Depth;
use platewright::table::Tables;
use platewright::workshop::Workshop;
use platewright::write::NamedFile;
use std::collections::BTreeSet;
use std::sync::Arc;
use std::sync::Mutex;
use std::time::Duration;
use std::time::Instant;

const JOB: &str = include_str!("../../parts/jobs/vineyard-cart.toml");
const HOSES: &str = include_str!("../../parts/jobs/hoses.csv");
const SHOP: &str = include_str!("../../parts/shop.toml");

/// The room of a drawing on a desk, px.
const ROOM: [f64; 2] = [600.0, 430.0];

/// What is edited: part, input, the value that is given, and how values are made of a number.
type Edited = (&'static str, &'static str, Option<&'static str>, fn(usize) -> String);

const EDITS: [Edited; 4] = [
    ("tab-tow", "reach", Some("32 mm"), |n| format!("{} mm", 32.0 + n as f64 / 16.0)),
    ("box-switch", "inset", None, |n| format!("{} mm", 12.0 + n as f64 / 64.0)),
    ("gusset-arch-front", "clip", Some("10 mm"), |n| format!("{} mm", 10.0 + n as f64 / 64.0)),
    ("cap-arch-leg", "wall", Some("2.9 mm"), |n| format!("{} mm", 2.9 + n as f64 / 256.0)),
];

/// The same of the large job.
const LARGE_EDITS: [Edited; 3] = [
    ("tab-0", "reach", Some("30 mm"), |n| format!("{} mm", 30.0 + n as f64 / 16.0)),
    ("gusset-1", "clip", Some("8 mm"), |n| format!("{} mm", 8.0 + n as f64 / 64.0)),
    ("box-bracket-4", "inset", None, |n| format!("{} mm", 16.0 + n as f64 / 64.0)),
];

/// Parts of the large job, as a bench and as a test.
const LARGE: [usize; 2] = [300, 10];

/// Edits of the soak after which memory is looked at, as a bench and as a test.
const SOAK: [[usize; 2]; 2] = [[1_000, 10_000], [20, 60]];

/// The most memory that the page may take after all of them, MB.
const MAX: u64 = 300;

/// What it may grow by from the first look to the last, MB: as much as an allocator keeps to itself. Our
/// choice.
const GROWTH: u64 = 40;

/// A job of so many parts, five recipes of the cart in many sizes, some of them bent in the shop.
fn large(parts: usize) -> String {
    let sheet = "[[sheet]]\nname = \"S235 3 mm\"\nmaterial = \"S235\"\nthickness = \"3 mm\"\n\
        stock = [ { size = [\"2000 mm\", \"1000 mm\"] } ]\n";
    let part = |i: usize| {
        let n = i / 5;
        let [recipe, given] = match i % 5 {
            0 => ["tab".to_owned(), format!("reach = \"{} mm\"", 30 + n)],
            1 => ["gusset".to_owned(), {
                let leg = 70 + n;
                format!(
                    "main = \"48.3 mm\", branch = \"38 mm\", clip = \"8 mm\", \
                     leg_main = \"{leg} mm\", leg_branch = \"{leg} mm\""
                )
            }],
            2 => ["base-plate".to_owned(), {
                format!("width = \"{} mm\", height = \"{} mm\", bolt = \"M8\"", 120 + n, 110 + n)
            }],
            3 => ["angle".to_owned(), format!("width = \"{0} mm\", base = \"{0} mm\"", 60 + n)],
            _ => ["box-bracket".to_owned(), {
                format!("length = \"{} mm\", width = \"{} mm\"", 120 + n, 100 + n)
            }],
        };
        format!(
            "[[part]]\nrecipe = \"{recipe}\"\nname = \"{recipe}-{i}\"\nsheet = \"S235 3 mm\"\n\
             given = {{ {given} }}\n"
        )
    };
    let head = "process = \"waterjet\"\nshop = \"../shop.toml\"\n";
    (0..parts).fold(format!("{head}{sheet}"), |job, i| job + &part(i))
}

struct Memory {
    text: Mutex<String>,
    tables: Tables,
}

impl Desk for Memory {
    fn name(&self) -> String {
        "vineyard-cart".into()
    }

    fn shown(&self) -> String {
        "vineyard-cart.toml".into()
    }

    fn text(&self) -> Result<String, String> {
        Ok(self.text.lock().unwrap().clone())
    }

    fn save(&self, _was: &str, text: &str) -> Result<bool, String> {
        text.clone_into(&mut self.text.lock().unwrap());
        Ok(true)
    }

    fn file(&self, _: &str) -> Result<Option<String>, String> {
        Ok(None)
    }

    fn save_file(&self, _: &str, _: &str, _: &str) -> Result<bool, String> {
        Ok(false)
    }

    fn sent(&self, _: &str, _: &BTreeSet<String>, _: &BTreeSet<String>) -> Result<String, String> {
        Err("nothing was made".into())
    }

    fn past(&self) -> Result<Past, String> {
        Ok(Past::default())
    }

    fn in_workshop(&self, work: &mut dyn FnMut(&Workshop)) -> Result<(), String> {
        let file = |name: &str| match name {
            "../shop.toml" => Some((name.to_owned(), SHOP.to_owned())),
            "hoses.csv" => Some((name.to_owned(), HOSES.to_owned())),
            _ => None,
        };
        work(&Workshop::new(Shelf { file: &file, ..Shelf::shipped(&self.tables) }));
        Ok(())
    }

    fn write(&self, _files: &[NamedFile]) -> Result<String, String> {
        Err("a bench writes nothing".into())
    }
}

fn main() {
    // Only `cargo bench` says so.
    let is_bench = std::env::args().any(|argument| argument == "--bench");
    let steps = SOAK[usize::from(!is_bench)];
    if std::env::args().any(|argument| argument == "soak") {
        return soak(&open(JOB.to_owned()), EDITS[0].2.map(str::to_owned), steps);
    }
    let (rounds, layouts) = if is_bench { (50, 5) } else { (1, 1) };
    let demo = measured("the demo", JOB.to_owned(), &EDITS, (rounds, layouts));
    let parts = LARGE[usize::from(!is_bench)];
    measured(&format!("{parts} parts"), large(parts), &LARGE_EDITS, (rounds, layouts));
    soak(&demo, Some(EDITS[0].3(rounds)), steps);
}

fn open(text: String) -> Arc<Opened> {
    let desk = Memory { text: Mutex::new(text), tables: Tables::shipped() };
    Opened::open(Box::new(desk), false).unwrap()
}

fn set((part, key): (&str, &str), value: String, was: Option<&String>) -> Edit {
    let (part, key) = (part.to_owned(), key.to_owned());
    Edit::Set { part, key, value: Some(value), was: was.cloned() }
}

/// A job that was opened and changed, its times printed.
fn measured(
    name: &str,
    text: String,
    edits: &[Edited],
    (rounds, layouts): (usize, usize),
) -> Arc<Opened> {
    let start = Instant::now();
    let opened = open(text);
    println!("{name} opened: {:.0} ms", millis(start.elapsed()));
    let [mut made, mut whole, mut tried, mut laid] = [const { Vec::new() }; 4];
    for (part, key, given, value) in edits {
        let mut was = given.map(str::to_owned);
        for n in 1..=rounds {
            let set = |value: String| set((*part, *key), value, was.as_ref());
            let start = Instant::now();
            let _ = opened.tried(&set(value(1000 + n)), ROOM, Depth::Flat).unwrap();
            tried.push(start.elapsed());
            let start = Instant::now();
            opened.edit(&set(value(n)), Depth::Flat).unwrap();
            let answer = (opened.list(), opened.part(part, ROOM).unwrap());
            let _ = serde_json::to_string(&answer).unwrap();
            made.push(start.elapsed());
            while opened.list()["checking"].is_string() {
                std::thread::sleep(Duration::from_millis(1));
            }
            whole.push(start.elapsed());
            if n <= layouts {
                while opened.sheets()["how"] == "coming" {
                    std::thread::sleep(Duration::from_millis(1));
                }
                laid.push(start.elapsed());
            }
            was = Some(value(n));
        }
    }
    say(&format!("{name}, from an edit to its answer with the picture"), &mut made);
    say(&format!("{name}, from an edit to its bends and loads looked at"), &mut whole);
    say(&format!("{name}, from a key to its picture"), &mut tried);
    say(&format!("{name}, from an edit to the first layout"), &mut laid);
    opened
}

/// Changes the demo many times; what it keeps must not grow with that.
///
/// # Panics
/// When it does.
fn soak(opened: &Arc<Opened>, mut was: Option<String>, steps: [usize; 2]) {
    let (part, key, ..) = EDITS[0];
    let before = resident();
    let mut seen = Vec::new();
    for n in 1..=steps[1] {
        // Each value is new to what is kept.
        let new = format!("{} mm", 32.0 + n as f64 / 2048.0);
        opened.edit(&set((part, key), new.clone(), was.as_ref()), Depth::Whole).unwrap();
        let _ = serde_json::to_string(&(opened.list(), opened.part(part, ROOM).unwrap())).unwrap();
        was = Some(new);
        if steps.contains(&n) {
            let (now, said) = (resident(), |of: Option<u64>| {
                of.map_or_else(|| "not known here".to_owned(), |mb| format!("{mb} MB"))
            });
            println!("memory after {n} edits more: {} (before: {})", said(now), said(before));
            seen.push(now);
        }
    }
    let [Some(first), Some(last)] = seen[..] else { return };
    assert!(last <= MAX, "{last} MB, at most {MAX} MB");
    assert!(last <= first + GROWTH, "it grew from {first} MB to {last} MB");
}

/// What of the process is in memory, MB; nothing where the system does not say it so.
fn resident() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:"))?;
    let kb: u64 = line.split_whitespace().next()?.parse().ok()?;
    Some(kb / 1024)
}

fn millis(time: Duration) -> f64 {
    1e3 * time.as_secs_f64()
}

fn say(what: &str, times: &mut [Duration]) {
    times.sort_unstable();
    let at = |share: f64| millis(times[((times.len() - 1) as f64 * share).round() as usize]);
    println!(
        "{what}, {} times: median {:.1} ms, 99th percentile {:.1} ms",
        times.len(),
        at(0.5),
        at(0.99)
    );
}
