//! Names of bodies in the machine: each there, each of one.

use crate::diag::Finding;
use crate::diag::Span;
use crate::diag::instead;
use crate::document::Findings;
use crate::entry;
use crate::job::asked::Line;
use crate::job::machine::Machine;
use crate::job::machine::RequiredClearance;
use crate::link::Link;
use crate::machine::Shown;

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
        for finding in asked.through.iter().filter_map(|of| no_tube(of, machine)) {
            findings.add(finding);
        }
        if asked.both_sides && machine.mirror.is_none() {
            let headline = "`both_sides` needs a `centre_plane`";
            let help = "add `centre_plane = [\"A\", \"B\", \"C\"]`, three points in it";
            let finding = Finding::stop("missing-key", headline).at(asked.here, "");
            findings.add(finding.help(help));
        }
    }
    for line in lines.iter().filter(|line| line.stands.is_empty()) {
        if let Some((_, at)) = line.asked.through.first() {
            let headline = format!("`{}` passes through a tube, but has no place", line.name);
            let finding = Finding::stop("missing-key", headline).at(*at, "");
            let help =
                "add `on = { origin = \"A\", x = \"B\", side = \"C\" }`, or remove `through`";
            findings.add(finding.help(help));
        }
    }
    for line in lines.iter().filter(|line| line.stands.is_empty() && line.asked.both_sides) {
        let headline = format!("`{}` is on both sides of the machine, but has no place", line.name);
        let help = "add `on = { origin = \"A\", x = \"B\", side = \"C\" }`, or write `mirror = true` in \
                    place of `both_sides` for as many of the other hand";
        let finding = Finding::stop("missing-key", headline).at(line.asked.here, "");
        findings.add(finding.help(help));
    }
    let named = machine.obstacles.iter().map(|(body, asked)| (body.name.as_str(), asked.here));
    let tubes = machine.tubes.iter().map(|tube| (tube.name.as_str(), tube.asked.here));
    entry::names_differ("bodies of the machine", named.chain(tubes), findings);
}

/// The finding on a body that a part is to pass through, and that is no tube.
fn no_tube((name, at): &(String, Span), machine: &Machine) -> Option<Finding> {
    let mut round = machine
        .obstacles
        .iter()
        .filter(|(body, _)| body.shown.iter().any(|shown| matches!(shown, Shown::Bar(..))));
    let is_tube = machine.tubes.iter().any(|tube| tube.name == *name)
        || round.any(|(body, _)| body.name == *name);
    if is_tube {
        return None;
    }
    let headline = format!("`{name}` is not a tube: only tubes have slots for parts");
    let finding = Finding::stop("unknown-tube", headline).at(*at, "");
    Some(
        finding
            .help("name a `[[tube]]` between points, or an obstacle that is a tube or a cylinder"),
    )
}
