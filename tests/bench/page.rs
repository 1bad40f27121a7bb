//! How long an edit of the page takes to its answer: `cargo bench --bench page`.
//!
//! On the demo, values of several parts are changed to and fro, each to one that was not there
//! before; the answer holds the list of the parts and the part with its drawing. Then the same is
//! tried without being written, as it is while somebody types. The share of the browser is not in
//! it. As a test, `cargo test --bench page`, there are few edits.

#![expect(clippy::print_stdout, reason = "a bench prints its figures")]
#![expect(clippy::disallowed_methods, reason = "a bench looks at the clock")]
#![expect(clippy::unwrap_used, reason = "a job that is no job ends the bench")]

use platewright::history::Past;
use platewright::job::Shelf;
use platewright::serve::Desk;
use platewright::serve::Edit;
use platewright::serve::Opened;
use platewright::table::Tables;
use platewright::workshop::Workshop;
use platewright::write::NamedFile;
use std::collections::BTreeSet;
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
    let rounds = if is_bench { 50 } else { 1 };
    let start = Instant::now();
    let desk = Memory { text: Mutex::new(JOB.to_owned()), tables: Tables::shipped() };
    let opened = Opened::open(Box::new(desk), false).unwrap();
    println!("the demo opened: {:.0} ms", millis(start.elapsed()));
    let (mut made, mut tried) = (Vec::new(), Vec::new());
    for (part, key, given, value) in EDITS {
        let mut was = given.map(str::to_owned);
        for n in 1..=rounds {
            let set = |value: String, was: &Option<String>| Edit::Set {
                part: part.to_owned(),
                key: key.to_owned(),
                value: Some(value),
                was: was.clone(),
            };
            let start = Instant::now();
            let _ = opened.tried(&set(value(1000 + n), &was), ROOM).unwrap();
            tried.push(start.elapsed());
            let start = Instant::now();
            opened.edit(&set(value(n), &was)).unwrap();
            let answer = (opened.list(), opened.part(part, ROOM).unwrap());
            let _ = serde_json::to_string(&answer).unwrap();
            made.push(start.elapsed());
            was = Some(value(n));
        }
    }
    say("from an edit to its answer", &mut made);
    say("from a key to its picture", &mut tried);
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
