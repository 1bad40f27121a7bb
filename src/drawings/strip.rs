//! The bend strip of a part: each bend in its order, as the plan has it.

mod jaws;
mod tool;
mod words;
mod wrench;

use crate::bend::Form;
use crate::drawings::bends::degrees;
use crate::drawings::printed;
use crate::geom::Edge;
use crate::geom::Point;
use crate::job::Job;
use crate::num;
use crate::num::Angle;
use crate::paper;
use crate::paper::BendStep;
use crate::paper::EndView;
use crate::paper::PlanView;
use crate::paper::StripLine;
use crate::paper::StripRow;
use crate::paper::figure_text;
use crate::paper::scale_words;
use crate::paper::strip_scale;
use crate::paper::strip_words;
use crate::report;
use crate::sequence::Handling;
use crate::sequence::Plan;
use crate::sequence::StepSection;
use crate::solve;
use crate::solve::Setup;
use crate::solve::Solved;

/// The text on one bend, in the strip and wherever else the steps are shown. Text between asterisks
/// is bold, and large on paper if it begins with `#`.
pub(crate) struct Step {
    /// Index of the bend.
    pub(crate) bend: usize,
    /// The angle to bend to: words before it, the angle itself, words below it; empty if it is not
    /// known.
    pub(crate) bend_to: [String; 3],
    /// What to do.
    pub(crate) lines: Vec<String>,
}

impl Step {
    fn of(job: &Job, solved: &Solved, handling: &Handling, setup: Option<&Setup>) -> Self {
        let bend_to = setup.map_or_else(Default::default, |setup| {
            // If the springback is calculated, a bend that is short of its angle can be bent
            // further.
            let soft = handling.range.map(|[soft, _]| soft);
            let value = degrees(soft.unwrap_or(setup.step.setup.under_load));
            ["bend to".to_owned(), value, range(handling)]
        });
        Self { bend: handling.bend, bend_to, lines: words::lines(job, solved, handling, setup) }
    }
}

/// The notes before the first bend of a part, and its bends in their order; empty for a flat one.
pub(crate) fn steps(job: &Job, solved: &Solved) -> (Vec<String>, Vec<Step>) {
    let handled = solve::handled(solved);
    if handled.is_empty() {
        return Default::default();
    }
    let step = |handling: &Handling| {
        let setup = solve::setup(job, solved, handling.bend);
        Step::of(job, solved, handling, setup.as_ref())
    };
    let steps = handled.iter().map(step);
    (first(job, solved), steps.collect())
}

/// The rows of a part's bend strip in a width, mm: a head with the general notes, then one row for
/// each bend. Each row's lower left corner is at its origin. Empty for a flat part.
pub(crate) fn rows(job: &Job, solved: &Solved, width: f64) -> Vec<StripRow> {
    let handled = solve::handled(solved);
    if handled.is_empty() {
        return Vec::new();
    }
    let steps: Vec<BendStep> = handled
        .iter()
        .enumerate()
        .map(|(i, handling)| step(job, solved, i + 1, handling))
        .collect();
    let views: Vec<&EndView> = steps.iter().map(|step| &step.view).collect();
    let scale = strip_scale(&views);
    let note = format!("end views {}, after the step", scale_words(1.0 / scale));
    let head = strip_words("Bends in order", &note, &marked(&first(job, solved)), width);
    std::iter::once(head).chain(steps.iter().map(|step| step.row(width, scale))).collect()
}

/// The notes before the first bend.
fn first(job: &Job, solved: &Solved) -> Vec<String> {
    let scribe = match solved.part.bends.len() {
        1 => "Scribe the bend line first. Try the bend on scrap.",
        _ => "Scribe all bend lines first. Try the first bend on scrap.",
    };
    let mut lines = vec![scribe.to_owned()];
    if let Some(plan) = solved.plan.as_ref().filter(|plan| !plan.steps.is_empty()) {
        lines.push(format!("{EDGES} {}", springback(plan)));
        let stops = |handling: &&Handling| is_stop(job, solved, handling);
        if plan.handling.iter().any(|handling| stops(&handling)) {
            lines.push(STOP.to_owned());
        }
    }
    if job.shop.is_none() {
        let words = "The job names no shop file: order as drawn; tools, clearance and springback \
                     not judged.";
        lines.push(words.to_owned());
    }
    let order = report::as_drawn(job, solved).map(|words| printed::remark(&words));
    lines.extend(order.map(|words| format!("Keep this order: {words}.")));
    lines
}

/// Whether the line of a step is set by the back gauge of a press brake, against an edge of the
/// piece on its bed.
fn is_stop(job: &Job, solved: &Solved, handling: &Handling) -> bool {
    let setup = solve::setup(job, solved, handling.bend);
    let is_press = setup.is_some_and(|setup| setup.v.is_some());
    is_press && handling.gauge.is_some_and(|gauge| gauge.held)
}

/// The meaning of the two terms for setting a line, where both may occur.
const STOP: &str =
    "“Back gauge”: set the back gauge to this. “Gauge”: measure by hand from this edge.";

/// From where legs are measured, and which edges are meant.
const EDGES: &str = "Legs: outside sizes; edges: as in the flat.";

/// Where springback comes from: no range is shown of one that was measured.
fn springback(plan: &Plan) -> &'static str {
    let on_brakes = plan.handling.iter().filter(|handling| plan.step(handling.bend).is_some());
    match on_brakes.filter(|handling| handling.range.is_none()).count() {
        0 => {
            "Springback is computed: start with “bend to”, for the softest sheet; below it the range \
             up to the hardest."
        }
        n if n == plan.steps.len() => {
            "Springback is as the shop measured it on strips: try the angle on scrap of this sheet."
        }
        _ => {
            "Springback is as the shop measured it on strips where “bend to” has one angle; where \
             a range is below it, it is computed: start with “bend to”, for the softest sheet of the \
             grade."
        }
    }
}

fn marked(lines: &[String]) -> Vec<StripLine> {
    lines.iter().map(|words| StripLine::marked(words)).collect()
}

fn step(job: &Job, solved: &Solved, number: usize, handling: &Handling) -> BendStep {
    let drawn = &solved.part.bends[handling.bend];
    let setup = solve::setup(job, solved, handling.bend);
    let angle = degrees(drawn.bend.angle());
    let what = match drawn.bend.form() {
        Form::Bent => angle,
        Form::Rolled => format!("roll R{} {angle}", figure_text(job.units, drawn.bend.radius())),
        form => form.words().to_owned(),
    };
    let Step { bend_to, lines, .. } = Step::of(job, solved, handling, setup.as_ref());
    BendStep {
        number,
        up: drawn.up,
        name: [printed::name(&drawn.name), what],
        bend_to,
        lines: marked(&lines),
        view: end_view(job, solved, handling, setup.as_ref()),
        plan: plan(solved, handling, wrench::is_wrench(setup.as_ref())),
    }
}

/// A step along its bend line, with the tools that are there.
fn end_view(job: &Job, solved: &Solved, handling: &Handling, setup: Option<&Setup>) -> EndView {
    let (part, flat) = (&solved.part, &solved.flat);
    let drawn = &part.bends[handling.bend];
    let on = setup.map(|setup| (setup.shop, setup.step));
    let mut section = StepSection::of(part, flat, handling, on);
    let mut labels = Vec::new();
    if let Some(setup) = setup.filter(|setup| wrench::is_wrench(Some(setup))) {
        let lever = setup.pull.map_or(0.0, |pull| pull.lever);
        let (radius, jaws) = (drawn.bend.radius(), section.tools.len());
        let sizes = [radius, drawn.bend.allowance(), lever, wrench::covered(setup, radius)];
        section = wrench::swung(&section, setup.step.setup.under_load, sizes);
        labels = wrench::labels(&section, jaws);
    }
    let bar = setup.filter(|setup| jaws::has_bar(setup)).map(|_| drawn.bend.radius());
    if let Some(radius) = bar.filter(|_| handling.upright) {
        jaws::level(&mut section, radius);
    }
    // A rolled bend is set by where it begins.
    let half = match drawn.bend.form() {
        Form::Rolled => drawn.bend.allowance() / 2.0,
        _ => 0.0,
    };
    // In a vice, an upright leg is measured from the top of the bar, as the text says.
    let jaw = words::off_the_jaw(handling);
    let gauge = section.gauge.zip(handling.gauge).map(|(at, gauge)| {
        let start = if gauge.held { half } else { half + jaw };
        let way = if gauge.held { -start } else { start };
        ([section.line + (way, 0.0), at], figure_text(job.units, gauge.distance - start))
    });
    // In a vice the moving leg is upright.
    let stood = |p: Point| if handling.upright { Point::new(p.y, p.x) } else { p };
    let all = |polygons: Vec<Vec<Point>>| -> Vec<Vec<Point>> {
        polygons.into_iter().map(|polygon| polygon.into_iter().map(stood).collect()).collect()
    };
    let tools = all(section.tools);
    if handling.upright {
        labels = jaws::labels(&tools);
    }
    EndView {
        tools,
        held: all(section.held),
        moved: all(section.moved),
        beyond: all(section.beyond),
        flat: all(section.flat),
        labels,
        bar: bar.map(|radius| (stood(Point::new(0.0, radius)), radius)),
        upright: handling.upright,
        thickness: part.thickness,
        gauge: gauge.map(|(ends, words)| (ends.map(stood), words)),
    }
}

/// The end view of one step as an element of a web page in a room, mm, and its tool in words; nothing
/// of a step that is not there. Steps are counted from 1.
#[cfg_attr(not(feature = "page"), allow(dead_code, reason = "only the page shows it"))]
pub(crate) fn section_element(
    job: &Job,
    solved: &Solved,
    number: usize,
    room: [f64; 2],
) -> Option<(String, String)> {
    let handled = solve::handled(solved);
    let handling = handled.get(number.checked_sub(1)?)?;
    let setup = solve::setup(job, solved, handling.bend);
    let named = tool::tool(job, solved, handling, setup.as_ref());
    let name = printed::name(&solved.part.bends[handling.bend].name);
    let title = format!("Bend {number}, {name}, seen along the bend line; tool: {named}");
    let view = end_view(job, solved, handling, setup.as_ref());
    Some((paper::svg_element(&title, room, &view.alone(room)), named))
}

/// The range of angles the bend may need, by the strength of the sheet.
fn range(handling: &Handling) -> String {
    let tenths = |angle: Angle| num::text(angle.degrees(), 1);
    let Some([low, high]) = handling.range.map(|range| range.map(tenths)) else {
        return String::new();
    };
    if low == high { String::new() } else { format!("{low}–{high}°") }
}

/// The part from above, as it lies; with a wrench the gripped side moves.
fn plan(solved: &Solved, handling: &Handling, with_wrench: bool) -> PlanView {
    let (part, flat) = (&solved.part, &solved.flat);
    let orientation = &handling.orientation;
    let seen = |edges: Vec<Edge>| edges.iter().map(|e| e.moved(orientation)).collect::<Vec<Edge>>();
    let face = |face: usize| {
        let outline = flat.faces[face].outer().moved(&flat.places[face]);
        seen(outline.edges().collect())
    };
    let level = |face: usize| handling.level[face];
    let all = 0..part.faces.len();
    let standing = all.clone().filter(|f| !level(*f)).map(face).collect();
    let moving =
        all.filter(|f| level(*f) && handling.moving[*f] != with_wrench).map(face).collect();
    let line = flat.bends[handling.bend].line.moved(orientation);
    let gauge = handling.gauge.map(|gauge| gauge.line.moved(orientation));
    let other = handling.gauge.and_then(|gauge| gauge.other);
    let other = other.map(|(_, edge)| edge.moved(orientation));
    PlanView {
        blank: seen(flat.region.outer().edges().collect()),
        standing,
        moving,
        line,
        gauge,
        other,
        upright: handling.upright,
    }
}
