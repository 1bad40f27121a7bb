//! The joints of a job with its solved parts.

mod bears;
mod threads;

pub(crate) use bears::bears;

use crate::check;
use crate::check::Together;
use crate::diag::About;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::HoleId;
use crate::diag::Span;
use crate::diag::instead;
use crate::fit::cut_tolerance;
use crate::fit::sheet_tolerance;
use crate::geom::Point;
use crate::job::Job;
use crate::joint::Between;
use crate::joint::Bolted;
use crate::joint::Joint;
use crate::joint::Plate;
use crate::joint::What;
use crate::joint::across;
use crate::num;
use crate::part::Hole;
use crate::part::HoleSize;
use crate::solve::joints::threads::thread;
use crate::solve::joints::threads::wrong_thread;
use crate::solve::solved::Solved;
use crate::solve::solved::pieces;
use std::sync::Arc;

/// Maximum number of holes of one joint. Our choice: each is compared with each.
const MAX_HOLES: usize = 100;

/// The joints of a job.
pub(super) struct Joints {
    /// The joints that can be assembled.
    bolted: Vec<Arc<Bolted>>,
    /// What cannot, and why.
    wrong: Vec<Finding>,
}

/// The joints of a job whose parts are solved, in its order: as they were worked out with the parts.
pub(crate) fn joints<'a>(job: &Job, solved: &'a [Solved]) -> Vec<&'a Bolted> {
    let of = |joint: &Arc<Joint>| {
        let mut all = solved.iter().flat_map(|of| &of.joints);
        all.find(|bolted| bolted.joint.here == joint.here).map(Arc::as_ref)
    };
    job.joints.all.iter().filter_map(of).collect()
}

/// Works out the joints of a job whose parts are `solved`, and gives each part its own. One whose part is
/// stopped waits for it.
pub(super) fn work_out(job: &Job, solved: &mut [Solved]) -> Joints {
    let mut joints = Joints { bolted: Vec::new(), wrong: Vec::new() };
    for joint in &job.joints.all {
        match bolted(job, solved, joint) {
            Ok(Some(bolted)) => joints.bolted.push(Arc::new(bolted)),
            Ok(None) => {}
            Err(finding) => joints.wrong.push(*finding),
        }
    }
    for part in solved {
        // A line of several plates is named as one: the hole is in one of them.
        let own = joints.bolted.iter().filter(|of| of.parts().contains(&part.name.as_str()));
        part.joints = own.cloned().collect();
    }
    joints
}

impl Joints {
    /// Everything that is wrong with them.
    pub(super) fn findings(
        &self,
        job: &Job,
        solved: &[Solved],
        together: &dyn for<'b> Fn(&'b Bolted) -> Together<'b>,
    ) -> Vec<Finding> {
        let twice = twice(job, solved);
        let judged = self.bolted.iter().flat_map(|of| check::joint(of, &together(of), job.units));
        self.wrong.iter().cloned().chain(twice).chain(judged).collect()
    }
}

/// The joint whose bolt passes through a hole of a part.
pub(crate) fn joint_of<'a>(job: &'a Job, part: &Solved, hole: &Hole) -> Option<&'a str> {
    let of =
        |joint: &&Arc<Joint>| joint.stack.iter().any(|layer| names(job, &layer.what, part, hole));
    job.joints.all.iter().find(of).map(|joint| joint.name.as_str())
}

/// The lines of the job whose parts are bolted to a part.
pub(super) fn joined(job: &Job, solved: &[Solved], part: &Solved) -> Vec<String> {
    let own = job.joints.all.iter().filter(|joint| is_in(job, joint, part));
    let joined = own.flat_map(|joint| solved.iter().filter(|of| is_in(job, joint, of)));
    joined.map(|of| job.lines[of.line].name.clone()).collect()
}

/// Whether a joint names a hole of a part.
fn is_in(job: &Job, joint: &Joint, of: &Solved) -> bool {
    joint.stack.iter().any(|layer| match &layer.what {
        What::Hole { part, .. } => is_part(job, part, of),
        _ => false,
    })
}

/// Whether a layer names a hole of a part.
fn names(job: &Job, what: &What, of: &Solved, hole: &Hole) -> bool {
    match what {
        What::Hole { part, hole: name } => is_part(job, part, of) && hole.is_of(name),
        _ => false,
    }
}

fn is_part(job: &Job, name: &str, of: &Solved) -> bool {
    of.name == name || job.lines[of.line].name == name
}

/// Holes that two joints name.
fn twice(job: &Job, solved: &[Solved]) -> Vec<Finding> {
    let mut found = Vec::new();
    for (i, joint) in job.joints.all.iter().enumerate() {
        for other in &job.joints.all[..i] {
            let both = joint.stack.iter().find_map(|layer| {
                let before = other.stack.iter().find(|before| {
                    solved.iter().any(|part| {
                        part.part.holes().any(|(_, hole)| {
                            names(job, &layer.what, part, hole)
                                && names(job, &before.what, part, hole)
                        })
                    })
                })?;
                Some((layer, before))
            });
            let Some((layer, before)) = both else { continue };
            let headline =
                format!("the same hole is in joint `{}` and in joint `{}`", other.name, joint.name);
            let finding = Finding::stop("duplicate-name", headline).at(layer.at, "");
            let finding = finding.at(before.at, "named here before");
            found.push(finding.help("a hole takes one bolt: name it in one joint"));
        }
    }
    found
}

/// A joint of solved parts; `None` if a part of it is stopped.
fn bolted(
    job: &Job,
    solved: &[Solved],
    joint: &Arc<Joint>,
) -> Result<Option<Bolted>, Box<Finding>> {
    let mut layers = Vec::with_capacity(joint.stack.len());
    for layer in &joint.stack {
        layers.push(match &layer.what {
            What::Laminate(laminate) => Between::Laminate(*laminate, layer.at),
            What::Fill(fill) => Between::Fill(*fill),
            What::Hole { part, hole } => match plate(job, solved, joint, (part, hole, layer.at))? {
                Some(plate) => Between::Plate(Box::new(plate)),
                None => return Ok(None),
            },
        });
    }
    let plates = || {
        layers.iter().filter_map(|layer| match layer {
            Between::Plate(plate) => Some(plate.as_ref()),
            _ => None,
        })
    };
    if let Some(first) = plates().next()
        && let Some(other) = plates().find(|other| other.holes.len() != first.holes.len())
    {
        return Err(Box::new(counts_differ(first, other)));
    }
    let is_last = |i: usize| i + 1 == layers.len();
    let inside = layers.iter().enumerate().find_map(|(i, layer)| match layer {
        Between::Plate(plate) if plate.thread.is_some() && !is_last(i) => Some(plate),
        _ => None,
    });
    if let Some(plate) = inside {
        let headline = format!("`{}` has a thread: no layer can follow it", plate.words());
        let finding = Finding::stop("joint-bolt", headline).about(plate.about.clone());
        let finding = finding.at(plate.at, "");
        return Err(Box::new(
            finding.help("make it the last layer of `stack`, or a clearance hole"),
        ));
    }
    guide_is_there(joint, plates())?;
    enough_pieces(joint, plates())?;
    let quantity = joint.quantity.or_else(|| plates().next().map(|plate| plate.joints));
    Ok(Some(Bolted::new(joint.clone(), layers, quantity.unwrap_or(0))))
}

/// Whether there are pieces for one joint of a part that is in it more than once.
fn enough_pieces<'a>(
    joint: &Joint,
    mut plates: impl Iterator<Item = &'a Plate>,
) -> Result<(), Box<Finding>> {
    let Some(plate) = plates.find(|plate| plate.joints == 0) else { return Ok(()) };
    let [made, each] = plate.pieces;
    let headline = format!(
        "one joint `{}` takes {each} pieces of `{}`, and the job makes {made}",
        joint.name, plate.part
    );
    let finding = Finding::stop("joint-holes", headline).about(plate.about.clone());
    let finding = finding.at(plate.at, "").at(joint.here, "in this joint");
    Err(Box::new(finding.help(format!("make {each} of it for each joint: `quantity = {each}`"))))
}

fn guide_is_there<'a>(
    joint: &Joint,
    plates: impl Iterator<Item = &'a Plate>,
) -> Result<(), Box<Finding>> {
    let Some((name, at)) = &joint.guide else { return Ok(()) };
    let mut names: Vec<&str> = plates.map(|plate| plate.part.as_str()).collect();
    names.dedup();
    if names.contains(&name.as_str()) {
        return Ok(());
    }
    let headline = format!("the guide `{name}` is not in joint `{}`", joint.name);
    let finding = Finding::stop("bad-name", headline).at(*at, "");
    Err(Box::new(finding.help(instead(name, &names, "its parts are"))))
}

fn counts_differ(first: &Plate, other: &Plate) -> Finding {
    let headline = format!(
        "`{}` has {}, `{}` has {}",
        first.words(),
        num::counted(first.holes.len(), "hole"),
        other.words(),
        num::counted(other.holes.len(), "hole")
    );
    Finding::stop("joint-holes", headline)
        .about(other.about.clone())
        .at(other.at, "")
        .at(first.at, "")
        .help(
            "name the same number of holes in each part: one by its number, `base.bolt 2`, or \
               the whole set",
        )
}

/// A plate of a joint; `None` if its part is stopped.
fn plate(
    job: &Job,
    solved: &[Solved],
    joint: &Joint,
    (part, name, at): (&str, &str, Span),
) -> Result<Option<Plate>, Box<Finding>> {
    let own: Vec<&Solved> = solved.iter().filter(|of| is_part(job, part, of)).collect();
    let has = |of: &&&Solved| of.part.holes().any(|(_, hole)| hole.is_of(name));
    let of: Vec<&Solved> = own.iter().filter(has).copied().collect();
    let refuse = |headline: String, help: String| {
        let finding = Finding::stop("bad-name", headline).at(at, "");
        let finding = own.iter().fold(finding, |f, of| f.about(About::part(&of.name)));
        Err(Box::new(finding.help(help)))
    };
    let of = match (of.as_slice(), own.is_empty()) {
        ([one], _) => *one,
        ([], true) => return none_made(job, (part, at)),
        ([], false) => {
            let mut names: Vec<&str> =
                own.iter().flat_map(|of| of.part.holes().map(|(_, hole)| hole.set())).collect();
            names.dedup();
            let help = match names.is_empty() {
                true => "name a part that has holes".to_owned(),
                false => instead(name, &names, "its holes are"),
            };
            return refuse(format!("part `{part}` has no hole `{name}`"), help);
        }
        (several, _) => {
            let names: Vec<&str> = several.iter().map(|of| of.name.as_str()).collect();
            let help = format!("name one of {}", names.join(", "));
            return refuse(format!("several plates of `{part}` have a hole `{name}`"), help);
        }
    };
    let holes: Vec<(HoleId, &Hole)> = of.part.holes().filter(|(_, h)| h.is_of(name)).collect();
    let face = holes[0].0.face;
    if holes.iter().any(|(id, _)| id.face != face) || holes.len() > MAX_HOLES {
        let headline = format!(
            "the holes `{name}` of `{part}` are {}: not all on one face, or too many",
            holes.len()
        );
        let help = format!("name holes of one face in each joint, {MAX_HOLES} at most");
        return refuse(headline, help);
    }
    made(job, joint, of, &holes, (name, at)).map(Some)
}

/// The note if a part is not made: `None` if it is stopped.
fn none_made(job: &Job, (part, at): (&str, Span)) -> Result<Option<Plate>, Box<Finding>> {
    let idle = job.lines.iter().find(|line| line.name == part && line.is_idle());
    let is_line = job.lines.iter().any(|line| line.name == part);
    if idle.is_none() && is_line {
        return Ok(None);
    }
    let headline = match idle {
        Some(_) => format!("the job makes none of `{part}`"),
        None => format!("there is no part `{part}` to join"),
    };
    let finding = Finding::stop("unknown-part", headline).at(at, "");
    Err(Box::new(finding.help("name a part that is made, as the report names it")))
}

/// A plate by its holes.
fn made(
    job: &Job,
    joint: &Joint,
    of: &Solved,
    holes: &[(HoleId, &Hole)],
    (name, at): (&str, Span),
) -> Result<Plate, Box<Finding>> {
    let line = &job.lines[of.line];
    let first = holes[0].1;
    let features = holes.iter().map(|(id, _)| Feature::Hole(*id)).collect();
    let about = About::Part { name: of.name.clone(), features };
    let thread = thread(joint, first, of.part.thickness);
    if let Some(wrong) = thread.as_ref().and_then(|(is, _)| wrong_thread(joint, is)) {
        let headline =
            format!("`{}.{name}` has {wrong}, the bolt is {}", of.name, joint.bolt.name());
        let finding = Finding::stop("joint-bolt", headline).about(about).at(at, "");
        let finding = finding.at(joint.here, "in this joint");
        return Err(Box::new(finding.help("write the bolt of that thread")));
    }
    let narrowest = |wide: &dyn Fn(&Hole) -> f64| {
        holes.iter().map(|(_, hole)| wide(hole)).fold(f64::INFINITY, f64::min)
    };
    let centres: Vec<[f64; 2]> = holes.iter().map(|(_, hole)| place(hole.at)).collect();
    let long = across(&centres);
    let cut = |long: f64| {
        let usual =
            || cut_tolerance(job.process.name(), of.part.thickness, long, &job.joints.tables);
        job.limits.cut.unwrap_or_else(usual)
    };
    let (passage, as_cut) = (narrowest(&in_the_end), narrowest(&width));
    let coating = job.coating_of(line);
    let times = joint.stack.iter().filter(|layer| names(job, &layer.what, of, first)).count();
    let times = u32::try_from(times).unwrap_or(1).max(1);
    let laid = of.part.laid.as_ref().map_or(1, |laid| laid.pieces);
    Ok(Plate {
        part: of.name.clone(),
        hole: name.to_owned(),
        face: holes[0].0.face,
        thickness: of.part.thickness * f64::from(laid),
        thickness_off: sheet_tolerance(of.part.thickness, &job.joints.tables) * f64::from(laid),
        metal: job.sheets[of.sheet].material.text("metal").map(str::to_owned),
        holes: centres,
        passage,
        as_cut,
        making: first.making,
        cut: [cut(long), cut(as_cut)],
        coating: coating.films.map_or(coating.film, |[_, thick]| thick),
        recess: first.recess,
        meant_for: meant_for(first),
        is_formed: !of.part.bends.is_empty() || holes.iter().any(|(_, hole)| hole.flare.is_some()),
        thread: thread.map(|(_, thread)| thread),
        joints: pieces(job, of) / (times * laid),
        pieces: [pieces(job, of), times * laid],
        about,
        at,
    })
}

/// The bolt that a hole is for, by its row of the table of bolts.
fn meant_for(hole: &Hole) -> Option<String> {
    let row = hole.row.as_ref().filter(|row| row.table() == "bolt")?;
    Some(row.name().to_owned())
}

fn place(at: Point) -> [f64; 2] {
    [at.x, at.y]
}

/// How wide a hole is cut, mm.
fn width(hole: &Hole) -> f64 {
    match hole.size {
        HoleSize::Round { diameter } => diameter,
        HoleSize::Slot { width, .. }
        | HoleSize::ArcSlot { width, .. }
        | HoleSize::TongueSlot { width, .. } => width,
        HoleSize::Hexagon { flats } => flats,
    }
}

fn in_the_end(hole: &Hole) -> f64 {
    hole.diameter().unwrap_or_else(|| width(hole))
}
