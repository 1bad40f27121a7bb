//! Names that were different one release ago: a user who still writes the old one is given the new
//! one. The next release removes the rows.

use crate::diag::Finding;
use crate::diag::Span;

/// A key, an input of a shipped recipe, a check or a word for a value, and what it was called before.
pub struct Renamed {
    /// Its place: a table of a recipe, a job or a shop file, `given` for the inputs of shipped
    /// recipes, `table NAME` for the columns of a table, `explain` for the names of checks,
    /// `direction` for that of a load.
    pub place: &'static str,
    /// The old name.
    pub old: &'static str,
    /// What to write now.
    pub new: &'static str,
}

const fn row(place: &'static str, old: &'static str, new: &'static str) -> Renamed {
    Renamed { place, old, new }
}

/// All of them. Where one old name became several new ones, the first that may be in
/// the place at hand is meant.
pub const RENAMED: &[Renamed] = &[
    row("step", "turn", "rotate"),
    row("belt", "turn", "rotate"),
    row("hole", "turn", "rotate"),
    row("mark", "turn", "rotate"),
    row("clevis", "turn", "rotation"),
    row("part", "turn", "orientations"),
    row("bend", "turn", "angle"),
    row("varies", "turn", "angle"),
    row("clevis", "leaves", "direction"),
    row("given", "leaves", "direction"),
    row("given", "turn", "rotation"),
    row("given", "turn", "angle"),
    row("input", "least", "min"),
    row("input", "most", "max"),
    row("bend", "along", "offset"),
    row("step", "lean", "angle"),
    row("step", "aside", "offset"),
    row("tube", "play", "clearance"),
    row("cut_folded", "play", "clearance"),
    row("hole", "mortise", "tongue_slot"),
    row("given", "lean", "angle"),
    row("given", "aside", "offset"),
    row("given", "post_lean", "post_angle"),
    row("given", "rim", "edge_distance"),
    row("given", "rim", "border"),
    row("job", "least_remnant", "min_remnant"),
    row("job", "windows", "cutouts"),
    row("cutouts", "least", "min"),
    row("sheet", "bend", "bend_method"),
    row("part", "urgency", "priority"),
    row("part", "faces_alike", "may_flip"),
    row("part", "windows", "cutouts"),
    row("part", "near", "obstacles"),
    row("part", "holds", "clamped"),
    row("obstacle", "round", "diameter"),
    row("obstacle", "clear", "clearance"),
    row("link", "least_engagement", "min_engagement"),
    row("shop", "bending", "bend_method"),
    row("shop", "trust", "bend_sources"),
    row("cutting", "least_hole", "min_hole"),
    row("cutting", "least_hole_ratio", "min_hole_ratio"),
    row("cutting", "least_slot_ratio", "min_slot_ratio"),
    row("cutting", "least_web", "min_web"),
    row("cutting", "least_web_ratio", "min_web_ratio"),
    row("cutting", "least_gap", "min_gap"),
    row("brake", "most_turn", "max_angle"),
    row("brake", "thickest", "max_thickness"),
    row("brake", "least_clamp", "min_clamp"),
    row("brake", "least_flange", "min_flange"),
    row("die", "least_flange", "min_flange"),
    row("die", "widths", "lengths"),
    row("punch", "widths", "lengths"),
    row("rates", "hand_hour", "labour_hour"),
    row("rates.cutting", "a_minute", "cut_per_minute"),
    row("rates.cutting", "hour", "machine_hour"),
    row("rates.metal", "kilogram", "per_kilogram"),
    row("table coating", "film", "thickness"),
    row("direction", "sideways", "normal"),
    row("explain", "least-flange", "min-flange"),
    row("explain", "least-radius", "min-radius"),
    row("explain", "bend-order", "bend-sequence"),
    row("explain", "rod-end-turn", "rod-end-rotation"),
    row("explain", "wrench-room", "wrench-clearance"),
    row("explain", "link-hands", "link-thread-hand"),
];

/// What an old name is called now, among the names that may be in its place.
pub fn now_called(old: &str, may_stand: impl Fn(&str) -> bool) -> Option<&'static str> {
    RENAMED.iter().find(|row| row.old == old && may_stand(row.new)).map(|row| row.new)
}

/// The old names of a key that is missing.
pub(super) fn once_called(new: &str) -> impl Iterator<Item = &'static str> {
    RENAMED.iter().filter(move |row| row.new == new).map(|row| row.old)
}

/// The finding for an old name.
pub(crate) fn finding(old: &str, new: &str, key: Span) -> Finding {
    Finding::stop("renamed-key", format!("`{old}` is now called `{new}`"))
        .at(key, "")
        .help(format!("write `{new}`"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Sources;
    use crate::document::Fields;
    use crate::document::Findings;

    /// The finding on a table with one key, where another is required.
    fn found(text: &str, ask: impl Fn(&Fields)) -> Vec<(&'static str, String)> {
        let source = Sources::default().add("x.toml", text);
        let table = crate::document::read(source, text).unwrap();
        let findings = Findings::default();
        let fields = Fields::new(&table, Span { source, start: 0, end: 0 }, &findings);
        ask(&fields);
        fields.finish();
        findings.take().into_iter().map(|f| (f.code, f.headline)).collect()
    }

    #[test]
    fn an_old_key_gets_its_new_name_once() {
        for row in RENAMED.iter().filter(|row| row.place != "explain") {
            let text = format!("{} = 1", row.old);
            let wanted = format!("`{}` is now called `{}`", row.old, row.new);
            let optional = found(&text, |fields| {
                fields.get(row.new);
            });
            assert_eq!(optional, [("renamed-key", wanted.clone())]);
            let needed = found(&text, |fields| {
                fields.need(row.new, "\"1 mm\"");
            });
            assert_eq!(needed, [("renamed-key", wanted)]);
        }
    }

    #[test]
    fn an_old_key_that_still_means_something_is_read() {
        let both = |fields: &Fields| {
            fields.get("bend");
            fields.get("bend_method");
        };
        assert_eq!(found("bend = 1", both), []);
    }

    #[test]
    fn an_old_name_becomes_the_one_that_may_stand_there() {
        let of = |known: &'static [&str]| now_called("turn", move |new| known.contains(&new));
        assert_eq!(of(&["angle", "rotate"]), Some("rotate"));
        assert_eq!(of(&["angle", "radius"]), Some("angle"));
        assert_eq!(of(&["radius"]), None);
    }
}
