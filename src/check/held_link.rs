//! Findings on a part at the pin of a link, where both have a place in the machine.

use crate::check::machine_clearance::CODE;
use crate::diag::About;
use crate::diag::Finding;
use crate::diag::Span;
use crate::fit::Touched;
use crate::geom::Space;
use crate::num;
use crate::num::Angle;
use crate::quantity::Units;

/// The code of what a link cannot reach.
const TRAVEL: &str = "link-travel";

/// A part at the pin of a link, and what is wrong with the two.
pub(crate) struct HeldLink<'a> {
    /// The part.
    pub(crate) part: &'a str,
    /// The link.
    pub(crate) link: &'a str,
    /// Where the part and the link are named.
    pub(crate) here: [Span; 2],
    /// What is wrong.
    pub(crate) fault: Fault,
    /// How lengths are printed.
    pub(crate) units: Units,
}

/// What is wrong with a part at the pin of a link.
pub(crate) enum Fault {
    /// The part has no clevis.
    NoClevis,
    /// The angle is not known by which its rod end tilts.
    NoSwing,
    /// Its eye is so far from where the pin needs it, mm.
    OffPin {
        /// mm.
        by: f64,
        /// What play and measuring account for, mm.
        allowed: f64,
        /// Whether that is more than measuring explains.
        is_far: bool,
        /// How many links the job makes and how many have a place, where some have none.
        unplaced: Option<[u32; 2]>,
    },
    /// The link leans out of the plane of the ears.
    Leans {
        /// By how much.
        by: Angle,
        /// How far the rod end tilts between the ears.
        allowed: Angle,
    },
    /// The link is turned about its pin.
    Turns {
        /// From where the rod end points.
        by: Angle,
        /// As far as it can.
        allowed: Angle,
        /// What it then touches.
        on: Touched,
        /// Whether that is there for certain: an ear, or what the foot stands on.
        is_there: bool,
    },
    /// Shank, nut, bung or tube meet the part.
    Strikes {
        /// Where, mm.
        at: Space,
    },
}

impl HeldLink<'_> {
    /// The finding.
    pub(crate) fn finding(&self) -> Finding {
        let finding = match &self.fault {
            Fault::NoClevis | Fault::NoSwing => self.not_judged(),
            Fault::OffPin { by, allowed, is_far, unplaced } => {
                self.off_pin([*by, *allowed], *is_far, *unplaced)
            }
            Fault::Leans { by, allowed } => self.leans(*by, *allowed),
            Fault::Turns { by, allowed, on, is_there } => {
                self.turns([*by, *allowed], *on, *is_there)
            }
            Fault::Strikes { at } => self.strikes(*at),
        };
        let finding = finding.about(About::part(self.part)).about(About::Link(self.link.into()));
        finding.at(self.here[0], "").at(self.here[1], "the link")
    }

    fn not_judged(&self) -> Finding {
        let (part, link) = (self.part, self.link);
        let (why, help) = match self.fault {
            Fault::NoSwing => (
                "the table does not say how far its rod end tilts",
                "add `swing` to the row of the rod end in `tables/rod-end.csv`",
            ),
            _ => (
                "its recipe has no clevis",
                "add `[clevis]` to the recipe, or check pin and direction on the machine",
            ),
        };
        let headline = format!("not judged: how link `{link}` points at part `{part}`: {why}");
        Finding::caution(CODE, headline).help(help)
    }

    fn off_pin(&self, [by, allowed]: [f64; 2], far: bool, unplaced: Option<[u32; 2]>) -> Finding {
        let (part, link) = (self.part, self.link);
        let [by, allowed] = [by, allowed].map(|mm| self.units.length(num::on_grid(mm)));
        if let Some([made, placed]) = unplaced.filter(|_| far) {
            let headline = format!(
                "not judged: whether part `{part}` fits its link: it is {by} from the pin of `{link}`, \
                 of which the job makes {made} and places {placed}"
            );
            return Finding::caution(CODE, headline)
                .help("write each link that has a place of its own as a `[[link]]` of its own");
        }
        let headline = format!(
            "the eye of part `{part}` is {by} off the pin of link `{link}`; at most {allowed} is allowed"
        );
        let finding = match far {
            true => Finding::stop(CODE, headline),
            false => Finding::caution(CODE, headline),
        };
        finding
            .note("the pin is at the centre of the ball, halfway between the ears")
            .note("allowed: the play of pin and ball, plus 1 mm of measuring error")
            .help("correct `on` of the part, or the points of the link")
    }

    fn leans(&self, by: Angle, allowed: Angle) -> Finding {
        let headline = format!(
            "link `{}` is {}° out of the plane of the ears of `{}`, but its rod end swings only {}°",
            self.link,
            num::text(by.degrees(), 1),
            self.part,
            down(allowed)
        );
        Finding::stop(TRAVEL, headline).help(
            "rotate the ears so that the link lies in their plane, or use spacers or a rod end with more swing",
        )
    }

    fn turns(&self, [by, allowed]: [Angle; 2], on: Touched, is_there: bool) -> Finding {
        let headline = format!(
            "link `{}` is at {}° about the pin of `{}`, but already touches the {on} at {}°",
            self.link,
            num::text(by.degrees(), 1),
            self.part,
            down(allowed)
        );
        let finding = match is_there {
            true => Finding::stop(TRAVEL, headline),
            false => Finding::caution(TRAVEL, headline).note(
                "the surface below the ears is assumed to extend beyond their foot on every side",
            ),
        };
        finding.note("from where the rod end points as the part is drawn").help(
            "rotate the part towards the link, or make its `reach` longer; where nothing is below the ears \
             there, check it on the machine",
        )
    }

    fn strikes(&self, at: Space) -> Finding {
        let place = at.map(|mm| self.units.length(mm)).join(", ");
        let headline =
            format!("link `{}` touches part `{}` behind its rod end", self.link, self.part);
        Finding::stop(CODE, headline)
            .note(format!("at {place}; shank, jam nut, bung and tube over the whole adjustment"))
            .help("rotate the part towards the link, or make its `reach` longer")
    }
}

/// An angle that is a limit, in degrees, never more than it is.
fn down(angle: Angle) -> String {
    num::text((angle.degrees() * 10.0).floor() / 10.0, 1)
}
