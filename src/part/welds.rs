//! The welded edges of a face.

use crate::diag::Finding;
use crate::part::face::Weld;
use crate::part::stretches::Stretches;
use crate::part::values::Values;
use crate::recipe;
use crate::recipe::Expr;

/// The welds of a face along the remaining edges; `None` when something was reported.
pub(super) fn build(
    face: &recipe::Face,
    named: Stretches<'_>,
    values: &Values,
) -> Option<Vec<Weld>> {
    let mut welds = Vec::new();
    for weld in &face.welds {
        values.each(weld.each.as_ref(), |values| {
            welds.push(one(weld, named, values)?);
            Some(())
        })?;
    }
    Some(welds)
}

fn one(weld: &recipe::Weld, named: Stretches<'_>, values: &Values) -> Option<Weld> {
    let edge = values.edge_name(&weld.edge);
    let stretches = match named.of(&edge, "weld") {
        Ok(stretches) => stretches,
        Err((headline, help)) => {
            values.findings.add(Finding::stop("weld", headline).at(weld.span, "").help(help));
            return None;
        }
    };
    let leg = weld.leg.as_ref().map_or(Some(None), |leg| self::leg(leg, values).map(Some))?;
    let names = weld.leg.iter().flat_map(|leg| leg.formula.names()).map(str::to_owned).collect();
    Some(Weld {
        edge,
        stretches,
        sides: weld.sides,
        all_round: weld.all_round,
        leg,
        room: None,
        note: weld.note.clone(),
        span: weld.span,
        depends: values.outside(names, weld.span),
    })
}

/// The leg of a fillet, mm; `None` when something was reported.
pub(super) fn leg(leg: &Expr, values: &Values) -> Option<f64> {
    let mm = values.length(leg)?;
    if mm > 0.0 {
        return Some(mm);
    }
    let shown = values.params.units().length(mm);
    let headline = format!("the leg of a fillet must be more than 0, not {shown}");
    let help = "write the leg, such as `leg = \"3 mm\"`, or remove it";
    values.findings.add(Finding::stop("weld", headline).at(leg.span, "").help(help));
    None
}
