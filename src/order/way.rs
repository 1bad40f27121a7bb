//! The ways in which one bend can be made, and what each asks for.

use crate::brake;
use crate::num::Angle;
use crate::order::Refusal;
use crate::order::Stages;
use crate::order::Task;
use crate::order::Why;
use crate::part::Part;
use crate::quantity::Units;
use crate::shop;
use crate::shop::Brake;
use crate::shop::Die;
use crate::shop::Folding;
use crate::shop::FoldingKind;
use crate::shop::Press;
use crate::shop::Shop;
use crate::shop::Tools;

/// One way to make one bend.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Way {
    /// Index of the brake in the shop.
    pub brake: usize,
    /// The face that is held, or lies against the back gauge of a press brake.
    pub hold: usize,
    /// Whether the upper side of the sheet, as drawn, is up.
    pub drawn_side_up: bool,
    /// What of the brake is used.
    pub tool: Tool,
    /// How far it must be turned under load.
    pub under_load: Angle,
}

/// What of a brake is used.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Tool {
    /// The beam, or fingers of so many mm in all under it.
    Fold {
        /// Nothing where the whole length can stay.
        fingers: Option<f64>,
    },
    /// Punch and die, by their indices, in pieces of so many mm in all.
    Press {
        /// Index of the die.
        die: usize,
        /// Index of the punch.
        punch: usize,
        /// Width of the pieces of the punch and of the die; nothing where the whole length can stay.
        widths: [Option<f64>; 2],
    },
}

impl Way {
    /// The tool in words, and how the part is held.
    pub fn words(&self, part: &Part, shop: &Shop, units: Units) -> String {
        let hold = &part.faces[self.hold].name;
        let side = if self.drawn_side_up { "top side up" } else { "bottom side up" };
        format!("{}, clamp `{hold}`, {side}", self.tool_words(shop, units))
    }

    /// The tool in words.
    pub fn tool_words(&self, shop: &Shop, units: Units) -> String {
        let brake = &shop.brakes[self.brake];
        let mut words = brake.name.clone();
        match (self.tool, &brake.tools) {
            (Tool::Fold { fingers: Some(width) }, _) => {
                words += &format!(", {} of fingers", units.length(width));
            }
            (Tool::Press { die, punch, widths }, Tools::Press(press)) => {
                let v = units.length(press.dies[die].v);
                words += &format!(", V {v}, punch `{}`", press.punches[punch].name);
                for (what, width) in ["punch", "die"].iter().zip(widths) {
                    if let Some(width) = width {
                        words += &format!(", {} of {what}", units.length(width));
                    }
                }
            }
            _ => {}
        }
        words
    }

    /// The opening of the V, mm, on a press brake.
    pub fn v(&self, shop: &Shop) -> Option<f64> {
        match (self.tool, &shop.brakes[self.brake].tools) {
            (Tool::Press { die, .. }, Tools::Press(press)) => Some(press.dies[die].v),
            _ => None,
        }
    }

    /// The inside radius it gives, mm: that of the V; a folding brake is set to the radius asked for.
    pub fn radius(&self, shop: &Shop, asked: f64) -> f64 {
        self.v(shop).map_or(asked, brake::inside_radius)
    }

    /// The shortest flange it can make, mm, measured outside.
    pub fn least_flange(&self, shop: &Shop) -> f64 {
        match (self.tool, &shop.brakes[self.brake].tools) {
            (Tool::Press { die, .. }, Tools::Press(press)) => press.dies[die].least_flange,
            (_, Tools::Folding(folding)) => folding.least_flange,
            (_, Tools::Press(_)) => 0.0,
        }
    }
}

/// A die is tried when its V is so many times the usual one for the thickness. Our choice.
const V_RANGE: (f64, f64) = (0.6, 2.0);

/// The first way that goes, with those tried before it.
///
/// # Errors
/// All ways, when none goes.
pub(super) fn first(
    task: &Task,
    made: u32,
    bend: usize,
) -> Result<(Way, Vec<Refusal>), Vec<Refusal>> {
    let mut refused = Vec::new();
    let mut stages = Stages::new(task, made, bend);
    let drawn = &task.part.bends[bend];
    for (i, brake) in task.shop.brakes.iter().enumerate() {
        let tools: Vec<Tool> = match &brake.tools {
            Tools::Folding(_) => vec![Tool::Fold { fingers: None }],
            Tools::Press(press) => pairs(press, drawn.bend.thickness()),
        };
        if tools.is_empty() {
            let tool = Tool::Fold { fingers: None };
            let way = Way {
                brake: i,
                hold: drawn.from,
                drawn_side_up: drawn.up,
                tool,
                under_load: drawn.bend.turn(),
            };
            let usual = brake::v_opening(drawn.bend.thickness());
            refused.push(Refusal { way, why: Why::NoDie { usual } });
        }
        for tool in tools {
            // A turn all tools of a brake refuse is refused once, whichever face is held.
            let mut last = None;
            for hold in [drawn.from, drawn.to] {
                let mut way = Way {
                    brake: i,
                    hold,
                    drawn_side_up: drawn.up,
                    tool,
                    under_load: drawn.bend.turn(),
                };
                let tried = match &brake.tools {
                    Tools::Folding(folding) => fold(task, &mut stages, brake, folding, &mut way),
                    Tools::Press(press) => push(task, &mut stages, brake, press, &mut way),
                };
                match tried {
                    Ok(()) => return Ok((way, refused)),
                    Err(why) if last == Some(why) => {}
                    Err(why) => {
                        refused.push(Refusal { way, why });
                        last = Some(why);
                    }
                }
            }
        }
    }
    Err(refused)
}

/// Every die with every punch, the V nearest to the usual one first.
fn pairs(press: &Press, thickness: f64) -> Vec<Tool> {
    let usual = brake::v_opening(thickness);
    let off = |die: &usize| (press.dies[*die].v - usual).abs();
    let fits = |die: &usize| {
        let times = press.dies[*die].v / usual;
        (V_RANGE.0..=V_RANGE.1).contains(&times)
    };
    let mut dies: Vec<usize> = (0..press.dies.len()).filter(fits).collect();
    dies.sort_by(|a, b| off(a).total_cmp(&off(b)));
    let punches = |die: usize| {
        (0..press.punches.len()).map(move |punch| Tool::Press { die, punch, widths: [None; 2] })
    };
    dies.into_iter().flat_map(punches).collect()
}

/// The turn under load, which the brake must be able to make.
fn under_load(task: &Task, stages: &Stages, brake: &Brake, radius: f64) -> Result<Angle, Why> {
    let (thickness, metal) = (task.part.thickness, task.metal);
    let kept = brake::kept(radius, thickness, metal.yields, metal.elastic).ok_or(Why::Springs)?;
    let is = brake::turn_under_load(stages.turn(), kept);
    let most = brake.most_turn;
    if is.degrees() > most.degrees() { Err(Why::Turn { is, most }) } else { Ok(is) }
}

fn long_enough(brake: &Brake, is: f64) -> Result<(), Why> {
    let most = brake.length;
    if is > most + 1e-9 { Err(Why::TooLong { is, most }) } else { Ok(()) }
}

fn flange(is: f64, least: f64) -> Result<(), Why> {
    if is < least - 1e-9 { Err(Why::Flange { is, least }) } else { Ok(()) }
}

/// Clamp and swing.
fn fold(
    task: &Task,
    stages: &mut Stages,
    brake: &Brake,
    folding: &Folding,
    way: &mut Way,
) -> Result<(), Why> {
    long_enough(brake, stages.width())?;
    let share = brake::as_mild_steel(task.metal.tensile, 1.0);
    if let Some(thickest) = brake.thickest.filter(|t| task.part.thickness * share > *t + 1e-9) {
        return Err(Why::TooThick { is: task.part.thickness, most: thickest / share });
    }
    way.under_load = under_load(task, stages, brake, stages.radius())?;
    let [held, swung] = stages.extents(way.hold);
    if held < folding.least_clamp - 1e-9 {
        return Err(Why::Clamp { is: held, least: folding.least_clamp });
    }
    flange(swung + stages.setback(), folding.least_flange)?;
    let jaw = (folding.kind == FoldingKind::Vice).then_some(brake.length);
    let (beam, bed) = match folding.kind {
        FoldingKind::Vice => ("jaws", "jaws"),
        FoldingKind::Straight | FoldingKind::BoxAndPan => ("beam", "bed"),
    };
    stages.clamped(way, &folding.beam, beam, jaw)?;
    stages.clamped_below(way, &folding.bed, bed, jaw)?;
    if let Some(leaf) = &folding.leaf {
        stages.swung(way, leaf, "leaf")?;
    }
    let Some(fingers) = &folding.fingers else { return Ok(()) };
    if fingers.widths.iter().sum::<f64>() >= stages.width() - fingers.gap
        && stages.clamped(way, &fingers.section, "fingers", None).is_ok()
    {
        return Ok(());
    }
    let width = pieces(&fingers.widths, stages.width(), fingers.gap)?;
    stages.clamped(way, &fingers.section, "fingers", Some(width))?;
    way.tool = Tool::Fold { fingers: Some(width) };
    Ok(())
}

/// Pieces set side by side that stay within a bend and cover it but for a gap.
fn pieces(widths: &[f64], bend: f64, gap: f64) -> Result<f64, Why> {
    let (is, least) = (shop::widest(widths, bend), bend - gap);
    if is < least - 1e-9 || is <= 0.0 { Err(Why::Pieces { is, least }) } else { Ok(is) }
}

/// Punch and die.
fn push(
    task: &Task,
    stages: &mut Stages,
    brake: &Brake,
    press: &Press,
    way: &mut Way,
) -> Result<(), Why> {
    let Tool::Press { die: d, punch: p, .. } = way.tool else { return Ok(()) };
    let (die, punch) = (&press.dies[d], &press.punches[p]);
    long_enough(brake, stages.width())?;
    let force = brake::force(task.metal.tensile, stages.width(), task.part.thickness, die.v);
    if let Some(most) = brake.force.filter(|most| force > *most) {
        return Err(Why::Force { is: force, most });
    }
    way.under_load = under_load(task, stages, brake, brake::inside_radius(die.v))?;
    // The legs close on the punch as they turn.
    let most = Angle::from_degrees(180.0 - punch.angle.degrees());
    if way.under_load.degrees() > most.degrees() {
        return Err(Why::Turn { is: way.under_load, most });
    }
    let legs = stages.extents(way.hold).map(|extent| extent + stages.setback());
    flange(legs[0].min(legs[1]), die.least_flange)?;
    let punch_width = or_pieces(&punch.widths, stages.width(), press.gap, |width| {
        stages.pushed(way, &punch.section, "punch", die.v, width)
    })?;
    let die_width =
        or_pieces(&die.widths, stages.width(), press.gap, |width| below(stages, way, die, width))?;
    way.tool = Tool::Press { die: d, punch: p, widths: [punch_width, die_width] };
    Ok(())
}

fn below(stages: &mut Stages, way: &Way, die: &Die, width: Option<f64>) -> Result<(), Why> {
    stages.received(way, &die.section, "die", die.v, width)
}

/// The whole length where it clears; else pieces, where there are some and they clear.
fn or_pieces(
    widths: &[f64],
    bend: f64,
    gap: f64,
    mut clear: impl FnMut(Option<f64>) -> Result<(), Why>,
) -> Result<Option<f64>, Why> {
    let whole = clear(None);
    if whole.is_ok() {
        return Ok(None);
    }
    if widths.is_empty() {
        return whole.map(|()| None);
    }
    match pieces(widths, bend, gap) {
        Ok(width) => clear(Some(width)).map(|()| Some(width)),
        // Where no piece is narrow enough, what the whole tool hits says more.
        Err(Why::Pieces { is, .. }) if is <= 0.0 => whole.map(|()| None),
        Err(why) => Err(why),
    }
}
