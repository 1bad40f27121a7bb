//! A name that is changed in a job, with everything that refers to it: comments and everything else
//! stay.

mod points;
mod renaming;

use crate::serve::renamed::renaming::Renaming;
use crate::serve::renamed::renaming::each;
use crate::serve::renamed::renaming::each_in;
use crate::serve::renamed::renaming::put;
use crate::serve::text::as_before;
use crate::serve::text::open;
use std::collections::BTreeSet;
use toml_edit::Array;
use toml_edit::DocumentMut;
use toml_edit::Item;
use toml_edit::TableLike;
use toml_edit::Value;

/// An item with a name that others refer to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Named {
    Sheet,
    Part,
    Link,
    Tube,
    Obstacle,
    /// A point of the machine.
    Point,
}

/// The lists whose entries are in the machine.
const BODIES: [&str; 5] = ["part", "family", "link", "tube", "obstacle"];

/// The lists whose entries are parts.
const PARTS: [&str; 2] = ["part", "family"];

/// A text in which every reference to one name is changed to another. The name itself is changed by
/// the caller, who has its position.
///
/// # Errors
/// When the text cannot be read.
pub(super) fn renamed(text: &str, what: Named, from: &str, to: &str) -> Result<String, String> {
    let mut document = open(text)?;
    let aliases = aliases(&document, from);
    let mut renaming = Renaming { from, to, aliases, used: BTreeSet::new() };
    match what {
        Named::Sheet => renaming.sheet(&mut document),
        Named::Part => renaming.part(&mut document),
        Named::Link => {
            for kind in PARTS.into_iter().chain(["load"]) {
                each(&mut document, kind, &mut |of| renaming.key(of, "link"));
            }
            renaming.tube_ends(&mut document);
        }
        Named::Tube => {
            renaming.body(&mut document);
            renaming.tube_ends(&mut document);
        }
        Named::Obstacle => renaming.body(&mut document),
        Named::Point => points::renamed(&mut renaming, &mut document),
    }
    if !matches!(what, Named::Sheet | Named::Point) {
        for kind in BODIES {
            each(&mut document, kind, &mut |of| renaming.key(of, "touches"));
            each(&mut document, kind, &mut |of| renaming.key(of, "through"));
        }
    }
    renaming.names(&mut document);
    let text = as_before(text, &document);
    if what == Named::Point { points::with_key(&text, from, to) } else { Ok(text) }
}

/// The entries of `[names]` that are aliases of a name.
fn aliases(document: &DocumentMut, from: &str) -> BTreeSet<String> {
    let table = document.get("names").and_then(Item::as_table_like);
    let all = table.into_iter().flat_map(TableLike::iter);
    all.filter(|(_, item)| item.as_str() == Some(from)).map(|(name, _)| name.to_owned()).collect()
}

impl Renaming<'_> {
    fn sheet(&mut self, document: &mut DocumentMut) {
        for kind in PARTS {
            each(document, kind, &mut |of| {
                self.key(of, "sheet");
                self.key(of, "sheets");
                let open = of.get_mut("open").and_then(Item::as_table_like_mut);
                open.into_iter().for_each(|open| self.key(open, "sheet"));
            });
        }
    }

    fn part(&mut self, document: &mut DocumentMut) {
        for kind in ["load", "as_built"] {
            each(document, kind, &mut |of| self.key(of, "part"));
        }
        each(document, "kit", &mut |of| self.key(of, "parts"));
        let (from, to) = (format!("#{}", self.from), format!("#{}", self.to));
        let mut based =
            Renaming { from: &from, to: &to, aliases: BTreeSet::new(), used: BTreeSet::new() };
        each(document, "part", &mut |of| based.key(of, "from"));
        each(document, "joint", &mut |of| {
            self.key(of, "guide");
            let stack = of.get_mut("stack").and_then(Item::as_array_mut);
            stack.into_iter().flat_map(Array::iter_mut).for_each(|layer| self.layer(layer));
        });
        each(document, "tube_end", &mut |of| {
            ["cap", "cheeks"].into_iter().for_each(|key| self.key(of, key));
            each_in(of.get_mut("tabs"), &mut |tab| self.key(tab, "part"));
        });
    }

    /// A layer of a joint that is a hole of the part: `part.hole`.
    fn layer(&self, layer: &mut Value) {
        let hole = layer.as_str().and_then(|word| {
            let (part, hole) = word.rsplit_once('.')?;
            (part.trim() == self.from).then(|| format!("{}.{}", self.to, hole.trim()))
        });
        hole.into_iter().for_each(|word| put(layer, &word));
    }

    /// Items coped to a tube or an obstacle.
    fn body(&mut self, document: &mut DocumentMut) {
        each(document, "tube", &mut |of| {
            for end in ["start", "end"] {
                let table = of.get_mut(end).and_then(Item::as_table_like_mut);
                table.into_iter().for_each(|table| self.key(table, "meets"));
            }
        });
    }

    /// The ends of a tube, or of the tube of a link.
    fn tube_ends(&mut self, document: &mut DocumentMut) {
        each(document, "tube_end", &mut |of| {
            ["tube", "stub"].into_iter().for_each(|key| self.key(of, key));
        });
    }

    /// The aliases of the name in `[names]` that were used.
    fn names(&self, document: &mut DocumentMut) {
        let table = document.get_mut("names").and_then(Item::as_table_like_mut);
        for (name, item) in table.into_iter().flat_map(TableLike::iter_mut) {
            if let Some(value) = item.as_value_mut().filter(|_| self.used.contains(name.get())) {
                put(value, self.to);
            }
        }
    }
}

/// The name of a member of a family under another name of the family: the values in its braces are
/// put in those of the other. `None` if it is no member.
pub(super) fn member(pattern: &str, name: &str, other: &str) -> Option<String> {
    let mut values: Vec<(&str, &str)> = Vec::new();
    let mut pieces = pattern.split('{');
    let mut rest = name.strip_prefix(pieces.next()?)?;
    let mut pieces = pieces.map(|piece| piece.split_once('}')).peekable();
    while let Some(piece) = pieces.next() {
        let (key, literal) = piece?;
        let end = match (literal, pieces.peek()) {
            (literal, None) => rest.strip_suffix(literal)?.len(),
            ("", Some(_)) => return None,
            (literal, Some(_)) => rest.find(literal)?,
        };
        values.push((key, &rest[..end]));
        rest = &rest[end + literal.len()..];
    }
    let put =
        |made: String, (key, value): &(&str, &str)| made.replace(&format!("{{{key}}}"), value);
    rest.is_empty().then(|| values.iter().fold(other.to_owned(), put))
}

/// The texts in braces in a name, in order.
pub(super) fn braces(name: &str) -> Vec<&str> {
    let mut all: Vec<&str> =
        name.split('{').skip(1).filter_map(|piece| Some(piece.split_once('}')?.0)).collect();
    all.sort_unstable();
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    const JOB: &str = "names = { plate = \"S 4\" }\n\n[[sheet]]\nname = \"S 4\"\n\n[[part]] # ours\nname   = \"ear\"\nsheet  = \"S 4\" # thick\nsheets = { web = \"S 4\", rib = \"S 2\" }\n\n[[part]]\nname    = \"lug\"\nfrom    = \"#ear\" # alike\nsheet   = \"plate\"\ntouches = [\"rail\", # below\n  \"ear\"]\n\n[[family]]\nname = \"t-{n}\"\nopen = { sheet = [\"S 2\", \"S 4\"] }\n\n[[tube]]\nname  = \"rail\"\nstart = { meets = \"post\" }\n\n[[load]]\nname = \"S 4\"\npart = \"ear\"\n\n[[kit]]\nname = \"ear\"\nparts = [\"ear\", \"lug\"]\n";

    #[test]
    fn all_that_refers_to_a_name_follows_it_and_nothing_else_changes() {
        let sheet = renamed(JOB, Named::Sheet, "S 4", "Plate \"4\"").expect("read");
        let quoted = "'Plate \"4\"'";
        let wanted = JOB
            .replace("plate = \"S 4\"", &format!("plate = {quoted}"))
            .replace("sheet  = \"S 4\"", &format!("sheet  = {quoted}"))
            .replace("web = \"S 4\"", &format!("web = {quoted}"))
            .replace("\"S 2\", \"S 4\"", &format!("\"S 2\", {quoted}"));
        assert_eq!(sheet, wanted);
        let part = renamed(JOB, Named::Part, "ear", "eye").expect("read");
        let wanted = JOB
            .replace("#ear", "#eye")
            .replace("  \"ear\"]", "  \"eye\"]")
            .replace("part = \"ear\"", "part = \"eye\"")
            .replace("[\"ear\", \"lug\"]", "[\"eye\", \"lug\"]");
        assert_eq!(part, wanted);
        let body = renamed(JOB, Named::Obstacle, "rail", "bar").expect("read");
        assert_eq!(body, JOB.replace("[\"rail\"", "[\"bar\""));
        let met = renamed(JOB, Named::Tube, "post", "mast").expect("read");
        assert_eq!(met, JOB.replace("\"post\"", "\"mast\""));
    }

    #[test]
    fn joints_and_ends_of_tubes_follow_their_parts_and_tubes() {
        const ENDS: &str = "[[joint]]\nname = \"ear\"\nguide = \"ear\"\nstack = [\"ear.eye\", # first\n  { spacer = \"3 mm\" }, \"ears.eye\"]\n\n[[tube_end]]\ntube = \"post\"\nstub = \"ear\"\ncap = \"ear\" # thick\ncheeks = \"ear\"\ntabs = [ { part = \"ear\", at = \"3 mm\" } ]\n";
        let part = renamed(ENDS, Named::Part, "ear", "eye").expect("read");
        let wanted = ENDS
            .replace("guide = \"ear", "guide = \"eye")
            .replace("\"ear.eye\"", "\"eye.eye\"")
            .replace("cap = \"ear", "cap = \"eye")
            .replace("cheeks = \"ear", "cheeks = \"eye")
            .replace("part = \"ear", "part = \"eye");
        assert_eq!(part, wanted);
        let tube = renamed(ENDS, Named::Tube, "post", "mast").expect("read");
        assert_eq!(tube, ENDS.replace("\"post\"", "\"mast\""));
        // The tube may be that of a link.
        let link = renamed(ENDS, Named::Link, "post", "mast").expect("read");
        assert_eq!(link, tube);
    }

    #[test]
    fn a_member_follows_its_family() {
        let of = |name| member("tab-{bolt}-{reach}", name, "{reach}.{bolt} ear");
        assert_eq!(of("tab-M6-18").as_deref(), Some("18.M6 ear"));
        assert_eq!((of("ear"), of("tab-M6")), (None, None));
        assert_eq!(member("{name}", "a", "x-{name}").as_deref(), Some("x-a"));
        assert_eq!(braces("tab-{b}-{a}"), ["a", "b"]);
    }
}
