//! Bodies of the machine that come too near each other.
//!
//! # Looks for
//! Two parts, links, tubes, panels or obstacles placed in the machine of a job that touch or
//! collide: a stop. Two that are nearer than they must be: a caution. A panel needs 13 mm (1/2 in)
//! round it, anything that moves 3 mm, and every body the `clearance` it is given. A link is
//! checked over its whole adjustment, its `travel` and its `swing`. Of two that are joined by
//! `touches`: parts that overlap by more than 1 mm, and a part that penetrates a tube, a box or a
//! panel by more than 1 mm: stops, unless the part passes `through` it in a slot; a slot that cuts
//! its tube in two: a stop; two that are more than 1 mm apart, and a part that is to pass `through`
//! a tube and does not reach its wall, is inside its bore, does not come out on the other side or
//! is past its end: cautions. At a part that holds a link: a pin off the eye by more than the
//! play plus 1 mm: a caution; plus 5 mm: a stop; a jam nut, bung, shank or tube of the link that touches the part: a stop; whether the link
//! points at the part as it should is in `link-travel`. A panel whose corners are more than 1 mm
//! off one plane: a caution; between four corners it counts as everything they enclose.
//!
//! # Why it matters
//! What is clear on the stand may rub or strike when the machine moves, when a link is set longer,
//! or when heat and loads shift a panel.
//!
//! # Example
//! A drag link passes a fender at 9 mm with its rod end screwed out.
//!
//! # Remedy
//! Move a point, route the link differently, or make the part smaller. Where two bodies are welded
//! or bolted together, name one in the `touches` of the other.
//!
//! # Source
//! The 1 mm is the same as for parts of one joint, and 5 mm the same as for holes placed at points:
//! our choice. A part that holds a link is judged at the nearer pin, unless its ends differ. A part
//! passes right through a tube where it crosses the wall, at half its thickness, in two places. 13
//! mm to a panel: common practice. 3 mm to what moves, and 50 mm beyond which nothing is listed:
//! our choice. Distances are never overstated: arcs count as chords outside the metal, within 0.02
//! mm, and a search that ends early gives only what is proven. A link has round ends, and a ball of
//! the size of its rod end's head at each pin, whichever way the head lies. Tubes are solid: what
//! runs inside one touches it. Bolt heads, nuts and welds are not modelled, nor is play, deflection
//! or anything the job does not name: this does not prove that a machine is clear.

use crate::diag::About;
use crate::diag::Finding;
use crate::diag::Span;
use crate::geom::Space;
use crate::num::on_grid;
use crate::quantity::Units;

pub(super) const CODE: &str = "machine-clearance";

/// The clearance between two bodies.
pub struct Between<'a> {
    /// Both in words.
    pub words: [&'a str; 2],
    /// The subjects of a finding, where there is a kind for them.
    pub about: [Option<About>; 2],
    /// Where they are named.
    pub here: [Span; 2],
    /// mm; 0 where they touch or collide.
    pub distance: f64,
    /// The required clearance, mm.
    pub needed: f64,
    /// Whether one of them asks for it by its own `clearance`; else it is the usual one.
    pub is_asked: bool,
    /// The nearest places.
    pub at: [Space; 2],
    /// Whether they touch or collide.
    pub is_contact: bool,
    /// How lengths are printed.
    pub units: Units,
}

/// The finding on two bodies that touch, or are nearer than permitted.
pub fn too_near(of: &Between) -> Finding {
    let show = |mm: f64| of.units.length(mm);
    let [one, other] = of.words;
    let place = of.at[0].map(show).join(", ");
    let finding = match of.is_contact {
        true => Finding::stop(CODE, format!("{one} and {other} touch or collide"))
            .note(format!("at {place}"))
            .help("move one of them; if they are joined, name one in the `touches` of the other"),
        false => {
            let (is, needed) = (show(of.units.clearance(of.distance)), show(of.needed));
            let headline = format!("{one} comes within {is} of {other}: {needed} is needed");
            Finding::caution(CODE, headline)
                .note(format!("at {place}"))
                .note("play, deflection, bolt heads and welds are not counted")
                .help(match of.is_asked {
                    true => "move one of them, or lower the `clearance` that asks for this",
                    false => "move one of them",
                })
        }
    };
    let finding = finding.at(of.here[0], "");
    let finding = if of.here[0] == of.here[1] { finding } else { finding.at(of.here[1], "") };
    of.about.iter().flatten().fold(finding, |finding, about| finding.about(about.clone()))
}

/// The finding on a part that reaches into a tube that it is joined to; both in words, with where they are
/// named and what a finding of them is about.
pub(crate) fn reaches_into(both: [(String, (Span, Option<About>)); 2]) -> Finding {
    let [one, other] = both.each_ref().map(|(words, _)| words);
    let headline = format!("{one} penetrates {other} by more than 1 mm");
    let finding = Finding::stop(CODE, headline)
        .note("they are joined by `touches`, so that the distance between them is not judged");
    let finding = both.into_iter().fold(finding, |finding, (_, (here, about))| {
        let finding = finding.at(here, "");
        about.into_iter().fold(finding, Finding::about)
    });
    finding.help(
        "correct the points or shorten the part; if it passes through a slot, name the tube in `through` of \
         the part",
    )
}

/// Why a part that is to pass through a tube in a slot does not, or not as it should.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum NotThrough {
    /// It does not reach the tube.
    Outside,
    /// It is in the bore.
    Inside,
    /// It goes in and does not come out.
    OneWall,
    /// It is past the start of the tube.
    PastStart,
    /// It is past the end of the tube.
    PastEnd,
    /// It takes the whole circumference.
    Severed,
    /// The tube is bent: its slot is not looked at.
    Bent,
}

/// The finding on a part that does not pass through a tube as it should; `at` is where the tube is named, and the
/// place of the part.
pub(crate) fn is_not_through([part, tube]: [&str; 2], why: NotThrough, at: [Span; 2]) -> Finding {
    let reach = "correct the points, or make the part longer";
    let (headline, help) = match why {
        NotThrough::Outside => (
            format!("part `{part}` is to pass through `{tube}`, but does not reach its wall"),
            format!("correct the points, or write `touches = [\"{tube}\"]`: no slot is cut then"),
        ),
        NotThrough::Inside => (
            format!(
                "part `{part}` is to pass through `{tube}`, but is inside its bore: no slot is cut"
            ),
            reach.to_owned(),
        ),
        NotThrough::OneWall => (
            format!("part `{part}` goes into `{tube}` and does not come out on the other side"),
            format!("{reach}; the lists have a slot in one wall only"),
        ),
        NotThrough::PastStart | NotThrough::PastEnd => {
            let end = if why == NotThrough::PastStart { "start" } else { "end" };
            (
                format!("part `{part}` is past the {end} of `{tube}`: its slot is open there"),
                "move the part along the tube, or check that the slot is to be open".to_owned(),
            )
        }
        NotThrough::Severed => (
            format!("the slot for part `{part}` would cut `{tube}` in two"),
            "correct the points, make the part narrower, or write two tubes".to_owned(),
        ),
        NotThrough::Bent => (
            format!(
                "not judged: whether part `{part}` passes right through `{tube}`, which is bent"
            ),
            "check it on the tube, and mark the slot from the part".to_owned(),
        ),
    };
    let finding = match why {
        NotThrough::Severed => Finding::stop(CODE, headline),
        _ => Finding::caution(CODE, headline),
    };
    let finding = finding.about(About::part(part)).at(at[0], "");
    let finding = if at[0] == at[1] { finding } else { finding.at(at[1], "") };
    finding.help(help)
}

/// The finding on a body that is to touch another and does not, both in words; their distance is mm, and
/// `at` is where it is said that they touch.
pub(crate) fn does_not_touch(
    [one, other]: [&str; 2],
    distance: f64,
    at: Span,
    units: Units,
) -> Finding {
    let apart = units.length(units.clearance(distance));
    let headline = format!("{one} does not touch {other}: they are {apart} apart");
    Finding::caution(CODE, headline)
        .note("the distance between bodies joined by `touches` is not judged otherwise")
        .at(at, "")
        .help("correct the points of one of them, or remove it from `touches`")
}

/// The finding on two parts that touch and overlap by so much, mm.
pub(crate) fn overlap_where_joined(
    [one, other]: [&str; 2],
    by: f64,
    at: Span,
    units: Units,
) -> Finding {
    let headline = format!(
        "`{one}` and `{other}` overlap by {} where they are placed",
        units.length(on_grid(by))
    );
    let finding = Finding::stop(CODE, headline).about(About::part(one)).about(About::part(other));
    finding
        .note("they are joined by `touches`: they may touch, not overlap")
        .at(at, "")
        .help("correct the points of one of them, or cut a slot where one passes through the other")
}

/// The finding on a panel, in words, one of whose corners is so far off the plane of others, mm.
pub(crate) fn not_in_plane(panel: &str, off: f64, at: Span, units: Units) -> Finding {
    let off = units.cut_to(off);
    let headline = format!("the corners of {panel} are not in one plane: one is {off} off");
    Finding::caution(CODE, headline)
        .note("clearances are to everything between its corners, whichever way it is warped")
        .at(at, "")
        .help("measure its corners again, or split it into panels that are flat")
}
