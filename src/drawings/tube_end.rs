//! The tube end of a part, in its drawing.

use crate::bill;
use crate::job::ENDS;
use crate::job::Job;
use crate::num;
use crate::num::on_grid;
use crate::solve;
use crate::solve::Solved;
use crate::solve::TubeEnd;

/// A line for each end of a tube at which the part is a cap, a cheek or a tab.
pub(super) fn lines(job: &Job, all: &[Solved], solved: &Solved) -> Vec<String> {
    let name = &job.lines[solved.line].name;
    let ends = solve::tube_ends(job, all);
    ends.iter().flat_map(|end| line(job, end, (name, solve::pieces(job, solved)))).collect()
}

/// How many of the pieces of a tab are welded on at one place of all tubes, where there are more.
fn some_of(here: u32, pieces: u32) -> String {
    if here < pieces { format!("; {here} of the {pieces} pieces") } else { String::new() }
}

fn line(job: &Job, end: &TubeEnd, (part, pieces): (&str, u32)) -> Vec<String> {
    let (asked, fit) = (end.asked, &end.fit);
    let show = |mm: f64| job.units.length(on_grid(mm));
    let which = ENDS[asked.end];
    let of = format!("the {which} of tube {}", end.tube.name);
    let is = |other: &str| other == part;
    let mut lines = Vec::new();
    if let Some((own, cap)) = asked.cap.as_ref().zip(fit.cap.as_ref()).filter(|(c, _)| is(&c.part))
    {
        let ground = if cap.ground { ", weld ground flush" } else { "" };
        let cut = match own.off > 0.0 {
            true => format!("the tube is cut {} shorter for it", show(own.off)),
            false => "the tube is not cut shorter for it".to_owned(),
        };
        lines.push(format!("Cap for {of}{ground}; {cut}."));
    }
    if let Some((own, apart)) = asked.cheeks.as_ref().zip(end.apart()).filter(|(c, _)| is(&c.part))
    {
        let lap = own.lap.map_or_else(String::new, |(lap, _)| {
            format!("; overlap {}, from the {which} of the tube as cut", show(lap))
        });
        lines.push(match end.legs {
            Some(legs) => format!("Over {of}: {} between legs, before coating{lap}.", show(legs)),
            None => format!(
                "One each side of {of}: {} between plates, before coating{lap}.",
                show(apart)
            ),
        });
    }
    for (tab, _) in asked.tabs.iter().filter(|(tab, _)| is(&tab.part)) {
        let clock = num::text(tab.clock.degrees(), 1);
        let at = show(tab.at);
        let from_cap = bill::from_cap(job, end, tab.at);
        lines.push(format!(
            "Tab on tube {}: {at} from its {which}{from_cap}, {clock}° from the heel line, clockwise seen from the \
             start{}.",
            end.tube.name,
            some_of(end.tube.quantity, pieces)
        ));
    }
    lines
}
