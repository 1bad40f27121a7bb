//! What in a job names a part, a link, a tube or an obstacle.

use crate::serve::entries;
use crate::serve::places;
use crate::serve::text;
use crate::serve::text::Entry;
use crate::serve::text::KINDS;

/// The entries that name another one, each with its kind: `load `hard braking``. A hole of a part is
/// named with its part, `ear.eye`.
pub(super) fn refers(text: &str, kind: &str, name: &str) -> Vec<String> {
    let hole = format!("{name}.");
    let is_name = |typed: &str| {
        let typed = typed.trim_matches('"');
        typed == name || (kind == "part" && typed.starts_with(&hole))
    };
    let mut all = Vec::new();
    for kind in KINDS {
        for entry in (0..text::count(text, kind)).filter_map(|index| Entry::new(kind, index)) {
            let key = entries::name_key(kind);
            let places = places::places(text, entry);
            let own = places.iter().filter(|(known, _)| known != key || key != "name");
            let mut values = own.filter_map(|(_, [_, at])| text.get(at.clone()));
            if values.any(is_name) {
                let called = text::value(text, entry, key).unwrap_or_default();
                let kind = match kind {
                    "as_built" => "measurement of".to_owned(),
                    kind => kind.replace('_', " "),
                };
                all.push(format!("{kind} `{called}`"));
            }
        }
    }
    all
}

/// Why an entry cannot be removed: what names it; nothing where nothing does.
pub(super) fn in_use(text: &str, kind: &str, name: &str) -> Option<String> {
    let all = refers(text, kind, name);
    let (last, rest) = all.split_last()?;
    let named = match rest {
        [] => last.clone(),
        rest => format!("{} and {last}", rest.join(", ")),
    };
    let (verb, that) = if rest.is_empty() { ("refers", "that") } else { ("refer", "those") };
    Some(format!("`{name}` cannot be removed: {named} {verb} to it; change or remove {that} first"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_names_a_link_a_part_or_a_tube_is_found() {
        const JOB: &str = "[[link]]\nname = \"drag\"\n[[part]]\nname = \"fork\"\nlink = \"drag\"\n[[load]]\nname = \"drag\"\npart = \"fork\"\n[[tube]]\nname = \"strut\"\nstart = { meets = \"rail\" }\n[[joint]]\nname = \"x\"\nstack = [\"fork.eye\", { spacer = \"2 mm\" }]\n[[tube_end]]\ntube = \"strut\"\n";
        assert_eq!(refers(JOB, "link", "drag"), ["part `fork`"]);
        assert_eq!(refers(JOB, "part", "fork"), ["load `drag`", "joint `x`"]);
        assert_eq!(refers(JOB, "obstacle", "rail"), ["tube `strut`"]);
        assert_eq!(refers(JOB, "tube", "strut"), ["tube end `strut`"]);
        assert_eq!(in_use(JOB, "tube", "nothing"), None);
        let why = in_use(JOB, "part", "fork").expect("in use");
        assert_eq!(
            why,
            "`fork` cannot be removed: load `drag` and joint `x` refer to it; change or remove those first"
        );
    }
}
