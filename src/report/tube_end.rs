//! Rows of the report on the ends of tubes.

use crate::draw;
use crate::job::ENDS;
use crate::job::Job;
use crate::num::on_grid;
use crate::solve;
use crate::solve::PerDegree;
use crate::solve::Solved;
use crate::solve::TubeEnd;
use serde::Serialize;

/// The end of a tube with everything that belongs to it.
#[derive(Clone, Debug, Serialize)]
pub struct TubeEndRow {
    /// The tube.
    pub tube: String,
    /// `start` or `end`.
    pub end: &'static str,
    /// The cap.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cap: Option<CapRow>,
    /// The plates beside it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cheeks: Option<CheeksRow>,
    /// The insert.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub inside: Option<InsideRow>,
    /// The tabs round it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub tabs: Vec<TabRow>,
    /// The strip that is wrapped round it, where it has tabs.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub files: Vec<String>,
}

/// A cap.
#[derive(Clone, Debug, Serialize)]
pub struct CapRow {
    /// Its part.
    pub part: String,
    /// The deduction for it from the cut length of the tube: `None` if it sits inside.
    pub cut_allowance_mm: f64,
    /// Whether it sits inside.
    pub is_inside: bool,
    /// How much of the wall is under it, as drawn and in the worst case.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub landing_mm: Option<[f64; 2]>,
    /// Whether its weld is ground flush.
    pub ground: bool,
    /// The nut it captures.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub nut: Option<String>,
}

/// The plates on both sides.
#[derive(Clone, Debug, Serialize)]
pub struct CheeksRow {
    /// Their part.
    pub part: String,
    /// Required distance between the bare plates, and that for the widest tube.
    pub gap_mm: [f64; 2],
    /// The distance set in the job.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub set_mm: Option<f64>,
}

/// The insert.
#[derive(Clone, Debug, Serialize)]
pub struct InsideRow {
    /// `bung M10x1.5`, `stub spigot`.
    pub what: String,
    /// How far a stub goes in, where the job says.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub depth_mm: Option<f64>,
    /// Clearance on diameter, as drawn and in the smallest bore.
    pub clearance_mm: [f64; 2],
}

/// A tab.
#[derive(Clone, Debug, Serialize)]
pub struct TabRow {
    /// Its part.
    pub part: String,
    /// From the end of the tube, as cut.
    pub at_mm: f64,
    /// Clockwise from the heel line, seen from the start of the tube.
    pub clock_deg: f64,
    /// How it is set with a level, with the heel line uppermost.
    pub level: String,
    /// By how much an error of its angle moves its places.
    pub per_degree: Vec<PerDegreeRow>,
}

/// A place of a tab, and the effect of an error of its angle there.
#[derive(Clone, Debug, Serialize)]
pub struct PerDegreeRow {
    /// Which place, in words.
    pub at: String,
    /// How far out from the tube.
    pub out_mm: f64,
    /// For each degree of error.
    pub off_mm: f64,
}

/// The rows of a job.
pub(crate) fn rows(job: &Job, solved: &[Solved]) -> Vec<TubeEndRow> {
    solve::tube_ends(job, solved).iter().map(row).collect()
}

fn row(end: &TubeEnd) -> TubeEndRow {
    let cap = end.asked.cap.as_ref().zip(end.fit.cap.as_ref()).map(|(asked, cap)| CapRow {
        part: asked.part.clone(),
        cut_allowance_mm: on_grid(asked.off),
        is_inside: cap.is_inside,
        landing_mm: end.fit.landing().map(|both| both.map(on_grid)),
        ground: cap.ground,
        nut: cap.nut.clone(),
    });
    let cheeks = end.asked.cheeks.as_ref().zip(end.fit.gap()).map(|(asked, gap)| CheeksRow {
        part: asked.part.clone(),
        gap_mm: gap.map(on_grid),
        set_mm: end.legs.or(asked.gap.map(|(gap, _)| gap)).map(on_grid),
    });
    let inside = end.asked.inside.as_ref().zip(end.fit.clear());
    let moved = |of: &PerDegree| PerDegreeRow {
        at: of.spot.words(),
        out_mm: on_grid(of.out),
        off_mm: on_grid(of.off),
    };
    let tabs = end.asked.tabs.iter().zip(end.per_degree.iter().zip(&end.levels));
    let tabs = tabs.map(|((tab, _), (per_degree, level))| TabRow {
        part: tab.part.clone(),
        at_mm: on_grid(tab.at),
        clock_deg: on_grid(tab.clock.degrees()),
        level: level.clone(),
        per_degree: per_degree.iter().map(moved).collect(),
    });
    let strip = draw::clock_file(end.asked);
    TubeEndRow {
        tube: end.tube.name.clone(),
        end: ENDS[end.asked.end],
        cap,
        cheeks,
        inside: inside.map(|(inside, clear)| InsideRow {
            what: inside.words.clone(),
            depth_mm: inside.depth().map(on_grid),
            clearance_mm: clear.map(on_grid),
        }),
        tabs: tabs.collect(),
        files: match end.asked.tabs.is_empty() {
            true => Vec::new(),
            false => vec![format!("{strip}.dxf"), format!("{strip}.svg")],
        },
    }
}
