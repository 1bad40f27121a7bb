//! `[[joint]]` of a job: its bolted joints, no two of one name, each of parts that are there.

use crate::diag::Finding;
use crate::diag::instead;
use crate::document::Fields;
use crate::entry;
use crate::job::asked::Line;
use crate::joint;
use crate::joint::Joint;
use crate::joint::Joints;
use crate::joint::What;
use crate::table::Tables;
use std::sync::Arc;

/// Reads all joints.
pub(super) fn read(fields: &Fields, lines: &[Line], tables: &Tables) -> Joints {
    if !fields.has("joint") {
        return Joints::default();
    }
    let findings = fields.findings();
    // If a part cannot be read, its name may be the missing one.
    let complete = findings.is_empty();
    let items = fields.list("joint").iter();
    let all: Vec<Joint> = items.filter_map(|i| joint::read(i, tables, findings)).collect();
    let named = all.iter().map(|joint| (joint.name.as_str(), joint.here));
    entry::names_differ("joints", named, findings);
    let layers = all.iter().flat_map(|joint| &joint.stack);
    for layer in layers.filter(|_| complete) {
        let What::Hole { part, .. } = &layer.what else { continue };
        // Of a recipe of several plates each has the name of the line and its own behind it.
        if lines.iter().any(|line| part.starts_with(&line.name)) {
            continue;
        }
        let names: Vec<&str> = lines.iter().map(|line| line.name.as_str()).collect();
        let finding = Finding::stop("unknown-part", format!("there is no part `{part}` to join"));
        let help = match names.is_empty() {
            true => "add a `[[part]]` with this name".to_owned(),
            false => instead(part, &names, "parts are"),
        };
        findings.add(finding.at(layer.at, "").help(help));
    }
    Joints { all: all.into_iter().map(Arc::new).collect(), tables: Arc::new(tables.clone()) }
}
