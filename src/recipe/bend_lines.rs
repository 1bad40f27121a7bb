//! The bend lines of outline files: each of them is bent, or said to be none.

use crate::diag::Finding;
use crate::document::Findings;
use crate::geom::Point;
use crate::num;
use crate::recipe::bend_rows::in_line;
use crate::recipe::bend_rows::in_row;
use crate::recipe::face::Work;
use crate::recipe::fold_line::LinePlace;
use crate::recipe::shape::Shape;
use crate::recipe::whole::Recipe;

/// Reports bend lines that no bend is on: a flat without one would not come out as drawn.
pub(super) fn check(recipe: &Recipe, findings: &Findings) {
    for (name, face) in &recipe.faces {
        let outlines = face.blank.iter().filter_map(|step| match &step.work {
            Work::Add(placed) => match &placed.shape {
                Shape::Outline(file) => Some((file, step.span)),
                _ => None,
            },
            _ => None,
        });
        let all: Vec<_> = outlines
            .flat_map(|(file, span)| file.bends.iter().map(move |line| (file, *line, span)))
            .collect();
        let across = recipe.bends.values().filter(|bend| bend.from == *name);
        let used: Vec<usize> = across
            .filter_map(|bend| match bend.line.as_ref()?.place {
                LinePlace::Drawn(number) => Some(number),
                _ => None,
            })
            .collect();
        // Where the recipe draws its fold lines itself, it says where it bends.
        let draws = recipe.bends.values().any(|bend| {
            let place = bend.line.as_ref().map(|line| &line.place);
            bend.from == *name && place.is_some_and(|p| !matches!(p, LinePlace::Drawn(_)))
        });
        // A bend runs to the edges of the metal: dashes of one line need no bend each.
        let is_used = |i: usize| {
            let (file, line, span) = &all[i];
            used.iter().filter_map(|n| Some((n - 1, all.get(n - 1)?))).any(|(n, (_, of, other))| {
                n == i
                    || if span == other {
                        in_row(&file.region, of, line)
                    } else {
                        in_line(of, line)
                    }
            })
        };
        for (i, (file, line, span)) in all.iter().enumerate() {
            if draws || is_used(i) {
                continue;
            }
            let at = |p: Point| format!("({}, {})", num::text(p.x, 3), num::text(p.y, 3));
            let (number, from, to) = (i + 1, at(line.from), at(line.to));
            let headline = format!(
                "`{}`: bend line {number}, from {from} to {to}, is not used by any bend",
                file.name
            );
            let help = format!(
                "add `[bend.b{number}]` with `across = \"{name}\"`, `line = {{ drawn = {number} }}`, \
                 `to` and `angle`, or say in `layers` that its layer is `none` or `mark`"
            );
            findings.add(Finding::stop("outline", headline).at(*span, "").help(help));
        }
    }
}
