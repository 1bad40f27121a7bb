//! The feet of the tabs on the tubes of a job.

use crate::check::TabOnTube;
use crate::check::TubeWithTabs;
use crate::check::tab_places;
use crate::diag::Finding;
use crate::diag::Span;
use crate::fit;
use crate::fit::Foot;
use crate::fit::Tab;
use crate::formula::Value;
use crate::geom::Frame;
use crate::geom::cross;
use crate::geom::plus;
use crate::geom::times;
use crate::job::CopedTube;
use crate::job::ENDS;
use crate::job::Job;
use crate::job::TubeEnd;
use crate::machine;
use crate::machine::Convex;
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

/// A tab, and its metal each way round that it may be set, the tube along x from its start; none where that is
/// not known.
type Set<'a> = (TabOnTube<'a>, Vec<Vec<Convex>>);

/// The findings on the places of tabs, tube by tube.
pub(super) fn findings<'a>(
    job: &Job,
    solved: &[Solved],
    ends: impl Iterator<Item = (&'a TubeEnd, &'a CopedTube)>,
) -> Vec<Finding> {
    let mut tubes: Vec<(&str, f64, Vec<Set>)> = Vec::new();
    for (end, tube) in ends {
        let own = tabs(job, solved, (end, tube));
        match tubes.iter_mut().find(|of| of.0 == end.tube) {
            Some(of) => of.2.extend(own),
            None => tubes.push((&end.tube, tube.outside, own)),
        }
    }
    let of = |(tube, outside, own): (&'a str, f64, Vec<Set<'a>>)| {
        let (tabs, metal): (Vec<TabOnTube>, Vec<_>) = own.into_iter().unzip();
        let strikes = strikes(&metal);
        tab_places(&TubeWithTabs { tube, outside, ends: ENDS, tabs, strikes, units: job.units })
    };
    tubes.into_iter().flat_map(of).collect()
}

/// Which two tabs are in each other, and whether they are whichever way round they are set.
fn strikes(metal: &[Vec<Vec<Convex>>]) -> Vec<([usize; 2], bool)> {
    let meet = |one: &Vec<Convex>, other: &Vec<Convex>| {
        machine::nearest(one, other, 0.0).is_some_and(|near| near.distance <= 0.0)
    };
    let mut found = Vec::new();
    for (j, other) in metal.iter().enumerate() {
        for (i, one) in metal[..j].iter().enumerate() {
            let ways = one.iter().flat_map(|one| other.iter().map(move |other| meet(one, other)));
            let ways: Vec<bool> = ways.collect();
            if ways.iter().any(|meet| *meet) {
                found.push(([i, j], ways.iter().all(|meet| *meet)));
            }
        }
    }
    found
}

fn tabs<'a>(job: &Job, solved: &[Solved], (end, tube): (&'a TubeEnd, &CopedTube)) -> Vec<Set<'a>> {
    let long = tube.cut_length();
    let one = |(tab, at): &'a (Tab, Span)| {
        let of = solved.iter().find(|of| job.lines[of.line].name == tab.part)?;
        let (rest, foot) = (long - tab.at, Foot::of(&of.part, across(of)));
        let from = if end.end == 0 { [tab.at, rest] } else { [rest, tab.at] };
        // The leg of the fillet round a cope is assumed to equal the wall thickness.
        let cope = [0, 1].map(|end| if tube.ends[end].is_some() { tube.wall } else { 0.0 });
        let set = TabOnTube {
            part: &tab.part,
            at: *at,
            from,
            end: end.end,
            void: [0, 1].map(|end| void(tube, end, tab.clock, &foot)),
            cope,
            clock: tab.clock,
            foot,
        };
        Some((set, metal(of, (from[0], tab.clock), tube.outside)))
    };
    end.tabs.iter().filter_map(one).collect()
}

/// The metal of a tab at a place on its tube, each way round that it may be set: face about, and, where it
/// leans, to either end.
fn metal(of: &Solved, (at, clock): (f64, Angle), outside: f64) -> Vec<Vec<Convex>> {
    let (Some(place), [face]) = (fit::standing(&of.part), of.part.faces.as_slice()) else {
        return Vec::new();
    };
    let along = [1.0, 0.0, 0.0];
    let out = [0.0, clock.cos(), clock.sin()];
    let round = cross(along, out);
    let origin = plus(times(along, at), times(out, outside / 2.0));
    let half = of.part.thickness / 2.0;
    let way = |way: f64| {
        let (x, y) = match across(of) {
            None => (times(along, way), out),
            Some(lean) => {
                (times(round, way), plus(times(out, lean.sin()), times(along, way * lean.cos())))
            }
        };
        let frame = Frame { origin, x, y, z: cross(x, y) }.within(&Frame::of(&place));
        machine::plate(&face.blank, &frame, [-half, half])
    };
    [1.0, -1.0].map(way).to_vec()
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
