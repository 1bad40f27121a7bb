//! The known values of a joint and of the end of a tube: in words of the report, for the page.

use crate::num;
use crate::quantity::Units;
use crate::report;
use crate::report::JointRow;
use crate::report::TubeEndRow;
use crate::serve::nested::Choices;
use crate::serve::snapshot::SnapshotJob;
use crate::serve::values;
use crate::serve::values::Of;
use crate::serve::values::Values;
use crate::serve::values::is_at;
use crate::strength;
use crate::strength::At;
use std::ops::Range;

/// The known values of an entry of any kind whose name is at `here`.
pub(super) fn known(job: &SnapshotJob, of: &Of, here: Range<usize>) -> Values {
    let mut values = values::of(job, of, here.clone());
    match of.kind {
        "joint" => {
            named(job, &mut values);
            let mut all = job.ready.job.joints.all.iter();
            let name = all.find(|joint| is_at(joint.here, &here)).map(|joint| joint.name.as_str());
            let row = name.and_then(|name| joint_row(job, name));
            row.into_iter().for_each(|row| joint(&row, &mut values));
        }
        "tube_end" => {
            named(job, &mut values);
            tube_end(job, of.index, &mut values);
        }
        _ => {}
    }
    values
}

fn plain(word: &str) -> [String; 2] {
    [word.to_owned(), word.to_owned()]
}

fn fact(name: &str, value: String) -> [String; 2] {
    [name.to_owned(), value]
}

/// The possible values of the fields of a joint and of the end of a tube.
pub(super) fn choices(job: &SnapshotJob) -> Choices {
    let all = &job.ready.job;
    let solved = job.ready.solved.iter().chain(&job.ready.left_out.drawn);
    let holes = solved.flat_map(|solved| {
        let names = strength::names(&solved.part, &At::Hole(String::new()));
        names.into_iter().map(|name| plain(&format!("{}.{name}", solved.name))).collect::<Vec<_>>()
    });
    Choices {
        parts: all.lines.iter().map(|line| plain(&line.name)).collect(),
        holes: holes.collect(),
    }
}

/// The parts and the tubes that a joint and the end of a tube may name.
fn named(job: &SnapshotJob, values: &mut Values) {
    let all = &job.ready.job;
    let parts: Vec<[String; 2]> = all.lines.iter().map(|line| plain(&line.name)).collect();
    let tubes = all.tubes.iter().filter(|tube| tube.other_side_of.is_none());
    let tubes: Vec<[String; 2]> = tubes.map(|tube| plain(&tube.name)).collect();
    for key in ["guide", "cap", "cheeks"] {
        values.options.insert(key, parts.clone());
    }
    let links = all.links.iter().map(|link| plain(&link.name));
    values.options.insert("tube", tubes.iter().cloned().chain(links).collect());
    values.options.insert("stub", tubes);
}

/// The row of a joint by its name; nothing while one of its parts is stopped.
pub(super) fn joint_row(job: &SnapshotJob, name: &str) -> Option<JointRow> {
    let mut rows = report::joints(&job.ready.job, &job.ready.solved).into_iter();
    rows.find(|row| row.name == name)
}

/// What follows from a joint.
fn joint(row: &JointRow, values: &mut Values) {
    let units = values.units;
    let length = |mm: f64| units.length(mm);
    values.known.insert(("quantity", 0), row.quantity.to_string());
    let mut facts = vec![
        fact("Bolts", format!("{} pcs {}", row.quantity * row.bolts, row.bolt)),
        fact("Joints", format!("{}, {} each", row.quantity, num::counted(row.bolts, "bolt"))),
        fact("Stack, from the head", row.stack.clone()),
        fact("Grip", length(row.grip_mm)),
    ];
    let more = [
        ("Length", row.length_from.clone()),
        ("Beyond the nut", row.protrusion_mm.map(length)),
        ("Screwed into", row.thread.clone()),
    ];
    facts.extend(more.into_iter().filter_map(|(name, value)| Some(fact(name, value?))));
    facts.extend(row.alignment.iter().map(|of| {
        let left = units.length(num::on_grid(units.clearance(of.margin_mm)));
        fact(
            "Holes line up",
            format!("{} and {}: {left} left, worst case", of.holes[0], of.holes[1]),
        )
    }));
    facts.extend(row.bearing.iter().map(|of| {
        let allowed = of.allowed_mpa.map(|mpa| format!(", {} MPa allowed", num::text(mpa, 1)));
        let stress = num::text(of.stress_mpa, 1);
        fact("Bearing in the laminate", format!("{stress} MPa{}", allowed.unwrap_or_default()))
    }));
    facts.extend(row.drilling.iter().map(|line| fact("Drilling", line.clone())));
    facts.extend(row.not_judged.iter().map(|what| fact("Not judged", what.clone())));
    values.facts.extend(facts);
    values.held_by = row.parts.clone();
}

/// The values that follow from the end of a tube.
fn tube_end(job: &SnapshotJob, index: usize, values: &mut Values) {
    let rows = report::tube_ends(&job.ready.job, &job.ready.solved);
    // An end whose tube was removed has no row, but then the job is not read.
    let Some(row) = rows.get(index) else { return };
    let units = values.units;
    values.facts.extend(facts_of(row, units));
    let parts = [row.cap.as_ref().map(|of| &of.part), row.cheeks.as_ref().map(|of| &of.part)];
    let parts = parts.into_iter().flatten().chain(row.tabs.iter().map(|tab| &tab.part));
    values.held_by = parts.cloned().collect();
    values.held_by.dedup();
}

fn facts_of(row: &TubeEndRow, units: Units) -> Vec<[String; 2]> {
    let length = |mm: f64| units.length(mm);
    let cap = row.cap.iter().flat_map(|cap| {
        let off = match cap.is_inside {
            true => "none, it sits inside".to_owned(),
            false => length(cap.cut_allowance_mm),
        };
        let wall = cap.landing_mm.map(|[drawn, least]| {
            fact("Wall under the cap", format!("{}, minimum {}", length(drawn), length(least)))
        });
        let weld = cap.ground.then(|| fact("Weld of the cap", "ground flush".to_owned()));
        [Some(fact("Allowance for cap", off)), wall, weld].into_iter().flatten()
    });
    let cheeks = row.cheeks.iter().flat_map(|cheeks| {
        let [drawn, widest] = cheeks.gap_mm.map(length);
        let set = cheeks.set_mm.map(|gap| fact("Plates set apart", length(gap)));
        let least = fact("Plates apart", format!("{drawn}, {widest} for the widest tube"));
        [Some(least), set].into_iter().flatten()
    });
    let inside = row.inside.iter().map(|inside| {
        let [drawn, least] = inside.clearance_mm.map(length);
        let deep = inside.depth_mm.map_or_else(String::new, |mm| format!("{} deep, ", length(mm)));
        fact(&inside.what, format!("{deep}clearance on diameter {drawn}, minimum {least}"))
    });
    let tabs = row.tabs.iter().map(|tab| {
        let at = format!("{} from the end, {}°", length(tab.at_mm), num::text(tab.clock_deg, 2));
        let off = tab.per_degree.iter().map(|row| {
            let off = length((row.off_mm * 100.0).round() / 100.0);
            format!("; off {off} per degree {}", row.at)
        });
        fact(&tab.part, format!("{at}; level: {}{}", tab.level, off.collect::<String>()))
    });
    cap.chain(cheeks).chain(inside).chain(tabs).collect()
}
