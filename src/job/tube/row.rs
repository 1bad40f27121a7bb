//! What the report says of the tubes.

use crate::cope;
use crate::cope::Cope;
use crate::job::Job;
use crate::job::lists;
use crate::job::report::rounded;
use crate::job::tube::CopedTube;
use crate::job::tube::ENDS;
use crate::job::tube::draw;
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
    ends: Vec<EndRow>,
    /// One sentence for the summary.
    pub words: String,
}

/// A coped end.
#[derive(Clone, Debug, Serialize)]
struct EndRow {
    end: &'static str,
    main_mm: f64,
    angle_deg: f64,
    offset_mm: f64,
    /// The node of the axes, beyond the long point along the tube: there the saw's axis stands.
    node_beyond_long_point_mm: f64,
    /// From the long point to the short one.
    depth_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    hole_saw: Option<SawRow>,
    files: [String; 2],
}

/// A hole saw.
#[derive(Clone, Debug, Serialize)]
struct SawRow {
    diameter_mm: f64,
    /// Left at the widest place, because no saw is of the main's diameter.
    gap_mm: f64,
}

/// The rows of a job's tubes. `saws` are the diameters of the hole saws at hand, mm.
pub(in crate::job) fn rows(job: &Job, saws: &[f64]) -> Vec<TubeRow> {
    job.tubes.iter().map(|tube| row(job, tube, saws)).collect()
}

fn row(job: &Job, tube: &CopedTube, saws: &[f64]) -> TubeRow {
    let ends = ENDS.iter().enumerate().filter_map(|(i, name)| {
        let cope = tube.ends[i].as_ref()?;
        let file = draw::file(tube, i);
        Some(EndRow {
            end: name,
            main_mm: rounded(cope.main()),
            angle_deg: rounded(cope.angle().degrees()),
            offset_mm: rounded(cope.offset()),
            node_beyond_long_point_mm: rounded(cope.long()),
            depth_mm: rounded(cope.short() - cope.long()),
            hole_saw: cope::saw(cope, saws.iter().copied())
                .map(|saw| SawRow { diameter_mm: rounded(saw.diameter), gap_mm: rounded(saw.gap) }),
            files: [format!("{file}.dxf"), format!("{file}.svg")],
        })
    });
    TubeRow {
        name: tube.name.clone(),
        quantity: tube.quantity,
        material: tube.material.as_ref().map(|row| row.name().to_owned()),
        outside_mm: rounded(tube.outside),
        wall_mm: rounded(tube.wall),
        axis_length_mm: rounded(tube.length),
        cut_length_mm: rounded(tube.cut_length()),
        short_length_mm: rounded(tube.short_length()),
        twist_deg: rounded(tube.twist.degrees()),
        mass_kg: tube.mass().map(rounded),
        ends: ends.collect(),
        words: words(job, tube, saws),
    }
}

/// A length for the shop: a tenth of a millimetre is what a tape and a saw can do.
fn show(job: &Job, mm: f64) -> String {
    job.units.length((mm * 10.0).round() / 10.0)
}

/// What is done to the ends of a tube, in words.
fn ends(job: &Job, tube: &CopedTube, saws: &[f64]) -> String {
    let show = |mm: f64| show(job, mm);
    let end = |(name, cope): (&&str, &Cope)| {
        let saw = match cope::saw(cope, saws.iter().copied()) {
            Some(saw) if saw.gap < 0.05 => format!("{} hole saw", show(saw.diameter)),
            Some(saw) => format!("{} hole saw, gap {}", show(saw.diameter), show(saw.gap)),
            None => "no hole saw".to_owned(),
        };
        let (angle, node) = (cope.angle(), show(cope.long()));
        format!("{name} {saw} at {angle}, axis {node} beyond the long point")
    };
    let coped = ENDS.iter().zip(&tube.ends).filter_map(|(n, c)| Some(end((n, c.as_ref()?))));
    let ends: Vec<String> = coped.collect();
    if ends.is_empty() { "square".into() } else { ends.join("; ") }
}

fn words(job: &Job, tube: &CopedTube, saws: &[f64]) -> String {
    format!(
        "{} of {}: {} × {}, cut {} long point to long point, {} short to short; {}",
        tube.quantity,
        tube.name,
        show(job, tube.outside),
        show(job, tube.wall),
        show(job, tube.cut_length()),
        show(job, tube.short_length()),
        ends(job, tube, saws),
    )
}

/// The tubes as rows of the list of tubes.
pub(in crate::job) fn list(job: &Job) -> Vec<lists::Tube> {
    let one = |tube: &CopedTube| lists::Tube {
        name: tube.name.clone(),
        section: lists::section(job, tube.outside, tube.wall, tube.material.as_deref()),
        quantity: tube.quantity,
        length: tube.cut_length(),
        ends: ends(job, tube, &job.hole_saws),
    };
    job.tubes.iter().map(one).collect()
}
