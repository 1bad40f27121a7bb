//! How deep stubs go into the ends of a tube.

use crate::check::tube_end::CODE;
use crate::diag::About;
use crate::diag::Finding;
use crate::diag::Span;
use crate::num::on_grid;
use crate::quantity::Units;

/// Less than this, mm, is rounding.
const ROUNDING: f64 = 1e-6;

/// A stub in an end of a tube.
pub(crate) struct StubIn<'a> {
    /// Its name.
    pub(crate) name: &'a str,
    /// Its length as cut, mm.
    pub(crate) long: f64,
    /// How far it goes in, mm, and where that is given.
    pub(crate) depth: (f64, Span),
}

/// The stubs of a tube, those at its ends; the tube is some mm long between its ends.
pub(crate) fn stubs((tube, long): (&str, f64), stubs: &[StubIn], units: Units) -> Vec<Finding> {
    let show = |mm: f64| units.length(on_grid(mm));
    let stop = |headline: String, at: Span| {
        Finding::stop(CODE, headline).about(About::Tube(tube.to_owned())).at(at, "")
    };
    let deep = |of: &StubIn| {
        let (depth, at) = of.depth;
        let of_stub = || About::Tube(of.name.to_owned());
        (depth > of.long + ROUNDING).then(|| {
            let headline = format!(
                "stub `{}` is {} long: it cannot go {} into tube `{tube}`",
                of.name,
                show(of.long),
                show(depth)
            );
            let finding = stop(headline, at).about(of_stub());
            finding.help(format!("make `depth` smaller, or tube `{}` longer", of.name))
        })
    };
    let mut found: Vec<Finding> = stubs.iter().filter_map(deep).collect();
    let depths: f64 = stubs.iter().map(|of| of.depth.0).sum();
    if let Some(last) = stubs.last().filter(|_| depths > long + ROUNDING) {
        let headline = format!(
            "tube `{tube}` is {} long between its ends: its stubs, {} deep in all, have no room in it",
            show(long),
            show(depths)
        );
        found.push(stop(headline, last.depth.1).help("make `depth` smaller"));
    }
    found
}
