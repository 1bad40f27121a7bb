//! The hardware of the joints of a job: bolts with washers and nuts, pilot bolts, sleeves and
//! spacers.

use crate::bill::hardware::Hardware;
use crate::bill::hardware::Kind;
use crate::bill::hardware::thread;
use crate::job::Job;
use crate::joint::Between;
use crate::joint::Bolted;
use crate::joint::Filling;
use crate::joint::Head;
use crate::joint::Washer;
use crate::num::on_grid;
use crate::solve;
use crate::solve::Solved;

/// Everything to buy for the joints; equal items are one row.
pub(super) fn hardware(job: &Job, solved: &[Solved]) -> Vec<Hardware> {
    let joints = solve::joints(job, solved).into_iter();
    let rows = joints.flat_map(|bolted| of_joint(job, bolted));
    let mut all: Vec<Hardware> = Vec::new();
    for row in rows {
        let is_alike = |other: &&mut Hardware| {
            (other.kind, &other.thread, &other.length, &other.note)
                == (row.kind, &row.thread, &row.length, &row.note)
        };
        match all.iter_mut().find(is_alike) {
            Some(other) => other.add(row),
            None => all.push(row),
        }
    }
    all.sort_by_key(|row| row.kind);
    all
}

/// All hardware of one kind of joint.
fn of_joint(job: &Job, bolted: &Bolted) -> Vec<Hardware> {
    let joint = &bolted.joint;
    let mut rows = vec![bolt(bolted)];
    rows.extend(washers(bolted));
    let show = |mm: f64| job.units.length(on_grid(mm));
    let name = joint.bolt.name();
    let note = format!("joint {}", joint.name);
    for layer in &bolted.layers {
        match layer {
            Between::Laminate(laminate, _) => {
                let sleeve = laminate.sleeve.zip(laminate.sleeve_length());
                rows.extend(sleeve.map(|(sleeve, long)| {
                    let note =
                        format!("outside diameter {}, bore for {name}", show(sleeve.outside));
                    row(bolted, Kind::Sleeve, name, show(long), note)
                }));
            }
            Between::Fill(fill) if fill.filling == Filling::Spacer => {
                rows.push(row(bolted, Kind::Spacer, name, show(fill.thickness), note.clone()));
            }
            _ => {}
        }
    }
    let pilot = joint.pilot.as_ref().filter(|_| bolted.takes_pilots());
    rows.extend(pilot.map(|(pilot, _)| Hardware {
        // One joint is drilled after the other.
        quantity: bolted.bolts_each(),
        nuts: bolted.bolts_each(),
        ..row(
            bolted,
            Kind::Bolt,
            pilot.name(),
            String::new(),
            "pilot bolt for drilling, any length that clamps; reusable".to_owned(),
        )
    }));
    rows
}

fn bolt(bolted: &Bolted) -> Hardware {
    let joint = &bolted.joint;
    let kind = match (bolted.head(), bolted.thread()) {
        (Head::Flat, _) => Kind::FlatHead,
        (Head::Cap, _) => Kind::CapScrew,
        (Head::Hexagon, Some(_)) => Kind::Screw,
        (Head::Hexagon, None) => Kind::Bolt,
    };
    let length = bolted.length().map(|made| made.words).unwrap_or_default();
    let note = bolted.thread().map_or_else(String::new, |thread| format!("into {}", thread.words));
    let plain = bolted.washers().into_iter().zip(&joint.washers);
    let plain = plain.filter(|(is, washer)| *is && matches!(washer, Washer::Plain)).count();
    let bolts = bolted.bolts();
    Hardware {
        washers: u32::try_from(plain).unwrap_or(0) * bolts,
        nuts: if bolted.thread().is_none() { bolts } else { 0 },
        grips: Some([on_grid(bolted.grip()); 2]),
        ..row(bolted, kind, &thread(&joint.bolt), length, note)
    }
}

/// Washers that are not plain ones.
fn washers(bolted: &Bolted) -> Vec<Hardware> {
    let both = bolted.washers().into_iter().zip(&bolted.joint.washers);
    let large = both.filter(|(is, _)| *is).filter_map(|(_, washer)| match washer {
        Washer::Large(washer) => {
            Some(row(bolted, Kind::Washer, washer.name(), String::new(), String::new()))
        }
        _ => None,
    });
    large.collect()
}

/// A row of one for each bolt.
fn row(bolted: &Bolted, kind: Kind, size: &str, length: String, note: String) -> Hardware {
    Hardware {
        kind,
        thread: size.to_owned(),
        length,
        quantity: bolted.bolts(),
        washers: 0,
        nuts: 0,
        grips: None,
        parts: bolted.parts().into_iter().map(str::to_owned).collect(),
        note,
        grade: None,
        alone: false,
    }
}
