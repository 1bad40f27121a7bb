//! The feet of the tabs on the tubes of a job.

use crate::check::TabOnTube;
use crate::check::TubeWithTabs;
use crate::check::tab_places;
use crate::diag::Finding;
use crate::diag::Span;
use crate::fit::Foot;
use crate::fit::Tab;
use crate::formula::Value;
use crate::job::CopedTube;
use crate::job::ENDS;
use crate::job::Job;
use crate::job::TubeEnd;
use crate::num::Angle;
use crate::solve::solved::Solved;

/// The outside diameter of the tube that the foot of a tab is cut for, mm: its input `tube`. A flat
/// foot has `None`.
pub(super) fn cut_for(of: &Solved) -> Option<f64> {
    match of.params.get("tube")? {
        Value::Quantity(quantity) => Some(quantity.value).filter(|outside| *outside > 0.0),
        Value::Row(row) => row.quantity("outside").map(|outside| outside.value),
        _ => None,
    }
}

/// At what angle a tab is set across its tube, where its foot is cut for one: its input `angle`.
pub(super) fn across(of: &Solved) -> Option<Angle> {
    cut_for(of)?;
    Some(match of.params.get("angle") {
        Some(Value::Quantity(quantity)) => Angle::from_degrees(quantity.value),
        _ => Angle::QUARTER,
    })
}

/// The findings on the places of tabs, tube by tube.
pub(super) fn findings<'a>(
    job: &Job,
    solved: &[Solved],
    ends: impl Iterator<Item = (&'a TubeEnd, &'a CopedTube)>,
) -> Vec<Finding> {
    let mut tubes: Vec<TubeWithTabs> = Vec::new();
    for (end, tube) in ends {
        let own = tabs(job, solved, (end, tube));
        match tubes.iter_mut().find(|of| of.tube == end.tube) {
            Some(of) => of.tabs.extend(own),
            None => tubes.push(TubeWithTabs {
                tube: &end.tube,
                outside: tube.outside,
                ends: ENDS,
                tabs: own,
                units: job.units,
            }),
        }
    }
    tubes.iter().flat_map(tab_places).collect()
}

fn tabs<'a>(
    job: &Job,
    solved: &[Solved],
    (end, tube): (&'a TubeEnd, &CopedTube),
) -> Vec<TabOnTube<'a>> {
    let long = tube.cut_length();
    let one = |(tab, at): &'a (Tab, Span)| {
        let of = solved.iter().find(|of| job.lines[of.line].name == tab.part)?;
        let (rest, foot) = (long - tab.at, Foot::of(&of.part, across(of)));
        Some(TabOnTube {
            part: &tab.part,
            at: *at,
            from: if end.end == 0 { [tab.at, rest] } else { [rest, tab.at] },
            end: end.end,
            void: [0, 1].map(|end| void(tube, end, tab.clock, &foot)),
            clock: tab.clock,
            foot,
        })
    };
    end.tabs.iter().filter_map(one).collect()
}

/// Places that are looked at under the width of a foot. Our choice.
const PLACES: u32 = 33;

/// How far an end of a tube is cut away beyond its long point under a foot at a clock angle, mm; 0 where it
/// is square.
///
/// Round the start, φ of its cope is the clock angle; round the far end it counts the other way, from a heel
/// that is at the twist.
fn void(tube: &CopedTube, end: usize, clock: Angle, foot: &Foot) -> f64 {
    let Some(cope) = &tube.ends[end] else { return 0.0 };
    let clock = clock.degrees();
    let centre = if end == 0 { clock } else { tube.twist.degrees() - clock };
    let half = foot.half_round(tube.outside).degrees();
    let place = |i: u32| centre + half * (2.0 * f64::from(i) / f64::from(PLACES - 1) - 1.0);
    let metal = (0..PLACES).map(|i| cope.line(Angle::from_degrees(place(i))));
    metal.fold(f64::NEG_INFINITY, f64::max) - cope.long()
}
