//! What the checks of flares, beads and inserts share: the flat metal a die needs, the bends that do
//! not know what stands out of a sheet, and what is wrong in words.

use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Span;
use crate::diag::Weight;
use crate::fold;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::edges_distance;
use crate::part::Bend;

/// Flat metal beside a formed feature, thicknesses: common practice, from memory. The die clamps
/// the sheet there.
const FLAT: f64 = 3.0;

/// A bend by more folds its flange over the face, degrees.
const OVER: f64 = 90.0;

/// From some lines to the strip of a bend, mm; the part of its own rounding that is still flat
/// counts as bent.
pub(super) fn to_bend(lines: &[Edge], subject: &Subject, bend: usize) -> f64 {
    edges_distance(subject.flat.bends[bend].sides(), lines)
}

/// How much flat metal a die needs, mm.
pub(super) fn flat(subject: &Subject) -> f64 {
    FLAT * subject.part.thickness
}

/// Flat metal that is missing up to something: what to do but move it is to make it `smaller`.
pub(super) fn flat_metal(subject: &Subject, is: f64, to: &str, smaller: &str) -> Option<Fault> {
    let needed = flat(subject);
    short(is, needed).then(|| {
        let [shown, wanted, more] = [is, needed, needed - is].map(|mm| subject.show(mm));
        let what =
            format!("leaves {shown} of flat metal to {to}, but {wanted} is needed for its die");
        Fault::caution("flat metal", what, format!("move it {more} away, or make it {smaller}"))
    })
}

/// Why a bend and a formed feature of its face cannot be judged together: nothing compares them.
pub(super) fn not_compared(subject: &Subject, face: usize) -> Option<&'static str> {
    let mut bends = subject.part.bends.iter().filter(|bend| bend.from == face || bend.to == face);
    let over = bends.clone().any(|bend| bend.bend.angle().degrees() > OVER + 1e-6);
    if over {
        return Some("a flange is bent over its face by more than 90°");
    }
    bends.next()?;
    if subject.shop.is_some() {
        return Some("the bend sequence assumes that the face is flat");
    }
    // One flange of up to 90° leans over nothing; of several, one may face another.
    (subject.part.bends.len() > 1).then_some("the flanges beside it assume that the face is flat")
}

/// A hem that is folded over some points of a face, or comes nearer to one than `within` mm: it is
/// pressed flat, and with it any feature on either side.
pub(super) fn hemmed(
    subject: &Subject,
    face: usize,
    within: f64,
    points: &[Point],
) -> Option<Fault> {
    let bends = subject.part.bends.iter().enumerate();
    let mut hems = bends.filter(|(_, bend)| bend.bend.form().is_hem());
    let covers = |(i, _): &(usize, &Bend)| {
        let laid = fold::laid(subject.part, subject.folded, *i, face);
        laid.is_some_and(|laid| points.iter().any(|at| laid.over(*at).room() < within))
    };
    let (_, hem) = hems.find(covers)?;
    let what = format!("is in hem `{}`, which is pressed flat", hem.name);
    Some(Fault::stop("hem", what, "move it out from under the return, or make the return shorter"))
}

/// The finding: whether it stops, the text, and the remedy; and its subject in a word or two, which
/// distinguishes the findings of one entry.
pub(super) struct Fault {
    pub(super) weight: Weight,
    pub(super) label: &'static str,
    pub(super) what: String,
    pub(super) help: String,
}

impl Fault {
    /// The finding at the entry of a bead or a hole.
    pub(super) fn finding(
        self,
        subject: &Subject,
        code: &'static str,
        entry: (&str, &[String], Span),
        about: Feature,
    ) -> Finding {
        let (name, depends, span) = entry;
        let headline = format!("{name} {}", self.what);
        subject
            .finding(self.weight, code, headline, depends, span)
            .at(span, self.label)
            .about(subject.of_part([about]))
            .help(self.help)
    }

    /// A caution.
    pub(super) fn caution(label: &'static str, what: String, help: impl Into<String>) -> Self {
        Self { weight: Weight::Caution, label, what, help: help.into() }
    }

    /// A stop.
    pub(super) fn stop(label: &'static str, what: String, help: impl Into<String>) -> Self {
        Self { weight: Weight::Stop, label, what, help: help.into() }
    }
}
