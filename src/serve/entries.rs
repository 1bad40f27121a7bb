//! The keys of links, tubes, loads, joints and obstacles that the page edits.

use crate::job::OBSTACLE_SHAPES;
use crate::quantity::Units;
use crate::serve::form as inputs;
use crate::serve::sort::Sort;
use crate::serve::text;
use crate::serve::text::Entry;
use crate::table::Tables;
use serde_json::Value;
use std::sync::LazyLock;

/// How many values a key has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Many {
    One,
    /// One for both ends, or a list of two.
    Ends,
    /// A list of two: x and y.
    Point,
    /// A list in one field, by commas.
    List,
}

impl Many {
    /// Whether each of its values has a separate field.
    pub(super) fn is_two(self) -> bool {
        matches!(self, Self::Ends | Self::Point)
    }
}

/// A key of an entry.
#[derive(Debug)]
pub(super) struct Key {
    /// As written, `start.main` within `start`.
    pub(super) key: &'static str,
    pub(super) sort: Sort,
    pub(super) many: Many,
    /// The value if the key is left out, as it would be written; empty if that follows from other
    /// keys.
    pub(super) default: &'static str,
    /// Whether nothing can be made without it.
    pub(super) needed: bool,
}

const fn key(key: &'static str, sort: Sort, default: &'static str) -> Key {
    Key { key, sort, many: Many::One, default, needed: false }
}

const fn needed(of: Key) -> Key {
    Key { needed: true, ..of }
}

const fn ends(of: Key) -> Key {
    Key { many: Many::Ends, ..of }
}

const fn list(of: Key) -> Key {
    Key { many: Many::List, ..of }
}

/// What every body of the machine may ask for.
const CLEARANCE: Key = key("clearance", Sort::Length, "");
const TOUCHES: Key = list(key("touches", Sort::Body, ""));
const BOTH_SIDES: Key = key("both_sides", Sort::Flag, "false");

/// The points it is between.
const FROM: Key = key("from", Sort::Point, "");
const TO: Key = key("to", Sort::Point, "");

const LINK: &[Key] = &[
    needed(key("name", Sort::Word, "")),
    key("quantity", Sort::Count, "1"),
    needed(key("pins", Sort::Length, "")),
    needed(ends(key("rod_end", Sort::Row("rod-end"), ""))),
    ends(key("hand", Sort::Choice(&["right", "left"]), "")),
    ends(key("spacer", Sort::Length, "0 mm")),
    key("engagement", Sort::Length, ""),
    key("min_engagement", Sort::Length, ""),
    list(key("tube", Sort::Row("tube"), "")),
    key("material", Sort::Row("material"), ""),
    ends(key("bung", Sort::Row("bung"), "")),
    ends(key("rating", Sort::Force, "")),
    FROM,
    TO,
    list(key("travel", Sort::Point, "")),
    key("swing", Sort::Angle, "0 deg"),
    CLEARANCE,
    TOUCHES,
    BOTH_SIDES,
];

const TUBE: &[Key] = &[
    needed(key("name", Sort::Word, "")),
    key("quantity", Sort::Count, "1"),
    needed(key("length", Sort::Length, "")),
    key("tube", Sort::Row("tube"), ""),
    key("start.main", Sort::Main, "square"),
    key("start.angle", Sort::Angle, "90 deg"),
    key("start.offset", Sort::Length, "0 mm"),
    key("end.main", Sort::Main, "square"),
    key("end.angle", Sort::Angle, "90 deg"),
    key("end.offset", Sort::Length, "0 mm"),
    key("twist", Sort::Angle, "0 deg"),
    key("cut", Sort::Choice(&["fitted", "square"]), "fitted"),
    key("material", Sort::Row("material"), ""),
    key("outside", Sort::Length, ""),
    key("wall", Sort::Length, ""),
    FROM,
    TO,
    key("start.meets", Sort::Tube, ""),
    key("end.meets", Sort::Tube, ""),
    CLEARANCE,
    TOUCHES,
    BOTH_SIDES,
];

const LOAD: &[Key] = &[
    needed(key("name", Sort::Word, "")),
    needed(key("part", Sort::Part, "")),
    needed(key("force", Sort::Force, "")),
    needed(key("direction", Sort::Direction, "")),
    key("shared", Sort::Count, ""),
    key("hole", Sort::Hole, ""),
    key("edge", Sort::Edge, ""),
    Key { many: Many::Point, ..key("at", Sort::Length, "") },
    key("above", Sort::Length, "0 mm"),
    key("foot", Sort::Length, ""),
    key("held", Sort::Edge, ""),
    key("bolts", Sort::Hole, ""),
    key("bolts_grade", Sort::Row("bolt-grade"), ""),
    key("grade", Sort::Row("bolt-grade"), ""),
    key("pin", Sort::Length, ""),
    key("leg", Sort::Length, ""),
    key("wall", Sort::Length, ""),
    key("filler", Sort::Row("filler"), ""),
    key("method", Sort::Choice(&["AISC 360", "ASME BTH-1"]), "AISC 360"),
    key("category", Sort::Choice(&["A", "B", "C"]), "B"),
];

const LINK_LOAD: &[Key] = &[
    needed(key("name", Sort::Word, "")),
    needed(key("link", Sort::Part, "")),
    needed(key("force", Sort::Force, "")),
    key("direction", Sort::Choice(&["pull", "push"]), ""),
    key("grade", Sort::Row("bolt-grade"), ""),
    key("leg", Sort::Length, ""),
    key("filler", Sort::Row("filler"), ""),
    key("method", Sort::Choice(&["AISC 360"]), "AISC 360"),
];

const JOINT: &[Key] = &[
    needed(key("name", Sort::Word, "")),
    needed(key("bolt", Sort::Row("bolt"), "")),
    key("quantity", Sort::Count, ""),
    list(key("washers", Sort::Row("washer"), "")),
    key("pilot", Sort::Row("bolt"), ""),
    key("guide", Sort::Part, ""),
    key("engagement", Sort::Length, ""),
    key("room", Sort::Length, ""),
    key("shear", Sort::Force, ""),
    key("position", Sort::Length, ""),
    key("drilling", Sort::Length, "0.1 mm"),
    // Its layers are groups of fields, which come last.
    needed(list(key("stack", Sort::Tables, ""))),
];

const TUBE_END: &[Key] = &[
    needed(key("tube", Sort::Part, "")),
    key("end", Sort::Choice(&["start", "end"]), "end"),
    key("cap", Sort::Part, ""),
    key("ground", Sort::Flag, "false"),
    key("landing", Sort::Length, "0.5 mm"),
    key("cheeks", Sort::Part, ""),
    key("play", Sort::Length, "0.2 mm"),
    key("ground_outside", Sort::Length, ""),
    key("gap", Sort::Length, ""),
    key("lap", Sort::Length, ""),
    key("bung", Sort::Row("bung"), ""),
    key("stub", Sort::Part, ""),
    key("depth", Sort::Length, ""),
    list(key("tabs", Sort::Tables, "")),
];

const SHAPE: Key = needed(key("shape", Sort::Choice(&OBSTACLE_SHAPES), ""));
const NAME: Key = needed(key("name", Sort::Word, ""));
const MOVES: Key = key("moves", Sort::Flag, "false");

const OBSTACLE_TUBE: &[Key] = &[
    NAME,
    SHAPE,
    FROM,
    TO,
    list(key("through", Sort::Point, "")),
    key("radius", Sort::Length, ""),
    key("tube", Sort::Row("tube"), ""),
    key("outside", Sort::Length, ""),
    MOVES,
    CLEARANCE,
    TOUCHES,
    BOTH_SIDES,
];

const OBSTACLE_TORUS: &[Key] = &[
    NAME,
    SHAPE,
    needed(key("at", Sort::Point, "")),
    needed(key("axis", Sort::Point, "")),
    needed(key("outside", Sort::Length, "")),
    needed(key("section", Sort::Length, "")),
    MOVES,
    CLEARANCE,
    TOUCHES,
    BOTH_SIDES,
];

const OBSTACLE_BOX: &[Key] = &[
    NAME,
    SHAPE,
    needed(key("on.origin", Sort::Point, "")),
    needed(key("on.x", Sort::Point, "")),
    needed(key("on.side", Sort::Point, "")),
    needed(list(key("size", Sort::Length, ""))),
    MOVES,
    CLEARANCE,
    TOUCHES,
    BOTH_SIDES,
];

const OBSTACLE_PANEL: &[Key] = &[
    NAME,
    SHAPE,
    needed(list(key("corners", Sort::Point, ""))),
    needed(key("thickness", Sort::Length, "")),
    MOVES,
    CLEARANCE,
    TOUCHES,
    BOTH_SIDES,
];

/// The kinds of entries that are shown beside the parts.
pub(super) const KINDS: [&str; 6] = ["link", "tube", "load", "joint", "tube_end", "obstacle"];

/// The key by whose value an entry of a kind is known.
pub(super) fn name_key(kind: &str) -> &'static str {
    match kind {
        "tube_end" => "tube",
        "as_built" => "part",
        _ => "name",
    }
}

/// The fields of an entry: a load along a link has different keys.
pub(super) fn form<'a>(kind: &'a str, text: &str, entry: Entry) -> &'a str {
    match kind {
        "load" if text::value(text, entry, "link").is_some() => "load along a link",
        "obstacle" => obstacle(&text::value(text, entry, "shape").unwrap_or_default()),
        kind => kind,
    }
}

/// The form of an obstacle by its shape.
pub(super) fn obstacle(shape: &str) -> &'static str {
    match shape {
        "torus" => "obstacle, torus",
        "box" => "obstacle, box",
        "panel" => "obstacle, panel",
        _ => "obstacle",
    }
}

/// The keys of a form; empty if it is not shown as a form.
pub(super) fn keys(form: &str) -> &'static [Key] {
    match form {
        "link" => LINK,
        "tube" => TUBE,
        "load" => LOAD,
        "load along a link" => LINK_LOAD,
        "joint" => JOINT,
        "tube_end" => TUBE_END,
        "obstacle" => OBSTACLE_TUBE,
        "obstacle, torus" => OBSTACLE_TORUS,
        "obstacle, box" => OBSTACLE_BOX,
        "obstacle, panel" => OBSTACLE_PANEL,
        _ => &[],
    }
}

/// The possible values of a key, each with a description.
pub(super) fn options(key: &Key, tables: &Tables, units: Units) -> Vec<[String; 2]> {
    let plain = |word: &&str| [(*word).to_owned(), (*word).to_owned()];
    match key.sort {
        Sort::Row("washer") => {
            let rows = inputs::rows(tables, "washer", units);
            ["plain", "none"].iter().map(plain).chain(rows).collect()
        }
        Sort::Row(table) => inputs::rows(tables, table, units),
        Sort::Choice(words) => words.iter().map(plain).collect(),
        Sort::Flag => ["true", "false"].iter().map(plain).collect(),
        Sort::Main => {
            let square = ["square".to_owned(), "square: meets no tube".to_owned()];
            std::iter::once(square).chain(inputs::rows(tables, "tube", units)).collect()
        }
        _ => Vec::new(),
    }
}

/// Whether an entry can do without a key that is needed as a rule: between points its length follows.
pub(super) fn follows(key: &Key, text: &str, entry: Entry) -> bool {
    matches!(key.key, "pins" | "length") && text::value(text, entry, "from").is_some()
}

/// Whether a key is only of use in a job with points.
pub(super) fn is_of_machine(key: &Key) -> bool {
    matches!(key.sort, Sort::Point | Sort::Body | Sort::Tube)
        || matches!(key.key, "swing" | "clearance" | "both_sides" | "moves")
}

/// The schema of a job, read once.
static SCHEMA: LazyLock<Value> = LazyLock::new(crate::schema::job);

/// The keys of a form in that schema.
fn properties(form: &str) -> &'static Value {
    let of = &SCHEMA["$defs"];
    match form {
        "load" => &of["load"]["anyOf"][0]["properties"],
        "load along a link" => &of["load"]["anyOf"][1]["properties"],
        form if form.starts_with("obstacle") => &of["obstacle"]["properties"],
        _ => &of[form]["properties"],
    }
}

/// The description of a key of a form, from the schema of a job.
pub(super) fn about(form: &str, key: &str) -> String {
    described(properties(form), key)
}

/// The description of a key of the tables in a list.
pub(super) fn about_in(form: &str, list: &str, key: &str) -> String {
    let items = &properties(form)[list]["items"];
    let all = items["anyOf"].as_array().into_iter().flatten().chain([items]);
    let inner = all.map(|of| described(&of["properties"], key));
    inner.into_iter().find(|words| !words.is_empty()).unwrap_or_default()
}

fn described(start: &Value, key: &str) -> String {
    let path = key.split('.');
    let found = path.fold(start, |at, name| {
        let inner = at["anyOf"]
            .as_array()
            .and_then(|all| all.iter().find(|of| of["properties"].get(name).is_some()));
        let inner = inner.or(Some(at).filter(|at| at["properties"].get(name).is_some()));
        let at = inner.map_or(at, |inner| &inner["properties"]);
        &at[name]
    });
    found["description"].as_str().unwrap_or_default().to_owned()
}

/// The description of a key of the job as a whole.
pub(super) fn about_job(key: &str) -> String {
    SCHEMA["properties"][key]["description"].as_str().unwrap_or_default().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    /// Every key that a job may have for a link, a tube, a load or an obstacle has its field, and the
    /// other way round: another test compares the schema with all shipped files.
    #[test]
    fn every_key_has_its_field_and_says_what_it_means() {
        for kind in KINDS.into_iter().chain(["load along a link"]) {
            let mut wanted: Vec<String> = Vec::new();
            for (name, of) in properties(kind).as_object().expect("keys") {
                let several = of["anyOf"].as_array().into_iter().flatten().chain([of]);
                let inner = several.filter_map(|of| of["properties"].as_object());
                let inner = inner.flat_map(|of| of.keys());
                let before = wanted.len();
                wanted.extend(inner.map(|key| format!("{name}.{key}")));
                if wanted.len() == before {
                    wanted.push(name.clone());
                }
            }
            let forms = match kind {
                "obstacle" => OBSTACLE_SHAPES.map(obstacle).to_vec(),
                kind => vec![kind],
            };
            let all = forms.into_iter().flat_map(keys);
            let has: BTreeSet<String> = all.map(|key| key.key.to_owned()).collect();
            assert_eq!(has, wanted.into_iter().collect(), "{kind}");
            for key in keys(kind) {
                assert!(!about(kind, key.key).is_empty(), "{kind}: {} says nothing", key.key);
            }
        }
    }
}
