//! A rivet nut, press nut or weld nut that does not fit its sheet or its place.
//!
//! # Looks for
//! A sheet thinner or thicker than the insert takes, two heads on one side that overlap, and a hole
//! that a hem covers (stop). Too little distance from its centre to the edge or to the start of a
//! bevel, and a head that reaches over the edge, another hole, a bevel or the inside of a bend, or
//! that lies under a leg bent past 90° (caution).
//!
//! # Why it matters
//! A rivet nut in a sheet outside its grip spins or does not close. A press nut needs metal to flow
//! round it, and bulges an edge that is too near. A head beside a bend does not lie flat.
//!
//! # Example
//! An M6 rivet nut grips 0.5 to 3 mm: in 4 mm plate use a weld nut, or tap the plate.
//!
//! # Remedy
//! Use another insert or sheet, or move the hole.
//!
//! # Source
//! Table `insert`: weld nuts of DIN 929, press nuts from one manufacturer's list, rivet nuts from
//! memory: use your supplier's figures.

use crate::check::formed::Fault;
use crate::check::laid_over;
use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::flat::FlatHole;
use crate::geom::outline_distance;
use crate::part::Bevel;
use crate::part::Hole;
use crate::part::Insert;

const CODE: &str = "insert";

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (flat, hole) in subject.holes() {
        let Some(insert) = &hole.insert else { continue };
        let radius = flat.outline.bounds().width() / 2.0;
        let from_edge = outline_distance(&flat.outline, subject.flat.region.outer()) + radius;
        let faults = [
            thickness(subject, insert),
            edge(subject, insert, from_edge),
            bevelled(subject, flat, insert),
            nearest(subject, (flat, hole), insert),
            covered(subject, flat, hole, insert),
            heads(subject, flat, insert),
        ];
        let name = format!("hole `{}`:", hole.name);
        findings.extend(faults.into_iter().flatten().map(|fault| {
            let entry = (&*name, &*hole.depends, hole.span);
            fault.finding(subject, CODE, entry, Feature::Hole(flat.id))
        }));
    }
    findings
}

fn thickness(subject: &Subject, insert: &Insert) -> Option<Fault> {
    let (t, name) = (subject.part.thickness, insert.one());
    let min = insert.row.measure("min_thickness");
    let max = insert.row.quantity("max_thickness").map(|max| max.value);
    let show = |mm: f64| subject.show(mm);
    let what = if short(t, min) {
        format!("{name} needs sheet of {} or more, not {}", show(min), show(t))
    } else if let Some(max) = max.filter(|max| short(*max, t)) {
        format!("{name} is for sheet up to {}, not {}", show(max), show(t))
    } else {
        return None;
    };
    Some(Fault::stop("thickness", what, "use another insert or sheet"))
}

fn edge(subject: &Subject, insert: &Insert, from_edge: f64) -> Option<Fault> {
    let min = insert.row.measure("min_edge");
    short(from_edge, min).then(|| {
        let (is, needed) = (subject.show(from_edge), subject.show(min));
        let name = insert.one();
        let what = format!("the centre of {name} is {is} from the edge, but {needed} is needed");
        Fault::caution("edge", what, format!("move it {} inwards", subject.show(min - from_edge)))
    })
}

/// A hole that a bend covers.
fn covered(subject: &Subject, flat: &FlatHole, hole: &Hole, insert: &Insert) -> Option<Fault> {
    let (_, weight, words) = laid_over::covering(subject, (flat.id, hole))?;
    let what = format!("{words} covers it: no {} can go in", insert.thread_first());
    Some(Fault { weight, label: "covered", what, help: laid_over::HELP.to_owned() })
}

/// What its head reaches over or under: another opening, or the inside of a bend.
fn nearest(subject: &Subject, (flat, hole): (&FlatHole, &Hole), insert: &Insert) -> Option<Fault> {
    let (head, centre) = (insert.row.measure("head") / 2.0, flat.outline.bounds().centre());
    let own = Feature::Hole(flat.id);
    let radius = flat.outline.bounds().width() / 2.0;
    let openings = subject.openings().into_iter().filter(|other| other.feature != own);
    let openings = openings.map(|other| {
        let room = outline_distance(&flat.outline, other.outline) + radius - other.growth();
        (room, format!("over {}", other.words))
    });
    let bends = subject.to_bends(flat.id.face, centre);
    let bends = bends.map(|(i, from)| {
        (from, format!("over where bend `{}` begins", subject.part.bends[i].name))
    });
    let laid = laid_over::beside(subject, (flat.id, hole)).into_iter();
    let laid = laid.map(|(room, _, words)| (room, format!("under {words}")));
    let (room, words) = openings.chain(bends).chain(laid).min_by(|a, b| a.0.total_cmp(&b.0))?;
    short(room, head).then(|| {
        let name = insert.one();
        let (size, is) = (subject.show(2.0 * head), subject.show(room));
        let what = format!("the head of {name}, Ø{size}, reaches {words}, {is} away");
        Fault::caution("beside it", what, format!("move it {} away", subject.show(head - room)))
    })
}

/// A bevel that begins nearer than the metal it needs, or under its head.
fn bevelled(subject: &Subject, flat: &FlatHole, insert: &Insert) -> Option<Fault> {
    let (centre, face) = (flat.outline.bounds().centre(), flat.id.face);
    let place = &subject.flat.places[face];
    let from = |bevel: &Bevel| {
        let edges = bevel.stretches.iter().map(|edge| edge.moved(place));
        let apart = edges.map(|edge| (edge.nearest(centre) - centre).hypot());
        apart.fold(f64::INFINITY, f64::min) - bevel.width()
    };
    let bevels = subject.part.faces[face].bevels.iter().map(|bevel| (from(bevel), bevel));
    let (is, bevel) = bevels.min_by(|a, b| a.0.total_cmp(&b.0))?;
    let needed = insert.row.measure("min_edge").max(insert.row.measure("head") / 2.0);
    short(is, needed).then(|| {
        let (name, edge) = (insert.one(), &bevel.edge);
        let [from, min, more] = [is.max(0.0), needed, needed - is].map(|mm| subject.show(mm));
        let what = format!(
            "the centre of {name} is {from} from the bevel of edge `{edge}`, but {min} is needed"
        );
        Fault::caution("bevel", what, format!("move it {more} inwards, or leave a larger land"))
    })
}

/// The head of another insert on the same side that its own overlaps.
fn heads(subject: &Subject, flat: &FlatHole, insert: &Insert) -> Option<Fault> {
    let centre = flat.outline.bounds().centre();
    // Of two, the second is reported.
    let before = subject.holes().take_while(|(other, _)| other.id != flat.id);
    let others = before.filter_map(|(other, hole)| {
        let beside = hole.insert.as_ref().filter(|beside| beside.side == insert.side)?;
        let apart = (other.outline.bounds().centre() - centre).hypot();
        let needed = (beside.row.measure("head") + insert.row.measure("head")) / 2.0;
        Some((apart - needed, apart, needed, &hole.name))
    });
    let (room, apart, needed, other) = others.min_by(|a, b| a.0.total_cmp(&b.0))?;
    short(room, 0.0).then(|| {
        let [apart, min, more] = [apart, needed, -room].map(|mm| subject.show(mm));
        let what = format!(
            "its head overlaps that of hole `{other}`: they are {apart} apart, but {min} is needed"
        );
        Fault::stop("head", what, format!("move them {more} further apart"))
    })
}
