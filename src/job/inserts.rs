//! What goes into the end of a tube: a bung or a stub.

use crate::diag::Finding;
use crate::document::Fields;
use crate::document::Item;
use crate::entry;
use crate::job::tube::CopedTube;
use crate::job::tube_end::Inside;
use crate::job::tube_end::Stub;
use crate::table::Tables;

/// `bung`, a row of that table, or `stub`, a tube of the job that `tube_of` finds; `depth` is how far a stub
/// goes in.
pub(super) fn inside<'a>(
    fields: &Fields,
    tables: &Tables,
    tube_of: &dyn Fn(&Item) -> Option<&'a CopedTube>,
) -> Option<Inside> {
    let findings = fields.findings();
    let refuse = |item: &Item, headline: String, help: &str| {
        findings.add(Finding::stop("tube-end", headline).at(item.letters, "").help(help));
        None
    };
    if let (Some(_), Some(stub)) = (fields.get("bung"), fields.get("stub")) {
        let headline = "either a bung or a stub goes into a tube".to_owned();
        return refuse(stub, headline, "remove `bung` or `stub`");
    }
    let depth = fields.get("depth");
    if let Some(depth) = depth.filter(|_| !fields.has("stub")) {
        let headline = "`depth` is how far a stub goes in, but no stub is named".to_owned();
        return refuse(depth, headline, "add `stub = \"spigot\"`, or remove `depth`");
    }
    if let Some(item) = fields.get("bung") {
        let row = entry::row(item, "bung", tables, findings)?;
        let (words, outside) = (format!("bung {}", row.name()), row.measure("spigot"));
        return Some(Inside { words, outside, bung: Some(row), stub: None, at: item.letters });
    }
    let item = fields.get("stub")?;
    let tube = tube_of(item)?;
    if fields.get("tube").and_then(Item::text) == Some(tube.name.as_str()) {
        let headline = format!("tube `{}` cannot be a stub in its own end", tube.name);
        return refuse(item, headline, "name another tube, which goes into this one");
    }
    let depth = match depth {
        None => None,
        Some(item) => {
            Some((entry::size(item, "write a length of more than 0", findings)?, item.letters))
        }
    };
    let stub = Some(Stub { tube: tube.name.clone(), depth });
    let words = format!("stub {}", tube.name);
    Some(Inside { words, outside: tube.outside, bung: None, stub, at: item.letters })
}
