//! The defaults of a link, a tube, a load or a joint where its table does not give a value, and the
//! values that follow from it.

use crate::diag::Span;
use crate::job::CopedTube;
use crate::job::Job;
use crate::num;
use crate::num::Angle;
use crate::quantity::Units;
use crate::serve::entries;
use crate::serve::entries::Key;
use crate::serve::snapshot::SnapshotJob;
use crate::serve::text;
use crate::serve::text::Entry;
use crate::strength;
use crate::strength::At;
use crate::strength::Direction;
use std::collections::BTreeSet;
use std::collections::HashMap;
use std::ops::Range;

/// Which entry, by the key of its list and its place in it.
pub(super) struct Of<'a> {
    pub(super) kind: &'a str,
    pub(super) index: usize,
}

/// Whether a place of the job is within a stretch of its text.
pub(super) fn is_at(span: Span, range: &std::ops::Range<usize>) -> bool {
    range.start <= span.start && span.end <= range.end
}

/// The tube whose name is there.
pub(super) fn tube_at<'j>(job: &'j Job, here: &std::ops::Range<usize>) -> Option<&'j CopedTube> {
    job.tubes.iter().find(|tube| is_at(tube.here, here))
}

/// The known values of an entry.
pub(super) struct Values {
    pub(super) units: Units,
    /// By key and end, as it would be written.
    pub(super) known: HashMap<(&'static str, usize), String>,
    /// Values from the job that a key may have.
    pub(super) options: HashMap<&'static str, Vec<[String; 2]>>,
    /// What follows, in words and figures.
    pub(super) facts: Vec<[String; 2]>,
    /// Parts attached to its ends, or that belong to it.
    pub(super) held_by: Vec<String>,
    /// The chosen value of an open field, and why nothing lighter; by key.
    pub(super) chosen: HashMap<&'static str, serde_json::Value>,
}

impl Default for Values {
    fn default() -> Self {
        Self {
            units: Units::Millimetre,
            known: HashMap::new(),
            options: HashMap::new(),
            facts: Vec::new(),
            held_by: Vec::new(),
            chosen: HashMap::new(),
        }
    }
}

/// From what a value follows where it is not given: from points, or from the tube that an end meets.
pub(super) fn source(key: &Key, text: &str, entry: Entry) -> Option<String> {
    let meets = |end: &str| text::value(text, entry, &format!("{end}.meets"));
    if entries::follows(key, text, entry) {
        return Some("from its points".to_owned());
    }
    match key.key.split_once('.') {
        Some((end, "angle" | "offset")) => meets(end).map(|main| format!("where it meets {main}")),
        None if key.key == "twist" => {
            meets("start").and(meets("end")).map(|_| "from its points".to_owned())
        }
        _ => None,
    }
}

/// The tube of the machine that an end meets, of the key of what it is coped to.
pub(super) fn met(key: &Key, text: &str, entry: Entry) -> Option<String> {
    let end = key.key.strip_suffix(".main")?;
    text::value(text, entry, &format!("{end}.meets"))
}

/// The known values of an entry whose name is at `here`.
pub(super) fn of(job: &SnapshotJob, of: &Of, here: Range<usize>) -> Values {
    let all = &job.ready.job;
    let mut values = Values { units: all.units, ..Values::default() };
    match of.kind {
        "link" => link(all, of.index, &mut values),
        "tube" => tube(all, &here, &mut values),
        "load" => load(job, &here, &mut values),
        _ => {}
    }
    if matches!(of.kind, "link" | "tube" | "obstacle") {
        add_machine(all, &mut values);
    }
    values
}

/// The points and bodies that may be named to position an entry in the machine.
fn add_machine(job: &Job, values: &mut Values) {
    let plain = |word: &String| [word.clone(), word.clone()];
    let points: Vec<[String; 2]> = job.points.at.keys().map(plain).collect();
    let keys = ["from", "to", "travel", "through", "at", "axis", "corners"];
    for key in keys.into_iter().chain(["on.origin", "on.x", "on.side"]) {
        values.options.insert(key, points.clone());
    }
    let machine = &job.machine;
    let tubes = machine.tubes.iter().map(|tube| &tube.name);
    let obstacles = machine.obstacles.iter().map(|(body, _)| &body.name);
    let all: Vec<[String; 2]> = tubes.chain(obstacles).map(plain).collect();
    for key in ["start.meets", "end.meets"] {
        values.options.insert(key, all.clone());
    }
    let links = machine.links.iter().map(|of| &job.links[of.link].name);
    let parts = job.lines.iter().filter(|line| !line.stands.is_empty()).map(|line| &line.name);
    let all = all.into_iter().chain(links.chain(parts).map(plain));
    values.options.insert("touches", all.collect());
}

fn link(job: &Job, index: usize, values: &mut Values) {
    let Some(link) = job.links.get(index) else { return };
    let setting = link.setting();
    let show = |mm: f64| job.units.cut_to(mm);
    let [shortest, longest] = job.units.settings([setting.shortest, setting.longest]);
    for (i, end) in link.ends.iter().enumerate() {
        let known = [
            ("rod_end", end.rod_end.name().to_owned()),
            ("hand", end.hand.word().to_owned()),
            ("spacer", job.units.length(end.spacer)),
            ("bung", end.bung.name().to_owned()),
            // The bung chosen if none is named.
            ("thread", end.thread.name().to_owned()),
        ];
        values.known.extend(known.map(|(key, value)| ((key, i), value)));
    }
    let [first, second] = link.ends.each_ref().map(|end| end.engagement);
    if num::on_grid(first - second) == 0.0 {
        values.known.insert(("engagement", 0), job.units.length(first));
    }
    values.known.insert(("min_engagement", 0), job.units.length(link.min));
    values.known.insert(("pins", 0), show(link.pins));
    values.known.insert(("tube", 0), link.tube.name().to_owned());
    if let Some(chosen) = &link.chosen {
        let lighter = chosen.lighter.as_ref();
        let of = serde_json::json!({
            "chosen": link.tube.name(),
            "lighter": lighter.map(|unfit| &unfit.tube),
            "failed": lighter.map(|unfit| &unfit.headline),
        });
        values.chosen.insert("tube", of);
    }
    let turns =
        if link.turns() { "by turning the tube" } else { "by turning one end, off its pin" };
    let facts = [
        ["Tube, cut", show(setting.cut).as_str()],
        ["Welded", show(setting.welded).as_str()],
        ["Shortest, pin to pin", shortest.as_str()],
        ["Longest, pin to pin", longest.as_str()],
        ["Overall, longest", show(setting.over_all).as_str()],
        ["Set", turns],
        ["Length change per turn", job.units.length(setting.per_turn).as_str()],
    ]
    .map(|fact| fact.map(str::to_owned));
    values.facts.extend(facts);
    if link.is_uneven() {
        let [short, long] = job.units.settings(setting.turned);
        values.facts.push(["By turning the tube".to_owned(), format!("{short} to {long}")]);
    }
    let mass = link
        .tube_mass()
        .map(|kg| ["Mass of the tube".to_owned(), format!("{} kg", num::text(kg, 2))]);
    values.facts.extend(mass);
    let holds =
        |line: &&crate::job::Line| line.held.as_ref().is_some_and(|held| held.link == index);
    values.held_by = job.lines.iter().filter(holds).map(|line| line.name.clone()).collect();
}

fn tube(job: &Job, here: &Range<usize>, values: &mut Values) {
    let Some(tube) = tube_at(job, here) else { return };
    let show = |mm: f64| job.units.cut_to(mm);
    let degrees = |angle: Angle| format!("{} deg", num::text(angle.degrees(), 1));
    values.known.insert(("outside", 0), job.units.length(tube.outside));
    values.known.insert(("wall", 0), job.units.length(tube.wall));
    values.known.insert(("length", 0), show(tube.length));
    values.known.insert(("twist", 0), degrees(tube.twist));
    let keys =
        [["start.main", "start.angle", "start.offset"], ["end.main", "end.angle", "end.offset"]];
    for (keys, cope) in keys.into_iter().zip(&tube.ends) {
        let Some(cope) = cope else { continue };
        let known = [job.units.size(cope.main()), degrees(cope.angle()), show(cope.offset())];
        values.known.extend(keys.into_iter().zip(known).map(|(key, value)| ((key, 0), value)));
    }
    let facts = [
        ["Overall, cut", show(tube.cut_length()).as_str()],
        ["Between the short points", show(tube.short_length()).as_str()],
        [
            "Outside × wall",
            format!("{} × {}", job.units.size(tube.outside), job.units.size(tube.wall)).as_str(),
        ],
    ]
    .map(|fact| fact.map(str::to_owned));
    values.facts.extend(facts);
    let mass = tube.mass().map(|kg| ["Mass, each".to_owned(), format!("{} kg", num::text(kg, 2))]);
    values.facts.extend(mass);
}

fn load(job: &SnapshotJob, here: &Range<usize>, values: &mut Values) {
    let all = &job.ready.job;
    let plain = |word: &str| [word.to_owned(), word.to_owned()];
    let names = all.lines.iter().map(|line| plain(&line.name));
    values.options.insert("part", names.collect());
    let names = all.links.iter().map(|link| plain(&link.name));
    values.options.insert("link", names.collect());
    if all.link_loads.iter().any(|load| is_at(load.here, here)) {
        return;
    }
    let words = Direction::WORDS.iter().map(|(word, _)| plain(word));
    values.options.insert("direction", words.collect());
    let Some(load) = all.loads.iter().find(|load| is_at(load.here, here)) else { return };
    let solved = job.ready.solved.iter().chain(&job.ready.left_out.drawn);
    let of_part = solved.filter(|solved| all.lines[solved.line].name == load.part);
    let (mut holes, mut edges) = (BTreeSet::new(), BTreeSet::new());
    for solved in of_part {
        holes.extend(strength::names(&solved.part, &At::Hole(String::new())));
        edges.extend(strength::names(&solved.part, &At::Edge(String::new())));
        if let Some((_, verdict)) = solved.verdicts.iter().find(|(span, _)| *span == load.here) {
            values.known.insert(("shared", 0), verdict.pieces.to_string());
            if !verdict.held.is_empty() {
                values.facts.push(["Held by".to_owned(), verdict.held.clone()]);
            }
        }
    }
    for key in ["hole", "bolts"] {
        values.options.insert(key, holes.iter().map(|word| plain(word)).collect());
    }
    values.options.insert("edge", edges.iter().map(|word| plain(word)).collect());
    let held = edges.iter().copied().chain(["holes"]).map(plain);
    values.options.insert("held", held.collect());
}
