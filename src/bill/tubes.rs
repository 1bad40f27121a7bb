//! The tubes to cut: those of the links, and those with coped ends.

use crate::cope;
use crate::cope::Cope;
use crate::job::CopedTube;
use crate::job::ENDS;
use crate::job::Job;
use crate::link::Link;
use crate::num;
use crate::quantity::Units;
use crate::solve::Slot;
use crate::solve::Solved;
use crate::solve::slots;
use crate::table::Row;

/// A length of tube to be cut.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Tube {
    /// Its name.
    pub(crate) name: String,
    /// Its section, as a person would order it: `38 mm × 2.6 mm, S235`.
    pub(crate) section: String,
    /// Its outside and its wall, mm.
    pub(crate) size: [f64; 2],
    /// Pieces.
    pub(crate) quantity: u32,
    /// Cut length, mm, including what coping removes later.
    pub(crate) length: f64,
    /// The work on its ends.
    pub(crate) ends: String,
}

/// A section of tube as a person orders it: `48.3 mm × 2.6 mm, S235`.
pub(crate) fn section(job: &Job, outside: f64, wall: f64, material: Option<&Row>) -> String {
    let size = match job.units {
        Units::Millimetre => format!("{} × {}", job.units.length(outside), job.units.length(wall)),
        Units::Inch => format!("{} × {}", job.units.cut_to(outside), job.units.cut_to(wall)),
    };
    material.map_or_else(|| size.clone(), |row| format!("{size}, {}", row.name()))
}

/// The tubes of the links, cut square.
pub(crate) fn link_tubes(job: &Job) -> Vec<Tube> {
    let tube = |link: &Link| {
        let [outside, wall] = ["outside", "wall"].map(|field| link.tube.measure(field));
        let section = section(job, outside, wall, link.material.as_deref());
        let ends =
            link.ends.each_ref().map(|end| format!("{} {}-hand", end.bung.name(), end.hand.word()));
        Tube {
            name: link.name.clone(),
            section,
            size: [outside, wall],
            quantity: link.quantity,
            length: link.setting().cut,
            ends: format!("square, bungs {}", ends.join(" and ")),
        }
    };
    job.links.iter().filter(|link| link.quantity > 0).map(tube).collect()
}

/// The work on the ends of a tube, in words.
pub(crate) fn ends(job: &Job, tube: &CopedTube, (saws, slots): (&[f64], &[Slot])) -> String {
    let show = |mm: f64| job.units.cut_to(mm);
    let end = |(name, cope): (&&str, &Cope)| {
        let saw = match cope::saw(cope, saws.iter().copied()) {
            Some(saw) if saw.gap < 0.05 => format!("{} hole saw", job.units.size(saw.diameter)),
            Some(saw) => {
                format!("{} hole saw, {} gap", job.units.size(saw.diameter), show(saw.gap))
            }
            None => "no matching hole saw".to_owned(),
        };
        let (angle, node) = (num::text(cope.angle().degrees(), 1), show(cope.long()));
        let offset = offset(job, cope);
        format!("{name}: {saw} at {angle}°{offset}, axis {node} beyond the long point")
    };
    let coped = ENDS.iter().zip(&tube.ends).filter_map(|(n, c)| Some(end((n, c.as_ref()?))));
    let coped = coped.chain(twist(tube));
    let capped = job.tube_ends.all.iter().filter(|end| end.tube == tube.name);
    let capped = capped.filter_map(|end| Some(format!("{}: {}", ENDS[end.end], end.capped()?)));
    let stubs = job.tube_ends.all.iter().filter(|end| end.tube == tube.name);
    let stubs = stubs.filter_map(|end| Some((ENDS[end.end], end.inside.as_ref()?)));
    let stubs = stubs.filter(|(_, inside)| inside.stub.is_some()).map(|(end, inside)| {
        let deep = inside.depth().map_or_else(String::new, |mm| format!(", {} deep", show(mm)));
        format!("{end}: {}{deep}", inside.words)
    });
    let slots = slots.iter().filter(|slot| slot.tube == tube.name).map(|slot| {
        let [from, to] = slot.along.map(|mm| job.units.taped(mm));
        format!("slot {} for {}, {from} to {to} from the start", slot.way(), slot.part)
    });
    let ends: Vec<String> = coped.chain(capped).chain(stubs).chain(slots).collect();
    if ends.is_empty() { "square".into() } else { ends.join("; ") }
}

/// The offset of an end with its direction, behind its angle; nothing where the axes meet.
pub(super) fn offset(job: &Job, cope: &Cope) -> String {
    let offset = job.units.cut_to(cope.offset().abs());
    if offset == job.units.cut_to(0.0) {
        return String::new();
    }
    let side = if cope.offset() > 0.0 { "right" } else { "left" };
    format!(", offset {offset} to the {side} of the main (main below, heel towards you)")
}

/// From heel to heel of a tube that is coped at both ends.
pub(super) fn twist(tube: &CopedTube) -> Option<String> {
    tube.ends.iter().all(Option::is_some).then(|| {
        let around = tube.twist.degrees().rem_euclid(360.0);
        let (angle, way) = if around > 180.0 { (360.0 - around, "anti") } else { (around, "") };
        match num::text(angle, 1).as_str() {
            "0" => "twist 0°: both heels in line".to_owned(),
            angle => {
                format!("twist {angle}°, heel to heel, {way}clockwise seen from the start")
            }
        }
    })
}

/// All tubes to cut: those of links, and those of the job itself.
pub(crate) fn tubes(job: &Job, solved: &[Solved]) -> Vec<Tube> {
    link_tubes(job).into_iter().chain(coped_tubes(job, solved)).collect()
}

/// The tubes as rows of the list of tubes.
fn coped_tubes(job: &Job, solved: &[Solved]) -> Vec<Tube> {
    let slots = slots(job, solved);
    let one = |tube: &CopedTube| Tube {
        name: tube.name.clone(),
        section: section(job, tube.outside, tube.wall, tube.material.as_deref()),
        size: [tube.outside, tube.wall],
        quantity: tube.quantity,
        length: tube.cut_length(),
        ends: ends(job, tube, (&job.hole_saws, &slots)),
    };
    job.made_tubes().map(one).collect()
}
