//! Instructions for a bend in a vice, and for one made by hand.

use crate::drawings::printed;
use crate::drawings::strip::words::Say;
use crate::drawings::strip::words::off_the_jaw;
use crate::drawings::strip::wrench;
use crate::num;
use crate::report::MadeRow;
use crate::shop::FoldingKind;
use crate::shop::Grip;
use crate::shop::Tools;
use crate::solve::Setup;

/// If the clamped leg hangs further than this below the tops of the jaws, the instructions say so,
/// mm. Our choice: jaws are about as deep.
const HANGS: f64 = 40.0;

impl Say<'_> {
    /// The setup of the jaws of a vice, and how far the piece hangs between them, if the shop file
    /// does not give the throat.
    pub(super) fn in_vice(&self, throat: Option<f64>) -> String {
        let radius = self.solved.part.bends[self.handling.bend].bend.radius();
        let [bar, radius] = [2.0 * radius, radius].map(|mm| self.mm(mm));
        let jaws = format!(
            "; lay a bar of Ø{bar} on the front jaw, pack the rear jaw up {radius} to the centre of the \
             bar"
        );
        match self.handling.hangs.filter(|hangs| throat.is_none() && *hangs > HANGS) {
            Some(hangs) => {
                format!("{jaws}; *{}* hangs below the tops of the jaws", self.mm(hangs))
            }
            None => jaws,
        }
    }

    /// How a person bends it: over what, and how hard.
    pub(super) fn by_hand(&self, grip: Grip, made: &MadeRow) -> String {
        let radius = self.solved.part.bends[self.handling.bend].bend.radius();
        let [bar, radius] = [2.0 * radius, radius].map(|mm| self.mm(mm));
        let moves = self.face(self.handling.moves);
        let over = match grip {
            Grip::Vice => String::new(),
            Grip::Wrench => format!(", its jaws round a bar of Ø{bar} at the bend"),
            Grip::HammerForm => {
                format!("; hammer {moves} over the edge of the block inside the bend, R{radius}")
            }
        };
        let pull = made.pull_n.zip(made.lever_mm).map(|(pull, lever)| {
            let what = match grip {
                Grip::Wrench => "it up".to_owned(),
                _ => format!("{moves} over with a bar or a tube"),
            };
            let (lever, pull) = (self.mm(lever), self.job.units.pull(pull));
            format!("; pull {what} at *{lever}* from the bend, with about {pull}")
        });
        over + &pull.unwrap_or_default()
    }

    /// How far from the bend a vice must be for a wrench, and what is not judged.
    pub(super) fn beside_vice(&self, setup: &Setup, made: &MadeRow) -> String {
        let bend = &self.solved.part.bends[self.handling.bend].bend;
        let covered = wrench::covered(setup, bend.radius()) + bend.allowance() / 2.0;
        let grips = self.face(self.handling.moves);
        let nearest = made.nearest.as_ref().map_or_else(String::new, |nearest| {
            let part = printed::in_quotes(&nearest.part.replace("face ", ""));
            let mm = self.mm(made.clearance_mm);
            format!("; only {part} to {} of the wrench: *{mm}*", nearest.tool)
        });
        format!(
            "The wrench comes over {grips} to *{}* from the bend line: clamp beyond that. *{} not \
             judged*{nearest}",
            self.mm(covered),
            num::capital(&made.not_judged.join(" and ")),
        )
    }

    /// What of a folding tool is set to the line.
    pub(super) fn front(&self) -> &'static str {
        let brake = self.setup.map(|setup| &setup.shop.brakes[setup.step.setup.brake]);
        match brake.map(|brake| &brake.tools) {
            Some(Tools::Folding(folding)) => match folding.kind {
                FoldingKind::Hand(Grip::Wrench) => "front of the jaws",
                FoldingKind::Hand(Grip::HammerForm) => "edge of the blocks",
                _ => "nose",
            },
            _ => "nose",
        }
    }

    /// The position of the line in a vice, and the height of the edge above the bar.
    pub(super) fn above_jaw(&self) -> String {
        let jaw = off_the_jaw(self.handling);
        let off = self.mm(jaw.abs());
        let line = match jaw {
            0.0 => "Bend line level with the top of the bar".to_owned(),
            jaw if jaw > 0.0 => format!("Bend line *{off}* below the top of the bar"),
            _ => format!("Bend line *{off}* above the top of the bar"),
        };
        match self.handling.gauge {
            Some(gauge) if !gauge.held => {
                let above = self.mm(gauge.distance - jaw);
                // Where the line is level with the bar, that is where to measure from.
                let bar = if jaw == 0.0 { "it" } else { "the bar" };
                format!("{line}, {} *{above}* above {bar}", self.from(&gauge))
            }
            Some(gauge) => {
                let (distance, from) = (self.mm(gauge.distance), self.from(&gauge));
                let covered = if gauge.hidden { ", before clamping" } else { "" };
                format!("{line}; the line is *{distance}* from {from}{covered}")
            }
            None => format!("{line}; no free edge runs parallel to the line"),
        }
    }
}
