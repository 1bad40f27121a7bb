//! What a joint has between two plates beside a tube, or between two ears, against how far apart
//! these are set.

use crate::diag::Finding;
use crate::diag::Span;
use crate::diag::Weight;
use crate::num::on_grid;
use crate::quantity::Units;

/// A bolt draws plates together by this without bending them, mm. Our choice.
const DRAWN: f64 = 0.5;

/// Less than this, mm, is rounding.
const ROUNDING: f64 = 1e-6;

/// The layers between two plates of one part, in a joint.
pub(crate) struct Spacer<'a> {
    /// Name of the joint.
    pub(crate) joint: &'a str,
    /// Their thickness at its smallest and at its largest, mm.
    pub(crate) thickness: [f64; 2],
    /// Where the joint is named.
    pub(crate) at: Span,
}

/// Between the plates, mm.
pub(super) struct Room {
    /// How far apart they are set, bare.
    pub(super) set: f64,
    /// What is left once they are coated.
    pub(super) coated: f64,
    /// How much closer or further apart they may be set.
    pub(super) off: f64,
}

/// What the layers are between, in words.
pub(super) struct Sides<'a> {
    /// `plates` or `ears`.
    pub(super) kind: &'static str,
    /// `beside the end of tube `leg``.
    pub(super) whose: &'a str,
}

/// Findings, under a code, on the layers between two plates.
pub(super) fn check(
    spacer: &Spacer,
    room: &Room,
    (code, sides): (&'static str, &Sides),
    units: Units,
) -> Option<Finding> {
    let show = |mm: f64| units.length(on_grid(mm));
    let (weight, why) = misfit(spacer, room, (sides.kind, &show))?;
    let Sides { kind, whose } = sides;
    let headline =
        format!("the layers of joint `{}` between the {kind} {whose} {why}", spacer.joint);
    let finding = match weight {
        Weight::Stop => Finding::stop(code, headline),
        Weight::Caution => Finding::caution(code, headline),
    };
    let finding = finding.at(spacer.at, "").note("the bolt gets its length from these layers");
    let fits = room.coated - room.off - half_spread(spacer);
    Some(finding.help(format!("make these layers {} thick in total", units.length_down(fits))))
}

/// By how much the layers may be thicker or thinner than drawn, mm.
fn half_spread(spacer: &Spacer) -> f64 {
    (spacer.thickness[1] - spacer.thickness[0]) / 2.0
}

/// Layers that do not fit between the plates, or leave so much that the bolt would bend these: the
/// severity, and why.
fn misfit(
    spacer: &Spacer,
    room: &Room,
    (kind, show): (&str, &impl Fn(f64) -> String),
) -> Option<(Weight, String)> {
    let [least, most] = spacer.thickness;
    if least > room.set + ROUNDING {
        let set = show(room.set);
        return Some((
            Weight::Stop,
            format!("are {} thick: the {kind} are set {set} apart", show(least)),
        ));
    }
    let narrow = room.coated - room.off;
    let play = room.coated + room.off - least;
    // No layers fit closer than all tolerances together.
    let allowed = DRAWN.max(2.0 * (room.off + half_spread(spacer)));
    let why = if most > narrow + ROUNDING {
        format!(
            "are up to {} thick: the {kind}, coated, leave {}, {} where they are set {} too close",
            show(most),
            show(room.coated),
            show(narrow),
            show(room.off)
        )
    } else if play > allowed + ROUNDING {
        format!(
            "are up to {} too thin, where the {kind} are set {} too far apart: the bolt would bend the \
             {kind}",
            show(play),
            show(room.off)
        )
    } else {
        return None;
    };
    Some((Weight::Caution, why))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::SourceId;

    /// Plates set 39.22 apart and 0.2 off, with films of 0.08 on their faces: 39.06 is left, 38.86 to
    /// 39.26. A spacer of 38.8 leaves 0.46 at the most, one of 38.7 leaves 0.56.
    #[test]
    fn layers_fit_bare_and_coated_and_are_not_too_thin() {
        let weight = |thickness: [f64; 2]| {
            let at = Span { source: SourceId::numbered(0), start: 0, end: 0 };
            let spacer = Spacer { joint: "j", thickness, at };
            let room = Room { set: 39.22, coated: 39.06, off: 0.2 };
            misfit(&spacer, &room, ("plates", &|mm: f64| mm.to_string())).map(|(weight, _)| weight)
        };
        assert_eq!(weight([38.8, 38.8]), None);
        assert_eq!(weight([38.86, 38.86]), None);
        assert_eq!(weight([38.7, 38.7]), Some(Weight::Caution), "too thin");
        assert_eq!(weight([39.0, 39.0]), Some(Weight::Caution), "where the plates are set close");
        assert_eq!(weight([38.8, 38.9]), Some(Weight::Caution), "at its tolerance");
        // 0.2 more or less, as thick as is advised: 39.06 less 0.2 and 0.2.
        assert_eq!(weight([38.46, 38.86]), None);
        assert_eq!(weight([30.0, 30.0]), Some(Weight::Caution));
        assert_eq!(weight([39.3, 39.3]), Some(Weight::Stop));
    }
}
