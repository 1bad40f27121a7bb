//! A trial of one setup for a bend: the limits of its tool, its requirements on the sheet, and the
//! clearance.

use crate::brake;
use crate::num::Angle;
use crate::sequence::escape;
use crate::sequence::extent;
use crate::sequence::pieces;
use crate::sequence::refusal::Why;
use crate::sequence::room::Room;
use crate::sequence::room::Stack;
use crate::sequence::room::Tooling;
use crate::sequence::room::margin;
use crate::sequence::section::Bending;
use crate::sequence::section::Fixture;
use crate::sequence::setup::Setup;
use crate::sequence::setup::Tool;
use crate::sequence::task::Task;
use crate::sequence::tools::BrakeSections;
use crate::shop::Brake;
use crate::shop::Folding;
use crate::shop::FoldingKind;
use crate::shop::Grip;
use crate::shop::Press;
use crate::shop::Pull;
use crate::shop::Tools;

/// A bend may require a radius within this ratio of that of a V. The flat is right for the required
/// radius, the bend gets the other.
const RADIUS_RANGE: f64 = 1.5;

/// A radius within this many mm of a limit is at it: limits are printed rounded.
const PRINTED: f64 = 0.001;

/// Largest inside radius of a folding brake whose file does not give it, in thicknesses. Our
/// choice: hard aluminium needs up to five; beyond it the sheet is rolled rather than bent.
const FOLDED_RADIUS: f64 = 6.0;

/// One setup under trial.
pub(super) struct Trial<'a> {
    pub(super) task: &'a Task<'a>,
    pub(super) bending: &'a Bending<'a>,
    pub(super) brake: &'a Brake,
    pub(super) sections: &'a BrakeSections,
    /// Room that another setup leaves already, mm.
    pub(super) floor: f64,
    /// Room that is enough, mm.
    pub(super) enough: f64,
}

/// A tool that comes in pieces.
struct Pieces<'a> {
    tool: Fixture<'a>,
    widths: &'a [f64],
    /// How much of the bend may stay without, mm.
    gap: f64,
    /// Whether it may extend over the whole length of the brake.
    whole: bool,
    /// The tools with it over the whole length.
    beside: &'a [Fixture<'a>],
    /// Whether it is above the part.
    above: bool,
}

impl Trial<'_> {
    /// The tooling, where the setup works; its tool and its angle are then known.
    pub(super) fn run(&self, setup: &mut Setup) -> Result<Tooling, Why> {
        match &self.brake.tools {
            Tools::Folding(folding) => self.fold(folding, setup),
            Tools::Press(press) => self.push(press, setup),
        }
    }

    /// The angle under load, which the brake must be able to make.
    fn under_load(&self, radius: f64, v: Option<f64>) -> Result<Angle, Why> {
        let kept = self.task.kept(radius, v).ok_or(Why::Springs)?;
        let is = brake::angle_under_load(self.bending.target, kept);
        let max = self.brake.max_angle;
        if is.degrees() > max.degrees() { Err(Why::Angle { is, max }) } else { Ok(is) }
    }

    /// The face that is clamped, and the one on the other side of the bend.
    fn faces(&self, setup: &Setup) -> [usize; 2] {
        let drawn = self.bending.drawn();
        [setup.hold, if setup.hold == drawn.from { drawn.to } else { drawn.from }]
    }

    fn long_enough(&self) -> Result<(), Why> {
        let (is, max) = (self.bending.width(), self.brake.length);
        if is > max + 1e-9 { Err(Why::TooLong { is, max }) } else { Ok(()) }
    }

    /// Whether the brake gives the radius: over a V roughly that of the V, on a folding brake one
    /// that can be bent round its nose.
    fn radius(&self, v: Option<f64>) -> Result<(), Why> {
        let drawn = &self.bending.drawn().bend;
        // Bends before the flattening of a hem have the radius of its tool.
        if drawn.form().is_hem() {
            return Ok(());
        }
        let is = drawn.radius();
        let (min, max) = match v.map(brake::inside_radius) {
            Some(gives) => (gives / RADIUS_RANGE, gives * RADIUS_RANGE),
            None => (0.0, FOLDED_RADIUS * self.task.part.thickness),
        };
        let max = match (v, self.brake.max_radius) {
            (_, None) => max,
            (None, Some(own)) => own,
            (Some(_), Some(own)) => own.min(max),
        };
        let min = self.brake.min_radius.map_or(min, |own| own.max(min));
        if is > max + PRINTED || is < min - PRINTED {
            Err(Why::Radius { is, min, max })
        } else {
            Ok(())
        }
    }

    /// The inside radius that a folding brake gives a bend: its own, or at least a thickness before
    /// a hem is flattened, our choice.
    fn folded_radius(&self) -> f64 {
        let drawn = &self.bending.drawn().bend;
        let min = if drawn.form().is_hem() { drawn.thickness() } else { 0.0 };
        drawn.radius().max(min)
    }

    /// Whether a person bends it with the lever of the tool.
    fn pulled(&self, thickness: f64) -> Result<(), Why> {
        let Some(Pull { lever, max }) = self.brake.pull else { return Ok(()) };
        let tensile = self.task.metal.tensile_strength;
        let metal = self.task.flat.bends[self.bending.which().1].net_width();
        let is = brake::moment_by_hand(tensile, metal, thickness) / lever;
        if is > max { Err(Why::Pull { is, max, lever, metal }) } else { Ok(()) }
    }

    /// Clamp and swing.
    fn fold(&self, folding: &Folding, setup: &mut Setup) -> Result<Tooling, Why> {
        self.long_enough()?;
        let thickness = self.task.part.thickness;
        let share = brake::as_hard(self.task.metal.tensile_strength, self.brake.rated_for, 1.0);
        if let Some(thickest) = self.brake.thickest.filter(|t| thickness * share > *t + 1e-9) {
            return Err(Why::TooThick { is: thickness, max: thickest / share });
        }
        self.pulled(thickness)?;
        let drawn = &self.bending.drawn().bend;
        self.radius(None)?;
        setup.under_load = self.under_load(self.folded_radius(), None)?;
        let [held, swung] = extent::of(self.bending, setup);
        if held.half < folding.min_clamp - 1e-9 {
            return Err(Why::Clamp { is: held.half, min: folding.min_clamp });
        }
        if let Some(max) = folding.throat {
            let is = extent::hangs(self.bending, setup);
            if is > max + 1e-9 {
                return Err(Why::Throat { is, max });
            }
        }
        let swung_face = self.faces(setup)[1];
        // A lever or a hammer takes the metal between slots.
        let is_by_hand = matches!(folding.kind, FoldingKind::Hand(_));
        let reach = if is_by_hand { swung.half } else { swung.shortest };
        flange(swung_face, reach + drawn.caliper_setback(), folding.min_flange)?;
        let is_jaw = matches!(folding.kind, FoldingKind::Vice | FoldingKind::Hand(_));
        let half = is_jaw.then_some(self.brake.length / 2.0);
        let middle = self.bending.width() / 2.0;
        let span = half.map(|half| [middle - half, middle + half]);
        let [beam, bed] = names(folding.kind);
        let ([upper, lower], [leaf, fingers]) = self.sections.on_folding();
        let at = |name, stand, touches| Fixture { name, stand, span, touches };
        // Under the beam of a box-and-pan brake hang the fingers, and it touches nothing.
        let clamps = folding.kind != FoldingKind::BoxAndPan;
        let beam = at(beam, upper, clamps);
        let bed = at(bed, lower, true);
        let mut all = vec![beam, bed];
        all.extend(leaf.map(|leaf| at("leaf", leaf, true)));
        let room = self.bending.room(setup, &all, self.floor, self.enough)?;
        self.check_removal(setup, &[bed], false)?;
        let Some((fingers, stand)) = folding.fingers.as_ref().zip(fingers) else {
            self.check_removal(setup, &[beam], true)?;
            return Ok(Tooling { room, stacks: Vec::new() });
        };
        let all: f64 = fingers.widths.iter().sum();
        let (more, stack) = self.pieces(
            setup,
            &Pieces {
                tool: at("fingers", stand, true),
                widths: &fingers.widths,
                gap: fingers.gap,
                whole: all >= self.bending.width() - fingers.gap,
                beside: &[beam],
                above: true,
            },
        )?;
        setup.tool = Tool::Fold { fingers: stack.as_ref().map(Stack::width) };
        Ok(Tooling { room: room.and(more), stacks: stack.into_iter().collect() })
    }

    /// Punch and die.
    fn push(&self, press: &Press, setup: &mut Setup) -> Result<Tooling, Why> {
        let Tool::Press { die: d, punch: p, .. } = setup.tool else { return Err(Why::Springs) };
        let (die, punch) = (&press.dies[d], &press.punches[p]);
        self.long_enough()?;
        let (thickness, metal) = (self.task.part.thickness, self.task.metal);
        let force = brake::force(metal.tensile_strength, self.bending.width(), thickness, die.v);
        if let Some(max) = self.brake.force.filter(|max| force > *max) {
            return Err(Why::Force { is: force, max });
        }
        self.radius(Some(die.v))?;
        setup.under_load = self.under_load(brake::inside_radius(die.v), Some(die.v))?;
        // The legs close on the punch during bending.
        let max = Angle::from_degrees(180.0 - punch.angle.degrees());
        if setup.under_load.degrees() > max.degrees() {
            return Err(Why::Angle { is: setup.under_load, max });
        }
        let setback = self.bending.drawn().bend.caliper_setback();
        let legs = extent::of(self.bending, setup).map(|leg| leg.shortest + setback);
        for (face, leg) in self.faces(setup).into_iter().zip(legs) {
            flange(face, leg, die.min_flange)?;
        }
        let [ram, bed, above, below] = self.sections.on_press(p, d, die.v);
        let at = |name, stand, touches| Fixture { name, stand, span: None, touches };
        // Over the whole length, and the sheet must touch neither.
        let (ram, bed) = (at("ram", ram, false), at("bed", bed, false));
        let room = self.bending.room(setup, &[ram, bed], self.floor, self.enough)?;
        let (over, punches) = self.pieces(
            setup,
            &Pieces {
                tool: at("punch", above, true),
                widths: &punch.widths,
                gap: press.gap,
                whole: true,
                beside: &[ram],
                above: true,
            },
        )?;
        let (under, dies) = self.pieces(
            setup,
            &Pieces {
                tool: at("die", below, true),
                widths: &die.widths,
                gap: press.gap,
                whole: true,
                beside: &[bed],
                above: false,
            },
        )?;
        let widths = [&punches, &dies].map(|stack| stack.as_ref().map(Stack::width));
        setup.tool = Tool::Press { die: d, punch: p, widths };
        let stacks = punches.into_iter().chain(dies).collect();
        Ok(Tooling { room: room.and(over).and(under), stacks })
    }

    /// Whether the part comes between tools before the bend and off them after.
    fn check_removal(&self, setup: &Setup, tools: &[Fixture], above: bool) -> Result<(), Why> {
        let tool = tools.last().map_or("", |fixture| fixture.name);
        let made = self.bending.pose(self.bending.target);
        for (pose, made) in [(&self.bending.flat, false), (&made, true)] {
            if !escape::can_come_off(self.bending, pose, setup, tools, above) {
                return Err(Why::Closed { tool, made });
            }
        }
        Ok(())
    }

    /// The clearance with pieces of a tool that come off with the tools beside them.
    fn beside(&self, setup: &Setup, of: &Pieces, tool: Fixture, floor: f64) -> Result<Room, Why> {
        let room = self.bending.room(setup, &[tool], floor, self.enough)?;
        self.check_removal(setup, &[of.beside, &[tool]].concat(), of.above)?;
        Ok(room)
    }

    /// The whole length of a tool or pieces of it, whichever leaves the most clearance.
    fn pieces(&self, setup: &Setup, of: &Pieces) -> Result<(Room, Option<Stack>), Why> {
        let mut best: Option<(Room, Option<Stack>)> = None;
        let mut refused = None;
        let bend = self.bending.width();
        let margin = margin(self.task.shop);
        let sets = pieces::sets(of.widths, bend);
        let min = bend - of.gap;
        let mut options = vec![None; usize::from(of.whole)];
        for set in pieces::candidates(&sets, bend, min, &[margin, self.enough]) {
            let slack = bend - set.sum;
            let starts = if slack < margin { vec![0.5] } else { vec![0.5, 0.0, 1.0] };
            options.extend(starts.into_iter().map(|share| {
                let (tool, pieces) = (of.tool.name, set.widths.clone());
                Some(Stack { tool, from: slack * share, pieces })
            }));
        }
        // Where the last one was tightest: most others are too tight there as well.
        let mut tightest: Option<Angle> = None;
        let mut passed_over = None;
        for stack in options {
            let span = stack.as_ref().map(|s| [s.from, s.from + s.width()]);
            let tool = Fixture { span: span.or(of.tool.span), ..of.tool };
            let floor = best.as_ref().map_or(self.floor, |(room, _)| room.mm.max(self.floor));
            let tight = |at| self.bending.is_tight(setup, &tool, at, [floor, self.enough]);
            if tightest.is_some_and(tight) {
                passed_over = Some(tool);
                continue;
            }
            match self.beside(setup, of, tool, floor) {
                Ok(room) => {
                    tightest = room.at().or(tightest);
                    best = Some((room, stack));
                }
                Err(why) => {
                    tightest = why.at().or(tightest);
                    (refused, passed_over) = (Some(why), None);
                }
            }
            if best.as_ref().is_some_and(|(room, _)| room.mm >= self.enough) {
                break;
            }
        }
        if let Some(best) = best {
            return Ok(best);
        }
        // The last one says why.
        if let Some(tool) = passed_over {
            refused = self.beside(setup, of, tool, self.floor).err();
        }
        let widest = sets.last().map_or(0.0, |set| set.sum);
        // If no piece is narrow enough, the collision of the whole tool is more informative.
        let bare = !of.widths.is_empty() && widest < min - 1e-9;
        match refused {
            Some(why) if !bare || widest <= 0.0 => Err(why),
            _ => Err(Why::Pieces { is: widest, min }),
        }
    }
}

/// The clamps of the sheet, above and below.
fn names(kind: FoldingKind) -> [&'static str; 2] {
    match kind {
        FoldingKind::Hand(Grip::HammerForm) => ["form"; 2],
        FoldingKind::Vice | FoldingKind::Hand(_) => ["jaws"; 2],
        FoldingKind::Straight | FoldingKind::BoxAndPan => ["beam", "bed"],
    }
}

fn flange(face: usize, is: f64, min: f64) -> Result<(), Why> {
    if is < min - 1e-9 { Err(Why::Flange { face, is, min }) } else { Ok(()) }
}
