//! The instructions to the operator at each bend, in the words of the shop. Text between asterisks
//! is bold, and large on paper if it begins with `#`.

mod change;
mod jaws;

use crate::bend::Form;
use crate::drawings::bends::degrees;
use crate::drawings::bends::rolled;
use crate::drawings::bends::round;
use crate::drawings::offsets::Offset;
use crate::drawings::offsets::SQUARE;
use crate::drawings::offsets::offsets;
use crate::drawings::printed;
use crate::drawings::strip::tool;
use crate::drawings::strip::wrench;
use crate::flat::to_origin;
use crate::job::Job;
use crate::num;
use crate::num::Angle;
use crate::paper::figure_text;
use crate::quantity::Units;
use crate::report;
use crate::report::FormedRow;
use crate::report::MadeRow;
use crate::sequence::Action;
use crate::sequence::Flip;
use crate::sequence::Gauge;
use crate::sequence::GaugeFrom;
use crate::sequence::Handling;
use crate::sequence::Tool;
use crate::shop::FoldingKind;
use crate::shop::Grip;
use crate::shop::Tools;
use crate::solve::Setup;
use crate::solve::Solved;

/// Sight and bend line nearer than this are set as one, mm. Our choice: the difference is
/// invisible.
const SIGHT: f64 = 0.3;

/// An edge within this of horizontal or vertical faces a side, as a tangent.
const LEVEL: f64 = 1e-6;

/// From the bend line up to the top of the bar on the front jaw of a vice, mm: 0 if that is not visible.
pub(super) fn off_the_jaw(handling: &Handling) -> f64 {
    let sight = handling.sight.filter(|sight| handling.upright && sight.abs() > SIGHT);
    sight.unwrap_or(0.0)
}

/// All lines of a step; `setup` is that of its bend.
pub(super) fn lines(
    job: &Job,
    solved: &Solved,
    handling: &Handling,
    setup: Option<&Setup>,
) -> Vec<String> {
    let place = to_origin(&solved.flat.region);
    let made = report::made(job, solved, handling.bend, &place);
    let asked = solved.part.bends[handling.bend].bend.radius();
    let radius = made.as_ref().map_or(asked, |made| made.formed_radius_mm);
    let say = Say { job, solved, handling, setup, radius };
    let formed = report::formed(job, solved, handling.bend, &place);
    let mut lines = vec![say.action()];
    lines.extend(say.holding(made.as_ref(), formed.as_ref()));
    lines.extend(say.change());
    lines.push(say.gauging());
    lines.extend(say.sight());
    lines.extend(say.checking());
    lines.extend(say.offsets());
    lines.extend(made.map(|made| say.room(&made)));
    lines
}

/// One step to be said.
struct Say<'a> {
    job: &'a Job,
    solved: &'a Solved,
    handling: &'a Handling,
    /// `None` for a bend that no brake makes.
    setup: Option<&'a Setup<'a>>,
    /// The inside radius obtained, mm.
    radius: f64,
}

impl Say<'_> {
    /// A face by its name in quotes: names are often words, such as `left`.
    fn face(&self, face: usize) -> String {
        printed::quoted(&self.solved.part.faces[face].name)
    }

    fn mm(&self, mm: f64) -> String {
        figure_text(self.job.units, mm)
    }

    /// How the part lies.
    fn action(&self) -> String {
        let side = if self.handling.orientation.mirrored { "bottom side" } else { "top side" };
        let [hold, moves] = [self.handling.hold, self.handling.moves].map(|face| self.face(face));
        if wrench::is_wrench(self.setup) {
            return format!("Clamp {moves} in a vice, {side} up, the bend line clear of its jaws");
        }
        if self.handling.upright {
            let top = format!("Stand it up with {moves} at the top");
            return format!("{top}, {side} facing you; bend it towards you");
        }
        let side = format!("{side} up");
        // The bend is usually named after the face it carries.
        let drawn = &self.solved.part.bends[self.handling.bend];
        let towards = format!("{moves} towards you");
        let is_named = printed::quoted(&drawn.name) == moves;
        let and = if is_named { String::new() } else { format!(": {towards}") };
        match self.handling.action {
            Action::Lay => format!("Lay {hold} flat, {side}, {towards}"),
            Action::Move { flip: None, rotate } if rotate == Angle::ZERO => {
                format!("Same way round: {towards}")
            }
            Action::Move { flip: None, rotate } => format!("Rotate {}{and}", round(rotate)),
            Action::Move { flip: Some(flip), rotate } => {
                let way = match flip {
                    Flip::Sideways => "left for right",
                    Flip::Endways => "front for back",
                };
                let then = match rotate == Angle::ZERO {
                    true => String::new(),
                    false => format!(", rotate {}", round(rotate)),
                };
                format!("*Flip over* {way}{then}, {side}{and}")
            }
        }
    }

    /// The tool, and which face it clamps.
    fn holding(&self, made: Option<&MadeRow>, formed: Option<&FormedRow>) -> Vec<String> {
        if let Some(formed) = formed {
            return vec![self.forming(formed)];
        }
        let (Some(setup), Some(made)) = (self.setup, made) else { return Vec::new() };
        let brake = &setup.shop.brakes[setup.step.setup.brake];
        let mut words = num::capital(&tool::brake(self.job.units, setup));
        match (&brake.tools, setup.step.setup.tool) {
            (Tools::Press(_), Tool::Press { .. }) => {
                words += &self.pieces(made);
                if let Some((kn, tons)) = made.force_kn.zip(made.force_short_tons) {
                    let tons = num::counted(num::text(tons, 1), "short ton");
                    let is_inch = self.job.units == Units::Inch;
                    let tons = if is_inch { format!(" ({tons})") } else { String::new() };
                    words += &format!(", {} kN{tons}", num::text(kn, 0));
                }
            }
            (Tools::Folding(folding), _) => {
                words += &self.pieces(made);
                if let Some(fingers) = folding.fingers.as_ref().filter(|_| made.sections.is_empty())
                {
                    words += &self.all_fingers(&fingers.widths);
                }
                let hold = self.face(self.handling.hold);
                let by_hand = match folding.kind {
                    FoldingKind::Hand(grip) => Some(grip),
                    _ => None,
                };
                if by_hand.is_none() && folding.kind != FoldingKind::Vice {
                    // A sharp beam makes no such bend.
                    let bend = &self.solved.part.bends[self.handling.bend].bend;
                    words += &format!(", nose bar R{}", self.mm(bend.radius()));
                }
                words += &match by_hand {
                    Some(Grip::Wrench) => format!(" over the free end of {hold}"),
                    _ => format!(", clamp {hold}"),
                };
                let drawn = &self.solved.part.bends[self.handling.bend];
                let is_swung = by_hand != Some(Grip::Wrench) && !self.handling.upright;
                if self.handling.hold != drawn.from && is_swung {
                    words += &format!(": {} swings up", self.face(self.handling.moves));
                }
                if folding.kind.stands_up() {
                    words += &self.in_vice(folding.throat);
                }
                words += &by_hand.map_or_else(String::new, |grip| self.by_hand(grip, made));
            }
            (Tools::Press(_), Tool::Fold { .. }) => {}
        }
        vec![words]
    }

    /// The pieces of tool, and where they begin.
    fn pieces(&self, made: &MadeRow) -> String {
        // Tools have their own unit beside it, mm as a rule.
        let unit = if self.job.units == Units::Inch { " in" } else { "" };
        let rows = made.sections.iter().zip(&self.handling.from_left);
        let words = rows.map(|(row, left)| {
            let widths: Vec<String> =
                row.lengths_mm.iter().map(|w| tool::size(self.job.units, *w)).collect();
            let begin = match self.mm(*left) {
                zero if zero == "0" => "at the left end of the bend".to_owned(),
                left if left.starts_with('-') => {
                    let left = left.trim_start_matches('-');
                    format!("{left}{unit} beyond the left end of the bend")
                }
                left => format!("{left}{unit} from the left end of the bend"),
            };
            let tool = if row.tool == "punch" { String::new() } else { format!("{} ", row.tool) };
            let sections = if widths.len() == 1 { "section" } else { "sections" };
            format!(", {tool}{sections} *{}* starting {begin}", widths.join(" + "))
        });
        words.collect()
    }

    /// All fingers, where the bend takes the whole length of them.
    fn all_fingers(&self, widths: &[f64]) -> String {
        let size = |mm: f64| tool::size(self.job.units, mm);
        let each: Vec<String> = widths.iter().map(|width| size(*width)).collect();
        let sum = self.job.units.size(widths.iter().sum());
        format!(", all fingers *{}*, {sum} in total", each.join(" + "))
    }

    /// A rolled bend or a hem.
    fn forming(&self, formed: &FormedRow) -> String {
        let bend = &self.solved.part.bends[self.handling.bend].bend;
        let how = match bend.form() {
            Form::Rolled => "roll",
            Form::OpenHem => "bend acute, then close over a spacer",
            _ => "bend acute, then flatten",
        };
        let on = formed.tool.as_deref().map_or_else(|| "Tool not judged".to_owned(), num::capital);
        let mut words = format!("{on}: {how}");
        if let Some(radius) = formed.radius_under_load_mm {
            words += &format!(" to about R{} before springback", self.mm(radius));
        }
        if bend.form() == Form::Rolled {
            let text = |mm| figure_text(self.job.units, mm);
            let (flat, arc) = (text(bend.allowance()), text(formed.inside_arc_mm));
            words += &format!(", over *{flat}* of the flat; arc inside {arc}");
        }
        // Nobody planned it: it comes first, while no other leg is in the way.
        let bends = &self.solved.part.bends;
        if self.solved.plan.is_none() && bends.iter().any(|other| other.bend.form() == Form::Bent) {
            words += ", before a flange gets in the way";
        }
        words + ". Clearance beside the tool not judged"
    }

    /// From what its line is set.
    fn gauging(&self) -> String {
        if self.handling.upright && self.handling.sight.is_some() {
            return self.above_jaw();
        }
        let Some(gauge) = &self.handling.gauge else {
            return "No free edge runs parallel: set by the scribed line".into();
        };
        let to_stop = self.is_press() && gauge.held;
        let verb = if to_stop { "Back gauge" } else { "Gauge" };
        let bend = &self.solved.part.bends[self.handling.bend].bend;
        let (to, short) = match bend.form() {
            Form::Rolled => (" to where it begins", bend.allowance() / 2.0),
            _ => ("", 0.0),
        };
        let covered = if gauge.hidden { ", before clamping" } else { "" };
        let fingers = if to_stop { self.fingers(gauge) } else { String::new() };
        let distance = self.mm(gauge.distance - short);
        format!("{verb} *#{distance}* from {}{to}{covered}{fingers}", self.from(gauge))
    }

    /// Where the fingers of a stop lean, and where nothing else may.
    fn fingers(&self, gauge: &Gauge) -> String {
        let both = gauge.other.map(|(from, line)| match from.face() == gauge.from.face() {
            true => ", a gauge finger at both parts of it".to_owned(),
            false => {
                let other = Gauge { from, line, ..*gauge };
                format!(", a gauge finger there and one at {}", self.from(&other))
            }
        });
        let rest = match both {
            Some(_) => "other edges are at other distances: gauge on these only",
            None => "other edges are at other distances: gauge on this edge only",
        };
        let alone = if gauge.alone { format!("; {rest}") } else { String::new() };
        both.unwrap_or_default() + &alone
    }

    /// An edge by its side in the flat, where it has one, and its face.
    fn from(&self, gauge: &Gauge) -> String {
        let side = self.side(gauge);
        match gauge.from {
            GaugeFrom::Edge { face } => format!("{side}edge of {}", self.face(face)),
            GaugeFrom::Flange { face, .. } => format!("the outside of {}", self.face(face)),
            GaugeFrom::Tip { face } => format!("{side}tip of {}", self.face(face)),
        }
    }

    /// The side of the flat that a gauge edge faces; `None` if that is at a slant.
    fn side(&self, gauge: &Gauge) -> &'static str {
        let line = self.solved.flat.bends[self.handling.bend].line;
        let along = line.direction_at_start();
        let from = gauge.line.point_at(0.5) - line.from;
        let across = from - along * from.dot(along);
        let (x, y) = (across.x, across.y);
        match (x.abs() < LEVEL * y.abs(), y.abs() < LEVEL * x.abs()) {
            (true, _) if y > 0.0 => "the upper ",
            (true, _) => "the lower ",
            (_, true) if x > 0.0 => "the right ",
            (_, true) => "the left ",
            _ => "the ",
        }
    }

    fn is_press(&self) -> bool {
        self.setup.is_some_and(|setup| setup.v.is_some())
    }

    /// The sight line, where it is not the bend line.
    fn sight(&self) -> Option<String> {
        let sight = self.handling.sight.filter(|sight| sight.abs() > SIGHT)?;
        let side = if sight > 0.0 { "in front of" } else { "behind" };
        let words =
            format!("Set the {} *{}* {side} the bend line", self.front(), self.mm(sight.abs()));
        (!self.handling.upright).then_some(words)
    }

    /// What to measure before the next bend.
    fn checking(&self) -> Option<String> {
        let drawn = &self.solved.part.bends[self.handling.bend].bend;
        let angle = degrees(drawn.angle());
        let Some(leg) = self.handling.leg else {
            return match drawn.form() {
                Form::Bent => {
                    let inside = num::text(180.0 - drawn.angle().degrees(), 1);
                    Some(format!("Check the angle: *{angle}* outside / *{inside}°* inside"))
                }
                Form::Rolled => Some(rolled(self.job.units, drawn)),
                _ => Some("Check the hem".into()),
            };
        };
        // The leg runs in the plane of the gauge edge: it ends at the outside of the other side.
        let side = |moving: bool| match moving {
            true => self.face(self.handling.moves),
            false => self.face(self.handling.hold),
        };
        let other = side(leg.gauge.held);
        let to = match drawn.angle().degrees() {
            a if a < 90.0 - SQUARE => format!("the mould line with {other}"),
            a if a > 90.0 + SQUARE => format!("the outer tangent of the bend to {other}"),
            _ => format!("the outside of {other}"),
        };
        let radius = figure_text(self.job.units, self.radius);
        let and = match drawn.form() {
            Form::Bent => format!(", {angle}, inside R{radius}"),
            _ => String::new(),
        };
        let from = self.from(&leg.gauge);
        Some(format!("Check leg *{}* from {from} to {to}{and}", self.mm(leg.mm)))
    }

    /// The offsets of faces that this bend completes.
    fn offsets(&self) -> Vec<String> {
        let own = self.handling.bend;
        let is_made = |bend: usize| bend == own || self.handling.made & (1 << bend) != 0;
        let all = offsets(self.solved).into_iter();
        let now = all.filter(|o| o.bends.contains(&own) && o.bends.into_iter().all(is_made));
        // A leg from the outside of one to the outside of the other is measured already.
        let leg =
            self.handling.leg.filter(|leg| matches!(leg.gauge.from, GaugeFrom::Flange { .. }));
        let measured = |offset: &Offset| {
            leg.is_some_and(|leg| {
                let same = self.mm(leg.mm) == self.mm(offset.mm);
                same && offset.faces.contains(&leg.gauge.from.face())
            })
        };
        let now = now.filter(|offset| !measured(offset));
        now.map(|offset| {
            let [one, other] = offset.faces.map(|face| self.face(face));
            let off = self.mm(offset.mm);
            format!("Check offset *{off}* from the outside of {one} to the outside of {other}")
        })
        .collect()
    }

    /// The minimum clearance, and where it is.
    fn room(&self, made: &MadeRow) -> String {
        let mm = self.mm(made.clearance_mm);
        if let Some(setup) = self.setup.filter(|_| wrench::is_wrench(self.setup)) {
            return self.beside_vice(setup, made);
        }
        match &made.nearest {
            Some(nearest) => {
                let part = printed::in_quotes(&nearest.part.replace("face ", ""));
                format!("Clearance *{mm}*: {part} to {}", nearest.tool)
            }
            None => format!("Clearance {mm} or more between part and tools"),
        }
    }
}
