//! What the drawing of a flat says of how its bends are made.

use crate::brake;
use crate::job::Job;
use crate::num;
use crate::num::on_grid;
use crate::quantity::Units;
use crate::solve;
use crate::solve::Solved;

/// The lines below the one that names the bend: empty without a shop.
pub(super) fn notes(job: &Job, solved: &Solved, bend: usize) -> Vec<String> {
    let Some(setup) = solve::setup(job, solved, bend) else { return Vec::new() };
    let (part, strip, chosen) = (&solved.part, &solved.flat.bends[bend], &setup.step.setup);
    let drawn = &part.bends[bend];
    let (mm, tenths) = (|x: f64| job.units.length(x), |x: f64| num::text(on_grid(x), 1));
    let force = setup.force.map(|kn| {
        let tons = num::counted(tenths(brake::short_tons(kn)), "short ton");
        let tons = if job.units == Units::Inch { format!(" ({tons})") } else { String::new() };
        format!(", {} kN{tons}", tenths(kn))
    });
    let hold = &part.faces[chosen.hold].name;
    let sight = setup.sight_line.map(|_| {
        let off = brake::sight_line(drawn.bend.radius()) - strip.bend.allowance() / 2.0;
        let free = if chosen.hold == drawn.from { drawn.to } else { drawn.from };
        let towards = if off < 0.0 { hold } else { &part.faces[free].name };
        format!(", sight line {} from the bend line towards {towards}", mm(off.abs()))
    });
    vec![
        format!(
            "  {}. {}: {}",
            setup.order,
            chosen.tool_words(setup.shop, job.units),
            setup.handling(hold)
        ),
        format!(
            "  bend to {}° ({}° overbend); radius {}, minimum flange {}",
            tenths(chosen.under_load.degrees()),
            tenths(setup.over_bend),
            mm(on_grid(setup.radius)),
            mm(on_grid(setup.min_flange)),
        ),
        format!(
            "  grain {}{}{}",
            setup.grain.word(),
            force.unwrap_or_default(),
            sight.unwrap_or_default()
        ),
    ]
}
