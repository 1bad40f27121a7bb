//! The places of the tabs on one tube.

use crate::check::tube_end::CODE;
use crate::diag::About;
use crate::diag::Finding;
use crate::diag::Span;
use crate::fit::Apart;
use crate::fit::Foot;
use crate::num;
use crate::num::Angle;
use crate::num::on_grid;
use crate::quantity::Units;

/// Less than this, mm, is rounding.
const ROUNDING: f64 = 1e-6;

/// A tab on a tube.
pub(crate) struct TabOnTube<'a> {
    /// Its part.
    pub(crate) part: &'a str,
    /// Its entry.
    pub(crate) at: Span,
    /// From each end of the tube, as cut, to the centre of its foot, mm.
    pub(crate) from: [f64; 2],
    /// From each end of the tube, as cut, to where the metal begins under the whole width of the foot, mm:
    /// 0 unless the end is coped.
    pub(crate) void: [f64; 2],
    /// The leg of the fillet round each end of the tube, mm: 0 unless the end is coped.
    pub(crate) cope: [f64; 2],
    /// From which end the job measures, and the name of each.
    pub(crate) end: usize,
    /// From the heel line.
    pub(crate) clock: Angle,
    /// Its foot.
    pub(crate) foot: Foot,
}

/// A tube with its tabs.
pub(crate) struct TubeWithTabs<'a> {
    /// Its name.
    pub(crate) tube: &'a str,
    /// Its outside diameter, mm.
    pub(crate) outside: f64,
    /// The names of its ends.
    pub(crate) ends: [&'static str; 2],
    /// The tabs of both ends.
    pub(crate) tabs: Vec<TabOnTube<'a>>,
    /// Which two tabs are in each other above their feet, and whether they are whichever way round they are
    /// set.
    pub(crate) strikes: Vec<([usize; 2], bool)>,
    /// How lengths are printed.
    pub(crate) units: Units,
}

/// Tabs that are in each other, too near for their welds, or beyond an end of their tube.
pub(crate) fn tab_places(of: &TubeWithTabs) -> Vec<Finding> {
    let at_ends = |tab| beyond(of, tab).or_else(|| beside_cope(of, tab));
    let mut found: Vec<Finding> = of.tabs.iter().filter_map(at_ends).collect();
    for (j, one) in of.tabs.iter().enumerate() {
        let before = of.tabs[..j].iter().enumerate();
        found.extend(before.filter_map(|(i, before)| {
            let strike = of.strikes.iter().find(|(both, _)| *both == [i, j]);
            two(of, [before, one], strike.map(|(_, always)| *always))
        }));
    }
    found.into_iter().map(|finding| finding.about(About::Tube(of.tube.to_owned()))).collect()
}

fn show(of: &TubeWithTabs, mm: f64) -> String {
    of.units.length(on_grid(mm))
}

/// A foot that projects beyond an end of its tube.
fn beyond(of: &TubeWithTabs, tab: &TabOnTube) -> Option<Finding> {
    let half = tab.foot.along / 2.0;
    let needed = tab.void.map(|void| half + void);
    let end = (0..2).find(|end| tab.from[*end] + ROUNDING < needed[*end])?;
    let over = match tab.void[end] > ROUNDING {
        true => "over the cope at the",
        false => "beyond the",
    };
    let headline = format!(
        "the foot of tab `{}`, {} long, projects {} {over} {} of tube `{}`",
        tab.part,
        show(of, tab.foot.along),
        show(of, needed[end] - tab.from[end]),
        of.ends[end],
        of.tube
    );
    let finding = Finding::stop(CODE, headline).about(About::part(tab.part)).at(tab.at, "");
    let help = move_to(of, tab, end, needed);
    Some(finding.note("`at` is to the centre of the foot").help(help))
}

/// What to type for a foot that needs so much, mm, from each end of its tube to its centre; too near to one.
fn move_to(of: &TubeWithTabs, tab: &TabOnTube, end: usize, needed: [f64; 2]) -> String {
    let long = tab.from[0] + tab.from[1];
    match (end == tab.end, long < needed[0] + needed[1]) {
        (_, true) => "the tube is too short for the foot: use another tab".to_owned(),
        (true, false) => format!("make `at` {} or more", of.units.taped_up(needed[end])),
        (false, false) => {
            format!("make `at` {} or less", of.units.rounded_down(long - needed[end], 1))
        }
    }
}

/// A foot with no room for its fillet and that round the cope beside it.
fn beside_cope(of: &TubeWithTabs, tab: &TabOnTube) -> Option<Finding> {
    let half = tab.foot.along / 2.0;
    let legs = tab.cope.map(|cope| if cope > 0.0 { cope + tab.foot.leg } else { 0.0 });
    let needed = [0, 1].map(|end| half + tab.void[end] + legs[end]);
    let end = (0..2).find(|end| tab.from[*end] + ROUNDING < needed[*end])?;
    let headline = format!(
        "tab `{}` is too close to the cope at the {} of tube `{}` to be welded: {} from cope to foot, but \
         the two fillets together need {}",
        tab.part,
        of.ends[end],
        of.tube,
        show(of, tab.from[end] - half - tab.void[end]),
        show(of, legs[end])
    );
    let finding = Finding::caution(CODE, headline).about(About::part(tab.part)).at(tab.at, "");
    let finding = finding
        .note("the fillet round the cope is assumed to have a leg equal to the wall thickness");
    Some(finding.help(move_to(of, tab, end, needed)))
}

/// Two tabs that are on each other, or too near for their welds; or in each other above their feet, and
/// whether they always are.
fn two(of: &TubeWithTabs, [one, other]: [&TabOnTube; 2], strike: Option<bool>) -> Option<Finding> {
    let near = Apart::new(
        of.outside,
        [(&one.foot, one.from[0], one.clock), (&other.foot, other.from[0], other.clock)],
    );
    let names = match one.part == other.part {
        true => format!("two tabs `{}`", one.part),
        false => format!("tabs `{}` and `{}`", one.part, other.part),
    };
    let finding = if near.overlap() {
        let headline = format!(
            "{names} overlap on tube `{}`: centre to centre their feet are {} apart along it and {} \
             round it",
            of.tube,
            show(of, near.centres[0]),
            show(of, near.centres[1])
        );
        Finding::stop(CODE, headline)
    } else if let Some(always) = strike {
        let finding = above(of, &names, always).about(About::part(one.part));
        return Some(
            finding.about(About::part(other.part)).at(other.at, "").at(one.at, "the other"),
        );
    } else if near.crowds_weld() {
        let headline = format!(
            "{names} are too close together to weld to tube `{}`: {} between their feet, but the two fillets together need {}",
            of.tube,
            show(of, near.gap()),
            show(of, near.legs)
        );
        Finding::caution(CODE, headline)
    } else {
        return None;
    };
    let along = of.units.taped_up(near.halves[0] + near.legs);
    let turned = (near.halves[1] + near.legs) / (of.outside / 2.0);
    let turned = (turned * 180.0 / num::PI).ceil();
    let round = match turned <= 180.0 {
        true => format!(", or {}° round it", num::text(turned, 0)),
        false => String::new(),
    };
    let finding = finding.about(About::part(one.part)).about(About::part(other.part));
    let finding = finding.at(other.at, "").at(one.at, "the other");
    Some(finding.help(format!("set them {along} apart along the tube, centre to centre{round}")))
}

/// Two tabs that are in each other above their feet, and whether they are whichever way round they are set.
fn above(of: &TubeWithTabs, names: &str, always: bool) -> Finding {
    let help = "set them further apart, or make the eye of one smaller";
    let headline = format!("{names} touch or overlap above their feet on tube `{}`", of.tube);
    if always {
        return Finding::stop(CODE, headline).help(help);
    }
    Finding::caution(CODE, format!("{headline} in one of the two ways they can be set"))
        .note("`tabs` does not say which way round a tab is set")
        .help(format!("{help}; or check which way round they go"))
}
