//! How large the cut beside the end of a bend is when the recipe does not say.

use crate::bend;
use crate::diag::Finding;
use crate::part::joint::Relief;
use crate::part::values::Values;
use crate::quantity::MM_PER_INCH;
use crate::recipe;
use crate::recipe::ReliefShape;

/// How far a relief reaches behind the line where the bend begins, mm. FAA-H-8083-31 gives 1/32 to
/// 1/16 in.
const PAST: f64 = 1.0;

/// Narrowest relief in kerfs: the cut enters on one side and leaves on the other. Our choice.
const KERFS: f64 = 2.0;

impl Relief {
    /// The usual relief of a bend: as wide as the sheet is thick (a trade rule) and two kerfs; a
    /// hole by `min_hole`, and no smaller than the inside radius, which FAA-H-8083-31 calls the
    /// most common method. Its definition a page earlier says twice the radius: a recipe that
    /// follows it sets `relief_width`.
    pub fn usual(shape: ReliefShape, bend: &bend::Bend, kerf: f64) -> Self {
        let width = match shape {
            ReliefShape::Hole => min_hole(bend.thickness()).max(bend.radius()),
            _ => bend.thickness().max(KERFS * kerf),
        };
        Self { shape, width, depth: Self::usual_depth(shape, width) }
    }

    /// No narrower than the process cuts a slot, mm.
    fn at_least(self, slot: f64) -> Self {
        let width = self.width.max(slot);
        Self { width, depth: Self::usual_depth(self.shape, width), ..self }
    }

    /// A round end lies wholly behind the bend, a hole half behind it.
    fn usual_depth(shape: ReliefShape, width: f64) -> f64 {
        match shape {
            ReliefShape::Hole => width / 2.0,
            ReliefShape::Round => (width / 2.0).max(PAST),
            _ => PAST,
        }
    }
}

/// Minimum diameter in mm of a relief hole in sheet of a thickness in mm, by FAA-H-8083-31:
/// 1/8 in up to 0.064 in, 3/16 in up to 0.128 in. Beyond it, in proportion: our choice.
fn min_hole(thickness: f64) -> f64 {
    let inches = thickness / MM_PER_INCH;
    let hole = match inches {
        t if t <= 0.064 + 1e-9 => 1.0 / 8.0,
        t if t <= 0.128 + 1e-9 => 3.0 / 16.0,
        t => t * (3.0 / 16.0) / 0.128,
    };
    hole * MM_PER_INCH
}

/// Relief, gap and shift of a bend as its recipe gives them.
pub(super) fn build(
    name: &str,
    asked: &recipe::Bend,
    bend: &bend::Bend,
    min_slot: f64,
    values: &Values,
) -> Option<(Relief, Option<f64>, f64)> {
    let kerf = values.known("kerf").unwrap_or(0.0);
    let mut relief = Relief::usual(asked.relief, bend, kerf).at_least(min_slot);
    let length = |expr: &Option<recipe::Expr>| values.some_length(expr.as_ref());
    if let Some(width) = length(&asked.relief_width)? {
        relief.width = width;
        relief.depth = Relief::usual_depth(asked.relief, width);
    }
    relief.depth = length(&asked.relief_depth)?.unwrap_or(relief.depth);
    let gap = length(&asked.gap)?;
    let aside = length(&asked.offset)?.unwrap_or(0.0);
    let faults = [
        (relief.width > 0.0, "relief_width", &asked.relief_width, "more than 0 mm"),
        (relief.depth >= 0.0, "relief_depth", &asked.relief_depth, "0 mm or more"),
        (gap.is_none_or(|gap| gap >= 0.0), "gap", &asked.gap, "0 mm or more"),
    ];
    let mut sound = true;
    for (_, key, expr, min) in faults.into_iter().filter(|(good, ..)| !good) {
        let headline = format!("`{key}` of bend `{name}` must be {min}");
        let span = expr.as_ref().map_or(asked.span, |expr| expr.span);
        let finding = Finding::stop("bend", headline).at(span, "");
        values.findings.add(finding.help(format!("write {min}, or leave `{key}` out")));
        sound = false;
    }
    sound.then_some((relief, gap, aside))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// FAA-H-8083-31 vol. 1 ch. 4. Its copies print the second diameter as 3/160.
    #[test]
    fn relief_holes_are_those_of_the_handbook() {
        for (thickness, hole) in [(0.040, 0.125), (0.064, 0.125), (0.072, 0.1875), (0.128, 0.1875)]
        {
            let found = min_hole(thickness * MM_PER_INCH) / MM_PER_INCH;
            assert!((found - hole).abs() < 1e-12, "{thickness}: {found}");
        }
    }
}
