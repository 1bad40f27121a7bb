//! The values a line is resolved with: its own, those of its link, its sheet.

use crate::check::Near;
use crate::diag::Finding;
use crate::document::Entry;
use crate::fit::Strip;
use crate::formula;
use crate::job::Job;
use crate::job::Line;
use crate::link::End;
use crate::quantity::MM_PER_INCH;
use crate::quantity::Units;
use crate::recipe::Input;
use crate::recipe::Kind;
use crate::recipe::Recipe;
use crate::recipe::Surroundings;
use crate::table::Tables;

/// The values of a line: those given, and those that come from its link.
pub(crate) fn given<'a>(
    job: &'a Job,
    line: &'a Line,
    recipe: &'a Recipe,
) -> Result<Vec<(&'a str, &'a Entry)>, Vec<Finding>> {
    let mut given: Vec<(&str, &Entry)> =
        line.given.iter().map(|(name, entry)| (name.as_str(), entry)).collect();
    let Some(held) = &line.held else { return Ok(given) };
    let end: &End = &job.links[held.link].ends[held.end];
    let takes = |(_, input): &(&String, &Input)| input.kind == Kind::Row("rod-end".to_owned());
    let Some((input, _)) = recipe.inputs.iter().find(takes) else {
        let headline = format!("recipe `{}` has no input for a rod end", recipe.name);
        return Err(vec![
            Finding::stop("link", headline)
                .at(held.span, "")
                .help("remove `link`, or choose a clevis"),
        ]);
    };
    if let Some((_, entry)) = given.iter().find(|(name, _)| name == input) {
        let headline = format!("`{input}` comes from the link and is also given here");
        return Err(vec![
            Finding::stop("link", headline)
                .at(entry.key, "")
                .at(end.rod_end_entry.item.span, "from the link")
                .help("remove one of them"),
        ]);
    }
    given.push((input, &end.rod_end_entry));
    let spacer = recipe.inputs.get_key_value("spacer");
    let own = line.given.iter().any(|(name, _)| name == "spacer");
    if let (Some((name, _)), Some(entry), false) = (spacer, &end.spacer_entry, own) {
        given.push((name, entry));
    }
    Ok(given)
}

/// The tube and nut behind the rod end of a line, if it is that of a link: its jam nut, and the
/// wider of tube and bung.
pub(crate) fn tail(job: &Job, line: &Line) -> Vec<Strip> {
    let Some(held) = &line.held else { return Vec::new() };
    let link = &job.links[held.link];
    let end: &End = &link.ends[held.end];
    let nut = Strip {
        from: end.stands_out() - end.jam_nut.measure("height"),
        radius: end.jam_nut.measure("corners") / 2.0,
    };
    let tube = Strip { from: end.stands_out(), radius: link.tube.measure("outside") / 2.0 };
    vec![nut, tube]
}

/// Refuses a setting for a face that the recipe does not have: it would have no effect.
pub(crate) fn beside_faces(line: &Line, recipe: &Recipe) -> Result<(), Vec<Finding>> {
    let unknown = |near: &Near| {
        let (face, span) = near.face.as_ref()?;
        recipe.no_face(face, *span)
    };
    let findings: Vec<Finding> = line.near.iter().filter_map(unknown).collect();
    if findings.is_empty() { Ok(()) } else { Err(findings) }
}

/// The step to which default sizes are rounded, mm: a shop measures in these steps. Our choice.
const fn size_step(units: Units) -> f64 {
    match units {
        Units::Millimetre => 1.0,
        Units::Inch => MM_PER_INCH / 16.0,
    }
}

/// The names that recipes may use without declaring them. `radius` is the inside radius of bends of
/// the line's sheet, mm, where it was measured; else the radius that its metal prefers, and one
/// thickness or more.
pub(crate) fn surroundings(
    job: &Job,
    line: &Line,
    radius: Option<f64>,
    tables: &Tables,
) -> Surroundings {
    let sheet = &job.sheets[line.sheet];
    let of_part = &job.sheets[line.part_sheet.unwrap_or(line.sheet)];
    let preferred = || {
        let limits = tables.radius_limits(&sheet.material, sheet.thickness);
        limits.map_or(0.0, |limits| limits.clear()).max(sheet.thickness)
    };
    let radius = sheet.bend_radius.or(radius).unwrap_or_else(preferred);
    let values = [
        ("thickness", formula::Value::length(sheet.thickness)),
        ("part_thickness", formula::Value::length(of_part.thickness)),
        ("material", formula::Value::Row(sheet.material.clone())),
        ("bend_radius", formula::Value::length(radius)),
        ("coating", formula::Value::length(job.coating_of(line).film)),
        ("size_step", formula::Value::length(size_step(job.units))),
    ];
    Surroundings::from(values).in_units(job.units).cut_by(&job.process)
}
