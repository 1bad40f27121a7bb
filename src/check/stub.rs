//! How deep stubs and bungs go into the ends of a tube, and what else is there.

use crate::check::tube_end::CODE;
use crate::diag::About;
use crate::diag::Finding;
use crate::diag::Span;
use crate::num::on_grid;
use crate::quantity::Units;

/// Less than this, mm, is rounding.
const ROUNDING: f64 = 1e-6;
/// A length is as long as another within half a step of the cut list, mm.
const CUT: f64 = 0.05;

/// A stub in an end of a tube.
pub(crate) struct StubIn<'a> {
    /// Its name.
    pub(crate) name: &'a str,
    /// Its length as cut, mm.
    pub(crate) long: f64,
    /// Whether one of its own ends is coped.
    pub(crate) is_coped: bool,
    /// How far it goes in, mm, and where that is given.
    pub(crate) depth: Option<(f64, Span)>,
    /// Where it is named.
    pub(crate) at: Span,
    /// `start` or `end` of the tube.
    pub(crate) which: &'static str,
    /// Whether that end of the tube is coped.
    pub(crate) in_cope: bool,
    /// The cap of that end.
    pub(crate) cap: Option<&'a str>,
}

/// A bung in an end of a tube.
pub(crate) struct BungIn<'a> {
    /// In words: `bung M10x1.5`.
    pub(crate) words: &'a str,
    /// What of it is in the tube, mm.
    pub(crate) deep: f64,
    /// Where it is named.
    pub(crate) at: Span,
}

/// A tube with what goes into its ends.
pub(crate) struct Filled<'a> {
    /// Its name.
    pub(crate) tube: &'a str,
    /// Its length between its ends, mm.
    pub(crate) long: f64,
    /// Its stubs.
    pub(crate) stubs: Vec<StubIn<'a>>,
    /// Its bungs.
    pub(crate) bungs: Vec<BungIn<'a>>,
    /// How lengths are printed.
    pub(crate) units: Units,
}

/// Stubs that go in too deep or are in the way of a cap or a main, and a tube too short for what goes in.
pub(crate) fn stubs(of: &Filled) -> Vec<Finding> {
    let faults = |stub: &StubIn| [deep(of, stub), coped(of, stub), capped(of, stub)];
    let mut found: Vec<Finding> = of.stubs.iter().flat_map(faults).flatten().collect();
    found.extend(full(of));
    found.into_iter().map(|finding| finding.about(About::Tube(of.tube.to_owned()))).collect()
}

fn show(of: &Filled, mm: f64) -> String {
    of.units.length(on_grid(mm))
}

fn about(finding: Finding, stub: &StubIn) -> Finding {
    let at = stub.depth.map_or(stub.at, |(_, at)| at);
    finding.about(About::Tube(stub.name.to_owned())).at(at, "")
}

/// A stub shorter than it goes in.
fn deep(of: &Filled, stub: &StubIn) -> Option<Finding> {
    let (depth, _) = stub.depth.filter(|(depth, _)| *depth > stub.long + CUT)?;
    let headline = format!(
        "stub `{}` is {} long: it cannot go {} into tube `{}`",
        stub.name,
        show(of, stub.long),
        show(of, depth),
        of.tube
    );
    let help = format!("make `depth` smaller, or tube `{}` longer", stub.name);
    Some(about(Finding::stop(CODE, headline), stub).help(help))
}

/// A stub in a coped end: even flush with the long point it is in the main.
fn coped(of: &Filled, stub: &StubIn) -> Option<Finding> {
    if !stub.in_cope {
        return None;
    }
    let [name, tube, which] = [stub.name, of.tube, stub.which];
    if stub.is_coped {
        let headline = format!(
            "not judged: whether stub `{name}` clears the main at the {which} of tube `{tube}`"
        );
        let help = "check on the tubes that the cope of the stub meets the same main";
        return Some(about(Finding::caution(CODE, headline), stub).help(help));
    }
    let headline = format!(
        "the {which} of tube `{tube}` is coped: stub `{name}` would go into the main it meets"
    );
    let finding = about(Finding::stop(CODE, headline), stub);
    Some(finding.help("remove `stub`, name it at the other end, or make that end square"))
}

/// A stub that sticks out of an end with a cap.
fn capped(of: &Filled, stub: &StubIn) -> Option<Finding> {
    let (cap, which) = (stub.cap?, stub.which);
    let Some((depth, _)) = stub.depth else {
        let headline = format!(
            "not judged: whether stub `{}` is clear of cap `{cap}` at the {which} of tube `{}`",
            stub.name, of.tube
        );
        let help = format!(
            "add `depth`: at {}, its full length, it is clear",
            of.units.length_down(stub.long)
        );
        return Some(about(Finding::caution(CODE, headline), stub).help(help));
    };
    let out = stub.long - depth;
    if out <= CUT {
        return None;
    }
    let headline = format!(
        "stub `{}` sticks out {} at the {which} of tube `{}`: cap `{cap}` has no room there",
        stub.name,
        show(of, out),
        of.tube
    );
    let finding = about(Finding::stop(CODE, headline), stub);
    Some(finding.help("remove `cap` or `stub`"))
}

/// A tube too short for all that goes in.
fn full(of: &Filled) -> Option<Finding> {
    let stubs = of.stubs.iter().filter_map(|stub| {
        let (depth, at) = stub.depth?;
        Some((format!("stub `{}`", stub.name), depth, at))
    });
    let bungs = of.bungs.iter().map(|bung| (bung.words.to_owned(), bung.deep, bung.at));
    let all: Vec<(String, f64, Span)> = stubs.chain(bungs).collect();
    let deep: f64 = all.iter().map(|(_, deep, _)| deep).sum();
    if deep <= of.long + ROUNDING {
        return maybe_full(of, deep);
    }
    let (_, _, at) = all.first()?;
    let headline = format!(
        "tube `{}` is {} long between its ends, too short for what goes into them, {} deep in all",
        of.tube,
        show(of, of.long),
        show(of, deep)
    );
    let each = all.iter().map(|(words, deep, _)| format!("{words} {}", show(of, *deep)));
    let finding = Finding::stop(CODE, headline).at(*at, "");
    let finding = finding.note(each.collect::<Vec<String>>().join(", "));
    let help = if of.stubs.is_empty() { "" } else { "make `depth` smaller, or " };
    Some(finding.help(format!("{help}make tube `{}` longer", of.tube)))
}

/// A tube that may be too short for what goes in: nobody says how deep a stub of it does. `deep` is what is known,
/// mm.
fn maybe_full(of: &Filled, deep: f64) -> Option<Finding> {
    let open = || of.stubs.iter().filter(|stub| stub.depth.is_none());
    let most: f64 = deep + open().map(|stub| stub.long).sum::<f64>();
    let stub = open().next().filter(|_| most > of.long + ROUNDING)?;
    if of.stubs.len() + of.bungs.len() < 2 {
        return None;
    }
    let headline = format!(
        "not judged: whether all that goes into tube `{}` has room: stub `{}` has no `depth`",
        of.tube, stub.name
    );
    let finding = about(Finding::caution(CODE, headline), stub);
    let left = of.units.length_down(of.long - deep);
    Some(
        finding
            .help(format!("add `depth`: {left} is left between the ends for the stubs without it")),
    )
}
