//! The labels of the keys of links, tubes, loads, sheets and the job, in the words of the trade,
//! and how the keys of a load are grouped. The key itself is beside its label as a hint.

use crate::serve::entries;

/// Keys whose labels differ from the key.
const LABELS: &[(&str, &str)] = &[
    ("pins", "pin to pin"),
    ("hand", "thread hand"),
    ("engagement", "thread engagement"),
    ("min_engagement", "min. thread engagement"),
    ("rating", "load rating of the rod end"),
    ("start.main", "start: tube it meets"),
    ("start.angle", "start: angle"),
    ("start.offset", "start: offset"),
    ("end.main", "end: tube it meets"),
    ("end.angle", "end: angle"),
    ("end.offset", "end: offset"),
    ("twist", "twist between the ends"),
    ("cut", "cut of the ends"),
    ("outside", "outside diameter"),
    ("wall", "wall thickness"),
    ("at", "point it acts at"),
    ("above", "height above that point"),
    ("foot", "width of the post on the plate"),
    ("held", "held by"),
    ("bolts", "bolted at"),
    ("bolts_grade", "grade of those bolts"),
    ("grade", "grade of the bolt it acts on"),
    ("pin", "pin diameter"),
    ("shared", "number of pieces that share the load"),
    ("leg", "weld leg"),
    ("filler", "filler metal"),
    ("method", "design rules"),
    ("category", "design category"),
    ("from", "from point"),
    ("to", "to point"),
    ("travel", "travels to"),
    ("swing", "swing to either side"),
    ("touches", "welded or bolted to"),
    ("through", "in a slot through"),
    ("both_sides", "on both sides"),
    ("start.meets", "start: coped to tube"),
    ("end.meets", "end: coped to tube"),
    ("on.origin", "origin at point"),
    ("on.x", "x towards point"),
    ("on.side", "y towards the side of point"),
    ("section", "diameter of the section"),
    ("through", "bent through points"),
    ("radius", "radius of its bends"),
    ("corners", "points at the corners"),
    ("size", "size along x, along y, and height"),
    ("axis", "point on its axis"),
    ("washers", "washers, head and nut"),
    ("pilot", "bolt that holds it while drilling"),
    ("guide", "drilled through the holes of"),
    ("room", "room beyond the nut"),
    ("shear", "shear on one bolt"),
    ("position", "position zone of a cut hole"),
    ("drilling", "wander of a drilled hole"),
    ("ground", "weld ground flush"),
    ("landing", "min. wall under the cap"),
    ("cheeks", "plates on both sides"),
    ("play", "clearance of each plate"),
    ("ground_outside", "diameter where ground"),
    ("gap", "distance between the plates"),
    ("lap", "lap over the tube"),
];

/// Keys of a job, of its sheets and of a shop that mean something else there.
const OF_JOBS: &[(&str, &str)] = &[
    ("gap", "gap between parts"),
    ("margin", "margin at the sheet edge"),
    ("min_remnant", "smallest remnant to keep"),
    ("clearance", "clearance to the tools"),
];

/// Keys of an obstacle that mean something else there.
const OF_OBSTACLES: &[(&str, &str)] = &[("at", "point at its centre")];

/// The groups of a load's keys, in the order in which one thinks of a load.
const GROUPS: &[(&str, &[&str])] = &[
    ("Loaded part", &["name", "part", "link"]),
    ("Force and direction", &["force", "direction", "shared"]),
    ("Point of application", &["hole", "edge", "at", "above", "foot"]),
    ("Support", &["held", "bolts", "bolts_grade", "grade", "pin", "leg", "wall", "filler"]),
    ("Method", &["method", "category"]),
];

/// The label of a key.
pub(super) fn label(key: &str) -> String {
    let known = LABELS.iter().find(|(known, _)| *known == key);
    known.map_or_else(|| key.replace(['_', '.'], " "), |(_, label)| (*label).to_owned())
}

/// What a key of a job, of a sheet or of a shop is called.
pub(super) fn label_of_job(key: &str) -> String {
    let own = OF_JOBS.iter().find(|(known, _)| *known == key);
    own.map_or_else(|| label(key), |(_, label)| (*label).to_owned())
}

/// The label of a key of a form.
pub(super) fn label_in(form: &str, key: &str) -> String {
    let own = OF_OBSTACLES.iter().find(|(known, _)| form.starts_with("obstacle") && *known == key);
    own.map_or_else(|| label(key), |(_, label)| (*label).to_owned())
}

/// What places a link or a tube in the machine.
const IN_MACHINE: &str = "In the machine";

/// The group of a key of a load, and of keys that position a link or a tube.
pub(super) fn group(form: &str, key: &str) -> Option<&'static str> {
    let of_load = form.starts_with("load");
    if !of_load && !form.starts_with("obstacle") {
        let known = entries::keys(form).iter().find(|known| known.key == key);
        return known.filter(|known| entries::is_of_machine(known)).map(|_| IN_MACHINE);
    }
    let found = GROUPS.iter().find(|(_, keys)| of_load && keys.contains(&key));
    found.map(|(group, _)| *group)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Required keys come first, and each group is together.
    #[test]
    fn every_key_of_a_load_has_its_group_and_no_group_is_torn() {
        for form in ["load", "load along a link"] {
            let groups = entries::keys(form).iter().map(|key| group(form, key.key).expect(key.key));
            let mut seen: Vec<&str> = groups.collect();
            seen.dedup();
            let order = GROUPS.iter().map(|(group, _)| *group).filter(|group| seen.contains(group));
            assert_eq!(seen, order.collect::<Vec<_>>(), "{form}");
            let needed = entries::keys(form).iter().rposition(|key| key.needed).expect("needed");
            assert!(needed < 4, "{form}: what is needed stands first");
        }
    }

    #[test]
    fn no_label_is_the_word_of_a_file() {
        for form in ["link", "tube", "load", "joint", "tube_end", "obstacle", "obstacle, box"] {
            for key in entries::keys(form) {
                assert!(!label(key.key).contains(['_', '.']) || label(key.key).contains(". "));
            }
        }
        assert_eq!(label("rod_end"), "rod end");
    }
}
