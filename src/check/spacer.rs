//! What a joint has between two plates beside a tube, against how far apart these are set.

use crate::diag::Finding;
use crate::diag::Span;
use crate::diag::Weight;

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

/// Findings on the layers beside a tube: the plates are `set` this far apart, with `room` after
/// coating, mm.
pub(super) fn check(
    spacer: &Spacer,
    [set, room]: [f64; 2],
    (code, tube): (&'static str, &str),
    show: impl Fn(f64) -> String,
) -> Option<Finding> {
    let (weight, why) = misfit(spacer, [set, room], &show)?;
    let headline =
        format!("the layers of joint `{}` between the plates beside {tube} {why}", spacer.joint);
    let finding = match weight {
        Weight::Stop => Finding::stop(code, headline),
        Weight::Caution => Finding::caution(code, headline),
    };
    let finding = finding.at(spacer.at, "").note("the bolt gets its length from these layers");
    Some(finding.help(format!("make these layers {} thick in total", show(room))))
}

/// Layers that do not fit between the plates, or leave so much that the bolt would bend these: the
/// severity, and why.
fn misfit(
    spacer: &Spacer,
    [set, room]: [f64; 2],
    show: &impl Fn(f64) -> String,
) -> Option<(Weight, String)> {
    let [least, most] = spacer.thickness;
    if least > set + ROUNDING {
        let why = format!("are {} thick: the plates are set {} apart", show(least), show(set));
        return Some((Weight::Stop, why));
    }
    let why = if most > room + ROUNDING {
        format!("are up to {} thick: the plates, coated, leave {}", show(most), show(room))
    } else if room - least > DRAWN + ROUNDING {
        format!("are {} too thin: the bolt would bend the plates", show(room - least))
    } else {
        return None;
    };
    Some((Weight::Caution, why))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::SourceId;

    /// Plates set 38.72 apart, with films of 0.08 on their faces: 38.56 is left.
    #[test]
    fn layers_fit_bare_and_coated_and_are_not_too_thin() {
        let weight = |thickness: [f64; 2]| {
            let at = Span { source: SourceId::numbered(0), start: 0, end: 0 };
            let spacer = Spacer { joint: "j", thickness, at };
            misfit(&spacer, [38.72, 38.56], &|mm: f64| mm.to_string()).map(|(weight, _)| weight)
        };
        assert_eq!(weight([38.5, 38.5]), None);
        assert_eq!(weight([38.1, 38.5]), None);
        assert_eq!(weight([38.7, 38.7]), Some(Weight::Caution), "not once it is coated");
        assert_eq!(weight([38.5, 38.6]), Some(Weight::Caution), "at the tolerance");
        assert_eq!(weight([30.0, 30.0]), Some(Weight::Caution));
        assert_eq!(weight([39.0, 39.0]), Some(Weight::Stop));
    }
}
