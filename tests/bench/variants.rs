//! How quickly many variants of one part are made: `cargo bench --bench variants`.
//!
//! A family of 10,000 tabs, no two alike, is read, solved, checked, drawn, written as DXF
//! and SVG in memory, and every DXF is read back and compared. Beside it, in the same run,
//! ezdxf writes some of the same outlines, which is less work: it solves and checks nothing
//! and reads nothing back. Then the stages of the demo. As a test, `cargo test --bench
//! variants`, the family is small.

#![expect(clippy::print_stdout, reason = "a bench prints its figures")]
#![expect(clippy::disallowed_methods, reason = "a bench looks at the clock")]
#![expect(clippy::unwrap_used, reason = "a job that is no job ends the bench")]

#[path = "../all/python.rs"]
#[expect(dead_code, reason = "a bench runs the interpreter only")]
mod python;

use platewright::diag::Finding;
use platewright::diag::Sources;
use platewright::geom::Outline;
use platewright::job;
use platewright::job::Job;
use platewright::job::Shelf;
use platewright::make;
use platewright::nest;
use platewright::nest::Item;
use platewright::nest::Orientations;
use platewright::nest::Rules;
use platewright::place::Search;
use platewright::recipe::Grain;
use platewright::solve;
use platewright::solve::Solved;
use platewright::table::Tables;
use serde_json::Value;
use serde_json::json;
use std::fmt::Write;
use std::fs;
use std::path::Path;
use std::process::Command;
use std::time::Instant;

/// The shop of the demo.
const SHOP: &str = include_str!("../../parts/shop.toml");

/// How many of the variants ezdxf writes: it takes its time.
const COMPARED: usize = 1000;

/// Reaches and feet of the family, as a bench and as a test.
const SIDE: usize = 50;
const SHORT_SIDE: usize = 3;

fn main() {
    // Only `cargo bench` says so.
    let is_bench = std::env::args().any(|argument| argument == "--bench");
    let side = if is_bench { SIDE } else { SHORT_SIDE };
    let tables = Tables::shipped();
    let file = |name: &str| (name == "../shop.toml").then(|| (name.to_owned(), SHOP.to_owned()));
    let shelf = Shelf { file: &file, ..Shelf::shipped(&tables) };
    let start = Instant::now();
    let text = family(side);
    let mut sources = Sources::default();
    let (job, read) = timed(|| read("variants", &text, &shelf, &mut sources));
    let ((solved, _), solve) = timed(|| solve(&job, &shelf, &mut sources));
    let (files, write) = timed(|| make::flats(&job, &solved).unwrap());
    let whole = start.elapsed().as_secs_f64();
    let sizes = |end: &str| -> Vec<usize> {
        let flats = files.iter().filter(|f| f.name.starts_with("flats/") && f.name.ends_with(end));
        flats.map(|f| f.bytes.len()).collect()
    };
    let (dxf, svg) = (sizes(".dxf"), sizes(".svg"));
    let count = 4 * side * side;
    assert_eq!([solved.len(), dxf.len(), svg.len()], [count; 3]);
    let each = count as f64 / whole;
    println!("{count} tabs: {whole:.2} s, {each:.0} variants a second");
    println!(
        "  read {read:.2} s, solve and check {solve:.2} s, draw, write and read back {write:.2} s"
    );
    println!("  {:.1} MB of DXF, {:.1} MB of SVG", mega(&dxf), mega(&svg));
    match peak() {
        Some(mb) => println!("  peak memory {mb:.0} MB"),
        None => println!("  peak memory unknown: this system does not report it"),
    }
    let foreign = ezdxf(&solved[..COMPARED.min(count)]);
    println!("  ezdxf writes {foreign:.0} of the same outlines a second: 1/{:.0}", each / foreign);
    drop((solved, files));
    demo(&shelf);
}

fn timed<T>(work: impl FnOnce() -> T) -> (T, f64) {
    let start = Instant::now();
    let result = work();
    (result, start.elapsed().as_secs_f64())
}

fn mega(bytes: &[usize]) -> f64 {
    bytes.iter().sum::<usize>() as f64 / 1e6
}

/// Four bolts, so many reaches and as many feet.
fn family(side: usize) -> String {
    let list = |from: f64, step: f64| {
        let mut out = String::new();
        for i in 0..side {
            write!(out, "\"{} mm\", ", from + step * i as f64).unwrap();
        }
        out
    };
    format!(
        r#"
process = "waterjet"

[[sheet]]
name      = "S235 4 mm"
material  = "S235"
thickness = "4 mm"
stock     = [ {{ size = ["2500 mm", "1250 mm"] }} ]

[[family]]
recipe = "tab"
name   = "tab-{{bolt}}-{{reach}}-{{foot}}"
sheet  = "S235 4 mm"
each   = {{ bolt = ["M5", "M6", "M8", "M10"], reach = [{}], foot = [{}] }}
"#,
        list(26.0, 0.5),
        list(20.0, 0.75)
    )
}

fn read(name: &str, text: &str, shelf: &Shelf, sources: &mut Sources) -> Job {
    let source = sources.add(name, text);
    job::read(name, source, text, shelf, sources).unwrap()
}

fn solve(job: &Job, shelf: &Shelf, sources: &mut Sources) -> (Vec<Solved>, Vec<Finding>) {
    solve::solve(job, shelf, sources, &|| {}).unwrap()
}

/// Most memory this process ever held, MB, where the system reports it.
fn peak() -> Option<f64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    let kilobytes: f64 = line.trim().strip_suffix(" kB")?.parse().ok()?;
    Some(kilobytes / 1000.0)
}

/// Files a second that ezdxf writes of the same outlines.
fn ezdxf(solved: &[Solved]) -> f64 {
    let parts: Vec<Vec<Value>> =
        solved.iter().map(|s| s.flat.region.outlines().map(outline).collect()).collect();
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("outlines.json");
    fs::write(&path, serde_json::to_vec(&parts).unwrap()).unwrap();
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/outside/write_ezdxf.py");
    let run = Command::new(python::python()).arg(script).arg(path).output().unwrap();
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    let said = String::from_utf8(run.stdout).unwrap();
    let numbers: Vec<f64> = said.split_whitespace().map(|n| n.parse().unwrap()).collect();
    numbers[0] / numbers[1]
}

fn outline(outline: &Outline) -> Value {
    match outline.circle() {
        Some((centre, radius)) => json!({ "circle": [centre.x, centre.y, radius] }),
        None => {
            let points = outline.vertices().iter().map(|v| (v.at.x, v.at.y, v.bulge));
            json!({ "points": points.collect::<Vec<_>>() })
        }
    }
}

fn demo(shelf: &Shelf) {
    let text = include_str!("../../parts/jobs/vineyard-cart.toml");
    let mut sources = Sources::default();
    let (job, read) = timed(|| read("vineyard-cart", text, shelf, &mut sources));
    let ((solved, found), solve) = timed(|| solve(&job, shelf, &mut sources));
    let kinds = 0..job.sheets.len();
    let (pieces, nest) = timed(|| kinds.map(|k| nested(&job, &solved, k)).sum::<usize>());
    let (made, whole) =
        timed(|| make::make(&job, &solved, found, &sources, &Search::none()).unwrap());
    println!("the demo: {} parts, {pieces} pieces, {} files", solved.len(), made.files.len());
    let ms = |seconds: f64| seconds * 1000.0;
    println!(
        "  read {:.1} ms, solve and check {:.1} ms, nest {:.1} ms, nest again and write {:.1} ms",
        ms(read),
        ms(solve),
        ms(nest),
        ms(whole)
    );
}

/// Nests the parts of one kind of sheet as the job does where it does not search; gives how
/// many were placed.
fn nested(job: &Job, solved: &[Solved], kind: usize) -> usize {
    let sheet = &job.sheets[kind];
    let items: Vec<Item> = solved
        .iter()
        .filter(|s| job.lines[s.line].sheet == kind)
        .map(|s| Item {
            orientations: if s.part.grain == Grain::Free {
                Orientations::Quarters
            } else {
                Orientations::Half
            },
            ..Item::new(s.flat.region.clone(), job.lines[s.line].quantity * s.part.copies)
        })
        .collect();
    let stock: Vec<nest::Stock> = sheet.stock.iter().map(|s| s.sheet.clone()).collect();
    let rules = Rules { gap: job.gap_on(sheet), margin: job.margin, units: 0, ..Rules::default() };
    let layout = nest::nest(&items, &stock, rules, &nest::unwatched);
    layout.sheets.iter().map(|s| s.placed.len()).sum()
}
