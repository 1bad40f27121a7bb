//! What the checks of narrow metal and narrow openings share.

use crate::check::subject::Subject;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::flat::spot;
use crate::geom::Narrow;
use crate::geom::Outline;
use crate::geom::Within;
use crate::geom::narrow;

/// A shortfall of less than this, mm, is ignored: nobody can measure it. Our choice.
const SEEN: f64 = 0.001;

/// The places on one side of an outline that are narrower than needed. A notch no deeper than the
/// width of the cut is lost in it.
pub(super) fn places(subject: &Subject, of: &Outline, within: Within, needed: f64) -> Vec<Narrow> {
    narrow(of, within, needed - SEEN, subject.process.measure("kerf"))
}

/// Where a place is in the part's file, in words.
pub(super) fn at(subject: &Subject, place: &Narrow) -> String {
    let at = place.at - subject.flat.region.bounds().min.to_vec2();
    format!("{}, {}", subject.show(at.x), subject.show(at.y))
}

/// A finding about a place, which is ringed.
pub(super) fn finding(
    subject: &Subject,
    code: &'static str,
    place: &Narrow,
    headline: String,
) -> Finding {
    let feature = Feature::Spot(spot(place.bounds));
    Finding::stop(code, headline)
        .at(subject.here, "")
        .note("positions are in the part's file, from its lower left corner")
        .about(subject.of_part([feature]))
}
