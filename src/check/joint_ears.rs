//! The layers of a joint between two ears that are set apart for them.

use crate::check::clevis_gap::CODE;
use crate::check::spacer;
use crate::check::spacer::Room;
use crate::check::spacer::Sides;
use crate::check::spacer::Spacer;
use crate::diag::About;
use crate::diag::Finding;
use crate::num::on_grid;
use crate::quantity::Units;

/// Two ears of one part in a joint.
pub(crate) struct Ears<'a> {
    /// Their part.
    pub(crate) part: &'a str,
    /// The layers between them.
    pub(crate) layers: Spacer<'a>,
    /// How far apart they are set, bare, mm.
    pub(crate) gap: f64,
    /// Maximum coating thickness on each face, mm.
    pub(crate) film: f64,
    /// How much closer or further apart they may be set, mm.
    pub(crate) off: f64,
    /// How lengths are printed.
    pub(crate) units: Units,
}

/// What is wrong with the layers between two ears.
pub(crate) fn ears(of: &Ears) -> Option<Finding> {
    let show = |mm: f64| of.units.length(on_grid(mm));
    let finding = if of.layers.thickness[1] <= 0.0 {
        let headline = format!(
            "the ears of `{}` are set {} apart, and joint `{}` has nothing between them",
            of.part,
            show(of.gap),
            of.layers.joint
        );
        Finding::caution(CODE, headline)
            .at(of.layers.at, "")
            .note("the bolt would bend the ears, and its length is calculated without the gap")
            .help("add what is between them to `stack`, as `{ spacer = \"…\" }`")
    } else {
        let room = Room { set: of.gap, coated: of.gap - 2.0 * of.film, off: of.off };
        let whose = format!("of `{}`", of.part);
        let finding = spacer::check(
            &of.layers,
            &room,
            (CODE, &Sides { kind: "ears", whose: &whose }),
            of.units,
        )?;
        let [least, most] = of.layers.thickness;
        let apart = most + 2.0 * of.film + of.off;
        let fits = of.gap - 2.0 * of.film - of.off - (most - least) / 2.0;
        let thinner = match fits > 0.0 {
            true => {
                format!(", or make these layers {} thick in total", of.units.length_down(fits))
            }
            false => String::new(),
        };
        finding.help(format!(
            "set the ears {} apart (`gap` of the part){thinner}",
            of.units.length_up(apart)
        ))
    };
    Some(finding.about(About::part(of.part)))
}
