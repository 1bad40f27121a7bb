//! Rows of the report on the tubes.

use crate::bill;
use crate::cope;
use crate::draw;
use crate::job::CopedTube;
use crate::job::ENDS;
use crate::job::Job;
use crate::num::on_grid;
use crate::solve;
use crate::solve::Slot;
use crate::solve::Solved;
use serde::Serialize;

/// A tube cut to length.
#[derive(Clone, Debug, Serialize)]
pub struct TubeRow {
    /// Its name.
    pub name: String,
    quantity: u32,
    #[serde(skip_serializing_if = "Option::is_none")]
    material: Option<String>,
    outside_mm: f64,
    wall_mm: f64,
    axis_length_mm: f64,
    cut_length_mm: f64,
    short_length_mm: f64,
    twist_deg: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    mass_kg: Option<f64>,
    pub(crate) ends: Vec<EndRow>,
    /// One sentence for the summary.
    pub words: String,
}

/// A coped end.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct EndRow {
    pub(crate) end: &'static str,
    main_mm: f64,
    angle_deg: f64,
    offset_mm: f64,
    /// The node of the axes, beyond the long point along the tube: the axis of the saw is there.
    node_beyond_long_point_mm: f64,
    /// From the long point to the short one.
    depth_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    hole_saw: Option<SawRow>,
    pub(crate) files: [String; 2],
}

/// A hole saw.
#[derive(Clone, Debug, Serialize)]
struct SawRow {
    diameter_mm: f64,
    /// Left at the widest place, because no saw is of the main's diameter.
    gap_mm: f64,
}

/// The rows of a job's tubes. `saws` are the diameters of the hole saws at hand, mm.
pub(crate) fn rows(job: &Job, solved: &[Solved], saws: &[f64]) -> Vec<TubeRow> {
    let slots = solve::slots(job, solved);
    job.made_tubes().map(|tube| row(job, tube, (saws, &slots))).collect()
}

fn row(job: &Job, tube: &CopedTube, (saws, slots): (&[f64], &[Slot])) -> TubeRow {
    let ends = ENDS.iter().enumerate().filter_map(|(i, name)| {
        let cope = tube.ends[i].as_ref()?;
        let file = draw::wrap_file(tube, i);
        Some(EndRow {
            end: name,
            main_mm: on_grid(cope.main()),
            angle_deg: on_grid(cope.angle().degrees()),
            offset_mm: on_grid(cope.offset()),
            node_beyond_long_point_mm: on_grid(cope.long()),
            depth_mm: on_grid(cope.short() - cope.long()),
            hole_saw: cope::saw(cope, saws.iter().copied())
                .map(|saw| SawRow { diameter_mm: on_grid(saw.diameter), gap_mm: on_grid(saw.gap) }),
            files: [format!("{file}.dxf"), format!("{file}.svg")],
        })
    });
    TubeRow {
        name: tube.name.clone(),
        quantity: tube.quantity,
        material: tube.material.as_ref().map(|row| row.name().to_owned()),
        outside_mm: on_grid(tube.outside),
        wall_mm: on_grid(tube.wall),
        axis_length_mm: on_grid(tube.length),
        cut_length_mm: on_grid(tube.cut_length()),
        short_length_mm: on_grid(tube.short_length()),
        twist_deg: on_grid(tube.twist.degrees()),
        mass_kg: tube.mass().map(on_grid),
        ends: ends.collect(),
        words: words(job, tube, (saws, slots)),
    }
}

fn words(job: &Job, tube: &CopedTube, work: (&[f64], &[Slot])) -> String {
    let other = tube.other_side_of.as_ref();
    let side = other.map_or_else(String::new, |of| format!(" (other side of {of})"));
    format!(
        "{}{side}, qty {}: {} × {}, cut {} long point to long point, {} short to short; {}",
        tube.name,
        tube.quantity,
        job.units.cut_to(tube.outside),
        job.units.cut_to(tube.wall),
        job.units.cut_to(tube.cut_length()),
        job.units.cut_to(tube.short_length()),
        bill::ends(job, tube, work),
    )
}
