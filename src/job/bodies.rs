//! Names of bodies in the machine: each there, each of one.

use crate::diag::Finding;
use crate::diag::instead;
use crate::document::Findings;
use crate::entry;
use crate::job::asked::Line;
use crate::job::machine::Machine;
use crate::job::machine::RequiredClearance;
use crate::link::Link;

/// Reports bodies that are named and are not there, and what is on both sides of no plane.
pub(super) fn check(machine: &Machine, lines: &[Line], links: &[Link], findings: &Findings) {
    // While something cannot be read, it may be what is missing.
    if !findings.is_empty() {
        return;
    }
    let names = links.iter().map(|link| link.name.as_str());
    let obstacles = machine.obstacles.iter().map(|(body, asked)| (body.name.as_str(), asked));
    let tubes = machine.tubes.iter().map(|tube| (tube.name.as_str(), &tube.asked));
    let links = machine.links.iter().map(|link| ("", &link.asked));
    let parts = lines.iter().map(|line| (line.name.as_str(), &line.asked));
    let all: Vec<(&str, &RequiredClearance)> =
        obstacles.chain(tubes).chain(links).chain(parts).collect();
    let named = all.iter().map(|(name, _)| *name).chain(names);
    let mut known: Vec<&str> = named.filter(|name| !name.is_empty()).collect();
    known.dedup();
    let is_part = |of: &RequiredClearance| lines.iter().any(|line| line.asked.here == of.here);
    for (_, asked) in &all {
        for (name, at) in &asked.touches {
            if !known.contains(&name.as_str()) {
                let headline = format!("the machine has no body `{name}`");
                let help = instead(name, &known, "its bodies are");
                findings.add(Finding::stop("unknown-body", headline).at(*at, "").help(help));
            }
        }
        if let Some((_, at)) = asked.through.first().filter(|_| !is_part(asked)) {
            let headline = "only a part passes through a tube in a slot";
            let finding = Finding::stop("unknown-key", headline).at(*at, "");
            findings.add(finding.help("name the tube in `through` of the part"));
        }
        if asked.both_sides && machine.mirror.is_none() {
            let headline = "`both_sides` needs a `centre_plane`";
            let help = "add `centre_plane = [\"A\", \"B\", \"C\"]`, three points in it";
            let finding = Finding::stop("missing-key", headline).at(asked.here, "");
            findings.add(finding.help(help));
        }
    }
    let named = machine.obstacles.iter().map(|(body, asked)| (body.name.as_str(), asked.here));
    let tubes = machine.tubes.iter().map(|tube| (tube.name.as_str(), tube.asked.here));
    entry::names_differ("bodies of the machine", named.chain(tubes), findings);
}
