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
    /// How lengths are printed.
    pub(crate) units: Units,
}

/// Tabs that are on each other, too near for their welds, or beyond an end of their tube.
pub(crate) fn tab_places(of: &TubeWithTabs) -> Vec<Finding> {
    let mut found: Vec<Finding> = of.tabs.iter().filter_map(|tab| beyond(of, tab)).collect();
    for (i, one) in of.tabs.iter().enumerate() {
        found.extend(of.tabs[..i].iter().filter_map(|before| two(of, [before, one])));
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
    let long = tab.from[0] + tab.from[1];
    let help = match (end == tab.end, long < needed[0] + needed[1]) {
        (_, true) => "the tube is shorter than the foot: use another tab".to_owned(),
        (true, false) => format!("make `at` {} or more", of.units.taped_up(needed[end])),
        (false, false) => {
            format!("make `at` {} or less", of.units.rounded_down(long - needed[end], 1))
        }
    };
    Some(finding.note("`at` is to the centre of the foot").help(help))
}

/// Two tabs that are on each other, or too near for their welds.
fn two(of: &TubeWithTabs, [one, other]: [&TabOnTube; 2]) -> Option<Finding> {
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
    } else if near.crowds_weld() {
        let headline = format!(
            "{names} are too close to weld on tube `{}`: {} between their feet, {} for both fillets",
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
