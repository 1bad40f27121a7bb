//! The points of a machine, which a job measures: by the rules of the points of a recipe.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Entry;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Table;
use crate::formula::Value;
use crate::recipe::entries;
use crate::recipe::names;
use crate::recipe::params::Params;
use crate::recipe::point::PointRule;
use crate::recipe::resolve::resolve;
use crate::recipe::surroundings::Surroundings;
use crate::recipe::whole::Recipe;
use crate::table::Tables;

/// The keys of a job that measure its points.
const KEYS: [&str; 2] = ["points", "tape"];

/// The values of the points that a job measures, all in space; `None` if something was reported.
pub(crate) fn machine_points(
    job: &Table,
    here: Span,
    tables: &Tables,
    findings: &Findings,
) -> Option<(Recipe, Params)> {
    let own = |name: &&str| Some(((*name).to_owned(), Entry::clone(job.get(name)?)));
    let table: Table = KEYS.iter().filter_map(own).collect();
    let found = Findings::default();
    let fields = Fields::new(&table, here, &found);
    let points = entries::of_fields("machine", &fields, &|_| None);
    fields.finish();
    names::check(&points, here.source, &table, &found);
    for (name, point) in points.points.iter().filter(|(name, _)| !points.is_in_space(name)) {
        // Of a point by coordinates the others are measured: those are right once it is.
        if matches!(point.rule, PointRule::At(_)) {
            found.add(in_a_drawing(name, point.span));
        }
    }
    let found = found.take();
    let read = found.is_empty();
    found.into_iter().for_each(|finding| findings.add(finding));
    if !read {
        return None;
    }
    match resolve(&points, &[], here, &Surroundings::default(), tables) {
        Ok(params) => {
            let drawn = |name: &&String| !matches!(params.get(name), Some(Value::Space(_)));
            for name in points.points.keys().filter(drawn) {
                findings.add(in_a_drawing(name, points.points[name].span));
            }
            Some((points, params))
        }
        Err(found) => {
            found.into_iter().for_each(|finding| findings.add(finding));
            None
        }
    }
}

fn in_a_drawing(name: &str, at: Span) -> Finding {
    Finding::stop(
        "points",
        format!("`{name}` is a point of a machine, which has three coordinates"),
    )
    .at(at, "")
    .help("write `[\"x\", \"y\", \"z\"]`, or measure it from points in space")
}
