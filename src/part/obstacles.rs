//! The obstacles of a face: their dimensions as numbers.

use crate::diag::Finding;
use crate::part::obstacle::Obstacle;
use crate::part::shape::shape;
use crate::part::values::Values;
use crate::recipe;

/// Maximum number of obstacles of a face: each is compared with its whole outline. Our choice.
const MAX_OBSTACLES: usize = 200;

/// The obstacles of a face; `None` when something was reported.
pub(super) fn build(face: &recipe::Face, values: &Values, thickness: f64) -> Option<Vec<Obstacle>> {
    let mut all = Vec::new();
    for asked in &face.obstacles {
        values.each(asked.each.as_ref(), |values| {
            if !values.holds(asked.when.as_ref())? {
                return Some(());
            }
            if all.len() == MAX_OBSTACLES {
                let headline = format!("a face has at most {MAX_OBSTACLES} obstacles");
                values.findings.add(
                    Finding::stop("too-many", headline)
                        .at(asked.span, "")
                        .help("draw one round several of them"),
                );
                return None;
            }
            let (outline, _) = shape(&asked.shape, values, thickness, None, asked.span)?;
            let clear = values.length_or_zero(asked.clearance.as_ref())?;
            if clear < 0.0 {
                let span = asked.clearance.as_ref().map_or(asked.span, |c| c.span);
                values.findings.add(
                    Finding::stop("out-of-range", "a clearance is 0 or more")
                        .at(span, "")
                        .help("write what must be left between it and the plate"),
                );
                return None;
            }
            let name = asked.name.clone();
            all.push(Obstacle { name, outline, clear, span: asked.span });
            Some(())
        })?;
    }
    Some(all)
}
