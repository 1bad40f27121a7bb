//! The tool of a bend alone: a brake with its die and its punch, a bar, a former.

use crate::flat::to_origin;
use crate::job::Job;
use crate::paper::figure_text;
use crate::paper::size_figure;
use crate::quantity::Units;
use crate::report;
use crate::sequence::Handling;
use crate::sequence::Tool;
use crate::shop::FoldingKind;
use crate::shop::Grip;
use crate::shop::Tools;
use crate::solve::Setup;
use crate::solve::Solved;

/// The size of a tool, as it is named: with its unit unless the job is in mm and the size a whole
/// number.
pub(super) fn size(units: Units, mm: f64) -> String {
    match units {
        Units::Millimetre => size_figure(Units::Millimetre, mm),
        Units::Inch => Units::Inch.size(mm),
    }
}

/// The brake; of a press its die and its punch.
pub(super) fn brake(units: Units, setup: &Setup) -> String {
    let brake = &setup.shop.brakes[setup.step.setup.brake];
    match (&brake.tools, setup.step.setup.tool) {
        (Tools::Press(press), Tool::Press { die, punch, .. }) => {
            let v = size(units, press.dies[die].v);
            format!("{}, V {v}, {} punch", brake.name, press.punches[punch].name)
        }
        _ => brake.name.clone(),
    }
}

/// The tool of a step alone, and what is missing where it is not known.
#[cfg_attr(not(feature = "page"), allow(dead_code, reason = "only the page says it"))]
pub(super) fn tool(
    job: &Job,
    solved: &Solved,
    handling: &Handling,
    setup: Option<&Setup>,
) -> String {
    let place = to_origin(&solved.flat.region);
    if let Some(formed) = report::formed(job, solved, handling.bend, &place) {
        return formed.tool.unwrap_or_else(|| "not judged".to_owned());
    }
    let Some(setup) = setup else {
        return match job.shop {
            Some(_) => "no tool in the shop file makes it".to_owned(),
            None => "not known: the job names no shop file".to_owned(),
        };
    };
    let radius = solved.part.bends[handling.bend].bend.radius();
    let words = brake(job.units, setup);
    let (Tools::Folding(folding), Tool::Fold { fingers }) =
        (&setup.shop.brakes[setup.step.setup.brake].tools, setup.step.setup.tool)
    else {
        return words;
    };
    if matches!(folding.kind, FoldingKind::Hand(Grip::Wrench | Grip::HammerForm)) {
        return words;
    }
    let [bar, radius] = [2.0 * radius, radius].map(|mm| figure_text(job.units, mm));
    match (folding.kind.stands_up(), fingers) {
        (true, _) => {
            format!("{words}, bar of Ø{bar} on the front jaw, rear jaw packed up {radius}")
        }
        (false, None) => format!("{words}, nose bar R{radius}"),
        (false, Some(_)) => format!("{words}, fingers, nose bar R{radius}"),
    }
}
