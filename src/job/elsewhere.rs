//! Parts from jobs of other folders, where recipes and tables of the same names may be others.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Item;
use crate::document::Value;
use crate::job::asked::Shelf;
use crate::recipe::SHIPPED;
use std::path::Component;
use std::path::Path;
use std::path::PathBuf;

/// Tables of the sheet, the cut and the coating, which are those of the job at hand in any case.
const OF_THIS_JOB: &[&str] = &["coating", "material", "process"];

/// A file that is named in another, as the job at hand would name it.
pub(super) fn beside(file: &str, named: &str) -> String {
    let folder = Path::new(file).parent().unwrap_or(Path::new(""));
    let path = folder.join(named);
    let plain: PathBuf = path.components().filter(|c| *c != Component::CurDir).collect();
    plain.display().to_string()
}

/// Why a part of the job `file` would be another one here: its recipe, or a table, is another
/// beside that file than beside the job at hand. Nothing where both lie in one folder.
pub(super) fn differs(shelf: &Shelf, file: &str, part: &Item, from: &Item) -> Option<Finding> {
    let folder = Path::new(file).parent().filter(|folder| !folder.as_os_str().is_empty())?;
    let there = |name: &str| {
        let path = folder.join(name).display().to_string();
        (shelf.file)(&path).filter(|(_, text)| path != file && !text.is_empty())
    };
    let another_recipe = || {
        let Value::Table(table) = &part.value else { return None };
        let recipe = &table.get("recipe")?.item;
        let name = recipe.text()?;
        let own = ["recipes/", ""].iter().find_map(|within| there(&format!("{within}{name}.toml")));
        let place = match own {
            Some((path, _)) => path,
            None => {
                let (path, text) = (shelf.recipe)(name)?;
                let is_shipped =
                    |(shipped, words): &(&str, &str)| *shipped == name && *words == text;
                (!SHIPPED.iter().any(is_shipped)).then_some(path)?
            }
        };
        Some(refused(&format!("recipe `{name}`"), &place, recipe.letters, from))
    };
    let another_table = || {
        let names = shelf.tables.names().filter(|name| !OF_THIS_JOB.contains(name));
        let mut both = names.map(|name| {
            let file = format!("tables/{name}.csv");
            (name, there(&file), (shelf.file)(&file))
        });
        both.find_map(|(name, there, here)| {
            let text = |found: &Option<(String, String)>| found.as_ref().map(|(_, t)| t.clone());
            let (path, _) = there.clone().or_else(|| here.clone())?;
            let differ = text(&there) != text(&here);
            differ.then(|| refused(&format!("table `{name}`"), &path, part.span, from))
        })
    };
    another_recipe().or_else(another_table)
}

/// `what` is in `place`, which only one of the two jobs reads.
fn refused(what: &str, place: &str, used: Span, from: &Item) -> Finding {
    let headline = format!("{what} of this part is not the same for both jobs: {place}");
    Finding::stop("other-folder", headline)
        .at(from.letters, "")
        .at(used, "used here")
        .note("a job takes recipes and tables from its own folder, else the shipped ones")
        .help("put both jobs in one folder with it, or write the part here with its own `recipe`")
}
