//! What links are made of: rod ends, jam nuts and bungs with their thread hands, tubes; and the
//! spacers of clevises.

use crate::bill::hardware::Hardware;
use crate::bill::hardware::Kind;
use crate::job::CopedTube;
use crate::job::Job;
use crate::link::Hand;
use crate::num;
use crate::solve;
use crate::solve::Solved;
use std::collections::BTreeMap;

/// A row with a quantity of 0.
fn row(kind: Kind, size: &str, length: String, note: String) -> Hardware {
    Hardware {
        kind,
        thread: size.to_owned(),
        length,
        quantity: 0,
        washers: 0,
        nuts: 0,
        grips: None,
        parts: Vec::new(),
        note,
        grade: None,
        alone: false,
    }
}

/// The bore of a tube as printed.
fn bore(job: &Job, tube: &CopedTube) -> String {
    job.units.length(num::on_grid(tube.outside - 2.0 * tube.wall))
}

/// Rod ends, jam nuts and bungs of the links, bungs of the ends of tubes, spacers of the clevises, by kind, size and hand.
pub(crate) fn hardware(job: &Job, solved: &[Solved]) -> Vec<Hardware> {
    let mut found: BTreeMap<(Kind, String, String), Hardware> = BTreeMap::new();
    let mut add = |kind, size: &str, length: String, quantity: u32, user: &str, note: String| {
        let key = (kind, size.to_owned(), format!("{note} {length}"));
        let row = found.entry(key).or_insert_with(|| row(kind, size, length, note));
        row.quantity += quantity;
        if row.parts.last().is_none_or(|last| last != user) {
            row.parts.push(user.to_owned());
        }
    };
    for link in job.links.iter().filter(|link| link.quantity > 0) {
        for end in &link.ends {
            let hand = match end.hand {
                Hand::Right => "right-hand thread",
                Hand::Left => "LEFT-HAND thread",
            };
            let rod_end = format!("{hand}; bore for {}", end.rod_end.name());
            // The name of a turned bung has its tube.
            let tube = link.tube.name();
            let bung = match end.bung.name().ends_with(tube) {
                true => hand.to_owned(),
                false => format!("{hand}; for tube {tube}"),
            };
            for (kind, row, note) in [
                (Kind::RodEnd, &end.thread, rod_end),
                (Kind::JamNut, &end.jam_nut, hand.to_owned()),
                (Kind::Bung, &end.bung, bung),
            ] {
                add(kind, row.name(), String::new(), link.quantity, &link.name, note);
            }
        }
    }
    for (tube, bung) in job.bungs() {
        let note = format!("right-hand thread; for a bore of {}", bore(job, &tube));
        add(Kind::Bung, bung.name(), String::new(), tube.quantity, &tube.name, note);
    }
    found.into_values().chain(spacers(job, solved)).collect()
}

/// The spacers of the clevises among some parts.
pub(crate) fn spacers(job: &Job, parts: &[Solved]) -> Vec<Hardware> {
    let mut found: BTreeMap<(String, String), Hardware> = BTreeMap::new();
    let takes = |of: &&Solved| solve::takes_rod_end(job, &job.lines[of.line], &of.part);
    for part in parts.iter().filter(takes) {
        let Some(clevis) = part.part.clevis.as_ref().filter(|c| c.spacer > 0.0) else { continue };
        let bolt = clevis.rod_end.text("bolt").unwrap_or_else(|| clevis.rod_end.name());
        let thick = job.units.length(clevis.spacer);
        let key = (bolt.to_owned(), thick.clone());
        let row = found.entry(key).or_insert_with(|| {
            let note = "one on each side of the ball".to_owned();
            row(Kind::Spacer, bolt, thick, note)
        });
        row.quantity += 2 * job.lines[part.line].quantity;
        row.parts.push(part.name.clone());
    }
    found.into_values().collect()
}
